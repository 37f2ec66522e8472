//! Where a document says only `replace`, of the line or of one of its grades.

use super::limits::{FitLine, SizeLine};
use super::side::Side;
use super::sized::Grade;

impl FitLine {
    /// Shaft and bore: whether the document says only `replace`, of parts at this
    /// grade. A grade keeps what the line says unless it has a wear limit.
    pub fn replaced(&self, grade: Option<&Grade>) -> [bool; 2] {
        Side::FIT.map(|side| {
            let own = self.part(side).replace;
            let graded = grade.and_then(|grade| side.of([&grade.shaft, &grade.bore]).as_ref());
            graded.map_or(own, |part| part.replace || own && part.wear.is_none())
        })
    }
}

impl SizeLine {
    /// See [`FitLine::replaced`].
    pub fn replaced(&self, grade: Option<&str>) -> bool {
        let own = self.limits.replace;
        let named = |name| self.grades.iter().find(|grade| Some(grade.name.as_str()) == name);
        named(grade).map_or(own, |grade| {
            let limits = &grade.limits;
            let worn = limits.service_min.is_some() || limits.service_max.is_some();
            limits.replace || own && !worn
        })
    }
}
