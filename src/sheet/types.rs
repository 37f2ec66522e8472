//! Expanded sheets: all texts rendered, all rows and boxes known, nothing laid
//! out yet. A sheet's page count is known only to the layout.

use crate::judge::{BoxGroup, Range, ResultBox, Scale};
use crate::model::id::{LineId, PartId};
use crate::model::job::Paper;
use std::ops::{Index as IndexBy, IndexMut};

/// All sheets of a job in bench order.
#[derive(Clone, Debug)]
pub struct SheetSet {
    /// Eight characters, `7F3K-92QD`.
    pub number: String,
    pub head: Head,
    pub index: Index,
    pub sheets: Vec<Sheet>,
    /// What the forms ask for and this engine or its limits do not have.
    pub left_out: Vec<String>,
}

/// What the head and foot of every page say.
#[derive(Clone, Debug)]
pub struct Head {
    pub job: String,
    /// `to service limits`.
    pub scope: String,
    pub engine: String,
    pub serial: String,
    /// The shop's number of the limits file: `L-07`.
    pub limits: String,
    /// `Overhaul manual OM-4`, without the revision.
    pub document: String,
    pub revision: String,
    /// In full: `inch`.
    pub unit: String,
    pub decimals: u8,
    pub shop: String,
    /// `DEMO-0000`, where the shop has one.
    pub certificate: Option<String>,
    pub paper: Paper,
    /// A second person must check each sheet.
    pub second_person: bool,
    /// `simple acceptance, as the trade works` or `guarded acceptance`.
    pub rule: String,
    /// Printed again for pages that were lost.
    pub copy: Option<u32>,
    /// The second person's sheets, without the first readings.
    pub blind: bool,
}

/// The first page of a set, beside the list of sheets.
#[derive(Clone, Debug)]
pub struct Index {
    pub gauges: Vec<GaugeNeed>,
    /// Feeler leaves that the sheets need, as printed: `0.0015 GO`.
    pub leaves: Vec<String>,
    pub people: Vec<PersonLine>,
}

/// A gauge to fetch: what for, and which of the job's gauges serve.
#[derive(Clone, Debug)]
pub struct GaugeNeed {
    /// `outside micrometer 1 to 2 in`.
    pub what: String,
    /// Letters of the sheets that need it.
    pub sheets: Vec<String>,
    /// The job's gauge that serves, with serial and date due; absent: the box
    /// is left to be filled in by hand.
    pub have: Option<(String, String, String)>,
}

#[derive(Clone, Debug)]
pub struct PersonLine {
    pub initials: String,
    pub name: String,
    pub role: String,
}

/// One sheet of one or more pages.
#[derive(Clone, Debug)]
pub struct Sheet {
    pub letter: String,
    pub title: String,
    pub subtitle: Option<String>,
    /// Revision of the form.
    pub revision: String,
    /// The sheet's own number, four characters.
    pub number: String,
    /// The digest of each line, by its reference, and of the ticks and
    /// blanks, by `items`: what did not change can be taken over.
    pub digests: Vec<(String, String)>,
    pub blocks: Vec<SheetBlock>,
    /// At the foot of the sheet's last page, `check` last where required.
    pub signs: Vec<SignBox>,
}

/// A place to initial and date: key as typed in the transcription, caption.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignBox {
    pub key: String,
    pub caption: String,
    /// What was done with a gauge names it.
    pub gauges: bool,
    /// References of the lines that name their gauges each at its head; empty
    /// where one line names them all.
    pub lines: Vec<String>,
    /// And was the gauge's zero looked at, before use and after it.
    pub zero: bool,
}

#[derive(Clone, Debug)]
pub enum SheetBlock {
    Marks(MarksBlock),
    Measure(MeasureBlock),
    Write { title: String, columns: Columns, items: Vec<Item>, id: Option<String> },
    Renew { title: String, items: Vec<RenewItem>, id: Option<String> },
    Table(TableBlock),
    Caution(String),
    Note(String),
}

impl SheetBlock {
    /// What is looked over, done or written down in it, item by item.
    pub fn items(&self) -> &[Item] {
        match self {
            SheetBlock::Marks(marks) => &marks.items,
            SheetBlock::Write { items, .. } => items,
            SheetBlock::Table(table) => &table.items,
            SheetBlock::Measure(_)
            | SheetBlock::Renew { .. }
            | SheetBlock::Caution(_)
            | SheetBlock::Note(_) => &[],
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MarksKind {
    /// ok, found, n.a.
    LookOver,
    /// done, n.a.
    Steps,
    /// Steps that must be done before measuring.
    Before,
}

/// Places across the page: a code and a name each. Empty where an item is
/// answered once.
pub type Columns = Vec<(String, String)>;

/// Ticks: every item once, or once a column.
#[derive(Clone, Debug)]
pub struct MarksBlock {
    pub kind: MarksKind,
    pub title: String,
    pub columns: Columns,
    pub items: Vec<Item>,
    /// An inspector must look before work goes on, and signs under this key:
    /// `hold`, of a sheet's second one `hold-2`.
    pub hold: Option<String>,
    /// The gauge that the work is done with: a torque wrench.
    pub with: Option<String>,
    pub id: Option<String>,
}

/// A grid of boxes to write words in.
#[derive(Clone, Debug)]
pub struct TableBlock {
    pub title: String,
    pub heads: Vec<Column>,
    /// One a row.
    pub items: Vec<Item>,
    /// Each row is printed under the name of what it is of; else they are blank.
    pub named: bool,
    /// Blank rows may be left over, and `none` stands in the first where there is
    /// nothing to write.
    pub none: bool,
    pub id: Option<String>,
}

/// A column of a table: what is written under it.
#[derive(Clone, Debug)]
pub struct Column {
    pub head: String,
    /// Share of the width.
    pub share: u32,
    /// Its boxes are ticked or crossed.
    pub tick: bool,
}

impl TableBlock {
    /// Whether anything of it is ticked or crossed, as somebody answers for it.
    pub fn is_ticked(&self) -> bool {
        self.heads.iter().any(|head| head.tick)
    }
}

/// Numbered through the whole sheet: the number is its key when typed in.
#[derive(Clone, Debug)]
pub struct Item {
    pub number: u32,
    pub text: String,
    /// What it speaks of: a change of one of them reopens it.
    pub parts: Vec<PartId>,
}

#[derive(Clone, Debug)]
pub struct RenewItem {
    pub number: u32,
    pub part: PartId,
    pub name: String,
    pub count: u32,
}

impl SheetBlock {
    /// The first and the last number of a list that somebody initials.
    pub fn initialled(&self) -> Option<(u32, u32)> {
        match self {
            SheetBlock::Marks(marks) => {
                Some((marks.items.first()?.number, marks.items.last()?.number))
            }
            SheetBlock::Renew { items, .. } => Some((items.first()?.number, items.last()?.number)),
            SheetBlock::Table(table) if table.is_ticked() => {
                Some((table.items.first()?.number, table.items.last()?.number))
            }
            _ => None,
        }
    }

    /// The same as the box for the initials is called, and as they are typed:
    /// `6-8`.
    pub fn span(&self) -> Option<String> {
        self.initialled().map(|(first, last)| span(first, last))
    }
}

/// `6-8`, or the number alone.
pub fn span(first: u32, last: u32) -> String {
    if first == last { first.to_string() } else { format!("{first}-{last}") }
}

/// The rows of some lines of the limits.
#[derive(Clone, Debug)]
pub struct MeasureBlock {
    pub title: String,
    pub note: Option<String>,
    pub lines: Vec<LineRows>,
}

/// One line of the limits at all its places.
#[derive(Clone, Debug)]
pub struct LineRows {
    pub line: LineId,
    pub reference: String,
    pub name: String,
    /// The codes of its places, where these limits do not hold at all of them.
    pub at: Option<String>,
    /// What the document calls it.
    pub published: Option<String>,
    /// Where it stands in the document.
    pub page: Option<String>,
    /// Who confirmed a line that does not add up.
    pub agreed: Option<String>,
    pub limits: String,
    pub groups: Vec<BoxGroup>,
    pub answers: Vec<ResultBox>,
    pub scales: Vec<Scale>,
    pub ranges: Vec<Range>,
    /// Every grade with its ranges in words, where the line has grades.
    pub graded: Vec<String>,
    /// What stands beside the line: leaves to use, fluid, set-up.
    pub with: Option<String>,
    pub rows: Vec<Row>,
}

/// One row: what is measured at one place.
#[derive(Clone, Debug)]
pub struct Row {
    /// The line's reference and the place's code: `C2`.
    pub code: String,
    /// Of the engine: index of the place set and of the place in it.
    pub place: Option<(usize, usize)>,
    /// In words; empty for a single place.
    pub name: String,
    pub reach: Option<String>,
}

/// A row of a set, in printed order from 0: tables of rows take no other index.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RowId(usize);

impl<T> IndexBy<RowId> for Vec<T> {
    type Output = T;

    fn index(&self, id: RowId) -> &T {
        &self[id.0]
    }
}

impl<T> IndexMut<RowId> for Vec<T> {
    fn index_mut(&mut self, id: RowId) -> &mut T {
        &mut self[id.0]
    }
}

/// Where a row stands in the set.
#[derive(Clone, Copy)]
pub struct At<'a> {
    pub id: RowId,
    /// The sheet after its index.
    pub sheet: (usize, &'a Sheet),
    pub line: &'a LineRows,
    pub row: &'a Row,
}

impl At<'_> {
    /// What is measured here: `camshaft in crankcase, centre`.
    pub fn named(&self, what: &str) -> String {
        match self.row.name.as_str() {
            "" => what.to_owned(),
            name => format!("{what}, {name}"),
        }
    }
}

impl LineRows {
    /// Where a reader finds it in the document: its number there and the page.
    pub fn source(&self) -> Option<String> {
        let number = self.published.as_ref().map(|number| format!("published as {number}"));
        let both: Vec<String> = number.into_iter().chain(self.page.clone()).collect();
        (!both.is_empty()).then(|| both.join(", "))
    }

    /// The groups of boxes that its rows print, in paper order.
    pub fn own(&self) -> impl Iterator<Item = &BoxGroup> {
        self.groups.iter().filter(|group| group.own)
    }

    /// Whether any box of its own is printed; roundness and taper have none.
    pub fn has_boxes(&self) -> bool {
        self.own().next().is_some()
    }
}

impl SheetSet {
    pub fn sheet(&self, letter: &str) -> Option<&Sheet> {
        self.sheets.iter().find(|sheet| sheet.letter == letter)
    }

    /// Every row in printed order.
    pub fn rows(&self) -> impl Iterator<Item = At<'_>> {
        let sheets = self.sheets.iter().enumerate();
        let lines = sheets.flat_map(|sheet| sheet.1.lines().map(move |line| (sheet, line)));
        let rows =
            lines.flat_map(|(sheet, line)| line.rows.iter().map(move |row| (sheet, line, row)));
        rows.enumerate().map(|(n, (sheet, line, row))| At { id: RowId(n), sheet, line, row })
    }

    /// The row with this code; no two have the same.
    pub fn row(&self, code: &str) -> Option<At<'_>> {
        self.rows().find(|at| at.row.code == code)
    }
}

/// A hold point: the key of its boxes, the title of its list, and which of the
/// sheet's blocks it ends.
pub struct Hold<'a> {
    pub key: &'a str,
    pub title: &'a str,
    pub block: usize,
}

/// The hold points of a sheet in printed order.
pub fn holds(sheet: &Sheet) -> impl Iterator<Item = Hold<'_>> {
    sheet.blocks.iter().enumerate().filter_map(|(block, printed)| match printed {
        SheetBlock::Marks(MarksBlock { hold: Some(key), title, .. }) => {
            Some(Hold { key, title, block })
        }
        _ => None,
    })
}

impl Sheet {
    /// Every line on the sheet, in printed order.
    pub fn lines(&self) -> impl Iterator<Item = &LineRows> {
        self.blocks.iter().flat_map(|block| match block {
            SheetBlock::Measure(measure) => measure.lines.as_slice(),
            _ => &[],
        })
    }
}
