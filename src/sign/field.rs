//! The fields of the form that hold the signatures. The first signer makes one
//! for everybody: later signers fill theirs in, which the first allows.

use std::collections::BTreeMap;

use super::appearance::points;
use super::increment::Increment;
use super::types::{Placement, Places, SignError};
use crate::layout::length::Len;
use crate::pdf::File;
use crate::pdf::read::value::{Dict, Value, text};
use crate::pdf::read::{Field, media_box, pages};

/// How far two edges of one place may lie apart, in points.
const NEAR: f64 = 0.02;

/// Makes the form with the first signer's field and empty ones for the others.
/// `filled` is the signature and how it looks.
pub fn make(
    file: &File<'_>,
    increment: &mut Increment<'_>,
    places: &Places<'_>,
    mut taken: Vec<String>,
    filled: (&Value, &Value),
) -> Result<(), SignError> {
    let pages = pages(file)?;
    // Page by number, with what is put on it.
    let mut changed: BTreeMap<usize, Vec<Value>> = BTreeMap::new();
    let mut made = Vec::new();
    for (at, place) in std::iter::once(&places.own).chain(places.later).enumerate() {
        let Some((number, generation, page)) = pages.get(place.page) else {
            return Err(SignError::Page { page: place.page, pages: pages.len() });
        };
        let name = free_name(&taken);
        let mut widget = Dict::default()
            .with("Type", "Annot")
            .with("Subtype", "Widget")
            .with("FT", "Sig")
            .with("T", text(&name))
            .with("P", Value::Ref(*number, *generation))
            .with("Rect", edges(file, page, place)?.map(points).to_vec())
            // Print and Locked (ISO 32000-1, table 165).
            .with("F", 4 | 128);
        taken.push(name);
        if at == 0 {
            put_in(&mut widget, filled);
        } else {
            let blank = increment.add_stream(blank(place), b"");
            widget.set("AP", Dict::default().with("N", blank).into());
        }
        let widget = increment.add(widget);
        changed.entry(place.page).or_default().push(widget.clone());
        made.push(widget);
    }
    for (page, widgets) in changed {
        let (number, generation, dict) = &pages[page];
        let mut annotations = file.list(dict, "Annots")?;
        annotations.extend(widgets);
        let dict = dict.clone().with("Annots", annotations);
        increment.put(*number, *generation, &dict.into());
    }
    enter(file, increment, made, filled.0)
}

/// A place that shows nothing yet: a widget must have a look in PDF/A.
fn blank(place: &Placement) -> Dict {
    let edges = [Len::ZERO, Len::ZERO, place.area.w, place.area.h].map(points);
    Dict::default().with("Type", "XObject").with("Subtype", "Form").with("BBox", edges.to_vec())
}

fn put_in(widget: &mut Dict, (signature, look): (&Value, &Value)) {
    widget.set("V", signature.clone());
    widget.set("AP", Dict::default().with("N", look.clone()).into());
}

/// Enters the fields in the form, and the first signature in the catalog as
/// the one that says what may still change.
fn enter(
    file: &File<'_>,
    increment: &mut Increment<'_>,
    made: Vec<Value>,
    signature: &Value,
) -> Result<(), SignError> {
    let mut catalog = file.catalog()?;
    let mut form = file.dict(catalog.get("AcroForm"))?.unwrap_or_default();
    let mut fields = file.list(&form, "Fields")?;
    fields.extend(made);
    form.set("Fields", fields.into());
    // Signatures exist, and the file may only be added to (table 219).
    form.set("SigFlags", Value::Int(3));
    catalog.set("AcroForm", increment.add(form));
    let allowed = Dict::default().with("DocMDP", signature.clone());
    catalog.set("Perms", allowed.into());
    let Some(Value::Ref(root, generation)) = file.trailer().get("Root") else {
        return Err(file.broken("its catalog is missing").into());
    };
    increment.put(*root, *generation, &catalog.into());
    Ok(())
}

/// Fills in the empty field that lies at a place.
pub fn fill(
    file: &File<'_>,
    increment: &mut Increment<'_>,
    place: &Placement,
    fields: &[Field],
    filled: (&Value, &Value),
) -> Result<(), SignError> {
    let pages = pages(file)?;
    let Some((number, _, page)) = pages.get(place.page) else {
        return Err(SignError::Page { page: place.page, pages: pages.len() });
    };
    let wanted = edges(file, page, place)?.map(Len::to_pt);
    for field in fields.iter().filter(|field| field.signature.is_none()) {
        let Some(object) = field.object else { continue };
        let here = Value::Ref(object, 0);
        let Some(mut widget) = file.dict(Some(&here))? else {
            continue;
        };
        let on_page = matches!(widget.get("P"), Some(Value::Ref(n, _)) if n == number);
        let edges = file.list(&widget, "Rect")?;
        let edges: Vec<f64> = edges.iter().filter_map(Value::number).collect();
        let mut pairs = edges.iter().zip(wanted);
        let near = edges.len() == 4 && pairs.all(|(a, b)| (a - b).abs() < NEAR);
        if on_page && near {
            put_in(&mut widget, filled);
            increment.put(object, 0, &widget.into());
            return Ok(());
        }
    }
    Err(SignError::NoPlace)
}

fn free_name(taken: &[String]) -> String {
    let mut number = taken.len() + 1;
    loop {
        let name = format!("Signature {number}");
        if !taken.contains(&name) {
            return name;
        }
        number += 1;
    }
}

/// A place's edges on its page, whose origin is below: left, bottom, right,
/// top.
fn edges(file: &File<'_>, page: &Dict, place: &Placement) -> Result<[Len; 4], SignError> {
    let [left, _, _, top] = media_box(file, page)?.unwrap_or_default();
    let (left, top) = (Len::pt(left), Len::pt(top));
    let area = place.area;
    Ok([left + area.x, top - area.y - area.h, left + area.x + area.w, top - area.y])
}
