//! The sheets with fields: the same pages, a field over every box that a
//! transcription has a place for, each where its box is printed.

use super::{ENGINES, job, laid};
use benchleaf::diag::Diags;
use benchleaf::judge::BoxKind;
use benchleaf::layout::length::Len;
use benchleaf::layout::mark::{Area, Document, Entry, Field, Mark, Page};
use benchleaf::model::job::Paper;
use benchleaf::pages::worksheet::lay_fields;
use benchleaf::sheet::{SheetBlock, SheetSet, holds};
use std::collections::BTreeSet;

fn with_fields(set: &SheetSet) -> Document {
    let mut out = Diags::new();
    let laid = lay_fields(set, None, &mut out);
    assert!(out.is_empty(), "{out:#?}");
    laid.expect("nothing is lacking").0
}

fn fields(page: &Page) -> impl Iterator<Item = (Area, &Field)> {
    page.marks.iter().filter_map(|mark| match mark {
        Mark::Field { area, field } => Some((*area, field.as_ref())),
        _ => None,
    })
}

#[test]
fn the_pages_are_those_of_the_blank_set() {
    for engine in ENGINES {
        let set = job::set(engine);
        let (blank, mut filled) = (laid(&set, None).0, with_fields(&set));
        let none = blank.pages.iter().all(|page| fields(page).next().is_none());
        assert!(none, "a set to print has fields");
        for page in &mut filled.pages {
            page.marks.retain(|mark| !matches!(mark, Mark::Field { .. }));
        }
        assert!(blank == filled, "{engine}: the pages differ");
    }
}

/// What a transcription has a place for, by the names of the fields.
fn wanted(set: &SheetSet) -> Vec<String> {
    let mut all = vec!["set.number".to_owned()];
    for sheet in &set.sheets {
        let letter = &sheet.letter;
        all.push(format!("sheet {letter}.number"));
        let holds = holds(sheet).map(|hold| hold.key.to_owned());
        for key in sheet.signs.iter().map(|sign| sign.key.clone()).chain(holds) {
            for part in ["by", "year", "month", "day"] {
                all.push(format!("sheet {letter}.{key}.{part}"));
            }
        }
        for sign in &sheet.signs {
            // One for all, or one for each line that has its own.
            let mut parts: Vec<String> = match sign.lines.as_slice() {
                [] if sign.gauges => vec!["gauge".to_owned()],
                lines => lines.iter().map(|line| format!("gauge.{line}")).collect(),
            };
            if sign.zero {
                parts.extend(["before", "after", "temp"].map(str::to_owned));
            }
            for part in parts {
                all.push(format!("sheet {letter}.{}.{part}", sign.key));
            }
        }
        for block in &sheet.blocks {
            all.extend(block.span().map(|span| format!("{letter} {span}.initials")));
            match block {
                SheetBlock::Marks(marks) => {
                    for item in &marks.items {
                        let count = marks.columns.len().max(1);
                        all.extend((1..=count).map(|n| format!("{letter} {}.{n}", item.number)));
                    }
                }
                SheetBlock::Write { columns, items, .. } => {
                    for item in items {
                        let name = |part: &str| format!("{letter} {}.{part}", item.number);
                        match columns.is_empty() {
                            true => all.push(name("words")),
                            false => all.extend(columns.iter().map(|(code, _)| name(code))),
                        }
                    }
                }
                SheetBlock::Renew { items, .. } => {
                    for item in items {
                        for part in ["count", "number", "batch", "document"] {
                            all.push(format!("{letter} {}.{part}", item.number));
                        }
                    }
                }
                SheetBlock::Table(table) => {
                    for item in &table.items {
                        let heads = 1..=table.heads.len();
                        all.extend(heads.map(|n| format!("{letter} {}.{n}", item.number)));
                    }
                }
                _ => {}
            }
        }
        for line in sheet.lines() {
            for (row, group) in line.rows.iter().flat_map(|row| line.own().map(move |g| (row, g))) {
                for n in 1..=group.labels.len().max(1) {
                    let name = format!("{}.{}.{n}", row.code, group.key);
                    match group.shape {
                        BoxKind::Comb { whole, places, signed } => {
                            if whole > 0 || signed {
                                all.push(format!("{name}.whole"));
                            }
                            if places > 0 {
                                all.push(format!("{name}.decimals"));
                            }
                        }
                        _ => all.push(name),
                    }
                }
            }
        }
    }
    all
}

#[test]
fn every_place_of_a_transcription_has_one_field() {
    for engine in ENGINES {
        for paper in [Paper::A4, Paper::Letter] {
            let mut set = job::set(engine);
            set.head.paper = paper;
            let document = with_fields(&set);
            let mut found = BTreeSet::new();
            for (_, field) in document.pages.iter().flat_map(fields) {
                assert!(found.insert(field.name.clone()), "{} stands twice", field.name);
                assert!(!field.told.is_empty(), "{} is heard as nothing", field.name);
            }
            for name in wanted(&set) {
                assert!(found.remove(&name), "{engine}: no field {name}");
            }
            // What stands at the foot of a page, as many lines as it has room for,
            // and the lines for further leaves.
            let line = |name: &String| {
                let parts: Vec<&str> = name.split('.').collect();
                matches!(parts[1], "again" | "remarks" | "found" | "changed" | "also")
                    && parts[0].starts_with("sheet ")
                    || parts[0].ends_with(" leaves")
            };
            let rest: Vec<&String> = found.iter().filter(|name| !line(name)).collect();
            assert!(rest.is_empty(), "{engine}: nobody asks for {rest:?}");
            assert!(found.iter().any(|name| name.contains(".again.")));
            for sort in [".remarks.", ".found.", ".changed.", ".also."] {
                assert!(found.iter().any(|name| name.contains(sort)), "{engine}: no {sort}");
            }
        }
    }
}

/// A field that is not for words lies in what is drawn there, and no two lie on
/// one another.
#[test]
fn every_field_lies_in_its_printed_box() {
    let um = |len: Len| i64::from(len.um());
    let within = |a: Area, b: Area| {
        um(a.x) >= um(b.x) - 1
            && um(a.y) >= um(b.y) - 1
            && um(a.x + a.w) <= um(b.x + b.w) + 1
            && um(a.y + a.h) <= um(b.y + b.h) + 1
    };
    for engine in ENGINES {
        let document = with_fields(&job::set(engine));
        for page in &document.pages {
            let boxes: Vec<Area> = page.marks.iter().filter_map(boxed).collect();
            let places: Vec<(Area, &Field)> =
                fields(page).filter(|(_, f)| !matches!(f.entry, Entry::Fixed(_))).collect();
            for (n, (area, field)) in places.iter().enumerate() {
                let drawn = boxes.iter().any(|other| within(*area, *other));
                let ruled = matches!(field.entry, Entry::Words) && ruled(page, *area);
                // Between the posts of a table.
                let table = field.name.contains(".count") || field.name.contains(".batch");
                assert!(drawn || ruled || table, "{} over no box: {area:?}", field.name);
                for (other, second) in &places[..n] {
                    let apart = um(area.x) >= um(other.x + other.w)
                        || um(other.x) >= um(area.x + area.w)
                        || um(area.y) >= um(other.y + other.h)
                        || um(other.y) >= um(area.y + area.h);
                    assert!(apart, "{} and {} on one another", field.name, second.name);
                }
            }
        }
    }
}

fn boxed(mark: &Mark) -> Option<Area> {
    match mark {
        Mark::Stamp { at, stamp } => {
            Some(Area { x: at.x, y: at.y, w: stamp.size.0, h: stamp.size.1 })
        }
        Mark::Rect { area, .. } => Some(*area),
        _ => None,
    }
}

/// A level line under it, a millimetre below at most, or a post of a table beside.
fn ruled(page: &Page, area: Area) -> bool {
    page.marks.iter().any(|mark| match mark {
        Mark::Line { from, to, .. } if from.y == to.y => {
            let down = from.y.um() - (area.y + area.h).um();
            (0..=1000).contains(&down)
                && from.x <= area.x
                && to.x.um() + 600 >= (area.x + area.w).um()
        }
        _ => false,
    })
}
