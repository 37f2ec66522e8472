//! Files carried inside the PDF (ISO 32000-1, 7.11.4; ISO 19005-3, 6.8).

use lopdf::{Dictionary, Document as Objects, Object, ObjectId, Stream, dictionary};

use super::Unfit;
use super::checksum::md5;
use super::text::{Day, text};

/// What a carried file is to the document.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Relationship {
    /// The document was worked out from it.
    Source,
    /// What the document says, for programs.
    Data,
}

/// A file to carry inside the PDF.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Attachment {
    /// A file name without folders.
    pub name: String,
    pub bytes: Vec<u8>,
    /// Type and subtype only, such as `application/toml`: no character set.
    pub mime: String,
    pub relationship: Relationship,
    /// One line for the reader's list of files.
    pub description: String,
}

/// Adds the files and enters them in the catalog: by name, and as associated
/// files of the whole document.
pub fn attach(
    objects: &mut Objects,
    catalog: &mut Dictionary,
    carried: &[Attachment],
    day: Option<Day<'_>>,
) -> Result<(), Unfit> {
    let mut named = Vec::new();
    let mut associated = Vec::new();
    for file in carried {
        let id = specification(objects, file, day);
        associated.push(Object::Reference(id));
        named.push((text(&file.name), id, &file.name));
    }
    // A name tree is searched by halving: its keys are sorted as bytes.
    named.sort_by(|a, b| key(&a.0).cmp(key(&b.0)));
    if let Some(pair) = named.windows(2).find(|pair| pair[0].0 == pair[1].0) {
        return Err(Unfit::TwiceNamed { name: pair[0].2.clone() });
    }
    if named.is_empty() {
        return Ok(());
    }
    let pairs = named.into_iter().flat_map(|(name, id, _)| [name, id.into()]);
    let tree = dictionary! { "Names" => pairs.collect::<Vec<Object>>() };
    catalog.set("Names", dictionary! { "EmbeddedFiles" => tree });
    catalog.set("AF", associated);
    Ok(())
}

fn key(name: &Object) -> &[u8] {
    name.as_str().unwrap_or_default()
}

fn specification(objects: &mut Objects, file: &Attachment, day: Option<Day<'_>>) -> ObjectId {
    let stream = objects.add_object(embedded(file, day));
    let relationship = match file.relationship {
        Relationship::Source => "Source",
        Relationship::Data => "Data",
    };
    let mut entry = dictionary! {
        "Type" => "Filespec",
        "F" => text(&file.name),
        "UF" => text(&file.name),
        "EF" => dictionary! { "F" => stream, "UF" => stream },
        "AFRelationship" => relationship,
    };
    if !file.description.is_empty() {
        entry.set("Desc", text(&file.description));
    }
    objects.add_object(entry)
}

fn embedded(file: &Attachment, day: Option<Day<'_>>) -> Stream {
    let mut params = dictionary! {
        "Size" => file.bytes.len() as i64,
        "CheckSum" => Object::String(md5(&file.bytes).to_vec(), lopdf::StringFormat::Hexadecimal),
    };
    if let Some(day) = day {
        params.set("ModDate", day.pdf());
    }
    let dict = dictionary! {
        "Type" => "EmbeddedFile",
        "Subtype" => file.mime.as_str(),
        "Params" => params,
    };
    // Scans are packed already.
    let packed = file.mime.starts_with("image/") || file.mime == "application/pdf";
    Stream::new(dict, file.bytes.clone()).with_compression(!packed)
}
