//! Everywhere that a person looks, for `effect.rs`. An engine file and the forms
//! serve many jobs: what this one has no use for is tried on records that do.

use super::effect::{Change, changes};
use super::everything;
use crate::record::Job;
use benchleaf::analysis::set_aside;
use benchleaf::analysis::wear::{self, wear};
use benchleaf::diag::{Diags, Sources};
use benchleaf::judge::{proof, revised};
use benchleaf::load;
use benchleaf::model::Case;
use benchleaf::model::form::Content;
use benchleaf::model::text::Text;
use benchleaf::pages::worksheet::lay_sheets;
use benchleaf::record;
use benchleaf::record::{Judged, ready};
use benchleaf::report::Originals;
use benchleaf::report::sections::{ReportInput, report};
use benchleaf::sheet::second::second;
use benchleaf::sheet::{SheetSet, expand, tags};
use std::collections::BTreeSet;

/// A job as far as it can be read.
struct Read {
    messages: Vec<String>,
    job: Option<(Case, SheetSet, Judged)>,
}

impl Read {
    fn of(files: &Sources) -> Read {
        let mut out = Diags::new();
        let case = load::case(files, &mut out);
        if let Some(case) = &case {
            out.append(proof(&case.limits, &case.engine));
        }
        let set = case.as_ref().and_then(|case| expand(case, &mut out));
        let judged = match (&case, &set) {
            (Some(case), Some(set)) => record::judge(case, set, &mut out),
            _ => None,
        };
        let job = case.zip(set).zip(judged).map(|((case, set), judged)| (case, set, judged));
        Read { messages: out.plain(files), job }
    }

    /// Messages, verdicts, the report and the set's number.
    fn first(&self) -> String {
        let mut text = format!("{:?}", self.messages);
        if let Some((case, set, judged)) = &self.job {
            text.push_str(&set.number);
            let told = told(case, set, judged);
            text.push_str(&benchleaf::report::json(&told).expect("figures and words"));
            text.push_str(&format!("{:?}", report(&told, false)));
        }
        text
    }

    /// The sheets as printed, tags, parts set aside, second stage, what was revised in limits and
    /// what has worn since the other job, and the report of a job that names it.
    fn further(&self, earlier: &Read) -> String {
        let Some((case, set, judged)) = &self.job else { return String::new() };
        let laid = lay_sheets(set, None, &mut Diags::new());
        let letters: Vec<String> = set.sheets.iter().map(|sheet| sheet.letter.clone()).collect();
        let ready = ready(case, set, Some(&letters));
        let second = second(case, set, &ready.rows);
        let history = earlier.job.as_ref().map(|(case_then, set_then, judged_then)| {
            let then = wear::Job { case: case_then, set: set_then, judged: judged_then };
            wear(then, wear::Job { case, set, judged })
        });
        let all = ReportInput {
            history: history.as_ref().and_then(|history| history.as_ref().ok()),
            originals: Some(&Originals::default()),
            ..told(case, set, judged)
        };
        let pages = laid.map(|(document, _)| document);
        let report = report(&all, false);
        let against = earlier.job.as_ref().map(|(then, ..)| revised(&then.limits, &case.limits));
        let tags = tags(case, set);
        let aside = case.record.as_ref().map(|record| set_aside(case, set, record, judged));
        format!("{pages:?}{tags:?}{aside:?}{second:?}{history:?}{report:?}{against:?}")
    }
}

fn told<'a>(case: &'a Case, set: &'a SheetSet, judged: &'a Judged) -> ReportInput<'a> {
    static NOWHERE: std::sync::OnceLock<benchleaf::sheet::Pages> = std::sync::OnceLock::new();
    ReportInput {
        case,
        set,
        record: case.record.as_ref().expect("a transcription"),
        judged,
        pages: NOWHERE.get_or_init(Default::default),
        originals: None,
        history: None,
        arithmetic: true,
    }
}

/// A job with all that can be changed in it.
pub(super) struct Base {
    pub engine: &'static str,
    pub changes: Vec<(String, Change)>,
    files: Sources,
    plain: Read,
    first: String,
    further: String,
    /// What is added for each of the other records, with how it looks.
    others: Vec<(Other, String, String)>,
}

/// How the job's files are put otherwise.
enum Other {
    /// A record on which everything in the engine's table was done and every
    /// part was changed, taken warm and with every gauge.
    Worked(String),
    /// The parts changed, and no table that says what that reopens.
    Untabled(String),
    /// With every part, place, state and line that the forms name.
    Complete { engine: String, limits: String },
}

impl Other {
    fn of(&self, files: &Sources) -> Sources {
        let mut files = files.clone();
        let before = files.clone();
        let text = |name: &str| before.get(name).expect("a file of the job").to_string();
        match self {
            Other::Worked(more) => {
                let mut readings = text("readings.toml");
                for side in ["shaft", "bore", "read"] {
                    for space in [" ", "  "] {
                        let sign = format!("\n{side}{space}= {{ ");
                        let warm = format!("{sign}part-temp = 30, gauge-temp = 25, ");
                        readings = readings.replace(&sign, &warm);
                    }
                }
                files.put("readings.toml", readings + more);
                let first = text("engine.toml");
                let blocks: Vec<String> = files
                    .0
                    .iter()
                    .filter(|(name, _)| name.starts_with("forms/"))
                    .flat_map(|(_, text)| text.lines().filter(|line| line.starts_with("id ")))
                    .filter_map(|line| line.split('"').nth(1))
                    .map(|id| format!("\"block {id}\""))
                    .collect();
                let all = format!(
                    "{first}\n[reworks.every-block]\nname = \"every block\"\npart = \
                     \"crankcase\"\nreopens = [{}]\n",
                    blocks.join(", ")
                );
                files.put("engine.toml", all);
            }
            Other::Untabled(more) => {
                let engine = text("engine.toml");
                let end = engine.find("\n[reworks.").unwrap_or(engine.len());
                let readings = text("readings.toml");
                // What the record names of the table goes with it.
                let kept = readings.lines().filter(|line| !line.starts_with("rework "));
                let kept: Vec<&str> = kept.collect();
                files.put("engine.toml", &engine[..end + 1]);
                files.put("readings.toml", kept.join("\n") + more);
            }
            Other::Complete { engine, limits } => {
                files.put("engine.toml", text("engine.toml") + engine);
                files.put("limits.toml", text("limits.toml") + limits);
            }
        }
        files
    }
}

/// The demonstration with its transcription in the shortest form.
pub const SHORT: &str = "demo-short";

impl Base {
    pub fn of(engine: &'static str) -> Base {
        let job = match engine {
            "demo" => Job::last(),
            SHORT => Job::last().rewritten(),
            engine => Job::engine(engine),
        };
        let files = job.files().clone();
        let mut all = Vec::new();
        let own = |name: &str| engine != SHORT || name == "readings.toml";
        for (name, text) in files.0.iter().filter(|(name, _)| own(name)) {
            let of = changes(name, text).into_iter();
            all.extend(of.map(|change| (name.to_string(), change)));
        }
        let plain = Read::of(&files);
        let (case, ..) = plain.job.as_ref().unwrap_or_else(|| panic!("{:?}", plain.messages));
        let (worked, changed) = events(case, plain.job.as_ref().map(|(.., judged)| judged));
        let (engine_more, limits_more) = lacking(case);
        let others = [
            Other::Worked(worked),
            Other::Untabled(changed),
            Other::Complete { engine: engine_more, limits: limits_more },
        ];
        let others = others.map(|other| {
            let read = Read::of(&other.of(&files));
            assert!(read.job.is_some(), "{:?}", read.messages);
            let further = read.further(&plain);
            (other, read.first(), further)
        });
        let (first, further) = (plain.first(), plain.further(&plain));
        Base { engine, changes: all, first, further, others: others.into(), files, plain }
    }

    /// Whether a change is seen anywhere.
    pub fn shows(&self, name: &str, change: &Change) -> bool {
        let files = with(&self.files, name, change);
        let read = Read::of(&files);
        if read.first() != self.first {
            return true;
        }
        let others = self.others.iter();
        let others: Vec<_> = others.map(|(other, ..)| Read::of(&other.of(&files))).collect();
        let told =
            others.iter().zip(&self.others).any(|(read, (_, first, _))| read.first() != *first);
        // Pages take longest.
        told || read.further(&self.plain) != self.further
            || others
                .iter()
                .zip(&self.others)
                .any(|(read, (.., further))| read.further(&self.plain) != *further)
            || self.elsewhere(name, change)
    }

    /// On an engine that calls the part otherwise which a form names.
    fn elsewhere(&self, name: &str, change: &Change) -> bool {
        if !name.starts_with("forms/") {
            return false;
        }
        // On an engine with parts of every kind.
        if everything::sheets(&self.files) != everything::sheets(&with(&self.files, name, change)) {
            return true;
        }
        if !change.path.ends_with("part") {
            return false;
        }
        let old = self.files.get(name).expect("a form");
        let Some(part) = old[change.at.clone()].split('"').nth(1) else { return false };
        let renamed = |files: &Sources| {
            let mut files = files.clone();
            for name in ["engine.toml", "limits.toml", "readings.toml"] {
                let text = files.get(name).expect("a file of the job");
                let text = text.replace(&format!("\"{part}\""), &format!("\"made-{part}\""));
                let text = text.replace(&format!("parts.{part}]"), &format!("parts.made-{part}]"));
                files.put(name, text);
            }
            Read::of(&files)
        };
        let (before, after) = (renamed(&self.files), renamed(&with(&self.files, name, change)));
        before.first() != after.first() || before.further(&self.plain) != after.further(&self.plain)
    }
}

/// Every work of the engine's table and a change of every part, for the end of
/// a record; and the changes alone.
fn events(case: &Case, judged: Option<&Judged>) -> (String, String) {
    let by = &case.job.people.first().expect("somebody").initials;
    let rest = format!(
        "what = \"all\"\nnumber = \"1\"\nbatch = \"2\"\ndocument = \"3\"\ndata = \"4\"\nby = \
         \"{by}\"\non = 2026-12-01\n"
    );
    let event = |part: &str, why: &str, more: &str| {
        format!("[[change]]\npart = \"{part}\"\nwhy = \"{why}\"\n{more}{rest}")
    };
    let engine = &case.engine;
    let mut changed = String::from("\n");
    for part in &engine.parts {
        changed += &event(&part.id.text, "part changed", "");
    }
    let mut worked = changed.clone();
    for part in &engine.parts {
        if let Some(set) = part.at {
            let first = &engine.places[set].places[0].code;
            worked += &event(&part.id.text, "part changed", &format!("places = [\"{first}\"]\n"));
        }
    }
    for rework in engine.reworks.iter().filter(|rework| !rework.part_changed) {
        let id = format!("rework = \"{}\"\n", rework.id);
        worked += &event(&engine.parts[rework.part].id.text, "reworked", &id);
    }
    worked += &event("crankcase", "reworked", "rework = \"every-block\"\n");
    let gauges: Vec<String> = case.job.gauges.iter().map(|g| format!("\"{}\"", g.id)).collect();
    let mut rows = judged.expect("a job").rows.iter();
    let row = rows.find(|row| row.code.ends_with('1')).expect("a row");
    worked += &format!(
        "[[again]]\nrow = \"{}\"\nbox = \"{}\"\nread = [1.0000, 1.0000]\nwhy = \"measured \
         again\"\nby = \"{by}\"\non = 2026-12-02\ngauge = [{}]\n",
        row.code,
        row.steps.last().expect("a reading").sides[0].key,
        gauges.join(", ")
    );
    (worked, changed)
}

/// What forms name and this engine or its limits do not have, for the ends of
/// their files; and a line that no form names.
fn lacking(case: &Case) -> (String, String) {
    let (engine, limits) = (&case.engine, &case.limits);
    let named = Named::by(case);
    let mut more = String::from("\n");
    for part in named.parts.iter().filter(|part| engine.part(part).is_none()) {
        more += &format!("[parts.{part}]\n");
    }
    for set in named.places.iter().filter(|set| engine.place_set(set).is_none()) {
        more += &format!("[places.{set}]\ncodes = [\"1\"]\nnames = [\"one\"]\n");
    }
    for state in named.conditions.iter().filter(|state| engine.condition(state).is_none()) {
        more += &format!("[conditions.{state}]\nname = \"{state}\"\nsteps = [\"one\"]\n");
    }
    let line = |line: &str| {
        format!(
            "[[line]]\nref = \"{line}\"\nname = \"{line}\"\nkind = \"recorded\"\nlabels = \
             [\"A\"]\n"
        )
    };
    let lacks = |reference: &&&str| limits.line(reference).is_none();
    let lines: String = named.lines.iter().filter(lacks).map(|reference| line(reference)).collect();
    (more, format!("\n{lines}{}", line("QQQ")))
}

#[derive(Default)]
struct Named<'a> {
    parts: BTreeSet<&'a str>,
    places: BTreeSet<&'a str>,
    conditions: BTreeSet<&'a str>,
    lines: BTreeSet<&'a str>,
}

impl<'a> Named<'a> {
    fn by(case: &'a Case) -> Named<'a> {
        let mut named = Named::default();
        for form in &case.forms.forms {
            named.parts.extend(form.part.iter().map(Text::as_str));
            for block in &form.blocks {
                named.parts.extend(block.part.iter().chain(&block.of).map(Text::as_str));
                match &block.content {
                    Content::LookOver { at, .. }
                    | Content::Steps { at, .. }
                    | Content::Write { at, .. } => named.places.extend(at.iter().map(Text::as_str)),
                    Content::Condition { id } => named.conditions.extend([id.as_str()]),
                    Content::Measure { lines, .. } => {
                        named.lines.extend(lines.iter().map(Text::as_str));
                    }
                    Content::Renew { parts, .. } => {
                        named.parts.extend(parts.iter().flatten().map(Text::as_str));
                    }
                    Content::Rest { .. }
                    | Content::Table(_)
                    | Content::Caution { .. }
                    | Content::Note { .. } => {}
                }
            }
        }
        named
    }
}

fn with(files: &Sources, name: &str, change: &Change) -> Sources {
    let text = files.get(name).expect("a file of the job").to_string();
    let changed = format!("{}{}{}", &text[..change.at.start], change.to, &text[change.at.end..]);
    let mut files = files.clone();
    files.put(name, changed);
    files
}
