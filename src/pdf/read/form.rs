//! What was typed into the fields of a form from outside: their values alone,
//! never what is drawn. What acts, signs or can be understood in two ways is
//! refused by name.

use std::collections::{BTreeMap, HashSet};
use std::fmt;

use super::File;
use super::bounds::{BOUNDS, Refusal};
use super::pages::pages;
use super::value::{Dict, Value, shown};
use crate::diag::unprinted;

/// Why nothing is taken from a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Untaken {
    /// The file itself is not read.
    Pdf(Refusal),
    /// Something in it, and why it is not taken.
    Thing { what: String, why: &'static str },
}

impl From<Refusal> for Untaken {
    fn from(refusal: Refusal) -> Untaken {
        Untaken::Pdf(refusal)
    }
}

impl fmt::Display for Untaken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Untaken::Pdf(refusal) => refusal.fmt(f),
            Untaken::Thing { what, why } => write!(f, "{what}: {why}"),
        }
    }
}

impl std::error::Error for Untaken {}

fn thing(what: impl Into<String>, why: &'static str) -> Untaken {
    Untaken::Thing { what: what.into(), why }
}

/// A ticked box has this value.
pub const TICKED: &str = "Yes";
/// The most fields of a form: a set of a hundred pages has nine thousand.
const MOST: usize = 100_000;
/// The longest value, in bytes: half a page of paper.
const LONGEST: usize = 2_048;

const ACTS: &str = "a script or an action; such files are not read";

/// Every field with its value, blank ones with an empty one.
///
/// # Errors
/// [`Untaken`].
pub fn typed_in(bytes: &[u8]) -> Result<BTreeMap<String, String>, Untaken> {
    let file = File::open(bytes)?;
    let catalog = file.catalog()?;
    for key in ["OpenAction", "AA"] {
        if catalog.get(key).is_some() {
            return Err(thing("the document", ACTS));
        }
    }
    if let Some(names) = file.dict(catalog.get("Names"))?
        && names.get("JavaScript").is_some()
    {
        return Err(thing("the document", ACTS));
    }
    let Some(form) = file.dict(catalog.get("AcroForm"))? else {
        return Err(thing("the document", "it has no fields: benchleaf sheets --fill makes one"));
    };
    if form.get("XFA").is_some() {
        return Err(thing("the form", "an XFA form, which each program reads in its own way"));
    }
    let mut fields = Fields { file: &file, seen: HashSet::new(), found: BTreeMap::new() };
    for top in file.list(&form, "Fields")? {
        fields.read(&top, &Above::default(), 0)?;
    }
    fields.on_pages()?;
    Ok(fields.found)
}

/// What a field has from those above it.
#[derive(Clone, Default)]
struct Above {
    name: String,
    kind: Option<Vec<u8>>,
    value: Option<Value>,
}

struct Fields<'a> {
    file: &'a File<'a>,
    /// Numbers of the objects that belong to a field.
    seen: HashSet<u32>,
    found: BTreeMap<String, String>,
}

impl Fields<'_> {
    fn read(&mut self, node: &Value, above: &Above, depth: usize) -> Result<(), Untaken> {
        let Value::Ref(object, _) = node else {
            return Err(thing(&above.name, "a field that is no object by itself"));
        };
        if !self.seen.insert(*object) || depth > BOUNDS.depth {
            return Err(Refusal::Cycle { object: *object }.into());
        }
        if self.seen.len() > MOST * 2 || self.found.len() > MOST {
            return Err(Refusal::Bound { what: "fields", most: MOST }.into());
        }
        let file = self.file;
        let Some(dict) = file.dict(Some(node))? else {
            return Err(thing(&above.name, "a field that is missing"));
        };
        let own = match file.entry(&dict, "T")? {
            Value::Text(own) => shown(&own),
            Value::Null => String::new(),
            _ => return Err(thing(&above.name, "a field whose name is no text")),
        };
        let name = match (above.name.as_str(), own.as_str()) {
            ("", own) => own.to_owned(),
            (above, "") => above.to_owned(),
            (above, own) => format!("{above}.{own}"),
        };
        if name.len() > BOUNDS.name * 2 || name.chars().any(unprinted) {
            return Err(thing("a field", "its name is none that a sheet has"));
        }
        acts(&name, &dict)?;
        let kind = dict.name("FT").map(<[u8]>::to_vec).or_else(|| above.kind.clone());
        if kind.as_deref() == Some(b"Sig") {
            return Err(thing(name, "a signature: sign the report, not the sheets"));
        }
        let value = dict.get("V").cloned().or_else(|| above.value.clone());
        let here = Above { name, kind, value };
        let kids = file.list(&dict, "Kids")?;
        let mut named = Vec::new();
        for kid in &kids {
            let Some(kid) = file.dict(Some(kid))? else {
                return Err(thing(here.name, "a field that is missing"));
            };
            let own = kid.get("T").is_some();
            if !own {
                acts(&here.name, &kid)?;
            }
            named.push(own);
        }
        if named.iter().any(|named| *named) {
            if !named.iter().all(|named| *named) || dict.get("V").is_some() {
                return Err(thing(here.name, "a field that is a group of others too"));
            }
            return kids.iter().try_for_each(|kid| self.read(kid, &here, depth + 1));
        }
        for kid in kids {
            if let Value::Ref(object, _) = kid
                && !self.seen.insert(object)
            {
                return Err(Refusal::Cycle { object }.into());
            }
        }
        // A group that has lost its fields is none itself.
        if here.kind.is_none() && dict.name("Subtype") != Some(b"Widget") {
            return Ok(());
        }
        let value = self.value(&here, &dict)?;
        match self.found.insert(here.name.clone(), value) {
            Some(_) => Err(thing(here.name, "two fields of one name")),
            None => Ok(()),
        }
    }

    fn value(&self, field: &Above, dict: &Dict) -> Result<String, Untaken> {
        let name = &field.name;
        if dict.get("RV").is_some() {
            return Err(thing(name, "rich text, which is said twice; type it plainly"));
        }
        let value =
            field.value.as_ref().map_or(Ok(Value::Null), |value| self.file.resolve(value))?;
        match (field.kind.as_deref(), value) {
            (Some(b"Tx" | b"Btn"), Value::Null) => Ok(String::new()),
            (Some(b"Tx"), Value::Text(bytes)) => {
                let text = shown(&bytes);
                let text = text.trim();
                if text.len() > LONGEST {
                    return Err(Refusal::Bound { what: "bytes in a field", most: LONGEST }.into());
                }
                if text.chars().any(unprinted) {
                    return Err(thing(name, "a text of several lines, or signs that do not print"));
                }
                Ok(text.to_owned())
            }
            (Some(b"Btn"), Value::Name(tick)) => match tick.as_slice() {
                b"Off" => Ok(String::new()),
                tick if tick == TICKED.as_bytes() => Ok(TICKED.to_owned()),
                _ => Err(thing(name, "neither ticked nor blank")),
            },
            (Some(b"Tx" | b"Btn"), _) => Err(thing(name, "a value that is no plain text")),
            _ => Err(thing(name, "a kind of field that no sheet has")),
        }
    }

    /// Whatever lies on a page is a field of the form: anything else is seen by a
    /// person and read by nobody.
    fn on_pages(&self) -> Result<(), Untaken> {
        for (nth, (_, _, page)) in pages(self.file)?.into_iter().enumerate() {
            let place = format!("page {}", nth + 1);
            acts(&place, &page)?;
            for note in self.file.list(&page, "Annots")? {
                let Some(dict) = self.file.dict(Some(&note))? else { continue };
                acts(&place, &dict)?;
                if dict.name("Subtype") != Some(b"Widget") {
                    let why = "a comment or a drawing on the page; type it into a field";
                    return Err(thing(place, why));
                }
                let listed = matches!(note, Value::Ref(object, _) if self.seen.contains(&object));
                if !listed {
                    return Err(thing(place, "a field on the page that the form does not list"));
                }
            }
        }
        Ok(())
    }
}

fn acts(name: &str, dict: &Dict) -> Result<(), Untaken> {
    match dict.get("AA").or(dict.get("A")) {
        Some(_) => Err(thing(name, ACTS)),
        None => Ok(()),
    }
}
