//! Whether a time stamp (RFC 3161) stands: over which bytes, by whom and when.

use const_oid::ObjectIdentifier;
use der::asn1::{Int, OctetString};
use der::{Any, Decode, Encode, Sequence, Tag, Tagged};
use x509_cert::ext::Extensions;
use x509_cert::spki::AlgorithmIdentifierOwned;

use super::chain::{Anchor, Chain, Use, chain};
use super::signed::{Naming, take};
use super::types::{Integrity, StampReport};
use crate::sign::certificate::{Person, for_stamping, validity};
use crate::sign::cms::STAMP;
use crate::sign::moment::Moment;
use crate::sign::public::Hash;

/// What a time stamp signs (RFC 3161, 2.4.2).
const TST_INFO: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.1.4");

/// The bytes that a stamp is for, by their digest.
#[derive(Sequence)]
pub struct Imprint {
    pub algorithm: AlgorithmIdentifierOwned,
    pub digest: OctetString,
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

/// Checks a token over some bytes.
pub fn stamp(token: &[u8], over: &[u8], anchors: &[Anchor]) -> StampReport {
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
pub fn on_signature(
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
