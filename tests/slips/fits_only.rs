//! Documents that give the fit alone and no sizes of its parts: what a slip is
//! seen by is then the mate.

use super::bench::{Bench, bench};
use super::counted::{ROWS_EACH, caught, changes, wrongly};
use super::harness::{Dice, clean, worn};
use super::made::Kind::*;
use super::made::{Kind, slip};
use benchleaf::model::limits::Kind as LineKind;
use std::collections::BTreeMap;

/// The same lines without any size.
fn fits_only() -> Bench {
    let mut bench = bench();
    for line in &mut bench.limits.lines {
        let LineKind::Fit(fit) = &mut line.kind else { continue };
        for part in [&mut fit.shaft, &mut fit.bore] {
            (part.new_min, part.new_max, part.wear) = (None, None, None);
        }
    }
    bench
}

/// What makes a fit absurd, whichever part it is in: a turn, an inch, a tenth, the
/// other unit, a clearance; in one box of a pair and in both.
const GROSS: [Kind; 9] = [
    SleeveTurn,
    SleeveTurnEveryBox,
    WholeInch,
    WholeInchEveryBox,
    Tenth,
    TenthEveryBox,
    OtherUnit,
    OtherUnitEveryBox,
    Clearance,
];

#[test]
fn gross_slips_are_seen_by_the_mate() {
    let (full, bare) = (bench(), fits_only());
    let mut dice = Dice::new(0x5EED_0011);
    // Those that change the verdict, those asked about, and the true reading named.
    let mut counts: BTreeMap<Kind, [usize; 3]> = BTreeMap::new();
    let mut tried = 0;
    while tried < ROWS_EACH {
        let kind = GROSS[dice.below(GROSS.len())];
        let worn_too = dice.below(4) == 0;
        let truth = if worn_too { worn(&mut dice, &full) } else { clean(&mut dice, &full) };
        let Some(made) = slip(&mut dice, &full, kind, &truth) else { continue };
        tried += 1;
        if !changes(&bare, &truth, &made.texts) {
            continue;
        }
        let (asked, named) = caught(&bare, &truth, &made, tried % 2 == 0);
        let count = counts.entry(kind).or_default();
        *count = [count[0] + 1, count[1] + usize::from(asked), count[2] + usize::from(named)];
        if !asked && std::env::var_os("SHOW_MISSED").is_some() {
            println!("missed {kind:?} {truth:?} typed {:?}", made.texts);
        }
    }
    for (kind, [changing, asked, named]) in &counts {
        println!("{kind:<20?} {changing:>6} change a verdict, {asked:>6} asked, {named:>6} named");
    }
    let sum = |n: usize| counts.values().map(|count| count[n]).sum::<usize>();
    println!("gross slips in fits without sizes: {} of {} asked about", sum(1), sum(0));
    assert!(sum(0) > 5000, "{}", sum(0));
    assert!(sum(1) * 1000 >= sum(0) * 995, "{} of {}", sum(1), sum(0));
}

/// Under one in a thousand of clean rows, and under five of truly worn ones, whose
/// pairs a thimble line apart no wear limit explains.
#[test]
fn rows_without_sizes_are_not_questioned_for_nothing() {
    let (full, bare) = (bench(), fits_only());
    let clean = wrongly((&full, &bare), clean, 0x5EED_0012);
    let worn = wrongly((&full, &bare), worn, 0x5EED_0013);
    println!("wrongly questioned without sizes: {clean} clean and {worn} worn of {ROWS_EACH} each");
    assert!(clean * 1000 < ROWS_EACH, "{clean}");
    assert!(worn * 1000 < ROWS_EACH * 5, "{worn}");
}

/// One box of a pair an inch off, both boxes an inch off, both a turn off: every
/// part that it could be in is named.
#[test]
fn the_causes_are_named_for_both_parts() {
    let bare = fits_only();
    let said = |shaft: [&str; 2], bore: [&str; 2]| {
        let asked = bare.ask("C", &shaft, &bore);
        asked.into_iter().map(|asked| asked.cause).collect::<Vec<_>>()
    };
    let sound = said(["1.3730", "1.3731"], ["1.3750", "1.3751"]);
    assert_eq!(sound, [""; 0]);
    // Worn beyond any limit, 0.0110 loose, and no slip: it is out, and not asked about.
    assert_eq!(said(["1.3640", "1.3641"], ["1.3750", "1.3751"]), [""; 0]);
    let inch = said(["0.3730", "0.3731"], ["1.3750", "1.3751"]);
    let both = [
        "shaft reads 0.3730, 0.3731: wrong frame or whole inch (1.0000 in) in every box would make it \
         1.3730, 1.3731",
        "bore reads 1.3750, 1.3751: wrong frame or whole inch (1.0000 in) in every box would make it \
         0.3750, 0.3751",
    ];
    assert_eq!(inch, both);
    let turn = said(["1.3730", "1.3731"], ["1.4000", "1.4001"]);
    assert!(turn.iter().any(|cause| cause.contains("one turn of the sleeve")), "{turn:?}");
    let one = said(["1.3730", "2.3731"], ["1.3750", "1.3751"]);
    assert!(one.iter().any(|cause| cause.starts_with("shaft 2 reads 2.3731")), "{one:?}");
    // With its mate blank nothing tells.
    assert_eq!(said(["0.3730", "0.3731"], ["-", "-"]), [""; 0]);
}
