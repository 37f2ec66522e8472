//! Gauges to fetch before a set is begun: ranges from the limits of its lines.

use super::types::{GaugeNeed, LineRows, Sheet, SheetBlock};
use crate::diag::Diags;
use crate::judge::{BoxGroup, BoxKind, Context, GoNoGo, Leaves, Look, leaves as feeler_leaves};
use crate::model::Case;
use crate::model::job::Gauge;
use crate::model::limits::{Gauges, Line};
use crate::model::side::Side;
use crate::quantity::{Exact, Length, Unit};
use std::collections::BTreeMap;

/// What is measured with: in the order in which the list is printed.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Want {
    /// Lower and upper end in whole inches or steps of 25 mm.
    Micrometer(Exact, Exact, Length),
    Transfer(Exact, Exact, Length),
    /// As the line says it.
    Said(String),
}

/// The gauges that a set of sheets needs, each with the letters of its sheets.
pub fn needs(case: &Case, sheets: &[Sheet]) -> Vec<GaugeNeed> {
    let mut wants: BTreeMap<Want, (Vec<String>, Vec<Judged>)> = BTreeMap::new();
    for sheet in sheets {
        let work = sheet.blocks.iter().filter_map(|block| match block {
            SheetBlock::Marks(marks) => marks.with.clone().map(Want::Said),
            _ => None,
        });
        let read = sheet.lines().flat_map(|line| wanted(line, case));
        for (want, judged) in read.chain(work.map(|want| (want, None))) {
            let (letters, lines) = wants.entry(want).or_default();
            if !letters.contains(&sheet.letter) {
                letters.push(sheet.letter.clone());
            }
            lines.extend(judged);
        }
    }
    wants.into_iter().map(|(want, (sheets, lines))| need(want, sheets, &lines, case)).collect()
}

/// What stands beside a line: the set-up, or the leaves to use.
pub fn with(line: &Line, cx: &Context) -> Option<String> {
    match line.gauges() {
        Gauges::Needed(with) => with.map(ToString::to_string),
        Gauges::Leaves(feeler) => {
            feeler_leaves(feeler, cx).ok().map(|chosen| leaves_in_words(&chosen))
        }
        Gauges::None | Gauges::Optional => None,
    }
}

/// The leaves that the sheets need, as printed. A leaf that a rule needs and
/// the shop lacks is a fault: never another in its place.
pub fn leaves(sheets: &[Sheet], cx: &Context, out: &mut Diags) -> Vec<String> {
    let mut words = Vec::new();
    for rows in sheets.iter().flat_map(Sheet::lines) {
        let line = &cx.limits.lines[rows.line];
        let Gauges::Leaves(feeler) = line.gauges() else {
            continue;
        };
        match feeler_leaves(feeler, cx) {
            Ok(chosen) => {
                words.push(format!("line {}: {}", line.reference, leaves_in_words(&chosen)))
            }
            Err(needed) => out.fault(
                &line.at,
                format!("no leaf of the shop's set serves line {}: {}", line.reference, needed),
                "buy the leaf and list it under [feelers] in job.toml",
            ),
        }
    }
    words
}

/// `GO 0.0015 · NO-GO 0.006`, and the leaves that show new limits.
fn leaves_in_words(chosen: &GoNoGo) -> String {
    let pair = |leaves: &Leaves| {
        let go = leaves.go.map(|go| format!("GO {go}"));
        let no_go = leaves.no_go.map(|no_go| format!("NO-GO {no_go}"));
        [go, no_go].into_iter().flatten().collect::<Vec<_>>().join(" · ")
    };
    match chosen.others_for_new() {
        Some(new) => format!("{}; for new limits {}", pair(&chosen.leaves), pair(&new)),
        None => pair(&chosen.leaves),
    }
}

/// A line, and between which sizes its gauge must tell: the new band.
#[derive(Clone, Debug)]
struct Judged {
    reference: String,
    width: Exact,
    unit: Length,
}

impl Judged {
    fn of(group: &BoxGroup, rows: &LineRows) -> Option<Judged> {
        let Unit::Length(unit) = group.unit else { return None };
        let scale = rows.scales.iter().find(|scale| scale.over == Some(group.key))?;
        let new = scale.bands.iter().find(|band| band.look == Look::Heavy)?;
        let width = new.to? - new.from?;
        Some(Judged { reference: rows.reference.clone(), width, unit })
    }

    /// Whether a gauge's uncertainty is more than a quarter of the width.
    fn is_beyond(&self, gauge: &Gauge, default: Length) -> bool {
        let own = match &gauge.unit {
            Some(Unit::Length(own)) => *own,
            _ => default,
        };
        gauge.uncertainty.as_ref().is_some_and(|stated| {
            let stated = own.to_mm(stated.value);
            stated.times(4) > self.unit.to_mm(self.width)
        })
    }
}

/// What to say before a bore is measured on a sheet with these lines: a gauge
/// that only carries a size has no master to be set to.
pub fn bore_step<'r>(lines: impl Iterator<Item = &'r LineRows>, case: &Case) -> String {
    let wants = lines.flat_map(|line| wanted(line, case)).map(|(want, _)| want);
    let bores = wants.filter(|want| matches!(want, Want::Transfer(..)));
    let gauges: Vec<Option<&Gauge>> = bores.map(|want| serving(&want, case)).collect();
    let carries = |gauge: &Option<&Gauge>| gauge.is_some_and(|gauge| gauge.resolution.is_none());
    let within = match case.limits.document.unit {
        Length::Inch => "0.0002",
        Length::Millimetre => "0.005",
    };
    match gauges.iter().any(carries) {
        true => format!("telescoping gauge: three repeats within {within}"),
        false => "bore gauge set to its master".to_owned(),
    }
}

fn wanted(rows: &LineRows, case: &Case) -> Vec<(Want, Option<Judged>)> {
    match case.limits.lines[rows.line].gauges() {
        Gauges::Needed(Some(with)) => vec![(Want::Said(with.to_string()), None)],
        Gauges::Needed(None) => {
            let each = rows.own().flat_map(|group| {
                let judged = Judged::of(group, rows);
                sized(group, rows).into_iter().map(move |want| (want, judged.clone()))
            });
            each.collect()
        }
        Gauges::None | Gauges::Optional | Gauges::Leaves(_) => Vec::new(),
    }
}

/// A size of a shaft or a bore asks for a micrometer that covers it.
fn sized(group: &BoxGroup, rows: &LineRows) -> Vec<Want> {
    let (Unit::Length(length), BoxKind::Comb { .. }) = (&group.unit, &group.shape) else {
        return Vec::new();
    };
    if group.feature.is_none() {
        return Vec::new();
    }
    let scale = rows.scales.iter().find(|scale| scale.over == Some(group.key));
    let ends = scale.into_iter().flat_map(|scale| &scale.bands).flat_map(|b| [b.from, b.to]);
    let ends: Vec<Exact> = ends.flatten().collect();
    let (Some(low), Some(high)) = (ends.iter().min(), ends.iter().max()) else {
        // A document that gives the fit alone says no size.
        let mut wants = vec![Want::Said("outside micrometer for the part's size".to_owned())];
        if group.key == Side::Bore.into() {
            wants.push(Want::Said("telescoping or bore gauge for the bore's size".to_owned()));
        }
        return wants;
    };
    let step = match length {
        Length::Inch => Exact::whole(1),
        Length::Millimetre => Exact::whole(25),
    };
    let mut wants = Vec::new();
    let mut from = Exact::ZERO;
    while from < *high {
        let to = from + step;
        if to > *low {
            wants.push(Want::Micrometer(from, to, *length));
        }
        from = to;
    }
    if group.key == Side::Bore.into() {
        wants.push(Want::Transfer(*low, *high, *length));
    }
    wants
}

/// The gauge of the job that serves: of those that carry a bore's size the one
/// that does it best.
fn serving<'c>(want: &Want, case: &'c Case) -> Option<&'c Gauge> {
    let unit = case.limits.document.unit;
    let serves = |gauge: &&Gauge| match want {
        Want::Micrometer(from, to, length) => {
            !gauge.transfer && covers(gauge, *from, *to, *length, unit)
        }
        Want::Transfer(from, to, length) => {
            gauge.transfer && covers(gauge, *from, *to, *length, unit)
        }
        Want::Said(said) => {
            let (said, name) = (said.to_lowercase(), gauge.name.as_str().to_lowercase());
            said.starts_with(&name) || name.starts_with(&said)
        }
    };
    let mut found = case.job.gauges.iter().filter(serves);
    match want {
        Want::Transfer(..) => {
            let unsure = |gauge: &&Gauge| gauge.uncertainty.as_ref().map(|stated| stated.value);
            found.min_by_key(|gauge| (unsure(gauge).is_none(), unsure(gauge)))
        }
        _ => found.next(),
    }
}

fn need(want: Want, sheets: Vec<String>, lines: &[Judged], case: &Case) -> GaugeNeed {
    let unit = case.limits.document.unit;
    let gauge = serving(&want, case);
    let beyond = |line: &&Judged| gauge.is_some_and(|gauge| line.is_beyond(gauge, unit));
    let mut coarse: Vec<&str> =
        lines.iter().filter(beyond).map(|line| line.reference.as_str()).collect();
    coarse.dedup();
    let have = gauge.map(|gauge| {
        (
            gauge.id.to_string(),
            gauge.serial.as_ref().map(ToString::to_string).unwrap_or_default(),
            gauge.due.as_ref().map(|(date, _)| date.to_string()).unwrap_or_default(),
        )
    });
    let what = match &want {
        Want::Micrometer(from, to, length) => format!("outside micrometer {from} to {to} {length}"),
        Want::Transfer(from, to, length) => {
            format!("telescoping or bore gauge for {from} to {to} {length}")
        }
        Want::Said(said) => said.clone(),
    };
    let what = match coarse.is_empty() {
        true => what,
        false => format!("{what}; too coarse for {}", coarse.join(", ")),
    };
    GaugeNeed { what, sheets, have }
}

fn covers(gauge: &Gauge, low: Exact, high: Exact, unit: Length, default: Length) -> bool {
    let Some((from, to)) = &gauge.range else {
        return false;
    };
    let own = match &gauge.unit {
        None => default,
        Some(Unit::Length(own)) => *own,
        Some(Unit::Named(_)) => return false,
    };
    own.to_mm(from.value) <= unit.to_mm(low) && unit.to_mm(high) <= own.to_mm(to.value)
}
