//! Slips put into rows that are right: each kind of the table, in one box or
//! in every box of a part.

use super::bench::{Bench, ROWS, exact};
use super::harness::{Dice, Truth, clean, shown, steps, worn};
use benchleaf::model::side::Side;
use benchleaf::quantity::{Exact, Length};

/// The slips of the table, one box or every box of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    SleeveTurn,
    SleeveTurnEveryBox,
    WholeInch,
    WholeInchEveryBox,
    Tenth,
    TenthEveryBox,
    ThimbleLine,
    ThimbleLineEveryBoxNotWear,
    ThimbleLineEveryBoxWear,
    DigitsSwapped,
    DigitMisread,
    LastDigitMisread,
    ShaftAndBoreBox,
    ShaftAndBoreWhole,
    NeighboursBox,
    NeighboursWhole,
    Clearance,
    OtherUnit,
    OtherUnitEveryBox,
    DigitLost,
    PointLost,
}

use Kind::*;

pub const KINDS: [Kind; 21] = [
    SleeveTurn,
    SleeveTurnEveryBox,
    WholeInch,
    WholeInchEveryBox,
    Tenth,
    TenthEveryBox,
    ThimbleLine,
    ThimbleLineEveryBoxNotWear,
    ThimbleLineEveryBoxWear,
    DigitsSwapped,
    DigitMisread,
    LastDigitMisread,
    ShaftAndBoreBox,
    ShaftAndBoreWhole,
    NeighboursBox,
    NeighboursWhole,
    Clearance,
    OtherUnit,
    OtherUnitEveryBox,
    DigitLost,
    PointLost,
];

/// A row as typed with a slip in it.
pub struct Slipped {
    pub texts: [[String; 2]; 2],
    /// The neighbour that the slip touched too.
    pub other: Option<[[String; 2]; 2]>,
    pub neighbour: Option<Truth>,
    /// One transcription can show it.
    pub knowable: bool,
    /// Which part's which boxes were touched.
    pub half: Side,
    pub boxes: &'static [usize],
}

pub fn offset(kind: Kind, unit: Length) -> i64 {
    match (kind, unit) {
        (SleeveTurn | SleeveTurnEveryBox, Length::Inch) => 250,
        (SleeveTurn | SleeveTurnEveryBox, _) => 500,
        (WholeInch | WholeInchEveryBox, Length::Inch) => 10_000,
        (WholeInch | WholeInchEveryBox, _) => 25_000,
        (Tenth | TenthEveryBox, _) => 1000,
        _ => 10,
    }
}

pub fn side(half: Side) -> usize {
    usize::from(half == Side::Bore)
}

/// The limit that a pair must keep, in steps.
pub fn round(truth: &Truth) -> i64 {
    let row = &ROWS[truth.which];
    match (row.round, row.unit) {
        ("-", Length::Inch) => 5,
        ("-", _) => 12,
        (limit, Length::Inch) => exact(limit).in_steps(4).unwrap(),
        (limit, _) => exact(limit).in_steps(3).unwrap(),
    }
}

/// A part whose readings are of one diameter.
pub fn paired(truth: &Truth, half: Side) -> bool {
    !(ROWS[truth.which].oval && half == Side::Shaft)
}

/// Puts a slip in; `None` where this row cannot have it.
pub fn slip(dice: &mut Dice, bench: &Bench, kind: Kind, truth: &Truth) -> Option<Slipped> {
    let (line, _) = truth.line(bench);
    let places = line.places;
    let half = if dice.coin() { Side::Shaft } else { Side::Bore };
    // A skirt's second reading governs nothing.
    let at = if paired(truth, half) { dice.below(2) } else { 0 };
    let one: &'static [usize] = if at == 0 { &[0] } else { &[1] };
    let both: &'static [usize] = &[0, 1];
    let mut made = Slipped {
        texts: truth.texts(places),
        other: None,
        neighbour: None,
        knowable: true,
        half,
        boxes: one,
    };
    let text = &mut made.texts[side(half)];
    let sign = if dice.coin() { 1 } else { -1 };
    match kind {
        SleeveTurn | WholeInch | Tenth | ThimbleLine => {
            let by = sign * offset(kind, truth.unit());
            let value = truth.part(half)[at] + by;
            text[at] = (value > 0).then(|| shown(value, places))?;
            let seen = by.abs() > round(truth) && paired(truth, half);
            made.knowable = seen || kind != ThimbleLine;
        }
        SleeveTurnEveryBox | WholeInchEveryBox | TenthEveryBox => {
            let by = sign * offset(kind, truth.unit());
            for (text, value) in text.iter_mut().zip(truth.part(half)) {
                *text = (value + by > 0).then(|| shown(value + by, places))?;
            }
            made.boxes = both;
        }
        ThimbleLineEveryBoxNotWear | ThimbleLineEveryBoxWear => {
            let not_wear = kind == ThimbleLineEveryBoxNotWear;
            let outward = if (half == Side::Shaft) == not_wear { 1 } else { -1 };
            let values = truth.part(half).map(|value| value + outward * offset(kind, truth.unit()));
            *text = values.map(|value| shown(value, places));
            made.knowable = not_wear && past_new(bench, truth, half, values);
            made.boxes = both;
        }
        DigitsSwapped | DigitMisread | LastDigitMisread => {
            text[at] = changed_digits(dice, kind, &text[at])?;
            let by = exact(&text[at]).in_steps(places)? - truth.part(half)[at];
            made.knowable = by.abs() > round(truth)
                && kind != LastDigitMisread
                && (paired(truth, half) || by.abs() > 300);
        }
        ShaftAndBoreBox => {
            let (s, b) = (if ROWS[truth.which].oval { 0 } else { dice.below(2) }, dice.below(2));
            let apart = (truth.shaft[s] - truth.bore[b]).abs();
            made.texts = truth.texts(places);
            let (a, z) = (made.texts[0][s].clone(), made.texts[1][b].clone());
            (made.texts[0][s], made.texts[1][b]) = (z, a);
            made.knowable = apart > round(truth) && paired(truth, Side::Shaft);
            (made.half, made.boxes) = (Side::Shaft, if s == 0 { &[0] } else { &[1] });
        }
        ShaftAndBoreWhole => {
            made.texts.swap(0, 1);
            // An interference fit exchanged is loose, as a worn one is.
            made.knowable = exact(ROWS[truth.which].fit[0].trim_end_matches([' ', 'L', 'T']))
                > Exact::ZERO
                && ROWS[truth.which].fit[0].ends_with('L');
            made.boxes = both;
        }
        NeighboursBox | NeighboursWhole => {
            let other = like(dice, bench, truth);
            let mut texts = other.texts(places);
            let mine = &mut made.texts[side(half)];
            let boxes = if kind == NeighboursBox { one } else { both };
            for at in boxes {
                std::mem::swap(&mut mine[*at], &mut texts[side(half)][*at]);
            }
            let apart = (truth.part(half)[at] - other.part(half)[at]).abs();
            made.knowable = kind == NeighboursBox
                && apart > round(truth) + 3 * if truth.unit() == Length::Inch { 1 } else { 2 }
                && paired(truth, half);
            made.boxes = boxes;
            made.other = Some(texts);
            made.neighbour = Some(other);
        }
        Clearance => {
            let clearance = (truth.bore[at] - truth.shaft[at]).abs();
            text[at] = shown(clearance, places);
            made.knowable = exact(&text[at]).times(10) < exact(ROWS[truth.which].shaft[0]);
        }
        OtherUnit | OtherUnitEveryBox => {
            let boxes = if kind == OtherUnit { one } else { both };
            let decimals = if dice.coin() { places } else { 7 - places };
            for at in boxes {
                text[*at] = in_other_unit(truth, half, *at, places, decimals);
            }
            made.boxes = boxes;
        }
        DigitLost => {
            let point = text[at].find('.')?;
            let digit = dice.between(0, i64::from(places) - 1) as usize + point + 1;
            text[at].remove(digit);
        }
        PointLost => text[at] = text[at].replace('.', ""),
    }
    (made.texts != truth.texts(places)).then_some(made)
}

/// Wholly past the new limit where wear cannot bring a part.
pub fn past_new(bench: &Bench, truth: &Truth, half: Side, values: [i64; 2]) -> bool {
    let (line, fit) = truth.line(bench);
    let counted = if paired(truth, half) { &values[..] } else { &values[..1] };
    let high = steps(&fit.shaft.new_max, line).unwrap();
    let low = steps(&fit.bore.new_min, line).unwrap();
    let past = |value: &i64| half.of([*value > high, *value < low]);
    counted.iter().all(past)
}

pub fn changed_digits(dice: &mut Dice, kind: Kind, text: &str) -> Option<String> {
    let mut digits = text.as_bytes().to_vec();
    let places: Vec<usize> = (0..digits.len()).filter(|at| digits[*at] != b'.').collect();
    if kind == DigitsSwapped {
        let first = dice.below(places.len() - 1);
        digits.swap(places[first], places[first + 1]);
    } else {
        let last = kind == LastDigitMisread;
        let at = if last { places.len() - 1 } else { dice.below(places.len() - 1) };
        let like = |d: u8| match d {
            b'1' => Some(b'7'),
            b'7' => Some(b'1'),
            b'3' => Some(b'8'),
            b'8' => Some(b'3'),
            b'4' => Some(b'9'),
            b'9' => Some(b'4'),
            b'0' => Some(b'6'),
            b'6' => Some(b'0'),
            _ => None,
        };
        digits[places[at]] = like(text.as_bytes()[places[at]])?;
    }
    let changed = String::from_utf8(digits).unwrap();
    (changed != text).then_some(changed)
}

/// Another row of the same line.
pub fn like(dice: &mut Dice, bench: &Bench, truth: &Truth) -> Truth {
    loop {
        let other = if dice.below(4) == 0 { worn(dice, bench) } else { clean(dice, bench) };
        if other.which == truth.which {
            return other;
        }
    }
}

pub fn in_other_unit(truth: &Truth, half: Side, at: usize, places: u8, decimals: u8) -> String {
    let size = Exact::steps(truth.part(half)[at], places);
    let decimals_wanted = usize::from(decimals);
    match truth.unit() {
        Length::Inch => format!("{:.decimals_wanted$}", size.inches_to_mm().nearest(decimals)),
        _ => {
            let inches = benchleaf::quantity::quotient(size.times(10), 254, decimals);
            format!("{:.decimals_wanted$}", inches.nearest(decimals))
        }
    }
}
