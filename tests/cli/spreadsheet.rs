//! `limits --from` and `limits --table`: a table to a limits file and back.

use super::Script;

#[test]
fn limits_go_to_a_table_and_back() {
    let job = Script::demo();
    job.run("limits job/limits.toml --table --out t.csv").status(0).says("t.csv");
    job.run("limits --from t.csv --engine job/engine.toml -o l.toml").status(0).says("l.toml");
    job.bring("demo/engine.toml", "engine.toml");
    let ranges = |file: &str| job.run(&format!("limits {file}")).status(0).out;
    assert_eq!(ranges("l.toml"), ranges("job/limits.toml"));
    // The standard output gets the same, byte for byte.
    assert_eq!(job.run("limits --from t.csv").status(0).out, job.read("l.toml"));
    assert_eq!(job.run("limits l.toml --table").status(0).out, job.read("t.csv"));
    let ran = job.run("limits l.toml --against job/limits.toml").status(0);
    assert!(!ran.out.contains("1.3"), "{}", ran.out);
}

#[test]
fn nothing_that_is_there_is_written_over() {
    let job = Script::demo();
    job.run("limits job/limits.toml --table -o t.csv").status(0);
    let (table, limits) = (job.keep("t.csv"), job.keep("job/limits.toml"));
    job.run("limits job/limits.toml --table -o t.csv").status(2).complains("is there already");
    job.run("limits --from t.csv -o job/limits.toml").status(2).complains("is there already");
    table.unchanged();
    limits.unchanged();
}

#[test]
fn faults_are_told_by_row_and_column_and_nothing_is_written() {
    let job = Script::demo();
    job.run("limits job/limits.toml --table -o t.csv").status(0);
    job.replace("t.csv", "cam-journal,1.3725,1.3735,1.3715", "cam-jornal,\"1,3725\",1.3735,1.3715");
    job.replace("t.csv", "0.0015L,0.0040L,0.0055L", "0.0015,0.0040L,0.0055L");
    let ran = job.run("limits --from t.csv --engine job/engine.toml -o l.toml").status(2);
    ran.complains("t.csv:14:S")
        .complains("0.0015 without L or T")
        .complains("there is no feature cam-jornal")
        .complains("write 1.3725 with a point")
        .complains("3 faults");
    job.missing("l.toml");
}

/// A misprint is told at its cell too, and passes once somebody has agreed.
#[test]
fn a_table_is_proof_read() {
    let job = Script::demo();
    job.run("limits job/limits.toml --table -o t.csv").status(0);
    let row = |text: &str| text.lines().find(|line| line.starts_with("C,")).map(str::to_owned);
    let right = row(&job.read("t.csv")).expect("the camshaft");
    let line = job.read("t.csv").lines().position(|line| *line == right).expect("its line") + 1;
    let wrong = right.replace("0.0010L,0.0035L", "0.0010L,0.0040L");
    job.replace("t.csv", &right, &wrong);
    job.run("limits --from t.csv --engine job/engine.toml -o l.toml")
        .status(2)
        .complains("0.0010 L to 0.0035 L")
        .complains(&format!("t.csv:{line}:S"));
    job.missing("l.toml");
    // A column more, and a cell for it in every row.
    let agreed = |line: &str| match line {
        line if line.starts_with("document ") => line.to_owned(),
        line if line.starts_with("ref,") => format!("{line},agreed"),
        line if line.starts_with("C,") => format!("{line},maker's letter of 3 May"),
        line => format!("{line},"),
    };
    let table: Vec<String> = job.read("t.csv").lines().map(agreed).collect();
    job.write("t.csv", table.join("\n"));
    job.run("limits --from t.csv --engine job/engine.toml -o l.toml").status(0);
    assert!(job.read("l.toml").contains("maker's letter of 3 May"));
}

#[test]
fn without_an_engine_its_names_are_taken_as_typed() {
    let job = Script::demo();
    job.run("limits job/limits.toml --table -o t.csv").status(0);
    job.run("limits --from t.csv").status(0).complains("no engine").complains("1 note");
    // A faulty engine file is told beside the faults of the table.
    job.replace("t.csv", "2.2480", "2,2480");
    job.write("engine.toml", "[engine]\n");
    job.run("limits --from t.csv")
        .status(2)
        .complains("engine.toml")
        .complains("37 cells where the columns are 36");
}

#[test]
fn what_is_no_text_is_refused() {
    let job = Script::new();
    job.write("latin.csv", b"ref,name\nA,\xe9\n");
    job.run("limits --from latin.csv").status(2).complains("line 2 is not UTF-8 text");
    job.write("wide.csv", b"\xff\xfer\0e\0f\0");
    job.run("limits --from wide.csv").status(2).complains("not UTF-8 text");
    job.run("limits --from nowhere.csv").status(2).complains("nowhere.csv");
}

/// A spreadsheet takes a table with letters beyond ASCII for UTF-8 by its mark.
#[test]
fn a_table_with_other_letters_has_a_mark() {
    let job = Script::demo();
    let text = job.read("job/limits.toml").replacen("camshaft in crankcase", "arbre à cames", 1);
    job.write("job/limits.toml", text);
    job.run("limits job/limits.toml --table -o t.csv").status(0);
    assert!(job.bytes("t.csv").starts_with(b"\xef\xbb\xbfdocument"));
    let ran = job.run("limits --from t.csv --engine job/engine.toml").status(0);
    assert!(ran.out.contains("arbre à cames"), "{}", ran.out);
}

#[test]
fn options_that_do_not_go_together_are_refused() {
    let job = Script::demo();
    for line in [
        "limits --from t.csv --table",
        "limits --from t.csv job/limits.toml",
        "limits --from t.csv --against job/limits.toml",
        "limits job/limits.toml --out t.csv",
        "limits job/limits.toml job/limits.toml --table",
        "limits",
    ] {
        job.run(line).status(2);
    }
}
