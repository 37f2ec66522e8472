//! Forms: one sheet each, the same set for any engine.

use super::typed::Word;

/// The forms of a job in bench order, and the report's wording.
#[derive(Clone, Debug)]
pub struct FormSet {
    pub forms: Vec<Form>,
    pub report: ReportForm,
}

/// One sheet.
#[derive(Clone, Debug)]
pub struct Form {
    /// One to three capitals, digits.
    pub letter: Word,
    pub title: Word,
    /// What kind of sheet, under the title.
    pub subtitle: Option<Word>,
    pub revision: Word,
    /// Place in the bench order.
    pub order: (u32, Word),
    /// Printed only where the engine has this part.
    pub part: Option<Word>,
    /// Captions of the sign-off at the foot, by key (`shaft`, `bore`,
    /// `read`, `work`); the order is the printing order. Worked out from the
    /// blocks where the form does not say.
    pub signs: Vec<(Word, Word)>,
    pub blocks: Vec<Block>,
}

#[derive(Clone, Debug)]
pub struct Block {
    /// By which a rework can reopen it.
    pub id: Option<Word>,
    /// Printed only where the engine has this part.
    pub part: Option<Word>,
    /// Further parts that the items speak of: a change of one reopens them.
    pub of: Vec<Word>,
    /// The parts that each item speaks of, in place of the block's; empty where
    /// all speak of the same.
    pub of_each: Vec<Vec<Word>>,
    pub content: Content,
}

/// Texts are templates over engine, limits, job and place.
#[derive(Clone, Debug)]
pub enum Content {
    /// Things to look at: ok, found, n.a.; at each place of a set where `at`.
    LookOver {
        title: Word,
        items: Vec<Word>,
        at: Option<Word>,
    },
    /// Work that must be done, each with a tick: before measuring, assembly.
    Steps {
        title: Word,
        items: Vec<Word>,
        at: Option<Word>,
        hold: bool,
        /// The gauge that it is done with: a torque wrench.
        with: Option<Word>,
    },
    /// The steps of an engine's condition, before measuring.
    Condition {
        id: Word,
    },
    /// The rows of these lines of the limits, in this order.
    Measure {
        title: Option<Word>,
        note: Option<Word>,
        lines: Vec<Word>,
    },
    /// Every line that no other sheet prints.
    Rest {
        title: Word,
    },
    /// Blanks to fill in with words or figures.
    Write {
        title: Word,
        items: Vec<Word>,
        at: Option<Word>,
    },
    /// Always-renewed parts: each with number, batch and document.
    Renew {
        title: Word,
        parts: Option<Vec<Word>>,
    },
    Caution {
        text: Word,
    },
    Note {
        text: Word,
    },
}

/// The report's sections and wording, from `report.toml`.
#[derive(Clone, Debug)]
pub struct ReportForm {
    pub title: Word,
    /// Key of a section that the program knows, heading, words under it.
    pub sections: Vec<ReportSection>,
    /// What the report is not; at the foot of every page.
    pub disclaimer: Word,
}

#[derive(Clone, Debug)]
pub struct ReportSection {
    pub show: Word,
    pub title: Word,
    pub text: Option<Word>,
}
