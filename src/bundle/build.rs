//! A job's files to a report that is not yet signed.

use super::carried::{Earlier, carried};
use super::earlier;
use super::originals::matched;
use super::read::judged;
use crate::analysis::wear::Wear;
use crate::diag::{Diags, Sources};
use crate::layout::mark::Document;
use crate::model::Case;
use crate::model::job::Paper;
use crate::model::record::Record;
use crate::pages::report::{SignPlace, lay_report_with_signs};
use crate::pdf::document::draw;
use crate::pdf::{Pdf, Prepared, conform, prepare};
use crate::record::{Judged, Status};
use crate::report::compared::Compared;
use crate::report::sections::spoken::in_words;
use crate::report::sections::{ReportInput, report};
use crate::report::{Originals, json};
use crate::scan::{Scan, Scanned};
use crate::sheet::{Pages, SheetSet};

/// A report made, not yet signed.
#[derive(Debug)]
pub struct Built {
    pub bytes: Vec<u8>,
    pub status: Status,
    pub pages: usize,
    pub judged: Judged,
    pub verdicts: String,
    /// Exceptions in words.
    pub words: String,
    /// Where each person signs.
    pub places: Vec<SignPlace>,
    /// Where scans are carried.
    pub originals: Option<Originals>,
    /// Where the job names an earlier one.
    pub history: Option<Wear>,
}

/// How a report is to be made.
#[derive(Clone, Copy, Debug, Default)]
pub struct How<'a> {
    /// A draft, whatever the record holds.
    pub draft: bool,
    /// With the arithmetic of every row worked.
    pub arithmetic: bool,
    /// Instead of the job's own.
    pub paper: Option<Paper>,
    /// Scans of the filled sheets, to carry.
    pub originals: &'a [Scan],
    /// What they seem to say.
    pub compared: Option<&'a Compared>,
    /// The report that the job names as an earlier one.
    pub earlier: Option<&'a Earlier>,
}

/// Judges the record, writes the sections, lays them out, draws them, and
/// carries the job's files inside. `None` with the faults in `out`.
pub fn build(
    files: &Sources,
    (case, set): (&Case, &SheetSet),
    how: How<'_>,
    out: &mut Diags,
) -> Option<Built> {
    let (judged, pages) = judged(case, set, how.originals, out)?;
    let blank = Record::blank(&set.number);
    let record = case.record.as_ref().unwrap_or(&blank);
    let originals = originals(how, &pages, set, record);
    let originals = originals.as_ref();
    let history = earlier::history((case, set, &judged), how.earlier, out)?;
    let input = ReportInput {
        case,
        set,
        record,
        judged: &judged,
        pages: &pages,
        originals,
        history: history.as_ref(),
        arithmetic: how.arithmetic,
    };
    let earlier = how.earlier.filter(|_| history.is_some());
    let Drawn { status, document, places, pdf } = drawn(&input, how, out)?;
    let verdicts = json(&input).map_err(|error| out.fault_nowhere(error.to_string(), "")).ok()?;
    let carried = carried(files, &verdicts, how.originals, earlier);
    let carried: Vec<Prepared> = carried.into_iter().map(prepare).collect();
    let words = in_words(&input, false);
    let bytes = conform(pdf, &document, carried);
    let bytes = bytes.map_err(|error| out.fault_nowhere(error.to_string(), "")).ok()?;
    let (pages, originals) = (document.pages.len(), originals.cloned());
    Some(Built { bytes, status, pages, judged, verdicts, words, places, originals, history })
}

/// A report on its pages.
struct Drawn {
    status: Status,
    document: Document,
    places: Vec<SignPlace>,
    pdf: Pdf,
}

fn drawn(input: &ReportInput, how: How<'_>, out: &mut Diags) -> Option<Drawn> {
    let mut report = report(input, how.draft);
    if let Some(paper) = how.paper {
        report.head.paper = paper;
    }
    let (document, places) = lay_report_with_signs(&report, out)?;
    let pdf = draw(&document);
    let pdf = pdf.map_err(|error| out.fault_nowhere(error.to_string(), "")).ok()?;
    Some(Drawn { status: report.status, document, places, pdf })
}

/// Each page of the set with its scans; `None` where no scan is carried.
fn originals(how: How<'_>, pages: &Pages, set: &SheetSet, record: &Record) -> Option<Originals> {
    let scans = how.originals;
    let seen: Vec<Scanned> = scans.iter().flat_map(|scan| scan.pages.iter().cloned()).collect();
    let compared = how.compared.cloned();
    (!scans.is_empty())
        .then(|| Originals { compared, ..matched(&seen, pages, &set.number, record) })
}
