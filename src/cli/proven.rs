//! Reports of an archive, proved and judged anew from their own files.

use super::disk;
use super::plain::Named;
use crate::bundle::{Proof, verify};
use crate::diag::{Diags, Sources};
use crate::load::{self, JOB_FILE};
use crate::model::job::Job;
use crate::pdf::{open_carried, sha256};
use crate::report::table::{Proven, Verified, Worked};
use crate::sign::verify::{Anchor, Chain};
use std::path::Path;

/// What came of one file.
pub enum Read {
    Report(Box<Report>),
    /// No report of this program, or none that is wanted.
    Other,
    Unreadable(String),
}

/// A report that could be judged, good or not.
pub struct Report {
    pub proven: Proven,
    proof: Proof,
}

impl Report {
    pub fn worked(&self) -> Option<Worked<'_>> {
        let (case, worked) = self.proof.case.as_ref().zip(self.proof.worked_out.as_ref())?;
        Some(Worked { case, set: &worked.set, judged: &worked.judged })
    }
}

/// Proves a report below a folder, where its job is wanted.
pub fn read(dir: &Path, path: &Path, anchors: &[Anchor], wanted: impl Fn(&Job) -> bool) -> Read {
    let bytes = match disk::report(path, Named::ByFolder) {
        Ok(bytes) => bytes,
        Err(error) => return Read::Unreadable(error.to_string()),
    };
    let carried = match open_carried(&bytes, &[JOB_FILE]) {
        Ok(carried) => carried,
        Err(refusal) => return Read::Unreadable(refusal.to_string()),
    };
    let Some(carried) = carried.iter().find(|file| file.name == JOB_FILE) else {
        return Read::Other;
    };
    // What cannot be read as a job is told where it is proved.
    let mut files = Sources::default();
    if let Ok(text) = std::str::from_utf8(&carried.bytes) {
        files.put(JOB_FILE, text);
    }
    let job = load::job(&files, JOB_FILE, &mut Diags::new());
    if job.is_some_and(|job| !wanted(&job)) {
        return Read::Other;
    }
    let proof = match verify(&bytes, anchors) {
        Ok(proof) => proof,
        Err(refusal) => return Read::Unreadable(refusal.to_string()),
    };
    let Some(worked) = &proof.worked_out else {
        let why = proof.fault().unwrap_or_else(|| "its files are faulty".to_owned());
        return Read::Unreadable(why);
    };
    let proven = Proven {
        report: below(dir, path),
        digest: sha256(&bytes),
        record: sha256(worked.verdicts.as_bytes()),
        verified: verified(&proof),
        fault: proof.fault(),
        signed_by: signed_by(&proof),
        vouched: !anchors.is_empty() && vouched(&proof),
        status: proof.word().unwrap_or_default(),
    };
    Read::Report(Box::new(Report { proven, proof }))
}

/// By what path a report is found below the folder, on any system.
fn below(dir: &Path, path: &Path) -> String {
    let own = path.strip_prefix(dir).unwrap_or(path);
    let names: Vec<_> = own.components().map(|name| name.as_os_str().to_string_lossy()).collect();
    names.join("/")
}

fn verified(proof: &Proof) -> Verified {
    match proof.fault() {
        Some(_) => Verified::NotGood,
        None if proof.signatures.is_empty() => Verified::Unsigned,
        None => Verified::Good,
    }
}

fn signed_by(proof: &Proof) -> Vec<String> {
    let good = proof.signatures.iter().filter(|signature| signature.good());
    good.filter_map(|signature| Some(signature.person.as_ref()?.name.clone())).collect()
}

fn vouched(proof: &Proof) -> bool {
    let all = &proof.signatures;
    !all.is_empty() && all.iter().all(|one| matches!(one.chain, Some(Chain::To { .. })))
}
