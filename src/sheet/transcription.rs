//! The blank transcription: the sheets in paper order, keyed by the codes
//! printed on them, with the limits beside each row as comments.

use super::pages::Pages;
use super::table;
use super::types::{
    Columns, Item, LineRows, MarksBlock, MarksKind, Sheet, SheetBlock, SheetSet, SignBox,
};
use crate::judge::{BoxGroup, BoxKind};
use crate::model::side::Side;
use std::fmt::Write;

/// TOML 1.0 text, ending with a line feed.
pub fn transcription(set: &SheetSet, pages: &Pages) -> String {
    let mut text = String::new();
    preface(set, set.head.blind, &set.number, &mut text);
    for sheet in &set.sheets {
        self::sheet(sheet, pages, !set.head.blind, &mut text);
    }
    if !set.head.blind {
        later(&mut text);
    }
    text
}

/// A text on one comment line.
pub fn comment(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

pub fn preface(set: &SheetSet, blind: bool, number: &str, text: &mut String) {
    let head = &set.head;
    let _ = write!(
        text,
        "# {} · {} · serial {} · job {} {}\n\
         # {} revision {} · limits file {} · {}, {} decimals\n\
         #\n\
         # Type what the paper shows, every digit, those before the point too.\n\
         # An empty box is \"-\"; a row left blank stays [].\n\
         # Marks: v ticked, x found or not good, n not applicable, - blank; spaces are free.\n\
         # What was found, and why a thing does not apply, stands at the end of this file.\n\
         \n\
         {}sheet-set = \"{}\"\n",
        comment(&head.shop),
        comment(&head.engine),
        comment(&head.serial),
        comment(&head.job),
        head.scope,
        comment(&head.document),
        comment(&head.revision),
        comment(&head.limits),
        head.unit,
        head.decimals,
        if blind { BLIND } else { "" },
        number,
    );
}

const BLIND: &str = "# The second person's readings. Rows and boxes stand in the order of the\n\
     # blind sheets: type them in that order, B before A.\n\
     blind = true\n";

fn sheet(sheet: &Sheet, pages: &Pages, keeps_pages: bool, text: &mut String) {
    heading(sheet, pages, text);
    let _ = writeln!(text, "number = \"{}\"  # as printed in the head of the sheet", sheet.number);
    text.push_str(&printed(sheet, Some(pages).filter(|_| keeps_pages)));
    for sign in &sheet.signs {
        let gauge = if sign.gauges { format!(", gauge = {}", gauges(sign)) } else { String::new() };
        let zero = if sign.zero { ", zero = \"--\", part-temp = \"\"" } else { "" };
        let _ = writeln!(
            text,
            "{} = {{ by = \"\", on = \"\"{gauge}{zero} }}  # {}",
            sign.key,
            comment(&sign.caption)
        );
    }
    for block in &sheet.blocks {
        self::block(block, text);
    }
    let lists: Vec<String> = sheet.blocks.iter().filter_map(SheetBlock::span).collect();
    if !lists.is_empty() {
        let blank = |span: &String| format!("{span} = \"\"");
        let blanks = lists.iter().map(blank).collect::<Vec<_>>().join(", ");
        let _ = writeln!(text, "initials = {{ {blanks} }}  {INITIALS}");
    }
    if sheet.lines().any(LineRows::has_boxes) {
        let _ = writeln!(text, "{NOT_APPLICABLE}");
    }
    let _ = writeln!(text, "remarks = \"\"");
}

/// Where a sheet begins.
pub fn heading(sheet: &Sheet, pages: &Pages, text: &mut String) {
    let page = pages.sheet(&sheet.letter);
    let page = if page.is_empty() { String::new() } else { format!(" page {page} ·") };
    let _ = writeln!(text, "\n[{}]  #{page} {}", sheet.letter, comment(&sheet.title));
}

/// One text, or one for each line that has its own.
fn gauges(sign: &SignBox) -> String {
    if sign.lines.is_empty() {
        return "\"\"".to_owned();
    }
    let blanks: Vec<String> = sign.lines.iter().map(|line| format!("{line} = \"\"")).collect();
    format!("{{ {} }}", blanks.join(", "))
}

/// What the transcription keeps of a sheet's print: the digest of each line, and
/// what stands on each page.
pub fn printed(sheet: &Sheet, pages: Option<&Pages>) -> String {
    let digests: Vec<String> =
        sheet.digests.iter().map(|(key, digest)| format!("{key} {digest}")).collect();
    let mut text = format!("printed = \"{}\"\n", digests.join(", "));
    if let Some(pages) = pages {
        let _ = writeln!(text, "pages = [\"{}\"]", pages.of_sheet(sheet).join("\", \""));
    }
    text
}

const INITIALS: &str = "# beside each list; of one item where it has a hand of its own: 3 = \"\"";
const NOT_APPLICABLE: &str =
    "# A row that does not apply, under its code: C1.na = { why = \"\", by = \"\" }";

fn block(block: &SheetBlock, text: &mut String) {
    match block {
        SheetBlock::Marks(marks) => self::marks(marks, text),
        SheetBlock::Write { title, columns, items, .. } => {
            let _ = writeln!(text, "# {}", comment(title));
            for item in items {
                let _ = writeln!(text, "{}  # {}", written(item, columns), comment(&item.text));
            }
        }
        SheetBlock::Renew { title, items, .. } => {
            let _ = writeln!(
                text,
                "# {}: how many, part number, serial or batch, document",
                comment(title)
            );
            for item in items {
                let _ = writeln!(
                    text,
                    "{} = {{ count = \"-\", number = \"\", batch = \"\", document = \"\" }}  # {}, {} to renew",
                    item.number,
                    comment(&item.name),
                    item.count
                );
            }
        }
        SheetBlock::Table(table) => table::rows(table, comment, |_| None, text),
        SheetBlock::Measure(measure) => measure.lines.iter().for_each(|line| rows(line, text)),
        SheetBlock::Caution(_) | SheetBlock::Note(_) => {}
    }
}

fn marks(marks: &MarksBlock, text: &mut String) {
    let words = match marks.kind {
        MarksKind::LookOver => "look over",
        MarksKind::Steps => "done",
        MarksKind::Before => "done before anything is measured",
    };
    let _ = writeln!(text, "# {}: {words}{}", comment(&marks.title), across(&marks.columns));
    for item in &marks.items {
        let _ = writeln!(
            text,
            "{} = \"{}\"  # {}",
            item.number,
            blank_marks(marks.columns.len().max(1)),
            comment(&item.text)
        );
    }
    if let Some(key) = &marks.hold {
        let title = comment(&marks.title);
        let _ = writeln!(text, "{key} = {{ by = \"\", on = \"\" }}  # an inspector: {title}");
    }
}

fn across(columns: &Columns) -> String {
    if columns.is_empty() {
        return String::new();
    }
    let codes: Vec<&str> = columns.iter().map(|(code, _)| code.as_str()).collect();
    format!(" · one mark each, in this order: {}", codes.join(" "))
}

/// Dashes in fours, so that places are easily counted.
fn blank_marks(count: usize) -> String {
    let groups = (0..count).step_by(4).map(|from| "-".repeat((count - from).min(4)));
    groups.collect::<Vec<_>>().join(" ")
}

fn written(item: &Item, columns: &Columns) -> String {
    if columns.is_empty() {
        return format!("{} = \"\"", item.number);
    }
    let blanks: Vec<String> = columns.iter().map(|(code, _)| format!("{code} = \"\"")).collect();
    format!("{} = {{ {} }}", item.number, blanks.join(", "))
}

fn rows(line: &LineRows, text: &mut String) {
    if !line.has_boxes() {
        return;
    }
    let with = line.with.as_ref().map(|with| format!(" · {with}")).unwrap_or_default();
    let published = line.published.as_ref().map(|number| match line.rows.as_slice() {
        [_] => format!(" (published as {number})"),
        _ => format!(" (published as {number}; rows \"{number}/...\" too)"),
    });
    let name = format!("{}{}", line.name, published.unwrap_or_default());
    let _ = writeln!(text, "# {}: {}{}", comment(&name), comment(&line.limits), comment(&with));
    if line.groups.iter().any(|group| matches!(group.shape, BoxKind::Marks { .. }))
        && let Some(row) = line.rows.first()
    {
        let code = &row.code;
        let _ = writeln!(text, "# A further leaf: {code}.leaves = [[9, 0.003, \"entered\"]]");
    }
    for row in &line.rows {
        for group in line.own() {
            let value = blank_group(group);
            let place = if row.name.is_empty() { &line.name } else { &row.name };
            let _ = writeln!(
                text,
                "{}.{} = {value}  # {}{}",
                row.code,
                group.key,
                comment(&called(group, place)),
                boxes(group)
            );
        }
    }
}

/// The place, and what its boxes are called on the sheet where that is another word
/// than the key.
fn called(group: &BoxGroup, place: &str) -> String {
    let word = group.called.as_str();
    let sized = group.feature.is_some() && Side::FIT.iter().any(|side| group.key == (*side).into());
    match sized && word != group.key.word() {
        true => format!("{word}, {place}"),
        false => place.to_owned(),
    }
}

fn blank_group(group: &BoxGroup) -> String {
    match &group.shape {
        BoxKind::Comb { .. } => "[]".to_owned(),
        BoxKind::Marks { .. } => format!("\"{}\"", blank_marks(group.labels.len())),
        BoxKind::Words => "[]".to_owned(),
    }
}

/// Which boxes, where there is more than one.
fn boxes(group: &BoxGroup) -> String {
    match &group.shape {
        BoxKind::Comb { .. } if group.labels.len() > 1 => {
            format!(" · {}", comment(&group.labels.join(", ")))
        }
        _ => String::new(),
    }
}

/// How to write what comes after the sheets, ready to copy.
fn later(text: &mut String) {
    text.push_str(
        "\n\
         # What came later stands here, a line for each. A box measured again keeps its first\n\
         # reading. Copy the lines that you need, take off the # and put your own in: [later] once,\n\
         # each list once. What is in { } may be left out, \"\" too.\n\
         # [later]\n\
         # again = [  # box, reading, mistyped / measured again / reworked / part changed, by, on, gauge\n\
         #   [\"C3 bore 2\", 1.3757, \"measured again\", \"\", 2000-01-01, \"\", { zero = \"--\", inspector = \"\" }],\n\
         #   [\"C1 shaft\", [1.3733, 1.3733], \"measured again\", \"\", 2000-01-01, \"\"],\n\
         # ]\n\
         # found = [  # at an item marked x: item and place, what, done, by, on, inspector\n\
         #   [\"L 3 L6\", \"\", \"\", \"\", 2000-01-01, \"\"],\n\
         # ]\n\
         # left-out = [  # an item marked n: item, why, by\n\
         #   [\"S 9\", \"\", \"\"],\n\
         # ]\n\
         # change = [  # part as the engine file calls it, and places; why; what; by; on\n\
         #   [\"camshaft\", \"part changed\", \"\", \"\", 2000-01-01, { number = \"\", batch = \"\", document = \"\", rework = \"\" }],\n\
         # ]\n\
         # accepted = [  # an out that stays: row, authority, document, by, on\n\
         #   [\"C2\", \"\", \"\", \"\", 2000-01-01],\n\
         # ]\n\
         # outside = [  # work sent out: what, who, certificate, on, result\n\
         #   [\"crack test\", \"\", \"\", 2000-01-01, \"\"],\n\
         # ]\n",
    );
}
