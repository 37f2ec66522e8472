//! Bad inputs, each with the messages it must give: `invalid/FILE.txt` holds
//! those of one file of the small job in `tests/cases/base`.
//!
//! ```text
//! == what is wrong
//! - a line of the file, or several, found there once
//! + what takes their place
//! ! a message
//! ```
//!
//! `= whole` instead of lines to take away: the file is what follows. `\u{7}` is
//! a character that an editor would hide. `BLESS=1` writes the messages anew;
//! each is to be read by eye before it is kept.

use benchleaf::diag::{Diags, Sources};
use benchleaf::load;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(name)
}

/// The small valid job that every bad input takes one file's place in.
pub fn base() -> Sources {
    let mut files = Sources::default();
    for name in ["engine", "limits", "job", "readings", "forms/camshaft", "forms/report"] {
        let name = format!("{name}.toml");
        let text = fs::read_to_string(folder("cases/base").join(&name)).unwrap();
        files.put(name, text);
    }
    files
}

/// The file of the base job that a list is of.
fn file_of(list: &str) -> String {
    match list {
        "forms" => "forms/camshaft.toml".to_string(),
        "report" => "forms/report.toml".to_string(),
        list => format!("{list}.toml"),
    }
}

/// The messages of the base job with one file's text put in its place.
pub fn messages(list: &str, text: &str) -> Vec<String> {
    let mut files = base();
    let name = file_of(list);
    assert!(files.get(&name).is_some(), "no file of kind {list}");
    files.put(name, text);
    let mut out = Diags::new();
    let case = load::case(&files, &mut out);
    assert_eq!(case.is_none(), out.faults() > 0, "{:?}", out.plain(&files));
    assert!(!out.render(&files, true).is_empty() || out.is_empty());
    out.plain(&files)
}

/// One bad input of a list.
struct Bad {
    title: String,
    /// The lines that make it, as they stand in the list.
    edits: Vec<String>,
    messages: Vec<String>,
}

fn lists() -> Vec<(String, PathBuf)> {
    let entries = fs::read_dir(folder("load/invalid")).unwrap();
    let mut lists: Vec<(String, PathBuf)> = entries
        .map(|entry| entry.unwrap().path())
        .map(|path| (path.file_stem().unwrap().to_str().unwrap().to_string(), path))
        .collect();
    lists.sort();
    lists
}

fn read(path: &Path) -> Vec<Bad> {
    let mut all: Vec<Bad> = Vec::new();
    for line in fs::read_to_string(path).unwrap().lines() {
        if let Some(title) = line.strip_prefix("== ") {
            let title = title.to_string();
            assert!(all.iter().all(|bad| bad.title != title), "{title} stands twice");
            all.push(Bad { title, edits: Vec::new(), messages: Vec::new() });
        } else if let Some(message) = line.strip_prefix("! ") {
            all.last_mut().expect("a title first").messages.push(message.to_string());
        } else if !line.is_empty() {
            all.last_mut().expect("a title first").edits.push(line.to_string());
        }
    }
    all
}

fn written(all: &[Bad]) -> String {
    let mut text = String::new();
    for (n, bad) in all.iter().enumerate() {
        let gap = if n == 0 { "" } else { "\n" };
        let _ = writeln!(text, "{gap}== {}", bad.title);
        bad.edits.iter().for_each(|line| text.push_str(&format!("{line}\n")));
        bad.messages.iter().for_each(|line| text.push_str(&format!("! {line}\n")));
    }
    text
}

/// The text of the bad file.
fn bad_text(base: &str, bad: &Bad) -> String {
    let said = |line: &str| unescaped(line.get(2..).unwrap_or_default());
    if bad.edits.first().is_some_and(|line| line == "= whole") {
        return bad.edits[1..].iter().map(|line| said(line)).collect::<Vec<_>>().join("\n");
    }
    let base: Vec<&str> = base.split('\n').collect();
    let mut lines: Vec<String> = Vec::new();
    let mut from = 0;
    let mut edits = bad.edits.as_slice();
    while !edits.is_empty() {
        let (gone, after) = edits.split_at(run(edits, '-'));
        let (put, after) = after.split_at(run(after, '+'));
        edits = after;
        let gone: Vec<String> = gone.iter().map(|line| said(line)).collect();
        assert!(!gone.is_empty(), "{}: nothing is taken away", bad.title);
        let found: Vec<usize> = (0..=base.len() - gone.len())
            .filter(|n| base[*n..].iter().zip(&gone).all(|(line, gone)| line == gone))
            .collect();
        let [at] = found[..] else { panic!("{}: {gone:?} at {found:?}", bad.title) };
        lines.extend(base[from..at].iter().map(ToString::to_string));
        lines.extend(put.iter().map(|line| said(line)));
        from = at + gone.len();
    }
    lines.extend(base[from..].iter().map(ToString::to_string));
    lines.join("\n")
}

/// How many lines begin with the sign.
fn run(lines: &[String], sign: char) -> usize {
    lines.iter().take_while(|line| line.starts_with(sign)).count()
}

fn unescaped(line: &str) -> String {
    let mut pieces = line.split("\\u{");
    let mut text = pieces.next().unwrap_or_default().to_string();
    for piece in pieces {
        let (code, rest) = piece.split_once('}').expect("a closing brace");
        let code = u32::from_str_radix(code, 16).expect("a number");
        text.push(char::from_u32(code).expect("a character"));
        text.push_str(rest);
    }
    text
}

#[test]
fn the_base_is_valid() {
    let mut out = Diags::new();
    let files = base();
    assert!(load::case(&files, &mut out).is_some(), "{}", out.render(&files, false));
    assert!(out.is_empty());
}

#[test]
fn every_bad_input_gives_its_messages() {
    let bless = std::env::var_os("BLESS").is_some();
    let files = base();
    let mut wrong = Vec::new();
    let mut count = 0;
    for (list, path) in lists() {
        let base = files.get(&file_of(&list)).unwrap();
        let mut all = read(&path);
        count += all.len();
        for bad in &mut all {
            let found = messages(&list, &bad_text(base, bad));
            if bless {
                bad.messages = found;
            } else if found != bad.messages || found.is_empty() {
                let (list, title, expected) = (&list, &bad.title, &bad.messages);
                wrong
                    .push(format!("{list}, {title}\nexpected:\n{expected:#?}\nfound:\n{found:#?}"));
            }
        }
        if bless {
            fs::write(&path, written(&all)).unwrap();
        }
        // As it was written, so that no line is passed over.
        assert_eq!(written(&all), fs::read_to_string(&path).unwrap(), "{}", path.display());
    }
    assert!(count >= 181, "{count} bad inputs");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The voice of the house: lower case, no full stop.
#[test]
fn every_message_is_in_one_voice() {
    for (list, path) in lists() {
        for line in read(&path).iter().flat_map(|bad| &bad.messages) {
            let said = line.splitn(4, ':').last().unwrap_or(line).trim();
            assert!(!said.ends_with('.'), "{list}: {line}");
            assert!(!line.contains("toml parse"), "{list}: {line}");
        }
    }
}
