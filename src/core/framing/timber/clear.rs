//! Whether every timber clears all others.

use super::model::{Clash, Timber, TimberKind, Timbers};
use crate::base::order::SortByNumber as _;
use crate::base::parry::Hull;

/// Pieces that reach into one another by less do not: a saw cut is wider, metres.
const TOUCH: f64 = 0.0005;

/// Finds the timbers that reach into one another: where ridges, hips and valleys meet nearer to each other than they are
/// thick, and what ends there. Plates and fascias, which rafters are notched and cut over, are left out. Near
/// O(timbers log timbers + neighbours).
pub(super) fn clashes(timbers: &Timbers) -> Vec<Clash> {
    let hull = |(at, timber): (usize, &Timber)| {
        let counts = !matches!(timber.kind, TimberKind::Plate | TimberKind::Fascia);
        counts.then(|| Some((at, Hull::of(&timber.body.corners())?))).flatten()
    };
    let mut hulls: Vec<(usize, Hull)> = timbers.all.iter().enumerate().filter_map(hull).collect();
    hulls.sort_by_number(|a| a.1.reach()[0]);
    let mut clashes = Vec::new();
    for (place, (at, hull)) in hulls.iter().enumerate() {
        let within = hulls[place + 1..].iter().take_while(|(_, other)| other.reach()[0] <= hull.reach()[1]);
        for (other, beside) in within {
            let by = hull.overlap(beside);
            if by > TOUCH {
                clashes.push(Clash { timbers: [*at.min(other), *at.max(other)], by });
            }
        }
    }
    clashes
}
