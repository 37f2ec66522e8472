//! One row of a fit: the upper line subtracts to the tightest, the lower to
//! the loosest.

use super::bar::Bar;
use super::figures::FigureColumn;
use super::text::{BODY, BOLD, CODE, ITALIC, Setter};
use crate::layout::at;
use crate::layout::canvas::{Canvas, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Mark, Pen, moved};
use crate::layout::paginate::Block;
use crate::layout::style::TextStyle;
use crate::report::FitLine;

/// White above and below the two lines of a row.
pub const PAD: Len = mm(0.7);
/// From the top of a row to its bar.
pub const BAR_TOP: Len = mm(1.9);

/// Where the texts stand.
#[derive(Clone, Copy, Debug)]
pub struct Columns {
    /// Row code, place, and what was done: from the left edge.
    pub place: Len,
    pub shaft: FigureColumn,
    pub bore: FigureColumn,
    pub fit: FigureColumn,
    pub bar: Len,
    pub margin: FigureColumn,
    pub state: FigureColumn,
}

/// Between a place and what was done there, on one line.
const APART: Len = mm(1.6);
/// Lines of the first piece of a row taller than a page.
const FIRST: i32 = 3;

/// The rule under the row begins at a place and has a pen. `named`: with the
/// code and the place of the row.
pub fn row(
    set: &Setter,
    columns: &Columns,
    bar: &Bar,
    line: &FitLine,
    named: bool,
    rule: (Len, Pen),
) -> Block {
    let mut canvas = set.canvas();
    let mut depth = place(&mut canvas, columns, line, named);
    let figures = [
        (columns.shaft, BODY, &line.shaft.0, &line.shaft.1),
        (columns.bore, BODY, &line.bore.0, &line.bore.1),
        (columns.fit, BOLD, &line.tightest, &line.loosest),
    ];
    for (column, style, upper, lower) in figures {
        let broken = figure(&mut canvas, column, style, PAD, upper);
        let lower_top = PAD + style.leading * broken;
        let more = figure(&mut canvas, column, style, lower_top, lower);
        depth = depth.max(broken + more);
    }
    bar.draw(&mut canvas, at(columns.bar, BAR_TOP), line.marker);
    // Under the bar, whose two lines they leave free.
    let mut under = 2;
    for told in &line.also {
        for text in BODY.lines(told, columns.margin.x - columns.bar - APART) {
            let y = PAD + BODY.leading * under;
            canvas.set(at(columns.bar, y), BODY, Align::Left, &text);
            under += 1;
        }
    }
    depth = depth.max(under);
    let margin = beside_bar(&mut canvas, columns.margin, BODY, &line.margin);
    let style = if line.bold { BOLD } else { BODY };
    let state = beside_bar(&mut canvas, columns.state, style, &line.state);
    depth = depth.max(margin).max(state).max(2);
    let height = PAD * 2 + BODY.leading * depth;
    canvas.rule(rule.0, height, set.width - rule.0, rule.1);
    canvas.block(height)
}

/// The pieces of a row taller than a page: its bar and its figures in the
/// first, then line by line, the rule in the last.
pub fn broken(row: Block) -> Vec<Block> {
    let first = PAD + BODY.leading * FIRST;
    let mut pieces = vec![Block { height: first, ..Block::default() }];
    let mut marks = row.marks;
    let rule = marks.pop();
    for mark in marks {
        let down = match &mark {
            Mark::Run(run) => (run.at.y - first).um(),
            _ => -1,
        };
        let n = usize::try_from(down).map_or(0, |down| 1 + down / BODY.leading.um() as usize);
        let top = if n == 0 { Len::ZERO } else { first + BODY.leading.times(n - 1) };
        pieces.resize(pieces.len().max(n + 1), Block { height: BODY.leading, ..Block::default() });
        pieces[n].marks.push(moved(mark, at(Len::ZERO, -top)));
    }
    if let Some(last) = pieces.last_mut() {
        last.height += PAD;
        let up = at(Len::ZERO, last.height - row.height);
        last.marks.extend(rule.map(|rule| moved(rule, up)));
    }
    pieces
}

/// Sets a figure on the point of its column; gives how many lines it takes.
fn figure(
    canvas: &mut Canvas<'_>,
    column: FigureColumn,
    style: TextStyle,
    top: Len,
    text: &str,
) -> i32 {
    let lines = column.lines(style, text);
    let count = lines.len() as i32;
    for (n, line) in (0..).zip(lines) {
        line.put(canvas, top + style.leading * n);
    }
    count
}

/// Text at the height of the bar: one line stands in its middle.
fn beside_bar(canvas: &mut Canvas<'_>, column: FigureColumn, style: TextStyle, text: &str) -> i32 {
    let lines = style.lines(text, column.width).len();
    let top = if lines == 1 { PAD + style.leading / 2 } else { PAD };
    figure(canvas, column, style, top, text)
}

/// Code and place at the left, what was done at the right in italics: on the
/// same lines where both have room, else one after the other.
fn place(canvas: &mut Canvas<'_>, columns: &Columns, line: &FitLine, named: bool) -> i32 {
    let width = columns.place - mm(0.6);
    let mut left: Vec<(TextStyle, String)> = Vec::new();
    if named {
        let code = CODE.lines(&line.code, width);
        left.extend(code.into_iter().map(|text| (CODE, text)));
        if !line.place.is_empty() {
            let place = BODY.lines(&line.place, width);
            left.extend(place.into_iter().map(|text| (BODY, text)));
        }
    }
    let mut right: Vec<String> = Vec::new();
    for text in [&line.label, &line.why] {
        if !text.is_empty() {
            right.extend(ITALIC.lines(text, width));
        }
    }
    let start = shift(&left, &right, width);
    let deepest = left.len().max(start + right.len());
    for (n, (style, text)) in left.into_iter().enumerate() {
        let y = PAD + BODY.leading.times(n);
        canvas.set(at(Len::ZERO, y), style, Align::Left, &text);
    }
    for (n, text) in right.into_iter().enumerate() {
        let y = PAD + BODY.leading.times(start + n);
        canvas.set(at(width, y), ITALIC, Align::Right, &text);
    }
    deepest as i32
}

/// The first line on which all of the right side has room beside the left.
fn shift(left: &[(TextStyle, String)], right: &[String], width: Len) -> usize {
    let clear = |start: &usize| {
        let beside = left.iter().skip(*start).zip(right);
        beside.into_iter().all(|((style, l), r)| style.width(l) + APART + ITALIC.width(r) <= width)
    };
    (0..left.len()).find(clear).unwrap_or(left.len())
}
