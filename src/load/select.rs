//! The forms of a job: what they ask for by kind of part is looked up in the
//! engine, and its groups make their sheets.

use super::forms::{Asked, AskedForm, Asks, KINDS_FILE, List, once};
use super::groups;
use super::kinds::{KindOfPart, Kinds};
use super::suggest::Known;
use crate::diag::Diags;
use crate::model::engine::{Engine, Part};
use crate::model::form::{Block, Content, Form, FormSet, Table, lines_named};
use crate::model::id::PartId;
use crate::model::limits::{Limits, Line};
use crate::model::text::Text;
use std::collections::BTreeSet;

/// The name of the place where lines are counted that say no other.
const COUNTED: &str = "count";

/// The sheet that a line is measured on.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Home<'a> {
    /// A group of the engine.
    Group(usize),
    /// A place that a form keeps for lines, by its name.
    Place(&'a str),
    /// That of the lines which no other sheet prints.
    Rest,
}

/// Everything that the forms of a job go by.
pub struct Selector<'a> {
    pub engine: &'a Engine,
    pub limits: &'a Limits,
    pub kinds: &'a Kinds,
}

impl<'a> Selector<'a> {
    /// The forms for this engine, in bench order. `None` with the faults in
    /// `out`.
    pub fn forms(&self, mut asked: Asked, out: &mut Diags) -> Option<FormSet> {
        let before = out.faults();
        asked.forms.sort_by_key(|asked| asked.form.order.0);
        self.known_kinds(&asked, out);
        let replaced: Vec<Option<usize>> =
            asked.forms.iter().map(|form| self.replaces(form, out)).collect();
        let places: Vec<Text> = asked.forms.iter().flat_map(places_for_lines).cloned().collect();
        let homes = self.homes(&places, out);
        self.known_places(&asked, &places, out);
        let (mut forms, mut left_out) = (Vec::new(), Vec::new());
        for form in asked.forms {
            forms.extend(self.form(form, &homes, &mut left_out));
        }
        let named: BTreeSet<Box<str>> =
            lines_named(&forms, self.engine).into_iter().map(|line| line.text.clone()).collect();
        for (n, group) in self.engine.groups.iter().enumerate() {
            if replaced.contains(&Some(n)) {
                continue;
            }
            let lines = self.limits.lines.iter().zip(&homes);
            let lines: Vec<&Line> = lines
                .filter(|(line, home)| {
                    **home == Home::Group(n) && !named.contains(line.reference.as_str())
                })
                .map(|(line, _)| line)
                .collect();
            forms.push(groups::sheet(group, &lines, self.engine, self.kinds));
        }
        self.ungrouped(&mut forms);
        let letters: Vec<&Text> = forms.iter().map(|form| &form.letter).collect();
        once(&letters, "letter", |letter| Some((letter.text.clone(), letter)), out);
        let blocks: Vec<&Block> = forms.iter().flat_map(|form| &form.blocks).collect();
        once(&blocks, "block", |block| block.id.as_ref().map(|id| (id.text.clone(), id)), out);
        forms.sort_by_key(|form| form.order.0);
        (out.faults() == before).then_some(FormSet { forms, report: asked.report, left_out })
    }

    /// Names of kinds and ways that the file of kinds does not have.
    fn known_kinds(&self, asked: &Asked, out: &mut Diags) {
        let named = self.engine.parts.iter().any(|part| !part.kinds.is_empty());
        if named && self.kinds.revision.is_none() {
            let help = "it has what is looked at on each kind of part; `benchleaf new` copies it";
            out.fault_nowhere(format!("{KINDS_FILE} is missing"), help);
            return;
        }
        let kinds = Known::new("kind of part", self.kinds.parts.iter().map(|kind| &kind.id));
        let ways = Known::new("way of measuring", self.kinds.ways.iter().map(|way| &way.id));
        for kind in self.engine.parts.iter().flat_map(|part| &part.kinds) {
            kinds.find(kind, out);
        }
        for way in self.limits.lines.iter().filter_map(|line| line.way.as_ref()) {
            ways.find(way, out);
        }
        for form in &asked.forms {
            let of_blocks = form.asks.iter().flat_map(|asks| {
                asks.kinds.iter().chain(asks.each.iter().flatten()).chain(&asks.places_of)
            });
            for kind in form.kinds.iter().chain(of_blocks) {
                kinds.find(kind, out);
            }
        }
    }

    /// Places of lines that items ask for, which neither a group nor a form has.
    fn known_places(&self, asked: &Asked, places: &[Text], out: &mut Diags) {
        let all = self.engine.groups.iter().map(|group| &group.id).chain(places);
        let known = Known::new("group", all);
        let asks = asked.forms.iter().flat_map(|form| &form.asks);
        for place in asks.flat_map(|asks| asks.each_lines.iter().flatten()) {
            known.find(place, out);
        }
    }

    /// The group whose sheet a form takes the place of.
    fn replaces(&self, form: &AskedForm, out: &mut Diags) -> Option<usize> {
        let groups = Known::new("group", self.engine.groups.iter().map(|group| &group.id));
        groups.find(form.group.as_ref()?, out)
    }

    /// Where each line is measured.
    fn homes<'b>(&self, places: &'b [Text], out: &mut Diags) -> Vec<Home<'b>> {
        let groups = self.engine.groups.len();
        let all = self.engine.groups.iter().map(|group| &group.id).chain(places);
        let known = Known::new("group", all);
        let counted = places.iter().find(|place| place.as_str() == COUNTED);
        let home = |line: &Line| {
            let by_part = || {
                let parts = line.parts_read(self.engine);
                parts.into_iter().find_map(|part| self.engine.group_of(part))
            };
            match (&line.group, counted) {
                (Some(name), _) => match known.find(name, out) {
                    Some(n) if n < groups => Home::Group(n),
                    Some(n) => {
                        places.get(n - groups).map_or(Home::Rest, |p| Home::Place(p.as_str()))
                    }
                    None => Home::Rest,
                },
                (None, Some(place)) if line.is_count() => Home::Place(place.as_str()),
                (None, _) => by_part().map_or(Home::Rest, Home::Group),
            }
        };
        self.limits.lines.iter().map(home).collect()
    }

    /// A form with what it asks for; `None` where it is for another engine.
    fn form(
        &self,
        asked: AskedForm,
        homes: &[Home<'_>],
        left_out: &mut Vec<String>,
    ) -> Option<Form> {
        let AskedForm { mut form, kinds, group: _, asks } = asked;
        if let Some(lacking) = self.lacking(&kinds) {
            left_out.push(format!("sheet {}, whole: {lacking}", form.letter));
            return None;
        }
        let mut absent: Vec<&str> = Vec::new();
        for kinds in asks.iter().flat_map(|asks| &asks.each).filter(|kinds| !self.has(kinds)) {
            absent.extend(kinds.iter().map(Text::as_str));
        }
        absent.dedup();
        if !absent.is_empty() {
            let kinds = absent.join(", ");
            left_out.push(format!(
                "sheet {}, some items: the engine has no part of kind {kinds}",
                form.letter
            ));
        }
        let places = asks.iter().flat_map(|asks| asks.each_lines.iter().flatten());
        for place in places.filter(|place| !self.measures(place, homes)) {
            let letter = &form.letter;
            left_out.push(format!("sheet {letter}, some items: the limits have no {place}"));
        }
        let blocks = std::mem::take(&mut form.blocks);
        for (block, asks) in blocks.into_iter().zip(&asks) {
            if let Some(lacking) = self.lacking(&asks.kinds) {
                left_out.push(format!("sheet {}, a block: {lacking}", form.letter));
                continue;
            }
            form.blocks.extend(self.block(block, asks, homes));
        }
        Some(form)
    }

    fn block(&self, block: Block, asks: &Asks, homes: &[Home<'_>]) -> Vec<Block> {
        match &asks.list {
            Some(List::CrackTests) => self.listed(block, self.crack_tests()).into_iter().collect(),
            Some(List::Major) => self.listed(block, self.major_parts()).into_iter().collect(),
            Some(List::Lines(place)) => vec![self.lines(block, place, homes)],
            Some(List::States) => self.states(&block),
            None => self.items(block, asks, homes).into_iter().collect(),
        }
    }

    /// A block with the items of a list that the engine makes; `None` where the
    /// list is empty.
    fn listed(&self, block: Block, list: Vec<(Text, PartId)>) -> Option<Block> {
        let id = |part: PartId| vec![self.engine.parts[part].id.clone()];
        let (rows, of_each): (Vec<Text>, Vec<Vec<Text>>) =
            list.into_iter().map(|(text, part)| (text, id(part))).unzip();
        let content = match block.content {
            Content::LookOver { title, .. } => Content::LookOver { title, items: rows, at: None },
            Content::Table(table) => Content::Table(Table { rows, ..table }),
            _ => return None,
        };
        (!of_each.is_empty()).then_some(Block { of_each, content, ..block })
    }

    /// What the kinds file says of a part's kinds.
    fn said_of<'k>(&'k self, part: &'k Part) -> impl Iterator<Item = &'k KindOfPart> {
        let own = |kind: &&KindOfPart| part.kinds.iter().any(|own| own.text == kind.id.text);
        self.kinds.parts.iter().filter(own)
    }

    /// Every part whose kind is tested for cracks, with the method.
    fn crack_tests(&self) -> Vec<(Text, PartId)> {
        let mut list = Vec::new();
        for (n, part) in self.kept() {
            let own = self.said_of(part).filter_map(|kind| kind.crack_test.as_ref());
            let mut methods: Vec<&str> = own.map(Text::as_str).collect();
            methods.dedup();
            if !methods.is_empty() {
                let text = format!("{}, {}", part.name, methods.join(" and "));
                list.push((Text { text: text.into(), at: part.name.at.clone() }, n));
            }
        }
        list
    }

    /// The parts whose numbers are written down, each at its own place.
    fn major_parts(&self) -> Vec<(Text, PartId)> {
        let mut list = Vec::new();
        for (n, part) in self.kept().filter(|(_, part)| self.said_of(part).any(|kind| kind.major)) {
            let named = |text: String| (Text { text: text.into(), at: part.name.at.clone() }, n);
            match part.at.or(part.look_over_at) {
                Some(set) => {
                    let places = self.engine.places[set].places.iter();
                    list.extend(
                        places.map(|place| named(format!("{}, {}", part.single(), place.name))),
                    );
                }
                None => list.push(named(part.name.to_string())),
            }
        }
        list
    }

    /// The parts that may go back.
    fn kept(&self) -> impl Iterator<Item = (PartId, &Part)> {
        let parts = self.engine.parts.iter().enumerate();
        parts.map(|(n, part)| (PartId(n), part)).filter(|(_, part)| !part.always_renewed)
    }

    /// The lines that say that they are measured at this place.
    fn lines(&self, block: Block, place: &Text, homes: &[Home<'_>]) -> Block {
        let lines = self.limits.lines.iter().zip(homes);
        let here = lines.filter(|(_, home)| self.is_at(home, place));
        let own = groups::references(here.map(|(line, _)| line));
        match block.content {
            Content::Measure { title, note, .. } => {
                Block { content: Content::Measure { title, note, lines: own }, ..block }
            }
            _ => block,
        }
    }

    fn is_at(&self, home: &Home<'_>, place: &Text) -> bool {
        match home {
            Home::Group(n) => self.engine.groups[*n].id.text == place.text,
            Home::Place(name) => *name == place.as_str(),
            Home::Rest => false,
        }
    }

    /// Whether a line is measured at this place.
    fn measures(&self, place: &Text, homes: &[Home<'_>]) -> bool {
        homes.iter().any(|home| self.is_at(home, place))
    }

    /// Every state of assembly that the finished engine is in.
    fn states(&self, block: &Block) -> Vec<Block> {
        let states = self.engine.conditions.iter().filter(|state| !state.measuring_only);
        let state = |id: &Text| Block {
            id: None,
            part: None,
            of: block.of.clone(),
            of_each: Vec::new(),
            content: Content::Condition { id: id.clone() },
        };
        states.map(|condition| state(&condition.id)).collect()
    }

    /// The items whose kinds of part the engine has, each with those parts, and
    /// whose lines the limits have.
    fn items(&self, mut block: Block, asks: &Asks, homes: &[Home<'_>]) -> Option<Block> {
        let place = asks.places_of.as_ref().map(|kind| self.places_of(kind));
        let items = match &mut block.content {
            Content::LookOver { items, at, .. }
            | Content::Steps { items, at, .. }
            | Content::Write { items, at, .. } => {
                if let Some(place) = place {
                    *at = Some(place?);
                }
                items
            }
            Content::Table(table) => &mut table.rows,
            _ => return Some(block),
        };
        if asks.each.is_empty() && asks.each_lines.is_empty() {
            return Some(block);
        }
        let (mut kept, mut of_each) = (Vec::new(), Vec::new());
        for (n, item) in items.drain(..).enumerate() {
            let kinds = asks.each.get(n).map_or(&[][..], Vec::as_slice);
            let places = asks.each_lines.get(n).map_or(&[][..], Vec::as_slice);
            let measured = |place: &Text| self.measures(place, homes);
            if !self.has(kinds) || !places.is_empty() && !places.iter().any(measured) {
                continue;
            }
            let parts = self.engine.parts_of(kinds);
            let id = |part: PartId| self.engine.parts[part].id.clone();
            let parts = parts.into_iter().filter(|_| !asks.once).map(id);
            let named = block.of_each.get(n).cloned().unwrap_or_default();
            kept.push(item);
            of_each.push(if asks.each.is_empty() { named } else { parts.collect() });
        }
        *items = kept;
        let empty = items.is_empty();
        let by_item = !asks.each.is_empty() || !block.of_each.is_empty();
        block.of_each = if by_item { of_each } else { Vec::new() };
        (!empty).then_some(block)
    }

    /// The places of the first part of a kind that has places of its own.
    fn places_of(&self, kind: &Text) -> Option<Text> {
        let parts = self.engine.parts_of(std::slice::from_ref(kind));
        let set = parts.into_iter().find_map(|part| self.engine.parts[part].at)?;
        Some(self.engine.places[set].id.clone())
    }

    /// Whether the engine has a part of one of the kinds, or none is asked for.
    fn has(&self, kinds: &[Text]) -> bool {
        kinds.is_empty() || !self.engine.parts_of(kinds).is_empty()
    }

    /// What is said where the engine has no part of any of these kinds.
    fn lacking(&self, kinds: &[Text]) -> Option<String> {
        if self.has(kinds) {
            return None;
        }
        let words: Vec<&str> = kinds.iter().map(Text::as_str).collect();
        Some(format!("the engine has no part of kind {}", words.join(" or ")))
    }

    /// Parts of some kind that stand in no group are looked over on the sheet
    /// of the lines that no other prints.
    fn ungrouped(&self, forms: &mut [Form]) {
        let parts = (0..self.engine.parts.len()).map(PartId);
        let parts: Vec<PartId> =
            parts.filter(|part| self.engine.group_of(*part).is_none()).collect();
        let rest = |block: &Block| matches!(block.content, Content::Rest { .. });
        let Some(form) = forms.iter_mut().find(|form| form.blocks.iter().any(rest)) else {
            return;
        };
        let at = form.blocks.iter().position(rest).unwrap_or(0);
        let blocks = groups::look_over(&parts, self.engine, self.kinds, &form.letter);
        form.blocks.splice(at..at, blocks);
    }
}

/// The places that a form keeps for lines.
fn places_for_lines(form: &AskedForm) -> impl Iterator<Item = &Text> {
    form.asks.iter().filter_map(|asks| match &asks.list {
        Some(List::Lines(place)) => Some(place),
        _ => None,
    })
}
