//! The bookmark tree and the page labels.

use lopdf::{Dictionary, Document as Objects, Object, ObjectId, dictionary};

use super::text::text;
use crate::layout::mark::{Bookmark, Document};

/// A bookmark in its place in the tree.
struct Entry<'a> {
    id: ObjectId,
    mark: &'a Bookmark,
    parent: Option<usize>,
    children: Vec<usize>,
}

/// Adds the tree and gives its root, or `None` without bookmarks. The first
/// level stands open, so that it shows its children; those are closed. A
/// bookmark to a page that is not there is left out.
pub fn bookmarks(
    objects: &mut Objects,
    document: &Document,
    pages: &[ObjectId],
) -> Option<ObjectId> {
    let entries = tree(objects, document, pages.len());
    let tops: Vec<usize> = (0..entries.len()).filter(|i| entries[*i].parent.is_none()).collect();
    let (first, last) = (*tops.first()?, *tops.last()?);
    let root = objects.new_object_id();
    for entry in &entries {
        let siblings = match entry.parent {
            Some(parent) => &entries[parent].children,
            None => &tops,
        };
        let parent = entry.parent.map_or(root, |p| entries[p].id);
        let item = item(entry, &entries, siblings, parent, document, pages);
        objects.set_object(entry.id, item);
    }
    let seen: usize = tops.iter().map(|t| 1 + entries[*t].children.len()).sum();
    let tree = dictionary! {
        "Type" => "Outlines",
        "First" => entries[first].id,
        "Last" => entries[last].id,
        "Count" => seen as i64,
    };
    objects.set_object(root, tree);
    Some(root)
}

fn tree<'a>(objects: &mut Objects, document: &'a Document, pages: usize) -> Vec<Entry<'a>> {
    let mut entries: Vec<Entry<'a>> = Vec::new();
    // The last bookmark of each level above the one in hand.
    let mut above: Vec<usize> = Vec::new();
    for mark in document.bookmarks.iter().filter(|m| m.page < pages) {
        while above.last().is_some_and(|i| entries[*i].mark.level >= mark.level) {
            above.pop();
        }
        let parent = above.last().copied();
        let here = entries.len();
        if let Some(parent) = parent {
            entries[parent].children.push(here);
        }
        above.push(here);
        entries.push(Entry { id: objects.new_object_id(), mark, parent, children: Vec::new() });
    }
    entries
}

fn item(
    entry: &Entry<'_>,
    entries: &[Entry<'_>],
    siblings: &[usize],
    parent: ObjectId,
    document: &Document,
    pages: &[ObjectId],
) -> Dictionary {
    let page = entry.mark.page;
    let top = document.pages[page].height.to_pt() as f32;
    let left_as_it_is = Object::Null;
    let mut item = dictionary! {
        "Title" => text(&entry.mark.title),
        "Parent" => parent,
        "Dest" => vec![
            pages[page].into(), "XYZ".into(), left_as_it_is, top.into(), Object::Null,
        ],
    };
    let here = siblings.iter().position(|i| entries[*i].id == entry.id);
    let at = here.unwrap_or_default();
    if let Some(before) = at.checked_sub(1).and_then(|i| siblings.get(i)) {
        item.set("Prev", entries[*before].id);
    }
    if let Some(after) = siblings.get(at + 1) {
        item.set("Next", entries[*after].id);
    }
    if let (Some(first), Some(last)) = (entry.children.first(), entry.children.last()) {
        let count = entry.children.len() as i64;
        let open = entry.parent.is_none();
        item.set("First", entries[*first].id);
        item.set("Last", entries[*last].id);
        item.set("Count", if open { count } else { -count });
    }
    item
}

/// Labels each page with what is printed on it (ISO 32000-1, 12.4.2).
pub fn page_labels(document: &Document) -> Dictionary {
    let mut labels = Vec::new();
    for (at, page) in document.pages.iter().enumerate() {
        labels.push(Object::Integer(at as i64));
        labels.push(dictionary! { "P" => text(&page.label) }.into());
    }
    dictionary! { "Nums" => labels }
}
