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
    fn groups(&self, setting: &Context) -> Vec<BoxGroup> {
        self.kind.groups(setting)
    }

    fn answers(&self, setting: &Context) -> Vec<ResultBox> {
        self.kind.answers(setting)
    }

    fn scales(&self, setting: &Context) -> Vec<Scale> {
        self.kind.scales(setting)
    }

    fn ranges(&self, setting: &Context) -> Vec<Range> {
        self.kind.ranges(setting)
    }

    fn graded(&self, setting: &Context) -> Vec<(String, Vec<Range>)> {
        self.kind.graded(setting)
    }

    fn limits_in_words(&self, setting: &Context) -> String {
        self.kind.limits_in_words(setting)
    }

    fn judge(&self, read: &[SideReadings], setting: &Context) -> Verdict {
        (self.judge)(&*self.kind, read, setting)
    }
}
