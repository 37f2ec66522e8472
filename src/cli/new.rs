//! `benchleaf new`: opens a job folder.

use super::like::Like;
use super::outcome::Outcome;
use super::plain::{self, Named, entries};
use super::say::line;
use super::unusable::Unusable;
use super::{aside, built_in, disk, job};
use crate::model::job::Paper;
use clap::{Args, ValueEnum};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Open a job folder from an engine file and a limits file.
///
/// The folder gets copies of both, the standard forms, and a job.toml to fill
/// in. Nothing that is there already is touched.
#[derive(Args)]
pub struct New {
    /// The folder to open; it must be empty or not exist.
    dir: PathBuf,
    /// The engine file; a commented example to write over where none is given.
    #[arg(long, value_name = "FILE", requires = "limits")]
    engine: Option<PathBuf>,
    /// The limits file; a commented example where none is given.
    #[arg(long, value_name = "FILE", requires = "engine")]
    limits: Option<PathBuf>,
    #[command(flatten)]
    like: Like,
    /// A folder of the shop's own forms.
    ///
    /// Each takes the place of the standard form of the same file name, or is
    /// added; an empty file leaves that form out.
    #[arg(long, value_name = "DIR", env = "BENCHLEAF_FORMS")]
    forms: Option<PathBuf>,
    /// A job.toml to begin with, for shops that keep their people and gauges
    /// in one.
    ///
    /// It is copied as it stands: what the options below would say is to be
    /// written in it.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["work_order", "serial", "scope", "paper"])]
    job: Option<PathBuf>,
    #[arg(long, value_name = "NUMBER", default_value = "")]
    work_order: String,
    /// The engine's serial number.
    #[arg(long, value_name = "NUMBER", default_value = "")]
    serial: String,
    /// Which limits the engine is overhauled to.
    #[arg(long, value_enum, default_value_t = ScopeWord::Service)]
    scope: ScopeWord,
    #[arg(long, value_parser = super::sheets::paper, value_name = "A4|Letter", default_value = "A4")]
    paper: Paper,
}

#[derive(Clone, Copy, ValueEnum)]
enum ScopeWord {
    New,
    Service,
}

impl New {
    pub fn run(&self) -> Outcome {
        match self.open() {
            Ok(()) => Outcome::Done,
            Err(error) => job::wrong(&error),
        }
    }

    fn open(&self) -> Result<(), Unusable> {
        empty(&self.dir)?;
        let (engine, limits) = self.engine_and_limits()?;
        let given = self.job.as_deref().map(|path| disk::text(path, Named::ByHand)).transpose()?;
        let job = given.map_or_else(|| self.job_toml(), |text| text.to_string());
        let forms = forms(self.forms.as_deref())?;
        write_folder(
            &self.dir,
            &[("engine.toml", &engine), ("limits.toml", &limits), ("job.toml", &job)],
            &forms,
        )?;
        line!(
            "{}: opened. Fill in the three files, proof-read with `benchleaf limits {}`, print with `benchleaf sheets {}`.",
            self.dir.display(),
            self.dir.join("limits.toml").display(),
            self.dir.display()
        );
        Ok(())
    }

    /// Those of a family, those that were given, or commented examples.
    fn engine_and_limits(&self) -> Result<(Arc<str>, Arc<str>), Unusable> {
        match self.like.files() {
            Some(Ok(files)) => Ok((files.engine.into(), files.limits.into())),
            Some(Err(why)) => Err(Unusable::new(&self.dir, why)),
            None => Ok((
                given(self.engine.as_deref(), "new-engine.toml")?,
                given(self.limits.as_deref(), "new-limits.toml")?,
            )),
        }
    }

    fn job_toml(&self) -> String {
        let scope = match self.scope {
            ScopeWord::New => "new",
            ScopeWord::Service => "service",
        };
        let paper = self.paper.to_string();
        let quoted = |text: &str| text.replace('\\', "\\\\").replace('"', "\\\"");
        BLANK_JOB
            .replace("@work-order@", &quoted(&self.work_order))
            .replace("@serial@", &quoted(&self.serial))
            .replace("@scope@", scope)
            .replace("@paper@", &paper)
    }
}

/// The file that was given, or the commented example of it.
fn given(path: Option<&Path>, example: &str) -> Result<Arc<str>, Unusable> {
    match (path, built_in::limits(example)) {
        (Some(path), _) => disk::text(path, Named::ByHand),
        (None, Some(text)) => Ok(text.into()),
        (None, None) => Err(Unusable::new(Path::new(example), "is not carried in the program")),
    }
}

/// The engine, limits and job, and the forms below `forms/`; all of them or none.
pub fn write_folder(
    dir: &Path,
    files: &[(&str, &str)],
    forms: &[(String, String)],
) -> Result<(), Unusable> {
    aside::folder(dir, |dir| {
        for (name, text) in files {
            disk::create(&dir.join(name), text.as_bytes())?;
        }
        for (name, text) in forms {
            disk::create(&dir.join("forms").join(name), text.as_bytes())?;
        }
        Ok(())
    })
}

/// A folder that holds something is not written into.
pub fn empty(dir: &Path) -> Result<(), Unusable> {
    match fs::read_dir(dir) {
        Ok(mut entries) => match entries.next() {
            Some(_) => Err(Unusable::new(dir, "is not empty; name a new folder")),
            None => Ok(()),
        },
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(()),
        Err(error) => Err(Unusable::new(dir, error.to_string())),
    }
}

/// The standard forms and how to change them, those of the shop in their place.
fn forms(own: Option<&Path>) -> Result<Vec<(String, String)>, Unusable> {
    let standard = built_in::forms().into_iter().chain(built_in::forms_read_me());
    let mut forms: BTreeMap<String, String> =
        standard.map(|(name, text)| (name.to_owned(), text.to_owned())).collect();
    let Some(dir) = own else { return Ok(forms.into_iter().collect()) };
    for path in entries(dir, Named::ByHand)?.unwrap_or_default() {
        let name = plain::name(&path)?.to_owned();
        if name.ends_with(".toml") || name == built_in::READ_ME {
            forms.insert(name, disk::text(&path, Named::ByFolder)?.to_string());
        }
    }
    Ok(forms.into_iter().filter(|(_, text)| !text.trim().is_empty()).collect())
}

/// A job to fill in: everything that the program asks for, with a word each.
const BLANK_JOB: &str = r#"# The job: whose engine, which scope, who works on it and with what.

[job]
work-order    = "@work-order@"
engine-serial = "@serial@"
# hours       = "1,200 h since new"   # and, where it is known, ", 420 h since overhaul"
# opened      = 2026-01-31    # year-month-day
scope         = "@scope@"     # new or service limits
rule          = "simple"      # simple acceptance, or guarded: limits drawn in by the uncertainty
second-person = true          # false in a one-person shop: the report then says so
paper         = "@paper@"     # A4 or Letter
# owner       = ""

[shop]
name          = "write the shop's name"
# certificate = ""
# address     = ""

# Everyone who writes initials on a sheet.
# [people.AB]
# name        = ""
# role        = "mechanic"    # mechanic, inspector or quality
# certificate = ""

# Every gauge that a sheet will name.
# [gauges.MIC-2]
# name        = "outside micrometer 1 to 2"
# serial      = ""
# range       = [1.0000, 2.0000]
# resolution  = 0.0001
# uncertainty = 0.0001        # expanded, k = 2, from its calibration
# due         = 2026-12-31
# transfer    = true          # only for a telescoping gauge, which holds a size for a micrometer

# The feeler leaves that the shop has, as engraved; where one was measured,
# both: [0.006, 0.0061].
[feelers]
leaves = []
"#;
