//! A report to pages. Each piece of a section becomes bands, strips that are
//! never split; the flow puts the bands on pages; each page gets its head and
//! foot.

mod across;
mod band;
mod bar;
mod clear;
mod figures;
mod fitrow;
mod fits;
mod flow;
mod head;
mod prose;
mod signoff;
mod table;
mod text;
mod ticks;

use band::Band;
use flow::{Flow, Room};
use head::{Frame, Numbering};
use text::Setter;

use crate::diag::Diags;
use crate::page::length::Len;
use crate::page::mark::{Area, Document};
use crate::report::{Piece, Report, Section};

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
    let mut set = Setter::new(head::text_width(report.head.paper));
    let frame = Frame::new(report, &mut set);
    let mut flow = Flow::default();
    for (n, section) in report.sections.iter().enumerate() {
        let room = frame.room(n);
        set.place.clone_from(&section.title);
        set.room = room.bottom - room.top;
        // The exceptions have the first page to themselves.
        let new_page = section.new_page || n < 2;
        let bands = match n {
            0 => exceptions(&mut set, section, room),
            n => section_bands(&set, section, n, new_page),
        };
        flow.section(n, bands, room, new_page);
    }
    let lacking = set.lacking();
    if !lacking.is_empty() {
        lacking.iter().for_each(|(place, letter)| missing(*letter, place, out));
        return None;
    }
    let signs = std::mem::take(&mut flow.signs);
    Some((document(report, &frame, flow), signs))
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

/// Set smaller where that keeps them on one page.
fn exceptions(set: &mut Setter, section: &Section, room: Room) -> Vec<Band> {
    let high =
        |bands: &[Band]| -> Len { bands.iter().map(|band| band.gap + band.strip.height).sum() };
    let bands = section_bands(set, section, 0, true);
    let one_page = room.bottom - room.top;
    if high(&bands) <= one_page {
        return bands;
    }
    set.snug = true;
    let snug = section_bands(set, section, 0, true);
    set.snug = false;
    if high(&snug) <= one_page { snug } else { bands }
}

fn section_bands(set: &Setter, section: &Section, n: usize, new_page: bool) -> Vec<Band> {
    let mut bands = vec![match new_page {
        true => prose::section_start(&section.title),
        false => prose::section_title(set, &section.title, n + 1),
    }];
    if let Some(text) = &section.text {
        bands.extend(prose::lead(set, text));
        // A title and what it says never stand alone at the foot of a page.
        if !section.pieces.is_empty() {
            bands.iter_mut().for_each(|band| band.keep = true);
        }
    }
    for piece in &section.pieces {
        bands.extend(match piece {
            Piece::Heading(text) => vec![prose::heading(set, text)],
            Piece::Paragraph(text) => prose::paragraph(set, text),
            Piece::Pairs(pairs) => prose::pairs(set, pairs),
            Piece::Table { columns, rows } => table::table(set, columns, rows),
            Piece::Fits(groups) => fits::fits(set, groups),
            Piece::SignOff(people) => signoff::sign_off(set, people),
        });
    }
    bands
}

fn document(report: &Report, frame: &Frame<'_>, flow: Flow) -> Document {
    let count = flow.leaves.len();
    let pages = flow.leaves.into_iter().enumerate().map(|(n, leaf)| {
        let at = Numbering {
            section: leaf.section,
            continued: leaf.continued,
            page: n + 1,
            pages: count,
        };
        frame.page(&at, leaf.marks)
    });
    let head = &report.head;
    Document {
        title: format!("{}, {}, job {}", report.title, head.engine, head.job),
        subject: format!("{} s/n {}, sheet set {}", head.engine, head.serial, report.set),
        author: head.shop.clone(),
        language: "en".to_string(),
        date: report.date.clone(),
        pages: pages.collect(),
        bookmarks: flow.bookmarks,
    }
}
