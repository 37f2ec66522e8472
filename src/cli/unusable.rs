//! Why a file or folder could not be used, in words.

use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

/// A file or folder that could not be used, and why.
#[derive(Debug)]
pub struct Unusable {
    path: PathBuf,
    why: String,
}

impl std::fmt::Display for Unusable {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{}: {}", self.path.display(), self.why)
    }
}

impl Unusable {
    pub fn new(path: &Path, why: impl Into<String>) -> Unusable {
        Unusable { path: path.to_owned(), why: why.into() }
    }

    /// The same at the place that it was meant for, not where it was made.
    pub fn moved(self, from: &Path, to: &Path) -> Unusable {
        match self.path.strip_prefix(from) {
            Ok(below) if below.as_os_str().is_empty() => Unusable::new(to, self.why),
            Ok(below) => Unusable::new(&to.join(below), self.why),
            Err(_) => self,
        }
    }
}

pub fn unusable<E: Into<io::Error>>(path: &Path) -> impl Fn(E) -> Unusable + '_ {
    |error| {
        let error = error.into();
        match error.kind() {
            ErrorKind::NotFound => Unusable::new(path, "no such file"),
            ErrorKind::PermissionDenied => Unusable::new(path, "may not be used; ask whose it is"),
            _ => Unusable::new(path, error.to_string()),
        }
    }
}
