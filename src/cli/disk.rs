//! Files in and out. A write is whole or absent, and what a person filled in
//! is never overwritten.

use crate::archive::{folded, open, safe};
use crate::diag::Sources;
use crate::model::job::Job;
use crate::proof::{self, Earlier};
use std::collections::HashSet;
use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use tempfile::NamedTempFile;

/// The largest text file that is read.
const LARGEST: u64 = 16 * 1024 * 1024;

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
}

fn unusable(path: &Path) -> impl Fn(io::Error) -> Unusable + '_ {
    |error| match error.kind() {
        io::ErrorKind::NotFound => Unusable::new(path, "no such file"),
        io::ErrorKind::PermissionDenied => Unusable::new(path, "may not be used; ask whose it is"),
        _ => Unusable::new(path, error.to_string()),
    }
}

/// The five kinds of file of a job folder, by their names within it.
pub fn job(dir: &Path) -> Result<Sources, Unusable> {
    if !dir.is_dir() {
        return Err(Unusable::new(dir, "no such job folder; `benchleaf new` opens one"));
    }
    let mut files = Sources::default();
    for name in ["engine.toml", "limits.toml", "job.toml", "readings.toml"] {
        let path = dir.join(name);
        if path.exists() {
            files.put(name, text(&path)?);
        }
    }
    if files.0.is_empty() {
        let why = "no job folder: it has no engine.toml, limits.toml or job.toml; `benchleaf new` opens one";
        return Err(Unusable::new(dir, why));
    }
    let forms = dir.join("forms");
    if forms.is_dir() {
        for entry in fs::read_dir(&forms).map_err(unusable(&forms))? {
            let path = entry.map_err(unusable(&forms))?.path();
            let name = path.file_name().and_then(|name| name.to_str());
            if let Some(name) = name.filter(|name| name.ends_with(".toml")) {
                files.put(format!("forms/{name}"), text(&path)?);
            }
        }
    }
    Ok(files)
}

/// The largest report, key or certificate that is read.
const LARGEST_REPORT: u64 = 256 * 1024 * 1024;

/// All scans of a job together: what a report may carry and still be read.
const LARGEST_SCANS: u64 = 128 * 1024 * 1024;

/// The scans in a folder by their names. A file that cannot be carried is
/// named and nothing is read: no scan is left out without a word.
pub fn scans(dir: &Path) -> Result<Vec<(String, Vec<u8>)>, Unusable> {
    let mut scans = Vec::new();
    let mut names = HashSet::new();
    let mut left = LARGEST_SCANS;
    for entry in fs::read_dir(dir).map_err(unusable(dir))? {
        let path = entry.map_err(unusable(dir))?.path();
        let Some(name) = path.file_name().and_then(|name| name.to_str()).map(str::to_owned) else {
            return Err(Unusable::new(&path, "the name is not text; rename it"));
        };
        if name.starts_with('.') {
            continue;
        }
        nameable(&path, &name)?;
        if !names.insert(folded(&name)) {
            return Err(Unusable::new(
                &path,
                "another differs from it in capitals only; rename one",
            ));
        }
        let size = fs::metadata(&path).map_err(unusable(&path))?.len();
        left = left.checked_sub(size).ok_or_else(|| {
            let most = LARGEST_SCANS >> 20;
            Unusable::new(
                dir,
                format!("more than {most} MiB of scans; scan in grey at 150 to 300 dots an inch"),
            )
        })?;
        scans.push((name, fs::read(&path).map_err(unusable(&path))?));
    }
    Ok(scans)
}

/// The earlier report that a job names, where it is in its folder.
pub fn earlier(dir: &Path, job: &Job) -> Result<Option<Earlier>, Unusable> {
    let Some(name) = &job.earlier else { return Ok(None) };
    let path = dir.join(proof::EARLIER).join(name.as_str());
    if !path.exists() {
        return Ok(None);
    }
    let carried = proof::carried_name(&format!("{}/{name}", proof::EARLIER));
    safe(carried).map_err(|refusal| Unusable::new(&path, format!("{refusal}; rename it")))?;
    Ok(Some(Earlier { name: name.to_string(), bytes: at_most(&path, LARGEST_SCANS)? }))
}

/// Whether a scan of this name can be carried and unpacked anywhere.
fn nameable(path: &Path, name: &str) -> Result<(), Unusable> {
    let ending = name.rsplit('.').next().unwrap_or_default().to_ascii_lowercase();
    if !["pdf", "png", "jpg", "jpeg"].contains(&ending.as_str()) {
        let why = "not a scan by its name (.pdf, .png, .jpg); take it out of the folder";
        return Err(Unusable::new(path, why));
    }
    let carried = proof::carried_name(&format!("{}/{name}", proof::ORIGINALS));
    safe(carried).map_err(|refusal| Unusable::new(path, format!("{refusal}; rename it")))?;
    Ok(())
}

/// A file, whole.
pub fn bytes(path: &Path) -> Result<Vec<u8>, Unusable> {
    at_most(path, LARGEST_REPORT)
}

/// What a device or a pipe gives has no size beforehand, and may have no end.
fn at_most(path: &Path, most: u64) -> Result<Vec<u8>, Unusable> {
    let large = || Unusable::new(path, format!("larger than {} MiB", most >> 20));
    let long = fs::metadata(path).map_err(unusable(path))?.len();
    if long > most {
        return Err(large());
    }
    let mut bytes = Vec::with_capacity(long as usize + 1);
    let file = fs::File::open(path).map_err(unusable(path))?;
    let read = file.take(most + 1).read_to_end(&mut bytes).map_err(unusable(path))?;
    if read as u64 > most { Err(large()) } else { Ok(bytes) }
}

/// A text file, whole.
pub fn text(path: &Path) -> Result<Arc<str>, Unusable> {
    let bytes = at_most(path, LARGEST)?;
    match String::from_utf8(bytes) {
        Ok(text) => Ok(text.into()),
        Err(error) => {
            let at = error.utf8_error().valid_up_to();
            let line = error.as_bytes()[..at].iter().filter(|b| **b == b'\n').count() + 1;
            Err(Unusable::new(
                path,
                format!("line {line} is not UTF-8 text; save the file as UTF-8"),
            ))
        }
    }
}

/// Writes aside and moves into place: the old file or the new one, never half.
pub fn replace(path: &Path, bytes: &[u8]) -> Result<(), Unusable> {
    aside(path, bytes)?
        .persist(path)
        .map_err(|error| Unusable::new(path, error.error.to_string()))?;
    Ok(())
}

/// The same for a PDF. What stands there is not lost where it is something else
/// than a PDF, or a signed one that is not added to.
pub fn replace_pdf(path: &Path, pdf: &[u8]) -> Result<(), Unusable> {
    let there = if path.is_file() { bytes(path)? } else { Vec::new() };
    if !there.is_empty() && !pdf.starts_with(&there) {
        if !there.starts_with(b"%PDF-") {
            return Err(Unusable::new(path, "is there and is no PDF; give another name"));
        }
        if open(&there).is_ok_and(|opened| !opened.signed_fields.is_empty()) {
            let why = "is signed and would be lost; move it away, or give another name with --out";
            return Err(Unusable::new(path, why));
        }
    }
    replace(path, pdf)
}

/// The same, only where no file of that name exists; whether it was written.
pub fn create(path: &Path, bytes: &[u8]) -> Result<bool, Unusable> {
    if path.exists() {
        return Ok(false);
    }
    match aside(path, bytes)?.persist_noclobber(path) {
        Ok(_) => Ok(true),
        Err(error) if error.error.kind() == io::ErrorKind::AlreadyExists => Ok(false),
        Err(error) => Err(Unusable::new(path, error.error.to_string())),
    }
}

fn aside(path: &Path, bytes: &[u8]) -> Result<NamedTempFile, Unusable> {
    let dir = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    fs::create_dir_all(dir).map_err(unusable(dir))?;
    let mut file = tempfile::Builder::new()
        .prefix(".benchleaf-")
        .permissions(permissions())
        .tempfile_in(dir)
        .map_err(unusable(path))?;
    file.write_all(bytes).and_then(|()| file.as_file().sync_data()).map_err(unusable(path))?;
    Ok(file)
}

#[cfg(unix)]
fn permissions() -> fs::Permissions {
    use std::os::unix::fs::PermissionsExt;
    fs::Permissions::from_mode(0o644)
}

#[cfg(not(unix))]
fn permissions() -> fs::Permissions {
    fs::metadata(std::env::temp_dir()).map(|m| m.permissions()).unwrap_or_else(|_| unreachable!())
}

/// Every PDF file of a folder and the folders in it, in order of name.
pub fn pdfs(dir: &Path) -> Result<Vec<PathBuf>, Unusable> {
    let mut found = Vec::new();
    let mut waiting = vec![dir.to_owned()];
    while let Some(dir) = waiting.pop() {
        for entry in fs::read_dir(&dir).map_err(unusable(&dir))? {
            let entry = entry.map_err(unusable(&dir))?;
            let (path, kind) = (entry.path(), entry.file_type().map_err(unusable(&dir))?);
            let pdf = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("pdf"));
            // A link to a folder is not followed: it may lead round in a ring.
            if kind.is_dir() {
                waiting.push(path);
            } else if pdf {
                found.push(path);
            }
        }
    }
    found.sort();
    Ok(found)
}
