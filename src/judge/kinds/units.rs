//! The door to judging: limits and readings are brought to one unit before
//! they meet. Roundness and taper borrow the readings of another line, which
//! may be in inches where theirs is in millimetres.

use super::around::around;
use crate::judge::LineKind;
use crate::judge::side::SideReadings;
use crate::judge::types::Contribution;
use crate::model::limits::Line;
use crate::model::side::Group;
use crate::quantity::{Exact, Readings, Unit};

/// A line whose readings may be in another unit than its limits.
pub(crate) fn one_unit<'a>(line: &'a Line, kind: Box<dyn LineKind + 'a>) -> Box<dyn LineKind + 'a> {
    around(kind, move |kind, read, setting| {
        let unit = held_in(line, read);
        let mixed = read.iter().flat_map(SideReadings::units).find(|own| **own != unit);
        let mixed = mixed.cloned().or_else(|| (line.unit != unit).then(|| unit.clone()));
        let Some(other) = mixed else {
            let mut verdict = kind.judge(read, setting);
            verdict.notes.extend(also_read(read));
            return verdict;
        };
        let sides: Vec<_> = read.iter().map(|side| side.in_unit(&unit)).collect();
        let mut verdict = crate::judge::kind(line, &unit).judge(&sides, setting);
        let words = match line.unit == unit {
            true => format!("read in {other}, limits in {unit}"),
            false => format!("read in {other}, limits in {}", line.unit),
        };
        verdict.notes.push(format!("{words}: held in {unit}, 1 in is 25.4 mm exactly"));
        verdict.notes.extend(also_read(read));
        verdict
    })
}

/// The unit that a row is held in: its line's, where every reading can be
/// stated in it exactly, else millimetres.
pub fn held_in(line: &Line, read: &[SideReadings]) -> Unit {
    let units = read.iter().flat_map(SideReadings::units);
    units.fold(line.unit.clone(), |unit, own| unit.common(own).unwrap_or(unit))
}

/// What other rows say of the same feature.
fn also_read(read: &[SideReadings]) -> Vec<String> {
    let said = |(key, also): (Group, &AlsoRead)| {
        let (boxes, unit) = also.readings.taken();
        let figures: Vec<String> = boxes.iter().flatten().map(ToString::to_string).collect();
        let unit = unit.map(|unit| format!(" {unit}")).unwrap_or_default();
        format!("{key} also read in row {}: {}{unit}", also.row, figures.join(", "))
    };
    let all = read.iter().flat_map(|side| side.also.iter().map(|also| (side.key, also)));
    all.map(said).collect()
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

impl SideReadings {
    /// The units of its readings, its own boxes first.
    fn units(&self) -> impl Iterator<Item = &Unit> {
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
