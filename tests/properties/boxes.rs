//! Every box on paper has its place in the transcription, and every key of the
//! transcription its ink on paper; with all of it answered the record is final,
//! with any one of it blank it is not.

use super::asked::{Asked, asked, typed, widened};
use super::drawn::{expanded, verdicts};
use super::{cases, drawn};
use benchleaf::diag::{Diags, Sources};
use benchleaf::judge::{BoxKind, Look};
use benchleaf::layout::length::Len;
use benchleaf::layout::mark::{Area, Mark, Page, Point, Step};
use benchleaf::pages::worksheet::{Filled, lay_filled};
use benchleaf::sheet::{LineRows, Pages, Sheet, SheetSet, transcription};
use proptest::prelude::*;
use std::collections::BTreeMap;

/// Everything on paper, all marks of one kind; leaves tried go in or do not.
fn written(all: &[Asked], set: &SheetSet, mark: &str) -> Filled {
    let mut filled = Filled::new();
    for (at, texts) in all.iter().flat_map(|one| &one.ink) {
        let texts = match at.1.as_str() {
            "marks" => texts.iter().map(|_| Some(mark.to_owned())).collect(),
            _ => texts.clone(),
        };
        filled.insert(at.clone(), texts);
    }
    for line in lines(set).filter(|line| is_feeler(line)) {
        let told = if mark == "x" { "refused" } else { "entered" };
        let leaf = Some(format!("1, 0.003, {told}"));
        filled.insert((line.rows[0].code.clone(), "leaves".to_owned()), vec![leaf; 4]);
    }
    filled
}

fn lines(set: &SheetSet) -> impl Iterator<Item = &LineRows> {
    set.sheets.iter().flat_map(Sheet::lines)
}

fn is_feeler(line: &LineRows) -> bool {
    line.groups.iter().any(|group| matches!(group.shape, BoxKind::Marks { .. }))
}

/// The pages of one sheet.
fn pages(set: &SheetSet, letter: &str, filled: Option<&Filled>) -> (Vec<Page>, Pages) {
    let mut out = Diags::new();
    let laid = lay_filled(set, Some(&[letter.to_owned()]), filled, &mut out);
    let (document, pages) = laid.unwrap_or_else(|| panic!("{out:#?}"));
    (document.pages, pages)
}

/// Where ink stands that the blank page has not.
fn ink(blank: &Page, page: &Page) -> Vec<Point> {
    let printed = &blank.marks;
    let new = page.marks.iter().filter(|mark| !printed.contains(mark));
    let point = |mark: &Mark| match mark {
        Mark::Run(run) => Some(run.at),
        Mark::Line { from, .. } => Some(*from),
        Mark::Path { steps, .. } => steps.iter().find_map(|step| match step {
            Step::To(point) => Some(*point),
            _ => None,
        }),
        _ => None,
    };
    new.filter_map(point).collect()
}

/// A box to write in: its kind and where it is on the page.
fn boxes_of(page: &Page) -> Vec<(&'static str, Area)> {
    let kinds = [("tick-box", "tick"), ("mark-box", "mark"), ("box-", "box")];
    let kinds = [&kinds[..], &[("comb-", "comb"), ("date", "date"), ("ring-", "ring")]].concat();
    let found = page.marks.iter().filter_map(|mark| match mark {
        Mark::Stamp { at, stamp } => {
            let (_, kind) = kinds.iter().find(|(name, _)| stamp.name.starts_with(name))?;
            Some((*kind, Area { x: at.x, y: at.y, w: stamp.size.0, h: stamp.size.1 }))
        }
        _ => None,
    });
    found.collect()
}

fn holds(area: &Area, point: &Point) -> bool {
    let slack = Len::mm(0.8);
    area.x - slack < point.x
        && point.x < area.x + area.w + slack
        && area.y - slack < point.y
        && point.y < area.y + area.h + slack
}

/// How many boxes of each kind stay without ink, whatever is written.
fn bare(set: &SheetSet, letter: &str, filled: &[Filled]) -> BTreeMap<&'static str, usize> {
    let (blank, _) = pages(set, letter, None);
    let inked: Vec<Vec<Page>> =
        filled.iter().map(|filled| pages(set, letter, Some(filled)).0).collect();
    let mut bare = BTreeMap::new();
    for (n, page) in blank.iter().enumerate() {
        let points: Vec<Point> = inked.iter().flat_map(|pages| ink(page, &pages[n])).collect();
        for (kind, area) in boxes_of(page) {
            let here = points.iter().filter(|point| holds(&area, point)).count();
            if here == 0 {
                *bare.entry(kind).or_default() += 1;
            }
        }
    }
    bare
}

/// Boxes on paper that have no key of their own, and why: how many of each kind
/// a sheet of so many pages has.
fn excepted(sheet: &Sheet) -> BTreeMap<&'static str, usize> {
    let mut all: BTreeMap<&'static str, usize> = BTreeMap::new();
    let mut add = |kind, count| *all.entry(kind).or_default() += count;
    for line in sheet.lines() {
        let rows = line.rows.len();
        // What the mechanic subtracts on paper; the program works it out anew.
        add("comb", rows * line.answers.len());
        if !line.has_boxes() {
            continue;
        }
        let comb =
            |group: &&benchleaf::judge::BoxGroup| matches!(group.shape, BoxKind::Comb { .. });
        let combs: Vec<_> = line.groups.iter().filter(comb).collect();
        if is_feeler(line) {
            // The two leaves are in hand; how many teeth have both ticks.
            add("tick", 2);
            add("comb", rows - rows * line.answers.len());
        } else if combs.len() == 2 {
            // Where the mechanic sees the reading in the bands.
            for group in combs {
                let over = line.scales.iter().filter(|scale| scale.over == Some(group.key));
                let mut words: Vec<&str> = over
                    .flat_map(|scale| &scale.bands)
                    .filter(|band| band.look != Look::Dotted)
                    .map(|band| band.word.as_str())
                    .collect();
                words.sort_unstable();
                words.dedup();
                add("tick", rows * words.len());
            }
        }
    }
    all.retain(|_, count| *count > 0);
    all
}

/// Lines for measuring again, which are typed under [[again]], and for a row
/// that does not apply, typed as its `na`: on the last page of a sheet that
/// measures, and on those before it that have room. The boxes of the lines for what
/// was found, for parts and for another person are no stamps and are not counted.
fn again_on(page: &Page) -> usize {
    let lines = page.marks.iter().filter(
        |mark| matches!(mark, Mark::Stamp { stamp, .. } if stamp.name.starts_with("again-")),
    );
    lines.count()
}

fn status(files: &mut Sources, pages: &Pages, text: String) -> (String, String) {
    files.put("readings.toml", text);
    let seen = verdicts(files, pages);
    (seen["status"].as_str().unwrap().to_owned(), seen.to_string())
}

proptest! {
    #![proptest_config(cases(120))]

    #[test]
    fn every_box_on_paper_has_its_key_and_every_key_its_ink((mut job, mut tape) in drawn()) {
        let files = widened(&mut job, &mut tape);
        let (_, set) = expanded(&files);
        let all = asked(&transcription(&set, &Pages::default()), &job);
        let marks = ["v", "x", "n"].map(|mark| written(&all, &set, mark));
        for sheet in &set.sheets {
            let seen = bare(&set, &sheet.letter, &marks);
            prop_assert_eq!(&seen, &excepted(sheet), "{}", sheet.letter);
            let measures = sheet.lines().any(LineRows::has_boxes);
            let (printed, places) = pages(&set, &sheet.letter, None);
            let feet: Vec<usize> = printed.iter().map(again_on).collect();
            let last = feet.last().copied().unwrap_or_default();
            prop_assert_eq!(last > 0, measures, "{} {:?}", sheet.letter, feet);
            // Before it only where something is measured.
            let rows: Vec<&str> =
                sheet.lines().flat_map(|line| &line.rows).map(|row| places.row(&row.code)).collect();
            for (page, lines) in printed.iter().zip(&feet).take(feet.len() - 1) {
                let here = rows.iter().any(|row| *row == page.label);
                prop_assert!(*lines == 0 || here, "{} {}", sheet.letter, page.label);
            }
            // Every key shows: without it another page is drawn.
            let (whole, _) = pages(&set, &sheet.letter, Some(&marks[0]));
            let own: Vec<_> = all.iter().filter(|one| one.sheet == sheet.letter).collect();
            for _ in 0..6 {
                let one = own[tape.below(own.len())];
                let (at, _) = &one.ink[tape.below(one.ink.len())];
                let mut less = marks[0].clone();
                less.remove(at);
                let other = pages(&set, &sheet.letter, Some(&less)).0;
                prop_assert!(other != whole, "{at:?} shows nowhere on paper");
            }
            // Planted: a key that the transcription has not leaves its box bare.
            let less = marks.clone().map(|mut filled| {
                filled.retain(|(of, part), _| {
                    *of != format!("sheet {}", sheet.letter) || !part.ends_with(" by")
                });
                filled
            });
            let planted = less.iter().zip(&marks).any(|(less, all)| less.len() < all.len());
            let other = bare(&set, &sheet.letter, &less);
            prop_assert!(other != seen || !planted, "{}", sheet.letter);
        }
    }

    #[test]
    fn all_answered_is_final_and_one_blank_is_not((mut job, mut tape) in drawn()) {
        let mut files = widened(&mut job, &mut tape);
        let (_, set) = expanded(&files);
        let pages = Pages::default();
        let blank = transcription(&set, &pages);
        let all = asked(&blank, &job);
        let (word, seen) = status(&mut files, &pages, typed(&blank, &all, None));
        prop_assert_eq!(word, "complete", "{}\n{}", seen, typed(&blank, &all, None));
        // What may stay blank may stay blank all at once.
        let wanted: Vec<Asked> = all.iter().filter(|one| one.free.is_none()).cloned().collect();
        prop_assert_eq!(status(&mut files, &pages, typed(&blank, &wanted, None)).0, "complete");
        let blanks: Vec<(usize, &str)> = wanted
            .iter()
            .flat_map(|one| one.blanks.iter().map(|blank| (one.line, blank.as_str())))
            .collect();
        let held = |(line, _): &&(usize, &str)| {
            wanted.iter().any(|one| one.line == *line && one.key.starts_with("hold"))
        };
        let some: Vec<_> = (0..16).map(|_| blanks[tape.below(blanks.len())]).collect();
        for (line, left) in some.iter().chain(blanks.iter().filter(held)) {
            let text = typed(&blank, &wanted, Some((*line, left)));
            let (word, _) = status(&mut files, &pages, text);
            prop_assert_ne!(word, "complete", "final with {}", left);
        }
    }
}
