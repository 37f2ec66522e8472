//! Pages more for the remarks of a sheet.

use benchleaf::diag::Diags;
use benchleaf::layout::length::Len;
use benchleaf::layout::mark::Mark;
use benchleaf::model::job::Paper;
use benchleaf::pages::worksheet::lay_remarks;
use benchleaf::sheet::Reference;

use super::{ENGINES, clean, job};
use crate::report_pages::geometry::texts;

/// Every sheet's page more for remarks: its number, a code of its own that says which
/// sheet, and lines to the foot.
#[test]
fn pages_for_further_remarks_have_number_code_and_lines() {
    for engine in ENGINES {
        let mut set = job::set(engine);
        let letters: Vec<String> = set.sheets.iter().map(|sheet| sheet.letter.clone()).collect();
        for paper in [Paper::A4, Paper::Letter] {
            set.head.paper = paper;
            let twice = [&letters[..], &letters[..1]].concat();
            let document = lay_remarks(&set, &twice, &mut Diags::new()).expect("laid");
            clean(&document);
            assert_eq!(document.pages.len(), letters.len() + 1, "the first has two");
            let mut codes = Vec::new();
            for page in &document.pages {
                let found = texts(&page.marks);
                let codes_here: Vec<Reference> =
                    found.iter().filter_map(|text| Reference::read(text)).collect();
                let [code] = codes_here.as_slice() else { panic!("{found:?}") };
                let sheet = set.sheet(&code.sheet).expect("its sheet");
                assert!(code.remarks && code.set == set.number, "{code}");
                assert_eq!(code.own.as_ref(), Some(&sheet.number));
                assert!(found.iter().any(|text| **text == sheet.number), "{found:?}");
                let width = Len::mm(if paper == Paper::A4 { 175.0 } else { 180.9 });
                let ruled = page.marks.iter().filter(|mark| match mark {
                    Mark::Line { from, to, .. } => from.y == to.y && to.x - from.x == width,
                    _ => false,
                });
                let says = |words: &str| found.iter().any(|text| **text == *words);
                let rows = sheet.lines().any(|line| line.has_boxes());
                assert!(ruled.count() > 5, "{engine} on {paper}, page {}", page.label);
                assert_eq!(says("Measured again"), rows, "{engine} on {paper}, {code}");
                for title in
                    ["Found, n.a., accepted, sent out", "Part changed, reworked", "Remarks"]
                {
                    assert!(says(title), "{engine} on {paper}, {code}: no {title}");
                }
                codes.push(code.to_string());
            }
            codes.sort();
            codes.dedup();
            assert_eq!(codes.len(), letters.len() + 1, "no two pages alike");
        }
    }
    let wrong = lay_remarks(&job::set("demo"), &["Y".to_owned()], &mut Diags::new());
    assert!(wrong.is_none());
}
