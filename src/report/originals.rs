//! Scans of the filled sheets held against the printed pages: which page is
//! where, which is missing or there twice, and what belongs to no page.

use crate::sheet::Pages;

/// What was read from one page of a scan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scanned {
    pub file: String,
    /// From 1; `of` pages in the file, 0 where it could not be opened.
    pub page: usize,
    pub of: usize,
    /// The text of every code of squares on it, each once.
    pub codes: Vec<String>,
    /// Why nothing, or not all of it, could be looked at.
    pub fault: Option<String>,
}

impl Scanned {
    /// `scan.pdf page 3`, or the file alone where it has one page.
    pub fn place(&self) -> String {
        match self.of {
            0 | 1 => self.file.clone(),
            _ => format!("{} page {}", self.file, self.page),
        }
    }
}

/// A printed page, and the scans of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Original {
    /// As printed at its head.
    pub page: String,
    pub sheet: String,
    /// The text of its code.
    pub reference: String,
    pub scans: Vec<String>,
}

/// A scan that shows no page of the set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stray {
    pub scan: String,
    pub why: String,
}

/// Every page of the set with its scans, and every scan without a page.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Originals {
    pub pages: Vec<Original>,
    pub strays: Vec<Stray>,
}

impl Originals {
    pub fn missing(&self) -> impl Iterator<Item = &Original> {
        self.pages.iter().filter(|page| page.scans.is_empty())
    }

    pub fn doubled(&self) -> impl Iterator<Item = &Original> {
        self.pages.iter().filter(|page| page.scans.len() > 1)
    }

    pub fn there(&self) -> usize {
        self.pages.len() - self.missing().count()
    }

    /// Every page once, and nothing else.
    pub fn whole(&self) -> bool {
        self.strays.is_empty() && self.pages.iter().all(|page| page.scans.len() == 1)
    }

    /// The count, then a line for each kind of fault.
    pub fn words(&self) -> Vec<String> {
        let mut words =
            vec![format!("{} of {} pages of the set are there", self.there(), self.pages.len())];
        let missing: Vec<String> =
            self.missing().map(|page| format!("{} ({})", page.page, page.sheet)).collect();
        if !missing.is_empty() {
            words.push(format!("missing: page {}", missing.join(", ")));
        }
        let twice = self.doubled().map(|page| {
            format!("page {} ({}) in {}", page.page, page.sheet, page.scans.join(" and in "))
        });
        words.extend(twice.map(|twice| format!("doubled: {twice}")));
        words.extend(
            self.strays.iter().map(|stray| format!("not matched: {}, {}", stray.scan, stray.why)),
        );
        words
    }
}

/// Finds the page of each scan by its code.
pub fn matched(scanned: &[Scanned], pages: &Pages, set: &str) -> Originals {
    let printed = pages.printed().iter().map(|printed| Original {
        page: printed.page.clone(),
        sheet: printed.sheet.clone(),
        reference: printed.reference.clone(),
        scans: Vec::new(),
    });
    let mut originals = Originals { pages: printed.collect(), strays: Vec::new() };
    for scan in scanned {
        let mut found = false;
        let mut others: Vec<String> = Vec::new();
        for code in &scan.codes {
            match originals.pages.iter_mut().find(|page| page.reference == *code) {
                Some(page) => {
                    found = true;
                    page.scans.push(scan.place());
                }
                None => others.push(foreign(code, set)),
            }
        }
        if let Some(fault) = scan.fault.as_ref().filter(|_| !found) {
            others.push(fault.clone());
        }
        if !found && others.is_empty() {
            others.push("no code of squares could be read on it".to_owned());
        }
        if !others.is_empty() {
            originals.strays.push(Stray { scan: scan.place(), why: others.join("; ") });
        }
    }
    originals
}

/// What a code that is on no page of the set says.
fn foreign(code: &str, set: &str) -> String {
    // Printed in the report, so only what a sheet's code can hold.
    let known = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '/' | '.');
    if code.len() > 40 || !code.chars().all(known) {
        return "its code is not of a worksheet".to_owned();
    }
    let parts: Vec<&str> = code.split('/').collect();
    match parts.as_slice() {
        [own, "REPORT", page] if *own == set => {
            format!("page {page} of a report on this set, no sheet")
        }
        [own, sheet, page, code] if *own == set && sheet.ends_with(".2") => {
            format!("page {page} of second-stage sheet {sheet} {code}, kept beside the set")
        }
        [own, sheet, page] if *own == set => {
            format!("page {page} of sheet {sheet}, which this set does not have")
        }
        [other, sheet, page] if is_set(other) => {
            format!("page {page} of sheet {sheet} of set {other}, not of {set}")
        }
        _ => "its code is not of a worksheet".to_owned(),
    }
}

/// `7F3K-92QD`.
fn is_set(text: &str) -> bool {
    let symbol = |c: char| c.is_ascii_digit() || c.is_ascii_uppercase();
    matches!(text.split_once('-'), Some((a, b)) if [a, b].iter().all(|half| half.len() == 4 && half.chars().all(symbol)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scan(page: usize, codes: &[&str]) -> Scanned {
        let codes = codes.iter().map(ToString::to_string).collect();
        Scanned { file: "a.pdf".to_owned(), page, of: 9, codes, fault: None }
    }

    fn pages() -> Pages {
        let mut pages = Pages::default();
        for (n, sheet) in [(1, "A"), (2, "A"), (3, "C")] {
            let reference = format!("7F3K-92QD/{sheet}/{}", if n == 2 { 2 } else { 1 });
            pages.put_printed(&n.to_string(), sheet, &reference);
        }
        pages
    }

    #[test]
    fn every_scan_has_a_page_or_is_named() {
        let set = "7F3K-92QD";
        let scans = [
            scan(1, &["7F3K-92QD/A/1"]),
            scan(2, &["7F3K-92QD/C/1"]),
            scan(3, &["7F3K-92QD/C/1"]),
            scan(4, &["0000-92QD/C/1"]),
            scan(5, &["7F3K-92QD/REPORT/4"]),
            scan(6, &["lunch"]),
            scan(7, &[]),
            Scanned { fault: Some("damaged".to_owned()), ..scan(8, &[]) },
        ];
        let found = matched(&scans, &pages(), set);
        let missing: Vec<&str> = found.missing().map(|page| page.page.as_str()).collect();
        assert_eq!(missing, ["2"]);
        let doubled: Vec<&str> = found.doubled().map(|page| page.page.as_str()).collect();
        assert_eq!(doubled, ["3"]);
        let strays: Vec<&str> = found.strays.iter().map(|stray| stray.why.as_str()).collect();
        assert_eq!(
            strays,
            [
                "page 1 of sheet C of set 0000-92QD, not of 7F3K-92QD",
                "page 4 of a report on this set, no sheet",
                "its code is not of a worksheet",
                "no code of squares could be read on it",
                "damaged",
            ]
        );
        assert!(!found.whole());
        assert_eq!(found.there(), 2);
    }

    #[test]
    fn two_pages_on_one_scan_are_both_there() {
        let scans = [scan(1, &["7F3K-92QD/A/1", "7F3K-92QD/A/2"]), scan(2, &["7F3K-92QD/C/1"])];
        assert!(matched(&scans, &pages(), "7F3K-92QD").whole());
    }
}
