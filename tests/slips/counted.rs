//! Ten thousand rows with a slip put in, ten thousand clean and ten thousand
//! truly worn: how many slips are caught, and how many rows wrongly questioned.

use super::bench::{Bench, bench, exact, row, typed};
use super::harness::{Dice, Truth, ask, clean, judge_truth, judge_values, micrometer, worn};
use super::made::Kind::{DigitLost, OtherUnit, OtherUnitEveryBox, PointLost};
use super::made::{KINDS, Kind, Slipped, side, slip};
use benchleaf::judge::slips::across::{self, RowSeen};
use benchleaf::judge::{State, Verdict};
use benchleaf::model::job::Scope;
use benchleaf::model::text::Number;
use std::collections::BTreeMap;

pub const ROWS_EACH: usize = 10_000;

/// Whether two verdicts say different things of the row, or of a part of a row
/// that is not out both times.
fn differs(one: &Verdict, other: &Verdict) -> bool {
    let out = |verdict: &Verdict| matches!(verdict.state, State::Out(_));
    let words = |verdict: &Verdict| -> Vec<&'static str> {
        std::iter::once(verdict.state.word())
            .chain(verdict.parts.iter().map(|part| part.state.word()))
            .collect()
    };
    !(out(one) && out(other)) && words(one) != words(other)
}

pub fn changes(bench: &Bench, truth: &Truth, texts: &[[String; 2]; 2]) -> bool {
    let (line, _) = truth.line(bench);
    let values = [0, 1].map(|side| [0, 1].map(|at| exact(&texts[side][at])));
    differs(&judge_truth(bench, truth), &judge_values(bench, line, values))
}

fn typed_row(texts: &[[String; 2]; 2]) -> [Vec<Option<Number>>; 2] {
    [0, 1].map(|side| texts[side].iter().map(|text| Some(typed(text))).collect())
}

/// Whether the row or its neighbour is questioned, and whether what was truly
/// read is among the causes.
pub fn caught(bench: &Bench, truth: &Truth, made: &Slipped, gauged: bool) -> (bool, bool) {
    let (line, _) = truth.line(bench);
    let gauge = gauged.then(|| micrometer(truth, line.places));
    let mut asked = ask(bench, line, &made.texts, gauge.as_ref());
    if let Some(other) = &made.other {
        asked.extend(ask(bench, line, other, gauge.as_ref()));
        let (mine, theirs) = (typed_row(&made.texts), typed_row(other));
        let rows = [row(&mine[0], &mine[1], &[]), row(&theirs[0], &theirs[1], &[])];
        let seen: Vec<RowSeen> = rows
            .iter()
            .enumerate()
            .map(|(place, row)| RowSeen { code: "X", line, row, sheet: 0, place })
            .collect();
        let across = across::question(&seen, &bench.setting(Scope::Service));
        asked.extend(across.into_iter().map(|(_, asked)| asked));
    }
    let truly = &truth.texts(line.places)[side(made.half)];
    let read: Vec<&str> = made.boxes.iter().map(|at| truly[*at].as_str()).collect();
    let read = read.join(", ");
    let named = asked
        .iter()
        .filter_map(|asked| asked.likely.as_deref())
        .any(|likely| likely.contains(&read));
    (!asked.is_empty(), named)
}

#[derive(Default)]
struct Count {
    tried: usize,
    changing: usize,
    knowable: usize,
    caught: usize,
    named: usize,
    beyond: usize,
    beyond_caught: usize,
}

#[test]
fn slips_caught() {
    let bench = bench();
    let mut dice = Dice::new(0x5EED_0001);
    let mut table: BTreeMap<Kind, Count> = BTreeMap::new();
    let mut tried = 0;
    while tried < ROWS_EACH {
        let kind = KINDS[dice.below(KINDS.len())];
        let truth =
            if dice.below(4) == 0 { worn(&mut dice, &bench) } else { clean(&mut dice, &bench) };
        let Some(made) = slip(&mut dice, &bench, kind, &truth) else {
            continue;
        };
        tried += 1;
        let count = table.entry(kind).or_default();
        count.tried += 1;
        let other = made.other.as_ref().zip(made.neighbour.as_ref());
        let digits = matches!(kind, DigitLost | PointLost | OtherUnit | OtherUnitEveryBox);
        let changing = digits
            || changes(&bench, &truth, &made.texts)
            || other.is_some_and(|(texts, truth)| changes(&bench, truth, texts));
        if !changing {
            continue;
        }
        count.changing += 1;
        let (caught, named) = caught(&bench, &truth, &made, tried % 2 == 0);
        if made.knowable {
            count.knowable += 1;
            count.caught += usize::from(caught);
            count.named += usize::from(caught && named);
            if !caught && std::env::var_os("SHOW_MISSED").is_some() {
                let (line, _) = truth.line(&bench);
                println!("missed {kind:?} {} {:?} typed {:?}", line.reference, truth, made.texts);
            }
        } else {
            count.beyond += 1;
            count.beyond_caught += usize::from(caught);
        }
    }
    print_table(&table);
    let sum = |of: fn(&Count) -> usize| table.values().map(of).sum::<usize>();
    let (knowable, caught) = (sum(|c| c.knowable), sum(|c| c.caught));
    println!("knowable slips that change a verdict: {caught} of {knowable} caught");
    assert!(knowable > 3000, "{knowable}");
    assert!(caught * 1000 >= knowable * 990, "{caught} of {knowable}");
}

fn print_table(table: &BTreeMap<Kind, Count>) {
    println!(
        "{:<28}{:>7}{:>10}{:>10}{:>8}{:>8}{:>14}",
        "slip", "tried", "changing", "knowable", "caught", "named", "not knowable"
    );
    for (kind, c) in table {
        let beyond = format!("{}/{}", c.beyond_caught, c.beyond);
        println!(
            "{:<28}{:>7}{:>10}{:>10}{:>8}{:>8}{:>14}",
            format!("{kind:?}"),
            c.tried,
            c.changing,
            c.knowable,
            c.caught,
            c.named,
            beyond
        );
    }
}

/// Rows of `made`, asked about on `bench`, which may know less of them.
pub fn wrongly(
    (made, bench): (&Bench, &Bench),
    make: fn(&mut Dice, &Bench) -> Truth,
    start: u64,
) -> usize {
    let mut dice = Dice::new(start);
    let mut asked = 0;
    for n in 0..ROWS_EACH {
        let truth = make(&mut dice, made);
        let (line, _) = truth.line(bench);
        let gauge = (n % 2 == 0).then(|| micrometer(&truth, line.places));
        let questions = ask(bench, line, &truth.texts(line.places), gauge.as_ref());
        if !questions.is_empty() && std::env::var_os("SHOW_MISSED").is_some() {
            println!("asked {} {truth:?}: {}", line.reference, questions[0].cause);
        }
        asked += usize::from(!questions.is_empty());
    }
    asked
}

/// Under three in a thousand of clean rows, and of truly worn ones.
#[test]
fn rows_wrongly_questioned() {
    let bench = bench();
    let clean = wrongly((&bench, &bench), clean, 0x5EED_0002);
    let worn = wrongly((&bench, &bench), worn, 0x5EED_0003);
    println!("wrongly questioned: {clean} clean and {worn} worn rows of {ROWS_EACH} each");
    assert!(clean * 1000 < ROWS_EACH * 3, "{clean}");
    assert!(worn * 1000 < ROWS_EACH * 3, "{worn}");
}
