//! A record as a transcription in its shortest form, every blank box among it,
//! so that a person can go on where the record ends.

use super::pages::Pages;
use super::table;
use super::transcription::{comment, heading, preface, printed};
use super::typed_values::{figure, leaf, line, list, marks, quoted, word, words};
use super::types::{Item, LineRows, MarksBlock, Sheet, SheetBlock, SheetSet};
use crate::judge::{BoxGroup, BoxKind};
use crate::model::record::{
    Boxes, ItemContent, Mark, Named, NotApplicable, Record, Renewed, RowEntry, SheetEntry, Sign,
};
use crate::model::side::{Group, Side};
use crate::model::text::{Number, Text};
use std::fmt::Write;

/// TOML 1.0 text, ending with a line feed.
pub fn typed(set: &SheetSet, pages: &Pages, record: &Record) -> String {
    let mut text = String::new();
    preface(set, record.blind, record.set.as_str(), &mut text);
    for sheet in &set.sheets {
        let entry = record.sheets.iter().find(|entry| entry.letter.as_str() == sheet.letter);
        self::sheet(sheet, entry, pages, record.blind, &mut text);
    }
    super::typed_later::later(record, &mut text);
    text
}

fn sheet(sheet: &Sheet, entry: Option<&SheetEntry>, pages: &Pages, blind: bool, text: &mut String) {
    heading(sheet, pages, text);
    let number = entry.and_then(|entry| entry.number.as_ref());
    let _ = writeln!(text, "number = {}", quoted(number.map_or(&sheet.number, Text::as_str)));
    match entry {
        None => text.push_str(&printed(sheet, Some(pages).filter(|_| !blind))),
        Some(entry) => kept(entry, text),
    }
    let signs = sheet.signs.iter().map(|sign| sign.key.clone());
    let holds = super::types::holds(sheet).map(|hold| hold.key.to_owned());
    // Anybody may check a sheet that asks for no check.
    let check = (!sheet.signs.iter().any(|sign| sign.key == "check")).then(|| "check".to_owned());
    for key in signs.chain(check).chain(holds) {
        let own = |sign: &&Sign| sign.key.as_str() == key;
        let all: Vec<&Sign> = entry.iter().flat_map(|e| &e.signs).filter(own).collect();
        if !all.is_empty() || sheet.signs.iter().any(|sign| sign.key == key) {
            let _ = writeln!(text, "{key} = {}", signed(&all));
        }
    }
    for block in &sheet.blocks {
        self::block(block, entry, blind, text);
    }
    let Some(entry) = entry else { return };
    let initials = entry.initials.iter();
    let initials: Vec<String> =
        initials.map(|one| format!("{} = {}", one.span(), words(&one.by))).collect();
    if !initials.is_empty() {
        let _ = writeln!(text, "initials = {{ {} }}", initials.join(", "));
    }
    if entry.remarks.is_some() {
        let _ = writeln!(text, "remarks = {}", word(entry.remarks.as_ref()));
    }
}

/// What the program wrote of the paper.
fn kept(entry: &SheetEntry, text: &mut String) {
    if let Some(printed) = &entry.printed {
        let _ = writeln!(text, "printed = {}", quoted(printed.as_str()));
    }
    if let Some(pages) = &entry.pages {
        let all: Vec<String> = pages.iter().map(|page| quoted(page.as_str())).collect();
        let _ = writeln!(text, "pages = [{}]", all.join(", "));
    }
    if !entry.second.is_empty() {
        let _ = writeln!(text, "second = {}", words(&entry.second));
    }
}

fn signed(all: &[&Sign]) -> String {
    let lines: Vec<String> = all.iter().map(|sign| self::sign(sign)).collect();
    match lines.as_slice() {
        [] => "[\"\"]".to_owned(),
        [only] => only.clone(),
        several => format!("[{}]", several.join(", ")),
    }
}

fn sign(sign: &Sign) -> String {
    let day = sign.on.as_ref().map_or_else(|| quoted(""), |(day, _)| day.to_string());
    let zero = quoted(&sign.zero.as_ref().map(|zero| marks(zero)).unwrap_or_default());
    // A hold point and the check name no gauge.
    let mut values = vec![word(sign.by.as_ref()), day];
    // A table at the end of a line has keys of the line.
    let last = matches!(sign.gauges, Named::Each(_)) && sign.zero.is_none();
    if !sign.key.as_str().starts_with("hold") && !last {
        values.extend([gauges(&sign.gauges), zero]);
    }
    let beside = [
        ("gauge", last.then(|| gauges(&sign.gauges))),
        ("part-temp", figure(sign.part_temperature.as_ref())),
        ("gauge-temp", figure(sign.gauge_temperature.as_ref())),
        ("rows", Some(words(&sign.rows)).filter(|_| !sign.rows.is_empty())),
    ];
    line(&values, &beside)
}

fn gauges(named: &Named) -> String {
    match named {
        Named::All(gauges) => words(gauges),
        Named::Each(lines) => {
            let each = lines.iter().map(|(line, gauges)| format!("{line} = {}", words(gauges)));
            format!("{{ {} }}", each.collect::<Vec<_>>().join(", "))
        }
    }
}

fn block(block: &SheetBlock, entry: Option<&SheetEntry>, blind: bool, text: &mut String) {
    let content = |number: u32| {
        let items = entry.iter().flat_map(|entry| &entry.items);
        items.into_iter().find(|item| item.number == number).map(|item| &item.content)
    };
    match block {
        SheetBlock::Marks(block) => self::ticked(block, &content, text),
        SheetBlock::Write { title, columns, items, .. } => {
            let _ = writeln!(text, "# {}", comment(title));
            for item in items {
                let value = match content(item.number) {
                    Some(ItemContent::Words(words)) => quoted(words.as_str()),
                    Some(ItemContent::Marks(typed)) => quoted(&marks(typed)),
                    Some(ItemContent::Placed(placed)) => {
                        let one = |(code, words): &(Text, Text)| {
                            format!("{code} = {}", quoted(words.as_str()))
                        };
                        let all: Vec<String> = placed.iter().map(one).collect();
                        format!("{{ {} }}", all.join(", "))
                    }
                    _ if columns.is_empty() => quoted(""),
                    _ => {
                        let blanks = columns.iter().map(|(code, _)| format!("{code} = \"\""));
                        format!("{{ {} }}", blanks.collect::<Vec<_>>().join(", "))
                    }
                };
                let _ = writeln!(text, "{} = {value}  # {}", item.number, comment(&item.text));
            }
        }
        SheetBlock::Table(block) => {
            let typed = |item: &Item| match content(item.number)? {
                ItemContent::Cells(cells) => Some(list(cells)),
                ItemContent::Words(words) => Some(quoted(words.as_str())),
                ItemContent::Marks(typed) => Some(quoted(&marks(typed))),
                ItemContent::Placed(_) | ItemContent::Renewed(_) => None,
            };
            table::rows(block, comment, typed, text);
        }
        SheetBlock::Renew { title, items, .. } => {
            let title = comment(title);
            let _ = writeln!(text, "# {title}: how many, part number, serial or batch, document");
            for item in items {
                let value = match content(item.number) {
                    Some(ItemContent::Renewed(renewed)) => self::renewed(renewed),
                    _ => "[\"-\"]".to_owned(),
                };
                let _ = writeln!(text, "{} = {value}  # {}", item.number, comment(&item.name));
            }
        }
        SheetBlock::Measure(measure) => {
            for line in &measure.lines {
                rows(line, entry, blind, text);
            }
        }
        SheetBlock::Caution(_) | SheetBlock::Note(_) => {}
    }
}

fn renewed(renewed: &Renewed) -> String {
    let named = [&renewed.number, &renewed.batch, &renewed.document];
    let Some(count) = figure(renewed.count.as_ref()) else {
        // Without its count a row would be one of a table.
        let keys = ["number", "batch", "document"].into_iter().zip(named);
        let said = keys.filter_map(|(key, text)| Some((key, word(Some(text.as_ref()?)))));
        let reused = renewed.reused.then(|| ("reused", "true".to_owned()));
        let all = [("count", quoted("-"))].into_iter().chain(said).chain(reused);
        let all: Vec<String> = all.map(|(key, value)| format!("{key} = {value}")).collect();
        return format!("{{ {} }}", all.join(", "));
    };
    let mut values = vec![count];
    values.extend(named.into_iter().map(|text| word(text.as_ref())));
    line(&values, &[("reused", renewed.reused.then(|| "true".to_owned()))])
}

/// Items that are marked alike and follow one another are typed once. A cross
/// stands by itself.
fn ticked<'a>(
    block: &MarksBlock,
    content: &impl Fn(u32) -> Option<&'a ItemContent>,
    text: &mut String,
) {
    let _ = writeln!(text, "# {}", comment(&block.title));
    let of = |number: u32| match content(number) {
        Some(ItemContent::Marks(typed)) => typed.clone(),
        _ => vec![Mark::Blank; block.columns.len().max(1)],
    };
    let all: Vec<(u32, Vec<Mark>)> =
        block.items.iter().map(|item| (item.number, of(item.number))).collect();
    let alike = |a: &(u32, Vec<Mark>), b: &(u32, Vec<Mark>)| {
        a.1 == b.1 && a.0 + 1 == b.0 && !a.1.contains(&Mark::Found)
    };
    for run in all.chunk_by(alike) {
        let [(first, typed), ..] = run else { continue };
        let last = first + run.len() as u32 - 1;
        let span = if last > *first { format!("{first}-{last}") } else { first.to_string() };
        let _ = writeln!(text, "{span} = {}", quoted(&marks(typed)));
    }
}

/// In the order in which a blind sheet has its boxes, where it is one.
fn readings(typed: &[Option<Number>], blind: bool) -> String {
    let mut all: Vec<String> = typed
        .iter()
        .map(|one| figure(one.as_ref()).unwrap_or_else(|| "\"-\"".to_owned()))
        .collect();
    if blind {
        all.reverse();
    }
    format!("[{}]", all.join(", "))
}

fn rows(line: &LineRows, entry: Option<&SheetEntry>, blind: bool, text: &mut String) {
    if !line.has_boxes() {
        return;
    }
    let _ = writeln!(text, "# {}: {}", comment(&line.name), comment(&line.limits));
    for row in &line.rows {
        let typed = entry.iter().flat_map(|entry| &entry.rows);
        let typed = typed.into_iter().find(|entry| entry.code.as_str() == row.code);
        let own: Vec<&BoxGroup> = line.own().collect();
        let combs = own.iter().all(|group| !matches!(group.shape, BoxKind::Marks { .. }));
        let beside = |typed: &RowEntry| {
            let leaves = |group: &crate::model::record::GroupEntry| group.key.0 == Group::Leaves;
            typed.not_applicable.is_some() || typed.groups.iter().any(leaves)
        };
        let short = combs && !typed.is_some_and(beside);
        let code = &row.code;
        let value = |group: &BoxGroup| of_group(group, typed, blind);
        match own.as_slice() {
            [only] if short && only.key == Group::Read(Side::Only) => {
                let value = value(only);
                let bare = only.labels.len() < 2 && value != "[]";
                let value = if bare { value.trim_matches(['[', ']']) } else { &value };
                let _ = writeln!(text, "{code} = {value}");
            }
            [shaft, bore]
                if short
                    && shaft.key == Group::Read(Side::Shaft)
                    && bore.key == Group::Read(Side::Bore) =>
            {
                let _ = writeln!(text, "{code} = [{}, {}]", value(shaft), value(bore));
            }
            _ => {
                for group in own {
                    let _ = writeln!(text, "{code}.{} = {}", group.key, value(group));
                }
                typed.iter().for_each(|typed| rest(code, typed, text));
            }
        }
    }
}

fn of_group(group: &BoxGroup, typed: Option<&RowEntry>, blind: bool) -> String {
    let entries = typed.iter().flat_map(|row| &row.groups);
    let boxes = entries.into_iter().find(|entry| entry.key.0 == group.key).map(|e| &e.boxes);
    match (boxes, &group.shape) {
        (Some(Boxes::Readings(all)), _) => readings(all, blind),
        (Some(Boxes::Marks(all)), _) => quoted(&marks(all)),
        (_, BoxKind::Marks { .. }) => quoted(&marks(&vec![Mark::Blank; group.labels.len()])),
        _ => "[]".to_owned(),
    }
}

/// Further leaves, and why a row does not apply.
fn rest(code: &str, typed: &RowEntry, text: &mut String) {
    for group in &typed.groups {
        if let Boxes::Leaves(leaves) = &group.boxes {
            let all: Vec<String> = leaves.iter().map(leaf).collect();
            let _ = writeln!(text, "{code}.leaves = [{}]", all.join(", "));
        }
    }
    if let Some(NotApplicable { why, by, .. }) = &typed.not_applicable {
        let _ = writeln!(text, "{code}.na = [{}, {}]", word(why.as_ref()), word(by.as_ref()));
    }
}
