//! The exceptions in words, for a terminal.

use super::exceptions::{exceptions, open_by_page, summary};
use super::input::ReportInput;
use super::near;
use crate::judge::State;
use std::fmt::Write;

/// Exceptions, then what is open by page, then the count.
pub fn in_words(told: &ReportInput, all: bool) -> String {
    let mut text = String::new();
    let exceptions = exceptions(told);
    let open = State::Open.rank();
    let mut state = String::new();
    for exception in exceptions.iter().filter(|exception| exception.rank != open) {
        let heading = exception.state.split(',').next().unwrap_or_default().to_owned();
        if heading != state {
            let _ = writeln!(text, "{heading}");
            state = heading;
        }
        let page = if exception.page.is_empty() {
            String::new()
        } else {
            format!(" (page {})", exception.page)
        };
        let what = match exception.what.as_str() {
            "" => String::new(),
            what => format!(" {what}"),
        };
        let _ = writeln!(text, "  {}{page}{what}: {}", exception.code, exception.state);
        for why in &exception.why {
            let _ = writeln!(text, "      {why}");
        }
    }
    let missing: Vec<_> = exceptions.iter().filter(|exception| exception.rank == open).collect();
    if !missing.is_empty() {
        let _ = writeln!(text, "open, by page");
        for line in open_by_page(&missing).split(" · ") {
            let _ = writeln!(text, "  {line}");
        }
        for exception in missing.iter().filter(|e| {
            e.why.iter().any(|w| w != "not done" && w != "nothing written" && w != "not entered")
        }) {
            // What is open of a sheet or of the record names it already.
            let why = exception.why.join("; ");
            let code = format!("{}: ", exception.code);
            let _ = writeln!(text, "  {code}{}", why.strip_prefix(&code).unwrap_or(&why));
        }
    }
    let near: Vec<_> = near::rows(told, State::passes).collect();
    if !near.is_empty() {
        let _ = writeln!(text, "at or near a limit");
    }
    for ((at, row), near) in near {
        let line = &told.case.limits.lines[at.line.line];
        let page = told.pages.row(&row.code);
        let page = if page.is_empty() { String::new() } else { format!(" (page {page})") };
        let near: Vec<String> = near.iter().map(near::Near::in_words).collect();
        let what = at.named(line.name.as_str());
        let _ = writeln!(text, "  {}{page} {what}: {}: {}", row.code, row.state, near.join("; "));
    }
    if all {
        every_row(told, &mut text);
    }
    let _ = writeln!(text, "{}", summary(told));
    text
}

fn every_row(told: &ReportInput, text: &mut String) {
    for (at, row) in told.rows() {
        let Some(step) = row.last() else { continue };
        let line = &told.case.limits.lines[at.line.line];
        let words = crate::record::state_words(row, step);
        let _ = writeln!(text, "{} {}: {words}", row.code, line.name);
        for worked in &step.verdict.steps {
            let _ = writeln!(text, "      {worked}");
        }
    }
}
