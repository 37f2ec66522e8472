//! An engine and limits table small enough to read, for the tests here. The
//! figures are invented, but for the two lines whose check values the rules
//! give (camshaft in crankcase, drive housing in case).

use benchleaf::diag::Span;
use benchleaf::judge::slips::{Question, question};
use benchleaf::judge::{Context, Provenance, SideReadings};
use benchleaf::model::engine::{Engine, Feature, Part, Place, PlaceSet};
use benchleaf::model::id::{FeatureId, PartId};
use benchleaf::model::job::{Gauge, Rule, Scope};
use benchleaf::model::limits::{
    Document, FitLine, Kind, Limits, Line, Reduction, RoundnessLine, SizeLimits, Tolerance,
};
use benchleaf::model::side::Side;
use benchleaf::model::text::{Limit, Number, Text};
use benchleaf::quantity::{Exact, Fit, Length, Unit};

pub fn nowhere() -> Span {
    Span { file: "test".into(), start: 0, end: 0 }
}

pub fn word(text: &str) -> Text {
    Text { text: text.into(), at: nowhere() }
}

pub fn exact(text: &str) -> Exact {
    Exact::read(text).expect("a figure of the test")
}

pub fn typed(text: &str) -> Number {
    Number { value: exact(text), text: text.into(), at: nowhere() }
}

/// The figure of a limit in the unit of its line.
pub fn figure(limit: &Option<Limit>, line: &Line) -> Option<Exact> {
    Some(limit.as_ref()?.in_unit(&line.unit)?.value)
}

fn maybe(text: &str, unit: Length) -> Option<Limit> {
    (text != "-").then(|| Limit::new(typed(text), Unit::Length(unit)))
}

/// `0.0010 L`, `0.0007 T`, or `-` for none.
fn signed(text: &str, unit: Length) -> Option<Limit> {
    (text != "-").then(|| {
        let value = Fit::read(text).expect("a fit of the test").0;
        Limit::new(Number { value, text: text.into(), at: nowhere() }, Unit::Length(unit))
    })
}

/// One fit: reference, unit, shaft new and wear, bore new and wear, fit new
/// and greatest serviceable, whether the shaft is oval, a roundness limit for
/// both parts.
#[derive(Clone, Copy)]
pub struct Row {
    pub reference: &'static str,
    pub unit: Length,
    pub shaft: [&'static str; 3],
    pub bore: [&'static str; 3],
    pub fit: [&'static str; 3],
    pub oval: bool,
    pub round: &'static str,
}

const fn inch(
    reference: &'static str,
    shaft: [&'static str; 3],
    bore: [&'static str; 3],
    fit: [&'static str; 3],
) -> Row {
    Row { reference, unit: Length::Inch, shaft, bore, fit, oval: false, round: "-" }
}

const fn mm(
    reference: &'static str,
    shaft: [&'static str; 3],
    bore: [&'static str; 3],
    fit: [&'static str; 3],
) -> Row {
    Row { reference, unit: Length::Millimetre, shaft, bore, fit, oval: false, round: "-" }
}

/// Inches to four decimals and millimetres to three; one oval skirt.
pub const ROWS: [Row; 14] = [
    Row {
        round: "0.0005",
        ..inch(
            "M",
            ["2.2480", "2.2490", "2.2460"],
            ["2.2505", "2.2520", "-"],
            ["0.0015 L", "0.0040 L", "0.0055 L"],
        )
    },
    inch(
        "R",
        ["1.8115", "1.8125", "1.8100"],
        ["1.8135", "1.8150", "-"],
        ["0.0010 L", "0.0035 L", "0.0050 L"],
    ),
    Row {
        round: "0.0005",
        ..inch(
            "C",
            ["1.3725", "1.3735", "1.3715"],
            ["1.3745", "1.3760", "1.3770"],
            ["0.0010 L", "0.0035 L", "0.0050 L"],
        )
    },
    inch(
        "T",
        ["0.8732", "0.8740", "-"],
        ["0.8750", "0.8760", "0.8770"],
        ["0.0010 L", "0.0028 L", "0.0040 L"],
    ),
    inch(
        "N",
        ["0.7966", "0.7969", "-"],
        ["0.7972", "0.7976", "-"],
        ["0.0003 L", "0.0010 L", "0.0018 L"],
    ),
    inch(
        "Q",
        ["0.7966", "0.7969", "-"],
        ["0.7967", "0.7972", "-"],
        ["0.0002 T", "0.0006 L", "0.0012 L"],
    ),
    Row {
        oval: true,
        ..inch(
            "K",
            ["4.3610", "4.3620", "4.3590"],
            ["4.3740", "4.3755", "4.3790"],
            ["0.0120 L", "0.0145 L", "0.0180 L"],
        )
    },
    inch(
        "I",
        ["0.3712", "0.3718", "0.3705"],
        ["0.3730", "0.3738", "-"],
        ["0.0012 L", "0.0026 L", "0.0045 L"],
    ),
    inch(
        "E",
        ["0.4022", "0.4030", "0.4012"],
        ["0.4050", "0.4060", "-"],
        ["0.0020 L", "0.0038 L", "0.0060 L"],
    ),
    inch(
        "P",
        ["0.4985", "0.4990", "-"],
        ["0.5000", "0.5010", "-"],
        ["0.0010 L", "0.0025 L", "0.0040 L"],
    ),
    inch(
        "H",
        ["1.0005", "1.0010", "-"],
        ["0.9990", "0.9998", "-"],
        ["0.0020 T", "0.0007 T", "0.0003 T"],
    ),
    mm(
        "U",
        ["59.970", "59.990", "59.930"],
        ["60.020", "60.050", "60.090"],
        ["0.030 L", "0.080 L", "0.130 L"],
    ),
    Row {
        round: "0.010",
        ..mm(
            "V",
            ["34.965", "34.980", "34.940"],
            ["35.000", "35.025", "-"],
            ["0.020 L", "0.060 L", "0.100 L"],
        )
    },
    mm(
        "X",
        ["22.010", "22.020", "-"],
        ["22.025", "22.040", "22.060"],
        ["0.005 L", "0.030 L", "0.045 L"],
    ),
];

pub struct Bench {
    pub engine: Engine,
    pub limits: Limits,
}

fn feature(id: &str, side: Side, oval: bool) -> Feature {
    Feature {
        id: word(id),
        name: word(id),
        part: PartId(0),
        side,
        at: Some(0),
        directions: vec![word(""), word("")],
        planes: Vec::new(),
        governing_direction: oval.then_some(0),
        governing_plane: None,
        when: None,
        called: None,
    }
}

fn part(feature: FeatureId, limits: [&str; 3], unit: Length) -> SizeLimits {
    let [new_min, new_max, wear] = limits.map(|text| maybe(text, unit));
    SizeLimits { feature, new_min, new_max, wear, wear_amount: None, replace: false, twin: None }
}

pub fn line(reference: &str, unit: Length, places: u8, kind: Kind) -> Line {
    Line {
        reference: word(reference),
        name: word(reference),
        group: None,
        also: Vec::new(),
        way: None,
        note: None,
        page: None,
        published: None,
        only: None,
        agreed: None,
        unit: Unit::Length(unit),
        places,
        kind,
        typed: Vec::new(),
        at: nowhere(),
    }
}

fn places_of(unit: Length) -> u8 {
    if unit == Length::Inch { 4 } else { 3 }
}

fn fit_line(row: &Row, shaft: usize, bore: usize) -> Line {
    let fit = Tolerance {
        new_min: signed(row.fit[0], row.unit),
        new_max: signed(row.fit[1], row.unit),
        service_min: None,
        service_max: signed(row.fit[2], row.unit),
        ..Tolerance::default()
    };
    let kind = Kind::Fit(FitLine {
        shaft: part(FeatureId(shaft), row.shaft, row.unit),
        bore: part(FeatureId(bore), row.bore, row.unit),
        fit,
        reduction: Reduction::Worst,
        grades: Vec::new(),
    });
    line(row.reference, row.unit, places_of(row.unit), kind)
}

/// The bench with all of `ROWS`, each feature with two directions.
pub fn bench() -> Bench {
    let mut features = Vec::new();
    let mut lines = Vec::new();
    for row in &ROWS {
        let shaft = features.len();
        features.push(feature(&format!("{}-shaft", row.reference), Side::Shaft, row.oval));
        features.push(feature(&format!("{}-bore", row.reference), Side::Bore, false));
        lines.push(fit_line(row, shaft, shaft + 1));
        for feature in [shaft, shaft + 1].map(FeatureId).into_iter().filter(|_| row.round != "-") {
            let new_max = maybe(row.round, row.unit);
            let limits = Tolerance { new_max, ..Tolerance::default() };
            let kind = Kind::Roundness(RoundnessLine { feature, limits });
            lines.push(line("O", row.unit, places_of(row.unit), kind));
        }
    }
    let places = (1..=8).map(|n| Place {
        code: word(&n.to_string()),
        name: word(&n.to_string()),
        reach: None,
    });
    let engine = Engine {
        maker: word("Tarnwick"),
        model: word("T"),
        unit: Length::Inch,
        places: vec![PlaceSet { id: word("all"), of: None, places: places.collect() }],
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
        features,
        conditions: Vec::new(),
        reworks: Vec::new(),
    };
    let document = Document {
        title: word("manual"),
        number: word("OM-4"),
        revision: word("7"),
        date: None,
        unit: Length::Inch,
        places: 4,
    };
    Bench { engine, limits: Limits { number: word("L"), document, lines, typed: Vec::new() } }
}

impl Bench {
    pub fn line(&self, reference: &str) -> &Line {
        let line = self.limits.lines.iter().find(|l| l.reference.as_str() == reference);
        line.expect("a line of the bench")
    }

    pub fn setting(&self, scope: Scope) -> Context<'_> {
        Context {
            engine: &self.engine,
            limits: &self.limits,
            scope,
            rule: Rule::Simple,
            leaves: &[],
            gauges: &[],
            place: None,
        }
    }

    /// The questions that a row of reused parts raises under service scope.
    pub fn ask(&self, reference: &str, shaft: &[&str], bore: &[&str]) -> Vec<Question> {
        self.ask_confirmed(reference, shaft, bore, &[])
    }

    /// The same with some boxes measured again, the same value found.
    pub fn ask_confirmed(
        &self,
        reference: &str,
        shaft: &[&str],
        bore: &[&str],
        confirmed: &[(&str, usize)],
    ) -> Vec<Question> {
        let (shaft, bore) = (texts(shaft), texts(bore));
        let mut row = row(&shaft, &bore, &[]);
        for side in &mut row {
            for (index, found) in side.confirmed.iter_mut().enumerate() {
                *found = confirmed.contains(&(side.key.word(), index));
            }
        }
        let line = self.line(reference);
        question(line, &row, &self.setting(Scope::Service), &<[SideReadings]>::to_vec)
    }
}

pub fn texts(texts: &[&str]) -> Vec<Option<Number>> {
    texts.iter().map(|text| (*text != "-").then(|| typed(text))).collect()
}

/// A gauge with a range of its own unit.
pub fn gauge(name: &str, range: [&str; 2], unit: Length, transfer: bool) -> Gauge {
    Gauge {
        id: word(name),
        name: word(name),
        serial: None,
        transfer,
        range: Some((typed(range[0]), typed(range[1]))),
        unit: Some(Unit::Length(unit)),
        resolution: None,
        uncertainty: None,
        expansion: None,
        certificate: None,
        due: None,
    }
}

/// One side of a row, reused, every box read with the same gauges.
pub fn side(of: Side, boxes: &[Option<Number>], gauges: &[Gauge]) -> SideReadings {
    let gauges = gauges.iter().map(|gauge| gauge.id.clone()).collect();
    SideReadings {
        key: of.into(),
        boxes: boxes.to_vec(),
        sources: vec![Provenance { gauges, ..Provenance::default() }; boxes.len()],
        confirmed: vec![false; boxes.len()],
        ..SideReadings::default()
    }
}

/// A row of reused parts, every box read with the same gauges.
pub fn row(
    shaft: &[Option<Number>],
    bore: &[Option<Number>],
    gauges: &[Gauge],
) -> Vec<SideReadings> {
    vec![side(Side::Shaft, shaft, gauges), side(Side::Bore, bore, gauges)]
}
