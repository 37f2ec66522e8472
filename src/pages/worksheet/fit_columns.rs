//! The columns of a fit row, worked out from the page and the boxes.

use super::Layout;
use crate::judge::{BoxGroup, BoxKind, ResultBox};
use crate::layout::at;
use crate::layout::canvas::{Canvas, HAIR, mm};
use crate::layout::length::Len;
use crate::layout::style::{ASIDE, CAPTION};
use crate::model::side::Group;
use crate::pages::boxes::{CELL_H, Comb};
use crate::sheet::{LineRows, Row};

/// Between two combs of a pair, and between groups.
const PAIR: Len = mm(2.0);
const GROUPS: Len = mm(2.8);
/// The column of the row codes.
const CODE: Len = mm(16.0);

/// One group of boxes.
pub struct GroupColumn {
    /// Index into the line's groups.
    pub group: usize,
    pub x: Len,
    pub width: Len,
    /// Combs side by side.
    pub across: usize,
}

/// Measured from the left edge of the row.
pub struct Columns {
    pub code: Len,
    pub sides: Vec<GroupColumn>,
    /// Left edge and width.
    pub answer: (Len, Len),
}

impl Columns {
    pub fn new(lay: &Layout<'_>, line: &LineRows) -> Columns {
        let whole = lay.area.w;
        let answers = line.answers.iter().map(|answer| comb_of(answer).width());
        let answer = answers.max().unwrap_or_default();
        let groups: Vec<usize> =
            (0..line.groups.len()).filter(|n| comb(&line.groups[*n]).is_some()).collect();
        let count = i32::try_from(groups.len()).unwrap_or(1).max(1);
        let free = whole - CODE - answer - GROUPS * count;
        let across = across(line, &groups, free);
        let needs: Vec<Len> = groups
            .iter()
            .zip(&across)
            .map(|(n, across)| needs(&line.groups[*n], *across))
            .collect();
        let even = (0..groups.len()).all(|n| needs[n] <= free / count);
        let spare = (free - needs.iter().copied().sum()) / count;
        let mut x = CODE;
        let sides = groups.iter().enumerate().map(|(n, group)| {
            let width = if even { free / count } else { needs[n] + spare };
            let width = mm(0.2) * width.um().div_euclid(200);
            let side = GroupColumn { group: *group, x, width, across: across[n] };
            x += width + GROUPS;
            side
        });
        Columns { code: CODE, sides: sides.collect(), answer: (whole - answer, answer) }
    }

    /// Where the boxes before the answers end that stand on line `n` of boxes;
    /// at the left edge where there are no more of them.
    pub fn boxes_end(&self, line: &LineRows, n: usize) -> Len {
        let Some(side) = self.sides.last() else { return Len::ZERO };
        let group = &line.groups[side.group];
        let one = comb(group).map_or(Len::ZERO, Comb::width);
        let here = group.labels.len().saturating_sub(n * side.across);
        if here == 0 || !group.own {
            return Len::ZERO;
        }
        let across = here.min(side.across);
        side.x + (one + PAIR).times(across) - PAIR
    }

    /// What stands over each column: a group or, without one, the answers, with the
    /// left edge and the width.
    pub fn spans(&self, line: &LineRows) -> Vec<(Option<Group>, Len, Len)> {
        let sides = self.sides.iter();
        let sides = sides.map(|side| (Some(line.groups[side.group].key), side.x, side.width));
        let (x, width) = self.answer;
        let answers = (!line.answers.is_empty()).then_some((None, x, width));
        sides.chain(answers).collect()
    }
}

/// The least width that a scale is read in.
const SCALE: Len = mm(46.0);

/// Width of a group with so many combs side by side.
fn needs(group: &BoxGroup, across: usize) -> Len {
    let one = comb(group).map_or(Len::ZERO, Comb::width);
    ((one + PAIR).times(across) - PAIR).max(SCALE)
}

/// One or two combs side by side in each group: of the ways that fit, the one
/// with the fewest lines of boxes.
fn across(line: &LineRows, groups: &[usize], free: Len) -> Vec<usize> {
    let choices = groups.iter().fold(vec![Vec::new()], |choices, _| {
        let longer = |choice: &Vec<usize>| [2, 1].map(|n| [choice.as_slice(), &[n]].concat());
        choices.iter().flat_map(longer).collect()
    });
    let width = |choice: &Vec<usize>| -> Len {
        groups.iter().zip(choice).map(|(n, across)| needs(&line.groups[*n], *across)).sum()
    };
    let lines = |choice: &Vec<usize>| {
        let labels = groups.iter().map(|n| line.groups[*n].labels.len());
        labels.zip(choice).map(|(labels, across)| labels.div_ceil(*across)).max()
    };
    let fitting = choices.into_iter().filter(|choice| width(choice) <= free);
    fitting.min_by_key(lines).unwrap_or_else(|| vec![1; groups.len()])
}

pub fn comb(group: &BoxGroup) -> Option<Comb> {
    match group.shape {
        BoxKind::Comb { whole, places, signed } => {
            Some(Comb { whole, places, signed, side: false, heavy: false })
        }
        _ => None,
    }
}

pub fn comb_of(answer: &ResultBox) -> Comb {
    Comb {
        whole: answer.whole,
        places: answer.places,
        signed: false,
        side: answer.side,
        heavy: answer.governs,
    }
}

/// Whether a box has the heavier outline: only where others do not govern.
pub fn heavy(group: &BoxGroup, n: usize) -> bool {
    let governs = |n: usize| group.governs.get(n).copied().unwrap_or(true);
    governs(n) && (0..group.labels.len()).any(|other| !governs(other))
}

/// `shaft A` over a box; a label of more than a letter or two speaks for itself.
fn over(group: &BoxGroup, label: &str) -> String {
    match label.chars().count() {
        0 => group.called.clone(),
        1 | 2 => format!("{} {label}", group.called),
        _ => label.to_string(),
    }
}

/// The group's combs under their captions; gives back the height.
pub fn combs<'t>(
    canvas: &mut Canvas<'_>,
    group: &BoxGroup,
    side: &GroupColumn,
    written: impl Fn(usize) -> Option<&'t str>,
    field: impl Fn(usize, &str) -> (String, String),
) -> Len {
    let Some(comb) = comb(group) else {
        return Len::ZERO;
    };
    let mut y = Len::ZERO;
    for (line, labels) in group.labels.chunks(side.across).enumerate() {
        let texts = labels.iter().map(|label| over(group, label));
        let paras: Vec<_> = texts.map(|text| CAPTION.para(&text, comb.width())).collect();
        let tallest = paras.iter().map(|para| para.height()).max().unwrap_or_default();
        let top = y + tallest.max(mm(2.8)).on_grid() + mm(0.4);
        for (n, para) in paras.iter().enumerate() {
            let x = side.x + (comb.width() + PAIR).times(n);
            canvas.write(at(x, top - para.height() - mm(0.4)), para);
            let heavy = heavy(group, line * side.across + n);
            canvas.comb(at(x, top), Comb { heavy, ..comb });
            canvas.comb_fields(at(x, top), comb, |part| field(line * side.across + n, part));
            if let Some(text) = written(line * side.across + n) {
                canvas.hand(at(x, top), comb, text);
            }
        }
        y = top + CELL_H;
    }
    y
}

/// In the place of boxes that stand on another row: which one, and lines to
/// copy the two sizes that are subtracted.
pub fn carried(
    lay: &Layout<'_>,
    canvas: &mut Canvas<'_>,
    group: &BoxGroup,
    side: &GroupColumn,
    row: Option<&Row>,
) -> Len {
    let source = lay.source(group.feature, row.map_or(&[], std::slice::from_ref));
    let source = source.and_then(|(sheet, rows)| Some((sheet, &rows.first()?.code)));
    let from = match source {
        Some((sheet, code)) => {
            format!("{} of row {code}, sheet {}: copy", group.title, sheet.letter)
        }
        None => format!("{}: copy from its own row", group.title),
    };
    let height = canvas.tell(at(side.x, Len::ZERO), ASIDE.sized(7.0), &from, side.width);
    let line = height.max(mm(3.2)) + CELL_H - mm(1.0);
    let half = side.width / 2;
    for (n, word) in ["largest", "smallest"].into_iter().enumerate() {
        let x = side.x + half.times(n);
        let start = canvas.word(x, line - mm(0.6), CAPTION, word) + mm(1.0);
        canvas.rule(start, line, x + half - PAIR - start, HAIR);
    }
    line + mm(1.0)
}
