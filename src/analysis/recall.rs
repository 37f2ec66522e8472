//! Which jobs a gauge, a limits revision or a part batch was used in.

use crate::model::record::{ItemContent, Named, Record};
use crate::model::text::Text;
use crate::quantity::date::Date;

/// Where a gauge was used, from a date on; an undated use counts.
pub fn gauge(record: &Record, id: &str, since: Option<Date>) -> Vec<String> {
    let used = |gauges: &[Text]| gauges.iter().any(|gauge| gauge.as_str().eq_ignore_ascii_case(id));
    let late = |on: Option<Date>| since.is_none_or(|since| on.is_none_or(|on| on >= since));
    let day = |on: Option<Date>| on.map_or_else(|| "undated".to_owned(), |on| on.to_string());
    let mut found = Vec::new();
    for sheet in &record.sheets {
        for sign in &sheet.signs {
            let on = sign.on.as_ref().map(|(on, _)| *on);
            let whole = match &sign.gauges {
                Named::All(gauges) => used(gauges).then(String::new),
                Named::Each(lines) => {
                    let with = lines.iter().filter(|(_, gauges)| used(gauges));
                    let with: Vec<String> = with.map(|(line, _)| format!(" {line}")).collect();
                    (!with.is_empty()).then(|| with.concat())
                }
            };
            if let Some(lines) = whole.filter(|_| late(on)) {
                found.push(format!("sheet {} {}{lines}, {}", sheet.letter, sign.key, day(on)));
            }
        }
    }
    for again in &record.again {
        let on = again.on.as_ref().map(|(on, _)| *on);
        if used(&again.gauges) && late(on) {
            found.push(format!("{} {} again, {}", again.row, again.key.0, day(on)));
        }
    }
    found
}

/// Where a part of this batch or serial number was fitted.
pub fn batch(record: &Record, number: &str) -> Vec<String> {
    let same = |batch: &Option<Text>| {
        batch
            .as_ref()
            .is_some_and(|batch| batch.as_str().trim().eq_ignore_ascii_case(number.trim()))
    };
    let said = |word: &Option<Text>| word.as_ref().map(Text::to_string).unwrap_or_default();
    let mut found = Vec::new();
    for sheet in &record.sheets {
        for item in &sheet.items {
            let ItemContent::Renewed(renewed) = &item.content else { continue };
            if same(&renewed.batch) {
                found.push(format!(
                    "sheet {} item {}, part number {}",
                    sheet.letter,
                    item.number,
                    said(&renewed.number)
                ));
            }
        }
    }
    for change in record.changes.iter().filter(|change| same(&change.batch)) {
        let places: Vec<&str> = change.places.iter().map(Text::as_str).collect();
        let at =
            if places.is_empty() { String::new() } else { format!(" at {}", places.join(" ")) };
        found.push(format!("{}{at}, part number {}", change.part, said(&change.number)));
    }
    found
}
