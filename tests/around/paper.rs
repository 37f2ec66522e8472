//! Tags, the strip for openings and the blind sheets, as they are printed.

use crate::cli::Script;
use std::collections::BTreeSet;
use std::process::Command;

/// What zbar reads on a page of a PDF.
fn codes(job: &Script, pdf: &str, page: usize) -> BTreeSet<String> {
    let n = page.to_string();
    let drawn = Command::new("pdftoppm")
        .args(["-r", "200", "-gray", "-png", "-singlefile", "-f", &n, "-l", &n, pdf, "page"])
        .current_dir(job.folder())
        .status();
    assert!(
        drawn.is_ok_and(|status| status.success()),
        "pdftoppm is missing: tests/run installs it"
    );
    let read = Command::new("zbarimg")
        .args(["--quiet", "--raw", "page.png"])
        .current_dir(job.folder())
        .output()
        .expect("zbarimg is missing: tests/run installs it");
    String::from_utf8_lossy(&read.stdout).lines().map(str::to_owned).collect()
}

/// What zbar reads on one tag, cut out along its lines (tenths of a
/// millimetre from the page's corner).
fn cut(job: &Script, pdf: &str, page: usize, [x, y, w, h]: [u32; 4]) -> Vec<String> {
    let n = page.to_string();
    // 254 dots an inch are ten a millimetre.
    let args = [
        "-r",
        "254",
        "-gray",
        "-png",
        "-singlefile",
        "-f",
        &n,
        "-l",
        &n,
        "-x",
        &x.to_string(),
        "-y",
        &y.to_string(),
        "-W",
        &w.to_string(),
        "-H",
        &h.to_string(),
        pdf,
        "tag",
    ]
    .map(str::to_owned);
    let drawn = Command::new("pdftoppm").args(args).current_dir(job.folder()).status();
    assert!(drawn.is_ok_and(|status| status.success()));
    let read = Command::new("zbarimg")
        .args(["--quiet", "--raw", "tag.png"])
        .current_dir(job.folder())
        .output()
        .expect("zbarimg is missing: tests/run installs it");
    String::from_utf8_lossy(&read.stdout).lines().map(str::to_owned).collect()
}

#[test]
fn tags_cut_from_a_page_carry_their_codes() {
    let job = Script::blank();
    job.run("tags job").status(0).says("tags.pdf: 12 pages, 95 tags");
    let set = job.read("job/readings.toml");
    let set = set.lines().find_map(|line| line.strip_prefix("sheet-set = \"")).expect("a set");
    let set = set.split('"').next().expect("its number").to_owned();
    // The second page of an A4 set: four rows of two, 46 mm tall, the first
    // under the head.
    let text = job.words("job/tags.pdf");
    let page = text.split('\u{c}').nth(1).expect("a second page");
    let codes: Vec<&str> = ["T3E", "T4N", "T4E", "TL1N", "TL1E", "TL2N", "TL2E", "TL3N"].to_vec();
    for code in &codes {
        assert!(page.contains(&format!("{set}/{code}")), "{code} is not on page 2:\n{page}");
    }
    for (n, code) in codes.iter().enumerate() {
        let (column, row) = (n as u32 % 2, n as u32 / 2);
        let area = [250 + column * 883, 470 + row * 460, 880, 460];
        assert_eq!(cut(&job, "job/tags.pdf", 2, area), [format!("{set}/{code}")], "tag {n}");
    }
    assert!(self::codes(&job, "job/tags.pdf", 1).contains(&format!("{set}/TAG/1")));
    job.run("tags job --paper Letter --out letter").status(0);
}

#[test]
fn parts_set_aside_are_told_apart_in_black_and_white() {
    let job = Script::first();
    job.run("tags job --set-aside").status(0).says("2 quarantine tags, 2 scrap tags");
    let set = job.read("job/readings.toml");
    let set = set.lines().find_map(|line| line.strip_prefix("sheet-set = \"")).expect("a set");
    let set = set.split('"').next().expect("its number").to_owned();
    let pdf = "job/tags-set-aside.pdf";
    let read = self::codes(&job, pdf, 1);
    for code in ["C2/Q", "3/S", "TL2E/S"] {
        assert!(read.contains(&format!("{set}/{code}")), "{code}: {read:?}");
    }
    // The share of black in the band of a tag of each kind: hatched about a
    // white field, and black about white letters.
    let black = |x: u32, y: u32| {
        let _ = cut(&job, pdf, 1, [x, y, 830, 90]);
        let page = std::fs::read(job.path("tag.png")).expect("a picture");
        let mut picture =
            png::Decoder::new(std::io::Cursor::new(page)).read_info().expect("a picture");
        let mut shades = vec![0; picture.output_buffer_size().expect("a size")];
        let frame = picture.next_frame(&mut shades).expect("a frame");
        let shades = &shades[..frame.buffer_size()];
        shades.iter().filter(|shade| **shade < 128).count() * 100 / shades.len()
    };
    let text = job.words(pdf);
    assert!(text.contains("QUARANTINE") && text.contains("SCRAP"), "{text}");
    let (first, third) = (black(276, 485), black(276, 485 + tag_height(&job, pdf)));
    assert!((15..55).contains(&first), "quarantine {first} %");
    assert!(third > 75, "scrap {third} %");
    for word in ["airworthy", "certified", "conforms", "rebuilt", "overhauled"] {
        assert!(!text.contains(word), "{word}");
    }
    let job = Script::blank();
    job.run("tags job --set-aside").status(0).says("nothing was written");
    assert!(!job.path("job/tags-set-aside.pdf").exists());
}

/// From one tag's band to the next below it, in tenths of a millimetre: the
/// words stand at the same height in each.
fn tag_height(job: &Script, pdf: &str) -> u32 {
    let out = Command::new("pdftotext")
        .args(["-bbox", "-f", "1", "-l", "1", pdf, "-"])
        .current_dir(job.folder())
        .output()
        .expect("pdftotext is missing: tests/run installs it");
    let text = String::from_utf8_lossy(&out.stdout).into_owned();
    let top = |word: &str| -> f64 {
        let line = text.lines().find(|line| line.contains(&format!(">{word}<"))).expect("a band");
        let value = line.split("yMin=\"").nth(1).and_then(|rest| rest.split('"').next());
        value.and_then(|value| value.parse().ok()).expect("a figure")
    };
    ((top("SCRAP") - top("QUARANTINE")) * 254.0 / 72.0).round() as u32
}

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
        "shaft = { by = \"\", on = \"\", gauge = \"\", zero = \"--\" }",
        "shaft = { by = \"JA\", on = 2026-03-06, gauge = \"MIC-2\", zero = \"vv\" }",
        1,
    );
    let sheet = sheet.replacen(
        "bore = { by = \"\", on = \"\", gauge = \"\", zero = \"--\" }",
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
