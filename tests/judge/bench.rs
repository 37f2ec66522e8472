//! A small bench: lines, readings and verdicts from a few words.

use benchleaf::diag::Span;
use benchleaf::judge::{Context, Contribution, PartState, SideReadings, Verdict, check};
use benchleaf::model::engine::{Engine, Feature, Part, Place, PlaceSet};
use benchleaf::model::id::{FeatureId, PartId};
use benchleaf::model::job::{Leaf, Rule, Scope};
use benchleaf::model::limits::*;
use benchleaf::model::record::Mark;
use benchleaf::model::side::{Group, Side};
use benchleaf::model::text::{Limit, Number, Text};
use benchleaf::quantity::{Exact, Fit, Length, Readings, Unit};
use std::sync::Arc;

pub const SHAFT: FeatureId = FeatureId(0);
pub const BORE: FeatureId = FeatureId(1);
/// Two planes by two directions.
pub const BARREL: FeatureId = FeatureId(2);
/// Oval: judged in direction B of plane 2 alone.
pub const SKIRT: FeatureId = FeatureId(3);

pub fn loc() -> Span {
    Span::new(&Arc::from("limits.toml"), 0, 1)
}

pub fn word(text: &str) -> Text {
    Text { text: text.into(), at: loc() }
}

pub fn exact(text: &str) -> Exact {
    Exact::read(text).unwrap_or_else(|why| panic!("{text}: {why:?}"))
}

/// A plain figure, or a fit with its L or T; `-` or nothing is absent.
fn limit(text: &str, unit: &str) -> Option<Limit> {
    let value = match text {
        "" | "-" => return None,
        text if text.ends_with(['L', 'T']) => Fit::read(text).expect(text).0,
        text => exact(text),
    };
    Some(Limit::new(Number { value, text: text.into(), at: loc() }, Unit::read(unit)))
}

/// `new_min new_max service_min service_max`, `-` where absent.
pub fn four(text: &str) -> Tolerance {
    four_in("in", text)
}

pub fn four_in(unit: &str, text: &str) -> Tolerance {
    let mut limits = text.split(' ').map(|text| limit(text, unit));
    let mut next = || limits.next().flatten();
    let (new_min, new_max, service_min, service_max) = (next(), next(), next(), next());
    Tolerance { new_min, new_max, service_min, service_max, ..Tolerance::default() }
}

/// Limits beside others, in another unit.
pub fn twinned_with(unit: &str, text: &str) -> Option<Box<Twin>> {
    Some(Box::new(Twin { unit: Some(Unit::read(unit)), limits: four_in(unit, text) }))
}

/// `new_min new_max wear`.
pub fn part(feature: FeatureId, text: &str) -> SizeLimits {
    part_in("in", feature, text)
}

pub fn part_in(unit: &str, feature: FeatureId, text: &str) -> SizeLimits {
    let mut limits = text.split(' ').map(|text| limit(text, unit));
    let mut next = || limits.next().flatten();
    let (new_min, new_max, wear) = (next(), next(), next());
    SizeLimits { feature, new_min, new_max, wear, wear_amount: None, replace: false, twin: None }
}

pub fn line(kind: Kind) -> Line {
    Line {
        reference: word("C"),
        name: word("a line"),
        group: None,
        also: Vec::new(),
        way: None,
        note: None,
        page: None,
        published: None,
        only: None,
        agreed: None,
        unit: Unit::Length(Length::Inch),
        places: 4,
        kind,
        typed: Vec::new(),
        at: loc(),
    }
}

/// The line with its figures as they stand, in another unit.
pub fn measured_in(unit: &str, mut line: Line) -> Line {
    let (own, unit) = (line.unit.clone(), Unit::read(unit));
    let again = |limit: &mut Option<Limit>| {
        *limit = limit.take().map(|limit| {
            let value = limit.in_unit(&own).expect("a limit in the line's unit").value;
            Limit::new(Number { value, text: limit.text, at: limit.at }, unit.clone())
        });
    };
    let four = |four: &mut Tolerance| {
        let Tolerance { new_min, new_max, service_min, service_max, wear_amount, .. } = four;
        [new_min, new_max, service_min, service_max, wear_amount].into_iter().for_each(again);
    };
    match &mut line.kind {
        Kind::Fit(fit) => {
            four(&mut fit.fit);
            for SizeLimits { new_min, new_max, wear, .. } in [&mut fit.shaft, &mut fit.bore] {
                [new_min, new_max, wear].into_iter().for_each(again);
            }
        }
        Kind::Size(size) => four(&mut size.limits),
        Kind::Roundness(roundness) => four(&mut roundness.limits),
        Kind::Taper(taper) => four(&mut taper.limits),
        Kind::Reading(reading) => four(&mut reading.limits),
        Kind::Spread(spread) => four(&mut spread.limits),
        Kind::Feeler(feeler) => four(&mut feeler.limits),
        Kind::Count(_) | Kind::Recorded(_) => {}
    }
    Line { unit, ..line }
}

pub fn fit_line(shaft: &str, bore: &str, fit: &str) -> Line {
    line(Kind::Fit(FitLine {
        shaft: part(SHAFT, shaft),
        bore: part(BORE, bore),
        fit: four(fit),
        reduction: Reduction::Worst,
        grades: Vec::new(),
    }))
}

/// The size of the shaft.
pub fn size_line(limits: &str) -> Line {
    line(Kind::Size(SizeLine {
        feature: SHAFT,
        limits: four(limits),
        reduction: Reduction::Worst,
        grades: Vec::new(),
    }))
}

pub fn reading_line(limits: &str) -> Line {
    line(Kind::Reading(ReadingLine {
        at: None,
        part: None,
        labels: Vec::new(),
        with: None,
        limits: four(limits),
        when: None,
    }))
}

/// The lines of the table of check values.
pub fn camshaft() -> Line {
    fit_line("1.3725 1.3735 1.3715", "1.3745 1.3760 1.3770", "0.0010L 0.0035L - 0.0050L")
}

pub fn tappet() -> Line {
    fit_line("0.8732 0.8740 -", "0.8750 0.8760 0.8770", "0.0010L 0.0028L - 0.0040L")
}

pub fn pump() -> Line {
    fit_line("0.4985 0.4990 -", "0.5000 0.5010 -", "0.0010L 0.0025L - 0.0040L")
}

pub fn housing() -> Line {
    fit_line("1.0005 1.0010 -", "0.9990 0.9998 -", "0.0020T 0.0007T - 0.0003T")
}

pub fn main_bearing() -> Line {
    fit_line("2.2480 2.2490 2.2460", "2.2505 2.2520 -", "0.0015L 0.0040L - 0.0055L")
}

/// What a line is judged on: an engine with a few features, scope and rule.
pub struct Bench {
    pub engine: Engine,
    pub limits: Limits,
    pub scope: Scope,
    pub rule: Rule,
    pub leaves: Vec<Leaf>,
    /// Expanded uncertainties of the shaft's (or only) gauge and the bore's.
    pub gauges: [Vec<Exact>; 2],
    pub states: [PartState; 2],
}

fn feature(id: &str, side: Side, directions: &[&str], planes: &[&str]) -> Feature {
    Feature {
        id: word(id),
        name: word(id),
        part: PartId(0),
        side,
        at: Some(0),
        directions: directions.iter().map(|d| word(d)).collect(),
        planes: planes.iter().map(|plane| word(plane)).collect(),
        governing_direction: None,
        governing_plane: None,
        when: None,
        called: None,
    }
}

fn engine() -> Engine {
    let two = ["in line with the gear dowel", "at right angles"];
    let mut skirt = feature("skirt", Side::Shaft, &["along the pin", "across"], &["top", "skirt"]);
    skirt.governing_direction = Some(1);
    skirt.governing_plane = Some(1);
    let place = |code: &str| Place { code: word(code), name: word(code), reach: None };
    Engine {
        maker: word("Tarnwick Motor Works"),
        model: word("TW4-H8"),
        unit: Length::Inch,
        places: vec![PlaceSet {
            of: None,
            id: word("places"),
            places: ["1", "2", "3", "4"].map(place).into(),
        }],
        parts: vec![Part {
            id: word("part"),
            name: word("part"),
            one: None,
            material: None,
            expansion: None,
            count: 1,
            always_renewed: false,
            kinds: Vec::new(),
            look_over: Vec::new(),
            look_over_at: None,
            at: None,
        }],
        groups: Vec::new(),
        features: vec![
            feature("shaft", Side::Shaft, &two, &[]),
            feature("bore", Side::Bore, &["", ""], &[]),
            feature("barrel", Side::Bore, &["", ""], &["top", "skirt"]),
            skirt,
        ],
        conditions: Vec::new(),
        reworks: Vec::new(),
    }
}

impl Bench {
    pub fn new() -> Bench {
        Bench {
            engine: engine(),
            limits: Limits {
                number: word("L-07"),
                document: Document {
                    title: word("Overhaul manual"),
                    number: word("OM-4"),
                    revision: word("7"),
                    date: None,
                    unit: Length::Inch,
                    places: 4,
                },
                lines: Vec::new(),
                typed: Vec::new(),
            },
            scope: Scope::Service,
            rule: Rule::Simple,
            leaves: Vec::new(),
            gauges: [Vec::new(), Vec::new()],
            states: [PartState::Reused, PartState::Reused],
        }
    }

    pub fn under_new(mut self) -> Bench {
        self.scope = Scope::New;
        self
    }

    pub fn guarded(mut self) -> Bench {
        self.rule = Rule::Guarded;
        self
    }

    pub fn gauges(mut self, shaft: &str, bore: &str) -> Bench {
        self.gauges = [shaft, bore].map(figures);
        self
    }

    /// As engraved, and `0.002=0.00205` with its measured thickness.
    pub fn leaves(mut self, leaves: &str) -> Bench {
        self.leaves = own_leaves(leaves);
        self
    }

    pub fn states(mut self, shaft: PartState, bore: PartState) -> Bench {
        self.states = [shaft, bore];
        self
    }

    pub fn setting(&self) -> Context<'_> {
        Context {
            engine: &self.engine,
            limits: &self.limits,
            scope: self.scope,
            rule: self.rule,
            leaves: &self.leaves,
            gauges: &[],
            place: None,
        }
    }

    /// Readings by blanks and spaces: `1.3718 -`; nothing at all is blank.
    pub fn judge(&self, line: &Line, shaft: &str, bore: &str) -> Verdict {
        check(line).judge(&self.read(line, shaft, bore), &self.setting())
    }

    pub fn read(&self, line: &Line, shaft: &str, bore: &str) -> Vec<SideReadings> {
        vec![self.side(line, Side::Shaft, shaft, 0), self.side(line, Side::Bore, bore, 1)]
    }

    pub fn judge_read(&self, line: &Line, readings: &str) -> Verdict {
        let read = vec![self.side(line, Side::Only, readings, 0)];
        check(line).judge(&read, &self.setting())
    }

    fn side(&self, line: &Line, key: Side, readings: &str, which: usize) -> SideReadings {
        let boxes: Vec<Option<Exact>> =
            readings.split_whitespace().map(|r| Exact::read(r).ok()).collect();
        SideReadings {
            key: key.into(),
            uncertainty: vec![by_gauges(key, &self.gauges[which]); boxes.len()],
            readings: Readings::new(line.unit.clone(), boxes),
            state: self.states[which].clone(),
            ..SideReadings::default()
        }
    }

    /// Marks as `vvx-`, further leaves as `(tooth, leaf, entered)`.
    pub fn judge_leaves(
        &self,
        line: &Line,
        go: &str,
        no_go: &str,
        further: &[(u32, &str, bool)],
    ) -> Verdict {
        let marks = |key, text: &str| SideReadings {
            key,
            marks: text.chars().map(mark).collect(),
            state: self.states[0].clone(),
            ..SideReadings::default()
        };
        let mut more = SideReadings { key: Group::Leaves, ..SideReadings::default() };
        more.leaves =
            further.iter().map(|(n, leaf, entered)| (*n, exact(leaf), *entered)).collect();
        let read = vec![marks(Group::Go, go), marks(Group::NoGo, no_go), more];
        check(line).judge(&read, &self.setting())
    }
}

fn mark(letter: char) -> Mark {
    match letter {
        'v' => Mark::Ok,
        'x' => Mark::Found,
        'n' => Mark::NotApplicable,
        _ => Mark::Blank,
    }
}

pub fn own_leaves(text: &str) -> Vec<Leaf> {
    let typed = |figure: &str| Number { value: exact(figure), text: figure.into(), at: loc() };
    let leaf = |leaf: &str| match leaf.split_once('=') {
        Some((engraved, measured)) => {
            Leaf { engraved: typed(engraved), measured: Some(typed(measured)) }
        }
        None => Leaf { engraved: typed(leaf), measured: None },
    };
    text.split_whitespace().map(leaf).collect()
}

pub fn figures(text: &str) -> Vec<Exact> {
    text.split_whitespace().map(exact).collect()
}

pub fn graded(name: &str) -> PartState {
    PartState::Reworked { grade: Some(name.to_owned()) }
}

/// Expanded uncertainties as gauges of a job, one after the other.
pub fn by_gauges(side: Side, expanded: &[Exact]) -> Vec<Contribution> {
    let part = |(gauge, expanded): (usize, &Exact)| Contribution {
        group: side.into(),
        gauge,
        expanded: *expanded,
    };
    expanded.iter().enumerate().map(part).collect()
}
