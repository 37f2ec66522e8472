//! The record: what was written on the sheets, as typed in. Readings are only
//! ever added; a later one names what it replaces and why.

use super::side::Group;
use super::text::{Number, Text};
use crate::diag::Span;
use crate::quantity::date::Date;

/// A transcription.
#[derive(Clone, Debug)]
pub struct Record {
    /// Number of the sheet set, as typed.
    pub set: Text,
    /// Of the second person's sheets: rows and boxes stood in another order.
    pub blind: bool,
    /// In the order of the file.
    pub sheets: Vec<SheetEntry>,
    pub again: Vec<Again>,
    pub changes: Vec<Change>,
    pub findings: Vec<Finding>,
    pub left_out: Vec<LeftOut>,
    pub accepted: Vec<Accepted>,
    pub outside: Vec<Outside>,
}

/// All that was typed for one sheet.
#[derive(Clone, Debug)]
pub struct SheetEntry {
    pub letter: Text,
    /// The four characters of the sheet's own number, as typed.
    pub number: Option<Text>,
    /// The digests of its lines and ticks, written by the program.
    pub printed: Option<Text>,
    /// On which pages its rows and items are printed, written by the program.
    pub pages: Option<Vec<Text>>,
    /// From which second-stage sheets its rows were typed: the code of each
    /// with those of its rows, `K4TX shaft: C1 7Q4T, C2 88F2`. The last that
    /// names a row counts.
    pub second: Vec<Text>,
    pub signs: Vec<Sign>,
    pub items: Vec<ItemEntry>,
    /// Beside single items, where another hand than `work` did them.
    pub initials: Vec<Initialled>,
    pub rows: Vec<RowEntry>,
    pub remarks: Option<Text>,
    pub at: Span,
}

/// Who did it, when, and with which gauges. The key is `shaft`, `bore`,
/// `read`, `work`, `check` for the second person, or `hold`, `hold-2` for an
/// inspector at a hold point.
#[derive(Clone, Debug)]
pub struct Sign {
    pub key: Text,
    pub by: Option<Text>,
    pub on: Option<(Date, Span)>,
    pub gauges: Named,
    /// Degrees Celsius of the part and of the gauge, where taken.
    pub part_temperature: Option<Number>,
    pub gauge_temperature: Option<Number>,
    /// The gauge's zero looked at before use and after it, where written.
    pub zero: Option<[Mark; 2]>,
    /// Codes of the rows that it is of, where several have signed for one side;
    /// empty for all that no other names.
    pub rows: Vec<Text>,
    pub at: Span,
}

/// The gauges that a sign-off names.
#[derive(Clone, Debug)]
pub enum Named {
    /// For all that is read under its key.
    All(Vec<Text>),
    /// For each line by its reference: `{ RT = "DI-1", RS = "FEEL-2" }`.
    Each(Vec<(Text, Vec<Text>)>),
}

impl Named {
    /// Every one of them, in the order in which they are typed.
    pub fn all(&self) -> Vec<&Text> {
        match self {
            Named::All(gauges) => gauges.iter().collect(),
            Named::Each(lines) => lines.iter().flat_map(|(_, gauges)| gauges).collect(),
        }
    }

    /// Those with which a line was read.
    pub fn of(&self, reference: &str) -> &[Text] {
        match self {
            Named::All(gauges) => gauges,
            Named::Each(lines) => {
                let own = lines.iter().find(|(line, _)| line.as_str() == reference);
                own.map_or(&[], |(_, gauges)| gauges)
            }
        }
    }
}

/// Something ticked or written, by its number on the sheet.
#[derive(Clone, Debug)]
pub struct ItemEntry {
    pub number: u32,
    pub content: ItemContent,
    /// Typed once for a list of items.
    pub spanned: bool,
    pub at: Span,
}

/// Whose initials stand beside a list of items, or one of its items.
#[derive(Clone, Debug)]
pub struct Initialled {
    pub first: u32,
    pub last: u32,
    pub by: Vec<Text>,
    pub at: Span,
}

impl Initialled {
    /// As typed: `6-8`, or the number of a single item.
    pub fn span(&self) -> String {
        match self.first == self.last {
            true => self.first.to_string(),
            false => format!("{}-{}", self.first, self.last),
        }
    }

    pub fn holds(&self, number: u32) -> bool {
        (self.first..=self.last).contains(&number)
    }
}

#[derive(Clone, Debug)]
pub enum ItemContent {
    /// One mark a place, in printed order: `v` ok or done, `x` found,
    /// `n` n.a., `-` blank.
    Marks(Vec<Mark>),
    Words(Text),
    /// Words at each of several places, by the place's code.
    Placed(Vec<(Text, Text)>),
    /// A row of a table, box by box; a blank one is empty.
    Cells(Vec<Text>),
    /// An always-renewed part.
    Renewed(Renewed),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Mark {
    Ok,
    Found,
    NotApplicable,
    Blank,
}

impl Mark {
    /// As it is typed.
    pub fn letter(self) -> char {
        match self {
            Mark::Ok => 'v',
            Mark::Found => 'x',
            Mark::NotApplicable => 'n',
            Mark::Blank => '-',
        }
    }
}

/// What was fitted in place of an always-renewed part.
#[derive(Clone, Debug)]
pub struct Renewed {
    /// How many were renewed; the rest counts as reused.
    pub count: Option<Number>,
    pub number: Option<Text>,
    /// Serial or batch.
    pub batch: Option<Text>,
    pub document: Option<Text>,
    /// Said to be reused.
    pub reused: bool,
    pub at: Span,
}

/// All that was typed for one row.
#[derive(Clone, Debug)]
pub struct RowEntry {
    pub code: Text,
    pub groups: Vec<GroupEntry>,
    pub not_applicable: Option<NotApplicable>,
    pub at: Span,
}

/// The boxes of one side of a row.
#[derive(Clone, Debug)]
pub struct GroupEntry {
    pub key: (Group, Span),
    pub boxes: Boxes,
    pub at: Span,
}

#[derive(Clone, Debug)]
pub enum Boxes {
    /// One a box in printed order; `None` for an empty one.
    Readings(Vec<Option<Number>>),
    /// Ticks and crosses, one a tooth.
    Marks(Vec<Mark>),
    /// Further leaves: tooth from 1, leaf, whether it entered.
    Leaves(Vec<(u32, Number, bool)>),
}

impl Boxes {
    /// Something stands in one of them.
    pub fn is_filled(&self) -> bool {
        match self {
            Boxes::Readings(readings) => readings.iter().any(Option::is_some),
            Boxes::Marks(marks) => marks.iter().any(|mark| *mark != Mark::Blank),
            Boxes::Leaves(leaves) => !leaves.is_empty(),
        }
    }
}

#[derive(Clone, Debug)]
pub struct NotApplicable {
    pub why: Option<Text>,
    pub by: Option<Text>,
    pub at: Span,
}

/// Why a reading replaces another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Why {
    Mistyped,
    MeasuredAgain,
    Reworked,
    PartChanged,
}

impl Why {
    /// As it is typed.
    pub const fn word(self) -> &'static str {
        match self {
            Why::Mistyped => "mistyped",
            Why::MeasuredAgain => "measured again",
            Why::Reworked => "reworked",
            Why::PartChanged => "part changed",
        }
    }

    /// The part is another one, or was worked on.
    pub fn is_of_part(self) -> bool {
        matches!(self, Why::Reworked | Why::PartChanged)
    }
}

/// A later reading of one box, or of all the boxes of one side.
#[derive(Clone, Debug)]
pub struct Again {
    pub row: Text,
    pub key: (Group, Span),
    /// Index of the one box; absent for all.
    pub index: Option<usize>,
    pub boxes: Boxes,
    /// Where the readings stand.
    pub boxes_at: Span,
    pub why: (Why, Span),
    pub by: Option<Text>,
    pub on: Option<(Date, Span)>,
    pub gauges: Vec<Text>,
    /// As of a sign-off.
    pub part_temperature: Option<Number>,
    pub gauge_temperature: Option<Number>,
    pub zero: Option<[Mark; 2]>,
    /// The second person of `mistyped`, the inspector of an out turned.
    pub inspector: Option<Text>,
    pub note: Option<Text>,
    pub at: Span,
}

/// A part changed or reworked.
#[derive(Clone, Debug)]
pub struct Change {
    /// The part's identifier in the engine file.
    pub part: Text,
    /// Codes of the places, where single parts sit there; empty for all.
    pub places: Vec<Text>,
    /// The rework of the engine's table, where it is one of them.
    pub rework: Option<Text>,
    pub why: (Why, Span),
    pub what: Option<Text>,
    pub number: Option<Text>,
    pub batch: Option<Text>,
    pub document: Option<Text>,
    /// To which data a rework was done.
    pub data: Option<Text>,
    pub grade: Option<Text>,
    /// Of which features the rework or the grade is; empty for every one that has
    /// such a grade, without a grade for all.
    pub features: Vec<Text>,
    pub by: Option<Text>,
    pub on: Option<(Date, Span)>,
    /// Who accepted it, and what was looked over again after it.
    pub inspector: Option<Text>,
    /// What was reopened and has been looked over again, by item code
    /// (`T 3`), in words.
    pub redone: Vec<Text>,
    pub at: Span,
}

/// What was found at an item marked `x`, and what was done about it.
#[derive(Clone, Debug)]
pub struct Finding {
    /// Sheet letter and item number: `L 4`.
    pub item: Text,
    /// Place code or tooth, where the item has several.
    pub place: Option<Text>,
    pub what: Text,
    pub done: Option<Text>,
    pub by: Option<Text>,
    pub on: Option<(Date, Span)>,
    pub inspector: Option<Text>,
    pub at: Span,
}

/// Why an item marked `n` does not apply.
#[derive(Clone, Debug)]
pub struct LeftOut {
    pub item: Text,
    pub place: Option<Text>,
    pub why: Option<Text>,
    pub by: Option<Text>,
    pub at: Span,
}

/// An out accepted on data: printed so, never as a pass.
#[derive(Clone, Debug)]
pub struct Accepted {
    pub row: Text,
    pub authority: Option<Text>,
    pub document: Option<Text>,
    pub on: Option<(Date, Span)>,
    pub by: Option<Text>,
    pub at: Span,
}

/// Work sent out, and what came back with it.
#[derive(Clone, Debug)]
pub struct Outside {
    pub what: Text,
    pub who: Option<Text>,
    pub certificate: Option<Text>,
    pub on: Option<(Date, Span)>,
    pub result: Option<Text>,
    pub at: Span,
}

impl Again {
    /// By somebody else than whoever took the reading.
    pub fn is_accepted(&self) -> bool {
        let by = |by: &Option<Text>| by.as_ref().map(Text::to_string).filter(|by| !by.is_empty());
        by(&self.inspector).is_some_and(|second| by(&self.by).as_ref() != Some(&second))
    }
}

impl Record {
    /// Whether no reading of a later day took the place of this one.
    pub fn stands(&self, again: &Again) -> bool {
        let day = |again: &Again| again.on.as_ref().map(|(date, _)| *date);
        !self.again.iter().any(|other| {
            let boxes = other.index.is_none() || other.index == again.index;
            let same = other.row.text == again.row.text && other.key.0 == again.key.0;
            same && boxes && day(other) > day(again)
        })
    }

    /// A record in which nothing is written yet.
    pub fn blank(set: &str) -> Record {
        let at = Span::new(&"readings.toml".into(), 0, 0);
        Record {
            set: Text { text: set.into(), at },
            blind: false,
            sheets: Vec::new(),
            again: Vec::new(),
            changes: Vec::new(),
            findings: Vec::new(),
            left_out: Vec::new(),
            accepted: Vec::new(),
            outside: Vec::new(),
        }
    }
}
