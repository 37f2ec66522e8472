//! The keys of an engine file.

use super::shape::{Kind, Shape, may, must};

const UNITS: &[&str] = &["in", "mm"];

pub static ENGINE: Shape = Shape {
    name: "an engine file",
    keys: &[&[
        must("engine", Kind::Table(&HEAD), "[engine] with maker, model and unit"),
        may("places", Kind::Named(&PLACES), "[places.cam-bearing]"),
        must("parts", Kind::Named(&PART), "[parts.camshaft]"),
        may("features", Kind::Named(&FEATURE), "[features.cam-journal]"),
        may("conditions", Kind::Named(&CONDITION), "[conditions.case-bolted]"),
        may("reworks", Kind::Named(&REWORK), "[reworks.journal-ground]"),
    ]],
};
static HEAD: Shape = Shape {
    name: "[engine]",
    keys: &[&[
        must("maker", Kind::Text, "\"Tarnwick Motor Works\""),
        must("model", Kind::Text, "\"TW4-H8\""),
        must("unit", Kind::Choice(UNITS), "\"in\""),
    ]],
};
static PLACES: Shape = Shape {
    name: "a set of places",
    keys: &[&[
        must("codes", Kind::Entries, "[\"1\", \"2\", \"3\"]"),
        must("names", Kind::Entries, "[\"propeller end\", \"centre\", \"accessory end\"]"),
        may(
            "reach",
            Kind::Other("a table of texts", &[Kind::TextsByName]),
            "{ 2 = \"through a cylinder opening\" }",
        ),
    ]],
};
static PART: Shape = Shape {
    name: "a part",
    keys: &[&[
        may("name", Kind::Text, "\"camshaft\""),
        may("material", Kind::Text, "\"steel\""),
        may("expansion", Kind::Figure, "11.5"),
        may("count", Kind::Whole, "8"),
        may("renewed", Kind::Choice(&["always"]), "\"always\""),
        may("at", Kind::Text, "\"tappet\""),
    ]],
};
static FEATURE: Shape = Shape {
    name: "a feature",
    keys: &[&[
        must("part", Kind::Text, "\"camshaft\""),
        must("kind", Kind::Choice(&["shaft", "bore", "plain"]), "\"shaft\""),
        may("at", Kind::Text, "\"cam-bearing\""),
        may(
            "directions",
            Kind::Other("a number or a list of texts", &[Kind::Whole, Kind::Texts]),
            "2",
        ),
        may("planes", Kind::Texts, "[\"top\", \"skirt\"]"),
        may("name", Kind::Text, "\"camshaft journal\""),
        may("governing", Kind::Table(&GOVERNING), "{ direction = 1, plane = \"skirt\" }"),
        may("when", Kind::Text, "\"case-bolted\""),
    ]],
};
static GOVERNING: Shape = Shape {
    name: "governing",
    keys: &[&[may("direction", Kind::Whole, "1"), may("plane", Kind::Text, "\"skirt\"")]],
};
static CONDITION: Shape = Shape {
    name: "a condition",
    keys: &[&[
        must("name", Kind::Text, "\"halves bolted together\""),
        must("steps", Kind::Texts, "[\"eight through-studs 420 in·lbf\"]"),
        may("with", Kind::Text, "\"torque wrench\""),
    ]],
};
static REWORK: Shape = Shape {
    name: "a rework",
    keys: &[&[
        must("name", Kind::Text, "\"journal ground undersize\""),
        must("part", Kind::Text, "\"crankshaft\""),
        may("part-changed", Kind::Flag, "true"),
        must(
            "reopens",
            Kind::Texts,
            "[\"feature cam-journal\", \"line EC\", \"block tappet-faces\"]",
        ),
    ]],
};
