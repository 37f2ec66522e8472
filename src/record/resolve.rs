//! Holding a transcription against the sheets: what it names must exist.
//! These are faults of the file; whether the readings are good is not asked.

use super::resolve_signs::{self, one_of};
use crate::diag::{Diags, Span};
use crate::judge::{BoxGroup, BoxKind};
use crate::model::Case;
use crate::model::record::{
    Again, Boxes, GroupEntry, Initialled, ItemContent, ItemEntry, Mark, Record, RowEntry,
    SheetEntry,
};
use crate::model::side::Group;
use crate::model::text::Text;
use crate::quantity::count;
use crate::sheet::{At, LineRows, Sheet, SheetBlock, SheetSet, holds};

/// Faults where the record names a sheet, a row, a box, an item, a person or a
/// gauge that does not exist.
pub fn resolve(case: &Case, set: &SheetSet, record: &Record, out: &mut Diags) {
    for entry in &record.sheets {
        match set.sheet(entry.letter.as_str()) {
            Some(sheet) => self::sheet(case, set, sheet, entry, out),
            None => {
                let letters = set.sheets.iter().map(|sheet| sheet.letter.as_str());
                out.fault(
                    &entry.letter.at,
                    format!("no sheet {} in this set", entry.letter),
                    one_of("a sheet's letter", entry.letter.as_str(), letters),
                );
            }
        }
    }
    record.again.iter().for_each(|again| self::again(case, set, again, out));
    later(case, set, record, out);
}

fn sheet(case: &Case, set: &SheetSet, sheet: &Sheet, entry: &SheetEntry, out: &mut Diags) {
    for sign in &entry.signs {
        // Anybody may check a sheet, whether a check is required or not.
        let known = |key: &str| {
            key == "check"
                || holds(sheet).any(|hold| hold.key == key)
                || sheet.signs.iter().any(|known| known.key == key)
        };
        if !known(sign.key.as_str()) && (sign.by.is_some() || sign.on.is_some()) {
            let holds = holds(sheet).map(|hold| hold.key);
            let keys: Vec<&str> =
                sheet.signs.iter().map(|sign| sign.key.as_str()).chain(holds).collect();
            out.fault(
                &sign.key.at,
                format!("sheet {} has no place to sign for {}", sheet.letter, sign.key),
                keys.join(", "),
            );
        }
        resolve_signs::rows(sheet, entry, sign, out);
        sign.by.iter().for_each(|by| person(case, by, out));
        sign.gauges.all().into_iter().for_each(|id| gauge(case, id, out));
        resolve_signs::gauges(sheet, sign, out);
    }
    entry.items.iter().for_each(|item| self::item(sheet, item, out));
    entry.initials.iter().for_each(|item| initialled(case, sheet, item, out));
    for row in &entry.rows {
        match set.row(row.code.as_str()).filter(|at| at.sheet.1.letter == sheet.letter) {
            Some(at) => self::row(case, at.line, row, out),
            None => unknown_row(set, &row.code, &format!("on sheet {}", sheet.letter), out),
        }
    }
}

/// What is ticked and what is renewed has a box for initials, one a list.
fn initialled(case: &Case, sheet: &Sheet, entry: &Initialled, out: &mut Diags) {
    entry.by.iter().for_each(|by| person(case, by, out));
    let lists = sheet.blocks.iter().filter_map(SheetBlock::initialled);
    let within = |(first, last): (u32, u32)| {
        (first..=last).contains(&entry.first) && (entry.first..=last).contains(&entry.last)
    };
    if !lists.into_iter().any(within) {
        let spans = sheet.blocks.iter().filter_map(SheetBlock::span);
        let spans: Vec<String> = spans.collect();
        out.fault(
            &entry.at,
            format!("sheet {} has no box for initials of {}", sheet.letter, entry.span()),
            match spans.is_empty() {
                true => "nothing on that sheet is ticked or renewed".to_owned(),
                false => format!(
                    "the first and last number of a list, {}, or the number of one item in it",
                    spans.join(", ")
                ),
            },
        );
    }
}

fn unknown_row(set: &SheetSet, code: &Text, place: &str, out: &mut Diags) {
    let help = match set.row(code.as_str()) {
        Some(at) => format!("row {code} belongs to sheet {}", at.sheet.1.letter),
        None => {
            let codes = set.rows().map(|at| at.row.code.as_str());
            one_of("a code printed on a sheet", code.as_str(), codes)
        }
    };
    out.fault(&code.at, format!("no row {code} {place}"), help);
}

fn row(case: &Case, line: &LineRows, row: &RowEntry, out: &mut Diags) {
    if !line.has_boxes() && !row.groups.is_empty() {
        out.fault(
            &row.code.at,
            format!("row {} has no boxes of its own", row.code),
            "its figures come from the readings of the same feature; take this line out",
        );
        return;
    }
    row.groups.iter().for_each(|group| self::group(line, row.code.as_str(), group, out));
    if let Some(by) = row.not_applicable.as_ref().and_then(|na| na.by.as_ref()) {
        person(case, by, out);
    }
}

fn group(line: &LineRows, code: &str, entry: &GroupEntry, out: &mut Diags) {
    let own: Vec<&BoxGroup> = line.own().collect();
    let further = entry.key.0 == Group::Leaves
        && own.iter().any(|g| matches!(g.shape, BoxKind::Marks { .. }));
    if further {
        leaves(code, own[0].labels.len(), entry, out);
        return;
    }
    match own.iter().find(|group| group.key == entry.key.0) {
        Some(group) => boxes(code, group, &entry.boxes, &entry.at, out),
        None => {
            let keys: Vec<&str> = own.iter().map(|group| group.key.word()).collect();
            out.fault(
                &entry.key.1,
                format!("row {code} has no boxes called {}", entry.key.0),
                keys.join(", "),
            );
        }
    }
}

fn leaves(code: &str, teeth: usize, entry: &GroupEntry, out: &mut Diags) {
    let Boxes::Leaves(leaves) = &entry.boxes else { return };
    for (tooth, leaf, _) in leaves {
        if *tooth == 0 || *tooth as usize > teeth {
            out.fault(
                &leaf.at,
                format!("row {code} has no tooth {tooth}"),
                format!("1 to {teeth}"),
            );
        }
    }
}

fn boxes(code: &str, group: &BoxGroup, boxes: &Boxes, at: &Span, out: &mut Diags) {
    let wanted = group.labels.len();
    let (typed, what) = match (boxes, &group.shape) {
        (Boxes::Readings(readings), BoxKind::Comb { .. } | BoxKind::Words) => {
            (readings.len(), "box")
        }
        (Boxes::Marks(marks), BoxKind::Marks { .. }) => (marks.len(), "mark"),
        (Boxes::Readings(readings), BoxKind::Marks { .. }) if readings.is_empty() => (0, "mark"),
        (_, BoxKind::Marks { .. }) => {
            out.fault(
                at,
                format!("row {code} {} takes ticks", group.key),
                format!("{wanted} marks in quotes, v ticked, x crossed, - blank"),
            );
            return;
        }
        _ => {
            out.fault(
                at,
                format!("row {code} {} takes readings", group.key),
                format!("{wanted} figures in brackets"),
            );
            return;
        }
    };
    if typed > 0 && typed != wanted {
        out.fault(
            at,
            format!("{} typed, {wanted} printed on row {code} {}", count(typed, what), group.key),
            format!("{}, with \"-\" for each empty one", group.labels.join(", ")),
        );
    }
}

fn item(sheet: &Sheet, entry: &ItemEntry, out: &mut Diags) {
    let Some((block, text)) = block_of(sheet, entry.number) else {
        out.fault(
            &entry.at,
            format!("sheet {} has no item {}", sheet.letter, entry.number),
            "a number printed on the sheet",
        );
        return;
    };
    let fits = match (&entry.content, block) {
        (ItemContent::Marks(_), SheetBlock::Marks(_)) => true,
        // A mark for a whole list answers for nothing that asks for words.
        _ => !entry.spanned,
    } && match (&entry.content, block) {
        (ItemContent::Marks(marks), SheetBlock::Marks(wanted)) => {
            let places = wanted.columns.len().max(1);
            if marks.len() == places {
                true
            } else {
                out.fault(
                    &entry.at,
                    format!("{} typed, {places} printed: {text}", count(marks.len(), "mark")),
                    "one mark a place, in small letters: v, x, n or -",
                );
                return;
            }
        }
        (ItemContent::Words(words), SheetBlock::Marks(_)) => words.as_str().is_empty(),
        (ItemContent::Marks(_) | ItemContent::Words(_), SheetBlock::Write { columns, .. }) => {
            columns.is_empty()
        }
        (ItemContent::Placed(placed), SheetBlock::Write { columns, .. }) => {
            placed.iter().all(|(code, _)| columns.iter().any(|(known, _)| known == code.as_str()))
        }
        (ItemContent::Cells(cells), SheetBlock::Table(table)) => {
            let printed = table.heads.len();
            if cells.len() == printed {
                true
            } else {
                out.fault(
                    &entry.at,
                    format!("{} typed, {printed} printed: {text}", count(cells.len(), "box")),
                    shape_of(block),
                );
                return;
            }
        }
        (ItemContent::Words(words), SheetBlock::Table(table)) => {
            table.none && words.as_str().trim() == "none"
        }
        (ItemContent::Marks(marks), SheetBlock::Table(_)) => {
            [Mark::NotApplicable, Mark::Blank].iter().any(|mark| marks.as_slice() == [*mark])
        }
        (ItemContent::Renewed(_), SheetBlock::Renew { .. }) => true,
        (ItemContent::Words(words), SheetBlock::Renew { .. }) => words.as_str().is_empty(),
        _ => false,
    };
    if !fits {
        out.fault(
            &entry.at,
            format!("not what item {} asks for: {text}", entry.number),
            shape_of(block),
        );
    }
}

fn shape_of(block: &SheetBlock) -> String {
    match block {
        SheetBlock::Write { columns, .. } if columns.is_empty() => "words in quotes".to_owned(),
        SheetBlock::Write { columns, .. } => {
            let codes: Vec<String> =
                columns.iter().map(|(code, _)| format!("{code} = \"\"")).collect();
            format!("{{ {} }}", codes.join(", "))
        }
        SheetBlock::Table(table) => {
            let heads: Vec<&str> = table.heads.iter().map(|column| column.head.as_str()).collect();
            let none = if table.none { ", or \"none\"" } else { "" };
            format!("a list of {}{none}: {}", count(heads.len(), "text"), heads.join(" | "))
        }
        SheetBlock::Renew { .. } => {
            "{ count = 1, number = \"\", batch = \"\", document = \"\" }".to_owned()
        }
        _ => "marks in quotes, in small letters: v, x, n or -".to_owned(),
    }
}

/// The block of a sheet that prints item `number`, and the item's text.
pub fn block_of(sheet: &Sheet, number: u32) -> Option<(&SheetBlock, &str)> {
    sheet.blocks.iter().find_map(|block| {
        let text = match block {
            SheetBlock::Renew { items, .. } => {
                items.iter().find(|item| item.number == number).map(|item| &item.name)
            }
            _ => block.items().iter().find(|item| item.number == number).map(|item| &item.text),
        };
        text.map(|text| (block, text.as_str()))
    })
}

fn again(case: &Case, set: &SheetSet, again: &Again, out: &mut Diags) {
    again.by.iter().for_each(|by| person(case, by, out));
    again.inspector.iter().for_each(|by| person(case, by, out));
    again.gauges.iter().for_each(|id| gauge(case, id, out));
    let Some(At { line, .. }) = set.row(again.row.as_str()) else {
        unknown_row(set, &again.row, "in this set", out);
        return;
    };
    let entry = GroupEntry {
        key: again.key.clone(),
        boxes: again.boxes.clone(),
        at: again.boxes_at.clone(),
    };
    let Some(index) = again.index else {
        group(line, again.row.as_str(), &entry, out);
        return;
    };
    let Some(known) = line.own().find(|group| group.key == again.key.0) else {
        group(line, again.row.as_str(), &entry, out);
        return;
    };
    if index >= known.labels.len() {
        out.fault(
            &again.key.1,
            format!("row {} has no {} {}", again.row, known.key, index + 1),
            format!("{} 1 to {} {}", known.key, known.key, known.labels.len()),
        );
    }
}

/// What stands after the sheets: changes, findings, accepted outs.
fn later(case: &Case, set: &SheetSet, record: &Record, out: &mut Diags) {
    for change in &record.changes {
        change.by.iter().for_each(|by| person(case, by, out));
        let Some(part) = case.engine.part(change.part.as_str()) else {
            let ids = case.engine.parts.iter().map(|part| part.id.as_str());
            out.fault(
                &change.part.at,
                format!("the engine has no part {}", change.part),
                one_of("a part of the engine file", change.part.as_str(), ids),
            );
            continue;
        };
        if let Some(rework) = &change.rework {
            let known = case.engine.reworks.iter().filter(|known| known.part == part);
            let ids: Vec<&str> = known.map(|known| known.id.as_str()).collect();
            if !ids.contains(&rework.as_str()) {
                out.fault(
                    &rework.at,
                    format!("the engine file has no rework {rework} of the {}", change.part),
                    one_of("a rework of that part", rework.as_str(), ids.into_iter()),
                );
            }
        }
        change.redone.iter().for_each(|item| item_exists(set, item, out));
    }
    for finding in &record.findings {
        item_exists(set, &finding.item, out);
        finding.by.iter().chain(&finding.inspector).for_each(|by| person(case, by, out));
    }
    for left_out in &record.left_out {
        item_exists(set, &left_out.item, out);
        left_out.by.iter().for_each(|by| person(case, by, out));
    }
    for accepted in &record.accepted {
        if set.row(accepted.row.as_str()).is_none() {
            unknown_row(set, &accepted.row, "in this set", out);
        }
    }
}

/// Reads `L 4`, `L4` or `L.4` as sheet and item.
pub fn item_code(text: &str) -> Option<(&str, u32)> {
    let text = text.trim();
    let split = text.rfind(|c: char| !c.is_ascii_digit())? + 1;
    let (letter, number) = text.split_at(split);
    let letter = letter.trim_end_matches(['.', ' ', '-']);
    Some((letter, number.parse().ok()?))
}

fn item_exists(set: &SheetSet, item: &Text, out: &mut Diags) {
    let found = item_code(item.as_str()).is_some_and(|(letter, number)| {
        set.sheet(letter).is_some_and(|sheet| block_of(sheet, number).is_some())
    });
    if !found && set.row(item.as_str()).is_none() {
        out.fault(
            &item.at,
            format!("no item {item} in this set"),
            "the sheet's letter and the number printed before the item: \"L 4\"",
        );
    }
}

fn person(case: &Case, by: &Text, out: &mut Diags) {
    if !by.as_str().is_empty() && case.job.person(by.as_str()).is_none() {
        let known = case.job.people.iter().map(|person| person.initials.as_str());
        out.fault(
            &by.at,
            format!("nobody in job.toml has the initials {by}"),
            format!(
                "{}, or add the person to job.toml: no sheet is stranded by that",
                one_of("initials", by.as_str(), known)
            ),
        );
    }
}

fn gauge(case: &Case, id: &Text, out: &mut Diags) {
    if !id.as_str().is_empty() && case.job.gauge(id.as_str()).is_none() {
        let known = case.job.gauges.iter().map(|gauge| gauge.id.as_str());
        out.fault(
            &id.at,
            format!("job.toml has no gauge {id}"),
            format!(
                "{}, or add the gauge to job.toml: no sheet is stranded by that",
                one_of("a gauge's name", id.as_str(), known)
            ),
        );
    }
}
