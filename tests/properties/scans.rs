//! Whatever scans seem to say, verdicts and status are the same, and it is told.

use super::cases;
use crate::sheet_pages::job;
use benchleaf::bundle::{How, build, read};
use benchleaf::diag::Diags;
use benchleaf::report::compared::{Boxes, Compared, FoundPage, Odd, OddBox, Stray};
use benchleaf::scan::{Scan, Scanned};
use proptest::prelude::*;

/// A row of the demonstration, what is typed for it and what the paper may say.
fn odd() -> impl Strategy<Value = OddBox> {
    let odd = prop_oneof![
        "[0-9?_]\\.[0-9?_]{4}".prop_map(Odd::Says),
        Just(Odd::Empty),
        Just(Odd::Struck),
        Just(Odd::Written),
    ];
    let rows = prop::sample::select(vec!["C1", "C2", "C3", "M1", "K1", "none such"]);
    let typed = prop::option::of("[0-9]\\.[0-9]{4}");
    let settled = prop::option::of(Just("mistyped, typed again as 1.3757".to_owned()));
    (odd, rows, typed, settled, 1_usize..4).prop_map(|(odd, row, typed, settled, number)| OddBox {
        page: "13".to_owned(),
        sheet: "C".to_owned(),
        row: row.to_owned(),
        side: "bore".to_owned(),
        number,
        name: format!("{row} bore {number}"),
        scan: "a.pdf page 3".to_owned(),
        odd,
        typed,
        settled,
    })
}

fn compared() -> impl Strategy<Value = Compared> {
    let counts = prop::array::uniform8(0_usize..400);
    let odd = prop::collection::vec(odd(), 0..30);
    (counts, odd, any::<bool>()).prop_map(|(counts, odd, refused)| {
        let [all, shown, alike, empty, wrong, unread, lost, second] = counts;
        let stray = Stray { scan: "page 3, a.pdf".to_owned(), why: "it is bent".to_owned() };
        Compared {
            typed: true,
            pages: 24,
            placed: 20,
            found: vec![FoundPage {
                page: "13".to_owned(),
                sheet: "C".to_owned(),
                scan: "a.pdf".to_owned(),
                corners: [(0, 0); 4],
            }],
            refused: if refused { vec![stray] } else { Vec::new() },
            boxes: Boxes { all, shown, alike, empty, odd: wrong, unread, lost, second },
            odd,
            each: Vec::new(),
        }
    })
}

proptest! {
    #![proptest_config(cases(40))]

    #[test]
    fn nothing_that_a_scan_says_changes_a_verdict_or_a_status(compared in compared()) {
        let mut files = job::files("demo");
        files.put("readings.toml", include_str!("../../demo/readings-final.toml"));
        let mut out = Diags::new();
        let (case, set) = read(&files, &mut out).expect("a job");
        let page = Scanned {
            file: "a.pdf".to_owned(),
            page: 1,
            of: 1,
            codes: Vec::new(),
            fault: None,
        };
        let scans = [Scan { name: "a.pdf".to_owned(), bytes: Vec::new(), pages: vec![page] }];
        let mut made = |compared| {
            let how = How { originals: &scans, compared, ..How::default() };
            build(&files, (&case, &set), how, &mut out).expect("a report")
        };
        let (without, with) = (made(None), made(Some(&compared)));
        prop_assert_eq!(&without.verdicts, &with.verdicts);
        prop_assert_eq!(without.status, with.status);
        prop_assert_eq!(&without.words, &with.words);
        // It is told all the same.
        prop_assert!(without.bytes != with.bytes);
    }
}
