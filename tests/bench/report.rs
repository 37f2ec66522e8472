//! Time of laying out a report. With a folder, the sample is written there in
//! its variants to look at.

use std::path::Path;
use std::time::Instant;

use benchleaf::diag::Diags;
use benchleaf::model::job::Paper;
use benchleaf::pages::report::lay_report;
use benchleaf::pdf::conform;
use benchleaf::pdf::document::draw;
use benchleaf::record::Status;
use benchleaf::report::Report;

#[path = "../report_pages/fit_rows.rs"]
mod fit_rows;
#[path = "../report_pages/sample.rs"]
mod sample;

const ROUNDS: usize = 40;

fn main() {
    let report = sample::report(Status::Draft, Paper::A4);
    let mut times = Vec::new();
    let mut pages = 0;
    for _ in 0..ROUNDS {
        let start = Instant::now();
        let document = lay_report(&report, &mut Diags::new()).expect("letters known");
        times.push(start.elapsed());
        pages = document.pages.len();
    }
    times.sort();
    println!("{pages} pages laid out: median {:.2?}", times[ROUNDS / 2]);
    if let Some(folder) = std::env::args().skip(1).find(|a| !a.starts_with("--")) {
        for (name, status, paper) in [
            ("a4-draft", Status::Draft, Paper::A4),
            ("a4-incomplete", Status::Incomplete, Paper::A4),
            ("a4-final", Status::Complete, Paper::A4),
            ("letter-final", Status::Complete, Paper::Letter),
        ] {
            let path = Path::new(&folder).join(name).with_extension("pdf");
            write(&sample::report(status, paper), &path);
        }
        let path = Path::new(&folder).join("a4-crowded.pdf");
        write(&sample::crowded(), &path);
    }
}

fn write(report: &Report, path: &Path) {
    let document = lay_report(report, &mut Diags::new()).expect("letters known");
    let pdf = draw(&document).expect("drawn");
    let bytes = conform(pdf, &document, Vec::new()).expect("fit for the archive");
    std::fs::write(path, bytes).expect("a path to write to");
}
