//! People, gauges, the data used, and what is signed for.

use super::input::{ReportInput, words};
use crate::model::job::{Leaf, Person, Role};
use crate::model::record::{Mark, Sign};
use crate::model::text::Text;
use crate::quantity::Unit;
use crate::report::types::{Cell, Piece};
use std::collections::{BTreeMap, BTreeSet};

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
        words("name", 24),
        words("role", 14),
        words("certificate", 18),
        words("sheets signed", 44),
    ];
    let mut pieces = vec![Piece::Table { columns, rows: rows.collect() }];
    pieces.push(Piece::Paragraph(checked(told)));
    pieces
}

/// What somebody did and checked, `said` putting the sheets with their days into words.
fn by_verb<'a>(
    told: &'a ReportInput,
    person: &Person,
    said: impl Fn(Vec<(&'a str, &'a str)>) -> String,
) -> String {
    let mut parts = Vec::new();
    for (verb, checks) in [("did", false), ("checked", true)] {
        let sheets = told.judged.sheets.iter().flat_map(|sheet| {
            let own = sheet.signed.iter().filter(|sign| {
                sign.by == person.initials.as_str() && (sign.key == "check") == checks
            });
            own.map(|sign| (sheet.letter.as_str(), sign.on.as_str()))
        });
        let sheets: Vec<_> = sheets.collect();
        if !sheets.is_empty() {
            parts.push(format!("{verb} {}", said(sheets)));
        }
    }
    parts.join("; ")
}

/// Each sheet once: `did CL, X; checked L`.
fn sheets_of(told: &ReportInput, person: &Person) -> String {
    by_verb(told, person, |mut sheets| {
        sheets.dedup_by_key(|(letter, _)| *letter);
        let letters: Vec<&str> = sheets.into_iter().map(|(letter, _)| letter).collect();
        letters.join(", ")
    })
}

/// Each day once: `did CL on 2026-02-24; X, L on 2026-03-02; checked ...`.
fn days_of(told: &ReportInput, person: &Person) -> String {
    by_verb(told, person, |sheets| {
        let mut days: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for (letter, on) in sheets {
            days.entry(on).or_default().push(letter);
        }
        let day = |(on, mut letters): (&str, Vec<&str>)| {
            letters.dedup();
            match on {
                "" => format!("{} undated", letters.join(", ")),
                on => format!("{} on {on}", letters.join(", ")),
            }
        };
        days.into_iter().map(day).collect::<Vec<_>>().join("; ")
    })
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
                Cell::plain(
                    gauge.due.as_ref().map(|(date, _)| date.to_string()).unwrap_or_default(),
                ),
            ]
        });
    let columns = vec![
        words("gauge", 12),
        words("what", 30),
        words("serial", 12),
        words("range", 22),
        words("resolution", 12),
        words("uncertainty", 12),
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
    let signs = told.record.sheets.iter().flat_map(|sheet| &sheet.signs).flat_map(|s| &s.gauges);
    let again = told.record.again.iter().flat_map(|again| &again.gauges);
    signs.chain(again).map(Text::as_str).collect()
}

/// The document that the limits repeat, and lines that somebody confirmed.
pub fn limits(told: &ReportInput) -> Vec<Piece> {
    let document = &told.case.limits.document;
    let job = &told.case.job;
    let mut pairs = vec![
        ("Limits file".to_owned(), told.case.limits.number.to_string()),
        ("Document".to_owned(), format!("{} {}", document.title, document.number)),
        ("Revision".to_owned(), document.revision.to_string()),
        ("Date".to_owned(), said(document.date.as_ref())),
        ("Unit".to_owned(), format!("{}, {} decimals", document.unit.word(), document.places)),
        ("Scope".to_owned(), told.set.head.scope.clone()),
        ("Engine".to_owned(), told.set.head.engine.clone()),
        ("Serial".to_owned(), told.set.head.serial.clone()),
        ("Opened".to_owned(), said(job.opened.as_ref().map(|(_, typed)| typed))),
        ("Hours".to_owned(), said(job.hours.as_ref())),
        ("Owner".to_owned(), said(job.owner.as_ref())),
        ("Shop".to_owned(), job.shop.name.to_string()),
        ("Address".to_owned(), said(job.shop.address.as_ref())),
        ("Shop certificate".to_owned(), said(job.shop.certificate.as_ref())),
    ];
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

/// A block for each person who answers for something.
pub fn sign_off(told: &ReportInput) -> Vec<Piece> {
    let people = told.case.job.people.iter().filter_map(|person| {
        let what = sheets_of(told, person);
        let signs = !what.is_empty() || person.role != Role::Mechanic;
        let what = match (what.is_empty(), person.role) {
            (true, Role::Quality) => "gauges, data and completeness of the record".to_owned(),
            (true, _) => "the record as a whole".to_owned(),
            (false, _) => what,
        };
        signs.then(|| {
            (
                person.name.to_string(),
                person.role.word().to_owned(),
                said(person.certificate.as_ref()),
                what,
            )
        })
    });
    vec![Piece::SignOff(people.collect())]
}
