//! What a report may carry: the files of its job and an earlier report, which
//! may carry another, and nothing else. Each is made as `report` makes it, from
//! the least job, so that every byte of it is accounted for.

use benchleaf::diag::{Diags, Sources};
use benchleaf::proof::{Earlier, How, Proof, press, read, verify};

use super::press::fonts;

#[path = "../fuzz/small.rs"]
mod small;

fn pressed(files: &Sources, earlier: Option<&Earlier>) -> Vec<u8> {
    let mut out = Diags::new();
    let (case, set) = read(files, &mut out).expect("read");
    let how = How { earlier, ..How::default() };
    let pressed = press(files, (&case, &set), fonts(), how, &mut out);
    pressed.unwrap_or_else(|| panic!("{:?}", out.plain(files))).bytes
}

fn proved(report: &[u8]) -> Proof {
    verify(report, &[], fonts()).expect("within bounds")
}

#[test]
fn a_carried_file_that_no_job_has_is_told() {
    let mut files = small::files();
    let proof = proved(&small::signed(fonts()));
    assert!(proof.good(), "{:?}", proof.findings);
    // Made anew it would be carried again, and be the same byte for byte.
    files.put("release.toml", "airworthy = true\n");
    let report = pressed(&files, None);
    let proof = proved(&report);
    let bad: Vec<_> = proof.findings.iter().filter(|finding| !finding.good).collect();
    assert_eq!(bad.len(), 1, "{:?}", proof.findings);
    let words = "release.toml is carried as a file of the job, which has none of that name";
    assert_eq!((bad[0].about.as_str(), bad[0].words.as_str()), ("attachments", words));
    assert!(!proof.good());
}

#[test]
fn sixteen_reports_are_carried_within_each_other_and_no_more() {
    let mut files = small::files();
    let mut report = small::signed(fonts());
    let job = files.0.get("job.toml").expect("the job").to_string();
    let named = job.replacen("[job]\n", "[job]\nearlier = \"earlier.pdf\"\n", 1);
    files.put("job.toml", named);
    let too_many = "too many reports are carried within each other";
    for within in 1..=17 {
        let earlier = Earlier { name: "earlier.pdf".to_owned(), bytes: report };
        report = pressed(&files, Some(&earlier));
        if ![1, 16, 17].contains(&within) {
            continue;
        }
        let proof = proved(&report);
        let said: Vec<&str> = proof.findings.iter().map(|one| one.words.as_str()).collect();
        let told = proof.findings.iter().find(|one| one.about == "earlier report");
        let told = told.expect("the earlier report is proved");
        assert_eq!(proof.content_good(), within <= 16, "{within}: {said:?}");
        assert_eq!(told.words.contains(too_many), within > 16, "{within}: {said:?}");
    }
}
