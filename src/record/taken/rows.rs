//! The boxes of rows.

use super::fields::Taking;
use crate::judge::{BoxGroup, BoxKind};
use crate::model::record::{Boxes, GroupEntry, Mark, RowEntry};
use crate::model::side::Group;
use crate::model::text::Number;
use crate::quantity::Exact;
use crate::sheet::LineRows;
use crate::sheet::fields::{DECIMALS, LEAF, WHOLE};

impl Taking<'_> {
    pub fn rows(&mut self, line: &LineRows) -> Vec<RowEntry> {
        let mut all = Vec::new();
        for row in &line.rows {
            let mut groups = Vec::new();
            for group in line.own() {
                let count = group.labels.len().max(1);
                let name = |n: usize| format!("{}.{}.{}", row.code, group.key.word(), n + 1);
                let boxes = match &group.shape {
                    BoxKind::Marks { .. } => {
                        let typed: Vec<Mark> = (0..count).map(|n| self.mark(&name(n))).collect();
                        let any = typed.iter().any(|mark| *mark != Mark::Blank);
                        any.then_some(Boxes::Marks(typed))
                    }
                    _ => {
                        let typed: Vec<Option<Number>> =
                            (0..count).map(|n| self.reading(line, group, &name(n))).collect();
                        let any = typed.iter().any(Option::is_some);
                        any.then_some(Boxes::Readings(typed))
                    }
                };
                let at = self.at.clone();
                let entry = |boxes| GroupEntry { key: (group.key, at.clone()), boxes, at };
                groups.extend(boxes.map(entry));
            }
            groups.extend(self.leaves(line, &row.code));
            if !groups.is_empty() {
                let (code, at) = (self.text(&row.code), self.at.clone());
                all.push(RowEntry { code, groups, not_applicable: None, at });
            }
        }
        all
    }

    /// The figure of one box, from what stands before its point and behind it.
    pub fn reading(&mut self, line: &LineRows, group: &BoxGroup, name: &str) -> Option<Number> {
        let BoxKind::Comb { places, whole, .. } = group.shape else {
            return self.get(name).and_then(|said| self.figure(name, said));
        };
        let below = whole == 0 || below_one(line, group);
        self.comb(name, (places, below))
    }

    pub fn comb(&mut self, name: &str, (places, below): (u8, bool)) -> Option<Number> {
        let [before, behind] = [WHOLE, DECIMALS].map(|part| self.get(&format!("{name}.{part}")));
        let said = match (before, behind) {
            (None, None) => return None,
            (Some(before), None) if places == 0 => before.to_owned(),
            (Some(_), None) => {
                self.fault(name, "nothing stands behind the point", "every digit, the zeros too");
                return None;
            }
            (None, Some(behind)) if below => format!("0.{behind}"),
            (None, Some(_)) => {
                self.fault(name, "nothing stands before the point", "every digit of the gauge");
                return None;
            }
            (Some(before), Some(behind)) => format!("{before}.{behind}"),
        };
        let said = said.replace('\u{2212}', "-");
        self.figure(name, said.strip_prefix('+').unwrap_or(&said))
    }

    /// Further leaves, each on a line with its row.
    pub fn leaves(&mut self, line: &LineRows, code: &str) -> Option<GroupEntry> {
        let marked = line.own().any(|group| matches!(group.shape, BoxKind::Marks { .. }));
        let lines =
            if marked { self.lines(&format!("{} leaves.", line.reference), 1) } else { Vec::new() };
        let mut all = Vec::new();
        for name in lines {
            let part = |part: &str| format!("{name}.{part}");
            let [row, tooth, leaf] = LEAF.map(|own| self.get(&part(own)));
            let ticks = ["entered", "refused"].map(|own| self.get(&part(own)).is_some());
            if row.is_none() && tooth.is_none() && leaf.is_none() && ticks == [false; 2] {
                continue;
            }
            let known = row.is_some_and(|row| line.rows.iter().any(|known| known.code == row));
            let first = line.rows.first().is_some_and(|first| first.code == code);
            if !known && first {
                self.fault(&part("row"), "no row of this line", "its code, as it is printed");
            }
            if row != Some(code) {
                continue;
            }
            let number = tooth.and_then(|tooth| tooth.parse::<u32>().ok());
            let leaf = leaf.and_then(|leaf| self.figure(&part("leaf"), leaf));
            match (number, leaf, ticks) {
                (Some(number), Some(leaf), [true, false] | [false, true]) => {
                    all.push((number, leaf, ticks[0]));
                }
                _ => self.fault(
                    &name,
                    "not the whole of a leaf",
                    "its tooth, the leaf, and one of the two ticks",
                ),
            }
        }
        let at = self.at.clone();
        let entry = GroupEntry { key: (Group::Leaves, at.clone()), boxes: Boxes::Leaves(all), at };
        matches!(&entry.boxes, Boxes::Leaves(all) if !all.is_empty()).then_some(entry)
    }
}

/// Whether every limit over a group's boxes is below one, so that nothing need
/// stand before the point.
pub fn below_one(line: &LineRows, group: &BoxGroup) -> bool {
    let scale = line.scales.iter().find(|scale| scale.over == Some(group.key));
    let bands = scale.map_or(&[][..], |scale| &scale.bands);
    let mut edges = bands.iter().flat_map(|band| [band.from, band.to]).flatten().peekable();
    edges.peek().is_some() && edges.all(|edge| edge < Exact::whole(1))
}
