//! A line with its limits in another unit.

use super::line::{Kind, Line, SizeLimits, Tolerance};
use super::typed::Limit;
use crate::quantity::{Length, Unit};

impl Line {
    /// The line as it would stand in a document in millimetres; as it is where
    /// `unit` is its own. Its twins, in the other unit, are left out.
    pub fn in_unit(&self, unit: &Unit) -> Line {
        let mut line = self.clone();
        if self.unit != Unit::Length(Length::Inch) || *unit != Unit::Length(Length::Millimetre) {
            return line;
        }
        line.unit = unit.clone();
        match &mut line.kind {
            Kind::Fit(fit) => {
                part(&mut fit.shaft);
                part(&mut fit.bore);
                four(&mut fit.fit);
                for grade in &mut fit.grades {
                    grade.shaft.iter_mut().chain(&mut grade.bore).for_each(part);
                }
            }
            Kind::Size(size) => {
                four(&mut size.limits);
                size.grades.iter_mut().for_each(|grade| four(&mut grade.limits));
            }
            Kind::Roundness(roundness) => four(&mut roundness.limits),
            Kind::Taper(taper) => four(&mut taper.limits),
            Kind::Reading(reading) => {
                four(&mut reading.limits);
            }
            Kind::Spread(spread) => four(&mut spread.limits),
            Kind::Feeler(feeler) => four(&mut feeler.limits),
            Kind::Count(_) | Kind::Recorded(_) => {}
        }
        line
    }
}

fn four(four: &mut Tolerance) {
    let Tolerance { new_min, new_max, service_min, service_max, wear_amount, replace: _, twin } =
        four;
    [new_min, new_max, service_min, service_max, wear_amount].into_iter().for_each(limit);
    *twin = None;
}

fn part(part: &mut SizeLimits) {
    let SizeLimits { feature: _, new_min, new_max, wear, wear_amount, replace: _, twin } = part;
    [new_min, new_max, wear, wear_amount].into_iter().for_each(limit);
    *twin = None;
}

fn limit(limit: &mut Option<Limit>) {
    if let Some(limit) = limit {
        limit.value = limit.value.inches_to_mm().padded(0);
        limit.text = limit.value.to_string().into();
    }
}
