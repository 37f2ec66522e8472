//! What an auditor asks of a record: who answers for it, what came later than a
//! check, what was replaced, who released a hold point. The report is read as
//! sections, the words of the pages. Common practice, no source.

use super::Job;
use benchleaf::report::{Cell, Piece, Report, Section};

/// Words of the cells of a section, row by row.
fn rows(report: &Report, title: &str) -> Vec<Vec<String>> {
    let section: &Section = report.sections.iter().find(|s| s.title == title).expect(title);
    let texts = |row: &Vec<Cell>| row.iter().map(|cell| cell.text.clone()).collect();
    let all = section.pieces.iter().flat_map(|piece| match piece {
        Piece::Table { rows, .. } => rows.iter().map(texts).collect(),
        Piece::Grouped { groups, .. } => {
            groups.iter().flat_map(|g| std::iter::once(&g.head).chain(&g.rows)).map(texts).collect()
        }
        _ => Vec::new(),
    });
    all.collect()
}

fn row(report: &Report, title: &str, code: &str) -> Vec<String> {
    let mut rows = rows(report, title).into_iter();
    rows.find(|row| row.first().is_some_and(|own| own == code)).expect(code)
}

const FIRST: &str = "What was found, and how it is left";
const PEOPLE: &str = "People, checks and hold points";

/// Whose engine, what was out and what was done, what was renewed, what is left
/// with which margin.
#[test]
fn the_first_page_says_whose_engine_and_what_became_of_it() {
    let report = Job::last().report();
    let words = format!("{:?}", report.sections[0]);
    for said in [
        "Marram Air Tours",
        "Unit 3, Sluice Lane, Cold Fen",
        "1,894.6 h since new",
        "first overhaul",
        "2026-02-20",
        "Record complete; final when all 4 have signed",
        "main bearing half-shells, 6",
        "part number TW-1401, serial C-0588, DEMO-REL-0207",
    ] {
        assert!(words.contains(said), "{said}: {words}");
    }
    let found = row(&report, FIRST, "C2");
    assert_eq!(found[2], "out, loose by 0.0002");
    assert!(found[3].contains("measured again (JA, 2026-03-06, MIC-2B)"), "{found:?}");
    assert!(found[3].contains("part changed, new camshaft"), "{found:?}");
    let left = rows(&report, FIRST);
    let served = left.iter().find(|row| row[0] == "C2" && row[2].starts_with("bore")).unwrap();
    assert_eq!(served[2..], ["bore 1.3768", "1.3770", "0.0002", "about 90 % likely inside"]);
    // Its wear limit is 8.5 lbf, its reading 8.7.
    assert_eq!(row(&report, FIRST, "SR")[2..5], ["8.7 lbf", "8.5 lbf", "0.2"]);
    assert!(row(&report, FIRST, "IP 1")[3].contains("pipe replaced"));
}

/// Exceptions are what needs a person: what is merely near is elsewhere, once.
#[test]
fn near_a_limit_is_no_exception_and_is_told_once() {
    let report = Job::last().report();
    let near = "Appendix: near a limit, inside new";
    assert_eq!(
        row(&report, near, "N1")[2..],
        ["tightest 0.0005 L", "0.0003 L", "0.0002", "about 89 % likely inside"]
    );
    assert!(rows(&report, near).iter().all(|row| row[0] != "M2"), "told on the first page");
    assert!(rows(&report, FIRST).iter().all(|row| row[0] != "N1"), "told in the appendix");
    let words = format!("{:?}", report.sections[0].pieces);
    assert!(words.contains("No exceptions"), "{words}");
}

/// Items in order stand in one line of their sheet, those that are not in full.
#[test]
fn a_sheet_in_order_is_one_line() {
    let report = Job::last().report();
    let title = "Look-over, work steps and notes";
    assert_eq!(row(&report, title, "S")[2], "1 to 8, 10 to 13: ok; 14, 15: done");
    assert!(rows(&report, title).iter().all(|row| row.first().is_none_or(|own| own != "S 1")));
    assert!(row(&report, title, "L 3")[3].contains("clean nut binds"));
    assert!(row(&report, title, "S 9").last().unwrap().starts_with("n.a.: "));
    let open = Job::last().sheet("S", "\n1 = \"v\"", "\n1 = \"-\"").report();
    assert_eq!(row(&open, title, "S 1")[2], "blank");
}

/// A check says nothing of what was read after it: that has its own acceptance,
/// and where nobody gave one the record is not complete.
#[test]
fn what_came_later_than_the_check_has_its_own_acceptance() {
    let report = Job::last().report();
    let later = |code: &str| row(&report, PEOPLE, code);
    assert_eq!(later("EC")[2..], ["TD, 2026-03-13, DI-1", "EP by JA, 2026-03-06", "JA"]);
    assert_eq!(later("C2")[4], "nobody; replaced since");
    let alone = |inspector: &str| {
        let rest = format!("by = \"TD\"; on = 2026-03-14; gauge = \"DI-1\"{inspector}");
        Job::last().again("EK", "read", "[0.0095]", "measured again", &rest)
    };
    let found = alone("").judge().blocked_by(&["sheet EP"]);
    assert!(found.sheet("EP").contains("read after it was checked on 2026-03-06: EK"));
    assert_eq!(row(&alone("").report(), PEOPLE, "EK")[4], "nobody");
    // Whoever took the reading is no second person.
    alone("; inspector = \"TD\"").judge().blocked_by(&["sheet EP"]);
    alone("; inspector = \"JA\"").judge().ends_final();
}

/// A person whose initials stand anywhere answers for it, and has a place to sign.
#[test]
fn whoever_only_read_again_signs_too() {
    let named = |job: Job| format!("{:?}", job.report().sections[1].pieces);
    let other = Job::last().with(
        "job",
        "[people.NB]",
        "[people.ZZ]\nname = \"Zora Zell\"\nrole = \"mechanic\"\n\n[people.NB]",
    );
    assert!(!named(other.clone()).contains("Zora Zell"));
    let rest = "by = \"ZZ\"; on = 2026-03-14; gauge = \"DI-1\"; inspector = \"JA\"";
    let read = other.again("EK", "read", "[0.0095]", "measured again", rest);
    let words = named(read);
    assert!(words.contains("Zora Zell") && words.contains("measured again EK"), "{words}");
}

/// The first of two readings is as well told as the second.
#[test]
fn both_readings_say_who_when_and_with_what() {
    let report = Job::last().report();
    let row = row(&report, "Superseded readings", "TL2EX");
    assert_eq!(
        row[2..6],
        ["9.8", "RW, 2026-03-04, LDT-1", "21.4", "RW, 2026-03-05, LDT-1, seen by JA"]
    );
    let gauges = rows(&report, "Gauges and calibration");
    let gauge = gauges.iter().find(|row| row[0] == "MIC-2").unwrap();
    assert_eq!(gauge[6..], ["CAL-26-413", "2026-10-31"]);
}

#[test]
fn hold_points_say_who_released_them_and_when() {
    let report = Job::last().report();
    let holds = rows(&report, PEOPLE).into_iter().filter(|row| row[0] == "FV" || row[0] == "FM");
    let holds: Vec<Vec<String>> = holds.filter(|row| row.len() == 5).collect();
    assert_eq!(holds[0][3..], ["JA", "2026-03-18"]);
    assert_eq!(holds[1][3..], ["JA", "2026-03-19"]);
}

/// 1.4007 less 1.3727 is 0.0280: a fit that nobody judged, in no figure of it.
#[test]
fn what_is_not_judged_has_no_figure() {
    for job in [Job::first(), Job::last()] {
        let report = format!("{:?}", job.report());
        assert!(!report.contains("0.0280"), "a figure of a row in query");
        assert!(report.contains("1.4007"), "what was read stays");
    }
    let judged = Job::first().judge();
    let verdict = &judged.row("C3").last().unwrap().verdict;
    assert!(verdict.figures.iter().all(|figure| figure.name.is_read()), "{:?}", verdict.figures);
    assert!(verdict.steps.iter().all(|words| !words.contains("limit")), "{:?}", verdict.steps);
}

/// A choke is a taper with the other sign: its figures are told at one of both.
#[test]
fn a_negative_taper_is_told_as_the_choke_beside_it() {
    let report = Job::last().report();
    let (taper, choke) =
        (row(&report, "Other measurements", "BT2"), row(&report, "Other measurements", "BC2"));
    assert_eq!(taper[3..5], ["as BC2, reversed", ""]);
    assert_eq!(choke[3..5], ["taper 0.0011 to 0.0013", "0.0001"]);
}
