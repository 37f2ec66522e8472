//! Marks: a finished page as plain data, between layout and export.
//!
//! Origin at the top left corner of the sheet of paper, x to the right, y down.

use super::length::Len;

/// A place on the page, measured from its top left corner.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Point {
    pub x: Len,
    pub y: Len,
}

/// A rectangle on the page: its top left corner and its size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Area {
    pub x: Len,
    pub y: Len,
    pub w: Len,
    pub h: Len,
}

/// A typeface of the four that every document embeds (subset).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    Regular,
    Bold,
    Italic,
    /// Fixed pitch, for sheet numbers and digests.
    Code,
}

/// Where a run's given point lies on its baseline.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Align {
    Left,
    Centre,
    Right,
}

/// One line of text, drawn in black (or white on a black fill).
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// On the baseline.
    pub at: Point,
    pub text: Box<str>,
    pub face: Face,
    /// Type size; captions are never under 7 pt.
    pub size: Len,
    pub align: Align,
    pub white: bool,
    /// Degrees anticlockwise about `at`; 0 for all but the mark across a draft,
    /// which is drawn in outline unless it stands at right angles to the page.
    pub turn: i16,
}

/// A dash pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Dash {
    Solid,
    Dashed,
    Dotted,
}

/// How a shape is drawn. Black only: no colour and no grey carries a meaning.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Pen {
    pub weight: Len,
    pub dash: Dash,
}

/// One step of a path.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Step {
    To(Point),
    Line(Point),
    /// A cubic curve: two controls and the end.
    Curve(Point, Point, Point),
    Close,
}

/// A mark on the page.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    Line {
        from: Point,
        to: Point,
        pen: Pen,
    },
    /// Outline where there is a pen, black inside where `fill`.
    Rect {
        area: Area,
        pen: Option<Pen>,
        fill: bool,
    },
    /// 45 degree hatching, 1.0 mm pitch, clipped to the area.
    Hatch {
        area: Area,
    },
    Path {
        steps: Vec<Step>,
        pen: Option<Pen>,
        fill: bool,
    },
    Run(Run),
    /// A group of marks drawn once in the file and used many times, such as a
    /// comb: the marks are relative to `at`. Equal stamps share one object.
    Stamp {
        at: Point,
        stamp: std::sync::Arc<Stamp>,
    },
    /// Where something is typed in on a screen. Nothing is drawn.
    Field {
        area: Area,
        field: Box<Field>,
    },
}

/// A field of a form, over a box that is drawn on the page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Field {
    /// Parts with a point between: `C2.bore.1.whole`. No two of a document alike.
    pub name: String,
    /// What is heard where the page is read aloud.
    pub told: String,
    pub entry: Entry,
}

/// What goes into a field.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Entry {
    Words,
    /// A few letters in the middle of their box.
    Short,
    /// So many digits in cells of one width.
    Cells(usize),
    /// One letter.
    Letter,
    /// A tick or nothing.
    Tick,
    /// Written by the program and never changed; nothing of it is seen.
    Fixed(String),
}

impl Mark {
    /// Its text, or that of its group.
    pub fn runs(&self) -> impl Iterator<Item = &Run> {
        let marks = match self {
            Mark::Stamp { stamp, .. } => &stamp.marks,
            mark => std::slice::from_ref(mark),
        };
        marks.iter().filter_map(|mark| match mark {
            Mark::Run(run) => Some(run),
            _ => None,
        })
    }
}

/// See [`Mark::Stamp`].
#[derive(Clone, Debug, PartialEq)]
pub struct Stamp {
    /// The same name, the same marks.
    pub name: String,
    pub size: (Len, Len),
    pub marks: Vec<Mark>,
}

/// One page.
#[derive(Clone, Debug, PartialEq)]
pub struct Page {
    pub width: Len,
    pub height: Len,
    pub marks: Vec<Mark>,
    /// The page number as it is printed on the page.
    pub label: String,
}

/// An entry of the bookmark tree; `level` 0 is the top.
#[derive(Clone, Debug, PartialEq)]
pub struct Bookmark {
    pub level: u8,
    pub title: String,
    /// Index of the page, from 0.
    pub page: usize,
}

/// A finished document.
#[derive(Clone, Debug, PartialEq)]
pub struct Document {
    pub title: String,
    pub subject: String,
    /// The maker of the document, as a shop.
    pub author: String,
    /// A language tag of BCP 47, such as `en`.
    pub language: String,
    /// The record's last date, `YYYY-MM-DD`: never the clock.
    pub date: String,
    pub pages: Vec<Page>,
    pub bookmarks: Vec<Bookmark>,
}

pub const fn at(x: Len, y: Len) -> Point {
    Point { x, y }
}

pub fn area(x: Len, y: Len, w: Len, h: Len) -> Area {
    Area { x, y, w, h }
}

/// A mark at another place of the page.
pub fn moved(mark: Mark, by: Point) -> Mark {
    let go = |point: Point| at(point.x + by.x, point.y + by.y);
    let slide = |a: Area| area(a.x + by.x, a.y + by.y, a.w, a.h);
    match mark {
        Mark::Line { from, to, pen } => Mark::Line { from: go(from), to: go(to), pen },
        Mark::Rect { area, pen, fill } => Mark::Rect { area: slide(area), pen, fill },
        Mark::Hatch { area } => Mark::Hatch { area: slide(area) },
        Mark::Path { mut steps, pen, fill } => {
            steps.iter_mut().for_each(|step| {
                *step = match *step {
                    Step::To(p) => Step::To(go(p)),
                    Step::Line(p) => Step::Line(go(p)),
                    Step::Curve(a, b, p) => Step::Curve(go(a), go(b), go(p)),
                    Step::Close => Step::Close,
                }
            });
            Mark::Path { steps, pen, fill }
        }
        Mark::Run(mut run) => {
            run.at = go(run.at);
            Mark::Run(run)
        }
        Mark::Stamp { at, stamp } => Mark::Stamp { at: go(at), stamp },
        Mark::Field { area, field } => Mark::Field { area: slide(area), field },
    }
}
