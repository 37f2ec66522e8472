//! What a PDF from anyone holds: carried files, titles, signature fields.

use std::collections::HashSet;
use std::ops::Range;

use sha2::{Digest, Sha256};

use super::File;
use super::bounds::{BOUNDS, Refusal};
use super::names::{folded, safe};
use super::pages::{media_box, pages};
use super::value::{Dict, Value, shown};
use crate::pdf::checksum::md5;

/// An opened report.
#[derive(Clone, Debug)]
pub struct Opened {
    pub pages: usize,
    /// Of the first page, in points.
    pub width: Option<f64>,
    /// In the order of the file; no two names fall together in a folder.
    pub carried: Vec<Carried>,
    pub info: Info,
    /// The metadata packet as it stands in the file.
    pub xmp: Option<Vec<u8>>,
    /// Names of the signature fields that are signed, in the order of the form.
    pub signed_fields: Vec<String>,
    /// Where the file ended each time it was written or added to, the first
    /// time first: `..ends[0]` is the report before it was signed.
    pub ends: Vec<usize>,
}

/// A carried file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Carried {
    /// A plain file name without folders, safe on any system.
    pub name: String,
    pub bytes: Vec<u8>,
    /// Such as `Provenance` or `Data`.
    pub relationship: Option<String>,
    pub mime: Option<String>,
    pub description: String,
    pub sha256: [u8; 32],
    /// Whether the file's own checksum fits; `None` where it has none.
    pub checksum_fits: Option<bool>,
}

/// The document information, as shown.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Info {
    pub title: String,
    pub author: String,
    pub subject: String,
    pub creator: String,
    pub producer: String,
    pub created: String,
}

/// Reads a PDF from anyone, within [`BOUNDS`].
///
/// # Errors
/// [`Refusal`] where the file is damaged, can be read in two ways, is beyond a
/// bound, or carries a file whose name is not safe.
pub fn open(bytes: &[u8]) -> Result<Opened, Refusal> {
    let file = File::open(bytes)?;
    let catalog = file.catalog()?;
    let mut ends: Vec<usize> = file.sections.iter().filter_map(|s| s.end).collect();
    ends.sort_unstable();
    let fields = fields(&file)?.into_iter();
    let pages = pages(&file)?;
    let edges = pages.first().map(|(_, _, page)| media_box(&file, page)).transpose()?.flatten();
    Ok(Opened {
        pages: pages.len(),
        width: edges.map(|[left, _, right, _]| right - left),
        carried: carried(&file, &catalog, None)?,
        info: info(&file)?,
        xmp: xmp(&file, &catalog)?,
        signed_fields: fields.filter(|f| f.signature.is_some()).map(|f| f.name).collect(),
        ends,
    })
}

/// The carried files of these names alone; nothing else of the PDF is unpacked.
///
/// # Errors
/// As [`open`].
pub fn open_carried(bytes: &[u8], wanted: &[&str]) -> Result<Vec<Carried>, Refusal> {
    let file = File::open(bytes)?;
    let catalog = file.catalog()?;
    carried(&file, &catalog, Some(wanted))
}

fn carried(
    file: &File<'_>,
    catalog: &Dict,
    wanted: Option<&[&str]>,
) -> Result<Vec<Carried>, Refusal> {
    let mut found = Vec::new();
    let mut names = HashSet::new();
    let named = carried_names(file, catalog)?;
    associated(file, catalog, &named)?;
    for (key, value) in named {
        let Some(specification) = file.dict(Some(&value))? else {
            return Err(file.broken("a carried file has no description"));
        };
        let name = name_of(file, &key, &specification)?;
        if wanted.is_some_and(|wanted| !wanted.contains(&name.as_str())) {
            continue;
        }
        let one = one(file, name, &specification)?;
        if !names.insert(folded(&one.name)) {
            return Err(Refusal::TwiceNamed { name: one.name });
        }
        found.push(one);
    }
    Ok(found)
}

/// Where a file says which are associated with it, those are the named ones and
/// each is named once: a viewer may list either.
fn associated(file: &File<'_>, catalog: &Dict, named: &[(Vec<u8>, Value)]) -> Result<(), Refusal> {
    if catalog.get("AF").is_none() {
        return Ok(());
    }
    let number = |value: &Value| match value {
        Value::Ref(number, _) => Some(*number),
        _ => None,
    };
    let mut one: Vec<_> = file.list(catalog, "AF")?.iter().map(number).collect();
    let mut other: Vec<_> = named.iter().map(|(_, value)| number(value)).collect();
    one.sort_unstable();
    other.sort_unstable();
    let twice = one.windows(2).any(|pair| pair[0] == pair[1]);
    if one == other && !twice && !one.contains(&None) {
        return Ok(());
    }
    let what = "the associated files are not those carried by name, each once";
    Err(Refusal::Ambiguous { what, at: file.sections[0].at })
}

/// Key and value of each entry of the tree of carried files.
fn carried_names(file: &File<'_>, catalog: &Dict) -> Result<Vec<(Vec<u8>, Value)>, Refusal> {
    let Some(names) = file.dict(catalog.get("Names"))? else {
        return Ok(Vec::new());
    };
    let mut found = Vec::new();
    let mut seen = HashSet::new();
    let mut waiting: Vec<(Value, usize)> = Vec::new();
    waiting.extend(names.get("EmbeddedFiles").map(|root| (root.clone(), 0)));
    while let Some((node, depth)) = waiting.pop() {
        if let Value::Ref(object, _) = node
            && !seen.insert(object)
        {
            return Err(Refusal::Cycle { object });
        }
        if depth > BOUNDS.depth {
            return Err(file.broken("the tree of carried files is too deep"));
        }
        let Some(dict) = file.dict(Some(&node))? else {
            return Err(file.broken("the tree of carried files is written wrongly"));
        };
        let kids = file.list(&dict, "Kids")?;
        waiting.extend(kids.into_iter().rev().map(|kid| (kid, depth + 1)));
        for pair in file.list(&dict, "Names")?.chunks(2) {
            let key = pair.first().map(|k| file.resolve(k)).transpose()?;
            let (Some(Value::Text(key)), Some(value)) = (key, pair.get(1)) else {
                return Err(file.broken("the tree of carried files is written wrongly"));
            };
            found.push((key, value.clone()));
        }
        if found.len() > BOUNDS.carried {
            return Err(Refusal::Bound { what: "carried files", most: BOUNDS.carried });
        }
    }
    Ok(found)
}

fn text_of(file: &File<'_>, dict: &Dict, key: &str) -> Result<Option<String>, Refusal> {
    let value = file.entry(dict, key)?;
    Ok(value.text().map(shown))
}

fn name_of(file: &File<'_>, key: &[u8], specification: &Dict) -> Result<String, Refusal> {
    let text = |name| text_of(file, specification, name);
    let name = shown(key);
    if [text("UF")?, text("F")?].into_iter().flatten().any(|other| other != name) {
        let what = "a carried file has two names";
        return Err(Refusal::Ambiguous { what, at: file.sections[0].at });
    }
    safe(name)
}

fn one(file: &File<'_>, name: String, specification: &Dict) -> Result<Carried, Refusal> {
    let missing = || file.broken("a carried file is missing");
    let embedded = file.dict(specification.get("EF"))?.ok_or_else(missing)?;
    let stream = embedded.get("F").or(embedded.get("UF"));
    if embedded.get("UF").is_some_and(|other| Some(other) != stream) {
        let what = "a carried file has two contents";
        let at = file.sections[0].at;
        return Err(Refusal::Ambiguous { what, at });
    }
    let Value::Stream(dict, range) = file.resolve(stream.unwrap_or(&Value::Null))? else {
        return Err(missing());
    };
    let bytes = file.unpacked(&dict, &range)?;
    let parameters = file.dict(dict.get("Params"))?.unwrap_or_default();
    let checksum = file.entry(&parameters, "CheckSum")?;
    Ok(Carried {
        name,
        relationship: specification.name("AFRelationship").map(shown),
        mime: dict.name("Subtype").map(shown),
        description: text_of(file, specification, "Desc")?.unwrap_or_default(),
        sha256: Sha256::digest(&bytes).into(),
        checksum_fits: checksum.text().map(|sum| sum == md5(&bytes)),
        bytes,
    })
}

fn info(file: &File<'_>) -> Result<Info, Refusal> {
    let dict = file.dict(file.trailer().get("Info"))?.unwrap_or_default();
    let text = |key| -> Result<String, Refusal> {
        let value = file.entry(&dict, key)?;
        Ok(value.text().map(shown).unwrap_or_default())
    };
    Ok(Info {
        title: text("Title")?,
        author: text("Author")?,
        subject: text("Subject")?,
        creator: text("Creator")?,
        producer: text("Producer")?,
        created: text("CreationDate")?,
    })
}

fn xmp(file: &File<'_>, catalog: &Dict) -> Result<Option<Vec<u8>>, Refusal> {
    match file.entry(catalog, "Metadata")? {
        Value::Stream(dict, range) => file.unpacked(&dict, &range).map(Some),
        _ => Ok(None),
    }
}

/// A field of the form that is for a signature.
pub(crate) struct Field {
    pub name: String,
    /// Number of the field's object, where it is one.
    pub object: Option<u32>,
    /// The signature dictionary and the place of its object in the file.
    pub signature: Option<(Dict, Range<usize>)>,
}

/// The signature fields, in the order of the form.
pub(crate) fn fields(file: &File<'_>) -> Result<Vec<Field>, Refusal> {
    let catalog = file.catalog()?;
    let Some(form) = file.dict(catalog.get("AcroForm"))? else {
        return Ok(Vec::new());
    };
    let mut found = Vec::new();
    let mut seen = HashSet::new();
    let mut waiting: Vec<(Value, String, Option<Vec<u8>>)> = Vec::new();
    let tops = file.list(&form, "Fields")?.into_iter().rev();
    waiting.extend(tops.map(|top| (top, String::new(), None)));
    while let Some((node, above, kind)) = waiting.pop() {
        let object = match node {
            Value::Ref(object, _) => Some(object),
            _ => None,
        };
        if object.is_some_and(|object| !seen.insert(object)) || seen.len() > BOUNDS.values {
            let object = object.unwrap_or_default();
            return Err(Refusal::Cycle { object });
        }
        let Some(dict) = file.dict(Some(&node))? else {
            continue;
        };
        let kind = dict.name("FT").map(<[u8]>::to_vec).or(kind);
        let name = joined(&above, file.entry(&dict, "T")?.text());
        if name.len() > BOUNDS.name * 16 {
            return Err(Refusal::Bound {
                what: "bytes in the name of a field",
                most: BOUNDS.name * 16,
            });
        }
        let kids = file.list(&dict, "Kids")?;
        if kind.as_deref() == Some(b"Sig") && (kids.is_empty() || dict.get("V").is_some()) {
            let signature = signature(file, &dict)?;
            found.push(Field { name, object, signature });
        } else {
            let kids = kids.into_iter().rev();
            waiting.extend(kids.map(|kid| (kid, name.clone(), kind.clone())));
        }
        if found.len() > BOUNDS.signatures {
            return Err(Refusal::Bound { what: "signatures", most: BOUNDS.signatures });
        }
    }
    Ok(found)
}

fn joined(above: &str, own: Option<&[u8]>) -> String {
    let own = own.map(shown).unwrap_or_default();
    match (above, own.as_str()) {
        ("", own) => own.to_string(),
        (above, "") => above.to_string(),
        (above, own) => format!("{above}.{own}"),
    }
}

fn signature(file: &File<'_>, field: &Dict) -> Result<Option<(Dict, Range<usize>)>, Refusal> {
    let Some(value) = field.get("V") else {
        return Ok(None);
    };
    let Some(dict) = file.dict(Some(value))? else {
        return Ok(None);
    };
    let place = match value {
        Value::Ref(number, _) => file.extent(*number)?,
        _ => None,
    };
    // Without a place of its own nothing can be compared with its byte range.
    Ok(Some((dict, place.unwrap_or(0..0))))
}
