//! Keys and certificates in PEM (RFC 7468), among other text.

use der::asn1::Int;
use der::{Any, Decode, Encode, Sequence};
use pkcs8::{EncryptedPrivateKeyInfo, pkcs5};
use x509_cert::spki::AlgorithmIdentifierOwned;
use zeroize::Zeroizing;

use super::types::{KeyError, Passphrase, Pkcs8};

/// The private keys as PKCS #8, and the certificates, in the order of the
/// file.
pub fn open(
    file: &[u8],
    passphrase: Option<&Passphrase>,
) -> Result<(Vec<Pkcs8>, Vec<Vec<u8>>), KeyError> {
    let text = std::str::from_utf8(file);
    let text = text.map_err(|_| unreadable("it is not text"))?;
    let (mut keys, mut certificates) = (Vec::new(), Vec::new());
    for block in blocks(text) {
        if block.contains("Proc-Type:") {
            let found = "an old way of PEM".to_string();
            return Err(KeyError::Locking { found });
        }
        let decoded = der::pem::decode_vec(block.as_bytes());
        let (label, der) = decoded.map_err(|_| unreadable("a block of PEM is damaged"))?;
        let der = Zeroizing::new(der);
        match label {
            "CERTIFICATE" => certificates.push(der.to_vec()),
            "PRIVATE KEY" => keys.push(der),
            "ENCRYPTED PRIVATE KEY" => keys.push(unlocked(&der, passphrase)?),
            "EC PRIVATE KEY" => keys.push(from_sec1(&der)?),
            "RSA PRIVATE KEY" => keys.push(from_pkcs1(&der)?),
            _ => {}
        }
    }
    Ok((keys, certificates))
}

/// The certificates alone, such as the anchors that a person trusts.
pub fn certificates(file: &str) -> Option<Vec<Vec<u8>>> {
    let mut found = Vec::new();
    for block in blocks(file) {
        let (label, der) = der::pem::decode_vec(block.as_bytes()).ok()?;
        if label == "CERTIFICATE" {
            found.push(der);
        }
    }
    Some(found)
}

fn unreadable(what: &'static str) -> KeyError {
    KeyError::Unreadable { what }
}

/// Each block from its first line to its last.
fn blocks(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    std::iter::from_fn(move || {
        let begin = rest.find("-----BEGIN ")?;
        let end = begin + rest[begin..].find("-----END ")?;
        let line = rest[end..].find('\n').map_or(rest.len(), |n| end + n + 1);
        let block = &rest[begin..line];
        rest = &rest[line..];
        Some(block)
    })
}

fn unlocked(der: &[u8], passphrase: Option<&Passphrase>) -> Result<Pkcs8, KeyError> {
    let passphrase = passphrase.ok_or(KeyError::NeedsPassphrase)?;
    decrypt(der, passphrase)
}

/// Unlocks PKCS #8 that is locked by PBES2 (RFC 8018).
pub(super) fn decrypt(der: &[u8], passphrase: &Passphrase) -> Result<Pkcs8, KeyError> {
    let Ok(locked) = EncryptedPrivateKeyInfo::try_from(der) else {
        let found = way(der).unwrap_or_else(|| "an old or unknown way".to_string());
        return Err(KeyError::Locking { found });
    };
    let key = locked.decrypt(passphrase.bytes()).map_err(|why| match why {
        pkcs8::Error::EncryptedPrivateKey(why) => not_unlocked(why),
        _ => KeyError::WrongPassphrase,
    })?;
    Ok(Zeroizing::new(key.as_bytes().to_vec()))
}

/// PBES2's parameters (RFC 8018, appendix A.4).
#[derive(Sequence)]
struct Ways {
    derivation: AlgorithmIdentifierOwned,
    _cipher: AlgorithmIdentifierOwned,
}

/// PBKDF2's (RFC 8018, appendix A.2).
#[derive(Sequence)]
struct Derivation {
    _salt: Any,
    _rounds: Int,
    #[asn1(optional = "true")]
    _length: Option<Int>,
    #[asn1(optional = "true")]
    digest: Option<AlgorithmIdentifierOwned>,
}

/// How a key is locked, as far as it can be read.
fn way(der: &[u8]) -> Option<String> {
    let locked = pkcs12::pbe_params::EncryptedPrivateKeyInfo::from_der(der).ok()?;
    let how = locked.encryption_algorithm;
    if how.oid != pkcs5::pbes2::PBES2_OID {
        return Some(format!("the way {}", how.oid));
    }
    let derivation = how.parameters?.decode_as::<Ways>().ok()?.derivation;
    let inner = derivation.parameters.and_then(|more| more.decode_as::<Derivation>().ok());
    let over = inner.and_then(|inner| inner.digest).map(|digest| format!(" over {}", digest.oid));
    Some(format!("the derivation {}{}", derivation.oid, over.unwrap_or_default()))
}

/// A way of locking that is not known is not a wrong passphrase.
fn not_unlocked(why: pkcs5::Error) -> KeyError {
    match why {
        pkcs5::Error::UnsupportedAlgorithm { oid }
        | pkcs5::Error::AlgorithmParametersInvalid { oid } => {
            KeyError::Locking { found: format!("the way {oid}") }
        }
        pkcs5::Error::NoPbes1CryptSupport => {
            KeyError::Locking { found: "PBES1, an old way".to_string() }
        }
        _ => KeyError::WrongPassphrase,
    }
}

fn from_sec1(der: &[u8]) -> Result<Pkcs8, KeyError> {
    use p256::pkcs8::EncodePrivateKey;
    let found = "on another curve or damaged".to_string();
    let key = p256::SecretKey::from_sec1_der(der).map_err(|_| KeyError::Kind { found })?;
    let der = key.to_pkcs8_der();
    let der = der.map_err(|_| unreadable("its private key is damaged"))?;
    Ok(Zeroizing::new(der.as_bytes().to_vec()))
}

/// The same key with its kind written before it.
fn from_pkcs1(der: &[u8]) -> Result<Pkcs8, KeyError> {
    let info = pkcs8::PrivateKeyInfo::new(rsa::pkcs1::ALGORITHM_ID, der);
    let der = info.to_der();
    der.map(Zeroizing::new).map_err(|_| unreadable("its private key is damaged"))
}
