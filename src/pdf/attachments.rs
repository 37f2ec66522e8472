//! Files carried inside the PDF (ISO 32000-1, 7.11.4; ISO 19005-3, 6.8).

use std::borrow::Cow;
use std::collections::BTreeMap;

use lopdf::{Dictionary, Document as Objects, Object, ObjectId, Stream, dictionary};

use super::checksum::md5;
use super::streams::{Plain, fill};
use super::text::{Day, text};

/// What a carried file is to the document.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Relationship {
    /// The document was worked out from it.
    Provenance,
    /// What the document says, for programs.
    Data,
}

/// A file to carry inside the PDF.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Attachment<'a> {
    /// A file name without folders.
    pub name: String,
    pub bytes: Cow<'a, [u8]>,
    /// Type and subtype only, such as `application/toml`: no character set.
    pub mime: String,
    pub relationship: Relationship,
    /// One line for the reader's list of files.
    pub description: String,
}

/// A file ready to be carried: its digests taken and its bytes deflated. That
/// needs nothing of the document, so it can be done while the pages are drawn.
pub struct Prepared {
    name: String,
    relationship: Relationship,
    description: String,
    stream: Stream,
    plain: Plain,
}

/// Makes a file ready to be carried.
pub fn prepare(file: Attachment<'_>) -> Prepared {
    let Attachment { name, bytes, mime, relationship, description } = file;
    let params = dictionary! {
        "Size" => bytes.len() as i64,
        "CheckSum" => Object::String(md5(&bytes).to_vec(), lopdf::StringFormat::Hexadecimal),
    };
    let dict = dictionary! {
        "Type" => "EmbeddedFile",
        "Subtype" => mime.as_str(),
        "Params" => params,
    };
    // Scans are packed already.
    let packed = mime.starts_with("image/") || mime == "application/pdf";
    let mut stream = Stream::new(dict, Vec::new()).with_compression(!packed);
    let plain = fill(&mut stream, bytes);
    Prepared { name, relationship, description, stream, plain }
}

/// Adds the files and enters them in the catalog: by name, and as associated
/// files of the whole document. Gives the digests of their bytes.
///
/// # Errors
/// The name that two files share.
pub fn attach(
    objects: &mut Objects,
    catalog: &mut Dictionary,
    carried: Vec<Prepared>,
    day: Option<Day<'_>>,
) -> Result<BTreeMap<ObjectId, Plain>, String> {
    let mut named = Vec::new();
    let mut associated = Vec::new();
    let mut digests = BTreeMap::new();
    for mut file in carried {
        if let (Some(day), Ok(params)) = (day, file.stream.dict.get_mut(b"Params")) {
            params.as_dict_mut().into_iter().for_each(|params| params.set("ModDate", day.pdf()));
        }
        let stream = objects.add_object(file.stream);
        digests.insert(stream, file.plain);
        let mut entry = specification(&file.name, file.relationship, stream);
        if !file.description.is_empty() {
            entry.set("Desc", text(&file.description));
        }
        let id = objects.add_object(entry);
        associated.push(Object::Reference(id));
        named.push((text(&file.name), id, file.name));
    }
    // A name tree is searched by halving: its keys are sorted as bytes.
    named.sort_by(|a, b| key(&a.0).cmp(key(&b.0)));
    if let Some(pair) = named.windows(2).find(|pair| pair[0].0 == pair[1].0) {
        return Err(pair[0].2.clone());
    }
    if named.is_empty() {
        return Ok(digests);
    }
    let pairs = named.into_iter().flat_map(|(name, id, _)| [name, id.into()]);
    let tree = dictionary! { "Names" => pairs.collect::<Vec<Object>>() };
    catalog.set("Names", dictionary! { "EmbeddedFiles" => tree });
    catalog.set("AF", associated);
    Ok(digests)
}

fn specification(name: &str, relationship: Relationship, stream: ObjectId) -> Dictionary {
    let relationship = match relationship {
        Relationship::Provenance => "Source",
        Relationship::Data => "Data",
    };
    dictionary! {
        "Type" => "Filespec",
        "F" => text(name),
        "UF" => text(name),
        "EF" => dictionary! { "F" => stream, "UF" => stream },
        "AFRelationship" => relationship,
    }
}

fn key(name: &Object) -> &[u8] {
    name.as_str().unwrap_or_default()
}
