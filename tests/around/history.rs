//! A job that names an earlier one of its engine: the wear in its report.

use super::archive::later;
use crate::cli::Script;

/// The later job with the signed report of the earlier one in its folder.
fn named() -> Script {
    let job = later();
    job.write("later/earlier/report-0417.pdf", job.bytes("job/report-signed.pdf"));
    let own = "owner         = \"Marram Air Tours\"";
    job.replace("later/job.toml", own, &format!("{own}\nearlier = \"report-0417.pdf\""));
    job
}

#[test]
fn the_report_shows_wear_since_the_earlier_job() {
    let job = named();
    // Status 1: a journal that has grown is asked about.
    let ran = job.run("report later").status(1);
    ran.says("later/report.pdf").says_on_a_line(&["wear: M1 shaft: B 0.0005 larger"]);
    let words = job.words("later/report.pdf");
    let plain = words.split_whitespace().collect::<Vec<_>>().join(" ");
    let section = plain.find("Against job 0417, sheet set").expect("the section");
    let plain = &plain[section..plain.len().min(section + 4000)];
    // 0.0012 * 100 / 640.5 = 0.000187353... by hand; nearest at five decimals.
    for said in [
        "640.5 h since the earlier job (1894.6 h to 2535.1 h); per hundred hours rounded to the nearest at one decimal beyond the readings, halves away from zero",
        "C1 shaft camshaft journal, propeller end 1.3733 1.3733 1.3721 1.3722 0.0012 0.00019",
        "Asked: M1 shaft, main journal, propeller end: B 0.0005 larger",
        "Measure again",
        "asked: see above",
    ] {
        assert!(plain.contains(said), "{said}:\n{plain}");
    }
    let shown: serde_json::Value = {
        job.run("unpack later/report.pdf out").status(0);
        serde_json::from_str(&job.read("out/verdicts.json")).expect("verdicts")
    };
    let rows = shown["wear"]["rows"].as_array().expect("rows of wear");
    let own = |boxes: &str| rows.iter().find(|row| row["boxes"] == boxes).expect("a row");
    assert_eq!(own("C1 shaft")["per_100_h"], "0.00019");
    assert_eq!(own("M1 shaft")["asked"], true);
}

#[test]
fn such_a_report_is_proved_and_its_folder_makes_it_again() {
    let job = named();
    job.run("report later").status(1);
    let ran = job.run("verify later/report.pdf").status(1);
    ran.says("made anew, the same byte for byte")
        .says_on_a_line(&["good", "earlier report: report-0417.pdf: 2 of 2 signatures good"])
        .says("nobody has signed");
    job.run("unpack later/report.pdf out").status(0);
    assert!(job.bytes("out/earlier/report-0417.pdf") == job.bytes("job/report-signed.pdf"));
    job.run("report out").status(1);
    assert!(job.bytes("out/report.pdf") == job.bytes("later/report.pdf"));
    job.run("report later --paper Letter --out letter.pdf").status(1);
    job.run("verify letter.pdf").says("made anew, the same byte for byte");
    // One byte of the earlier report other than it was when it was signed.
    let mut bytes = job.bytes("job/report-signed.pdf");
    let at = bytes.windows(8).position(|part| part == b"Inspecti").unwrap_or(bytes.len() / 2);
    bytes[at] ^= 1;
    job.write("later/earlier/report-0417.pdf", &bytes);
    if job.run("report later --out altered.pdf").code != Some(2) {
        let ran = job.run("verify altered.pdf").status(1);
        ran.says_on_a_line(&["NOT GOOD", "earlier report"]);
    }
}

#[test]
fn an_earlier_report_that_will_not_do_is_told_at_its_line() {
    let job = named();
    std::fs::remove_file(job.path("later/earlier/report-0417.pdf")).expect("removed");
    let ran = job.run("report later").status(2);
    ran.complains("job.toml:16").complains("put it into earlier/");
    job.missing("later/report.pdf");
    job.write("later/earlier/report-0417.pdf", job.bytes("job/sheets.pdf"));
    job.run("report later").status(2).complains("engine.toml is missing");
    job.write("later/earlier/report-0417.pdf", job.bytes("job/report-signed.pdf"));
    let text = job.read("later/job.toml");
    job.write("later/job.toml", text.replacen("TW4-00317", "TW4-00318", 1));
    job.run("report later").status(2).complains("not one engine");
    job.write("later/job.toml", text.replacen("\"report-0417.pdf\"", "\"../report-0417.pdf\"", 1));
    job.run("check later").status(2).complains("by its name alone");
}
