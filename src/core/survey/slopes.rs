//! The derivatives of observations, gathered by the numbers of the unknowns.

use super::state::{Layout, State};
use nalgebra::{Vector2, Vector3};

/// The level vector between two places, its length and its unit vector (zero where they coincide).
pub(super) fn level(state: &State, a: usize, b: usize) -> (Vector2<f64>, f64, Vector2<f64>) {
    let d = (state.places[b] - state.places[a]).xy();
    let length = d.norm();
    (d, length, if length > 0.0 { d / length } else { Vector2::zeros() })
}

pub(super) fn left(v: Vector2<f64>) -> Vector2<f64> {
    Vector2::new(-v.y, v.x)
}

/// Gathers the derivatives of one equation.
pub(super) struct Slopes<'a> {
    pub layout: &'a Layout,
    pub scale: f64,
    pub out: &'a mut Vec<(usize, f64)>,
}

impl Slopes<'_> {
    pub(super) fn add(&mut self, column: Option<usize>, slope: f64) {
        // A zero by chance is kept: the pattern of the normal matrix must not change from turn to turn.
        if let Some(column) = column {
            self.out.push((column, slope * self.scale));
        }
    }

    pub(super) fn place(&mut self, place: usize, slope: &Vector3<f64>) {
        let columns = self.layout.places[place];
        for k in 0..3 {
            self.add(columns[k], slope[k]);
        }
    }

    /// Level measures have nothing to do with heights, so these are not tied to each other by them.
    pub(super) fn plan(&mut self, place: usize, slope: &Vector2<f64>) {
        let columns = self.layout.places[place];
        for k in 0..2 {
            self.add(columns[k], slope[k]);
        }
    }
}

/// How far the second place lies off the ray from the first, turned against the line through the others, and the
/// derivatives.
pub(super) fn turned_slopes(
    state: &State,
    [from, to, a, b]: [usize; 4],
    direction: Vector2<f64>,
    slopes: &mut Slopes<'_>,
) -> f64 {
    let (_, length, unit) = level(state, a, b);
    let (d, _, _) = level(state, from, to);
    let ray = unit * direction.x + left(unit) * direction.y;
    // As the line turns so does the ray, away from a place ahead on it.
    let swing = if length > 0.0 { left(unit) * (ray.dot(&d) / length) } else { Vector2::zeros() };
    slopes.plan(to, &left(ray));
    slopes.plan(from, &-left(ray));
    slopes.plan(a, &swing);
    slopes.plan(b, &-swing);
    ray.perp(&d)
}

/// The pitch, and `sign` times its derivatives.
pub(super) fn pitch_slopes(state: &State, plane: usize, sign: f64, slopes: &mut Slopes<'_>) -> f64 {
    let p = &state.planes[plane];
    let run = p.normal.xy().norm();
    let first = slopes.layout.planes[plane];
    // A level plane has no direction to turn about.
    if run > 0.0 {
        for (k, t) in p.tangents().iter().enumerate() {
            let d_run = p.normal.xy().dot(&t.xy()) / run;
            slopes.add(Some(first + k), sign * (p.normal.z * d_run - run * t.z));
        }
    }
    run.atan2(p.normal.z)
}

/// The central projection, with two radial coefficients, of a place given by shares of others, and the derivatives of that
/// pixel along a direction of the picture.
pub(super) fn pixel_slopes(
    state: &State,
    (pose, lens): (usize, usize),
    place: &[(usize, f64)],
    across: [f64; 2],
    slopes: &mut Slopes<'_>,
) -> [f64; 2] {
    let camera = &state.poses[pose];
    let from_camera: Vector3<f64> =
        place.iter().map(|&(place, share)| (state.places[place] - camera.centre) * share).sum();
    let q = camera.rotation * from_camera;
    if q.z <= 0.0 {
        return [f64::NAN; 2];
    }
    let (x, y) = (q.x / q.z, q.y / q.z);
    let [_, cx, cy, k1, k2] = state.lenses[lens].values;
    let f = state.lenses[lens].focal();
    let r2 = x * x + y * y;
    let gain = state.lenses[lens].gain(r2);
    // Twice the derivative of the gain by r2.
    let bend = 2.0 * (k1 + 2.0 * k2 * r2);
    let own = across[0] * x + across[1] * y;
    let (d_x, d_y) = (f * (gain * across[0] + bend * x * own), f * (gain * across[1] + bend * y * own));
    // By the place in the camera's frame.
    let d_q = Vector3::new(d_x, d_y, -(d_x * x + d_y * y)) / q.z;
    let d_place = camera.rotation.tr_mul(&d_q);
    for &(place, share) in place {
        slopes.place(place, &(d_place * share));
    }
    if let Some(first) = slopes.layout.poses[pose] {
        // A small turn w moves q by w × q.
        let d_turn = q.cross(&d_q);
        for k in 0..3 {
            slopes.add(Some(first + k), d_turn[k]);
            slopes.add(Some(first + 3 + k), -d_place[k]);
        }
    }
    let columns = slopes.layout.lenses[lens];
    slopes.add(columns[0], f * gain * own);
    for axis in 0..2 {
        // The zero of a mark is no entry of the normal matrix.
        if across[axis] != 0.0 {
            slopes.add(columns[1 + axis], across[axis]);
        }
    }
    slopes.add(columns[3], f * r2 * own);
    slopes.add(columns[4], f * r2 * r2 * own);
    [cx + f * gain * x, cy + f * gain * y]
}
