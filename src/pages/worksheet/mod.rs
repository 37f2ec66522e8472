//! The worksheets: expanded sheets to pages.

mod columns;
mod derived;
mod entry;
mod filled;
pub mod fit;
pub mod fit_columns;
mod foot;
mod grid;
pub mod head;
mod index;
mod marks;
pub mod plan;
mod readings;
mod renew;
mod rings;
mod sheet;
mod write;

pub use filled::Filled;

use super::paper;
use crate::diag::Diags;
use crate::layout::canvas::{Canvas, Desk};
use crate::layout::mark::{Area, Document, Point};
use crate::layout::paginate::Anchor;
use crate::layout::qr::{self, Qr};
use crate::model::id::FeatureId;
use crate::sheet::{LineRows, Pages, Row, Sheet, SheetSet};
use plan::{Plan, bind};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// What every page of a set is laid out with.
pub struct Layout<'a> {
    pub desk: &'a Desk,
    pub set: &'a SheetSet,
    /// Inside the margins.
    pub area: Area,
    /// Codes of squares by their text: working one out is slow.
    codes: RefCell<BTreeMap<String, Option<Qr>>>,
    wanted: Codes,
    /// What is written in the boxes already; nothing on a worksheet.
    pub filled: Option<&'a Filled>,
    /// The sheet that is being laid out.
    pub letter: RefCell<String>,
}

/// What is wanted of the codes of squares.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Codes {
    Drawn,
    /// Only the room they take.
    Sized,
}

impl<'a> Layout<'a> {
    pub(crate) fn new(
        desk: &'a Desk,
        set: &'a SheetSet,
        wanted: Codes,
        filled: Option<&'a Filled>,
    ) -> Layout<'a> {
        let area = paper::size(set.head.paper).inside();
        Layout {
            desk,
            set,
            area,
            codes: RefCell::default(),
            wanted,
            filled,
            letter: RefCell::default(),
        }
    }

    pub fn canvas(&self) -> Canvas<'a> {
        Canvas::new(self.desk)
    }

    /// The code of squares of a text with its corner at the origin; none where
    /// the text is too long for one.
    pub fn code(&self, text: &str) -> Option<Qr> {
        let mut codes = self.codes.borrow_mut();
        let code = codes.entry(text.to_string());
        let work = || match self.wanted {
            Codes::Drawn => qr::qr(text, Point::default()).ok(),
            Codes::Sized => qr::side(text).ok().map(|side| Qr { marks: Vec::new(), side }),
        };
        code.or_insert_with(work).clone()
    }

    /// What names an item of the sheet in hand.
    fn item_name(&self, number: u32) -> String {
        format!("{} {number}", self.letter.borrow())
    }

    /// Marks where an item of the sheet in hand is.
    fn item_field(&self, number: u32) -> Anchor {
        Anchor::Field(self.item_name(number))
    }

    /// The sheet and the line whose boxes a feature's readings are written in.
    pub fn source(&self, feature: Option<FeatureId>) -> Option<(&'a Sheet, &'a LineRows)> {
        feature?;
        self.set.sheets.iter().find_map(|sheet| {
            let own = |line: &&LineRows| {
                let mut groups = line.groups.iter();
                groups.any(|group| group.own && group.feature == feature)
            };
            sheet.lines().find(own).map(|line| (sheet, line))
        })
    }
}

/// Lays out the worksheets of a set, with its index before them, or only the
/// pages of the sheets whose letters are named; and tells on which page every
/// row and item is. Page numbers are those of the whole set either way. The
/// document has no date: the caller gives it one.
///
/// `None` with the faults in `out` where a letter is unknown, a piece is taller
/// than a page or a character is in no typeface.
pub fn lay_sheets(
    set: &SheetSet,
    only: Option<&[String]>,
    out: &mut Diags,
) -> Option<(Document, Pages)> {
    lay_filled(set, only, None, out)
}

/// The same with everything written in the boxes: an example to type from.
///
/// `None` as [`lay_sheets`].
pub fn lay_filled<'a>(
    set: &'a SheetSet,
    only: Option<&[String]>,
    filled: Option<&'a Filled>,
    out: &mut Diags,
) -> Option<(Document, Pages)> {
    let before = out.faults();
    let desk = Desk::default();
    let lay = Layout::new(&desk, set, Codes::Drawn, filled);
    unknown(set, only, out);
    let (plans, places) = planned(&lay, out)?;
    let document = bind(&lay, format!("Worksheets {}", set.number), plans, only);
    crate::layout::check(&document, lay.area, out);
    (out.faults() == before).then_some((document, places))
}

/// On which page every row and item is, without drawing the pages: for what
/// reads a record back. Letters and margins are looked at where pages are
/// drawn.
///
/// `None` as [`lay_sheets`].
pub fn pages(set: &SheetSet, out: &mut Diags) -> Option<Pages> {
    let desk = Desk::default();
    let lay = Layout::new(&desk, set, Codes::Sized, None);
    planned(&lay, out).map(|(_, places)| places)
}

/// The index, the sheets and where everything is.
fn planned<'a>(lay: &Layout<'a>, out: &mut Diags) -> Option<(Vec<Plan<'a>>, Pages)> {
    let before = out.faults();
    let plans = lay.set.sheets.iter().filter_map(|sheet| sheet::plan(lay, sheet, out));
    let mut plans: Vec<Plan<'_>> = plans.collect();
    let index = index::plan(lay, &plans, out);
    if out.faults() > before {
        return None;
    }
    plans.insert(0, index?);
    let mut places = Pages::default();
    let mut first = 1;
    for plan in &plans {
        plan.tell_pages(lay, first, &mut places);
        first += plan.pages();
    }
    Some((plans, places))
}

/// Marks where rows are.
pub(crate) fn row_fields<'r>(
    rows: impl IntoIterator<Item = &'r Row>,
) -> impl Iterator<Item = Anchor> {
    rows.into_iter().map(|row| Anchor::Field(row.code.clone()))
}

fn unknown(set: &SheetSet, only: Option<&[String]>, out: &mut Diags) {
    for letter in only.into_iter().flatten() {
        if set.sheet(letter).is_none() {
            let known: Vec<_> = set.sheets.iter().map(|sheet| sheet.letter.as_str()).collect();
            let wrong = format!("no sheet {letter} in the set");
            out.fault_nowhere(wrong, format!("choose from {}", known.join(" ")));
        }
    }
}
