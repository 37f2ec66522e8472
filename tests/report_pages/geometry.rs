//! What stands where on a page.

use benchleaf::layout::font::fonts;
use benchleaf::layout::length::Len;
use benchleaf::layout::mark::{Align, Mark, Page, Point, Run};

/// A text and the box of its ink: left, top, right, bottom.
struct Set {
    text: String,
    sides: (Len, Len, Len, Len),
}

/// The texts in the order they are drawn.
pub fn texts(marks: &[Mark]) -> Vec<String> {
    let mut found = Vec::new();
    walk(marks, Point::default(), &mut |mark, _| {
        if let Mark::Run(run) = mark {
            found.push(run.text.to_string());
        }
    });
    found
}

fn walk<'a>(marks: &'a [Mark], by: Point, see: &mut impl FnMut(&'a Mark, Point)) {
    for mark in marks {
        match mark {
            Mark::Stamp { at, stamp } => {
                let by = Point { x: by.x + at.x, y: by.y + at.y };
                walk(&stamp.marks, by, see);
            }
            mark => see(mark, by),
        }
    }
}

/// What is wrong on a page: text over text, text in the margins, type under
/// 7 pt, lines under 0.5 pt.
pub fn faults(page: &Page) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut set = Vec::new();
    walk(&page.marks, Point::default(), &mut |mark, by| {
        let pen = match mark {
            Mark::Run(run) => {
                if run.size < Len::pt(7.0) {
                    wrong.push(format!("small type: {}", run.text));
                }
                set.push(ink(run, by));
                None
            }
            Mark::Line { pen, .. } => Some(*pen),
            Mark::Rect { pen, .. } | Mark::Path { pen, .. } => *pen,
            _ => None,
        };
        if pen.is_some_and(|pen| pen.weight < Len::pt(0.5)) {
            wrong.push("a line under half a point".to_string());
        }
    });
    for (n, one) in set.iter().enumerate() {
        let (left, top, right, bottom) = one.sides;
        let margin = Len::mm(10.0);
        if left < Len::mm(25.0)
            || top < margin
            || right > page.width - margin + Len::mm(0.01)
            || bottom > page.height - margin + Len::mm(0.01)
        {
            wrong.push(format!("in the margin: {}", one.text));
        }
        let over = set[..n].iter().filter(|other| overlap(one, other));
        wrong.extend(over.map(|other| format!("`{}` over `{}`", one.text, other.text)));
    }
    wrong
}

/// From the height of a capital to a little above the depth of a `g`.
fn ink(run: &Run, by: Point) -> Set {
    let width = fonts().width(run.face, run.size, &run.text);
    let (x, y) = (run.at.x + by.x, run.at.y + by.y);
    let left = match run.align {
        Align::Left => x,
        Align::Centre => x - width / 2,
        Align::Right => x - width,
    };
    Set {
        text: run.text.to_string(),
        sides: (left, y - run.size.scale(0.66), left + width, y + run.size.scale(0.18)),
    }
}

fn overlap(a: &Set, b: &Set) -> bool {
    let (a, b) = (a.sides, b.sides);
    a.0 < b.2 && b.0 < a.2 && a.1 < b.3 && b.1 < a.3
}
