//! Worksheets on pages: nothing lost, nothing cut, nothing on top of another.

mod fields;
pub mod job;
mod kept;
mod limits;
mod remarks;

use std::collections::BTreeMap;

use benchleaf::diag::Diags;
use benchleaf::layout::font::fonts;
use benchleaf::layout::length::Len;
use benchleaf::layout::mark::{Align, Area, Document, Mark, Run};
use benchleaf::model::job::Paper;
use benchleaf::pages::worksheet::{Filled, lay_filled, lay_sheets};
use benchleaf::sheet::{Pages, SheetBlock, SheetSet};

use crate::families::made::Made;
use crate::report_pages::geometry::{faults, texts};

const ENGINES: [&str; 3] = ["demo", "six-mm", "two-in"];

fn laid(set: &SheetSet, only: Option<&[String]>) -> (Document, Pages) {
    let mut out = Diags::new();
    let laid = lay_sheets(set, only, &mut out);
    assert!(out.is_empty(), "{out:#?}");
    laid.expect("nothing is lacking")
}

fn told(set: &SheetSet) -> Vec<String> {
    let mut out = Diags::new();
    assert!(lay_sheets(set, None, &mut out).is_none());
    out.iter().map(|diag| diag.message.clone()).collect()
}

fn clean(document: &Document) {
    let wrong: BTreeMap<&str, Vec<String>> = document
        .pages
        .iter()
        .map(|page| (page.label.as_str(), faults(page)))
        .filter(|(_, faults)| !faults.is_empty())
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn nothing_overlaps_or_leaves_the_paper() {
    for engine in ENGINES {
        let mut set = job::set(engine);
        for paper in [Paper::A4, Paper::Letter] {
            set.head.paper = paper;
            let (document, _) = laid(&set, None);
            // ISO 216 A4; ANSI/ASME Y14.1 size A.
            let size = match paper {
                Paper::A4 => (Len::mm(210.0), Len::mm(297.0)),
                Paper::Letter => (Len::mm(215.9), Len::mm(279.4)),
            };
            assert!(document.pages.iter().all(|page| (page.width, page.height) == size));
            clean(&document);
        }
    }
}

#[test]
fn every_row_and_item_is_on_a_page_of_its_sheet() {
    for engine in ENGINES {
        let set = job::set(engine);
        let (document, pages) = laid(&set, None);
        let mut firsts = document.bookmarks.iter().skip(1);
        for sheet in &set.sheets {
            let first = firsts.next().expect("a bookmark a sheet");
            assert_eq!(document.pages[first.page].label, pages.sheet(&sheet.letter));
            for row in sheet.lines().flat_map(|line| &line.rows) {
                let page: usize = pages.row(&row.code).parse().expect("a page");
                let found = texts(&document.pages[page - 1].marks);
                assert!(found.iter().any(|text| text.starts_with(&*row.code)), "{}", row.code);
            }
            for number in items(&sheet.blocks) {
                let page: usize = pages.item(&sheet.letter, number).parse().expect("a page");
                let found = texts(&document.pages[page - 1].marks);
                assert!(found.contains(&format!("{number}.")), "{} {number}", sheet.letter);
            }
        }
        assert_eq!(firsts.next(), None);
    }
}

fn items(blocks: &[SheetBlock]) -> Vec<u32> {
    let numbers = blocks.iter().map(|block| match block {
        SheetBlock::Renew { items, .. } => items.iter().map(|item| item.number).collect(),
        _ => block.items().iter().map(|item| item.number).collect(),
    });
    numbers.collect::<Vec<Vec<u32>>>().concat()
}

#[test]
fn every_page_says_which_it_is_and_where_it_belongs() {
    let set = job::set("demo");
    let (document, _) = laid(&set, None);
    let total = document.pages.len();
    for (n, page) in document.pages.iter().enumerate() {
        let found = texts(&page.marks);
        assert_eq!(page.label, (n + 1).to_string());
        assert!(found.contains(&page.label), "{}", page.label);
        assert!(found.contains(&format!(" of {total}")), "{}", page.label);
        let reference = format!("{}/", set.number);
        assert!(found.iter().any(|text| text.starts_with(&reference)), "{}", page.label);
        let holes = page.marks.iter().filter_map(|mark| match mark {
            Mark::Stamp { at, stamp } if stamp.name == "hole" => Some(at.y),
            _ => None,
        });
        let holes: Vec<Len> = holes.collect();
        // ISO 838: two holes 80 mm apart.
        assert_eq!(holes[1] - holes[0], Len::mm(80.0));
    }
}

#[test]
fn chosen_sheets_keep_the_numbers_of_the_set() {
    let set = job::set("demo");
    let (whole, _) = laid(&set, None);
    let (some, _) = laid(&set, Some(&["T".to_string()]));
    let labels: Vec<&str> = some.pages.iter().map(|page| page.label.as_str()).collect();
    assert!(!labels.is_empty());
    for page in &some.pages {
        assert!(whole.pages.contains(page), "{}", page.label);
    }
    assert_eq!(some.bookmarks.len(), 1);
    let mut out = Diags::new();
    let unknown = ["QQ".to_string()];
    assert!(lay_sheets(&set, Some(&unknown), &mut out).is_none());
    assert_eq!(out.iter().next().map(|diag| diag.message.as_str()), Some("no sheet QQ in the set"));
}

/// A name of two hundred letters, with words and with one that has no end.
fn long(name: &str) -> String {
    let words =
        format!("{name} of the oil pump's drive housing in the accessory case, left side, ");
    let endless = "Ausgleichsgewichtslagerdeckel".repeat(8);
    format!("{words}{endless}").chars().take(200).collect()
}

/// Names at the head and the foot of every page as long as a name can be.
fn long_heads() -> SheetSet {
    let mut set = job::set("demo");
    let head = &mut set.head;
    let texts = [&mut head.engine, &mut head.serial, &mut head.shop, &mut head.document];
    texts.into_iter().for_each(|text| *text = long(text));
    for person in &mut set.index.people {
        person.name = long(&person.name);
        person.role = long(&person.role);
    }
    set.index.gauges.iter_mut().for_each(|gauge| gauge.what = long(&gauge.what));
    set
}

fn long_titles() -> SheetSet {
    let mut set = job::set("demo");
    for sheet in &mut set.sheets {
        sheet.title = long(&sheet.title);
        sheet.subtitle = sheet.subtitle.as_deref().map(long);
        sheet.signs.iter_mut().for_each(|sign| sign.caption = long(&sign.caption));
    }
    set
}

fn long_bodies() -> SheetSet {
    let mut set = job::set("demo");
    let blocks = set.sheets.iter_mut().flat_map(|sheet| &mut sheet.blocks);
    blocks.for_each(stretch);
    set
}

fn stretch(block: &mut SheetBlock) {
    match block {
        SheetBlock::Marks(marks) => {
            marks.title = long(&marks.title);
            marks.columns.iter_mut().for_each(|(_, name)| *name = long(name));
            marks.items.iter_mut().for_each(|item| item.text = long(&item.text));
        }
        SheetBlock::Write { title, columns, items, .. } => {
            *title = long(title);
            columns.iter_mut().for_each(|(_, name)| *name = long(name));
            items.iter_mut().for_each(|item| item.text = long(&item.text));
        }
        SheetBlock::Table(table) => {
            table.title = long(&table.title);
            table.heads.iter_mut().for_each(|column| column.head = long(&column.head));
            table.items.iter_mut().for_each(|item| item.text = long(&item.text));
        }
        SheetBlock::Renew { title, items, .. } => {
            *title = long(title);
            items.iter_mut().for_each(|item| item.name = long(&item.name));
        }
        SheetBlock::Measure(measure) => {
            measure.title = long(&measure.title);
            for line in &mut measure.lines {
                line.name = long(&line.name);
                line.agreed = Some(long("maker's letter"));
                line.with = line.with.as_deref().map(long);
                line.rows.iter_mut().for_each(|row| {
                    row.name = long(&row.name);
                    row.reach = row.reach.as_deref().map(long);
                });
                line.groups.iter_mut().for_each(|group| group.hint = long(&group.hint));
            }
        }
        SheetBlock::Caution(text) | SheetBlock::Note(text) => *text = long(text),
    }
}

#[test]
fn names_of_two_hundred_letters_wrap_and_are_not_cut() {
    for mut set in [long_heads(), long_titles(), long_bodies()] {
        for paper in [Paper::A4, Paper::Letter] {
            set.head.paper = paper;
            let (document, _) = laid(&set, None);
            clean(&document);
            let all: String = document.pages.iter().flat_map(|page| texts(&page.marks)).collect();
            let all = all.replace(' ', "");
            let whole = |text: &str| assert!(all.contains(&text.replace(' ', "")), "{text}");
            whole(&set.head.engine);
            for sheet in &set.sheets {
                whole(&sheet.title);
                sheet.lines().flat_map(|line| &line.rows).for_each(|row| whole(&row.name));
            }
        }
    }
}

#[test]
fn a_letter_that_no_typeface_has_is_named_with_its_place() {
    let mut set = job::set("demo");
    set.sheets[0].title = "受領".to_string();
    let told = told(&set);
    let named =
        |letter: &str| told.iter().any(|wrong| wrong.contains(letter) && wrong.contains("page 3"));
    assert!(named("U+53D7"), "{told:#?}");
}

#[test]
fn a_text_taller_than_a_page_is_a_fault() {
    let mut set = job::set("demo");
    let text = "a caution without an end ".repeat(900);
    set.sheets[0].blocks.insert(0, SheetBlock::Caution(text));
    let told = told(&set);
    assert!(told[0].contains("taller than a page"), "{told:?}");
}

#[test]
fn a_copy_says_so_on_every_page() {
    let mut set = job::set("two-in");
    set.head.copy = Some(2);
    let (document, _) = laid(&set, None);
    for page in &document.pages {
        let found = texts(&page.marks);
        assert!(found.iter().any(|text| text.starts_with("copy 2")), "{}", page.label);
    }
}

/// A sheet of several pages has lines for remarks on each.
#[test]
fn remarks_of_an_example_are_written_once() {
    let set = job::set("demo");
    let remark = |letter: &str| format!("seen{letter}");
    let each = set.sheets.iter().map(|sheet| {
        let of = format!("sheet {}", sheet.letter);
        ((of, "remarks".to_string()), vec![Some(remark(&sheet.letter))])
    });
    let filled: Filled = each.collect();
    let (document, _) = lay_filled(&set, None, Some(&filled), &mut Diags::new()).expect("laid");
    let all: Vec<String> = document.pages.iter().flat_map(|page| texts(&page.marks)).collect();
    for sheet in &set.sheets {
        let written = all.iter().filter(|text| **text == remark(&sheet.letter));
        assert_eq!(written.count(), 1, "sheet {}", sheet.letter);
    }
}

/// The names of results that are worked out stand beside boxes, not in them.
#[test]
fn names_of_results_keep_off_the_boxes() {
    let mut seen = 0;
    for engine in ENGINES {
        let mut set = job::set(engine);
        // Barrels of three planes that are judged by both ends of the fit.
        let lines = set.sheets.iter().flat_map(|sheet| sheet.lines());
        let both = lines.map(|line| line.answers.clone()).find(|answers| {
            answers.len() == 2 && answers.iter().any(|answer| answer.label == "tightest")
        });
        let both = both.expect("a fit with two ends");
        for block in set.sheets.iter_mut().flat_map(|sheet| &mut sheet.blocks) {
            let SheetBlock::Measure(measure) = block else { continue };
            for line in &mut measure.lines {
                if line.answers.iter().any(|answer| answer.side) {
                    line.answers.clone_from(&both);
                }
            }
        }
        let papers = [Paper::A4, Paper::Letter].map(|paper| {
            set.head.paper = paper;
            laid(&set, None).0.pages
        });
        for page in papers.iter().flatten() {
            let mut boxes = rects(&page.marks);
            boxes.retain(|area| area.h > Len::mm(5.0));
            for run in named(&page.marks, "tightest") {
                seen += 1;
                let width = fonts().width(run.face, run.size, &run.text);
                let (left, right) = match run.align {
                    Align::Right => (run.at.x - width, run.at.x),
                    _ => (run.at.x, run.at.x + width),
                };
                let over = |area: &&Area| {
                    let (x, y) = (area.x + area.w, area.y + area.h);
                    let across = left - Len::mm(0.5) < x && area.x < right;
                    let (top, foot) = (run.at.y - run.size / 2, run.at.y + Len::mm(0.8));
                    across && area.y < foot && top < y
                };
                assert_eq!(boxes.iter().find(over), None, "{engine}, page {}", page.label);
            }
        }
    }
    assert!(seen > 20, "{seen}");
}

fn rects(marks: &[Mark]) -> Vec<Area> {
    let own = |mark: &Mark| match mark {
        Mark::Rect { area, fill: false, .. } => vec![*area],
        Mark::Stamp { at, stamp } => {
            let moved = |area: Area| Area { x: area.x + at.x, y: area.y + at.y, ..area };
            rects(&stamp.marks).into_iter().map(moved).collect()
        }
        _ => Vec::new(),
    };
    marks.iter().flat_map(own).collect()
}

fn named<'a>(marks: &'a [Mark], text: &str) -> Vec<&'a Run> {
    let runs = marks.iter().filter_map(|mark| match mark {
        Mark::Run(run) if &*run.text == text => Some(run),
        _ => None,
    });
    runs.collect()
}

/// Paper is not free: the design asks for 38 pages of A4 and 40 of Letter at the
/// most, and for no comb smaller than 5.6 by 8.6 mm a cell.
#[test]
fn the_demonstration_takes_38_pages() {
    let mut set = job::set("demo");
    for (paper, most) in [(Paper::A4, 38), (Paper::Letter, 40)] {
        set.head.paper = paper;
        let (document, _) = laid(&set, None);
        assert!(document.pages.len() <= most, "{paper}: {}", document.pages.len());
        assert!(combs_are_whole(&document) > 400, "{paper}");
    }
}

/// The same of a radial of nine with a figure in every limit: 56 pages of A4.
#[test]
fn a_radial_of_nine_takes_56_pages() {
    let (_, mut set) = Made::of("radial --cylinders 9").expanded();
    set.head.paper = Paper::A4;
    let (document, _) = laid(&set, None);
    assert!(document.pages.len() <= 56, "{}", document.pages.len());
    assert!(combs_are_whole(&document) > 800);
}

/// How many combs there are, none of them with a cell smaller than it must be.
fn combs_are_whole(document: &Document) -> usize {
    let marks = document.pages.iter().flat_map(|page| &page.marks);
    let combs = marks.filter_map(|mark| match mark {
        Mark::Stamp { stamp, .. } if stamp.name.starts_with("comb-") => Some(stamp),
        _ => None,
    });
    let mut seen = 0;
    for comb in combs {
        seen += 1;
        assert_eq!(comb.size.1, Len::mm(8.6), "{}", comb.name);
        for area in rects(&comb.marks) {
            let cells = area.w.um() / Len::mm(5.6).um();
            let over = area.w - Len::mm(5.6) * cells;
            assert!(cells > 0 && over < Len::mm(0.6), "{}: {area:?}", comb.name);
        }
    }
    seen
}

/// The last page of a sheet is no scrap: every page has something to write in, and
/// none has roundness alone, which is only worked out.
#[test]
fn sheets_break_evenly() {
    let mut set = job::set("demo");
    for paper in [Paper::A4, Paper::Letter] {
        set.head.paper = paper;
        let (_, pages) = laid(&set, None);
        for sheet in &set.sheets {
            let lines = sheet.lines().filter(|line| line.has_boxes());
            let rows = lines.flat_map(|line| &line.rows).map(|row| pages.row(&row.code));
            let items = items(&sheet.blocks).into_iter();
            let items = items.map(|number| pages.item(&sheet.letter, number));
            let used: Vec<&str> = rows.chain(items).collect();
            let own = pages.printed().iter().filter(|page| page.sheet == sheet.letter);
            for page in own {
                assert!(
                    used.contains(&page.page.as_str()),
                    "{paper}: {} {}",
                    sheet.letter,
                    page.page
                );
            }
        }
    }
}
