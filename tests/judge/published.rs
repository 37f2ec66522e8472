//! Check values from named publications that stand in no table of
//! `tests/tables`. `seen`: read in the publication; `memory`: recalled, not
//! looked at. `tests/CHECKS.md` lists all of them.

use super::bench::*;
use super::fits::at_limit;
use super::proofs::read;
use benchleaf::judge::{FitLimits, Published, State, published};
use benchleaf::model::job::Scope;
use benchleaf::model::limits::{Kind, Line, RoundnessLine};
use benchleaf::quantity::{Exact, chance_inside, quotient, root_sum_square};

/// A size in its nominal inch and thousandths beside it, as ANSI B4.1 gives
/// limits: hole 1.5000, +1.0.
fn beside(nominal: &str, thousandths: &str) -> Exact {
    exact(nominal) + exact(thousandths).product(Exact::steps(1, 3))
}

fn signed(thousandths: &str) -> String {
    format!("{}L", exact(thousandths).product(Exact::steps(1, 3)))
}

fn derived(line: &Line) -> Published {
    let Kind::Fit(fit) = &line.kind else { panic!("a fit") };
    published(&FitLimits::of(fit, &line.unit, Scope::New, None).unwrap())
}

/// ANSI B4.1 running and sliding fits over 1.19 to 1.97 in, Machinery's
/// Handbook, 31st edition, table 8a; seen.
#[test]
fn running_and_sliding_fits() {
    let rows = [
        ("RC1", ["0.0", "0.4"], ["-0.7", "-0.4"], ["0.4", "1.1"]),
        ("RC2", ["0.0", "0.6"], ["-0.8", "-0.4"], ["0.4", "1.4"]),
        ("RC3", ["0.0", "1.0"], ["-1.6", "-1.0"], ["1.0", "2.6"]),
        ("RC4", ["0.0", "1.6"], ["-2.0", "-1.0"], ["1.0", "3.6"]),
    ];
    for (class, hole, shaft, clearance) in rows {
        for nominal in ["1.2500", "1.5000", "1.9000"] {
            let [s1, s2] = shaft.map(|end| beside(nominal, end).to_string());
            let [b1, b2] = hole.map(|end| beside(nominal, end).to_string());
            let fit = |moved: i64| {
                let most = exact(clearance[1]) + Exact::steps(moved, 1);
                let [least, most] = [signed(clearance[0]), signed(&most.to_string())];
                let mut line = fit_line(
                    &format!("{s1} {s2} -"),
                    &format!("{b1} {b2} -"),
                    &format!("{least} {most} - -"),
                );
                line.places = 5;
                line
            };
            assert_eq!(derived(&fit(0)), Published::Agrees, "{class} of {nominal}");
            assert_eq!(read(vec![fit(0)]).faults(), 0, "{class} of {nominal}");
            // Planted: a tenth of a thousandth too wide.
            assert_eq!(derived(&fit(1)), Published::Wider, "{class} of {nominal}");
        }
    }
}

/// ISO 286-1 and -2 as carried by PyPI pressfit 0.1.0; seen. Micrometres.
#[test]
fn five_fits_of_iso_286() {
    let rows = [
        ("50 H7/g6", 50, [-25, -9], [0, 25], [9, 50]),
        ("25 H7/g6", 25, [-20, -7], [0, 21], [7, 41]),
        ("25 H7/f7", 25, [-41, -20], [0, 21], [20, 62]),
        ("40 H7/p6", 40, [26, 42], [0, 25], [-42, -1]),
        ("50 H8/f7", 50, [-50, -25], [0, 39], [25, 89]),
    ];
    for (spec, size, shaft, hole, clearance) in rows {
        let at = |end: i64| Exact::steps(size * 1000 + end, 3);
        let fit = |end: i64| {
            let side = if end < 0 { "T" } else { "L" };
            format!("{}{side}", Exact::steps(end.abs(), 3))
        };
        let with = |moved: i64| {
            let mut line = fit_line(
                &format!("{} {} -", at(shaft[0]), at(shaft[1])),
                &format!("{} {} -", at(hole[0]), at(hole[1])),
                &format!("{} {} - -", fit(clearance[0] + moved), fit(clearance[1] + moved)),
            );
            line.places = 3;
            line
        };
        assert_eq!(derived(&with(0)), Published::Agrees, "{spec}");
        assert_eq!(derived(&with(2)), Published::Offset, "{spec}");
    }
}

/// TM 5-6115-584-34, table 1-2, piston pin in rod; TM 5-6115-400-35, table 1,
/// cylinder sleeve; seen. The pin in the piston has a wear limit of 0.0003
/// beside 0.0005 to 0.0025 new, which must be questioned.
#[test]
fn fits_of_two_manuals() {
    let rows = [
        ("0.9899 0.9901 -", "0.9903 0.9906 -", ["0.0002L", "0.0007L"], "0.0008L"),
        ("6.2170 6.2210 -", "6.2290 6.2340 -", ["0.0080L", "0.0170L"], "-"),
        ("5.8710 5.8730 -", "5.8740 5.8760 -", ["0.0010L", "0.0050L"], "-"),
        ("5.7780 5.7800 -", "5.7810 5.7830 -", ["0.0010L", "0.0050L"], "-"),
    ];
    for (shaft, bore, [least, most], service) in rows {
        let fit = |most: &str| fit_line(shaft, bore, &format!("{least} {most} - {service}"));
        assert_eq!(derived(&fit(most)), Published::Agrees, "{shaft} {bore}");
        assert_eq!(read(vec![fit(most)]).faults(), 0, "{shaft} {bore}");
        let wider = format!("{}L", exact(most.trim_end_matches('L')) + Exact::steps(1, 4));
        assert_eq!(derived(&fit(&wider)), Published::Wider, "{shaft} {bore}");
    }
    let pin = |worn: &str| fit_line("- - -", "- - -", &format!("0.0005L 0.0025L - {worn}"));
    assert!(read(vec![pin("0.0003L")]).faults() > 0);
    assert_eq!(read(vec![pin("0.0030L")]).faults(), 0);
}

/// TM 9-2815-220-24, work package 0135: out of round 0.0020 new, 0.0030 worn;
/// seen.
#[test]
fn out_of_round_of_a_cylinder() {
    let limits = four("- 0.0020 - 0.0030");
    let line = line(Kind::Roundness(RoundnessLine { feature: SHAFT, limits }));
    let bench = Bench::new();
    let judged = |large: &str| bench.judge_read(&line, &format!("4.7500 {large}"));
    assert!(judged("4.7520").state == State::New && at_limit(&judged("4.7520"), "roundness"));
    assert_eq!(judged("4.7521").state, State::Service);
    assert_eq!(judged("4.7530").state, State::Service);
    assert_eq!(judged("4.7531").state.to_string(), "out, over by 0.0001");
}

/// NIST SP 811 rounds 36 ft to 11.0 m; memory. 25.4 mm is an inch exactly
/// (international yard and pound agreement, 1959); memory.
#[test]
fn thirty_six_feet() {
    let mm = Exact::whole(36 * 12).inches_to_mm();
    assert_eq!(mm, exact("10972.8"));
    assert_eq!(quotient(mm, 1000, 4).nearest(1).to_string(), "11.0");
}

/// ISO 80000-1 annex B, rule A, and ASTM E29 round a half to the even digit;
/// memory. Nothing that is judged is rounded to the nearest, and figures that
/// are only shown take a half away from zero, which says so by name: a half
/// upward or to even is the same for an odd digit, and differs for an even one.
#[test]
fn halves_are_where_the_two_rules_differ() {
    assert_eq!(exact("12.35").nearest(1), exact("12.4"));
    assert_eq!(exact("12.25").nearest(1), exact("12.3"));
    assert_eq!(exact("12.25").floor(1), exact("12.2"));
}

/// JCGM 100:2008, annex H.1: an end gauge of 50 mm, 25, 9.7, 2.9 and 16.6 nm
/// combine to 32 nm; memory.
#[test]
fn the_end_gauge_of_the_guide() {
    let parts = ["25", "9.7", "2.9", "16.6"].map(exact);
    assert_eq!(root_sum_square(&parts, 0), exact("32"));
    assert_eq!(root_sum_square(&parts, 1), exact("31.7"));
}

/// ILAC-G8:09/2019, guard band w = U: on the drawn-in limit the chance of
/// being outside is under 2.5 %; without a band it is a half on the limit
/// (JCGM 106:2012). Rules from memory, figures from the normal distribution.
#[test]
fn a_guard_band_of_u() {
    let outside = |margin: &str| {
        let inside = chance_inside(exact(margin), &[exact("0.0003")]).expect("an uncertainty");
        Exact::whole(1) - inside
    };
    assert!(outside("0.0003") < exact("0.025"), "{}", outside("0.0003"));
    assert_eq!(outside("0.0003"), exact("0.0228"));
    assert!(outside("0.0002") > exact("0.025"));
    assert_eq!(outside("0.0000"), exact("0.5000"));
}

/// Printed slips of real tables, the figures in an invented line: an inch value
/// beside another's millimetres (3.4980 and 88.749), a range from high to low
/// (26.938 to 25.997), .005 for .0005; seen.
#[test]
fn printed_slips_are_questioned() {
    let mut line = reading_line("3.4980 3.4990 - -");
    if let Kind::Reading(reading) = &mut line.kind {
        reading.limits.twin = twinned_with("mm", "88.749 88.875 - -");
    }
    assert!(read(vec![line]).faults() > 0);
    // As it should be: 3.4980 in is 88.849 mm.
    let mut right = reading_line("3.4980 3.4990 - -");
    if let Kind::Reading(reading) = &mut right.kind {
        reading.limits.twin = twinned_with("mm", "88.849 88.875 - -");
    }
    assert_eq!(read(vec![right]).faults(), 0);
    assert!(read(vec![reading_line("26.938 25.997 - -")]).faults() > 0);
    assert_eq!(read(vec![reading_line("25.997 26.938 - -")]).faults(), 0);
    // A fit of 0.0005 to 0.0025 whose least is printed 0.005.
    let fit = |least: &str| {
        fit_line("0.7485 0.7495 -", "0.7500 0.7510 -", &format!("{least} 0.0025L - -"))
    };
    assert!(read(vec![fit("0.005L")]).faults() > 0);
    assert_eq!(read(vec![fit("0.0005L")]).faults(), 0);
}
