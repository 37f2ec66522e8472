//! A key that everyone has, at the command line: it signs nothing, and a report
//! that somebody sealed with it in another way is told from a good one.

use super::script::Script;
use crate::archive::build::{Of, join, keep, openssl, own_certificate};
use crate::archive::chains::RFC_9500;
use crate::archive::seals::resealed;

const WHO: &str = "/CN=Judith Ashcombe";
const USE: &str = "keyUsage=critical,digitalSignature";
const NAMED: &str = "a key that everyone has (RFC 9500, testECCP256)";

#[test]
fn a_published_key_is_named_by_sign_and_by_verify() {
    let script = Script::demo();
    keep("cli-rfc9500.key", RFC_9500.as_bytes());
    own_certificate("cli-rfc9500", WHO, USE);
    script.write("key.pem", join(&["cli-rfc9500.key", "cli-rfc9500.pem"]));
    let kept = script.keep("job/report.pdf");
    let refused = script.run("sign job/report.pdf --key key.pem --as JA").in_order().status(2);
    refused.complains(NAMED).complains("use the person's own key");
    kept.unchanged();

    // A key of one's own with a certificate of the same length, so that the
    // seal of the other fits the room of this one.
    let length = |file: &str| {
        let [pem, der] = ["pem", "der"].map(|end| format!("{file}.{end}"));
        openssl(&["x509", "-in", &pem, "-outform", "DER", "-out", &der]);
        join(&[&der]).len()
    };
    let [a, b, c, d] = Of::P256.arguments();
    openssl(&["genpkey", a, b, c, d, "-out", "cli-same.key"]);
    let wanted = length("cli-rfc9500");
    let same = (0..60).any(|_| {
        own_certificate("cli-same", WHO, USE);
        length("cli-same") == wanted
    });
    assert!(same, "three lengths are about as likely");
    script.write("same.pem", join(&["cli-same.key", "cli-same.pem"]));
    script.run("sign job/report.pdf --key same.pem --as JA").status(0);
    script.run("verify job/report.pdf").status(0);
    let signed = script.bytes("job/report.pdf");
    let own = resealed(&signed, "cli-same.key", "cli-same.pem");
    script.write("own.pdf", own).run("verify own.pdf").status(0);
    let with = resealed(&signed, "cli-rfc9500.key", "cli-rfc9500.pem");
    let ran = script.write("with.pdf", with).run("verify with.pdf").in_order().status(1);
    // All else is in order: the key alone makes the difference.
    ran.says_on_a_line(&["NOT GOOD", "signature"])
        .says(&format!("signed with {NAMED}: it proves nothing"))
        .says("every byte accounted for: the report and a signature")
        .says("sound: what it covers is as it was signed")
        .never_says("good, final");
}
