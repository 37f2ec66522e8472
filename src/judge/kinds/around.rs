//! A kind of line whose verdict is gone over once more; all else it says itself.

use crate::judge::kind::LineKind;
use crate::judge::side::SideReadings;
use crate::judge::types::{BoxGroup, Context, PrintedLimits, ResultBox, Verdict};

struct Around<'a, J> {
    kind: Box<dyn LineKind + 'a>,
    judge: J,
}

/// A kind that is judged by `judge`, which is handed the kind as it is.
pub(crate) fn around<'a, J>(kind: Box<dyn LineKind + 'a>, judge: J) -> Box<dyn LineKind + 'a>
where
    J: Fn(&dyn LineKind, &[SideReadings], &Context) -> Verdict + 'a,
{
    Box::new(Around { kind, judge })
}

impl<J: Fn(&dyn LineKind, &[SideReadings], &Context) -> Verdict> LineKind for Around<'_, J> {
    fn groups(&self, cx: &Context) -> Vec<BoxGroup> {
        self.kind.groups(cx)
    }

    fn answers(&self, cx: &Context) -> Vec<ResultBox> {
        self.kind.answers(cx)
    }

    fn limits(&self, cx: &Context) -> PrintedLimits {
        self.kind.limits(cx)
    }

    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict {
        (self.judge)(&*self.kind, read, cx)
    }
}
