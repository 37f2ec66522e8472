//! `benchleaf take`: sheets that were filled in on a screen, to a transcription.

use super::outcome::Outcome;
use super::plain::Named;
use super::say::{complain, line};
use super::typed::typed as read;
use super::{compare, disk, job};
use crate::layout::mark::{Document, Entry, Mark};
use crate::load;
use crate::pages::worksheet::{lay_fields, lay_remarks_fields};
use crate::pdf::typed_in;
use crate::quantity::count;
use crate::record::{TypedIn, taken};
use crate::sheet::fields::{NUMBER, PageOf};
use crate::sheet::{Pages, SheetSet, typed};
use clap::Args;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Take what was typed into a set with fields (sheets --fill) as a transcription.
///
/// Several files are taken together: sheets that different people filled in, and
/// further pages (sheets --fill --remarks). The fields' values alone are read,
/// never what is drawn. A transcription that exists is never written to: what
/// differs from it is listed box by box, and --into names a new one. Half-filled
/// is fine. Exit status 1 where anything differs.
#[derive(Args)]
pub struct Take {
    /// The job folder.
    #[arg(value_name = "JOB")]
    job: PathBuf,
    /// The filled sheets.
    #[arg(value_name = "PDF", required = true)]
    filled: Vec<PathBuf>,
    /// The transcription to write; readings.toml in the job folder unless told.
    #[arg(long, value_name = "FILE")]
    into: Option<PathBuf>,
}

/// Fields that are missing or unknown named for one file at most.
const SOME: usize = 12;

impl Take {
    pub fn run(&self) -> Outcome {
        self.take().unwrap_or_else(|outcome| outcome)
    }

    fn take(&self) -> Result<Outcome, Outcome> {
        let mut files = disk::job(&self.job).map_err(|error| job::wrong(&error))?;
        files.0.remove(load::READINGS_FILE);
        let mut job = job::read(files)?;
        let mut taking = Taking::default();
        let mut wrong = false;
        for path in &self.filled {
            wrong |= taking.file(&mut job, path).is_err();
        }
        if wrong {
            return Err(Outcome::Wrong);
        }
        let Taking { typed: mut filled, values, letters, pages } = taking;
        filled.values = values.into_iter().map(|(name, (value, _))| (name, value)).collect();
        let pages = match pages {
            Some(pages) => pages,
            None => job.told(|out| lay_fields(&job.set, Some(&letters), out))?.1,
        };
        let of = (&job.set, &job.case.engine);
        let record = job.told(|out| taken(of, &pages, &letters, &filled, out))?;
        let text = typed(&job.set, &pages, &record);
        let into = self.into.clone().unwrap_or_else(|| self.job.join(load::READINGS_FILE));
        if disk::create(&into, text.as_bytes()).map_err(|error| job::wrong(&error))? {
            let (filled, all) = self::filled(&filled.values);
            line!("{}: {filled} of {} filled", into.display(), count(all, "field"));
            return Ok(Outcome::Done);
        }
        let there = read(&into, &mut job)?;
        let found = job.told(|out| {
            let both = (&there, &record);
            crate::analysis::compare::compare(&job.case, &job.set, both, &pages, out)
        })?;
        let names: Vec<String> =
            self.filled.iter().map(|path| path.display().to_string()).collect();
        line!("A {}: is there already, left as it is", into.display());
        line!("B {}", names.join(", "));
        compare::tell(&found);
        if found.differences.is_empty() {
            return Ok(Outcome::Done);
        }
        line!("to write what B holds: --into and the name of a new file");
        Ok(Outcome::Exceptions)
    }
}

/// What the files hold together.
#[derive(Default)]
struct Taking {
    typed: TypedIn,
    /// Each value, and the file that it is from.
    values: BTreeMap<String, (String, String)>,
    letters: Vec<String>,
    /// Where everything is printed, on the paper of the first file with pages of
    /// the set.
    pages: Option<Pages>,
}

impl Taking {
    /// Adds one file, all that is wrong with it told.
    fn file(&mut self, job: &mut job::Job, path: &Path) -> Result<(), Outcome> {
        let bytes = disk::report(path, Named::ByHand).map_err(|error| job::wrong(&error))?;
        let values = typed_in(&bytes)
            .map_err(|error| job::wrong(&format!("{}: {error}", path.display())))?;
        let letters = letters(path, &job.set, &values)?;
        let asked = fits(path, job, &letters, &values)?;
        let complain = |why: &str| complain!("benchleaf: {}: {why}", path.display());
        let mut wrong = Ok(());
        for (name, (entry, page)) in asked.fields {
            let value = values.get(&name).cloned().unwrap_or_default();
            if let Some(why) = unfit(&entry, &value) {
                complain(&format!("page {page}, {name} holds `{value}`: {why}"));
                self.typed.wrong.insert(name.clone());
            }
            match self.values.get(&name).filter(|(there, _)| !there.is_empty()) {
                Some((there, first)) if !value.is_empty() && *there != value => {
                    complain(&format!(
                        "page {page}, {name} holds `{value}`, and `{there}` in {first}"
                    ));
                    wrong = Err(Outcome::Wrong);
                }
                Some(_) => {}
                None => {
                    self.values.insert(name.clone(), (value, path.display().to_string()));
                }
            }
            self.typed.pages.insert(name, page);
        }
        for letter in letters {
            if !self.letters.contains(&letter) {
                self.letters.push(letter);
            }
        }
        if self.pages.is_none() {
            self.pages = asked.places;
        }
        wrong
    }
}

/// The sheets in a file, each of this set and as it is now.
fn letters(
    path: &Path,
    set: &SheetSet,
    values: &BTreeMap<String, String>,
) -> Result<Vec<String>, Outcome> {
    let refuse = |why: String| Err(job::wrong(&format!("{}: {why}", path.display())));
    match values.get(&format!("set.{NUMBER}")) {
        Some(number) if *number == set.number => {}
        Some(number) => {
            let why = format!("filled on set {number}, this job's is {}", set.number);
            return refuse(why);
        }
        None => return refuse(format!("no field set.{NUMBER}: not a set of sheets --fill")),
    }
    let mut letters = Vec::new();
    for (name, number) in values {
        let letter = name.strip_prefix("sheet ").and_then(|rest| rest.split_once('.'));
        let Some((letter, NUMBER)) = letter else { continue };
        match set.sheet(letter) {
            Some(sheet) if sheet.number == *number => letters.push(letter.to_owned()),
            Some(sheet) => {
                return refuse(format!(
                    "sheet {letter} is {number} there and {} in this job",
                    sheet.number
                ));
            }
            None => return refuse(format!("this set has no sheet {letter}")),
        }
    }
    match letters.is_empty() {
        true => refuse("no sheet is named in it".to_owned()),
        false => Ok(letters),
    }
}

/// What a file of those sheets is asked for.
struct Asked {
    /// Each field, and on which page it is printed.
    fields: BTreeMap<String, (Entry, String)>,
    /// Of pages of the set, where everything is; none for further pages.
    places: Option<Pages>,
}

impl Asked {
    fn of(document: &Document, places: Option<Pages>) -> Asked {
        let mut fields = BTreeMap::new();
        for page in &document.pages {
            let label = match places {
                Some(_) => page.label.clone(),
                None => format!("{} more", page.label),
            };
            for mark in &page.marks {
                if let Mark::Field { field, .. } = mark {
                    fields.insert(field.name.clone(), (field.entry.clone(), label.clone()));
                }
            }
        }
        Asked { fields, places }
    }
}

/// The most further pages of one sheet: no more are laid for a name that somebody
/// made up.
const MOST_FURTHER: usize = 40;

/// How often each sheet has further pages in a file; none in one of the set.
fn further(letters: &[String], values: &BTreeMap<String, String>) -> Vec<String> {
    let count = |letter: &String| {
        let prefix = format!("sheet {letter}.");
        let own = values.range(prefix.clone()..).take_while(|(name, _)| name.starts_with(&prefix));
        let page = |name: &str| match PageOf::read(name.split('.').nth(2)?)? {
            PageOf::Further(page) => Some(page),
            PageOf::Own(_) => None,
        };
        own.filter_map(|(name, _)| page(name)).max().unwrap_or_default().min(MOST_FURTHER)
    };
    let each = letters.iter().flat_map(|letter| vec![letter.clone(); count(letter)]);
    each.collect()
}

/// The fields of the file are those of its sheets, on either paper.
fn fits(
    path: &Path,
    job: &mut job::Job,
    letters: &[String],
    values: &BTreeMap<String, String>,
) -> Result<Asked, Outcome> {
    let own = job.set.head.paper;
    let more = further(letters, values);
    let mut nearest: Option<Vec<String>> = None;
    for paper in [own, own.other()] {
        job.set.head.paper = paper;
        let asked = match more.is_empty() {
            true => {
                let laid = job.told(|out| lay_fields(&job.set, Some(letters), out));
                laid.map(|(document, pages)| Asked::of(&document, Some(pages)))
            }
            false => {
                let laid = job.told(|out| lay_remarks_fields(&job.set, &more, out));
                laid.map(|document| Asked::of(&document, None))
            }
        };
        job.set.head.paper = own;
        let asked = asked?;
        let wrong = misfits(&asked, values);
        if wrong.is_empty() {
            return Ok(asked);
        }
        if nearest.as_ref().is_none_or(|nearest| wrong.len() < nearest.len()) {
            nearest = Some(wrong);
        }
    }
    let wrong = nearest.unwrap_or_default();
    for why in wrong.iter().take(SOME) {
        complain!("benchleaf: {}: {why}", path.display());
    }
    if wrong.len() > SOME {
        complain!("benchleaf: and {} more", wrong.len() - SOME);
    }
    Err(Outcome::Wrong)
}

/// How many fields are filled in, and how many there are to fill in: the numbers of
/// the sheets are the program's.
fn filled(values: &BTreeMap<String, String>) -> (usize, usize) {
    let own = |name: &str| {
        let above = name.strip_suffix(NUMBER).and_then(|above| above.strip_suffix('.'));
        above.is_some_and(|above| above == "set" || above.starts_with("sheet "))
    };
    let asked = || values.iter().filter(|(name, _)| !own(name));
    (asked().filter(|(_, value)| !value.is_empty()).count(), asked().count())
}

/// What is missing, and what nobody asks for.
fn misfits(asked: &Asked, values: &BTreeMap<String, String>) -> Vec<String> {
    let missing = asked.fields.iter().filter(|(name, _)| !values.contains_key(*name));
    let missing =
        missing.map(|(name, (_, page))| format!("page {page}, the field {name} is missing"));
    let known = |name: &&String| !asked.fields.contains_key(*name);
    let unknown = values.keys().filter(known).map(|name| format!("no sheet has a field {name}"));
    missing.chain(unknown).collect()
}

/// Why a value has no room in its boxes.
fn unfit(entry: &Entry, value: &str) -> Option<String> {
    let (most, digits) = match entry {
        Entry::Cells(most) => (*most, true),
        Entry::Letter => (1, false),
        _ => return None,
    };
    let digit = |c: char| c.is_ascii_digit() || "+-\u{2212}".contains(c);
    if value.chars().count() > most {
        return Some(format!("{most} at most"));
    }
    (digits && !value.chars().all(digit)).then(|| "digits only".to_owned())
}
