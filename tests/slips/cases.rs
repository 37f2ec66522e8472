//! Single rows and small records, each figure with what a mechanic would ask.
//! The signatures are those of the gauges (one turn 0.025 in, numbered lines
//! 0.1 in: Navy training course 14001; millimetres and the rest: common
//! practice, no source).

use super::bench::{bench, gauge, row, side, texts, typed};
use benchleaf::judge::slips::across::{self, RowSeen};
use benchleaf::judge::slips::{Question, Slip, question};
use benchleaf::judge::{Context, SideReadings};
use benchleaf::model::job::{Gauge, Scope};
use benchleaf::model::limits::{Kind, ReadingLine, Tolerance};
use benchleaf::model::side::{BoxId, Side};
use benchleaf::quantity::Length;

fn slips(asked: &[Question]) -> Vec<(Slip, &str)> {
    asked.iter().map(|a| (a.slip, a.likely.as_deref().unwrap_or("-"))).collect()
}

fn has(asked: &[Question], slip: Slip, likely: &str) -> bool {
    slips(asked).contains(&(slip, likely))
}

#[test]
fn a_sleeve_turn() {
    let asked = bench().ask("C", &["1.3728", "1.3727"], &["1.3755", "1.4007"]);
    assert_eq!(slips(&asked), [(Slip::SleeveTurn, "1.3757")]);
    assert_eq!(asked[0].boxes, [BoxId { group: Side::Bore.into(), index: 1 }]);
    assert_eq!(
        asked[0].cause,
        "bore 2 reads 1.4007 beside 1.3755: one turn of the sleeve (0.0250 in) would make it \
         1.3757"
    );
    assert!(!asked[0].hold);
    let metric = bench().ask("U", &["59.975", "59.974"], &["60.035", "60.536"]);
    assert_eq!(slips(&metric), [(Slip::SleeveTurn, "60.036")]);
}

#[test]
fn swapped_digits_and_a_thimble_line_both() {
    let bench = bench();
    let (shaft, bore) = (["2.2487", "2.2477"], ["2.2512", "2.2514"]);
    let asked = bench.ask("M", &shaft, &bore);
    assert!(has(&asked, Slip::Swapped, "2.2478"), "{asked:#?}");
    assert!(has(&asked, Slip::ThimbleLine, "2.2477"), "{asked:#?}");
    // The same value found again clears it.
    assert_eq!(bench.ask_confirmed("M", &shaft, &bore, &[("shaft", 0)]), []);
}

#[test]
fn measured_again_clears_only_what_was_asked() {
    let bench = bench();
    let (shaft, bore) = (["1.3728", "1.3727"], ["1.3755", "1.4007"]);
    assert_eq!(bench.ask_confirmed("C", &shaft, &bore, &[("bore", 0)]).len(), 1);
    assert_eq!(bench.ask_confirmed("C", &shaft, &bore, &[("bore", 1)]), []);
}

#[test]
fn a_true_out_is_not_hidden() {
    let bench = bench();
    assert_eq!(bench.ask("C", &["1.3718", "1.3716"], &["1.3790", "1.3768"]), []);
    // A thimble line would make it 1.3770, the wear limit: out all the same.
    assert_eq!(bench.ask("C", &["1.3718", "1.3716"], &["1.3780", "1.3768"]), []);
    // Loose by 0.0002, both parts good alone.
    assert_eq!(bench.ask("C", &["1.3718", "1.3716"], &["1.3767", "1.3768"]), []);
    // A thimble line in every box would bring it in, and is not thought of.
    assert_eq!(bench.ask("C", &["1.3708", "1.3707"], &["1.3755", "1.3757"]), []);
    // Tight by 0.0001, and no looser exchanged.
    assert_eq!(bench.ask("C", &["1.3735", "1.3730"], &["1.3744", "1.3748"]), []);
}

#[test]
fn whole_inch_tenth_and_misread() {
    let bench = bench();
    let bore = ["1.3755", "1.3757"];
    let asked = bench.ask("C", &["2.3728", "1.3727"], &bore);
    assert_eq!(slips(&asked), [(Slip::WholeInch, "1.3728")]);
    assert!(has(&bench.ask("C", &["1.4728", "1.3727"], &bore), Slip::Tenth, "1.3728"));
    // 1.3728 with its 7 read as 1, and with its first 3 read as 8.
    assert!(has(&bench.ask("C", &["1.3128", "1.3127"], &bore), Slip::FarOff, "-"));
    assert!(has(&bench.ask("C", &["1.3128", "1.3727"], &bore), Slip::Misread, "1.3728"));
    assert!(has(&bench.ask("C", &["1.8728", "1.3727"], &bore), Slip::Misread, "1.3728"));
    let metric = ["60.035", "60.036"];
    let asked = bench.ask("U", &["84.975", "59.974"], &metric);
    assert_eq!(slips(&asked), [(Slip::WholeInch, "59.975")]);
    assert!(asked[0].cause.contains("wrong frame (25.000 mm)"), "{}", asked[0].cause);
    assert!(has(&bench.ask("U", &["58.975", "59.974"], &metric), Slip::Tenth, "59.975"));
}

#[test]
fn every_box_alike() {
    let bench = bench();
    let bore = ["1.3755", "1.3757"];
    let asked = bench.ask("C", &["1.3978", "1.3977"], &bore);
    assert_eq!(slips(&asked), [(Slip::SleeveTurn, "1.3728, 1.3727")]);
    assert!(has(&bench.ask("C", &["0.3728", "0.3727"], &bore), Slip::WholeInch, "1.3728, 1.3727"));
    assert!(has(&bench.ask("C", &["1.4728", "1.4727"], &bore), Slip::Tenth, "1.3728, 1.3727"));
    // Reused and 0.0005 over new in both boxes: a thimble line brings it back.
    let asked = bench.ask("C", &["1.3740", "1.3739"], &bore);
    assert_eq!(slips(&asked), [(Slip::ThimbleLine, "1.3730, 1.3729")]);
    assert_eq!(bench.ask_confirmed("C", &["1.3740", "1.3739"], &bore, &[("shaft", 1)]), []);
    // One box only on that side is no such thing.
    assert_eq!(bench.ask("C", &["1.3737", "1.3734"], &bore), []);
}

#[test]
fn millimetres_in_an_inch_row() {
    let bench = bench();
    let asked = bench.ask("M", &["57.061", "57.059"], &["2.2512", "2.2514"]);
    assert!(has(&asked, Slip::Digits, "-"));
    // 57.061 / 25.4 = 2.246496..., 57.059 / 25.4 = 2.246417...
    assert!(has(&asked, Slip::OtherUnit, "2.2465"), "{asked:#?}");
    assert!(has(&asked, Slip::OtherUnit, "2.2465, 2.2464"), "{asked:#?}");
    let cause = &asked.iter().find(|a| a.slip == Slip::OtherUnit).unwrap().cause;
    assert!(cause.contains("read in millimetres it would be 2.2465 in"), "{cause}");
    let one = bench.ask("M", &["57.061", "2.2464"], &["2.2512", "2.2514"]);
    assert!(has(&one, Slip::Digits, "-") && has(&one, Slip::OtherUnit, "2.2465"), "{one:#?}");
    // Inches in a millimetre row: 2.361 x 25.4 = 59.9694.
    let asked = bench.ask("U", &["2.361", "2.361"], &["60.035", "60.036"]);
    assert_eq!(slips(&asked), [(Slip::OtherUnit, "59.969, 59.969")]);
}

#[test]
fn digits_are_never_padded() {
    let bench = bench();
    let bore = ["2.2512", "2.2514"];
    let asked = bench.ask("M", &["2.248", "2.2481"], &bore);
    assert_eq!(slips(&asked), [(Slip::Digits, "-")]);
    assert_eq!(
        asked[0].cause,
        "shaft 1 reads 2.248: 3 decimals where 4 are asked, a digit is lost"
    );
    assert_eq!(slips(&bench.ask("M", &["2.24805", "2.2481"], &bore)), [(Slip::Digits, "-")]);
    // The point lost, and out of place: every digit is there.
    for text in ["22480", "22.480", "224.80"] {
        let asked = bench.ask("M", &[text, "2.2481"], &bore);
        assert!(has(&asked, Slip::Point, "2.2480"), "{text} {asked:#?}");
    }
    // Measuring again does not mend a digit.
    let again = bench.ask_confirmed("M", &["2.248", "2.2481"], &bore, &[("shaft", 0)]);
    assert_eq!(slips(&again), [(Slip::Digits, "-")]);
}

#[test]
fn a_clearance_in_a_diameters_box() {
    let bench = bench();
    let asked = bench.ask("C", &["1.3728", "1.3727"], &["1.3755", "0.0028"]);
    assert_eq!(slips(&asked), [(Slip::Clearance, "-")]);
    assert_eq!(asked[0].boxes, [BoxId { group: Side::Bore.into(), index: 1 }]);
    let both = bench.ask("C", &["1.3728", "1.3727"], &["0.0027", "0.0028"]);
    assert_eq!(slips(&both), [(Slip::Clearance, "-")]);
}

#[test]
fn too_far_apart_without_a_cause() {
    let bench = bench();
    let asked = bench.ask("C", &["1.3728", "1.3727"], &["1.3755", "1.3799"]);
    assert_eq!(slips(&asked), [(Slip::Apart, "-")]);
    assert_eq!(asked[0].boxes, [BoxId { group: Side::Bore.into(), index: 1 }]);
    // An oval skirt has no pair, and is judged across the pin alone.
    assert_eq!(bench.ask("K", &["4.3615", "4.3490"], &["4.3745", "4.3746"]), []);
}

#[test]
fn shaft_and_bore_exchanged() {
    let bench = bench();
    // One box with one box.
    let asked = bench.ask("C", &["1.3755", "1.3727"], &["1.3728", "1.3757"]);
    assert!(has(&asked, Slip::Exchanged, "1.3728"), "{asked:#?}");
    // Exchanged back, the bore's pair is 0.0004 apart: a pair of one part within
    // its new roundness limit, 0.0005. At 0.0006 it would be none.
    let asked = bench.ask("M", &["2.2486", "2.2505"], &["2.2484", "2.2509"]);
    assert!(has(&asked, Slip::Exchanged, "2.2484"), "{asked:#?}");
    let asked = bench.ask("M", &["2.2486", "2.2505"], &["2.2484", "2.2511"]);
    assert!(!asked.iter().any(|asked| asked.slip == Slip::Exchanged), "{asked:#?}");
    // A worn journal's reading in the bore's box: it lies beside its pair, which
    // is as worn.
    let asked = bench.ask("C", &["1.3755", "1.3709"], &["1.3710", "1.3757"]);
    assert!(has(&asked, Slip::Exchanged, "1.3710"), "{asked:#?}");
    // All of them: out tight, and good exchanged.
    let asked = bench.ask("C", &["1.3745", "1.3746"], &["1.3730", "1.3731"]);
    let exchanged = "shaft 1.3730, 1.3731, bore 1.3745, 1.3746";
    assert!(has(&asked, Slip::Exchanged, exchanged), "{asked:#?}");
    // Out loose on an interference fit: by rule no question.
    assert_eq!(bench.ask("H", &["0.9994", "0.9995"], &["1.0006", "1.0006"]), []);
}

#[test]
fn a_blank_mate_does_not_stop_a_question() {
    let asked = bench().ask("C", &["1.3978", "1.3727"], &["-", "-"]);
    assert_eq!(slips(&asked), [(Slip::SleeveTurn, "1.3728")]);
    assert_eq!(bench().ask("C", &["-", "-"], &["-", "-"]), []);
    assert_eq!(bench().ask("C", &["1.3728", "-"], &["-", "-"]), []);
}

fn ask_with(gauges: &[&Gauge], shaft: &[&str]) -> Vec<Question> {
    let bench = bench();
    let (shaft, bore) = (texts(shaft), texts(&["1.3755", "1.3757"]));
    let gauges: Vec<Gauge> = gauges.iter().map(|gauge| (*gauge).clone()).collect();
    let row = row(&shaft, &bore, &gauges);
    let setting = Context { gauges: &gauges, ..bench.setting(Scope::Service) };
    question(bench.line("C"), &row, &setting, &<[SideReadings]>::to_vec)
}

#[test]
fn outside_the_gauge() {
    let small = gauge("MIC-1", ["0", "1"], Length::Inch, false);
    let right = gauge("MIC-2", ["1", "2"], Length::Inch, false);
    let transfer = gauge("TEL-1", ["0.5", "0.7"], Length::Inch, true);
    let shaft = ["1.3728", "1.3727"];
    let asked = ask_with(&[&small], &shaft);
    assert_eq!(asked.len(), 4);
    assert_eq!(asked[0].cause, "shaft 1 reads 1.3728, outside the range of MIC-1 (0 to 1 in)");
    // One of several is enough, and a transfer gauge has no say.
    assert_eq!(ask_with(&[&small, &right], &shaft), []);
    assert_eq!(ask_with(&[&transfer, &right], &shaft), []);
    assert_eq!(ask_with(&[&transfer], &shaft), []);
    let frame = ask_with(&[&right], &["2.3728", "1.3727"]);
    assert_eq!(frame[0].slip, Slip::GaugeRange);
    assert!(has(&frame, Slip::WholeInch, "1.3728"));
    let metric = gauge("MIC-2", ["25", "50"], Length::Millimetre, false);
    assert_eq!(ask_with(&[&metric], &shaft), []);
}

/// Direct readings: digits and range alone, however strange the figure.
#[test]
fn direct_readings() {
    let bench = bench();
    let kind = Kind::Reading(ReadingLine {
        at: None,
        part: None,
        labels: Vec::new(),
        with: None,
        limits: Tolerance::default(),
        when: None,
    });
    let line = super::bench::line("EP", Length::Inch, 4, kind);
    let ask = |text: &str| {
        let gauges = [gauge("DI-1", ["0", "0.2"], Length::Inch, false)];
        let row = [side(Side::Only, &[Some(typed(text))], &gauges)];
        let setting = Context { gauges: &gauges, ..bench.setting(Scope::Service) };
        question(&line, &row, &setting, &<[SideReadings]>::to_vec)
    };
    assert_eq!(ask("0.0095"), []);
    assert_eq!(slips(&ask("0.009")), [(Slip::Digits, "-")]);
    assert_eq!(slips(&ask("0.2095")), [(Slip::GaugeRange, "-")]);
}

/// One row of a small record: reference, shaft and bore as typed.
type Entry<'a> = (&'a str, &'a [&'a str], &'a [&'a str]);

fn across_rows(rows: &[Entry]) -> Vec<(usize, Question)> {
    let bench = bench();
    let typed: Vec<_> = rows.iter().map(|(_, s, b)| (texts(s), texts(b))).collect();
    let typed: Vec<Vec<SideReadings>> = typed.iter().map(|(s, b)| row(s, b, &[])).collect();
    let codes: Vec<String> = (1..=rows.len()).map(|n| format!("R{n}")).collect();
    let mut counts = std::collections::BTreeMap::new();
    let seen: Vec<RowSeen> = rows
        .iter()
        .zip(&typed)
        .zip(&codes)
        .map(|(((reference, _, _), row), code)| {
            let place = counts.entry(*reference).and_modify(|n| *n += 1).or_insert(0usize);
            RowSeen { code, line: bench.line(reference), row, sheet: 0, place: *place }
        })
        .collect();
    across::question(&seen, &bench.setting(Scope::Service))
}

#[test]
fn neighbours_exchanged() {
    let asked = across_rows(&[
        ("C", &["1.3718", "1.3730"], &["1.3752", "1.3753"]),
        ("C", &["1.3731", "1.3716"], &["1.3767", "1.3768"]),
        ("C", &["1.3728", "1.3727"], &["1.3755", "1.3757"]),
    ]);
    // Either pair of boxes explains it: both are shown, in both rows.
    let rows: Vec<usize> = asked.iter().map(|(row, _)| *row).collect();
    assert_eq!(rows, [0, 1, 0, 1], "{asked:#?}");
    assert_eq!(asked[0].1.likely.as_deref(), Some("1.3731"));
    assert_eq!(
        asked[0].1.cause,
        "shaft 1 reads 1.3718 and R2 shaft 1 reads 1.3731: in each other's boxes"
    );
    // A shaft of one row and a bore of the next are of two columns.
    let asked = across_rows(&[
        ("C", &["1.3731", "1.3730"], &["1.3728", "1.3753"]),
        ("C", &["1.3752", "1.3727"], &["1.3755", "1.3757"]),
    ]);
    assert_eq!(asked, []);
}

#[test]
fn intake_and_exhaust_exchanged() {
    let asked = across_rows(&[
        ("I", &["0.3715", "0.3715"], &["0.3734", "0.3735"]),
        ("I", &["0.4025", "0.4026"], &["0.3734", "0.3735"]),
        ("E", &["0.4025", "0.4025"], &["0.4055", "0.4056"]),
        ("E", &["0.3715", "0.3714"], &["0.4055", "0.4056"]),
    ]);
    let rows: Vec<usize> = asked.iter().map(|(row, _)| *row).collect();
    assert_eq!(rows, [1, 3], "{asked:#?}");
    assert_eq!(asked[0].1.likely.as_deref(), Some("0.3715, 0.3714"));
}

#[test]
fn a_copied_column() {
    let bore: &[&str] = &["0.8755", "0.8756"];
    let shaft: &[&str] = &["0.8736", "0.8736"];
    let copied = across_rows(&[("T", shaft, bore); 3]);
    assert_eq!(copied.len(), 3);
    assert!(copied.iter().all(|(_, asked)| asked.hold && asked.slip == Slip::Copied));
    assert!(copied[0].1.cause.contains("all 6 shaft readings are 0.8736"));
    // Five are no column, and one that differs is spread.
    assert_eq!(across_rows(&[("T", shaft, bore); 2]), []);
    let other: Entry = ("T", &["0.8736", "0.8735"], bore);
    assert_eq!(across_rows(&[("T", shaft, bore), ("T", shaft, bore), other]), []);
}
