//! Measuring: the lines of a block, and the rows of lines with one group of
//! boxes.

use super::columns::parcels;
use super::entry::{self, Told};
use super::plan;
use super::{Layout, derived, fit, fit_columns, head, rings, row_fields};
use crate::judge::{BoxGroup, BoxKind};
use crate::layout::at;
use crate::layout::canvas::{Canvas, HAIR, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::Align;
use crate::layout::paginate::{Block, Blocks};
use crate::layout::style::{CAPTION, LABEL, Para, STRONG, TextStyle};
use crate::pages::boxes::{CELL_H, Comb};
use crate::pages::scale::scale;
use crate::sheet::{LineRows, MeasureBlock, Row, fields};

pub fn measure(lay: &Layout<'_>, blocks: &mut Blocks, block: &MeasureBlock, number: usize) {
    let note = block.note.as_deref().unwrap_or("write what the gauge shows, every digit");
    let mut lines = block.lines.as_slice();
    if let Some((first, rest)) = lines.split_first().filter(|(first, _)| titles(block, first)) {
        let title = format!("{}  {}", first.reference, first.name);
        let aside = [Some(first.limits.clone()), first.source()];
        let aside: Vec<String> = aside.into_iter().flatten().collect();
        let title = head::section(lay, number, &title, &aside.join("    "), false, lay.area.w);
        blocks.push(title.above(plan::GAP).kept());
        fit::rows(lay, blocks, first, Some(note));
        lines = rest;
    } else {
        let title = head::section(lay, number, &block.title, note, false, lay.area.w);
        blocks.push(title.above(plan::GAP).kept());
    }
    while let [line, rest @ ..] = lines {
        if let [second, after @ ..] = rest
            && let Some(pair) = pair(lay, line, second)
        {
            blocks.push(pair.above(mm(1.0)));
            lines = after;
            continue;
        }
        lines = rest;
        let marked = line.groups.iter().any(|group| matches!(group.shape, BoxKind::Marks { .. }));
        if !line.has_boxes() {
            derived::line(lay, blocks, line);
        } else if fit::is_fit(line) {
            fit::rows(lay, blocks, line, None);
        } else if marked {
            rings::rows(lay, blocks, line);
        } else {
            readings(lay, blocks, line);
        }
    }
}

/// Whether the title of a block only says again what its first line is called.
fn titles(block: &MeasureBlock, first: &LineRows) -> bool {
    let written = fit::is_fit(first) && first.answers.iter().any(|answer| answer.side);
    written && first.name.to_lowercase().ends_with(&block.title.to_lowercase())
}

/// Left of the boxes of a row that has the width to itself.
const NAMED: Len = mm(34.0);
const GAP: Len = mm(4.0);
/// The most rows side by side.
const ACROSS: usize = 6;
/// The least width of one of them.
const ABREAST: Len = mm(25.0);
/// Rows of one column of a block where they stand abreast.
const CHUNK: usize = 8;

fn readings(lay: &Layout<'_>, blocks: &mut Blocks, line: &LineRows) {
    let (entry_w, x) = (lay.area.w * 9 / 20, lay.area.w / 2);
    let room = lay.area.w - x;
    if let [row] = line.rows.as_slice() {
        let boxes = boxes(lay, line, Some(row), (room, true));
        let wide = self::boxes(lay, line, Some(row), (lay.area.w, true));
        if boxes.lines == 2 && wide.lines == 1 {
            blocks.push(under(lay, line, row, wide).above(mm(1.0)).with(row_fields([row])));
            return;
        }
        if boxes.lines <= 2 {
            let block = alone(lay, line, row, (entry_w, x), boxes);
            blocks.push(block.above(mm(1.0)).with(row_fields(&line.rows)));
            return;
        }
    }
    let again = blocks.headed(mm(1.0), |again| line_head(lay, line, (entry_w, x), again));
    let across = across(lay, line);
    if line.rows.len() >= 2 && across > 1 {
        let draw = |rows: &[Row]| abreast(lay, line, rows, across);
        for (_, block) in parcels(&line.rows, CHUNK * across, across, draw) {
            blocks.push(block.under([again]));
        }
        return;
    }
    // What each box is stands over those of the first row of a page.
    let boxes = alike(lay, line, lay.area.w - NAMED, true);
    let bare = alike(lay, line, lay.area.w - NAMED, false);
    for (n, row) in line.rows.iter().enumerate() {
        let whole = whole_row(lay, (NAMED, lay.area.w), row, boxes(row));
        let block = match n {
            0 => whole,
            _ => {
                let block = whole_row(lay, (NAMED, lay.area.w), row, bare(row));
                Block { at_top: Some(Box::new(whole)), ..block }
            }
        };
        blocks.push(block.under([again]));
    }
}

/// Two lines of a single box each, side by side.
fn pair(lay: &Layout<'_>, left: &LineRows, right: &LineRows) -> Option<Block> {
    let width = (lay.area.w - GAP * 2) / 2;
    let halves = [left, right].map(|line| half(lay, line, width));
    let [Some(left), Some(right)] = halves else { return None };
    Some(Block::abreast(width + GAP * 2, [left, right]))
}

/// A line with a single row and a single box: its entry over scale and box.
fn half(lay: &Layout<'_>, line: &LineRows, width: Len) -> Option<Block> {
    let [row] = line.rows.as_slice() else { return None };
    let mut slots = slots(line, width);
    let [Slot { blank: Blank::Comb(_), width: boxed, .. }] = slots.as_slice() else { return None };
    let boxed = *boxed;
    let groups: Vec<&BoxGroup> = line.own().collect();
    if groups.iter().any(|group| fit_columns::comb(group).is_none()) {
        return None;
    }
    let mut canvas = lay.canvas();
    let indent = STRONG.sized(14.0).width(&row.code).max(mm(8.0)) + mm(2.0);
    canvas.set(at(Len::ZERO, Len::ZERO), STRONG.sized(14.0), Align::Left, &row.code);
    let told = match row.code == line.reference {
        true => Told::Unnamed,
        false => Told::Whole,
    };
    let mut y = canvas.place(at(indent, Len::ZERO), entry::entry(lay, line, width - indent, told));
    y += place(&mut canvas, indent, y, row, width - indent) + mm(0.6);
    write_in(lay, line, Some(row), &mut slots);
    let scaled = width - boxed - mm(6.0);
    let mut tall = Len::ZERO;
    for found in line.scales.iter().filter(|scale| !scale.bands.is_empty()) {
        tall += canvas.place(at(Len::ZERO, y + tall), scale(lay.desk, found, scaled));
    }
    let mut boxes = lay.canvas();
    let down = put_line(&mut boxes, slots, Len::ZERO);
    let lift = y - mm(0.6);
    canvas.put(boxes.marks, at(width - boxed, lift));
    let height = (y + tall).max(lift + down) + mm(1.0);
    canvas.rule(Len::ZERO, height, width, MINOR);
    Some(canvas.done(height).with(row_fields([row])))
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

/// A line with a single row: its entry left and its scale right, its boxes under
/// both over the whole width.
fn under(lay: &Layout<'_>, line: &LineRows, row: &Row, boxes: Boxes) -> Block {
    let none = Boxes { block: lay.canvas().done(Len::ZERO), lines: 0 };
    let head = alone(lay, line, row, (lay.area.w * 9 / 20, lay.area.w / 2), none);
    let mut canvas = lay.canvas();
    let y = canvas.place(at(Len::ZERO, Len::ZERO), head);
    let y = y + canvas.place(at(Len::ZERO, y), boxes.block) + mm(0.8);
    canvas.rule(Len::ZERO, y, lay.area.w, MINOR);
    canvas.done(y)
}

fn place(canvas: &mut Canvas<'_>, x: Len, y: Len, row: &Row, width: Len) -> Len {
    let mut down = canvas.tell(at(x, y), STRONG.sized(7.8), &row.name, width);
    if let Some(reach) = &row.reach {
        down += canvas.tell(at(x, y + down), CAPTION, reach, width);
    }
    down
}

/// How many rows stand side by side, each with its boxes on one line: the fewest
/// with which the line is as short as it can be.
fn across(lay: &Layout<'_>, line: &LineRows) -> usize {
    let slots = slots(line, lay.area.w);
    let one = slots.iter().map(|slot| slot.width + BETWEEN).sum::<Len>() - BETWEEN;
    let fit = (lay.area.w + GAP).um() / (one.max(ABREAST) + GAP).um().max(1);
    let count = line.rows.len();
    let most = usize::try_from(fit).unwrap_or(1).clamp(1, count.clamp(1, ACROSS));
    let down = count.div_ceil(most);
    (1..=most).find(|across| count.div_ceil(*across) == down).unwrap_or(most)
}

/// Rows in columns, down the left one first.
fn abreast(lay: &Layout<'_>, line: &LineRows, rows: &[Row], across: usize) -> Block {
    let count = i32::try_from(across).unwrap_or(1);
    let width = (lay.area.w - GAP * (count - 1)) / count;
    let rows = rows.iter().map(|row| under_code(lay, line, row, width));
    Block::in_columns(across, width + GAP, rows.collect())
}

/// Code and place of a row over its boxes, in one line with the caption of a
/// single one.
fn under_code(lay: &Layout<'_>, line: &LineRows, row: &Row, width: Len) -> Block {
    let mut canvas = lay.canvas();
    let mut slots = slots(line, width);
    write_in(lay, line, Some(row), &mut slots);
    let mut beside = vec![row.name.clone()];
    if let [only] = slots.as_mut_slice() {
        beside.push(only.caption.lines.join(" "));
        only.caption.lines.clear();
    }
    beside.retain(|words| !words.is_empty());
    let code = STRONG.fitted(&[12.0, 10.0, 8.0], &row.code, width);
    let x = code.width() + mm(1.4);
    let named = CAPTION.para(&beside.join(", "), width - x);
    let top = mm(0.4);
    let lift = (code.style.ascent - CAPTION.ascent).max(Len::ZERO);
    canvas.write(at(Len::ZERO, top), &code);
    canvas.write(at(x, top + lift), &named);
    let mut y = top + code.height().max(lift + named.height());
    if let Some(reach) = &row.reach {
        y += canvas.tell(at(Len::ZERO, y), CAPTION, reach, width);
    }
    y = put_line(&mut canvas, slots, y) + mm(0.6);
    canvas.rule(Len::ZERO, y, width, MINOR);
    canvas.done(y).with(row_fields([row]))
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
}

struct Slot {
    caption: Para,
    blank: Blank,
    width: Len,
    written: Option<String>,
    /// Name and words of its field, but for the part of a figure.
    field: Option<(String, String)>,
}

/// A written answer in words, at least.
const WORDS: Len = mm(62.0);
/// One of several, at least.
const SEVERAL: Len = mm(30.0);
const BETWEEN: Len = mm(2.4);

/// The boxes of each row of a line: drawn once where nothing is written in.
fn alike(lay: &Layout<'_>, line: &LineRows, width: Len, captioned: bool) -> impl Fn(&Row) -> Boxes {
    let drawn = move |row: Option<&Row>| boxes(lay, line, row, (width, captioned));
    let blank = lay.is_blank().then(|| drawn(None));
    move |row| blank.clone().unwrap_or_else(|| drawn(Some(row)))
}

/// With what each box is over it, unless that stands over the rows above.
fn boxes(
    lay: &Layout<'_>,
    line: &LineRows,
    row: Option<&Row>,
    (width, captioned): (Len, bool),
) -> Boxes {
    let mut canvas = lay.canvas();
    let mut slots = slots(line, width);
    write_in(lay, line, row, &mut slots);
    if !captioned {
        slots.iter_mut().for_each(|slot| slot.caption.lines.clear());
    }
    let mut lines: Vec<Vec<Slot>> = vec![Vec::new()];
    let mut x = Len::ZERO;
    for slot in slots {
        let over = x + slot.width > width;
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
        slot.field = row.map(|row| fields::reading(&row.code, group, n, ""));
    }
}

fn put_line(canvas: &mut Canvas<'_>, slots: Vec<Slot>, y: Len) -> Len {
    let tallest = slots.iter().map(|slot| slot.caption.height()).max().unwrap_or_default();
    let top = y + tallest.on_grid() + mm(0.4);
    let mut x = Len::ZERO;
    for slot in slots {
        let up = top - mm(0.4) - slot.caption.height();
        canvas.write(at(x, up), &slot.caption);
        match slot.blank {
            Blank::Comb(comb) => canvas.comb(at(x, top), comb),
            Blank::Line => canvas.rule(x, top + mm(6.4), slot.width, HAIR),
        }
        match (&slot.blank, &slot.written) {
            (Blank::Comb(comb), Some(text)) => canvas.hand(at(x, top), *comb, text),
            (Blank::Line, text) => {
                canvas.scribble(at(x, top + mm(6.4)), slot.width, text.as_deref());
            }
            (Blank::Comb(_), None) => {}
        }
        if let Some((name, told)) = slot.field {
            let named = |part: &str| match part {
                "" => (name.clone(), told.clone()),
                part => (format!("{name}.{part}"), format!("{told} {part}")),
            };
            match slot.blank {
                Blank::Comb(comb) => canvas.comb_fields(at(x, top), comb, named),
                Blank::Line => {
                    canvas.words_field(at(x, top + mm(6.4)), slot.width, || named(""));
                }
            }
        }
        x += slot.width + BETWEEN;
    }
    top + CELL_H
}

/// The readings and what is worked out from them.
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
    Slot { caption: style.para(text, width), blank, width, written: None, field: None }
}
