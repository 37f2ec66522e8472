//! The sheet as a whole: its number, who signed, in which order, and whether
//! somebody else checked.

use super::findings::lapsed;
use super::gauges;
use super::holds::{self, own_work};
use super::index::RecordIndex;
use super::types::{Issue, JudgedSheet, Signed};
use crate::judge::State;
use crate::model::record::{
    GroupEntry, ItemContent, ItemEntry, Mark, RowEntry, SheetEntry, Sign, Why,
};
use crate::quantity::date::Date;
use crate::sheet::{Sheet, plain_number};

/// What stands against a sheet and, by line, against its rows.
pub struct Standing {
    pub sheet: JudgedSheet,
    /// Reference of a line and what stands against its rows.
    pub lines: Vec<(String, Issue)>,
    /// The sheet is superseded: stands until every row of the lines that
    /// changed is measured again; what was ticked cannot be.
    pub superseded: Option<Issue>,
}

/// Everything about a sheet that is not a single row's or item's.
pub fn standing(index: &RecordIndex, sheet: &Sheet) -> Standing {
    let entry = index.entry(&sheet.letter);
    let begun = entry.is_some_and(is_begun);
    let mut standing = Standing {
        sheet: JudgedSheet {
            letter: sheet.letter.clone(),
            begun,
            signed: Vec::new(),
            checked_by: None,
            asks: Vec::new(),
            remarks: None,
        },
        lines: Vec::new(),
        superseded: None,
    };
    let Some(entry) = entry.filter(|_| begun) else { return standing };
    standing.sheet.remarks =
        entry.remarks.as_ref().map(ToString::to_string).filter(|text| !text.trim().is_empty());
    standing.sheet.signed = entry.signs.iter().filter_map(signed).collect();
    number(sheet, entry, &mut standing);
    for sign in &sheet.signs {
        if sign.key != "check" {
            self::sign(index, sheet, entry, &sign.key, &mut standing);
        }
    }
    standing.sheet.asks.extend(holds::asks(index, sheet, entry));
    check(index, sheet, entry, &mut standing);
    standing
}

/// Whether a reading, a mark or a word is typed for a sheet.
pub fn is_begun(entry: &SheetEntry) -> bool {
    let row = |row: &RowEntry| {
        row.not_applicable.is_some() || row.groups.iter().any(|g| g.boxes.is_filled())
    };
    entry.rows.iter().any(row) || entry.items.iter().any(written)
}

/// Something stands at the item.
fn written(item: &ItemEntry) -> bool {
    match &item.content {
        ItemContent::Marks(marks) => marks.iter().any(|mark| *mark != Mark::Blank),
        ItemContent::Words(words) => !words.as_str().trim().is_empty(),
        ItemContent::Placed(placed) => placed.iter().any(|(_, w)| !w.as_str().trim().is_empty()),
        ItemContent::Cells(cells) => cells.iter().any(|cell| !cell.as_str().is_empty()),
        ItemContent::Renewed(renewed) => renewed.count.is_some() || renewed.reused,
    }
}

fn signed(sign: &Sign) -> Option<Signed> {
    let by = sign.by.as_ref().filter(|by| !by.as_str().is_empty())?;
    Some(Signed {
        key: sign.key.to_string(),
        by: by.to_string(),
        on: sign.on.as_ref().map(|(date, _)| date.to_string()).unwrap_or_default(),
        gauges: gauges::each_once(&sign.gauges),
    })
}

/// A sheet's number differs where its form, rows or limits have changed since
/// it was printed. What did not change is taken over, line by line.
fn number(sheet: &Sheet, entry: &SheetEntry, standing: &mut Standing) {
    let typed = entry.number.as_ref().map(|number| plain_number(number.as_str()));
    let same = typed.as_deref() == Some(sheet.number.as_str());
    let at = entry.number.as_ref().map(|number| number.at.clone());
    let changed = changed_lines(sheet, entry);
    let typed = typed.unwrap_or_default();
    for key in &changed {
        standing.lines.push((
            key.clone(),
            Issue { state: State::Query, why: older(sheet, same), at: at.clone() },
        ));
    }
    if same {
        return;
    }
    let (state, why) = if changed.is_empty() {
        let why = format!(
            "sheet number {typed} typed where sheet {} has {}: another sheet's page, or a slip in typing",
            sheet.letter, sheet.number
        );
        (State::Query, why)
    } else {
        let kept: Vec<&str> = sheet
            .digests
            .iter()
            .map(|(key, _)| key.as_str())
            .filter(|key| !changed.iter().any(|other| other == key))
            .collect();
        let why = format!(
            "sheet {} {typed} is superseded by {}: changed {}; still good {}",
            sheet.letter,
            sheet.number,
            changed.join(", "),
            if kept.is_empty() { "nothing".to_owned() } else { kept.join(", ") },
        );
        (State::Hold, why)
    };
    // A wrong number is one question, the sheet's: its rows have none of their own.
    let ask = Issue { state, why, at };
    if changed.is_empty() || changed.iter().any(|key| key == "items") {
        standing.sheet.asks.push(ask);
    } else {
        standing.superseded = Some(ask);
    }
}

/// What to do about a line that was printed with other limits.
fn older(sheet: &Sheet, same: bool) -> String {
    let Sheet { letter, number, .. } = sheet;
    if same {
        return format!(
            "number {number} is the sheet's as it is now, but printed = \"...\" is an older sheet's: measure this line on {number} and type it under [[again]]; only where the whole sheet was measured on {number}, take the line printed out"
        );
    }
    format!(
        "sheet {letter} was printed before this line changed: measure again on the sheet as it is now, {number}, and type it under [[again]]"
    )
}

/// Lines whose digest differs from the one in the transcription.
pub fn changed_lines(sheet: &Sheet, entry: &SheetEntry) -> Vec<String> {
    let Some(printed) = &entry.printed else { return Vec::new() };
    let old: Vec<(&str, &str)> =
        printed.as_str().split(',').filter_map(|pair| pair.trim().split_once(' ')).collect();
    sheet
        .digests
        .iter()
        .filter(|(key, digest)| !old.iter().any(|(k, d)| k == key && d.trim() == digest))
        .map(|(key, _)| key.clone())
        .collect()
}

/// Initials, date and gauges of what was done under one key.
fn sign(
    index: &RecordIndex,
    sheet: &Sheet,
    entry: &SheetEntry,
    key: &str,
    standing: &mut Standing,
) {
    if !done_under(entry, key) {
        return;
    }
    let own: Vec<&Sign> = entry.signs.iter().filter(|sign| sign.key.as_str() == key).collect();
    let rest = own.iter().find(|sign| sign.rows.is_empty());
    let named = |code: &str| own.iter().flat_map(|sign| &sign.rows).any(|row| row.as_str() == code);
    let several = own.iter().any(|sign| !sign.rows.is_empty());
    // Where each names rows, the rest must have nothing left to sign for.
    if !several || rest.is_some() || rows_under(entry, key).any(|row| !named(row.code.as_str())) {
        signed_for(index, sheet, entry, (key, rest.copied()), standing);
    }
    for sign in own.iter().filter(|sign| !sign.rows.is_empty()) {
        signed_for(index, sheet, entry, (key, Some(sign)), standing);
    }
}

/// What stands against one sign-off, or against there being none.
fn signed_for(
    index: &RecordIndex,
    sheet: &Sheet,
    entry: &SheetEntry,
    (key, sign): (&str, Option<&Sign>),
    standing: &mut Standing,
) {
    let at = sign.map_or_else(|| entry.at.clone(), |sign| sign.at.clone());
    let by = sign.and_then(|sign| sign.by.as_ref()).filter(|by| !by.as_str().is_empty());
    let on = sign.and_then(|sign| sign.on.as_ref());
    let mut open = |why: String| {
        standing.sheet.asks.push(Issue { state: State::Open, why, at: Some(at.clone()) });
    };
    if by.is_none() {
        open(format!("sheet {}: no initials for {key}", sheet.letter));
    }
    if on.is_none() {
        open(format!("sheet {}: no date for {key}", sheet.letter));
    }
    for of in gauges::unnamed(index, sheet, entry, (key, sign)) {
        open(format!("sheet {}: no gauge named for {of}", sheet.letter));
    }
    let printed = sheet.signs.iter().any(|printed| printed.key == key && printed.zero);
    let blank = printed.then_some([Mark::Blank; 2]);
    let looked = sign.and_then(|sign| sign.zero).or(blank).into_iter().flatten();
    for (_, when) in looked.zip(["before", "after"]).filter(|(mark, _)| *mark == Mark::Blank) {
        open(format!(
            "sheet {}: zero of the gauge for {key} not looked at {when} use",
            sheet.letter
        ));
    }
    if let Some((date, at)) = on {
        if let Some((opened, _)) =
            index.case.job.opened.as_ref().filter(|(opened, _)| date < opened)
        {
            let why = format!(
                "sheet {}: {key} dated {date}, before the job was opened on {opened}",
                sheet.letter
            );
            standing.sheet.asks.push(Issue { state: State::Query, why, at: Some(at.clone()) });
        }
        // A torque wrench is named for the work; the rows have their own.
        let named = sign.filter(|_| key == "work").map_or(Vec::new(), |sign| sign.gauges.all());
        standing.sheet.asks.extend(named.into_iter().filter_map(|id| lapsed(index, id, *date)));
    }
}

/// Whether anything was written that this key answers for.
fn done_under(entry: &SheetEntry, key: &str) -> bool {
    if key == "work" {
        return entry.items.iter().any(written);
    }
    rows_under(entry, key).next().is_some()
}

/// The rows in which something is written that this key answers for.
fn rows_under<'a>(entry: &'a SheetEntry, key: &'a str) -> impl Iterator<Item = &'a RowEntry> {
    let own = move |group: &GroupEntry| group.key.0.side().word() == key && group.boxes.is_filled();
    entry.rows.iter().filter(move |row| row.groups.iter().any(own))
}

/// The second person's check.
fn check(index: &RecordIndex, sheet: &Sheet, entry: &SheetEntry, standing: &mut Standing) {
    let sign = entry.signs.iter().find(|sign| sign.key.as_str() == "check");
    let by = sign.and_then(|sign| sign.by.as_ref()).filter(|by| !by.as_str().is_empty());
    let at = sign.map_or_else(|| entry.at.clone(), |sign| sign.at.clone());
    let mut ask = |state: State, why: String| {
        standing.sheet.asks.push(Issue { state, why, at: Some(at.clone()) });
    };
    let Some(by) = by else {
        if index.case.job.second_person {
            ask(
                State::Hold,
                format!("sheet {}: waits for a check by a second person", sheet.letter),
            );
        }
        return;
    };
    let on = sign.and_then(|sign| sign.on.as_ref());
    let same = own_work(index, sheet, entry, by.as_str(), on.map(|(on, _)| *on));
    if let (true, Some(same)) = (index.case.job.second_person, &same) {
        let why = format!(
            "sheet {}: {by} did {same} and checked it: a second person is required",
            sheet.letter
        );
        ask(State::Query, why);
        return;
    }
    let Some((on, _)) = on else {
        ask(State::Open, format!("sheet {}: no date for the check", sheet.letter));
        return;
    };
    let late = entry.signs.iter().filter(|sign| sign.key.as_str() != "check");
    let late = late.filter_map(|sign| sign.on.as_ref()).map(|(date, _)| *date).max();
    if let Some(late) = late.filter(|late| late > on) {
        ask(
            State::Query,
            format!(
                "sheet {}: checked on {on}, before it was measured or done on {late}",
                sheet.letter
            ),
        );
    }
    let late = unaccepted(index, sheet, on);
    if index.case.job.second_person && !late.is_empty() {
        let why = format!(
            "sheet {}: read after it was checked on {on}: {}; wait for a second person's acceptance, inspector = \"...\" under [[again]]",
            sheet.letter,
            late.join(", ")
        );
        ask(State::Hold, why);
    }
    if same.is_none() {
        standing.sheet.checked_by = Some(by.to_string());
    }
}

/// Rows with a reading later than the check of their sheet, which the check cannot
/// have seen, that nobody but whoever took it has accepted. What was replaced
/// since holds nothing any more.
fn unaccepted(index: &RecordIndex, sheet: &Sheet, checked: &Date) -> Vec<String> {
    let rows = sheet.lines().flat_map(|line| &line.rows);
    let late = rows.filter(|row| {
        index.again(&row.code).iter().any(|n| {
            let again = &index.record.again[*n];
            let late = again.why.0 != Why::Mistyped
                && again.on.as_ref().is_some_and(|(on, _)| on > checked);
            late && !again.is_accepted() && index.record.stands(again)
        })
    });
    late.map(|row| row.code.clone()).collect()
}
