//! `benchleaf sign`: one person's signature on a report.

use super::lock::Lock;
use super::outcome::Outcome;
use super::plain::Named;
use super::say::{ask, complain, line};
use super::{disk, job};
use crate::bundle::{signatory, too_early, verify};
use crate::model::job::Person;
use crate::record::Status;
use crate::report::sections::last_day;
use crate::sign::key::Passphrase;
use crate::sign::{Moment, Signing, SigningKey, same_name, sign};
use clap::Args;
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

/// Sign the report of a complete record: each person who answers for something,
/// one after the other. It is final when all have.
///
/// A signature proves that the report is as it was signed and who held the
/// key. It proves no authority, and it is not a release.
#[derive(Args)]
pub struct Sign {
    /// The report; it is signed in place unless --out is given.
    report: PathBuf,
    /// The person's key: PKCS #12 (.p12, .pfx) or PEM with key and certificate.
    #[arg(long, value_name = "FILE")]
    key: PathBuf,
    /// Initials of the person, as in the job.
    #[arg(long = "as", value_name = "INITIALS")]
    initials: String,
    /// Read the passphrase from this open file descriptor, not the terminal.
    #[arg(long, value_name = "NUMBER")]
    passphrase_fd: Option<u32>,
    /// Where the signed report goes, where not into the report itself.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

/// A key to sign with, and the initials of the person it is for.
pub struct Hand<'a> {
    pub key: &'a SigningKey,
    pub initials: &'a str,
    /// A demonstration's: its record may lie after the clock.
    pub throw_away: bool,
}

impl Sign {
    pub fn run(&self) -> Outcome {
        self.signed().map_or_else(|outcome| outcome, |()| Outcome::Done)
    }

    fn signed(&self) -> Result<(), Outcome> {
        disk::report(&self.report, Named::ByHand).map_err(|error| job::wrong(&error))?;
        let file = disk::key(&self.key).map_err(|error| job::wrong(&error))?;
        warn_if_open(&self.key);
        let key = self.unlock(&zeroize::Zeroizing::new(file))?;
        if key.without_checksum {
            let path = self.key.display();
            complain!(
                "benchleaf: {path}: has no checksum (MAC): whether it was altered is not known"
            );
        }
        if let Some(known) = key.everyones() {
            complain!("benchleaf: {}: this is {known}", self.key.display());
        }
        let path = self.out.as_deref().unwrap_or(&self.report);
        // Nobody waits for a passphrase: from here on it goes without asking.
        let lock = Lock::beside(path).map_err(|error| job::wrong(&error))?;
        let bytes =
            disk::report(&self.report, Named::ByHand).map_err(|error| job::wrong(&error))?;
        let signed = add(&bytes, &Hand { key: &key, initials: &self.initials, throw_away: false })?;
        disk::replace_pdf(&lock, path, &signed).map_err(|error| job::wrong(&error))?;
        line!(
            "{}: signed for {}, {} bytes added. A signature is not a release.",
            path.display(),
            self.initials,
            signed.len() - bytes.len()
        );
        Ok(())
    }

    /// A locked key asks for its passphrase.
    fn unlock(&self, file: &[u8]) -> Result<SigningKey, Outcome> {
        use crate::sign::key::KeyError;
        match SigningKey::read(file, None) {
            Err(KeyError::NeedsPassphrase) => {}
            read => return read.map_err(|error| job::wrong(&error)),
        }
        let typed = match self.passphrase_fd {
            Some(number) => from_descriptor(number)?,
            None => ask(&format!("passphrase of {}: ", self.key.display()))
                .map_err(|error| {
                    job::wrong(&format!(
                        "no passphrase could be asked for: {error}; --passphrase-fd reads one"
                    ))
                })?
                .into_bytes(),
        };
        SigningKey::read(file, Some(&Passphrase::new(typed))).map_err(|error| job::wrong(&error))
    }
}

/// What a descriptor gives may have no end.
const LONGEST_PASSPHRASE: u64 = 4096;

fn from_descriptor(number: u32) -> Result<Vec<u8>, Outcome> {
    let path = PathBuf::from(format!("/dev/fd/{number}"));
    let mut typed = Vec::new();
    let file = fs::File::open(&path).map(|file| file.take(LONGEST_PASSPHRASE));
    file.and_then(|mut file| file.read_to_end(&mut typed)).map_err(|error| {
        job::wrong(&format!("file descriptor {number} cannot be read: {error}"))
    })?;
    while typed.last().is_some_and(|last| matches!(last, b'\n' | b'\r')) {
        typed.pop();
    }
    Ok(typed)
}

/// Other people of the machine who can read the key can sign with it.
#[cfg(unix)]
fn warn_if_open(path: &Path) {
    use std::os::unix::fs::PermissionsExt;
    if fs::metadata(path).is_ok_and(|meta| meta.permissions().mode() & 0o077 != 0) {
        complain!("benchleaf: {}: others can read this key; chmod 600 it", path.display());
    }
}

#[cfg(not(unix))]
fn warn_if_open(_: &Path) {}

/// Adds a signature to the bytes of a report that proves good, of a record that is complete.
pub fn add(pdf: &[u8], hand: &Hand) -> Result<Vec<u8>, Outcome> {
    let proof = verify(pdf, &[]).map_err(|error| job::wrong(&error))?;
    if let Some(why) = proof.fault() {
        return Err(job::wrong(&format!("not signed: {why}")));
    }
    if proof.status != Some(Status::Complete) {
        return Err(job::wrong(
            &"not signed: the record is not complete; `benchleaf check` says why",
        ));
    }
    let Some(case) = &proof.case else {
        return Err(job::wrong(&"not signed: its files cannot be read"));
    };
    let claimed = now();
    let person =
        case.job.person(hand.initials).ok_or_else(|| unknown(&case.job.people, hand.initials))?;
    let theirs = |said: &str| same_name(said, person.name.as_str());
    let mut before = proof.signatures.iter().filter_map(|signature| signature.said.name.as_deref());
    if before.any(theirs) {
        return Err(job::wrong(&format!("not signed: {} has signed it already", person.name)));
    }
    let own = signatory(person, &proof.places).ok_or_else(|| {
        job::wrong(&format!(
            "not signed: {} has no place on the sign-off page: no sheet carries {}",
            person.name, person.initials
        ))
    })?;
    let Signing { signer, places } = own.signing(claimed);
    let signed =
        sign(pdf, hand.key, &signer, &places, seed()?).map_err(|error| job::wrong(&error))?;
    let last = case.record.as_ref().and_then(last_day).filter(|_| !hand.throw_away);
    if let Some(why) = too_early(claimed, last, &proof.signatures) {
        return Err(job::wrong(&format!(
            "not signed: by this machine's clock {why}: is it set back? A signature claims the \
             clock's time"
        )));
    }
    Ok(signed)
}

fn unknown(people: &[Person], initials: &str) -> Outcome {
    let known: Vec<&str> = people.iter().map(|person| person.initials.as_str()).collect();
    job::wrong(&format!(
        "nobody in the job has the initials {initials}; it names {}",
        known.join(", ")
    ))
}

/// The signer's own clock: a claim.
fn now() -> Moment {
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    Moment::utc(since.ok().and_then(|since| i64::try_from(since.as_secs()).ok()).unwrap_or(0))
}

/// Bytes taken by chance from the operating system.
fn seed() -> Result<[u8; 32], Outcome> {
    let mut seed = [0; 32];
    getrandom::fill(&mut seed).map_err(|error| job::wrong(&format!("no random bytes: {error}")))?;
    Ok(seed)
}
