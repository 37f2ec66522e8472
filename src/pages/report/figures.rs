//! Figures under each other with their points in one line.

use crate::layout::at;
use crate::layout::canvas::Canvas;
use crate::layout::length::Len;
use crate::layout::mark::Align;
use crate::layout::style::TextStyle;

/// A column of a table.
#[derive(Clone, Copy, Debug, Default)]
pub struct FigureColumn {
    pub x: Len,
    pub width: Len,
    /// Of its figures, where they have room in one line each.
    points: Option<Points>,
}

/// One line of a cell, ready to be set.
pub struct Line {
    x: Len,
    style: TextStyle,
    text: String,
}

impl FigureColumn {
    pub fn new(x: Len, width: Len, points: Option<Points>) -> FigureColumn {
        FigureColumn { x, width, points: points.filter(|points| points.width() <= width) }
    }

    /// Breaks the text of a cell; a figure stands on the point of the column.
    pub fn lines(self, style: TextStyle, text: &str) -> Vec<Line> {
        let line = |text: String| {
            let indent = self.points.map(|points| points.indent(style, &text));
            // A figure with a long remark after it may not have the room.
            let spare = (self.width - style.width(&text)).max(Len::ZERO);
            Line { x: self.x + indent.unwrap_or_default().min(spare), style, text }
        };
        style.lines(text, self.width).into_iter().map(line).collect()
    }
}

impl Line {
    pub fn put(self, canvas: &mut Canvas<'_>, y: Len) {
        canvas.set(at(self.x, y), self.style, Align::Left, &self.text);
    }
}

/// What a column of figures needs left of the point and from it on.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Points {
    whole: Len,
    rest: Len,
}

impl Points {
    /// Makes room for a figure. Words that are no figure need none.
    pub fn take(&mut self, style: TextStyle, text: &str) {
        for line in text.split('\n') {
            if let Some((whole, rest)) = halves(line) {
                self.whole = self.whole.max(style.width(whole));
                self.rest = self.rest.max(style.width(rest));
            }
        }
    }

    pub fn width(self) -> Len {
        self.whole + self.rest
    }

    /// How far a figure is set in from the left end of its column.
    fn indent(self, style: TextStyle, text: &str) -> Len {
        let whole = halves(text).map(|(whole, _)| style.width(whole));
        whole.map_or(Len::ZERO, |whole| self.whole - whole)
    }
}

/// A figure before and from its point on, or from the end of its first digits
/// where it has no point.
fn halves(text: &str) -> Option<(&str, &str)> {
    let digits = text.trim_start_matches(['-', '+', '−', '±', '≤', '≥', '<', '>', ' ']);
    let start = text.len() - digits.len();
    if !digits.starts_with(|c: char| c.is_ascii_digit() || c == '.') {
        return None;
    }
    let end = digits.find(|c: char| !c.is_ascii_digit() && c != ',');
    Some(text.split_at(end.map_or(text.len(), |end| start + end)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_is_cut_at_its_point_or_after_its_digits() {
        assert_eq!(halves("0.0022 L"), Some(("0", ".0022 L")));
        assert_eq!(halves("−1.5"), Some(("−1", ".5")));
        assert_eq!(halves("1,894.6 h"), Some(("1,894", ".6 h")));
        assert_eq!(halves("12 of 24"), Some(("12", " of 24")));
        assert_eq!(halves("9"), Some(("9", "")));
        assert_eq!(halves("none"), None);
        assert_eq!(halves(""), None);
    }
}
