//! Whether triangles bound a solid: every edge between two that run along it in opposite ways.

use super::fault::SolidFault;
use crate::roof::model::solid::Solid;
use nalgebra::Point3;
use std::collections::HashMap;
use std::hash::Hash;

/// Checks a solid as a reader of its file has it, who knows corners by their places alone: `written` is a place as the
/// file holds it. Triangles of which two corners come to one place are none. O(triangles).
///
/// # Errors
/// An edge that is not run once each way, the first in order of the corners.
pub fn check<K: Hash + Eq>(solid: &Solid, written: impl Fn(&Point3<f64>) -> K) -> Result<(), SolidFault> {
    let mut numbers: HashMap<K, usize> = HashMap::with_capacity(solid.positions.len());
    let mut first: Vec<usize> = Vec::with_capacity(solid.positions.len());
    for (at, place) in solid.positions.iter().enumerate() {
        first.push(*numbers.entry(written(place)).or_insert(at));
    }
    let mut runs: HashMap<(usize, usize), [usize; 2]> = HashMap::with_capacity(2 * solid.triangles.len());
    for triangle in &solid.triangles {
        let [a, b, c] = triangle.map(|at| first[at as usize]);
        if a == b || b == c || c == a {
            continue;
        }
        for (from, to) in [(a, b), (b, c), (c, a)] {
            runs.entry((from.min(to), from.max(to))).or_default()[usize::from(from > to)] += 1;
        }
    }
    match runs.iter().filter(|(_, runs)| **runs != [1, 1]).min_by_key(|(ends, _)| **ends) {
        None => Ok(()),
        Some((&(from, to), &runs)) => {
            Err(SolidFault::Edge { from: solid.positions[from], to: solid.positions[to], runs })
        }
    }
}
