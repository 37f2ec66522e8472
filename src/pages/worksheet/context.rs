//! What every page of a set is laid out with, and what is written in the boxes
//! of an example already.

use crate::judge::BoxGroup;
use crate::layout::canvas::{Canvas, Desk};
use crate::layout::mark::Area;
use crate::layout::paginate::Anchor;
use crate::model::id::FeatureId;
use crate::pages::paper;
use crate::sheet::fields::{self, PageOf};
use crate::sheet::{LineRows, Row, Sheet, SheetSet, span};
use std::collections::BTreeMap;

/// Everything written, by what it is written for and in which of its boxes:
/// one text for each box, `None` for a blank.
///
/// `C1` with `shaft`, `go` or `leaves` (`9, 0.004, refused`); `sheet C` with
/// `shaft by`, `shaft on`, `shaft gauge`, `shaft gauge C`, `shaft zero`, `shaft part-temp` or `remarks`;
/// `L 3` with `marks`, `words`, a place's code, or `count`, `number`, `batch` and
/// `document`, `L 1-4` or one of its items with `initials`.
pub type Filled = BTreeMap<(String, String), Vec<Option<String>>>;

/// What every page of a set is laid out with.
#[derive(Clone, Copy)]
pub struct Layout<'a> {
    pub desk: &'a Desk,
    pub set: &'a SheetSet,
    /// Inside the margins.
    pub area: Area,
    /// What is written in the boxes already; nothing on a worksheet.
    pub filled: Option<&'a Filled>,
    /// The sheet that is being laid out; none at first.
    letter: &'a str,
    /// The sheet whose page is drawn and which of its pages: a page's own
    /// lines have their fields whether or not an example shows anything there.
    page: (&'a str, PageOf),
}

impl<'a> Layout<'a> {
    pub(crate) fn new(desk: &'a Desk, set: &'a SheetSet, filled: Option<&'a Filled>) -> Layout<'a> {
        let area = paper::size(set.head.paper).inside();
        Layout { desk, set, area, filled, letter: "", page: ("", PageOf::Own(1)) }
    }

    /// The same for what stands on the sheet of that letter.
    pub fn of(&self, letter: &'a str) -> Layout<'a> {
        Layout { letter, ..*self }
    }

    /// The same for a page of the sheet of that letter.
    pub fn on(&self, letter: &'a str, page: PageOf) -> Layout<'a> {
        Layout { page: (letter, page), ..*self }
    }

    /// The field of a part of an item of the sheet in hand.
    pub fn item_field_name(&self, number: u32, part: &str) -> (String, String) {
        fields::item(self.letter, number, part)
    }

    /// Of the initials beside a list of the sheet in hand.
    pub fn list_field(&self, span: &str) -> (String, String) {
        fields::initials(self.letter, span)
    }

    /// Of something at the foot of the page in hand, or of a hold point.
    pub fn foot_field(&self, part: &str) -> (String, String) {
        let (page, letter) = (self.page.0, self.letter);
        fields::sheet(if page.is_empty() { letter } else { page }, part)
    }

    /// Of a line of the page in hand.
    pub fn line_field(&self, what: &str, line: i32, part: &str) -> (String, String) {
        fields::line(self.page, what, line, part)
    }

    pub fn canvas(&self) -> Canvas<'a> {
        Canvas::new(self.desk)
    }

    /// What names an item of the sheet in hand.
    fn item_name(&self, number: u32) -> String {
        format!("{} {number}", self.letter)
    }

    /// Marks where an item of the sheet in hand is.
    pub fn item_field(&self, number: u32) -> Anchor {
        Anchor::Field(self.item_name(number))
    }

    /// The sheet and the rows in whose boxes a feature's readings at the places
    /// of these rows are written.
    pub fn source(
        &self,
        feature: Option<FeatureId>,
        rows: &[Row],
    ) -> Option<(&'a Sheet, Vec<&'a Row>)> {
        feature?;
        let here = |row: &&Row| rows.iter().any(|other| other.place == row.place);
        self.set.sheets.iter().find_map(|sheet| {
            let own = |line: &&LineRows| {
                let mut groups = line.groups.iter();
                groups.any(|group| group.own && group.feature == feature)
            };
            // Of lines that go by place each has some of the rows.
            let first = sheet.lines().find(own)?;
            let all = sheet.lines().filter(own).filter(|line| line.reference == first.reference);
            let found: Vec<&Row> = all.flat_map(|line| line.rows.iter().filter(here)).collect();
            Some((sheet, found))
        })
    }

    /// Nothing is written in any box.
    pub fn is_blank(&self) -> bool {
        self.filled.is_none() && !self.desk.has_fields()
    }

    /// What is written in one box.
    pub fn written(&self, row: Option<&Row>, group: &BoxGroup, n: usize) -> Option<&'a str> {
        self.said(&row?.code, group.key.word(), n)
    }

    /// The same of an item of the sheet that is being laid out.
    pub fn item(&self, number: u32, part: &str, n: usize) -> Option<&'a str> {
        self.filled?;
        self.said(&self.item_name(number), part, n)
    }

    /// The initials beside a list of items, and those of its items that have
    /// their own.
    pub fn initials(&self, first: u32, last: u32) -> Option<String> {
        self.filled?;
        let said = |span: &str| self.said(&format!("{} {span}", self.letter), "initials", 0);
        let whole = said(&span(first, last)).map(str::to_owned);
        let own = (first..=last)
            .filter(|_| first < last)
            .filter_map(|number| Some(format!("{number} {}", said(&number.to_string())?)));
        let all: Vec<String> = whole.into_iter().chain(own).collect();
        (!all.is_empty()).then(|| all.join(", "))
    }

    /// The same of the sheet itself.
    pub fn sign(&self, part: &str) -> Option<&'a str> {
        self.sign_mark(part, 0)
    }

    /// The same of one of several marks.
    pub fn sign_mark(&self, part: &str, n: usize) -> Option<&'a str> {
        self.filled?;
        self.said(&format!("sheet {}", self.letter), part, n)
    }

    /// Whether a line of the sheet in hand has a gauge of its own, of those that
    /// are read under that key.
    pub fn names_gauges(&self, key: &str, reference: &str) -> bool {
        let sheet = self.set.sheets.iter().find(|sheet| sheet.letter == self.letter);
        let mut signs = sheet.into_iter().flat_map(|sheet| &sheet.signs);
        signs.any(|sign| sign.key == key && sign.lines.iter().any(|line| line == reference))
    }

    /// The gauges that a line is read with; those of all where it has none of its
    /// own.
    pub fn gauges(&self, key: &str, reference: &str) -> Option<&'a str> {
        let own = self.sign(&format!("{key} gauge {reference}"));
        own.or_else(|| self.sign(&format!("{key} gauge")))
    }

    pub fn said(&self, of: &str, part: &str, n: usize) -> Option<&'a str> {
        let filled = self.filled?;
        filled.get(&(of.to_owned(), part.to_owned()))?.get(n)?.as_deref()
    }
}

/// Marks where rows are.
pub(crate) fn row_fields<'r>(
    rows: impl IntoIterator<Item = &'r Row>,
) -> impl Iterator<Item = Anchor> {
    rows.into_iter().map(|row| Anchor::Field(row.code.clone()))
}
