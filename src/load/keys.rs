//! What a file may hold: one table of keys for each kind of TOML table. What
//! is checked against it and what a schema says come from the same rows.

use super::toml::number;

/// The keys of one kind of table, in groups so that groups can be shared.
#[derive(Debug)]
pub struct Shape {
    /// As it is spoken of: `a part`.
    pub name: &'static str,
    pub keys: &'static [&'static [Key]],
}

#[derive(Debug)]
pub struct Key {
    pub name: &'static str,
    pub kind: Kind,
    pub needed: bool,
    /// Whether something else may say it, so that it need not be typed: a way of
    /// measuring the kind of its lines.
    pub implied: bool,
    /// A value that would be right, as typed.
    pub example: &'static str,
    /// What it is called where two editions of a file are compared: its name
    /// unless told.
    pub said: Option<&'static str>,
    /// Whether what it says decides how a line is measured or judged, so that
    /// it is part of the sheet's number. Every key does unless its row of the
    /// table says otherwise.
    pub decides: bool,
}

/// What a value may be.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    Text,
    /// A text or a number, or `""` or `"-"` where nothing is filled in.
    Entry,
    Texts,
    /// Texts of which some may be empty.
    Entries,
    TextOrTexts,
    /// As the last, empty ones included.
    EntryOrEntries,
    Choice(&'static [&'static str]),
    Flag,
    /// A whole number from 0 to 9999.
    Whole,
    /// Several of them.
    Wholes,
    /// A calendar day.
    Day,
    /// A calendar day, or `""` or `"-"`.
    DayEntry,
    DayOrText,
    Figure,
    /// A figure, or `""` or `"-"`.
    FigureEntry,
    FigureOrText,
    /// Lowest and highest; `"-"` for an absent one.
    Pair,
    /// A limit of a fit: `"0.0010L"`, or 0.
    FitLimit,
    /// Tightest and loosest; `"-"` for an absent one.
    FitPair,
    Table(&'static Shape),
    /// Tables by name: `[parts.camshaft]`.
    Named(&'static Shape),
    /// `[[line]]`, again and again.
    Each(&'static Shape),
    /// The same, of several kinds.
    EachOf(&'static Varied),
    /// A table, or its values in a row.
    Short(&'static Short),
    /// Such tables or rows, again and again.
    Shorts(&'static Short),
    /// Texts by name: `{ 2 = "through a cylinder opening" }`.
    TextsByName,
    /// One figure a box, `"-"` for an empty one.
    Boxes,
    /// A list of those for each place.
    BoxesEach,
    /// Further leaves: tooth, leaf, entered or refused.
    Leaves,
    /// Feeler leaves of a shop: as engraved, or engraved and measured.
    OwnLeaves,
    /// Looked at by its own reader: how it is spoken of, and what it may be.
    Other(&'static str, &'static [Kind]),
}

/// A table whose values may be typed in a row, in the order of its keys:
/// `["RW", 2026-03-02, "MIC-2"]`. What is seldom needed stands in braces at the
/// end of the row, by its key.
#[derive(Debug)]
pub struct Short {
    pub shape: &'static Shape,
    /// The keys by position. Two in one are typed in one text: `"C2 bore 2"` for
    /// `row box`.
    pub order: &'static [&'static str],
    /// How it may be typed besides.
    pub ways: Ways,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ways {
    One,
    /// Several in brackets, each with the rows that it is of.
    Several,
    /// One for many rows, which stand in it as they do under a sheet.
    Rows,
}

/// Tables of several kinds under one name.
#[derive(Debug)]
pub struct Varied {
    /// As one is spoken of: `a line`.
    pub name: &'static str,
    pub by: By,
    pub kinds: &'static [(&'static str, &'static Shape)],
    /// Keys that say together which kind a table is that does not name it.
    pub implied_by: &'static [&'static [&'static str]],
    /// The key of a table that gives several at once, and what they share.
    pub several: Option<(&'static str, &'static Shape)>,
}

/// What tells which kind a table is.
#[derive(Clone, Copy, Debug)]
pub enum By {
    /// The value of this key.
    Value(&'static str),
    /// The one key that only this kind has.
    Key,
}

/// A key that may be left out.
pub const fn optional(name: &'static str, kind: Kind, example: &'static str) -> Key {
    Key { name, kind, needed: false, implied: false, example, said: None, decides: true }
}

/// A key that must be there.
pub const fn required(name: &'static str, kind: Kind, example: &'static str) -> Key {
    Key { name, kind, needed: true, implied: false, example, said: None, decides: true }
}

impl Shape {
    pub fn rows(&self) -> impl Iterator<Item = &'static Key> {
        self.keys.iter().copied().flatten()
    }

    pub fn key(&self, name: &str) -> Option<&'static Key> {
        self.rows().find(|key| key.name == name || key.pattern(name))
    }
}

/// The name of a key that stands for every row code or sheet letter.
pub const CODE: &str = "^[A-Z][A-Z0-9]*$";
/// The name of a key that stands for every row by the number that its line is
/// published under, and its place. The reader knows it by the row's code.
pub const PUBLISHED: &str = "^[^/]+/[A-Z0-9]+$";
/// The name of a key that stands for every hold point of a sheet.
pub const HOLD: &str = "^hold(-[0-9]+)?$";
/// The name of a key that stands for an item's number, or the first and the last
/// number of a list of items.
pub const SPAN: &str = "^[0-9]+(-[0-9]+)?$";

impl Key {
    /// The same key, called something else where it is spoken of.
    pub const fn said(self, words: &'static str) -> Key {
        Key { said: Some(words), ..self }
    }

    /// The same key, which decides nothing: words for a reader, or what enters
    /// the sheet's number in another way.
    pub const fn aside(self) -> Key {
        Key { decides: false, ..self }
    }

    /// The same key, which need not be typed where something else says it.
    pub const fn implied(self) -> Key {
        Key { implied: true, ..self }
    }

    /// A line that would be right.
    pub fn typed(&self) -> String {
        format!("{} = {}", self.name, self.example)
    }

    pub fn pattern(&self, name: &str) -> bool {
        match self.name {
            CODE => {
                let capital = name.starts_with(|c: char| c.is_ascii_uppercase());
                capital && name.bytes().all(|b| b.is_ascii_uppercase() || b.is_ascii_digit())
            }
            HOLD => {
                let after = name.strip_prefix("hold");
                after.is_some_and(|n| {
                    n.is_empty() || n.strip_prefix('-').is_some_and(number::digits)
                })
            }
            SPAN => match name.split_once('-') {
                Some((first, last)) => number::digits(first) && number::digits(last),
                None => number::digits(name),
            },
            _ => false,
        }
    }
}

impl Short {
    /// A row that would be right, in words: `row and box, read, why`.
    pub fn in_words(&self) -> String {
        let names: Vec<String> = self.order.iter().map(|name| name.replace(' ', " and ")).collect();
        names.join(", ")
    }
}

impl Varied {
    pub fn names(&self) -> Vec<&'static str> {
        self.kinds.iter().map(|(name, _)| *name).collect()
    }

    pub fn kind(&self, name: &str) -> Option<&'static Shape> {
        self.kinds.iter().find(|(kind, _)| *kind == name).map(|(_, shape)| *shape)
    }
}

impl Kind {
    /// For a message: what would be right.
    pub fn says(&self) -> &'static str {
        match self {
            Kind::Text | Kind::Entry => "a text in quotes",
            Kind::Texts | Kind::Entries => "a list of texts",
            Kind::TextOrTexts | Kind::EntryOrEntries => "a text in quotes or a list of them",
            Kind::Choice(_) => "one of the choices in quotes",
            Kind::Flag => "true or false, without quotes",
            Kind::Whole => "a whole number",
            Kind::Wholes => "a list of whole numbers",
            Kind::Day | Kind::DayEntry => "a day, year-month-day without quotes",
            Kind::DayOrText => "a day or a text in quotes",
            Kind::Figure | Kind::FigureEntry => "a figure without quotes",
            Kind::FigureOrText => "a figure or a text in quotes",
            Kind::Pair => "two figures in brackets, the lower first",
            Kind::FitLimit => "a fit in quotes with L or T",
            Kind::FitPair => "two fits in brackets, the tighter first",
            Kind::Table(_) => "a table",
            Kind::Named(_) => "a table for each",
            Kind::Each(_) | Kind::EachOf(_) => "tables in double brackets",
            Kind::Short(_) => "a table, or its values in brackets",
            Kind::Shorts(_) => "tables in double brackets, or a list of lines",
            Kind::TextsByName => "a table of texts",
            Kind::Boxes => "figures, one a box",
            Kind::BoxesEach => "a list of figures for each place",
            Kind::Leaves => "further leaves",
            Kind::OwnLeaves => "a list of leaves, engraved or [engraved, measured]",
            Kind::Other(says, _) => says,
        }
    }
}
