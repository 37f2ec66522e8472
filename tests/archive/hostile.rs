//! Files that mean harm: refused in words, within bounds of time and memory,
//! without a panic.

use crate::work::Work;
use std::io::Write;
use std::time::{Duration, Instant};

use benchleaf::pdf::{Refusal, open};
use benchleaf::sign::signatures;
use flate2::Compression;
use flate2::write::ZlibEncoder;

use super::build::*;
use super::tamper::Chance;

/// A small file of objects, the first of which is the catalog.
pub fn pdf(objects: &[Vec<u8>]) -> Vec<u8> {
    let mut out = b"%PDF-1.7\n".to_vec();
    let mut places = Vec::new();
    for (at, object) in objects.iter().enumerate() {
        places.push(out.len());
        out.extend(format!("{} 0 obj\n", at + 1).bytes());
        out.extend(object);
        out.extend(b"\nendobj\n");
    }
    let table = out.len();
    let size = objects.len() + 1;
    out.extend(format!("xref\n0 {size}\n0000000000 65535 f \n").bytes());
    for at in places {
        out.extend(format!("{at:010} 00000 n \n").bytes());
    }
    let trailer = format!("trailer\n<</Size {size}/Root 1 0 R>>\nstartxref\n{table}\n%%EOF");
    out.extend(trailer.bytes());
    out
}

const PAGES: &str = "<</Type/Pages/Count 1/Kids[3 0 R]>>";
const PAGE: &str = "<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]>>";

fn with(catalog: &str, more: &[&str]) -> Vec<u8> {
    let catalog = format!("<</Type/Catalog/Pages 2 0 R{catalog}>>");
    let first = [catalog.as_str(), PAGES, PAGE];
    let all = first.iter().chain(more).map(|o| o.as_bytes().to_vec());
    pdf(&all.collect::<Vec<_>>())
}

/// A file that carries some, each under a name.
pub fn carrying(names: &[&str]) -> Vec<u8> {
    let mut more = vec![b"<</Type/EmbeddedFile/Length 1>>stream\nx\nendstream".to_vec()];
    let mut list = String::new();
    for (at, name) in names.iter().enumerate() {
        let hex: String = std::iter::once(0xFEFF)
            .chain(name.encode_utf16())
            .map(|unit| format!("{unit:04X}"))
            .collect();
        let entry = format!("<</Type/Filespec/F<{hex}>/UF<{hex}>/EF<</F 4 0 R>>>>");
        more.push(entry.into_bytes());
        list.push_str(&format!("<{hex}> {} 0 R ", at + 5));
    }
    let catalog =
        format!("<</Type/Catalog/Pages 2 0 R/Names<</EmbeddedFiles<</Names[{list}]>>>>>>");
    let mut all = vec![catalog.into_bytes(), PAGES.into(), PAGE.into()];
    all.extend(more);
    pdf(&all)
}

/// Both ways into a file, which must both end quickly.
fn refused(bytes: &[u8]) -> Refusal {
    let start = Work::start();
    let _ = signatures(bytes, &[]);
    let refusal = open(bytes).expect_err("refused");
    assert!(start.seconds() < 20, "{refusal}");
    refusal
}

/// What the fuzzers and others found, each file of `tests/cases/found`:
/// `corners.png`, all corners of codes, is of the kind that once kept the reader
/// of codes busy for most of a minute.
#[test]
fn what_was_found_once_stays_mended() {
    let found = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/cases/found");
    let mut read = 0;
    for entry in std::fs::read_dir(found).expect("the folder of what was found") {
        let entry = entry.expect("a file that was found");
        let bytes = std::fs::read(entry.path()).expect("readable");
        read += 1;
        let start = Work::start();
        let _ = (open(&bytes), signatures(&bytes, &[]));
        let scans = benchleaf::scan::read(vec![("scan".to_owned(), bytes)]);
        assert!(scans.iter().all(|scan| !scan.pages.is_empty()));
        assert!(start.seconds() < 20, "{}", entry.path().display());
    }
    assert!(read > 0, "nothing lies in {found}");
}

#[test]
fn the_small_file_is_read_without_a_fault() {
    let opened = open(&carrying(&["job.toml", "Ø.toml"])).expect("readable");
    assert_eq!((opened.pages, opened.carried.len()), (1, 2));
}

#[test]
fn names_that_lead_elsewhere_are_refused() {
    let long = "n".repeat(4096);
    let names = [
        "..",
        ".",
        "../x",
        "a/../../x",
        "/etc/x",
        "a\\b",
        "C:x",
        "C:\\x",
        "a\nb",
        "a\u{0}b",
        "nul",
        "",
        "x.",
        &long,
        "a\u{202E}b",
        ".ssh",
    ];
    for name in names {
        let refusal = refused(&carrying(&[name]));
        assert!(matches!(refusal, Refusal::Name { .. }), "{name:?}: {refusal}");
        assert!(!refusal.to_string().contains(['\n', '\0']), "{name:?}");
    }
    let twice = refused(&carrying(&["job.toml", "JOB.toml"]));
    assert!(matches!(twice, Refusal::TwiceNamed { .. }), "{twice}");
}

#[test]
fn a_bomb_is_stopped() {
    let mut bomb = ZlibEncoder::new(Vec::new(), Compression::new(9));
    let zeros = vec![0; 1 << 20];
    for _ in 0..300 {
        bomb.write_all(&zeros).expect("in memory");
    }
    let bomb = bomb.finish().expect("in memory");
    let mut stream =
        format!("<</Type/EmbeddedFile/Filter/FlateDecode/Length {}>>stream\n", bomb.len())
            .into_bytes();
    stream.extend(&bomb);
    stream.extend(b"\nendstream");
    let names = "/Names<</EmbeddedFiles<</Names[(a) 5 0 R]>>>>";
    let catalog = format!("<</Type/Catalog/Pages 2 0 R{names}>>");
    let file = b"<</Type/Filespec/F(a)/EF<</F 4 0 R>>>>".to_vec();
    let whole = pdf(&[catalog.into_bytes(), PAGES.into(), PAGE.into(), stream, file]);
    let refusal = refused(&whole);
    assert!(matches!(refusal, Refusal::Bound { .. }), "{refusal}");
}

#[test]
fn what_is_deep_or_leads_back_is_refused() {
    let deep = format!("/X{}{}", "[".repeat(100_000), "]".repeat(100_000));
    assert!(matches!(refused(&with(&deep, &[])), Refusal::Bound { .. }));
    let deep = "<</A".repeat(100_000);
    refused(&with(&format!("/X{deep}"), &[]));

    let catalog = "<</Type/Catalog/Pages 2 0 R>>".as_bytes().to_vec();
    let back = |pages: &str| pdf(&[catalog.clone(), pages.into()]);
    let turn = refused(&back("<</Type/Pages/Count 1/Kids[2 0 R]>>"));
    assert!(matches!(turn, Refusal::Cycle { .. }), "{turn}");
    let itself = refused(&back("2 0 R"));
    assert!(matches!(itself, Refusal::Cycle { .. } | Refusal::Broken { .. }), "{itself}");

    let names = with("/Names<</EmbeddedFiles 4 0 R>>", &["<</Kids[4 0 R]>>"]);
    assert!(matches!(refused(&names), Refusal::Cycle { .. }));
    let fields = with("/AcroForm<</Fields[4 0 R]>>", &["<</T(a)/Kids[4 0 R]>>"]);
    assert!(matches!(refused(&fields), Refusal::Cycle { .. }));
    // A stream whose length is itself, and a table that leads to itself.
    refused(&with("/Metadata 4 0 R", &["<</Length 4 0 R>>stream\nx\nendstream"]));
    let mut table = with("", &[]);
    let at = String::from_utf8_lossy(&table).rfind("xref\n0").expect("a table");
    let text = String::from_utf8_lossy(&table).replace("/Size", &format!("/Prev {at}/Size"));
    table = text.into_bytes();
    refused(&table);
}

#[test]
fn what_can_be_read_in_two_ways_is_refused() {
    for file in [
        with("/Lang(en)/Lang(de)", &[]),
        pdf(&[b"<</Type/Catalog/Pages 2 0 R/Pages 3 0 R>>".to_vec(), PAGES.into(), PAGE.into()]),
    ] {
        let refusal = refused(&file);
        assert!(matches!(refusal, Refusal::Ambiguous { .. }), "{refusal}");
    }
    let locked = String::from_utf8_lossy(&with("", &[])).replace("/Root", "/Encrypt<<>>/Root");
    assert_eq!(refused(locked.as_bytes()), Refusal::Encrypted);
    assert_eq!(refused(b"GIF89a"), Refusal::NotPdf);
    let mut behind = with("", &[]);
    behind.extend(b"\nmore");
    assert!(matches!(refused(&behind), Refusal::Broken { .. }));
}

#[test]
fn a_file_of_many_references_to_one_large_object_ends() {
    let large = format!("<</Kids[]/Names[]/X[{}]>>", "0 ".repeat(400_000));
    let kids: String = (0..2000).map(|_| "4 0 R ").collect();
    let catalog = format!("/AF[{kids}]/Names<</EmbeddedFiles<</Kids[{kids}]>>>>");
    refused(&with(&catalog, &[&large]));
}

#[test]
fn cut_and_shuffled_files_never_panic() {
    let whole = signed(&signed(&report(1), ada(), ASCII, 0), ivan(), CYRILLIC, 1);
    let mut chance = Chance(0x5DEE_CE66_D1CE_4E5B);
    let start = Instant::now();
    let mut runs = 0;
    while runs < 2000 && start.elapsed() < Duration::from_secs(20) {
        let mut file = whole.clone();
        match chance.next(4) {
            0 => file.truncate(chance.next(whole.len())),
            1 => {
                let (from, length) = (chance.next(whole.len()), chance.next(4000));
                file.drain(from..(from + length).min(whole.len()));
            }
            2 => {
                for _ in 0..chance.next(60) {
                    let at = chance.next(file.len());
                    file[at] = b"<>[]()/ 0R\n%"[chance.next(12)];
                }
            }
            _ => {
                let (from, to) = (chance.next(whole.len()), chance.next(whole.len()));
                let length = chance.next(3000).min(whole.len() - from.max(to));
                file.copy_within(from..from + length, to);
            }
        }
        let _ = open(&file);
        if let Ok(found) = signatures(&file, &[]) {
            let good = found.len() == 2 && found.iter().all(|s| s.good());
            assert!(!good || file == whole);
        }
        runs += 1;
    }
    println!("{runs} files");
    for length in 0..400 {
        let noise: Vec<u8> = (0..length).map(|_| chance.next(256) as u8).collect();
        refused(&[b"%PDF-1.7\n".as_slice(), &noise].concat());
        refused(&noise);
    }
}
