//! Which point the next click marks, so that nobody need choose: those first by which the photo finds its place, then those
//! that must be seen in it, in the order of the file; and which one a click means.

use crate::survey::foreseen::Seen;
use nalgebra::{Matrix2, Point2, Vector2};
use std::collections::HashSet;

/// A click within so many standard deviations of where a point must be means it.
const GATE: f64 = 4.0;

/// A point that can be marked, and where it must be.
#[derive(Clone, Copy, Debug)]
pub struct Candidate<'a> {
    /// Its name.
    pub name: &'a str,
    /// Where in this photo, if that is known.
    pub seen: Option<&'a Seen>,
    /// Whether another photo shows it.
    pub is_marked_elsewhere: bool,
}

/// Whether a pixel lies in a picture.
fn within(at: &Point2<f64>, size: [f64; 2]) -> bool {
    (0.0..=size[0]).contains(&at.x) && (0.0..=size[1]).contains(&at.y)
}

/// How early a point comes; `None`: not at all, for it can't be in the picture.
fn rank(candidate: &Candidate, size: [f64; 2]) -> Option<u8> {
    match candidate.seen {
        Some(Seen::Place { at, .. }) => within(at, size).then_some(0),
        Some(Seen::Line { trail, .. }) => trail.iter().any(|at| within(at, size)).then_some(1),
        None => Some(if candidate.is_marked_elsewhere { 2 } else { 3 }),
    }
}

/// The point that is marked next; `None` where none is left. Those left out by hand are none. O(points).
#[must_use]
pub fn next<'a>(candidates: &[Candidate<'a>], size: [f64; 2], left_out: &HashSet<String>) -> Option<&'a str> {
    let own = candidates.iter().filter(|candidate| !left_out.contains(candidate.name));
    let ranked = own.filter_map(|candidate| Some((rank(candidate, size)?, candidate.name)));
    // Of several of a rank the first in the file.
    ranked.min_by_key(|(rank, _)| *rank).map(|(_, name)| name)
}

/// How far a pixel lies from where a point must be, in standard deviations; `near` pixels count as one. `None` where nothing
/// is known of it.
#[must_use]
pub fn away(seen: &Seen, pixel: &Point2<f64>, near: f64) -> f64 {
    match seen {
        Seen::Place { at, axes } => {
            let least = Matrix2::identity() * (near * near);
            let spread = axes[0] * axes[0].transpose() + axes[1] * axes[1].transpose() + least;
            let off = pixel - at;
            spread.try_inverse().map_or(f64::INFINITY, |inverse| off.dot(&(inverse * off)).sqrt())
        }
        Seen::Line { trail, sd, .. } => {
            let from = |pair: &[Point2<f64>]| {
                let along: Vector2<f64> = pair[1] - pair[0];
                let share = ((pixel - pair[0]).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
                (pixel - (pair[0] + along * share)).norm()
            };
            trail.windows(2).map(from).fold(f64::INFINITY, f64::min) / near.hypot(*sd)
        }
    }
}

/// What a click means.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Meant {
    /// This point.
    Point(String),
    /// The wanted one can't be there.
    Elsewhere,
}

/// The point that a click at a pixel means when one is `wanted`: that one where it can be there, else another that must be
/// there. `near` pixels are a hand's shake.
#[must_use]
pub fn meant(candidates: &[Candidate], wanted: &str, pixel: &Point2<f64>, near: f64) -> Meant {
    let of = |candidate: &Candidate| candidate.seen.map(|seen| away(seen, pixel, near));
    let own = candidates.iter().find(|candidate| candidate.name == wanted).and_then(of);
    if own.is_some_and(|away| away <= GATE) {
        return Meant::Point(wanted.to_owned());
    }
    let places = candidates.iter().filter(|candidate| matches!(candidate.seen, Some(Seen::Place { .. })));
    let others =
        places.filter_map(|candidate| Some((of(candidate)?, candidate.name))).filter(|(away, _)| *away <= GATE);
    match (others.min_by(|a, b| a.0.total_cmp(&b.0)), own) {
        (Some((_, name)), _) => Meant::Point(name.to_owned()),
        (None, None) => Meant::Point(wanted.to_owned()),
        (None, Some(_)) => Meant::Elsewhere,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(x: f64, y: f64, long: f64) -> Seen {
        Seen::Place { at: Point2::new(x, y), axes: [Vector2::new(long, 0.0), Vector2::new(0.0, 2.0)] }
    }

    const SIZE: [f64; 2] = [1600.0, 1200.0];

    #[test]
    fn what_must_be_seen_comes_first_and_what_cant_be_not_at_all() {
        let (inside, outside) = (place(300.0, 200.0, 10.0), place(-80.0, 200.0, 10.0));
        let line = Seen::Line { from: 0, trail: vec![Point2::new(-10.0, 5.0), Point2::new(400.0, 5.0)], sd: 2.0 };
        let of = |name, seen, is_marked_elsewhere| Candidate { name, seen, is_marked_elsewhere };
        let all = [
            of("a", None, false),
            of("b", None, true),
            of("c", Some(&line), true),
            of("d", Some(&outside), true),
            of("e", Some(&inside), true),
        ];
        let mut left_out = HashSet::new();
        for wanted in [Some("e"), Some("c"), Some("b"), Some("a"), None] {
            let found = next(&all, SIZE, &left_out);
            assert_eq!(found, wanted);
            left_out.extend(found.map(str::to_owned));
        }
    }

    #[test]
    fn a_click_means_the_wanted_point_or_the_one_that_must_be_there() {
        let (here, there) = (place(300.0, 200.0, 10.0), place(500.0, 200.0, 10.0));
        let of = |name, seen| Candidate { name, seen, is_marked_elsewhere: true };
        let all = [of("a", Some(&here)), of("b", Some(&there)), of("c", None)];
        let point = |name: &str| Meant::Point(name.to_owned());
        let click = |wanted: &str, x: f64| meant(&all, wanted, &Point2::new(x, 201.0), 3.0);
        assert_eq!(click("a", 310.0), point("a"));
        assert_eq!(click("a", 505.0), point("b"));
        assert_eq!(click("a", 400.0), Meant::Elsewhere);
        assert_eq!(click("c", 400.0), point("c"));
        assert_eq!(click("c", 505.0), point("b"));
    }
}
