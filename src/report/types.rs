//! A report as plain sections.

use crate::record::Status;
use crate::sheet::Head;

#[derive(Clone, Debug)]
pub struct Report {
    pub title: String,
    pub status: Status,
    pub head: Head,
    pub set: String,
    /// With the arithmetic of every row worked, as asked for.
    pub arithmetic: bool,
    /// What the report is not; at the foot of every page.
    pub disclaimer: String,
    /// The record's last date.
    pub date: String,
    pub sections: Vec<Section>,
}

/// The first section is the page of exceptions and starts the report; each
/// section gets a bookmark.
#[derive(Clone, Debug)]
pub struct Section {
    pub title: String,
    pub text: Option<String>,
    pub pieces: Vec<Piece>,
    pub new_page: bool,
}

#[derive(Clone, Debug)]
pub enum Piece {
    /// A heading inside the section; kept with what follows.
    Heading(String),
    Paragraph(String),
    /// Several short pairs: caption and value, set in columns.
    Pairs(Vec<(String, String)>),
    /// Breaks across pages between rows; the head is repeated.
    Table {
        columns: Vec<Column>,
        rows: Vec<Vec<Cell>>,
    },
    /// A table whose rows stand in groups, each under a row of its own, which
    /// is repeated with the head where the group goes on.
    Grouped {
        columns: Vec<Column>,
        groups: Vec<TableGroup>,
    },
    /// Bars and both ends of each fit, one group for each line of the limits.
    Fits(Vec<FitGroup>),
    /// Signature blocks: name, role, certificate number, what is signed for.
    SignOff(Vec<(String, String, String, String)>),
}

#[derive(Clone, Debug)]
pub struct TableGroup {
    /// Empty where the group is one row that says all. The last cell of fewer
    /// than there are columns has all the room that is left.
    pub head: Vec<Cell>,
    pub rows: Vec<Vec<Cell>>,
}

#[derive(Clone, Debug)]
pub struct Column {
    pub head: String,
    /// Share of the width.
    pub share: u16,
    /// Figures: aligned on the point.
    pub figures: bool,
}

#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cell {
    pub text: String,
    pub bold: bool,
}

/// One line of the limits with all its rows.
#[derive(Clone, Debug)]
pub struct FitGroup {
    /// `Camshaft in crankcase`.
    pub title: String,
    /// Where it stands in the document, selective assembly, who agreed.
    pub note: Option<String>,
    /// Threshold sizes as printed with their share of the bar in millionths,
    /// from 0 to 1 000 000: new tight end, new loose end, service end(s).
    pub ticks: Vec<(String, i64)>,
    /// New band, as shares of the bar.
    pub new: Option<(i64, i64)>,
    /// Service band, as shares; hatched beyond.
    pub service: (i64, i64),
    pub rows: Vec<FitLine>,
}

/// Two lines of figures: the upper subtracts to the tightest, the lower to the
/// loosest.
#[derive(Clone, Debug)]
pub struct FitLine {
    /// Of every step: the pages show them where a row or a page begins.
    pub code: String,
    pub place: String,
    /// `as found`, `measured again`, `as left`; a word of what was done.
    pub label: String,
    pub why: String,
    pub shaft: (String, String),
    pub bore: (String, String),
    pub tightest: String,
    pub loosest: String,
    /// What was read beside these, and averages: `shaft read 4.3616 4.3602`.
    pub also: Vec<String>,
    pub marker: Option<Marker>,
    pub margin: String,
    pub state: String,
    /// The state is out, in query, on hold or open.
    pub bold: bool,
}

/// From tightest to loosest, as shares of the bar (clamped to it).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Marker {
    pub from: i64,
    pub to: i64,
    /// Solid as left, hollow as found and superseded.
    pub solid: bool,
}

impl Cell {
    pub fn plain(text: impl Into<String>) -> Cell {
        Cell { text: text.into(), bold: false }
    }

    pub fn bold(text: impl Into<String>) -> Cell {
        Cell { text: text.into(), bold: true }
    }
}
