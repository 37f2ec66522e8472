//! What a shop does around the bench: comparing, asking what if, tags, wear,
//! recall, revised limits, training.

mod archive;
mod aside;
mod compare;
mod history;
mod pairing;
mod paper;
mod revised;
mod tags;
mod train;
mod whatif;

pub use archive::later;

/// A transcription with lines changed, each inside its sheet (`""` for what
/// stands before the first). Every one must be there once.
#[track_caller]
pub fn planted(text: &str, changes: &[(&str, &str, &str)]) -> String {
    let mut text = text.to_owned();
    for (sheet, from, to) in changes {
        let start = match sheet.is_empty() {
            true => 0,
            false => {
                text.find(&format!("\n[{sheet}]")).unwrap_or_else(|| panic!("no sheet {sheet}")) + 1
            }
        };
        let end = text[start + 1..].find("\n[").map_or(text.len(), |at| start + 1 + at);
        let own = &text[start..end];
        assert_eq!(own.matches(from).count(), 1, "'{from}' on sheet {sheet}");
        text = format!("{}{}{}", &text[..start], own.replacen(from, to, 1), &text[end..]);
    }
    text
}
