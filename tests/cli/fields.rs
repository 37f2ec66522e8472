//! Sheets filled in on a screen: printed with fields, taken as a transcription,
//! and nothing that is there written to. Other programs fill them in in
//! `tests/oracles/fields.py`.

use super::Script;
use benchleaf::pdf::{Untaken, typed_in};
use lopdf::{Document, Object, ObjectId};

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
    assert!(text.contains("\n[C]") && text.contains("\nT1IN = [[], []]\n"));
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

/// What the program writes of the paper stands in what is taken as it stands in the
/// blank of the same sheets: numbers, digests of lines, pages.
#[test]
fn what_is_taken_keeps_what_was_printed() {
    let job = Script::demo();
    let own = |text: &str| -> Vec<String> {
        let kept = |line: &&str| {
            ["sheet-set", "number", "printed", "pages"].iter().any(|key| line.starts_with(key))
        };
        let words = |line: &str| line.split("  #").next().unwrap_or_default().to_owned();
        text.lines().filter(kept).map(words).collect()
    };
    job.run("sheets job --fill").status(0);
    job.run("take job job/fill.pdf --into taken.toml").status(0);
    job.run("sheets job --fill --only C").status(0);
    job.run("take job job/fill-C.pdf --into one.toml").status(0);
    std::fs::remove_file(job.path("job/readings.toml")).expect("removed");
    job.run("sheets job").status(0);
    let blank = own(&job.read("job/readings.toml"));
    assert!(blank.iter().filter(|line| line.starts_with("pages")).count() > 20);
    assert_eq!(own(&job.read("taken.toml")), blank);
    assert_eq!(own(&job.read("one.toml")), blank);
}

/// Several people fill in several files; what two say otherwise of one box is named,
/// and nothing is taken.
#[test]
fn several_files_are_taken_together() {
    let job = Script::demo();
    job.run("sheets job --fill --only C").status(0);
    job.run("sheets job --fill --only T --paper Letter").status(0);
    job.run("sheets job --fill --remarks C,C,T").status(0).says("3 pages more for remarks");
    fill(
        &job,
        "job/fill-C.pdf",
        "c.pdf",
        &[("C1.shaft.1.whole", "1"), ("C1.shaft.1.decimals", "3731")],
    );
    fill(&job, "job/fill-T.pdf", "t.pdf", &[("T1IN.bore.2.decimals", "8755")]);
    let again = [
        ("row", "C1"),
        ("box", "shaft A"),
        ("whole", "1"),
        ("decimals", "3733"),
        ("why", "M"),
        ("by", "JA"),
    ];
    let names = again.map(|(part, value)| (format!("sheet C.again.R2.10.{part}"), value));
    let again: Vec<(&str, &str)> = names.iter().map(|(name, v)| (name.as_str(), *v)).collect();
    fill(&job, "job/fill-remarks-C-T.pdf", "more.pdf", &again);
    job.run("take job c.pdf t.pdf more.pdf --into all.toml").status(0);
    let text = job.read("all.toml");
    assert!(text.contains("C1 = [[1.3731, \"-\"], []]"), "{text}");
    assert!(text.contains("T1IN = [[], [\"-\", 0.8755]]"), "{text}");
    assert!(text.contains("[\"C1 shaft 1\", 1.3733, \"measured again\", \"JA\"]"), "{text}");
    // The same file twice says the same; half of it says less, and nothing against it.
    job.run("take job c.pdf c.pdf job/fill-C.pdf --into twice.toml").status(0);
    assert!(job.read("twice.toml").contains("C1 = [[1.3731, \"-\"], []]"));
    fill(
        &job,
        "job/fill-C.pdf",
        "d.pdf",
        &[("C1.shaft.1.whole", "1"), ("C1.shaft.1.decimals", "3371")],
    );
    job.run("take job c.pdf d.pdf --into never.toml")
        .status(2)
        .complains("d.pdf: page 11, C1.shaft.1.decimals holds `3371`, and `3731` in c.pdf");
    assert!(!job.path("never.toml").exists());
}

/// What has no room in its box, what is no figure, no mark, no row: each by page and
/// field, all in one run, the files that they stand in among them.
#[test]
fn everything_that_is_wrong_is_told_at_once() {
    let job = Script::demo();
    job.run("sheets job --fill --only C,T").status(0);
    job.run("sheets job --fill --remarks C").status(0);
    let wrong = [
        ("C1.shaft.1.whole", "1"),
        ("C1.shaft.1.decimals", "37S1"),
        ("C 1.1", "w"),
        ("sheet T.shaft.month", "03"),
    ];
    fill(&job, "job/fill-C-T.pdf", "one.pdf", &wrong);
    fill(&job, "job/fill-remarks-C.pdf", "two.pdf", &[("sheet C.changed.R1.1.part", "wings")]);
    let ran = job.run("take job one.pdf two.pdf --into never.toml");
    ran.status(2)
        .complains("one.pdf: page 11, C1.shaft.1.decimals holds `37S1`: digits only")
        .complains("page 11, C 1.1: \"w\" is no mark")
        .complains("page 13, sheet T.shaft: ")
        .complains("page 1 more, sheet C.changed.R1.1.part: no part \"wings\"")
        // Once each.
        .never_complains("C1.shaft.1: ");
    assert!(!job.path("never.toml").exists());
}

/// Writes values into the fields of a file, as any program that fills in forms does.
fn fill(job: &Script, blank: &str, filled: &str, values: &[(&str, &str)]) {
    let mut pdf = Document::load_mem(&job.bytes(blank)).expect("a blank form");
    let form = pdf.catalog().and_then(|catalog| catalog.get(b"AcroForm")).expect("its form");
    let form = form.as_reference().expect("an object");
    let tops = pdf.get_dictionary(form).and_then(|form| form.get(b"Fields")).expect("fields");
    let tops = tops.as_array().expect("a list").clone();
    for (name, value) in values {
        let id = find(&pdf, &tops, name).unwrap_or_else(|| panic!("no field {name}"));
        let field = pdf.get_dictionary_mut(id).expect("a field");
        field.set("V", Object::string_literal(*value));
    }
    let mut bytes = Vec::new();
    pdf.save_to(&mut bytes).expect("written");
    job.write(filled, &bytes);
}

fn find(pdf: &Document, fields: &[Object], name: &str) -> Option<ObjectId> {
    let (first, rest) = name.split_once('.').map_or((name, None), |(one, rest)| (one, Some(rest)));
    for field in fields {
        let id = field.as_reference().ok()?;
        let dict = pdf.get_dictionary(id).ok()?;
        if dict.get(b"T").and_then(Object::as_str).ok()? != first.as_bytes() {
            continue;
        }
        return match rest {
            None => Some(id),
            Some(rest) => find(pdf, dict.get(b"Kids").and_then(Object::as_array).ok()?, rest),
        };
    }
    None
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
