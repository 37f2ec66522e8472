//! A kind of line whose verdict is gone over once more; all else it says itself.

use crate::judge::kind::LineKind;
use crate::judge::side::SideReadings;
use crate::judge::types::{BoxGroup, Context, Range, ResultBox, Scale, Verdict};

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

    fn scales(&self, cx: &Context) -> Vec<Scale> {
        self.kind.scales(cx)
    }

    fn ranges(&self, cx: &Context) -> Vec<Range> {
        self.kind.ranges(cx)
    }

    fn graded(&self, cx: &Context) -> Vec<(String, Vec<Range>)> {
        self.kind.graded(cx)
    }

    fn limits_in_words(&self, cx: &Context) -> String {
        self.kind.limits_in_words(cx)
    }

    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict {
        (self.judge)(&*self.kind, read, cx)
    }
}
