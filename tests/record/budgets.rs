//! The uncertainty that is printed is the one that a verdict was held under:
//! that of the readings its figure rests on, whoever read the other boxes.

use super::{Found, Job};
use benchleaf::judge::Contribution;
use benchleaf::quantity::Exact;
use benchleaf::record::state_words;

/// `shaft MIC-2 0.0001`, by the gauges' names in job.toml.
pub fn in_words(job: &Job, budget: &[Contribution]) -> Vec<String> {
    let (case, _) = job.expanded();
    let name = |part: &Contribution| case.job.gauges[part.gauge].id.to_string();
    budget.iter().map(|part| format!("{} {} {}", part.group, name(part), part.expanded)).collect()
}

fn held(job: &Job, found: &Found, code: &str, figure: &str) -> Vec<String> {
    let verdict = &found.row(code).last().unwrap().verdict;
    let held = verdict.held.iter().find(|held| held.name.to_string() == figure);
    in_words(job, &held.unwrap_or_else(|| panic!("{code} {figure}: {verdict:?}")).budget)
}

/// Shafts 1.3718 by MIC-2 and 1.3716 by a coarse micrometer, named for the one
/// box that it measured again.
fn one_box_by_another_gauge() -> Job {
    let coarse = "[gauges.MIC-9]\nname = \"outside micrometer\"\nserial = \"CF-0999\"\nrange = [1.0000, 2.0000]\nresolution = 0.0001\nuncertainty = 0.0004\ndue = 2026-09-30\n\n[gauges.MIC-2]";
    Job::first().with("job", "[gauges.MIC-2]", coarse).again(
        "C1",
        "shaft 2",
        "1.3730",
        "measured again",
        "by = \"TD\"; on = 2026-03-06; gauge = \"MIC-9\"; zero = \"vv\"",
    )
}

#[test]
fn a_box_read_by_another_gauge_does_not_turn_its_side_to_it() {
    let job = one_box_by_another_gauge();
    let found = job.judge();
    // Loosest rests on the smallest shaft, 1.3730 by the coarse one; tightest
    // on the largest, 1.3731, which MIC-2 still stands for.
    let bore = ["bore TEL-1 0.0003", "bore MIC-2 0.0001"];
    let loosest = held(&job, &found, "C1", "loosest");
    assert_eq!(loosest, [&["shaft MIC-9 0.0004"], &bore[..]].concat());
    let tightest = held(&job, &found, "C1", "tightest");
    assert_eq!(tightest, [&["shaft MIC-2 0.0001"], &bore[..]].concat());
    found
        .says("C1", "loosest: uncertainty (k = 2) shaft MIC-9 0.0004, bore TEL-1 0.0003, MIC-2 0.0001: root of squares 0.00051")
        .says("C1", "tightest: uncertainty (k = 2) shaft MIC-2 0.0001, bore TEL-1 0.0003, MIC-2 0.0001: root of squares 0.00034");
}

/// Of readings alike the least certain counts.
#[test]
fn of_readings_alike_the_least_certain_counts() {
    let job = one_box_by_another_gauge().row("C1.shaft", "[1.3730, 1.3731]");
    let found = job.judge();
    let loosest = held(&job, &found, "C1", "loosest");
    assert_eq!(loosest[0], "shaft MIC-9 0.0004");
}

/// Close to one end while the margin is to another: each is told of its own.
#[test]
fn close_names_the_end_that_its_chance_is_of() {
    // Tightest 0.0013 stands 0.0003 from 0.0010, loosest 0.0045 stands 0.0005
    // from 0.0050. The bore's larger reading has U of 0.0008, the others 0.0001
    // and 0.0002.
    let coarse = "[gauges.MIC-9]\nname = \"bore gauge\"\nserial = \"CF-0999\"\nrange = [1.0000, 2.0000]\nresolution = 0.0001\nuncertainty = 0.0008\ndue = 2026-09-30\n\n[gauges.MIC-2]";
    let job = Job::first()
        .with("job", "[gauges.MIC-2]", coarse)
        .row("C1.shaft", "[1.3735, 1.3735]")
        .row("C1.bore", "[1.3748, 1.3755]")
        .again(
            "C1",
            "bore 2",
            "1.3780",
            "measured again",
            "by = \"TD\"; on = 2026-03-06; gauge = \"MIC-9\"; zero = \"vv\"",
        );
    let found = job.judge();
    let row = found.row("C1");
    let verdict = &row.steps.last().unwrap().verdict;
    // Whatever is said to be close is what the chance belongs to.
    if let Some(close) = &verdict.close_to {
        let name = close.split(' ').next().unwrap();
        let held = verdict.held.iter().find(|held| held.name.to_string() == name).unwrap();
        assert!(held.budget.iter().any(|part| part.expanded == Exact::read("0.0008").unwrap()));
        let words = state_words(row, row.last().unwrap());
        assert!(
            !words.contains("close") || words.contains(&format!("close to {close}")),
            "{words}"
        );
    } else {
        assert!(verdict.chance.is_none());
    }
}

/// A line that names a part finds its expansion, as one with a feature does.
#[test]
fn a_line_that_names_a_part_finds_its_expansion() {
    let job = Job::last();
    let (case, _) = job.expanded();
    let named = case.limits.lines.iter().filter(|line| line.part().is_some());
    assert!(named.count() > 3);
    // End play of the camshaft: 0.0085 by a steel gauge on steel stays, and no
    // note says that the part has no expansion.
    let sheet = case_sheet(&job, "UC");
    let found = job
        .sheet(&sheet, "zero = \"vv\" }", "zero = \"vv\", part-temp = 30, gauge-temp = 30 }")
        .judge();
    found.silent("UC", "gives the part no expansion").says("UC", "at 20 °C");
}

fn case_sheet(job: &Job, code: &str) -> String {
    let (_, set) = job.expanded();
    let holds = |sheet: &&benchleaf::sheet::Sheet| {
        sheet.lines().any(|line| line.rows.iter().any(|row| row.code == code))
    };
    set.sheets.iter().find(holds).unwrap().letter.clone()
}
