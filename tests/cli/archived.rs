//! The report as an archive: what anybody who holds it can find out years
//! later. What outside programs say of the altered files is asked by
//! `tests/oracles/archive.py`.

use benchleaf::bundle::verify;
use benchleaf::sign::verify::SignatureReport;

use super::script::{Ran, Script};
use crate::archive::alter::{self, Part};
use crate::archive::build::{append, keep};
use crate::archive::tamper::{Chance, kids, object_with};
use crate::archive::{build, hostile};

const SIGNED: &str = "job/report-signed.pdf";

impl Script {
    /// Writes an altered report, keeps it for the outside judges, and expects
    /// it to be refused.
    #[track_caller]
    fn refuses(&self, name: &str, altered: &[u8]) -> Ran {
        self.write(name, altered);
        keep(&format!("shop-{name}"), altered);
        self.run(&format!("verify {name}")).in_order().status(1).says("NOT GOOD")
    }
}

#[test]
fn the_demonstration_proves_good_and_is_small() {
    let script = Script::demo();
    let (before, after) = (script.bytes("job/report.pdf"), script.bytes(SIGNED));
    assert!(after.starts_with(&before));
    // The bounds are the project's own: 600 KiB, and 40 KiB a signature.
    assert!(after.len() < 600 << 10, "{} bytes", after.len());
    assert!(after.len() - before.len() < 80 << 10, "{} bytes for two", after.len() - before.len());
    keep("shop-good.pdf", &after);
    let said = script.run("verify job/report-signed.pdf").status(0);
    said.says_on_a_line(&["good", "verdicts", "all as reported"])
        .says_on_a_line(&["good", "pages", "the same byte for byte"])
        .says_on_a_line(&["good", "attachments", "each as its digest says"])
        .says_on_a_line(&["signers", "not signed by"])
        .says("unknown issuer")
        .says("by the signer's own claim")
        .never_says("trusted");
    let json = script.run("verify job/report-signed.pdf --json").status(0);
    let read: serde_json::Value = serde_json::from_str(&json.out).expect("JSON");
    assert_eq!(read["good"], true);
    assert_eq!(read["signatures"].as_array().map(Vec::len), Some(2));
    script.run("verify job/report.pdf").status(1).says("nobody has signed");
    script.run("verify job/job.toml").status(2).complains("not a PDF");
}

/// The job that the fuzzer of proofs begins from, kept for it.
#[test]
fn the_least_job_proves_good() {
    let script = Script::new();
    script.bring("tests/fuzz/small", "job").bring("demo/throw-away-JA.pem", "ja.pem");
    let set = numbered(&script);
    script.write("job/readings.toml", set);
    script.run("report job --final").status(0);
    script.run("sign job/report.pdf --key ja.pem --as JA").status(0);
    script.run("verify job/report.pdf").status(0);
    keep("small-signed.pdf", &script.bytes("job/report.pdf"));
}

/// The readings with the numbers of the job's own sheets.
fn numbered(script: &Script) -> String {
    let typed = script.read("job/readings.toml");
    std::fs::remove_file(script.path("job/readings.toml")).expect("there");
    script.run("sheets job").status(0);
    let blank = script.read("job/readings.toml");
    let number = |key: &str| {
        let line = blank.lines().find(|line| line.starts_with(key)).expect("a number");
        line.split('"').nth(1).expect("in quotes").to_owned()
    };
    typed
        .replace("0000-0000", &number("sheet-set"))
        .replace("\"0000\"", &format!("{:?}", number("number")))
}

#[test]
fn one_digit_of_a_carried_reading_is_seen() {
    let script = Script::demo();
    let signed = script.bytes(SIGNED);
    let readings = alter::holding(&signed, &["sheet-set", "[C]"]);
    let altered = alter::in_place(&signed, &readings, alter::digits(&readings.plain));
    // The digest was put right: the attachment is as it says, and still wrong.
    script
        .refuses("reading.pdf", &altered)
        .says_on_a_line(&["good", "attachments"])
        .says_on_a_line(&["NOT GOOD", "verdicts"])
        .says("altered after signing");
}

#[test]
fn one_digit_of_the_verdicts_is_seen() {
    let script = Script::demo();
    let signed = script.bytes(SIGNED);
    let verdicts = alter::holding(&signed, &["benchleaf-verdicts-2"]);
    let altered = alter::in_place(&signed, &verdicts, alter::digits(&verdicts.plain));
    script
        .refuses("verdict.pdf", &altered)
        .says_on_a_line(&["NOT GOOD", "verdicts", "is carried", "is worked out"])
        .says("altered after signing");
}

/// The form's key is altered by one letter: the signatures are still there.
#[test]
fn hidden_signatures_are_not_called_none() {
    let script = Script::demo();
    let mut hidden = script.bytes(SIGNED);
    let at = hidden.windows(9).position(|part| part == b"<</Fields").expect("a form");
    hidden[at + 3] = b'f';
    script
        .refuses("hidden.pdf", &hidden)
        .says_on_a_line(&["NOT GOOD", "signature of Rosalind Wray"])
        .says_on_a_line(&["NOT GOOD", "signature of Judith Ashcombe"])
        .says("altered after signing")
        .says("taken out of the form")
        .never_says("nobody has signed");
}

/// The same report out of another release of the compressor: other bytes, and
/// nothing altered. A page that says something else is told all the same.
#[test]
fn how_a_report_is_packed_does_not_matter() {
    let script = Script::demo();
    script.bring("demo/throw-away-JA.pem", "ja.pem");
    let whole = script.bytes("job/report.pdf");
    script.write("packed.pdf", repacked(&whole));
    assert_ne!(script.bytes("packed.pdf"), whole);
    keep("whole.pdf", &whole);
    keep("packed.pdf", &script.bytes("packed.pdf"));
    script.run("verify packed.pdf").status(1).says("the same but for how they are packed");
    script.run("sign packed.pdf --key ja.pem --as JA").status(0);
    script
        .run("verify packed.pdf")
        .status(0)
        .says("it covers the whole file")
        .never_says("only signatures may stand behind");
    script
        .run("verify job/report-signed.pdf")
        .says("only signatures may stand behind what it covers")
        .says("it covers the whole file");
    let page = alter::page(&whole);
    let altered = alter::in_place(&whole, &page, alter::letters(&page.plain));
    script.write("altered.pdf", repacked(&altered));
    script.run("verify altered.pdf").status(1).says_on_a_line(&["NOT GOOD", "pages", "altered"]);
    script.run("sign altered.pdf --key ja.pem --as JA").status(2).complains("not signed");
}

/// A report with every stream deflated anew, harder.
fn repacked(pdf: &[u8]) -> Vec<u8> {
    let mut objects = lopdf::Document::load_mem(pdf).expect("a report");
    for object in objects.objects.values_mut() {
        if let Ok(stream) = object.as_stream_mut()
            && stream.dict.has(b"Filter")
        {
            let plain = stream.get_plain_content().expect("deflated");
            stream.dict.remove(b"Filter");
            let mut encoder =
                flate2::write::ZlibEncoder::new(Vec::new(), flate2::Compression::best());
            std::io::Write::write_all(&mut encoder, &plain).expect("in memory");
            stream.set_content(encoder.finish().expect("in memory"));
            stream.dict.set("Filter", "FlateDecode");
        }
    }
    let mut bytes = Vec::new();
    objects.save_to(&mut bytes).expect("in memory");
    bytes
}

#[test]
fn two_letters_of_a_page_are_seen() {
    let script = Script::demo();
    let signed = script.bytes(SIGNED);
    let page = alter::page(&signed);
    let altered = alter::in_place(&signed, &page, alter::letters(&page.plain));
    script
        .refuses("page.pdf", &altered)
        .says_on_a_line(&["NOT GOOD", "pages", "altered"])
        .says("altered after signing");
}

#[test]
fn an_altered_report_is_not_signed() {
    let script = Script::demo();
    let whole = script.bytes("job/report.pdf");
    type Alterations = fn(&[u8]) -> Box<dyn Iterator<Item = Vec<u8>> + '_>;
    let parts: [(Part, Alterations); 3] = [
        (alter::holding(&whole, &["sheet-set", "[C]"]), |plain| Box::new(alter::digits(plain))),
        (alter::holding(&whole, &["benchleaf-verdicts-2"]), |plain| Box::new(alter::digits(plain))),
        (alter::page(&whole), |plain| Box::new(alter::letters(plain))),
    ];
    script.bring("demo/throw-away-JA.pem", "ja.pem");
    for (part, changes) in parts {
        script.write("report.pdf", alter::in_place(&whole, &part, changes(&part.plain)));
        let kept = script.keep("report.pdf");
        let run = script.run("sign report.pdf --key ja.pem --as JA").status(2);
        run.complains("not signed");
        kept.unchanged();
    }
}

#[test]
fn a_page_appended_after_signing_is_told() {
    let script = Script::demo();
    let signed = script.bytes(SIGNED);
    let text = String::from_utf8_lossy(&signed).into_owned();
    let tree = object_with(&text, "/Type/Pages");
    let kids = kids(&text);
    let count = kids.matches(" R").count() + 1;
    let pages = format!("<</Type/Pages/Count {count}/Kids[{kids} 9000 0 R]>>");
    let page = format!("<</Type/Page/Parent {tree} 0 R/MediaBox[0 0 595 842]/Resources<<>>>>");
    let more = append(&signed, &[(tree, pages), (9000, page)], 9001);
    let words = ["NOT GOOD", "bytes", "revision 4", "nothing else is added to a report"];
    script.refuses("appended.pdf", &more).says_on_a_line(&words);
}

#[test]
fn a_replaced_attachment_is_told() {
    let script = Script::demo();
    let signed = script.bytes(SIGNED);
    let readings = alter::holding(&signed, &["sheet-set", "[C]"]);
    let changed = alter::digits(&readings.plain).next().expect("a digit");
    let changed = String::from_utf8(changed).expect("text");
    let stream =
        format!("<</Type/EmbeddedFile/Length {}>>stream\n{changed}\nendstream", changed.len());
    let replaced = append(&signed, &[(readings.number, stream)], 9000);
    let words = ["NOT GOOD", "bytes", "revision 4", "nothing else is added to a report"];
    script.refuses("replaced.pdf", &replaced).says_on_a_line(&words);
}

#[test]
fn a_signature_of_another_report_is_told() {
    let script = Script::demo();
    let (one, signed) = (script.bytes("job/report.pdf"), script.bytes(SIGNED));
    let page = alter::page(&one);
    let mut moved = alter::in_place(&one, &page, alter::letters(&page.plain));
    moved.extend(&signed[one.len()..]);
    script.refuses("moved.pdf", &moved).says("taken from another file");
}

/// Each against the whole of the proof, on two threads; without optimisation only
/// some.
#[test]
fn of_a_thousand_changed_bytes_none_proves_good() {
    let signed = Script::demo().bytes(SIGNED);
    let each = if cfg!(debug_assertions) { 8 } else { 500 };
    let halves = [0x2545_F491_4F6C_DD1D, 0x9E37_79B9_7F4A_7C15];
    let told: Vec<String> = std::thread::scope(|threads| {
        let signed = signed.as_slice();
        let halves = halves.map(|seed| threads.spawn(move || changed(signed, Chance(seed), each)));
        halves.into_iter().flat_map(|half| half.join().expect("no panic")).collect()
    });
    assert_eq!(told.len(), each * 2);
    // Bytes by chance meet the readers and the judges both.
    for part in ["damaged PDF", "altered after signing"] {
        assert!(told.iter().any(|words| words.contains(part)), "never '{part}'");
    }
}

/// What the proof says of each file with one byte changed.
fn changed(signed: &[u8], mut chance: Chance, count: usize) -> Vec<String> {
    let one = |_| {
        let (at, turn) = (chance.next(signed.len()), 1 + chance.next(255) as u8);
        let mut altered = signed.to_vec();
        altered[at] ^= turn;
        let words = match verify(&altered, &[]) {
            Err(refusal) => refusal.to_string(),
            Ok(proof) => {
                if proof.good() {
                    keep("passed.pdf", &altered);
                }
                assert!(!proof.good(), "byte {at} turned by {turn:#04x} passes");
                let findings = proof.findings.iter().filter(|finding| !finding.good);
                let findings = findings.map(|finding| finding.words.clone());
                let signatures = proof.signatures.iter().filter(|signature| !signature.good());
                findings
                    .chain(signatures.flat_map(SignatureReport::lines))
                    .collect::<Vec<_>>()
                    .join("; ")
            }
        };
        assert!(!words.is_empty(), "byte {at} turned by {turn:#04x}: refused without a word");
        words
    };
    (0..count).map(one).collect()
}

#[test]
fn unpacked_it_gives_the_same_report_byte_for_byte() {
    let script = Script::demo();
    script.run("unpack job/report-signed.pdf out").status(0).says("files");
    script.run("report out").status(0);
    assert!(script.bytes("out/report.pdf") == script.bytes("job/report.pdf"));
    for name in ["engine.toml", "limits.toml", "job.toml", "readings.toml", "forms/timing.toml"] {
        assert_eq!(script.read(&format!("out/{name}")), script.read(&format!("job/{name}")));
    }
    let kept = script.keep("out/job.toml");
    script.run("unpack job/report-signed.pdf out").status(2).complains("not empty");
    kept.unchanged();
}

/// A person finds a row, and two records are compared line by line.
#[test]
fn the_verdicts_have_a_line_a_row() {
    let script = Script::demo();
    script.run("unpack job/report-signed.pdf out").status(0);
    let text = script.read("out/verdicts.json");
    let read: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let codes: Vec<&str> = read["rows"]
        .as_array()
        .expect("rows")
        .iter()
        .filter_map(|row| row["row"].as_str())
        .collect();
    assert!(codes.len() > 100, "{}", codes.len());
    let lines = text.lines().filter_map(|line| line.strip_prefix("{\"row\":\"")?.split('"').next());
    assert_eq!(lines.collect::<Vec<_>>(), codes);
}

#[test]
fn a_report_on_other_paper_proves_good_too() {
    let script = Script::demo();
    script.run("report job --paper Letter --out letter.pdf").status(0);
    script.bring("demo/throw-away-JA.pem", "ja.pem");
    script.run("sign letter.pdf --key ja.pem --as JA").status(0);
    script.run("verify letter.pdf").status(0);
}

#[test]
fn names_that_lead_elsewhere_are_not_unpacked() {
    let script = Script::new();
    let long = "n".repeat(4096);
    let names =
        ["../x", "..", "a/../../x", "/tmp/x", "a\\b", "C:x", "a\nb", "nul", &long, ".ssh", "x."];
    for name in names {
        script.write("bad.pdf", hostile::carrying(&["job.toml", name]));
        script.run("unpack bad.pdf out").in_order().status(2).complains("not unpacked");
        script.run("verify bad.pdf").in_order().status(2);
        assert_eq!(script.listing(), ["bad.pdf"], "{name:?}");
    }
    // Behind the name of a folder a name must be safe by itself.
    for name in ["forms__..toml", "originals__.hidden", "forms__con.toml", "originals__ x"] {
        script.write("bad.pdf", hostile::carrying(&[name]));
        script.run("unpack bad.pdf out").in_order();
        let flat = format!("out/{name}");
        assert!(
            script.listing().iter().all(|file| *file == "bad.pdf" || *file == flat),
            "{name:?}"
        );
        let _ = std::fs::remove_dir_all(script.path("out"));
    }
    script.write("twice.pdf", hostile::carrying(&["job.toml", "JOB.toml"]));
    script.run("unpack twice.pdf out").status(2).complains("two carried files");
    script.missing("out");
}

/// A device has no size beforehand and no end.
#[test]
#[cfg(unix)]
fn what_never_ends_is_refused() {
    let script = Script::new();
    for line in ["verify /dev/zero", "unpack /dev/zero out", "limits /dev/zero --engine /dev/zero"]
    {
        script.run(line).status(2).complains("is no plain file");
    }
    script.missing("out");
}

#[test]
fn a_self_made_certificate_with_the_right_name_is_told() {
    let script = Script::demo();
    let own = "keyUsage=critical,digitalSignature,nonRepudiation";
    let span = ("20240101000000Z", "20400101000000Z");
    let name = "/CN=Judith Ashcombe";
    build::certify("shop-self", build::Of::P256, name, span, own, None);
    build::authority();
    script.write("self.pem", build::join(&["shop-self.key", "shop-self.pem"]));
    script.write("ca.pem", build::join(&["ca.pem"]));
    script.run("sign job/report.pdf --key self.pem --as JA").status(0);
    // Nobody asked who vouches: said, and left to the reader.
    script.run("verify job/report.pdf").status(0).says("nobody vouches for it");
    // Asked, it is not good.
    let asked = script.run("verify job/report.pdf --anchor ca.pem").status(1);
    asked.says("nobody you gave vouches").says("unknown issuer");

    let script = Script::demo();
    script.write("ca.pem", build::join(&["ca.pem"]));
    script.write("ja.pem", build::pem("shop-ja", build::Of::P256, "Judith Ashcombe"));
    script.run("sign job/report.pdf --key ja.pem --as JA").status(0);
    let asked = script.run("verify job/report.pdf --anchor ca.pem").status(0);
    asked.says("issued under Shop authority, which you gave");
}

/// Whether the arithmetic was asked for is in the report itself, and what it says
/// of that is held against its pages.
#[test]
fn a_report_with_its_arithmetic_is_made_anew_with_it() {
    let script = Script::demo();
    let pages = |options: &str| {
        script.run(&format!("report job {options} --out made.pdf")).in_order();
        let bytes = script.bytes("made.pdf");
        let proof = benchleaf::bundle::verify(&bytes, &[]).expect("readable");
        assert!(proof.content_good(), "{options}: {:?}", proof.findings);
        benchleaf::pdf::open(&bytes).expect("readable").pages
    };
    let plain = pages("");
    let worked = pages("--arithmetic");
    assert!(worked >= plain + 5, "{plain} and {worked} pages");
    assert!(plain <= 16, "{plain} pages of A4");
    assert!(pages("--arithmetic --paper Letter --draft") > plain);
}
