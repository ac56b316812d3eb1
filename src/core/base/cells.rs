//! Things by where they lie in plan, so that what is near a place is found without a walk over all.

use nalgebra::Point2;
use std::collections::HashMap;

/// Square cells over the plan, each with the numbers of the things whose boxes touch it.
#[derive(Clone, Debug)]
pub struct Cells {
    size: f64,
    things: HashMap<[i64; 2], Vec<usize>>,
}

impl Cells {
    /// Cells for `count` things over a plan of this extent, metres: about as many as there are things.
    #[must_use]
    pub fn new(extent: f64, count: usize) -> Self {
        let size = (extent / (count.max(1) as f64).sqrt()).max(f64::MIN_POSITIVE);
        Self { size, things: HashMap::new() }
    }

    fn touched(&self, places: [&Point2<f64>; 2], slack: f64) -> impl Iterator<Item = [i64; 2]> + use<> {
        let (low, high) = (places[0].inf(places[1]), places[0].sup(places[1]));
        #[allow(clippy::cast_possible_truncation)]
        let [columns, rows] = [0, 1].map(|axis| {
            let cell = |value: f64| (value / self.size).floor() as i64;
            cell(low[axis] - slack)..=cell(high[axis] + slack)
        });
        columns.flat_map(move |column| rows.clone().map(move |row| [column, row]))
    }

    /// Puts a thing into all cells that the box between two places touches. O(cells touched).
    pub fn put(&mut self, thing: usize, places: [&Point2<f64>; 2]) {
        for cell in self.touched(places, 0.0) {
            self.things.entry(cell).or_default().push(thing);
        }
    }

    /// The things in cells that the box between two places, wider by `slack` all round, touches: ascending, each once.
    #[must_use]
    pub fn near(&self, places: [&Point2<f64>; 2], slack: f64) -> Vec<usize> {
        let mut near: Vec<usize> =
            self.touched(places, slack).filter_map(|cell| self.things.get(&cell)).flatten().copied().collect();
        near.sort_unstable();
        near.dedup();
        near
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// Every pair of boxes that come near each other is found, and each thing is told once, in order.
    #[test]
    fn what_is_near_is_found() {
        let mut state = 7_u64;
        let mut number = |most: f64| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) as f64 / f64::from(1_u32 << 31) * most
        };
        let boxes: Vec<[Point2<f64>; 2]> = (0..300)
            .map(|k| {
                let from = Point2::new(number(20.0) - 10.0, number(20.0) - 10.0);
                let long = if k % 40 == 0 { 15.0 } else { 3.0 };
                [from, Point2::new(from.x + number(long) - 0.3, from.y + number(1.5) - 0.2)]
            })
            .collect();
        let mut cells = Cells::new(20.0, boxes.len());
        for (k, [from, to]) in boxes.iter().enumerate() {
            cells.put(k, [from, to]);
        }
        let slack = 0.05;
        let mut pairs = 0;
        for [from, to] in &boxes {
            let found = cells.near([from, to], slack);
            assert!(found.windows(2).all(|pair| pair[0] < pair[1]));
            let (low, high) = (from.inf(to), from.sup(to));
            for (other, [a, b]) in boxes.iter().enumerate() {
                let (first, last) = (a.inf(b), a.sup(b));
                let meet = (0..2).all(|k| first[k] <= high[k] + slack && last[k] >= low[k] - slack);
                pairs += usize::from(meet);
                assert!(!meet || found.contains(&other));
            }
            assert!(found.len() < boxes.len() / 2);
        }
        assert!(pairs > 2 * boxes.len());
    }
}
