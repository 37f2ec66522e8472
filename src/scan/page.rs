//! A page of a scan, and what was read from it.

/// What was read from one page of a scan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scanned {
    pub file: String,
    /// From 1; `of` pages in the file, 0 where it could not be opened.
    pub page: usize,
    pub of: usize,
    /// The text of every code of squares on it, each once.
    pub codes: Vec<String>,
    /// Why nothing, or not all of it, could be looked at.
    pub fault: Option<String>,
}

impl Scanned {
    /// `scan.pdf page 3`, or the file alone where it has one page.
    pub fn place(&self) -> String {
        match self.of {
            0 | 1 => self.file.clone(),
            _ => format!("{} page {}", self.file, self.page),
        }
    }
}
