//! The lines for what was measured again.

use super::fields::Taking;
use super::rows::below_one;
use crate::judge::{BoxGroup, BoxKind};
use crate::model::record::{Again, Boxes, NotApplicable, RowEntry, SheetEntry, Why};
use crate::model::side::Group;
use crate::model::text::Text;
use crate::sheet::fields::AGAIN;
use crate::sheet::{LineRows, Sheet};

impl Taking<'_> {
    /// The lines for what was measured again.
    pub fn again(&mut self, sheet: &Sheet, entry: &mut SheetEntry, all: &mut Vec<Again>) {
        for name in self.lines(&format!("sheet {}.{AGAIN}.", sheet.letter), 2) {
            let part = |part: &str| format!("{name}.{part}");
            let prefix = format!("{name}.");
            let own =
                self.values.range(prefix.clone()..).take_while(|(n, _)| n.starts_with(&prefix));
            if own.into_iter().all(|(_, value)| value.trim().is_empty()) {
                continue;
            }
            let code = self.get(&part("row")).unwrap_or_default();
            let Some(row) = self.set.row(code).filter(|at| at.sheet.1.letter == sheet.letter)
            else {
                self.fault(&part("row"), format!("no row \"{code}\" on this sheet"), "its code");
                continue;
            };
            let by = self.worded(&part("by"));
            let inspector = self.worded(&part("inspector"));
            let why = match self.get(&part("why")) {
                Some("M" | "m") => Why::MeasuredAgain,
                Some("R" | "r") => Why::Reworked,
                Some("P" | "p") => Why::PartChanged,
                Some("N" | "n") => {
                    let (why, by) = (entry.remarks.clone(), inspector.or(by));
                    let left = NotApplicable { why, by, at: self.at.clone() };
                    leave_out(entry, self.text(code), left);
                    continue;
                }
                _ => {
                    self.fault(&part("why"), "why it was measured again", "M, R, P, or N");
                    continue;
                }
            };
            let Some((key, index)) = self.box_of(&part("box"), row.line) else { continue };
            let group = row.line.own().find(|group| group.key == key);
            let below = group.is_some_and(|group| below_one(row.line, group));
            let read = match self.get(&part("value")) {
                Some(said) => self.figure(&part("value"), said),
                None => {
                    let places = match group.map(|group| &group.shape) {
                        Some(BoxKind::Comb { places, .. }) => *places,
                        _ => 0,
                    };
                    self.comb(&name, (places, below))
                }
            };
            let Some(read) = read else {
                self.fault(&name, "no value stands on the line", "what was read");
                continue;
            };
            let on = self.get(&part("date")).map(str::to_owned);
            let on = on.and_then(|said| {
                let century = if said.len() == 8 { "20" } else { "" };
                self.date(&part("date"), &format!("{century}{said}"), true)
            });
            let note = self.get(&part("instead of")).map(|was| format!("instead of {was}"));
            all.push(Again {
                row: self.text(code),
                key: (key, self.at.clone()),
                index,
                boxes: Boxes::Readings(vec![Some(read)]),
                boxes_at: self.at.clone(),
                why: (why, self.at.clone()),
                by,
                on,
                gauges: self.several(&part("gauge")),
                part_temperature: None,
                gauge_temperature: None,
                zero: self.zero(&name),
                inspector,
                note: note.map(|note| self.text(&note)),
                at: self.at.clone(),
            });
        }
    }

    /// `bore 2`, `bore B`; nothing where the row has one box.
    pub fn box_of(&mut self, name: &str, line: &LineRows) -> Option<(Group, Option<usize>)> {
        let said = self.get(name).unwrap_or_default();
        let boxes = |group: &BoxGroup| group.labels.len().max(1);
        let own: Vec<&BoxGroup> = line.own().collect();
        let (word, which) = said.split_once(' ').unwrap_or((said, ""));
        let group = match own.as_slice() {
            [only] if said.is_empty() => Some(only),
            groups => groups.iter().find(|group| group.key.word() == word.to_lowercase()),
        };
        let index = group.and_then(|group| {
            let which = which.trim();
            let label = group.labels.iter().position(|label| label == which);
            let number = which.parse().ok().filter(|n| (1..=boxes(group)).contains(n));
            match which.is_empty() {
                true => (boxes(group) == 1).then_some(None),
                false => label.or(number.map(|n: usize| n - 1)).map(Some),
            }
        });
        match group.zip(index) {
            Some((group, index)) => Some((group.key, index)),
            None => {
                let help = "shaft, bore or read, and the box's number or letter: bore 2";
                self.fault(name, format!("\"{said}\" is no box of this row"), help);
                None
            }
        }
    }
}

fn leave_out(entry: &mut SheetEntry, code: Text, left: NotApplicable) {
    match entry.rows.iter_mut().find(|row| row.code.text == code.text) {
        Some(row) => row.not_applicable = Some(left),
        None => {
            let at = left.at.clone();
            entry.rows.push(RowEntry { code, groups: Vec::new(), not_applicable: Some(left), at });
        }
    }
}
