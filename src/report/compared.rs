//! What the scans of the filled sheets seem to say, held against the transcription.
//! It is one more pair of eyes: nothing of it decides anything.

use crate::quantity::count;

/// A scan that shows no page of the set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stray {
    pub scan: String,
    pub why: String,
}

/// What is odd about one box.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Odd {
    /// The paper seems to say this, cell by cell, `?` where a cell could not be read
    /// and `_` where it is empty.
    Says(String),
    /// Typed, and the paper is empty.
    Empty,
    /// Struck out, overwritten or scribbled over.
    Struck,
    /// Something is written and nothing is typed.
    Written,
}

/// A box in which paper and transcription seem to differ.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OddBox {
    /// As printed, and the sheet's letter.
    pub page: String,
    pub sheet: String,
    pub row: String,
    /// The key of its side, and which box of it, from 1.
    pub side: String,
    pub number: usize,
    /// `C3 bore 2`.
    pub name: String,
    pub scan: String,
    pub odd: Odd,
    /// As typed; `None` for a blank.
    pub typed: Option<String>,
    /// What the transcription holds that settles it.
    pub settled: Option<String>,
}

/// A page of the set where it was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FoundPage {
    pub page: String,
    pub sheet: String,
    pub scan: String,
    /// The corners of the sheet of paper, in dots of the picture: upper left, upper
    /// right, lower right, lower left as printed.
    pub corners: [(i64, i64); 4],
}

/// Boxes by what could be made of them. Each box of the set is counted once.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Boxes {
    /// Boxes for figures that the set has.
    pub all: usize,
    /// On pages that were found on the scans.
    pub shown: usize,
    /// Read as they are typed.
    pub alike: usize,
    /// Empty on paper, and nothing is typed.
    pub empty: usize,
    /// Read, and different.
    pub odd: usize,
    /// Looked at, and not all of their cells could be read.
    pub unread: usize,
    /// Cut off or bent, so that they were not found on their page.
    pub lost: usize,
    /// Typed from a second-stage sheet, whose pages are not read.
    pub second: usize,
}

/// What was made of a box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Made {
    Alike,
    Empty,
    Odd,
    /// Not all of its cells could be read, or nothing is said of it.
    Unread,
    /// Not found on its page.
    Lost,
    /// Typed from a second-stage sheet.
    Second,
}

impl Made {
    pub fn word(self) -> &'static str {
        match self {
            Made::Alike => "as typed",
            Made::Empty => "empty",
            Made::Odd => "different",
            Made::Unread => "not read",
            Made::Lost => "not found",
            Made::Second => "second stage",
        }
    }
}

/// A box that was looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoxSeen {
    pub page: String,
    pub row: String,
    pub side: String,
    /// From 1.
    pub number: usize,
    pub name: String,
    pub made: Made,
}

/// The scans against the transcription.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Compared {
    /// Anything is typed: before that nothing is said of what the paper holds.
    pub typed: bool,
    /// Pages of the set with boxes for figures, and those of them that were found.
    pub pages: usize,
    pub placed: usize,
    /// Each of them on each scan that shows it.
    pub found: Vec<FoundPage>,
    /// Pages that could not be placed.
    pub refused: Vec<Stray>,
    pub boxes: Boxes,
    /// In the order of the set.
    pub odd: Vec<OddBox>,
    /// Every box on the pages that were found, in the order of the set.
    pub each: Vec<BoxSeen>,
}

impl OddBox {
    /// `paper seems to say 1.3757, typed 1.3751`.
    pub fn words(&self) -> String {
        let typed = match &self.typed {
            Some(typed) => format!("typed {typed}"),
            None => "nothing typed".to_owned(),
        };
        match &self.odd {
            Odd::Says(says) => format!("paper seems to say {says}, {typed}"),
            Odd::Empty => format!("empty on paper, {typed}"),
            Odd::Struck => format!("struck out or overwritten on paper, {typed}"),
            Odd::Written => format!("written on paper, {typed}"),
        }
    }

    pub fn says(&self) -> Option<&str> {
        match &self.odd {
            Odd::Says(says) => Some(says),
            Odd::Empty | Odd::Struck | Odd::Written => None,
        }
    }

    /// In one word, for machines.
    pub fn word(&self) -> &'static str {
        match self.odd {
            Odd::Says(_) => "says",
            Odd::Empty => "empty",
            Odd::Struck => "struck",
            Odd::Written => "written",
        }
    }
}

impl Compared {
    /// Those that nothing in the transcription settles.
    pub fn open(&self) -> impl Iterator<Item = &OddBox> {
        self.odd.iter().filter(|odd| odd.settled.is_none())
    }

    /// Read, whatever came of it.
    pub fn read(&self) -> usize {
        self.boxes.alike + self.boxes.empty + self.boxes.odd
    }

    /// How many boxes could be read, then what each could not be for.
    pub fn words(&self) -> Vec<String> {
        let Boxes { all, shown, unread, lost, second, alike, .. } = self.boxes;
        let mut words = vec![format!(
            "{} of {} with boxes for figures found on the scans; {} of {} in the set could be read",
            self.placed,
            count(self.pages, "page"),
            self.read(),
            count(all, "box"),
        )];
        if self.typed {
            words.push(format!(
                "{} read as typed, {} to look at",
                count(alike, "box"),
                count(self.boxes.odd, "box")
            ));
        }
        let mut not = Vec::new();
        if unread > 0 {
            not.push(format!("{unread} not legible to the program"));
        }
        if lost > 0 {
            not.push(format!("{lost} cut off or bent"));
        }
        if second > 0 {
            not.push(format!("{second} typed from second-stage sheets"));
        }
        if all > shown {
            not.push(format!("{} on pages that were not found", all - shown));
        }
        if !not.is_empty() {
            words.push(format!("not read: {}", not.join(", ")));
        }
        let refused = self.refused.iter();
        words
            .extend(refused.map(|page| format!("{} could not be placed: {}", page.scan, page.why)));
        words
    }
}
