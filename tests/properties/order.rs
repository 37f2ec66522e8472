//! Expanding is stable: where tables, keys, lines and files stand in the texts
//! decides nothing but what the rules give to it. The order of the sheets is
//! the forms' `order`, of the rows on them the forms' `measure` and the codes
//! of their places; only a block of `rest` takes the order of the limits.

use super::drawn::{Drawn, expanded};
use super::{Tape, cases, drawn};
use benchleaf::sheet::{Pages, SheetSet, transcription};
use proptest::prelude::*;
use std::collections::BTreeMap;

/// Tables after the first, and keys of each, in another order.
fn shuffled(job: &Drawn, tape: &mut Tape) -> Drawn {
    let mut other = job.clone();
    for tables in [&mut other.engine, &mut other.limits, &mut other.job] {
        tape.shuffle(&mut tables[1..]);
        tables.iter_mut().for_each(|table| tape.shuffle(&mut table.keys));
    }
    let mut names: Vec<String> = other.forms.iter().map(|(name, _)| name.clone()).collect();
    tape.shuffle(&mut names);
    for ((name, blocks), new) in other.forms.iter_mut().zip(names) {
        *name = new;
        blocks.iter_mut().for_each(|block| tape.shuffle(&mut block.keys));
    }
    other
}

fn has_rest(job: &Drawn) -> bool {
    let tables = job.forms.iter().flat_map(|(_, blocks)| blocks);
    tables.flat_map(|table| &table.keys).any(|key| key.starts_with("rest"))
}

/// Every row in printed order: sheet, code, boxes of each group.
fn rows(set: &SheetSet) -> Vec<String> {
    let mut rows = Vec::new();
    for sheet in &set.sheets {
        for line in sheet.lines() {
            for row in &line.rows {
                let groups = line.groups.iter().map(|group| (&group.key, &group.labels));
                let groups: Vec<_> = groups.collect();
                rows.push(format!("{} {} {} {groups:?}", sheet.letter, row.code, line.limits));
            }
        }
    }
    rows
}

/// Each line's digest, by sheet and reference.
fn digests(set: &SheetSet) -> BTreeMap<(String, String), String> {
    let of = |sheet: &benchleaf::sheet::Sheet| {
        let letter = sheet.letter.clone();
        let named =
            move |(key, digest): &(String, String)| ((letter.clone(), key.clone()), digest.clone());
        sheet.digests.iter().map(named).collect::<Vec<_>>()
    };
    set.sheets.iter().flat_map(of).collect()
}

proptest! {
    #![proptest_config(cases(4000))]

    #[test]
    fn order_in_the_files_decides_nothing((job, mut tape) in drawn()) {
        let (_, set) = expanded(&job.files());
        let (_, other) = expanded(&shuffled(&job, &mut tape).files());
        prop_assert_eq!(digests(&set), digests(&other));
        let (mut before, mut after) = (rows(&set), rows(&other));
        if has_rest(&job) {
            before.sort();
            after.sort();
            prop_assert_eq!(before, after);
        } else {
            prop_assert_eq!(before, after);
            prop_assert_eq!(&set.number, &other.number);
            let text = |set: &SheetSet| transcription(set, &Pages::default());
            prop_assert_eq!(text(&set), text(&other));
        }
    }

    /// Planted: what does decide is seen by the same comparison. The codes of
    /// a place set the other way round print its rows so.
    #[test]
    fn order_of_places_is_seen((job, _) in drawn()) {
        let mut other = job.clone();
        let places = other.engine.iter_mut().filter(|table| table.head.starts_with("[places"));
        let mut turned = false;
        for table in places {
            for key in &mut table.keys {
                let (name, list) = key.split_once(" = ").unwrap();
                let mut codes: Vec<&str> = list.trim_matches(['[', ']']).split(", ").collect();
                codes.reverse();
                turned |= codes.len() > 1;
                *key = format!("{name} = [{}]", codes.join(", "));
            }
        }
        let (_, set) = expanded(&job.files());
        let (_, turned_set) = expanded(&other.files());
        let placed = rows(&set).len() > digests(&set).len();
        prop_assert!(!(turned && placed) || rows(&set) != rows(&turned_set));
    }
}
