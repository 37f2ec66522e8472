//! What is typed into the fields of a set says the same as the transcription that
//! a person would type from the paper (`forms/README.md`, on a screen).

use super::Job;
use benchleaf::analysis::compare::compare;
use benchleaf::diag::Diags;
use benchleaf::layout::mark::{Entry, Mark};
use benchleaf::pages::worksheet::{lay_fields, lay_remarks_fields};
use benchleaf::record::{TypedIn, taken};
use benchleaf::sheet::{Pages, SheetSet, typed};

/// Every field of the sheets and of a further page of each, blank.
fn blank(set: &SheetSet, letters: &[String]) -> (TypedIn, Pages) {
    let mut out = Diags::new();
    let (document, pages) = lay_fields(set, Some(letters), &mut out).expect("pages");
    let further = lay_remarks_fields(set, letters, &mut out).expect("further pages");
    let mut typed = TypedIn::default();
    for page in document.pages.iter().chain(&further.pages) {
        for mark in &page.marks {
            let Mark::Field { field, .. } = mark else { continue };
            let value = match &field.entry {
                Entry::Fixed(value) => value.clone(),
                _ => String::new(),
            };
            typed.values.insert(field.name.clone(), value);
            typed.pages.insert(field.name.clone(), page.label.clone());
        }
    }
    (typed, pages)
}

/// The transcription of what was typed, or why there is none.
pub fn take(job: &Job, letters: &[&str], filled: &[(&str, &str)]) -> Result<String, String> {
    let (case, set) = job.expanded();
    let letters: Vec<String> = letters.iter().map(ToString::to_string).collect();
    let (mut typed_in, pages) = blank(&set, &letters);
    for (name, value) in filled {
        let place = typed_in.values.get_mut(*name).unwrap_or_else(|| panic!("no field {name}"));
        *place = (*value).to_owned();
    }
    let mut out = Diags::new();
    match taken((&set, &case.engine), &pages, &letters, &typed_in, &mut out) {
        Some(record) => Ok(typed(&set, &pages, &record)),
        None => Err(out.plain(job.files()).join("\n")),
    }
}

/// What both say, held against each other; the second is in the long form.
#[track_caller]
pub fn same(job: &Job, text: &str, long: &str) {
    let head: String = text.lines().take_while(|line| !line.starts_with('[')).collect();
    assert!(head.contains("sheet-set"));
    let (one, other) = (job.clone().retyped(text), job.clone().retyped(long));
    let ((case, set), (second, _)) = (one.expanded(), other.expanded());
    let records = (case.record.as_ref().unwrap(), second.record.as_ref().unwrap());
    let mut out = Diags::new();
    let found = compare(&case, &set, records, &Pages::default(), &mut out);
    let found = found.unwrap_or_else(|| panic!("{}", out.render(one.files(), false)));
    // Sheets that were not taken stand there blank, with their numbers.
    let rest = |name: &str| name.starts_with("sheet ") && name.ends_with(" number");
    let differ: Vec<_> = found.differences.iter().filter(|found| !rest(&found.name)).collect();
    assert!(differ.is_empty(), "{differ:#?}\n{text}");
    assert!(found.alike > 10);
}

/// The lines at the foot of a page: a box by its number or its letter, a value in
/// its comb, every column.
#[test]
fn what_is_measured_again_is_taken_line_by_line() {
    let job = Job::first();
    let line = |n: usize, part: &str| format!("sheet {}.again.1.1.{part}", ["C", "M"][n - 1]);
    let mut filled: Vec<(String, &str)> = Vec::new();
    for (n, values) in [
        (1, ["C3", "bore B", "1", "3757", "1.4007", "M", "TD", "2026-03-06", "TEL-1, MIC-2", "JA"]),
        (2, ["M2", "shaft 1", "2", "2466", "", "p", "JA", "26-03-12", "MIC-2B", ""]),
    ] {
        let parts = [
            "row",
            "box",
            "whole",
            "decimals",
            "instead of",
            "why",
            "by",
            "date",
            "gauge",
            "inspector",
        ];
        filled.extend(parts.into_iter().map(|part| line(n, part)).zip(values));
    }
    filled.extend([(line(1, "before"), "v"), (line(1, "after"), "x")]);
    let filled: Vec<(&str, &str)> = filled.iter().map(|(name, v)| (name.as_str(), *v)).collect();
    let (_, set) = job.expanded();
    let long = format!(
        "sheet-set = \"{}\"\n[C]\nnumber = \"{}\"\n[M]\nnumber = \"{}\"\n\
         [[again]]\nrow = \"C3\"\nbox = \"bore 2\"\nread = 1.3757\nwhy = \"measured again\"\n\
         by = \"TD\"\non = 2026-03-06\ngauge = [\"TEL-1\", \"MIC-2\"]\nzero = \"vx\"\n\
         inspector = \"JA\"\nnote = \"instead of 1.4007\"\n\
         [[again]]\nrow = \"M2\"\nbox = \"shaft 1\"\nread = 2.2466\nwhy = \"part changed\"\n\
         by = \"JA\"\non = 2026-03-12\ngauge = \"MIC-2B\"\n",
        set.number,
        set.sheet("C").unwrap().number,
        set.sheet("M").unwrap().number
    );
    same(&job, &take(&job, &["C", "M"], &filled).unwrap(), &long);
    // Each of these is asked about by the name of its field, and nothing is taken.
    for (part, value, said) in [
        ("row", "M1", "sheet C.again.1.1.row: no row \"M1\" on this sheet"),
        ("row", "", "sheet C.again.1.1.row: no row"),
        ("box", "bore C", "\"bore C\" is no box of this row"),
        ("box", "bore 3", "\"bore 3\" is no box of this row"),
        ("box", "", "\"\" is no box of this row"),
        ("why", "", "sheet C.again.1.1.why: why it was measured again"),
        ("whole", "", "nothing stands before the point"),
        ("decimals", "", "nothing stands behind the point"),
        ("date", "6 March", "sheet C.again.1.1.date: 6 March is no day"),
        ("before", "w", "sheet C.again.1.1.before: \"w\" is no mark"),
    ] {
        let name = line(1, part);
        let changed = filled.iter().map(|(n, v)| (*n, if *n == name { value } else { *v }));
        let refused = take(&job, &["C", "M"], &changed.collect::<Vec<_>>()).unwrap_err();
        assert!(refused.contains(said), "{part}: {refused}");
    }
}

/// Initials of one item, a row that does not apply, remarks on two lines, a tick
/// for all that were renewed, words, the foot of a sheet.
#[test]
fn what_is_written_beside_the_boxes_is_taken() {
    let job = Job::first();
    let filled = [
        ("S 1.1", "v"),
        ("S 2.1", "X"),
        ("sheet S.remarks.1.1", "the flange is not fitted,"),
        ("sheet S.remarks.1.2", "its face not measured"),
        ("sheet S.again.1.1.row", "UF"),
        ("sheet S.again.1.1.why", "N"),
        ("sheet S.again.1.1.inspector", "JA"),
        ("sheet S.read.by", "RW"),
        ("sheet S.read.year", "26"),
        ("sheet S.read.month", "3"),
        ("sheet S.read.day", "02"),
        ("sheet S.read.gauge.UC", "DI-1 and MIC-3"),
        ("sheet S.read.before", "v"),
        ("sheet S.read.temp", "21.5"),
        ("RN 1.count", "v"),
        ("RN 1.number", "TW-1120"),
        ("RN 2.count", "6"),
        ("RN 3.count", "X"),
        ("RN 4.number", "TW-1141"),
        ("CL 6.1", "n"),
        ("CL 7.1", "SM-1"),
        ("CL 7.2", "v"),
        ("FC 1.1", "n"),
        ("sheet FC.hold.by", "JA"),
        ("sheet FC.hold.year", "26"),
        ("sheet FC.hold.month", "03"),
        ("sheet FC.hold.day", "17"),
    ];
    let (_, set) = job.expanded();
    let (letters, number) = (["S", "RN", "FC", "CL"], |letter| &set.sheet(letter).unwrap().number);
    let span = set.sheet("S").unwrap().blocks.iter().find_map(|block| block.span()).unwrap();
    let initials = format!("S {span}.initials");
    let mut all = filled.to_vec();
    all.push((&initials, "TD, 2 JA"));
    let long = format!(
        "sheet-set = \"{}\"\n[S]\nnumber = \"{}\"\n1 = \"v\"\n2 = \"x\"\n\
         remarks = \"the flange is not fitted, its face not measured\"\n\
         UF.na = {{ why = \"the flange is not fitted, its face not measured\", by = \"JA\" }}\n\
         read = {{ by = \"RW\", on = 2026-03-02, gauge = {{ UC = [\"DI-1\", \"MIC-3\"] }}, zero = \"v-\", part-temp = 21.5 }}\n\
         initials = {{ {span} = \"TD\", 2 = \"JA\" }}\n\
         [RN]\nnumber = \"{}\"\n1 = {{ count = 6, number = \"TW-1120\" }}\n2 = {{ count = 6 }}\n\
         3 = {{ count = \"-\", reused = true }}\n4 = {{ count = \"-\", number = \"TW-1141\" }}\n\
         [FC]\nnumber = \"{}\"\n1 = \"n\"\nhold = {{ by = \"JA\", on = 2026-03-17 }}\n\
         [CL]\nnumber = \"{}\"\n6 = \"n\"\n7 = [\"SM-1\", \"v\", \"\"]\n",
        set.number,
        number("S"),
        number("RN"),
        number("FC"),
        number("CL")
    );
    same(&job, &take(&job, &letters, &all).unwrap(), &long);
}

/// Gauges of each line where nobody has looked at their zero: what is written of
/// them is read back.
#[test]
fn gauges_of_lines_are_taken_without_their_zero() {
    let job = Job::first();
    let (_, set) = job.expanded();
    let marks: Vec<String> = (1..=9).map(|n| format!("S {n}.1")).collect();
    let mut filled: Vec<(&str, &str)> = marks.iter().map(|name| (name.as_str(), "v")).collect();
    filled.extend([("sheet S.read.by", "RW"), ("sheet S.read.gauge.UF", "DI-1")]);
    let long = |read: &str| {
        let head = (&set.number, &set.sheet("S").unwrap().number);
        format!("sheet-set = \"{}\"\n[S]\nnumber = \"{}\"\n1-9 = \"v\"\n{read}\n", head.0, head.1)
    };
    let text = take(&job, &["S"], &filled).unwrap();
    same(&job, &text, &long("read = { by = \"RW\", gauge = { UF = \"DI-1\" } }"));
    filled.push(("sheet S.read.temp", "21.5"));
    let text = take(&job, &["S"], &filled).unwrap();
    let read = "read = { by = \"RW\", gauge = { UF = \"DI-1\" }, part-temp = 21.5 }";
    same(&job, &text, &long(read));
    filled.push(("sheet S.read.after", "v"));
    let text = take(&job, &["S"], &filled).unwrap();
    same(&job, &text, &long(&read.replace("part-temp", "zero = \"-v\", part-temp")));
}

/// Further leaves: each with its row, its tooth, and one of two ticks.
#[test]
fn a_further_leaf_is_taken_whole_or_asked_about() {
    let job = Job::first();
    let (_, set) = job.expanded();
    let sheet = set.sheet("P").unwrap();
    let line = sheet.lines().find(|line| line.rows.iter().any(|row| row.code == "GN")).unwrap();
    let name = |part: &str| format!("{} leaves.2.{part}", line.reference);
    let names = ["row", "tooth", "leaf", "entered", "refused"].map(name);
    let filled = |values: [&'static str; 5]| -> Vec<(&str, &'static str)> {
        names.iter().map(String::as_str).zip(values).collect()
    };
    let text = take(&job, &["P"], &filled(["GN", "9", "0.003", "Yes", ""])).unwrap();
    assert!(text.contains("GN.leaves = [[9, 0.003, \"entered\"]]"), "{text}");
    for (values, said) in [
        (["GN", "9", "0.003", "Yes", "Yes"], "not the whole of a leaf"),
        (["GN", "9", "0.003", "", ""], "not the whole of a leaf"),
        (["GN", "", "0.003", "Yes", ""], "not the whole of a leaf"),
        (["GN", "9", ".003", "Yes", ""], "leaves.2.leaf"),
        (["G", "9", "0.003", "Yes", ""], "no row of this line"),
    ] {
        let refused = take(&job, &["P"], &filled(values)).unwrap_err();
        assert!(refused.contains(said), "{values:?}: {refused}");
    }
}
