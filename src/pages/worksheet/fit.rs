//! The rows of a fit: shaft boxes, bore boxes and the clearance along one
//! line, scales once above their own columns.

use super::entry::{self, Told};
use super::{Layout, fit_columns, gauge, row_fields};
use crate::judge::{BoxGroup, BoxKind, Look, Scale};
use crate::layout::at;
use crate::layout::canvas::{Canvas, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::paginate::{Block, Blocks};
use crate::layout::style::{ASIDE, CAPTION, LABEL, STRONG, TEXT, TextStyle};
use crate::model::side::Side;
use crate::model::text::capital;
use crate::pages::boxes::{CELL_H, TICK};
use crate::pages::scale::{Sides, scale, sides};
use crate::sheet::{LineRows, Row, fields};
use fit_columns::{Columns, GroupColumn};

/// Two groups of combs, at least one of them printed on the row.
pub fn is_fit(line: &LineRows) -> bool {
    let combs = line.groups.iter().filter(|group| matches!(group.shape, BoxKind::Comb { .. }));
    combs.count() == 2 && line.has_boxes()
}

/// Above and below the boxes of a row.
const AIR: Len = mm(0.4);
const CODE_SIZES: [f64; 5] = [22.0, 18.0, 15.0, 12.0, 9.0];

/// Puts a fit's head and rows.
///
/// A titled one has its name and limits in the title of its section already.
pub fn rows(lay: &Layout<'_>, blocks: &mut Blocks, line: &LineRows, titled: Option<&str>) {
    let columns = Columns::new(lay, line);
    let again = blocks
        .headed(mm(1.0), |again| head(lay, line, &columns, titled.filter(|_| !again).ok_or(again)));
    for row in &line.rows {
        let block = row_of(lay, line, &columns, row).under([again]);
        blocks.push(block.with(row_fields([row])));
    }
}

/// The line's entry, or a note where its title says the rest; the columns'
/// titles and the scales.
fn head(lay: &Layout<'_>, line: &LineRows, columns: &Columns, titled: Result<&str, bool>) -> Block {
    let mut canvas = lay.canvas();
    let told = match titled {
        Err(true) => Told::Short,
        Err(false) => Told::Whole,
        Ok(_) => Told::Titled,
    };
    let short = told == Told::Short;
    let entry = entry::entry(lay, line, lay.area.w, told);
    let mut y = canvas.place(at(Len::ZERO, Len::ZERO), entry);
    if !short && line.answers.iter().any(|answer| answer.side) {
        let tight = line
            .scales
            .iter()
            .any(|scale| matches!(sides(scale), Some(Sides::Tight | Sides::Mixed)));
        let note = titled.ok().map(|note| format!("{note} · ")).unwrap_or_default();
        let turned = if tight { TURNED } else { "" };
        let subtract = format!("{note}{SUBTRACT}{turned}");
        y += canvas.tell(at(Len::ZERO, y), CAPTION, &subtract, lay.area.w);
    }
    y += mm(0.8);
    let told = legend(&mut canvas, line, columns, y);
    let titled = titles(&mut canvas, line, columns, y, (lay, short)) + mm(0.8);
    y += titled;
    let mut tallest = told - titled;
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

const SUBTRACT: &str = "tightest: smallest bore less largest shaft · loosest: largest bore less \
    smallest shaft · L loose, T tight";
/// Of a line whose shafts may be larger than their bores.
const TURNED: &str = " · a shaft larger than its bore: subtract the other way and write T";

fn titles(
    canvas: &mut Canvas<'_>,
    line: &LineRows,
    columns: &Columns,
    y: Len,
    (lay, again): (&Layout<'_>, bool),
) -> Len {
    let mut tallest = Len::ZERO;
    for (over, x, width) in columns.spans(line) {
        let group = line.groups.iter().find(|group| Some(group.key) == over);
        let (title, hint) = match group {
            Some(group) => titled(lay, group, width),
            None => ("Clearance".to_string(), sided(line)),
        };
        let end = STRONG.width(&title) + mm(1.6);
        let beside = CAPTION.para(&hint, width - end);
        let mut height = if beside.lines.len() <= 2 && end < width / 2 {
            canvas.word(x, y + STRONG.ascent, STRONG, &title);
            canvas.write(at(x + end, y + mm(0.2)), &beside).max(STRONG.leading)
        } else {
            let down = canvas.tell(at(x, y), STRONG, &title, width);
            down + canvas.tell(at(x, y + down), CAPTION, &hint, width)
        };
        if let Some(group) = group.filter(|group| !again && gauge::asked(lay, line, group.key)) {
            let of = (line, group.key);
            if hint.is_empty() && end + mm(1.4) + gauge::least() <= width {
                let start = x + end + mm(1.4);
                gauge::write(lay, canvas, of, (start, x + width), y + STRONG.ascent);
            } else {
                gauge::write(lay, canvas, of, (x, x + width), y + height + gauge::BASE);
                height += gauge::ROW;
            }
        }
        tallest = tallest.max(height);
    }
    tallest
}

/// `Shaft: piston skirt` with its hint, or the side alone where that has room
/// for a hint on the same line.
fn titled(lay: &Layout<'_>, group: &BoxGroup, width: Len) -> (String, String) {
    let side = capital(&group.called);
    let hint = hint(lay, group);
    let lines = |title: &str| {
        let end = STRONG.width(title) + mm(1.6);
        CAPTION.para(&hint, width - end).lines.len()
    };
    let fits = STRONG.width(&group.title) + mm(1.6) < width / 2;
    let whole = fits && lines(&group.title) <= lines(&side).max(1);
    (if whole { group.title.clone() } else { side }, hint)
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
        words.push("dotted: beyond new size, measure again");
    }
    let width = columns.code - mm(1.0);
    words.into_iter().fold(Len::ZERO, |down, words| {
        down + canvas.tell(at(Len::ZERO, y + down), CAPTION, words, width)
    })
}

fn row_of(lay: &Layout<'_>, line: &LineRows, columns: &Columns, row: &Row) -> Block {
    let mut canvas = lay.canvas();
    let names = code(&mut canvas, columns, row);
    let boxes = pass(lay, line, columns, row);
    let y = AIR + canvas.place(at(Len::ZERO, AIR), boxes);
    let y = y.max(names) + AIR;
    canvas.rule(Len::ZERO, y, lay.area.w, MINOR);
    canvas.done(y)
}

/// The row's code, its place in words and how it is reached.
fn code(canvas: &mut Canvas<'_>, columns: &Columns, row: &Row) -> Len {
    let width = columns.code - mm(1.2);
    // How it is reached takes lines of its own.
    let sizes = if row.reach.is_some() { &CODE_SIZES[1..] } else { &CODE_SIZES };
    let code = STRONG.fitted(sizes, &row.code, width - mm(1.0));
    let y = AIR + canvas.write(at(Len::ZERO, AIR), &code) + mm(0.4);
    y + place(canvas, row, y, width)
}

/// A row's place in words and how it is reached; gives back the height.
pub fn place(canvas: &mut Canvas<'_>, row: &Row, y: Len, width: Len) -> Len {
    let down = canvas.tell(at(Len::ZERO, y), STRONG.sized(7.8), &row.name, width);
    let Some(reach) = &row.reach else { return down };
    let reach = reach.strip_prefix("reached ").unwrap_or(reach);
    down + canvas.tell(at(Len::ZERO, y + down), CAPTION, reach, width)
}

/// In two lines that end there, the first on that baseline.
pub fn measured_again(canvas: &mut Canvas<'_>, right: Len, base: Len) {
    canvas.word_right(right, base, ASIDE, "measured");
    canvas.word_right(right, base + ASIDE.leading, ASIDE, "again");
}

/// Captions over boxes.
const OVER: Len = mm(3.2);

/// One line of boxes across: shaft, bore, clearance.
fn pass(lay: &Layout<'_>, line: &LineRows, columns: &Columns, row: &Row) -> Block {
    let mut canvas = lay.canvas();
    let combs = |canvas: &mut Canvas<'_>, side: &GroupColumn| {
        let group = &line.groups[side.group];
        let written = |n: usize| lay.written(Some(row), group, n);
        match group.own {
            true => {
                let field = |n: usize, part: &str| fields::reading(&row.code, group, n, part);
                fit_columns::combs(canvas, group, side, written, field)
            }
            false => fit_columns::carried(lay, canvas, group, side, Some(row)),
        }
    };
    let heights: Vec<Len> = columns.sides.iter().map(|side| combs(&mut canvas, side)).collect();
    // What is ticked of side `n`, under that point of a side's column.
    let put = |canvas: &mut Canvas<'_>, n: usize, (under, y): (usize, Len), told: bool| {
        let group = &line.groups[columns.sides[n].group];
        let Some(scale) = line.scales.iter().find(|scale| scale.over == Some(group.key)) else {
            return y;
        };
        let asked = match told {
            true => format!("{}: {}", group.called, asked(group)),
            false => asked(group),
        };
        let side = &columns.sides[under];
        y + ticks(canvas, (side.x, side.width), &asked, scale, y)
    };
    // Where the boxes of one side stand in several lines the other has room for
    // what is ticked of both.
    let mut lowest = heights.iter().copied().max().unwrap_or_default() + mm(0.2);
    let tall = usize::from(heights.first() < heights.last());
    let mut trial = lay.canvas();
    let fits = heights.len() == 2 && {
        let other = 1 - tall;
        let own = put(&mut trial, other, (other, heights[other] + mm(0.2)), true);
        put(&mut trial, tall, (other, own + mm(0.8)), true) <= heights[tall]
    };
    if fits {
        canvas.put(trial.marks, at(Len::ZERO, Len::ZERO));
    } else {
        for (n, height) in heights.iter().enumerate() {
            lowest = lowest.max(put(&mut canvas, n, (n, *height + mm(0.2)), false));
        }
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
        y += CELL_H + mm(0.4);
    }
    y - mm(0.4)
}

/// `smaller of A, B falls in`: which of the readings the bands are for.
fn asked(group: &BoxGroup) -> String {
    let governs = group.governs.iter().chain(std::iter::repeat(&true));
    let labels = group.labels.iter().zip(governs);
    let labels: Vec<&str> =
        labels.filter(|(_, on)| **on).map(|(label, _)| label.as_str()).collect();
    let bore = group.key == Side::Bore.into();
    match labels.as_slice() {
        [] => "it falls in".to_string(),
        [only] if group.labels.len() > 1 => format!("{only} falls in"),
        [_] => "it falls in".to_string(),
        [a, b] => format!("{} of {a}, {b} falls in", if bore { "larger" } else { "smaller" }),
        _ => format!("{} falls in", if bore { "largest" } else { "smallest" }),
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
    // The scale above says the whole of it; a new mate is never just new.
    let cut = |cuts: &[(&str, &str)]| -> Vec<String> {
        let word = |word: &&str| {
            cuts.iter().fold((*word).to_owned(), |word, (long, short)| word.replace(long, short))
        };
        words.iter().map(word).collect()
    };
    let fits = |words: &Vec<String>| tick_type(words, width).is_some();
    let shorter = (0..=SHORTER.len()).map(|count| cut(&SHORTER[..count]));
    let short = shorter.into_iter().find(fits).unwrap_or_else(|| cut(&SHORTER[..1]));
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

/// What may be cut of the words of the bands, one after the other, to have them on one
/// line.
const SHORTER: [(&str, &str); 3] =
    [(" only", ""), ("any mate", "any"), ("selected mate", "select")];

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
