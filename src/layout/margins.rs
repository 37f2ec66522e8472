//! A last look at finished pages: letters that no typeface has, and anything
//! beyond the margins, are faults and never silent.

use std::collections::BTreeSet;

use super::canvas::mm;
use super::font::fonts;
use super::length::Len;
use super::mark::{Area, Document, Mark, Page, area};
use crate::diag::Diags;

/// Strokes stand half over their line, labels a little over a scale's end.
const OVER: Len = mm(1.6);

/// Looks at every page against what is inside the margins.
pub fn check(document: &Document, inside: Area, out: &mut Diags) {
    let mut lacking = BTreeSet::new();
    let mut beyond = BTreeSet::new();
    for page in &document.pages {
        for run in page.marks.iter().flat_map(Mark::runs) {
            if let Some(letter) = fonts().missing(run.face, &run.text) {
                lacking.insert((letter, run.text.to_string(), page.label.clone()));
            }
        }
        for mark in &page.marks {
            if let Some(what) = outside(mark, inside, page) {
                beyond.insert((page.label.clone(), what));
            }
        }
    }
    for (letter, text, page) in lacking {
        let code = u32::from(letter);
        out.fault_nowhere(
            format!("page {page}: the typefaces have no {letter:?} (U+{code:04X}) for `{text}`"),
            "write it with letters, figures and signs that they have",
        );
    }
    for (page, what) in beyond {
        let message = format!("page {page}: {what} runs over the margin");
        out.fault_nowhere(message, "shorten it, or take fewer digits or places on that line");
    }
}

/// What a mark is, where it is not within the margins.
fn outside(mark: &Mark, inside: Area, page: &Page) -> Option<String> {
    match mark {
        Mark::Run(run) => {
            let (left, right) = run.ends();
            let over = beyond(area(left, run.at.y, right - left, Len::ZERO), inside);
            over.then(|| format!("`{}`", run.text))
        }
        // The hole marks stand in the filing margin.
        Mark::Stamp { at, stamp } => {
            let (wide, tall) = stamp.size;
            let held = at.x + wide < inside.x && at.y + tall < page.height;
            let over = !held && beyond(area(at.x, at.y, wide, tall), inside);
            over.then(|| format!("a box ({})", stamp.name))
        }
        Mark::Rect { area, .. } | Mark::Hatch { area } => {
            beyond(*area, inside).then(|| "a box".to_string())
        }
        Mark::Line { from, to, .. } => {
            let (x, y) = (from.x.min(to.x), from.y.min(to.y));
            let line = area(x, y, from.x.max(to.x) - x, from.y.max(to.y) - y);
            beyond(line, inside).then(|| "a line".to_string())
        }
        Mark::Path { .. } | Mark::Field { .. } => None,
    }
}

fn beyond(mark: Area, inside: Area) -> bool {
    mark.x < inside.x - OVER
        || mark.y < inside.y - OVER
        || mark.x + mark.w > inside.x + inside.w + OVER
        || mark.y + mark.h > inside.y + inside.h + OVER
}
