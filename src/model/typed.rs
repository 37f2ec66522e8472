//! Values with the place where they were typed.

use crate::diag::Span;
use crate::quantity::{Exact, Fit};

/// A text and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Text {
    pub text: Box<str>,
    pub at: Span,
}

/// A figure, the digits as typed, and where they stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Number {
    pub value: Exact,
    pub text: Box<str>,
    pub at: Span,
}

/// A key of a file with what was typed for it: `shaft, new, least` and
/// `1.3725`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TypedKey {
    pub what: String,
    pub text: String,
    /// A figure without the zeros that change nothing; else the text.
    pub value: String,
    /// It decides how a line is measured or judged.
    pub decides: bool,
}

/// A figure of a limits table. For a fit the value carries its side: loose
/// above zero, tight below.
pub type Limit = Number;

impl Text {
    pub fn as_str(&self) -> &str {
        &self.text
    }
}

impl crate::wording::Placed for Text {
    fn text(&self) -> &str {
        &self.text
    }

    fn place(&self) -> &Span {
        &self.at
    }
}

impl std::fmt::Display for Text {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(&self.text)
    }
}

impl TypedKey {
    pub fn new(what: String, text: impl Into<String>, decides: bool) -> TypedKey {
        let text = text.into();
        TypedKey { what, value: text.clone(), text, decides }
    }
}

impl Number {
    pub fn fit(&self) -> Fit {
        Fit(self.value)
    }

    /// Decimals as typed, trailing zeros included.
    pub fn places(&self) -> u8 {
        self.value.places()
    }
}
