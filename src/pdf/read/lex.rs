//! Bytes to objects (ISO 32000-1, 7.2 and 7.3), strictly and within bounds:
//! what two programs might read differently is refused.

use super::bounds::{BOUNDS, Refusal};
use super::value::{Dict, Value};

/// A place in the bytes, moving on as it reads.
#[derive(Clone)]
pub struct Lexer<'a> {
    bytes: &'a [u8],
    pub at: usize,
    /// Values read so far.
    values: usize,
}

fn is_space(b: u8) -> bool {
    matches!(b, 0 | 9 | 10 | 12 | 13 | 32)
}

fn is_delimiter(b: u8) -> bool {
    b"()<>[]{}/%".contains(&b)
}

impl<'a> Lexer<'a> {
    pub fn new(bytes: &'a [u8], at: usize) -> Lexer<'a> {
        Lexer { bytes, at, values: 0 }
    }

    pub fn broken(&self, what: &'static str) -> Refusal {
        Refusal::Broken { what, at: self.at }
    }

    pub fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    pub fn skip_space(&mut self) {
        while let Some(b) = self.peek() {
            if b == b'%' {
                while self.peek().is_some_and(|b| b != b'\n' && b != b'\r') {
                    self.at += 1;
                }
            } else if is_space(b) {
                self.at += 1;
            } else {
                return;
            }
        }
    }

    /// Whether the word stands here, white space aside; moves past it.
    pub fn word(&mut self, word: &str) -> bool {
        self.skip_space();
        let rest = self.bytes.get(self.at..).unwrap_or_default();
        if !rest.starts_with(word.as_bytes()) {
            return false;
        }
        let after = rest.get(word.len());
        if after.is_some_and(|b| !is_space(*b) && !is_delimiter(*b)) {
            return false;
        }
        self.at += word.len();
        true
    }

    /// A whole number without a sign.
    pub fn whole(&mut self) -> Result<u64, Refusal> {
        self.skip_space();
        let start = self.at;
        while self.peek().is_some_and(|b| b.is_ascii_digit()) {
            self.at += 1;
        }
        let digits = std::str::from_utf8(&self.bytes[start..self.at]).unwrap_or_default();
        digits.parse().map_err(|_| self.broken("a number was expected"))
    }

    /// Any object but a stream, whose dictionary is given.
    pub fn value(&mut self) -> Result<Value, Refusal> {
        self.nested(0)
    }

    fn nested(&mut self, depth: usize) -> Result<Value, Refusal> {
        if depth > BOUNDS.depth {
            return Err(Refusal::Bound { what: "lists within lists", most: BOUNDS.depth });
        }
        self.values += 1;
        if self.values > BOUNDS.values {
            return Err(Refusal::Bound { what: "values in one object", most: BOUNDS.values });
        }
        self.skip_space();
        match self.peek() {
            Some(b'/') => Ok(Value::Name(self.name()?)),
            Some(b'(') => self.literal(),
            Some(b'[') => self.list(depth),
            Some(b'<') if self.bytes.get(self.at + 1) == Some(&b'<') => self.dict(depth),
            Some(b'<') => self.hex(),
            Some(b'+' | b'-' | b'.' | b'0'..=b'9') => self.number(),
            _ => self.keyword(),
        }
    }

    fn keyword(&mut self) -> Result<Value, Refusal> {
        for (word, value) in
            [("true", Value::Bool(true)), ("false", Value::Bool(false)), ("null", Value::Null)]
        {
            if self.word(word) {
                return Ok(value);
            }
        }
        Err(self.broken("no object stands here"))
    }

    /// A number, or a reference where two whole numbers and an R follow each
    /// other.
    fn number(&mut self) -> Result<Value, Refusal> {
        let start = self.at;
        while self.peek().is_some_and(|b| b.is_ascii_digit() || b"+-.".contains(&b)) {
            self.at += 1;
        }
        let written = std::str::from_utf8(&self.bytes[start..self.at]).unwrap_or_default();
        let digits = written.strip_prefix(['+', '-']).unwrap_or(written);
        let points = digits.bytes().filter(|b| *b == b'.').count();
        let figures = digits.bytes().filter(u8::is_ascii_digit).count();
        if figures == 0 || figures > 40 || points > 1 || figures + points != digits.len() {
            return Err(self.broken("a number is written wrongly"));
        }
        if points == 1 {
            return Ok(Value::Real(written.into()));
        }
        let number = written.strip_prefix('+').unwrap_or(written).parse::<i64>();
        let number = number.map_err(|_| self.broken("a number is too large"))?;
        let number_only = digits.len() == written.len();
        match u32::try_from(number) {
            Ok(object) if number_only => Ok(self.reference(object).unwrap_or(Value::Int(number))),
            _ => Ok(Value::Int(number)),
        }
    }

    fn reference(&mut self, object: u32) -> Option<Value> {
        let mut ahead = self.clone();
        if !ahead.peek().is_some_and(is_space) {
            return None;
        }
        let generation = u16::try_from(ahead.whole().ok()?).ok()?;
        if !ahead.peek().is_some_and(is_space) || !ahead.word("R") {
            return None;
        }
        self.at = ahead.at;
        Some(Value::Ref(object, generation))
    }

    fn name(&mut self) -> Result<Vec<u8>, Refusal> {
        self.at += 1;
        let mut name = Vec::new();
        while let Some(b) = self.peek().filter(|b| !is_space(*b) && !is_delimiter(*b)) {
            self.at += 1;
            if b != b'#' {
                name.push(b);
                continue;
            }
            let digits = self.bytes.get(self.at..self.at + 2);
            let code = digits.and_then(|d| Some(digit(d[0])? << 4 | digit(d[1])?));
            name.push(code.ok_or_else(|| self.broken("a name is written wrongly"))?);
            self.at += 2;
        }
        if name.len() > 512 {
            return Err(self.broken("a name is too long"));
        }
        Ok(name)
    }

    fn list(&mut self, depth: usize) -> Result<Value, Refusal> {
        self.at += 1;
        let mut list = Vec::new();
        loop {
            self.skip_space();
            if self.peek() == Some(b']') {
                self.at += 1;
                return Ok(Value::List(list));
            }
            list.push(self.nested(depth + 1)?);
        }
    }

    fn dict(&mut self, depth: usize) -> Result<Value, Refusal> {
        self.at += 2;
        let mut dict = Dict::default();
        let mut seen = std::collections::HashSet::new();
        loop {
            self.skip_space();
            if self.bytes[self.at..].starts_with(b">>") {
                self.at += 2;
                return Ok(Value::Dict(dict));
            }
            if self.peek() != Some(b'/') {
                return Err(self.broken("a dictionary is written wrongly"));
            }
            let at = self.at;
            let key = self.name()?;
            if !seen.insert(key.clone()) {
                let what = "a dictionary has a key twice";
                return Err(Refusal::Ambiguous { what, at });
            }
            dict.0.push((key, self.nested(depth + 1)?));
        }
    }

    fn hex(&mut self) -> Result<Value, Refusal> {
        self.at += 1;
        let mut bytes = Vec::new();
        let mut half = None;
        loop {
            let b = self.peek().ok_or_else(|| self.broken("a text does not end"))?;
            self.at += 1;
            match (b, digit(b), half.take()) {
                (b'>', _, high) => {
                    bytes.extend(high.map(|h: u8| h << 4));
                    return Ok(Value::Text(bytes));
                }
                (_, Some(low), Some(high)) => bytes.push(high << 4 | low),
                (_, Some(high), None) => half = Some(high),
                (b, None, kept) if is_space(b) => half = kept,
                _ => return Err(self.broken("a text in hexadecimal is written wrongly")),
            }
        }
    }

    fn literal(&mut self) -> Result<Value, Refusal> {
        self.at += 1;
        let mut bytes = Vec::new();
        let mut open = 1;
        loop {
            let b = self.peek().ok_or_else(|| self.broken("a text does not end"))?;
            self.at += 1;
            match b {
                b'(' => open += 1,
                b')' => open -= 1,
                b'\\' => {
                    self.escape(&mut bytes);
                    continue;
                }
                b'\r' => {
                    // A line end in a text is one line feed, however written.
                    self.at += usize::from(self.peek() == Some(b'\n'));
                    bytes.push(b'\n');
                    continue;
                }
                _ => {}
            }
            if open == 0 {
                return Ok(Value::Text(bytes));
            }
            bytes.push(b);
        }
    }

    fn escape(&mut self, bytes: &mut Vec<u8>) {
        let Some(b) = self.peek() else { return };
        self.at += 1;
        match b {
            b'n' => bytes.push(b'\n'),
            b'r' => bytes.push(b'\r'),
            b't' => bytes.push(b'\t'),
            b'b' => bytes.push(8),
            b'f' => bytes.push(12),
            b'\n' => {}
            b'\r' => self.at += usize::from(self.peek() == Some(b'\n')),
            b'0'..=b'7' => {
                let mut code = u32::from(b - b'0');
                for _ in 0..2 {
                    let Some(d @ b'0'..=b'7') = self.peek() else {
                        break;
                    };
                    code = code << 3 | u32::from(d - b'0');
                    self.at += 1;
                }
                bytes.push(code as u8);
            }
            other => bytes.push(other),
        }
    }
}

fn digit(b: u8) -> Option<u8> {
    char::from(b).to_digit(16).map(|d| d as u8)
}
