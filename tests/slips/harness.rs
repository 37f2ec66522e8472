//! Rows made up at random with a fixed start: clean ones, truly worn ones, and
//! one slip of a given kind put into either.
//!
//! Sizes are uniform over what passes; how far a pair lies apart and how far a
//! part has worn past its limits are drawn from the small tables here, which
//! are common practice and have no source.

use super::bench::{Bench, ROWS, figure, gauge, row};
use super::made::{KINDS, slip};
use benchleaf::judge::slips::{Question, question};
use benchleaf::judge::{Context, PartState, SideReadings, State, Verdict, check};
use benchleaf::model::job::{Gauge, Scope};
use benchleaf::model::limits::{FitLine, Kind, Line};
use benchleaf::model::side::Side;
use benchleaf::model::text::{Limit, Number};
use benchleaf::quantity::{Exact, Length, Readings};
use std::cell::Cell;

/// Marsaglia's xorshift with 64 bits (J. Stat. Soft. 8(14), 2003; the shifts
/// 13, 7 and 17 from memory).
pub struct Dice(u64);

impl Dice {
    pub fn new(start: u64) -> Dice {
        Dice(start)
    }

    pub fn below(&mut self, many: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from((self.0 >> 16) % many as u64).unwrap()
    }

    pub fn coin(&mut self) -> bool {
        self.below(2) == 0
    }

    /// From `low` to `high`, both included.
    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        low + i64::try_from(self.below(usize::try_from(high - low + 1).unwrap())).unwrap()
    }

    /// An index drawn by weights.
    fn weighted(&mut self, weights: &[usize]) -> usize {
        let mut at = self.below(weights.iter().sum());
        weights
            .iter()
            .position(|weight| {
                at < *weight || {
                    at -= weight;
                    false
                }
            })
            .unwrap()
    }
}

/// Tenths of a thousandth that a pair lies apart, 0 upward, in a thousand.
const APART: [usize; 6] = [350, 400, 180, 50, 15, 5];
const APART_WORN: [usize; 12] = [200, 300, 240, 140, 70, 35, 8, 4, 1, 1, 1, 0];

/// A row as it truly is, in steps of the line's resolution.
#[derive(Clone, Debug)]
pub struct Truth {
    pub which: usize,
    pub shaft: [i64; 2],
    pub bore: [i64; 2],
}

impl Truth {
    pub fn part(&self, half: Side) -> [i64; 2] {
        if half == Side::Bore { self.bore } else { self.shaft }
    }

    pub fn part_mut(&mut self, half: Side) -> &mut [i64; 2] {
        if half == Side::Bore { &mut self.bore } else { &mut self.shaft }
    }

    pub fn unit(&self) -> Length {
        ROWS[self.which].unit
    }

    pub fn line<'b>(&self, bench: &'b Bench) -> (&'b Line, &'b FitLine) {
        let line = bench.line(ROWS[self.which].reference);
        let Kind::Fit(fit) = &line.kind else { panic!("a fit") };
        (line, fit)
    }

    /// As a careful person would type it.
    pub fn texts(&self, places: u8) -> [[String; 2]; 2] {
        [self.shaft, self.bore].map(|part| part.map(|step| shown(step, places)))
    }
}

pub fn shown(step: i64, places: u8) -> String {
    format!("{:.*}", usize::from(places), Exact::steps(step, places))
}

pub fn steps(limit: &Option<Limit>, line: &Line) -> Option<i64> {
    figure(limit, line)?.in_steps(line.places)
}

/// A thousandth of a millimetre is a smaller step than a tenth of a thousandth
/// of an inch: the same wear is two and a half times as many steps.
pub fn scaled(tenths: i64, unit: Length) -> i64 {
    if unit == Length::Inch { tenths } else { tenths * 5 / 2 }
}

pub fn judge_values(bench: &Bench, line: &Line, values: [[Exact; 2]; 2]) -> Verdict {
    let side = |of: Side, readings: [Exact; 2]| SideReadings {
        key: of.into(),
        readings: Readings::new(line.unit.clone(), readings.map(Some).to_vec()),
        state: PartState::Reused,
        ..SideReadings::default()
    };
    let sides = vec![side(Side::Shaft, values[0]), side(Side::Bore, values[1])];
    check(line).judge(&sides, &bench.setting(Scope::Service))
}

pub fn judge_truth(bench: &Bench, truth: &Truth) -> Verdict {
    let (line, _) = truth.line(bench);
    let exact = |part: [i64; 2]| part.map(|step| Exact::steps(step, line.places));
    judge_values(bench, line, [exact(truth.shaft), exact(truth.bore)])
}

fn pair(dice: &mut Dice, at: i64, unit: Length, apart: &[usize]) -> [i64; 2] {
    let tenths = i64::try_from(dice.weighted(apart)).unwrap();
    let apart = scaled(tenths, unit);
    if dice.coin() { [at, at + apart] } else { [at + apart, at] }
}

/// A row that passes, new or worn inside its limits.
pub fn clean(dice: &mut Dice, bench: &Bench) -> Truth {
    loop {
        let which = dice.below(ROWS.len());
        let row = &ROWS[which];
        let truth = Truth { which, shaft: [0; 2], bore: [0; 2] };
        let (line, fit) = truth.line(bench);
        let unit = row.unit;
        let worn = scaled(12, unit);
        let limit = |limit: &Option<Limit>| steps(limit, line).unwrap();
        let (s1, s2) = (limit(&fit.shaft.new_min), limit(&fit.shaft.new_max));
        let (b1, b2) = (limit(&fit.bore.new_min), limit(&fit.bore.new_max));
        let shaft = if dice.coin() { dice.between(s1, s2) } else { dice.between(s1 - worn, s1) };
        let bore = if dice.coin() { dice.between(b1, b2) } else { dice.between(b2, b2 + worn) };
        let shaft = pair(dice, shaft, unit, &APART);
        let bore = pair(dice, bore, unit, &APART);
        let mut truth = Truth { shaft, bore, ..truth };
        if row.oval {
            // In line with the pin a skirt is smaller by design, and no more than its
            // wear limit allows anywhere.
            truth.shaft[1] = truth.shaft[0] - dice.between(1, 8);
        }
        let sound = truth.part(Side::Shaft).iter().max() <= Some(&s2) && truth.bore >= [b1; 2];
        if sound && judge_truth(bench, &truth).state.passes() {
            return truth;
        }
    }
}

/// A row that is out because a part has worn, by up to three thousandths.
pub fn worn(dice: &mut Dice, bench: &Bench) -> Truth {
    loop {
        let mut truth = clean(dice, bench);
        let unit = truth.unit();
        let oval = ROWS[truth.which].oval;
        let by = scaled(dice.between(3, 45), unit);
        let half = if dice.coin() { Side::Shaft } else { Side::Bore };
        let at = half.of([truth.shaft[0] - by, truth.bore[0] + by]);
        let in_line = truth.shaft[0] - truth.shaft[1];
        *truth.part_mut(half) = pair(dice, at, unit, &APART_WORN);
        if oval && half == Side::Shaft {
            truth.shaft[1] = truth.shaft[0] - in_line;
        }
        let past = past(&truth, bench);
        let out = matches!(judge_truth(bench, &truth).state, State::Out(_));
        if out && past <= scaled(30, unit) {
            return truth;
        }
    }
}

/// By how much the worst of fit and parts is out, in steps.
fn past(truth: &Truth, bench: &Bench) -> i64 {
    let (line, _) = truth.line(bench);
    let State::Out(beyond) = judge_truth(bench, truth).state else {
        return 0;
    };
    let by = beyond.iter().filter_map(|beyond| beyond.by).max();
    by.and_then(|by| by.in_steps(line.places)).unwrap_or(0)
}

/// What a row of texts raises, read with a micrometer of the right range where
/// `gauged`.
pub fn ask(
    bench: &Bench,
    line: &Line,
    texts: &[[String; 2]; 2],
    gauged: Option<&Gauge>,
) -> Vec<Question> {
    ask_counted(bench, line, texts, gauged).0
}

/// The same, and how often the row was judged for it.
pub fn ask_counted(
    bench: &Bench,
    line: &Line,
    texts: &[[String; 2]; 2],
    gauged: Option<&Gauge>,
) -> (Vec<Question>, usize) {
    let judged = Cell::new(0);
    let boxes = |side: &[String; 2]| -> Vec<Option<Number>> {
        side.iter().map(|text| Some(super::bench::typed(text))).collect()
    };
    let (shaft, bore) = (boxes(&texts[0]), boxes(&texts[1]));
    let gauges: Vec<Gauge> = gauged.into_iter().cloned().collect();
    let row = row(&shaft, &bore, &gauges);
    let counted = |read: &[SideReadings]| {
        judged.set(judged.get() + 1);
        read.to_vec()
    };
    let setting = Context { gauges: &gauges, ..bench.setting(Scope::Service) };
    let asked = question(line, &row, &setting, &counted);
    (asked, judged.get())
}

/// Ten thousand rows, always the same, each with a slip of any kind.
pub fn slipped(bench: &Bench) -> Vec<(&Line, [[String; 2]; 2])> {
    let mut dice = Dice::new(0x5EED_0004);
    let mut rows = Vec::new();
    while rows.len() < 10_000 {
        let truth = clean(&mut dice, bench);
        let kind = KINDS[dice.below(KINDS.len())];
        if let Some(made) = slip(&mut dice, bench, kind, &truth) {
            rows.push((truth.line(bench).0, made.texts));
        }
    }
    rows
}

/// The one-inch or 25 mm micrometer that covers a row.
pub fn micrometer(truth: &Truth, places: u8) -> Gauge {
    let unit = truth.unit();
    let frame = if unit == Length::Inch { 10_000 } else { 25_000 };
    // A row that straddles two frames is read with a gauge that covers both.
    let sizes = [truth.shaft, truth.bore].concat();
    let low = sizes.iter().map(|size| size / frame * frame).min().unwrap();
    let high = sizes.iter().map(|size| (size / frame + 1) * frame).max().unwrap();
    let (low, high) = (Exact::steps(low, places), Exact::steps(high, places));
    gauge("MIC", [&low.to_string(), &high.to_string()], unit, false)
}
