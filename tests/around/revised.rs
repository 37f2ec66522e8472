//! Limits revised: revision 7 to 8 of the demonstration's, three lines changed.

use crate::cli::Script;

fn eighth() -> Script {
    let job = Script::demo();
    let text = job.read("job/limits.toml");
    let line = |reference: &str, from: &str, to: &str, text: &str| {
        let at = text
            .find(&format!("ref   = \"{reference}\""))
            .or_else(|| text.find(&format!("ref  = \"{reference}\"")));
        let at = at.unwrap_or_else(|| panic!("no line {reference}"));
        let end = text[at..].find("\n[[line]]").map_or(text.len(), |end| at + end);
        assert_eq!(text[at..end].matches(from).count(), 1, "{reference}: {from}");
        format!("{}{}{}", &text[..at], text[at..end].replacen(from, to, 1), &text[end..])
    };
    let text = text.replacen("revision   = \"7\"", "revision   = \"8\"", 1);
    let text = line("M", "service = \"0.0055L\"", "service = \"0.0050L\"", &text);
    let text = line("T", "wear = 0.8770", "wear = 0.8772", &text);
    let text = line("SR", "service-min = 8.5", "service-min = 8.8", &text);
    job.write("job/eighth.toml", text);
    job
}

#[test]
fn three_lines_changed_are_three_in_words_and_their_verdicts() {
    let job = eighth();
    let ran = job.run("limits job/eighth.toml --against job/limits.toml --job job").status(1);
    // M2 stands at 0.0055 L; the relief valve spring reads 8.7; T3EX's bore,
    // 0.8768, passes either way.
    ran.says("document revision was 7, is 8")
        .says_on_a_line(&[
            "M crankshaft main journal",
            "fit, service, loosest was 0.0055 L, is 0.0050 L",
        ])
        .says_on_a_line(&["T tappet in guide", "bore, wear limit was 0.8770, is 0.8772"])
        .says_on_a_line(&["SR ", "service, least was 8.5, is 8.8"])
        .says("4 differences")
        .says_on_a_line(&["M2: within service limits would be out, loose by 0.0005"])
        .says_on_a_line(&["SR: within service limits would be out", "0.1"])
        .says("2 verdicts would change");
    let ran = job.run("limits job/limits.toml --against job/limits.toml --job job").status(0);
    ran.says("no differences").says("no verdict would change");
    job.run("limits job/limits.toml --job job").status(2);
}

/// What is neither a limit nor a word of the head: teeth to try, planes of a
/// taper, how readings are brought together, the file's own number. A verdict
/// that stands for other reasons is told too.
#[test]
fn what_is_no_limit_is_told_too() {
    let job = Script::demo();
    let text = job.read("job/limits.toml");
    let changed = |from: &str, to: &str| {
        assert!(text.matches(from).count() >= 1, "{from}");
        job.write("job/other.toml", text.replacen(from, to, 1));
        job.run("limits job/other.toml --against job/limits.toml").status(0)
    };
    changed("teeth = 12", "teeth = 13").says_on_a_line(&["G ", "teeth was 12, is 13"]);
    changed("planes = [\"top\", \"skirt\"]", "planes = [\"skirt\", \"top\"]")
        .says_on_a_line(&["BT ", "planes was top, skirt, is skirt, top"]);
    changed("wear = 1.3715 }", "wear = 1.3715 }\nreduction = \"average\"")
        .says_on_a_line(&["C ", "reduction was not given, is average"]);
    changed("\"L-07\"", "\"L-08\"").says("document file was L-07, is L-08").says("1 difference");
    job.write("job/other.toml", text.replacen("wear = 0.8770", "wear = 0.8772", 1));
    let ran = job.run("limits job/other.toml --against job/limits.toml --job job");
    ran.says("would stand for other reasons");
}
