//! Signing a report: PAdES B-B (ETSI EN 319 142-1) by adding behind the end of
//! the file, so that the report stays in it byte for byte.

mod appearance;
mod certificate;
mod cms;
mod field;
mod increment;
pub mod key;
mod moment;
mod public;
mod timestamp;
mod typeface;
mod types;
pub mod verify;

pub use certificate::{Person, same_name};
pub use key::SigningKey;
pub use moment::Moment;
pub use timestamp::{StampError, attach_reply, request};
pub use types::{Placement, Places, SignError, Signer, Signing};
pub use verify::signatures;

use rand_chacha::ChaCha20Rng;
use rand_chacha::rand_core::SeedableRng;

use crate::pdf::File;
use crate::pdf::read::fields;
use crate::pdf::read::value::{Dict, Value, text, write_hex};
use certificate::{common_name, for_signing, validity};
use cms::{seal, size, wrapped};
use increment::Increment;
use public::Hash;

/// Bytes kept free behind a signature, for a time stamp with its certificates.
const STAMP_ROOM: usize = 8 * 1024;

/// Adds one person's signature. The first on a report makes the places for all
/// and allows only signatures in them after it (DocMDP, level 2). `seed` is 32
/// bytes taken by chance; it never shows in the file, and for a P-256 key it is
/// not used.
///
/// # Errors
/// [`SignError`], which says what to do.
pub fn sign(
    pdf: &[u8],
    key: &SigningKey,
    who: &Signer<'_>,
    places: &Places<'_>,
    seed: [u8; 32],
) -> Result<Vec<u8>, SignError> {
    check_person(key, who)?;
    let file = File::open(pdf)?;
    if file.sections.iter().any(|s| s.packed) {
        return Err(SignError::Packed);
    }
    if file.sections[0].end != Some(pdf.len()) {
        return Err(SignError::Trailing);
    }
    let room = size(key).ok_or(SignError::Key)? + STAMP_ROOM;
    let signing = Signing { signer: *who, places: *places };
    let (mut out, gap) = add(&file, &signing, room, None)?;
    fill_range(&mut out, &gap);
    let digest = Hash::Sha256.digest(&[&out[..gap.from], &out[gap.to..]]);
    let sealed =
        seal(key, &digest, &mut ChaCha20Rng::from_seed(seed)).and_then(|data| wrapped(&data));
    let sealed = sealed.filter(|bytes| bytes.len() <= room);
    fill_contents(&mut out, gap.from, &sealed.ok_or(SignError::Key)?);
    Ok(out)
}

fn check_person(key: &SigningKey, who: &Signer<'_>) -> Result<(), SignError> {
    let certificate = key.certificate();
    if let Some(known) = key.everyones().filter(|known| !known.demonstration) {
        return Err(SignError::Everyones { known });
    }
    let subject = &certificate.tbs_certificate.subject;
    let name = common_name(subject).unwrap_or_else(|| subject.to_string());
    if !same_name(&name, who.name) {
        return Err(SignError::OtherName { certificate: name, person: who.name.to_string() });
    }
    let (from, until) = validity(certificate);
    if who.claimed.seconds < from.seconds {
        return Err(SignError::NotYet { from });
    }
    if who.claimed.seconds > until.seconds {
        return Err(SignError::Expired { until });
    }
    for_signing(certificate).map_err(|why| SignError::NotForSigning { why })
}

/// Places in the finished file.
struct Gap {
    /// The signature with its brackets, which is all that is not signed.
    from: usize,
    to: usize,
    /// The three numbers that are filled in last.
    range: usize,
}

/// Ten figures for each number of a byte range, as for places in the table.
const RANGE: &str = "[0 0000000000 0000000000 0000000000]";

/// The report signed as [`sign`] does it, with another's seal, which has some
/// room at the least. `model` is the file that is to come out: where it packs a
/// stream otherwise, that is taken over.
pub(super) fn signed_again(
    report: &File<'_>,
    signing: &Signing<'_>,
    (seal, room): (&[u8], usize),
    model: &[u8],
) -> Result<Vec<u8>, SignError> {
    let room = room + STAMP_ROOM;
    if seal.len() > room {
        return Err(SignError::NoRoom);
    }
    let (mut out, gap) = add(report, signing, room, Some(model))?;
    fill_range(&mut out, &gap);
    fill_contents(&mut out, gap.from, seal);
    Ok(out)
}

fn add<'a>(
    file: &File<'a>,
    Signing { signer: who, places }: &Signing<'_>,
    room: usize,
    model: Option<&'a [u8]>,
) -> Result<(Vec<u8>, Gap), SignError> {
    let fields = fields(file)?;
    let first = fields.iter().all(|field| field.signature.is_none());
    let mut increment = Increment::new(file, model);
    let look = appearance::form(&mut increment, who, places.own.area)?;
    let signature = increment.number();
    let (written, within) = dictionary(who, first, room);
    let at = increment.put_written(signature, 0, &written);
    let gap = Gap { from: at + within.from, to: at + within.to, range: at + within.range };
    let value = Value::Ref(signature, 0);
    if first {
        let taken = fields.iter().map(|field| field.name.clone()).collect();
        field::make(file, &mut increment, places, taken, (&value, &look))?;
    } else {
        field::fill(file, &mut increment, &places.own, &fields, (&value, &look))?;
    }
    Ok((increment.finish(), gap))
}

/// The signature dictionary (ISO 32000-1, table 252) with room for the
/// signature, and the places in it.
fn dictionary(who: &Signer<'_>, first: bool, room: usize) -> (Vec<u8>, Gap) {
    let mut out = Vec::new();
    out.extend(b"<</Type /Sig/Filter /Adobe.PPKLite/SubFilter /ETSI.CAdES.detached/ByteRange ");
    let range = out.len();
    out.extend(RANGE.bytes());
    out.extend(b"/Contents ");
    let from = out.len();
    write_hex(&vec![0; room], &mut out);
    let to = out.len();
    let mut rest = Dict::default()
        .with("M", text(&who.claimed.pdf()))
        .with("Name", text(who.name))
        .with("Reason", text(who.what_for))
        .with("BL_Role", text(who.role))
        .with("BL_Number", text(who.certificate_number));
    if first {
        let allowed = Dict::default().with("Type", "TransformParams").with("P", 2).with("V", "1.2");
        let reference = Dict::default()
            .with("Type", "SigRef")
            .with("TransformMethod", "DocMDP")
            .with("TransformParams", allowed);
        rest.set("Reference", vec![reference.into()].into());
    }
    let mut written = Vec::new();
    Value::Dict(rest).write(&mut written);
    out.extend(&written[b"<<".len()..]);
    (out, Gap { from, to, range })
}

fn fill_range(out: &mut [u8], gap: &Gap) {
    let behind = out.len() - gap.to;
    let range = format!("[0 {} {} {behind}]", gap.from, gap.to);
    let range = format!("{range:<width$}", width = RANGE.len());
    if range.len() == RANGE.len() {
        out[gap.range..gap.range + RANGE.len()].copy_from_slice(range.as_bytes());
    }
}

/// Writes the signature into its room, whose opening bracket is at `from`.
pub(super) fn fill_contents(out: &mut [u8], from: usize, sealed: &[u8]) {
    let mut written = Vec::new();
    write_hex(sealed, &mut written);
    let digits = &written[..written.len() - 1];
    out[from..from + digits.len()].copy_from_slice(digits);
}
