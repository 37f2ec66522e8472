//! Head and foot of every page, and the marks for filing.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::text::{
    BODY, CAPTION, LARGE, LEAD, LONG_TITLE, NUMBER, Setter, TICK, TITLE, UNDER, VALUE,
};
use super::watermark::Across;
use crate::layout::at;
use crate::layout::canvas::{BOX, Canvas, Desk, MINOR, mm};
use crate::layout::frame::{FILING, MARGIN, Size};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Area, Face, Mark, Page, Point, Stamp};
use crate::layout::paginate::Block;
use crate::layout::qr::{self, MODULE, QUIET};
use crate::pages::paper;
use crate::record::Status;
use crate::report::Report;

/// For the code and the white that it needs around it.
const CODE_ROOM: Len = mm(22.0);
/// For the number of the page.
const NUMBER_ROOM: Len = mm(30.0);
const TITLE_TOP: Len = mm(10.6);
const UNDER_GAP: Len = mm(0.8);
/// Where the title block ends unless a long title needs more.
const TITLE_END: Len = mm(33.6);

/// What the pages of a report share, and the titles of its sections.
pub struct Frame<'a> {
    report: &'a Report,
    size: Size,
    width: Len,
    foot_top: Len,
    foot: Arc<Stamp>,
    info: Arc<Stamp>,
    across: Option<Across>,
    titles: Vec<Title>,
}

/// The title of a section and where it ends.
struct Title {
    /// Where the section begins, and where it goes on.
    marks: [Vec<Mark>; 2],
    end: Len,
}

/// The text of a page, and what its head says of it.
pub struct PageText {
    pub section: usize,
    /// The section began on an earlier page.
    pub continued: bool,
    pub marks: Vec<Mark>,
}

impl<'a> Frame<'a> {
    pub fn new(report: &'a Report, set: &Setter) -> Frame<'a> {
        let size = paper::size(report.head.paper);
        let foot = foot(report, set);
        let titles = report.sections.iter().zip(1..).map(|(section, n)| {
            title(&section.title, &format!("{}, section {n}", report.title), set)
        });
        let unfinished = report.status != Status::Complete;
        let word = unfinished.then(|| report.status.to_string().to_uppercase());
        Frame {
            report,
            size,
            width: set.width,
            foot_top: size.height - MARGIN - foot.height,
            foot: stamp("report foot", foot, set.width),
            info: stamp("report head", info(report, set), set.width),
            across: word.map(|word| Across::new(&word, size.width, size.height)),
            titles: titles.collect(),
        }
    }

    /// Characters that the typefaces lack, each behind where it stands.
    pub fn lacking(&self) -> BTreeSet<(String, char)> {
        let ends = self.foot.marks.iter().chain(&self.info.marks).flat_map(Mark::lacking);
        let ends = ends.map(|letter| ("head and foot of the pages".to_string(), letter));
        let titles = self.report.sections.iter().zip(&self.titles);
        let titles = titles.flat_map(|(section, title)| {
            let letters = title.marks.iter().flatten().flat_map(Mark::lacking);
            letters.map(|letter| (section.title.clone(), letter))
        });
        ends.chain(titles).collect()
    }

    /// Where the text of a section may stand.
    pub fn body(&self, section: usize) -> Area {
        let y = self.title_end(section) + self.info.size.1 + mm(4.0);
        Area { x: FILING, y, w: self.width, h: self.foot_top - mm(3.0) - y }
    }

    /// The least height of text that a page must have room for.
    pub fn least(&self) -> Len {
        self.size.height / 8
    }

    fn title_end(&self, section: usize) -> Len {
        self.titles.get(section).map_or(TITLE_END, |title| title.end)
    }

    /// A page with its head and foot around its text.
    pub fn page(&self, text: PageText, page: usize, pages: usize) -> Page {
        let desk = Desk::default();
        let mut canvas = Canvas::new(&desk);
        canvas.marks.reserve(text.marks.len() + 40);
        if let Some(across) = &self.across {
            canvas.marks.extend(across.around(&text.marks));
        }
        self.holes(&mut canvas);
        if let Some(title) = self.titles.get(text.section) {
            canvas.marks.extend_from_slice(&title.marks[usize::from(text.continued)]);
        }
        let right = FILING + self.width;
        number(&mut canvas, right - CODE_ROOM, page, pages);
        self.code(&mut canvas, right, page);
        let info = at(FILING, self.title_end(text.section));
        canvas.stamped(info, &self.info);
        canvas.marks.extend(text.marks);
        let foot = at(FILING, self.foot_top);
        canvas.stamped(foot, &self.foot);
        let empty = self.size.page(page.to_string());
        Page { marks: canvas.marks, ..empty }
    }

    fn holes(&self, canvas: &mut Canvas<'_>) {
        let arm = mm(1.4);
        for hole in self.size.holes() {
            canvas.rule(hole.x - arm, hole.y, arm * 2, MINOR);
            canvas.post(hole.x, hole.y - arm, arm * 2, MINOR);
        }
    }

    /// The page's code, with its text under it.
    fn code(&self, canvas: &mut Canvas<'_>, right: Len, page: usize) {
        // No sheet has such a letter, so no scan of a report passes for one.
        let reference = format!("{}/REPORT/{page}", self.report.set);
        if let Ok(code) = qr::qr(&reference, Point::default()) {
            canvas.put(code.marks, at(right - code.side, MARGIN));
            let y = MARGIN + code.side + MODULE * QUIET - mm(0.8);
            canvas.set(at(right, y), CAPTION.with(Face::Code), Align::Right, &reference);
        }
    }
}

/// `page 6 of 19`, the number large.
fn number(canvas: &mut Canvas<'_>, right: Len, page: usize, pages: usize) {
    let words =
        [(format!(" of {pages}"), LEAD), (page.to_string(), LARGE), ("page ".to_string(), LEAD)];
    let mut x = right;
    for (text, style) in words {
        canvas.word_right(x, MARGIN + mm(4.2), style, &text);
        x -= style.width(&text);
    }
    canvas.set(at(right, MARGIN + mm(5.6)), BODY, Align::Right, "of this report");
}

fn stamp(name: &str, block: Block, width: Len) -> Arc<Stamp> {
    Arc::new(Stamp { name: name.to_string(), size: (width, block.height), marks: block.marks })
}

/// Breaks a title; one of more than two lines is set smaller.
fn title(text: &str, under: &str, set: &Setter) -> Title {
    let width = set.width - CODE_ROOM - NUMBER_ROOM;
    let mut title = TITLE.para(text, width);
    if title.lines.len() > 2 {
        title = LONG_TITLE.para(text, width);
    }
    let again = format!("{under}, continued");
    let under = [under, &again].map(|under| LEAD.para(under, width));
    let top = TITLE_TOP + title.height() + UNDER_GAP;
    let deepest = under[0].height().max(under[1].height());
    let marks = under.map(|under| {
        let mut canvas = set.canvas();
        canvas.write(at(FILING, TITLE_TOP), &title);
        canvas.write(at(FILING, top), &under);
        canvas.marks
    });
    Title { marks, end: TITLE_END.max(top + deepest + mm(2.0)) }
}

/// What the report is about: a caption and two lines to each part.
fn info(report: &Report, set: &Setter) -> Block {
    let head = &report.head;
    let status = report.status.in_words();
    let scope = head.scope.clone();
    let serial = format!("s/n {}", head.serial);
    let document = format!("{}, rev {}", head.document, head.revision);
    let decimals = format!("all sizes, {} decimals", head.decimals);
    let parts = [
        (0.0, "Job", VALUE, head.job.clone(), UNDER, scope),
        (0.135, "Engine", VALUE, head.engine.clone(), VALUE, serial),
        (0.41, "Limits", VALUE, head.limits.clone(), UNDER, document),
        (0.672, "Unit", VALUE, head.unit.clone(), UNDER, decimals),
        (0.846, "Sheet set", NUMBER, report.set.clone(), VALUE, status.to_string()),
    ];
    let mut canvas = set.canvas();
    canvas.rule(Len::ZERO, Len::ZERO, set.width, BOX);
    let top = mm(1.2);
    let mut height = Len::ZERO;
    for (n, (share, caption, style, text, under_style, under)) in parts.iter().enumerate() {
        let x = set.width.scale(*share);
        let next = parts.get(n + 1).map_or(1.0, |next| next.0);
        let gap = if n + 1 == parts.len() { 0.0 } else { 3.0 };
        let width = set.width.scale(next) - x - mm(gap);
        let mut y = top + canvas.tell(at(x, top), CAPTION, caption, width);
        // A name of many lines must not push the text down the page.
        let many = style.lines(text, width).len() > 2;
        let style = if many { TICK } else { *style };
        y += canvas.tell(at(x, y), style, text, width).max(style.leading);
        y += canvas.tell(at(x, y), *under_style, under, width).max(under_style.leading);
        height = height.max(y + mm(1.2));
    }
    canvas.rule(Len::ZERO, height, set.width, BOX);
    canvas.block(height)
}

/// What the report is not, and whose it is.
fn foot(report: &Report, set: &Setter) -> Block {
    let shop = match &report.head.certificate {
        Some(certificate) => format!("{}, {certificate}", report.head.shop),
        None => report.head.shop.clone(),
    };
    let shop = BODY.para(&shop, set.width.scale(0.36));
    let disclaimer = BODY.para(&report.disclaimer, set.width - shop.width() - mm(6.0));
    let top = mm(1.4);
    let height = top + disclaimer.height().max(shop.height());
    let mut canvas = set.canvas();
    canvas.rule(Len::ZERO, Len::ZERO, set.width, BOX);
    canvas.write(at(Len::ZERO, top), &disclaimer);
    canvas.write_aligned(at(set.width, height - shop.height()), &shop, Align::Right);
    canvas.block(height)
}
