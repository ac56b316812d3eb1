//! Lines of the take-off: from an amount to packs, bounds, weight and cost.

use super::answer::{Line, Stage};
use super::model::Prices;
use super::offer::price;
use super::runs;
use crate::base::tolerance;
use crate::base::words::Words;

/// Rests of stock lengths shorter than this are scrap (common practice, no source).
const SHORTEST_REST: f64 = 0.300;

/// How much of something.
#[derive(Clone, Copy, Debug)]
pub struct Amount {
    /// In `unit`.
    pub quantity: f64,
    /// "piece", "m²", "m", "tube".
    pub unit: &'static str,
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
    pub fn laid(quantity: f64, unit: &'static str) -> Self {
        Self { quantity, unit, need: f64::NAN, range: None, left: None }
    }

    /// So much of something that comes in packs, unrounded.
    #[must_use]
    pub fn packed(quantity: f64, unit: &'static str, packs: f64) -> Self {
        Self { quantity, unit, need: packs, range: None, left: None }
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
        Amount { quantity: lengths.iter().sum(), unit: "m", need, range, left: Some(left) }
    }

    /// Pieces already counted one by one (boards, rolls, sheets): bounds in proportion to the area, to the nearest piece, for
    /// the count is whole and a hair of area does not add one.
    #[must_use]
    pub fn counted(&self, quantity: f64, unit: &'static str, pieces: u32) -> Amount {
        let range = self
            .relative
            .map(|relative| [1.0 - relative, 1.0 + relative].map(|factor| up((f64::from(pieces) * factor).round())));
        Amount { quantity, unit, need: f64::from(pieces), range, left: None }
    }

    /// Adds a line; `more` fills in what only the caller knows. Nothing is added for nothing.
    pub fn add(&mut self, item: &str, what: &str, stage: Stage, amount: Amount, more: impl FnOnce(&mut Line)) {
        if amount.quantity <= 0.0 {
            return;
        }
        let has_packs = amount.need.is_finite();
        let in_proportion = |relative: f64| {
            let [low, high] = [1.0 - relative, 1.0 + relative].map(|factor| up(amount.need * factor));
            [low.min(up(amount.need)), high]
        };
        let range = amount.range.or(self.relative.map(in_proportion)).filter(|_| has_packs);
        let mut line = Line {
            item: item.to_owned(),
            what: what.to_owned(),
            stage,
            quantity: Some(amount.quantity),
            unit: amount.unit,
            packs: has_packs.then(|| up(amount.need)),
            pack: None,
            packs_range: range,
            rule_of_thumb: None,
            weight: None,
            cost: None,
            priced: None,
            left_over: amount.left,
            detail: None,
        };
        more(&mut line);
        let comes_from_another = line.packs.is_none() && line.pack.is_some();
        if !comes_from_another {
            let count = line.priced.map_or_else(|| line.packs.map_or(amount.quantity, f64::from), |(count, _)| count);
            line.cost = price(self.prices, item).map(|each| each * count);
        }
        self.added.push(line);
    }

    /// The lines in the order of work.
    #[must_use]
    pub fn finish(mut self) -> Vec<Line> {
        self.added.sort_by_key(|line| line.stage);
        self.added
    }
}

/// Up to the next whole pack; a whole number of packs stays.
fn up(need: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let packs = (need - tolerance::RELATIVE).ceil().max(0.0) as u32;
    packs
}

/// "12 × 3.46 m, 2 × 2.10 m", longest first.
#[must_use]
pub fn length_list(lengths: &[f64], say: Words) -> String {
    let mut sorted = lengths.to_vec();
    sorted.sort_by(|a, b| b.total_cmp(a));
    let mut groups: Vec<(String, usize)> = Vec::new();
    for length in sorted {
        let text = say.length(length);
        match groups.last_mut() {
            Some((last, count)) if *last == text => *count += 1,
            _ => groups.push((text, 1)),
        }
    }
    let words: Vec<String> = groups.iter().map(|(length, count)| format!("{count} × {length}")).collect();
    words.join(", ")
}
