//! The sheets of the engines that come with the project.

use std::path::Path;

use benchleaf::diag::{Diags, Sources};
use benchleaf::load;
use benchleaf::sheet::{SheetSet, expand};

/// The files of `demo` with the standard forms, or of a folder of
/// `tests/engines` with the forms of the jobs of before, which name their lines.
pub fn files(folder: &str) -> Sources {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = Sources::default();
    let read = |path: &Path| std::fs::read_to_string(path).expect("a file of the job");
    let (engine, limits) = match folder {
        "demo" => (here.join("demo/engine.toml"), here.join("limits/tw4-h8.toml")),
        other => {
            let folder = here.join("tests/engines").join(other);
            (folder.join("engine.toml"), folder.join("limits.toml"))
        }
    };
    files.put("engine.toml", read(&engine));
    files.put("limits.toml", read(&limits));
    files.put("job.toml", read(&engine.with_file_name("job.toml")));
    let forms = if folder == "demo" { "forms" } else { "tests/engines/old-forms" };
    for entry in std::fs::read_dir(here.join(forms)).expect("the forms") {
        let path = entry.expect("a form").path();
        if path.extension().is_some_and(|ending| ending == "toml") {
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            files.put(format!("forms/{name}"), read(&path));
        }
    }
    files
}

/// The sheets of the same.
pub fn set(folder: &str) -> SheetSet {
    let files = files(folder);
    let mut out = Diags::new();
    let case = load::case(&files, &mut out);
    let set = case.and_then(|case| expand(&case, &mut out));
    set.unwrap_or_else(|| panic!("{out:#?}"))
}
