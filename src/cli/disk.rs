//! Files in and out. A write is whole or absent, and what a person filled in
//! is never overwritten.

use super::aside::{self, Aside};
use super::built_in;
use super::lock::Lock;
use super::plain::{self, Named, entries};
use super::unusable::{Unusable, unusable};
use crate::bundle::{self, Earlier};
use crate::diag::Sources;
use crate::load::toml::tree;
use crate::load::{ENGINE_FILE, JOB_FILE, KINDS_FILE, LARGEST_JOB, LIMITS_FILE, READINGS_FILE};
use crate::model::job::Job;
use crate::pdf::{folded, open, safe};
use std::collections::HashSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// The largest text file that is read.
const LARGEST: u64 = tree::LARGEST as u64;

/// The five kinds of file of a job folder, by their names within it.
pub fn job(dir: &Path) -> Result<Sources, Unusable> {
    if !dir.is_dir() {
        return Err(Unusable::new(dir, "no such job folder; `benchleaf new` opens one"));
    }
    let mut files = Sources::default();
    let mut left = LARGEST_JOB;
    let mut put = |name: String, path: &Path| {
        let text = text(path, Named::ByFolder)?;
        left = left.checked_sub(text.len()).ok_or_else(|| {
            let most = LARGEST_JOB >> 20;
            Unusable::new(dir, format!("its files together are larger than {most} MiB"))
        })?;
        files.put(name, text);
        Ok(())
    };
    let mut any = false;
    for name in [ENGINE_FILE, LIMITS_FILE, JOB_FILE, READINGS_FILE] {
        let path = dir.join(name);
        if plain::is_there(&path)? {
            put(name.to_owned(), &path)?;
            any = true;
        }
    }
    if !any {
        let why = "no job folder: it has no engine.toml, limits.toml or job.toml; `benchleaf new` opens one";
        return Err(Unusable::new(dir, why));
    }
    for path in entries(&dir.join("forms"), Named::ByFolder)?.unwrap_or_default() {
        // What ends otherwise is no form, whatever the rest of its name.
        if path.extension().is_some_and(|ending| ending == "toml") {
            let name = format!("forms/{}", plain::name(&path)?);
            put(name, &path)?;
        }
    }
    Ok(files)
}

/// The file of kinds that a limits file or a table goes by: of the forms in its
/// folder, or the program's own where it stands alone.
pub fn kinds_beside(file: &Path) -> Result<Option<Arc<str>>, Unusable> {
    let folder = aside::parent(file);
    if !folder.join("forms").is_dir() {
        let own = |(name, _): &(&str, &str)| KINDS_FILE.ends_with(&format!("/{name}"));
        return Ok(built_in::forms().into_iter().find(own).map(|(_, text)| text.into()));
    }
    let kinds = folder.join(KINDS_FILE);
    plain::is_there(&kinds)?.then(|| text(&kinds, Named::ByFolder)).transpose()
}

/// The largest report that is read.
const LARGEST_REPORT: u64 = 256 * 1024 * 1024;

/// All scans of a job together: what a report may carry and still be read.
const LARGEST_SCANS: u64 = 128 * 1024 * 1024;

/// The largest key, certificate or reply; a bundle of every public authority
/// has a quarter of it.
const LARGEST_KEY: u64 = 1024 * 1024;

/// Name and bytes of a scan.
pub type Scan = (String, Vec<u8>);

/// The scans in a folder by their names; `None` where there is no folder. A
/// file that cannot be carried is named and nothing is read: no scan is left
/// out without a word.
pub fn scans(dir: &Path, named: Named) -> Result<Option<Vec<Scan>>, Unusable> {
    let Some(found) = entries(dir, named)? else { return Ok(None) };
    let mut scans = Vec::new();
    let mut names = HashSet::new();
    let mut left = LARGEST_SCANS;
    for path in found {
        let name = plain::name(&path)?.to_owned();
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
        let scan = plain::read(&path, LARGEST_SCANS, Named::ByFolder)?;
        left = left.checked_sub(scan.len() as u64).ok_or_else(|| {
            let most = LARGEST_SCANS >> 20;
            Unusable::new(
                dir,
                format!("more than {most} MiB of scans; scan in grey at 150 to 300 dots an inch"),
            )
        })?;
        scans.push((name, scan));
    }
    Ok(Some(scans))
}

/// One scan that a person names.
pub fn scan(path: &Path) -> Result<Scan, Unusable> {
    let name = plain::name(path)?.to_owned();
    nameable(path, &name)?;
    Ok((name, plain::read(path, LARGEST_SCANS, Named::ByHand)?))
}

/// The earlier report that a job names, where it is in its folder.
pub fn earlier(dir: &Path, job: &Job) -> Result<Option<Earlier>, Unusable> {
    let Some(name) = &job.earlier else { return Ok(None) };
    let folder = dir.join(bundle::EARLIER);
    if entries(&folder, Named::ByFolder)?.is_none() {
        return Ok(None);
    }
    let path = folder.join(name.as_str());
    if !plain::is_there(&path)? {
        return Ok(None);
    }
    let carried = bundle::carried_name(&format!("{}/{name}", bundle::EARLIER));
    safe(carried).map_err(|refusal| Unusable::new(&path, format!("{refusal}; rename it")))?;
    let bytes = plain::read(&path, LARGEST_SCANS, Named::ByFolder)?;
    Ok(Some(Earlier { name: name.to_string(), bytes }))
}

/// Whether a scan of this name can be carried and unpacked anywhere.
fn nameable(path: &Path, name: &str) -> Result<(), Unusable> {
    let ending = name.rsplit('.').next().unwrap_or_default().to_ascii_lowercase();
    if !["pdf", "png", "jpg", "jpeg"].contains(&ending.as_str()) {
        let why = "not a scan by its name (.pdf, .png, .jpg); take it out of the folder";
        return Err(Unusable::new(path, why));
    }
    let carried = bundle::carried_name(&format!("{}/{name}", bundle::ORIGINALS));
    safe(carried).map_err(|refusal| Unusable::new(path, format!("{refusal}; rename it")))?;
    Ok(())
}

/// A report, whole.
pub fn report(path: &Path, named: Named) -> Result<Vec<u8>, Unusable> {
    plain::read(path, LARGEST_REPORT, named)
}

/// A key, certificates or a reply, whole.
pub fn key(path: &Path) -> Result<Vec<u8>, Unusable> {
    plain::read(path, LARGEST_KEY, Named::ByHand)
}

/// A text file, whole.
pub fn text(path: &Path, named: Named) -> Result<Arc<str>, Unusable> {
    let bytes = plain::read(path, LARGEST, named)?;
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
    plain::writable(path)?;
    Aside::write(path, bytes)?.replace(path).map_err(unusable(path))
}

/// The same for a PDF, while no other command writes into its folder. What
/// stands there is not lost where it is something else than a PDF, or a signed
/// one that is not added to.
pub fn replace_pdf(lock: &Lock, path: &Path, pdf: &[u8]) -> Result<(), Unusable> {
    if !lock.is_for(path) {
        return Err(Unusable::new(path, "may be written by another command; please report this"));
    }
    plain::writable(path)?;
    let there = if plain::is_there(path)? { report(path, Named::ByFolder)? } else { Vec::new() };
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

/// Puts a PDF in the place of the one that it was made from, while no other
/// command writes into its folder and where that one still stands there.
pub fn exchange_pdf(lock: &Lock, path: &Path, before: &[u8], pdf: &[u8]) -> Result<(), Unusable> {
    if !lock.is_for(path) {
        return Err(Unusable::new(path, "may be written by another command; please report this"));
    }
    plain::writable(path)?;
    if report(path, Named::ByFolder)? != before {
        return Err(Unusable::new(path, "was written by another program meanwhile; try again"));
    }
    replace(path, pdf)
}

/// The same, only where nothing of that name is there; whether it was written.
pub fn create(path: &Path, bytes: &[u8]) -> Result<bool, Unusable> {
    if plain::is_there(path)? {
        plain::writable(path)?;
        return Ok(false);
    }
    Aside::write(path, bytes)?.create(path).map_err(unusable(path))
}

/// Every PDF file of a folder and the folders in it, in order of name; links to
/// a folder among them, so that one is named and not passed over.
pub fn pdfs(dir: &Path) -> Result<Vec<PathBuf>, Unusable> {
    let mut found = Vec::new();
    let mut waiting = vec![dir.to_owned()];
    while let Some(dir) = waiting.pop() {
        for entry in fs::read_dir(&dir).map_err(unusable(&dir))? {
            let entry = entry.map_err(unusable(&dir))?;
            let (path, kind) = (entry.path(), entry.file_type().map_err(unusable(&dir))?);
            let pdf = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("pdf"));
            let away = kind.is_symlink() && path.is_dir();
            if kind.is_dir() {
                waiting.push(path);
            } else if pdf || away {
                found.push(path);
            }
        }
    }
    found.sort();
    Ok(found)
}
