//! One object in its place (ISO 32000-1, 7.3.8 and 7.3.10).

use std::ops::Range;

use super::bounds::Refusal;
use super::lex::Lexer;
use super::value::{Dict, Value};

/// An object as it stands in the file.
pub struct Placed {
    pub number: u32,
    pub generation: u16,
    pub value: Value,
    /// Just behind its last byte.
    pub end: usize,
}

/// Reads the object at a place. `length` looks up the number of another object
/// that gives a stream's length.
pub fn read(
    bytes: &[u8],
    at: usize,
    length: &dyn Fn(u32) -> Option<usize>,
) -> Result<Placed, Refusal> {
    let mut lexer = Lexer::new(bytes, at);
    if at >= bytes.len() {
        return Err(lexer.broken("an object is missing"));
    }
    let number = u32::try_from(lexer.whole()?);
    let generation = u16::try_from(lexer.whole()?);
    let (Ok(number), Ok(generation), true) = (number, generation, lexer.word("obj")) else {
        return Err(lexer.broken("no object stands here"));
    };
    let mut value = lexer.value()?;
    if let Value::Dict(dict) = &value
        && lexer.word("stream")
    {
        let range = content(bytes, &mut lexer, dict, length)?;
        value = Value::Stream(dict.clone(), range);
    }
    if !lexer.word("endobj") {
        return Err(lexer.broken("an object does not end"));
    }
    Ok(Placed { number, generation, value, end: lexer.at })
}

fn content(
    bytes: &[u8],
    lexer: &mut Lexer<'_>,
    dict: &Dict,
    length: &dyn Fn(u32) -> Option<usize>,
) -> Result<Range<usize>, Refusal> {
    // The word is followed by one line end, CR LF or LF alone.
    lexer.at += usize::from(lexer.peek() == Some(b'\r'));
    if lexer.peek() != Some(b'\n') {
        return Err(lexer.broken("a stream does not begin"));
    }
    lexer.at += 1;
    let length = match dict.get("Length") {
        Some(Value::Int(n)) => usize::try_from(*n).ok(),
        Some(Value::Ref(number, _)) => length(*number),
        _ => None,
    };
    let length = length.ok_or_else(|| lexer.broken("a stream has no length"))?;
    let start = lexer.at;
    let end = start.checked_add(length).filter(|end| *end <= bytes.len());
    let end = end.ok_or_else(|| lexer.broken("a stream is cut off"))?;
    lexer.at = end;
    if !lexer.word("endstream") || lexer.at > end + b"\r\nendstream".len() {
        return Err(lexer.broken("a stream's length is wrong"));
    }
    Ok(start..end)
}
