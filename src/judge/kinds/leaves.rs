//! The go and no-go leaves that a feeler line needs, chosen from those that
//! the shop really has by their measured thickness, engraved where none is given.

use crate::judge::acceptance::Bound;
use crate::judge::types::Context;
use crate::model::job::{Leaf, Rule, Scope};
use crate::model::limits::FeelerLine;
use crate::quantity::{Exact, Length, Unit};
use std::fmt;

/// A leaf as it is named and as it counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Feeler {
    pub engraved: Exact,
    /// As measured, else as engraved.
    pub thickness: Exact,
}

/// The two leaves of one pair of limits. An absent leaf: that side has no
/// limit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Leaves {
    /// Must enter easily.
    pub go: Option<Feeler>,
    /// Must be refused.
    pub no_go: Option<Feeler>,
}

/// What is fetched and what it proves.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct GoNoGo {
    /// The limits of the scope.
    pub low: Option<Exact>,
    pub high: Option<Exact>,
    /// The leaves for them; what is proven is this bracket, not the limits.
    pub leaves: Leaves,
    /// The leaves that show new limits, where the shop has them; they may be
    /// the same two.
    pub new: Option<Leaves>,
}

/// A leaf that the decision rule needs and the shop lacks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LeafNeeded {
    /// For GO, else for NO-GO.
    pub go: bool,
    /// The limit that it belongs to.
    pub limit: Exact,
    pub rule: Rule,
    /// The thickness to buy; absent where no leaf can be thin enough.
    pub buy: Option<Exact>,
    /// The shop's leaf so engraved, whose measured thickness does not serve.
    pub own: Option<Feeler>,
    /// The shop's leaf on the right side of the limit, too far from it.
    pub far: Option<Feeler>,
}

impl GoNoGo {
    /// The leaves that show new limits, where they are not those of the scope.
    pub fn others_for_new(&self) -> Option<Leaves> {
        self.new.filter(|new| *new != self.leaves)
    }
}

impl Feeler {
    pub fn of(leaf: &Leaf) -> Feeler {
        Feeler { engraved: leaf.engraved.value, thickness: leaf.thickness() }
    }

    /// The shop's leaf that a paper names by its engraving.
    pub fn named(engraved: Exact, cx: &Context) -> Feeler {
        let own = cx.leaves.iter().find(|leaf| leaf.engraved.value == engraved);
        own.map_or(Feeler { engraved, thickness: engraved }, Feeler::of)
    }

    pub fn is_measured(&self) -> bool {
        self.thickness != self.engraved
    }
}

/// As engraved, the measured thickness beside it: `0.002 (measures 0.00205)`.
impl fmt::Display for Feeler {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}", self.engraved)?;
        match self.is_measured() {
            true => write!(out, " (measures {})", self.thickness),
            false => Ok(()),
        }
    }
}

/// Chooses the leaves. Simple acceptance (common practice, no source): GO is
/// the thickest at or under the least limit, NO-GO the thinnest at or over the
/// greatest, neither further from its limit than one step of a common set.
/// Guarded: GO the thinnest at or above the least, NO-GO the thickest at or
/// below the greatest.
pub fn leaves(feeler: &FeelerLine, cx: &Context) -> Result<GoNoGo, LeafNeeded> {
    let unit = Unit::Length(cx.limits.document.unit);
    let limits = feeler.limits.in_unit(&unit).ok_or_else(|| LeafNeeded::of(cx, None))?;
    let (least, greatest) = (Bound::least(&limits), Bound::greatest(&limits));
    let low = least.accepting(cx.scope);
    let high = greatest.accepting(cx.scope);
    let leaves = pair(low, high, cx)?;
    let new = match cx.scope {
        Scope::New => Some(leaves),
        Scope::Service => pair(least.accepting(Scope::New), greatest.accepting(Scope::New), cx)
            .ok()
            .filter(|_| least.new.is_some() || greatest.new.is_some()),
    };
    Ok(GoNoGo { low, high, leaves, new })
}

fn pair(low: Option<Exact>, high: Option<Exact>, cx: &Context) -> Result<Leaves, LeafNeeded> {
    let go = low.map(|low| go(low, high, cx)).transpose()?;
    let no_go = high.map(|high| no_go(high, go, cx)).transpose()?;
    Ok(Leaves { go, no_go })
}

fn go(low: Exact, high: Option<Exact>, cx: &Context) -> Result<Feeler, LeafNeeded> {
    let leaves = cx.leaves.iter().map(Feeler::of);
    let unit = cx.limits.document.unit;
    let (found, buy) = match cx.rule {
        Rule::Simple => {
            (thickest(leaves.filter(|leaf| leaf.thickness <= low)), sold_under(low, unit))
        }
        Rule::Guarded => {
            let inside = |leaf: &Feeler| {
                leaf.thickness >= low && high.is_none_or(|high| leaf.thickness < high)
            };
            (thinnest(leaves.filter(inside)), Some(low))
        }
    };
    proving(found, LeafNeeded { go: true, limit: low, ..LeafNeeded::of(cx, buy) }, unit)
}

fn no_go(high: Exact, go: Option<Feeler>, cx: &Context) -> Result<Feeler, LeafNeeded> {
    // The same leaf cannot both enter and be refused.
    let thicker = |leaf: &Feeler| go.is_none_or(|go| leaf.thickness > go.thickness);
    let leaves = cx.leaves.iter().map(Feeler::of).filter(thicker);
    let unit = cx.limits.document.unit;
    let (found, buy) = match cx.rule {
        Rule::Simple => {
            let over = high.max(go.map_or(high, |go| go.thickness));
            let taken = go.is_some_and(|go| go.thickness == over);
            let buy = sold_over(over, taken, unit);
            (thinnest(leaves.filter(|leaf| leaf.thickness >= high)), buy)
        }
        Rule::Guarded => (thickest(leaves.filter(|leaf| leaf.thickness <= high)), high),
    };
    let needed = LeafNeeded { go: false, limit: high, ..LeafNeeded::of(cx, Some(buy)) };
    proving(found, needed, unit)
}

/// The leaf that was found, where it is near enough to its limit to prove it.
/// By guarded acceptance it lies inside the limits, however far.
fn proving(found: Option<Feeler>, needed: LeafNeeded, unit: Length) -> Result<Feeler, LeafNeeded> {
    let far = |leaf: &Feeler| (leaf.thickness - needed.limit).abs() > Leaf::common_step(unit);
    match found {
        Some(leaf) if needed.rule == Rule::Simple && far(&leaf) => {
            Err(LeafNeeded { far: Some(leaf), ..needed })
        }
        Some(leaf) => Ok(leaf),
        None => Err(needed),
    }
}

fn thickest(leaves: impl Iterator<Item = Feeler>) -> Option<Feeler> {
    leaves.max_by_key(|leaf| leaf.thickness)
}

fn thinnest(leaves: impl Iterator<Item = Feeler>) -> Option<Feeler> {
    leaves.min_by_key(|leaf| leaf.thickness)
}

/// The thickest leaf as sold that is not thicker than `limit`.
fn sold_under(limit: Exact, unit: Length) -> Option<Exact> {
    let step = Leaf::step(unit);
    let mut leaf = Exact::ZERO;
    while leaf + step <= limit {
        leaf = leaf + step;
    }
    (!leaf.is_zero()).then_some(leaf)
}

/// The thinnest leaf as sold that is not thinner than `limit`, or thicker than
/// it where a leaf of that thickness already has to enter.
fn sold_over(limit: Exact, taken: bool, unit: Length) -> Exact {
    let step = Leaf::step(unit);
    let mut leaf = step;
    while leaf < limit || taken && leaf == limit {
        leaf = leaf + step;
    }
    leaf
}

impl LeafNeeded {
    fn of(cx: &Context, buy: Option<Exact>) -> LeafNeeded {
        let own = buy.map(|buy| Feeler::named(buy, cx)).filter(Feeler::is_measured);
        LeafNeeded { go: true, limit: Exact::ZERO, rule: cx.rule, buy, own, far: None }
    }
}

impl fmt::Display for LeafNeeded {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let limit = self.limit;
        let needed = match (self.go, self.rule) {
            (true, Rule::Simple) => format!("GO needs a leaf at or just under {limit}"),
            (false, Rule::Simple) => format!("NO-GO needs a leaf at or just over {limit}"),
            (true, Rule::Guarded) => format!("GO needs a leaf at or just above {limit}"),
            (false, Rule::Guarded) => format!("NO-GO needs a leaf at or just below {limit}"),
        };
        let has = match self.far {
            Some(far) => format!("the shop's nearest, {far}, is too far from it to prove anything"),
            None => "the shop has none".to_owned(),
        };
        match self.buy {
            Some(buy) => write!(out, "{needed} and {has}: buy a leaf of {buy}")?,
            None => write!(out, "{needed} and no leaf is sold so thin: measure another way")?,
        }
        match self.own {
            Some(own) => {
                write!(out, "; the shop's own leaf of {} measures {}", own.engraved, own.thickness)
            }
            None => Ok(()),
        }
    }
}
