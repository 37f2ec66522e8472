//! The pages of a file in order (ISO 32000-1, 7.7.3).

use std::collections::HashSet;

use super::File;
use super::bounds::{BOUNDS, Refusal};
use super::value::{Dict, Value};

/// Number, generation and dictionary of each page.
pub fn pages(file: &File<'_>) -> Result<Vec<(u32, u16, Dict)>, Refusal> {
    let catalog = file.catalog()?;
    let mut found = Vec::new();
    let mut seen = HashSet::new();
    let mut waiting: Vec<(Value, usize)> = Vec::new();
    waiting.extend(catalog.get("Pages").map(|root| (root.clone(), 0)));
    while let Some((node, depth)) = waiting.pop() {
        let Value::Ref(number, generation) = node else {
            return Err(file.broken("a page is not an object by itself"));
        };
        if !seen.insert(number) || depth > BOUNDS.depth {
            return Err(Refusal::Cycle { object: number });
        }
        let Some(dict) = file.dict(Some(&node))? else {
            return Err(file.broken("a page is missing"));
        };
        match dict.name("Type") {
            Some(b"Pages") => {
                let kids = file.list(&dict, "Kids")?;
                waiting.extend(kids.into_iter().rev().map(|kid| (kid, depth + 1)));
            }
            Some(b"Page") => found.push((number, generation, dict)),
            _ => return Err(file.broken("the tree of pages holds something else")),
        }
    }
    Ok(found)
}

/// The edges of a page: left, bottom, right, top, in points.
pub fn media_box(file: &File<'_>, page: &Dict) -> Result<Option<[f64; 4]>, Refusal> {
    let Value::List(edges) = inherited(file, page, "MediaBox")? else {
        return Ok(None);
    };
    let edges: Vec<f64> = edges.iter().filter_map(Value::number).collect();
    Ok(edges.try_into().ok())
}

/// A key of a page that may stand in the tree above it.
pub fn inherited(file: &File<'_>, page: &Dict, key: &str) -> Result<Value, Refusal> {
    let mut node = page.clone();
    for _ in 0..BOUNDS.depth {
        match file.entry(&node, key)? {
            Value::Null => {}
            found => return Ok(found),
        }
        match file.dict(node.get("Parent"))? {
            Some(parent) => node = parent,
            None => break,
        }
    }
    Ok(Value::Null)
}
