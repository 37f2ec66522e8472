//! A checked signature in plain words, a line for each thing that was looked
//! at.

use std::fmt;

use super::types::{Held, Integrity, SignatureReport};

impl fmt::Display for Integrity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Integrity::Sound => write!(f, "sound: what it covers is as it was signed"),
            Integrity::Altered => write!(
                f,
                "not valid: the signature is the signer's, but over other bytes: the file was \
                 altered after signing, or the signature was taken from another file"
            ),
            Integrity::Foreign => write!(
                f,
                "not valid: the signature's places do not fit this file: it was taken from \
                 another file"
            ),
            Integrity::Forged => write!(
                f,
                "not valid: the signature was not made with the key of the certificate it names"
            ),
            Integrity::Unknown => {
                write!(f, "not checked: it was signed in a way that is not known here")
            }
            Integrity::Malformed { why } => write!(f, "not valid: {why}"),
        }
    }
}

impl fmt::Display for Held {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Held::Yes => "the certificate held at that time",
            Held::Ended => "the certificate had ended by that time",
            Held::NotBegun => "the certificate had not begun at that time",
            Held::NoTime => "no time is given, so whether the certificate held is not known",
        })
    }
}

impl SignatureReport {
    /// What was found, a line each, without a name for the signature.
    pub fn lines(&self) -> Vec<String> {
        let mut lines = vec![self.integrity.to_string()];
        if let Some(person) = &self.person {
            lines.push(format!("certificate of {person}, serial {}", person.serial));
        }
        lines.extend(self.everyones.map(|key| format!("signed with {key}")));
        lines.extend(self.chain.as_ref().map(ToString::to_string));
        lines.extend(self.time());
        if self.person.is_some() {
            lines.push(self.held.to_string());
        }
        lines.push(self.after());
        if self.taken_out {
            lines.push("this signature was taken out of the form".to_owned());
        }
        lines
    }

    fn time(&self) -> Vec<String> {
        let mut lines = Vec::new();
        if let Some(claimed) = self.said.claimed {
            lines.push(format!("signed at {claimed} by the signer's own claim"));
        }
        if let Some(stamp) = &self.stamp {
            let by = stamp.by.as_ref().map(ToString::to_string);
            let by = by.unwrap_or_else(|| "an unknown authority".to_string());
            lines.push(match (stamp.fault, stamp.time) {
                (Some(why), _) => format!("the time stamp proves nothing: {why}"),
                (None, Some(time)) => format!("stamped at {time} by {by}"),
                (None, None) => "the time stamp has no time".to_string(),
            });
            if stamp.sound() {
                let chain = stamp.chain.as_ref();
                lines.extend(chain.map(|chain| format!("the stamp's certificate: {chain}")));
            }
        }
        lines
    }

    fn after(&self) -> String {
        let foreign = self.unaccounted.as_ref();
        match (self.end, foreign) {
            (None, _) => "what it covers is not known".to_owned(),
            (Some(end), Some(foreign)) if foreign.at < end => {
                format!("what it covers was altered: {foreign}")
            }
            (_, Some(foreign)) => format!("the file was changed after it: {foreign}"),
            _ if self.whole => "it covers the whole file".to_owned(),
            _ => "only signatures may stand behind what it covers".to_owned(),
        }
    }
}
