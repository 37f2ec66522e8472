//! A table of limits out of a spreadsheet: what it may look like, and every
//! fault at its cell. These rules have no source outside: they are the program's
//! own.

use benchleaf::diag::{Diags, Sources};
use benchleaf::load::keys::{Kind, Shape};
use benchleaf::load::{self, LINE, spreadsheet};
use benchleaf::model::limits::Limits;

const ENGINE: &str = r#"
[engine]
maker = "Tarnwick Motor Works"
model = "TW1"
unit = "in"
[places.bearing]
codes = ["1", "2"]
names = ["front", "rear"]
[parts.camshaft]
[parts.crankcase]
[features.cam-journal]
part = "camshaft"
kind = "shaft"
at = "bearing"
[features.cam-bore]
part = "crankcase"
kind = "bore"
at = "bearing"
"#;

const DOCUMENT: &str = "document title,Overhaul manual\ndocument number,OM-4\n\
                        document revision,7\ndocument unit,in\ndocument resolution,0.0001\n";

const FIT: &str = "ref,name,kind,shaft feature,shaft new min,shaft new max,shaft wear,bore \
                   feature,bore new min,bore new max,bore wear,fit new tight,fit new loose,fit \
                   service\n";

/// What is made of a table: the text, what it says, and all that is told.
fn taken(table: &str) -> (Option<(String, Limits)>, Vec<String>) {
    let mut files = Sources::default();
    files.put("engine.toml", ENGINE);
    files.put("t.csv", table);
    let mut out = Diags::new();
    let engine = load::engine(&files, "engine.toml", &mut out).expect("an engine");
    let read = spreadsheet::from_table(&mut files, "t.csv", Some(&engine), &mut out);
    assert_eq!(read.is_none(), out.faults() > 0, "{:?}", out.plain(&files));
    let read = read.map(|(text, limits)| (text, limits.expect("limits of an engine")));
    (read, out.plain(&files))
}

#[track_caller]
fn sound(table: &str) -> String {
    let (read, told) = taken(table);
    assert!(told.is_empty(), "{told:#?}");
    read.expect("limits").0
}

/// Every fault by its cell, message and cure, in the order of the table.
#[track_caller]
fn faults(table: &str, expected: &[&str]) {
    let (_, told) = taken(table);
    assert_eq!(told, expected, "{told:#?}");
}

fn fits(rows: &str) -> String {
    format!("{DOCUMENT}{FIT}{rows}")
}

const LINE_C: &str = "[document]\ntitle      = \"Overhaul manual\"\nnumber     = \"OM-4\"\n\
    revision   = \"7\"\nunit       = \"in\"\nresolution = \"0.0001\"\n\n[[line]]\nref   = \
    \"C\"\nname  = \"camshaft, in case\"\nkind  = \"fit\"\nshaft = { feature = \"cam-journal\", \
    new = [1.3720, 1.3730], wear = 1.3715 }\nbore  = { feature = \"cam-bore\", new = [1.3745, \
    1.3760] }\nfit   = { new = [\"0.0015L\", \"0.0040L\"], service = \"0.0050L\" }\n";

#[test]
fn a_row_becomes_a_line_digit_for_digit() {
    let text = sound(&fits(
        "C,\"camshaft, in case\",fit,cam-journal,1.3720,1.3730,1.3715,cam-bore,1.3745,1.3760,-,\
         0.0015L,0.0040L,0.0050L\n",
    ));
    assert_eq!(text, LINE_C);
}

/// The same in every manner in which a spreadsheet may write it.
#[test]
fn every_manner_of_writing_gives_the_same() {
    let table = fits(
        "C,\"camshaft, in case\",Fit, cam-journal ,1.3720,1.3730,1.3715,cam-bore,1.3745,1.3760,—,\
         0.0015 l,0.0040 L,0.0050l\n",
    );
    let semicolons = table.replace(',', ";").replace("camshaft;", "camshaft,");
    let tabs = semicolons.replace(';', "\t");
    for written in [table, semicolons, tabs] {
        let returns = written.replace('\n', "\r\n");
        let old = written.replace('\n', "\r");
        let blank = written.replace('\n', "\n\n");
        let marked = format!("\u{feff}{written}");
        for written in [written, returns, old, blank, marked] {
            assert_eq!(sound(&written), LINE_C, "{written:?}");
        }
    }
}

/// A second mark of the encoding, which the library passes over too.
#[test]
fn a_second_mark_is_passed_over() {
    let table = format!("\u{feff}{DOCUMENT}ref,name,kind,exact\nA,studs,count,8\n");
    let twice = format!("\u{feff}{table}");
    assert_eq!(sound(&twice), sound(&table));
    // And where what follows it is no table at all, that is told.
    let mut files = Sources::default();
    files.put("t.csv", "\u{feff}\u{feff}\t\"unit1.3725\n");
    assert!(spreadsheet::from_table(&mut files, "t.csv", None, &mut Diags::new()).is_none());
}

#[test]
fn columns_stand_in_any_order_and_go_by_several_names() {
    let table = format!(
        "{DOCUMENT},(seen by),Fit new loosest,bore-feature,SHAFT NEW MOST,fit_service_loose,shaft \
         new least,Kind,shaft wear,Fit new tightest,bore new minimum,bore new maximum,shaft \
         feature,Reference,name\n,JA,0.0040L,cam-bore,1.3730,0.0050L,1.3720,FIT,1.3715,0.0015L,\
         1.3745,1.3760,cam-journal,C,\"camshaft, in case\"\n"
    );
    let text = sound(&table);
    assert_eq!(text, LINE_C.replace("service =", "service-max ="));
}

#[test]
fn wear_amounts_replace_lists_and_choices() {
    let table = format!(
        "{DOCUMENT}ref,name,kind,feature,new min,new max,service min,service max,wear amount,twin \
         unit,twin new max,labels,part,at,reduction,exact,page\nD,journal,size,cam-journal,1.3720,\
         1.3730,,,0.0010,,,,,,Average,,4-2-1\nE,journal,size,cam-journal,1.3720,1.3730,Replace,,,,,\
         ,,,,,\nF,end play,reading,,-,0.0080,,0.0120,,mm,0.203,A; ring 2,camshaft,bearing,,,\nG,\
         studs,count,,,,,,,,,,camshaft,,,16,\n"
    );
    let text = sound(&table);
    for piece in [
        "page        = \"4-2-1\"\nfeature     = \"cam-journal\"\nreduction   = \"average\"\nnew     \
         \x20   = [1.3720, 1.3730]\nwear-amount = 0.0010\n",
        "new     = [1.3720, 1.3730]\nservice = \"replace\"\n",
        "labels      = [\"A\", \"ring 2\"]\nnew-max     = 0.0080\nservice-max = 0.0120\ntwin        \
         = { unit = \"mm\", new-max = 0.203 }\n",
        "exact = 16\n",
    ] {
        assert!(text.contains(piece), "{piece}\nis not in\n{text}");
    }
}

#[test]
fn a_grade_is_a_row_of_its_line() {
    let names = FIT.replacen("ref,", "ref,grade,", 1);
    let table = format!(
        "{DOCUMENT}{names}C,,cam,fit,cam-journal,1.3720,1.3730,,cam-bore,1.3745,1.3760,,0.0015L,\
         0.0040L,\nC,0.010 under,,,,1.3620,1.3630,,,1.3645,1.3660,,,,\n"
    );
    let text = sound(&table);
    assert!(
        text.ends_with(
            "\n[line.grades.\"0.010 under\"]\nshaft = { new = [1.3620, 1.3630] }\nbore  = { new = \
             [1.3645, 1.3660] }\n"
        ),
        "{text}"
    );
    let odd = table.replace("C,0.010", "B,0.010") + "C,0.010 under,a name,size,,,,,,,,,,,\n";
    faults(
        &(odd + "C,0.010 under,,,,,,,,,,,0.0010L,,\n,0.020,,,,,,,,,,,,,\n"),
        &[
            "t.csv:8:A: there is no line B above this grade; the line itself first, then its grades",
            "t.csv:9:C: a grade has no name; empty the cell, or look at the kind of the line",
            "t.csv:9:D: a grade of kind size on a line of kind fit; fit, or leave it out",
            "t.csv:10:B: the grade 0.010 under of C stands twice; keep one of the two; also \
             t.csv:9:B (the first)",
            "t.csv:11:B: a grade without a ref; the ref of the line that has this grade",
        ],
    );
}

const AGAIN: &str = "set the column to text and type it again as the document prints it";

/// One fault of each kind, each at its cell, all at once.
#[test]
fn wrong_cells_of_every_kind_are_told_at_once() {
    let rows = [
        "C,cam,fit,cam-jornal,\"1,3720\",1.3730,1.3715,cam-bore,1.3745,1.3760,,0.0015,0.0040L,",
        "D,04-Feb,fit,cam-journal,1E-04,01/02/2003,May-24,cam-bore,1.3745 in,1.376O,#N/A,\
         \"0,0015L\",-0.0040,replace",
        "E,cam,fitt,cam-journal,.3720,1.3.7,1.3715L,cam-bore,=1+1,1.37305,2024-05-01,0.0015L,1e3L,",
        "F,,fit,cam-journal,1.3740,1.3730,,,1.3745,1.3760,,0.0040L,0.0015L,",
        "C,cam,recorded,,,,,,,,,,,0.0050L",
        "H,cam,recorded",
        "I,cam,recorded,,,,,,,,,,,,,more",
        "J,\"cam\" shaft,recorded,,,,,,,,,,,",
        "K,\"two\nrows\",recorded,,,,,,,,,,,",
        "L,cam,fit,cam-bore,,,,cam-journal,,,,,,",
    ];
    let again = |text: &str| text.replace("AGAIN", AGAIN);
    let expected: Vec<String> = [
        "t.csv:7:D: there is no feature cam-jornal; did you mean cam-journal",
        "t.csv:7:E: a comma typed for the point: 1,3720; write 1.3720 with a point",
        "t.csv:7:L: 0.0015 without L or T; \"0.0015L\" for loose, \"0.0015T\" for tight",
        "t.csv:8:B: 04-Feb: a spreadsheet has made a date of this cell; AGAIN",
        "t.csv:8:E: 1E-04: a spreadsheet has written this figure with an exponent; AGAIN",
        "t.csv:8:F: 01/02/2003: a spreadsheet has made a date of this cell; AGAIN",
        "t.csv:8:G: May-24: a spreadsheet has made a date of this cell; AGAIN",
        "t.csv:8:I: in behind a figure; digits only: 1.3745",
        "t.csv:8:J: O behind a figure; digits only: 1.376",
        "t.csv:8:K: #N/A is what a spreadsheet shows where it has no value; put right what stands \
         behind it and save the table again",
        "t.csv:8:L: a comma typed for the point: 0,0015L; write 0.0015L with a point",
        "t.csv:8:M: a fit with a minus sign; \"0.0040T\" for tight",
        "t.csv:8:N: a fit that is replaced; it is a part that is replaced: write it in the column of \
         that part's wear",
    ]
    .iter()
    .map(|text| again(text))
    .collect();
    let (_, told) = taken(&fits(&(rows.join("\n") + "\n")));
    let found: Vec<&String> = told
        .iter()
        .filter(|line| line.starts_with("t.csv:7:") || line.starts_with("t.csv:8:"))
        .collect();
    assert_eq!(found, expected.iter().collect::<Vec<_>>(), "{told:#?}");
    let rest: Vec<String> = [
        "t.csv:9:C: \"fitt\" is not a choice for kind; \"fit\"; the choices are \"fit\", \"size\", \
         \"roundness\", \"taper\", \"reading\", \"spread\", \"feeler\", \"count\", \"recorded\"",
        "t.csv:9:E: the digits before the point of .3720 are missing; type every digit, the whole \
         inch or millimetres too",
        "t.csv:9:F: 1.3.7: a spreadsheet has made a date of this cell; AGAIN",
        "t.csv:9:G: 1.3715L where no fit stands: only a fit is loose or tight; digits only: 1.3715",
        "t.csv:9:I: =1+1 is a formula; save the values, not the formulas",
        "t.csv:9:K: 2024-05-01: a spreadsheet has made a date of this cell; AGAIN",
        "t.csv:9:M: 1e3 is not a reading: it has an exponent; the digits as they were read, such as \
         1.3731",
        "t.csv:10:B: a line of kind fit without its name; such as camshaft in crankcase",
        "t.csv:10:E: printed high to low: 1.3740 to 1.3730; the lower first: [1.3730, 1.3740]",
        "t.csv:10:H: a line of kind fit without its bore feature; such as cam-journal",
        "t.csv:10:L: printed loose to tight: 0.0040L to 0.0015L; the tighter first: [\"0.0015L\", \
         \"0.0040L\"]",
        "t.csv:11:A: the reference C stands twice; one line for each reference; also t.csv:7:A (the \
         first)",
        "t.csv:11:N: a line of kind recorded has no fit service; empty the cell, or look at the kind \
         of the line",
        "t.csv:12:C: 3 cells where the columns are 14; an empty cell for each that is absent",
        "t.csv:13:O: 16 cells where the columns are 14; a text with commas stands in quotes; a \
         figure has a point",
        "t.csv:14:B: a quote that is not closed, or text behind one that is; a cell with quotes \
         stands in quotes, each of its own doubled: \"a 3\"\" bolt\"",
        "t.csv:15:B: a text of several lines; write it on one line",
        "t.csv:16:D: cam-bore is not a shaft; a feature of kind = \"shaft\"",
        "t.csv:16:H: cam-journal is not a bore; a feature of kind = \"bore\"",
    ]
    .iter()
    .map(|text| again(text))
    .collect();
    let found: Vec<&String> = told.iter().skip(expected.len()).collect();
    assert_eq!(found, rest.iter().collect::<Vec<_>>(), "{told:#?}");
}

#[test]
fn columns_that_are_unknown_doubled_or_missing_are_told() {
    let row = "C,a,fit,b,c,d\n";
    faults(
        &format!("{DOCUMENT}ref,nmae,kind,shaft feture,remarks,ref\n{row}"),
        &[
            "t.csv:6:B: there is no column nmae; did you mean name",
            "t.csv:6:D: there is no column shaft feture; did you mean shaft feature",
            "t.csv:6:E: there is no column remarks; (remarks) in brackets where it is the shop's own",
            "t.csv:6:F: the column ref stands twice; keep one of the two; also t.csv:6:A (the first)",
        ],
    );
    faults(
        &format!(
            "{DOCUMENT}ref,kind,,shaft feature\nC,fit,stray,cam-journal\nD,fit,,cam-journal\n"
        ),
        &[
            "t.csv:6:A: the column name is missing; add it: every row needs it",
            "t.csv:6:A: the column bore feature is missing; add it: row 7 needs it",
            "t.csv:7:C: stray under no name; name the column in the row that names the others",
        ],
    );
    faults(
        &format!("{DOCUMENT}ref,name,kind\n"),
        &["t.csv:6:A: no row below the columns; a row for each line of the table"],
    );
}

#[test]
fn the_document_stands_above_the_columns() {
    let body = "ref,name,kind\nB,studs,recorded\n";
    let padded = DOCUMENT.replace('\n', ",,,,\n");
    assert!(sound(&format!("{padded}document date,2024-05-01\n{body}")).contains("2024-05-01"));
    faults(
        &format!(
            "document title,A,B\ndocument titel,A\ndocument title,C\ndocument unit,cm\n{body}"
        ),
        &[
            "t.csv:1:C: a second value of document title; one cell: a text with commas stands in \
             quotes",
            "t.csv:2:A: document titel says nothing of a document; did you mean document title",
            "t.csv:3:A: document title stands twice; keep one of the two; also t.csv:1:A (the first)",
            "t.csv:4:B: \"cm\" is not a choice for unit; one of \"in\", \"mm\"",
            "t.csv:5:A: document number is missing; a row above the columns: document number, then \
             OM-4",
            "t.csv:5:A: document revision is missing; a row above the columns: document revision, \
             then 7",
            "t.csv:5:A: document resolution is missing; a row above the columns: document \
             resolution, then 0.0001",
        ],
    );
}

/// A comma in a figure moves all that follows to the next column: told even
/// where only an empty cell falls off the end.
#[test]
fn a_row_that_is_shifted_is_told() {
    let names = "ref,grade,name,kind,new max,service max,part\n";
    // Nothing is said of the grade of a line that could not be taken.
    faults(
        &format!("{DOCUMENT}{names}A,,play,reading,0,0120,,\nA,0.010 under,,,,,\n"),
        &["t.csv:7:H: 8 cells where the columns are 7; a text with commas stands in quotes; a \
           figure has a point"],
    );
}

/// Blank rows count, whatever ends them; lines within a cell do not.
#[test]
fn rows_are_counted_as_a_spreadsheet_counts_them() {
    let table = format!(
        "{DOCUMENT}\n\nref,(note),name,kind\nA,\"two\nlines\",studs,recorded\n\n,,,\nB,,studs,\n"
    );
    for end in ["\n", "\r\n", "\r"] {
        faults(&table.replace('\n', end), &["t.csv:12:D: a line without its kind; such as fit"]);
    }
}

/// Texts with quotes and backslashes are kept letter by letter.
#[test]
fn texts_are_kept_letter_by_letter() {
    let table =
        format!("{DOCUMENT}ref,name,kind\nA,\"a 3\"\" \\stud, é\",recorded\nB,4\" stud,recorded\n");
    let (read, told) = taken(&table);
    assert!(told.is_empty(), "{told:?}");
    let (text, limits) = read.expect("limits");
    let names: Vec<&str> = limits.lines.iter().map(|line| line.name.as_str()).collect();
    assert_eq!(names, ["a 3\" \\stud, é", "4\" stud"]);
    assert!(text.contains(r#"name = "a 3\" \\stud, é""#), "{text}");
}

/// The table of limits/README.md goes through with the demonstration's engine.
#[test]
fn the_table_of_the_chapter_goes_through() {
    let chapter = include_str!("../../limits/README.md");
    let (_, after) = chapter.split_once("```text\n").expect("a table");
    let (table, _) = after.split_once("```").expect("its end");
    let mut files = Sources::default();
    files.put("engine.toml", include_str!("../../demo/engine.toml"));
    files.put("t.csv", table);
    let mut out = Diags::new();
    let engine = load::engine(&files, "engine.toml", &mut out).expect("an engine");
    let read = spreadsheet::from_table(&mut files, "t.csv", Some(&engine), &mut out);
    assert!(out.is_empty(), "{:?}", out.plain(&files));
    assert!(read.expect("limits").0.contains("wear = 1.3715"));
}

#[test]
fn what_is_no_table_is_told() {
    for nothing in ["", "\n\n", "ref", "\u{feff}", "\"ref,name"] {
        let (_, told) = taken(nothing);
        assert_eq!(told.len(), 1, "{nothing:?} {told:?}");
        assert!(told[0].contains("no cells"), "{told:?}");
    }
    let (_, told) = taken(DOCUMENT);
    assert!(told[0].starts_with("t.csv:1:A: no row that names the columns"), "{told:?}");
    let wide = ",".repeat(1 << 20);
    let long = format!("{DOCUMENT}ref,grade\n{}", "A,x\n".repeat(1 << 18));
    let blank = format!("{DOCUMENT}{}", "\n".repeat(1 << 23));
    let quotes = "\"".repeat(1 << 23);
    for (table, what) in [
        (wide, "rows or 1000 columns"),
        (long, "more than 10000 rows"),
        (blank, "no row that names the columns"),
        (format!("a,{quotes}"), "there is no column"),
        ("x,".repeat(9 << 20), "larger than 16 MiB"),
    ] {
        let (_, told) = taken(&table);
        assert!(told.iter().any(|line| line.contains(what)), "{what}: {:.300?}", told);
    }
}

/// Columns are named as a spreadsheet names them: after Z comes AA.
#[test]
fn columns_go_by_letters() {
    for (column, letters) in
        [(4, "D"), (26, "Z"), (27, "AA"), (52, "AZ"), (53, "BA"), (702, "ZZ"), (703, "AAA")]
    {
        let commas = ",".repeat(column - 3);
        let table = format!("{DOCUMENT}ref,name,kind{commas}\nB,a,recorded{commas}x\n");
        let told = format!(
            "t.csv:7:{letters}: x under no name; name the column in the row that names the others"
        );
        faults(&table, &[&told]);
    }
}

/// Every key that a line may have is a column by itself, or a pair whose two
/// ends are: a key of a kind that no cell can hold falls here.
#[test]
fn every_key_of_a_line_has_a_column() {
    fn walk(shape: &'static Shape, above: &[&'static str], seen: &mut usize) {
        for key in shape.rows() {
            let path = [above, &[key.name]].concat();
            let column = spreadsheet::COLUMNS.iter().find(|column| column.path == path);
            *seen += 1;
            match key.kind {
                // Limits at some places stay in the limits file, and are told there.
                Kind::Named(_) if key.name == "places" => assert!(column.is_none()),
                Kind::Table(inner) => walk(inner, &path, seen),
                Kind::Named(inner) => walk(inner, above, seen),
                Kind::Pair | Kind::FitPair => {
                    let single = |end| shape.key(&format!("{}-{end}", key.name)).is_some();
                    assert!(column.is_none() && single("min") && single("max"), "{path:?}");
                }
                Kind::Text
                | Kind::Texts
                | Kind::TextOrTexts
                | Kind::Choice(_)
                | Kind::Flag
                | Kind::Whole
                | Kind::Figure
                | Kind::FigureOrText
                | Kind::Entry
                | Kind::FitLimit
                | Kind::Other(_, [Kind::Pair, Kind::Choice(_)]) => {
                    let column = column.unwrap_or_else(|| panic!("{path:?} has no column"));
                    let same = |a: &Kind, b: &Kind| format!("{a:?}") == format!("{b:?}");
                    assert!(same(&column.key.kind, &key.kind), "{path:?} is of two kinds");
                }
                kind => panic!("{path:?} is {kind:?}: no cell is read as that"),
            }
        }
    }
    let mut seen = 0;
    LINE.kinds.iter().for_each(|(_, shape)| walk(shape, &[], &mut seen));
    assert!(seen > 150, "{seen}");
    let mut names: Vec<&str> =
        spreadsheet::COLUMNS.iter().map(|column| column.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), spreadsheet::COLUMNS.len());
}
