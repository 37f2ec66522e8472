//! Scans of filled sheets into the archive. The scans are the printed sheets
//! themselves, drawn by poppler and packed as scanners pack them.

use std::io::Write;
use std::process::Command;

use flate2::Compression;
use flate2::write::ZlibEncoder;

use super::script::Script;
use crate::archive::hostile::pdf;

/// A page of grey dots.
pub struct Scan {
    pub width: usize,
    pub height: usize,
    pub dots: Vec<u8>,
}

impl Script {
    /// A printed page as poppler draws it.
    pub fn drawn(&self, pdf: &str, page: usize, dots_an_inch: u32) -> Scan {
        let (page, fine) = (page.to_string(), dots_an_inch.to_string());
        let run = Command::new("pdftoppm")
            .args(["-gray", "-r", &fine, "-f", &page, "-l", &page, pdf])
            .current_dir(self.folder())
            .output()
            .expect("pdftoppm is missing: tests/run installs it");
        let mut from = 0;
        let mut words = Vec::new();
        while words.len() < 4 {
            let end =
                from + run.stdout[from..].iter().position(u8::is_ascii_whitespace).expect("a head");
            words.push(String::from_utf8_lossy(&run.stdout[from..end]).into_owned());
            from = end + 1;
        }
        assert_eq!(words[0], "P5");
        let side = |n: usize| words[n].parse().expect("a number");
        Scan { width: side(1), height: side(2), dots: run.stdout[from..].to_vec() }
    }
}

impl Scan {
    pub fn upside_down(mut self) -> Scan {
        self.dots.reverse();
        self
    }

    fn sideways(self) -> Scan {
        let (width, height) = (self.height, self.width);
        let dot = |at: usize| self.dots[(height - 1 - at / width) + (at % width) * self.width];
        Scan { width, height, dots: (0..width * height).map(dot).collect() }
    }

    /// Each dot the mean of those around it, as of a lens out of focus.
    fn blurred(self) -> Scan {
        let (w, h) = (self.width, self.height);
        let mean = |at: usize| {
            let (x, y) = (at % w, at / w);
            let mut sum = 0;
            for row in y.saturating_sub(1)..=(y + 1).min(h - 1) {
                for column in x.saturating_sub(1)..=(x + 1).min(w - 1) {
                    sum += usize::from(self.dots[row * w + column]);
                }
            }
            (sum / 9).min(255) as u8
        };
        Scan { width: w, height: h, dots: (0..w * h).map(mean).collect() }
    }

    pub fn png(&self) -> Vec<u8> {
        let mut out = Vec::new();
        let mut encoder = png::Encoder::new(&mut out, self.width as u32, self.height as u32);
        encoder.set_color(png::ColorType::Grayscale);
        let mut writer = encoder.write_header().expect("in memory");
        writer.write_image_data(&self.dots).expect("in memory");
        writer.finish().expect("in memory");
        out
    }

    /// One bit a dot, 1 for white.
    fn bits(&self) -> Vec<u8> {
        let rows = self.dots.chunks(self.width);
        let eight = |dots: &[u8]| {
            dots.iter().enumerate().fold(0, |byte, (n, dot)| byte | u8::from(*dot > 127) << (7 - n))
        };
        rows.flat_map(|row| row.chunks(8).map(eight)).collect()
    }

    fn deflated(&self, bits: u32) -> Vec<u8> {
        let plain = if bits == 1 { self.bits() } else { self.dots.clone() };
        let mut encoder = ZlibEncoder::new(Vec::new(), Compression::new(1));
        encoder.write_all(&plain).expect("in memory");
        let packed = encoder.finish().expect("in memory");
        self.picture(
            &format!("/Filter/FlateDecode/ColorSpace/DeviceGray/BitsPerComponent {bits}"),
            &packed,
        )
    }

    fn fax(&self) -> Vec<u8> {
        let mut encoder = fax::encoder::Encoder::new(fax::VecWriter::new());
        for row in self.dots.chunks(self.width) {
            let colours = row
                .iter()
                .map(|dot| if *dot > 127 { fax::Color::White } else { fax::Color::Black });
            encoder.encode_line(colours, self.width as u32).expect("in memory");
        }
        let packed = encoder.finish().expect("in memory").finish();
        let how = format!(
            "/Filter/CCITTFaxDecode/DecodeParms<</K -1/Columns {}>>/ColorSpace/DeviceGray/BitsPerComponent 1",
            self.width
        );
        self.picture(&how, &packed)
    }

    /// As an object of a PDF.
    fn picture(&self, how: &str, packed: &[u8]) -> Vec<u8> {
        let mut object = format!(
            "<</Type/XObject/Subtype/Image/Width {}/Height {}{how}/Length {}>>stream\n",
            self.width,
            self.height,
            packed.len()
        )
        .into_bytes();
        object.extend(packed);
        object.extend(b"\nendstream");
        object
    }
}

/// A PDF as a scanner writes it: a picture a page.
fn scanned(pictures: Vec<Vec<u8>>) -> Vec<u8> {
    let count = pictures.len();
    let kids: String = (0..count).map(|n| format!("{} 0 R ", 3 + n)).collect();
    let mut objects = vec![
        b"<</Type/Catalog/Pages 2 0 R>>".to_vec(),
        format!("<</Type/Pages/Count {count}/Kids[{kids}]>>").into_bytes(),
    ];
    objects.extend((0..count).map(|n| {
        let picture = 3 + count + n;
        format!(
            "<</Type/Page/Parent 2 0 R/MediaBox[0 0 595 842]/Resources<</XObject<</Scan {picture} 0 R>>>>>>"
        )
        .into_bytes()
    }));
    objects.extend(pictures);
    pdf(&objects)
}

fn jpeg(script: &Script, page: usize, dots_an_inch: u32) -> Vec<u8> {
    let (page, fine) = (page.to_string(), dots_an_inch.to_string());
    let run = Command::new("pdftoppm")
        .args(["-jpeg", "-r", &fine, "-f", &page, "-l", &page, "job/sheets.pdf"])
        .current_dir(script.folder())
        .output();
    run.expect("pdftoppm is missing: tests/run installs it").stdout
}

/// Every way of packing, and every fault, on as few pages as show them all.
fn scans(script: &Script) {
    let sheets = "job/sheets.pdf";
    script.write("scans/p1.png", script.drawn(sheets, 1, 150).png());
    script.write("scans/p2.jpg", jpeg(script, 2, 150));
    let third = script.drawn(sheets, 3, 150).upside_down();
    let fourth = script.drawn(sheets, 4, 200);
    let fifth = script.drawn(sheets, 5, 200);
    let sixth = script.drawn(sheets, 6, 150).sideways();
    script.write(
        "scans/many.pdf",
        scanned(vec![third.deflated(8), fourth.deflated(1), fifth.fax(), sixth.deflated(8)]),
    );
    script.write("scans/again.png", script.drawn(sheets, 3, 200).blurred().png());
    let blank = Scan { width: 900, height: 1200, dots: vec![250; 900 * 1200] };
    script.write("scans/blank.png", blank.png());
    script.write("scans/report.png", script.drawn("job/report.pdf", 2, 150).png());
    script.write("scans/torn.jpg", [0xFF, 0xD8, 0xFF, 0xE0]);
    for name in script.listing().iter().filter_map(|name| name.strip_prefix("scans/")) {
        // What the fuzzer of pictures begins from.
        crate::archive::build::keep(
            &format!("scan-{name}"),
            &script.bytes(&format!("scans/{name}")),
        );
    }
    script.write("scans/typed.pdf", script.bytes(sheets).get(..4000).unwrap_or_default());
}

#[test]
fn every_scan_is_matched_or_named() {
    let script = Script::demo();
    scans(&script);
    let ran = script.run("report job --originals scans --out report.pdf").status(1);
    ran.says("record complete")
        .says("originals: 6 of ")
        .says_on_a_line(&["missing: page 7 (", ", 8 ("])
        .says_on_a_line(&["doubled: page 3", "many.pdf page 1", "again.png"])
        .says_on_a_line(&["not matched: blank.png", "no code of squares"])
        .says_on_a_line(&["not matched: report.png", "page 2 of a report"])
        .says_on_a_line(&["not matched: torn.jpg", "JPEG"])
        .says_on_a_line(&["not matched: typed.pdf", "damaged PDF"]);
    let words = script.words("report.pdf");
    for part in ["Original sheets", "Not matched: blank.png", "Missing: page 7"] {
        assert!(words.contains(part), "no '{part}' on the pages");
    }
    crate::archive::build::keep("shop-originals.pdf", &script.bytes("report.pdf"));

    // It proves itself like any other, and can be signed.
    script.bring("demo/throw-away-JA.pem", "ja.pem");
    script.run("sign report.pdf --key ja.pem --as JA --out signed.pdf").status(0);
    script.run("verify signed.pdf").status(0).says_on_a_line(&["good", "pages", "byte for byte"]);
    script.run("unpack signed.pdf out").status(0);
    assert!(script.bytes("out/originals/many.pdf") == script.bytes("scans/many.pdf"));
    script.run("report out").status(1);
    assert!(script.bytes("out/report.pdf") == script.bytes("report.pdf"));
    let verdicts: serde_json::Value =
        serde_json::from_str(&script.read("out/verdicts.json")).expect("JSON");
    let originals = &verdicts["originals"];
    assert_eq!(originals["pages"][3]["scans"][0], "many.pdf page 2");
    assert_eq!(originals["doubled"][0], "3");
    assert_eq!(originals["missing"][0], "7");
    assert_eq!(originals["not_matched"].as_array().map(Vec::len), Some(4));
}

/// Coarse and out of focus: three dots around each to one, once and twice.
#[test]
fn soft_scans_are_read() {
    let script = Script::demo();
    let last = if cfg!(debug_assertions) { 1 } else { 4 };
    let files = (1..=last).flat_map(|page| {
        let soft = |fine| script.drawn("job/sheets.pdf", page, fine).blurred();
        [soft(150), soft(150).blurred().upside_down(), soft(200).sideways()]
    });
    let files = files.enumerate().map(|(n, scan)| (format!("{n:02}.png"), scan.png()));
    for scan in benchleaf::scan::read(files.collect()) {
        assert_eq!(scan.pages[0].codes.len(), 1, "{} is not read", scan.name);
    }
}

#[test]
fn scans_of_another_job_are_named() {
    let script = Script::engine("six-mm");
    script.run("sheets job").in_order();
    let demo = Script::demo();
    script.write("job/originals/other.png", demo.drawn("job/sheets.pdf", 2, 150).png());
    let ran = script.run("report job").status(1);
    ran.says_on_a_line(&["not matched: other.png", "of set", "not of"]).says("originals: 0 of");
}

/// Sheets printed before the limits were revised: those that did not change are
/// what they were; the one that did is named, and neither is foreign.
#[test]
fn scans_of_an_earlier_set_count_where_their_sheet_did_not_change() {
    let script = Script::demo();
    script.run("sheets job --out old").status(0);
    script.replace(
        "job/limits.toml",
        r#"["0.0010L", "0.0035L"], service = "0.0050L" }
page  = "table 7, sheet 1""#,
        r#"["0.0010L", "0.0035L"], service = "0.0055L" }
page  = "table 7, sheet 1""#,
    );
    script.run("sheets job --out new").status(0);
    for (name, from, page) in
        [("index", "old", 1), ("before", "old", 2), ("cam-old", "old", 11), ("cam-new", "new", 11)]
    {
        let scan = script.drawn(&format!("{from}/sheets.pdf"), page, 150);
        script.write(&format!("job/originals/{name}.png"), scan.png());
    }
    let ran = script.run("report job").status(1);
    ran.says("originals: 3 of ")
        .says_on_a_line(&["superseded: cam-old.png", "sheet C", "has changed since and is now"])
        .never_says("not matched")
        .never_says("doubled");
    let words = script.words("job/report.pdf");
    for part in ["before.png (of set", "index.png (of set", "Superseded: cam-old.png"] {
        assert!(words.contains(part), "no '{part}' on the pages");
    }
}

/// The same sheets of the next engine on the bench carry the same sheet numbers.
#[test]
fn scans_of_another_engine_of_the_same_kind_are_foreign() {
    let script = Script::demo();
    script.replace("job/job.toml", "\"TW4-00317\"", "\"TW4-00318\"");
    script.run("sheets job --out other").status(0);
    script.replace("job/job.toml", "\"TW4-00318\"", "\"TW4-00317\"");
    script.write("job/originals/other.png", script.drawn("other/sheets.pdf", 2, 150).png());
    let ran = script.run("report job").status(1);
    ran.says_on_a_line(&["not matched: other.png", "of set", "not of"]).says("originals: 0 of");
}

#[test]
fn scans_of_second_stage_sheets_are_counted() {
    let script = Script::demo();
    script.run("sheets job --second --only C --out second").in_order();
    script
        .write("job/originals/second.png", script.drawn("second/sheets-second.pdf", 1, 150).png());
    let ran = script.run("report job").status(1);
    ran.says("originals: 1 page of second-stage sheets is there").never_says("not matched");
    assert!(script.words("job/report.pdf").contains("C.2"));
}

/// A page more for remarks is its sheet's: nothing is missing without it, and with it
/// nothing is without a page.
#[test]
fn a_scan_of_a_page_for_further_remarks_is_its_sheets() {
    let script = Script::demo();
    script.run("sheets job --remarks K,K --out more").status(0).says("2 pages more for remarks");
    script.write("job/originals/more.png", script.drawn("more/remarks-K.pdf", 2, 150).png());
    let ran = script.run("report job").status(1);
    ran.says("page 2R (K) for further remarks is there").never_says("not matched");
    let words = script.words("job/report.pdf");
    assert!(words.contains("2R") && words.contains("/K/2R/"), "{words}");
    // The transcription that is there is left as it is, and no sheets are printed.
    assert!(!script.path("more/sheets.pdf").exists());
    script.run("sheets job --remarks Y").status(2).complains("no sheet Y");
    script.run("sheets job --remarks K --second").status(2);
}

#[test]
fn what_cannot_be_carried_is_said_and_nothing_is_written() {
    let script = Script::demo();
    let kept = script.keep("job/report.pdf");
    let refuse = |words: &str| {
        script.run("report job --originals scans").status(2).complains(words);
        kept.unchanged();
    };
    refuse("scans");
    script.write("scans/.hidden", "x");
    refuse("no scan in it");
    script.write("scans/notes.txt", "x");
    refuse("notes.txt: not a scan by its name");
    std::fs::remove_file(script.path("scans/notes.txt")).expect("there");
    script.write("scans/A.png", "x").write("scans/a.PNG", "x");
    refuse("in capitals only");
    script.run("report job job --originals scans").status(2).complains("one job");
}
