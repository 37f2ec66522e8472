//! `benchleaf train`: a filled example to type from, and the marking of what
//! was typed.

use super::outcome::Outcome;
use super::plain::Named;
use super::say::line;
use super::written::{begun, filled, readings_in};
use super::{built_in, demo, disk, job, new};
use crate::analysis::compare::{Difference, compare};
use crate::diag::{Diags, Sources};
use crate::load;
use crate::model::record::Record;
use crate::pages::worksheet::lay_filled;
use crate::quantity::count;
use crate::quantity::date::Date;
use crate::sheet::{Sheet, transcription};
use clap::Args;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Train somebody to type in sheets: print an example filled in by hand, and
/// mark what was typed from it.
///
/// The first time the example goes into DIR: example.pdf, and a blank
/// readings.toml. All that is written on the sheets is marked: readings, ticks,
/// marks, words, initials, dates and gauges; the tables behind the sheets are
/// not. Exit status 1 where anything is not what the paper shows.
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
        let key = key(&job)?;
        let filled = filled(&key);
        let letters: Vec<String> = key
            .sheets
            .iter()
            .filter(|sheet| begun(sheet))
            .map(|sheet| sheet.letter.to_string())
            .collect();
        let (document, pages) =
            job.told(|out| lay_filled(&job.set, Some(&letters), Some(&filled), out))?;
        let path = self.dir.join("example.pdf");
        job::write(&path, &document)?;
        line!(
            "{}: {} filled in by hand; type all that is written on them into",
            path.display(),
            count(document.pages.len(), "page")
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
        let text = disk::text(file, Named::ByHand).map_err(|error| job::wrong(&error))?;
        let mut typed = readings(&job, name, text)?;
        forget_tables(&mut typed);
        let key = key(&job)?;
        let pages = job.pages(&typed)?;
        let found = job.told(|out| compare(&job.case, &job.set, (&key, &typed), &pages, out))?;
        let (slips, rest): (Vec<_>, Vec<_>) =
            found.differences.iter().partition(|slip| !untouched(&typed, slip));
        slips.into_iter().for_each(told);
        for sheet in rest.chunk_by(|a, b| a.sheet == b.sheet) {
            let Some(Difference { page, sheet: title, .. }) = sheet.first() else { continue };
            line!("page {page}, sheet {title}: nothing typed yet, {} left out", sheet.len());
        }
        let all = filled(&key);
        let of = format!(
            "{} boxes, marks and words, {} of them readings",
            all.values().flatten().flatten().count(),
            readings_in(&key)
        );
        match found.differences.len() {
            0 => line!("no slips in {of}"),
            n => line!("{} in {of}", count(n, "slip")),
        }
        Ok(if found.differences.is_empty() { Outcome::Done } else { Outcome::Exceptions })
    }
}

/// On a sheet of which nothing is typed yet: told in one line, not box by box.
fn untouched(typed: &Record, slip: &Difference) -> bool {
    let letter = slip.sheet.split_whitespace().next().unwrap_or_default();
    let mut sheets = typed.sheets.iter().filter(|sheet| sheet.letter.as_str() == letter);
    !letter.is_empty() && !sheets.any(begun)
}

fn told(slip: &Difference) {
    let page = if slip.page.is_empty() { String::new() } else { format!("page {}, ", slip.page) };
    match (&slip.first, &slip.second) {
        (Some(paper), Some(typed)) => {
            let kind = slip.slip.clone().unwrap_or_else(|| match slip.reading {
                true => other(paper, typed),
                false => another(paper, typed).to_owned(),
            });
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

/// What was typed for something that is no reading.
fn another(paper: &str, typed: &str) -> &'static str {
    match (paper, typed) {
        _ if Date::read(paper).is_some() => "another day",
        ("v" | "x" | "n", _) | ("entered" | "refused", _) => "another mark",
        _ if paper.eq_ignore_ascii_case(typed) => "capitals and small letters exchanged",
        _ => "not as it is written",
    }
}

/// The example's own transcription.
fn key(job: &job::Job) -> Result<Record, Outcome> {
    let text = demo::part(built_in::demo(FILLED))?;
    let text = demo::numbered(text, &job.set, None);
    let mut record = readings(job, FILLED.into(), text.into())?;
    forget_tables(&mut record);
    let printed: Vec<&str> =
        job.set.sheets.iter().map(|sheet: &Sheet| sheet.letter.as_str()).collect();
    record.sheets.retain(|sheet| printed.contains(&sheet.letter.as_str()));
    Ok(record)
}

/// Only what is written on the sheets is on the paper.
fn forget_tables(record: &mut Record) {
    record.again.clear();
    record.changes.clear();
    record.findings.clear();
    record.left_out.clear();
    record.accepted.clear();
    record.outside.clear();
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
