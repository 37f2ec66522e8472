//! Time of making, signing and proving the demonstration's report: once, and a
//! thousand times over; and of a recall over a folder of as many. A number after
//! `--` is used for the thousand.

use std::time::{Duration, Instant};

use benchleaf::bundle::{How, build, read, verify};
use benchleaf::diag::{Diags, Sources};
use benchleaf::model::Case;
use benchleaf::sheet::SheetSet;
use benchleaf::sign::{Moment, Placement, Places, Signer, SigningKey, sign};

fn main() {
    let many: usize = std::env::args().skip(1).find_map(|word| word.parse().ok()).unwrap_or(1000);
    let files = files();
    let mut out = Diags::new();
    let (case, set) = read(&files, &mut out).expect("the demonstration is readable");
    let key = std::fs::read("demo/throw-away-JA.pem").expect("run it in the project's folder");
    let key = SigningKey::read(&key, None).expect("a key");
    let one = |times: &mut [Vec<Duration>; 3]| once(&files, (&case, &set), &key, times);

    let mut first = [const { Vec::new() }; 3];
    let sizes = one(&mut first);
    let mut times = [const { Vec::new() }; 3];
    let start = Instant::now();
    for _ in 0..many {
        one(&mut times);
    }
    let all = start.elapsed();
    println!("report {} bytes, signed {} bytes", sizes.0, sizes.1);
    println!(
        "{:<8} {:>12} {:>12} {:>12} {:>14}",
        "",
        "first",
        "median",
        "worst",
        format!("{many} reports")
    );
    for ((name, first), times) in ["archive", "sign", "verify"].iter().zip(&first).zip(&mut times) {
        times.sort();
        let whole: Duration = times.iter().sum();
        let (median, worst) = (times[times.len() / 2], times[times.len() - 1]);
        println!("{name:<8} {:>12.2?} {median:>12.2?} {worst:>12.2?} {whole:>14.2?}", first[0]);
    }
    println!("{many} reports made, signed and proved in {all:.2?}");
    recall(many);
}

/// Whole processes over a folder of signed reports: one where every report is a
/// hit, one where none is.
fn recall(many: usize) {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let run = |words: &[&str]| {
        let start = Instant::now();
        let program = std::process::Command::new(env!("CARGO_BIN_EXE_benchleaf"))
            .args(words)
            .current_dir(folder.path())
            .output()
            .expect("the program");
        (start.elapsed(), String::from_utf8_lossy(&program.stdout).into_owned())
    };
    run(&["demo", "job"]);
    std::fs::create_dir(folder.path().join("all")).expect("a folder");
    let report = folder.path().join("job/report-signed.pdf");
    for n in 0..many {
        let to = folder.path().join(format!("all/{n}.pdf"));
        std::fs::copy(&report, to).expect("a report");
    }
    for gauge in ["MIC-2B", "MIC-77"] {
        let (took, said) = run(&["recall", "all", "--gauge", gauge]);
        let last = said.lines().last().unwrap_or_default();
        println!("recall of {gauge} over {many} reports: {took:.2?}; {last}");
    }
}

/// Sizes before and after signing; the times behind those there are.
fn once(
    files: &Sources,
    job: (&Case, &SheetSet),
    key: &SigningKey,
    times: &mut [Vec<Duration>; 3],
) -> (usize, usize) {
    let start = Instant::now();
    let pressed = build(files, job, How::default(), &mut Diags::new()).expect("a report");
    times[0].push(start.elapsed());

    let start = Instant::now();
    let own = pressed.places.iter().find(|place| place.name == "Judith Ashcombe").expect("a place");
    let later = pressed.places.iter().filter(|place| place.name != own.name);
    let placed = |place: &benchleaf::pages::report::SignPlace| Placement {
        page: place.page,
        area: place.area,
    };
    let later: Vec<Placement> = later.map(placed).collect();
    let places = Places { own: placed(own), later: &later };
    let signer = Signer {
        name: "Judith Ashcombe",
        role: "inspector",
        certificate_number: "DEMO-I-012",
        claimed: Moment::utc(1_800_000_000),
        what_for: "the sheets that carry JA",
    };
    let signed = sign(&pressed.bytes, key, &signer, &places, [7; 32]).expect("signed");
    times[1].push(start.elapsed());

    let start = Instant::now();
    let proof = verify(&signed, &[]).expect("readable");
    times[2].push(start.elapsed());
    assert!(proof.good(), "{:?}", proof.findings);
    (pressed.bytes.len(), signed.len())
}

/// The demonstration's job, its transcription numbered as its sheets are.
fn files() -> Sources {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let job = folder.path().join("job");
    let run = std::process::Command::new(env!("CARGO_BIN_EXE_benchleaf"))
        .arg("demo")
        .arg(&job)
        .output()
        .expect("the program");
    assert!(run.status.success());
    let mut files = Sources::default();
    let mut put = |name: String, path: std::path::PathBuf| {
        files.put(name, std::fs::read_to_string(path).expect("text"));
    };
    for name in ["engine.toml", "limits.toml", "job.toml", "readings.toml"] {
        put(name.to_owned(), job.join(name));
    }
    for entry in std::fs::read_dir(job.join("forms")).expect("forms") {
        let path = entry.expect("an entry").path();
        let name = path.file_name().and_then(|name| name.to_str()).expect("a name");
        put(format!("forms/{name}"), path.clone());
    }
    files
}
