//! Exceptions: what needs a person. What stands in the way, worst first, what
//! was accepted on data, and what asks for a cause. Rows at or near a limit have
//! a list of their own, see `near`.

use super::answers::answering;
use super::input::{ReportInput, words};
use crate::judge::{Flag, State};
use crate::record::{Issue, JudgedItem, RowHistory, Status};
use crate::report::types::{Cell, Piece};

/// One thing that a reader must know.
#[derive(Clone, Debug)]
pub struct Exception {
    pub rank: u8,
    pub state: String,
    /// `C2`, `L 4`, or `sheet C`.
    pub code: String,
    /// Page of the set, where it stands on one.
    pub page: String,
    pub what: String,
    /// Why, cause or remedy.
    pub why: Vec<String>,
}

/// Every exception, worst first and then in printed order.
pub fn exceptions(told: &ReportInput) -> Vec<Exception> {
    let mut all: Vec<Exception> = Vec::new();
    for ask in &told.judged.asks {
        all.push(exception(&ask.state, "record", "", "", vec![ask.why.clone()]));
    }
    for sheet in &told.judged.sheets {
        for ask in &sheet.asks {
            let code = format!("sheet {}", sheet.letter);
            let page = told.pages.sheet(&sheet.letter);
            all.push(exception(&ask.state, &code, page, "", vec![ask.why.clone()]));
        }
    }
    all.extend(told.rows().filter_map(|row| of_row(told, row)));
    all.extend(told.judged.items.iter().filter_map(|item| of_item(told, item)));
    all.sort_by_key(|exception| std::cmp::Reverse(exception.rank));
    all
}

fn exception(state: &State, code: &str, page: &str, what: &str, why: Vec<String>) -> Exception {
    Exception {
        rank: state.rank(),
        state: state.to_string(),
        code: code.to_owned(),
        page: page.to_owned(),
        what: what.to_owned(),
        why,
    }
}

fn of_row(told: &ReportInput, (at, row): RowHistory) -> Option<Exception> {
    let last = row.last()?;
    let asks = last.verdict.flags.iter().any(|flag| matches!(flag, Flag::NotWear(_)));
    if row.state.passes() && !asks || matches!(row.state, State::NotApplicable | State::Recorded) {
        return None;
    }
    let beside: Vec<String> = crate::record::flags(last)
        .into_iter()
        .filter(|flag| !flag.contains("go / no-go"))
        .collect();
    let mut why: Vec<String> = row.asks.iter().map(|ask| ask.why.clone()).collect();
    why.extend(last.verdict.causes.iter().cloned());
    if matches!(row.state, State::Out(_)) {
        why.extend(last.verdict.remedies.iter().cloned());
    }
    why.extend(last.verdict.notes.iter().cloned());
    if row.state.passes() {
        why.clear();
    }
    let line = &told.case.limits.lines[at.line.line];
    let what = at.named(line.name.as_str());
    let page = told.pages.row(&row.code);
    let mut exception = exception(&row.state, &row.code, page, &what, why);
    if let Some(accepted) = &row.accepted {
        exception.state = format!("{}, {accepted}", row.state);
        exception.rank = State::Out(Vec::new()).rank();
    } else if !beside.is_empty() {
        exception.state = format!("{}, {}", exception.state, beside.join(", "));
    }
    Some(exception)
}

fn of_item(told: &ReportInput, item: &JudgedItem) -> Option<Exception> {
    if !item.blocks() {
        return None;
    }
    let sheet = &told.set.sheets[item.sheet];
    let why = item.asks.iter().map(|ask| ask.why.clone()).collect();
    let code = format!("{} {}", sheet.letter, item.number);
    let page = told.pages.item(&sheet.letter, item.number);
    let state = item.state.clone();
    let mut exception = exception(&state, &code, page, &item.text, why);
    exception.state = state.to_string();
    Some(exception)
}

pub fn pieces(told: &ReportInput) -> Vec<Piece> {
    let mut pieces = vec![Piece::Paragraph(summary(told))];
    pieces.extend(listed(told));
    pieces
}

/// The list, with what is open told by page where it is much.
pub fn listed(told: &ReportInput) -> Vec<Piece> {
    let all = exceptions(told);
    let mut pieces = Vec::new();
    let (open, rest): (Vec<&Exception>, Vec<&Exception>) =
        all.iter().partition(|exception| exception.rank == State::Open.rank());
    let many_open = open.len() > 12;
    let shown: Vec<&Exception> = if many_open { rest } else { all.iter().collect() };
    if shown.is_empty() && !many_open {
        pieces.push(Piece::Paragraph(
            "No exceptions: nothing is out, in query, on hold or open.".to_owned(),
        ));
        return pieces;
    }
    if !shown.is_empty() {
        pieces.push(Piece::Table {
            columns: vec![
                words("row", 9),
                words("page", 7),
                words("what", 26),
                words("state", 22),
                words("why, and what would help", 44),
            ],
            rows: shown.iter().map(|exception| cells(exception)).collect(),
        });
    }
    if many_open {
        pieces.push(Piece::Heading("Open, by page".to_owned()));
        pieces.push(Piece::Paragraph(open_by_page(&open)));
    }
    pieces
}

fn cells(exception: &Exception) -> Vec<Cell> {
    vec![
        Cell::bold(&exception.code),
        Cell::plain(&exception.page),
        Cell::plain(&exception.what),
        Cell { text: exception.state.clone(), bold: exception.rank > 2 },
        Cell::plain(exception.why.join("; ")),
    ]
}

/// What is missing, a page at a time: `page 14: C1, C2, C 1`.
pub fn open_by_page(open: &[&Exception]) -> String {
    let mut pages: Vec<(String, Vec<&str>)> = Vec::new();
    for exception in open {
        match pages.iter_mut().find(|(page, _)| *page == exception.page) {
            Some((_, codes)) if codes.contains(&&*exception.code) => {}
            Some((_, codes)) => codes.push(&exception.code),
            None => pages.push((exception.page.clone(), vec![&exception.code])),
        }
    }
    let say = |(page, codes): (String, Vec<&str>)| match page.as_str() {
        "" => codes.join(", "),
        page => format!("page {page}: {}", codes.join(", ")),
    };
    pages.into_iter().map(say).collect::<Vec<_>>().join(" · ")
}

/// How many rows there are and how they stand.
pub fn summary(told: &ReportInput) -> String {
    let rows = &told.judged.rows;
    let count = |wanted: fn(&State) -> bool| rows.iter().filter(|row| wanted(&row.state)).count();
    let at_limit = rows.iter().filter(|row| {
        row.state.passes()
            && row.last().is_some_and(|step| {
                step.verdict.flags.iter().any(|flag| matches!(flag, Flag::AtLimit(_)))
            })
    });
    let status = status(told);
    format!(
        "{status} {} rows measured or counted: {} within new limits, {} within service limits, {} of these two at a limit, {} out, {} in query, {} on hold, {} open; {} items looked over, done or written, {} of them open or in question{}.",
        rows.len(),
        count(|state| *state == State::New),
        count(|state| *state == State::Service),
        at_limit.count(),
        count(|state| matches!(state, State::Out(_))),
        count(|state| *state == State::Query),
        count(|state| *state == State::Hold),
        count(|state| *state == State::Open),
        told.judged.items.len(),
        told.judged.items.iter().filter(|item| item.blocks()).count(),
        of_the_whole(told),
    )
}

/// The status, and of a complete record who is to sign before it is final: the
/// report is made before anybody has.
fn status(told: &ReportInput) -> String {
    let words = crate::model::text::capital(told.judged.status.in_words());
    if told.judged.status != Status::Complete {
        return format!("{words}.");
    }
    let all: Vec<&str> = answering(told).map(|person| person.name.as_str()).collect();
    match all.as_slice() {
        [] => format!("{words}; nobody is named to sign it."),
        [one] => format!("{words}; final when {one} has signed."),
        [others @ .., last] => format!(
            "{words}; final when all {} have signed: {} and {last}.",
            all.len(),
            others.join(", ")
        ),
    }
}

/// What keeps a record incomplete beside its rows and items: what is asked of
/// whole sheets and of the record.
fn of_the_whole(told: &ReportInput) -> String {
    let sheets = told.judged.sheets.iter().flat_map(|sheet| &sheet.asks);
    let asks: Vec<&Issue> = told.judged.asks.iter().chain(sheets).collect();
    if asks.is_empty() {
        return String::new();
    }
    let states = [(State::Query, "in query"), (State::Hold, "on hold"), (State::Open, "open")];
    let counts = states.iter().filter_map(|(state, words)| {
        let count = asks.iter().filter(|ask| ask.state.word() == state.word()).count();
        (count > 0).then(|| format!("{count} {words}"))
    });
    format!("; of whole sheets or the record {}", counts.collect::<Vec<_>>().join(", "))
}
