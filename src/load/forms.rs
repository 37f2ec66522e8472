//! The forms: one file a sheet, and the report's wording.

use super::fields::{Fields, file, word};
use super::keys::{By, Key, Kind, Shape, Varied, optional, required};
use super::tables;
use super::toml::tree::{Node, Value};
use crate::diag::{Diag, Diags, Severity, Sources};
use crate::model::form::{Block, Content, Form, ReportForm, ReportSection, SIGN_KEYS};
use crate::model::text::Text;
use std::collections::HashMap;

/// Where the forms of a job lie, and which of them is the report's.
const FOLDER: &str = "forms/";
const REPORT_FILE: &str = "forms/report.toml";
/// Of the forms, that with the lists of the kinds of part.
pub const KINDS_FILE: &str = "forms/kinds.toml";
/// Sections of the report that the program knows.
const SECTIONS: &[&str] = &[
    "summary",
    "exceptions",
    "near",
    "people",
    "gauges",
    "fits",
    "readings",
    "look-over",
    "renewed",
    "changes",
    "superseded",
    "outside",
    "originals",
    "wear",
    "arithmetic",
    "limits",
    "sign-off",
];

pub static FORM: Shape = Shape {
    name: "a form",
    keys: &[&[
        required("sheet", Kind::Table(&SHEET), "[sheet] with letter, title, order and revision"),
        required("block", Kind::EachOf(&BLOCK), "[[block]] for each thing on the sheet"),
    ]],
};
static SHEET: Shape = Shape {
    name: "[sheet]",
    keys: &[&[
        required("letter", Kind::Text, "\"C\""),
        required("title", Kind::Text, "\"Camshaft in crankcase\""),
        optional("subtitle", Kind::Text, "\"fits\""),
        required("order", Kind::Whole, "30"),
        required("revision", Kind::FigureOrText, "\"1\""),
        optional("part", Kind::Text, "\"camshaft\""),
        optional("kinds", Kind::TextOrTexts, "[\"crankcase-half\"]"),
        optional("group", Kind::Text, "\"camshaft\""),
        optional("signs", Kind::Table(&CAPTIONS), "{ shaft = \"Shaft measured by\" }"),
    ]],
};
static CAPTIONS: Shape = Shape {
    name: "signs",
    keys: &[&[
        optional("shaft", Kind::Text, "\"Shaft measured by\""),
        optional("bore", Kind::Text, "\"Bore measured by\""),
        optional("read", Kind::Text, "\"Read by\""),
        optional("work", Kind::Text, "\"Work done by\""),
        optional("check", Kind::Text, "\"Checked by\""),
    ]],
};
pub static BLOCK: Varied = Varied {
    name: "a block",
    by: By::Key,
    kinds: &[
        ("look-over", &Shape { name: "a look-over block", keys: &[COMMON, LOOK_OVER, LISTED] }),
        ("steps", &Shape { name: "a steps block", keys: &[COMMON, STEPS, LISTED] }),
        ("condition", &Shape { name: "a condition block", keys: &[COMMON, CONDITION] }),
        ("lines-of", &Shape { name: "a block for lines", keys: &[COMMON, LINES_OF] }),
        ("crack-tests", &Shape { name: "a block of crack tests", keys: &[COMMON, CRACK_TESTS] }),
        ("states", &Shape { name: "a block of states of assembly", keys: &[COMMON, STATES] }),
        ("measure", &Shape { name: "a measure block", keys: &[COMMON, MEASURE] }),
        ("rest", &Shape { name: "a rest block", keys: &[COMMON, REST] }),
        ("write", &Shape { name: "a write block", keys: &[COMMON, WRITE, LISTED] }),
        (
            "table",
            &Shape { name: "a table to write in", keys: &[COMMON, tables::TABLE, SPOKEN_OF] },
        ),
        ("renew", &Shape { name: "a renew block", keys: &[COMMON, RENEW] }),
        ("caution", &Shape { name: "a caution block", keys: &[COMMON, CAUTION] }),
        ("note", &Shape { name: "a note block", keys: &[COMMON, NOTE] }),
    ],
    implied_by: &[],
    several: None,
};
const COMMON: &[Key] = &[
    optional("id", Kind::Text, "\"tappet-faces\""),
    optional("part", Kind::Text, "\"camshaft\""),
    optional("kinds", Kind::TextOrTexts, "[\"hydraulic-unit\"]"),
];
const ITEMS: Key = required("items", Kind::Texts, "[\"gear: cracks, teeth worn\"]");
const AT: Key = optional("at", Kind::Text, "\"tappet\"");
const OF: Key = optional("of", Kind::Texts, "[\"outer-springs\", \"inner-springs\"]");
const OF_EACH: Key =
    optional("of-each", Kind::Entries, "[\"pushrods\", \"rockers rocker-shafts\"]");
const PLACES_OF: Key = optional("places-of", Kind::Text, "\"barrel\"");
const EACH_KINDS: Key =
    optional("each-kinds", Kind::Entries, "[\"hydraulic-unit\", \"\", \"magneto carburettor\"]");
const EACH_LINES: Key = optional("each-lines", Kind::Entries, "[\"\", \"valve-clearance\"]");
const LOOK_OVER: &[Key] = &[required("look-over", Kind::Text, "\"camshaft\"")];
/// Of a list of items.
const LISTED: &[Key] = &[ITEMS, AT, PLACES_OF, OF, OF_EACH, EACH_KINDS, EACH_LINES, ONCE];
const SPOKEN_OF: &[Key] = &[OF, OF_EACH, EACH_KINDS, EACH_LINES, ONCE];
const ONCE: Key = optional("once", Kind::Flag, "true");
const LINES_OF: &[Key] = &[
    required("lines-of", Kind::Text, "\"assembly\""),
    optional("title", Kind::Text, "\"Valve clearance\""),
    optional("note", Kind::Text, "\"piston at top centre on compression\""),
];
const CRACK_TESTS: &[Key] = &[required("crack-tests", Kind::Text, "\"Crack tests\"")];
const STATES: &[Key] = &[required("states", Kind::Choice(&["all"]), "\"all\"")];
const STEPS: &[Key] = &[
    required("steps", Kind::Text, "\"before measuring\""),
    optional("hold", Kind::Flag, "true"),
    optional("with", Kind::Text, "\"torque wrench\""),
];
const CONDITION: &[Key] = &[required("condition", Kind::Text, "\"case-bolted\"")];
const MEASURE: &[Key] = &[
    required("measure", Kind::TextOrTexts, "[\"C\", \"CR\"]"),
    optional("title", Kind::Text, "\"Camshaft\""),
    optional("note", Kind::Text, "\"bores with the case bolted\""),
];
const REST: &[Key] = &[required("rest", Kind::Text, "\"Other lines of the table\"")];
const WRITE: &[Key] = &[required("write", Kind::Text, "\"hours and identity\"")];
const RENEW: &[Key] = &[
    required("renew", Kind::Text, "\"always renewed\""),
    optional("parts", Kind::Texts, "[\"oil-seals\"]"),
];
const CAUTION: &[Key] = &[required("caution", Kind::Text, "\"never erase\"")];
const NOTE: &[Key] = &[required("note", Kind::Text, "\"one line through, initial, date\"")];

pub static REPORT: Shape = Shape {
    name: "a report's form",
    keys: &[&[
        required("report", Kind::Table(&REPORT_HEAD), "[report] with title and disclaimer"),
        required("section", Kind::Each(&SECTION), "[[section]] for each section"),
    ]],
};
static REPORT_HEAD: Shape = Shape {
    name: "[report]",
    keys: &[&[
        required("title", Kind::Text, "\"Measuring record\""),
        required("disclaimer", Kind::Text, "\"a record of what was measured\""),
    ]],
};
static SECTION: Shape = Shape {
    name: "a section",
    keys: &[&[
        required("show", Kind::Choice(SECTIONS), "\"exceptions\""),
        required("title", Kind::Text, "\"Exceptions\""),
        optional("text", Kind::Text, "\"what is out, in query or open\""),
    ]],
};

/// Every form of a folder as it is written: what it asks for by kind of part is
/// still open.
pub struct Asked {
    pub forms: Vec<AskedForm>,
    pub report: ReportForm,
}

pub struct AskedForm {
    pub form: Form,
    /// Printed only where the engine has a part of one of these kinds.
    pub kinds: Vec<Text>,
    /// The group of the engine whose sheet it takes the place of.
    pub group: Option<Text>,
    /// One for each block of the form.
    pub asks: Vec<Asks>,
}

/// What a block asks of the engine.
#[derive(Default)]
pub struct Asks {
    /// Printed only where the engine has a part of one of these kinds.
    pub kinds: Vec<Text>,
    /// The same item by item; empty where no item asks.
    pub each: Vec<Vec<Text>>,
    /// The same by the places that lines are measured at; nothing for an item
    /// that goes by none.
    pub each_lines: Vec<Vec<Text>>,
    /// What is done once: its items are of no part, and none is opened again.
    pub once: bool,
    /// Its items stand at the places of the part of this kind.
    pub places_of: Option<Text>,
    pub list: Option<List>,
}

/// What makes the list of a block, where the form does not.
pub enum List {
    /// Every part that a crack test is made on.
    CrackTests,
    /// The parts whose numbers are written down as they come in and go out.
    Major,
    /// The lines that name this place for them.
    Lines(Text),
    /// The states of assembly.
    States,
}

/// Reads every form of the folder, and the report's. `None` where any has a
/// fault.
pub fn asked(files: &Sources, out: &mut Diags) -> Option<Asked> {
    let before = out.faults();
    let apart = [REPORT_FILE, KINDS_FILE];
    let names: Vec<&str> = files
        .0
        .keys()
        .map(|name| &**name)
        .filter(|name| name.starts_with(FOLDER) && name.ends_with(".toml") && !apart.contains(name))
        .filter(|name| !name[FOLDER.len()..].contains('/'))
        .collect();
    let forms: Vec<AskedForm> = names.iter().filter_map(|name| form(files, name, out)).collect();
    let report = report(files, out);
    if names.is_empty() {
        out.fault_nowhere("there are no forms", "one file a sheet in the folder forms");
    }
    let sheets = || forms.iter().map(|asked| &asked.form);
    let letters: Vec<&Text> = sheets().map(|form| &form.letter).collect();
    once(&letters, "letter", |letter| Some((letter.text.clone(), letter)), out);
    let orders: Vec<&Text> = sheets().map(|form| &form.order.1).collect();
    once(&orders, "order", |order| Some((order.text.clone(), order)), out);
    let blocks: Vec<&Block> = sheets().flat_map(|form| &form.blocks).collect();
    once(&blocks, "block", |block| block.id.as_ref().map(|id| (id.text.clone(), id)), out);
    let report = report?;
    (out.faults() == before).then_some(Asked { forms, report })
}

/// A mark by which things are told apart stands once.
pub fn once<'a, T>(
    things: &'a [T],
    what: &str,
    mark: impl Fn(&'a T) -> Option<(Box<str>, &'a Text)>,
    out: &mut Diags,
) {
    let mut seen: HashMap<Box<str>, &Text> = HashMap::new();
    for (mark, word) in things.iter().filter_map(mark) {
        if let Some(first) = seen.insert(mark.clone(), word) {
            let message = format!("the {what} {mark} stands twice");
            let diag = Diag::at(Severity::Fault, &word.at, message, format!("another {what}"));
            out.push(diag.also(first.at.clone(), "the first"));
        }
    }
}

/// Reads one sheet's form.
fn form(files: &Sources, name: &str, out: &mut Diags) -> Option<AskedForm> {
    file(files, name, &FORM, out, |fields, out| {
        let read: Vec<_> =
            fields.each("block").iter().filter_map(|fields| block(fields, out)).collect();
        let (blocks, asks): (Vec<Block>, Vec<Asks>) = read.into_iter().unzip();
        let sheet = fields.table("sheet")?;
        let letter = sheet.text("letter")?;
        letter_fits(&letter, out);
        let all = blocks.len() == fields.each("block").len();
        let form = Form {
            title: sheet.text("title")?,
            subtitle: sheet.text("subtitle"),
            revision: sheet.text("revision")?,
            order: (sheet.whole("order")?, sheet.node("order").and_then(word)?),
            part: sheet.text("part"),
            signs: signs(&sheet),
            letter,
            blocks: Some(blocks).filter(|_| all)?,
        };
        let kinds = sheet.texts("kinds").unwrap_or_default();
        Some(AskedForm { form, kinds, group: sheet.text("group"), asks })
    })
}

/// A sheet's letter: one to three capitals and digits.
pub fn letter_fits(letter: &Text, out: &mut Diags) {
    let fits = |b: u8| b.is_ascii_uppercase() || b.is_ascii_digit();
    let text = letter.as_str();
    if !text.bytes().all(fits)
        || !text.starts_with(|c: char| c.is_ascii_uppercase())
        || text.len() > 3
    {
        let help = "a capital, then capitals and digits, three at most";
        out.fault(&letter.at, format!("{text} is no sheet's letter"), help);
    }
}

fn signs(sheet: &Fields<'_>) -> Vec<(Text, Text)> {
    let Some(signs) = sheet.table("signs") else {
        return Vec::new();
    };
    let known = signs.table.0.iter().filter(|entry| SIGN_KEYS.contains(&entry.key.as_str()));
    known.filter_map(|entry| Some((entry.key.clone(), signs.text(entry.key.as_str())?))).collect()
}

fn block(fields: &Fields<'_>, out: &mut Diags) -> Option<(Block, Asks)> {
    let of = fields.texts("of").unwrap_or_default();
    let (id, part) = (fields.text("id"), fields.text("part"));
    let of_each = item_by_item(fields, "of-each", "parts", out);
    let list = fields.text("lines-of").map(List::Lines);
    let list = list.or_else(|| fields.text("crack-tests").map(|_| List::CrackTests));
    let list = list.or_else(|| match fields.text("rows-of")?.as_str() {
        "crack-tests" => Some(List::CrackTests),
        "major-parts" => Some(List::Major),
        _ => None,
    });
    let asks = Asks {
        kinds: fields.texts("kinds").unwrap_or_default(),
        each: item_by_item(fields, "each-kinds", "kinds", out),
        each_lines: item_by_item(fields, "each-lines", "lines", out),
        once: fields.flag("once").unwrap_or(false),
        places_of: fields.text("places-of"),
        list: list.or_else(|| fields.text("states").map(|_| List::States)),
    };
    let content = match fields.text("table") {
        Some(title) => Content::Table(tables::table(title, fields, out)?),
        None => content(fields)?,
    };
    Some((Block { id, part, of, of_each, content }, asks))
}

/// Names by item, those of one item apart by spaces; `""` for an item of none.
fn item_by_item(fields: &Fields<'_>, key: &str, what: &str, out: &mut Diags) -> Vec<Vec<Text>> {
    let Some(Value::List(list)) = fields.node(key).map(|node| &node.value) else {
        return Vec::new();
    };
    let items = fields.texts("items").unwrap_or_default().len();
    if list.len() != items {
        let message = format!("{items} items and the {what} of {}", list.len());
        let help = format!("the {what} of each item, in the same order; \"\" for an item of none");
        out.fault(fields.place(key), message, help);
    }
    let names = |node: &Node| match &node.value {
        Value::Text(text) => {
            let name = |name: &str| Text { text: name.into(), at: node.at.clone() };
            text.split_whitespace().map(name).collect()
        }
        _ => Vec::new(),
    };
    list.iter().map(names).collect()
}

fn content(fields: &Fields<'_>) -> Option<Content> {
    let items = || fields.texts("items").unwrap_or_default();
    let at = || fields.text("at");
    if let Some(title) = fields.text("look-over") {
        return Some(Content::LookOver { title, items: items(), at: at() });
    }
    if let Some(title) = fields.text("steps") {
        let hold = fields.flag("hold").unwrap_or(false);
        let with = fields.text("with");
        return Some(Content::Steps { title, items: items(), at: at(), hold, with });
    }
    if let Some(title) = fields.text("write") {
        return Some(Content::Write { title, items: items(), at: at() });
    }
    if let Some(title) = fields.text("crack-tests") {
        return Some(Content::LookOver { title, items: Vec::new(), at: None });
    }
    if fields.text("lines-of").is_some() {
        let (title, note) = (fields.text("title"), fields.text("note"));
        return Some(Content::Measure { title, note, lines: Vec::new() });
    }
    if let Some(id) = fields.text("states") {
        return Some(Content::Condition { id });
    }
    if let Some(lines) = fields.texts("measure") {
        return Some(Content::Measure {
            title: fields.text("title"),
            note: fields.text("note"),
            lines,
        });
    }
    if let Some(title) = fields.text("renew") {
        return Some(Content::Renew { title, parts: fields.texts("parts") });
    }
    let condition = fields.text("condition").map(|id| Content::Condition { id });
    let rest = || fields.text("rest").map(|title| Content::Rest { title });
    let caution = || fields.text("caution").map(|text| Content::Caution { text });
    condition
        .or_else(rest)
        .or_else(caution)
        .or_else(|| fields.text("note").map(|text| Content::Note { text }))
}

fn report(files: &Sources, out: &mut Diags) -> Option<ReportForm> {
    file(files, REPORT_FILE, &REPORT, out, |fields, out| {
        let section = |fields: Fields<'_>| {
            let text = fields.text("text");
            Some(ReportSection { show: fields.text("show")?, title: fields.text("title")?, text })
        };
        let sections: Vec<_> = fields.each("section").into_iter().filter_map(section).collect();
        once(&sections, "section", |section| Some((section.show.text.clone(), &section.show)), out);
        let head = fields.table("report")?;
        Some(ReportForm {
            title: head.text("title")?,
            disclaimer: head.text("disclaimer")?,
            sections,
        })
    })
}
