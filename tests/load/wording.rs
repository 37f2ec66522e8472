//! Texts of forms: what they may say, and what no text may do.

use crate::work::Work;
use benchleaf::diag::{Diags, Span};
use benchleaf::model::text::Text;
use benchleaf::template::{Values, Wording};
use proptest::prelude::*;

fn word(file: &str, text: &str) -> Text {
    Text { text: text.into(), at: Span::new(&file.into(), 10, 10 + text.len() + 2) }
}

fn context() -> Values {
    let mut context = Values::new();
    context.put("engine.model", "TW4-H8");
    context.put("engine.maker", "Tarnwick <Motor> Works & \"Sons\"");
    context.put("job.hours", "");
    context.put("place.name", "{{ 7*7 }} {% for x in y %}");
    context
}

fn said(text: &str) -> Result<String, String> {
    let word = word("forms/a.toml", text);
    let mut out = Diags::new();
    let wording = Wording::compile(&[&word], &mut out);
    let said = wording.map(|wording| wording.say(&word, &context(), &mut out));
    let told = out
        .iter()
        .map(|diag| format!("{}; {}", diag.message, diag.help))
        .collect::<Vec<_>>()
        .join("\n");
    match (said, out.is_empty()) {
        (Some(said), true) => Ok(said),
        _ => Err(told),
    }
}

#[test]
fn names_and_filters_are_filled_in() {
    for (text, right) in [
        ("no names", "no names"),
        ("of {{ engine.model }}", "of TW4-H8"),
        ("{{engine.model}}{{ engine.model | lower }}", "TW4-H8tw4-h8"),
        ("{{ engine.maker }}", "Tarnwick <Motor> Works & \"Sons\""),
        ("{{ \"}}\" ~ engine.model ~ '!' }}", "}}TW4-H8!"),
        ("{{ job.hours if job.hours else \"not told\" }}", "not told"),
        ("{{ job.hours | default(value=\"-\", boolean=true) }}", "-"),
        ("{{ \"four\" if engine.model == \"TW4-H8\" else \"other\" }}", "four"),
        ("a single { and } and }} stand", "a single { and } and }} stand"),
        // What is filled in is text and nothing more.
        ("{{ place.name }}", "{{ 7*7 }} {% for x in y %}"),
    ] {
        assert_eq!(said(text).as_deref(), Ok(right), "{text}");
    }
}

#[test]
fn hostile_templates_are_refused() {
    let started = Work::start();
    let deep = format!("{{{{ {}1{} }}}}", "(".repeat(500), ")".repeat(500));
    let chain = format!("{{{{ engine.model{} }}}}", " | upper".repeat(200));
    let nots = format!("{{{{ {} engine.model }}}}", "not ".repeat(400));
    let ternaries = format!("{{{{ {}'b' }}}}", "'a' if job.hours else ".repeat(80));
    let many = "{{ engine.model }}".repeat(60);
    let long = format!("{{{{ engine.model }}}}{}", "x".repeat(2048));
    for text in [
        "{% for x in range(end=9999999) %}x{% endfor %}",
        "{% include \"other\" %}",
        "{% extends \"other\" %}",
        "{% macro m() %}{% endmacro %}",
        "{% set x = 1 %}",
        "{# remark #}{{ engine.model }}",
        "{{ range(end=9999999) }}",
        "{{ 'a' * 9 }}",
        "{{ 'a' * 999999999 }}",
        "{{ 0.8768 - 0.8728 }}",
        "{{ 1 + 1 }}",
        "{{ [1, 2] }}",
        "{{ [x for x in engine.model] }}",
        "{{ {\"a\": 1} }}",
        "{{ {...engine} }}",
        "{{ engine[\"model\"] }}",
        "{{ engine.model[0:1] }}",
        "{{ engine.model | replace(from=\"\", to=\"aaaaaaaaaa\") }}",
        "{{ engine.model | split(pat=\"\") | join(sep=\"aaaa\") }}",
        "{{ engine.model | indent(width=999999999) }}",
        "{{ engine.model | truncate(length=99) }}",
        "{{ engine.model | safe }}",
        "{{ throw(message=\"x\") }}",
        "{{ get_env(name=\"HOME\") }}",
        "{{ now() }}",
        "{{ self::m() }}",
        "{{ <Other /> }}",
        "{{ engine.model.more.and_more }}",
        "{{ engine?.model }}",
        "{{ engine.model is defined }}",
        "{{ \"\\u0001\" }}",
        "{{ `a` }}",
        "{{- engine.model -}}",
        "{{ engine.model",
        "{{ }}",
        "{{ engine.model }} {{",
        "{{ | upper }}",
        "{{ engine.model | }}",
        "{{ engine.model engine.maker }}",
        "{{ engine }}{{ upper(engine.model) }}",
        "\u{1}\u{2} for x in y \u{3}\u{2}{{ engine.model }}",
        "{{ __tera_context }}",
        "{{ super() }}",
        &deep,
        &chain,
        &nots,
        &ternaries,
        &many,
        &long,
    ] {
        let told = said(text).expect_err(text);
        assert!(!told.is_empty() && !told.contains('\n'), "{text}: {told}");
    }
    assert!(started.seconds() < 20, "{} s", started.seconds());
}

#[test]
fn an_unknown_name_is_a_fault_at_its_place() {
    let word = word("forms/a.toml", "of {{ engine.modle }}");
    let mut out = Diags::new();
    let wording = Wording::compile(&[&word], &mut out).unwrap();
    wording.say(&word, &context(), &mut out);
    let diag = out.iter().next().unwrap();
    assert_eq!(diag.message, "there is nothing called engine.modle here");
    assert_eq!(diag.help, "there are engine.maker, engine.model");
    let at = diag.at.clone().unwrap();
    assert_eq!((at.start, at.end), (10 + 1 + 6, 10 + 1 + 6 + "engine.modle".len()));
}

/// A text of the job is never a template, not even one that reads like a
/// form's.
#[test]
fn what_the_job_says_is_printed_as_typed() {
    let form = word("forms/a.toml", "{{ engine.model }}");
    let mut out = Diags::new();
    let wording = Wording::compile(&[&form], &mut out).unwrap();
    for text in ["{{ 7*7 }}", "{{ engine.model }}", "{% for x in y %}"] {
        let typed = word("job.toml", text);
        assert_eq!(wording.say(&typed, &context(), &mut out), text);
    }
    assert!(out.is_empty());
}

/// One batch: compiled one by one, two thousand texts would take the square.
#[test]
fn two_thousand_texts_compile_at_once() {
    let words: Vec<Text> = (0..2000)
        .map(|n| {
            let text = format!("{n} of {{{{ engine.model }}}}");
            let start = n * 100;
            Text {
                at: Span::new(&"forms/a.toml".into(), start, start + text.len() + 2),
                text: text.into(),
            }
        })
        .collect();
    let started = Work::start();
    let mut out = Diags::new();
    let all: Vec<&Text> = words.iter().collect();
    let wording = Wording::compile(&all, &mut out).unwrap();
    assert_eq!(wording.say(&words[1999], &context(), &mut out), "1999 of TW4-H8");
    assert!(started.seconds() < 20, "{} s", started.seconds());
}

#[test]
fn a_value_too_long_is_refused() {
    let word = word("forms/a.toml", "{{ engine.model }}");
    let mut out = Diags::new();
    let wording = Wording::compile(&[&word], &mut out).unwrap();
    wording.say(&word, &context().with("engine.model", "x".repeat(3000)), &mut out);
    assert_eq!(out.faults(), 1);
}

const PIECES: &[&str] = &[
    "{{",
    "}}",
    "{%",
    "%}",
    "{#",
    " ",
    "engine.model",
    "job",
    ".",
    "|",
    "upper",
    "default",
    "(",
    ")",
    "value",
    "=",
    "\"",
    "'",
    "a",
    "~",
    "if",
    "else",
    "not",
    "and",
    "==",
    "1",
    "-",
    "[",
    "]",
    "for",
    "in",
    "µ",
    "\\",
    ",",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever a text says, it is filled in or refused, and stays small.
    #[test]
    fn any_text_is_filled_in_or_refused(pieces in proptest::collection::vec(proptest::sample::select(PIECES), 0..40)) {
        let text = pieces.concat();
        if let Ok(said) = said(&text) {
            prop_assert!(said.len() <= 64 * 1024);
        }
    }
}
