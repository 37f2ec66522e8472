//! The verdicts' JSON as lines: how it is broken into them, and what differs
//! between two of it.

use serde::Serialize;
use serde_json::ser::{Formatter, Serializer};
use std::io;

/// A value as JSON text, ending with a line feed: a line for each key of the
/// whole and for each member of its lists, such as a row. A person finds and
/// compares them, and a record of many rows stays small. `about` so many bytes.
pub fn lines(value: &impl Serialize, about: usize) -> Result<String, serde_json::Error> {
    let mut text = Vec::with_capacity(about);
    value.serialize(&mut Serializer::with_formatter(&mut text, Lined::default()))?;
    text.push(b'\n');
    String::from_utf8(text).map_err(serde::ser::Error::custom)
}

#[derive(Default)]
struct Lined {
    depth: usize,
}

/// Depth of the members of the lists in the whole.
const MEMBERS: usize = 2;

impl Lined {
    fn next<W: ?Sized + io::Write>(&self, out: &mut W, first: bool) -> io::Result<()> {
        out.write_all(if first { b"" } else { b"," })?;
        out.write_all(if self.depth <= MEMBERS { b"\n" } else { b"" })
    }

    fn open<W: ?Sized + io::Write>(&mut self, out: &mut W, with: &[u8]) -> io::Result<()> {
        self.depth += 1;
        out.write_all(with)
    }

    fn close<W: ?Sized + io::Write>(&mut self, out: &mut W, with: &[u8]) -> io::Result<()> {
        self.depth -= 1;
        out.write_all(if self.depth == 0 { b"\n" } else { b"" })?;
        out.write_all(with)
    }
}

impl Formatter for Lined {
    fn begin_array<W: ?Sized + io::Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.open(out, b"[")
    }

    fn end_array<W: ?Sized + io::Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.close(out, b"]")
    }

    fn begin_array_value<W>(&mut self, out: &mut W, first: bool) -> io::Result<()>
    where
        W: ?Sized + io::Write,
    {
        self.next(out, first)
    }

    fn begin_object<W: ?Sized + io::Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.open(out, b"{")
    }

    fn end_object<W: ?Sized + io::Write>(&mut self, out: &mut W) -> io::Result<()> {
        self.close(out, b"}")
    }

    fn begin_object_key<W>(&mut self, out: &mut W, first: bool) -> io::Result<()>
    where
        W: ?Sized + io::Write,
    {
        self.next(out, first)
    }
}

/// The first line that differs, for a person to look at: what it is of, and what
/// stands around the first difference in it.
pub fn differing(old: &[u8], new: &[u8]) -> String {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let (old, new) = (text(old), text(new));
    let pair = old.lines().zip(new.lines()).enumerate().find(|(_, (a, b))| a != b);
    match pair {
        Some((n, (a, b))) => {
            let (carried, made) = excerpts(a, b);
            let of = subject(b).unwrap_or_else(|| format!("line {}", n + 1));
            format!("{of}: `{carried}` is carried, `{made}` is worked out")
        }
        None => "one is longer than the other".to_owned(),
    }
}

/// `row C2` of `{"row":"C2","sheet":...`.
fn subject(line: &str) -> Option<String> {
    let mut words = line.strip_prefix("{\"")?.split('"');
    Some(format!("{} {}", words.next()?, words.nth(1)?))
}

/// Letters shown before and behind a difference.
const AROUND: usize = 30;

fn excerpts(one: &str, other: &str) -> (String, String) {
    let same = one.chars().zip(other.chars()).take_while(|(a, b)| a == b).count();
    let from = same.saturating_sub(AROUND);
    let cut = |line: &str| line.chars().skip(from).take(2 * AROUND).collect();
    (cut(one), cut(other))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn text(state: &str) -> String {
        let row = |code: &str, state: &str| json!({ "row": code, "steps": [{ "state": state }] });
        lines(
            &json!({ "schema": "s", "rows": [row("C1", "out"), row("C2", state)], "items": [] }),
            0,
        )
        .expect("text")
    }

    #[test]
    fn a_line_a_key_and_a_row() {
        let wanted = r#"{
"schema":"s",
"rows":[
{"row":"C1","steps":[{"state":"out"}]},
{"row":"C2","steps":[{"state":"open"}]}],
"items":[]
}
"#;
        assert_eq!(text("open"), wanted);
    }

    #[test]
    fn what_differs_is_named_and_shown() {
        let (old, new) = (text("within new limits"), text("within service limits"));
        assert_eq!(
            differing(old.as_bytes(), new.as_bytes()),
            "row C2: `C2\",\"steps\":[{\"state\":\"within new limits\"}]}],` is carried, \
             `C2\",\"steps\":[{\"state\":\"within service limits\"}]}],` is worked out"
        );
        let cut = format!("{old}more");
        assert_eq!(differing(old.as_bytes(), cut.as_bytes()), "one is longer than the other");
        let other = old.replace("\"s\"", "\"t\"");
        assert!(differing(old.as_bytes(), other.as_bytes()).starts_with("line 2: `\"schema"));
    }
}
