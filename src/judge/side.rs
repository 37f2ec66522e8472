//! One side of a row: what stands in its boxes, where it comes from, what is
//! judged of it, and in which unit.

use super::types::{Contribution, PartState};
use crate::diag::Span;
use crate::model::limits::Line;
use crate::model::record::{Mark, Why};
use crate::model::side::Group;
use crate::model::text::{Number, Text};
use crate::quantity::date::Date;
use crate::quantity::{Exact, Readings, Unit};

/// The boxes of one group of a row as they stand at one time.
#[derive(Clone, Debug, Default)]
pub struct SideReadings {
    pub key: Group,
    /// As typed, one a box.
    pub boxes: Vec<Option<Number>>,
    /// What is judged, one a box, in the unit that they were read in: at 20 °C
    /// where temperatures were taken.
    pub readings: Readings,
    /// The same feature at the same place in the boxes of other rows.
    pub also: Vec<AlsoRead>,
    /// For groups of marks.
    pub marks: Vec<Mark>,
    /// Further leaves: tooth from 1, thickness, whether it entered.
    pub leaves: Vec<(u32, Exact, bool)>,
    pub state: PartState,
    /// The gauges behind each reading, one list a box, empty where none states
    /// an uncertainty; a box beyond the end has none.
    pub uncertainty: Vec<Vec<Contribution>>,
    /// Where the reading of each box comes from, one a box.
    pub sources: Vec<Provenance>,
    /// One a box: measured again, and the same value found, so that it is no
    /// longer in question.
    pub confirmed: Vec<bool>,
    /// The changes of the part that the readings were taken after, indices
    /// into `Record::changes`.
    pub changes: Vec<usize>,
    /// The changes that took away what was read before them.
    pub gone: Vec<usize>,
    /// One a box: the step from which on its readings are of the part as it now
    /// is.
    pub began: Vec<usize>,
    /// Written in this step.
    pub fresh: bool,
}

/// The readings of the same feature in the boxes of another row.
#[derive(Clone, Debug)]
pub struct AlsoRead {
    /// Its code.
    pub row: String,
    pub readings: Readings,
    /// The gauges behind each of them.
    pub uncertainty: Vec<Vec<Contribution>>,
}

/// Who took a reading, when and with what.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Provenance {
    /// Index of the step that wrote it.
    pub step: usize,
    /// Of the step that measured it: a reading mistyped was measured before.
    pub taken: usize,
    /// Absent for a first reading.
    pub why: Option<Why>,
    pub by: String,
    pub on: Option<(Date, Span)>,
    pub gauges: Vec<Text>,
    /// Degrees Celsius of the part and of the gauge.
    pub temperatures: Option<(Exact, Exact)>,
    /// The gauges' zero before use and after it.
    pub zero: Option<[Mark; 2]>,
}

/// The side of a row that has these boxes.
pub fn side_of(sides: &[SideReadings], key: impl Into<Group>) -> Option<&SideReadings> {
    let key = key.into();
    sides.iter().find(|side| side.key == key)
}

impl SideReadings {
    /// Nothing is judged of it.
    pub fn is_blank(&self) -> bool {
        self.readings.is_blank() && self.marks.iter().all(|mark| *mark == Mark::Blank)
    }

    /// The figures that are typed, one a box.
    pub fn values(&self) -> Vec<Option<Exact>> {
        self.boxes.iter().map(|typed| typed.as_ref().map(|typed| typed.value)).collect()
    }

    pub fn is_confirmed(&self, n: usize) -> bool {
        self.confirmed.get(n).copied().unwrap_or_default()
    }

    /// Something is written in box `n`.
    pub fn filled(&self, n: usize) -> bool {
        let marked = self.marks.get(n).is_some_and(|mark| *mark != Mark::Blank);
        marked || self.boxes.get(n).is_some_and(Option::is_some)
    }

    /// Something is written on it, in a box or beside.
    pub fn is_written(&self) -> bool {
        !self.leaves.is_empty() || (0..self.boxes.len()).any(|n| self.filled(n))
    }

    /// The gauges behind each reading, as those of another row's boxes.
    pub fn uncertainty_of(&self, group: Group) -> Vec<Vec<Contribution>> {
        let named = |part: &Contribution| Contribution { group, ..*part };
        self.uncertainty.iter().map(|parts| parts.iter().map(named).collect()).collect()
    }

    /// The filled boxes with where they come from.
    pub fn taken(&self) -> impl Iterator<Item = (usize, &Provenance)> {
        self.sources.iter().enumerate().filter(|(n, _)| self.filled(*n))
    }

    /// The units of its readings, its own boxes first.
    pub(super) fn units(&self) -> impl Iterator<Item = &Unit> {
        let all = std::iter::once(&self.readings).chain(self.also.iter().map(|a| &a.readings));
        all.filter(|readings| !readings.is_blank()).filter_map(Readings::unit)
    }

    /// Everything in another unit; blank where it cannot be stated exactly.
    pub fn in_unit(&self, unit: &Unit) -> SideReadings {
        let mut side = self.clone();
        let own = std::iter::once((&mut side.readings, &mut side.uncertainty));
        let also = side.also.iter_mut().map(|also| (&mut also.readings, &mut also.uncertainty));
        for (readings, budgets) in own.chain(also) {
            for part in budgets.iter_mut().flatten() {
                let turned = readings.unit().and_then(|own| own.exactly(part.expanded, unit));
                part.expanded = turned.unwrap_or(part.expanded);
            }
            *readings = Readings::new(unit.clone(), readings.in_unit(unit));
        }
        side
    }

    /// Every set of readings of the feature in `unit`, so many boxes each: its
    /// own first, then those of other rows.
    pub(super) fn sets(&self, boxes: usize, unit: &Unit) -> Vec<Vec<Option<Exact>>> {
        let all = std::iter::once(&self.readings).chain(self.also.iter().map(|a| &a.readings));
        all.map(|readings| (0..boxes).map(|n| readings.get(n, unit)).collect()).collect()
    }
}

/// The unit that a row is held in: its line's, where every reading can be
/// stated in it exactly, else millimetres.
pub fn held_in(line: &Line, read: &[SideReadings]) -> Unit {
    let units = read.iter().flat_map(SideReadings::units);
    units.fold(line.unit.clone(), |unit, own| unit.common(own).unwrap_or(unit))
}

/// What other rows say of the same feature.
pub(super) fn also_read(read: &[SideReadings]) -> Vec<String> {
    let said = |(key, also): (Group, &AlsoRead)| {
        let (boxes, unit) = also.readings.taken();
        let figures: Vec<String> = boxes.iter().flatten().map(ToString::to_string).collect();
        let unit = unit.map(|unit| format!(" {unit}")).unwrap_or_default();
        format!("{key} also read in row {}: {}{unit}", also.row, figures.join(", "))
    };
    let all = read.iter().flat_map(|side| side.also.iter().map(|also| (side.key, also)));
    all.map(said).collect()
}

impl PartState {
    /// Of the part whose readings these are.
    pub(super) fn of(side: Option<&SideReadings>) -> &PartState {
        side.map_or(&PartState::Reused, |side| &side.state)
    }
}
