//! Values with the place where they were typed.

use crate::diag::Span;
use crate::quantity::{Exact, Fit, Quantity, Unit};

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

/// A figure of a limits table with its unit. For a fit the figure carries its
/// side: loose above zero, tight below.
///
/// ```compile_fail
/// use benchleaf::model::text::Limit;
/// // Two limits, perhaps of two units, can't be compared.
/// fn larger(one: &Limit, other: &Limit) -> bool { one > other }
/// ```
///
/// ```compile_fail
/// use benchleaf::model::text::Limit;
/// use benchleaf::quantity::Exact;
/// // Nor a limit with a reading that names no unit.
/// fn inside(reading: Exact, limit: &Limit) -> bool { reading <= limit.value }
/// ```
///
/// ```
/// use benchleaf::model::text::Limit;
/// use benchleaf::quantity::{Exact, Unit};
/// fn larger(one: &Limit, other: &Limit, unit: &Unit) -> Option<bool> {
///     Some(one.in_unit(unit)?.value > other.in_unit(unit)?.value)
/// }
/// fn inside(reading: Exact, unit: &Unit, limit: &Limit) -> Option<bool> {
///     Some(reading <= limit.in_unit(unit)?.value)
/// }
/// ```
#[derive(Clone, Debug)]
pub struct Limit {
    size: Quantity,
    pub text: Box<str>,
    pub at: Span,
}

/// A limit in a unit that was named, and what was typed for it.
#[derive(Clone, Copy, Debug)]
pub struct Stated<'a> {
    pub value: Exact,
    pub text: &'a str,
    pub at: &'a Span,
}

impl Limit {
    pub fn new(Number { value, text, at }: Number, unit: Unit) -> Limit {
        Limit { size: Quantity::new(value, unit), text, at }
    }

    /// See [`Quantity::in_unit`].
    pub fn in_unit(&self, unit: &Unit) -> Option<Stated<'_>> {
        let value = self.size.in_unit(unit)?;
        Some(Stated { value, text: &self.text, at: &self.at })
    }
}

impl Text {
    pub fn as_str(&self) -> &str {
        &self.text
    }
}

impl crate::template::Placed for Text {
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

/// With its first letter a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
