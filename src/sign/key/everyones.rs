//! Keys whose private half is public: whoever takes one by mistake signs with a
//! hand that everyone has. Each is known by the SHA-256 of its public key as
//! certificates hold it (RFC 5280, 4.1: SubjectPublicKeyInfo), worked out by the
//! cryptography library of Python from the private key where it is published,
//! else from the public one. The list is not all there are.

use std::fmt;

use sha2::{Digest, Sha256};
use x509_cert::Certificate;

use crate::sign::certificate::fingerprint;
use crate::sign::public::PublicKey;

/// A key that everyone has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Everyones {
    /// Where it is published.
    from: &'static str,
    /// It is one of the demonstration's, in the certificate that goes with it.
    pub demonstration: bool,
}

impl fmt::Display for Everyones {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "a key that everyone has ({}): it proves nothing", self.from)
    }
}

const DEMONSTRATION: &str = "the demonstration's throw-away key";

const KEYS: [(&str, &str); 17] = [
    ("a807336968e6caf11982b59da11f225a73e1f885d7a0f76dbafcced2bc7a9096", DEMONSTRATION),
    ("47b3236edb09c11cc49a5b4cbddbfe06ae5e75693a51457358770ef7ab4cf86c", DEMONSTRATION),
    ("b2b04340cfaee616ec9c2c62d261b208e54bb197498df52e8cadede23ac0ba5e", "RFC 9500, testECCP256"),
    ("8fb6bad671cfe698393c453357da61b56d757ab8c0f3fb9c87f2849e63131878", "RFC 9500, testRSA2048"),
    ("55f96361b78cbb84f1fc604b0718e82bd91abb46d8fc25ae871b35fbbf8b7974", "RFC 9421, B.1.3"),
    ("2bd1bb0c44a897c30a7aa0991cde38d8062fe441de50da0f46825344f602e827", "RFC 7515, A.3"),
    ("5a7a78cca4a0f420d9bc62bb669c3c2759e39f723d3ae10dcbe0f0815a07ecd4", "RFC 6979, A.2.5"),
    ("a40f0f2e2974dc76a82df6ffe08ed0d79955c79e7ad0c20d97ae8f9246ade1c1", "an example for ES256"),
    ("b9968d56ed8d6aa3fb43b15fa01e355d7a3a0203b1408b3fd2733637c4d1642c", RUST),
    ("efeda9bfead9fd0594f6a5cf6fdf6c163116a3b1fad6d73cea05295b68fd1794", RUST),
    ("e32fa45da214da918a29b86ef2bfd44d253eee4c5cad73fa40f2c147707794d5", RUST),
    ("7fd3b009970f196c4bb7c2c0472caf9c455e46608712c5dd1fe87663df671dcd", RUST),
    ("100329507e34f1e936f54b7820b2f559eaabb4f01e0e2b5e84c57d44657564bd", PYTHON),
    ("c77e64782f65c8c717b59c324402cba2e192c37833abbd2cb9a478005349794b", PYTHON),
    ("3abb44c517bcb80b00e42fb6c474a24c347a15953e5845d3f0f1b4091ed9a6c3", PYTHON),
    ("ed44792e85700ec7b303976284ca016edab5d4aa2e2c86cd0839accad5d1a66b", PYTHON),
    ("99c7097b3cf6f67f038336dc3b45a1284356cd0236fc2d9ce88ce080c2a9ae2f", PYTHON),
];

const RUST: &str = "the tests of RustCrypto";
const PYTHON: &str = "the tests of Python's cryptography";

/// The two certificates of the demonstration: its keys in any other one are
/// somebody's mistake or worse.
const CERTIFICATES: [&str; 2] = [
    "f2dc25f6e99f968fa1ec2dc706cfb130deee287c2a96ce254c5512649cbe1a3e",
    "bfed690cb7e335af477efb376f4125562588344d07e2ec596a2324c6e7397d24",
];

/// Whether a certificate's key is one that everyone has. The key is written
/// anew, so that another spelling of it is the same key.
pub fn everyones(certificate: &Certificate) -> Option<Everyones> {
    let key = PublicKey::of(&certificate.tbs_certificate.subject_public_key_info)?;
    let digest = hex(&Sha256::digest(key.written()?));
    let (_, from) = KEYS.iter().find(|(known, _)| *known == digest)?;
    let own = fingerprint(certificate).map(|digest| hex(&digest));
    let own = own.is_some_and(|own| CERTIFICATES.contains(&own.as_str()));
    Some(Everyones { from, demonstration: own })
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
