//! Reports on pages: nothing lost, nothing cut, nothing on top of another.

mod fit_rows;
pub mod geometry;
mod sample;
mod tall;

use benchleaf::diag::Diags;
use benchleaf::layout::length::Len;
use benchleaf::layout::mark::{Document, Mark, Page};
use benchleaf::model::job::Paper;
use benchleaf::pages::report::{lay_report, lay_report_with_signs};
use benchleaf::record::Status;
use benchleaf::report::{Column, Piece, Report, TableGroup};

use geometry::{faults, texts};
use sample::{LONG, row, section, table};

fn laid(report: &Report) -> Document {
    let mut out = Diags::new();
    let document = lay_report(report, &mut out);
    assert!(out.is_empty(), "{out:?}");
    document.expect("nothing is lacking")
}

fn with(pieces: Vec<Piece>) -> Report {
    let mut report = sample::report(Status::Complete, Paper::A4);
    report.sections.truncate(1);
    report.sections.push(section("Pieces", true, pieces));
    report
}

fn text_of(page: &Page) -> String {
    texts(&page.marks).join(" ")
}

#[test]
fn nothing_overlaps_or_leaves_the_paper() {
    for page in &laid(&sample::crowded()).pages {
        assert_eq!(faults(page), Vec::<String>::new(), "crowded");
    }
    for status in [Status::Draft, Status::Incomplete, Status::Complete] {
        for paper in [Paper::A4, Paper::Letter] {
            let document = laid(&sample::report(status, paper));
            for page in &document.pages {
                assert_eq!(faults(page), Vec::<String>::new(), "page {}", page.label);
            }
        }
    }
}

#[test]
fn every_row_is_set_once_and_in_order() {
    let document = laid(&sample::report(Status::Complete, Paper::A4));
    let all: Vec<String> = document.pages.iter().flat_map(|page| texts(&page.marks)).collect();
    let codes = all.iter().filter_map(|text| text.strip_prefix('X')?.parse::<u32>().ok());
    assert_eq!(codes.collect::<Vec<_>>(), (1..=110).collect::<Vec<_>>());
}

#[test]
fn heads_of_tables_stand_on_every_page_of_them() {
    let document = laid(&sample::report(Status::Complete, Paper::A4));
    let mut pages = 0;
    for page in &document.pages {
        let texts = texts(&page.marks);
        if texts.iter().any(|text| text.starts_with("ring gap")) {
            pages += 1;
            assert!(texts.iter().any(|text| text == "greatest"), "page {}", page.label);
        }
        if texts.iter().any(|text| text.starts_with("cylinder 3") || text == "1 intake") {
            assert!(texts.iter().any(|text| text == "tightest"), "page {}", page.label);
        }
    }
    assert!(pages >= 3, "{pages}");
}

#[test]
fn no_letter_of_long_texts_is_lost() {
    let name = "Жуковскийgearκιβώτιο".repeat(10);
    let long = [LONG, &name];
    let cells = table(&[("a", 1, true), ("b", 1, false)], vec![row(&long), row(&long)]);
    let person = long.map(str::to_string);
    let sign = (person[1].clone(), person[0].clone(), person[1].clone(), person[0].clone());
    let mut report = with(vec![
        Piece::Heading(name.clone()),
        Piece::Paragraph(name.clone()),
        Piece::Pairs(vec![(name.clone(), name.clone())]),
        cells,
        Piece::SignOff(vec![sign]),
    ]);
    report.sections[1].title.clone_from(&name);
    report.head.engine.clone_from(&name);
    report.head.shop.clone_from(&name);
    report.title.clone_from(&name);
    let document = laid(&report);
    let page = document.pages.iter().find(|page| page.label == "2").expect("a second page");
    assert_eq!(faults(page), Vec::<String>::new());
    let together = texts(&page.marks).concat().replace(' ', "");
    // Title of the report, title of the section, engine, shop, heading,
    // paragraph, caption, value, two cells, name and certificate.
    assert_eq!(together.matches(&name).count(), 12);
}

#[test]
fn a_row_taller_than_a_page_goes_on_line_by_line() {
    let lines: Vec<String> = (1..=200).map(|n| format!("line {n} of 200")).collect();
    let tall = lines.join("\n");
    let document = laid(&with(vec![table(
        &[("no.", 1, true), ("found", 4, false)],
        vec![row(&["1", "short"]), row(&["2", &tall]), row(&["3", "after"])],
    )]));
    let mut found = Vec::new();
    for page in &document.pages[1..] {
        assert_eq!(faults(page), Vec::<String>::new());
        found.extend(texts(&page.marks).into_iter().filter(|text| text.starts_with("line ")));
    }
    assert_eq!(found, lines);
    assert!(text_of(&document.pages[1]).contains("row continued on the next page"));
    assert!(text_of(&document.pages[2]).contains("found row continued"));
}

/// What heads a group stands again where the group goes on; one that is taller
/// than a page goes on line by line and takes none of its rows with it.
#[test]
fn rows_in_groups_keep_their_head_over_the_page() {
    let columns = ["row", "what", "state"].map(|head| Column {
        head: head.to_string(),
        share: 1,
        figures: false,
    });
    let group = |title: &str, count: usize| TableGroup {
        head: row(&["BT", title]),
        rows: (1..=count).map(|n| row(&[&format!("BT{n}"), "cylinder", "inside"])).collect(),
    };
    let lines: Vec<String> = (1..=120).map(|n| format!("line {n} of 120")).collect();
    let groups = vec![group("taper to 0.0020", 90), group(&lines.join("\n"), 2)];
    let document = laid(&with(vec![Piece::Grouped { columns: columns.to_vec(), groups }]));
    let pages: Vec<String> = document.pages[1..].iter().map(text_of).collect();
    let begun = pages.iter().filter(|page| page.contains("BT taper to 0.0020")).count();
    let with_rows = pages.iter().filter(|page| page.contains("cylinder inside")).count();
    assert!(begun >= 2 && with_rows > begun, "{begun} heads on {with_rows} pages with rows");
    let all = pages.join(" ");
    assert_eq!(all.matches("cylinder inside").count(), 92);
    assert!(lines.iter().all(|line| all.contains(line)));
}

#[test]
fn exceptions_are_set_smaller_before_they_take_a_second_page() {
    let pages = |count: usize| {
        let mut report = sample::report(Status::Complete, Paper::A4);
        report.sections.truncate(1);
        let one = row(&["C2", "camshaft in crankcase", "0.0052 L", "out, loose by 0.0002"]);
        let columns =
            [("row", 1, false), ("what", 3, false), ("found", 2, true), ("state", 3, false)];
        report.sections[0].pieces = vec![table(&columns, vec![one; count])];
        laid(&report).pages.len()
    };
    // 43 rows of the usual size have room on the page.
    assert_eq!([20, 43, 55, 80].map(pages), [1, 1, 1, 2]);
}

#[test]
fn a_draft_says_so_across_every_page_and_a_final_report_nowhere() {
    let slanting = |page: &Page| {
        let path = |mark: &&Mark| matches!(mark, Mark::Path { fill: false, .. });
        page.marks.iter().take_while(path).count()
    };
    let draft = laid(&sample::report(Status::Draft, Paper::A4));
    assert!(draft.pages.iter().all(|page| slanting(page) >= 5));
    let last = laid(&sample::report(Status::Complete, Paper::A4));
    assert!(last.pages.iter().all(|page| slanting(page) == 0));
    assert!(text_of(&last.pages[0]).contains("record complete"));
}

#[test]
fn labels_are_the_printed_numbers_and_bookmarks_a_tree() {
    let document = laid(&sample::report(Status::Complete, Paper::A4));
    let count = document.pages.len();
    for (n, page) in document.pages.iter().enumerate() {
        assert_eq!(page.label, (n + 1).to_string());
        assert!(text_of(page).contains(&format!("7F3K-92QD/REPORT/{}", n + 1)));
        let texts = texts(&page.marks);
        let number = texts.iter().position(|text| *text == format!(" of {count}"));
        assert_eq!(number.map(|at| texts[at + 1].clone()), Some(page.label.clone()));
    }
    let levels: Vec<u8> = document.bookmarks.iter().map(|mark| mark.level).collect();
    assert_eq!(levels, [0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1, 1, 0, 0, 0]);
    assert!(document.bookmarks.is_sorted_by_key(|mark| mark.page));
    assert_eq!(document.language, "en");
    assert_eq!(document.author, "Cold Fen Engine Bench");
}

#[test]
fn a_letter_that_no_face_has_is_named_with_its_section() {
    let report = with(vec![Piece::Paragraph("bore gauge 漢, lapped".to_string())]);
    let mut out = Diags::new();
    assert!(lay_report(&report, &mut out).is_none());
    let said: Vec<&str> = out.iter().map(|diag| diag.message.as_str()).collect();
    let wrong = "the typefaces have no '漢' (U+6F22), which the report has in `Pieces`";
    assert_eq!(said, [wrong]);
}

#[test]
fn each_signature_has_its_room_on_the_page_of_its_block() {
    let report = sample::report(Status::Complete, Paper::A4);
    let laid = lay_report_with_signs(&report, &mut Diags::new());
    let (document, signs) = laid.expect("nothing is lacking");
    assert_eq!(signs.len(), 3);
    for sign in signs {
        assert_eq!((sign.area.w, sign.area.h), (Len::mm(80.0), Len::mm(25.0)));
        let page = &document.pages[sign.page];
        assert!(text_of(page).contains(&sign.name));
        let area = sign.area;
        let outlined =
            |mark: &Mark| matches!(mark, Mark::Rect { area: found, .. } if *found == area);
        assert!(page.marks.iter().any(outlined));
    }
}

#[test]
fn fits_with_crowded_sizes_and_long_words_stay_apart() {
    for count in 1..=9 {
        let mut groups = fit_rows::groups();
        let size = |n: i64| (format!("0.{}016 L", n % 10), 480_000 + n * 9_000);
        groups[0].ticks = (0..count).map(size).collect();
        groups[1].ticks = (0..count).map(|n| (format!("12.{n}016 T"), 1_200_000 - n)).collect();
        groups[1].service = (0, 1_000_000);
        groups[2].new = None;
        groups[2].title = LONG.to_string();
        groups[2].note = Some(LONG.to_string());
        let row = &mut groups[2].rows[1];
        row.place = LONG.to_string();
        row.why = LONG.to_string();
        row.label = "measured again".to_string();
        row.state = LONG.to_string();
        row.margin = "not stated without a wear limit".to_string();
        row.shaft.0 = "1234567.1234567".to_string();
        row.loosest = "1234567.1234567 L".to_string();
        row.marker = None;
        let document = laid(&with(vec![Piece::Fits(groups)]));
        for page in &document.pages {
            assert_eq!(faults(page), Vec::<String>::new(), "{count} sizes");
        }
    }
}

#[test]
fn a_fit_group_goes_on_with_its_title_and_its_code() {
    let mut groups = fit_rows::groups();
    let cams = groups.remove(1);
    let mut long = cams.clone();
    long.rows = cams.rows.iter().cycle().take(40).cloned().collect();
    let document = laid(&with(vec![Piece::Fits(vec![long])]));
    let again = texts(&document.pages[2].marks);
    assert!(again.contains(&"Camshaft in crankcase, continued".to_string()));
    let first = again.iter().find(|text| ["C1", "C2", "C3"].contains(&text.as_str()));
    assert!(first.is_some(), "{again:?}");
}

/// A section's title, what it says and the head of its table are never left at
/// the foot of a page without a row, wherever the section falls.
#[test]
fn a_title_stands_with_the_first_row_of_its_table() {
    let mut turned = 0;
    for filling in 30..70 {
        let rows = (0..filling).map(|n| row(&[&format!("F{n}")])).collect();
        let mut report = with(vec![table(&[("Filling", 1, false)], rows)]);
        let gauges = vec![row(&["first gauge"]), row(&["second gauge"])];
        let mut after =
            section("Gauges looked at", false, vec![table(&[("No.", 1, false)], gauges)]);
        after.text = Some("Uncertainties are expanded, k = 2.".to_string());
        report.sections.push(after);
        let document = laid(&report);
        let says = |text: &str| {
            let holds = |page: &Page| texts(&page.marks).iter().any(|run| run.contains(text));
            document.pages.iter().position(holds).expect("it is laid")
        };
        let (lead, first) = (says("Uncertainties are"), says("first gauge"));
        assert_eq!(lead, first, "{filling} rows before it");
        turned += usize::from(lead > says(&format!("F{}", filling - 1)));
    }
    assert!(turned > 0, "none of them came to the foot of a page");
}
