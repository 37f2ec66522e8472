//! Wear between two jobs, and recall over a folder of reports.

use super::planted;
use crate::cli::Script;

/// The demonstration, and the same engine 640.5 h later.
pub fn later() -> Script {
    let job = Script::demo();
    job.run("unpack job/report-signed.pdf later").status(0);
    let text = job.read("later/job.toml");
    job.write("later/job.toml", text.replacen("1,894.6 h", "2,535.1 h", 1));
    let text = job.read("later/readings.toml");
    // The new camshaft was left at 1.3733, 1.3733 and 1.3732, 1.3732.
    let changes = [
        ("C", "C1.shaft = [1.3731, 1.3730]", "C1.shaft = [1.3721, 1.3722]"),
        ("M", "M1.shaft = [2.2478, 2.2477]", "M1.shaft = [2.2478, 2.2482]"),
        ("M", "M3.shaft = [2.2483, 2.2482]", "M3.shaft = [2.2484, 2.2482]"),
        ("M", "M1.bore = [2.2512, 2.2514]", "M1.bore = [2.2515, 2.2515]"),
    ];
    job.write("later/readings.toml", planted(&text, &changes));
    job
}

#[test]
fn wear_is_told_with_its_rounding_and_growth_is_asked() {
    let job = later();
    let ran = job.run("wear job/report-signed.pdf later").status(1);
    // 0.0012 * 100 / 640.5 = 0.000187353... by hand; nearest at five decimals.
    let ran = ran
        .says("640.5 h since the earlier job")
        .says("rounded to the nearest at one decimal beyond the readings, halves away from zero")
        .says_on_a_line(&[
            "C1 shaft",
            "1.3733 1.3733 to 1.3721 1.3722",
            "worn 0.0012, 0.00019 per 100 h",
        ])
        .says_on_a_line(&["M1 bore", "worn 0.0003, 0.00005 per 100 h"])
        .says("B 0.0005 larger than it was left: a misreading");
    // Two micrometers of 0.0001: 0.0001 is within the root of their squares.
    ran.says("A 0.0001 larger than it was left: within the uncertainty of both")
        .says("1 to be asked about");
    // Nothing is compared where a reading is in question.
    job.run("wear later job/report-signed.pdf").says("no wear per hundred hours");
}

#[test]
fn another_engine_is_refused() {
    let job = later();
    let text = job.read("later/job.toml");
    job.write("later/job.toml", text.replacen("TW4-00317", "TW4-00318", 1));
    job.run("wear job later").status(2).complains("not one engine");
}

#[test]
fn recall_over_a_thousand_reports_names_what_it_cannot_read() {
    let job = Script::demo();
    let folder = job.path("archive");
    for year in 0..10 {
        let year = folder.join(format!("{}", 2020 + year));
        std::fs::create_dir_all(&year).expect("a folder");
        for n in 0..100 {
            let to = year.join(format!("report-{n:03}.pdf"));
            std::fs::hard_link(job.path("job/report-signed.pdf"), to).expect("a report");
        }
    }
    let bytes = job.bytes("job/report-signed.pdf");
    job.write("archive/2024/torn.pdf", &bytes[..bytes.len() / 2]);
    job.write("archive/2025/other.pdf", job.bytes("job/sheets.pdf"));
    let ran = job.run("recall archive --gauge MIC-2B --since 2026-03-06").status(1);
    let ran = ran.says("1000 of 1000 reports; 1 could not be read, 1 PDF file is no report");
    ran.complains("torn.pdf").says_on_a_line(&[
        "report-042.pdf",
        "TW4-00317",
        "C2 shaft again, 2026-03-06",
    ]);
    job.run("recall archive --gauge MIC-77").status(1).says("0 of 1000 reports");
}

#[test]
fn recall_by_date_revision_and_batch() {
    let job = Script::demo();
    std::fs::create_dir(job.path("archive")).expect("a folder");
    std::fs::copy(job.path("job/report-signed.pdf"), job.path("archive/a.pdf")).expect("a report");
    job.run("recall archive --gauge MIC-2B --since 2026-03-07").status(0).says("0 of 1 report");
    job.run("recall archive --gauge MIC-2B").status(0).says("1 of 1 report");
    job.run("recall archive --gauge mic-9").status(0).says("0 of 1");
    job.run("recall archive --limits 7").status(0).says("1 of 1").says("OM-4 7");
    job.run("recall archive --limits 'OM-4 8'").status(0).says("0 of 1");
    job.run("recall archive --batch B0702").status(0).says_on_a_line(&["1815"]);
    job.run("recall archive --batch B1008").status(0).says_on_a_line(&["hydraulic-units at 2EX"]);
    job.run("recall archive").status(2);
    job.run("recall nowhere --limits 7").status(2).complains("nowhere");
}
