//! The block that shows a signature on the page: name, role, certificate
//! number, date and what was signed for.

use super::increment::Increment;
use super::typeface::embed;
use super::types::{SignError, Signer};
use crate::layout::font::fonts;
use crate::layout::length::Len;
use crate::layout::mark::{Align, Area, Face, Mark, Point, Run};
use crate::pdf::appearance::piece;
use crate::pdf::read::value::{Dict, Value};
use crate::pdf::resource;

/// Sizes of the name and of the other lines, the largest that fits is taken.
/// None is under 7 pt. One typeface, since each costs as much as all the text.
const SIZES: [(f64, f64); 3] = [(11.0, 8.0), (10.0, 7.5), (8.0, 7.0)];
const FACE: Face = Face::Regular;

/// Adds the form that draws the block.
///
/// # Errors
/// [`SignError::Letter`] and [`SignError::NoRoom`].
pub fn form(
    increment: &mut Increment<'_>,
    who: &Signer<'_>,
    area: Area,
) -> Result<Value, SignError> {
    let marks = marks(who, area)?;
    let piece = piece(&marks, area.h);
    let piece = piece.map_err(|why| SignError::Letter { why: why.to_string() })?;
    let mut typefaces = Dict::default();
    for (face, subset) in &piece.subsets {
        let font = embed(increment, subset, fonts().metrics(*face));
        typefaces.set(resource(*face), font);
    }
    let edges = [Len::ZERO, Len::ZERO, area.w, area.h].map(points);
    let dict = Dict::default()
        .with("Type", "XObject")
        .with("Subtype", "Form")
        .with("BBox", edges.to_vec())
        .with("Resources", Dict::default().with("Font", typefaces));
    Ok(increment.add_stream(dict, piece.content.as_bytes()))
}

/// A length in points, to a hundredth.
pub fn points(length: Len) -> Value {
    Value::Real(format!("{:.2}", length.to_pt()).into())
}

fn marks(who: &Signer<'_>, area: Area) -> Result<Vec<Mark>, SignError> {
    let fitting = SIZES.iter().find_map(|(large, small)| {
        let lines = lines(who, area.w, Len::pt(*large), Len::pt(*small));
        placed(&lines, area)
    });
    fitting.ok_or(SignError::NoRoom)
}

struct Line {
    text: String,
    size: Len,
}

fn lines(who: &Signer<'_>, width: Len, large: Len, small: Len) -> Vec<Line> {
    let mut role = who.role.to_string();
    if !who.certificate_number.is_empty() {
        role.push_str(" · certificate number ");
        role.push_str(who.certificate_number);
    }
    let when = format!("{} by the signer's own clock", who.claimed);
    let texts =
        [(who.name, large), (role.as_str(), small), (when.as_str(), small), (who.what_for, small)];
    let mut lines = Vec::new();
    for (text, size) in texts.into_iter().filter(|(text, _)| !text.is_empty()) {
        for text in fonts().wrap(FACE, size, text, width) {
            lines.push(Line { text, size });
        }
    }
    lines
}

/// The lines from the top down, or `None` where they do not fit.
fn placed(lines: &[Line], area: Area) -> Option<Vec<Mark>> {
    let mut marks = Vec::new();
    let mut y = Len::ZERO;
    for line in lines {
        y += line.size.scale(0.95);
        if y + fonts().descent(FACE, line.size) > area.h {
            return None;
        }
        marks.push(Mark::Run(Run {
            at: Point { x: Len::ZERO, y },
            text: line.text.as_str().into(),
            face: FACE,
            size: line.size,
            align: Align::Left,
            white: false,
            turn: 0,
        }));
        y += line.size.scale(0.25);
    }
    Some(marks)
}
