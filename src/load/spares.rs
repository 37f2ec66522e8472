//! A list of measured spares.

use super::fields::Fields;
use super::file;
use super::rows::{BOXES, boxes};
use super::shape::{Kind, Shape, may, must};
use crate::diag::{Diags, Sources};
use crate::model::engine::Engine;
use crate::model::record::Boxes;
use crate::model::spare::Spare;

pub static SPARES: Shape =
    Shape { name: "a list of spares", keys: &[&[may("spare", Kind::Each(&SPARE), "[[spare]]")]] };
pub static SPARE: Shape = Shape {
    name: "[[spare]]",
    keys: &[&[
        must("id", Kind::Text, "\"S-4\""),
        must("feature", Kind::Text, "\"tappet-body\""),
        must("read", BOXES, "[0.8737, 0.8736]"),
        may("new", Kind::Flag, "true"),
    ]],
};

/// Reads a list of spares. `None` with the faults in `out`.
pub fn spares(files: &Sources, name: &str, engine: &Engine, out: &mut Diags) -> Option<Vec<Spare>> {
    file(files, name, &SPARES, out, |fields, out| {
        let each = fields.each("spare");
        let all: Vec<Spare> = each.iter().filter_map(|fields| spare(fields, engine, out)).collect();
        for (n, spare) in all.iter().enumerate() {
            if all[..n]
                .iter()
                .any(|other| other.id.text == spare.id.text && other.feature == spare.feature)
            {
                let wrong = format!("spare {} is listed twice for one feature", spare.id);
                out.fault(&spare.id.at, wrong, "a mark of its own on each part");
            }
        }
        Some(all)
    })
}

fn spare(fields: &Fields<'_>, engine: &Engine, out: &mut Diags) -> Option<Spare> {
    let (id, named) = (fields.text("id")?, fields.text("feature")?);
    let Some(feature) = engine.feature(named.as_str()) else {
        let known = engine.features.iter().map(|feature| feature.id.as_str());
        let known: Vec<&str> = known.collect();
        out.fault(&named.at, format!("the engine has no feature {named}"), known.join(", "));
        return None;
    };
    let count = engine.features[feature].boxes();
    let Some(Boxes::Readings(read)) =
        fields.node("read").and_then(|node| boxes("read", node, None, out))
    else {
        return None;
    };
    if read.len() != count {
        let wrong = format!(
            "{} figures read, a {} has {count} boxes",
            read.len(),
            engine.features[feature].name
        );
        out.fault(
            fields.place("read"),
            wrong,
            "one a box in the order of the sheet, \"-\" for an empty one",
        );
        return None;
    }
    let part = &engine.parts[engine.features[feature].part];
    if engine.features[feature].at.is_some() && part.at.is_none() {
        let wrong = format!("the {} is one part for all its places", part.name);
        out.fault(&named.at, wrong, "spares are paired where single parts sit at each place");
        return None;
    }
    let new = fields.flag("new").unwrap_or_default();
    Some(Spare { id, feature, read, new, at: fields.at.clone() })
}
