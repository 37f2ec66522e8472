//! No page has a word for a part that the engine does not have.

use super::made::{FAMILIES, Made, kinds};
use crate::cli::Script;
use crate::report_pages::geometry::{faults, texts};
use benchleaf::diag::Diags;
use benchleaf::model::job::Paper;
use benchleaf::pages::worksheet::lay_sheets;
use std::collections::BTreeSet;

/// The words by which a mechanic knows parts of some kinds, and the kinds: with
/// none of these in an engine, its pages have none of those (common practice,
/// no source).
const WORDS: &[(&str, &[&str])] = &[
    ("case-half", &["halves", "left half"]),
    ("case-half cylinder-pads", &["cylinder pads"]),
    ("stud", &["through-stud"]),
    ("bearing-shell", &["shell"]),
    ("camshaft cam-bores", &["camshaft", "lobe"]),
    ("cam-ring", &["cam ring"]),
    ("cam-drive", &["cam drive"]),
    ("tappet hydraulic-unit roller-tappet tappet-guides", &["tappet"]),
    ("hydraulic-unit", &["hydraulic", "leak-down"]),
    ("roller-tappet", &["roller tappet"]),
    ("rolling-bearing", &["rolling bearing", "cage", "inner ring"]),
    ("thrust-nut", &["thrust nut"]),
    ("crankshaft", &["main journal"]),
    ("crankshaft-of-two", &["clamp bolt", "counterweight", "joint of the crankshaft"]),
    ("propeller-flange", &["propeller flange"]),
    ("master-rod", &["master rod"]),
    ("link-rod", &["link rod"]),
    ("knuckle-pin", &["knuckle"]),
    ("connecting-rod", &["connecting rod", "rod bolt", "rods and caps"]),
    ("hanging-cylinder", &["lower cylinder", "lower plugs", "oil lock", "that hang"]),
    ("pushrod pushrod-housing", &["pushrod"]),
    ("rocker rocker-shaft", &["rocker"]),
    ("blower", &["blower", "vane"]),
    ("seal-ring", &["seal ring"]),
    ("magneto", &["magneto"]),
    ("carburettor", &["carburettor"]),
    ("hose-clamp", &["clamp screws"]),
    ("idler-gears", &["idler"]),
    ("gear pump-gear cam-drive idler-gears accessory-drive", &["gear "]),
    ("relief-valve relief-spring", &["relief"]),
    ("oil-tank", &["oil tank"]),
    ("circlip-grooves", &["circlip"]),
    ("intake-pipe", &["intake pipe", "intake:"]),
    ("damper", &["damper"]),
];

/// All that stands on the pages of the sheets, in small letters.
fn printed(made: &Made) -> String {
    let (_, set) = made.expanded();
    let mut out = Diags::new();
    let (document, _) = lay_sheets(&set, None, &mut out).expect("pages");
    // Before them stands the index, which tells what was left out.
    let first = document.bookmarks[1].page;
    let pages = document.pages[first..].iter().map(|page| texts(&page.marks).join(" "));
    pages.collect::<Vec<_>>().join("\n").to_lowercase()
}

/// Words on the pages for parts that the engine does not have.
fn strange(made: &Made) -> Vec<String> {
    let (case, _) = made.expanded();
    let parts = case.engine.parts.iter().flat_map(|part| &part.kinds);
    let used: BTreeSet<&str> = parts.map(|kind| kind.as_str()).collect();
    let text = printed(made);
    let mut found = Vec::new();
    for (kinds, words) in WORDS {
        if kinds.split(' ').any(|kind| used.contains(kind)) {
            continue;
        }
        for word in words.iter().filter(|word| text.contains(*word)) {
            let at = text.find(word).expect("it is there");
            let around: String = text[..at].chars().rev().take(40).collect();
            let around: String = around.chars().rev().collect();
            found.push(format!(
                "{word}: {around}{}",
                &text[at..].chars().take(40).collect::<String>()
            ));
        }
    }
    found
}

#[test]
fn no_page_has_a_word_for_a_part_that_the_engine_lacks() {
    let known = kinds(&Made::of(FAMILIES[0]).files);
    for (names, _) in WORDS {
        assert!(names.split(' ').all(|name| known.contains_key(name)), "{names}");
    }
    for family in FAMILIES {
        let mut made = Made::of(family);
        assert_eq!(strange(&made), Vec::<String>::new(), "{family}");
        // Planted: the pushrods and their housings are of no kind.
        let engine = made.files.get("engine.toml").expect("the engine").to_string();
        let kinds = ["pushrod", "pushrod-housing"].map(|kind| format!("kinds = \"{kind}\", "));
        let without = kinds.iter().fold(engine, |text, kind| text.replace(kind, ""));
        made.files.put("engine.toml", without);
        assert!(!strange(&made).is_empty(), "{family}");
    }
}

/// One name for one thing: what is said otherwise, and how. Short forms of scales
/// and ticks, limits of one side, chances and counts too. (Common practice, no
/// source: the list of those who read the pages.)
const INSTEAD: &[(&str, &str)] = &[
    ("inlet", "intake"),
    ("cap split", "parting face"),
    ("case split", "parting face"),
    ("the split", "parting face"),
    ("cover end", "cover side"),
    ("end float", "end play"),
    ("any mate any new mate", "new mate only"),
    ("depends on mate", "selected mate only"),
    ("of a, b is", "falls in"),
    ("max only", "0.0020 max"),
    ("min only", "0.0020 min"),
    (", chance ", "about 90 % likely inside"),
    ("recorded, no limit", "recorded, not judged"),
    ("plunger and barrel", "plunger and body"),
    ("shaft: piston skirt", "piston: piston skirt"),
    ("bore: barrel bore", "barrel: barrel bore"),
];

fn said_otherwise(text: &str) -> Vec<&'static str> {
    let text = text.to_lowercase();
    INSTEAD.iter().map(|(not, _)| *not).filter(|not| text.contains(not)).collect()
}

#[test]
fn one_thing_has_one_name_on_every_page_and_in_every_message() {
    for family in FAMILIES {
        assert_eq!(said_otherwise(&printed(&Made::of(family))), Vec::<&str>::new(), "{family}");
    }
    let job = Script::demo();
    for pdf in ["sheets.pdf", "sheets-second.pdf", "report-first.pdf", "report.pdf"] {
        let words = job.words(&format!("job/{pdf}"));
        let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains("1 intake") || pdf.contains("second"), "{pdf}");
        assert_eq!(said_otherwise(&words), Vec::<&str>::new(), "{pdf}");
    }
    job.run("tags job").status(0);
    for command in ["check job --all", "limits job/limits.toml", "limits --tree job", "whatif job"]
    {
        let ran = job.run(command);
        assert_eq!(said_otherwise(&format!("{}{}", ran.out, ran.err)), Vec::<&str>::new());
    }
    let tags = job.words("job/tags.pdf");
    assert!(tags.contains("tappet body") && !tags.contains("tappet bodies"), "{tags}");
    // Planted: an engine that has inlet valves.
    let mut made = Made::of("flat-twin");
    let engine = made.files.get("engine.toml").expect("the engine").to_string();
    let engine =
        engine.replace("name = \"intake valve guides and seats\"", "name = \"inlet valve guides\"");
    made.files.put("engine.toml", engine);
    assert_eq!(said_otherwise(&printed(&made)), ["inlet"]);
}

/// Nothing lies on another thing or runs off the paper, on either paper.
#[test]
fn nothing_overlaps_on_the_pages_of_a_family() {
    for family in FAMILIES {
        let (_, mut set) = Made::of(family).expanded();
        for paper in [Paper::A4, Paper::Letter] {
            set.head.paper = paper;
            let mut out = Diags::new();
            let (document, _) = lay_sheets(&set, None, &mut out).expect("pages");
            for page in &document.pages {
                assert_eq!(faults(page), Vec::<String>::new(), "{family}, {}", page.label);
            }
        }
    }
}

/// What a shop cuts out, as a family says it may.
#[test]
fn what_was_cut_out_leaves_no_word_behind() {
    let mut made = Made::of("flat-four");
    let engine = made.files.get("engine.toml").expect("the engine").to_string();
    let gone =
        ["magnetos", "carburettor", "hydraulic", "intake-pipes", "intake-clamps", "induction"];
    let kept = |line: &&str| !gone.iter().any(|gone| line.starts_with(gone));
    let engine: String = engine.lines().filter(kept).map(|line| format!("{line}\n")).collect();
    made.files.put("engine.toml", engine);
    let limits = made.limits().to_owned();
    let from = limits.find("[[line]]\nref  = \"TL\"").expect("the leak-down");
    let to = from + limits[from..].find("\n\n").expect("its end");
    made.put_limits(&format!("{}{}", &limits[..from], &limits[to..]));
    assert_eq!(made.faults(), Vec::<String>::new());
    assert_eq!(strange(&made), Vec::<String>::new());
}

/// An engine whose manual sets no valve clearance, such as one with hydraulic
/// units: the sheet of assembly does not speak of it. The index says what was
/// left out.
#[test]
fn without_a_valve_clearance_no_page_speaks_of_one() {
    for family in FAMILIES {
        let mut made = Made::of(family);
        assert!(printed(&made).contains("valve clearances seen or tried"), "{family}");
        let limits = made.limits().to_owned();
        let from = limits.find("# Set at assembly").expect("the valve clearance");
        let to = from + limits[from..].find("\n\n").expect("its end");
        made.put_limits(&format!("{}{}", &limits[..from], &limits[to..]));
        assert_eq!(made.faults(), Vec::<String>::new());
        let text = printed(&made);
        for word in ["valve clearance", "tappet clearance"] {
            assert!(!text.contains(word), "{family}: {word}");
        }
        assert!(text.contains("torque seen or tried, every lock seen"), "{family}");
        let (_, set) = made.expanded();
        let left = "sheet FV, some items: the limits have no valve-clearance";
        assert!(set.left_out.iter().any(|out| out == left), "{:?}", set.left_out);
    }
}

/// Cylinders stand on one section of a radial's case: of its front, its rear, the
/// blower's case and that of a reduction gear nobody asks for their pads.
#[test]
fn the_pads_of_the_cylinders_are_asked_of_the_section_that_has_them() {
    let mut made = Made::of("radial --cylinders 9");
    let engine = made.files.get("engine.toml").expect("the engine").to_string();
    let reduction = ["# reduction-case ", "# reduction-gears ", "# reduction "];
    let with = reduction.iter().fold(engine, |text, line| text.replace(line, &line[2..]));
    made.files.put("engine.toml", with);
    let text = printed(&made);
    assert!(text.contains("reduction gear case"), "{text}");
    assert_eq!(text.matches("cylinder pads").count(), 1);
    assert_eq!(text.matches("stud bosses: no fatigue cracks").count(), 5);
}

/// Magnetos and the carburettor are looked at, with what they feed, on a sheet of their own.
#[test]
fn magnetos_and_carburettor_have_their_sheet() {
    for family in FAMILIES {
        let (_, set) = Made::of(family).expanded();
        let sheet = set.sheet("MG").expect("a sheet");
        for word in ["breaker", "float or diaphragm"] {
            assert!(format!("{:?}", sheet.blocks).contains(word), "{family}: {word}");
        }
    }
}

/// What the engine has is on its pages: an absent word is no proof by itself.
#[test]
fn the_words_of_a_radial_are_on_its_pages() {
    let text = printed(&Made::of("radial --cylinders 9"));
    let own = ["master rod", "link rod", "knuckle", "cam ring", "roller", "blower", "thrust nut"];
    for word in own.into_iter().chain([
        "seal ring",
        "oil lock",
        "thrust bearing on crankshaft",
        "front case section",
    ]) {
        assert!(text.contains(word), "{word}");
    }
}
