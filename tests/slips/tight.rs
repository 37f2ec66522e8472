//! Shaft and bore exchanged in fits that may be tight and need not be, such as a
//! bearing's in its housing.

use super::bench::{Bench, bench, exact, typed};
use benchleaf::judge::slips::Slip;
use benchleaf::model::limits::Kind;
use benchleaf::model::text::{Limit, Number};
use benchleaf::quantity::{Fit, Length, Unit};

/// The bench's line C with other sizes: new shaft, new bore, new fit and the
/// loosest in service.
fn ring(shaft: [&str; 2], bore: [&str; 2], fit: [&str; 3]) -> Bench {
    let mut bench = bench();
    let line = bench.limits.lines.iter_mut().find(|line| line.reference.as_str() == "C").unwrap();
    let Kind::Fit(of) = &mut line.kind else { panic!("a fit") };
    let inch = || Unit::Length(Length::Inch);
    let size = |text: &str| Some(Limit::new(typed(text), inch()));
    let signed = |text: &str| {
        let value = Fit::read(text).expect(text).0;
        let (text, at) = (text.into(), super::bench::nowhere());
        Some(Limit::new(Number { value, text, at }, inch()))
    };
    (of.shaft.new_min, of.shaft.new_max, of.shaft.wear) = (size(shaft[0]), size(shaft[1]), None);
    (of.bore.new_min, of.bore.new_max, of.bore.wear) = (size(bore[0]), size(bore[1]), None);
    (of.fit.new_min, of.fit.new_max) = (signed(fit[0]), signed(fit[1]));
    of.fit.service_max = signed(fit[2]);
    bench
}

/// 1.3740 less 1.3745 to 1.3750 less 1.3740.
fn either() -> Bench {
    ring(["1.3740", "1.3745"], ["1.3740", "1.3750"], ["0.0005T", "0.0010L", "0.0015L"])
}

/// The check values of the drive housing in its case.
fn tight() -> Bench {
    ring(["1.0005", "1.0010"], ["0.9990", "0.9998"], ["0.0020T", "0.0007T", "0.0003T"])
}

fn exchanged(bench: &Bench, shaft: [&str; 2], bore: [&str; 2]) -> bool {
    bench.ask("C", &shaft, &bore).iter().any(|asked| asked.slip == Slip::Exchanged)
}

#[test]
fn a_true_out_tight_of_a_fit_that_may_be_tight_is_not_hidden() {
    // A bore 0.0003 small: 1.3737 - 1.3744 is 0.0007 T, and 0.0007 L exchanged
    // would pass.
    assert!(!exchanged(&either(), ["1.3744", "1.3743"], ["1.3737", "1.3738"]));
    // Every size near the new ones, in steps: nothing is asked where both parts
    // are their own size, and nothing where one of them is nobody's.
    let bench = either();
    let size = |n: i64| benchleaf::quantity::Exact::steps(13_700 + n, 4).to_string();
    let inside = |n: i64, low: i64, high: i64| (low..=high).contains(&n);
    let mut asked = 0;
    for shaft in 35..=55 {
        for bore in 30..=55 {
            let (s, b) = (size(shaft), size(bore));
            let told = exchanged(&bench, [&s, &s], [&b, &b]);
            let astray = inside(shaft, 40, 50) && inside(bore, 40, 45) && !inside(shaft, 40, 45);
            let out = bore - shaft < -5;
            assert_eq!(told, astray && out, "{s} in {b}");
            asked += usize::from(told);
        }
    }
    assert!(asked > 5, "{asked}");
}

#[test]
fn parts_in_each_others_boxes_are_asked_about() {
    // 1.3749 and 1.3741 in each other's boxes: 0.0008 T for 0.0008 L.
    assert!(exchanged(&either(), ["1.3749", "1.3748"], ["1.3741", "1.3742"]));
    // A tight fit exchanged is loose, as a worn one is: it is out. A worn seat: 1.0012 - 1.0005 is 0.0007 L, and 0.0007 T exchanged would pass.
    assert!(!exchanged(&tight(), ["1.0005", "1.0005"], ["1.0012", "1.0012"]));
    assert_eq!(exact("1.0012") - exact("1.0005"), exact("0.0007"));
}
