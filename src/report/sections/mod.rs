//! The sections of the report, in the order of the shop's own `report.toml`.

pub mod answers;
mod arithmetic;
mod checks;
mod days;
pub mod exceptions;
mod fits;
mod input;
mod look;
pub mod near;
mod originals;
mod people;
mod readings;
mod renewed;
pub mod spoken;
mod summary;
mod tables;
mod wear;

pub use days::last_day;
pub use input::ReportInput;

use super::types::{Report, Section};
use crate::model::form::ReportSection;
use crate::record::Status;

/// The whole report. `draft` asks for a draft whatever the record holds.
pub fn report(told: &ReportInput, draft: bool) -> Report {
    let form = &told.case.forms.report;
    let status = if draft { Status::Draft } else { told.judged.status };
    Report {
        title: form.title.to_string(),
        status,
        head: told.set.head.clone(),
        set: told.set.number.clone(),
        arithmetic: told.arithmetic,
        disclaimer: form.disclaimer.to_string(),
        date: last_day(told.record).map(|date| date.to_string()).unwrap_or_default(),
        sections: sections(told, &form.sections),
    }
}

/// Scans that are carried, wear where an earlier job is named, rows near a limit,
/// and the arithmetic where it was asked for, are told even where the shop's form
/// has no section for them.
fn sections(told: &ReportInput, forms: &[ReportSection]) -> Vec<Section> {
    let mut sections: Vec<Section> = forms.iter().filter_map(|form| section(told, form)).collect();
    let asked = |show: &str| forms.iter().any(|form| form.show.as_str() == show);
    let own = |title: &str, pieces| Section {
        title: title.to_owned(),
        text: None,
        pieces,
        new_page: false,
    };
    if let Some(history) = told.history.filter(|_| !asked("wear")) {
        sections.push(own("Wear since the earlier job", wear::pieces(history)));
    }
    if let Some(originals) = told.originals.filter(|_| !asked("originals")) {
        sections.push(own("Original sheets", originals::pieces(originals)));
    }
    if !asked("near") {
        sections.push(own("At or near a limit", near::pieces(told)));
    }
    if told.arithmetic && !asked("arithmetic") {
        sections.push(own("Arithmetic, worked", arithmetic::pieces(told)));
    }
    sections
}

fn section(told: &ReportInput, form: &ReportSection) -> Option<Section> {
    let pieces = match form.show.as_str() {
        "summary" => summary::pieces(told),
        "exceptions" => exceptions::pieces(told),
        "near" => near::pieces(told),
        "people" => people::pieces(told),
        "gauges" => people::gauges(told),
        "limits" => people::limits(told),
        "sign-off" => answers::sign_off(told),
        "fits" => fits::pieces(told),
        "readings" => readings::pieces(told),
        "look-over" => look::pieces(told),
        "renewed" => renewed::pieces(told),
        "changes" => renewed::changes(told),
        // Also a table of the sheets tells it, where the forms have one.
        "outside" if told.record.outside.is_empty() => return None,
        "outside" => renewed::outside(told),
        "superseded" => readings::superseded(told),
        "wear" => wear::pieces(told.history?),
        "originals" => originals::pieces(told.originals?),
        "arithmetic" if told.arithmetic => arithmetic::pieces(told),
        _ => return None,
    };
    Some(Section {
        title: form.title.to_string(),
        text: form.text.as_ref().map(ToString::to_string),
        new_page: matches!(
            form.show.as_str(),
            "summary" | "exceptions" | "fits" | "wear" | "sign-off"
        ),
        pieces,
    })
}
