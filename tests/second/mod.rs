//! Second-stage sheets of the demonstration's record and of an engine in
//! millimetres. The camshaft's figures are the check values of an invented
//! engine, worked by hand in exact decimals: window, edges of the ladders, and
//! what a changed reading strands.

mod pages;
mod printed;
mod row;
mod stale;

use crate::record::Job;
use benchleaf::record::{Ready, ready};
use benchleaf::sheet::second::{MateWindow, SecondPlace, SecondSheet, Steps, second};

/// The camshaft's journals recorded, its bores blank.
pub fn shafts_known() -> Job {
    Job::first().row("C1.bore", "[]").row("C2.bore", "[]").row("C3.bore", "[]")
}

/// The mirror image.
pub fn bores_known() -> Job {
    let blank = Job::first().row("C1.shaft", "[]").row("C2.shaft", "[]").row("C3.shaft", "[]");
    blank.row("C3.bore", "[1.3755, 1.3757]")
}

pub fn readied(job: &Job, only: Option<&str>) -> (Ready, Vec<SecondSheet>) {
    let (case, set) = job.expanded();
    let only = only.map(|letter| vec![letter.to_owned()]);
    let found = ready(&case, &set, only.as_deref());
    let sheets = second(&case, &set, &found.rows);
    (found, sheets)
}

#[track_caller]
pub fn place(sheets: &[SecondSheet], code: &str) -> SecondPlace {
    let lines = sheets.iter().flat_map(|sheet| &sheet.lines);
    let found = lines.flat_map(|line| &line.places).find(|place| place.row.code == code);
    found.unwrap_or_else(|| panic!("no place {code}")).clone()
}

pub fn windows(place: &SecondPlace) -> Vec<String> {
    place.windows.iter().map(|MateWindow { mate, window, .. }| format!("{mate} {window}")).collect()
}

pub fn shown(ladder: &Steps) -> Vec<String> {
    let step = |step: &benchleaf::sheet::second::Step| {
        let gap = if step.gap { ".. " } else { "" };
        let dagger = if step.dagger { " †" } else { "" };
        format!("{gap}{} {} {}{dagger}", step.size, step.fit, step.word)
    };
    ladder.steps.iter().map(step).collect()
}
