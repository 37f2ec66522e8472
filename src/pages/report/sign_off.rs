//! Blocks in which a person signs.

use super::text::{CAPTION, HEADING, PROSE, Setter};
use crate::layout::at;
use crate::layout::canvas::{BOX, Canvas, MINOR, mm, solid};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Area};
use crate::layout::paginate::{Anchor, Block};
use crate::layout::style::TextStyle;

/// Room for a signature, by hand or made visible by a program.
const SIGNATURE: (Len, Len) = (mm(80.0), mm(25.0));
const DATE: Len = mm(8.6);
const PAD: Len = mm(2.6);
const TOP: Len = mm(1.4);

/// One block for each person, never split: name, role, certificate number,
/// what is signed for.
pub fn sign_off(
    set: &Setter,
    (name, role, certificate, what): &(String, String, String, String),
) -> Block {
    let mut canvas = set.canvas();
    let left = set.width - SIGNATURE.0 - PAD * 2 - mm(3.0);
    let mut y = TOP;
    y = field(&mut canvas, y, left, ("name", HEADING, name));
    y = field(&mut canvas, y, left, ("role", PROSE, role));
    y = field(&mut canvas, y, left, ("certificate number", PROSE, certificate));
    if !what.is_empty() {
        y = field(&mut canvas, y, left, ("signs for", PROSE, what));
    }
    let height = y.max(boxes(set, &mut canvas) + PAD);
    canvas.rect(Area { w: set.width, h: height, ..Area::default() }, solid(1.0));
    let place = Anchor::Signature(name.clone(), signature_area(set.width));
    canvas.block(height).above(mm(4.0)).with([place])
}

fn signature_area(width: Len) -> Area {
    Area { x: width - SIGNATURE.0 - PAD, y: TOP + CAPTION.leading, w: SIGNATURE.0, h: SIGNATURE.1 }
}

/// A caption and its text, or a line to write on where there is none; gives
/// where the next begins.
fn field(
    canvas: &mut Canvas<'_>,
    top: Len,
    width: Len,
    (caption, style, text): (&str, TextStyle, &str),
) -> Len {
    canvas.set(at(PAD, top), CAPTION, Align::Left, caption);
    let y = top + CAPTION.leading;
    if text.is_empty() {
        let y = y + mm(5.0);
        canvas.rule(PAD, y, width, MINOR);
        return y + mm(1.4);
    }
    let height = canvas.tell(at(PAD, y), style, text, width);
    y + height + mm(1.4)
}

/// The rooms for the signature and its date; gives where they end.
fn boxes(set: &Setter, canvas: &mut Canvas<'_>) -> Len {
    let signature = signature_area(set.width);
    let date =
        Area { y: signature.y + signature.h + mm(1.0) + CAPTION.leading, h: DATE, ..signature };
    for (area, caption) in [(signature, "signature"), (date, "date, year month day")] {
        canvas.rect(area, BOX);
        let y = area.y - CAPTION.leading;
        canvas.set(at(area.x, y), CAPTION, Align::Left, caption);
    }
    date.y + date.h
}
