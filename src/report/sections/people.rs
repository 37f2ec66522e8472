//! People, gauges and the data used.

use super::answers::days_of;
use super::checks;
use super::days::last_day;
use super::input::{ReportInput, words};
use crate::model::job::Leaf;
use crate::model::record::{Mark, Sign};
use crate::model::text::Text;
use crate::quantity::Unit;
use crate::report::types::{Cell, Piece};
use std::collections::BTreeSet;

fn said(word: Option<&Text>) -> String {
    word.map(Text::to_string).unwrap_or_default()
}

/// Everyone of the job, with the sheets that carry their initials.
pub fn pieces(told: &ReportInput) -> Vec<Piece> {
    let rows = told.case.job.people.iter().map(|person| {
        vec![
            Cell::bold(person.initials.to_string()),
            Cell::plain(person.name.to_string()),
            Cell::plain(person.role.word()),
            Cell::plain(said(person.certificate.as_ref())),
            Cell::plain(days_of(told, person)),
        ]
    });
    let columns = vec![
        words("initials", 8),
        words("name", 18),
        words("role", 14),
        words("certificate", 16),
        words("what carries the initials, and of which day", 70),
    ];
    let mut pieces = vec![Piece::Table { columns, rows: rows.collect() }];
    // With scans the section of the original sheets says what was compared.
    let scans = match told.originals {
        None => {
            " No scans of the filled sheets came with the record, so none were compared with it."
        }
        Some(_) => "",
    };
    pieces.push(Piece::Paragraph(format!("{}{scans}", checked(told))));
    pieces.extend(checks::later(told));
    pieces.extend(checks::hold_points(told));
    pieces
}

/// Which sheets somebody else checked.
fn checked(told: &ReportInput) -> String {
    let begun = || told.judged.sheets.iter().filter(|sheet| sheet.begun);
    let not: Vec<&str> = begun()
        .filter(|sheet| sheet.checked_by.is_none())
        .map(|sheet| sheet.letter.as_str())
        .collect();
    if begun().next().is_none() {
        return "No sheet has been filled in.".to_owned();
    }
    if not.is_empty() {
        return "Every sheet was checked by a second person, not the one who measured.".to_owned();
    }
    if not.len() == begun().count() {
        return "Not independently checked: no sheet was checked by a second person.".to_owned();
    }
    format!("Not independently checked: sheets {}.", not.join(", "))
}

/// The gauges that the record names, with their calibration.
pub fn gauges(told: &ReportInput) -> Vec<Piece> {
    let used = used_gauges(told);
    let unit = told.case.limits.document.unit;
    let rows =
        told.case.job.gauges.iter().filter(|gauge| used.contains(gauge.id.as_str())).map(|gauge| {
            let unit = gauge.unit.clone().unwrap_or(Unit::Length(unit));
            let range = gauge
                .range
                .as_ref()
                .map(|(low, high)| format!("{} to {} {unit}", low.text, high.text));
            vec![
                Cell::bold(gauge.id.to_string()),
                Cell::plain(match gauge.transfer {
                    true => format!("{}, transfer", gauge.name),
                    false => gauge.name.to_string(),
                }),
                Cell::plain(said(gauge.serial.as_ref())),
                Cell::plain(range.unwrap_or_default()),
                Cell::plain(
                    gauge.resolution.as_ref().map(|r| r.text.to_string()).unwrap_or_default(),
                ),
                Cell::plain(
                    gauge.uncertainty.as_ref().map(|u| u.text.to_string()).unwrap_or_default(),
                ),
                Cell::plain(said(gauge.certificate.as_ref())),
                Cell::plain(
                    gauge.due.as_ref().map(|(date, _)| date.to_string()).unwrap_or_default(),
                ),
            ]
        });
    let columns = vec![
        words("gauge", 12),
        words("what", 28),
        words("serial", 11),
        words("range", 22),
        words("resolution", 12),
        words("uncertainty", 12),
        words("certificate", 16),
        words("calibration due", 14),
    ];
    let mut pieces = vec![
        Piece::Table { columns, rows: rows.collect() },
        Piece::Paragraph(format!("Decision rule: {}.", told.set.head.rule)),
    ];
    pieces.extend(zeros(told).map(Piece::Paragraph));
    pieces.extend(leaves(told).map(Piece::Paragraph));
    pieces
}

/// The set that the leaves of a feeler were chosen from.
fn leaves(told: &ReportInput) -> Option<String> {
    let leaf = |leaf: &Leaf| match &leaf.measured {
        Some(measured) => format!("{} (measured {})", leaf.engraved.text, measured.text),
        None => leaf.engraved.text.to_string(),
    };
    let all: Vec<String> = told.case.job.leaves.iter().map(leaf).collect();
    (!all.is_empty()).then(|| format!("Feeler leaves of the shop: {}.", all.join(", ")))
}

/// On which of the sheets that were measured on the gauges' zero was looked at.
/// What was not right is on hold by itself.
fn zeros(told: &ReportInput) -> Option<String> {
    let (mut looked, mut not): (Vec<&str>, Vec<&str>) = (Vec::new(), Vec::new());
    for sheet in &told.set.sheets {
        let entry = told.record.sheets.iter().find(|entry| entry.letter.as_str() == sheet.letter);
        let signed = |sign: &&Sign| sign.by.as_ref().is_some_and(|by| !by.as_str().is_empty());
        let asked = |sign: &&Sign| {
            sheet.signs.iter().any(|known| known.zero && known.key == sign.key.as_str())
        };
        let signs = entry.iter().flat_map(|entry| &entry.signs);
        let signs: Vec<&Sign> = signs.filter(signed).filter(asked).collect();
        if !signs.is_empty() {
            let right = signs.iter().all(|sign| sign.zero == Some([Mark::Ok; 2]));
            if right { &mut looked } else { &mut not }.push(&sheet.letter);
        }
    }
    if looked.is_empty() {
        return None;
    }
    let looked =
        format!("Gauges' zero right before use and after it: sheets {}.", looked.join(", "));
    Some(match not.as_slice() {
        [] => looked,
        _ => format!("{looked} Not so written: {}.", not.join(", ")),
    })
}

fn used_gauges<'a>(told: &'a ReportInput) -> BTreeSet<&'a str> {
    let signs =
        told.record.sheets.iter().flat_map(|sheet| &sheet.signs).flat_map(|s| s.gauges.all());
    let again = told.record.again.iter().flat_map(|again| &again.gauges);
    signs.chain(again).map(Text::as_str).collect()
}

/// Whose engine it is, who worked on it and when.
pub fn engine(told: &ReportInput) -> Vec<(String, String)> {
    let job = &told.case.job;
    let day = |day: &Option<(_, Text)>| said(day.as_ref().map(|(_, typed)| typed));
    let last = last_day(told.record).map(|date| date.to_string()).unwrap_or_default();
    let mut pairs = vec![
        ("Engine", told.set.head.engine.clone()),
        ("Serial", told.set.head.serial.clone()),
        ("Owner", said(job.owner.as_ref())),
        ("Hours", said(job.hours.as_ref())),
        ("Since overhaul", said(job.since_overhaul.as_ref())),
        ("Received", day(&job.received)),
        ("Opened", day(&job.opened)),
        ("Completed", day(&job.completed)),
        ("Last entry", last),
        ("Shop", job.shop.name.to_string()),
        ("Address", said(job.shop.address.as_ref())),
        ("Shop certificate", said(job.shop.certificate.as_ref())),
    ];
    pairs.retain(|(_, text)| !text.is_empty());
    pairs.into_iter().map(|(caption, text)| (caption.to_owned(), text)).collect()
}

/// The document that the limits repeat, and lines that somebody confirmed.
pub fn limits(told: &ReportInput) -> Vec<Piece> {
    let document = &told.case.limits.document;
    let mut pairs = vec![
        ("Limits file".to_owned(), told.case.limits.number.to_string()),
        ("Document".to_owned(), format!("{} {}", document.title, document.number)),
        ("Revision".to_owned(), document.revision.to_string()),
        ("Date".to_owned(), said(document.date.as_ref())),
        ("Unit".to_owned(), format!("{}, {} decimals", document.unit.word(), document.places)),
        ("Scope".to_owned(), told.set.head.scope.clone()),
    ];
    // The first page has it, where the shop's report has that page.
    if !told.has_section("summary") {
        pairs.extend(engine(told));
    }
    pairs.retain(|(_, text)| !text.is_empty());
    let mut pieces = vec![Piece::Pairs(pairs)];
    let agreed = told.case.limits.lines.iter().filter_map(|line| {
        let agreed = line.agreed.as_ref()?;
        Some(format!(
            "Line {}, {}: does not add up as printed; agreed: {agreed}.",
            line.reference, line.name
        ))
    });
    pieces.extend(agreed.map(Piece::Paragraph));
    pieces
}
