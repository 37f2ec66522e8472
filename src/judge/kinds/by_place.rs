//! A line whose limits hold at some of its places: said wherever they are
//! printed.

use crate::judge::kind::LineKind;
use crate::judge::side::SideReadings;
use crate::judge::types::{BoxGroup, Context, PrintedLimits, ResultBox, Verdict};
use crate::model::limits::Line;

struct ByPlace<'a> {
    kind: Box<dyn LineKind + 'a>,
    line: &'a Line,
}

/// The same kind, its limits told with their places.
pub(super) fn by_place<'a>(kind: Box<dyn LineKind + 'a>, line: &'a Line) -> Box<dyn LineKind + 'a> {
    Box::new(ByPlace { kind, line })
}

impl LineKind for ByPlace<'_> {
    fn groups(&self, cx: &Context) -> Vec<BoxGroup> {
        self.kind.groups(cx)
    }

    fn answers(&self, cx: &Context) -> Vec<ResultBox> {
        self.kind.answers(cx)
    }

    fn limits(&self, cx: &Context) -> PrintedLimits {
        let limits = self.kind.limits(cx);
        let Some(codes) = self.line.places_named(cx.engine) else { return limits };
        PrintedLimits { words: format!("at {codes}: {}", limits.words), ..limits }
    }

    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict {
        self.kind.judge(read, cx)
    }
}
