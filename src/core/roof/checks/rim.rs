//! Edges with one face are the outline and nothing else: each lies level at its foot, and run with their face to the left
//! they follow each other round its rings, corner after corner.

use super::{Check, Violation};
use crate::roof::model::Roof;
use crate::roof::model::names::FaceName;
use nalgebra::Point2;

/// The rings that edges with one face close, as corners' numbers, in the order of `outline`'s. `foot` is the height they
/// lie at. O(n) where rings come in order.
///
/// # Errors
/// An edge with one face that does not run along the outline, a part of the outline without one, two rings that touch.
pub fn check(roof: &Roof, outline: &[Vec<Point2<f64>>], foot: f64, tolerance: f64) -> Result<Vec<Vec<u32>>, Violation> {
    const NONE: u32 = u32::MAX;
    let allowed = super::moved(roof, tolerance);
    let mut next = vec![NONE; roof.corners.len()];
    let mut count = 0;
    for edge in roof.edges.iter().filter(|edge| edge.faces.len() == 1) {
        let (from, to) = (edge.from.index(), edge.to.index());
        let off = |corner: usize| (roof.corners[corner].z - foot).abs() > allowed;
        if next[from] != NONE || off(from) || off(to) {
            let faces = edge.faces.iter().map(|&id| roof.faces[id.index()].id.clone()).collect();
            return Err(violation(faces));
        }
        #[allow(clippy::cast_possible_truncation)]
        {
            next[from] = to as u32;
        }
        count += 1;
    }
    let mut rings: Vec<Vec<u32>> = vec![Vec::new(); outline.len()];
    let mut expected = 0;
    for start in 0..next.len() {
        if next[start] == NONE {
            continue;
        }
        #[allow(clippy::cast_possible_truncation)]
        let mut at = start as u32;
        let mut ring = Vec::with_capacity(outline.get(expected).map_or(0, Vec::len));
        while next[at as usize] != NONE {
            ring.push(at);
            at = std::mem::replace(&mut next[at as usize], NONE);
        }
        let open = at as usize != start;
        let place = |corner: u32| roof.corners[corner as usize].xy();
        let of = |&number: &usize| rings[number].is_empty() && follows(&ring, &outline[number], place, allowed);
        let found = (expected..outline.len()).chain(0..expected.min(outline.len())).find(of);
        let Some(number) = found.filter(|_| !open) else { return Err(violation(Vec::new())) };
        count -= ring.len();
        rings[number] = ring;
        expected = number + 1;
    }
    if count == 0 && rings.iter().all(|ring| !ring.is_empty()) { Ok(rings) } else { Err(violation(Vec::new())) }
}

fn violation(faces: Vec<FaceName>) -> Violation {
    Violation { check: Check::Rim, faces }
}

/// Whether a ring of corners goes round as an outline does: each of the outline's corners lies at one of the ring's, in
/// order, and none of the ring's is passed over.
fn follows(ring: &[u32], outline: &[Point2<f64>], place: impl Fn(u32) -> Point2<f64>, allowed: f64) -> bool {
    let first = place(ring[0]);
    let off = |at: usize| (outline[at] - first).norm();
    let Some(start) = (0..outline.len()).find(|&at| off(at) <= allowed) else { return false };
    let mut ahead = ring[1..].iter().chain(&ring[..1]).map(|&corner| place(corner));
    let (before, after) = outline.split_at(start + 1);
    let mut here = first;
    let mut next = ahead.next();
    for corner in after.iter().chain(before) {
        let stays = (corner - here).norm();
        let goes = next.map_or(f64::INFINITY, |next| (corner - next).norm());
        if stays.min(goes) > allowed {
            return false;
        }
        if goes < stays {
            here = next.unwrap_or(here);
            next = ahead.next();
        }
    }
    next.is_none()
}
