//! What every section is written from, and its columns of words.

use crate::analysis::wear::Wear;
use crate::model::Case;
use crate::model::record::Record;
use crate::record::{Judged, RowHistory};
use crate::report::originals::Originals;
use crate::report::types::Column;
use crate::sheet::SheetSet;

/// All that a section is written from.
pub struct ReportInput<'a> {
    pub case: &'a Case,
    pub set: &'a SheetSet,
    pub record: &'a Record,
    pub judged: &'a Judged,
    /// Of a row or an item, by sheet letter and code or number: its page.
    pub pages: &'a crate::sheet::Pages,
    /// Where scans of the filled sheets are carried.
    pub originals: Option<&'a Originals>,
    /// Where the job names an earlier one of its engine.
    pub history: Option<&'a Wear>,
    /// The arithmetic of every row is to be worked in the report.
    pub arithmetic: bool,
}

impl<'a> ReportInput<'a> {
    /// Every row in printed order.
    pub fn rows(&self) -> impl Iterator<Item = RowHistory<'a>> {
        self.judged.rows_of(self.set)
    }

    /// Whether the shop's report has a section of that kind.
    pub fn has_section(&self, show: &str) -> bool {
        self.case.forms.report.sections.iter().any(|section| section.show.as_str() == show)
    }
}

/// A column of words.
pub fn words(head: &str, share: u16) -> Column {
    Column { head: head.to_owned(), share, figures: false }
}
