//! The files of a job to its case and sheets, and to its judged record.

use crate::diag::{Diags, Sources, Span};
use crate::load;
use crate::model::Case;
use crate::model::record::Record;
use crate::pages::worksheet::pages;
use crate::record::{Judged, judge};
use crate::scan::Scan;
use crate::sheet::{Pages, SheetSet, expand};

/// Reads the files and expands their sheets. `None` with the faults in `out`.
pub fn read(files: &Sources, out: &mut Diags) -> Option<(Case, SheetSet)> {
    let blank = load::blank(files, out);
    let set = blank.case().and_then(|case| expand(case, out));
    let read = blank.typed(files, out)?;
    (out.faults() == 0).then_some((read, set?))
}

/// Judges the record, and tells where everything is printed: see [`printed`].
/// `None` with the faults in `out`.
pub fn judged(
    case: &Case,
    set: &SheetSet,
    scans: &[Scan],
    out: &mut Diags,
) -> Option<(Judged, Pages)> {
    let judged = judge(case, set, out);
    let pages = match &case.record {
        Some(record) => printed(set, record, scans, out),
        None => pages(set, out),
    };
    Some((judged?, pages?))
}

/// Where everything is printed: as the transcription keeps it, or else as it is
/// laid out now. Where `scans` are counted page by page the transcription is not
/// taken at its word. `None` with the faults in `out`.
pub fn printed(set: &SheetSet, record: &Record, scans: &[Scan], out: &mut Diags) -> Option<Pages> {
    let kept = Pages::kept(set, record, out);
    let kept = kept.filter(|kept| scans.is_empty() || is_a_print(kept, set, &record.set.at, out));
    kept.or_else(|| pages(set, out))
}

/// Whether the sheets are laid out so on one of the papers. A page taken off its
/// list would else be one that nobody misses.
fn is_a_print(kept: &Pages, set: &SheetSet, at: &Span, out: &mut Diags) -> bool {
    let own = set.head.paper;
    let papers = [own, own.other()].into_iter();
    let found = papers.map(|paper| {
        let mut set = set.clone();
        set.head.paper = paper;
        pages(&set, &mut Diags::new())
    });
    let is = found.flatten().any(|laid| laid == *kept);
    if !is {
        let message = format!(
            "no print on {own} or {} has the pages that are kept under the sheets",
            own.other()
        );
        let help =
            "take the lines pages = out; the scans are held against the pages worked out anew";
        out.note(at, message, help);
    }
    is
}
