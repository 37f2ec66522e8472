//! Public keys, digests and the checking of one signature. What is known:
//! P-256 with ECDSA and RSA of 2048 bits and more (PKCS #1 version 1.5), both
//! over SHA-256, SHA-384 or SHA-512.

use const_oid::ObjectIdentifier;
use const_oid::db::rfc5912 as oid;
use der::Encode;
use p256::ecdsa;
use p256::ecdsa::signature::hazmat::PrehashVerifier;
use rsa::pkcs1v15;
use rsa::traits::PublicKeyParts;
use sha2::{Digest, Sha256, Sha384, Sha512};
use x509_cert::spki::{AlgorithmIdentifierOwned, DecodePublicKey, SubjectPublicKeyInfoOwned};

/// Bits of an RSA key: fewer are broken, more take too long.
pub const RSA_BITS: std::ops::RangeInclusive<usize> = 2048..=8192;

/// How bytes are shortened before they are signed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hash {
    Sha256,
    Sha384,
    Sha512,
}

impl Hash {
    /// `None` for one that is not known, SHA-1 among them.
    pub fn named(algorithm: ObjectIdentifier) -> Option<Hash> {
        match algorithm {
            oid::ID_SHA_256 => Some(Hash::Sha256),
            oid::ID_SHA_384 => Some(Hash::Sha384),
            oid::ID_SHA_512 => Some(Hash::Sha512),
            _ => None,
        }
    }

    /// That of a way of signing; RSA alone leaves it open.
    fn of(signature: ObjectIdentifier, open: Option<Hash>) -> Option<Hash> {
        match signature {
            oid::SHA_256_WITH_RSA_ENCRYPTION | oid::ECDSA_WITH_SHA_256 => Some(Hash::Sha256),
            oid::SHA_384_WITH_RSA_ENCRYPTION | oid::ECDSA_WITH_SHA_384 => Some(Hash::Sha384),
            oid::SHA_512_WITH_RSA_ENCRYPTION | oid::ECDSA_WITH_SHA_512 => Some(Hash::Sha512),
            oid::RSA_ENCRYPTION => open,
            _ => None,
        }
    }

    pub fn digest(self, parts: &[&[u8]]) -> Vec<u8> {
        fn run<D: Digest>(parts: &[&[u8]]) -> Vec<u8> {
            let mut digest = D::new();
            for part in parts {
                digest.update(part);
            }
            digest.finalize().to_vec()
        }
        match self {
            Hash::Sha256 => run::<Sha256>(parts),
            Hash::Sha384 => run::<Sha384>(parts),
            Hash::Sha512 => run::<Sha512>(parts),
        }
    }
}

/// The digest of a way of signing, where it is one that can be forged.
pub fn broken_digest(signature: ObjectIdentifier) -> Option<&'static str> {
    /// RFC 3279, 2.2.3.
    const ECDSA_WITH_SHA_1: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.10045.4.1");
    match signature {
        ECDSA_WITH_SHA_1 | oid::SHA_1_WITH_RSA_ENCRYPTION => Some("SHA-1"),
        oid::MD_5_WITH_RSA_ENCRYPTION => Some("MD5"),
        _ => None,
    }
}

/// A public key of a kind that is known.
#[derive(Clone, Debug, PartialEq)]
pub enum PublicKey {
    P256(ecdsa::VerifyingKey),
    Rsa(rsa::RsaPublicKey),
}

/// What became of checking a signature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outcome {
    Fits,
    Differs,
    /// A kind of key or a way of signing that is not known here.
    Unknown,
}

impl PublicKey {
    pub fn of(info: &SubjectPublicKeyInfoOwned) -> Option<PublicKey> {
        let der = info.to_der().ok()?;
        if info.algorithm.oid == oid::RSA_ENCRYPTION {
            let key = rsa::RsaPublicKey::from_public_key_der(&der).ok()?;
            let known = RSA_BITS.contains(&key.n().bits());
            return known.then_some(PublicKey::Rsa(key));
        }
        let key = ecdsa::VerifyingKey::from_public_key_der(&der).ok()?;
        Some(PublicKey::P256(key))
    }

    /// As certificates hold it, always in the same bytes.
    pub fn written(&self) -> Option<Vec<u8>> {
        use x509_cert::spki::EncodePublicKey;
        let der = match self {
            PublicKey::P256(key) => p256::PublicKey::from(key).to_public_key_der(),
            PublicKey::Rsa(key) => key.to_public_key_der(),
        };
        der.ok().map(|der| der.into_vec())
    }

    /// Such as `P-256` or `RSA, 3072 bits`.
    pub fn shown(&self) -> String {
        match self {
            PublicKey::P256(_) => "P-256".to_string(),
            PublicKey::Rsa(key) => format!("RSA, {} bits", key.n().bits()),
        }
    }

    /// How its owner signs here, for the signature's own description.
    pub fn signs(&self) -> AlgorithmIdentifierOwned {
        let (oid, parameters) = match self {
            PublicKey::P256(_) => (oid::ECDSA_WITH_SHA_256, None),
            PublicKey::Rsa(_) => (oid::SHA_256_WITH_RSA_ENCRYPTION, Some(der::Any::null())),
        };
        AlgorithmIdentifierOwned { oid, parameters }
    }

    /// Bytes of a signature at most: two numbers of 33 bytes in DER for P-256.
    pub fn length(&self) -> usize {
        match self {
            PublicKey::P256(_) => 72,
            PublicKey::Rsa(key) => key.size(),
        }
    }

    /// Checks a signature over a message. `open` is the digest where the way
    /// of signing does not name one.
    pub fn check(
        &self,
        how: &AlgorithmIdentifierOwned,
        open: Option<Hash>,
        message: &[u8],
        signature: &[u8],
    ) -> Outcome {
        if how.parameters.as_ref().is_some_and(|p| !p.is_null()) {
            return Outcome::Unknown;
        }
        let elliptic = matches!(
            how.oid,
            oid::ECDSA_WITH_SHA_256 | oid::ECDSA_WITH_SHA_384 | oid::ECDSA_WITH_SHA_512
        );
        let Some(hash) = Hash::of(how.oid, open) else {
            return Outcome::Unknown;
        };
        let digest = hash.digest(&[message]);
        let fits = match self {
            PublicKey::P256(key) if elliptic => ecdsa::Signature::from_der(signature)
                .is_ok_and(|s| key.verify_prehash(&digest, &s).is_ok()),
            PublicKey::Rsa(key) if !elliptic => {
                pkcs1v15::Signature::try_from(signature).is_ok_and(|s| rsa(key, hash, &digest, &s))
            }
            _ => false,
        };
        if fits { Outcome::Fits } else { Outcome::Differs }
    }
}

fn rsa(
    key: &rsa::RsaPublicKey,
    hash: Hash,
    digest: &[u8],
    signature: &pkcs1v15::Signature,
) -> bool {
    let key = key.clone();
    let checked = match hash {
        Hash::Sha256 => {
            pkcs1v15::VerifyingKey::<Sha256>::new(key).verify_prehash(digest, signature)
        }
        Hash::Sha384 => {
            pkcs1v15::VerifyingKey::<Sha384>::new(key).verify_prehash(digest, signature)
        }
        Hash::Sha512 => {
            pkcs1v15::VerifyingKey::<Sha512>::new(key).verify_prehash(digest, signature)
        }
    };
    checked.is_ok()
}
