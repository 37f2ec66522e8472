//! Whether a line has anything to hold a reading against.

use crate::model::limits::Line;

/// What is only counted or recorded has no limit by its kind; a line may have
/// limits in its grades alone.
pub fn given(line: &Line) -> bool {
    let of_fit = line.fit().is_some_and(|fit| {
        let parts = fit.grades.iter().flat_map(|grade| [&grade.shaft, &grade.bore]).flatten();
        parts.into_iter().any(|part| part.is_given())
    });
    let of_size =
        line.size().is_some_and(|size| size.grades.iter().any(|grade| grade.limits.is_given()));
    line.tolerance().is_none() || line.has_limits() || of_fit || of_size
}
