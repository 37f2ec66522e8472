//! Whether a line has anything to hold a reading against.

use crate::model::limits::{FitLine, Line, SizeLimits, Tolerance};
use crate::model::side::Side;

/// Of a fit, a limit of the clearance or of either part is enough. What is only
/// counted or recorded has none by its kind.
pub fn given(line: &Line) -> bool {
    let Some(own) = line.tolerance() else { return true };
    stated(own)
        || line.fit().is_some_and(parts)
        || line.size().is_some_and(|size| size.grades.iter().any(|grade| stated(&grade.limits)))
}

fn stated(limits: &Tolerance) -> bool {
    limits.replace || !limits.is_open()
}

/// A limit of a part of a fit, in some grade or none.
fn parts(fit: &FitLine) -> bool {
    let of = |part: &SizeLimits| {
        let limits = [&part.new_min, &part.new_max, &part.wear];
        part.replace || limits.into_iter().any(Option::is_some)
    };
    let graded = fit.grades.iter().flat_map(|grade| [&grade.shaft, &grade.bore]).flatten();
    Side::FIT.iter().map(|side| fit.part(*side)).chain(graded).any(of)
}
