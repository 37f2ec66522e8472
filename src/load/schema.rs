//! The key tables as JSON Schema (draft 7, which editors of TOML read), so that
//! an editor completes and checks from the same rows as the reader does. A day
//! counts as a string, as such editors and validators take it.

use super::engine_keys::ENGINE;
use super::forms::{FORM, REPORT};
use super::job::JOB;
use super::keys::{By, CODE, HOLD, Key, Kind, PUBLISHED, SPAN, Shape, Short, Varied, Ways};
use super::kinds::KINDS;
use super::limits::LIMITS;
use super::readings::READINGS;
use super::rows;
use super::spares::SPARES;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

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
        let into = if [CODE, HOLD, PUBLISHED, SPAN].contains(&key.name) {
            &mut patterns
        } else {
            &mut plain
        };
        into.insert(key.name.to_owned(), described(key));
    }
    let needed = shape.rows().filter(|key| key.needed && !key.implied).map(|key| key.name);
    let needed: Vec<&str> = needed.collect();
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
        Kind::Short(short) => match short.ways {
            Ways::Several => any([table(short.shape), row(short), list(row(short))]),
            _ => any([table(short.shape), row(short)]),
        },
        Kind::Shorts(short) if short.ways == Ways::Rows => {
            list(any([table(short.shape), row(short), of_rows(short)]))
        }
        Kind::Shorts(short) => list(any([table(short.shape), row(short)])),
        Kind::EachOf(varied) => list(json!({ "oneOf": several(varied) })),
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

/// The values of a table in a row, what is seldom needed by its key behind them.
fn row(short: &Short) -> Value {
    let place = |name: &&str| match short.shape.key(name) {
        Some(key) => any([kind(key.kind), table_of_rest(short)]),
        None => text(),
    };
    let places: Vec<Value> = short.order.iter().map(place).collect();
    let most = places.len() + 1;
    json!({
        "type": "array",
        "minItems": 1,
        "maxItems": most,
        "items": places,
        "additionalItems": table_of_rest(short),
    })
}

/// The keys of a table, none of them needed.
fn table_of_rest(short: &Short) -> Value {
    let mut rest = table(short.shape);
    if let Value::Object(rest) = &mut rest {
        rest.remove("required");
    }
    rest
}

/// The table with rows in it, as they stand under a sheet.
fn of_rows(short: &Short) -> Value {
    let mut whole = table_of_rest(short);
    if let Some(keys) = whole["properties"].as_object_mut() {
        keys.retain(|key, _| !["row", "box", "read"].contains(&key.as_str()));
    }
    whole["patternProperties"] = json!({ CODE: kind(rows::ROWS) });
    whole
}

/// One schema a kind of table, told apart as the reader tells them apart.
fn variants(varied: &Varied) -> Vec<Value> {
    let one = |(name, shape): &(&str, &Shape)| {
        let mut schema = table(shape);
        match varied.by {
            By::Value(key) => {
                schema["properties"][key]["const"] = json!(name);
                schema["required"] = with(&schema["required"], key);
            }
            By::Key => schema["title"] = json!(name),
        }
        schema
    };
    let mut each: Vec<Value> = varied.kinds.iter().map(one).collect();
    if let (By::Value(key), [_, ..]) = (varied.by, varied.implied_by) {
        each.push(unsaid(varied, key));
    }
    each
}

/// The same, and a table that gives several of them under what they share.
fn several(varied: &Varied) -> Vec<Value> {
    let mut each = variants(varied);
    if let Some((name, shared)) = varied.several {
        let mut schema = table(shared);
        schema["properties"][name] = list(json!({ "oneOf": each.clone() }));
        schema["required"] = json!([name]);
        each.push(schema);
    }
    if let Some(unsaid) = each.iter_mut().find(|one| one["title"] == json!(UNSAID)) {
        let by = varied.implied_by.iter().map(|keys| json!({ "required": keys }));
        unsaid["anyOf"] = by.collect();
    }
    each
}

const UNSAID: &str = "kind not named";

/// A table that does not say its kind has the keys of any.
fn unsaid(varied: &Varied, by: &str) -> Value {
    let mut all: BTreeMap<&str, Vec<Value>> = BTreeMap::new();
    for key in varied.kinds.iter().flat_map(|(_, shape)| shape.rows()) {
        let (own, described) = (all.entry(key.name).or_default(), described(key));
        if key.name != by && !own.contains(&described) {
            own.push(described);
        }
    }
    let needed = |key: &&Key| key.needed && !key.implied;
    let of_all = |key: &&Key| {
        varied.kinds.iter().all(|(_, shape)| shape.key(key.name).is_some_and(|key| needed(&key)))
    };
    let first = varied.kinds.iter().take(1).flat_map(|(_, shape)| shape.rows());
    let required: Vec<&str> = first.filter(of_all).map(|key| key.name).collect();
    let keys = all.into_iter().filter(|(_, each)| !each.is_empty());
    let keys: Map<String, Value> =
        keys.map(|(name, each)| (name.to_owned(), json!({ "anyOf": each }))).collect();
    json!({
        "title": UNSAID,
        "type": "object",
        "properties": keys,
        "additionalProperties": false,
        "required": required,
    })
}

fn with(required: &Value, key: &str) -> Value {
    let mut all = required.as_array().cloned().unwrap_or_default();
    if !all.contains(&json!(key)) {
        all.push(json!(key));
    }
    Value::Array(all)
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
