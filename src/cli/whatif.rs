//! `benchleaf whatif`: what would bring in the rows that are out.

use super::outcome::Outcome;
use super::plain::Named;
use super::say::line;
use super::{disk, job};
use crate::analysis::whatif::{Fitted, Shelf, Way, WhatIf, Whole, Work, shelf, what_if, whole};
use crate::diag::Diags;
use crate::load;
use crate::quantity::count;
use clap::Args;
use std::path::PathBuf;
use std::sync::Arc;

/// Show, for every row that is out, what would bring it in and what that
/// reopens: another mate, a new part, a grade, a spare.
#[derive(Args)]
pub struct Whatif {
    #[arg(value_name = "JOB")]
    job: PathBuf,
    /// Measured spares, [[spare]] with id, feature, read (in the unit in which
    /// the sheets read the feature) and new = true where unused: paired with the
    /// places that are out, as many as can be brought in and then with the
    /// greatest sum of margins. One part for several places, a camshaft, has a
    /// list of readings for each in read and is held against all of them.
    #[arg(long, value_name = "FILE")]
    spares: Option<PathBuf>,
}

impl Whatif {
    pub fn run(&self) -> Outcome {
        self.tell().unwrap_or_else(|outcome| outcome)
    }

    fn tell(&self) -> Result<Outcome, Outcome> {
        let job = job::open(&self.job)?;
        let judged = job.judge()?;
        let rows = what_if(&job.case, &job.set, &judged);
        let (shelves, wholes) = match &self.spares {
            None => (Vec::new(), Vec::new()),
            Some(path) => {
                let name: Arc<str> = path.display().to_string().into();
                let mut files = job.files.clone();
                files.put(
                    name.clone(),
                    disk::text(path, Named::ByHand).map_err(|error| job::wrong(&error))?,
                );
                let mut out = Diags::new();
                let spares = load::spares(&files, &name, &job.case, &mut out);
                job::show(&out, &files);
                let spares = spares.ok_or(Outcome::Wrong)?;
                (
                    shelf(&job.case, &job.set, &judged, &spares),
                    whole(&job.case, &job.set, &judged, &spares),
                )
            }
        };
        if rows.is_empty() {
            line!("nothing is out");
            return Ok(Outcome::Done);
        }
        rows.iter().for_each(row);
        shelves.iter().for_each(paired);
        wholes.iter().for_each(self::fitted);
        line!("");
        line!(
            "An out may also be accepted on data: authority, document and date. Nothing here is decided."
        );
        Ok(Outcome::Exceptions)
    }
}

fn row(row: &WhatIf) {
    line!("");
    line!("{} {}: {}", row.code, row.name, row.state);
    let mut told: Vec<&Work> = Vec::new();
    for Way { words, works } in &row.ways {
        let names: Vec<&str> = works.iter().map(|work| work.name.as_str()).collect();
        let by =
            if names.is_empty() { String::new() } else { format!("   by: {}", names.join(" or ")) };
        line!("  {words}{by}");
        told.extend(works);
    }
    reopened(told);
}

/// Each work once, with what it reopens.
fn reopened(mut works: Vec<&Work>) {
    works.dedup();
    for (n, work) in works.iter().enumerate() {
        if works[..n].contains(work) {
            continue;
        }
        let all =
            if work.reopens.is_empty() { "nothing".to_owned() } else { work.reopens.join("; ") };
        line!("    {} reopens: {all}", work.name);
    }
}

fn paired(shelf: &Shelf) {
    let out = shelf.places.len();
    line!("");
    line!("{}: {} on the shelf, {} out", shelf.feature, shelf.spares, out);
    for place in &shelf.places {
        match &place.spare {
            Some((id, state, margin)) => {
                line!("  {:<6} {id}: {state}, margin {margin}", place.code)
            }
            None if place.would_do == 0 => {
                line!("  {:<6} none of them would bring it in", place.code)
            }
            None => line!(
                "  {:<6} none left: {} would do and are needed elsewhere",
                place.code,
                place.would_do
            ),
        }
    }
    reopened(
        shelf
            .places
            .iter()
            .filter(|place| place.spare.is_some())
            .flat_map(|place| &place.works)
            .collect(),
    );
}

/// One part for all its places: the best spare first.
fn fitted(whole: &Whole) {
    let (part, out) = (&whole.part, whole.out.join(" "));
    line!("");
    line!("{part}, one part for all its places: {} on the shelf, out: {out}", whole.spares.len());
    for Fitted { id, inside, places, not_listed } in &whole.spares {
        line!("  {id}: {inside} of {} inside", count(places.len(), "fit"));
        for (code, state, margin) in places {
            let margin = margin.map(|margin| format!(", margin {margin}")).unwrap_or_default();
            line!("    {code:<6} {state}{margin}");
        }
        if !not_listed.is_empty() {
            line!("    not on the list: {}", not_listed.join(", "));
        }
    }
    reopened(whole.works.iter().collect());
}
