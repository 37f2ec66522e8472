//! A list of measured spares.

use super::fields::{Fields, file};
use super::keys::{Kind, Shape, optional, required};
use super::rows::boxes;
use super::toml::tree::{Node, Value};
use crate::diag::{Diags, Sources};
use crate::model::Case;
use crate::model::engine::Engine;
use crate::model::id::FeatureId;
use crate::model::record::Boxes;
use crate::model::side::Side;
use crate::model::spare::Spare;
use crate::quantity::{Exact, Readings};

pub static SPARES: Shape = Shape {
    name: "a list of spares",
    keys: &[&[optional("spare", Kind::Each(&SPARE), "[[spare]]")]],
};
const READ: &str = "figures, one a box; of one part for all its places a list for each";

pub static SPARE: Shape = Shape {
    name: "[[spare]]",
    keys: &[&[
        required("id", Kind::Text, "\"S-4\""),
        required("feature", Kind::Text, "\"tappet-body\""),
        required(
            "read",
            Kind::Other(READ, &[Kind::FigureEntry, Kind::Boxes, Kind::BoxesEach]),
            "[0.8737, 0.8736]",
        ),
        optional("new", Kind::Flag, "true"),
    ]],
};

/// Reads a list of spares. `None` with the faults in `out`.
pub fn spares(files: &Sources, name: &str, case: &Case, out: &mut Diags) -> Option<Vec<Spare>> {
    file(files, name, &SPARES, out, |fields, out| {
        let each = fields.each("spare");
        let all: Vec<Spare> = each.iter().filter_map(|fields| spare(fields, case, out)).collect();
        for (n, spare) in all.iter().enumerate() {
            if all[..n]
                .iter()
                .any(|other| other.id.text == spare.id.text && other.feature == spare.feature)
            {
                let message = format!("spare {} is listed twice for one feature", spare.id);
                out.fault(&spare.id.at, message, "a mark of its own on each part");
            }
        }
        Some(all)
    })
}

fn spare(fields: &Fields<'_>, case: &Case, out: &mut Diags) -> Option<Spare> {
    let engine = &case.engine;
    let (id, named) = (fields.text("id")?, fields.text("feature")?);
    let Some(feature) = engine.feature(named.as_str()) else {
        let known = engine.features.iter().map(|feature| feature.id.as_str());
        let known: Vec<&str> = known.collect();
        out.fault(&named.at, format!("the engine has no feature {named}"), known.join(", "));
        return None;
    };
    let node = fields.node("read")?;
    let places = whole(engine, feature);
    let sets: Vec<&Node> = match (places, &node.value) {
        (None, _) => vec![node],
        (Some(_), Value::List(sets)) => sets.iter().collect(),
        _ => Vec::new(),
    };
    if let Some(places) = places.filter(|places| *places != sets.len() || !nested(&sets)) {
        let message = format!(
            "{} is one part for all its {places} places",
            engine.parts[engine.features[feature].part].name
        );
        let help = "a list of readings for each place: read = [[1.3731, 1.3730], [1.3728, 1.3727]]";
        out.fault(&node.at, message, help);
        return None;
    }
    let unit = case.limits.unit_read(feature);
    let one = |set| Some(Readings::new(unit.clone(), one(engine, feature, set, out)?));
    let read: Vec<Readings> = sets.into_iter().filter_map(one).collect();
    if read.len() != places.unwrap_or(1) {
        return None;
    }
    let new = fields.flag("new").unwrap_or_default();
    Some(Spare { id, feature, read, new, at: fields.at.clone() })
}

/// How many places one part serves at once; none where single parts sit there.
fn whole(engine: &Engine, feature: FeatureId) -> Option<usize> {
    let feature = &engine.features[feature];
    let places = feature.at?;
    engine.parts[feature.part].at.is_none().then(|| engine.places[places].places.len())
}

fn nested(sets: &[&Node]) -> bool {
    sets.iter().all(|set| matches!(set.value, Value::List(_) | Value::Unread))
}

/// The readings of one place.
fn one(
    engine: &Engine,
    feature: FeatureId,
    node: &Node,
    out: &mut Diags,
) -> Option<Vec<Option<Exact>>> {
    let count = engine.features[feature].boxes();
    let Some(Boxes::Readings(read)) = boxes(Side::Only.into(), node, None, out) else {
        return None;
    };
    if read.len() != count {
        let message = format!(
            "{} figures read, a {} has {count} boxes",
            read.len(),
            engine.features[feature].name
        );
        out.fault(&node.at, message, "one a box in the order of the sheet, \"-\" for an empty one");
        return None;
    }
    Some(read.into_iter().map(|typed| typed.map(|typed| typed.value)).collect())
}
