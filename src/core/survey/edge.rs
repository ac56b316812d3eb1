//! A straight edge in a photo of which only the direction is known: plumb, or level along a wall. All edges of one direction
//! run to one vanishing point; two places of an edge and its vanishing point lie on one line of the picture, once the lens's
//! bending is undone. So such edges tell how the camera was turned, and where they run to two directions aslant its focal
//! length (B. Caprile and V. Torre, "Using vanishing points for camera calibration", 1990).

use super::scalar::Scalar;
use super::slopes::Slopes;
use super::state::{EdgeDirection, State};
use nalgebra::{Matrix2, Vector2, Vector3};

/// Turns in which a lens's bending is undone, derivatives too.
const TURNS: usize = 60;

/// The ray of a pixel, with Z = 1.
fn ray<S: Scalar>([f, cx, cy, k1, k2]: [S; 5], pixel: [f64; 2]) -> [S; 3] {
    let bent = [(S::constant(pixel[0]) - cx) / f, (S::constant(pixel[1]) - cy) / f];
    let mut straight = bent;
    for _ in 0..TURNS {
        let square = straight[0] * straight[0] + straight[1] * straight[1];
        let gain = S::constant(1.0) + square * (k1 + square * k2);
        straight = bent.map(|value| value / gain);
    }
    [straight[0], straight[1], S::constant(1.0)]
}

fn cross<S: Scalar>(a: [S; 3], b: [S; 3]) -> [S; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

/// Distance of the second place from the line through the first and the vanishing point of `along`, pixels.
pub(super) fn off<S: Scalar>(rotation: &[[S; 3]; 3], lens: [S; 5], along: [S; 3], at: [[f64; 2]; 2]) -> S {
    let way = rotation.map(|row| row[0] * along[0] + row[1] * along[1] + row[2] * along[2]);
    let [a, b] = at.map(|pixel| ray(lens, pixel));
    let n = cross(a, way);
    let across = (n[0] * n[0] + n[1] * n[1]).sqrt();
    lens[0] * (n[0] * b[0] + n[1] * b[1] + n[2] * b[2]) / across
}

/// The same number at a state, with its derivatives.
pub(super) fn slopes(
    state: &State,
    (pose, lens): (usize, usize),
    way: EdgeDirection,
    at: [[f64; 2]; 2],
    slopes: &mut Slopes<'_>,
) -> f64 {
    let (camera, of_lens) = (&state.poses[pose], &state.lenses[lens]);
    let rise = way.rise.map_or(0.0, |level| state.levels[level]);
    let direction = camera.rotation * (way.along + Vector3::z() * rise);
    let f = of_lens.focal();
    let [a, b] = at.map(|pixel| of_lens.ray(pixel));
    let n = a.cross(&direction);
    let across = n.xy().norm();
    let off = n.dot(&b) / across;
    let level = Vector3::new(n.x, n.y, 0.0);
    let by_normal = (b / across - level * (off / (across * across))) * f;
    let by_direction = by_normal.cross(&a);
    if let Some(first) = slopes.layout.poses[pose] {
        let by_turn = direction.cross(&by_direction);
        for k in 0..3 {
            slopes.add(Some(first + k), by_turn[k]);
        }
    }
    if let Some(level) = way.rise {
        let by_rise = by_direction.dot(&camera.rotation.column(2));
        slopes.add(Some(slopes.layout.levels[level]), by_rise);
    }
    // By the rays, and by the lens through them.
    let columns = slopes.layout.lenses[lens];
    let mut by_lens = [off * f, 0.0, 0.0, 0.0, 0.0];
    for (ray, by_ray) in [(a, direction.cross(&by_normal)), (b, n * (f / across))] {
        let x = Vector2::new(ray.x, ray.y);
        let square = x.norm_squared();
        let [.., k1, k2] = of_lens.values;
        let bend = 2.0 * (k1 + 2.0 * k2 * square);
        let stretched = Matrix2::identity() * of_lens.gain(square) + x * x.transpose() * bend;
        // How the straight ray follows the bent one.
        let Some(undone) = stretched.try_inverse() else { return f64::NAN };
        let pull = undone.tr_mul(&by_ray.xy());
        by_lens[0] -= pull.dot(&x) * of_lens.gain(square);
        by_lens[1] -= pull.x / f;
        by_lens[2] -= pull.y / f;
        by_lens[3] -= pull.dot(&x) * square;
        by_lens[4] -= pull.dot(&x) * square * square;
    }
    for (column, slope) in columns.into_iter().zip(by_lens) {
        slopes.add(column, slope);
    }
    off * f
}
