//! `benchleaf recall`: which archived jobs a gauge, a limits revision or a
//! part batch was used in.

use super::outcome::Outcome;
use super::plain::Named;
use super::say::{complain, line};
use super::{disk, job, jobs};
use crate::analysis::recall::{batch, gauge};
use crate::bundle::job_name;
use crate::diag::{Diags, Sources};
use crate::load;
use crate::pdf::{Carried, open_carried};
use crate::quantity::count;
use crate::quantity::date::Date;
use clap::Args;
use std::path::{Path, PathBuf};

/// Search a folder of reports, and the folders in it, for the jobs in which a
/// gauge, a limits revision or a part batch was used.
///
/// Of each report only the files that are needed are unpacked. Exit status 1
/// where one could not be read.
#[derive(Args)]
#[command(group = clap::ArgGroup::new("sought").required(true).args(["gauge", "limits", "batch"]))]
pub struct Recall {
    dir: PathBuf,
    /// A gauge, by its name in the jobs.
    #[arg(long, value_name = "ID")]
    gauge: Option<String>,
    /// Only uses of the gauge from this day on.
    #[arg(long, value_name = "DATE", value_parser = day, requires = "gauge")]
    since: Option<Date>,
    /// A revision of the limits document: `7`, or `'OM-4 7'`.
    #[arg(long, value_name = "REVISION")]
    limits: Option<String>,
    /// A batch or serial number of a part.
    #[arg(long, value_name = "NUMBER")]
    batch: Option<String>,
}

fn day(text: &str) -> Result<Date, String> {
    Date::read(text).ok_or_else(|| "year-month-day: 2026-03-02".to_owned())
}

/// What came of one file.
enum Found {
    /// Job, and where it was used.
    Uses(String, Vec<String>),
    /// No report of this program.
    Other,
    Unreadable(String),
}

fn fell() -> Found {
    Found::Unreadable("the search of it stopped".to_owned())
}

/// Whether a text holds another, small and capital letters alike.
fn holds(text: &str, sought: &str) -> bool {
    let sought = sought.as_bytes();
    sought.is_empty()
        || text.as_bytes().windows(sought.len()).any(|part| part.eq_ignore_ascii_case(sought))
}

impl Recall {
    pub fn run(&self) -> Outcome {
        self.search().unwrap_or_else(|outcome| outcome)
    }

    fn search(&self) -> Result<Outcome, Outcome> {
        let paths = disk::pdfs(&self.dir).map_err(|error| job::wrong(&error))?;
        let each = self.each(&paths);
        let (mut searched, mut used, mut other) = (0, 0, 0);
        let mut unreadable = Vec::new();
        for (path, found) in paths.iter().zip(each) {
            match found {
                Found::Uses(job, uses) => {
                    searched += 1;
                    if !uses.is_empty() {
                        used += 1;
                        line!("{}: {job}: {}", path.display(), uses.join("; "));
                    }
                }
                Found::Other => other += 1,
                Found::Unreadable(why) => unreadable.push((path, why)),
            }
        }
        for (path, why) in &unreadable {
            complain!("benchleaf: {}: cannot be read: {why}", path.display());
        }
        let others = match other {
            0 => String::new(),
            1 => ", 1 PDF file is no report".to_owned(),
            _ => format!(", {other} PDF files are no reports"),
        };
        line!(
            "{used} of {}; {} could not be read{others}",
            count(searched, "report"),
            unreadable.len()
        );
        Ok(if unreadable.is_empty() { Outcome::Done } else { Outcome::Exceptions })
    }

    /// What came of every file, in their order. Where the search of one fell it
    /// is as if it could not be read.
    fn each(&self, paths: &[PathBuf]) -> Vec<Found> {
        let found = jobs::shared(paths, |path| self.one(path));
        found.into_iter().map(|one| one.unwrap_or_else(fell)).collect()
    }

    fn one(&self, path: &Path) -> Found {
        let wanted: &[&str] = match &self.limits {
            Some(_) => &[load::JOB_FILE, load::LIMITS_FILE, load::ENGINE_FILE],
            None => &[load::JOB_FILE, load::READINGS_FILE],
        };
        let carried = match disk::report(path, Named::ByFolder) {
            Ok(bytes) => open_carried(&bytes, wanted).map_err(|error| error.to_string()),
            Err(error) => Err(error.to_string()),
        };
        match carried {
            Err(why) => Found::Unreadable(why),
            Ok(carried) if !carried.iter().any(|file| file.name == load::JOB_FILE) => Found::Other,
            Ok(carried) => self.uses(&carried),
        }
    }

    fn uses(&self, carried: &[Carried]) -> Found {
        let mut files = Sources::default();
        for file in carried {
            if file.checksum_fits == Some(false) {
                return Found::Unreadable(format!("{} is not as its digest says", file.name));
            }
            match std::str::from_utf8(&file.bytes) {
                Ok(text) => files.put(job_name(&file.name), text),
                Err(_) => return Found::Unreadable(format!("{} is not UTF-8 text", file.name)),
            }
        }
        let mut out = Diags::new();
        let named = load::job(&files, load::JOB_FILE, &mut out);
        let uses = self.uses_in(&files, &mut out);
        match (named, uses) {
            (Some(job), Some(uses)) => {
                Found::Uses(format!("job {}, engine serial {}", job.work_order, job.serial), uses)
            }
            _ => {
                let first = out.plain(&files).into_iter().next();
                Found::Unreadable(first.unwrap_or_else(|| "its files are faulty".to_owned()))
            }
        }
    }

    fn uses_in(&self, files: &Sources, out: &mut Diags) -> Option<Vec<String>> {
        if let Some(revision) = &self.limits {
            let engine = load::engine(files, load::ENGINE_FILE, out)?;
            let limits = load::limits(files, load::LIMITS_FILE, Some(&engine), out)?;
            let document = &limits.document;
            let whole = format!("{} {}", document.number, document.revision);
            let same = *revision == whole || revision == document.revision.as_str();
            return Some(if same {
                vec![format!("{} {}", document.title, whole)]
            } else {
                Vec::new()
            });
        }
        // A draft may have been made before anything was typed.
        let Some(text) = files.get(load::READINGS_FILE) else { return Some(Vec::new()) };
        // What is nowhere in a transcription needs no reading.
        let sought = self.gauge.as_ref().or(self.batch.as_ref());
        if sought.is_some_and(|sought| !holds(text, sought.trim())) {
            return Some(Vec::new());
        }
        let record = load::readings(files, load::READINGS_FILE, None, None, out)?;
        Some(match (&self.gauge, &self.batch) {
            (Some(id), _) => gauge(&record, id, self.since),
            (_, Some(number)) => batch(&record, number),
            _ => Vec::new(),
        })
    }
}
