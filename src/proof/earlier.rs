//! The report of an earlier job of the same engine, kept in the job's folder
//! and carried in its report whole, signatures and all.

use super::carried::{FOLDER, carried_name, is_plain, job_files};
use super::{Proof, prove, read};
use crate::archive::{Anchor, Attachment, Opened, Relationship, open};
use crate::diag::Diags;
use crate::model::Case;
use crate::model::typed::Text;
use crate::report::wear::{Job, Wear, wear};
use crate::report::{Judged, judge};
use crate::scan::Looks;
use crate::sheet::SheetSet;

/// The folder of the earlier report in a job.
pub const EARLIER: &str = "earlier";

/// A report by its name in that folder.
#[derive(Clone, Debug)]
pub struct Earlier {
    pub name: String,
    pub bytes: Vec<u8>,
}

impl Earlier {
    /// Out of an opened report.
    pub fn carried(opened: &Opened) -> Option<Earlier> {
        opened.carried.iter().find_map(|carried| match carried.name.split_once(FOLDER) {
            Some((EARLIER, name)) if is_plain(name) => {
                Some(Earlier { name: name.to_owned(), bytes: carried.bytes.clone() })
            }
            _ => None,
        })
    }

    pub fn attachment(&self) -> Attachment<'_> {
        Attachment {
            name: carried_name(&format!("{EARLIER}/{}", self.name)),
            bytes: self.bytes.as_slice().into(),
            mime: "application/pdf".to_owned(),
            relationship: Relationship::Provenance,
            description: "the report of an earlier job of this engine".to_owned(),
        }
    }

    /// Proves it as it would be by itself, but that nobody need have signed it.
    /// `within` reports may be carried within each other.
    pub fn prove(
        &self,
        anchors: &[Anchor],
        (within, looks): (usize, &mut Looks),
        proof: &mut Proof,
    ) {
        let about = "earlier report";
        let Some(within) = within.checked_sub(1) else {
            return proof.find(false, about, "too many reports are carried within each other");
        };
        let found = match prove(&self.bytes, anchors, (within, looks)) {
            Ok(found) => found,
            Err(refusal) => return proof.find(false, about, refusal.to_string()),
        };
        let signed = found.signatures.len();
        let good = found.signatures.iter().filter(|signature| signature.good()).count();
        let bad = found.findings.iter().find(|finding| !finding.good);
        let words = match bad {
            Some(bad) => format!("{}: {}: {}", self.name, bad.about, bad.words),
            None if signed == 0 => format!("{}: carried, nobody has signed it", self.name),
            None => format!("{}: {good} of {signed} signatures good", self.name),
        };
        proof.find(bad.is_none() && good == signed, about, words);
    }

    /// Its own files, judged, against the job that names it.
    fn history(&self, (case, set, judged): (&Case, &SheetSet, &Judged)) -> Result<Wear, String> {
        let opened = open(&self.bytes).map_err(|refusal| refusal.to_string())?;
        if let Some(bad) = opened.carried.iter().find(|file| file.checksum_fits == Some(false)) {
            return Err(format!("{} in it is not as its digest says", bad.name));
        }
        let files = job_files(&opened);
        let mut out = Diags::new();
        let earlier = read(&files, &mut out)
            .and_then(|(case, set)| judge(&case, &set, &mut out).map(|judged| (case, set, judged)));
        let Some((old_case, old_set, old)) = earlier else {
            let first = out.plain(&files).into_iter().next().unwrap_or_default();
            return Err(format!("its files cannot be read: {first}"));
        };
        wear(Job { case: &old_case, set: &old_set, judged: &old }, Job { case, set, judged })
    }
}

/// The wear since the earlier job that the job names: nothing where it names
/// none, `None` with the fault in `out` where it cannot be told.
pub fn history(
    job: (&Case, &SheetSet, &Judged),
    earlier: Option<&Earlier>,
    out: &mut Diags,
) -> Option<Option<Wear>> {
    let Some(name) = &job.0.job.earlier else { return Some(None) };
    let Some(earlier) = earlier.filter(|earlier| named(name, earlier)) else {
        let right = format!("put it into {EARLIER}/ in the job folder, or take the line out");
        out.fault(&name.at, format!("the earlier report {name} is not there"), right);
        return None;
    };
    match earlier.history(job) {
        Ok(history) => Some(Some(history)),
        Err(why) => {
            let right = "a report of this program, of an earlier job of the same engine";
            out.fault(&name.at, format!("the earlier report {name}: {why}"), right);
            None
        }
    }
}

/// A job that names no earlier report carries none, whatever lies in its
/// folder.
pub fn named(name: &Text, earlier: &Earlier) -> bool {
    name.as_str() == earlier.name
}
