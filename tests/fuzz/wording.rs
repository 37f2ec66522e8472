//! The texts of forms.
#![no_main]

use benchleaf::diag::{Diags, Span};
use benchleaf::model::text::Text;
use benchleaf::template::{Values, Wording};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let word = Text { text: text.into(), at: Span::new(&"forms/a.toml".into(), 10, 12 + text.len()) };
    let mut context = Values::new();
    for (name, said) in [("engine.model", "TW4-H8"), ("job.hours", ""), ("place.name", "{{ 7*7 }}")] {
        context.put(name, said);
    }
    let mut out = Diags::new();
    if let Some(wording) = Wording::compile(&[&word], &mut out) {
        let _ = wording.say(&word, &context, &mut out);
    }
});
