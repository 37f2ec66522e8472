//! Names in certificates, and what an authority allows of them (RFC 5280,
//! 4.2.1.10 and 7.1).

use const_oid::db::rfc3280::EMAIL_ADDRESS;
use der::asn1::Ia5String;
use x509_cert::Certificate;
use x509_cert::attr::AttributeTypeAndValue;
use x509_cert::ext::pkix::constraints::name::GeneralSubtree;
use x509_cert::ext::pkix::name::GeneralName;
use x509_cert::ext::pkix::{NameConstraints, SubjectAltName};
use x509_cert::name::{Name, RelativeDistinguishedName};

use crate::sign::certificate::{same_name, text};

/// Whether two names are one: the same parts in the same order, capitals,
/// spaces and the kind of string aside (RFC 5280, 7.1).
pub fn alike(one: &Name, other: &Name) -> bool {
    one.0.len() == other.0.len() && begins(one, other)
}

/// Whether a name begins with all parts of another.
fn begins(name: &Name, with: &Name) -> bool {
    name.0.len() >= with.0.len() && name.0.iter().zip(&with.0).all(|(a, b)| step(a, b))
}

fn step(one: &RelativeDistinguishedName, other: &RelativeDistinguishedName) -> bool {
    let has = |set: &RelativeDistinguishedName, part| set.0.iter().any(|own| same(own, part));
    one.0.len() == other.0.len()
        && one.0.iter().all(|part| has(other, part))
        && other.0.iter().all(|part| has(one, part))
}

fn same(one: &AttributeTypeAndValue, other: &AttributeTypeAndValue) -> bool {
    one.oid == other.oid
        && match (text(&one.value), text(&other.value)) {
            (Some(one), Some(other)) => same_name(&one, &other),
            _ => one.value == other.value,
        }
}

/// Whether all names of a certificate are as an authority above it allows.
///
/// # Errors
/// Why they are not, or why it cannot be told.
pub fn allowed(certificate: &Certificate, by: &NameConstraints) -> Result<(), &'static str> {
    let names = names(certificate)?;
    for (list, permit) in [(&by.permitted_subtrees, true), (&by.excluded_subtrees, false)] {
        let list = list.as_deref().unwrap_or_default();
        if list.iter().any(|one| one.minimum != 0 || one.maximum.is_some()) {
            return Err("has a condition on names that RFC 5280 does not allow");
        }
        for name in &names {
            judge(name, list, permit)?;
        }
    }
    Ok(())
}

/// A condition binds the names of its own kind alone.
fn judge(name: &GeneralName, list: &[GeneralSubtree], permit: bool) -> Result<(), &'static str> {
    let mut bound = false;
    let mut within = false;
    for one in list.iter().filter(|one| kind(&one.base) == kind(name)) {
        bound = true;
        let fits = fits(name, &one.base);
        within |= fits.ok_or("has a condition on names of a kind that is not known here")?;
    }
    match permit {
        true if bound && !within => Err("does not allow a name of those below it"),
        false if within => Err("forbids a name of those below it"),
        _ => Ok(()),
    }
}

fn kind(name: &GeneralName) -> u8 {
    match name {
        GeneralName::OtherName(_) => 0,
        GeneralName::Rfc822Name(_) => 1,
        GeneralName::DnsName(_) => 2,
        GeneralName::DirectoryName(_) => 4,
        GeneralName::EdiPartyName(_) => 5,
        GeneralName::UniformResourceIdentifier(_) => 6,
        GeneralName::IpAddress(_) => 7,
        GeneralName::RegisteredId(_) => 8,
    }
}

/// All names that a certificate bears: its subject, the addresses in it, and
/// the other names.
fn names(certificate: &Certificate) -> Result<Vec<GeneralName>, &'static str> {
    let body = &certificate.tbs_certificate;
    let mut names = Vec::new();
    if !body.subject.0.is_empty() {
        names.push(GeneralName::DirectoryName(body.subject.clone()));
    }
    let parts = body.subject.0.iter().flat_map(|set| set.0.iter());
    for part in parts.filter(|part| part.oid == EMAIL_ADDRESS) {
        let address = text(&part.value).and_then(|address| Ia5String::new(&address).ok());
        names.push(GeneralName::Rfc822Name(address.ok_or(UNREADABLE)?));
    }
    match body.get::<SubjectAltName>() {
        Ok(None) => {}
        Ok(Some((_, others))) => names.extend(others.0),
        Err(_) => return Err(UNREADABLE),
    }
    Ok(names)
}

const UNREADABLE: &str = "limits names, and a name below it cannot be read";

/// Whether a name lies within another of the same kind; `None` where it cannot
/// be told.
fn fits(name: &GeneralName, base: &GeneralName) -> Option<bool> {
    match (name, base) {
        (GeneralName::DirectoryName(name), GeneralName::DirectoryName(base)) => {
            Some(begins(name, base))
        }
        (GeneralName::Rfc822Name(name), GeneralName::Rfc822Name(base)) => {
            Some(address_fits(name.as_str(), base.as_str()))
        }
        (GeneralName::DnsName(name), GeneralName::DnsName(base)) => {
            Some(host_fits(name.as_str(), base.as_str(), true))
        }
        (
            GeneralName::UniformResourceIdentifier(name),
            GeneralName::UniformResourceIdentifier(base),
        ) => Some(host_fits(host(name.as_str())?, base.as_str(), false)),
        (GeneralName::IpAddress(name), GeneralName::IpAddress(base)) => {
            number_fits(name.as_bytes(), base.as_bytes())
        }
        _ => None,
    }
}

/// A condition is an address, a host, or with a point before it a domain.
fn address_fits(address: &str, base: &str) -> bool {
    let Some((user, host)) = address.rsplit_once('@') else { return false };
    match base.rsplit_once('@') {
        Some((own, at)) => own == user && at.eq_ignore_ascii_case(host),
        None => host_fits(host, base, false),
    }
}

/// With `below`, a host stands for all below it too, as it does for DNS names.
fn host_fits(host: &str, base: &str, below: bool) -> bool {
    let (host, base) = (host.to_ascii_lowercase(), base.to_ascii_lowercase());
    if base.is_empty() {
        return true;
    }
    match base.strip_prefix('.') {
        Some(_) => host.ends_with(&base),
        None => host == base || below && host.ends_with(&format!(".{base}")),
    }
}

/// The host of a URI, which a condition is on; none where it has a number or
/// nothing in its place.
fn host(uri: &str) -> Option<&str> {
    let rest = uri.split_once("://")?.1;
    let rest = rest.split(['/', '?', '#']).next()?;
    let host = rest.rsplit('@').next()?.split(':').next()?;
    let named = !host.is_empty() && !host.starts_with('[');
    (named && host.bytes().any(|b| b.is_ascii_alphabetic())).then_some(host)
}

/// A condition is an address and a mask of the same length.
fn number_fits(address: &[u8], base: &[u8]) -> Option<bool> {
    let (network, mask) = base.split_at_checked(base.len() / 2)?;
    if !matches!(base.len(), 8 | 32) || !matches!(address.len(), 4 | 16) {
        return None;
    }
    let bits = address.iter().zip(network).zip(mask);
    Some(address.len() == network.len() && bits.into_iter().all(|((a, n), m)| a & m == n & m))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The examples of RFC 5280, 4.2.1.10.
    #[test]
    fn conditions_bind_as_the_standard_says() {
        for (address, base, fits) in [
            ("root@host.example.com", "root@host.example.com", true),
            ("ada@host.example.com", "root@host.example.com", false),
            ("root@host.example.com", "host.example.com", true),
            ("root@my.host.example.com", "host.example.com", false),
            ("root@host.example.com", ".example.com", true),
            ("root@example.com", ".example.com", false),
            ("no address", "host.example.com", false),
        ] {
            assert_eq!(address_fits(address, base), fits, "{address} under {base}");
        }
        for (name, base, fits) in [
            ("host.example.com", "host.example.com", true),
            ("www.Host.example.com", "host.Example.com", true),
            ("host1.example.com", "host.example.com", false),
            ("badhost.example.com", "host.example.com", false),
            ("anything", "", true),
        ] {
            assert_eq!(host_fits(name, base, true), fits, "{name} under {base}");
        }
        for (uri, base, fits) in [
            ("https://host.example.com/a", "host.example.com", Some(true)),
            ("https://my.host.example.com:8443?q", "host.example.com", Some(false)),
            ("https://ada@my.host.example.com/", ".example.com", Some(true)),
            ("https://example.com/", ".example.com", Some(false)),
            ("https://192.0.2.7/", "host.example.com", None),
            ("https://[2001:db8::1]/", "host.example.com", None),
            ("urn:example", "host.example.com", None),
        ] {
            let found = host(uri).map(|host| host_fits(host, base, false));
            assert_eq!(found, fits, "{uri} under {base}");
        }
        let net = [0xC0, 0x00, 0x02, 0x00, 0xFF, 0xFF, 0xFF, 0x00];
        assert_eq!(number_fits(&[0xC0, 0x00, 0x02, 0x07], &net), Some(true));
        assert_eq!(number_fits(&[0xC0, 0x00, 0x03, 0x07], &net), Some(false));
        assert_eq!(number_fits(&[0; 16], &net), Some(false));
        assert_eq!(number_fits(&[0; 4], &net[..7]), None);
    }
}
