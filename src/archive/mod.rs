//! Bytes in, bytes out: what makes a PDF an archive. The only folder that
//! names lopdf.

mod alike;
mod attach;
mod certificate;
mod check;
mod checksum;
mod cms;
mod conform;
mod key;
mod moment;
mod name;
mod open;
mod outline;
mod packed;
mod pages;
mod pictures;
mod public;
mod read;
mod refusal;
mod sign;
mod text;
mod timestamp;
mod xmp;

pub use alike::Alike;
pub use attach::{Attachment, Prepared, Relationship, prepare};
pub use certificate::{Person, same_name};
pub use check::{
    Anchor, Chain, Held, Integrity, Said, SignatureReport, StampReport, Unaccounted, report_within,
    signatures, signatures_behind,
};
pub use conform::{Unfit, conform};
pub use key::{Everyones, KeyError, Passphrase, SigningKey};
pub use moment::Moment;
pub use name::{folded, safe};
pub use open::{Carried, Info, Opened, open, open_carried};
pub use pictures::{Picture, Samples, pictures};
pub use refusal::{BOUNDS, Bounds, Refusal};
pub use sign::{Placement, Places, SignError, Signer, Signing, sign};
pub use timestamp::{StampError, attach_reply, request};

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
