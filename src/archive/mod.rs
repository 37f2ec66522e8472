//! Bytes in, bytes out: what makes a PDF an archive. The only folder that
//! names lopdf.

mod attach;
mod blinding;
mod checksum;
mod conform;
mod key;
mod moment;
mod name;
mod open;
mod outline;
mod pages;
mod public;
mod read;
mod refusal;
mod text;
mod xmp;

pub use attach::{Attachment, Relationship};
pub use conform::{Unfit, conform};

/// A drawn document that is not yet fit for the archive.
pub struct Pdf {
    objects: lopdf::Document,
}

impl Pdf {
    /// Takes a document whose last page only shows the letters in use.
    pub fn with_specimen(objects: lopdf::Document) -> Pdf {
        Pdf { objects }
    }
}
