//! The rules, each over the text of one file.

use super::lexer::{Token, code, shipped, strings, tokens};

/// A file by its name from the project's root.
pub struct File {
    pub name: String,
    pub text: String,
}

#[derive(Debug)]
pub struct Fault {
    pub line: usize,
    pub what: String,
}

/// What every room may name.
const GROUND: [&str; 2] = ["quantity", "diag"];
/// The tower of measuring, from the ground up: it names no paper.
const MEASURING: [&str; 8] =
    ["template", "model", "load", "judge", "sheet", "record", "analysis", "report"];
/// The tower of paper, from the ground up: it names no engine.
const PAPER: [&str; 4] = ["layout", "pdf", "sign", "scan"];
/// Where the two meet.
const ROOF: [&str; 3] = ["pages", "bundle", "cli"];

/// The rooms that a room may name, itself last; none for what is no room.
fn known_to(own: &str) -> Vec<&'static str> {
    let below = match own {
        own if MEASURING.contains(&own) => [&GROUND[..], &MEASURING].concat(),
        own if PAPER.contains(&own) => [&GROUND[..], &PAPER].concat(),
        _ => [&GROUND[..], &MEASURING, &PAPER, &ROOF].concat(),
    };
    let at = below.iter().position(|room| *room == own);
    below.into_iter().take(at.map_or(0, |at| at + 1)).collect()
}

/// Each library with the room or the one file that may name it.
const LIBRARIES: [(&str, &[&str]); 47] = [
    ("mimalloc", &["src/main.rs"]),
    ("rust_decimal", &["src/quantity/"]),
    ("annotate_snippets", &["src/diag.rs"]),
    ("tera", &["src/template.rs"]),
    ("toml", &["src/load/toml/tree.rs"]),
    ("toml_parser", &["src/load/toml/lexer.rs"]),
    ("printpdf", &["src/pdf/document.rs"]),
    ("lopdf", &["src/pdf/"]),
    ("clap", &["src/cli/", "src/cli.rs"]),
    ("clap_complete", &["src/cli/", "src/cli.rs"]),
    ("clap_mangen", &["src/cli/", "src/cli.rs"]),
    ("csv", &["src/load/spreadsheet/cells.rs", "src/report/table/lines.rs"]),
    ("tempfile", &["src/cli/", "src/cli.rs"]),
    ("include_dir", &["src/cli/", "src/cli.rs", "src/load/"]),
    ("qrcodegen", &["src/layout/qr.rs"]),
    ("ttf_parser", &["src/layout/", "src/pages/report/watermark.rs"]),
    ("subsetter", &["src/pdf/"]),
    ("serde_json", &["src/report/", "src/load/schema.rs", "src/cli/"]),
    ("rqrr", &["src/scan/"]),
    ("image", &["src/scan/counted.rs", "src/scan/code.rs"]),
    ("rustix", &["src/cli/plain.rs", "src/cli/signals.rs"]),
    ("signal_hook", &["src/cli/signals.rs"]),
    ("rpassword", &["src/cli/say.rs"]),
    ("png", &["src/scan/"]),
    ("zune_jpeg", &["src/scan/"]),
    ("fax", &["src/scan/"]),
    ("cms", &["src/sign/"]),
    ("md5", &["src/pdf/checksum.rs"]),
    ("rand_chacha", &["src/sign/"]),
    ("strsim", &["src/load/suggest.rs", "src/record/resolve_signs.rs"]),
    ("x509_cert", &["src/sign/"]),
    ("flate2", &["src/pdf/", "src/sign/"]),
    ("cbc", &["src/sign/key/"]),
    ("const_oid", &["src/sign/"]),
    ("der", &["src/sign/"]),
    ("des", &["src/sign/key/"]),
    ("getrandom", &["src/cli/"]),
    ("hmac", &["src/sign/key/"]),
    ("p256", &["src/sign/"]),
    ("pkcs12", &["src/sign/key/"]),
    ("pkcs8", &["src/sign/key/"]),
    ("rc2", &["src/sign/key/"]),
    ("rsa", &["src/sign/"]),
    ("serde", &["src/report/", "src/cli/"]),
    ("sha1", &["src/sign/"]),
    ("sha2", &["src/sign/", "src/pdf/", "src/sheet/"]),
    ("zeroize", &["src/sign/", "src/cli/"]),
];

/// A kind of line answers everything itself: a method with a body would let a
/// new one, or one that goes around another, leave something out unseen.
pub fn kinds_answer(file: &File) -> Vec<Fault> {
    let mut within = false;
    let mut faults = Vec::new();
    for (at, line) in code(&file.text).lines().enumerate() {
        within |= line.starts_with("pub trait LineKind");
        within &= !line.starts_with('}');
        if within && line.starts_with("    ") && line.contains('{') {
            let what = "a method of LineKind has a body".to_owned();
            faults.push(Fault { line: at + 1, what });
        }
    }
    faults
}

/// The longest a file may be, in lines.
const LINES: usize = 450;

/// Words that a report never prints as claims, in small letters.
const CLAIMS: [&str; 6] =
    ["airworthy", "certified", "conforms", "rebuilt", "zero-time", "overhauled"];

/// Parts of a file's name that say nothing about what is in it.
const EMPTY_NAMES: [&str; 7] = ["util", "helper", "manager", "data", "misc", "common", "stuff"];

/// A room names only itself and those that it stands on.
pub fn rooms(file: &File) -> Vec<Fault> {
    let path = module_path(&file.name);
    let Some(own) = path.first() else {
        return Vec::new();
    };
    let known = known_to(own);
    if known.is_empty() {
        return vec![Fault { line: 1, what: format!("{own} is no room of the house") }];
    }
    let tokens = tokens(&code(&file.text));
    let named = rooms_named(&tokens, path.len()).into_iter();
    named
        .filter(|(room, _)| !known.contains(&room.as_str()))
        .map(|(room, line)| Fault {
            line,
            what: format!("{own} names {room}, on which it does not stand"),
        })
        .collect()
}

/// `src/judge/slips/turn.rs` is `judge, slips, turn`; the root has no name.
fn module_path(name: &str) -> Vec<String> {
    let inside = name.strip_prefix("src/").unwrap_or(name);
    let inside = inside.strip_suffix(".rs").unwrap_or(inside);
    let mut path: Vec<String> = inside.split('/').map(str::to_owned).collect();
    let last = path.last().map(String::as_str);
    if matches!(last, Some("mod" | "lib" | "main")) {
        path.pop();
    }
    path
}

/// The first name after each `crate::` or chain of `super::` that reaches the
/// root, with its line; every member of a group in braces.
fn rooms_named(tokens: &[Token], depth: usize) -> Vec<(String, usize)> {
    let mut named = Vec::new();
    let text = |at: usize| tokens.get(at).map_or("", |t| t.text.as_str());
    let mut at = 0;
    while at < tokens.len() {
        let start = at;
        let at_root = match text(at) {
            "crate" | "benchleaf" if text(at + 1) == "::" => {
                at += 2;
                true
            }
            "super" if text(at + 1) == "::" && (start == 0 || text(start - 1) != "::") => {
                let mut up = 0;
                while text(at) == "super" && text(at + 1) == "::" {
                    up += 1;
                    at += 2;
                }
                up >= depth
            }
            _ => {
                at += 1;
                false
            }
        };
        // `pub(in crate::…)` and the like read the same way.
        if at_root {
            named.extend(members(tokens, at));
        }
    }
    named
}

/// One name, or each first name of `{a, b::c, d::{e, f}}`. A name with a
/// capital is the root's own, re-exported.
fn members(tokens: &[Token], at: usize) -> Vec<(String, usize)> {
    let Some(first) = tokens.get(at) else {
        return Vec::new();
    };
    let small = |token: &Token| token.text.starts_with(|c: char| c.is_ascii_lowercase());
    if first.text != "{" {
        let named = small(first).then(|| (first.text.clone(), first.line));
        return named.into_iter().collect();
    }
    let (mut depth, mut fresh, mut named) = (0, true, Vec::new());
    for token in &tokens[at..] {
        match token.text.as_str() {
            "{" => depth += 1,
            "}" => depth -= 1,
            "," if depth == 1 => fresh = true,
            _ if depth == 1 && fresh => {
                fresh = false;
                if small(token) && token.text != "self" {
                    named.push((token.text.clone(), token.line));
                }
            }
            _ => {}
        }
        if depth == 0 {
            break;
        }
    }
    named
}

/// A library is named only where its room is: `tera::…`, `use tera`.
pub fn libraries(file: &File) -> Vec<Fault> {
    let tokens = tokens(&code(&file.text));
    let mut faults = Vec::new();
    for (at, token) in tokens.iter().enumerate() {
        let Some((library, places)) = LIBRARIES.iter().find(|(name, _)| *name == token.text) else {
            continue;
        };
        let after = tokens.get(at + 1).map(|t| t.text.as_str());
        let before = at.checked_sub(1).map(|n| tokens[n].text.as_str());
        let is_path = after == Some("::") && before != Some("::") || before == Some("use");
        let at_home = places.iter().any(|place| {
            file.name == *place || place.ends_with('/') && file.name.starts_with(place)
        });
        if is_path && !at_home {
            faults.push(Fault {
                line: token.line,
                what: format!("{library} is named only in {}", places.join(", ")),
            });
        }
    }
    faults
}

/// Every crate that a manifest asks the program to be built of stands in the
/// table above, under the name by which the source calls it.
pub fn dependencies(manifest: &File) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut within = false;
    for (at, line) in manifest.text.lines().enumerate() {
        if let Some(head) = line.strip_prefix('[') {
            within = head.trim_end_matches(']').split('.').next_back() == Some("dependencies");
        }
        let Some((name, _)) = line.split_once('=').filter(|_| within && !line.starts_with('['))
        else {
            continue;
        };
        let name = match name.trim() {
            "md-5" => "md5".to_owned(),
            name => name.replace('-', "_"),
        };
        if !LIBRARIES.iter().any(|(known, _)| *known == name) {
            let what = format!("{name} stands in no room: name it in LIBRARIES");
            faults.push(Fault { line: at + 1, what });
        }
    }
    faults
}

/// The clock, the disk, the environment and the terminal belong to the
/// command line.
pub fn outside_world(file: &File) -> Vec<Fault> {
    if file.name.starts_with("src/cli") || file.name == "src/main.rs" {
        return Vec::new();
    }
    let banned = [
        "fs",
        "env",
        "process",
        "net",
        "thread_rng",
        "SystemTime",
        "Instant",
        "println",
        "eprintln",
        "print",
        "eprint",
        "dbg",
        "stdin",
        "stdout",
        "stderr",
        "RandomState",
    ];
    let tokens = tokens(&shipped(&code(&file.text)));
    let mut faults = Vec::new();
    for (at, token) in tokens.iter().enumerate() {
        let name = token.text.as_str();
        let near = |n: Option<usize>| n.and_then(|n| tokens.get(n)).map(|t| t.text.as_str());
        let (before, after) = (near(at.checked_sub(1)), near(Some(at + 1)));
        let seen = match name {
            "fs" | "env" | "process" | "net" => {
                matches!(before, Some("::")) && near(at.checked_sub(2)) == Some("std")
                    || in_std_group(&tokens, at)
            }
            "println" | "eprintln" | "print" | "eprint" | "dbg" => after == Some("!"),
            "stdin" | "stdout" | "stderr" => after == Some("(") && before != Some("fn"),
            _ => banned.contains(&name),
        };
        if seen {
            faults.push(Fault { line: token.line, what: format!("{name} belongs to src/cli") });
        }
    }
    faults
}

/// Whether a token is a member of `use std::{…}`.
fn in_std_group(tokens: &[Token], at: usize) -> bool {
    let open = tokens[..at].iter().rposition(|t| ["{", ";", "}"].contains(&t.text.as_str()));
    open.is_some_and(|open| {
        open >= 2
            && tokens[open].text == "{"
            && tokens[open - 1].text == "::"
            && tokens[open - 2].text == "std"
            && ["{", ","].contains(&tokens[at - 1].text.as_str())
    })
}

/// No `f32`, no `f64`, no literal with a point where sizes are judged.
pub fn floats(file: &File) -> Vec<Fault> {
    let rooms = ["src/quantity/", "src/judge/", "src/model/"];
    if !rooms.iter().any(|room| file.name.starts_with(room)) {
        return Vec::new();
    }
    let literal = |text: &str| {
        let exponent = text.contains(['e', 'E']) && !text.starts_with("0x");
        text.starts_with(|c: char| c.is_ascii_digit())
            && (text.contains('.') || exponent && !text.ends_with("size"))
    };
    tokens(&code(&file.text))
        .into_iter()
        .filter(|t| ["f32", "f64"].contains(&t.text.as_str()) || literal(&t.text))
        .map(|t| Fault { line: t.line, what: format!("{}: sizes are exact decimals", t.text) })
        .collect()
}

/// A fault is told, never thrown.
pub fn giving_up(file: &File) -> Vec<Fault> {
    let tokens = tokens(&shipped(&code(&file.text)));
    let mut faults = Vec::new();
    for pair in tokens.windows(3) {
        let texts = [&*pair[0].text, &*pair[1].text, &*pair[2].text];
        let seen = match texts {
            [".", name, "("] => ["unwrap", "expect", "unwrap_err", "expect_err"].contains(&name),
            [name, "!", _] => {
                let given_up = ["panic", "todo", "unimplemented", "unreachable"];
                given_up.contains(&name) || name.starts_with("assert")
            }
            _ => false,
        };
        if seen {
            faults.push(Fault {
                line: pair[0].line,
                what: format!("{}: say what is wrong and where", texts.concat()),
            });
        }
    }
    faults
}

/// One subject a file.
pub fn length(file: &File) -> Vec<Fault> {
    let lines = file.text.lines().count();
    let too_long = (lines > LINES).then(|| Fault {
        line: lines,
        what: format!("{lines} lines: {LINES} at most, one subject a file"),
    });
    too_long.into_iter().collect()
}

/// Names are the trade's.
pub fn names(file: &File) -> Vec<Fault> {
    EMPTY_NAMES
        .iter()
        .filter(|empty| {
            file.name.split(['/', '_', '.']).any(|part| {
                let stem = part.strip_suffix('s').unwrap_or(part);
                stem == **empty
            })
        })
        .map(|empty| Fault {
            line: 1,
            what: format!("'{empty}' in a name says nothing: name the subject"),
        })
        .collect()
}

/// Words that would claim more than a record of measurements can.
pub fn claims(file: &File) -> Vec<Fault> {
    claims_in(&file.text)
}

/// The same, in what the program may print.
pub fn claims_in_strings(file: &File) -> Vec<Fault> {
    claims_in(&strings(&file.text))
}

fn claims_in(text: &str) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (line, words) in text.lines().enumerate() {
        let words = words.to_lowercase();
        for claim in CLAIMS {
            if stands_alone(&words, claim) {
                faults.push(Fault { line: line + 1, what: format!("'{claim}' is never printed") });
            }
        }
    }
    faults
}

fn stands_alone(words: &str, claim: &str) -> bool {
    let apart = |c: Option<char>| !c.is_some_and(char::is_alphanumeric);
    words.match_indices(claim).any(|(at, _)| {
        let after = words[at + claim.len()..].chars().next();
        apart(words[..at].chars().next_back()) && apart(after)
    })
}

/// No path of the place where the project is made.
pub fn workplace(file: &File) -> Vec<Fault> {
    let paths = [
        ["/wo", "rk/"],
        ["sha", "red/design"],
        ["sha", "red/tables"],
        ["/ro", "ot/"],
        ["bash", "_jobs"],
    ];
    seen_in(&file.text, &paths.map(|parts| parts.concat()), "a path of the workplace")
}

/// No address: package clients know theirs.
pub fn hosts(file: &File) -> Vec<Fault> {
    seen_in(&file.text, &[[":", "//"].concat()], "an address")
}

fn seen_in(text: &str, wanted: &[String], why: &str) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (line, words) in text.lines().enumerate() {
        for part in wanted.iter().filter(|part| words.contains(part.as_str())) {
            faults.push(Fault { line: line + 1, what: format!("{part}: {why}") });
        }
    }
    faults
}
