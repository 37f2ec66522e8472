//! A transcription back to what was written on the paper it was typed from.

use crate::model::record::{
    Boxes, GroupEntry, ItemContent, ItemEntry, Mark, Named, Record, SheetEntry, Sign,
};
use crate::model::text::{Number, Text};
use crate::pages::worksheet::Filled;

type Texts = Vec<Option<String>>;

/// Something is written on the sheet.
pub fn begun(sheet: &SheetEntry) -> bool {
    let mut filled = Filled::new();
    self::sheet(&mut filled, sheet);
    filled.values().flatten().any(Option::is_some)
}

/// All that is written, by what it is written for.
pub fn filled(record: &Record) -> Filled {
    let mut filled = Filled::new();
    record.sheets.iter().for_each(|sheet| self::sheet(&mut filled, sheet));
    filled
}

/// How many readings there are among it.
pub fn readings_in(record: &Record) -> usize {
    let rows = record.sheets.iter().flat_map(|sheet| &sheet.rows).flat_map(|row| &row.groups);
    rows.map(|group| match &group.boxes {
        Boxes::Readings(readings) => readings.iter().flatten().count(),
        _ => 0,
    })
    .sum()
}

fn sheet(filled: &mut Filled, sheet: &SheetEntry) {
    let own = format!("sheet {}", sheet.letter);
    let mut put = |of: &str, part: &str, texts: Texts| {
        filled.insert((of.to_owned(), part.to_owned()), texts);
    };
    // The example has one hand a side.
    for sign in sheet.signs.iter().filter(|sign| sign.rows.is_empty()) {
        for (part, text) in parts(sign) {
            put(&own, &format!("{} {part}", sign.key), vec![text]);
        }
        if let Named::Each(lines) = &sign.gauges {
            for (line, gauges) in lines {
                put(&own, &format!("{} gauge {line}", sign.key), vec![joined(gauges)]);
            }
        }
        let zero = sign.zero.iter().flatten().map(mark).collect();
        put(&own, &format!("{} zero", sign.key), zero);
    }
    put(&own, "remarks", vec![word(&sheet.remarks)]);
    for item in &sheet.initials {
        let by: Vec<&str> = item.by.iter().map(Text::as_str).collect();
        put(&format!("{} {}", sheet.letter, item.span()), "initials", vec![Some(by.join(", "))]);
    }
    for item in &sheet.items {
        let of = format!("{} {}", sheet.letter, item.number);
        content(item, |part, texts| put(&of, part, texts));
    }
    for row in &sheet.rows {
        for group in &row.groups {
            put(row.code.as_str(), group.key.0.word(), boxes(group));
        }
    }
}

fn word(word: &Option<Text>) -> Option<String> {
    word.as_ref().map(|word| word.as_str().trim().to_owned()).filter(|text| !text.is_empty())
}

fn parts(sign: &Sign) -> [(&'static str, Option<String>); 4] {
    let gauges = match &sign.gauges {
        Named::All(gauges) => joined(gauges),
        Named::Each(_) => None,
    };
    [
        ("by", word(&sign.by)),
        ("on", sign.on.as_ref().map(|(day, _)| day.to_string())),
        ("gauge", gauges),
        ("part-temp", sign.part_temperature.as_ref().map(|typed| typed.text.to_string())),
    ]
}

fn joined(gauges: &[Text]) -> Option<String> {
    let gauges: Vec<&str> = gauges.iter().map(Text::as_str).collect();
    Some(gauges.join(", ")).filter(|text| !text.is_empty())
}

fn mark(mark: &Mark) -> Option<String> {
    let letter = match mark {
        Mark::Ok => "v",
        Mark::Found => "x",
        Mark::NotApplicable => "n",
        Mark::Blank => return None,
    };
    Some(letter.to_owned())
}

fn content(item: &ItemEntry, mut put: impl FnMut(&str, Texts)) {
    match &item.content {
        ItemContent::Marks(marks) => put("marks", marks.iter().map(mark).collect()),
        ItemContent::Words(text) => put("words", vec![word(&Some(text.clone()))]),
        ItemContent::Placed(placed) => {
            for (code, text) in placed {
                put(code.as_str(), vec![word(&Some(text.clone()))]);
            }
        }
        ItemContent::Cells(cells) => {
            put("cells", cells.iter().map(|cell| word(&Some(cell.clone()))).collect());
        }
        ItemContent::Renewed(renewed) => {
            let count = renewed.count.as_ref().map(|typed| typed.text.to_string());
            put("count", vec![count]);
            put("number", vec![word(&renewed.number)]);
            put("batch", vec![word(&renewed.batch)]);
            put("document", vec![word(&renewed.document)]);
        }
    }
}

fn boxes(group: &GroupEntry) -> Texts {
    let text = |typed: &Number| typed.text.to_string();
    match &group.boxes {
        Boxes::Readings(readings) => readings.iter().map(|read| read.as_ref().map(text)).collect(),
        Boxes::Marks(marks) => marks.iter().map(mark).collect(),
        Boxes::Leaves(leaves) => leaves
            .iter()
            .map(|(tooth, leaf, entered)| {
                let told = if *entered { "entered" } else { "refused" };
                Some(format!("{tooth}, {}, {told}", leaf.text))
            })
            .collect(),
    }
}
