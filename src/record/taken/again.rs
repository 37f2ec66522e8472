//! The lines for what was measured again.

use super::fields::Taking;
use super::rows::below_one;
use crate::judge::{BoxGroup, BoxKind};
use crate::model::record::{Again, Boxes, Mark, NotApplicable, RowEntry, SheetEntry, Why};
use crate::model::text::{Number, Text};
use crate::quantity::count;
use crate::sheet::fields::AGAIN;
use crate::sheet::{LineRows, Sheet};

impl Taking<'_> {
    /// The lines for what was measured again. Boxes of one side that were read
    /// together are one reading of it.
    pub fn again(&mut self, sheet: &Sheet, entry: &mut SheetEntry, all: &mut Vec<Again>) {
        let mut own = Vec::new();
        for name in self.written(&format!("sheet {}.{AGAIN}.", sheet.letter)) {
            own.extend(self.one_again(sheet, entry, &name));
        }
        while !own.is_empty() {
            let many = self.side(sheet, &own);
            let together: Vec<Again> = own.drain(..many).collect();
            all.extend(self.together(together));
        }
    }

    fn one_again(&mut self, sheet: &Sheet, entry: &mut SheetEntry, name: &str) -> Option<Again> {
        let part = |part: &str| format!("{name}.{part}");
        let code = self.get(&part("row")).unwrap_or_default().to_owned();
        let found = self.set.row(&code).filter(|at| at.sheet.1.letter == sheet.letter);
        let Some(row) = found else {
            self.fault(&part("row"), format!("no row \"{code}\" on this sheet"), "its code");
            return None;
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
                leave_out(entry, self.text(&code), left);
                return None;
            }
            _ => {
                self.fault(&part("why"), "why it was measured again", "M, R, P, or N");
                return None;
            }
        };
        let (group, index) = self.box_of(&part("box"), row.line)?;
        let boxes = self.read_again(name, row.line, group, index)?;
        let on = self.short_day(&part("date"));
        // Until all boxes of the side are together: what stood there before.
        let note = self.worded(&part("instead of"));
        Some(Again {
            row: self.text(&code),
            key: (group.key, self.at.clone()),
            index,
            boxes,
            boxes_at: self.at.clone(),
            why: (why, self.at.clone()),
            by,
            on,
            gauges: self.several(&part("gauge")),
            part_temperature: None,
            gauge_temperature: None,
            zero: self.zero(name),
            inspector,
            note,
            at: self.at.clone(),
        })
    }

    /// A figure in its comb; on a line for values of any shape all those of a side,
    /// or its marks.
    fn read_again(
        &mut self,
        name: &str,
        line: &LineRows,
        group: &BoxGroup,
        index: Option<usize>,
    ) -> Option<Boxes> {
        let wanted = if index.is_some() { 1 } else { group.labels.len().max(1) };
        let part = format!("{name}.value");
        let said = self.get(&part).map(str::to_owned);
        if let BoxKind::Marks { .. } = group.shape {
            let said = said.unwrap_or_default();
            let typed: Vec<Option<Mark>> =
                said.chars().filter(|c| !c.is_whitespace()).map(mark_of).collect();
            let typed: Option<Vec<Mark>> = typed.into_iter().collect();
            let typed = typed.filter(|typed| typed.len() == wanted);
            if typed.is_none() {
                let help = format!("{wanted} of v, x, n or -");
                self.fault(&part, format!("\"{said}\" are not the marks of that box"), &help);
            }
            return typed.map(Boxes::Marks);
        }
        let read: Vec<Number> = match said {
            Some(said) => {
                let each = said.split([' ', ';']).filter(|one| !one.is_empty());
                each.map(|one| self.figure(&part, one)).collect::<Option<_>>()?
            }
            None => {
                let places = match group.shape {
                    BoxKind::Comb { places, .. } => places,
                    _ => 0,
                };
                let before = self.out.faults();
                let read = self.comb(name, (places, below_one(line, group)));
                if self.out.faults() > before {
                    return None;
                }
                read.into_iter().collect()
            }
        };
        if read.is_empty() {
            self.fault(name, "no value stands on the line", "what was read");
            return None;
        }
        if read.len() != wanted {
            let what = format!("{} where that box has {wanted}", count(read.len(), "value"));
            self.fault(name, what, "a line for each box: bore 2; or every value of the side");
            return None;
        }
        Some(Boxes::Readings(read.into_iter().map(Some).collect()))
    }

    /// How many of the first lines are of one side, each of its boxes once and
    /// everything else alike; else one.
    fn side(&self, sheet: &Sheet, all: &[Again]) -> usize {
        let Some(first) = all.first() else { return 0 };
        let line =
            sheet.lines().find(|line| line.rows.iter().any(|row| row.code == first.row.as_str()));
        let group = line.and_then(|line| line.own().find(|group| group.key == first.key.0));
        let many = group.map_or(1, |group| group.labels.len());
        let Some(own) = all.get(..many).filter(|own| own.len() > 1) else { return 1 };
        let alike = own.iter().all(|other| alike(first, other));
        let each = (0..many).all(|n| own.iter().any(|one| one.index == Some(n)));
        if alike && each { many } else { 1 }
    }

    /// One reading of them all, in the order of their boxes.
    fn together(&self, mut all: Vec<Again>) -> Option<Again> {
        all.sort_by_key(|again| again.index);
        let was: Vec<&str> =
            all.iter().filter_map(|again| again.note.as_ref()).map(Text::as_str).collect();
        let note = (!was.is_empty()).then(|| self.text(&format!("instead of {}", was.join(", "))));
        let many = all.len() > 1;
        let mut all = all.into_iter();
        let mut whole = Again { note, ..all.next()? };
        if many {
            whole.index = None;
        }
        for again in all {
            if let (Boxes::Readings(all), Boxes::Readings(more)) = (&mut whole.boxes, again.boxes) {
                all.extend(more);
            }
        }
        Some(whole)
    }

    /// `bore 2`, `bore B`; nothing, or the box alone, where the row has one side.
    /// The side alone is all of its boxes where a line has room for them.
    fn box_of<'l>(
        &mut self,
        name: &str,
        line: &'l LineRows,
    ) -> Option<(&'l BoxGroup, Option<usize>)> {
        let said = self.get(name).unwrap_or_default();
        let boxes = |group: &BoxGroup| group.labels.len().max(1);
        let any = name.strip_suffix("box").map(|line| format!("{line}value"));
        let any = any.is_some_and(|value| self.values.contains_key(&value));
        let own: Vec<&BoxGroup> = line.own().collect();
        let (word, which) = said.split_once(' ').unwrap_or((said, ""));
        let of = |word: &str| own.iter().find(|group| group.key.word() == word.to_lowercase());
        let (group, which) = match own.as_slice() {
            [only] if of(word).is_none() => (Some(only), said),
            _ => (of(word), which),
        };
        let index = group.and_then(|group| {
            let which = which.trim();
            let label = group.labels.iter().position(|label| label == which);
            let number = which.parse().ok().filter(|n| (1..=boxes(group)).contains(n));
            match which.is_empty() {
                true => (boxes(group) == 1 || any).then_some(None),
                false => label.or(number.map(|n: usize| n - 1)).map(Some),
            }
        });
        let found = group.copied().zip(index);
        if found.is_none() {
            let help = "shaft, bore or read, and the box's number or letter: bore 2";
            self.fault(name, format!("\"{said}\" is no box of this row"), help);
        }
        found
    }
}

fn mark_of(letter: char) -> Option<Mark> {
    match letter {
        'v' | 'V' => Some(Mark::Ok),
        'x' | 'X' => Some(Mark::Found),
        'n' | 'N' => Some(Mark::NotApplicable),
        '-' => Some(Mark::Blank),
        _ => None,
    }
}

/// Two lines that differ in nothing but the box and what was read.
fn alike(one: &Again, other: &Again) -> bool {
    let of = |again: &Again| {
        let word = |text: &Option<Text>| text.as_ref().map(ToString::to_string);
        let gauges: Vec<String> = again.gauges.iter().map(ToString::to_string).collect();
        let day = again.on.as_ref().map(|(day, _)| *day);
        let signed = (word(&again.by), word(&again.inspector), day);
        (again.row.to_string(), again.key.0, again.why.0, signed, gauges, again.zero)
    };
    of(one) == of(other)
}

pub fn leave_out(entry: &mut SheetEntry, code: Text, left: NotApplicable) {
    match entry.rows.iter_mut().find(|row| row.code.text == code.text) {
        Some(row) => row.not_applicable = Some(left),
        None => {
            let at = left.at.clone();
            entry.rows.push(RowEntry { code, groups: Vec::new(), not_applicable: Some(left), at });
        }
    }
}
