//! Lists that are answered at every place: a box for each, under its code.

use super::Layout;
use super::marks::{MARK, hold, numeral, signed};
use super::plan;
use crate::layout::canvas::{Canvas, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Entry};
use crate::layout::paginate::{Block, Blocks};
use crate::layout::style::{CAPTION, LABEL, TEXT};
use crate::layout::{area, at};
use crate::sheet::{Columns, Item, MarksBlock};

/// What goes into a cell.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Cells {
    Marks,
    Words,
}

/// Title, columns and items.
pub type List<'a> = (&'a str, &'a Columns, &'a [Item]);

const NUMBER: Len = mm(6.0);
/// The least room for the text of an item.
const TOLD: Len = mm(44.0);

/// Between the title and the codes beside it.
const BESIDE: Len = mm(1.0);

/// The measures of a grid over the columns from `from`.
struct Grid<'a> {
    columns: &'a [(String, String)],
    from: usize,
    pitch: Len,
    cell: (Len, Len),
    told: Len,
    /// Names under the codes, or in a sentence where they are too long.
    named: bool,
}

pub fn marks(lay: &Layout<'_>, blocks: &mut Blocks, block: &MarksBlock, number: usize) {
    let cells = Cells::Marks;
    grid(lay, blocks, (&block.title, &block.columns, &block.items), number, cells);
    if let Some(key) = &block.hold {
        if let Some(last) = blocks.list.last_mut() {
            last.keep = true;
        }
        blocks.push(hold(lay, key, lay.area.w).above(mm(1.0)));
    }
}

pub fn grid(lay: &Layout<'_>, blocks: &mut Blocks, list: List<'_>, number: usize, cells: Cells) {
    let (_, columns, items) = list;
    let least = match cells {
        Cells::Marks => mm(6.2),
        Cells::Words => mm(14.0),
    };
    let room = lay.area.w - NUMBER - TOLD;
    let most = usize::try_from(room.um() / least.um()).unwrap_or(1).max(1);
    // As even as can be: seventeen columns are nine and eight.
    let parts = columns.len().div_ceil(most).max(1);
    let each = columns.len().div_ceil(parts).max(1);
    for (n, columns) in columns.chunks(each).enumerate() {
        let grid = Grid { from: n * each, ..measures(lay, columns, room, cells) };
        let numbers = items.first().zip(items.last()).filter(|_| cells == Cells::Marks);
        let numbers = numbers.map(|(first, last)| (first.number, last.number));
        let head = |again: bool| {
            let again = again || n > 0;
            grid_head(lay, (number, list.0), again, numbers.filter(|_| !again), &grid)
        };
        let again = blocks.headed(plan::GAP, head);
        for item in items {
            let block = row(lay, &grid, item, cells).under([again]);
            blocks.push(block.with([lay.item_field(item.number)]));
        }
    }
}

fn measures<'a>(
    lay: &Layout<'_>,
    columns: &'a [(String, String)],
    room: Len,
    cells: Cells,
) -> Grid<'a> {
    let most = match cells {
        Cells::Marks => mm(13.0),
        Cells::Words => mm(32.0),
    };
    let count = i32::try_from(columns.len()).unwrap_or(1).max(1);
    let pitch = mm(0.2) * (room / count).min(most).um().div_euclid(200);
    let cell = match cells {
        Cells::Marks => (MARK, MARK),
        Cells::Words => (pitch - mm(1.2), mm(7.6)),
    };
    let fits = |name: &str| {
        let para = CAPTION.para(name, pitch - mm(0.8));
        let whole = name.split(' ').all(|word| CAPTION.width(word) <= pitch - mm(0.8));
        whole && para.lines.len() <= 3
    };
    Grid {
        columns,
        from: 0,
        pitch,
        cell,
        told: lay.area.w - NUMBER - pitch * count,
        named: columns.iter().all(|(_, name)| fits(name)),
    }
}

fn grid_head(
    lay: &Layout<'_>,
    title: (usize, &str),
    again: bool,
    numbers: Option<(u32, u32)>,
    grid: &Grid<'_>,
) -> Block {
    let mut canvas = lay.canvas();
    let section = signed(lay, title, numbers, again, lay.area.w);
    let beside = signed(lay, title, numbers, again, NUMBER + grid.told - BESIDE);
    if grid.named && beside.height < section.height + codes(&mut lay.canvas(), grid, Len::ZERO) {
        // The codes beside the title, in the same band.
        let told = canvas.place(at(Len::ZERO, Len::ZERO), beside);
        canvas.rule(Len::ZERO, Len::ZERO, lay.area.w, MINOR);
        let y = mm(0.8) + codes(&mut canvas, grid, mm(0.8));
        return canvas.done(y.max(told));
    }
    let mut y = canvas.place(at(Len::ZERO, Len::ZERO), section);
    if !grid.named {
        let names = grid.columns.iter().map(|(code, name)| format!("{code} {name}"));
        let names = names.collect::<Vec<_>>().join(" · ");
        y += canvas.tell(at(Len::ZERO, y), CAPTION, &names, lay.area.w) + mm(0.6);
    }
    y += codes(&mut canvas, grid, y);
    canvas.done(y)
}

fn codes(canvas: &mut Canvas<'_>, grid: &Grid<'_>, y: Len) -> Len {
    let paras = grid.columns.iter().map(|(code, name)| {
        let code = LABEL.sized(7.6).para(code, grid.pitch - mm(0.4));
        let name = if grid.named { name.as_str() } else { "" };
        (code, CAPTION.para(name, grid.pitch - mm(0.8)))
    });
    let paras: Vec<_> = paras.collect();
    let tallest = paras.iter().map(|(code, name)| code.height() + name.height()).max();
    let tallest = tallest.unwrap_or_default() + mm(0.4);
    for (n, (code, name)) in paras.iter().enumerate() {
        let x = NUMBER + grid.told + grid.pitch.times(n) + grid.pitch / 2;
        let down = canvas.write_aligned(at(x, y), code, Align::Centre);
        canvas.write_aligned(at(x, y + down), name, Align::Centre);
    }
    tallest
}

fn row(lay: &Layout<'_>, grid: &Grid<'_>, item: &Item, cells: Cells) -> Block {
    let mut canvas = lay.canvas();
    let para = TEXT.para(&item.text, grid.told - mm(2.0));
    let (wide, tall) = grid.cell;
    let height = (para.height() + mm(1.2)).on_grid().max(tall + mm(1.4));
    let top = (height - para.height()) / 2;
    numeral(&mut canvas, top + TEXT.ascent, item.number);
    canvas.write(at(NUMBER, top), &para);
    for (n, (code, _)) in grid.columns.iter().enumerate() {
        let x = NUMBER + grid.told + grid.pitch.times(n);
        let corner = at(x + (grid.pitch - wide) / 2, ((height - tall) / 2).on_grid());
        match cells {
            Cells::Marks => {
                canvas.mark_box(corner, wide);
                canvas.marked(corner, wide, lay.item(item.number, "marks", grid.from + n));
                let part = (grid.from + n + 1).to_string();
                let over = area(corner.x, corner.y, wide, wide);
                canvas.field(over, Entry::Letter, || lay.item_field_name(item.number, &part));
            }
            Cells::Words => {
                canvas.blank_box(corner, wide, tall);
                let line = at(corner.x + mm(0.6), corner.y + tall - mm(0.4));
                canvas.scribble(line, wide - mm(1.2), lay.item(item.number, code, 0));
                let over = area(corner.x, corner.y, wide, tall);
                canvas.field(over, Entry::Words, || lay.item_field_name(item.number, code));
            }
        }
    }
    // To lead the eye to the boxes.
    canvas.rule(Len::ZERO, height, lay.area.w, MINOR);
    canvas.done(height)
}
