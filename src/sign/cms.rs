//! The signature itself: CMS SignedData (RFC 5652) as PAdES wants it (ETSI EN
//! 319 142-1, 6.3): detached, with the digests of the certificates among what
//! is signed and without a signing time.

use cms::cert::{CertificateChoices, IssuerAndSerialNumber};
use cms::content_info::{CmsVersion, ContentInfo};
use cms::signed_data::{
    CertificateSet, EncapsulatedContentInfo, SignedAttributes, SignedData, SignerIdentifier,
    SignerInfo, SignerInfos,
};
use const_oid::ObjectIdentifier;
use const_oid::db::{rfc5911, rfc5912};
use der::asn1::{OctetString, SetOfVec};
use der::{Any, Decode, Encode, Sequence};
use rand_chacha::ChaCha20Rng;
use x509_cert::Certificate;
use x509_cert::attr::Attribute;
use x509_cert::spki::AlgorithmIdentifierOwned;

use super::certificate::fingerprint;
use super::key::SigningKey;
use super::public::PublicKey;

/// A time stamp on a signature (RFC 3161, appendix A).
pub const STAMP: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.2.14");

/// Digests of certificates (RFC 5035, 3). The first is the signer's; the
/// others are the only ones that may vouch for it.
#[derive(Clone, Debug, Sequence)]
pub struct SigningCertificateV2 {
    pub certificates: Vec<CertificateDigest>,
    #[asn1(optional = "true")]
    pub policies: Option<Any>,
}

/// SHA-256 where no other digest is named.
#[derive(Clone, Debug, Sequence)]
pub struct CertificateDigest {
    #[asn1(optional = "true")]
    pub hash: Option<AlgorithmIdentifierOwned>,
    pub digest: OctetString,
    #[asn1(optional = "true")]
    pub issuer_serial: Option<Any>,
}

/// Makes the signature over bytes of a SHA-256 digest. `None` where the key
/// cannot sign or a certificate cannot be written, which a key that was read
/// can.
pub fn seal(key: &SigningKey, digest: &[u8], blinding: &mut ChaCha20Rng) -> Option<SignedData> {
    let attributes = attributes(key.chain(), digest)?;
    // Signed as a set, though stored under another tag (RFC 5652, 5.4).
    let signature = key.sign(&attributes.to_der().ok()?, blinding)?;
    assemble(key.chain(), attributes, signature)
}

/// How many bytes a signature has at most.
pub fn size(key: &SigningKey) -> Option<usize> {
    size_for(key.chain())
}

fn size_for(chain: &[Certificate]) -> Option<usize> {
    let length = PublicKey::of(&chain.first()?.tbs_certificate.subject_public_key_info)?.length();
    let data = assemble(chain, attributes(chain, &[0; 32])?, vec![0; length])?;
    Some(wrapped(&data)?.len())
}

/// What [`seal`] and [`stamped`] give for the certificates, the digest, the
/// signature and the stamp of a seal, and how many bytes it has at most without
/// a stamp.
pub fn sealed_again(data: &SignedData) -> Option<(Vec<u8>, usize)> {
    let [signer] = data.signer_infos.0.as_slice() else {
        return None;
    };
    let attributes = signer.signed_attrs.as_ref()?;
    let digest: OctetString = only(attributes, rfc5911::ID_MESSAGE_DIGEST)?;
    let listed: SigningCertificateV2 = only(attributes, rfc5911::ID_AA_SIGNING_CERTIFICATE_V_2)?;
    let all = certificates(data);
    let with = |entry: &CertificateDigest| {
        let mut with = all
            .iter()
            .filter(|one| fingerprint(one).is_some_and(|digest| digest == entry.digest.as_bytes()));
        with.next().cloned()
    };
    let chain: Vec<Certificate> = listed.certificates.iter().map(with).collect::<Option<_>>()?;
    let own = self::attributes(&chain, digest.as_bytes())?;
    let again = assemble(&chain, own, signer.signature.as_bytes().to_vec())?;
    let again = match &signer.unsigned_attrs {
        None => again,
        Some(attributes) => stamped(again, &only::<Any>(attributes, STAMP)?.to_der().ok()?)?,
    };
    Some((wrapped(&again)?, size_for(&chain)?))
}

fn attributes(chain: &[Certificate], digest: &[u8]) -> Option<SignedAttributes> {
    SetOfVec::try_from(vec![
        attribute(rfc5911::ID_CONTENT_TYPE, &rfc5911::ID_DATA)?,
        attribute(rfc5911::ID_MESSAGE_DIGEST, &OctetString::new(digest).ok()?)?,
        attribute(rfc5911::ID_AA_SIGNING_CERTIFICATE_V_2, &named(chain)?)?,
    ])
    .ok()
}

fn assemble(
    chain: &[Certificate],
    attributes: SignedAttributes,
    signature: Vec<u8>,
) -> Option<SignedData> {
    let certificate = &chain.first()?.tbs_certificate;
    let sha256 = AlgorithmIdentifierOwned { oid: rfc5912::ID_SHA_256, parameters: None };
    let signer = SignerInfo {
        version: CmsVersion::V1,
        sid: SignerIdentifier::IssuerAndSerialNumber(IssuerAndSerialNumber {
            issuer: certificate.issuer.clone(),
            serial_number: certificate.serial_number.clone(),
        }),
        digest_alg: sha256.clone(),
        signed_attrs: Some(attributes),
        signature_algorithm: PublicKey::of(&certificate.subject_public_key_info)?.signs(),
        signature: OctetString::new(signature).ok()?,
        unsigned_attrs: None,
    };
    let chain = chain.iter().cloned();
    let certificates: Vec<_> = chain.map(CertificateChoices::Certificate).collect();
    Some(SignedData {
        version: CmsVersion::V1,
        digest_algorithms: SetOfVec::try_from(vec![sha256]).ok()?,
        encap_content_info: EncapsulatedContentInfo {
            econtent_type: rfc5911::ID_DATA,
            econtent: None,
        },
        certificates: Some(CertificateSet::try_from(certificates).ok()?),
        crls: None,
        signer_infos: SignerInfos::try_from(vec![signer]).ok()?,
    })
}

fn named(chain: &[Certificate]) -> Option<SigningCertificateV2> {
    let digest = |certificate| {
        Some(CertificateDigest {
            hash: None,
            digest: OctetString::new(fingerprint(certificate)?).ok()?,
            issuer_serial: None,
        })
    };
    Some(SigningCertificateV2 {
        certificates: chain.iter().map(digest).collect::<Option<_>>()?,
        policies: None,
    })
}

fn attribute(oid: ObjectIdentifier, value: &impl Encode) -> Option<Attribute> {
    let value = Any::from_der(&value.to_der().ok()?).ok()?;
    Some(Attribute { oid, values: SetOfVec::try_from(vec![value]).ok()? })
}

/// Puts a time-stamp token on the only signer.
pub fn stamped(mut data: SignedData, token: &[u8]) -> Option<SignedData> {
    let [signer] = data.signer_infos.0.as_slice() else {
        return None;
    };
    let mut signer = signer.clone();
    let value = Any::from_der(token).ok()?;
    let stamp = Attribute { oid: STAMP, values: SetOfVec::try_from(vec![value]).ok()? };
    signer.unsigned_attrs = Some(SetOfVec::try_from(vec![stamp]).ok()?);
    data.signer_infos = SignerInfos::try_from(vec![signer]).ok()?;
    Some(data)
}

/// The bytes that go into the file.
pub fn wrapped(data: &SignedData) -> Option<Vec<u8>> {
    let whole = ContentInfo {
        content_type: rfc5911::ID_SIGNED_DATA,
        content: Any::from_der(&data.to_der().ok()?).ok()?,
    };
    whole.to_der().ok()
}

/// Reads them back; `None` where they are anything else, or not written in the
/// one way that DER has.
pub fn unwrapped(bytes: &[u8]) -> Option<SignedData> {
    let whole = ContentInfo::from_der(bytes).ok()?;
    if whole.content_type != rfc5911::ID_SIGNED_DATA {
        return None;
    }
    whole.content.decode_as().ok()
}

/// The only value of an attribute that is there once.
pub fn only<T: for<'a> der::Decode<'a>>(
    attributes: &SetOfVec<Attribute>,
    oid: ObjectIdentifier,
) -> Option<T> {
    let mut found = attributes.iter().filter(|a| a.oid == oid);
    let (Some(one), None) = (found.next(), found.next()) else {
        return None;
    };
    let [value] = one.values.as_slice() else {
        return None;
    };
    T::from_der(&value.to_der().ok()?).ok()
}

/// The signer's certificate among those that came with the signature.
pub fn signer<'a>(
    id: &SignerIdentifier,
    certificates: &'a [Certificate],
) -> Option<&'a Certificate> {
    certificates.iter().find(|c| match id {
        SignerIdentifier::IssuerAndSerialNumber(id) => {
            id.issuer == c.tbs_certificate.issuer
                && id.serial_number == c.tbs_certificate.serial_number
        }
        SignerIdentifier::SubjectKeyIdentifier(id) => {
            let own = c.tbs_certificate.get::<x509_cert::ext::pkix::SubjectKeyIdentifier>();
            own.is_ok_and(|own| own.is_some_and(|(_, own)| own == *id))
        }
    })
}

pub fn certificates(data: &SignedData) -> Vec<Certificate> {
    let set = data.certificates.iter().flat_map(|set| set.0.iter());
    set.filter_map(|choice| match choice {
        CertificateChoices::Certificate(certificate) => Some(certificate.clone()),
        CertificateChoices::Other(_) => None,
    })
    .collect()
}
