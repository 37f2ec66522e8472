//! Readable snapshots of finished pages: a layout change shows in review as
//! lines that moved. `BLESS=1` writes them anew.

use benchleaf::bundle;
use benchleaf::diag::{Diags, Sources};
use benchleaf::layout::mark::{Area, Document, Mark, Page, Pen, Point, Step};
use benchleaf::pages::worksheet::lay_sheets;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// An engine of the tests as a job's files.
fn files(folder: &Path, limits: &Path) -> Sources {
    let mut files = Sources::default();
    let mut put = |name: &str, path: PathBuf| {
        let text = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path:?}: {error}"));
        files.put(name, text);
    };
    put("engine.toml", folder.join("engine.toml"));
    put("limits.toml", limits.to_owned());
    put("job.toml", folder.join("job.toml"));
    let before = folder.starts_with(root().join("tests/engines"));
    for entry in fs::read_dir(root().join(crate::load::demo::forms_of(before))).expect("the forms")
    {
        let path = entry.expect("a form").path();
        let name = path.file_name().and_then(|name| name.to_str()).expect("a name").to_owned();
        if name.ends_with(".toml") {
            put(&format!("forms/{name}"), path);
        }
    }
    files
}

fn sheets(folder: &str, limits: &str) -> Document {
    let files = files(&root().join(folder), &root().join(limits));
    let mut out = Diags::new();
    let read = bundle::read(&files, &mut out);
    let (_, set) = read.unwrap_or_else(|| panic!("{}", out.plain(&files).join("\n")));
    let laid = lay_sheets(&set, None, &mut out);
    laid.unwrap_or_else(|| panic!("{}", out.plain(&files).join("\n"))).0
}

/// A page as text: a line a mark, millimetres.
fn told(page: &Page) -> String {
    let mut text =
        format!("page {} {} x {}\n", page.label, page.width.to_mm(), page.height.to_mm());
    page.marks.iter().for_each(|mark| tell(mark, &mut text));
    text
}

fn at(point: Point) -> String {
    format!("{} {}", point.x.to_mm(), point.y.to_mm())
}

fn over(area: &Area) -> String {
    format!("{} {} {} x {}", area.x.to_mm(), area.y.to_mm(), area.w.to_mm(), area.h.to_mm())
}

fn drawn(pen: &Pen) -> String {
    format!("{:.2}pt {:?}", pen.weight.to_pt(), pen.dash)
}

fn tell(mark: &Mark, text: &mut String) {
    let _ = match mark {
        Mark::Run(run) => writeln!(
            text,
            "text {} {:?} {:.1} {:?} | {}",
            at(run.at),
            run.face,
            run.size.to_pt(),
            run.align,
            run.text
        ),
        Mark::Line { from, to, pen } => {
            writeln!(text, "line {} to {} {}", at(*from), at(*to), drawn(pen))
        }
        Mark::Rect { area, pen, fill } => {
            let pen = pen.as_ref().map(drawn).unwrap_or_default();
            writeln!(text, "box {} {pen}{}", over(area), if *fill { " filled" } else { "" })
        }
        Mark::Hatch { area } => writeln!(text, "hatch {}", over(area)),
        Mark::Path { steps, fill, .. } => {
            let first = steps.iter().find_map(|step| match step {
                Step::To(point) => Some(at(*point)),
                _ => None,
            });
            let steps = steps.len();
            writeln!(
                text,
                "path {} {steps} steps{}",
                first.unwrap_or_default(),
                if *fill { " filled" } else { "" }
            )
        }
        Mark::Stamp { at: point, stamp } => writeln!(text, "stamp {} {}", at(*point), stamp.name),
        Mark::Field { area, field } => writeln!(text, "field {} {}", over(area), field.name),
    };
}

/// Marks without the QR code's squares and without set numbers, which change
/// with any limit.
fn compare(name: &str, document: &Document, pages: &[usize]) {
    let told: String = pages.iter().map(|n| told(&document.pages[*n])).collect();
    let told: String = told
        .lines()
        .filter(|line| !is_square(line))
        .fold(String::new(), |all, line| all + line + "\n");
    let path = root().join("tests/marks").join(format!("{name}.txt"));
    if std::env::var_os("BLESS").is_some() {
        fs::write(&path, &told).expect("a snapshot is written");
        return;
    }
    let kept = fs::read_to_string(&path).unwrap_or_default();
    let differing = kept.lines().zip(told.lines()).enumerate().find(|(_, (old, new))| old != new);
    if let Some((n, (old, new))) = differing {
        panic!("{name}, mark {}:\n  was {old}\n  is  {new}\nBLESS=1 keeps what is now", n + 1);
    }
    assert_eq!(kept.lines().count(), told.lines().count(), "{name}: marks were added or lost");
}

fn is_square(line: &str) -> bool {
    line.starts_with("box ") && line.ends_with(" filled") && line.contains(" 0.8")
}

/// The first page of the sheet with this letter.
fn first(document: &Document, letter: &str) -> usize {
    let titled =
        document.bookmarks.iter().find(|mark| mark.title.split([' ', ':']).next() == Some(letter));
    titled.unwrap_or_else(|| panic!("no sheet {letter}")).page
}

#[test]
fn sheets_of_the_demonstration() {
    let document = sheets("demo", "limits/tw4-h8.toml");
    for letter in ["C", "P", "K", "RN", "EP"] {
        compare(&format!("demo-{letter}"), &document, &[first(&document, letter)]);
    }
    compare("demo-index", &document, &[0]);
}

#[test]
fn sheets_on_letter_paper_in_another_engine() {
    let document = sheets("tests/engines/two-in", "tests/engines/two-in/limits.toml");
    compare("two-in-C", &document, &[first(&document, "C")]);
}

#[test]
fn a_moved_mark_is_seen() {
    let document = sheets("demo", "limits/tw4-h8.toml");
    let mut page = document.pages[first(&document, "C")].clone();
    let before = told(&page);
    if let Some(Mark::Run(run)) = page.marks.iter_mut().find(|mark| matches!(mark, Mark::Run(_))) {
        run.at.x += benchleaf::layout::length::Len::mm(0.2);
    }
    assert_ne!(before, told(&page));
}
