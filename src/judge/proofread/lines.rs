//! Proof-reading a limits file before it is trusted: published tables do have
//! misprints. A line with a mistake is a fault unless it says who agreed to
//! it; what is only worth reading is a note.

// A new kind must not fall through.
#![warn(clippy::wildcard_enum_match_arm)]

use super::derived::{self, Published, published};
use super::given::given;
use super::units;
use crate::diag::{Diag, Diags, Severity, Span};
use crate::judge::acceptance::{Bounds, shown};
use crate::judge::fit_limits::FitLimits;
use crate::judge::kinds::named;
use crate::model::engine::{Engine, Feature};
use crate::model::id::FeatureId;
use crate::model::job::Scope;
use crate::model::limits::{
    FeelerLine, FitLine, Grade, Kind, Limits, Line, RoundnessLine, SizeGrade, SizeLimits, TaperLine,
};
use crate::model::side::Side;
use crate::model::text::{Stated, Text};
use crate::quantity::{Exact, Unit};

/// Everything that does not add up, at the limit where it stands.
pub fn proof(limits: &Limits, engine: &Engine) -> Diags {
    let mut out = Diags::new();
    for line in &limits.lines {
        Reader { line, limits, engine, out: &mut out }.line();
    }
    let (twins, odd) = units::all(limits);
    for odd in &odd {
        let mut reader = Reader { line: odd.line, limits, engine, out: &mut out };
        reader.fault(odd.at, odd.message.clone(), odd.help);
    }
    for twin in twins.iter().filter(|twin| !twin.agrees()) {
        let mut reader = Reader { line: twin.line, limits, engine, out: &mut out };
        reader.fault(twin.own.at, twin.message(), twin.help(&twins));
    }
    out
}

/// One line being read.
pub(super) struct Reader<'a> {
    pub(super) line: &'a Line,
    limits: &'a Limits,
    engine: &'a Engine,
    out: &'a mut Diags,
}

/// A new range wider than this many times its least figure hides a lost digit
/// more often than not (a suspicion from printed tables, no source).
const RANGE: i64 = 40;

impl<'a> Reader<'a> {
    fn line(&mut self) {
        let (line, unit) = (self.line, &self.line.unit);
        let own = line.tolerance().and_then(|limits| limits.in_unit(unit)).unwrap_or_default();
        self.given();
        match &line.kind {
            Kind::Fit(fit) => {
                self.fit(fit, &own);
                self.borrows(fit.shaft.feature);
                self.borrows(fit.bore.feature);
            }
            Kind::Size(size) => {
                self.borrows(size.feature);
                let stated =
                    |grade: &'a SizeGrade| Some((&grade.name, grade.limits.in_unit(unit)?));
                let grades: Vec<_> = size.grades.iter().filter_map(stated).collect();
                for (name, graded) in &grades {
                    self.named(name, [(&own.new_min, &graded.new_min)]);
                    self.named(name, [(&own.new_max, &graded.new_max)]);
                }
                let side = self.engine.features.get(size.feature.0).map(|feature| feature.side);
                for limits in grades.iter().map(|(_, graded)| graded).chain([&own]) {
                    self.bounds(limits, false);
                    self.size_of_bounds(limits, side);
                }
            }
            Kind::Roundness(roundness) => self.roundness(roundness, &own),
            Kind::Taper(taper) => self.taper(taper, &own),
            Kind::Feeler(feeler) => self.feeler(feeler, &own),
            Kind::Count(count) => {
                let at = self.line.at.clone();
                if count.exact == 0 {
                    self.fault(&at, "a count of 0".to_owned(), "how many there must be");
                }
            }
            Kind::Reading(_) | Kind::Spread(_) => {
                self.coarse(&own);
                self.bounds(&own, false);
                self.far_service(&own, false);
            }
            Kind::Recorded(_) => {}
        }
    }

    /// A line that nothing is held against passes everything: it is printed only
    /// where somebody says that this is meant.
    fn given(&mut self) {
        if given(self.line) {
            return;
        }
        let at = self.line.reference.at.clone();
        let help = "give its limits from the manual, or take the line out; where it is only \
                    recorded, say who decided that: agreed = \"...\"";
        self.fault(&at, format!("a {} without any limit", self.line.kind_word()), help);
    }

    /// Roundness and taper borrow the readings of other lines: lengths can be
    /// brought to one unit, anything else can't.
    fn borrows(&mut self, feature: FeatureId) {
        let own = self.line.unit.clone();
        let mut lines = self.limits.lines.iter().filter(|line| line.reads(feature));
        let other = lines.find(|line| own.common(&line.unit).is_none());
        if let Some(other) = other {
            let at = self.line.at.clone();
            let (word, unit) = (self.line.kind_word(), &other.unit);
            let message =
                format!("{word} in {own} of what line {} reads in {unit}", other.reference);
            self.refuse(&at, message, format!("unit = \"{unit}\""));
        }
    }

    /// Which line, and where it holds if not at every place.
    fn called(&self) -> String {
        match self.line.places_named(self.engine) {
            Some(codes) => format!("line {} at {codes}", self.line.reference),
            None => format!("line {}", self.line.reference),
        }
    }

    /// A fault, or a note where somebody agreed to the line as it stands.
    pub(super) fn fault(&mut self, at: &Span, message: String, help: impl Into<String>) {
        let place = format!("{}: {message}", self.called());
        let help = help.into();
        let diag = match &self.line.agreed {
            None => Diag::at(Severity::Fault, at, place, help),
            Some(agreed) => Diag::at(Severity::Note, at, place, format!("agreed: {agreed}"))
                .also(agreed.at.clone(), "here"),
        };
        self.out.push(diag);
    }

    /// A fault that nobody can agree to: the figures could not be judged.
    fn refuse(&mut self, at: &Span, message: String, help: impl Into<String>) {
        self.out.fault(at, format!("{}: {message}", self.called()), help);
    }

    pub(super) fn note(&mut self, at: &Span, message: String, help: impl Into<String>) {
        self.out.note(at, format!("{}: {message}", self.called()), help);
    }

    pub(super) fn show(&self, value: Exact, fit: bool) -> String {
        shown(value, self.line.places, fit)
    }

    fn fit(&mut self, fit: &FitLine, own: &Bounds) {
        let unit = &self.line.unit;
        self.sides(fit);
        self.part(&fit.shaft, Side::Shaft);
        self.part(&fit.bore, Side::Bore);
        self.bounds(own, true);
        self.far_service(own, true);
        self.published(fit, None);
        for grade in &fit.grades {
            grade.shaft.iter().for_each(|part| self.part(part, Side::Shaft));
            grade.bore.iter().for_each(|part| self.part(part, Side::Bore));
            self.published(fit, Some(grade));
            for (own, graded) in [(&fit.shaft, &grade.shaft), (&fit.bore, &grade.bore)] {
                let graded = graded.as_ref().and_then(|graded| graded.in_unit(unit));
                let (Some(own), Some(graded)) = (own.in_unit(unit), graded) else { continue };
                let new = [(&own.new_min, &graded.new_min), (&own.new_max, &graded.new_max)];
                self.named(&grade.name, new);
            }
        }
    }

    /// A grade's figures are what its name says: the new limits, shifted.
    fn named<const N: usize>(&mut self, name: &Text, new: [(&Option<Stated>, &Option<Stated>); N]) {
        let Some(shift) = named::shift(name.as_str()) else { return };
        for (own, graded) in new {
            let (Some(own), Some(graded)) = (own, graded) else { continue };
            let shifted = own.value + shift;
            if graded.value != shifted {
                let message = format!(
                    "grade {name} has {}, which is not what its name says of {}",
                    self.show(graded.value, false),
                    self.show(own.value, false)
                );
                self.fault(graded.at, message, self.show(shifted, false));
            }
        }
    }

    /// The shaft must be a shaft, the bore a bore, at like places.
    fn sides(&mut self, fit: &FitLine) {
        let engine = self.engine;
        let at = self.line.at.clone();
        let named = [(&fit.shaft, Side::Shaft), (&fit.bore, Side::Bore)];
        for (part, side) in named {
            let Some(feature) = engine.features.get(part.feature.0) else { continue };
            if feature.side != side {
                let id = &feature.id;
                self.fault(&at, format!("its {side} names `{id}`, which is not a {side}"), "");
            }
        }
        let places = |part: &SizeLimits| {
            let set = engine.features.get(part.feature.0)?.at?;
            engine.places.get(set).map(|set| set.places.len())
        };
        if let (Some(shaft), Some(bore)) = (places(&fit.shaft), places(&fit.bore))
            && shaft != bore
        {
            let message = format!("its shaft lies at {shaft} places, its bore at {bore}");
            self.fault(&at, message, "two features at the same places");
        }
    }

    /// One part: smaller first, the wear limit on the side that wears.
    fn part(&mut self, part: &SizeLimits, side: Side) {
        let Some(part) = &part.in_unit(&self.line.unit) else { return };
        let (shaft, word) = (side == Side::Shaft, side.word());
        self.order(&part.new_min, &part.new_max, &format!("{word} new"), false);
        for size in [part.new_min, part.new_max, part.wear].into_iter().flatten() {
            if size.value <= Exact::ZERO {
                let message = format!("{word} of size {}", self.show(size.value, false));
                self.fault(size.at, message, "a size above zero");
            }
        }
        self.size_of_part(part, side);
        let edge = if shaft { &part.new_min } else { &part.new_max };
        let (Some(wear), Some(edge)) = (&part.wear, edge) else { return };
        let (is, end) = if shaft { ("larger", "minimum") } else { ("smaller", "maximum") };
        let inside = if shaft { wear.value > edge.value } else { wear.value < edge.value };
        let (wears, new) = (self.show(wear.value, false), self.show(edge.value, false));
        if inside {
            let message = format!("{word} wear limit {wears} is {is} than its new {end} {new}");
            let (more, less) = if shaft { ("less", "more") } else { ("more", "less") };
            let help =
                format!("a wear limit of {new} or {more}, or a new {end} of {wears} or {less}");
            self.fault(wear.at, message, help);
        } else if wear.value == edge.value {
            let message = format!("{word} wear limit {wears} equals its new {end}");
            self.note(wear.at, message, "no wear is allowed: look it up again");
        }
    }

    /// Smaller first.
    fn order(&mut self, low: &Option<Stated>, high: &Option<Stated>, word: &str, fit: bool) {
        let (Some(low), Some(high)) = (low, high) else { return };
        if low.value > high.value {
            let (from, to) = (self.show(low.value, fit), self.show(high.value, fit));
            let message = format!("{word} {from} to {to} runs from large to small");
            self.fault(low.at, message, format!("{to} to {from}, or a digit is wrong"));
        }
    }

    /// Four limits: smaller first, service not tighter than new.
    fn bounds(&mut self, limits: &Bounds, fit: bool) {
        let word = if fit { "fit " } else { "" };
        if !fit {
            // A fit's order is read together with what its parts allow.
            self.order(&limits.new_min, &limits.new_max, "new", false);
        }
        self.order(&limits.service_min, &limits.service_max, &format!("{word}service"), fit);
        self.looser(&limits.service_max, &limits.new_max, word, fit, true);
        self.looser(&limits.service_min, &limits.new_min, word, fit, false);
        if let (Some(low), Some(high)) = (&limits.new_min, &limits.new_max)
            && low.value > Exact::ZERO
            && high.value > low.value.times(RANGE)
        {
            let (least, most) = (self.show(low.value, fit), self.show(high.value, fit));
            let message = format!("{word}new {least} to {most} is a range of over {RANGE} to 1");
            self.note(low.at, message, "look it up again: a digit may be lost");
        }
    }

    fn looser(
        &mut self,
        service: &Option<Stated>,
        new: &Option<Stated>,
        word: &str,
        fit: bool,
        over: bool,
    ) {
        let (Some(service), Some(new)) = (service, new) else { return };
        let end = if over { "maximum" } else { "minimum" };
        let (serves, is_new) = (self.show(service.value, fit), self.show(new.value, fit));
        let tighter = match over {
            true => service.value < new.value,
            false => service.value > new.value,
        };
        if tighter {
            let message = format!("{word}service {serves} is tighter than its new {end} {is_new}");
            let side = if over { "more" } else { "less" };
            let help = format!("{is_new} or {side}; are the columns exchanged?");
            self.fault(service.at, message, help);
        } else if service.value == new.value {
            let message = format!("{word}service {serves} equals its new {end}");
            self.note(service.at, message, "no wear is allowed: look it up again");
        }
    }

    /// The published fit against the one that the parts give.
    fn published(&mut self, fit: &FitLine, grade: Option<&Grade>) {
        let Some(limits) = FitLimits::of(fit, &self.line.unit, Scope::New, grade) else { return };
        let found = published(&limits);
        let word = match found {
            Published::Agrees | Published::Unknown => return,
            Published::Reversed => "reversed",
            Published::Narrower => "narrower",
            Published::Wider => "wider",
            Published::Offset => "offset",
        };
        let span = |low: Option<Exact>, high: Option<Exact>| {
            let part = |end: Option<Exact>| end.map_or("-".to_owned(), |end| self.show(end, true));
            format!("{} to {}", part(low), part(high))
        };
        let printed = span(limits.new_least, limits.new_greatest);
        let derived = span(derived::derived_least(&limits), derived::derived_greatest(&limits));
        let of = grade.map(|grade| format!(" of grade {}", grade.name)).unwrap_or_default();
        let limit = fit.fit.new_min.as_ref().or(fit.fit.new_max.as_ref());
        let at = limit.map_or(&self.line.at, |limit| &limit.at).clone();
        // A grade is read at its own place.
        let at = grade.map_or(at, |grade| grade.name.at.clone());
        let likely = derived::likely(&limits, |size, fit| self.show(size, fit));
        if found == Published::Narrower {
            let message = format!("fit {printed}{of} is narrower than its parts allow, {derived}");
            let mut help = "selective assembly: both parts may pass and the fit be out".to_owned();
            if !likely.is_empty() {
                help.push_str(&format!("; or {}?", likely.join(", or ")));
            }
            self.note(&at, message, help);
            return;
        }
        let message = match word {
            "reversed" => format!("fit {printed}{of} runs from large to small; parts: {derived}"),
            "wider" => format!("fit {printed}{of} is wider than its parts allow, {derived}"),
            _ => format!("fit {printed}{of} is offset from what its parts allow, {derived}"),
        };
        let mut help = likely.join(", or ");
        if !help.is_empty() {
            help.push_str("? ");
        }
        help.push_str("mend the misprint, or add `agreed = \"who confirmed it\"`");
        self.fault(&at, message, help);
    }

    /// Roundness and the tolerance of the same feature.
    fn roundness(&mut self, roundness: &RoundnessLine, limits: &Bounds) {
        self.bounds(limits, false);
        self.borrows(roundness.feature);
        let at = self.line.at.clone();
        let feature = self.engine.features.get(roundness.feature.0);
        if let Some(feature) = feature.filter(|feature| feature.directions.len() < 2) {
            let message = format!("roundness of `{}`, read in one direction only", feature.id);
            self.fault(&at, message, "two directions or more");
        }
        let Some(limit) = &limits.new_max else { return };
        let Some(tolerance) = self.tolerance(roundness.feature) else { return };
        // What does not govern is held to no new limit, and may be further out.
        let all_held = |f: &Feature| (0..f.boxes()).all(|n| f.governs(n));
        if limit.value > tolerance && feature.is_some_and(all_held) {
            let (limit_is, tolerance) =
                (self.show(limit.value, false), self.show(tolerance, false));
            let message = format!("roundness {limit_is} is larger than the tolerance {tolerance}");
            self.note(
                limit.at,
                message,
                "no part inside its new limits can be so far out of round",
            );
        }
    }

    /// New maximum less new minimum of a feature, from the line that has them.
    fn tolerance(&self, feature: FeatureId) -> Option<Exact> {
        let unit: &Unit = &self.line.unit;
        let like = |line: &&Line| line.unit == *unit && line.meets(self.line);
        self.limits.lines.iter().filter(like).find_map(|line| {
            let part = |fit: &'a FitLine| {
                let mut parts = [&fit.shaft, &fit.bore].into_iter();
                let part = parts.find(|part| part.feature == feature)?;
                Some((&part.new_min, &part.new_max))
            };
            let size = || {
                let limits = &line.size().filter(|size| size.feature == feature)?.limits;
                Some((&limits.new_min, &limits.new_max))
            };
            let (low, high) = line.fit().and_then(part).or_else(size)?;
            Some(high.as_ref()?.in_unit(unit)?.value - low.as_ref()?.in_unit(unit)?.value)
        })
    }

    fn taper(&mut self, taper: &TaperLine, limits: &Bounds) {
        self.bounds(limits, false);
        self.borrows(taper.feature);
        if taper.from == taper.to {
            let at = self.line.at.clone();
            self.fault(&at, "taper of a plane against itself".to_owned(), "two planes");
        }
        // Unsigned, a barrel that is choked the wrong way would pass its least.
        let least = [&limits.new_min, &limits.service_min].into_iter().flatten();
        for limit in least.filter(|limit| !taper.signed && !limit.value.is_zero()) {
            let message = format!(
                "a least taper of {} without its sign, which a taper the other way would pass",
                self.show(limit.value, false)
            );
            let help = "signed = true, as for a choke: the first plane less the second";
            self.fault(limit.at, message, help);
        }
    }

    fn feeler(&mut self, feeler: &FeelerLine, limits: &Bounds) {
        self.bounds(limits, false);
        let at = self.line.at.clone();
        let document = self.limits.document.unit;
        if self.line.unit.length() != Some(document) {
            let message = format!("a feeler check in {}", self.line.unit);
            self.refuse(&at, message, format!("{document}, the unit of the shop's leaves"));
        }
        let negative = limits.all().find(|limit| limit.value.is_negative());
        if let Some(limit) = negative {
            let message = format!("a gap of {}", self.show(limit.value, false));
            self.fault(limit.at, message, "a gap above zero");
        }
        if feeler.teeth == 0 {
            self.fault(&at, format!("no {} to try", feeler.each), "1 or more");
        }
    }
}
