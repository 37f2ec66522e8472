//! Limits by place: one line whose places have sizes of their own. The figures
//! are the design's check values of the camshaft's line, at the accessory end
//! 0.1000 larger.

use super::Job;
use crate::second::{place, readied, windows};
use benchleaf::diag::Severity;
use benchleaf::judge::proof;
use benchleaf::load::toml::tree::{self, Node, Table, Value};
use benchleaf::model::text::Text;

const NEW: &str = "within new limits";
const OWN: &str = "bore  = { feature = \"cam-bore\", new = [1.3745, 1.3760], wear = 1.3770 }\n\
    fit   = { new = [\"0.0010L\", \"0.0035L\"], service = \"0.0050L\" }\npage  = \"table 7, sheet 1\"\n";
/// What the line has at its third place.
const LARGER: &str = "published = \"5-12\"\n[line.places.3]\npublished = \"5-13\"\n\
    shaft = { new = [1.4725, 1.4735], wear = 1.4715 }\nbore = { new = [1.4745, 1.4760], wear = 1.4770 }\n";
/// The camshaft's bearings in the engine file.
const LAST: &str =
    "cam-bearing  = { codes = \"1-3\", names = [\"propeller end\", \"centre\", \"accessory end\"]";
/// The camshaft's roundness: 0.0005 new, 0.0010 in service.
const ROUND: &str = "feature = \"cam-journal\"\nnew-max = 0.0005\nservice-max = 0.0010\n";

fn job() -> Job {
    Job::of("demo/readings-first.toml").with("limits", OWN, &format!("{OWN}{LARGER}"))
}

fn read(shaft: &str, bore: &str) -> Job {
    job().row("C3.shaft", shaft).row("C3.bore", bore).printed()
}

#[test]
fn every_place_is_judged_by_its_own_limits() {
    // As at C2 of the check values: 1.4768 - 1.4716 is 0.0052, 0.0050 allowed.
    let found = read("[1.4718, 1.4716]", "[1.4767, 1.4768]").judge();
    let found = found.is("C3", "out, loose by 0.0002").is("C2", "out, loose by 0.0002");
    found.is("C1", NEW).says("C3", "loosest 1.4768 - 1.4716 = 0.0052 L, limit 0.0050 L");
    // On the wear limits and the greatest fit: inclusive.
    let found = read("[1.4718, 1.4718]", "[1.4768, 1.4768]").judge();
    found.is("C3", "within service limits").says("C3", "loosest at limit");
    // The other places' sizes are far off here, and these there.
    let found = read("[1.3728, 1.3727]", "[1.3755, 1.3757]").judge();
    found.says(
        "C3",
        "shaft reads 1.3728, 1.3727: wrong tenth (0.1000 in) in every box would make it 1.4728",
    );
    let swapped = job().row("C1.shaft", "[1.4731, 1.4730]").row("C1.bore", "[1.4752, 1.4753]");
    swapped.printed().judge().says("C1", "shaft reads 1.4731, 1.4730: wrong tenth");
}

#[test]
fn the_second_stage_is_of_the_place() {
    let job = read("[1.4718, 1.4716]", "[]").row("C2.bore", "[]");
    let (_, sheets) = readied(&job, None);
    // The check values: reused 1.3728 to 1.3766, new 1.3745 to 1.3760.
    let here = ["reused bore 1.4728 to 1.4766", "new bore 1.4745 to 1.4760"];
    assert_eq!(windows(&place(&sheets, "C3")), here);
    let there = ["reused bore 1.3728 to 1.3766", "new bore 1.3745 to 1.3760"];
    assert_eq!(windows(&place(&sheets, "C2")), there);
    let limits: Vec<&str> =
        sheets.iter().flat_map(|sheet| &sheet.lines).map(|line| line.limits.as_str()).collect();
    assert!(limits.iter().any(|words| words.starts_with("at 1, 2: new 0.0010 L")), "{limits:?}");
    assert!(limits.iter().any(|words| words.ends_with(", published as 5-13")), "{limits:?}");
}

/// What the document says of the line holds where a place says no other.
#[test]
fn replace_is_for_every_place_that_has_no_wear_limit() {
    let shaft = "new = [1.3725, 1.3735], wear = 1.3715 }";
    let never = "new = [1.3725, 1.3735], service = \"replace\" }";
    let judged = |from: &str, to: &str| {
        let larger = format!("{OWN}{LARGER}").replace(from, to);
        let job = Job::of("demo/readings-first.toml").with("limits", OWN, &larger);
        let job = job.with("limits", shaft, never);
        job.row("C3.shaft", "[1.4730, 1.4730]").row("C3.bore", "[1.4750, 1.4750]").printed().judge()
    };
    let found = judged("], wear = 1.4715", "]");
    found.is("C1", "out, shaft not new").is("C3", "out, shaft not new");
    judged("", "").is("C1", "out, shaft not new").is("C3", NEW);
}

/// A pair further apart than five times its roundness limit is asked about
/// (0.0016 apart: 3 times 0.0005, 8 times 0.0002), and the row of the
/// roundness itself goes by its place.
#[test]
fn roundness_and_what_it_asks_go_by_place() {
    let with = |round: &str| {
        let job = job().with("limits", ROUND, &format!("{ROUND}{round}"));
        job.row("C3.shaft", "[1.4732, 1.4716]").row("C3.bore", "[1.4752, 1.4753]").printed().judge()
    };
    let far = "further apart than one part can be";
    with("").silent("C3", far).is("CR3", "out, over by 0.0006");
    let found = with("places = { \"3\" = { new-max = 0.0002, service-max = 0.0020 } }\n");
    found.says("C3", far).is("CR1", NEW);
    let found = with("places = { \"1 2\" = { new-max = 0.0002, service-max = 0.0020 } }\n");
    found.silent("C3", far).is("CR3", "out, over by 0.0006");
    let found = with("places = { \"3\" = { new-max = 0.0016 } }\n");
    found.is("CR3", NEW);
}

/// One thimble line would make a pair 0.0003 apart of one that is 0.0013 apart.
/// By the roundness at this place both are service, 0.00028 new and 0.0020 at
/// most, and nothing is asked; by that of the other places it would be.
#[test]
fn a_slip_is_asked_about_for_the_rows_of_its_place() {
    let fine = "resolution = \"0.00001\"\n\
        places = { \"3\" = { new-max = 0.00028, service-max = 0.0020 } }\n";
    let job = Job::of("demo/readings-first.toml")
        .with("limits", OWN, &format!("{OWN}{LARGER}").replace("1.4715", "1.4705"))
        .with("limits", ROUND, &format!("{ROUND}{fine}"));
    let job = job.row("C3.shaft", "[1.4720, 1.4707]").row("C3.bore", "[1.4755, 1.4755]");
    let found = job.printed().judge();
    found.is("C3", "within service limits").is("CR3", "within service limits");
}

/// Whoever agreed to a line that does not add up has not agreed to the figures
/// of another place.
#[test]
fn each_place_is_proof_read_and_agreed_to_by_itself() {
    let faults = |more: &str, from: &str, to: &str| {
        let larger = format!("{LARGER}{more}").replace(from, to);
        let own = format!("agreed = \"letter of 2024-05-01\"\n{OWN}{larger}");
        let (case, _) = Job::of("demo/readings-first.toml").with("limits", OWN, &own).expanded();
        let found = proof(&case.limits, &case.engine);
        let faults = found.iter().filter(|found| found.severity == Severity::Fault);
        faults.map(|fault| fault.message.clone()).collect::<Vec<_>>()
    };
    assert_eq!(faults("", "5-13", "5-13"), [""; 0]);
    // 1.4760 - 1.4720 is 0.0040, 0.0035 published: still narrower is no fault.
    let wide = faults("", "1.4760", "1.4755");
    assert_eq!(wide.len(), 1, "{wide:?}");
    assert!(wide[0].starts_with("line C at 3: "), "{wide:?}");
    assert_eq!(faults("agreed = \"the same\"\n", "1.4760", "1.4755"), [""; 0]);
}

#[test]
fn what_is_printed_says_where_and_by_what_number() {
    let job = job().printed();
    let (case, set) = job.expanded();
    let lines: Vec<_> = set.sheet("C").unwrap().lines().filter(|l| l.reference == "C").collect();
    let rows = |n: usize| lines[n].rows.iter().map(|row| row.code.as_str()).collect::<Vec<_>>();
    assert_eq!((lines.len(), rows(0), rows(1)), (2, vec!["C1", "C2"], vec!["C3"]));
    assert_eq!(lines[1].limits, "at 3: new 0.0010 L to 0.0035 L, service to 0.0050 L");
    let floor = |n: usize| lines[n].ranges.first().and_then(|range| range.at).unwrap().to_string();
    assert_eq!((floor(0), floor(1)), ("1.3725".to_owned(), "1.4725".to_owned()));
    let source = |n: usize| lines[n].source().unwrap();
    assert_eq!(source(0), "published as 5-12, table 7, sheet 1");
    assert_eq!(source(1), "published as 5-13, table 7, sheet 1");
    let text = benchleaf::sheet::transcription(&set, &Default::default());
    assert!(text.contains("# camshaft in crankcase (published as 5-13): at 3: new"), "{text}");
    assert_eq!(case.limits.typed_lines().count() + 1, case.limits.lines.len());
    let report = format!("{:?}", job.report());
    for words in ["Camshaft in crankcase, at 3", "published as 5-13, table 7, sheet 1"] {
        assert!(report.contains(words), "{words}");
    }
}

/// Both are in the number of the sheet; the words for a reader are not.
#[test]
fn the_sheets_number_is_of_every_place() {
    // Of the line by itself: a line beside it has the places' names too.
    let number = |file: &str, from: &str, to: &str| {
        let (_, set) = job().with(file, from, to).expanded();
        set.sheet("C").unwrap().digests.iter().find(|(key, _)| key == "C").unwrap().1.clone()
    };
    let printed = number("limits", "5-12", "5-12");
    assert_eq!(number("limits", "5-13", "14"), printed);
    assert_ne!(number("limits", "wear = 1.4715", "wear = 1.4716"), printed);
    assert_ne!(number("limits", "wear = 1.3715", "wear = 1.3716"), printed);
    assert_ne!(number("limits", "[line.places.3]", "[line.places.2]"), printed);
    assert_ne!(number("engine", LAST, &LAST.replace("accessory", "rear")), printed);
}

/// One spare is for one place, whatever limits each place has: the tappets T3EX
/// and T4EX are worn, 0.8727 in guides of 0.8768, 0.0041 where 0.0040 is allowed.
#[test]
fn a_spare_is_offered_to_one_place() {
    let own = "fit   = { new = [\"0.0010L\", \"0.0028L\"], service = \"0.0040L\" }\npage  = \"table 7, sheet 2\"\n";
    let wider =
        format!("{own}[line.places.\"4EX\"]\nfit = {{ new = [\"0.0010L\", \"0.0028L\"] }}\n");
    let job = Job::of("demo/readings-first.toml").with("limits", own, &wider);
    let worn = |job: Job, code: &str| {
        let job = job.row(&format!("{code}.shaft"), "[0.8727, 0.8727]");
        job.row(&format!("{code}.bore"), "[0.8768, 0.8768]")
    };
    let job = worn(worn(job, "T3EX"), "T4EX").printed();
    let (case, set) = job.expanded();
    let found = job.judge().is("T3EX", "out, loose by 0.0001").is("T4EX", "out, loose by 0.0013");
    let mut files = benchleaf::diag::Sources::default();
    let spare = "[[spare]]\nid = \"S-1\"\nfeature = \"tappet-body\"\nread = [0.8740, 0.8740]\n";
    files.put("spares.toml", spare);
    let mut out = benchleaf::diag::Diags::new();
    let spares = benchleaf::load::spares(&files, "spares.toml", &case, &mut out).expect("a spare");
    let shelves = benchleaf::analysis::whatif::shelf(&case, &set, &found.judged, &spares);
    assert_eq!(shelves.len(), 1);
    let given: Vec<_> = shelves[0].places.iter().filter(|place| place.spare.is_some()).collect();
    assert_eq!((shelves[0].places.len(), given.len()), (2, 1));
    // 0.8768 - 0.8740 is 0.0028: at the limit of the one, 0.0012 inside the other.
    let codes: Vec<&str> = shelves[0].places.iter().map(|place| place.code.as_str()).collect();
    assert_eq!((codes, given[0].code.as_str()), (vec!["T3EX", "T4EX"], "T3EX"));
}

/// A line of the file that repeats its limits for each place by itself is the
/// line that it was: every verdict of three jobs is the same.
#[test]
fn limits_repeated_by_place_change_no_verdict() {
    let jobs = [Job::unprinted(), Job::engine("six-mm"), Job::engine("two-in")];
    let mut split = 0;
    for job in jobs {
        let other = Job { files: job.files.clone() }.repeated(&mut split).printed().judge();
        let found = job.printed().judge();
        let verdicts = |found: &super::Found| {
            let mut all: Vec<String> = found
                .judged
                .rows
                .iter()
                .map(|row| {
                    let verdicts: Vec<_> = row.steps.iter().map(|step| &step.verdict).collect();
                    format!("{} {:?} {:?} {verdicts:?}", row.code, row.state, row.asks)
                })
                .collect();
            all.sort();
            all
        };
        for (was, is) in verdicts(&found).iter().zip(&verdicts(&other)) {
            assert_eq!(was, is);
        }
        assert_eq!(found.judged.rows.len(), other.judged.rows.len());
    }
    assert!(split > 60, "{split} lines went by place");
}

impl Job {
    /// Every line that can have limits by place has its own again at the last.
    fn repeated(self, split: &mut usize) -> Job {
        let (case, _) = self.expanded();
        let text = self.file("limits");
        let mut out = benchleaf::diag::Diags::new();
        let tree = tree::read(&"limits.toml".into(), &text, &mut out).expect("limits");
        let Value::List(lines) = &tree.root.table().unwrap().get("line").unwrap().node.value else {
            panic!("lines")
        };
        let mut heads = text.split("[[line]]");
        let mut whole = heads.next().unwrap().to_owned();
        for (node, own) in lines.iter().zip(heads) {
            let line = node.table().unwrap();
            let word = |key: &str| line.get(key).map(|entry| shown(&entry.node, &text));
            let reference = word("ref").unwrap().replace('"', "");
            let of = &case.limits.lines[case.limits.line(&reference).unwrap()];
            let set = of.row_places(&case.engine).map(|set| &case.engine.places[set].places);
            whole += &format!("[[line]]{own}");
            let Some(last) = set.filter(|set| set.len() > 1).and_then(|set| set.last()) else {
                continue;
            };
            let repeated = repeated(line, &text);
            if of.kind_word() == "recorded" || repeated.is_empty() {
                continue;
            }
            *split += 1;
            whole += &format!("\n[line.places.\"{}\"]\n{repeated}\n", last.code);
        }
        self.with("limits", &text, &whole)
    }
}

fn shown(node: &Node, text: &str) -> String {
    text[node.at.start..node.at.end].to_owned()
}

/// The limits of a line, typed once more.
fn repeated(line: &Table, text: &str) -> String {
    let limit = |key: &Text| {
        let key = key.as_str();
        ["fit", "wear-amount", "twin", "exact", "agreed"].contains(&key)
            || key.starts_with("new")
            || key.starts_with("service")
    };
    let mut all = String::new();
    for entry in &line.0 {
        let key = entry.key.as_str();
        if limit(&entry.key) {
            all += &format!("{key} = {}\n", shown(&entry.node, text));
        }
        if let (true, Some(part)) = (["shaft", "bore"].contains(&key), entry.node.table()) {
            let own = part.0.iter().filter(|entry| entry.key.as_str() != "feature");
            let own = own.map(|entry| format!("{} = {}", entry.key, shown(&entry.node, text)));
            all += &format!("{key} = {{ {} }}\n", own.collect::<Vec<_>>().join(", "));
        }
    }
    if let Some(graded) = line.get("grades") {
        let grades = graded.node.table().map_or(&[][..], |table| &table.0);
        let each = grades.iter().map(|grade| {
            let sides = grade.node.table().map_or(&[][..], |table| &table.0);
            let sides =
                sides.iter().map(|side| format!("{} = {}", side.key, shown(&side.node, text)));
            format!("\"{}\" = {{ {} }}", grade.key, sides.collect::<Vec<_>>().join(", "))
        });
        all += &format!("grades = {{ {} }}\n", each.collect::<Vec<_>>().join(", "));
    }
    all
}
