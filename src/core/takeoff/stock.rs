//! Boards and sheets cut from stock: what is left of one serves a later one, raked ends against raked ends.

use super::goods::{Deck, DeckKind};
use crate::base::tolerance;

/// A narrower strip of a sheet is scrap (common practice, no source).
const NARROWEST: f64 = 0.100;

/// A board may end so much short of a verge or of another on its bearer: the width of a few saw cuts (common practice, no
/// source). Without it a roof a millimetre longer than its boards would take one more a row.
const ENDS_SHORT: f64 = 0.010;

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
    /// it (with a whole board, half a board or any rest) the one that uses up the least, with no joint over one `below`;
    /// where each of them has one there, boards are shortened by a bearer until none has. O(rests²).
    pub(crate) fn lay_run(&mut self, run: &StockRun, bearers: Bearers, below: &[f64]) -> Vec<f64> {
        let on_bearers: Vec<f64> = std::iter::successors(Some(2.0 * bearers.spacing), |at| Some(at + bearers.spacing))
            .take_while(|start| *start < self.length)
            .collect();
        // Of panels, few and dear, every start on a bearer is worth a trial.
        let trials = if self.keeps_strips { on_bearers.as_slice() } else { &[] };
        let starts: Vec<f64> = [self.length, self.length / 2.0]
            .into_iter()
            .chain(self.kept.iter().filter(|rest| rest.width >= run.height - tolerance::SMALLEST).map(|rest| rest.long))
            .chain(trials.iter().copied())
            .collect();
        let apart = bearers.spacing / 2.0;
        let usual = starts.iter().map(|start| self.divide(run, bearers, *start, &[]));
        let stands_clear = |ends: &Vec<f64>| joints_over(ends, below, apart) == 0;
        let best = self.cheapest(run, usual.filter(stands_clear)).or_else(|| {
            let all = starts.iter().chain(&on_bearers);
            let shortened: Vec<Vec<f64>> = all.map(|start| self.divide(run, bearers, *start, below)).collect();
            // Where no way is clear, as few joints as can be stand over one another.
            let fewest = shortened.iter().map(|ends| joints_over(ends, below, apart)).min();
            self.cheapest(run, shortened.into_iter().filter(|ends| Some(joints_over(ends, below, apart)) == fewest))
        });
        let Some((after, ends)) = best else { return run.ends.to_vec() };
        *self = after;
        ends
    }

    /// Of ways to divide a run the one that uses up the least, the first of equals, and what is left then.
    fn cheapest(&self, run: &StockRun, ways: impl Iterator<Item = Vec<f64>>) -> Option<(Self, Vec<f64>)> {
        let mut best: Option<(f64, Self, Vec<f64>)> = None;
        for ends in ways {
            let mut after = self.clone();
            after.cut(run, &ends);
            let cost = after.worth_spent() - self.worth_spent();
            if best.as_ref().is_none_or(|(was, ..)| cost < *was - tolerance::SMALLEST) {
                best = Some((cost, after, ends));
            }
        }
        best.map(|(_, after, ends)| (after, ends))
    }

    /// The ends of boards along a run whose first is at most so long, each as long as it may be with no joint over one of
    /// `clear_of`, where a bearer leaves room for that.
    fn divide(&self, run: &StockRun, bearers: Bearers, first: f64, clear_of: &[f64]) -> Vec<f64> {
        let mut ends = vec![run.ends[0]];
        let (mut at, mut longest) = (run.ends[0], first);
        while run.ends[1] - at > longest + ENDS_SHORT {
            let bearer = bearers.before(at + longest);
            // Boards shorter than the spacing of bearers end where they end.
            let furthest = if bearer > at + tolerance::SMALLEST { bearer } else { at + longest };
            let mut clear = furthest;
            while joints_over(&[at, clear, run.ends[1]], clear_of, bearers.spacing / 2.0) > 0 {
                clear -= bearers.spacing;
            }
            at = if clear > at + bearers.spacing - tolerance::SMALLEST { clear } else { furthest };
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
            (rest.width >= need.width - tolerance::SMALLEST && over >= -ENDS_SHORT).then_some((over, rakes_alike))
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
            let short = stock.short - need.length;
            // A rake that runs on beyond the piece leaves the other side whole.
            Rest { long: (short + need.slant.abs()).min(stock.long), short, slant: need.slant, width }
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

/// How many of the joints between these ends stand over one of those below, nearer than so far.
fn joints_over(ends: &[f64], below: &[f64], apart: f64) -> usize {
    let joints = ends.get(1..ends.len().saturating_sub(1)).unwrap_or_default();
    joints.iter().filter(|joint| below.iter().any(|other| (*joint - other).abs() < apart)).count()
}
