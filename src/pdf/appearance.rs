//! Marks to the content of a page: operators in units of a tenth of a
//! millimetre, letters of subset typefaces. It names no PDF library, so that
//! drawing and signing share it.

use super::content::ContentStream;
use super::glyphs::{GlyphCodes, Subset};
use super::undrawable::Undrawable;
use crate::layout::length::Len;
use crate::layout::mark::{Face, Mark};

/// A tenth of a millimetre in points: the unit of the content.
pub const UNIT: &str = "0.2834645669 0 0 0.2834645669 0 0 cm\n";

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
    let mut codes = GlyphCodes::default();
    let mut stream = ContentStream::new(height);
    stream.out.push_str(UNIT);
    for mark in marks {
        codes.assign(mark)?;
        stream.mark(mark, &codes)?;
    }
    Ok(Piece { content: stream.finish(), subsets: codes.subsets()? })
}
