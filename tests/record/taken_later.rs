//! What happens beside the boxes, typed into the lines of a page: it says the same as
//! the transcription that a person would type from that paper (`forms/README.md`, on a
//! screen).

use super::Job;
use super::taken::{same, take};

type Filled<'a> = Vec<(&'a str, &'a str)>;

/// The start of a transcription of these sheets.
fn sheets(job: &Job, letters: &[&str]) -> String {
    let (_, set) = job.expanded();
    let each = letters.iter().map(|letter| {
        let number = &set.sheet(letter).expect("a sheet of the set").number;
        format!("[{letter}]\nnumber = \"{number}\"\n")
    });
    format!("sheet-set = \"{}\"\n{}", set.number, each.collect::<String>())
}

/// Fields of one line.
fn line<'a>(names: &'a mut Vec<String>, of: &str, parts: &[&'a str]) -> Vec<usize> {
    let first = names.len();
    names.extend(parts.iter().map(|part| format!("{of}.{part}")));
    (first..names.len()).collect()
}

const FOUND: [&str; 7] = ["kind", "of", "what", "done", "by", "date", "inspector"];
const CHANGED: [&str; 12] = [
    "kind",
    "part",
    "rework",
    "what",
    "by",
    "date",
    "inspector",
    "number",
    "batch",
    "document",
    "grade",
    "redone",
];
const ALSO: [&str; 7] = ["side", "rows", "by", "date", "gauge", "before", "after"];
const AGAIN: [&str; 7] = ["row", "box", "whole", "decimals", "why", "by", "date"];

/// Lines by their first part, each with its values.
fn lines(all: &[(&str, &[&str], &[&str])]) -> Vec<(String, String)> {
    let mut names = Vec::new();
    let mut filled = Vec::new();
    for (of, parts, values) in all {
        let at = line(&mut names, of, parts);
        filled.extend(at.into_iter().zip(*values).map(|(n, value)| (n, (*value).to_owned())));
    }
    filled.into_iter().map(|(n, value)| (names[n].clone(), value)).collect()
}

fn borrowed(filled: &[(String, String)]) -> Filled<'_> {
    filled.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect()
}

/// A defect, what does not apply, an out that was accepted, work sent out: each on a
/// line of any sheet, by a letter, the item with its sheet's letter or without.
#[test]
fn what_was_found_accepted_and_sent_out_is_taken() {
    let job = Job::first();
    let filled = lines(&[
        (
            "sheet L.found.1.1",
            &FOUND,
            &["x", "3 L6", "clean nut binds", "stud renewed", "TD", "26-02-27", "JA"],
        ),
        ("sheet L.found.2.1", &FOUND, &["N", "S 9.", "no damper weights", "", "", "", "JA"]),
        (
            "sheet K.found.1.1",
            &FOUND,
            &["A", "C2", "the maker's letter", "LT-9", "JA", "2026-03-09", ""],
        ),
        (
            "sheet K.found.2.1",
            &FOUND,
            &["S", "crack test", "Saltmere", "SM-1; no cracks", "", "26-03-01", ""],
        ),
        ("sheet S.found.R1.1", &FOUND, &["N", "UF", "flange not fitted", "", "RW", "", "JA"]),
    ]);
    let letters = ["L", "S", "K"];
    let long = format!(
        "{}UF.na = {{ why = \"flange not fitted; RW\", by = \"JA\" }}\n\
         [[found]]\nitem = \"L 3\"\nplace = \"L6\"\nwhat = \"clean nut binds\"\n\
         done = \"stud renewed\"\nby = \"TD\"\non = 2026-02-27\ninspector = \"JA\"\n\
         [[left-out]]\nitem = \"S 9\"\nwhy = \"no damper weights\"\nby = \"JA\"\n\
         [[accepted]]\nrow = \"C2\"\nauthority = \"the maker's letter\"\ndocument = \"LT-9\"\n\
         on = 2026-03-09\nby = \"JA\"\n\
         [[outside]]\nwhat = \"crack test\"\nwho = \"Saltmere\"\ncertificate = \"SM-1\"\n\
         on = 2026-03-01\nresult = \"no cracks\"\n",
        sheets(&job, &["L", "K", "S"])
    );
    same(&job, &take(&job, &letters, &borrowed(&filled)).unwrap(), &long);
    let cases = [
        ("kind", "", "sheet L.found.1.1.kind: \"\" does not say what the line is"),
        ("kind", "A", "sheet L.found.1.1.of: \"3 L6\" is no row"),
        ("of", "", "sheet L.found.1.1.of: nothing says what the line is of"),
        ("of", "L 99", "\"L 99\" is no item"),
        ("of", "Y 3", "\"Y 3\" is no item"),
        ("of", "C2", "\"C2\" is no item"),
        ("what", "", "sheet L.found.1.1.what: nothing says what was found"),
        ("date", "27 Feb", "sheet L.found.1.1.date: 27 Feb is no day"),
    ];
    each_is_refused((&job, &letters), &filled, "sheet L.found.1.1", &cases);
}

/// Parts by the names of the engine file or as they are printed, the places of single
/// ones, the work by its name, its data or its paper, items looked over again.
#[test]
fn a_part_changed_or_reworked_is_taken() {
    let job = Job::first();
    let filled = lines(&[
        (
            "sheet L.changed.1.1",
            &CHANGED,
            &[
                "P",
                "camshaft",
                "camshaft-changed",
                "new camshaft",
                "RW",
                "26-03-12",
                "JA",
                "TW-1401",
                "C-0588",
                "DEMO-REL-0207",
                "",
                "T 1-3, 5, CL 16",
            ],
        ),
        (
            "sheet A.changed.1.1",
            &CHANGED,
            &[
                "r",
                "tappets",
                "tappet-refaced",
                "refaced",
                "TD",
                "26-03-11",
                "",
                "",
                "",
                "RD-7",
                "",
                "",
            ],
        ),
        (
            "sheet L.changed.R1.1",
            &CHANGED,
            &[
                "P",
                "Intake-Pipes 3, 4",
                "",
                "new pipes",
                "RW",
                "",
                "",
                "TW-2217",
                "B0931",
                "REL-1",
                "",
                "",
            ],
        ),
    ]);
    let letters = ["A", "L"];
    let long = format!(
        "{}\
         [[change]]\npart = \"tappets\"\nrework = \"tappet-refaced\"\nwhy = \"reworked\"\n\
         what = \"refaced\"\nby = \"TD\"\non = 2026-03-11\ndata = \"RD-7\"\n\
         [[change]]\npart = \"camshaft\"\nrework = \"camshaft-changed\"\nwhy = \"part changed\"\n\
         what = \"new camshaft\"\nby = \"RW\"\non = 2026-03-12\ninspector = \"JA\"\n\
         number = \"TW-1401\"\nbatch = \"C-0588\"\ndocument = \"DEMO-REL-0207\"\n\
         redone = [\"T 1\", \"T 2\", \"T 3\", \"T 5\", \"CL 16\"]\n\
         [[change]]\npart = \"intake-pipes\"\nplaces = [\"3\", \"4\"]\nwhy = \"part changed\"\n\
         what = \"new pipes\"\nby = \"RW\"\nnumber = \"TW-2217\"\nbatch = \"B0931\"\ndocument = \"REL-1\"\n",
        sheets(&job, &letters)
    );
    let text = take(&job, &letters, &borrowed(&filled)).unwrap();
    same(&job, &text, &long);
    let days: Vec<usize> = ["tappets\", ", "camshaft\", ", "intake-pipes 3 4"]
        .map(|part| text.find(part).unwrap())
        .into();
    assert!(days.is_sorted(), "in the order of their days, one without its day last: {text}");
    let cases = [
        ("kind", "X", "sheet L.changed.1.1.kind: changed or reworked"),
        ("part", "", "sheet L.changed.1.1.part: no part \"\""),
        ("part", "camshafts", "no part \"camshafts\""),
        ("part", "camshaft 3", "no place \"3\" of camshaft"),
        ("part", "intake-pipes 7", "no place \"7\" of intake-pipes"),
        ("rework", "tappet-refaced", "no work \"tappet-refaced\" on this part"),
        ("redone", "T 1-99", "sheet L.changed.1.1.redone: no item \"T 1-99\""),
        ("redone", "faces", "no item \"faces\""),
    ];
    each_is_refused((&job, &letters), &filled, "sheet L.changed.1.1", &cases);
}

/// Each value in the place of that of its part of a line is refused, by the page.
fn each_is_refused(
    (job, letters): (&Job, &[&str]),
    filled: &[(String, String)],
    line: &str,
    cases: &[(&str, &str, &str)],
) {
    for (part, value, said) in cases {
        let mut changed = filled.to_vec();
        let own = changed.iter_mut().find(|(name, _)| *name == format!("{line}.{part}"));
        own.expect("the field is filled in").1 = (*value).to_owned();
        let refused = take(job, letters, &borrowed(&changed)).unwrap_err();
        assert!(refused.contains(said) && refused.contains("page "), "{part}: {refused}");
    }
}

/// Another person for some rows of one side: codes, or from one to another as they
/// are printed.
#[test]
fn others_who_measured_some_rows_are_taken() {
    let job = Job::first();
    let filled = [
        lines(&[
            (
                "sheet T.also.2.1",
                &ALSO,
                &["shaft", "T2IN to T3EX, T4EX", "TD", "26-03-04", "MIC-1", "v", "x"],
            ),
            (
                "sheet T.also.R1.1",
                &ALSO,
                &["Bore", "T1IN", "JA", "26-03-05", "TEL-1 and MIC-1", "", ""],
            ),
        ]),
        vec![("sheet T.shaft.by".to_owned(), "RW".to_owned())],
        ["T1IN", "T1EX", "T2IN"]
            .map(|row| (format!("{row}.shaft.1.decimals"), "8736".to_owned()))
            .into(),
    ]
    .concat();
    let long = format!(
        "{}shaft = [{{ by = \"RW\" }}, {{ by = \"TD\", on = 2026-03-04, gauge = \"MIC-1\", zero = \"vx\", \
         rows = [\"T2IN\", \"T2EX\", \"T3IN\", \"T3EX\", \"T4EX\"] }}]\n\
         bore = {{ by = \"JA\", on = 2026-03-05, gauge = [\"TEL-1\", \"MIC-1\"], rows = [\"T1IN\"] }}\n\
         T1IN = [[0.8736, \"-\"], []]\nT1EX = [[0.8736, \"-\"], []]\nT2IN = [[0.8736, \"-\"], []]\n",
        sheets(&job, &["T"])
    );
    same(&job, &take(&job, &["T"], &borrowed(&filled)).unwrap(), &long);
    let cases = [
        ("side", "work", "sheet T.also.2.1.side: \"work\" is no side of this sheet"),
        ("rows", "", "sheet T.also.2.1.rows: nothing says which rows"),
        ("rows", "T9IN", "no rows \"T9IN\" of that side"),
        ("rows", "LH", "no rows \"LH\" of that side"),
        ("rows", "T3EX to T2IN", "no rows \"T3EX-T2IN\" of that side"),
    ];
    each_is_refused((&job, &["T"]), &filled, "sheet T.also.2.1", &cases);
    // A row named twice is one, in whatever order they are written.
    let again = lines(&[(
        "sheet T.also.2.1",
        &ALSO,
        &["shaft", "T2EX, T1IN, T2EX to T3IN", "TD", "26-03-04", "", "", ""],
    )]);
    let text = take(&job, &["T"], &borrowed(&again)).unwrap();
    assert!(text.contains("rows = [\"T1IN\", \"T2EX\", \"T3IN\"]"), "{text}");
    let twice = lines(&[
        ("sheet T.also.2.1", &ALSO, &["shaft", "T1IN, T1EX", "TD", "26-03-04", "", "", ""]),
        ("sheet T.also.R1.1", &ALSO, &["shaft", "T1EX", "JA", "26-03-04", "", "", ""]),
    ]);
    let refused = take(&job, &["T"], &borrowed(&twice)).unwrap_err();
    assert!(refused.contains("two have signed for shaft of row T1EX"), "{refused}");
}

/// Both boxes of a side that one person read again on one day are one reading of that
/// side; on two days, or by two, they are two readings.
#[test]
fn boxes_read_again_together_are_one_reading() {
    let job = Job::first();
    let taken = |second: [&str; 7]| {
        let filled = lines(&[
            ("sheet C.again.1.1", &AGAIN, &["C2", "shaft B", "1", "3716", "M", "JA", "26-03-06"]),
            ("sheet C.again.R1.1", &AGAIN, &second),
        ]);
        take(&job, &["C"], &borrowed(&filled)).unwrap()
    };
    let text = taken(["C2", "shaft A", "1", "3717", "M", "JA", "26-03-06"]);
    assert!(
        text.contains("[\"C2 shaft\", [1.3717, 1.3716], \"measured again\", \"JA\", 2026-03-06]"),
        "{text}"
    );
    for second in [
        ["C2", "shaft A", "1", "3717", "M", "JA", "26-03-07"],
        ["C2", "shaft A", "1", "3717", "M", "TD", "26-03-06"],
        ["C2", "shaft B", "1", "3717", "M", "JA", "26-03-06"],
        ["C2", "bore A", "1", "3717", "M", "JA", "26-03-06"],
        ["C3", "shaft A", "1", "3717", "M", "JA", "26-03-06"],
        ["C2", "shaft A", "1", "3717", "R", "JA", "26-03-06"],
    ] {
        let text = taken(second);
        assert!(text.contains("[\"C2 shaft 2\", 1.3716,"), "{second:?}: {text}");
    }
}

/// Where a line takes values of any shape: marks of leaves, all values of a side.
#[test]
fn values_of_any_shape_are_taken() {
    let job = Job::first();
    let parts = ["row", "box", "value", "why"];
    let take_one = |sheet: &str, values: [&str; 4]| {
        let filled = lines(&[(&format!("sheet {sheet}.again.2.1"), &parts, &values)]);
        take(&job, &[sheet], &borrowed(&filled))
    };
    let text = take_one("P", ["GD", "go", "vvvv vvvv vvvx", "M"]).unwrap();
    assert!(text.contains("[\"GD go\", \"vvvv vvvv vvvx\", \"measured again\"]"), "{text}");
    let text = take_one("P", ["GD", "go 9", "x", "M"]).unwrap();
    assert!(text.contains("[\"GD go 9\", \"x\", \"measured again\"]"), "{text}");
    let text = take_one("P", ["P", "bore", "0.5008 0.5009", "M"]).unwrap();
    assert!(text.contains("[\"P bore\", [0.5008, 0.5009], \"measured again\"]"), "{text}");
    for (values, said) in [
        (["GD", "go", "vvvv", "M"], "\"vvvv\" are not the marks of that box"),
        (["GD", "go 9", "w", "M"], "\"w\" are not the marks of that box"),
        (["P", "bore", "0.5008", "M"], "1 value where that box has 2"),
        (["P", "bore 1", "0.5008 0.5009", "M"], "2 values where that box has 1"),
        (["P", "bore 1", "0.50O8", "M"], "sheet P.again.2.1.value"),
    ] {
        let refused = take_one("P", values).unwrap_err();
        assert!(refused.contains(said), "{values:?}: {refused}");
    }
}

/// Everything that is wrong is told at once, each by its page and its field.
#[test]
fn all_that_is_wrong_is_told_at_once() {
    let job = Job::first();
    let filled = [
        ("C1.shaft.1.decimals", "3731"),
        ("C 1.1", "w"),
        ("sheet C.bore.month", "03"),
        ("sheet C.again.1.1.row", "Q1"),
        ("L 1.1", "?"),
        ("sheet L.changed.1.1.part", "wings"),
        ("sheet L.found.1.1.what", "a crack"),
    ];
    let refused = take(&job, &["C", "L"], &filled).unwrap_err();
    for said in [
        "C1.shaft.1: nothing stands before the point",
        "C 1.1: \"w\" is no mark",
        "sheet C.bore: ",
        "sheet C.again.1.1.row: no row \"Q1\"",
        "L 1.1: \"?\" is no mark",
        "sheet L.changed.1.1.part: no part \"wings\"",
        "sheet L.found.1.1.of: nothing says",
    ] {
        let line = refused.lines().find(|line| line.contains(said));
        let line = line.unwrap_or_else(|| panic!("{said} is not told:\n{refused}"));
        assert!(line.contains("page "), "{line}");
    }
}
