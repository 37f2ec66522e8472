//! Feelers: the leaves that entered and those refused, for each tooth or
//! place. They make a bracket between two leaves, never a value.

use super::leaves::{Feeler, GoNoGo, Leaves, leaves};
use crate::judge::acceptance::{Bound, Bounds};
use crate::judge::bounds;
use crate::judge::kind::LineKind;
use crate::judge::measure::Measure;
use crate::judge::side::{SideReadings, side_of};
use crate::judge::state::{Beyond, Flag, State};
use crate::judge::types::{
    Band, BoxGroup, BoxKind, Context, Look, PartState, PrintedLimits, ResultBox, Verdict,
};
use crate::model::job::{Rule, Scope};
use crate::model::limits::{FeelerLine, Line};
use crate::model::record::Mark;
use crate::model::side::Group;
use crate::quantity::Exact;

pub struct FeelerCheck<'a> {
    pub line: &'a Line,
    pub feeler: &'a FeelerLine,
    pub limits: Bounds<'a>,
}

/// The thickest leaf that entered a tooth and the thinnest refused.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Bracket {
    entered: Option<Feeler>,
    refused: Option<Feeler>,
    /// A box of this tooth is blank.
    blank: bool,
}

impl Bracket {
    fn enters(&mut self, leaf: Feeler) {
        let thicker = self.entered.is_none_or(|entered| leaf.thickness > entered.thickness);
        self.entered = if thicker { Some(leaf) } else { self.entered };
    }

    fn refuses(&mut self, leaf: Feeler) {
        let thinner = self.refused.is_none_or(|refused| leaf.thickness < refused.thickness);
        self.refused = if thinner { Some(leaf) } else { self.refused };
    }

    fn met(&self, pair: &Leaves) -> bool {
        let enters = |go: Feeler| self.entered.is_some_and(|leaf| leaf.thickness >= go.thickness);
        let refused = |no: Feeler| self.refused.is_some_and(|leaf| leaf.thickness <= no.thickness);
        pair.go.is_none_or(enters) && pair.no_go.is_none_or(refused)
    }

    fn is_impossible(&self) -> bool {
        matches!((self.entered, self.refused), (Some(l), Some(u)) if l.thickness >= u.thickness)
    }
}

impl LineKind for FeelerCheck<'_> {
    fn groups(&self, cx: &Context) -> Vec<BoxGroup> {
        let Ok(set) = leaves(self.feeler, cx) else {
            return Vec::new();
        };
        let group = |key, name: &str, leaf: Option<Feeler>, hint: &str| {
            leaf.map(|leaf| BoxGroup {
                key,
                title: format!("{name} {}", leaf.engraved),
                called: name.to_lowercase(),
                hint: hint.to_owned(),
                labels: (1..=self.feeler.teeth).map(|n| n.to_string()).collect(),
                governs: vec![true; self.feeler.teeth as usize],
                shape: BoxKind::Marks { each: self.feeler.each.to_string() },
                own: true,
                feature: None,
                when: None,
                unit: self.line.unit.clone(),
            })
        };
        let go = group(Group::Go, "GO", set.leaves.go, "enters easily");
        let no_go = group(Group::NoGo, "NO-GO", set.leaves.no_go, "is refused");
        go.into_iter().chain(no_go).collect()
    }

    fn answers(&self, _: &Context) -> Vec<ResultBox> {
        let teeth = Exact::whole(self.feeler.teeth.into());
        let each = if self.feeler.teeth == 1 { "passed" } else { "that pass" };
        vec![ResultBox {
            label: format!("{} {each}, of {teeth}", plural(self.feeler.each.as_str())),
            whole: bounds::whole_digits([teeth], 1),
            places: 0,
            side: false,
            governs: true,
        }]
    }

    fn limits(&self, cx: &Context) -> PrintedLimits {
        let mut limits = bounds::printed(self.line, &self.limits, Some(Group::Go), cx);
        match leaves(self.feeler, cx) {
            Ok(set) => {
                for scale in &mut limits.scales {
                    unproven(&set).for_each(|stretch| overlay(&mut scale.bands, stretch));
                    scale.note = Some(self.proven_words(&set, cx.rule));
                }
            }
            Err(_) => limits.scales.clear(),
        }
        limits
    }

    fn judge(&self, read: &[SideReadings], cx: &Context) -> Verdict {
        let state = read.iter().map(|side| &side.state).find(|state| state.meets_new());
        let meeting = &bounds::meeting(state.unwrap_or(&PartState::Reused), cx);
        let mut verdict = Verdict::of(State::Recorded);
        bounds::notes(&mut verdict, self.line, false, cx.rule);
        // The boxes are of the leaves that the sheet asks for; a new part is
        // held to those of its new limits.
        let both = leaves(self.feeler, cx)
            .and_then(|printed| Ok((printed, leaves(self.feeler, meeting)?)));
        let (printed, set) = match both {
            Ok(both) => both,
            Err(needed) => {
                verdict.notes.push(needed.to_string());
                verdict.part(None, State::Hold);
                return verdict;
            }
        };
        let brackets = self.brackets(read, &printed.leaves, cx);
        let mut open: Vec<String> = Vec::new();
        // What is out, and at which teeth.
        let mut at: Vec<(String, Vec<String>)> = Vec::new();
        for (n, bracket) in brackets.iter().enumerate() {
            let tooth = format!("{} {}", self.feeler.each, n + 1);
            let state = self.judge_tooth(&mut verdict, &tooth, bracket, &set);
            if state == State::Open {
                open.push((n + 1).to_string());
            }
            if let (State::Out(_), Some((words, _))) = (&state, beyond(bracket, &set)) {
                match at.iter_mut().find(|(known, _)| *known == words) {
                    Some((_, teeth)) => teeth.push((n + 1).to_string()),
                    None => at.push((words, vec![(n + 1).to_string()])),
                }
            }
            verdict.worsen(state);
        }
        if brackets.is_empty() {
            verdict.worsen(State::Open);
        }
        for (words, teeth) in at {
            let each = self.feeler.each.as_str();
            let each = if teeth.len() > 1 { plural(each) } else { each.to_owned() };
            verdict.notes.push(format!("{each} {}: {words}", teeth.join(", ")));
        }
        if !open.is_empty() {
            let each = plural(self.feeler.each.as_str());
            verdict.notes.push(format!("open, not proven: {each} {}", open.join(", ")));
        }
        self.finish(&mut verdict, &brackets, &set, meeting);
        verdict
    }
}

impl FeelerCheck<'_> {
    /// What each tooth's marks and further leaves leave open.
    fn brackets(&self, read: &[SideReadings], pair: &Leaves, cx: &Context) -> Vec<Bracket> {
        let teeth = self.feeler.teeth as usize;
        let mark = |key: Group, n: usize| {
            let side = side_of(read, key);
            side.and_then(|side| side.marks.get(n).copied()).unwrap_or(Mark::Blank)
        };
        let mut brackets = vec![Bracket::default(); teeth];
        for (n, bracket) in brackets.iter_mut().enumerate() {
            if let Some(go) = pair.go {
                match mark(Group::Go, n) {
                    Mark::Ok => bracket.enters(go),
                    Mark::Found => bracket.refuses(go),
                    Mark::Blank | Mark::NotApplicable => bracket.blank = true,
                }
            }
            if let Some(no_go) = pair.no_go {
                match mark(Group::NoGo, n) {
                    Mark::Ok => bracket.refuses(no_go),
                    Mark::Found => bracket.enters(no_go),
                    Mark::Blank | Mark::NotApplicable => bracket.blank = true,
                }
            }
        }
        for (tooth, leaf, entered) in read.iter().flat_map(|side| &side.leaves) {
            let tooth = (*tooth as usize).checked_sub(1);
            let Some(bracket) = tooth.and_then(|n| brackets.get_mut(n)) else {
                continue;
            };
            let leaf = Feeler::named(*leaf, cx);
            match entered {
                true => bracket.enters(leaf),
                false => bracket.refuses(leaf),
            }
        }
        brackets
    }

    fn judge_tooth(
        &self,
        verdict: &mut Verdict,
        tooth: &str,
        bracket: &Bracket,
        set: &GoNoGo,
    ) -> State {
        if bracket.is_impossible() {
            let (entered, refused) = (leaf(bracket.entered), leaf(bracket.refused));
            verdict.causes.push(format!(
                "{tooth}: leaf {entered} entered and {refused} was refused, which cannot be: \
                 measure again"
            ));
            return State::Query;
        }
        if let Some((words, side)) = beyond(bracket, set) {
            verdict.steps.push(format!("{tooth}: {words}: out"));
            return out(side);
        }
        if bracket.blank || !bracket.met(&set.leaves) {
            return State::Open;
        }
        let service_only = Bound::least(&self.limits).is_service_only()
            || Bound::greatest(&self.limits).is_service_only();
        // By the new limits' own two leaves, also where they are the same two.
        let new = !service_only && set.new.is_some_and(|new| bracket.met(&new));
        if new { State::New } else { State::Service }
    }

    /// Whether every tooth of a row that is out to new limits would pass to
    /// service limits. The boxes are those of the new limits' leaves.
    fn inside_service(&self, brackets: &[Bracket], cx: &Context) -> bool {
        let service = Context { scope: Scope::Service, ..*cx };
        let Ok(set) = leaves(self.feeler, &service) else { return false };
        let mut unused = Verdict::of(State::Recorded);
        let mut passes = |bracket| self.judge_tooth(&mut unused, "", bracket, &set).passes();
        brackets.iter().all(&mut passes)
    }

    fn finish(&self, verdict: &mut Verdict, brackets: &[Bracket], set: &GoNoGo, cx: &Context) {
        let thickness = |leaf: Option<Feeler>| leaf.map(|leaf| leaf.thickness);
        let entered = brackets.iter().map(|bracket| thickness(bracket.entered)).min().flatten();
        let refused = brackets.iter().map(|bracket| thickness(bracket.refused));
        let refused = refused.collect::<Option<Vec<Exact>>>().and_then(|all| all.into_iter().max());
        if let Some(entered) = entered {
            verdict.show_figure(Measure::Entered, entered);
        }
        if let Some(refused) = refused {
            verdict.show_figure(Measure::Refused, refused);
        }
        let beside_low = set.low.is_some_and(|low| entered.is_none_or(|leaf| leaf < low));
        let beside_high = set.high.is_some_and(|high| refused.is_none_or(|leaf| leaf > high));
        if cx.rule == Rule::Simple && verdict.state.passes() && (beside_low || beside_high) {
            verdict.flag(Flag::GoNoGo(span(entered, refused)));
        }
        let out = matches!(verdict.state, State::Out(_)) && cx.scope == Scope::New;
        if out && self.inside_service(brackets, cx) {
            verdict.flag(Flag::InsideService);
        }
        verdict.steps.push(self.proven_words(set, cx.rule));
        let state = verdict.state.clone();
        verdict.part(None, state);
    }

    /// `proven 0.0015 to 0.006, limits 0.0020 to 0.0050`.
    fn proven_words(&self, set: &GoNoGo, rule: Rule) -> String {
        let thickness = |leaf: Option<Feeler>| leaf.map(|leaf| leaf.thickness);
        let proven = |pair: &Leaves| span(thickness(pair.go), thickness(pair.no_go));
        let mut words =
            format!("proven {}, limits {}", proven(&set.leaves), span(set.low, set.high),);
        if rule == Rule::Guarded {
            words.push_str(", proven inside");
        }
        if let Some(new) = set.others_for_new() {
            words.push_str(&format!("; new limits by {}", proven(&new)));
        }
        words
    }
}

/// The leaf that shows that a tooth is out, and to which side.
fn beyond(bracket: &Bracket, set: &GoNoGo) -> Option<(String, &'static str)> {
    if let (Some(refused), Some(low)) = (bracket.refused, set.low)
        && refused.thickness <= low
    {
        return Some((format!("leaf {refused} refused, least {low}"), "under"));
    }
    if let (Some(entered), Some(high)) = (bracket.entered, set.high)
        && entered.thickness > high
    {
        return Some((format!("leaf {entered} entered, greatest {high}"), "over"));
    }
    None
}

fn out(side: &str) -> State {
    State::Out(vec![Beyond { side: side.to_owned(), by: None }])
}

fn leaf(leaf: Option<Feeler>) -> String {
    leaf.map(|leaf| leaf.to_string()).unwrap_or_default()
}

fn plural(each: &str) -> String {
    match each {
        "tooth" => "teeth".to_owned(),
        each => format!("{each}s"),
    }
}

/// `0.0015 to 0.006`.
fn span(low: Option<Exact>, high: Option<Exact>) -> String {
    match (low, high) {
        (Some(low), Some(high)) => format!("{low} to {high}"),
        (Some(low), None) => format!("from {low}"),
        (None, Some(high)) => format!("to {high}"),
        (None, None) => "nothing".to_owned(),
    }
}

/// A stretch of the scale, from and to.
type Stretch = (Exact, Exact);

/// The stretches between a limit and its leaf, where nothing is proven.
fn unproven(set: &GoNoGo) -> impl Iterator<Item = Stretch> {
    let ends = [(set.leaves.go, set.low), (set.leaves.no_go, set.high)].into_iter();
    let stretches = ends.filter_map(|(leaf, limit)| {
        let (leaf, limit) = (leaf?.thickness, limit?);
        Some((leaf.min(limit), leaf.max(limit)))
    });
    stretches.filter(|(from, to)| from != to)
}

/// Lays a dashed `not proven` stretch over bands, cutting them at its ends.
fn overlay(bands: &mut Vec<Band>, (from, to): Stretch) {
    let mut cut: Vec<Band> = Vec::new();
    for band in bands.drain(..) {
        let before = band.from.is_none_or(|start| start < from);
        let after = band.to.is_none_or(|end| end > to);
        if before {
            let end = band.to.map_or(from, |end| end.min(from));
            cut.push(Band { to: Some(end), ..band.clone() });
        }
        if after {
            let start = band.from.map_or(to, |start| start.max(to));
            cut.push(Band { from: Some(start), ..band });
        }
    }
    let place = cut.iter().position(|band| band.from.is_some_and(|start| start >= to));
    let dashed =
        Band { from: Some(from), to: Some(to), word: "not proven".to_owned(), look: Look::Dashed };
    cut.insert(place.unwrap_or(cut.len()), dashed);
    *bands = cut;
}
