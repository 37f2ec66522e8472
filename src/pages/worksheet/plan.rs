//! A sheet's blocks down its pages, then head, body and foot of each.

use super::foot::{self, REMARK};
use super::{Layout, head};
use crate::layout::at;
use crate::layout::canvas::{Canvas, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Bookmark, Document, Page, Point};
use crate::layout::paginate::{Anchor, Block, Blocks, PageFill, TooTall, paginate};
use crate::pages::paper;
use crate::sheet::{Pages, Reference, SignBox};

/// A sheet whose pages are known and not yet drawn.
#[derive(Default)]
pub struct Plan<'a> {
    pub letter: String,
    pub title: &'a str,
    pub subtitle: String,
    /// Under the sheet set: `form C, revision 1`.
    pub form: String,
    /// The sheet's own number; the index has none.
    pub number: Option<&'a str>,
    /// Of a second-stage sheet: which sizes it is valid with, and their code.
    pub valid: Option<(String, &'a str)>,
    pub signs: &'a [SignBox],
    /// Whether a row can be n.a.
    pub rows: bool,
    /// The most lines for remarks on a page.
    pub remarks: i32,
    pub blocks: Blocks,
    pub fills: Vec<PageFill>,
    /// Heights of head and foot.
    pub top: Len,
    pub foot: Len,
}

/// Between the head and the first block, and above the foot.
pub const GAP: Len = mm(2.0);

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

    pub fn pages(&self) -> usize {
        self.fills.len()
    }

    /// Notes on which page of the set everything of the sheet is.
    pub fn tell_pages(&self, lay: &Layout<'_>, first: usize, pages: &mut Pages) {
        pages.put_sheet(&self.letter, &first.to_string());
        for (n, fill) in self.fills.iter().enumerate() {
            let page = (first + n).to_string();
            pages.put_printed(&page, &self.letter, &self.reference(lay, n + 1));
            for anchor in self.blocks.anchors(fill, Point::default()) {
                if let Anchor::Field(name) = anchor {
                    pages.put_field(&name, &page);
                }
            }
        }
    }

    fn bookmark(&self) -> String {
        match (&self.valid, self.number) {
            (Some((_, code)), _) => format!("{}  {}, {code}", self.letter, self.title),
            (None, Some(_)) => format!("{}  {}", self.letter, self.title),
            (None, None) => self.title.to_string(),
        }
    }

    /// What the code on a page of the sheet says.
    pub fn reference(&self, lay: &Layout<'_>, page: usize) -> String {
        let code = self.valid.as_ref().map(|(_, code)| *code);
        let reference = Reference {
            set: lay.set.number.clone(),
            // A small code of squares has no middle dot.
            sheet: self.letter.replace('·', "."),
            page,
            blind: code.is_none() && lay.set.head.blind,
            own: code.or(self.number).map(str::to_owned),
        };
        reference.to_string()
    }

    fn head(&self, lay: &Layout<'_>, of_sheet: (usize, usize), of_set: (usize, usize)) -> Block {
        head::head(lay, self, of_sheet, of_set)
    }

    pub fn room(&self, lay: &Layout<'_>) -> Len {
        lay.area.h - self.top - self.foot - GAP * 2
    }

    /// What stands above the foot: the boxes to sign on a sheet's last page, on
    /// each of a second-stage sheet, which may lie on another bench.
    pub fn tail(&self, lay: &Layout<'_>, last: bool, lines: i32) -> Block {
        match last || self.valid.is_some() {
            true => foot::tail(lay, self.signs, self.rows, lines),
            false => foot::tail(lay, &[], false, lines),
        }
    }

    /// How many lines for remarks a page has room for.
    pub fn lines(&self, lay: &Layout<'_>, fill: &PageFill, last: bool) -> i32 {
        let bare = self.tail(lay, last, 0).height;
        let free = self.room(lay) - fill.filled - bare - GAP - foot::remarks_height(1);
        if free < Len::ZERO { 0 } else { (1 + free.um() / REMARK.um()).min(self.remarks) }
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
        let foot = foot::foot(lay, &self.form);
        canvas.place(at(area.x, area.y + area.h - foot.height), foot);
        Page { marks: canvas.marks, ..paper::size(lay.set.head.paper).page(number.to_string()) }
    }

    /// Remarks and boxes to sign in what is left.
    fn end(&self, lay: &Layout<'_>, canvas: &mut Canvas<'_>, n: usize) {
        if self.number.is_none() && self.valid.is_none() {
            return;
        }
        let last = n + 1 == self.pages();
        lay.letter.replace(if last { self.letter.clone() } else { String::new() });
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
