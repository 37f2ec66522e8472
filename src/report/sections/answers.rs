//! Who answers for what: everyone whose initials the record carries, with what
//! they did, checked, released and accepted, and a place to sign for it.

use super::input::ReportInput;
use crate::model::job::{Person, Role};
use crate::model::text::Text;
use crate::quantity::date::Date;
use crate::report::types::Piece;
use std::collections::BTreeMap;

/// Something that carries somebody's initials.
struct Deed<'a> {
    verb: &'static str,
    /// Letter of a sheet, code of a row or an item, a part.
    of: String,
    by: &'a str,
    on: String,
}

const DID: &str = "performed";
const RELEASED: &str = "released the hold points of";
const CHECKED: &str = "checked";
const AGAIN: &str = "measured again";
const ACCEPTED: &str = "accepted what came later of";
const CHANGED: &str = "changed or reworked";
const FOUND: &str = "put right or saw what was found at";
const REASON: &str = "gave the reason for leaving out or accepting";
/// In the order in which they are told.
const VERBS: [&str; 8] = [DID, RELEASED, CHECKED, AGAIN, ACCEPTED, CHANGED, FOUND, REASON];

fn deeds<'a>(told: &'a ReportInput) -> Vec<Deed<'a>> {
    let mut all = Vec::new();
    let day = |on: Option<&(Date, crate::diag::Span)>| {
        on.map(|(date, _)| date.to_string()).unwrap_or_default()
    };
    let mut add = |verb, of: &str, by: Option<&'a Text>, on: &str| {
        if let Some(by) = by.map(Text::as_str).filter(|by| !by.is_empty()) {
            all.push(Deed { verb, of: of.to_owned(), by, on: on.to_owned() });
        }
    };
    for sheet in &told.judged.sheets {
        let entry = told.record.sheets.iter().find(|entry| entry.letter.as_str() == sheet.letter);
        let Some(entry) = entry.filter(|_| sheet.begun) else { continue };
        for sign in &entry.signs {
            let verb = match sign.key.as_str() {
                "check" => CHECKED,
                key if key.starts_with("hold") => RELEASED,
                _ => DID,
            };
            add(verb, &sheet.letter, sign.by.as_ref(), &day(sign.on.as_ref()));
        }
        let work = entry.signs.iter().find(|sign| sign.key.as_str() == "work");
        let on = day(work.and_then(|work| work.on.as_ref()));
        for beside in &entry.initials {
            beside.by.iter().for_each(|by| add(DID, &sheet.letter, Some(by), &on));
        }
        for row in &entry.rows {
            let by = row.not_applicable.as_ref().and_then(|left| left.by.as_ref());
            add(REASON, row.code.as_str(), by, "");
        }
    }
    for again in &told.record.again {
        let on = day(again.on.as_ref());
        add(AGAIN, again.row.as_str(), again.by.as_ref(), &on);
        add(ACCEPTED, again.row.as_str(), again.inspector.as_ref(), &on);
    }
    for change in &told.record.changes {
        let part = told.case.engine.part(change.part.as_str());
        let name = part.map(|n| told.case.engine.parts[n].name.to_string());
        let name = name.unwrap_or_else(|| change.part.to_string());
        let on = day(change.on.as_ref());
        add(CHANGED, &name, change.by.as_ref(), &on);
        add(ACCEPTED, &name, change.inspector.as_ref(), &on);
    }
    for finding in &told.record.findings {
        let on = day(finding.on.as_ref());
        add(FOUND, finding.item.as_str(), finding.by.as_ref(), &on);
        add(FOUND, finding.item.as_str(), finding.inspector.as_ref(), &on);
    }
    for left in &told.record.left_out {
        add(REASON, left.item.as_str(), left.by.as_ref(), "");
    }
    for accepted in &told.record.accepted {
        add(REASON, accepted.row.as_str(), accepted.by.as_ref(), &day(accepted.on.as_ref()));
    }
    all
}

/// A person's deeds, verb by verb, `said` putting those of one verb into words.
fn by_verb(
    told: &ReportInput,
    person: &Person,
    said: impl Fn(Vec<(String, String)>) -> String,
) -> String {
    let all = deeds(told);
    let parts = VERBS.iter().filter_map(|verb| {
        let own =
            all.iter().filter(|deed| deed.verb == *verb && deed.by == person.initials.as_str());
        let mut own: Vec<_> = own.map(|deed| (deed.of.clone(), deed.on.clone())).collect();
        own.dedup();
        (!own.is_empty()).then(|| format!("{verb} {}", said(own)))
    });
    parts.collect::<Vec<_>>().join("; ")
}

/// Each thing once: `performed CL, X; checked L`.
fn answers_for(told: &ReportInput, person: &Person) -> String {
    by_verb(told, person, |own| {
        let mut once: Vec<String> = Vec::new();
        for (of, _) in own {
            if !once.contains(&of) {
                once.push(of);
            }
        }
        once.join(", ")
    })
}

/// Each day once: `performed CL on 2026-02-24; X, L on 2026-03-02; checked ...`.
pub fn days_of(told: &ReportInput, person: &Person) -> String {
    by_verb(told, person, |own| {
        let mut days: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for (of, on) in own {
            days.entry(on).or_default().push(of);
        }
        let day = |(on, mut of): (String, Vec<String>)| {
            of.dedup();
            match on.as_str() {
                "" => format!("{} undated", of.join(", ")),
                on => format!("{} on {on}", of.join(", ")),
            }
        };
        days.into_iter().map(day).collect::<Vec<_>>().join("; ")
    })
}

/// Everyone who has to sign: whose initials stand for something, and every
/// inspector and quality manager of the job.
pub fn answering<'a>(told: &'a ReportInput) -> impl Iterator<Item = &'a Person> {
    let all = deeds(told);
    told.case.job.people.iter().filter(move |person| {
        person.role != Role::Mechanic || all.iter().any(|deed| deed.by == person.initials.as_str())
    })
}

/// A block for each person who answers for something.
pub fn sign_off(told: &ReportInput) -> Vec<Piece> {
    let people = answering(told).map(|person| {
        let what = answers_for(told, person);
        let what = match (what.is_empty(), person.role) {
            (true, Role::Quality) => "gauges, data and completeness of the record".to_owned(),
            (true, _) => "the record as a whole".to_owned(),
            (false, _) => what,
        };
        (
            person.name.to_string(),
            person.role.word().to_owned(),
            person.certificate.as_ref().map(Text::to_string).unwrap_or_default(),
            what,
        )
    });
    vec![Piece::SignOff(people.collect())]
}
