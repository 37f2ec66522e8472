//! The keys of an engine file.

use super::keys::{Kind, Shape, optional, required};

const UNITS: &[&str] = &["in", "mm"];

pub static ENGINE: Shape = Shape {
    name: "an engine file",
    keys: &[&[
        required("engine", Kind::Table(&HEAD), "[engine] with maker, model and unit"),
        optional("places", Kind::Named(&PLACES), "[places.cam-bearing]"),
        required("parts", Kind::Named(&PART), "[parts.camshaft]"),
        optional("features", Kind::Named(&FEATURE), "[features.cam-journal]"),
        optional("conditions", Kind::Named(&CONDITION), "[conditions.case-bolted]"),
        optional("groups", Kind::Named(&GROUP), "[groups.camshaft]"),
        optional("reworks", Kind::Named(&REWORK), "[reworks.journal-ground]"),
    ]],
};
static HEAD: Shape = Shape {
    name: "[engine]",
    keys: &[&[
        required("maker", Kind::Text, "\"Tarnwick Motor Works\""),
        required("model", Kind::Text, "\"TW4-H8\""),
        required("unit", Kind::Choice(UNITS), "\"in\""),
    ]],
};
static PLACES: Shape = Shape {
    name: "a set of places",
    keys: &[&[
        required("codes", Kind::EntryOrEntries, "[\"1\", \"2\", \"3\"], or \"1-9\""),
        optional("names", Kind::Entries, "[\"propeller end\", \"centre\", \"accessory end\"]"),
        optional("of", Kind::Text, "\"cylinder\""),
        optional(
            "reach",
            Kind::Other("a table of texts", &[Kind::TextsByName]),
            "{ 2 = \"through a cylinder opening\" }",
        ),
    ]],
};
static PART: Shape = Shape {
    name: "a part",
    keys: &[&[
        optional("name", Kind::Text, "\"camshaft\""),
        optional("one", Kind::Text, "\"tappet body\""),
        optional("material", Kind::Text, "\"steel\""),
        optional("expansion", Kind::Figure, "11.5"),
        optional("count", Kind::Whole, "8"),
        optional("renewed", Kind::Choice(&["always"]), "\"always\""),
        optional("at", Kind::Text, "\"tappet\""),
        optional("kinds", Kind::TextOrTexts, "[\"gear\", \"plain-journals\"]"),
        optional("look-over", Kind::TextOrTexts, "[\"gear bolts: locked\"]"),
        optional("look-over-at", Kind::Text, "\"case-half\""),
    ]],
};
static GROUP: Shape = Shape {
    name: "a group",
    keys: &[&[
        required("letter", Kind::Text, "\"C\""),
        required("title", Kind::Text, "\"Camshaft in crankcase\""),
        optional("subtitle", Kind::Text, "\"fits, first stage\""),
        optional("parts", Kind::TextOrTexts, "[\"camshaft\"]"),
        optional("when", Kind::Text, "\"case-bolted\""),
        optional("caution", Kind::Text, "\"the spring is under load\""),
        optional("before", Kind::TextOrTexts, "[\"washed and dried\"]"),
        optional("after", Kind::TextOrTexts, "[\"oiled and covered\"]"),
        optional("note", Kind::Text, "\"the rubbers are renewed\""),
    ]],
};
static FEATURE: Shape = Shape {
    name: "a feature",
    keys: &[&[
        required("part", Kind::Text, "\"camshaft\""),
        required("kind", Kind::Choice(&["shaft", "bore", "plain"]), "\"shaft\""),
        // Where it is not typed, the places of the part; "-" is none of them.
        optional("at", Kind::Entry, "\"cam-bearing\""),
        optional(
            "directions",
            Kind::Other("a number or a list of texts", &[Kind::Whole, Kind::Texts]),
            "2",
        ),
        optional("planes", Kind::Texts, "[\"top\", \"skirt\"]"),
        optional("name", Kind::Text, "\"camshaft journal\""),
        optional("governing", Kind::Table(&GOVERNING), "{ direction = 1, plane = \"skirt\" }"),
        optional("when", Kind::Text, "\"case-bolted\""),
        optional("called", Kind::Text, "\"piston\""),
    ]],
};
static GOVERNING: Shape = Shape {
    name: "governing",
    keys: &[&[optional("direction", Kind::Whole, "1"), optional("plane", Kind::Text, "\"skirt\"")]],
};
static CONDITION: Shape = Shape {
    name: "a condition",
    keys: &[&[
        required("name", Kind::Text, "\"halves bolted together\""),
        required("steps", Kind::Texts, "[\"eight through-studs 420 in·lbf\"]"),
        optional("with", Kind::Text, "\"torque wrench\""),
        optional("excludes", Kind::TextOrTexts, "\"case-open\""),
        optional("measuring-only", Kind::Flag, "true"),
    ]],
};
static REWORK: Shape = Shape {
    name: "a rework",
    keys: &[&[
        required("name", Kind::Text, "\"journal ground undersize\""),
        required("part", Kind::Text, "\"crankshaft\""),
        optional("part-changed", Kind::Flag, "true"),
        required(
            "reopens",
            Kind::Texts,
            "[\"feature cam-journal\", \"line EC\", \"block tappet-faces\"]",
        ),
    ]],
};
