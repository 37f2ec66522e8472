//! Who vouches for a certificate (RFC 5280, 6), by anchors that the reader
//! gave. Without anchors nobody is trusted, and that is said. Withdrawn
//! certificates are not looked for: that would need a line.

use std::fmt;

use const_oid::ObjectIdentifier;
use const_oid::db::rfc5280;
use der::{Decode, Encode};
use x509_cert::Certificate;
use x509_cert::ext::pkix::BasicConstraints;

use crate::archive::certificate::{common_name, for_vouching, validity};
use crate::archive::key::pem_certificates;
use crate::archive::moment::Moment;
use crate::archive::public::{Outcome, PublicKey};

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

    fn name(&self) -> String {
        named(&self.0)
    }

    /// An anchor is taken at its word for itself, and for others where it was
    /// made to.
    fn vouches(&self, certificate: &Certificate) -> bool {
        self.0 == *certificate || for_vouching(&self.0) && made(&self.0, certificate)
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
    Broken { why: &'static str },
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

/// Certificates between a signer's and an anchor.
const LONGEST: usize = 8;

/// Follows a certificate up. `others` came with the signature, `at` is when it
/// was made.
pub fn chain(
    first: &Certificate,
    others: &[Certificate],
    anchors: &[Anchor],
    at: Option<Moment>,
) -> Chain {
    if others.iter().any(|one| !unhurt(one, others)) {
        let why = "a certificate that came with it is damaged or false";
        return Chain::Broken { why };
    }
    let mut here = first;
    for below in 0..LONGEST {
        if let Err(why) = usable(here, below, at) {
            return Chain::Broken { why };
        }
        if let Some(anchor) = anchors.iter().find(|a| a.vouches(here)) {
            return ended(anchor, at);
        }
        let above =
            others.iter().find(|other| *other != here && *other != first && made(other, here));
        let Some(above) = above else {
            return unknown(here, here == first, anchors);
        };
        if !for_vouching(above) {
            let why = "a certificate on the way was not made to vouch for others";
            return Chain::Broken { why };
        }
        here = above;
    }
    let why = "it is too long";
    Chain::Broken { why }
}

fn ended(anchor: &Anchor, at: Option<Moment>) -> Chain {
    if within(&anchor.0, at) {
        return Chain::To { anchor: anchor.name() };
    }
    let why = "the anchor did not hold when it was signed";
    Chain::Broken { why }
}

/// `alone` where nothing stands between the signer and here.
fn unknown(here: &Certificate, alone: bool, anchors: &[Anchor]) -> Chain {
    let issuer = &here.tbs_certificate.issuer;
    let same = |anchor: &&Anchor| anchor.0.tbs_certificate.subject == *issuer;
    if let Some(anchor) = anchors.iter().find(same) {
        return Chain::Pretended { anchor: anchor.name() };
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

/// Whether one was signed by the key of the other.
fn made(issuer: &Certificate, certificate: &Certificate) -> bool {
    issuer.tbs_certificate.subject == certificate.tbs_certificate.issuer
        && outcome(issuer, certificate) == Outcome::Fits
}

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

/// Whether a certificate fits one of those that could have made it, where any
/// came along.
fn unhurt(one: &Certificate, others: &[Certificate]) -> bool {
    let issuer = &one.tbs_certificate.issuer;
    let mut makers =
        others.iter().filter(|other| other.tbs_certificate.subject == *issuer).peekable();
    makers.peek().is_none() || makers.any(|maker| outcome(maker, one) != Outcome::Differs)
}

fn within(certificate: &Certificate, at: Option<Moment>) -> bool {
    let (from, until) = validity(certificate);
    at.is_none_or(|at| (from.seconds..=until.seconds).contains(&at.seconds))
}

/// Parts of a certificate that are understood or ask nothing of the reader; a
/// critical one that is not among them must not be passed over (RFC 5280,
/// 4.2).
const UNDERSTOOD: [ObjectIdentifier; 7] = [
    rfc5280::ID_CE_BASIC_CONSTRAINTS,
    rfc5280::ID_CE_KEY_USAGE,
    rfc5280::ID_CE_EXT_KEY_USAGE,
    rfc5280::ID_CE_SUBJECT_ALT_NAME,
    rfc5280::ID_CE_SUBJECT_KEY_IDENTIFIER,
    rfc5280::ID_CE_AUTHORITY_KEY_IDENTIFIER,
    rfc5280::ID_CE_CERTIFICATE_POLICIES,
];

/// `below` counts the certificates between this one and the signer's, the
/// signer's included.
fn usable(certificate: &Certificate, below: usize, at: Option<Moment>) -> Result<(), &'static str> {
    // The signer's own time is judged by itself.
    if below > 0 && !within(certificate, at) {
        return Err("a certificate on the way did not hold when it was signed");
    }
    let body = &certificate.tbs_certificate;
    let mut parts = body.extensions.iter().flatten();
    if parts.any(|part| part.critical && !UNDERSTOOD.contains(&part.extn_id)) {
        return Err("a certificate has a condition that is not known here");
    }
    if let Ok(Some((_, constraints))) = body.get::<BasicConstraints>() {
        let most = constraints.path_len_constraint.map(usize::from);
        if below > 0 && most.is_some_and(|most| below - 1 > most) {
            return Err("it is longer than an issuer allowed");
        }
    }
    Ok(())
}
