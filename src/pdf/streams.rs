//! The content of streams, digested and deflated.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::io::Write;
use std::mem;

use flate2::Compression;
use flate2::write::ZlibEncoder;
use lopdf::{Document as Objects, Object, ObjectId, Stream, StringFormat};
use sha2::{Digest, Sha256};

/// SHA-256 of content as it was before it was deflated.
pub type Plain = [u8; 32];

/// Of nine: level 6 takes a quarter more time for three in a hundred fewer
/// bytes, of the bench's sheets and of its record both.
const LEVEL: Compression = Compression::new(3);

/// Packs every stream that is not yet in `known`: the bytes of one do not depend
/// on another. Gives all digests.
pub fn pack_all(
    objects: &mut Objects,
    mut known: BTreeMap<ObjectId, Plain>,
) -> BTreeMap<ObjectId, Plain> {
    for (id, object) in &mut objects.objects {
        if let Object::Stream(stream) = object
            && !known.contains_key(id)
        {
            known.insert(*id, pack(stream));
        }
    }
    known
}

/// Deflates a stream that is not yet, where that makes it smaller; the digest of
/// what it held.
fn pack(stream: &mut Stream) -> Plain {
    let content = mem::take(&mut stream.content);
    fill(stream, content.into())
}

/// The same with content that the stream does not hold yet.
pub fn fill(stream: &mut Stream, content: Cow<'_, [u8]>) -> Plain {
    let plain = Sha256::digest(&content).into();
    let deflatable = stream.allows_compression && !stream.dict.has(b"Filter");
    match deflatable.then(|| deflated(&content)).flatten() {
        Some(smaller) => {
            stream.dict.set("Filter", "FlateDecode");
            stream.set_content(smaller);
        }
        None => stream.set_content(content.into_owned()),
    }
    plain
}

/// The content deflated, where that makes it smaller. A new compressor each
/// time: one that is used again may give other bytes.
fn deflated(content: &[u8]) -> Option<Vec<u8>> {
    let mut smaller = Vec::with_capacity(content.len() / 3 + 64);
    let mut encoder = ZlibEncoder::new(&mut smaller, LEVEL);
    encoder.write_all(content).ok()?;
    encoder.finish().ok()?;
    (smaller.len() + b"/Filter/FlateDecode".len() < content.len()).then_some(smaller)
}

/// The file's identity, from the content before it is deflated, so that it
/// outlives a change of the compressor.
pub fn identity(digests: &BTreeMap<ObjectId, Plain>) -> Object {
    let mut digest = Sha256::new();
    digests.values().for_each(|plain| digest.update(plain));
    let digest = digest.finalize();
    Object::String(digest.iter().take(16).copied().collect(), StringFormat::Hexadecimal)
}
