//! Seals put into a signed report by hand, in the way that `sign` writes them,
//! but by keys and with stamps that the program itself would refuse; and what is
//! said of such a report.

use std::ops::Range;

use benchleaf::sign::signatures;
use benchleaf::sign::verify::Integrity;
use cms::cert::{CertificateChoices, IssuerAndSerialNumber};
use cms::content_info::ContentInfo;
use cms::signed_data::{CertificateSet, SignedData, SignerIdentifier, SignerInfo, SignerInfos};
use const_oid::db::rfc5911::{ID_AA_SIGNING_CERTIFICATE_V_2, ID_MESSAGE_DIGEST};
use der::asn1::{ObjectIdentifier, OctetString, SetOfVec};
use der::{Any, Decode, DecodePem, Encode};
use sha2::{Digest, Sha256};
use x509_cert::Certificate;
use x509_cert::attr::Attribute;

use super::build::*;

/// RFC 3161, appendix A.
const STAMP: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.9.16.2.14");

/// The room of the only signature, without its brackets, and the seal in it.
pub fn seal(file: &[u8]) -> (Range<usize>, SignedData) {
    let start = file.windows(11).position(|w| w == b"/Contents <").expect("there") + 11;
    let end = start + file[start..].iter().position(|b| *b == b'>').expect("there");
    let digits = std::str::from_utf8(&file[start..end]).expect("digits");
    let bytes: Vec<u8> = (0..digits.len() / 2)
        .map(|n| u8::from_str_radix(&digits[2 * n..2 * n + 2], 16).expect("a byte"))
        .collect();
    let length = 4 + usize::from(u16::from_be_bytes([bytes[2], bytes[3]]));
    let outer = ContentInfo::from_der(&bytes[..length]).expect("CMS");
    (start..end, outer.content.decode_as().expect("signed data"))
}

/// A file with another seal in that room.
pub fn with_seal(file: &[u8], room: Range<usize>, data: &SignedData) -> Vec<u8> {
    let outer = ContentInfo {
        content_type: const_oid::db::rfc5911::ID_SIGNED_DATA,
        content: Any::encode_from(data).expect("signed data"),
    };
    let sealed = outer.to_der().expect("CMS");
    let hex: String = sealed.iter().map(|byte| format!("{byte:02X}")).collect();
    let mut out = file.to_vec();
    let hex = format!("{hex:0<width$}", width = room.len());
    assert_eq!(hex.len(), room.len(), "there is room");
    out[room].copy_from_slice(hex.as_bytes());
    out
}

/// A file whose only seal is made anew over what it covers, with a P-256 key
/// and a certificate in files, by openssl.
pub fn resealed(file: &[u8], key: &str, pem: &str) -> Vec<u8> {
    let (room, mut data) = seal(file);
    let covered = [&file[..room.start - 1], &file[room.end + 1..]].concat();
    let certificate = Certificate::from_pem(join(&[pem])).expect("a certificate");
    let own = Sha256::digest(certificate.to_der().expect("DER"));
    let octets = |bytes: &[u8]| Any::encode_from(&OctetString::new(bytes).expect("octets"));
    // SigningCertificateV2 (RFC 5035, 3) with one digest, by SHA-256.
    let named = [&[0x30, 0x26, 0x30, 0x24, 0x30, 0x22, 4, 32][..], &own].concat();
    let mut signer: SignerInfo = data.signer_infos.0.as_slice()[0].clone();
    let attributes = signer.signed_attrs.as_ref().expect("attributes").iter().cloned();
    let attributes = attributes.map(|mut attribute: Attribute| {
        let value = match attribute.oid {
            ID_MESSAGE_DIGEST => octets(&Sha256::digest(&covered)).expect("octets"),
            ID_AA_SIGNING_CERTIFICATE_V_2 => Any::from_der(&named).expect("DER"),
            _ => return attribute,
        };
        attribute.values = SetOfVec::try_from(vec![value]).expect("a value");
        attribute
    });
    let attributes = SetOfVec::try_from(attributes.collect::<Vec<_>>()).expect("a set");
    let [signed, made] = ["attributes", "made"].map(|end| format!("{pem}.{end}"));
    keep(&signed, &attributes.to_der().expect("DER"));
    openssl(&["dgst", "-sha256", "-sign", key, "-out", &made, &signed]);
    signer.signature = OctetString::new(join(&[&made])).expect("octets");
    signer.signed_attrs = Some(attributes);
    signer.sid = SignerIdentifier::IssuerAndSerialNumber(IssuerAndSerialNumber {
        issuer: certificate.tbs_certificate.issuer.clone(),
        serial_number: certificate.tbs_certificate.serial_number.clone(),
    });
    let certificates = vec![CertificateChoices::Certificate(certificate)];
    data.certificates = Some(CertificateSet::try_from(certificates).expect("a set"));
    data.signer_infos = SignerInfos::try_from(vec![signer]).expect("a signer");
    with_seal(file, room, &data)
}

/// A file with an authority's reply on its only signature, whatever it is worth.
pub fn stamped_anyway(file: &[u8], reply: &[u8]) -> Vec<u8> {
    let (room, mut data) = seal(file);
    let reply: Vec<Any> = Vec::from_der(reply).expect("a reply");
    let token = SetOfVec::try_from(vec![reply[1].clone()]).expect("a token");
    let stamp = Attribute { oid: STAMP, values: token };
    let mut signer: SignerInfo = data.signer_infos.0.as_slice()[0].clone();
    signer.unsigned_attrs = Some(SetOfVec::try_from(vec![stamp]).expect("a stamp"));
    data.signer_infos = SignerInfos::try_from(vec![signer]).expect("a signer");
    with_seal(file, room, &data)
}

/// ISO 32000-1, 12.8.3.3 and ISO 32000-2, 12.8.5 have other ways of sealing a
/// document; none is written here, so none is taken for good.
#[test]
fn other_ways_of_sealing_are_not_known() {
    let report = report(1);
    issue("ways", Of::P256, ASCII, "20240101000000Z", "20300101000000Z", &SIGNING);
    let key = benchleaf::sign::SigningKey::read(&join(&["ways.key", "ways.pem"]), None);
    let once = signed(&report, &key.expect("a key"), ASCII, 0);
    let ours = b"/SubFilter /ETSI.CAdES.detached";
    let at = once.windows(ours.len()).position(|part| part == ours).expect("there");
    let sealed = |way: &str| {
        let mut file = once.clone();
        let written = format!("/SubFilter /{way:<19}");
        file[at..at + ours.len()].copy_from_slice(written.as_bytes());
        let file = resealed(&file, "ways.key", "ways.pem");
        (signatures(&file, &[]).expect("readable").remove(0), behind(&file, &report))
    };
    let (found, accounted) = sealed("ETSI.CAdES.detached");
    assert!(found.good(), "nothing but the way makes the difference: {found:#?}");
    assert_eq!(accounted, Ok(1));
    for way in ["adbe.pkcs7.detached", "adbe.pkcs7.sha1", "ETSI.RFC3161", "none"] {
        let (found, accounted) = sealed(way);
        assert_eq!(found.integrity, Integrity::Unknown, "{way}");
        assert!(!found.good() && accounted.is_err(), "{way}");
    }
}
