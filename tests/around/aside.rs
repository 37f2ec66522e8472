//! Tags for parts set aside, as they are printed.

use super::tags::{cut, dots, scanned, zbar};
use crate::cli::Script;
use std::process::Command;

#[test]
fn parts_set_aside_are_told_apart_in_black_and_white() {
    let job = Script::first();
    job.run("tags job --set-aside").status(0).says("2 quarantine tags, 3 scrap tags");
    let set = job.read("job/readings.toml");
    let set = set.lines().find_map(|line| line.strip_prefix("sheet-set = \"")).expect("a set");
    let set = set.split('"').next().expect("its number").to_owned();
    let pdf = "job/tags-set-aside.pdf";
    let pages = scanned(&job, pdf, "pages");
    let read = zbar(&job, &pages[0]);
    for code in ["C2/Q", "IP/3/S", "L/L6/S"] {
        assert!(read.contains(&format!("{set}/{code}")), "{code}: {read:?}");
    }
    // The share of black in the band of a tag of each kind: hatched about a
    // white field, and black about white letters.
    let black = |x: u32, y: u32| {
        let _ = cut(&job, &pages[0], [x, y, 830, 90].map(dots));
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
    let (first, third) = (black(276, 441), black(276, 441 + tag_height(&job, pdf)));
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
