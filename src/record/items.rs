//! Ticks, words and renewed parts of a sheet, judged.

use super::index::RecordIndex;
use super::resolve::item_code;
use super::tables;
use super::types::{FoundLine, Issue, JudgedItem};
use crate::diag::Span;
use crate::judge::{Beyond, State};
use crate::model::record::{Finding, ItemContent, ItemEntry, Mark, Renewed};
use crate::model::text::Text;
use crate::sheet::{Item, MarksBlock, MarksKind, RenewItem, Sheet, SheetBlock, TableBlock};

/// Every item of every sheet, in printed order.
pub fn items(index: &RecordIndex) -> Vec<JudgedItem> {
    let mut all = Vec::new();
    for (s, sheet) in index.set.sheets.iter().enumerate() {
        for (b, block) in sheet.blocks.iter().enumerate() {
            let judged = match block {
                SheetBlock::Marks(marks) => {
                    marks.items.iter().map(|item| self::marks(index, sheet, marks, item)).collect()
                }
                SheetBlock::Write { columns, items, .. } => {
                    let codes: Vec<&str> = columns.iter().map(|(code, _)| code.as_str()).collect();
                    items.iter().map(|item| written(index, sheet, &codes, item)).collect()
                }
                SheetBlock::Table(table) => {
                    (0..table.items.len()).map(|n| table_row(index, sheet, table, n)).collect()
                }
                SheetBlock::Renew { items, .. } => {
                    items.iter().map(|item| renewed(index, sheet, item)).collect()
                }
                _ => Vec::new(),
            };
            all.extend(judged.into_iter().map(|item| {
                let mut item = JudgedItem { sheet: s, block: b, ..item };
                initialled(index, sheet, &mut item);
                reopened(index, sheet, block, &mut item);
                item
            }));
        }
    }
    all
}

/// Whose initials stand beside it, where they are written.
fn initialled(index: &RecordIndex, sheet: &Sheet, item: &mut JudgedItem) {
    let entry = index.entry(&sheet.letter);
    let all = entry.map_or(&[][..], |entry| &entry.initials).iter();
    let here = all.filter(|beside| beside.holds(item.number));
    // Those of the item itself before those of its list.
    if let Some(beside) = here.min_by_key(|beside| beside.last - beside.first) {
        let by: Vec<&str> = beside.by.iter().map(Text::as_str).collect();
        item.says.push_str(&format!(" ({})", by.join(", ")));
    }
}

fn blank(number: u32, text: &str, at: Option<&ItemEntry>) -> JudgedItem {
    JudgedItem {
        sheet: 0,
        block: 0,
        number,
        text: text.to_owned(),
        says: String::new(),
        state: State::Recorded,
        asks: Vec::new(),
        found: Vec::new(),
        cells: Vec::new(),
        left_over: false,
        renewed: None,
        at: at.map(|entry| entry.at.clone()),
    }
}

impl JudgedItem {
    fn ask(&mut self, state: State, why: impl Into<String>, at: Option<Span>) {
        self.state = std::mem::replace(&mut self.state, State::Open).worse(state.clone());
        self.asks.push(Issue { state, why: why.into(), at });
    }
}

/// One mark a place: blank is open, found needs words, n.a. needs a reason.
fn marks(index: &RecordIndex, sheet: &Sheet, block: &MarksBlock, item: &Item) -> JudgedItem {
    let entry = index.item(&sheet.letter, item.number);
    let mut judged = blank(item.number, &item.text, entry);
    let places: Vec<&str> = match block.columns.as_slice() {
        [] => vec![""],
        columns => columns.iter().map(|(code, _)| code.as_str()).collect(),
    };
    let typed: &[Mark] = match entry.map(|entry| &entry.content) {
        Some(ItemContent::Marks(marks)) => marks,
        _ => &[],
    };
    let done = match block.kind {
        MarksKind::LookOver => "ok",
        MarksKind::Steps | MarksKind::Before => "done",
    };
    let mut open = Vec::new();
    let mut says = Vec::new();
    for (n, place) in places.iter().enumerate() {
        match typed.get(n).copied().unwrap_or(Mark::Blank) {
            Mark::Ok => {}
            Mark::Blank => open.push(*place),
            Mark::Found => says.push(found(index, sheet, item, place, &mut judged)),
            Mark::NotApplicable => says.push(left_out(index, sheet, item, place, &mut judged)),
        }
    }
    let left = |mark: &Mark| *mark == Mark::NotApplicable;
    if judged.state == State::Recorded && typed.len() == places.len() && typed.iter().all(left) {
        judged.state = State::NotApplicable;
    }
    if !open.is_empty() {
        let whole = open.len() == places.len();
        let where_ = if whole { String::new() } else { format!(" at {}", open.join(", ")) };
        judged.ask(State::Open, format!("not done{where_}"), None);
        says.push(format!("blank{where_}"));
    }
    if says.is_empty() {
        done.clone_into(&mut judged.says);
    } else {
        judged.says = says.join("; ");
    }
    judged
}

/// A place before what is said of it.
fn before(place: &str) -> String {
    if place.is_empty() { String::new() } else { format!("{place} ") }
}

/// A cross without its words, or with words for a place of another name.
fn missed(sheet: &Sheet, item: &Item, place: &str, findings: &[&Finding]) -> String {
    let (letter, number) = (&sheet.letter, item.number);
    let at = before(place);
    let mut why = format!(
        "{at}marked found and nothing is written of it: add [[found]] item = \"{letter} {number}\""
    );
    if !place.is_empty() {
        why += &format!(", place = \"{place}\"");
    }
    let named: Vec<&str> =
        findings.iter().filter_map(|f| f.place.as_ref()).map(Text::as_str).collect();
    if !named.is_empty() {
        why += &format!("; what is written is of place {}", named.join(", "));
    }
    why
}

fn found(
    index: &RecordIndex,
    sheet: &Sheet,
    item: &Item,
    place: &str,
    judged: &mut JudgedItem,
) -> String {
    let findings = index.findings(&sheet.letter, item.number);
    // A place of a finding may be finer than the item's (a tooth, a stud).
    let here = |finding: &&&Finding| {
        place.is_empty() || finding.place.as_ref().is_none_or(|at| at.as_str() == place)
    };
    let here: Vec<&&Finding> = findings.iter().filter(here).collect();
    let at = before(place);
    if here.is_empty() {
        judged.ask(State::Open, missed(sheet, item, place, &findings), judged.at.clone());
        return format!("{at}found, not described");
    }
    let mut words = Vec::new();
    for finding in here {
        if finding.place.is_none() && marked_found(index, sheet, item) > 1 {
            let why =
                format!("{at}found: {}: say at which place, several are marked", finding.what);
            judged.ask(State::Open, why, Some(finding.at.clone()));
        }
        let place = finding.place.as_ref().map_or_else(|| place.to_owned(), Text::to_string);
        let done = finding.done.as_ref().map(Text::to_string).unwrap_or_default();
        if done.is_empty() {
            judged.ask(
                State::Hold,
                format!(
                    "{at}found: {}: waits for an inspector to say what is done about it",
                    finding.what
                ),
                Some(finding.at.clone()),
            );
        } else if finding.by.as_ref().is_none_or(|by| by.as_str().is_empty()) {
            judged.ask(
                State::Open,
                format!("{at}found: {}: nobody's initials stand to what was done", finding.what),
                Some(finding.at.clone()),
            );
        }
        words.push(format!("{place} found: {}; {done}", finding.what).trim().to_owned());
        let on = finding.on.as_ref().map(|(date, _)| *date);
        let mut by = super::index::who(finding.by.as_ref().map(Text::as_str), on, &[]);
        if let Some(inspector) = &finding.inspector {
            by.push_str(&format!(", seen by {inspector}"));
        }
        judged.found.push(FoundLine { place, what: finding.what.to_string(), done, by });
    }
    words.join("; ")
}

/// At how many places an item is marked as found.
fn marked_found(index: &RecordIndex, sheet: &Sheet, item: &Item) -> usize {
    match index.item(&sheet.letter, item.number).map(|entry| &entry.content) {
        Some(ItemContent::Marks(marks)) => {
            marks.iter().filter(|mark| **mark == Mark::Found).count()
        }
        _ => 0,
    }
}

fn left_out(
    index: &RecordIndex,
    sheet: &Sheet,
    item: &Item,
    place: &str,
    judged: &mut JudgedItem,
) -> String {
    let at = before(place);
    let left = index.left_out(&sheet.letter, item.number, place);
    let why = left.and_then(|left| left.why.as_ref()).filter(|why| !why.as_str().is_empty());
    let by = left.and_then(|left| left.by.as_ref()).filter(|by| !by.as_str().is_empty());
    match (why, by) {
        (Some(why), Some(by)) => format!("{at}n.a.: {why} ({by})"),
        _ => {
            judged.ask(
                State::Open,
                format!(
                    "{at}marked n.a. without a reason and initials: add [[left-out]] item = \"{} {}\"",
                    sheet.letter, item.number
                ),
                left.map(|left| left.at.clone()).or_else(|| judged.at.clone()),
            );
            format!("{at}n.a. without a reason")
        }
    }
}

fn written(index: &RecordIndex, sheet: &Sheet, codes: &[&str], item: &Item) -> JudgedItem {
    let entry = index.item(&sheet.letter, item.number);
    let mut judged = blank(item.number, &item.text, entry);
    match entry.map(|entry| &entry.content) {
        Some(ItemContent::Words(words)) if !words.as_str().trim().is_empty() => {
            judged.says = words.to_string();
        }
        Some(ItemContent::Marks(marks)) if marks.as_slice() == [Mark::NotApplicable] => {
            judged.says = left_out(index, sheet, item, "", &mut judged);
        }
        // Letters that are marks elsewhere are words here.
        Some(ItemContent::Marks(marks)) if !marks.contains(&Mark::Blank) => {
            judged.says = marks.iter().copied().map(Mark::letter).collect();
        }
        Some(ItemContent::Placed(placed)) => placed_words(placed, codes, &mut judged),
        _ => judged.ask(State::Open, "nothing written", None),
    }
    judged
}

fn placed_words(placed: &[(Text, Text)], codes: &[&str], judged: &mut JudgedItem) {
    let said = |code: &str| {
        let words = placed.iter().find(|(at, _)| at.as_str() == code).map(|(_, words)| words);
        words.filter(|words| !words.as_str().trim().is_empty())
    };
    let open: Vec<&str> = codes.iter().copied().filter(|code| said(code).is_none()).collect();
    let says: Vec<String> = codes
        .iter()
        .filter_map(|code| said(code).map(|words| format!("{code}: {words}")))
        .collect();
    judged.says = says.join("; ");
    if !open.is_empty() {
        judged.ask(State::Open, format!("nothing written at {}", open.join(", ")), None);
    }
}

/// A row of a table. A crossed box is a find like any other.
fn table_row(index: &RecordIndex, sheet: &Sheet, table: &TableBlock, n: usize) -> JudgedItem {
    let item = &table.items[n];
    let entry = |n: usize| index.item(&sheet.letter, table.items[n].number);
    let row = tables::row(table, n, |n| entry(n).map(|entry| &entry.content));
    let mut judged = blank(item.number, &item.text, entry(n));
    let at = judged.at.clone();
    judged.says = row.says;
    judged.cells = row.cells;
    judged.left_over = row.left_over;
    row.open.into_iter().for_each(|why| judged.ask(State::Open, why, at.clone()));
    row.query.into_iter().for_each(|why| judged.ask(State::Query, why, at.clone()));
    if row.crossed {
        let found = found(index, sheet, item, "", &mut judged);
        judged.says = format!("{}; {found}", judged.says);
    }
    if row.left_out {
        judged.says = left_out(index, sheet, item, "", &mut judged);
    }
    if judged.state == State::Recorded && (row.left_over || row.left_out) {
        judged.state = State::NotApplicable;
    }
    judged
}

/// A part always renewed: reused fails the record, and a renewed one needs its
/// number, its batch and the document it came with.
fn renewed(index: &RecordIndex, sheet: &Sheet, item: &RenewItem) -> JudgedItem {
    let entry = index.item(&sheet.letter, item.number);
    let mut judged = blank(item.number, &format!("{}, {}", item.name, item.count), entry);
    let Some(ItemContent::Renewed(typed)) = entry.map(|entry| &entry.content) else {
        judged.ask(State::Open, "not entered", None);
        return judged;
    };
    let text = |word: &Option<Text>| word.as_ref().map(Text::to_string).unwrap_or_default();
    let count = typed.count.as_ref().map(|count| count.text.to_string()).unwrap_or_default();
    let said = [count, text(&typed.number), text(&typed.batch), text(&typed.document)];
    self::renewed_state(item, typed, &said, &mut judged);
    judged.says = match &judged.state {
        State::Out(_) => "reused".to_owned(),
        State::Open => "not complete".to_owned(),
        _ => "renewed".to_owned(),
    };
    judged.renewed = Some(said);
    judged
}

fn renewed_state(item: &RenewItem, typed: &Renewed, said: &[String; 4], judged: &mut JudgedItem) {
    let all = crate::quantity::Exact::whole(i64::from(item.count));
    if typed.reused {
        let beyond =
            Beyond { side: "reused where the part is always renewed".to_owned(), by: None };
        judged.ask(
            State::Out(vec![beyond]),
            "reused: this part is always renewed",
            Some(typed.at.clone()),
        );
        return;
    }
    match &typed.count {
        None => {
            judged.ask(State::Open, "how many were renewed is not entered", Some(typed.at.clone()))
        }
        Some(count) if count.value != all => judged.ask(
            State::Open,
            format!("{} renewed, the engine has {}", count.text, item.count),
            Some(count.at.clone()),
        ),
        Some(_) => {}
    }
    let names = ["part number", "serial or batch", "source document"];
    let missing: Vec<&str> = said[1..]
        .iter()
        .zip(names)
        .filter(|(text, _)| text.is_empty())
        .map(|(_, name)| name)
        .collect();
    if !missing.is_empty() && typed.count.is_some() {
        judged.ask(State::Open, format!("no {}", missing.join(", no ")), Some(typed.at.clone()));
    }
}

/// An item that a change reopened is looked over again: the change names the
/// items that were, or a later one that reopened them too or is of the same
/// part. What is signed for on a later day than the change was done with the
/// part as it is since, as with readings.
fn reopened(index: &RecordIndex, sheet: &Sheet, block: &SheetBlock, judged: &mut JudgedItem) {
    let number = judged.number;
    let disturbs = |n: usize| index.disturbed[n].item(block, number);
    let redone = |n: usize| {
        let here = Some((sheet.letter.as_str(), number));
        index.record.changes[n].redone.iter().any(|item| item_code(item.as_str()) == here)
    };
    let signed = index.sign(&sheet.letter, "work").and_then(|work| work.on.as_ref());
    for (n, change) in index.record.changes.iter().enumerate().filter(|(n, _)| disturbs(*n)) {
        let done_after =
            signed.zip(change.on.as_ref()).is_some_and(|((done, _), (on, _))| done > on);
        if done_after {
            continue;
        }
        if redone(n) {
            judged.says.push_str("; looked over again after ");
            judged.says.push_str(change.what.as_ref().map_or("the change", Text::as_str));
            continue;
        }
        let mut later = index.in_time.iter().skip_while(|m| **m != n);
        let same = |m: usize| index.record.changes[m].part.text == change.part.text;
        if later.any(|m| redone(*m) && (disturbs(*m) || same(*m))) {
            continue;
        }
        judged.ask(
            State::Open,
            format!(
                "reopened by {}: look over again, then name it under redone = [\"{} {}\"]",
                index.disturbed[n].name, sheet.letter, number
            ),
            Some(change.at.clone()),
        );
    }
}
