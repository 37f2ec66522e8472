//! What goes around the one file that may do a thing: write to a terminal, read
//! a disk, start a thread, tell the kinds of line apart.

use super::lexer::{Token, code, shipped, strings, tokens};
use super::rules::{Fault, File};

/// What reaches a terminal goes through one file, which lets no control
/// character by.
pub fn terminal(file: &File) -> Vec<Fault> {
    if file.name == "src/cli/say.rs" {
        return Vec::new();
    }
    let tokens = tokens(&shipped(&code(&file.text)));
    let text = |at: usize| tokens.get(at).map_or("", |token| token.text.as_str());
    let mut faults = Vec::new();
    for (at, token) in tokens.iter().enumerate() {
        let seen = match token.text.as_str() {
            "println" | "eprintln" | "print" | "eprint" | "dbg" => text(at + 1) == "!",
            "stdout" | "stderr" => text(at + 1) == "(" || at > 0 && text(at - 1) == "::",
            // clap prints by itself.
            "parse" | "parse_from" | "get_matches" => {
                at > 1 && text(at - 1) == "::" && text(at - 2).ends_with("Cli")
            }
            "exit" => at > 0 && [".", "::"].contains(&text(at - 1)) && text(at + 1) == "(",
            _ => false,
        };
        if seen {
            let what = format!("{} goes around src/cli/say.rs", token.text);
            faults.push(Fault { line: token.line, what });
        }
    }
    for (line, words) in strings(&file.text).lines().enumerate() {
        let device = ["/dev/std", "/dev/fd/1", "/dev/fd/2", "/dev/pts"];
        for part in device.iter().filter(|part| words.contains(*part)) {
            faults
                .push(Fault { line: line + 1, what: format!("{part} goes around src/cli/say.rs") });
        }
    }
    faults
}

/// What is read from a disk is read by one file, which knows bounds, links and
/// pipes; each other that opens anything has its reason here.
pub fn reading(file: &File) -> Vec<Fault> {
    let may = [
        "src/cli/plain.rs",
        // What it makes itself.
        "src/cli/aside.rs",
        // A folder, to lock it.
        "src/cli/lock.rs",
        // The terminal, and what the system says of signals.
        "src/cli/signals.rs",
        // A passphrase, by a descriptor.
        "src/cli/sign.rs",
    ];
    // Outside src/cli the disk is not named at all.
    if !file.name.starts_with("src/cli/") || may.contains(&file.name.as_str()) {
        return Vec::new();
    }
    let tokens = tokens(&shipped(&code(&file.text)));
    let text = |at: usize| tokens.get(at).map_or("", |token| token.text.as_str());
    let mut faults = Vec::new();
    for (at, token) in tokens.iter().enumerate() {
        let of = |owner: &str| at > 1 && text(at - 1) == "::" && text(at - 2) == owner;
        let seen = match token.text.as_str() {
            "read" | "read_to_string" => of("fs"),
            "open" | "options" | "create" => of("File"),
            "OpenOptions" => true,
            _ => false,
        };
        if seen {
            let what = format!("{} goes around src/cli/plain.rs", token.text);
            faults.push(Fault { line: token.line, what });
        }
    }
    faults
}

/// Threads run whole jobs; each other thread has its reason here.
pub fn threads(file: &File) -> Vec<Fault> {
    let may = [
        "src/cli/jobs.rs",
        // Signals are waited for beside the work.
        "src/cli/signals.rs",
        // A reader of strangers' pictures that falls is a refusal.
        "src/scan/code.rs",
        // Which says whether it is that reader's thread that fell.
        "src/cli/say.rs",
    ];
    if may.contains(&file.name.as_str()) {
        return Vec::new();
    }
    let tokens = tokens(&shipped(&code(&file.text)));
    let named = tokens.iter().filter(|token| ["thread", "rayon"].contains(&token.text.as_str()));
    let fault = |token: &Token| Fault {
        line: token.line,
        what: "threads run jobs, in src/cli/jobs.rs, and nothing smaller".to_owned(),
    };
    named.map(fault).collect()
}

/// What a side or a group of boxes is called stands in one file, and in what
/// reads the files that it is typed in; all others ask the type.
pub fn group_keys(file: &File) -> Vec<Fault> {
    if file.name == "src/model/side.rs" || file.name.starts_with("src/load/") {
        return Vec::new();
    }
    let mut faults = Vec::new();
    for (at, words) in strings(&file.text).lines().enumerate() {
        let named = ["\"shaft\"", "\"bore\"", "\"nogo\""].into_iter();
        for word in named.filter(|word| words.contains(word)) {
            let what = format!("{word} goes around src/model/side.rs");
            faults.push(Fault { line: at + 1, what });
        }
    }
    faults
}

/// Where a kind of line is added.
const KINDS: [&str; 3] = ["src/model/limits.rs", "src/load/lines.rs", "src/judge/kinds/mod.rs"];

/// Files that tell kinds of line apart besides. The list may only become
/// shorter: what is asked of a kind belongs to a method that names them all.
pub const BESIDE: [&str; 1] = ["src/judge/proofread/lines.rs"];

/// Every use of the kinds of line outside the files where one is added.
pub fn told_apart(file: &File) -> Vec<Fault> {
    if KINDS.contains(&file.name.as_str()) {
        return Vec::new();
    }
    let tokens = tokens(&shipped(&code(&file.text)));
    let mut faults = Vec::new();
    for (at, pair) in tokens.windows(2).enumerate() {
        if pair[0].text != "limits" || pair[1].text != "::" {
            continue;
        }
        // One name or several in braces; `*` brings them all.
        let names = tokens[at + 2..].iter().map(|token| token.text.as_str());
        let one = names.clone().next().is_some_and(|name| ["Kind", "*"].contains(&name));
        let mut several = names.take_while(|name| !["}", ";"].contains(name));
        if one || several.next() == Some("{") && several.any(|name| name == "Kind") {
            let what = "kinds of line are told apart by a method of Line or LineKind".to_owned();
            faults.push(Fault { line: pair[0].line, what });
        }
    }
    faults
}

/// Where kinds are told apart, the compiler names what a new one lacks: no
/// wildcard stands for it, which clippy sees to, and no test of one kind alone.
pub fn falls_through(file: &File) -> Vec<Fault> {
    let code = shipped(&code(&file.text));
    let mut faults = Vec::new();
    // What is typed is matched as text there.
    if file.name != "src/load/lines.rs" && !code.contains("[warn(clippy::wildcard_enum_match_arm)]")
    {
        let what = "a new kind may fall through: warn of clippy::wildcard_enum_match_arm";
        faults.push(Fault { line: 1, what: what.to_owned() });
    }
    let tokens = tokens(&code);
    for three in tokens.windows(3) {
        let alone = three[0].text == "let" && three[1].text == "Kind" && three[2].text == "::";
        if alone || three[0].text == "matches" && three[1].text == "!" {
            let what = "one kind is told from all others: match, and name them".to_owned();
            faults.push(Fault { line: three[0].line, what });
        }
    }
    faults
}

/// The files in which kinds of line are told apart.
pub fn tells_apart(file: &File) -> bool {
    KINDS.contains(&file.name.as_str()) || BESIDE.contains(&file.name.as_str())
}

/// The same, but for the files of the list.
pub fn kinds(file: &File) -> Vec<Fault> {
    if BESIDE.contains(&file.name.as_str()) { Vec::new() } else { told_apart(file) }
}
