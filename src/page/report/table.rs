//! Tables that break between rows, with their heads repeated.

use std::sync::Arc;

use super::band::{Band, PLAIN, Strip, THIN};
use super::figures::Points;
use super::text::{BODY, BOLD, ITALIC, Setter, Style, line_at};
use crate::page::length::Len;
use crate::page::mark::{Align, Pen};
use crate::report::{Cell, Column};

const GAP: Len = Len::mm(3.0);
/// White above and below heads and remarks.
const PAD: Len = Len::mm(0.8);

/// Where a column stands and how its figures are aligned.
struct Lane {
    x: Len,
    width: Len,
    points: Option<Points>,
}

/// One line of a cell, ready to be set.
struct Line {
    x: Len,
    style: Style,
    text: String,
}

pub fn table(set: &Setter, columns: &[Column], rows: &[Vec<Cell>]) -> Vec<Band> {
    let lanes = lanes(set, columns, rows);
    let head = head(set, &lanes, columns);
    let heads = Arc::new(vec![head.clone()]);
    let gap = Len::mm(if set.snug { 1.6 } else { 2.6 });
    let mut bands = vec![Band { keep: true, ..Band::new(head, gap) }];
    if rows.is_empty() {
        let none = vec![Cell::plain("none")];
        bands.extend(row(set, &lanes, &none, PLAIN, &heads));
    }
    for (n, cells) in rows.iter().enumerate() {
        let pen = if n + 1 == rows.len() { PLAIN } else { THIN };
        bands.extend(row(set, &lanes, cells, pen, &heads));
    }
    bands
}

fn style_of(set: &Setter, cell: &Cell) -> Style {
    set.fit(if cell.bold { BOLD } else { BODY })
}

/// Shares of the width, but no column is narrower than its longest word while
/// others have room to give.
fn lanes(set: &Setter, columns: &[Column], rows: &[Vec<Cell>]) -> Vec<Lane> {
    let count = columns.len().max(1) as i32;
    let room = set.width - GAP * (count - 1);
    let least = |n: usize, column: &Column| {
        let cells = rows.iter().filter_map(|row| row.get(n));
        let words = cells.map(|cell| set.longest_word(style_of(set, cell), &cell.text));
        let words = words.max().unwrap_or(Len::ZERO);
        let figures = points(set, n, column, rows).map_or(Len::ZERO, Points::width);
        let head = set.longest_word(set.fit(BOLD), &column.head);
        // The figures of a column stand in one line only where they have room.
        words.max(figures).max(head).min(room / 3) + Len::mm(0.1)
    };
    let least: Vec<Len> = columns.iter().enumerate().map(|(n, c)| least(n, c)).collect();
    let shares: Vec<u32> = columns.iter().map(|c| u32::from(c.share.max(1))).collect();
    let mut x = Len::ZERO;
    let mut lanes = Vec::new();
    for (n, width) in shared(room, &shares, &least).into_iter().enumerate() {
        let points = points(set, n, &columns[n], rows).filter(|points| points.width() <= width);
        lanes.push(Lane { x, width, points });
        x += width + GAP;
    }
    lanes
}

fn points(set: &Setter, n: usize, column: &Column, rows: &[Vec<Cell>]) -> Option<Points> {
    if !column.figures {
        return None;
    }
    let mut points = Points::default();
    for cell in rows.iter().filter_map(|row| row.get(n)) {
        points.take(set, style_of(set, cell), &cell.text);
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

fn head(set: &Setter, lanes: &[Lane], columns: &[Column]) -> Strip {
    let style = set.fit(BOLD);
    let cells: Vec<Vec<String>> = lanes
        .iter()
        .zip(columns)
        .map(|(lane, column)| set.lines(style, &column.head, lane.width))
        .collect();
    let deepest = cells.iter().map(Vec::len).max().unwrap_or(0);
    let mut strip = Strip::default();
    strip.rule(Len::ZERO, set.width, Len::ZERO, PLAIN);
    for (lane, lines) in lanes.iter().zip(cells) {
        // Heads stand on the rule under them.
        let mut y = PAD + style.lead * (deepest - lines.len()) as i32;
        for line in lines {
            strip.marks.push(line_at(style, lane.x, y, line, Align::Left));
            y += style.lead;
        }
    }
    strip.height = PAD * 2 + style.lead * deepest as i32;
    strip.rule(Len::ZERO, set.width, strip.height, PLAIN);
    strip
}

fn row(
    set: &Setter,
    lanes: &[Lane],
    cells: &[Cell],
    pen: Pen,
    heads: &Arc<Vec<Strip>>,
) -> Vec<Band> {
    let cells = cells_in_lines(set, lanes, cells);
    let deepest = cells.iter().map(Vec::len).max().unwrap_or(1);
    let (lead, pad) = (set.fit(BODY).lead, pad(set));
    let height = lead * deepest as i32 + pad * 2;
    let head: Len = heads.iter().map(|head| head.height).sum();
    if height + head > set.room {
        return tall_row(set, cells, deepest, pen, heads);
    }
    let mut strip = Strip::default();
    for cell in cells {
        for (n, line) in cell.into_iter().enumerate() {
            put(&mut strip, line, pad + lead * n as i32);
        }
    }
    strip.height = height;
    strip.rule(Len::ZERO, set.width, height, pen);
    vec![Band { heads: Some(heads.clone()), ..Band::new(strip, Len::ZERO) }]
}

/// White above and below the text of a row.
fn pad(set: &Setter) -> Len {
    Len::mm(if set.snug { 0.4 } else { 0.8 })
}

/// The cells of a row, each in lines.
fn cells_in_lines(set: &Setter, lanes: &[Lane], cells: &[Cell]) -> Vec<Vec<Line>> {
    let broken = lanes.iter().zip(cells).map(|(lane, cell)| {
        let style = style_of(set, cell);
        let texts = set.lines(style, &cell.text, lane.width);
        let line = |text: String| {
            let indent = lane.points.map(|points| points.indent(set, style, &text));
            // A figure with a long remark after it may not have the room.
            let spare = (lane.width - set.width_of(style, &text)).max(Len::ZERO);
            let x = lane.x + indent.unwrap_or_default().min(spare);
            Line { x, style, text }
        };
        texts.into_iter().map(line).collect()
    });
    broken.collect()
}

fn put(strip: &mut Strip, line: Line, y: Len) {
    let mark = line_at(line.style, line.x, y, line.text, Align::Left);
    strip.marks.push(mark);
}

/// A row taller than a page goes line by line, and says where it goes on.
fn tall_row(
    set: &Setter,
    cells: Vec<Vec<Line>>,
    deepest: usize,
    rule: Pen,
    heads: &Arc<Vec<Strip>>,
) -> Vec<Band> {
    let mut bands = Vec::new();
    let (style, pad) = (set.fit(ITALIC), pad(set));
    let said = |text: &str, align: Align, x: Len| {
        let mut strip = Strip { height: style.lead + PAD, ..Strip::default() };
        strip.marks.push(line_at(style, x, PAD / 2, text, align));
        strip
    };
    let mut again = heads.to_vec();
    again.push(said("row continued", Align::Left, Len::ZERO));
    let again = Arc::new(again);
    let mut foot = said("row continued on the next page", Align::Right, set.width);
    foot.rule(Len::ZERO, set.width, foot.height, THIN);
    let foot = Arc::new(foot);
    let last = deepest.saturating_sub(1);
    let mut cells: Vec<_> = cells.into_iter().map(Vec::into_iter).collect();
    for n in 0..deepest {
        let mut strip = Strip::default();
        let top = if n == 0 { pad } else { Len::ZERO };
        for line in cells.iter_mut().filter_map(Iterator::next) {
            put(&mut strip, line, top);
        }
        strip.height = top + style.lead;
        if n == last {
            strip.height += pad;
            strip.rule(Len::ZERO, set.width, strip.height, rule);
        }
        bands.push(Band {
            heads: Some(if n == 0 { heads.clone() } else { again.clone() }),
            foot: (n != last).then(|| foot.clone()),
            keep: n < 2 || n + 1 == last,
            ..Band::new(strip, Len::ZERO)
        });
    }
    bands
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
