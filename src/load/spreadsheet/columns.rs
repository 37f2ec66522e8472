//! The columns of a table of limits: one for each key that a line may have,
//! worked out from the tables of keys, so that a key that is added there is a
//! column by itself.

use super::super::keys::{Key, Kind, Shape};
use super::super::limits::LIMITS;
use super::super::lines::LINE;
use std::sync::LazyLock;

/// The keys that lead to a value within its line: `shaft`, `twin`, `new-min`.
pub type Path = Vec<&'static str>;

#[derive(Debug)]
pub struct Column {
    pub path: Path,
    pub key: &'static Key,
    /// `shaft new min`, `fit new tight`.
    pub name: String,
}

/// The column that says of which grade of its line a row is.
pub const GRADE: &str = "grades";

/// Limits at some places, tables within tables: no cell holds them.
pub const PLACES: &str = "places";

/// Every column, in the order in which a table is written.
pub static COLUMNS: LazyLock<Vec<Column>> = LazyLock::new(|| {
    let mut columns = Vec::new();
    for (_, shape) in LINE.kinds {
        walk(shape, &[], &mut columns);
    }
    // Beside the reference that it belongs to.
    if let Some(at) = columns.iter().position(|column| column.path == [GRADE]) {
        let grade = columns.remove(at);
        columns.insert(columns.len().min(1), grade);
    }
    columns
});

fn walk(shape: &'static Shape, above: &[&'static str], columns: &mut Vec<Column>) {
    for key in shape.rows() {
        let path = [above, &[key.name]].concat();
        match key.kind {
            Kind::Named(_) if key.name == PLACES => {}
            Kind::Table(inner) => walk(inner, &path, columns),
            Kind::Named(inner) => {
                put(path, key, columns);
                walk(inner, above, columns);
            }
            // Its two ends have a column each.
            Kind::Pair | Kind::FitPair => {}
            _ => put(path, key, columns),
        }
    }
}

fn put(path: Path, key: &'static Key, columns: &mut Vec<Column>) {
    if columns.iter().all(|column| column.path != path) {
        let name = spoken(&path, key);
        columns.push(Column { path, key, name });
    }
}

fn spoken(path: &[&'static str], key: &Key) -> String {
    if let Kind::Named(_) = key.kind {
        return key.said.unwrap_or(key.name).to_owned();
    }
    let name = path.join(" ").replace('-', " ");
    if !matches!(key.kind, Kind::FitLimit) {
        return name;
    }
    match (name.strip_suffix("min"), name.strip_suffix("max")) {
        (Some(of), _) => format!("{of}tight"),
        (_, Some(of)) => format!("{of}loose"),
        _ => name,
    }
}

/// Where a column of this path stands among all.
pub fn at(path: &[&str]) -> Option<usize> {
    COLUMNS.iter().position(|column| column.path == path)
}

/// The column that a name means, however it is put: `Shaft, new least`.
pub fn named(typed: &str) -> Option<usize> {
    let typed = plain(typed);
    COLUMNS.iter().position(|column| plain(&column.name) == typed)
}

/// Names that say the same are one: small letters, no hyphens, and one word for
/// each end.
pub fn plain(name: &str) -> String {
    let small = name.to_lowercase();
    let words: Vec<&str> = small
        .split(|letter: char| letter.is_whitespace() || "-_,.".contains(letter))
        .filter(|word| !word.is_empty())
        .map(|word| match word {
            "least" | "lowest" | "minimum" | "tight" | "tightest" => "min",
            "most" | "greatest" | "highest" | "maximum" | "loose" | "loosest" => "max",
            word => word,
        })
        .collect();
    match words.join(" ").as_str() {
        "reference" => "ref".to_owned(),
        "published reference" => "published".to_owned(),
        name => name.to_owned(),
    }
}

/// The keys of `[document]`, each a row above the columns.
pub fn document() -> Option<&'static Shape> {
    match LIMITS.key("document")?.kind {
        Kind::Table(shape) => Some(shape),
        _ => None,
    }
}

/// How a row of the document's begins: `document title`.
pub const DOCUMENT: &str = "document";

/// The key at a path of a shape.
pub fn key(shape: &'static Shape, path: &[&str]) -> Option<&'static Key> {
    let (first, below) = path.split_first()?;
    let key = shape.key(first)?;
    match (key.kind, below) {
        (_, []) => Some(key),
        (Kind::Table(inner), below) => self::key(inner, below),
        _ => None,
    }
}
