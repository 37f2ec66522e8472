//! The pages: nothing over anything else, nothing lost, both papers, both
//! directions, both units; and the texts of one page in order.

use super::{bores_known, readied, shafts_known};
use crate::record::Job;
use crate::report_pages::geometry::{faults, texts};
use benchleaf::diag::{Diags, Sources};
use benchleaf::layout::mark::Document;
use benchleaf::load;
use benchleaf::model::job::Paper;
use benchleaf::pages::lay_second;
use benchleaf::record::ready;
use benchleaf::sheet::second::{SecondSheet, second};
use benchleaf::sheet::{SheetSet, expand};
use std::path::Path;

fn laid(set: &SheetSet, sheets: &[SecondSheet]) -> Document {
    let mut out = Diags::new();
    let document = lay_second(set, sheets, &mut out);
    assert!(out.is_empty(), "{out:#?}");
    let document = document.expect("nothing is lacking");
    for page in &document.pages {
        assert_eq!(faults(page), Vec::<String>::new(), "page {}", page.label);
    }
    document
}

fn of(job: &Job, only: Option<&str>, paper: Paper) -> (Document, Vec<SecondSheet>) {
    let (_, mut set) = job.expanded();
    set.head.paper = paper;
    let (_, sheets) = readied(job, only);
    (laid(&set, &sheets), sheets)
}

#[test]
fn three_places_share_a_page() {
    let (document, sheets) = of(&shafts_known(), None, Paper::A4);
    assert_eq!(document.pages.len(), 1);
    let texts = texts(&document.pages[0].marks);
    for code in ["C1", "C2", "C3", "valid only with shaft sizes code", &sheets[0].code] {
        assert!(texts.iter().any(|text| text == code), "{code}");
    }
    let reference = format!("/C.2/1/{}", sheets[0].code);
    assert!(texts.iter().any(|text| text.ends_with(&reference)));
}

#[test]
fn both_directions_on_both_papers() {
    for paper in [Paper::A4, Paper::Letter] {
        of(&shafts_known(), None, paper);
        let (document, _) = of(&bores_known(), None, paper);
        let all: Vec<String> = document.pages.iter().flat_map(|page| texts(&page.marks)).collect();
        assert!(all.iter().any(|text| text == "valid only with bore sizes code"));
    }
}

/// Every sheet with fits: eight places, six boxes a place, tight fits, a mate
/// always renewed, no mate that serves.
#[test]
fn every_sheet_of_the_demonstration() {
    let job = Job::first().row("C2.shaft", "[1.3714, 1.3714]");
    for letter in ["M", "R", "C", "T", "N", "K", "I", "E", "W", "P", "H"] {
        if job.expanded().1.sheet(letter).is_some() {
            let (document, sheets) = of(&job, Some(letter), Paper::A4);
            let all: Vec<String> =
                document.pages.iter().flat_map(|page| texts(&page.marks)).collect();
            let none = all.iter().filter(|text| *text == "no bore serves").count();
            // For a reused bore, for a new one, and in the place of the ladders.
            assert_eq!(none, if letter == "C" { 3 } else { 0 }, "{letter}");
            for (row, code) in sheets.iter().flat_map(|sheet| &sheet.rows) {
                assert_eq!(all.iter().filter(|text| *text == row).count(), 1, "{row}");
                assert!(all.iter().any(|text| text == code), "{row} {code}");
            }
        }
    }
}

fn metric() -> (Vec<SecondSheet>, SheetSet) {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Sources::default();
    for name in ["engine.toml", "limits.toml", "job.toml", "readings.toml"] {
        let path = here.join("tests/engines/six-mm").join(name);
        files.put(name, std::fs::read_to_string(path).expect("a file of the engine"));
    }
    for entry in std::fs::read_dir(here.join("tests/engines/old-forms")).expect("the forms") {
        let path = entry.expect("a form").path();
        if path.extension().is_some_and(|ending| ending == "toml") {
            let name = format!("forms/{}", path.file_name().expect("a name").to_string_lossy());
            files.put(name, std::fs::read_to_string(&path).expect("a form"));
        }
    }
    let mut out = Diags::new();
    let case = load::case(&files, &mut out).expect("the engine reads");
    let set = expand(&case, &mut out).expect("the sheets expand");
    let letters: Vec<String> = set.sheets.iter().map(|sheet| sheet.letter.clone()).collect();
    let found = ready(&case, &set, Some(&letters));
    (second(&case, &set, &found.rows), set)
}

/// Under new scope a reused and a new mate have the same window; the greatest
/// fit is the new one: shaft 34.963 and 34.961, fit 0.025 to 0.085, bore
/// 35.000 to 35.035, worked by hand.
#[test]
fn millimetres() {
    let (sheets, set) = metric();
    laid(&set, &sheets);
    let c2 = super::place(&sheets, "C2");
    assert_eq!(super::windows(&c2), ["any bore 35.000 to 35.035"]);
    let [tight, loose] = c2.ladders.expect("ladders");
    assert_eq!(super::shown(&tight)[0], "34.999 0.036 L out: bore †");
    assert_eq!(super::shown(&loose).last().expect("a step"), "35.036 0.075 L out: bore");
}

/// The texts of the camshaft's page as they are drawn. Codes and numbers are
/// digests and stand as they are in the demonstration; `BLESS=1` writes anew.
#[test]
fn the_texts_of_a_page() {
    let (document, _) = of(&shafts_known(), None, Paper::A4);
    let told = texts(&document.pages[0].marks).join("\n") + "\n";
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/second/camshaft.txt");
    if std::env::var_os("BLESS").is_some() {
        std::fs::write(&path, &told).expect("the texts are written");
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    for (n, (old, new)) in kept.lines().zip(told.lines()).enumerate() {
        assert_eq!(old, new, "text {}", n + 1);
    }
    assert_eq!(kept.lines().count(), told.lines().count());
}
