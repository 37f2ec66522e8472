//! Names of the fields in which a set is filled in on a screen, and what is heard
//! of each where it is read aloud. Parts stand with a point between:
//! `C2.bore.1.whole`, `C 3.1`, `sheet C.bore.by`.

use crate::judge::BoxGroup;

/// Before the point of a figure, and behind it.
pub const WHOLE: &str = "whole";
pub const DECIMALS: &str = "decimals";
/// A day, two digits each.
pub const DAY: [&str; 3] = ["year", "month", "day"];
/// The gauge's zero.
pub const ZERO: [&str; 2] = ["before", "after"];
/// Of a further leaf, beside whether it entered or was refused.
pub const LEAF: [&str; 3] = ["row", "tooth", "leaf"];
pub const WORDS: &str = "words";
pub const COUNT: &str = "count";
pub const NUMBER: &str = "number";
pub const REMARKS: &str = "remarks";
pub const AGAIN: &str = "again";
/// What was found, does not apply, was accepted or sent out; the letter that says
/// which.
pub const FOUND: &str = "found";
/// A part changed or reworked.
pub const CHANGED: &str = "changed";
pub const KIND: &str = "kind";
/// Another person or another day of one side.
pub const ALSO: &str = "also";

/// A page of a sheet, from 1: one of its own, `2` in names, or one that is printed
/// when its own lines are full, `R1`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PageOf {
    Own(usize),
    Further(usize),
}

impl PageOf {
    /// As it stands in a name.
    pub fn read(word: &str) -> Option<PageOf> {
        let number = |text: &str| text.parse().ok().filter(|page| *page > 0);
        match word.strip_prefix('R') {
            Some(further) => number(further).map(PageOf::Further),
            None => number(word).map(PageOf::Own),
        }
    }
}

impl std::fmt::Display for PageOf {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            PageOf::Own(page) => write!(out, "{page}"),
            PageOf::Further(page) => write!(out, "R{page}"),
        }
    }
}

/// Its name, and what is heard.
pub type Named = (String, String);

/// One box of a row, or a part of its figure.
pub fn reading(code: &str, group: &BoxGroup, n: usize, part: &str) -> Named {
    let label = group.labels.get(n).map(String::as_str).unwrap_or_default();
    let key = group.key.word();
    let of = [code, key, label, part].into_iter().filter(|word| !word.is_empty());
    let told = of.collect::<Vec<_>>().join(" ");
    (joined(&[code, key, &(n + 1).to_string(), part]), told)
}

/// Part of an item: the number of a mark, the code of a place, a word.
pub fn item(letter: &str, number: u32, part: &str) -> Named {
    (format!("{letter} {number}.{part}"), format!("sheet {letter} item {number}, {part}"))
}

pub fn initials(letter: &str, span: &str) -> Named {
    (format!("{letter} {span}.initials"), format!("sheet {letter} initials of {span}"))
}

/// Part of what is signed on a sheet: `bore.by`.
pub fn sheet(letter: &str, part: &str) -> Named {
    (format!("sheet {letter}.{part}"), format!("sheet {letter} {}", part.replace('.', " ")))
}

/// The gauge of one line, of what is signed under a key: `read.gauge.RT`.
pub fn gauge_of(key: &str, reference: &str) -> String {
    format!("{key}.gauge.{reference}")
}

/// The number of the set.
pub fn set() -> Named {
    (format!("set.{NUMBER}"), "number of the sheet set".to_owned())
}

/// A line at the foot of a page of a sheet, counted from 1.
pub fn line((letter, page): (&str, PageOf), what: &str, line: i32, part: &str) -> Named {
    let (page, line) = (page.to_string(), line.to_string());
    let name = joined(&[&format!("sheet {letter}"), what, &page, &line, part]);
    (name, format!("sheet {letter} page {page} {what} line {line} {part}").trim_end().to_owned())
}

/// A further leaf tried on a row of the line with that reference.
pub fn leaf(reference: &str, line: i32, part: &str) -> Named {
    (format!("{reference} leaves.{line}.{part}"), format!("{reference} further leaf {line} {part}"))
}

fn joined(parts: &[&str]) -> String {
    let parts: Vec<&str> = parts.iter().copied().filter(|part| !part.is_empty()).collect();
    parts.join(".")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_of_a_sheet_and_further_ones_are_told_apart_however_many_there_are() {
        for page in [1, 2, 1000, 1001, 20_000] {
            for page in [PageOf::Own(page), PageOf::Further(page)] {
                assert_eq!(PageOf::read(&page.to_string()), Some(page));
            }
        }
        for word in ["", "0", "R", "R0", "-1", "r1", "R-1", "1R"] {
            assert_eq!(PageOf::read(word), None, "{word}");
        }
    }
}
