//! The demonstration's packet: its sheets and its report, by the whole program
//! and inside one process; time, memory and size, as a table.
//!
//! `cargo bench --bench packet`. Nothing is asserted: a figure that falls short
//! is printed as it is.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use benchleaf::diag::{Diags, Sources};
use benchleaf::load;
use benchleaf::pages::worksheet::lay_sheets;
use benchleaf::pdf::conform;
use benchleaf::pdf::document::draw;
use benchleaf::sheet::expand;

const ROUNDS: usize = 30;
const PROGRAM: &str = env!("CARGO_BIN_EXE_benchleaf");

fn main() {
    let room = tempfile::TempDir::new().expect("a temporary folder");
    let job = room.path().join("job");
    assert!(run(&["demo", &job.to_string_lossy()]).status.success(), "no demonstration");
    println!(
        "{:<34}{:>10}{:>10}{:>9}{:>7}{:>10}",
        "", "median", "best", "MiB", "pages", "KiB/page"
    );
    for (words, made) in [(["sheets"], "sheets.pdf"), (["report"], "report.pdf")] {
        let line = [words[0], &job.to_string_lossy()].map(str::to_owned);
        let line: Vec<&str> = line.iter().map(String::as_str).collect();
        let times = (0..ROUNDS).map(|_| timed(|| drop(run(&line)))).collect();
        let pdf = fs::read(job.join(made)).expect("a PDF");
        show(&format!("{}, whole process", words[0]), times, Some(memory(&line)), &pdf);
    }
    let times =
        (0..ROUNDS).map(|_| timed(|| drop(run(&["check", &job.to_string_lossy()])))).collect();
    let line = ["check", &job.to_string_lossy()].map(str::to_owned);
    let line: Vec<&str> = line.iter().map(String::as_str).collect();
    show("check, whole process", times, Some(memory(&line)), &[]);
    inside(&job);
}

fn run(words: &[&str]) -> std::process::Output {
    let mut command = Command::new(PROGRAM);
    command.args(words).stdin(Stdio::null()).output().expect("the program")
}

fn timed(work: impl FnOnce()) -> Duration {
    let start = Instant::now();
    work();
    start.elapsed()
}

/// The sheets from the files' text to the PDF's bytes, in this process.
fn inside(job: &Path) {
    let files = sources(job);
    let mut pdf = Vec::new();
    let mut each = [const { Vec::new() }; 4];
    let mut whole = Vec::new();
    for _ in 0..ROUNDS {
        let mut out = Diags::new();
        let start = Instant::now();
        let case = load::case(&files, &mut out).expect("a job that reads");
        let read = start.elapsed();
        let set = expand(&case, &mut out).expect("sheets");
        let expanded = start.elapsed();
        let (document, _) = lay_sheets(&set, None, &mut out).expect("pages");
        let laid = start.elapsed();
        pdf = conform(draw(&document).expect("drawn"), &document, Vec::new()).expect("fit");
        let drawn = start.elapsed();
        for (times, time) in
            each.iter_mut().zip([read, expanded - read, laid - expanded, drawn - laid])
        {
            times.push(time);
        }
        whole.push(drawn);
    }
    show("sheets, in process", whole, None, &pdf);
    for (name, times) in ["reading", "expanding", "laying out", "drawing, archive"].iter().zip(each)
    {
        show(&format!("  of that {name}"), times, None, &[]);
    }
}

fn sources(job: &Path) -> Sources {
    let mut files = Sources::default();
    let mut put = |name: String| {
        files.put(name.as_str(), fs::read_to_string(job.join(&name)).expect("a file of the job"));
    };
    for name in ["engine.toml", "limits.toml", "job.toml", "readings.toml"] {
        put(name.to_owned());
    }
    for entry in fs::read_dir(job.join("forms")).expect("forms") {
        put(format!("forms/{}", entry.expect("an entry").file_name().to_string_lossy()));
    }
    files
}

/// The most memory that a run held, in MiB, as the kernel counted it.
fn memory(words: &[&str]) -> f64 {
    // The parent's share is not the program's: a shell waits for nothing else.
    let script = "import resource, subprocess, sys; \
        subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL); \
        print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)";
    let out = Command::new("python3").args(["-c", script, PROGRAM]).args(words).output();
    let kib = out.ok().and_then(|out| String::from_utf8_lossy(&out.stdout).trim().parse().ok());
    kib.unwrap_or(f64::NAN) / 1024.0
}

fn show(what: &str, mut times: Vec<Duration>, memory: Option<f64>, pdf: &[u8]) {
    times.sort();
    let median = format!("{:.1?}", times[times.len() / 2]);
    let best = format!("{:.1?}", times[0]);
    let memory = memory.map_or_else(String::new, |mib| format!("{mib:.1}"));
    let count = pages(pdf);
    let (pages, size) = match count {
        0 => Default::default(),
        count => (count.to_string(), format!("{:.1}", pdf.len() as f64 / 1024.0 / count as f64)),
    };
    println!("{what:<34}{median:>10}{best:>10}{memory:>9}{pages:>7}{size:>10}");
}

/// Page objects in a PDF, by lopdf's reading.
fn pages(pdf: &[u8]) -> usize {
    lopdf::Document::load_mem(pdf).map_or(0, |document| document.get_pages().len())
}
