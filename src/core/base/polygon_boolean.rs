//! Polygons cut with polygons. The only place where nalgebra's points meet the overlay library's.
//!
//! The library works on a 64-bit integer grid laid over both operands: places of the result are within some 1e-15 of
//! the operands' extent, areas to rounding.

use super::polygon::signed_area;
use earcut::Earcut;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::float::single::SingleFloatOverlay;
use nalgebra::Point2;

/// A connected area: its outer ring anticlockwise, then holes clockwise.
#[derive(Clone, Debug, PartialEq)]
pub struct Region {
    /// Outer ring, then holes.
    pub rings: Vec<Vec<Point2<f64>>>,
}

impl Region {
    /// Area, holes taken off. O(n).
    #[must_use]
    pub fn area(&self) -> f64 {
        self.rings.iter().map(|ring| signed_area(ring)).sum()
    }

    /// It cut into triangles, anticlockwise. O(n²) at worst.
    #[must_use]
    pub fn triangles(&self) -> Vec<[Point2<f64>; 3]> {
        let Some(origin) = self.rings.iter().flatten().next().copied() else { return Vec::new() };
        let corners: Vec<Point2<f64>> = self.rings.iter().flatten().copied().collect();
        let places: Vec<[f64; 2]> = corners.iter().map(|corner| (corner - origin).into()).collect();
        let mut holes: Vec<u32> = Vec::new();
        let mut start = 0;
        for ring in &self.rings {
            holes.extend(u32::try_from(start).ok().filter(|start| *start > 0));
            start += ring.len();
        }
        let mut found: Vec<u32> = Vec::new();
        Earcut::new().earcut_slice(&places, &holes, &mut found);
        found.chunks_exact(3).map(|t| [t[0], t[1], t[2]].map(|at| corners[at as usize])).collect()
    }
}

/// What both have in common. Rings may run either way; a place counts as inside by the even-odd rule. O(n log n) but
/// for crossings.
#[must_use]
pub fn common(one: &[Vec<Point2<f64>>], other: &[Vec<Point2<f64>>]) -> Vec<Region> {
    overlay(one, other, OverlayRule::Intersect)
}

/// What the first has beyond the second.
#[must_use]
pub fn beyond(one: &[Vec<Point2<f64>>], other: &[Vec<Point2<f64>>]) -> Vec<Region> {
    overlay(one, other, OverlayRule::Difference)
}

/// What either has.
#[must_use]
pub fn joined(one: &[Vec<Point2<f64>>], other: &[Vec<Point2<f64>>]) -> Vec<Region> {
    overlay(one, other, OverlayRule::Union)
}

fn overlay(one: &[Vec<Point2<f64>>], other: &[Vec<Point2<f64>>], rule: OverlayRule) -> Vec<Region> {
    // About the first corner, so that a site far from the origin costs no digits.
    let Some(origin) = one.iter().chain(other).flatten().next().map(|corner| corner.coords) else { return Vec::new() };
    let plain = |rings: &[Vec<Point2<f64>>]| -> Vec<Vec<[f64; 2]>> {
        rings.iter().map(|ring| ring.iter().map(|corner| (corner - origin).coords.into()).collect()).collect()
    };
    let shapes = plain(one).overlay_as::<i64>(&plain(other), rule, FillRule::EvenOdd);
    let back = |ring: Vec<[f64; 2]>| ring.into_iter().map(|corner| Point2::from(corner) + origin).collect();
    shapes.into_iter().map(|shape| Region { rings: shape.into_iter().map(back).collect() }).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used)]
    use super::*;

    fn square(x: f64, y: f64, side: f64) -> Vec<Point2<f64>> {
        [(x, y), (x + side, y), (x + side, y + side), (x, y + side)].map(|(x, y)| Point2::new(x, y)).to_vec()
    }

    #[test]
    fn areas_add_up_far_from_the_origin() {
        let far = 500_000.0;
        let (one, two) = (vec![square(far, far, 3.0)], vec![square(far + 1.0, far + 2.0, 3.0)]);
        let area = |regions: Vec<Region>| regions.iter().map(Region::area).sum::<f64>();
        assert!((area(common(&one, &two)) - 2.0).abs() < 1e-12);
        assert!((area(beyond(&one, &two)) - 7.0).abs() < 1e-12);
        assert!((area(joined(&one, &two)) - 16.0).abs() < 1e-12);
    }

    #[test]
    fn a_hole_stays_a_hole_whichever_way_it_runs() {
        let mut hole = square(1.0, 1.0, 1.0);
        for _ in 0..2 {
            hole.reverse();
            let regions = common(&[square(0.0, 0.0, 3.0), hole.clone()], &[square(-1.0, -1.0, 9.0)]);
            assert_eq!(regions.len(), 1);
            assert_eq!(regions[0].rings.len(), 2);
            assert!((regions[0].area() - 8.0).abs() < 1e-14);
            let cut: f64 = regions[0].triangles().iter().map(|t| signed_area(t).abs()).sum();
            assert!((cut - 8.0).abs() < 1e-14);
            assert!(signed_area(&regions[0].rings[1]) < 0.0);
        }
        assert!(common(&[square(0.0, 0.0, 1.0)], &[square(5.0, 0.0, 1.0)]).is_empty());
        assert!(common(&[], &[]).is_empty());
    }
}
