//! Sheets from an engine's groups and the kinds of its parts, on the
//! demonstration changed one text at a time. (Rules of this program, no source
//! outside.)

use crate::record::Job;
use benchleaf::diag::Diags;
use benchleaf::load;
use benchleaf::model::form::{Block, Content, Form};
use benchleaf::sheet::{SheetBlock, expand};

/// The demonstration's files with one text of one of them changed.
fn files(file: &str, from: &str, to: &str) -> benchleaf::diag::Sources {
    let mut files = Job::last().files().clone();
    let text = files.get(file).expect("a file of the job").to_string();
    assert!(text.contains(from), "{from} in {file}");
    files.put(file, text.replacen(from, to, 1));
    files
}

/// What is said where a text is changed so that the job is at fault.
#[track_caller]
fn faults(file: &str, from: &str, to: &str) -> Vec<String> {
    let files = files(file, from, to);
    let mut out = Diags::new();
    assert!(load::case(&files, &mut out).is_none(), "{to} is taken");
    out.plain(&files)
}

#[track_caller]
fn told(file: &str, from: &str, to: &str, words: &str) {
    let said = faults(file, from, to);
    assert!(said.iter().any(|line| line.contains(words)), "{words}: {said:#?}");
}

/// The forms of the changed job: its transcription left away.
#[track_caller]
fn forms(file: &str, from: &str, to: &str) -> Vec<Form> {
    let files = files(file, from, to);
    let mut out = Diags::new();
    let blank = load::blank(&files, &mut out);
    let case = blank.case().unwrap_or_else(|| panic!("{}", out.plain(&files).join("\n")));
    case.forms.forms.clone()
}

fn usual() -> Vec<Form> {
    forms("engine.toml", "[engine]", "[engine]")
}

fn sheet<'a>(forms: &'a [Form], letter: &str) -> &'a Form {
    let found = forms.iter().find(|form| form.letter.as_str() == letter);
    found.unwrap_or_else(|| panic!("no sheet {letter}"))
}

fn lines(form: &Form) -> Vec<Vec<&str>> {
    let measured = form.blocks.iter().filter_map(|block| match &block.content {
        Content::Measure { lines, .. } => {
            Some(lines.iter().map(|line| line.as_str()).collect::<Vec<_>>())
        }
        _ => None,
    });
    measured.filter(|lines| !lines.is_empty()).collect()
}

fn items(block: &Block) -> Vec<&str> {
    match &block.content {
        Content::LookOver { items, .. }
        | Content::Steps { items, .. }
        | Content::Write { items, .. } => items.iter().map(|item| item.as_str()).collect(),
        Content::Table(table) => table.rows.iter().map(|row| row.as_str()).collect(),
        _ => Vec::new(),
    }
}

fn all_items(form: &Form) -> Vec<&str> {
    form.blocks.iter().flat_map(items).collect()
}

#[test]
fn names_that_are_not_there_are_faults() {
    let gear = "kinds = [\"gear\", \"camshaft\"]";
    told(
        "engine.toml",
        gear,
        "kinds = [\"gaer\", \"camshaft\"]",
        "there is no kind of part gaer; did you mean gear",
    );
    told(
        "limits.toml",
        "way  = \"runout\"",
        "way  = \"runuot\"",
        "there is no way of measuring runuot; did you mean runout",
    );
    told(
        "limits.toml",
        "group = \"mains\"",
        "group = \"manis\"",
        "there is no group manis; did you mean mains",
    );
    told(
        "engine.toml",
        "parts = [\"camshaft\"]",
        "parts = [\"camshatf\"]",
        "there is no part camshatf; did you mean camshaft",
    );
    told(
        "engine.toml",
        "parts = [\"tappets\"]",
        "parts = [\"tappets\", \"camshaft\"]",
        "the part camshaft stands in two groups",
    );
    told("engine.toml", "letter = \"TL\"", "letter = \"A\"", "the letter A stands twice");
    told("engine.toml", "letter = \"TL\"", "letter = \"tl\"", "tl is no sheet's letter");
    told(
        "forms/timing.toml",
        "each-kinds = [\"\", \"hanging-cylinder\"",
        "each-kinds = [\"\", \"hanging-cylnder\"",
        "there is no kind of part hanging-cylnder; did you mean hanging-cylinder",
    );
    told(
        "forms/timing.toml",
        "each-kinds = [\"\", \"hanging-cylinder\", \"magneto\"]",
        "each-kinds = [\"\", \"hanging-cylinder\"]",
        "3 items and the kinds of 2",
    );
    told(
        "engine.toml",
        "cylinder     = { codes = \"1-4\" }",
        "cylinder     = { codes = \"4-1\" }",
        "4-1 is no range of places",
    );
    // A folder of forms without the file of kinds.
    let mut files = Job::last().files().clone();
    files.0.remove("forms/kinds.toml");
    let mut out = Diags::new();
    assert!(load::case(&files, &mut out).is_none());
    let said = out.plain(&files).join("\n");
    assert!(said.contains("forms/kinds.toml is missing"), "{said}");
}

/// A range of places is the list of them, and a place without a name is called
/// after its set.
#[test]
fn a_range_of_places_is_the_list_of_them() {
    let listed = "cylinder     = { codes = [\"1\", \"2\", \"3\", \"4\"], names = [\"cylinder 1\", \
                  \"cylinder 2\", \"cylinder 3\", \"cylinder 4\"] }";
    let places = |to: &str| {
        let files = files("engine.toml", "cylinder     = { codes = \"1-4\" }", to);
        let mut out = Diags::new();
        let engine = load::engine(&files, "engine.toml", &mut out).expect("an engine");
        let set = engine.place_set("cylinder").expect("the cylinders");
        let places = engine.places[set].places.iter();
        places.map(|place| format!("{} {}", place.code, place.name)).collect::<Vec<_>>()
    };
    assert_eq!(places("cylinder     = { codes = \"1-4\" }"), places(listed));
    assert_eq!(places("cylinder = { codes = \"9-12\" }")[2], "11 cylinder 11");
}

/// Every line of the limits stands on one sheet, in one block.
#[test]
fn every_line_stands_once() {
    let forms = usual();
    let mut printed: Vec<&str> = forms.iter().flat_map(lines).flatten().collect();
    printed.sort_unstable();
    let (case, _) = Job::last().expanded();
    let mut all: Vec<&str> = case.limits.lines.iter().map(|l| l.reference.as_str()).collect();
    all.sort_unstable();
    assert_eq!(printed, all);
}

#[test]
fn a_line_is_measured_with_its_part_or_where_it_says() {
    assert_eq!(lines(sheet(&usual(), "C")), [["C", "CR"]]);
    assert_eq!(lines(sheet(&usual(), "EP")), [vec!["CU"], vec!["EC", "EK"], vec!["BG"]]);
    assert_eq!(lines(sheet(&usual(), "N")), [["N"], ["Q"]]);
    // Said otherwise, it goes there; where its part stands in no group, to the
    // sheet of the other lines, with what is looked at on the part.
    let name = "name  = \"camshaft in crankcase\"\n";
    let moved = forms("limits.toml", name, &format!("{name}group = \"intake\"\n"));
    assert_eq!(lines(sheet(&moved, "C")), [["CR"]]);
    assert_eq!(lines(sheet(&moved, "IP")), [["C"]]);
    let alone = forms("engine.toml", "parts = [\"camshaft\"]", "parts = []");
    assert!(lines(sheet(&alone, "C")).is_empty());
    let rest = sheet(&alone, "Z");
    assert!(all_items(rest).contains(&"lobes: no spalling, worn crown or scores"));
    assert!(!all_items(sheet(&usual(), "Z")).contains(&"lobes: no spalling, worn crown or scores"));
}

/// What is done before measuring stands before the boxes, once a sheet, and is of
/// the part whose kind asks for it.
#[test]
fn what_comes_before_measuring_stands_before() {
    let forms = usual();
    let mains = sheet(&forms, "M");
    let measured = mains.blocks.iter().position(|b| matches!(b.content, Content::Measure { .. }));
    let fitted = "seats dry, tangs home; proud evenly at both edges";
    let step = mains.blocks.iter().position(|block| items(block).contains(&fitted));
    assert!(step.expect("the step") < measured.expect("boxes"));
    let block = &mains.blocks[step.unwrap_or(0)];
    let n = items(block).iter().position(|item| *item == fitted).unwrap_or(9);
    assert_eq!(block.of_each[n].len(), 1);
    assert_eq!(block.of_each[n][0].as_str(), "main-bearing-shells");
    for form in &forms {
        let before = "micrometer zeroed; part and gauge equally warm";
        let times = all_items(form).iter().filter(|item| **item == before).count();
        assert!(times < 2, "{}: {times} times", form.letter);
    }
}

/// Of each kind only what this engine has: an item, a block, a whole list.
#[test]
fn forms_ask_for_kinds() {
    let timing = |forms: &[Form]| all_items(sheet(forms, "FM")).join("\n");
    assert!(timing(&usual()).contains("magneto serials"));
    let magnetos = "magnetos            = { kinds = \"magneto\", count = 2 }";
    let without = forms("engine.toml", magnetos, "");
    assert!(!timing(&without).contains("magneto"), "{}", timing(&without));
    assert!(timing(&without).contains("top centre found"));
    // Oil gathers in a cylinder that hangs.
    let oil = "turned by hand: free all round, no cylinder holds it";
    assert!(!all_items(sheet(&usual(), "A")).contains(&oil));
    let barrel = "kinds = [\"barrel\", \"head\"]";
    let hanging = "kinds = [\"barrel\", \"head\", \"hanging-cylinder\"]";
    assert!(all_items(sheet(&forms("engine.toml", barrel, hanging), "A")).contains(&oil));
    let tests = |forms: &[Form]| {
        let form = sheet(forms, "CL");
        let block = form
            .blocks
            .iter()
            .find(|b| b.id.as_ref().is_some_and(|id| id.as_str() == "crack-tests"));
        block.map(|block| items(block).iter().map(|item| item.to_string()).collect::<Vec<_>>())
    };
    let usual_tests = tests(&usual()).expect("crack tests");
    assert!(
        usual_tests
            .contains(&"crankshaft, magnetic particle, circular and longitudinal".to_owned())
    );
    assert!(usual_tests.contains(&"cylinder barrels, magnetic particle and penetrant".to_owned()));
    let less = "crack-test = \"penetrant\"\n";
    let other = forms("forms/kinds.toml", less, "");
    assert!(tests(&other).expect("crack tests").len() < usual_tests.len());
}

/// A form of the shop's own takes the place of a group's sheet, and what it
/// measures by name is not printed twice.
#[test]
fn a_form_takes_the_place_of_a_group() {
    let order = "order    = 320\n";
    let group = "order    = 320\ngroup    = \"camshaft\"\n";
    let own = forms("forms/renewed.toml", order, group);
    assert!(own.iter().all(|form| form.letter.as_str() != "C"));
    // Its lines are none of that form's: they go with the others.
    let files = files("forms/renewed.toml", order, group);
    let mut out = Diags::new();
    let blank = load::blank(&files, &mut out);
    let set = expand(blank.case().expect("a job"), &mut out).expect("sheets");
    let rest = set.sheet("Z").expect("the sheet of other lines");
    assert!(rest.lines().any(|line| line.reference == "C"));
    // Asked for by the group's name, or line by line.
    let note = "[[block]]\nnote";
    for block in ["lines-of = \"camshaft\"", "measure = [\"C\", \"CR\"]"] {
        let with = format!("[[block]]\n{block}\n\n{note}");
        let mut files = files.clone();
        let text = files.get("forms/renewed.toml").expect("the form").replacen(note, &with, 1);
        files.put("forms/renewed.toml", text);
        let mut out = Diags::new();
        let blank = load::blank(&files, &mut out);
        let set = expand(blank.case().expect("a job"), &mut out).expect("sheets");
        let sheet = set.sheet("RN").expect("the shop's sheet");
        let lines: Vec<&str> = sheet.lines().map(|line| line.reference.as_str()).collect();
        assert_eq!(lines, ["C", "CR"], "{block}");
        assert!(set.sheet("Z").is_none(), "{block}");
    }
    told(
        "forms/renewed.toml",
        order,
        "order    = 320\ngroup    = \"camshatf\"\n",
        "there is no group camshatf; did you mean camshaft",
    );
}

/// The engine and the limits say words, never templates.
#[test]
fn what_the_engine_says_is_no_template() {
    let name = "name = \"oil pump driven gear\"";
    let files = files("engine.toml", name, "name = \"{{ job.owner }} gear\"");
    let mut out = Diags::new();
    let blank = load::blank(&files, &mut out);
    let set = expand(blank.case().expect("a job"), &mut out).expect("sheets");
    let titles =
        set.sheets.iter().flat_map(|sheet| &sheet.blocks).filter_map(|block| match block {
            SheetBlock::Marks(marks) => Some(marks.title.as_str()),
            _ => None,
        });
    assert!(
        titles.clone().any(|title| title == "{{ job.owner }} gear"),
        "{:?}",
        titles.collect::<Vec<_>>()
    );
}
