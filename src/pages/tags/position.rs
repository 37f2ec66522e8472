//! Position tags, to cut out and wire on, and the strip in large print for
//! places that are reached through an opening.

use crate::diag::Diags;
use crate::judge::{BoxGroup, BoxKind, Range};
use crate::layout::canvas::{BOX, Canvas, DASHED, Desk, HAIR, HEAVY, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Document, Face, Mark, Page, Point};
use crate::layout::paginate::{Block, Blocks, TooTall};
use crate::layout::style::{ASIDE, CAPTION, NUMBER, STRONG, TEXT, TITLE, TextStyle};
use crate::layout::{area, at, margins, qr};
use crate::pages::worksheet::Layout;
use crate::pages::worksheet::bind::bind;
use crate::pages::worksheet::plan::Plan;
use crate::sheet::{LineRows, Row, Sheet, SheetSet, Tag};

/// Height of a tag: four rows of them on either paper.
const TALL: Len = mm(46.0);
/// Between tags, so that each has its own edges.
pub(super) const GUTTER: Len = mm(1.6);
/// Radius of the hole for the wire.
const HOLE: Len = mm(2.5);
const CODES: [f64; 4] = [40.0, 32.0, 26.0, 20.0];
const PARTS: [f64; 4] = [14.0, 12.0, 10.0, 8.2];

/// Pages of tags, two abreast. `None` with the faults in `out`.
pub fn lay_tags(set: &SheetSet, tags: &[Tag], out: &mut Diags) -> Option<Document> {
    let words =
        ["Position tags", "cut along the dashed lines; wire each to its part as it comes off"];
    lay(set, ("TAG", words, "position tags"), out, |lay| {
        let wide = lay.area.w / 2 - GUTTER / 2;
        let pair = |pair: &[Tag]| {
            Block::abreast(wide + GUTTER, pair.iter().map(|tag| draw(lay, tag, wide)))
        };
        tags.chunks(2).map(pair).collect()
    })
}

/// Large print for the rows whose places are reached through an opening.
pub fn lay_openings(set: &SheetSet, out: &mut Diags) -> Option<Document> {
    let words = ["Through an opening", "large print, to hang where it is seen from the opening"];
    lay(set, ("OPEN", words, "strip for openings"), out, |lay| {
        let mut blocks = Blocks::default();
        for line in set.sheets.iter().flat_map(Sheet::lines) {
            for row in line.rows.iter().filter(|row| row.reach.is_some()) {
                for group in through(line) {
                    blocks.push(opening(lay, line, row, group).above(mm(2.0)));
                }
            }
        }
        blocks
    })
}

pub(super) fn lay(
    set: &SheetSet,
    (letter, words, form): (&str, [&str; 2], &str),
    out: &mut Diags,
    fill: impl FnOnce(&Layout<'_>) -> Blocks,
) -> Option<Document> {
    let before = out.faults();
    let desk = Desk::of_many_codes();
    let lay = Layout::new(&desk, set, None);
    let blocks = fill(&lay);
    let plan = match Plan::bare(&lay, blocks, letter, words, form) {
        Ok(plan) => plan,
        Err(TooTall { .. }) => {
            out.fault_nowhere(
                format!("{form}: a piece is taller than a page"),
                "shorten the longest name",
            );
            return None;
        }
    };
    let mut document = bind(&lay, format!("{} {}", words[0], set.number), [plan], None);
    document.pages.iter_mut().for_each(on_dots);
    margins::check(&document, lay.area, out);
    (out.faults() == before).then_some(document)
}

/// What the name of a code's stamp begins with.
const CODE: &str = "code ";

/// Moves every code to whole dots of 1/150 inch from the page's corner, so that
/// none is printed or scanned half a dot off.
fn on_dots(page: &mut Page) {
    let dots = |len: Len| Len::mm((len.to_mm() * 150.0 / 25.4).round() * 25.4 / 150.0);
    for mark in &mut page.marks {
        if let Mark::Stamp { at, stamp } = mark
            && stamp.name.starts_with(CODE)
        {
            (at.x, at.y) = (dots(at.x), dots(at.y));
        }
    }
}

fn draw(lay: &Layout<'_>, tag: &Tag, wide: Len) -> Block {
    let mut canvas = lay.canvas();
    let tall = TALL - GUTTER;
    canvas.rect(area(Len::ZERO, Len::ZERO, wide, tall), DASHED);
    hole(&mut canvas, at(mm(8.0), tall / 2));
    let (left, top) = (mm(16.0), mm(3.2));
    let head = &lay.set.head;
    let reference = format!("{}/{}", lay.set.number, tag.reference());
    let (right, beside) = self::code(&mut canvas, &reference, wide, top);
    let code = TITLE.fitted(&CODES, &tag.code, right - left);
    let mut y = top - mm(1.0) + canvas.write(at(left, top - mm(1.0)), &code) + mm(0.4);
    y = y.max(mm(15.0));
    let part = STRONG.fitted(&PARTS, &tag.part, right - left);
    y += canvas.write(at(left, y), &part);
    let place = TEXT.fitted(&PARTS, &tag.place, right - left);
    y += canvas.write(at(left, y), &place);
    y = y.max(beside);
    let room = wide - left - mm(3.2);
    if !tag.also.is_empty() {
        let also = format!("also {}", tag.also.join(" "));
        y += canvas.tell(at(left, y), STRONG, &also, room);
    }
    if let Some(reach) = &tag.reach {
        canvas.tell(at(left, y), ASIDE, reach, room);
    }
    let base = tall - mm(2.4);
    let facts = format!("job {} · {} s/n {}", head.job, head.engine, head.serial);
    let facts = CAPTION.para(&facts, room);
    let lines = facts.height();
    canvas.write(at(left, base - lines + mm(0.8)), &facts);
    canvas.done(TALL)
}

/// Where the wire goes through.
pub(super) fn hole(canvas: &mut Canvas<'_>, centre: Point) {
    canvas.circle(centre, HOLE, Some(BOX), false);
    canvas.circle(centre, HOLE * 2, Some(HAIR), false);
}

/// The code of squares in the right corner with its text under it; where the
/// room left of it ends, and where the text does.
pub(super) fn code(canvas: &mut Canvas<'_>, reference: &str, wide: Len, top: Len) -> (Len, Len) {
    let right = wide - mm(3.2);
    let Ok(code) = qr::qr_among_others(reference, at(Len::ZERO, Len::ZERO)) else {
        return (right, Len::ZERO);
    };
    let name = format!("{CODE}{reference}");
    canvas.stamp(&name, at(right - code.side, top), (code.side, code.side), |canvas| {
        canvas.put(code.marks, at(Len::ZERO, Len::ZERO));
    });
    let under = top + code.side + mm(3.2);
    canvas.word_right(right, under + mm(1.6), NUMBER.sized(7.0), reference);
    (right - code.side - qr::MODULE * qr::QUIET, under + mm(2.6))
}

/// The boxes that are filled in at the opening: those of a state of assembly
/// where there are any, else all.
fn through(line: &LineRows) -> impl Iterator<Item = &BoxGroup> {
    let own = |group: &&BoxGroup| group.own && matches!(group.shape, BoxKind::Comb { .. });
    let bolted = line.groups.iter().filter(own).any(|group| group.when.is_some());
    line.groups.iter().filter(own).filter(move |group| !bolted || group.when.is_some())
}

const GIANT: [f64; 3] = [64.0, 48.0, 36.0];
const LARGE: TextStyle = TextStyle::new(Face::Bold, 16.0);
const MIDDLE: TextStyle = TextStyle::new(Face::Regular, 14.0);
/// Of a cell that is written in at arm's length.
const CELL: (Len, Len) = (mm(9.0), mm(14.0));

fn opening(lay: &Layout<'_>, line: &LineRows, row: &Row, group: &BoxGroup) -> Block {
    let mut canvas = lay.canvas();
    let wide = lay.area.w;
    canvas.rule(Len::ZERO, Len::ZERO, wide, HEAVY);
    let column = mm(52.0);
    let code = TITLE.fitted(&GIANT, &row.code, column - mm(3.0));
    let under = canvas.write(at(Len::ZERO, mm(1.0)), &code) + mm(1.0);
    let under = under + canvas.tell(at(Len::ZERO, under), LARGE, &row.name, column - mm(3.0));
    let reach = row.reach.as_deref().unwrap_or_default();
    let under =
        under + canvas.tell(at(Len::ZERO, under + mm(1.0)), MIDDLE, reach, column - mm(3.0));
    let room = wide - column;
    let mut y = mm(2.0);
    let title = format!("{}: {}", line.name, group.title);
    y += canvas.tell(at(column, y), LARGE, &title, room);
    y += canvas.tell(at(column, y), TEXT.sized(10.0), &group.hint, room);
    y += limits(&mut canvas, line, group, at(column, y + mm(1.0)), room) + mm(2.0);
    y += boxes(&mut canvas, group, at(column, y), room);
    let height = under.max(y) + mm(3.0);
    canvas.rule(Len::ZERO, height, wide, MINOR);
    canvas.done(height + mm(1.0))
}

const ANY_NEW: &str = "OK with a new mate only";

fn limits(
    canvas: &mut Canvas<'_>,
    line: &LineRows,
    group: &BoxGroup,
    point: Point,
    room: Len,
) -> Len {
    let mut y = point.y;
    // Of the side that wear cannot reach only the new limit: the sheet has the
    // rest.
    let shown = |range: &&Range| {
        group.key == range.side.into()
            && !range.word.starts_with("other side: with")
            && range.word != ANY_NEW
    };
    for range in line.ranges.iter().filter(shown) {
        let Some(size) = range.at else { continue };
        let bound = if range.floor { "no smaller than" } else { "no larger than" };
        canvas.run(at(point.x, y + MIDDLE.ascent), MIDDLE, Align::Left, range.word);
        let bound = format!("{bound} {size}");
        canvas.run(at(point.x + room, y + MIDDLE.ascent), LARGE.sized(14.0), Align::Right, &bound);
        y += MIDDLE.leading;
    }
    y - point.y
}

/// Combs twice the usual size, as many on a line as there is room for.
fn boxes(canvas: &mut Canvas<'_>, group: &BoxGroup, point: Point, room: Len) -> Len {
    let BoxKind::Comb { whole, places, .. } = group.shape else { return Len::ZERO };
    let (cell, tall) = CELL;
    let dot = mm(3.0);
    let width = cell * (i32::from(whole) + i32::from(places)) + dot;
    let (mut x, mut y) = (point.x, point.y);
    for label in &group.labels {
        if x > point.x && x + width > point.x + room {
            x = point.x;
            y += tall + mm(9.0);
        }
        canvas.run(at(x, y + mm(4.4)), LARGE.sized(12.0), Align::Left, label);
        cells(canvas, (x, y + mm(6.0)), i32::from(whole));
        let after = x + cell * i32::from(whole);
        canvas.circle(at(after + dot / 2, y + mm(6.0) + tall - mm(1.0)), mm(0.8), None, true);
        cells(canvas, (after + dot, y + mm(6.0)), i32::from(places));
        x += width + mm(6.0);
    }
    y + tall + mm(6.0) - point.y
}

fn cells(canvas: &mut Canvas<'_>, (x, y): (Len, Len), count: i32) {
    let (cell, tall) = CELL;
    for n in 1..count {
        canvas.post(x + cell * n, y, tall, HAIR);
    }
    if count > 0 {
        canvas.rect(area(x, y, cell * count, tall), HEAVY);
    }
}
