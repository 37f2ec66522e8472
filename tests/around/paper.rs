//! The strip for openings and the blind sheets, as they are printed.

use crate::cli::Script;

#[test]
fn the_strip_shows_places_reached_through_an_opening() {
    let job = Script::blank();
    job.run("tags job --strip").status(0);
    let words = job.words("job/strip.pdf");
    // The centre main, and the centre and accessory-end cam bores: the bores,
    // which are measured with the case bolted, not the journals.
    for word in ["M2", "C2", "C3", "through a cylinder", "no larger than 1.3770"] {
        assert!(words.contains(word), "{word}:\n{words}");
    }
    assert!(!words.contains("C1") && !words.contains("M3"), "{words}");
}

#[test]
fn a_blind_sheet_shares_no_reading_and_reads_back_to_the_same_rows() {
    let job = Script::first();
    job.run("sheets job --blind --only C").status(0).says("blind-C.pdf");
    let words = job.words("job/blind-C.pdf");
    for reading in ["1.3731", "1.3730", "1.3752", "1.3753", "1.3718", "1.3716", "1.4007"] {
        assert!(!words.contains(reading), "{reading} is printed");
    }
    let (third, first) = (words.find("C3").expect("C3"), words.find("C1").expect("C1"));
    assert!(third < first && words.contains("bore B"), "{words}");
    // Typed as printed: C3 first, B before A.
    let blank = job.read("job/blind.toml");
    let third = blank.find("C3.shaft").expect("C3");
    assert!(third < blank.find("C1.shaft").expect("C1"));
    let typed = blank
        .replacen("C1.shaft = []", "C1.shaft = [1.3730, 1.3731]", 1)
        .replacen("C1.bore = []", "C1.bore = [1.3753, 1.3752]", 1)
        .replacen("C3.shaft = []", "C3.shaft = [1.3727, 1.3728]", 1)
        .replacen("C3.bore = []", "C3.bore = [1.3757, 1.3755]", 1)
        .replacen("C2.shaft = []", "C2.shaft = [1.3717, 1.3718]", 1)
        .replacen("C2.bore = []", "C2.bore = [1.3772, 1.3767]", 1);
    let at = typed.find("\n[C]").expect("sheet C");
    let sheet = typed[at..].replacen(
        "shaft = { by = \"\", on = \"\", gauge = \"\", zero = \"--\", part-temp = \"\" }",
        "shaft = { by = \"JA\", on = 2026-03-06, gauge = \"MIC-2\", zero = \"vv\" }",
        1,
    );
    let sheet = sheet.replacen(
        "bore = { by = \"\", on = \"\", gauge = \"\", zero = \"--\", part-temp = \"\" }",
        "bore = { by = \"TD\", on = 2026-03-06, gauge = [\"TEL-1\", \"MIC-2\"] }",
        1,
    );
    job.write("job/blind.toml", format!("{}{sheet}", &typed[..at]));
    let ran = job.run("compare job job/blind.toml").status(1);
    // 1.4007 against 1.3757, and 1.3768 against 1.3772: 0.0004 is within
    // twice the root of 0.0003 squared and 0.0001 squared, which is 0.00045.
    // TD measured the bores both times.
    let ran = ran.says("2 differences").says_on_a_line(&["C3 bore 2", "1.4007", "1.3757"]);
    let ran = ran.says_on_a_line(&["sheet C bore", "the same person twice"]);
    ran.never_says("C2 ").never_says("C1 ");
    job.run("compare job/blind.toml job").status(2);
    job.run("compare job job/blind.toml --merge merged.toml").status(2);
    job.missing("merged.toml");
}
