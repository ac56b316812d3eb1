//! Brings sides of different blocks together that lie nearer than a gap, as walls that were taped apart do.

use crate::base::name::SideName;
use crate::base::tolerance::ROUNDING;
use crate::outline::footprint::Footprint;
use crate::roof::model::finding::Finding;
use nalgebra::{Point2, Vector2};

/// A side that is to lie on an earlier block's line.
struct Move {
    ring: usize,
    side: usize,
    /// The block, ring and number of the earlier side.
    onto: [usize; 3],
    /// A place of the line and its direction, along the moved side.
    line: (Point2<f64>, Vector2<f64>),
}

/// The footprints with near sides of later blocks moved onto earlier blocks' lines, and a finding for each. A side moves
/// as a whole where both its ends lie nearer than the gap to the line and it runs beside the earlier side for some way;
/// its corners go to where it meets its neighbours. Wall lines given apart stay. O(sides²).
#[must_use]
pub fn closed(footprints: &[Footprint], gap: f64) -> (Vec<Footprint>, Vec<Finding>) {
    let mut out: Vec<Footprint> = Vec::new();
    let mut findings = Vec::new();
    for footprint in footprints {
        let mut moved = footprint.clone();
        let moves = moves(&out, footprint, gap, 0.0, &mut findings);
        for ring in 0..footprint.rings.len() {
            let lines: Vec<Option<(Point2<f64>, Vector2<f64>)>> = (0..footprint.rings[ring].sides.len())
                .map(|side| moves.iter().find(|m| (m.ring, m.side) == (ring, side)).map(|m| m.line))
                .collect();
            if lines.iter().all(Option::is_none) {
                continue;
            }
            let corners = footprint.rings[ring].corners();
            for (side, place) in moved_corners(&corners, &lines, gap).into_iter().enumerate() {
                moved.rings[ring].sides[side].start = place;
            }
        }
        // A move that folds the outline over is no help: then it stays as it was.
        out.push(if moved.check_invariants().is_ok() { moved } else { footprint.clone() });
    }
    (out, findings)
}

/// Which sides lie on earlier blocks' lines because they would be brought there if they did not: for each, its block, ring and
/// number, and those of the earlier side, in the order of the blocks. `footprints` are as [`closed`] gives them. O(sides²).
#[must_use]
pub fn onto(footprints: &[Footprint], gap: f64) -> Vec<[(usize, usize, usize); 2]> {
    let mut all = Vec::new();
    for (block, footprint) in footprints.iter().enumerate() {
        let found = moves(&footprints[..block], footprint, gap, f64::NEG_INFINITY, &mut Vec::new());
        let pair = |Move { ring, side, onto: [a, b, c], .. }| [(block, ring, side), (a, b, c)];
        all.extend(found.into_iter().map(pair));
    }
    all
}

/// The moves of a footprint's sides that are more than `least` apart from an earlier one's line.
fn moves(earlier: &[Footprint], footprint: &Footprint, gap: f64, least: f64, findings: &mut Vec<Finding>) -> Vec<Move> {
    let mut moves = Vec::new();
    for (r, ring) in footprint.rings.iter().enumerate() {
        let count = ring.sides.len();
        for (k, side) in ring.sides.iter().enumerate() {
            let ends = [side.start, ring.sides[(k + 1) % count].start];
            let along = (ends[1] - ends[0]).normalize();
            let mut best: Option<(f64, Move, SideName)> = None;
            for (number, other) in earlier.iter().enumerate() {
                for (m, their_ring) in other.rings.iter().enumerate() {
                    let theirs = their_ring.sides.len();
                    for (n, their) in their_ring.sides.iter().enumerate() {
                        let to = their_ring.sides[(n + 1) % theirs].start;
                        let length = (to - their.start).norm();
                        let d = (to - their.start) / length;
                        let apart = ends.map(|end| d.perp(&(end - their.start)).abs());
                        let share = ends.map(|end| d.dot(&(end - their.start)));
                        let beside = share[0].max(share[1]).min(length) - share[0].min(share[1]).max(0.0);
                        let far = apart[0].max(apart[1]);
                        if far <= least || far >= gap || beside <= gap {
                            continue;
                        }
                        if best.as_ref().is_none_or(|(nearest, _, _)| far < *nearest) {
                            let line = (their.start, d * d.dot(&along).signum());
                            let name = SideName::new(&other.name, &their.name);
                            best = Some((far, Move { ring: r, side: k, onto: [number, m, n], line }, name));
                        }
                    }
                }
            }
            if let Some((far, found, name)) = best {
                // What is apart by rounding alone needs no word.
                if far > ROUNDING * ends.iter().map(|end| end.coords.norm()).fold(1.0, f64::max) {
                    let moved = SideName::new(&footprint.name, &side.name);
                    findings.push(Finding::BroughtTogether { moved, onto: name, by: far });
                }
                moves.push(found);
            }
        }
    }
    moves
}

/// Corners where the moved lines meet their neighbours.
fn moved_corners(corners: &[Point2<f64>], lines: &[Option<(Point2<f64>, Vector2<f64>)>], gap: f64) -> Vec<Point2<f64>> {
    let count = corners.len();
    let line = |side: usize| {
        lines[side].unwrap_or_else(|| (corners[side], (corners[(side + 1) % count] - corners[side]).normalize()))
    };
    (0..count)
        .map(|side| {
            let before = (side + count - 1) % count;
            if lines[side].is_none() && lines[before].is_none() {
                return corners[side];
            }
            let ((a, u), (b, v)) = (line(before), line(side));
            let cross = u.perp(&v);
            let meet = a + u * ((b - a).perp(&v) / cross);
            if cross != 0.0 && (meet - corners[side]).norm() <= 4.0 * gap {
                return meet;
            }
            // Neighbours in nearly one line: straight onto the moved one.
            let (from, d) = if lines[side].is_some() { (b, v) } else { (a, u) };
            from + d * d.dot(&(corners[side] - from))
        })
        .collect()
}
