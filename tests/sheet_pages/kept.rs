//! The pages of a print, kept in its transcription.

use super::{job, laid};
use benchleaf::diag::{Diags, Sources};
use benchleaf::load;
use benchleaf::model::job::Paper;
use benchleaf::model::record::Record;
use benchleaf::sheet::{Pages, SheetSet, transcription};

/// The pages that a transcription keeps, and what is told of them.
fn kept(set: &SheetSet, text: &str) -> (Option<Pages>, Vec<String>) {
    let mut files = Sources::default();
    files.put("readings.toml", text);
    let mut out = Diags::new();
    let record: Option<Record> = load::readings(&files, "readings.toml", None, None, &mut out);
    let pages = Pages::kept(set, &record.expect("a transcription"), &mut out);
    (pages, out.iter().map(|diag| diag.message.clone()).collect())
}

#[test]
fn a_transcription_knows_the_pages_it_was_printed_with() {
    for engine in super::ENGINES {
        let mut set = job::set(engine);
        for paper in [Paper::A4, Paper::Letter] {
            set.head.paper = paper;
            let (_, pages) = laid(&set, None);
            let text = transcription(&set, &pages);
            // On whichever paper the job now is.
            set.head.paper = Paper::A4;
            assert_eq!(kept(&set, &text), (Some(pages), Vec::new()), "{engine} on {paper}");
        }
    }
}

#[test]
fn pages_of_another_set_are_not_its() {
    let set = job::set("demo");
    let text = transcription(&set, &laid(&set, None).1);
    let other = SheetSet { number: "7F3K-0000".to_owned(), ..set };
    assert_eq!(kept(&other, &text), (None, Vec::new()));
}

#[test]
fn pages_that_cannot_be_are_told_and_worked_out_anew() {
    let set = job::set("demo");
    let text = transcription(&set, &laid(&set, None).1);
    let line =
        text.lines().find(|line| line.starts_with("pages = [\"13: C1 C2 ")).expect("sheet C");
    for (from, to) in [
        ("13: C1", "12: C1"),
        ("13: C1", "C1"),
        ("13: C1 C2", "13: C1"),
        ("C1 C2", "C2 C1"),
        (" C3", " C9"),
        (" C3", " C3 C3"),
        ("\"14:", "\"15:"),
        ("\"14:", "\"; 14:"),
        ("13: C1", "999999999999: C1"),
        (" 1 2", " 1 99"),
    ] {
        let altered = line.replacen(from, to, 1);
        assert_ne!(altered, line, "nothing altered: {from}");
        let (pages, told) = kept(&set, &text.replace(line, &altered));
        assert_eq!(pages, None, "{altered}");
        assert_eq!(told, ["these are not the pages of sheet C"], "{altered}");
    }
    // The first page of all says how many the index has.
    let first = text.lines().find(|line| line.starts_with("pages = ")).expect("a sheet");
    for page in ["1:", "0:", "-3:", "4000000000:", "x:"] {
        let altered = first.replacen("3:", page, 1);
        let (pages, told) = kept(&set, &text.replace(first, &altered));
        assert!(pages.is_none() && told.len() == 1, "{altered}: {told:?}");
    }
    let (pages, told) = kept(&set, &text.replace(first, "pages = []"));
    assert!(pages.is_none() && told.len() == 1, "none at all: {told:?}");
}
