//! Bytes that hide how long an RSA key works, drawn from a seed that the
//! caller takes by chance. They leave no trace in the signature.

use rsa::rand_core::{CryptoRng, Error, RngCore};
use sha2::{Digest, Sha256};
use zeroize::Zeroizing;

/// A row of bytes from a seed: SHA-256 of the seed and a count.
pub struct Blinding {
    seed: Zeroizing<[u8; 32]>,
    count: u64,
}

impl Blinding {
    pub fn new(seed: [u8; 32]) -> Blinding {
        Blinding { seed: Zeroizing::new(seed), count: 0 }
    }
}

impl RngCore for Blinding {
    fn next_u32(&mut self) -> u32 {
        self.next_u64() as u32
    }

    fn next_u64(&mut self) -> u64 {
        let mut bytes = [0; 8];
        self.fill_bytes(&mut bytes);
        u64::from_le_bytes(bytes)
    }

    fn fill_bytes(&mut self, out: &mut [u8]) {
        for chunk in out.chunks_mut(32) {
            let mut digest = Sha256::new();
            digest.update(*self.seed);
            digest.update(self.count.to_be_bytes());
            self.count += 1;
            chunk.copy_from_slice(&digest.finalize()[..chunk.len()]);
        }
    }

    fn try_fill_bytes(&mut self, out: &mut [u8]) -> Result<(), Error> {
        self.fill_bytes(out);
        Ok(())
    }
}

impl CryptoRng for Blinding {}
