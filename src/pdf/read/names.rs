//! Names of carried files that can be written into a folder of any system.

use super::bounds::{BOUNDS, Refusal};

/// Names that stand for devices on some systems, with any ending.
const DEVICES: [&str; 6] = ["con", "prn", "aux", "nul", "conin$", "conout$"];

/// Gives the name back where it is that of a plain file.
///
/// # Errors
/// [`Refusal::Name`] for a name that leads out of a folder, hides, stands for
/// a device, or shows as something else than it is.
pub fn safe(name: String) -> Result<String, Refusal> {
    match fault(&name) {
        None => Ok(name),
        Some(why) => {
            let shown = name.chars().take(60).map(visible).collect();
            Err(Refusal::Name { name: shown, why })
        }
    }
}

fn visible(letter: char) -> char {
    if letter.is_control() || turns_text(letter) { '\u{FFFD}' } else { letter }
}

fn fault(name: &str) -> Option<&'static str> {
    if name.is_empty() {
        return Some("the name is empty");
    }
    if name.len() > BOUNDS.name {
        return Some("the name is too long");
    }
    if name.chars().any(char::is_control) {
        return Some("a control character is in the name");
    }
    if name.contains(['/', '\\', '\u{2215}', '\u{2044}', '\u{29F8}', '\u{FF0F}', '\u{FF3C}']) {
        return Some("a separator of folders is in the name");
    }
    if name.contains(':') {
        return Some("a drive letter or a colon is in the name");
    }
    if name.contains(['<', '>', '"', '|', '?', '*']) {
        return Some("a sign that some systems cannot store is in the name");
    }
    if name.chars().any(turns_text) || name.contains('\u{FFFD}') {
        return Some("the name shows as something else than it is");
    }
    if name.starts_with('.') {
        return Some("the name begins with a dot");
    }
    if name.ends_with(['.', ' ']) || name.starts_with(' ') {
        return Some("the name ends with a dot or has a space around it");
    }
    is_device(name).then_some("the name stands for a device on some systems")
}

/// Marks that turn the direction of text, or are not seen.
fn turns_text(letter: char) -> bool {
    matches!(letter, '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}')
}

fn is_device(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or_default().trim_end();
    let stem = stem.to_lowercase();
    let numbered = ["com", "lpt"].iter().any(|port| {
        let rest = stem.strip_prefix(port).unwrap_or_default();
        let mut letters = rest.chars();
        let figure = letters.next().is_some_and(|c| "0123456789¹²³".contains(c));
        figure && letters.next().is_none()
    });
    numbered || DEVICES.contains(&stem.as_str())
}

/// What two names share that one folder may not tell apart.
pub fn folded(name: &str) -> String {
    name.to_lowercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_a_job_folder_are_safe() {
        for name in ["job.toml", "Ø.toml", "Жуков scan 1.png", "a-b_c (2).json", "common.toml"]
        {
            assert_eq!(safe(name.to_string()), Ok(name.to_string()));
        }
    }

    #[test]
    fn names_that_lead_elsewhere_are_refused() {
        // From memory: what path traversal lists and Windows' naming rules name.
        let bad = [
            "",
            ".",
            "..",
            "../x",
            "a/b",
            "a\\b",
            "C:x",
            "x:stream",
            "a\0b",
            "a\nb",
            ".profile",
            "NUL",
            "con.toml",
            "COM1.txt",
            "lpt9",
            "x.",
            "x ",
            " x",
            "a\u{202E}lmot",
            "a*b",
            "／etc",
        ];
        for name in bad {
            assert!(safe(name.to_string()).is_err(), "{name:?}");
        }
        assert!(safe("n".repeat(4096)).is_err());
    }
}
