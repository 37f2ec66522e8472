//! What the limits say of a line: printed wherever its rows are.

use super::{Layout, gauge};
use crate::layout::at;
use crate::layout::canvas::{Canvas, mm};
use crate::layout::length::Len;
use crate::layout::paginate::Block;
use crate::layout::style::{ASIDE, CAPTION, STRONG, TEXT};
use crate::model::side::{Group, Side};
use crate::pages::scale::scale;
use crate::sheet::LineRows;

/// How much of an entry is printed.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Told {
    Whole,
    /// Without the reference, which stands beside it as the row's code.
    Unnamed,
    /// Without the first line, which stands in the title over it.
    Titled,
    /// Repeated on a further page.
    Short,
}

/// Reference, name, limits, where they stand, who agreed to them, what to use,
/// what cannot be stated.
pub fn entry(lay: &Layout<'_>, line: &LineRows, width: Len, told: Told) -> Block {
    let mut canvas = lay.canvas();
    let short = told == Told::Short;
    let title = match told {
        Told::Short => format!("{}  {}, continued", line.reference, line.name),
        Told::Whole => format!("{}  {}", line.reference, line.name),
        Told::Unnamed | Told::Titled => line.name.clone(),
    };
    let source = line.source().filter(|_| !short);
    let mut y = match told {
        Told::Titled => Len::ZERO,
        _ => named(&mut canvas, &title, &line.limits, source.as_deref(), width),
    };
    if short {
        return canvas.done(y);
    }
    if let Some(agreed) = &line.agreed {
        let agreed = format!("agreed: {agreed}");
        y += canvas.tell(at(Len::ZERO, y), STRONG.sized(7.4), &agreed, width);
    }
    y += with(lay, &mut canvas, line, y, width);
    for grade in &line.graded {
        y += canvas.tell(at(Len::ZERO, y), CAPTION, grade, width);
    }
    // One after the other where they fit.
    let notes = notes(line);
    let together = notes.join(" · ");
    let one = ASIDE.sized(7.4).width(&together) <= width;
    for note in if one { vec![together] } else { notes } {
        y += canvas.tell(at(Len::ZERO, y), ASIDE.sized(7.4), &note, width);
    }
    canvas.done(y)
}

/// What to use and, where it is this line's alone, which it was: on one line if
/// they fit.
fn with(lay: &Layout<'_>, canvas: &mut Canvas<'_>, line: &LineRows, y: Len, width: Len) -> Len {
    let words = line.with.as_deref().unwrap_or_default();
    let told = STRONG.para(words, width);
    let mut down = Len::ZERO;
    if !words.is_empty() {
        down = canvas.write(at(Len::ZERO, y + mm(0.2)), &told) + mm(0.2);
    }
    let read = Group::from(Side::Only);
    if !gauge::asked(lay, line, read) {
        return down;
    }
    let last = told.lines.last().map_or(Len::ZERO, |last| STRONG.width(last) + mm(3.0));
    let beside = !words.is_empty() && last + gauge::least() <= width;
    let (x, base) = match beside {
        true => (last, y + down - STRONG.leading + STRONG.ascent),
        false => (Len::ZERO, y + down + gauge::BASE),
    };
    gauge::write(lay, canvas, (line, read), (x, width), base);
    if beside { down } else { down + gauge::ROW }
}

/// Name, limits and where they stand in the document, on one line where they
/// fit.
fn named(
    canvas: &mut Canvas<'_>,
    title: &str,
    limits: &str,
    page: Option<&str>,
    width: Len,
) -> Len {
    let bold = STRONG.sized(8.8);
    let apart = mm(3.0);
    let page = page.unwrap_or_default();
    let first = bold.width(title) + apart;
    let second = TEXT.width(limits) + apart;
    let base = bold.ascent;
    if first + second + CAPTION.width(page) <= width {
        canvas.word(Len::ZERO, base, bold, title);
        canvas.word(first, base, TEXT, limits);
        canvas.word(first + second, base, CAPTION, page);
        return bold.leading;
    }
    let mut y = canvas.tell(at(Len::ZERO, Len::ZERO), bold, title, width);
    if second + CAPTION.width(page) <= width {
        canvas.word(Len::ZERO, y + TEXT.ascent, TEXT, limits);
        canvas.word(second, y + TEXT.ascent, CAPTION, page);
        return y + TEXT.leading;
    }
    y += canvas.tell(at(Len::ZERO, y), TEXT, limits, width);
    y + canvas.tell(at(Len::ZERO, y), CAPTION, page, width)
}

/// The scales of a line, one under the other; gives back their height.
pub fn scales(lay: &Layout<'_>, canvas: &mut Canvas<'_>, line: &LineRows, x: Len) -> Len {
    let mut y = Len::ZERO;
    for found in line.scales.iter().filter(|scale| !scale.bands.is_empty()) {
        let piece = scale(lay.desk, found, lay.area.w - x);
        y += canvas.place(at(x, y + mm(0.6)), piece) + mm(0.6);
    }
    y
}

/// The scales' notes, each once.
pub fn notes(line: &LineRows) -> Vec<String> {
    let mut notes: Vec<String> = Vec::new();
    for note in line.scales.iter().filter_map(|scale| scale.note.as_ref()) {
        if !notes.contains(note) {
            notes.push(note.clone());
        }
    }
    notes
}
