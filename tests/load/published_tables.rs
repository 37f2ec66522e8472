//! The tables of limits of two published documents, figures only, as a shop
//! would have them in a spreadsheet, taken through `limits --from`: every figure
//! comes out digit for digit, and what the tables' makers found misprinted is
//! told at its row. Figures and sources: `tests/tables/fits.csv`.

use crate::judge::table::{Row, rows};
use benchleaf::diag::{Diags, Sources};
use benchleaf::judge::{FitLimits, proof};
use benchleaf::load::{self, spreadsheet};
use benchleaf::model::job::Scope;
use benchleaf::model::limits::{Kind, Limits};
use benchleaf::model::text::Limit;
use benchleaf::quantity::{Exact, Unit};
use std::collections::BTreeSet;

/// How a spreadsheet writes its table.
struct Manner {
    separator: char,
    end: &'static str,
    mark: &'static str,
    /// `0.0010 l` in place of `0.0010L`.
    spaced: bool,
}

const PLAIN: Manner = Manner { separator: ',', end: "\n", mark: "", spaced: false };
const OTHER: Manner = Manner { separator: ';', end: "\r\n", mark: "\u{feff}", spaced: true };

/// Columns in an order of their own.
const NAMES: [&str; 15] = [
    "page",
    "ref",
    "name",
    "fit new tight",
    "fit new loose",
    "fit service",
    "shaft new least",
    "shaft new most",
    "shaft wear",
    "bore new least",
    "bore new most",
    "bore wear",
    "kind",
    "shaft feature",
    "bore feature",
];
const MORE: [&str; 3] = ["new min", "new max", "service max"];
/// Rows above the first row of limits: five of the document and the columns.
const ABOVE: usize = 6;

fn of(document: &str) -> Vec<Row> {
    let all = rows("fits.csv").into_iter();
    let own = |row: &Row| row["source"].starts_with(document) && row["value_basis"] == "printed";
    all.filter(own).collect()
}

fn is_fit(row: &Row) -> bool {
    row["kind"] == "fit" || !row["shaft_min"].is_empty()
}

/// A table of the rows. Clearances that are printed plain take the L that the
/// program asks for where `sided`.
fn table(rows: &[Row], manner: &Manner, sided: bool) -> String {
    let quoted = |cell: &str| match cell.contains([manner.separator, '"']) {
        true => format!("\"{}\"", cell.replace('"', "\"\"")),
        false => cell.to_owned(),
    };
    let line = |cells: &[String]| {
        let cells: Vec<String> = cells.iter().map(|cell| quoted(cell)).collect();
        cells.join(&manner.separator.to_string()) + manner.end
    };
    let mut text = manner.mark.to_owned();
    for (key, value) in [
        ("title", "as published"),
        ("number", "as published"),
        ("revision", "1"),
        ("unit", "in"),
        ("resolution", "0.0001"),
    ] {
        text += &line(&[format!("document {key}"), value.to_owned()]);
    }
    let names: Vec<String> = NAMES.iter().chain(&MORE).map(|name| (*name).to_owned()).collect();
    text += &line(&names);
    for row in rows {
        let fit = is_fit(row);
        let side = |name: &str| {
            let typed = row[name].clone();
            match typed.as_str() {
                "" => String::new(),
                plain if plain.ends_with(['L', 'T']) && manner.spaced => {
                    let (figure, side) = plain.split_at(plain.len() - 1);
                    format!("{figure} {}", side.to_lowercase())
                }
                plain if sided && !plain.ends_with(['L', 'T']) => format!("{plain}L"),
                plain => plain.to_owned(),
            }
        };
        let reading = |name: &str| row[name].trim_end_matches('L').to_owned();
        let here = |there: bool, text: String| if there { text } else { String::new() };
        let absent = |name: &str| match row[name].as_str() {
            "" => "-".to_owned(),
            typed => typed.to_owned(),
        };
        let cells = [
            row["source"].clone(),
            row["id"].clone(),
            row["description"].clone(),
            here(fit, side("pub_low")),
            here(fit, side("pub_high")),
            here(fit, side("service_max")),
            absent("shaft_min"),
            absent("shaft_max"),
            absent("shaft_limit"),
            absent("bore_min"),
            absent("bore_max"),
            absent("bore_limit"),
            if fit { "Fit" } else { "reading" }.to_owned(),
            here(fit, format!("s-{}", row["id"].to_lowercase())),
            here(fit, format!("b-{}", row["id"].to_lowercase())),
            here(!fit, reading("pub_low")),
            here(!fit, reading("pub_high")),
            here(!fit, reading("service_max")),
        ];
        text += &line(&cells);
    }
    text
}

fn engine(rows: &[Row]) -> String {
    let mut text = "[engine]\nmaker = \"none\"\nmodel = \"none\"\nunit = \"in\"\n[parts.shaft]\n\
                    [parts.case]\n"
        .to_owned();
    for row in rows.iter().filter(|row| is_fit(row)) {
        for (letter, part, kind) in [("s", "shaft", "shaft"), ("b", "case", "bore")] {
            text += &format!(
                "[features.{letter}-{}]\npart = \"{part}\"\nkind = \"{kind}\"\n",
                row["id"].to_lowercase()
            );
        }
    }
    text
}

/// What comes of a table: its limits and all that is told.
fn taken(rows: &[Row], text: &str) -> (Option<Limits>, Vec<String>) {
    let mut files = Sources::default();
    files.put("engine.toml", engine(rows));
    files.put("t.csv", text);
    let mut out = Diags::new();
    let engine = load::engine(&files, "engine.toml", &mut out);
    let engine = engine.unwrap_or_else(|| panic!("{:?}", out.plain(&files)));
    let read = spreadsheet::from_table(&mut files, "t.csv", Some(&engine), &mut out);
    let Some((text, Some(limits))) = read else { return (None, out.plain(&files)) };
    out.append(proof(&limits, &engine));
    // The text is what the ordinary reader reads.
    let mut again = Sources::default();
    again.put("limits.toml", text);
    let written = load::limits(&again, "limits.toml", Some(&engine), &mut out);
    (written, out.plain(&files))
}

/// The rows that are told of, and whether as a fault.
fn told(plain: &[String]) -> BTreeSet<(usize, bool)> {
    let row = |line: &String| {
        let number = line.strip_prefix("t.csv:")?.split(':').next()?.parse::<usize>().ok()?;
        Some((number, !line.contains(": note: ")))
    };
    plain.iter().filter_map(row).collect()
}

/// What the tables' makers worked out for each row.
fn known(rows: &[Row]) -> BTreeSet<(usize, bool)> {
    let mut expected = BTreeSet::new();
    for (nth, row) in rows.iter().enumerate() {
        match row["flag_computed"].as_str() {
            "agree" | "published only" | "no fit printed" | "limit only" => {}
            "narrower" => drop(expected.insert((ABOVE + nth + 1, false))),
            _ => drop(expected.insert((ABOVE + nth + 1, true))),
        }
    }
    expected
}

/// What was likely meant, in the place of what is printed.
fn correct(row: &mut Row) {
    for part in row["likely"].clone().split(';') {
        let (name, value) = part.split_once('=').expect("a correction");
        row.insert(name.to_owned(), value.to_owned());
    }
}

fn typed(limit: &Option<Limit>) -> String {
    limit.as_ref().map(|limit| limit.text.to_string()).unwrap_or_default()
}

/// Every figure of a row, digit for digit, and the fit that its parts give.
fn hold(rows: &[Row], limits: &Limits) {
    assert_eq!(limits.lines.len(), rows.len());
    for (row, line) in rows.iter().zip(&limits.lines) {
        assert_eq!(line.reference.as_str(), row["id"]);
        assert_eq!(line.name.as_str(), row["description"]);
        assert_eq!(line.page.as_ref().map(|page| page.as_str()), Some(row["source"].as_str()));
        let side = |name: &str| match row[name].as_str() {
            plain if is_fit(row) && !plain.is_empty() && !plain.ends_with(['L', 'T']) => {
                format!("{plain}L")
            }
            plain if is_fit(row) => plain.to_owned(),
            plain => plain.trim_end_matches('L').to_owned(),
        };
        let published = line.tolerance().expect("limits");
        assert_eq!(typed(&published.new_min), side("pub_low"), "{row:?}");
        assert_eq!(typed(&published.new_max), side("pub_high"), "{row:?}");
        assert_eq!(typed(&published.service_max), side("service_max"), "{row:?}");
        assert!(published.service_min.is_none());
        let Kind::Fit(fit) = &line.kind else { continue };
        for (part, name) in [(&fit.shaft, "shaft"), (&fit.bore, "bore")] {
            assert_eq!(typed(&part.new_min), row[&format!("{name}_min")], "{row:?}");
            assert_eq!(typed(&part.new_max), row[&format!("{name}_max")], "{row:?}");
            assert_eq!(typed(&part.wear), row[&format!("{name}_limit")], "{row:?}");
        }
        // The figures of the table's makers, worked out by themselves.
        if row["flag_computed"] == "agree" {
            let unit = Unit::read("in");
            let basis = FitLimits::of(fit, &unit, Scope::New, None).expect("limits of a fit");
            let least = basis.b1.zip(basis.s2).map(|(b1, s2)| b1 - s2);
            let most = basis.b2.zip(basis.s1).map(|(b2, s1)| b2 - s1);
            assert_eq!(least, Some(Exact::read(&row["derived_low"]).expect("a figure")));
            assert_eq!(most, Some(Exact::read(&row["derived_high"]).expect("a figure")));
        }
    }
}

fn goes_through(document: &str, manner: &Manner, least: usize) {
    let mut rows = of(document);
    assert!(rows.len() >= least, "{}", rows.len());
    let expected = known(&rows);
    // As a shop would work: what is refused is put right, and the table is taken
    // again. Limits that cannot be read are told before those that do not agree.
    let mut found = BTreeSet::new();
    let limits = loop {
        let (limits, plain) = taken(&rows, &table(&rows, manner, true));
        let told = told(&plain);
        let refused: Vec<usize> =
            told.iter().filter(|(_, fault)| *fault).map(|(row, _)| *row).collect();
        found.extend(told);
        if refused.is_empty() {
            break limits;
        }
        for row in refused {
            assert!(expected.contains(&(row, true)), "{plain:#?}");
            correct(&mut rows[row - ABOVE - 1]);
        }
    };
    assert!(found.is_superset(&expected), "{found:?} {expected:?}");
    hold(&rows, &limits.expect("limits"));
}

/// TM 9-2520-246-34, tables 4-6, 4-7 and 5-1: fits printed with L and T.
#[test]
fn a_published_table_goes_through() {
    goes_through("TM 9-2520-246-34", &PLAIN, 19);
    goes_through("TM 9-2520-246-34", &OTHER, 19);
}

/// TM 5-6115-400-35, tables 1 and 2.1: clearances printed plain.
#[test]
fn another_published_table_goes_through() {
    goes_through("TM 5-6115-400-35", &PLAIN, 15);
    goes_through("TM 5-6115-400-35", &OTHER, 15);
}

/// A clearance without its L is refused at its cell, every one at once.
#[test]
fn plain_clearances_are_refused_at_their_cells() {
    let printed = of("TM 5-6115-400-35");
    let (limits, plain) = taken(&printed, &table(&printed, &PLAIN, false));
    assert!(limits.is_none());
    let mut expected = BTreeSet::new();
    for (nth, row) in printed.iter().enumerate().filter(|(_, row)| is_fit(row)) {
        for (name, column) in [("pub_low", "D"), ("pub_high", "E"), ("service_max", "F")] {
            let typed = &row[name];
            if !typed.is_empty() && !typed.ends_with(['L', 'T']) {
                expected.insert(format!(
                    "t.csv:{}:{column}: {typed} without L or T; \"{typed}L\" for loose, \
                     \"{typed}T\" for tight",
                    ABOVE + nth + 1
                ));
            }
        }
    }
    assert!(expected.len() > 8);
    let told: BTreeSet<String> =
        plain.into_iter().filter(|line| line.contains("without L or T")).collect();
    assert_eq!(told, expected);
}
