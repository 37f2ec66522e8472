//! Lines of a limits table, a variant a kind.

// A new kind must not fall through.
#![warn(clippy::wildcard_enum_match_arm)]

pub use super::direct::{CountLine, FeelerLine, ReadingLine, RecordedLine, SpreadLine};
use super::engine::Engine;
use super::id::{FeatureId, LineId, PartId, table};
pub use super::sized::{FitLine, Grade, Reduction, SizeGrade, SizeLine};
use super::text::{Text, TypedKey};
pub use super::tolerance::{SizeLimits, Tolerance, Twin};
use crate::diag::Span;
use crate::quantity::{Length, Unit};

/// A limits file: the document it repeats and its lines in order.
#[derive(Clone, Debug)]
pub struct Limits {
    /// The shop's own number of this file, `L-07`; the file name where absent.
    pub number: Text,
    pub document: Document,
    pub lines: Vec<Line>,
    /// All that was typed for the document, key by key.
    pub typed: Vec<TypedKey>,
}

impl Limits {
    /// Every grade that the lines have, by feature: `0.006 undersize` of the main
    /// journal.
    pub fn grades(&self) -> Vec<(FeatureId, &str)> {
        let mut known = Vec::new();
        for line in &self.lines {
            if let Some(fit) = line.fit() {
                for grade in &fit.grades {
                    for (side, feature) in fit.features() {
                        known.extend(grade.names(side).map(|name| (feature, name)));
                    }
                }
            }
            if let Some(size) = line.size() {
                let names = size.grades.iter().map(|grade| grade.name.as_str());
                known.extend(names.map(|name| (size.feature, name)));
            }
        }
        known
    }
}

/// The document that the limits repeat.
#[derive(Clone, Debug)]
pub struct Document {
    pub title: Text,
    pub number: Text,
    pub revision: Text,
    pub date: Option<Text>,
    pub unit: Length,
    /// Decimals that every length is read to, unless a line says otherwise.
    pub places: u8,
}

/// One line of the table.
#[derive(Clone, Debug)]
pub struct Line {
    /// Capitals and digits: the first part of its rows' codes.
    pub reference: Text,
    pub name: Text,
    /// The sheet that it is measured on, where that is not its part's: a group
    /// of the engine, or a place that a form keeps for lines.
    pub group: Option<Text>,
    /// Parts beside the one that it is read on, a change of which reopens it:
    /// both shafts of a backlash.
    pub also: Vec<PartId>,
    /// How it is measured, by its name in the file of kinds: `runout`.
    pub way: Option<Text>,
    /// Printed over its boxes.
    pub note: Option<Text>,
    /// What the document calls it: its number in the document's own table.
    pub published: Option<Text>,
    /// Where it stands in the document.
    pub page: Option<Text>,
    /// Who confirmed a line that does not add up; printed wherever it is used.
    pub agreed: Option<Text>,
    pub unit: Unit,
    /// Decimals its readings are read to.
    pub places: u8,
    pub kind: Kind,
    /// The places of its set that it holds at, indices in order; every one
    /// where absent. A line of the file that has limits by place is several
    /// lines here, one after the other, of one reference.
    pub only: Option<Vec<usize>>,
    /// All that was typed for it, key by key: what a revision is told by and
    /// the sheet's number is a digest of. Of several lines of one reference the
    /// first has it.
    pub typed: Vec<TypedKey>,
    /// The whole table in the file.
    pub at: Span,
}

/// A file has a few dozen lines: their size does not matter.
#[allow(clippy::large_enum_variant)]
#[derive(Clone, Debug)]
pub enum Kind {
    Fit(FitLine),
    Size(SizeLine),
    Roundness(RoundnessLine),
    Taper(TaperLine),
    Reading(ReadingLine),
    Spread(SpreadLine),
    Feeler(FeelerLine),
    Count(CountLine),
    Recorded(RecordedLine),
}

/// What the rows of a line are read with.
#[derive(Clone, Copy, Debug)]
pub enum Gauges<'a> {
    /// Nothing: they are counted by eye.
    None,
    /// A gauge may be named and need not be.
    Optional,
    /// Leaves: they are named where they are used, and nothing is read off them.
    Leaves(&'a FeelerLine),
    /// A gauge that must be named, and what the document says of it.
    Needed(Option<&'a Text>),
}

/// Largest difference across the directions of one plane, from the readings
/// that another line of the same feature asks for.
#[derive(Clone, Debug)]
pub struct RoundnessLine {
    pub feature: FeatureId,
    pub limits: Tolerance,
}

/// Plane `from` less plane `to` in one direction.
#[derive(Clone, Debug)]
pub struct TaperLine {
    pub feature: FeatureId,
    /// Indices of planes.
    pub from: usize,
    pub to: usize,
    /// A choke: its sign counts. Otherwise the greatest difference either way.
    pub signed: bool,
    pub limits: Tolerance,
}

impl Limits {
    pub fn line(&self, reference: &str) -> Option<LineId> {
        self.lines.iter().position(|line| line.reference.as_str() == reference).map(LineId)
    }

    /// The unit that a feature is first read in; the document's where no line
    /// reads it.
    pub fn unit_read(&self, feature: FeatureId) -> Unit {
        let line = self.lines.iter().find(|line| line.reads(feature));
        line.map_or(Unit::Length(self.document.unit), |line| line.unit.clone())
    }
}

impl Line {
    /// The set of places that each have a row: a spread is one row with a box
    /// a place.
    pub fn row_places(&self, engine: &Engine) -> Option<usize> {
        match &self.kind {
            Kind::Spread(_) => None,
            Kind::Fit(_)
            | Kind::Size(_)
            | Kind::Roundness(_)
            | Kind::Taper(_)
            | Kind::Reading(_)
            | Kind::Feeler(_)
            | Kind::Count(_)
            | Kind::Recorded(_) => self.place_set(engine),
        }
    }

    /// The features that its rows have boxes for; roundness and taper borrow
    /// theirs.
    pub fn features_read(&self) -> Vec<FeatureId> {
        match &self.kind {
            Kind::Fit(fit) => vec![fit.shaft.feature, fit.bore.feature],
            Kind::Size(size) => vec![size.feature],
            Kind::Roundness(_)
            | Kind::Taper(_)
            | Kind::Reading(_)
            | Kind::Spread(_)
            | Kind::Feeler(_)
            | Kind::Count(_)
            | Kind::Recorded(_) => Vec::new(),
        }
    }

    /// Whether its rows have boxes for the feature.
    pub fn reads(&self, feature: FeatureId) -> bool {
        self.features_read().contains(&feature)
    }

    /// The feature of a line that is judged on the readings of one alone,
    /// wherever they are taken.
    pub fn feature(&self) -> Option<FeatureId> {
        match &self.kind {
            Kind::Size(line) => Some(line.feature),
            Kind::Roundness(line) => Some(line.feature),
            Kind::Taper(line) => Some(line.feature),
            Kind::Fit(_)
            | Kind::Reading(_)
            | Kind::Spread(_)
            | Kind::Feeler(_)
            | Kind::Count(_)
            | Kind::Recorded(_) => None,
        }
    }

    /// Its kind, as typed in a limits file.
    pub fn kind_word(&self) -> &'static str {
        match &self.kind {
            Kind::Fit(_) => "fit",
            Kind::Size(_) => "size",
            Kind::Roundness(_) => "roundness",
            Kind::Taper(_) => "taper",
            Kind::Reading(_) => "reading",
            Kind::Spread(_) => "spread",
            Kind::Feeler(_) => "feeler",
            Kind::Count(_) => "count",
            Kind::Recorded(_) => "recorded",
        }
    }

    /// Shaft and bore, where its rows hold one against the other.
    pub fn fit(&self) -> Option<&FitLine> {
        match &self.kind {
            Kind::Fit(line) => Some(line),
            Kind::Size(_)
            | Kind::Roundness(_)
            | Kind::Taper(_)
            | Kind::Reading(_)
            | Kind::Spread(_)
            | Kind::Feeler(_)
            | Kind::Count(_)
            | Kind::Recorded(_) => None,
        }
    }

    /// The size of one feature, where its rows hold that against limits.
    pub fn size(&self) -> Option<&SizeLine> {
        match &self.kind {
            Kind::Size(line) => Some(line),
            Kind::Fit(_)
            | Kind::Roundness(_)
            | Kind::Taper(_)
            | Kind::Reading(_)
            | Kind::Spread(_)
            | Kind::Feeler(_)
            | Kind::Count(_)
            | Kind::Recorded(_) => None,
        }
    }

    /// How round one feature must be, where its rows hold that.
    pub fn roundness(&self) -> Option<&RoundnessLine> {
        match &self.kind {
            Kind::Roundness(line) => Some(line),
            Kind::Fit(_)
            | Kind::Size(_)
            | Kind::Taper(_)
            | Kind::Reading(_)
            | Kind::Spread(_)
            | Kind::Feeler(_)
            | Kind::Count(_)
            | Kind::Recorded(_) => None,
        }
    }

    /// The limits of the figure that it is judged by, of a fit the clearance;
    /// `None` where it has none by its kind.
    pub fn tolerance(&self) -> Option<&Tolerance> {
        match &self.kind {
            Kind::Fit(line) => Some(&line.fit),
            Kind::Size(line) => Some(&line.limits),
            Kind::Roundness(line) => Some(&line.limits),
            Kind::Taper(line) => Some(&line.limits),
            Kind::Reading(line) => Some(&line.limits),
            Kind::Spread(line) => Some(&line.limits),
            Kind::Feeler(line) => Some(&line.limits),
            Kind::Count(_) | Kind::Recorded(_) => None,
        }
    }

    /// Whether it has any limit to hold a reading against.
    pub fn is_limited(&self) -> bool {
        match &self.kind {
            Kind::Fit(_) | Kind::Feeler(_) | Kind::Count(_) => true,
            Kind::Size(_)
            | Kind::Roundness(_)
            | Kind::Taper(_)
            | Kind::Reading(_)
            | Kind::Spread(_)
            | Kind::Recorded(_) => self.tolerance().is_some_and(|limits| !limits.is_open()),
        }
    }

    /// Whether the document gives any limit for it, or says `replace`.
    pub fn has_limits(&self) -> bool {
        match &self.kind {
            Kind::Fit(line) => line.fit.is_given() || line.shaft.is_given() || line.bore.is_given(),
            Kind::Count(_) => true,
            Kind::Size(_)
            | Kind::Roundness(_)
            | Kind::Taper(_)
            | Kind::Reading(_)
            | Kind::Spread(_)
            | Kind::Feeler(_)
            | Kind::Recorded(_) => self.tolerance().is_some_and(Tolerance::is_given),
        }
    }

    /// What its rows are read with.
    pub fn gauges(&self) -> Gauges<'_> {
        match &self.kind {
            Kind::Fit(_) | Kind::Size(_) | Kind::Roundness(_) | Kind::Taper(_) => {
                Gauges::Needed(None)
            }
            Kind::Reading(line) => Gauges::Needed(line.with.as_ref()),
            Kind::Spread(line) => Gauges::Needed(line.with.as_ref()),
            Kind::Feeler(line) => Gauges::Leaves(line),
            Kind::Count(_) => Gauges::None,
            Kind::Recorded(_) => Gauges::Optional,
        }
    }

    /// The part by which it finds its sheet: that which it is read on, of a
    /// fit the shaft's or, where that stands in no group, the bore's.
    pub fn parts_read(&self, engine: &Engine) -> Vec<PartId> {
        let features = self.features_read().into_iter().chain(self.feature());
        let of = |feature: FeatureId| Some(engine.features.get(feature.0)?.part);
        self.part().into_iter().chain(features.filter_map(of)).collect()
    }

    /// The state of assembly that direct readings are taken in; features name
    /// their own.
    pub fn when(&self) -> Option<usize> {
        match &self.kind {
            Kind::Reading(line) => line.when,
            Kind::Fit(_)
            | Kind::Size(_)
            | Kind::Roundness(_)
            | Kind::Taper(_)
            | Kind::Spread(_)
            | Kind::Feeler(_)
            | Kind::Count(_)
            | Kind::Recorded(_) => None,
        }
    }

    /// The states of assembly that it is measured in, indices into
    /// `Engine::conditions`: its own, and those of its features.
    pub fn states(&self, engine: &Engine) -> Vec<usize> {
        let features = self.features_read();
        let of = |feature: &FeatureId| engine.features.get(feature.0)?.when;
        self.when().into_iter().chain(features.iter().filter_map(of)).collect()
    }

    /// Whether it is counted and not measured.
    pub fn is_count(&self) -> bool {
        self.kind_word() == "count"
    }

    /// The part that direct readings are taken on; features name their own.
    pub fn part(&self) -> Option<PartId> {
        match &self.kind {
            Kind::Reading(line) => line.part,
            Kind::Spread(line) => line.part,
            Kind::Feeler(line) => line.part,
            Kind::Count(line) => line.part,
            Kind::Recorded(line) => line.part,
            Kind::Fit(_) | Kind::Size(_) | Kind::Roundness(_) | Kind::Taper(_) => None,
        }
    }

    /// The set of places that its rows stand at, an index into
    /// `Engine::places`; `None` for a single row.
    pub fn place_set(&self, engine: &Engine) -> Option<usize> {
        let of = |feature: FeatureId| engine.features.get(feature.0).and_then(|feature| feature.at);
        match &self.kind {
            Kind::Fit(line) => of(line.shaft.feature),
            Kind::Size(line) => of(line.feature),
            Kind::Roundness(line) => of(line.feature),
            Kind::Taper(line) => of(line.feature),
            Kind::Reading(line) => line.at,
            Kind::Spread(line) => Some(line.at),
            Kind::Feeler(line) => line.at,
            Kind::Count(line) => line.at,
            Kind::Recorded(line) => line.at,
        }
    }
}

table!(Line, LineId);
