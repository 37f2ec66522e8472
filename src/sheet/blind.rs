//! The blind check: what a second person measures without having seen what the
//! first one read. The same rows and the same numbers; rows and boxes stand in
//! the opposite order, so that a column cannot be copied across.

use super::types::{LineRows, MeasureBlock, Sheet, SheetBlock, SheetSet, SignBox};
use crate::judge::BoxKind;

/// The sheets that have boxes for readings, with nothing else to fill in.
pub fn blind(set: &SheetSet) -> SheetSet {
    let mut blind = set.clone();
    blind.head.blind = true;
    blind.left_out.clear();
    blind.sheets = set.sheets.iter().filter_map(sheet).collect();
    let printed = |letter: &String| blind.sheets.iter().any(|sheet| sheet.letter == *letter);
    blind.index.gauges.iter_mut().for_each(|need| need.sheets.retain(printed));
    blind.index.gauges.retain(|need| !need.sheets.is_empty());
    blind
}

fn sheet(sheet: &Sheet) -> Option<Sheet> {
    let kept = |block: &SheetBlock| match block {
        SheetBlock::Measure(measure) => {
            let lines: Vec<LineRows> =
                measure.lines.iter().filter(|l| l.has_boxes()).map(turned).collect();
            (!lines.is_empty())
                .then(|| SheetBlock::Measure(MeasureBlock { lines, ..measure.clone() }))
        }
        SheetBlock::Caution(_) => Some(block.clone()),
        _ => None,
    };
    let blocks: Vec<SheetBlock> = sheet.blocks.iter().filter_map(kept).collect();
    let measures = |block: &SheetBlock| matches!(block, SheetBlock::Measure(_));
    let sign = |sign: &SignBox| SignBox {
        key: sign.key.clone(),
        caption: format!("{}, second person", sign.caption),
        gauges: sign.gauges,
        lines: sign.lines.clone(),
        zero: sign.zero,
    };
    let signs = sheet.signs.iter().filter(|sign| !matches!(sign.key.as_str(), "work" | "check"));
    blocks.iter().any(measures).then(|| Sheet {
        subtitle: Some("measured again by a second person, without the first readings".to_owned()),
        signs: signs.map(sign).collect(),
        blocks,
        ..sheet.clone()
    })
}

fn turned(line: &LineRows) -> LineRows {
    let mut line = line.clone();
    line.rows.reverse();
    for group in line.groups.iter_mut().filter(|group| matches!(group.shape, BoxKind::Comb { .. }))
    {
        group.labels.reverse();
        group.governs.reverse();
    }
    line
}
