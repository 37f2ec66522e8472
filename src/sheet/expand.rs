//! Expanding the forms over an engine and its limits.

use super::head::{head, people};
use super::rows::{codes_are_single, rows};
use super::sign_off::signs;
use super::table::table_block;
use super::texts::{context, graded, texts};
use super::types::{
    Columns, Index, Item, LineRows, MarksBlock, MarksKind, MeasureBlock, RenewItem, Sheet,
    SheetBlock, SheetSet,
};
use super::{gauges, left_out, number};
use crate::diag::Diags;
use crate::judge::{Context, check};
use crate::model::Case;
use crate::model::form::{Block, Content, Form, lines_named};
use crate::model::id::{LineId, PartId};
use crate::model::text::{Text, capital};
use crate::template::{Values, Wording};
use std::collections::BTreeSet;

/// All sheets of a job, in bench order. `None` where a fault was found.
pub fn expand(case: &Case, out: &mut Diags) -> Option<SheetSet> {
    let before = out.faults();
    let wording = Wording::compile(&texts(case), out)?;
    let mut expander = Expander {
        case,
        cx: judge_context(case),
        context: context(case),
        wording,
        left_out: case.forms.left_out.clone(),
        printed: lines_named(&case.forms.forms, &case.engine)
            .into_iter()
            .map(Text::as_str)
            .collect(),
    };
    let mut sheets: Vec<Sheet> =
        case.forms.forms.iter().filter_map(|form| expander.sheet(form, out)).collect();
    codes_are_single(case, &sheets, out);
    let head = head(case);
    for sheet in &mut sheets {
        number::sheet(sheet, case, &expander.cx);
    }
    let mut left_out = std::mem::take(&mut expander.left_out);
    left_out.extend(left_out::of_reworks(case));
    let index = Index {
        gauges: gauges::needs(case, &sheets),
        leaves: gauges::leaves(&sheets, &expander.cx, out),
        people: people(case),
    };
    let number = number::set(&sheets, case);
    (out.faults() == before).then_some(SheetSet { number, head, index, sheets, left_out })
}

/// What the lines of a job are judged in.
pub fn judge_context(case: &Case) -> Context<'_> {
    Context {
        engine: &case.engine,
        limits: &case.limits,
        scope: case.job.scope,
        rule: case.job.rule,
        leaves: &case.job.leaves,
        gauges: &case.job.gauges,
        place: None,
    }
}

struct Expander<'a> {
    case: &'a Case,
    cx: Context<'a>,
    context: Values,
    wording: Wording,
    left_out: Vec<String>,
    /// Lines that some form names, by reference.
    printed: BTreeSet<&'a str>,
}

impl<'a> Expander<'a> {
    fn sheet(&mut self, form: &'a Form, out: &mut Diags) -> Option<Sheet> {
        if let Some(part) = form.part.as_ref().filter(|part| !self.engine_has(Some(part))) {
            self.left_out
                .push(format!("sheet {}, whole: the engine has no part {part}", form.letter));
            return None;
        }
        let measured = form.blocks.iter().flat_map(|block| match &block.content {
            Content::Measure { lines, .. } => lines.as_slice(),
            _ => &[],
        });
        let limits = &self.case.limits;
        let measured = measured.flat_map(|reference| limits.lines_of(reference.as_str()));
        let measured: Vec<LineRows> = measured.map(|line| self.line_rows(line)).collect();
        self.context.put("measuring.bore", gauges::bore_step(measured.iter(), self.case));
        let mut next = 1;
        let mut blocks = Vec::new();
        for block in &form.blocks {
            if let Some(part) = block.part.as_ref().filter(|part| !self.engine_has(Some(part))) {
                self.left_out
                    .push(format!("sheet {}, a block: the engine has no part {part}", form.letter));
                continue;
            }
            for part in left_out::of_block(self.case, form, block) {
                if !self.left_out.contains(&part) {
                    self.left_out.push(part);
                }
            }
            let Some(block) = self.block(form, block, &mut next, out) else { continue };
            self.states_first(form, &block, &mut next, &mut blocks);
            blocks.push(block);
        }
        name_holds(&mut blocks);
        if !blocks.iter().any(has_something_to_fill) || measures_nothing(form, &blocks) {
            self.left_out
                .push(format!("sheet {}, whole: nothing on it is left to do", form.letter));
            return None;
        }
        Some(Sheet {
            letter: form.letter.to_string(),
            title: self.say(&form.title, out),
            subtitle: form.subtitle.as_ref().map(|text| self.say(text, out)),
            revision: form.revision.to_string(),
            number: String::new(),
            digests: Vec::new(),
            signs: signs(self.case, form, &blocks),
            blocks,
        })
    }

    fn block(
        &mut self,
        form: &'a Form,
        block: &'a Block,
        next: &mut u32,
        out: &mut Diags,
    ) -> Option<SheetBlock> {
        let id = block.id.as_ref().map(Text::to_string);
        match &block.content {
            Content::LookOver { title, items, at } => {
                let columns = self.columns(form, at.as_ref())?;
                let items = self.items(items, self.parts(form, block, items.len()), next, out);
                Some(SheetBlock::Marks(MarksBlock { id, ..self.marks(title, columns, items, out) }))
            }
            Content::Steps { title, items, at, hold, with } => {
                let columns = self.columns(form, at.as_ref())?;
                let items = self.items(items, self.parts(form, block, items.len()), next, out);
                let marks = self.marks(title, columns, items, out);
                let kind = MarksKind::Steps;
                // Numbered where the whole sheet is known.
                let hold = hold.then(String::new);
                let with = with.as_ref().map(|with| self.say(with, out));
                Some(SheetBlock::Marks(MarksBlock { kind, hold, with, id, ..marks }))
            }
            Content::Condition { id: condition } => self.condition(form, condition, next),
            Content::Measure { title, note, lines } => {
                self.measure(form, title.as_ref(), note.as_ref(), lines, out)
            }
            Content::Rest { title } => self.rest(title, out),
            Content::Write { title, items, at } => Some(SheetBlock::Write {
                columns: self.columns(form, at.as_ref())?,
                title: self.say(title, out),
                items: self.items(items, self.parts(form, block, items.len()), next, out),
                id,
            }),
            Content::Table(table) => {
                let rows = table.rows.len().max(table.blank as usize);
                let parts = self.parts(form, block, rows);
                table_block(table, id, |text| self.say(text, out), parts, next)
            }
            Content::Renew { title, parts } => self.renew(title, parts.as_deref(), id, next, out),
            Content::Caution { text } => Some(SheetBlock::Caution(self.say(text, out))),
            Content::Note { text } => Some(SheetBlock::Note(self.say(text, out))),
        }
    }

    /// The steps of a state of assembly that the block's features are measured
    /// in, where the form does not print them itself: they stand before the
    /// boxes.
    fn states_first(
        &mut self,
        form: &Form,
        block: &SheetBlock,
        next: &mut u32,
        blocks: &mut Vec<SheetBlock>,
    ) {
        let SheetBlock::Measure(measure) = block else { return };
        let groups = measure.lines.iter().flat_map(|line| &line.groups).filter(|group| group.own);
        let mut needed: Vec<usize> = groups.filter_map(|group| group.when).collect();
        needed.sort_unstable();
        needed.dedup();
        for index in needed {
            let condition = &self.case.engine.conditions[index];
            let printed = |id: &str| {
                blocks.iter().any(|block| matches!(block, SheetBlock::Marks(marks) if marks.id.as_deref() == Some(id)))
            };
            if !printed(&state_id(condition.id.as_str())) {
                blocks.push(self.state_of_assembly(form, index, next));
            }
        }
    }

    /// A list to look over.
    fn marks(
        &self,
        title: &Text,
        columns: Columns,
        items: Vec<Item>,
        out: &mut Diags,
    ) -> MarksBlock {
        let (kind, title) = (MarksKind::LookOver, self.say(title, out));
        MarksBlock { kind, title, columns, items, hold: None, with: None, id: None }
    }

    fn condition(&mut self, form: &Form, id: &Text, next: &mut u32) -> Option<SheetBlock> {
        match self.case.engine.condition(id.as_str()) {
            Some(index) => Some(self.state_of_assembly(form, index, next)),
            None => {
                self.left_out.push(format!("sheet {}: condition {id}", form.letter));
                None
            }
        }
    }

    fn state_of_assembly(&self, form: &Form, index: usize, next: &mut u32) -> SheetBlock {
        let condition = &self.case.engine.conditions[index];
        let measures = form
            .blocks
            .iter()
            .any(|block| matches!(block.content, Content::Measure { .. } | Content::Rest { .. }));
        let items = condition.steps.iter();
        let items = items.map(|step| numbered(step.to_string(), Vec::new(), next)).collect();
        let (kind, title) = if measures {
            (MarksKind::Before, format!("Before measuring: {}", condition.name))
        } else {
            (MarksKind::Steps, capital(condition.name.as_str()))
        };
        SheetBlock::Marks(MarksBlock {
            kind,
            title,
            columns: Columns::new(),
            items,
            hold: None,
            with: condition.with.as_ref().map(Text::to_string),
            id: Some(state_id(condition.id.as_str())),
        })
    }

    fn measure(
        &mut self,
        form: &Form,
        title: Option<&Text>,
        note: Option<&Text>,
        references: &[Text],
        out: &mut Diags,
    ) -> Option<SheetBlock> {
        let mut lines = Vec::new();
        for reference in references {
            let before = lines.len();
            let own = self.case.limits.lines_of(reference.as_str());
            lines.extend(own.map(|line| self.line_rows(line)));
            if lines.len() == before {
                self.left_out
                    .push(format!("sheet {}: the limits have no line {reference}", form.letter));
            }
        }
        let first = lines.first()?;
        let title = match title {
            Some(title) => self.say(title, out),
            None => capital(&first.name),
        };
        let note = note.map(|note| self.say(note, out));
        Some(SheetBlock::Measure(MeasureBlock { title, note, lines }))
    }

    fn rest(&mut self, title: &Text, out: &mut Diags) -> Option<SheetBlock> {
        let all = &self.case.limits.lines;
        let rest = (0..all.len()).filter(|n| !self.printed.contains(all[*n].reference.as_str()));
        let lines: Vec<LineRows> = rest.map(|n| self.line_rows(LineId(n))).collect();
        let title = self.say(title, out);
        (!lines.is_empty()).then_some(SheetBlock::Measure(MeasureBlock {
            title,
            note: None,
            lines,
        }))
    }

    fn renew(
        &mut self,
        title: &Text,
        wanted: Option<&[Text]>,
        id: Option<String>,
        next: &mut u32,
        out: &mut Diags,
    ) -> Option<SheetBlock> {
        let parts = self.case.engine.parts.iter().enumerate().filter(|(_, part)| match wanted {
            Some(ids) => ids.iter().any(|id| id.text == part.id.text),
            None => part.always_renewed,
        });
        let items: Vec<RenewItem> = parts
            .map(|(index, part)| {
                let Item { number, text, .. } = numbered(part.name.to_string(), Vec::new(), next);
                RenewItem { number, part: PartId(index), name: text, count: part.count }
            })
            .collect();
        let title = self.say(title, out);
        (!items.is_empty()).then_some(SheetBlock::Renew { title, items, id })
    }

    fn line_rows(&self, index: LineId) -> LineRows {
        let line = &self.case.limits.lines[index];
        let kind = check(line);
        let limits = kind.limits(&self.cx);
        LineRows {
            line: index,
            reference: line.reference.to_string(),
            name: line.name.to_string(),
            at: line.places_named(&self.case.engine),
            published: line.published.as_ref().map(Text::to_string),
            page: line.page.as_ref().map(Text::to_string),
            agreed: line.agreed.as_ref().map(Text::to_string),
            limits: limits.words,
            groups: kind.groups(&self.cx),
            answers: kind.answers(&self.cx),
            scales: limits.scales,
            ranges: limits.ranges,
            graded: graded(self.case, line, &limits.graded),
            with: gauges::with(line, &self.cx),
            rows: rows(line, &self.case.engine),
        }
    }

    fn columns(&mut self, form: &Form, at: Option<&Text>) -> Option<Columns> {
        let Some(at) = at else {
            return Some(Columns::new());
        };
        let Some(set) = self.case.engine.place_set(at.as_str()) else {
            self.left_out.push(format!("sheet {}: the engine has no places {at}", form.letter));
            return None;
        };
        let set = &self.case.engine.places[set];
        Some(set.places.iter().map(|p| (p.code.to_string(), p.name.to_string())).collect())
    }

    fn items(
        &self,
        texts: &[Text],
        parts: Vec<Vec<PartId>>,
        next: &mut u32,
        out: &mut Diags,
    ) -> Vec<Item> {
        let each = texts.iter().zip(parts);
        each.map(|(text, parts)| numbered(self.say(text, out), parts, next)).collect()
    }

    fn say(&self, text: &Text, out: &mut Diags) -> String {
        self.wording.say(text, &self.context, out)
    }

    /// The parts that each of a block's items speaks of: the item's own, else
    /// those that the block names, else the sheet's.
    fn parts(&self, form: &Form, block: &Block, items: usize) -> Vec<Vec<PartId>> {
        let known = |named: Vec<&Text>| {
            named.into_iter().filter_map(|part| self.case.engine.part(part.as_str())).collect()
        };
        if !block.of_each.is_empty() {
            return block.of_each.iter().map(|own| known(own.iter().collect())).collect();
        }
        let named: Vec<&Text> = block.part.iter().chain(&block.of).collect();
        let named = if named.is_empty() { form.part.iter().collect() } else { named };
        vec![known(named); items]
    }

    fn engine_has(&self, part: Option<&Text>) -> bool {
        part.is_none_or(|part| self.case.engine.part(part.as_str()).is_some())
    }
}

/// Gives the hold points of a sheet their keys, in printed order.
fn name_holds(blocks: &mut [SheetBlock]) {
    let holds = blocks.iter_mut().filter_map(|block| match block {
        SheetBlock::Marks(marks) => marks.hold.as_mut(),
        _ => None,
    });
    for (n, key) in (1..).zip(holds) {
        *key = if n == 1 { "hold".to_owned() } else { format!("hold-{n}") };
    }
}

fn numbered(text: String, parts: Vec<PartId>, next: &mut u32) -> Item {
    let number = *next;
    *next += 1;
    Item { number, text, parts }
}

/// The identifier of the block that prints a state of assembly.
fn state_id(condition: &str) -> String {
    format!("state {condition}")
}

/// A sheet made for measuring, none of whose lines the limits have: what is
/// left are steps before measuring. A look-over, a hold point and something to
/// write stand for themselves.
fn measures_nothing(form: &Form, blocks: &[SheetBlock]) -> bool {
    let asks = |block: &&Block| matches!(block.content, Content::Measure { .. });
    let only = form.blocks.iter().filter(asks).count() > 0 && form.part.is_none();
    let stands = |block: &SheetBlock| match block {
        SheetBlock::Measure(_) | SheetBlock::Write { .. } | SheetBlock::Table(_) => true,
        SheetBlock::Marks(marks) => {
            marks.hold.is_some() || matches!(marks.kind, MarksKind::LookOver)
        }
        _ => false,
    };
    only && !blocks.iter().any(stands)
}

fn has_something_to_fill(block: &SheetBlock) -> bool {
    !matches!(block, SheetBlock::Caution(_) | SheetBlock::Note(_))
}
