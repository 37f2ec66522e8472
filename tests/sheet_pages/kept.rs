//! The pages of a print, kept in its transcription.

use super::{job, laid};
use benchleaf::bundle::{How, build, read};
use benchleaf::diag::{Diags, Sources};
use benchleaf::load;
use benchleaf::model::job::Paper;
use benchleaf::model::record::Record;
use benchleaf::report::Originals;
use benchleaf::scan::{Scan, Scanned};
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
    let other = SheetSet { number: "7F3K-0000".to_owned(), ..set.clone() };
    assert_eq!(kept(&other, &text), (None, Vec::new()));
    // A second person's sheets break into other pages.
    let blind = kept(&set, &format!("blind = true\n{text}"));
    assert_eq!(blind, (None, Vec::new()));
}

#[test]
fn pages_that_cannot_be_are_told_and_worked_out_anew() {
    let set = job::set("demo");
    let pages = laid(&set, None).1;
    let text = transcription(&set, &pages);
    let first: usize = pages.sheet("T").parse().expect("a page");
    let start = format!("pages = [\"{first}: T1IN T1EX ");
    let line = text.lines().find(|line| line.starts_with(&start)).expect("sheet T");
    let [first, before] = [first, first - 1].map(|page| format!("{page}: T1IN"));
    let [second, third] =
        [1, 2].map(|n| format!("\"{}:", pages.sheet("T").parse::<usize>().unwrap() + n));
    let torn = second.replace('"', "\"; ");
    for (from, to) in [
        (first.as_str(), before.as_str()),
        (&first, "T1IN"),
        (" T1EX", ""),
        ("T1IN T1EX", "T1EX T1IN"),
        (" T4EX", " T9EX"),
        (" T4EX", " T4EX T4EX"),
        // A row of another sheet.
        (" T4EX", " T4EX C1"),
        (&second, &third),
        (&second, &torn),
        (&first, "999999999999: T1IN"),
        (" 1 2", " 1 99"),
    ] {
        let altered = line.replacen(from, to, 1);
        assert_ne!(altered, line, "nothing altered: {from}");
        let (pages, told) = kept(&set, &text.replace(line, &altered));
        assert_eq!(pages, None, "{altered}");
        assert_eq!(told, ["these are not the pages of sheet T"], "{altered}");
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
    // Taken out, there is nothing to say of it.
    assert_eq!(kept(&set, &text.replace(first, "")), (None, Vec::new()));
}

/// The scans of these pages held against the set of a transcription, and what is
/// told.
fn counted<'a>(text: &str, codes: impl Iterator<Item = &'a str>) -> (Originals, Vec<String>) {
    let mut files = job::files("demo");
    files.put("readings.toml", text);
    let page = |(at, code): (usize, &str)| Scanned {
        file: "scans.pdf".to_owned(),
        page: at + 1,
        of: 99,
        codes: vec![code.to_owned()],
        fault: None,
    };
    let pages = codes.enumerate().map(page).collect();
    let scans = [Scan { name: "scans.pdf".to_owned(), bytes: Vec::new(), pages }];
    let mut out = Diags::new();
    let (case, set) = read(&files, &mut out).expect("a job");
    let how = How { originals: &scans, ..How::default() };
    let built = build(&files, (&case, &set), how, &mut out);
    let built = built.unwrap_or_else(|| panic!("{:?}", out.plain(&files)));
    let told = out.iter().map(|diag| diag.message.clone()).collect();
    (built.originals.expect("scans are carried"), told)
}

#[test]
fn every_page_is_there_on_whichever_paper_it_was_printed() {
    let mut set = job::set("demo");
    for paper in [Paper::A4, Paper::Letter] {
        set.head.paper = paper;
        let (_, pages) = laid(&set, None);
        let codes = pages.printed().iter().map(|page| page.reference.as_str());
        let (originals, told) = counted(&transcription(&set, &pages), codes);
        assert!(originals.whole(), "{paper}: {:?}", originals.words());
        assert_eq!(told, [""; 0], "{paper}");
    }
}

#[test]
fn a_page_taken_off_its_list_is_missing_all_the_same() {
    let set = job::set("demo");
    let (_, pages) = laid(&set, None);
    // The last rows of sheet W on the page before, and so on after them.
    let cut: usize = pages.row("W4EX").parse().expect("a page");
    assert_ne!(pages.row("W1IN"), pages.row("W4EX"), "a sheet of two pages");
    let before = |page: &str| match page.parse::<usize>().expect("a page") {
        page if page >= cut => (page - 1).to_string(),
        page => page.to_string(),
    };
    let cut = cut.to_string();
    let mut fewer = Pages::default();
    for page in pages.printed().iter().filter(|page| page.page != cut) {
        fewer.put_printed(&before(&page.page), &page.sheet, &page.reference);
    }
    for sheet in &set.sheets {
        for row in sheet.lines().flat_map(|line| &line.rows) {
            fewer.put_field(&row.code, &before(pages.row(&row.code)));
        }
        for number in super::items(&sheet.blocks) {
            let page = before(pages.item(&sheet.letter, number));
            fewer.put_field(&format!("{} {number}", sheet.letter), &page);
        }
    }
    let text = transcription(&set, &fewer);
    let (kept, told) = kept(&set, &text);
    assert_eq!(told, [""; 0], "it looks like a print");
    assert_eq!(kept.expect("pages").printed().len() + 1, pages.printed().len());

    let there = pages.printed().iter().filter(|page| page.page != cut);
    let (originals, told) = counted(&text, there.map(|page| page.reference.as_str()));
    let missing: Vec<&str> = originals.missing().map(|page| page.page.as_str()).collect();
    assert_eq!(missing, [cut]);
    assert_eq!(told, ["no print on A4 or Letter has the pages that are kept under the sheets"]);
}
