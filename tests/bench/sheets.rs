//! Time of laying out the demonstration's worksheets. With a folder, they are
//! written there on both papers to look at.

use std::path::Path;
use std::time::Instant;

use benchleaf::archive::conform;
use benchleaf::diag::{Diags, Sources};
use benchleaf::draw::draw;
use benchleaf::load;
use benchleaf::model::job::Paper;
use benchleaf::page::font::Fonts;
use benchleaf::page::sheets::lay_sheets;
use benchleaf::sheet::{SheetSet, expand};

const ROUNDS: usize = 20;

fn main() {
    let fonts = Fonts::load().expect("built-in typefaces");
    let arguments = std::env::args().skip(1).filter(|a| !a.starts_with("--"));
    let arguments: Vec<String> = arguments.collect();
    let engine = arguments.get(1).map_or("demo", String::as_str);
    let set = set(engine);
    let mut times = Vec::new();
    let mut pages = 0;
    for _ in 0..ROUNDS {
        let start = Instant::now();
        let mut out = Diags::new();
        let laid = lay_sheets(&set, None, &fonts, &mut out);
        let (document, _) = laid.unwrap_or_else(|| panic!("{out:?}"));
        times.push(start.elapsed());
        pages = document.pages.len();
    }
    times.sort();
    println!("{pages} pages laid out: median {:.2?}", times[ROUNDS / 2]);
    if let Some(folder) = arguments.first() {
        for (name, paper) in [("a4", Paper::A4), ("letter", Paper::Letter)] {
            let path = Path::new(folder).join(name).with_extension("pdf");
            write(&set, paper, &fonts, &path);
        }
    }
}

fn set(folder: &str) -> SheetSet {
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
    for entry in std::fs::read_dir(here.join("forms")).expect("the forms") {
        let path = entry.expect("a form").path();
        if path.extension().is_some_and(|ending| ending == "toml") {
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            files.put(format!("forms/{name}"), read(&path));
        }
    }
    let mut out = Diags::new();
    let case = load::case(&files, &mut out);
    let set = case.and_then(|case| expand(&case, &mut out));
    set.unwrap_or_else(|| panic!("{out:#?}"))
}

fn write(set: &SheetSet, paper: Paper, fonts: &Fonts, path: &Path) {
    let mut set = set.clone();
    set.head.paper = paper;
    let mut out = Diags::new();
    let laid = lay_sheets(&set, None, fonts, &mut out);
    let (document, _) = laid.unwrap_or_else(|| panic!("{out:?}"));
    let pdf = draw(&document, fonts).expect("drawn");
    let bytes = conform(pdf, &document, &[]).expect("fit for the archive");
    std::fs::write(path, &bytes).expect("a path to write to");
    println!("{}: {} pages, {} bytes", path.display(), document.pages.len(), bytes.len());
}
