//! What a job shows against the earlier report that it names.

use super::carried::{EARLIER, Earlier, job_files};
use super::read::read;
use crate::analysis::wear::{Job, Wear, wear};
use crate::diag::Diags;
use crate::model::Case;
use crate::model::text::Text;
use crate::pdf::open;
use crate::record::{Judged, judge};
use crate::sheet::SheetSet;

/// The wear since the earlier job that the job names: nothing where it names
/// none, `None` with the fault in `out` where it cannot be told.
pub fn history(
    job: (&Case, &SheetSet, &Judged),
    earlier: Option<&Earlier>,
    out: &mut Diags,
) -> Option<Option<Wear>> {
    let Some(name) = &job.0.job.earlier else { return Some(None) };
    let Some(earlier) = earlier.filter(|earlier| named(name, earlier)) else {
        let help = format!("put it into {EARLIER}/ in the job folder, or take the line out");
        out.fault(&name.at, format!("the earlier report {name} is not there"), help);
        return None;
    };
    match since(earlier, job) {
        Ok(history) => Some(Some(history)),
        Err(why) => {
            let help = "a report of this program, of an earlier job of the same engine";
            out.fault(&name.at, format!("the earlier report {name}: {why}"), help);
            None
        }
    }
}

/// A job that names no earlier report carries none, whatever lies in its
/// folder.
fn named(name: &Text, earlier: &Earlier) -> bool {
    name.as_str() == earlier.name
}

/// The earlier report's own files, judged, against the job that names it.
fn since(
    earlier: &Earlier,
    (case, set, judged): (&Case, &SheetSet, &Judged),
) -> Result<Wear, String> {
    let opened = open(&earlier.bytes).map_err(|refusal| refusal.to_string())?;
    if let Some(bad) = opened.carried.iter().find(|file| file.checksum_fits == Some(false)) {
        return Err(format!("{} in it is not as its digest says", bad.name));
    }
    let files = job_files(&opened);
    let mut out = Diags::new();
    let read = read(&files, &mut out)
        .and_then(|(case, set)| judge(&case, &set, &mut out).map(|judged| (case, set, judged)));
    let Some((old_case, old_set, old)) = read else {
        let first = out.plain(&files).into_iter().next().unwrap_or_default();
        return Err(format!("its files cannot be read: {first}"));
    };
    wear(Job { case: &old_case, set: &old_set, judged: &old }, Job { case, set, judged })
}
