//! Forms: one sheet each, the same set for any engine.

use super::engine::Engine;
use super::side::Side;
use super::text::Text;

/// Keys of what a sheet is signed off for, in printed order.
pub const SIGN_KEYS: [&str; 5] =
    ["work", Side::Shaft.word(), Side::Bore.word(), Side::Only.word(), "check"];

/// The forms of a job in bench order, and the report's wording.
#[derive(Clone, Debug)]
pub struct FormSet {
    pub forms: Vec<Form>,
    pub report: ReportForm,
    /// What the forms ask for by kind of part and this engine does not have, in
    /// words.
    pub left_out: Vec<String>,
}

/// The references of the lines that the forms print by name for an engine, in
/// printed order.
pub fn lines_named<'a>(forms: &'a [Form], engine: &Engine) -> Vec<&'a Text> {
    let has =
        |part: &Option<Text>| part.as_ref().is_none_or(|part| engine.part(part.as_str()).is_some());
    let forms = forms.iter().filter(|form| has(&form.part));
    let blocks = forms.flat_map(|form| form.blocks.iter().filter(|block| has(&block.part)));
    let lines = blocks.flat_map(|block| match &block.content {
        Content::Measure { lines, .. } => lines.as_slice(),
        _ => &[],
    });
    lines.collect()
}

/// One sheet.
#[derive(Clone, Debug)]
pub struct Form {
    /// One to three capitals, digits.
    pub letter: Text,
    pub title: Text,
    /// What kind of sheet, under the title.
    pub subtitle: Option<Text>,
    pub revision: Text,
    /// Place in the bench order.
    pub order: (u32, Text),
    /// Printed only where the engine has this part.
    pub part: Option<Text>,
    /// Captions of the sign-off at the foot, by key (`shaft`, `bore`,
    /// `read`, `work`); the order is the printing order. Worked out from the
    /// blocks where the form does not say.
    pub signs: Vec<(Text, Text)>,
    pub blocks: Vec<Block>,
}

#[derive(Clone, Debug)]
pub struct Block {
    /// By which a rework can reopen it.
    pub id: Option<Text>,
    /// Printed only where the engine has this part.
    pub part: Option<Text>,
    /// Further parts that the items speak of: a change of one reopens them.
    pub of: Vec<Text>,
    /// The parts that each item speaks of, in place of the block's; empty where
    /// all speak of the same.
    pub of_each: Vec<Vec<Text>>,
    pub content: Content,
}

impl Block {
    /// The parts that it names beside its items, all of them or one by one.
    pub fn speaks_of(&self) -> impl Iterator<Item = &Text> {
        self.of.iter().chain(self.of_each.iter().flatten())
    }
}

/// Texts are templates over engine, limits, job and place.
#[derive(Clone, Debug)]
pub enum Content {
    /// Things to look at: ok, found, n.a.; at each place of a set where `at`.
    LookOver {
        title: Text,
        items: Vec<Text>,
        at: Option<Text>,
    },
    /// Work that must be done, each with a tick: before measuring, assembly.
    Steps {
        title: Text,
        items: Vec<Text>,
        at: Option<Text>,
        hold: bool,
        /// The gauge that it is done with: a torque wrench.
        with: Option<Text>,
    },
    /// The steps of an engine's condition, before measuring.
    Condition {
        id: Text,
    },
    /// The rows of these lines of the limits, in this order.
    Measure {
        title: Option<Text>,
        note: Option<Text>,
        lines: Vec<Text>,
    },
    /// Every line that no other sheet prints.
    Rest {
        title: Text,
    },
    /// Blanks to fill in with words or figures.
    Write {
        title: Text,
        items: Vec<Text>,
        at: Option<Text>,
    },
    /// A grid of boxes to write words in, one row under another.
    Table(Table),
    /// Always-renewed parts: each with number, batch and document.
    Renew {
        title: Text,
        parts: Option<Vec<Text>>,
    },
    Caution {
        text: Text,
    },
    Note {
        text: Text,
    },
}

/// A table to write in.
#[derive(Clone, Debug)]
pub struct Table {
    pub title: Text,
    pub heads: Vec<TableHead>,
    /// What each row is of; empty where all of them are blank.
    pub rows: Vec<Text>,
    /// How many blank rows it has in place of named ones.
    pub blank: u32,
    /// Blank rows may be left over, and `none` stands in the first where there is
    /// nothing to write.
    pub none: bool,
}

/// Over a column of a table.
#[derive(Clone, Debug)]
pub struct TableHead {
    pub text: Text,
    /// Share of the width.
    pub share: u32,
    /// Its boxes are ticked or crossed.
    pub tick: bool,
}

/// The report's sections and wording, from `report.toml`.
#[derive(Clone, Debug)]
pub struct ReportForm {
    pub title: Text,
    /// Key of a section that the program knows, heading, words under it.
    pub sections: Vec<ReportSection>,
    /// What the report is not; at the foot of every page.
    pub disclaimer: Text,
}

#[derive(Clone, Debug)]
pub struct ReportSection {
    pub show: Text,
    pub title: Text,
    pub text: Option<Text>,
}
