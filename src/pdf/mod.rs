//! PDF in and out: content, subset typefaces, PDF/A-3b; `read` is for files from
//! outside. The only folder that names lopdf.

pub(crate) mod appearance;
mod attachments;
mod checksum;
mod content;
pub mod document;
mod finish;
mod form;
mod form_font;
mod glyphs;
mod operand;
mod outline;
pub(crate) mod read;
mod streams;
mod text;
mod undrawable;
mod xmp;

pub use attachments::{Attachment, Prepared, Relationship, prepare};
pub use checksum::sha256;
pub use finish::{Unfit, conform};
pub use glyphs::{Subset, resource};
pub use read::alike::Alike;
pub use read::bounds::{BOUNDS, Bounds, Refusal};
pub use read::form::{TICKED, Untaken, typed_in};
pub use read::names::{folded, safe};
pub use read::open::{Carried, Info, Opened, open, open_carried};
pub use read::pictures::{Picture, Samples, pictures};
pub use read::{File, value_at};
pub use undrawable::Undrawable;

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
