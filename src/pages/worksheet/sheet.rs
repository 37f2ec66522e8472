//! One sheet: what it is made of to blocks, and these to as few pages as it takes.

use super::bind::Lines;
use super::plan::{GAP, Plan};
use super::{Layout, again, also, grid, marks, readings, renew, table, write};
use crate::diag::Diags;
use crate::layout::at;
use crate::layout::canvas::{HEAVY, mm};
use crate::layout::length::Len;
use crate::layout::paginate::{Block, Blocks, PageFill, TooTall, paginate};
use crate::layout::style::{STRONG, TEXT};
use crate::sheet::{MarksBlock, Sheet, SheetBlock};

/// The most lines for remarks.
const REMARKS: i32 = 3;

/// Plans the pages of a sheet: as few as it takes.
pub fn plan<'a>(lay: &Layout<'a>, sheet: &'a Sheet, out: &mut Diags) -> Option<Plan<'a>> {
    let lay = &lay.of(&sheet.letter);
    let plan = Plan {
        letter: sheet.letter.clone(),
        title: &sheet.title,
        subtitle: sheet.subtitle.clone().unwrap_or_default(),
        number: Some(&sheet.number),
        form: format!("form {}, revision {}", sheet.letter, sheet.revision),
        signs: &sheet.signs,
        rows: sheet.lines().any(|line| line.has_boxes()),
        marks: sheet.blocks.iter().any(|block| matches!(block, SheetBlock::Marks(_))),
        again: again::comb(sheet),
        also: if lay.set.head.blind { 0 } else { also::rows(sheet) },
        later: !lay.set.head.blind,
        remarks: REMARKS,
        ..Plan::default()
    };
    let plan = plan.measured(lay);
    let fewest = fewest_pages(lay, plan, blocks(lay, sheet));
    let of = format!("sheet {}", sheet.letter);
    fewest.map_err(|tall| tall.tell(&of, "shorten the longest text on that sheet", out)).ok()
}

fn blocks(lay: &Layout<'_>, sheet: &Sheet) -> Blocks {
    let mut blocks = Blocks::default();
    let mut number = 1;
    let mut parts = sheet.blocks.as_slice();
    while let [part, rest @ ..] = parts {
        if let Some((block, count)) = lists(lay, parts, number) {
            blocks.push(block.above(GAP));
            number += count;
            parts = &parts[count..];
            continue;
        }
        parts = rest;
        push(lay, &mut blocks, part, number);
        let numbered = !matches!(part, SheetBlock::Caution(_) | SheetBlock::Note(_));
        number += usize::from(numbered);
    }
    blocks
}

/// As many of the next lists as stand in two columns, and how many.
fn lists(lay: &Layout<'_>, parts: &[SheetBlock], number: usize) -> Option<(Block, usize)> {
    let run: Vec<&MarksBlock> = parts.iter().map_while(single).collect();
    let mut counts = (2..=run.len()).rev();
    counts.find_map(|count| Some((marks::abreast(lay, &run[..count], number)?, count)))
}

/// A list of marks answered once an item.
fn single(block: &SheetBlock) -> Option<&MarksBlock> {
    match block {
        SheetBlock::Marks(marks) if marks.columns.is_empty() => Some(marks),
        _ => None,
    }
}

fn push(lay: &Layout<'_>, blocks: &mut Blocks, part: &SheetBlock, number: usize) {
    match part {
        SheetBlock::Marks(marks) if marks.columns.is_empty() => {
            marks::list(lay, blocks, marks, number);
        }
        SheetBlock::Marks(marks) => grid::marks(lay, blocks, marks, number),
        SheetBlock::Measure(measure) => readings::measure(lay, blocks, measure, number),
        SheetBlock::Write { title, columns, items, .. } => {
            write::write(lay, blocks, (title, columns, items), number)
        }
        SheetBlock::Renew { title, items, .. } => renew::renew(lay, blocks, title, items, number),
        SheetBlock::Table(table) => table::table(lay, blocks, table, number),
        SheetBlock::Caution(text) => blocks.push(caution(lay, text)),
        SheetBlock::Note(text) => blocks.push(note(lay, text)),
    }
}

fn caution(lay: &Layout<'_>, text: &str) -> Block {
    let mut canvas = lay.canvas();
    let x = mm(4.0);
    let start = STRONG.width("Caution") + mm(2.0);
    canvas.word(x, mm(1.0) + STRONG.ascent, STRONG, "Caution");
    let left = x + start;
    let height = canvas.tell(at(left, mm(1.0)), STRONG, text, lay.area.w - left - mm(2.0));
    let height = height + mm(2.0);
    canvas.post(mm(1.0), Len::ZERO, height, HEAVY);
    canvas.done(height).above(GAP)
}

fn note(lay: &Layout<'_>, text: &str) -> Block {
    let mut canvas = lay.canvas();
    let height = canvas.tell(at(Len::ZERO, Len::ZERO), TEXT, text, lay.area.w);
    canvas.done(height).above(GAP)
}

/// How many lines for measuring again and for remarks a page keeps free, from
/// what is wanted to what is enough: those of the last page are the sheet's.
const WANTED: [(i32, i32); 5] = [(2, 2), (2, 1), (1, 1), (1, 0), (0, 0)];

/// Takes as few pages as it can, then as many lines at their feet, and breaks
/// evenly.
fn fewest_pages<'a>(lay: &Layout<'_>, plan: Plan<'a>, blocks: Blocks) -> Result<Plan<'a>, TooTall> {
    let mut best: Option<(Vec<PageFill>, Feet)> = None;
    let mut tall = TooTall { block: 0 };
    for (again, remarks) in WANTED {
        let again = if plan.rows { again } else { 0 };
        let lines = Lines { again, remarks, ..Lines::default() };
        let feet = Feet {
            each: plan.tail(lay, false, lines).height + GAP,
            last: plan.tail(lay, true, lines.at_least(plan.rows)).height + GAP,
        };
        match feet.paginate(&blocks, plan.room(lay)) {
            Ok(fills) if best.as_ref().is_none_or(|(best, _)| fills.len() < best.len()) => {
                best = Some((fills, feet));
            }
            Ok(_) => {}
            Err(found) => tall = found,
        }
    }
    let (fills, feet) = best.ok_or(tall)?;
    let fills = evenly(&blocks, plan.room(lay), feet, fills);
    Ok(Plan { blocks, fills, ..plan })
}

/// What is kept free at the foot of each page and of the last.
#[derive(Clone, Copy)]
struct Feet {
    each: Len,
    last: Len,
}

impl Feet {
    fn paginate(self, blocks: &Blocks, room: Len) -> Result<Vec<PageFill>, TooTall> {
        paginate(blocks, room - self.each, None, self.last - self.each)
    }
}

/// The same number of pages, none of them much fuller than it must be.
fn evenly(blocks: &Blocks, room: Len, feet: Feet, fills: Vec<PageFill>) -> Vec<PageFill> {
    let count = fills.len();
    let (mut even, mut least, mut most) = (fills, Len::ZERO, room);
    while count > 1 && most - least > mm(1.0) {
        let middle = least + (most - least) / 2;
        match feet.paginate(blocks, middle) {
            Ok(fills) if fills.len() == count => (even, most) = (fills, middle),
            _ => least = middle,
        }
    }
    even
}
