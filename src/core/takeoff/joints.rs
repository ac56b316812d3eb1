//! Where the joints of one run of pieces stand: on a grid where the rules allow it, elsewhere where they do not.
//!
//! Pieces are no longer than a whole one. Joints keep off places named (joints and slots of the course above or below) and
//! out of stretches named (the sides of a valley's centre). Of all such rows the cheapest is found by dynamic programming
//! over the places where a joint may usefully stand: what breaks a rule costs most, then a narrow piece, a piece more, a
//! joint off the grid.

use crate::base::tolerance;

/// A place that joints keep away from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mark {
    /// The place.
    pub u: f64,
    /// How far away.
    pub off: f64,
    /// What it costs to stand nearer.
    pub cost: f64,
}

/// Cost of a joint that breaks a rule outright.
pub(super) const FORBIDDEN: f64 = 1000.0;

/// Cost of a joint that stands nearer to a valley's centre than it should where the course over it covers it.
pub(super) const COVERED: f64 = 20.0;

const NARROW: f64 = 300.0;
const PIECE: f64 = 10.0;
const OFF_GRID: f64 = 4.0;

/// Cost of an end that does not reach all the way.
const SHORT: f64 = 2.0;

/// A run of pieces whose joints are sought, along the eave from left to right.
#[derive(Clone, Debug)]
pub(super) struct Span {
    /// Where it begins and ends.
    pub ends: [f64; 2],
    /// How far a piece must at least reach at either end; to the ends where it can.
    pub reach: [f64; 2],
    /// Length of a whole piece.
    pub width: f64,
    /// Least width of a piece.
    pub least: f64,
    /// A joint of the grid: all stand whole widths from it.
    pub grid: f64,
    /// Places to keep away from.
    pub marks: Vec<Mark>,
    /// Stretches without joints, and what it costs to stand in one.
    pub closed: Vec<([f64; 2], f64)>,
}

impl Span {
    /// Joints of the grid within the run.
    fn on_grid(&self, grid: f64) -> impl Iterator<Item = f64> {
        let [from, to] = self.ends;
        let first = grid + ((from + tolerance::SMALLEST - grid) / self.width).ceil() * self.width;
        let width = self.width;
        (0_u32..).map(move |step| first + f64::from(step) * width).take_while(move |u| *u < to - tolerance::SMALLEST)
    }

    /// What it costs that a joint stands at a place, grid or not.
    fn price(&self, u: f64) -> f64 {
        let marks = self.marks.iter().filter(|mark| (mark.u - u).abs() < mark.off - tolerance::SMALLEST);
        let closes = |[from, to]: &[f64; 2]| u > from + tolerance::SMALLEST && u < to - tolerance::SMALLEST;
        let closed = self.closed.iter().filter(|(stretch, _)| closes(stretch));
        marks.map(|mark| mark.cost).sum::<f64>() + closed.map(|(_, cost)| cost).sum::<f64>()
    }

    /// The joints of a grid, where they break no rule and leave no end too narrow. O(joints × marks).
    pub fn even(&self, grid: f64) -> Option<Vec<f64>> {
        let joints: Vec<f64> = self.on_grid(grid).collect();
        let least = self.least - tolerance::SMALLEST;
        let wide = |end: f64| end >= least;
        let ends = joints.first().is_none_or(|first| wide(first - self.ends[0]))
            && joints.last().is_none_or(|last| wide(self.ends[1] - last));
        (ends && joints.iter().all(|joint| self.price(*joint) == 0.0)).then_some(joints)
    }

    /// The cheapest joints. O(places × places within a width), for places near marks, ends and closed stretches.
    pub(crate) fn cheapest(&self) -> Vec<f64> {
        let [from, to] = self.ends;
        let mut places = self.places();
        places.push(to);
        // The cheapest way to each place: its cost and the place before.
        let mut best: Vec<(f64, Option<usize>)> = Vec::with_capacity(places.len());
        for (index, &(mut here)) in places.iter().enumerate() {
            let is_end = index + 1 == places.len();
            let own = if is_end { 0.0 } else { self.own_cost(here) };
            if is_end {
                here = self.reach[1].min(to);
            }
            let mut way = (f64::INFINITY, None);
            let start = self.reach[0].max(from);
            if here - start <= self.width + tolerance::SMALLEST {
                way = (own + self.gap_cost(here - from), None);
            }
            for before in (0..index).rev() {
                let gap = here - places[before];
                if gap > self.width + tolerance::SMALLEST {
                    break;
                }
                let full = if is_end { to - places[before] } else { gap };
                let cost = best[before].0 + own + self.gap_cost(full);
                if cost < way.0 - tolerance::SMALLEST {
                    way = (cost, Some(before));
                }
            }
            best.push(way);
        }
        let mut joints = Vec::new();
        let mut at = best.last().and_then(|way| way.1);
        while let Some(index) = at {
            joints.push(places[index]);
            at = best[index].1;
        }
        joints.reverse();
        joints
    }

    fn own_cost(&self, u: f64) -> f64 {
        let steps = (u - self.grid) / self.width;
        let off = (steps - steps.round()).abs() * self.width;
        self.price(u) + if off > tolerance::SMALLEST { OFF_GRID } else { 0.0 }
    }

    fn gap_cost(&self, gap: f64) -> f64 {
        let narrow = if gap < self.least - tolerance::SMALLEST { NARROW } else { 0.0 };
        PIECE + narrow + if gap > self.width + tolerance::SMALLEST { SHORT } else { 0.0 }
    }

    /// Places where a joint may usefully stand, in order: of the grid, at the borders of what is to be kept free of joints,
    /// as near to the ends as a narrow piece, and whole widths from all of these.
    fn places(&self) -> Vec<f64> {
        let [from, to] = self.ends;
        let mut places: Vec<f64> = self.on_grid(self.grid).collect();
        places.extend([from + self.least, to - self.least, self.reach[0] + self.width, self.reach[1] - self.width]);
        places.extend(self.closed.iter().flat_map(|(stretch, _)| stretch));
        places.extend(self.marks.iter().flat_map(|mark| [mark.u - mark.off, mark.u + mark.off]));
        let whole = |u: &f64| [u - self.width, *u, u + self.width];
        let mut places: Vec<f64> = places.iter().flat_map(whole).collect();
        places.retain(|u| *u > from + tolerance::SMALLEST && *u < to - tolerance::SMALLEST);
        places.sort_by(f64::total_cmp);
        places.dedup_by(|a, b| *a - *b < tolerance::SMALLEST);
        places
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn span(to: f64) -> Span {
        Span {
            ends: [0.0, to],
            reach: [0.0, to],
            width: 1.0,
            least: 0.2,
            grid: 0.7,
            marks: Vec::new(),
            closed: Vec::new(),
        }
    }

    fn near(a: &[f64], b: &[f64]) -> bool {
        a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-9)
    }

    #[test]
    fn joints_stand_on_the_grid_where_nothing_is_in_the_way() {
        assert!(near(&span(3.2).cheapest(), &[0.7, 1.7, 2.7]));
    }

    #[test]
    fn a_closed_stretch_is_spanned_by_one_piece_and_made_up_for_beside_it() {
        let row = Span { closed: vec![([2.4, 3.2], FORBIDDEN)], ..span(3.2) };
        assert!(near(&row.cheapest(), &[0.7, 1.7, 2.4]), "{:?}", row.cheapest());
    }

    #[test]
    fn a_joint_keeps_off_a_mark_and_no_end_gets_narrow() {
        let row = Span { marks: vec![Mark { u: 1.75, off: 0.1, cost: FORBIDDEN }], ..span(2.8) };
        let joints = row.cheapest();
        assert!(joints.iter().all(|joint| (joint - 1.75).abs() > 0.1 - 1e-9), "{joints:?}");
        let ends: Vec<f64> = [0.0].into_iter().chain(joints).chain([2.8]).collect();
        assert!(ends.windows(2).all(|pair| (0.2 - 1e-9..=1.0 + 1e-9).contains(&(pair[1] - pair[0]))), "{ends:?}");
    }
}
