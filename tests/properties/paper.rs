//! Printed, filled in, typed, read back: every figure at its row and box, and
//! nothing else.

use super::drawn::{Drawn, Side, Typed, expanded, verdicts};
use super::{cases, drawn};
use benchleaf::diag::Diags;
use benchleaf::pages::worksheet::lay_sheets;
use benchleaf::sheet::{Pages, SheetSet, transcription};
use proptest::prelude::*;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// The sheets on pages: on which each row is printed.
fn printed(set: &SheetSet) -> Pages {
    let mut out = Diags::new();
    let laid = lay_sheets(set, None, &mut out);
    laid.unwrap_or_else(|| panic!("{out:#?}")).1
}

/// The blank transcription with the figures typed into its boxes; each side
/// that it asks for is struck off.
fn filled(blank: &str, typed: &Typed, asked: &mut BTreeSet<Side>) -> String {
    let mut line = |line: &str| {
        let Some((head, tail)) = line.split_once(" = []").filter(|_| !line.starts_with('#')) else {
            return line.to_owned();
        };
        let Some((row, key)) = head.split_once('.') else { panic!("{line}") };
        let side = (row.to_owned(), key.to_owned());
        let Some(values) = typed.get(&side) else { panic!("nothing was drawn for {line}") };
        assert!(asked.insert(side), "asked twice: {line}");
        if values.iter().all(Option::is_none) {
            return line.to_owned();
        }
        let words = values.iter().map(|value| value.as_deref().unwrap_or("\"-\""));
        format!("{head} = [{}]{tail}", words.collect::<Vec<_>>().join(", "))
    };
    blank.lines().map(|text| line(text) + "\n").collect()
}

/// Readings in the verdicts, by row and boxes; blanks kept.
fn read_back(verdicts: &Value) -> Typed {
    let mut found = Typed::new();
    for row in verdicts["rows"].as_array().unwrap() {
        let steps = row["steps"].as_array().unwrap();
        assert_eq!(steps.len(), 1, "{row}");
        for side in steps[0]["readings"].as_array().unwrap() {
            let text = |value: &Value| value.as_str().map(str::to_owned);
            let boxes = side["typed"].as_array().unwrap().iter().map(text).collect();
            let name = (row["row"].as_str().unwrap(), side["boxes"].as_str().unwrap());
            let again = found.insert((name.0.to_owned(), name.1.to_owned()), boxes);
            assert!(again.is_none(), "{name:?} twice");
        }
    }
    found
}

/// What the record must hold: what was typed, and the same once more for rows
/// that borrow it.
fn wanted(job: &Drawn, typed: &Typed) -> Typed {
    let mut all = typed.clone();
    for (own, of) in &job.borrowed {
        let lent = &typed[&(of.clone(), "read".to_owned())];
        all.insert((own.clone(), "read".to_owned()), lent.clone());
    }
    all
}

/// Sides that differ.
fn differ(seen: &Typed, wanted: &Typed) -> Vec<String> {
    let sides: BTreeSet<&Side> = seen.keys().chain(wanted.keys()).collect();
    let blank = |all: &Typed, side| {
        let values: Option<&Vec<Option<String>>> = all.get(side);
        values.is_none_or(|values| values.iter().all(Option::is_none))
    };
    sides
        .into_iter()
        .filter(|side| seen.get(*side) != wanted.get(*side))
        .filter(|side| !(blank(seen, side) && blank(wanted, side)))
        .map(|side| format!("{side:?}: {:?}, should be {:?}", seen.get(side), wanted.get(side)))
        .collect()
}

proptest! {
    #![proptest_config(cases(2000))]

    #[test]
    fn what_is_written_on_paper_comes_back((job, mut tape) in drawn()) {
        let typed = job.typed(&mut tape);
        let mut files = job.files();
        let (_, set) = expanded(&files);
        let pages = printed(&set);
        for row in set.sheets.iter().flat_map(|sheet| sheet.lines()).flat_map(|line| &line.rows) {
            prop_assert!(pages.row(&row.code).parse::<u32>().is_ok(), "{} is on no page", row.code);
        }
        let mut asked = BTreeSet::new();
        let text = filled(&transcription(&set, &pages), &typed, &mut asked);
        prop_assert_eq!(asked, typed.keys().cloned().collect::<BTreeSet<_>>());
        files.put("readings.toml", text.as_str());
        let seen = read_back(&verdicts(&files, &pages));
        // The transcription knows its pages, all and only those of the print.
        let (case, _) = expanded(&files);
        let mut out = Diags::new();
        let kept = Pages::kept(&set, case.record.as_ref().unwrap(), &mut out);
        prop_assert_eq!(kept.as_ref(), Some(&pages));
        prop_assert!(out.is_empty(), "{:#?}", out);
        let wrong = differ(&seen, &wanted(&job, &typed));
        prop_assert!(wrong.is_empty(), "{:#?}\n{}", wrong, text);
        // Planted: two different boxes exchanged, one figure's last digit, one
        // figure left out. Each must show.
        for (what, fault) in planted(&seen) {
            prop_assert!(!differ(&fault, &wanted(&job, &typed)).is_empty(), "missed: {}", what);
        }
    }
}

fn planted(seen: &Typed) -> BTreeMap<&'static str, Typed> {
    let mut faults = BTreeMap::new();
    let figures: Vec<(Side, usize, String)> = seen
        .iter()
        .flat_map(|(side, boxes)| {
            let named =
                |(at, text): (usize, &Option<String>)| Some((side.clone(), at, text.clone()?));
            boxes.iter().enumerate().filter_map(named)
        })
        .collect();
    let Some((side, at, text)) = figures.first() else { return faults };
    let mut put = |what, changes: &[(&Side, usize, Option<String>)]| {
        let mut fault = seen.clone();
        for (side, at, text) in changes {
            fault.get_mut(*side).unwrap()[*at] = text.clone();
        }
        faults.insert(what, fault);
    };
    put("a figure left out", &[(side, *at, None)]);
    let last = if text.ends_with('0') { '1' } else { '0' };
    put("a last digit", &[(side, *at, Some(format!("{}{last}", &text[..text.len() - 1])))]);
    if let Some((other, there, its)) = figures.iter().find(|(_, _, its)| its != text) {
        put(
            "boxes exchanged",
            &[(side, *at, Some(its.clone())), (other, *there, Some(text.clone()))],
        );
    }
    faults
}
