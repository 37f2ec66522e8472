//! Limits of one figure, in the units that the document prints them in.

use super::id::FeatureId;
use super::text::{Limit, Stated};
use crate::quantity::Unit;

/// Up to four limits; an absent one is not judged and is never zero.
#[derive(Clone, Debug)]
pub struct Tolerance<L = Limit> {
    pub new_min: Option<L>,
    pub new_max: Option<L>,
    pub service_min: Option<L>,
    pub service_max: Option<L>,
    /// How far a size may wear from its new limit, where the document gives
    /// that; the service limit of its side is worked out from it.
    pub wear_amount: Option<L>,
    /// The document says `replace`: nothing but a new part serves.
    pub replace: bool,
    /// The same in another unit, where the document prints both.
    pub twin: Option<Box<Twin>>,
}

/// Limits as they are printed in another unit.
#[derive(Clone, Debug)]
pub struct Twin {
    /// The other of inches and millimetres unless told; `None` where neither.
    pub unit: Option<Unit>,
    pub limits: Tolerance,
}

impl<L> Default for Tolerance<L> {
    fn default() -> Tolerance<L> {
        let [new_min, new_max, service_min, service_max, wear_amount] = [const { None }; 5];
        let (replace, twin) = (false, None);
        Tolerance { new_min, new_max, service_min, service_max, wear_amount, replace, twin }
    }
}

impl Tolerance {
    /// The limits in one unit. `None` where one of them cannot be stated in it:
    /// left out, it would pass anything.
    pub fn in_unit(&self, unit: &Unit) -> Option<Tolerance<Stated<'_>>> {
        let Tolerance { new_min, new_max, service_min, service_max, wear_amount, replace, .. } =
            self;
        let limits = [new_min, new_max, service_min, service_max, wear_amount];
        let [new_min, new_max, service_min, service_max, wear_amount] = stated(limits, unit)?;
        let (replace, twin) = (*replace, None);
        Some(Tolerance { new_min, new_max, service_min, service_max, wear_amount, replace, twin })
    }
}

/// Limits in `unit`, absent ones as absent; `None` where one cannot be stated.
fn stated<'a, const N: usize>(
    limits: [&'a Option<Limit>; N],
    unit: &Unit,
) -> Option<[Option<Stated<'a>>; N]> {
    let stated = limits.map(|limit| limit.as_ref().and_then(|limit| limit.in_unit(unit)));
    limits.iter().zip(&stated).all(|(own, it)| own.is_some() == it.is_some()).then_some(stated)
}

impl<L> Tolerance<L> {
    /// Every limit that is there: new least and greatest, service likewise.
    pub fn all(&self) -> impl Iterator<Item = &L> {
        [&self.new_min, &self.new_max, &self.service_min, &self.service_max].into_iter().flatten()
    }

    /// Nothing to hold against on either side.
    pub fn is_open(&self) -> bool {
        self.all().next().is_none()
    }

    /// Whether the document gives a limit, or says `replace`.
    pub fn is_given(&self) -> bool {
        !self.is_open() || self.replace
    }
}

/// The limits of one part of a fit.
#[derive(Clone, Debug)]
pub struct SizeLimits<L = Limit> {
    pub feature: FeatureId,
    pub new_min: Option<L>,
    pub new_max: Option<L>,
    /// Least for a shaft, greatest for a bore.
    pub wear: Option<L>,
    /// How far it may wear from its new limit, where the document gives that;
    /// `wear` is worked out from it.
    pub wear_amount: Option<L>,
    /// The document says `replace`: nothing but a new part serves.
    pub replace: bool,
    /// The same in the other unit, where the document prints both.
    pub twin: Option<Box<SizeLimits>>,
}

impl<L> SizeLimits<L> {
    /// See [`Tolerance::is_given`].
    pub fn is_given(&self) -> bool {
        [&self.new_min, &self.new_max, &self.wear].iter().any(|end| end.is_some()) || self.replace
    }
}

impl SizeLimits {
    /// See [`Tolerance::in_unit`].
    pub fn in_unit(&self, unit: &Unit) -> Option<SizeLimits<Stated<'_>>> {
        let limits = [&self.new_min, &self.new_max, &self.wear, &self.wear_amount];
        let [new_min, new_max, wear, wear_amount] = stated(limits, unit)?;
        let (feature, replace, twin) = (self.feature, self.replace, None);
        Some(SizeLimits { feature, new_min, new_max, wear, wear_amount, replace, twin })
    }
}
