//! The boxes of a row, as they are typed in.

use super::check::{check, check_digits, commas, quoted};
use super::fields::{Fields, typed};
use super::keys::{Kind, Shape, Short, Ways, optional};
use super::toml::number::{blank, figure_text};
use super::toml::tree::{Entry, Node, Table, Value};
use crate::diag::{Diags, Span};
use crate::model::engine::Engine;
use crate::model::limits::Limits;
use crate::model::record::{Boxes, GroupEntry, Mark, NotApplicable, RowEntry};
use crate::model::side::{Group, Side};
use crate::model::text::{Number, Text};
use std::collections::HashMap;

/// A row of one box needs no brackets.
pub const BOXES: Kind = Kind::Other("figures, one a box", &[Kind::FigureEntry, Kind::Boxes]);

pub static ROW: Shape = Shape {
    name: "a row",
    keys: &[&[
        optional("shaft", BOXES, "[1.3731, 1.3730]"),
        optional("bore", BOXES, "[1.3752, 1.3753]"),
        optional("read", BOXES, "[0.0085]"),
        optional("go", Kind::Other("marks, one a tooth", &[Kind::Text]), "\"vvvv vvvv vvvv\""),
        optional("nogo", Kind::Other("marks, one a tooth", &[Kind::Text]), "\"vvvv vvvv vvvv\""),
        optional(
            "leaves",
            Kind::Other("further leaves", &[Kind::Leaves]),
            "[[9, 0.003, \"entered\"]]",
        ),
        optional("na", Kind::Short(&NA), "{ why = \"not fitted\", by = \"JA\" }"),
    ]],
};
static NA: Short = Short { shape: &NOT_APPLICABLE, order: &["why", "by"], ways: Ways::One };
static NOT_APPLICABLE: Shape = Shape {
    name: "na",
    keys: &[&[
        optional("why", Kind::Entry, "\"not fitted to this engine\""),
        optional("by", Kind::Entry, "\"JA\""),
    ]],
};
/// All that may be typed for a row: its sides by name; the readings of its only
/// side; those of shaft and bore, one behind the other.
pub const ROWS: Kind = Kind::Other(
    "the boxes of a row",
    &[Kind::Table(&ROW), Kind::FigureEntry, Kind::Boxes, Kind::BoxesEach],
);
/// The decimals of every row, by its code.
pub type Decimals = HashMap<String, u8>;

pub fn decimals(engine: Option<&Engine>, limits: Option<&Limits>) -> Decimals {
    let mut out = Decimals::new();
    let (Some(engine), Some(limits)) = (engine, limits) else {
        return out;
    };
    for line in &limits.lines {
        out.extend(line.row_codes(engine).into_iter().map(|code| (code, line.places)));
    }
    out
}

/// Whether an entry of a table shows that the table is a row and no sheet.
pub fn box_outside(entry: &Entry) -> bool {
    let table = |node: &Node| matches!(node.value, Value::Table(_));
    let filled = match &entry.node.value {
        // Several sign-offs of one side.
        Value::List(list) => list.is_empty() || !list.iter().all(table),
        value => matches!(value, Value::Figure(_) | Value::Text(_)),
    };
    entry.key.as_str() == "na" || filled && Group::named(entry.key.as_str()).is_some()
}

/// The sides of a row, each under its word: a table as it stands; figures are
/// those of the only side; two lists are those of shaft and bore. None where it
/// is anything else.
pub fn sides(entry: &Entry) -> Vec<Entry> {
    let list = |node: &Node| matches!(node.value, Value::List(_));
    let under = |side: Side, node: &Node| {
        let key = Text { text: side.word().into(), at: node.at.clone() };
        Entry { key, node: node.clone() }
    };
    match &entry.node.value {
        Value::Table(table) => table.0.clone(),
        Value::Figure(_) => vec![under(Side::Only, &entry.node)],
        Value::List(both) if both.iter().any(list) => match &both[..] {
            [shaft, bore] if list(shaft) && list(bore) => {
                vec![under(Side::Shaft, shaft), under(Side::Bore, bore)]
            }
            _ => Vec::new(),
        },
        Value::List(_) => vec![under(Side::Only, &entry.node)],
        _ => Vec::new(),
    }
}

pub fn row(entry: &Entry, decimals: &Decimals, out: &mut Diags) -> Option<RowEntry> {
    let table = &Table(sides(entry));
    let none = table.0.is_empty() && !matches!(entry.node.value, Value::Table(_));
    if none {
        if !matches!(entry.node.value, Value::Unread) {
            let (code, kind) = (&entry.key, entry.node.kind());
            let message = match kind {
                "a list" => format!("the row {code} is neither one list nor two"),
                _ => format!("the row {code} is {kind}"),
            };
            let help = format!(
                "its readings in brackets, or those of shaft and bore: {code} = [[1.3731, 1.3730], [1.3752, 1.3753]]; or say which boxes: {code}.shaft, {code}.bore or {code}.read"
            );
            out.fault(&entry.node.at, message, help);
        }
        return None;
    }
    check(table, &entry.key.at, &ROW, true, out);
    let decimals = decimals.get(entry.key.as_str()).copied();
    let group = |entry: &Entry| {
        let key = Group::named(entry.key.as_str())?;
        let boxes = boxes(key, &entry.node, decimals, out)?;
        Some(GroupEntry { key: (key, entry.key.at.clone()), boxes, at: entry.node.at.clone() })
    };
    let mut groups = Vec::with_capacity(table.0.len());
    groups.extend(table.0.iter().filter_map(group));
    let fields = Fields { table, at: &entry.key.at, whole: true };
    let not_applicable = fields.table("na").map(|na| NotApplicable {
        why: na.text("why"),
        by: na.text("by"),
        at: fields.place("na").clone(),
    });
    Some(RowEntry { code: entry.key.clone(), groups, not_applicable, at: entry.key.at.clone() })
}

/// The boxes of one group. `None` where they cannot be read, which is said.
pub fn boxes(key: Group, node: &Node, decimals: Option<u8>, out: &mut Diags) -> Option<Boxes> {
    match key {
        Group::Go | Group::NoGo => tooth_marks(node, out).map(Boxes::Marks),
        Group::Leaves => leaves(node, out).map(Boxes::Leaves),
        Group::Read(_) => readings(node, decimals, out).map(Boxes::Readings),
    }
}

fn readings(node: &Node, decimals: Option<u8>, out: &mut Diags) -> Option<Vec<Option<Number>>> {
    let list = match &node.value {
        Value::List(list) => &list[..],
        Value::Unread => return None,
        // A row of one box needs no brackets.
        _ => std::slice::from_ref(node),
    };
    commas(list, decimals, out);
    Some(list.iter().map(|node| reading(node, out)).collect())
}

fn reading(node: &Node, out: &mut Diags) -> Option<Number> {
    match &node.value {
        Value::Figure(_) => check_digits(node, out),
        Value::Text(text) if blank(text) => {}
        Value::Text(text) if figure_text(text) => quoted(node, text, out),
        Value::Text(text) => {
            let help = "a figure; \"-\" for an empty box; na = { why = \"...\", by = \"...\" } for a row that does not apply";
            out.fault(&node.at, format!("\"{text}\" in a reading's box"), help);
        }
        Value::Unread => {}
        _ => {
            let help = "a figure without quotes, or \"-\" for an empty box";
            out.fault(&node.at, format!("{} in a reading's box", node.kind()), help);
        }
    }
    typed(node)
}

/// Marks and nothing else: `v` ok or done, `x` found, `n` n.a., `-` blank,
/// with spaces between as one likes.
pub fn marks(text: &str) -> Option<Vec<Mark>> {
    let mark = |letter: char| match letter {
        'v' => Some(Mark::Ok),
        'x' => Some(Mark::Found),
        'n' => Some(Mark::NotApplicable),
        '-' => Some(Mark::Blank),
        _ => None,
    };
    text.chars().filter(|letter| *letter != ' ').map(mark).collect()
}

/// The zero of the gauges before use and after it: `vv`, `vx`. A fault where
/// it is anything else.
pub fn zero(fields: &Fields<'_>, out: &mut Diags) -> Option<[Mark; 2]> {
    let typed = fields.text("zero").filter(|typed| !blank(typed.as_str()))?;
    let found = marks(&typed.as_str().to_lowercase());
    let pair = found.as_deref().and_then(|marks| <[Mark; 2]>::try_from(marks).ok());
    if pair.is_none() {
        let help = "a mark before use and one after, v or x: \"vv\"";
        out.fault(&typed.at, format!("\"{typed}\" is not how a zero was found"), help);
    }
    pair
}

fn tooth_marks(node: &Node, out: &mut Diags) -> Option<Vec<Mark>> {
    let help = "one mark a tooth in quotes, v, x, n or -: \"vvvv vvxv vvvv\"";
    match &node.value {
        Value::Text(text) => {
            let found = marks(&text.to_lowercase());
            if found.is_none() {
                let odd = text.chars().find(|letter| !"vxn- VXN".contains(*letter)).unwrap_or(' ');
                out.fault(&node.at, format!("\"{odd}\" is not a mark"), help);
            }
            found
        }
        Value::Unread => None,
        _ => {
            out.fault(&node.at, format!("marks that are {}", node.kind()), help);
            None
        }
    }
}

/// Tooth, leaf, and whether it entered.
fn leaves(node: &Node, out: &mut Diags) -> Option<Vec<(u32, Number, bool)>> {
    match &node.value {
        Value::List(list) => Some(list.iter().filter_map(|node| leaf(node, out)).collect()),
        Value::Unread => None,
        _ => {
            leaf_fault(&node.at, format!("leaves that are {}", node.kind()), out);
            None
        }
    }
}

fn leaf(node: &Node, out: &mut Diags) -> Option<(u32, Number, bool)> {
    let Value::List(list) = &node.value else {
        if !matches!(node.value, Value::Unread) {
            leaf_fault(&node.at, format!("a leaf that is {}", node.kind()), out);
        }
        return None;
    };
    let [tooth, leaf, told] = &list[..] else {
        leaf_fault(&node.at, format!("a leaf with {} things said of it", list.len()), out);
        return None;
    };
    check_digits(leaf, out);
    let number = match &tooth.value {
        Value::Figure(raw) => raw.parse().ok().filter(|number| (1..=96).contains(number)),
        _ => None,
    };
    let entered = match &told.value {
        Value::Text(text) if &**text == "entered" => Some(true),
        Value::Text(text) if &**text == "refused" => Some(false),
        _ => None,
    };
    if number.is_none() {
        leaf_fault(&tooth.at, "the tooth's number comes first".into(), out);
    }
    if !matches!(leaf.value, Value::Figure(_)) {
        leaf_fault(&leaf.at, "the leaf's thickness comes second".into(), out);
    }
    if entered.is_none() {
        leaf_fault(&told.at, "a leaf either entered or was refused".into(), out);
    }
    Some((number?, typed(leaf)?, entered?))
}

fn leaf_fault(at: &Span, message: String, out: &mut Diags) {
    out.fault(at, message, "tooth, leaf, \"entered\" or \"refused\": [[9, 0.003, \"entered\"]]");
}
