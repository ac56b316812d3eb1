//! Things by where they lie in plan, so that what is near a place is found without a walk over the whole roof.

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
