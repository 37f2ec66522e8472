//! Every tag of the demonstration read by zbar at 150 dots an inch in greys,
//! on its page and cut out of it; and the strip in large print.

use crate::cli::Script;
use std::collections::BTreeSet;
use std::process::Command;

/// The pages of a PDF as grey pictures in a folder of their own.
pub fn scanned(job: &Script, pdf: &str, folder: &str) -> Vec<String> {
    std::fs::create_dir(job.path(folder)).expect("a folder");
    let drawn = Command::new("pdftoppm")
        .args(["-r", "150", "-gray", "-png", pdf, &format!("{folder}/page")])
        .current_dir(job.folder())
        .status();
    let drawn = drawn.is_ok_and(|status| status.success());
    assert!(drawn, "pdftoppm is missing: tests/run installs it");
    let listed = std::fs::read_dir(job.path(folder)).expect("pages");
    let name = |entry: std::fs::DirEntry| format!("{folder}/{}", entry.file_name().display());
    let mut pages: Vec<String> = listed.filter_map(Result::ok).map(name).collect();
    pages.sort();
    pages
}

/// What zbar reads on a picture, however often.
pub fn zbar(job: &Script, picture: &str) -> BTreeSet<String> {
    let read = Command::new("zbarimg")
        .args(["--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", picture])
        .current_dir(job.folder())
        .output()
        .expect("zbarimg is missing: tests/run installs it");
    String::from_utf8_lossy(&read.stdout).lines().map(str::to_owned).collect()
}

/// The words of a page that look like what a code says.
fn printed(page: &str) -> BTreeSet<String> {
    page.split_whitespace()
        .filter(|word| word.contains('/') && word.find('-') == Some(4))
        .map(str::to_owned)
        .collect()
}

/// A part of a grey picture, in dots.
pub fn cut(job: &Script, page: &str, [x, y, w, h]: [u32; 4]) -> String {
    let file = std::fs::File::open(job.path(page)).expect("a page");
    let mut reader = png::Decoder::new(std::io::BufReader::new(file)).read_info().expect("a PNG");
    let mut all = vec![0; reader.output_buffer_size().expect("a size")];
    let info = reader.next_frame(&mut all).expect("a picture");
    // Greys may be told in one sample a dot or in three alike.
    let samples = info.line_size / info.width as usize;
    let dot = |x: u32, y: u32| all[y as usize * info.line_size + x as usize * samples];
    let part: Vec<u8> =
        (y..y + h).flat_map(|y| (x..x + w).map(move |x| (x, y))).map(|(x, y)| dot(x, y)).collect();
    let file = std::fs::File::create(job.path("tag.png")).expect("a file");
    let mut writer = png::Encoder::new(file, w, h);
    writer.set_color(png::ColorType::Grayscale);
    writer.write_header().and_then(|mut to| to.write_image_data(&part)).expect("a tag");
    "tag.png".to_owned()
}

/// In dots of a 150 dpi scan, from tenths of a millimetre.
pub fn dots(tenths: u32) -> u32 {
    tenths * 150 / 254
}

#[test]
fn every_code_of_every_page_is_read_and_of_every_tag_cut_out() {
    let job = Script::blank();
    job.run("tags job").status(0).says("tags.pdf: 10 pages, 96 tags");
    let text = job.words("job/tags.pdf");
    let mut all = BTreeSet::new();
    let pages = scanned(&job, "job/tags.pdf", "a4");
    assert_eq!(pages.len(), 10);
    for (page, words) in pages.iter().zip(text.split('\u{c}')) {
        let (said, read) = (printed(words), zbar(&job, page));
        assert_eq!(read, said, "{page}");
        let mut once = BTreeSet::new();
        // Rows of two, 46 mm tall, the first under the head.
        for n in 0..10 {
            let (column, row) = (n % 2, n / 2);
            let area = [250 + column * 883, 426 + row * 460, 880, 460].map(dots);
            let found = zbar(&job, &cut(&job, page, area));
            assert!(found.len() == 1 || (page == &pages[9] && n >= 6), "{page} tag {n}: {found:?}");
            once.extend(found);
        }
        let heads: Vec<&String> = said.difference(&once).collect();
        assert!(heads.len() == 1 && heads[0].contains("/TAG/"), "{page}: {heads:?}");
        all.extend(once);
    }
    assert_eq!(all.len(), 96, "a code is on two tags");
    let parts = |row: &str| all.iter().filter(|code| code.contains(&format!("/{row}."))).count();
    // Rocker shaft and bush: a row, two parts, two codes. A valve has the code of its
    // first row, its margin's, and its guide that of the fit.
    assert_eq!((parts("I3"), parts("W1IN"), parts("T3EX")), (1, 2, 1), "{all:?}");
    assert!(all.iter().any(|code| code.ends_with("/IM3")), "{all:?}");
    assert!(all.iter().any(|code| code.ends_with("/K1.BORE")), "{all:?}");
}

#[test]
fn tags_on_letter_paper_are_read_too() {
    let job = Script::blank();
    job.run("tags job --paper Letter --out letter").status(0).says("96 tags");
    let text = job.words("letter/tags.pdf");
    let pages = scanned(&job, "letter/tags.pdf", "pages");
    for (page, words) in pages.iter().zip(text.split('\u{c}')) {
        assert_eq!(zbar(&job, page), printed(words), "{page}");
    }
}
