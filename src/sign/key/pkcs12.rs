//! Keys in PKCS #12 (RFC 7292).

use cbc::cipher::block_padding::Pkcs7;
use cbc::cipher::{BlockDecryptMut, KeyIvInit};
use cms::encrypted_data::EncryptedData;
use const_oid::ObjectIdentifier;
use const_oid::db::{rfc5911, rfc5912};
use der::asn1::OctetString;
use der::{Any, Decode, Encode, Sequence};
use hmac::{Hmac, Mac};
use pkcs8::pkcs5::pbes2;
use pkcs12::kdf::{Pkcs12KeyType, derive_key};
use pkcs12::pbe_params::{EncryptedPrivateKeyInfo, Pkcs12PbeParams};
use pkcs12::pfx::Pfx;
use x509_cert::attr::Attributes;
use x509_cert::spki::AlgorithmIdentifierOwned;
use zeroize::Zeroizing;

use super::pem;
use super::types::{KeyError, Passphrase, Pkcs8};

/// What a file holds.
pub struct Contents {
    pub keys: Vec<Pkcs8>,
    pub certificates: Vec<Vec<u8>>,
    pub without_checksum: bool,
}

/// One thing in a safe.
#[derive(Sequence)]
struct Bag {
    kind: ObjectIdentifier,
    #[asn1(context_specific = "0", tag_mode = "EXPLICIT")]
    value: Any,
    #[asn1(optional = "true")]
    _attributes: Option<Attributes>,
}

/// More rounds than this are a mistake in the file.
const ROUNDS: i32 = 10_000_000;

pub fn open(file: &[u8], passphrase: &Passphrase) -> Result<Contents, KeyError> {
    let pfx = Pfx::from_der(file);
    let pfx = pfx.map_err(|_| unreadable("it is neither PEM nor PKCS #12"))?;
    let safe = octets(&pfx.auth_safe.content)?;
    let wide = wide(passphrase)?;
    if let Some(mac) = &pfx.mac_data {
        check(mac, &safe, &wide)?;
    }
    let mut contents = Contents {
        keys: Vec::new(),
        certificates: Vec::new(),
        without_checksum: pfx.mac_data.is_none(),
    };
    let parts = Vec::<cms::content_info::ContentInfo>::from_der(&safe).map_err(damaged)?;
    for part in parts {
        let bags = match part.content_type {
            rfc5911::ID_DATA => Zeroizing::new(octets(&part.content)?),
            rfc5911::ID_ENCRYPTED_DATA => unlocked_part(&part.content, passphrase, &wide)?,
            _ => continue,
        };
        // With the wrong passphrase, bytes may come out by chance.
        let bags = Vec::<Bag>::from_der(&bags).map_err(|_| KeyError::WrongPassphrase)?;
        for bag in bags {
            contents.take(&bag, passphrase, &wide)?;
        }
    }
    Ok(contents)
}

impl Contents {
    fn take(&mut self, bag: &Bag, passphrase: &Passphrase, wide: &[u8]) -> Result<(), KeyError> {
        match bag.kind {
            pkcs12::PKCS_12_KEY_BAG_OID => {
                let key = bag.value.to_der().map_err(damaged)?;
                self.keys.push(Zeroizing::new(key));
            }
            pkcs12::PKCS_12_PKCS8_KEY_BAG_OID => {
                let locked: EncryptedPrivateKeyInfo = bag.value.decode_as().map_err(damaged)?;
                let how = &locked.encryption_algorithm;
                let key = unlock(how, locked.encrypted_data.as_bytes(), passphrase, wide)?;
                self.keys.push(key);
            }
            pkcs12::PKCS_12_CERT_BAG_OID => {
                let bag: pkcs12::cert_type::CertBag = bag.value.decode_as().map_err(damaged)?;
                if bag.cert_id == pkcs12::PKCS_12_X509_CERT_OID {
                    self.certificates.push(bag.cert_value.into_bytes());
                }
            }
            _ => {}
        }
        Ok(())
    }
}

fn unreadable(what: &'static str) -> KeyError {
    KeyError::Unreadable { what }
}

fn damaged(_: der::Error) -> KeyError {
    unreadable("a part of it is damaged")
}

fn octets(content: &Any) -> Result<Vec<u8>, KeyError> {
    let octets = content.decode_as::<OctetString>().map_err(damaged)?;
    Ok(octets.into_bytes())
}

/// The passphrase as the older derivation wants it: two bytes a letter, and a
/// zero letter behind (RFC 7292, B.1).
fn wide(passphrase: &Passphrase) -> Result<Zeroizing<Vec<u8>>, KeyError> {
    let text = std::str::from_utf8(passphrase.bytes());
    let text = text.map_err(|_| unreadable("the passphrase is not UTF-8"))?;
    let mut wide = Zeroizing::new(Vec::with_capacity(text.len() * 2 + 2));
    for unit in text.encode_utf16().chain([0]) {
        wide.extend(unit.to_be_bytes());
    }
    Ok(wide)
}

fn check(mac: &pkcs12::mac_data::MacData, safe: &[u8], wide: &[u8]) -> Result<(), KeyError> {
    let salt = mac.mac_salt.as_bytes();
    let rounds = rounds(mac.iterations)?;
    let expected = mac.mac.digest.as_bytes();
    macro_rules! fits {
        ($digest:ty, $length:expr) => {{
            let key = derive_key::<$digest>(wide, salt, Pkcs12KeyType::Mac, rounds, $length);
            let key = Zeroizing::new(key);
            Hmac::<$digest>::new_from_slice(&key)
                .is_ok_and(|mac| mac.chain_update(safe).verify_slice(expected).is_ok())
        }};
    }
    let fits = match mac.mac.algorithm.oid {
        rfc5912::ID_SHA_1 => fits!(sha1::Sha1, 20),
        rfc5912::ID_SHA_256 => fits!(sha2::Sha256, 32),
        rfc5912::ID_SHA_384 => fits!(sha2::Sha384, 48),
        rfc5912::ID_SHA_512 => fits!(sha2::Sha512, 64),
        other => {
            let found = format!("the checksum {other}");
            return Err(KeyError::Locking { found });
        }
    };
    fits.then_some(()).ok_or(KeyError::WrongPassphrase)
}

fn rounds(iterations: i32) -> Result<i32, KeyError> {
    let right = (1..=ROUNDS).contains(&iterations);
    right.then_some(iterations).ok_or(unreadable("its count of rounds is wrong"))
}

fn unlocked_part(
    content: &Any,
    passphrase: &Passphrase,
    wide: &[u8],
) -> Result<Zeroizing<Vec<u8>>, KeyError> {
    let part: EncryptedData = content.decode_as().map_err(damaged)?;
    let info = part.enc_content_info;
    let locked = info.encrypted_content;
    let locked = locked.ok_or(unreadable("a part of it is missing"))?;
    unlock(&info.content_enc_alg, locked.as_bytes(), passphrase, wide)
}

fn unlock(
    how: &AlgorithmIdentifierOwned,
    locked: &[u8],
    passphrase: &Passphrase,
    wide: &[u8],
) -> Result<Zeroizing<Vec<u8>>, KeyError> {
    match how.oid {
        pbes2::PBES2_OID => {
            let whole = EncryptedPrivateKeyInfo {
                encryption_algorithm: how.clone(),
                encrypted_data: OctetString::new(locked).map_err(damaged)?,
            };
            pem::decrypt(&whole.to_der().map_err(damaged)?, passphrase)
        }
        pkcs12::PKCS_12_PBE_WITH_SHAAND3_KEY_TRIPLE_DES_CBC => {
            older::<cbc::Decryptor<des::TdesEde3>>(how, locked, wide, 24)
        }
        pkcs12::PKCS_12_PBEWITH_SHAAND40_BIT_RC2_CBC => rc2_40(how, locked, wide),
        other => Err(KeyError::Locking { found: format!("the way {other}") }),
    }
}

/// Key and starting block of the older ways (RFC 7292, appendix C).
fn derived(
    how: &AlgorithmIdentifierOwned,
    wide: &[u8],
    length: usize,
) -> Result<(Zeroizing<Vec<u8>>, Vec<u8>), KeyError> {
    let parameters = how.parameters.as_ref();
    let parameters = parameters.ok_or(unreadable("a part of it is missing"))?;
    let parameters: Pkcs12PbeParams = parameters.decode_as().map_err(damaged)?;
    let salt = parameters.salt.as_bytes();
    let rounds = rounds(parameters.iterations)?;
    let derive = |what, length| derive_key::<sha1::Sha1>(wide, salt, what, rounds, length);
    let key = Zeroizing::new(derive(Pkcs12KeyType::EncryptionKey, length));
    Ok((key, derive(Pkcs12KeyType::Iv, 8)))
}

fn older<C: KeyIvInit + BlockDecryptMut>(
    how: &AlgorithmIdentifierOwned,
    locked: &[u8],
    wide: &[u8],
    length: usize,
) -> Result<Zeroizing<Vec<u8>>, KeyError> {
    let (key, start) = derived(how, wide, length)?;
    let cipher = C::new_from_slices(&key, &start);
    let cipher = cipher.map_err(|_| unreadable("a part of it is damaged"))?;
    let plain = cipher.decrypt_padded_vec_mut::<Pkcs7>(locked);
    plain.map(Zeroizing::new).map_err(|_| KeyError::WrongPassphrase)
}

/// Forty bits, which the cipher must be told apart from the key's length.
fn rc2_40(
    how: &AlgorithmIdentifierOwned,
    locked: &[u8],
    wide: &[u8],
) -> Result<Zeroizing<Vec<u8>>, KeyError> {
    use cbc::cipher::InnerIvInit;
    let (key, start) = derived(how, wide, 5)?;
    let cipher = rc2::Rc2::new_with_eff_key_len(&key, 40);
    let cipher = cbc::Decryptor::inner_iv_slice_init(cipher, &start);
    let cipher = cipher.map_err(|_| unreadable("a part of it is damaged"))?;
    let plain = cipher.decrypt_padded_vec_mut::<Pkcs7>(locked);
    plain.map(Zeroizing::new).map_err(|_| KeyError::WrongPassphrase)
}
