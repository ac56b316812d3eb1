//! Lines of the take-off: from an amount to packs, bounds, weight and cost.

use super::answer::{Line, Stage};
use super::model::Prices;
use super::offer::price;
use crate::base::tolerance;

/// How much of something.
#[derive(Clone, Copy, Debug)]
pub struct Amount {
    /// In `unit`.
    pub quantity: f64,
    /// "piece", "m²", "m", "tube".
    pub unit: &'static str,
    /// Packs, unrounded; not a number where packs do not apply.
    pub need: f64,
    /// Whether it grows with lengths, so half as fast as areas.
    pub is_length: bool,
}

impl Amount {
    /// Laid, without packs of its own.
    #[must_use]
    pub fn laid(quantity: f64, unit: &'static str) -> Self {
        Self { quantity, unit, need: f64::NAN, is_length: false }
    }

    /// Metres out of so many stock lengths.
    #[must_use]
    pub fn stock(length: f64, pieces: u32) -> Self {
        Self { quantity: length, unit: "m", need: f64::from(pieces), is_length: true }
    }

    /// Pieces ordered one by one.
    #[must_use]
    pub fn stock_of(quantity: f64, unit: &'static str, pieces: usize) -> Self {
        Self { quantity, unit, need: pieces as f64, is_length: false }
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

    /// Adds a line; `more` fills in what only the caller knows. Nothing is added for nothing.
    pub fn add(&mut self, item: &str, what: &str, stage: Stage, amount: Amount, more: impl FnOnce(&mut Line)) {
        if amount.quantity <= 0.0 {
            return;
        }
        let has_packs = amount.need.is_finite();
        let half = if amount.is_length { 0.5 } else { 1.0 };
        let range = self.relative.filter(|_| has_packs).map(|relative| {
            let [low, high] = [1.0 - half * relative, 1.0 + half * relative].map(|factor| up(amount.need * factor));
            [low.min(up(amount.need)), high]
        });
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
            left_over: None,
            detail: None,
        };
        more(&mut line);
        let comes_from_another = line.packs.is_none() && line.pack.is_some();
        if !comes_from_another {
            let count = line.packs.map_or(amount.quantity, f64::from);
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
pub fn length_list(lengths: &[f64]) -> String {
    let mut sorted = lengths.to_vec();
    sorted.sort_by(|a, b| b.total_cmp(a));
    let mut groups: Vec<(String, usize)> = Vec::new();
    for length in sorted {
        let text = format!("{length:.2}");
        match groups.last_mut() {
            Some((last, count)) if *last == text => *count += 1,
            _ => groups.push((text, 1)),
        }
    }
    let words: Vec<String> = groups.iter().map(|(length, count)| format!("{count} × {length} m")).collect();
    words.join(", ")
}
