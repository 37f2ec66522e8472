//! Parts that are always renewed: each with its number, batch and document.

use super::Layout;
use super::columns::shares;
use super::marks::{numeral, signed};
use super::plan;
use crate::layout::canvas::{BOX, Canvas, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Entry};
use crate::layout::paginate::{Block, Blocks};
use crate::layout::style::{CAPTION, STRONG, TEXT};
use crate::layout::{area, at};
use crate::pages::boxes::TICK;
use crate::sheet::{RenewItem, fields};

const ROW: Len = mm(8.6);
/// Caption, share of the width, and where the caption stands.
const COLUMNS: [(&str, i32, Align); 7] = [
    ("", 6, Align::Left),
    ("part", 44, Align::Left),
    ("how many", 13, Align::Centre),
    ("part number", 35, Align::Left),
    ("serial or batch", 33, Align::Left),
    ("release document", 33, Align::Left),
    ("renewed", 11, Align::Centre),
];

fn columns(width: Len) -> [(Len, Len); 7] {
    shares(COLUMNS.map(|(_, share, _)| share), width)
}

pub fn renew(
    lay: &Layout<'_>,
    blocks: &mut Blocks,
    title: &str,
    items: &[RenewItem],
    number: usize,
) {
    let numbers = items.first().zip(items.last());
    let numbers = numbers.map(|(first, last)| (first.number, last.number));
    let head = |again: bool| table_head(lay, (number, title), numbers.filter(|_| !again), again);
    let again = blocks.headed(plan::GAP, head);
    for item in items {
        blocks.push(row(lay, item).under([again]).with([lay.item_field(item.number)]));
    }
}

fn table_head(
    lay: &Layout<'_>,
    title: (usize, &str),
    numbers: Option<(u32, u32)>,
    again: bool,
) -> Block {
    let mut canvas = lay.canvas();
    let mut y =
        canvas.place(at(Len::ZERO, Len::ZERO), signed(lay, title, numbers, again, lay.area.w));
    let aside = "every one of these is replaced; write what went in";
    y += canvas.tell(at(mm(1.0), y), TEXT, aside, lay.area.w) + mm(0.4);
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
    numeral(&mut canvas, base, item.number);
    let top = (height - name.height()) / 2;
    canvas.write(at(columns[1].0 + mm(1.0), top), &name);
    let (x, wide) = columns[2];
    let count = item.count.to_string();
    canvas.run(at(x + wide / 2, base), STRONG, Align::Centre, &count);
    let (x, wide) = columns[6];
    canvas.tick_box(at(x + (wide - TICK) / 2, (height - TICK) / 2));
    let said = |part| lay.item(item.number, part, 0);
    for (n, part) in [(3, "number"), (4, "batch"), (5, "document")] {
        let (x, wide) = columns[n];
        canvas.scribble(at(x + mm(1.0), height - mm(1.0)), wide - mm(1.6), said(part));
        let line = at(x + mm(0.4), height - mm(0.6));
        canvas.words_field(line, wide - mm(0.8), || lay.item_field_name(item.number, part));
    }
    // The count that went in, over the tick where it is not all of them.
    let ticked = at(x + (wide - TICK) / 2, (height - TICK) / 2);
    let whole = said("count").map(|written| if written == count { "v" } else { written });
    canvas.marked(ticked, TICK, whole);
    let over = area(ticked.x, ticked.y, TICK, TICK);
    canvas.field(over, Entry::Short, || lay.item_field_name(item.number, fields::COUNT));
    posts(&mut canvas, &columns, height);
    canvas.rule(Len::ZERO, height, lay.area.w, MINOR);
    canvas.done(height)
}

/// Uprights before each column to write in.
fn posts(canvas: &mut Canvas<'_>, columns: &[(Len, Len); 7], height: Len) {
    for (x, _) in &columns[2..] {
        canvas.post(*x, Len::ZERO, height, MINOR);
    }
}
