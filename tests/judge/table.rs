//! Reading the comma-separated tables of `tests/tables`.

use std::collections::BTreeMap;
use std::path::Path;

pub type Row = BTreeMap<String, String>;

/// Every row of a table by its column names. Fails where the table is missing
/// or empty, so that no check passes by reading nothing.
pub fn rows(name: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/tables").join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|why| panic!("{path:?}: {why}"));
    let mut lines = text.lines().map(cells);
    let head = lines.next().unwrap_or_default();
    let rows: Vec<Row> = lines
        .map(|cells| {
            assert_eq!(cells.len(), head.len(), "{name}: {cells:?}");
            head.iter().cloned().zip(cells).collect()
        })
        .collect();
    assert!(!rows.is_empty(), "{name} has no rows");
    assert!(rows.iter().all(|row| !row["source"].is_empty()), "{name}: a row without a source");
    rows
}

/// Cells of one line; a quoted cell may hold commas.
fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for letter in line.chars() {
        match (letter, quoted) {
            ('"', _) => quoted = !quoted,
            (',', false) => cells.push(String::new()),
            (letter, _) => cells.last_mut().expect("a cell").push(letter),
        }
    }
    cells
}
