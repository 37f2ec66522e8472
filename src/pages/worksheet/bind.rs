//! Planned pages drawn between their heads and feet, and put together.

use super::foot::{self, Tail};
use super::plan::{GAP, Plan};
use super::{Layout, also, head};
use crate::layout::at;
use crate::layout::canvas::Canvas;
use crate::layout::length::Len;
use crate::layout::mark::{Area, Bookmark, Document, Entry, Page, Point};
use crate::layout::paginate::{Anchor, Block, Blocks, PageFill, TooTall, paginate};
use crate::pages::paper;
use crate::sheet::fields::{self, PageOf};

/// Lines at the foot of a page.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Lines {
    pub again: i32,
    pub remarks: i32,
    /// For another person or day of one side, where the boxes to sign are.
    pub also: i32,
    /// For what was found, two lines each, and for parts that were changed.
    pub found: i32,
    pub changed: i32,
}

impl Lines {
    /// One of each: the foot of a sheet's last page.
    pub fn at_least(self, rows: bool) -> Lines {
        let again = self.again.max(i32::from(rows));
        Lines { again, remarks: self.remarks.max(1), ..self }
    }
}

/// Lines for measuring again, for remarks, for another person, for what was found
/// and for parts changed: from what no page is without to what one has room for.
const STEPS: [[i32; 5]; 13] = [
    [1, 0, 0, 0, 0],
    [1, 1, 0, 0, 0],
    [1, 1, 1, 0, 0],
    [2, 1, 1, 0, 0],
    [2, 2, 1, 0, 0],
    [2, 2, 1, 1, 0],
    [3, 2, 1, 1, 0],
    [3, 2, 1, 1, 1],
    [3, 2, 2, 2, 1],
    [4, 2, 2, 2, 1],
    [4, 2, 2, 2, 2],
    [5, 3, 2, 3, 2],
    [6, 3, 2, 4, 3],
];
/// Lines for measuring again, for remarks and for another person in what is still
/// left then.
const MORE: [(i32, i32, i32); 6] =
    [(2, 2, 0), (2, 2, 1), (3, 2, 1), (3, 3, 1), (4, 3, 1), (5, 3, 1)];

impl<'a> Plan<'a> {
    /// Pages that nobody signs: what they are for stands in their title.
    pub fn bare(
        lay: &Layout<'a>,
        blocks: Blocks,
        letter: &str,
        [title, subtitle]: [&'a str; 2],
        form: &str,
    ) -> Result<Plan<'a>, TooTall> {
        let (letter, subtitle, form) = (letter.into(), subtitle.into(), form.into());
        let plan = Plan { letter, title, subtitle, form, ..Plan::default() }.measured(lay);
        let fills = paginate(&blocks, plan.room(lay), None, Len::ZERO)?;
        Ok(Plan { blocks, fills, ..plan })
    }

    /// Knows how much room its head and foot leave.
    pub fn measured(mut self, lay: &Layout<'a>) -> Plan<'a> {
        self.top = self.head(lay, (1, 1), (1, 1)).height;
        self.foot = foot::foot(lay, &self.form).height;
        self
    }

    fn head(&self, lay: &Layout<'_>, of_sheet: (usize, usize), of_set: (usize, usize)) -> Block {
        head::head(lay, self, of_sheet, of_set)
    }

    pub fn room(&self, lay: &Layout<'_>) -> Len {
        lay.area.h - self.top - self.foot - GAP * 2
    }

    /// What stands above the foot: the boxes to sign on a sheet's last page, on
    /// each of a second-stage sheet, which may lie on another bench.
    pub fn tail(&self, lay: &Layout<'_>, last: bool, lines: Lines) -> Block {
        let signed = last || self.valid.is_some();
        let tail = Tail {
            signs: if signed { self.signs } else { &[] },
            marks: self.marks,
            again: (lines.again, self.again),
            lines: lines.remarks,
            also: if signed { lines.also } else { 0 },
            found: lines.found,
            changed: lines.changed,
        };
        foot::tail(lay, tail)
    }

    /// How many lines of each sort a page has room for, those that are wanted
    /// most often first.
    pub fn lines(&self, lay: &Layout<'_>, fill: &PageFill, last: bool) -> Lines {
        let free = self.room(lay) - fill.filled - GAP;
        let rows = self.rows && (last || self.has_rows(fill));
        let asked = |[again, remarks, also, found, changed]: [i32; 5]| Lines {
            again: if rows { again } else { 0 },
            remarks,
            also: if self.also >= also::MANY && last { also } else { 0 },
            found: if self.later { found } else { 0 },
            changed: if self.later { changed } else { 0 },
        };
        let fits = |lines: &Lines| {
            lines.remarks <= self.remarks && self.tail(lay, last, *lines).height <= free
        };
        let steps = STEPS.into_iter().map(asked).take_while(fits);
        let mut most = steps.last().unwrap_or_default();
        // What is still left.
        for (again, remarks, also) in MORE {
            let again = if most.again > 0 { most.again.max(again) } else { 0 };
            let remarks = if most.remarks > 0 { most.remarks.max(remarks) } else { 0 };
            let also = if self.also > 1 && last { most.also.max(also) } else { 0 };
            let more = Lines { again, remarks, also, ..most };
            most = if fits(&more) { more } else { most };
        }
        most
    }

    /// Whether a row stands on a page: an item is named with its sheet's letter.
    fn has_rows(&self, fill: &PageFill) -> bool {
        let mut anchors = self.blocks.anchors(fill, Point::default());
        anchors.any(|anchor| matches!(anchor, Anchor::Field(name) if !name.contains(' ')))
    }

    /// Draws the pages; the first has that number in the set.
    fn draw(mut self, lay: &Layout<'_>, first: usize, total: usize) -> Vec<Page> {
        (0..self.pages()).map(|n| self.page(lay, n, first + n, total)).collect()
    }

    fn page(&mut self, lay: &Layout<'_>, n: usize, number: usize, total: usize) -> Page {
        let area = lay.area;
        let mut canvas = lay.canvas();
        canvas.hole_marks(paper::size(lay.set.head.paper));
        canvas.place(at(area.x, area.y), self.head(lay, (n + 1, self.pages()), (number, total)));
        let corner = at(area.x, area.y + self.top + GAP);
        self.blocks.put(&self.fills[n], corner, &mut canvas.marks);
        self.end(lay, &mut canvas, n);
        if let Some(number) = self.number.filter(|_| n == 0) {
            canvas.field(Area::default(), Entry::Fixed(number.to_owned()), || {
                fields::sheet(&self.letter, fields::NUMBER)
            });
        }
        let foot = foot::foot(lay, &self.form);
        canvas.place(at(area.x, area.y + area.h - foot.height), foot);
        Page { marks: canvas.marks, ..paper::size(lay.set.head.paper).page(number.to_string()) }
    }

    /// Remarks and boxes to sign in what is left.
    fn end(&self, lay: &Layout<'_>, canvas: &mut Canvas<'_>, n: usize) {
        if self.overflow || (self.number.is_none() && self.valid.is_none()) {
            return;
        }
        let last = n + 1 == self.pages();
        // What is written at the foot of a sheet is written once.
        let lay =
            &lay.of(if last { &self.letter } else { "" }).on(&self.letter, PageOf::Own(n + 1));
        let tail = self.tail(lay, last, self.lines(lay, &self.fills[n], last));
        let bottom = lay.area.y + lay.area.h - self.foot - GAP / 2;
        canvas.place(at(lay.area.x, bottom - tail.height), tail);
    }
}

/// Draws the planned pages, or only those of the letters that are wanted, and
/// puts them together, without a date: the caller gives it one.
pub fn bind<'a>(
    lay: &Layout<'_>,
    title: String,
    plans: impl IntoIterator<Item = Plan<'a>>,
    only: Option<&[String]>,
) -> Document {
    let plans: Vec<Plan<'_>> = plans.into_iter().collect();
    let total = plans.iter().map(Plan::pages).sum();
    let mut pages: Vec<Page> = Vec::new();
    let mut bookmarks = Vec::new();
    let mut number = 1;
    for plan in plans {
        let count = plan.pages();
        if only.is_none_or(|letters| letters.contains(&plan.letter)) {
            bookmarks.push(Bookmark { level: 0, title: plan.bookmark(), page: pages.len() });
            pages.extend(plan.draw(lay, number, total));
        }
        number += count;
    }
    if let Some(page) = pages.first_mut() {
        let mut canvas = lay.canvas();
        let set = Entry::Fixed(lay.set.number.clone());
        canvas.field(Area::default(), set, fields::set);
        page.marks.extend(canvas.marks);
    }
    let head = &lay.set.head;
    Document {
        title,
        subject: format!("job {}, {} s/n {}", head.job, head.engine, head.serial),
        author: head.shop.clone(),
        language: "en".to_string(),
        date: String::new(),
        pages,
        bookmarks,
    }
}
