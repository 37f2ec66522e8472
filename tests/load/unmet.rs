//! Forms serve many engines and tables of work are copied: what they name and
//! this job does not have is listed on the sheets, and told at once where it is
//! nearly a name that there is. (A rule of this program, no source outside.)

use crate::record::Job;
use benchleaf::diag::Diags;
use benchleaf::load;
use benchleaf::sheet::expand;

/// What is told of a job that reads, and what its sheets leave out.
fn told(file: &str, from: &str, to: &str) -> (Vec<String>, Vec<String>) {
    let mut files = Job::last().files().clone();
    let text = files.get(file).expect("a file of the job").to_string();
    assert!(text.contains(from), "{from} in {file}");
    files.put(file, text.replacen(from, to, 1));
    let mut out = Diags::new();
    let case = load::case(&files, &mut out).expect("no fault");
    let set = expand(&case, &mut out).expect("no fault");
    (out.plain(&files), set.left_out)
}

fn usual() -> Vec<String> {
    told("engine.toml", "[engine]", "[engine]").1
}

#[test]
fn a_slip_in_a_name_is_told_and_listed() {
    for (file, from, to, words, listed) in [
        (
            "forms/cleaning.toml",
            "steps = \"Cleaning\"",
            "steps = \"Cleaning\"\nof = [\"intake-vavles\"]",
            "there is no part intake-vavles: a change of it does not reopen these items; did you mean intake-valves",
            "sheet CL: the engine has no part intake-vavles",
        ),
        (
            "forms/timing.toml",
            "order    = 420",
            "order    = 420\npart     = \"intake-valve\"",
            "there is no part intake-valve: sheet FM is left out; did you mean intake-valves",
            "sheet FM, whole: the engine has no part intake-valve",
        ),
        (
            "forms/cleaning.toml",
            "steps = \"Cleaning\"",
            "steps = \"Cleaning\"\nat    = \"valves\"",
            "there is no set of places valves: the block is left out; did you mean valve",
            "sheet CL: the engine has no places valves",
        ),
        (
            "forms/cleaning.toml",
            "[[block]]\nsteps",
            "[[block]]\ncondition = \"case-boltd\"\n\n[[block]]\nsteps",
            "there is no condition case-boltd: its steps are left out; did you mean case-bolted",
            "sheet CL: condition case-boltd",
        ),
        (
            "forms/cleaning.toml",
            "steps = \"Cleaning\"",
            "part = \"camshaf\"\nsteps = \"Cleaning\"",
            "there is no part camshaf: the block is left out; did you mean camshaft",
            "sheet CL, a block: the engine has no part camshaf",
        ),
        (
            "forms/renewed.toml",
            "renew ",
            "parts = [\"oil-seal\", \"o-rings\"]\nrenew ",
            "there is no part oil-seal: it is not in the list; did you mean oil-seals",
            "sheet RN: the engine has no part oil-seal",
        ),
        (
            "engine.toml",
            "reopens = [\"block tappets\"]",
            "reopens = [\"block tappet\"]",
            "there is no block tappet: tappet-refaced does not reopen it; did you mean tappets",
            "rework tappet-refaced: the forms have no block tappet",
        ),
    ] {
        let (messages, left_out) = told(file, from, to);
        assert_eq!(messages.len(), 1, "{to}: {messages:?}");
        assert!(messages[0].contains(words), "{to}: {messages:?}");
        let new: Vec<&String> = left_out.iter().filter(|text| !usual().contains(text)).collect();
        assert_eq!(new, [listed], "{to}");
    }
}

/// Another engine's name is no slip: it is listed and nothing more.
#[test]
fn a_name_of_another_engine_is_listed_alone() {
    for (file, from, to, listed) in [
        (
            "forms/cleaning.toml",
            "steps = \"Cleaning\"",
            "steps = \"Cleaning\"\nof = [\"outer-springs\", \"middle-springs\"]",
            "sheet CL: the engine has no part middle-springs",
        ),
        (
            "engine.toml",
            "\"line BG\", \"block tappets\"",
            "\"line QX\", \"block tappets\"",
            "rework camshaft-changed: the limits have no line QX",
        ),
    ] {
        let (messages, left_out) = told(file, from, to);
        assert_eq!(messages, [""; 0], "{to}");
        assert!(left_out.contains(&listed.to_owned()), "{left_out:?}");
        assert!(!usual().contains(&listed.to_owned()));
    }
}

/// A digit of the count alone contradicts the places; as many more at each place
/// is another engine.
#[test]
fn as_many_of_a_part_as_it_has_places() {
    let hydraulic = "kinds = \"hydraulic-unit\", count = 8";
    let bare = "kinds = \"hydraulic-unit\"";
    let counted = || Job::last().with("engine", bare, hydraulic);
    let files = counted().with("engine", hydraulic, &hydraulic.replace('8', "9")).files().clone();
    let mut out = Diags::new();
    assert!(load::case(&files, &mut out).is_none());
    let said = out.plain(&files).join("\n");
    let wrong = "9 of a part that sits at the 8 places of valve; 8, or as many more at each place";
    assert!(said.contains(wrong), "{said}");
    let count = |job: Job| {
        let (case, _) = job.expanded();
        case.engine.parts[case.engine.part("hydraulic-units").expect("the part")].count
    };
    assert_eq!(count(counted().with("engine", hydraulic, &hydraulic.replace('8', "16"))), 16);
    assert_eq!(count(counted()), 8);
    assert_eq!(count(Job::last()), 8);
}

/// The engine file's unit decides no figure: where the document's is another,
/// one of the two is perhaps a slip.
#[test]
fn an_engine_in_another_unit_than_its_document_is_told() {
    let (messages, _) = told("engine.toml", "unit  = \"in\"", "unit  = \"mm\"");
    assert_eq!(messages.len(), 1, "{messages:?}");
    let words = "the document's unit is the inch, the engine file's the millimetre; look at both";
    assert!(messages[0].contains(words), "{messages:?}");
}
