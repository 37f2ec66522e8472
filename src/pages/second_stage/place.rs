//! One place: what is on record, the windows, the boxes, the ladders beside
//! them.

use super::ladder;
use crate::judge::ResultBox;
use crate::layout::at;
use crate::layout::canvas::{Canvas, HAIR, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::Point;
use crate::layout::paginate::Block;
use crate::layout::style::{CAPTION, LABEL, NUMBER, STRONG, TEXT};
use crate::model::side::Side;
use crate::pages::boxes::{CELL_H, Comb};
use crate::pages::worksheet::fit_columns::{self, GroupColumn};
use crate::pages::worksheet::{Layout, fit};
use crate::sheet::second::{MateWindow, SecondPlace, Steps};

/// Width of the column with the row's code.
const CODE: Len = mm(16.0);
const PAIR: Len = mm(2.0);
const AIR: Len = mm(1.2);
const BETWEEN: Len = mm(3.0);
const OVER: Len = mm(3.0);
const CODE_SIZES: [f64; 5] = [22.0, 18.0, 15.0, 12.0, 9.0];

/// The parts of a place and how high the left ones are.
struct Parts {
    row: Block,
    told: Block,
    boxes: Block,
    left: Len,
    own: Len,
}

fn parts(lay: &Layout<'_>, place: &SecondPlace, half: Side) -> Parts {
    let comb = fit_columns::comb(&place.group).map_or(mm(29.6), Comb::width);
    let across = if place.group.labels.len() > 1 { 2 } else { 1 };
    let left = CODE + comb * 2 + PAIR;
    let boxes = boxes(lay, place, comb, across);
    let row = code(lay, place, half);
    let told = told(lay, place, half, left);
    // The row's words may come down beside the first line of boxes.
    let upper = told.height.max(row.height - OVER - CELL_H);
    let own = AIR * 2 + upper + mm(0.4) + boxes.height;
    Parts { row, told, boxes, left, own }
}

/// How high a place is with its ladders at a pitch.
pub fn height(lay: &Layout<'_>, place: &SecondPlace, half: Side, pitch: Len) -> Len {
    with_ladders(place, parts(lay, place, half).own, pitch)
}

fn with_ladders(place: &SecondPlace, own: Len, pitch: Len) -> Len {
    let ladders =
        place.ladders.iter().flatten().map(|steps| ladder::height(steps, pitch) + AIR * 2);
    ladders.fold(own, Len::max).on_grid()
}

/// Draws a place over the width of the page, its ladders at that pitch, or
/// wider where the boxes leave room for it.
pub fn place(lay: &Layout<'_>, place: &SecondPlace, half: Side, pitch: Len) -> Block {
    let mut canvas = lay.canvas();
    let Parts { row, told, boxes, left, own } = parts(lay, place, half);
    let height = with_ladders(place, own, pitch);
    canvas.place(at(Len::ZERO, AIR), row);
    canvas.place(at(Len::ZERO, AIR), told);
    canvas.place(at(Len::ZERO, height - AIR - boxes.height), boxes);
    let right = left + BETWEEN;
    match &place.ladders {
        Some(ladders) => both(lay, &mut canvas, ladders, right, height - AIR * 2),
        None => {
            let words =
                place.windows.first().map(|window| window.window.clone()).unwrap_or_default();
            let piece = ladder::none(lay, &words, lay.area.w - right);
            canvas.place(at(right, AIR), piece);
        }
    }
    canvas.rule(Len::ZERO, height, lay.area.w, MINOR);
    canvas.done(height)
}

fn both(lay: &Layout<'_>, canvas: &mut Canvas<'_>, ladders: &[Steps; 2], x: Len, height: Len) {
    let width = (lay.area.w - x - BETWEEN) / 2;
    for (n, steps) in ladders.iter().enumerate() {
        let x = x + (width + BETWEEN).times(n);
        let piece = ladder::ladder(lay, steps, width, height);
        canvas.place(at(x, AIR), piece);
    }
}

/// The code with its place, what the part on record is, and the row's digest.
fn code(lay: &Layout<'_>, place: &SecondPlace, half: Side) -> Block {
    let mut canvas = lay.canvas();
    let narrow = CODE - mm(1.2);
    let code = STRONG.fitted(&CODE_SIZES, &place.row.code, narrow);
    let mut under = canvas.write(at(Len::ZERO, -mm(0.8)), &code) - mm(0.4);
    under += fit::place(&mut canvas, &place.row, under, narrow);
    let state = format!("{} {}", half, place.state);
    under += canvas.tell(at(Len::ZERO, under + mm(0.4)), CAPTION, &state, narrow) + mm(0.4);
    let end = canvas.word(Len::ZERO, under + NUMBER.ascent, CAPTION, "code") + mm(1.0);
    canvas.word(end, under + NUMBER.ascent, NUMBER, &place.code);
    canvas.done(under + NUMBER.leading)
}

/// The sizes on record and the windows.
fn told(lay: &Layout<'_>, place: &SecondPlace, half: Side, width: Len) -> Block {
    let mut canvas = lay.canvas();
    let x = CODE;
    let mut y = sizes(&mut canvas, place, half, x, width) + mm(0.6);
    for (n, found) in place.windows.iter().enumerate() {
        y += window(&mut canvas, found, at(x, y), width - x, n == 0) + mm(0.4);
    }
    canvas.done(y)
}

fn sizes(canvas: &mut Canvas<'_>, place: &SecondPlace, half: Side, x: Len, width: Len) -> Len {
    let figure = STRONG.sized(10.5);
    let base = mm(3.6);
    let end = canvas.word(x, base, TEXT, &format!("largest {}", half)) + mm(1.4);
    canvas.word(end, base, figure, &place.largest);
    canvas.word_right(width, base, figure, &place.smallest);
    let start = width - figure.width(&place.smallest) - mm(1.4);
    canvas.word_right(start, base, TEXT, "smallest");
    mm(4.6)
}

fn window(
    canvas: &mut Canvas<'_>,
    found: &MateWindow,
    from: Point,
    width: Len,
    first: bool,
) -> Len {
    let sizes: &[f64] = if first { &[13.5, 12.0, 10.5, 9.0] } else { &[10.5, 9.0] };
    let end = STRONG.width(&found.mate) + mm(2.0);
    let big = STRONG.fitted(sizes, &found.window, width - end);
    let base = from.y + big.style.ascent;
    canvas.word(from.x, base, STRONG, &found.mate);
    canvas.write(at(from.x + end, from.y), &big);
    let mut y = big.height();
    let whole = found.from.join(" · ");
    let wide = CAPTION.width(&whole);
    let beside = end + big.width();
    if beside + mm(2.0) + wide <= width {
        canvas.word(from.x + beside + mm(2.0), base, CAPTION, &whole);
        return y;
    }
    let lines = if wide <= width { vec![whole] } else { found.from.clone() };
    for line in lines {
        y += canvas.tell(at(from.x, from.y + y), CAPTION, &line, width);
    }
    y
}

/// The mate's boxes, the same again, and the clearances.
fn boxes(lay: &Layout<'_>, place: &SecondPlace, comb: Len, across: usize) -> Block {
    let mut canvas = lay.canvas();
    let group = &place.group;
    let side = GroupColumn { group: 0, x: CODE, width: comb * 2 + PAIR, across };
    let mut y = fit_columns::combs(&mut canvas, group, &side, |_| None, |_, _| Default::default())
        + mm(0.6);
    fit::measured_again(&mut canvas, CODE - mm(1.4), y + mm(4.2));
    y = again(&mut canvas, place, comb, across, y);
    canvas.word_right(CODE - mm(1.4), y + OVER + mm(5.6), STRONG, "clearance");
    let mut x = CODE;
    // Beside the ladders that they are read from: tightest, then loosest.
    for answer in place.answers.iter().rev() {
        x = clearance(&mut canvas, answer, x, y) + PAIR;
    }
    canvas.done(y + OVER + CELL_H)
}

/// The same boxes once more; where there are more than a pair, two that say
/// which they are.
fn again(canvas: &mut Canvas<'_>, place: &SecondPlace, comb: Len, across: usize, y: Len) -> Len {
    let group = &place.group;
    let Some(shape) = fit_columns::comb(group) else { return y };
    let many = group.labels.len() > across;
    let top = if many { y + mm(4.0) } else { y };
    for n in 0..across {
        let x = CODE + (comb + PAIR).times(n);
        if many {
            let start = canvas.word(x, top - mm(0.8), CAPTION, "box") + mm(1.0);
            canvas.rule(start, top - mm(0.6), x + comb - start - mm(4.0), HAIR);
        }
        let heavy = !many && fit_columns::heavy(group, n);
        canvas.comb(at(x, top), Comb { heavy, ..shape });
    }
    top + CELL_H
}

fn clearance(canvas: &mut Canvas<'_>, answer: &ResultBox, x: Len, y: Len) -> Len {
    let comb = fit_columns::comb_of(answer);
    canvas.word(x + comb.first(), y + OVER - mm(0.8), LABEL, &answer.label);
    if answer.side {
        canvas.word_right(x + comb.width(), y + OVER - mm(0.8), CAPTION, "L / T");
    }
    canvas.comb(at(x, y + OVER), comb);
    x + comb.width()
}
