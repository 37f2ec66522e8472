//! Time stamps (RFC 3161) by files: a request goes out, a reply comes in. A
//! stamp proves that the signature was there at its time; without one, the
//! time is the signer's claim.

use std::fmt;

use const_oid::ObjectIdentifier;
use const_oid::db::rfc5912;
use der::asn1::{Int, OctetString, Uint};
use der::{Any, Decode, Encode, Sequence, Tag, Tagged};
use x509_cert::ext::Extensions;
use x509_cert::spki::AlgorithmIdentifierOwned;

use super::certificate::{Person, for_stamping, validity};
use super::check::chain::{Anchor, Chain, Use, chain};
use super::check::range::{Covered, covered, trimmed};
use super::check::signed::{Naming, take};
use super::check::{Integrity, open_signatures};
use super::cms::{STAMP, stamped, unwrapped, wrapped};
use super::moment::Moment;
use super::public::Hash;
use super::read::File;
use super::refusal::Refusal;
use super::sign::fill_contents;

/// What a time stamp signs (RFC 3161, 2.4.2).
const TST_INFO: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.1.4");

#[derive(Sequence)]
struct Imprint {
    algorithm: AlgorithmIdentifierOwned,
    digest: OctetString,
}

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

#[derive(Sequence)]
struct Accuracy {
    #[asn1(optional = "true")]
    seconds: Option<Int>,
    #[asn1(context_specific = "0", tag_mode = "IMPLICIT", optional = "true")]
    millis: Option<Int>,
    #[asn1(context_specific = "1", tag_mode = "IMPLICIT", optional = "true")]
    micros: Option<Int>,
}

#[derive(Sequence)]
struct Info {
    version: u8,
    policy: ObjectIdentifier,
    imprint: Imprint,
    serial: Int,
    time: Any,
    #[asn1(optional = "true")]
    accuracy: Option<Accuracy>,
    #[asn1(optional = "true")]
    ordering: Option<bool>,
    #[asn1(optional = "true")]
    nonce: Option<Int>,
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT", optional = "true")]
    authority: Option<Any>,
    #[asn1(context_specific = "1", tag_mode = "IMPLICIT", constructed = "true", optional = "true")]
    extensions: Option<Extensions>,
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
    for (dict, place) in open_signatures(&file)? {
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
    fn faulty(why: &'static str) -> StampReport {
        StampReport { time: None, by: None, chain: None, fault: Some(why) }
    }

    pub fn sound(&self) -> bool {
        self.fault.is_none()
    }
}

/// Checks a token over some bytes.
fn stamp(token: &[u8], over: &[u8], anchors: &[Anchor]) -> StampReport {
    let content = |data: &cms::signed_data::SignedData| {
        let content = data.encap_content_info.econtent.as_ref()?;
        Some(content.decode_as::<OctetString>().ok()?.into_bytes())
    };
    let digest = |data: &_, hash: Hash| Some(hash.digest(&[&content(data)?]));
    let taken = match take(token, TST_INFO, Naming::Old, digest) {
        Ok(taken) => taken,
        Err(_) => return StampReport::faulty("it is not a time stamp, or damaged"),
    };
    let info = content(&taken.data).and_then(|bytes| Info::from_der(&bytes).ok());
    let Some(info) = info else {
        return StampReport::faulty("it is not a time stamp, or damaged");
    };
    let time = time(&info.time);
    let fault = match &taken.integrity {
        Integrity::Sound => fault(&info, over, time, &taken.signer),
        Integrity::Unknown => Some("it is signed in a way that is not known here"),
        _ => Some("its own signature is not sound"),
    };
    let chain = chain(&taken.signer, &taken.certificates, anchors, time, Use::Stamps);
    let broken = matches!(chain, Chain::Broken { .. } | Chain::Pretended { .. });
    StampReport {
        time,
        by: Some(Person::of(&taken.signer)),
        chain: Some(chain),
        fault: fault.or(broken.then_some("its certificates are not in order")),
    }
}

fn fault(
    info: &Info,
    over: &[u8],
    time: Option<Moment>,
    authority: &x509_cert::Certificate,
) -> Option<&'static str> {
    let Some(hash) = Hash::named(info.imprint.algorithm.oid) else {
        return Some("it is over a digest that is not known here");
    };
    if hash.digest(&[over]) != info.imprint.digest.as_bytes() {
        return Some("it is for another signature");
    }
    if !for_stamping(authority) {
        return Some("its certificate is not for time stamps");
    }
    let Some(time) = time else {
        return Some("its time cannot be read");
    };
    let (from, until) = validity(authority);
    let held = (from.seconds..=until.seconds).contains(&time.seconds);
    (!held).then_some("its certificate did not hold at its time")
}

/// Whole seconds and, cut off, a fraction of one.
fn time(value: &Any) -> Option<Moment> {
    if value.tag() != Tag::GeneralizedTime {
        return None;
    }
    let written = std::str::from_utf8(value.value()).ok()?;
    let (whole, rest) = written.split_at_checked(14)?;
    let fraction = rest.strip_suffix('Z')?;
    let digits = fraction.strip_prefix('.').unwrap_or(fraction);
    if !digits.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    Moment::from_pdf(&format!("D:{whole}Z"))
}

/// The stamp on a signature, where there is one.
pub(super) fn on_signature(
    data: &cms::signed_data::SignedData,
    anchors: &[Anchor],
) -> Option<StampReport> {
    let [signer] = data.signer_infos.0.as_slice() else {
        return None;
    };
    let unsigned = signer.unsigned_attrs.as_ref()?;
    let [attribute] = unsigned.as_slice() else {
        return Some(StampReport::faulty("more than one stamp"));
    };
    let [value] = attribute.values.as_slice() else {
        return Some(StampReport::faulty("more than one stamp"));
    };
    if attribute.oid != STAMP {
        return Some(StampReport::faulty("something else stands in its place"));
    }
    let token = value.to_der().unwrap_or_default();
    Some(stamp(&token, signer.signature.as_bytes(), anchors))
}
