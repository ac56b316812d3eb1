//! Boards and sheets cut from stock: what is left of one serves a later one, raked ends against raked ends.

use super::goods::{Deck, DeckKind};
use crate::base::tolerance;

/// A narrower strip of a sheet is scrap (common practice, no source).
const NARROWEST: f64 = 0.100;

/// Bearers that boards end on.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bearers {
    /// One of them.
    pub first: f64,
    /// Centre to centre.
    pub spacing: f64,
}

impl Bearers {
    /// The last bearer not beyond a place.
    fn before(self, u: f64) -> f64 {
        ((u - self.first + tolerance::SMALLEST) / self.spacing).floor() * self.spacing + self.first
    }
}

/// A run to cover with boards end to end.
#[derive(Clone, Copy, Debug)]
pub(super) struct StockRun {
    /// From where to where along the eave, the widest.
    pub ends: [f64; 2],
    /// How far each end leans to the right from foot to head.
    pub slants: [f64; 2],
    /// Up the slope.
    pub height: f64,
}

/// What is left of a piece of stock.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Rest {
    /// Its longer side.
    long: f64,
    /// Its shorter side, by so much shorter as its one raked end leans.
    short: f64,
    /// How far that end leans to the right from foot to head; turned round it leans the same way.
    slant: f64,
    /// Up the slope.
    width: f64,
}

/// A piece to be cut.
#[derive(Clone, Copy, Debug)]
struct Need {
    /// Its longer side.
    length: f64,
    /// How far its raked end leans; 0: both ends square.
    slant: f64,
    /// Up the slope.
    width: f64,
}

/// Stock bought and what is left of it.
#[derive(Clone, Debug)]
pub(super) struct Rests {
    /// Pieces of stock.
    pub bought: u32,
    length: f64,
    width: f64,
    /// A shorter rest is scrap: it spans no two bearers.
    shortest: f64,
    /// Whether strips cut off along a piece are kept.
    keeps_strips: bool,
    kept: Vec<Rest>,
}

impl Rests {
    /// Nothing bought yet.
    pub fn new(deck: &Deck) -> Self {
        Self {
            bought: 0,
            length: deck.length,
            width: deck.width,
            shortest: 2.0 * deck.spacing,
            keeps_strips: deck.kind == DeckKind::Sheets,
            kept: Vec::new(),
        }
    }

    /// Covers a run; gives the ends of its boards from left to right, both ends of the run with them. Of all ways to start
    /// it (with a whole board, half a board or any rest) the one that uses up the least, with no joint over one `below`
    /// where there is such a way. O(rests²).
    pub fn lay_run(&mut self, run: &StockRun, bearers: Bearers, below: &[f64]) -> Vec<f64> {
        let starts: Vec<f64> = [self.length, self.length / 2.0]
            .into_iter()
            .chain(self.kept.iter().filter(|rest| rest.width >= run.height - tolerance::SMALLEST).map(|rest| rest.long))
            .collect();
        let mut best: Option<(bool, f64, Self, Vec<f64>)> = None;
        for start in starts {
            let (mut after, ends) = (self.clone(), self.divide(run, bearers, start));
            after.cut(run, &ends);
            let stands_over = |joint: &f64| below.iter().any(|other| (joint - other).abs() < bearers.spacing / 2.0);
            let over = ends[1..ends.len() - 1].iter().any(stands_over);
            let cost = after.worth_spent() - self.worth_spent();
            let better = best.as_ref().is_none_or(|(was_over, was, ..)| {
                (*was_over && !over) || (*was_over == over && cost < *was - tolerance::SMALLEST)
            });
            if better {
                best = Some((over, cost, after, ends));
            }
        }
        let Some((_, _, after, ends)) = best else { return run.ends.to_vec() };
        *self = after;
        ends
    }

    /// The ends of boards along a run whose first is at most so long.
    fn divide(&self, run: &StockRun, bearers: Bearers, first: f64) -> Vec<f64> {
        let mut ends = vec![run.ends[0]];
        let (mut at, mut longest) = (run.ends[0], first);
        while run.ends[1] - at > longest + tolerance::SMALLEST {
            let bearer = bearers.before(at + longest);
            // Boards shorter than the spacing of bearers end where they end.
            at = if bearer > at + tolerance::SMALLEST { bearer } else { at + longest };
            ends.push(at);
            longest = self.length;
        }
        ends.push(run.ends[1]);
        ends
    }

    /// Cuts the boards of a run.
    fn cut(&mut self, run: &StockRun, ends: &[f64]) {
        let last = ends.len() - 2;
        for (index, pair) in ends.windows(2).enumerate() {
            // A piece that is raked at both ends is cut from its bounding rectangle.
            let slant = match (index == 0, index == last) {
                (true, false) => run.slants[0],
                (false, true) => run.slants[1],
                _ => 0.0,
            };
            self.take(Need { length: pair[1] - pair[0], slant, width: run.height });
        }
    }

    /// Takes a piece from the rest that fits closest, else from new stock.
    fn take(&mut self, need: Need) {
        let is_raked = need.slant.abs() > tolerance::SMALLEST;
        let fits = |rest: &Rest| {
            let rakes_alike = is_raked && (rest.slant - need.slant).abs() < 1e-3 && rest.slant != 0.0;
            let length = if rakes_alike { rest.long } else { rest.short };
            let over = length - need.length;
            (rest.width >= need.width - tolerance::SMALLEST && over >= -tolerance::SMALLEST)
                .then_some((over, rakes_alike))
        };
        let found = self
            .kept
            .iter()
            .enumerate()
            .filter_map(|(index, rest)| fits(rest).map(|(over, alike)| (index, over * rest.width, alike)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let (stock, alike) = if let Some((index, _, alike)) = found {
            (self.kept.swap_remove(index), alike)
        } else {
            self.bought += 1;
            (Rest { long: self.length, short: self.length, slant: 0.0, width: self.width }, false)
        };
        let strip = stock.width - need.width;
        if self.keeps_strips && strip >= NARROWEST {
            self.keep(Rest { width: strip, ..stock });
        }
        let width = if self.keeps_strips { need.width } else { stock.width };
        self.keep(if alike || !is_raked {
            let length = if alike { stock.long } else { stock.short } - need.length;
            Rest { long: length, short: length, slant: 0.0, width }
        } else {
            let lean = need.slant.abs();
            Rest { long: stock.short - need.length + lean, short: stock.short - need.length, slant: need.slant, width }
        });
    }

    fn keep(&mut self, rest: Rest) {
        if rest.long >= self.shortest {
            self.kept.push(Rest { short: rest.short.max(0.0), ..rest });
        }
    }

    /// Area bought less what the rests are still worth: a long one more than two halves of it.
    fn worth_spent(&self) -> f64 {
        let worth: f64 = self.kept.iter().map(|rest| rest.width * rest.short * rest.short / self.length).sum();
        f64::from(self.bought) * self.length * self.width - worth
    }
}
