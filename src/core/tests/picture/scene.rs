//! Photos of invented buildings with their truth: a renderer that works out only the pixels round what is looked at, with
//! sun, shadow, texture, a lens, blur, noise, JPEG and a branch before the roof.

use crate::surface;
use eavewright_core::picture::Grey;
use eavewright_core::survey::sight::Sight;
use eavewright_core::survey::state::{Lens, Pose};
use image::codecs::jpeg::JpegEncoder;
use nalgebra::{Matrix3, Point3, Vector3};
use support::survey::random::Random;

pub struct Building {
    pub name: &'static str,
    /// Names and true places: some millimetres out of what was designed, as any building is.
    pub points: Vec<(&'static str, Point3<f64>)>,
    pub faces: Vec<(&'static str, Vec<&'static str>)>,
    /// Feet of walls from left to right seen from outside, with what stands over them from right to left.
    walls: Vec<Vec<Point3<f64>>>,
    pub size: f64,
}

impl Building {
    pub fn place(&self, name: &str) -> Point3<f64> {
        self.points.iter().find(|(known, _)| *known == name).unwrap().1
    }

    pub fn index(&self, name: &str) -> usize {
        self.points.iter().position(|(known, _)| *known == name).unwrap()
    }

    fn new(
        name: &'static str,
        seed: u64,
        designed: &[(&'static str, [f64; 3])],
        faces: &[(&'static str, &[&'static str])],
        walls: &[&[&'static str]],
    ) -> Self {
        let mut random = Random::new(seed);
        let points: Vec<(&str, Point3<f64>)> = designed
            .iter()
            .map(|(name, at)| {
                let off = Vector3::new(random.normal(), random.normal(), random.normal()) * 0.003;
                (*name, Point3::from(*at) + off)
            })
            .collect();
        let faces: Vec<(&str, Vec<&str>)> = faces.iter().map(|(name, ring)| (*name, ring.to_vec())).collect();
        let mut building = Self { name, points, faces, walls: Vec::new(), size: 0.0 };
        building.size = building.points.iter().map(|(_, at)| at.coords.xy().norm()).fold(0.0, f64::max);
        // A wall reaches down to the ground wherever its lower corners are named by `*`.
        building.walls = walls
            .iter()
            .map(|names| {
                let top: Vec<Point3<f64>> = names.iter().map(|name| building.place(name)).collect();
                let (left, right) = (top[0], top[1]);
                let foot = |at: Point3<f64>| Point3::new(at.x, at.y, 0.0);
                [vec![foot(left), foot(right)], top[1..].to_vec(), vec![left]].concat()
            })
            .collect();
        building
    }

    /// Hipped all round.
    pub fn hip() -> Self {
        let (long, deep, eave) = (7.4, 4.9, 2.35);
        let half = deep / 2.0;
        let top = eave + half * 40.0_f64.to_radians().tan();
        Self::new(
            "hip",
            11,
            &[
                ("E1", [0.0, 0.0, eave]),
                ("E2", [long, 0.0, eave]),
                ("E3", [long, deep, eave]),
                ("E4", [0.0, deep, eave]),
                ("R1", [half, half, top]),
                ("R2", [long - half, half, top]),
            ],
            &[
                ("south", &["E1", "E2", "R2", "R1"]),
                ("east", &["E2", "E3", "R2"]),
                ("north", &["E3", "E4", "R1", "R2"]),
                ("west", &["E4", "E1", "R1"]),
            ],
            &[&["E1", "E2"], &["E2", "E3"], &["E3", "E4"], &["E4", "E1"]],
        )
    }

    /// Two slopes between gables.
    pub fn gable() -> Self {
        let (long, deep, eave) = (6.0, 4.2, 2.3);
        let half = deep / 2.0;
        let top = eave + half * 35.0_f64.to_radians().tan();
        Self::new(
            "gable",
            12,
            &[
                ("E1", [0.0, 0.0, eave]),
                ("E2", [long, 0.0, eave]),
                ("E3", [long, deep, eave]),
                ("E4", [0.0, deep, eave]),
                ("R1", [0.0, half, top]),
                ("R2", [long, half, top]),
            ],
            &[("south", &["E1", "E2", "R2", "R1"]), ("north", &["E3", "E4", "R1", "R2"])],
            &[&["E1", "E2"], &["E2", "E3", "R2"], &["E3", "E4"], &["E4", "E1", "R1"]],
        )
    }

    /// A gabled wing before a gabled body, with two valleys.
    pub fn wing() -> Self {
        let eave = 2.4;
        let slope = 38.0_f64.to_radians().tan();
        Self::new(
            "wing",
            13,
            &[
                ("E1", [0.0, 0.0, eave]),
                ("V1", [5.0, 0.0, eave]),
                ("W1", [5.0, -3.0, eave]),
                ("W2", [8.0, -3.0, eave]),
                ("V2", [8.0, 0.0, eave]),
                ("E3", [8.0, 5.0, eave]),
                ("E4", [0.0, 5.0, eave]),
                ("R1", [0.0, 2.5, eave + 2.5 * slope]),
                ("R2", [8.0, 2.5, eave + 2.5 * slope]),
                ("RW", [6.5, -3.0, eave + 1.5 * slope]),
                ("V", [6.5, 1.5, eave + 1.5 * slope]),
            ],
            &[
                ("south", &["E1", "V1", "V", "V2", "R2", "R1"]),
                ("north", &["E3", "E4", "R1", "R2"]),
                ("wing west", &["W1", "RW", "V", "V1"]),
                ("wing east", &["RW", "W2", "V2", "V"]),
            ],
            &[
                &["E1", "V1"],
                &["V1", "W1"],
                &["W1", "W2", "RW"],
                &["W2", "V2"],
                &["V2", "E3", "R2"],
                &["E3", "E4"],
                &["E4", "E1", "R1"],
            ],
        )
    }

    /// Pairs of points with an edge between, each once.
    pub fn edges(&self) -> Vec<[usize; 2]> {
        let mut list = Vec::new();
        for (_, ring) in &self.faces {
            for (a, b) in ring.iter().zip(ring.iter().cycle().skip(1)) {
                let (a, b) = (self.index(a), self.index(b));
                let pair = [a.min(b), a.max(b)];
                if !list.contains(&pair) {
                    list.push(pair);
                }
            }
        }
        list
    }

    /// Newell area of a face, square metres.
    pub fn area(&self, face: usize) -> f64 {
        let ring: Vec<Point3<f64>> = self.faces[face].1.iter().map(|name| self.place(name)).collect();
        eavewright_core::base::polygon::vector_area(&ring).norm()
    }
}

/// A camera somewhere, looking at something, a phone's lens.
pub fn sight(from: [f64; 3], to: [f64; 3], tilt: f64, size: [f64; 2], k1: f64) -> Sight {
    let (from, to) = (Point3::from(from), Point3::from(to));
    let ahead = (to - from).normalize();
    let right = ahead.cross(&Vector3::z()).normalize();
    let right = nalgebra::Rotation3::new(ahead * tilt) * right;
    let down = ahead.cross(&right);
    let rotation = Matrix3::from_rows(&[right.transpose(), down.transpose(), ahead.transpose()]);
    let focal = 0.76 * size[0];
    let lens = Lens { values: [focal.ln(), size[0] / 2.0 + 7.0, size[1] / 2.0 - 9.0, k1, 0.0] };
    Sight { pose: Pose { rotation, centre: from }, lens, size }
}

type V = [f64; 3];

fn dot(a: &V, b: &V) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: &V, b: &V) -> V {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn less(a: &V, b: &V) -> V {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn array(at: &Point3<f64>) -> V {
    [at.x, at.y, at.z]
}

/// A flat triangle of the building.
struct Part {
    a: V,
    u: V,
    v: V,
    normal: Vector3<f64>,
    foot: [Point3<f64>; 2],
    /// Which wall or, counted after them, which face.
    number: usize,
    is_roof: bool,
    high: f64,
}

impl Part {
    fn depth(&self, from: &V, along: &V) -> Option<f64> {
        let c = cross(along, &self.v);
        let determinant = dot(&self.u, &c);
        if determinant.abs() < 1e-12 {
            return None;
        }
        let to = less(from, &self.a);
        let first = dot(&to, &c) / determinant;
        if !(0.0..=1.0).contains(&first) {
            return None;
        }
        let other = cross(&to, &self.u);
        let second = dot(along, &other) / determinant;
        (second >= 0.0 && first + second <= 1.0).then(|| dot(&self.v, &other) / determinant)
    }
}

/// What spoils a photo.
#[derive(Clone, Copy, Debug)]
pub struct Spoilt {
    /// Standard deviation of a lens's and a processor's blur, pixels.
    pub blur: f64,
    /// Of the noise, grey levels.
    pub noise: f64,
    /// Of JPEG.
    pub quality: u8,
}

/// A branch across the picture: from, to, half its width, pixels.
pub type Branch = ([f64; 2], [f64; 2], f64);

pub struct Scene<'a> {
    building: &'a Building,
    parts: Vec<Part>,
    folds: Vec<[Point3<f64>; 2]>,
    sun: Vector3<f64>,
}

impl<'a> Scene<'a> {
    pub fn new(building: &'a Building) -> Self {
        let mut parts = Vec::new();
        let mut add = |ring: &[Point3<f64>], number: usize, is_roof: bool| {
            let foot = [ring[0], ring[1]];
            let high = ring.iter().skip(2).map(|at| at.z).fold(f64::INFINITY, f64::min);
            // Fans from a corner that sees all others: the second last of the body's south face of the wing, the first else.
            let hub = (0..ring.len()).find(|&hub| sees_all(ring, hub)).unwrap();
            for k in 1..ring.len() - 1 {
                let [a, b, c] = [0, k, k + 1].map(|step| ring[(hub + step) % ring.len()]);
                let normal = (b - a).cross(&(c - a)).normalize();
                let (a, u, v) = (array(&a), array(&Point3::from(b - a)), array(&Point3::from(c - a)));
                parts.push(Part { a, u, v, normal, foot, number, is_roof, high });
            }
        };
        for (number, wall) in building.walls.iter().enumerate() {
            add(wall, number, false);
        }
        for (number, (_, names)) in building.faces.iter().enumerate() {
            let ring: Vec<Point3<f64>> = names.iter().map(|name| building.place(name)).collect();
            add(&ring, building.walls.len() + number, true);
        }
        let lowest = building.points.iter().map(|(_, at)| at.z).fold(f64::INFINITY, f64::min) + 0.05;
        let is_high = |pair: &[usize; 2]| pair.iter().any(|&point| building.points[point].1.z > lowest);
        let ends = |pair: [usize; 2]| pair.map(|point| building.points[point].1);
        let folds = building.edges().into_iter().filter(is_high).map(ends).collect();
        Self { building, parts, folds, sun: Vector3::new(0.35, -0.62, 0.70).normalize() }
    }

    fn hit(&self, from: &V, along: &V) -> Option<(f64, &Part)> {
        let mut nearest: Option<(f64, &Part)> = None;
        for part in &self.parts {
            if let Some(depth) = part.depth(from, along)
                && depth > 1e-6
                && nearest.is_none_or(|(least, _)| depth < least)
            {
                nearest = Some((depth, part));
            }
        }
        nearest
    }

    /// Whether a camera sees a place of the roof.
    pub fn sees(&self, sight: &Sight, place: &Point3<f64>) -> bool {
        let way = place - sight.pose.centre;
        let length = way.norm();
        let along = array(&Point3::from(way / length));
        self.hit(&array(&sight.pose.centre), &along).is_none_or(|(depth, _)| depth > length - 0.01)
    }

    /// Brightness along a ray, linear, and what is hit.
    fn light(&self, from: &Point3<f64>, along: &Vector3<f64>, spread: f64) -> (f64, usize) {
        let hit = self.hit(&array(from), &array(&Point3::from(*along)));
        let ground = (along.z < -1e-9).then(|| -from.z / along.z);
        let (at, normal, colour, what) = match (hit, ground) {
            (Some((depth, part)), ground) if ground.is_none_or(|ground| depth < ground) => {
                let at = from + along * depth;
                (at, part.normal, self.colour(part, &at, spread * depth), part.number + 2)
            }
            (_, Some(depth)) if depth < 120.0 => {
                let at = from + along * depth;
                let colour = surface::ground(at.x, at.y, at.coords.xy().norm(), spread * depth);
                (at, Vector3::z(), colour, 1)
            }
            _ => return (grey(&surface::sky(along)), 0),
        };
        let facing = normal.dot(&self.sun).max(0.0);
        let start = array(&(at + normal * 1e-3));
        let lit = facing > 0.0 && self.hit(&start, &array(&Point3::from(self.sun))).is_none();
        let sun = if lit { surface::Light::new(2.5, 2.35, 2.1) * facing } else { surface::Light::zeros() };
        let sky = surface::Light::new(0.75, 0.85, 1.0) * (0.55 + 0.35 * normal.z);
        (grey(&colour.component_mul(&(sun + sky))), what)
    }

    fn colour(&self, part: &Part, at: &Point3<f64>, pixel: f64) -> surface::Light {
        let along = (part.foot[1] - part.foot[0]).normalize();
        let up = part.normal.cross(&along);
        let from = at - part.foot[0];
        let (x, y) = (from.dot(&along), from.dot(&up));
        if part.is_roof {
            let edge = self.folds.iter().map(|fold| surface::off(at, fold)).fold(f64::INFINITY, f64::min);
            surface::shingles(x, y, edge, pixel)
        } else {
            let wide = (part.foot[1] - part.foot[0]).norm();
            surface::wall(x, y, wide, part.number, part.high, pixel)
        }
    }

    /// The photo, worked out within `about` pixels of the true edges and of the places given; grey elsewhere.
    pub fn photo(
        &self,
        sight: &Sight,
        spoilt: Spoilt,
        branches: &[Branch],
        places: &[[f64; 2]],
        about: f64,
        seed: u64,
    ) -> Grey {
        let mut random = Random::new(seed);
        let [wide, high] = sight.size.map(|side| side as usize);
        let mut wanted = vec![false; wide * high];
        let mut want = |at: [f64; 2], reach: f64| {
            let range = |middle: f64, most: usize| {
                ((middle - reach).max(0.0) as usize)..((middle + reach).clamp(0.0, most as f64) as usize)
            };
            for row in range(at[1], high) {
                for column in range(at[0], wide) {
                    wanted[row * wide + column] = true;
                }
            }
        };
        let of_roof = self.building.edges().into_iter().map(|pair| pair.map(|point| self.building.points[point].1));
        let foot = |at: Point3<f64>| Point3::new(at.x, at.y, 0.0);
        let of_walls = self.building.walls.iter().map(|wall| [wall[0], wall[wall.len() - 1]]);
        for ends in of_roof.chain(of_walls.map(|[a, b]| [foot(a), b])) {
            let steps = 200;
            for step in 0..=steps {
                let place = ends[0] + (ends[1] - ends[0]) * (f64::from(step) / f64::from(steps));
                if let Some(at) = sight.pixel(&place).filter(|_| self.sees(sight, &place)) {
                    want([at.x, at.y], about);
                }
            }
        }
        for &place in places {
            want(place, 46.0);
        }
        let mut values = vec![f32::NAN; wide * high];
        for row in 0..high {
            for column in 0..wide {
                if wanted[row * wide + column] {
                    values[row * wide + column] = self.pixel(sight, [column, row], branches) as f32;
                }
            }
        }
        let blurred = blur(&values, wide, spoilt.blur);
        let bytes: Vec<u8> = blurred
            .iter()
            .map(|&value| {
                if value.is_nan() {
                    return 120;
                }
                let stored = 255.0 * f64::from(value).clamp(0.0, 1.0).powf(1.0 / 2.2) + spoilt.noise * random.normal();
                stored.round().clamp(0.0, 255.0) as u8
            })
            .collect();
        let mut jpeg = Vec::new();
        let (width, height) = (u32::try_from(wide).unwrap(), u32::try_from(high).unwrap());
        JpegEncoder::new_with_quality(&mut jpeg, spoilt.quality)
            .encode(&bytes, width, height, image::ExtendedColorType::L8)
            .unwrap();
        if let Ok(folder) = std::env::var("PICTURES") {
            std::fs::write(format!("{folder}/{}-{seed}.jpg", self.building.name), &jpeg).unwrap();
        }
        let read = image::load_from_memory(&jpeg).unwrap().into_luma8();
        Grey::new([wide, high], read.into_raw()).unwrap()
    }

    fn pixel(&self, sight: &Sight, pixel: [usize; 2], branches: &[Branch]) -> f64 {
        let spread = 1.0 / sight.lens.focal();
        let sample = |count: usize, kinds: &mut Vec<usize>| {
            let mut sum = 0.0;
            for k in 0..count * count {
                let part = |k: usize| (k as f64 + 0.5) / count as f64;
                let at = [pixel[0] as f64 + part(k % count), pixel[1] as f64 + part(k / count)];
                if let Some(leaf) = leaf(at, branches) {
                    sum += leaf;
                    kinds.push(usize::MAX);
                    continue;
                }
                let ray = sight.lens.ray(at);
                let along = sight.pose.rotation.tr_mul(&ray).normalize();
                let (light, kind) = self.light(&sight.pose.centre, &along, spread);
                sum += light;
                kinds.push(kind);
            }
            sum / (count * count) as f64
        };
        let mut kinds = Vec::with_capacity(4);
        let quick = sample(2, &mut kinds);
        let mean = if kinds.iter().all(|kind| *kind == kinds[0]) { quick } else { sample(5, &mut kinds) };
        mean * 0.95
    }
}

fn sees_all(ring: &[Point3<f64>], hub: usize) -> bool {
    let normal = eavewright_core::base::polygon::vector_area(ring).normalize();
    let at = |step: usize| ring[(hub + step) % ring.len()];
    (1..ring.len() - 1).all(|k| (at(k) - at(0)).cross(&(at(k + 1) - at(0))).dot(&normal) > 1e-9)
}

fn grey(light: &surface::Light) -> f64 {
    0.30 * light.x + 0.59 * light.y + 0.11 * light.z
}

/// How bright a branch is at a pixel; `None` beside it.
fn leaf(at: [f64; 2], branches: &[Branch]) -> Option<f64> {
    branches.iter().find_map(|(from, to, half)| {
        let way = [to[0] - from[0], to[1] - from[1]];
        let length = way[0].hypot(way[1]);
        let off = [at[0] - from[0], at[1] - from[1]];
        let along = (off[0] * way[0] + off[1] * way[1]) / length;
        let across = (off[0] * way[1] - off[1] * way[0]) / length;
        let ragged = half * (0.6 + 0.8 * surface::noise(along / 9.0, across / 9.0, 31));
        ((0.0..length).contains(&along) && across.abs() < ragged)
            .then(|| 0.02 + 0.12 * surface::noise(along / 4.0, across / 4.0, 32))
    })
}

/// A Gaussian blur that takes only what was worked out.
fn blur(values: &[f32], wide: usize, sigma: f64) -> Vec<f32> {
    let reach = (3.0 * sigma).ceil() as i64;
    let weights: Vec<f32> = (-reach..=reach).map(|k| (-0.5 * (k as f64 / sigma).powi(2)).exp() as f32).collect();
    let pass = |values: &[f32], step: i64| -> Vec<f32> {
        (0..values.len() as i64)
            .map(|at| {
                if values[at as usize].is_nan() {
                    return f32::NAN;
                }
                let (mut sum, mut weight) = (0.0, 0.0);
                for (k, w) in weights.iter().enumerate() {
                    let from = at + (k as i64 - reach) * step;
                    if let Some(value) = usize::try_from(from).ok().and_then(|from| values.get(from))
                        && !value.is_nan()
                    {
                        sum += w * value;
                        weight += w;
                    }
                }
                sum / weight
            })
            .collect()
    };
    pass(&pass(values, 1), wide as i64)
}
