//! What a certificate says (RFC 5280).

use std::fmt;

use const_oid::ObjectIdentifier;
use const_oid::db::rfc4519;
use der::asn1::{BmpString, Ia5StringRef, PrintableStringRef, TeletexStringRef, Utf8StringRef};
use der::{Any, Tag, Tagged};
use x509_cert::Certificate;
use x509_cert::ext::pkix::{ExtendedKeyUsage, KeyUsage, KeyUsages};
use x509_cert::name::Name;

use super::key::fingerprint;
use super::moment::Moment;
use super::public::PublicKey;

/// The fields that a reader wants to see.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Person {
    /// The common name, or all of the subject where there is none.
    pub name: String,
    pub organisation: Option<String>,
    /// All of the issuer's name.
    pub issuer: String,
    /// In hexadecimal.
    pub serial: String,
    pub from: Moment,
    pub until: Moment,
    /// Such as `P-256`.
    pub key: String,
    /// Of the whole certificate.
    pub sha256: [u8; 32],
    /// It was made by the one it names: nobody else vouches for it.
    pub self_made: bool,
}

impl Person {
    pub(super) fn of(certificate: &Certificate) -> Person {
        let body = &certificate.tbs_certificate;
        let key = PublicKey::of(&body.subject_public_key_info);
        let serial = body.serial_number.as_bytes().iter();
        let (from, until) = validity(certificate);
        Person {
            name: common_name(&body.subject).unwrap_or_else(|| body.subject.to_string()),
            organisation: part(&body.subject, rfc4519::ORGANIZATION_NAME),
            issuer: body.issuer.to_string(),
            serial: serial.map(|b| format!("{b:02x}")).collect(),
            from,
            until,
            key: key.map_or_else(|| "of a kind not known here".to_string(), |k| k.shown()),
            sha256: fingerprint(certificate).unwrap_or_default(),
            self_made: body.issuer == body.subject,
        }
    }
}

impl fmt::Display for Person {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.name)?;
        if let Some(organisation) = &self.organisation {
            write!(f, ", {organisation}")?;
        }
        Ok(())
    }
}

/// The first and the last moment at which it holds.
pub fn validity(certificate: &Certificate) -> (Moment, Moment) {
    let validity = &certificate.tbs_certificate.validity;
    let moment = |time: &x509_cert::time::Time| {
        let seconds = time.to_unix_duration().as_secs();
        Moment::utc(i64::try_from(seconds).unwrap_or(i64::MAX))
    };
    (moment(&validity.not_before), moment(&validity.not_after))
}

pub fn common_name(name: &Name) -> Option<String> {
    part(name, rfc4519::COMMON_NAME)
}

fn part(name: &Name, oid: ObjectIdentifier) -> Option<String> {
    let parts = name.0.iter().flat_map(|set| set.0.iter());
    let mut named = parts.filter(|part| part.oid == oid);
    named.next().and_then(|part| text(&part.value))
}

fn text(value: &Any) -> Option<String> {
    let text = match value.tag() {
        Tag::Utf8String => value.decode_as::<Utf8StringRef<'_>>().ok()?.to_string(),
        Tag::PrintableString => value.decode_as::<PrintableStringRef<'_>>().ok()?.to_string(),
        Tag::Ia5String => value.decode_as::<Ia5StringRef<'_>>().ok()?.to_string(),
        Tag::TeletexString => value.decode_as::<TeletexStringRef<'_>>().ok()?.to_string(),
        Tag::BmpString => value.decode_as::<BmpString>().ok()?.to_string(),
        _ => return None,
    };
    Some(text)
}

/// Whether two names are one person's: the same letters, spaces and capitals
/// aside.
pub fn same_name(one: &str, other: &str) -> bool {
    let folded = |name: &str| {
        let words: Vec<String> = name.split_whitespace().map(str::to_lowercase).collect();
        words.join(" ")
    };
    folded(one) == folded(other)
}

/// Whether a person may sign with it: it either leaves its use open or names
/// signing (RFC 5280, 4.2.1.3).
pub fn for_signing(certificate: &Certificate) -> bool {
    match certificate.tbs_certificate.get::<KeyUsage>() {
        Ok(None) => true,
        Ok(Some((_, usage))) => {
            usage.0.contains(KeyUsages::DigitalSignature)
                || usage.0.contains(KeyUsages::NonRepudiation)
        }
        Err(_) => false,
    }
}

/// Whether it may vouch for others (RFC 5280, 4.2.1.9).
pub fn for_vouching(certificate: &Certificate) -> bool {
    use x509_cert::ext::pkix::BasicConstraints;
    let body = &certificate.tbs_certificate;
    let authority = matches!(body.get::<BasicConstraints>(), Ok(Some((_, b))) if b.ca);
    let usage = match body.get::<KeyUsage>() {
        Ok(None) => true,
        Ok(Some((_, usage))) => usage.0.contains(KeyUsages::KeyCertSign),
        Err(_) => false,
    };
    authority && usage
}

/// Whether it may stamp times (RFC 3161, 2.3): that and nothing else.
pub fn for_stamping(certificate: &Certificate) -> bool {
    use const_oid::db::rfc5280::ID_KP_TIME_STAMPING;
    let usage = certificate.tbs_certificate.get::<ExtendedKeyUsage>();
    matches!(usage, Ok(Some((true, usage))) if usage.0 == [ID_KP_TIME_STAMPING])
}
