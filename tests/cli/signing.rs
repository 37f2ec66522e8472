//! Signing at the command line: keys that do not serve, passphrases, what is
//! not signed, and being stopped half way.

use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::Instant;

use super::script::{Script, not_tried};
use crate::archive::build::{self, Of, PASS, issue, join, openssl, pem};
use crate::archive::stamp::reply;

const WHO: &str = "Judith Ashcombe";

impl Script {
    /// Expects a refusal in these words, and nothing written.
    #[track_caller]
    fn not_signed(&self, line: &str, words: &str) {
        let kept = self.keep("job/report.pdf");
        let before = self.listing();
        self.run(line).in_order().status(2).complains(words);
        kept.unchanged();
        assert_eq!(self.listing(), before);
    }
}

#[test]
fn a_key_that_does_not_serve_signs_nothing() {
    let script = Script::demo();
    let sign = "sign job/report.pdf --key key.pem --as JA";
    script.write("key.pem", pem("cli-other", Of::P256, "Ada Miller"));
    script.not_signed(sign, "the certificate is for Ada Miller, not for Judith Ashcombe");

    let usage = build::SIGNING;
    issue("cli-ended", Of::P256, WHO, "20200101000000Z", "20210101000000Z", &usage);
    script.write("key.pem", join(&["cli-ended.key", "cli-ended.pem"]));
    script.not_signed(sign, "the certificate ended at");

    issue("cli-later", Of::P256, WHO, "20900101000000Z", "20910101000000Z", &usage);
    script.write("key.pem", join(&["cli-later.key", "cli-later.pem"]));
    script.not_signed(sign, "only begins at");

    issue(
        "cli-use",
        Of::P256,
        WHO,
        "20200101000000Z",
        "20400101000000Z",
        &["keyUsage=critical,keyEncipherment"],
    );
    script.write("key.pem", join(&["cli-use.key", "cli-use.pem"]));
    script.not_signed(sign, "not for signing");

    // The key of one with the certificate of the other.
    pem("cli-right", Of::P256, WHO);
    script.write("key.pem", join(&["cli-other.key", "cli-right.pem"]));
    script.not_signed(sign, "no certificate in the file belongs to its key");
    script.write("key.pem", join(&["cli-right.pem"]));
    script.not_signed(sign, "no private key");
    script.write("key.pem", "nothing");
    script.not_signed(sign, "the key file cannot be read");
    script.not_signed("sign job/report.pdf --key missing.pem --as JA", "missing.pem");
    script.write("key.pem", join(&["cli-right.key", "cli-right.pem"]));
    script.not_signed(
        "sign job/report.pdf --key key.pem --as XX",
        "nobody in the job has the initials XX",
    );
}

#[test]
fn a_passphrase_comes_by_descriptor() {
    let script = Script::demo();
    pem("cli-locked", Of::Rsa, WHO);
    let secret = &format!("pass:{PASS}");
    openssl(&[
        "pkcs12",
        "-export",
        "-inkey",
        "cli-locked.key",
        "-in",
        "cli-locked.pem",
        "-certfile",
        "ca.pem",
        "-out",
        "cli-locked.p12",
        "-passout",
        secret,
    ]);
    script.write("key.p12", join(&["cli-locked.p12"]));
    let with = |typed: &str| {
        let program = env!("CARGO_BIN_EXE_benchleaf");
        let line = format!(
            "exec {program} sign job/report.pdf --key key.p12 --as JA --passphrase-fd 3 3<phrase"
        );
        script.write("phrase", typed);
        let run = Command::new("bash").args(["-c", &line]).current_dir(script.folder()).output();
        let run = run.expect("bash is there");
        (run.status.code(), String::from_utf8_lossy(&run.stderr).into_owned())
    };
    let kept = script.keep("job/report.pdf");
    let (code, said) = with("wrong\n");
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("passphrase"), "{said}");
    kept.unchanged();
    let (code, said) = with(&format!("{PASS}\n"));
    assert_eq!(code, Some(0), "{said}");
    script.run("verify job/report.pdf").status(0).says("signature of Judith Ashcombe, inspector");
    // Neither an argument nor the environment takes one.
    script.run("sign --help").nowhere("--passphrase ").nowhere("[env");
    // Without a terminal and without a descriptor it is not waited for.
    let script = Script::demo();
    script.write("key.p12", join(&["cli-locked.p12"]));
    script
        .run("sign job/report.pdf --key key.p12 --as JA --passphrase-fd 77")
        .status(2)
        .complains("77");
}

/// Where the machine has Debian's faketime; `tests/run` installs it.
#[test]
fn a_clock_that_is_set_back_is_asked_about_or_refused() {
    let script = Script::demo();
    pem("cli-clock", Of::P256, WHO);
    script.write("key.pem", join(&["cli-clock.key", "cli-clock.pem"]));
    let at = |day: &str| {
        let mut command = Command::new("faketime");
        command.arg(day).arg(env!("CARGO_BIN_EXE_benchleaf")).current_dir(script.folder());
        command.args([
            "sign",
            "job/report.pdf",
            "--key",
            "key.pem",
            "--as",
            "JA",
            "--out",
            "s.pdf",
        ]);
        let ran = command.output().ok()?;
        Some((ran.status.code(), String::from_utf8_lossy(&ran.stderr).into_owned()))
    };
    let kept = script.keep("job/report.pdf");
    let Some((code, said)) = at("2001-01-01") else {
        not_tried("there is no faketime here");
        return;
    };
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("only begins at 2024-01-01"), "{said}");
    script.missing("s.pdf");
    kept.unchanged();
    let (code, said) = at("2025-06-01").expect("as before");
    assert_eq!(code, Some(2), "{said}");
    assert!(said.contains("and the record goes to 2026-03-24: is it set back?"), "{said}");
    script.missing("s.pdf");
    kept.unchanged();
    let (_, said) = at("2026-06-01").expect("as before");
    assert!(!said.contains("set back"), "{said}");
    // Reading and judging know no clock.
    script.run("check job").status(0);
}

#[cfg(unix)]
#[test]
fn a_key_that_others_can_read_is_warned_about() {
    use std::os::unix::fs::PermissionsExt;
    let script = Script::demo();
    script.bring("demo/throw-away-JA.pem", "key.pem");
    let mode = |mode: u32| {
        let permissions = std::fs::Permissions::from_mode(mode);
        std::fs::set_permissions(script.path("key.pem"), permissions).expect("set");
    };
    mode(0o644);
    script
        .run("sign job/report.pdf --key key.pem --as JA --out a.pdf")
        .status(0)
        .complains("chmod 600");
    mode(0o600);
    script
        .run("sign job/report.pdf --key key.pem --as JA --out b.pdf")
        .status(0)
        .never_complains("chmod");
}

#[test]
fn what_is_not_final_is_not_signed() {
    let script = Script::demo();
    script.bring("demo/throw-away-JA.pem", "key.pem");
    let sign = "sign job/report.pdf --key key.pem --as JA";
    script.run("report job --draft").in_order();
    script.not_signed(sign, "the record is not complete");
    let script = Script::first();
    script.bring("demo/throw-away-JA.pem", "key.pem");
    script.run("report job").status(1);
    script.not_signed(sign, "the record is not complete");
}

#[test]
fn nobody_signs_twice() {
    let script = Script::demo();
    script.bring("demo/throw-away-JA.pem", "key.pem");
    let sign = "sign job/report.pdf --key key.pem --as JA";
    script.run(sign).status(0);
    script.not_signed(sign, "Judith Ashcombe has signed it already");
}

/// A signed report, a transcription: whatever option names it.
#[test]
fn what_people_made_is_not_written_over() {
    let script = Script::demo();
    script.bring("demo/throw-away-JA.pem", "key.pem");
    let sign = "sign job/report.pdf --key key.pem --as JA";
    script.not_signed(&format!("{sign} --out job/readings.toml"), "is no PDF");
    let typed = script.keep("job/readings.toml");
    script.run("report job --out job/readings.toml").status(2).complains("is no PDF");
    typed.unchanged();
    script.run(sign).status(0);
    let kept = script.keep("job/report.pdf");
    script.run("report job").status(2).complains("is signed and would be lost");
    script.run("report job --draft").status(2).complains("is signed and would be lost");
    script.run("sheets job --second --only C --out job").in_order();
    script.run("sign job/report-signed.pdf --key key.pem --as JA --out job/report.pdf").status(2);
    kept.unchanged();
    script.run("stamp job/report.pdf --request key.pem").status(2).complains("is there already");
    script.run("report job --out again.pdf").status(0);
}

#[test]
fn a_stamp_is_carried_by_files() {
    let script = Script::demo();
    let stamp = |more: &str| script.run(&format!("stamp job/report-signed.pdf {more}"));
    script.run("stamp job/report.pdf --request none.tsq").status(2);
    script.missing("none.tsq");
    stamp("--request ask.tsq").status(0).says("time-stamp authority");
    script.write("answer.tsr", reply("cli", &script.bytes("ask.tsq")));
    let kept = script.keep("job/report-signed.pdf");
    stamp("--reply ask.tsq").status(2);
    kept.unchanged();
    stamp("--reply answer.tsr").status(0).says("stamped");
    let said = script.run("verify job/report-signed.pdf").status(0);
    said.says("Stamp authority").says("by the signer's own claim");
}

#[test]
fn stopped_at_any_moment_the_report_is_whole() {
    let script = Script::demo();
    script.bring("demo/throw-away-JA.pem", "key.pem");
    let before = script.bytes("job/report.pdf");
    let line = ["sign", "job/report.pdf", "--key", "key.pem", "--as", "JA"];
    let start = Instant::now();
    script.run_words(&line).status(0);
    let whole = start.elapsed();
    let (mut was, mut is) = (0, 0);
    // The writing is at the end, so most of the moments are there.
    for part in [10, 50, 80, 88, 92, 95, 97, 98, 99, 100, 101, 103, 106, 115] {
        script.write("job/report.pdf", &before);
        let mut running = script.command(&line).stdout(Stdio::null()).spawn().expect("started");
        sleep(whole * part / 100);
        let _ = running.kill();
        let _ = running.wait();
        if script.bytes("job/report.pdf") == before {
            was += 1;
        } else {
            script.run("verify job/report.pdf").status(0);
            is += 1;
        }
    }
    println!("{was} as before, {is} signed");
}
