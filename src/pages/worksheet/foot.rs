//! The foot of every page: the caution, the bar, the form; at the end of a
//! sheet the remarks and the boxes to sign.

use super::later::{CHANGED, FOUND};
use super::{Layout, again, also};
use crate::layout::canvas::{Canvas, HAIR, MINOR, mm};
use crate::layout::frame::{BAR, BAR_H};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Entry, Point};
use crate::layout::paginate::Block;
use crate::layout::style::{CAPTION, Para, STRONG, TEXT};
use crate::layout::{area, at};
use crate::pages::boxes::{CELL_H, Comb, DATE, TICK};
use crate::sheet::{SignBox, fields};

const CAUTION: &str = "A box left blank never passes. To put a figure right: one line through \
    it, the right figure above it, initials and date. Never erase.";

/// Draws the foot that stands on every page, its bottom on the margin.
pub fn foot(lay: &Layout<'_>, form: &str) -> Block {
    let mut canvas = lay.canvas();
    let width = lay.area.w;
    canvas.rule(Len::ZERO, Len::ZERO, width, MINOR);
    let y = mm(1.0);
    let x = canvas.word(Len::ZERO, y + TEXT.ascent, STRONG, "Caution") + mm(2.0);
    let told = canvas.tell(at(x, y), TEXT.sized(7.8), CAUTION, width - x);
    let y = y + told + mm(1.0);
    canvas.print_bar(Len::ZERO, y);
    let head = &lay.set.head;
    let shop = match &head.certificate {
        Some(certificate) => format!("{}, {certificate}", head.shop),
        None => head.shop.clone(),
    };
    let room = width - BAR - mm(4.0);
    let form = CAPTION.para(form, room);
    let shop = CAPTION.para(&shop, room);
    let down = canvas.write_aligned(at(width, y), &form, Align::Right);
    let down = down + canvas.write_aligned(at(width, y + down), &shop, Align::Right);
    canvas.done(y + down.max(BAR_H))
}

/// From one line for remarks to the next.
pub const REMARK: Len = mm(7.6);

/// What stands above the foot of a page.
#[derive(Clone, Copy)]
pub struct Tail<'a> {
    pub signs: &'a [SignBox],
    /// How the marks are made, where anything is marked.
    pub marks: bool,
    /// Lines for measuring again, and the comb of their values.
    pub again: (i32, Option<Comb>),
    /// Two lines each for what was found, and for parts that were changed.
    pub found: i32,
    pub changed: i32,
    /// Lines for remarks.
    pub lines: i32,
    /// Lines for another person or day of one side.
    pub also: i32,
}

/// Lines for measuring again, for what happens beside the boxes and for remarks,
/// and the boxes to sign.
pub fn tail(lay: &Layout<'_>, tail: Tail<'_>) -> Block {
    let mut canvas = lay.canvas();
    let mut y = again::lines(lay, &mut canvas, tail.again);
    y += FOUND.draw(lay, &mut canvas, y, tail.found);
    y += CHANGED.draw(lay, &mut canvas, y, tail.changed);
    if tail.lines > 0 {
        y += remarks(lay, &mut canvas, y, (tail.lines, tail.marks));
    }
    y += sign_rows(lay, &mut canvas, tail.signs, y);
    y += also::lines(lay, &mut canvas, y, tail.also);
    canvas.done(y)
}

/// The lines for remarks; gives back their height.
fn remarks(lay: &Layout<'_>, canvas: &mut Canvas<'_>, y: Len, (lines, marks): (i32, bool)) -> Len {
    let width = lay.area.w;
    canvas.rule(Len::ZERO, y, width, MINOR);
    let base = y + mm(5.2);
    let mut x = canvas.word(Len::ZERO, base, STRONG, "Remarks") + mm(2.0);
    if marks {
        x = legend(canvas, x, base);
    }
    let line = y + mm(6.4);
    canvas.rule(x, line, width - x, HAIR);
    canvas.scribble(at(x + mm(0.6), line), width - x - mm(0.6), lay.sign("remarks"));
    canvas.words_field(at(x, line), width - x, || lay.line_field(fields::REMARKS, 1, ""));
    for n in 1..lines {
        let line = line + REMARK * n;
        canvas.rule(Len::ZERO, line, width, HAIR);
        let named = || lay.line_field(fields::REMARKS, n + 1, "");
        canvas.words_field(at(Len::ZERO, line), width, named);
    }
    remarks_height(lines)
}

/// How marks are made, and what is written of them; gives back where it ends.
fn legend(canvas: &mut Canvas<'_>, x: Len, base: Len) -> Len {
    let side = mm(2.6);
    let top = base - side + mm(0.2);
    canvas.tick(at(x, top), side);
    let x = canvas.word(x + side + mm(0.8), base, CAPTION, "in order, done") + mm(2.0);
    canvas.cross(at(x, top), side);
    let x = canvas.word(x + side + mm(0.8), base, CAPTION, "defect") + mm(2.0);
    let x = canvas.word(x, base, STRONG, "N") + mm(0.8);
    let x = canvas.word(x, base, CAPTION, "not applicable; explain every") + mm(0.8);
    canvas.cross(at(x, top), side);
    canvas.word(x + side + mm(0.8), base, CAPTION, "and N: item, place, action") + mm(2.0)
}

fn remarks_height(lines: i32) -> Len {
    mm(6.4) + REMARK * (lines - 1) + mm(1.0)
}

/// A line to name gauges on; a tick stands on it.
const GAUGE_H: Len = mm(6.0);
const BETWEEN: Len = mm(4.0);

/// The boxes, three a row, and a line for the gauges of each who measured: in
/// the room that the last row leaves, else under the boxes, as many abreast as
/// have room.
fn sign_rows(lay: &Layout<'_>, canvas: &mut Canvas<'_>, signs: &[SignBox], y: Len) -> Len {
    let whole = lay.area.w;
    let width = (whole - BETWEEN * 2) / 3;
    let named = |sign: &&SignBox| sign.gauges && (sign.lines.is_empty() || sign.zero);
    let gauged: Vec<&SignBox> = signs.iter().filter(named).collect();
    let last = signs.len() % 3;
    // Two thirds of a line have room for all that is written on it.
    let beside = last == 1 && signs.len() > 3;
    let mut height = Len::ZERO;
    for three in signs.chunks(3) {
        let top = y + height;
        height += sign_row(lay, canvas, three, (top, top == y), width);
        if beside && three.len() == last {
            let x = (width + BETWEEN).times(last);
            let lines = gauge_lines(lay, canvas, &gauged, (x, whole - x), top + mm(1.0));
            height = height.max(top + mm(1.0) + lines - y);
        }
    }
    if !beside {
        height += gauge_lines(lay, canvas, &gauged, (Len::ZERO, whole), y + height);
    }
    height
}

/// The lines for gauges, in as few rows as hold them; gives back their height.
fn gauge_lines(
    lay: &Layout<'_>,
    canvas: &mut Canvas<'_>,
    signs: &[&SignBox],
    (x, width): (Len, Len),
    y: Len,
) -> Len {
    let mut rows: Vec<Vec<&SignBox>> = Vec::new();
    let taken = |row: &[&SignBox]| row.iter().map(|sign| least(sign) + BETWEEN).sum::<Len>();
    for sign in signs {
        match rows.last_mut().filter(|row| taken(row) + least(sign) <= width) {
            Some(row) => row.push(sign),
            None => rows.push(vec![sign]),
        }
    }
    let mut down = Len::ZERO;
    for row in rows {
        // What is to spare goes to the lines that are written on.
        let ruled = row.iter().filter(|sign| sign.lines.is_empty()).count();
        let count = i32::try_from(ruled.max(1)).unwrap_or(1);
        let spare = (width + BETWEEN - taken(&row)) / count;
        let mut left = x;
        for sign in row {
            let more = if sign.lines.is_empty() { spare } else { Len::ZERO };
            gauge_line(lay, canvas, sign, (left, least(sign) + more), y + down);
            left += least(sign) + more + BETWEEN;
        }
        down += GAUGE_H;
    }
    down
}

/// What is printed before the line for gauges.
fn gauge_words(sign: &SignBox) -> String {
    match sign.lines.as_slice() {
        [] => format!("{}: gauges", sign.key),
        _ => format!("{}: gauges above", sign.key),
    }
}

/// The least width of a line for gauges.
fn least(sign: &SignBox) -> Len {
    let zero = ["zero before", "after", "part", "°C"].map(|word| CAPTION.width(word));
    let zero: Len = zero.into_iter().sum::<Len>() + (TICK + mm(1.0)) * 2 + mm(13.4);
    let words = CAPTION.width(&gauge_words(sign)) + mm(1.0);
    let line = if sign.lines.is_empty() { mm(17.0) } else { Len::ZERO };
    words + line + if sign.zero { zero } else { Len::ZERO }
}

fn sign_row(
    lay: &Layout<'_>,
    canvas: &mut Canvas<'_>,
    signs: &[SignBox],
    (y, first): (Len, bool),
    width: Len,
) -> Len {
    canvas.rule(Len::ZERO, y, lay.area.w, MINOR);
    let captions = signs.iter().map(|sign| STRONG.para(&caption(sign), width));
    let captions: Vec<Para> = captions.collect();
    let tallest = captions.iter().map(Para::height).max().unwrap_or_default();
    let top = y + mm(0.8) + tallest + mm(0.4);
    for ((n, sign), caption) in (0..).zip(signs).zip(&captions) {
        let x = (width + BETWEEN) * n;
        canvas.write(at(x, y + mm(0.8) + tallest - caption.height()), caption);
        sign_box(lay, canvas, sign, (at(x, top), width), first);
    }
    top + CELL_H + if first { mm(4.2) } else { mm(1.0) } - y
}

fn caption(sign: &SignBox) -> String {
    let other = "not the measurer";
    match sign.key.as_str() {
        "check" if !sign.caption.contains(other) => format!("{}, {other}", sign.caption),
        _ => sign.caption.clone(),
    }
}

/// What each box holds stands once, under the first boxes.
fn sign_box(
    lay: &Layout<'_>,
    canvas: &mut Canvas<'_>,
    sign: &SignBox,
    (corner, width): (Point, Len),
    captioned: bool,
) {
    let Point { x, y } = corner;
    let initials = width - DATE - mm(1.6);
    canvas.blank_box(at(x, y), initials, CELL_H);
    if captioned {
        canvas.word(x, y + CELL_H + mm(3.0), CAPTION, "initials");
        canvas.date(at(x + width - DATE, y));
    } else {
        canvas.bare_date(at(x + width - DATE, y));
    }
    canvas.initialled(corner, initials, lay.sign(&format!("{} by", sign.key)));
    let named = |part: &str| lay.foot_field(&format!("{}.{part}", sign.key));
    canvas.field(area(x, y, initials, CELL_H), Entry::Short, || named("by"));
    canvas.date_fields(at(x + width - DATE, y), named);
    if let Some(day) = lay.sign(&format!("{} on", sign.key)) {
        canvas.day(at(x + width - DATE, y), day);
    }
}

/// Which gauges, whether their zero was right, and how warm it was where that
/// is not 20 degrees.
fn gauge_line(lay: &Layout<'_>, canvas: &mut Canvas<'_>, sign: &SignBox, span: (Len, Len), y: Len) {
    let (x, width) = span;
    let base = y + mm(4.0);
    let line = y + mm(4.6);
    let mut end = x + width;
    let named = |part: &str| lay.foot_field(&format!("{}.{part}", sign.key));
    if sign.zero {
        end -= CAPTION.width("°C");
        canvas.word(end, base, CAPTION, "°C");
        canvas.rule(end - mm(7.6), line, mm(7.0), HAIR);
        let warm = lay.sign(&format!("{} part-temp", sign.key));
        canvas.scribble(at(end - mm(7.4), line), mm(6.6), warm);
        canvas.words_field(at(end - mm(7.6), line), mm(7.0), || named("temp"));
        end = before(canvas, end - mm(8.2), base, "part");
        let key = format!("{} zero", sign.key);
        for (n, word) in [(1, "after"), (0, "zero before")] {
            end -= TICK + mm(1.0);
            let corner = at(end, y + mm(0.8));
            canvas.tick_box(corner);
            canvas.marked(corner, TICK, lay.sign_mark(&key, n));
            let over = area(corner.x, corner.y, TICK, TICK);
            canvas.field(over, Entry::Letter, || named(fields::ZERO[n]));
            end = before(canvas, end - mm(0.6), base, word);
        }
        end -= mm(0.6);
    }
    let words = gauge_words(sign);
    if !sign.lines.is_empty() {
        canvas.word(x, base, CAPTION, &words);
        return;
    }
    let start = canvas.word(x, base, CAPTION, &words) + mm(1.0);
    canvas.rule(start, line, end - start, HAIR);
    canvas.words_field(at(start, line), end - start, || named("gauge"));
    let gauges = lay.sign(&format!("{} gauge", sign.key));
    canvas.scribble(at(start + mm(0.4), line), end - start - mm(0.4), gauges);
}

/// A word that ends there; where what stands left of it may end.
fn before(canvas: &mut Canvas<'_>, end: Len, base: Len, word: &str) -> Len {
    canvas.word_right(end, base, CAPTION, word);
    end - CAPTION.width(word) - mm(1.0)
}
