//! Feelers: a ring of cells a row, one cell a tooth for each leaf.

use super::{Layout, entry, row_fields};
use crate::judge::{BoxGroup, BoxKind};
use crate::layout::canvas::{BOX, Canvas, HAIR, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Entry, Point, Step};
use crate::layout::paginate::{Block, Blocks};
use crate::layout::style::{ASIDE, CAPTION, LABEL, STRONG, TEXT};
use crate::layout::{area, at};
use crate::model::side::Group;
use crate::pages::boxes::{CELL_H, CELL_W, Comb, TICK};
use crate::sheet::fields::{self, Named};
use crate::sheet::{LineRows, Row};

/// Radii of the inner edge, the middle and the outer edge.
const INNER: f64 = 22.6;
const MIDDLE: f64 = 28.8;
const OUTER: f64 = 35.0;
/// The most teeth whose cells can still be written in.
const MOST: usize = 30;

/// The groups of leaves: outer ring first.
fn leaves(line: &LineRows) -> Vec<&BoxGroup> {
    let mut groups: Vec<&BoxGroup> =
        line.groups.iter().filter(|group| matches!(group.shape, BoxKind::Marks { .. })).collect();
    // NO-GO stands outside, where it is written last.
    groups.sort_by_key(|group| group.key != Group::NoGo);
    groups
}

pub fn rows(lay: &Layout<'_>, blocks: &mut Blocks, line: &LineRows) {
    blocks.push(line_head(lay, line).above(mm(1.0)).kept());
    let count = leaves(line).first().map_or(0, |group| group.labels.len());
    if !(3..=MOST).contains(&count) || leaves(line).len() != 2 {
        for row in &line.rows {
            blocks.push(squares(lay, line, row).with(row_fields([row])));
        }
    } else {
        for pair in line.rows.chunks(2) {
            let block = rings(lay, line, pair);
            blocks.push(block.above(mm(1.0)).kept().with(row_fields(pair)));
        }
    }
    blocks.push(counts(lay, line, count).above(mm(1.0)));
    blocks.push(again(lay, line));
}

/// What the limits say, and the scale of what the leaves prove.
fn line_head(lay: &Layout<'_>, line: &LineRows) -> Block {
    let mut canvas = lay.canvas();
    let half = lay.area.w / 2;
    let entry = entry::entry(lay, line, half - mm(4.0), entry::Told::Whole);
    let mut left = canvas.place(at(Len::ZERO, Len::ZERO), entry) + mm(0.8);
    for (n, word) in ["GO leaf", "NO-GO leaf"].into_iter().enumerate() {
        let x = (half / 2).times(n);
        canvas.tick_box(at(x, left));
        let end = canvas.word(x + TICK + mm(1.2), left + TICK - mm(1.0), STRONG, word);
        canvas.word(end + mm(1.2), left + TICK - mm(1.0), TEXT, "in hand");
    }
    left += TICK + mm(0.8);
    let right = entry::scales(lay, &mut canvas, line, half);
    let height = left.max(right) + mm(0.6);
    canvas.rule(Len::ZERO, height, lay.area.w, MINOR);
    canvas.done(height)
}

/// One ring or two, the legend between or beside.
fn rings(lay: &Layout<'_>, line: &LineRows, rows: &[Row]) -> Block {
    let mut canvas = lay.canvas();
    let radius = mm(OUTER + 0.2);
    let groups = leaves(line);
    let labels = &groups[0].labels;
    let x = [radius, lay.area.w - radius];
    let mut height = radius * 2;
    for (row, x) in rows.iter().zip(x) {
        ring(&mut canvas, at(x, radius), labels);
        filled(lay, &mut canvas, at(x, radius), (row, &groups));
        if !centre(&mut canvas, at(x, radius), row) {
            let below = at(x - radius, radius * 2 + mm(0.8));
            let deep = canvas.tell(below, TEXT, &row.name, radius * 2);
            height = height.max(below.y + deep);
        }
    }
    let left = radius * 2 + mm(2.0);
    let width = lay.area.w - radius * 4 - mm(4.0);
    let width = if rows.len() > 1 { width } else { width + radius };
    legend(&mut canvas, line, left, width);
    let height = height + mm(1.0);
    canvas.rule(Len::ZERO, height, lay.area.w, MINOR);
    canvas.done(height)
}

fn polar(centre: Point, radius: f64, turn: f64) -> Point {
    // Tooth 1 at the top, clockwise.
    let angle = (turn - 0.25) * std::f64::consts::TAU;
    at(centre.x + mm(radius * angle.cos()), centre.y + mm(radius * angle.sin()))
}

/// The cells and the gear: the same for every ring of so many teeth.
fn ring(canvas: &mut Canvas<'_>, middle: Point, labels: &[String]) {
    let size = mm(OUTER * 2.0);
    let corner = at(middle.x - mm(OUTER), middle.y - mm(OUTER));
    let name = format!("ring-{}", labels.join("-"));
    canvas.stamp(&name, corner, (size, size), |canvas| {
        let centre = at(mm(OUTER), mm(OUTER));
        for radius in [INNER, MIDDLE, OUTER] {
            canvas.circle(centre, mm(radius), Some(BOX), false);
        }
        let count = labels.len() as f64;
        for (n, label) in labels.iter().enumerate() {
            let turn = n as f64 / count;
            let between = turn + 0.5 / count;
            canvas.line(polar(centre, INNER, between), polar(centre, OUTER, between), HAIR);
            let spot = polar(centre, INNER - 2.6, turn);
            let style = if n == 0 { STRONG } else { LABEL };
            canvas.run(at(spot.x, spot.y + mm(1.0)), style, Align::Centre, label);
        }
        canvas.path(gear(centre, labels.len()), Some(HAIR), false);
        canvas.circle(polar(centre, 15.4, 0.0), mm(0.9), None, true);
    });
}

/// What an example shows in the cells.
fn filled(lay: &Layout<'_>, canvas: &mut Canvas<'_>, centre: Point, of: (&Row, &[&BoxGroup])) {
    let (row, groups) = of;
    let side = mm(3.2);
    for (group, radius) in groups.iter().zip([(MIDDLE + OUTER) / 2.0, (INNER + MIDDLE) / 2.0]) {
        let count = group.labels.len();
        for n in 0..count {
            let spot = polar(centre, radius, n as f64 / count as f64);
            let corner = at(spot.x - side / 2, spot.y - side / 2);
            canvas.marked(corner, side, lay.written(Some(row), group, n));
            let over = area(corner.x, corner.y, side, side);
            canvas.field(over, Entry::Letter, || fields::reading(&row.code, group, n, ""));
        }
    }
}

/// The outline of a gear with its first tooth at the top.
fn gear(centre: Point, teeth: usize) -> Vec<Step> {
    const TIP: f64 = 17.2;
    const ROOT: f64 = 13.4;
    let one = 1.0 / teeth as f64;
    let mut steps = Vec::new();
    for n in 0..teeth {
        let middle = n as f64 * one;
        let corners = [(-0.3, ROOT), (-0.16, TIP), (0.16, TIP), (0.3, ROOT)];
        for (aside, radius) in corners {
            let point = polar(centre, radius, middle + aside * one);
            let first = steps.is_empty();
            steps.push(if first { Step::To(point) } else { Step::Line(point) });
        }
    }
    steps.push(Step::Close);
    steps
}

/// The row's code and name inside the gear; whether the name has room there.
fn centre(canvas: &mut Canvas<'_>, middle: Point, row: &Row) -> bool {
    let width = mm(23.0);
    let code = STRONG.fitted(&[16.0, 12.0, 8.0], &row.code, width);
    let mut name = TEXT.para(&row.name, width);
    let room = name.lines.len() <= 3;
    if !room {
        name.lines.clear();
    }
    let top = middle.y - (code.height() + name.height()) / 2;
    let down = canvas.write_aligned(at(middle.x, top), &code, Align::Centre);
    canvas.write_aligned(at(middle.x, top + down), &name, Align::Centre);
    room
}

/// Which ring is which leaf, and how to mark.
fn legend(canvas: &mut Canvas<'_>, line: &LineRows, x: Len, width: Len) {
    let each = each(line);
    let middle = x + width / 2;
    let mut y = mm(3.0);
    canvas.word_centre(middle, y, LABEL, &format!("at each {each}"));
    let wide = mm(15.0);
    let tall = mm(6.2);
    y += mm(1.4);
    for (n, leaf) in ["NO-GO", "GO"].into_iter().enumerate() {
        let top = y + tall.times(n);
        canvas.rect(area(middle - wide / 2, top, wide, tall), BOX);
        canvas.word_centre(middle, top + tall / 2 + mm(1.0), LABEL, leaf);
    }
    y += tall * 2 + mm(2.4);
    let meanings = [
        ("outer ring: NO-GO", "leaf is refused", "leaf goes in"),
        ("inner ring: GO", "leaf goes in freely", "leaf is refused"),
    ];
    for (ring, good, bad) in meanings {
        y += canvas.tell(at(x, y), LABEL, ring, width);
        y = marked(canvas, x, y, true, good);
        y = marked(canvas, x, y, false, bad) + mm(1.6);
    }
    let start = format!(
        "Drawn as seen from the side that the leaf goes in: the dot marks {each} 1, count \
             clockwise."
    );
    y += canvas.tell(at(x, y), CAPTION, &start, width) + mm(1.4);
    let odd = "GO refused and NO-GO in cannot both be: measure again.";
    canvas.tell(at(x, y), CAPTION, odd, width);
}

fn marked(canvas: &mut Canvas<'_>, x: Len, y: Len, good: bool, words: &str) -> Len {
    let side = mm(2.4);
    let top = y + mm(0.2);
    if good {
        canvas.tick(at(x, top), side);
    } else {
        canvas.cross(at(x, top), side);
    }
    canvas.word(x + side + mm(1.0), y + CAPTION.ascent, CAPTION, words);
    y + CAPTION.leading
}

fn each(line: &LineRows) -> &str {
    leaves(line).first().map_or("place", |group| match &group.shape {
        BoxKind::Marks { each } => each.as_str(),
        _ => "place",
    })
}

/// Cells in lines, where a ring has no room for so many.
fn squares(lay: &Layout<'_>, line: &LineRows, row: &Row) -> Block {
    let mut canvas = lay.canvas();
    let left = mm(34.0);
    let code = STRONG.fitted(&[14.0, 11.0, 8.0], &row.code, mm(18.0));
    let mut named = canvas.write(at(Len::ZERO, Len::ZERO), &code);
    named += canvas.tell(at(Len::ZERO, named), STRONG, &row.name, mm(18.0));
    let groups = leaves(line);
    let labels = groups.first().map_or(&[][..], |group| &group.labels);
    let pitch = mm(8.0);
    let across = usize::try_from((lay.area.w - left).um() / pitch.um()).unwrap_or(1).max(1);
    let mut y = Len::ZERO;
    for (y_line, labels) in labels.chunks(across).enumerate() {
        for (n, label) in labels.iter().enumerate() {
            let x = left + pitch.times(n);
            canvas.word_centre(x + CELL_W / 2, y + mm(2.8), LABEL, label);
        }
        y += mm(3.4);
        for group in groups.iter().rev() {
            let from = (y_line * across, group);
            canvas.word_right(left - mm(1.0), y + mm(4.2), LABEL, &group.title);
            for n in 0..labels.len() {
                let x = left + pitch.times(n);
                canvas.mark_box(at(x, y), CELL_W);
                let written = lay.written(Some(row), from.1, from.0 + n);
                canvas.marked(at(x, y), CELL_W, written);
                let over = area(x, y, CELL_W, CELL_W);
                let n = from.0 + n;
                canvas.field(over, Entry::Letter, || fields::reading(&row.code, from.1, n, ""));
            }
            y += mm(6.4);
        }
        y += mm(1.0);
    }
    let height = y.max(named) + mm(0.6);
    canvas.rule(Len::ZERO, height, lay.area.w, MINOR);
    canvas.done(height)
}

/// How many have both ticks, row by row.
fn counts(lay: &Layout<'_>, line: &LineRows, count: usize) -> Block {
    let mut canvas = lay.canvas();
    let comb = Comb {
        whole: if count > 9 { 2 } else { 1 },
        places: 0,
        signed: false,
        side: false,
        heavy: false,
    };
    let mut x = canvas.word(Len::ZERO, mm(5.8), STRONG, "how many have both ticks:");
    let mut y = Len::ZERO;
    for row in &line.rows {
        let of = format!("of {count}");
        let wide = LABEL.width(&row.code) + comb.width() + TEXT.width(&of) + mm(7.0);
        if x + wide > lay.area.w {
            x = Len::ZERO;
            y += CELL_H + mm(1.0);
        }
        x = canvas.word(x + mm(2.0), y + mm(5.8), LABEL, &row.code) + mm(1.4);
        canvas.comb(at(x, y), comb);
        x = canvas.word(x + comb.width() + mm(1.4), y + mm(5.8), TEXT, &of) + mm(2.2);
    }
    canvas.done(y + CELL_H + mm(1.2))
}

/// Further leaves, and what is tried again.
fn again(lay: &Layout<'_>, line: &LineRows) -> Block {
    let mut canvas = lay.canvas();
    // They may stand on another page than their gears.
    let words =
        format!("line {}: further leaves, and leaves tried again, a line each", line.reference);
    canvas.word(Len::ZERO, mm(3.0), ASIDE, &words);
    let half = (lay.area.w - mm(5.0)) / 2;
    let mut y = mm(4.0);
    let mut leaves = line.rows.iter().flat_map(|row| {
        let all = (0..).map_while(|n| lay.said(&row.code, "leaves", n));
        all.map(|leaf| (row.code.as_str(), leaf))
    });
    for pair in 0..2 {
        for n in 0..2 {
            let tried_at = at((half + mm(5.0)) * n, y);
            let field = |part: &str| fields::leaf(&line.reference, pair * 2 + n + 1, part);
            tried(&mut canvas, each(line), tried_at, half, leaves.next(), field);
        }
        y += mm(7.4);
    }
    canvas.rule(Len::ZERO, y + mm(0.6), lay.area.w, MINOR);
    canvas.done(y + mm(0.6))
}

fn tried(
    canvas: &mut Canvas<'_>,
    each: &str,
    Point { x, y }: Point,
    width: Len,
    leaf: Option<(&str, &str)>,
    field: impl Fn(&str) -> Named,
) {
    let mut said: Vec<&str> = leaf.iter().map(|(row, _)| *row).collect();
    said.extend(leaf.iter().flat_map(|(_, leaf)| leaf.split(", ")));
    let base = y + mm(5.0);
    let line = y + mm(5.8);
    let mut left = x;
    for (n, (word, wide)) in [("row", 9.0), (each, 8.0), ("leaf", 12.0)].into_iter().enumerate() {
        left = canvas.word(left, base, CAPTION, word) + mm(0.8);
        canvas.rule(left, line, mm(wide), HAIR);
        canvas.scribble(at(left, line), mm(wide), said.get(n).copied());
        canvas.words_field(at(left, line), mm(wide), || field(fields::LEAF[n]));
        left += mm(wide + 1.2);
    }
    for (word, told) in [("in", "entered"), ("refused", "refused")] {
        canvas.tick_box(at(left, y + mm(1.6)));
        let ticked = said.get(3).filter(|said| **said == told).map(|_| "v");
        canvas.marked(at(left, y + mm(1.6)), TICK, ticked);
        canvas.field(area(left, y + mm(1.6), TICK, TICK), Entry::Tick, || field(told));
        left = canvas.word(left + TICK + mm(0.8), base, CAPTION, word) + mm(1.4);
    }
    canvas.rule(left, line, x + width - left, HAIR);
}
