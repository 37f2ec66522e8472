//! Whether those who signed are the job's people, by certificate and not only
//! by what their signatures say of themselves.

use super::Proof;
use crate::archive::{Anchor, Chain, Kind, SignatureReport, same_name};
use crate::model::Case;
use crate::model::job::{Person, Role};

/// As a person signs and as the report prints it.
pub fn role(person: &Person) -> &'static str {
    match person.role {
        Role::Mechanic => "mechanic",
        Role::Inspector => "inspector",
        Role::Quality => "quality manager",
    }
}

/// Finds who signed, who has not, and whose signature is not what it says.
pub(super) fn signers(case: &Case, anchors: &[Anchor], proof: &mut Proof) {
    let persons = proof.signatures.iter().filter(|signature| signature.kind == Kind::Person);
    let faults: Vec<String> =
        persons.clone().filter_map(|signature| fault(case, signature)).collect();
    let strangers = persons.clone().filter(|signature| !anchors.is_empty() && !vouched(signature));
    let strangers: Vec<String> = strangers
        .map(|signature| {
            format!("{}: nobody you gave vouches for the certificate", named(signature))
        })
        .collect();
    let signed: Vec<&str> =
        persons.filter_map(|signature| signature.said.name.as_deref()).collect();
    let open =
        proof.places.iter().filter(|place| !signed.iter().any(|name| same_name(name, &place.name)));
    let open: Vec<&str> = open.map(|place| place.name.as_str()).collect();
    let mut words = vec![format!("{} of the job's people", signed.len())];
    if !open.is_empty() {
        words.push(format!("not signed by {}", open.join(", ")));
    }
    let all: Vec<String> = faults.into_iter().chain(strangers).collect();
    match all.is_empty() {
        true if signed.is_empty() => {}
        true => proof.find(true, "signers", words.join("; ")),
        false => proof.find(false, "signers", all.join("; ")),
    }
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
        Some(said) if said != role(person) => {
            Some(format!("{name} signed as {said} and is {} in the job", role(person)))
        }
        _ if number != own => {
            Some(format!("{name} signed with number `{number}`, the job has `{own}`"))
        }
        _ => None,
    }
}
