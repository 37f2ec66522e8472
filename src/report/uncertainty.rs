//! Gauges behind a reading: their uncertainties in the limits' unit, and the
//! reading brought to 20 °C where temperatures were taken.

use super::bench::Bench;
use crate::judge::Group;
use crate::quantity::{self, Exact, Length, Unit, Warmth};

/// The expanded uncertainties of these gauges, in the unit of the group.
pub fn of(bench: &Bench, gauges: &[String], unit: &Unit) -> Vec<Exact> {
    let limits = bench.case.limits.document.unit;
    gauges
        .iter()
        .filter_map(|id| bench.case.job.gauge(id))
        .filter_map(|gauge| {
            let stated = gauge.uncertainty.as_ref()?.value;
            match unit {
                Unit::Length(length) => in_unit(stated, gauge.unit.unwrap_or(limits), *length),
                Unit::Named(_) => Some(stated),
            }
        })
        .collect()
}

/// An uncertainty in another unit of length, never smaller than it is.
fn in_unit(stated: Exact, from: Length, to: Length) -> Option<Exact> {
    match (from, to) {
        (Length::Inch, Length::Millimetre) => Some(stated.inches_to_mm()),
        (Length::Millimetre, Length::Inch) => {
            // The least whole number of millionths of an inch that covers it.
            let step = Exact::steps(1, 6);
            let mut count = stated.in_steps(6)? / 26;
            while step.times(count).inches_to_mm() < stated {
                count += 1;
            }
            Some(step.times(count))
        }
        _ => Some(stated),
    }
}

/// Steel, in millionths per degree Celsius (NIST, Swyt 1994): what micrometers
/// and setting rings are made of.
const STEEL: (i64, u8) = (115, 1);

/// Further decimals that a corrected reading keeps: it is judged.
const KEPT: u8 = 3;

/// The reading at 20 °C; as it stands where no temperature was taken or the
/// part's coefficient is not known.
pub fn at_twenty(
    value: Exact,
    temperatures: Option<(Exact, Exact)>,
    expansion: Option<Exact>,
    group: &Group,
) -> Exact {
    let (Some((part, gauge)), Some(expansion), Unit::Length(_)) =
        (temperatures, expansion, &group.unit)
    else {
        return value;
    };
    let gauge = Warmth { expansion: Exact::steps(STEEL.0, STEEL.1), at: gauge };
    let part = Warmth { expansion, at: part };
    quantity::at_twenty(value, gauge, part, value.places() + KEPT).unwrap_or(value)
}
