//! Limits as they are typed: pairs, single ends, resolutions.

use super::check;
use super::fields::{Fields, fit, typed};
use super::keys::{Key, Kind, Shape, optional};
use super::toml::tree::{Node, Value};
use crate::diag::{Diag, Diags, Severity};
use crate::model::id::FeatureId;
use crate::model::limits::{SizeLimits, Tolerance, Twin};
use crate::model::side::Side;
use crate::model::text::{Limit, Number, Stated};
use crate::quantity::{Exact, Unit};

/// The word of a document that takes no used part back.
pub const REPLACE: &str = "replace";
/// Limits of a size or a direct reading.
pub const TOLERANCE: &[Key] = &[
    optional("new", Kind::Pair, "[1.3725, 1.3735]"),
    optional("new-min", Kind::Figure, "1.3725"),
    optional("new-max", Kind::Figure, "1.3735"),
    optional(
        "service",
        Kind::Other(
            "two figures in brackets, the lower first, or \"replace\"",
            &[Kind::Pair, Kind::Choice(&[REPLACE])],
        ),
        "[1.3715, 1.3740]",
    ),
    optional("service-min", Kind::Figure, "1.3715"),
    optional("service-max", Kind::Figure, "1.3740"),
];
/// What is printed beside them in another unit.
pub const BESIDE: &[Key] =
    &[optional("twin", Kind::Table(&TWIN), "{ new = [0.13, 0.30] }").aside()];
/// The same of a size, which may have its wear as an amount.
pub const WORN: &[Key] = &[
    optional("wear-amount", Kind::Figure, "0.0010").said("wear amount"),
    optional("twin", Kind::Table(&SIZE_TWIN), "{ new = [34.862, 34.887] }").aside(),
];
pub static FIT_LIMITS: Shape = Shape {
    name: "a fit's limits",
    keys: &[
        FIT_TOLERANCE,
        &[optional("twin", Kind::Table(&FIT_TWIN), "{ new = [\"0.025L\", \"0.089L\"] }").aside()],
    ],
};
static FIT_TWIN: Shape = Shape { name: "a fit's limits", keys: &[FIT_TOLERANCE] };
const FIT_TOLERANCE: &[Key] = &[
    optional("new", Kind::FitPair, "[\"0.0010L\", \"0.0035L\"]"),
    optional("new-min", Kind::FitLimit, "\"0.0010L\""),
    optional("new-max", Kind::FitLimit, "\"0.0035L\""),
    optional("service", Kind::FitLimit, "\"0.0050L\""),
    optional("service-min", Kind::FitLimit, "\"0.0005L\""),
    optional("service-max", Kind::FitLimit, "\"0.0050L\""),
];
/// Limits of one part of a fit.
pub const PART_LIMITS: &[Key] = &[
    optional("new", Kind::Pair, "[1.3725, 1.3735]"),
    optional("new-min", Kind::Figure, "1.3725"),
    optional("new-max", Kind::Figure, "1.3735"),
    optional("wear", Kind::Figure, "1.3715").said("wear limit"),
    optional("wear-amount", Kind::Figure, "0.0010").said("wear amount"),
    optional("service", Kind::Choice(&[REPLACE]), "\"replace\""),
    optional("twin", Kind::Table(&PART_TWIN), "{ new = [34.862, 34.887], wear = 34.836 }").aside(),
];
static PART_TWIN: Shape = Shape {
    name: "a part's limits",
    keys: &[&[
        optional("new", Kind::Pair, "[34.862, 34.887]"),
        optional("new-min", Kind::Figure, "34.862"),
        optional("new-max", Kind::Figure, "34.887"),
        optional("wear", Kind::Figure, "34.836").said("wear limit"),
        optional("wear-amount", Kind::Figure, "0.026").said("wear amount"),
    ]],
};
static TWIN: Shape = Shape { name: "the other unit's limits", keys: &[OTHER] };
static SIZE_TWIN: Shape = Shape {
    name: "the other unit's limits",
    keys: &[OTHER, &[optional("wear-amount", Kind::Figure, "0.026").said("wear amount")]],
};
const OTHER: &[Key] = &[
    optional("unit", Kind::Text, "\"N\""),
    optional("new", Kind::Pair, "[34.862, 34.887]"),
    optional("new-min", Kind::Figure, "34.862"),
    optional("new-max", Kind::Figure, "34.887"),
    optional("service", Kind::Pair, "[34.836, 34.900]"),
    optional("service-min", Kind::Figure, "34.836"),
    optional("service-max", Kind::Figure, "34.900"),
];

/// What `service` of a size or a reading may be, one after the other.
const SERVICE_PAIR: Key = optional("service", Kind::Pair, "[1.3715, 1.3740]");
const SERVICE_WORD: Key = optional("service", Kind::Choice(&[REPLACE]), "\"replace\"");

fn says_replace(fields: &Fields<'_>) -> bool {
    fields.text("service").is_some_and(|word| word.as_str() == REPLACE)
}

/// A limit beside `replace`.
fn second(fields: &Fields<'_>, key: &str, out: &mut Diags) {
    let message = format!("service = \"{REPLACE}\" and {key}");
    out.fault(fields.place(key), message, "keep one: a part that is replaced has no such limit");
}

/// The decimals of a resolution: a one with zeros before it.
pub fn places(node: &Node, out: &mut Diags) -> Option<u8> {
    let text = match &node.value {
        Value::Text(text) | Value::Figure(text) => text.trim(),
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
pub struct Reading<'a> {
    pub unit: &'a Unit,
    /// Decimals of the line; none asked for of the other unit's figures.
    pub places: Option<u8>,
    /// A fit's, with L or T.
    pub fits: bool,
    /// A size of a part: above zero.
    pub size: bool,
}

impl Reading<'_> {
    pub fn tolerance(self, fields: &Fields<'_>, out: &mut Diags) -> Tolerance {
        let [new_min, new_max] = self.ends(fields, "new", out);
        let [service_min, service_max] = match self.fits {
            true => self.fit_service(fields, out),
            false => self.ends(fields, "service", out),
        };
        let replace = says_replace(fields);
        let twin = fields.table("twin").map(|twin| {
            let told = twin.text("unit").map(|unit| Unit::read(unit.as_str()));
            let other = told.or_else(|| self.unit.other_length());
            // Where nobody can tell which unit, proof-reading refuses it.
            let unit = other.as_ref().unwrap_or(self.unit);
            let limits = Reading { unit, places: None, ..self }.tolerance(&twin, out);
            Box::new(Twin { unit: other, limits })
        });
        let wear_amount = self.one(fields, "wear-amount", out);
        Tolerance { new_min, new_max, service_min, service_max, wear_amount, replace, twin }
    }

    /// The four limits of a size; where the document gives wear as an amount,
    /// the limit of the side that wears is worked out from it.
    pub fn of_size(self, side: Option<Side>, fields: &Fields<'_>, out: &mut Diags) -> Tolerance {
        let mut tolerance = self.tolerance(fields, out);
        let amount = tolerance.wear_amount.clone();
        let Some(amount) = amount else { return tolerance };
        match side {
            Some(Side::Shaft) => {
                self.worn(fields, &amount, (&tolerance.service_min, "service-min"), out);
                tolerance.service_min = self.worn_to(&tolerance.new_min, &amount, false, out);
            }
            Some(Side::Bore) => {
                self.worn(fields, &amount, (&tolerance.service_max, "service-max"), out);
                tolerance.service_max = self.worn_to(&tolerance.new_max, &amount, true, out);
            }
            Some(Side::Only) => {
                let message = format!("a wear of {} on a feature that is neither", amount.text);
                let help = "say the limit: service-min, service-max, or both";
                out.fault(fields.place("wear-amount"), message, help);
            }
            None => {}
        }
        tolerance
    }

    pub fn part(
        self,
        (fields, side): (&Fields<'_>, Side),
        feature: FeatureId,
        out: &mut Diags,
    ) -> SizeLimits {
        let [new_min, new_max] = self.ends(fields, "new", out);
        let mut wear = self.one(fields, "wear", out);
        let replace = says_replace(fields);
        if replace && wear.is_some() {
            second(fields, "wear", out);
        }
        let wear_amount = self.one(fields, "wear-amount", out);
        if let Some(amount) = &wear_amount {
            self.worn(fields, amount, (&wear, "wear"), out);
            wear = match side {
                Side::Shaft => self.worn_to(&new_min, amount, false, out),
                _ => self.worn_to(&new_max, amount, true, out),
            };
        }
        let unit = self.unit.other_length();
        let unit = unit.as_ref().unwrap_or(self.unit);
        let other = Reading { unit, places: None, ..self };
        let twin =
            fields.table("twin").map(|twin| Box::new(other.part((&twin, side), feature, out)));
        SizeLimits { feature, new_min, new_max, wear, wear_amount, replace, twin }
    }

    /// The size at which `new` is worn by that amount.
    fn worn_to(self, new: &Option<Limit>, by: &Limit, up: bool, out: &mut Diags) -> Option<Limit> {
        let Some(new) = new else {
            let message = format!("a wear of {} from a new limit that is not given", by.text);
            let help = "give the new limit of the side that wears, or the worn size";
            out.fault(&by.at, message, help);
            return None;
        };
        let (new, amount) = (new.in_unit(self.unit)?.value, by.in_unit(self.unit)?.value);
        let value = if up { new + amount } else { new - amount };
        let text = value.to_string().into();
        Some(self.limit(Number { value, text, at: by.at.clone() }))
    }

    /// Wear as an amount stands alone and is above zero.
    fn worn(
        self,
        fields: &Fields<'_>,
        amount: &Limit,
        (typed, key): (&Option<Limit>, &str),
        out: &mut Diags,
    ) {
        if says_replace(fields) {
            second(fields, "wear-amount", out);
        }
        if typed.is_some() {
            let message = format!("{key} and wear-amount say the same");
            out.fault(fields.place(key), message, "keep the one that the document prints");
        }
        let positive = |amount: Stated| amount.value.is_positive();
        if !self.size && !amount.in_unit(self.unit).is_some_and(positive) {
            let message = format!("a wear of {}", amount.text);
            out.fault(&amount.at, message, "an amount above zero, or leave it out");
        }
    }

    fn limit(self, figure: Number) -> Limit {
        Limit::new(figure, self.unit.clone())
    }

    fn value(self) -> fn(&Node) -> Option<Number> {
        if self.fits { fit } else { typed }
    }

    /// Lowest and highest, from a pair or from a key each.
    fn ends(self, fields: &Fields<'_>, key: &str, out: &mut Diags) -> [Option<Limit>; 2] {
        let single = [format!("{key}-min"), format!("{key}-max")];
        let ends = single.clone().map(|key| self.figure(fields, &key, out));
        if fields.node(key).is_none() {
            return self.ordered(ends, out);
        }
        for single in single.iter().filter(|single| fields.node(single).is_some()) {
            out.fault(
                fields.place(single),
                format!("{key} and {single} say the same"),
                "keep one of the two",
            );
        }
        if key == "service" && !self.pair_of(fields, out) {
            return [None, None];
        }
        let pair = fields.pair(key, self.value());
        pair.iter().flatten().for_each(|limit| self.look(limit, out));
        self.ordered(pair, out)
    }

    /// Service limits that are two figures. `replace` is none; what is neither is
    /// a fault.
    fn pair_of(self, fields: &Fields<'_>, out: &mut Diags) -> bool {
        let Some(node) = fields.node("service") else { return false };
        match &node.value {
            Value::Text(_) if says_replace(fields) => false,
            Value::Text(_) => {
                check::value(&SERVICE_WORD, node, true, out);
                false
            }
            _ => {
                check::value(&SERVICE_PAIR, node, true, out);
                true
            }
        }
    }

    /// A fit's service limit alone is the loosest that may serve.
    fn fit_service(self, fields: &Fields<'_>, out: &mut Diags) -> [Option<Limit>; 2] {
        let [low, high] = ["service-min", "service-max"].map(|key| self.figure(fields, key, out));
        let alone = self.figure(fields, "service", out);
        if let (Some(_), Some(high)) = (&alone, &high) {
            out.fault(&high.at, "service and service-max say the same", "keep one of the two");
        }
        self.ordered([low, alone.or(high)], out)
    }

    fn one(self, fields: &Fields<'_>, key: &str, out: &mut Diags) -> Option<Limit> {
        self.figure(fields, key, out).map(|figure| self.limit(figure))
    }

    fn figure(self, fields: &Fields<'_>, key: &str, out: &mut Diags) -> Option<Number> {
        let limit = fields.node(key).and_then(self.value());
        if let Some(limit) = &limit {
            self.look(limit, out);
        }
        limit
    }

    fn look(self, limit: &Number, out: &mut Diags) {
        let decimals = limit.places();
        if let Some(places) = self.places.filter(|places| decimals > *places) {
            let message =
                format!("{} has {decimals} decimals, the line is read to {places}", limit.text);
            out.fault(
                &limit.at,
                message,
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

    fn ordered(self, ends: [Option<Number>; 2], out: &mut Diags) -> [Option<Limit>; 2] {
        self.reversed(&ends, out);
        ends.map(|figure| figure.map(|figure| self.limit(figure)))
    }

    fn reversed(self, ends: &[Option<Number>; 2], out: &mut Diags) {
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
        let message = format!("printed {kind}: {} to {}", low.text, high.text);
        let help = match self.fits {
            true => format!("{first}: [\"{}\", \"{}\"]", high.text, low.text),
            false => format!("{first}: [{}, {}]", high.text, low.text),
        };
        let mut at = low.at.clone();
        if high.at.start > at.start && high.at.start - at.end < 8 {
            at.end = high.at.end;
            out.fault(&at, message, help);
        } else {
            out.push(
                Diag::at(Severity::Fault, &low.at, message, help)
                    .also(high.at.clone(), "the other end"),
            );
        }
    }
}
