//! Headings, paragraphs and short pairs.

use super::text::{CAPTION, HEADING, SECTION, Setter, VALUE};
use crate::layout::at;
use crate::layout::canvas::{BOX, Canvas, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Face, Point};
use crate::layout::paginate::{Anchor, Block, Blocks};
use crate::layout::style::TextStyle;

/// Pairs stand in this many columns; a long one takes two or all of them.
const COLUMNS: i32 = 4;
const COLUMN_GAP: Len = mm(4.0);

/// The title of a section that begins inside a page. At the top of a page the
/// head has it already.
pub fn section_title(set: &Setter, title: &str, number: usize) -> Block {
    let mut canvas = set.canvas();
    canvas.rule(Len::ZERO, Len::ZERO, set.width, BOX);
    let top = mm(2.0);
    let aside = format!("section {number}");
    let room = set.width - CAPTION.width(&aside) - mm(6.0);
    let height = canvas.tell(at(Len::ZERO, top), SECTION, title, room);
    canvas.word_right(set.width, top + SECTION.ascent, CAPTION, &aside);
    let block = canvas.block(top + height).above(mm(6.4));
    Block { at_top: Some(Box::default()), ..block.with(section_start(title).anchors).kept() }
}

/// Where a section begins with its page.
pub fn section_start(title: &str) -> Block {
    Block::default().kept().with([Anchor::Bookmark(0, title.to_string())])
}

pub fn heading(set: &Setter, text: &str) -> Block {
    let mut canvas = set.canvas();
    let height = canvas.tell(Point::default(), set.fit(HEADING), text, set.width);
    canvas.block(height).above(set.mm(4.0, 2.4)).kept()
}

/// Two lines at least stay together at each end of a paragraph.
pub fn paragraph(set: &Setter, blocks: &mut Blocks, style: TextStyle, text: &str) {
    let style = set.fit(style);
    let lines = style.lines(text, set.width);
    let count = lines.len();
    for (n, line) in lines.into_iter().enumerate() {
        let mut canvas = set.canvas();
        canvas.set(Point::default(), style, Align::Left, &line);
        let above = if n == 0 { set.mm(2.0, 1.2) } else { Len::ZERO };
        let keep = count > 1 && (n == 0 || n + 2 == count);
        blocks.push(Block { keep, ..canvas.block(style.leading).above(above) });
    }
}

/// Captions with their values underneath, set across the page in order.
pub fn pairs(set: &Setter, blocks: &mut Blocks, pairs: &[(String, String)]) {
    let mut above = mm(2.4);
    let mut rest = pairs;
    while !rest.is_empty() {
        let mut canvas = set.canvas();
        let (mut column, mut height) = (0, Len::ZERO);
        while let [(caption, value), after @ ..] = rest {
            let span = span(set, caption, value);
            if column + span > COLUMNS {
                break;
            }
            height = height.max(pair(set, &mut canvas, column, span, (caption, value)));
            column += span;
            rest = after;
        }
        blocks.push(canvas.block(height).above(above));
        above = set.mm(2.4, 1.2);
    }
}

fn column_width(set: &Setter, span: i32) -> Len {
    let one = (set.width + COLUMN_GAP) / COLUMNS;
    one * span - COLUMN_GAP
}

/// One column, two, or all, whichever holds the pair unbroken.
fn span(set: &Setter, caption: &str, value: &str) -> i32 {
    let value = set.fit(VALUE).width(value);
    let widest = value.max(set.fit(CAPTION).width(caption));
    let holds = |span: &i32| widest <= column_width(set, *span);
    [1, 2].into_iter().find(holds).unwrap_or(COLUMNS)
}

fn pair(
    set: &Setter,
    canvas: &mut Canvas<'_>,
    column: i32,
    span: i32,
    (caption, value): (&str, &str),
) -> Len {
    let width = column_width(set, span);
    let x = (set.width + COLUMN_GAP) / COLUMNS * column;
    let y = canvas.tell(at(x, Len::ZERO), set.fit(CAPTION), caption, width);
    // Long texts are easier to read in the upright of the page.
    let style = match span {
        COLUMNS => set.fit(VALUE).with(Face::Regular),
        _ => set.fit(VALUE),
    };
    y + canvas.tell(at(x, y), style, value, width).max(style.leading)
}
