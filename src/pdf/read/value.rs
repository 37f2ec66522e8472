//! What a PDF is made of (ISO 32000-1, 7.3), as read and as written.

use std::ops::Range;

/// Any object.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    Null,
    Bool(bool),
    Int(i64),
    /// A number with a point, as it is written.
    Real(Box<str>),
    Text(Vec<u8>),
    Name(Vec<u8>),
    List(Vec<Value>),
    Dict(Dict),
    /// Number and generation of another object.
    Ref(u32, u16),
    /// Its dictionary, and where its bytes lie in the file.
    Stream(Dict, Range<usize>),
}

/// A dictionary in the order of the file, each key once.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Dict(pub Vec<(Vec<u8>, Value)>);

impl Dict {
    pub fn get(&self, key: &str) -> Option<&Value> {
        let found = self.0.iter().find(|(k, _)| k == key.as_bytes());
        found.map(|(_, value)| value)
    }

    pub fn set(&mut self, key: &str, value: Value) {
        match self.0.iter_mut().find(|(k, _)| k == key.as_bytes()) {
            Some((_, place)) => *place = value,
            None => self.0.push((key.into(), value)),
        }
    }

    pub fn with(mut self, key: &str, value: impl Into<Value>) -> Dict {
        self.set(key, value.into());
        self
    }

    pub fn name(&self, key: &str) -> Option<&[u8]> {
        match self.get(key) {
            Some(Value::Name(name)) => Some(name),
            _ => None,
        }
    }

    pub fn int(&self, key: &str) -> Option<i64> {
        match self.get(key) {
            Some(Value::Int(n)) => Some(*n),
            _ => None,
        }
    }
}

impl Value {
    pub fn name(name: &str) -> Value {
        Value::Name(name.into())
    }

    pub fn dict(&self) -> Option<&Dict> {
        match self {
            Value::Dict(dict) | Value::Stream(dict, _) => Some(dict),
            _ => None,
        }
    }

    pub fn list(&self) -> Option<&[Value]> {
        match self {
            Value::List(list) => Some(list),
            _ => None,
        }
    }

    pub fn text(&self) -> Option<&[u8]> {
        match self {
            Value::Text(bytes) => Some(bytes),
            _ => None,
        }
    }

    pub fn number(&self) -> Option<f64> {
        match self {
            Value::Int(n) => Some(*n as f64),
            Value::Real(written) => written.parse().ok(),
            _ => None,
        }
    }

    /// Writes the object. A stream is written as its dictionary alone: the
    /// bytes are the caller's.
    pub fn write(&self, out: &mut Vec<u8>) {
        match self {
            Value::Null => out.extend(b"null"),
            Value::Bool(b) => out.extend(b.to_string().bytes()),
            Value::Int(n) => out.extend(n.to_string().bytes()),
            Value::Real(number) => out.extend(number.bytes()),
            Value::Text(bytes) => write_hex(bytes, out),
            Value::Name(name) => write_name(name, out),
            Value::Ref(number, generation) => {
                out.extend(format!("{number} {generation} R").bytes());
            }
            Value::List(list) => {
                out.push(b'[');
                for (at, value) in list.iter().enumerate() {
                    if at > 0 {
                        out.push(b' ');
                    }
                    value.write(out);
                }
                out.push(b']');
            }
            Value::Dict(dict) | Value::Stream(dict, _) => {
                out.extend(b"<<");
                for (key, value) in &dict.0 {
                    write_name(key, out);
                    out.push(b' ');
                    value.write(out);
                }
                out.extend(b">>");
            }
        }
    }
}

pub fn write_hex(bytes: &[u8], out: &mut Vec<u8>) {
    const DIGITS: &[u8; 16] = b"0123456789ABCDEF";
    out.push(b'<');
    for byte in bytes {
        out.push(DIGITS[usize::from(byte >> 4)]);
        out.push(DIGITS[usize::from(byte & 15)]);
    }
    out.push(b'>');
}

fn write_name(name: &[u8], out: &mut Vec<u8>) {
    out.push(b'/');
    for byte in name {
        if byte.is_ascii_alphanumeric() || b"_-+.".contains(byte) {
            out.push(*byte);
        } else {
            out.extend(format!("#{byte:02X}").bytes());
        }
    }
}

impl From<i64> for Value {
    fn from(n: i64) -> Value {
        Value::Int(n)
    }
}

impl From<Dict> for Value {
    fn from(dict: Dict) -> Value {
        Value::Dict(dict)
    }
}

impl From<Vec<Value>> for Value {
    fn from(list: Vec<Value>) -> Value {
        Value::List(list)
    }
}

impl From<&str> for Value {
    /// A name; text is written with [`text`].
    fn from(name: &str) -> Value {
        Value::name(name)
    }
}

/// A text string (ISO 32000-1, 7.9.2.2): seven bits as they are, anything else
/// as UTF-16BE behind its mark.
pub fn text(text: &str) -> Value {
    Value::Text(encoded(text))
}

/// The bytes of a text string.
pub fn encoded(text: &str) -> Vec<u8> {
    if text.is_ascii() {
        return text.into();
    }
    let units = text.encode_utf16().flat_map(u16::to_be_bytes);
    [0xFE, 0xFF].into_iter().chain(units).collect()
}

/// A text string as it is shown. Bytes of the old eight-bit encoding above
/// ASCII are taken as Latin-1, which is right for letters.
pub fn shown(bytes: &[u8]) -> String {
    if let Some(units) = bytes.strip_prefix(&[0xFE, 0xFF]) {
        let units = units.chunks_exact(2);
        let units: Vec<u16> = units.map(|u| u16::from_be_bytes([u[0], u[1]])).collect();
        return String::from_utf16_lossy(&units);
    }
    if let Some(bytes) = bytes.strip_prefix(&[0xEF, 0xBB, 0xBF]) {
        return String::from_utf8_lossy(bytes).into_owned();
    }
    bytes.iter().map(|b| char::from(*b)).collect()
}
