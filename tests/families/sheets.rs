//! From opening to a final record, and every line, part and feature on one
//! sheet.

use super::made::{FAMILIES, Made, kinds};
use crate::properties::asked::{asked, typed};
use crate::properties::drawn::{Drawn, verdicts};
use benchleaf::model::id::FeatureId;
use benchleaf::sheet::{Pages, Sheet, SheetBlock, SheetSet};
use std::collections::BTreeMap;

/// Every box answered inside its limits, every tick made, every hold signed.
fn filled(made: &Made) -> String {
    let (_, set) = made.expanded();
    let blank = made.blank();
    let mut all = asked(&blank, &Drawn::default());
    for one in &mut all {
        let Some((row, key)) = one.key.split_once('.') else { continue };
        if one.good.starts_with('[') {
            one.good = format!("[{}]", made.figures(&set, row, key).join(", "));
        }
    }
    typed(&blank, &all, None)
}

#[test]
fn every_family_comes_to_a_final_record() {
    for family in FAMILIES {
        let mut made = Made::of(family);
        let text = filled(&made);
        made.files.put("readings.toml", text.clone());
        let seen = verdicts(&made.files, &Pages::default());
        assert_eq!(seen["status"], "complete", "{family}\n{seen}\n{text}");
        // One box of each sheet left blank, and it is not.
        for letter in ["K", "P"] {
            let from = text.find(&format!("\n{letter}")).expect("a row of the sheet");
            let line = text[from + 1..].lines().next().expect("its boxes");
            let (head, _) = line.split_once('[').expect("figures");
            made.files.put("readings.toml", text.replacen(line, &format!("{head}[]"), 1));
            let seen = verdicts(&made.files, &Pages::default());
            assert_ne!(seen["status"], "complete", "{family} with {line} blank");
        }
    }
}

/// On which sheets each line is measured, each feature read, each part looked
/// over.
fn told(set: &SheetSet) -> [BTreeMap<String, Vec<String>>; 3] {
    let mut all: [BTreeMap<String, Vec<String>>; 3] = Default::default();
    for sheet in &set.sheets {
        let mut add = |n: usize, what: String| {
            all[n].entry(what).or_default().push(sheet.letter.clone());
        };
        for line in sheet.lines() {
            add(0, line.reference.clone());
            for group in line.groups.iter().filter(|group| group.own) {
                group.feature.into_iter().for_each(|FeatureId(n)| add(1, n.to_string()));
            }
        }
        for block in &sheet.blocks {
            if let SheetBlock::Marks(marks) = block {
                marks.id.iter().for_each(|id| add(2, id.clone()));
            }
        }
    }
    all
}

/// What does not stand on one sheet alone, or stands on that of the leftovers.
fn astray(made: &Made) -> Vec<String> {
    let (case, set) = made.expanded();
    let [lines, features, parts] = told(&set);
    let mut wrong = Vec::new();
    let mut once = |what: String, sheets: Option<&Vec<String>>| match sheets.map(Vec::as_slice) {
        Some([one]) if one != "Z" => {}
        other => wrong.push(format!("{what}: {other:?}")),
    };
    for line in &case.limits.lines {
        once(format!("line {}", line.reference), lines.get(line.reference.as_str()));
    }
    for (n, feature) in case.engine.features.iter().enumerate() {
        once(format!("feature {}", feature.id), features.get(&n.to_string()));
    }
    let kinds = kinds(&made.files);
    for part in &case.engine.parts {
        let looked = |kind: &str| kinds[kind].contains("look-over = ");
        if part.kinds.iter().any(|kind| looked(kind.as_str())) {
            once(format!("part {}", part.id), parts.get(part.id.as_str()));
        }
    }
    wrong
}

#[test]
fn every_line_part_and_feature_is_on_one_sheet() {
    for family in FAMILIES {
        let mut made = Made::of(family);
        assert_eq!(astray(&made), Vec::<String>::new(), "{family}");
        // Planted: a group loses its parts.
        let engine = made.files.get("engine.toml").expect("the engine").to_string();
        let lost = engine.replace(", \"pushrods\", \"pushrod-housings\"]", "]");
        assert_ne!(engine, lost);
        made.files.put("engine.toml", lost);
        let z = |what: &str| format!("{what}: Some([\"Z\"])");
        let planted = ["line UP", "part pushrods", "part pushrod-housings"].map(z);
        assert_eq!(astray(&made), planted, "{family}");
    }
}

/// The rows that a sheet of a family has are those of its lines' places: nothing
/// is printed twice.
#[test]
fn no_row_stands_twice() {
    for family in FAMILIES {
        let (_, set) = Made::of(family).expanded();
        let mut codes: Vec<&str> = set.rows().map(|at| at.row.code.as_str()).collect();
        let all = codes.len();
        codes.sort_unstable();
        codes.dedup();
        assert_eq!(codes.len(), all, "{family}");
        assert!(set.sheets.iter().all(|sheet: &Sheet| sheet.letter != "Z"), "{family}");
    }
}
