//! Second-stage sheets as plain texts and figures: worked out, not laid out.

use crate::judge::{BoxGroup, Contribution, PartState, ResultBox, SideReadings};
use crate::model::side::Side;
use crate::quantity::Exact;
use crate::sheet::types::{Row, SignBox};

/// One side of a fit row as the record holds it now: what a second-stage sheet
/// is printed from, and what its code is a digest of.
#[derive(Clone, Debug)]
pub struct OnRecord {
    /// Of the row: `C2`.
    pub code: String,
    pub half: Side,
    /// The readings that govern the fit, in the limits' unit.
    pub readings: Vec<Exact>,
    pub state: PartState,
    /// Every reading of the side, those that do not govern too.
    pub side: SideReadings,
    /// What its mate is.
    pub mate: PartState,
    /// The gauges behind the mate's readings, or named for them where none is
    /// taken yet.
    pub mate_budget: Vec<Contribution>,
}

/// The second stage of one sheet of the set: one side recorded, the other to
/// be measured.
#[derive(Clone, Debug)]
pub struct SecondSheet {
    /// Of the sheet of the set: `C`.
    pub letter: String,
    pub title: String,
    /// Of the form.
    pub revision: String,
    /// The side on record.
    pub half: Side,
    /// Four characters: a digest of the codes of its rows.
    pub code: String,
    /// Each row's own code, in printed order.
    pub rows: Vec<(String, String)>,
    /// The state of assembly that the mate is measured in.
    pub before: Vec<String>,
    pub lines: Vec<SecondLine>,
    pub signs: Vec<SignBox>,
}

/// The places of one line of the limits.
#[derive(Clone, Debug)]
pub struct SecondLine {
    pub name: String,
    pub limits: String,
    /// Who confirmed a line that does not add up.
    pub agreed: Option<String>,
    /// What a dagger in the ladders means; several where parts differ in grade.
    pub daggers: Vec<String>,
    pub places: Vec<SecondPlace>,
}

/// One place: what is on record, what the mate may be, and the ladders.
#[derive(Clone, Debug)]
pub struct SecondPlace {
    pub row: Row,
    pub code: String,
    pub largest: String,
    pub smallest: String,
    /// `reused`, `new`, `reworked to 0.006 undersize`.
    pub state: String,
    pub windows: Vec<MateWindow>,
    /// Tight, then loose; absent where no mate serves.
    pub ladders: Option<[Steps; 2]>,
    /// What mate they are for: `reused bore`.
    pub ladders_for: String,
    /// The boxes to fill.
    pub group: BoxGroup,
    pub answers: Vec<ResultBox>,
}

/// What one kind of mate may be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MateWindow {
    /// `reused bore`.
    pub mate: String,
    /// `1.3728 to 1.3766`, or `no bore serves`.
    pub window: String,
    pub serves: bool,
    /// Where the ends come from, or why nothing serves.
    pub from: Vec<String>,
}

/// A ladder as printed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Steps {
    /// `Tight`.
    pub title: &'static str,
    /// What is subtracted: `smallest bore − 1.3718`.
    pub sum: String,
    pub steps: Vec<Step>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The reading of the mate.
    pub size: String,
    pub fit: String,
    /// `new`, `service`, `hold`, `out: loose`.
    pub word: String,
    pub out: bool,
    /// Past its new limit where wear cannot reach.
    pub dagger: bool,
    /// Sizes were skipped above.
    pub gap: bool,
}

impl SecondSheet {
    /// What the transcription says under the sheet's letter, as `second`: the
    /// sheet's code, the side on record, and the code of each row.
    pub fn typed(&self) -> String {
        let rows: Vec<String> =
            self.rows.iter().map(|(row, code)| format!("{row} {code}")).collect();
        format!("{} {}: {}", self.code, self.half, rows.join(", "))
    }

    /// As printed in the box of the head: `C·2`.
    pub fn letter_2(&self) -> String {
        format!("{}·2", self.letter)
    }
}
