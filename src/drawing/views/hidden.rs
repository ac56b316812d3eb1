//! Hidden lines: which parts of a body's edges are seen from a direction.
//!
//! Every edge is cut where it crosses another in the picture; each piece is then either wholly seen or wholly hidden,
//! which one point beside its middle decides (Appel, "The notion of quantitative invisibility", 1967, brought down to
//! whether it is zero). O(edges² + pieces × triangles).

use super::body::Body;
use crate::base::tolerance::{ONE_PLACE, ROUNDING};
use crate::drawing::typeset::pen::Pen;
use nalgebra::{Point2, Point3, Vector2, Vector3};

/// A parallel projection: a right-handed frame with the eye far along `towards`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// To the right in the picture.
    pub right: Vector3<f64>,
    /// Up in the picture.
    pub up: Vector3<f64>,
    /// Towards the eye.
    pub towards: Vector3<f64>,
    /// Picture metres for a metre across the line of sight.
    pub stretch: f64,
}

impl Look {
    /// Level, from a direction given in plan; `towards` points from the body to the eye.
    #[must_use]
    pub fn level(towards: Vector2<f64>) -> Self {
        let towards = Vector3::new(towards.x, towards.y, 0.0).normalize();
        let up = Vector3::z();
        Self { right: up.cross(&towards), up, towards, stretch: 1.0 }
    }

    /// Isometric from a quarter given in plan: lengths along three square axes are to scale.
    #[must_use]
    pub fn isometric(towards: Vector2<f64>) -> Self {
        let level = towards.normalize() * 2f64.sqrt();
        let towards = Vector3::new(level.x, level.y, 1.0).normalize();
        let right = Vector3::z().cross(&towards).normalize();
        Self { right, up: towards.cross(&right), towards, stretch: 1.5f64.sqrt() }
    }

    /// A place in the picture, metres.
    #[must_use]
    pub fn place(&self, point: &Point3<f64>) -> Point2<f64> {
        Point2::new(point.coords.dot(&self.right), point.coords.dot(&self.up)) * self.stretch
    }

    fn depth(&self, point: &Point3<f64>) -> f64 {
        point.coords.dot(&self.towards)
    }
}

/// A piece of an edge in the picture.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seen {
    /// What it is.
    pub pen: Pen,
    /// Its ends in the picture, metres.
    pub ends: [Point2<f64>; 2],
    /// Whether nothing is before it.
    pub visible: bool,
}

/// A triangle, or what a section leaves of it, that hides what is behind it.
struct Screen {
    corners: Vec<Point2<f64>>,
    /// Depth in the picture: at a place p, `slope · p + offset`.
    slope: Vector2<f64>,
    offset: f64,
    low: Point2<f64>,
    high: Point2<f64>,
    flat: usize,
}

impl Screen {
    fn new(points: &[Point3<f64>], normal: &Vector3<f64>, look: &Look, flat: usize) -> Option<Self> {
        let facing = normal.dot(&look.towards);
        // Seen edge-on it hides nothing that its own edges do not.
        if facing.abs() < ONE_PLACE || points.len() < 3 {
            return None;
        }
        let corners: Vec<Point2<f64>> = points.iter().map(|point| look.place(point)).collect();
        let slope = -Vector2::new(normal.dot(&look.right), normal.dot(&look.up)) / (facing * look.stretch);
        let offset = look.depth(&points[0]) - slope.dot(&corners[0].coords);
        let low = corners.iter().copied().reduce(|a, b| a.inf(&b))?;
        let high = corners.iter().copied().reduce(|a, b| a.sup(&b))?;
        Some(Self { corners, slope, offset, low, high, flat })
    }

    fn hides(&self, place: &Point2<f64>, depth: f64) -> bool {
        place.x > self.low.x
            && place.x < self.high.x
            && place.y > self.low.y
            && place.y < self.high.y
            && self.slope.dot(&place.coords) + self.offset > depth
            && super::clip::holds(std::slice::from_ref(&self.corners), place)
    }
}

/// What lies before a plumb section plane is taken away: the plane, its normal towards the eye.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// A point of the plane.
    pub point: Point3<f64>,
    /// Unit normal, towards what is taken away.
    pub normal: Vector3<f64>,
}

impl Cut {
    fn height(&self, point: &Point3<f64>) -> f64 {
        (point - self.point).dot(&self.normal)
    }

    /// What of a convex ring lies behind the plane (Sutherland and Hodgman 1974).
    fn keep(&self, ring: &[Point3<f64>]) -> Vec<Point3<f64>> {
        let mut kept = Vec::new();
        for (index, from) in ring.iter().enumerate() {
            let to = &ring[(index + 1) % ring.len()];
            let (a, b) = (self.height(from), self.height(to));
            if a <= 0.0 {
                kept.push(*from);
            }
            if (a < 0.0 && b > 0.0) || (a > 0.0 && b < 0.0) {
                kept.push(from + (to - from) * (a / (a - b)));
            }
        }
        kept
    }

    /// What of a straight line lies behind the plane.
    fn keep_line(&self, ends: [Point3<f64>; 2]) -> Option<[Point3<f64>; 2]> {
        let [from, to] = ends;
        let (a, b) = (self.height(&from), self.height(&to));
        let crossing = || from + (to - from) * (a / (a - b));
        match (a <= 0.0, b <= 0.0) {
            (true, true) => Some(ends),
            (true, false) => Some([from, crossing()]),
            (false, true) => Some([crossing(), to]),
            (false, false) => None,
        }
    }

    /// The line in which the plane cuts a triangle.
    #[must_use]
    pub(crate) fn line_in(&self, triangle: &[Point3<f64>; 3]) -> Option<[Point3<f64>; 2]> {
        let mut found = Vec::new();
        for side in 0..3 {
            let (from, to) = (triangle[side], triangle[(side + 1) % 3]);
            let (a, b) = (self.height(&from), self.height(&to));
            if (a < 0.0) != (b < 0.0) {
                found.push(from + (to - from) * (a / (a - b)));
            }
        }
        match found.as_slice() {
            &[from, to] => Some([from, to]),
            _ => None,
        }
    }
}

/// The edges of a body in the picture, cut into pieces that are seen or hidden. With a cut, what lies before it is
/// taken away first.
#[must_use]
pub fn edges(body: &Body, look: &Look, cut: Option<&Cut>) -> Vec<Seen> {
    let size = body.size();
    let (beside, epsilon) = (size * ONE_PLACE, size * 10.0 * ONE_PLACE);
    let screens: Vec<Screen> = body
        .triangles
        .iter()
        .filter_map(|(corners, flat)| {
            let points = corners.map(|at| body.places[at]);
            let normal = (points[1] - points[0]).cross(&(points[2] - points[0])).try_normalize(f64::MIN_POSITIVE)?;
            let kept = cut.map_or_else(|| points.to_vec(), |cut| cut.keep(&points));
            Screen::new(&kept, &normal, look, *flat)
        })
        .collect();
    let lines: Vec<(Pen, [Point3<f64>; 2], [Option<usize>; 2])> = body
        .folds
        .iter()
        .filter_map(|fold| {
            let ends = fold.ends.map(|at| body.places[at]);
            let ends = cut.map_or(Some(ends), |cut| cut.keep_line(ends))?;
            Some((fold.pen, ends, fold.flats))
        })
        .collect();
    let flat: Vec<[Point2<f64>; 2]> = lines.iter().map(|(_, ends, _)| ends.map(|end| look.place(&end))).collect();
    let mut seen = Vec::new();
    for (index, (pen, ends, flats)) in lines.iter().enumerate() {
        let [from, to] = flat[index];
        let along = to - from;
        if along.norm() < epsilon {
            continue;
        }
        let mut cuts = vec![0.0, 1.0];
        for (other, line) in flat.iter().enumerate() {
            if other != index {
                cuts.extend(crossing(&[from, to], line));
            }
        }
        cuts.sort_by(f64::total_cmp);
        let across = Vector2::new(-along.y, along.x).normalize() * beside;
        let depths = [look.depth(&ends[0]), look.depth(&ends[1])];
        let mut pieces: Vec<(f64, f64, bool)> = Vec::new();
        for pair in cuts.windows(2) {
            if (pair[1] - pair[0]) * along.norm() < epsilon {
                continue;
            }
            let t = f64::midpoint(pair[0], pair[1]);
            let middle = from + along * t;
            let depth = depths[0] + (depths[1] - depths[0]) * t + epsilon;
            let before = |place: Point2<f64>| {
                screens.iter().any(|screen| !flats.contains(&Some(screen.flat)) && screen.hides(&place, depth))
            };
            let visible = !before(middle + across) && !before(middle - across);
            match pieces.last_mut() {
                Some(last) if last.2 == visible => last.1 = pair[1],
                _ => pieces.push((pair[0], pair[1], visible)),
            }
        }
        seen.extend(pieces.into_iter().map(|(a, b, visible)| Seen {
            pen: *pen,
            ends: [from + along * a, from + along * b],
            visible,
        }));
    }
    seen
}

/// Where the first line is cut by the second, as a share of its length.
fn crossing(first: &[Point2<f64>; 2], second: &[Point2<f64>; 2]) -> Option<f64> {
    let (along, other) = (first[1] - first[0], second[1] - second[0]);
    let cross = along.perp(&other);
    if cross.abs() <= f64::EPSILON * along.norm() * other.norm() {
        return None;
    }
    let between = second[0] - first[0];
    let (t, s) = (between.perp(&other) / cross, between.perp(&along) / cross);
    ((0.0..=1.0).contains(&t) && (-ROUNDING..=1.0 + ROUNDING).contains(&s)).then_some(t)
}
