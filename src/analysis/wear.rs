//! Wear between two jobs of one engine: what each part has lost since it was
//! last left, and how fast.

use crate::judge::State;
use crate::judge::budget::expanded;
use crate::model::Case;
use crate::model::record::Why;
use crate::model::side::Side;
use crate::model::text::Text;
use crate::quantity::{Exact, quotient, squared_exceeds};
use crate::record::{History, Judged, Status, Step};
use crate::sheet::{At, SheetSet};

/// One job of an engine, judged.
#[derive(Clone, Copy, Debug)]
pub struct Job<'a> {
    pub case: &'a Case,
    pub set: &'a SheetSet,
    pub judged: &'a Judged,
}

/// What has worn between two jobs.
#[derive(Clone, Debug)]
pub struct Wear {
    /// `job 0311, sheet set 7F3K-92QD`.
    pub earlier: String,
    /// Hours since new of the earlier job and of the later one, or why they
    /// cannot be subtracted.
    pub hours: Result<(Exact, Exact), &'static str>,
    pub worn: Vec<Worn>,
    /// Rows that cannot be compared, and why.
    pub left_out: Vec<String>,
}

/// One side of a row.
#[derive(Clone, Debug)]
pub struct Worn {
    /// `C2 shaft`.
    pub name: String,
    /// `camshaft journal, centre`.
    pub what: String,
    /// Readings as the earlier job left it and as the later one found it.
    pub left: Vec<Exact>,
    pub found: Vec<Exact>,
    /// The greatest of the boxes; below zero where the part has grown.
    pub wear: Exact,
    /// In a hundred hours, to the nearest at one decimal beyond the readings,
    /// halves away from zero.
    pub rate: Option<Exact>,
    /// A box that has grown.
    pub grown: Option<Grown>,
}

/// A box that is larger than wear lets it be.
#[derive(Clone, Debug)]
pub struct Grown {
    pub words: String,
    /// By more than the uncertainty of both: asked about.
    pub asked: bool,
}

impl Wear {
    /// The parts that are asked about.
    pub fn asked(&self) -> impl Iterator<Item = (&Worn, &Grown)> {
        let grown = self.worn.iter().filter_map(|worn| Some((worn, worn.grown.as_ref()?)));
        grown.filter(|(_, grown)| grown.asked)
    }

    /// The hours between, and how wear in a hundred of them is rounded.
    pub fn hours_in_words(&self) -> String {
        match self.hours {
            Ok((old, new)) => format!(
                "{} h since the earlier job ({old} h to {new} h); per hundred hours rounded to the nearest at \
                 one decimal beyond the readings, halves away from zero",
                new - old
            ),
            Err(why) => format!("{why}: no wear per hundred hours"),
        }
    }
}

impl Worn {
    /// The wear as printed; a part that nowhere shrank or opened has none.
    pub fn wear_in_words(&self) -> String {
        if self.wear.is_negative() { "none".to_owned() } else { self.wear.to_string() }
    }

    pub fn rate_in_words(&self) -> Option<String> {
        self.rate.filter(|_| !self.wear.is_negative()).map(|rate| rate.to_string())
    }
}

/// Compares as left with as found. A fault in words where the jobs are not of
/// one engine.
pub fn wear(earlier: Job, later: Job) -> Result<Wear, String> {
    same_engine(earlier.case, later.case)?;
    let hours = between(said_hours(earlier.case), said_hours(later.case));
    let unfinished = if earlier.judged.status == Status::Complete { "" } else { ", never final" };
    let order = &earlier.case.job.work_order;
    let name = format!("job {order}, sheet set {}{unfinished}", earlier.set.number);
    let mut history = Wear { earlier: name, hours, worn: Vec::new(), left_out: Vec::new() };
    for (at, row) in later.judged.rows_of(later.set).filter(|(at, _)| at.line.has_boxes()) {
        let Some(old) = earlier.judged.row(&row.code) else {
            history.left_out.push(format!("{}: not measured in the earlier job", row.code));
            continue;
        };
        match (left(old), found(row)) {
            (Ok(before), Ok(after)) => sides((earlier, before), (later, &at, after), &mut history),
            (Err(why), _) => {
                history.left_out.push(format!("{}: {why} in the earlier job", row.code))
            }
            (_, Err(why)) => history.left_out.push(format!("{}: {why}", row.code)),
        }
    }
    Ok(history)
}

fn same_engine(earlier: &Case, later: &Case) -> Result<(), String> {
    let name = |case: &Case| {
        format!("{} {} serial {}", case.engine.maker, case.engine.model, case.job.serial)
    };
    let (one, other) = (name(earlier), name(later));
    if one != other {
        return Err(format!("not one engine: {one}, and {other}"));
    }
    if earlier.limits.document.unit != later.limits.document.unit {
        return Err("the two jobs are in different units".to_owned());
    }
    Ok(())
}

/// What a job says of its engine's hours.
#[derive(Clone, Copy, Debug, Default)]
pub struct Hours {
    pub since_new: Option<Exact>,
    pub since_overhaul: Option<Exact>,
}

/// `1,894.6 h since new, 420 h since overhaul`. Hours that do not say since
/// when are none to subtract.
pub fn said_hours(case: &Case) -> Hours {
    let text = case.job.hours.as_ref().map(Text::as_str).unwrap_or_default().to_lowercase();
    let (mut hours, mut from) = (Hours::default(), 0);
    for (at, since) in text.match_indices("since ") {
        let figure = last_figure(&text[from..at]);
        let what = &text[at + since.len()..];
        // Since an overhaul of any kind, and since a new engine.
        let first = what.split(|c: char| !c.is_alphabetic()).next().unwrap_or_default();
        match first {
            "new" => hours.since_new = hours.since_new.or(figure),
            _ => hours.since_overhaul = hours.since_overhaul.or(figure),
        }
        from = at + since.len();
    }
    hours
}

/// The last figure of a text; a comma between its digits parts thousands.
fn last_figure(text: &str) -> Option<Exact> {
    let is = |c: char| c.is_ascii_digit() || c == '.' || c == ',';
    let mut parts = text.split(|c: char| !is(c));
    let figure = parts.rfind(|part| part.contains(|c: char| c.is_ascii_digit()))?;
    let plain: String = figure.trim_matches([',', '.']).chars().filter(|c| *c != ',').collect();
    Exact::read(&plain).ok()
}

/// Hours since new of two jobs that can be subtracted, or why they cannot.
fn between(earlier: Hours, later: Hours) -> Result<(Exact, Exact), &'static str> {
    let (Some(old), Some(new)) = (earlier.since_new, later.since_new) else {
        return Err("the jobs do not both say their hours since new");
    };
    if new <= old {
        return Err("the hours since new do not rise from the earlier job to the later one");
    }
    // Since the earlier job's own overhaul it has run as long as lies between,
    // or longer where that job was none.
    if later.since_overhaul.is_some_and(|run| run < new - old) {
        return Err("an overhaul lies between the two jobs");
    }
    Ok((old, new))
}

fn sure(state: &State) -> Result<(), &'static str> {
    match state {
        State::Query => Err("in query"),
        State::Hold => Err("on hold"),
        State::NotApplicable => Err("n.a."),
        _ => Ok(()),
    }
}

fn left(row: &History) -> Result<&Step, &'static str> {
    let step = row.last().ok_or("not measured")?;
    sure(&step.verdict.state).map(|()| step)
}

/// The last step before anything was done to the part: it as it was found.
pub fn as_found(row: &History) -> Option<&Step> {
    let worked = |step: &&Step| !matches!(step.why, Some(Why::Reworked | Why::PartChanged));
    row.steps.iter().take_while(worked).last()
}

fn found(row: &History) -> Result<&Step, &'static str> {
    let step = as_found(row).ok_or("not measured as found")?;
    sure(&step.verdict.state).map(|()| step)
}

fn sides(
    (earlier, before): (Job, &Step),
    (later, at, after): (Job, &At, &Step),
    history: &mut Wear,
) {
    let (line, row) = (at.line, at.row);
    let places = later.case.limits.lines[line.line].places;
    for group in line.own() {
        let sized = group.feature.map(|n| &later.case.engine.features[n]);
        let left_out = |why: &str, history: &mut Wear| {
            let words = format!("{}: {why}", line.reference);
            if !history.left_out.contains(&words) {
                history.left_out.push(words);
            }
        };
        let Some(feature) = sized.filter(|feature| feature.side != Side::Only) else {
            left_out("not the size of a shaft or a bore", history);
            continue;
        };
        // A feature of another name was another feature.
        if earlier.case.engine.feature(feature.id.as_str()).is_none() {
            left_out(&format!("{} is not measured in the earlier job", feature.name), history);
            continue;
        }
        // A line that has changed its unit since is left out, or turned to mm.
        let unit = &group.unit;
        let read = |step: &Step| Some(step.side(group.key)?.in_unit(unit));
        let (Some(old), Some(new)) = (read(before), read(after)) else { continue };
        let (left, found) = (old.readings.present(unit), new.readings.present(unit));
        if left.is_empty() || left.len() != found.len() || left.len() != group.labels.len() {
            history
                .left_out
                .push(format!("{} {}: not every box is filled in both jobs", row.code, group.key));
            continue;
        }
        let shaft = feature.side == Side::Shaft;
        let lost = |(old, new): (&Exact, &Exact)| if shaft { *old - *new } else { *new - *old };
        let each: Vec<Exact> = left.iter().zip(&found).map(lost).collect();
        let wear = each.iter().copied().max().unwrap_or(Exact::ZERO);
        let parts = [old.least_certain(), new.least_certain()].map(expanded).concat();
        history.worn.push(Worn {
            name: format!("{} {}", row.code, group.key),
            what: at.named(feature.name.as_str()),
            wear,
            rate: history.hours.ok().and_then(|(old, new)| rate(wear, new - old, places + 1)),
            grown: grown(&each, &group.labels, shaft, &parts),
            left,
            found,
        });
    }
}

/// `wear * 100 / hours`, rounded once.
fn rate(wear: Exact, hours: Exact, places: u8) -> Option<Exact> {
    let decimals = hours.places();
    let count = hours.in_steps(decimals)?;
    let scaled = wear.times(100 * 10_i64.checked_pow(u32::from(decimals))?);
    Some(quotient(scaled, count, places).nearest(places))
}

fn grown(each: &[Exact], labels: &[String], shaft: bool, parts: &[Exact]) -> Option<Grown> {
    let (n, least) = each.iter().enumerate().min_by_key(|(_, wear)| **wear)?;
    if !least.is_negative() {
        return None;
    }
    let by = least.abs();
    let what = if shaft { "larger" } else { "smaller" };
    let label = if each.len() > 1 { format!("{} ", labels[n]) } else { String::new() };
    if !parts.is_empty() && !squared_exceeds(by, parts) {
        let words = format!("{label}{by} {what} than it was left: within the uncertainty of both");
        return Some(Grown { words, asked: false });
    }
    let words = format!(
        "{label}{by} {what} than it was left: a misreading in one of the two jobs, a part from another \
         place, or a part changed or plated in between? Measure again"
    );
    Some(Grown { words, asked: true })
}
