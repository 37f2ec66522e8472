//! Drawing by hand: what the shared pieces of a page are made with.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

use super::length::Len;
use super::mark::{Area, Dash, Entry, Field, Mark, Pen, Point, Stamp, Step, at, moved};
use super::paginate::{Anchor, Block};
use super::qr::{self, Qr};

/// The thinnest that is still seen after a photocopy.
pub const HAIR: Pen = solid(0.5);
/// Rules between rows.
pub const MINOR: Pen = solid(0.5);
/// Boxes to fill in.
pub const BOX: Pen = solid(0.7);
/// What must stand out.
pub const HEAVY: Pen = solid(1.4);
pub const DASHED: Pen = Pen { weight: Len::pt(0.7), dash: Dash::Dashed };
pub const DOTTED: Pen = Pen { weight: Len::pt(0.7), dash: Dash::Dotted };

/// A solid line of a weight in points.
pub const fn solid(points: f64) -> Pen {
    Pen { weight: Len::pt(points), dash: Dash::Solid }
}

pub const fn mm(millimetres: f64) -> Len {
    Len::mm(millimetres)
}

/// The stamps that the pages of one document share, and their codes of squares.
#[derive(Default)]
pub struct Desk {
    stamps: RefCell<BTreeMap<String, Arc<Stamp>>>,
    codes: RefCell<BTreeMap<String, Option<Qr>>>,
    /// Its pages have many codes: the head's is of whole dots too.
    many_codes: bool,
    /// Its boxes are filled in on a screen.
    fields: bool,
}

impl Desk {
    /// For pages with many codes of squares.
    pub fn of_many_codes() -> Desk {
        Desk { many_codes: true, ..Desk::default() }
    }

    /// For pages that are filled in on a screen.
    pub fn of_fields() -> Desk {
        Desk { fields: true, ..Desk::default() }
    }

    /// Whether every box has its field.
    pub fn has_fields(&self) -> bool {
        self.fields
    }

    /// The code of squares of a text with its corner at the origin; none where
    /// the text is too long for one. It is kept: working one out is slow.
    pub fn code(&self, text: &str) -> Option<Qr> {
        let mut codes = self.codes.borrow_mut();
        let code = codes.entry(text.to_string());
        let draw = if self.many_codes { qr::qr_among_others } else { qr::qr };
        code.or_insert_with(|| draw(text, Point::default()).ok()).clone()
    }

    /// The stamp of that name, made when it is first asked for.
    fn stamp(
        &self,
        name: &str,
        size: (Len, Len),
        make: impl FnOnce(&mut Canvas<'_>),
    ) -> Arc<Stamp> {
        if let Some(stamp) = self.stamps.borrow().get(name) {
            return stamp.clone();
        }
        let mut canvas = Canvas::new(self);
        make(&mut canvas);
        let stamp = Arc::new(Stamp { name: name.to_string(), size, marks: canvas.marks });
        let mut stamps = self.stamps.borrow_mut();
        stamps.insert(name.to_string(), stamp.clone());
        stamp
    }
}

/// Marks in the making.
pub struct Canvas<'a> {
    pub desk: &'a Desk,
    pub marks: Vec<Mark>,
    anchors: Vec<Anchor>,
}

impl<'a> Canvas<'a> {
    pub fn new(desk: &'a Desk) -> Canvas<'a> {
        Canvas { desk, marks: Vec::new(), anchors: Vec::new() }
    }

    pub fn line(&mut self, from: Point, to: Point, pen: Pen) {
        self.marks.push(Mark::Line { from, to, pen });
    }

    /// A level line from `x` of the given width.
    pub fn rule(&mut self, x: Len, y: Len, width: Len, pen: Pen) {
        self.line(at(x, y), at(x + width, y), pen);
    }

    /// An upright line from `y` of the given height.
    pub fn post(&mut self, x: Len, y: Len, height: Len, pen: Pen) {
        self.line(at(x, y), at(x, y + height), pen);
    }

    pub fn rect(&mut self, area: Area, pen: Pen) {
        self.marks.push(Mark::Rect { area, pen: Some(pen), fill: false });
    }

    pub fn black(&mut self, area: Area) {
        self.marks.push(Mark::Rect { area, pen: None, fill: true });
    }

    pub fn hatch(&mut self, area: Area) {
        self.marks.push(Mark::Hatch { area });
    }

    pub fn path(&mut self, steps: Vec<Step>, pen: Option<Pen>, fill: bool) {
        self.marks.push(Mark::Path { steps, pen, fill });
    }

    pub fn circle(&mut self, centre: Point, radius: Len, pen: Option<Pen>, fill: bool) {
        self.path(circle(centre, radius), pen, fill);
    }

    /// Puts a stamp, made with `make` when the document first needs it.
    pub fn stamp(
        &mut self,
        name: &str,
        at: Point,
        size: (Len, Len),
        make: impl FnOnce(&mut Canvas<'_>),
    ) {
        self.stamped(at, &self.desk.stamp(name, size, make));
    }

    /// Puts a stamp that is made already.
    pub fn stamped(&mut self, at: Point, stamp: &Arc<Stamp>) {
        self.marks.push(Mark::Stamp { at, stamp: stamp.clone() });
    }

    /// A field over a box, on pages that have them; its name is only made then.
    pub fn field(&mut self, area: Area, entry: Entry, name: impl FnOnce() -> (String, String)) {
        if self.desk.has_fields() {
            let (name, told) = name();
            self.marks.push(Mark::Field { area, field: Box::new(Field { name, told, entry }) });
        }
    }

    /// A block whose height is on the grid.
    pub fn done(self, height: Len) -> Block {
        self.block(height.on_grid())
    }

    /// A block of just that height.
    pub fn block(self, height: Len) -> Block {
        Block { marks: self.marks, anchors: self.anchors, height, ..Block::default() }
    }

    /// Puts a block with its corner at the point; gives back its height.
    pub fn place(&mut self, point: Point, block: Block) -> Len {
        self.put(block.marks, point);
        self.anchors.extend(block.anchors.into_iter().map(|anchor| anchor.moved(point)));
        block.height
    }

    /// Puts marks that were drawn elsewhere, moved.
    pub fn put(&mut self, marks: impl IntoIterator<Item = Mark>, by: Point) {
        let moved = marks.into_iter().map(|mark| moved(mark, by));
        self.marks.extend(moved);
    }
}

/// Ratio of a control arm to the radius for a quarter circle of one cubic.
const ARM: f64 = 0.552_285;

fn circle(centre: Point, radius: Len) -> Vec<Step> {
    let arm = radius.scale(ARM);
    let to = |x: Len, y: Len| at(centre.x + x, centre.y + y);
    let none = Len::ZERO;
    vec![
        Step::To(to(radius, none)),
        Step::Curve(to(radius, arm), to(arm, radius), to(none, radius)),
        Step::Curve(to(-arm, radius), to(-radius, arm), to(-radius, none)),
        Step::Curve(to(-radius, -arm), to(-arm, -radius), to(none, -radius)),
        Step::Curve(to(arm, -radius), to(radius, -arm), to(radius, none)),
        Step::Close,
    ]
}
