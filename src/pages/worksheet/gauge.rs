//! The gauge of one line, written at its head where a sheet reads several.

use super::Layout;
use crate::layout::at;
use crate::layout::canvas::{Canvas, HAIR, mm};
use crate::layout::length::Len;
use crate::layout::style::CAPTION;
use crate::model::side::Group;
use crate::sheet::{LineRows, fields};

/// A line that has the width to itself: its height and its baseline.
pub const ROW: Len = mm(4.4);
pub const BASE: Len = mm(3.4);
/// The least width that can be written on.
const LEAST: Len = mm(20.0);

const WORD: &str = "gauge";

/// Whether boxes of this line say at its head with which gauge they were read.
pub fn asked(lay: &Layout<'_>, line: &LineRows, group: Group) -> bool {
    let own = line.own().any(|own| own.key.side() == group.side());
    own && lay.names_gauges(group.side().word(), &line.reference)
}

/// The least room for the word and a line to write on.
pub fn least() -> Len {
    CAPTION.width(WORD) + mm(1.0) + LEAST
}

/// The word and a line from `x` to `right`, on that baseline.
pub fn write(
    lay: &Layout<'_>,
    canvas: &mut Canvas<'_>,
    (line, group): (&LineRows, Group),
    (x, right): (Len, Len),
    base: Len,
) {
    let start = canvas.word(x, base, CAPTION, WORD) + mm(1.0);
    let under = base + mm(0.6);
    canvas.rule(start, under, right - start, HAIR);
    let named = lay.gauges(group.side().word(), &line.reference);
    canvas.scribble(at(start + mm(0.4), under), right - start - mm(0.4), named);
    let part = fields::gauge_of(group.side().word(), &line.reference);
    canvas.words_field(at(start, under), right - start, || lay.foot_field(&part));
}
