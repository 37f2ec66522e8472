//! What the program carries inside: the standard forms, the demonstration's
//! limits and job.

use include_dir::{Dir, include_dir};

/// What tells how the forms are changed; no form itself.
pub const READ_ME: &str = "README.md";
static FORMS: Dir = include_dir!("$CARGO_MANIFEST_DIR/forms");
static LIMITS: Dir = include_dir!("$CARGO_MANIFEST_DIR/limits");
static DEMO: Dir = include_dir!("$CARGO_MANIFEST_DIR/demo");

/// The standard forms: file name and text, in alphabetical order.
pub fn forms() -> Vec<(&'static str, &'static str)> {
    let mut forms: Vec<(&str, &str)> = FORMS
        .files()
        .filter(|file| file.path().extension().is_some_and(|end| end == "toml"))
        .filter_map(|file| Some((file.path().file_name()?.to_str()?, file.contents_utf8()?)))
        .collect();
    forms.sort_unstable();
    forms
}

/// How the forms are changed, in words: laid beside them.
pub fn forms_read_me() -> Option<(&'static str, &'static str)> {
    Some((READ_ME, FORMS.get_file(READ_ME)?.contents_utf8()?))
}

pub fn limits(name: &str) -> Option<&'static str> {
    LIMITS.get_file(name)?.contents_utf8()
}

pub fn demo(name: &str) -> Option<&'static str> {
    DEMO.get_file(name)?.contents_utf8()
}
