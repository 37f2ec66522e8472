//! Parts that are always renewed: each with its number, batch and document.

use super::columns::shares;
use super::{Layout, head};
use crate::layout::at;
use crate::layout::canvas::{BOX, Canvas, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::Align;
use crate::layout::paginate::{Block, Blocks};
use crate::layout::style::{CAPTION, STRONG, TEXT};
use crate::pages::boxes::TICK;
use crate::sheet::RenewItem;

const ROW: Len = mm(8.6);
/// Caption, share of the width, and where the caption stands.
const COLUMNS: [(&str, i32, Align); 8] = [
    ("", 6, Align::Left),
    ("part", 44, Align::Left),
    ("how many", 13, Align::Centre),
    ("part number", 33, Align::Left),
    ("serial or batch", 30, Align::Left),
    ("release document", 27, Align::Left),
    ("renewed", 11, Align::Centre),
    ("initials", 11, Align::Left),
];

fn columns(width: Len) -> [(Len, Len); 8] {
    shares(COLUMNS.map(|(_, share, _)| share), width)
}

pub fn renew(
    lay: &Layout<'_>,
    blocks: &mut Blocks,
    title: &str,
    items: &[RenewItem],
    number: usize,
) {
    let again = blocks.headed(mm(2.0), |again| table_head(lay, title, number, again));
    for item in items {
        blocks.push(row(lay, item).under([again]).with([lay.item_field(item.number)]));
    }
}

fn table_head(lay: &Layout<'_>, title: &str, number: usize, again: bool) -> Block {
    let mut canvas = lay.canvas();
    let aside = "every one of these is replaced; write what went in";
    let section = head::section(lay, number, title, aside, again, lay.area.w);
    let mut y = canvas.place(at(Len::ZERO, Len::ZERO), section);
    let base = y + CAPTION.ascent;
    for ((caption, _, stands), (x, wide)) in COLUMNS.into_iter().zip(columns(lay.area.w)) {
        match stands {
            Align::Centre => canvas.word_centre(x + wide / 2, base, CAPTION, caption),
            _ => {
                canvas.word(x + mm(1.0), base, CAPTION, caption);
            }
        }
    }
    y += CAPTION.leading + mm(0.6);
    canvas.rule(Len::ZERO, y, lay.area.w, BOX);
    canvas.done(y)
}

fn row(lay: &Layout<'_>, item: &RenewItem) -> Block {
    let mut canvas = lay.canvas();
    let columns = columns(lay.area.w);
    let name = TEXT.para(&item.name, columns[1].1 - mm(1.6));
    let height = ROW.max(name.height() + mm(1.6));
    let base = (height - TEXT.leading) / 2 + TEXT.ascent;
    canvas.word(Len::ZERO, base, STRONG, &item.number.to_string());
    let top = (height - name.height()) / 2;
    canvas.write(at(columns[1].0 + mm(1.0), top), &name);
    let (x, wide) = columns[2];
    let count = item.count.to_string();
    canvas.run(at(x + wide / 2, base), STRONG, Align::Centre, &count);
    let (x, wide) = columns[6];
    canvas.tick_box(at(x + (wide - TICK) / 2, (height - TICK) / 2));
    let said = |part| lay.item(item.number, part, 0);
    for (n, part) in [(3, "number"), (4, "batch"), (5, "document"), (7, "initials")] {
        let (x, wide) = columns[n];
        canvas.scribble(at(x + mm(1.0), height - mm(1.0)), wide - mm(1.6), said(part));
    }
    // The count that went in, over the tick where it is not all of them.
    let ticked = at(x + (wide - TICK) / 2, (height - TICK) / 2);
    let whole = said("count").map(|written| if written == count { "v" } else { written });
    canvas.marked(ticked, TICK, whole);
    posts(&mut canvas, &columns, height);
    canvas.rule(Len::ZERO, height, lay.area.w, MINOR);
    canvas.done(height)
}

/// Uprights before each column to write in.
fn posts(canvas: &mut Canvas<'_>, columns: &[(Len, Len); 8], height: Len) {
    for (x, _) in &columns[2..] {
        canvas.post(*x, Len::ZERO, height, MINOR);
    }
}
