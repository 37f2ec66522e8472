//! `benchleaf schemas`: what an editor needs to complete and check a job's
//! files while they are typed.

use super::outcome::Outcome;
use super::say::line;
use super::{disk, job};
use crate::load::schema::{SCHEMAS, schema};
use clap::Args;
use std::path::PathBuf;

/// Write a JSON Schema for each kind of file.
///
/// An editor that knows them completes keys and marks faults while a file is
/// typed. They come from the tables that the program itself reads by. Many
/// editors take the first line of a file as a pointer to its schema:
/// `#:schema engine.schema.json`.
#[derive(Args)]
pub struct Schemas {
    /// The folder to write them into; those there already are replaced.
    #[arg(value_name = "DIR")]
    dir: PathBuf,
}

impl Schemas {
    pub fn run(&self) -> Outcome {
        let mut outcome = Outcome::Done;
        for (name, shape) in SCHEMAS {
            let path = self.dir.join(format!("{name}.schema.json"));
            match disk::replace(&path, format!("{:#}\n", schema(shape)).as_bytes()) {
                Ok(()) => line!("{}: {}", path.display(), shape.name),
                Err(error) => outcome = job::wrong(&error),
            }
        }
        outcome
    }
}
