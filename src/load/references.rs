//! What the lines of a limits file call one another and the engine.

use super::fields::{Fields, twice};
use super::suggest::Known;
use crate::diag::{Diag, Diags, Severity};
use crate::model::engine::Engine;
use crate::model::id::{FeatureId, PartId};
use crate::model::limits::Line;
use crate::model::text::Text;
use crate::quantity::Length;
use std::collections::HashMap;

/// What lines refer to in the engine.
pub struct Names {
    pub features: Known,
    pub places: Known,
    pub parts: Known,
    pub conditions: Known,
}

impl Names {
    pub fn new(engine: &Engine) -> Names {
        Names {
            features: Known::new("feature", engine.features.iter().map(|feature| &feature.id)),
            places: Known::new("set of places", engine.places.iter().map(|set| &set.id)),
            parts: Known::new("part", engine.parts.iter().map(|part| &part.id)),
            conditions: Known::new("condition", engine.conditions.iter().map(|c| &c.id)),
        }
    }
}

/// Lines being read.
pub struct Reader<'a> {
    pub engine: Option<&'a Engine>,
    pub known: Option<Names>,
    pub unit: Length,
    /// The document's decimals, where they could be read.
    pub places: Option<u8>,
}

impl Reader<'_> {
    pub fn feature(&self, fields: &Fields<'_>, out: &mut Diags) -> Option<FeatureId> {
        self.refer(fields, "feature", |known| &known.features, out).map(FeatureId)
    }

    pub fn at(&self, fields: &Fields<'_>, out: &mut Diags) -> Option<usize> {
        self.refer(fields, "at", |known| &known.places, out)
    }

    /// The part that a line is read on: the first that it names.
    pub fn part(&self, fields: &Fields<'_>, out: &mut Diags) -> Option<PartId> {
        let name = fields.texts("part")?.into_iter().next()?;
        self.known.as_ref()?.parts.find(&name, out).map(PartId)
    }

    /// The others: a change of one is a change of what is read.
    pub fn also(&self, fields: &Fields<'_>, out: &mut Diags) -> Vec<PartId> {
        let names = fields.texts("part").unwrap_or_default();
        twice(&names, "part", out);
        let Some(known) = &self.known else { return Vec::new() };
        names.iter().skip(1).filter_map(|name| known.parts.find(name, out)).map(PartId).collect()
    }

    pub fn refer(
        &self,
        fields: &Fields<'_>,
        key: &str,
        among: fn(&Names) -> &Known,
        out: &mut Diags,
    ) -> Option<usize> {
        let name = fields.text(key)?;
        among(self.known.as_ref()?).find(&name, out)
    }
}

/// References start with a capital and stand once.
pub fn references(lines: &[Fields<'_>], out: &mut Diags) {
    let mut seen: HashMap<Box<str>, Text> = HashMap::new();
    for reference in lines.iter().filter_map(|line| line.text("ref")) {
        let text = reference.as_str();
        let fits = |b: u8| b.is_ascii_uppercase() || b.is_ascii_digit();
        if !text.bytes().all(fits)
            || !text.starts_with(|c: char| c.is_ascii_uppercase())
            || text.len() > 6
        {
            let message = format!("the reference {text} cannot be part of a row's code");
            out.fault(
                &reference.at,
                message,
                "a capital, then capitals and digits, six at most: C, EC, BG2",
            );
        }
        if let Some(first) = seen.insert(reference.text.clone(), reference.clone()) {
            let message = format!("the reference {text} stands twice");
            let diag =
                Diag::at(Severity::Fault, &reference.at, message, "one line for each reference");
            out.push(diag.also(first.at, "the first"));
        }
    }
}

/// No two lines share the code of a row: `C` at `11` and `C1` at `1` would.
pub fn row_codes(lines: &[Line], engine: &Engine, out: &mut Diags) {
    let mut seen: HashMap<String, &Line> = HashMap::new();
    for line in lines {
        for code in line.row_codes(engine) {
            let Some(other) = seen.insert(code.clone(), line) else {
                continue;
            };
            if other.reference.as_str() != line.reference.as_str() {
                let message = format!(
                    "the lines {} and {} share the row {code}",
                    other.reference, line.reference
                );
                let diag =
                    Diag::at(Severity::Fault, &line.reference.at, message, "another reference");
                out.push(diag.also(other.reference.at.clone(), "the first"));
            }
        }
    }
}
