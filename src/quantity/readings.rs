//! Figures and the unit that they are in, one value: a quantity, and the
//! readings of some boxes.

use super::exact::Exact;
use super::unit::{Length, Unit};

/// A figure and its unit (a quantity value, JCGM 200:2012, 1.19, from memory).
/// It has no order and no arithmetic: a bare figure is got by naming a unit.
///
/// ```compile_fail
/// use benchleaf::quantity::{Exact, Length, Quantity, Unit};
/// let one = |unit| Quantity::new(Exact::whole(1), Unit::Length(unit));
/// // Two units can't be compared.
/// let larger = one(Length::Inch) > one(Length::Millimetre);
/// ```
///
/// ```compile_fail
/// use benchleaf::quantity::{Exact, Length, Quantity, Unit};
/// let one = |unit| Quantity::new(Exact::whole(1), Unit::Length(unit));
/// // Nor are they alike.
/// let alike = one(Length::Inch) == one(Length::Millimetre);
/// ```
///
/// ```compile_fail
/// use benchleaf::quantity::{Exact, Length, Quantity, Unit};
/// let one = |unit| Quantity::new(Exact::whole(1), Unit::Length(unit));
/// // There is no bare figure without a unit that is named.
/// let larger = one(Length::Inch).figure > Exact::whole(2);
/// ```
///
/// ```
/// use benchleaf::quantity::{Exact, Length, Quantity, Unit};
/// let one = |unit| Quantity::new(Exact::whole(1), Unit::Length(unit));
/// let mm = Unit::Length(Length::Millimetre);
/// assert!(one(Length::Inch).in_unit(&mm) > one(Length::Millimetre).in_unit(&mm));
/// assert!(one(Length::Inch).in_unit(&mm) > Some(Exact::whole(2)));
/// ```
#[derive(Clone, Debug)]
pub struct Quantity {
    figure: Exact,
    unit: Unit,
}

impl Quantity {
    pub fn new(figure: Exact, unit: Unit) -> Quantity {
        Quantity { figure, unit }
    }

    /// The figure in `unit`: as typed where it is its own, inches as
    /// millimetres exactly, without zeros that nobody typed. `None` where that
    /// would be a division or the units have nothing in common.
    pub fn in_unit(&self, unit: &Unit) -> Option<Exact> {
        let figure = self.unit.exactly(self.figure, unit)?;
        Some(if self.unit == *unit { figure } else { figure.padded(0) })
    }
}

/// The readings of some boxes, blanks included. They have no order and no
/// arithmetic: whoever holds them against a limit names the limit's unit, and
/// gets them in that unit or not at all.
///
/// ```compile_fail
/// use benchleaf::quantity::{Exact, Length, Readings, Unit};
/// let read = |unit| Readings::new(Unit::Length(unit), vec![Some(Exact::whole(1))]);
/// // Two units can't be compared.
/// let larger = read(Length::Inch) > read(Length::Millimetre);
/// ```
///
/// ```compile_fail
/// use benchleaf::quantity::{Exact, Length, Readings, Unit};
/// let read = Readings::new(Unit::Length(Length::Inch), vec![Some(Exact::whole(1))]);
/// // Nor a reading with a bare number.
/// let larger = read.boxes[0] > Some(Exact::whole(2));
/// ```
///
/// ```
/// use benchleaf::quantity::{Exact, Length, Readings, Unit};
/// let read = Readings::new(Unit::Length(Length::Inch), vec![Some(Exact::whole(1))]);
/// let mm = read.in_unit(&Unit::Length(Length::Millimetre));
/// assert!(mm[0] > Some(Exact::whole(2)));
/// ```
#[derive(Clone, Debug, Default)]
pub struct Readings {
    /// `None` where there are no boxes either.
    unit: Option<Unit>,
    boxes: Vec<Option<Exact>>,
}

impl Readings {
    pub fn new(unit: Unit, boxes: Vec<Option<Exact>>) -> Readings {
        Readings { unit: Some(unit), boxes }
    }

    /// The figures in `unit`, box by box: as they stand where it is their own,
    /// inches as millimetres exactly. Blank where that would be a division or
    /// the units have nothing in common: blank never passes.
    pub fn in_unit(&self, unit: &Unit) -> Vec<Option<Exact>> {
        match &self.unit {
            Some(own) if own == unit => self.boxes.clone(),
            Some(own) => self.boxes.iter().map(|figure| own.exactly((*figure)?, unit)).collect(),
            None => Vec::new(),
        }
    }

    /// One box in `unit`.
    pub fn get(&self, n: usize, unit: &Unit) -> Option<Exact> {
        self.unit.as_ref()?.exactly((*self.boxes.get(n)?)?, unit)
    }

    /// The boxes that are filled in, in `unit`.
    pub fn present(&self, unit: &Unit) -> Vec<Exact> {
        self.in_unit(unit).into_iter().flatten().collect()
    }

    /// As they were taken, and in what.
    pub fn taken(&self) -> (&[Option<Exact>], Option<&Unit>) {
        (&self.boxes, self.unit.as_ref())
    }

    pub fn unit(&self) -> Option<&Unit> {
        self.unit.as_ref()
    }

    pub fn is_blank(&self) -> bool {
        self.boxes.iter().all(Option::is_none)
    }

    /// Every box is filled in, and there are some.
    pub fn is_whole(&self) -> bool {
        !self.boxes.is_empty() && self.boxes.iter().all(Option::is_some)
    }

    /// Works on every figure in its own unit, as a correction for temperature.
    pub fn corrected(&mut self, by: impl Fn(usize, Exact) -> Exact) {
        for (n, figure) in self.boxes.iter_mut().enumerate() {
            *figure = figure.map(|figure| by(n, figure));
        }
    }

    /// Writes one box; blank where the figure's unit is another.
    pub fn write(&mut self, n: usize, figure: Exact, unit: &Unit) {
        let own = self.unit.as_ref().and_then(|own| unit.exactly(figure, own));
        if let Some(slot) = self.boxes.get_mut(n) {
            *slot = own;
        }
    }

    /// Wipes every box.
    pub fn wipe(&mut self) {
        self.boxes.iter_mut().for_each(|figure| *figure = None);
    }
}

impl Unit {
    /// A figure of this unit in another, where nothing has to be divided.
    pub fn exactly(&self, figure: Exact, to: &Unit) -> Option<Exact> {
        match (self, to) {
            _ if self == to => Some(figure),
            (Unit::Length(Length::Inch), Unit::Length(Length::Millimetre)) => {
                Some(figure.inches_to_mm())
            }
            _ => None,
        }
    }

    /// The unit in which figures of both can be held exactly: millimetres for
    /// two lengths that differ.
    pub fn common(&self, other: &Unit) -> Option<Unit> {
        match (self.length(), other.length()) {
            _ if self == other => Some(self.clone()),
            (Some(_), Some(_)) => Some(Unit::Length(Length::Millimetre)),
            _ => None,
        }
    }
}
