//! Second-stage sheets: what is on record, what its mate may be, boxes for the
//! mate, and the two ladders of each place.

mod ladder;
mod place;

use super::boxes::{INITIALS, TICK};
use super::worksheet::bind::{Lines, bind};
use super::worksheet::plan::{GAP, Plan};
use super::worksheet::{Layout, head, row_fields};
use crate::diag::Diags;
use crate::layout::canvas::{Canvas, Desk, HAIR, mm};
use crate::layout::length::Len;
use crate::layout::mark::Document;
use crate::layout::paginate::{Block, Blocks, paginate};
use crate::layout::style::{CAPTION, STRONG, TEXT};
use crate::layout::{at, margins};
use crate::sheet::SheetSet;
use crate::sheet::second::{SecondLine, SecondPlace, SecondSheet};

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
    let lay = Layout::new(&desk, set, None);
    let plans: Vec<Plan> = sheets.iter().filter_map(|sheet| plan(&lay, sheet, out)).collect();
    if out.faults() > before {
        return None;
    }
    let document = bind(&lay, format!("Second stage {}", set.number), plans, None);
    margins::check(&document, lay.area, out);
    (out.faults() == before).then_some(document)
}

fn plan<'a>(lay: &Layout<'a>, sheet: &'a SecondSheet, out: &mut Diags) -> Option<Plan<'a>> {
    let (known, mate) = (sheet.half, sheet.half.mate());
    let plan = Plan {
        letter: sheet.letter_2(),
        title: &sheet.title,
        subtitle: format!("second stage: the {mate}s, against the {known} sizes on record"),
        form: format!("form {}, revision {}", sheet.letter_2(), sheet.revision),
        valid: Some((format!("valid only with {known} sizes code"), &sheet.code)),
        signs: &sheet.signs,
        remarks: REMARKS,
        ..Plan::default()
    };
    let plan = plan.measured(lay);
    // Every page is signed.
    let room = plan.room(lay) - plan.tail(lay, true, Lines::default()).height - GAP;
    let blocks = blocks(lay, sheet, room);
    let fills = paginate(&blocks, room, None, Len::ZERO);
    let of = format!("second stage of sheet {}", sheet.letter);
    let fills = fills.map_err(|tall| tall.tell(&of, "shorten the longest text of that sheet", out));
    Some(Plan { blocks, fills: fills.ok()?, ..plan })
}

fn blocks(lay: &Layout<'_>, sheet: &SecondSheet, room: Len) -> Blocks {
    let mut blocks = Blocks::default();
    let before = before(lay, sheet);
    let mut free = room - before.height;
    blocks.push(before.kept());
    let mut heads = Vec::new();
    for (n, line) in sheet.lines.iter().enumerate() {
        let heading = measure(lay, sheet, line, n + 2, false);
        free = free - heading.height - ABOVE;
        heads.push(heading);
    }
    let pitch = pitch(lay, sheet, free);
    for (n, (line, heading)) in sheet.lines.iter().zip(heads).enumerate() {
        let again = blocks.repeated(measure(lay, sheet, line, n + 2, true));
        blocks.push(heading.above(ABOVE).kept());
        for found in &line.places {
            let place = place::place(lay, found, sheet.half, pitch);
            blocks.push(place.under([again]).with(row_fields([&found.row])));
        }
    }
    blocks
}

/// The widest pitch of ladders at which the highest places share a page, three
/// of them or as many as it holds.
fn pitch(lay: &Layout<'_>, sheet: &SecondSheet, free: Len) -> Len {
    let places: Vec<&SecondPlace> = sheet.lines.iter().flat_map(|line| &line.places).collect();
    let fits = |pitch: Len, count: usize| {
        let heights = places.iter().map(|found| place::height(lay, found, sheet.half, pitch));
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

/// What is done before anything is measured: each with its tick, one box for
/// initials.
fn before(lay: &Layout<'_>, sheet: &SecondSheet) -> Block {
    let mut canvas = lay.canvas();
    let right = lay.area.w - INITIALS;
    let heading = head::section(lay, 1, "Before measuring", "", false, lay.area.w);
    let y = canvas.place(at(Len::ZERO, Len::ZERO), heading);
    canvas.word_right(lay.area.w, y - mm(0.8), CAPTION, "initials");
    let indent = TICK + mm(1.6);
    let room = right - mm(3.0);
    let mut down = y + mm(0.2);
    for text in &sheet.before {
        canvas.tick_box(at(Len::ZERO, down));
        let told = canvas.tell(at(indent, down + mm(0.4)), TEXT, text, room - indent);
        down += told.max(TICK) + mm(1.2);
    }
    let mut x = Len::ZERO;
    let code = format!("code {} still holds; if not, print again", sheet.code);
    let gauge = sheet.half.of(["bore gauge set and zeroed", "micrometer set and zeroed"]);
    for text in [code, gauge.to_string()] {
        canvas.tick_box(at(x, down));
        x = canvas.word(x + indent, down + mm(0.4) + TEXT.ascent, TEXT, &text) + mm(4.0);
    }
    gauges(&mut canvas, x, room, down + mm(0.4) + TEXT.ascent);
    let end = down + TICK + mm(1.2);
    canvas.blank_box(at(right, y + mm(0.2)), INITIALS, mm(8.6));
    canvas.done(end.max(y + mm(9.0)))
}

/// Lines for the gauges, a tick for their zero after use, and how warm the part
/// is where that is not 20 degrees.
fn gauges(canvas: &mut Canvas<'_>, x: Len, right: Len, base: Len) {
    let line = base + mm(0.6);
    let x = canvas.word(x, base, TEXT, "gauges") + mm(1.2);
    let degrees = right - CAPTION.width("°C");
    canvas.word(degrees, base, CAPTION, "°C");
    canvas.rule(degrees - mm(8.4), line, mm(7.8), HAIR);
    let part = degrees - mm(9.0);
    canvas.word_right(part, base, CAPTION, "part");
    let tick = part - CAPTION.width("part") - mm(1.6) - TICK;
    canvas.tick_box(at(tick, base - TEXT.ascent - mm(0.4)));
    canvas.word_right(tick - mm(1.0), base, CAPTION, "zero after use");
    let end = tick - CAPTION.width("zero after use") - mm(2.6);
    canvas.rule(x, line, end - x, HAIR);
}

fn measure(
    lay: &Layout<'_>,
    sheet: &SecondSheet,
    line: &SecondLine,
    number: usize,
    continued: bool,
) -> Block {
    let mut canvas = lay.canvas();
    let mate = sheet.half.mate();
    let title = match sheet.lines.len() {
        1 => format!("Measure the {mate}s"),
        _ => format!("Measure the {mate}s: {}", line.name),
    };
    let aside =
        format!("{} · ladders for {} · double line: sizes skipped", line.limits, ladders_for(line));
    let heading = head::section(lay, number, &title, &aside, continued, lay.area.w);
    let mut y = canvas.place(at(Len::ZERO, Len::ZERO), heading);
    if let Some(agreed) = &line.agreed {
        y += canvas.tell(
            at(Len::ZERO, y),
            STRONG.sized(7.4),
            &format!("agreed: {agreed}"),
            lay.area.w,
        );
    }
    for dagger in &line.daggers {
        y += canvas.tell(at(Len::ZERO, y), CAPTION.sized(7.4), dagger, lay.area.w);
    }
    canvas.done(y + mm(0.4))
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
