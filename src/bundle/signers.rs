//! Whether those who signed are the job's people, by certificate and not only
//! by what their signatures say of themselves.

use super::types::Proof;
use crate::model::Case;
use crate::quantity::date::Date;
use crate::report::sections::last_day;
use crate::sign::verify::{Anchor, Chain, SignatureReport};
use crate::sign::{Moment, same_name};

/// Finds who signed, who has not, and whose signature is not what it says.
pub(super) fn signers(case: &Case, anchors: &[Anchor], proof: &mut Proof) {
    let persons = proof.signatures.iter();
    let faults: Vec<String> =
        persons.clone().filter_map(|signature| fault(case, signature)).collect();
    let strangers = persons.clone().filter(|signature| !anchors.is_empty() && !vouched(signature));
    let strangers: Vec<String> = strangers
        .map(|signature| {
            format!("{}: nobody you gave vouches for the certificate", named(signature))
        })
        .collect();
    let (signed, open): (Vec<_>, Vec<_>) = proof.signing().partition(|(_, signed)| *signed);
    let mut words = vec![format!("{} of {} have signed", signed.len(), proof.places.len())];
    if !open.is_empty() {
        let open: Vec<&str> = open.iter().map(|(name, _)| *name).collect();
        words.push(format!("not signed by {}", open.join(", ")));
    }
    let early = early(case, &proof.signatures);
    let all: Vec<String> = faults.into_iter().chain(strangers).chain(early).collect();
    match all.is_empty() {
        true if proof.signatures.is_empty() => {}
        true => proof.find(true, "signers", words.join("; ")),
        false => proof.find(false, "signers", all.join("; ")),
    }
}

/// Whose signatures claim a time at which they cannot have been made.
fn early(case: &Case, all: &[SignatureReport]) -> Vec<String> {
    let last = case.record.as_ref().and_then(last_day);
    let told = all.iter().filter_map(|signature| {
        // The demonstration's record may lie after any clock.
        let demonstration = signature.everyones.is_some_and(|key| key.demonstration);
        let last = last.filter(|_| !demonstration);
        let under: Vec<&SignatureReport> =
            all.iter().filter(|other| other.end < signature.end).collect();
        let why = too_early(signature.said.claimed?, last, under)?;
        Some(format!("{}: {why}", named(signature)))
    });
    told.collect()
}

/// Why a signature cannot have been made when it claims, over a record that
/// goes to `last` and over the signatures `under` it.
pub fn too_early<'a>(
    claimed: Moment,
    last: Option<Date>,
    under: impl IntoIterator<Item = &'a SignatureReport>,
) -> Option<String> {
    if let Some(last) = last.filter(|last| claimed.latest_day() < last.to_string()) {
        return Some(format!("it was signed at {claimed}, and the record goes to {last}"));
    }
    let moments = under.into_iter().flat_map(|signature| {
        let stamped = signature.stamp.as_ref().filter(|stamp| stamp.sound());
        let moments = [signature.said.claimed, stamped.and_then(|stamp| stamp.time)];
        moments.into_iter().flatten().map(move |moment| (moment, named(signature)))
    });
    let (moment, name) = moments.max_by_key(|(moment, _)| moment.seconds)?;
    (claimed.seconds < moment.seconds).then(|| {
        format!("it was signed at {claimed}, and the signature of {name} under it at {moment}")
    })
}

fn vouched(signature: &SignatureReport) -> bool {
    matches!(signature.chain, Some(Chain::To { .. }))
}

fn named(signature: &SignatureReport) -> &str {
    signature.said.name.as_deref().unwrap_or(&signature.field)
}

/// Why a signature is not that of the person whom it names.
fn fault(case: &Case, signature: &SignatureReport) -> Option<String> {
    let name = named(signature);
    let certificate = signature.person.as_ref()?;
    if !same_name(&certificate.name, name) {
        return Some(format!("signed as {name} with the certificate of {}", certificate.name));
    }
    let mut people = case.job.people.iter();
    let Some(person) = people.find(|person| same_name(person.name.as_str(), name)) else {
        return Some(format!("{name} is nobody of this job"));
    };
    let own = person.certificate.as_ref().map_or("", |number| number.as_str());
    let number = signature.said.certificate_number.as_deref().unwrap_or_default();
    match signature.said.role.as_deref() {
        Some(said) if said != person.role.word() => {
            Some(format!("{name} signed as {said} and is {} in the job", person.role.word()))
        }
        _ if number != own => {
            Some(format!("{name} signed with number `{number}`, the job has `{own}`"))
        }
        _ => None,
    }
}
