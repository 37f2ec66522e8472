//! `tests/CHECKS.md` says what is checked against something outside; here it
//! is held against what is there.

use crate::judge::table::rows;
use std::collections::BTreeSet;
use std::path::Path;

fn text(path: &str) -> Option<String> {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).ok()
}

fn page() -> String {
    text("tests/CHECKS.md").expect("the page of checks")
}

/// Cells of every table row, heads and rules left out.
fn cells(page: &str) -> Vec<Vec<&str>> {
    let lines = page.lines().filter(|line| line.starts_with("| ") && !line.starts_with("|---"));
    lines.map(|line| line.trim_matches('|').split(" |").map(str::trim).collect()).collect()
}

/// What a page says that is not so.
fn faults(page: &str) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut tables = BTreeSet::new();
    let mut judges = BTreeSet::new();
    for cells in cells(page) {
        match cells[..] {
            ["check" | "judge" | "what", ..] => {}
            [check, source, kind, place, count] => {
                if check.is_empty() || source.is_empty() {
                    wrong.push(format!("no check or no source: {cells:?}"));
                }
                wrong.extend(kind_fault(kind, check));
                wrong.extend(place_fault(place));
                if !count.is_empty() {
                    wrong.extend(count_fault(count, &mut tables));
                }
            }
            [judge, _, kind, _] => {
                wrong.extend(kind_fault(kind, judge));
                let name = judge.trim_matches('`').to_owned();
                let plants =
                    text(&format!("tests/oracles/{name}")).map(|own| own.contains("plant("));
                if plants != Some(true) {
                    wrong.push(format!("{name} is not there, or plants no fault"));
                }
                judges.insert(name);
            }
            [_, _] => {}
            _ => wrong.push(format!("a row of {} cells: {cells:?}", cells.len())),
        }
    }
    let listed = |folder: &str, ending: &str| -> BTreeSet<String> {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        let names = std::fs::read_dir(folder).expect("a folder of the tests");
        let names =
            names.map(|entry| entry.expect("an entry").file_name().into_string().expect("a name"));
        names.filter(|name| name.ends_with(ending) && !name.starts_with('_')).collect()
    };
    let missing = |all: BTreeSet<String>, said: &BTreeSet<String>| {
        all.difference(said).map(|name| format!("{name} is not on the page")).collect::<Vec<_>>()
    };
    wrong.extend(missing(listed("tests/tables", ".csv"), &tables));
    wrong.extend(missing(listed("tests/oracles", ".py"), &judges));
    wrong
}

fn kind_fault(kind: &str, of: &str) -> Option<String> {
    let known = ["seen", "memory", "practice"].contains(&kind);
    (!known).then(|| format!("{of}: {kind} is not seen, memory or practice"))
}

/// A file of the tests and a function of it: `` `tests/x.rs` `name` ``.
fn place_fault(place: &str) -> Option<String> {
    let named: Vec<&str> = place.split('`').filter(|part| !part.trim().is_empty()).collect();
    let [file, name] = named[..] else { return Some(format!("{place}: not a file and a test")) };
    let own = text(file).unwrap_or_default();
    let found = own.contains(&format!("#[test]\nfn {name}("));
    (!found).then(|| format!("{file} has no test {name}"))
}

/// A table and its number of rows: `` `fits.csv` 127 ``.
fn count_fault(count: &str, tables: &mut BTreeSet<String>) -> Option<String> {
    let named: Vec<&str> =
        count.split('`').map(str::trim).filter(|part| !part.is_empty()).collect();
    let [table, said] = named[..] else {
        return Some(format!("{count}: not a table and a number"));
    };
    tables.insert(table.to_owned());
    let held = rows(table).len();
    (said.parse() != Ok(held)).then(|| format!("{table} has {held} rows, the page says {said}"))
}

#[test]
fn the_page_is_as_it_says() {
    let wrong = faults(&page());
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// Planted: each thing that can go stale.
#[test]
fn a_stale_page_is_seen() {
    let page = page();
    for (from, to) in [
        ("`five_fits_of_iso_286`", "`six_fits_of_iso_286`"),
        ("tests/judge/published.rs", "tests/judge/publicised.rs"),
        ("`fits.csv` 127", "`fits.csv` 128"),
        ("| seen |", "| certain |"),
        ("| `chance.py` |", "| `luck.py` |"),
        ("`normal.csv` 55", ""),
    ] {
        assert!(page.contains(from), "{from}");
        assert!(!faults(&page.replacen(from, to, 1)).is_empty(), "{from} made {to}");
    }
    let line = page.lines().find(|line| line.contains("`photocopy.py`")).expect("a judge");
    assert!(!faults(&page.replace(line, "")).is_empty());
}
