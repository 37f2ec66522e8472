//! Headings, paragraphs and short pairs.

use super::band::{Band, PLAIN, Strip};
use super::text::{CAPTION, HEADING, LEAD, PROSE, SECTION, Setter, Style, VALUE, set_lines};
use crate::page::length::Len;
use crate::page::mark::{Align, Face, Point};

/// Pairs stand in this many columns; a long one takes two or all of them.
const COLUMNS: i32 = 4;
const COLUMN_GAP: Len = Len::mm(4.0);

/// The title of a section that begins inside a page. At the top of a page the
/// head has it already.
pub fn section_title(set: &Setter, title: &str, number: usize) -> Band {
    let mut strip = Strip::default();
    strip.rule(Len::ZERO, set.width, Len::ZERO, PLAIN);
    let top = Len::mm(2.0);
    let aside = format!("section {number}");
    let room = set.width - set.width_of(CAPTION, &aside) - Len::mm(6.0);
    let at = Point { x: Len::ZERO, y: top };
    let height = set.block(&mut strip, SECTION, title, at, room);
    let aside_top = top + SECTION.baseline() - CAPTION.baseline();
    let mark = super::text::line_at(CAPTION, set.width, aside_top, aside, Align::Right);
    strip.marks.push(mark);
    strip.height = top + height;
    Band {
        at_top: Some(Strip::default()),
        bookmark: Some((0, title.to_string())),
        keep: true,
        ..Band::new(strip, Len::mm(6.4))
    }
}

/// Where a section begins with its page.
pub fn section_start(title: &str) -> Band {
    Band { bookmark: Some((0, title.to_string())), keep: true, ..Band::default() }
}

pub fn heading(set: &Setter, text: &str) -> Band {
    let mut strip = Strip::default();
    let style = set.fit(HEADING);
    let height = set.block(&mut strip, style, text, Point::default(), set.width);
    strip.height = height;
    Band { keep: true, ..Band::new(strip, Len::mm(if set.snug { 2.4 } else { 4.0 })) }
}

/// What a section says first of all.
pub fn lead(set: &Setter, text: &str) -> Vec<Band> {
    lines(set, set.fit(LEAD), text)
}

pub fn paragraph(set: &Setter, text: &str) -> Vec<Band> {
    lines(set, set.fit(PROSE), text)
}

/// Two lines at least stay together at each end of a paragraph.
fn lines(set: &Setter, style: Style, text: &str) -> Vec<Band> {
    let lines = set.lines(style, text, set.width);
    let count = lines.len();
    let gap = Len::mm(if set.snug { 1.2 } else { 2.0 });
    let line = |(n, line): (usize, String)| {
        let mut strip = Strip::default();
        set_lines(&mut strip, style, vec![line], Point::default());
        strip.height = style.lead;
        Band {
            keep: count > 1 && (n == 0 || n + 2 == count),
            ..Band::new(strip, if n == 0 { gap } else { Len::ZERO })
        }
    };
    lines.into_iter().enumerate().map(line).collect()
}

/// Captions with their values underneath, set across the page in order.
pub fn pairs(set: &Setter, pairs: &[(String, String)]) -> Vec<Band> {
    let mut bands: Vec<Band> = Vec::new();
    let mut row = Strip::default();
    let mut column = 0;
    for (caption, value) in pairs {
        let span = span(set, caption, value);
        if column + span > COLUMNS {
            bands.push(pair_row(set, std::mem::take(&mut row), bands.is_empty()));
            column = 0;
        }
        pair(set, &mut row, column, span, (caption, value));
        column += span;
    }
    if column > 0 {
        bands.push(pair_row(set, row, bands.is_empty()));
    }
    bands
}

fn pair_row(set: &Setter, strip: Strip, first: bool) -> Band {
    let gap = if first || !set.snug { 2.4 } else { 1.2 };
    Band::new(strip, Len::mm(gap))
}

fn column_width(set: &Setter, span: i32) -> Len {
    let one = (set.width + COLUMN_GAP) / COLUMNS;
    one * span - COLUMN_GAP
}

/// One column, two, or all, whichever holds the pair unbroken.
fn span(set: &Setter, caption: &str, value: &str) -> i32 {
    let value = set.width_of(set.fit(VALUE), value);
    let widest = value.max(set.width_of(set.fit(CAPTION), caption));
    let holds = |span: &i32| widest <= column_width(set, *span);
    [1, 2].into_iter().find(holds).unwrap_or(COLUMNS)
}

fn pair(set: &Setter, row: &mut Strip, column: i32, span: i32, (caption, value): (&str, &str)) {
    let width = column_width(set, span);
    let x = (set.width + COLUMN_GAP) / COLUMNS * column;
    let top = Point { x, y: Len::ZERO };
    let mut y = set.block(row, set.fit(CAPTION), caption, top, width);
    // Long texts are easier to read in the upright of the page.
    let style = match span {
        COLUMNS => set.fit(VALUE).with(Face::Regular),
        _ => set.fit(VALUE),
    };
    y += set.block(row, style, value, Point { x, y }, width);
    row.height = row.height.max(y);
}
