//! A scale over boxes: bands by value, their words inside, the thresholds
//! under the ticks. Widths are for reading, not to scale.

use crate::judge::{Band, Look, Scale};
use crate::layout::canvas::{BOX, Canvas, DASHED, DOTTED, Desk, MINOR, mm, solid};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Area, Pen};
use crate::layout::paginate::Block;
use crate::layout::style::{CAPTION, LABEL, Para, TextStyle};
use crate::layout::{area, at};
use crate::quantity::{Exact, Fit};

/// Around the new band.
const BAND: Pen = solid(1.6);
/// A hatched end without a word.
const END: Len = mm(4.4);
/// A band without a word.
const BARE: Len = mm(4.6);
const AIR: Len = mm(1.2);
const TICK: Len = mm(1.0);

/// What stands between two bands.
struct Threshold {
    /// The band at its right.
    before: usize,
    text: String,
    width: Len,
}

/// Whether every threshold is loose, every one tight, or they are mixed and
/// each says so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sides {
    Loose,
    Tight,
    Mixed,
}

/// The sides of a scale of fits; absent for a scale of sizes.
pub fn sides(scale: &Scale) -> Option<Sides> {
    if !scale.fits {
        return None;
    }
    let thresholds = || scale.bands.iter().flat_map(|band| [band.from, band.to]).flatten();
    let tight = thresholds().any(|size| size.is_negative());
    let loose = thresholds().any(|size| !size.is_negative());
    Some(match (loose, tight) {
        (_, false) => Sides::Loose,
        (false, true) => Sides::Tight,
        _ => Sides::Mixed,
    })
}

/// Draws a scale `width` wide.
pub fn scale(desk: &Desk, scale: &Scale, width: Len) -> Block {
    let mut canvas = Canvas::new(desk);
    let thresholds = thresholds(scale);
    let spoken = Worded::new(&scale.bands);
    let plans = [(true, true), (true, false), (false, false)];
    let fitting = plans.into_iter().find_map(|(words, apart)| {
        let least = least(&scale.bands, &spoken, &thresholds, words, apart);
        let sum: Len = least.iter().copied().sum();
        (sum <= width).then_some((words, least))
    });
    let (words, least) = fitting.unwrap_or_else(|| {
        let even = width / i32::try_from(scale.bands.len().max(1)).unwrap_or(1);
        (false, vec![even; scale.bands.len()])
    });
    let widths = share_out(&scale.bands, least, width);
    let edges = edges(&widths);
    let spoken = spoken.settled(&scale.bands, &widths);
    let tall = spoken.height(words);
    draw_bands(&mut canvas, &scale.bands, &edges, tall, words.then_some(&spoken));
    let mut height = tall + draw_thresholds(&mut canvas, &thresholds, &edges, tall, width);
    if !words {
        let told = told(scale, &thresholds);
        height += canvas.tell(at(Len::ZERO, height + mm(0.4)), CAPTION, &told, width) + mm(0.4);
    }
    canvas.done(height)
}

/// The bands' words, one a line, and the width they need.
struct Worded(Vec<(Para, Len)>);

impl Worded {
    fn new(bands: &[Band]) -> Worded {
        let worded = bands.iter().map(|band| {
            let words = if band.look == Look::Dotted { "" } else { &band.word };
            let style = style(band.look);
            let widths = words.split(' ').map(|word| style.width(word));
            let widest = widths.max().unwrap_or_default();
            (style.para(words, widest), widest)
        });
        Worded(worded.collect())
    }

    /// Broken anew for the widths that the bands have got.
    fn settled(self, bands: &[Band], widths: &[Len]) -> Worded {
        let least = self.0.into_iter().map(|(_, least)| least);
        let bands = bands.iter().zip(widths).zip(least);
        let settled = bands.map(|((band, width), least)| {
            let words = if band.look == Look::Dotted { "" } else { &band.word };
            let width = least.max(*width - AIR);
            (style(band.look).para(words, width), width)
        });
        Worded(settled.collect())
    }

    fn height(&self, words: bool) -> Len {
        let tallest = self.0.iter().map(|(para, _)| para.height()).max();
        let tall = tallest.unwrap_or_default() + AIR;
        if words { tall.max(mm(5.0)) } else { mm(5.0) }
    }
}

fn style(look: Look) -> TextStyle {
    match look {
        Look::Heavy | Look::Hatched => LABEL,
        _ => CAPTION,
    }
}

fn thresholds(scale: &Scale) -> Vec<Threshold> {
    let letters = sides(scale) == Some(Sides::Mixed);
    let ends = scale.bands.iter().flat_map(|band| [band.from, band.to]).flatten();
    let places = ends.map(|size| size.places()).max().unwrap_or(0);
    let show = |size: Exact| match (scale.fits, letters) {
        (true, true) => Fit(size).show(places),
        (true, false) => size.abs().padded(places).to_string(),
        _ => size.padded(places).to_string(),
    };
    let bands = &scale.bands;
    (0..=bands.len())
        .filter_map(|n| {
            let left = n.checked_sub(1).and_then(|n| bands[n].to);
            let size = left.or_else(|| bands.get(n).and_then(|band| band.from))?;
            let text = show(size);
            let width = LABEL.width(&text);
            Some(Threshold { before: n, text, width })
        })
        .collect()
}

/// The least width of each band: for its word, and for the thresholds at its
/// ends to stand side by side (`apart`) or one above the other.
fn least(
    bands: &[Band],
    spoken: &Worded,
    thresholds: &[Threshold],
    words: bool,
    apart: bool,
) -> Vec<Len> {
    let label = |edge: usize| thresholds.iter().find(|t| t.before == edge).map(|t| t.width);
    (0..bands.len())
        .map(|n| {
            let word = match bands[n].look {
                _ if !words => BARE,
                Look::Hatched | Look::Dotted => END,
                _ => spoken.0[n].1 + AIR,
            };
            let labels = match (label(n), label(n + 1)) {
                (Some(left), Some(right)) if apart => (left + right) / 2 + AIR,
                _ => BARE.min(word),
            };
            word.max(labels)
        })
        .collect()
}

/// Shares what is left of the width among the bands, the new one first.
fn share_out(bands: &[Band], least: Vec<Len>, width: Len) -> Vec<Len> {
    let weight = |band: &Band| match band.look {
        Look::Heavy => 4,
        Look::Plain | Look::Dashed => 2,
        Look::Hatched => 2,
        Look::Dotted => 1,
    };
    let spare = width - least.iter().copied().sum();
    let total: i32 = bands.iter().map(weight).sum::<i32>().max(1);
    let more = bands.iter().map(|band| spare * weight(band) / total);
    least.iter().zip(more).map(|(least, more)| *least + more).collect()
}

fn edges(widths: &[Len]) -> Vec<Len> {
    let mut edges = vec![Len::ZERO];
    for width in widths {
        let last = edges.last().copied().unwrap_or_default();
        edges.push(last + *width);
    }
    edges
}

fn draw_bands(
    canvas: &mut Canvas<'_>,
    bands: &[Band],
    edges: &[Len],
    tall: Len,
    words: Option<&Worded>,
) {
    // The heavy outline last, over its neighbours'.
    let heavy = |band: &Band| band.look == Look::Heavy;
    let order = (0..bands.len()).filter(|n| !heavy(&bands[*n]));
    let order = order.chain((0..bands.len()).filter(|n| heavy(&bands[*n])));
    for n in order {
        let box_of = area(edges[n], Len::ZERO, edges[n + 1] - edges[n], tall);
        let para = words.map(|words| &words.0[n].0);
        match bands[n].look {
            Look::Heavy => canvas.rect(box_of, BAND),
            Look::Plain => canvas.rect(box_of, BOX),
            Look::Dashed => canvas.rect(box_of, DASHED),
            Look::Dotted => canvas.rule(box_of.x + mm(0.6), tall / 2, box_of.w - AIR, DOTTED),
            Look::Hatched => {
                hatched(canvas, box_of, para);
                continue;
            }
        }
        if let Some(para) = para {
            speak(canvas, box_of, para);
        }
    }
}

fn speak(canvas: &mut Canvas<'_>, inside: Area, para: &Para) {
    let top = inside.y + (inside.h - para.height()) / 2;
    let middle = at(inside.x + inside.w / 2, top);
    canvas.write_aligned(middle, para, Align::Centre);
}

/// Hatching that leaves its word free, where there is room for one.
fn hatched(canvas: &mut Canvas<'_>, inside: Area, para: Option<&Para>) {
    let widest = |para: &Para| {
        let widths = para.lines.iter().map(|line| para.style.width(line));
        widths.max().unwrap_or_default() + mm(1.0)
    };
    let side = para.map(|para| (inside.w - widest(para)) / 2);
    match (para, side) {
        (Some(para), Some(side)) if side >= mm(1.6) => {
            let right = inside.x + inside.w - side;
            canvas.hatch(area(inside.x, inside.y, side, inside.h));
            canvas.hatch(area(right, inside.y, side, inside.h));
            speak(canvas, inside, para);
        }
        _ => canvas.hatch(inside),
    }
}

/// Draws the thresholds under the bands, on two levels where they would touch;
/// gives back the height they take.
fn draw_thresholds(
    canvas: &mut Canvas<'_>,
    thresholds: &[Threshold],
    edges: &[Len],
    tall: Len,
    width: Len,
) -> Len {
    let lead = LABEL.leading;
    let mut ends = [-mm(5.0); 3];
    let mut deepest = 0;
    for threshold in thresholds {
        let x = edges[threshold.before];
        let over = mm(1.4);
        let left = (x - threshold.width / 2).max(-over);
        let left = left.min(width - threshold.width);
        let free = ends.iter().position(|end| left >= *end + mm(0.8));
        let level = free.unwrap_or(ends.len() - 1);
        ends[level] = left + threshold.width;
        let deep = i32::try_from(level).unwrap_or(0);
        deepest = deepest.max(deep);
        canvas.post(x, tall, TICK + lead * deep, MINOR);
        let base = tall + TICK + LABEL.ascent + lead * deep;
        canvas.word(left, base, LABEL, &threshold.text);
    }
    if thresholds.is_empty() {
        return Len::ZERO;
    }
    TICK + lead * (deepest + 1)
}

/// The bands in words, where the words found no room inside. Of tight fits more is
/// tighter, and neither end is below the other.
fn told(scale: &Scale, thresholds: &[Threshold]) -> String {
    let (over, under) = match sides(scale) {
        None | Some(Sides::Loose) => ("above", "below"),
        Some(Sides::Tight | Sides::Mixed) => ("looser than", "tighter than"),
    };
    let text = |edge: usize| thresholds.iter().find(|t| t.before == edge).map(|t| &t.text);
    let band = |(n, band): (usize, &Band)| match (text(n), text(n + 1)) {
        (Some(from), Some(to)) => format!("{} {from} to {to}", band.word),
        (Some(from), None) => format!("{} {over} {from}", band.word),
        (None, Some(to)) => format!("{} {under} {to}", band.word),
        (None, None) => band.word.clone(),
    };
    scale.bands.iter().enumerate().map(band).collect::<Vec<_>>().join("; ")
}
