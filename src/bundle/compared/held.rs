//! One box: what its cells look like against what was typed for it.

use crate::report::compared::Odd;
use crate::scan::Seen;

/// A cell as it looks.
pub trait Looked {
    fn seen(&self) -> Seen;
    /// Empty, though not for sure.
    fn leans_empty(&self) -> bool;
    /// False only where the cell cannot hold that digit.
    fn may_be(&self, digit: u8) -> bool;
}

/// What comes of a box.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Held {
    Alike,
    /// Empty, and nothing is typed.
    Blank,
    Unread,
    Odd(Odd),
}

/// What one cell should hold: the typed digit first, and what says the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Wanted {
    digit: Option<u8>,
    or_empty: bool,
}

impl Wanted {
    const NOTHING: Wanted = Wanted { digit: None, or_empty: true };

    fn takes(self, seen: Seen) -> bool {
        match (seen, self.digit) {
            (Seen::Digit(seen), Some(digit)) => seen == digit,
            // A nought that changes nothing.
            (Seen::Digit(seen), None) => seen == 0,
            (Seen::Empty, _) => self.or_empty,
            (Seen::NoDigit | Seen::Unsure, _) => false,
        }
    }
}

/// A figure in its cells. `None` where they have no room for it, or it is none.
fn wanted(typed: &str, whole: usize, decimals: usize) -> Option<Vec<Wanted>> {
    let typed = typed.trim_start_matches(['+', '-', '\u{2212}']);
    let (before, behind) = typed.split_once('.').unwrap_or((typed, ""));
    let digits = |text: &str| -> Option<Vec<u8>> {
        text.chars().map(|c| c.to_digit(10).map(|digit| digit as u8)).collect()
    };
    let (mut before, behind) = (digits(before)?, digits(behind)?);
    let nought = before == [0];
    if nought && whole == 0 {
        before.clear();
    }
    if before.len() > whole || behind.len() > decimals {
        return None;
    }
    let mut cells = vec![Wanted::NOTHING; whole - before.len()];
    let digit = |digit, or_empty| Wanted { digit: Some(digit), or_empty };
    cells.extend(before.into_iter().map(|n| digit(n, nought)));
    let end = decimals - behind.len();
    cells.extend(behind.into_iter().map(|n| digit(n, false)));
    cells.extend(vec![Wanted::NOTHING; end]);
    Some(cells)
}

/// Holds the cells of a box, those before the point first, against what was typed.
pub fn held<L: Looked>(cells: &[L], whole: usize, typed: Option<&str>) -> Held {
    let seen: Vec<Seen> = cells.iter().map(Looked::seen).collect();
    let empty = cells.iter().all(Looked::leans_empty);
    let struck = seen.contains(&Seen::NoDigit);
    let Some(typed) = typed else {
        let digit = seen.iter().any(|seen| matches!(seen, Seen::Digit(_)));
        return match (empty, struck, digit) {
            (true, ..) => Held::Blank,
            (_, true, _) => Held::Odd(Odd::Struck),
            (_, _, true) => Held::Odd(Odd::Written),
            _ => Held::Unread,
        };
    };
    if empty {
        return Held::Odd(Odd::Empty);
    }
    let Some(wanted) = wanted(typed, whole, cells.len() - whole) else { return Held::Unread };
    // One such cell may be a hasty digit, which can still be the one that was typed.
    let spoilt = cells.iter().zip(&wanted).filter(|(cell, _)| cell.seen() == Seen::NoDigit);
    let (count, sure) = spoilt.fold((0, false), |(count, sure), (cell, wanted)| {
        let out = wanted.digit.is_none_or(|digit| !cell.may_be(digit));
        (count + 1, sure || out)
    });
    if count > 1 || sure {
        return Held::Odd(Odd::Struck);
    }
    let (mut alike, mut odd) = (true, false);
    let mut says = String::new();
    for (n, (cell, wanted)) in cells.iter().zip(&wanted).enumerate() {
        if n == whole {
            says.push('.');
        }
        let seen = cell.seen();
        let takes = wanted.takes(seen);
        alike &= takes;
        // Whoever is sure of another digit must be able to rule this one out.
        let ruled_out = !takes && wanted.digit.is_some_and(|digit| !cell.may_be(digit));
        odd |= ruled_out || !takes && wanted.digit.is_none() && matches!(seen, Seen::Digit(_));
        match (seen, takes) {
            (Seen::Empty, true) => says.extend(wanted.digit.map(|_| '0')),
            (Seen::Empty, false) => says.push('_'),
            (Seen::Digit(digit), _) => says.push(char::from(b'0' + digit)),
            (Seen::Unsure | Seen::NoDigit, _) => says.push('?'),
        }
    }
    match (odd, alike) {
        (true, _) => Held::Odd(Odd::Says(says.trim_end_matches('.').to_owned())),
        (false, true) => Held::Alike,
        (false, false) => Held::Unread,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A cell by its letter: a digit, `_` empty, `#` struck, `%` as good as struck that
    /// may be any digit, `?` unsure, `.` unsure and
    /// empty sooner than anything else, and a small
    /// letter `a` to `j` for one that is not sure and cannot be `0` to `9`.
    struct Letter(char);

    impl Looked for Letter {
        fn seen(&self) -> Seen {
            match self.0 {
                '_' => Seen::Empty,
                '#' | '%' => Seen::NoDigit,
                digit if digit.is_ascii_digit() => Seen::Digit(digit as u8 - b'0'),
                _ => Seen::Unsure,
            }
        }

        fn leans_empty(&self) -> bool {
            matches!(self.0, '_' | '.')
        }

        fn may_be(&self, digit: u8) -> bool {
            match self.0 {
                own if own.is_ascii_digit() => own as u8 - b'0' == digit,
                '_' | '#' => false,
                '?' | '%' | '.' => true,
                not => not as u8 - b'a' != digit,
            }
        }
    }

    fn of(cells: &str, whole: usize, typed: &str) -> Held {
        let cells: Vec<Letter> = cells.chars().map(Letter).collect();
        held(&cells, whole, Some(typed).filter(|typed| !typed.is_empty()))
    }

    fn says(says: &str) -> Held {
        Held::Odd(Odd::Says(says.to_owned()))
    }

    #[test]
    fn a_box_is_alike_odd_or_not_read() {
        assert_eq!(of("13751", 1, "1.3751"), Held::Alike);
        assert_eq!(of("13757", 1, "1.3751"), says("1.3757"));
        assert_eq!(of("1375?", 1, "1.3751"), Held::Unread);
        // Not sure what it is, and sure that it is not that.
        assert_eq!(of("1375b", 1, "1.3751"), says("1.375?"));
        assert_eq!(of("1375b", 1, "1.3752"), Held::Unread);
        assert_eq!(of("_____", 1, "1.3751"), Held::Odd(Odd::Empty));
        assert_eq!(of("._.._", 1, "1.3751"), Held::Odd(Odd::Empty));
        assert_eq!(of("1#751", 1, "1.3751"), Held::Odd(Odd::Struck));
        assert_eq!(of("1%751", 1, "1.3751"), Held::Unread);
        assert_eq!(of("1%%51", 1, "1.3751"), Held::Odd(Odd::Struck));
        assert_eq!(of("1_751", 1, "1.3751"), says("1._751"));
    }

    #[test]
    fn noughts_that_change_nothing_may_be_left_out() {
        for cells in ["_8754", "08754"] {
            assert_eq!(of(cells, 1, "0.8754"), Held::Alike, "{cells}");
        }
        assert_eq!(of("8754", 0, "0.8754"), Held::Alike);
        assert_eq!(of("_35", 3, "35"), Held::Alike);
        assert_eq!(of("035", 3, "35"), Held::Alike);
        assert_eq!(of("135", 3, "35"), says("135"));
        assert_eq!(of("25200", 1, "2.52"), Held::Alike);
        assert_eq!(of("25203", 1, "2.52"), says("2.5203"));
        // A nought within a figure is none of these.
        assert_eq!(of("1_7", 3, "107"), says("1_7"));
        assert_eq!(of("27_", 2, "27.1"), says("27._"));
        assert_eq!(of("12", 2, "-12"), Held::Alike);
    }

    #[test]
    fn of_a_box_for_which_nothing_is_typed_only_that_it_is_written_is_said() {
        assert_eq!(of("_____", 1, ""), Held::Blank);
        assert_eq!(of("13751", 1, ""), Held::Odd(Odd::Written));
        assert_eq!(of("1#751", 1, ""), Held::Odd(Odd::Struck));
        assert_eq!(of("_?___", 1, ""), Held::Unread);
    }

    #[test]
    fn a_figure_that_has_no_room_in_its_cells_is_not_read() {
        assert_eq!(of("13751", 1, "11.3751"), Held::Unread);
        assert_eq!(of("13751", 1, "1.37512"), Held::Unread);
    }
}
