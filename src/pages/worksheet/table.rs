//! Tables to write in: a grid of boxes, a row for each thing or blank rows.

use super::Layout;
use super::marks::{MARK, numeral, signed};
use crate::layout::canvas::{BOX, Canvas, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Entry};
use crate::layout::paginate::{Block, Blocks};
use crate::layout::style::{CAPTION, Para, TEXT};
use crate::layout::{area, at};
use crate::sheet::{Item, TableBlock};

const NUMBER: Len = mm(6.0);
/// Room for a line of writing.
const ROW: Len = mm(6.8);
/// Around what is printed in a box.
const PAD: Len = mm(0.8);

/// Left edges and widths: of what a row is of, where rows are named, and of each
/// column.
struct Grid {
    name: Len,
    columns: Vec<(Len, Len)>,
}

pub fn table(lay: &Layout<'_>, blocks: &mut Blocks, block: &TableBlock, number: usize) {
    let grid = measured(lay, block);
    let numbers = block.items.first().zip(block.items.last()).filter(|_| block.is_ticked());
    let numbers = numbers.map(|(first, last)| (first.number, last.number));
    let head = |again: bool| {
        let numbers = numbers.filter(|_| !again);
        table_head(lay, &grid, block, (number, numbers), again)
    };
    let again = blocks.headed(mm(2.0), head);
    for item in &block.items {
        let row = row(lay, &grid, block, item).under([again]);
        blocks.push(row.with([lay.item_field(item.number)]));
    }
}

/// A name has as much room as the longest takes, less than half of the width.
fn measured(lay: &Layout<'_>, block: &TableBlock) -> Grid {
    let longest = block.items.iter().map(|item| TEXT.width(&item.text)).max();
    let longest = longest.filter(|_| block.named).map(|longest| longest + PAD + PAD);
    let name = longest.unwrap_or_default().on_grid().min(lay.area.w * 9 / 20);
    let room = lay.area.w - NUMBER - name;
    let total: u32 = block.heads.iter().map(|head| head.share).sum();
    let (mut x, mut columns) = (NUMBER + name, Vec::new());
    for column in &block.heads {
        let wide = room * share(column.share) / share(total).max(1);
        columns.push((x, wide));
        x += wide;
    }
    Grid { name, columns }
}

fn share(share: u32) -> i32 {
    i32::try_from(share).unwrap_or(i32::MAX)
}

fn table_head(
    lay: &Layout<'_>,
    grid: &Grid,
    block: &TableBlock,
    (number, numbers): (usize, Option<(u32, u32)>),
    again: bool,
) -> Block {
    let mut canvas = lay.canvas();
    let section = signed(lay, (number, &block.title), numbers, again, lay.area.w);
    let mut y = canvas.place(at(Len::ZERO, Len::ZERO), section);
    if block.none && !again {
        let aside = "rows left over stay blank; write none in the first where there is none";
        y += canvas.tell(at(Len::ZERO, y), CAPTION, aside, lay.area.w);
    }
    let heads: Vec<Para> = block
        .heads
        .iter()
        .zip(&grid.columns)
        .map(|(column, (_, wide))| CAPTION.para(&column.head, *wide - PAD))
        .collect();
    let tallest = heads.iter().map(Para::height).max().unwrap_or_default();
    for ((column, (x, wide)), head) in block.heads.iter().zip(&grid.columns).zip(&heads) {
        let top = y + tallest - head.height();
        match column.tick {
            true => canvas.write_aligned(at(*x + *wide / 2, top), head, Align::Centre),
            false => canvas.write(at(*x + PAD, top), head),
        };
    }
    y += tallest + mm(0.4);
    canvas.rule(Len::ZERO, y, lay.area.w, BOX);
    canvas.done(y)
}

fn row(lay: &Layout<'_>, grid: &Grid, block: &TableBlock, item: &Item) -> Block {
    let mut canvas = lay.canvas();
    let text = if block.named { item.text.as_str() } else { "" };
    let name = TEXT.para(text, (grid.name - PAD).max(PAD));
    let height = ROW.max((name.height() + mm(1.2)).on_grid());
    numeral(&mut canvas, (height - TEXT.leading) / 2 + TEXT.ascent, item.number);
    if block.named {
        canvas.write(at(NUMBER, (height - name.height()) / 2), &name);
    }
    for (n, (column, (x, wide))) in block.heads.iter().zip(&grid.columns).enumerate() {
        canvas.post(*x, Len::ZERO, height, MINOR);
        let written = lay.item(item.number, "cells", n);
        let named = || lay.item_field_name(item.number, &(n + 1).to_string());
        if column.tick {
            let corner = at(*x + (*wide - MARK) / 2, ((height - MARK) / 2).on_grid());
            canvas.mark_box(corner, MARK);
            canvas.marked(corner, MARK, written);
            canvas.field(area(corner.x, corner.y, MARK, MARK), Entry::Letter, named);
        } else {
            let line = at(*x + PAD, height - mm(0.8));
            canvas.scribble(line, *wide - PAD - PAD, written);
            canvas.words_field(line, *wide - PAD - PAD, named);
        }
    }
    alone(lay, &mut canvas, grid, item, height);
    canvas.rule(Len::ZERO, height, lay.area.w, MINOR);
    canvas.done(height)
}

/// What is written over a whole row: none, or that it does not apply.
fn alone(lay: &Layout<'_>, canvas: &mut Canvas<'_>, grid: &Grid, item: &Item, height: Len) {
    let written = lay.item(item.number, "words", 0).or_else(|| lay.item(item.number, "marks", 0));
    if let Some((x, wide)) = grid.columns.first() {
        canvas.scribble(at(*x + PAD, height - mm(0.8)), *wide - PAD - PAD, written);
    }
}
