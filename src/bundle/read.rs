//! The files of a job to its case and sheets, and to its judged record.

use crate::diag::{Diags, Sources};
use crate::load;
use crate::model::Case;
use crate::pages::worksheet::pages;
use crate::record::{Judged, judge};
use crate::sheet::{Pages, SheetSet, expand};

/// Reads the files and expands their sheets. `None` with the faults in `out`.
pub fn read(files: &Sources, out: &mut Diags) -> Option<(Case, SheetSet)> {
    let blank = load::blank(files, out);
    let set = blank.case().and_then(|case| expand(case, out));
    let read = blank.typed(files, out)?;
    (out.faults() == 0).then_some((read, set?))
}

/// Judges the record, and tells where everything is printed. `None` with the
/// faults in `out`.
pub fn judged(case: &Case, set: &SheetSet, out: &mut Diags) -> Option<(Judged, Pages)> {
    let judged = judge(case, set, out);
    let kept = case.record.as_ref().and_then(|record| Pages::kept(set, record, out));
    let pages = kept.or_else(|| pages(set, out));
    Some((judged?, pages?))
}
