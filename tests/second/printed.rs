//! What is printed: windows, where their ends come from, ladders, and which
//! rows are ready.

use super::{bores_known, place, readied, shafts_known, shown, windows};
use crate::record::Job;
use benchleaf::model::side::Side;

#[test]
fn the_worn_journal() {
    let (_, sheets) = readied(&shafts_known(), None);
    let c2 = place(&sheets, "C2");
    assert_eq!((c2.largest.as_str(), c2.smallest.as_str()), ("1.3718", "1.3716"));
    assert_eq!(windows(&c2), ["reused bore 1.3728 to 1.3766", "new bore 1.3745 to 1.3760"]);
    assert_eq!(c2.windows[0].from, ["from: largest shaft + 0.0010", "to: smallest shaft + 0.0050"]);
    let c1 = place(&sheets, "C1");
    assert_eq!(c1.windows[0].from[1], "to: bore wear limit");
    let [tight, loose] = c2.ladders.expect("ladders");
    assert_eq!(tight.sum, "smallest bore − 1.3718");
    assert_eq!(loose.sum, "largest bore − 1.3716");
    let tight = shown(&tight);
    assert_eq!(tight[0], "1.3727 0.0009 L out: tight †");
    assert_eq!(tight[1], "1.3728 0.0010 L service †");
    assert_eq!(tight[11], "1.3738 0.0020 L service †");
    // The journal is worn below its new limits: no bore makes the row new.
    assert!(tight.iter().all(|step| !step.contains(" new")), "{tight:?}");
    let loose = shown(&loose);
    let last = loose.len() - 1;
    assert_eq!(loose[last - 1], "1.3766 0.0050 L service");
    assert_eq!(loose[last], "1.3767 0.0051 L out: loose");
    assert!(loose[last - 10..].iter().all(|step| !step.starts_with("..")), "{loose:?}");
    // From the low edge, so that no reading lies above the ladder.
    assert_eq!(loose[0], "1.3728 0.0012 L service †");
}

/// A new journal: past the new limit of the bore, 1.3760, and past that of the
/// clearance, 0.0035, nothing is called new.
#[test]
fn the_word_is_that_of_the_whole_place() {
    let (_, sheets) = readied(&shafts_known(), None);
    let [tight, loose] = place(&sheets, "C1").ladders.expect("ladders");
    let (tight, loose) = (shown(&tight), shown(&loose));
    let has = |ladder: &[String], step: &str| ladder.iter().any(|all| all.ends_with(step));
    assert!(has(&tight, "1.3760 0.0029 L new"), "{tight:?}");
    assert!(has(&tight, "1.3761 0.0030 L service"), "{tight:?}");
    assert!(has(&loose, "1.3760 0.0030 L new"), "{loose:?}");
    assert!(has(&loose, "1.3761 0.0031 L service"), "{loose:?}");
}

/// No two neighbours of a ladder are more than ten steps apart; where sizes are
/// skipped the ladder says so, and the word does not change.
#[test]
fn steps_of_ten_at_most() {
    for job in [shafts_known(), bores_known()] {
        let (_, sheets) = readied(&job, None);
        for code in ["C1", "C2", "C3"] {
            for ladder in place(&sheets, code).ladders.expect("ladders") {
                let sizes: Vec<i64> = ladder
                    .steps
                    .iter()
                    .map(|step| step.size.replace('.', "").parse().expect("a size"))
                    .collect();
                for (pair, steps) in sizes.windows(2).zip(ladder.steps.windows(2)) {
                    let apart = pair[1] - pair[0];
                    assert!((1..=10).contains(&apart), "{code} {sizes:?}");
                    assert_eq!(apart > 1, steps[1].gap, "{code} {sizes:?}");
                    assert!(apart == 1 || steps[0].word == steps[1].word, "{code} {sizes:?}");
                }
            }
        }
    }
}

/// Bore 1.3768/1.3767: a shaft from 1.3768 - 0.0050 to 1.3767 - 0.0010.
#[test]
fn the_mirror_image() {
    let (_, sheets) = readied(&bores_known(), None);
    assert_eq!(sheets.len(), 1);
    assert_eq!(sheets[0].half, Side::Bore);
    let c2 = place(&sheets, "C2");
    assert_eq!(windows(&c2), ["reused shaft 1.3718 to 1.3757", "new shaft 1.3725 to 1.3735"]);
    assert_eq!(c2.windows[0].from, ["from: largest bore − 0.0050", "to: smallest bore − 0.0010"]);
    let [tight, loose] = c2.ladders.expect("ladders");
    assert_eq!(
        (tight.sum.as_str(), loose.sum.as_str()),
        ("1.3767 − largest shaft", "1.3768 − smallest shaft")
    );
    let (tight, loose) = (shown(&tight), shown(&loose));
    assert_eq!(tight.last().expect("a step"), "1.3758 0.0009 L out: tight †");
    assert_eq!(tight[tight.len() - 2], "1.3757 0.0010 L service †");
    assert_eq!(loose[0], "1.3717 0.0051 L out: loose");
    assert_eq!(loose[1], "1.3718 0.0050 L service");
}

/// Readings of one journal further apart than the fit is wide, or a journal
/// worn out by itself (limit 1.3715).
#[test]
fn no_bore_serves() {
    for worn in ["[1.3714, 1.3714]", "[1.3713, 1.3714]"] {
        let (_, sheets) = readied(&shafts_known().row("C2.shaft", worn), None);
        let c2 = place(&sheets, "C2");
        assert_eq!(c2.windows[0].window, "no bore serves");
        assert_eq!(c2.windows[0].from, ["the shaft is beyond its own limits"]);
        assert!(c2.ladders.is_none());
        assert!(place(&sheets, "C1").ladders.is_some());
    }
}

/// A shaft that came at a grade is worn, unless it was worked on.
#[test]
fn a_part_at_a_grade_is_named_with_it() {
    let arrived =
        "[[arrived]]\nfeature = \"main-journal\"\ngrade = \"0.006 undersize\"\n\n[feelers]";
    let job = Job::unprinted().with("job", "[feelers]", arrived);
    let job = job.row("M1.shaft", "[2.2425, 2.2424]").row("M1.bore", "[]").printed();
    let (_, sheets) = readied(&job, None);
    assert_eq!(place(&sheets, "M1").state, "reused, 0.006 undersize");
    let rest = "by = \"RW\"; on = 2026-03-04; gauge = \"MIC-3\"";
    let job = job.again("M1", "shaft", "[2.2424, 2.2423]", "reworked", rest);
    let (_, sheets) = readied(&job, None);
    assert_eq!(place(&sheets, "M1").state, "reworked");
}

#[test]
fn which_rows_are_ready() {
    let job = shafts_known().row("C1.shaft", "[1.3731]").row("C3.shaft", "[]");
    let (ready, _) = readied(&job, None);
    let rows: Vec<&str> = ready.rows.iter().map(|row| row.code.as_str()).collect();
    assert_eq!(rows, ["C2"]);
    let why = |code: &str| {
        let found = ready.waiting.iter().find(|(row, _)| row == code);
        found.map(|(_, why)| why.as_str()).unwrap_or_default().to_owned()
    };
    assert_eq!(why("C1"), "shaft has 1 of 2 readings, bore blank");
    assert_eq!(why("C3"), "shaft blank, bore blank");
    assert_eq!(why("T1IN"), "shaft and bore are both measured");
}

/// A chosen sheet is printed whole, from the side that was measured first, and
/// a question about the other side does not keep it back: C3's bore is in
/// query.
#[test]
fn a_chosen_sheet() {
    let (ready, sheets) = readied(&Job::first(), Some("C"));
    assert!(ready.waiting.is_empty(), "{:?}", ready.waiting);
    assert_eq!(sheets[0].half, Side::Shaft);
    assert_eq!(sheets[0].rows.len(), 3);
    let (ready, _) = readied(&shafts_known().row("C3.shaft", "[1.3728, 1.3977]"), Some("C"));
    let why = &ready.waiting[0];
    assert!(why.0 == "C3" && why.1.starts_with("its shaft is in question"), "{why:?}");
}

/// A new part meets its new limits: a bearing shell is always renewed.
/// A document that says only `replace` of the shaft: with a used one on record no
/// bore serves, and with a bore on record nothing but a new shaft does.
#[test]
fn a_part_that_is_replaced_has_no_window_used() {
    let cam = "new = [1.3725, 1.3735], wear = 1.3715 }";
    let replace = "new = [1.3725, 1.3735], service = \"replace\" }";
    let replaced = |job: Job| job.with("limits", cam, replace).printed();
    let (_, sheets) = readied(&replaced(shafts_known()), None);
    let found = place(&sheets, "C1");
    assert_eq!(windows(&found), ["reused bore no bore serves", "new bore no bore serves"]);
    let why = "the shaft is to be replaced: nothing but a new one serves";
    assert!(found.windows.iter().all(|window| window.from == [why]), "{found:?}");
    assert!(found.ladders.is_none());
    // Bores 1.3751 to 1.3754: new limits of the shaft, 1.3725 to 1.3735.
    let (_, sheets) = readied(&replaced(bores_known()), None);
    let found = place(&sheets, "C1");
    let said = windows(&found);
    assert_eq!(said[0], "reused shaft no shaft serves");
    assert_eq!(found.windows[0].from, ["to be replaced: nothing but a new one serves"]);
    assert_eq!(said[1], "new shaft 1.3725 to 1.3735");
    // Only sizes of the new one are on the ladders, and none is held against it.
    let ladders = found.ladders.expect("a new shaft serves");
    let words = ladders.iter().flat_map(|ladder| &ladder.steps).map(|step| step.word.as_str());
    assert!(words.clone().any(|word| word.starts_with("new")), "{:?}", words.collect::<Vec<_>>());
}

#[test]
fn a_mate_that_is_always_renewed() {
    let job = Job::first().row("M1.bore", "[]");
    let (_, sheets) = readied(&job, None);
    let m1 = place(&sheets, "M1");
    assert_eq!(m1.ladders_for, "new bore");
    // Journal 2.2478 2.2477: 2.2478 + 0.0015 and 2.2477 + 0.0055 lie outside
    // 2.2505 to 2.2520.
    assert_eq!(windows(&m1), ["new bore 2.2505 to 2.2520"]);
}
