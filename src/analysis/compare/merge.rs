//! A transcription that holds only what two people typed alike. Every other
//! box is open, as on the blank one.

use super::difference::Comparison;
use crate::sheet::{Pages, SheetSet, transcription};
use std::collections::BTreeMap;
use std::fmt::Write;

/// What both agree on, by sheet letter, key and part.
type Agreed<'a> = BTreeMap<(&'a str, &'a str, &'a str), &'a str>;

/// The merged transcription, from the blank one line by line. `printed` is,
/// by sheet letter, what both say was printed on it.
pub fn merged(
    set: &SheetSet,
    pages: &Pages,
    found: &Comparison,
    printed: &BTreeMap<String, Option<String>>,
) -> String {
    let mut agreed = Agreed::new();
    for (spot, written) in found.agreed.iter().filter(|(spot, _)| !spot.is_event()) {
        let letter = match spot.key.as_str() {
            "sheet-set" => "",
            _ => set.sheets.get(spot.sheet).map_or("", |sheet| &sheet.letter),
        };
        agreed.insert((letter, &spot.key, &spot.part), &written.toml);
    }
    let mut letter = String::new();
    let mut text = format!(
        "# What two transcriptions hold alike. {} boxes differ and are open here.\n",
        found.differences.len()
    );
    for line in transcription(set, pages).lines() {
        if let Some(name) = line.strip_prefix('[').and_then(|rest| rest.split(']').next()) {
            name.clone_into(&mut letter);
        }
        let Some((key, rest)) = line.split_once(" = ").filter(|_| !line.starts_with('#')) else {
            let _ = writeln!(text, "{line}");
            continue;
        };
        let (blank, comment) = match rest.find("  # ") {
            Some(at) => rest.split_at(at),
            None => (rest, ""),
        };
        let of = |part: &str| agreed.get(&(letter.as_str(), key, part)).copied();
        match key {
            "sheet-set" => {
                let number = agreed.get(&("", key, "")).copied().unwrap_or("\"\"");
                let _ = writeln!(text, "{key} = {number}{comment}");
            }
            "number" => {
                let _ = writeln!(text, "{key} = {}{comment}", of("").unwrap_or("\"\""));
            }
            "pages" => {
                let _ = writeln!(text, "{line}");
            }
            "printed" => {
                let same = printed.get(&letter).and_then(Option::as_ref);
                let _ = same.map(|same| writeln!(text, "{key} = \"{same}\""));
            }
            _ => {
                let count = boxes(set, &letter, key);
                let value = value(key, (blank, count), &of);
                let value = several(&agreed, &letter, key, value);
                let _ = writeln!(text, "{key} = {value}{comment}");
            }
        }
        if key == "remarks" {
            text.push_str(&beside(&agreed, &letter));
        }
    }
    events(found, &mut text);
    text
}

/// How many boxes a sheet prints under a key.
fn boxes(set: &SheetSet, letter: &str, key: &str) -> usize {
    let Some((code, group)) = key.split_once('.') else { return 0 };
    let row = set.row(code).filter(|at| at.sheet.1.letter == letter);
    let group = row.and_then(|at| at.line.own().find(|known| known.key.word() == group));
    group.map_or(0, |group| group.labels.len())
}

/// The blank value of a key with what is agreed written in.
fn value<'a>(
    key: &str,
    (blank, count): (&str, usize),
    of: &impl Fn(&str) -> Option<&'a str>,
) -> String {
    if let Some(fields) = blank.strip_prefix("{ ").and_then(|rest| rest.strip_suffix(" }")) {
        return table(fields, of);
    }
    if key == "remarks" {
        return of("").unwrap_or(blank).to_owned();
    }
    if let Some(cells) = blank.strip_prefix("[\"").and_then(|rest| rest.strip_suffix("\"]")) {
        return row(cells, of);
    }
    let dashes = blank.bytes().filter(|b| *b == b'-').count();
    if dashes > 0 {
        let mut n = 0;
        let marks = blank.chars().map(|c| {
            if c != '-' {
                return c.to_string();
            }
            n += 1;
            of(&n.to_string()).unwrap_or("-").to_owned()
        });
        return marks.collect();
    }
    if blank == "[]" {
        let all: Vec<Option<&str>> = (1..=count).map(|n| of(&n.to_string())).collect();
        if all.iter().all(Option::is_none) {
            return blank.to_owned();
        }
        let all: Vec<&str> = all.into_iter().map(|one| one.unwrap_or("\"-\"")).collect();
        return format!("[{}]", all.join(", "));
    }
    of("words").unwrap_or(blank).to_owned()
}

/// The fields of a table, one that is a table itself in one piece.
fn apart(fields: &str) -> Vec<&str> {
    let (mut depth, mut start) = (0, 0);
    let mut all = Vec::new();
    for (at, c) in fields.char_indices() {
        match c {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 0 => {
                all.push(fields[start..at].trim());
                start = at + 1;
            }
            _ => {}
        }
    }
    all.push(fields[start..].trim());
    all
}

/// A row of a table: its boxes, or what stands for all of them.
fn row<'a>(cells: &str, of: &dyn Fn(&str) -> Option<&'a str>) -> String {
    if let Some(whole) = of("words") {
        return whole.to_owned();
    }
    if let Some(mark) = of("1") {
        return format!("\"{mark}\"");
    }
    let cells = cells.split("\", \"").enumerate().map(|(n, blank)| {
        of(&format!("box {}", n + 1)).map_or_else(|| format!("\"{blank}\""), str::to_owned)
    });
    format!("[{}]", cells.collect::<Vec<_>>().join(", "))
}

fn table<'a>(fields: &str, of: &dyn Fn(&str) -> Option<&'a str>) -> String {
    if of("reused").is_some() {
        return "{ reused = true }".to_owned();
    }
    let mut all: Vec<String> = Vec::new();
    for field in apart(fields) {
        let Some((name, blank)) = field.split_once(" = ") else { continue };
        let inner = blank.strip_prefix("{ ").and_then(|rest| rest.strip_suffix(" }"));
        let value = match (of(name), inner) {
            (Some(agreed), _) => agreed.to_owned(),
            (None, None) => blank.to_owned(),
            // A gauge for each line.
            (None, Some(inner)) => table(inner, &|line| of(&format!("{name} {line}"))),
        };
        all.push(format!("{name} = {value}"));
    }
    for name in ["gauge", "part-temp", "gauge-temp", "zero"] {
        if all.iter().any(|field| field.starts_with(&format!("{name} ="))) {
            continue;
        }
        all.extend(of(name).map(|value| format!("{name} = {value}")));
    }
    format!("{{ {} }}", all.join(", "))
}

/// A sign-off with the others for the same side, each with its rows.
fn several(agreed: &Agreed, letter: &str, key: &str, first: String) -> String {
    let mut others: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for ((_, own, part), value) in agreed.iter().filter(|((sheet, ..), _)| *sheet == letter) {
        let rows = own.strip_prefix(key).and_then(|rest| rest.strip_prefix(' '));
        if let Some(rows) = rows {
            others.entry(rows).or_default().push(format!("{part} = {value}"));
        }
    }
    if others.is_empty() {
        return first;
    }
    let other = |(rows, fields): (&str, Vec<String>)| {
        let rows = rows.replace(' ', "\", \"");
        format!("{{ {}, rows = [\"{rows}\"] }}", fields.join(", "))
    };
    let all: Vec<String> = std::iter::once(first).chain(others.into_iter().map(other)).collect();
    format!("[{}]", all.join(", "))
}

/// What a blank transcription has no line for: further leaves, rows that do
/// not apply.
fn beside(agreed: &Agreed, letter: &str) -> String {
    let mut tables: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for ((_, key, part), value) in agreed.iter().filter(|((sheet, _, _), _)| *sheet == letter) {
        if key.ends_with(".na") {
            tables.entry(key).or_default().push(format!("{part} = {value}"));
        } else if key.ends_with(".leaves") {
            tables.entry(key).or_default().push((*value).to_owned());
        }
    }
    let mut text = String::new();
    for (key, all) in tables {
        let all = all.join(", ");
        let _ = match key.ends_with(".na") {
            true => writeln!(text, "{key} = {{ {all} }}"),
            false => writeln!(text, "{key} = [{all}]"),
        };
    }
    text
}

/// Later entries that are alike in every field.
fn events(found: &Comparison, text: &mut String) {
    let agreed = &found.agreed;
    for head in agreed.keys().filter(|spot| spot.is_event() && **spot == spot.event()) {
        let title = &agreed[head].name;
        let differs = |name: &String| {
            name.strip_prefix(title.as_str()).is_some_and(|rest| rest.starts_with(": "))
        };
        if found
            .differences
            .iter()
            .any(|difference| difference.page.is_empty() && differs(&difference.name))
        {
            continue;
        }
        let table = title.split(' ').next().unwrap_or_default();
        let _ = write!(text, "\n[[{table}]]\n");
        let own = agreed.iter().filter(|(spot, _)| *spot != head && spot.event() == *head);
        for (spot, written) in own {
            let _ = writeln!(text, "{} = {}", spot.part, written.toml);
        }
    }
}
