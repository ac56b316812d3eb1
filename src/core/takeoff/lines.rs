//! Lines of the take-off: from an amount to packs, bounds, weight and cost.

use super::answer::Line;
use super::item::{Detail, Item, OverArea, Pack, Quantity, Unit};
use super::prices::{LinePrice, Prices, to_hundredth};
use super::runs;
use crate::base::estimate::{Assumption, Estimate, NINETY_FIVE, Reason};
use crate::base::tolerance;

/// Rests of stock lengths shorter than this are scrap (common practice, no source).
const SHORTEST_REST: f64 = 0.300;

/// How much of something.
#[derive(Clone, Copy, Debug)]
pub struct Amount {
    /// In `unit`.
    pub quantity: Quantity,
    /// Of the quantity.
    pub unit: Unit,
    /// Packs, unrounded; not a number where packs do not apply.
    pub need: f64,
    /// 95 % bounds of the packs; `None`: in proportion to the area.
    pub range: Option<[u32; 2]>,
    /// What is left of the pieces bought once all is laid, in `unit`, where it is known.
    pub left: Option<f64>,
}

impl Amount {
    /// Laid, without packs of its own.
    #[must_use]
    pub fn laid(quantity: Quantity, unit: Unit) -> Self {
        Self { quantity, unit, need: f64::NAN, range: None, left: None }
    }

    /// So much of something that comes in packs, unrounded.
    #[must_use]
    pub fn packed(quantity: Quantity, unit: Unit, packs: f64) -> Self {
        Self { quantity, unit, need: packs, range: None, left: None }
    }
}

/// A line under construction: what only its counter knows is filled in.
#[derive(Clone, Debug)]
pub struct Draft {
    /// Packs to order, the best estimate.
    pub packs: Option<u32>,
    /// What a pack is.
    pub pack: Option<Pack>,
    /// 95 % bounds of `packs`.
    pub packs_range: Option<[u32; 2]>,
    /// Packs by the rule of thumb.
    pub rule_of_thumb: Option<f64>,
    /// Of `packs`, kilograms; `None` where the card says nothing of it.
    pub weight: Option<f64>,
    /// What a price is for, where that is neither the packs nor the quantity.
    pub priced: Option<(f64, Unit)>,
    /// Left over of what is ordered.
    pub left_over: Option<f64>,
    /// How the quantity comes about.
    pub detail: Option<Detail>,
    /// Of strips: what is bought beyond the net area.
    pub over_area: Option<OverArea>,
}

impl Draft {
    /// So much for the packs, as open as their number: a value for the best estimate of them.
    fn with_packs(&self, value: Option<f64>) -> Estimate {
        let Some(value) = value else { return Estimate::not_determined(Reason::Absent) };
        match (self.packs, self.packs_range) {
            (Some(packs), Some([low, high])) if packs > 0 => {
                let half = f64::from(high - low) / 2.0;
                Estimate::measured(value, value * half / f64::from(packs) / NINETY_FIVE)
            }
            (Some(_), None) => Estimate::taken(value, Assumption::SpreadNotComputed),
            _ => Estimate::exact(value),
        }
    }
}

/// Lines under construction.
#[derive(Debug)]
pub struct Lines<'a> {
    prices: &'a Prices,
    /// Half width of the 95 % range of the area, as a fraction of it.
    relative: Option<f64>,
    added: Vec<Line>,
}

impl<'a> Lines<'a> {
    /// No lines yet.
    #[must_use]
    pub fn new(prices: &'a Prices, relative: Option<f64>) -> Self {
        Self { prices, relative, added: Vec::new() }
    }

    /// An area of the roof, as unsure as the roof's own.
    #[must_use]
    pub fn area(&self, square_metres: f64) -> Quantity {
        self.measure(square_metres, 1.0)
    }

    /// A length on the roof: half as open as an area.
    #[must_use]
    pub fn length(&self, metres: f64) -> Quantity {
        self.measure(metres, 0.5)
    }

    fn measure(&self, value: f64, share: f64) -> Quantity {
        Quantity::Measure(match self.relative {
            Some(relative) => Estimate::measured(value, value * share * relative / NINETY_FIVE),
            None => Estimate::taken(value, Assumption::SpreadNotComputed),
        })
    }

    /// Metres out of stock pieces of one length, ends lapped. Bounds by counting again with every run longer or shorter: a
    /// length is half as open as an area.
    #[must_use]
    pub fn stock(&self, lengths: &[f64], piece: f64, lap: f64) -> Amount {
        let count = |factor: f64| {
            let scaled: Vec<f64> = lengths.iter().map(|length| length * factor).collect();
            runs::pieces(&scaled, piece, lap, SHORTEST_REST)
        };
        let range = self.relative.map(|relative| {
            let bounds = [-0.5, 0.5].map(|half| count(1.0 + half * relative));
            [bounds[0].min(bounds[1]).min(count(1.0)), bounds[0].max(bounds[1]).max(count(1.0))]
        });
        let need = f64::from(count(1.0));
        let left = (need * piece - runs::used(lengths, piece, lap)).max(0.0);
        Amount { quantity: self.length(lengths.iter().sum()), unit: Unit::Metre, need, range, left: Some(left) }
    }

    /// Pieces already counted one by one (boards, rolls, sheets): bounds in proportion to the area, to the nearest piece, for
    /// the count is whole and a hair of area does not add one.
    #[must_use]
    pub fn counted(&self, quantity: Quantity, unit: Unit, pieces: u32) -> Amount {
        let range = self
            .relative
            .map(|relative| [1.0 - relative, 1.0 + relative].map(|factor| up((f64::from(pieces) * factor).round())));
        Amount { quantity, unit, need: f64::from(pieces), range, left: None }
    }

    /// Adds a line; `more` fills in what only the caller knows. Nothing is added for nothing.
    pub fn add(&mut self, item: Item, amount: Amount, more: impl FnOnce(&mut Draft)) {
        if amount.quantity.value().is_some_and(|quantity| quantity <= 0.0) {
            return;
        }
        let has_packs = amount.need.is_finite();
        let in_proportion = |relative: f64| {
            let [low, high] = [1.0 - relative, 1.0 + relative].map(|factor| up(amount.need * factor));
            [low.min(up(amount.need)), high]
        };
        let range = amount.range.or(self.relative.map(in_proportion)).filter(|_| has_packs);
        let mut draft = Draft {
            packs: has_packs.then(|| up(amount.need)),
            pack: None,
            packs_range: range,
            rule_of_thumb: None,
            weight: None,
            priced: None,
            left_over: amount.left,
            detail: None,
            over_area: None,
        };
        more(&mut draft);
        let mut line = Line {
            weight: draft.with_packs(draft.weight),
            cost: None,
            item,
            quantity: amount.quantity,
            unit: amount.unit,
            packs: draft.packs,
            pack: draft.pack,
            packs_range: draft.packs_range,
            rule_of_thumb: draft.rule_of_thumb,
            priced: draft.priced,
            left_over: draft.left_over,
            detail: draft.detail,
            over_area: draft.over_area,
        };
        if let LinePrice::Priced { quantity, each, .. } = self.prices.of_line(&line) {
            line.cost = Some(to_hundredth(quantity * each));
        }
        self.added.push(line);
    }

    /// The lines in the order of work.
    #[must_use]
    pub fn finish(mut self) -> Vec<Line> {
        self.added.sort_by_key(Line::stage);
        self.added
    }
}

/// Up to the next whole pack; a whole number of packs stays.
fn up(need: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let packs = (need - tolerance::RELATIVE).ceil().max(0.0) as u32;
    packs
}

/// Lengths and how many of each, to the millimetre, longest first.
#[must_use]
pub fn by_length(lengths: &[f64]) -> Vec<(f64, u32)> {
    let mut sorted: Vec<f64> = lengths.iter().map(|length| (length * 1000.0).round() / 1000.0).collect();
    sorted.sort_by(|a, b| b.total_cmp(a));
    let mut groups: Vec<(f64, u32)> = Vec::new();
    for length in sorted {
        match groups.last_mut() {
            Some((last, count)) if *last == length => *count += 1,
            _ => groups.push((length, 1)),
        }
    }
    groups
}
