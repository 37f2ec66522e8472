//! The sides of a row and its boxes, and the words that are typed for them.

use std::fmt;

/// What a feature is to its mate.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    Shaft,
    Bore,
    /// It has no mate: a length, a width, a weight.
    #[default]
    Only,
}

/// The boxes of a row that are filled in together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    Read(Side),
    /// Whether the leaf that must enter did, a box a tooth.
    Go,
    /// Whether the leaf that must not enter was refused.
    NoGo,
    /// Further leaves, each tried at a tooth. They are written without boxes.
    Leaves,
}

/// One box of a row: `bore 2`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BoxId {
    pub group: Group,
    /// In printed order, from 0.
    pub index: usize,
}

impl Side {
    /// The two parts of a fit.
    pub const FIT: [Side; 2] = [Side::Shaft, Side::Bore];

    /// The key of its readings.
    pub const fn word(self) -> &'static str {
        match self {
            Side::Shaft => "shaft",
            Side::Bore => "bore",
            Side::Only => "read",
        }
    }

    /// What there is of it, of shaft and bore. What has no mate is seen as a
    /// shaft is.
    pub fn of<T>(self, [shaft, bore]: [T; 2]) -> T {
        match self {
            Side::Shaft | Side::Only => shaft,
            Side::Bore => bore,
        }
    }

    pub fn mate(self) -> Side {
        match self {
            Side::Shaft => Side::Bore,
            Side::Bore => Side::Shaft,
            Side::Only => Side::Only,
        }
    }
}

impl Group {
    /// In the order of the paper.
    pub const ALL: [Group; 6] = [
        Group::Read(Side::Shaft),
        Group::Read(Side::Bore),
        Group::Read(Side::Only),
        Group::Go,
        Group::NoGo,
        Group::Leaves,
    ];

    /// By the word that is typed for it.
    pub fn named(word: &str) -> Option<Group> {
        Group::ALL.into_iter().find(|group| group.word() == word)
    }

    /// As typed in the transcription.
    pub const fn word(self) -> &'static str {
        match self {
            Group::Read(side) => side.word(),
            Group::Go => "go",
            Group::NoGo => "nogo",
            Group::Leaves => "leaves",
        }
    }

    /// The side whose signature it stands under.
    pub fn side(self) -> Side {
        match self {
            Group::Read(side) => side,
            Group::Go | Group::NoGo | Group::Leaves => Side::Only,
        }
    }
}

impl Default for Group {
    fn default() -> Group {
        Group::Read(Side::Only)
    }
}

impl From<Side> for Group {
    fn from(side: Side) -> Group {
        Group::Read(side)
    }
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl fmt::Display for Group {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

impl fmt::Display for BoxId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.group, self.index + 1)
    }
}
