//! The rows of a fit: shaft boxes, bore boxes and the clearance along one
//! line, scales once above their own columns.

use super::entry::{self, Told};
use super::{Layout, fit_columns, row_fields};
use crate::judge::{BoxGroup, BoxKind, Look, Scale};
use crate::layout::at;
use crate::layout::canvas::{Canvas, HAIR, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::paginate::{Block, Blocks};
use crate::layout::style::{ASIDE, CAPTION, LABEL, STRONG, TEXT, TextStyle};
use crate::model::side::Side;
use crate::pages::boxes::{CELL_H, INITIALS, TICK};
use crate::pages::scale::{Sides, scale, sides};
use crate::sheet::{LineRows, Row};
use fit_columns::Columns;

/// How the rows of a sheet are laid: each with its own line for measuring
/// again, or closer, with spare lines after them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rows {
    Full,
    Close,
}

/// Two groups of combs, at least one of them printed on the row.
pub fn is_fit(line: &LineRows) -> bool {
    let combs = line.groups.iter().filter(|group| matches!(group.shape, BoxKind::Comb { .. }));
    combs.count() == 2 && line.has_boxes()
}

/// Above and below the boxes of a row.
const AIR: Len = mm(1.2);
const CODE_SIZES: [f64; 5] = [22.0, 18.0, 15.0, 12.0, 9.0];

/// Puts a fit's head and rows.
pub fn rows(lay: &Layout<'_>, blocks: &mut Blocks, line: &LineRows, rows: Rows) {
    let columns = Columns::new(lay, line);
    let again = blocks.headed(mm(1.0), |again| head(lay, line, &columns, again));
    let full = rows == Rows::Full;
    let spares = if full { 0 } else { line.rows.len().div_ceil(6) };
    for (n, row) in line.rows.iter().enumerate() {
        let block = row_of(lay, line, &columns, row, full).under([again]);
        // A spare line never stands on a page by itself.
        let keep = spares > 0 && n + 1 == line.rows.len();
        blocks.push(Block { keep, ..block.with(row_fields([row])) });
    }
    for n in 0..spares {
        let block = spare(lay, line, &columns).under([again]);
        blocks.push(Block { keep: n + 1 < spares, ..block });
    }
}

/// The line's entry, the columns' titles and the scales.
fn head(lay: &Layout<'_>, line: &LineRows, columns: &Columns, short: bool) -> Block {
    let mut canvas = lay.canvas();
    let told = if short { Told::Short } else { Told::Whole };
    let entry = entry::entry(lay, line, lay.area.w, told);
    let mut y = canvas.place(at(Len::ZERO, Len::ZERO), entry);
    if !short && line.answers.iter().any(|answer| answer.side) {
        let tight = line
            .scales
            .iter()
            .any(|scale| matches!(sides(scale), Some(Sides::Tight | Sides::Mixed)));
        let subtract = if tight { format!("{SUBTRACT}{TURNED}") } else { SUBTRACT.to_owned() };
        y += canvas.tell(at(Len::ZERO, y), CAPTION, &subtract, lay.area.w);
    }
    y += mm(0.8);
    y += titles(&mut canvas, line, columns, y, lay) + mm(0.8);
    let mut tallest = legend(&mut canvas, line, columns, y);
    for (over, x, width) in columns.spans(line) {
        if let Some(found) = line.scales.iter().find(|scale| scale.over == over) {
            let piece = scale(lay.desk, found, width);
            tallest = tallest.max(canvas.place(at(x, y), piece));
        }
    }
    y += tallest + mm(0.8);
    canvas.rule(Len::ZERO, y, lay.area.w, MINOR);
    canvas.done(y)
}

const SUBTRACT: &str = "loosest: largest bore less smallest shaft · tightest: smallest bore less \
    largest shaft · L loose, T tight";
/// Of a line whose shafts may be larger than their bores.
const TURNED: &str = " · a shaft larger than its bore: subtract the other way and write T";

fn titles(
    canvas: &mut Canvas<'_>,
    line: &LineRows,
    columns: &Columns,
    y: Len,
    lay: &Layout<'_>,
) -> Len {
    let mut tallest = Len::ZERO;
    for (over, x, width) in columns.spans(line) {
        let group = line.groups.iter().find(|group| Some(group.key) == over);
        let (title, hint) = match group {
            Some(group) => (group.title.clone(), hint(lay, group)),
            None => ("Clearance".to_string(), sided(line)),
        };
        let end = STRONG.width(&title) + mm(1.6);
        let beside = CAPTION.para(&hint, width - end);
        let height = if beside.lines.len() <= 2 && end < width / 2 {
            canvas.word(x, y + STRONG.ascent, STRONG, &title);
            canvas.write(at(x + end, y + mm(0.2)), &beside).max(STRONG.leading)
        } else {
            let down = canvas.tell(at(x, y), STRONG, &title, width);
            down + canvas.tell(at(x, y + down), CAPTION, &hint, width)
        };
        tallest = tallest.max(height);
    }
    tallest
}

fn hint(lay: &Layout<'_>, group: &BoxGroup) -> String {
    let own = group.unit.length().map(|length| length.word());
    match own == Some(lay.set.head.unit.as_str()) {
        true => group.hint.clone(),
        false => format!("in {}. {}", group.unit, group.hint),
    }
}

fn sided(line: &LineRows) -> String {
    let answer = line.scales.iter().find(|scale| scale.over.is_none());
    match answer.and_then(sides) {
        Some(Sides::Loose) => "limits are L".to_string(),
        Some(Sides::Tight) => "limits are T".to_string(),
        _ => String::new(),
    }
}

/// What the outlines of the bands mean, left of the scales.
fn legend(canvas: &mut Canvas<'_>, line: &LineRows, columns: &Columns, y: Len) -> Len {
    let has = |look: Look| {
        let mut bands = line.scales.iter().flat_map(|scale| &scale.bands);
        bands.any(|band| band.look == look)
    };
    let mut words = Vec::new();
    if has(Look::Dashed) {
        words.push("dashed: its mate decides");
    }
    if has(Look::Dotted) {
        words.push("dotted: measure again");
    }
    let width = columns.code - mm(1.0);
    words.into_iter().fold(Len::ZERO, |down, words| {
        down + canvas.tell(at(Len::ZERO, y + down), CAPTION, words, width)
    })
}

fn row_of(lay: &Layout<'_>, line: &LineRows, columns: &Columns, row: &Row, full: bool) -> Block {
    let mut canvas = lay.canvas();
    let names = code(&mut canvas, columns, row);
    let first = pass(lay, line, columns, Some(row), Beside::Ticks);
    let mut y = AIR + canvas.place(at(Len::ZERO, AIR), first);
    if full {
        let beside = at(Len::ZERO, y.max(names) + mm(1.0));
        let second = pass(lay, line, columns, None, Beside::Why);
        measured_again(&mut canvas, columns.code - mm(1.2), beside.y + mm(5.4));
        y = beside.y + canvas.place(beside, second);
    }
    y = y.max(names) + AIR;
    canvas.rule(Len::ZERO, y, lay.area.w, MINOR);
    canvas.done(y)
}

/// The row's code, its place in words and how it is reached.
fn code(canvas: &mut Canvas<'_>, columns: &Columns, row: &Row) -> Len {
    let width = columns.code - mm(1.2);
    let code = STRONG.fitted(&CODE_SIZES, &row.code, width - mm(1.0));
    let y = AIR + canvas.write(at(Len::ZERO, AIR), &code) + mm(0.4);
    y + place(canvas, row, y, width)
}

/// A row's place in words and how it is reached; gives back the height.
pub fn place(canvas: &mut Canvas<'_>, row: &Row, y: Len, width: Len) -> Len {
    let down = canvas.tell(at(Len::ZERO, y), STRONG.sized(7.8), &row.name, width);
    let Some(reach) = &row.reach else { return down };
    let reach = format!("reached {}", reach.strip_prefix("reached ").unwrap_or(reach));
    down + canvas.tell(at(Len::ZERO, y + down), CAPTION, &reach, width)
}

/// In two lines that end there, the first on that baseline.
pub fn measured_again(canvas: &mut Canvas<'_>, right: Len, base: Len) {
    canvas.word_right(right, base, ASIDE, "measured");
    canvas.word_right(right, base + ASIDE.leading, ASIDE, "again");
}

/// A line of boxes for any row of the fit that is measured again.
fn spare(lay: &Layout<'_>, line: &LineRows, columns: &Columns) -> Block {
    let mut canvas = lay.canvas();
    let boxes = pass(lay, line, columns, None, Beside::Why);
    let height = canvas.place(at(Len::ZERO, AIR), boxes);
    canvas.word(Len::ZERO, AIR + mm(2.6), ASIDE, "measured");
    canvas.word(Len::ZERO, AIR + mm(2.6) + ASIDE.leading, ASIDE, "again: row");
    canvas.blank_box(at(Len::ZERO, AIR + mm(7.0)), columns.code - mm(1.6), CELL_H);
    let y = height + AIR * 2;
    canvas.rule(Len::ZERO, y, lay.area.w, MINOR);
    canvas.done(y)
}

/// What stands under the boxes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Beside {
    /// Where in the bands the governing reading lies.
    Ticks,
    /// Why it was measured again.
    Why,
}

/// Captions over boxes.
const OVER: Len = mm(3.2);

/// One line of boxes across: shaft, bore, clearance.
fn pass(
    lay: &Layout<'_>,
    line: &LineRows,
    columns: &Columns,
    row: Option<&Row>,
    beside: Beside,
) -> Block {
    let mut canvas = lay.canvas();
    let mut lowest = Len::ZERO;
    for side in &columns.sides {
        let group = &line.groups[side.group];
        let height = match group.own {
            true => fit_columns::combs(&mut canvas, group, side, |n| lay.written(row, group, n)),
            false => fit_columns::carried(lay, &mut canvas, group, side, row),
        };
        let mut down = height + mm(0.2);
        let scale = line.scales.iter().find(|scale| scale.over == Some(group.key));
        if let (Beside::Ticks, Some(scale)) = (beside, scale) {
            let span = (side.x, side.width);
            down += ticks(&mut canvas, span, &asked(group), scale, down);
        }
        lowest = lowest.max(down);
    }
    if beside == Beside::Why {
        why(&mut canvas, columns, lowest);
        lowest += OVER + TICK;
    }
    let answers = answers(&mut canvas, line, columns);
    canvas.done(answers.max(lowest + mm(0.8)))
}

fn answers(canvas: &mut Canvas<'_>, line: &LineRows, columns: &Columns) -> Len {
    let (x, width) = columns.answer;
    let mut y = OVER;
    for (n, answer) in line.answers.iter().enumerate() {
        let comb = fit_columns::comb_of(answer);
        let left = x + width - comb.width();
        let beside = x - mm(0.4) - LABEL.width(&answer.label);
        if n > 0 && beside < columns.boxes_end(line, n) + mm(0.8) {
            y += OVER;
            canvas.word(left + comb.first(), y - mm(0.8), LABEL, &answer.label);
        } else if n == 0 {
            canvas.word(left + comb.first(), OVER - mm(0.8), LABEL, &answer.label);
        } else {
            canvas.word_right(x - mm(0.4), y + mm(2.4), LABEL, &answer.label);
        }
        if n == 0 && answer.side {
            canvas.word_right(x + width, OVER - mm(0.8), CAPTION, "L / T");
        }
        canvas.comb(at(left, y), comb);
        y += CELL_H + mm(0.6);
    }
    y - mm(0.6)
}

/// `smaller of A, B is`: which of the readings the bands are for.
fn asked(group: &BoxGroup) -> String {
    let governs = group.governs.iter().chain(std::iter::repeat(&true));
    let labels = group.labels.iter().zip(governs);
    let labels: Vec<&str> =
        labels.filter(|(_, on)| **on).map(|(label, _)| label.as_str()).collect();
    let bore = group.key == Side::Bore.into();
    match labels.as_slice() {
        [] => "it is".to_string(),
        [only] if group.labels.len() > 1 => format!("{only} is"),
        [_] => "it is".to_string(),
        [a, b] => format!("{} of {a}, {b} is", if bore { "larger" } else { "smaller" }),
        _ => format!("{} is", if bore { "largest" } else { "smallest" }),
    }
}

/// Words of the bands from best to worst, each once.
fn words(scale: &Scale) -> Vec<&str> {
    let rank = |look: Look| match look {
        Look::Heavy => 0,
        Look::Plain => 1,
        Look::Dashed => 2,
        Look::Hatched => 3,
        Look::Dotted => 4,
    };
    let new = scale.bands.iter().position(|band| band.look == Look::Heavy).unwrap_or(0);
    let bands = scale.bands.iter().enumerate();
    let mut bands: Vec<_> = bands.filter(|(_, band)| band.look != Look::Dotted).collect();
    bands.sort_by_key(|(n, band)| (rank(band.look), n.abs_diff(new)));
    let mut words: Vec<&str> = bands.iter().map(|(_, band)| band.word.as_str()).collect();
    words.dedup();
    words
}

/// A tick for each band, the question over them, in as many lines as it takes
/// within the side; gives back their height.
fn ticks(canvas: &mut Canvas<'_>, side: (Len, Len), asked: &str, scale: &Scale, y: Len) -> Len {
    let (left, width) = side;
    let words = words(scale);
    canvas.word(left, y + mm(2.4), ASIDE.sized(7.0), asked);
    let whole: Vec<String> = words.iter().map(|word| word.replace(" on mate", "")).collect();
    let fits = tick_type(&whole, width).is_some();
    // The scale above says the whole of it.
    let short = match fits {
        true => whole,
        false => whole.iter().map(|word| word.replace(" mate", "")).collect(),
    };
    let one = tick_type(&short, width);
    let (style, gap) = one.unwrap_or((CAPTION, TICK_GAP));
    let turn = short.len().div_ceil(2);
    let (mut x, mut top) = (left, y + OVER);
    for (n, word) in short.iter().enumerate() {
        let needs = TICK + mm(1.0) + style.width(word);
        let over = x > left && x + needs > left + width;
        if over || (one.is_none() && n == turn) {
            (x, top) = (left, top + TICK + mm(0.8));
        }
        canvas.tick_box(at(x, top));
        canvas.word(x + TICK + mm(1.0), top + TICK - mm(1.0), style, word);
        x += needs + gap;
    }
    top + TICK - y
}

/// The least between two ticks.
const TICK_GAP: Len = mm(1.4);

/// The type and the gap with which all the words stand on one line.
fn tick_type(words: &[String], width: Len) -> Option<(TextStyle, Len)> {
    let count = i32::try_from(words.len()).unwrap_or(1).max(1);
    [TEXT, CAPTION].into_iter().find_map(|style| {
        let each = words.iter().map(|word| TICK + mm(1.0) + style.width(word));
        let spare = (width - each.sum()) / (count - 1).max(1);
        (spare >= TICK_GAP).then_some((style, spare.min(mm(4.0))))
    })
}

fn why(canvas: &mut Canvas<'_>, columns: &Columns, y: Len) {
    let top = y + OVER;
    let base = top + TICK - mm(1.0);
    let mut x = canvas.word(columns.code, base, ASIDE, "why again") + mm(2.0);
    for word in ["measured again", "reworked", "part changed"] {
        canvas.tick_box(at(x, top));
        x = canvas.word(x + TICK + mm(1.0), base, TEXT, word) + mm(3.0);
    }
    x = canvas.word(x, base, ASIDE, "initials") + mm(1.2);
    let end = (x + INITIALS + mm(6.0)).min(columns.answer.0 - mm(16.0));
    canvas.rule(x, base + mm(0.8), end - x, HAIR);
}
