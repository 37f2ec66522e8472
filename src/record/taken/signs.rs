//! Who signed, and which gauges: the boxes at the foot of a sheet, and the lines for
//! another person or another day of one side.

use super::fields::Taking;
use crate::model::record::{Initialled, Named, Sign};
use crate::model::text::Text;
use crate::sheet::fields::{ALSO, gauge_of};
use crate::sheet::{LineRows, Sheet, SheetBlock};

impl Taking<'_> {
    pub fn sign(&mut self, sheet: &Sheet, own: &str, key: &str) -> Option<Sign> {
        let name = |part: &str| format!("{own}.{key}.{part}");
        let sign = Sign {
            key: self.text(key),
            by: self.worded(&name("by")),
            on: self.day(&format!("{own}.{key}")),
            gauges: self.gauges(sheet, own, key),
            part_temperature: self.get(&name("temp")).and_then(|t| self.figure(&name("temp"), t)),
            gauge_temperature: None,
            zero: self.zero(&format!("{own}.{key}")),
            rows: Vec::new(),
            at: self.at.clone(),
        };
        let written = sign.by.is_some()
            || sign.on.is_some()
            || !sign.gauges.all().is_empty()
            || sign.zero.is_some()
            || sign.part_temperature.is_some();
        written.then_some(sign)
    }

    /// Of each line that has its own, or of all.
    fn gauges(&self, sheet: &Sheet, own: &str, key: &str) -> Named {
        let lines = sheet.signs.iter().filter(|sign| sign.key == key).flat_map(|sign| &sign.lines);
        let each = lines.filter_map(|line| {
            let gauges = self.several(&format!("{own}.{}", gauge_of(key, line)));
            (!gauges.is_empty()).then(|| (self.text(line), gauges))
        });
        let each: Vec<(Text, Vec<Text>)> = each.collect();
        match each.is_empty() {
            true => Named::All(self.several(&format!("{own}.{key}.gauge"))),
            false => Named::Each(each),
        }
    }

    /// The lines for others, each with its rows.
    pub fn also(&mut self, sheet: &Sheet) -> Vec<Sign> {
        let mut all: Vec<Sign> = Vec::new();
        for name in self.written(&format!("sheet {}.{ALSO}.", sheet.letter)) {
            let part = |part: &str| format!("{name}.{part}");
            let side = self.get(&part("side")).unwrap_or_default().to_lowercase();
            let has = |line: &&LineRows| line.own().any(|group| group.key.side().word() == side);
            let codes: Vec<String> = sheet
                .lines()
                .filter(has)
                .flat_map(|line| line.rows.iter().map(|row| row.code.clone()))
                .collect();
            if codes.is_empty() {
                let sides =
                    sheet.lines().flat_map(LineRows::own).map(|group| group.key.side().word());
                let mut known: Vec<&str> = Vec::new();
                sides.for_each(|side| {
                    if !known.contains(&side) {
                        known.push(side)
                    }
                });
                self.fault(
                    &part("side"),
                    format!("\"{side}\" is no side of this sheet"),
                    &known.join(" or "),
                );
                continue;
            }
            let rows = self.rows_of(&part("rows"), &codes);
            let taken = |row: &&Text| {
                let same = all.iter().filter(|sign| sign.key.as_str() == side);
                same.flat_map(|sign| &sign.rows).any(|other| other.text == row.text)
            };
            let twice = rows.iter().find(taken).map(ToString::to_string);
            if let Some(row) = twice {
                self.fault(
                    &part("rows"),
                    format!("two have signed for {side} of row {row}"),
                    "each row once",
                );
            }
            let sign = Sign {
                key: self.text(&side),
                by: self.worded(&part("by")),
                on: self.short_day(&part("date")),
                gauges: Named::All(self.several(&part("gauge"))),
                part_temperature: None,
                gauge_temperature: None,
                zero: self.zero(&name),
                rows,
                at: self.at.clone(),
            };
            all.push(sign);
        }
        all
    }

    /// `T1IN, T2EX` or `T1IN to T2EX`, all that stand between in printed order.
    fn rows_of(&mut self, name: &str, codes: &[String]) -> Vec<Text> {
        let said = self.get(name).unwrap_or_default().replace(" to ", "-").replace('\u{2013}', "-");
        let at = |code: &str| codes.iter().position(|own| own == code.trim());
        let mut rows: Vec<usize> = Vec::new();
        for piece in said.split([',', ';', ' ']).filter(|piece| !piece.is_empty()) {
            let (first, last) = piece.split_once('-').unwrap_or((piece, piece));
            match at(first).zip(at(last)).filter(|(first, last)| first <= last) {
                Some((first, last)) => rows.extend(first..=last),
                None => {
                    let help = "codes as they are printed: T1IN, T2EX, or T1IN to T2EX";
                    self.fault(
                        name,
                        format!("no rows \"{piece}\" of that side on this sheet"),
                        help,
                    );
                }
            }
        }
        if said.trim().is_empty() {
            self.fault(
                name,
                "nothing says which rows",
                "their codes; the rest is of whoever signs below",
            );
        }
        rows.sort_unstable();
        rows.dedup();
        rows.into_iter().filter_map(|n| codes.get(n)).map(|code| self.text(code)).collect()
    }

    pub fn initials(&mut self, sheet: &Sheet, block: &SheetBlock) -> Vec<Initialled> {
        let Some((first, last)) = block.initialled() else { return Vec::new() };
        let Some(span) = block.span() else { return Vec::new() };
        let name = format!("{} {span}.initials", sheet.letter);
        let mut all = Vec::new();
        for said in self.several(&name) {
            // `3 JA`: of one item by itself.
            let own = said.as_str().split_once(' ').and_then(|(number, by)| {
                let number: u32 = number.parse().ok()?;
                Some((number, number, by.trim().to_owned()))
            });
            let (first, last, by) = own.unwrap_or((first, last, said.to_string()));
            let by = vec![self.text(&by)];
            all.push(Initialled { first, last, by, at: self.at.clone() });
        }
        all
    }
}
