//! The record held against the sheets: every row with its chain of readings
//! and verdicts, every tick, and what stands in the way of a final report.

use crate::diag::Span;
use crate::judge::{Beyond, SideReadings, State, Verdict, side_of};
use crate::model::record::Why;
use crate::model::side::{BoxId, Group};
use crate::sheet::{At, SheetSet};
use std::fmt;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// No transcription is complete enough to judge, or it was asked for.
    Draft,
    /// Something is out, in query, on hold or open.
    Incomplete,
    /// Nothing stands in the way. A report is final when all who answer for it
    /// have signed, which no record knows.
    Complete,
}

impl Status {
    /// As it is printed and written.
    pub const fn word(self) -> &'static str {
        match self {
            Status::Draft => "draft",
            Status::Incomplete => "incomplete",
            Status::Complete => "complete",
        }
    }

    /// In words: a report is final only when all have signed it.
    pub const fn in_words(self) -> &'static str {
        match self {
            Status::Draft => "draft",
            Status::Incomplete => "record incomplete",
            Status::Complete => "record complete",
        }
    }
}

impl fmt::Display for Status {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// A whole record, judged.
#[derive(Clone, Debug)]
pub struct Judged {
    pub status: Status,
    /// Of the record as a whole.
    pub asks: Vec<Issue>,
    pub sheets: Vec<JudgedSheet>,
    /// As the set has its rows.
    pub rows: Vec<History>,
    pub items: Vec<JudgedItem>,
}

/// What was typed for the sheet as a whole.
#[derive(Clone, Debug)]
pub struct JudgedSheet {
    pub letter: String,
    /// Something was typed for it.
    pub begun: bool,
    pub signed: Vec<Signed>,
    /// By whom it was independently checked; `None` prints "not independently
    /// checked".
    pub checked_by: Option<String>,
    /// What is wrong with the sheet itself, worst first.
    pub asks: Vec<Issue>,
    pub remarks: Option<String>,
}

/// A sign-off as typed.
#[derive(Clone, Debug)]
pub struct Signed {
    pub key: String,
    pub by: String,
    pub on: String,
    pub gauges: Vec<String>,
}

/// Something that stands in the way: a state and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Issue {
    pub state: State,
    pub why: String,
    pub at: Option<Span>,
}

/// A row and what became of it.
pub type RowHistory<'a> = (At<'a>, &'a History);

/// What became of a row: its chain, first reading first.
#[derive(Clone, Debug)]
pub struct History {
    pub code: String,
    pub steps: Vec<Step>,
    /// The state that the record holds now.
    pub state: State,
    /// Beside the verdict: reopened, repeats that disagree, a missing sign.
    pub asks: Vec<Issue>,
    /// `accepted on DOCUMENT by AUTHORITY, DATE`, where an out was.
    pub accepted: Option<String>,
    /// Reason and initials of an n.a.
    pub not_applicable: Option<String>,
    pub at: Option<Span>,
}

/// The readings of a row after something was written, and their verdict.
#[derive(Clone, Debug)]
pub struct Step {
    /// Absent for the first.
    pub why: Option<Why>,
    /// Who, when, with what: `TD, 2026-03-06, TEL-1 and MIC-2`.
    pub who: String,
    /// What was done, or the part's number.
    pub what: String,
    /// The later entries that it is made of, indices into `Record::again`.
    pub entries: Vec<usize>,
    /// A group of boxes a side.
    pub sides: Vec<SideReadings>,
    pub verdict: Verdict,
    /// The boxes in question.
    pub questioned: Vec<BoxId>,
}

impl Step {
    pub fn side(&self, key: impl Into<Group>) -> Option<&SideReadings> {
        side_of(&self.sides, key)
    }
}

/// The steps of every row; none of a row without boxes of its own.
pub type Chains = Vec<Vec<Step>>;

/// An item of a sheet: ticked, written or renewed.
#[derive(Clone, Debug)]
pub struct JudgedItem {
    pub sheet: usize,
    pub block: usize,
    pub number: u32,
    pub text: String,
    /// What the record says of it, in words: `ok`, `1IN found: burr; stoned`.
    pub says: String,
    pub state: State,
    pub asks: Vec<Issue>,
    /// What was found, with what was done: place, found, done, by and when.
    pub found: Vec<FoundLine>,
    /// Of a row of a table: each box under its head.
    pub cells: Vec<(String, String)>,
    /// Of a row of a table that nothing is written in, and nothing has to be.
    pub left_over: bool,
    /// Of a renewed part: count, number, batch, document.
    pub renewed: Option<[String; 4]>,
    pub at: Option<Span>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FoundLine {
    pub place: String,
    pub what: String,
    pub done: String,
    pub by: String,
}

impl History {
    /// The verdict that stands.
    pub fn last(&self) -> Option<&Step> {
        self.steps.last()
    }

    /// Beyond which limits the readings are: also where something worse than an
    /// out stands in the state's place.
    pub fn beyond(&self) -> &[Beyond] {
        let Some(verdict) = self.last().map(|step| &step.verdict) else { return &[] };
        match &verdict.state {
            State::Out(beyonds) => beyonds,
            _ => &verdict.beyond,
        }
    }

    /// Out, and accepted on data: printed so and never as a pass.
    pub fn is_accepted(&self) -> bool {
        self.accepted.is_some() && matches!(self.state, State::Out(_))
    }

    /// Stands in the way of a final report. What was accepted is the out alone:
    /// anything else that is asked of the row still stands.
    pub fn blocks(&self) -> bool {
        let settled = self.is_accepted() && self.asks.is_empty();
        !self.state.passes() && !settled
    }
}

impl JudgedItem {
    pub fn blocks(&self) -> bool {
        !self.state.passes()
    }
}

impl Judged {
    /// Whether anything is out, in query, on hold or open: exit status 1.
    pub fn blocks(&self) -> bool {
        self.rows.iter().any(History::blocks)
            || self.items.iter().any(JudgedItem::blocks)
            || !self.asks.is_empty()
            || self.sheets.iter().any(|sheet| !sheet.asks.is_empty())
    }

    /// Every row of the set that was judged, in printed order.
    pub fn rows_of<'a>(&'a self, set: &'a SheetSet) -> impl Iterator<Item = RowHistory<'a>> {
        set.rows().zip(&self.rows)
    }

    pub fn row(&self, code: &str) -> Option<&History> {
        self.rows.iter().find(|row| row.code == code)
    }
}
