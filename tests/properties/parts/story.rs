//! A story of one job: an engine with its works, first readings, changes and
//! later readings by chance, as the texts of its files; and which change takes
//! away which reading.

use super::super::Tape;
use super::super::drawn::{Drawn, expanded};
use benchleaf::diag::Sources;
use benchleaf::quantity::Exact;
use benchleaf::sheet::{Pages, SheetSet, transcription};
use std::collections::BTreeMap;

/// Boxes of one kind of line: reference, key, part, feature, and how they are
/// filled in.
pub struct Boxes {
    pub line: &'static str,
    pub key: &'static str,
    pub part: &'static str,
    pub feature: &'static str,
    /// Figures a row; none are ticks, `usize::MAX` is one a place.
    pub count: usize,
    /// First figure and its decimals.
    pub from: (i64, u8),
}

pub const EACH: usize = usize::MAX;
pub const LINES: [Boxes; 8] = [
    Boxes { line: "F", key: "shaft", part: "pin", feature: "f-pin", count: 2, from: (137_250, 5) },
    Boxes { line: "F", key: "bore", part: "bush", feature: "f-bush", count: 2, from: (137_550, 5) },
    Boxes { line: "D", key: "read", part: "spring", feature: "", count: 1, from: (72_000, 3) },
    Boxes { line: "W", key: "read", part: "rod", feature: "", count: EACH, from: (900_000, 3) },
    Boxes { line: "N", key: "read", part: "studs", feature: "", count: 1, from: (8, 0) },
    Boxes { line: "O", key: "read", part: "plate", feature: "", count: 2, from: (50_000, 4) },
    Boxes { line: "G", key: "go", part: "gear", feature: "", count: 0, from: (0, 0) },
    Boxes { line: "G", key: "nogo", part: "gear", feature: "", count: 0, from: (0, 0) },
];
pub const PARTS: [&str; 7] = ["pin", "bush", "spring", "rod", "studs", "plate", "gear"];

/// What the engine file says of a work.
#[derive(Clone, Debug)]
pub struct Work {
    pub id: String,
    pub part: &'static str,
    pub changed: bool,
    pub reopens: Vec<String>,
}

#[derive(Clone, Debug)]
pub struct Change {
    pub part: &'static str,
    pub place: Option<usize>,
    pub changed: bool,
    pub work: Option<String>,
    pub day: i64,
    pub redone: bool,
}

/// A reading typed: which row and boxes, on which day.
#[derive(Clone, Debug)]
pub struct Reading {
    pub line: usize,
    pub place: usize,
    pub index: Option<usize>,
    /// As typed; empty for ticks.
    pub figures: Vec<String>,
    pub why: &'static str,
    pub day: i64,
    pub hand: usize,
}

#[derive(Clone, Debug, Default)]
pub struct Story {
    pub places: usize,
    /// Whether the parts sit one a place.
    pub single: BTreeMap<&'static str, bool>,
    pub works: Vec<Work>,
    pub changes: Vec<Change>,
    /// The first of each row, then the later ones in the order of the file.
    pub first: Vec<Reading>,
    pub later: Vec<Reading>,
    pub figures: i64,
}

impl Boxes {
    /// Rows that the line has.
    pub fn rows(&self, places: usize) -> usize {
        if matches!(self.line, "F" | "D" | "G") { places } else { 1 }
    }

    pub fn code(&self, place: usize) -> String {
        if matches!(self.line, "F" | "D" | "G") {
            format!("{}{}", self.line, place + 1)
        } else {
            self.line.to_owned()
        }
    }

    /// Whether the row stands at a place.
    pub fn placed(&self) -> bool {
        matches!(self.line, "F" | "D" | "G")
    }
}

impl Story {
    pub fn drawn(tape: &mut Tape) -> Story {
        let mut story = Story { places: 1 + tape.below(3), ..Story::default() };
        for part in PARTS {
            story.single.insert(part, part == "rod" || tape.one_in(2));
            for n in 0..tape.below(3) {
                let of = LINES.iter().filter(|boxes| boxes.part == part);
                let mut reopens: Vec<String> = of
                    .flat_map(|boxes| {
                        let feature = Some(format!("feature {}", boxes.feature));
                        let named = feature.filter(|_| !boxes.feature.is_empty());
                        named.or_else(|| Some(format!("line {}", boxes.line)))
                    })
                    .collect();
                reopens.push(format!("block look-{part}"));
                reopens.push(["line R", "line D"][tape.below(2)].to_owned());
                reopens.dedup();
                reopens.retain(|_| !tape.one_in(3));
                let changed = tape.one_in(2);
                story.works.push(Work { id: format!("{part}-{n}"), part, changed, reopens });
            }
        }
        for (line, boxes) in LINES.iter().enumerate() {
            for place in 0..boxes.rows(story.places) {
                let day = day_of(boxes.key);
                let figures = story.fresh(line, None);
                let why = "";
                story.first.push(Reading { line, place, index: None, figures, why, day, hand: 0 });
            }
        }
        for _ in 0..1 + tape.below(5) {
            story.change(tape);
        }
        for _ in 0..tape.below(8) {
            story.again(tape);
        }
        story
    }

    /// Figures that no other reading has; a count is always the same.
    pub fn fresh(&mut self, line: usize, index: Option<usize>) -> Vec<String> {
        let boxes = &LINES[line];
        let count = match (boxes.count, index) {
            (0, _) => 0,
            (_, Some(_)) => 1,
            (EACH, None) => self.places,
            (count, None) => count,
        };
        let one = |story: &mut Story| {
            story.figures += i64::from(boxes.line != "N");
            let more = if boxes.line == "N" { 0 } else { story.figures };
            Exact::steps(boxes.from.0 + more, boxes.from.1).to_string()
        };
        (0..count).map(|_| one(self)).collect()
    }

    fn change(&mut self, tape: &mut Tape) {
        let part = PARTS[tape.below(PARTS.len())];
        let changed = !tape.one_in(3);
        let known = |work: &&Work| work.part == part && work.changed == changed;
        let known: Vec<String> = self.works.iter().filter(known).map(|w| w.id.clone()).collect();
        // Work that the engine file knows is named; a part changed need not be.
        let work = match known.len() {
            0 => None,
            n if changed && tape.one_in(2) => Some(known[tape.below(n)].clone()).filter(|_| n > 1),
            n => Some(known[tape.below(n)].clone()),
        };
        let of_part = self.works.iter().any(|work| work.part == part && !work.changed);
        if work.is_none() && !changed && of_part {
            return;
        }
        let place = (self.single[part] && tape.one_in(2)).then(|| tape.below(self.places));
        let (day, redone) = (tape.between(1, 12), tape.one_in(2));
        self.changes.push(Change { part, place, changed, work, day, redone });
    }

    fn again(&mut self, tape: &mut Tape) {
        let line = tape.below(LINES.len());
        let boxes = &LINES[line];
        let place = tape.below(boxes.rows(self.places));
        let day = tape.between(4, 14);
        let own = |c: &&Change| c.part == boxes.part && c.day <= day && self.here(c, boxes, place);
        let own = self.changes.iter().rfind(own).map(|change| change.changed);
        let why = match own {
            Some(true) if !tape.one_in(3) => "part changed",
            Some(false) if !tape.one_in(3) => "reworked",
            _ => "measured again",
        };
        let index = (boxes.count == 2 && tape.one_in(3)).then(|| tape.below(2));
        let (figures, hand) = (self.fresh(line, index), tape.below(2));
        self.later.push(Reading { line, place, index, figures, why, day, hand });
    }

    /// Whether a change is at the place of a row.
    pub fn here(&self, change: &Change, boxes: &Boxes, place: usize) -> bool {
        let single = self.single[change.part] && boxes.placed();
        !single || change.place.is_none_or(|at| at == place)
    }

    /// The works of the table that a change is; everything of its part where
    /// the table does not say.
    pub fn reopens(&self, change: &Change) -> Option<&[String]> {
        let known = |work: &&Work| work.part == change.part && work.changed == change.changed;
        let mut known = self.works.iter().filter(known);
        let work = match &change.work {
            Some(id) => known.find(|work| work.id == *id),
            None if change.changed => known.next().filter(|_| known.next().is_none()),
            None => None,
        };
        work.map(|work| work.reopens.as_slice())
    }

    /// Whether a change takes away what stands in a box.
    pub fn disturbs(&self, change: &Change, boxes: &Boxes, place: usize, index: usize) -> bool {
        let place = if boxes.count == EACH { index } else { place };
        let single = self.single[change.part] && (boxes.placed() || boxes.count == EACH);
        let here = !single || change.place.is_none_or(|at| at == place);
        let named = |what: &String| {
            *what == format!("line {}", boxes.line)
                || !boxes.feature.is_empty() && *what == format!("feature {}", boxes.feature)
                || boxes.feature == "f-pin" && what == "line R"
        };
        here && match self.reopens(change) {
            Some(reopens) => reopens.iter().any(named),
            None => change.part == boxes.part,
        }
    }

    /// Whether a change asks for a part's items to be looked over again.
    pub fn disturbs_items(&self, change: &Change, part: &str) -> bool {
        match self.reopens(change) {
            Some(reopens) => reopens.contains(&format!("block look-{part}")),
            None => change.part == part,
        }
    }

    /// Everything measured and looked over again, twice, by two hands.
    pub fn measured_again(&self) -> Story {
        let mut story = self.clone();
        for hand in 0..2 {
            for (line, boxes) in LINES.iter().enumerate() {
                for place in 0..boxes.rows(self.places) {
                    let own = |c: &&Change| c.part == boxes.part && self.here(c, boxes, place);
                    let last = self.changes.iter().filter(own).max_by_key(|change| change.day);
                    let why = match last.map(|change| change.changed) {
                        Some(true) if hand == 0 => "part changed",
                        Some(false) if hand == 0 => "reworked",
                        _ => "measured again",
                    };
                    let day = 20 + i64::try_from(hand).unwrap();
                    let figures = story.fresh(line, None);
                    story.later.push(Reading { line, place, index: None, figures, why, day, hand });
                }
            }
        }
        story.changes.iter_mut().for_each(|change| change.redone = true);
        story
    }

    pub fn files(&self) -> Sources {
        let mut files = Drawn::default().files();
        let codes: Vec<String> = (1..=self.places).map(|n| format!("\"{n}\"")).collect();
        let codes = codes.join(", ");
        let mut engine = format!(
            "[engine]\nmaker = \"Tarnwick Motor Works\"\nmodel = \"TW\"\nunit = \"in\"\n\
             [places.cyl]\ncodes = [{codes}]\nnames = [{codes}]\n"
        );
        let mut form =
            "[sheet]\nletter = \"A\"\ntitle = \"All\"\norder = 1\nrevision = \"1\"\n".to_owned();
        for part in PARTS {
            let at = if self.single[part] { "at = \"cyl\"\n" } else { "" };
            let count = if self.single[part] { self.places } else { 1 };
            engine += &format!("[parts.{part}]\ncount = {count}\n{at}");
            form += &format!(
                "[[block]]\nlook-over = \"{part}\"\nid = \"look-{part}\"\npart = \"{part}\"\nitems = [\"cracks\"]\n"
            );
        }
        for (feature, part, kind) in [("f-pin", "pin", "shaft"), ("f-bush", "bush", "bore")] {
            engine += &format!(
                "[features.{feature}]\npart = \"{part}\"\nkind = \"{kind}\"\nat = \"cyl\"\ndirections = 2\n"
            );
        }
        for Work { id, part, changed, reopens } in &self.works {
            let reopens: Vec<String> = reopens.iter().map(|what| format!("\"{what}\"")).collect();
            engine += &format!(
                "[reworks.{id}]\nname = \"{id}\"\npart = \"{part}\"\npart-changed = {changed}\nreopens = [{}]\n",
                reopens.join(", ")
            );
        }
        form += "[[block]]\nmeasure = [\"F\", \"R\", \"D\", \"W\", \"N\", \"O\", \"G\"]\n";
        files.put("engine.toml", engine);
        files.put("forms/all.toml", form);
        files.put("limits.toml", LIMITS);
        files.put("job.toml", JOB);
        let (_, set) = expanded(&files);
        files.put("readings.toml", self.typed(&set));
        files
    }

    pub fn typed(&self, set: &SheetSet) -> String {
        let first = |line: &str| {
            let (head, _) = line.split_once(" = ")?;
            if let Some((code, key)) = head.split_once('.') {
                let mut all = self.first.iter();
                let reading = all.find(|reading| {
                    let boxes = &LINES[reading.line];
                    boxes.code(reading.place) == code && boxes.key == key
                })?;
                return Some(format!("{head} = {}", shown(reading)));
            }
            if head.parse::<u32>().is_ok() {
                return Some(format!("{head} = \"v\""));
            }
            if !["shaft", "bore", "read", "work"].contains(&head) {
                return None;
            }
            let day = day_of(head);
            let gauge = if head == "work" { "" } else { ", gauge = \"ANY\", zero = \"vv\"" };
            Some(format!("{head} = {{ by = \"RW\", on = 2026-03-{day:02}{gauge} }}"))
        };
        let blank = transcription(set, &Pages::default());
        let mut text: String = blank
            .lines()
            .map(|line| first(line).unwrap_or_else(|| line.to_owned()) + "\n")
            .collect();
        for (n, change) in self.changes.iter().enumerate() {
            text += &format!("[[change]]\npart = \"{}\"\n", change.part);
            if let Some(place) = change.place {
                text += &format!("places = [\"{}\"]\n", place + 1);
            }
            if let Some(work) = &change.work {
                text += &format!("rework = \"{work}\"\n");
            }
            let why = if change.changed { "part changed" } else { "reworked" };
            text += &format!(
                "why = \"{why}\"\nwhat = \"change {n}\"\nnumber = \"1\"\nbatch = \"2\"\ndocument = \"3\"\n\
                 data = \"4\"\nby = \"RW\"\non = 2026-03-{:02}\n",
                change.day
            );
            if change.redone {
                text +=
                    "redone = [\"A 1\", \"A 2\", \"A 3\", \"A 4\", \"A 5\", \"A 6\", \"A 7\"]\n";
            }
        }
        for reading in &self.later {
            let boxes = &LINES[reading.line];
            let index = reading.index.map_or_else(String::new, |n| format!(" {}", n + 1));
            let by = [("RW", "ANY"), ("JA", "OTHER")][reading.hand];
            text += &format!(
                "[[again]]\nrow = \"{}\"\nbox = \"{}{index}\"\nread = {}\nwhy = \"{}\"\nby = \"{}\"\n\
                 on = 2026-03-{:02}\ngauge = \"{}\"\ninspector = \"JA\"\n",
                boxes.code(reading.place),
                boxes.key,
                shown(reading),
                reading.why,
                by.0,
                reading.day,
                by.1
            );
        }
        text
    }
}

/// The day of the first readings.
pub fn day_of(key: &str) -> i64 {
    match key {
        "shaft" => 1,
        "bore" => 2,
        _ => 3,
    }
}

fn shown(reading: &Reading) -> String {
    match (reading.figures.as_slice(), reading.index) {
        ([], _) => "\"vvv\"".to_owned(),
        ([one], Some(_)) => one.clone(),
        (all, _) => format!("[{}]", all.join(", ")),
    }
}

const LIMITS: &str = include_str!("limits.toml");
const JOB: &str = include_str!("job.toml");
