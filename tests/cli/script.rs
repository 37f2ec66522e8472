//! Steps that read like a script: write a file, run a command, expect.
//!
//! ```ignore
//! let job = Script::new();
//! job.run("demo job").status(0).says("open");
//! job.replace("job/readings.toml", "1.3757", "1.4007");
//! job.run("check job").status(1).says("query").hushes("final");
//! ```

use std::ffi::OsStr;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use tempfile::TempDir;

/// A folder of its own, in which every step happens.
pub struct Script {
    _root: TempDir,
    folder: PathBuf,
}

/// What a command did.
pub struct Ran {
    line: String,
    folder: PathBuf,
    pub code: Option<i32>,
    pub out: String,
    pub err: String,
}

/// A file as it was, to see whether it stays so.
pub struct Kept {
    path: PathBuf,
    bytes: Option<Vec<u8>>,
}

impl Script {
    pub fn new() -> Script {
        Script::in_folder("")
    }

    /// In a folder of this name, which may have spaces and any letters.
    pub fn in_folder(name: &str) -> Script {
        let root = TempDir::new().expect("a temporary folder");
        let folder = root.path().join(name);
        fs::create_dir_all(&folder).expect("a folder");
        Script { _root: root, folder }
    }

    /// Where the steps happen.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    #[track_caller]
    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) -> &Script {
        let path = self.path(name);
        if let Some(folder) = path.parent() {
            fs::create_dir_all(folder).expect("a folder");
        }
        fs::write(&path, text).unwrap_or_else(|e| panic!("{name} was not written: {e}"));
        self
    }

    #[track_caller]
    pub fn read(&self, name: &str) -> String {
        String::from_utf8_lossy(&self.bytes(name)).into_owned()
    }

    #[track_caller]
    pub fn bytes(&self, name: &str) -> Vec<u8> {
        let listing = || self.listing().join("\n  ");
        fs::read(self.path(name))
            .unwrap_or_else(|e| panic!("{name} was not read: {e}; there are\n  {}", listing()))
    }

    /// Changes a text that stands exactly once in a file.
    #[track_caller]
    pub fn replace(&self, name: &str, from: &str, to: &str) -> &Script {
        let text = self.read(name);
        let times = text.matches(from).count();
        assert_eq!(times, 1, "'{from}' stands {times} times in {name}");
        self.write(name, text.replacen(from, to, 1))
    }

    #[track_caller]
    pub fn append(&self, name: &str, more: &str) -> &Script {
        let text = self.read(name);
        self.write(name, text + more)
    }

    /// Copies a file or a folder of the project into the script's folder.
    #[track_caller]
    pub fn bring(&self, from: &str, to: &str) -> &Script {
        let source = Path::new(env!("CARGO_MANIFEST_DIR")).join(from);
        copy(&source, &self.path(to));
        self
    }

    /// Runs the program with these words; a word in `'…'` may have spaces.
    #[track_caller]
    pub fn run(&self, line: &str) -> Ran {
        self.run_words(&words(line))
    }

    #[track_caller]
    pub fn run_words<S: AsRef<OsStr>>(&self, words: &[S]) -> Ran {
        let output = self.command(words).output().expect("the program could not be started");
        Ran::new(&self.folder, words, &output)
    }

    /// The program with these words, not yet started.
    pub fn command<S: AsRef<OsStr>>(&self, words: &[S]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_benchleaf"));
        command
            .args(words)
            .current_dir(&self.folder)
            .stdin(Stdio::null())
            .env_remove("RUST_BACKTRACE")
            .env("NO_COLOR", "1");
        command
    }

    #[track_caller]
    pub fn exists(&self, name: &str) -> &Script {
        let there = self.path(name).exists();
        assert!(there, "{name} is missing; there are\n  {}", self.listing().join("\n  "));
        self
    }

    #[track_caller]
    pub fn missing(&self, name: &str) -> &Script {
        assert!(!self.path(name).exists(), "{name} should not be there");
        self
    }

    #[track_caller]
    pub fn holds(&self, name: &str, text: &str) -> &Script {
        let read = self.read(name);
        assert!(read.contains(text), "'{text}' is not in {name}:\n{}", indent(&read));
        self
    }

    /// Remembers a file (or that there is none) to compare with later.
    pub fn keep(&self, name: &str) -> Kept {
        let path = self.path(name);
        let bytes = fs::read(&path).ok();
        Kept { path, bytes }
    }

    /// Every file under the folder, by its name from there, in order.
    pub fn listing(&self) -> Vec<String> {
        let mut names = Vec::new();
        list(&self.folder, &self.folder, &mut names);
        names.sort();
        names
    }
}

impl Kept {
    #[track_caller]
    pub fn unchanged(&self) {
        let now = fs::read(&self.path).ok();
        assert!(now == self.bytes, "{} has changed", self.path.display());
    }

    /// Whether the file now is as it was, or as another.
    pub fn is(&self) -> bool {
        fs::read(&self.path).ok() == self.bytes
    }
}

impl Ran {
    pub fn new<S: AsRef<OsStr>>(folder: &Path, words: &[S], output: &Output) -> Ran {
        let line: Vec<_> = words.iter().map(|w| w.as_ref().to_string_lossy()).collect();
        Ran {
            line: format!("benchleaf {}", line.join(" ")),
            folder: folder.to_owned(),
            code: output.status.code(),
            out: String::from_utf8_lossy(&output.stdout).into_owned(),
            err: String::from_utf8_lossy(&output.stderr).into_owned(),
        }
    }

    /// 0 done, 1 something out, in query or open, 2 wrong input or command.
    #[track_caller]
    pub fn status(self, code: i32) -> Ran {
        let seen = self.code == Some(code);
        self.expect(seen, || format!("status {code}"))
    }

    /// On the standard output.
    #[track_caller]
    pub fn says(self, text: &str) -> Ran {
        let seen = self.out.contains(text);
        self.expect(seen, || format!("'{text}' to be said"))
    }

    /// All of these words on one line of the standard output.
    #[track_caller]
    pub fn says_on_a_line(self, words: &[&str]) -> Ran {
        let seen = one_line(&self.out, words);
        self.expect(seen, || format!("{words:?} to be said on one line"))
    }

    #[track_caller]
    pub fn never_says(self, text: &str) -> Ran {
        let seen = self.out.contains(text);
        self.expect(!seen, || format!("'{text}' not to be said"))
    }

    /// On the standard error.
    #[track_caller]
    pub fn complains(self, text: &str) -> Ran {
        let seen = self.err.contains(text);
        self.expect(seen, || format!("'{text}' among the complaints"))
    }

    #[track_caller]
    pub fn never_complains(self, text: &str) -> Ran {
        let seen = self.err.contains(text);
        self.expect(!seen, || format!("'{text}' not among the complaints"))
    }

    /// In both outputs together, small and capital letters alike.
    #[track_caller]
    pub fn nowhere(self, text: &str) -> Ran {
        let all = format!("{}{}", self.out, self.err).to_lowercase();
        let seen = all.contains(&text.to_lowercase());
        self.expect(!seen, || format!("'{text}' nowhere"))
    }

    /// Neither a crash nor its traces, whatever the status.
    #[track_caller]
    pub fn in_order(self) -> Ran {
        let known = matches!(self.code, Some(0..=2));
        let crashed = self.err.contains("panicked at") || self.err.contains("RUST_BACKTRACE");
        self.expect(known && !crashed, || "no crash".to_owned())
    }

    #[track_caller]
    pub fn expect(self, good: bool, what: impl FnOnce() -> String) -> Ran {
        if !good {
            panic!(
                "\nexpected {}\n  $ {}\n  in {}\n  status {:?}\nstdout\n{}\nstderr\n{}\n",
                what(),
                self.line,
                self.folder.display(),
                self.code,
                indent(&self.out),
                indent(&self.err)
            );
        }
        self
    }
}

fn one_line(text: &str, words: &[&str]) -> bool {
    text.lines().any(|line| words.iter().all(|word| line.contains(word)))
}

/// A step that this machine does not let be tried: `tests/run` counts it, apart
/// from what passed.
pub fn not_tried(why: &str) {
    let out = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/out");
    fs::create_dir_all(&out).expect("a folder for what the tests leave");
    let file = fs::OpenOptions::new().create(true).append(true).open(out.join("not-tried"));
    let line = format!("{}\n", why.trim().replace('\n', " "));
    file.and_then(|mut file| file.write_all(line.as_bytes())).expect("a line");
}

/// Splits at spaces, but not inside `'…'`.
pub fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (n, part) in line.split('\'').enumerate() {
        if n % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words
}

/// At most 60 lines, each set in.
fn indent(text: &str) -> String {
    const MOST: usize = 60;
    let mut lines: Vec<String> = text.lines().take(MOST).map(|l| format!("  | {l}")).collect();
    let more = text.lines().count().saturating_sub(MOST);
    if more > 0 {
        lines.push(format!("  | … {more} lines more"));
    }
    lines.join("\n")
}

fn list(root: &Path, folder: &Path, names: &mut Vec<String>) {
    let Ok(entries) = fs::read_dir(folder) else {
        return;
    };
    for path in entries.flatten().map(|entry| entry.path()) {
        if path.is_dir() {
            list(root, &path, names);
        } else if let Ok(inside) = path.strip_prefix(root) {
            names.push(inside.to_string_lossy().into_owned());
        }
    }
}

fn copy(from: &Path, to: &Path) {
    if from.is_dir() {
        fs::create_dir_all(to).expect("a folder");
        for entry in fs::read_dir(from).expect("a folder of the project") {
            let path = entry.expect("an entry").path();
            copy(&path, &to.join(path.file_name().expect("a name")));
        }
    } else {
        let done = fs::copy(from, to);
        done.unwrap_or_else(|e| panic!("{} was not copied: {e}", from.display()));
    }
}

#[test]
fn a_line_is_split_into_words() {
    assert_eq!(words("check 'my job' --json"), ["check", "my job", "--json"]);
}
