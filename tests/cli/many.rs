//! Several jobs in one call: each told whole, in the order given, the same as
//! one by one; a bad one in the middle stops none.

use super::script::{Ran, Script};

const JOBS: usize = 100;
const BAD: usize = 50;

/// A hundred small jobs, the one in the middle with a limit that contradicts
/// itself, and their names as arguments.
fn hundred() -> (Script, Vec<String>) {
    let script = Script::new();
    let names: Vec<String> = (0..JOBS).map(|n| format!("job {n:02}")).collect();
    for (n, name) in names.iter().enumerate() {
        script.bring("tests/cases/base", name);
        std::fs::remove_file(script.path(name).join("readings.toml")).expect("a file of the job");
        let job = format!("{name}/job.toml");
        script.replace(&job, "WO-1182", &format!("WO-{n}"));
    }
    let bad = format!("{}/limits.toml", names[BAD]);
    script.replace(&bad, "service = \"0.0050L\"", "service = \"0.0005L\"");
    (script, names)
}

fn all(script: &Script, words: &[&str], names: &[String]) -> Ran {
    let words: Vec<&str> = words.iter().copied().chain(names.iter().map(String::as_str)).collect();
    script.run_words(&words).in_order()
}

/// One after another: what all of them say, and the worst status. `check` names
/// the job before each line.
fn one_by_one(script: &Script, words: &[&str], names: &[String]) -> (String, String, Option<i32>) {
    let (mut out, mut err, mut worst) = (String::new(), String::new(), None);
    for name in names {
        let ran = all(script, words, std::slice::from_ref(name));
        let line = |line: &str| match line.trim().is_empty() {
            true => line.to_owned(),
            false => format!("{name}: {line}"),
        };
        let named = |text: &str| text.split_inclusive('\n').map(line).collect::<String>();
        let check = words.contains(&"check");
        out += &if check && !words.contains(&"--json") { named(&ran.out) } else { ran.out };
        err += &if check { named(&ran.err) } else { ran.err };
        worst = worst.max(ran.code);
    }
    (out, err, worst)
}

/// Which of the jobs each line names, in order.
fn order(text: &str) -> Vec<usize> {
    let named = |line: &str| line.strip_prefix("job ")?.get(..2)?.parse().ok();
    text.lines().filter_map(named).collect()
}

#[test]
fn a_hundred_jobs_with_a_bad_one_in_the_middle() {
    let (script, names) = hundred();
    let ran = all(&script, &["sheets"], &names).status(2);
    assert!(ran.err.contains("limits.toml"), "{}", ran.err);
    assert_eq!(ran.err.matches("WO-").count(), 0, "{}", ran.err);
    let good = |n: &usize| *n != BAD;
    let wanted: Vec<usize> = (0..JOBS).filter(good).flat_map(|n| [n, n]).collect();
    assert_eq!(order(&ran.out), wanted, "{}", ran.out);
    for (n, name) in names.iter().enumerate() {
        let made = script.path(&format!("{name}/sheets.pdf")).exists();
        assert_eq!(made, n != BAD, "{name}");
    }
    let pdfs: Vec<Vec<u8>> = written(&script, &names, "sheets.pdf");
    let blanks: Vec<Vec<u8>> = written(&script, &names, "readings.toml");

    // One by one afterwards: the same pages, the same words.
    let (alone, _) = hundred();
    let (out, err, worst) = one_by_one(&alone, &["sheets"], &names);
    assert_eq!((out, err, worst), (ran.out, ran.err, Some(2)));
    assert!(written(&alone, &names, "sheets.pdf") == pdfs);
    assert!(written(&alone, &names, "readings.toml") == blanks);

    // The bad one and its neighbours.
    let near = &names[BAD - 5..BAD + 5];
    for words in [&["check"][..], &["check", "--json"], &["report", "--draft"]] {
        let ran = all(&script, words, near);
        let (out, err, worst) = one_by_one(&script, words, near);
        assert!(ran.out == out, "{words:?}: {}", ran.out);
        assert_eq!((ran.err, ran.code), (err, worst), "{words:?}");
        assert_eq!(ran.code, Some(2));
    }
    assert_eq!(written(&script, near, "report.pdf").len(), near.len() - 1);
}

fn written(script: &Script, names: &[String], file: &str) -> Vec<Vec<u8>> {
    let paths = names.iter().map(|name| format!("{name}/{file}"));
    paths.filter(|path| script.path(path).exists()).map(|path| script.bytes(&path)).collect()
}

#[test]
fn no_two_jobs_into_one_folder() {
    let (script, names) = hundred();
    for words in [&["sheets", "--out", "pages"][..], &["tags", "--out", "pages"]] {
        all(&script, words, &names[..2]).status(2).complains("give one job");
    }
    script.missing("pages");
}

#[test]
fn a_folder_named_twice_finds_what_the_first_has_written() {
    let (script, names) = hundred();
    let twice = [names[0].clone(), names[1].clone(), format!("{}/.", names[0])];
    let ran = all(&script, &["sheets"], &twice).status(0);
    let blank = |line: &&str| line.contains("readings.toml");
    let said: Vec<&str> = ran.out.lines().filter(blank).collect();
    assert!(said[0].contains("blank transcription"), "{}", ran.out);
    assert!(said[2].contains("is there already"), "{}", ran.out);
}

/// `script`, of Debian's essential package bsdutils, gives the program a
/// terminal to write on.
#[test]
fn progress_is_shown_on_a_terminal_and_nowhere_else() {
    let (script, names) = hundred();
    let quiet = all(&script, &["sheets"], &names[..3]).status(0);
    assert_eq!(quiet.err, "");
    let mut shell = std::process::Command::new("script");
    let line =
        format!("'{}' check 'job 00' 'job 50' 'job 01' >said.txt", env!("CARGO_BIN_EXE_benchleaf"));
    shell.args(["--quiet", "--return", "--command", &line, "typescript"]);
    let ran = shell.current_dir(script.folder()).stdin(std::process::Stdio::null()).output();
    let ran = ran.expect("the program `script`");
    assert_eq!(ran.status.code(), Some(2));
    let shown = script.read("typescript");
    for part in ["0 of 3\r\u{1b}[K", "1 of 3\r\u{1b}[K", "3 of 3, 1 wrong\r\u{1b}[K"] {
        assert!(shown.contains(part), "{part:?} in {shown:?}");
    }
    let said = script.read("said.txt");
    assert!(!said.contains('\u{1b}') && !said.contains(" of 3"), "{said}");
}
