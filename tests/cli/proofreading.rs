//! `limits`: a table proof-read against itself and its engine.

use super::Script;

const CAM: &str = "new = [\"0.0010L\", \"0.0035L\"], service = \"0.0050L\"";

/// The demonstration's limits with the camshaft's fit published otherwise.
#[track_caller]
fn published(fit: &str) -> Script {
    let job = Script::demo();
    let text = job.read("job/limits.toml");
    let start = text.find("ref   = \"C\"").expect("line C");
    let at = text[start..].find(CAM).expect("its fit") + start;
    let changed = format!("{}{fit}{}", &text[..at], &text[at + CAM.len()..]);
    job.write("job/limits.toml", changed);
    job
}

#[test]
fn the_demonstration_reads_clean() {
    let job = Script::demo();
    let ran = job.run("limits job/limits.toml").status(0);
    assert!(ran.err.is_empty(), "{}", ran.err);
}

#[test]
fn ranges_before_anything_is_measured() {
    let job = Script::demo();
    job.run("limits job/limits.toml")
        .says_on_a_line(&["OK with any serviceable mate", "1.3720", "1.3765"])
        .says_on_a_line(&["OK with a new mate only", "1.3715", "1.3770"])
        .says_on_a_line(&["wear limit", "1.3715", "1.3770"])
        // The tappet: no wear limit of the shaft, so no such bore.
        .says_on_a_line(&["OK with any serviceable mate", "0.8730", "cannot be stated"]);
}

/// A document that gives a direct reading to three decimals has a gauge of three:
/// the line is asked whether it lacks its own resolution, before anybody is asked
/// for a digit that no gauge shows.
#[test]
fn limits_coarser_than_their_readings_are_noted() {
    let job = Script::demo();
    let own = "new  = [0.0030, 0.0080]\nservice-max = 0.0120\n";
    let coarse = "new  = [0.003, 0.008]\nservice-max = 0.012\n";
    let limits = job.read("job/limits.toml");
    assert_eq!(limits.matches(own).count(), 1);
    job.write("job/limits.toml", limits.replace(own, coarse));
    job.run("limits job/limits.toml --quiet")
        .status(0)
        .complains("line EC: its limits have 3 decimals and it is read to 4")
        .complains("resolution = \"0.001\" in the line where its gauge reads no finer");
    for said in [format!("{coarse}resolution = \"0.0001\"\n"), coarse.replace("0.012", "0.0120")] {
        job.write("job/limits.toml", limits.replace(own, &said));
        assert!(job.run("limits job/limits.toml --quiet").status(0).err.is_empty(), "{said}");
    }
}

/// What a line says without typing it stands under it, for whoever looks: what
/// it is, of which part, at which places, in which way, with which gauge.
#[test]
fn what_is_meant_and_not_typed_is_shown() {
    let script = Script::new();
    script.run("new job --like flat-twin").status(0);
    let limits = script.read("job/limits.toml");
    let twist = "{ ref = \"RT\", name = \"connecting rod twist\", part = \"connecting-rods\"";
    let [head, _] = [0, 1].map(|n| limits.split("[[line]]").nth(n).expect("a piece"));
    let fit = "ref = \"N\"\nname = \"pin\"\nshaft = { feature = \"pin-centre\", new = [1.3000, \
               1.3010] }\nbore = { feature = \"rod-bush-bore\", new = [1.3020, 1.3030] }\nfit = { \
               new = [\"0.0010L\", \"0.0030L\"] }\n";
    assert!(limits.contains(twist));
    let lines = format!(
        "{head}[[line]]\n{fit}\n[[line]]\nway = \"alignment\"\nlines = [{twist}, new-max = 0.01 }}]\n"
    );
    script.write("job/limits.toml", &lines);
    let shown = "reading of connecting rods, at cylinder: 2 rows; way alignment; read with dial \
                 indicator, mandrels in both eyes";
    script
        .run("limits job/limits.toml")
        .status(0)
        .says(&format!("\n  {shown}\n"))
        .says("\n  fit, at cylinder: 2 rows\n")
        .complains("no line measures main-journal");
    // Without the folder's forms the ways are the program's own.
    script.write("alone/limits.toml", &lines);
    script.run("limits alone/limits.toml --engine job/engine.toml").status(0).says(shown);
    // One reading for all, and readings at places that are not the part's.
    let once = lines.replace("part = \"conn", "at = \"-\", part = \"conn");
    script.write("job/limits.toml", once);
    script.run("limits job/limits.toml").says("reading of connecting rods: 1 row; way alignment");
    script
        .write("job/limits.toml", lines.replace("part = \"conn", "at = \"valve\", part = \"conn"));
    script
        .run("limits job/limits.toml")
        .status(0)
        .says("at valve: 4 rows")
        .complains("line RT is read at valve, and connecting-rods sits at cylinder")
        .complains("a change of one opens every row");
}

/// A grade's own limits under its name, worked by hand: the shells' bore 2.2445
/// to 2.2460 and greatest fit 0.0055 let a journal go to 2.2460 - 0.0055 = 2.2405
/// with any new mate, 2.2390 with the best, which its wear limit 2.2400 clips. A
/// bore goes to 2.2420 + 0.0055 = 2.2475 and 2.2485, which its new limit clips.
#[test]
fn the_ranges_of_a_grade_stand_under_its_name() {
    let job = Script::demo();
    let out = job.run("limits job/limits.toml").status(0).out;
    let (_, after) = out.split_once("\n  grade 0.006 undersize\n").expect("the grade");
    let table = after.split("\n\n").next().expect("its lines");
    let row = |word: &str| {
        let line = table.lines().find(|line| line.trim_start().starts_with(word));
        let line = line.unwrap_or_else(|| panic!("no {word} in\n{table}"));
        line.trim().trim_start_matches(word).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert_eq!(row("new "), "2.2420 2.2460");
    assert_eq!(row("OK with a new mate only"), "2.2405 2.2475 → 2.2460");
    assert_eq!(row("OK with a selected new mate only"), "2.2390 → 2.2400 2.2485 → 2.2460");
}

#[test]
fn wider_than_the_parts_allow_is_refused_unless_agreed() {
    let wide = "new = [\"0.0010L\", \"0.0040L\"], service = \"0.0050L\"";
    let job = published(wide);
    job.run("limits job/limits.toml").status(2).complains("0.0010 L to 0.0035 L");
    job.run("sheets job").status(2);
    let text = job.read("job/limits.toml");
    let at = text.find("ref   = \"C\"").expect("line C");
    job.write(
        "job/limits.toml",
        format!("{}agreed = \"maker's letter of 3 May\"\n{}", &text[..at], &text[at..]),
    );
    job.run("limits job/limits.toml").status(0);
    job.sheets();
    let words = job.words("job/sheets.pdf");
    assert!(words.contains("letter of 3 May"), "not printed on the sheet");
}

#[test]
fn narrower_is_selective_assembly() {
    let job = published("new = [\"0.0012L\", \"0.0030L\"], service = \"0.0050L\"");
    job.run("limits job/limits.toml").status(0).complains("selective").never_complains("fault");
}

#[test]
fn a_fit_without_its_side_is_refused() {
    let job = published("new = [\"0.0010\", \"0.0035L\"], service = \"0.0050L\"");
    job.run("limits job/limits.toml").status(2).complains("0.0010L").complains("limits.toml");
}

#[test]
fn a_feature_that_does_not_exist_is_named() {
    let job = Script::demo();
    let text = job.read("job/limits.toml");
    job.write("job/limits.toml", text.replacen("\"cam-journal\"", "\"cam-jornal\"", 1));
    job.run("limits job/limits.toml").status(2).complains("cam-jornal").complains("cam-journal");
}

#[test]
fn a_leaf_that_the_shop_lacks_is_named() {
    let job = Script::demo();
    let text = job.read("job/job.toml");
    let line = text.lines().find(|line| line.starts_with("leaves")).expect("leaves");
    job.write("job/job.toml", text.replacen(line, "leaves = [0.0009, 0.003, 0.004, 0.005]", 1));
    job.run("sheets job").status(2).complains("leaf").complains("0.0009").complains("0.0020");
}
