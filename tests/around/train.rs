//! Training: an example typed with twelve slips is marked twelve.

use super::planted;
use crate::cli::Script;

/// Sheet, as the paper shows it, as it was typed, how the box is called and the
/// slip's name: of every kind that is typed.
const TWELVE: [(&str, &str, &str, &str, &str); 12] = [
    ("M", "2.2477]", "2.2447]", "M1 shaft 2", "another figure"),
    ("M", "[2.2510, 2.2511]", "[2.251, 2.2511]", "M3 bore 1", "a digit lost"),
    ("C", "[1.3752, 1.3753]", "[1.3752, 1.3758]", "C1 bore 2", "one digit misread"),
    // The paper shows the sleeve turn; putting it right is a slip too.
    ("C", "[1.3755, 1.4007]", "[1.3755, 1.3757]", "C3 bore 2", "one turn of the sleeve"),
    (
        "T",
        "T1IN.shaft = [0.8736, 0.8735]",
        "T1IN.shaft = [0.8736, \"-\"]",
        "T1IN shaft 2",
        "left out",
    ),
    ("SP", "SU1IN.read = [72]", "SU1IN.read = [12]", "SU1IN read", "one digit misread"),
    ("L", "3 = \"vvvv vxvv\"", "3 = \"vvvv vvvv\"", "L 3 mark 6", "another mark"),
    (
        "A",
        "4 = \"time reached; oil use rising\"",
        "4 = \"time reached\"",
        "A 4",
        "not as it is written",
    ),
    ("M", "on = 2026-03-02", "on = 2026-03-20", "sheet M shaft: on", "another day"),
    ("T", "gauge = \"MIC-1\"", "gauge = \"MIC-2\"", "sheet T shaft: gauge", "not as it is written"),
    (
        "P",
        "GN.nogo = \"vvvv vvvv vvvv\"",
        "GN.nogo = \"vvvv vvvv xvvv\"",
        "GN nogo 9",
        "another mark",
    ),
    (
        "RN",
        "3 = { count = 8, number = \"TW-1140\"",
        "3 = { count = 6, number = \"TW-1140\"",
        "RN 3: count",
        "not as it is written",
    ),
];

#[test]
fn twelve_planted_slips_are_marked_twelve() {
    let job = Script::demo();
    job.run("train school").status(0).says("example.pdf");
    // What the paper shows, on the paper.
    let words = job.words("school/example.pdf");
    for written in [
        "time reached; oil use rising",
        "TW-1140",
        "C2 and C3 reached through cylinder openings",
        "TEL-1, MIC-2",
        "Saltmere Testing, DEMO-NT-04",
        "SM-2611, SM-2612",
    ] {
        assert!(words.contains(written), "{written}:\n{words}");
    }
    let filled = Script::first().read("job/readings.toml");
    job.write("typed.toml", &filled);
    job.run("train school --mark typed.toml").status(0).says("no slips in ");
    let changes: Vec<(&str, &str, &str)> =
        TWELVE.iter().map(|(s, from, to, _, _)| (*s, *from, *to)).collect();
    job.write("typed.toml", planted(&filled, &changes));
    let ran = job.run("train school --mark typed.toml").status(1).says("12 slips in ");
    let marked: Vec<&str> =
        ran.out.lines().filter(|line| line.contains("the paper shows")).collect();
    assert_eq!(marked.len(), 12, "{}", ran.out);
    for (_, _, _, name, slip) in TWELVE {
        let own = marked.iter().find(|line| line.contains(&format!("{name}: the paper")));
        assert!(own.is_some_and(|line| line.contains(slip)), "{name} {slip}:\n{}", ran.out);
    }
    // Nothing typed: everything is left out, nothing is in the way.
    job.run("train school --mark school/readings.toml").status(1).says("left out");
    job.run("train school").status(2);
}
