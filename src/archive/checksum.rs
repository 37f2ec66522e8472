//! The checksum of a carried file, which PDF wants as MD5 (ISO 32000-1, table
//! 46). It finds a damaged file and proves nothing; digests that prove are
//! SHA-256.

use std::sync::LazyLock;

/// MD5 (RFC 1321) of some bytes.
pub fn md5(bytes: &[u8]) -> [u8; 16] {
    let mut state = [0x6745_2301_u32, 0xEFCD_AB89, 0x98BA_DCFE, 0x1032_5476];
    let bits = (bytes.len() as u64).wrapping_mul(8);
    let mut tail = bytes.chunks_exact(64).remainder().to_vec();
    tail.push(0x80);
    while tail.len() % 64 != 56 {
        tail.push(0);
    }
    tail.extend(bits.to_le_bytes());
    for block in bytes.chunks_exact(64).chain(tail.chunks_exact(64)) {
        stir(&mut state, block);
    }
    let mut digest = [0; 16];
    for (place, word) in digest.chunks_exact_mut(4).zip(state) {
        place.copy_from_slice(&word.to_le_bytes());
    }
    digest
}

const TURNS: [[u32; 4]; 4] = [[7, 12, 17, 22], [5, 9, 14, 20], [4, 11, 16, 23], [6, 10, 15, 21]];

/// RFC 1321, 3.4: the whole part of 2^32 |sin(step + 1)|. Once a process: a
/// job's files are some thousand blocks.
static SINES: LazyLock<[u32; 64]> = LazyLock::new(|| {
    std::array::from_fn(|step| (((step + 1) as f64).sin().abs() * 4_294_967_296.0) as u32)
});

fn stir(state: &mut [u32; 4], block: &[u8]) {
    let mut words = [0_u32; 16];
    for (word, four) in words.iter_mut().zip(block.chunks_exact(4)) {
        *word = four.iter().rev().fold(0, |w, b| w << 8 | u32::from(*b));
    }
    let [mut a, mut b, mut c, mut d] = *state;
    let sines: &[u32; 64] = &SINES;
    // A loop a round: the choice of the round inside one is most of the time.
    macro_rules! round {
        ($round:expr, $mixed:expr, $times:expr, $from:expr) => {
            for n in 0..16 {
                let sum = a.wrapping_add($mixed).wrapping_add(sines[16 * $round + n]);
                let sum = sum.wrapping_add(words[($times * n + $from) % 16]);
                let turned = b.wrapping_add(sum.rotate_left(TURNS[$round][n % 4]));
                (a, b, c, d) = (d, turned, b, c);
            }
        };
    }
    round!(0, b & c | !b & d, 1, 0);
    round!(1, d & b | !d & c, 5, 1);
    round!(2, b ^ c ^ d, 3, 5);
    round!(3, c ^ (b | !d), 7, 0);
    for (word, add) in state.iter_mut().zip([a, b, c, d]) {
        *word = word.wrapping_add(add);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hex(bytes: &[u8]) -> String {
        md5(bytes).iter().map(|b| format!("{b:02x}")).collect()
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
