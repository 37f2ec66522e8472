//! The printed pages with the scans of each: which is missing or there twice,
//! which was superseded, and what belongs to no page.

use super::compared::{Compared, Stray};

/// A printed page, and the scans of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Original {
    /// As printed at its head; of a second-stage sheet, of that sheet.
    pub page: String,
    pub sheet: String,
    /// The text of its code.
    pub reference: String,
    pub scans: Vec<String>,
}

/// Every page of the set with its scans, and every scan without a page.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Originals {
    pub pages: Vec<Original>,
    /// Those of which a scan is there, and those that the transcription names.
    pub second: Vec<Original>,
    /// Pages more for remarks, each of a sheet of the set.
    pub remarks: Vec<Original>,
    /// Pages of this job whose sheet has changed since.
    pub superseded: Vec<Stray>,
    pub strays: Vec<Stray>,
    /// What the pages seem to say, held against what was typed; it decides nothing.
    pub compared: Option<Compared>,
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

    /// Every page once, and nothing else but what was superseded.
    pub fn whole(&self) -> bool {
        let mut all = self.pages.iter().chain(&self.second).chain(&self.remarks);
        self.strays.is_empty() && all.all(|page| page.scans.len() == 1)
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
        self.say_second(&mut words);
        self.say_remarks(&mut words);
        let say = |what: &str, stray: &Stray| format!("{what}: {}, {}", stray.scan, stray.why);
        words.extend(self.superseded.iter().map(|stray| say("superseded", stray)));
        words.extend(self.strays.iter().map(|stray| say("not matched", stray)));
        words
    }

    fn say_remarks(&self, words: &mut Vec<String>) {
        let named =
            |page: &Original| format!("page {} ({}) for further remarks", page.page, page.sheet);
        for page in &self.remarks {
            words.push(match page.scans.as_slice() {
                [_] => format!("{} is there", named(page)),
                scans => format!("doubled: {}, in {}", named(page), scans.join(" and in ")),
            });
        }
    }

    fn say_second(&self, words: &mut Vec<String>) {
        let there = self.second.iter().filter(|page| !page.scans.is_empty()).count();
        match there {
            0 => {}
            1 => words.push("1 page of second-stage sheets is there".to_owned()),
            _ => words.push(format!("{there} pages of second-stage sheets are there")),
        }
        for page in &self.second {
            let own = page.reference.rsplit('/').next().unwrap_or_default();
            let named = format!("second-stage sheet {} {own}, page {}", page.sheet, page.page);
            match page.scans.as_slice() {
                [] => words.push(format!("missing: {named}, from which readings were typed")),
                [_] => {}
                scans => words.push(format!("doubled: {named}, in {}", scans.join(" and in "))),
            }
        }
    }
}
