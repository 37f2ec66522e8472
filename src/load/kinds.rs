//! The file of kinds: what is looked at, done and written down on a part of each
//! kind, and how one measures.

use super::fields::{Fields, file};
use super::forms::KINDS_FILE;
use super::keys::{Kind, Shape, optional, required};
use super::lines::LINE;
use super::suggest::nearest;
use crate::diag::{Diags, Sources};
use crate::model::text::Text;

pub static KINDS: Shape = Shape {
    name: "a file of kinds",
    keys: &[&[
        required("revision", Kind::FigureOrText, "\"1\""),
        optional("kinds", Kind::Named(&PART), "[kinds.gear]"),
        optional("ways", Kind::Named(&WAY), "[ways.runout]"),
        optional("measuring", Kind::Table(&MEASURING), "[measuring.shaft]"),
    ]],
};
static PART: Shape = Shape {
    name: "a kind of part",
    keys: &[&[
        optional("look-over", Kind::TextOrTexts, "[\"teeth: cracked, worn, chipped or pitted\"]"),
        optional("before", Kind::TextOrTexts, "[\"new shells fitted, tangs home\"]"),
        optional("after", Kind::TextOrTexts, "[\"a full turn each way: free\"]"),
        optional("after-title", Kind::Text, "\"Turned by hand\""),
        optional("write", Kind::TextOrTexts, "[\"turns or shims as found\"]"),
        optional("write-title", Kind::Text, "\"Adjuster\""),
        optional("caution", Kind::Text, "\"the spring is under load\""),
        optional("note", Kind::Text, "\"the rubbers are renewed\""),
        optional("crack-test", Kind::Text, "\"magnetic particle\""),
        optional("major", Kind::Flag, "true"),
    ]],
};
static WAY: Shape = Shape {
    name: "a way of measuring",
    keys: &[&[
        required("title", Kind::Text, "\"Runout\""),
        optional("before", Kind::TextOrTexts, "[\"outer journals on level blocks, oiled\"]"),
        optional("note", Kind::Text, "\"full movement of the indicator in one turn\""),
        optional("caution", Kind::Text, "\"hands clear of the spring\""),
        optional("lines", Kind::TextOrTexts, "[\"reading\", \"recorded\"]"),
        optional("with", Kind::Text, "\"dial indicator\""),
    ]],
};
static MEASURING: Shape = Shape {
    name: "[measuring]",
    keys: &[&[
        optional("shaft", Kind::TextOrTexts, "[\"micrometer zeroed on its standard\"]"),
        optional("bore", Kind::TextOrTexts, "[\"bore gauge set to its master\"]"),
    ]],
};

/// What a shop's file of kinds says.
#[derive(Default)]
pub struct Kinds {
    pub revision: Option<Text>,
    pub parts: Vec<KindOfPart>,
    pub ways: Vec<Way>,
    /// Done before a shaft is read, and before a bore is.
    pub before_shaft: Vec<Text>,
    pub before_bore: Vec<Text>,
}

pub struct KindOfPart {
    pub id: Text,
    pub look_over: Vec<Text>,
    pub before: Vec<Text>,
    pub after_title: Option<Text>,
    pub after: Vec<Text>,
    pub write_title: Option<Text>,
    pub write: Vec<Text>,
    pub caution: Option<Text>,
    pub note: Option<Text>,
    /// The method by which such parts are tested for cracks.
    pub crack_test: Option<Text>,
    /// Its numbers are written down as it comes in and as it goes out.
    pub major: bool,
}

/// How a line is measured.
pub struct Way {
    pub id: Text,
    pub title: Text,
    pub before: Vec<Text>,
    pub note: Option<Text>,
    pub caution: Option<Text>,
    /// The kinds of line that are measured so; empty for any. A line that names
    /// no kind is of the first.
    pub lines: Vec<Text>,
    /// What a line is read with that names no gauge.
    pub with: Option<Text>,
}

/// Reads the file of kinds; a folder of forms may have none. `None` where it has
/// a fault.
pub fn kinds(files: &Sources, out: &mut Diags) -> Option<Kinds> {
    if files.get(KINDS_FILE).is_none() {
        return Some(Kinds::default());
    }
    file(files, KINDS_FILE, &KINDS, out, |fields, out| {
        let texts = |fields: &Fields<'_>, key: &str| fields.texts(key).unwrap_or_default();
        let part = |(id, fields): (&Text, Fields<'_>)| KindOfPart {
            id: id.clone(),
            look_over: texts(&fields, "look-over"),
            before: texts(&fields, "before"),
            after_title: fields.text("after-title"),
            after: texts(&fields, "after"),
            write_title: fields.text("write-title"),
            write: texts(&fields, "write"),
            caution: fields.text("caution"),
            note: fields.text("note"),
            crack_test: fields.text("crack-test"),
            major: fields.flag("major").unwrap_or(false),
        };
        let mut way = |(id, fields): (&Text, Fields<'_>)| {
            let lines = texts(&fields, "lines");
            for kind in lines.iter().filter(|kind| LINE.kind(kind.as_str()).is_none()) {
                let (message, names) = (format!("there is no kind of line {kind}"), LINE.names());
                let help = match nearest(kind.as_str(), names.iter().copied()) {
                    Some(near) => format!("did you mean {near}"),
                    None => format!("one of {}", names.join(", ")),
                };
                out.fault(&kind.at, message, help);
            }
            Some(Way {
                id: id.clone(),
                title: fields.text("title")?,
                before: texts(&fields, "before"),
                note: fields.text("note"),
                caution: fields.text("caution"),
                lines,
                with: fields.text("with"),
            })
        };
        let measuring = fields.table("measuring");
        let before = |key| measuring.map(|table| texts(&table, key)).unwrap_or_default();
        Some(Kinds {
            revision: fields.text("revision"),
            parts: fields.named("kinds").into_iter().map(part).collect(),
            ways: fields.named("ways").into_iter().filter_map(&mut way).collect(),
            before_shaft: before("shaft"),
            before_bore: before("bore"),
        })
    })
}
