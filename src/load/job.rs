//! The job file: order, shop, people, gauges, leaves.

use super::arrived;
use super::fields::{Fields, file, typed};
use super::keys::{Kind, Shape, optional, required};
use super::toml::tree::{Node, Value};
use crate::diag::{Diag, Diags, Severity, Sources};
use crate::model::job::{Gauge, Job, Leaf, Paper, Person, Role, Rule, Scope, Shop};
use crate::model::text::{Number, Text};
use crate::quantity::{Length, Unit};

const SCOPES: &[(&str, Scope)] = &[("new", Scope::New), ("service", Scope::Service)];
const RULES: &[(&str, Rule)] = &[("simple", Rule::Simple), ("guarded", Rule::Guarded)];
const PAPERS: &[(&str, Paper)] = &[("A4", Paper::A4), ("Letter", Paper::Letter)];
const ROLES: &[(&str, Role)] =
    &[("mechanic", Role::Mechanic), ("inspector", Role::Inspector), ("quality", Role::Quality)];

pub static JOB: Shape = Shape {
    name: "a job file",
    keys: &[&[
        required(
            "job",
            Kind::Table(&ORDER),
            "[job] with work-order, engine-serial, scope and second-person",
        ),
        required("shop", Kind::Table(&SHOP), "[shop] with its name"),
        required("people", Kind::Named(&PERSON), "[people.RW] with name and role"),
        optional("gauges", Kind::Named(&GAUGE), "[gauges.MIC-2]"),
        optional("feelers", Kind::Table(&FEELERS), "[feelers] with leaves"),
        optional("arrived", Kind::Each(&arrived::ARRIVED), "[[arrived]]"),
    ]],
};
static ORDER: Shape = Shape {
    name: "[job]",
    keys: &[&[
        required("work-order", Kind::FigureOrText, "\"WO-1182\""),
        required("engine-serial", Kind::FigureOrText, "\"TW4-00317\""),
        optional("hours", Kind::FigureOrText, "1894.6"),
        optional("since-overhaul", Kind::FigureOrText, "\"612.3 h\""),
        optional("received", Kind::Day, "2026-02-27"),
        optional("opened", Kind::Day, "2026-03-02"),
        optional("completed", Kind::Day, "2026-03-30"),
        required("scope", Kind::Choice(&["new", "service"]), "\"service\""),
        optional("rule", Kind::Choice(&["simple", "guarded"]), "\"simple\""),
        required("second-person", Kind::Flag, "true"),
        optional("paper", Kind::Choice(&["A4", "Letter"]), "\"A4\""),
        optional("owner", Kind::Text, "\"the owner's name\""),
        optional("earlier", Kind::Text, "\"report-0311.pdf\""),
    ]],
};
static SHOP: Shape = Shape {
    name: "[shop]",
    keys: &[&[
        required("name", Kind::Text, "\"Cold Fen Engine Bench\""),
        optional("certificate", Kind::FigureOrText, "\"DEMO-0000\""),
        optional("address", Kind::Text, "\"where the shop is\""),
    ]],
};
static PERSON: Shape = Shape {
    name: "a person",
    keys: &[&[
        required("name", Kind::Text, "\"the full name\""),
        required("role", Kind::Choice(&["mechanic", "inspector", "quality"]), "\"mechanic\""),
        optional("certificate", Kind::FigureOrText, "\"the licence's number\""),
    ]],
};
static GAUGE: Shape = Shape {
    name: "a gauge",
    keys: &[&[
        required("name", Kind::Text, "\"outside micrometer 1 to 2 in\""),
        optional("serial", Kind::FigureOrText, "\"the number engraved on it\""),
        optional("transfer", Kind::Flag, "true"),
        optional("range", Kind::Pair, "[1.0000, 2.0000]"),
        optional("unit", Kind::Text, "\"in\", \"mm\", \"lbf\""),
        optional("resolution", Kind::Figure, "0.0001"),
        optional("uncertainty", Kind::Figure, "0.0001"),
        optional("expansion", Kind::Figure, "11.5"),
        optional("certificate", Kind::FigureOrText, "\"the calibration certificate's number\""),
        optional("due", Kind::Day, "2026-11-30"),
    ]],
};
static FEELERS: Shape = Shape {
    name: "[feelers]",
    keys: &[&[required("leaves", Kind::OwnLeaves, "[0.0015, [0.002, 0.00205], 0.0025]")]],
};

/// Reads a job file. `None` where it has any fault.
pub fn job(files: &Sources, name: &str, out: &mut Diags) -> Option<Job> {
    file(files, name, &JOB, out, |fields, out| {
        let people: Vec<Person> = fields
            .named("people")
            .into_iter()
            .filter_map(|(id, person)| self::person(id, &person))
            .collect();
        fields.names("people").into_iter().for_each(|id| initials(id, out));
        let gauges: Vec<Gauge> = fields
            .named("gauges")
            .into_iter()
            .filter_map(|(id, gauge)| self::gauge(id, &gauge, out))
            .collect();
        if fields.names("people").is_empty() && fields.node("people").is_some() {
            out.fault(
                fields.place("people"),
                "nobody works on the job",
                "add [people.RW] with name and role",
            );
        }
        let leaves =
            fields.table("feelers").map(|feelers| leaves(&feelers, out)).unwrap_or_default();
        let (order, shop) = (fields.table("job")?, fields.table("shop")?);
        let earlier = order.text("earlier");
        earlier.iter().for_each(|name| report_name(name, out));
        let day = |key: &str| order.day(key).and_then(|(date, _)| Some((date, order.text(key)?)));
        let [received, opened, completed] = ["received", "opened", "completed"].map(day);
        Some(Job {
            work_order: order.text("work-order")?,
            serial: order.text("engine-serial")?,
            hours: order.text("hours"),
            since_overhaul: order.text("since-overhaul"),
            received,
            opened,
            completed,
            scope: order.choice("scope", SCOPES)?,
            rule: order.choice("rule", RULES).unwrap_or(Rule::Simple),
            second_person: order.flag("second-person")?,
            paper: order.choice("paper", PAPERS).unwrap_or(Paper::A4),
            shop: Shop {
                name: shop.text("name")?,
                certificate: shop.text("certificate"),
                address: shop.text("address"),
            },
            people,
            gauges,
            leaves,
            arrived: arrived::read(&fields),
            owner: order.text("owner"),
            earlier,
        })
    })
}

/// The report lies in a folder of its own, so that no report made here is
/// written over it.
fn report_name(name: &Text, out: &mut Diags) {
    let text = name.as_str();
    let plain = !text.contains(['/', '\\']) && !text.starts_with('.');
    if !(plain && text.to_ascii_lowercase().ends_with(".pdf")) {
        let help = "a report in the job's folder earlier, by its name alone: earlier = \"report-0311.pdf\"";
        out.fault(&name.at, format!("the earlier report {name}"), help);
    }
}

fn person(id: &Text, fields: &Fields<'_>) -> Option<Person> {
    Some(Person {
        initials: id.clone(),
        name: fields.text("name")?,
        certificate: fields.text("certificate"),
        role: fields.choice("role", ROLES)?,
    })
}

/// Initials are written in a small box.
fn initials(id: &Text, out: &mut Diags) {
    let fits = id.as_str().chars().all(|c| c.is_alphanumeric() || c == '-');
    if !fits || id.as_str().is_empty() || id.as_str().chars().count() > 4 {
        out.fault(
            &id.at,
            format!("the initials {id}"),
            "one to four letters or digits: [people.RW]",
        );
    }
}

fn gauge(id: &Text, fields: &Fields<'_>, out: &mut Diags) -> Option<Gauge> {
    let [low, high] = fields.pair("range", typed);
    let range = match (low, high) {
        (Some(low), Some(high)) => Some((low, high)),
        (None, None) => None,
        _ => {
            out.fault(
                fields.place("range"),
                "a range with one end",
                "both ends: range = [1.0000, 2.0000]",
            );
            None
        }
    };
    if let Some((low, high)) = range.as_ref().filter(|(low, high)| low.value >= high.value) {
        let help = format!("the lower first: [{}, {}]", high.text, low.text);
        out.fault(
            fields.place("range"),
            format!("a range from {} to {}", low.text, high.text),
            help,
        );
    }
    let uncertainty = fields.figure("uncertainty");
    let resolution = fields.figure("resolution");
    for figure in [&uncertainty, &resolution].into_iter().flatten().filter(|f| !above_zero(f)) {
        out.fault(
            &figure.at,
            format!("{} is not above zero", figure.text),
            "leave it out where it is not known",
        );
    }
    let due = fields.day("due").and_then(|(date, _)| Some((date, fields.text("due")?)));
    Some(Gauge {
        id: id.clone(),
        name: fields.text("name")?,
        serial: fields.text("serial"),
        transfer: fields.flag("transfer").unwrap_or(false),
        range,
        unit: fields.text("unit").map(|unit| Unit::read(unit.as_str())),
        resolution,
        uncertainty,
        expansion: fields.figure("expansion"),
        certificate: fields.text("certificate"),
        due,
    })
}

fn above_zero(figure: &Number) -> bool {
    !figure.value.is_zero() && !figure.value.is_negative()
}

/// Leaves from thin to thick as engraved, each once: a paper names them so.
fn leaves(fields: &Fields<'_>, out: &mut Diags) -> Vec<Leaf> {
    let list = match fields.node("leaves").map(|node| &node.value) {
        Some(Value::List(list)) => &list[..],
        _ => &[],
    };
    let mut leaves: Vec<Leaf> = list.iter().filter_map(leaf).collect();
    let figures = leaves.iter().flat_map(|leaf| [Some(&leaf.engraved), leaf.measured.as_ref()]);
    for figure in figures.flatten().filter(|figure| !above_zero(figure)) {
        out.fault(&figure.at, format!("a leaf of {}", figure.text), "a leaf has a thickness");
    }
    leaves.sort_by_key(|leaf| leaf.engraved.value);
    for pair in leaves.windows(2) {
        let (left, right) = (&pair[0].engraved, &pair[1].engraved);
        if left.value != right.value {
            continue;
        }
        let (first, second) = if left.at < right.at { (left, right) } else { (right, left) };
        let message = format!("the leaf {} stands twice", second.text);
        let diag = Diag::at(Severity::Fault, &second.at, message, "each leaf once");
        out.push(diag.also(first.at.clone(), "the first"));
    }
    leaves
}

fn leaf(node: &Node) -> Option<Leaf> {
    match &node.value {
        Value::List(pair) => match &pair[..] {
            [engraved, measured] => {
                Some(Leaf { engraved: typed(engraved)?, measured: Some(typed(measured)?) })
            }
            _ => None,
        },
        _ => Some(Leaf { engraved: typed(node)?, measured: None }),
    }
}

/// A leaf measured a step or more from its engraving, the step in which leaves
/// are sold, is another leaf or a slip (common practice, no source). True where
/// none is.
pub fn leaves_fit(job: &Job, unit: Length, out: &mut Diags) -> bool {
    let before = out.faults();
    let step = Leaf::step(unit);
    for leaf in &job.leaves {
        let Some(measured) = &leaf.measured else { continue };
        let off = (measured.value - leaf.engraved.value).abs();
        if off >= step {
            let engraved = &leaf.engraved.text;
            let message =
                format!("a leaf of {engraved} that measures {}, {off} off", measured.text);
            let help = format!("less than {step} off: measure it again, or take it out of the set");
            out.fault(&measured.at, message, help);
        }
    }
    out.faults() == before
}
