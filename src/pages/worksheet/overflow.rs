//! Pages more for the remarks of a sheet, printed when its own lines are full:
//! its number and code, and lines.

use super::bind::bind;
use super::foot::REMARK;
use super::plan::Plan;
use super::{Layout, head, unknown};
use crate::diag::Diags;
use crate::layout::canvas::{Desk, HAIR, mm};
use crate::layout::length::Len;
use crate::layout::margins;
use crate::layout::mark::Document;
use crate::layout::paginate::{Block, Blocks, paginate};
use crate::sheet::{Sheet, SheetSet};

/// Lays out a page for each time that a sheet's letter is named. Nothing on them
/// is typed under a key of its own: what is written there belongs to the sheet's
/// remarks.
///
/// `None` with the faults in `out` where a letter is unknown or a character is in
/// no typeface.
pub fn lay_remarks(set: &SheetSet, letters: &[String], out: &mut Diags) -> Option<Document> {
    let before = out.faults();
    let desk = Desk::default();
    let lay = Layout::new(&desk, set, None);
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
        subtitle: "further remarks on this sheet".to_owned(),
        form: format!("form {}, revision {}", sheet.letter, sheet.revision),
        number: Some(&sheet.number),
        overflow: true,
        ..Plan::default()
    };
    let plan = plan.measured(lay);
    let room = plan.room(lay);
    let blocks: Blocks = (0..count).map(|_| lines(lay, room)).collect();
    let fills = paginate(&blocks, room, None, Len::ZERO);
    let of = format!("remarks of sheet {}", sheet.letter);
    let fills = fills.map_err(|tall| tall.tell(&of, "shorten the title of that sheet", out));
    Some(Plan { fills: fills.ok()?, blocks, ..plan })
}

const WORDS: &str = "item or row, place, what was found, action; initials and date behind each";

/// Lines down a whole page.
fn lines(lay: &Layout<'_>, room: Len) -> Block {
    let mut canvas = lay.canvas();
    let section = head::section(lay, 1, "Remarks", WORDS, false, lay.area.w);
    let mut y = canvas.place(crate::layout::at(Len::ZERO, Len::ZERO), section) + REMARK;
    while y <= room - mm(0.4) {
        canvas.rule(Len::ZERO, y, lay.area.w, HAIR);
        y += REMARK;
    }
    // The next one has no room beside it.
    canvas.done(room)
}
