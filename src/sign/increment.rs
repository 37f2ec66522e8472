//! Adding to a file behind its end (ISO 32000-1, 7.5.6). The bytes that were
//! there stay as they are.

use std::collections::BTreeMap;

use flate2::Compression;
use sha2::{Digest, Sha256};

use crate::pdf::File;
use crate::pdf::read::packed_there;
use crate::pdf::read::value::{Dict, Value};

/// What is added to a file.
pub struct Increment<'a> {
    before: &'a [u8],
    added: Vec<u8>,
    /// Place and generation of each object.
    places: BTreeMap<u32, (usize, u16)>,
    next: u32,
    trailer: Dict,
    /// Where the newest table of the file begins.
    table: usize,
    /// A file whose way of packing is taken over where it holds the same: what
    /// another release of the compressor wrote is then made anew byte for byte.
    model: Option<&'a [u8]>,
}

impl<'a> Increment<'a> {
    pub fn new(file: &File<'a>, model: Option<&'a [u8]>) -> Increment<'a> {
        Increment {
            before: file.bytes,
            added: b"\n".to_vec(),
            places: BTreeMap::new(),
            next: file.next_number(),
            trailer: file.trailer().clone(),
            table: file.sections[0].at,
            model,
        }
    }

    /// A number that no object has yet.
    pub fn number(&mut self) -> u32 {
        self.next += 1;
        self.next - 1
    }

    pub fn put(&mut self, number: u32, generation: u16, value: &Value) {
        let mut bytes = Vec::new();
        value.write(&mut bytes);
        self.put_written(number, generation, &bytes);
    }

    /// Adds a new object.
    pub fn add(&mut self, value: impl Into<Value>) -> Value {
        let number = self.number();
        self.put(number, 0, &value.into());
        Value::Ref(number, 0)
    }

    /// Adds a new stream, deflated where that makes it smaller.
    pub fn add_stream(&mut self, dict: Dict, content: &[u8]) -> Value {
        let number = self.number();
        let at = self.at() + head(number, 0).len();
        let there = self.model.and_then(|model| packed_there(model, at, &dict, content));
        let packed = there.map(<[u8]>::to_vec).or_else(|| deflated(content));
        let (dict, content) = match &packed {
            Some(packed) => (dict.with("Filter", "FlateDecode"), packed.as_slice()),
            None => (dict, content),
        };
        let dict = dict.with("Length", content.len() as i64);
        let mut bytes = Vec::new();
        Value::Dict(dict).write(&mut bytes);
        bytes.extend(b"\nstream\n");
        bytes.extend(content);
        bytes.extend(b"\nendstream");
        self.put_written(number, 0, &bytes);
        Value::Ref(number, 0)
    }

    /// Puts an object that is written out already, and tells where its bytes
    /// begin in the file.
    pub fn put_written(&mut self, number: u32, generation: u16, bytes: &[u8]) -> usize {
        self.places.insert(number, (self.at(), generation));
        self.added.extend(head(number, generation).bytes());
        let at = self.at();
        self.added.extend(bytes);
        self.added.extend(b"\nendobj\n");
        at
    }

    fn at(&self) -> usize {
        self.before.len() + self.added.len()
    }

    /// The whole file, with a table of what was added and no byte behind the
    /// end mark.
    pub fn finish(mut self) -> Vec<u8> {
        let table = self.at();
        self.added.extend(b"xref\n");
        let numbers: Vec<u32> = self.places.keys().copied().collect();
        for run in numbers.chunk_by(|a, b| a + 1 == *b) {
            self.added.extend(format!("{} {}\n", run[0], run.len()).bytes());
            for number in run {
                let (at, generation) = self.places[number];
                self.added.extend(format!("{at:010} {generation:05} n \n").bytes());
            }
        }
        let mut trailer = Dict::default().with("Size", i64::from(self.next));
        for key in ["Root", "Info"] {
            if let Some(value) = self.trailer.get(key) {
                trailer.set(key, value.clone());
            }
        }
        trailer.set("Prev", Value::Int(table_before(self.table)));
        trailer.set("ID", self.identity());
        self.added.extend(b"trailer\n");
        Value::Dict(trailer).write(&mut self.added);
        self.added.extend(format!("\nstartxref\n{table}\n%%EOF").bytes());
        [self.before, &self.added].concat()
    }

    /// The first part names the document for good, the second this state of
    /// it (ISO 32000-1, 14.4).
    fn identity(&self) -> Value {
        let first = self.trailer.get("ID").and_then(Value::list);
        let first = first.and_then(|list| list.first().cloned());
        let digest = Sha256::digest(&self.added);
        let now = Value::Text(digest[..16].to_vec());
        Value::List(vec![first.unwrap_or_else(|| now.clone()), now])
    }
}

fn head(number: u32, generation: u16) -> String {
    format!("{number} {generation} obj\n")
}

fn deflated(content: &[u8]) -> Option<Vec<u8>> {
    let mut smaller = Vec::new();
    let mut encoder = flate2::write::ZlibEncoder::new(&mut smaller, Compression::new(6));
    std::io::Write::write_all(&mut encoder, content).ok()?;
    encoder.finish().ok()?;
    (smaller.len() < content.len()).then_some(smaller)
}

fn table_before(at: usize) -> i64 {
    i64::try_from(at).unwrap_or(i64::MAX)
}
