//! The head of every page: which sheet, which job, which limits, which page.

use super::Layout;
use super::plan::Plan;
use crate::layout::canvas::{BOX, Canvas, HEAVY, MINOR, mm};
use crate::layout::font::fonts;
use crate::layout::length::Len;
use crate::layout::mark::{Align, Point};
use crate::layout::paginate::Block;
use crate::layout::qr::{self, Qr};
use crate::layout::style::{CAPTION, NUMBER, SECTION, STRONG, TEXT, TITLE, TextStyle};
use crate::layout::{area, at};

/// Side of the box around the letter.
const LETTER: Len = mm(20.0);
const LETTER_SIZES: [f64; 5] = [36.0, 27.0, 19.0, 13.0, 9.0];
const TITLE_SIZES: [f64; 3] = [19.0, 16.0, 13.0];
/// Room for `page 14 of 31`.
const PAGES: Len = mm(33.0);

/// Draws a head over the width of the page. Its height depends on the texts
/// and not on the page's numbers.
pub fn head(
    lay: &Layout<'_>,
    plan: &Plan<'_>,
    of_sheet: (usize, usize),
    of_set: (usize, usize),
) -> Block {
    let mut canvas = lay.canvas();
    letter_box(&mut canvas, &plan.letter);
    let reference = plan.reference(lay, of_sheet.0);
    let code = lay.desk.code(&reference);
    let side = code.as_ref().map_or(Len::ZERO, |code| code.side);
    let left = code_of_squares(lay, &mut canvas, code, &reference);
    let pages = left - qr::MODULE * qr::QUIET;
    page_numbers(&mut canvas, plan, [of_sheet, of_set], pages);
    let title = titles(lay, &mut canvas, plan, pages - PAGES);
    let height = title.max(LETTER).max(side) + mm(1.2);
    let facts = facts(lay, &mut canvas, plan, height);
    canvas.done(height + facts)
}

fn letter_box(canvas: &mut Canvas<'_>, letter: &str) {
    canvas.rect(area(Len::ZERO, Len::ZERO, LETTER, LETTER), HEAVY);
    let para = TITLE.fitted(&LETTER_SIZES, letter, LETTER - mm(3.0));
    if let [only] = para.lines.as_slice() {
        let cap = fonts().cap_height(para.style.face, para.style.size);
        canvas.word_centre(LETTER / 2, LETTER / 2 + cap / 2, para.style, only);
    } else {
        let top = (LETTER - para.height()) / 2;
        canvas.write_aligned(at(LETTER / 2, top), &para, Align::Centre);
    }
}

/// Puts the code at the right edge with its text left of its foot, below the
/// page numbers; gives back where the free room beside the code ends.
fn code_of_squares(
    lay: &Layout<'_>,
    canvas: &mut Canvas<'_>,
    code: Option<Qr>,
    reference: &str,
) -> Len {
    let right = lay.area.w;
    let Some(code) = code else {
        return right;
    };
    let left = right - code.side;
    canvas.put(code.marks, at(left, Len::ZERO));
    let style = NUMBER.sized(7.0);
    let end = left - qr::MODULE * qr::QUIET;
    canvas.word_right(end, code.side, style, reference);
    left
}

fn page_numbers(
    canvas: &mut Canvas<'_>,
    plan: &Plan<'_>,
    [of_sheet, of_set]: [(usize, usize); 2],
    right: Len,
) {
    let of_all = match plan.valid {
        Some(_) => "of the second stage",
        None => "of the set",
    };
    let lines = match plan.overflow {
        true => vec![(of_sheet, "more for remarks", mm(3.2))],
        false => vec![(of_sheet, "of this sheet", mm(3.2)), (of_set, of_all, mm(10.2))],
    };
    for ((page, all), words, base) in lines {
        let rest = format!(" of {all}");
        canvas.word_right(right, base, TEXT, &rest);
        let x = right - TEXT.width(&rest);
        let number = page.to_string();
        canvas.word_right(x, base, STRONG.sized(12.0), &number);
        let x = x - STRONG.sized(12.0).width(&number);
        canvas.word_right(x, base, TEXT, "page ");
        canvas.word_right(right, base + mm(3.2), CAPTION, words);
    }
}

fn titles(lay: &Layout<'_>, canvas: &mut Canvas<'_>, plan: &Plan<'_>, right: Len) -> Len {
    let x = LETTER + mm(4.0);
    let width = right - x;
    let title = TITLE.fitted(&TITLE_SIZES, plan.title, width);
    let mut y = canvas.write(at(x, -mm(0.4)), &title) + mm(0.8);
    y += canvas.tell(at(x, y), TEXT.sized(9.6), &plan.subtitle, width);
    if let Some((words, code)) = &plan.valid {
        y += valid(canvas, at(x, y + mm(0.8)), words, code);
    }
    if lay.set.head.blind {
        y += boxed(canvas, BLIND, x, y + mm(0.8)) + mm(0.8);
    }
    if let Some(number) = lay.set.head.copy {
        let words = format!("copy {number}, printed again for a lost page");
        y += boxed(canvas, &words, x, y + mm(0.8)) + mm(0.8);
    }
    y
}

/// The code of a second-stage sheet, in a box of its own; gives back its height
/// with the room above.
fn valid(canvas: &mut Canvas<'_>, point: Point, words: &str, code: &str) -> Len {
    let height = mm(6.8);
    let style = STRONG.sized(14.0);
    let base = point.y + mm(4.8);
    let x = canvas.word(point.x + mm(2.0), base, STRONG.sized(8.6), words) + mm(3.0);
    let end = canvas.word(x, base, style, code) + mm(2.0);
    canvas.rect(area(point.x, point.y, end - point.x, height), BOX);
    height + mm(0.8)
}

const BLIND: &str = "blind check: boxes in another order, typed as printed here";

/// What sets a page apart, in a box; gives back the height.
fn boxed(canvas: &mut Canvas<'_>, text: &str, x: Len, y: Len) -> Len {
    let wide = STRONG.width(text) + mm(3.0);
    canvas.rect(area(x, y, wide, mm(5.4)), HEAVY);
    canvas.word(x + mm(1.5), y + mm(3.8), STRONG, text);
    mm(5.4)
}

/// A fact of the head: caption and fact on one line, what goes with it under it.
struct Fact {
    caption: &'static str,
    /// Share of the width.
    share: i32,
    main: (TextStyle, String),
    more: String,
}

fn fact(caption: &'static str, share: i32, main: &str, more: String) -> Fact {
    Fact { caption, share, main: (STRONG, main.to_string()), more }
}

fn facts_of(lay: &Layout<'_>, plan: &Plan<'_>) -> Vec<Fact> {
    let head = &lay.set.head;
    let decimals = match head.decimals {
        1 => "1 decimal".to_string(),
        n => format!("{n} decimals"),
    };
    let limits = format!("{}, revision {}", head.document, head.revision);
    let mut set = fact("Set", 24, &lay.set.number, plan.form.clone());
    set.main.0 = NUMBER.sized(8.6);
    let mut facts = vec![
        fact("Job", 20, &head.job, head.scope.clone()),
        fact("Engine", 49, &head.engine, format!("s/n {}", head.serial)),
        fact("Limits", 41, &head.limits, limits),
        fact("Unit", 15, &head.unit, decimals),
        set,
    ];
    if let Some(number) = plan.number {
        let mut own = fact("Sheet number", 26, number, String::new());
        own.main.0 = NUMBER.sized(15.0);
        facts.push(own);
    }
    facts
}

fn facts(lay: &Layout<'_>, canvas: &mut Canvas<'_>, plan: &Plan<'_>, y: Len) -> Len {
    let facts = facts_of(lay, plan);
    canvas.rule(Len::ZERO, y, lay.area.w, BOX);
    let (mut x, mut height) = (Len::ZERO, Len::ZERO);
    for (fact, width) in facts.iter().zip(widths(&facts, lay.area.w)) {
        let deep = put_fact(canvas, fact, x, y, width - BETWEEN);
        height = height.max(deep);
        x += width;
    }
    canvas.rule(Len::ZERO, y + height + mm(1.2), lay.area.w, MINOR);
    height + mm(1.2)
}

/// Between two facts.
const BETWEEN: Len = mm(1.6);

/// What each takes where all stand on their lines, and its part of what is to
/// spare; else its share of the width.
fn widths(facts: &[Fact], whole: Len) -> Vec<Len> {
    let own: Vec<Len> = facts.iter().map(|fact| fact.width() + BETWEEN).collect();
    let spare = whole + BETWEEN - own.iter().copied().sum::<Len>();
    if spare >= Len::ZERO {
        let count = i32::try_from(facts.len()).unwrap_or(1).max(1);
        return own.into_iter().map(|own| own + spare / count).collect();
    }
    // The long ones give way.
    let is_long = |n: usize| facts[n].share >= LONG;
    let taken = |long: bool| -> Len {
        (0..facts.len()).filter(|n| is_long(*n) == long).map(|n| own[n]).sum()
    };
    let rest = whole + BETWEEN - taken(false);
    let total: i32 = facts.iter().map(|fact| fact.share).sum();
    let width = |n: usize| match (rest >= whole / 3, is_long(n)) {
        (false, _) => whole * facts[n].share / total,
        (true, false) => own[n],
        (true, true) => own[n].scale(rest.to_mm() / taken(true).to_mm()),
    };
    (0..facts.len()).map(width).collect()
}

/// The share of a fact whose text may be long.
const LONG: i32 = 40;

impl Fact {
    /// Where its caption ends.
    fn start(&self) -> Len {
        match self.more.is_empty() {
            // A word a line.
            true => self.caption.split(' ').map(|word| CAPTION.width(word)).max(),
            false => Some(CAPTION.width(self.caption)),
        }
        .unwrap_or_default()
            + mm(1.2)
    }

    /// On as few lines as it can stand.
    fn width(&self) -> Len {
        let (style, text) = &self.main;
        (self.start() + style.width(text)).max(MORE.width(&self.more)) + mm(0.2)
    }
}

const MORE: TextStyle = TEXT.sized(7.8);

fn put_fact(canvas: &mut Canvas<'_>, fact: &Fact, x: Len, y: Len, width: Len) -> Len {
    let top = y + mm(0.8);
    let (style, text) = &fact.main;
    let start = fact.start();
    if fact.more.is_empty() {
        let caption = canvas.tell(at(x, top), CAPTION, fact.caption, start - mm(1.0));
        return mm(0.8) + caption.max(canvas.tell(at(x + start, top), *style, text, width - start));
    }
    canvas.word(x, top + style.ascent, CAPTION, fact.caption);
    let down = mm(0.8) + canvas.tell(at(x + start, top), *style, text, width - start);
    down + canvas.tell(at(x, y + down), MORE, &fact.more, width)
}

/// Head of a numbered section, over the width given.
pub fn section(
    lay: &Layout<'_>,
    number: usize,
    title: &str,
    aside: &str,
    continued: bool,
    width: Len,
) -> Block {
    let mut canvas = lay.canvas();
    let numbered = format!("{number}");
    let indent = mm(5.0).max(SECTION.width(&numbered) + mm(2.0));
    let title = match continued {
        true => format!("{title}, continued"),
        false => title.to_string(),
    };
    let para = SECTION.para(&title, width - indent);
    let base = SECTION.ascent + mm(0.8);
    canvas.word(Len::ZERO, base, SECTION, &numbered);
    let mut height = canvas.write(at(indent, mm(0.8)), &para) + mm(0.8);
    let end = para.lines.last().map_or(Len::ZERO, |line| SECTION.width(line));
    let x = indent + end + mm(3.0);
    let beside = TEXT.width(aside) <= width - x;
    match (aside.is_empty(), beside) {
        (true, _) => {}
        (false, true) => {
            let base = height - SECTION.leading + SECTION.ascent;
            canvas.word(x, base, TEXT, aside);
        }
        (false, false) => height += canvas.tell(at(indent, height), TEXT, aside, width - indent),
    }
    canvas.rule(Len::ZERO, Len::ZERO, width, MINOR);
    canvas.done(height + mm(0.6))
}
