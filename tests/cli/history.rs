//! Rows over the jobs of their engine, drawn.

use super::Script;
use crate::archive::alter::{holding, in_place};
use crate::around::later;
use benchleaf::diag::Diags;
use benchleaf::judge::{Beyond, State};
use benchleaf::layout::mark::{Area, Dash, Mark};
use benchleaf::model::job::Paper;
use benchleaf::pages::history::{Heading, lay_history};
use benchleaf::quantity::{Exact, Length, Unit};
use benchleaf::report::history::{Bands, Course, Point, Reading};
use benchleaf::report::table::Verified;

/// The demonstration's reports, and the same engine's 640.5 h later.
fn shelf() -> Script {
    let job = later();
    job.write("shelf/0417.pdf", job.bytes("job/report-signed.pdf"));
    job.write("shelf/unsigned.pdf", job.bytes("job/report.pdf"));
    job.replace("later/job.toml", "\"0417\"", "\"0533\"");
    job.run("report later --out shelf/0533.pdf");
    job
}

#[test]
fn a_row_is_drawn_with_its_figures_once_a_job() {
    let job = shelf();
    job.run("history shelf --row C1 -o c1.pdf")
        .status(0)
        .says("c1.pdf: 1 page, 1 row of 3 reports");
    let words = job.words("c1.pdf").split_whitespace().collect::<Vec<_>>().join(" ");
    // Bore 1.3752 and 1.3753; journal 1.3731, 1.3730 as found and a new one of
    // 1.3733 as left; worn to 1.3721, 1.3722 in the later job.
    for said in [
        "C1 camshaft in crankcase, propeller end, in",
        "1 0417 1894.6 0.0021 to 0.0023 L 0.0019 to 0.0020 L",
        "2 0533, 2535.1 0.0030 to 0.0032 L",
        "unsigned",
        "1894.6 h to 2535.1 h since new",
    ] {
        assert!(words.contains(said), "{said}:\n{words}");
    }
    // Of the report and its signed copy the good one stands.
    assert_eq!(words.matches("0417").count(), 1, "{words}");
    job.run("history shelf --serial TW4-00317 --line C -o c.pdf").status(0).says("3 rows");
    job.run("history shelf --serial TW4-00318 -o none.pdf")
        .status(2)
        .complains("no report has such");
    job.run("history shelf -o none.pdf").status(2);
    job.missing("none.pdf");
    job.run("history shelf --row c2 --paper Letter -o c2.pdf").status(0);
    let words = job.words("c2.pdf").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("0.0050 to 0.0052 L out 0.0035 to 0.0036 L"), "{words}");
}

#[test]
fn a_report_that_is_not_good_is_named_and_not_drawn() {
    let job = shelf();
    let bytes = job.bytes("job/report-signed.pdf");
    let part = holding(&bytes, &["benchleaf-verdicts-2"]);
    let text = String::from_utf8(part.plain.clone()).expect("text");
    let forged =
        text.replacen("\"state\":\"within service limits\"", "\"state\":\"within new limits\"", 1);
    job.write("shelf/0417.pdf", in_place(&bytes, &part, std::iter::once(forged.into_bytes())));
    std::fs::remove_file(job.path("shelf/unsigned.pdf")).expect("removed");
    job.write("shelf/torn.pdf", &bytes[..40_000]);
    let ran = job.run("history shelf --row C1").status(1).says("1 row of 1 report");
    ran.complains("0417.pdf: not good: verdicts").complains("torn.pdf: cannot be read");
    let words = job.words("history.pdf").split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("Not drawn: shelf/0417.pdf: not good: verdicts"), "{words}");
    assert!(words.contains("Not drawn: shelf/torn.pdf: cannot be read"), "{words}");
    assert!(!words.contains("1894.6"), "{words}");
}

fn figure(text: &str) -> Exact {
    Exact::read(text).expect("a figure")
}

fn reading(least: &str, most: &str, state: State) -> Option<Reading> {
    Some(Reading { least: figure(least), most: figure(most), state })
}

fn point(job: &str, hours: &str, found: Option<Reading>, left: Option<Reading>) -> Point {
    let new = [Some(figure("0.0010")), Some(figure("0.0035"))];
    let accepted = [new[0], Some(figure("0.0050"))];
    Point {
        job: job.to_owned(),
        hours: Some(figure(hours)),
        on: None,
        verified: Verified::Good,
        order: (2, String::new()),
        limits: Bands { new, accepted },
        words: "new 0.0010 L to 0.0035 L, service to 0.0050 L".to_owned(),
        found,
        left,
    }
}

/// The marks of one course on a page.
fn marks(points: Vec<Point>) -> Vec<Mark> {
    let course = Course {
        engine: "E".to_owned(),
        serial: "1".to_owned(),
        code: "C2".to_owned(),
        what: "camshaft in crankcase".to_owned(),
        unit: Unit::Length(Length::Inch),
        fits: true,
        places: 4,
        points,
    };
    let heading =
        Heading { from: String::new(), left_out: Vec::new(), date: "2026-03-24".to_owned() };
    let mut out = Diags::new();
    let document = lay_history(&[course], &heading, Paper::A4, &mut out).expect("pages");
    assert_eq!(document.pages.len(), 1);
    document.pages[0].marks.clone()
}

/// Hollow and solid markers from left to right, in micrometres.
fn markers(marks: &[Mark]) -> [Vec<Area>; 2] {
    let small = |area: &Area| area.w.to_mm() < 3.0;
    let mut found = [Vec::new(), Vec::new()];
    for mark in marks {
        if let Mark::Rect { area, fill, .. } = mark
            && small(area)
        {
            found[usize::from(*fill)].push(*area);
        }
    }
    found.iter_mut().for_each(|areas| areas.sort_by_key(|area| area.x));
    found
}

/// Heights of the level lines of that weight across the plot, top first.
fn limits(marks: &[Mark], points: f64) -> Vec<f64> {
    let mut lines: Vec<f64> = marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Line { from, to, pen } => {
                let own = (pen.weight.to_pt() - points).abs() < 0.05 && pen.dash == Dash::Solid;
                let wide = from.y == to.y && (40.0..100.0).contains(&(to.x - from.x).to_mm());
                (own && wide).then_some(from.y.to_mm())
            }
            _ => None,
        })
        .collect();
    lines.sort_by(f64::total_cmp);
    lines.dedup();
    lines
}

#[test]
fn every_figure_stands_where_its_limits_say() {
    let out = State::Out(vec![Beyond { side: "loose".to_owned(), by: Some(figure("0.0002")) }]);
    let marks = marks(vec![
        point(
            "1",
            "100",
            reading("0.0050", "0.0052", out),
            reading("0.0035", "0.0040", State::Service),
        ),
        point("2", "200", reading("0.0010", "0.0035", State::New), None),
        point(
            "3",
            "500",
            reading("0.0060", "0.0061", State::Query),
            reading("0.0010", "0.0015", State::New),
        ),
    ]);
    let heavy = limits(&marks, 1.6);
    let [new_high, new_low] = heavy[..] else { panic!("{heavy:?}") };
    let service = limits(&marks, 0.7).into_iter().find(|y| *y < new_high - 1.0);
    let service = service.expect("the service limit above the new one");
    let near = |a: f64, b: f64| assert!((a - b).abs() < 0.06, "{a} and {b}");
    // 0.0015 above 0.0025.
    near((new_high - service) * 25.0, (new_low - new_high) * 15.0);
    let [hollow, solid] = markers(&marks);
    assert_eq!((hollow.len(), solid.len()), (2, 2), "a reading in query is not drawn");
    let foot = |area: &Area| (area.y + area.h).to_mm();
    let step = (new_low - new_high) / 25.0;
    // Found out: from the service limit to two steps above it. The line of a
    // hollow marker stays inside it.
    let line = 0.14;
    near(foot(&hollow[0]) + line, service);
    near(hollow[0].y.to_mm() - line, service - 2.0 * step);
    near(hollow[1].y.to_mm() - line, new_high);
    near(foot(&hollow[1]) + line, new_low);
    near(foot(&solid[0]), new_high);
    near(solid[0].y.to_mm(), new_high - 5.0 * step);
    near(foot(&solid[1]), new_low);
    // 100, 200, 500 h: the last job is four times as far as the second.
    let along = (hollow[1].x - hollow[0].x).to_mm();
    near((solid[1].x - solid[0].x).to_mm(), along * 4.0);
    // Nothing is hatched under what was found out.
    for mark in &marks {
        if let Mark::Hatch { area } = mark {
            let clear = area.x + area.w <= hollow[0].x
                || area.x >= hollow[0].x + hollow[0].w
                || area.y + area.h <= hollow[0].y
                || area.y >= hollow[0].y + hollow[0].h;
            assert!(clear, "{area:?}");
        }
    }
}

#[test]
fn jobs_without_hours_stand_one_after_another() {
    let mut points: Vec<Point> = ["100", "200", "500"]
        .iter()
        .map(|hours| point(hours, hours, None, reading("0.0020", "0.0030", State::New)))
        .collect();
    points[2].hours = None;
    let marks = marks(points);
    let [_, solid] = markers(&marks);
    assert_eq!(solid[1].x - solid[0].x, solid[2].x - solid[1].x);
    let said: String = marks.iter().flat_map(Mark::runs).map(|run| run.text.to_string()).collect();
    assert!(said.contains("not every job says its hours since new"), "{said}");
}
