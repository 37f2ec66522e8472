//! Jobs that begin with a family of engines: opened, given invented limits,
//! printed, filled in to a final record.

mod made;
mod sheets;
mod told;
mod words;

use crate::cli::Script;
use made::{FAMILIES, Made};

/// What `benchleaf new` opens asks for the limits of every line, and for
/// nothing else that a family could know.
#[test]
fn every_line_without_limits_is_named_and_nothing_is_printed() {
    for family in FAMILIES {
        let script = Script::new();
        script.run(&format!("new job --like {family}")).status(0);
        // Before the job is filled in, too.
        script.run("sheets job").status(2).complains("fault: line M: a fit without any limit");
        script.write("job/job.toml", made::JOB);
        let lines: Vec<String> = script
            .read("job/limits.toml")
            .lines()
            .filter_map(|line| line.trim_start_matches(['{', ' ']).strip_prefix("ref "))
            .filter_map(|rest| Some(rest.split('"').nth(1)?.to_owned()))
            .collect();
        assert!(lines.len() > 30, "{family}: {lines:?}");
        for command in ["sheets job", "check job", "limits --quiet job/limits.toml"] {
            let ran = script.run(command).status(2);
            let told: Vec<&str> =
                ran.err.lines().filter(|line| line.starts_with("fault")).collect();
            let expected: Vec<bool> = lines
                .iter()
                .map(|line| told.iter().any(|told| told.contains(&format!("line {line}: a "))))
                .collect();
            assert!(expected.iter().all(|told| *told), "{family}, {command}: {told:#?}");
            assert_eq!(told.len(), lines.len(), "{family}, {command}: {told:#?}");
            assert!(ran.err.contains("give its limits from the manual, or take the line out"));
        }
        script.missing("job/sheets.pdf");
    }
}

/// A line whose limits are left out on purpose says who decided that.
#[test]
fn a_line_that_is_only_recorded_says_so() {
    let mut made = Made::of("flat-twin");
    let given = made.limits().to_owned();
    let bare = made::without_limits(&given, "UP");
    assert_ne!(given, bare);
    made.put_limits(&bare);
    assert_eq!(made.faults(), ["line UP: a reading without any limit"]);
    made.put_limits(
        &bare.replace("\nref  = \"UP\"", "\nref  = \"UP\"\nagreed = \"no limit given\""),
    );
    assert_eq!(made.faults(), Vec::<String>::new());
}

/// Each family, and every radial of one row or two that is built at all.
#[test]
fn every_family_prints_once_its_limits_are_given() {
    let radials = [3, 5, 7, 9, 11].map(|n| format!("radial --cylinders {n}"));
    let rows = [6, 10, 14, 18, 22].map(|n| format!("radial --cylinders {n} --rows 2"));
    let flats = FAMILIES.iter().map(|family| (*family).to_owned());
    for family in flats.chain(radials).chain(rows) {
        let made = Made::of(&family);
        assert_eq!(made.faults(), Vec::<String>::new(), "{family}");
        let (case, set) = made.expanded();
        let on_paper = set.rows().count();
        let in_limits: usize =
            case.limits.lines.iter().map(|line| line.row_codes(&case.engine).len()).sum();
        assert_eq!(on_paper, in_limits, "{family}");
    }
}

/// Cylinders that a family cannot have are refused before anything is written.
#[test]
fn numbers_of_cylinders_that_cannot_be_are_refused() {
    let script = Script::new();
    for (asked, why) in [
        ("radial", "say how many cylinders"),
        ("radial --cylinders 8", "an odd number"),
        ("radial --cylinders 1", "3 or more"),
        ("radial --cylinders 9 --rows 2", "an odd number"),
        ("radial --cylinders 12 --rows 2", "an odd number"),
        ("radial --cylinders 99", "an odd number"),
        ("flat-four --cylinders 6", "4 cylinders"),
        ("flat-four --rows 2", "only a radial"),
    ] {
        script.run(&format!("new job --like {asked}")).status(2).complains(why);
        script.missing("job");
    }
}

/// The places of a radial, held against angles: cylinder 1 stands upright, the
/// others follow at even angles, and what is lower than the shaft hangs. Of two
/// rows each has its own master rod. (Common practice, no source.)
#[test]
fn the_places_of_a_radial_follow_from_its_cylinders() {
    let one = [3, 5, 7, 9, 11].map(|n| (n, 1));
    let two = [6, 10, 14, 18, 22].map(|n| (n, 2));
    for (cylinders, rows) in one.into_iter().chain(two) {
        let (case, _) =
            Made::of(&format!("radial --cylinders {cylinders} --rows {rows}")).expanded();
        let codes = |set: &str| -> Vec<u32> {
            let set = &case.engine.places[case.engine.place_set(set).expect("a set of places")];
            set.places.iter().map(|place| place.code.as_str().parse().expect("a number")).collect()
        };
        let lower =
            |n: &u32| (f64::from(n - 1) / f64::from(cylinders) * std::f64::consts::TAU).cos() < 0.0;
        let all: Vec<u32> = (1..=cylinders).collect();
        assert_eq!(codes("cylinder"), all);
        assert_eq!(codes("hanging"), all.iter().copied().filter(lower).collect::<Vec<_>>());
        let (masters, links) = (codes("master-rod"), codes("link-rod"));
        // Odd numbers are one row, even ones the other.
        let row = |of: &[u32], n: u32| of.iter().filter(|code| **code % rows == n % rows).count();
        for n in 1..=rows {
            let each = usize::try_from(cylinders / rows).expect("few");
            assert_eq!((row(&masters, n), row(&links, n)), (1, each - 1), "{cylinders} in {rows}");
        }
        let mut rods = [masters, links].concat();
        rods.sort_unstable();
        assert_eq!(rods, all);
        let valves = case.engine.place_set("valve").expect("valves");
        assert_eq!(case.engine.places[valves].places.len(), 2 * all.len());
        assert_eq!(codes("row").len(), usize::try_from(rows).expect("few"));
    }
}

/// Rows of a file that say something: neither empty nor a comment alone.
fn rows(text: &str) -> usize {
    text.lines()
        .filter(|line| !matches!(line.trim_start().chars().next(), None | Some('#')))
        .count()
}

/// An engine is described in an evening: what `new --like` writes for a radial of
/// nine, every limit filled in, and the demonstration. Counted are the rows of
/// both files that say something. (The figures are this project's own goal.)
#[test]
fn an_engine_and_its_limits_are_short() {
    let made = Made::of("radial --cylinders 9");
    let engine = rows(made.files.get("engine.toml").expect("the engine"));
    let limits = rows(made.limits());
    assert!(engine + limits <= 450, "{engine} of the engine and {limits} of its limits");
    // Every line has all of its limits: the fewest rows would have none.
    assert_eq!(made.faults(), Vec::<String>::new());
    let demo =
        rows(include_str!("../demo/engine.toml")) + rows(include_str!("../limits/tw4-h8.toml"));
    assert!(demo <= 700, "{demo} of the demonstration");
    // Before its limits are given a row is no wider than a screen.
    for family in FAMILIES {
        let script = Script::new();
        script.run(&format!("new job --like {family}")).status(0);
        let limits = script.read("job/limits.toml");
        let wide: Vec<&str> = limits.lines().filter(|line| line.chars().count() > 120).collect();
        assert_eq!(wide, Vec::<&str>::new(), "{family}");
    }
}
