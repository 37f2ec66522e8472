//! Figures under each other with their points in one line.

use crate::page::length::Len;
use crate::page::text::TextStyle;

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
    pub fn indent(self, style: TextStyle, text: &str) -> Len {
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
