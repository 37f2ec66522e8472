//! Further pages of a sheet, printed when its own lines are full: its number and
//! code, and lines for all that is written at the foot of a page.

use super::bind::bind;
use super::foot::{self, REMARK, Tail};
use super::plan::Plan;
use super::{Layout, again, also, head, unknown};
use crate::diag::Diags;
use crate::layout::canvas::{Desk, HAIR, mm};
use crate::layout::length::Len;
use crate::layout::margins;
use crate::layout::mark::Document;
use crate::layout::paginate::{Block, Blocks, paginate};
use crate::sheet::fields::{PageOf, REMARKS};
use crate::sheet::{Sheet, SheetSet};

/// Lays out a page for each time that a sheet's letter is named. Nothing on them
/// is typed under a key of its own: what is written there belongs to the sheet.
///
/// `None` with the faults in `out` where a letter is unknown or a character is in
/// no typeface.
pub fn lay_remarks(set: &SheetSet, letters: &[String], out: &mut Diags) -> Option<Document> {
    laid(&Desk::default(), set, letters, out)
}

/// The same with a field over every box and line.
///
/// `None` as [`lay_remarks`].
pub fn lay_remarks_fields(set: &SheetSet, letters: &[String], out: &mut Diags) -> Option<Document> {
    laid(&Desk::of_fields(), set, letters, out)
}

fn laid(desk: &Desk, set: &SheetSet, letters: &[String], out: &mut Diags) -> Option<Document> {
    let before = out.faults();
    let lay = Layout::new(desk, set, None);
    unknown(set, Some(letters), out);
    let named = |sheet: &Sheet| letters.iter().filter(|letter| **letter == sheet.letter).count();
    let named = set.sheets.iter().map(|sheet| (sheet, named(sheet)));
    let named = named.filter(|(_, count)| *count > 0);
    let plans: Vec<Plan> =
        named.filter_map(|(sheet, count)| plan(&lay, sheet, count, out)).collect();
    if out.faults() > before {
        return None;
    }
    let document = bind(&lay, format!("Remarks {}", set.number), plans, None);
    margins::check(&document, lay.area, out);
    (out.faults() == before).then_some(document)
}

fn plan<'a>(lay: &Layout<'a>, sheet: &'a Sheet, count: usize, out: &mut Diags) -> Option<Plan<'a>> {
    let plan = Plan {
        letter: sheet.letter.clone(),
        title: &sheet.title,
        subtitle: "further lines and remarks of this sheet".to_owned(),
        form: format!("form {}, revision {}", sheet.letter, sheet.revision),
        number: Some(&sheet.number),
        overflow: true,
        ..Plan::default()
    };
    let plan = plan.measured(lay);
    let room = plan.room(lay);
    let page = |n| lines(&lay.on(&sheet.letter, PageOf::Further(n + 1)), sheet, room);
    let blocks: Blocks = (0..count).map(page).collect();
    let fills = paginate(&blocks, room, None, Len::ZERO);
    let of = format!("remarks of sheet {}", sheet.letter);
    let fills = fills.map_err(|tall| tall.tell(&of, "shorten the title of that sheet", out));
    Some(Plan { fills: fills.ok()?, blocks, ..plan })
}

const WORDS: &str = "item or row, place, what was found, action; initials and date behind each";

/// Lines down a whole page: those that have their places to write in, as many as
/// leave room for remarks.
fn lines(lay: &Layout<'_>, sheet: &Sheet, room: Len) -> Block {
    let mut canvas = lay.canvas();
    let rows = sheet.lines().any(|line| line.has_boxes());
    let tail = Tail {
        signs: &[],
        marks: false,
        again: (if rows { AGAIN } else { 0 }, again::comb(sheet)),
        found: if rows { 1 } else { FOUND },
        changed: if rows { 1 } else { CHANGED },
        lines: 0,
        also: if also::rows(sheet) > 1 { 2 } else { 0 },
    };
    let mut y = Len::ZERO;
    if !lay.set.head.blind {
        y = canvas.place(crate::layout::at(Len::ZERO, Len::ZERO), foot::tail(lay, tail));
    }
    let section = head::section(lay, 1, "Remarks", WORDS, false, lay.area.w);
    y += canvas.place(crate::layout::at(Len::ZERO, y), section) + REMARK;
    let mut n = 1;
    while y <= room - mm(0.4) {
        canvas.rule(Len::ZERO, y, lay.area.w, HAIR);
        let named = || lay.line_field(REMARKS, n, "");
        canvas.words_field(crate::layout::at(Len::ZERO, y), lay.area.w, named);
        y += REMARK;
        n += 1;
    }
    // The next one has no room beside it.
    canvas.done(room)
}

/// Lines for measuring again on a page of a sheet that has rows.
const AGAIN: i32 = 10;
/// For what was found and for parts changed, two lines each, where it has none.
const FOUND: i32 = 4;
const CHANGED: i32 = 2;
