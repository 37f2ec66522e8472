//! What stands behind the sheets of a transcription, field by field.

use super::value::{Value, figure, list, word, words, zero};
use crate::diag::Span;
use crate::model::record::{Again, Boxes, Change, Finding, Record};
use crate::model::side::BoxId;
use crate::model::text::Text;
use crate::quantity::date::Date;
use crate::record::why_word;

/// Fields of one entry by their keys, in the order of a transcription.
pub type Fields = Vec<(&'static str, Value)>;

/// Hands each entry on: its table, the table's rank, its subject, its fields.
pub fn all(record: &Record, mut each: impl FnMut(&'static str, u8, String, Fields)) {
    for again in &record.again {
        each("again", 0, format!("{} {}", again.row, box_of(again)), self::again(again));
    }
    for change in &record.changes {
        let places: Vec<&str> = change.places.iter().map(Text::as_str).collect();
        let subject = format!("{} {}", change.part, places.join(" "));
        each("change", 1, subject.trim_end().to_owned(), self::change(change));
    }
    for finding in &record.findings {
        each("found", 2, at(&finding.item, finding.place.as_ref()), found(finding));
    }
    for left in &record.left_out {
        let fields = vec![
            ("item", words(left.item.as_str())),
            ("place", word(&left.place)),
            ("why", word(&left.why)),
            ("by", word(&left.by)),
        ];
        each("left-out", 3, at(&left.item, left.place.as_ref()), fields);
    }
    for accepted in &record.accepted {
        let fields = vec![
            ("row", words(accepted.row.as_str())),
            ("authority", word(&accepted.authority)),
            ("document", word(&accepted.document)),
            ("on", day(&accepted.on)),
            ("by", word(&accepted.by)),
        ];
        each("accepted", 4, accepted.row.to_string(), fields);
    }
    for outside in &record.outside {
        let fields = vec![
            ("what", words(outside.what.as_str())),
            ("who", word(&outside.who)),
            ("certificate", word(&outside.certificate)),
            ("on", day(&outside.on)),
            ("result", word(&outside.result)),
        ];
        each("outside", 5, String::new(), fields);
    }
}

fn at(item: &Text, place: Option<&Text>) -> String {
    let place = place.map_or_else(String::new, |place| format!(" {place}"));
    format!("{item}{place}")
}

fn day(on: &Option<(Date, Span)>) -> Value {
    on.as_ref().map(|(day, _)| (day.to_string(), day.to_string()))
}

/// `bore 2`, or `bore` where all of its boxes are written.
fn box_of(again: &Again) -> String {
    match again.index {
        Some(index) => BoxId { group: again.key.0, index }.to_string(),
        None => again.key.0.to_string(),
    }
}

fn again(again: &Again) -> Fields {
    vec![
        ("row", words(again.row.as_str())),
        ("box", words(&box_of(again))),
        ("read", boxes(&again.boxes)),
        ("why", words(why_word(again.why.0))),
        ("by", word(&again.by)),
        ("on", day(&again.on)),
        ("gauge", list(&again.gauges)),
        ("part-temp", figure(&again.part_temperature)),
        ("gauge-temp", figure(&again.gauge_temperature)),
        ("zero", zero(&again.zero)),
        ("inspector", word(&again.inspector)),
        ("note", word(&again.note)),
    ]
}

fn boxes(boxes: &Boxes) -> Value {
    match boxes {
        Boxes::Readings(readings) => {
            let each = readings.iter().map(|r| r.as_ref().map_or("-", |typed| &typed.text));
            let shown: Vec<&str> = each.collect();
            let toml = shown.iter().map(|text| if *text == "-" { "\"-\"" } else { text });
            let toml: Vec<&str> = toml.collect();
            Some((shown.join(", "), format!("[{}]", toml.join(", "))))
        }
        Boxes::Marks(marks) => words(&marks.iter().map(|mark| mark.letter()).collect::<String>()),
        Boxes::Leaves(leaves) => {
            let each = leaves.iter().map(|(tooth, leaf, entered)| {
                let told = if *entered { "entered" } else { "refused" };
                (
                    format!("{tooth} {} {told}", leaf.text),
                    format!("[{tooth}, {}, \"{told}\"]", leaf.text),
                )
            });
            let (shown, toml): (Vec<String>, Vec<String>) = each.unzip();
            Some((shown.join(", "), format!("[{}]", toml.join(", "))))
        }
    }
}

fn change(change: &Change) -> Fields {
    vec![
        ("part", words(change.part.as_str())),
        ("places", list(&change.places)),
        ("rework", word(&change.rework)),
        ("why", words(why_word(change.why.0))),
        ("what", word(&change.what)),
        ("number", word(&change.number)),
        ("batch", word(&change.batch)),
        ("document", word(&change.document)),
        ("data", word(&change.data)),
        ("grade", word(&change.grade)),
        ("feature", list(&change.features)),
        ("by", word(&change.by)),
        ("on", day(&change.on)),
        ("redone", list(&change.redone)),
    ]
}

fn found(finding: &Finding) -> Fields {
    vec![
        ("item", words(finding.item.as_str())),
        ("place", word(&finding.place)),
        ("what", words(finding.what.as_str())),
        ("done", word(&finding.done)),
        ("by", word(&finding.by)),
        ("on", day(&finding.on)),
        ("inspector", word(&finding.inspector)),
    ]
}
