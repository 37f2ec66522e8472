//! `benchleaf train`: a filled example to type from, and the marking of what
//! was typed.

use super::say::line;
use super::{Outcome, built_in, demo, disk, job, new};
use crate::diag::{Diags, Sources};
use crate::load;
use crate::model::record::{Boxes, Record};
use crate::page::sheets::{Filled, lay_filled};
use crate::report::compare::{Difference, compare};
use crate::sheet::{Sheet, transcription};
use clap::Args;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Train somebody to type in sheets: print an example filled in by hand, and
/// mark what was typed from it.
///
/// The first time the example goes into DIR: example.pdf, and a blank
/// readings.toml. The exercise is the readings; ticks, words and initials are
/// not marked. Exit status 1 where a reading is not what the paper shows.
#[derive(Args)]
pub struct Train {
    dir: PathBuf,
    /// Mark this transcription of the example, box by box.
    #[arg(long, value_name = "FILE")]
    mark: Option<PathBuf>,
}

/// What the example's sheets were filled in with.
const FILLED: &str = "readings-first.toml";

impl Train {
    pub fn run(&self) -> Outcome {
        let done = match &self.mark {
            None => self.print(),
            Some(file) => self.mark(file),
        };
        done.unwrap_or_else(|outcome| outcome)
    }

    fn print(&self) -> Result<Outcome, Outcome> {
        new::empty(&self.dir).map_err(|error| job::wrong(&error))?;
        demo::open(&self.dir)?;
        let job = job::open(&self.dir)?;
        let fonts = job::fonts()?;
        let key = key(&job)?;
        let filled = filled(&key);
        let letters: Vec<String> = key
            .sheets
            .iter()
            .filter(|sheet| {
                filled
                    .keys()
                    .any(|(code, _)| sheet.rows.iter().any(|row| row.code.as_str() == code))
            })
            .map(|sheet| sheet.letter.to_string())
            .collect();
        let mut out = Diags::new();
        let laid = lay_filled(&job.set, Some(&letters), Some(&filled), &fonts, &mut out);
        job::show(&out, &job.files);
        let (document, pages) = laid.ok_or(Outcome::Wrong)?;
        let path = self.dir.join("example.pdf");
        job::write(&path, &document, &fonts)?;
        line!(
            "{}: {} pages filled in by hand; type their readings into",
            path.display(),
            document.pages.len()
        );
        let path = self.dir.join(load::READINGS_FILE);
        let blank = transcription(&job.set, &pages);
        disk::create(&path, blank.as_bytes()).map_err(|error| job::wrong(&error))?;
        line!(
            "{}: blank; then `benchleaf train {} --mark {}`",
            path.display(),
            self.dir.display(),
            path.display()
        );
        Ok(Outcome::Done)
    }

    fn mark(&self, file: &Path) -> Result<Outcome, Outcome> {
        let mut files = disk::job(&self.dir).map_err(|error| job::wrong(&error))?;
        files.0.remove(load::READINGS_FILE);
        let job = job::read(files)?;
        let name: Arc<str> = file.display().to_string().into();
        let text = disk::text(file).map_err(|error| job::wrong(&error))?;
        let typed = readings(&job, name, text)?;
        let key = key(&job)?;
        let pages = job.pages(&job::fonts()?)?;
        let mut out = Diags::new();
        let found = compare(&job.case, &job.set, (&key, &typed), &pages, &mut out);
        job::show(&out, &job.files);
        let found = found.ok_or(Outcome::Wrong)?;
        let slips: Vec<&Difference> =
            found.differences.iter().filter(|difference| difference.reading).collect();
        slips.iter().for_each(|slip| told(slip));
        let of: usize = filled(&key).values().flatten().flatten().count();
        match slips.len() {
            0 => line!("no slips in {of} readings"),
            1 => line!("1 slip in {of} readings"),
            n => line!("{n} slips in {of} readings"),
        }
        Ok(if slips.is_empty() { Outcome::Done } else { Outcome::Exceptions })
    }
}

fn told(slip: &Difference) {
    let page = if slip.page.is_empty() { String::new() } else { format!("page {}, ", slip.page) };
    match (&slip.first, &slip.second) {
        (Some(paper), Some(typed)) => {
            let kind = slip.slip.as_ref().map_or_else(|| other(paper, typed), Clone::clone);
            line!("{page}{}: the paper shows {paper}, typed {typed}: {kind}", slip.name);
        }
        (Some(paper), None) => {
            line!("{page}{}: the paper shows {paper}, nothing typed: left out", slip.name)
        }
        (None, typed) => {
            let typed = typed.clone().unwrap_or_default();
            line!("{page}{}: the paper is blank, typed {typed}: the wrong box", slip.name);
        }
    }
}

fn other(paper: &str, typed: &str) -> String {
    let digits = |text: &str| text.chars().filter(char::is_ascii_digit).count();
    match digits(typed).cmp(&digits(paper)) {
        std::cmp::Ordering::Less => "a digit lost; every digit counts, zeros too".to_owned(),
        std::cmp::Ordering::Greater => "a digit too many".to_owned(),
        std::cmp::Ordering::Equal => "another figure".to_owned(),
    }
}

/// The example's own transcription.
fn key(job: &job::Job) -> Result<Record, Outcome> {
    let text = demo::part(built_in::demo(FILLED))?;
    let text = demo::numbered(text, &job.set);
    let mut record = readings(job, FILLED.into(), text.into())?;
    // Only what stands in the boxes is on the paper.
    record.again.clear();
    let printed: Vec<&str> =
        job.set.sheets.iter().map(|sheet: &Sheet| sheet.letter.as_str()).collect();
    record.sheets.retain(|sheet| printed.contains(&sheet.letter.as_str()));
    Ok(record)
}

fn readings(job: &job::Job, name: Arc<str>, text: Arc<str>) -> Result<Record, Outcome> {
    let mut files = Sources::default();
    files.put(name.clone(), text);
    let mut out = Diags::new();
    let (engine, limits) = (&job.case.engine, &job.case.limits);
    let record = load::readings(&files, &name, Some(engine), Some(limits), &mut out);
    job::show(&out, &files);
    record.ok_or(Outcome::Wrong)
}

/// The readings in the boxes, by row and group.
fn filled(record: &Record) -> Filled {
    let mut filled = Filled::new();
    for row in record.sheets.iter().flat_map(|sheet| &sheet.rows) {
        for group in &row.groups {
            if let Boxes::Readings(readings) = &group.boxes {
                let texts =
                    readings.iter().map(|read| read.as_ref().map(|typed| typed.text.to_string()));
                filled.insert((row.code.to_string(), group.key.to_string()), texts.collect());
            }
        }
    }
    filled
}
