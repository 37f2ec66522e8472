//! What stands in a cell.

use crate::model::text::Text;
use crate::quantity::Exact;

/// `None` where nothing does.
pub type Cell = Option<String>;

pub fn text(text: &str) -> Cell {
    (!text.is_empty()).then(|| text.to_owned())
}

pub fn said(text: &Option<Text>) -> Cell {
    text.as_ref().and_then(|text| self::text(text.as_str()))
}

pub fn figure(figure: Option<Exact>) -> Cell {
    figure.map(|figure| figure.to_string())
}

/// Texts in one cell; `None` where there is none.
pub fn joined<T: AsRef<str>>(texts: impl IntoIterator<Item = T>) -> Cell {
    let texts: Vec<String> = texts.into_iter().map(|text| text.as_ref().to_owned()).collect();
    (!texts.is_empty()).then(|| texts.join("; "))
}
