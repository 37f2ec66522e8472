//! Sizes of type of a report, and how a section is set.

use crate::layout::canvas::{Canvas, Desk};
use crate::layout::length::Len;
use crate::layout::mark::Face;
use crate::layout::style::TextStyle;

/// Size in points, leading in millimetres.
const fn style(face: Face, size: f64, leading: f64) -> TextStyle {
    TextStyle::led(face, Len::pt(size), Len::mm(leading))
}

pub const TITLE: TextStyle = style(Face::Bold, 19.0, 7.4);
pub const LARGE: TextStyle = style(Face::Bold, 14.0, 5.8);
/// For titles that take more than two lines in the size of a title.
pub const LONG_TITLE: TextStyle = style(Face::Bold, 11.0, 4.6);
pub const SECTION: TextStyle = style(Face::Bold, 14.0, 5.8);
pub const HEADING: TextStyle = style(Face::Bold, 10.4, 4.2);
pub const LEAD: TextStyle = style(Face::Regular, 9.4, 4.2);
pub const PROSE: TextStyle = style(Face::Regular, 8.6, 3.8);
pub const BODY: TextStyle = style(Face::Regular, 8.0, 3.4);
pub const BOLD: TextStyle = style(Face::Bold, 8.0, 3.4);
pub const ITALIC: TextStyle = style(Face::Italic, 8.0, 3.4);
pub const CODE: TextStyle = style(Face::Bold, 9.4, 3.4);
pub const CAPTION: TextStyle = style(Face::Regular, 7.2, 3.2);
pub const TICK: TextStyle = style(Face::Bold, 7.6, 3.2);
pub const VALUE: TextStyle = style(Face::Bold, 9.0, 3.8);
pub const UNDER: TextStyle = style(Face::Regular, 8.6, 3.8);
pub const NUMBER: TextStyle = style(Face::Code, 9.4, 3.8);

/// No type is smaller, by the rules for photocopies.
const LEAST: Len = Len::pt(7.0);

/// How the section in hand is set.
#[derive(Default)]
pub struct Setter {
    desk: Desk,
    /// Of the text on the page.
    pub width: Len,
    /// From head to foot of an empty page of this section.
    pub room: Len,
    /// Smaller and closer, so that the exceptions stay on one page.
    pub snug: bool,
}

impl Setter {
    pub fn new(width: Len) -> Setter {
        Setter { width, ..Setter::default() }
    }

    pub fn canvas(&self) -> Canvas<'_> {
        Canvas::new(&self.desk)
    }

    /// Millimetres, fewer where the section is set closer.
    pub fn mm(&self, usual: f64, snug: f64) -> Len {
        Len::mm(if self.snug { snug } else { usual })
    }

    /// The style as it is set in this section.
    pub fn fit(&self, style: TextStyle) -> TextStyle {
        if !self.snug {
            return style;
        }
        let size = style.size.scale(0.9).max(LEAST);
        TextStyle::led(style.face, size, style.leading.scale(0.85).max(Len::mm(2.8)))
    }
}
