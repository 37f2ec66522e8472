//! Why a document cannot be drawn, in words.

use std::fmt;

/// Why a document cannot be drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Undrawable {
    /// No typeface has this character.
    Letter { letter: char, text: String },
    /// Two stamps of one name differ.
    Stamp { name: String },
    /// A built-in typeface cannot be cut down; only a wrong build does that.
    Face { name: &'static str },
}

impl fmt::Display for Undrawable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Undrawable::Letter { letter, text } => write!(
                f,
                "the typefaces have no {letter:?} (U+{:04X}) for `{text}`: write it another way",
                u32::from(*letter)
            ),
            Undrawable::Stamp { name } => write!(f, "two stamps named {name} differ"),
            Undrawable::Face { name } => write!(f, "the typeface {name} cannot be embedded"),
        }
    }
}

impl std::error::Error for Undrawable {}
