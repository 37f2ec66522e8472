//! What is said: written whole, or an error; nothing in it but printed
//! characters, wherever its words came from.

use std::fs::{self, File};
use std::process::Stdio;

use super::script::{Ran, Script, words};
use crate::archive::build::{Of, issue, join};
use crate::archive::hostile;

/// ESC, C1, marks of direction, DEL and ends of lines, as a name may have them.
const FOUL: &str = "x\u{1b}[2J\u{9b}1m\u{202e}\u{200f}\u{2066}\u{7f}\r\ny";

impl Ran {
    /// No character in it that is not printed, ends of lines and tabs aside.
    #[track_caller]
    fn clean(self) -> Ran {
        let bad = |letter: char| {
            letter.is_control() && !matches!(letter, '\n' | '\t')
                || matches!(letter, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}')
        };
        let found: Vec<char> =
            self.out.chars().chain(self.err.chars()).filter(|c| bad(*c)).collect();
        self.in_order().expect(found.is_empty(), || format!("no {found:?}"))
    }
}

#[test]
fn what_cannot_be_written_is_an_error() {
    let script = Script::demo();
    for line in [
        "check job",
        "check job --json",
        "verify job/report-signed.pdf --json",
        "limits job/limits.toml",
        "report job --out other.pdf",
        "check job job --json",
        "--help",
        "check --help",
        "--version",
        "man",
        "completions bash",
    ] {
        let full = File::options().write(true).open("/dev/full").expect("/dev/full");
        let run = script.command(&words(line)).stdout(full).output().expect("the program");
        let said = String::from_utf8_lossy(&run.stderr);
        assert_eq!(run.status.code(), Some(2), "{line}: {said}");
        assert!(said.contains("the standard output cannot be written"), "{line}: {said}");
    }
}

#[test]
fn a_closed_pipe_ends_quietly() {
    let script = Script::demo();
    for line in ["check job --json", "verify job/report-signed.pdf", "--help", "man"] {
        let mut command = script.command(&words(line));
        let mut child =
            command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the program");
        drop(child.stdout.take());
        let run = child.wait_with_output().expect("a child");
        let said = String::from_utf8_lossy(&run.stderr);
        assert!(run.status.code() < Some(2) && said.is_empty(), "{line}: {said}");
    }
}

#[test]
fn names_from_outside_are_shown_not_obeyed() {
    let script = Script::demo();
    fs::rename(script.path("job"), script.path(FOUL)).expect("a folder of any name");
    let inside = |name: &str| format!("{FOUL}/{name}");
    let report = inside("report-signed.pdf");
    let (limits, readings) = (inside("limits.toml"), inside("readings.toml"));
    for line in [
        vec!["check", FOUL],
        vec!["check", FOUL, "--json"],
        vec!["report", FOUL],
        vec!["sheets", FOUL],
        vec!["sheets", FOUL, "--second"],
        vec!["sheets", FOUL, "--only", FOUL],
        vec!["tags", FOUL],
        vec!["limits", &limits],
        vec!["compare", FOUL, FOUL],
        vec!["whatif", FOUL],
        vec!["recall", FOUL, "--gauge", FOUL],
        vec!["table", FOUL, "--out", FOUL],
        vec!["history", FOUL, "--line", FOUL, "--out", FOUL],
        vec!["history", FOUL, "--line", "C", "--out", &inside("c.pdf")],
        vec!["table", FOUL, "--out", &inside("rows.csv")],
        vec!["verify", &report],
        vec!["verify", &report, "--json"],
        vec!["verify", FOUL],
        vec!["sign", &report, "--key", FOUL, "--as", FOUL],
        vec!["stamp", &report, "--request", FOUL],
        vec!["unpack", &report, &inside("out")],
        vec!["unpack", &report, FOUL],
        vec!["new", FOUL],
        vec!["schemas", &inside("schemas")],
        vec!["train", &inside("train")],
        vec!["train", FOUL, "--mark", &readings],
        vec!["check", "no such", FOUL, FOUL],
        vec![FOUL],
        vec!["check", &format!("--{FOUL}")],
        vec!["recall", FOUL, "--gauge", "x", "--since", FOUL],
    ] {
        script.run_words(&line).clean();
    }
    let help = script.command(&["new", "--help"]).env("BENCHLEAF_FORMS", FOUL).output();
    Ran::new(script.folder(), &["new", "--help"], &help.expect("the program")).clean();
}

#[test]
fn words_in_files_are_shown_not_obeyed() {
    let raw = "\u{1b}[2J\u{9b}1m\u{202e}";
    for (file, more) in [
        ("engine.toml", format!("\n[\"{raw}\"]\n")),
        ("limits.toml", format!("\n\"a\\u001B\\u009B\\u202E\" = \"{raw}\"\n")),
        ("job.toml", format!("\n# {raw}\nbad key {raw} = 1\n")),
        ("readings.toml", format!("\n[C]\nC1.bore = [\"{raw}\", {raw}]\n")),
        ("forms/\u{9b}1m\u{202e}.toml", format!("[sheet]\ntitle = \"{raw}\"\nletter = 1\n")),
    ] {
        let script = Script::demo();
        let old = fs::read_to_string(script.path("job").join(file)).unwrap_or_default();
        script.write(&format!("job/{file}"), old + &more);
        script.run("check job").clean().status(2);
        script.run("report job").clean().status(2);
    }
    let script = Script::demo();
    script.write(&format!("job/originals/{FOUL}.pdf"), "%PDF-1.4");
    script.run("report job").clean();
}

#[test]
fn words_in_reports_and_certificates_are_shown_not_obeyed() {
    let script = Script::demo();
    let named = hostile::carrying(&["\u{1b}[2J\u{9b}1m\u{202e}.toml", "a\u{202e}.json"]);
    script.write("foul.pdf", named);
    script.run("verify foul.pdf").clean();
    script.run("unpack foul.pdf out").clean();
    script.run("recall . --gauge MIC-2").clean();
    issue(
        "cli-foul",
        Of::P256,
        "Ada \u{9b}1m\u{202e}Miller",
        "20240101000000Z",
        "20300101000000Z",
        &[],
    );
    script.write("key.pem", join(&["cli-foul.key", "cli-foul.pem"]));
    let ran = script.run("sign job/report.pdf --key key.pem --as JA").clean().status(2);
    ran.complains("Miller");
}

#[test]
fn a_million_unknown_keys_give_a_bounded_list() {
    let script = Script::demo();
    let keys: String = (0..100_000).map(|n| format!("k{n} = 1\n")).collect();
    script.append("job/engine.toml", &format!("\n[wrong]\n{keys}"));
    script.append("job/job.toml", &format!("\n{keys}"));
    let ran = script.run("check job").in_order().status(2);
    ran.complains("of which the first 1000 found are shown").expect_lines(20_000);
}

impl Ran {
    #[track_caller]
    fn expect_lines(self, most: usize) -> Ran {
        let lines = self.err.lines().count();
        self.expect(lines <= most, || format!("{most} lines at most, not {lines}"))
    }
}
