//! What differs between two transcriptions, and what is thought of it.

use super::written::{All, Spot, Written};
use crate::diag::Diags;
use crate::model::Case;
use crate::model::record::Record;
use crate::model::side::Group;
use crate::record::resolve;
use crate::sheet::{Pages, SheetSet};

/// All that differs between two transcriptions, in paper order.
#[derive(Clone, Debug, Default)]
pub struct Comparison {
    pub differences: Vec<Difference>,
    /// How many boxes, marks and words both hold alike.
    pub alike: usize,
    pub(super) agreed: All,
}

/// One box that differs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// As printed; empty for what stands behind the sheets.
    pub page: String,
    /// Letter and title of the sheet; empty for what stands behind the sheets.
    pub sheet: String,
    /// `C3 bore 2`.
    pub name: String,
    /// A reading in a row's box, no tick and no word.
    pub reading: bool,
    /// As typed; `None` for a blank.
    pub first: Option<String>,
    pub second: Option<String>,
    /// The slip that would make one of the other.
    pub slip: Option<String>,
    /// What each rule has to say of the two.
    pub rules: Vec<Opinion>,
    /// The state of the row with either, where they differ.
    pub states: Option<(String, String)>,
}

/// What one rule thinks of two readings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opinion {
    /// In words.
    pub rule: String,
    pub likelier: Which,
    /// The question that the other raises.
    pub why: String,
}

/// One of two transcriptions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    First,
    Second,
}

impl Comparison {
    /// In paper order: what stands at a sheet's foot or head is on its first
    /// page, and what is on none comes last.
    pub(super) fn by_page(mut self) -> Comparison {
        self.differences.sort_by_key(|difference| difference.page.parse().unwrap_or(u32::MAX));
        self
    }
}

/// `None` with the faults in `out` where either record names what the sheets do
/// not have.
pub fn both_exist(case: &Case, set: &SheetSet, both: [&Record; 2], out: &mut Diags) -> Option<()> {
    let before = out.faults();
    both.iter().for_each(|record| resolve(case, set, record, out));
    (out.faults() == before).then_some(())
}

pub fn difference(
    set: &SheetSet,
    pages: &Pages,
    spot: &Spot,
    (first, second): (Option<&Written>, Option<&Written>),
) -> Difference {
    let shown = |written: Option<&Written>| written.map(|written| written.shown.clone());
    let name = first.or(second).map(|written| written.name.clone()).unwrap_or_default();
    let sheet = set.sheets.get(spot.sheet).filter(|_| spot.key != "sheet-set");
    let page = sheet.map_or("", |sheet| match (spot.row(), spot.item()) {
        (Some(code), _) => pages.row(code),
        (_, Some(number)) => pages.item(&sheet.letter, number),
        _ => pages.sheet(&sheet.letter),
    });
    Difference {
        page: page.to_owned(),
        sheet: sheet.map_or_else(String::new, |sheet| format!("{} {}", sheet.letter, sheet.title)),
        name,
        reading: spot.box_of_row().is_some_and(|(_, place)| matches!(place.group, Group::Read(_))),
        first: shown(first),
        second: shown(second),
        slip: None,
        rules: Vec::new(),
        states: None,
    }
}
