//! An invented outbuilding, the two cameras that look at it and the tapes taken of it: the truth behind the example
//! `examples/apple_store.toml` and its photos.
#![allow(dead_code)]

pub mod render;
pub mod surface;
pub mod theory;

use eavewright::survey::sight::Sight;
use eavewright::survey::state::{Lens, Pose};
use nalgebra::{Matrix3, Point3, Vector3};
use support::survey::random::Random;

/// Names of the eaves' corners, of the walls' feet below them, of the ridge's ends.
pub const NAMES: [&str; 10] = ["E1", "E2", "E3", "E4", "a", "b", "c", "d", "R1", "R2"];
/// Faces in the order of their points.
pub const FACES: [(&str, &[&str]); 4] = [
    ("south", &["E1", "E2", "R2", "R1"]),
    ("east", &["E2", "E3", "R2"]),
    ("north", &["E3", "E4", "R1", "R2"]),
    ("west", &["E4", "E1", "R1"]),
];
/// Tapes a person on the ground can take, with how each is drawn: sigma 3 mm + 0.5 mm/m.
pub const TAPES: [[&str; 2]; 5] = [["a", "b"], ["b", "c"], ["c", "d"], ["a", "E1"], ["c", "E3"]];
/// Standard deviation of a careful person's marks, pixels.
pub const MARK_SIGMA: f64 = 1.5;
/// Size of the photos, pixels.
pub const SIZE: [u32; 2] = [1600, 1200];
/// What the phone states: 26 mm beside a frame of 36 x 24 mm.
pub const EQUIVALENT_FOCAL: u16 = 26;
const SEED: u64 = 20_260_501;

/// The true place of a point. The outline is 7.40 x 4.90 m, the pitch 40 degrees; like any real building it is some
/// millimetres out of true everywhere, and its north-east corner 30 mm out of square.
pub fn place(name: &str) -> Point3<f64> {
    let (long, deep, eave) = (7.40, 4.90, 2.35);
    let half = deep / 2.0;
    let ridge = eave + half * 40.0_f64.to_radians().tan();
    let designed = match name {
        "E1" => [0.0, 0.0, eave],
        "E2" => [long, 0.0, eave],
        "E3" => [long + 0.03, deep, eave],
        "E4" => [0.0, deep, eave],
        "a" => [0.0, 0.0, 0.0],
        "b" => [long, 0.0, 0.0],
        "c" => [long + 0.03, deep, 0.0],
        "d" => [0.0, deep, 0.0],
        "R1" => [half, half, ridge],
        "R2" => [long - half, half, ridge],
        other => panic!("no point {other}"),
    };
    let index = NAMES.iter().position(|known| *known == name).unwrap();
    let mut random = Random::new(SEED + index as u64);
    let off = Vector3::new(random.normal(), random.normal(), random.normal()) * 0.004;
    // The datum and the direction of x are the file's own: E1 stands at its origin in plan.
    Point3::from(designed) + if name == "E1" { Vector3::new(0.0, 0.0, off.z) } else { off }
}

/// The two photos: where the phone stood (eye height), what its middle points at, and its one lens.
pub fn sights() -> [Sight; 2] {
    let lens = Lens { values: [1236.0_f64.ln(), 808.0, 589.0, -0.028, 0.0] };
    let sight = |from: [f64; 3], to: [f64; 3], tilt: f64| {
        let (from, to) = (Point3::from(from), Point3::from(to));
        let ahead = (to - from).normalize();
        let right = ahead.cross(&Vector3::z()).normalize();
        // Nobody holds a phone quite level.
        let right = nalgebra::Rotation3::new(ahead * tilt) * right;
        let down = ahead.cross(&right);
        let rotation = Matrix3::from_rows(&[right.transpose(), down.transpose(), ahead.transpose()]);
        Sight { pose: Pose { rotation, centre: from }, lens, size: SIZE.map(f64::from) }
    };
    [sight([12.1, -7.4, 1.63], [4.1, 1.9, 2.05], 0.021), sight([-4.9, 11.6, 1.71], [3.3, 3.0, 2.00], -0.014)]
}

/// Which points each photo shows.
pub const SHOWN: [&[&str]; 2] =
    [&["E1", "E2", "E3", "a", "b", "c", "R1", "R2"], &["E3", "E4", "E1", "c", "d", "a", "R1", "R2"]];

/// The marks of a photo, to a tenth of a pixel: the true pixels with a careful person's error.
pub fn marks(photo: usize) -> Vec<(&'static str, [f64; 2])> {
    let mut random = Random::new(SEED + 100 + photo as u64);
    let sight = sights()[photo];
    SHOWN[photo]
        .iter()
        .map(|name| {
            let at = sight.pixel(&place(name)).unwrap();
            let tenth = |v: f64| (10.0 * v).round() / 10.0;
            let error = [random.normal(), random.normal()].map(|n| MARK_SIGMA * n);
            (*name, [tenth(at.x + error[0]), tenth(at.y + error[1])])
        })
        .collect()
}

/// The tapes, read to the millimetre.
pub fn tapes() -> Vec<([&'static str; 2], f64)> {
    let mut random = Random::new(SEED + 200);
    TAPES
        .iter()
        .map(|ends| {
            let length = (place(ends[1]) - place(ends[0])).norm();
            let read = length + (0.003 + 0.0005 * length) * random.normal();
            (*ends, (1000.0 * read).round() / 1000.0)
        })
        .collect()
}

/// Area of a face's true polygon, square metres.
pub fn area(face: &str) -> f64 {
    let (_, points) = FACES.iter().find(|(name, _)| *name == face).unwrap();
    let ring: Vec<Point3<f64>> = points.iter().map(|name| place(name)).collect();
    eavewright::base::polygon::vector_area(&ring).norm()
}
