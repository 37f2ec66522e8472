//! Later readings: what each reason needs and what it may do. Readings are
//! only ever added; a later one names what it replaces and why.

use super::state::State;
use crate::model::record::Why;
use crate::quantity::{Exact, squared_exceeds};
use std::fmt;

/// What a later reading, a rework or a part change says of itself. An absent
/// word is `None`; a blank one is taken as absent.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Statement<'a> {
    /// Initials of who did it.
    pub by: Option<&'a str>,
    /// Whether a date is given.
    pub dated: bool,
    /// Gauges by their identifiers, in any order.
    pub gauges: &'a [&'a str],
    /// Initials of a second person.
    pub second: Option<&'a str>,
    /// Whether that second person is an inspector.
    pub inspector: bool,
    /// What was done.
    pub what: Option<&'a str>,
    /// To which data.
    pub data: Option<&'a str>,
    /// Part number.
    pub number: Option<&'a str>,
    /// Serial or batch.
    pub batch: Option<&'a str>,
    /// Source document.
    pub document: Option<&'a str>,
}

/// Something a later entry needs and does not have.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Lack {
    /// Who typed or measured.
    Who,
    When,
    Gauge,
    /// A second person's initials.
    Second,
    /// A second person who is not the first.
    OtherSecond,
    /// Another person or another gauge, where an out becomes a pass.
    OtherHand,
    /// An inspector's initials, where an out becomes a pass.
    Inspector,
    /// What was done.
    What,
    /// To which data.
    Data,
    PartNumber,
    Batch,
    Document,
}

/// Words that stand: not absent, not blank.
fn said(word: Option<&str>) -> Option<&str> {
    word.map(str::trim).filter(|word| !word.is_empty())
}

/// What an entry lacks for its reason, whatever it does to the verdict; empty
/// where it may be used.
pub fn lacks(why: Why, later: &Statement) -> Vec<Lack> {
    let has = |word: Option<&str>| said(word).is_some();
    let needs = match why {
        Why::Mistyped => {
            let same = has(later.second) && said(later.second) == said(later.by);
            vec![(has(later.second), Lack::Second), (!same, Lack::OtherSecond)]
        }
        Why::MeasuredAgain => vec![
            (has(later.by), Lack::Who),
            (later.dated, Lack::When),
            (!later.gauges.is_empty(), Lack::Gauge),
        ],
        Why::Reworked => vec![
            (has(later.what), Lack::What),
            (has(later.by), Lack::Who),
            (has(later.data), Lack::Data),
        ],
        Why::PartChanged => vec![
            (has(later.number), Lack::PartNumber),
            (has(later.batch), Lack::Batch),
            (has(later.document), Lack::Document),
        ],
    };
    needs.into_iter().filter(|(met, _)| !met).map(|(_, lack)| lack).collect()
}

/// Whether a later verdict turns an out into a pass.
pub fn turns(before: &State, after: &State) -> bool {
    matches!(before, State::Out(_)) && after.passes()
}

/// What `measured again` lacks besides, where it turns an out into a pass:
/// another person or another gauge than before, and an inspector's initials.
/// The gauges are another set where one of them was not used before.
pub fn lacks_to_turn(earlier: &Statement, later: &Statement) -> Vec<Lack> {
    let other_person = said(later.by).is_some() && said(later.by) != said(earlier.by);
    let other_gauge = later.gauges.iter().any(|gauge| !earlier.gauges.contains(gauge));
    let inspected = said(later.second).is_some() && later.inspector;
    [(other_person || other_gauge, Lack::OtherHand), (inspected, Lack::Inspector)]
        .into_iter()
        .filter(|(met, _)| !met)
        .map(|(_, lack)| lack)
        .collect()
}

/// Two readings of one box, the later one `measured again`.
#[derive(Clone, Copy, Debug)]
pub struct Repeat<'a> {
    pub earlier: Exact,
    pub later: Exact,
    /// Expanded uncertainties (k = 2) of every gauge behind each reading; a
    /// bore has two. Empty where no gauge states one.
    pub earlier_uncertainty: &'a [Exact],
    pub later_uncertainty: &'a [Exact],
    /// The earlier reading was in query: it was a slip, not a repeat.
    pub was_query: bool,
}

/// What two repeats say of one another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Agreement {
    Agree,
    /// The row is on hold until somebody says which stands.
    Disagree,
    /// No gauge states an uncertainty, or the earlier reading was in query.
    NotHeld,
}

/// Repeats disagree where their difference squared exceeds `U1² + U2²`.
pub fn agreement(repeat: &Repeat) -> Agreement {
    let known = !repeat.earlier_uncertainty.is_empty() && !repeat.later_uncertainty.is_empty();
    if repeat.was_query || !known {
        return Agreement::NotHeld;
    }
    let parts = [repeat.earlier_uncertainty, repeat.later_uncertainty].concat();
    if squared_exceeds(repeat.later - repeat.earlier, &parts) {
        Agreement::Disagree
    } else {
        Agreement::Agree
    }
}

/// Whether an out by this much asks for a repeat before a part is scrapped: it
/// is less than the uncertainty of the fit, every gauge of both sides counted,
/// compared as squares.
pub fn asks_repeat(by: Exact, uncertainty: &[Exact]) -> bool {
    let square: Exact = uncertainty.iter().map(|part| part.product(*part)).sum();
    by.product(by) < square
}

impl fmt::Display for Lack {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Lack::Who => "give the initials of who did it",
            Lack::When => "give the date",
            Lack::Gauge => "name the gauge",
            Lack::Second => "a second person must look at the paper: give their initials",
            Lack::OtherSecond => "the second person must be another than the first",
            Lack::OtherHand => "an out becomes a pass only by another person or with another gauge",
            Lack::Inspector => "an out becomes a pass only with an inspector's initials",
            Lack::What => "say what was done",
            Lack::Data => "say to which data it was done",
            Lack::PartNumber => "give the part number",
            Lack::Batch => "give the serial or batch",
            Lack::Document => "name the source document",
        })
    }
}
