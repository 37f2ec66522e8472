//! What came after the sheets, a line for each.

use super::typed_values::{figure, leaf, line, marks, quoted, word, words};
use crate::diag::Span;
use crate::model::record::{
    Accepted, Again, Boxes, Change, Finding, LeftOut, Outside, Record, Why,
};
use crate::model::text::Text;
use crate::quantity::date::Date;
use std::fmt::Write;

pub fn later(record: &Record, text: &mut String) {
    let lists = [
        ("found", record.findings.iter().map(found).collect::<Vec<_>>()),
        ("left-out", record.left_out.iter().map(left_out).collect()),
        ("change", record.changes.iter().map(change).collect()),
        ("again", record.again.iter().map(again).collect()),
        ("accepted", record.accepted.iter().map(accepted).collect()),
        ("outside", record.outside.iter().map(outside).collect()),
    ];
    if lists.iter().all(|(_, lines)| lines.is_empty()) {
        return;
    }
    text.push_str("\n[later]\n");
    for (name, lines) in lists.iter().filter(|(_, lines)| !lines.is_empty()) {
        let _ = writeln!(text, "{name} = [");
        for line in lines {
            let _ = writeln!(text, "  {line},");
        }
        text.push_str("]\n");
    }
}

fn day(on: Option<&(Date, Span)>) -> String {
    on.map_or_else(|| quoted(""), |(day, _)| day.to_string())
}

fn given(text: Option<&Text>) -> Option<String> {
    text.map(|text| quoted(text.as_str()))
}

fn why(why: Why) -> String {
    quoted(why.word())
}

/// Item and place in one text, the place beside it where they could be taken
/// for something else.
fn place(item: &Text, place: Option<&Text>) -> (String, Option<String>) {
    match place {
        Some(place) if item.as_str().contains(' ') => (quoted(&format!("{item} {place}")), None),
        place => (quoted(item.as_str()), given(place)),
    }
}

fn found(finding: &Finding) -> String {
    let (item, place) = place(&finding.item, finding.place.as_ref());
    let values = [
        item,
        quoted(finding.what.as_str()),
        word(finding.done.as_ref()),
        word(finding.by.as_ref()),
        day(finding.on.as_ref()),
        word(finding.inspector.as_ref()),
    ];
    line(&values, &[("place", place)])
}

fn left_out(left: &LeftOut) -> String {
    let (item, place) = place(&left.item, left.place.as_ref());
    line(&[item, word(left.why.as_ref()), word(left.by.as_ref())], &[("place", place)])
}

fn change(change: &Change) -> String {
    let places: Vec<&str> = change.places.iter().map(Text::as_str).collect();
    let part = [&[change.part.as_str()], &places[..]].concat().join(" ");
    let values = [
        quoted(&part),
        why(change.why.0),
        word(change.what.as_ref()),
        word(change.by.as_ref()),
        day(change.on.as_ref()),
    ];
    let several = |texts: &[Text]| Some(words(texts)).filter(|_| !texts.is_empty());
    let beside = [
        ("rework", given(change.rework.as_ref())),
        ("number", given(change.number.as_ref())),
        ("batch", given(change.batch.as_ref())),
        ("document", given(change.document.as_ref())),
        ("data", given(change.data.as_ref())),
        ("grade", given(change.grade.as_ref())),
        ("feature", several(&change.features)),
        ("redone", several(&change.redone)),
        ("inspector", given(change.inspector.as_ref())),
    ];
    line(&values, &beside)
}

fn again(again: &Again) -> String {
    let number = again.index.map(|index| format!(" {}", index + 1)).unwrap_or_default();
    let read = match &again.boxes {
        Boxes::Readings(all) => {
            let each = |one: &Option<_>| figure(one.as_ref()).unwrap_or_else(|| "\"-\"".into());
            let all: Vec<String> = all.iter().map(each).collect();
            match (again.index, all.as_slice()) {
                (Some(_), [only]) => only.clone(),
                _ => format!("[{}]", all.join(", ")),
            }
        }
        Boxes::Marks(all) => quoted(&marks(all)),
        Boxes::Leaves(all) => {
            format!("[{}]", all.iter().map(leaf).collect::<Vec<_>>().join(", "))
        }
    };
    let values = [
        quoted(&format!("{} {}{number}", again.row, again.key.0)),
        read,
        why(again.why.0),
        word(again.by.as_ref()),
        day(again.on.as_ref()),
        words(&again.gauges),
    ];
    let beside = [
        ("zero", again.zero.as_ref().map(|zero| quoted(&marks(zero)))),
        ("part-temp", figure(again.part_temperature.as_ref())),
        ("gauge-temp", figure(again.gauge_temperature.as_ref())),
        ("inspector", given(again.inspector.as_ref())),
        ("note", given(again.note.as_ref())),
    ];
    line(&values, &beside)
}

fn accepted(accepted: &Accepted) -> String {
    let values = [
        quoted(accepted.row.as_str()),
        word(accepted.authority.as_ref()),
        word(accepted.document.as_ref()),
        word(accepted.by.as_ref()),
        day(accepted.on.as_ref()),
    ];
    line(&values, &[])
}

fn outside(outside: &Outside) -> String {
    let values = [
        quoted(outside.what.as_str()),
        word(outside.who.as_ref()),
        word(outside.certificate.as_ref()),
        day(outside.on.as_ref()),
        word(outside.result.as_ref()),
    ];
    line(&values, &[])
}
