//! The sheets that an engine's groups make: look-over by kind of part, what is
//! done before measuring, and the lines that are measured there.

use super::kinds::{KindOfPart, Kinds, Way};
use crate::model::engine::{Engine, Group};
use crate::model::form::{Block, Content, Form};
use crate::model::id::PartId;
use crate::model::limits::Line;
use crate::model::side::Side;
use crate::model::text::{Text, capital};

/// Between the forms of what is done before measuring and those of what is done
/// after it.
const ORDER: u32 = 50;

/// A group's sheet while it is made.
pub struct Maker<'a> {
    engine: &'a Engine,
    kinds: &'a Kinds,
    at: &'a Text,
    blocks: Vec<Block>,
    /// The state of assembly that all lines of the sheet are measured in.
    when: Option<usize>,
    /// Texts that stand on the sheet already.
    said: Vec<Box<str>>,
}

/// The sheet of a group with these lines.
pub fn sheet(group: &Group, lines: &[&Line], engine: &Engine, kinds: &Kinds) -> Form {
    let mut maker = Maker { when: group.when, ..Maker::new(engine, kinds, &group.id) };
    maker.cautions(group, lines);
    maker.look_over(&group.parts);
    maker.steps("Before measuring", of_all(&group.before, &group.parts), None);
    for cluster in clusters(lines) {
        maker.measure(&cluster);
    }
    maker.afterwards(group);
    Form {
        letter: group.letter.clone(),
        title: group.title.clone(),
        subtitle: group.subtitle.clone(),
        revision: kinds.revision.clone().unwrap_or_else(|| maker.text("1")),
        order: (ORDER, group.letter.clone()),
        part: None,
        signs: Vec::new(),
        blocks: maker.blocks,
    }
}

/// The look-over lists of parts that stand in no group.
pub fn look_over(parts: &[PartId], engine: &Engine, kinds: &Kinds, at: &Text) -> Vec<Block> {
    let mut maker = Maker::new(engine, kinds, at);
    maker.look_over(parts);
    maker.blocks
}

impl<'a> Maker<'a> {
    fn new(engine: &'a Engine, kinds: &'a Kinds, at: &'a Text) -> Maker<'a> {
        Maker { engine, kinds, at, blocks: Vec::new(), when: None, said: Vec::new() }
    }

    /// A text of the program's own: no template, as its place is in no form.
    fn text(&self, text: &str) -> Text {
        Text { text: text.into(), at: self.at.at.clone() }
    }

    /// Those of the texts that the sheet does not have yet.
    fn fresh(&mut self, texts: impl IntoIterator<Item = Text>) -> Vec<Text> {
        let mut fresh = Vec::new();
        for text in texts {
            if !self.said.contains(&text.text) {
                self.said.push(text.text.clone());
                fresh.push(text);
            }
        }
        fresh
    }

    fn kinds_of(&self, part: PartId) -> Vec<&'a KindOfPart> {
        let kinds = &self.kinds.parts;
        let own = self.engine.parts[part].kinds.iter();
        own.filter_map(|own| kinds.iter().find(|kind| kind.id.text == own.text)).collect()
    }

    fn way_of(&self, line: &Line) -> Option<&'a Way> {
        let name = line.way.as_ref()?;
        self.kinds.ways.iter().find(|way| way.id.text == name.text)
    }

    fn push(&mut self, content: Content) {
        self.blocks.push(Block {
            id: None,
            part: None,
            of: Vec::new(),
            of_each: Vec::new(),
            content,
        });
    }

    fn cautions(&mut self, group: &Group, lines: &[&Line]) {
        let parts = group.parts.iter().copied();
        let parts: Vec<PartId> =
            parts.chain(lines.iter().flat_map(|line| line.parts_read(self.engine))).collect();
        let of_kinds = parts.iter().flat_map(|part| self.kinds_of(*part));
        let of_kinds = of_kinds.filter_map(|kind| kind.caution.clone());
        let of_ways = lines.iter().filter_map(|line| self.way_of(line)?.caution.clone());
        let cautions: Vec<Text> =
            group.caution.clone().into_iter().chain(of_kinds).chain(of_ways).collect();
        for text in self.fresh(cautions) {
            self.push(Content::Caution { text });
        }
    }

    /// One block for each part: what its kinds ask for, and its own.
    fn look_over(&mut self, parts: &[PartId]) {
        for id in parts {
            let part = &self.engine.parts[*id];
            let mut items: Vec<Text> = Vec::new();
            let of_kinds = self.kinds_of(*id).into_iter().flat_map(|kind| &kind.look_over);
            for item in of_kinds.chain(&part.look_over) {
                if !items.iter().any(|known| known.text == item.text) {
                    items.push(item.clone());
                }
            }
            if items.is_empty() {
                continue;
            }
            let title = Text { text: capital(part.name.as_str()).into(), at: part.name.at.clone() };
            let at = part.look_over_at.or(part.at).map(|set| self.engine.places[set].id.clone());
            self.blocks.push(Block {
                id: Some(part.id.clone()),
                part: None,
                of: vec![part.id.clone()],
                of_each: Vec::new(),
                content: Content::LookOver { title, items, at },
            });
        }
    }

    /// Work to do, step by step with the parts that it is of: a change of one
    /// opens it again.
    fn steps(&mut self, title: &str, steps: Vec<(Text, Vec<PartId>)>, id: Option<Text>) {
        let (mut items, mut of_each): (Vec<Text>, Vec<Vec<Text>>) = (Vec::new(), Vec::new());
        for (step, parts) in steps {
            match items.iter().position(|item| item.text == step.text) {
                Some(n) => of_each[n].extend(self.ids(&parts)),
                None if self.said.contains(&step.text) => self.also_of(&step, &parts),
                None => {
                    self.said.push(step.text.clone());
                    of_each.push(self.ids(&parts));
                    items.push(step);
                }
            }
        }
        if items.is_empty() {
            return;
        }
        let title = self.text(title);
        let content = Content::Steps { title, items, at: None, hold: false, with: None };
        self.blocks.push(Block { id, part: None, of: Vec::new(), of_each, content });
    }

    /// A step that stands on the sheet already is of these parts too.
    fn also_of(&mut self, step: &Text, parts: &[PartId]) {
        let ids = self.ids(parts);
        for block in &mut self.blocks {
            let Content::Steps { items, .. } = &block.content else { continue };
            let stands = items.iter().position(|item| item.text == step.text);
            if let Some(of) = stands.and_then(|n| block.of_each.get_mut(n)) {
                of.extend(ids.iter().cloned());
            }
        }
    }

    /// The states of assembly that the lines are measured in: those that do not
    /// stand on the sheet yet, or all of them.
    fn states(&self, lines: &[&Line], again: bool) -> Vec<Text> {
        let mut states: Vec<Text> = Vec::new();
        let of_lines = lines.iter().flat_map(|line| line.states(self.engine));
        for state in self.when.into_iter().chain(of_lines) {
            let id = &self.engine.conditions[state].id;
            let stands = self.blocks.iter().any(|block| {
                matches!(&block.content, Content::Condition { id: own } if own.text == id.text)
            });
            if (again || !stands) && states.iter().all(|known| known.text != id.text) {
                states.push(id.clone());
            }
        }
        states
    }

    fn ids(&self, parts: &[PartId]) -> Vec<Text> {
        let mut ids: Vec<Text> = Vec::new();
        for part in parts {
            let id = &self.engine.parts[*part].id;
            if !ids.iter().any(|known| known.text == id.text) {
                ids.push(id.clone());
            }
        }
        ids
    }

    /// The boxes of lines that are measured together, and what is done before.
    fn measure(&mut self, lines: &[&Line]) {
        let way = lines.iter().find_map(|line| self.way_of(line));
        let parts: Vec<PartId> =
            lines.iter().flat_map(|line| line.parts_read(self.engine)).collect();
        let mut before: Vec<(Text, Vec<PartId>)> = Vec::new();
        // A part that is fitted now lies in a state that is reached after it.
        let mut fitted = false;
        for part in &parts {
            let steps = self.kinds_of(*part).into_iter().flat_map(|kind| kind.before.clone());
            let steps: Vec<Text> = steps.collect();
            fitted |= steps.iter().any(|step| !self.said.contains(&step.text));
            before.extend(steps.into_iter().map(|step| (step, vec![*part])));
        }
        // How one measures is of no part: a reading again names its own gauge.
        let of_none = |text: &Text| (text.clone(), Vec::new());
        let features = lines.iter().flat_map(|line| line.features_read());
        let sides: Vec<Side> = features.map(|n| self.engine.features[n].side).collect();
        for side in &sides {
            before.extend(match side {
                Side::Shaft => self.kinds.before_shaft.iter().map(of_none).collect(),
                Side::Bore => self.kinds.before_bore.iter().map(of_none).collect(),
                Side::Only => Vec::new(),
            });
        }
        // What a way asks for is done in the state that it is read in.
        let way_steps: Vec<_> = way.iter().flat_map(|way| &way.before).map(of_none).collect();
        let title = if sides.is_empty() { "Before reading" } else { "Before measuring" };
        let states = self.states(lines, fitted);
        if states.is_empty() {
            let all = way_steps.into_iter().chain(before).collect();
            self.steps(title, all, None);
        } else {
            self.steps("Before measuring", before, None);
            for id in states {
                self.push(Content::Condition { id });
            }
            self.steps(title, way_steps, None);
        }
        let own: Vec<&str> =
            lines.iter().filter_map(|line| line.note.as_ref()).map(Text::as_str).collect();
        let note = match own[..] {
            [] => way.and_then(|way| way.note.clone()),
            _ => Some(Text {
                text: own.join("; ").into(),
                at: lines
                    .iter()
                    .find_map(|line| line.note.as_ref())
                    .map_or_else(|| self.at.at.clone(), |note| note.at.clone()),
            }),
        };
        self.push(Content::Measure {
            title: way.map(|way| way.title.clone()),
            note,
            lines: references(lines.iter().copied()),
        });
    }

    /// Work to do once all is measured, words to write, and notes.
    fn afterwards(&mut self, group: &Group) {
        let mut seen: Vec<&Text> = Vec::new();
        let mut notes: Vec<Text> = Vec::new();
        let kinds: Vec<&KindOfPart> =
            group.parts.iter().flat_map(|part| self.kinds_of(*part)).collect();
        for kind in kinds {
            if seen.iter().any(|id| id.text == kind.id.text) {
                continue;
            }
            seen.push(&kind.id);
            let parts: Vec<PartId> = group
                .parts
                .iter()
                .copied()
                .filter(|part| self.kinds_of(*part).iter().any(|own| own.id.text == kind.id.text))
                .collect();
            let id = |what: &str| self.text(&format!("{what}-{}-{}", kind.id, group.id));
            let (after_id, write_id) = (id("after"), id("write"));
            let after_title = kind.after_title.as_ref().map_or("After measuring", Text::as_str);
            self.steps(after_title, of_all(&kind.after, &parts), Some(after_id));
            if !kind.write.is_empty() {
                let title = kind.write_title.clone().unwrap_or_else(|| self.text("Write down"));
                let (items, of) = (kind.write.clone(), self.ids(&parts));
                let content = Content::Write { title, items, at: None };
                let id = Some(write_id);
                self.blocks.push(Block { id, part: None, of, of_each: Vec::new(), content });
            }
            notes.extend(kind.note.clone());
        }
        self.steps("After measuring", of_all(&group.after, &group.parts), None);
        notes.extend(group.note.clone());
        for text in self.fresh(notes) {
            self.push(Content::Note { text });
        }
    }
}

/// The references of lines, each once: a line with limits of its own at some
/// places stands for all of them.
pub fn references<'a>(lines: impl Iterator<Item = &'a Line>) -> Vec<Text> {
    let mut references: Vec<Text> = Vec::new();
    for line in lines {
        if references.iter().all(|known| known.text != line.reference.text) {
            references.push(line.reference.clone());
        }
    }
    references
}

/// Steps that are each of all these parts.
fn of_all(steps: &[Text], parts: &[PartId]) -> Vec<(Text, Vec<PartId>)> {
    steps.iter().map(|step| (step.clone(), parts.to_vec())).collect()
}

/// Lines that stand in one block: those of one way, and those that read or use
/// the readings of one feature.
fn clusters<'a>(lines: &[&'a Line]) -> Vec<Vec<&'a Line>> {
    let mut clusters: Vec<Vec<&Line>> = Vec::new();
    for line in lines {
        let features = |line: &Line| {
            line.features_read().into_iter().chain(line.feature()).collect::<Vec<_>>()
        };
        let own = features(line);
        let joins = |cluster: &&mut Vec<&Line>| {
            // Limits of its own at some places make a line no other.
            let same = |other: &Line| line.reference.text == other.reference.text;
            cluster.iter().any(|other| {
                same(other)
                    || match (&line.way, &other.way) {
                        (Some(one), Some(two)) => one.text == two.text,
                        (None, None) => features(other).iter().any(|feature| own.contains(feature)),
                        _ => false,
                    }
            })
        };
        match clusters.iter_mut().find(joins) {
            Some(cluster) => cluster.push(line),
            None => clusters.push(vec![line]),
        }
    }
    clusters
}
