//! Values with the place where they were typed.

use crate::diag::Loc;
use crate::quantity::{Exact, Fit};

/// A text and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Word {
    pub text: Box<str>,
    pub at: Loc,
}

/// A figure, the digits as typed, and where they stand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Typed {
    pub value: Exact,
    pub text: Box<str>,
    pub at: Loc,
}

/// A figure of a limits table. For a fit the value carries its side: loose
/// above zero, tight below.
pub type Limit = Typed;

impl Word {
    pub fn as_str(&self) -> &str {
        &self.text
    }
}

impl crate::wording::Placed for Word {
    fn text(&self) -> &str {
        &self.text
    }

    fn place(&self) -> &Loc {
        &self.at
    }
}

impl std::fmt::Display for Word {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(&self.text)
    }
}

impl Typed {
    pub fn fit(&self) -> Fit {
        Fit(self.value)
    }

    /// Decimals as typed, trailing zeros included.
    pub fn places(&self) -> u8 {
        self.value.places()
    }
}
