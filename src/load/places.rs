//! The sets of places of an engine file.

use super::fields::{Fields, all_texts, spoken, twice, word};
use super::suggest::Known;
use super::toml::tree::{Entry, Value};
use crate::diag::Diags;
use crate::model::engine::{Place, PlaceSet};
use crate::model::text::Text;

/// The most places that a range of codes may have.
const MOST: u32 = 99;

pub fn places(fields: &Fields<'_>, out: &mut Diags) -> Vec<PlaceSet> {
    let named = fields.names("places");
    let known = Known::new("set of places", named.into_iter()).complete(fields.whole);
    let set = |(id, set): (&Text, Fields<'_>)| {
        let codes = codes(&set, out);
        let names = names(id, &codes, &set, out);
        place_codes(&codes, &set, out);
        let mut reach = reaches(&set, &codes, out);
        let place = |(code, name): (Text, Text)| {
            let found = reach.iter().position(|(of, _)| of.as_str() == code.as_str());
            let reach = found.map(|at| reach.swap_remove(at).1);
            Place { code, name, reach }
        };
        let of = set.text("of").and_then(|of| known.find(&of, out));
        PlaceSet { id: id.clone(), of, places: codes.into_iter().zip(names).map(place).collect() }
    };
    let sets: Vec<PlaceSet> = fields.named("places").into_iter().map(set).collect();
    sets.iter().for_each(|set| some_of(set, &sets, out));
    sets
}

/// Every place of a set that is some places of another is one of that.
fn some_of(set: &PlaceSet, sets: &[PlaceSet], out: &mut Diags) {
    let Some(all) = set.of.and_then(|of| sets.get(of)) else { return };
    for place in &set.places {
        if !all.places.iter().any(|known| known.code.text == place.code.text) {
            let message = format!("{} has no place {}", all.id, place.code);
            out.fault(&place.code.at, message, format!("the codes of {}", all.id));
        }
    }
}

/// Each code, or the first and the last number of a range.
fn codes(set: &Fields<'_>, out: &mut Diags) -> Vec<Text> {
    let Some(node) = set.node("codes") else { return Vec::new() };
    let Value::Text(text) = &node.value else { return all_texts(node) };
    let Some((first, last)) = text.split_once('-') else {
        return vec![Text { text: text.clone(), at: node.at.clone() }];
    };
    match (first.trim().parse::<u32>(), last.trim().parse::<u32>()) {
        (Ok(first), Ok(last)) if first <= last && last - first < MOST => (first..=last)
            .map(|n| Text { text: n.to_string().into(), at: node.at.clone() })
            .collect(),
        _ => {
            let message = format!("{text} is no range of places");
            let help = format!("the first and the last number, {MOST} places at most: \"1-9\"");
            out.fault(&node.at, message, help);
            Vec::new()
        }
    }
}

/// The names, or the set's own name and the code: `cylinder 3`.
fn names(id: &Text, codes: &[Text], set: &Fields<'_>, out: &mut Diags) -> Vec<Text> {
    let Some(node) = set.node("names") else {
        let name = |code: &Text| {
            let name = format!("{} {code}", spoken(id));
            Text { text: name.trim_end().into(), at: code.at.clone() }
        };
        return codes.iter().map(name).collect();
    };
    let names = all_texts(node);
    if codes.len() != names.len() && set.node("codes").is_some() {
        let message = format!("{} codes and {} names", codes.len(), names.len());
        out.fault(set.place("names"), message, "one name for each code, in the same order");
    }
    names
}

fn place_codes(codes: &[Text], set: &Fields<'_>, out: &mut Diags) {
    if codes.is_empty() && set.node("codes").is_some() {
        out.fault(
            set.place("codes"),
            "a set without places",
            "[\"\"] for one place without a code",
        );
    }
    for code in codes {
        let fits = |b: u8| b.is_ascii_uppercase() || b.is_ascii_digit();
        if code.as_str().is_empty() && codes.len() > 1 {
            out.fault(&code.at, "an empty code among others", "capitals and digits: 1, 2, 1I, 1E");
        } else if !code.as_str().bytes().all(fits) {
            let tidy =
                code.as_str().to_uppercase().replace(|c: char| !c.is_ascii_alphanumeric(), "");
            out.fault(&code.at, format!("the code {code} is more than capitals and digits"), tidy);
        }
    }
    twice(codes, "code", out);
}

fn reaches(set: &Fields<'_>, codes: &[Text], out: &mut Diags) -> Vec<(Text, Text)> {
    let Some(node) = set.node("reach") else {
        return Vec::new();
    };
    let Value::Table(table) = &node.value else {
        if !matches!(node.value, Value::Unread) {
            let help = "a table of texts: reach = { 2 = \"through a cylinder opening\" }";
            out.fault(&node.at, format!("reach is {}", node.kind()), help);
        }
        return Vec::new();
    };
    let known = Known::new("place", codes.iter());
    let reach = |entry: &Entry| {
        known.find(&entry.key, out)?;
        let text = word(&entry.node).filter(|_| matches!(entry.node.value, Value::Text(_)));
        if text.is_none() && !matches!(entry.node.value, Value::Unread) {
            out.fault(
                &entry.node.at,
                "how it is reached is a text in quotes",
                "\"through a cylinder opening\"",
            );
        }
        Some((entry.key.clone(), text?))
    };
    table.0.iter().filter_map(reach).collect()
}
