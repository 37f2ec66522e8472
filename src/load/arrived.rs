//! Grades that parts came to the job with.

use super::fields::Fields;
use super::keys::{Kind, Shape, optional, required};
use super::suggest::Known;
use crate::diag::Diags;
use crate::model::engine::Engine;
use crate::model::id::FeatureId;
use crate::model::job::{Arrived, Job};
use crate::model::limits::Limits;

pub static ARRIVED: Shape = Shape {
    name: "[[arrived]]",
    keys: &[&[
        required("feature", Kind::Text, "\"crankpin\""),
        required("grade", Kind::Text, "\"0.010 under\""),
        optional("places", Kind::EntryOrEntries, "[\"2\"]"),
    ]],
};

pub fn read(fields: &Fields<'_>) -> Vec<Arrived> {
    let one = |fields: &Fields<'_>| {
        let places = fields.texts("places").unwrap_or_default();
        Some(Arrived { feature: fields.text("feature")?, grade: fields.text("grade")?, places })
    };
    fields.each("arrived").iter().filter_map(one).collect()
}

/// The feature is the engine's, the grade is one that the limits have for it,
/// the places are its part's, and nothing is said twice. True where all is so.
pub fn fits(job: &Job, engine: &Engine, limits: &Limits, out: &mut Diags) -> bool {
    let before = out.faults();
    let features = Known::new("feature", engine.features.iter().map(|feature| &feature.id));
    let grades = limits.grades();
    for (n, arrived) in job.arrived.iter().enumerate() {
        let Some(feature) = features.find(&arrived.feature, out).map(FeatureId) else { continue };
        let own = grades.iter().filter(|(of, _)| *of == feature).map(|(_, name)| *name);
        let own: Vec<&str> = own.collect();
        if !own.contains(&arrived.grade.as_str()) {
            let message =
                format!("the limits have no grade {} for {}", arrived.grade, arrived.feature);
            let help = if own.is_empty() { "no grade at all".to_owned() } else { own.join(", ") };
            out.fault(&arrived.grade.at, message, help);
        }
        let sits = engine.parts.get(engine.features[feature].part.0).and_then(|part| part.at);
        let set = sits.and_then(|set| engine.places.get(set));
        match (set, arrived.places.first()) {
            (None, Some(first)) => {
                let message = format!("one part carries every {}", arrived.feature);
                out.fault(&first.at, message, "leave places out: they are all of one grade");
            }
            (Some(set), _) => {
                let known = Known::new("place", set.places.iter().map(|place| &place.code));
                for place in &arrived.places {
                    known.find(place, out);
                }
            }
            (None, None) => {}
        }
        let shares = |other: &Arrived| {
            let both = |place: &str| arrived.places.iter().any(|own| own.as_str() == place);
            other.feature.text == arrived.feature.text
                && (other.places.is_empty()
                    || arrived.places.is_empty()
                    || other.places.iter().map(|p| p.as_str()).any(both))
        };
        if job.arrived[..n].iter().any(shares) {
            let message = format!("a second grade for {}", arrived.feature);
            out.fault(&arrived.feature.at, message, "one for each place of a feature");
        }
    }
    out.faults() == before
}
