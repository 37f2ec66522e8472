//! The longest text that a file may hold (2,048 bytes), at every place of every
//! table of the demonstration's report, on both papers: all its words stand
//! inside the margins with nothing over them, or the report is refused with the
//! text named.

use super::geometry::{faults, texts};
use super::{LONG, row, sample, section, table};
use crate::record::Job;
use benchleaf::analysis::wear::{self, wear};
use benchleaf::diag::Diags;
use benchleaf::layout::mark::Document;
use benchleaf::model::job::Paper;
use benchleaf::pages::report::lay_report;
use benchleaf::record::Status;
use benchleaf::report::sections::{ReportInput, report};
use benchleaf::report::{FitLine, Original, Originals, Piece, Report, Section};

/// 341 words, each another, in as many bytes as one text may have.
fn longest() -> String {
    let words: Vec<String> = (0..341).map(|n| format!("w{n:04}")).collect();
    format!("{}...", words.join(" "))
}

/// The demonstration's report with the wear since a job like it and a scanned
/// page.
fn demonstration_whole() -> Report {
    let job = Job::last();
    let (case, set) = job.expanded();
    let judged = job.judge().judged;
    let same = || wear::Job { case: &case, set: &set, judged: &judged };
    let history = wear(same(), same()).expect("one engine");
    let [page, sheet, reference] = ["13", "C", "7F3K-92QD/C/1/4T7X"].map(str::to_owned);
    let scans = vec!["sheet-c.pdf page 1".to_owned()];
    let pages = vec![Original { page, sheet, reference, scans }];
    let told = ReportInput {
        case: &case,
        set: &set,
        record: case.record.as_ref().expect("the demonstration is typed in"),
        judged: &judged,
        pages: &Default::default(),
        originals: Some(&Originals { pages, ..Originals::default() }),
        history: Some(&history),
        arithmetic: true,
    };
    report(&told, false)
}

/// Three rows of each of its tables, and two tables that it does not have.
fn demonstration() -> Report {
    let mut report = demonstration_whole();
    let crowded = sample::report(Status::Complete, Paper::A4);
    report.sections[0].pieces.extend(crowded.sections[0].pieces.clone());
    report.sections.push(section("More", true, crowded.sections[2].pieces.clone()));
    for piece in report.sections.iter_mut().flat_map(|section| &mut section.pieces) {
        match piece {
            Piece::Table { rows, .. } => rows.truncate(3),
            Piece::Grouped { groups, .. } => {
                groups.truncate(3);
                groups.iter_mut().for_each(|group| group.rows.truncate(3));
            }
            Piece::Fits(groups) => groups.drain(..1).for_each(drop),
            _ => {}
        }
    }
    report
}

/// A place for a text, and whether a page always has room for what stands
/// there: it can be broken over pages.
type Place<'a> = (&'a mut String, bool);

fn places(section: &mut Section) -> Vec<Place<'_>> {
    let mut found: Vec<Place<'_>> = section.text.iter_mut().map(|text| (text, true)).collect();
    for piece in &mut section.pieces {
        match piece {
            Piece::Heading(text) | Piece::Paragraph(text) => found.push((text, true)),
            Piece::Pairs(pairs) => {
                let ends = pairs.iter_mut().take(2);
                found.extend(ends.flat_map(|(caption, value)| [(caption, true), (value, true)]));
            }
            Piece::Table { rows, .. } => {
                let cells = rows.first_mut().into_iter().flatten();
                found.extend(cells.map(|cell| (&mut cell.text, true)));
            }
            Piece::Grouped { groups, .. } => {
                for group in groups.iter_mut().take(2) {
                    found.extend(group.head.iter_mut().map(|cell| (&mut cell.text, true)));
                    let cells = group.rows.first_mut().into_iter().flatten();
                    found.extend(cells.map(|cell| (&mut cell.text, true)));
                }
            }
            Piece::Fits(groups) => {
                for group in groups.iter_mut().take(2) {
                    found.push((&mut group.title, false));
                    found.extend(group.note.iter_mut().map(|text| (text, true)));
                    found.extend(group.rows.iter_mut().take(3).flat_map(of_fit));
                }
            }
            Piece::SignOff(people) => {
                if let Some((name, role, number, what)) = people.first_mut() {
                    found.extend([name, role, number, what].map(|text| (text, false)));
                }
            }
        }
    }
    found
}

fn of_fit(line: &mut FitLine) -> [Place<'_>; 5] {
    [&mut line.place, &mut line.label, &mut line.why, &mut line.margin, &mut line.state]
        .map(|text| (text, true))
}

fn laid(sections: [&Section; 2], of: &Report, out: &mut Diags) -> Option<Document> {
    let sections = sections.map(Clone::clone).to_vec();
    lay_report(&Report { sections, ..of.clone() }, out)
}

fn holds_all(document: &Document, long: &str, of: &str) {
    for page in &document.pages {
        assert_eq!(faults(page), Vec::<String>::new(), "{of}, page {}", page.label);
    }
    let found: Vec<String> = document.pages.iter().flat_map(|page| texts(&page.marks)).collect();
    let found = found.join(" ");
    for word in long.split(' ') {
        let capital = word.replacen('w', "W", 1);
        assert!(found.contains(word) || found.contains(&capital), "{of}: {word} is lost");
    }
}

/// A page may begin with any of them.
#[test]
fn every_step_of_a_fit_says_whose_it_is() {
    let report = demonstration();
    let pieces = report.sections.iter().flat_map(|section| &section.pieces);
    let groups = pieces.filter_map(|piece| match piece {
        Piece::Fits(groups) => Some(groups),
        _ => None,
    });
    let lines: Vec<&FitLine> = groups.flatten().flat_map(|group| &group.rows).collect();
    assert!(lines.iter().all(|line| !line.code.is_empty()), "a step without its row");
    let later = |pair: &&[&FitLine]| pair[0].code == pair[1].code;
    let steps: Vec<_> = lines.windows(2).filter(later).collect();
    assert!(steps.len() >= 5, "the camshaft's rows were measured again");
    assert!(steps.iter().all(|pair| pair[0].place == pair[1].place));
}

#[test]
fn every_line_of_a_table_says_whose_it_is() {
    let report = demonstration_whole();
    let pieces = report.sections.iter().flat_map(|section| &section.pieces);
    let mut steps = 0;
    for piece in pieces {
        let (columns, rows): (_, Vec<_>) = match piece {
            Piece::Table { columns, rows } => (columns, rows.iter().collect()),
            Piece::Grouped { columns, groups } => {
                (columns, groups.iter().flat_map(|group| &group.rows).collect())
            }
            _ => continue,
        };
        assert!(rows.iter().all(|row| !row[0].text.is_empty()), "{}", columns[0].head);
        let codes = rows.iter().filter(|_| columns[0].head == "row").map(|row| &row[0].text);
        steps += codes.clone().zip(codes.skip(1)).filter(|(one, next)| one == next).count();
    }
    assert!(steps >= 5, "the camshaft was changed: its rows have several steps");
}

#[test]
fn the_longest_text_is_on_the_pages_or_refused_wherever_it_stands() {
    let (long, mut report) = (longest(), demonstration());
    assert_eq!(long.len(), benchleaf::template::LONGEST);
    let first = section("First", true, vec![table(&[("a", 1, false)], vec![row(&[LONG])])]);
    for paper in [Paper::A4, Paper::Letter] {
        report.head.paper = paper;
        let (mut broken, mut refused) = (0, 0);
        for section in &report.sections {
            for n in 0..places(&mut section.clone()).len() {
                match on_pages(&report, [&first, section], n, &long) {
                    true => broken += 1,
                    false => refused += 1,
                }
            }
        }
        assert!(broken > 150 && refused > 2, "{paper}: {broken} and {refused}");
    }
}

/// Whether a section with the text at one of its places has room on pages.
fn on_pages(report: &Report, [first, section]: [&Section; 2], n: usize, long: &str) -> bool {
    let mut changed = section.clone();
    let (place, breaks) = places(&mut changed).swap_remove(n);
    let of = format!("{}, {n}: {place:?}", section.title);
    long.clone_into(place);
    let mut out = Diags::new();
    if let Some(document) = laid([first, &changed], report, &mut out) {
        holds_all(&document, long, &of);
        return true;
    }
    assert!(!breaks, "{of}: {out:?}");
    let said: Vec<&str> = out.iter().map(|diag| diag.message.as_str()).collect();
    assert_eq!(said.len(), 1, "{of}: {said:?}");
    let begins = format!("`{}`, with `", section.title);
    assert!(said[0].starts_with(&begins), "{of}: {said:?}");
    assert!(said[0].to_lowercase().contains("w0000"), "{of}: {said:?}");
    assert!(said[0].ends_with("is taller than a page"), "{of}: {said:?}");
    false
}

#[test]
fn a_long_head_or_foot_is_on_the_page_or_refused() {
    let (long, report) = (longest(), demonstration());
    let laid = |change: fn(&mut Report) -> &mut String| {
        let mut report = report.clone();
        change(&mut report).clone_from(&long);
        let mut out = Diags::new();
        let document = lay_report(&report, &mut out);
        match &document {
            Some(document) => holds_all(document, &long, "head and foot"),
            None => {
                let first = out.iter().next().expect("one at least");
                assert_eq!(
                    first.message,
                    "no room for `What was found, and how it is left` between head and foot of a page"
                );
                assert!(first.help.contains("serial number, limits, document, shop"));
            }
        }
        document.is_some()
    };
    assert!(!laid(|report| &mut report.head.document));
    assert!(!laid(|report| &mut report.head.serial));
    assert!(laid(|report| &mut report.head.shop));
    assert!(laid(|report| &mut report.disclaimer));
}

/// Two lists of a sheet may ask for the same of two parts: the record says of
/// which each answer is.
#[test]
fn every_item_of_a_sheet_says_what_it_is_of() {
    let report = demonstration_whole();
    let pieces = report.sections.iter().flat_map(|section| &section.pieces);
    let groups = pieces.filter_map(|piece| match piece {
        Piece::Grouped { groups, columns } if columns[0].head == "item" => Some(groups),
        _ => None,
    });
    let mut items = 0;
    for group in groups.flatten() {
        let mut seen = std::collections::BTreeSet::new();
        for row in &group.rows {
            assert!(seen.insert(&row[1].text), "{} twice: {}", group.head[1].text, row[1].text);
            items += 1;
        }
    }
    assert!(items > 30, "{items}");
}
