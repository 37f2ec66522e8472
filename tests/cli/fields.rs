//! Sheets filled in on a screen: printed with fields, taken as a transcription,
//! and nothing that is there written to. Other programs fill them in in
//! `tests/oracles/fields.py`.

use super::Script;
use benchleaf::pdf::{Untaken, typed_in};

#[test]
fn a_blank_set_is_taken_as_a_blank_transcription() {
    let job = Script::demo();
    let there = job.keep("job/readings.toml");
    job.run("sheets job --fill").status(0).says("38 pages").says("benchleaf take");
    there.unchanged();
    // What is there already is compared and left.
    let ran = job.run("take job job/fill.pdf");
    ran.status(1).says("left as it is").says("C2 shaft 1").says("1.3718").says("--into");
    there.unchanged();
    job.run("take job job/fill.pdf --into blank.toml").status(0).says(": 0 of ");
    let text = job.read("blank.toml");
    assert!(text.contains("\nC2 = [[], []]\n") && text.contains("\nSR = []\n"), "{text}");
    // It reads as a transcription in which nothing is written yet.
    job.write("job/readings.toml", &text);
    job.run("check job").status(1).says("open, by page");
    let kept = job.keep("blank.toml");
    job.run("take job job/fill.pdf --into blank.toml").status(0).says("no differences");
    kept.unchanged();
}

#[test]
fn chosen_sheets_on_the_other_paper_are_taken_too() {
    let job = Script::demo();
    job.run("sheets job --fill --only C,T --paper Letter --out chosen").status(0);
    job.run("take job chosen/fill-C-T.pdf --into some.toml").status(0);
    let text = job.read("some.toml");
    assert!(text.contains("\n[C]") && text.contains("\nT1N = [[], []]\n"));
}

#[test]
fn what_is_no_set_with_fields_is_refused_by_name() {
    let job = Script::demo();
    job.sheets();
    job.run("report job").status(0);
    for (file, said) in [
        ("job/sheets.pdf", "it has no fields"),
        ("job/report.pdf", "it has no fields"),
        ("job/readings.toml", "not a PDF"),
        ("job/none.pdf", "none.pdf"),
    ] {
        job.run(&format!("take job {file} --into never.toml")).status(2).complains(said);
    }
    assert!(!job.path("never.toml").exists());
    // A limit was revised since: the sheet is another one.
    job.run("sheets job --fill").status(0);
    job.replace("job/limits.toml", "wear = 1.3770", "wear = 1.3771");
    job.run("take job job/fill.pdf --into never.toml").status(2).complains("this job's is");
}

/// Every byte that is looked at may be another: read or refused, never a panic,
/// and never a figure in a form in which nothing was typed.
#[test]
fn bytes_that_are_others_are_refused_or_change_no_value() {
    let job = Script::demo();
    job.run("sheets job --fill --only C").status(0);
    let whole = job.bytes("job/fill-C.pdf");
    let blank = typed_in(&whole).expect("a sound form");
    let mut refused = 0;
    for n in 0..400 {
        let mut bytes = whole.clone();
        let at = (n * 7_919) % bytes.len();
        bytes[at] = bytes[at].wrapping_add(1 + (n % 255) as u8);
        match typed_in(&bytes) {
            Ok(values) => {
                let typed = values.iter().filter(|(name, value)| {
                    !value.is_empty()
                        && blank.get(*name) != Some(value)
                        && !name.ends_with("number")
                });
                assert_eq!(typed.count(), 0, "byte {at}");
            }
            Err(Untaken::Pdf(_) | Untaken::Thing { .. }) => refused += 1,
        }
    }
    assert!(refused > 50, "{refused} of 400 refused");
}
