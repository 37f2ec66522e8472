//! `benchleaf verify`, `benchleaf unpack` and `benchleaf stamp`: what anybody
//! can ask of a report, years later.

use super::lock::Lock;
use super::outcome::Outcome;
use super::plain::Named;
use super::say::{json, line};
use super::unusable::Unusable;
use super::{aside, disk, job, jobs};
use crate::bundle::{Proof, job_name, verify};
use crate::pdf::open;
use crate::quantity::count;
use crate::sign::verify::Anchor;
use crate::sign::{attach_reply, request};
use clap::Args;
use serde::Serialize;
use std::path::{Path, PathBuf};

/// Prove reports: every signature, every attachment, every verdict worked out
/// anew, every page made anew.
///
/// Works without a line, on a report from anyone. Exit status 1 where anything
/// is not good, or nobody has signed.
#[derive(Args)]
pub struct Verify {
    #[arg(required = true, value_name = "REPORT")]
    reports: Vec<PathBuf>,
    /// Certificates whose word you take, PEM or DER. Without one every issuer
    /// is unknown.
    #[arg(long = "anchor", value_name = "FILE")]
    anchors: Vec<PathBuf>,
    /// For machines.
    #[arg(long)]
    json: bool,
}

/// Take the job folder back out of a report.
#[derive(Args)]
pub struct Unpack {
    report: PathBuf,
    /// A folder that is empty or does not exist.
    dir: PathBuf,
}

/// Carry a time stamp (RFC 3161) to a signed report by files: a request out,
/// the authority's reply in.
#[derive(Args)]
pub struct Stamp {
    report: PathBuf,
    /// Write the request for the last signature to this file.
    #[arg(long, value_name = "FILE", required_unless_present = "reply")]
    request: Option<PathBuf>,
    /// Put the authority's reply into the report.
    #[arg(long, value_name = "FILE", conflicts_with = "request")]
    reply: Option<PathBuf>,
}

#[derive(Serialize)]
struct ProofOut {
    schema: &'static str,
    report: String,
    good: bool,
    status: Option<&'static str>,
    /// Who is to sign, and who of them has.
    to_sign: Vec<String>,
    signed: Vec<String>,
    findings: Vec<FindingOut>,
    signatures: Vec<SignatureOut>,
}

#[derive(Serialize)]
struct FindingOut {
    about: String,
    good: bool,
    words: String,
}

#[derive(Serialize)]
struct SignatureOut {
    field: String,
    good: bool,
    name: Option<String>,
    role: Option<String>,
    lines: Vec<String>,
}

impl Verify {
    pub fn run(&self) -> Outcome {
        match anchors(&self.anchors) {
            Ok(anchors) => jobs::each(&self.reports, |path| self.one(path, &anchors)),
            Err(outcome) => outcome,
        }
    }

    fn one(&self, path: &Path, anchors: &[Anchor]) -> Result<Outcome, Outcome> {
        let bytes = disk::report(path, Named::ByHand).map_err(|error| job::wrong(&error))?;
        let proof = verify(&bytes, anchors)
            .map_err(|error| job::wrong(&format!("{}: {error}", path.display())))?;
        if self.json {
            let text = serde_json::to_string_pretty(&out(path, &proof))
                .map_err(|error| job::wrong(&error))?;
            json(&format!("{text}\n"));
        } else {
            say(path, &proof);
        }
        Ok(if proof.good() { Outcome::Done } else { Outcome::Exceptions })
    }
}

/// The certificates of some files.
pub fn anchors(paths: &[PathBuf]) -> Result<Vec<Anchor>, Outcome> {
    let mut anchors = Vec::new();
    for path in paths {
        let file = disk::key(path).map_err(|error| job::wrong(&error))?;
        let read = Anchor::read(&file);
        anchors.extend(
            read.ok_or_else(|| job::wrong(&format!("{}: no certificate in it", path.display())))?,
        );
    }
    Ok(anchors)
}

fn out(path: &Path, proof: &Proof) -> ProofOut {
    ProofOut {
        schema: "benchleaf-proof-2",
        report: path.display().to_string(),
        good: proof.good(),
        status: proof.word(),
        to_sign: proof.signing().map(|(name, _)| name.to_owned()).collect(),
        signed: proof.signing().filter(|(_, s)| *s).map(|(name, _)| name.to_owned()).collect(),
        findings: proof
            .findings
            .iter()
            .map(|f| FindingOut { about: f.about.clone(), good: f.good, words: f.words.clone() })
            .collect(),
        signatures: proof
            .signatures
            .iter()
            .map(|s| SignatureOut {
                field: s.field.clone(),
                good: s.good(),
                name: s.said.name.clone(),
                role: s.said.role.clone(),
                lines: s.lines(),
            })
            .collect(),
    }
}

/// The proof in plain words.
pub fn say(path: &Path, proof: &Proof) {
    let whole = if proof.good() { "good" } else { "NOT GOOD" };
    line!("{}: {whole}, {}", path.display(), proof.standing());
    for finding in &proof.findings {
        let mark = if finding.good { "good" } else { "NOT GOOD" };
        line!("  {mark:<8}  {}: {}", finding.about, finding.words);
    }
    if proof.signatures.is_empty() {
        line!("  NOT GOOD  signatures: nobody has signed");
    }
    for signature in &proof.signatures {
        let mark = if signature.good() { "good" } else { "NOT GOOD" };
        let name = signature.said.name.clone().unwrap_or_else(|| signature.field.clone());
        let role = signature.said.role.as_ref().map(|role| format!(", {role}")).unwrap_or_default();
        line!("  {mark:<8}  signature of {name}{role}");
        for line in signature.lines() {
            line!("            {line}");
        }
    }
}

impl Unpack {
    pub fn run(&self) -> Outcome {
        self.unpack().map_or_else(|outcome| outcome, |()| Outcome::Done)
    }

    fn unpack(&self) -> Result<(), Outcome> {
        super::new::empty(&self.dir).map_err(|error| job::wrong(&error))?;
        let bytes =
            disk::report(&self.report, Named::ByHand).map_err(|error| job::wrong(&error))?;
        let opened = open(&bytes)
            .map_err(|error| job::wrong(&format!("{}: {error}", self.report.display())))?;
        let filled = aside::folder(&self.dir, |dir| {
            for carried in &opened.carried {
                let path = dir.join(job_name(&carried.name));
                if !disk::create(&path, &carried.bytes)? {
                    return Err(Unusable::new(&path, "carried twice"));
                }
            }
            Ok(())
        });
        filled.map_err(|error| job::wrong(&error))?;
        line!("{}: {}", self.dir.display(), count(opened.carried.len(), "file"));
        Ok(())
    }
}

impl Stamp {
    pub fn run(&self) -> Outcome {
        self.stamp().map_or_else(|outcome| outcome, |()| Outcome::Done)
    }

    fn stamp(&self) -> Result<(), Outcome> {
        let lock = Lock::beside(&self.report).map_err(|error| job::wrong(&error))?;
        let bytes =
            disk::report(&self.report, Named::ByHand).map_err(|error| job::wrong(&error))?;
        let proof = verify(&bytes, &[]).map_err(|error| job::wrong(&error))?;
        if let Some(why) = proof.fault() {
            return Err(job::wrong(&format!("not stamped: {why}")));
        }
        if let Some(path) = &self.request {
            let mut nonce = [0; 8];
            getrandom::fill(&mut nonce).map_err(|error| job::wrong(&error))?;
            let request = request(&bytes, nonce).map_err(|error| job::wrong(&error))?;
            let new = disk::create(path, &request).map_err(|error| job::wrong(&error))?;
            if !new {
                let words = "is there already; give another name";
                return Err(job::wrong(&format!("{}: {words}", path.display())));
            }
            line!(
                "{}: carry this to a time-stamp authority and bring its reply back",
                path.display()
            );
        }
        if let Some(path) = &self.reply {
            let reply = disk::key(path).map_err(|error| job::wrong(&error))?;
            let stamped = attach_reply(&bytes, &reply).map_err(|error| job::wrong(&error))?;
            disk::exchange_pdf(&lock, &self.report, &bytes, &stamped)
                .map_err(|error| job::wrong(&error))?;
            line!("{}: stamped", self.report.display());
        }
        Ok(())
    }
}
