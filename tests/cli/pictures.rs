//! Pictures that keep a reader of codes busy or fell it: bounded by what it
//! does, which is counted, so that every machine gives up at the same dot.

use std::fmt::Write as _;

use benchleaf::scan::{Scan, read};

use super::script::Script;
use crate::archive::hostile::pdf;

const GIVEN_UP: &str = "too much in it looks like a code";

fn png(width: usize, height: usize, dot: impl Fn(usize, usize) -> u8) -> Vec<u8> {
    let rows = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
    let dots: Vec<u8> = rows.map(|(x, y)| dot(x, y)).collect();
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, width as u32, height as u32);
    encoder.set_color(png::ColorType::Grayscale);
    let mut writer = encoder.write_header().expect("in memory");
    writer.write_image_data(&dots).expect("in memory");
    writer.finish().expect("in memory");
    out
}

/// Corners of codes (ISO/IEC 18004, 6.3.3), one beside the other.
fn corners(x: usize, y: usize, each: usize) -> u8 {
    let (x, y) = (x / each % 8, y / each % 8);
    let ring = x.abs_diff(3).max(y.abs_diff(3));
    if x < 7 && y < 7 && ring != 2 { 0 } else { 255 }
}

/// A fixed scatter (Marsaglia's xorshift, Journal of Statistical Software 8,
/// 2003).
fn noise(x: usize, y: usize) -> u8 {
    let mut bits = (x as u64 + 1) << 32 | (y as u64 + 1);
    for _ in 0..3 {
        bits ^= bits << 13;
        bits ^= bits >> 7;
        bits ^= bits << 17;
    }
    (bits >> 24) as u8
}

fn looked(name: &str, bytes: Vec<u8>) -> Scan {
    read(vec![(name.to_owned(), bytes)]).pop().expect("one scan")
}

fn given_up(name: &str, bytes: Vec<u8>) {
    let scan = looked(name, bytes);
    assert!(scan.pages.iter().all(|page| page.codes.is_empty()));
    let faults: Vec<_> = scan.pages.iter().filter_map(|page| page.fault.as_deref()).collect();
    assert!(faults.iter().any(|fault| fault.contains(GIVEN_UP)), "{name}: {faults:?}");
}

#[test]
fn a_picture_of_nothing_but_corners_is_given_up() {
    for (side, each) in [(1_600, 1), (2_700, 3)] {
        given_up("corners.png", png(side, side, |x, y| corners(x, y, each)));
    }
}

/// Small here, so that it takes no minute; BENCHLEAF_NOISE=4472 makes each of 20
/// million dots.
#[test]
fn noise_is_looked_at_and_comes_to_an_end() {
    let side = std::env::var("BENCHLEAF_NOISE").ok().and_then(|n| n.parse().ok());
    let side: usize = side.unwrap_or(600);
    for coarse in [1, 2, 5] {
        let scan = looked("noise.png", png(side, side, |x, y| noise(x / coarse, y / coarse)));
        assert!(scan.pages.iter().all(|page| page.codes.is_empty()));
        let lines = looked("lines.png", png(side, side, |x, _| noise(x / coarse, 7)));
        assert!(lines.pages.iter().all(|page| page.codes.is_empty()));
    }
}

/// `pages` pages that show one picture.
fn on_many_pages(pages: usize, side: usize, packed: &[u8]) -> Vec<u8> {
    let mut picture = format!(
        "<</Type/XObject/Subtype/Image/Width {side}/Height {side}/BitsPerComponent 8\
         /ColorSpace/DeviceGray/Filter/FlateDecode/Length {}>>\nstream\n",
        packed.len()
    )
    .into_bytes();
    picture.extend(packed);
    picture.extend(b"\nendstream");
    let mut kids = String::new();
    for page in 0..pages {
        let _ = write!(kids, "{} 0 R ", page + 4);
    }
    let mut objects = vec![
        b"<</Type/Catalog/Pages 2 0 R>>".to_vec(),
        format!("<</Type/Pages/Count {pages}/Kids[{kids}]>>").into_bytes(),
        picture,
    ];
    let page = b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]/Resources<</XObject<</P 3 0 R>>>>>>";
    objects.extend((0..pages).map(|_| page.to_vec()));
    pdf(&objects)
}

#[test]
fn one_picture_on_a_thousand_pages_is_looked_at_once() {
    use std::io::Write;
    let side = 1_200;
    let dots: Vec<u8> = (0..side * side).map(|at| corners(at % side, at / side, 1)).collect();
    let mut encoder = flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::best());
    encoder.write_all(&dots).expect("in memory");
    let scan = looked("many.pdf", on_many_pages(1_000, side, &encoder.finish().expect("packed")));
    assert_eq!(scan.pages.len(), 1_000);
    // What a thousand looks would take is more than there is for all scans
    // together: each page would say so.
    for page in &scan.pages {
        assert!(page.fault.as_deref().is_some_and(|fault| fault.contains(GIVEN_UP)), "{page:?}");
    }
}

/// The same picture of a thousand looks, each a file's own copy.
#[test]
fn a_jpeg_picture_in_a_thousand_parts_is_refused() {
    let mut jpeg = vec![0xFF, 0xD8, 0xFF, 0xC2, 0, 11, 8, 0x10, 0, 0x10, 0, 1, 1, 0x11, 0];
    for _ in 0..1_000 {
        jpeg.extend([0xFF, 0xDA, 0, 8, 1, 1, 0, 0, 0, 0]);
    }
    jpeg.extend([0xFF, 0xD9]);
    let scan = looked("parts.jpg", jpeg);
    let fault = scan.pages.first().and_then(|page| page.fault.as_deref()).unwrap_or_default();
    assert!(fault.contains("too many parts"), "{fault}");
}

#[test]
fn such_a_picture_is_named_in_the_report_and_the_report_proves_good() {
    let script = Script::with_keys();
    script.write("job/originals/corners.png", png(1_600, 1_600, |x, y| corners(x, y, 1)));
    script.run("report job").in_order().says_on_a_line(&["corners.png", GIVEN_UP]);
    script.run("sign job/report.pdf --key ja.pem --as JA").status(0);
    script.run("verify job/report.pdf").in_order().says_on_a_line(&["good", "verdicts"]);
}
