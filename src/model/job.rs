//! The job: whose engine, which scope, who works on it and with what.

use super::text::{Number, Text};
use crate::quantity::date::Date;
use crate::quantity::{Exact, Length, Unit};
use std::fmt;

#[derive(Clone, Debug)]
pub struct Job {
    pub work_order: Text,
    pub serial: Text,
    pub hours: Option<Text>,
    /// In the shop's own words: `612.3 h`, `first overhaul`.
    pub since_overhaul: Option<Text>,
    pub received: Option<(Date, Text)>,
    pub opened: Option<(Date, Text)>,
    pub completed: Option<(Date, Text)>,
    pub scope: Scope,
    pub rule: Rule,
    /// Whether each sheet needs a check by a second person.
    pub second_person: bool,
    pub paper: Paper,
    pub shop: Shop,
    pub people: Vec<Person>,
    pub gauges: Vec<Gauge>,
    /// Feeler leaves that the shop really has, in the limits' unit, by what is
    /// engraved on them.
    pub leaves: Vec<Leaf>,
    /// What is known of parts before the first reading.
    pub arrived: Vec<Arrived>,
    /// Directives and work sent out are in the record, not here.
    pub owner: Option<Text>,
    /// The report of an earlier job of the same engine, a file of the job's
    /// folder `earlier`.
    pub earlier: Option<Text>,
}

/// A feature that came to the job at a grade already.
#[derive(Clone, Debug)]
pub struct Arrived {
    /// By its identifier in the engine file.
    pub feature: Text,
    pub grade: Text,
    /// Codes of the places, where single parts sit there; empty for all.
    pub places: Vec<Text>,
}

/// A feeler leaf. It is named by its engraving and counts by its measured
/// thickness, where one is given.
#[derive(Clone, Debug)]
pub struct Leaf {
    pub engraved: Number,
    pub measured: Option<Number>,
}

impl Leaf {
    /// Steps in which leaves are sold: half a thousandth of an inch, a hundredth
    /// of a millimetre (common practice, no source).
    pub fn step(unit: Length) -> Exact {
        match unit {
            Length::Inch => Exact::steps(5, 4),
            Length::Millimetre => Exact::steps(1, 2),
        }
    }

    /// One step of a common set: a leaf further from a limit than this proves
    /// nothing of it (common practice, no source).
    pub fn common_step(unit: Length) -> Exact {
        match unit {
            Length::Inch => Exact::steps(1, 3),
            Length::Millimetre => Exact::steps(5, 2),
        }
    }

    pub fn thickness(&self) -> Exact {
        self.measured.as_ref().unwrap_or(&self.engraved).value
    }
}

/// Which limits the engine is overhauled to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Scope {
    New,
    Service,
}

/// How a reading near a limit is decided.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Rule {
    /// As the trade works (common practice, no source).
    Simple,
    /// Limits drawn in by the expanded uncertainty.
    Guarded,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Paper {
    A4,
    Letter,
}

impl Paper {
    pub fn other(self) -> Paper {
        match self {
            Paper::A4 => Paper::Letter,
            Paper::Letter => Paper::A4,
        }
    }
}

impl fmt::Display for Paper {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Paper::A4 => "A4",
            Paper::Letter => "Letter",
        })
    }
}

#[derive(Clone, Debug)]
pub struct Shop {
    pub name: Text,
    pub certificate: Option<Text>,
    pub address: Option<Text>,
}

#[derive(Clone, Debug)]
pub struct Person {
    pub initials: Text,
    pub name: Text,
    pub certificate: Option<Text>,
    pub role: Role,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Role {
    Mechanic,
    Inspector,
    Quality,
}

impl Role {
    /// As a person signs and as it is printed.
    pub fn word(self) -> &'static str {
        match self {
            Role::Mechanic => "mechanic",
            Role::Inspector => "inspector",
            Role::Quality => "quality manager",
        }
    }
}

#[derive(Clone, Debug)]
pub struct Gauge {
    pub id: Text,
    pub name: Text,
    pub serial: Option<Text>,
    /// A telescoping gauge only transfers a size to a micrometer.
    pub transfer: bool,
    pub range: Option<(Number, Number)>,
    /// Of the range, uncertainty and resolution; the limits' unit unless told.
    /// A spring tester's is `lbf`, a torque wrench's `in·lbf`.
    pub unit: Option<Unit>,
    pub resolution: Option<Number>,
    /// Expanded, k = 2.
    pub uncertainty: Option<Number>,
    /// Millionths of a length per degree Celsius; steel unless told.
    pub expansion: Option<Number>,
    /// Of its calibration.
    pub certificate: Option<Text>,
    pub due: Option<(Date, Text)>,
}

impl Job {
    pub fn person(&self, initials: &str) -> Option<&Person> {
        self.people.iter().find(|person| person.initials.as_str() == initials)
    }

    pub fn gauge(&self, id: &str) -> Option<&Gauge> {
        self.gauges.iter().find(|gauge| gauge.id.as_str() == id)
    }
}
