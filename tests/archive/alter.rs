//! Changes inside packed streams that leave every other byte of a report where
//! it was: the hardest to see.

use std::io::{Read, Write};
use std::ops::Range;
use std::process::{Command, Stdio};

use flate2::Compression;
use flate2::read::ZlibDecoder;
use flate2::write::ZlibEncoder;

/// A stream of a PDF.
#[derive(Clone, Debug)]
pub struct Part {
    pub number: u32,
    pub dict: Range<usize>,
    packed: Range<usize>,
    deflated: bool,
    pub plain: Vec<u8>,
}

/// Every stream, unpacked.
pub fn parts(pdf: &[u8]) -> Vec<Part> {
    let mut parts = Vec::new();
    let mut from = 0;
    while let Some(found) = find(&pdf[from..], b">>stream\n") {
        let start = from + found + 9;
        let head = rfind(&pdf[..start], b" 0 obj\n").expect("an object");
        let dict = head + 7..start - 7;
        let words = String::from_utf8_lossy(&pdf[dict.clone()]).into_owned();
        let length = number_behind(&words, "/Length ").expect("a length");
        let packed = start..start + length as usize;
        let deflated = words.contains("/FlateDecode");
        let plain =
            if deflated { inflated(&pdf[packed.clone()]) } else { pdf[packed.clone()].to_vec() };
        let line = rfind(&pdf[..head], b"\n").map_or(0, |at| at + 1);
        let number = String::from_utf8_lossy(&pdf[line..head]).parse().expect("a number");
        from = packed.end;
        parts.push(Part { number, dict, packed, deflated, plain });
    }
    parts
}

fn number_behind(words: &str, key: &str) -> Option<u64> {
    let at = words.rfind(key)? + key.len();
    let digits: String = words[at..].chars().take_while(char::is_ascii_digit).collect();
    digits.parse().ok()
}

fn find(text: &[u8], part: &[u8]) -> Option<usize> {
    text.windows(part.len()).position(|w| w == part)
}

fn rfind(text: &[u8], part: &[u8]) -> Option<usize> {
    text.windows(part.len()).rposition(|w| w == part)
}

fn inflated(packed: &[u8]) -> Vec<u8> {
    let mut plain = Vec::new();
    ZlibDecoder::new(packed).read_to_end(&mut plain).expect("deflated");
    plain
}

/// The stream that holds all of these words.
pub fn holding(pdf: &[u8], words: &[&str]) -> Part {
    let holds = |part: &Part| words.iter().all(|word| find(&part.plain, word.as_bytes()).is_some());
    parts(pdf).into_iter().find(holds).unwrap_or_else(|| panic!("no stream with {words:?}"))
}

/// A page's own content.
pub fn page(pdf: &[u8]) -> Part {
    let is_page = |part: &Part| {
        let dict = String::from_utf8_lossy(&pdf[part.dict.clone()]).into_owned();
        !dict.contains("/Subtype")
            && find(&part.plain, b")Tj").is_some()
            && part.plain.len() > 2_000
    };
    parts(pdf).into_iter().find(is_page).expect("a page")
}

/// The report with one of the changed contents in place of the stream's own:
/// the first that, packed, takes no more room. What room is left is zeros
/// behind the packed bytes, which nobody reads. The digest is put right.
pub fn in_place(pdf: &[u8], part: &Part, changed: impl Iterator<Item = Vec<u8>>) -> Vec<u8> {
    for content in changed.take(400) {
        assert_ne!(content, part.plain);
        for level in [9, 8, 7, 6] {
            let packed = if part.deflated { deflated(&content, level) } else { content.clone() };
            if packed.len() > part.packed.len() {
                continue;
            }
            let mut out = pdf.to_vec();
            out[part.packed.clone()].fill(0);
            out[part.packed.start..part.packed.start + packed.len()].copy_from_slice(&packed);
            put_digest(&mut out, part, &content);
            return out;
        }
    }
    panic!("no change that fits");
}

fn deflated(content: &[u8], level: u32) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::new(level));
    encoder.write_all(content).expect("in memory");
    encoder.finish().expect("in memory")
}

fn put_digest(out: &mut [u8], part: &Part, content: &[u8]) {
    let dict = &mut out[part.dict.clone()];
    if let Some(at) = find(dict, b"/CheckSum<") {
        let hex: String = md5(content).iter().map(|byte| format!("{byte:02X}")).collect();
        dict[at + 10..at + 42].copy_from_slice(hex.as_bytes());
    }
}

/// By openssl, so that an attacker's digest does not come from the program.
fn md5(content: &[u8]) -> Vec<u8> {
    let mut run = Command::new("openssl")
        .args(["dgst", "-md5", "-binary"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("openssl is installed");
    run.stdin.take().expect("a pipe").write_all(content).expect("written");
    run.wait_with_output().expect("done").stdout
}

/// The text with the last digit of one figure after another made another.
pub fn digits(plain: &[u8]) -> impl Iterator<Item = Vec<u8>> + '_ {
    let places = plain.windows(6).enumerate().filter(|(_, w)| {
        w[0].is_ascii_digit() && w[1] == b'.' && w[2..6].iter().all(u8::is_ascii_digit)
    });
    places.map(|(at, _)| {
        let mut out = plain.to_vec();
        let digit = &mut out[at + 5];
        *digit = b'0' + (*digit - b'0' + 1) % 10;
        out
    })
}

/// The page with two neighbouring letters exchanged, one place after another.
pub fn letters(plain: &[u8]) -> impl Iterator<Item = Vec<u8>> + '_ {
    let own = |byte: u8| byte > 0 && !b"\n\r()\\".contains(&byte) && byte < 0x60;
    let places = plain.windows(5).enumerate().filter(move |(_, w)| {
        w[0] == 0 && w[2] == 0 && w[4] == 0 && own(w[1]) && own(w[3]) && w[1] != w[3]
    });
    places.map(|(at, _)| {
        let mut out = plain.to_vec();
        out.swap(at + 1, at + 3);
        out
    })
}
