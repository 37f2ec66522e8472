//! A record as a list of all that was written, box by box.

use super::events;
use super::value::{Value, figure, list, word, words, zero};
use crate::model::form::SIGN_KEYS;
use crate::model::record::{
    Boxes, ItemContent, Mark, Named, Record, Renewed, RowEntry, SheetEntry, Sign,
};
use crate::model::side::{BoxId, Group};
use crate::model::text::Text;
use crate::sheet::{Sheet, SheetSet};
use std::collections::BTreeMap;

/// Where something is written. Sorts in paper order; what stands behind the
/// sheets comes last.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Spot {
    /// Index into the set's sheets.
    pub sheet: usize,
    pub(super) rank: u8,
    pub(super) n: usize,
    pub(super) m: usize,
    /// As typed: `C3.bore`, `4`, `work`; of an event its table and subject.
    pub key: String,
    /// Which box, mark or field of it.
    pub part: String,
}

/// What is written there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Written {
    /// `C3 bore 2`.
    pub name: String,
    /// As shown.
    pub shown: String,
    /// As a transcription has it.
    pub toml: String,
}

pub type All = BTreeMap<Spot, Written>;

/// Behind the last sheet.
const AFTER: usize = usize::MAX;

/// All that a record holds. What is blank is not in it.
pub fn all(set: &SheetSet, record: &Record) -> All {
    let mut out = All::new();
    let number = Spot::new(0, 0, (0, 0), "sheet-set", "");
    put(&mut out, number, "sheet set".into(), words(record.set.as_str()));
    for entry in &record.sheets {
        let place = set.sheets.iter().position(|sheet| sheet.letter == entry.letter.as_str());
        if let Some(n) = place {
            sheet(&mut out, (n, &set.sheets[n]), entry);
        }
    }
    events::all(record, |table, rank, key, fields| {
        let whole = Spot::new(AFTER, rank, (0, 0), &key, "");
        let n =
            (0..).find(|n| !out.contains_key(&Spot { n: *n, ..whole.clone() })).unwrap_or_default();
        let title = format!("{table} {key}").trim_end().to_owned();
        let entered = Written { name: title.clone(), shown: "entered".into(), toml: String::new() };
        out.insert(Spot { n, ..whole.clone() }, entered);
        for (m, (field, written)) in fields.into_iter().enumerate() {
            let spot = Spot { n, m: m + 1, part: field.to_owned(), ..whole.clone() };
            put(&mut out, spot, format!("{title}: {field}"), written);
        }
    });
    out
}

impl Spot {
    fn new(sheet: usize, rank: u8, (n, m): (usize, usize), key: &str, part: impl ToString) -> Spot {
        Spot { sheet, rank, n, m, key: key.to_owned(), part: part.to_string() }
    }

    /// Of a later entry: measured again, changed, found and the like.
    pub fn is_event(&self) -> bool {
        self.sheet == AFTER
    }

    /// The event that a field belongs to.
    pub fn event(&self) -> Spot {
        Spot { m: 0, part: String::new(), ..self.clone() }
    }

    /// Row code and box, of a box in a row.
    pub fn box_of_row(&self) -> Option<(&str, BoxId)> {
        let (code, group) = self.key.split_once('.').filter(|_| self.rank == ROWS)?;
        let index = self.part.parse::<usize>().ok()?.checked_sub(1)?;
        Some((code, BoxId { group: Group::named(group)?, index }))
    }

    /// Row code, of anything in a row.
    pub fn row(&self) -> Option<&str> {
        (self.rank == ROWS).then(|| self.key.split('.').next()).flatten()
    }

    /// Number of an item.
    pub fn item(&self) -> Option<u32> {
        (self.rank == ITEMS && !self.is_event()).then(|| self.key.parse().ok()).flatten()
    }
}

const ITEMS: u8 = 3;
const ROWS: u8 = 4;

fn put(out: &mut All, spot: Spot, name: String, value: Value) {
    if let Some((shown, toml)) = value {
        out.insert(spot, Written { name, shown, toml });
    }
}

fn sheet(out: &mut All, (n, printed): (usize, &Sheet), entry: &SheetEntry) {
    let title = |what: &str| format!("sheet {} {what}", entry.letter);
    put(out, Spot::new(n, 1, (0, 0), "number", ""), title("number"), word(&entry.number));
    for sign in &entry.signs {
        self::sign(out, (n, printed), &entry.letter, sign);
    }
    for item in &entry.initials {
        let span = item.span();
        let spot = Spot::new(n, 5, (0, item.first as usize), "initials", &span);
        put(out, spot, format!("{} {span}: initials", entry.letter), list(&item.by));
    }
    for item in &entry.items {
        let number = item.number as usize;
        let spot =
            |m: usize, part: &str| Spot::new(n, ITEMS, (number, m), &item.number.to_string(), part);
        self::item(out, &format!("{} {}", entry.letter, item.number), spot, &item.content);
    }
    for row in &entry.rows {
        self::row(out, n, printed, row);
    }
    put(out, Spot::new(n, 6, (0, 0), "remarks", ""), title("remarks"), word(&entry.remarks));
}

fn sign(out: &mut All, (n, printed): (usize, &Sheet), sheet: &Text, sign: &Sign) {
    let known = |key: &&str| *key == sign.key.as_str();
    let place = SIGN_KEYS.iter().position(known).unwrap_or(SIGN_KEYS.len());
    // Several for one side differ by their rows, in whichever order those stand.
    let mut rows: Vec<&str> = sign.rows.iter().map(Text::as_str).collect();
    rows.sort_unstable();
    let key = [&[sign.key.as_str()], &rows[..]].concat().join(" ");
    let key = key.as_str();
    let day = sign.on.as_ref().map(|(day, _)| (day.to_string(), day.to_string()));
    let lines = printed.signs.iter().find(|own| own.key == sign.key.as_str());
    let lines = lines.map_or(&[][..], |own| &own.lines);
    let mut gauges: Vec<(String, Value)> = match &sign.gauges {
        // One for all says the same as one for each line that asks for its own.
        Named::All(gauges) if !lines.is_empty() => {
            lines.iter().map(|line| (format!("gauge {line}"), list(gauges))).collect()
        }
        Named::All(gauges) => vec![("gauge".to_owned(), list(gauges))],
        Named::Each(lines) => {
            lines.iter().map(|(line, gauges)| (format!("gauge {line}"), list(gauges))).collect()
        }
    };
    // The order in which lines are typed says nothing.
    gauges.sort_by(|(one, _), (other, _)| one.cmp(other));
    for (field, value) in gauges {
        let spot = Spot::new(n, 2, (place, 2), key, &field);
        put(out, spot, format!("sheet {sheet} {key}: {field}"), value);
    }
    let fields: [(&str, Value); 5] = [
        ("by", word(&sign.by)),
        ("on", day),
        ("part-temp", figure(&sign.part_temperature)),
        ("gauge-temp", figure(&sign.gauge_temperature)),
        ("zero", zero(&sign.zero)),
    ];
    for (m, (field, value)) in fields.into_iter().enumerate() {
        let spot = Spot::new(n, 2, (place, m), key, field);
        put(out, spot, format!("sheet {sheet} {key}: {field}"), value);
    }
}

fn item(out: &mut All, title: &str, spot: impl Fn(usize, &str) -> Spot, content: &ItemContent) {
    match content {
        ItemContent::Marks(marks) => {
            let several = marks.len() > 1;
            for (m, mark) in marks.iter().enumerate().filter(|(_, mark)| **mark != Mark::Blank) {
                let place = (m + 1).to_string();
                let name = if several { format!("{title} mark {place}") } else { title.to_owned() };
                let mark = mark.letter().to_string();
                put(out, spot(m, &place), name, Some((mark.clone(), mark)));
            }
        }
        ItemContent::Words(text) => {
            put(out, spot(0, "words"), title.to_owned(), words(text.as_str()))
        }
        ItemContent::Placed(placed) => {
            // The order in which places are typed says nothing.
            for (code, text) in placed {
                put(out, spot(0, code.as_str()), format!("{title} {code}"), words(text.as_str()));
            }
        }
        ItemContent::Cells(cells) => {
            for (m, cell) in cells.iter().enumerate() {
                let part = format!("box {}", m + 1);
                put(out, spot(m, &part), format!("{title} {part}"), words(cell.as_str()));
            }
        }
        ItemContent::Renewed(renewed) => self::renewed(out, title, spot, renewed),
    }
}

fn renewed(out: &mut All, title: &str, spot: impl Fn(usize, &str) -> Spot, renewed: &Renewed) {
    let reused = renewed.reused.then(|| ("true".to_owned(), "true".to_owned()));
    let fields = [
        ("count", figure(&renewed.count)),
        ("number", word(&renewed.number)),
        ("batch", word(&renewed.batch)),
        ("document", word(&renewed.document)),
        ("reused", reused),
    ];
    for (m, (field, value)) in fields.into_iter().enumerate() {
        put(out, spot(m, field), format!("{title}: {field}"), value);
    }
}

fn row(out: &mut All, n: usize, printed: &Sheet, row: &RowEntry) {
    let code = row.code.as_str();
    let rows = printed.lines().flat_map(|line| &line.rows);
    let place = rows.into_iter().position(|known| known.code == code).unwrap_or_default();
    for group in &row.groups {
        let key = format!("{code}.{}", group.key.0);
        let first =
            Group::ALL.iter().position(|known| *known == group.key.0).unwrap_or_default() * 1000;
        let spot = |m: usize| Spot::new(n, ROWS, (place, first + m), &key, m + 1);
        match &group.boxes {
            Boxes::Readings(readings) => {
                let several = readings.len() > 1;
                for (m, reading) in readings.iter().enumerate() {
                    put(out, spot(m), box_name(code, group.key.0, m, several), figure(reading));
                }
            }
            Boxes::Marks(marks) => {
                for (m, mark) in marks.iter().enumerate().filter(|(_, mark)| **mark != Mark::Blank)
                {
                    let mark = mark.letter().to_string();
                    let name = box_name(code, group.key.0, m, true);
                    put(out, spot(m), name, Some((mark.clone(), mark)));
                }
            }
            Boxes::Leaves(leaves) => {
                for (tooth, leaf, entered) in leaves {
                    let told = if *entered { "entered" } else { "refused" };
                    let part = format!("{tooth}, {}", leaf.text);
                    let spot = Spot::new(n, ROWS, (place, first + *tooth as usize), &key, &part);
                    let toml = format!("[{part}, \"{told}\"]");
                    put(out, spot, format!("{code} leaf {part}"), Some((told.to_owned(), toml)));
                }
            }
        }
    }
    let fields =
        row.not_applicable.iter().flat_map(|na| [("why", word(&na.why)), ("by", word(&na.by))]);
    for (m, (field, value)) in fields.enumerate() {
        let spot = Spot::new(n, ROWS, (place, 9000 + m), &format!("{code}.na"), field);
        put(out, spot, format!("{code} n.a.: {field}"), value);
    }
}

/// A box as a later reading names it: `C3 bore 2`.
fn box_name(code: &str, group: Group, index: usize, several: bool) -> String {
    if several { format!("{code} {group} {}", index + 1) } else { format!("{code} {group}") }
}
