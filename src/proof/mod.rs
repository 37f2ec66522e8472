//! Making a report, and proving one: the archive, the loader and the report
//! together. No disk and no clock.

mod carried;
mod earlier;
mod press;
mod signers;

use crate::archive::{Anchor, Opened, Refusal, SignatureReport, open, same_content, signatures};
use crate::diag::{Diags, Sources};
use crate::model::Case;
use crate::model::job::Paper;
use crate::page::font::Fonts;
use crate::page::report::SignPlace;
use crate::report::{Status, differing};
use crate::sheet::SheetSet;

pub use carried::{ORIGINALS, VERDICTS, carried_name, job_files, job_name};
pub use earlier::{EARLIER, Earlier};
pub use press::{How, Pressed, judged, press, read};
pub use signers::role;

/// What was looked at, and how it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    pub good: bool,
    /// `attachments`, `verdicts`, `pages`, `signature of ...`.
    pub about: String,
    pub words: String,
}

/// A report proved, or not.
#[derive(Debug)]
pub struct Proof {
    pub signatures: Vec<SignatureReport>,
    pub findings: Vec<Finding>,
    /// The status that its own files give.
    pub status: Option<Status>,
    /// What its own files say, where they can be read.
    pub case: Option<Case>,
    /// Where each person signs.
    pub places: Vec<SignPlace>,
}

impl Proof {
    /// Every signature and every finding is good, and there is a signature.
    pub fn good(&self) -> bool {
        self.content_good()
            && !self.signatures.is_empty()
            && self.signatures.iter().all(SignatureReport::good)
    }

    /// What it says is what its own files give, signatures aside.
    pub fn content_good(&self) -> bool {
        self.findings.iter().all(|finding| finding.good)
    }

    fn find(&mut self, good: bool, about: &str, words: impl Into<String>) {
        self.findings.push(Finding { good, about: about.to_owned(), words: words.into() });
    }
}

/// Checks a report from anyone: its signatures, its attachments, every verdict
/// worked out anew, and its pages made anew.
///
/// # Errors
/// [`Refusal`] where it cannot be read within bounds.
pub fn verify(pdf: &[u8], anchors: &[Anchor], fonts: &Fonts) -> Result<Proof, Refusal> {
    let opened = open(pdf)?;
    let signatures = signatures(pdf, anchors)?;
    let mut proof =
        Proof { signatures, findings: Vec::new(), status: None, case: None, places: Vec::new() };
    attachments(&opened, &mut proof);
    content(pdf, &opened, fonts, &mut proof);
    if let Some(earlier) = Earlier::carried(&opened) {
        earlier.prove(anchors, &mut proof);
    }
    if let Some(case) = proof.case.take() {
        signers::signers(&case, anchors, &mut proof);
        proof.case = Some(case);
    }
    Ok(proof)
}

fn attachments(opened: &Opened, proof: &mut Proof) {
    let wrong: Vec<&str> = opened
        .carried
        .iter()
        .filter(|carried| carried.checksum_fits != Some(true))
        .map(|carried| carried.name.as_str())
        .collect();
    if opened.carried.is_empty() {
        proof.find(false, "attachments", "no file is carried inside: not a report of this program");
    } else if wrong.is_empty() {
        let words = format!("{} files carried, each as its digest says", opened.carried.len());
        proof.find(true, "attachments", words);
    } else {
        proof.find(false, "attachments", format!("not as the digest says: {}", wrong.join(", ")));
    }
}

/// Works everything out anew from the carried files.
fn content(pdf: &[u8], opened: &Opened, fonts: &Fonts, proof: &mut Proof) {
    let files = job_files(opened);
    let mut out = Diags::new();
    let Some((case, set)) = read(&files, &mut out) else {
        let first = out.plain(&files).into_iter().next().unwrap_or_default();
        proof.find(false, "verdicts", format!("the carried files cannot be read: {first}"));
        return;
    };
    let scans = carried::scans(opened);
    let earlier = Earlier::carried(opened);
    let how = How { originals: &scans, earlier: earlier.as_ref(), ..How::default() };
    let Some(pressed) = press(&files, (&case, &set), fonts, how, &mut out) else {
        let first = out.plain(&files).into_iter().next().unwrap_or_default();
        proof.find(false, "verdicts", format!("the carried files cannot be judged: {first}"));
        return;
    };
    proof.status = Some(pressed.status);
    let carried = opened.carried.iter().find(|carried| carried.name == VERDICTS);
    match carried {
        Some(carried) if carried.bytes == pressed.verdicts.as_bytes() => {
            let words =
                format!("{} rows worked out anew, all as reported", pressed.judged.rows.len());
            proof.find(true, "verdicts", words);
        }
        Some(carried) => {
            let differing = differing(&carried.bytes, pressed.verdicts.as_bytes());
            proof.find(false, "verdicts", format!("worked out anew they differ: {differing}"));
        }
        None => proof.find(false, "verdicts", format!("no {VERDICTS} is carried")),
    }
    let same = same_pages(pdf, opened, (&files, &case, &set), (fonts, &pressed, how), proof);
    proof.places = same.unwrap_or(pressed).places;
    proof.case = Some(case);
}

/// The report as it was before it was signed, against one made anew; gives
/// the one that is the same where it is not the first.
fn same_pages(
    pdf: &[u8],
    opened: &Opened,
    (files, case, set): (&Sources, &Case, &SheetSet),
    (fonts, pressed, how): (&Fonts, &Pressed, How<'_>),
    proof: &mut Proof,
) -> Option<Pressed> {
    let first = opened.ends.first().and_then(|end| pdf.get(..*end)).unwrap_or(pdf);
    if let Some(words) = alike(first, pressed) {
        proof.find(true, "pages", words);
        return None;
    }
    let paper = paper(opened);
    for draft in [false, true] {
        if !draft && paper == case.job.paper {
            continue;
        }
        let how = How { draft, paper: Some(paper), ..how };
        let again = press(files, (case, set), fonts, how, &mut Diags::new());
        let Some(again) = again else { continue };
        if let Some(words) = alike(first, &again) {
            if draft {
                proof.status = Some(Status::Draft);
            }
            proof.find(true, "pages", words);
            return Some(again);
        }
    }
    let version = env!("CARGO_PKG_VERSION");
    let other = !opened.info.creator.contains(version) && !opened.info.producer.contains(version);
    let words = if other {
        format!(
            "made by {}, this is {version}: the pages cannot be compared byte for byte, unpack and compare them by eye",
            opened.info.creator
        )
    } else {
        "made anew from the carried files the pages differ: they were altered".to_owned()
    };
    proof.find(false, "pages", words);
    None
}

/// How a report is the same as one made anew, in words.
fn alike(first: &[u8], made: &Pressed) -> Option<String> {
    let how = match first == made.bytes {
        true => "the same byte for byte",
        false if same_content(first, &made.bytes) == Ok(true) => {
            "the same but for how they are packed"
        }
        false => return None,
    };
    Some(format!("{} pages made anew, {how}", made.pages))
}

/// What a report is printed on, by the width of its first page.
fn paper(opened: &Opened) -> Paper {
    // Half way between 210 mm and 8.5 in, in points.
    if opened.width.is_some_and(|width| width > 603.6) { Paper::Letter } else { Paper::A4 }
}
