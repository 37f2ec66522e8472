//! Days of the record.

use crate::model::record::Record;
use crate::quantity::date::Date;

/// The latest day that the record holds; the report knows no clock.
pub fn last_day(record: &Record) -> Option<Date> {
    let signs = record.sheets.iter().flat_map(|sheet| &sheet.signs).filter_map(|s| s.on.as_ref());
    let again = record.again.iter().filter_map(|again| again.on.as_ref());
    let changes = record.changes.iter().filter_map(|change| change.on.as_ref());
    let found = record.findings.iter().filter_map(|finding| finding.on.as_ref());
    let all = signs.chain(again).chain(changes).chain(found);
    all.map(|(date, _)| *date).max()
}
