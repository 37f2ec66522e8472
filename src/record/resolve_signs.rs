//! Sign-offs held against their sheet: whose rows are whose, and of which line a
//! gauge is.

use crate::diag::{Diag, Diags, Severity};
use crate::model::record::{Named, SheetEntry, Sign};
use crate::sheet::{LineRows, Sheet};

/// Whose rows are whose, where several have signed for one side.
pub fn rows(sheet: &Sheet, entry: &SheetEntry, sign: &Sign, out: &mut Diags) {
    let (letter, key) = (&sheet.letter, sign.key.as_str());
    let same = |other: &&Sign| other.key.as_str() == key;
    if sign.rows.is_empty() {
        if entry.signs.iter().filter(same).filter(|other| other.rows.is_empty()).count() > 1 {
            let message = format!(
                "sheet {letter}: several have signed for {key}, and not each says for which rows"
            );
            out.fault(&sign.key.at, message, "all but one with { rows = [\"C1\", \"C2\"] }");
        }
        return;
    }
    for row in &sign.rows {
        let line = sheet.lines().find(|line| line.rows.iter().any(|r| r.code == row.as_str()));
        let has = |line: &LineRows| line.own().any(|group| group.key.side().word() == key);
        if !line.is_some_and(has) {
            let codes = sheet.lines().filter(|line| has(line)).flat_map(|line| &line.rows);
            let codes = codes.map(|row| row.code.as_str());
            out.fault(
                &row.at,
                format!("sheet {letter} has no row {row} to sign for under {key}"),
                one_of("a row printed there", row.as_str(), codes),
            );
        }
        let all = entry.signs.iter().filter(same).flat_map(|sign| &sign.rows);
        let first = all.into_iter().find(|other| other.text == row.text);
        if let Some(first) = first.filter(|first| first.at != row.at) {
            let message = format!("two have signed for {key} of row {row}");
            let diag = Diag::at(Severity::Fault, &row.at, message, "each row once");
            out.push(diag.also(first.at.clone(), "the first"));
        }
    }
}

/// A gauge of one line is of a line that is read under that key.
pub fn gauges(sheet: &Sheet, sign: &Sign, out: &mut Diags) {
    let Named::Each(named) = &sign.gauges else { return };
    let key = sign.key.as_str();
    let own = |line: &&LineRows| line.own().any(|group| group.key.side().word() == key);
    let known: Vec<&str> = sheet.lines().filter(own).map(|line| line.reference.as_str()).collect();
    for (line, _) in named.iter().filter(|(line, _)| !known.contains(&line.as_str())) {
        let message = format!("no line {line} is read on sheet {} under {key}", sheet.letter);
        let help = match known.as_slice() {
            [] => "the gauges in one text or a list of them: gauge = \"TRQ-1\"".to_owned(),
            _ => one_of("a line's reference", line.as_str(), known.iter().copied()),
        };
        out.fault(&line.at, message, help);
    }
}

/// The few likeliest of the known words; all of them where they are few.
pub fn one_of<'a>(what: &str, typed: &str, known: impl Iterator<Item = &'a str>) -> String {
    let mut known: Vec<&str> = known.collect();
    if known.is_empty() {
        return format!("{what}, of which job.toml has none yet");
    }
    if known.len() > 8 {
        known.sort_by_key(|word| strsim::levenshtein(typed, word));
        known.truncate(4);
        return format!("{what}, such as {}", known.join(", "));
    }
    format!("{what}: {}", known.join(", "))
}
