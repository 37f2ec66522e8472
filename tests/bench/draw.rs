//! Time and size of drawing a packet: 30 dense pages, each of 200 runs, 300
//! lines and 100 combs. With a path, the packet is written there to look at.

use std::sync::Arc;
use std::time::{Duration, Instant};

use benchleaf::layout::length::Len;
use benchleaf::layout::mark::{
    Align, Area, Bookmark, Dash, Document, Face, Mark, Page, Pen, Point, Run, Stamp,
};
use benchleaf::pdf::document::draw;
use benchleaf::pdf::{Attachment, Relationship, conform, prepare};

const ROUNDS: usize = 40;
const PAGES: usize = 30;

fn main() {
    let start = Instant::now();
    println!("typefaces parsed in {:.2?}", start.elapsed());
    let packet = packet(PAGES);
    let (bytes, times) = measure(&packet);
    report(&bytes, &times);
    let (bytes, times) = measure(&self::packet(1));
    println!("one page: {} bytes, median {:.2?}", bytes.len(), times[ROUNDS / 2].0);
    if let Some(path) = std::env::args().skip(1).find(|a| !a.starts_with("--")) {
        let (bytes, _) = measure(&packet);
        std::fs::write(path, bytes).expect("a path to write to");
    }
}

/// The bytes, and for each round the whole time and that of drawing alone.
fn measure(packet: &Document) -> (Vec<u8>, Vec<(Duration, Duration)>) {
    let carried = [Attachment {
        name: "record.toml".to_string(),
        bytes: b"C1.shaft = [1.3731, 1.3730]\n".repeat(400).into(),
        mime: "application/toml".to_string(),
        relationship: Relationship::Provenance,
        description: "what was measured".to_string(),
    }];
    let mut times = Vec::new();
    let mut bytes = Vec::new();
    for _ in 0..ROUNDS {
        let start = Instant::now();
        let pdf = draw(packet).expect("drawable");
        let drawn = start.elapsed();
        bytes = conform(pdf, packet, carried.clone().map(prepare).into()).expect("fit");
        times.push((start.elapsed(), drawn));
    }
    times.sort();
    (bytes, times)
}

fn report(bytes: &[u8], times: &[(Duration, Duration)]) {
    let (whole, drawn) = times[ROUNDS / 2];
    println!(
        "{PAGES} pages: median {whole:.2?} (drawing {drawn:.2?}), best {:.2?}, {} bytes a page",
        times[0].0,
        bytes.len() / PAGES
    );
}

fn at(x: f64, y: f64) -> Point {
    Point { x: Len::mm(x), y: Len::mm(y) }
}

const MINOR: Pen = Pen { weight: Len::pt(0.5), dash: Dash::Solid };

fn packet(pages: usize) -> Document {
    let comb = Arc::new(comb());
    Document {
        title: "Packet of worksheets".to_string(),
        subject: "timing".to_string(),
        author: "The shop".to_string(),
        language: "en".to_string(),
        date: "2025-03-09".to_string(),
        pages: (0..pages).map(|n| page(n, &comb)).collect(),
        bookmarks: (0..pages)
            .map(|page| Bookmark {
                level: (page % 3 > 0).into(),
                title: format!("Sheet {page}"),
                page,
            })
            .collect(),
    }
}

fn comb() -> Stamp {
    let cell = |n: i32| Mark::Rect {
        area: Area { x: Len::mm(5.6) * n, y: Len::ZERO, w: Len::mm(5.6), h: Len::mm(8.6) },
        pen: Some(MINOR),
        fill: false,
    };
    Stamp {
        name: "comb of four".to_string(),
        size: (Len::mm(22.4), Len::mm(8.6)),
        marks: (0..4).map(cell).collect(),
    }
}

fn page(number: usize, comb: &Arc<Stamp>) -> Page {
    let mut marks = Vec::new();
    for n in 0..200_usize {
        let (column, row) = (n % 4, n / 4);
        marks.push(Mark::Run(Run {
            at: at(25.0 + 45.0 * column as f64, 12.0 + 5.4 * row as f64),
            text: words(number * 200 + n).into(),
            face: [Face::Regular, Face::Bold, Face::Code, Face::Italic][n % 4],
            size: Len::pt(8.0),
            align: if column == 3 { Align::Right } else { Align::Left },
            white: false,
            turn: 0,
        }));
    }
    for n in 0..300_usize {
        let y = 10.0 + 0.9 * n as f64;
        marks.push(Mark::Line {
            from: at(25.0 + (n % 7) as f64, y),
            to: at(200.0 - (n % 11) as f64, y),
            pen: Pen { weight: Len::pt([0.5, 0.7, 1.4][n / 100]), dash: Dash::Solid },
        });
    }
    for n in 0..100_usize {
        marks.push(Mark::Stamp {
            at: at(25.0 + 26.0 * (n % 6) as f64, 14.0 + 15.0 * (n / 6) as f64),
            stamp: Arc::clone(comb),
        });
    }
    Page { width: Len::mm(210.0), height: Len::mm(297.0), marks, label: format!("{}", number + 1) }
}

/// Some words of the trade with a number, never twice the same.
fn words(n: usize) -> String {
    const PLACES: [&str; 7] = [
        "propeller end",
        "accessory end",
        "main journal",
        "piston pin boss",
        "thrust face",
        "crankpin",
        "tappet bore",
    ];
    format!("{} {}.{:04} {}", PLACES[n % 7], n % 9, n * 37 % 10_000, n % 23)
}
