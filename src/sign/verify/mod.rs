//! The signatures of a PDF from anyone: what they cover, whose they are, and
//! what came after.

mod accounted;
mod chain;
mod lost;
mod names;
pub(super) mod range;
mod signed;
pub(super) mod stamp;
mod types;
mod words;

pub use accounted::{report_within, signatures_behind};
pub use chain::{Anchor, Chain};
pub use types::{Held, Integrity, Said, SignatureReport, StampReport, Unaccounted};

use std::ops::Range;

use const_oid::db::rfc5911;

use super::certificate::Person;
use super::key::everyones;
use super::moment::Moment;
use super::public::Hash;
use crate::pdf::read::fields;
use crate::pdf::read::value::{Dict, Value, shown};
use crate::pdf::{File, Refusal};
use chain::Use;
use lost::lost;
use range::{Covered, covered, trimmed};
use signed::{Naming, Taken, take};
use stamp::on_signature;

/// Checks every signature of a PDF from anyone, in the order of the form.
/// `anchors` are the certificates whose word the reader takes; there may be
/// none.
///
/// # Errors
/// [`Refusal`] where the file cannot be read within bounds.
pub fn signatures(bytes: &[u8], anchors: &[Anchor]) -> Result<Vec<SignatureReport>, Refusal> {
    let file = File::open(bytes)?;
    let fields = fields(&file)?;
    let mut reports = Vec::new();
    for field in &fields {
        if let Some((dict, place)) = &field.signature {
            reports.push(report(&file, &field.name, dict, place, anchors)?);
        }
    }
    for (dict, place) in lost(&file, &fields)? {
        let report = report(&file, "", &dict, &place, anchors)?;
        reports.push(SignatureReport { whole: false, taken_out: true, ..report });
    }
    Ok(reports)
}

fn report(
    file: &File<'_>,
    field: &str,
    dict: &Dict,
    place: &Range<usize>,
    anchors: &[Anchor],
) -> Result<SignatureReport, Refusal> {
    let mut report = SignatureReport {
        field: field.to_owned(),
        integrity: Integrity::Unknown,
        said: said(file, dict)?,
        person: None,
        chain: None,
        everyones: None,
        held: Held::NoTime,
        whole: false,
        taken_out: false,
        unaccounted: None,
        end: None,
        stamp: None,
        allows: allows(file, dict)?,
    };
    let covered = match covered(file, dict, place) {
        Ok(covered) => covered,
        Err(why) => {
            report.integrity = why;
            return Ok(report);
        }
    };
    report.end = Some(covered.end);
    report.whole = covered.end == file.bytes.len();
    seal(file, dict, &covered, anchors, &mut report);
    Ok(report)
}

fn seal(
    file: &File<'_>,
    dict: &Dict,
    covered: &Covered,
    anchors: &[Anchor],
    report: &mut SignatureReport,
) {
    let parts = [&file.bytes[..covered.gap.start], &file.bytes[covered.gap.end..covered.end]];
    let Some(sealed) = trimmed(&covered.contents) else {
        let why = "something stands behind it in its room";
        report.integrity = Integrity::Malformed { why };
        return;
    };
    // No other way of signing is written here, and none is accounted for.
    if dict.name("SubFilter") != Some(b"ETSI.CAdES.detached") {
        return;
    }
    let digest = |data: &cms::signed_data::SignedData, hash: Hash| {
        let detached = data.encap_content_info.econtent.is_none();
        detached.then(|| hash.digest(&parts))
    };
    match take(sealed, rfc5911::ID_DATA, Naming::Strict, digest) {
        Ok(taken) => persons(taken, anchors, report),
        Err(why) => report.integrity = why,
    }
}

fn persons(taken: Taken, anchors: &[Anchor], report: &mut SignatureReport) {
    let person = Person::of(&taken.signer);
    report.stamp = on_signature(&taken.data, anchors);
    let stamped = report.stamp.as_ref().filter(|stamp| stamp.sound());
    let at = stamped.and_then(|stamp| stamp.time).or(report.said.claimed);
    report.held = held(&person, at);
    report.everyones = everyones(&taken.signer);
    let chain = chain::chain(&taken.signer, &taken.certificates, anchors, at, Use::Documents);
    report.chain = Some(chain);
    report.person = Some(person);
    report.integrity = taken.integrity;
}

fn held(person: &Person, at: Option<Moment>) -> Held {
    match at {
        None => Held::NoTime,
        Some(at) if at.seconds < person.from.seconds => Held::NotBegun,
        Some(at) if at.seconds > person.until.seconds => Held::Ended,
        Some(_) => Held::Yes,
    }
}

fn said(file: &File<'_>, dict: &Dict) -> Result<Said, Refusal> {
    let text = |key| -> Result<Option<String>, Refusal> {
        let value = file.entry(dict, key)?;
        let text = value.text().map(shown);
        Ok(text.filter(|text| !text.is_empty()))
    };
    Ok(Said {
        name: text("Name")?,
        role: text("BL_Role")?,
        certificate_number: text("BL_Number")?,
        what_for: text("Reason")?,
        claimed: text("M")?.and_then(|written| Moment::from_pdf(&written)),
    })
}

/// The level of DocMDP, 2 where it is left out (ISO 32000-1, table 254).
fn allows(file: &File<'_>, dict: &Dict) -> Result<Option<i64>, Refusal> {
    for reference in file.list(dict, "Reference")? {
        let reference = file.dict(Some(&reference))?.unwrap_or_default();
        if reference.name("TransformMethod") == Some(b"DocMDP") {
            let parameters = file.dict(reference.get("TransformParams"))?;
            let level = parameters.and_then(|p| p.get("P").cloned());
            return Ok(Some(match level {
                Some(Value::Int(level)) => level,
                _ => 2,
            }));
        }
    }
    Ok(None)
}
