//! The lines for what happens beside the boxes: what was found, does not apply, was
//! accepted or sent out, and parts that were changed or reworked.

use super::fields::Taking;
use crate::model::engine::{Engine, Part};
use crate::model::id::PartId;
use crate::model::record::{
    Accepted, Change, Finding, LeftOut, NotApplicable, Outside, Record, Why,
};
use crate::model::text::Text;
use crate::record::resolve_signs::one_of;
use crate::sheet::fields::{CHANGED, FOUND, KIND};
use crate::sheet::{Sheet, SheetBlock};

const LETTERS: &str = "X found, N not applicable, A accepted, S sent out";

/// What a line is of.
enum Of {
    /// An item as it is typed, `L 3`, and its place.
    Item(String, Option<String>),
    /// A row, and the letter of its sheet.
    Row(String, String),
    Nothing,
}

impl Taking<'_> {
    /// The lines of one sheet, into the record; whatever they are of.
    pub fn later(&mut self, sheet: &Sheet, record: &mut Record) {
        for name in self.written(&format!("sheet {}.{FOUND}.", sheet.letter)) {
            self.found(sheet, &name, record);
        }
        for name in self.written(&format!("sheet {}.{CHANGED}.", sheet.letter)) {
            let change = self.changed(sheet, &name);
            record.changes.extend(change);
        }
    }

    fn found(&mut self, sheet: &Sheet, name: &str, record: &mut Record) {
        let part = |part: &str| format!("{name}.{part}");
        let said = self.get(&part("of")).map(str::to_owned);
        let [what, done, by, inspector] =
            ["what", "done", "by", "inspector"].map(|own| self.worded(&part(own)));
        let on = self.short_day(&part("date"));
        let kind = self.get(&part(KIND)).map(str::to_uppercase);
        let at = self.at.clone();
        let Some(of) = said else {
            return self.fault(
                &part("of"),
                "nothing says what the line is of",
                "an item and its place, a row, or the work",
            );
        };
        let found = self.of(sheet, &of);
        match (kind.as_deref(), found) {
            (Some("X"), Of::Item(item, place)) => {
                let Some(what) = what else {
                    return self.fault(
                        &part("what"),
                        "nothing says what was found",
                        "the defect, in words",
                    );
                };
                let (item, place) = (self.text(&item), place.map(|place| self.text(&place)));
                record.findings.push(Finding { item, place, what, done, by, on, inspector, at });
            }
            (Some("N"), Of::Item(item, place)) => {
                let (why, by) = self.not_applicable([what, done], (by, inspector), on);
                let (item, place) = (self.text(&item), place.map(|place| self.text(&place)));
                record.left_out.push(LeftOut { item, place, why, by, at });
            }
            (Some("N"), Of::Row(code, letter)) => {
                let (why, by) = self.not_applicable([what, done], (by, inspector), on);
                let left = NotApplicable { why, by, at };
                match record.sheets.iter_mut().find(|entry| entry.letter.as_str() == letter) {
                    Some(entry) => super::again::leave_out(entry, self.text(&code), left),
                    None => self.fault(
                        &part("of"),
                        format!(
                            "sheet {letter} of row {code} is not among those that were filled in"
                        ),
                        "its pages too, in the same or another file",
                    ),
                }
            }
            (Some("A"), Of::Row(row, _)) => {
                let (row, authority) = (self.text(&row), what);
                // Whoever accepted it; of two the other is named beside.
                let second = by.is_some().then_some(inspector.clone()).flatten();
                let document = self.joined([done, second]);
                let by = by.or(inspector);
                record.accepted.push(Accepted { row, authority, document, on, by, at });
            }
            (Some("S"), _) => {
                let (certificate, result) = match done.as_ref().map(Text::as_str) {
                    Some(done) => done
                        .split_once(';')
                        .map_or((done, ""), |(one, rest)| (one.trim(), rest.trim())),
                    None => ("", ""),
                };
                let some = |text: &str| (!text.is_empty()).then(|| self.text(text));
                let result = self.joined([some(result), by, inspector]);
                let (certificate, who) = (some(certificate), what);
                record.outside.push(Outside {
                    what: self.text(&of),
                    who,
                    certificate,
                    on,
                    result,
                    at,
                });
            }
            (Some("X" | "N"), _) => {
                self.fault(
                    &part("of"),
                    format!("\"{of}\" is no item that is printed"),
                    "the sheet's letter, the item's number, its place: L 3 L6",
                );
            }
            (Some("A"), _) => {
                self.fault(
                    &part("of"),
                    format!("\"{of}\" is no row that is printed"),
                    "its code: C2",
                );
            }
            (other, _) => {
                let other = other.unwrap_or_default();
                self.fault(
                    &part(KIND),
                    format!("\"{other}\" does not say what the line is"),
                    LETTERS,
                );
            }
        }
    }

    /// Why, with all that has no place of its own there, and who says so: the
    /// inspector where one does.
    fn not_applicable(
        &self,
        why: [Option<Text>; 2],
        (by, inspector): (Option<Text>, Option<Text>),
        on: Option<(crate::quantity::date::Date, crate::diag::Span)>,
    ) -> (Option<Text>, Option<Text>) {
        let [what, done] = why;
        let by_too = inspector.is_some().then_some(by.clone()).flatten();
        let day = on.map(|(day, _)| self.text(&day.to_string()));
        (self.joined([what, done, by_too, day]), inspector.or(by))
    }

    fn joined<const N: usize>(&self, parts: [Option<Text>; N]) -> Option<Text> {
        let all: Vec<String> = parts.iter().flatten().map(ToString::to_string).collect();
        (!all.is_empty()).then(|| self.text(&all.join("; ")))
    }

    fn of(&self, sheet: &Sheet, said: &str) -> Of {
        let words: Vec<&str> = said.split_whitespace().collect();
        let number = |n: usize| words.get(n)?.trim_end_matches('.').parse::<u32>().ok();
        let here = number(0).map(|number| (sheet.letter.as_str(), number, 1));
        let named = || Some((*words.first()?, number(1)?, 2));
        if let Some((letter, number, rest)) = here.or_else(named) {
            let known = self.set.sheet(letter).is_some_and(|sheet| has_item(sheet, number));
            let place = words[rest..].join(" ");
            let place = (!place.is_empty()).then_some(place);
            return if known { Of::Item(format!("{letter} {number}"), place) } else { Of::Nothing };
        }
        match self.set.row(said) {
            Some(at) => Of::Row(said.to_owned(), at.sheet.1.letter.clone()),
            None => Of::Nothing,
        }
    }

    fn changed(&mut self, sheet: &Sheet, name: &str) -> Option<Change> {
        let part = |part: &str| format!("{name}.{part}");
        let why = match self.get(&part(KIND)) {
            Some("P" | "p") => Some(Why::PartChanged),
            Some("R" | "r") => Some(Why::Reworked),
            _ => {
                self.fault(&part(KIND), "changed or reworked", "P or R");
                None
            }
        };
        let (id, places) = self.part_and_places(&part("part"))?;
        let rework = self.rework(&part("rework"), id);
        let [what, number, batch, document, by, inspector] =
            ["what", "number", "batch", "document", "by", "inspector"]
                .map(|own| self.worded(&part(own)));
        let (grade, features) = self.grade(&part("grade"));
        let redone = self.redone(sheet, &part("redone"));
        let on = self.short_day(&part("date"));
        let why = why?;
        // The paper of a part that came, and the data of work that was done.
        let (document, data) = match why {
            Why::PartChanged => (document, None),
            _ => (None, document),
        };
        let part = self.engine.parts.get(id.0).map(|part| self.text(part.id.as_str()))?;
        Some(Change {
            part,
            places,
            rework,
            why: (why, self.at.clone()),
            what,
            number,
            batch,
            document,
            data,
            grade,
            features,
            by,
            on,
            inspector,
            redone,
            at: self.at.clone(),
        })
    }

    /// `intake-pipes 3`, by the engine file's name or the printed one, and the codes
    /// of its places.
    fn part_and_places(&mut self, name: &str) -> Option<(PartId, Vec<Text>)> {
        let said = self.get(name).unwrap_or_default().to_owned();
        let engine = self.engine;
        let Some((id, part, rest)) = part_of(engine, &said) else {
            let known = engine.parts.iter().map(|part| part.id.as_str());
            let help = one_of("a part of engine.toml", &said, known);
            self.fault(name, format!("no part \"{said}\""), &help);
            return None;
        };
        let words: Vec<&str> = rest.split([' ', ',']).filter(|word| !word.is_empty()).collect();
        let known: Vec<&str> = part
            .at
            .and_then(|at| engine.places.get(at))
            .map_or(Vec::new(), |set| set.places.iter().map(|place| place.code.as_str()).collect());
        for word in &words {
            if !known.contains(word) {
                let help = match known.as_slice() {
                    [] => "the part by itself: it has no places of its own".to_owned(),
                    known => one_of("a place of the part", word, known.iter().copied()),
                };
                self.fault(name, format!("no place \"{word}\" of {}", part.id), &help);
            }
        }
        Some((id, words.into_iter().map(|word| self.text(word)).collect()))
    }

    fn rework(&mut self, name: &str, part: PartId) -> Option<Text> {
        let said = self.get(name)?.to_owned();
        let own = self.engine.reworks.iter().filter(|rework| rework.part == part);
        let found = own.clone().find(|rework| {
            [&rework.id, &rework.name]
                .into_iter()
                .any(|own| own.as_str().eq_ignore_ascii_case(&said))
        });
        if found.is_none() {
            let help = match own.clone().count() {
                0 => "nothing: engine.toml names no work on this part".to_owned(),
                _ => one_of("work on this part", &said, own.map(|rework| rework.id.as_str())),
            };
            self.fault(name, format!("no work \"{said}\" on this part"), &help);
        }
        found.map(|rework| self.text(rework.id.as_str()))
    }

    /// `0.006 undersize: main-journal`, features of which it is behind the colon.
    fn grade(&self, name: &str) -> (Option<Text>, Vec<Text>) {
        let said = self.get(name).unwrap_or_default();
        let (grade, features) = said.split_once(':').unwrap_or((said, ""));
        let features = features.split([',', ' ']).filter(|feature| !feature.is_empty());
        let grade = Some(grade.trim()).filter(|grade| !grade.is_empty());
        (grade.map(|grade| self.text(grade)), features.map(|one| self.text(one)).collect())
    }

    /// `T 1-5, CL 16`: a letter holds until the next.
    fn redone(&mut self, sheet: &Sheet, name: &str) -> Vec<Text> {
        let said = self.get(name).unwrap_or_default().to_owned();
        let mut letter = sheet.letter.clone();
        let mut all = Vec::new();
        for piece in said.split([',', ';']).map(str::trim).filter(|piece| !piece.is_empty()) {
            let (own, span) = piece.rsplit_once(' ').unwrap_or(("", piece));
            if !own.is_empty() {
                letter = own.trim().to_owned();
            }
            let (first, last) = span.split_once(['-', '\u{2013}']).unwrap_or((span, span));
            let numbers = first.parse::<u32>().ok().zip(last.parse::<u32>().ok());
            let known = |number: u32| self.set.sheet(&letter).is_some_and(|s| has_item(s, number));
            match numbers.filter(|(first, last)| first <= last && known(*first) && known(*last)) {
                Some((first, last)) => {
                    all.extend(
                        (first..=last).map(|number| self.text(&format!("{letter} {number}"))),
                    );
                }
                None => self.fault(
                    name,
                    format!("no item \"{piece}\""),
                    "letters and numbers of items: T 1-5, CL 16",
                ),
            }
        }
        all
    }
}

/// The part whose name, as the engine file has it or as it is printed, stands first;
/// and what stands behind it.
fn part_of<'e, 's>(engine: &'e Engine, said: &'s str) -> Option<(PartId, &'e Part, &'s str)> {
    let behind = |name: &str| {
        let begins = said.get(..name.len())?.eq_ignore_ascii_case(name);
        let rest = said.get(name.len()..).filter(|_| begins)?;
        (rest.is_empty() || rest.starts_with([' ', ','])).then_some((name.len(), rest))
    };
    let found = engine.parts.iter().enumerate().filter_map(|(n, part)| {
        let names = [&part.id, &part.name].into_iter().filter_map(|name| behind(name.as_str()));
        names.max_by_key(|(long, _)| *long).map(|(long, rest)| (long, PartId(n), part, rest))
    });
    found.max_by_key(|(long, ..)| *long).map(|(_, id, part, rest)| (id, part, rest))
}

fn has_item(sheet: &Sheet, number: u32) -> bool {
    sheet.blocks.iter().any(|block| match block {
        SheetBlock::Renew { items, .. } => items.iter().any(|item| item.number == number),
        _ => block.items().iter().any(|item| item.number == number),
    })
}
