//! The sizes above the bar of a fit, with a line from each down to the bar.

use super::bar::{LENGTH, along};
use super::text::TICK;
use crate::layout::at;
use crate::layout::canvas::{Canvas, mm, solid};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Face, Pen, Point, Step};
use crate::layout::style::TextStyle;
use crate::report::FitGroup;

const LEADER: Pen = solid(0.7);
/// From the sizes down to the bar's strip, where a slanting line has room.
const DROP: Len = mm(2.2);
const LABEL_GAP: Len = mm(1.6);

/// A size above the bar: where it points to, where it stands.
struct Label<'a> {
    text: &'a str,
    at: Len,
    left: Len,
    width: Len,
    level: i32,
}

/// The sizes above a bar, each where it has room.
pub struct Ticks<'a> {
    labels: Vec<Label<'a>>,
    levels: i32,
    word: Option<(Len, &'static str)>,
}

impl<'a> Ticks<'a> {
    /// They may stand so far out past the ends of the bar.
    pub fn new(group: &'a FitGroup, out: Len) -> Ticks<'a> {
        let mut labels: Vec<Label<'a>> = Vec::new();
        for (text, share) in &group.ticks {
            let (at, width) = (along(*share), TICK.width(text));
            let left = at - width / 2;
            labels.push(Label { text, at, left, width, level: 0 });
        }
        labels.sort_by_key(|label| label.at);
        labels.dedup_by(|a, b| a.text == b.text && a.at == b.at);
        let room = LENGTH + out * 2;
        let needed: Len = labels.iter().map(|label| label.width + LABEL_GAP).sum();
        let levels = (1..).find(|n| needed <= room.scale(f64::from(*n) * 0.94)).unwrap_or(1);
        for (n, label) in labels.iter_mut().enumerate() {
            label.level = n as i32 % levels;
        }
        for level in 0..levels {
            let on: Vec<&mut Label<'_>> = labels.iter_mut().filter(|l| l.level == level).collect();
            spread(on, -out, LENGTH + out);
        }
        let word = word(group, &labels).filter(|_| levels == 1);
        Ticks { labels, levels, word }
    }

    pub fn height(&self) -> Len {
        TICK.leading * self.levels + DROP
    }

    /// Draws them in a strip of their [`Ticks::height`], with lines down to the
    /// bar that lies `below` under it.
    pub fn draw(&self, canvas: &mut Canvas<'_>, corner: Point, below: Len) {
        let end = corner.y + self.height() + below;
        for label in &self.labels {
            let y = corner.y + TICK.leading * label.level;
            let x = corner.x + label.left;
            canvas.set(at(x, y), TICK, Align::Left, label.text);
            self.leader(canvas, corner, label, y + TICK.leading - mm(0.2), end);
        }
        if let Some((x, word)) = self.word {
            canvas.set(at(corner.x + x, corner.y), WORD, Align::Centre, word);
        }
    }

    /// Straight down under its size, slanting only where that had to move.
    fn leader(
        &self,
        canvas: &mut Canvas<'_>,
        corner: Point,
        label: &Label<'_>,
        top: Len,
        end: Len,
    ) {
        let inset = (label.width / 2).min(mm(2.0));
        let from = label.at.max(label.left + inset).min(label.left + label.width - inset);
        let bend = corner.y + self.height() - mm(0.4);
        let point = |x: Len, y: Len| at(corner.x + x, y);
        let mut steps = vec![Step::To(point(from, top))];
        if from != label.at {
            let start = corner.y + TICK.leading * self.levels;
            steps.push(Step::Line(point(from, start)));
            steps.push(Step::Line(point(label.at, bend)));
        }
        steps.push(Step::Line(point(label.at, end)));
        canvas.path(steps, Some(LEADER), false);
    }
}

const WORD: TextStyle = TICK.with(Face::Regular);

/// `new` over the new band, where the sizes leave room for it.
fn word(group: &FitGroup, labels: &[Label<'_>]) -> Option<(Len, &'static str)> {
    let (from, to) = group.new?;
    let word = "new";
    let need = WORD.width(word) + LABEL_GAP * 2;
    let left = labels.iter().rfind(|label| label.at <= along(from));
    let right = labels.iter().find(|label| label.at >= along(to));
    let left = left.map_or(along(from), |label| label.left + label.width);
    let right = right.map_or(along(to), |label| label.left);
    let clear = !labels.iter().any(|label| label.left < right && label.left + label.width > left);
    (clear && right - left >= need).then_some(((left + right) / 2, word))
}

/// Labels that touch and move together.
struct Cluster {
    first: usize,
    count: usize,
    width: Len,
    /// Of the places wanted for its left end, one for each label.
    wanted: Len,
}

impl Cluster {
    fn left(&self, from: Len, to: Len) -> Len {
        let mean = self.wanted / self.count as i32;
        mean.min(to - self.width).max(from)
    }
}

/// Moves labels apart as little as can be, and none out of the room.
fn spread(mut labels: Vec<&mut Label<'_>>, from: Len, to: Len) {
    let mut clusters: Vec<Cluster> = Vec::new();
    for (first, label) in labels.iter().enumerate() {
        let mut new = Cluster { first, count: 1, width: label.width, wanted: label.left };
        while let Some(last) = clusters.pop() {
            let edge = last.left(from, to) + last.width + LABEL_GAP;
            if edge <= new.left(from, to) {
                clusters.push(last);
                break;
            }
            let shift = last.width + LABEL_GAP;
            new = Cluster {
                first: last.first,
                count: last.count + new.count,
                width: shift + new.width,
                wanted: last.wanted + new.wanted - shift * new.count as i32,
            };
        }
        clusters.push(new);
    }
    for cluster in clusters {
        let mut x = cluster.left(from, to);
        for label in &mut labels[cluster.first..cluster.first + cluster.count] {
            label.left = x;
            x += label.width + LABEL_GAP;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn label(at: f64, width: f64) -> Label<'static> {
        let (at, width) = (Len::mm(at), Len::mm(width));
        Label { text: "", at, left: at - width / 2, width, level: 0 }
    }

    #[test]
    fn labels_that_touch_share_the_shift_and_stay_in_the_room() {
        let mut labels =
            [label(5.0, 10.0), label(30.0, 10.0), label(32.0, 10.0), label(57.0, 10.0)];
        spread(labels.iter_mut().collect(), Len::mm(-4.0), Len::mm(61.0));
        let lefts = labels.map(|label| label.left);
        // Two around 31.0, that is 21.6 wide from 20.2, and the last two free.
        assert_eq!(lefts, [0.0, 20.2, 31.8, 51.0].map(Len::mm));
    }
}
