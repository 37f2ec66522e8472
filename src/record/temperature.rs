//! Readings brought to 20 °C with the part's and the gauge's coefficients,
//! where temperatures were taken.

use super::index::RecordIndex;
use crate::judge::{BoxGroup, Provenance, SideReadings};
use crate::model::side::BoxId;
use crate::quantity::{self, Exact, Unit, Warmth};
use crate::sheet::At;

/// Steel, in millionths per degree Celsius (NIST, Swyt 1994): what micrometers
/// and setting rings are made of.
const STEEL: (i64, u8) = (115, 1);

/// Further decimals that a corrected reading keeps: it is judged.
const KEPT: u8 = 3;

/// The reading at 20 °C; as it stands where no temperature was taken or the
/// part's coefficient is not known.
pub fn at_twenty(
    index: &RecordIndex,
    at: &At,
    group: &BoxGroup,
    source: &Provenance,
    value: Exact,
) -> Exact {
    let (Some((part, gauge)), Some(expansion), Unit::Length(_)) =
        (source.temperatures, part_expansion(index, at, group), &group.unit)
    else {
        return value;
    };
    let gauge = Warmth { expansion: gauge_expansion(index, source), at: gauge };
    let part = Warmth { expansion, at: part };
    let corrected = quantity::at_twenty(value, gauge, part, value.places() + KEPT);
    // Read at 20 °C, or as warm as changes nothing: its decimals are its own.
    corrected.filter(|corrected| *corrected != value).unwrap_or(value)
}

/// Of the part that the boxes are read on: its feature's, or the one that the
/// line names.
fn part_expansion(index: &RecordIndex, at: &At, group: &BoxGroup) -> Option<Exact> {
    let part = index.case.engine.parts.get(index.case.part_of(at.line.line, group.feature)?.0)?;
    part.expansion.as_ref().map(|expansion| expansion.value)
}

/// Of the gauge that shows the size; a transfer gauge only carries it.
fn gauge_expansion(index: &RecordIndex, source: &Provenance) -> Exact {
    let shows = source
        .gauges
        .iter()
        .filter_map(|id| index.case.job.gauge(id.as_str()))
        .find(|gauge| !gauge.transfer);
    let told = shows.and_then(|gauge| gauge.expansion.as_ref()).map(|expansion| expansion.value);
    told.unwrap_or(Exact::steps(STEEL.0, STEEL.1))
}

/// Both figures of every box that was read away from 20 °C, as steps of the
/// arithmetic; or why a reading could not be brought to it.
pub fn in_words(
    index: &RecordIndex,
    at: &At,
    group: &BoxGroup,
    side: &SideReadings,
) -> Vec<String> {
    let mut words = Vec::new();
    for (n, source) in side.taken() {
        let (Some((part, gauge)), Some(typed)) = (source.temperatures, &side.boxes[n]) else {
            continue;
        };
        let name = if side.boxes.len() > 1 {
            BoxId { group: group.key, index: n }.to_string()
        } else {
            group.key.to_string()
        };
        let read = format!(
            "{name} {} read with the part at {part} °C and the gauge at {gauge} °C",
            typed.text
        );
        words.push(match part_expansion(index, at, group) {
            Some(_) => {
                format!("{read} is {} at 20 °C", at_twenty(index, at, group, source, typed.value))
            }
            None => format!("{read}: the engine file gives the part no expansion, judged as read"),
        });
    }
    words
}
