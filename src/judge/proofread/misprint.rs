//! Misprints that a table shows by itself: wear that no part of that size can
//! reach, a new range wider than parts are made to, a size without its point.

use super::lines::Reader;
use crate::judge::acceptance::Bounds;
use crate::model::limits::SizeLimits;
use crate::model::side::Side;
use crate::model::text::Stated;
use crate::quantity::{Exact, Length};

/// Parts are made to a hundredth of their size at the widest: of the published
/// tables' rows that agree none goes beyond half of that (`tests/tables`).
const WIDEST: i64 = 100;
/// Wear may go as far as this many times the width of the new limits.
const WIDTHS: i64 = 10;

impl Reader<'_> {
    /// The limits of one part of a fit.
    pub(super) fn size_of_part(&mut self, part: &SizeLimits<Stated>, side: Side) {
        let word = side.word();
        let all = [&part.new_min, &part.new_max, &part.wear];
        all.into_iter().flatten().for_each(|limit| self.point(limit, word));
        self.wide(&part.new_min, &part.new_max, word);
        let (edge, other, end) = side.of([
            (&part.new_min, &part.new_max, "minimum"),
            (&part.new_max, &part.new_min, "maximum"),
        ]);
        self.far(&part.wear, (edge, other), &format!("{word} wear limit"), end);
    }

    /// The limits of a size line or of a grade of it.
    pub(super) fn size_of_bounds(&mut self, limits: &Bounds, side: Option<Side>) {
        limits.all().for_each(|limit| self.point(limit, "size"));
        if side != Some(Side::Only) {
            self.wide(&limits.new_min, &limits.new_max, "size");
        }
        let (low, high) = (&limits.new_min, &limits.new_max);
        self.far(&limits.service_min, (low, high), "service", "minimum");
        self.far(&limits.service_max, (high, low), "service", "maximum");
    }

    /// What a part of any size may wear or be off.
    fn least(&self) -> Option<Exact> {
        Some(match self.line.unit.length()? {
            Length::Inch => Exact::steps(10, 3),
            Length::Millimetre => Exact::steps(25, 2),
        })
    }

    /// The wear limit and the new limit on the side that wears.
    fn far(
        &mut self,
        wear: &Option<Stated>,
        (edge, other): (&Option<Stated>, &Option<Stated>),
        word: &str,
        end: &str,
    ) {
        let Some(most) = self.furthest(edge, other) else { return };
        let (Some(wear), Some(edge)) = (wear, edge) else { return };
        let off = (wear.value - edge.value).abs();
        if off <= most {
            return;
        }
        let (is, new) = (self.show(wear.value, false), self.show(edge.value, false));
        let (off, most) = (self.show(off, false), self.show(most, false));
        let message = format!(
            "{word} {is} is {off} from its new {end} {new}: a part of that size wears {most} at most"
        );
        let help = match wear.value.times(2) < edge.value {
            true => format!("an amount of wear has a key of its own: wear-amount = {}", wear.text),
            false => "look it up again: a digit is wrong".to_owned(),
        };
        self.fault(wear.at, message, format!("{help}, or add `agreed = \"who confirmed it\"`"));
    }

    /// The same of clearances and direct readings in a length, which vary more:
    /// a note.
    pub(super) fn far_service(&mut self, limits: &Bounds, fit: bool) {
        let ends = [
            (&limits.service_min, (&limits.new_min, &limits.new_max)),
            (&limits.service_max, (&limits.new_max, &limits.new_min)),
        ];
        for (service, (edge, other)) in ends {
            let Some(most) = self.furthest(edge, other) else { continue };
            let (Some(service), Some(edge)) = (service, edge) else { continue };
            let off = (service.value - edge.value).abs();
            if off > most {
                let (is, new) = (self.show(service.value, fit), self.show(edge.value, fit));
                let off = self.show(off, false);
                let message = format!("service {is} is {off} from new {new}");
                self.note(service.at, message, "look it up again: the point may have slipped");
            }
        }
    }

    /// A document gives a direct reading as its gauge reads it. Where all of its
    /// limits are coarser than the line is read to, the line perhaps lacks its
    /// own resolution: every reading would be asked for a digit that the gauge
    /// does not show.
    pub(super) fn coarse(&mut self, limits: &Bounds) {
        let (typed, places) = (&self.line.typed, self.line.places);
        if typed.is_empty() || typed.iter().any(|key| key.what == "resolution") {
            return;
        }
        let ends =
            [limits.new_min, limits.new_max, limits.service_min, limits.service_max].into_iter();
        let ends: Vec<Stated> = ends.flatten().filter(|limit| !limit.value.is_zero()).collect();
        let most = ends.iter().map(|limit| limit.value.places()).max();
        let (Some(first), Some(most)) = (ends.first(), most.filter(|most| *most < places)) else {
            return;
        };
        let message = format!("its limits have {most} decimals and it is read to {places}");
        let step = Exact::steps(1, most);
        let help = format!("resolution = \"{step}\" in the line where its gauge reads no finer");
        self.note(first.at, message, help);
    }

    fn furthest(&self, edge: &Option<Stated>, other: &Option<Stated>) -> Option<Exact> {
        let least = self.least()?;
        let width = edge.zip(*other).map(|(a, b)| (a.value - b.value).abs());
        Some(width.map_or(least, |width| width.times(WIDTHS).max(least)))
    }

    fn wide(&mut self, low: &Option<Stated>, high: &Option<Stated>, word: &str) {
        let (Some(low), Some(high), Some(least)) = (low, high, self.least()) else { return };
        let width = high.value - low.value;
        if width <= least || width.times(WIDEST) <= high.value {
            return;
        }
        let (from, to) = (self.show(low.value, false), self.show(high.value, false));
        let message = format!("{word} new {from} to {to} is {} wide", self.show(width, false));
        let help =
            "no part is made so loosely: a digit is wrong, or add `agreed = \"who confirmed it\"`";
        self.fault(low.at, message, help);
    }

    /// `12885` where sizes have a point.
    fn point(&mut self, limit: &Stated, word: &str) {
        let places = usize::from(self.line.places);
        let digits = limit.text.bytes().all(|b| b.is_ascii_digit());
        if places < 2 || !digits || limit.value.is_zero() || self.line.unit.length().is_none() {
            return;
        }
        let message =
            format!("{word} {} has no point, the line is read to {places} decimals", limit.text);
        let help = match limit.text.len().checked_sub(places) {
            Some(whole) if whole > 0 => {
                format!("{}.{}", &limit.text[..whole], &limit.text[whole..])
            }
            _ => format!("{}.{:0<places$}, every digit of it", limit.text, ""),
        };
        self.fault(limit.at, message, help);
    }
}
