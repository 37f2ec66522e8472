//! The ways in that were found by attacking a proof: each once made `verify`
//! say "good" of a file that viewers show otherwise. What viewers really show is
//! asked by `tests/oracles/viewers.py`, which takes the files kept here.

use benchleaf::bundle::{signatories, verify};
use benchleaf::sign::{Moment, SigningKey, sign};

use super::script::Script;
use crate::archive::alter;
use crate::archive::build::{append, keep};
use crate::archive::tamper::{kids, object_with};

const SIGNED: &str = "job/report-signed.pdf";

/// A page of the report on which one letter is another, as an object.
fn other_page(pdf: &[u8]) -> (u32, Vec<u8>) {
    let page = alter::page(pdf);
    let mut content = alter::letters(&page.plain).last().expect("two letters");
    let first = content.iter().zip(&page.plain).position(|(a, b)| a != b).expect("exchanged");
    content[first] = page.plain[first];
    let head = format!("<</Length {}>>stream\n", content.len());
    (page.number, [head.as_bytes(), &content, b"\nendstream"].concat())
}

/// An object's own bytes, without its number.
fn written(pdf: &[u8], number: u32) -> String {
    let text = String::from_utf8_lossy(pdf);
    let head = format!("\n{number} 0 obj");
    let at = text.rfind(&head).expect("the object") + head.len();
    text[at..].split("endobj").next().unwrap_or_default().trim().to_owned()
}

/// Where the newest table begins.
fn table(pdf: &[u8]) -> usize {
    let text = String::from_utf8_lossy(pdf);
    let at = text.rfind("startxref").expect("a table") + 9;
    text[at..].split_whitespace().next().and_then(|at| at.parse().ok()).expect("a place")
}

/// Refused by `verify`, by `sign` and by `stamp`, which leave it as it is.
#[track_caller]
fn refused(script: &Script, name: &str, altered: &[u8], why: &str) {
    script.write(name, altered);
    keep(name, altered);
    let kept = script.keep(name);
    let run = script.run(&format!("verify {name}"));
    assert!(run.code == Some(1) || run.code == Some(2), "{name}: {}{}", run.out, run.err);
    assert!(format!("{}{}", run.out, run.err).contains(why), "{name}: {}{}", run.out, run.err);
    run.never_says("good, final");
    script.run(&format!("sign {name} --key ja.pem --as JA")).status(2);
    script.run(&format!("stamp {name} --request {name}.tsq")).status(2);
    kept.unchanged();
    script.missing(&format!("{name}.tsq"));
}

/// The first way: bytes behind the signed part that one reader passes over, and
/// others build a table of objects from.
#[test]
fn objects_that_only_others_find_are_refused() {
    let script = Script::demo();
    script.bring("demo/throw-away-JA.pem", "ja.pem");
    let signed = script.bytes(SIGNED);
    let (number, page) = other_page(&signed);
    let object = [format!("\n{number} 0 obj\n").as_bytes(), &page, b"\nendobj\n"].concat();
    let before = table(&signed);
    let endings = [
        ("comment", format!("startxref\n% {before}\n{before}\n%%EOF")),
        ("blanks", format!("startxref\n{before}\n{}%%EOF", " ".repeat(1_100))),
        ("no-table", format!("startxref\n{before}\n%%EOF")),
    ];
    for (name, ending) in endings {
        let altered = [signed.as_slice(), &object, ending.as_bytes()].concat();
        refused(&script, &format!("attack-{name}.pdf"), &altered, "nothing else is added");
    }
    // A row without its white space is read by one and not by the other.
    let whole = append(&signed, &[(number, page)], 9000);
    let text = String::from_utf8_lossy(&whole[signed.len()..]).into_owned();
    let row = whole.len() - text.len() + text.rfind(" 00000 n \n").expect("a row");
    let mut altered = whole;
    altered.remove(row + 8);
    refused(&script, "attack-row.pdf", &altered, "");
}

/// The second: a tree of pages with the same leaves, of which viewers show
/// fewer.
#[test]
fn a_tree_of_pages_of_another_shape_is_refused() {
    let script = Script::demo();
    script.bring("demo/throw-away-JA.pem", "ja.pem");
    let signed = script.bytes(SIGNED);
    let text = String::from_utf8_lossy(&signed).into_owned();
    let tree = object_with(&text, "/Type/Pages");
    let kids = kids(&text);
    let few = format!("<</Type/Pages/Count 1/Kids[{kids}]>>");
    let altered = append(&signed, &[(tree, few)], 9000);
    refused(&script, "attack-tree.pdf", &altered, "nothing else is added");
    // A reference to a reference, which some viewers do not follow.
    let again =
        append(&signed, &[(tree, "9000 0 R".to_owned()), (9000, written(&signed, tree))], 9001);
    refused(&script, "attack-reference.pdf", &again, "");
}

/// The third: what was put in before the first signature, which then covers it.
#[test]
fn what_was_added_before_the_first_signature_is_refused() {
    let script = Script::demo();
    script.bring("demo/throw-away-JA.pem", "ja.pem");
    let report = script.bytes("job/report.pdf");
    let proof = verify(&report, &[]).expect("readable");
    let case = proof.case.expect("its own files");
    let all = signatories(&case, &proof.places);
    let key = SigningKey::read(&script.bytes("ja.pem"), None).expect("a key");
    let claimed = Moment::from_pdf("D:20300101000000Z").expect("a moment");
    let mut own = all.iter().map(|one| one.signing(claimed));
    let own = own.rfind(|one| one.signer.name == "Judith Ashcombe").expect("a place");
    let sign = |pdf: &[u8]| sign(pdf, &key, &own.signer, &own.places, [5; 32]);
    let good = sign(&report).expect("signed");
    assert!(verify(&good, &[]).expect("readable").good(), "the signature itself is good");

    let altered = append(&report, &[other_page(&report)], 9000);
    refused(&script, "attack-unsigned.pdf", &altered, "revision 2");
    let altered = sign(&altered).expect("the archive signs what it is given");
    refused(&script, "attack-before.pdf", &altered, "revision 2");
}

/// A second file under the name of a first, in the tree of names or only among
/// the associated files.
#[test]
fn a_carried_file_under_a_doubled_name_is_refused() {
    let script = Script::demo();
    script.bring("demo/throw-away-JA.pem", "ja.pem");
    let report = script.bytes("job/report.pdf");
    let text = String::from_utf8_lossy(&report).into_owned();
    let root = object_with(&text, "/Type/Catalog");
    let catalog = written(&report, root);
    let readings = alter::holding(&report, &["sheet-set", "[C]"]);
    let content = alter::digits(&readings.plain).next().expect("a digit");
    let content = String::from_utf8(content).expect("text");
    let stream =
        format!("<</Type/EmbeddedFile/Length {}>>stream\n{content}\nendstream", content.len());
    let name = "(readings.toml)";
    let file = format!(
        "<</Type/Filespec/F{name}/UF{name}/EF<</F 9000 0 R/UF 9000 0 R>>/AFRelationship/Source>>"
    );
    let named = ("/Names[", format!("/Names[{name} 9001 0 R "));
    let associated = ("/AF[", "/AF[9001 0 R ".to_owned());
    let all = [
        ("name", vec![named.clone()], "associated files"),
        ("associated", vec![associated.clone()], "associated files"),
        ("both", vec![named, associated], "two carried files"),
    ];
    for (word, places, why) in all {
        let more = places.iter().fold(catalog.clone(), |catalog, (place, with)| {
            assert_eq!(catalog.matches(place).count(), 1, "{place}");
            catalog.replacen(place, with, 1)
        });
        let objects = [(root, more), (9000, stream.clone()), (9001, file.clone())];
        let altered = append(&report, &objects, 9002);
        let name = format!("attack-doubled-{word}.pdf");
        refused(&script, &name, &altered, why);
        script.run(&format!("unpack {name} out")).status(2);
        script.missing("out");
    }
}
