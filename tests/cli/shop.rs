//! Jobs to try things on: the demonstration, and engines that are not it.

use std::fs;
use std::path::Path;
use std::sync::OnceLock;

use serde_json::Value;
use tempfile::TempDir;

use super::script::{Ran, Script};

/// The demonstration's folder, made once and copied for each test.
fn made() -> &'static Path {
    static MADE: OnceLock<TempDir> = OnceLock::new();
    MADE.get_or_init(|| {
        let room = TempDir::new().expect("a temporary folder");
        let script = Script::new();
        script.run("demo job").status(0);
        copy(&script.path("job"), &room.path().join("job"));
        room
    })
    .path()
}

impl Script {
    /// With the demonstration in `job`, as it is at the end of its story.
    pub fn demo() -> Script {
        Script::new().with_demo()
    }

    pub fn with_demo(self) -> Script {
        copy(&made().join("job"), &self.path("job"));
        self
    }

    /// With the demonstration in `job`, as its paper was first typed in.
    pub fn first() -> Script {
        let script = Script::demo();
        script.type_in("demo/readings-first.toml", "job/blank.toml");
        script
    }

    /// With the demonstration opened, its sheets printed and nothing typed.
    pub fn blank() -> Script {
        let script = Script::demo();
        let blank = script.read("job/blank.toml");
        script.write("job/readings.toml", blank);
        script
    }

    /// One of the engines of the tests in `job`, its transcription filled in.
    pub fn engine(name: &str) -> Script {
        let script = Script::new();
        let files = format!("tests/engines/{name}");
        script.bring(&files, "from");
        script.bring("tests/engines/old-forms", "from/forms");
        script
            .run("new job --engine from/engine.toml --limits from/limits.toml --job from/job.toml --forms from/forms")
            .status(0);
        script.run("sheets job").status(0);
        let blank = script.read("job/readings.toml");
        script.write("job/blank.toml", blank);
        script.type_in(&format!("{files}/readings.toml"), "job/blank.toml");
        script
    }

    /// Types a transcription of the project over a blank one: its words and
    /// figures, with the numbers that the blank one carries.
    pub fn type_in(&self, filled: &str, blank: &str) {
        let filled = Path::new(env!("CARGO_MANIFEST_DIR")).join(filled);
        let filled = fs::read_to_string(filled).expect("a transcription of the project");
        let blank = self.read(blank);
        self.write("job/readings.toml", numbered(&filled, &blank));
    }

    /// What `check --json` says of `job`.
    #[track_caller]
    pub fn verdicts(&self) -> Value {
        let ran = self.run("check job --json").in_order();
        let read = serde_json::from_str(&ran.out);
        read.unwrap_or_else(|e| panic!("no JSON, {e}:\n{}\n{}", ran.out, ran.err))
    }

    /// What it says of one row.
    #[track_caller]
    pub fn row(&self, code: &str) -> Row {
        let all = self.verdicts();
        let rows = all["rows"].as_array().expect("rows");
        let row = rows.iter().find(|row| row["row"] == code);
        Row(row.unwrap_or_else(|| panic!("no row {code}")).clone())
    }

    /// Checks `job` and expects a row in this state.
    #[track_caller]
    pub fn finds(&self, code: &str, state: &str) -> Row {
        let row = self.row(code);
        assert_eq!(row.state(), state, "{code}: {:#}", row.0);
        row
    }

    /// The words of a printed page, or of all pages, by poppler.
    #[track_caller]
    pub fn words(&self, pdf: &str) -> String {
        let out = std::process::Command::new("pdftotext")
            .args(["-layout", pdf, "-"])
            .current_dir(self.folder())
            .output()
            .expect("pdftotext is missing: tests/run installs it");
        assert!(out.status.success(), "{pdf} is not to be read");
        String::from_utf8_lossy(&out.stdout).into_owned()
    }

    /// Prints the sheets, expecting them to come.
    #[track_caller]
    pub fn sheets(&self) -> Ran {
        self.run("sheets job").status(0)
    }
}

/// The verdict on a row.
pub struct Row(pub Value);

impl Row {
    pub fn state(&self) -> &str {
        self.0["state"].as_str().unwrap_or_default()
    }

    /// Has this among its flags.
    #[track_caller]
    pub fn flag(self, flag: &str) -> Row {
        let flags = self.0["flags"].as_array().expect("flags");
        assert!(flags.iter().any(|f| f == flag), "not {flag}: {flags:?}");
        self
    }

    /// Is out on this side by this much.
    #[track_caller]
    pub fn out(self, side: &str, by: &str) -> Row {
        let wanted = serde_json::json!([side, by]);
        let outs = self.0["out"].as_array().expect("outs");
        assert!(outs.contains(&wanted), "not {wanted}: {outs:?}");
        self
    }

    /// Has a figure worked out.
    #[track_caller]
    pub fn figure(self, name: &str, value: &str) -> Row {
        let steps = self.0["steps"].as_array().expect("steps");
        let figures = &steps.last().expect("a step")["figures"];
        let wanted = serde_json::json!([name, value]);
        let all = figures.as_array().expect("figures");
        assert!(all.contains(&wanted), "not {wanted}: {all:?}");
        self
    }

    /// Says this somewhere: causes, remedies, notes, arithmetic.
    #[track_caller]
    pub fn says(self, text: &str) -> Row {
        let all = self.0.to_string();
        assert!(all.contains(text), "'{text}' is not said of it: {:#}", self.0);
        self
    }
}

/// A filled transcription with the numbers of a blank one.
pub fn numbered(filled: &str, blank: &str) -> String {
    let numbers = |letter: &str| {
        let head = format!("[{letter}]");
        let sheet = blank.lines().skip_while(|line| !line.starts_with(&head));
        let own = sheet.skip(1).take_while(|line| !line.starts_with('['));
        let kept = own.filter(|l| l.starts_with("number") || l.starts_with("printed"));
        kept.collect::<Vec<_>>().join("\n")
    };
    let set = blank.lines().find(|line| line.starts_with("sheet-set"));
    let (mut letter, mut out) = (String::new(), String::new());
    for line in filled.lines() {
        if let Some(rest) = line.strip_prefix('[') {
            letter = rest.split(']').next().unwrap_or_default().to_owned();
        }
        let line = match line {
            _ if line.starts_with("sheet-set") => set.unwrap_or_default().to_owned(),
            // A part's number, where a table of what came later has one, stays.
            _ if line.starts_with("number") && !letter.starts_with('[') => numbers(&letter),
            _ if line.starts_with("printed") => continue,
            _ => line.to_owned(),
        };
        out.push_str(&line);
        out.push('\n');
    }
    out
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).expect("a folder");
    for entry in fs::read_dir(from).expect("a folder") {
        let path = entry.expect("an entry").path();
        let to = to.join(path.file_name().expect("a name"));
        if path.is_dir() {
            copy(&path, &to);
        } else {
            fs::copy(&path, &to).expect("a copy");
        }
    }
}
