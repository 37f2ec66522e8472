//! A job to the bytes of its report.

use super::Outcome;
use super::job::{self, Job};
use crate::archive::{Attachment, Relationship, conform};
use crate::diag::Diags;
use crate::draw::draw;
use crate::model::record::Record;
use crate::page::font::Fonts;
use crate::page::report::lay_report;
use crate::report::sections::{Told, report};
use crate::report::{Judged, Status, json};

/// A report made.
pub struct Made {
    pub bytes: Vec<u8>,
    pub status: Status,
    pub pages: usize,
    pub judged: Judged,
    /// Exceptions in words.
    pub words: String,
}

/// Judges, writes the sections, lays them out and draws them, with the job's
/// files carried inside.
pub fn make(job: &Job, fonts: &Fonts, draft: bool) -> Result<Made, Outcome> {
    let (_, pages) = job.lay(None, fonts)?;
    let judged = job.judge()?;
    let blank = Record::blank(&job.set.number);
    let record = job.case.record.as_ref().unwrap_or(&blank);
    let told = Told { case: &job.case, set: &job.set, record, judged: &judged, pages: &pages };
    let report = report(&told, draft);
    let mut out = Diags::new();
    let document = lay_report(&report, fonts, &mut out);
    job::show(&out, &job.files);
    let document = document.filter(|_| out.faults() == 0).ok_or(Outcome::Wrong)?;
    let pdf = draw(&document, fonts).map_err(|error| job::wrong(&error))?;
    let verdicts = json(&told).map_err(|error| job::wrong(&error))?;
    let carried = carried(job, verdicts);
    let bytes = conform(pdf, &document, &carried).map_err(|error| job::wrong(&error))?;
    Ok(Made {
        bytes,
        status: report.status,
        pages: document.pages.len(),
        words: super::check::in_words(&told, false),
        judged,
    })
}

/// The files that the report was worked out from, and its verdicts. Folders
/// become part of the name: a reader's attachment list knows none.
fn carried(job: &Job, verdicts: String) -> Vec<Attachment> {
    let files = job.files.0.iter().map(|(name, text)| Attachment {
        name: name.replace('/', "__"),
        bytes: text.as_bytes().to_vec(),
        mime: "application/toml".to_owned(),
        relationship: Relationship::Source,
        description: describe(name),
    });
    let mut carried: Vec<Attachment> = files.collect();
    carried.push(Attachment {
        name: "verdicts.json".to_owned(),
        bytes: verdicts.into_bytes(),
        mime: "application/json".to_owned(),
        relationship: Relationship::Data,
        description: "every verdict of this report, for machines".to_owned(),
    });
    carried
}

fn describe(name: &str) -> String {
    match name {
        "engine.toml" => "the engine".to_owned(),
        "limits.toml" => "the limits used".to_owned(),
        "job.toml" => "the job: people, gauges, scope".to_owned(),
        "readings.toml" => "the transcription of the sheets".to_owned(),
        form => format!("a form used: {form}"),
    }
}
