//! The boxes for figures and where they stand on paper, from laying the sheets
//! again: they are the fields of a set that is filled in on a screen.

use crate::diag::Diags;
use crate::judge::BoxKind;
use crate::layout::mark::{Area, Entry, Mark, Page};
use crate::model::job::Paper;
use crate::model::side::Group;
use crate::pages::worksheet::lay_fields;
use crate::scan::Cell;
use crate::scan::place::Printed;
use crate::sheet::SheetSet;
use crate::sheet::fields::{DECIMALS, WHOLE};
use std::collections::BTreeMap;

/// A box of a row.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct BoxName {
    pub row: String,
    pub group: Group,
    /// From 0.
    pub index: usize,
}

/// A box for a figure on a printed page.
#[derive(Clone, Debug)]
pub struct FigureBox {
    pub name: BoxName,
    /// In words: `C3 bore 2`.
    pub told: String,
    /// All of it: left, top, width and height in millimetres.
    pub area: (f64, f64, f64, f64),
    /// Cells before the point and behind it; one for a sign is not among them.
    pub whole: Vec<Cell>,
    pub decimals: Vec<Cell>,
}

/// A printed page with boxes for figures.
#[derive(Clone, Debug)]
pub struct BoxedPage {
    /// As printed.
    pub label: String,
    /// The text of its code.
    pub reference: String,
    pub sheet: String,
    pub printed: Printed,
    pub boxes: Vec<FigureBox>,
}

/// All pages with boxes for figures, on the job's own paper and on the other.
/// `None` with the faults in `out`.
pub fn boxed_pages(set: &SheetSet, out: &mut Diags) -> Option<[Vec<BoxedPage>; 2]> {
    let own = set.head.paper;
    let shapes = shapes(set);
    let on = |paper: Paper, out: &mut Diags| {
        let mut set = set.clone();
        set.head.paper = paper;
        // A copy has a line more at its head, and nothing else.
        set.head.copy = None;
        let (document, places) = lay_fields(&set, None, out)?;
        let pages = document.pages.iter().zip(places.printed());
        let found = pages.filter_map(|(page, printed)| {
            let boxes = boxes(&shapes, page);
            let lines = Printed::of(page).filter(|_| !boxes.is_empty())?;
            Some(BoxedPage {
                label: printed.page.clone(),
                reference: printed.reference.clone(),
                sheet: printed.sheet.clone(),
                printed: lines,
                boxes,
            })
        });
        Some(found.collect())
    };
    // What has no room on the other paper is on none of its pages.
    let other = on(own.other(), &mut Diags::new()).unwrap_or_default();
    Some([on(own, out)?, other])
}

fn boxes(shapes: &Shapes<'_>, page: &Page) -> Vec<FigureBox> {
    let mut found: BTreeMap<BoxName, FigureBox> = BTreeMap::new();
    for mark in &page.marks {
        let Mark::Field { area, field } = mark else { continue };
        let Entry::Cells(count) = field.entry else { continue };
        let Some((name, part)) = named(&field.name) else { continue };
        let shape = shapes.get(&(name.row.as_str(), name.group));
        let Some(&(signed, several)) = shape else { continue };
        let mut cells = cells(*area, count);
        if signed && part == WHOLE {
            cells.remove(0);
        }
        let there = found.entry(name.clone()).or_insert_with(|| FigureBox {
            told: told(&name, several),
            name,
            area: bounds(*area),
            whole: Vec::new(),
            decimals: Vec::new(),
        });
        there.area = joined(there.area, bounds(*area));
        match part {
            WHOLE => there.whole = cells,
            _ => there.decimals = cells,
        }
    }
    let mut boxes: Vec<FigureBox> = found.into_values().collect();
    boxes.sort_by(|a, b| a.area.1.total_cmp(&b.area.1).then(a.area.0.total_cmp(&b.area.0)));
    boxes
}

/// `C2.bore.1.whole`; a row's code may have points of its own.
fn named(field: &str) -> Option<(BoxName, &str)> {
    let (rest, part) = field.rsplit_once('.')?;
    let (rest, number) = rest.rsplit_once('.')?;
    let (row, key) = rest.rsplit_once('.')?;
    let index = number.parse::<usize>().ok()?.checked_sub(1)?;
    let name = BoxName { row: row.to_owned(), group: Group::named(key)?, index };
    [WHOLE, DECIMALS].contains(&part).then_some((name, part))
}

/// Of each side whether the first cell takes a sign, and whether it has several boxes.
type Shapes<'a> = BTreeMap<(&'a str, Group), (bool, bool)>;

fn shapes(set: &SheetSet) -> Shapes<'_> {
    let sides = set.rows().flat_map(|at| at.line.own().map(move |group| (at.row, group)));
    let combs = sides.filter_map(|(row, group)| match group.shape {
        BoxKind::Comb { signed, .. } => {
            Some(((row.code.as_str(), group.key), (signed, group.labels.len() > 1)))
        }
        BoxKind::Marks { .. } | BoxKind::Words => None,
    });
    combs.collect()
}

fn told(name: &BoxName, several: bool) -> String {
    let BoxName { row, group, index } = name;
    if several { format!("{row} {group} {}", index + 1) } else { format!("{row} {group}") }
}

fn bounds(area: Area) -> (f64, f64, f64, f64) {
    (area.x.to_mm(), area.y.to_mm(), area.w.to_mm(), area.h.to_mm())
}

type Bounds = (f64, f64, f64, f64);

fn joined(a: Bounds, b: Bounds) -> Bounds {
    let (x, y) = (a.0.min(b.0), a.1.min(b.1));
    let (right, low) = ((a.0 + a.2).max(b.0 + b.2), (a.1 + a.3).max(b.1 + b.3));
    (x, y, right - x, low - y)
}

fn cells(area: Area, count: usize) -> Vec<Cell> {
    let (x, y, w, h) = bounds(area);
    let w = w / count.max(1) as f64;
    (0..count).map(|n| Cell { x: x + w * n as f64, y, w, h }).collect()
}
