//! Scans of the filled sheets held against the printed pages by their codes.

use crate::model::record::Record;
use crate::record::sheets_typed;
use crate::report::{Original, Originals, Stray};
use crate::scan::Scanned;
use crate::sheet::{Pages, Reference, is_set};

/// Where a code belongs.
enum Found {
    Page(usize),
    Second(Reference),
    Remarks(Reference),
    Superseded(String),
    Stray(String),
}

/// Finds the page of each scan by its code.
pub fn matched(scanned: &[Scanned], pages: &Pages, set: &str, record: &Record) -> Originals {
    let printed = pages.printed().iter().map(|printed| Original {
        page: printed.page.clone(),
        sheet: printed.sheet.clone(),
        reference: printed.reference.clone(),
        scans: Vec::new(),
    });
    let mut originals = Originals { pages: printed.collect(), ..Originals::default() };
    for scan in scanned {
        let mut known = false;
        let mut others: Vec<String> = Vec::new();
        for code in &scan.codes {
            match originals.find(code, set) {
                Found::Page(at) => {
                    known = true;
                    originals.pages[at].scans.push(place(scan, code, set));
                }
                Found::Second(reference) => {
                    known = true;
                    put(&mut originals.second, &reference, place(scan, code, set));
                }
                Found::Remarks(reference) => {
                    known = true;
                    put(&mut originals.remarks, &reference, place(scan, code, set));
                }
                Found::Superseded(why) => {
                    known = true;
                    originals.superseded.push(Stray { scan: scan.place(), why });
                }
                Found::Stray(why) => others.push(why),
            }
        }
        if let Some(fault) = scan.fault.as_ref().filter(|_| !known) {
            others.push(fault.clone());
        }
        if !known && others.is_empty() {
            others.push("no code of squares could be read on it".to_owned());
        }
        if !others.is_empty() {
            originals.strays.push(Stray { scan: scan.place(), why: others.join("; ") });
        }
    }
    originals.typed_from(set, record);
    originals
}

/// A scan of a page that is no page of the set.
fn put(pages: &mut Vec<Original>, reference: &Reference, scan: String) {
    let text = reference.to_string();
    match pages.iter_mut().find(|page| page.reference == text) {
        Some(page) => page.scans.push(scan),
        None => pages.push(Original {
            page: format!("{}{}", reference.page, if reference.remarks { "R" } else { "" }),
            sheet: reference.sheet.clone(),
            reference: text,
            scans: vec![scan],
        }),
    }
}

/// The scan, and from which set its page is where that is not the job's last.
fn place(scan: &Scanned, code: &str, set: &str) -> String {
    match Reference::read(code).filter(|reference| reference.set != set) {
        Some(earlier) => format!("{} (of set {})", scan.place(), earlier.set),
        None => scan.place(),
    }
}

impl Originals {
    /// A page of another set of this job is this one where it carries the same
    /// sheet number: nothing that is measured or judged on it has changed. The
    /// index has no number and serves every set of its job.
    fn find(&self, code: &str, set: &str) -> Found {
        let Some(reference) = Reference::read(code) else {
            return Found::Stray(no_page(code, set));
        };
        let now = reference.in_set(set).to_string();
        let same = self.pages.iter().position(|page| page.reference == now);
        if let Some(at) = same.filter(|_| reference.is_of_job(set)) {
            return Found::Page(at);
        }
        let Reference { set: other, sheet, page, own, blind, remarks } = &reference;
        let named = match own {
            Some(own) if *remarks => {
                format!("page {page}R for further remarks of sheet {sheet} {own}")
            }
            Some(own) if sheet.ends_with(".2") => {
                format!("page {page} of second-stage sheet {sheet} {own}")
            }
            Some(own) => format!("page {page} of sheet {sheet} {own}"),
            None => format!("page {page} of sheet {sheet}"),
        };
        if !reference.is_of_job(set) {
            return Found::Stray(format!("{named} of set {other}, not of {set}"));
        }
        if sheet == "REPORT" {
            return Found::Stray(format!("page {page} of a report on this set, no sheet"));
        }
        if *blind {
            let why = format!("{named}, a second person's blind sheet, kept beside the set");
            return Found::Stray(why);
        }
        if let Some(letter) = sheet.strip_suffix(".2") {
            return match self.pages.iter().any(|page| page.sheet == letter) {
                true => Found::Second(reference),
                false => Found::Stray(format!("{named}, and this set has no sheet {letter}")),
            };
        }
        if *remarks && own.is_some() && own == &self.own(sheet) {
            return Found::Remarks(reference);
        }
        self.changed(&reference, &named)
    }

    /// The number of a sheet as it is now.
    fn own(&self, sheet: &str) -> Option<String> {
        let mut pages = self.pages.iter().filter(|page| page.sheet == sheet);
        pages.find_map(|page| Reference::read(&page.reference)?.own)
    }

    /// A page of this job's that the set does not have as it is now.
    fn changed(&self, reference: &Reference, named: &str) -> Found {
        match (&reference.own, self.own(&reference.sheet)) {
            (Some(own), Some(now)) if *own != now => Found::Superseded(format!(
                "{named} of set {}: the sheet has changed since and is now {now}",
                reference.set
            )),
            (Some(_), None) => Found::Superseded(format!(
                "{named} of set {}: the set has that sheet no more",
                reference.set
            )),
            _ => Found::Stray(format!("{named}, which this set does not have")),
        }
    }

    /// Second-stage sheets that the transcription names and no scan shows, and
    /// all of them in order.
    fn typed_from(&mut self, set: &str, record: &Record) {
        for (letter, own) in sheets_typed(record) {
            let sheet = format!("{letter}.2");
            let end = format!("/{own}");
            let there = |page: &Original| page.sheet == sheet && page.reference.ends_with(&end);
            if !self.second.iter().any(there) {
                let reference = format!("{set}/{sheet}/1{end}");
                let page = "1".to_owned();
                self.second.push(Original { page, sheet, reference, scans: Vec::new() });
            }
        }
        let order = |page: &Original| {
            let sheet = page.sheet.strip_suffix(".2").unwrap_or_default();
            let at = self.pages.iter().position(|first| first.sheet == sheet);
            (
                at,
                page.reference.rsplit('/').next().map(str::to_owned),
                page.page.parse::<usize>().ok(),
            )
        };
        let mut second = std::mem::take(&mut self.second);
        second.sort_by_cached_key(order);
        self.second = second;
    }
}

/// What a code that is on no page of any set says.
fn no_page(code: &str, set: &str) -> String {
    // Printed in the report, so only what is known.
    match code.split_once('/') {
        Some((of, tag)) if is_set(of) && tag.len() < 12 && tag.chars().all(known) => {
            match of == set {
                true => format!("position tag {tag}, no sheet"),
                false => format!("position tag {tag} of set {of}, no sheet"),
            }
        }
        _ => "its code is not of a worksheet".to_owned(),
    }
}

fn known(c: char) -> bool {
    c.is_ascii_alphanumeric() || matches!(c, '-' | '.')
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::record::SheetEntry;
    use crate::model::text::Text;

    const SET: &str = "7F3K-92QD";

    fn scan(page: usize, codes: &[&str]) -> Scanned {
        let codes = codes.iter().map(ToString::to_string).collect();
        Scanned { file: "a.pdf".to_owned(), page, of: 9, codes, fault: None }
    }

    fn pages() -> Pages {
        let mut pages = Pages::default();
        pages.put_printed("1", "INDEX", "7F3K-92QD/INDEX/1");
        for (page, sheet, rest) in
            [("2", "A", "1/AAAA"), ("3", "A", "2/AAAA"), ("4", "C", "1/CCCC")]
        {
            pages.put_printed(page, sheet, &format!("{SET}/{sheet}/{rest}"));
        }
        pages
    }

    fn found(scans: &[Scanned]) -> Originals {
        matched(scans, &pages(), SET, &Record::blank(SET))
    }

    fn whys(strays: &[Stray]) -> Vec<&str> {
        strays.iter().map(|stray| stray.why.as_str()).collect()
    }

    #[test]
    fn every_scan_has_a_page_or_is_named() {
        let scans = [
            scan(1, &["7F3K-92QD/A/1/AAAA"]),
            scan(2, &["7F3K-92QD/C/1/CCCC"]),
            scan(3, &["7F3K-92QD/C/1/CCCC"]),
            scan(4, &["0000-92QD/C/1/CCCC"]),
            scan(5, &["7F3K-92QD/REPORT/4"]),
            scan(6, &["lunch"]),
            scan(7, &[]),
            Scanned { fault: Some("damaged".to_owned()), ..scan(8, &[]) },
            scan(9, &["7F3K-92QD/C/1B/CCCC"]),
            scan(9, &["7F3K-92QD/C1"]),
            scan(9, &["7F3K-92QD/A/3/AAAA"]),
            // A stranger's code could write what it likes into the report.
            scan(9, &["7F3K-92QD/C1\u{1b}[2m"]),
        ];
        let found = found(&scans);
        let missing: Vec<&str> = found.missing().map(|page| page.page.as_str()).collect();
        assert_eq!(missing, ["1", "3"]);
        let doubled: Vec<&str> = found.doubled().map(|page| page.page.as_str()).collect();
        assert_eq!(doubled, ["4"]);
        assert_eq!(
            whys(&found.strays),
            [
                "page 1 of sheet C CCCC of set 0000-92QD, not of 7F3K-92QD",
                "page 4 of a report on this set, no sheet",
                "its code is not of a worksheet",
                "no code of squares could be read on it",
                "damaged",
                "page 1 of sheet C CCCC, a second person's blind sheet, kept beside the set",
                "position tag C1, no sheet",
                "page 3 of sheet A AAAA, which this set does not have",
                "its code is not of a worksheet",
            ]
        );
        assert!(!found.whole());
        assert_eq!(found.there(), 2);
    }

    #[test]
    fn two_pages_on_one_scan_are_both_there() {
        let scans = [
            scan(1, &["7F3K-92QD/A/1/AAAA", "7F3K-92QD/A/2/AAAA"]),
            scan(2, &["7F3K-92QD/C/1/CCCC", "7F3K-92QD/INDEX/1"]),
        ];
        assert!(found(&scans).whole());
    }

    #[test]
    fn a_page_of_an_earlier_set_counts_where_its_sheet_did_not_change() {
        let scans = [
            scan(1, &["7F3K-0EAR/INDEX/1"]),
            scan(2, &["7F3K-0EAR/A/1/AAAA"]),
            scan(3, &["7F3K-0EAR/A/2/AAAA"]),
            scan(4, &["7F3K-0EAR/C/1/C0LD"]),
            scan(5, &["7F3K-92QD/C/1/CCCC"]),
            scan(6, &["7F3K-0EAR/D/1/DDDD"]),
        ];
        let found = found(&scans);
        assert!(found.whole(), "{found:?}");
        assert_eq!(found.pages[1].scans, ["a.pdf page 2 (of set 7F3K-0EAR)"]);
        assert_eq!(
            whys(&found.superseded),
            [
                "page 1 of sheet C C0LD of set 7F3K-0EAR: the sheet has changed since and is now CCCC",
                "page 1 of sheet D DDDD of set 7F3K-0EAR: the set has that sheet no more",
            ]
        );
        // The same sheets of another engine are another job's.
        let other = matched(&scans, &pages(), "8888-92QD", &Record::blank("8888-92QD"));
        assert_eq!((other.there(), other.strays.len()), (0, 6));
    }

    #[test]
    fn a_page_for_further_remarks_belongs_to_its_sheet() {
        let sheets = [
            scan(1, &["7F3K-92QD/INDEX/1"]),
            scan(2, &["7F3K-92QD/A/1/AAAA"]),
            scan(3, &["7F3K-92QD/A/2/AAAA"]),
            scan(4, &["7F3K-92QD/C/1/CCCC"]),
            scan(5, &["7F3K-0EAR/A/1R/AAAA"]),
        ];
        let whole = found(&sheets);
        assert!(whole.whole() && whole.strays.is_empty(), "{whole:?}");
        assert_eq!((whole.pages.len(), whole.there()), (4, 4));
        assert_eq!(whole.remarks[0].sheet, "A");
        assert_eq!(whole.remarks[0].scans, ["a.pdf page 5 (of set 7F3K-0EAR)"]);
        assert!(whole.words().contains(&"page 1R (A) for further remarks is there".to_owned()));
        // Twice, of a sheet that has changed since, that the set has not, of no sheet.
        let others = [
            scan(6, &["7F3K-92QD/C/1R/CCCC"]),
            scan(7, &["7F3K-92QD/C/1R/CCCC"]),
            scan(8, &["7F3K-0EAR/C/1R/C0LD"]),
            scan(9, &["7F3K-92QD/D/1R/DDDD"]),
            scan(9, &["7F3K-92QD/A/1R"]),
            scan(9, &["0000-92QD/A/1R/AAAA"]),
        ];
        let other = found(&others);
        let words = other.words().join("\n");
        assert!(words.contains("doubled: page 1R (C) for further remarks, in a.pdf page 6 and"));
        assert_eq!(
            whys(&other.superseded),
            [
                "page 1R for further remarks of sheet C C0LD of set 7F3K-0EAR: the sheet has changed since and is now CCCC",
                "page 1R for further remarks of sheet D DDDD of set 7F3K-92QD: the set has that sheet no more",
            ]
        );
        assert_eq!(other.strays.len(), 2, "{:?}", other.strays);
    }

    #[test]
    fn second_stage_sheets_are_counted_and_missed() {
        let at = crate::diag::Span::new(&"readings.toml".into(), 0, 1);
        let word = |text: &str| Text { text: text.into(), at: at.clone() };
        let mut record = Record::blank(SET);
        record.sheets.push(SheetEntry {
            letter: word("C"),
            number: None,
            printed: None,
            pages: None,
            second: vec![word("NS1J shaft: C1 619D"), word("K4TX shaft: C2 88F2")],
            signs: Vec::new(),
            items: Vec::new(),
            initials: Vec::new(),
            rows: Vec::new(),
            remarks: None,
            at: at.clone(),
        });
        let scans = [
            scan(1, &["7F3K-0EAR/C.2/2/NS1J"]),
            scan(2, &["7F3K-0EAR/C.2/1/NS1J"]),
            scan(3, &["7F3K-92QD/X.2/1/NS1J"]),
        ];
        let found = matched(&scans, &pages(), SET, &record);
        let words = found.words().join("\n");
        assert!(words.contains("2 pages of second-stage sheets are there"), "{words}");
        assert!(
            words.contains("missing: second-stage sheet C.2 K4TX, page 1, from which"),
            "{words}"
        );
        assert!(words.contains("this set has no sheet X"), "{words}");
        let scans: Vec<usize> = found.second.iter().map(|page| page.scans.len()).collect();
        assert_eq!(scans, [0, 1, 1]);
    }
}
