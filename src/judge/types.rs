//! What the kinds of line take and give: box groups, scales, readings,
//! verdicts.

use super::measure::Measure;
use super::state::{Beyond, Flag, State};
use crate::model::engine::Engine;
use crate::model::id::FeatureId;
use crate::model::job::{Gauge, Leaf, Rule, Scope};
use crate::model::limits::{Limits, Line};
use crate::model::side::{Group, Side};
use crate::quantity::{Exact, Unit};

/// What a line is judged in: the engine, the scope and the decision rule.
#[derive(Clone, Copy, Debug)]
pub struct Context<'a> {
    pub engine: &'a Engine,
    pub limits: &'a Limits,
    pub scope: Scope,
    pub rule: Rule,
    /// The shop's feeler leaves, in the limits' unit.
    pub leaves: &'a [Leaf],
    pub gauges: &'a [Gauge],
    /// Which of its line's places the row stands at, where one row is looked at.
    pub place: Option<usize>,
}

impl Context<'_> {
    /// What a gauge reads: the limits' unit unless told.
    pub fn unit_of(&self, gauge: &Gauge) -> Unit {
        gauge.unit.clone().unwrap_or(Unit::Length(self.limits.document.unit))
    }

    /// Whether a reading lies in the range of a gauge; `None` where it states
    /// none.
    pub fn covers(&self, gauge: &Gauge, reading: Exact, unit: &Unit) -> Option<bool> {
        let (low, high) = gauge.range.as_ref().map(|(low, high)| (low.value, high.value))?;
        let own = self.unit_of(gauge);
        Some(match (own.length(), unit.length()) {
            (Some(own), Some(other)) => {
                (own.to_mm(low)..=own.to_mm(high)).contains(&other.to_mm(reading))
            }
            _ => own == *unit && (low..=high).contains(&reading),
        })
    }
}

/// How a group of boxes is filled in.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum BoxKind {
    /// A comb, one cell a digit: cells before the printed point and after it.
    Comb { whole: u8, places: u8, signed: bool },
    /// A tick or a cross for each; what is counted (`tooth`).
    Marks { each: String },
    /// Words or a figure on a line.
    Words,
}

/// A group of boxes: all the readings of one side of a row.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct BoxGroup {
    pub key: Group,
    /// As printed over the boxes: `Shaft: camshaft journal`.
    pub title: String,
    /// What its boxes are called in words: `shaft`, or as the engine file calls the
    /// feature's.
    pub called: String,
    /// Printed beside the title: `A in line with the dowel, B at right angles`.
    pub hint: String,
    /// One a box, in paper order.
    pub labels: Vec<String>,
    /// Which boxes count for the fit; those alone have the heavier outline.
    pub governs: Vec<bool>,
    pub shape: BoxKind,
    /// Printed on this row. Otherwise the boxes are another row's, found by
    /// their feature (roundness and taper use the readings of the size).
    pub own: bool,
    pub feature: Option<FeatureId>,
    /// Index into `Engine::conditions`.
    pub when: Option<usize>,
    pub unit: Unit,
}

/// A result that is worked out at the bench and written beside the boxes.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct ResultBox {
    /// `loosest`, `tightest`, `largest - smallest`.
    pub label: String,
    pub whole: u8,
    pub places: u8,
    /// A last cell for L or T.
    pub side: bool,
    /// The heavier outline.
    pub governs: bool,
}

impl ResultBox {
    /// For the one figure that a line is judged by.
    pub(super) fn of_figure(label: impl Into<String>, whole: u8, line: &Line) -> ResultBox {
        let (label, places) = (label.into(), line.places);
        ResultBox { label, whole, places, side: false, governs: true }
    }
}

/// How a band of a scale is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Look {
    /// Heavy outline: the new band.
    Heavy,
    Plain,
    Dashed,
    /// Out.
    Hatched,
    /// Beyond what wear can reach: measure again.
    Dotted,
}

/// A stretch of a scale; neighbours share their threshold.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Band {
    pub from: Option<Exact>,
    pub to: Option<Exact>,
    /// `new`, `any mate`, `depends on mate`, `service`, `out`, `measure again`.
    pub word: String,
    pub look: Look,
}

/// A scale over a group's boxes; without a group over the answers.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Scale {
    pub over: Option<Group>,
    /// From the least to the greatest.
    pub bands: Vec<Band>,
    /// The bands are of signed fits: their thresholds print with L or T.
    pub fits: bool,
    /// What cannot be stated, and why.
    pub note: Option<String>,
}

/// One row of the table of allowable ranges.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Range {
    pub side: Side,
    /// `new`, `OK with any serviceable mate`, `wear limit`, ...
    pub word: &'static str,
    /// The threshold before it is clipped by the wear limit.
    pub unclipped: Option<Exact>,
    /// The threshold that governs; absent where it cannot be stated.
    pub at: Option<Exact>,
    /// A floor (no smaller than) or a ceiling (no larger than).
    pub floor: bool,
}

/// The limits of a line as they are printed before anything is measured.
#[derive(Clone, Debug, Default)]
pub struct PrintedLimits {
    /// Drawn once over the rows, each over its group's boxes.
    pub scales: Vec<Scale>,
    /// The table of allowable ranges, row by row.
    pub ranges: Vec<Range>,
    /// The same of every grade, after what the grade is called.
    pub graded: Vec<(String, Vec<Range>)>,
    /// In one line: `new 0.0010 L to 0.0035 L, service to 0.0050 L`.
    pub words: String,
}

/// What a part is when its readings are judged.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub enum PartState {
    #[default]
    Reused,
    New,
    /// New and of a grade, such as a bearing that goes with a ground journal.
    NewTo {
        grade: String,
    },
    /// Reworked; to a grade of the limits where named.
    Reworked {
        grade: Option<String>,
    },
    /// At a grade since before this job; worked on in this job to none, or
    /// reused.
    Arrived {
        grade: String,
        reworked: bool,
    },
}

impl PartState {
    /// The grade of the limits that it is held against.
    pub fn grade(&self) -> Option<&str> {
        match self {
            PartState::Reworked { grade } => grade.as_deref(),
            PartState::NewTo { grade } | PartState::Arrived { grade, .. } => Some(grade),
            PartState::Reused | PartState::New => None,
        }
    }

    /// Unused, of whatever grade: what serves where a document says `replace`.
    pub fn is_new(&self) -> bool {
        matches!(self, PartState::New | PartState::NewTo { .. })
    }

    /// Worn as it came, not renewed or worked on in this job.
    pub fn is_reused(&self) -> bool {
        matches!(self, PartState::Reused | PartState::Arrived { reworked: false, .. })
    }

    /// What it is, for words: `reused`.
    pub fn word(&self) -> &'static str {
        match self {
            state if state.is_new() => "new",
            state if state.is_reused() => "reused",
            _ => "reworked",
        }
    }

    /// New, or reworked to a grade: it must meet its own new limits.
    pub fn meets_new(&self) -> bool {
        self.is_new() || matches!(self, PartState::Reworked { grade: Some(_) })
    }
}

/// One gauge's part in the uncertainty of a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Contribution {
    /// The boxes that it read.
    pub group: Group,
    /// Index into `Job::gauges`.
    pub gauge: usize,
    /// Expanded (k = 2), in the readings' unit.
    pub expanded: Exact,
}

/// A figure that a verdict holds against limits, and the uncertainty it is held
/// under.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Measurand {
    pub name: Measure,
    /// The word for beyond its limit: `loose`, `shaft small`.
    pub beyond: &'static str,
    /// The figure and the limit that decided, as printed: `0.0036 L`, `1.3770`.
    pub shown: [String; 2],
    /// To the limit of the scope, negative beyond it.
    pub margin: Option<Exact>,
    pub at_limit: bool,
    /// Nearer to the limit than the uncertainty, and the chance of being inside.
    pub close: bool,
    pub chance: Option<Exact>,
    pub budget: Vec<Contribution>,
}

/// A figure worked out.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Figure {
    pub name: Measure,
    pub value: Exact,
}

/// The verdict on one part of a row: its fit or reading, its shaft, its bore.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Part {
    /// Of a fit's own figure, and where a row has one figure, none.
    pub side: Option<Side>,
    pub state: State,
}

/// A verdict with all that is needed to print and to defend it.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Verdict {
    pub state: State,
    pub flags: Vec<Flag>,
    /// Everything that is out, also where something worse stands in the state's
    /// place.
    pub beyond: Vec<Beyond>,
    pub parts: Vec<Part>,
    pub figures: Vec<Figure>,
    /// The arithmetic in words, a line a step:
    /// `loosest 1.3768 - 1.3716 = 0.0052 L, limit 0.0050 L: out by 0.0002`.
    pub steps: Vec<String>,
    /// To the nearest limit of the scope; absent where nothing is judged,
    /// negative where out.
    pub margin: Option<Exact>,
    /// What the margin is to: `loosest 0.0050 L`.
    pub against: Option<String>,
    /// The chance of being inside the limit where close, four decimals.
    pub chance: Option<Exact>,
    /// What the chance is of: `loosest 0.0050 L`. Another end than the one the
    /// margin is of can be nearer to its limit than its own uncertainty.
    pub close_to: Option<String>,
    /// Every figure held against limits with its uncertainty, the line's own
    /// figures before those of its parts; the one that `margin` is of is
    /// `decisive`.
    pub held: Vec<Measurand>,
    pub decisive: Option<usize>,
    /// What would bring it in, where it is out.
    pub remedies: Vec<String>,
    /// Likely causes, where it is in query.
    pub causes: Vec<String>,
    pub notes: Vec<String>,
}

impl Verdict {
    pub fn of(state: State) -> Verdict {
        Verdict {
            state,
            flags: Vec::new(),
            beyond: Vec::new(),
            parts: Vec::new(),
            figures: Vec::new(),
            steps: Vec::new(),
            margin: None,
            against: None,
            chance: None,
            close_to: None,
            held: Vec::new(),
            decisive: None,
            remedies: Vec::new(),
            causes: Vec::new(),
            notes: Vec::new(),
        }
    }

    /// Nothing is judged while a question stands: what judging alone gives goes.
    pub fn unjudged(&mut self) {
        self.flags.clear();
        self.beyond.clear();
        self.margin = None;
        self.against = None;
        self.chance = None;
        self.close_to = None;
        self.decisive = None;
        self.remedies.clear();
        // What was read stays; what was worked out of it looks like a judgement.
        self.figures.retain(|figure| figure.name.is_read());
        self.steps.clear();
    }

    /// The uncertainty of the figure that the margin is of; of the first that
    /// was held where there is no margin.
    pub fn budget(&self) -> &[Contribution] {
        let held = self.held.get(self.decisive.unwrap_or_default());
        held.map_or(&[], |measurand| &measurand.budget)
    }

    /// The least and the greatest of the figures that the row is judged by.
    pub fn ends(&self) -> Option<(Exact, Exact)> {
        let own = || self.figures.iter().filter(|figure| figure.name.is_of_row());
        let values = || own().map(|figure| figure.value);
        values().min().zip(values().max())
    }

    pub fn figure(&self, name: Measure) -> Option<Exact> {
        self.figures.iter().find(|figure| figure.name == name).map(|figure| figure.value)
    }
}
