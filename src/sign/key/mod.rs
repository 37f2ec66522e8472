//! A person's key with its certificates, from the bytes of a file. Nothing
//! secret is kept in plain bytes longer than it takes to read it.

mod everyones;
mod pem;
mod pkcs12;
mod types;

pub use everyones::{Everyones, everyones};
pub use pem::certificates as pem_certificates;
pub use types::{KeyError, Passphrase};

use std::fmt;

use const_oid::db::rfc5912 as oid;
use der::Decode;
use p256::ecdsa;
use rand_chacha::ChaCha20Rng;
use rsa::pkcs1v15;
use rsa::signature::{RandomizedSigner, SignatureEncoding, Signer as _};
use rsa::traits::PublicKeyParts;
use sha2::Sha256;
use x509_cert::Certificate;

use super::public::{PublicKey, RSA_BITS};
use types::Pkcs8;

enum Secret {
    P256(ecdsa::SigningKey),
    Rsa(Box<rsa::RsaPrivateKey>),
}

/// A private key and the certificates that go with it. The key is wiped when
/// dropped.
pub struct SigningKey {
    secret: Secret,
    /// The signer's first, then the others of the file, none twice.
    chain: Vec<Certificate>,
    /// A PKCS #12 file without a checksum: its passphrase was only proven by
    /// the key that came out.
    pub without_checksum: bool,
}

impl fmt::Debug for SigningKey {
    /// Shows whose key it is, never the key.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "SigningKey({})", self.certificate().tbs_certificate.subject)
    }
}

impl SigningKey {
    /// Reads a key file of either kind, whichever it is.
    ///
    /// # Errors
    /// [`KeyError`], which says what to do.
    pub fn read(file: &[u8], passphrase: Option<&Passphrase>) -> Result<SigningKey, KeyError> {
        let pem = file.windows(11).any(|w| w == b"-----BEGIN ");
        if pem {
            return SigningKey::from_pem(file, passphrase);
        }
        // PKCS #12 is a sequence in DER; nothing else is worth a passphrase.
        if !file.starts_with(&[0x30]) {
            return Err(KeyError::Unreadable { what: "neither PEM nor PKCS #12" });
        }
        let passphrase = passphrase.ok_or(KeyError::NeedsPassphrase)?;
        SigningKey::from_pkcs12(file, passphrase)
    }

    /// From PKCS #12 (RFC 7292), locked by AES or by the older triple DES and
    /// RC2.
    ///
    /// # Errors
    /// As [`SigningKey::read`].
    fn from_pkcs12(file: &[u8], passphrase: &Passphrase) -> Result<SigningKey, KeyError> {
        let opened = pkcs12::open(file, passphrase)?;
        let mut key = join(opened.keys, opened.certificates)?;
        key.without_checksum = opened.without_checksum;
        Ok(key)
    }

    /// From PEM (RFC 7468): a key, locked or not, and certificates, in any
    /// order.
    ///
    /// # Errors
    /// As [`SigningKey::read`].
    pub fn from_pem(file: &[u8], passphrase: Option<&Passphrase>) -> Result<SigningKey, KeyError> {
        let (keys, certificates) = pem::open(file, passphrase)?;
        join(keys, certificates)
    }

    /// Whether everyone has it.
    pub fn everyones(&self) -> Option<Everyones> {
        everyones(self.certificate())
    }

    /// The signer's certificate.
    pub(super) fn certificate(&self) -> &Certificate {
        // `join` puts one there or fails.
        &self.chain[0]
    }

    pub(super) fn chain(&self) -> &[Certificate] {
        &self.chain
    }

    /// Signs a message over its SHA-256. P-256 needs no chance (RFC 6979); RSA
    /// hides its working behind `blinding`, which does not change the result. Its
    /// state is not wiped: it hides how long this one signature took and is of no
    /// use afterwards to anybody who could read the memory in which the key lay.
    pub(super) fn sign(&self, message: &[u8], blinding: &mut ChaCha20Rng) -> Option<Vec<u8>> {
        match &self.secret {
            Secret::P256(key) => {
                let signature: ecdsa::Signature = key.try_sign(message).ok()?;
                Some(signature.to_der().as_bytes().to_vec())
            }
            Secret::Rsa(key) => {
                let key = pkcs1v15::SigningKey::<Sha256>::new(key.as_ref().clone());
                let signature = key.try_sign_with_rng(blinding, message).ok()?;
                Some(signature.to_vec())
            }
        }
    }
}

fn join(keys: Vec<Pkcs8>, certificates: Vec<Vec<u8>>) -> Result<SigningKey, KeyError> {
    let [key] = keys.as_slice() else {
        return Err(if keys.is_empty() { KeyError::NoKey } else { KeyError::SeveralKeys });
    };
    let (secret, public) = secret(key)?;
    let mut chain: Vec<Certificate> = Vec::new();
    for der in certificates {
        let what = "a certificate in it is damaged";
        let one = Certificate::from_der(&der).map_err(|_| KeyError::Unreadable { what })?;
        if !chain.contains(&one) {
            chain.push(one);
        }
    }
    if chain.is_empty() {
        return Err(KeyError::NoCertificate);
    }
    let own = |c: &Certificate| {
        PublicKey::of(&c.tbs_certificate.subject_public_key_info).as_ref() == Some(&public)
    };
    let at = chain.iter().position(own).ok_or(KeyError::DoesNotFit)?;
    let first = chain.remove(at);
    chain.insert(0, first);
    Ok(SigningKey { secret, chain, without_checksum: false })
}

fn secret(key: &[u8]) -> Result<(Secret, PublicKey), KeyError> {
    use pkcs8::DecodePrivateKey;
    let what = "its private key is damaged";
    let damaged = || KeyError::Unreadable { what };
    let info = pkcs8::PrivateKeyInfo::from_der(key).map_err(|_| damaged())?;
    match info.algorithm.oid {
        oid::RSA_ENCRYPTION => {
            let key = rsa::RsaPrivateKey::from_pkcs8_der(key).map_err(|_| damaged())?;
            let bits = key.n().bits();
            if !RSA_BITS.contains(&bits) {
                let found = format!("RSA of {bits} bits");
                return Err(KeyError::Kind { found });
            }
            let public = PublicKey::Rsa(key.to_public_key());
            Ok((Secret::Rsa(Box::new(key)), public))
        }
        oid::ID_EC_PUBLIC_KEY => {
            let curve = info.algorithm.parameters_oid().ok();
            if curve != Some(oid::SECP_256_R_1) {
                let found = "on another curve".to_string();
                return Err(KeyError::Kind { found });
            }
            let key = ecdsa::SigningKey::from_pkcs8_der(key).map_err(|_| damaged())?;
            let public = PublicKey::P256(*key.verifying_key());
            Ok((Secret::P256(key), public))
        }
        other => {
            let found = format!("of the kind {other}");
            Err(KeyError::Kind { found })
        }
    }
}
