//! The first pages of a set: the sheets, what to fetch, who signs, how the
//! sheets are filled in.

use super::columns::{parcels, shares};
use super::plan::{self, Plan};
use super::{Layout, head};
use crate::diag::Diags;
use crate::layout::at;
use crate::layout::canvas::{Canvas, HAIR, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::paginate::{Block, Blocks, TooTall};
use crate::layout::style::{CAPTION, NUMBER, STRONG, TEXT};
use crate::pages::boxes::TICK;
use crate::sheet::{GaugeNeed, PersonLine};

const GAP: Len = mm(5.0);
/// Longer than any sheet's letter, so that no sheet can have it.
const LETTER: &str = "INDEX";
const WORDS: [&str; 2] =
    ["Index of the worksheets", "what to fetch, who signs, how the sheets are filled in"];

/// Plans the index, which counts its own pages too.
pub fn plan<'a>(lay: &Layout<'a>, plans: &[Plan<'a>], out: &mut Diags) -> Option<Plan<'a>> {
    let mut count = 1;
    loop {
        match Plan::bare(lay, blocks(lay, plans, count), LETTER, WORDS, "index") {
            Ok(plan) if plan.pages() <= count => return Some(plan),
            Ok(plan) => count = plan.pages(),
            Err(TooTall { .. }) => {
                let message = "the index: a piece is taller than a page";
                out.fault_nowhere(message, "shorten the longest name or title of the job");
                return None;
            }
        }
    }
}

fn blocks(lay: &Layout<'_>, plans: &[Plan<'_>], pages: usize) -> Blocks {
    let mut blocks = Blocks::default();
    sheets(lay, &mut blocks, plans, pages);
    gauges(lay, &mut blocks);
    people(lay, &mut blocks);
    rules(lay, &mut blocks);
    left_out(lay, &mut blocks);
    blocks
}

/// The sheets in two columns, read down.
fn sheets(lay: &Layout<'_>, blocks: &mut Blocks, plans: &[Plan<'_>], pages: usize) {
    let half = (lay.area.w - GAP) / 2;
    let head = |again| {
        let mut canvas = lay.canvas();
        let aside = "tick each sheet when it is filled in and signed";
        let section = head::section(lay, 1, "Sheets", aside, again, lay.area.w);
        let y = canvas.place(at(Len::ZERO, Len::ZERO), section);
        for x in [Len::ZERO, half + GAP] {
            sheet_captions(&mut canvas, x, y + CAPTION.ascent, half);
        }
        canvas.done(y + CAPTION.leading)
    };
    let again = blocks.headed(Len::ZERO, head);
    let mut first = pages + 1;
    let rows = plans.iter().map(|plan| {
        let row = sheet_row(lay, plan, first, half);
        first += plan.pages();
        row
    });
    let rows: Vec<Block> = rows.collect();
    let draw = |rows: &[Block]| Block::in_columns(2, half + GAP, rows.to_vec());
    for (_, block) in parcels(&rows, 40, 2, draw) {
        blocks.push(block.under([again]));
    }
}

/// Where the columns of a sheet's row end or begin, from its left edge.
fn sheet_columns(half: Len) -> [Len; 4] {
    [mm(6.0), mm(16.0), half - mm(27.0), half - mm(13.0)]
}

fn sheet_captions(canvas: &mut Canvas<'_>, x: Len, base: Len, half: Len) {
    let [letter, title, number, pages] = sheet_columns(half);
    canvas.word(x + letter, base, CAPTION, "sheet");
    canvas.word(x + title, base, CAPTION, "title");
    canvas.word(x + number, base, CAPTION, "number");
    canvas.word(x + pages, base, CAPTION, "pages");
}

fn sheet_row(lay: &Layout<'_>, plan: &Plan<'_>, first: usize, half: Len) -> Block {
    let mut canvas = lay.canvas();
    let [letter_x, title_x, number_x, pages_x] = sheet_columns(half);
    let letter = STRONG.fitted(&[9.0, 8.0, 7.0], &plan.letter, title_x - letter_x - mm(1.0));
    let title = TEXT.para(plan.title, number_x - title_x - mm(1.0));
    let last = first + plan.pages() - 1;
    let pages = match plan.pages() {
        1 => format!("{first}"),
        _ => format!("{first} to {last}"),
    };
    let height = (title.height().max(letter.height()) + mm(1.8)).on_grid().max(mm(5.8));
    let top = mm(0.8);
    let base = top + TEXT.ascent;
    canvas.tick_box(at(Len::ZERO, mm(0.8)));
    canvas.write(at(letter_x, top), &letter);
    canvas.write(at(title_x, top), &title);
    canvas.word(number_x, base, NUMBER, plan.number.unwrap_or_default());
    canvas.word(pages_x, base, TEXT, &pages);
    canvas.rule(Len::ZERO, height, half, MINOR);
    canvas.done(height)
}

/// Shares of the width: what, sheets, gauge, serial, due, fetched.
const GAUGE: [(&str, i32); 6] = [
    ("gauge", 84),
    ("for sheets", 22),
    ("shop's number", 20),
    ("serial", 17),
    ("calibration due", 20),
    ("fetched", 10),
];

fn gauge_columns(width: Len) -> [(Len, Len); 6] {
    shares(GAUGE.map(|(_, share)| share), width)
}

fn gauges(lay: &Layout<'_>, blocks: &mut Blocks) {
    let index = &lay.set.index;
    if !index.gauges.is_empty() {
        let head = |again| {
            let mut canvas = lay.canvas();
            let aside = "write in what is not printed; a gauge past its date is not used";
            let section = head::section(lay, 2, "Gauges to fetch", aside, again, lay.area.w);
            let y = canvas.place(at(Len::ZERO, Len::ZERO), section);
            for ((caption, _), (x, _)) in GAUGE.iter().zip(gauge_columns(lay.area.w)) {
                canvas.word(x, y + CAPTION.ascent, CAPTION, caption);
            }
            canvas.done(y + CAPTION.leading)
        };
        let again = blocks.headed(plan::GAP, head);
        for gauge in &index.gauges {
            blocks.push(gauge_row(lay, gauge).under([again]));
        }
    }
    if !index.leaves.is_empty() {
        let mut canvas = lay.canvas();
        let x = canvas.word(Len::ZERO, mm(1.0) + TEXT.ascent, STRONG, "Feeler leaves") + mm(2.0);
        let leaves = index.leaves.join(" · ");
        let height = canvas.tell(at(x, mm(1.0)), TEXT, &leaves, lay.area.w - x);
        blocks.push(canvas.done(height + mm(1.0)));
    }
}

fn gauge_row(lay: &Layout<'_>, gauge: &GaugeNeed) -> Block {
    let mut canvas = lay.canvas();
    let columns = gauge_columns(lay.area.w);
    let (id, serial, due) = gauge.have.clone().unwrap_or_default();
    let texts = [gauge.what.clone(), gauge.sheets.join(" "), id, serial, due];
    let paras = texts
        .iter()
        .zip(columns)
        .map(|(text, (_, wide))| TEXT.sized(7.8).para(text, wide - mm(1.6)));
    let paras: Vec<_> = paras.collect();
    let tallest = paras.iter().map(|para| para.height()).max().unwrap_or_default();
    let height = (tallest + mm(1.2)).on_grid().max(mm(5.6));
    for (para, (x, wide)) in paras.iter().zip(columns) {
        let blank = para.lines.is_empty();
        if blank {
            canvas.rule(x, height - mm(1.2), wide - mm(2.0), HAIR);
        } else {
            canvas.write(at(x, (height - tallest) / 2), para);
        }
    }
    let (x, _) = columns[5];
    canvas.tick_box(at(x + mm(2.0), (height - TICK) / 2));
    canvas.rule(Len::ZERO, height, lay.area.w, MINOR);
    canvas.done(height)
}

/// Specimens of the initials, with room for people who join later.
fn people(lay: &Layout<'_>, blocks: &mut Blocks) {
    let aside = "everyone who writes on these sheets shows here how";
    let head = |again| head::section(lay, 3, "People and their initials", aside, again, lay.area.w);
    let again = blocks.headed(plan::GAP, head);
    let blank = PersonLine { initials: String::new(), name: String::new(), role: String::new() };
    let spare = 2 + lay.set.index.people.len() % 2;
    let people = lay.set.index.people.iter().chain(std::iter::repeat_n(&blank, spare));
    let people: Vec<&PersonLine> = people.collect();
    let half = (lay.area.w - GAP) / 2;
    for pair in people.chunks(2) {
        let boxes = pair.iter().map(|person| person_box(lay, person, half));
        blocks.push(Block::abreast(half + GAP, boxes).under([again]));
    }
}

fn person_box(lay: &Layout<'_>, person: &PersonLine, half: Len) -> Block {
    let mut canvas = lay.canvas();
    let specimen = mm(22.0);
    let name_x = mm(16.0);
    let width = half - specimen - name_x - mm(2.0);
    let initials = STRONG.fitted(&[11.0, 8.2], &person.initials, name_x - mm(2.0));
    let name = TEXT.para(&person.name, width);
    let role = CAPTION.para(&person.role, width);
    let text = name.height() + role.height();
    let height = (text.max(initials.height()) + mm(1.6)).on_grid().max(mm(9.0));
    if person.name.is_empty() {
        canvas.rule(Len::ZERO, height - mm(2.4), name_x - mm(3.0), HAIR);
        canvas.rule(name_x, height - mm(2.4), width, HAIR);
    }
    canvas.write(at(Len::ZERO, (height - initials.height()) / 2), &initials);
    let down = canvas.write(at(name_x, (height - text) / 2), &name);
    canvas.write(at(name_x, (height - text) / 2 + down), &role);
    canvas.blank_box(at(half - specimen, mm(0.6)), specimen, height - mm(1.2));
    canvas.done(height)
}

/// Caption and text of how marks are made; samples are drawn before the text.
const MARKS: (&str, &str) = (
    "Marks",
    "a tick for ok or done, a cross for found, n for not applicable: one mark in each box.",
);

const RULES: [(&str, &str); 8] = [
    (
        "A wrong figure",
        "one line through it so that it can still be read, the right figure above \
        it, initials and date. Never erase, never write over.",
    ),
    (
        "Found and n.a.",
        "want a word in the remarks. A row with limits is n.a. only over an \
        inspector's initials.",
    ),
    (
        "Figures",
        "as the gauge shows them, every digit, the last zeros too. Subtract after both \
        are written, and write L for loose or T for tight.",
    ),
    (
        "Zero",
        "of each gauge looked at before use and again after it: a tick where it was right, a \
        cross where it was not.",
    ),
    (
        "Again",
        "what is measured again goes on a line at the foot of its page or of the sheet, \
        box by box. The first reading stays as it is.",
    ),
    (
        "Initials",
        "of whoever looked or did, once for each list; what another hand did has its own beside it.",
    ),
    ("Before the boxes", "the steps that stand before them are done and initialled first."),
    ("Heavy outline", "the box that governs. A box left blank never passes."),
];

fn rules(lay: &Layout<'_>, blocks: &mut Blocks) {
    let title = head::section(lay, 4, "How the sheets are filled in", "", false, lay.area.w);
    blocks.push(title.above(plan::GAP).kept());
    let mut canvas = lay.canvas();
    let x = mm(30.0);
    let mut y = Len::ZERO;
    canvas.word(Len::ZERO, y + STRONG.ascent, STRONG, MARKS.0);
    let left = mark_samples(&mut canvas, x, y);
    y += canvas.tell(at(left, y), TEXT, MARKS.1, lay.area.w - left) + mm(0.6);
    for (word, text) in RULES {
        canvas.word(Len::ZERO, y + STRONG.ascent, STRONG, word);
        y += canvas.tell(at(x, y), TEXT, text, lay.area.w - x) + mm(0.6);
    }
    let how = format!("{}, to limits as printed: both limits count as inside.", lay.set.head.rule);
    canvas.word(Len::ZERO, y + STRONG.ascent, STRONG, "Decision rule");
    y += canvas.tell(at(x, y), TEXT, &how, lay.area.w - x) + mm(0.6);
    if lay.set.head.second_person {
        canvas.word(Len::ZERO, y + STRONG.ascent, STRONG, "Second person");
        let check = "every sheet is checked by somebody who did not measure on it.";
        y += canvas.tell(at(x, y), TEXT, check, lay.area.w - x);
    }
    blocks.push(canvas.done(y));
}

fn mark_samples(canvas: &mut Canvas<'_>, x: Len, y: Len) -> Len {
    let side = mm(2.6);
    let top = y + mm(0.4);
    canvas.tick(at(x, top), side);
    canvas.cross(at(x + mm(4.4), top), side);
    canvas.word(x + mm(8.8), y + TEXT.ascent, STRONG, "n") + mm(2.0)
}

fn left_out(lay: &Layout<'_>, blocks: &mut Blocks) {
    if lay.set.left_out.is_empty() {
        return;
    }
    let aside = "what the forms ask for and this engine or its limits do not have";
    let title = head::section(lay, 5, "Left out of this set", aside, false, lay.area.w);
    blocks.push(title.above(plan::GAP).kept());
    for text in &lay.set.left_out {
        let mut canvas = lay.canvas();
        let height = canvas.tell(at(Len::ZERO, Len::ZERO), TEXT, text, lay.area.w);
        blocks.push(canvas.done(height));
    }
}
