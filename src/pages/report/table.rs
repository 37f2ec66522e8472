//! Tables that break between rows, with their heads repeated.

use super::figures::{FigureColumn, Line, Points};
use super::text::{BODY, BOLD, ITALIC, Setter};
use crate::layout::at;
use crate::layout::canvas::{BOX, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Pen};
use crate::layout::paginate::{Block, Blocks};
use crate::layout::style::{Para, TextStyle};
use crate::report::{Cell, Column, TableGroup};

const GAP: Len = mm(3.0);
/// White above and below heads and remarks.
const PAD: Len = mm(0.8);
/// The same around the rows of groups, which are many and short.
const CLOSE: Len = mm(0.5);

/// A row as it is set: with white above and below it, a rule under it, and the
/// heads that are repeated over it.
#[derive(Clone, Copy)]
struct Look<'a> {
    pad: Len,
    rule: Pen,
    heads: &'a [usize],
}

pub fn table(set: &Setter, blocks: &mut Blocks, heads: &[Column], rows: &[Vec<Cell>]) {
    let all: Vec<&Vec<Cell>> = rows.iter().collect();
    let columns = columns(set, heads, &all);
    let head = blocks.headed(set.mm(2.6, 1.6), |_| head(set, &columns, heads));
    let look = Look { pad: set.mm(0.6, 0.4), rule: BOX, heads: &[head] };
    if rows.is_empty() {
        row(set, blocks, &columns, &[Cell::plain("none")], look);
    }
    for (n, cells) in rows.iter().enumerate() {
        let rule = if n + 1 == rows.len() { BOX } else { MINOR };
        row(set, blocks, &columns, cells, Look { rule, ..look });
    }
}

/// Rows in groups: the row that heads a group stands again where the group goes
/// on over the page.
pub fn grouped(set: &Setter, blocks: &mut Blocks, heads: &[Column], groups: &[TableGroup]) {
    let titles = groups.iter().map(|group| &group.head);
    let all: Vec<&Vec<Cell>> = titles.chain(groups.iter().flat_map(|group| &group.rows)).collect();
    let columns = columns(set, heads, &all);
    let head = blocks.headed(set.mm(2.6, 1.6), |_| head(set, &columns, heads));
    for (n, group) in groups.iter().enumerate() {
        let end = if n + 1 == groups.len() { BOX } else { MINOR };
        let mut over = vec![head];
        if !group.head.is_empty() {
            let rule = if group.rows.is_empty() { end } else { MINOR };
            let look = Look { pad: CLOSE, rule, heads: &[head] };
            let first = blocks.list.len();
            row(set, blocks, &columns, &group.head, look);
            // What heads a group stays with its first row. One that takes much
            // of a page by itself is not repeated.
            if let [title] = &mut blocks.list[first..]
                && title.height <= set.room / 4
            {
                title.keep = !group.rows.is_empty();
                let again = Block { heads: Vec::new(), keep: false, ..title.clone() };
                over.push(blocks.repeated(again));
            }
        }
        for (m, cells) in group.rows.iter().enumerate() {
            let rule = if m + 1 == group.rows.len() { end } else { MINOR };
            row(set, blocks, &columns, cells, Look { pad: CLOSE, rule, heads: &over });
        }
    }
}

fn style_of(set: &Setter, cell: &Cell) -> TextStyle {
    set.fit(if cell.bold { BOLD } else { BODY })
}

/// Shares of the width, but no column is narrower than its longest word while
/// others have room to give.
fn columns(set: &Setter, heads: &[Column], rows: &[&Vec<Cell>]) -> Vec<FigureColumn> {
    let count = heads.len().max(1) as i32;
    let room = set.width - GAP * (count - 1);
    let least = |n: usize, column: &Column| {
        let cells = rows.iter().filter_map(|row| row.get(n));
        let words = cells.map(|cell| style_of(set, cell).longest_word(&cell.text));
        let words = words.max().unwrap_or(Len::ZERO);
        let figures = points(set, n, column, rows).map_or(Len::ZERO, Points::width);
        let head = set.fit(BOLD).longest_word(&column.head);
        // The figures of a column stand in one line only where they have room.
        words.max(figures).max(head).min(room / 3) + mm(0.1)
    };
    let least: Vec<Len> = heads.iter().enumerate().map(|(n, c)| least(n, c)).collect();
    let shares: Vec<u32> = heads.iter().map(|c| u32::from(c.share.max(1))).collect();
    let mut x = Len::ZERO;
    let mut columns = Vec::new();
    for (n, width) in shared(room, &shares, &least).into_iter().enumerate() {
        columns.push(FigureColumn::new(x, width, points(set, n, &heads[n], rows)));
        x += width + GAP;
    }
    columns
}

fn points(set: &Setter, n: usize, column: &Column, rows: &[&Vec<Cell>]) -> Option<Points> {
    if !column.figures {
        return None;
    }
    let mut points = Points::default();
    for cell in rows.iter().filter_map(|row| row.get(n)) {
        points.take(style_of(set, cell), &cell.text);
    }
    Some(points)
}

/// Shares out a width: who would get less than the least is given that, and
/// the others share what is left, until all are served.
fn shared(room: Len, shares: &[u32], least: &[Len]) -> Vec<Len> {
    let mut given: Vec<Option<Len>> = vec![None; shares.len()];
    loop {
        let taken: Len = given.iter().flatten().copied().sum();
        let left = (room - taken).max(Len::ZERO);
        let open = |n: &usize| given[*n].is_none();
        let sum: u32 = (0..shares.len()).filter(open).map(|n| shares[n]).sum();
        let part = |n: usize| left.scale(f64::from(shares[n]) / f64::from(sum.max(1)));
        let short: Vec<usize> =
            (0..shares.len()).filter(open).filter(|n| part(*n) < least[*n]).collect();
        if short.is_empty() {
            let width = |n: usize| given[n].unwrap_or_else(|| part(n));
            return (0..shares.len()).map(width).collect();
        }
        let wanted: Len = short.iter().map(|n| least[*n]).sum();
        if wanted > left {
            // Not even the longest words fit: they are broken.
            return (0..shares.len()).map(|n| given[n].unwrap_or_else(|| part(n))).collect();
        }
        short.into_iter().for_each(|n| given[n] = Some(least[n]));
    }
}

fn head(set: &Setter, columns: &[FigureColumn], heads: &[Column]) -> Block {
    let style = set.fit(BOLD);
    let cells = columns.iter().zip(heads);
    let cells = cells.map(|(column, head)| style.para(&head.head, column.width));
    let cells: Vec<Para> = cells.collect();
    let deepest = cells.iter().map(Para::height).max().unwrap_or_default().max(style.leading);
    let mut canvas = set.canvas();
    canvas.rule(Len::ZERO, Len::ZERO, set.width, BOX);
    for (column, para) in columns.iter().zip(cells) {
        // Heads stand on the rule under them.
        canvas.write(at(column.x, PAD + deepest - para.height()), &para);
    }
    let height = PAD * 2 + deepest;
    canvas.rule(Len::ZERO, height, set.width, BOX);
    canvas.block(height)
}

fn row(
    set: &Setter,
    blocks: &mut Blocks,
    columns: &[FigureColumn],
    cells: &[Cell],
    look: Look<'_>,
) {
    // The last cell of a short row has all the room that is left.
    let short = cells.len() < columns.len();
    let wide = |n: usize| short && n + 1 == cells.len();
    let cells = columns.iter().zip(cells).enumerate().map(|(n, (column, cell))| {
        let all = FigureColumn::new(column.x, set.width - column.x, None);
        let column = if wide(n) { all } else { *column };
        column.lines(style_of(set, cell), &cell.text)
    });
    let cells: Vec<Vec<Line>> = cells.collect();
    let deepest = cells.iter().map(Vec::len).max().unwrap_or(1);
    let (leading, pad) = (set.fit(BODY).leading, look.pad);
    let height = leading.times(deepest) + pad * 2;
    let over: Len = look.heads.iter().map(|head| blocks.repeat(*head).height).sum();
    if height + over > set.room {
        return tall_row(set, blocks, cells, deepest, look);
    }
    let mut canvas = set.canvas();
    for cell in cells {
        for (n, line) in cell.into_iter().enumerate() {
            line.put(&mut canvas, pad + leading.times(n));
        }
    }
    canvas.rule(Len::ZERO, height, set.width, look.rule);
    blocks.push(canvas.block(height).under(look.heads));
}

/// A row taller than a page goes line by line, and says where it goes on.
fn tall_row(
    set: &Setter,
    blocks: &mut Blocks,
    cells: Vec<Vec<Line>>,
    deepest: usize,
    look: Look<'_>,
) {
    let (style, pad) = (set.fit(ITALIC), look.pad);
    let last = deepest.saturating_sub(1);
    let mut cells: Vec<_> = cells.into_iter().map(Vec::into_iter).collect();
    let pieces = (0..deepest).map(|n| {
        let mut canvas = set.canvas();
        let top = if n == 0 { pad } else { Len::ZERO };
        for line in cells.iter_mut().filter_map(Iterator::next) {
            line.put(&mut canvas, top);
        }
        let mut height = top + style.leading;
        if n == last {
            height += pad;
            canvas.rule(Len::ZERO, height, set.width, look.rule);
        }
        canvas.block(height)
    });
    pieces_of_row(set, blocks, pieces.collect(), look.heads);
}

/// Puts the pieces of a row that is broken over pages: each page says where
/// the row goes on and that it does.
pub fn pieces_of_row(set: &Setter, blocks: &mut Blocks, pieces: Vec<Block>, heads: &[usize]) {
    let style = set.fit(ITALIC);
    let height = style.leading + PAD;
    let mut canvas = set.canvas();
    canvas.set(at(Len::ZERO, PAD / 2), style, Align::Left, "row continued");
    let again = [heads, &[blocks.repeated(canvas.block(height))]].concat();
    let mut canvas = set.canvas();
    let words = "row continued on the next page";
    canvas.set(at(set.width, PAD / 2), style, Align::Right, words);
    canvas.rule(Len::ZERO, height, set.width, MINOR);
    let foot = blocks.repeated(canvas.block(height));
    let last = pieces.len().saturating_sub(1);
    for (n, piece) in pieces.into_iter().enumerate() {
        blocks.push(Block {
            foot: (n != last).then_some(foot),
            keep: n < 2 || n + 1 == last,
            ..piece.under(if n == 0 { heads } else { &again })
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_share_falls_below_the_least_while_others_can_give() {
        let mm = Len::mm;
        let widths = shared(mm(100.0), &[1, 1, 2], &[mm(40.0), mm(5.0), mm(5.0)]);
        assert_eq!(widths, [mm(40.0), mm(20.0), mm(40.0)]);
        let narrow = shared(mm(10.0), &[1, 1], &[mm(40.0), mm(40.0)]);
        assert_eq!(narrow, [mm(5.0), mm(5.0)]);
    }
}
