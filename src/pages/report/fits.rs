//! Fits: both ends of each, and a bar that shows where it lies.

use super::bar::{self, Bar};
use super::figures::{FigureColumn, Points};
use super::fit_row::{self, BAR_TOP, Columns, PAD};
use super::table;
use super::text::{BODY, BOLD, HEADING, ITALIC, Setter};
use super::ticks::Ticks;
use crate::layout::at;
use crate::layout::canvas::{BOX, Canvas, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Point};
use crate::layout::paginate::{Anchor, Block, Blocks};
use crate::layout::style::TextStyle;
use crate::model::side::Side;
use crate::report::{FitGroup, FitLine, Marker};

/// How far the sizes over a bar may stand out past its ends.
const OUT: Len = mm(5.0);

pub fn fits(set: &Setter, blocks: &mut Blocks, groups: &[FitGroup]) {
    let columns = columns(set, groups);
    let head = blocks.headed(mm(2.6), |_| columns_head(set, &columns));
    for (n, group) in groups.iter().enumerate() {
        let above = mm(if n == 0 { 0.0 } else { 1.0 });
        fit_group(set, &columns, group, blocks, (above, head));
    }
    if let Some(last) = blocks.list.last_mut() {
        last.keep = true;
    }
    blocks.push(legend(set, groups));
}

fn lines(groups: &[FitGroup]) -> impl Iterator<Item = &FitLine> {
    groups.iter().flat_map(|group| &group.rows)
}

/// Figures get the room they need; the place gets what they leave over.
fn columns(set: &Setter, groups: &[FitGroup]) -> Columns {
    let mut points = [Points::default(); 4];
    for line in lines(groups) {
        let texts: [(TextStyle, &[&String]); 4] = [
            (BODY, &[&line.shaft.0, &line.shaft.1]),
            (BODY, &[&line.bore.0, &line.bore.1]),
            (BOLD, &[&line.tightest, &line.loosest]),
            (BODY, &[&line.margin]),
        ];
        for (points, (style, texts)) in points.iter_mut().zip(texts) {
            texts.iter().for_each(|text| points.take(style, text));
        }
    }
    let widths = [(11.8, 15.0), (11.8, 15.0), (12.0, 17.0), (10.8, 14.0)];
    let width = |n: usize| points[n].width().clamp(mm(widths[n].0), mm(widths[n].1));
    let [shaft, bore, fit, margin] = [0, 1, 2, 3].map(width);
    let gap = mm(3.0);
    let before_bar = mm(6.0);
    // What the state needs for its longest word, and no less than for four.
    let words = lines(groups).map(|line| BOLD.longest_word(&line.state));
    let state = words.max().unwrap_or(Len::ZERO).clamp(mm(29.0), mm(32.0));
    let taken = shaft + bore + fit + margin + state + gap * 3 + before_bar + bar::LENGTH + mm(4.6);
    let spare = set.width - taken;
    let place = spare.max(mm(18.0));
    let column = |x, width, points| FigureColumn::new(x, width, Some(points));
    let shaft = column(place + gap / 2, shaft, points[0]);
    let bore = column(shaft.x + shaft.width + gap, bore, points[1]);
    let fit = column(bore.x + bore.width + gap, fit, points[2]);
    let bar = fit.x + fit.width + before_bar;
    let margin = column(bar + bar::LENGTH + mm(3.6), margin, points[3]);
    let state_at = margin.x + margin.width + gap;
    Columns {
        place,
        shaft,
        bore,
        fit,
        bar,
        margin,
        state: FigureColumn::new(state_at, set.width - state_at, None),
    }
}

fn columns_head(set: &Setter, columns: &Columns) -> Block {
    let mut canvas = set.canvas();
    canvas.rule(Len::ZERO, Len::ZERO, set.width, BOX);
    let heads = [
        (Len::ZERO, "row", "place"),
        (columns.shaft.x, Side::Shaft.word(), "max, min"),
        (columns.bore.x, Side::Bore.word(), "min, max"),
        (columns.fit.x, "tightest", "loosest"),
        (columns.bar, "where the fit lies", "each group on a scale of its own"),
        (columns.margin.x, "margin", "to loosest"),
        (columns.state.x, "state", ""),
    ];
    for (x, upper, lower) in heads {
        let lower_style = if lower == "loosest" { BOLD } else { BODY };
        canvas.set(at(x, PAD), BOLD, Align::Left, upper);
        if !lower.is_empty() {
            let y = PAD + BODY.leading;
            canvas.set(at(x, y), lower_style, Align::Left, lower);
        }
    }
    let height = PAD * 2 + BODY.leading * 2;
    canvas.rule(Len::ZERO, height, set.width, BOX);
    canvas.block(height)
}

fn fit_group(
    set: &Setter,
    columns: &Columns,
    group: &FitGroup,
    blocks: &mut Blocks,
    (above, head): (Len, usize),
) {
    let again = blocks.repeated(group_title(set, columns, group, true));
    let title = group_title(set, columns, group, false).above(above).kept().under([head]);
    blocks.push(title.with([Anchor::Bookmark(1, group.title.clone())]));
    let bar = Bar::new(group);
    for (n, line) in group.rows.iter().enumerate() {
        let same = |other: Option<&FitLine>| other.is_some_and(|other| other.code == line.code);
        let follows = n > 0 && same(group.rows.get(n - 1));
        let goes_on = same(group.rows.get(n + 1));
        let last = n + 1 == group.rows.len();
        let rule = match (last, goes_on) {
            (true, _) => (Len::ZERO, BOX),
            (_, true) => (columns.shaft.x, MINOR),
            _ => (Len::ZERO, MINOR),
        };
        let row = |named: bool| fit_row::row(set, columns, &bar, line, named, rule);
        let named = row(true);
        let heads = [head, again];
        let most = set.room - heads.map(|n| blocks.repeat(n).height).into_iter().sum();
        if named.height > most {
            table::pieces_of_row(set, blocks, fit_row::broken(named), &heads);
            continue;
        }
        let block = match follows {
            true => Block { at_top: Some(Box::new(named)), ..row(false) },
            false => named,
        };
        blocks.push(Block { keep: goes_on, ..block.under(heads) });
    }
}

/// Title and note at the left, the sizes over the bar at the right.
fn group_title(set: &Setter, columns: &Columns, group: &FitGroup, again: bool) -> Block {
    let mut canvas = set.canvas();
    let width = columns.bar - OUT - mm(2.0);
    let top = mm(1.8);
    let title = match again {
        true => format!("{}, continued", group.title),
        false => group.title.clone(),
    };
    let mut y = top + canvas.tell(at(Len::ZERO, top), HEADING, &title, width);
    if let Some(note) = group.note.as_ref().filter(|_| !again) {
        y += canvas.tell(at(Len::ZERO, y), ITALIC, note, width);
    }
    let ticks = Ticks::new(group, OUT);
    let height = (y + mm(0.8)).max(top + ticks.height());
    ticks.draw(&mut canvas, at(columns.bar, height - ticks.height()), BAR_TOP);
    canvas.block(height)
}

/// What the shapes mean, and how the figures belong together.
fn legend(set: &Setter, groups: &[FitGroup]) -> Block {
    let mut canvas = set.canvas();
    let beyond = |marker: &Marker| marker.from < 0 || marker.to > 1_000_000;
    let arrows = lines(groups).any(|line| line.marker.as_ref().is_some_and(beyond));
    let names = [
        "new limits",
        "service limits",
        "beyond",
        "as found, superseded",
        "as left, or unchanged",
        "off the scale",
    ];
    let count = if arrows { names.len() } else { names.len() - 1 };
    let mut corner = Point::default();
    for (kind, name) in names.into_iter().take(count).enumerate() {
        let width = sample_width(kind);
        let whole = width + mm(1.6) + BODY.width(name);
        if corner.x + whole > set.width {
            corner.x = Len::ZERO;
            corner.y += bar::HEIGHT + mm(1.6);
        }
        sample(&mut canvas, kind, corner);
        let top = corner.y + (bar::HEIGHT - BODY.leading) / 2;
        canvas.set(at(corner.x + width + mm(1.6), top), BODY, Align::Left, name);
        corner.x += whole + mm(5.0);
    }
    let text = "The upper line of a row is smallest bore less largest shaft, the tightest; the \
                lower is largest bore less smallest shaft, the loosest. L is loose, T is tight. A \
                size equal to its limit is inside it. The state of a row is the worst of its fit, \
                its shaft and its bore.";
    let y = corner.y + bar::HEIGHT + mm(1.4);
    let height = canvas.tell(at(Len::ZERO, y), BODY, text, set.width);
    canvas.block(y + height).above(mm(3.0))
}

fn sample_width(kind: usize) -> Len {
    mm(match kind {
        0..=2 => 8.0,
        5 => 2.0,
        _ => 5.0,
    })
}

fn sample(canvas: &mut Canvas<'_>, kind: usize, corner: Point) {
    let width = sample_width(kind);
    let mark = match kind {
        0 => bar::outline(Len::ZERO, width, bar::NEW),
        1 => bar::outline(Len::ZERO, width, bar::SERVICE),
        2 => bar::hatch(Len::ZERO, width),
        5 => {
            bar::arrow(canvas, corner, Len::ZERO, mm(1.8), true);
            return;
        }
        _ => {
            let solid = kind == 4;
            let marker = Marker { from: 0, to: 0, solid };
            bar::draw_marker(canvas, corner, marker, (Len::ZERO, width));
            return;
        }
    };
    canvas.put([mark], corner);
}
