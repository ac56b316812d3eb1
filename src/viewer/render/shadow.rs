//! The roof's soft shadow on the ground, as a small grey picture made once a scene, and once a place of a section.

use nalgebra::{Point2, Point3, Vector3};

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
    /// Casts a closed body's triangles, three corners in a row each, along the light to the ground (scene height 0) and
    /// blurs what they cover. Of a body that is cut only what the `section` leaves casts: n · p <= d. The cut itself need
    /// not: a ray of light that passes it meets the body's own surface too. O(triangles + pixels covered).
    #[must_use]
    pub fn new(corners: &[[f32; 3]], section: Option<(Vector3<f64>, f64)>) -> Self {
        let sun = sun();
        let in_space = |[x, y, z]: [f32; 3]| Point3::new(f64::from(x), f64::from(y), f64::from(z));
        let cast =
            |place: &Point3<f64>| Point2::new(place.x - sun.x / sun.z * place.z, place.y - sun.y / sun.z * place.z);
        // Of the whole, whatever is cut away, so that the shadow keeps its place while the section moves.
        let all = corners.iter().map(|corner| cast(&in_space(*corner)));
        let low = all.clone().reduce(|a, b| a.inf(&b)).unwrap_or_default();
        let high = all.reduce(|a, b| a.sup(&b)).unwrap_or_default();
        let margin = 1.5;
        let middle = nalgebra::center(&low, &high);
        let size = (high - low).max() + 2.0 * margin;
        let low = [middle.x - size / 2.0, middle.y - size / 2.0];
        let pixel = size / SIDE as f64;
        let mut cover = vec![0.0_f64; SIDE * SIDE];
        for triangle in corners.chunks_exact(3) {
            let triangle: Vec<Point3<f64>> = triangle.iter().map(|corner| in_space(*corner)).collect();
            let left = match section {
                Some((normal, limit)) => kept(&triangle, &normal, limit),
                None => triangle,
            };
            let left: Vec<Point2<f64>> = left.iter().map(cast).collect();
            if left.len() > 2 {
                fill(&mut cover, &left, low, pixel);
            }
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

/// The part of a convex polygon that lies at n · p <= d.
fn kept(ring: &[Point3<f64>], normal: &Vector3<f64>, limit: f64) -> Vec<Point3<f64>> {
    let beyond = |place: &Point3<f64>| normal.dot(&place.coords) - limit;
    let mut kept = Vec::with_capacity(ring.len() + 1);
    for (index, from) in ring.iter().enumerate() {
        let to = &ring[(index + 1) % ring.len()];
        let (here, there) = (beyond(from), beyond(to));
        if here <= 0.0 {
            kept.push(*from);
        }
        if (here <= 0.0) != (there <= 0.0) {
            kept.push(from + (to - from) * (here / (here - there)));
        }
    }
    kept
}

/// Covers the pixels whose middles lie in a convex polygon, row by row.
fn fill(cover: &mut [f64], ring: &[Point2<f64>], low: [f64; 2], pixel: f64) {
    let ring: Vec<[f64; 2]> = ring.iter().map(|corner| [0, 1].map(|axis| (corner[axis] - low[axis]) / pixel)).collect();
    // The pixels whose middles lie from one value to another.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let pixels = |from: f64, to: f64| {
        let first = (from - 0.5).ceil().clamp(0.0, SIDE as f64);
        let last = ((to - 0.5).floor() + 1.0).clamp(first, SIDE as f64);
        first as usize..last as usize
    };
    let lowest = ring.iter().map(|corner| corner[1]).fold(f64::INFINITY, f64::min);
    let highest = ring.iter().map(|corner| corner[1]).fold(f64::NEG_INFINITY, f64::max);
    for row in pixels(lowest, highest) {
        let y = row as f64 + 0.5;
        let (mut from, mut to) = (f64::INFINITY, f64::NEG_INFINITY);
        for (index, a) in ring.iter().enumerate() {
            let b = ring[(index + 1) % ring.len()];
            if (a[1] <= y) != (b[1] <= y) {
                let x = a[0] + (b[0] - a[0]) * ((y - a[1]) / (b[1] - a[1]));
                (from, to) = (from.min(x), to.max(x));
            }
        }
        if from <= to {
            let columns = pixels(from, to);
            cover[row * SIDE..(row + 1) * SIDE][columns].fill(1.0);
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Triangles of an upright box.
    fn block(low: [f32; 3], high: [f32; 3]) -> Vec<[f32; 3]> {
        let corner = |bits: usize| [0, 1, 2].map(|axis| if bits >> axis & 1 == 1 { high[axis] } else { low[axis] });
        let sides = [[0, 2, 3, 1], [4, 5, 7, 6], [0, 1, 5, 4], [1, 3, 7, 5], [3, 2, 6, 7], [2, 0, 4, 6]];
        let two = |[a, b, c, d]: [usize; 4]| [a, b, c, a, c, d].map(corner);
        sides.into_iter().flat_map(two).collect()
    }

    fn darkness(shadow: &Shadow) -> f64 {
        shadow.pixels.iter().map(|grey| f64::from(*grey) / 255.0).sum::<f64>() * (shadow.size / SIDE as f64).powi(2)
    }

    #[test]
    fn a_block_casts_its_own_size_and_its_height() {
        // From above: its plan, and its height over the tangent of the sun's elevation times its width across the light.
        let shadow = Shadow::new(&block([0.0, 0.0, 0.0], [4.0, 4.0, 3.0]), None);
        let sun = sun();
        let (x, y) = (sun.x / sun.z, sun.y / sun.z);
        let expected = 16.0 + 3.0 * 4.0 * (x.abs() + y.abs());
        assert!((darkness(&shadow) - expected).abs() < 0.02 * expected, "{} against {expected}", darkness(&shadow));
    }

    #[test]
    fn what_a_section_cuts_away_casts_no_shadow() {
        let whole = block([0.0, 0.0, 0.0], [4.0, 4.0, 3.0]);
        let cut = Shadow::new(&whole, Some((Vector3::z(), 1.0)));
        let low = Shadow::new(&block([0.0, 0.0, 0.0], [4.0, 4.0, 1.0]), None);
        assert!((darkness(&cut) - darkness(&low)).abs() < 0.02 * darkness(&low));
        // It keeps its place.
        let shadow = Shadow::new(&whole, None);
        assert_eq!((cut.low, cut.size), (shadow.low, shadow.size));
        assert_eq!(Shadow::new(&whole, Some((Vector3::z(), 9.0))), shadow);
        assert_eq!(darkness(&Shadow::new(&whole, Some((Vector3::z(), -1.0)))), 0.0);
        let half = Shadow::new(&whole, Some((Vector3::x(), 2.0)));
        let alone = Shadow::new(&block([0.0, 0.0, 0.0], [2.0, 4.0, 3.0]), None);
        assert!((darkness(&half) - darkness(&alone)).abs() < 0.02 * darkness(&alone));
    }
}
