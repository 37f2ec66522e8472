//! A small job at random: places, parts, features, lines of most kinds with
//! limits that agree with one another, and forms, as the texts of its files.
//! Which boxes it must print is worked out here, not asked of the program.

use super::tape::Tape;
use benchleaf::diag::{Diags, Sources};
use benchleaf::model::Case;
use benchleaf::quantity::Exact;
use benchleaf::sheet::{Pages, SheetSet, expand};
use benchleaf::{load, record, report};
use std::collections::BTreeMap;

/// A table of a file: its head as written, its keys, a line each.
#[derive(Clone, Debug)]
pub struct Table {
    pub head: String,
    pub keys: Vec<String>,
}

fn table(head: &str, keys: &[String]) -> Table {
    Table { head: head.to_owned(), keys: keys.to_vec() }
}

pub fn text(tables: &[Table]) -> String {
    let each = tables.iter().map(|table| format!("{}\n{}\n", table.head, table.keys.join("\n")));
    each.collect()
}

/// The boxes of one side of a row, and about which size they are read.
#[derive(Clone, Debug)]
pub struct Boxes {
    pub count: usize,
    pub places: u8,
    about: (i64, i64),
}

/// A side of a row: its code and the key of its boxes.
pub type Side = (String, String);
/// What is typed in; a blank box has no text.
pub type Typed = BTreeMap<Side, Vec<Option<String>>>;

#[derive(Clone, Debug, Default)]
pub struct Drawn {
    pub engine: Vec<Table>,
    pub limits: Vec<Table>,
    pub job: Vec<Table>,
    pub forms: Vec<(String, Vec<Table>)>,
    pub boxes: BTreeMap<Side, Boxes>,
    /// Rows that are judged on another row's boxes, and which.
    pub borrowed: BTreeMap<String, String>,
    places: u8,
    sets: Vec<(String, Vec<String>)>,
}

const CODES: [&str; 6] = ["1", "2", "3", "4", "1I", "2E"];

impl Drawn {
    pub fn job(tape: &mut Tape) -> Drawn {
        let unit = ["in", "mm"][tape.below(2)];
        let mut job = Drawn { places: if unit == "in" { 4 } else { 3 }, ..Drawn::default() };
        let word = |key: &str, value: &str| format!("{key} = \"{value}\"");
        job.engine.push(table(
            "[engine]",
            &[word("maker", "Tarnwick Motor Works"), word("model", "TW"), word("unit", unit)],
        ));
        job.limits.push(table(
            "[document]",
            &[
                word("title", "Overhaul manual"),
                word("number", "OM-4"),
                word("revision", "7"),
                word("unit", unit),
                word("resolution", &Exact::steps(1, job.places).to_string()),
            ],
        ));
        job.people(tape);
        job.place_sets(tape);
        let count = 2 + tape.below(5);
        job.engine.push(table("[parts.other]", &[]));
        // Z is left for roundness, ZA on the boxes of A.
        let mut letters: Vec<char> = ('A'..='Y').collect();
        tape.shuffle(&mut letters);
        let references: Vec<String> = letters[..count]
            .iter()
            .map(|letter| if tape.one_in(3) { format!("{letter}X") } else { letter.to_string() })
            .collect();
        for reference in &references {
            job.line(tape, reference);
        }
        job.sheets(tape, &letters[count..]);
        job
    }

    fn people(&mut self, tape: &mut Tape) {
        let scope = ["service", "new"][tape.below(2)];
        let keys = [
            "work-order = \"0417\"".to_owned(),
            "engine-serial = \"TW-1\"".to_owned(),
            format!("scope = \"{scope}\""),
            format!("second-person = {}", tape.one_in(2)),
        ];
        self.job.push(table("[job]", &keys));
        self.job.push(table("[shop]", &["name = \"Cold Fen Engine Bench\"".to_owned()]));
        for initials in ["RW", "JA"] {
            let keys = [format!("name = \"{initials}\""), "role = \"inspector\"".to_owned()];
            self.job.push(table(&format!("[people.{initials}]"), &keys));
        }
        for gauge in ["MIC", "TEL"] {
            let mut keys = vec![format!("name = \"{gauge}\""), "range = [0, 1000]".to_owned()];
            if tape.one_in(2) {
                keys.push(format!("uncertainty = {}", Exact::steps(tape.between(1, 3), 4)));
            }
            self.job.push(table(&format!("[gauges.{gauge}]"), &keys));
        }
    }

    fn place_sets(&mut self, tape: &mut Tape) {
        for n in 0..1 + tape.below(3) {
            let mut codes: Vec<String> = CODES.map(str::to_owned).into();
            tape.shuffle(&mut codes);
            codes.truncate(1 + tape.below(4));
            let listed = format!("[\"{}\"]", codes.join("\", \""));
            let keys = [format!("codes = {listed}"), format!("names = {listed}")];
            self.engine.push(table(&format!("[places.set-{n}]"), &keys));
            self.sets.push((format!("set-{n}"), codes));
        }
    }

    /// A place set, or none: then the line is one row under its reference.
    fn at(&self, tape: &mut Tape) -> Option<usize> {
        (!tape.one_in(4)).then(|| tape.below(self.sets.len()))
    }

    fn rows(&self, reference: &str, at: Option<usize>) -> Vec<String> {
        match at {
            Some(set) => self.sets[set].1.iter().map(|code| format!("{reference}{code}")).collect(),
            None => vec![reference.to_owned()],
        }
    }

    fn put(&mut self, reference: &str, at: Option<usize>, key: &str, boxes: &Boxes) {
        for row in self.rows(reference, at) {
            self.boxes.insert((row, key.to_owned()), boxes.clone());
        }
    }

    /// A part with one feature; how many boxes it has and its key `at`.
    fn feature(&mut self, tape: &mut Tape, name: &str, kind: &str, at: Option<usize>) -> usize {
        self.engine.push(table(&format!("[parts.p-{name}]"), &[format!("name = \"part {name}\"")]));
        let directions = 2 + tape.below(2);
        let mut keys = vec![
            format!("part = \"p-{name}\""),
            format!("kind = \"{kind}\""),
            format!("directions = {directions}"),
        ];
        let two = tape.one_in(3);
        if two {
            keys.push("planes = [\"top\", \"skirt\"]".to_owned());
        }
        if let Some(set) = at {
            keys.push(format!("at = \"{}\"", self.sets[set].0));
        }
        self.engine.push(table(&format!("[features.f-{name}]"), &keys));
        directions * if two { 2 } else { 1 }
    }

    fn show(&self, steps: i64) -> String {
        Exact::steps(steps, self.places).to_string()
    }

    /// A fit as published: its figure with the letter of its side.
    fn signed(&self, steps: i64) -> String {
        let side = ["T", "", "L"][usize::try_from(steps.signum() + 1).unwrap()];
        format!("\"{}{side}\"", self.show(steps.abs()))
    }

    fn line(&mut self, tape: &mut Tape, reference: &str) {
        let at = self.at(tape);
        let (kind, keys) = match tape.below(6) {
            0 | 1 => ("fit", self.fit(tape, reference, at)),
            2 => ("size", self.size(tape, reference, at)),
            3 => ("spread", self.spread(tape, reference)),
            4 => ("count", self.count(tape, reference, at)),
            _ => ("reading", self.reading(tape, reference, at)),
        };
        let mut all = vec![
            format!("ref = \"{reference}\""),
            format!("name = \"line {reference}\""),
            format!("kind = \"{kind}\""),
        ];
        all.extend(keys);
        self.limits.push(table("[[line]]", &all));
    }

    fn fit(&mut self, tape: &mut Tape, reference: &str, at: Option<usize>) -> Vec<String> {
        let low = tape.between(4_000, 60_000);
        let high = low + tape.between(1, 15);
        let bore = high + tape.between(-20, 30);
        let large = bore + tape.between(1, 15);
        let (least, most) = (bore - high, large - low);
        let name = reference.to_lowercase();
        let part = |job: &mut Drawn, tape: &mut Tape, key: &str, new: (i64, i64), wear: i64| {
            let feature = format!("{key}-{name}");
            let count = job.feature(tape, &feature, key, at);
            let boxes = Boxes { count, places: job.places, about: new };
            job.put(reference, at, key, &boxes);
            let worn = match tape.one_in(2) {
                true => format!(", wear = {}", job.show(wear)),
                false => String::new(),
            };
            let (low, high) = (job.show(new.0), job.show(new.1));
            format!("{key} = {{ feature = \"f-{feature}\", new = [{low}, {high}]{worn} }}")
        };
        let shaft = part(self, tape, "shaft", (low, high), low - 10);
        let bore = part(self, tape, "bore", (bore, large), large + 10);
        let worn = match tape.one_in(2) {
            true => format!(", service = {}", self.signed(most + tape.between(0, 15))),
            false => String::new(),
        };
        let new = format!("[{}, {}]", self.signed(least), self.signed(most));
        vec![shaft, bore, format!("fit = {{ new = {new}{worn} }}")]
    }

    /// A size; sometimes its roundness too, read from the same boxes.
    fn size(&mut self, tape: &mut Tape, reference: &str, at: Option<usize>) -> Vec<String> {
        let (low, name) = (tape.between(4_000, 60_000), reference.to_lowercase());
        let high = low + tape.between(1, 30);
        let kind = ["shaft", "bore", "plain"][tape.below(3)];
        let count = self.feature(tape, &name, kind, at);
        self.put(reference, at, "read", &Boxes { count, places: self.places, about: (low, high) });
        if tape.one_in(2) {
            let round = format!("Z{}", &reference[..1]);
            let keys = [
                format!("ref = \"{round}\""),
                format!("name = \"line {round}\""),
                "kind = \"roundness\"".to_owned(),
                format!("feature = \"f-{name}\""),
                format!("new-max = {}", self.show(5)),
            ];
            self.limits.push(table("[[line]]", &keys));
            for (own, of) in self.rows(&round, at).into_iter().zip(self.rows(reference, at)) {
                self.borrowed.insert(own, of);
            }
        }
        vec![format!("feature = \"f-{name}\""), self.pair(low, high)]
    }

    fn pair(&self, low: i64, high: i64) -> String {
        format!("new = [{}, {}]", self.show(low), self.show(high))
    }

    fn spread(&mut self, tape: &mut Tape, reference: &str) -> Vec<String> {
        let set = tape.below(self.sets.len());
        // One row, a box a place.
        let count = self.sets[set].1.len();
        self.put(reference, None, "read", &Boxes { count, places: 1, about: (7_000, 7_100) });
        let at = format!("at = \"{}\"", self.sets[set].0);
        let rest = ["unit = \"g\"", "resolution = \"0.1\"", "new-max = 5.0"];
        [vec![at], rest.map(str::to_owned).into()].concat()
    }

    fn count(&mut self, tape: &mut Tape, reference: &str, at: Option<usize>) -> Vec<String> {
        let exact = tape.between(1, 40);
        self.put(reference, at, "read", &Boxes { count: 1, places: 0, about: (exact, exact) });
        [vec![format!("exact = {exact}")], self.placed(at)].concat()
    }

    fn placed(&self, at: Option<usize>) -> Vec<String> {
        at.map(|set| format!("at = \"{}\"", self.sets[set].0)).into_iter().collect()
    }

    fn reading(&mut self, tape: &mut Tape, reference: &str, at: Option<usize>) -> Vec<String> {
        let low = tape.between(20, 120);
        let high = low + tape.between(1, 60);
        let labels = ["A", "B", "C"];
        let count = tape.below(4);
        let boxes = Boxes { count: count.max(1), places: self.places, about: (low, high) };
        self.put(reference, at, "read", &boxes);
        let mut keys = self.placed(at);
        keys.push(self.pair(low, high));
        if count > 0 {
            keys.push(format!("labels = [\"{}\"]", labels[..count].join("\", \"")));
        }
        keys
    }

    /// Every line on one of a few sheets; some forms leave the last to `rest`.
    fn sheets(&mut self, tape: &mut Tape, letters: &[char]) {
        let mut lines: Vec<String> = self.limits[1..]
            .iter()
            .map(|line| line.keys[0].trim_start_matches("ref = ").to_owned())
            .collect();
        tape.shuffle(&mut lines);
        for (n, letter) in letters[..1 + tape.below(3)].iter().enumerate() {
            let take = if n == 0 { lines.len().div_ceil(2) } else { lines.len() };
            let own: Vec<String> = lines.drain(..take).collect();
            let head = table(
                "[sheet]",
                &[
                    format!("letter = \"{letter}\""),
                    format!("title = \"Sheet {letter}\""),
                    format!("order = {}", 10 * n + 10),
                    "revision = \"1\"".to_owned(),
                ],
            );
            let look = table(
                "[[block]]",
                &["look-over = \"parts\"".to_owned(), "items = [\"cracks\"]".to_owned()],
            );
            let mut blocks = vec![head, look];
            if !own.is_empty() {
                blocks.push(table("[[block]]", &[format!("measure = [{}]", own.join(", "))]));
            }
            self.forms.push((format!("forms/form-{n}.toml"), blocks));
        }
        if !lines.is_empty() {
            let (_, blocks) = self.forms.last_mut().unwrap();
            blocks.push(table("[[block]]", &["rest = \"Other lines\"".to_owned()]));
        }
    }

    pub fn files(&self) -> Sources {
        let mut files = Sources::default();
        files.put("engine.toml", text(&self.engine));
        files.put("limits.toml", text(&self.limits));
        files.put("job.toml", text(&self.job));
        for (name, blocks) in &self.forms {
            files.put(name.as_str(), text(blocks));
        }
        files.put(
            "forms/report.toml",
            "[report]\ntitle = \"Record\"\ndisclaimer = \"a record\"\n\
             [[section]]\nshow = \"exceptions\"\ntitle = \"Exceptions\"\n",
        );
        files
    }

    /// Figures inside the new limits for the boxes of one side; `None` for a
    /// side that was not drawn.
    pub fn inside(&self, side: &Side, turn: &mut i64) -> Option<Vec<String>> {
        let Boxes { count, places, about: (low, high) } = self.boxes.get(side)?;
        let figure = |_| {
            *turn += 1;
            Exact::steps((low + *turn % 2).min(*high), *places).to_string()
        };
        Some((0..*count).map(figure).collect())
    }

    /// Figures for every box: near the limits, now and then far from them,
    /// now and then blank.
    pub fn typed(&self, tape: &mut Tape) -> Typed {
        let mut typed = Typed::new();
        for (side, boxes) in &self.boxes {
            let figure = |tape: &mut Tape| {
                let (low, high) = boxes.about;
                let steps = match tape.below(12) {
                    0 => return None,
                    1 => tape.between(0, high.max(9)),
                    _ => tape.between((low - 30).max(0), high + 30),
                };
                Some(Exact::steps(steps, boxes.places).to_string())
            };
            let blank = tape.one_in(10);
            let values = (0..boxes.count).map(|_| figure(tape).filter(|_| !blank)).collect();
            typed.insert(side.clone(), values);
        }
        typed
    }
}

#[track_caller]
pub fn expanded(files: &Sources) -> (Case, SheetSet) {
    let mut out = Diags::new();
    let case = load::case(files, &mut out);
    let set = case.as_ref().and_then(|case| expand(case, &mut out));
    match (case, set) {
        (Some(case), Some(set)) => (case, set),
        _ => panic!("{}\n{files:?}", out.render(files, false)),
    }
}

/// The verdicts as `check --json` gives them.
#[track_caller]
pub fn verdicts(files: &Sources, pages: &Pages) -> serde_json::Value {
    let (case, set) = expanded(files);
    let mut out = Diags::new();
    let Some(judged) = record::judge(&case, &set, &mut out) else {
        panic!("{}", out.render(files, false))
    };
    let told = report::sections::ReportInput {
        case: &case,
        set: &set,
        record: case.record.as_ref().expect("a transcription"),
        judged: &judged,
        pages,
        originals: None,
        history: None,
        arithmetic: true,
    };
    let text = report::json(&told).expect("figures and words");
    serde_json::from_str(&text).expect("what was written")
}
