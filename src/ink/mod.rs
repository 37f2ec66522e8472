//! Marks to the content of a page: operators in units of a tenth of a
//! millimetre, letters of subset typefaces. It names no PDF library, so that
//! drawing and signing share it.

mod cast;
mod content;
mod operand;

pub use cast::{GlyphCodes, Subset, resource};
pub use content::ContentStream;

use crate::page::length::Len;
use crate::page::mark::{Face, Mark};
use std::fmt;

/// A tenth of a millimetre in points: the unit of the content.
pub const UNIT: &str = "0.2834645669 0 0 0.2834645669 0 0 cm\n";

/// Why a document cannot be drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Undrawable {
    /// No typeface has this character.
    Letter { letter: char, text: String },
    /// Two stamps of one name differ.
    Stamp { name: String },
    /// A built-in typeface cannot be cut down; only a wrong build does that.
    Face { name: &'static str },
}

impl fmt::Display for Undrawable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Undrawable::Letter { letter, text } => write!(
                f,
                "the typefaces have no {letter:?} (U+{:04X}) for `{text}`: write it another way",
                u32::from(*letter)
            ),
            Undrawable::Stamp { name } => write!(f, "two stamps named {name} differ"),
            Undrawable::Face { name } => write!(f, "the typeface {name} cannot be embedded"),
        }
    }
}

impl std::error::Error for Undrawable {}

/// A picture of its own for a form in another document, such as the block of a
/// signature: content in tenths of a millimetre, scaled to points, and the
/// subsets it shows its text with.
pub struct Piece {
    pub content: String,
    pub subsets: Vec<(Face, Subset)>,
}

/// Draws marks on a piece of some height, its origin at the lower left corner.
///
/// # Errors
/// [`Undrawable`].
pub fn piece(marks: &[Mark], height: Len) -> Result<Piece, Undrawable> {
    let mut cast = GlyphCodes::default();
    let mut ink = ContentStream::new(height);
    ink.out.push_str(UNIT);
    for mark in marks {
        cast.assign(mark)?;
        ink.mark(mark, &cast)?;
    }
    Ok(Piece { content: ink.finish(), subsets: cast.subsets()? })
}
