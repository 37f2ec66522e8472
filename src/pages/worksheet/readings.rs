//! Measuring: the lines of a block, and the rows of lines with one group of
//! boxes.

use super::columns::parcels;
use super::entry::{self, Told};
use super::fit::Rows;
use super::{Layout, derived, fit, fit_columns, head, rings, row_fields};
use crate::judge::{BoxGroup, BoxKind};
use crate::layout::at;
use crate::layout::canvas::{Canvas, HAIR, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::paginate::{Block, Blocks};
use crate::layout::style::{ASIDE, CAPTION, LABEL, Para, STRONG, TextStyle};
use crate::pages::boxes::{CELL_H, Comb, INITIALS};
use crate::sheet::{LineRows, MeasureBlock, Row};

pub fn measure(
    lay: &Layout<'_>,
    blocks: &mut Blocks,
    block: &MeasureBlock,
    number: usize,
    rows: Rows,
) {
    let note = block.note.as_deref().unwrap_or("write what the gauge shows, every digit");
    let title = head::section(lay, number, &block.title, note, false, lay.area.w);
    blocks.push(title.above(mm(2.0)).kept());
    for line in &block.lines {
        let marked = line.groups.iter().any(|group| matches!(group.shape, BoxKind::Marks { .. }));
        if !line.has_boxes() {
            derived::line(lay, blocks, line);
        } else if fit::is_fit(line) {
            fit::rows(lay, blocks, line, rows);
        } else if marked {
            rings::rows(lay, blocks, line);
        } else {
            readings(lay, blocks, line);
        }
    }
}

/// Left of the boxes of a row that has the width to itself.
const NAMED: Len = mm(34.0);
/// Left of the boxes of a row beside another.
const CODED: Len = mm(19.0);
const GAP: Len = mm(4.0);
/// Rows of one column of a block where they stand abreast.
const CHUNK: usize = 8;

fn readings(lay: &Layout<'_>, blocks: &mut Blocks, line: &LineRows) {
    let (entry_w, x) = (lay.area.w * 9 / 20, lay.area.w / 2);
    let room = lay.area.w - x;
    if let [row] = line.rows.as_slice() {
        let boxes = boxes(lay, line, Some(row), room);
        if boxes.lines <= 2 {
            let block = alone(lay, line, row, (entry_w, x), boxes);
            blocks.push(block.above(mm(1.0)).with(row_fields(&line.rows)));
            return;
        }
    }
    let again = blocks.headed(mm(1.0), |again| line_head(lay, line, (entry_w, x), again));
    let across = across(lay, line);
    if line.rows.len() >= 2 && across > 1 {
        let boxes = alike(lay, line, column(lay, across) - CODED);
        let draw = |rows: &[Row]| abreast(lay, rows, across, &boxes);
        for (_, block) in parcels(&line.rows, CHUNK * across, across, draw) {
            blocks.push(block.under([again]));
        }
        return;
    }
    let boxes = alike(lay, line, lay.area.w - NAMED);
    for row in &line.rows {
        let block = whole_row(lay, (NAMED, lay.area.w), row, boxes(row));
        blocks.push(block.under([again]));
    }
}

/// The entry on the left, the scale of the boxes on the right.
fn line_head(lay: &Layout<'_>, line: &LineRows, at_of: (Len, Len), short: bool) -> Block {
    let (width, x) = at_of;
    let mut canvas = lay.canvas();
    let told = if short { Told::Short } else { Told::Whole };
    let entry = entry::entry(lay, line, width, told);
    let mut height = canvas.place(at(Len::ZERO, Len::ZERO), entry);
    height = height.max(entry::scales(lay, &mut canvas, line, x)) + mm(0.8);
    canvas.rule(Len::ZERO, height, lay.area.w, MINOR);
    canvas.done(height)
}

/// A line with a single row: its entry left, scale and boxes right.
fn alone(lay: &Layout<'_>, line: &LineRows, row: &Row, at_of: (Len, Len), boxes: Boxes) -> Block {
    let (width, x) = at_of;
    let mut canvas = lay.canvas();
    let code = STRONG.fitted(&[14.0, 11.0, 8.0], &row.code, mm(17.0));
    let indent = mm(18.0);
    canvas.write(at(Len::ZERO, Len::ZERO), &code);
    let told = match row.code == line.reference {
        true => Told::Unnamed,
        false => Told::Whole,
    };
    let entry = entry::entry(lay, line, width - indent, told);
    let mut left = canvas.place(at(indent, Len::ZERO), entry);
    left += place(&mut canvas, indent, left, row, width - indent);
    let down = entry::scales(lay, &mut canvas, line, x);
    let right = down + canvas.place(at(x, down), boxes.block);
    let height = left.max(right).max(code.height()) + mm(1.2);
    canvas.rule(Len::ZERO, height, lay.area.w, MINOR);
    canvas.done(height)
}

fn place(canvas: &mut Canvas<'_>, x: Len, y: Len, row: &Row, width: Len) -> Len {
    let mut down = canvas.tell(at(x, y), STRONG.sized(7.8), &row.name, width);
    if let Some(reach) = &row.reach {
        down += canvas.tell(at(x, y + down), CAPTION, reach, width);
    }
    down
}

/// How many rows stand side by side, each with its boxes on one line.
fn across(lay: &Layout<'_>, line: &LineRows) -> usize {
    let slots = slots(line, lay.area.w);
    let one = CODED + slots.iter().map(|slot| slot.width + BETWEEN).sum::<Len>() - BETWEEN;
    let fit = (lay.area.w + GAP).um() / (one + GAP).um().max(1);
    usize::try_from(fit).unwrap_or(1).clamp(1, line.rows.len().max(1))
}

/// Width of one of several columns.
fn column(lay: &Layout<'_>, across: usize) -> Len {
    let count = i32::try_from(across).unwrap_or(1);
    (lay.area.w - GAP * (count - 1)) / count
}

/// Rows in columns, down the left one first.
fn abreast(lay: &Layout<'_>, rows: &[Row], across: usize, boxes: impl Fn(&Row) -> Boxes) -> Block {
    let width = column(lay, across);
    let rows = rows.iter().map(|row| whole_row(lay, (CODED, width), row, boxes(row)));
    Block::in_columns(across, width + GAP, rows.collect())
}

/// Code and place of a row, its boxes from `left` on.
fn whole_row(lay: &Layout<'_>, (left, width): (Len, Len), row: &Row, boxes: Boxes) -> Block {
    let mut canvas = lay.canvas();
    let narrow = left - mm(1.6);
    let code = STRONG.fitted(&[14.0, 11.0, 8.0], &row.code, narrow);
    let mut down = mm(1.0) + canvas.write(at(Len::ZERO, mm(1.0)), &code);
    down += place(&mut canvas, Len::ZERO, down, row, narrow);
    let deep = canvas.place(at(left, mm(0.6)), boxes.block) + mm(0.6);
    let height = (down.max(deep) + mm(1.2)).on_grid();
    canvas.rule(Len::ZERO, height, width, MINOR);
    canvas.done(height).with(row_fields([row]))
}

/// The boxes of one row and how many lines they took.
#[derive(Clone)]
struct Boxes {
    block: Block,
    lines: usize,
}

/// One thing to write in.
enum Blank {
    Comb(Comb),
    Line,
    Initials,
}

struct Slot {
    caption: Para,
    blank: Blank,
    width: Len,
    /// Rather on a line of its own than split from what follows.
    starts: bool,
    /// Its caption ends in a line for initials.
    signed: bool,
    written: Option<String>,
}

/// A written answer in words, at least.
const WORDS: Len = mm(62.0);
/// One of several, at least.
const SEVERAL: Len = mm(30.0);
const BETWEEN: Len = mm(2.4);

/// The boxes of each row of a line: drawn once where nothing is written in.
fn alike(lay: &Layout<'_>, line: &LineRows, width: Len) -> impl Fn(&Row) -> Boxes {
    let blank = lay.is_blank().then(|| boxes(lay, line, None, width));
    move |row| blank.clone().unwrap_or_else(|| boxes(lay, line, Some(row), width))
}

fn boxes(lay: &Layout<'_>, line: &LineRows, row: Option<&Row>, width: Len) -> Boxes {
    let mut canvas = lay.canvas();
    let mut slots = slots(line, width);
    write_in(lay, line, row, &mut slots);
    let total: Len = slots.iter().map(|slot| slot.width + BETWEEN).sum::<Len>() - BETWEEN;
    let one = total <= width;
    let mut lines: Vec<Vec<Slot>> = vec![Vec::new()];
    let mut x = Len::ZERO;
    for slot in slots {
        let over = x + slot.width > width || (slot.starts && !one);
        if over && lines.last().is_some_and(|last| !last.is_empty()) {
            lines.push(Vec::new());
            x = Len::ZERO;
        }
        x += slot.width + BETWEEN;
        if let Some(last) = lines.last_mut() {
            last.push(slot);
        }
    }
    let count = lines.len();
    let mut y = Len::ZERO;
    for slots in lines {
        y = put_line(&mut canvas, slots, y) + mm(0.4);
    }
    Boxes { block: canvas.done(y), lines: count }
}

/// The first boxes of a row are in the order of its groups.
fn write_in(lay: &Layout<'_>, line: &LineRows, row: Option<&Row>, slots: &mut [Slot]) {
    let own = line.own();
    let boxes = own.flat_map(|group| (0..labels(group).len()).map(move |n| (group, n)));
    for (slot, (group, n)) in slots.iter_mut().zip(boxes) {
        slot.written = lay.written(row, group, n).map(str::to_owned);
    }
}

fn put_line(canvas: &mut Canvas<'_>, slots: Vec<Slot>, y: Len) -> Len {
    let needs = |slot: &Slot| match slot.signed {
        true => slot.caption.height().max(mm(4.4)),
        false => slot.caption.height(),
    };
    let tallest = slots.iter().map(needs).max().unwrap_or_default();
    let top = y + tallest.on_grid() + mm(0.4);
    let mut x = Len::ZERO;
    for slot in slots {
        let up = top - mm(0.4) - slot.caption.height();
        canvas.write(at(x, up), &slot.caption);
        if let (true, Some(line)) = (slot.signed, slot.caption.lines.last()) {
            let start = x + slot.caption.style.width(line) + mm(0.8);
            canvas.rule(start, top - mm(0.8), x + slot.width - start, HAIR);
        }
        match slot.blank {
            Blank::Comb(comb) => canvas.comb(at(x, top), comb),
            Blank::Line => canvas.rule(x, top + mm(6.4), slot.width, HAIR),
            Blank::Initials => canvas.blank_box(at(x, top), slot.width, CELL_H),
        }
        match (&slot.blank, &slot.written) {
            (Blank::Comb(comb), Some(text)) => canvas.hand(at(x, top), *comb, text),
            (Blank::Line, text) => {
                canvas.scribble(at(x, top + mm(6.4)), slot.width, text.as_deref());
            }
            _ => {}
        }
        x += slot.width + BETWEEN;
    }
    top + CELL_H
}

/// The readings, what is worked out from them, and the readings again.
fn slots(line: &LineRows, width: Len) -> Vec<Slot> {
    let groups: Vec<&BoxGroup> = line.own().collect();
    let mut slots = Vec::new();
    for group in &groups {
        first_slots(group, width, &mut slots);
    }
    for answer in &line.answers {
        let comb = fit_columns::comb_of(answer);
        slots.push(slot(LABEL, &answer.label, Blank::Comb(comb), comb.width()));
    }
    let combs = groups.iter().filter_map(|group| Some((*group, fit_columns::comb(group)?)));
    let combs: Vec<(&BoxGroup, Comb)> = combs.collect();
    match combs.as_slice() {
        [] => {}
        [(group, comb)] if group.labels.len() <= 1 => {
            let least = comb.width().max(mm(20.0));
            let again = slot(ASIDE.sized(7.0), "again, by", Blank::Comb(*comb), least);
            slots.push(Slot { signed: true, ..again });
        }
        several => {
            let first = slots.len();
            several.iter().for_each(|(group, comb)| again_slots(group, *comb, &mut slots));
            if let Some(first) = slots.get_mut(first) {
                first.starts = true;
            }
            slots.push(slot(CAPTION, "initials", Blank::Initials, INITIALS));
        }
    }
    slots
}

fn first_slots(group: &BoxGroup, width: Len, out: &mut Vec<Slot>) {
    for (n, label) in labels(group).iter().enumerate() {
        let caption = caption(group, label);
        match fit_columns::comb(group) {
            Some(comb) => {
                let heavy = fit_columns::heavy(group, n);
                let blank = Blank::Comb(Comb { heavy, ..comb });
                out.push(slot(CAPTION, &caption, blank, comb.width()));
            }
            None => {
                let least = if group.labels.len() > 1 { SEVERAL } else { WORDS };
                out.push(slot(CAPTION, &caption, Blank::Line, least.min(width)));
            }
        }
    }
}

fn again_slots(group: &BoxGroup, comb: Comb, out: &mut Vec<Slot>) {
    for label in labels(group) {
        let caption = format!("{} again", label.trim());
        let style = ASIDE.sized(7.0);
        out.push(slot(style, caption.trim(), Blank::Comb(comb), comb.width()));
    }
}

fn labels(group: &BoxGroup) -> Vec<&str> {
    match group.labels.is_empty() {
        true => vec![""],
        false => group.labels.iter().map(String::as_str).collect(),
    }
}

/// A length without decimals is no length: it is counted.
fn counted(group: &BoxGroup) -> bool {
    matches!(group.shape, BoxKind::Comb { places: 0, .. }) && group.unit.length().is_some()
}

/// A label with the unit; words have none.
fn caption(group: &BoxGroup, label: &str) -> String {
    let label = label.trim();
    match (&group.shape, label.is_empty()) {
        (BoxKind::Words, true) => group.title.to_lowercase(),
        (BoxKind::Words, false) => label.to_string(),
        (_, true) if counted(group) => "how many".to_string(),
        (_, true) => group.unit.to_string(),
        (_, false) if counted(group) => label.to_string(),
        (_, false) => format!("{label}, {}", group.unit),
    }
}

fn slot(style: TextStyle, text: &str, blank: Blank, least: Len) -> Slot {
    let wide = style.width(text);
    let width = least.max(wide.min(mm(30.0)));
    Slot {
        caption: style.para(text, width),
        blank,
        width,
        starts: false,
        signed: false,
        written: None,
    }
}
