//! The demonstration's record, changed one text at a time and judged whole:
//! every rule of the record, no process started. Figures are those of the
//! design's check values, worked by hand in exact decimals.

mod again;
mod aside;
mod budgets;
mod by_line;
mod by_place;
mod gauges;
mod grades;
mod hold_points;
mod holds;
mod last;
mod parts;
mod questions;
mod rework;
mod sheets;
mod short;
mod signed;
mod states;
mod tables;
mod taken;
mod taken_later;
mod units;

use benchleaf::diag::{Diags, Sources};
use benchleaf::model::Case;
use benchleaf::record::{History, Judged, JudgedItem, Status};
use benchleaf::report::Report;
use benchleaf::report::sections::{self, ReportInput};
use benchleaf::sheet::{SheetSet, expand};
use benchleaf::{load, record};
use std::path::Path;

/// A job as the shop has it: five texts.
#[derive(Clone)]
pub struct Job {
    files: Sources,
}

/// A job, judged.
pub struct Found {
    pub judged: Judged,
    pub set: SheetSet,
}

fn text(path: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

impl Job {
    /// As first typed: C2 is out, C3 in query.
    pub fn first() -> Job {
        Job::of("demo/readings-first.toml").printed()
    }

    /// With the new camshaft: a final record.
    pub fn last() -> Job {
        Job::of("demo/readings-final.toml").printed()
    }

    /// The final record before its sheets carry their numbers: for a job that
    /// is changed before anything is printed.
    pub fn unprinted() -> Job {
        Job::of("demo/readings-final.toml")
    }

    /// Another engine of `tests/engines`, nothing out.
    pub fn engine(name: &str) -> Job {
        let of = |file: &str| format!("tests/engines/{name}/{file}");
        let [engine, limits, job, readings] =
            ["engine.toml", "limits.toml", "job.toml", "readings.toml"].map(of);
        Job::named([&engine, &limits, &job, &readings]).printed()
    }

    pub fn files(&self) -> &Sources {
        &self.files
    }

    fn of(readings: &str) -> Job {
        Job::named(["demo/engine.toml", "limits/tw4-h8.toml", "demo/job.toml", readings])
    }

    fn named([engine, limits, job, readings]: [&str; 4]) -> Job {
        let mut files = Sources::default();
        let named = [
            ("engine.toml", engine),
            ("limits.toml", limits),
            ("job.toml", job),
            ("readings.toml", readings),
        ];
        for (name, path) in named {
            files.put(name, text(path));
        }
        let forms = crate::load::demo::forms_of(engine.starts_with("tests/engines"));
        for entry in std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(forms)).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            if name.ends_with(".toml") {
                files.put(format!("forms/{name}"), std::fs::read_to_string(&path).unwrap());
            }
        }
        Job { files }
    }

    pub fn file(&self, file: &str) -> String {
        self.files.get(&format!("{file}.toml")).unwrap().to_string()
    }

    /// Puts `to` in the one place where `from` stands.
    #[track_caller]
    pub fn with(mut self, file: &str, from: &str, to: &str) -> Job {
        let text = self.file(file);
        assert_eq!(text.matches(from).count(), 1, "{from} in {file}");
        self.files.put(format!("{file}.toml"), text.replace(from, to));
        self
    }

    /// Changes the transcription.
    #[track_caller]
    pub fn typed(self, from: &str, to: &str) -> Job {
        self.with("readings", from, to)
    }

    /// Puts another figure into a row's boxes.
    #[track_caller]
    pub fn row(mut self, key: &str, boxes: &str) -> Job {
        let text = self.file("readings");
        let start = format!("{key} = ");
        let mut found = 0;
        let lines = text.lines().map(|line| {
            if line.starts_with(&start) {
                found += 1;
                format!("{start}{boxes}")
            } else {
                line.to_owned()
            }
        });
        let text = lines.collect::<Vec<_>>().join("\n");
        assert_eq!(found, 1, "{key}");
        self.files.put("readings.toml", text + "\n");
        self
    }

    /// Changes a line of one sheet: its sign-offs, its items.
    #[track_caller]
    pub fn sheet(mut self, letter: &str, from: &str, to: &str) -> Job {
        let text = self.file("readings");
        let head = format!("\n[{letter}] ");
        let start = text.find(&head).unwrap() + 1;
        let end = text[start..].find("\n[").map_or(text.len(), |n| start + n + 1);
        let sheet = &text[start..end];
        assert_eq!(sheet.matches(from).count(), 1, "{from} on sheet {letter}:\n{sheet}");
        let text = format!("{}{}{}", &text[..start], sheet.replace(from, to), &text[end..]);
        self.files.put("readings.toml", text);
        self
    }

    /// The same job with its transcription in the shortest form.
    pub fn rewritten(self) -> Job {
        let (case, set) = self.expanded();
        let record = case.record.as_ref().unwrap();
        let text = benchleaf::sheet::typed(&set, &Default::default(), record);
        self.retyped(&text)
    }

    /// The same job with another transcription.
    pub fn retyped(mut self, text: &str) -> Job {
        self.files.put("readings.toml", text);
        self
    }

    /// Adds to the end of the transcription.
    pub fn add(mut self, more: &str) -> Job {
        let text = format!("{}\n{more}\n", self.file("readings"));
        self.files.put("readings.toml", text);
        self
    }

    /// A later reading: `row box read`, why, and the rest of the table.
    pub fn again(self, row: &str, boxes: &str, read: &str, why: &str, rest: &str) -> Job {
        let rest = rest.replace("; ", "\n");
        self.add(&format!(
            "[[again]]\nrow = \"{row}\"\nbox = \"{boxes}\"\nread = {read}\nwhy = \"{why}\"\n{rest}\n"
        ))
    }

    /// Puts the numbers of the sheets as they are now into the transcription.
    pub fn printed(mut self) -> Job {
        let (_, set) = self.expanded();
        let mut letter = String::new();
        let mut numbered = String::new();
        for line in self.file("readings").lines() {
            if let Some(name) = line.strip_prefix('[').and_then(|rest| rest.split(']').next()) {
                letter = name.to_owned();
            }
            let sheet = set.sheet(&letter).filter(|_| line.starts_with("number"));
            if line.starts_with("sheet-set") {
                numbered += &format!("sheet-set = \"{}\"\n", set.number);
            } else if line.starts_with("printed") && set.sheet(&letter).is_some() {
                continue;
            } else if let Some(sheet) = sheet {
                let printed: Vec<String> =
                    sheet.digests.iter().map(|(k, d)| format!("{k} {d}")).collect();
                numbered += &format!(
                    "number = \"{}\"\nprinted = \"{}\"\n",
                    sheet.number,
                    printed.join(", ")
                );
            } else {
                numbered += &format!("{line}\n");
            }
        }
        self.files.put("readings.toml", numbered);
        self
    }

    #[track_caller]
    pub fn expanded(&self) -> (Case, SheetSet) {
        let mut out = Diags::new();
        let case = load::case(&self.files, &mut out);
        let set = case.as_ref().and_then(|case| expand(case, &mut out));
        match (case, set) {
            (Some(case), Some(set)) => (case, set),
            _ => panic!("{}", out.render(&self.files, false)),
        }
    }

    #[track_caller]
    pub fn judge(&self) -> Found {
        let (case, set) = self.expanded();
        let mut out = Diags::new();
        match record::judge(&case, &set, &mut out) {
            Some(judged) => {
                let judged_codes = judged.rows.iter().map(|row| row.code.as_str());
                assert!(judged_codes.eq(set.rows().map(|at| at.row.code.as_str())));
                Found { judged, set }
            }
            None => panic!("{}", out.render(&self.files, false)),
        }
    }

    /// Its report, final where the record is.
    #[track_caller]
    pub fn report(&self) -> Report {
        let (case, set) = self.expanded();
        let input = ReportInput {
            case: &case,
            set: &set,
            record: case.record.as_ref().unwrap(),
            judged: &self.judge().judged,
            pages: &Default::default(),
            originals: None,
            history: None,
            arithmetic: true,
        };
        sections::report(&input, false)
    }
}

impl Found {
    #[track_caller]
    pub fn row(&self, code: &str) -> &History {
        self.judged.row(code).unwrap_or_else(|| panic!("no row {code}"))
    }

    /// The state in words, as in `out, loose by 0.0002`.
    #[track_caller]
    pub fn state(&self, code: &str) -> String {
        self.row(code).state.to_string()
    }

    /// Everything said of a row: state, asks, causes, notes, flags, steps.
    #[track_caller]
    pub fn said(&self, code: &str) -> String {
        let row = self.row(code);
        let mut said = vec![row.state.to_string()];
        said.extend(row.asks.iter().map(|ask| format!("{}: {}", ask.state, ask.why)));
        said.extend(row.accepted.clone());
        said.extend(row.not_applicable.clone());
        if let Some(step) = row.last() {
            said.extend(step.verdict.causes.clone());
            said.extend(step.verdict.notes.clone());
            said.extend(step.verdict.flags.iter().map(ToString::to_string));
            said.extend(step.verdict.steps.clone());
        }
        said.join("\n")
    }

    #[track_caller]
    pub fn item(&self, letter: &str, number: u32) -> &JudgedItem {
        let item = self
            .judged
            .items
            .iter()
            .find(|item| self.set.sheets[item.sheet].letter == letter && item.number == number);
        item.unwrap_or_else(|| panic!("no item {letter} {number}"))
    }

    /// What is asked of one sheet, in words.
    pub fn sheet(&self, letter: &str) -> String {
        let sheet = self.judged.sheets.iter().find(|sheet| sheet.letter == letter).unwrap();
        let asks = sheet.asks.iter().map(|ask| format!("{}: {}", ask.state, ask.why));
        asks.collect::<Vec<_>>().join("\n")
    }

    /// What is asked of the record as a whole.
    pub fn whole(&self) -> String {
        let asks = self.judged.asks.iter().map(|ask| format!("{}: {}", ask.state, ask.why));
        asks.collect::<Vec<_>>().join("\n")
    }

    /// Everything that stands in the way of a final report.
    pub fn blocking(&self) -> Vec<String> {
        let judged = &self.judged;
        let rows = judged.rows.iter().filter(|row| row.blocks());
        let items = judged.items.iter().filter(|item| item.blocks());
        let sheets = judged.sheets.iter().filter(|sheet| !sheet.asks.is_empty());
        let mut all: Vec<String> = rows.map(|row| row.code.clone()).collect();
        all.extend(
            items.map(|item| format!("{} {}", self.set.sheets[item.sheet].letter, item.number)),
        );
        all.extend(sheets.map(|sheet| format!("sheet {}", sheet.letter)));
        all.extend(judged.asks.iter().map(|ask| ask.why.clone()));
        all
    }

    #[track_caller]
    pub fn is(self, code: &str, state: &str) -> Found {
        assert_eq!(self.state(code), state, "{code}: {}", self.said(code));
        self
    }

    #[track_caller]
    pub fn says(self, code: &str, words: &str) -> Found {
        let said = self.said(code);
        assert!(said.contains(words), "{code} does not say {words}:\n{said}");
        self
    }

    #[track_caller]
    pub fn silent(self, code: &str, words: &str) -> Found {
        let said = self.said(code);
        assert!(!said.contains(words), "{code} says {words}:\n{said}");
        self
    }

    #[track_caller]
    pub fn ends_final(self) -> Found {
        assert!(self.judged.status == Status::Complete, "{}", self.blocking().join("\n"));
        assert!(!self.judged.blocks());
        self
    }

    /// Not final, and exactly these stand in its way.
    #[track_caller]
    pub fn blocked_by(self, codes: &[&str]) -> Found {
        assert_eq!(self.judged.status, Status::Incomplete);
        assert!(self.judged.blocks());
        assert_eq!(self.blocking(), codes);
        self
    }
}
