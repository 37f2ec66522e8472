//! Faults planted after signing: each must be told apart in words. The bytes
//! are kept for the outside judges.

use benchleaf::sign::verify::{Anchor, Chain, Integrity, SignatureReport};
use benchleaf::sign::{SigningKey, signatures};

use super::build::*;

fn only(bytes: &[u8]) -> SignatureReport {
    let mut found = signatures(bytes, &[]).expect("readable");
    assert_eq!(found.len(), 1);
    found.remove(0)
}

fn swap(bytes: &[u8], from: &str, to: &str) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let at = bytes.windows(from.len()).position(|w| w == from.as_bytes());
    let at = at.unwrap_or_else(|| panic!("{from} is there"));
    let mut out = bytes.to_vec();
    out[at..at + to.len()].copy_from_slice(to.as_bytes());
    out
}

#[test]
fn a_digit_of_a_carried_reading_changed_is_seen() {
    let once = signed(&report(1), ada(), ASCII, 0);
    let altered = swap(&once, "[1.3731, 1.3730]\n", "[1.3741, 1.3730]\n");
    keep("bad-digit.pdf", &altered);
    let found = only(&altered);
    assert_eq!(found.integrity, Integrity::Altered);
    assert!(!found.good());
    let json = swap(&once, "\"within\"", "\"beyond\"");
    keep("bad-json.pdf", &json);
    assert_eq!(only(&json).integrity, Integrity::Altered);
}

#[test]
fn a_page_appended_after_signing_is_seen() {
    let twice = signed(&signed(&report(2), ada(), ASCII, 0), ivan(), CYRILLIC, 1);
    let text = String::from_utf8_lossy(&twice).into_owned();
    let tree = object_with(&text, "/Type/Pages");
    let kids = kids(&text);
    let more = append(
        &twice,
        &[
            (tree, format!("<</Type/Pages/Count 3/Kids[{kids} 900 0 R]>>")),
            (900, format!("<</Type/Page/Parent {tree} 0 R/MediaBox[0 0 595 842]/Resources<<>>>>")),
        ],
        901,
    );
    keep("bad-page.pdf", &more);
    let found = signatures(&more, &[]).expect("readable");
    assert!(found.iter().all(|one| one.integrity == Integrity::Sound && !one.whole));
    assert_eq!(behind(&twice, &report(2)), Ok(2));
    added(&more, &report(2), (4, twice.len()));
}

/// Something stands in a revision from a byte on that no signature is.
fn added(file: &[u8], report: &[u8], (revision, at): (usize, usize)) {
    let told = behind(file, report).expect_err("not accounted for");
    assert_eq!((told.revision, told.at), (revision, at), "{told}");
    assert!(told.to_string().contains("nothing else is added to a report"), "{told}");
}

/// Number of the first object that holds some text.
pub fn object_with(text: &str, part: &str) -> u32 {
    let at = text.find(part).expect("there");
    let head = text[..at].rfind(" 0 obj").expect("an object");
    let number: String = text[..head].chars().rev().take_while(char::is_ascii_digit).collect();
    let number: String = number.chars().rev().collect();
    number.parse().expect("a number")
}

pub fn kids(text: &str) -> String {
    let at = text.find("/Kids[").expect("pages") + 6;
    text[at..].split(']').next().unwrap_or_default().to_string()
}

#[test]
fn a_replaced_file_and_a_changed_page_are_seen() {
    let once = signed(&report(1), ada(), ASCII, 0);
    let text = String::from_utf8_lossy(&once).into_owned();
    let number = object_with(&text, "C1.shaft = [");
    let record = "C1.shaft = [1.3799, 1.3730]\n";
    let replaced = append(
        &once,
        &[(
            number,
            format!("<</Type/EmbeddedFile/Length {}>>stream\n{record}\nendstream", record.len()),
        )],
        900,
    );
    keep("bad-file.pdf", &replaced);
    assert_eq!(only(&replaced).integrity, Integrity::Sound);
    added(&replaced, &report(1), (3, once.len()));

    let page = object_with(&text, "/Type/Page/");
    let start = text.find(&format!("\n{page} 0 obj")).expect("the page");
    let written: String = text[start..].split("obj").nth(1).unwrap_or_default().to_string();
    let written = written.trim_end_matches("end").trim();
    let turned = append(&once, &[(page, written.replacen("<<", "<</Rotate 90", 1))], 900);
    added(&turned, &report(1), (3, once.len()));
}

#[test]
fn a_signature_taken_out_is_missed() {
    let once = signed(&report(1), ada(), ASCII, 0);
    let text = String::from_utf8_lossy(&once).into_owned();
    let form = object_with(&text, "/SigFlags");
    let without = append(&once, &[(form, "<</Fields[]>>".to_string())], 900);
    let found = only(&without);
    assert!(found.taken_out);
    assert!(!found.good());
    assert!(found.lines().join("\n").contains("taken out"));
}

/// One letter of the form's key, and a reader that goes by the form sees no
/// signature at all; so too where the whole form is hidden, or the field's value.
#[test]
fn a_signature_that_no_field_leads_to_is_found() {
    let twice = signed(&signed(&report(2), ada(), ASCII, 0), ivan(), CYRILLIC, 1);
    for (key, other) in [("/Fields", "/Fxelds"), ("/AcroForm", "/AbroForm"), ("/V ", "/W ")] {
        let hidden = every(&twice, key, other);
        let found = signatures(&hidden, &[]).expect("readable");
        assert_eq!(found.len(), 2, "{key}");
        for found in found {
            assert!(!found.good(), "{key}");
            assert_eq!(found.integrity, Integrity::Altered, "{key}");
            assert!(found.taken_out, "{key}");
        }
    }
    // What a carried file says of signatures is none.
    let told = report_with("# <</Type/Sig/ByteRange [0 1 2 3]/Contents <00>>>\n", 1);
    assert_eq!(signatures(&told, &[]).expect("readable"), []);
}

fn every(bytes: &[u8], from: &str, to: &str) -> Vec<u8> {
    let mut out = bytes.to_vec();
    for at in 0..out.len() - from.len() {
        if out[at..].starts_with(from.as_bytes()) {
            out[at..at + to.len()].copy_from_slice(to.as_bytes());
        }
    }
    out
}

#[test]
fn a_signature_of_another_report_is_told_apart() {
    let one = report(1);
    let other = report_with("C1.shaft = [1.3739, 1.3730]\n", 2);
    let signed_other = signed(&other, ada(), ASCII, 0);
    let text = String::from_utf8_lossy(&signed_other).into_owned();
    // The whole increment of one set behind the other.
    let mut moved = one.clone();
    moved.extend(&signed_other[other.len()..]);
    let found = signatures(&moved, &[]);
    assert!(found.is_err() || found.is_ok_and(|s| s.iter().all(|s| !s.good())));
    // Only the signature, its numbers kept.
    let at = text.find("<</Type /Sig/").expect("a signature");
    let dictionary = text[at..].split("\nendobj").next().unwrap_or_default();
    let field =
        "<</Type/Annot/Subtype/Widget/FT/Sig/T(Signature 1)/V 901 0 R/Rect[0 0 0 0]/F 132>>";
    let text = String::from_utf8_lossy(&one).into_owned();
    let root = object_with(&text, "/Type/Catalog");
    let start = text.find(&format!("\n{root} 0 obj")).expect("the catalog");
    let catalog = text[start..].split("obj").nth(1).unwrap_or_default();
    let catalog = catalog.trim_end_matches("end").trim();
    let catalog = catalog.replacen("<<", "<</AcroForm<</Fields[902 0 R]/SigFlags 3>>", 1);
    let planted = append(
        &one,
        &[(root, catalog), (901, dictionary.to_string()), (902, field.to_string())],
        903,
    );
    keep("bad-moved.pdf", &planted);
    let found = only(&planted);
    assert_eq!(found.integrity, Integrity::Foreign);
    assert!(found.lines()[0].contains("taken from another file"));
}

#[test]
fn a_self_made_certificate_with_the_right_name_is_told_apart() {
    let own = "keyUsage=critical,digitalSignature,nonRepudiation";
    let span = ("20240101000000Z", "20300101000000Z");
    let subject = format!("/O=Bench shop/CN={ASCII}");
    certify("selfmade", Of::P256, &subject, span, own, None);
    let key = SigningKey::read(&join(&["selfmade.key", "selfmade.pem"]), None).expect("a key");
    let once = signed(&report(1), &key, ASCII, 0);
    keep("self-made.pdf", &once);
    authority();
    let anchors = Anchor::read(&join(&["ca.pem"])).expect("anchors");
    let found = signatures(&once, &anchors).expect("readable").remove(0);
    let name = ASCII.to_string();
    assert_eq!(found.chain, Some(Chain::SelfMade { name }));
    assert!(found.lines().join("\n").contains("nobody vouches for it"));

    // One that also claims the authority's name, made by another key.
    certify(
        "false",
        Of::P256,
        "/CN=Shop authority",
        span,
        "basicConstraints=critical,CA:TRUE",
        None,
    );
    let issuer = Some(("false.pem", "false.key"));
    certify("pretended", Of::P256, &subject, span, own, issuer);
    let key = SigningKey::read(&join(&["pretended.key", "pretended.pem"]), None).expect("a key");
    let once = signed(&report(1), &key, ASCII, 0);
    let found = signatures(&once, &anchors).expect("readable").remove(0);
    let anchor = "Shop authority".to_string();
    assert_eq!(found.chain, Some(Chain::Pretended { anchor }));
    assert!(!found.good());
}

/// A row of numbers from a seed (xorshift), so that a failure can be repeated.
pub struct Chance(pub u64);

impl Chance {
    pub fn next(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % below as u64) as usize
    }
}

#[test]
fn of_a_thousand_changed_bytes_none_passes() {
    let once = signed(&report(1), ada(), ASCII, 0);
    let twice = signed(&once, ivan(), CYRILLIC, 1);
    let mut chance = Chance(0x9E37_79B9_7F4A_7C15);
    for file in [&once, &twice] {
        for _ in 0..500 {
            let (at, turn) = (chance.next(file.len()), 1 + chance.next(255) as u8);
            passes_not(file, at, turn);
        }
    }
}

/// Where the signature itself stands, which is not under its own digest: every
/// digit of it, and some of the zeros behind.
#[test]
fn no_changed_bit_of_the_signature_itself_passes() {
    let once = signed(&report(1), ada(), ASCII, 0);
    let start = once.windows(11).position(|w| w == b"/Contents <").expect("there") + 10;
    let end = start + once[start..].iter().position(|b| *b == b'>').expect("there");
    let zeros = once[start..end].iter().rev().take_while(|b| **b == b'0').count();
    for at in (start..end - zeros).chain((end - zeros..=end).step_by(101)) {
        // Another digit, or the same in the other case, or none.
        passes_not(&once, at, [1, 0x20, 2, 0x80][at % 4]);
    }
}

fn passes_not(file: &[u8], at: usize, turn: u8) {
    let mut altered = file.to_vec();
    altered[at] ^= turn;
    if let Ok(found) = signatures(&altered, &[]) {
        let all = !found.is_empty() && found.iter().all(SignatureReport::good);
        if all {
            keep("passed.pdf", &altered);
        }
        assert!(!all, "byte {at} turned by {turn:#04x} passes");
    }
}
