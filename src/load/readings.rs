//! The transcription: what was written on the sheets.

use super::check::{self, check};
use super::events;
use super::fields::{self, Fields};
use super::keys::{CODE, HOLD, Key, Kind, PUBLISHED, SPAN, Shape, Short, Ways, optional, required};
use super::published::{named, published};
use super::rows::{self, Decimals, decimals};
use super::short;
use super::toml::number::blank;
use super::toml::tree::{Entry, Node, Table, Value};
use crate::diag::{Diag, Diags, Severity, Sources, Span};
use crate::model::engine::Engine;
use crate::model::form::SIGN_KEYS;
use crate::model::limits::Limits;
use crate::model::record::{
    Boxes, Initialled, ItemContent, ItemEntry, Mark, Named, Record, Renewed, RowEntry, SheetEntry,
    Sign,
};
use crate::model::text::Text;
use std::collections::HashMap;

pub static READINGS: Shape = Shape {
    name: "a transcription",
    keys: &[
        &[
            required("sheet-set", Kind::Text, "\"7F3K-92QD\""),
            optional("blind", Kind::Flag, "true"),
            optional("later", Kind::Table(&events::LATER), "[later]"),
            optional(CODE, Kind::Other("a table for each sheet", &[Kind::Table(&SHEET)]), "[C]"),
        ],
        events::LATER_KEYS,
    ],
};
pub static SHEET: Shape = Shape {
    name: "a sheet",
    keys: &[&[
        optional("number", Kind::Entry, "\"K4TX\""),
        optional("printed", Kind::Entry, "\"as the program wrote it\""),
        optional("pages", Kind::EntryOrEntries, "[\"as the program wrote it\"]"),
        optional("second", Kind::EntryOrEntries, "\"K4TX shaft: C1 7Q4T, C2 88F2\""),
        optional("shaft", SIGNS, SIGNED),
        optional("bore", SIGNS, SIGNED),
        optional("read", SIGNS, SIGNED),
        optional("work", SIGNS, SIGNED),
        optional("check", SIGNS, SIGNED),
        optional(HOLD, Kind::Short(&HELD_SHORT), "{ by = \"JA\", on = 2026-03-02 }"),
        optional("initials", Kind::Table(&INITIALS), "{ 1-3 = \"TD\" }"),
        optional("remarks", Kind::Entry, "\"what is to be said of the sheet\""),
        optional(
            SPAN,
            Kind::Other("marks, words, a row of a table, or a renewed part", ITEM),
            "\"v\"",
        ),
        optional(CODE, rows::ROWS, "{ shaft = [1.3731, 1.3730] }"),
        optional(PUBLISHED, rows::ROWS, "{ shaft = [1.3731, 1.3730] }"),
    ]],
};
const ITEM: &[Kind] = &[Kind::Entry, Kind::Entries, Kind::TextsByName, Kind::Short(&RENEWED_SHORT)];
static RENEWED_SHORT: Short =
    Short { shape: &RENEWED, order: &["count", "number", "batch", "document"], ways: Ways::One };
const SIGNS: Kind = Kind::Short(&SIGN_SHORT);
static SIGN_SHORT: Short =
    Short { shape: &SIGN, order: &["by", "on", "gauge", "zero"], ways: Ways::Several };
static HELD_SHORT: Short = Short { shape: &HELD, order: &["by", "on"], ways: Ways::One };
const SIGNED: &str = "{ by = \"RW\", on = 2026-03-02, gauge = \"MIC-2\" }";
static SIGN: Shape = Shape {
    name: "a sign-off",
    keys: &[&[
        optional("by", Kind::Entry, "\"RW\""),
        optional("on", Kind::DayEntry, "2026-03-02"),
        optional(
            "gauge",
            Kind::Other("gauges", &[GAUGE.kind, Kind::Table(&GAUGES)]),
            "[\"TEL-1\", \"MIC-2\"]",
        ),
        optional("part-temp", Kind::FigureEntry, "20.0"),
        optional("gauge-temp", Kind::FigureEntry, "20.0"),
        optional("zero", Kind::Entry, "\"vv\""),
        optional("rows", Kind::EntryOrEntries, "[\"T3IN\", \"T3EX\"]"),
    ]],
};
const GAUGE: Key = optional("gauge", Kind::EntryOrEntries, "[\"TEL-1\", \"MIC-2\"]");
static GAUGES: Shape = Shape {
    name: "gauges, a line each",
    keys: &[&[optional(CODE, Kind::EntryOrEntries, "\"DI-1\"")]],
};
static INITIALS: Shape = Shape {
    name: "the initials beside items",
    keys: &[&[optional(SPAN, Kind::EntryOrEntries, "\"TD\"")]],
};
static HELD: Shape = Shape {
    name: "a hold point",
    keys: &[&[optional("by", Kind::Entry, "\"JA\""), optional("on", Kind::DayEntry, "2026-03-02")]],
};
static RENEWED: Shape = Shape {
    name: "a renewed part",
    keys: &[&[
        optional("count", Kind::FigureEntry, "6"),
        optional("number", Kind::Entry, "\"the part number\""),
        optional("batch", Kind::Entry, "\"serial or batch\""),
        optional("document", Kind::Entry, "\"the release document\""),
        optional("reused", Kind::Flag, "true"),
    ]],
};

/// Reads a transcription. The limits tell how many decimals a row has, the
/// engine which parts there are; without them those questions wait.
pub fn readings(
    files: &Sources,
    name: &str,
    engine: Option<&Engine>,
    limits: Option<&Limits>,
    out: &mut Diags,
) -> Option<Record> {
    let before = out.faults();
    let mut tree = fields::tree_of(files, name, &READINGS, out)?;
    if let Value::Table(table) = &mut tree.root.value {
        let known = published(engine, limits);
        named(table, &known);
        short::lengthen(table, &READINGS, out);
        // What came later is only told apart from its box now.
        named(table, &known);
    }
    let read = |fields: Fields<'_>, out: &mut Diags| record(fields, engine, limits, out);
    fields::of_tree(&tree, &READINGS, before, out, read)
}

fn record(
    fields: Fields<'_>,
    engine: Option<&Engine>,
    limits: Option<&Limits>,
    out: &mut Diags,
) -> Option<Record> {
    let decimals = decimals(engine, limits);
    let known =
        |entry: &&Entry| READINGS.key(entry.key.as_str()).is_some_and(|key| key.name == CODE);
    let entries = fields.table.0.iter().filter(known);
    let read = entries.filter_map(|entry| sheet(entry, &decimals, out));
    let mut sheets: Vec<SheetEntry> = read.collect();
    rows_once(&sheets, out);
    let blind = fields.flag("blind").unwrap_or_default();
    if blind {
        sheets.iter_mut().for_each(turn);
    }
    let events = events::Events { engine, decimals: &decimals };
    Some(Record {
        set: fields.text("sheet-set")?,
        blind,
        sheets,
        again: events.again(&fields, out),
        changes: events.changes(&fields, out),
        findings: events::findings(&fields),
        left_out: events::left_out(&fields),
        accepted: events::accepted(&fields),
        outside: events::outside(&fields),
    })
}

/// The boxes of a blind sheet are printed and typed in the opposite order.
fn turn(sheet: &mut SheetEntry) {
    for group in sheet.rows.iter_mut().flat_map(|row| &mut row.groups) {
        if let Boxes::Readings(readings) = &mut group.boxes {
            readings.reverse();
        }
    }
}

fn sheet(entry: &Entry, decimals: &Decimals, out: &mut Diags) -> Option<SheetEntry> {
    let Value::Table(table) = &entry.node.value else {
        if !matches!(entry.node.value, Value::Unread) {
            let message = format!("{} is {} outside any sheet", entry.key, entry.node.kind());
            out.fault(&entry.key.at, message, "put it under its sheet: [C]");
        }
        return None;
    };
    if table.0.iter().any(rows::box_outside) {
        let help = "put it under its sheet's letter: [C]";
        out.fault(&entry.key.at, format!("the row {} stands outside any sheet", entry.key), help);
        return None;
    }
    check(table, &entry.node.at, &SHEET, true, out);
    let fields = Fields { table, at: &entry.node.at, whole: true };
    let mut sheet = SheetEntry {
        letter: entry.key.clone(),
        number: fields.text("number"),
        printed: fields.text("printed"),
        pages: fields.texts("pages"),
        second: fields.texts("second").unwrap_or_default(),
        signs: Vec::new(),
        items: Vec::new(),
        initials: fields.table("initials").map_or_else(Vec::new, |table| initials(&table)),
        rows: Vec::new(),
        remarks: fields.text("remarks"),
        at: entry.node.at.clone(),
    };
    let mut spans = Vec::new();
    for inner in &table.0 {
        let key = SHEET.key(inner.key.as_str()).map(|key| key.name);
        match key {
            Some(SPAN) if inner.key.as_str().contains('-') => spans.push(inner),
            Some(SPAN) => sheet.items.extend(item(inner, out)),
            Some(CODE) => sheet.rows.extend(rows::row(inner, decimals, out)),
            Some(key) if SIGN_KEYS.contains(&key) || key == HOLD => {
                sheet.signs.extend(signs(inner, out))
            }
            _ => {}
        }
    }
    items_once(&sheet.items, out);
    marked(&spans, &mut sheet.items, out);
    Some(sheet)
}

/// One, or several of whom each but one names the rows that are theirs.
fn signs(entry: &Entry, out: &mut Diags) -> Vec<Sign> {
    let all = match &entry.node.value {
        Value::List(list) => &list[..],
        _ => std::slice::from_ref(&entry.node),
    };
    all.iter().filter_map(|node| sign(&entry.key, node, out)).collect()
}

fn sign(key: &Text, node: &Node, out: &mut Diags) -> Option<Sign> {
    let fields = Fields::of(node)?;
    Some(Sign {
        key: key.clone(),
        by: fields.text("by"),
        on: fields.day("on"),
        gauges: gauges(&fields, out),
        part_temperature: fields.figure("part-temp"),
        gauge_temperature: fields.figure("gauge-temp"),
        zero: rows::zero(&fields, out),
        rows: fields.texts("rows").unwrap_or_default(),
        at: key.at.clone(),
    })
}

/// For all that is read under the key, or for each line in a table.
fn gauges(fields: &Fields<'_>, out: &mut Diags) -> Named {
    let Some(lines) = fields.table("gauge") else {
        fields.node("gauge").into_iter().for_each(|node| check::value(&GAUGE, node, true, out));
        return Named::All(fields.texts("gauge").unwrap_or_default());
    };
    check(lines.table, lines.at, &GAUGES, true, out);
    let one =
        |entry: &Entry| (entry.key.clone(), lines.texts(entry.key.as_str()).unwrap_or_default());
    Named::Each(lines.table.0.iter().map(one).collect())
}

fn initials(fields: &Fields<'_>) -> Vec<Initialled> {
    let one = |entry: &Entry| {
        let key = entry.key.as_str();
        let (first, last) = key.split_once('-').unwrap_or((key, key));
        let (first, last) = (first.parse().ok()?, last.parse().ok()?);
        let by = fields.texts(key).filter(|by| !by.is_empty())?;
        Some(Initialled { first, last, by, at: entry.key.at.clone() })
    };
    fields.table.0.iter().filter_map(one).collect()
}

/// `None` for what is not filled in.
fn item(entry: &Entry, out: &mut Diags) -> Option<ItemEntry> {
    let number: Option<u32> =
        entry.key.as_str().parse().ok().filter(|number| (1..=9999).contains(number));
    let Some(number) = number else {
        out.fault(
            &entry.key.at,
            format!("there is no item {}", entry.key),
            "the number printed before the item",
        );
        return None;
    };
    let content = match &entry.node.value {
        Value::Text(text) if text.trim().is_empty() => return None,
        Value::Text(text) => match rows::marks(text) {
            Some(marks) => ItemContent::Marks(marks),
            None => ItemContent::Words(worded(&entry.node, text)),
        },
        Value::Figure(text) | Value::Date(text) => ItemContent::Words(worded(&entry.node, text)),
        Value::Table(table) if table.0.iter().any(at_place) => {
            let placed = placed(table, out);
            if placed.is_empty() {
                return None;
            }
            ItemContent::Placed(placed)
        }
        Value::Table(table) => {
            check(table, &entry.node.at, &RENEWED, true, out);
            ItemContent::Renewed(renewed(&Fields { table, at: &entry.node.at, whole: true })?)
        }
        Value::List(list) => {
            let cells = cells(number, list, out)?;
            if cells.iter().all(|cell| cell.as_str().is_empty()) {
                return None;
            }
            ItemContent::Cells(cells)
        }
        Value::Unread => return None,
        Value::Flag(_) => {
            let help = "marks or words in quotes: \"v\"; one mark a place: \"vvvx\"";
            out.fault(&entry.node.at, format!("item {number} is {}", entry.node.kind()), help);
            return None;
        }
    };
    Some(ItemEntry { number, content, spanned: false, at: entry.key.at.clone() })
}

/// The longest list of items that one mark may be typed for.
const LONGEST_SPAN: u32 = 200;

/// Marks typed once for a list of items. What is typed for an item by itself
/// counts there; an `x` is always of one item.
fn marked(spans: &[&Entry], items: &mut Vec<ItemEntry>, out: &mut Diags) {
    let mut seen: Vec<(u32, u32, &Span)> = Vec::new();
    for entry in spans {
        let ends = entry.key.as_str().split_once('-');
        let ends = ends.and_then(|(from, to)| from.parse().ok().zip(to.parse().ok()));
        let ends = ends.filter(|(from, to): &(u32, u32)| (1..=*to).contains(from));
        let Some((from, to)) = ends.filter(|(from, to)| to - from < LONGEST_SPAN) else {
            let help = "the first and the last number of a list: 1-8 = \"v\"";
            out.fault(&entry.key.at, format!("{} is no list of items", entry.key), help);
            continue;
        };
        if let Some((.., first)) = seen.iter().find(|(a, b, _)| *a <= to && from <= *b) {
            let help = "each item under one list, or by itself";
            let message = format!("{} and another list have items in common", entry.key);
            let diag = Diag::at(Severity::Fault, &entry.key.at, message, help);
            out.push(diag.also((*first).clone(), "the other"));
            continue;
        }
        seen.push((from, to, &entry.key.at));
        let marks = match &entry.node.value {
            Value::Unread => continue,
            Value::Text(text) => rows::marks(text),
            _ => None,
        };
        let Some(marks) = marks else {
            let help = format!("marks of each item in quotes, v, n or -: {} = \"v\"", entry.key);
            out.fault(&entry.node.at, "what is said of several items is marks".to_owned(), help);
            continue;
        };
        if marks.contains(&Mark::Found) {
            let help = format!("the item by itself beside the list: {from} = \"x\"");
            out.fault(&entry.node.at, "an x for several items", help);
        }
        if marks.is_empty() {
            continue;
        }
        let alone: Vec<u32> = items.iter().map(|item| item.number).collect();
        items.extend((from..=to).filter(|number| !alone.contains(number)).map(|number| {
            let content = ItemContent::Marks(marks.clone());
            ItemEntry { number, content, spanned: true, at: entry.key.at.clone() }
        }));
    }
}

/// The boxes of a row of a table; a blank one is empty.
fn cells(number: u32, list: &[Node], out: &mut Diags) -> Option<Vec<Text>> {
    let cell = |node: &Node| match &node.value {
        Value::Text(text) if blank(text) => Some(worded(node, "")),
        Value::Text(text) | Value::Figure(text) | Value::Date(text) => Some(worded(node, text)),
        Value::Unread => None,
        _ => {
            let help = "words in quotes, one for each box: [\"\", \"\"]";
            out.fault(&node.at, format!("a box of item {number} is {}", node.kind()), help);
            None
        }
    };
    list.iter().map(cell).collect()
}

/// Whether a key is a place's code: no key of a renewed part looks so.
fn at_place(entry: &Entry) -> bool {
    let code = entry.key.as_str();
    code.bytes().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit())
}

/// Words at each of several places; blank ones are left out.
fn placed(table: &Table, out: &mut Diags) -> Vec<(Text, Text)> {
    let words = |entry: &Entry| {
        let place = entry.key.clone();
        let words = match &entry.node.value {
            Value::Text(text) if blank(text) => return None,
            Value::Text(text) | Value::Figure(text) | Value::Date(text) => {
                worded(&entry.node, text)
            }
            Value::Unread => return None,
            _ => {
                let message = format!("the words at {place} are {}", entry.node.kind());
                out.fault(&entry.node.at, message, format!("{place} = \"any words\""));
                return None;
            }
        };
        if !at_place(entry) {
            let help = "the place's code: { 1 = \"any words\", 2 = \"any words\" }";
            out.fault(&place.at, format!("{place} is not a place"), help);
        }
        Some((place, words))
    };
    table.0.iter().filter_map(words).collect()
}

fn worded(node: &Node, text: &str) -> Text {
    Text { text: text.into(), at: node.at.clone() }
}

fn renewed(fields: &Fields<'_>) -> Option<Renewed> {
    let renewed = Renewed {
        count: fields.figure("count"),
        number: fields.text("number"),
        batch: fields.text("batch"),
        document: fields.text("document"),
        reused: fields.flag("reused").unwrap_or(false),
        at: fields.at.clone(),
    };
    let named =
        [&renewed.number, &renewed.batch, &renewed.document].into_iter().any(Option::is_some);
    (named || renewed.reused || renewed.count.is_some()).then_some(renewed)
}

fn items_once(items: &[ItemEntry], out: &mut Diags) {
    let mut seen: HashMap<u32, &Span> = HashMap::new();
    for item in items {
        if let Some(first) = seen.insert(item.number, &item.at) {
            twice(&item.at, first, format!("item {} is typed twice", item.number), out);
        }
    }
}

fn rows_once(sheets: &[SheetEntry], out: &mut Diags) {
    let mut seen: HashMap<&str, &RowEntry> = HashMap::new();
    for row in sheets.iter().flat_map(|sheet| &sheet.rows) {
        if let Some(first) = seen.insert(row.code.as_str(), row) {
            twice(&row.at, &first.at, format!("the row {} is typed on two sheets", row.code), out);
        }
    }
}

fn twice(at: &Span, first: &Span, message: String, out: &mut Diags) {
    let help = "keep one; a later reading belongs in [[again]]";
    out.push(Diag::at(Severity::Fault, at, message, help).also(first.clone(), "the first"));
}
