//! Inch and metric twins: the same limit printed in two units must be the same
//! value, rounded one way or the other.

use super::derived::slip;
use crate::model::line::{Four, Kind, Limits, Line, PartLimits};
use crate::model::typed::Limit;
use crate::quantity::{Exact, Length, agree_as_printed, nearest_inches};

/// A limit and what is printed beside it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Twin<'a> {
    pub line: &'a Line,
    /// `shaft new minimum`.
    pub name: &'static str,
    pub own: &'a Limit,
    pub twin: &'a Limit,
    /// The unit of `own`; the twin's is the other one.
    pub unit: Length,
}

/// Names of the four limits of a part or a line.
const FOUR: [&str; 4] = ["new minimum", "new maximum", "service minimum", "service maximum"];
const FIT: [&str; 4] = ["fit new least", "fit new greatest", "fit service least", "fit service"];
const SHAFT: [&str; 3] = ["shaft new minimum", "shaft new maximum", "shaft wear limit"];
const BORE: [&str; 3] = ["bore new minimum", "bore new maximum", "bore wear limit"];

/// Every limit of a file that has a twin.
pub(super) fn all(limits: &Limits) -> Vec<Twin<'_>> {
    limits.lines.iter().flat_map(of_line).collect()
}

fn of_line(line: &Line) -> Vec<Twin<'_>> {
    let Some(unit) = line.unit.length() else { return Vec::new() };
    let mut twins = Vec::new();
    match &line.kind {
        Kind::Fit(fit) => {
            let parts = [(&fit.shaft, SHAFT), (&fit.bore, BORE)];
            let graded = fit.grades.iter().flat_map(|grade| {
                let shaft = grade.shaft.iter().map(|part| (part, SHAFT));
                shaft.chain(grade.bore.iter().map(|part| (part, BORE)))
            });
            for (part, names) in parts.into_iter().chain(graded) {
                twins.extend(of_part(line, unit, part, names));
            }
            twins.extend(of_four(line, unit, &fit.fit, fit.fit_twin.as_ref(), FIT));
        }
        Kind::Size(size) => {
            twins.extend(of_four(line, unit, &size.limits, size.twin.as_ref(), FOUR));
        }
        Kind::Reading(reading) => {
            twins.extend(of_four(line, unit, &reading.limits, reading.twin.as_ref(), FOUR));
        }
        _ => {}
    }
    twins
}

fn of_part<'a>(
    line: &'a Line,
    unit: Length,
    part: &'a PartLimits,
    names: [&'static str; 3],
) -> Vec<Twin<'a>> {
    let Some(twin) = part.twin.as_deref() else { return Vec::new() };
    let own = [&part.new_min, &part.new_max, &part.wear];
    let other = [&twin.new_min, &twin.new_max, &twin.wear];
    paired(line, unit, names.into_iter().zip(own.into_iter().zip(other)))
}

fn of_four<'a>(
    line: &'a Line,
    unit: Length,
    four: &'a Four,
    twin: Option<&'a Four>,
    names: [&'static str; 4],
) -> Vec<Twin<'a>> {
    let Some(twin) = twin else { return Vec::new() };
    let each =
        |four: &'a Four| [&four.new_min, &four.new_max, &four.service_min, &four.service_max];
    paired(line, unit, names.into_iter().zip(each(four).into_iter().zip(each(twin))))
}

fn paired<'a>(
    line: &'a Line,
    unit: Length,
    pairs: impl Iterator<Item = (&'static str, (&'a Option<Limit>, &'a Option<Limit>))>,
) -> Vec<Twin<'a>> {
    let both = pairs.filter_map(|(name, (own, twin))| Some((name, own.as_ref()?, twin.as_ref()?)));
    both.map(|(name, own, twin)| Twin { line, name, own, twin, unit }).collect()
}

impl Twin<'_> {
    pub fn agrees(&self) -> bool {
        self.fits(self.own.value, self.twin.value)
    }

    fn fits(&self, own: Exact, twin: Exact) -> bool {
        let inch_in_mm = Exact::whole(1).inches_to_mm();
        match self.unit {
            Length::Inch => agree_as_printed(own, twin, inch_in_mm),
            Length::Millimetre => agree_as_printed(twin, own, inch_in_mm),
        }
    }

    fn other_unit(&self) -> Length {
        match self.unit {
            Length::Inch => Length::Millimetre,
            Length::Millimetre => Length::Inch,
        }
    }

    /// `size` in the other unit, to the nearest at `places`.
    fn turned(size: Exact, from: Length, places: u8) -> Option<Exact> {
        match from {
            Length::Inch => Some(size.inches_to_mm().nearest(places)),
            Length::Millimetre => nearest_inches(size, places),
        }
    }

    pub fn wrong(&self) -> String {
        let (own, twin) = (&self.own.text, &self.twin.text);
        format!("{} {own} {} beside {twin} {}", self.name, self.unit, self.other_unit())
    }

    /// What each would be in the other's unit, and the slip that explains it.
    pub fn right(&self, all: &[Twin]) -> String {
        let (own, twin) = (self.own, self.twin);
        let (unit, other) = (self.unit, self.other_unit());
        let mut words = Vec::new();
        let own_turned = Twin::turned(own.value, unit, twin.places());
        let twin_turned = Twin::turned(twin.value, other, own.places());
        if let Some(turned) = own_turned {
            words.push(format!("{} {unit} is {turned} {other}", own.text));
        }
        if let Some(turned) = twin_turned {
            words.push(format!("{} {other} is {turned} {unit}", twin.text));
        }
        let exchanged =
            all.iter().find(|row| !row.agrees() && row.unit == unit && self.exchanged_with(row));
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
        if self.fits(-mine, other) {
            return Some("the sign is lost");
        }
        let tens = [10, 100, 1000];
        let slipped =
            |ten: &i64| self.fits(mine.times(*ten), other) || self.fits(mine, other.times(*ten));
        if tens.iter().any(slipped) {
            return Some("the point slipped");
        }
        own.and_then(|right| slip(other, right)).or(twin.and_then(|right| slip(mine, right)))
    }
}
