//! Outlines out of bytes: what the kernel answers covers its outline once, and its solid is closed.
//!
//! A side takes six bytes: how far its start lies from the last corner (two steps of 1/8 m and a fine part in mm), what
//! rises from it and how steeply. Most such outlines cross themselves and are refused; those that don't are full of ties,
//! parallels and slivers. Areas are worked out here from the corners, apart from the program's own sums.

use eavewright::base::tolerance;
use eavewright::base::units::Pitch;
use eavewright::outline::{Footprint, Ring, Role, Side, TakesOver};
use eavewright::roof::model::solid;
use eavewright::roof::{self, Options};
use nalgebra::Point2;
use std::collections::HashMap;

/// Degrees of the slopes; most roofs have one or two of them.
const PITCHES: [f64; 8] = [30.0, 30.0, 30.0, 45.0, 22.5, 15.0, 60.0, 33.7];

fn footprint(bytes: &[u8]) -> Option<Footprint> {
    let mut place = Point2::new(0.0, 0.0);
    let mut sides = Vec::new();
    for (index, side) in bytes.chunks_exact(6).take(40).enumerate() {
        let step = |byte: u8, fine: u8| {
            f64::from(byte.cast_signed()) / 8.0 + if fine < 8 { f64::from(fine) * 1e-3 } else { 0.0 }
        };
        if index > 0 {
            place.x += step(side[0], side[2]);
            place.y += step(side[1], side[3]);
        }
        let pitch = Pitch::from_degrees(PITCHES[usize::from(side[5] % 8)]).ok()?;
        let role = match side[4] % 16 {
            0 | 1 => Role::Verge,
            2 => Role::Eave {
                pitch,
                breaks: vec![(0.5 + f64::from(side[5] / 8) / 16.0, Pitch::from_degrees(20.0).ok()?)],
            },
            3 => Role::HalfHip { hip_from: f64::from(side[5]) / 64.0, pitch },
            4 => Role::Gablet { pitch, verge_from: f64::from(side[5]) / 64.0 },
            5 => Role::Abutment,
            _ => Role::Eave { pitch, breaks: Vec::new() },
        };
        sides.push(Side { name: format!("S{index}").into(), start: place, height: 0.0, role });
    }
    (sides.len() >= 3).then(|| Footprint {
        name: "b".into(),
        height: 0.0,
        rings: vec![Ring { sides }],
        walls: None,
        take_over: if bytes.len() % 6 == 1 { TakesOver::Steeper } else { TakesOver::Flatter },
    })
}

/// Twice the area within a ring, positive anticlockwise.
fn doubled(ring: impl Iterator<Item = (f64, f64)>) -> f64 {
    let corners: Vec<(f64, f64)> = ring.collect();
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum()
}

pub fn check(bytes: &[u8]) {
    let Some(footprint) = footprint(bytes) else { return };
    let Ok(roof) = roof::solve(std::slice::from_ref(&footprint), &Options::default()) else { return };
    let outline = doubled(footprint.rings[0].sides.iter().map(|side| (side.start.x, side.start.y))).abs();
    let mut covered = 0.0;
    for (_, face) in roof.roof_faces() {
        covered += doubled(roof.ring(face).into_iter().map(|corner| (corner.x, corner.y))).abs();
        for hole in roof.holes(face) {
            covered -= doubled(hole.into_iter().map(|corner| (corner.x, corner.y))).abs();
        }
    }
    // Slivers along a side that are thinner than the tolerance may go with what is contracted.
    let ring: Vec<Point2<f64>> = footprint.rings[0].sides.iter().map(|side| side.start).collect();
    let around: f64 = ring.iter().zip(ring.iter().cycle().skip(1)).map(|(from, to)| (to - from).norm()).sum();
    let extent = (0..2).map(|axis| {
        let all = || ring.iter().map(|corner| corner[axis]);
        all().fold(f64::NEG_INFINITY, f64::max) - all().fold(f64::INFINITY, f64::min)
    });
    let within = tolerance::default_for(extent.fold(0.0, f64::max)) * around;
    assert!((covered - outline).abs() / 2.0 <= within, "faces cover {covered}, the outline {outline} (both doubled)");
    let solid = solid::build(&roof, -3.0);
    let mut runs: HashMap<(u32, u32), i32> = HashMap::new();
    for [a, b, c] in &solid.triangles {
        for (from, to) in [(a, b), (b, c), (c, a)] {
            *runs.entry((*from, *to)).or_default() += 1;
        }
    }
    for (&(from, to), count) in &runs {
        assert_eq!(runs.get(&(to, from)), Some(count), "the solid is open along {from}-{to}");
    }
}
