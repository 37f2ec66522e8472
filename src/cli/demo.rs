//! `benchleaf demo`: a whole demonstration job, from blank sheets to a final
//! report.

use super::job::{self, Job};
use super::outcome::Outcome;
use super::say::line;
use super::{built_in, disk, new, second, sign};
use crate::bundle::{Built, How, Proof, verify};
use crate::quantity::count;
use crate::record::{Judged, Status};
use crate::sheet::{Pages, SheetSet, printed, transcription};
use crate::sign::SigningKey;
use clap::Args;
use std::path::{Path, PathBuf};

/// Write a whole demonstration job and run it end to end.
///
/// The engine, shop and people are invented.
#[derive(Args)]
pub struct Demo {
    /// Where to; a new folder among the temporary files unless told.
    dir: Option<PathBuf>,
}

impl Demo {
    pub fn run(&self) -> Outcome {
        let dir = match &self.dir {
            Some(dir) => dir.clone(),
            None => fresh(),
        };
        self.tell(&dir).unwrap_or_else(|outcome| outcome)
    }

    fn tell(&self, dir: &Path) -> Result<Outcome, Outcome> {
        new::empty(dir).map_err(|error| job::wrong(&error))?;
        open(dir)?;
        let (printed, pages) = self.sheets(dir)?;
        line!("{}: a job of an invented shop, engine and people", dir.display());
        line!(
            "  sheets.pdf           {} of blank worksheets, to print at 100 %",
            count(printed, "page")
        );
        line!("  blank.toml           the blank transcription, as `benchleaf sheets` writes it");
        let second = self.second(dir, &pages)?;
        line!(
            "  sheets-second.pdf    the camshaft's bores against its journals as measured: sheet {second}"
        );
        let first = self.typed(dir, &pages, "readings-first.toml", "report-first.pdf")?;
        line!(
            "  report-first.pdf     {}, from the transcription as first typed: {}",
            count(first.pages, "page"),
            first.status.in_words()
        );
        told_rows(&first.judged, &["C2", "C3"]);
        let last = self.typed(dir, &pages, "readings-final.toml", "report.pdf")?;
        line!(
            "  report.pdf           {}, after measuring again and a new camshaft: {}",
            count(last.pages, "page"),
            last.status.in_words()
        );
        told_rows(&last.judged, &["C1", "C2", "C3"]);
        let proof = self.sign(dir, &last)?;
        line!(
            "  report-signed.pdf    signed by RW and JA with throw-away keys that everyone has: they prove nothing"
        );
        line!(
            "      verified: {}",
            match proof.good() {
                true => format!("good, {}, by unknown issuers", proof.standing()),
                false => "NOT GOOD".to_owned(),
            }
        );
        line!(
            "  readings.toml        the transcription it was made from; `benchleaf check {}` reads it back",
            dir.display()
        );
        line!("Open sheets.pdf and report-signed.pdf. A report is not a release.");
        Ok(if last.status == Status::Complete { Outcome::Done } else { Outcome::Exceptions })
    }

    /// Two throw-away signatures, and the proof of what came out.
    fn sign(&self, dir: &Path, last: &Built) -> Result<Proof, Outcome> {
        let mut bytes = last.bytes.clone();
        for initials in ["RW", "JA"] {
            let file = part(built_in::demo(&format!("throw-away-{initials}.pem")))?;
            let key =
                SigningKey::read(file.as_bytes(), None).map_err(|error| job::wrong(&error))?;
            bytes = sign::add(&bytes, &sign::Hand { key: &key, initials, throw_away: true })?;
        }
        disk::replace(&dir.join("report-signed.pdf"), &bytes)
            .map_err(|error| job::wrong(&error))?;
        verify(&bytes, &[]).map_err(|error| job::wrong(&error))
    }

    fn sheets(&self, dir: &Path) -> Result<(usize, Pages), Outcome> {
        let job = job::open(dir)?;
        let (document, pages) = job.lay(None)?;
        job::write(&dir.join("sheets.pdf"), &document)?;
        let blank = transcription(&job.set, &pages);
        disk::replace(&dir.join("blank.toml"), blank.as_bytes())
            .map_err(|error| job::wrong(&error))?;
        Ok((document.pages.len(), pages))
    }

    /// The second stage of the camshaft, printed when its journals were typed
    /// in and its bores were not; which sheet it is.
    fn second(&self, dir: &Path, pages: &Pages) -> Result<String, Outcome> {
        let blank: Job = job::open(dir)?;
        let text = numbered(part(built_in::demo("readings-first.toml"))?, &blank.set, Some(pages));
        let lines = text.lines().map(|line| match line.split_once(".bore") {
            Some((row, _)) if ["C1", "C2", "C3"].contains(&row) => format!("{row}.bore = []"),
            _ => line.to_owned(),
        });
        let text: Vec<String> = lines.collect();
        disk::replace(&dir.join("readings.toml"), text.join("\n").as_bytes())
            .map_err(|error| job::wrong(&error))?;
        let printed = second::print(&job::open(dir)?, None, dir)?;
        let sheets =
            printed.sheets.iter().map(|sheet| format!("{} {}", sheet.letter_2(), sheet.code));
        Ok(sheets.collect::<Vec<_>>().join(", "))
    }

    /// The transcription as somebody typed it into the blank one, and the
    /// report that it makes.
    fn typed(&self, dir: &Path, pages: &Pages, from: &str, to: &str) -> Result<Built, Outcome> {
        let blank: Job = job::open(dir)?;
        let text = numbered(part(built_in::demo(from))?, &blank.set, Some(pages));
        disk::replace(&dir.join("readings.toml"), text.as_bytes())
            .map_err(|error| job::wrong(&error))?;
        let job = job::open(dir)?;
        let made = job.build(How::default())?;
        disk::replace(&dir.join(to), &made.bytes).map_err(|error| job::wrong(&error))?;
        Ok(made)
    }
}

/// The demonstration's engine, limits, job and forms.
pub fn open(dir: &Path) -> Result<(), Outcome> {
    let engine = part(built_in::demo("engine.toml"))?;
    let limits = part(built_in::limits("tw4-h8.toml"))?;
    let job_toml = part(built_in::demo("job.toml"))?;
    let forms: Vec<(String, String)> = built_in::forms()
        .into_iter()
        .chain(built_in::forms_read_me())
        .map(|(name, text)| (name.to_owned(), text.to_owned()))
        .collect();
    let files = [("engine.toml", engine), ("limits.toml", limits), ("job.toml", job_toml)];
    new::write_folder(dir, &files, &forms).map_err(|error| job::wrong(&error))
}

pub fn part(text: Option<&'static str>) -> Result<&'static str, Outcome> {
    text.ok_or_else(|| job::wrong(&"the program was built without its demonstration"))
}

/// A folder among the temporary files that does not exist yet.
fn fresh() -> PathBuf {
    let base = std::env::temp_dir();
    let names = (1..)
        .map(|n| if n == 1 { "benchleaf-demo".to_owned() } else { format!("benchleaf-demo-{n}") });
    names.map(|name| base.join(name)).find(|dir| !dir.exists()).unwrap_or(base)
}

fn told_rows(judged: &Judged, codes: &[&str]) {
    for row in codes.iter().filter_map(|code| judged.row(code)) {
        let Some(step) = row.last() else { continue };
        let cause =
            step.verdict.causes.first().map(|cause| format!(": {cause}")).unwrap_or_default();
        line!("      {} {}{cause}", row.code, crate::record::state_words(row, step));
    }
}

/// The demonstration's transcription with the numbers that its sheets carry:
/// the set's, each sheet's, what was printed on it and where.
pub fn numbered(text: &str, set: &SheetSet, pages: Option<&Pages>) -> String {
    let mut letter = String::new();
    let mut numbered = String::with_capacity(text.len() + 4096);
    for line in text.lines() {
        if let Some(name) = line.trim().strip_prefix('[').and_then(|rest| rest.split(']').next()) {
            name.clone_into(&mut letter);
        }
        if line.starts_with("sheet-set") {
            numbered.push_str(&format!("sheet-set = \"{}\"\n", set.number));
            continue;
        }
        match set.sheet(&letter).filter(|_| line.starts_with("number")) {
            Some(sheet) => {
                numbered.push_str(&format!("number = \"{}\"\n", sheet.number));
                numbered.push_str(&printed(sheet, pages));
            }
            None => {
                numbered.push_str(line);
                numbered.push('\n');
            }
        }
    }
    numbered
}
