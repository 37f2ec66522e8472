//! The fields of a document as a form (ISO 32000-1, 12.7): every field draws its
//! own looks, nothing is left to whoever opens it, and nothing in it acts.

use std::collections::BTreeMap;

use lopdf::{Dictionary, Document as Objects, Object, ObjectId, Stream, dictionary};

use super::form_font;
use super::text::text;
use super::undrawable::Undrawable;
use crate::layout::length::Len;
use crate::layout::mark::{Area, Document, Entry, Face, Field, Mark};

/// Name of the typeface among the form's resources.
const FONT: &str = "F";
/// The name of a ticked box's look.
const ON: &str = "Yes";

// Flags of a field (ISO 32000-1, tables 221 and 228).
const READ_ONLY: i64 = 1;
const NO_SPELLING: i64 = 1 << 22;
const NO_SCROLLING: i64 = 1 << 23;
const COMB: i64 = 1 << 24;
/// Printed, and seen (table 165).
const PRINTED: i64 = 4;

/// Puts the fields of every page into the file and the form into its catalog;
/// nothing where there are none.
///
/// # Errors
/// [`Undrawable`] where the typeface cannot be cut down.
pub fn put(
    objects: &mut Objects,
    catalog: &mut Dictionary,
    document: &Document,
    pages: &[ObjectId],
) -> Result<(), Undrawable> {
    let mut form = Form::default();
    for (page, id) in document.pages.iter().zip(pages) {
        let fields = page.marks.iter().filter_map(|mark| match mark {
            Mark::Field { area, field } => Some((*area, field.as_ref())),
            _ => None,
        });
        let widgets: Vec<Object> =
            fields.map(|place| form.field(objects, (*id, page.height), place).into()).collect();
        if !widgets.is_empty()
            && let Ok(page) = objects.get_dictionary_mut(*id)
        {
            page.set("Annots", widgets);
        }
    }
    if form.tops.is_empty() {
        return Ok(());
    }
    let font = form_font::embed(objects, Face::Regular)?;
    let tops: Vec<Object> = form.tops.iter().map(|id| (*id).into()).collect();
    let form = dictionary! {
        "Fields" => tops,
        "DR" => dictionary! { "Font" => dictionary! { FONT => font } },
        "DA" => Object::string_literal(shown_in(0)),
    };
    catalog.set("AcroForm", objects.add_object(form));
    Ok(())
}

#[derive(Default)]
struct Form {
    tops: Vec<ObjectId>,
    /// Each part of a name that has others below it, by the name up to it.
    nodes: BTreeMap<String, ObjectId>,
}

/// Typeface, size in points and black.
fn shown_in(size: i64) -> String {
    format!("/{FONT} {size} Tf 0 g")
}

/// In hundredths of a point.
fn points(length: Len) -> Object {
    Object::Real(((length.to_pt() * 100.0).round() / 100.0) as f32)
}

impl Form {
    fn field(
        &mut self,
        objects: &mut Objects,
        (page, height): (ObjectId, Len),
        (area, field): (Area, &Field),
    ) -> ObjectId {
        let id = objects.new_object_id();
        let (above, own) = field.name.rsplit_once('.').unwrap_or(("", &field.name));
        let bottom = height - area.y - area.h;
        let seen = !matches!(field.entry, Entry::Fixed(_));
        let edges = [area.x, bottom, area.x + area.w, bottom + area.h];
        let rect: Vec<Object> = match seen {
            true => edges.map(points).to_vec(),
            false => vec![0.into(); 4],
        };
        let mut widget = dictionary! {
            "Type" => "Annot",
            "Subtype" => "Widget",
            "FT" => if field.entry == Entry::Tick { "Btn" } else { "Tx" },
            "T" => text(own),
            "TU" => text(&field.told),
            "F" => PRINTED,
            "Rect" => rect,
            "P" => page,
            "DA" => Object::string_literal(shown_in(size(&field.entry, area))),
        };
        let looks = seen.then(|| self::looks(objects, area, false));
        let plain = NO_SPELLING | NO_SCROLLING;
        match &field.entry {
            Entry::Words => widget.set("Ff", plain),
            Entry::Short => {
                widget.set("Ff", plain);
                widget.set("Q", 1);
            }
            Entry::Letter => {
                widget.set("Ff", plain);
                widget.set("Q", 1);
                widget.set("MaxLen", 1);
            }
            Entry::Cells(count) => {
                widget.set("Ff", plain | COMB);
                widget.set("MaxLen", *count as i64);
            }
            Entry::Tick => {
                let on = self::looks(objects, area, true);
                let off = looks.unwrap_or(on);
                let both = dictionary! { "Off" => off, ON => on };
                widget.set("AP", dictionary! { "N" => both });
                widget.set("V", "Off");
                widget.set("AS", "Off");
            }
            Entry::Fixed(value) => {
                widget.set("Ff", READ_ONLY);
                widget.set("V", text(value));
            }
        }
        if let Some(looks) = looks.filter(|_| field.entry != Entry::Tick) {
            widget.set("AP", dictionary! { "N" => looks });
        }
        match self.node(objects, above) {
            Some(parent) => {
                widget.set("Parent", parent);
                kid(objects, parent, id);
            }
            None => self.tops.push(id),
        }
        objects.set_object(id, widget);
        id
    }

    /// The field above, and those above it.
    fn node(&mut self, objects: &mut Objects, name: &str) -> Option<ObjectId> {
        if name.is_empty() {
            return None;
        }
        if let Some(id) = self.nodes.get(name) {
            return Some(*id);
        }
        let (above, own) = name.rsplit_once('.').unwrap_or(("", name));
        let id = objects.new_object_id();
        let mut node = dictionary! { "T" => text(own), "Kids" => Vec::<Object>::new() };
        match self.node(objects, above) {
            Some(parent) => {
                node.set("Parent", parent);
                kid(objects, parent, id);
            }
            None => self.tops.push(id),
        }
        objects.set_object(id, node);
        self.nodes.insert(name.to_owned(), id);
        Some(id)
    }
}

/// The look of a box of that size: empty, or ticked. Each field has its own, since
/// there are programs that write what was typed over the look that stands there.
fn looks(objects: &mut Objects, area: Area, ticked: bool) -> ObjectId {
    let (wide, tall) = (area.w.to_pt(), area.h.to_pt());
    let content = match ticked {
        true => format!(
            "q 0 G 1 w {:.2} {:.2} m {:.2} {:.2} l {:.2} {:.2} l S Q\n",
            wide * 0.12,
            tall * 0.45,
            wide * 0.38,
            tall * 0.12,
            wide * 0.9,
            tall * 0.9
        ),
        false => "/Tx BMC\nEMC\n".to_owned(),
    };
    let looks = dictionary! {
        "Type" => "XObject",
        "Subtype" => "Form",
        "BBox" => vec![0.into(), 0.into(), points(area.w), points(area.h)],
    };
    objects.add_object(Stream::new(looks, content.into_bytes()))
}

fn kid(objects: &mut Objects, parent: ObjectId, kid: ObjectId) {
    let parent = objects.get_dictionary_mut(parent);
    let kids = parent.and_then(|parent| parent.get_mut(b"Kids")).and_then(Object::as_array_mut);
    if let Ok(kids) = kids {
        kids.push(kid.into());
    }
}

/// Words in a taller box are not made larger.
const TALL: Len = Len::mm(6.0);

/// Points of what is typed; 0 where whoever shows it chooses.
fn size(entry: &Entry, area: Area) -> i64 {
    match entry {
        Entry::Words if area.h > TALL => 9,
        Entry::Cells(_) => 14,
        Entry::Letter => 11,
        Entry::Short => 9,
        Entry::Words | Entry::Tick | Entry::Fixed(_) => 0,
    }
}
