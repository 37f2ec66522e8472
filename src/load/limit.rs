//! Limits as they are typed: pairs, single ends, resolutions.

use super::fields::{Fields, fit, typed};
use super::shape::{Key, Kind, Shape, may};
use super::tree::Node;
use crate::diag::{Diag, Diags, Weight};
use crate::model::line::{Four, PartLimits};
use crate::model::typed::{Limit, Typed};
use crate::quantity::Exact;

/// Limits of a size or a direct reading.
pub const FOUR: &[Key] = &[
    may("new", Kind::Pair, "[1.3725, 1.3735]"),
    may("new-min", Kind::Figure, "1.3725"),
    may("new-max", Kind::Figure, "1.3735"),
    may("service", Kind::Pair, "[1.3715, 1.3740]"),
    may("service-min", Kind::Figure, "1.3715"),
    may("service-max", Kind::Figure, "1.3740"),
];
pub static FIT_LIMITS: Shape = Shape {
    name: "a fit's limits",
    keys: &[FIT_FOUR, &[may("twin", Kind::Table(&FIT_TWIN), "{ new = [\"0.025L\", \"0.089L\"] }")]],
};
static FIT_TWIN: Shape = Shape { name: "a fit's limits", keys: &[FIT_FOUR] };
const FIT_FOUR: &[Key] = &[
    may("new", Kind::FitPair, "[\"0.0010L\", \"0.0035L\"]"),
    may("new-min", Kind::FitLimit, "\"0.0010L\""),
    may("new-max", Kind::FitLimit, "\"0.0035L\""),
    may("service", Kind::FitLimit, "\"0.0050L\""),
    may("service-min", Kind::FitLimit, "\"0.0005L\""),
    may("service-max", Kind::FitLimit, "\"0.0050L\""),
];
/// Limits of one part of a fit.
pub const PART_LIMITS: &[Key] = &[
    may("new", Kind::Pair, "[1.3725, 1.3735]"),
    may("new-min", Kind::Figure, "1.3725"),
    may("new-max", Kind::Figure, "1.3735"),
    may("wear", Kind::Figure, "1.3715"),
    may("twin", Kind::Table(&PART_TWIN), "{ new = [34.862, 34.887], wear = 34.836 }"),
];
static PART_TWIN: Shape = Shape {
    name: "a part's limits",
    keys: &[&[
        may("new", Kind::Pair, "[34.862, 34.887]"),
        may("new-min", Kind::Figure, "34.862"),
        may("new-max", Kind::Figure, "34.887"),
        may("wear", Kind::Figure, "34.836"),
    ]],
};
pub static TWIN: Shape = Shape { name: "the other unit's limits", keys: &[FOUR] };

/// The decimals of a resolution: a one with zeros before it.
pub fn places(node: &Node, out: &mut Diags) -> Option<u8> {
    let text = match &node.value {
        super::tree::Value::Text(text) | super::tree::Value::Figure(text) => text.trim(),
        _ => return None,
    };
    let decimals = match Exact::read(text) {
        Ok(step) => (0..=7).find(|places| step == Exact::steps(1, *places)),
        Err(_) => None,
    };
    if decimals.is_none() {
        out.fault(
            &node.at,
            format!("{text} is no resolution"),
            "one step of the last digit: \"0.0001\"",
        );
    }
    decimals
}

/// How the limits of a line are read.
#[derive(Clone, Copy)]
pub struct Reading {
    /// Decimals of the line; none asked for of the other unit's figures.
    pub places: Option<u8>,
    /// A fit's, with L or T.
    pub fits: bool,
    /// A size of a part: above zero.
    pub size: bool,
}

impl Reading {
    pub fn four(self, fields: &Fields<'_>, out: &mut Diags) -> Four {
        let [new_min, new_max] = self.ends(fields, "new", out);
        let [service_min, service_max] = match self.fits {
            true => self.fit_service(fields, out),
            false => self.ends(fields, "service", out),
        };
        Four { new_min, new_max, service_min, service_max }
    }

    /// The limits of the other unit, in the table `twin`.
    pub fn twin(self, fields: &Fields<'_>, out: &mut Diags) -> Option<Four> {
        let twin = fields.table("twin")?;
        Some(Reading { places: None, ..self }.four(&twin, out))
    }

    pub fn part(self, fields: &Fields<'_>, feature: usize, out: &mut Diags) -> PartLimits {
        let [new_min, new_max] = self.ends(fields, "new", out);
        let wear = self.one(fields, "wear", out);
        let other = Reading { places: None, ..self };
        let twin = fields.table("twin").map(|twin| Box::new(other.part(&twin, feature, out)));
        PartLimits { feature, new_min, new_max, wear, twin }
    }

    fn value(self) -> fn(&Node) -> Option<Typed> {
        if self.fits { fit } else { typed }
    }

    /// Lowest and highest, from a pair or from a key each.
    fn ends(self, fields: &Fields<'_>, key: &str, out: &mut Diags) -> [Option<Limit>; 2] {
        let single = [format!("{key}-min"), format!("{key}-max")];
        let ends = single.clone().map(|key| self.one(fields, &key, out));
        if fields.node(key).is_none() {
            self.reversed(&ends, out);
            return ends;
        }
        for single in single.iter().filter(|single| fields.node(single).is_some()) {
            out.fault(
                fields.place(single),
                format!("{key} and {single} say the same"),
                "keep one of the two",
            );
        }
        let pair = fields.pair(key, self.value());
        pair.iter().flatten().for_each(|limit| self.look(limit, out));
        self.reversed(&pair, out);
        pair
    }

    /// A fit's service limit alone is the loosest that may serve.
    fn fit_service(self, fields: &Fields<'_>, out: &mut Diags) -> [Option<Limit>; 2] {
        let [low, high] = ["service-min", "service-max"].map(|key| self.one(fields, key, out));
        let alone = self.one(fields, "service", out);
        if let (Some(_), Some(high)) = (&alone, &high) {
            out.fault(&high.at, "service and service-max say the same", "keep one of the two");
        }
        let ends = [low, alone.or(high)];
        self.reversed(&ends, out);
        ends
    }

    fn one(self, fields: &Fields<'_>, key: &str, out: &mut Diags) -> Option<Limit> {
        let limit = fields.node(key).and_then(self.value());
        if let Some(limit) = &limit {
            self.look(limit, out);
        }
        limit
    }

    fn look(self, limit: &Limit, out: &mut Diags) {
        let decimals = limit.places();
        if let Some(places) = self.places.filter(|places| decimals > *places) {
            let wrong =
                format!("{} has {decimals} decimals, the line is read to {places}", limit.text);
            out.fault(
                &limit.at,
                wrong,
                "look at the document, or give the line a finer resolution",
            );
        }
        if self.size && (limit.value.is_zero() || limit.value.is_negative()) {
            out.fault(
                &limit.at,
                format!("a size of {}", limit.text),
                "leave an absent limit out, or type \"-\"",
            );
        }
    }

    fn reversed(self, ends: &[Option<Limit>; 2], out: &mut Diags) {
        let [Some(low), Some(high)] = ends else {
            return;
        };
        if low.value <= high.value {
            return;
        }
        let (kind, first) = match self.fits {
            true => ("loose to tight", "the tighter first"),
            false => ("high to low", "the lower first"),
        };
        let wrong = format!("printed {kind}: {} to {}", low.text, high.text);
        let right = match self.fits {
            true => format!("{first}: [\"{}\", \"{}\"]", high.text, low.text),
            false => format!("{first}: [{}, {}]", high.text, low.text),
        };
        let mut at = low.at.clone();
        if high.at.start > at.start && high.at.start - at.end < 8 {
            at.end = high.at.end;
            out.fault(&at, wrong, right);
        } else {
            out.push(
                Diag::at(Weight::Fault, &low.at, wrong, right)
                    .also(high.at.clone(), "the other end"),
            );
        }
    }
}
