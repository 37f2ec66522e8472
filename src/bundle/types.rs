//! What proving a report gives.

use crate::model::Case;
use crate::pages::report::SignPlace;
use crate::record::{Judged, Status};
use crate::sheet::SheetSet;
use crate::sign::same_name;
use crate::sign::verify::SignatureReport;

/// What was looked at, and how it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    pub good: bool,
    /// `attachments`, `verdicts`, `pages`, `signature of ...`.
    pub about: String,
    pub words: String,
}

/// A report proved, or not.
#[derive(Debug)]
pub struct Proof {
    pub signatures: Vec<SignatureReport>,
    pub findings: Vec<Finding>,
    /// The status that its own files give.
    pub status: Option<Status>,
    /// What its own files say, where they can be read.
    pub case: Option<Case>,
    /// Where each person signs.
    pub places: Vec<SignPlace>,
    /// What its own files give, judged anew.
    pub worked_out: Option<WorkedOut>,
}

/// The record that a report's own files give, whatever else the report says.
#[derive(Debug)]
pub struct WorkedOut {
    pub set: SheetSet,
    pub judged: Judged,
    /// As `check --json` says it.
    pub verdicts: String,
}

impl Proof {
    /// Every signature and every finding is good, and there is a signature.
    pub fn good(&self) -> bool {
        self.content_good()
            && !self.signatures.is_empty()
            && self.signatures.iter().all(SignatureReport::good)
    }

    /// Who is to sign, in the order of the sign-off page, and whether they have
    /// with a good signature.
    pub fn signing(&self) -> impl Iterator<Item = (&str, bool)> {
        self.places.iter().map(|place| {
            let theirs = |signature: &&SignatureReport| {
                let said = signature.said.name.as_deref();
                let certificate = signature.person.as_ref().map(|person| person.name.as_str());
                [said, certificate].iter().flatten().all(|name| same_name(name, &place.name))
            };
            let signed = self.signatures.iter().filter(|s| s.good()).any(|s| theirs(&s));
            (place.name.as_str(), signed)
        })
    }

    /// `record complete; 2 of 4 have signed`, and final only where all have.
    pub fn standing(&self) -> String {
        let Some(status) = self.status else { return "status unknown".to_owned() };
        let all = self.places.len();
        let signed = self.signing().filter(|(_, signed)| *signed).count();
        match status {
            Status::Complete if self.is_final() => {
                format!("final: {}, all {all} have signed", status.in_words())
            }
            Status::Complete => format!("{}; {signed} of {all} have signed", status.in_words()),
            Status::Draft | Status::Incomplete => status.in_words().to_owned(),
        }
    }

    /// In a word; `final` only where all who answer for something have signed.
    pub fn word(&self) -> Option<&'static str> {
        if self.is_final() { Some("final") } else { self.status.map(Status::word) }
    }

    /// Nothing stands in the way of the record, everybody who answers for
    /// something in it has signed, and all of it is good.
    pub fn is_final(&self) -> bool {
        self.status == Some(Status::Complete)
            && self.good()
            && self.signing().all(|(_, signed)| signed)
    }

    /// What it says is what its own files give, signatures aside.
    pub fn content_good(&self) -> bool {
        self.findings.iter().all(|finding| finding.good)
    }

    /// The first thing that is not good, in words; that nobody has signed is none.
    pub fn fault(&self) -> Option<String> {
        let finding = self.findings.iter().find(|finding| !finding.good);
        let signature = self.signatures.iter().find(|signature| !signature.good());
        match (finding, signature) {
            (Some(bad), _) => Some(format!("{}: {}", bad.about, bad.words)),
            (None, Some(bad)) => {
                let why = bad.lines().join("; ");
                Some(format!("the signature {} on it is not good: {why}", bad.field))
            }
            (None, None) => None,
        }
    }

    pub(super) fn find(&mut self, good: bool, about: &str, words: impl Into<String>) {
        self.findings.push(Finding { good, about: about.to_owned(), words: words.into() });
    }
}
