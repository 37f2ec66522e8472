//! Wear limits that cannot be, misprints that a table shows by itself, and what
//! a document gives in another way than as a size: an amount of wear, `replace`.

use super::bench::*;
use super::proofs::read;
use super::table::rows;
use benchleaf::diag::{Diag, Diags, Severity, Sources};
use benchleaf::judge::{PartState, State, check};
use benchleaf::load;
use benchleaf::model::limits::*;
use benchleaf::quantity::Exact;

fn fault(line: Line) -> Diag {
    let found = read(vec![line]);
    let all: Vec<&Diag> = found.iter().filter(|diag| diag.severity == Severity::Fault).collect();
    assert_eq!(all.len(), 1, "{found:?}");
    all[0].clone()
}

/// 0.002 of wear typed as a size on a journal of 2.2500 would pass 2.2000.
#[test]
fn an_amount_typed_as_a_size_is_questioned() {
    let mut line = fit_line("2.2490 2.2500 0.0020", "2.2510 2.2520 -", "0.0010L 0.0030L - -");
    let found = fault(line.clone());
    assert!(found.message.contains("2.2470 from its new minimum 2.2490"), "{}", found.message);
    assert!(found.help.contains("wear-amount = 0.0020"), "{}", found.help);
    line.agreed = Some(word("maker's letter"));
    assert_eq!(read(vec![line]).faults(), 0);
    // Ten widths of 0.0010 are 0.0100: at it is no question, a step beyond is.
    for (wear, faults) in [("2.2390", 0), ("2.2389", 1)] {
        let line = fit_line(&format!("2.2490 2.2500 {wear}"), "- - -", "- - - -");
        assert_eq!(read(vec![line]).faults(), faults, "{wear}");
    }
    let mut line = measured_in("mm", fit_line("57.100 57.110 56.849", "- - -", "- - - -"));
    line.places = 3;
    assert_eq!(read(vec![line]).faults(), 1, "0.251 mm");
    assert!(fault(size_line("1.0000 1.0010 0.9000 -")).message.contains("service 0.9000"));
}

#[test]
fn misprints_that_a_size_shows_by_itself() {
    let found = fault(fit_line("15.171 15.581 -", "- - -", "- - - -"));
    assert!(found.message.contains("is 0.4100 wide"), "{}", found.message);
    let found = read(vec![size_line("12885 1.2895 - -")]);
    assert!(found.iter().any(|diag| diag.help == "1.2885"), "{found:?}");
    let found = read(vec![size_line("1.2885 1.2895 - 12905")]);
    assert!(found.iter().any(|diag| diag.message.contains("has no point")), "{found:?}");
    // A size of another magnitude: .13725 for 1.3725.
    assert!(read(vec![size_line("0.1372 1.3735 - -")]).faults() > 0);
    assert_eq!(read(vec![size_line("1.3725 1.3735 1.3715 -")]).faults(), 0);
    // Spring loads are whole pounds.
    let mut spring = measured_in("lbf", reading_line("68 76 64 -"));
    spring.places = 0;
    assert!(read(vec![spring]).is_empty());
}

/// Twin figures on every kind of line and in every unit: 42 lbf are 186.8 N
/// (0.45359237 kg and 9.80665 m/s2, from memory).
#[test]
fn twins_on_every_kind_and_unit() {
    let in_unit = |limits: &str, twin: &str, unit: &str| {
        let mut four = four(limits);
        four.twin = twinned_with(unit, twin);
        four
    };
    let faults = |kind: Kind, unit: &str| {
        let mut line = measured_in(unit, line(kind));
        line.places = 4;
        let found = read(vec![line]);
        let twins = found.iter().filter(|diag| diag.message.contains("beside"));
        twins.map(|diag| diag.help.clone()).collect::<Vec<_>>()
    };
    let reading = |four: Tolerance| {
        let mut line = reading_line("- - - -");
        if let Kind::Reading(reading) = &mut line.kind {
            reading.limits = four;
        }
        line.kind
    };
    for (own, unit, good, bad, other) in [
        ("42 46 40 -", "lbf", "187 205 178 -", "187 250 178 -", "N"),
        ("187 205 178 -", "N", "42 46 40 -", "42 64 40 -", "lb"),
        ("110 120 - -", "in·lbf", "12.4 13.6 - -", "12.4 16.3 - -", "N·m"),
        ("60 80 - -", "psi", "414 552 - -", "141 552 - -", "kPa"),
        ("0.0010 0.0035 - -", "in", "0.025 0.089 - -", "0.025 0.98 - -", "mm"),
    ] {
        assert!(faults(reading(in_unit(own, good, other)), unit).is_empty(), "{own} {unit}");
        assert_eq!(faults(reading(in_unit(own, bad, other)), unit).len(), 1, "{own} {unit}");
    }
    let odd = faults(reading(in_unit("42 46 - -", "5 6 - -", "°")), "lbf");
    assert!(odd.len() == 1 && odd[0].contains("can convert"), "{odd:?}");
    let limits = || in_unit("- 0.0005 - -", "- 0.127 - -", "mm");
    let kinds = [
        Kind::Roundness(RoundnessLine { feature: SHAFT, limits: limits() }),
        Kind::Spread(SpreadLine { at: 0, part: None, with: None, limits: limits() }),
    ];
    for kind in kinds {
        let right = faults(kind, "in");
        assert!(right.len() == 1 && right[0].contains("the point slipped"), "{right:?}");
    }
    // A figure beside none.
    assert_eq!(faults(reading(in_unit("42 - - -", "187 205 - -", "N")), "lbf").len(), 1);
}

/// Of the published tables: misprints found, and rows that agree questioned.
#[test]
fn how_many_of_the_published_rows_are_questioned() {
    let mut counts = [0; 4];
    for row in rows("fits.csv").iter().filter(|row| row["value_basis"] == "printed") {
        let found = read(vec![super::tables::as_line(row)]);
        let misprint = row["flag"] == "misprint";
        counts[usize::from(!misprint) * 2] += 1;
        counts[usize::from(!misprint) * 2 + 1] += usize::from(found.faults() > 0);
        let plain = ["agree", "narrower", "published only", "no fit printed", "limit only"];
        assert!(!plain.contains(&row["flag"].as_str()) || found.faults() == 0, "{row:?} {found:?}");
    }
    println!(
        "misprints {} of them refused {}, others {} refused {}",
        counts[0], counts[1], counts[2], counts[3]
    );
    assert!(counts[1] > 3, "{counts:?}");
}

/// Nothing but a new part serves: a used shaft inside its new limits is out.
#[test]
fn a_part_that_is_replaced() {
    let mut line = camshaft();
    if let Kind::Fit(fit) = &mut line.kind {
        fit.shaft.replace = true;
        fit.shaft.wear = None;
    }
    let mut bench = Bench::new();
    let words = check(&line).limits(&bench.setting()).words;
    assert!(words.ends_with("shaft service: replace"), "{words}");
    let verdict = bench.judge(&line, "1.3730 1.3730", "1.3750 1.3750");
    assert_eq!(verdict.state.to_string(), "out, shaft not new");
    assert!(verdict.notes.iter().any(|note| note.contains("nothing but a new part serves")));
    bench.states[0] = PartState::Reworked { grade: None };
    let verdict = bench.judge(&line, "1.3730 1.3730", "1.3750 1.3750");
    assert!(matches!(verdict.state, State::Out(_)), "{verdict:?}");
    bench.states[0] = PartState::New;
    let verdict = bench.judge(&line, "1.3730 1.3730", "1.3750 1.3750");
    assert_eq!(verdict.state, State::New);
    // New, it must meet its new limits.
    let verdict = bench.judge(&line, "1.3720 1.3720", "1.3750 1.3750");
    assert!(matches!(verdict.state, State::Out(_)), "{verdict:?}");
    // A blank is still open.
    bench.states[0] = PartState::Reused;
    assert_eq!(bench.judge(&line, "- -", "1.3750 1.3750").state, State::Open);
    let mut spring = reading_line("68 76 - -");
    if let Kind::Reading(reading) = &mut spring.kind {
        reading.limits.replace = true;
    }
    assert_eq!(bench.judge_read(&spring, "70").state.to_string(), "out, part not new");
}

/// The mate does not help a used part that is to be replaced, and no used one is
/// looked for in its place: 1.3770 - 1.3730 = 0.0040, out by 0.0010 where 0.0030
/// is the greatest.
#[test]
fn nothing_is_advised_for_a_used_part_that_is_replaced() {
    let mut line = fit_line("1.3725 1.3735 -", "1.3745 1.3760 1.3770", "0.0010L 0.0030L - 0.0030L");
    let loose = |line: &Line, shaft: PartState| {
        let bench = Bench::new().states(shaft, PartState::Reused);
        bench.judge(line, "1.3730 1.3730", "1.3770 1.3770").remedies
    };
    let with_shaft = |lines: &[String]| lines.iter().any(|line| line.contains("with this shaft"));
    let used_shaft = |lines: &[String]| lines.iter().any(|line| line.starts_with("smallest shaft"));
    let usual = loose(&line, PartState::Reused);
    assert!(with_shaft(&usual) && used_shaft(&usual), "{usual:?}");
    let Kind::Fit(fit) = &mut line.kind else { unreachable!() };
    fit.shaft.replace = true;
    let replaced = loose(&line, PartState::Reused);
    assert!(!with_shaft(&replaced) && !used_shaft(&replaced), "{replaced:?}");
    // New, it is what the bore is to be fitted to.
    assert!(with_shaft(&loose(&line, PartState::New)));
}

const ENGINE: &str = "[engine]\nmaker = \"T\"\nmodel = \"T\"\nunit = \"in\"\n[parts.a]\n[features.s]\n\
                      part = \"a\"\nkind = \"shaft\"\n[features.b]\npart = \"a\"\nkind = \"bore\"\n\
                      [features.p]\npart = \"a\"\nkind = \"plain\"\n";

/// The one line of a limits file, or what is wrong with it.
fn typed(line: &str) -> Result<Line, Vec<String>> {
    let mut files = Sources::default();
    files.put("engine.toml", ENGINE);
    files.put(
        "limits.toml",
        format!(
            "[document]\ntitle = \"M\"\nnumber = \"1\"\nrevision = \"1\"\nunit = \"in\"\n\
             resolution = \"0.0001\"\n[[line]]\nref = \"C\"\nname = \"c\"\n{line}\n"
        ),
    );
    let mut out = Diags::new();
    let engine = load::engine(&files, "engine.toml", &mut out).expect("an engine");
    let limits = load::limits(&files, "limits.toml", &engine, &mut out);
    let found = limits.and_then(|limits| limits.lines.into_iter().next());
    found.ok_or_else(|| out.plain(&files))
}

#[test]
fn wear_as_an_amount_is_worked_out_and_shown_as_both() {
    let line = typed(
        "kind = \"fit\"\nshaft = { feature = \"s\", new = [1.3725, 1.3735], wear-amount = 0.0010 }\n\
         bore = { feature = \"b\", new = [1.3745, 1.3760], wear-amount = 0.0012 }",
    );
    let line = line.unwrap();
    let Kind::Fit(fit) = &line.kind else { panic!("{line:?}") };
    let value = |limit: &Option<benchleaf::model::text::Limit>| {
        limit.as_ref().and_then(|limit| limit.in_unit(&line.unit)).map(|limit| limit.value)
    };
    assert_eq!(value(&fit.shaft.wear), Some(Exact::steps(13_715, 4)));
    assert_eq!(value(&fit.bore.wear), Some(Exact::steps(13_772, 4)));
    let words = check(&line).limits(&Bench::new().setting()).words;
    assert!(words.contains("shaft worn by 0.0010 from new, 1.3715"), "{words}");
    assert!(words.contains("bore worn by 0.0012 from new, 1.3772"), "{words}");
    let line =
        typed("kind = \"size\"\nfeature = \"s\"\nnew = [1.3725, 1.3735]\nwear-amount = 0.0010");
    let line = line.unwrap();
    let words = check(&line).limits(&Bench::new().setting()).words;
    assert!(words.contains("service from 1.3715"), "{words}");
    assert!(words.contains("worn by 0.0010 from new"), "{words}");
}

#[test]
fn amounts_and_replace_that_cannot_be() {
    let wrong = |line: &str, words: &str| {
        let found = typed(line).err().unwrap_or_else(|| panic!("{line} is read"));
        assert!(found.iter().any(|message| message.contains(words)), "{found:?}");
    };
    let size = |feature: &str, rest: &str| {
        format!("kind = \"size\"\nfeature = \"{feature}\"\nnew = [1.3725, 1.3735]\n{rest}")
    };
    wrong(&size("s", "wear-amount = 0.0010\nservice-min = 1.3715"), "say the same");
    wrong(&size("p", "wear-amount = 0.0010"), "neither");
    wrong(&size("s", "wear-amount = 0.0000"), "0.0000");
    wrong(&size("s", "wear-amount = 0.0010\nservice = \"replace\""), "keep one");
    wrong(&size("s", "service = \"replaced\""), "not a choice");
    wrong(&size("s", "service = \"replace\"\nservice-min = 1.3715"), "say the same");
    wrong("kind = \"size\"\nfeature = \"s\"\nnew-max = 1.3735\nwear-amount = 0.0010", "not given");
    assert!(typed(&size("s", "service = \"replace\"")).is_ok());
}
