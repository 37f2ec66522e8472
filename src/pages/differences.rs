//! Where scans and transcription seem to differ, box by box, with a piece of the
//! scan beside each: to be looked at with the paper in hand.

use crate::diag::Diags;
use crate::layout::at;
use crate::layout::canvas::{Canvas, Desk, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::margins;
use crate::layout::mark::{Document, area};
use crate::layout::paginate::{Block, Blocks, TooTall};
use crate::layout::style::{CAPTION, STRONG, TEXT};
use crate::pages::worksheet::Layout;
use crate::pages::worksheet::bind::bind;
use crate::pages::worksheet::plan::Plan;
use crate::report::compared::{Compared, OddBox};
use crate::scan::{CutOut, FINE};
use crate::sheet::SheetSet;

const FORM: &str = "differences";
/// Where the pieces begin.
const PIECES: Len = mm(96.0);
const WORDS: Len = mm(92.0);

/// The pages; `pieces` are in the order of the differences. `None` with the faults in
/// `out`.
pub fn lay_differences(
    set: &SheetSet,
    found: &Compared,
    pieces: &[Option<CutOut>],
    out: &mut Diags,
) -> Option<Document> {
    let before = out.faults();
    let desk = Desk::default();
    let lay = Layout::new(&desk, set, None);
    let mut blocks = Blocks::default();
    for words in found.words().iter().chain([&CAUTION.to_owned()]) {
        let mut canvas = lay.canvas();
        let height = canvas.tell(at(Len::ZERO, Len::ZERO), TEXT, words, lay.area.w);
        blocks.push(canvas.done(height).above(mm(0.8)));
    }
    for (odd, piece) in found.odd.iter().zip(pieces) {
        blocks.push(one(&lay, odd, piece.as_ref()).above(mm(1.6)));
    }
    let words = [
        "Scans and transcription",
        "where they seem to differ; only the paper says which is right",
    ];
    let plan = match Plan::bare(&lay, blocks, "SCANS", words, FORM) {
        Ok(plan) => plan,
        Err(TooTall { .. }) => {
            out.fault_nowhere(
                format!("{FORM}: a piece is taller than a page"),
                "shorten the longest name",
            );
            return None;
        }
    };
    let document = bind(&lay, format!("{} {}", words[0], set.number), [plan], None);
    margins::check(&document, lay.area, out);
    (out.faults() == before).then_some(document)
}

const CAUTION: &str = "Figures were read off the scans by a program that misreads some hands. \
    It signs for nothing and counts as no person: look at the paper, and correct what was typed \
    as any other slip.";

fn one(lay: &Layout<'_>, odd: &OddBox, piece: Option<&CutOut>) -> Block {
    let mut canvas = lay.canvas();
    canvas.rule(Len::ZERO, Len::ZERO, lay.area.w, MINOR);
    let top = mm(1.2);
    let mut y = top;
    y += canvas.tell(at(Len::ZERO, y), STRONG, &odd.name, WORDS);
    y += canvas.tell(at(Len::ZERO, y), TEXT, &odd.words(), WORDS);
    if let Some(settled) = &odd.settled {
        y += canvas.tell(at(Len::ZERO, y), TEXT, &format!("settled: {settled}"), WORDS);
    }
    let place = format!("page {}, sheet {}, {}", odd.page, odd.sheet, odd.scan);
    y += canvas.tell(at(Len::ZERO, y), CAPTION, &place, WORDS);
    if let Some(piece) = piece {
        y = y.max(top + pasted(&mut canvas, PIECES, top, piece, lay.area.w - PIECES));
    }
    canvas.done(y + mm(1.0))
}

/// Draws a piece as large as on paper, or as there is room for; gives back its height.
fn pasted(canvas: &mut Canvas<'_>, x: Len, y: Len, piece: &CutOut, room: Len) -> Len {
    let natural = Len::mm(1.0 / FINE);
    let widest = room / i32::try_from(piece.width.max(1)).unwrap_or(i32::MAX);
    let dot = natural.min(widest);
    for (row, from, to) in piece.stretches() {
        let over = area(x + dot.times(from), y + dot.times(row), dot.times(to - from), dot);
        canvas.black(over);
    }
    dot.times(piece.height)
}
