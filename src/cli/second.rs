//! Second-stage sheets: printed from the transcription, with the line that
//! each of them adds to it.

use super::disk;
use super::job::{self, Job};
use super::lock::Lock;
use super::outcome::Outcome;
use super::say::line;
use crate::pages::lay_second;
use crate::quantity::count;
use crate::record::{Ready, ready};
use crate::sheet::second::{SecondSheet, second};
use std::fmt::Write;
use std::path::Path;

/// The sheets printed, and the rows that could not be.
pub struct Printed {
    pub sheets: Vec<SecondSheet>,
    pub pages: usize,
    pub waiting: Vec<(String, String)>,
}

/// Writes sheets-second.pdf and sheets-second.toml into a folder; neither
/// where no row is ready.
pub fn print(job: &Job, only: Option<&[String]>, dir: &Path) -> Result<Printed, Outcome> {
    let Ready { rows, waiting } = ready(&job.case, &job.set, only);
    let sheets = second(&job.case, &job.set, &rows);
    if sheets.is_empty() {
        return Ok(Printed { sheets, pages: 0, waiting });
    }
    let document = job.told(|out| lay_second(&job.set, &sheets, out))?;
    let path = dir.join("sheets-second.pdf");
    // The two files belong together.
    let lock = Lock::beside(&path).map_err(|error| job::wrong(&error))?;
    job::write_locked(&lock, &path, &document)?;
    let lines = lines(job, &sheets);
    disk::replace(&dir.join("sheets-second.toml"), lines.as_bytes())
        .map_err(|error| job::wrong(&error))?;
    Ok(Printed { sheets, pages: document.pages.len(), waiting })
}

/// Says what was printed, what was not and why.
pub fn tell(printed: &Printed, dir: &Path) -> Outcome {
    if !printed.sheets.is_empty() {
        let path = dir.join("sheets-second.pdf");
        line!("{}: {} of second-stage sheets", path.display(), count(printed.pages, "page"));
    }
    for sheet in &printed.sheets {
        let rows: Vec<&str> = sheet.rows.iter().map(|(row, _)| row.as_str()).collect();
        let mate = sheet.half.mate().word();
        line!("  {} {}  the {mate}s of {}", sheet.letter_2(), sheet.code, rows.join(" "));
    }
    if !printed.sheets.is_empty() {
        let path = dir.join("sheets-second.toml");
        line!(
            "{}: the lines to copy into readings.toml with what is measured on them",
            path.display()
        );
    }
    for (why, rows) in by_reason(&printed.waiting) {
        match rows.as_slice() {
            [.., _] if rows.len() > 12 => line!("not printed: {} rows: {why}", rows.len()),
            rows => line!("not printed: {}: {why}", rows.join(" ")),
        }
    }
    match printed.sheets.is_empty() {
        true => {
            line!("no row is ready for its second stage; nothing was written");
            Outcome::Exceptions
        }
        false => Outcome::Done,
    }
}

fn by_reason(waiting: &[(String, String)]) -> Vec<(&str, Vec<&str>)> {
    let mut reasons: Vec<(&str, Vec<&str>)> = Vec::new();
    for (row, why) in waiting {
        match reasons.iter_mut().find(|(known, _)| known == why) {
            Some((_, rows)) => rows.push(row),
            None => reasons.push((why, vec![row])),
        }
    }
    reasons
}

/// What the transcription says of each sheet: what it says already, and the
/// new code after it.
fn lines(job: &Job, sheets: &[SecondSheet]) -> String {
    let mut text = String::from(
        "# Copy each line under its sheet in readings.toml when its readings are typed in.\n\
         # It tells which sizes the paper was printed from: rows whose sizes have changed\n\
         # since are refused, and named.\n",
    );
    let mut letters: Vec<&str> = sheets.iter().map(|sheet| sheet.letter.as_str()).collect();
    letters.dedup();
    for letter in letters {
        let entries = job.case.record.iter().flat_map(|record| &record.sheets);
        let before =
            entries.filter(|entry| entry.letter.as_str() == letter).flat_map(|entry| &entry.second);
        let mut all: Vec<String> = before.map(ToString::to_string).collect();
        for sheet in sheets.iter().filter(|sheet| sheet.letter == letter) {
            let typed = sheet.typed();
            all.retain(|known| *known != typed);
            all.push(typed);
        }
        let quoted: Vec<String> =
            all.iter().map(|text| format!("\"{}\"", text.escape_default())).collect();
        let value = match quoted.as_slice() {
            [only] => only.clone(),
            several => format!("[\n  {},\n]", several.join(",\n  ")),
        };
        let _ = write!(text, "\n[{letter}]\nsecond = {value}\n");
    }
    text
}
