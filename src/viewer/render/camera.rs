//! Where the roof is seen from: an orbit about a target, standard views by name, fitting, and the ray through a pixel.

use crate::base::tolerance::ONE_PLACE;
use nalgebra::{Matrix4, Perspective3, Point2, Point3, Vector3};

/// The nearest depth that is drawn, metres.
const NEAREST: f64 = 1e-3;

/// A lens this long (radians, full height) shows parallel edges parallel to within a pixel: for the standard views.
const LONG_LENS: f64 = 0.02;

/// The lens of free views: longer than a phone's, so that a roof keeps its proportions.
const LENS: f64 = 0.42;

/// Least and greatest elevation, radians: from just under the eaves to straight down.
const LOWEST: f64 = -0.35;
const STEEPEST: f64 = std::f64::consts::FRAC_PI_2;

/// A standard view.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum View {
    /// From above a corner: the front and the right side.
    #[default]
    Corner,
    /// From above the opposite corner.
    FarCorner,
    /// Straight down, north of the drawing up.
    Plan,
    /// Level, from -y.
    Front,
    /// Level, from +x.
    Right,
    /// Level, from +y.
    Back,
    /// Level, from -x.
    Left,
    /// From a person's eye on the ground, off a corner.
    Ground,
}

impl View {
    /// All views, in the order of their keys 1 to 8.
    pub const ALL: [Self; 8] =
        [Self::Corner, Self::FarCorner, Self::Plan, Self::Front, Self::Right, Self::Back, Self::Left, Self::Ground];

    /// Its name on the command line and in the window.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Corner => "corner",
            Self::FarCorner => "far-corner",
            Self::Plan => "plan",
            Self::Front => "front",
            Self::Right => "right",
            Self::Back => "back",
            Self::Left => "left",
            Self::Ground => "ground",
        }
    }

    /// The view of a name.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|view| view.word() == word)
    }
}

/// A camera on an orbit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Camera {
    /// What it looks at, metres in the scene.
    pub target: Point3<f64>,
    /// Direction from the target to the eye in plan, radians anticlockwise from +x.
    pub azimuth: f64,
    /// Height of the eye above level as seen from the target, radians.
    pub elevation: f64,
    /// From target to eye, metres.
    pub distance: f64,
    /// Full angle of view over the height of the picture, radians.
    pub lens: f64,
}

/// A ray in the scene.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ray {
    /// The eye.
    pub from: Point3<f64>,
    /// Unit vector.
    pub along: Vector3<f64>,
}

impl Camera {
    /// A standard view, fitted about `places` for a picture of `aspect` (width over height).
    #[must_use]
    pub fn standard(view: View, places: &[Point3<f64>], aspect: f64) -> Self {
        let degrees = |azimuth: f64, elevation: f64| (azimuth.to_radians(), elevation.to_radians());
        let ((azimuth, elevation), lens) = match view {
            View::Corner => (degrees(-52.0, 33.0), LENS),
            View::FarCorner => (degrees(128.0, 33.0), LENS),
            View::Plan => (degrees(-90.0, 90.0), LONG_LENS),
            View::Front => (degrees(-90.0, 0.0), LONG_LENS),
            View::Right => (degrees(0.0, 0.0), LONG_LENS),
            View::Back => (degrees(90.0, 0.0), LONG_LENS),
            View::Left => (degrees(180.0, 0.0), LONG_LENS),
            View::Ground => (degrees(-60.0, 2.0), 0.75),
        };
        let camera = Self { target: Point3::origin(), azimuth, elevation, distance: 1.0, lens };
        camera.fitted(places, aspect, 0.86)
    }

    /// The same direction, moved so that all places fill `share` of the picture. O(places).
    #[must_use]
    pub fn fitted(mut self, places: &[Point3<f64>], aspect: f64, share: f64) -> Self {
        let (right, up, back) = self.axes();
        let half = [(self.lens / 2.0).tan() * aspect * share, (self.lens / 2.0).tan() * share];
        // In camera axes a place (r, u, b) fits when |r - x| <= half (z - b) for the eye at (x, y, z): the tightest
        // planes on either side give x and z, and likewise y and z; the farther z of the two serves both.
        let tightest = |side: &Vector3<f64>, half: f64| {
            let high = places.iter().map(|p| side.dot(&p.coords) + half * back.dot(&p.coords)).reduce(f64::max);
            let low = places.iter().map(|p| side.dot(&p.coords) - half * back.dot(&p.coords)).reduce(f64::min);
            let (high, low) = (high.unwrap_or(1.0), low.unwrap_or(-1.0));
            (f64::midpoint(high, low), (high - low) / (2.0 * half))
        };
        let (x, far_enough) = tightest(&right, half[0]);
        let (y, far_enough_too) = tightest(&up, half[1]);
        let z = far_enough.max(far_enough_too);
        let deepest = places.iter().map(|p| back.dot(&p.coords)).reduce(f64::min).unwrap_or(-1.0);
        let nearest = places.iter().map(|p| back.dot(&p.coords)).reduce(f64::max).unwrap_or(1.0);
        let middle = f64::midpoint(deepest, nearest);
        self.target = Point3::from(right * x + up * y + back * middle);
        self.distance = (z - middle).max(0.1);
        self
    }

    /// Unit vectors to the right, up and from the target to the eye.
    #[must_use]
    pub fn axes(&self) -> (Vector3<f64>, Vector3<f64>, Vector3<f64>) {
        let (sin, cos) = self.azimuth.sin_cos();
        let (rise, level) = self.elevation.sin_cos();
        let back = Vector3::new(cos * level, sin * level, rise);
        let right = Vector3::new(-sin, cos, 0.0);
        let up = back.cross(&right);
        (right, up, back)
    }

    /// Where the eye is.
    #[must_use]
    pub fn eye(&self) -> Point3<f64> {
        self.target + self.axes().2 * self.distance
    }

    /// Turns about the target: radians to the left and up.
    pub fn orbit(&mut self, left: f64, up: f64) {
        self.azimuth = (self.azimuth + left) % std::f64::consts::TAU;
        self.elevation = (self.elevation + up).clamp(LOWEST, STEEPEST);
    }

    /// Moves eye and target across the picture: in shares of its height, to the right and up.
    pub(crate) fn pan(&mut self, right: f64, up: f64) {
        let (to_right, to_top, _) = self.axes();
        let height = 2.0 * self.distance * (self.lens / 2.0).tan();
        self.target += to_right * (right * height) + to_top * (up * height);
    }

    /// Moves nearer (factor below 1) or farther, keeping the place that `ray` meets at the target's depth under the
    /// pointer. Stays between a hand's breadth and `farthest`.
    pub fn zoom(&mut self, factor: f64, ray: Option<Ray>, farthest: f64) {
        let distance = (self.distance * factor).clamp(0.3 * (LENS / self.lens), farthest * (LENS / self.lens));
        let factor = distance / self.distance;
        if let Some(ray) = ray {
            let back = self.axes().2;
            let slant = -ray.along.dot(&back);
            if slant > 0.0 {
                let under = ray.from + ray.along * (self.distance / slant);
                self.target = under + (self.target - under) * factor;
            }
        }
        self.distance = distance;
    }

    /// A short lens for free views: the standard views' long lens is given up as soon as one orbits.
    pub fn loosen(&mut self) {
        if self.lens < LENS {
            self.distance *= (self.lens / 2.0).tan() / (LENS / 2.0).tan();
            self.lens = LENS;
        }
    }

    /// View and projection for places within `radius` of `centre`, tight in depth.
    #[must_use]
    pub fn matrix(&self, aspect: f64, centre: &Point3<f64>, radius: f64) -> Matrix4<f64> {
        let (right, up, back) = self.axes();
        let eye = self.eye();
        let depth = back.dot(&(eye - centre));
        let near = (depth - radius).max(0.02 * self.distance.min(radius)).max(NEAREST);
        let far = (depth + radius).max(near * 1.01);
        let row = |axis: &Vector3<f64>| [axis.x, axis.y, axis.z, -axis.dot(&eye.coords)];
        let [r, u, b] = [row(&right), row(&up), row(&back)];
        let view =
            Matrix4::new(r[0], r[1], r[2], r[3], u[0], u[1], u[2], u[3], b[0], b[1], b[2], b[3], 0.0, 0.0, 0.0, 1.0);
        Perspective3::new(aspect, self.lens, near, far).to_homogeneous() * view
    }

    /// Where a place appears: 0 ..= 1 across from the left and down from the top; `None` behind the eye.
    #[must_use]
    pub fn appears(&self, place: &Point3<f64>, aspect: f64) -> Option<Point2<f64>> {
        let (right, up, back) = self.axes();
        let from = place - self.eye();
        let depth = -back.dot(&from);
        if depth <= ONE_PLACE * self.distance {
            return None;
        }
        let half = (self.lens / 2.0).tan() * depth;
        Some(Point2::new(0.5 + right.dot(&from) / (2.0 * half * aspect), 0.5 - up.dot(&from) / (2.0 * half)))
    }

    /// The ray through a place of the picture: 0 ..= 1 across from the left and down from the top.
    #[must_use]
    pub fn ray(&self, across: f64, down: f64, aspect: f64) -> Ray {
        let (right, up, back) = self.axes();
        let half = (self.lens / 2.0).tan();
        let along = right * ((2.0 * across - 1.0) * half * aspect) + up * ((1.0 - 2.0 * down) * half) - back;
        Ray { from: self.eye(), along: along.normalize() }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn house() -> Vec<Point3<f64>> {
        let mut places = Vec::new();
        for x in [3.0, 12.2] {
            for y in [-4.0, 1.6] {
                for z in [0.0, 4.4] {
                    places.push(Point3::new(x, y, z));
                }
            }
        }
        places
    }

    #[test]
    fn every_standard_view_shows_all_and_fills_the_picture() {
        for view in View::ALL {
            for aspect in [0.6, 1.6] {
                let camera = Camera::standard(view, &house(), aspect);
                let shown: Vec<_> = house().iter().filter_map(|place| camera.appears(place, aspect)).collect();
                assert_eq!(shown.len(), 8);
                let out = |c: f64| !(0.069..=0.931).contains(&c);
                assert!(!shown.iter().any(|p| out(p.x) || out(p.y)), "{view:?} {shown:?}");
                let span = |axis: usize| {
                    let high = shown.iter().map(|p| p[axis]).fold(0.0, f64::max);
                    high - shown.iter().map(|p| p[axis]).fold(1.0, f64::min)
                };
                assert!((span(0).max(span(1)) - 0.86).abs() < 1e-6, "{view:?} {} {}", span(0), span(1));
            }
        }
    }

    #[test]
    fn a_ray_through_a_pixel_meets_the_place_that_appears_there() {
        let camera = Camera::standard(View::Corner, &house(), 1.5);
        for place in house() {
            let at = camera.appears(&place, 1.5).unwrap();
            let ray = camera.ray(at.x, at.y, 1.5);
            let past = (place - ray.from).cross(&ray.along).norm();
            assert!(past < 1e-9 * camera.distance, "{past}");
        }
    }

    #[test]
    fn the_matrix_agrees_with_where_places_appear() {
        let camera = Camera::standard(View::FarCorner, &house(), 1.5);
        let matrix = camera.matrix(1.5, &Point3::new(7.6, -1.2, 2.2), 8.0);
        for place in house() {
            let clip = matrix * place.to_homogeneous();
            let at = camera.appears(&place, 1.5).unwrap();
            assert!((clip.x / clip.w - (2.0 * at.x - 1.0)).abs() < 1e-12);
            assert!((clip.y / clip.w - (1.0 - 2.0 * at.y)).abs() < 1e-12);
            assert!((-1.0..=1.0).contains(&(clip.z / clip.w)));
        }
    }

    #[test]
    fn zooming_keeps_what_is_under_the_pointer() {
        let mut camera = Camera::standard(View::Corner, &house(), 1.5);
        let ray = camera.ray(0.2, 0.7, 1.5);
        let under = ray.from + ray.along * (camera.distance / -ray.along.dot(&camera.axes().2));
        camera.zoom(0.5, Some(ray), 1e3);
        let at = camera.appears(&under, 1.5).unwrap();
        assert!((at - Point2::new(0.2, 0.7)).norm() < 1e-9, "{at}");
    }

    #[test]
    fn names_lead_back_to_their_views() {
        for view in View::ALL {
            assert_eq!(View::named(view.word()), Some(view));
        }
        assert_eq!(View::named("isometric"), None);
    }
}
