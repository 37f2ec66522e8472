//! `benchleaf sheets`: the blank worksheets and the blank transcription.

use super::outcome::Outcome;
use super::say::line;
use super::{disk, job, jobs, second};
use crate::model::job::Paper;
use crate::model::record::Record;
use crate::pages::worksheet::{lay_fields, lay_remarks, lay_remarks_fields};
use crate::quantity::count;
use crate::record::is_begun;
use crate::sheet::{Pages, plain_number as plain, transcription};
use clap::Args;
use std::path::{Path, PathBuf};

/// Print the blank worksheets, and write the blank transcription if there is
/// none.
///
/// A transcription that exists is never written to, whatever it holds.
#[derive(Args)]
pub struct Sheets {
    /// Job folders.
    #[arg(required = true, value_name = "JOB")]
    jobs: Vec<PathBuf>,
    /// Only these sheets, by letter: C,T,P.
    #[arg(long, value_delimiter = ',', value_name = "LETTERS")]
    only: Vec<String>,
    /// Second-stage sheets, from the sizes that the transcription holds: for
    /// every fit with one side recorded and the other blank, or with --only for
    /// all rows of those sheets.
    #[arg(long, conflicts_with = "copy")]
    second: bool,
    /// Paper to print on, where it is not the job's.
    #[arg(long, value_parser = paper, value_name = "A4|Letter")]
    paper: Option<Paper>,
    /// Mark the pages as a copy, printed again for pages that were lost.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(2..100))]
    copy: Option<u32>,
    /// The blind check sheets: what a second person measures without the first
    /// readings. Rows and boxes stand in another order; they are typed into
    /// blind.toml as printed, and `benchleaf compare` holds them together.
    #[arg(long)]
    blind: bool,
    /// With a field over every box, to be filled in on a screen; `benchleaf take`
    /// makes a transcription of it.
    #[arg(long, conflicts_with_all = ["second", "blind"])]
    fill: bool,
    /// Further pages of these sheets, with the sheet's number and code, lines for
    /// measuring again, for what was found and changed, and for remarks: K, or K,K
    /// for two.
    #[arg(long, value_delimiter = ',', value_name = "LETTERS", conflicts_with_all = ["only", "second", "blind"])]
    remarks: Vec<String>,
    /// Where the PDF goes; the job folder unless told.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

pub fn paper(text: &str) -> Result<Paper, String> {
    match text.to_ascii_lowercase().as_str() {
        "a4" => Ok(Paper::A4),
        "letter" => Ok(Paper::Letter),
        _ => Err("A4 or Letter".to_owned()),
    }
}

impl Sheets {
    pub fn run(&self) -> Outcome {
        if self.out.is_some() && self.jobs.len() > 1 {
            return job::wrong(
                &"--out names one folder and several jobs are given; give one job, or no --out",
            );
        }
        jobs::each(&self.jobs, |dir| self.one(dir))
    }

    fn one(&self, dir: &Path) -> Result<Outcome, Outcome> {
        let mut job = job::open(dir)?;
        if let Some(paper) = self.paper {
            job.set.head.paper = paper;
        }
        if self.blind {
            job.set = crate::sheet::blind(&job.set);
        }
        job.set.head.copy = self.copy;
        for letter in self.only.iter().chain(&self.remarks) {
            if job.set.sheet(letter).is_none() {
                let letters: Vec<&str> = job.set.sheets.iter().map(|s| s.letter.as_str()).collect();
                return Err(job::wrong(&format!(
                    "no sheet {letter}; this set has {}",
                    letters.join(", ")
                )));
            }
        }
        let only = (!self.only.is_empty()).then_some(self.only.as_slice());
        if self.second {
            let out = self.out.as_deref().unwrap_or(dir);
            return Ok(second::tell(&second::print(&job, only, out)?, out));
        }
        if !self.remarks.is_empty() {
            return self.remarks(dir, &job);
        }
        let (document, pages) = match self.fill {
            true => job.told(|out| lay_fields(&job.set, only, out))?,
            false => job.lay(only)?,
        };
        let which = match (self.blind, self.fill) {
            (true, _) => "blind",
            (_, true) => "fill",
            _ => "sheets",
        };
        let name = match only {
            None => format!("{which}.pdf"),
            Some(letters) => format!("{which}-{}.pdf", letters.join("-")),
        };
        let path = self.out.as_deref().unwrap_or(dir).join(name);
        job::write(&path, &document)?;
        line!(
            "{}: {}, set {}",
            path.display(),
            count(document.pages.len(), "page"),
            job.set.number
        );
        let left = job.set.left_out.len();
        if left > 0 && only.is_none() {
            line!(
                "{} that the forms ask for and this engine lacks {} left out; the index lists {}",
                count(left, "thing"),
                if left == 1 { "is" } else { "are" },
                if left == 1 { "it" } else { "them" }
            );
        }
        if self.fill {
            line!("fill it in with any PDF reader; then `benchleaf take {} FILE`", dir.display());
            return Ok(Outcome::Done);
        }
        let begun = !blank(dir, &job, &pages)?;
        let own = job.case.job.paper;
        if let Some(paper) = self.paper.filter(|paper| begun && *paper != own) {
            line!(
                "printed on {paper}, the job is on {own}: check and report name the pages of the print that the transcription was written with"
            );
        }
        Ok(Outcome::Done)
    }
}

impl Sheets {
    /// What is written on these pages is typed with the sheet's own remarks, so that
    /// no transcription asks for it.
    fn remarks(&self, dir: &Path, job: &job::Job) -> Result<Outcome, Outcome> {
        let lay = if self.fill { lay_remarks_fields } else { lay_remarks };
        let document = job.told(|out| lay(&job.set, &self.remarks, out))?;
        let mut letters = self.remarks.clone();
        letters.dedup();
        let which = if self.fill { "fill-remarks" } else { "remarks" };
        let name = format!("{which}-{}.pdf", letters.join("-"));
        let path = self.out.as_deref().unwrap_or(dir).join(name);
        job::write(&path, &document)?;
        let pages = count(document.pages.len(), "page");
        line!("{}: {pages} more for remarks, set {}", path.display(), job.set.number);
        Ok(Outcome::Done)
    }
}

/// The blank transcription, where there is none. Whether it was written.
fn blank(dir: &Path, job: &job::Job, pages: &Pages) -> Result<bool, Outcome> {
    let path = dir.join(if job.set.head.blind { "blind.toml" } else { "readings.toml" });
    let written = disk::create(&path, transcription(&job.set, pages).as_bytes());
    let written = written.map_err(|error| job::wrong(&error))?;
    match written {
        true => line!("{}: blank transcription, to be filled in from the paper", path.display()),
        false => line!("{}: is there already, left as it is", path.display()),
    }
    if let Some(typed) = job.case.record.as_ref().filter(|_| !written && !job.set.head.blind)
        && !plain(typed.set.as_str()).is_empty()
        && plain(typed.set.as_str()) != plain(&job.set.number)
    {
        of_another_print(&path, dir, typed, &job.set.number);
    }
    Ok(written)
}

/// A transcription that is not of these sheets stays; what to do is said.
fn of_another_print(path: &Path, dir: &Path, typed: &Record, now: &str) {
    let (path, own) = (path.display(), typed.set.as_str());
    line!("{path}: it is of an earlier print, set {own}, and these sheets are set {now}");
    let blank = typed.sheets.iter().all(|sheet| !is_begun(sheet));
    if !blank {
        let dir = dir.display();
        line!(
            "  figures of sheets that did not change stand; `benchleaf check {dir}` names the others"
        );
    }
    let nothing = if blank { "no reading and no mark is typed in it: " } else { "" };
    line!(
        "  {nothing}for the blank of these sheets rename it, {}, and print again",
        path_of_set(own)
    );
}

/// The name that keeps a transcription of another print.
fn path_of_set(set: &str) -> String {
    let symbols = set.chars().filter(|symbol| symbol.is_ascii_alphanumeric() || *symbol == '-');
    format!("readings-{}.toml", symbols.collect::<String>())
}
