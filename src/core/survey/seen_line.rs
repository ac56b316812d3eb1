//! A place on a straight edge as a photo shows it: how far it lies from the edge, projected and bent by the lens.
//!
//! The edge runs through two points and on beyond them: any part of it that is seen counts. The distance is that of the
//! mark from the nearest place of the projected edge. As that place moves along the edge the distance does not change to
//! first order, so its derivatives are those of a mark on the edge there, across the edge.

use super::scalar::Scalar;
use nalgebra::{Matrix3, Point3, Vector2, Vector3};

/// Steps to the nearest place; the first comes within the lens's bending of it.
const STEPS: usize = 12;
/// A step along the edge of less than this part of it is none.
const STILL: f64 = 1e-14;

/// What an edge is seen with, and its two points.
#[derive(Clone, Copy, Debug)]
pub(super) struct View<S> {
    pub rotation: [[S; 3]; 3],
    pub centre: [S; 3],
    /// f, cx, cy, k1, k2.
    pub lens: [S; 5],
    pub ends: [[S; 3]; 2],
}

/// A place of the edge in the photo.
pub(super) struct Seen<S> {
    /// Pixels.
    pub pixel: [S; 2],
    /// The unit vector across the edge there.
    pub across: [S; 2],
}

impl<S: Scalar> View<S> {
    fn in_camera(&self, end: usize) -> [S; 3] {
        let d = [0, 1, 2].map(|k| self.ends[end][k] - self.centre[k]);
        self.rotation.map(|row| row[0] * d[0] + row[1] * d[1] + row[2] * d[2])
    }

    /// The place at a share of the way from the first point to the second; `None` behind the camera.
    pub fn at(&self, share: f64) -> Option<Seen<S>> {
        let [a, b] = [0, 1].map(|end| self.in_camera(end));
        let way = [0, 1, 2].map(|k| b[k] - a[k]);
        let q = [0, 1, 2].map(|k| a[k] + S::constant(share) * way[k]);
        if q[2].value() <= 0.0 {
            return None;
        }
        let [f, cx, cy, k1, k2] = self.lens;
        let (x, y) = (q[0] / q[2], q[1] / q[2]);
        let (dx, dy) = ((way[0] - x * way[2]) / q[2], (way[1] - y * way[2]) / q[2]);
        let square = x * x + y * y;
        let gain = S::constant(1.0) + square * (k1 + square * k2);
        let two = S::constant(2.0);
        let bend = two * (k1 + two * k2 * square) * (x * dx + y * dy);
        let along = [f * (gain * dx + bend * x), f * (gain * dy + bend * y)];
        let length = (along[0] * along[0] + along[1] * along[1]).sqrt();
        Some(Seen { pixel: [cx + f * gain * x, cy + f * gain * y], across: [-along[1] / length, along[0] / length] })
    }

    fn values(&self) -> View<f64> {
        View {
            rotation: self.rotation.map(|row| row.map(S::value)),
            centre: self.centre.map(S::value),
            lens: self.lens.map(S::value),
            ends: self.ends.map(|end| end.map(S::value)),
        }
    }

    /// Distance of the edge from a pixel, signed; NaN where it lies behind the camera.
    pub fn distance(&self, mark: [f64; 2]) -> S {
        let seen = self.values().nearest(mark).and_then(|share| self.at(share));
        seen.map_or(S::constant(f64::NAN), |seen| {
            let off = [0, 1].map(|k| seen.pixel[k] - S::constant(mark[k]));
            off[0] * seen.across[0] + off[1] * seen.across[1]
        })
    }
}

impl View<f64> {
    /// The share of the way at which the projected edge comes nearest to a pixel; `None` behind the camera.
    pub fn nearest(&self, mark: [f64; 2]) -> Option<f64> {
        let [a, b] = [0, 1].map(|end| Vector3::from(self.in_camera(end)));
        let way = b - a;
        let [f, cx, cy, k1, k2] = self.lens;
        let lens = super::state::Lens { values: [f.ln(), cx, cy, k1, k2] };
        let ray = lens.ray(mark);
        // Nearest to the ray in the picture that the lens does not bend.
        let normal = a.cross(&b);
        let across = normal.xy();
        let foot = ray - Vector3::new(across.x, across.y, 0.0) * (normal.dot(&ray) / across.norm_squared());
        let turn = way.cross(&foot);
        let mut share = -a.cross(&foot).dot(&turn) / turn.norm_squared();
        for _ in 0..STEPS {
            let q = a + way * share;
            if !share.is_finite() || q.z <= 0.0 {
                return None;
            }
            let at = q.xy() / q.z;
            let move_at = (way.xy() - at * way.z) / q.z;
            let gain = lens.gain(at.norm_squared());
            let bend = 2.0 * (k1 + 2.0 * k2 * at.norm_squared());
            let along = (move_at * gain + at * (bend * at.dot(&move_at))) * f;
            let off = Vector2::new(mark[0] - cx, mark[1] - cy) - at * (f * gain);
            let step = off.dot(&along) / along.norm_squared();
            share += step;
            if step.abs() <= STILL * (1.0 + share.abs()) {
                break;
            }
        }
        let ahead = (a + way * share).z > 0.0;
        ahead.then_some(share)
    }
}

/// The edge as a state has it.
pub(super) fn view(rotation: &Matrix3<f64>, centre: &Point3<f64>, lens: [f64; 5], ends: [Point3<f64>; 2]) -> View<f64> {
    View {
        rotation: [0, 1, 2].map(|r| [0, 1, 2].map(|c| rotation[(r, c)])),
        centre: [centre.x, centre.y, centre.z],
        lens: [lens[0].exp(), lens[1], lens[2], lens[3], lens[4]],
        ends: ends.map(|end| [end.x, end.y, end.z]),
    }
}
