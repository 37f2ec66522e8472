//! `compare --scans`: blank printed sheets, drawn by poppler, stand for scans; what
//! people write is judged from outside (`tests/oracles/reading.py`), and where pages
//! lie (`tests/oracles/placing.py`).

use super::script::Script;
use crate::sheet_pages::job;
use benchleaf::bundle::{read, read_compared};
use benchleaf::diag::Diags;
use benchleaf::scan::Looks;
use serde_json::Value;

/// The page of sheet C with C1 and C2, and the demonstration in `job`.
const PAGE: usize = 11;

impl Script {
    /// One page as scanned into the job's own folder.
    fn with_scan(self, page: usize) -> Script {
        let scan = self.drawn("job/sheets.pdf", page, 200).png();
        self.write("job/originals/c.png", scan);
        self
    }
}

#[test]
fn before_anything_is_typed_empty_boxes_are_named_and_nothing_else() {
    let script = Script::blank().with_scan(PAGE);
    let before = script.listing();
    let ran = script.run("compare job --scans").status(0);
    ran.says("nothing is typed yet")
        .says_on_a_line(&["page 11:", "empty"])
        .says_on_a_line(&["C1 shaft 1, C1 shaft 2"])
        .says("1 of 24 pages with boxes for figures found on the scans")
        .never_says("seems to say")
        .never_says("difference");
    assert_eq!(script.listing(), before, "something was written");
}

#[test]
fn what_is_typed_and_not_on_paper_is_told_and_nothing_is_changed() {
    let script = Script::first().with_scan(PAGE);
    let kept = script.read("job/readings.toml");
    let ran = script.run("compare job --scans --pdf odd.pdf").status(1);
    ran.says_on_a_line(&["page 11", "sheet C", "c.png"])
        .says_on_a_line(&["C2 bore 1", "empty on paper, typed 1.3767"])
        .says_on_a_line(&["odd.pdf: "]);
    assert_eq!(script.read("job/readings.toml"), kept);
    let words = script.words("odd.pdf");
    for part in ["C2 bore 1", "empty on paper, typed 1.3767", "counts as no person", "SCANS"] {
        assert!(words.contains(part), "no '{part}' on the pages");
    }
    // The same for machines, of a file that is named.
    let ran = script.run("compare job --scans job/originals/c.png --json").status(1);
    let said: Value = serde_json::from_str(&ran.out).expect("JSON");
    assert_eq!(said["schema"], "benchleaf-scans-1");
    assert_eq!(said["found"][0]["page"], "11");
    let all = said["differences"].as_array().expect("a list");
    let one = |odd: &&Value| odd["row"] == "C2" && odd["side"] == "bore" && odd["box"] == 1;
    let odd = all.iter().find(one).expect("C2 bore 1");
    assert_eq!(odd["what"], "empty");
    assert_eq!(odd["typed"], "1.3767");
    assert_eq!(odd["paper"], Value::Null);
    let count = said["boxes"]["on_scans"].as_u64().expect("a count");
    assert_eq!(said["each"].as_array().map(Vec::len), Some(count as usize));
}

#[test]
fn a_page_whose_lines_do_not_lie_there_is_refused_by_a_word() {
    let script = Script::first();
    let mut page = script.drawn("job/sheets.pdf", PAGE, 200);
    // The body of the page is 9 mm lower than its head.
    let (from, by) = (300 * page.width, 70 * page.width);
    page.dots.copy_within(from..from + (page.height - 400) * page.width, from + by);
    page.dots[from..from + by].fill(255);
    script.write("job/originals/c.png", page.png());
    let ran = script.run("compare job --scans").status(1);
    ran.says_on_a_line(&["page 11, c.png could not be placed", "lines printed on it"])
        .says("0 of 24 pages")
        .says("0 differences");
    // The report says so too, and its status is the same.
    let ran = script.run("report job --draft").status(1);
    ran.says_on_a_line(&["scans: page 11, c.png could not be placed"]);
    let words = script.words("job/report.pdf");
    assert!(words.contains("Scans compared with the transcription"), "{words}");
    assert!(words.contains("could not be placed"), "{words}");
}

#[test]
fn the_report_tells_what_differs_and_proves_good() {
    let script = Script::demo().with_scan(PAGE);
    let plain = script.run("check job").out;
    // The demonstration's report came without.
    assert!(script.words("job/report.pdf").contains("No scans of the filled sheets"));
    let ran = script.run("report job").status(1);
    ran.says("record complete").says_on_a_line(&["scans: 1 of 24 pages"]);
    assert_eq!(script.run("check job").out, plain);
    let words = script.words("job/report.pdf");
    for part in ["Scans compared with the transcription", "not settled", "counts as no person"] {
        assert!(words.contains(part), "no '{part}' on the pages");
    }
    assert!(!words.contains("No scans of the filled sheets"));
    script.bring("demo/throw-away-JA.pem", "ja.pem");
    script.run("sign job/report.pdf --key ja.pem --as JA --out signed.pdf").status(0);
    script.run("verify signed.pdf").status(0).says_on_a_line(&["good", "pages", "byte for byte"]);
}

#[test]
fn a_wrong_call_is_told() {
    let script = Script::first();
    script.run("compare job --scans").status(2).complains("no scan in it");
    script.run("compare job job --scans").status(2);
    script.run("compare job").status(2);
    script.run("compare job job --pdf odd.pdf").status(2).complains("go with --scans");
    script.run("compare job --scans nothing.png").status(2).complains("nothing.png");
    script.write("one/c.png", "no picture").write("two/c.png", "no picture");
    script.run("compare job --scans one two").status(2).complains("two scans are called c.png");
    let ran = script.run("compare job --scans one/c.png").status(1);
    ran.says_on_a_line(&["not matched: c.png", "neither a PDF nor a PNG nor a JPEG picture"]);
}

/// However many pages a file has, and reports within it: so many are compared.
#[test]
fn no_more_pages_are_compared_than_may_be() {
    let script = Script::demo();
    let drawn = |page| script.drawn("job/sheets.pdf", page, 150).png();
    let scans = [PAGE, PAGE + 1].map(|page| (format!("{page}.png"), drawn(page)));
    let mut files = job::files("demo");
    files.put("readings.toml", include_str!("../../demo/readings-final.toml"));
    let (case, set) = read(&files, &mut Diags::new()).expect("a job");
    let mut looks = Looks::default();
    looks.pages = 1;
    let mut compared = || {
        let what = (&set, case.record.as_ref());
        read_compared(what, scans.to_vec(), &mut looks).1.expect("something is typed")
    };
    let first = compared();
    assert_eq!((first.found.len(), first.refused.len()), (1, 1), "{:?}", first.refused);
    assert_eq!(first.refused[0].why, "there are more pages than are compared");
    // What is left is that of all who look.
    assert_eq!(compared().found.len(), 0);
}
