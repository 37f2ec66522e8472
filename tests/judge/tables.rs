//! Every usable row of the published tables: fits, springs, twins, readings
//! and worked sums. Each row names its document; see `tests/tables/README.md`.

use super::bench::*;
use super::proofs::read;
use super::table::{Row, rows};
use benchleaf::diag::Severity;
use benchleaf::judge::{FitLimits, Measure, Published, State, published};
use benchleaf::model::job::Scope;
use benchleaf::model::limits::{FitLine, Kind, Line};
use benchleaf::quantity::{Exact, agree_as_printed, quotient};

/// A cell as a limit: plain figures of a fit are clearances.
fn cell<'a>(row: &'a Row, name: &str) -> &'a str {
    match row[name].as_str() {
        "" => "-",
        text => text,
    }
}

fn signed(row: &Row, name: &str) -> String {
    match cell(row, name) {
        "-" => "-".to_owned(),
        text if text.ends_with(['L', 'T']) => text.to_owned(),
        text => format!("{text}L"),
    }
}

fn has_parts(row: &Row) -> bool {
    ["shaft_min", "shaft_max", "bore_min", "bore_max"].iter().all(|name| !row[*name].is_empty())
}

/// The row as a line: a fit where it has parts, else a reading. A second unit
/// printed in the same row is its twin.
pub fn as_line(row: &Row) -> Line {
    let fit = format!(
        "{} {} - {}",
        signed(row, "pub_low"),
        signed(row, "pub_high"),
        signed(row, "service_max")
    );
    let mut line = if has_parts(row) || row["kind"] == "fit" {
        let part = |part: &str| {
            let at = |end: &str| cell(row, &format!("{part}_{end}"));
            format!("{} {} {}", at("min"), at("max"), at("limit"))
        };
        fit_line(&part("shaft"), &part("bore"), &fit)
    } else {
        reading_line(&fit)
    };
    line = measured_in(&row["unit"], line);
    line.reference = word(&row["id"]);
    line.places = if row["unit"] == "mm" { 3 } else { 5 };
    let twin = row["as_printed"].split_once(" in (").and_then(|(_, rest)| rest.split_once(" mm)"));
    if let (Some((span, _)), Kind::Fit(fit)) = (twin, &mut line.kind)
        && let Some((low, high)) = span.split_once(" to ")
    {
        fit.fit.twin = twinned_with("mm", &format!("{low}L {high}L - -"));
    }
    line
}

fn as_fit(line: &Line) -> &FitLine {
    match &line.kind {
        Kind::Fit(fit) => fit,
        other => panic!("not a fit: {other:?}"),
    }
}

fn computed(flag: &str) -> Published {
    match flag {
        "agree" => Published::Agrees,
        "narrower" => Published::Narrower,
        "wider" => Published::Wider,
        "offset" => Published::Offset,
        "reversed" => Published::Reversed,
        _ => Published::Unknown,
    }
}

/// The published fit against the parts, for every row that prints both.
#[test]
fn published_fits_against_their_parts() {
    let mut compared = 0;
    for row in rows("fits.csv") {
        let line = as_line(&row);
        if !has_parts(&row) {
            continue;
        }
        let basis = FitLimits::of(as_fit(&line), &line.unit, Scope::New, None).unwrap();
        assert_eq!(published(&basis), computed(&row["flag_computed"]), "{row:?}");
        let derived = |a: Option<Exact>, b: Option<Exact>| a.zip(b).map(|(a, b)| a - b);
        assert_eq!(derived(basis.b1, basis.s2), Some(exact(&row["derived_low"])), "{row:?}");
        assert_eq!(derived(basis.b2, basis.s1), Some(exact(&row["derived_high"])), "{row:?}");
        if !row["derived_limit"].is_empty() {
            let wear = derived(basis.bore_wear, basis.shaft_wear);
            assert_eq!(wear, Some(exact(&row["derived_limit"])), "{row:?}");
        }
        compared += 1;
    }
    assert!(compared >= 70, "{compared}");
}

/// Printed rows: agree is clean, narrower is selective, wider and offset are
/// faults, a misprint is questioned.
#[test]
fn the_proof_reader_over_printed_rows() {
    let mut counts = [0; 4];
    for row in rows("fits.csv").iter().filter(|row| row["value_basis"] == "printed") {
        let found = read(vec![as_line(row)]);
        let faults = found.faults();
        let selective = found.iter().any(|diag| {
            diag.severity == Severity::Note && diag.help.contains("selective assembly")
        });
        match row["flag"].as_str() {
            "agree" | "published only" | "no fit printed" | "limit only" => {
                assert_eq!(faults, 0, "{row:?} {found:?}");
                assert!(!selective, "{row:?}");
                counts[0] += 1;
            }
            "narrower" => {
                assert!(faults == 0 && selective, "{row:?} {found:?}");
                counts[1] += 1;
            }
            "wider" | "offset" => {
                let word = row["flag"].as_str();
                assert!(faults > 0, "{row:?}");
                assert!(found.iter().any(|diag| diag.message.contains(word)), "{found:?}");
                counts[2] += 1;
            }
            "misprint" => {
                // A figure that cannot be read is refused before any proof.
                let unread = row["as_printed"]
                    .split(' ')
                    .any(|text| text.matches('.').count() > 1 && Exact::read(text).is_err());
                assert!(!found.is_empty() || unread, "{row:?}");
                counts[3] += 1;
            }
            other => panic!("{other}"),
        }
    }
    assert!(counts[0] > 80 && counts[1..].iter().all(|count| *count > 3), "{counts:?}");
}

/// The extreme new parts of an agreeing row make its published fit, and each
/// end is inside and at its limit. A little beyond the service limit is out.
#[test]
fn agreeing_rows_judged() {
    let bench = Bench::new();
    let mut judged = 0;
    let agreeing = rows("fits.csv")
        .into_iter()
        .filter(|row| row["flag"] == "agree" && has_parts(row) && row["value_basis"] != "repaired");
    for row in agreeing {
        let line = as_line(&row);
        let two =
            |part: &str| format!("{} {}", row[&format!("{part}_min")], row[&format!("{part}_max")]);
        let verdict = bench.judge(&line, &two("shaft"), &two("bore"));
        assert_eq!(verdict.state, State::New, "{row:?} {verdict:?}");
        assert_eq!(verdict.figure(Measure::Tightest), Some(exact(&row["derived_low"])));
        assert_eq!(verdict.figure(Measure::Loosest), Some(exact(&row["derived_high"])));
        for end in ["tightest", "loosest"] {
            assert!(super::fits::at_limit(&verdict, end), "{row:?} {verdict:?}");
        }
        if let (Kind::Fit(fit), true) = (&line.kind, row["bore_limit"].is_empty())
            && let Some(service) = &fit.fit.service_max
        {
            let shaft = exact(&row["shaft_min"]);
            let service = service.in_unit(&line.unit).unwrap().value;
            let beyond = shaft + service + Exact::steps(1, 5);
            let verdict =
                bench.judge(&line, &format!("{shaft} {shaft}"), &format!("{beyond} {beyond}"));
            assert_eq!(verdict.state.to_string(), "out, loose by 0.00001", "{row:?}");
        }
        judged += 1;
    }
    assert!(judged >= 25, "{judged}");
}

/// What the table's makers think was meant, put in its place.
#[test]
fn corrected_rows() {
    let mut corrected = 0;
    for mut row in rows("fits.csv") {
        let corrections: Vec<(String, String)> = row["likely"]
            .split(';')
            .filter_map(|part| part.split_once('='))
            .map(|(name, value)| (name.to_owned(), value.to_owned()))
            .collect();
        if corrections.is_empty() || row["flag_if_corrected"].is_empty() || !has_parts(&row) {
            continue;
        }
        for (name, value) in corrections {
            let name = if name == "service" { "service_max".to_owned() } else { name };
            assert!(row.insert(name, value).is_some());
        }
        let line = as_line(&row);
        let basis = FitLimits::of(as_fit(&line), &line.unit, Scope::New, None).unwrap();
        assert_eq!(published(&basis), computed(&row["flag_if_corrected"]), "{row:?}");
        corrected += 1;
    }
    assert!(corrected >= 8, "{corrected}");
}

/// F007 prints 0.0061 for 0.9961: the reader is told so.
#[test]
fn the_likely_slip_is_named() {
    let all = rows("fits.csv");
    let row = all.iter().find(|row| row["id"] == "F007").expect("F007");
    let found = read(vec![as_line(row)]);
    let named = |text: &str| found.iter().any(|diag| diag.help.contains(text));
    assert!(named("shaft largest 0.99610 for 0.00610"), "{found:?}");
    assert!(!named("bore smallest"), "{found:?}");
}

/// A planted fault in any agreeing row is found: each of the six figures moved
/// by one last place.
#[test]
fn planted_faults_are_found() {
    let mut planted = 0;
    for row in rows("fits.csv").iter().filter(|row| row["flag"] == "agree" && has_parts(row)) {
        for name in ["shaft_min", "shaft_max", "bore_min", "bore_max", "pub_low", "pub_high"] {
            let mut row = row.clone();
            let text = row[name].clone();
            let digits = text.trim_end_matches(['L', 'T']);
            let side = &text[digits.len()..];
            let moved = exact(digits) + Exact::steps(1, exact(digits).places());
            row.insert(name.to_owned(), format!("{moved}{side}"));
            assert!(!read(vec![as_line(&row)]).is_empty(), "{name} of {row:?}");
            planted += 1;
        }
    }
    assert!(planted > 150, "{planted}");
}

#[test]
fn spring_loads_at_length() {
    let bench = Bench::new();
    let mut judged = 0;
    for row in rows("springs.csv") {
        let limits = format!(
            "{} {} {} -",
            cell(&row, "new_min"),
            cell(&row, "new_max"),
            cell(&row, "service_min")
        );
        let mut line = measured_in("lbf", reading_line(&limits));
        line.places = 2;
        let found = read(vec![line.clone()]);
        assert_eq!(found.faults(), 0, "{row:?} {found:?}");
        if !row["nominal"].is_empty() {
            let (nominal, tolerance) = (exact(&row["nominal"]), exact(&row["tolerance"]));
            assert_eq!(nominal - tolerance, exact(&row["new_min"]), "{row:?}");
            assert_eq!(nominal + tolerance, exact(&row["new_max"]), "{row:?}");
        }
        let state = |load: Exact| bench.judge_read(&line, &load.to_string()).state;
        let step = Exact::steps(1, 2);
        for name in ["new_min", "new_max"] {
            if !row[name].is_empty() {
                assert_eq!(state(exact(&row[name])), State::New, "{row:?}");
            }
        }
        match row["service_min"].as_str() {
            "" => {
                assert!(matches!(state(exact(&row["new_min"]) - step), State::Out(_)), "{row:?}");
            }
            least => {
                assert_eq!(state(exact(least)), State::Service, "{row:?}");
                assert!(matches!(state(exact(least) - step), State::Out(_)), "{row:?}");
            }
        }
        judged += 1;
    }
    assert_eq!(judged, 35);
}

/// S46 prints 3.27 to 3.00 kg beside 7.2 to 8.8 lb; S49 prints 5.11 kg beside
/// 11.25 lb. The pound is 0.45359237 kg exactly (international agreement, 1959;
/// from memory).
#[test]
fn spring_twins_are_questioned() {
    let pound = Exact::steps(45_359_237, 8);
    let agrees = |lb: &str, kg: &str| agree_as_printed(exact(lb), exact(kg), pound);
    assert!(agrees("7.2", "3.27") && !agrees("8.8", "3.00") && agrees("8.8", "3.99"));
    assert!(agrees("10.75", "4.88") && !agrees("11.25", "5.11") && agrees("11.25", "5.10"));
}

#[test]
fn twins_of_two_units() {
    // A pound-force is the pound times 9.80665 m/s2 (from memory).
    let pound = Exact::steps(45_359_237, 8);
    let newton = pound.product(Exact::steps(980_665, 5));
    let mm = Exact::whole(1).inches_to_mm();
    let mut by_proof = 0;
    for row in rows("twins.csv") {
        let agree = row["flag"].starts_with("agree");
        let english = exact(&row["english"]);
        // A centimetre figure is ten times as many millimetres.
        let centimetres = row["metric_unit"] == "cm";
        let metric = match centimetres {
            true => exact(&row["metric"]).product(Exact::whole(10)),
            false => exact(&row["metric"]),
        };
        let (factor, metric) = match row["metric_unit"].as_str() {
            "mm" => (mm, metric),
            "cm" => (
                mm,
                Exact::steps(metric.in_steps(metric.places()).expect("steps"), metric.places())
                    .ceil(metric.places() - 1),
            ),
            "kg" => (pound, metric),
            "N" => (newton, metric),
            unit => panic!("{unit}"),
        };
        assert_eq!(agree_as_printed(english, metric, factor), agree, "{row:?}");
        if row["english_unit"] != "in" {
            continue;
        }
        let mut line = reading_line(&format!("{english} - - -"));
        line.places = english.places();
        if let Kind::Reading(reading) = &mut line.kind {
            reading.limits.twin = twinned_with("mm", &format!("{metric} - - -"));
        }
        let found = read(vec![line]);
        assert_eq!(found.faults() == 0, agree, "{row:?} {found:?}");
        by_proof += 1;
    }
    assert!(by_proof >= 70, "{by_proof}");
}

#[test]
fn gauge_readings_add_up() {
    for row in rows("readings.csv") {
        let parts = row["parts"].split("; ").filter_map(|part| part.split_once('='));
        let total: Exact = parts.map(|(_, value)| exact(value)).sum();
        assert_eq!(total + exact(&row["base"]), exact(&row["published_total"]), "{row:?}");
    }
}

#[test]
fn worked_sums() {
    let all = rows("examples.csv");
    let row = |id: &str| all.iter().find(|row| row["id"] == id).expect("row");
    let bench = Bench::new();
    // E01: hole 1.500-1.502, shaft 1.495-1.497 make 0.003 to 0.007.
    let line = fit_line("1.495 1.497 -", "1.500 1.502 -", "0.003L 0.007L - -");
    assert!(read(vec![line.clone()]).is_empty());
    let verdict = bench.judge(&line, "1.495 1.497", "1.500 1.502");
    assert_eq!(row("E01")["published"], "0.003; 0.007");
    assert_eq!(verdict.figure(Measure::Tightest), Some(exact("0.003")));
    assert_eq!(verdict.figure(Measure::Loosest), Some(exact("0.007")));
    // E02, E04: an interference of 0.003 from either side.
    assert_eq!(exact("1.500") + exact("0.003"), exact(&row("E02")["published"]));
    assert_eq!(exact("1.500") - exact("0.003"), exact(&row("E04")["published"]));
    // E05: half of 0.003 is not 0.0016; E08: 0.003 and 0.001 are not 0.005.
    let half = quotient(exact("0.003"), 2, 6);
    assert!(half == exact(&row("E05")["recomputed"]) && half != exact(&row("E05")["published"]));
    let sum = exact("0.003") + exact("0.001");
    assert!(sum == exact(&row("E08")["recomputed"]) && sum != exact(&row("E08")["published"]));
    assert_eq!(exact("0.000") + exact("0.0064"), exact(&row("E07")["published"]));
    // E10: subtracting as printed gives an inch of clearance; with the whole
    // inch put back 0.001 to 0.003.
    let verdict = bench.judge(
        &fit_line("- - -", "- - -", "0.0008L 0.0020L - -"),
        "0.624 0.625",
        "1.626 1.627",
    );
    assert!(matches!(verdict.state, State::Out(_)));
    let verdict = bench.judge(&fit_line("- - -", "- - -", "- - - -"), "1.624 1.625", "1.626 1.627");
    assert_eq!(verdict.figure(Measure::Tightest), Some(exact("0.001")));
    assert_eq!(verdict.figure(Measure::Loosest), Some(exact("0.003")));
    // E11: a pump gear on its shaft must lie in 0.001 to 0.0025.
    let line = fit_line("- - -", "- - -", "0.001L 0.0025L - -");
    assert_eq!(row("E11")["limit"], "0.001-0.0025");
    assert_eq!(bench.judge(&line, "0.5000 0.5000", "0.5010 0.5025").state, State::New);
    assert!(matches!(bench.judge(&line, "0.5000 0.5000", "0.5010 0.5026").state, State::Out(_)));
    assert!(matches!(bench.judge(&line, "0.5001 0.5000", "0.5010 0.5025").state, State::Out(_)));
    // E13: reamed to 0.002-0.004, serviceable to 0.006.
    let line = fit_line("- - -", "- - -", "0.002L 0.004L - 0.006L");
    assert_eq!(row("E13")["limit"], "0.006");
    assert_eq!(bench.judge(&line, "0.3720 0.3720", "0.3780 0.3770").state, State::Service);
    assert!(matches!(bench.judge(&line, "0.3720 0.3720", "0.3781 0.3770").state, State::Out(_)));
    // E16: the gap grows by 0.003 for each 0.001 of bore wear.
    assert_eq!(exact("0.001").times(3), exact(&row("E16")["published"]));
    // E19: an average of 0.0155 falls in none of the bands.
    let average = quotient(exact("0.015") + exact("0.016"), 2, 6);
    assert_eq!(average, exact("0.0155"));
    assert!(average > exact("0.015") && average < exact("0.016"));
    // E22: two gaskets.
    assert_eq!(exact("0.012") + exact("0.016"), exact("0.028"));
    assert!(row("E22")["published"].starts_with("0.028"));
}
