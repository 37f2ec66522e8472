//! All that judging a record looks things up in, indexed once.

use super::disturbed::{self, Disturbed};
use super::resolve::item_code;
use crate::judge::{Context, Provenance};
use crate::model::Case;
use crate::model::id::FeatureId;
use crate::model::record::{Finding, ItemEntry, LeftOut, Record, RowEntry, SheetEntry, Sign};
use crate::model::side::Group;
use crate::model::text::Text;
use crate::quantity::date::Date;
use crate::sheet::{At, RowId, SheetSet};
use std::collections::BTreeMap;

/// The case, its sheets and its record, by code.
pub struct RecordIndex<'a> {
    pub case: &'a Case,
    pub set: &'a SheetSet,
    pub cx: Context<'a>,
    pub record: &'a Record,
    /// Every row of the set.
    pub places: Vec<At<'a>>,
    entries: BTreeMap<&'a str, &'a SheetEntry>,
    rows: BTreeMap<&'a str, &'a RowEntry>,
    /// Indices into `Record::again`, by row.
    again: BTreeMap<&'a str, Vec<usize>>,
    /// Rows and sides that hold the boxes of a feature at a place.
    homes: Homes,
    /// What each change disturbs, one a change of the record.
    pub disturbed: Vec<Disturbed>,
    /// The changes from the first day to the last.
    pub in_time: Vec<usize>,
}

impl<'a> RecordIndex<'a> {
    pub fn new(
        case: &'a Case,
        set: &'a SheetSet,
        record: &'a Record,
        cx: Context<'a>,
    ) -> RecordIndex<'a> {
        let entries = record.sheets.iter().map(|entry| (entry.letter.as_str(), entry)).collect();
        let all_rows = record.sheets.iter().flat_map(|entry| &entry.rows);
        let rows = all_rows.map(|row| (row.code.as_str(), row)).collect();
        let mut again: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (n, entry) in record.again.iter().enumerate() {
            again.entry(entry.row.as_str()).or_default().push(n);
        }
        let places: Vec<At> = set.rows().collect();
        let homes = homes(&places);
        let (disturbed, in_time) = (disturbed::all(case, record), disturbed::in_time(record));
        RecordIndex {
            case,
            set,
            cx,
            record,
            places,
            entries,
            rows,
            again,
            homes,
            disturbed,
            in_time,
        }
    }

    pub fn entry(&self, letter: &str) -> Option<&'a SheetEntry> {
        self.entries.get(letter).copied()
    }

    pub fn row(&self, code: &str) -> Option<&'a RowEntry> {
        self.rows.get(code).copied()
    }

    pub fn item(&self, letter: &str, number: u32) -> Option<&'a ItemEntry> {
        self.entry(letter)?.items.iter().find(|item| item.number == number)
    }

    /// Later readings of a row, in the order of the file: indices into
    /// `Record::again`.
    pub fn again(&self, code: &str) -> &[usize] {
        self.again.get(code).map_or(&[], Vec::as_slice)
    }

    pub fn sign(&self, letter: &str, key: &str) -> Option<&'a Sign> {
        self.entry(letter)?.signs.iter().find(|sign| sign.key.as_str() == key)
    }

    /// Who signed for one side of a row: whoever names it, else who names none.
    pub fn sign_of(&self, letter: &str, key: &str, code: &str) -> Option<&'a Sign> {
        let all = || self.entry(letter).into_iter().flat_map(|entry| &entry.signs);
        let signs = || all().filter(|sign| sign.key.as_str() == key);
        let named = signs().find(|sign| sign.rows.iter().any(|row| row.as_str() == code));
        named.or_else(|| signs().find(|sign| sign.rows.is_empty()))
    }

    /// The row in whose boxes a feature is measured at a place, and which boxes.
    pub fn home(&self, feature: FeatureId, place: Option<usize>) -> Option<(RowId, Group)> {
        self.homes.get(&(feature, place))?.first().copied()
    }

    /// The other rows in whose boxes the same feature is measured at a place.
    pub fn others(
        &self,
        feature: FeatureId,
        place: Option<usize>,
        row: RowId,
    ) -> impl Iterator<Item = (RowId, Group)> {
        let homes = self.homes.get(&(feature, place)).map(Vec::as_slice).unwrap_or_default();
        homes.iter().copied().filter(move |(other, _)| *other != row)
    }

    /// Whether any feature is measured in the boxes of more than one row.
    pub fn shares_features(&self) -> bool {
        self.homes.values().any(|homes| homes.len() > 1)
    }

    /// What was found at an item, by place code.
    pub fn findings(&self, letter: &str, number: u32) -> Vec<&'a Finding> {
        let is = |item: &Text| item_code(item.as_str()) == Some((letter, number));
        self.record.findings.iter().filter(|finding| is(&finding.item)).collect()
    }

    /// Why an item does not apply at a place.
    pub fn left_out(&self, letter: &str, number: u32, place: &str) -> Option<&'a LeftOut> {
        self.record.left_out.iter().find(|left| {
            item_code(left.item.as_str()) == Some((letter, number))
                && left.place.as_ref().is_none_or(|at| at.as_str() == place)
        })
    }

    pub fn is_inspector(&self, initials: &str) -> bool {
        use crate::model::job::Role;
        let role = self.case.job.person(initials).map(|person| person.role);
        matches!(role, Some(Role::Inspector | Role::Quality))
    }
}

/// By feature and place.
type Homes = BTreeMap<(FeatureId, Option<usize>), Vec<(RowId, Group)>>;

fn homes(places: &[At]) -> Homes {
    let mut homes = Homes::new();
    for at in places {
        let place = at.row.place.map(|(_, n)| n);
        for group in at.line.own() {
            let Some(feature) = group.feature else { continue };
            homes.entry((feature, place)).or_default().push((at.id, group.key));
        }
    }
    homes
}

impl Provenance {
    /// See [`who`].
    pub fn in_words(&self) -> String {
        let by = Some(self.by.as_str()).filter(|by| !by.is_empty());
        who(by, self.on.as_ref().map(|(on, _)| *on), &self.gauges)
    }
}

/// `RW, 2026-03-02, MIC-2`.
pub fn who(by: Option<&str>, on: Option<Date>, gauges: &[Text]) -> String {
    let mut words: Vec<String> = by.map(str::to_owned).into_iter().collect();
    words.extend(on.map(|date| date.to_string()));
    if !gauges.is_empty() {
        words.push(gauges.iter().map(Text::as_str).collect::<Vec<_>>().join(" and "));
    }
    words.join(", ")
}
