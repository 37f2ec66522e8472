//! What is said of a signature and of its time stamp once they are checked.

use std::fmt;

use super::chain::Chain;
use crate::sign::certificate::Person;
use crate::sign::key::Everyones;
use crate::sign::moment::Moment;

/// Whether a signature stands over what it covers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Integrity {
    Sound,
    /// Made with the certificate's key, but over other bytes: the file was
    /// altered, or the signature belongs to another file of the same build.
    Altered,
    /// Its places do not fit this file: it was taken from another.
    Foreign,
    /// Not made with the key of the certificate that it names.
    Forged,
    /// A kind of key or of signing that is not known here.
    Unknown,
    Malformed {
        why: &'static str,
    },
}

/// What the signature says of itself, under the signer's name but unproven.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Said {
    pub name: Option<String>,
    pub role: Option<String>,
    pub certificate_number: Option<String>,
    /// What was signed for.
    pub what_for: Option<String>,
    /// The signer's own clock.
    pub claimed: Option<Moment>,
}

/// Whether the certificate held when it was signed: by the time stamp, or by
/// the signer's claim.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    Yes,
    Ended,
    NotBegun,
    /// No time is given.
    NoTime,
}

/// One signature, as checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignatureReport {
    /// Name of its field.
    pub field: String,
    pub integrity: Integrity,
    pub said: Said,
    pub person: Option<Person>,
    pub chain: Option<Chain>,
    /// Its key is one that everyone has.
    pub everyones: Option<Everyones>,
    pub held: Held,
    /// It covers the file to the end: nothing was added after it.
    pub whole: bool,
    /// No field of the form leads to it.
    pub taken_out: bool,
    /// The first byte of the file that this program would not have written, for
    /// who has the report made anew: see [`super::accounted::report_within`].
    pub unaccounted: Option<Unaccounted>,
    /// Where the file ended when it was signed.
    pub end: Option<usize>,
    pub stamp: Option<StampReport>,
    /// What the signer allowed after this signature (DocMDP): 1 nothing, 2
    /// further signatures.
    pub allows: Option<i64>,
}

impl SignatureReport {
    /// Sound, in a file of which no byte is known to be another's, by a
    /// certificate that held, with a sound stamp if any, by a key that not
    /// everyone has (the demonstration's are told). It says nothing of who
    /// vouches for the signer (see [`SignatureReport::chain`]), nor what was
    /// added to the file: see [`super::accounted::signatures_behind`].
    pub fn good(&self) -> bool {
        let chain = !matches!(self.chain, Some(Chain::Broken { .. } | Chain::Pretended { .. }));
        self.integrity == Integrity::Sound
            && !self.taken_out
            && self.unaccounted.is_none()
            && self.held == Held::Yes
            && self.stamp.as_ref().is_none_or(StampReport::sound)
            && chain
            && self.everyones.is_none_or(|key| key.demonstration)
    }
}

/// A time stamp, as checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StampReport {
    /// When the signature was there at the latest.
    pub time: Option<Moment>,
    pub by: Option<Person>,
    pub chain: Option<Chain>,
    /// Why the stamp proves nothing.
    pub fault: Option<&'static str>,
}

impl StampReport {
    pub(super) fn faulty(why: &'static str) -> StampReport {
        StampReport { time: None, by: None, chain: None, fault: Some(why) }
    }

    pub fn sound(&self) -> bool {
        self.fault.is_none()
    }
}

/// The first byte that this program would not have written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unaccounted {
    /// The report is the first; each signature gives another.
    pub revision: usize,
    /// Bytes from the start of the file.
    pub at: usize,
    /// The object that belongs there, where one does.
    pub object: Option<u32>,
    pub why: String,
}

impl fmt::Display for Unaccounted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "revision {}, byte {}", self.revision, self.at)?;
        if let Some(object) = self.object {
            write!(f, ", object {object}")?;
        }
        write!(f, ": {}", self.why)
    }
}
