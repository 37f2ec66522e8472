//! Limits as they are printed: by place, and of fits that are tight.

use super::{clean, job, laid};
use crate::report_pages::geometry::texts;
use benchleaf::diag::Diags;
use benchleaf::model::job::Paper;
use benchleaf::sheet::expand;

const CAM: &str = "shaft = { feature = \"cam-journal\", new = [1.3725, 1.3735], wear = 1.3715 }\n\
    bore  = { feature = \"cam-bore\", new = [1.3745, 1.3760], wear = 1.3770 }\n\
    fit   = { new = [\"0.0010L\", \"0.0035L\"], service = \"0.0050L\" }\n";

/// All that is printed of the demonstration's camshaft with other limits, in
/// printed order; nothing overlaps, on either paper.
fn printed(limits: &str) -> Vec<String> {
    let mut files = job::files("demo");
    let text = files.get("limits.toml").expect("limits").to_string();
    assert_eq!(text.matches(CAM).count(), 1);
    files.put("limits.toml", text.replace(CAM, limits));
    let mut out = Diags::new();
    let case = benchleaf::load::case(&files, &mut out).unwrap_or_else(|| panic!("{out:#?}"));
    let mut set = expand(&case, &mut out).expect("sheets");
    for paper in [Paper::Letter, Paper::A4] {
        set.head.paper = paper;
        clean(&laid(&set, Some(&["C".to_owned()])).0);
    }
    let (document, _) = laid(&set, Some(&["C".to_owned()]));
    document.pages.iter().flat_map(|page| texts(&page.marks)).collect()
}

#[track_caller]
fn says(printed: &[String], words: &str) -> usize {
    let found = printed.iter().position(|text| text.contains(words));
    found.unwrap_or_else(|| panic!("{words} is not printed:\n{}", printed.join("\n")))
}

/// Each scale stands over the rows that it is for.
#[test]
fn scales_by_place_stand_over_their_rows() {
    let larger = "published = \"5-12\"\n[line.places.3]\npublished = \"5-13\"\n\
        shaft = { new = [1.4725, 1.4735], wear = 1.4715 }\n\
        bore = { new = [1.4745, 1.4760], wear = 1.4770 }\n";
    let page = "page  = \"table 7, sheet 1\"\n";
    let printed = printed(&format!("{CAM}{page}{larger}").replacen(page, "", 1));
    let order = ["at 1, 2: new 0.0010 L", "1.3725", "C1", "C2", "at 3: new", "1.4725", "C3"];
    let at: Vec<usize> = order.iter().map(|words| says(&printed, words)).collect();
    assert!(at.is_sorted(), "{at:?}");
    assert!(says(&printed, "published as 5-12") < at[2]);
    assert!((at[3]..at[6]).contains(&says(&printed, "published as 5-13")));
}

/// Of tight fits less is looser, and "above" would say the other thing.
#[test]
fn a_tight_fit_is_told_as_tighter_and_looser() {
    let tight = "shaft = { feature = \"cam-journal\", new = [1.3760, 1.3765] }\n\
        bore = { feature = \"cam-bore\", new = [1.3745, 1.3752] }\n\
        fit = { new = [\"0.0020T\", \"0.0008T\"], service-min = \"0.0025T\", service = \"0.0003T\" }\n";
    let tightly = printed(tight);
    let all = tightly.join(" ");
    assert!(all.contains("tighter than") && all.contains("looser than"), "{all}");
    says(&tightly, "write T");
    let loosely = printed(CAM);
    assert!(!loosely.iter().any(|text| text.contains("write T") || text.contains("looser")));
    let either = CAM
        .replace("1.3745, 1.3760", "1.3730, 1.3745")
        .replace("\"0.0010L\", \"0.0035L\"", "\"0.0005T\", \"0.0020L\"");
    says(&printed(&either), "write T");
}
