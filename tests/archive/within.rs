//! What a report may carry: the files of its job and an earlier report, which
//! may carry another, and nothing else. Each is made as `report` makes it, from
//! the least job, so that every byte of it is accounted for.

use benchleaf::bundle::{Earlier, How, Proof, build, job_files, read, verify};
use benchleaf::diag::{Diags, Sources};
use benchleaf::pdf::open;
use benchleaf::sign::verify::report_within;
use std::io::Write;

use flate2::Compression;
use flate2::write::ZlibEncoder;

use super::hostile::pdf;

#[path = "../fuzz/small.rs"]
mod small;

fn built(files: &Sources, earlier: Option<&Earlier>) -> Vec<u8> {
    let mut out = Diags::new();
    let (case, set) = read(files, &mut out).expect("read");
    let how = How { earlier, ..How::default() };
    let built = build(files, (&case, &set), how, &mut out);
    built.unwrap_or_else(|| panic!("{:?}", out.plain(files))).bytes
}

fn proved(report: &[u8]) -> Proof {
    verify(report, &[]).expect("within bounds")
}

#[test]
fn a_carried_file_that_no_job_has_is_told() {
    let mut files = small::files();
    let proof = proved(&small::signed());
    assert!(proof.good(), "{:?}", proof.findings);
    // Made anew it would be carried again, and be the same byte for byte.
    files.put("release.toml", "airworthy = true\n");
    let report = built(&files, None);
    let proof = proved(&report);
    let bad: Vec<_> = proof.findings.iter().filter(|finding| !finding.good).collect();
    assert_eq!(bad.len(), 1, "{:?}", proof.findings);
    let words = "release.toml is carried as a file of the job, which has none of that name";
    assert_eq!((bad[0].about.as_str(), bad[0].words.as_str()), ("attachments", words));
    assert!(!proof.good());
}

/// One stream under so many names, each a form of the job.
fn many_forms(count: usize, content: &[u8]) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::fast());
    encoder.write_all(content).expect("in memory");
    let packed = encoder.finish().expect("in memory");
    let head = format!("<</Type/EmbeddedFile/Filter/FlateDecode/Length {}>>stream\n", packed.len());
    let mut list = String::new();
    let mut files = Vec::new();
    for n in 0..count {
        let name = format!("(forms__{n:02}.toml)");
        list.push_str(&format!("{name} {} 0 R ", n + 5));
        let file =
            format!("<</Type/Filespec/F{name}/UF{name}/EF<</F 4 0 R>>/AFRelationship/Source>>");
        files.push(file.into_bytes());
    }
    let catalog =
        format!("<</Type/Catalog/Pages 2 0 R/Names<</EmbeddedFiles<</Names[{list}]>>>>>>");
    let mut all = vec![
        catalog.into_bytes(),
        b"<</Type/Pages/Kids[3 0 R]/Count 1>>".to_vec(),
        b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 99 99]>>".to_vec(),
        [head.as_bytes(), &packed, b"\nendstream"].concat(),
    ];
    all.extend(files);
    pdf(&all)
}

/// A report of half a megabyte may unpack to as much as there is room for: what
/// is more than a job may have is not read. It says so, and is not good.
#[test]
fn carried_files_larger_than_a_job_are_not_read() {
    let content = b"#\n".repeat(6 << 20);
    for (count, within) in [(5, true), (6, false)] {
        let report = many_forms(count, &content);
        assert!(report.len() < 1 << 20, "{} bytes", report.len());
        let files = job_files(&open(&report).expect("within bounds"));
        assert_eq!(files.0.len(), if within { count } else { 0 });
        let proof = proved(&report);
        let told = "the files of the job are larger together than 64 MiB: not read";
        let said = proof.findings.iter().any(|one| !one.good && one.words == told);
        assert_eq!(said, !within, "{:?}", proof.findings);
        assert!(!proof.good());
    }
}

#[test]
fn sixteen_reports_are_carried_within_each_other_and_no_more() {
    let mut files = small::files();
    let mut report = small::signed();
    let job = files.0.get("job.toml").expect("the job").to_string();
    let named = job.replacen("[job]\n", "[job]\nearlier = \"earlier.pdf\"\n", 1);
    files.put("job.toml", named);
    let too_many = "too many reports are carried within each other";
    for within in 1..=17 {
        let earlier = Earlier { name: "earlier.pdf".to_owned(), bytes: report };
        report = built(&files, Some(&earlier));
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

/// A changed byte is named where it stands, in the words of an object and
/// inside a packed stream. (A changed length is named where the stream that it
/// gives is another.)
#[test]
fn the_first_byte_that_differs_is_named() {
    let made = super::build::report(3);
    let mut elsewhere = 0;
    for at in (0..made.len()).step_by(41) {
        let mut file = made.clone();
        file[at] ^= 0x01;
        let found = report_within(&file, &made).expect_err("a changed byte is told");
        if found.at != at {
            let before = &made[at.saturating_sub(12)..at];
            let length = before.windows(8).any(|part| part == b"/Length ");
            assert!(length && made[at].is_ascii_digit(), "byte {at} is told as byte {}", found.at);
            elsewhere += 1;
        }
    }
    assert!(elsewhere < 10, "{elsewhere} lengths");
}
