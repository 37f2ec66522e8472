//! A report to pages. Each piece of a section becomes blocks, which are never
//! split; these go down the pages; each page gets its head and foot.

mod bar;
mod clearance;
mod figures;
mod fit_row;
mod fits;
mod head;
mod prose;
mod sign_off;
mod table;
mod text;
mod ticks;
mod watermark;

use super::paper;
use crate::diag::Diags;
use crate::layout::at;
use crate::layout::length::Len;
use crate::layout::mark::{Area, Bookmark, Document, Mark, Run};
use crate::layout::paginate::{Anchor, Block, Blocks, TooTall, paginate};
use crate::report::{Piece, Report, Section};
use head::{Frame, PageText};
use text::{LEAD, PROSE, Setter};

/// What to do where head and foot leave a page no room.
const LONG_HEAD: &str = "shorten the longest of these: engine, serial number, limits, document, shop, certificate, \
     the report's titles and disclaimer";

/// Where the visible signature of a person may stand: 80 × 25 mm.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignPlace {
    /// As the block names the person.
    pub name: String,
    /// Index of the page, from 0.
    pub page: usize,
    pub area: Area,
}

/// Lays a report out on the paper of its job.
///
/// A character that the typefaces lack is a fault that names it and the
/// section; nothing is laid out then.
pub fn lay_report(report: &Report, out: &mut Diags) -> Option<Document> {
    lay_report_with_signs(report, out).map(|(document, _)| document)
}

/// The same, with the places of the signatures in the order of the blocks.
pub fn lay_report_with_signs(
    report: &Report,
    out: &mut Diags,
) -> Option<(Document, Vec<SignPlace>)> {
    let before = out.faults();
    let mut set = Setter::new(paper::size(report.head.paper).inside().w);
    let frame = Frame::new(report, &set);
    let mut lacking = frame.lacking();
    let mut laid = Laid::default();
    for (n, section) in report.sections.iter().enumerate() {
        let body = frame.body(n);
        set.room = body.h;
        // The exceptions have the first page to themselves; where they take more, the
        // next section follows them.
        let alone = n == 1 && laid.pages.len() < 2;
        let new_page = section.new_page || n == 0 || alone;
        let blocks = match n {
            0 => exceptions(&mut set, section),
            n => section_blocks(&set, section, n, new_page),
        };
        let letters = blocks.marks().flat_map(Mark::lacking);
        lacking.extend(letters.map(|letter| (section.title.clone(), letter)));
        if body.h < frame.least() {
            let message =
                format!("no room for `{}` between head and foot of a page", section.title);
            out.fault_nowhere(message, LONG_HEAD);
            break;
        }
        let longest: Vec<String> = blocks.list.iter().map(longest_text).collect();
        if let Err(tall) = laid.section(n, blocks, body, new_page) {
            let of = format!("`{}`, with `{}`", section.title, longest[tall.block]);
            tall.tell(&of, "shorten that text", out);
        }
    }
    lacking.iter().for_each(|(place, letter)| missing(*letter, place, out));
    if out.faults() > before {
        return None;
    }
    let signs = std::mem::take(&mut laid.signs);
    Some((document(report, &frame, laid), signs))
}

/// The beginning of the longest text of a block, by which it is found in what
/// was typed.
fn longest_text(block: &Block) -> String {
    let runs: Vec<&Run> = block.marks.iter().flat_map(Mark::runs).collect();
    let of_one = |a: &&Run, b: &&Run| (a.face, a.size, a.at.x) == (b.face, b.size, b.at.x);
    let longest = runs.chunk_by(of_one).max_by_key(|lines| lines.len());
    longest.map_or_else(String::new, |lines| lines[0].text.to_string())
}

fn missing(letter: char, place: &str, out: &mut Diags) {
    let code = u32::from(letter);
    out.fault_nowhere(
        format!(
            "the typefaces have no {letter:?} (U+{code:04X}), which the report has in `{place}`"
        ),
        "write it with Latin, Greek or Cyrillic letters",
    );
}

/// Set smaller where they do not fit on one page.
fn exceptions(set: &mut Setter, section: &Section) -> Blocks {
    let blocks = section_blocks(set, section, 0, true);
    if blocks.height() <= set.room {
        return blocks;
    }
    set.snug = true;
    let snug = section_blocks(set, section, 0, true);
    set.snug = false;
    snug
}

fn section_blocks(set: &Setter, section: &Section, n: usize, new_page: bool) -> Blocks {
    let mut blocks = Blocks::default();
    blocks.push(match new_page {
        true => prose::section_start(&section.title),
        false => prose::section_title(set, &section.title, n + 1),
    });
    if let Some(text) = &section.text {
        prose::paragraph(set, &mut blocks, LEAD, text);
        // A title and what it says never stand alone at the foot of a page.
        if !section.pieces.is_empty() {
            blocks.list.iter_mut().for_each(|block| block.keep = true);
        }
    }
    for piece in &section.pieces {
        match piece {
            Piece::Heading(text) => blocks.push(prose::heading(set, text)),
            Piece::Paragraph(text) => prose::paragraph(set, &mut blocks, PROSE, text),
            Piece::Pairs(pairs) => prose::pairs(set, &mut blocks, pairs),
            Piece::Table { columns, rows } => table::table(set, &mut blocks, columns, rows),
            Piece::Grouped { columns, groups } => table::grouped(set, &mut blocks, columns, groups),
            Piece::Fits(groups) => fits::fits(set, &mut blocks, groups),
            Piece::SignOff(people) => {
                people.iter().for_each(|person| blocks.push(sign_off::sign_off(set, person)));
            }
        }
    }
    blocks
}

/// All pages so far.
#[derive(Default)]
struct Laid {
    pages: Vec<PageText>,
    bookmarks: Vec<Bookmark>,
    signs: Vec<SignPlace>,
    /// How far down the last section ends.
    end: Option<Len>,
}

impl Laid {
    /// Lays the blocks of a section, on a new page where asked.
    fn section(
        &mut self,
        section: usize,
        mut blocks: Blocks,
        body: Area,
        new_page: bool,
    ) -> Result<(), TooTall> {
        let from = self.end.filter(|_| !new_page).map(|end| end - body.y);
        let mut begun = false;
        for (n, fill) in paginate(&blocks, body.h, from, Len::ZERO)?.iter().enumerate() {
            if n > 0 || from.is_none() {
                self.pages.push(PageText { section, continued: begun, marks: Vec::new() });
            }
            begun |= !fill.is_empty();
            self.end = Some(body.y + fill.filled);
            let page = self.pages.len().saturating_sub(1);
            let corner = at(body.x, body.y);
            for anchor in blocks.anchors(fill, corner) {
                match anchor {
                    Anchor::Bookmark(level, title) => {
                        self.bookmarks.push(Bookmark { level, title, page });
                    }
                    Anchor::Signature(name, area) => {
                        self.signs.push(SignPlace { name, page, area });
                    }
                    Anchor::Field(_) => {}
                }
            }
            if let Some(text) = self.pages.last_mut() {
                blocks.put(fill, corner, &mut text.marks);
            }
        }
        Ok(())
    }
}

/// Ends the subject of a report with the arithmetic worked: whoever makes the
/// report anew from its files must know that it was asked for.
const WORKED: &str = ", arithmetic worked";

/// Whether a report of that subject has the arithmetic worked.
pub fn is_worked(subject: &str) -> bool {
    subject.ends_with(WORKED)
}

fn subject(report: &Report) -> String {
    let head = &report.head;
    let worked = if report.arithmetic { WORKED } else { "" };
    format!("{} s/n {}, sheet set {}{worked}", head.engine, head.serial, report.set)
}

fn document(report: &Report, frame: &Frame<'_>, laid: Laid) -> Document {
    let count = laid.pages.len();
    let pages = laid.pages.into_iter().zip(1..).map(|(text, n)| frame.page(text, n, count));
    let head = &report.head;
    Document {
        title: format!("{}, {}, job {}", report.title, head.engine, head.job),
        subject: subject(report),
        author: head.shop.clone(),
        language: "en".to_string(),
        date: report.date.clone(),
        pages: pages.collect(),
        bookmarks: laid.bookmarks,
    }
}
