//! Two transcriptions of the same paper. The slips are those that the trade
//! knows; each was planted by hand, so the count is the check.

use super::planted;
use crate::cli::Script;

/// One of each kind, on every sort of line: sheet, what stands there, what the
/// second person typed, and how the box is called.
const THIRTY: [(&str, &str, &str, &str); 30] = [
    ("A", "4 = \"time reached; oil use rising\"", "4 = \"time reached\"", "A 4"),
    ("A", "work  = { by = \"RW\"", "work  = { by = \"TD\"", "sheet A work: by"),
    ("A", "XT.read = [8]", "XT.read = [9]", "XT read"),
    ("L", "3 = \"vvvv vxvv\"", "3 = \"vvvv xxvv\"", "L 3 mark 5"),
    ("L", "\n8 = \"v\"", "\n8 = \"-\"", "L 8"),
    ("L", "MB1.read = [2.4376, 2.4377]", "MB1.read = [2.4376, 2.4387]", "MB1 read 2"),
    ("S", "UC.read = [0.0030]", "UC.read = []", "UC read"),
    ("M", "M1.shaft = [2.2478, 2.2477]", "M1.shaft = [2.2478, 2.2777]", "M1 shaft 2"),
    ("M", "M2.bore = [2.2519, 2.2520]", "M2.bore = [2.2519, 2.252]", "M2 bore 2"),
    ("M", "M3.bore = [2.2510, 2.2511]", "M3.bore = [2.2510, \"-\"]", "M3 bore 2"),
    ("M", "on = 2026-03-02", "on = 2026-03-20", "sheet M shaft: on"),
    ("C", "C3.bore = [1.3755, 1.3757]", "C3.bore = [1.3755, 1.4007]", "C3 bore 2"),
    ("C", "C1.shaft = [1.3731, 1.3730]", "C1.shaft = [1.3731, 1.3780]", "C1 shaft 2"),
    (
        "C",
        "remarks = \"C2 and C3 reached through cylinder openings\"",
        "remarks = \"\"",
        "sheet C remarks",
    ),
    ("T", "T1IN.bore = [0.8754, 0.8755]", "T1IN.bore = [0.8854, 0.8755]", "T1IN bore 1"),
    ("T", "T2EX.shaft = [0.8734, 0.8733]", "T2EX.shaft = [0.8733, 0.8733]", "T2EX shaft 1"),
    ("J", "RT = \"DI-1\"", "RT = \"BAL-1\"", "sheet J read: gauge RT"),
    ("TL", "TL2IN.read = [27.1]", "TL2IN.read = [21.7]", "TL2IN read"),
    ("R", "R4.bore = [1.8144, 1.8146]", "R4.bore = [1.8149, 1.8146]", "R4 bore 1"),
    ("J", "WR.read = [742, 747, 739, 745]", "WR.read = [742, 741, 739, 745]", "WR read 2"),
    ("N", "N3.shaft = [0.7967, 0.7967]", "N3.shaft = [1.7967, 0.7967]", "N3 shaft 1"),
    ("K", "4.3747, 4.3748, 4.3753, 4.3752]", "4.3747, 4.3743, 4.3753, 4.3752]", "K1 bore 4"),
    ("SP", "SN3EX.read = [35]", "SN3EX.read = [36]", "SN3EX read"),
    ("P", "GN.nogo = \"vvvv vvvv vvvv\"", "GN.nogo = \"vvvv vvvv xvvv\"", "GN nogo 9"),
    ("P", "[9, 0.004, \"refused\"]", "[9, 0.004, \"entered\"]", "GN leaf 9, 0.004"),
    (
        "RN",
        "3 = { count = 8, number = \"TW-1140\"",
        "3 = { count = 8, number = \"TW-1410\"",
        "RN 3: number",
    ),
    ("RN", "batch = \"B0702\"", "batch = \"B0207\"", "RN 7: batch"),
    ("P", "26 = \"TW-1710-3\"", "26 = \"TW-1710-8\"", "P 26"),
    ("W", "W4EX.bore = [0.7204, 0.7205]", "W4EX.bore = [0.7204, 0.7250]", "W4EX bore 2"),
    ("IP", "number = ", "number = \"H000\" # was ", "sheet IP number"),
];

/// Two jobs of one engine: the demonstration, and a copy of what was typed
/// with the thirty in it.
fn two() -> Script {
    let job = Script::first();
    let text = job.read("job/readings.toml").replacen("1.4007]", "1.3757]", 1);
    job.write("job/readings.toml", &text);
    let changes: Vec<(&str, &str, &str)> =
        THIRTY.iter().map(|(s, from, to, _)| (*s, *from, *to)).collect();
    job.write("second.toml", planted(&text, &changes));
    job
}

#[test]
fn thirty_planted_differences_are_thirty_listed() {
    let job = two();
    let ran = job.run("compare job second.toml").status(1);
    assert!(ran.out.contains("\n30 differences; "), "{}", ran.out);
    for (_, _, _, name) in THIRTY {
        let lines = ran.out.lines().filter(|line| line.starts_with(&format!("  {name} ")));
        assert_eq!(lines.count(), 1, "{name}:\n{}", ran.out);
    }
    let listed =
        ran.out.lines().filter(|line| line.contains(" A ") && line.contains("   B ")).count();
    assert_eq!(listed, 30, "{}", ran.out);
    // By page, in the order of the paper.
    let pages: Vec<u32> = ran
        .out
        .lines()
        .filter_map(|line| line.strip_prefix("page ")?.split(' ').next()?.parse().ok())
        .collect();
    assert!(pages.len() > 12 && pages.is_sorted(), "{pages:?}");
}

#[test]
fn each_rule_says_which_it_thinks_likelier() {
    let job = two();
    let ran = job.run("compare job second.toml").status(1);
    let ran = ran.says("one turn of the sleeve (0.0250 in)");
    let after = |name: &str| {
        let mut lines = ran.out.lines().skip_while(|line| !line.starts_with(&format!("  {name} ")));
        let head = lines.next().unwrap_or_default().to_owned();
        let rest: Vec<&str> = lines.take_while(|line| line.starts_with("      ")).collect();
        format!("{head}\n{}", rest.join("\n"))
    };
    let turn = after("C3 bore 2");
    assert!(turn.contains("A likelier"), "{turn}");
    assert!(turn.contains("within new limits with A, query with B"), "{turn}");
    // A digit too few: the first, which has them all.
    assert!(after("M2 bore 2").contains("A likelier"), "{}", after("M2 bore 2"));
    assert!(after("N3 shaft 1").contains("A likelier, by the rule of outside the gauge's range"));
    // A last digit cannot be told: no rule has a say.
    assert!(!after("T2EX shaft 1").contains("likelier"), "{}", after("T2EX shaft 1"));
}

#[test]
fn the_merged_file_holds_what_both_agree_on() {
    let job = two();
    job.run("compare job second.toml --merge merged.toml").status(1);
    let kept = job.keep("merged.toml");
    job.run("compare job second.toml --merge merged.toml").status(2).complains("merged.toml");
    kept.unchanged();
    // Against either, only the planted boxes differ, and the merged one holds
    // nothing there.
    for other in ["job", "second.toml"] {
        let ran = job.run(&format!("compare merged.toml {other} --job job")).status(1);
        let lines = ran.out.lines().filter(|line| line.contains(" A ") && line.contains("   B "));
        for line in lines {
            assert!(line.contains(" A blank"), "{other}: {line}");
        }
    }
    // It is a transcription like any other: read back, the thirty are open.
    let merged = job.read("merged.toml");
    job.write("job/readings.toml", merged);
    job.finds("C3", "open");
    job.finds("C2", "out");
    job.finds("M1", "open");
    job.finds("T1EX", "within new limits");
}

#[test]
fn the_same_transcription_has_no_differences() {
    let job = Script::demo();
    job.run("compare job job/readings.toml").status(0).says("no differences");
    job.run("compare job job/readings.toml --merge merged.toml").status(0);
    job.run("compare merged.toml job --job job").status(0).says("no differences");
    let merged = job.read("merged.toml");
    job.write("job/readings.toml", merged);
    job.run("check job").status(0);
}

#[test]
fn faults_are_told_with_the_file_they_are_in() {
    let job = Script::first();
    let text = job.read("job/readings.toml");
    job.write("second.toml", text.replacen("C1.shaft = [1.3731", "C1.shaft = [1,3731", 1));
    job.run("compare job second.toml").status(2).complains("second.toml").complains("C1.shaft");
    job.run("compare second.toml other.toml").status(2).complains("--job");
}

/// Two boxes of a row typed in each other's place: weighed together, since no
/// paper holds the one without the other.
#[test]
fn an_exchange_of_two_boxes_is_weighed_whole() {
    let job = two();
    let text = job.read("job/readings.toml");
    // Shaft and bore of C1 exchanged in their second boxes.
    let changes = [
        ("C", "C1.shaft = [1.3731, 1.3730]", "C1.shaft = [1.3731, 1.3753]", ""),
        ("C", "C1.bore = [1.3752, 1.3753]", "C1.bore = [1.3752, 1.3730]", ""),
    ];
    let changes: Vec<(&str, &str, &str)> =
        changes.iter().map(|(sheet, from, to, _)| (*sheet, *from, *to)).collect();
    job.write("second.toml", planted(&text, &changes));
    let ran = job.run("compare job second.toml").status(1);
    let of = |name: &str| {
        let mut lines = ran.out.lines().skip_while(|line| !line.starts_with(&format!("  {name} ")));
        let head = lines.next().unwrap_or_default().to_owned();
        let rest: Vec<&str> = lines.take_while(|line| line.starts_with("      ")).collect();
        format!("{head}\n{}", rest.join("\n"))
    };
    // Half of the exchange alone, 1.3753 beside 1.3731 in the shaft, would be
    // far out; the two verdicts are those of the papers that there can be.
    for name in ["C1 shaft 2", "C1 bore 2"] {
        assert!(of(name).contains("values in each other's boxes"), "{name}: {}", of(name));
        assert!(of(name).contains("within new limits with A, query with B"), "{}", of(name));
        assert!(!of(name).contains("apart"), "{name}: {}", of(name));
    }
}
