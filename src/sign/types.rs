//! Who signs, where it shows, and why nothing was signed.

use std::fmt;

use super::key::Everyones;
use super::moment::Moment;
use crate::layout::mark::Area;
use crate::pdf::Refusal;

/// Who signs, as the job names the person, and for what.
#[derive(Clone, Copy, Debug)]
pub struct Signer<'a> {
    /// The same as in the certificate.
    pub name: &'a str,
    pub role: &'a str,
    /// Number of the person's own certificate as a mechanic or inspector; may
    /// be empty.
    pub certificate_number: &'a str,
    /// By the signer's own clock, which proves nothing.
    pub claimed: Moment,
    pub what_for: &'a str,
}

/// Where a signature shows.
#[derive(Clone, Copy, Debug)]
pub struct Placement {
    /// Index of the page, from 0.
    pub page: usize,
    pub area: Area,
}

/// The signer's own place, and those that the first signer leaves for others.
#[derive(Clone, Copy, Debug)]
pub struct Places<'a> {
    pub own: Placement,
    /// Only looked at for the first signature: who signs later finds the place
    /// there, since after the first no new one may be made.
    pub later: &'a [Placement],
}

/// All that a signature takes from its report, and the moment.
#[derive(Clone, Copy, Debug)]
pub struct Signing<'a> {
    pub signer: Signer<'a>,
    pub places: Places<'a>,
}

/// Why nothing was signed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SignError {
    /// The report cannot be read.
    Report(Refusal),
    /// The report was not written by this program, or was packed since.
    Packed,
    /// Bytes stand behind the end mark.
    Trailing,
    Page {
        page: usize,
        pages: usize,
    },
    /// The first signer left no place here, or it is taken.
    NoPlace,
    /// The certificate is another person's.
    OtherName {
        certificate: String,
        person: String,
    },
    Expired {
        until: Moment,
    },
    NotYet {
        from: Moment,
    },
    /// The key is one that everyone has; not the demonstration's, which is told
    /// and not refused.
    Everyones {
        known: Everyones,
    },
    /// The certificate is for another use than signing.
    NotForSigning {
        why: &'static str,
    },
    /// A letter that no typeface has.
    Letter {
        why: String,
    },
    /// The block does not hold the text.
    NoRoom,
    /// The key could not sign.
    Key,
}

impl fmt::Display for SignError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SignError::Report(why) => write!(f, "{why}"),
            SignError::Packed => write!(
                f,
                "the report was written again by another program: make it anew and sign that"
            ),
            SignError::Trailing => {
                write!(f, "bytes stand behind the end of the report: make it anew")
            }
            SignError::Page { page, pages } => {
                write!(f, "there is no page {} of {pages} to sign on", page + 1)
            }
            SignError::NoPlace => write!(
                f,
                "the first signer left no free place here: make the report anew, sign it again"
            ),
            SignError::OtherName { certificate, person } => write!(
                f,
                "the certificate is for {certificate}, not for {person}: use {person}'s own key"
            ),
            SignError::Expired { until } => {
                write!(f, "the certificate ended at {until}: ask its issuer for a new one")
            }
            SignError::NotYet { from } => {
                write!(f, "the certificate only begins at {from}: check the clock of this machine")
            }
            SignError::Everyones { known } => {
                write!(f, "this is {known}; use the person's own key")
            }
            SignError::NotForSigning { why } => {
                write!(f, "the certificate is not for signing, it {why}: use another")
            }
            SignError::Letter { why } => write!(f, "{why}"),
            SignError::NoRoom => write!(
                f,
                "the signature's block is too small for the text: shorten what is signed for"
            ),
            SignError::Key => write!(f, "the key cannot sign: check the key file"),
        }
    }
}

impl std::error::Error for SignError {}

impl From<Refusal> for SignError {
    fn from(why: Refusal) -> SignError {
        SignError::Report(why)
    }
}
