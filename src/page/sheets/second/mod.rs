//! Second-stage sheets: what is on record, what its mate may be, boxes for the
//! mate, and the two ladders of each place.

mod ladder;
mod place;

use super::flow::{Share, Slab, Strip, TooTall};
use super::foot::{self, REMARK};
use super::head::{self, Headed};
use super::{Codes, Layout, check};
use crate::diag::Diags;

use crate::page::comb::{INITIALS, TICK};
use crate::page::length::Len;
use crate::page::mark::{Bookmark, Document, Page, Point};
use crate::page::paper;
use crate::page::pen::{BOX, Canvas, Desk, HAIR, Piece, area, at, mm};
use crate::page::text::{CAPTION, STRONG, TEXT};
use crate::sheet::second::{SecondLine, SecondPlace, SecondSheet};
use crate::sheet::{Reference, SheetSet};

/// Between the head and the first slab, and above the foot.
const GAP: Len = mm(2.0);
/// Above the heading of a line.
const ABOVE: Len = mm(0.8);
/// Places that a page is shared between, where they leave room.
const ON_A_PAGE: usize = 3;
/// The most lines for remarks.
const REMARKS: i32 = 5;

/// Lays out second-stage sheets. `None` with the faults in `out` where a place
/// is taller than a page or a character is in no typeface.
pub fn lay_second(set: &SheetSet, sheets: &[SecondSheet], out: &mut Diags) -> Option<Document> {
    let before = out.faults();
    let desk = Desk::default();
    let lay = Layout::new(&desk, set, Codes::Drawn, None);
    let plans: Vec<Plan> = sheets.iter().filter_map(|sheet| Plan::new(&lay, sheet, out)).collect();
    if out.faults() > before {
        return None;
    }
    let document = bind(&lay, plans);
    check::check(&document, lay.area, out);
    (out.faults() == before).then_some(document)
}

fn bind(lay: &Layout<'_>, plans: Vec<Plan<'_>>) -> Document {
    let total = plans.iter().map(|plan| plan.shares.len()).sum();
    let mut pages: Vec<Page> = Vec::new();
    let mut bookmarks = Vec::new();
    for plan in plans {
        let sheet = plan.sheet;
        bookmarks.push(Bookmark {
            level: 0,
            title: format!("{}  {}, {}", sheet.letter_2(), sheet.title, sheet.code),
            page: pages.len(),
        });
        plan.draw(lay, total, &mut pages);
    }
    lay.bound(format!("Second stage {}", lay.set.number), pages, bookmarks)
}

/// A sheet whose pages are known and not yet drawn.
struct Plan<'a> {
    sheet: &'a SecondSheet,
    letter: String,
    subtitle: String,
    form: String,
    strip: Strip,
    shares: Vec<Share>,
    top: Len,
    foot: Len,
}

impl<'a> Plan<'a> {
    fn new(lay: &Layout<'_>, sheet: &'a SecondSheet, out: &mut Diags) -> Option<Plan<'a>> {
        let (known, mate) = (sheet.half, sheet.half.mate());
        let mut plan = Plan {
            sheet,
            letter: sheet.letter_2(),
            subtitle: format!("second stage: the {mate}s, against the {known} sizes on record"),
            form: format!("form {}, revision {}", sheet.letter_2(), sheet.revision),
            strip: Strip::default(),
            shares: Vec::new(),
            top: Len::ZERO,
            foot: Len::ZERO,
        };
        plan.top = plan.head(lay, (1, 1), (1, 1)).height;
        plan.foot = foot::foot(lay, &plan.form).height;
        match plan.pour(lay) {
            Ok((strip, shares)) => (plan.strip, plan.shares) = (strip, shares),
            Err(TooTall { slab }) => {
                let wrong = format!(
                    "second stage of sheet {}: piece {} is taller than a page",
                    sheet.letter,
                    slab + 1
                );
                out.fault_nowhere(wrong, "shorten the longest text of that sheet");
                return None;
            }
        }
        Some(plan)
    }

    fn pour(&self, lay: &Layout<'_>) -> Result<(Strip, Vec<Share>), TooTall> {
        let room = self.room(lay);
        let tail = self.tail(lay, 0).height + GAP;
        let before = before(lay, self.sheet);
        let mut strip = Strip::default();
        let mut free = room - tail - before.height;
        strip.push(Slab::of(before).kept());
        let places: Vec<&SecondPlace> =
            self.sheet.lines.iter().flat_map(|line| &line.places).collect();
        let mut heads = Vec::new();
        for (n, line) in self.sheet.lines.iter().enumerate() {
            let heading = measure(lay, self.sheet, line, n + 2, false);
            free = free - heading.height - ABOVE;
            heads.push(heading);
        }
        let pitch = self.pitch(lay, &places, free);
        for (n, (line, heading)) in self.sheet.lines.iter().zip(heads).enumerate() {
            let again = strip.head(Slab::of(measure(lay, self.sheet, line, n + 2, true)));
            strip.push(Slab::of(heading).above(ABOVE).kept());
            for found in &line.places {
                let piece = place::place(lay, found, self.sheet.half, pitch);
                strip.push(Slab::of(piece).under(again).rows(std::slice::from_ref(&found.row)));
            }
        }
        // Every page is signed: one may lie on another bench.
        let shares = strip.pour(room - tail, Len::ZERO)?;
        Ok((strip, shares))
    }

    /// The widest pitch of ladders at which the highest places share a page,
    /// three of them or as many as it holds.
    fn pitch(&self, lay: &Layout<'_>, places: &[&SecondPlace], free: Len) -> Len {
        let fits = |pitch: Len, count: usize| {
            let heights =
                places.iter().map(|found| place::height(lay, found, self.sheet.half, pitch));
            let mut heights: Vec<Len> = heights.collect();
            heights.sort_unstable_by(|a, b| b.cmp(a));
            heights.into_iter().take(count).sum::<Len>() <= free
        };
        let count = (1..=ON_A_PAGE).rev().find(|count| fits(ladder::LEAST, *count)).unwrap_or(1);
        let mut pitch = ladder::MOST;
        while pitch > ladder::LEAST && !fits(pitch, count) {
            pitch -= mm(0.1);
        }
        pitch
    }

    fn head(&self, lay: &Layout<'_>, of_sheet: (usize, usize), of_set: (usize, usize)) -> Piece {
        let (sheet, known) = (self.sheet, self.sheet.half);
        let headed = Headed {
            letter: &self.letter,
            title: &sheet.title,
            subtitle: &self.subtitle,
            number: None,
            form: &self.form,
            of_sheet,
            of_set,
            reference: Reference {
                set: lay.set.number.clone(),
                sheet: format!("{}.2", sheet.letter),
                page: of_sheet.0,
                blind: false,
                own: Some(sheet.code.clone()),
            }
            .to_string(),
            valid: Some((format!("valid only with {known} sizes code"), &sheet.code)),
        };
        head::head(lay, &headed)
    }

    fn room(&self, lay: &Layout<'_>) -> Len {
        lay.area.h - self.top - self.foot - GAP * 2
    }

    fn tail(&self, lay: &Layout<'_>, lines: i32) -> Piece {
        foot::tail(lay, &self.sheet.signs, false, lines)
    }

    fn draw(self, lay: &Layout<'_>, total: usize, pages: &mut Vec<Page>) {
        let count = self.shares.len();
        let first = pages.len() + 1;
        let area = lay.area;
        for (n, share) in self.shares.iter().enumerate() {
            let head = self.head(lay, (n + 1, count), (first + n, total));
            let mut sketch = lay.sketch();
            sketch.hole_marks(paper::size(lay.set.head.paper));
            sketch.piece(at(area.x, area.y), head);
            let left = self.room(lay) - share.filled - self.tail(lay, 0).height - GAP;
            let free = left - mm(8.8);
            let lines = if free < Len::ZERO { 0 } else { 1 + free.um() / REMARK.um() };
            self.strip.put(share, &mut sketch, area.x, area.y + self.top + GAP);
            let tail = self.tail(lay, lines.min(REMARKS));
            let bottom = area.y + area.h - self.foot - GAP / 2;
            sketch.piece(at(area.x, bottom - tail.height), tail);
            let foot = foot::foot(lay, &self.form);
            sketch.piece(at(area.x, area.y + area.h - foot.height), foot);
            let mut page = paper::size(lay.set.head.paper).page((first + n).to_string());
            page.marks = sketch.marks;
            pages.push(page);
        }
    }
}

/// The code in the head, in a box of its own; gives back its height with the
/// room above.
pub(super) fn valid(sketch: &mut Canvas<'_>, point: Point, words: &str, code: &str) -> Len {
    let height = mm(6.8);
    let style = STRONG.sized(14.0);
    let base = point.y + mm(4.8);
    let x = sketch.word(point.x + mm(2.0), base, STRONG.sized(8.6), words) + mm(3.0);
    let end = sketch.word(x, base, style, code) + mm(2.0);
    sketch.rect(area(point.x, point.y, end - point.x, height), BOX);
    height + mm(0.8)
}

/// What is done before anything is measured: each with its tick, one box for
/// initials.
fn before(lay: &Layout<'_>, sheet: &SecondSheet) -> Piece {
    let mut sketch = lay.sketch();
    let right = lay.area.w - INITIALS;
    let heading = head::section(lay, 1, "Before measuring", "", false, lay.area.w);
    let y = sketch.piece(at(Len::ZERO, Len::ZERO), heading);
    sketch.word_right(lay.area.w, y - mm(0.8), CAPTION, "initials");
    let indent = TICK + mm(1.6);
    let room = right - mm(3.0);
    let mut down = y + mm(0.2);
    for text in &sheet.before {
        sketch.tick_box(at(Len::ZERO, down));
        let told = sketch.tell(at(indent, down + mm(0.4)), TEXT, text, room - indent);
        down += told.max(TICK) + mm(1.2);
    }
    let mut x = Len::ZERO;
    let code = format!("code {} still holds; if not, print again", sheet.code);
    let gauge = sheet.half.of(["bore gauge set and zeroed", "micrometer set and zeroed"]);
    for text in [code, gauge.to_string()] {
        sketch.tick_box(at(x, down));
        x = sketch.word(x + indent, down + mm(0.4) + TEXT.drop(), TEXT, &text) + mm(4.0);
    }
    gauges(&mut sketch, x, room, down + mm(0.4) + TEXT.drop());
    let end = down + TICK + mm(1.2);
    sketch.blank_box(at(right, y + mm(0.2)), INITIALS, mm(8.6));
    sketch.done(end.max(y + mm(9.0)))
}

/// Lines for the gauges, a tick for their zero after use, and how warm the part
/// is where that is not 20 degrees.
fn gauges(sketch: &mut Canvas<'_>, x: Len, right: Len, base: Len) {
    let line = base + mm(0.6);
    let x = sketch.word(x, base, TEXT, "gauges") + mm(1.2);
    let degrees = right - sketch.width(CAPTION, "°C");
    sketch.word(degrees, base, CAPTION, "°C");
    sketch.rule(degrees - mm(8.4), line, mm(7.8), HAIR);
    let part = degrees - mm(9.0);
    sketch.word_right(part, base, CAPTION, "part");
    let tick = part - sketch.width(CAPTION, "part") - mm(1.6) - TICK;
    sketch.tick_box(at(tick, base - TEXT.drop() - mm(0.4)));
    sketch.word_right(tick - mm(1.0), base, CAPTION, "zero after use");
    let end = tick - sketch.width(CAPTION, "zero after use") - mm(2.6);
    sketch.rule(x, line, end - x, HAIR);
}

fn measure(
    lay: &Layout<'_>,
    sheet: &SecondSheet,
    line: &SecondLine,
    number: usize,
    continued: bool,
) -> Piece {
    let mut sketch = lay.sketch();
    let mate = sheet.half.mate();
    let title = match sheet.lines.len() {
        1 => format!("Measure the {mate}s"),
        _ => format!("Measure the {mate}s: {}", line.name),
    };
    let aside =
        format!("{} · ladders for {} · double line: sizes skipped", line.limits, ladders_for(line));
    let heading = head::section(lay, number, &title, &aside, continued, lay.area.w);
    let mut y = sketch.piece(at(Len::ZERO, Len::ZERO), heading);
    if let Some(agreed) = &line.agreed {
        y += sketch.tell(
            at(Len::ZERO, y),
            STRONG.sized(7.4),
            &format!("agreed: {agreed}"),
            lay.area.w,
        );
    }
    for dagger in &line.daggers {
        y += sketch.tell(at(Len::ZERO, y), CAPTION.sized(7.4), dagger, lay.area.w);
    }
    sketch.done(y + mm(0.4))
}

/// Which mates the ladders are for, with the rows where they differ.
fn ladders_for(line: &SecondLine) -> String {
    let mut mates: Vec<(&str, Vec<&str>)> = Vec::new();
    for place in line.places.iter().filter(|place| place.ladders.is_some()) {
        match mates.iter_mut().find(|(mate, _)| *mate == place.ladders_for) {
            Some((_, rows)) => rows.push(&place.row.code),
            None => mates.push((&place.ladders_for, vec![&place.row.code])),
        }
    }
    match mates.as_slice() {
        [(mate, _)] => format!("a {mate}"),
        several => {
            let each = several.iter().map(|(mate, rows)| format!("a {mate} ({})", rows.join(" ")));
            each.collect::<Vec<_>>().join(", ")
        }
    }
}
