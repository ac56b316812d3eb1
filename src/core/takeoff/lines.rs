//! Lines of the take-off: from an amount to packs, bounds, weight and cost.

use super::item::{Detail, Item, OverArea, Pack, Quantity, Unit};
use super::model::Covering;
use super::order_line::OrderLine;
use super::runs;
use super::scope::{NotOrdered, Spared, spared};
use super::thumb::Thumb;
use crate::base::estimate::{Assumption, Estimate, NINETY_FIVE, Reason};
use crate::base::tolerance;

/// Rests of stock lengths shorter than this are scrap (common practice, no source).
const SHORTEST_REST: f64 = 0.300;

/// A length is half as open as an area, as a fraction of it.
const LENGTH_SHARE: f64 = 0.5;

/// How much of something.
#[derive(Clone, Copy, Debug)]
pub struct Amount {
    /// In `unit`.
    pub quantity: Quantity,
    /// Of the quantity.
    pub unit: Unit,
    /// Packs, unrounded; not a number where packs do not apply.
    pub need: f64,
    /// What is left of the pieces bought once all is laid, in `unit`, where it is known.
    pub left: Option<f64>,
    /// Whether its pieces are of a length chosen from several on offer.
    pub chosen: bool,
}

impl Amount {
    /// Laid, without packs of its own.
    #[must_use]
    pub fn laid(quantity: Quantity, unit: Unit) -> Self {
        Self { quantity, unit, need: f64::NAN, left: None, chosen: false }
    }

    /// So much of something that comes in packs, unrounded.
    #[must_use]
    pub fn packed(quantity: Quantity, unit: Unit, packs: f64) -> Self {
        Self { quantity, unit, need: packs, left: None, chosen: false }
    }
}

impl Draft {
    /// What a rule of thumb says beside the count.
    pub(super) fn by_thumb(&mut self, thumb: Thumb, area: f64, pack: f64) {
        self.rule_of_thumb = Some(thumb.packs(area, pack));
        self.thumb = Some(thumb);
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
    /// What that rule reckons by.
    pub thumb: Option<Thumb>,
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

/// So much for the packs, as open as their number: a value for the best estimate of them.
pub(super) fn with_packs(value: Option<f64>, packs: Option<u32>, range: Option<[u32; 2]>) -> Estimate {
    let Some(value) = value else { return Estimate::not_determined(Reason::Absent) };
    match (packs, range) {
        (Some(packs), Some([low, high])) if packs > 0 => {
            let half = f64::from(high - low) / 2.0;
            Estimate::measured(value, value * half / f64::from(packs) / NINETY_FIVE)
        }
        (Some(packs), None) if packs > 0 => Estimate::taken(value, Assumption::SpreadNotComputed),
        _ => Estimate::exact(value),
    }
}

/// Lengths that something is sold in, metres.
#[derive(Clone, Copy, Debug)]
pub(super) struct Offered<'a> {
    /// The usual one.
    pub usual: f64,
    /// Others.
    pub others: &'a [f64],
}

/// Lines under construction.
#[derive(Debug)]
pub struct Lines<'a> {
    covering: &'a Covering,
    /// Stock lengths that are settled already, by what is bought in them: bounds of an order are counts of the same goods.
    settled: Vec<(Item, f64)>,
    /// Half width of the 95 % range of the area, as a fraction of it.
    relative: Option<f64>,
    added: Vec<OrderLine>,
    spared: Vec<NotOrdered>,
}

impl<'a> Lines<'a> {
    /// No lines yet.
    #[must_use]
    pub fn new(covering: &'a Covering, relative: Option<f64>) -> Self {
        Self { covering, relative, settled: Vec::new(), added: Vec::new(), spared: Vec::new() }
    }

    /// No lines yet; what these buy in stock lengths is bought in the same lengths.
    #[must_use]
    pub(super) fn as_ordered(covering: &'a Covering, lines: &[OrderLine]) -> Self {
        let length = |line: &OrderLine| Some((line.item.clone(), line.pack.as_ref()?.length()?));
        Self { settled: lines.iter().filter_map(length).collect(), ..Self::new(covering, None) }
    }

    /// Lengths that an item may be bought in: all on offer, or the one that is settled.
    pub(super) fn offered(&self, item: &Item, offered: Offered) -> Vec<f64> {
        match self.settled.iter().find(|(known, _)| known == item) {
            Some((_, length)) => vec![*length],
            None => std::iter::once(offered.usual).chain(offered.others.iter().copied()).collect(),
        }
    }

    /// An area of the roof, as unsure as the roof's own.
    #[must_use]
    pub fn area(&self, square_metres: f64) -> Quantity {
        self.measure(square_metres, 1.0)
    }

    /// A length on the roof: half as open as an area.
    #[must_use]
    pub fn length(&self, metres: f64) -> Quantity {
        self.measure(metres, LENGTH_SHARE)
    }

    fn measure(&self, value: f64, share: f64) -> Quantity {
        Quantity::Measure(match self.relative {
            Some(relative) => Estimate::measured(value, value * share * relative / NINETY_FIVE),
            None => Estimate::taken(value, Assumption::SpreadNotComputed),
        })
    }

    /// Metres out of stock pieces of one length, ends lapped, and that length: of those on offer the one of which the least
    /// is bought, of equals the one with the fewest pieces. Of runs as long as the measurements leave open, for that many
    /// are ordered: a length that fits to the millimetre would be twice as many for a hair. O(lengths × runs × rests).
    #[must_use]
    pub(super) fn stock(&self, item: &Item, lengths: &[f64], offered: Offered, lap: f64) -> (Amount, f64) {
        let pieces = |runs: &[f64], piece: f64| f64::from(runs::pieces(runs, piece, lap, SHORTEST_REST));
        let longest: Vec<f64> =
            lengths.iter().map(|run| run * (1.0 + LENGTH_SHARE * self.relative.unwrap_or(0.0))).collect();
        let bought = |piece: f64| {
            let need = pieces(&longest, piece);
            ((need * piece * 1e3).round(), need)
        };
        let on_offer = self.offered(item, offered);
        let chosen = on_offer.len() > 1;
        let least = on_offer.into_iter().min_by(|a, b| {
            let (a, b) = (bought(*a), bought(*b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        let piece = least.unwrap_or(offered.usual);
        let need = pieces(lengths, piece);
        let left = (need * piece - runs::used(lengths, piece, lap)).max(0.0);
        let quantity = self.length(lengths.iter().sum());
        (Amount { quantity, unit: Unit::Metre, need, left: Some(left), chosen }, piece)
    }

    /// Adds a line; `more` fills in what only the caller knows. Nothing is added for nothing.
    pub fn add(&mut self, item: Item, amount: Amount, more: impl FnOnce(&mut Draft)) {
        if amount.quantity.value().is_some_and(|quantity| quantity <= 0.0) {
            return;
        }
        let has_packs = amount.need.is_finite();
        let mut draft = Draft {
            packs: has_packs.then(|| up(amount.need)),
            pack: None,
            packs_range: None,
            rule_of_thumb: None,
            thumb: None,
            weight: None,
            priced: None,
            left_over: amount.left,
            detail: None,
            over_area: None,
        };
        more(&mut draft);
        let why = spared(self.covering, &item);
        if let Some(why) = why {
            self.spared.push(NotOrdered { item: item.clone(), quantity: amount.quantity, unit: amount.unit, why });
            if why != Spared::InYard {
                return;
            }
            // Laid, but not bought.
            draft.packs = draft.packs.map(|_| 0);
            (draft.packs_range, draft.rule_of_thumb, draft.left_over, draft.over_area) = (None, None, None, None);
            draft.thumb = None;
            (draft.priced, draft.weight) = (None, Some(0.0));
        }
        let line = OrderLine {
            weight: with_packs(draft.weight, draft.packs, draft.packs_range),
            cost: Estimate::not_determined(Reason::Absent),
            item,
            quantity: amount.quantity,
            unit: amount.unit,
            packs: draft.packs,
            pack: draft.pack,
            packs_range: draft.packs_range,
            rule_of_thumb: draft.rule_of_thumb,
            thumb: draft.thumb,
            priced: draft.priced,
            left_over: draft.left_over,
            detail: draft.detail,
            over_area: draft.over_area,
            is_there: why.is_some(),
            is_chosen_length: amount.chosen,
        };
        self.added.push(line);
    }

    /// Whether an item is laid: on the order, or in the yard.
    #[must_use]
    pub fn has(&self, item: &Item) -> bool {
        self.added.iter().any(|line| line.item == *item)
    }

    /// The lines in the order of work, and what is not bought.
    #[must_use]
    pub fn finish(mut self) -> (Vec<OrderLine>, Vec<NotOrdered>) {
        self.added.sort_by_key(OrderLine::stage);
        self.spared.sort_by_key(|spared| spared.item.stage());
        (self.added, self.spared)
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
pub(crate) fn by_length(lengths: &[f64]) -> Vec<(f64, u32)> {
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
