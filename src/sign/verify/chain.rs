//! Who vouches for a certificate (RFC 5280, 6), by anchors that the reader
//! gave. Without anchors nobody is trusted, and that is said. Withdrawn
//! certificates are not looked for: that would need a line.

use std::fmt;

use const_oid::ObjectIdentifier;
use const_oid::db::rfc5280;
use der::{Decode, Encode};
use x509_cert::Certificate;
use x509_cert::certificate::Version;
use x509_cert::ext::pkix::{
    BasicConstraints, CertificatePolicies, NameConstraints, PolicyConstraints,
};

use super::names::{alike, allowed};
use crate::sign::certificate::{
    DOCUMENTS, STAMPS, common_name, for_signing, for_vouching, meant_for, validity,
};
use crate::sign::key::{everyones, pem_certificates};
use crate::sign::moment::Moment;
use crate::sign::public::{Outcome, PublicKey, broken_digest};

/// A certificate whose word the reader takes.
#[derive(Clone, Debug)]
pub struct Anchor(Certificate);

impl Anchor {
    /// From PEM, one or several, or a single one in DER. `None` where the file
    /// holds no certificate or a damaged one.
    pub fn read(file: &[u8]) -> Option<Vec<Anchor>> {
        let ders = match std::str::from_utf8(file) {
            Ok(text) if text.contains("-----BEGIN ") => pem_certificates(text)?,
            _ => vec![file.to_vec()],
        };
        let anchors = ders.iter().map(|der| Certificate::from_der(der).ok().map(Anchor));
        let anchors: Vec<Anchor> = anchors.collect::<Option<_>>()?;
        (!anchors.is_empty()).then_some(anchors)
    }
}

/// How far a certificate could be followed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Chain {
    /// To one of the anchors that were given.
    To { anchor: String },
    /// It was made by the one it names, who is no anchor.
    SelfMade { name: String },
    /// It ends at an issuer who is no anchor.
    Unknown { issuer: String },
    /// It claims an anchor's name, and was not made by that anchor.
    Pretended { anchor: String },
    /// A certificate on the way is damaged, ended, or not made to vouch.
    Broken { why: String },
}

impl fmt::Display for Chain {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Chain::To { anchor } => write!(f, "issued under {anchor}, which you gave"),
            Chain::SelfMade { name } => write!(
                f,
                "unknown issuer: the certificate was made by the one it names, {name}, \
                 and nobody vouches for it"
            ),
            Chain::Unknown { issuer } => write!(f, "unknown issuer: {issuer}"),
            Chain::Pretended { anchor } => write!(
                f,
                "false issuer: the certificate bears the name of {anchor}, which you gave, \
                 but was not made by it"
            ),
            Chain::Broken { why } => write!(f, "broken chain: {why}"),
        }
    }
}

/// What a signer's key has to be for.
#[derive(Clone, Copy, PartialEq)]
pub enum Use {
    Documents,
    Stamps,
}

impl Use {
    /// Whether a key above the signer's may vouch for this use.
    fn above(self, certificate: &Certificate) -> Result<(), &'static str> {
        match self {
            Use::Documents => meant_for(certificate, &DOCUMENTS),
            Use::Stamps => meant_for(certificate, &STAMPS),
        }
    }
}

/// Certificates between a signer's and an anchor.
const LONGEST: usize = 8;

/// Certificates that a signature brings along: more are not looked through.
const MOST: usize = 32;

/// Signatures of issuers that are checked for one signer.
const CHECKS: usize = 256;

/// Follows a certificate up by every way there is, and takes the first that
/// leads to an anchor. `others` came with the signature, `at` is when it was
/// made.
pub fn chain(
    first: &Certificate,
    others: &[Certificate],
    anchors: &[Anchor],
    at: Option<Moment>,
    r#use: Use,
) -> Chain {
    if others.len() > MOST {
        return broken(format!("more than {MOST} certificates came with it"));
    }
    if let Some(hurt) = others.iter().find(|one| !unhurt(one, others)) {
        let name = named(hurt);
        return broken(format!(
            "the certificate of {name}, which came with it, is damaged or false"
        ));
    }
    let mut search = Search { others, anchors, at, r#use, left: CHECKS, found: None };
    match search.up(&mut vec![first]) {
        Some(anchor) => Chain::To { anchor },
        None => search.found.unwrap_or_else(|| unknown(first, true, anchors)),
    }
}

fn broken(why: String) -> Chain {
    Chain::Broken { why }
}

struct Search<'a> {
    others: &'a [Certificate],
    anchors: &'a [Anchor],
    at: Option<Moment>,
    r#use: Use,
    left: usize,
    /// What became of the first way that led nowhere, a broken one before an
    /// unknown one.
    found: Option<Chain>,
}

impl<'a> Search<'a> {
    /// The anchor's name, where a way leads to one. `path` goes from the
    /// signer's certificate to here.
    fn up(&mut self, path: &mut Vec<&'a Certificate>) -> Option<String> {
        let here = *path.last()?;
        if let Err(why) = in_order(path, self.at, self.r#use) {
            self.end(broken(why));
            return None;
        }
        if self.anchors.iter().any(|anchor| anchor.0 == *here) {
            return Some(named(here));
        }
        let mut anywhere = false;
        for above in self.anchors.iter().map(|anchor| &anchor.0).chain(self.others) {
            if path.contains(&above) || !names(above, here) {
                continue;
            }
            if self.left == 0 || path.len() > LONGEST {
                self.end(broken("it is too long".to_owned()));
                return None;
            }
            self.left -= 1;
            match outcome(above, here) {
                Outcome::Fits => {}
                Outcome::Differs => continue,
                Outcome::Unknown => {
                    anywhere = true;
                    self.end(broken(unknown_way(above, here)));
                    continue;
                }
            }
            anywhere = true;
            path.push(above);
            if let Some(anchor) = self.up(path) {
                return Some(anchor);
            }
            path.pop();
        }
        if !anywhere {
            self.end(unknown(here, path.len() == 1, self.anchors));
        }
        None
    }

    fn end(&mut self, chain: Chain) {
        let worse = matches!(chain, Chain::Broken { .. } | Chain::Pretended { .. });
        let told = matches!(self.found, Some(Chain::Broken { .. } | Chain::Pretended { .. }));
        if self.found.is_none() || worse && !told {
            self.found = Some(chain);
        }
    }
}

/// `alone` where nothing stands between the signer and here.
fn unknown(here: &Certificate, alone: bool, anchors: &[Anchor]) -> Chain {
    let issuer = &here.tbs_certificate.issuer;
    let same = |anchor: &&Anchor| alike(&anchor.0.tbs_certificate.subject, issuer);
    if let Some(anchor) = anchors.iter().find(same) {
        return Chain::Pretended { anchor: named(&anchor.0) };
    }
    if alone && here.tbs_certificate.subject == *issuer {
        return Chain::SelfMade { name: named(here) };
    }
    Chain::Unknown { issuer: common_name(issuer).unwrap_or_else(|| issuer.to_string()) }
}

fn named(certificate: &Certificate) -> String {
    let subject = &certificate.tbs_certificate.subject;
    common_name(subject).unwrap_or_else(|| subject.to_string())
}

/// Whether one bears the name that the other gives for its issuer (RFC 5280,
/// 6.1.3, a 4).
fn names(issuer: &Certificate, certificate: &Certificate) -> bool {
    alike(&issuer.tbs_certificate.subject, &certificate.tbs_certificate.issuer)
}

/// Whether one was signed by the key of the other (RFC 5280, 6.1.3, a 1).
fn outcome(issuer: &Certificate, certificate: &Certificate) -> Outcome {
    let key = PublicKey::of(&issuer.tbs_certificate.subject_public_key_info);
    let body = certificate.tbs_certificate.to_der();
    let signature = certificate.signature.as_bytes();
    match (key, body, signature) {
        (Some(key), Ok(body), Some(signature))
            if certificate.signature_algorithm == certificate.tbs_certificate.signature =>
        {
            key.check(&certificate.signature_algorithm, None, &body, signature)
        }
        (None, ..) => Outcome::Unknown,
        _ => Outcome::Differs,
    }
}

fn unknown_way(issuer: &Certificate, certificate: &Certificate) -> String {
    if let Some(digest) = broken_digest(certificate.signature_algorithm.oid) {
        let name = named(certificate);
        return format!("the certificate of {name} is signed over {digest}, which can be forged");
    }
    if PublicKey::of(&issuer.tbs_certificate.subject_public_key_info).is_none() {
        let name = named(issuer);
        return format!("the key of {name} is of a kind that is not known here");
    }
    let name = named(certificate);
    format!("the certificate of {name} is signed in a way that is not known here")
}

/// Whether a certificate fits one of those that could have made it, where any
/// came along.
fn unhurt(one: &Certificate, others: &[Certificate]) -> bool {
    let mut makers = others.iter().filter(|other| names(other, one)).peekable();
    makers.peek().is_none() || makers.any(|maker| outcome(maker, one) != Outcome::Differs)
}

fn within(certificate: &Certificate, at: Option<Moment>) -> bool {
    let (from, until) = validity(certificate);
    at.is_none_or(|at| (from.seconds..=until.seconds).contains(&at.seconds))
}

/// Parts of a certificate that are understood or ask nothing of the reader; a
/// critical one that is not among them must not be passed over (RFC 5280,
/// 4.2). Policies ask nothing of who takes any (6.1.1, c).
const UNDERSTOOD: [ObjectIdentifier; 8] = [
    rfc5280::ID_CE_BASIC_CONSTRAINTS,
    rfc5280::ID_CE_KEY_USAGE,
    rfc5280::ID_CE_EXT_KEY_USAGE,
    rfc5280::ID_CE_NAME_CONSTRAINTS,
    rfc5280::ID_CE_SUBJECT_ALT_NAME,
    rfc5280::ID_CE_SUBJECT_KEY_IDENTIFIER,
    rfc5280::ID_CE_AUTHORITY_KEY_IDENTIFIER,
    rfc5280::ID_CE_CERTIFICATE_POLICIES,
];

/// Whether the last of a path may stand where it does. The others were asked
/// before. An anchor is held to what it says of itself as any other is (RFC
/// 5937): the reader takes its word, this too.
fn in_order(path: &[&Certificate], at: Option<Moment>, r#use: Use) -> Result<(), String> {
    let Some((here, below)) = path.split_last() else { return Ok(()) };
    let said = |why: &str| format!("the certificate of {} {why}", named(here));
    readable(here).map_err(said)?;
    // The signer's own key is told by itself.
    let told = below.is_empty() && r#use == Use::Documents;
    if let Some(key) = everyones(here).filter(|_| !told) {
        return Err(format!("the key of {} is {key}", named(here)));
    }
    if below.is_empty() {
        // Its own time is judged by itself, and that of stamps their own way.
        if r#use == Use::Documents {
            for_signing(here).map_err(said)?;
        }
        return Ok(());
    }
    if !within(here, at) {
        return Err(said("did not hold when it was signed"));
    }
    for_vouching(here).map_err(said)?;
    r#use.above(here).map_err(said)?;
    conditions(here, below).map_err(said)
}

/// What a certificate asks of those below it (RFC 5280, 6.1.3 b and c, 6.1.4 l
/// and m). Those who only renewed their own key do not count, the signer's
/// excepted.
fn conditions(here: &Certificate, below: &[&Certificate]) -> Result<(), &'static str> {
    let body = &here.tbs_certificate;
    let renewed =
        |one: &Certificate| alike(&one.tbs_certificate.subject, &one.tbs_certificate.issuer);
    let counted = below.iter().skip(1).filter(|one| !renewed(one)).count();
    let depth = body.get::<BasicConstraints>().ok().flatten();
    let most = depth.and_then(|(_, depth)| depth.path_len_constraint).map(usize::from);
    if most.is_some_and(|most| counted > most) {
        return Err("allows fewer authorities below it than there are");
    }
    let Some((_, names)) = body.get::<NameConstraints>().map_err(|_| UNREADABLE)? else {
        return Ok(());
    };
    let mut bound = below.iter().enumerate().filter(|(at, one)| *at == 0 || !renewed(one));
    bound.try_for_each(|(_, one)| allowed(one, &names))
}

const UNREADABLE: &str = "has a condition on names that cannot be read";

/// What holds for every certificate, whoever bears it.
fn readable(certificate: &Certificate) -> Result<(), &'static str> {
    let body = &certificate.tbs_certificate;
    let parts = body.extensions.as_deref().unwrap_or_default();
    if !parts.is_empty() && body.version != Version::V3 {
        return Err("is of a version that has no conditions, and has some");
    }
    let twice = |(at, part): (usize, &x509_cert::ext::Extension)| {
        parts[..at].iter().any(|before| before.extn_id == part.extn_id)
    };
    if parts.iter().enumerate().any(twice) {
        return Err("has a condition twice");
    }
    if parts.iter().any(|part| part.critical && !UNDERSTOOD.contains(&part.extn_id)) {
        return Err("has a critical condition that is not known here");
    }
    if body.get::<BasicConstraints>().is_err() || body.get::<NameConstraints>().is_err() {
        return Err("has a condition that cannot be read");
    }
    policies(certificate)
}

/// Policies are not worked out: who takes any needs them only where one is asked
/// for (RFC 5280, 6.1.1 c and 4.2.1.11), critical or not. A critical one may have
/// no word beside it but the two that the standard knows (4.2.1.4).
fn policies(certificate: &Certificate) -> Result<(), &'static str> {
    let body = &certificate.tbs_certificate;
    match body.get::<PolicyConstraints>() {
        Ok(Some((_, asked))) if asked.require_explicit_policy.is_some() => {
            return Err("asks for policies, which are not worked out here");
        }
        Ok(_) => {}
        Err(_) => return Err("has a condition that cannot be read"),
    }
    let known = [rfc5280::ID_QT_CPS, rfc5280::ID_QT_UNOTICE];
    match body.get::<CertificatePolicies>() {
        Ok(Some((true, all))) => {
            let words = all.0.iter().flat_map(|one| one.policy_qualifiers.iter().flatten());
            let strange = words.into_iter().any(|one| !known.contains(&one.policy_qualifier_id));
            (!strange)
                .then_some(())
                .ok_or("has a critical policy with words that are not known here")
        }
        Ok(_) => Ok(()),
        Err(_) => Err("has a condition that cannot be read"),
    }
}
