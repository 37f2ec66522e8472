//! Whether a signature in CMS (RFC 5652) stands: over which digest, by which
//! certificate. Strict: all that is not signed itself must be as DER has it.

use cms::content_info::CmsVersion;
use cms::signed_data::{SignedData, SignerIdentifier, SignerInfo};
use const_oid::ObjectIdentifier;
use const_oid::db::rfc5911;
use der::asn1::OctetString;
use der::{Any, Encode, Sequence};
use sha1::Sha1;
use x509_cert::Certificate;

use super::types::Integrity;
use crate::sign::cms::{SigningCertificateV2, certificates, only, signer, unwrapped, wrapped};
use crate::sign::public::{Hash, Outcome, PublicKey};

/// What was taken apart.
pub struct Taken {
    pub data: SignedData,
    pub signer: Certificate,
    /// All certificates that came along, the signer's among them.
    pub certificates: Vec<Certificate>,
    pub integrity: Integrity,
}

/// The older digests of certificates (RFC 2634, 5.4), by SHA-1.
#[derive(Sequence)]
struct SigningCertificate {
    certificates: Vec<OldDigest>,
    #[asn1(optional = "true")]
    policies: Option<Any>,
}

#[derive(Sequence)]
struct OldDigest {
    digest: OctetString,
    #[asn1(optional = "true")]
    issuer_serial: Option<Any>,
}

/// Whose signature it may be.
#[derive(Clone, Copy, PartialEq)]
pub enum Naming {
    /// It must name its certificate by SHA-256 or better (PAdES).
    Strict,
    /// It may name it by SHA-1 (time stamps).
    Old,
}

/// Takes a signature apart and checks it. `content` is the kind of what was
/// signed, `digest` makes the digest of it.
///
/// # Errors
/// [`Integrity::Malformed`] where nothing can be said of the signer.
pub fn take(
    sealed: &[u8],
    content: ObjectIdentifier,
    naming: Naming,
    digest: impl Fn(&SignedData, Hash) -> Option<Vec<u8>>,
) -> Result<Taken, Integrity> {
    let malformed = |why| Integrity::Malformed { why };
    let data = unwrapped(sealed).ok_or(malformed("it is not written as DER has it"))?;
    if !wrapped(&data).is_some_and(|again| same_but_order(&again, sealed)) {
        return Err(malformed("it is not written as DER has it"));
    }
    let certificates = certificates(&data);
    let [info] = data.signer_infos.0.as_slice() else {
        return Err(malformed("it has several signers, or none"));
    };
    let own = signer(&info.sid, &certificates);
    let own = own.ok_or(malformed("the signer's certificate is missing"))?;
    let signer = own.clone();
    let integrity = integrity(&data, &signer, &certificates, content, naming, digest);
    Ok(Taken { signer, integrity: integrity.unwrap_or_else(|why| why), certificates, data })
}

/// Whether the bytes are those that DER has, the order of sets aside: many
/// programs leave certificates in their own order. Any changed byte that would
/// be read as the same shows here.
fn same_but_order(one: &[u8], other: &[u8]) -> bool {
    let counted = |bytes: &[u8]| {
        let mut counts = [0_usize; 256];
        bytes.iter().for_each(|b| counts[usize::from(*b)] += 1);
        counts
    };
    one == other || counted(one) == counted(other)
}

fn integrity(
    data: &SignedData,
    own: &Certificate,
    all: &[Certificate],
    content: ObjectIdentifier,
    naming: Naming,
    digest: impl Fn(&SignedData, Hash) -> Option<Vec<u8>>,
) -> Result<Integrity, Integrity> {
    let malformed = |why| Integrity::Malformed { why };
    let info = &data.signer_infos.0.as_slice()[0];
    if (data.version, info.version) != versions(data, info) {
        return Err(malformed("it is of a version that does not fit it"));
    }
    if data.encap_content_info.econtent_type != content {
        return Err(malformed("it is over something else than a document"));
    }
    if content == rfc5911::ID_DATA && data.encap_content_info.econtent.is_some() {
        let why = "it carries content of its own, and only the file's may be signed";
        return Err(malformed(why));
    }
    if data.digest_algorithms.as_slice() != [info.digest_alg.clone()] {
        return Err(malformed("its digests do not agree"));
    }
    let plain = info.digest_alg.parameters.as_ref();
    let hash = Hash::named(info.digest_alg.oid).filter(|_| plain.is_none_or(Any::is_null));
    let hash = hash.ok_or(Integrity::Unknown)?;
    let attributes = info.signed_attrs.as_ref();
    let attributes = attributes.ok_or(malformed("it signs no attributes"))?;
    let kind: Option<ObjectIdentifier> = only(attributes, rfc5911::ID_CONTENT_TYPE);
    if kind != Some(content) {
        return Err(malformed("it is over something else than a document"));
    }
    let named =
        named(attributes, own, all) || naming == Naming::Old && named_by_sha1(attributes, own);
    if !named {
        return Err(malformed("it does not name its certificates"));
    }
    let stated: Option<OctetString> = only(attributes, rfc5911::ID_MESSAGE_DIGEST);
    let stated = stated.ok_or(malformed("it states no digest"))?;
    let same = digest(data, hash).as_deref() == Some(stated.as_bytes());
    let key = PublicKey::of(&own.tbs_certificate.subject_public_key_info);
    let key = key.ok_or(Integrity::Unknown)?;
    let message = attributes.to_der();
    let message = message.map_err(|_| malformed("it cannot be written again"))?;
    let signature = info.signature.as_bytes();
    let outcome = key.check(&info.signature_algorithm, Some(hash), &message, signature);
    Ok(match (outcome, same) {
        (Outcome::Unknown, _) => Integrity::Unknown,
        (Outcome::Fits, true) => Integrity::Sound,
        (Outcome::Fits, false) => Integrity::Altered,
        (Outcome::Differs, _) => Integrity::Forged,
    })
}

/// The versions that follow from the content (RFC 5652, 5.1 and 5.3).
fn versions(data: &SignedData, info: &SignerInfo) -> (CmsVersion, CmsVersion) {
    let signer = match info.sid {
        SignerIdentifier::IssuerAndSerialNumber(_) => CmsVersion::V1,
        SignerIdentifier::SubjectKeyIdentifier(_) => CmsVersion::V3,
    };
    let plain = data.encap_content_info.econtent_type == rfc5911::ID_DATA;
    let whole = if plain { signer } else { CmsVersion::V3 };
    (whole, signer)
}

type Attributes = der::asn1::SetOfVec<x509_cert::attr::Attribute>;

/// The first digest is the signer's; where there are more, every certificate
/// that came along must be among them.
fn named(attributes: &Attributes, own: &Certificate, all: &[Certificate]) -> bool {
    let oid = rfc5911::ID_AA_SIGNING_CERTIFICATE_V_2;
    let Some(list) = only::<SigningCertificateV2>(attributes, oid) else {
        return false;
    };
    let fits = |entry: &crate::sign::cms::CertificateDigest, certificate: &Certificate| {
        let hash = match &entry.hash {
            None => Some(Hash::Sha256),
            Some(algorithm) => Hash::named(algorithm.oid),
        };
        let digest = certificate.to_der().ok();
        let digest = hash.and_then(|hash| Some(hash.digest(&[&digest?])));
        digest.as_deref() == Some(entry.digest.as_bytes())
    };
    let first = list.certificates.first();
    let listed = |one: &Certificate| list.certificates.iter().any(|entry| fits(entry, one));
    first.is_some_and(|entry| fits(entry, own))
        && (list.certificates.len() == 1 || all.iter().all(listed))
}

fn named_by_sha1(attributes: &Attributes, own: &Certificate) -> bool {
    use sha2::Digest;
    let oid = rfc5911::ID_AA_SIGNING_CERTIFICATE;
    let list: Option<SigningCertificate> = only(attributes, oid);
    let Ok(der) = own.to_der() else { return false };
    let digest = Sha1::digest(der);
    let first = list.as_ref().and_then(|list| list.certificates.first());
    first.is_some_and(|first| first.digest.as_bytes() == digest.as_slice())
}
