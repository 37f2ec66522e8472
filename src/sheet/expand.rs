//! Expanding the forms over an engine and its limits.

use super::gauges;
use super::number;
use super::types::{
    Columns, Head, Index, Item, LineRows, MarksBlock, MarksKind, MeasureBlock, PersonLine,
    RenewItem, Row, Sheet, SheetBlock, SheetSet, SignBox,
};
use crate::diag::{Diags, Loc};
use crate::judge::{Setting, check};
use crate::model::Case;
use crate::model::engine::{Engine, PlaceSet};
use crate::model::form::{Block, Content, Form};
use crate::model::job::{Role, Rule, Scope};
use crate::model::line::{Kind, Line};
use crate::model::typed::Word;
use crate::quantity::Exact;
use crate::wording::{Context, Wording};
use std::collections::{BTreeMap, BTreeSet};

/// All sheets of a job, in bench order. `None` where a fault was found.
pub fn expand(case: &Case, out: &mut Diags) -> Option<SheetSet> {
    let before = out.faults();
    let leaves: Vec<Exact> = case.job.leaves.iter().map(|leaf| leaf.value).collect();
    let wording = Wording::compile(&texts(case), out)?;
    let mut expander = Expander {
        case,
        setting: setting(case, &leaves),
        context: context(case),
        wording,
        left_out: Vec::new(),
        printed: printed_lines(case),
    };
    let mut sheets: Vec<Sheet> = case
        .forms
        .forms
        .iter()
        .filter_map(|form| expander.sheet(form, out))
        .collect();
    codes_are_single(case, &sheets, out);
    let head = head(case);
    for sheet in &mut sheets {
        number::sheet(sheet, case);
    }
    let left_out = std::mem::take(&mut expander.left_out);
    let index = Index {
        gauges: gauges::needs(case, &sheets),
        leaves: gauges::leaves(&sheets, &expander.setting, out),
        people: people(case),
    };
    let number = number::set(&sheets, case);
    (out.faults() == before).then_some(SheetSet {
        number,
        head,
        index,
        sheets,
        left_out,
    })
}

/// What the lines of a job are judged in.
pub fn setting<'a>(case: &'a Case, leaves: &'a [Exact]) -> Setting<'a> {
    Setting {
        engine: &case.engine,
        limits: &case.limits,
        scope: case.job.scope,
        rule: case.job.rule,
        leaves,
    }
}

struct Expander<'a> {
    case: &'a Case,
    setting: Setting<'a>,
    context: Context,
    wording: Wording,
    left_out: Vec<String>,
    /// Lines that some form names, by reference.
    printed: BTreeSet<&'a str>,
}

impl<'a> Expander<'a> {
    fn sheet(&mut self, form: &'a Form, out: &mut Diags) -> Option<Sheet> {
        if !self.engine_has(form.part.as_ref()) {
            self.left_out.push(format!(
                "sheet {}: the engine has no such part",
                form.letter
            ));
            return None;
        }
        let mut next = 1;
        let mut blocks = Vec::new();
        for block in &form.blocks {
            if self.engine_has(block.part.as_ref()) {
                blocks.extend(self.block(form, block, &mut next, out));
            }
        }
        if !blocks.iter().any(has_something_to_fill) {
            return None;
        }
        Some(Sheet {
            letter: form.letter.to_string(),
            title: self.say(&form.title, out),
            subtitle: form.subtitle.as_ref().map(|text| self.say(text, out)),
            revision: form.revision.to_string(),
            number: String::new(),
            digests: Vec::new(),
            signs: signs(form, &blocks, self.case.job.second_person),
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
        let id = block.id.as_ref().map(Word::to_string);
        match &block.content {
            Content::LookOver { title, items, at } => self.marks(
                form,
                MarksKind::LookOver,
                (title, items, at.as_ref(), false),
                id,
                next,
                out,
            ),
            Content::Steps {
                title,
                items,
                at,
                hold,
            } => self.marks(
                form,
                MarksKind::Steps,
                (title, items, at.as_ref(), *hold),
                id,
                next,
                out,
            ),
            Content::Condition { id: condition } => self.condition(form, condition, id, next),
            Content::Measure { title, note, lines } => {
                self.measure(form, title.as_ref(), note.as_ref(), lines, out)
            }
            Content::Rest { title } => self.rest(title, out),
            Content::Write { title, items, at } => Some(SheetBlock::Write {
                columns: self.columns(form, at.as_ref())?,
                title: self.say(title, out),
                items: self.items(items, next, out),
                id,
            }),
            Content::Renew { title, parts } => self.renew(title, parts.as_deref(), id, next, out),
            Content::Caution { text } => Some(SheetBlock::Caution(self.say(text, out))),
            Content::Note { text } => Some(SheetBlock::Note(self.say(text, out))),
        }
    }

    #[allow(clippy::type_complexity)]
    fn marks(
        &mut self,
        form: &Form,
        kind: MarksKind,
        (title, items, at, hold): (&Word, &[Word], Option<&Word>, bool),
        id: Option<String>,
        next: &mut u32,
        out: &mut Diags,
    ) -> Option<SheetBlock> {
        let columns = self.columns(form, at)?;
        let title = self.say(title, out);
        let items = self.items(items, next, out);
        Some(SheetBlock::Marks(MarksBlock {
            kind,
            title,
            columns,
            items,
            hold,
            id,
        }))
    }

    fn condition(
        &mut self,
        form: &Form,
        id: &Word,
        block: Option<String>,
        next: &mut u32,
    ) -> Option<SheetBlock> {
        let Some(index) = self.case.engine.condition(id.as_str()) else {
            self.left_out
                .push(format!("sheet {}: condition {id}", form.letter));
            return None;
        };
        let condition = &self.case.engine.conditions[index];
        let measures = form.blocks.iter().any(|block| matches!(block.content, Content::Measure { .. }));
        let items = condition
            .steps
            .iter()
            .map(|step| numbered(step.to_string(), next))
            .collect();
        Some(SheetBlock::Marks(MarksBlock {
            kind: if measures { MarksKind::Before } else { MarksKind::Steps },
            title: if measures { format!("Before measuring: {}", condition.name) } else { capital(condition.name.as_str()) },
            columns: Columns::new(),
            items,
            hold: false,
            id: block,
        }))
    }

    fn measure(
        &mut self,
        form: &Form,
        title: Option<&Word>,
        note: Option<&Word>,
        references: &[Word],
        out: &mut Diags,
    ) -> Option<SheetBlock> {
        let mut lines = Vec::new();
        for reference in references {
            match self.case.limits.line(reference.as_str()) {
                Some(line) => lines.extend(self.line_rows(line, out)),
                None => {
                    self.left_out.push(format!(
                        "sheet {}: the limits have no line {reference}",
                        form.letter
                    ));
                }
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

    fn rest(&mut self, title: &Word, out: &mut Diags) -> Option<SheetBlock> {
        let all = &self.case.limits.lines;
        let rest = (0..all.len()).filter(|n| !self.printed.contains(all[*n].reference.as_str()));
        let lines: Vec<LineRows> = rest.filter_map(|line| self.line_rows(line, out)).collect();
        let title = self.say(title, out);
        (!lines.is_empty()).then_some(SheetBlock::Measure(MeasureBlock {
            title,
            note: None,
            lines,
        }))
    }

    fn renew(
        &mut self,
        title: &Word,
        wanted: Option<&[Word]>,
        id: Option<String>,
        next: &mut u32,
        out: &mut Diags,
    ) -> Option<SheetBlock> {
        let parts = self
            .case
            .engine
            .parts
            .iter()
            .enumerate()
            .filter(|(_, part)| match wanted {
                Some(ids) => ids.iter().any(|id| id.text == part.id.text),
                None => part.always_renewed,
            });
        let items: Vec<RenewItem> = parts
            .map(|(index, part)| {
                let Item { number, text } = numbered(part.name.to_string(), next);
                RenewItem {
                    number,
                    part: index,
                    name: text,
                    count: part.count,
                }
            })
            .collect();
        let title = self.say(title, out);
        (!items.is_empty()).then_some(SheetBlock::Renew { title, items, id })
    }

    fn line_rows(&self, index: usize, out: &mut Diags) -> Option<LineRows> {
        let line = &self.case.limits.lines[index];
        let kind = check(line);
        let places = places_of(line, &self.case.engine, out)?;
        Some(LineRows {
            line: index,
            reference: line.reference.to_string(),
            name: line.name.to_string(),
            page: line.page.as_ref().map(Word::to_string),
            agreed: line.agreed.as_ref().map(Word::to_string),
            limits: kind.limits_in_words(&self.setting),
            groups: kind.groups(&self.setting),
            answers: kind.answers(&self.setting),
            scales: kind.scales(&self.setting),
            ranges: kind.ranges(&self.setting),
            with: gauges::with(line, &self.setting),
            rows: rows(line, &self.case.engine, places),
        })
    }

    fn columns(&mut self, form: &Form, at: Option<&Word>) -> Option<Columns> {
        let Some(at) = at else {
            return Some(Columns::new());
        };
        let Some(set) = self.case.engine.place_set(at.as_str()) else {
            self.left_out.push(format!(
                "sheet {}: the engine has no places {at}",
                form.letter
            ));
            return None;
        };
        let set = &self.case.engine.places[set];
        Some(
            set.places
                .iter()
                .map(|p| (p.code.to_string(), p.name.to_string()))
                .collect(),
        )
    }

    fn items(&self, texts: &[Word], next: &mut u32, out: &mut Diags) -> Vec<Item> {
        texts
            .iter()
            .map(|text| numbered(self.say(text, out), next))
            .collect()
    }

    fn say(&self, text: &Word, out: &mut Diags) -> String {
        self.wording.say(text, &self.context, out)
    }

    fn engine_has(&self, part: Option<&Word>) -> bool {
        part.is_none_or(|part| self.case.engine.part(part.as_str()).is_some())
    }
}

fn numbered(text: String, next: &mut u32) -> Item {
    let number = *next;
    *next += 1;
    Item { number, text }
}

fn has_something_to_fill(block: &SheetBlock) -> bool {
    !matches!(block, SheetBlock::Caution(_) | SheetBlock::Note(_))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Every template of the forms, for compiling in one batch.
fn texts(case: &Case) -> Vec<&Word> {
    let mut texts: Vec<&Word> = Vec::new();
    for form in &case.forms.forms {
        texts.push(&form.title);
        texts.extend(&form.subtitle);
        for block in &form.blocks {
            match &block.content {
                Content::LookOver { title, items, .. }
                | Content::Steps { title, items, .. }
                | Content::Write { title, items, .. } => {
                    texts.push(title);
                    texts.extend(items);
                }
                Content::Measure { title, note, .. } => {
                    texts.extend(title);
                    texts.extend(note);
                }
                Content::Rest { title } | Content::Renew { title, .. } => texts.push(title),
                Content::Caution { text } | Content::Note { text } => texts.push(text),
                Content::Condition { .. } => {}
            }
        }
    }
    texts
}

/// The names that a form's text can use.
fn context(case: &Case) -> Context {
    let (engine, job, document) = (&case.engine, &case.job, &case.limits.document);
    let mut context = Context::new();
    for (name, text) in [
        ("engine.maker", engine.maker.to_string()),
        ("engine.model", engine.model.to_string()),
        ("engine.serial", job.serial.to_string()),
        ("engine.unit", engine.unit.to_string()),
        ("job.work_order", job.work_order.to_string()),
        (
            "job.hours",
            job.hours.as_ref().map(Word::to_string).unwrap_or_default(),
        ),
        (
            "job.owner",
            job.owner.as_ref().map(Word::to_string).unwrap_or_default(),
        ),
        ("job.shop", job.shop.name.to_string()),
        ("limits.title", document.title.to_string()),
        ("limits.number", document.number.to_string()),
        ("limits.revision", document.revision.to_string()),
    ] {
        context.put(name, text);
    }
    for part in &engine.parts {
        let id = part.id.as_str().replace('-', "_");
        context.put(format!("count.{id}"), part.count.to_string());
    }
    context
}

fn printed_lines(case: &Case) -> BTreeSet<&str> {
    let has = |part: &Option<Word>| {
        part.as_ref()
            .is_none_or(|part| case.engine.part(part.as_str()).is_some())
    };
    let forms = case.forms.forms.iter().filter(|form| has(&form.part));
    let blocks = forms.flat_map(|form| form.blocks.iter().filter(|block| has(&block.part)));
    blocks
        .flat_map(|block| match &block.content {
            Content::Measure { lines, .. } => lines.as_slice(),
            _ => &[],
        })
        .map(Word::as_str)
        .collect()
}

/// The place set of a line; the shaft's and the bore's must be the same.
fn places_of(line: &Line, engine: &Engine, out: &mut Diags) -> Option<Option<usize>> {
    let of_feature = |feature: usize| engine.features[feature].at;
    Some(match &line.kind {
        Kind::Fit(fit) => {
            let (shaft, bore) = (of_feature(fit.shaft.feature), of_feature(fit.bore.feature));
            if shaft != bore {
                out.fault(
                    &line.at,
                    format!(
                        "the shaft and the bore of line {} lie at different places",
                        line.reference
                    ),
                    "features that occur at the same places",
                );
                return None;
            }
            shaft
        }
        Kind::Size(size) => of_feature(size.feature),
        Kind::Roundness(round) => of_feature(round.feature),
        Kind::Taper(taper) => of_feature(taper.feature),
        Kind::Reading(reading) => reading.at,
        Kind::Spread(_) => None,
        Kind::Feeler(feeler) => feeler.at,
        Kind::Count(count) => count.at,
        Kind::Recorded(recorded) => recorded.at,
    })
}

fn rows(line: &Line, engine: &Engine, places: Option<usize>) -> Vec<Row> {
    let code = |place: &str| format!("{}{place}", line.reference);
    let Some(set) = places else {
        return vec![Row {
            code: code(""),
            place: None,
            name: String::new(),
            reach: None,
        }];
    };
    let PlaceSet { places, .. } = &engine.places[set];
    let row = |(n, place): (usize, &crate::model::engine::Place)| Row {
        code: code(place.code.as_str()),
        place: Some((set, n)),
        name: place.name.to_string(),
        reach: place.reach.as_ref().map(Word::to_string),
    };
    places.iter().enumerate().map(row).collect()
}

/// A row's code names one row of one sheet.
fn codes_are_single(case: &Case, sheets: &[Sheet], out: &mut Diags) {
    let mut seen: BTreeMap<&str, (&str, &Loc)> = BTreeMap::new();
    for sheet in sheets {
        for rows in sheet.lines() {
            let at = &case.limits.lines[rows.line].at;
            for row in &rows.rows {
                if let Some((other, first)) = seen.insert(&row.code, (&sheet.letter, at)) {
                    let wrong = format!(
                        "row {} is printed twice, on sheets {other} and {}",
                        row.code, sheet.letter
                    );
                    out.push(
                        crate::diag::Diag::at(
                            crate::diag::Weight::Fault,
                            at,
                            wrong,
                            "a reference that makes the code its own, named by one form",
                        )
                        .also(first.clone(), "the other line"),
                    );
                }
            }
        }
    }
}

fn signs(form: &Form, blocks: &[SheetBlock], second: bool) -> Vec<SignBox> {
    let mut keys: Vec<&str> = Vec::new();
    let mut add = |key| {
        if !keys.contains(&key) {
            keys.push(key);
        }
    };
    for block in blocks {
        match block {
            SheetBlock::Measure(measure) => {
                for group in measure.lines.iter().flat_map(|line| &line.groups) {
                    if group.own {
                        add(sign_key(group.key));
                    }
                }
            }
            SheetBlock::Caution(_) | SheetBlock::Note(_) => {}
            _ => add("work"),
        }
    }
    let holds = |block: &SheetBlock| matches!(block, SheetBlock::Marks(marks) if marks.hold);
    if second || blocks.iter().any(holds) {
        add("check");
    }
    let order = ["work", "shaft", "bore", "read", "check"];
    let said = |key: &str| form.signs.iter().find(|(k, _)| k.as_str() == key);
    order
        .iter()
        .filter(|key| keys.contains(*key))
        .map(|key| SignBox {
            key: (*key).to_owned(),
            caption: said(key).map_or_else(|| caption(key).to_owned(), |(_, c)| c.to_string()),
        })
        .collect()
}

/// The sign-off that a group of boxes belongs to.
pub(crate) fn sign_key(group: &str) -> &'static str {
    match group {
        "shaft" => "shaft",
        "bore" => "bore",
        _ => "read",
    }
}

fn caption(key: &str) -> &'static str {
    match key {
        "shaft" => "Shaft measured by",
        "bore" => "Bore measured by",
        "read" => "Readings taken by",
        "check" => "Checked by",
        _ => "Looked over, done by",
    }
}

fn head(case: &Case) -> Head {
    let (job, limits) = (&case.job, &case.limits);
    Head {
        job: job.work_order.to_string(),
        scope: scope_words(job.scope).to_owned(),
        engine: format!("{} {}", case.engine.maker, case.engine.model),
        serial: job.serial.to_string(),
        limits: limits.number.to_string(),
        document: format!("{} {}", limits.document.title, limits.document.number),
        revision: limits.document.revision.to_string(),
        unit: limits.document.unit.word().to_owned(),
        decimals: limits.document.places,
        shop: job.shop.name.to_string(),
        certificate: job.shop.certificate.as_ref().map(Word::to_string),
        paper: job.paper,
        second_person: job.second_person,
        rule: match job.rule {
            Rule::Simple => "simple acceptance, as the trade works".to_owned(),
            Rule::Guarded => "guarded acceptance: limits drawn in by the uncertainty".to_owned(),
        },
        copy: None,
    }
}

fn scope_words(scope: Scope) -> &'static str {
    match scope {
        Scope::New => "to new limits",
        Scope::Service => "to service limits",
    }
}

fn people(case: &Case) -> Vec<PersonLine> {
    let role = |role| match role {
        Role::Mechanic => "mechanic",
        Role::Inspector => "inspector",
        Role::Quality => "quality manager",
    };
    let line = |person: &crate::model::job::Person| PersonLine {
        initials: person.initials.to_string(),
        name: person.name.to_string(),
        role: role(person.role).to_owned(),
    };
    case.job.people.iter().map(line).collect()
}
