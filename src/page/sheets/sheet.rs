//! One sheet: its blocks down its pages, then head, body and foot of each.

use std::rc::Rc;

use super::flow::{Held, Share, Slab, Strip, TooTall};
use super::foot::{self, REMARK};
use super::head::{self, Headed};
use super::{Layout, fit, grid, marks, readings, renew, write};
use crate::diag::Diags;
use crate::page::length::Len;
use crate::page::mark::Page;
use crate::page::paper;
use crate::page::pen::{Canvas, HEAVY, Piece, at, mm};
use crate::page::text::{STRONG, TEXT};
use crate::sheet::{INDEX, MarksBlock, Pages, Reference, Sheet, SheetBlock, SignBox};

/// A sheet whose pages are known and not yet drawn.
pub struct Plan<'a> {
    pub letter: &'a str,
    pub title: &'a str,
    subtitle: &'a str,
    number: Option<&'a str>,
    /// Under the sheet set: `form C, revision 1`.
    form: String,
    signs: &'a [SignBox],
    /// Whether a row can be n.a.
    rows: bool,
    strip: Strip,
    shares: Vec<Share>,
    top: Len,
    foot: Len,
}

/// Between the head and the first slab, and above the foot.
const GAP: Len = mm(2.0);
/// The most lines for remarks.
const REMARKS: i32 = 9;

/// How the rows of a sheet are laid: each with its own line for measuring
/// again, or closer, with spare lines after them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rows {
    Full,
    Close,
}

/// Plans the pages of a sheet: as few as it takes, with three lines for
/// remarks where that costs no page.
pub fn plan<'a>(lay: &Layout<'a>, sheet: &'a Sheet, out: &mut Diags) -> Option<Plan<'a>> {
    lay.letter.set(&sheet.letter);
    let mut plan = Plan {
        letter: &sheet.letter,
        title: &sheet.title,
        subtitle: sheet.subtitle.as_deref().unwrap_or_default(),
        number: Some(&sheet.number),
        form: format!("form {}, revision {}", sheet.letter, sheet.revision),
        signs: &sheet.signs,
        rows: sheet.lines().any(|line| line.has_boxes()),
        strip: Strip::default(),
        shares: Vec::new(),
        top: Len::ZERO,
        foot: Len::ZERO,
    };
    plan.measure(lay);
    let fits = sheet.lines().any(fit::is_fit);
    let ways = if fits { &[Rows::Full, Rows::Close][..] } else { &[Rows::Full] };
    match plan.fill(lay, ways.iter().map(|rows| strip(lay, sheet, *rows))) {
        Ok(()) => Some(plan),
        Err(TooTall { slab }) => {
            let wrong = format!("sheet {}: piece {} is taller than a page", sheet.letter, slab + 1);
            out.fault_nowhere(wrong, "shorten the longest text on that sheet");
            None
        }
    }
}

fn strip(lay: &Layout<'_>, sheet: &Sheet, rows: Rows) -> Strip {
    let mut strip = Strip::default();
    let mut number = 1;
    let mut blocks = sheet.blocks.as_slice();
    while let [block, rest @ ..] = blocks {
        if let Some((slab, count)) = lists(lay, blocks, number) {
            strip.push(slab.above(GAP));
            number += count;
            blocks = &blocks[count..];
            continue;
        }
        blocks = rest;
        push(lay, &mut strip, block, number, rows);
        let numbered = !matches!(block, SheetBlock::Caution(_) | SheetBlock::Note(_));
        number += usize::from(numbered);
    }
    strip
}

/// As many of the next lists as stand in two columns, and how many.
fn lists(lay: &Layout<'_>, blocks: &[SheetBlock], number: usize) -> Option<(Slab, usize)> {
    let run: Vec<&MarksBlock> = blocks.iter().map_while(single).collect();
    let counts = (2..=run.len()).rev();
    let mut slabs = counts.map(|count| (marks::abreast(lay, &run[..count], number), count));
    slabs.find_map(|(slab, count)| slab.map(|slab| (slab, count)))
}

/// A list of marks answered once an item.
fn single(block: &SheetBlock) -> Option<&MarksBlock> {
    match block {
        SheetBlock::Marks(marks) if marks.columns.is_empty() => Some(marks),
        _ => None,
    }
}

fn push(lay: &Layout<'_>, strip: &mut Strip, block: &SheetBlock, number: usize, rows: Rows) {
    match block {
        SheetBlock::Marks(marks) if marks.columns.is_empty() => {
            marks::list(lay, strip, marks, number);
        }
        SheetBlock::Marks(marks) => grid::marks(lay, strip, marks, number),
        SheetBlock::Measure(measure) => readings::measure(lay, strip, measure, number, rows),
        SheetBlock::Write { title, columns, items, .. } => {
            write::write(lay, strip, (title, columns, items), number)
        }
        SheetBlock::Renew { title, items, .. } => renew::renew(lay, strip, title, items, number),
        SheetBlock::Caution(text) => strip.push(caution(lay, text)),
        SheetBlock::Note(text) => strip.push(note(lay, text)),
    }
}

fn caution(lay: &Layout<'_>, text: &str) -> Slab {
    let mut sketch = lay.sketch();
    let x = mm(4.0);
    let start = sketch.width(STRONG, "Caution") + mm(2.0);
    sketch.word(x, mm(1.0) + STRONG.drop(), STRONG, "Caution");
    let left = x + start;
    let height = sketch.tell(at(left, mm(1.0)), STRONG, text, lay.area.w - left - mm(2.0));
    let height = height + mm(2.0);
    sketch.post(mm(1.0), Len::ZERO, height, HEAVY);
    Slab::of(sketch.done(height)).above(GAP)
}

fn note(lay: &Layout<'_>, text: &str) -> Slab {
    let mut sketch = lay.sketch();
    let height = sketch.tell(at(Len::ZERO, Len::ZERO), TEXT, text, lay.area.w);
    Slab::of(sketch.done(height)).above(GAP)
}

impl<'a> Plan<'a> {
    /// The set's own first pages.
    pub fn index(lay: &Layout<'a>, strip: Strip) -> Result<Plan<'a>, TooTall> {
        let words =
            ["Index of the worksheets", "what to fetch, who signs, how the sheets are filled in"];
        Plan::bare(lay, strip, INDEX, words, "index")
    }

    /// Pages that nobody signs: what they are for stands in their title.
    pub fn bare(
        lay: &Layout<'a>,
        strip: Strip,
        letter: &'a str,
        [title, subtitle]: [&'a str; 2],
        form: &str,
    ) -> Result<Plan<'a>, TooTall> {
        let mut plan = Plan {
            letter,
            title,
            subtitle,
            number: None,
            form: form.to_string(),
            signs: &[],
            rows: false,
            strip: Strip::default(),
            shares: Vec::new(),
            top: Len::ZERO,
            foot: Len::ZERO,
        };
        plan.measure(lay);
        plan.shares = strip.pour(plan.room(lay), Len::ZERO)?;
        plan.strip = strip;
        Ok(plan)
    }

    pub fn pages(&self) -> usize {
        self.shares.len()
    }

    /// Notes on which page of the set everything of the sheet is.
    pub fn tell_pages(&self, lay: &Layout<'_>, first: usize, pages: &mut Pages) {
        pages.put_sheet(self.letter, &first.to_string());
        for (n, share) in self.shares.iter().enumerate() {
            let page = (first + n).to_string();
            pages.put_printed(&page, self.letter, &self.reference(lay, n + 1));
            let slabs = share.parts.iter().map(|(_, part)| self.strip.part(*part));
            for held in slabs.flat_map(|slab| &slab.holds) {
                match held {
                    Held::Row(code) => pages.put_row(code, &page),
                    Held::Item(number) => pages.put_item(self.letter, *number, &page),
                }
            }
        }
    }

    pub fn own_number(&self) -> Option<&'a str> {
        self.number
    }

    pub fn bookmark(&self) -> String {
        match self.number {
            Some(_) => format!("{}  {}", self.letter, self.title),
            None => self.title.to_string(),
        }
    }

    /// What the code on a page of the sheet says.
    fn reference(&self, lay: &Layout<'_>, page: usize) -> String {
        let reference = Reference {
            set: lay.set.number.clone(),
            sheet: self.letter.to_owned(),
            page,
            blind: lay.set.head.blind,
            own: self.number.map(str::to_owned),
        };
        reference.to_string()
    }

    fn head(&self, lay: &Layout<'_>, of_sheet: (usize, usize), of_set: (usize, usize)) -> Piece {
        let headed = Headed {
            letter: self.letter,
            title: self.title,
            subtitle: self.subtitle,
            number: self.number,
            form: &self.form,
            of_sheet,
            of_set,
            reference: self.reference(lay, of_sheet.0),
            valid: None,
        };
        head::head(lay, &headed)
    }

    fn measure(&mut self, lay: &Layout<'_>) {
        self.top = self.head(lay, (1, 1), (1, 1)).height;
        self.foot = foot::foot(lay, &self.form).height;
    }

    fn room(&self, lay: &Layout<'_>) -> Len {
        lay.area.h - self.top - self.foot - GAP * 2
    }

    fn tail_height(&self, lay: &Layout<'_>, lines: i32) -> Len {
        foot::tail(lay, self.signs, self.rows, lines).height + GAP
    }

    /// Of the ways to lay the rows, with three lines for remarks or one, takes
    /// the one with the fewest pages, then one with three lines in all.
    fn fill(&mut self, lay: &Layout<'_>, ways: impl Iterator<Item = Strip>) -> Result<(), TooTall> {
        let mut best = None;
        for strip in ways {
            if matches!(best, Some(((1, false), _, _))) {
                break;
            }
            let strip = Rc::new(strip);
            for lines in [3, 1] {
                let shares = strip.pour(self.room(lay), self.tail_height(lay, lines))?;
                let count = shares.len();
                let places = shares.iter().enumerate();
                let lines = places.map(|(n, share)| self.lines(lay, share, n + 1 == count));
                let score = (count, lines.sum::<i32>() < 3);
                if best.as_ref().is_none_or(|(least, _, _)| score < *least) {
                    best = Some((score, strip.clone(), shares));
                }
            }
        }
        if let Some((_, strip, shares)) = best {
            self.strip = Rc::unwrap_or_clone(strip);
            self.shares = shares;
        }
        Ok(())
    }

    /// How many lines for remarks a page has room for.
    fn lines(&self, lay: &Layout<'_>, share: &Share, last: bool) -> i32 {
        let (signs, rows) = self.tail_of(last);
        let bare = foot::tail(lay, signs, rows, 0).height;
        let free = self.room(lay) - share.filled - bare - GAP - foot::remarks_height(1);
        if free < Len::ZERO { 0 } else { (1 + free.um() / REMARK.um()).min(REMARKS) }
    }

    /// What is signed at the foot of a page, and whether a row can be n.a.
    fn tail_of(&self, last: bool) -> (&'a [SignBox], bool) {
        if last { (self.signs, self.rows) } else { (&[], false) }
    }

    /// Draws the pages; the first has that number in the set.
    pub fn draw(self, lay: &Layout<'a>, first: usize, total: usize) -> Vec<Page> {
        let count = self.pages();
        let mut pages = Vec::with_capacity(count);
        for n in 0..count {
            let number = first + n;
            let head = self.head(lay, (n + 1, count), (number, total));
            let mut sketch = lay.sketch();
            let area = lay.area;
            sketch.hole_marks(paper::size(lay.set.head.paper));
            sketch.piece(at(area.x, area.y), head);
            self.body(lay, &mut sketch, n);
            let foot = foot::foot(lay, &self.form);
            sketch.piece(at(area.x, area.y + area.h - foot.height), foot);
            let mut page = paper::size(lay.set.head.paper).page(number.to_string());
            page.marks = sketch.marks;
            pages.push(page);
        }
        pages
    }

    /// The slabs of a page, and remarks and boxes to sign in what is left.
    fn body(&self, lay: &Layout<'a>, sketch: &mut Canvas<'_>, n: usize) {
        let area = lay.area;
        let share = &self.shares[n];
        self.strip.put(share, sketch, area.x, area.y + self.top + GAP);
        if self.number.is_none() {
            return;
        }
        let last = n + 1 == self.pages();
        let (signs, rows) = self.tail_of(last);
        lay.letter.set(if last { self.letter } else { "" });
        let tail = foot::tail(lay, signs, rows, self.lines(lay, share, last));
        let bottom = area.y + area.h - self.foot - GAP / 2;
        sketch.piece(at(area.x, bottom - tail.height), tail);
    }
}
