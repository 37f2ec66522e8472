//! Tags for parts set aside: what the record says of each, and room to write
//! what becomes of it. The two kinds are told apart by their bands, hatched
//! and black, also on a photocopy.

use super::position::{self, GUTTER, hole};
use crate::analysis::{Aside, Disposition};
use crate::diag::Diags;
use crate::layout::canvas::{BOX, Canvas, DASHED, HAIR, HEAVY, MINOR, mm};
use crate::layout::length::Len;
use crate::layout::mark::{Align, Document, Mark, Run};
use crate::layout::paginate::Block;
use crate::layout::style::{CAPTION, STRONG, TEXT, TITLE};
use crate::layout::{area, at};
use crate::pages::boxes::{CELL_H, DATE, INITIALS, TICK};
use crate::pages::worksheet::Layout;
use crate::sheet::SheetSet;

/// No tag is shorter: three rows of them on either paper where little is said.
const LEAST: Len = mm(64.0);
/// Of the band that says what the tag is.
const BAND: Len = mm(10.0);
/// Where the words begin: right of the hole.
const LEFT: Len = mm(16.0);
const EDGE: Len = mm(3.2);
/// Room for the captions.
const CAPTIONS: Len = mm(15.0);
const CODES: [f64; 4] = [30.0, 26.0, 20.0, 15.0];
const PARTS: [f64; 3] = [12.0, 10.0, 8.2];

/// Pages of quarantine and scrap tags, two abreast. `None` with the faults in
/// `out`.
pub fn lay_aside(set: &SheetSet, parts: &[Aside], out: &mut Diags) -> Option<Document> {
    let words = ["Parts set aside", "cut along the dashed lines; wire each to its part"];
    position::lay(set, ("ASIDE", words, "tags, set aside"), out, |lay| {
        parts.chunks(2).map(|pair| self::pair(lay, pair)).collect()
    })
}

fn pair(lay: &Layout<'_>, parts: &[Aside]) -> Block {
    let wide = lay.area.w / 2 - GUTTER / 2;
    let said: Vec<Block> = parts.iter().map(|part| said(lay, part, wide)).collect();
    let deepest = said.iter().map(|piece| piece.height).max().unwrap_or_default();
    let below = parts.iter().map(|part| foot(lay, part, wide).height).max().unwrap_or_default();
    let tall = (deepest + below).max(LEAST);
    let tags = parts.iter().zip(said).map(|(part, said)| {
        let mut one = lay.canvas();
        one.rect(area(Len::ZERO, Len::ZERO, wide, tall), DASHED);
        band(&mut one, part.disposition, wide);
        hole(&mut one, at(mm(8.0), (BAND + tall) / 2));
        one.place(at(Len::ZERO, Len::ZERO), said);
        let foot = foot(lay, part, wide);
        one.place(at(Len::ZERO, tall - foot.height), foot);
        one.done(tall + GUTTER)
    });
    Block::abreast(wide + GUTTER, tags)
}

/// Hatched about a white field, or black with white letters.
fn band(canvas: &mut Canvas<'_>, disposition: Disposition, wide: Len) {
    let (inset, base) = (mm(1.2), mm(8.4));
    let whole = area(inset, inset, wide - inset * 2, BAND);
    let centre = wide / 2;
    match disposition {
        Disposition::Quarantine => {
            let field = TITLE.width("QUARANTINE") + mm(8.0);
            let side = (wide - field) / 2 - inset;
            canvas.hatch(area(inset, inset, side, BAND));
            canvas.hatch(area(wide - inset - side, inset, side, BAND));
            canvas.rect(whole, HEAVY);
            canvas.word_centre(centre, base, TITLE, "QUARANTINE");
        }
        Disposition::Scrap => {
            canvas.black(whole);
            canvas.marks.push(Mark::Run(Run {
                at: at(centre, base),
                text: "SCRAP".into(),
                face: TITLE.face,
                size: TITLE.size,
                align: Align::Centre,
                white: true,
                turn: 0,
            }));
        }
    }
}

/// Code, part, place, and what the record says of it.
fn said(lay: &Layout<'_>, part: &Aside, wide: Len) -> Block {
    let mut canvas = lay.canvas();
    let top = BAND + mm(3.2);
    let letter = match part.disposition {
        Disposition::Quarantine => "Q",
        Disposition::Scrap => "S",
    };
    let reference = format!("{}/{}/{letter}", lay.set.number, part.code.replace(' ', "-"));
    let (right, beside) = position::code(&mut canvas, &reference, wide, top);
    let room = right - LEFT;
    let code = TITLE.fitted(&CODES, &part.code, room);
    let mut y = top - mm(1.0);
    y += canvas.write(at(LEFT, y), &code);
    let name = STRONG.fitted(&PARTS, &part.part, room);
    y += canvas.write(at(LEFT, y), &name);
    y += canvas.tell(at(LEFT, y), TEXT, &part.place, room);
    y = y.max(beside) + mm(1.0);
    for (caption, text) in &part.said {
        let style =
            if caption.chars().all(|c| c.is_lowercase() || c == ' ') { CAPTION } else { STRONG };
        canvas.word(LEFT, y + TEXT.ascent, style, caption);
        let x = LEFT + CAPTIONS;
        y += canvas.tell(at(x, y), TEXT, text, wide - EDGE - x);
    }
    canvas.done(y + mm(1.0))
}

const DECISION: [&str; 3] = ["accepted on data", "to be reworked", "part changed"];

/// What a person writes: the decision, or that the part can't come back.
fn foot(lay: &Layout<'_>, part: &Aside, wide: Len) -> Block {
    let mut canvas = lay.canvas();
    let room = wide - EDGE - LEFT;
    canvas.rule(LEFT, Len::ZERO, room, MINOR);
    let mut x = LEFT;
    let ticks: &[&str] = match part.disposition {
        Disposition::Quarantine => &DECISION,
        Disposition::Scrap => &["made unusable"],
    };
    for word in ticks {
        canvas.tick_box(at(x, mm(1.2)));
        x = canvas.word(x + TICK + mm(1.0), mm(4.6), CAPTION, word) + mm(1.6);
    }
    let blank = match part.disposition {
        Disposition::Quarantine => "document",
        Disposition::Scrap => "how",
    };
    let (start, line) = match part.disposition {
        Disposition::Quarantine => (LEFT, mm(11.4)),
        Disposition::Scrap => (x + mm(1.0), mm(5.4)),
    };
    let from = canvas.word(start, line - mm(0.8), CAPTION, blank) + mm(1.0);
    canvas.rule(from, line, wide - EDGE - from, HAIR);
    let y = line + mm(2.0);
    canvas.rect(area(LEFT, y, INITIALS, CELL_H), BOX);
    let whose = match part.disposition {
        Disposition::Quarantine => "inspector's",
        Disposition::Scrap => "initials",
    };
    canvas.word(LEFT, y + CELL_H + mm(3.0), CAPTION, whose);
    canvas.date(at(wide - EDGE - DATE, y));
    let head = &lay.set.head;
    let facts = format!("job {} · {} s/n {}", head.job, head.engine, head.serial);
    let down = y + CELL_H + mm(4.4);
    let told = canvas.tell(at(LEFT, down), CAPTION, &facts, room);
    canvas.done(down + told + mm(1.6))
}
