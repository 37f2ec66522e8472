//! Two commands at once on one job: nothing that one has written is lost by the
//! other.

use std::fs::File;
use std::io::{BufRead, BufReader, Read};
use std::process::{Child, Stdio};

use super::script::{Script, words};

/// Pairs of each kind. Before there was a lock, one of four pairs of signatures
/// lost one; BENCHLEAF_PAIRS=500 asks for more.
fn pairs() -> u32 {
    let told = std::env::var("BENCHLEAF_PAIRS").ok();
    told.and_then(|n| n.parse().ok()).unwrap_or(4)
}

const RW: &str = "sign job/report.pdf --key rw.pem --as RW";
const JA: &str = "sign job/report.pdf --key ja.pem --as JA";

impl Script {
    /// The demonstration with its throw-away keys.
    pub fn with_keys() -> Script {
        let script = Script::demo();
        script.bring("demo/throw-away-JA.pem", "ja.pem").bring("demo/throw-away-RW.pem", "rw.pem");
        script
    }

    fn start(&self, line: &str) -> Child {
        let mut command = self.command(&words(line));
        command.stdout(Stdio::null()).stderr(Stdio::piped());
        command.spawn().expect("the program could not be started")
    }

    /// Starts a command while another holds the folder, does something else,
    /// and lets go.
    fn held_up(&self, line: &str, meanwhile: impl FnOnce()) -> (Option<i32>, String) {
        let held = File::open(self.path("job")).expect("the folder");
        held.lock().expect("a lock");
        let mut child = self.start(line);
        let mut said = BufReader::new(child.stderr.take().expect("its complaints"));
        let mut all = String::new();
        while !all.contains("job: another command writes here; waiting") {
            let more = said.read_line(&mut all).expect("text");
            assert!(more > 0, "{line} did not wait: {all}");
        }
        meanwhile();
        drop(held);
        said.read_to_string(&mut all).expect("text");
        (child.wait().expect("a child").code(), all)
    }

    fn signatures(&self, of: &[&str]) {
        let ran = self.run("verify job/report.pdf").status(0);
        of.iter().fold(ran, |ran, name| ran.says_on_a_line(&["good", "signature of", name]));
    }
}

#[test]
fn a_signature_waits_and_takes_what_was_written_meanwhile() {
    let script = Script::with_keys();
    let names = script.names_of_signers();
    let before = script.bytes("job/report.pdf");
    script.run(JA).status(0);
    let signed = script.bytes("job/report.pdf");
    script.write("job/report.pdf", before);
    let (code, said) = script.held_up(RW, || {
        script.write("job/report.pdf", &signed);
    });
    assert_eq!(code, Some(0), "{said}");
    script.signatures(&[&names[0], &names[1]]);
}

#[test]
fn a_report_does_not_take_the_place_of_one_signed_meanwhile() {
    let script = Script::with_keys();
    let before = script.bytes("job/report.pdf");
    script.run(JA).status(0);
    let signed = script.bytes("job/report.pdf");
    script.write("job/report.pdf", before);
    let (code, said) = script.held_up("report job", || {
        script.write("job/report.pdf", &signed);
    });
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("is signed and would be lost"), "{said}");
    assert_eq!(script.bytes("job/report.pdf"), signed);
}

#[test]
fn what_writes_a_pdf_waits() {
    let script = Script::with_keys();
    for line in ["sheets job", "tags job"] {
        let (code, said) = script.held_up(line, || {});
        assert!(code < Some(2), "{line}: {said}");
    }
    let reply = "stamp job/report.pdf --reply no-such-file";
    let (code, said) = script.held_up(reply, || {});
    assert_eq!(code, Some(2), "{said}");
}

#[test]
fn pairs_at_once_lose_nothing() {
    let script = Script::with_keys();
    let names = script.names_of_signers();
    let unsigned = script.bytes("job/report.pdf");
    for (one, other) in
        [(RW, JA), (RW, "report job"), ("report job", JA), ("sheets job", "sheets job")]
    {
        for n in 0..pairs() {
            script.write("job/report.pdf", &unsigned);
            let started = [script.start(one), script.start(other)];
            for child in started {
                let ran = child.wait_with_output().expect("a child");
                let said = String::from_utf8_lossy(&ran.stderr).into_owned();
                // A report that is signed already is not made anew.
                let known = ran.status.success() || said.contains("is signed and would be lost");
                assert!(known, "pair {n} of {one} and {other}: {said}");
            }
            let mut wanted = Vec::new();
            for line in [one, other] {
                wanted.extend((line == RW).then_some(names[0].as_str()));
                wanted.extend((line == JA).then_some(names[1].as_str()));
            }
            if !wanted.is_empty() {
                script.signatures(&wanted);
            }
        }
    }
    let left: Vec<_> = script.listing().into_iter().filter(|n| n.contains(".benchleaf-")).collect();
    assert!(left.is_empty(), "{left:?}");
}

impl Script {
    /// Whose initials RW and JA are, as the job says.
    fn names_of_signers(&self) -> [String; 2] {
        let job = self.read("job/job.toml");
        ["RW", "JA"].map(|initials| {
            let of = job.split(&format!("[people.{initials}]")).nth(1).expect("a person");
            let name = of.lines().find_map(|line| line.trim().strip_prefix("name"));
            name.expect("a name").trim_matches([' ', '=', '"']).to_owned()
        })
    }
}
