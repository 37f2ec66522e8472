//! Chains of changes and reworks by chance: no verdict rests on a reading that
//! is older than its part, no step fits parts that were never together, and
//! with everything measured and looked over again the record is final. The rule
//! is stated here from what was typed: every reading has a figure of its own, by
//! which its day is known. (The rule is the trade's: common practice, no
//! source.)

mod story;

use super::drawn::expanded;
use super::{cases, numbers};
use benchleaf::analysis::{self, Disposition};
use benchleaf::diag::Diags;
use benchleaf::model::Case;
use benchleaf::record;
use benchleaf::record::{Judged, Status, Step};
use benchleaf::sheet::SheetSet;
use proptest::prelude::*;
use story::{Boxes, Change, LINES, PARTS, Reading, Story};

impl Story {
    #[track_caller]
    fn judged(&self) -> (Case, SheetSet, Judged) {
        let files = self.files();
        let (case, set) = expanded(&files);
        let mut out = Diags::new();
        let Some(judged) = record::judge(&case, &set, &mut out) else {
            panic!("{}", out.render(&files, false))
        };
        (case, set, judged)
    }

    /// Every reading of a box that is known by its figure.
    fn reading(&self, figure: &str) -> Option<&Reading> {
        let mut all = self.first.iter().chain(&self.later);
        all.find(|reading| reading.figures.iter().any(|own| own == figure))
    }

    /// A reading was taken after a change: a first one of the same day was of
    /// what was found.
    fn after(reading: &Reading, change: &Change) -> bool {
        reading.day > change.day || reading.day == change.day && !reading.why.is_empty()
    }

    /// Figures in a step that are older than their part, and ticks and counts
    /// that nobody wrote since.
    fn older(&self, code: &str, step: &Step) -> Vec<String> {
        let mut found = Vec::new();
        // Roundness is judged on the readings of the pin.
        let round = code.starts_with('R');
        let own = LINES
            .iter()
            .enumerate()
            .filter(|(_, boxes)| code.starts_with(boxes.line) || round && boxes.feature == "f-pin");
        for (line, boxes) in own {
            let mut sides = step.sides.iter();
            let Some(side) = sides.find(|side| round || side.key.word() == boxes.key) else {
                continue;
            };
            let key = side.key;
            let place = (0..self.places).find(|n| code.ends_with(&format!("{}", n + 1)));
            let place = place.filter(|_| boxes.placed()).unwrap_or_default();
            let named = boxes.count > 0 && boxes.line != "N";
            for (index, typed) in side.boxes.iter().enumerate().filter(|_| named) {
                let Some(typed) = typed else { continue };
                let reading = self.reading(&typed.text).unwrap();
                let older = |change: &&Change| {
                    self.disturbs(change, boxes, place, index) && !Story::after(reading, change)
                };
                found.extend(self.changes.iter().find(older).map(|change| {
                    format!("{code} {key} {} of day {}, {change:?}", typed.text, reading.day)
                }));
            }
            if !named && side.filled(0) {
                let since = |change: &Change| {
                    let all = self.first.iter().chain(&self.later);
                    let mut mine = all.filter(|r| r.line == line && r.place == place);
                    mine.any(|reading| Story::after(reading, change))
                };
                let old = |c: &&Change| self.disturbs(c, boxes, place, 0) && !since(c);
                found.extend(self.changes.iter().find(old).map(|c| format!("{code} {key}, {c:?}")));
            }
        }
        found
    }

    /// Days from which and until which the part of a reading was in its place.
    fn lived(&self, figure: &str, boxes: &Boxes, place: usize) -> (i64, i64) {
        let reading = self.reading(figure).unwrap();
        let own =
            |c: &&Change| c.changed && c.part == boxes.part && self.disturbs(c, boxes, place, 0);
        let own: Vec<&Change> = self.changes.iter().filter(own).collect();
        let came = own.iter().filter(|change| Story::after(reading, change)).map(|c| c.day).max();
        let went = own.iter().filter(|change| !Story::after(reading, change)).map(|c| c.day).min();
        (came.unwrap_or(i64::MIN), went.unwrap_or(i64::MAX))
    }

    /// A fit of parts that were never together.
    fn never_was(&self, code: &str, step: &Step) -> bool {
        let place = (0..self.places).find(|n| code == format!("F{}", n + 1)).unwrap();
        let lived = |n: usize| {
            let figures = step.sides[n].boxes.iter().flatten();
            figures.map(move |typed| self.lived(&typed.text, &LINES[n], place)).collect::<Vec<_>>()
        };
        let (shafts, bores) = (lived(0), lived(1));
        shafts.iter().any(|shaft| bores.iter().any(|bore| shaft.0 >= bore.1 || bore.0 >= shaft.1))
    }

    /// What is wrong with a record of this story, in words.
    fn faults(&self) -> Vec<String> {
        let (case, set, judged) = self.judged();
        let mut faults = Vec::new();
        for row in &judged.rows {
            let older = row.last().map(|step| self.older(&row.code, step)).unwrap_or_default();
            if !older.is_empty() && !row.blocks() {
                faults.push(format!("{} passes: {}", row.state, older.join("; ")));
            }
            for step in row.steps.iter().filter(|_| row.code.starts_with('F')) {
                if self.never_was(&row.code, step) {
                    faults.push(format!("{} never was: {:?}", row.code, step.verdict.steps));
                }
            }
        }
        for (n, part) in PARTS.iter().enumerate() {
            let item = judged.items.iter().find(|item| item.number as usize == n + 1).unwrap();
            let disturbing = || self.changes.iter().filter(|c| self.disturbs_items(c, part));
            let since = |c: &Change, later: &Change| {
                let of_it = later.part == c.part || self.disturbs_items(later, part);
                later.day >= c.day && later.redone && of_it
            };
            // What is signed for on a later day was looked at on the part that came.
            let before = |c: &Change| c.day >= story::day_of("work");
            let waits = |c: &Change| before(c) && !self.changes.iter().any(|later| since(c, later));
            if disturbing().any(waits) && !item.blocks() {
                faults.push(format!("the look-over of the {part} stands"));
            }
        }
        let record = case.record.as_ref().unwrap();
        for tag in analysis::set_aside(&case, &set, record, &judged) {
            if tag.disposition == Disposition::Scrap {
                faults.extend(self.wrong_tag(&tag.said));
            }
        }
        faults
    }

    /// Figures on a scrap tag that are not of the part that went.
    fn wrong_tag(&self, said: &[(String, String)]) -> Option<String> {
        let (_, done) = said.iter().find(|(caption, _)| caption == "done")?;
        let change = &self.changes[done.strip_prefix("change ")?.parse::<usize>().unwrap()];
        let figures = said.iter().flat_map(|(code, text)| {
            text.split([' ', ':']).filter_map(move |word| Some((code, self.reading(word)?)))
        });
        let mut wrong = figures.filter(|(_, reading)| {
            let boxes = &LINES[reading.line];
            let between = |other: &&Change| {
                other.changed
                    && other.part == change.part
                    && other.day < change.day
                    && !Story::after(reading, other)
                    && self.disturbs(other, boxes, reading.place, 0)
                    && other.place == change.place
            };
            // A count is the same before and after.
            if boxes.line == "N" {
                return false;
            }
            reading.day > change.day || self.changes.iter().any(|other| between(&other))
        });
        wrong.next().map(|(code, reading)| format!("tag of {change:?}: {code} {reading:?}"))
    }
}

proptest! {
    #![proptest_config(cases(4_000))]

    #[test]
    fn no_verdict_rests_on_a_part_that_has_gone(mut tape in numbers()) {
        let story = Story::drawn(&mut tape);
        let faults = story.faults();
        prop_assert!(faults.is_empty(), "{}\n{:#?}", faults.join("\n"), story);
    }

    #[test]
    fn everything_measured_again_is_final(mut tape in numbers()) {
        let story = Story::drawn(&mut tape).measured_again();
        let (_, set, judged) = story.judged();
        let mut blocking: Vec<String> = judged
            .rows
            .iter()
            .filter(|row| row.blocks())
            .map(|row| format!("{} {} {:?}", row.code, row.state, row.asks))
            .collect();
        blocking.extend(judged.items.iter().filter(|item| item.blocks()).map(|i| format!("{:?}", i.asks)));
        blocking.extend(judged.asks.iter().map(|ask| ask.why.clone()));
        blocking.extend(judged.sheets.iter().map(|sheet| format!("{:?}", sheet.asks)));
        prop_assert!(judged.status == Status::Complete, "{}\n{}\n{:#?}", set.number, blocking.join("\n"), story);
        prop_assert_eq!(story.faults(), Vec::<String>::new());
    }
}

/// A story of one place in which every line was measured once, on these days.
fn measured_on(day: impl Fn(usize) -> i64) -> Story {
    let mut story = Story { places: 1, ..Story::default() };
    story.single = PARTS.iter().map(|part| (*part, part == &"rod")).collect();
    for line in 0..LINES.len() {
        let (figures, day) = (story.fresh(line, None), day(line));
        story.first.push(Reading { line, place: 0, index: None, figures, why: "", day, hand: 0 });
    }
    story
}

/// Planted: a day moved by one, a mate's predecessor, an item that was not
/// looked over are seen by the same comparisons.
#[test]
fn an_old_reading_is_seen() {
    let story = measured_on(|_| 3);
    let (_, _, judged) = story.judged();
    assert!(judged.status == Status::Complete && story.faults().is_empty());
    let change =
        Change { part: "bush", place: None, changed: true, work: None, day: 3, redone: false };
    let mut told = story.clone();
    told.changes.push(change.clone());
    assert!(told.faults().is_empty());
    let (_, _, changed) = told.judged();
    assert!(changed.row("F1").unwrap().blocks());
    // The record as it would be if nobody had said so.
    let last = judged.row("F1").unwrap().last().unwrap();
    assert_eq!(told.older("F1", last).len(), 2);
    for part in ["spring", "rod", "studs", "gear"] {
        let mut other = story.clone();
        other.changes.push(Change { part, ..change.clone() });
        let boxes = LINES.iter().find(|boxes| boxes.part == part).unwrap();
        let code = boxes.code(0);
        let last = judged.row(&code).unwrap().last().unwrap();
        assert!(!other.older(&code, last).is_empty(), "{code}");
    }
    let both = Change { part: "pin", day: 4, ..change };
    told.changes.push(both);
    let figures = vec!["1.38000".to_owned(), "1.38001".to_owned()];
    let why = "part changed";
    let new = Reading { why, day: 5, figures, ..story.first[0].clone() };
    told.later.push(new);
    let (_, _, new) = told.judged();
    let mut step = new.row("F1").unwrap().last().unwrap().clone();
    assert!(!told.never_was("F1", &step));
    step.sides[1] = last.sides[1].clone();
    assert!(told.never_was("F1", &step));
}

/// Both parts changed after the pin's first reading and before the bush's: the
/// old pin was never in the new bush, and no step of the row says so.
#[test]
fn first_readings_of_parts_that_never_met_are_no_fit() {
    let mut story = measured_on(|line| if line == 0 { 1 } else { 3 });
    for part in ["pin", "bush"] {
        let change = Change { part, place: None, changed: true, work: None, day: 1, redone: false };
        story.changes.push(change);
    }
    assert_eq!(story.faults(), Vec::<String>::new());
    let (_, _, judged) = story.judged();
    let row = judged.row("F1").unwrap();
    // The old pin's figures stay in the chain; the row waits for the new pin's.
    assert_eq!(row.steps.len(), 2);
    assert!(row.steps[0].sides[0].filled(0) && !row.steps[0].sides[1].filled(0));
    assert!(!row.steps[1].sides[0].filled(0) && row.steps[1].sides[1].filled(0));
    assert!(row.blocks());
}

/// The mate was measured again after the work that blanked the bush, and nothing
/// after the two changes that followed: the last step knows them all the same.
#[test]
fn changes_after_the_last_reading_of_a_row_are_known_to_it() {
    let mut story = measured_on(|_| 1);
    for (changed, day) in [(false, 2), (true, 6), (true, 8)] {
        let part = "bush";
        story.changes.push(Change { part, place: None, changed, work: None, day, redone: false });
    }
    let figures = story.fresh(0, None);
    let why = "measured again";
    story.later.push(Reading { line: 0, place: 0, index: None, figures, why, day: 4, hand: 0 });
    assert_eq!(story.faults(), Vec::<String>::new());
    let (_, _, judged) = story.judged();
    let bore = &judged.row("F1").unwrap().last().unwrap().sides[1];
    assert!(!bore.filled(0));
    assert_eq!(bore.gone, [0, 1, 2]);
    assert_eq!(bore.state, benchleaf::judge::PartState::New);
}
