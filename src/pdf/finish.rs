//! Makes a drawn document a PDF/A-3b (ISO 19005-3) of version 1.7.

use std::collections::BTreeMap;
use std::fmt;

use lopdf::{Dictionary, Document as Objects, Object, ObjectId, Stream, dictionary};

use super::attachments::{Prepared, attach};
use super::streams::{Plain, identity, pack_all};
use super::text::{Day, text};
use super::{Pdf, form, outline, xmp};
use crate::layout::mark::Document;

const PROFILE: &[u8] = include_bytes!("../../forms/fonts/sRGB.icc");
const TOOL: &str = env!("CARGO_PKG_NAME");
const PRODUCER: &str = concat!(env!("CARGO_PKG_NAME"), " ", env!("CARGO_PKG_VERSION"));

/// Why a document cannot be made fit for the archive.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unfit {
    /// Two carried files have one name.
    TwiceNamed { name: String },
    /// The document's date is not `YYYY-MM-DD`.
    Date { date: String },
    /// The typeface of its fields cannot be cut down; only a wrong build does
    /// that.
    Form,
    /// The drawn document is not built as expected; only a wrong build does
    /// that.
    Built { missing: &'static str },
}

impl fmt::Display for Unfit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unfit::TwiceNamed { name } => {
                write!(f, "two files to carry are named {name}: rename one")
            }
            Unfit::Date { date } => write!(f, "`{date}` is not a date: write YYYY-MM-DD"),
            Unfit::Form => write!(f, "the typeface of the fields cannot be embedded"),
            Unfit::Built { missing } => write!(f, "the drawn document has no {missing}"),
        }
    }
}

impl std::error::Error for Unfit {}

/// Mends a drawn document to PDF/A-3b and writes it out with the files that it
/// carries. `document` is what it was drawn from: its title, language, labels,
/// bookmarks and date. Without a date the file has none.
///
/// # Errors
/// [`Unfit`] where two files share a name or the date has another form.
pub fn conform(pdf: Pdf, document: &Document, carried: Vec<Prepared>) -> Result<Vec<u8>, Unfit> {
    let mut objects = pdf.objects;
    let day = day(&document.date)?;
    let pages = take_off_specimen(&mut objects)?;
    share_resources(&mut objects, &pages)?;

    let mut catalog = dictionary! {
        "Type" => "Catalog",
        "Pages" => page_tree(&objects)?,
        "Lang" => text(&document.language),
        "ViewerPreferences" => dictionary! { "DisplayDocTitle" => true, "PrintScaling" => "None" },
        "PageLabels" => outline::page_labels(document),
        "OutputIntents" => vec![output_intent(&mut objects).into()],
    };
    if let Some(tree) = outline::bookmarks(&mut objects, document, &pages) {
        catalog.set("Outlines", tree);
        catalog.set("PageMode", "UseOutlines");
    }
    form::put(&mut objects, &mut catalog, document, &pages).map_err(|_| Unfit::Form)?;
    let digests = attach(&mut objects, &mut catalog, carried, day)
        .map_err(|name| Unfit::TwiceNamed { name })?;
    let packet = xmp::packet(document, day, TOOL, PRODUCER);
    catalog.set("Metadata", objects.add_object(metadata(packet)));
    put_catalog(&mut objects, catalog)?;
    put_info(&mut objects, document, day)?;
    Ok(write(objects, digests))
}

fn day(date: &str) -> Result<Option<Day<'_>>, Unfit> {
    if date.is_empty() {
        return Ok(None);
    }
    let wrong = || Unfit::Date { date: date.to_string() };
    Day::new(date).map(Some).ok_or_else(wrong)
}

fn missing(missing: &'static str) -> Unfit {
    Unfit::Built { missing }
}

fn page_tree(objects: &Objects) -> Result<ObjectId, Unfit> {
    let catalog = objects.catalog().map_err(|_| missing("catalog"))?;
    let pages = catalog.get(b"Pages").and_then(Object::as_reference);
    pages.map_err(|_| missing("page tree"))
}

/// Takes off the last page, which was there for its letters, and gives the
/// others.
fn take_off_specimen(objects: &mut Objects) -> Result<Vec<ObjectId>, Unfit> {
    let tree = page_tree(objects)?;
    let tree = objects.get_dictionary_mut(tree);
    let tree = tree.map_err(|_| missing("page tree"))?;
    let kids = tree.get_mut(b"Kids").and_then(Object::as_array_mut);
    let kids = kids.map_err(|_| missing("pages"))?;
    let specimen = kids.pop().ok_or_else(|| missing("specimen"))?;
    let pages: Vec<ObjectId> = kids.iter().flat_map(Object::as_reference).collect();
    tree.set("Count", pages.len() as i64);

    let specimen = specimen.as_reference();
    let page = specimen.ok().and_then(|id| objects.objects.remove(&id));
    let page = page.ok_or_else(|| missing("specimen"))?;
    for key in [b"Contents".as_slice(), b"Resources"] {
        let part = page.as_dict().and_then(|p| p.get(key));
        if let Ok(id) = part.and_then(Object::as_reference) {
            objects.objects.remove(&id);
        }
    }
    Ok(pages)
}

/// Gives all pages one dictionary of resources without empty parts, and the
/// forms the typefaces.
fn share_resources(objects: &mut Objects, pages: &[ObjectId]) -> Result<(), Unfit> {
    let mut shared = Dictionary::new();
    for page in pages {
        let resources = own_resources(objects, *page)?;
        for (kind, part) in &resources {
            let Ok(id) = part.as_reference() else {
                continue;
            };
            match objects.get_dictionary(id).map(Dictionary::is_empty) {
                Ok(true) => drop(objects.objects.remove(&id)),
                Ok(false) => shared.set(kind.clone(), id),
                Err(_) => {}
            }
        }
    }
    if let Ok(typefaces) = shared.get(b"Font").cloned() {
        let forms = shared.get(b"XObject").and_then(Object::as_reference);
        let forms = forms.and_then(|id| objects.get_dictionary(id).cloned());
        for (_, form) in forms.iter().flatten() {
            let form = form.as_reference().and_then(|id| objects.get_object_mut(id));
            if let Ok(form) = form.and_then(Object::as_stream_mut) {
                form.dict.set("Resources", dictionary! { "Font" => typefaces.clone() });
            }
        }
    }
    if shared.is_empty() {
        // A page must name its resources, and an empty list is not allowed.
        shared.set("ProcSet", vec!["PDF".into()]);
    }
    let shared = objects.add_object(shared);
    for page in pages {
        if let Ok(page) = objects.get_dictionary_mut(*page) {
            page.set("Resources", shared);
            page.remove(b"Annots");
        }
    }
    Ok(())
}

/// Takes a page's own dictionary of resources out of the file.
fn own_resources(objects: &mut Objects, page: ObjectId) -> Result<Dictionary, Unfit> {
    let page = objects.get_dictionary(page).map_err(|_| missing("page"))?;
    let id = page.get(b"Resources").and_then(Object::as_reference);
    let found = id.ok().and_then(|id| objects.objects.remove(&id));
    match found {
        Some(Object::Dictionary(resources)) => Ok(resources),
        _ => Err(missing("resources")),
    }
}

fn output_intent(objects: &mut Objects) -> Dictionary {
    let profile = Stream::new(dictionary! { "N" => 3 }, PROFILE.to_vec());
    dictionary! {
        "Type" => "OutputIntent",
        "S" => "GTS_PDFA1",
        "OutputConditionIdentifier" => Object::string_literal("sRGB IEC61966-2.1"),
        "Info" => Object::string_literal("sRGB IEC61966-2.1"),
        "DestOutputProfile" => objects.add_object(profile),
    }
}

/// The packet is kept readable for programs that do not know PDF.
fn metadata(packet: String) -> Stream {
    let dict = dictionary! { "Type" => "Metadata", "Subtype" => "XML" };
    Stream::new(dict, packet.into_bytes()).with_compression(false)
}

fn put_catalog(objects: &mut Objects, catalog: Dictionary) -> Result<(), Unfit> {
    let place = objects.catalog_mut().map_err(|_| missing("catalog"))?;
    *place = catalog;
    Ok(())
}

fn put_info(objects: &mut Objects, document: &Document, day: Option<Day<'_>>) -> Result<(), Unfit> {
    let mut info = dictionary! {
        "Creator" => text(TOOL),
        "Producer" => text(PRODUCER),
    };
    let titles =
        [("Title", &document.title), ("Author", &document.author), ("Subject", &document.subject)];
    for (key, value) in titles.into_iter().filter(|(_, v)| !v.is_empty()) {
        info.set(key, text(value));
    }
    if let Some(day) = day {
        info.set("CreationDate", day.pdf());
        info.set("ModDate", day.pdf());
    }
    let id = objects.trailer.get(b"Info").and_then(Object::as_reference);
    let id = id.map_err(|_| missing("information"))?;
    objects.set_object(id, info);
    Ok(())
}

/// Bytes that an object takes beside the content of its stream: room made
/// beforehand, so that the file is not copied as it grows.
const ABOUT: usize = 300;

fn write(mut objects: Objects, digests: BTreeMap<ObjectId, Plain>) -> Vec<u8> {
    let id = identity(&pack_all(&mut objects, digests));
    objects.trailer.set("ID", vec![id.clone(), id]);
    objects.version = "1.7".to_string();
    let streams = objects.objects.values().filter_map(|object| object.as_stream().ok());
    let long = streams.map(|stream| stream.content.len()).sum::<usize>();
    let mut bytes = Vec::with_capacity(long + ABOUT * objects.objects.len());
    // Writing to memory cannot fail.
    let _ = objects.save_to(&mut bytes);
    bytes
}
