//! Inch and metric twins: the same limit printed in two units must be the same
//! value, rounded one way or the other.

use super::derived::slip;
use crate::diag::Span;
use crate::model::limits::{Limits, Line, SizeLimits, Tolerance};
use crate::model::text::{Limit, Stated};
use crate::quantity::{Exact, Unit, agree_as_printed, floor_quotient};

/// A limit and what is printed beside it.
#[derive(Clone, Debug)]
pub(super) struct Twin<'a> {
    pub line: &'a Line,
    /// `shaft new minimum`.
    pub name: &'static str,
    pub own: Stated<'a>,
    pub twin: Stated<'a>,
    pub units: Units,
}

/// The units of a limit and of its twin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Units {
    own: Unit,
    other: Unit,
    /// How many of one is one of the other: of `other` an `own`, or where
    /// `back` is set the other way about.
    factor: Exact,
    back: bool,
}

/// A twin that cannot be compared.
pub(super) struct Odd<'a> {
    pub line: &'a Line,
    pub at: &'a Span,
    pub message: String,
    pub help: &'static str,
}

/// Names of the limits of a line, a fit and the two parts, the last that of wear
/// as an amount.
const LINE: [&str; 5] =
    ["new minimum", "new maximum", "service minimum", "service maximum", "wear amount"];
const FIT: [&str; 5] =
    ["fit new least", "fit new greatest", "fit service least", "fit service", "fit wear amount"];
const SHAFT: [&str; 4] =
    ["shaft new minimum", "shaft new maximum", "shaft wear limit", "shaft wear amount"];
const BORE: [&str; 4] =
    ["bore new minimum", "bore new maximum", "bore wear limit", "bore wear amount"];

/// A limit, the figure beside it and what the two are called.
type Pair<'a> = (&'static str, &'a Option<Limit>, &'a Option<Limit>);

/// Every limit of a file that has a twin, and every twin that cannot be
/// compared.
pub(super) fn all(limits: &Limits) -> (Vec<Twin<'_>>, Vec<Odd<'_>>) {
    let (mut twins, mut odd) = (Vec::new(), Vec::new());
    for line in &limits.lines {
        let mut file = File { line, twins: &mut twins, odd: &mut odd };
        if let Some(fit) = line.fit() {
            file.part(&fit.shaft, SHAFT);
            file.part(&fit.bore, BORE);
            file.tolerance(&fit.fit, FIT);
            for grade in &fit.grades {
                grade.shaft.iter().for_each(|part| file.part(part, SHAFT));
                grade.bore.iter().for_each(|part| file.part(part, BORE));
            }
            continue;
        }
        let grades = line.size().into_iter().flat_map(|size| &size.grades);
        let limits = line.tolerance().into_iter().chain(grades.map(|grade| &grade.limits));
        limits.for_each(|limits| file.tolerance(limits, LINE));
    }
    (twins, odd)
}

/// The twins of one line, being gathered.
struct File<'a, 'b> {
    line: &'a Line,
    twins: &'b mut Vec<Twin<'a>>,
    odd: &'b mut Vec<Odd<'a>>,
}

impl<'a> File<'a, '_> {
    fn part(&mut self, part: &'a SizeLimits, names: [&'static str; 4]) {
        let Some(twin) = part.twin.as_deref() else { return };
        let each = |part: &'a SizeLimits| {
            // A size that is worked out is nowhere printed.
            let wear = if part.wear_amount.is_some() { &None } else { &part.wear };
            [&part.new_min, &part.new_max, wear, &part.wear_amount]
        };
        let pairs = names.into_iter().zip(each(part)).zip(each(twin));
        self.paired(
            self.line.unit.other_length(),
            pairs.map(|((name, own), twin)| (name, own, twin)).collect(),
        );
    }

    fn tolerance(&mut self, limits: &'a Tolerance, names: [&'static str; 5]) {
        let Some(twin) = &limits.twin else { return };
        let each = |limits: &'a Tolerance| {
            let worn = limits.wear_amount.is_some();
            let service = |limit| if worn { &None } else { limit };
            let (least, greatest) = (service(&limits.service_min), service(&limits.service_max));
            [&limits.new_min, &limits.new_max, least, greatest, &limits.wear_amount]
        };
        let pairs = names.into_iter().zip(each(limits)).zip(each(&twin.limits));
        self.paired(
            twin.unit.clone(),
            pairs.map(|((name, own), twin)| (name, own, twin)).collect(),
        );
    }

    fn paired(&mut self, unit: Option<Unit>, pairs: Vec<Pair<'a>>) {
        let line = self.line;
        let at = pairs.iter().find_map(|(.., twin)| twin.as_ref()).map_or(&line.at, |t| &t.at);
        let mut odd = |at, message, help| self.odd.push(Odd { line, at, message, help });
        let Some(other) = unit else {
            let message = format!("figures beside those in {}, of no unit", line.unit);
            odd(at, message, "say which: twin = { unit = \"N\", new = [302, 338] }");
            return;
        };
        let Some(units) = Units::of(&line.unit, other.clone()) else {
            let message = format!("figures in {other} beside those in {}", line.unit);
            odd(
                at,
                message,
                "a unit of the same kind that the program can convert, or leave them out",
            );
            return;
        };
        for (name, own, twin) in pairs {
            match (own, twin) {
                (Some(own), Some(twin)) => {
                    let stated = own.in_unit(&units.own).zip(twin.in_unit(&units.other));
                    let twin = |(own, twin)| Twin { line, name, own, twin, units: units.clone() };
                    self.twins.extend(stated.map(twin));
                }
                (None, Some(twin)) => {
                    let message =
                        format!("{name} {} {other} beside no figure in {}", twin.text, line.unit);
                    self.odd.push(Odd {
                        line,
                        at: &twin.at,
                        message,
                        help: "type both, or neither",
                    });
                }
                _ => {}
            }
        }
    }
}

impl Units {
    fn of(own: &Unit, other: Unit) -> Option<Units> {
        let (forth, back) = (own.factor(&other), other.factor(own));
        let factor = forth.or(back)?;
        Some(Units { own: own.clone(), other, factor, back: forth.is_none() })
    }
}

impl Twin<'_> {
    pub fn agrees(&self) -> bool {
        self.fits(self.own.value, self.twin.value)
    }

    fn fits(&self, own: Exact, twin: Exact) -> bool {
        match self.units.back {
            false => agree_as_printed(own, twin, self.units.factor),
            true => agree_as_printed(twin, own, self.units.factor),
        }
    }

    /// `size` in the other unit, to the nearest at `places`.
    fn turned(&self, size: Exact, divided: bool, places: u8) -> Option<Exact> {
        match divided {
            false => Some(size.product(self.units.factor).nearest(places)),
            // Twice the quotient, a step lower and halved: to the nearest.
            true => {
                let half = Exact::steps(5, places + 1).product(self.units.factor);
                floor_quotient(size + half, self.units.factor, places)
            }
        }
    }

    pub fn message(&self) -> String {
        let (own, twin) = (&self.own.text, &self.twin.text);
        format!("{} {own} {} beside {twin} {}", self.name, self.units.own, self.units.other)
    }

    /// What each would be in the other's unit, and the slip that explains it.
    pub fn help(&self, all: &[Twin]) -> String {
        let (own, twin) = (self.own, self.twin);
        let (unit, other) = (&self.units.own, &self.units.other);
        let mut words = Vec::new();
        let own_turned = self.turned(own.value, self.units.back, twin.value.places());
        let twin_turned = self.turned(twin.value, !self.units.back, own.value.places());
        if let Some(turned) = own_turned {
            words.push(format!("{} {unit} is {turned} {other}", own.text));
        }
        if let Some(turned) = twin_turned {
            words.push(format!("{} {other} is {turned} {unit}", twin.text));
        }
        let exchanged = all
            .iter()
            .find(|row| !row.agrees() && row.units == self.units && self.exchanged_with(row));
        if let Some(row) = exchanged {
            let (name, line) = (row.name, &row.line.reference);
            words.push(format!("exchanged with {name} of line {line}?"));
        } else if let Some(slip) = self.slip(own_turned, twin_turned) {
            words.push(format!("{slip}?"));
        }
        words.join("; ")
    }

    fn exchanged_with(&self, row: &Twin) -> bool {
        self.fits(self.own.value, row.twin.value) && self.fits(row.own.value, self.twin.value)
    }

    fn slip(&self, own: Option<Exact>, twin: Option<Exact>) -> Option<&'static str> {
        let (mine, other) = (self.own.value, self.twin.value);
        let tens = [10, 100, 1000];
        let slipped =
            |ten: &i64| self.fits(mine.times(*ten), other) || self.fits(mine, other.times(*ten));
        if tens.iter().any(slipped) {
            return Some("the point slipped");
        }
        own.and_then(|help| slip(other, help)).or(twin.and_then(|help| slip(mine, help)))
    }
}
