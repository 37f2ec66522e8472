//! The checksum of a carried file, which PDF wants as MD5 (ISO 32000-1, table
//! 46). It finds a damaged file and proves nothing; digests that prove are
//! SHA-256.

use md5::{Digest, Md5};
use sha2::{Digest as _, Sha256};

/// SHA-256 (FIPS 180-4) of some bytes, as it is written.
pub fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// MD5 (RFC 1321) of some bytes.
pub fn md5(bytes: &[u8]) -> [u8; 16] {
    Md5::digest(bytes).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hex(bytes: &[u8]) -> String {
        md5(bytes).iter().map(|b| format!("{b:02x}")).collect()
    }

    #[test]
    fn the_example_of_fips_180() {
        // FIPS 180-4's example of one block, "abc" (from memory).
        let wanted = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(sha256(b"abc"), wanted);
    }

    #[test]
    fn the_test_suite_of_rfc_1321() {
        // RFC 1321, appendix A.5.
        assert_eq!(hex(b""), "d41d8cd98f00b204e9800998ecf8427e");
        assert_eq!(hex(b"abc"), "900150983cd24fb0d6963f7d28e17f72");
        assert_eq!(hex(b"message digest"), "f96b697d7cb7938d525a2f31aaf161d0");
        let figures = "1234567890".repeat(8);
        assert_eq!(hex(figures.as_bytes()), "57edf4a22be3c955ac49da2e2107b67a");
    }
}
