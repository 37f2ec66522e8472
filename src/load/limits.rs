//! The limits file as a whole: the document it repeats, and what every line
//! has, of whatever kind.

use super::fields::{self, Fields};
use super::keys::{Kind, Shape, optional, required};
use super::kinds::kinds;
use super::limit::{Reading, places};
use super::lines::LINE;
use super::meant::Meant;
use super::references::{Names, Reader, references, row_codes};
use super::toml::tree::Tree;
use super::typed_keys::typed_keys;
use crate::diag::{Diags, Sources};
use crate::model::engine::Engine;
use crate::model::limits::{Document, Limits, Line};
use crate::model::text::Text;
use crate::quantity::{Length, Unit};

const UNITS: &[&str] = &["in", "mm"];
pub static LIMITS: Shape = Shape {
    name: "a limits file",
    keys: &[&[
        required("document", Kind::Table(&DOCUMENT), "[document] with title, number and revision"),
        required("line", Kind::EachOf(&LINE), "[[line]] for each line of the table"),
    ]],
};
static DOCUMENT: Shape = Shape {
    name: "[document]",
    keys: &[&[
        optional("file", Kind::Text, "\"L-07\""),
        required("title", Kind::Text, "\"Overhaul manual\""),
        required("number", Kind::Text, "\"OM-4\""),
        required("revision", Kind::FigureOrText, "\"7\""),
        optional("date", Kind::DayOrText, "2024-05-01"),
        required("unit", Kind::Choice(UNITS), "\"in\""),
        required("resolution", Kind::FigureOrText, "\"0.0001\""),
    ]],
};
/// Reads a limits file against its engine and, where `files` have it, the file of
/// kinds. Without an engine (it had faults of its own) everything but the
/// references is looked at, and the answer is `None`.
pub fn limits<'a>(
    files: &Sources,
    name: &str,
    engine: impl Into<Option<&'a Engine>>,
    out: &mut Diags,
) -> Option<Limits> {
    let before = out.faults();
    let tree = fields::tree_of(files, name, &LIMITS, out)?;
    // Its faults are told where the forms are read.
    let kinds = kinds(files, &mut Diags::new());
    of_tree(tree, name, Meant { kinds: kinds.as_ref(), engine: engine.into() }, before, out)
}

/// The same of a tree that is there already; `before` are the faults before it
/// was made.
pub fn of_tree(
    mut tree: Tree,
    name: &str,
    meant: Meant<'_>,
    before: usize,
    out: &mut Diags,
) -> Option<Limits> {
    meant.spelled_out(&mut tree, out);
    let read = |fields: Fields<'_>, out: &mut Diags| table(name, fields, meant.engine, out);
    fields::of_tree(&tree, &LIMITS, before, out, read).filter(|_| meant.engine.is_some())
}

fn table(
    name: &str,
    fields: Fields<'_>,
    engine: Option<&Engine>,
    out: &mut Diags,
) -> Option<Limits> {
    let (head, typed) = (fields.table("document"), fields.each("line"));
    let document = head.and_then(|head| document(head, out));
    let known = engine.map(Names::new);
    let unit = document.as_ref().map_or(Length::Inch, |document| document.unit);
    let places = document.as_ref().map(|document| document.places);
    let reader = Reader { engine, known, unit, places };
    let read: Vec<Vec<Line>> = typed.iter().filter_map(|line| reader.lines(line, out)).collect();
    references(&typed, out);
    let all = engine.is_none() || read.len() == typed.len();
    let lines: Vec<Line> = read.into_iter().flatten().collect();
    if let Some(engine) = engine {
        row_codes(&lines, engine, out);
        if let Some(head) = head.filter(|_| document.is_some()) {
            one_unit(&head, unit, engine, out);
        }
    }
    let number = head.and_then(|head| head.text("file"));
    let number = number.unwrap_or_else(|| Text { text: name.into(), at: fields.at.clone() });
    let mut typed = typed_keys(fields.table, &LIMITS);
    // `document revision`, no part of anything else.
    typed.iter_mut().for_each(|key| key.what = key.what.replacen(", ", " ", 1));
    document.filter(|_| all).map(|document| Limits { number, document, lines, typed })
}

/// The engine file's unit decides no figure. Where the document's is another,
/// one of the two may be a slip.
fn one_unit(head: &Fields<'_>, unit: Length, engine: &Engine, out: &mut Diags) {
    if engine.unit != unit {
        let (unit, other) = (unit.word(), engine.unit.word());
        let message = format!("the document's unit is the {unit}, the engine file's the {other}");
        let help = "look at both: the figures are taken in the document's unit";
        out.note(head.place("unit"), message, help);
    }
}

fn document(head: Fields<'_>, out: &mut Diags) -> Option<Document> {
    let places = head.node("resolution").and_then(|node| places(node, out));
    Some(Document {
        title: head.text("title")?,
        number: head.text("number")?,
        revision: head.text("revision")?,
        date: head.text("date"),
        unit: Length::read(head.text("unit")?.as_str())?,
        places: places?,
    })
}

impl Reader<'_> {
    /// A line as it is typed, without the limits that it has at some places.
    pub fn line(&self, fields: &Fields<'_>, out: &mut Diags) -> Option<Line> {
        let unit = self.unit(fields, out);
        let own = fields.node("resolution").map(|node| places(node, out));
        let places = match (own, &unit) {
            (Some(own), _) => own,
            (None, Unit::Length(length)) if *length == self.unit => self.places,
            (None, Unit::Length(length)) => {
                let step = if length == &Length::Inch { "0.0001" } else { "0.001" };
                let help = format!("add one step of its last digit: resolution = \"{step}\"");
                out.fault(
                    fields.place("unit"),
                    "another unit than the document's, without its resolution",
                    help,
                );
                None
            }
            (None, Unit::Named(_)) => Some(0),
        };
        let limits = Reading { unit: &unit, places, fits: false, size: false };
        let kind = self.kind(fields, limits, out);
        Some(Line {
            reference: fields.text("ref")?,
            name: fields.text("name")?,
            group: fields.text("group"),
            also: self.also(fields, out),
            way: fields.text("way"),
            note: fields.text("note"),
            published: fields.text("published"),
            page: fields.text("page"),
            agreed: fields.text("agreed"),
            unit,
            places: places?,
            kind: kind?,
            only: None,
            typed: fields
                .text("kind")
                .and_then(|kind| LINE.kind(kind.as_str()))
                .map_or_else(Vec::new, |shape| typed_keys(fields.table, shape)),
            at: fields.at.clone(),
        })
    }

    fn unit(&self, fields: &Fields<'_>, out: &mut Diags) -> Unit {
        let Some(unit) = fields.text("unit") else {
            return Unit::Length(self.unit);
        };
        let meant = match unit.as_str().to_lowercase().as_str() {
            "inch" | "inches" | "in." | "\"" => "in",
            "millimetre" | "millimetres" | "millimeter" | "millimeters" => "mm",
            other if other == unit.as_str() => return Unit::read(unit.as_str()),
            "in" => "in",
            "mm" => "mm",
            _ => return Unit::read(unit.as_str()),
        };
        out.fault(&unit.at, format!("the unit {unit}"), format!("\"{meant}\""));
        Unit::Length(self.unit)
    }
}
