//! Time of laying out the demonstration's worksheets. With a folder, they are
//! written there on both papers to look at.

use std::path::Path;
use std::time::Instant;

use benchleaf::diag::Diags;
use benchleaf::model::job::Paper;
use benchleaf::pages::worksheet::lay_sheets;
use benchleaf::pdf::conform;
use benchleaf::pdf::document::draw;
use benchleaf::sheet::SheetSet;

#[path = "../sheet_pages/job.rs"]
mod job;

const ROUNDS: usize = 20;

fn main() {
    let arguments = std::env::args().skip(1).filter(|a| !a.starts_with("--"));
    let arguments: Vec<String> = arguments.collect();
    let engine = arguments.get(1).map_or("demo", String::as_str);
    let set = job::set(engine);
    let mut times = Vec::new();
    let mut pages = 0;
    for _ in 0..ROUNDS {
        let start = Instant::now();
        let mut out = Diags::new();
        let laid = lay_sheets(&set, None, &mut out);
        let (document, _) = laid.unwrap_or_else(|| panic!("{out:?}"));
        times.push(start.elapsed());
        pages = document.pages.len();
    }
    times.sort();
    println!("{pages} pages laid out: median {:.2?}", times[ROUNDS / 2]);
    if let Some(folder) = arguments.first() {
        for (name, paper) in [("a4", Paper::A4), ("letter", Paper::Letter)] {
            let path = Path::new(folder).join(name).with_extension("pdf");
            write(&set, paper, &path);
        }
    }
}

fn write(set: &SheetSet, paper: Paper, path: &Path) {
    let mut set = set.clone();
    set.head.paper = paper;
    let mut out = Diags::new();
    let laid = lay_sheets(&set, None, &mut out);
    let (document, _) = laid.unwrap_or_else(|| panic!("{out:?}"));
    let pdf = draw(&document).expect("drawn");
    let bytes = conform(pdf, &document, Vec::new()).expect("fit for the archive");
    std::fs::write(path, &bytes).expect("a path to write to");
    println!("{}: {} pages, {} bytes", path.display(), document.pages.len(), bytes.len());
}
