//! `benchleaf limits --from` and `--table`: a spreadsheet's table to a limits
//! file and back.

use super::outcome::Outcome;
use super::plain::Named;
use super::say::{line, say};
use super::unusable::Unusable;
use super::{disk, job};
use crate::diag::{Diags, Sources};
use crate::judge::proof;
use crate::load;
use crate::load::spreadsheet::{from_table, table};
use crate::model::engine::Engine;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Writes the limits file that a table is.
pub fn from(table: &Path, engine: Option<&Path>, to: Option<&Path>) -> Result<(), Outcome> {
    let mut files = Sources::default();
    let name = put(&mut files, table, Named::ByHand)?;
    put_kinds(&mut files, table)?;
    let mut out = Diags::new();
    let engine = match engine_of(table, engine)? {
        Some((path, named)) => {
            let engine = put(&mut files, &path, named)?;
            match load::engine(&files, &engine, &mut out) {
                Some(engine) => Some(engine),
                None => {
                    // The table's own faults are told beside the engine's.
                    from_table(&mut files, &name, None, &mut out);
                    job::show(&out, &files);
                    return Err(Outcome::Wrong);
                }
            }
        }
        None => None,
    };
    let written = read(&mut files, &name, engine.as_ref(), &mut out);
    if engine.is_none() {
        let help = "put engine.toml beside the table, or name it with --engine";
        out.note_nowhere("no engine: features, parts and places are taken as typed", help);
    }
    job::show(&out, &files);
    let text = written.ok_or(Outcome::Wrong)?;
    hand_on(&text, false, to)
}

/// The text, proof-read; `None` where anything is at fault.
fn read(
    files: &mut Sources,
    name: &str,
    engine: Option<&Engine>,
    out: &mut Diags,
) -> Option<String> {
    let (text, limits) = from_table(files, name, engine, out)?;
    if let (Some(limits), Some(engine)) = (limits, engine) {
        out.append(proof(&limits, engine));
    }
    (out.faults() == 0).then_some(text)
}

/// The engine file named, or the one beside the table where there is one.
fn engine_of(table: &Path, named: Option<&Path>) -> Result<Option<(PathBuf, Named)>, Outcome> {
    if let Some(engine) = named {
        return Ok(Some((engine.to_owned(), Named::ByHand)));
    }
    let beside = table.with_file_name(load::ENGINE_FILE);
    let there = super::plain::is_there(&beside).map_err(|error| job::wrong(&error))?;
    Ok(there.then_some((beside, Named::ByFolder)))
}

/// Writes the table that a limits file is.
pub fn to(limits: &Path, to: Option<&Path>) -> Result<(), Outcome> {
    let mut files = Sources::default();
    let name = put(&mut files, limits, Named::ByHand)?;
    put_kinds(&mut files, limits)?;
    let mut out = Diags::new();
    let table = table(&files, &name, &mut out);
    job::show(&out, &files);
    hand_on(&table.ok_or(Outcome::Wrong)?, true, to)
}

/// The ways of measuring that a line may take its kind from.
fn put_kinds(files: &mut Sources, beside: &Path) -> Result<(), Outcome> {
    let kinds = disk::kinds_beside(beside).map_err(|error| job::wrong(&error))?;
    kinds.into_iter().for_each(|kinds| files.put(load::KINDS_FILE, kinds));
    Ok(())
}

fn put(files: &mut Sources, path: &Path, named: Named) -> Result<Arc<str>, Outcome> {
    let name: Arc<str> = path.display().to_string().into();
    files.put(name.clone(), disk::text(path, named).map_err(|error| job::wrong(&error))?);
    Ok(name)
}

/// To a new file, or to the standard output. A spreadsheet takes a table for
/// UTF-8 by the mark at its beginning.
fn hand_on(text: &str, marked: bool, to: Option<&Path>) -> Result<(), Outcome> {
    let Some(path) = to else {
        say(text);
        return Ok(());
    };
    let mark = if marked && !text.is_ascii() { "\u{feff}" } else { "" };
    let written = disk::create(path, format!("{mark}{text}").as_bytes());
    match written.map_err(|error| job::wrong(&error))? {
        true => line!("{}", path.display()),
        false => {
            let why = "is there already; give another name with --out";
            return Err(job::wrong(&Unusable::new(path, why)));
        }
    }
    Ok(())
}
