//! Time stamps (RFC 3161) by files: a request goes out, a reply comes in. A
//! stamp proves that the signature was there at its time; without one, the
//! time is the signer's claim.

use std::fmt;

use const_oid::ObjectIdentifier;
use const_oid::db::rfc5912;
use der::asn1::{OctetString, Uint};
use der::{Any, Decode, Encode, Sequence};
use x509_cert::spki::AlgorithmIdentifierOwned;

use super::cms::{stamped, unwrapped, wrapped};
use super::fill_contents;
use super::public::Hash;
use super::verify::Integrity;
use super::verify::range::{Covered, covered, trimmed};
use super::verify::stamp::{Imprint, stamp};
use crate::pdf::read::fields;
use crate::pdf::{File, Refusal};

#[derive(Sequence)]
struct Request {
    version: u8,
    imprint: Imprint,
    #[asn1(optional = "true")]
    policy: Option<ObjectIdentifier>,
    #[asn1(optional = "true")]
    nonce: Option<Uint>,
    with_certificates: bool,
}

#[derive(Sequence)]
struct Reply {
    status: Status,
    #[asn1(optional = "true")]
    token: Option<Any>,
}

#[derive(Sequence)]
struct Status {
    number: u8,
    #[asn1(optional = "true")]
    texts: Option<Vec<String>>,
    #[asn1(optional = "true")]
    failure: Option<der::asn1::BitString>,
}

/// Why a signature was not stamped. Nothing was changed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StampError {
    Report(Refusal),
    /// No signature stands at the end of the file.
    NotLast,
    /// The last signature is damaged.
    Signature(Integrity),
    AlreadyStamped,
    /// The reply is none, or damaged.
    Reply,
    /// The authority refused.
    Refused {
        status: u8,
        text: String,
    },
    /// The reply is a stamp, but not a good one for this signature.
    Unfit {
        why: &'static str,
    },
    NoRoom {
        bytes: usize,
        room: usize,
    },
}

impl fmt::Display for StampError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            StampError::Report(why) => write!(f, "{why}"),
            StampError::NotLast => write!(
                f,
                "the report does not end with a signature: stamp each before the next is added"
            ),
            StampError::Signature(why) => write!(f, "the last signature is not good: {why}"),
            StampError::AlreadyStamped => write!(f, "the last signature has a time stamp already"),
            StampError::Reply => write!(f, "the reply is not that of a time-stamp authority"),
            StampError::Refused { status, text } => {
                write!(f, "the time-stamp authority refused, status {status}: {text}")
            }
            StampError::Unfit { why } => write!(f, "the time stamp is not good: {why}"),
            StampError::NoRoom { bytes, room } => write!(
                f,
                "the time stamp has {bytes} bytes, room is for {room}: ask for one with fewer \
                 certificates"
            ),
        }
    }
}

impl std::error::Error for StampError {}

impl From<Refusal> for StampError {
    fn from(why: Refusal) -> StampError {
        StampError::Report(why)
    }
}

/// The last signature of a file, which may still be stamped.
struct Last {
    covered: Covered,
    data: cms::signed_data::SignedData,
}

fn last(pdf: &[u8]) -> Result<Last, StampError> {
    let file = File::open(pdf)?;
    for (dict, place) in fields(&file)?.into_iter().filter_map(|field| field.signature) {
        let Ok(covered) = covered(&file, &dict, &place) else {
            continue;
        };
        if covered.end != pdf.len() {
            continue;
        }
        let why = "it is not written as DER has it";
        let data = trimmed(&covered.contents).and_then(unwrapped);
        let data = data.ok_or(StampError::Signature(Integrity::Malformed { why }))?;
        return Ok(Last { covered, data });
    }
    Err(StampError::NotLast)
}

impl Last {
    fn signature(&self) -> Result<&[u8], StampError> {
        match self.data.signer_infos.0.as_slice() {
            [signer] if signer.unsigned_attrs.is_some() => Err(StampError::AlreadyStamped),
            [signer] => Ok(signer.signature.as_bytes()),
            _ => Err(StampError::Signature(Integrity::Malformed {
                why: "it has several signers, or none",
            })),
        }
    }
}

/// The request for a stamp on the last signature of a report, for any
/// time-stamp authority. `nonce` is eight bytes taken by chance.
///
/// # Errors
/// [`StampError`]; the report must end with a signature that has no stamp.
pub fn request(pdf: &[u8], nonce: [u8; 8]) -> Result<Vec<u8>, StampError> {
    let last = last(pdf)?;
    let digest = Hash::Sha256.digest(&[last.signature()?]);
    let request = || -> der::Result<Vec<u8>> {
        Request {
            version: 1,
            imprint: Imprint {
                algorithm: AlgorithmIdentifierOwned {
                    oid: rfc5912::ID_SHA_256,
                    parameters: Some(Any::null()),
                },
                digest: OctetString::new(digest)?,
            },
            policy: None,
            nonce: Some(Uint::new(&nonce)?),
            with_certificates: true,
        }
        .to_der()
    };
    request().map_err(|_| StampError::Reply)
}

/// Puts the authority's reply into the room behind the last signature. The
/// signature itself stays as it is.
///
/// # Errors
/// [`StampError`] where the reply is a refusal, is for another signature, is
/// not sound, or has no room.
pub fn attach_reply(pdf: &[u8], reply: &[u8]) -> Result<Vec<u8>, StampError> {
    let last = last(pdf)?;
    let reply = Reply::from_der(reply).map_err(|_| StampError::Reply)?;
    if reply.status.number > 1 {
        return Err(StampError::Refused {
            status: reply.status.number,
            text: reply.status.texts.unwrap_or_default().join("; "),
        });
    }
    let token = reply.token.and_then(|token| token.to_der().ok());
    let token = token.ok_or(StampError::Reply)?;
    let stamp = stamp(&token, last.signature()?, &[]);
    if let Some(why) = stamp.fault {
        return Err(StampError::Unfit { why });
    }
    let gap = last.covered.gap.clone();
    let room = (gap.len() - 2) / 2;
    let whole = stamped(last.data, &token).and_then(|data| wrapped(&data));
    let whole = whole.ok_or(StampError::Reply)?;
    if whole.len() > room {
        return Err(StampError::NoRoom { bytes: whole.len(), room });
    }
    let mut out = pdf.to_vec();
    fill_contents(&mut out, gap.start, &whole);
    Ok(out)
}
