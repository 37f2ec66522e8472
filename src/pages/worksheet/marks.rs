//! Lists of ticks that are answered once an item: look-over, steps.

use super::columns::parcels;
use super::{Layout, head};
use crate::layout::canvas::{Canvas, HEAVY, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::paginate::{Block, Blocks};
use crate::layout::style::{CAPTION, SECTION, STRONG, TEXT};
use crate::layout::{area, at};
use crate::model::record::Mark;
use crate::pages::boxes::{CELL_H, DATE, INITIALS, TICK};
use crate::sheet::{Item, MarksBlock, MarksKind};

/// Between two columns of items.
const GAP: Len = mm(5.0);
const NUMBER: Len = mm(6.0);
/// From one tick box to the next.
const PITCH: Len = mm(8.6);
const ROW: Len = mm(7.0);
const SIGNED: Len = mm(5.8);
/// Items of one block where they stand in two columns.
const CHUNK: usize = 24;
/// The tallest lists abreast that are never split.
const ABREAST: Len = mm(120.0);
/// Between a list and the next one under it.
const STACK: Len = mm(1.4);

/// What is ticked: the mark that it stands for, and its caption.
pub fn answers(kind: MarksKind) -> &'static [(Mark, &'static str)] {
    match kind {
        MarksKind::LookOver => {
            &[(Mark::Ok, "ok"), (Mark::Found, "found"), (Mark::NotApplicable, "n.a.")]
        }
        MarksKind::Steps | MarksKind::Before => {
            &[(Mark::Ok, "done"), (Mark::NotApplicable, "n.a.")]
        }
    }
}

/// How a mark is typed.
fn letter(mark: Mark) -> &'static str {
    match mark {
        Mark::Ok => "v",
        Mark::Found => "x",
        Mark::NotApplicable => "n",
        Mark::Blank => "",
    }
}

fn half(lay: &Layout<'_>) -> Len {
    ((lay.area.w - GAP) / 2 - mm(0.2)).on_grid()
}

/// Room that the boxes take at the right of an item.
fn boxes(kind: MarksKind) -> Len {
    PITCH.times(answers(kind).len()) + INITIALS + mm(1.4)
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
    let head = list_head(lay, block, number, false, width, &[Len::ZERO]);
    let rows = block.items.iter().map(|item| row(lay, block.kind, item, width));
    let hold = block.hold.iter().map(|key| hold(lay, key, width).above(mm(1.0)));
    Block::stacked(std::iter::once(head).chain(rows).chain(hold))
}

/// Puts a list over the whole width, in two columns where it is long enough.
pub fn list(lay: &Layout<'_>, blocks: &mut Blocks, block: &MarksBlock, number: usize) {
    let width = half(lay);
    let two = block.items.len() >= 3;
    let edges = if two { vec![Len::ZERO, lay.area.w - width] } else { vec![Len::ZERO] };
    let column = if two { width } else { lay.area.w };
    let head = |again| list_head(lay, block, number, again, lay.area.w, &edges);
    let again = blocks.headed(mm(2.0), head);
    let most = if two { CHUNK } else { 1 };
    let draw = |items: &[Item]| columns(lay, block.kind, items, &edges, column);
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
fn columns(lay: &Layout<'_>, kind: MarksKind, items: &[Item], edges: &[Len], width: Len) -> Block {
    let rows: Vec<Block> = items.iter().map(|item| row(lay, kind, item, width)).collect();
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

/// Title over the width, and what is ticked over each column of boxes.
fn list_head(
    lay: &Layout<'_>,
    block: &MarksBlock,
    number: usize,
    again: bool,
    width: Len,
    edges: &[Len],
) -> Block {
    let mut canvas = lay.canvas();
    let title = head::section(lay, number, &block.title, "", again, width);
    let column = if edges.len() > 1 { half(lay) } else { width };
    let words = SECTION.width(&block.title) + mm(26.0);
    // The title beside the captions where it is short, else above them.
    let beside = words + boxes(block.kind) <= column;
    let title = canvas.place(at(Len::ZERO, Len::ZERO), title);
    let base = match beside {
        true => mm(0.8) + SECTION.ascent,
        false => title + CAPTION.ascent,
    };
    for edge in edges {
        captions(&mut canvas, block.kind, *edge + column, base);
    }
    canvas.done(if beside { title } else { title + CAPTION.leading })
}

fn captions(canvas: &mut Canvas<'_>, kind: MarksKind, right: Len, base: Len) {
    let first = right - boxes(kind) + mm(1.4);
    for (n, (_, word)) in answers(kind).iter().enumerate() {
        let x = first + PITCH.times(n) + TICK / 2;
        canvas.word_centre(x, base, CAPTION, word);
    }
    canvas.word(right - INITIALS, base, CAPTION, "initials");
}

fn row(lay: &Layout<'_>, kind: MarksKind, item: &Item, width: Len) -> Block {
    let mut canvas = lay.canvas();
    let para = TEXT.para(&item.text, width - NUMBER - boxes(kind));
    let height = (para.height() + mm(1.0)).on_grid().max(ROW);
    let top = (height - para.height()) / 2;
    let number = item.number.to_string();
    canvas.word(Len::ZERO, top + TEXT.ascent, STRONG, &number);
    canvas.write(at(NUMBER, top), &para);
    let first = width - boxes(kind) + mm(1.4);
    let mark = lay.item(item.number, "marks", 0);
    for (n, (answer, _)) in answers(kind).iter().enumerate() {
        let x = first + PITCH.times(n);
        let corner = at(x, ((height - TICK) / 2).on_grid());
        canvas.tick_box(corner);
        canvas.marked(corner, TICK, mark.filter(|mark| *mark == letter(*answer)).map(|_| "v"));
    }
    let corner = at(width - INITIALS, ((height - SIGNED) / 2).on_grid());
    canvas.blank_box(corner, INITIALS, SIGNED);
    let line = at(corner.x + mm(0.6), corner.y + SIGNED - mm(0.4));
    canvas.scribble(line, INITIALS - mm(1.2), lay.item(item.number, "initials", 0));
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
    if let Some(day) = lay.sign(&format!("{key} on")) {
        canvas.day(corner, day);
    }
    canvas.done(height)
}

/// A light line under a row, to lead the eye to its boxes.
pub fn lead_line(canvas: &mut Canvas<'_>, y: Len, width: Len) {
    canvas.rule(Len::ZERO, y, width, MINOR);
}
