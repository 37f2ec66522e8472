//! What `tests/bench/side_by_side.py` asks of this program inside one process.
//!
//! `beside time JOB sheets|report ROUNDS` prints the seconds of each round, from
//! the texts of the files to the bytes of the PDF, and of those what the pages
//! alone take. `beside marks JOB
//! sheets|report` prints what stands on the pages, so that other programs can
//! be given the same words and boxes: JSON, micrometres from the upper left.

use std::fs;
use std::path::Path;
use std::time::Instant;

use benchleaf::bundle::{How, build, read};
use benchleaf::diag::{Diags, Sources};
use benchleaf::layout::mark::{Dash, Document, Mark, Pen, Point, Step};
use benchleaf::model::Case;
use benchleaf::model::record::Record;
use benchleaf::pages::report::lay_report;
use benchleaf::pages::worksheet::{lay_sheets, pages};
use benchleaf::pdf::conform;
use benchleaf::pdf::document::draw;
use benchleaf::record::judge;
use benchleaf::report::sections::{ReportInput, report};
use benchleaf::sheet::SheetSet;
use serde_json::{Value, json};

/// The program's own.
#[global_allocator]
static HEAP: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|a| a != "--bench").collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words[..] {
        ["time", job, what, rounds] => time(job, what, rounds.parse().expect("a number")),
        ["marks", job, what] => println!("{}", marks(&laid(job, what))),
        _ => println!("asked by tests/bench/side_by_side.py: time JOB WHAT ROUNDS; marks JOB WHAT"),
    }
}

fn time(job: &str, what: &str, rounds: usize) {
    let files = sources(Path::new(job));
    for _ in 0..rounds {
        let mut out = Diags::new();
        let start = Instant::now();
        let (case, set) = read(&files, &mut out).expect("a job that reads");
        if what == "sheets" {
            let (document, _) = lay_sheets(&set, None, &mut out).expect("pages");
            bytes(&document);
        } else {
            let made = build(&files, (&case, &set), How::default(), &mut out);
            made.expect("a report");
        }
        println!("{} {}", start.elapsed().as_secs_f64(), pages_alone(&case, &set, what));
    }
}

/// Seconds for what the others are asked for: pages from finished words.
fn pages_alone(case: &Case, set: &SheetSet, what: &str) -> f64 {
    let mut out = Diags::new();
    let report = (what == "report").then(|| told(case, set, |told| report(told, false)));
    let start = Instant::now();
    let document = match &report {
        Some(report) => lay_report(report, &mut out),
        None => lay_sheets(set, None, &mut out).map(|(document, _)| document),
    };
    bytes(&document.expect("pages"));
    start.elapsed().as_secs_f64()
}

fn bytes(document: &Document) -> Vec<u8> {
    conform(draw(document).expect("drawn"), document, Vec::new()).expect("fit")
}

fn laid(job: &str, what: &str) -> Document {
    let files = sources(Path::new(job));
    let mut out = Diags::new();
    let (case, set) = read(&files, &mut out).expect("a job that reads");
    if what == "sheets" {
        return lay_sheets(&set, None, &mut out).expect("pages").0;
    }
    let report = told(&case, &set, |told| report(told, false));
    lay_report(&report, &mut out).expect("a report")
}

/// The record held against the sheets, given to `what`.
fn told<T>(case: &Case, set: &SheetSet, what: impl FnOnce(&ReportInput) -> T) -> T {
    let mut out = Diags::new();
    let judged = judge(case, set, &mut out).expect("verdicts");
    let pages = pages(set, &mut out).expect("pages");
    let blank = Record::blank(&set.number);
    let record = case.record.as_ref().unwrap_or(&blank);
    what(&ReportInput {
        case,
        set,
        record,
        judged: &judged,
        pages: &pages,
        originals: None,
        history: None,
        arithmetic: true,
    })
}

fn sources(job: &Path) -> Sources {
    let mut files = Sources::default();
    let mut put = |name: String| {
        if let Ok(text) = fs::read_to_string(job.join(&name)) {
            files.put(name.as_str(), text);
        }
    };
    for name in ["engine.toml", "limits.toml", "job.toml", "readings.toml"] {
        put(name.to_owned());
    }
    for entry in fs::read_dir(job.join("forms")).expect("forms") {
        put(format!("forms/{}", entry.expect("an entry").file_name().to_string_lossy()));
    }
    files
}

/// The pages, and the stamps that they share by name.
fn marks(document: &Document) -> Value {
    let mut stamps = serde_json::Map::new();
    let mut pages = Vec::new();
    for page in &document.pages {
        for mark in &page.marks {
            if let Mark::Stamp { stamp, .. } = mark {
                let marks = || stamp.marks.iter().map(self::mark).collect::<Vec<_>>();
                stamps.entry(stamp.name.clone()).or_insert_with(|| marks().into());
            }
        }
        let marks: Vec<Value> = page.marks.iter().map(mark).collect();
        pages.push(json!({ "size": [page.width.um(), page.height.um()], "marks": marks }));
    }
    json!({ "stamps": stamps, "pages": pages })
}

fn mark(mark: &Mark) -> Value {
    match mark {
        Mark::Line { from, to, pen } => {
            json!({ "line": [point(from), point(to)], "pen": self::pen(pen) })
        }
        Mark::Rect { area, pen, fill } => {
            let area = [area.x.um(), area.y.um(), area.w.um(), area.h.um()];
            json!({ "rect": area, "pen": pen.as_ref().map(self::pen), "fill": fill })
        }
        Mark::Hatch { area } => {
            json!({ "hatch": [area.x.um(), area.y.um(), area.w.um(), area.h.um()] })
        }
        Mark::Path { steps, pen, fill } => {
            let steps: Vec<Value> = steps.iter().map(step).collect();
            json!({ "path": steps, "pen": pen.as_ref().map(self::pen), "fill": fill })
        }
        Mark::Run(run) => json!({
            "text": run.text,
            "at": point(&run.at),
            "face": format!("{:?}", run.face),
            "size": run.size.um(),
            "align": format!("{:?}", run.align),
            "white": run.white,
            "turn": run.turn,
        }),
        Mark::Stamp { at, stamp } => json!({ "stamp": stamp.name, "at": point(at) }),
        // Nothing of it is drawn.
        Mark::Field { .. } => Value::Null,
    }
}

fn point(at: &Point) -> Value {
    json!([at.x.um(), at.y.um()])
}

fn pen(pen: &Pen) -> Value {
    json!([pen.weight.um(), pen.dash != Dash::Solid])
}

fn step(step: &Step) -> Value {
    match step {
        Step::To(p) => json!(["m", point(p)]),
        Step::Line(p) => json!(["l", point(p)]),
        Step::Curve(a, b, p) => json!(["c", point(a), point(b), point(p)]),
        Step::Close => json!(["h"]),
    }
}
