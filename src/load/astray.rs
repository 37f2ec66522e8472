//! What an engine in groups has and no sheet of its own prints, and what on one
//! sheet does not go together. An engine without groups has its sheets from
//! forms alone: of that nothing is said here.

use super::kinds::Kinds;
use crate::diag::Diags;
use crate::model::engine::{Engine, Group};
use crate::model::form::{Block, Content, Form, FormSet, lines_named};
use crate::model::id::{FeatureId, LineId, PartId};
use crate::model::limits::{Limits, Line};
use crate::model::text::Text;

/// An engine, its limits, and the sheets that they make.
pub struct Sheets<'a> {
    pub engine: &'a Engine,
    pub limits: &'a Limits,
    pub kinds: &'a Kinds,
    pub forms: &'a FormSet,
}

impl Sheets<'_> {
    /// Notes all of it; a line measured in a way that is for others is a fault.
    pub fn notes(&self, out: &mut Diags) {
        self.ways(out);
        self.places(out);
        if self.engine.groups.is_empty() {
            return;
        }
        self.lines(out);
        self.features(out);
        self.parts(out);
        for group in &self.engine.groups {
            let own = |form: &&Form| form.letter.text == group.letter.text;
            if let Some(form) = self.forms.forms.iter().find(own) {
                self.empty(group, form, out);
            }
        }
        self.forms.forms.iter().for_each(|form| self.states(form, out));
    }

    fn ways(&self, out: &mut Diags) {
        for line in &self.limits.lines {
            let Some(named) = &line.way else { continue };
            let way = self.kinds.ways.iter().find(|way| way.id.text == named.text);
            let lines = way.map(|way| &way.lines[..]).unwrap_or_default();
            let word = line.kind_word();
            if !lines.is_empty() && !lines.iter().any(|kind| kind.as_str() == word) {
                let kinds: Vec<&str> = lines.iter().map(Text::as_str).collect();
                let message = format!("{named} is no way for a line of kind {word}");
                out.fault(&named.at, message, format!("for lines of kind {}", kinds.join(" or ")));
            }
        }
    }

    /// Readings at other places than their part has.
    fn places(&self, out: &mut Diags) {
        for feature in &self.engine.features {
            self.far(&feature.id, (feature.part, feature.at), "", out);
        }
        for line in self.limits.typed_lines() {
            let features = line.features_read().into_iter().chain(line.feature());
            if let (0, Some(part)) = (features.count(), line.part()) {
                self.far(&line.reference, (part, line.place_set(self.engine)), "line ", out);
            }
        }
    }

    /// Where neither set is some places of the other, nor both of a third.
    fn far(&self, of: &Text, (part, at): (PartId, Option<usize>), what: &str, out: &mut Diags) {
        let (part, sets) = (&self.engine.parts[part], &self.engine.places);
        let all = |set: usize| sets[set].of.unwrap_or(set);
        let (Some(own), Some(at)) = (part.at, at) else { return };
        if all(own) != all(at) {
            let message = format!(
                "{what}{of} is read at {}, and {} sits at {}: a change of one opens every row",
                sets[at].id, part.id, sets[own].id
            );
            out.note(&of.at, message, "leave at out where the part's own places are meant");
        }
    }

    fn lines(&self, out: &mut Diags) {
        let named = lines_named(&self.forms.forms, self.engine);
        for line in self.limits.typed_lines() {
            let own = &line.reference;
            if named.iter().all(|name| name.text != own.text) {
                let message = format!("line {own} has no sheet of its own: it stands on the last");
                let help = "part = a part that is in a group, or group = that group";
                out.note(&own.at, message, help);
            }
        }
    }

    fn features(&self, out: &mut Diags) {
        for (n, feature) in self.engine.features.iter().enumerate() {
            let id = FeatureId(n);
            let uses = |line: &Line| line.reads(id) || line.feature() == Some(id);
            if !self.limits.lines.iter().any(uses) {
                let message = format!("no line measures {}", feature.id);
                out.note(&feature.id.at, message, "a line for it, or take the feature out");
            }
        }
    }

    /// Parts that have something to look at and stand in no group.
    fn parts(&self, out: &mut Diags) {
        let looked = |kind: &Text| {
            let mut kinds = self.kinds.parts.iter();
            kinds.any(|known| known.id.text == kind.text && !known.look_over.is_empty())
        };
        for (n, part) in self.engine.parts.iter().enumerate() {
            let has = !part.look_over.is_empty() || part.kinds.iter().any(looked);
            if has && self.engine.group_of(PartId(n)).is_none() {
                let message =
                    format!("{} is in no group: it is looked over on the last sheet", part.id);
                out.note(&part.id.at, message, "name it among the parts of a group");
            }
        }
    }

    fn empty(&self, group: &Group, form: &Form, out: &mut Diags) {
        let fills = |content: &Content| match content {
            Content::Measure { lines, .. } => !lines.is_empty(),
            Content::Caution { .. } | Content::Note { .. } | Content::Condition { .. } => false,
            _ => true,
        };
        if !form.blocks.iter().any(|block| fills(&block.content)) {
            let message = format!("nothing stands on the sheet of the group {}", group.id);
            out.note(&group.id.at, message, "parts or lines for it, or take the group out");
        }
    }

    /// States of assembly that exclude each other and are asked for on one sheet.
    fn states(&self, form: &Form, out: &mut Diags) {
        let mut needed: Vec<(usize, String)> = Vec::new();
        let mut need = |state: Option<usize>, by: String| {
            let new = state.filter(|state| !needed.iter().any(|(known, _)| known == state));
            needed.extend(new.map(|state| (state, by)));
        };
        // A line says more than the steps that are printed for it.
        let measures = |block: &&Block| matches!(block.content, Content::Measure { .. });
        for block in form.blocks.iter().filter(measures).chain(&form.blocks) {
            match &block.content {
                Content::Condition { id } => {
                    need(self.engine.condition(id.as_str()), "its steps lead to".to_owned());
                }
                Content::Measure { lines, .. } => {
                    let lines = lines.iter().filter_map(|line| self.limits.line(line.as_str()));
                    for line in lines.map(|LineId(n)| &self.limits.lines[n]) {
                        let by = || format!("line {} is measured in", line.reference);
                        for feature in line.features_read() {
                            need(self.engine.features[feature].when, by());
                        }
                        need(line.when(), by());
                    }
                }
                _ => {}
            }
        }
        for (n, (one, by)) in needed.iter().enumerate() {
            for (other, with) in &needed[n + 1..] {
                let [first, second] = [*one, *other].map(|n| &self.engine.conditions[n]);
                let out_of =
                    |state: &[Text], id: &Text| state.iter().any(|out| out.text == id.text);
                if out_of(&first.excludes, &second.id) || out_of(&second.excludes, &first.id) {
                    let message = format!(
                        "sheet {}: {by} {}, {with} {}, and they exclude each other",
                        form.letter, first.id, second.id
                    );
                    out.note(&form.letter.at, message, "two groups, one for each state");
                }
            }
        }
    }
}
