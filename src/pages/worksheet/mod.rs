//! The worksheets: expanded sheets to pages.

mod again;
mod also;
pub mod bind;
mod columns;
mod context;
mod derived;
mod entry;
mod filled;
pub mod fit;
pub mod fit_columns;
mod foot;
mod gauge;
mod grid;
pub mod head;
mod index;
mod later;
mod marks;
mod overflow;
pub mod plan;
mod readings;
mod renew;
mod rings;
mod sheet;
mod table;
mod write;

pub(crate) use context::row_fields;
pub use context::{Filled, Layout};
pub use overflow::{lay_remarks, lay_remarks_fields};

use crate::diag::Diags;
use crate::layout::canvas::Desk;
use crate::layout::margins;
use crate::layout::mark::Document;
use crate::sheet::{Pages, SheetSet};
use bind::bind;
use plan::Plan;

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
    laid(&Desk::default(), (set, filled), only, out)
}

fn laid<'a>(
    desk: &'a Desk,
    (set, filled): (&'a SheetSet, Option<&'a Filled>),
    only: Option<&[String]>,
    out: &mut Diags,
) -> Option<(Document, Pages)> {
    let before = out.faults();
    let lay = Layout::new(desk, set, filled);
    unknown(set, only, out);
    let (plans, places) = planned(&lay, out)?;
    let document = bind(&lay, format!("Worksheets {}", set.number), plans, only);
    margins::check(&document, lay.area, out);
    (out.faults() == before).then_some((document, places))
}

/// The same with a field over every box, for a person at a desk.
///
/// `None` as [`lay_sheets`].
pub fn lay_fields(
    set: &SheetSet,
    only: Option<&[String]>,
    out: &mut Diags,
) -> Option<(Document, Pages)> {
    laid(&Desk::of_fields(), (set, None), only, out)
}

/// On which page every row and item is, without drawing the pages: for what
/// reads a record back. Letters and margins are looked at where pages are
/// drawn.
///
/// `None` as [`lay_sheets`].
pub fn pages(set: &SheetSet, out: &mut Diags) -> Option<Pages> {
    let desk = Desk::default();
    let lay = Layout::new(&desk, set, None);
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

fn unknown(set: &SheetSet, only: Option<&[String]>, out: &mut Diags) {
    for letter in only.into_iter().flatten() {
        if set.sheet(letter).is_none() {
            let known: Vec<_> = set.sheets.iter().map(|sheet| sheet.letter.as_str()).collect();
            let message = format!("no sheet {letter} in the set");
            out.fault_nowhere(message, format!("choose from {}", known.join(" ")));
        }
    }
}
