//! What a line need not say: its kind and gauge from its way, its places from
//! its part, what it shares with others. Each is held against the same file with
//! everything typed. These rules have no source outside: they are the program's
//! own.

use benchleaf::diag::{Diags, Sources};
use benchleaf::judge::revised;
use benchleaf::load::{self, spreadsheet};
use benchleaf::model::limits::Limits;

const ENGINE: &str = r#"
[engine]
maker = "Tarnwick Motor Works"
model = "TW1"
unit = "in"
[places]
cylinder = { codes = "1-3" }
some = { codes = ["1", "3"], of = "cylinder" }
stud = { codes = "1-2" }
[parts]
rods = { at = "cylinder" }
pistons = { at = "cylinder" }
crankcase = {}
[features]
pin = { part = "pistons", kind = "shaft" }
eye = { part = "rods", kind = "bore" }
seat = { part = "crankcase", kind = "bore", at = "stud" }
once = { part = "pistons", kind = "shaft", at = "-" }
"#;

const KINDS: &str = r#"
revision = "1"
[ways.twist]
title = "Twist"
lines = ["reading", "recorded"]
with = "dial indicator"
[ways.weight]
title = "Weight"
lines = "spread"
with = "balance"
[ways.any]
title = "Any"
"#;

const HEAD: &str = "[document]\ntitle = \"Overhaul manual\"\nnumber = \"OM-4\"\nrevision = \
                    \"7\"\nunit = \"in\"\nresolution = \"0.0001\"\n";

fn files(lines: &str) -> Sources {
    let mut files = Sources::default();
    files.put("engine.toml", ENGINE);
    files.put("forms/kinds.toml", KINDS);
    files.put("limits.toml", format!("{HEAD}{lines}"));
    files
}

fn read(files: &Sources) -> (Option<Limits>, Vec<String>) {
    let mut out = Diags::new();
    let engine = load::engine(files, "engine.toml", &mut out).expect("an engine");
    let limits = load::limits(files, "limits.toml", Some(&engine), &mut out);
    (limits, out.plain(files))
}

#[track_caller]
fn sound(lines: &str) -> Limits {
    let (limits, told) = read(&files(lines));
    limits.unwrap_or_else(|| panic!("{told:#?}"))
}

/// All that is read of each line, wherever it stands in the file.
fn said(limits: &Limits) -> Vec<String> {
    let of = |line: &benchleaf::model::limits::Line| {
        let mut typed: Vec<String> =
            line.typed.iter().map(|key| format!("{} = {}", key.what, key.text)).collect();
        typed.sort();
        let places = format!("{:?} {:?}", line.kind_word(), line.unit);
        format!("{} {places} {typed:?}", line.reference)
    };
    limits.lines.iter().map(of).collect()
}

/// What is left out in the one and typed in the other is the same: in what is
/// read, in what a revision tells, in what a sheet's number goes by.
#[track_caller]
fn same(short: &str, whole: &str) {
    let (short, whole) = (sound(short), sound(whole));
    assert_eq!(said(&short), said(&whole));
    assert_eq!(revised(&short, &whole), Vec::<String>::new());
}

#[test]
fn a_line_with_a_shaft_and_a_bore_is_a_fit() {
    let fit = "shaft = { feature = \"pin\", new = [1.0, 1.1] }\nbore = { feature = \"eye\" }\n";
    let short = format!("[[line]]\nref = \"N\"\nname = \"pin\"\n{fit}");
    same(&short, &short.replace("name", "kind = \"fit\"\nname"));
    assert_eq!(sound(&short).lines[0].kind_word(), "fit");
}

#[test]
fn a_way_gives_the_kind_and_the_gauge_and_a_part_the_places() {
    let short = "[[line]]\nref = \"T\"\nname = \"twist\"\nway = \"twist\"\npart = [\"rods\", \
                 \"crankcase\"]\nnew-max = 0.01\n";
    let all = "kind = \"reading\"\nwith = \"dial indicator\"\nat = \"cylinder\"\n";
    same(short, &format!("{short}{all}"));
    let short = "[[line]]\nref = \"W\"\nname = \"weights\"\nway = \"weight\"\npart = \
                 \"rods\"\nunit = \"g\"\nnew-max = 5\n";
    let all = "kind = \"spread\"\nwith = \"balance\"\nat = \"cylinder\"\n";
    same(short, &format!("{short}{all}"));
    // What a line says itself stays.
    let own = "[[line]]\nref = \"T\"\nname = \"twist\"\nway = \"twist\"\nkind = \"recorded\"\npart \
               = \"rods\"\nat = \"some\"\n";
    assert_eq!(sound(own).lines[0].kind_word(), "recorded");
    let (files, mut out) = (files(own), Diags::new());
    let engine = load::engine(&files, "engine.toml", &mut out).expect("an engine");
    assert_eq!(sound(own).lines[0].row_codes(&engine), ["T1", "T3"]);
}

/// A count is of all of them together; `-` is one reading for all.
#[test]
fn places_are_not_taken_where_one_row_is_meant() {
    let (files, mut out) = (files(""), Diags::new());
    let engine = load::engine(&files, "engine.toml", &mut out).expect("an engine");
    let codes = |line: &str| {
        let text = format!("[[line]]\nref = \"X\"\nname = \"x\"\npart = \"rods\"\n{line}\n");
        sound(&text).lines[0].row_codes(&engine)
    };
    assert_eq!(codes("kind = \"count\"\nexact = 3"), ["X"]);
    assert_eq!(codes("kind = \"reading\"\nat = \"-\"\nnew-max = 0.01"), ["X"]);
    assert_eq!(codes("kind = \"reading\"\nnew-max = 0.01"), ["X1", "X2", "X3"]);
    assert_eq!(codes("kind = \"feeler\"\nteeth = 4\nnew-max = 0.01"), ["X1", "X2", "X3"]);
    // A word that is kept is one unless it says more.
    assert_eq!(codes("kind = \"recorded\""), ["X"]);
    // A feature sits where its part does.
    let at = |id: &str| engine.features.iter().find(|f| f.id.as_str() == id).expect("it").at;
    assert_eq!([at("pin"), at("eye"), at("seat"), at("once")], [Some(0), Some(0), Some(2), None]);
}

#[test]
fn lines_under_what_they_share_are_lines_like_any() {
    let short = "[[line]]\nway = \"twist\"\npage = \"table 3\"\npart = \"rods\"\nlines = [\n  { ref \
                 = \"T\", name = \"twist\", new-max = 0.01 },\n  { ref = \"U\", name = \"bend\", \
                 part = \"pistons\", page = \"table 4\", new-max = 0.02 },\n]\n\n[[line]]\nref = \
                 \"V\"\nname = \"other\"\nkind = \"reading\"\nnew-max = 0.03\n";
    let whole = "[[line]]\nref = \"T\"\nname = \"twist\"\nkind = \"reading\"\nway = \
                 \"twist\"\npage = \"table 3\"\npart = \"rods\"\nnew-max = 0.01\n[[line]]\nref = \
                 \"U\"\nname = \"bend\"\nkind = \"reading\"\nway = \"twist\"\npage = \"table \
                 4\"\npart = \"pistons\"\nnew-max = 0.02\n[[line]]\nref = \"V\"\nname = \
                 \"other\"\nkind = \"reading\"\nnew-max = 0.03\n";
    same(short, whole);
}

/// Every fault at its own place, once.
#[test]
fn what_is_wrong_in_them_is_told_where_it_stands() {
    let line = |keys: &str| format!("[[line]]\nref = \"T\"\nname = \"t\"\nnew-max = 1\n{keys}\n");
    let cases: [(&str, &[&str]); 12] = [
        (
            &line("way = \"twst\""),
            &["limits.toml:11:7: there is no way of measuring twst; did you mean twist"],
        ),
        (&line("way = \"any\""), &["limits.toml:7:1: kind is missing; add kind = and one of"]),
        (&line(""), &["limits.toml:7:1: kind is missing; add kind = and one of"]),
        (
            &line("way = \"weight\"\nunit = \"g\"\npart = \"crankcase\""),
            &["limits.toml:7:1: at is missing"],
        ),
        (
            &line("way = \"weight\"\nunit = \"g\"\npart = \"rds\""),
            &["limits.toml:13:8: there is no part rds; did you mean rods"],
        ),
        (
            &line("way = \"weight\"\nunit = \"g\"\npart = \"rods\"\nat = \"-\""),
            &["limits.toml:14:1: a spread at no places"],
        ),
        (
            "[[line]]\nlines = \"T\"\n",
            &["limits.toml:8:9: lines is a text; tables in double brackets"],
        ),
        ("[[line]]\nlines = []\n", &["limits.toml:8:9: lines without a line"]),
        (
            "[[line]]\nref = \"T\"\nway = \"twist\"\nlines = [{ ref = \"A\", name = \"a\" }]\n",
            &["limits.toml:8:1: ref is not a key of what several lines share"],
        ),
        (
            "[[line]]\nway = \"twst\"\nlines = [\n{ ref = \"A\", name = \"a\" },\n{ ref = \"B\", name = \"b\" },\n]\n",
            &["limits.toml:8:7: there is no way of measuring twst; did you mean twist"],
        ),
        (
            "[[line]]\nway = \"twist\"\nlines = [\n{ ref = \"A\", name = \"a\", new-mx = 0.01 },\n{ ref = \"A\", name = \"b\", new-max = 0.01000 },\n]\n",
            &[
                "limits.toml:10:26: new-mx is not a key of a line of kind reading; did you mean new-max",
                "limits.toml:11:9: the reference A stands twice",
                "limits.toml:11:36: 0.01000 has 5 decimals, the line is read to 4",
            ],
        ),
        (
            "[[line]]\nway = \"twist\"\nlines = [\n{ ref = \"A\", name = \"a\", new-max = 0.01 },\n{ ref = \"B\" name = \"b\" },\n]\n",
            &["limits.toml:11:"],
        ),
    ];
    for (text, expected) in cases {
        let (limits, told) = read(&files(text));
        assert!(limits.is_none(), "{text}");
        assert_eq!(told.len(), expected.len(), "{text}\n{told:#?}");
        for (told, expected) in told.iter().zip(expected) {
            assert!(told.starts_with(expected), "{text}\n{told}\n{expected}");
        }
    }
}

/// A file of kinds with a fault of its own is told by itself: not each line that
/// goes by it.
#[test]
fn a_file_of_kinds_that_cannot_be_read_makes_no_line_wrong() {
    let line = "[[line]]\nref = \"T\"\nname = \"t\"\nway = \"twist\"\nnew-max = 0.01\n";
    let mut files = files(&format!("{line}{}", line.replace("\"T\"", "\"U\"")));
    files.put("forms/kinds.toml", KINDS.replace("title = \"Twist\"", "titel = \"Twist\""));
    let (limits, told) = read(&files);
    assert!(limits.is_none());
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].starts_with("limits.toml:10:7: forms/kinds.toml has a fault"), "{told:?}");
}

/// What a few bytes mean is no more than a file may hold.
#[test]
fn a_file_that_means_too_much_is_refused() {
    let note = "n".repeat(2000);
    let many = "{ ref = \"A\" },\n".repeat(20_000);
    let shared = format!("[[line]]\nway = \"twist\"\nnote = \"{note}\"\nlines = [\n{many}]\n");
    let (limits, told) = read(&files(&shared));
    assert!(limits.is_none());
    assert!(
        told[0].starts_with("limits.toml:10:1: lines that mean more than 16 MiB"),
        "{}",
        told[0]
    );
    let mut files = files(&"[[line]]\nway = \"twist\"\nref = \"A\"\n".repeat(20_000));
    files.put("forms/kinds.toml", KINDS.replace("dial indicator", &note));
    let (limits, told) = read(&files);
    assert!(limits.is_none());
    assert!(told.iter().any(|told| told.contains("mean more than 16 MiB")), "{}", told[0]);
}

/// What a way is for is a kind of line that there is.
#[test]
fn a_way_for_lines_that_are_not_there_is_told() {
    let mut files = files("");
    files.put("forms/kinds.toml", KINDS.replace("\"recorded\"", "\"recordd\""));
    let mut out = Diags::new();
    load::case(&files, &mut out);
    let told = out.plain(&files);
    let own = "forms/kinds.toml:5:21: there is no kind of line recordd; did you mean recorded";
    assert!(told.iter().any(|told| told == own), "{told:#?}");
}

/// A table of a spreadsheet means the same by an empty cell.
#[test]
fn a_table_goes_by_ways_and_parts_too() {
    let table = "document title,Overhaul manual\ndocument number,OM-4\ndocument revision,7\n\
                 document unit,in\ndocument resolution,0.0001\n\
                 ref,name,way,part,shaft feature,shaft new min,bore feature,new max\n\
                 T,twist,twist,rods,,,,0.01\nN,pin,,,pin,1.0,eye,\n";
    let mut files = files("");
    files.put("t.csv", table);
    let mut out = Diags::new();
    let engine = load::engine(&files, "engine.toml", &mut out).expect("an engine");
    let read = spreadsheet::from_table(&mut files, "t.csv", Some(&engine), &mut out);
    let (text, limits) = read.unwrap_or_else(|| panic!("{:?}", out.plain(&files)));
    let limits = limits.expect("limits");
    let rows: Vec<Vec<String>> = limits.lines.iter().map(|line| line.row_codes(&engine)).collect();
    assert_eq!(rows, [["T1", "T2", "T3"], ["N1", "N2", "N3"]]);
    assert!(said(&limits)[0].contains("read with = dial indicator"), "{:?}", said(&limits));
    // There and back.
    files.put("limits.toml", text.as_str());
    let back = spreadsheet::table(&files, "limits.toml", &mut out).expect("a table");
    assert!(back.contains("\nT,twist,reading,twist,"), "{back}");
    // A row whose kind nobody says is told at its place.
    files.put("t.csv", table.replace("T,twist,twist,", "T,twist,any,"));
    let mut out = Diags::new();
    assert!(spreadsheet::from_table(&mut files, "t.csv", Some(&engine), &mut out).is_none());
    let told = out.plain(&files);
    assert!(told[0].contains("the column kind is missing"), "{told:?}");
    // Lines under what they share are rows like any; one reading for all of the
    // parts cannot stand in a cell.
    let lines = "[[line]]\nway = \"twist\"\npart = \"rods\"\nlines = [{ ref = \"T\", name = \"t\", \
                 new-max = 0.01 }, { ref = \"U\", name = \"u\", new-max = 0.02 }]\n";
    files.put("limits.toml", format!("{HEAD}{lines}"));
    let back = spreadsheet::table(&files, "limits.toml", &mut Diags::new()).expect("a table");
    assert!(
        back.ends_with("\nT,t,reading,twist,0.01,rods\nU,u,reading,twist,0.02,rods\n"),
        "{back}"
    );
    files.put("limits.toml", format!("{HEAD}{}", lines.replace("way", "at = \"-\"\nway")));
    let mut out = Diags::new();
    assert!(spreadsheet::table(&files, "limits.toml", &mut out).is_none());
    assert!(out.plain(&files)[0].contains("a table cannot hold this: at = \"-\""));
}
