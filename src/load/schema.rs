//! The key tables as JSON Schema (draft 7, which editors of TOML read), so that
//! an editor completes and checks from the same rows as the reader does. A day
//! counts as a string, as such editors and validators take it.

use super::engine_keys::ENGINE;
use super::forms::{FORM, REPORT};
use super::job::JOB;
use super::keys::{By, CODE, HOLD, Key, Kind, NUMBER, SPAN, Shape, Varied};
use super::kinds::KINDS;
use super::limits::LIMITS;
use super::readings::READINGS;
use super::spares::SPARES;
use serde_json::{Map, Value, json};

/// Each file by the name its schema goes under.
pub const SCHEMAS: [(&str, &Shape); 8] = [
    ("engine", &ENGINE),
    ("limits", &LIMITS),
    ("job", &JOB),
    ("readings", &READINGS),
    ("form", &FORM),
    ("kinds", &KINDS),
    ("report", &REPORT),
    ("spares", &SPARES),
];

/// The schema of a whole file.
pub fn schema(shape: &Shape) -> Value {
    let mut root = json!({
        "$schema": "http://json-schema.org/draft-07/schema#",
        "title": shape.name,
    });
    if let (Value::Object(root), Value::Object(table)) = (&mut root, table(shape)) {
        root.extend(table);
    }
    root
}

fn table(shape: &Shape) -> Value {
    let (mut plain, mut patterns) = (Map::new(), Map::new());
    for key in shape.rows() {
        let into =
            if [CODE, HOLD, NUMBER, SPAN].contains(&key.name) { &mut patterns } else { &mut plain };
        into.insert(key.name.to_owned(), described(key));
    }
    let needed: Vec<&str> = shape.rows().filter(|key| key.needed).map(|key| key.name).collect();
    let mut table = json!({
        "type": "object",
        "properties": plain,
        "additionalProperties": false,
    });
    if !patterns.is_empty() {
        table["patternProperties"] = Value::Object(patterns);
    }
    if !needed.is_empty() {
        table["required"] = json!(needed);
    }
    table
}

fn described(key: &Key) -> Value {
    let mut schema = kind(key.kind);
    schema["description"] = json!(format!("{}, such as {}", key.kind.says(), key.example));
    schema
}

fn whole() -> Value {
    json!({ "type": "integer", "minimum": 0, "maximum": 9999 })
}

fn kind(of: Kind) -> Value {
    match of {
        Kind::Text => text(),
        Kind::Texts => list(text()),
        Kind::Entry => entry(),
        Kind::Entries => list(entry()),
        Kind::TextOrTexts => any([text(), list(text())]),
        Kind::EntryOrEntries => any([entry(), list(entry())]),
        Kind::Choice(choices) => json!({ "enum": choices }),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Whole => whole(),
        Kind::Wholes => list(whole()),
        Kind::Day => day(),
        Kind::DayEntry => any([day(), blank()]),
        Kind::DayOrText => text(),
        Kind::Figure => number(),
        Kind::FigureEntry => figure_or_blank(),
        Kind::FigureOrText => json!({ "type": ["number", "string"], "minLength": 1 }),
        Kind::Pair => two(any([number(), json!({ "const": "-" })])),
        Kind::FitLimit => fit(),
        Kind::FitPair => two(fit()),
        Kind::Table(shape) => table(shape),
        Kind::Named(shape) => by_name(table(shape)),
        Kind::Each(shape) => list(table(shape)),
        Kind::EachOf(varied) => list(json!({ "oneOf": variants(varied) })),
        Kind::TextsByName => by_code(entry()),
        Kind::Boxes => list(figure_or_blank()),
        Kind::BoxesEach => list(list(figure_or_blank())),
        Kind::Leaves => list(leaf()),
        Kind::OwnLeaves => list(any([number(), two(number())])),
        Kind::Other(_, [only]) => kind(*only),
        Kind::Other(_, several) => {
            let each: Vec<Value> = several.iter().map(|one| kind(*one)).collect();
            json!({ "anyOf": each })
        }
    }
}

/// One schema a kind of table, told apart as the reader tells them apart.
fn variants(varied: &Varied) -> Vec<Value> {
    let one = |(name, shape): &(&str, &Shape)| {
        let mut schema = table(shape);
        match varied.by {
            By::Value(key) => schema["properties"][key]["const"] = json!(name),
            By::Key => schema["title"] = json!(name),
        }
        schema
    };
    varied.kinds.iter().map(one).collect()
}

fn number() -> Value {
    json!({ "type": "number" })
}

fn text() -> Value {
    json!({ "type": "string", "minLength": 1 })
}

fn entry() -> Value {
    json!({ "type": ["string", "number"] })
}

fn blank() -> Value {
    json!({ "enum": ["", "-"] })
}

fn figure_or_blank() -> Value {
    any([number(), blank()])
}

fn day() -> Value {
    json!({ "type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$" })
}

/// A fit says L or T; size to size is a plain nought.
fn fit() -> Value {
    let lettered = json!({ "type": "string", "pattern": "^ *[0-9]+(\\.[0-9]+)? *[LT]? *$" });
    any([lettered, json!({ "const": 0 }), blank()])
}

/// `[9, 0.003, "entered"]`.
fn leaf() -> Value {
    json!({
        "type": "array",
        "minItems": 3,
        "maxItems": 3,
        "items": [
            { "type": "integer", "minimum": 1, "maximum": 96 },
            { "type": "number" },
            { "enum": ["entered", "refused"] },
        ],
    })
}

fn list(items: Value) -> Value {
    json!({ "type": "array", "items": items })
}

fn two(items: Value) -> Value {
    json!({ "type": "array", "items": items, "minItems": 2, "maxItems": 2 })
}

fn by_name(each: Value) -> Value {
    json!({ "type": "object", "additionalProperties": each })
}

/// By the code of a place: capitals and digits.
fn by_code(each: Value) -> Value {
    let codes = json!({ "^[A-Z0-9]+$": each });
    json!({ "type": "object", "patternProperties": codes, "additionalProperties": false })
}

fn any<const N: usize>(of: [Value; N]) -> Value {
    json!({ "anyOf": Vec::from(of) })
}
