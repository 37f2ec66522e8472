//! Blocks in which a person signs.

use super::band::{Band, PLAIN, Strip, THIN};
use super::text::{CAPTION, HEADING, PROSE, Setter, Style, line_at};
use crate::page::length::Len;
use crate::page::mark::{Align, Area, Mark, Point};

/// Room for a signature, by hand or made visible by a program.
const SIGNATURE: (Len, Len) = (Len::mm(80.0), Len::mm(25.0));
const DATE: Len = Len::mm(8.6);
const PAD: Len = Len::mm(2.6);
const TOP: Len = Len::mm(1.4);

/// One block a person, never split: name, role, certificate number, what is
/// signed for.
pub fn sign_off(set: &Setter, people: &[(String, String, String, String)]) -> Vec<Band> {
    people.iter().map(|person| block(set, person)).collect()
}

fn block(set: &Setter, (name, role, certificate, what): &(String, String, String, String)) -> Band {
    let mut strip = Strip::default();
    let left = set.width - SIGNATURE.0 - PAD * 2 - Len::mm(3.0);
    let mut y = TOP;
    y = field(set, &mut strip, y, left, ("name", HEADING, name));
    y = field(set, &mut strip, y, left, ("role", PROSE, role));
    y = field(set, &mut strip, y, left, ("certificate number", PROSE, certificate));
    if !what.is_empty() {
        y = field(set, &mut strip, y, left, ("signs for", PROSE, what));
    }
    let box_bottom = boxes(set, &mut strip);
    strip.height = y.max(box_bottom + PAD);
    let area = Area { x: Len::ZERO, y: Len::ZERO, w: set.width, h: strip.height };
    strip.marks.push(outline(area, super::band::solid(1.0)));
    Band { sign: Some((name.clone(), signature_area(set.width))), ..Band::new(strip, Len::mm(4.0)) }
}

fn signature_area(width: Len) -> Area {
    Area { x: width - SIGNATURE.0 - PAD, y: TOP + CAPTION.lead, w: SIGNATURE.0, h: SIGNATURE.1 }
}

/// A caption and its text, or a line to write on where there is none; gives
/// where the next begins.
fn field(
    set: &Setter,
    strip: &mut Strip,
    top: Len,
    width: Len,
    (caption, style, text): (&str, Style, &str),
) -> Len {
    strip.marks.push(line_at(CAPTION, PAD, top, caption, Align::Left));
    let y = top + CAPTION.lead;
    if text.is_empty() {
        let y = y + Len::mm(5.0);
        strip.rule(PAD, PAD + width, y, THIN);
        return y + Len::mm(1.4);
    }
    let height = set.block(strip, style, text, Point { x: PAD, y }, width);
    y + height + Len::mm(1.4)
}

/// The rooms for the signature and its date; gives where they end.
fn boxes(set: &Setter, strip: &mut Strip) -> Len {
    let signature = signature_area(set.width);
    let date =
        Area { y: signature.y + signature.h + Len::mm(1.0) + CAPTION.lead, h: DATE, ..signature };
    for (area, caption) in [(signature, "signature"), (date, "date, year month day")] {
        strip.marks.push(outline(area, PLAIN));
        let y = area.y - CAPTION.lead;
        strip.marks.push(line_at(CAPTION, area.x, y, caption, Align::Left));
    }
    date.y + date.h
}

fn outline(area: Area, pen: crate::page::mark::Pen) -> Mark {
    Mark::Rect { area, pen: Some(pen), fill: false }
}
