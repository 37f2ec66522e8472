//! Limits that a line has at some of its places: `[line.places."1 2"]`. Each
//! such table makes a line of its own, of the same reference and of those
//! places; what it gives takes the place of what the line gives. So nothing
//! that judges or prints has to know of it.

use super::fields::Fields;
use super::limit::{BESIDE, TOLERANCE, WORN};
use super::references::Reader;
use super::suggest::Known;
use super::toml::tree::{Entry, Node, Table, Value};
use crate::diag::{Diag, Diags, Severity};
use crate::model::engine::{Engine, PlaceSet};
use crate::model::limits::Line;
use crate::model::text::Text;

const PLACES: &str = "places";
/// The parts of a fit, each with limits of its own.
const PARTS: [&str; 2] = ["shaft", "bore"];

impl Reader<'_> {
    /// A line of the file: by itself, or as many as it has limits by place, in
    /// the order of the places.
    pub fn lines(&self, fields: &Fields<'_>, out: &mut Diags) -> Option<Vec<Line>> {
        let before = out.faults();
        let own = self.line(fields, out)?;
        let named = fields.named(PLACES);
        if named.is_empty() || out.faults() > before {
            return Some(vec![own]);
        }
        let mut placed = Vec::new();
        for (name, place) in named {
            ungraded(fields.table, name, place.table, out);
            let table = merged(fields.table, place.table);
            let line = self.line(&Fields { table: &table, at: place.at, ..*fields }, out);
            placed.extend(line.map(|line| (name, line)));
        }
        match self.engine {
            Some(engine) if out.faults() == before => by_place(own, placed, engine, out),
            _ => Some(vec![own]),
        }
    }
}

/// The line's table with what is given for some places in the place of its own.
/// Who agreed to the line has not agreed to other figures.
fn merged(own: &Table, place: &Table) -> Table {
    let given = |key: &str| place.get(key).is_some();
    let limits = || place.0.iter().any(|entry| is_limit(entry.key.as_str()));
    let figures = || place.0.iter().any(|entry| !ASIDE.contains(&entry.key.as_str()));
    let stays = |entry: &&Entry| {
        let key = entry.key.as_str();
        let kept = key == "service" && keeps_replace(own, place);
        let out = given(key) || is_limit(key) && limits() || key == "agreed" && figures();
        key != PLACES && (kept || !out)
    };
    let mut all: Vec<Entry> = own.0.iter().filter(stays).cloned().collect();
    all.extend(place.0.iter().map(|entry| match PARTS.contains(&entry.key.as_str()) {
        true => of_feature(own, entry),
        false => entry.clone(),
    }));
    Table(all)
}

/// What says nothing of the figures.
const ASIDE: [&str; 3] = ["page", "published", "agreed"];

/// One of the limits of a line that is judged by one figure.
fn is_limit(key: &str) -> bool {
    [TOLERANCE, WORN, BESIDE].into_iter().flatten().any(|limit| limit.name == key)
}

/// The limits of a part, of the feature that the line names.
fn of_feature(own: &Table, given: &Entry) -> Entry {
    let (Some(part), Some(feature)) = (given.node.table(), own.get(given.key.as_str())) else {
        return given.clone();
    };
    let Some(own) = feature.node.table() else { return given.clone() };
    let kept = |key: &str| key == "feature" || key == "service" && keeps_replace(own, part);
    let kept = own.0.iter().filter(|entry| kept(entry.key.as_str()));
    let all = kept.chain(&part.0).cloned().collect();
    let value = Value::Table(Table(all));
    Entry { key: given.key.clone(), node: Node { at: given.node.at.clone(), value } }
}

/// What is to be replaced is so at every place, unless one has a limit of wear.
fn keeps_replace(own: &Table, place: &Table) -> bool {
    let says = own.get("service").is_some_and(|entry| matches!(entry.node.value, Value::Text(_)));
    let worn = |entry: &Entry| {
        let key = entry.key.as_str();
        key.starts_with("service") || key.starts_with("wear")
    };
    says && !place.0.iter().any(worn)
}

/// Grades are shifted from the sizes: other sizes have other grades.
fn ungraded(own: &Table, name: &Text, place: &Table, out: &mut Diags) {
    let sizes = |entry: &Entry| {
        let key = entry.key.as_str();
        PARTS.contains(&key) || is_limit(key)
    };
    let graded = |table: &Table| table.get("grades").is_some();
    if graded(own) && !graded(place) && place.0.iter().any(sizes) {
        let message = format!("sizes of their own at {name}, and the grades are of the others");
        let help = format!(
            "give their grades too, [line.places.\"{name}\".grades.\"...\"], or grades = {{}}"
        );
        out.fault(&name.at, message, help);
    }
}

/// The lines with the places of each; the line's own limits hold at the others.
fn by_place(
    own: Line,
    placed: Vec<(&Text, Line)>,
    engine: &Engine,
    out: &mut Diags,
) -> Option<Vec<Line>> {
    let before = out.faults();
    let Some(set) = own.row_places(engine).and_then(|set| engine.places.get(set)) else {
        let message = format!("line {} lies at one place", own.reference);
        let help = "give its limits in the line itself";
        placed.iter().for_each(|(name, _)| out.fault(&name.at, message.clone(), help));
        return None;
    };
    let mut taken: Vec<Option<&Text>> = vec![None; set.places.len()];
    let mut lines = Vec::new();
    for (name, mut line) in placed {
        let only = codes(name, set, &mut taken, out);
        line.only = Some(only);
        line.typed = Vec::new();
        limited(&line, name, engine, out);
        lines.push(line);
    }
    let rest: Vec<usize> = (0..taken.len()).filter(|n| taken[*n].is_none()).collect();
    let (typed, reference) = (own.typed.clone(), own.reference.clone());
    if !rest.is_empty() {
        let line = Line { only: Some(rest), ..own };
        limited(&line, &reference, engine, out);
        lines.push(line);
    } else if own.has_limits() {
        let message = format!("line {}: every place has limits of its own", reference);
        let help = "its own hold nowhere: leave them out, or the table of the places they are for";
        out.fault(&reference.at, message, help);
    }
    lines.sort_by(|a, b| a.only.cmp(&b.only));
    if let Some(first) = lines.first_mut() {
        first.typed = typed;
    }
    (out.faults() == before).then_some(lines)
}

/// The places that a table is named after, each of them once in the line.
fn codes<'a>(
    name: &'a Text,
    set: &PlaceSet,
    taken: &mut [Option<&'a Text>],
    out: &mut Diags,
) -> Vec<usize> {
    let known = Known::new("place", set.places.iter().map(|place| &place.code));
    let mut only = Vec::new();
    for code in name.as_str().split_whitespace() {
        let code = Text { text: code.into(), at: name.at.clone() };
        let Some(n) = known.find(&code, out) else { continue };
        match taken[n].replace(name) {
            Some(first) => {
                let message = format!("limits for place {code} twice");
                let diag = Diag::at(Severity::Fault, &name.at, message, "one table for each place");
                out.push(diag.also(first.at.clone(), "the first"));
            }
            None => only.push(n),
        }
    }
    if name.as_str().trim().is_empty() {
        out.fault(&name.at, "limits for no place", "codes of places: [line.places.\"1 2\"]");
    }
    only.sort_unstable();
    only
}

/// Where some places have limits, so have the others.
fn limited(line: &Line, at: &Text, engine: &Engine, out: &mut Diags) {
    if !line.has_limits() {
        let codes = line.places_named(engine).unwrap_or_default();
        let message = format!("line {}: no limits at {codes}", line.reference);
        out.fault(&at.at, message, "limits for every place: in the line, or in its places");
    }
}
