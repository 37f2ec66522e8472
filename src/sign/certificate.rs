//! What a certificate says (RFC 5280).

use std::fmt;

use const_oid::ObjectIdentifier;
use const_oid::db::{rfc4519, rfc5280};
use der::asn1::{BmpString, Ia5StringRef, PrintableStringRef, TeletexStringRef, Utf8StringRef};
use der::{Any, Encode, Tag, Tagged};
use sha2::{Digest, Sha256};
use x509_cert::Certificate;
use x509_cert::ext::pkix::{ExtendedKeyUsage, KeyUsage, KeyUsages};
use x509_cert::name::Name;

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

pub fn text(value: &Any) -> Option<String> {
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

/// Whether a person may sign documents with it: it either leaves its use open
/// or names signing (RFC 5280, 4.2.1.3), and what its key is meant for beyond
/// that (4.2.1.12).
///
/// # Errors
/// Why not.
pub fn for_signing(certificate: &Certificate) -> Result<(), &'static str> {
    let usage = match certificate.tbs_certificate.get::<KeyUsage>() {
        Ok(usage) => usage.is_none_or(|(_, usage)| {
            usage.0.contains(KeyUsages::DigitalSignature)
                || usage.0.contains(KeyUsages::NonRepudiation)
        }),
        Err(_) => return Err("says in an unreadable way what its key is for"),
    };
    usage.then_some(()).ok_or("has a key that is not for signing")?;
    meant_for(certificate, &DOCUMENTS)
}

/// What a key that signs documents may be meant for, any one of them: signing
/// documents (RFC 9336, 3), mail (as most persons' certificates say), and two
/// older ways of saying the first (common practice, no source).
pub const DOCUMENTS: [ObjectIdentifier; 5] = [
    rfc5280::ANY_EXTENDED_KEY_USAGE,
    ObjectIdentifier::new_unwrap("1.3.6.1.5.5.7.3.36"),
    rfc5280::ID_KP_EMAIL_PROTECTION,
    ObjectIdentifier::new_unwrap("1.3.6.1.4.1.311.10.3.12"),
    ObjectIdentifier::new_unwrap("1.2.840.113583.1.1.5"),
];

/// What a key that stamps times may be meant for (RFC 3161, 2.3), or one above
/// it.
pub const STAMPS: [ObjectIdentifier; 2] =
    [rfc5280::ANY_EXTENDED_KEY_USAGE, rfc5280::ID_KP_TIME_STAMPING];

/// Whether a certificate leaves open what its key is for or names one of these
/// (RFC 5280, 4.2.1.12).
///
/// # Errors
/// Why not.
pub fn meant_for(certificate: &Certificate, uses: &[ObjectIdentifier]) -> Result<(), &'static str> {
    match certificate.tbs_certificate.get::<ExtendedKeyUsage>() {
        Ok(None) => Ok(()),
        Ok(Some((_, named))) if named.0.iter().any(|one| uses.contains(one)) => Ok(()),
        Ok(Some(_)) => Err("is meant for another use (extended key usage)"),
        Err(_) => Err("says in an unreadable way what its key is for"),
    }
}

/// Whether it may vouch for others (RFC 5280, 6.1.4, k and n).
///
/// # Errors
/// Why not.
pub fn for_vouching(certificate: &Certificate) -> Result<(), &'static str> {
    use x509_cert::ext::pkix::BasicConstraints;
    let body = &certificate.tbs_certificate;
    match body.get::<BasicConstraints>() {
        Ok(Some((_, constraints))) if constraints.ca => {}
        Ok(_) => return Err("is no authority: it was not made to vouch for others"),
        Err(_) => return Err("says in an unreadable way whether it is an authority"),
    }
    match body.get::<KeyUsage>() {
        Ok(None) => Ok(()),
        Ok(Some((_, usage))) if usage.0.contains(KeyUsages::KeyCertSign) => Ok(()),
        Ok(Some(_)) => Err("is no authority: its key is not for signing certificates"),
        Err(_) => Err("says in an unreadable way what its key is for"),
    }
}

/// Whether it may stamp times (RFC 3161, 2.3): that and nothing else.
pub fn for_stamping(certificate: &Certificate) -> bool {
    use const_oid::db::rfc5280::ID_KP_TIME_STAMPING;
    let usage = certificate.tbs_certificate.get::<ExtendedKeyUsage>();
    matches!(usage, Ok(Some((true, usage))) if usage.0 == [ID_KP_TIME_STAMPING])
}

/// The certificate's digest, by which a signature names it.
pub fn fingerprint(certificate: &Certificate) -> Option<[u8; 32]> {
    let der = certificate.to_der().ok()?;
    Some(Sha256::digest(der).into())
}
