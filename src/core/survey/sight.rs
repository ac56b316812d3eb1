//! A photo that was placed: where things of the site appear in it.

use super::state::{Lens, Pose};
use nalgebra::{Point2, Point3, Vector3};

/// How a photo was taken, as the adjustment found it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sight {
    /// Where the camera stood and how it looked.
    pub pose: Pose,
    /// Its lens.
    pub lens: Lens,
    /// Width and height of the picture, pixels.
    pub size: [f64; 2],
}

/// A line may leave the picture by this part of its half diagonal before it is cut.
const BEYOND: f64 = 1.25;
/// A lens is believed up to this part of the angle at which its distortion would fold the picture over.
const UNFOLDED: f64 = 0.95;
/// A bent line is drawn to within this, pixels.
const SAG: f64 = 0.2;
/// Halvings of a bent line at most.
const HALVINGS: u32 = 10;

impl Sight {
    /// Where a place appears, pixels (origin top left, x right, y down); `None` behind the camera or so far aside that
    /// the lens says nothing about it.
    #[must_use]
    pub fn pixel(&self, place: &Point3<f64>) -> Option<Point2<f64>> {
        let q = self.in_camera(place);
        (q.z > 0.0 && q.xy().norm() <= self.reach() * q.z).then(|| self.projected(&q))
    }

    /// Where the part of a straight line between two shares of its length appears: points so dense that straight
    /// pieces between them stay within a fifth of a pixel of the line as the lens bends it. Empty when no part of it
    /// is in view.
    #[must_use]
    pub fn trail(&self, ends: [Point3<f64>; 2], part: [f64; 2]) -> Vec<Point2<f64>> {
        let Some(seen) = self.in_view(ends) else { return Vec::new() };
        let (from, to) = (part[0].max(seen[0]), part[1].min(seen[1]));
        if from >= to {
            return Vec::new();
        }
        let [a, b] = ends.map(|end| self.in_camera(&end));
        let at = |share: f64| self.projected(&(a + (b - a) * share));
        let mut trail = vec![at(from)];
        bend(&at, [from, to], HALVINGS, &mut trail);
        trail
    }

    /// The camera's frame: x right, y down, z ahead.
    fn in_camera(&self, place: &Point3<f64>) -> Vector3<f64> {
        self.pose.rotation * (place - self.pose.centre)
    }

    /// The pixel of a direction with positive z.
    fn projected(&self, q: &Vector3<f64>) -> Point2<f64> {
        let ray = q.xy() / q.z;
        let [_, cx, cy, ..] = self.lens.values;
        Point2::new(cx, cy) + ray * (self.lens.focal() * self.lens.gain(ray.norm_squared()))
    }

    /// Tangent of the widest angle from the optical axis that is drawn.
    fn reach(&self) -> f64 {
        let [width, height] = self.size;
        let corners = [[0.0, 0.0], [width, 0.0], [0.0, height], [width, height]];
        let widest = corners.iter().map(|&corner| self.lens.ray(corner).xy().norm()).fold(0.0, f64::max);
        let [.., k1, k2] = self.lens.values;
        // r (1 + k1 r² + k2 r⁴) grows as long as 1 + 3 k1 r² + 5 k2 r⁴ is positive: up to the smallest r² where it is not.
        let root = (9.0 * k1 * k1 - 20.0 * k2).sqrt();
        let larger = -3.0 * k1 + if k1 > 0.0 { -root } else { root };
        let roots = [larger / (10.0 * k2), 2.0 / larger];
        let fold = roots.into_iter().filter(|square| *square > 0.0).fold(f64::INFINITY, f64::min);
        (BEYOND * widest).min(UNFOLDED * fold.sqrt())
    }

    /// The shares of a line between which it lies within the cone that is drawn. The cone is convex, so it is one
    /// piece: `x² + y² ≤ reach² z²` with z positive.
    fn in_view(&self, ends: [Point3<f64>; 2]) -> Option<[f64; 2]> {
        let [a, b] = ends.map(|end| self.in_camera(&end));
        let way = b - a;
        let square = self.reach().powi(2);
        let form = |u: &Vector3<f64>, v: &Vector3<f64>| u.x * v.x + u.y * v.y - square * u.z * v.z;
        let (two, one, none) = (form(&way, &way), form(&a, &way), form(&a, &a));
        let mut cuts = vec![0.0, 1.0];
        let root = (one * one - two * none).max(0.0).sqrt();
        // Stable for either sign: the larger root first, the other from the product of both.
        let larger = -(one + if one < 0.0 { -root } else { root });
        for cut in [larger / two, none / larger] {
            if cut > 0.0 && cut < 1.0 {
                cuts.push(cut);
            }
        }
        cuts.sort_by(f64::total_cmp);
        let inside = |share: f64| {
            let q = a + way * share;
            q.z > 0.0 && form(&q, &q) <= 0.0
        };
        let mut pieces = cuts.windows(2).filter(|pair| inside(f64::midpoint(pair[0], pair[1])));
        let first = pieces.next()?;
        let last = pieces.next_back().unwrap_or(first);
        Some([first[0], last[1]])
    }
}

/// Adds points after the first of a piece until straight lines are near enough. A piece is halved at least twice: a line
/// bent like an S may have its middle on the chord.
fn bend(at: &impl Fn(f64) -> Point2<f64>, part: [f64; 2], halvings: u32, trail: &mut Vec<Point2<f64>>) {
    let (from, to) = (at(part[0]), at(part[1]));
    let middle = f64::midpoint(part[0], part[1]);
    let sag = {
        let (along, off) = (to - from, at(middle) - from);
        let length = along.norm();
        if length > 0.0 { along.perp(&off).abs() / length } else { off.norm() }
    };
    if halvings == 0 || (sag <= SAG && halvings + 2 <= HALVINGS) {
        trail.push(to);
        return;
    }
    bend(at, [part[0], middle], halvings - 1, trail);
    bend(at, [middle, part[1]], halvings - 1, trail);
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Matrix3;

    /// Looks along +y from the origin, z up.
    fn sight(k1: f64) -> Sight {
        let rotation = Matrix3::new(1.0, 0.0, 0.0, 0.0, 0.0, -1.0, 0.0, 1.0, 0.0);
        let pose = Pose { rotation, centre: Point3::origin() };
        Sight { pose, lens: Lens { values: [1000.0_f64.ln(), 500.0, 400.0, k1, 0.0] }, size: [1000.0, 800.0] }
    }

    #[test]
    fn right_is_right_and_up_is_up() {
        let at = sight(0.0).pixel(&Point3::new(1.0, 10.0, 2.0));
        assert!(at.is_some_and(|at| (at - Point2::new(600.0, 200.0)).norm() < 1e-9));
        assert_eq!(sight(0.0).pixel(&Point3::new(1.0, -10.0, 2.0)), None);
    }

    #[test]
    fn lines_are_bent_as_the_lens_bends_them() {
        let sight = sight(-0.2);
        let ends = [Point3::new(-4.0, 10.0, 3.0), Point3::new(4.0, 10.0, 3.0)];
        let trail = sight.trail(ends, [0.0, 1.0]);
        assert!(trail.len() > 4, "{}", trail.len());
        for step in 0..=1000 {
            let place = ends[0] + (ends[1] - ends[0]) * (f64::from(step) / 1000.0);
            let Some(at) = sight.pixel(&place) else { panic!("out of view") };
            let off = |pair: &[Point2<f64>]| {
                let along = pair[1] - pair[0];
                let share = ((at - pair[0]).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
                (at - (pair[0] + along * share)).norm()
            };
            assert!(trail.windows(2).map(off).fold(f64::INFINITY, f64::min) < 2.0 * SAG);
        }
    }

    #[test]
    fn what_is_behind_is_cut_off() {
        let sight = sight(-0.1);
        // Passes beside the camera from before it to behind it.
        let trail = sight.trail([Point3::new(2.0, 20.0, 0.0), Point3::new(2.0, -20.0, 0.0)], [0.0, 1.0]);
        assert!(trail.iter().all(|at| at.x > 500.0 && at.x < 1600.0), "{trail:?}");
        assert!((trail[0] - Point2::new(599.9, 400.0)).norm() < 1e-6, "{}", trail[0]);
        assert_eq!(sight.trail([Point3::new(2.0, -1.0, 0.0), Point3::new(2.0, -20.0, 0.0)], [0.0, 1.0]), []);
        assert_eq!(sight.trail([Point3::new(90.0, 9.0, 0.0), Point3::new(99.0, 9.0, 0.0)], [0.0, 1.0]), []);
    }
}
