//! Both ends of a fit, inclusive limits, worked steps and remedies. Figures
//! from the table of check values and the demonstration.

use super::bench::*;
use super::table;
use benchleaf::judge::{Flag, Measure, State, Verdict};
use benchleaf::model::side::Side;
use benchleaf::quantity::{Fit, Length, Window, inward};
use std::process::Command;

pub fn part<'a>(verdict: &'a Verdict, name: &str) -> &'a State {
    let part = verdict.parts.iter().find(|part| part.side.map_or("fit", Side::word) == name);
    &part.unwrap_or_else(|| panic!("no part {name} in {verdict:?}")).state
}

pub fn figure(verdict: &Verdict, name: &str) -> String {
    let figure = verdict.figures.iter().find(|figure| figure.name.to_string() == name);
    Fit(figure.unwrap_or_else(|| panic!("no {name} in {verdict:?}")).value).show(4)
}

pub fn at_limit(verdict: &Verdict, what: &str) -> bool {
    verdict.flags.iter().any(|flag| matches!(flag, Flag::AtLimit(of) if of.to_string() == what))
}

/// C2 of the demonstration: both parts pass alone and the fit fails.
#[test]
fn parts_pass_alone_and_the_fit_fails() {
    let verdict = Bench::new().judge(&camshaft(), "1.3718 1.3716", "1.3767 1.3768");
    assert_eq!(verdict.state.to_string(), "out, loose by 0.0002");
    assert_eq!(part(&verdict, "shaft"), &State::Service);
    assert_eq!(part(&verdict, "bore"), &State::Service);
    assert_eq!(figure(&verdict, "loosest"), "0.0052 L");
    assert_eq!(figure(&verdict, "tightest"), "0.0049 L");
    assert_eq!(verdict.margin, Some(-exact("0.0002")));
    assert_eq!(verdict.against.as_deref(), Some("loosest 0.0050 L"));
    let steps = verdict.steps.join("\n");
    assert!(
        steps.contains("loosest 1.3768 - 1.3716 = 0.0052 L, limit 0.0050 L: out by 0.0002"),
        "{steps}"
    );
}

#[test]
fn what_would_bring_it_in() {
    let verdict = Bench::new().judge(&camshaft(), "1.3718 1.3716", "1.3767 1.3768");
    let remedies = [
        "largest bore that would bring it in with this shaft: 1.3766",
        "a new bore would do with this shaft: 1.3745 to 1.3760",
        "smallest shaft that would bring it in with this bore: 1.3718",
        "a new shaft would do with this bore: 1.3725 to 1.3735",
    ];
    assert_eq!(verdict.remedies, remedies);
    // Each remedy is held against the rules again.
    let bench = Bench::new();
    let passes = |shaft: &str, bore: &str| bench.judge(&camshaft(), shaft, bore).state.passes();
    assert!(passes("1.3718 1.3716", "1.3766 1.3766") && !passes("1.3718 1.3716", "1.3767 1.3766"));
    assert!(passes("1.3718 1.3718", "1.3767 1.3768") && !passes("1.3717 1.3718", "1.3767 1.3768"));
}

#[test]
fn a_tight_fit_names_the_other_ends() {
    let verdict = Bench::new().judge(&camshaft(), "1.3735 1.3730", "1.3744 1.3748");
    assert_eq!(verdict.remedies[0], "smallest bore that would bring it in with this shaft: 1.3745");
    let verdict = Bench::new().judge(&camshaft(), "1.3716 1.3760", "1.3768 1.3750");
    assert_eq!(verdict.remedies[0], "no bore serves with this shaft");
}

/// 1.3715 and 1.3770 are the wear limits: no mate of either is left to look for.
#[test]
fn two_parts_out_by_themselves_are_brought_in_each() {
    let verdict = Bench::new().judge(&camshaft(), "1.3712 1.3710", "1.3772 1.3773");
    assert_eq!(
        verdict.remedies,
        ["shaft and bore are out by themselves, each has to be brought in: \
          a new shaft from 1.3725 to 1.3735 and a new bore from 1.3745 to 1.3760"]
    );
    assert!(Bench::new().judge(&camshaft(), "1.3725 1.3735", "1.3745 1.3760").state.passes());
}

/// Under new scope the mate keeps its new limits too: selective assembly.
#[test]
fn remedies_under_new_scope() {
    let line =
        fit_line("1.3725 1.3735 1.3715", "1.3745 1.3760 1.3770", "0.0012L 0.0030L - 0.0050L");
    let verdict = Bench::new().under_new().judge(&line, "1.3734 1.3734", "1.3745 1.3745");
    assert_eq!(verdict.state.to_string(), "out, tight by 0.0001");
    assert_eq!(
        verdict.remedies,
        [
            "smallest bore that would bring it in with this shaft: 1.3746",
            "a new bore would do with this shaft from 1.3746 to 1.3760 only",
            "largest shaft that would bring it in with this bore: 1.3733",
            "a new shaft would do with this bore from 1.3725 to 1.3733 only",
        ]
    );
    // The shaft itself is out: only other shafts are offered.
    let loose = fit_line("1.3700 1.3735 -", "1.3745 1.3760 -", "0.0010L 0.0060L - -");
    let verdict = Bench::new().under_new().judge(&loose, "1.3735 1.3699", "1.3760 1.3750");
    assert_eq!(
        verdict.remedies,
        [
            "smallest shaft that would bring it in with this bore: 1.3700",
            "a new shaft would do with this bore: 1.3700 to 1.3735",
        ]
    );
    let verdict = Bench::new().under_new().judge(&line, "1.3734 1.3725", "1.3744 1.3744");
    assert_eq!(verdict.state.to_string(), "out, tight by 0.0002; bore small by 0.0001");
    // The bore itself is out: only another bore is offered, inside its limits.
    assert_eq!(verdict.remedies[0], "smallest bore that would bring it in with this shaft: 1.3746");
    let wide = fit_line("1.3725 1.3735 -", "1.3745 1.3760 -", "0.0005L 0.0012L - -");
    let verdict = Bench::new().under_new().judge(&wide, "1.3725 1.3725", "1.3745 1.3745");
    assert_eq!(verdict.remedies[0], "no bore serves with this shaft");
}

#[test]
fn both_ends_always() {
    let verdict = Bench::new().judge(&camshaft(), "1.3735 1.3730", "1.3744 1.3748");
    // The loosest alone, 0.0018, would pass.
    assert_eq!(verdict.state.to_string(), "out, tight by 0.0001");
    assert_eq!(figure(&verdict, "tightest"), "0.0009 L");
    assert_eq!(figure(&verdict, "loosest"), "0.0018 L");
}

#[test]
fn the_housing_goes_out_while_still_tight() {
    let verdict = Bench::new().judge(&housing(), "0.9996 0.9996", "0.9995 0.9995");
    assert_eq!(verdict.state.to_string(), "out, loose by 0.0002");
    assert_eq!(figure(&verdict, "loosest"), "0.0001 T");
    // H of the demonstration: 0.0012 to 0.0011 T.
    let verdict = Bench::new().judge(&housing(), "1.0006 1.0006", "0.9994 0.9995");
    assert_eq!(figure(&verdict, "tightest"), "0.0012 T");
    assert_eq!(figure(&verdict, "loosest"), "0.0011 T");
    assert_eq!(verdict.state, State::New);
}

/// M2 and T3EX of the demonstration.
#[test]
fn limits_are_inclusive() {
    let verdict = Bench::new().judge(&main_bearing(), "2.2469 2.2465", "2.2519 2.2520");
    assert_eq!(
        (figure(&verdict, "loosest"), verdict.state.clone()),
        ("0.0055 L".into(), State::Service)
    );
    assert!(at_limit(&verdict, "loosest"));
    let verdict = Bench::new().judge(&tappet(), "0.8730 0.8728", "0.8766 0.8768");
    assert_eq!(
        (figure(&verdict, "loosest"), verdict.state.clone()),
        ("0.0040 L".into(), State::Service)
    );
    assert!(at_limit(&verdict, "loosest"));
    let beyond = Bench::new().judge(&tappet(), "0.8730 0.8727", "0.8766 0.8768");
    assert_eq!(beyond.state.to_string(), "out, loose by 0.0001");
}

/// Set for each end that equals a limit, even where the other is out.
#[test]
fn at_limit_beside_an_out() {
    let verdict = Bench::new().judge(&camshaft(), "1.3735 1.3716", "1.3745 1.3768");
    assert_eq!(verdict.state.to_string(), "out, loose by 0.0002");
    assert!(at_limit(&verdict, "tightest") && !at_limit(&verdict, "loosest"));
    // A new limit counts as well as a service limit.
    let verdict = Bench::new().judge(&camshaft(), "1.3730 1.3725", "1.3760 1.3750");
    assert_eq!(
        (figure(&verdict, "loosest"), verdict.state.clone()),
        ("0.0035 L".into(), State::New)
    );
    assert!(at_limit(&verdict, "loosest"));
}

/// C1, C3 and the rows of the demonstration that are inside.
#[test]
fn rows_of_the_demonstration() {
    let rows = [
        (camshaft(), "1.3731 1.3730", "1.3752 1.3753", "0.0021 L", "0.0023 L", State::New),
        (camshaft(), "1.3728 1.3727", "1.3755 1.3757", "0.0027 L", "0.0030 L", State::New),
        (camshaft(), "1.3732 1.3732", "1.3767 1.3768", "0.0035 L", "0.0036 L", State::Service),
        (main_bearing(), "2.2478 2.2477", "2.2512 2.2514", "0.0034 L", "0.0037 L", State::Service),
        (main_bearing(), "2.2483 2.2482", "2.2510 2.2511", "0.0027 L", "0.0029 L", State::New),
        (pump(), "0.4987 0.4986", "0.5008 0.5009", "0.0021 L", "0.0023 L", State::New),
        (tappet(), "0.8733 0.8732", "0.8758 0.8759", "0.0025 L", "0.0027 L", State::New),
    ];
    for (line, shaft, bore, tightest, loosest, state) in rows {
        let verdict = Bench::new().judge(&line, shaft, bore);
        assert_eq!(figure(&verdict, "tightest"), tightest, "{shaft} {bore}");
        assert_eq!(figure(&verdict, "loosest"), loosest, "{shaft} {bore}");
        assert_eq!(verdict.state, state, "{shaft} {bore} {verdict:?}");
    }
}

/// Python's decimal (standard library) judges ten thousand fits.
#[test]
fn ten_thousand_fits_by_pythons_decimal() {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/oracles/_decimals.py");
    let run = Command::new("python3").arg(script).output().expect("python3 is needed");
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let text = String::from_utf8(run.stdout).expect("text");
    let mut count = 0;
    for row in text.lines() {
        let cell: Vec<&str> = row.split(' ').collect();
        let signed = |text: &str| Fit(exact(text)).show(4).replace(' ', "");
        let limits = format!("{} {} - {}", signed(cell[4]), signed(cell[5]), signed(cell[6]));
        let line = fit_line("- - -", "- - -", &limits);
        let verdict = Bench::new().judge(&line, &cell[0..2].join(" "), &cell[2..4].join(" "));
        assert_eq!(verdict.figure(Measure::Tightest), Some(exact(cell[7])), "{row}");
        assert_eq!(verdict.figure(Measure::Loosest), Some(exact(cell[8])), "{row}");
        let state = match part(&verdict, "fit") {
            State::New => "new",
            State::Service => "service",
            State::Out(_) => "out",
            other => panic!("{row}: {other}"),
        };
        assert_eq!(state, cell[9], "{row}");
        let window = Window::of(exact(cell[7]), exact(cell[8]));
        let turned = inward(&window, Length::Inch, Length::Millimetre, 3);
        let expected = Window::of(exact(cell[10]), exact(cell[11]));
        assert_eq!(turned.unwrap_or(expected), expected, "{row}");
        assert_eq!(turned.is_none(), expected.is_empty(), "{row}");
        count += 1;
    }
    assert_eq!(count, 10_000);
}

/// Holes and shafts of ISO 286 as PyPI's pressfit has them: the extreme parts
/// make the extreme clearances.
#[test]
fn iso_286_fits() {
    let rows = table::rows("iso286.csv");
    assert!(rows.len() >= 100);
    for row in rows {
        let at = |name: &str| exact(&row["size_mm"]) + micrometres(&row[name]);
        let line = fit_line("- - -", "- - -", "- - - -");
        let shaft = format!("{} {}", at("shaft_lower_um"), at("shaft_upper_um"));
        let bore = format!("{} {}", at("hole_lower_um"), at("hole_upper_um"));
        let verdict = Bench::new().judge(&line, &shaft, &bore);
        assert_eq!(
            verdict.figure(Measure::Tightest),
            Some(micrometres(&row["least_um"])),
            "{row:?}"
        );
        assert_eq!(
            verdict.figure(Measure::Loosest),
            Some(micrometres(&row["greatest_um"])),
            "{row:?}"
        );
    }
}

fn micrometres(text: &str) -> benchleaf::quantity::Exact {
    exact(text).product(exact("0.001"))
}
