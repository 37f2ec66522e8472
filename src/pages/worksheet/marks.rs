//! Lists that are answered once an item, with one mark: look-over, steps.

use super::columns::parcels;
use super::plan;
use super::{Layout, head};
use crate::layout::canvas::{Canvas, HEAVY, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::Entry;
use crate::layout::paginate::{Block, Blocks};
use crate::layout::style::{CAPTION, STRONG, TEXT};
use crate::layout::{area, at};
use crate::pages::boxes::{CELL_H, DATE, INITIALS};
use crate::sheet::{Item, MarksBlock, span};

/// Between two columns of items.
const GAP: Len = mm(5.0);
const NUMBER: Len = mm(6.0);
/// Room that the box takes at the right of an item.
const MARKED: Len = mm(7.0);
/// Side of the box for a mark.
pub const MARK: Len = mm(5.0);
const ROW: Len = mm(5.8);
/// Height of the box for the initials of a list.
const SIGNED: Len = mm(5.4);
/// Items of one block where they stand in two columns.
const CHUNK: usize = 24;
/// The tallest lists abreast that are never split.
const ABREAST: Len = mm(120.0);
/// Between a list and the next one under it.
const STACK: Len = mm(1.4);

fn half(lay: &Layout<'_>) -> Len {
    ((lay.area.w - GAP) / 2 - mm(0.2)).on_grid()
}

/// Lists in two columns, read down the left one first and numbered on, where
/// that is no taller than one list after the other.
pub fn abreast(lay: &Layout<'_>, lists: &[&MarksBlock], number: usize) -> Option<Block> {
    let width = half(lay);
    let numbered = lists.iter().zip(number..);
    let wholes = numbered.map(|(list, number)| whole(lay, list, number, width).above(STACK));
    let mut left: Vec<Block> = wholes.collect();
    let stacked = |lists: &[Block]| -> Len { lists.iter().map(|list| list.height + STACK).sum() };
    let tall = |split: &usize| stacked(&left[..*split]).max(stacked(&left[*split..]));
    let split = (1..left.len()).min_by_key(tall)?;
    let apart: Len = lists.iter().map(|list| height(lay, list)).sum();
    if tall(&split) > ABREAST || tall(&split) > apart {
        return None;
    }
    let right = left.split_off(split);
    Some(Block::abreast(lay.area.w - width, [left, right].map(Block::stacked)))
}

/// Height of a list by itself, over the whole width.
fn height(lay: &Layout<'_>, block: &MarksBlock) -> Len {
    let mut blocks = Blocks::default();
    list(lay, &mut blocks, block, 1);
    blocks.height()
}

/// A whole list in one column.
fn whole(lay: &Layout<'_>, block: &MarksBlock, number: usize, width: Len) -> Block {
    let head = list_head(lay, block, number, false, width);
    let rows = block.items.iter().map(|item| row(lay, item, width));
    let hold = block.hold.iter().map(|key| hold(lay, key, width).above(mm(1.0)));
    Block::stacked(std::iter::once(head).chain(rows).chain(hold))
}

/// Puts a list over the whole width, in two columns where it is long enough.
pub fn list(lay: &Layout<'_>, blocks: &mut Blocks, block: &MarksBlock, number: usize) {
    let width = half(lay);
    let two = block.items.len() >= 2;
    let edges = if two { vec![Len::ZERO, lay.area.w - width] } else { vec![Len::ZERO] };
    let column = if two { width } else { lay.area.w };
    let head = |again| list_head(lay, block, number, again, lay.area.w);
    let again = blocks.headed(plan::GAP, head);
    let most = if two { CHUNK } else { 1 };
    let draw = |items: &[Item]| columns(lay, items, &edges, column);
    let parcels = parcels(&block.items, most, edges.len(), draw);
    let count = parcels.len();
    for (n, (_, parcel)) in parcels.into_iter().enumerate() {
        // A short list is not torn from the inspector's box.
        let keep = block.hold.is_some() && (n + 1 == count || count < 4);
        blocks.push(Block { keep, ..parcel.under([again]) });
    }
    if let Some(key) = &block.hold {
        blocks.push(hold(lay, key, lay.area.w).above(mm(1.0)));
    }
}

/// Items down the columns, so that these end at about one height.
fn columns(lay: &Layout<'_>, items: &[Item], edges: &[Len], width: Len) -> Block {
    let rows: Vec<Block> = items.iter().map(|item| row(lay, item, width)).collect();
    let total: Len = rows.iter().map(|row| row.height).sum();
    let share = total / i32::try_from(edges.len()).unwrap_or(1);
    let mut canvas = lay.canvas();
    let (mut column, mut y, mut tallest) = (0, Len::ZERO, Len::ZERO);
    for row in rows {
        // A row that is more than half past the share begins the next column.
        if column + 1 < edges.len() && y + row.height / 2 > share {
            column += 1;
            y = Len::ZERO;
        }
        y += canvas.place(at(edges[column], y), row);
        tallest = tallest.max(y);
    }
    canvas.done(tallest)
}

fn list_head(
    lay: &Layout<'_>,
    block: &MarksBlock,
    number: usize,
    again: bool,
    width: Len,
) -> Block {
    let numbers = block.items.first().zip(block.items.last());
    let numbers = numbers.map(|(first, last)| (first.number, last.number));
    signed(lay, (number, &block.title), numbers.filter(|_| !again), again, width)
}

/// The head of a list: its title over the width, and at the right one box for
/// the initials of whoever did it, called by its first and last number.
pub fn signed(
    lay: &Layout<'_>,
    (number, title): (usize, &str),
    numbers: Option<(u32, u32)>,
    again: bool,
    width: Len,
) -> Block {
    let mut canvas = lay.canvas();
    let Some((first, last)) = numbers else {
        return head::section(lay, number, title, "", again, width);
    };
    let span = span(first, last);
    let caption = format!("initials {span}");
    let x = width - INITIALS;
    // The title in as many lines as it takes beside the box.
    let room = x - CAPTION.width(&caption) - mm(3.0);
    let section = head::section(lay, number, title, "", again, room);
    let y = canvas.place(at(Len::ZERO, Len::ZERO), section);
    canvas.rule(room, Len::ZERO, width - room, MINOR);
    let top = mm(0.8);
    let y = y.max(top + SIGNED + mm(0.4));
    canvas.word_right(x - mm(1.0), top + mm(3.8), CAPTION, &caption);
    let corner = at(x, top);
    canvas.blank_box(corner, INITIALS, SIGNED);
    let line = at(x + mm(0.6), top + SIGNED - mm(0.4));
    canvas.scribble(line, INITIALS - mm(1.2), lay.initials(first, last).as_deref());
    let over = area(corner.x, corner.y, INITIALS, SIGNED);
    canvas.field(over, Entry::Short, || lay.list_field(&span));
    canvas.done(y)
}

/// The number of an item: never to be taken for the code of a row.
pub fn numeral(canvas: &mut Canvas<'_>, base: Len, number: u32) {
    canvas.word(Len::ZERO, base, TEXT, &format!("{number}."));
}

fn row(lay: &Layout<'_>, item: &Item, width: Len) -> Block {
    let mut canvas = lay.canvas();
    let para = TEXT.para(&item.text, width - NUMBER - MARKED);
    let height = (para.height() + mm(0.8)).on_grid().max(ROW);
    let top = (height - para.height()) / 2;
    numeral(&mut canvas, top + TEXT.ascent, item.number);
    canvas.write(at(NUMBER, top), &para);
    let corner = at(width - MARK, ((height - MARK) / 2).on_grid());
    canvas.mark_box(corner, MARK);
    canvas.marked(corner, MARK, lay.item(item.number, "marks", 0));
    let over = area(corner.x, corner.y, MARK, MARK);
    canvas.field(over, Entry::Letter, || lay.item_field_name(item.number, "1"));
    canvas.done(height).with([lay.item_field(item.number)])
}

/// Work stops here until an inspector has looked.
pub fn hold(lay: &Layout<'_>, key: &str, width: Len) -> Block {
    let mut canvas = lay.canvas();
    let height = mm(15.0);
    canvas.rect(area(Len::ZERO, Len::ZERO, width, height), HEAVY);
    let x = mm(2.4);
    let right = width - DATE - INITIALS - mm(6.0);
    let room = right - x;
    let told = STRONG.fitted(&[12.0, 10.0, 8.4], "HOLD: inspector", room);
    let down = mm(1.6) + canvas.write(at(x, mm(1.6)), &told);
    let words = "no further work before an inspector has signed here";
    canvas.tell(at(x, down + mm(0.4)), CAPTION, words, room);
    let corner = at(right + mm(2.0), mm(1.6));
    canvas.blank_box(corner, INITIALS, CELL_H);
    canvas.initialled(corner, INITIALS, lay.sign(&format!("{key} by")));
    canvas.word(right + mm(2.0), mm(1.6) + CELL_H + mm(3.0), CAPTION, "initials");
    let corner = at(width - DATE - mm(2.0), mm(1.6));
    canvas.date(corner);
    let over = area(right + mm(2.0), mm(1.6), INITIALS, CELL_H);
    canvas.field(over, Entry::Short, || lay.foot_field(&format!("{key}.by")));
    canvas.date_fields(corner, |part| lay.foot_field(&format!("{key}.{part}")));
    if let Some(day) = lay.sign(&format!("{key} on")) {
        canvas.day(corner, day);
    }
    canvas.done(height)
}
