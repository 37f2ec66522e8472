//! A job to its report, with the faults printed.

use super::job::{self, Job};
use super::outcome::Outcome;
use crate::bundle::{Built, How, build};
use crate::diag::Diags;

/// The report of a job.
pub fn make(job: &Job, how: How<'_>) -> Result<Built, Outcome> {
    let mut out = Diags::new();
    let pressed = build(&job.files, (&job.case, &job.set), how, &mut out);
    job::show(&out, &job.files);
    pressed.filter(|_| out.faults() == 0).ok_or(Outcome::Wrong)
}
