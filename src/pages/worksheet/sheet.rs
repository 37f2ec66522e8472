//! One sheet: what it is made of to blocks, and these to as few pages as it takes.

use super::fit::Rows;
use super::plan::{GAP, Plan};
use super::{Layout, fit, grid, marks, readings, renew, write};
use crate::diag::Diags;
use crate::layout::at;
use crate::layout::canvas::{HEAVY, mm};
use crate::layout::length::Len;
use crate::layout::paginate::{Block, Blocks, PageFill, TooTall, paginate};
use crate::layout::style::{STRONG, TEXT};
use crate::sheet::{MarksBlock, Sheet, SheetBlock};

/// The most lines for remarks.
const REMARKS: i32 = 9;

/// Plans the pages of a sheet: as few as it takes, with three lines for
/// remarks where that costs no page.
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
        remarks: REMARKS,
        ..Plan::default()
    };
    let plan = plan.measured(lay);
    let fits = sheet.lines().any(fit::is_fit);
    let ways = if fits { &[Rows::Full, Rows::Close][..] } else { &[Rows::Full] };
    let fewest = fewest_pages(lay, plan, ways.iter().map(|rows| blocks(lay, sheet, *rows)));
    let of = format!("sheet {}", sheet.letter);
    fewest.map_err(|tall| tall.tell(&of, "shorten the longest text on that sheet", out)).ok()
}

fn blocks(lay: &Layout<'_>, sheet: &Sheet, rows: Rows) -> Blocks {
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
        push(lay, &mut blocks, part, number, rows);
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

fn push(lay: &Layout<'_>, blocks: &mut Blocks, part: &SheetBlock, number: usize, rows: Rows) {
    match part {
        SheetBlock::Marks(marks) if marks.columns.is_empty() => {
            marks::list(lay, blocks, marks, number);
        }
        SheetBlock::Marks(marks) => grid::marks(lay, blocks, marks, number),
        SheetBlock::Measure(measure) => readings::measure(lay, blocks, measure, number, rows),
        SheetBlock::Write { title, columns, items, .. } => {
            write::write(lay, blocks, (title, columns, items), number)
        }
        SheetBlock::Renew { title, items, .. } => renew::renew(lay, blocks, title, items, number),
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

/// Of the ways to lay the rows, with three lines for remarks or one, takes the
/// one with the fewest pages, then one with three lines in all.
fn fewest_pages<'a>(
    lay: &Layout<'_>,
    plan: Plan<'a>,
    ways: impl Iterator<Item = Blocks>,
) -> Result<Plan<'a>, TooTall> {
    let mut best: Option<((usize, bool), Blocks, Vec<PageFill>)> = None;
    for blocks in ways {
        if matches!(best, Some(((1, false), _, _))) {
            break;
        }
        let mut found = Vec::new();
        for lines in [3, 1] {
            let tail = plan.tail(lay, true, lines).height + GAP;
            let fills = paginate(&blocks, plan.room(lay), None, tail)?;
            let count = fills.len();
            let places = fills.iter().enumerate();
            let lines = places.map(|(n, fill)| plan.lines(lay, fill, n + 1 == count));
            found.push(((count, lines.sum::<i32>() < 3), fills));
        }
        let least = found.into_iter().min_by_key(|(score, _)| *score);
        if let Some((score, fills)) = least
            && best.as_ref().is_none_or(|(least, _, _)| score < *least)
        {
            best = Some((score, blocks, fills));
        }
    }
    let (_, blocks, fills) = best.unwrap_or_default();
    Ok(Plan { blocks, fills, ..plan })
}
