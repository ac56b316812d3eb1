//! A line of the order.

use super::item::{Detail, Item, OverArea, Pack, Quantity, Stage, Unit};
use super::thumb::Thumb;
use crate::base::estimate::Estimate;

/// One thing to order.
#[derive(Clone, Debug, PartialEq)]
pub struct OrderLine {
    /// What it is.
    pub item: Item,
    /// How much is laid.
    pub quantity: Quantity,
    /// Of the quantity.
    pub unit: Unit,
    /// Packs, rolls, boxes or lengths to order: the best estimate. `None` for what comes out of another line's packs.
    pub packs: Option<u32>,
    /// What a pack is.
    pub pack: Option<Pack>,
    /// 95 % bounds of `packs` from the survey's uncertainty.
    pub packs_range: Option<[u32; 2]>,
    /// Packs by the rule of thumb, unrounded, its allowance included.
    pub rule_of_thumb: Option<f64>,
    /// What that rule reckons by.
    pub thumb: Option<Thumb>,
    /// Of what is ordered, kilograms; absent where the card says nothing of it. As open as the number of packs.
    pub weight: Estimate,
    /// Of what is ordered, the upper number of packs where two are told, in the user's currency; absent where it has no
    /// price.
    pub cost: Estimate,
    /// What a price is for, and how many of it, where that is neither the packs nor the quantity: sheets cut to length
    /// cost by the square metre.
    pub priced: Option<(f64, Unit)>,
    /// Left over of what is ordered, in `unit`.
    pub left_over: Option<f64>,
    /// How the quantity comes about, where that needs saying.
    pub detail: Option<Detail>,
    /// Of strips: what is bought beyond the net area, and for what.
    pub over_area: Option<OverArea>,
    /// Whether it is in the yard already: laid, but not bought.
    pub is_there: bool,
    /// Whether its pieces are of a length chosen from several on offer.
    pub is_chosen_length: bool,
}

impl OrderLine {
    /// Which part of the work it belongs to.
    #[must_use]
    pub fn stage(&self) -> Stage {
        self.item.stage()
    }

    /// Whether it is cut from what another line buys.
    #[must_use]
    pub fn comes_from_another(&self) -> bool {
        self.pack == Some(Pack::OutOfStrips)
    }

    /// The most packs that the measurements leave open, where that is more than the best estimate.
    #[must_use]
    pub fn packs_high(&self) -> Option<u32> {
        self.packs_range.map(|[_, high]| high).filter(|high| Some(*high) > self.packs)
    }
}
