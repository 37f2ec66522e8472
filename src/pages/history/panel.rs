//! One row of one engine: the plot, and the figures that it is drawn from.

use super::band;
use super::plot::{Plot, places, plot};
use crate::layout::at;
use crate::layout::canvas::{BOX, Canvas, DASHED, Desk, HAIR, MINOR, mm, solid};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Area, Mark, Pen, area};
use crate::layout::paginate::Block;
use crate::layout::style::{CAPTION, LABEL, STRONG, TEXT, TextStyle};
use crate::quantity::Exact;
use crate::report::history::{Course, Point, Reading};
use crate::report::table::Verified;

/// For the sizes left of the plot.
const LABELS: Len = mm(19.0);
/// Right of it: number, job, hours, found, left.
const COLUMNS: [f64; 5] = [4.0, 15.0, 14.0, 28.0, 28.0];
const GAP: Len = mm(3.0);
const LEAST_HEIGHT: Len = mm(30.0);
const MARKER: Len = mm(2.0);
/// From the middle of a job to its two markers.
const APART: Len = mm(1.5);
/// A row of one figure is seen, too.
const LEAST_MARKER: Len = mm(1.2);
const HOLLOW: Pen = solid(0.8);
/// Sizes at the left stand no closer.
const PITCH: Len = mm(2.9);

/// The row as a piece of a page.
pub fn panel(desk: &Desk, course: &Course, width: Len) -> Block {
    let mut canvas = Canvas::new(desk);
    let mut y = canvas.tell(at(Len::ZERO, Len::ZERO), STRONG, &title(course), width);
    for words in limits(course) {
        y += canvas.tell(at(Len::ZERO, y), TEXT, &words, width);
    }
    let top = y + mm(1.6);
    let table = mm(COLUMNS.iter().sum());
    let left = LABELS;
    let right = width - table - GAP;
    let listed = list(&mut canvas, course, at(right + GAP, top - mm(0.6)));
    let height = (listed - CAPTION.leading).max(LEAST_HEIGHT);
    let plot = plot(course, area(left, top, right - left, height));
    draw(&mut canvas, course, &plot);
    canvas.done(top + height + CAPTION.leading * 2 + mm(0.6))
}

fn title(course: &Course) -> String {
    format!("{}  {}, {}", course.code, course.what, course.unit)
}

/// The limits in words, once for each run of jobs that have the same.
fn limits(course: &Course) -> Vec<String> {
    let runs: Vec<&[Point]> = course.points.chunk_by(|a, b| a.words == b.words).collect();
    let alone = runs.len() == 1;
    let said = |run: &&[Point]| {
        let first = run.first()?;
        Some(match alone {
            true => first.words.clone(),
            false => format!("from job {} on: {}", first.job, first.words),
        })
    };
    runs.iter().filter_map(said).collect()
}

fn marker(plot: &Plot, reading: &Reading, centre: Len) -> Area {
    let (top, foot) = (plot.y(reading.most), plot.y(reading.least));
    let more = (LEAST_MARKER - (foot - top)).max(Len::ZERO);
    area(centre - MARKER / 2, top - more / 2, MARKER, foot - top + more)
}

fn draw(canvas: &mut Canvas<'_>, course: &Course, plot: &Plot) {
    let places = places(course, plot);
    let sure = |reading: &Option<Reading>, centre: Len| {
        let reading = reading.as_ref().filter(|reading| reading.is_sure());
        reading.map(|reading| marker(plot, reading, centre))
    };
    let pairs: Vec<[Option<Area>; 2]> = course
        .points
        .iter()
        .zip(&places)
        .map(|(point, x)| [sure(&point.found, *x - APART), sure(&point.left, *x + APART)])
        .collect();
    let markers: Vec<Area> = pairs.iter().flatten().flatten().copied().collect();
    let whole = plot.area();
    let mut from = whole.x;
    for run in runs(course) {
        let to = match places.get(run.end) {
            Some(next) => (places[run.end - 1] + *next) / 2,
            None => whole.x + whole.w,
        };
        band::draw(canvas, plot, &course.points[run.start].limits, (from, to), &markers);
        from = to;
    }
    canvas.rect(whole, BOX);
    in_service(canvas, &pairs);
    for [found, left] in &pairs {
        if let Some(found) = found {
            let inset = HOLLOW.weight / 2;
            let inner = area(
                found.x + inset,
                found.y + inset,
                found.w - inset * 2,
                (found.h - inset * 2).max(mm(0.1)),
            );
            canvas.marks.push(Mark::Rect { area: inner, pen: Some(HOLLOW), fill: false });
        }
        left.iter().for_each(|left| canvas.black(*left));
    }
    sizes(canvas, course, plot);
    under(canvas, course, plot, &places);
}

/// Jobs one after another that were held against the same limits.
fn runs(course: &Course) -> Vec<std::ops::Range<usize>> {
    let mut start = 0;
    let same = course.points.chunk_by(|a, b| a.limits == b.limits);
    same.map(|run| {
        let range = start..start + run.len();
        start = range.end;
        range
    })
    .collect()
}

/// From as left to as found at the next job.
fn in_service(canvas: &mut Canvas<'_>, pairs: &[[Option<Area>; 2]]) {
    for pair in pairs.windows(2) {
        let [[_, Some(left)], [Some(found), _]] = pair else { continue };
        let middle = |marker: &Area| marker.y + marker.h / 2;
        let (from, to) = (at(left.x + left.w, middle(left)), at(found.x, middle(found)));
        if to.x > from.x {
            canvas.line(from, to, DASHED);
        }
    }
}

/// The limits at the left of the plot, moved apart where they are close.
fn sizes(canvas: &mut Canvas<'_>, course: &Course, plot: &Plot) {
    let mut limits: Vec<Exact> = course
        .points
        .iter()
        .flat_map(|point| [point.limits.new, point.limits.accepted].into_iter().flatten().flatten())
        .collect();
    limits.sort_by(|a, b| b.cmp(a));
    limits.dedup();
    let mut free = plot.area().y - PITCH;
    for limit in limits {
        let own = plot.y(limit);
        let y = own.max(free + PITCH);
        free = y;
        let end = plot.area().x;
        canvas.word_right(end - mm(2.6), y + mm(0.9), LABEL, &course.show(limit));
        canvas.line(at(end - mm(2.2), y), at(end, own), HAIR);
    }
}

/// Numbers of the jobs, and what the plot runs along.
fn under(canvas: &mut Canvas<'_>, course: &Course, plot: &Plot, places: &[Len]) {
    let foot = plot.area().y + plot.area().h;
    let mut last = plot.area().x - mm(9.0);
    for (n, x) in places.iter().enumerate() {
        canvas.post(*x, foot, mm(1.0), MINOR);
        let words = (n + 1).to_string();
        if *x - last > LABEL.width(&words) + mm(1.2) {
            canvas.set(at(*x, foot + mm(0.8)), LABEL, Align::Centre, &words);
            last = *x;
        }
    }
    let y = foot + mm(0.6) + CAPTION.leading;
    let hours = course.points.first().zip(course.points.last());
    let hours = hours.and_then(|(first, last)| first.hours.zip(last.hours));
    let words = match hours.filter(|_| course.by_hours()) {
        Some((first, last)) if first != last => format!("{first} h to {last} h since new"),
        Some((first, _)) => format!("{first} h since new"),
        None => "one after another: not every job says its hours since new".to_owned(),
    };
    canvas.set(at(plot.area().x + plot.area().w / 2, y), CAPTION, Align::Centre, &words);
}

/// The figures, a line a job; where they end.
fn list(canvas: &mut Canvas<'_>, course: &Course, corner: crate::layout::mark::Point) -> Len {
    let mut y = corner.y;
    let mut x = corner.x;
    for (head, width) in ["", "job", "hours", "as found", "as left"].iter().zip(COLUMNS) {
        canvas.set(at(x, y), LABEL, Align::Left, head);
        x += mm(width);
    }
    y += CAPTION.leading + mm(0.4);
    canvas.rule(corner.x, y - mm(0.2), mm(COLUMNS.iter().sum()), MINOR);
    for (n, point) in course.points.iter().enumerate() {
        let hours = point.hours.map(|hours| hours.to_string()).unwrap_or_default();
        let job = match point.verified {
            Verified::Good => point.job.clone(),
            unsure => format!("{}, {}", point.job, unsure.word()),
        };
        let (found, left) = (said(course, &point.found), said(course, &point.left));
        let cells = [
            ((n + 1).to_string(), LABEL),
            (job, CAPTION),
            (hours, CAPTION),
            (found.0, found.1),
            (left.0, left.1),
        ];
        let mut x = corner.x;
        let mut tall = CAPTION.leading;
        for ((text, style), width) in cells.into_iter().zip(COLUMNS) {
            tall = tall.max(canvas.tell(at(x, y), style, &text, mm(width) - mm(1.0)));
            x += mm(width);
        }
        y += tall;
    }
    y - corner.y
}

/// A reading that does not pass is set bold, with its state.
fn said(course: &Course, reading: &Option<Reading>) -> (String, TextStyle) {
    let Some(reading) = reading else { return ("not measured".to_owned(), CAPTION) };
    let figures = course.show_both(reading);
    match reading.state.passes() {
        true => (figures, CAPTION),
        false => (format!("{figures} {}", reading.state.word()), LABEL),
    }
}
