//! The known word that a mistyped one is nearest to.

use crate::diag::{Diags, Span};
use crate::model::text::Text;
use std::collections::BTreeMap;

/// The nearest of some words, where one is near enough to be meant.
pub fn nearest<'a>(typed: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    // Of one or two letters, everything is near.
    let limit = match typed.chars().count() {
        0..=2 => 0,
        count => (count / 3).clamp(1, 4),
    };
    within(limit, typed, known)
}

/// The nearest of some words, where the typed one is a slip of the pen away: a
/// letter, of a long word two. Names of like things lie further apart than that
/// (`inner-springs`, `outer-springs`).
pub fn slip_of<'a>(typed: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let limit = match typed.chars().count() {
        0..=2 => 0,
        3..=11 => 1,
        _ => 2,
    };
    within(limit, typed, known)
}

fn within<'a>(limit: usize, typed: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let near = |word: &'a str| {
        let far = far(&typed.to_lowercase(), &word.to_lowercase());
        (far <= limit).then_some((far, word))
    };
    known.filter_map(near).min_by_key(|(far, _)| *far).map(|(_, word)| word)
}

/// Letters to put in, take out, change or exchange with a neighbour; beyond all
/// reach where the words are of too different a length, or too long.
fn far(left: &str, right: &str) -> usize {
    let (long, other) = (left.chars().count(), right.chars().count());
    if long.abs_diff(other) > 4 || long > 64 {
        return usize::MAX;
    }
    strsim::osa_distance(left, right)
}

/// Things that others refer to by name: `what` is how one is spoken of.
pub struct Known {
    what: &'static str,
    by_name: BTreeMap<Box<str>, usize>,
    /// Some names may have been lost with what could not be read.
    lost: bool,
}

/// The most names that a message lists.
const LISTED: usize = 12;

impl Known {
    pub fn new<'a>(what: &'static str, names: impl Iterator<Item = &'a Text>) -> Known {
        let by_name = names.enumerate().map(|(index, name)| (name.text.clone(), index)).collect();
        Known { what, by_name, lost: false }
    }

    /// Nothing is said of an unknown name where names may have been lost.
    pub fn complete(mut self, whole: bool) -> Known {
        self.lost = !whole;
        self
    }

    /// The index of a name; a name that is not there is a fault that offers
    /// the nearest, or lists what there is.
    pub fn find(&self, name: &Text, out: &mut Diags) -> Option<usize> {
        let found = self.by_name.get(name.as_str()).copied();
        if found.is_none() && !self.lost {
            self.lacking(&name.at, name.as_str(), out);
        }
        found
    }

    fn lacking(&self, at: &Span, name: &str, out: &mut Diags) {
        let names = || self.by_name.keys().map(|name| &**name);
        let help = match nearest(name, names()) {
            Some(near) => format!("did you mean {near}"),
            None if self.by_name.is_empty() => format!("there is no {} at all", self.what),
            None => {
                let more = if self.by_name.len() > LISTED { ", ..." } else { "" };
                let listed: Vec<&str> = names().take(LISTED).collect();
                format!("there are {}{more}", listed.join(", "))
            }
        };
        out.fault(at, format!("there is no {} {name}", self.what), help);
    }
}
