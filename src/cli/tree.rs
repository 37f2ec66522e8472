//! An engine at one glance: its sheets, with the parts that are looked over on
//! each, the lines that are measured there and their features.

use super::outcome::Outcome;
use super::say::say;
use super::{disk, job};
use crate::diag::Diags;
use crate::load;
use crate::model::engine::Engine;
use crate::model::form::{Content, Form, lines_named};
use crate::model::id::{LineId, PartId};
use crate::model::limits::{Limits, Line};
use crate::model::text::Text;
use crate::quantity::count;
use std::fmt::Write;
use std::path::Path;

/// Prints the tree of a job folder, and what does not fit in it.
pub fn tell(dir: &Path) -> Result<Outcome, Outcome> {
    let files = disk::job(dir).map_err(|error| job::wrong(&error))?;
    let mut out = Diags::new();
    let read = load::engine(&files, load::ENGINE_FILE, &mut out).and_then(|engine| {
        let limits = load::limits(&files, load::LIMITS_FILE, &engine, &mut out)?;
        let forms = load::forms(&files, &engine, &limits, &mut out)?;
        Some((engine, limits, forms))
    });
    job::show(&out, &files);
    let (engine, limits, forms) = read.ok_or(Outcome::Wrong)?;
    say(&Tree { engine: &engine, limits: &limits, forms: &forms.forms }.text());
    Ok(if out.faults() > 0 { Outcome::Wrong } else { Outcome::Done })
}

struct Tree<'a> {
    engine: &'a Engine,
    limits: &'a Limits,
    forms: &'a [Form],
}

impl<'a> Tree<'a> {
    fn text(&self) -> String {
        let mut text = String::new();
        self.forms.iter().for_each(|form| self.sheet(form, &mut text));
        text
    }

    /// A sheet that looks over parts or measures: others belong to no part.
    fn sheet(&self, form: &Form, text: &mut String) {
        let (mut parts, mut lines) = (Vec::new(), Vec::new());
        for block in &form.blocks {
            match &block.content {
                Content::LookOver { items, .. } => {
                    let id = block.id.as_ref().and_then(|id| self.engine.part(id.as_str()));
                    parts.extend(id.map(|part| (part, items.len())));
                }
                Content::Measure { lines: named, .. } => lines.extend(self.named(named)),
                Content::Rest { .. } => lines.extend(self.rest()),
                _ => {}
            }
        }
        if parts.is_empty() && lines.is_empty() {
            return;
        }
        let _ = writeln!(text, "{:<5}{}", form.letter.as_str(), form.title);
        for (PartId(part), items) in parts {
            let part = &self.engine.parts[part];
            let _ = writeln!(text, "     {}: {} to look at", part.name, count(items, "thing"));
        }
        lines.into_iter().for_each(|line| self.line(line, text));
    }

    fn named(&self, named: &[Text]) -> Vec<&'a Line> {
        let lines = named.iter().filter_map(|line| self.limits.line(line.as_str()));
        lines.map(|LineId(n)| &self.limits.lines[n]).collect()
    }

    /// The lines that no form names.
    fn rest(&self) -> Vec<&'a Line> {
        let named = lines_named(self.forms, self.engine);
        let other = |line: &&Line| named.iter().all(|name| name.text != line.reference.text);
        self.limits.typed_lines().filter(other).collect()
    }

    /// `  CR    camshaft journal, out of round: roundness of cam journal, 3 rows`
    fn line(&self, line: &Line, text: &mut String) {
        let features = line.features_read().into_iter().chain(line.feature());
        let mut names: Vec<&str> = Vec::new();
        for feature in features.map(|feature| self.engine.features[feature].name.as_str()) {
            if !names.contains(&feature) {
                names.push(feature);
            }
        }
        if names.is_empty() {
            let parts = line.part().into_iter().chain(line.also.iter().copied());
            names.extend(parts.map(|PartId(part)| self.engine.parts[part].name.as_str()));
        }
        // A shaft lies in its bore; parts are read together.
        let between = if line.fit().is_some() { " in " } else { ", " };
        let of = match names.is_empty() {
            true => String::new(),
            false => format!(" of {}", names.join(between)),
        };
        // Where some of its places have limits of their own, all of them.
        let all = self.limits.lines_of(line.reference.as_str());
        let rows: usize =
            all.map(|LineId(n)| self.limits.lines[n].row_codes(self.engine).len()).sum();
        let rows = count(rows, "row");
        let (reference, name, kind) = (line.reference.as_str(), &line.name, line.kind_word());
        let _ = writeln!(text, "     {reference:<6} {name}: {kind}{of}, {rows}");
    }
}
