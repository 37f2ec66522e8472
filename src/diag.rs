//! Located faults: many collected, printed once. The only file that names
//! `annotate_snippets`.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::Arc;

/// A stretch of a file, in bytes.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Loc {
    /// The file's name relative to its job folder, or as it was given.
    pub file: Arc<str>,
    pub start: usize,
    pub end: usize,
}

/// The files of one job by name: a folder's, or those an archive carries.
#[derive(Clone, Debug, Default)]
pub struct Sources(pub BTreeMap<Arc<str>, Arc<str>>);

/// How much a diagnostic weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// The input cannot be used: exit status 2.
    Fault,
    /// Worth reading; nothing stops.
    Note,
}

/// What is wrong at a place, and what would be right.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diag {
    pub weight: Weight,
    pub at: Option<Loc>,
    pub wrong: String,
    /// What would be right; empty where nothing can be said.
    pub right: String,
    /// Other places that matter, each with a word of why.
    pub also: Vec<(Loc, String)>,
}

/// Diagnostics as they are found; printed in the order of file and place.
#[derive(Clone, Debug, Default)]
pub struct Diags(Vec<Diag>);

impl Loc {
    pub fn new(file: &Arc<str>, start: usize, end: usize) -> Loc {
        Loc { file: file.clone(), start, end }
    }
}

impl Diag {
    pub fn also(mut self, at: Loc, why: impl Into<String>) -> Diag {
        self.also.push((at, why.into()));
        self
    }
}

impl Diags {
    pub fn new() -> Diags {
        Diags::default()
    }

    pub fn fault(&mut self, at: &Loc, wrong: impl Into<String>, right: impl Into<String>) {
        self.push(Diag::at(Weight::Fault, at, wrong, right));
    }

    pub fn note(&mut self, at: &Loc, wrong: impl Into<String>, right: impl Into<String>) {
        self.push(Diag::at(Weight::Note, at, wrong, right));
    }

    /// A fault that no place in a file can be named for.
    pub fn fault_nowhere(&mut self, wrong: impl Into<String>, right: impl Into<String>) {
        let (wrong, right) = (wrong.into(), right.into());
        self.push(Diag { weight: Weight::Fault, at: None, wrong, right, also: Vec::new() });
    }

    pub fn push(&mut self, diag: Diag) {
        if !self.0.contains(&diag) {
            self.0.push(diag);
        }
    }

    pub fn append(&mut self, other: Diags) {
        other.0.into_iter().for_each(|diag| self.push(diag));
    }

    pub fn faults(&self) -> usize {
        self.0.iter().filter(|diag| diag.weight == Weight::Fault).count()
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub fn iter(&self) -> impl Iterator<Item = &Diag> {
        self.0.iter()
    }
}

impl Diag {
    pub fn at(weight: Weight, at: &Loc, wrong: impl Into<String>, right: impl Into<String>) -> Diag {
        let (wrong, right) = (wrong.into(), right.into());
        Diag { weight, at: Some(at.clone()), wrong, right, also: Vec::new() }
    }
}

impl Sources {
    pub fn get(&self, file: &str) -> Option<&Arc<str>> {
        self.0.get(file)
    }

    pub fn put(&mut self, file: impl Into<Arc<str>>, text: impl Into<Arc<str>>) {
        self.0.insert(file.into(), text.into());
    }
}

impl fmt::Display for Weight {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Weight::Fault => "fault",
            Weight::Note => "note",
        })
    }
}
