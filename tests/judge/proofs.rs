//! Proof-reading a limits file. The mistakes are kinds of slip seen in real
//! published tables, rewritten for invented lines.

use super::bench::*;
use benchleaf::diag::{Diag, Diags, Severity, Span};
use benchleaf::judge::proof;
use benchleaf::model::engine::Engine;
use benchleaf::model::limits::*;
use benchleaf::model::text::Limit;
use std::sync::Arc;

pub fn read(lines: Vec<Line>) -> Diags {
    let mut bench = Bench::new();
    bench.limits.lines = lines;
    proof(&bench.limits, &bench.engine)
}

fn only(line: Line) -> Diag {
    let found = read(vec![line]);
    let all: Vec<&Diag> = found.iter().collect();
    assert_eq!(all.len(), 1, "{all:?}");
    all[0].clone()
}

fn clean(line: Line) {
    let found = read(vec![line]);
    assert!(found.is_empty(), "{found:?}");
}

fn published(fit: &str) -> Line {
    fit_line("1.3725 1.3735 1.3715", "1.3745 1.3760 1.3770", fit)
}

#[test]
fn the_lines_of_the_table_are_clean() {
    for line in [camshaft(), tappet(), pump(), housing(), main_bearing()] {
        clean(line);
    }
}

#[test]
fn wider_than_the_parts_allow() {
    let found = only(published("0.0010L 0.0040L - 0.0050L"));
    assert_eq!(found.severity, Severity::Fault);
    assert_eq!(
        found.message,
        "line C: fit 0.0010 L to 0.0040 L is wider than its parts allow, 0.0010 L to 0.0035 L"
    );
    assert!(found.help.contains("agreed = "), "{}", found.help);
    let mut agreed = published("0.0010L 0.0040L - 0.0050L");
    agreed.agreed = Some(word("maker's letter of 2 May"));
    let found = only(agreed);
    assert_eq!(found.severity, Severity::Note);
    assert_eq!(found.help, "agreed: maker's letter of 2 May");
}

#[test]
fn narrower_is_selective_assembly() {
    let found = only(published("0.0012L 0.0030L - 0.0050L"));
    assert_eq!(found.severity, Severity::Note);
    assert!(found.message.contains("narrower") && found.help.contains("selective assembly"));
}

#[test]
fn offset_and_reversed() {
    let found = only(published("0.0005L 0.0030L - 0.0050L"));
    assert!(found.severity == Severity::Fault && found.message.contains("offset"));
    let found = only(published("0.0035L 0.0010L - 0.0050L"));
    assert!(found.severity == Severity::Fault && found.message.contains("from large to small"));
    // A metric range printed high to low.
    let found = only(fit_line("- - -", "26.938 25.997 -", "- - - -"));
    assert!(found.message.contains("bore new 26.9380 to 25.9970 runs from large to small"));
}

#[test]
fn interference_printed_as_clearance() {
    let line = fit_line("1.0005 1.0010 -", "0.9990 0.9998 -", "0.0007L 0.0020L - -");
    let found = only(line);
    assert_eq!(found.severity, Severity::Fault);
    assert!(found.help.starts_with("the sign is lost"), "{}", found.help);
    let line = fit_line("1.3725 1.3745 -", "1.3735 1.3760 -", "0.0010L 0.0035L - -");
    assert!(only(line).severity == Severity::Note);
}

#[test]
fn a_single_digit_is_named() {
    let found =
        only(fit_line("1.3725 1.3785 1.3715", "1.3745 1.3760 1.3770", "0.0010L 0.0035L - 0.0050L"));
    assert!(found.help.contains("shaft largest 1.3735 for 1.3785 (one digit)"), "{}", found.help);
    let exchanged = fit_line("1.3725 1.3735 -", "1.3745 1.3670 -", "0.0010L 0.0035L - 0.0050L");
    let found = read(vec![exchanged]);
    let right: Vec<&str> = found.iter().map(|diag| diag.help.as_str()).collect();
    let named = "bore largest 1.3760 for 1.3670 (two digits exchanged)?";
    assert!(right[1].starts_with(named), "{right:?}");
}

#[test]
fn wear_limits_on_the_right_side() {
    let found =
        only(fit_line("1.3725 1.3735 1.3730", "1.3745 1.3760 -", "0.0010L 0.0035L - 0.0050L"));
    assert!(found.severity == Severity::Fault);
    assert_eq!(
        found.message,
        "line C: shaft wear limit 1.3730 is larger than its new minimum 1.3725"
    );
    let found =
        only(fit_line("1.3725 1.3735 -", "1.3745 1.3760 1.3750", "0.0010L 0.0035L - 0.0050L"));
    assert!(
        found.message.contains("bore wear limit 1.3750 is smaller than its new maximum 1.3760")
    );
    let found =
        only(fit_line("1.3725 1.3735 1.3725", "1.3745 1.3760 -", "0.0010L 0.0035L - 0.0050L"));
    assert!(found.severity == Severity::Note && found.message.contains("equals its new minimum"));
}

#[test]
fn service_is_not_tighter_than_new() {
    let found = only(published("0.0010L 0.0035L - 0.0030L"));
    assert_eq!(found.severity, Severity::Fault);
    assert!(
        found.message.contains("fit service 0.0030 L is tighter than its new maximum 0.0035 L")
    );
    let found = only(published("0.0010L 0.0035L 0.0015L 0.0050L"));
    assert!(found.message.contains("tighter than its new minimum"));
    let found = only(published("0.0010L 0.0035L - 0.0035L"));
    assert!(found.severity == Severity::Note && found.message.contains("equals its new maximum"));
    let found = only(reading_line("0.0050 0.0150 - 0.0100"));
    assert!(found.severity == Severity::Fault && found.help.contains("exchanged"));
    clean(reading_line("0.0050 0.0120 - 0.0180"));
    clean(reading_line("68 76 64 -"));
    assert!(only(reading_line("68 76 70 -")).message.contains("tighter"));
}

fn twinned(own: &str, twin: &str) -> Line {
    let mut line = reading_line(own);
    if let Kind::Reading(reading) = &mut line.kind {
        reading.limits.twin = twinned_with("mm", twin);
    }
    line
}

#[test]
fn twins_are_one_value() {
    clean(twinned("0.0010 0.0035 - 0.0060", "0.0254 0.0889 - 0.1524"));
    clean(twinned("0.0010 0.0035 - 0.0060", "0.025 0.089 - 0.15"));
    // An inch value beside another's millimetres: 3.4980 in is 88.849 mm.
    let found = only(twinned("3.4980 - - -", "88.749 - - -"));
    assert_eq!(found.message, "line C: new minimum 3.4980 in beside 88.749 mm");
    assert_eq!(found.help, "3.4980 in is 88.849 mm; 88.749 mm is 3.4941 in; one digit?");
    let found = only(twinned("0.005 - - -", "0.013 - - -"));
    assert!(found.help.ends_with("the point slipped?"), "{}", found.help);
    let found = only(twinned("0.0005 - - -", "-0.0127 - - -"));
    assert!(found.help.ends_with("the sign is lost?"), "{}", found.help);
    // The same where either was rounded from the other.
    for (inches, millimetres) in [("0.0005", "-0.013"), ("0.001", "-0.030"), ("-0.0012", "0.03")] {
        let limits = |figure: &str| format!("{figure} - - -");
        let found = only(twinned(&limits(inches), &limits(millimetres)));
        assert!(found.help.ends_with("the sign is lost?"), "{}", found.help);
    }
    // Cut, not rounded.
    assert!(only(twinned("0.0400 - - -", "1.01 - - -")).severity == Severity::Fault);
}

#[test]
fn exchanged_rows_are_recognised() {
    let mut first = twinned("1.3725 - - -", "0.025 - - -");
    first.reference = word("A");
    let second = twinned("0.0010 - - -", "34.862 - - -");
    let found = read(vec![first, second]);
    let right: Vec<&str> = found.iter().map(|diag| diag.help.as_str()).collect();
    assert_eq!(right.len(), 2);
    assert!(right[0].ends_with("exchanged with new minimum of line C?"), "{right:?}");
    assert!(right[1].ends_with("exchanged with new minimum of line A?"), "{right:?}");
}

#[test]
fn twins_of_a_metric_line() {
    let mut line = measured_in("mm", reading_line("34.862 - - -"));
    line.places = 3;
    if let Kind::Reading(reading) = &mut line.kind {
        reading.limits.twin = twinned_with("in", "1.3725 - - -");
    }
    clean(line.clone());
    if let Kind::Reading(reading) = &mut line.kind {
        reading.limits.twin = twinned_with("in", "1.3735 - - -");
    }
    assert_eq!(only(line).message, "line C: new minimum 34.862 mm beside 1.3735 in");
}

#[test]
fn twins_of_parts_and_fits() {
    let mut line = camshaft();
    if let Kind::Fit(fit) = &mut line.kind {
        fit.shaft.twin = Some(Box::new(part_in("mm", SHAFT, "34.862 34.887 34.836")));
        fit.fit.twin = twinned_with("mm", "0.025L 0.089L - 0.127L");
    }
    clean(line.clone());
    if let Kind::Fit(fit) = &mut line.kind {
        fit.shaft.twin = Some(Box::new(part_in("mm", SHAFT, "34.862 34.837 34.836")));
    }
    let found = only(line);
    assert_eq!(found.message, "line C: shaft new maximum 1.3735 in beside 34.837 mm");
}

#[test]
fn a_range_of_over_forty_to_one_is_questioned() {
    clean(twinned("0.0010 0.0400 - -", "-"));
    let found = only(twinned("0.0010 0.0401 - -", "-"));
    assert_eq!(found.message, "line C: new 0.0010 to 0.0401 is a range of over 40 to 1");
    assert!(found.severity == Severity::Note);
}

#[test]
fn roundness_and_tolerance() {
    // Journals made to 0.0010: by the part of a fit and by a line of its own.
    for made in [camshaft(), size_line("1.3725 1.3735 - -")] {
        let round = |limit: &str| {
            let kind = Kind::Roundness(RoundnessLine { feature: SHAFT, limits: four(limit) });
            let line = Line { reference: word("O"), ..line(kind) };
            read(vec![made.clone(), line])
        };
        assert!(round("- 0.0005 - 0.0010").is_empty());
        assert!(round("- 0.0010 - -").is_empty());
        let found = round("- 0.0015 - -");
        let found: Vec<&Diag> = found.iter().collect();
        assert_eq!(found.len(), 1);
        assert!(found[0].severity == Severity::Note && found[0].message.contains("0.0015"));
    }
}

#[test]
fn shafts_are_shafts() {
    let mut line = camshaft();
    if let Kind::Fit(fit) = &mut line.kind {
        (fit.shaft.feature, fit.bore.feature) = (BORE, SHAFT);
    }
    assert_eq!(read(vec![line]).faults(), 2);
}

#[test]
fn grades_are_read_too() {
    let mut line = main_bearing();
    if let Kind::Fit(fit) = &mut line.kind {
        fit.grades.push(Grade {
            name: word("first grade"),
            shaft: Some(part(SHAFT, "2.2420 2.2430 2.2400")),
            bore: Some(part(BORE, "2.2445 2.2460 -")),
            shaft_called: None,
            bore_called: None,
        });
    }
    clean(line.clone());
    if let Kind::Fit(fit) = &mut line.kind {
        fit.grades[0].bore = Some(part(BORE, "2.2445 2.2465 -"));
    }
    let found = only(line);
    assert!(found.message.contains("of grade first grade"), "{}", found.message);
}

/// A grade shifts every new limit by the amount that it is called after (the
/// design's rule on grades; no source outside).
#[test]
fn a_grade_is_what_its_name_says() {
    let graded = |name: &str, shaft: &str, bore: &str| {
        let mut line = main_bearing();
        if let Kind::Fit(fit) = &mut line.kind {
            fit.grades.push(Grade {
                name: word(name),
                shaft: Some(part(SHAFT, shaft)),
                bore: Some(part(BORE, bore)),
                shaft_called: None,
                bore_called: None,
            });
        }
        line
    };
    clean(graded("0.006 undersize", "2.2420 2.2430 2.2400", "2.2445 2.2460 -"));
    clean(graded("U/S .006 under", "2.2420 2.2430 2.2400", "2.2445 2.2460 -"));
    clean(graded("0.010 over", "2.2580 2.2590 2.2560", "2.2605 2.2620 -"));
    // A name that tells no way or no amount says nothing of the figures.
    clean(graded("0.020", "2.2420 2.2430 2.2400", "2.2445 2.2460 -"));
    clean(graded("first undersize", "2.2420 2.2430 2.2400", "2.2445 2.2460 -"));
    // The figures of 0.006 under another name: all four, the way too.
    for name in ["0.010 undersize", "0.006 oversize"] {
        let line = graded(name, "2.2420 2.2430 2.2400", "2.2445 2.2460 -");
        let found: Vec<String> = read(vec![line]).iter().map(|d| d.message.clone()).collect();
        assert_eq!(found.len(), 4, "{found:#?}");
        assert!(found.iter().all(|wrong| wrong.contains("not what its name says")), "{found:#?}");
    }
}

/// A fault stands at the limit that is wrong.
#[test]
fn located_at_the_limit() {
    let mut line = published("0.0010L 0.0035L - 0.0030L");
    let place = Span::new(&Arc::from("limits.toml"), 120, 127);
    if let Kind::Fit(fit) = &mut line.kind
        && let Some(Limit { at, .. }) = &mut fit.fit.service_max
    {
        *at = place.clone();
    }
    assert_eq!(only(line).at, Some(place));
}

/// Messages are lower case, without a full stop.
#[test]
fn one_voice() {
    let mut bench: Vec<Line> = vec![
        published("0.0010L 0.0040L - 0.0030L"),
        fit_line("1.3735 1.3725 1.3740", "1.3745 1.3760 1.3750", "0.0035L 0.0010L - -"),
        twinned("0.0003 0.0150 - 0.0100", "0.013 - - -"),
    ];
    bench[1].reference = word("D");
    let _: &Engine = &Bench::new().engine;
    for diag in read(bench).iter() {
        assert!(
            diag.message.starts_with("line ") && !diag.message.ends_with('.'),
            "{}",
            diag.message
        );
        assert!(!diag.help.ends_with('.'), "{}", diag.help);
    }
}
