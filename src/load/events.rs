//! What happened beside the first readings: measured again, changed, found,
//! left out, accepted, sent out.

use super::fields::Fields;
use super::keys::{Key, Kind, Shape, Short, Ways, optional, required};
use super::rows::{Decimals, boxes, zero};
use super::suggest::Known;
use crate::diag::{Diags, Span};
use crate::model::engine::Engine;
use crate::model::id::PartId;
use crate::model::record::{Accepted, Again, Boxes, Change, Finding, LeftOut, Outside, Why};
use crate::model::side::{Group, Side};
use crate::model::text::Text;

const WHYS: &[(&str, Why)] = &[
    (Why::Mistyped.word(), Why::Mistyped),
    (Why::MeasuredAgain.word(), Why::MeasuredAgain),
    (Why::Reworked.word(), Why::Reworked),
    (Why::PartChanged.word(), Why::PartChanged),
];

pub static AGAIN: Shape = Shape {
    name: "[[again]]",
    keys: &[&[
        required("row", Kind::Text, "\"C3\""),
        required("box", Kind::Text, "\"bore 2\""),
        required(
            "read",
            Kind::Other("a figure, figures or marks", &[Kind::Entry, Kind::Boxes]),
            "1.3757",
        ),
        required(
            "why",
            Kind::Choice(&["mistyped", "measured again", "reworked", "part changed"]),
            "\"measured again\"",
        ),
        optional("by", Kind::Entry, "\"TD\""),
        optional("on", Kind::DayEntry, "2026-03-06"),
        optional("gauge", Kind::EntryOrEntries, "[\"TEL-1\", \"MIC-2\"]"),
        optional("part-temp", Kind::FigureEntry, "20.0"),
        optional("gauge-temp", Kind::FigureEntry, "20.0"),
        optional("zero", Kind::Entry, "\"vv\""),
        optional("inspector", Kind::Entry, "\"JA\""),
        optional("note", Kind::Entry, "\"sleeve turn misread\""),
    ]],
};
pub static CHANGE: Shape = Shape {
    name: "[[change]]",
    keys: &[&[
        required("part", Kind::Text, "\"camshaft\""),
        optional("places", Kind::EntryOrEntries, "[\"2EX\"]"),
        optional("rework", Kind::Entry, "\"camshaft-changed\""),
        required("why", Kind::Choice(&["reworked", "part changed"]), "\"part changed\""),
        optional("what", Kind::Entry, "\"new camshaft fitted\""),
        optional("number", Kind::Entry, "\"the part number\""),
        optional("batch", Kind::Entry, "\"serial or batch\""),
        optional("document", Kind::Entry, "\"the release document\""),
        optional("data", Kind::Entry, "\"to which data it was reworked\""),
        optional("grade", Kind::Entry, "\"0.006 undersize\""),
        optional("feature", Kind::EntryOrEntries, "\"main-journal\""),
        optional("by", Kind::Entry, "\"RW\""),
        optional("on", Kind::DayEntry, "2026-03-09"),
        optional("inspector", Kind::Text, "\"JA\""),
        optional("redone", Kind::EntryOrEntries, "[\"T 3\"]"),
    ]],
};
pub static FOUND: Shape = Shape {
    name: "[[found]]",
    keys: &[&[
        required("item", Kind::Text, "\"L 4\""),
        optional("place", Kind::Entry, "\"9\""),
        required("what", Kind::Text, "\"burr on the tooth\""),
        optional("done", Kind::Entry, "\"stoned\""),
        optional("by", Kind::Entry, "\"RW\""),
        optional("on", Kind::DayEntry, "2026-03-04"),
        optional("inspector", Kind::Entry, "\"JA\""),
    ]],
};
pub static LEFT_OUT: Shape = Shape {
    name: "[[left-out]]",
    keys: &[&[
        required("item", Kind::Text, "\"L 4\""),
        optional("place", Kind::Entry, "\"9\""),
        optional("why", Kind::Entry, "\"not fitted\""),
        optional("by", Kind::Entry, "\"JA\""),
    ]],
};
pub static ACCEPTED: Shape = Shape {
    name: "[[accepted]]",
    keys: &[&[
        required("row", Kind::Text, "\"C2\""),
        optional("authority", Kind::Entry, "\"who accepted it\""),
        optional("document", Kind::Entry, "\"the letter's number\""),
        optional("on", Kind::DayEntry, "2026-03-10"),
        optional("by", Kind::Entry, "\"JA\""),
    ]],
};
pub static OUTSIDE: Shape = Shape {
    name: "[[outside]]",
    keys: &[&[
        required("what", Kind::Text, "\"crankshaft crack test\""),
        optional("who", Kind::Entry, "\"the shop that did it\""),
        optional("certificate", Kind::Entry, "\"its number\""),
        optional("on", Kind::DayEntry, "2026-03-05"),
        optional("result", Kind::Entry, "\"no cracks\""),
    ]],
};

static AGAIN_SHORT: Short = Short {
    shape: &AGAIN,
    order: &["row box", "read", "why", "by", "on", "gauge"],
    ways: Ways::Rows,
};
static CHANGE_SHORT: Short =
    Short { shape: &CHANGE, order: &["part places", "why", "what", "by", "on"], ways: Ways::One };
static FOUND_SHORT: Short = Short {
    shape: &FOUND,
    order: &["item place", "what", "done", "by", "on", "inspector"],
    ways: Ways::One,
};
static LEFT_OUT_SHORT: Short =
    Short { shape: &LEFT_OUT, order: &["item place", "why", "by"], ways: Ways::One };
static ACCEPTED_SHORT: Short = Short {
    shape: &ACCEPTED,
    order: &["row", "authority", "document", "by", "on"],
    ways: Ways::One,
};
static OUTSIDE_SHORT: Short = Short {
    shape: &OUTSIDE,
    order: &["what", "who", "certificate", "on", "result"],
    ways: Ways::One,
};

/// What came after the sheets, table by table or, under `[later]`, line by line.
pub const LATER_KEYS: &[Key] = &[
    optional("again", Kind::Shorts(&AGAIN_SHORT), "[[again]]"),
    optional("change", Kind::Shorts(&CHANGE_SHORT), "[[change]]"),
    optional("found", Kind::Shorts(&FOUND_SHORT), "[[found]]"),
    optional("left-out", Kind::Shorts(&LEFT_OUT_SHORT), "[[left-out]]"),
    optional("accepted", Kind::Shorts(&ACCEPTED_SHORT), "[[accepted]]"),
    optional("outside", Kind::Shorts(&OUTSIDE_SHORT), "[[outside]]"),
];
pub static LATER: Shape = Shape { name: "[later]", keys: &[LATER_KEYS] };

/// The tables and the lines of one name, in the order of the file.
fn each<'a>(fields: &Fields<'a>, key: &str) -> Vec<Fields<'a>> {
    let mut all = fields.each(key);
    all.extend(fields.table("later").into_iter().flat_map(|later| later.each(key)));
    all.sort_by_key(|fields| fields.at.start);
    all
}

/// What the events refer to.
pub struct Events<'a> {
    pub engine: Option<&'a Engine>,
    pub decimals: &'a Decimals,
}

impl Events<'_> {
    pub fn again(&self, fields: &Fields<'_>, out: &mut Diags) -> Vec<Again> {
        each(fields, "again").iter().filter_map(|again| self.one_again(again, out)).collect()
    }

    fn one_again(&self, fields: &Fields<'_>, out: &mut Diags) -> Option<Again> {
        let row = fields.text("row");
        let named = fields.text("box").and_then(|named| box_name(named, out));
        let node = fields.node("read");
        let decimals = row.as_ref().and_then(|row| self.decimals.get(row.as_str()).copied());
        let key = named.as_ref().map_or(Side::Only.into(), |((key, _), _)| *key);
        let boxes = node.and_then(|node| boxes(key, node, decimals, out));
        let (key, index) = named?;
        let boxes = boxes?;
        let count = match &boxes {
            Boxes::Readings(all) => all.len(),
            Boxes::Marks(all) => all.len(),
            Boxes::Leaves(all) => all.len(),
        };
        if index.is_some() && count != 1 {
            let help = format!("one, or box = \"{}\" for all of them", key.0);
            out.fault(fields.place("read"), format!("{count} readings for one box"), help);
        }
        Some(Again {
            row: row?,
            key,
            index,
            boxes,
            boxes_at: node?.at.clone(),
            why: why(fields)?,
            by: fields.text("by"),
            on: fields.day("on"),
            gauges: fields.texts("gauge").unwrap_or_default(),
            part_temperature: fields.figure("part-temp"),
            gauge_temperature: fields.figure("gauge-temp"),
            zero: zero(fields, out),
            inspector: fields.text("inspector"),
            note: fields.text("note"),
            at: fields.at.clone(),
        })
    }

    pub fn changes(&self, fields: &Fields<'_>, out: &mut Diags) -> Vec<Change> {
        each(fields, "change").iter().filter_map(|change| self.change(change, out)).collect()
    }

    fn change(&self, fields: &Fields<'_>, out: &mut Diags) -> Option<Change> {
        let (part, rework) = (fields.text("part"), fields.text("rework"));
        let places = fields.texts("places").unwrap_or_default();
        let features = fields.texts("feature").unwrap_or_default();
        if let (Some(engine), Some(part)) = (self.engine, &part) {
            self.refers(engine, part, &places, rework.as_ref(), out);
            of_part(engine, part, &features, out);
        }
        Some(Change {
            part: part?,
            places,
            rework,
            why: why(fields)?,
            what: fields.text("what"),
            number: fields.text("number"),
            batch: fields.text("batch"),
            document: fields.text("document"),
            data: fields.text("data"),
            grade: fields.text("grade"),
            features,
            by: fields.text("by"),
            on: fields.day("on"),
            inspector: fields.text("inspector"),
            redone: fields.texts("redone").unwrap_or_default(),
            at: fields.at.clone(),
        })
    }

    /// The part, its places and the rework are the engine's.
    fn refers(
        &self,
        engine: &Engine,
        part: &Text,
        places: &[Text],
        rework: Option<&Text>,
        out: &mut Diags,
    ) {
        let parts = Known::new("part", engine.parts.iter().map(|part| &part.id));
        let Some(index) = parts.find(part, out).map(PartId) else {
            return;
        };
        let set = engine.parts.get(index.0).and_then(|part| engine.places.get(part.at?));
        let codes = set.map_or(&[][..], |set| &set.places);
        let known = Known::new("place", codes.iter().map(|place| &place.code));
        match (set, places.first()) {
            (None, Some(first)) => {
                let message = format!("the part {part} has no places of its own");
                out.fault(&first.at, message, "leave places out");
            }
            _ => {
                for place in places {
                    known.find(place, out);
                }
            }
        }
        if let Some(rework) = rework {
            let reworks = Known::new("rework", engine.reworks.iter().map(|rework| &rework.id));
            let found = reworks.find(rework, out).and_then(|found| engine.reworks.get(found));
            if let Some(found) = found.filter(|found| found.part != index) {
                let of =
                    engine.parts.get(found.part.0).map_or("another part", |part| part.id.as_str());
                out.fault(
                    &rework.at,
                    format!("{rework} is a rework of {of}"),
                    format!("a rework of {part}"),
                );
            }
        }
    }
}

/// The features that a change names are the part's.
fn of_part(engine: &Engine, part: &Text, features: &[Text], out: &mut Diags) {
    let Some(index) = engine.part(part.as_str()) else { return };
    let own = engine.features.iter().filter(|feature| feature.part == index);
    let known = Known::new("feature of the part", own.map(|feature| &feature.id));
    for feature in features {
        known.find(feature, out);
    }
}

fn why(fields: &Fields<'_>) -> Option<(Why, Span)> {
    Some((fields.choice("why", WHYS)?, fields.node("why")?.at.clone()))
}

/// `bore`, or `bore 2` for the second box: the key and an index from 0.
fn box_name(named: Text, out: &mut Diags) -> Option<((Group, Span), Option<usize>)> {
    let (key, number) = match named.as_str().trim().split_once(' ') {
        Some((key, number)) => (key, Some(number.trim())),
        None => (named.as_str().trim(), None),
    };
    let index = match number {
        Some(number) => number
            .parse()
            .ok()
            .filter(|number| (1..=96).contains(number))
            .map(|n: usize| Some(n - 1)),
        None => Some(None),
    };
    let found = Group::named(key).zip(index);
    if found.is_none() {
        let help = "shaft, bore, read, go or nogo, and the box's number: \"bore 2\"";
        out.fault(&named.at, format!("there is no box \"{named}\""), help);
    }
    found.map(|(group, index)| ((group, named.at), index))
}

pub fn findings(fields: &Fields<'_>) -> Vec<Finding> {
    let finding = |fields: &Fields<'_>| {
        Some(Finding {
            item: fields.text("item")?,
            place: fields.text("place"),
            what: fields.text("what")?,
            done: fields.text("done"),
            by: fields.text("by"),
            on: fields.day("on"),
            inspector: fields.text("inspector"),
            at: fields.at.clone(),
        })
    };
    each(fields, "found").iter().filter_map(finding).collect()
}

pub fn left_out(fields: &Fields<'_>) -> Vec<LeftOut> {
    let left = |fields: &Fields<'_>| {
        let (place, why, by) = (fields.text("place"), fields.text("why"), fields.text("by"));
        Some(LeftOut { item: fields.text("item")?, place, why, by, at: fields.at.clone() })
    };
    each(fields, "left-out").iter().filter_map(left).collect()
}

pub fn accepted(fields: &Fields<'_>) -> Vec<Accepted> {
    let accepted = |fields: &Fields<'_>| {
        Some(Accepted {
            row: fields.text("row")?,
            authority: fields.text("authority"),
            document: fields.text("document"),
            on: fields.day("on"),
            by: fields.text("by"),
            at: fields.at.clone(),
        })
    };
    each(fields, "accepted").iter().filter_map(accepted).collect()
}

pub fn outside(fields: &Fields<'_>) -> Vec<Outside> {
    let outside = |fields: &Fields<'_>| {
        Some(Outside {
            what: fields.text("what")?,
            who: fields.text("who"),
            certificate: fields.text("certificate"),
            on: fields.day("on"),
            result: fields.text("result"),
            at: fields.at.clone(),
        })
    };
    each(fields, "outside").iter().filter_map(outside).collect()
}
