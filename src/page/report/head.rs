//! Head and foot of every page, and the marks for filing.

use std::sync::Arc;

use super::across::Across;
use super::band::{PLAIN, Strip, THIN, moved};
use super::text::{
    BODY, CAPTION, LARGE, LEAD, LONG_TITLE, NUMBER, Setter, Style, TICK, TITLE, UNDER, VALUE,
    line_at, set_lines,
};
use crate::model::job::Paper;
use crate::page::font::fonts;
use crate::page::frame::Size;
use crate::page::length::Len;
use crate::page::mark::{Align, Face, Mark, Page, Point, Stamp};
use crate::page::paper;
use crate::page::qr::{self, MODULE, QUIET};
use crate::report::{Report, Status};

/// The bound side, and the other three.
const FILING: Len = Len::mm(25.0);
const MARGIN: Len = Len::mm(10.0);
/// Holes for filing: from the edge, and from the middle of the page.
const HOLE: (Len, Len) = (Len::mm(12.0), Len::mm(40.0));
/// For the code and the white that it needs around it.
const CODE_ROOM: Len = Len::mm(22.0);
/// For the number of the page.
const NUMBER_ROOM: Len = Len::mm(30.0);
const TITLE_TOP: Len = Len::mm(10.6);
const UNDER_GAP: Len = Len::mm(0.8);
/// Where the title block ends unless a long title needs more.
const TITLE_END: Len = Len::mm(33.6);

/// What the pages of a report share, and the titles of its sections.
pub struct Frame<'a> {
    report: &'a Report,
    size: Size,
    pub width: Len,
    foot_top: Len,
    foot: Arc<Stamp>,
    info: Arc<Stamp>,
    across: Option<Across>,
    titles: Vec<Title>,
}

/// The title of a section in lines, and where its block ends.
struct Title {
    style: Style,
    lines: Vec<String>,
    /// What stands under it where the section begins, and where it goes on.
    under: [Vec<String>; 2],
    end: Len,
}

/// Of one page.
pub struct Numbering {
    pub section: usize,
    pub continued: bool,
    pub page: usize,
    pub pages: usize,
}

impl<'a> Frame<'a> {
    pub fn new(report: &'a Report, set: &mut Setter) -> Frame<'a> {
        let size = paper::size(report.head.paper);
        set.place = "head and foot of the pages".to_string();
        let foot = foot(report, set);
        let foot_top = size.height - MARGIN - foot.height;
        let info = info(report, set);
        let mut titles = Vec::new();
        for (n, section) in report.sections.iter().enumerate() {
            set.place.clone_from(&section.title);
            let under = format!("{}, section {}", report.title, n + 1);
            titles.push(title(&section.title, &under, set));
        }
        let unfinished = report.status != Status::Final;
        let word = unfinished.then(|| report.status.to_string().to_uppercase());
        Frame {
            report,
            size,
            width: set.width,
            foot_top,
            foot: stamp("report foot", foot, set.width),
            info: stamp("report head", info, set.width),
            across: word.map(|word| Across::new(&word, size.width, size.height)),
            titles,
        }
    }

    /// Where the text of a section may stand: left, top and bottom.
    pub fn room(&self, section: usize) -> super::flow::Room {
        let end = self.titles.get(section).map_or(TITLE_END, |title| title.end);
        super::flow::Room {
            left: FILING,
            top: end + self.info.size.1 + Len::mm(4.0),
            bottom: self.foot_top - Len::mm(3.0),
        }
    }

    /// A page with its head and foot around the marks of its text.
    pub fn page(&self, at: &Numbering, text: Vec<Mark>) -> Page {
        let mut marks = Vec::with_capacity(text.len() + 40);
        if let Some(across) = &self.across {
            marks.extend(across.around(&text));
        }
        self.holes(&mut marks);
        self.title(at, &mut marks);
        let end = self.titles.get(at.section).map_or(TITLE_END, |title| title.end);
        marks.push(Mark::Stamp { at: Point { x: FILING, y: end }, stamp: self.info.clone() });
        marks.extend(text);
        marks.push(Mark::Stamp {
            at: Point { x: FILING, y: self.foot_top },
            stamp: self.foot.clone(),
        });
        Page { width: self.size.width, height: self.size.height, marks, label: at.page.to_string() }
    }

    fn holes(&self, marks: &mut Vec<Mark>) {
        let arm = Len::mm(1.4);
        for y in [self.size.height / 2 - HOLE.1, self.size.height / 2 + HOLE.1] {
            let mut line = |from: (Len, Len), to: (Len, Len)| {
                let point = |(x, y): (Len, Len)| Point { x, y };
                marks.push(Mark::Line { from: point(from), to: point(to), pen: THIN });
            };
            line((HOLE.0 - arm, y), (HOLE.0 + arm, y));
            line((HOLE.0, y - arm), (HOLE.0, y + arm));
        }
    }

    /// Title at the left; number of the page and its code at the right.
    fn title(&self, at: &Numbering, marks: &mut Vec<Mark>) {
        let mut strip = Strip::default();
        let right = FILING + self.width;
        if let Some(title) = self.titles.get(at.section) {
            let mut top = Point { x: FILING, y: TITLE_TOP };
            set_lines(&mut strip, title.style, title.lines.clone(), top);
            top.y += title.style.lead * title.lines.len() as i32 + UNDER_GAP;
            let under = title.under[usize::from(at.continued)].clone();
            set_lines(&mut strip, LEAD, under, top);
        }
        self.number(&mut strip, right - CODE_ROOM, at);
        // No sheet has such a letter, so no scan of a report passes for one.
        let reference = format!("{}/REPORT/{}", self.report.set, at.page);
        if let Ok(code) = qr::qr(&reference, Point::default()) {
            let by = Point { x: right - code.side, y: MARGIN };
            strip.marks.extend(code.marks.into_iter().map(|mark| moved(mark, by)));
            let y = MARGIN + code.side + MODULE * QUIET - Len::mm(0.8);
            let style = CAPTION.with(Face::Code);
            strip.marks.push(line_at(style, right, y, reference, Align::Right));
        }
        marks.extend(strip.marks);
    }

    /// `page 6 of 19`, the number large.
    fn number(&self, strip: &mut Strip, right: Len, at: &Numbering) {
        let words = [
            ("page ".to_string(), LEAD),
            (at.page.to_string(), LARGE),
            (format!(" of {}", at.pages), LEAD),
        ];
        let mut x = right;
        let baseline = MARGIN + Len::mm(4.2);
        for (text, style) in words.into_iter().rev() {
            let top = baseline - style.baseline();
            let width = fonts().width(style.face, style.size, &text);
            strip.marks.push(line_at(style, x, top, text, Align::Right));
            x -= width;
        }
        let top = MARGIN + Len::mm(5.6);
        strip.marks.push(line_at(BODY, right, top, "of this report", Align::Right));
    }
}

fn stamp(name: &str, strip: Strip, width: Len) -> Arc<Stamp> {
    Arc::new(Stamp { name: name.to_string(), size: (width, strip.height), marks: strip.marks })
}

/// The width of the text on a paper.
pub fn text_width(paper: Paper) -> Len {
    paper::size(paper).width - FILING - MARGIN
}

/// Breaks a title; one of more than two lines is set smaller.
fn title(text: &str, under: &str, set: &Setter) -> Title {
    let width = set.width - CODE_ROOM - NUMBER_ROOM;
    let mut style = TITLE;
    let mut lines = set.lines(style, text, width);
    if lines.len() > 2 {
        style = LONG_TITLE;
        lines = set.lines(style, text, width);
    }
    let again = format!("{under}, continued");
    let under = [under, &again].map(|under| set.lines(LEAD, under, width));
    let deepest = under.iter().map(Vec::len).max().unwrap_or(1);
    let height = style.lead * lines.len() as i32 + UNDER_GAP + LEAD.lead * deepest as i32;
    Title { style, lines, under, end: TITLE_END.max(TITLE_TOP + height + Len::mm(2.0)) }
}

/// What the report is about: a caption and two lines to each part.
fn info(report: &Report, set: &Setter) -> Strip {
    let head = &report.head;
    let status = format!("report: {}", report.status);
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
    let mut strip = Strip::default();
    strip.rule(Len::ZERO, set.width, Len::ZERO, PLAIN);
    let top = Len::mm(1.2);
    for (n, (share, caption, style, text, under_style, under)) in parts.iter().enumerate() {
        let x = set.width.scale(*share);
        let next = parts.get(n + 1).map_or(1.0, |next| next.0);
        let gap = if n + 1 == parts.len() { 0.0 } else { 3.0 };
        let width = set.width.scale(next) - x - Len::mm(gap);
        let at = |y: Len| Point { x, y };
        let mut y = top + set.block(&mut strip, CAPTION, caption, at(top), width);
        // A name of many lines must not push the text down the page.
        let many = set.lines(*style, text, width).len() > 2;
        let style = if many { TICK } else { *style };
        y += set.block(&mut strip, style, text, at(y), width);
        y += set.block(&mut strip, *under_style, under, at(y), width);
        strip.height = strip.height.max(y);
    }
    strip.height += Len::mm(1.2);
    strip.rule(Len::ZERO, set.width, strip.height, PLAIN);
    strip
}

/// What the report is not, and whose it is.
fn foot(report: &Report, set: &Setter) -> Strip {
    let shop = match &report.head.certificate {
        Some(certificate) => format!("{}, {certificate}", report.head.shop),
        None => report.head.shop.clone(),
    };
    let most = set.width.scale(0.36);
    let shop = set.lines(BODY, &shop, most);
    let widest = shop.iter().map(|line| set.width_of(BODY, line)).max();
    let width = set.width - widest.unwrap_or(Len::ZERO) - Len::mm(6.0);
    let disclaimer = set.lines(BODY, &report.disclaimer, width);
    let deepest = disclaimer.len().max(shop.len());
    let top = Len::mm(1.4);
    let mut strip = Strip { height: top + BODY.lead * deepest as i32, ..Strip::default() };
    strip.rule(Len::ZERO, set.width, Len::ZERO, PLAIN);
    let left = Point { x: Len::ZERO, y: top };
    set_lines(&mut strip, BODY, disclaimer, left);
    let mut y = strip.height - BODY.lead * shop.len() as i32;
    for line in shop {
        strip.marks.push(line_at(BODY, set.width, y, line, Align::Right));
        y += BODY.lead;
    }
    strip
}
