//! What may be typed shorter says the same as the long form: held against the
//! long form itself, which was there before and has its own tests.

use super::Job;
use benchleaf::analysis::compare::{Comparison, compare, merged};
use benchleaf::diag::Diags;
use benchleaf::report::json;
use benchleaf::report::sections::ReportInput;
use benchleaf::sheet::Pages;
use benchleaf::{load, record};

/// All that is judged, without the places in the file.
fn verdicts(job: &Job) -> String {
    let (case, set) = job.expanded();
    let input = ReportInput {
        case: &case,
        set: &set,
        record: case.record.as_ref().unwrap(),
        judged: &job.judge().judged,
        pages: &Pages::default(),
        originals: None,
        history: None,
        arithmetic: true,
    };
    json(&input).unwrap()
}

fn rewritten(job: &Job) -> (Job, String) {
    let short = job.clone().rewritten();
    let text = short.files().get("readings.toml").unwrap().to_string();
    (short, text)
}

fn differences(one: &Job, other: &Job) -> Comparison {
    let ((case, set), (second, _)) = (one.expanded(), other.expanded());
    let records = (case.record.as_ref().unwrap(), second.record.as_ref().unwrap());
    let mut out = Diags::new();
    let found = compare(&case, &set, records, &Pages::default(), &mut out);
    found.unwrap_or_else(|| panic!("{}", out.render(one.files(), false)))
}

/// Why the transcription or the record is refused.
fn refused(job: &Job) -> String {
    let mut out = Diags::new();
    if let Some(case) = load::case(job.files(), &mut out) {
        let set = benchleaf::sheet::expand(&case, &mut out).unwrap();
        assert!(record::judge(&case, &set, &mut out).is_none(), "nothing is refused");
    }
    out.plain(job.files()).join("\n")
}

#[test]
fn a_record_written_short_says_the_same() {
    for job in [Job::first(), Job::last(), Job::engine("six-mm"), Job::engine("two-in")] {
        let (short, text) = rewritten(&job);
        let found = differences(&job, &short);
        assert!(found.differences.is_empty(), "{:?}\n{text}", found.differences);
        assert_eq!(verdicts(&job), verdicts(&short), "{text}");
        // Written once more it is the same text.
        assert_eq!(rewritten(&short).1, text);
    }
}

/// `9-typing`, the goal: a third shorter than its long form.
#[test]
fn the_demonstration_is_a_third_shorter() {
    let job = Job::last();
    // Lines with something in them, remarks of the program left out on both sides.
    let said = |line: &&str| !line.trim().is_empty() && !line.starts_with('#');
    let lines = |text: &str| text.lines().filter(said).count();
    let long = lines(job.files().get("readings.toml").unwrap());
    let short = lines(&rewritten(&job).1);
    println!("{short} lines where the long form has {long}");
    assert!(3 * short <= 2 * long, "{short} lines where the long form has {long}");
}

/// Repeats of every kind, and changes, as a job of nine cylinders had them.
fn chain() -> (String, String) {
    let (mut long, mut short) = (String::new(), vec!["[later]".to_owned(), "change = [".into()]);
    let mut rows = Vec::new();
    for (part, place, day) in [("hydraulic-units", "1IN", 8), ("intake-pipes", "2", 9)] {
        long += &format!(
            "[[change]]\npart = \"{part}\"\nplaces = [\"{place}\"]\nwhy = \"part changed\"\n\
             what = \"a new one\"\nnumber = \"P-1\"\nbatch = \"B-1\"\ndocument = \"D-1\"\n\
             by = \"RW\"\non = 2026-03-0{day}\ninspector = \"JA\"\n\n"
        );
        short.push(format!(
            "  [\"{part} {place}\", \"part changed\", \"a new one\", \"RW\", 2026-03-0{day}, \
             {{ number = \"P-1\", batch = \"B-1\", document = \"D-1\", inspector = \"JA\" }}],"
        ));
    }
    short.extend(["]".to_owned(), "again = [".into()]);
    for cylinder in 1..=4 {
        for (row, side, read, gauge) in [
            (format!("R{cylinder}"), "shaft", "[1.8120, 1.8119]", "\"MIC-2\""),
            (format!("K{cylinder}"), "bore 2", "4.3743", "[\"BG-1\", \"MIC-5\"]"),
            (format!("N{cylinder}"), "bore", "[0.7973, 0.7974]", "[\"TEL-1\", \"MIC-1\"]"),
            (format!("T{cylinder}EX"), "shaft 1", "0.8734", "\"MIC-1\""),
            (format!("RS{cylinder}"), "read", "[0.0100]", "\"FEEL-2\""),
        ] {
            rows.push((row, side, read, gauge));
        }
    }
    rows.extend([
        ("TL1IN".to_owned(), "read", "[25.0]", "\"LDT-1\""),
        ("EC".to_owned(), "read", "[0.0080]", "\"DI-1\""),
        ("SR".to_owned(), "read", "[8.8]", "\"SPR-1\""),
    ]);
    for (row, side, read, gauge) in &rows {
        long += &format!(
            "[[again]]\nrow = \"{row}\"\nbox = \"{side}\"\nread = {read}\n\
             why = \"measured again\"\nby = \"JA\"\non = 2026-03-14\ngauge = {gauge}\nzero = \"vv\"\n\n"
        );
        short.push(format!(
            "  [\"{row} {side}\", {read}, \"measured again\", \"JA\", 2026-03-14, {gauge}, \
             {{ zero = \"vv\" }}],"
        ));
    }
    short.push("]".into());
    assert_eq!(rows.len() + 2, 25);
    (long, short.join("\n"))
}

#[test]
fn twenty_five_repeats_and_changes_take_sixty_lines_at_most() {
    let (long, short) = chain();
    assert!(short.lines().count() <= 60, "{}", short.lines().count());
    assert!(long.lines().count() > 250);
    let (one, other) = (Job::last().add(&long), Job::last().add(&short));
    let found = differences(&one, &other);
    assert!(found.differences.is_empty(), "{:?}", found.differences);
    assert_eq!(verdicts(&one), verdicts(&other));
}

/// Who, when and with what said once; a blank box was not read again.
#[test]
fn one_table_holds_many_rows_as_they_stand_on_the_sheet() {
    let rest = "by = \"JA\"; on = 2026-03-14; gauge = [\"TEL-1\", \"MIC-2B\"]; inspector = \"TD\"";
    let long = Job::last()
        .again("C1", "bore 2", "1.3754", "measured again", rest)
        .again("C3", "bore", "[1.3756, 1.3757]", "measured again", rest)
        .again("UC", "read", "0.0031", "measured again", rest);
    let short = Job::last().add(&format!(
        "[[again]]\nwhy = \"measured again\"\n{}\n\
         C1.bore = [\"-\", 1.3754]\nC3 = {{ bore = [1.3756, 1.3757] }}\nUC = 0.0031\n",
        rest.replace("; ", "\n")
    ));
    let found = differences(&long, &short);
    assert!(found.differences.is_empty(), "{:?}", found.differences);
    assert_eq!(verdicts(&long), verdicts(&short));
}

#[test]
fn one_mark_stands_for_a_list_and_an_item_by_itself_beside_it() {
    let job = Job::last();
    let text = job.files().get("readings.toml").unwrap();
    let eight =
        "1 = \"v\"\n2 = \"v\"\n3 = \"v\"\n4 = \"v\"\n5 = \"v\"\n6 = \"v\"\n7 = \"v\"\n8 = \"v\"\n";
    assert!(text.contains(eight));
    let short = |typed: &str| job.clone().sheet("C", eight, typed);
    assert_eq!(verdicts(&job), verdicts(&short("1-8 = \"v\"\n")));
    let open = short("1-8 = \"v\"\n5 = \"-\"\n").judge();
    assert!(!open.item("C", 5).asks.is_empty() && open.item("C", 4).asks.is_empty());
    // What asks for words, for a part renewed or for another number of marks is
    // not answered by it.
    for (letter, from, to, said) in [
        ("A", "\n5 = \"v\"\n6", "\n4-5 = \"v\"\n6", "item 4 asks for"),
        ("RN", "remarks = \"\"\n", "", "item 1 asks for"),
        ("J", "\n1 = \"vvvv\"\n2 = \"vvvv\"", "\n1-2 = \"v\"", "1 mark typed, 4 printed"),
        ("C", "\n8 = \"v\"\n", "\n8-9 = \"v\"\n", "sheet C has no item 9"),
    ] {
        let job = match letter {
            "A" => job.clone().sheet("A", "4 = \"time reached; oil use rising\"\n", ""),
            _ => job.clone(),
        };
        let job = match letter {
            "RN" => {
                let first = "1 = { count = 6, number = \"TW-1120\", batch = \"B1177\", document = \"DEMO-REL-0192\" }";
                job.sheet("RN", first, "1-1 = \"v\"")
            }
            _ => job.sheet(letter, from, to),
        };
        let refused = refused(&job);
        assert!(refused.contains(said), "{letter}: {refused}");
    }
}

/// The number of the document and the place, in a sheet's table and in all that
/// came later.
#[test]
fn a_published_number_names_a_row() {
    let numbered = |job: Job, name: &str, number: &str| {
        let line = format!("name  = \"{name}\"");
        job.with("limits", &line, &format!("{line}\npublished = \"{number}\""))
    };
    let job = |second| {
        let job = numbered(Job::unprinted(), "camshaft in crankcase", "5-101");
        numbered(job, "tappet in guide", second).printed()
    };
    let rest = "by = \"JA\"; on = 2026-03-14; gauge = [\"TEL-1\", \"MIC-2B\"]; inspector = \"TD\"";
    let long = job("5-102").again("C1", "bore 2", "1.3754", "measured again", rest);
    let same = |short: Job| {
        let found = differences(&long, &short);
        assert!(found.differences.is_empty(), "{:?}", found.differences);
        assert_eq!(verdicts(&long), verdicts(&short));
    };
    let by_number = job("5-102")
        .typed("C2.shaft = ", "\"5-101/2\".shaft = ")
        .typed("C2.bore = ", "\"5-101/2\".bore = ");
    same(by_number.clone().again("5-101/1", "bore 2", "1.3754", "measured again", rest));
    same(by_number.add(
        "[later]\nagain = [\"5-101/1 bore 2\", 1.3754, \"measured again\", \"JA\", 2026-03-14, \
         [\"TEL-1\", \"MIC-2B\"], { inspector = \"TD\" }]",
    ));
    // Two lines of one number: nobody can say which is meant.
    let both = job("5-101").again("5-101/1", "bore 2", "1.3754", "measured again", rest);
    assert!(refused(&both).contains("no row 5-101/1"), "{}", refused(&both));
    let typed = job("5-102").typed("C2.shaft = ", "\"5-103/2\".shaft = ");
    assert!(refused(&typed).contains("5-103/2"), "{}", refused(&typed));
}

const BORES: &str =
    "bore  = { by = \"TD\", on = 2026-03-03, gauge = [\"TEL-1\", \"MIC-1\"], zero = \"vv\" }";

/// Two days, two people: each row has whoever measured it.
#[test]
fn several_people_sign_for_one_side_of_a_sheet() {
    let both = "bore = [[\"TD\", 2026-03-03, [\"TEL-1\", \"MIC-1\"], \"vv\"], \
                [\"RW\", 2026-03-04, [\"TEL-1\", \"MIC-1\"], \"vv\", { rows = [\"T4IN\", \"T4EX\"] }]]";
    let job = Job::last().sheet("T", BORES, both);
    let found = job.judge();
    let by = |code: &str| {
        let step = found.row(code).last().unwrap();
        step.sides[1].sources[0].in_words()
    };
    assert_eq!(by("T4EX"), "RW, 2026-03-04, TEL-1 and MIC-1");
    assert_eq!(by("T3EX"), "TD, 2026-03-03, TEL-1 and MIC-1");
    found.ends_final();
    let (short, _) = rewritten(&job);
    assert!(differences(&job, &short).differences.is_empty());
    // What two typed alike holds both.
    let (_, set) = job.expanded();
    let both_typed = differences(&job, &job);
    let merged = merged(&set, &Pages::default(), &both_typed, &Default::default());
    let merged = job.clone().retyped(&merged).judge();
    let step = merged.row("T4EX").last().unwrap();
    assert_eq!(step.sides[1].sources[0].in_words(), "RW, 2026-03-04, TEL-1 and MIC-1");
    // Nobody for the rest; no gauge for some; the zero after use not looked at.
    let only = both.replace("[\"TD\", 2026-03-03, [\"TEL-1\", \"MIC-1\"], \"vv\"], ", "");
    let asked = Job::last().sheet("T", BORES, &only).judge().sheet("T");
    assert!(asked.contains("no initials for bore"), "{asked}");
    let bare = both
        .replace("[\"RW\", 2026-03-04, [\"TEL-1\", \"MIC-1\"], \"vv\",", "[\"RW\", 2026-03-04,");
    let asked = Job::last().sheet("T", BORES, &bare).judge().sheet("T");
    assert!(asked.contains("no gauge named for bore"), "{asked}");
    assert!(asked.contains("not looked at after use"), "{asked}");
    // Checked on the 4th, measured on the 5th: whoever signed last counts.
    let late = both.replace("2026-03-04", "2026-03-05");
    let asked = Job::last().sheet("T", BORES, &late).judge().sheet("T");
    assert!(asked.contains("before it was measured or done on 2026-03-05"), "{asked}");
    // Whoever measured two rows of sixteen does not check the sheet.
    let own = both.replace("\"RW\"", "\"JA\"");
    let asked = Job::last().sheet("T", BORES, &own).judge().sheet("T");
    assert!(asked.contains("JA did bore and checked it"), "{asked}");
    for (from, to, said) in [
        ("\"T4IN\", \"T4EX\"", "\"T4IN\", \"C1\"", "sheet T has no row C1 to sign for under bore"),
        ("\"T4IN\", \"T4EX\"", "\"T4IN\", \"T4IN\"", "two have signed for bore of row T4IN"),
        (", { rows = [\"T4IN\", \"T4EX\"] }", "", "not each says for which rows"),
    ] {
        let refused = refused(&Job::last().sheet("T", BORES, &both.replace(from, to)));
        assert!(refused.contains(said), "{refused}");
    }
}
