//! Blanks to fill in with words or figures.

use super::grid::{self, Cells, List};
use super::marks::numeral;
use super::plan;
use super::{Layout, head};
use crate::layout::at;
use crate::layout::canvas::{HAIR, mm};
use crate::layout::length::Len;
use crate::layout::paginate::{Block, Blocks};
use crate::layout::style::TEXT;
use crate::sheet::{Item, fields};

const NUMBER: Len = mm(6.0);
const GAP: Len = mm(4.0);
/// The least room to write in.
const ROOM: Len = mm(34.0);
const LINE: Len = mm(8.0);

pub fn write(lay: &Layout<'_>, blocks: &mut Blocks, list: List<'_>, number: usize) {
    let (title, columns, items) = list;
    if !columns.is_empty() {
        let cells = Cells::Words;
        grid::grid(lay, blocks, (title, columns, items), number, cells);
        return;
    }
    let head = |again| head::section(lay, number, title, "", again, lay.area.w);
    let again = blocks.headed(plan::GAP, head);
    let half = (lay.area.w - GAP) / 2;
    let longest = items.iter().map(|item| TEXT.width(&item.text)).max();
    let narrow = longest.is_some_and(|longest| NUMBER + longest + ROOM <= half);
    if narrow && items.len() > 1 {
        for pair in items.chunks(2) {
            let lines = pair.iter().map(|item| line(lay, item, half));
            blocks.push(Block::abreast(half + GAP, lines).under([again]));
        }
        return;
    }
    for item in items {
        blocks.push(line(lay, item, lay.area.w).under([again]));
    }
}

fn line(lay: &Layout<'_>, item: &Item, width: Len) -> Block {
    let mut canvas = lay.canvas();
    let most = (width - NUMBER) * 11 / 20;
    let para = TEXT.para(&item.text, most);
    let height = (para.height() + mm(1.6)).on_grid().max(LINE);
    let top = height - mm(1.4) - para.height();
    numeral(&mut canvas, top + TEXT.ascent, item.number);
    canvas.write(at(NUMBER, top), &para);
    let x = (NUMBER + para.width() + mm(2.0)).on_grid();
    canvas.rule(x, height - mm(1.0), width - x, HAIR);
    let written = lay.item(item.number, "words", 0);
    canvas.scribble(at(x + mm(0.6), height - mm(1.0)), width - x - mm(0.6), written);
    let line = at(x, height - mm(1.0));
    canvas.words_field(line, width - x, || lay.item_field_name(item.number, fields::WORDS));
    canvas.done(height).with([lay.item_field(item.number)])
}
