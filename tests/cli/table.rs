//! The rows of many reports in one table.

use super::Script;
use crate::archive::alter::{holding, in_place};
use benchleaf::report::table::{Holds, columns};
use serde_json::Value;

/// A folder with the demonstration's signed report in it.
fn shelf() -> Script {
    let job = Script::demo();
    job.write("shelf/2026/a.pdf", job.bytes("job/report-signed.pdf"));
    job
}

fn lines(job: &Script, name: &str) -> Vec<Value> {
    let text = job.read(name);
    text.lines().map(|line| serde_json::from_str(line).expect("a line of JSON")).collect()
}

fn rows(lines: &[Value]) -> Vec<&Value> {
    lines.iter().filter(|line| line["entry"] == "row").collect()
}

#[test]
fn every_row_is_there_as_check_has_it() {
    let job = shelf();
    job.run("table shelf -o t.jsonl").status(0).says("1 report added, 0 there already\n");
    let lines = lines(&job, "t.jsonl");
    let told: Value =
        serde_json::from_str(&job.run("check job --json").status(0).out).expect("verdicts");
    let checked = told["rows"].as_array().expect("rows");
    let rows = rows(&lines);
    assert_eq!(rows.len(), checked.len());
    for (row, checked) in rows.iter().zip(checked) {
        assert_eq!(row["verified"], "good");
        assert_eq!(row["code"], checked["row"]);
        let same = ["state", "line", "limits", "margin", "chance", "accepted", "name"];
        for field in same {
            assert_eq!(row[field], checked[field], "{} {field}", row["code"]);
        }
        let steps = checked["steps"].as_array().expect("steps");
        assert_eq!(row["steps"], steps.len().to_string(), "{}", row["code"]);
        let Some(last) = steps.last() else { continue };
        assert_eq!(row["left_who"].as_str().unwrap_or_default(), last["who"], "{}", row["code"]);
        for figure in last["figures"].as_array().expect("figures") {
            let cell = match figure[0].as_str() {
                Some("tightest") => &row["left_least"],
                Some("loosest") => &row["left_most"],
                _ => continue,
            };
            assert_eq!(*cell, figure[1], "{}", row["code"]);
        }
        for side in last["readings"].as_array().expect("readings") {
            let boxes = side["boxes"].as_str().expect("a key");
            if !["shaft", "bore"].contains(&boxes) {
                continue;
            }
            let typed: Vec<&str> = side["typed"]
                .as_array()
                .expect("boxes")
                .iter()
                .map(|typed| typed.as_str().unwrap_or("-"))
                .collect();
            let cell = row[format!("left_{boxes}_typed")].as_str().unwrap_or_default();
            assert_eq!(cell, typed.join(" "), "{} {boxes}", row["code"]);
        }
    }
    // By hand, from the readings of the demonstration: the bore of C2 is 1.3767
    // and 1.3768, its journal 1.3717 and 1.3716 as found, 1.3732 as left.
    let c2 = rows.iter().find(|row| row["code"] == "C2").expect("row C2");
    assert_eq!((&c2["found_most"], &c2["found_state"]), (&"0.0052".into(), &"out".into()));
    assert_eq!((&c2["left_least"], &c2["left_most"]), (&"0.0035".into(), &"0.0036".into()));
    assert_eq!((&c2["found_shaft_by"], &c2["left_shaft_by"]), (&"JA".into(), &"RW".into()));
    assert_eq!(c2["gauges"], "MIC-2; MIC-2B; TEL-1");
    assert_eq!(c2["part_batch"], "serial C-0588");
    let ends = |side: &str| [&c2[format!("found_{side}_least")], &c2[format!("found_{side}_most")]];
    assert_eq!(ends("shaft"), ["1.3716", "1.3717"]);
    assert_eq!(ends("bore"), ["1.3767", "1.3768"]);
    assert_eq!((&c2["new_min"], &c2["service_max"]), (&"0.0010".into(), &"0.0050".into()));
    // Parts that were renewed and changed have lines of their own.
    let batch = |entry: &str, batch: &str| {
        lines.iter().any(|line| line["entry"] == entry && line["part_batch"] == batch)
    };
    assert!(batch("renewed", "B0702") && batch("change", "B1008"));
}

#[test]
fn both_forms_say_the_same() {
    let job = shelf();
    job.run("table shelf -o t.jsonl").status(0);
    job.run("table shelf -o t.csv").status(0);
    let lines = lines(&job, "t.jsonl");
    let text = job.read("t.csv");
    assert_eq!(text.lines().count(), lines.len() + 1, "a line a row, and the head");
    let mut reader = csv_cells(&text).into_iter();
    let head = reader.next().expect("a head");
    let names: Vec<&str> = columns().iter().map(|column| column.name.as_str()).collect();
    assert_eq!(head, names);
    for (cells, line) in reader.zip(&lines) {
        for (cell, column) in cells.iter().zip(columns()) {
            let said = line[&column.name].as_str().unwrap_or_default();
            // A text may begin with what a spreadsheet would work out.
            let words = matches!(column.holds, Holds::Text | Holds::Texts);
            let guarded = words && said.starts_with(['=', '+', '-', '@']);
            let wanted = if guarded { format!("'{said}") } else { said.to_owned() };
            assert_eq!(*cell, wanted, "{}", column.name);
        }
    }
}

/// Cells by the rules of RFC 4180, read without the library that wrote them.
fn csv_cells(text: &str) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for line in text.lines() {
        let (mut cells, mut cell, mut quoted) = (Vec::new(), String::new(), false);
        let mut letters = line.chars().peekable();
        while let Some(letter) = letters.next() {
            match letter {
                '"' if quoted && letters.peek() == Some(&'"') => cell.extend(letters.next()),
                '"' => quoted = !quoted,
                ',' if !quoted => cells.push(std::mem::take(&mut cell)),
                letter => cell.push(letter),
            }
        }
        cells.push(cell);
        rows.push(cells);
    }
    rows
}

#[cfg(unix)]
#[test]
fn a_cell_is_no_formula_and_no_second_line() {
    let job = Script::demo();
    job.write("shelf/=1+1,\n\"2\".pdf", job.bytes("job/report.pdf"));
    job.run("table shelf -o t.csv").status(0);
    job.run("table shelf -o t.jsonl").status(0);
    let own = lines(&job, "t.jsonl");
    assert_eq!(own[0]["report"], "=1+1,\n\"2\".pdf");
    let text = job.read("t.csv");
    assert_eq!(text.lines().count(), own.len() + 1);
    assert_eq!(csv_cells(&text)[1][2], "'=1+1, \"2\".pdf");
    // A figure below zero is no formula.
    let margins = csv_cells(&text).into_iter().flatten().filter(|cell| cell.starts_with("-0.0"));
    assert!(margins.count() > 0);
    for name in ["t.csv", "t.jsonl"] {
        let kept = job.keep(name);
        job.run(&format!("table shelf -o {name}")).status(0).says("1 there already");
        kept.unchanged();
    }
}

#[test]
fn what_a_report_carries_is_not_taken_at_its_word() {
    let job = shelf();
    let bytes = job.bytes("job/report-signed.pdf");
    let part = holding(&bytes, &["benchleaf-verdicts-2"]);
    let text = String::from_utf8(part.plain.clone()).expect("text");
    let (out, within) = ("\"state\":\"within service limits\"", "\"state\":\"within new limits\"");
    let at = text.find("{\"row\":\"C2\"").expect("the row");
    let forged = format!("{}{}", &text[..at], text[at..].replacen(out, within, 1));
    job.write("shelf/forged.pdf", in_place(&bytes, &part, std::iter::once(forged.into_bytes())));
    let ran = job.run("table shelf -o t.jsonl").status(1);
    ran.complains("forged.pdf: NOT GOOD: verdicts: worked out anew they differ: row C2")
        .says("2 reports added, 0 there already; 1 not good");
    let lines = lines(&job, "t.jsonl");
    let of = |report: &str| -> Vec<&Value> {
        lines.iter().filter(|line| line["report"] == report).collect()
    };
    let (forged, good) = (of("forged.pdf"), of("2026/a.pdf"));
    assert_eq!(forged.len(), good.len());
    assert!(forged.iter().all(|line| line["verified"] == "not good"));
    assert!(forged.iter().all(|line| line["signed_by"].is_null()));
    assert!(good.iter().all(|line| line["verified"] == "good"));
    // What is judged is the carried readings, not the carried verdicts.
    let state = |lines: &[&Value]| {
        lines.iter().find(|line| line["code"] == "C2").map(|line| line["state"].clone())
    };
    assert_eq!(state(&forged), state(&good));
    assert_eq!(forged[0]["record"], good[0]["record"]);
    // Nobody has signed the report as it was made.
    job.write("unsigned/r.pdf", job.bytes("job/report.pdf"));
    job.run("table unsigned -o u.jsonl").status(0).says("1 nobody has signed");
    let unsigned = self::lines(&job, "u.jsonl");
    assert!(unsigned.iter().all(|line| line["verified"] == "unsigned"));
    assert_eq!(unsigned[0]["record"], good[0]["record"]);
    assert_ne!(unsigned[0]["digest"], good[0]["digest"]);
}

#[test]
fn new_reports_are_added_and_old_ones_are_left_as_they_are() {
    for name in ["t.jsonl", "t.csv"] {
        let job = shelf();
        job.write("shelf/b.pdf", job.bytes("job/report-signed.pdf"));
        job.write("shelf/torn.pdf", &job.bytes("job/report-signed.pdf")[..50_000]);
        job.write("shelf/other.pdf", job.bytes("job/sheets.pdf"));
        let run = format!("table shelf -o {name}");
        let ran = job.run(&run).status(1).complains("torn.pdf: cannot be read");
        ran.says("1 report added, 0 there already; 1 the same as another; 1 could not be read; 1 no report");
        let before = job.bytes(name);
        let kept = job.keep(name);
        std::fs::remove_file(job.path("shelf/torn.pdf")).expect("removed");
        job.run(&run).status(0).says("0 reports added, 2 there already; 1 no report");
        kept.unchanged();
        // The name of a report that is there already does not matter.
        job.write("shelf/c.pdf", job.bytes("job/report-signed.pdf"));
        std::fs::remove_file(job.path("shelf/2026/a.pdf")).expect("removed");
        job.run(&run).status(0);
        kept.unchanged();
        job.write("shelf/d.pdf", job.bytes("job/report-first.pdf"));
        job.run(&run).status(0).says("1 report added, 2 there already; 1 nobody has signed");
        let after = job.bytes(name);
        assert!(after.starts_with(&before) && after.len() > before.len());
        // All at once, the table is the same but for the order.
        job.run(&format!("table shelf -o whole-{name}")).status(0);
        let sorted = |bytes: &[u8]| {
            let text = String::from_utf8(bytes.to_vec()).expect("text");
            let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
            lines.sort();
            lines
        };
        let named = |text: Vec<String>| -> Vec<String> {
            text.into_iter().map(|line| line.replace("2026/a.pdf", "b.pdf")).collect()
        };
        let whole = named(sorted(&job.bytes(&format!("whole-{name}"))));
        assert_eq!(named(sorted(&after)), whole);
        job.missing(".benchleaf-");
    }
}

#[test]
fn nothing_is_added_to_what_is_no_whole_table() {
    let job = shelf();
    for name in ["t.jsonl", "t.csv"] {
        job.run(&format!("table shelf -o {name}")).status(0);
        job.write("shelf/more.pdf", job.bytes("job/report.pdf"));
        let whole = job.read(name);
        let cut = &whole[..whole.len() - 20];
        let line = whole.lines().count();
        let older = whole.replace("benchleaf-rows-1", "benchleaf-rows-0");
        for (text, at) in [(cut, line), (&older, usize::from(name == "t.csv") + 1), ("a,b\n", 1)] {
            job.write(name, text);
            let kept = job.keep(name);
            let ran = job.run(&format!("table shelf -o {name}")).status(2);
            ran.complains(&format!("{name}: line {at}: "));
            kept.unchanged();
        }
        std::fs::remove_file(job.path("shelf/more.pdf")).expect("removed");
        std::fs::remove_file(job.path(name)).expect("removed");
    }
    job.run("table shelf -o t.txt").status(2).complains(".csv or .jsonl");
    job.run("table nowhere -o t.csv").status(2).complains("nowhere");
    job.missing("t.csv");
    job.write("empty/note.txt", "");
    job.run("table empty -o t.csv").status(0).says("0 reports added");
    assert_eq!(job.read("t.csv").lines().count(), 1);
}

/// The chapter names every column as the program has it.
#[test]
fn the_chapter_has_every_column() {
    let chapter = include_str!("../../demo/records.md");
    let shown = |name: &str| {
        !name.starts_with("left_") && !name.contains("_bore") && !name.contains("_read")
    };
    let of_found = |name: &str| name == "read_of" || shown(name);
    let wanted: Vec<String> = columns()
        .iter()
        .filter(|column| of_found(&column.name))
        .map(|column| {
            format!("| `{}` | {} | {} |", column.name, column.holds.word(), column.meaning)
        })
        .collect();
    let own: Vec<&str> = chapter.lines().filter(|line| line.starts_with("| `")).collect();
    assert_eq!(own, wanted, "\n{}", wanted.join("\n"));
    // What is not shown follows from what is.
    let all: Vec<&str> = columns().iter().map(|column| column.name.as_str()).collect();
    for name in &all {
        if let Some(rest) = name.strip_prefix("left_") {
            assert!(all.contains(&format!("found_{rest}").as_str()), "{name}");
        }
        for side in ["_bore", "_read"] {
            let like = name.replacen(side, "_shaft", 1);
            assert!(!name.contains(side) || all.contains(&like.as_str()), "{name}");
        }
    }
}
