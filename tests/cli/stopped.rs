//! Stopped by a signal: nothing stays that was written aside, and a folder is
//! whole or not there. `kill -9` cannot be caught: what was aside stays, under
//! a name that begins with a point.

use std::fs;
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Instant;

use super::script::{Script, words};

/// Stops of each command; BENCHLEAF_KILLS asks for more.
fn stops() -> u32 {
    let told = std::env::var("BENCHLEAF_KILLS").ok();
    told.and_then(|n| n.parse().ok()).unwrap_or(10)
}

impl Script {
    /// Stops a command at moments spread over its run.
    fn stopped_throughout(&self, line: &str, before: impl Fn(), after: impl Fn(&str)) {
        before();
        let start = Instant::now();
        self.run(line).in_order();
        let whole = start.elapsed();
        for n in 0..stops() {
            let signal = ["-INT", "-TERM", "-HUP"][n as usize % 3];
            before();
            let mut command = self.command(&words(line));
            command.stdout(Stdio::null()).stderr(Stdio::null());
            let mut child = command.spawn().expect("the program could not be started");
            // Most of what is written is written at the end.
            let share = 0.5 + 0.6 * (f64::from(n) * 0.618_033_988_75 % 1.0);
            sleep(whole.mul_f64(share));
            let _ = Command::new("kill").args([signal, &child.id().to_string()]).status();
            let status = child.wait().expect("a child");
            let left: Vec<_> =
                self.listing().into_iter().filter(|name| name.contains(".benchleaf-")).collect();
            assert!(left.is_empty(), "{line}: stop {n} ({status}) left {left:?}");
            after(&format!("{line}: stop {n}, {status}"));
        }
    }
}

#[test]
fn what_is_written_aside_does_not_stay() {
    let script = Script::demo();
    script.stopped_throughout("report job", || {}, |_| {});
    script.stopped_throughout("sheets job", || {}, |_| {});
}

#[test]
fn a_table_is_the_old_one_or_the_new_one() {
    let script = Script::demo();
    script.write("first/a.pdf", script.bytes("job/report.pdf"));
    script.run("table first -o t.jsonl").status(0);
    let old = script.bytes("t.jsonl");
    script.run("table job -o t.jsonl").status(0);
    let new = script.bytes("t.jsonl");
    assert!(new.starts_with(&old) && new.len() > old.len());
    let begin = || {
        script.write("t.jsonl", &old);
    };
    script.stopped_throughout("table job -o t.jsonl", begin, |what| {
        let there = script.bytes("t.jsonl");
        assert!(there == old || there == new, "{what}: {} bytes", there.len());
    });
}

#[test]
fn a_new_folder_is_whole_or_not_there() {
    let script = Script::demo();
    script.run("new whole").status(0);
    script.run("unpack job/report-signed.pdf taken").status(0);
    let names = |dir: &str| -> Vec<String> {
        let inside = format!("{dir}/");
        let listing = script.listing().into_iter();
        listing.filter_map(|name| name.strip_prefix(&inside).map(str::to_owned)).collect()
    };
    let (opened, taken) = (names("whole"), names("taken"));
    assert!(opened.len() > 5 && taken.len() > 5);
    let gone = || {
        let _ = fs::remove_dir_all(script.path("fresh"));
    };
    let empty = || {
        gone();
        fs::create_dir(script.path("fresh")).expect("a folder");
    };
    for (line, dir, wanted) in [
        ("new fresh", "fresh", &opened),
        ("new fresh/a/b", "fresh/a/b", &opened),
        ("unpack job/report-signed.pdf fresh", "fresh", &taken),
    ] {
        let whole = |what: &str| {
            let there = names(dir);
            assert!(there.is_empty() || there == *wanted, "{what}: {there:?}");
            assert!(!there.is_empty() || !script.path("fresh").exists(), "{what}: an empty folder");
        };
        script.stopped_throughout(line, gone, whole);
    }
    script.stopped_throughout("new fresh", empty, |what| {
        let there = names("fresh");
        assert!(there.is_empty() || there == opened, "{what}: {there:?}");
    });
}

#[test]
fn a_folder_that_cannot_be_filled_is_not_there() {
    let script = Script::demo();
    script.write("engine.toml", "x = 1").write("limits.toml", [0xFF]);
    script.run("new fresh --engine engine.toml --limits limits.toml").status(2);
    script.missing("fresh");
    let Some(ran) = script.run_on_small_disk(40, "unpack job/report-signed.pdf fresh") else {
        return;
    };
    ran.in_order().status(2).complains("fresh").complains("No space left");
    script.missing("fresh");
}

/// A command that was told to go on (nohup) does.
#[test]
fn an_ignored_signal_stays_ignored() {
    let script = Script::demo();
    let program = env!("CARGO_BIN_EXE_benchleaf");
    let line = format!("trap '' HUP; {program} report job & sleep 0.2; kill -HUP $!; wait $!");
    let run = Command::new("bash").args(["-c", &line]).current_dir(script.folder()).output();
    let run = run.expect("bash is there");
    assert_eq!(run.status.code(), Some(0), "{}", String::from_utf8_lossy(&run.stderr));
}
