//! Fits: both ends of each, a bar from tightest to loosest, every step of the
//! chain from as found to as left.

use super::input::ReportInput;
use crate::judge::{Band, Look, Measure, Scale, State, Verdict, held_in};
use crate::model::side::Side;
use crate::quantity::{Exact, Fit};
use crate::record::{RowHistory, Step, why_word};
use crate::report::types::{FitGroup, FitLine, Marker, Piece};
use crate::sheet::LineRows;

pub fn pieces(told: &ReportInput) -> Vec<Piece> {
    let mut groups: Vec<FitGroup> = Vec::new();
    let mut last = None;
    for (at, row) in told.rows() {
        let line = at.line;
        let Some(bar) = Bar::of(line) else { continue };
        if last != Some(line.line) {
            groups.push(group(told, line, &bar));
            last = Some(line.line);
        }
        if let Some(group) = groups.last_mut() {
            group.rows.extend(lines(told, (at, row), &bar));
        }
    }
    vec![Piece::Fits(groups)]
}

/// What a bar shows: the scale of the fit with room beyond both ends.
struct Bar<'a> {
    scale: &'a Scale,
    low: Exact,
    high: Exact,
}

impl<'a> Bar<'a> {
    fn of(line: &'a LineRows) -> Option<Bar<'a>> {
        let scale = line.scales.iter().find(|scale| scale.over.is_none() && scale.fits)?;
        let ends = || scale.bands.iter().flat_map(|band| [band.from, band.to]).flatten();
        Some(Bar { scale, low: ends().min()?, high: ends().max()? })
    }

    /// Millionths of the bar, which reaches a fifth of the span beyond each
    /// end.
    fn share(&self, at: Exact) -> i64 {
        let span = self.high - self.low;
        let (low, high) = (self.low.times(5) - span, self.high.times(5) + span);
        at.times(5).share(low, high).clamp(0, 1_000_000)
    }

    /// The loosest that is accepted.
    fn most(&self) -> Option<Exact> {
        let accepted = |band: &&Band| matches!(band.look, Look::Heavy | Look::Plain | Look::Dashed);
        self.scale.bands.iter().filter(accepted).filter_map(|band| band.to).max()
    }

    fn band(&self, wanted: impl Fn(&Band) -> bool) -> Option<(i64, i64)> {
        let inside: Vec<&Band> = self.scale.bands.iter().filter(|band| wanted(band)).collect();
        let from = inside.first()?.from.map_or(0, |from| self.share(from));
        let to = inside.last()?.to.map_or(1_000_000, |to| self.share(to));
        Some((from, to))
    }
}

fn group(told: &ReportInput, line: &LineRows, bar: &Bar) -> FitGroup {
    let places = told.case.limits.lines[line.line].places;
    let mut ticks: Vec<(String, i64)> = bar
        .scale
        .bands
        .iter()
        .flat_map(|band| [band.from, band.to])
        .flatten()
        .map(|at| (Fit(at).show(places), bar.share(at)))
        .collect();
    ticks.dedup();
    let mut title = line.name.clone();
    if let Some(first) = title.get(..1) {
        title = format!("{}{}", first.to_uppercase(), &title[1..]);
    }
    if let Some(at) = &line.at {
        title.push_str(&format!(", at {at}"));
    }
    let called = line.groups.iter().filter(|group| group.called != group.key.word());
    let called: Vec<String> =
        called.map(|group| format!("{} is the {}", group.key, group.called)).collect();
    let note = [
        line.source(),
        (!called.is_empty()).then(|| called.join(", ")),
        line.agreed.as_ref().map(|agreed| format!("agreed: {agreed}")),
    ];
    let note: Vec<String> = note.into_iter().flatten().collect();
    FitGroup {
        title,
        note: (!note.is_empty()).then(|| note.join("; ")),
        ticks,
        new: bar.band(|band| band.look == Look::Heavy),
        service: bar
            .band(|band| matches!(band.look, Look::Heavy | Look::Plain | Look::Dashed))
            .unwrap_or((0, 1_000_000)),
        rows: Vec::new(),
    }
}

fn lines(told: &ReportInput, (at, row): RowHistory, bar: &Bar) -> Vec<FitLine> {
    let count = row.steps.len();
    let each = row.steps.iter().enumerate().map(|(n, step)| {
        let last = n + 1 == count;
        let mut line = fit_line(told, at.line, (step, last), bar);
        line.code.clone_from(&row.code);
        line.place.clone_from(&at.row.name);
        line.label = label(step, n, last, count);
        if last {
            line.state = crate::record::state_words(row, step);
            line.bold = row.blocks();
        } else {
            line.state = format!("was {}", step.verdict.state);
        }
        line
    });
    each.collect()
}

fn label(step: &Step, n: usize, last: bool, count: usize) -> String {
    match (n, last, count) {
        (_, _, 1) => String::new(),
        (0, ..) => "as found".to_owned(),
        (_, true, _) => "as left".to_owned(),
        _ => step.why.map(why_word).unwrap_or_default().to_owned(),
    }
}

fn fit_line(
    told: &ReportInput,
    line: &LineRows,
    (step, last): (&Step, bool),
    bar: &Bar,
) -> FitLine {
    // The limits in the unit that the row's figures were held in.
    let line = &told.case.limits.lines[line.line];
    let held = held_in(line, &step.sides);
    let limit = |limit: Exact| line.unit.exactly(limit, &held);
    let ends = limit(bar.low).zip(limit(bar.high));
    let own = ends.map(|(low, high)| Bar { scale: bar.scale, low, high });
    let most = bar.most().and_then(limit);
    let places = told.case.limits.document.places;
    let verdict: &Verdict = &step.verdict;
    let show = |value: Option<Exact>| value.map(|v| format!("{v:.*}", usize::from(places)));
    let pair = |of: Side| {
        let judged =
            verdict.figure(Measure::Smallest(of)).zip(verdict.figure(Measure::Largest(of)));
        // As they were read, whatever unit the row was held in.
        let sizes = step.side(of).map(|side| side.readings.taken().0).unwrap_or_default();
        let all = || sizes.iter().flatten().copied();
        let (least, most) = judged.or_else(|| all().min().zip(all().max())).unzip();
        let (upper, lower) = of.of([(most, least), (least, most)]);
        (show(upper).unwrap_or_default(), show(lower).unwrap_or_default())
    };
    let (tight, loose) = (verdict.figure(Measure::Tightest), verdict.figure(Measure::Loosest));
    let seen = own.zip(tight.zip(loose)).filter(|_| verdict.state != State::Query);
    let fit = |at: Option<Exact>| at.map(|at| Fit(at).show(places)).unwrap_or_default();
    FitLine {
        code: String::new(),
        place: String::new(),
        label: String::new(),
        why: step.what.clone(),
        shaft: pair(Side::Shaft),
        bore: pair(Side::Bore),
        also: also(step),
        tightest: fit(tight),
        loosest: fit(loose),
        marker: seen.map(|(bar, (tight, loose))| Marker {
            from: bar.share(tight),
            to: bar.share(loose),
            solid: last,
        }),
        margin: left(most, verdict, loose)
            .map_or_else(|| "none".to_owned(), |left| show(Some(left)).unwrap_or_default()),
        state: String::new(),
        bold: false,
    }
}

/// Every reading of a part where its two columns, which show the largest and the
/// smallest that govern, leave some out: an oval skirt, a barrel at three heights.
/// The average where that is judged.
fn also(step: &Step) -> Vec<String> {
    let mut also = Vec::new();
    for side in step.sides.iter().filter(|side| side.fresh) {
        let part = side.key.side();
        if let Some(average) = step.verdict.figure(Measure::Average(part)) {
            also.push(format!("{part} average {average}"));
        }
        let shown =
            [Measure::Smallest, Measure::Largest].map(|which| step.verdict.figure(which(part)));
        if side.boxes.iter().flatten().any(|typed| !shown.contains(&Some(typed.value))) {
            let typed = side.boxes.iter().map(|one| one.as_ref().map_or("-", |typed| &typed.text));
            also.push(format!("{} read {}", side.key, typed.collect::<Vec<_>>().join(" ")));
        }
    }
    also
}

/// What is left before the fit is too loose: wear only ever opens it. Nothing
/// is left where it is out or in query.
fn left(most: Option<Exact>, verdict: &Verdict, loosest: Option<Exact>) -> Option<Exact> {
    Some(most? - loosest?).filter(|left| verdict.state.passes() && !left.is_negative())
}
