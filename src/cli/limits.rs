//! `benchleaf limits`: proof-reads limits files, and takes them from a table.

use super::outcome::Outcome;
use super::plain::Named;
use super::say::say;
use super::unusable::Unusable;
use super::{aside, disk, job, revised, spreadsheet, tree};
use crate::diag::{Diags, Sources};
use crate::judge::{Context, Range, check, proof};
use crate::load;
use crate::model::engine::Engine;
use crate::model::job::{Rule, Scope};
use crate::model::limits::{Gauges, Limits as Table, Line};
use crate::model::side::Side;
use crate::quantity::{Exact, count};
use clap::{ArgGroup, Args};
use std::fmt::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Proof-read limits files, and show the allowable ranges worked out.
///
/// An arrow, 49.945 → 49.950, leads from the size that the fit would allow to
/// the wear limit, which is nearer. A size cannot be stated where the mate has
/// no wear limit.
#[derive(Args)]
#[command(group(ArgGroup::new("tables").args(["from", "table"])))]
pub struct Limits {
    /// Limits files, each beside the engine.toml it belongs to.
    #[arg(required_unless_present = "from", value_name = "FILE")]
    files: Vec<PathBuf>,
    /// The engine file, where it is not beside the limits.
    #[arg(long, value_name = "FILE")]
    engine: Option<PathBuf>,
    /// Work the ranges out to new limits, not to service limits.
    #[arg(long)]
    new: bool,
    /// An earlier revision of the same file: what differs is told in words, in
    /// place of the ranges.
    #[arg(long, value_name = "OLD")]
    against: Option<PathBuf>,
    /// With --against: which verdicts of this job would change.
    #[arg(long, value_name = "JOB", requires = "against")]
    job: Option<PathBuf>,
    /// Job folders in place of files: each sheet with the parts, the lines and
    /// their features that stand on it, and what stands on none.
    #[arg(long, conflicts_with_all = ["engine", "new", "against", "quiet"])]
    tree: bool,
    /// Faults and notes only, no ranges.
    #[arg(long)]
    quiet: bool,
    /// Write the limits file that a spreadsheet's table (CSV) is; its engine.toml
    /// may lie beside it.
    #[arg(long, value_name = "TABLE", conflicts_with_all = ["files", "new", "against", "quiet"])]
    from: Option<PathBuf>,
    /// Write a limits file as a table (CSV).
    #[arg(long, conflicts_with_all = ["new", "against", "engine", "quiet"])]
    table: bool,
    /// With --from or --table: a new file to write to, not the standard output.
    #[arg(long, short, value_name = "FILE", requires = "tables")]
    out: Option<PathBuf>,
}

impl Limits {
    pub fn run(&self) -> Outcome {
        if let Some(from) = &self.from {
            return done(spreadsheet::from(from, self.engine.as_deref(), self.out.as_deref()));
        }
        if self.table {
            return match &self.files[..] {
                [file] => done(spreadsheet::to(file, self.out.as_deref())),
                _ => job::wrong(&"--table is of one limits file; name one"),
            };
        }
        let each = self.files.iter().map(|file| self.one(file).unwrap_or_else(|outcome| outcome));
        each.max().unwrap_or(Outcome::Done)
    }

    fn one(&self, file: &Path) -> Result<Outcome, Outcome> {
        if self.tree {
            return tree::tell(if file.is_file() { aside::parent(file) } else { file });
        }
        let (limits, engine, outcome) = self.read(file)?;
        if let (Some(older), Outcome::Done) = (&self.against, outcome) {
            let (old, _, _) = self.read(older)?;
            return revised::tell((older, &old), (file, &limits), self.job.as_deref());
        }
        if !self.quiet {
            say(&self.ranges(&limits, &engine));
        }
        Ok(outcome)
    }

    /// The file proof-read, with its engine. Every fault found is printed.
    fn read(&self, file: &Path) -> Result<(Table, Engine, Outcome), Outcome> {
        if file.is_dir() {
            let inside = file.join("limits.toml");
            let why = format!("is a folder; name the limits file in it: {}", inside.display());
            return Err(job::wrong(&Unusable::new(file, why)));
        }
        let beside = file.with_file_name("engine.toml");
        if self.engine.is_none() && file.exists() && !beside.exists() {
            let why = "no such file beside the limits; name the engine's with --engine";
            return Err(job::wrong(&Unusable::new(&beside, why)));
        }
        let (engine_file, named) = match &self.engine {
            Some(engine) => (engine.as_path(), Named::ByHand),
            None => (beside.as_path(), Named::ByFolder),
        };
        let mut files = Sources::default();
        let engine_name: Arc<str> = engine_file.display().to_string().into();
        let limits_name: Arc<str> = file.display().to_string().into();
        files.put(engine_name.clone(), disk::text(engine_file, named).map_err(|e| job::wrong(&e))?);
        files
            .put(limits_name.clone(), disk::text(file, Named::ByHand).map_err(|e| job::wrong(&e))?);
        let kinds = disk::kinds_beside(file).map_err(|error| job::wrong(&error))?;
        kinds.into_iter().for_each(|kinds| files.put(load::KINDS_FILE, kinds));
        // In a job's folder its groups and ways are known too.
        let has_forms = aside::parent(file).join("forms").is_dir();
        if has_forms {
            let job = disk::job(aside::parent(file)).map_err(|error| job::wrong(&error))?;
            let of_forms = job.0.iter().filter(|(name, _)| name.starts_with("forms/"));
            of_forms.for_each(|(name, text)| files.put(name.clone(), text.clone()));
        }
        let mut out = Diags::new();
        let read = load::engine(&files, &engine_name, &mut out).and_then(|engine| {
            Some((load::limits(&files, &limits_name, Some(&engine), &mut out)?, engine))
        });
        if let Some((limits, engine)) = &read {
            out.append(proof(limits, engine));
            if has_forms {
                load::forms(&files, engine, limits, &mut out);
            }
        }
        job::show(&out, &files);
        let Some((limits, engine)) = read else { return Err(Outcome::Wrong) };
        let outcome = if out.faults() > 0 { Outcome::Wrong } else { Outcome::Done };
        Ok((limits, engine, outcome))
    }

    fn ranges(&self, limits: &Table, engine: &Engine) -> String {
        let cx = Context {
            engine,
            limits,
            scope: if self.new { Scope::New } else { Scope::Service },
            rule: Rule::Simple,
            leaves: &[],
            gauges: &[],
            place: None,
        };
        let document = &limits.document;
        let mut text = format!(
            "{} {} revision {}, {}, {}, {}\n",
            document.title,
            document.number,
            document.revision,
            count(limits.typed_lines().count(), "line"),
            document.unit.word(),
            count(usize::from(document.places), "decimal")
        );
        limits.lines.iter().for_each(|line| self::line(line, &cx, &mut text));
        text
    }
}

fn done(written: Result<(), Outcome>) -> Outcome {
    written.map_or_else(|outcome| outcome, |()| Outcome::Done)
}

fn line(line: &Line, cx: &Context, text: &mut String) {
    let limits = check(line).limits(cx);
    let published = line.published.as_ref().map(|number| format!(" (published as {number})"));
    let published = published.unwrap_or_default();
    let (reference, name) = (&line.reference, &line.name);
    let _ = writeln!(text, "\n{reference} {name}{published}: {}", limits.words);
    let _ = writeln!(text, "  {}", said(line, cx.engine));
    rows(line, limits.ranges, text);
    for (name, ranges) in limits.graded {
        let _ = writeln!(text, "  grade {name}");
        rows(line, ranges, text);
    }
}

/// What a line is, and where and how it is read, whoever says it.
fn said(line: &Line, engine: &Engine) -> String {
    let mut said = line.kind_word().to_owned();
    let part = line.part().map(|part| engine.parts[part].name.as_str());
    said.extend(part.map(|part| format!(" of {part}")));
    let rows = count(line.row_codes(engine).len(), "row");
    match line.place_set(engine) {
        Some(set) => said += &format!(", at {}: {rows}", engine.places[set].id),
        None => said += &format!(": {rows}"),
    }
    said.extend(line.way.as_ref().map(|way| format!("; way {way}")));
    if let Gauges::Needed(Some(with)) = line.gauges() {
        said += &format!("; read with {with}");
    }
    said
}

fn rows(line: &Line, ranges: Vec<Range>, text: &mut String) {
    if line.fit().is_some() {
        // A shaft wears toward its floor, a bore toward its ceiling.
        let (worn, other): (Vec<Range>, Vec<Range>) =
            ranges.into_iter().partition(|range| range.floor == (range.side == Side::Shaft));
        columns(["shaft, no smaller", "bore, no larger"], &worn, text);
        columns(["shaft, no larger", "bore, no smaller"], &other, text);
        return;
    }
    for word in words(&ranges) {
        let ends = ranges.iter().filter(|range| range.word == word).map(|range| {
            let word = if range.floor { "no less than" } else { "no more than" };
            format!("{word} {}", shown(range.unclipped, range.at))
        });
        let _ = writeln!(text, "  {word:<34}{}", ends.collect::<Vec<_>>().join(", "));
    }
}

fn words(ranges: &[Range]) -> Vec<&'static str> {
    let mut words: Vec<&str> = Vec::new();
    for range in ranges {
        if !words.contains(&range.word) {
            words.push(range.word);
        }
    }
    words
}

/// The rows of one side of a fit, shaft and bore beside one another.
fn columns(heads: [&str; 2], ranges: &[Range], text: &mut String) {
    let _ = writeln!(text, "  {:<34}{:>22}{:>22}", "", heads[0], heads[1]);
    for word in words(ranges) {
        let of = |side: Side| {
            let row = ranges.iter().find(|range| range.word == word && range.side == side);
            row.map_or_else(String::new, |range| shown(range.unclipped, range.at))
        };
        let _ = writeln!(text, "  {word:<34}{:>22}{:>22}", of(Side::Shaft), of(Side::Bore));
    }
}

/// `1.3710 → 1.3715` where the wear limit clips it.
fn shown(unclipped: Option<Exact>, at: Option<Exact>) -> String {
    match (unclipped, at) {
        (Some(unclipped), Some(at)) if unclipped != at => format!("{unclipped} → {at}"),
        (_, Some(at)) => at.to_string(),
        _ => "cannot be stated".to_owned(),
    }
}
