//! `benchleaf history`: rows over the jobs of their engines, as pictures.

use super::outcome::Outcome;
use super::proven::{Read, read};
use super::say::{complain, line};
use super::{disk, job, jobs, verify};
use crate::diag::{Diags, Sources};
use crate::model::job::Paper;
use crate::pages::history::{Heading, lay_history};
use crate::quantity::count;
use crate::report::history::{Course, Wanted, courses, joined};
use crate::report::table::Verified;
use clap::Args;
use std::path::{Path, PathBuf};

/// Draw rows over the jobs of their engines, as found and as left, between their
/// limits, from the reports below a folder.
///
/// Every report is proved and judged anew; one that is not good is not drawn.
/// Exit status 1 where one could not be read or is not good.
#[derive(Args)]
#[command(group = clap::ArgGroup::new("of").required(true).multiple(true).args(["serial", "line", "row"]))]
pub struct History {
    dir: PathBuf,
    /// One engine, by its serial number; otherwise every engine.
    #[arg(long, value_name = "NUMBER")]
    serial: Option<String>,
    /// One line of the limits, by its ref; otherwise every line.
    #[arg(long, value_name = "REF")]
    line: Option<String>,
    /// One row, by its code: C2.
    #[arg(long, value_name = "CODE")]
    row: Option<String>,
    /// Where the PDF goes.
    #[arg(long, short, value_name = "FILE", default_value = "history.pdf")]
    out: PathBuf,
    #[arg(long, value_parser = super::sheets::paper, value_name = "A4|Letter", default_value = "A4")]
    paper: Paper,
    /// Certificates whose word you take, PEM or DER.
    #[arg(long = "anchor", value_name = "FILE")]
    anchors: Vec<PathBuf>,
}

/// What came of one file.
enum Found {
    Drawn(Vec<Course>),
    NotGood(String),
    Other,
    Unreadable(String),
}

impl History {
    pub fn run(&self) -> Outcome {
        self.draw().unwrap_or_else(|outcome| outcome)
    }

    fn draw(&self) -> Result<Outcome, Outcome> {
        let anchors = verify::anchors(&self.anchors)?;
        let paths = disk::pdfs(&self.dir).map_err(|error| job::wrong(&error))?;
        let wanted = Wanted { line: self.line.clone(), row: self.row.clone() };
        let (mut all, mut reports, mut left_out) = (Vec::new(), 0, Vec::new());
        jobs::streamed(
            &paths,
            |path| self.one(path, &anchors, &wanted),
            |path, found| {
                let why = match found {
                    Some(Found::Drawn(courses)) => {
                        reports += usize::from(!courses.is_empty());
                        all.extend(courses);
                        return;
                    }
                    Some(Found::Other) => return,
                    Some(Found::NotGood(why)) => format!("not good: {why}"),
                    Some(Found::Unreadable(why)) => format!("cannot be read: {why}"),
                    None => "the search of it stopped".to_owned(),
                };
                complain!("benchleaf: {}: {why}", path.display());
                left_out.push(format!("{}: {why}", path.display()));
            },
        );
        let courses = joined(all);
        if courses.is_empty() {
            return Err(job::wrong(&format!("{}: no report has such rows", self.dir.display())));
        }
        let days = courses.iter().flat_map(|course| &course.points).filter_map(|point| point.on);
        let heading = Heading {
            from: format!("From {} below {}.", count(reports, "report"), self.dir.display()),
            date: days.max().map(|day| day.to_string()).unwrap_or_default(),
            left_out,
        };
        let mut out = Diags::new();
        let document = lay_history(&courses, &heading, self.paper, &mut out);
        job::show(&out, &Sources::default());
        let document = document.ok_or(Outcome::Wrong)?;
        job::write(&self.out, &document)?;
        line!(
            "{}: {}, {} of {}",
            self.out.display(),
            count(document.pages.len(), "page"),
            count(courses.len(), "row"),
            count(reports, "report")
        );
        Ok(if heading.left_out.is_empty() { Outcome::Done } else { Outcome::Exceptions })
    }

    fn one(&self, path: &Path, anchors: &[crate::sign::verify::Anchor], wanted: &Wanted) -> Found {
        let own = |serial: &str| self.serial.as_ref().is_none_or(|wanted| wanted == serial);
        match read(&self.dir, path, anchors, |job| own(job.serial.as_str())) {
            Read::Other => Found::Other,
            Read::Unreadable(why) => Found::Unreadable(why),
            Read::Report(report) => match (report.worked(), report.proven.verified) {
                (_, Verified::NotGood) => {
                    Found::NotGood(report.proven.fault.clone().unwrap_or_default())
                }
                (Some(worked), _) => Found::Drawn(courses(worked, &report.proven, wanted)),
                (None, _) => Found::Unreadable("its files are faulty".to_owned()),
            },
        }
    }
}
