//! The courses of rows over the jobs of their engines, as pictures.

mod band;
mod panel;
mod plot;

use crate::diag::Diags;
use crate::layout::canvas::{BOX, Canvas, Desk, mm};
use crate::layout::frame::MARGIN;
use crate::layout::length::Len;
use crate::layout::mark::{Align, Bookmark, Document, Page};
use crate::layout::paginate::{Anchor, Block, Blocks, paginate};
use crate::layout::style::{CAPTION, SECTION, TEXT, TITLE};
use crate::layout::{at, margins};
use crate::model::job::Paper;
use crate::pages::paper;
use crate::report::history::Course;

/// What the pages say beside the courses.
#[derive(Clone, Debug)]
pub struct Heading {
    /// Which reports, in words.
    pub from: String,
    /// Reports that are not drawn, and why.
    pub left_out: Vec<String>,
    /// The last day of them, `YYYY-MM-DD`.
    pub date: String,
}

const ROOM_OF_TITLE: Len = mm(17.0);
const ROOM_OF_FOOT: Len = mm(8.0);
const WORDS: &str = "A picture of what the reports say, and no record: the reports are. Hollow as \
    found, solid as left; the heavy lines are the new limits, the light ones those that are accepted \
    in service, hatched what lies beyond. A dashed line is the engine in service.";

/// Lays the courses out, engine by engine. `None` with the faults in `out`.
pub fn lay_history(
    courses: &[Course],
    heading: &Heading,
    of: Paper,
    out: &mut Diags,
) -> Option<Document> {
    let before = out.faults();
    let size = paper::size(of);
    let inside = size.inside();
    let desk = Desk::default();
    let mut blocks = Blocks::default();
    blocks.push(lead(&desk, heading, inside.w));
    for engine in courses.chunk_by(|a, b| (&a.engine, &a.serial) == (&b.engine, &b.serial)) {
        let Some(first) = engine.first() else { continue };
        let name = format!("{}, serial number {}", first.engine, first.serial);
        let head = blocks.headed(mm(2.0), |again| head(&desk, &name, again, inside.w));
        if let Some(own) = blocks.list.last_mut() {
            own.anchors.push(Anchor::Bookmark(0, name.clone()));
        }
        for course in engine {
            let title = format!("{} {}", course.code, course.what);
            let block = panel::panel(&desk, course, inside.w).above(mm(3.0)).under([head]);
            blocks.push(block.with([Anchor::Bookmark(1, title)]));
        }
    }
    let room = inside.h - ROOM_OF_TITLE - ROOM_OF_FOOT;
    let fills = match paginate(&blocks, room, None, Len::ZERO) {
        Ok(fills) => fills,
        Err(tall) => {
            tall.tell("history", "ask for fewer reports at a time", out);
            return None;
        }
    };
    let corner = at(inside.x, inside.y + ROOM_OF_TITLE);
    let (count, mut pages, mut bookmarks) = (fills.len(), Vec::new(), Vec::new());
    for (n, fill) in fills.iter().enumerate() {
        for anchor in blocks.anchors(fill, corner) {
            if let Anchor::Bookmark(level, title) = anchor {
                bookmarks.push(Bookmark { level, title, page: n });
            }
        }
        let mut canvas = Canvas::new(&desk);
        canvas.hole_marks(size);
        furniture(&mut canvas, (n + 1, count), inside.w, size.height);
        let mut marks = canvas.marks;
        blocks.put(fill, corner, &mut marks);
        pages.push(Page { marks, ..size.page((n + 1).to_string()) });
    }
    let document = Document {
        title: "History of rows".to_owned(),
        subject: heading.from.clone(),
        author: String::new(),
        language: "en".to_owned(),
        date: heading.date.clone(),
        pages,
        bookmarks,
    };
    margins::check(&document, inside, out);
    (out.faults() == before).then_some(document)
}

/// Title, number of the page, and what it is not.
fn furniture(canvas: &mut Canvas<'_>, (page, pages): (usize, usize), width: Len, height: Len) {
    use crate::layout::frame::FILING;
    let right = FILING + width;
    canvas.word(FILING, MARGIN + mm(6.4), TITLE, "History");
    canvas.word_right(right, MARGIN + mm(6.4), TEXT, &format!("page {page} of {pages}"));
    canvas.rule(FILING, MARGIN + mm(10.0), width, BOX);
    let foot = height - MARGIN - mm(6.6);
    canvas.rule(FILING, foot - mm(0.6), width, BOX);
    canvas.tell(at(FILING, foot), CAPTION, WORDS, width);
}

fn lead(desk: &Desk, heading: &Heading, width: Len) -> Block {
    let mut canvas = Canvas::new(desk);
    let mut y = canvas.tell(at(Len::ZERO, Len::ZERO), TEXT, &heading.from, width);
    for left_out in &heading.left_out {
        y += canvas.tell(at(Len::ZERO, y), TEXT, &format!("Not drawn: {left_out}."), width);
    }
    canvas.done(y)
}

fn head(desk: &Desk, name: &str, again: bool, width: Len) -> Block {
    let mut canvas = Canvas::new(desk);
    let words = if again { format!("{name}, continued") } else { name.to_owned() };
    let para = SECTION.sized(11.0).para(&words, width);
    let height = canvas.write_aligned(at(Len::ZERO, Len::ZERO), &para, Align::Left);
    canvas.done(height + mm(0.8))
}
