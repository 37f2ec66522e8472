//! The limits file: the document and its lines, a function a kind.

use super::engine::twice;
use super::fields::Fields;
use super::file;
use super::limit::{FIT_LIMITS, FOUR, PART_LIMITS, Reading, TWIN, places};
use super::nearest::Known;
use super::references::{Names, references, row_codes};
use super::shape::{By, Key, Kind, Shape, Varied, may, must};
use crate::diag::{Diags, Sources};
use crate::model::engine::{Engine, Side};
use crate::model::line::{self, CountLine, Document, FeelerLine, FitLine, Grade, Limits, Line};
use crate::model::line::{PartLimits, ReadingLine, RecordedLine, Reduction, RoundnessLine};
use crate::model::line::{SizeLine, SpreadLine, TaperLine};
use crate::model::typed::Word;
use crate::quantity::{Length, Unit};

const UNITS: &[&str] = &["in", "mm"];
const REDUCTIONS: &[(&str, Reduction)] =
    &[("worst", Reduction::Worst), ("average", Reduction::Average)];

pub static LIMITS: Shape = Shape {
    name: "a limits file",
    keys: &[&[
        must("document", Kind::Table(&DOCUMENT), "[document] with title, number and revision"),
        must("line", Kind::EachOf(&LINE), "[[line]] for each line of the table"),
    ]],
};
static DOCUMENT: Shape = Shape {
    name: "[document]",
    keys: &[&[
        may("file", Kind::Text, "\"L-07\""),
        must("title", Kind::Text, "\"Overhaul manual\""),
        must("number", Kind::Text, "\"OM-4\""),
        must("revision", Kind::FigureOrText, "\"7\""),
        may("date", Kind::DayOrText, "2024-05-01"),
        must("unit", Kind::Choice(UNITS), "\"in\""),
        must("resolution", Kind::FigureOrText, "\"0.0001\""),
    ]],
};
pub static LINE: Varied = Varied {
    name: "a line",
    by: By::Value("kind"),
    kinds: &[
        ("fit", &Shape { name: "a line of kind fit", keys: &[COMMON, FIT] }),
        ("size", &Shape { name: "a line of kind size", keys: &[COMMON, SIZE, FOUR] }),
        (
            "roundness",
            &Shape { name: "a line of kind roundness", keys: &[COMMON, ROUNDNESS, FOUR] },
        ),
        ("taper", &Shape { name: "a line of kind taper", keys: &[COMMON, TAPER, FOUR] }),
        ("reading", &Shape { name: "a line of kind reading", keys: &[COMMON, READING, FOUR] }),
        ("spread", &Shape { name: "a line of kind spread", keys: &[COMMON, SPREAD, FOUR] }),
        ("feeler", &Shape { name: "a line of kind feeler", keys: &[COMMON, FEELER, FOUR] }),
        ("count", &Shape { name: "a line of kind count", keys: &[COMMON, COUNT] }),
        ("recorded", &Shape { name: "a line of kind recorded", keys: &[COMMON, RECORDED] }),
    ],
};
const COMMON: &[Key] = &[
    must("ref", Kind::Text, "\"C\""),
    must("name", Kind::Text, "\"camshaft in crankcase\""),
    must("kind", Kind::Text, "\"fit\""),
    may("page", Kind::FigureOrText, "\"table 4, sheet 2\""),
    may("agreed", Kind::Text, "\"maker's letter of 2024-05-01\""),
    may("unit", Kind::Text, "\"lbf\""),
    may("resolution", Kind::FigureOrText, "\"0.0001\""),
];
const FIT: &[Key] = &[
    must("shaft", Kind::Table(&SIDE), "{ feature = \"cam-journal\", new = [1.3725, 1.3735] }"),
    must("bore", Kind::Table(&SIDE), "{ feature = \"cam-bore\", new = [1.3745, 1.3760] }"),
    may(
        "fit",
        Kind::Table(&FIT_LIMITS),
        "{ new = [\"0.0010L\", \"0.0035L\"], service = \"0.0050L\" }",
    ),
    may("reduction", Kind::Choice(&["worst", "average"]), "\"worst\""),
    may(
        "grades",
        Kind::Named(&GRADE),
        "{ \"0.006 undersize\" = { shaft = { new = [2.2420, 2.2430] } } }",
    ),
];
static SIDE: Shape = Shape {
    name: "a part of a fit",
    keys: &[&[must("feature", Kind::Text, "\"cam-journal\"")], PART_LIMITS],
};
static GRADE: Shape = Shape {
    name: "a grade",
    keys: &[&[
        may("shaft", Kind::Table(&GRADED), "{ new = [2.2420, 2.2430], wear = 2.2400 }"),
        may("bore", Kind::Table(&GRADED), "{ new = [2.2445, 2.2460] }"),
    ]],
};
static GRADED: Shape = Shape { name: "a part's limits", keys: &[PART_LIMITS] };
const SIZE: &[Key] = &[
    must("feature", Kind::Text, "\"cam-journal\""),
    may("twin", Kind::Table(&TWIN), "{ new = [34.862, 34.887] }"),
    may("reduction", Kind::Choice(&["worst", "average"]), "\"worst\""),
];
const ROUNDNESS: &[Key] = &[must("feature", Kind::Text, "\"cam-journal\"")];
const TAPER: &[Key] = &[
    must("feature", Kind::Text, "\"barrel-bore\""),
    must("planes", Kind::Texts, "[\"skirt\", \"top\"]"),
];
const READING: &[Key] = &[
    may("at", Kind::Text, "\"cam-bearing\""),
    may("part", Kind::Text, "\"camshaft\""),
    may("labels", Kind::Texts, "[\"A\", \"B\"]"),
    may("with", Kind::Text, "\"spring tester at 1.430 in\""),
    may("when", Kind::Text, "\"case-bolted\""),
    may("twin", Kind::Table(&TWIN), "{ new = [0.13, 0.30] }"),
];
const SPREAD: &[Key] = &[
    must("at", Kind::Text, "\"cylinder\""),
    may("part", Kind::Text, "\"pistons\""),
    may("with", Kind::Text, "\"scale\""),
];
const FEELER: &[Key] = &[
    may("at", Kind::Text, "\"pump-gear\""),
    may("part", Kind::Text, "\"pump-gears\""),
    must("teeth", Kind::Whole, "12"),
    may("each", Kind::Text, "\"tooth\""),
];
const COUNT: &[Key] = &[
    may("at", Kind::Text, "\"cylinder\""),
    may("part", Kind::Text, "\"pushrod-seals\""),
    must("exact", Kind::Whole, "16"),
];
const RECORDED: &[Key] = &[
    may("at", Kind::Text, "\"cylinder\""),
    may("part", Kind::Text, "\"crankcase\""),
    may("labels", Kind::Texts, "[\"A\", \"B\"]"),
];

/// Reads a limits file against its engine. Without one (it had faults of its
/// own) everything but the references is looked at, and the answer is `None`.
pub fn limits<'a>(
    files: &Sources,
    name: &str,
    engine: impl Into<Option<&'a Engine>>,
    out: &mut Diags,
) -> Option<Limits> {
    let engine = engine.into();
    file(files, name, &LIMITS, out, |fields, out| {
        let document = fields.table("document").and_then(|head| document(head, out));
        let known = engine.map(Names::new);
        let unit = document.as_ref().map_or(Length::Inch, |document| document.unit);
        let places = document.as_ref().map(|document| document.places);
        let reader = Reader { engine, known, unit, places };
        let read = |fields| reader.line(fields, out);
        let lines: Vec<Line> = fields.each("line").into_iter().filter_map(read).collect();
        references(&fields.each("line"), out);
        if let Some(engine) = engine {
            row_codes(&lines, engine, out);
        }
        let number = fields.table("document").and_then(|head| head.text("file"));
        let number = number.unwrap_or_else(|| Word { text: name.into(), at: fields.at.clone() });
        let all = engine.is_none() || lines.len() == fields.each("line").len();
        document.filter(|_| all).map(|document| Limits { number, document, lines })
    })
    .filter(|_| engine.is_some())
}

fn document(head: Fields<'_>, out: &mut Diags) -> Option<Document> {
    let places = head.node("resolution").and_then(|node| places(node, out));
    Some(Document {
        title: head.text("title")?,
        number: head.text("number")?,
        revision: head.text("revision")?,
        date: head.text("date"),
        unit: Length::read(head.text("unit")?.as_str())?,
        places: places?,
    })
}

struct Reader<'a> {
    engine: Option<&'a Engine>,
    known: Option<Names>,
    unit: Length,
    /// The document's decimals, where they could be read.
    places: Option<u8>,
}

impl Reader<'_> {
    fn line(&self, fields: Fields<'_>, out: &mut Diags) -> Option<Line> {
        let unit = self.unit(&fields, out);
        let own = fields.node("resolution").map(|node| places(node, out));
        let places = match (own, &unit) {
            (Some(own), _) => own,
            (None, Unit::Length(length)) if *length == self.unit => self.places,
            (None, Unit::Length(length)) => {
                let step = if length == &Length::Inch { "0.0001" } else { "0.001" };
                let right = format!("add one step of its last digit: resolution = \"{step}\"");
                out.fault(
                    fields.place("unit"),
                    "another unit than the document's, without its resolution",
                    right,
                );
                None
            }
            (None, Unit::Named(_)) => Some(0),
        };
        let limits = Reading { places, fits: false, size: false };
        let kind = match fields.text("kind")?.as_str() {
            "fit" => self.fit(&fields, limits, out).map(line::Kind::Fit),
            "size" => self.size(&fields, limits, out).map(line::Kind::Size),
            "roundness" => self.roundness(&fields, limits, out).map(line::Kind::Roundness),
            "taper" => self.taper(&fields, limits, out).map(line::Kind::Taper),
            "reading" => Some(line::Kind::Reading(self.reading(&fields, limits, out))),
            "spread" => self.spread(&fields, limits, out).map(line::Kind::Spread),
            "feeler" => self.feeler(&fields, limits, out).map(line::Kind::Feeler),
            "count" => self.count(&fields, out).map(line::Kind::Count),
            "recorded" => Some(line::Kind::Recorded(self.recorded(&fields, out))),
            _ => None,
        };
        Some(Line {
            reference: fields.text("ref")?,
            name: fields.text("name")?,
            page: fields.text("page"),
            agreed: fields.text("agreed"),
            unit,
            places: places?,
            kind: kind?,
            at: fields.at.clone(),
        })
    }

    fn unit(&self, fields: &Fields<'_>, out: &mut Diags) -> Unit {
        let Some(unit) = fields.text("unit") else {
            return Unit::Length(self.unit);
        };
        let meant = match unit.as_str().to_lowercase().as_str() {
            "inch" | "inches" | "in." | "\"" => "in",
            "millimetre" | "millimetres" | "millimeter" | "millimeters" => "mm",
            other if other == unit.as_str() => return Unit::read(unit.as_str()),
            "in" => "in",
            "mm" => "mm",
            _ => return Unit::read(unit.as_str()),
        };
        out.fault(&unit.at, format!("the unit {unit}"), format!("\"{meant}\""));
        Unit::Length(self.unit)
    }

    fn fit(&self, fields: &Fields<'_>, limits: Reading, out: &mut Diags) -> Option<FitLine> {
        let size = Reading { size: true, ..limits };
        let shaft = fields.table("shaft").and_then(|side| self.side(&side, Side::Shaft, size, out));
        let bore = fields.table("bore").and_then(|side| self.side(&side, Side::Bore, size, out));
        let signed = Reading { fits: true, ..limits };
        let fit = fields.table("fit");
        let four = fit.map(|fit| signed.four(&fit, out)).unwrap_or_default();
        let fit_twin = fit.and_then(|fit| signed.twin(&fit, out));
        let mut grades = Vec::new();
        for (name, grade) in fields.named("grades") {
            let mut part = |key, of: Option<&PartLimits>| {
                let feature = of.map_or(0, |part| part.feature);
                grade.table(key).map(|part| size.part(&part, feature, out))
            };
            let (shaft, bore) = (part("shaft", shaft.as_ref()), part("bore", bore.as_ref()));
            grades.push(Grade { name: name.clone(), shaft, bore });
        }
        let (shaft, bore) = (shaft?, bore?);
        self.same_places(fields, &shaft, &bore, out);
        Some(FitLine { shaft, bore, fit: four, fit_twin, reduction: reduction(fields), grades })
    }

    fn side(
        &self,
        fields: &Fields<'_>,
        side: Side,
        limits: Reading,
        out: &mut Diags,
    ) -> Option<PartLimits> {
        let feature = self.feature(fields, out);
        let part = limits.part(fields, feature.unwrap_or(0), out);
        let found = self.engine.and_then(|engine| engine.features.get(feature?));
        if found.is_some_and(|found| found.side != side) {
            let name = if side == Side::Shaft { "shaft" } else { "bore" };
            let wrong = format!("{} is not a {name}", fields.text("feature")?);
            out.fault(fields.place("feature"), wrong, format!("a feature of kind = \"{name}\""));
        }
        feature.map(|_| part)
    }

    fn same_places(
        &self,
        fields: &Fields<'_>,
        shaft: &PartLimits,
        bore: &PartLimits,
        out: &mut Diags,
    ) {
        let Some(engine) = self.engine else { return };
        let of = |part: &PartLimits| engine.features.get(part.feature).map(|feature| feature.at);
        if of(shaft) != of(bore) {
            let right = "give both features the same at = in the engine file";
            out.fault(
                fields.place("bore"),
                "the shaft and the bore lie at different places",
                right,
            );
        }
    }

    fn size(&self, fields: &Fields<'_>, limits: Reading, out: &mut Diags) -> Option<SizeLine> {
        let feature = self.feature(fields, out);
        let limits = Reading { size: true, ..limits };
        let (four, twin) = (limits.four(fields, out), limits.twin(fields, out));
        Some(SizeLine { feature: feature?, limits: four, twin, reduction: reduction(fields) })
    }

    fn roundness(
        &self,
        fields: &Fields<'_>,
        limits: Reading,
        out: &mut Diags,
    ) -> Option<RoundnessLine> {
        let limits = limits.four(fields, out);
        let feature = self.feature(fields, out)?;
        let found = self.engine.and_then(|engine| engine.features.get(feature));
        if found.is_some_and(|feature| feature.directions.len() < 2) {
            let right = "give the feature directions = 2 in the engine file";
            out.fault(fields.place("feature"), "roundness of a feature with one direction", right);
        }
        Some(RoundnessLine { feature, limits })
    }

    fn taper(&self, fields: &Fields<'_>, limits: Reading, out: &mut Diags) -> Option<TaperLine> {
        let limits = limits.four(fields, out);
        let named = fields.texts("planes")?;
        let [from, to] = &named[..] else {
            out.fault(
                fields.place("planes"),
                "a taper is between two planes",
                "planes = [\"skirt\", \"top\"]",
            );
            return None;
        };
        twice(&named, "plane", out);
        let feature = self.feature(fields, out)?;
        let planes = &self.engine?.features.get(feature)?.planes;
        let known = Known::new("plane", planes.iter());
        let (from, to) = (known.find(from, out), known.find(to, out));
        Some(TaperLine { feature, from: from?, to: to?, limits })
    }

    fn reading(&self, fields: &Fields<'_>, limits: Reading, out: &mut Diags) -> ReadingLine {
        let when = self.refer(fields, "when", |known| &known.conditions, out);
        ReadingLine {
            at: self.at(fields, out),
            part: self.part(fields, out),
            labels: labels(fields, out),
            with: fields.text("with"),
            limits: limits.four(fields, out),
            twin: limits.twin(fields, out),
            when,
        }
    }

    fn spread(&self, fields: &Fields<'_>, limits: Reading, out: &mut Diags) -> Option<SpreadLine> {
        let (limits, part) = (limits.four(fields, out), self.part(fields, out));
        Some(SpreadLine { at: self.at(fields, out)?, part, with: fields.text("with"), limits })
    }

    fn feeler(&self, fields: &Fields<'_>, limits: Reading, out: &mut Diags) -> Option<FeelerLine> {
        let (at, part) = (self.at(fields, out), self.part(fields, out));
        let limits = limits.four(fields, out);
        let teeth = fields.whole("teeth")?;
        if !(1..=96).contains(&teeth) {
            out.fault(fields.place("teeth"), format!("{teeth} teeth"), "1 to 96");
        }
        let each = fields
            .text("each")
            .unwrap_or_else(|| Word { text: "tooth".into(), at: fields.at.clone() });
        Some(FeelerLine { at, part, teeth, each, limits })
    }

    fn count(&self, fields: &Fields<'_>, out: &mut Diags) -> Option<CountLine> {
        let (at, part) = (self.at(fields, out), self.part(fields, out));
        Some(CountLine { at, part, exact: fields.whole("exact")? })
    }

    fn recorded(&self, fields: &Fields<'_>, out: &mut Diags) -> RecordedLine {
        RecordedLine {
            at: self.at(fields, out),
            part: self.part(fields, out),
            labels: labels(fields, out),
        }
    }

    fn feature(&self, fields: &Fields<'_>, out: &mut Diags) -> Option<usize> {
        self.refer(fields, "feature", |known| &known.features, out)
    }

    fn at(&self, fields: &Fields<'_>, out: &mut Diags) -> Option<usize> {
        self.refer(fields, "at", |known| &known.places, out)
    }

    fn part(&self, fields: &Fields<'_>, out: &mut Diags) -> Option<usize> {
        self.refer(fields, "part", |known| &known.parts, out)
    }

    fn refer(
        &self,
        fields: &Fields<'_>,
        key: &str,
        among: fn(&Names) -> &Known,
        out: &mut Diags,
    ) -> Option<usize> {
        let name = fields.text(key)?;
        among(self.known.as_ref()?).find(&name, out)
    }
}

fn reduction(fields: &Fields<'_>) -> Reduction {
    fields.choice("reduction", REDUCTIONS).unwrap_or_default()
}

fn labels(fields: &Fields<'_>, out: &mut Diags) -> Vec<Word> {
    let labels = fields.texts("labels").unwrap_or_default();
    twice(&labels, "label", out);
    labels
}
