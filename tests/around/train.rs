//! Training: an example typed with twelve slips is marked twelve.

use super::planted;
use crate::cli::Script;

/// Sheet, as the paper shows it, as it was typed, and the slip's name.
const TWELVE: [(&str, &str, &str, &str); 12] = [
    ("M", "M1.shaft = [2.2478, 2.2477]", "M1.shaft = [2.2478, 2.2447]", "another figure"),
    ("M", "M2.shaft = [2.2469, 2.2465]", "M2.shaft = [2.2469, 2.2456]", "two digits swapped"),
    ("M", "M3.bore = [2.2510, 2.2511]", "M3.bore = [2.251, 2.2511]", "a digit lost"),
    ("C", "C1.bore = [1.3752, 1.3753]", "C1.bore = [1.3752, 1.3758]", "one digit misread"),
    // The paper shows the sleeve turn; putting it right is a slip too.
    ("C", "C3.bore = [1.3755, 1.4007]", "C3.bore = [1.3755, 1.3757]", "one turn of the sleeve"),
    ("T", "T1N.shaft = [0.8736, 0.8735]", "T1N.shaft = [0.8736, \"-\"]", "left out"),
    ("T", "T4E.bore = [0.8758, 0.8759]", "T4E.bore = [1.8758, 0.8759]", "whole inch"),
    ("TL", "TL2N.read = [27.1]", "TL2N.read = [21.7]", "two digits swapped"),
    ("EP", "EK.read = [0.0095]", "EK.read = [0.0195]", "another figure"),
    ("R", "R1.shaft = [1.8121, 1.8119]", "R1.shaft = [1.8121, 1.7119]", "wrong tenth"),
    ("SP", "SU1N.read = [72]", "SU1N.read = [12]", "one digit misread"),
    ("RV", "SR.read = [8.7]", "SR.read = [8.70]", "a digit too many"),
];

#[test]
fn twelve_planted_slips_are_marked_twelve() {
    let job = Script::demo();
    job.run("train school").status(0).says("example.pdf");
    // What the paper shows, on the paper.
    let words = job.words("school/example.pdf");
    assert!(words.contains("C3") && !words.contains("sheet A"), "{words}");
    let filled =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/demo/readings-first.toml"));
    let filled = filled.expect("the example's transcription");
    job.write("typed.toml", &filled);
    job.run("train school --mark typed.toml").status(0).says("no slips in ");
    let changes: Vec<(&str, &str, &str)> =
        TWELVE.iter().map(|(s, from, to, _)| (*s, *from, *to)).collect();
    job.write("typed.toml", planted(&filled, &changes));
    let ran = job.run("train school --mark typed.toml").status(1).says("12 slips in ");
    let marked: Vec<&str> =
        ran.out.lines().filter(|line| line.contains("the paper shows")).collect();
    assert_eq!(marked.len(), 12, "{}", ran.out);
    for (_, from, _, slip) in TWELVE {
        let row = from.split(' ').next().unwrap_or_default().replace('.', " ");
        let own = marked
            .iter()
            .find(|line| line.contains(&format!("{row}:")) || line.contains(&format!("{row} ")));
        assert!(own.is_some_and(|line| line.contains(slip)), "{row} {slip}:\n{}", ran.out);
    }
    // Nothing typed: everything is left out, nothing is in the way.
    job.run("train school --mark school/readings.toml").status(1).says("left out");
    job.run("train school").status(2);
}
