//! Where messages point, and how they are drawn.

use super::cases::{base, messages};
use benchleaf::diag::{Diag, Diags, Severity, Sources, Span};
use benchleaf::load;
use std::sync::Arc;

/// Faults at the same line and column, whatever the line ends and the mark at
/// the start of the file.
#[test]
fn line_ends_and_marks_change_no_place() {
    let text =
        "sheet-set = \"7F3K\"\n[C]\nremarks = \"5 µm\" # µ\nC1.shaft = [.3731]\nC2.shaft = [1.3731";
    let plain = messages("readings", text);
    assert_eq!(
        plain,
        [
            "readings.toml:4:13: the digits before the point of .3731 are missing; type every digit, the whole inch or millimetres too",
            "readings.toml:5:12: the bracket [ is not closed; type ] at its end",
        ]
    );
    assert_eq!(messages("readings", &text.replace('\n', "\r\n")), plain);
    assert_eq!(messages("readings", &format!("\u{feff}{text}")), plain);
    assert_eq!(messages("readings", &format!("{text}\n")), plain);
}

#[test]
fn a_sound_file_may_end_without_a_line_end_and_start_with_a_mark() {
    for text in [
        "sheet-set = \"7F3K\"\r\n[C]\r\nC1.shaft = [1.3731]",
        "\u{feff}sheet-set = \"7F3K\"\n[C]\nC1.shaft = [1.3731]",
    ] {
        assert_eq!(messages("readings", text), Vec::<String>::new());
    }
}

#[test]
fn a_missing_file_is_named() {
    let mut files = base();
    files.0.remove("job.toml");
    let mut out = Diags::new();
    assert!(load::case(&files, &mut out).is_none());
    assert_eq!(out.plain(&files), ["job.toml is missing; a job file belongs beside the others"]);
}

#[test]
fn without_a_transcription_there_is_no_record() {
    let mut files = base();
    files.0.remove("readings.toml");
    let case = load::case(&files, &mut Diags::new()).unwrap();
    assert!(case.record.is_none());
}

fn drawn(text: &str, at: (usize, usize), also: Option<(usize, usize)>) -> String {
    let file: Arc<str> = "readings.toml".into();
    let mut files = Sources::default();
    files.put(file.clone(), text);
    let mut diag = Diag::at(
        Severity::Fault,
        &Span::new(&file, at.0, at.1),
        "what is \u{1b}[31mwrong",
        "what is right",
    );
    if let Some((start, end)) = also {
        diag = diag.also(Span::new(&file, start, end), "the first");
    }
    let mut out = Diags::new();
    out.push(diag);
    out.render(&files, false)
}

#[test]
fn a_fault_is_drawn_with_its_line() {
    let text = "a = 1\n\tb = 2\n\na = 3\n";
    assert_eq!(
        drawn(text, (14, 15), Some((0, 1))),
        "fault: what is \\u{1b}[31mwrong\n \
         --> readings.toml:4:1\n  \
         |\n4 | a = 3\n  | ^\n  \
         |\n ::: readings.toml:1:1\n  \
         |\n1 | a = 1\n  | - the first\n  \
         |\n  = right: what is right\n\n1 fault\n"
    );
}

/// No place, however wrong, breaks the drawing.
#[test]
fn every_place_can_be_drawn() {
    let long = format!("x = \"{}\" µ\r\n\ttab", "µ".repeat(3000));
    for text in ["", "\n", "a", "µ", "\u{feff}", "\u{feff}a = µ", "a\r\nb\r\n", "\t\tµ\t", &long]
    {
        for start in (0..text.len() + 3).step_by(if text.len() > 100 { 61 } else { 1 }) {
            for end in [start, start + 1, start + 2, start + 500, usize::MAX] {
                let drawn = drawn(text, (start, end), Some((end.min(9000), start)));
                assert!(drawn.len() < 4000, "{} bytes drawn", drawn.len());
            }
        }
    }
}

#[test]
fn what_was_said_once_is_not_said_again() {
    let mut out = Diags::new();
    let at = Span::new(&"job.toml".into(), 0, 1);
    out.fault(&at, "wrong", "right");
    out.fault(&at, "wrong", "right");
    out.note(&at, "worth reading", "");
    assert_eq!(out.count(), "1 fault, 1 note");
    assert_eq!(out.plain(&base())[1], "job.toml:1:1: note: worth reading");
}

/// One cause is told once: no key is said to stand twice because a line before
/// it could not be read.
#[test]
fn a_character_that_does_not_print_is_told_alone() {
    let text = |remark: &str, spoiled: &str, under: &str| {
        format!("sheet-set = \"7F3K\"\n# {remark}\n[C{spoiled}]\nC1.shaft = [{under}]\n")
    };
    let told = |at: &str, letter: &str| {
        vec![format!("readings.toml:{at}: a character that does not print: {letter}; remove it")]
    };
    assert!(messages("readings", &text("", "", "1.3731")).is_empty());
    assert_eq!(messages("readings", &text("a\rb", "", "1.3731")), told("2:4", "\\r"));
    assert_eq!(messages("readings", &text("", "", "1.3731\r")), told("4:19", "\\r"));
    assert_eq!(messages("readings", &text("", "", "\u{feff}1.3731")), told("4:13", "\\u{feff}"));
    assert_eq!(messages("readings", &text("", "\r", "1.3731 1.3730")), told("3:3", "\\r"));
}

/// A text that is never closed, and a sheet whose name cannot be read, hide
/// nothing that stands below them, and no line is told of twice.
#[test]
fn what_cannot_be_read_ends_with_its_line() {
    let under = "[D]\nD1.shaft = [1,3731]\n";
    let told = |head: &str| messages("readings", &format!("sheet-set = \"7F3K\"\n{head}\n{under}"));
    let comma = "readings.toml:5:13: a comma typed for the point; 1.3731";
    for quote in ["\"", "'"] {
        let open = format!("readings.toml:3:12: the text is not closed; type {quote} at its end");
        assert_eq!(told(&format!("[C]\nC1.shaft = {}a", quote.repeat(3))), [&*open, comma]);
    }
    let name = "readings.toml:2:1: a space inside a table's name; [C-1]";
    assert_eq!(told("[C 1]\nC1.shaft = [[1"), [name, comma]);
}

/// The first is the line of the same key under the same table, whatever else
/// starts alike.
#[test]
fn a_key_typed_twice_names_the_first() {
    let told = |under: &str| messages("readings", &format!("sheet-set = \"7F3K\"\n{under}"));
    let twice = |key: &str, at: &str, first: &str| {
        vec![format!(
            "readings.toml:{at}: {key} is typed twice; keep one of the two; also readings.toml:{first} (the first)"
        )]
    };
    let rows = "[C]\nC1.bore = [1.3760]\nC1.shaft = [1.3731]\nC1.shaft = [1.3730]\n";
    assert_eq!(told(rows), twice("C1.shaft", "5:1", "4:1"));
    let value = "[C]\nC1 = { bore = [1.3760] }\nC2.bore = [1.3760]\nC1.bore = [1.3761]\n";
    assert_eq!(told(value), twice("C1", "5:1", "3:1"));
    let many = [
        ("[C.bore]\nby = \"RW\"\n[C]\n[C]\n", "[C] stands twice", "4:2"),
        (
            "[[again]]\nrow = \"C1\"\n[[again]]\nrow = \"C2\"\nbox = \"shaft 1\"\nrow = \"C3\"\n",
            "row is typed twice",
            "5:1",
        ),
    ];
    for (text, wrong, first) in many {
        let found = told(text);
        let also = format!("also readings.toml:{first} (the first)");
        let named = |line: &String| line.contains(wrong) && line.ends_with(&also);
        assert!(found.iter().any(named), "{found:?}");
    }
}

/// What can be made of a job before its transcription is read is made where
/// the transcription is at fault too, and both are told.
#[test]
fn faults_of_the_job_and_of_its_transcription_are_told_at_once() {
    let mut files = base();
    files.put("readings.toml", "sheet-set = \"7F3K\"\n[C]\nC1.shaft = [.3731]");
    let mut out = Diags::new();
    let blank = load::blank(&files, &mut out);
    let model = blank.case().expect("a sound job").engine.model.to_string();
    out.fault_nowhere(format!("planted in {model}"), "");
    assert!(blank.typed(&files, &mut out).is_none());
    let told = out.plain(&files);
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told[0].starts_with("readings.toml:3:13: the digits before"), "{told:?}");
    assert!(told[1].starts_with("planted in "), "{told:?}");
}

/// A spread is one row for all its places, under its line's reference alone.
#[test]
fn a_comma_for_the_point_is_known_by_the_decimals_of_a_spread() {
    let mut files = base();
    let limits = files.get("limits.toml").unwrap().to_owned();
    let line = "[[line]]\nref = \"WP\"\nname = \"weights\"\nkind = \"spread\"\nat = \"tappet\"\n\
                unit = \"g\"\nresolution = \"0.1\"\nnew-max = 7\n";
    files.put("limits.toml", format!("{limits}\n{line}"));
    let typed = "sheet-set = \"7F3K\"\n[C]\nWP.read = [612,5, 613,0]\n";
    files.put("readings.toml", typed);
    let mut out = Diags::new();
    assert!(load::case(&files, &mut out).is_none());
    assert_eq!(
        out.plain(&files),
        [
            "readings.toml:3:12: a comma typed for the point; 612.5",
            "readings.toml:3:19: a comma typed for the point; 613.0",
        ]
    );
}
