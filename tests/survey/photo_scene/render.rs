//! A small renderer with a phone's geometry: each pixel's ray is bent back through the lens (focal length, principal
//! point, k1), so that a mark set on the picture obeys the very model that is adjusted. Sun, shadow, sky light, noise.

use super::surface::{self, Light};
use super::{FACES, place};
use eavewright::survey::sight::Sight;
use nalgebra::{Point3, Vector3};
use support::survey::random::Random;

/// A flat part of the building.
struct Part {
    corners: [Point3<f64>; 3],
    normal: Vector3<f64>,
    /// Along its foot, from the left seen from outside.
    foot: [Point3<f64>; 2],
    kind: Kind,
}

#[derive(Clone, Copy)]
enum Kind {
    Roof(usize),
    Wall(usize),
}

pub struct Scene {
    parts: Vec<Part>,
    /// Hips and ridge.
    folds: Vec<[Point3<f64>; 2]>,
    sun: Vector3<f64>,
}

impl Scene {
    pub fn new() -> Self {
        let mut parts = Vec::new();
        let mut add = |corners: [Point3<f64>; 3], foot: [Point3<f64>; 2], kind: Kind| {
            let normal = (corners[1] - corners[0]).cross(&(corners[2] - corners[0])).normalize();
            parts.push(Part { corners, normal, foot, kind });
        };
        for (index, (_, names)) in FACES.iter().enumerate() {
            let ring: Vec<Point3<f64>> = names.iter().map(|name| place(name)).collect();
            let foot = [ring[0], ring[1]];
            for k in 1..ring.len() - 1 {
                add([ring[0], ring[k], ring[k + 1]], foot, Kind::Roof(index));
            }
        }
        for (index, [a, b, top_b, top_a]) in
            [["a", "b", "E2", "E1"], ["b", "c", "E3", "E2"], ["c", "d", "E4", "E3"], ["d", "a", "E1", "E4"]]
                .iter()
                .enumerate()
        {
            let ring = [a, b, top_b, top_a].map(|name| place(name));
            add([ring[0], ring[1], ring[2]], [ring[0], ring[1]], Kind::Wall(index));
            add([ring[0], ring[2], ring[3]], [ring[0], ring[1]], Kind::Wall(index));
        }
        let fold = |a: &str, b: &str| [place(a), place(b)];
        let folds = vec![fold("E1", "R1"), fold("E2", "R2"), fold("E3", "R2"), fold("E4", "R1"), fold("R1", "R2")];
        Self { parts, folds, sun: Vector3::new(0.35, -0.62, 0.70).normalize() }
    }

    fn hit(&self, from: &Point3<f64>, along: &Vector3<f64>) -> Option<(f64, &Part)> {
        let mut nearest: Option<(f64, &Part)> = None;
        for part in &self.parts {
            let [a, b, c] = part.corners;
            let (u, v) = (b - a, c - a);
            let cross = along.cross(&v);
            let determinant = u.dot(&cross);
            if determinant.abs() < 1e-12 {
                continue;
            }
            let to = from - a;
            let first = to.dot(&cross) / determinant;
            let second = along.dot(&to.cross(&u)) / determinant;
            let depth = v.dot(&to.cross(&u)) / determinant;
            let inside = first >= 0.0 && second >= 0.0 && first + second <= 1.0;
            if inside && depth > 1e-6 && nearest.as_ref().is_none_or(|(least, _)| depth < *least) {
                nearest = Some((depth, part));
            }
        }
        nearest
    }

    /// Light that comes along a ray. `spread` is the width of a pixel at a distance of 1.
    fn light(&self, from: &Point3<f64>, along: &Vector3<f64>, spread: f64) -> Light {
        let ground = (along.z < -1e-9).then(|| -from.z / along.z);
        let hit = self.hit(from, along);
        let (at, normal, colour) = match (hit, ground) {
            (Some((depth, part)), ground) if ground.is_none_or(|ground| depth < ground) => {
                let at = from + along * depth;
                (at, part.normal, self.colour(part, &at, spread * depth))
            }
            (_, Some(depth)) if depth < 120.0 => {
                let at = from + along * depth;
                let (low, high) = (place("a"), place("c"));
                let out = |v: f64, low: f64, high: f64| (low - v).max(v - high).max(0.0);
                let away = out(at.x, low.x, high.x).hypot(out(at.y, low.y, high.y));
                let occluded = 0.55 + 0.45 * (away / 0.8).min(1.0);
                let haze = (depth / 120.0).powi(2);
                let colour = surface::ground(at.x, at.y, away, spread * depth) * occluded;
                (at, Vector3::z(), colour + (Light::new(0.35, 0.4, 0.42) - colour) * (0.6 * haze))
            }
            _ => return surface::sky(along),
        };
        let facing = normal.dot(&self.sun).max(0.0);
        let start = at + normal * 1e-3;
        let lit = facing > 0.0 && self.hit(&start, &self.sun).is_none();
        let sun = if lit { Light::new(2.5, 2.35, 2.1) * facing } else { Light::zeros() };
        let sky = Light::new(0.75, 0.85, 1.0) * (0.55 + 0.35 * normal.z);
        colour.component_mul(&(sun + sky))
    }

    fn colour(&self, part: &Part, at: &Point3<f64>, pixel: f64) -> Light {
        let along = (part.foot[1] - part.foot[0]).normalize();
        let up = part.normal.cross(&along);
        let from = at - part.foot[0];
        let (x, y) = (from.dot(&along), from.dot(&up));
        match part.kind {
            Kind::Roof(_) => {
                let edge = self.folds.iter().map(|fold| surface::off(at, fold)).fold(f64::INFINITY, f64::min);
                surface::shingles(x, y, edge, pixel)
            }
            Kind::Wall(face) => {
                let wide = (part.foot[1] - part.foot[0]).norm();
                surface::wall(x, y, wide, face, place("E1").z, pixel)
            }
        }
    }

    /// The photo: rows from the top, three bytes a pixel. `shrink` takes every so many pixels; `samples` squared rays a pixel.
    pub fn photo(&self, sight: &Sight, shrink: u32, samples: u32, seed: u64) -> (u32, u32, Vec<u8>) {
        let mut random = Random::new(seed);
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let (wide, high) = (sight.size[0] as u32 / shrink, sight.size[1] as u32 / shrink);
        let spread = f64::from(shrink) / sight.lens.focal();
        let mut pixels = Vec::with_capacity((3 * wide * high) as usize);
        for row in 0..high {
            for column in 0..wide {
                let mut sum = Light::zeros();
                for sub in 0..samples * samples {
                    let (i, j) = (sub % samples, sub / samples);
                    let at = |whole: u32, part: u32| {
                        f64::from(shrink) * (f64::from(whole) + (f64::from(part) + 0.5) / f64::from(samples))
                    };
                    let ray = sight.lens.ray([at(column, i), at(row, j)]);
                    let along = sight.pose.rotation.tr_mul(&ray).normalize();
                    sum += self.light(&sight.pose.centre, &along, spread);
                }
                let mean = sum / f64::from(samples * samples);
                // A lens darkens towards its corners; a sensor adds noise, more in the dark.
                let from_middle = [f64::from(column) / f64::from(wide) - 0.5, f64::from(row) / f64::from(high) - 0.5];
                let vignette = 1.0 - 0.25 * (from_middle[0].powi(2) + from_middle[1].powi(2)) / 0.5;
                for channel in 0..3 {
                    let value = (mean[channel] * vignette * 0.95).clamp(0.0, 1.0).powf(1.0 / 2.2);
                    let noisy = 255.0 * value + 1.6 * random.normal();
                    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                    pixels.push(noisy.round().clamp(0.0, 255.0) as u8);
                }
            }
        }
        (wide, high, pixels)
    }
}
