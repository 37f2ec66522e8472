//! The go and no-go leaves that a feeler line needs, chosen from those that
//! the shop really has by their measured thickness, engraved where none is given.

use super::held::Bound;
use super::types::Setting;
use crate::model::job::{Leaf, Rule, Scope};
use crate::model::line::FeelerLine;
use crate::quantity::Exact;
use std::fmt;

/// A leaf as it is named and as it counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Blade {
    pub engraved: Exact,
    /// As measured, else as engraved.
    pub thickness: Exact,
}

/// The two leaves of one pair of limits. An absent leaf: that side has no
/// limit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Leaves {
    /// Must enter easily.
    pub go: Option<Blade>,
    /// Must be refused.
    pub no_go: Option<Blade>,
}

/// What is fetched and what it proves.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct GoNoGo {
    /// The limits of the scope.
    pub low: Option<Exact>,
    pub high: Option<Exact>,
    /// The leaves for them; what is proven is this bracket, not the limits.
    pub leaves: Leaves,
    /// The leaves that show new limits, where the shop has them.
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
    pub own: Option<Blade>,
}

impl Blade {
    pub fn of(leaf: &Leaf) -> Blade {
        Blade { engraved: leaf.engraved.value, thickness: leaf.thickness() }
    }

    /// The shop's leaf that a paper names by its engraving.
    pub fn named(engraved: Exact, setting: &Setting) -> Blade {
        let own = setting.leaves.iter().find(|leaf| leaf.engraved.value == engraved);
        own.map_or(Blade { engraved, thickness: engraved }, Blade::of)
    }

    pub fn is_measured(&self) -> bool {
        self.thickness != self.engraved
    }
}

/// As engraved, the measured thickness beside it: `0.002 (measures 0.00205)`.
impl fmt::Display for Blade {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}", self.engraved)?;
        match self.is_measured() {
            true => write!(out, " (measures {})", self.thickness),
            false => Ok(()),
        }
    }
}

/// Chooses the leaves. Simple acceptance (common practice, no source): GO is
/// the next leaf under the least limit, NO-GO the next over the greatest.
/// Guarded: GO the thinnest at or above the least, NO-GO the thickest at or
/// below the greatest.
pub fn leaves(feeler: &FeelerLine, setting: &Setting) -> Result<GoNoGo, LeafNeeded> {
    let (least, greatest) = (Bound::least(&feeler.limits), Bound::greatest(&feeler.limits));
    let low = least.accepting(setting.scope);
    let high = greatest.accepting(setting.scope);
    let leaves = pair(low, high, setting)?;
    let new = match setting.scope {
        Scope::New => None,
        Scope::Service => {
            pair(least.accepting(Scope::New), greatest.accepting(Scope::New), setting)
                .ok()
                .filter(|_| least.new.is_some() || greatest.new.is_some())
        }
    };
    Ok(GoNoGo { low, high, leaves, new: new.filter(|new| *new != leaves) })
}

fn pair(low: Option<Exact>, high: Option<Exact>, setting: &Setting) -> Result<Leaves, LeafNeeded> {
    let go = low.map(|low| go(low, high, setting)).transpose()?;
    let no_go = high.map(|high| no_go(high, go, setting)).transpose()?;
    Ok(Leaves { go, no_go })
}

fn go(low: Exact, high: Option<Exact>, setting: &Setting) -> Result<Blade, LeafNeeded> {
    let leaves = setting.leaves.iter().map(Blade::of);
    let step = Leaf::step(setting.limits.document.unit);
    let found =
        match setting.rule {
            Rule::Simple => thickest(leaves.filter(|leaf| leaf.thickness < low)),
            Rule::Guarded => thinnest(leaves.filter(|leaf| {
                leaf.thickness >= low && high.is_none_or(|high| leaf.thickness < high)
            })),
        };
    let buy = match setting.rule {
        Rule::Simple => next_under(low, step),
        Rule::Guarded => Some(low),
    };
    let own = own(buy, setting);
    found.ok_or(LeafNeeded { go: true, limit: low, rule: setting.rule, buy, own })
}

fn no_go(high: Exact, go: Option<Blade>, setting: &Setting) -> Result<Blade, LeafNeeded> {
    let leaves = setting.leaves.iter().map(Blade::of);
    let step = Leaf::step(setting.limits.document.unit);
    let found = match setting.rule {
        Rule::Simple => thinnest(leaves.filter(|leaf| leaf.thickness > high)),
        // The same leaf cannot both enter and be refused.
        Rule::Guarded => thickest(leaves.filter(|leaf| {
            leaf.thickness <= high && go.is_none_or(|go| leaf.thickness > go.thickness)
        })),
    };
    let buy = match setting.rule {
        Rule::Simple => Some(next_over(high, step)),
        Rule::Guarded => Some(high),
    };
    let own = own(buy, setting);
    found.ok_or(LeafNeeded { go: false, limit: high, rule: setting.rule, buy, own })
}

fn thickest(leaves: impl Iterator<Item = Blade>) -> Option<Blade> {
    leaves.max_by_key(|leaf| leaf.thickness)
}

fn thinnest(leaves: impl Iterator<Item = Blade>) -> Option<Blade> {
    leaves.min_by_key(|leaf| leaf.thickness)
}

fn own(buy: Option<Exact>, setting: &Setting) -> Option<Blade> {
    buy.map(|buy| Blade::named(buy, setting)).filter(Blade::is_measured)
}

/// The thickest leaf as sold that is thinner than `limit`.
fn next_under(limit: Exact, step: Exact) -> Option<Exact> {
    let mut leaf = Exact::ZERO;
    while leaf + step < limit {
        leaf = leaf + step;
    }
    (!leaf.is_zero()).then_some(leaf)
}

/// The thinnest leaf as sold that is thicker than `limit`.
fn next_over(limit: Exact, step: Exact) -> Exact {
    let mut leaf = step;
    while leaf <= limit {
        leaf = leaf + step;
    }
    leaf
}

impl fmt::Display for LeafNeeded {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let limit = self.limit;
        let needed = match (self.go, self.rule) {
            (true, Rule::Simple) => format!("GO needs a leaf under {limit}"),
            (false, Rule::Simple) => format!("NO-GO needs a leaf over {limit}"),
            (true, Rule::Guarded) => format!("GO needs a leaf at or just above {limit}"),
            (false, Rule::Guarded) => format!("NO-GO needs a leaf at or just below {limit}"),
        };
        match self.buy {
            Some(buy) => write!(out, "{needed} and the shop has none: buy a leaf of {buy}")?,
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
