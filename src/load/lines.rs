//! The lines of a limits file, by kind: the keys of each and a function that
//! reads them.

use super::fields::{Fields, said, twice};
use super::keys::{By, Key, Kind, Shape, Varied, optional, required};
use super::limit::{BESIDE, FIT_LIMITS, PART_LIMITS, Reading, TOLERANCE, WORN};
use super::references::Reader;
use super::suggest::Known;
use super::toml::number::blank;
use crate::diag::Diags;
use crate::model::id::FeatureId;
use crate::model::limits::{
    self, CountLine, FeelerLine, FitLine, Grade, ReadingLine, RecordedLine, Reduction,
    RoundnessLine, SizeGrade, SizeLimits, SizeLine, SpreadLine, TaperLine,
};
use crate::model::side::Side;
use crate::model::text::Text;

const REDUCTIONS: &[(&str, Reduction)] =
    &[("worst", Reduction::Worst), ("average", Reduction::Average)];

pub static LINE: Varied = Varied {
    name: "a line",
    by: By::Value("kind"),
    kinds: &[
        ("fit", &Shape { name: "a line of kind fit", keys: &[COMMON, FIT] }),
        ("size", &Shape { name: "a line of kind size", keys: &[COMMON, SIZE, TOLERANCE, WORN] }),
        (
            "roundness",
            &Shape {
                name: "a line of kind roundness",
                keys: &[COMMON, ROUNDNESS, TOLERANCE, BESIDE, EACH_PLACE],
            },
        ),
        (
            "taper",
            &Shape {
                name: "a line of kind taper",
                keys: &[COMMON, TAPER, TOLERANCE, BESIDE, EACH_PLACE],
            },
        ),
        (
            "reading",
            &Shape {
                name: "a line of kind reading",
                keys: &[COMMON, READING, TOLERANCE, BESIDE, EACH_PLACE],
            },
        ),
        (
            "spread",
            &Shape { name: "a line of kind spread", keys: &[COMMON, SPREAD, TOLERANCE, BESIDE] },
        ),
        (
            "feeler",
            &Shape {
                name: "a line of kind feeler",
                keys: &[COMMON, FEELER, TOLERANCE, BESIDE, EACH_PLACE],
            },
        ),
        ("count", &Shape { name: "a line of kind count", keys: &[COMMON, COUNT] }),
        ("recorded", &Shape { name: "a line of kind recorded", keys: &[COMMON, RECORDED] }),
    ],
    implied_by: &[&["shaft", "bore"], &["way"]],
    several: Some(("lines", &SHARED)),
};
/// What several lines share: what tells one from another stands in each.
static SHARED: Shape = Shape {
    name: "what several lines share",
    keys: &[&[
        optional("kind", Kind::Text, "\"reading\""),
        optional("group", Kind::Text, "\"camshaft\""),
        optional("way", Kind::Text, "\"runout\""),
        optional("at", Kind::Entry, "\"cam-bearing\""),
        optional("part", Kind::TextOrTexts, "\"camshaft\""),
        optional("labels", Kind::Texts, "[\"A\", \"B\"]"),
        optional("with", Kind::Text, "\"feeler leaves\""),
        optional("when", Kind::Text, "\"case-bolted\""),
        optional("unit", Kind::Text, "\"lbf\""),
        optional("resolution", Kind::FigureOrText, "\"0.0001\""),
        optional("note", Kind::Text, "\"at several teeth, the largest\""),
        optional("page", Kind::FigureOrText, "\"table 4, sheet 2\""),
    ]],
};
const COMMON: &[Key] = &[
    required("ref", Kind::Text, "\"C\""),
    // Words for a reader.
    required("name", Kind::Text, "\"camshaft in crankcase\"").aside(),
    // Of a line with a shaft and a bore, or whose way of measuring says it.
    required("kind", Kind::Text, "\"fit\"").implied(),
    // Where it is printed and what is said over it.
    optional("group", Kind::Text, "\"camshaft\"").aside(),
    optional("way", Kind::Text, "\"runout\"").aside(),
    optional("note", Kind::Text, "\"at several teeth, the largest\"").aside(),
    optional("page", Kind::FigureOrText, "\"table 4, sheet 2\"").aside(),
    // The document's own number for it: decides nothing.
    optional("published", Kind::FigureOrText, "\"5-14\"").said("published as").aside(),
    // That somebody agreed is in the sheet's number, not how it is put.
    optional("agreed", Kind::Text, "\"maker's letter of 2024-05-01\"").aside(),
    // In the sheet's number as they are worked out: a line without them has the
    // document's.
    optional("unit", Kind::Text, "\"lbf\"").aside(),
    optional("resolution", Kind::FigureOrText, "\"0.0001\"").aside(),
];
/// What the document prints beside the limits of some places.
const OF_PLACES: &[Key] = &[
    optional("page", Kind::FigureOrText, "\"table 4, sheet 2\"").aside(),
    optional("published", Kind::FigureOrText, "\"5-15\"").said("published as").aside(),
    optional("agreed", Kind::Text, "\"maker's letter of 2024-05-01\""),
];
/// Limits of a line at some of its places, which stand under their codes.
const fn by_place(shape: &'static Shape, example: &'static str) -> Key {
    optional("places", Kind::Named(shape), example).said("at")
}
const FIT: &[Key] = &[
    required("shaft", Kind::Table(&SIDE), "{ feature = \"cam-journal\", new = [1.3725, 1.3735] }"),
    required("bore", Kind::Table(&SIDE), "{ feature = \"cam-bore\", new = [1.3745, 1.3760] }"),
    optional(
        "fit",
        Kind::Table(&FIT_LIMITS),
        "{ new = [\"0.0010L\", \"0.0035L\"], service = \"0.0050L\" }",
    ),
    optional("reduction", Kind::Choice(&["worst", "average"]), "\"worst\""),
    optional(
        "grades",
        Kind::Named(&GRADE),
        "{ \"0.006 undersize\" = { shaft = { new = [2.2420, 2.2430] } } }",
    )
    .said("grade"),
    by_place(&FIT_PLACES, "{ \"3\" = { shaft = { new = [1.3665, 1.3675], wear = 1.3655 } } }"),
];
static FIT_PLACES: Shape = Shape {
    name: "a fit's limits at some places",
    keys: &[
        OF_PLACES,
        &[
            optional("shaft", Kind::Table(&PLACED), "{ new = [1.3665, 1.3675], wear = 1.3655 }"),
            optional("bore", Kind::Table(&PLACED), "{ new = [1.3685, 1.3700], wear = 1.3710 }"),
            optional(
                "fit",
                Kind::Table(&FIT_LIMITS),
                "{ new = [\"0.0010L\", \"0.0035L\"], service = \"0.0050L\" }",
            ),
            optional(
                "grades",
                Kind::Named(&GRADE),
                "{ \"0.006 undersize\" = { shaft = { new = [1.3605, 1.3615] } } }",
            )
            .said("grade"),
        ],
    ],
};
static PLACED: Shape = Shape { name: "a part's limits", keys: &[PART_LIMITS] };
static SIDE: Shape = Shape {
    name: "a part of a fit",
    keys: &[&[required("feature", Kind::Text, "\"cam-journal\"")], PART_LIMITS],
};
static GRADE: Shape = Shape {
    name: "a grade",
    keys: &[&[
        optional("shaft", Kind::Table(&GRADED), "{ new = [2.2420, 2.2430], wear = 2.2400 }"),
        optional("bore", Kind::Table(&GRADED), "{ new = [2.2445, 2.2460] }"),
    ]],
};
static GRADED: Shape = Shape {
    name: "a part's limits",
    keys: &[&[optional("called", Kind::Text, "\"0.010 over\"")], PART_LIMITS],
};
const SIZE: &[Key] = &[
    required("feature", Kind::Text, "\"cam-journal\""),
    optional("reduction", Kind::Choice(&["worst", "average"]), "\"worst\""),
    optional(
        "grades",
        Kind::Named(&SIZE_GRADE),
        "{ \"0.006 undersize\" = { new = [1.3665, 1.3675], service-min = 1.3655 } }",
    )
    .said("grade"),
    by_place(&SIZE_PLACES, "{ \"3\" = { new = [1.3665, 1.3675], service-min = 1.3655 } }"),
];
static SIZE_PLACES: Shape = Shape {
    name: "a size's limits at some places",
    keys: &[
        OF_PLACES,
        TOLERANCE,
        WORN,
        &[optional(
            "grades",
            Kind::Named(&SIZE_GRADE),
            "{ \"0.006 undersize\" = { new = [1.3605, 1.3615], service-min = 1.3595 } }",
        )
        .said("grade")],
    ],
};
/// Of a line that has four limits and no grades.
static PLACES: Shape =
    Shape { name: "limits at some places", keys: &[OF_PLACES, TOLERANCE, BESIDE] };
const EACH_PLACE: &[Key] = &[by_place(&PLACES, "{ \"3\" = { new-max = 0.0008 } }")];
static COUNTED: Shape = Shape {
    name: "a count at some places",
    keys: &[OF_PLACES, &[required("exact", Kind::Whole, "16").said("count")]],
};
static SIZE_GRADE: Shape = Shape { name: "a grade's limits", keys: &[TOLERANCE, WORN] };
const ROUNDNESS: &[Key] = &[required("feature", Kind::Text, "\"cam-journal\"")];
const TAPER: &[Key] = &[
    required("feature", Kind::Text, "\"barrel-bore\""),
    required("planes", Kind::Texts, "[\"skirt\", \"top\"]"),
    optional("signed", Kind::Flag, "true"),
];
const READING: &[Key] = &[
    // The places of the part, unless it is typed; "-" is none of them.
    optional("at", Kind::Entry, "\"cam-bearing\"").implied(),
    optional("part", Kind::TextOrTexts, "\"camshaft\""),
    optional("labels", Kind::Texts, "[\"A\", \"B\"]"),
    optional("with", Kind::Text, "\"spring tester at 1.430 in\"").said("read with"),
    optional("when", Kind::Text, "\"case-bolted\""),
];
const SPREAD: &[Key] = &[
    required("at", Kind::Entry, "\"cylinder\"").implied(),
    optional("part", Kind::TextOrTexts, "\"pistons\""),
    optional("with", Kind::Text, "\"scale\"").said("read with"),
];
const FEELER: &[Key] = &[
    optional("at", Kind::Entry, "\"pump-gear\"").implied(),
    optional("part", Kind::TextOrTexts, "\"pump-gears\""),
    required("teeth", Kind::Whole, "12"),
    optional("each", Kind::Text, "\"tooth\""),
];
const COUNT: &[Key] = &[
    optional("at", Kind::Entry, "\"cylinder\""),
    optional("part", Kind::TextOrTexts, "\"pushrod-seals\""),
    required("exact", Kind::Whole, "16").said("count"),
    by_place(&COUNTED, "{ \"3\" = { exact = 18 } }"),
];
const RECORDED: &[Key] = &[
    optional("at", Kind::Entry, "\"cylinder\""),
    optional("part", Kind::TextOrTexts, "\"crankcase\""),
    optional("labels", Kind::Texts, "[\"A\", \"B\"]"),
];

impl Reader<'_> {
    /// What is particular to the kind of a line.
    pub fn kind(
        &self,
        fields: &Fields<'_>,
        limits: Reading,
        out: &mut Diags,
    ) -> Option<limits::Kind> {
        match fields.text("kind")?.as_str() {
            "fit" => self.fit(fields, limits, out).map(limits::Kind::Fit),
            "size" => self.size(fields, limits, out).map(limits::Kind::Size),
            "roundness" => self.roundness(fields, limits, out).map(limits::Kind::Roundness),
            "taper" => self.taper(fields, limits, out).map(limits::Kind::Taper),
            "reading" => Some(limits::Kind::Reading(self.reading(fields, limits, out))),
            "spread" => self.spread(fields, limits, out).map(limits::Kind::Spread),
            "feeler" => self.feeler(fields, limits, out).map(limits::Kind::Feeler),
            "count" => self.count(fields, out).map(limits::Kind::Count),
            "recorded" => Some(limits::Kind::Recorded(self.recorded(fields, out))),
            _ => None,
        }
    }

    fn fit(&self, fields: &Fields<'_>, limits: Reading, out: &mut Diags) -> Option<FitLine> {
        let size = Reading { size: true, ..limits };
        let shaft = fields.table("shaft").and_then(|side| self.side(&side, Side::Shaft, size, out));
        let bore = fields.table("bore").and_then(|side| self.side(&side, Side::Bore, size, out));
        let signed = Reading { fits: true, ..limits };
        let fit = fields.table("fit");
        let tolerance = fit.map(|fit| signed.tolerance(&fit, out)).unwrap_or_default();
        let mut grades = Vec::new();
        for (name, grade) in fields.named("grades") {
            let mut part = |key, side, of: Option<&SizeLimits>| {
                let feature = of.map_or(FeatureId(0), |part| part.feature);
                grade.table(key).map(|part| size.part((&part, side), feature, out))
            };
            let shaft = part("shaft", Side::Shaft, shaft.as_ref());
            let bore = part("bore", Side::Bore, bore.as_ref());
            let called = |key| grade.table(key).and_then(|part| part.text("called"));
            let (shaft_called, bore_called) = (called("shaft"), called("bore"));
            grades.push(Grade { name: name.clone(), shaft, bore, shaft_called, bore_called });
        }
        let (shaft, bore) = (shaft?, bore?);
        self.same_places(fields, &shaft, &bore, out);
        Some(FitLine { shaft, bore, fit: tolerance, reduction: reduction(fields), grades })
    }

    fn side(
        &self,
        fields: &Fields<'_>,
        side: Side,
        limits: Reading,
        out: &mut Diags,
    ) -> Option<SizeLimits> {
        let feature = self.feature(fields, out);
        let part = limits.part((fields, side), feature.unwrap_or(FeatureId(0)), out);
        let found = self.engine.and_then(|engine| engine.features.get(feature?.0));
        if found.is_some_and(|found| found.side != side) {
            let name = if side == Side::Shaft { "shaft" } else { "bore" };
            let message = format!("{} is not a {name}", fields.text("feature")?);
            out.fault(fields.place("feature"), message, format!("a feature of kind = \"{name}\""));
        }
        feature.map(|_| part)
    }

    fn same_places(
        &self,
        fields: &Fields<'_>,
        shaft: &SizeLimits,
        bore: &SizeLimits,
        out: &mut Diags,
    ) {
        let Some(engine) = self.engine else { return };
        let of = |part: &SizeLimits| engine.features.get(part.feature.0).map(|feature| feature.at);
        if of(shaft) != of(bore) {
            let help = "give both features the same at = in the engine file";
            out.fault(fields.place("bore"), "the shaft and the bore lie at different places", help);
        }
    }

    fn size(&self, fields: &Fields<'_>, limits: Reading, out: &mut Diags) -> Option<SizeLine> {
        let feature = self.feature(fields, out);
        let limits = Reading { size: true, ..limits };
        let found = self.engine.and_then(|engine| engine.features.get(feature?.0));
        let side = found.map(|feature| feature.side);
        let tolerance = limits.of_size(side, fields, out);
        let grades = fields.named("grades").into_iter().map(|(name, grade)| SizeGrade {
            name: name.clone(),
            limits: limits.of_size(side, &grade, out),
        });
        let (grades, reduction) = (grades.collect(), reduction(fields));
        Some(SizeLine { feature: feature?, limits: tolerance, reduction, grades })
    }

    fn roundness(
        &self,
        fields: &Fields<'_>,
        limits: Reading,
        out: &mut Diags,
    ) -> Option<RoundnessLine> {
        let limits = limits.tolerance(fields, out);
        let feature = self.feature(fields, out)?;
        let found = self.engine.and_then(|engine| engine.features.get(feature.0));
        if found.is_some_and(|feature| feature.directions.len() < 2) {
            let help = "give the feature directions = 2 in the engine file";
            out.fault(fields.place("feature"), "roundness of a feature with one direction", help);
        }
        Some(RoundnessLine { feature, limits })
    }

    fn taper(&self, fields: &Fields<'_>, limits: Reading, out: &mut Diags) -> Option<TaperLine> {
        let limits = limits.tolerance(fields, out);
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
        let planes = &self.engine?.features.get(feature.0)?.planes;
        let known = Known::new("plane", planes.iter());
        let (from, to) = (known.find(from, out), known.find(to, out));
        let signed = fields.flag("signed").unwrap_or(false);
        Some(TaperLine { feature, from: from?, to: to?, signed, limits })
    }

    fn reading(&self, fields: &Fields<'_>, limits: Reading, out: &mut Diags) -> ReadingLine {
        let when = self.refer(fields, "when", |known| &known.conditions, out);
        ReadingLine {
            at: self.at(fields, out),
            part: self.part(fields, out),
            labels: labels(fields, out),
            with: fields.text("with"),
            limits: limits.tolerance(fields, out),
            when,
        }
    }

    fn spread(&self, fields: &Fields<'_>, limits: Reading, out: &mut Diags) -> Option<SpreadLine> {
        let (limits, part) = (limits.tolerance(fields, out), self.part(fields, out));
        if fields.node("at").and_then(said).is_some_and(blank) {
            let help = "the places that have a reading each";
            out.fault(fields.place("at"), "a spread at no places", help);
        }
        Some(SpreadLine { at: self.at(fields, out)?, part, with: fields.text("with"), limits })
    }

    fn feeler(&self, fields: &Fields<'_>, limits: Reading, out: &mut Diags) -> Option<FeelerLine> {
        let (at, part) = (self.at(fields, out), self.part(fields, out));
        let limits = limits.tolerance(fields, out);
        let teeth = fields.whole("teeth")?;
        if !(1..=96).contains(&teeth) {
            out.fault(fields.place("teeth"), format!("{teeth} teeth"), "1 to 96");
        }
        let each = fields
            .text("each")
            .unwrap_or_else(|| Text { text: "tooth".into(), at: fields.at.clone() });
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
}

fn reduction(fields: &Fields<'_>) -> Reduction {
    fields.choice("reduction", REDUCTIONS).unwrap_or_default()
}

fn labels(fields: &Fields<'_>, out: &mut Diags) -> Vec<Text> {
    let labels = fields.texts("labels").unwrap_or_default();
    twice(&labels, "label", out);
    labels
}
