//! A ladder: reading, clearance and state, a step a line.

use crate::layout::canvas::{BOX, Canvas, HAIR, MINOR, mm};
use crate::layout::font::fonts;
use crate::layout::length::Len;
use crate::layout::paginate::Block;
use crate::layout::style::{CAPTION, STRONG, TEXT, TextStyle};
use crate::layout::{area, at};
use crate::pages::worksheet::Layout;
use crate::sheet::second::{Step, Steps};

/// Title above the steps.
pub const TITLE: Len = mm(4.6);
/// From step to step.
pub const LEAST: Len = mm(2.7);
pub const MOST: Len = mm(4.2);
/// Between the two lines where sizes were skipped.
const SKIP: Len = mm(0.6);
const EDGE: Len = mm(1.4);
const SIZES: [f64; 8] = [11.5, 11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0];

fn skips(steps: &Steps) -> Len {
    SKIP.times(steps.steps.iter().filter(|step| step.gap).count())
}

fn count(steps: &Steps) -> i32 {
    i32::try_from(steps.steps.len()).unwrap_or(1).max(1)
}

/// How high a ladder is at a pitch.
pub fn height(steps: &Steps, pitch: Len) -> Len {
    TITLE + skips(steps) + pitch * count(steps)
}

/// Draws a ladder in a height not under its least.
pub fn ladder(lay: &Layout<'_>, steps: &Steps, width: Len, height: Len) -> Block {
    let mut canvas = lay.canvas();
    let x = canvas.word(Len::ZERO, TITLE - mm(1.2), STRONG.sized(9.6), steps.title) + mm(2.0);
    canvas.word(x, TITLE - mm(1.2), TEXT, &steps.sum);
    let pitch = ((height - TITLE - skips(steps)) / count(steps)).min(MOST);
    let pitch = mm(0.1) * (pitch.um() / 100);
    let columns = Columns::new(steps, width, pitch);
    let mut y = TITLE;
    let mut above: Option<&Step> = None;
    for step in &steps.steps {
        if step.gap {
            canvas.rule(Len::ZERO, y, width, HAIR);
            y += SKIP;
            canvas.rule(Len::ZERO, y, width, HAIR);
        } else if above.is_some_and(|above| above.word != step.word) {
            canvas.rule(Len::ZERO, y, width, MINOR);
        }
        columns.step(&mut canvas, step, (y, pitch), width);
        above = Some(step);
        y += pitch;
    }
    canvas.rect(area(Len::ZERO, TITLE, width, y - TITLE), BOX);
    canvas.done(y)
}

struct Columns {
    size: TextStyle,
    word: TextStyle,
    fit: Len,
    words: Len,
}

impl Columns {
    /// The largest type that the pitch and the width allow.
    fn new(steps: &Steps, width: Len, pitch: Len) -> Columns {
        let mut found = Columns::at(steps, SIZES[SIZES.len() - 1]).0;
        for size in SIZES {
            let (columns, end) = Columns::at(steps, size);
            if Len::pt(size) <= pitch.scale(1.1) && end <= width - mm(3.6) {
                found = columns;
                break;
            }
        }
        found
    }

    /// At a size of type; and where the longest line ends.
    fn at(steps: &Steps, size: f64) -> (Columns, Len) {
        let bold = STRONG.sized(size);
        let word = TEXT.sized((size - 1.5).clamp(7.4, 9.0));
        let widest = |text: fn(&Step) -> &str, style: TextStyle| {
            let widths = steps.steps.iter().map(|step| style.width(text(step)));
            widths.max().unwrap_or_default()
        };
        let dagger =
            if steps.steps.iter().any(|step| step.dagger) { word.width("†") } else { Len::ZERO };
        let fit = EDGE + widest(|step| &step.size, bold) + mm(0.4) + dagger + mm(1.8);
        let words = fit + widest(|step| &step.fit, bold) + mm(2.2);
        let strong = STRONG.sized(word.size.to_pt());
        let end = words + widest(|step| &step.word, strong);
        (Columns { size: bold, word, fit, words }, end)
    }

    fn step(&self, canvas: &mut Canvas<'_>, step: &Step, (y, pitch): (Len, Len), width: Len) {
        let cap = fonts().cap_height(self.size.face, self.size.size);
        let base = y + (pitch + cap) / 2;
        let end = canvas.word(EDGE, base, self.size, &step.size);
        if step.dagger {
            canvas.word(end + mm(0.4), base, self.word, "†");
        }
        let points = self.size.size.to_pt();
        let fit = if step.out { self.size } else { TEXT.sized(points) };
        canvas.word(self.fit, base, fit, &step.fit);
        let word = if step.out { STRONG.sized(self.word.size.to_pt()) } else { self.word };
        let end = canvas.word(self.words, base, word, &step.word) + mm(1.0);
        if step.out && end < width - mm(1.4) {
            canvas.hatch(area(end, y, width - end, pitch));
        }
    }
}

/// In the place of ladders where no mate serves.
pub fn none(lay: &Layout<'_>, words: &str, width: Len) -> Block {
    let mut canvas = lay.canvas();
    let mut y = mm(4.0);
    y += canvas.tell(at(mm(3.0), y), STRONG.sized(11.0), words, width - mm(6.0)) + mm(1.0);
    y += canvas.tell(at(mm(3.0), y), CAPTION.sized(7.6), NONE, width - mm(6.0)) + mm(3.0);
    canvas.rect(area(Len::ZERO, Len::ZERO, width, y), BOX);
    canvas.done(y)
}

const NONE: &str = "nothing that could be read here passes: ask the inspector what is to be done with the \
    part on record, then print this sheet again";
