//! What opening a key takes, what it gives, and why it fails.

use std::fmt;

use zeroize::Zeroizing;

/// What a person typed, wiped when dropped. UTF-8, without the line end.
pub struct Passphrase(Zeroizing<Vec<u8>>);

impl Passphrase {
    pub fn new(bytes: Vec<u8>) -> Passphrase {
        Passphrase(Zeroizing::new(bytes))
    }

    pub(super) fn bytes(&self) -> &[u8] {
        &self.0
    }
}

/// Why a key cannot be used. Nothing was signed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum KeyError {
    /// The key is locked and no passphrase was given.
    NeedsPassphrase,
    WrongPassphrase,
    NoKey,
    NoCertificate,
    SeveralKeys,
    /// No certificate in the file is that of the key.
    DoesNotFit,
    /// Neither P-256 nor RSA of a fit size.
    Kind {
        found: String,
    },
    /// A way of locking that is not known.
    Locking {
        found: String,
    },
    /// The file is none that holds a key.
    Unreadable {
        what: &'static str,
    },
}

impl fmt::Display for KeyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            KeyError::NeedsPassphrase => write!(f, "the key is locked: give its passphrase"),
            KeyError::WrongPassphrase => {
                write!(f, "the passphrase does not open the key: type it again")
            }
            KeyError::NoKey => write!(f, "the file holds no private key"),
            KeyError::NoCertificate => {
                write!(f, "the file holds no certificate: put it behind the key")
            }
            KeyError::SeveralKeys => {
                write!(f, "the file holds several private keys: leave one person's in it")
            }
            KeyError::DoesNotFit => {
                write!(f, "no certificate in the file belongs to its key: put the right one in")
            }
            KeyError::Kind { found } => {
                write!(f, "the key is {found}: use P-256, or RSA of 2048 to 8192 bits")
            }
            KeyError::Locking { found } => write!(
                f,
                "the key is locked by {found}, not read here: export it again with AES-256, a key in PEM by `openssl pkcs8 -topk8 -v2 aes-256-cbc -in OLD -out NEW`, and put the certificate behind it"
            ),
            KeyError::Unreadable { what } => {
                write!(f, "the key file cannot be read: {what}")
            }
        }
    }
}

impl std::error::Error for KeyError {}

/// A private key in PKCS #8, wiped when dropped.
pub type Pkcs8 = Zeroizing<Vec<u8>>;
