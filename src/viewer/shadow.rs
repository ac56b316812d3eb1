//! The roof's soft shadow on the ground, as a small grey picture made once a scene.

use crate::base::polygon;
use crate::roof::solid::Solid;
use nalgebra::{Point2, Vector3};

/// Pixels a side.
pub const SIDE: usize = 192;

/// The unit vector towards the light, fixed in the site so that form stays readable while one turns about it.
#[must_use]
pub fn sun() -> Vector3<f64> {
    let (azimuth, elevation) = (-118_f64.to_radians(), 50_f64.to_radians());
    Vector3::new(azimuth.cos() * elevation.cos(), azimuth.sin() * elevation.cos(), elevation.sin())
}

/// A picture of the shadow.
#[derive(Clone, Debug, PartialEq)]
pub struct Shadow {
    /// Low corner of the square it covers, metres in the scene.
    pub low: [f64; 2],
    /// Side of the square, metres.
    pub size: f64,
    /// 0 light, 255 dark; rows from high y to low y.
    pub pixels: Vec<u8>,
}

impl Shadow {
    /// Casts the solid's triangles along the light to the ground (scene height 0) and blurs what they cover. O(triangles
    /// + pixels covered).
    #[must_use]
    pub fn new(solid: &Solid, origin: &Vector3<f64>) -> Self {
        let sun = sun();
        let cast: Vec<Point2<f64>> = (solid.positions.iter())
            .map(|place| place - origin)
            .map(|place| Point2::new(place.x - sun.x / sun.z * place.z, place.y - sun.y / sun.z * place.z))
            .collect();
        let (mut low, mut high) = (Point2::origin(), Point2::origin());
        if let Some(first) = cast.first() {
            (low, high) = (*first, *first);
        }
        for place in &cast {
            (low, high) = (low.inf(place), high.sup(place));
        }
        let margin = 1.5;
        let middle = nalgebra::center(&low, &high);
        let size = (high - low).max() + 2.0 * margin;
        let low = [middle.x - size / 2.0, middle.y - size / 2.0];
        let pixel = size / SIDE as f64;
        let mut cover = vec![0.0_f64; SIDE * SIDE];
        for triangle in &solid.triangles {
            fill(&mut cover, &triangle.map(|corner| cast[corner as usize]), low, pixel);
        }
        // Three box blurs come close to a Gaussian.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let reach = ((0.28 / pixel).round() as usize).clamp(1, 24);
        for _ in 0..3 {
            blur(&mut cover, reach, 1, SIDE);
            blur(&mut cover, reach, SIDE, 1);
        }
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let grey = |value: &f64| (value * 255.0).round() as u8;
        let pixels = cover.chunks(SIDE).rev().flatten().map(grey).collect();
        Self { low, size, pixels }
    }
}

fn fill(cover: &mut [f64], triangle: &[Point2<f64>; 3], low: [f64; 2], pixel: f64) {
    let span = |axis: usize| {
        let values = triangle.map(|corner| (corner[axis] - low[axis]) / pixel);
        let first = values.into_iter().fold(f64::INFINITY, f64::min).floor().max(0.0);
        let last = values.into_iter().fold(0.0, f64::max).ceil().min(SIDE as f64);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let range = first as usize..last as usize;
        range
    };
    for row in span(1) {
        for column in span(0) {
            let place = Point2::new(low[0] + (column as f64 + 0.5) * pixel, low[1] + (row as f64 + 0.5) * pixel);
            if polygon::contains(triangle, &place) {
                cover[row * SIDE + column] = 1.0;
            }
        }
    }
}

/// A box blur along one direction: `step` between neighbours, `next` between lines.
fn blur(cover: &mut [f64], reach: usize, step: usize, next: usize) {
    let width = (2 * reach + 1) as f64;
    for line in 0..SIDE {
        let values: Vec<f64> = (0..SIDE).map(|i| cover[line * next + i * step]).collect();
        let mut sum: f64 = values[..reach].iter().sum();
        for i in 0..SIDE {
            sum += values.get(i + reach).copied().unwrap_or_default();
            if i > reach {
                sum -= values[i - reach - 1];
            }
            cover[line * next + i * step] = sum / width;
        }
    }
}
