//! Proving a report from anyone: all that it says worked out anew.

use super::build::{Built, How, build};
use super::carried::{Earlier, VERDICTS, job_files, scans, stranger, too_large};
use super::compared::read_compared;
use super::read::read;
use super::signatory::signatories;
use super::signers::signers;
use super::types::{Proof, WorkedOut};
use crate::diag::{Diags, Sources};
use crate::load::LARGEST_JOB;
use crate::model::Case;
use crate::model::job::Paper;
use crate::pages::report::is_worked;
use crate::pdf::{Alike, Opened, Refusal, open};
use crate::record::Status;
use crate::report::differing;
use crate::scan::Looks;
use crate::sheet::SheetSet;
use crate::sign::verify::{Anchor, SignatureReport, Unaccounted, report_within, signatures_behind};
use crate::sign::{Moment, signatures};

/// Checks a report from anyone: its signatures, its attachments, every verdict
/// worked out anew, and every byte of the file made anew.
///
/// # Errors
/// [`Refusal`] where it cannot be read within bounds.
pub fn verify(pdf: &[u8], anchors: &[Anchor]) -> Result<Proof, Refusal> {
    prove(pdf, anchors, (EARLIER_WITHIN, &mut Looks::default()))
}

/// Reports that may carry each other, each the next one's earlier report.
const EARLIER_WITHIN: usize = 16;

/// The same with reports carried `within` each other at the most.
fn prove(
    pdf: &[u8],
    anchors: &[Anchor],
    (within, looks): (usize, &mut Looks),
) -> Result<Proof, Refusal> {
    let opened = open(pdf)?;
    let signatures = signatures(pdf, anchors)?;
    let mut proof = Proof {
        signatures,
        findings: Vec::new(),
        status: None,
        case: None,
        places: Vec::new(),
        worked_out: None,
    };
    attachments(&opened, &mut proof);
    // What was added to a report may carry other files: it is proved by those
    // that it was made with, and what was added is told by itself.
    let first = opened.ends.first().and_then(|end| pdf.get(..*end));
    let first = first.filter(|first| first.len() < pdf.len()).map(open);
    let opened = first.and_then(Result::ok).unwrap_or(opened);
    content(pdf, &opened, looks, &mut proof);
    if let Some(earlier) = Earlier::carried(&opened) {
        prove_earlier(&earlier, anchors, (within, looks), &mut proof);
    }
    if let Some(case) = proof.case.take() {
        // Who vouches is asked for the report itself, not for those it carries.
        let asked = if within == EARLIER_WITHIN { anchors } else { &[] };
        signers(&case, asked, &mut proof);
        proof.case = Some(case);
    }
    Ok(proof)
}

/// Proves an earlier report as it would be by itself, but that nobody need have
/// signed it. `within` reports may be carried within each other.
fn prove_earlier(
    earlier: &Earlier,
    anchors: &[Anchor],
    (within, looks): (usize, &mut Looks),
    proof: &mut Proof,
) {
    let about = "earlier report";
    let Some(within) = within.checked_sub(1) else {
        return proof.find(false, about, "too many reports are carried within each other");
    };
    let found = match prove(&earlier.bytes, anchors, (within, looks)) {
        Ok(found) => found,
        Err(refusal) => return proof.find(false, about, refusal.to_string()),
    };
    let signed = found.signatures.len();
    let good = found.signatures.iter().filter(|signature| signature.good()).count();
    let bad = found.findings.iter().find(|finding| !finding.good);
    let words = match bad {
        Some(bad) => format!("{}: {}: {}", earlier.name, bad.about, bad.words),
        None if signed == 0 => format!("{}: carried, nobody has signed it", earlier.name),
        None => format!("{}: {good} of {signed} signatures good", earlier.name),
    };
    proof.find(bad.is_none() && good == signed, about, words);
}

fn attachments(opened: &Opened, proof: &mut Proof) {
    if let Some(name) = stranger(opened) {
        let words = format!("{name} is carried as a file of the job, which has none of that name");
        proof.find(false, "attachments", words);
    }
    if too_large(opened) {
        let most = LARGEST_JOB >> 20;
        let words = format!("the files of the job are larger together than {most} MiB: not read");
        proof.find(false, "attachments", words);
    }
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
fn content(pdf: &[u8], opened: &Opened, looks: &mut Looks, proof: &mut Proof) {
    let files = job_files(opened);
    let mut out = Diags::new();
    let Some((case, set)) = read(&files, &mut out) else {
        let first = out.plain(&files).into_iter().next().unwrap_or_default();
        proof.find(false, "verdicts", format!("the carried files cannot be read: {first}"));
        return;
    };
    let read = (&set, case.record.as_ref());
    let (originals, compared) = read_compared(read, scans(opened), looks);
    let earlier = Earlier::carried(opened);
    // What it says of itself is held against the pages, byte for byte.
    let arithmetic = is_worked(&opened.info.subject);
    let earlier = earlier.as_ref();
    let compared = compared.as_ref();
    let how = How { originals: &originals, compared, earlier, arithmetic, ..How::default() };
    let Some(built) = build(&files, (&case, &set), how, &mut out) else {
        let first = out.plain(&files).into_iter().next().unwrap_or_default();
        proof.find(false, "verdicts", format!("the carried files cannot be judged: {first}"));
        return;
    };
    proof.status = Some(built.status);
    let carried = opened.carried.iter().find(|carried| carried.name == VERDICTS);
    match carried {
        Some(carried) if carried.bytes == built.verdicts.as_bytes() => {
            let words =
                format!("{} rows worked out anew, all as reported", built.judged.rows.len());
            proof.find(true, "verdicts", words);
        }
        Some(carried) => {
            let differing = differing(&carried.bytes, built.verdicts.as_bytes());
            proof.find(false, "verdicts", format!("worked out anew they differ: {differing}"));
        }
        None => proof.find(false, "verdicts", format!("no {VERDICTS} is carried")),
    }
    let (found, made) = report(pdf, opened, (&files, &case, &set), (built, how));
    proof.places = made.places;
    let (judged, verdicts) = (made.judged, made.verdicts);
    match found {
        Ok(alike) => {
            let how = match alike.packed {
                false => "the same byte for byte",
                true => "the same but for how they are packed",
            };
            proof.find(true, "pages", format!("{} pages made anew, {how}", made.pages));
            proof.status = Some(made.status);
            additions(pdf, alike.end, &case, proof);
        }
        Err(why) => {
            let words = altered(opened, why, &mut proof.signatures);
            proof.find(false, "pages", words);
        }
    }
    proof.case = Some(case);
    proof.worked_out = Some(WorkedOut { set, judged, verdicts });
}

/// The report at the beginning of a file, against one made anew, and the one
/// that it was held against.
fn report(
    pdf: &[u8],
    opened: &Opened,
    (files, case, set): (&Sources, &Case, &SheetSet),
    (built, how): (Built, How<'_>),
) -> (Result<Alike, Unaccounted>, Built) {
    let found = report_within(pdf, &built.bytes);
    let Err(mut furthest) = found else { return (found, built) };
    let paper = paper(opened);
    for draft in [false, true] {
        if !draft && paper == case.job.paper {
            continue;
        }
        let how = How { draft, paper: Some(paper), ..how };
        let again = build(files, (case, set), how, &mut Diags::new());
        let Some(mut again) = again else { continue };
        match report_within(pdf, &again.bytes) {
            Ok(alike) => {
                if draft {
                    again.status = Status::Draft;
                }
                return (Ok(alike), again);
            }
            Err(why) if why.at > furthest.at => furthest = why,
            Err(_) => {}
        }
    }
    (Err(furthest), built)
}

/// Why the report is not what its files give.
fn altered(opened: &Opened, why: Unaccounted, signatures: &mut [SignatureReport]) -> String {
    let version = env!("CARGO_PKG_VERSION");
    let other = !opened.info.creator.contains(version) && !opened.info.producer.contains(version);
    if other {
        return format!(
            "made by {}, this is {version}: the pages cannot be compared byte for byte, unpack and compare them by eye",
            opened.info.creator
        );
    }
    let words =
        format!("made anew from the carried files the pages differ: they were altered: {why}");
    signatures.iter_mut().for_each(|signature| signature.unaccounted = Some(why.clone()));
    words
}

/// What stands behind the report, against what `sign` and `stamp` write.
fn additions(pdf: &[u8], end: usize, case: &Case, proof: &mut Proof) {
    let signatories = signatories(case, &proof.places);
    let signings: Vec<_> = signatories.iter().map(|one| one.signing(Moment::utc(0))).collect();
    match signatures_behind(pdf, end, &signings) {
        Ok(0) => proof.find(true, "bytes", "every byte accounted for: nothing but the report"),
        Ok(1) => proof.find(true, "bytes", "every byte accounted for: the report and a signature"),
        Ok(n) => {
            let words = format!("every byte accounted for: the report and {n} signatures");
            proof.find(true, "bytes", words);
        }
        Err(why) => {
            proof.find(false, "bytes", format!("added by another program: {why}"));
            let signatures = proof.signatures.iter_mut();
            signatures.for_each(|signature| signature.unaccounted = Some(why.clone()));
        }
    }
}

/// What a report is printed on, by the width of its first page.
fn paper(opened: &Opened) -> Paper {
    // Half way between 210 mm and 8.5 in, in points.
    if opened.width.is_some_and(|width| width > 603.6) { Paper::Letter } else { Paper::A4 }
}
