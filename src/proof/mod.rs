//! Making a report, and proving one: the archive, the loader and the report
//! together. No disk and no clock.

mod earlier;
mod signers;

use crate::archive::{
    Anchor, Attachment, Carried, Opened, Pdf, Refusal, Relationship, SignatureReport, conform,
    open, safe, signatures,
};
use crate::diag::{Diags, Sources};
use crate::draw::draw;
use crate::load;
use crate::model::Case;
use crate::model::job::Paper;
use crate::model::record::Record;
use crate::page::font::Fonts;
use crate::page::mark::Document;
use crate::page::report::{SignPlace, lay_report_with_signs};
use crate::page::sheets::pages;
use crate::report::sections::spoken::in_words;
use crate::report::sections::{Told, report};
use crate::report::wear::History;
use crate::report::{Judged, Originals, Scanned, Status, json, judge, matched};
use crate::scan::{self, Scan};
use crate::sheet::{Pages, SheetSet, expand};
use std::panic::resume_unwind;
use std::thread;

pub use earlier::{EARLIER, Earlier};
pub use signers::role;

/// The verdicts, as carried.
pub const VERDICTS: &str = "verdicts.json";

/// Stands for the folder of a form in the name of a carried file: a reader's
/// list of attachments knows no folders.
const FOLDER: &str = "__";

/// The folder of the scans in a job.
pub const ORIGINALS: &str = "originals";

/// A report made, not yet signed.
#[derive(Debug)]
pub struct Pressed {
    pub bytes: Vec<u8>,
    pub status: Status,
    pub pages: usize,
    pub judged: Judged,
    pub verdicts: String,
    /// Exceptions in words.
    pub words: String,
    /// Where each person signs.
    pub places: Vec<SignPlace>,
    /// Where scans are carried.
    pub originals: Option<Originals>,
    /// Where the job names an earlier one.
    pub history: Option<History>,
}

/// How a report is to be made.
#[derive(Clone, Copy, Debug, Default)]
pub struct How<'a> {
    /// A draft, whatever the record holds.
    pub draft: bool,
    /// Instead of the job's own.
    pub paper: Option<Paper>,
    /// Scans of the filled sheets, to carry.
    pub originals: &'a [Scan],
    /// The report that the job names as an earlier one.
    pub earlier: Option<&'a Earlier>,
}

/// Reads the files and expands their sheets. `None` with the faults in `out`.
pub fn read(files: &Sources, out: &mut Diags) -> Option<(Case, SheetSet)> {
    let case = load::case(files, out)?;
    let set = expand(&case, out)?;
    (out.faults() == 0).then_some((case, set))
}

/// Judges the record, writes the sections, lays them out, draws them, and
/// carries the job's files inside. `None` with the faults in `out`.
pub fn press(
    files: &Sources,
    (case, set): (&Case, &SheetSet),
    fonts: &Fonts,
    how: How<'_>,
    out: &mut Diags,
) -> Option<Pressed> {
    let mut unplaced = Diags::new();
    let place = || pages(set, fonts, &mut unplaced);
    let (judged, pages) = both(set, || judge(case, set, out), place);
    out.append(unplaced);
    let (judged, pages) = (judged?, pages?);
    let blank = Record::blank(&set.number);
    let record = case.record.as_ref().unwrap_or(&blank);
    let originals = originals(how.originals, &pages, set, record);
    let originals = originals.as_ref();
    let history = earlier::history((case, set, &judged), how.earlier, out)?;
    let told = Told {
        case,
        set,
        record,
        judged: &judged,
        pages: &pages,
        originals,
        history: history.as_ref(),
    };
    let say = || (json(&told), in_words(&told, false));
    let (drawn, (verdicts, words)) = both(set, || drawn(&told, fonts, how, out), say);
    let Drawn { status, document, places, pdf } = drawn?;
    let verdicts = verdicts.map_err(|error| out.fault_nowhere(error.to_string(), "")).ok()?;
    let earlier = how.earlier.filter(|_| history.is_some());
    let carried = carried(files, &verdicts, how.originals, earlier);
    let bytes = conform(pdf, &document, &carried);
    let bytes = bytes.map_err(|error| out.fault_nowhere(error.to_string(), "")).ok()?;
    let (pages, originals) = (document.pages.len(), originals.cloned());
    Some(Pressed { bytes, status, pages, judged, verdicts, words, places, originals, history })
}

/// A report on its pages.
struct Drawn {
    status: Status,
    document: Document,
    places: Vec<SignPlace>,
    pdf: Pdf,
}

fn drawn(told: &Told, fonts: &Fonts, how: How<'_>, out: &mut Diags) -> Option<Drawn> {
    let mut report = report(told, how.draft);
    if let Some(paper) = how.paper {
        report.head.paper = paper;
    }
    let (document, places) = lay_report_with_signs(&report, fonts, out)?;
    let pdf = draw(&document, fonts);
    let pdf = pdf.map_err(|error| out.fault_nowhere(error.to_string(), "")).ok()?;
    Some(Drawn { status: report.status, document, places, pdf })
}

/// A set of fewer rows is done before a second thread has begun.
const MANY: usize = 200;

/// Two works that do not need each other, side by side where there is much of
/// either.
fn both<A, B: Send>(
    set: &SheetSet,
    one: impl FnOnce() -> A,
    other: impl FnOnce() -> B + Send,
) -> (A, B) {
    let lines = set.sheets.iter().flat_map(|sheet| sheet.lines());
    let rows: usize = lines.map(|line| line.rows.len()).sum();
    if rows < MANY {
        return (one(), other());
    }
    thread::scope(|scope| {
        let other = scope.spawn(other);
        let one = one();
        (one, other.join().unwrap_or_else(|fault| resume_unwind(fault)))
    })
}

/// Each page of the set with its scans; `None` where no scan is carried.
fn originals(scans: &[Scan], pages: &Pages, set: &SheetSet, record: &Record) -> Option<Originals> {
    let seen: Vec<Scanned> = scans.iter().flat_map(|scan| scan.pages.iter().cloned()).collect();
    (!scans.is_empty()).then(|| matched(&seen, pages, &set.number, record))
}

/// The files that the report was worked out from, and its verdicts.
fn carried(
    files: &Sources,
    verdicts: &str,
    scans: &[Scan],
    earlier: Option<&Earlier>,
) -> Vec<Attachment> {
    let mut carried: Vec<Attachment> = files
        .0
        .iter()
        .map(|(name, text)| Attachment {
            name: carried_name(name),
            bytes: text.as_bytes().to_vec(),
            mime: "application/toml".to_owned(),
            relationship: Relationship::Source,
            description: describe(name),
        })
        .collect();
    carried.extend(scans.iter().map(|scan| {
        Attachment {
            name: carried_name(&format!("{ORIGINALS}/{}", scan.name)),
            bytes: scan.bytes.clone(),
            mime: scan::Kind::of(&scan.bytes)
                .map_or("application/octet-stream", scan::Kind::mime)
                .to_owned(),
            relationship: Relationship::Source,
            description: "a scan of filled sheets".to_owned(),
        }
    }));
    carried.extend(earlier.map(Earlier::attachment));
    carried.push(Attachment {
        name: VERDICTS.to_owned(),
        bytes: verdicts.as_bytes().to_vec(),
        mime: "application/json".to_owned(),
        relationship: Relationship::Data,
        description: "every verdict of this report, for machines".to_owned(),
    });
    carried
}

fn describe(name: &str) -> String {
    match name {
        "engine.toml" => "the engine".to_owned(),
        "limits.toml" => "the limits used".to_owned(),
        "job.toml" => "the job: people, gauges, scope".to_owned(),
        "readings.toml" => "the transcription of the sheets".to_owned(),
        form => format!("a form used: {form}"),
    }
}

/// The job's files out of an opened report, by their names in a job folder.
pub fn job_files(opened: &Opened) -> Sources {
    let mut files = Sources::default();
    for carried in opened.carried.iter().filter(|carried| is_job_file(carried)) {
        if let Ok(text) = std::str::from_utf8(&carried.bytes) {
            files.put(job_name(&carried.name), text);
        }
    }
    files
}

/// The name that a file of a job folder is carried under.
pub fn carried_name(name: &str) -> String {
    name.replace('/', FOLDER)
}

/// The name of a carried file in a job folder.
pub fn job_name(carried: &str) -> String {
    match carried.split_once(FOLDER) {
        Some(("forms", name)) if name.ends_with(".toml") && is_plain(name) => {
            format!("forms/{name}")
        }
        Some((folder @ (ORIGINALS | EARLIER), name)) if is_plain(name) => {
            format!("{folder}/{name}")
        }
        _ => carried.to_owned(),
    }
}

/// Safe by itself and not only behind the name of its folder.
fn is_plain(name: &str) -> bool {
    safe(name.to_owned()).is_ok()
}

/// The scans out of an opened report, looked at anew.
fn scans(opened: &Opened) -> Vec<Scan> {
    let name = |carried: &Carried| match carried.name.split_once(FOLDER) {
        Some((ORIGINALS, name)) => Some((name.to_owned(), carried.bytes.clone())),
        _ => None,
    };
    scan::read(opened.carried.iter().filter_map(name).collect())
}

fn is_job_file(carried: &Carried) -> bool {
    carried.relationship.as_deref() == Some("Source") && carried.name.ends_with(".toml")
}

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
    let scans = scans(opened);
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
    if first == pressed.bytes {
        proof.find(
            true,
            "pages",
            format!("{} pages made anew, the same byte for byte", pressed.pages),
        );
        return None;
    }
    let paper = paper(opened);
    for draft in [false, true] {
        if !draft && paper == case.job.paper {
            continue;
        }
        let how = How { draft, paper: Some(paper), ..how };
        let again = press(files, (case, set), fonts, how, &mut Diags::new());
        if let Some(again) = again.filter(|again| again.bytes == first) {
            if draft {
                proof.status = Some(Status::Draft);
            }
            let words = format!("{} pages made anew, the same byte for byte", again.pages);
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

/// What a report is printed on, by the width of its first page.
fn paper(opened: &Opened) -> Paper {
    // Half way between 210 mm and 8.5 in, in points.
    if opened.width.is_some_and(|width| width > 603.6) { Paper::Letter } else { Paper::A4 }
}

/// The first line that differs, for a person to look at.
fn differing(old: &[u8], new: &[u8]) -> String {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let (old, new) = (text(old), text(new));
    let pair = old.lines().zip(new.lines()).enumerate().find(|(_, (a, b))| a != b);
    match pair {
        Some((n, (a, b))) => {
            format!("line {}: `{}` is carried, `{}` is worked out", n + 1, a.trim(), b.trim())
        }
        None => "one is longer than the other".to_owned(),
    }
}
