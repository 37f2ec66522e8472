//! What the head of every page says, and who works on the job.

use super::types::{Head, PersonLine};
use crate::model::Case;
use crate::model::job::{Person, Rule, Scope};
use crate::model::text::Text;

pub fn head(case: &Case) -> Head {
    let (job, limits) = (&case.job, &case.limits);
    Head {
        job: job.work_order.to_string(),
        scope: scope_words(job.scope).to_owned(),
        engine: format!("{} {}", case.engine.maker, case.engine.model),
        serial: job.serial.to_string(),
        limits: limits.number.to_string(),
        document: format!("{} {}", limits.document.title, limits.document.number),
        revision: limits.document.revision.to_string(),
        unit: limits.document.unit.word().to_owned(),
        decimals: limits.document.places,
        shop: job.shop.name.to_string(),
        certificate: job.shop.certificate.as_ref().map(Text::to_string),
        paper: job.paper,
        second_person: job.second_person,
        rule: match job.rule {
            Rule::Simple => "simple acceptance, as the trade works".to_owned(),
            Rule::Guarded => "guarded acceptance: limits drawn in by the uncertainty".to_owned(),
        },
        copy: None,
        blind: false,
    }
}

fn scope_words(scope: Scope) -> &'static str {
    match scope {
        Scope::New => "to new limits",
        Scope::Service => "to service limits",
    }
}

pub fn people(case: &Case) -> Vec<PersonLine> {
    let line = |person: &Person| PersonLine {
        initials: person.initials.to_string(),
        name: person.name.to_string(),
        role: person.role.word().to_owned(),
    };
    case.job.people.iter().map(line).collect()
}
