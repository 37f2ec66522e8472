//! Folders from outside: no link is followed out of one, and what is not a
//! plain file is named, not read.

use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use super::script::{Ran, Script, words};

/// What may stand in place of a file, and the word that names it.
const IN_PLACE: [(&str, &str); 5] = [
    ("pipe", "is no plain file"),
    ("device", "is a link"),
    ("nowhere", "is a link"),
    ("away", "is a link"),
    ("folder", "is a folder"),
];

impl Script {
    #[track_caller]
    fn stands(&self, what: &str, name: &str) {
        let path = self.path(name);
        fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
        let _ = fs::remove_file(&path);
        let _ = fs::remove_dir_all(&path);
        let link = |to: &Path| symlink(to, &path).expect("a link");
        match what {
            "pipe" => {
                let made = Command::new("mkfifo").arg(&path).status().expect("mkfifo");
                assert!(made.success());
            }
            "device" => link(Path::new("/dev/zero")),
            "nowhere" => link(Path::new("no-such-file")),
            "away" => link(&self.path("secret")),
            _ => fs::create_dir(&path).expect("a folder"),
        }
    }

    /// Runs the program, which must end by itself within a minute.
    #[track_caller]
    fn in_time(&self, line: &str) -> Ran {
        let words = words(line);
        let mut command = Command::new("timeout");
        command.args(["60", env!("CARGO_BIN_EXE_benchleaf")]).args(&words);
        command.current_dir(self.folder()).stdin(Stdio::null()).env("NO_COLOR", "1");
        let output: Output = command.output().expect("timeout is there");
        Ran::new(self.folder(), &words, &output).in_order()
    }
}

#[test]
fn no_file_of_a_job_is_anything_but_a_plain_file() {
    for name in ["engine.toml", "limits.toml", "job.toml", "readings.toml", "forms/extra.toml"] {
        let script = Script::demo();
        let good = fs::read(script.path("job").join(name)).unwrap_or_default();
        script.write("secret", &good);
        for (what, word) in IN_PLACE {
            script.stands(what, &format!("job/{name}"));
            script.in_time("check job").status(2).complains(&format!("{name}: {word}"));
        }
    }
}

#[test]
fn no_scan_and_no_earlier_report_is_anything_but_a_plain_file() {
    let script = Script::demo();
    script.write("secret", script.bytes("job/report-signed.pdf"));
    for (what, word) in IN_PLACE {
        script.stands(what, "job/originals/scan.pdf");
        script.in_time("report job --out r.pdf").status(2).complains(&format!("scan.pdf: {word}"));
        script.in_time("report job --originals job/originals --out r.pdf").status(2);
    }
    script.missing("r.pdf");
    fs::remove_dir_all(script.path("job/originals")).expect("the scans");
    let own = script.read("job/job.toml");
    script.write("job/job.toml", own.replacen("[job]", "[job]\nearlier = \"old.pdf\"", 1));
    for (what, word) in IN_PLACE {
        script.stands(what, "job/earlier/old.pdf");
        script.in_time("report job --out r.pdf").status(2).complains(&format!("old.pdf: {word}"));
    }
    script.missing("r.pdf");
}

#[test]
fn no_folder_of_a_job_is_a_link() {
    for name in ["forms", "originals", "earlier"] {
        let script = Script::demo();
        let own = script.read("job/job.toml");
        script.write("job/job.toml", own.replacen("[job]", "[job]\nearlier = \"old.pdf\"", 1));
        fs::create_dir_all(script.path("job").join(name)).expect("a folder");
        fs::rename(script.path("job").join(name), script.path("away")).expect("moved");
        symlink(script.path("away"), script.path("job").join(name)).expect("a link");
        let ran = script.in_time("report job --out r.pdf").status(2);
        ran.complains(&format!("{name}: is a link"));
        script.missing("r.pdf");
        fs::remove_file(script.path("job").join(name)).expect("the link");
        script.write(&format!("job/{name}"), "a file");
        let ran = script.in_time("report job --out r.pdf").status(2);
        ran.complains(&format!("{name}: is no folder"));
    }
}

#[test]
fn what_is_named_by_hand_may_be_a_link_and_is_a_plain_file() {
    let script = Script::with_keys();
    for line in [
        "verify it",
        "unpack it out",
        "sign it --key ja.pem --as JA",
        "sign job/report.pdf --key it --as JA",
        "verify job/report.pdf --anchor it",
        "stamp it --request r.tsq",
        "stamp job/report-signed.pdf --reply it",
        "limits it",
        "limits job/limits.toml --engine it",
        "compare it job",
        "new fresh --engine it --limits job/limits.toml",
        "train job --mark it",
        "wear it job",
    ] {
        for what in ["pipe", "nowhere", "folder"] {
            script.stands(what, "it");
            script.in_time(line).status(2);
        }
        let _ = fs::remove_dir(script.path("it"));
        symlink("/dev/zero", script.path("it")).expect("a link");
        script.in_time(line).status(2);
        fs::remove_file(script.path("it")).expect("the link");
    }
    script.missing("fresh").missing("out");
    symlink(script.path("ja.pem"), script.path("key")).expect("a link");
    script.run("sign job/report.pdf --key key --as JA").status(0);
}

#[test]
fn nothing_is_written_over_a_link_a_device_or_a_pipe() {
    let script = Script::with_keys();
    let report = script.bytes("job/report.pdf");
    script.write("elsewhere.pdf", &report);
    fs::remove_file(script.path("job/report.pdf")).expect("the report");
    symlink(script.path("elsewhere.pdf"), script.path("job/report.pdf")).expect("a link");
    script.in_time("report job").status(2).complains("is a link");
    script.in_time("sign job/report.pdf --key ja.pem --as JA").status(2).complains("is a link");
    assert_eq!(script.bytes("elsewhere.pdf"), report);
    script.stands("pipe", "out.pdf");
    script.in_time("report job --out out.pdf").status(2).complains("no plain file");
    script.in_time("report job --out /dev/full").status(2).complains("no plain file");
}

#[test]
fn a_search_names_what_it_does_not_follow() {
    let script = Script::demo();
    symlink(script.path("job/report.pdf"), script.path("job/link.pdf")).expect("a link");
    symlink("/", script.path("job/all")).expect("a link");
    script.stands("pipe", "job/pipe.pdf");
    for search in ["recall job --gauge MIC-2", "table job -o t.csv", "history job --line C"] {
        let ran = script.in_time(search).status(1);
        ran.complains("link.pdf: is a link")
            .complains("job/all: is a link")
            .complains("pipe.pdf: is no");
    }
    script.stands("pipe", "rows.csv");
    script.in_time("table job -o rows.csv").status(2).complains("no plain file");
    symlink(script.path("t.csv"), script.path("led.csv")).expect("a link");
    script.in_time("table job -o led.csv").status(2).complains("is a link");
}
