//! Ten thousand outlines for the comparison with an outside library: 3 to 60 sides, pitches in degrees, metres to four
//! decimals; nothing that library is known not to answer (collinear sides of different pitch).

use super::generate::{Places, area, cells, subdivided, tangle};
use super::random::Random;
use eavewright_core::base::units::Pitch;
use eavewright_core::outline::footprint::{Footprint, Ring, Role, Side, TakesOver};
use nalgebra::Point2;

/// One outline: its rings and a pitch a side, degrees, 90 for a verge.
pub struct Outline {
    pub name: String,
    pub rings: Vec<Places>,
    pub pitches: Vec<Vec<f64>>,
}

fn rounded(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

fn steps(random: &mut Random, count: i64) -> Vec<f64> {
    let mut at = 0.0;
    let mut out = vec![0.0];
    for _ in 0..count {
        at += random.whole(5, 60) as f64 / 10.0;
        out.push(rounded(at));
    }
    out
}

/// Moves every place by up to `by` each way.
fn shaken(random: &mut Random, ring: &Places, by: f64) -> Places {
    ring.iter().map(|p| p.map(|c| c + by * (2.0 * random.share() - 1.0))).collect()
}

fn shape(random: &mut Random, kind: &str) -> Vec<Places> {
    match kind {
        "tangle" => {
            let corners = usize::try_from(random.whole(3, 45)).unwrap();
            vec![tangle(random, corners, 0.001, 20.0)]
        }
        "convex" => {
            let count = random.whole(3, 24);
            let mut angles: Vec<f64> = (0..count).map(|_| random.share() * std::f64::consts::TAU).collect();
            angles.sort_by(f64::total_cmp);
            angles.dedup_by(|a, b| (*a - *b).abs() < 0.02);
            let ring: Places = angles.iter().map(|a| [8.0 * a.cos(), 5.0 * a.sin()]).collect();
            vec![if ring.len() > 2 { ring } else { vec![[0.0, 0.0], [5.0, 0.0], [0.0, 4.0]] }]
        }
        _ => {
            let (w, h) = (random.whole(1, 9), random.whole(1, 7));
            let (xs, ys) = (steps(random, w), steps(random, h));
            let fill = 0.25 + 0.5 * random.share();
            cells(random, &xs, &ys, fill)
        }
    }
}

/// The outline of a seed.
pub fn outline(seed: u64) -> Outline {
    let mut random = Random::new(seed ^ 0x00C0_FFEE_0000_0000);
    let kind = random.pick(&["grid", "grid", "skew", "shaken", "nearly", "split", "tangle", "convex"]);
    let given = random.pick(&["one", "few", "each", "gables"]);
    let mut rings = shape(&mut random, kind);
    while rings.iter().map(Vec::len).sum::<usize>() > 60 {
        rings = shape(&mut random, kind);
    }
    let turn = if matches!(kind, "skew" | "nearly") { random.share() * std::f64::consts::TAU } else { 0.0 };
    let (sin, cos) = turn.sin_cos();
    let splits = kind == "split" && given == "one";
    for ring in &mut rings {
        if splits {
            *ring = subdivided(&mut random, ring, 0.3);
        }
        let by = match kind {
            "shaken" => 0.001,
            "nearly" => 0.0001,
            _ => 0.0,
        };
        *ring = shaken(&mut random, ring, by)
            .into_iter()
            .map(|p| [rounded(p[0] * cos - p[1] * sin), rounded(p[0] * sin + p[1] * cos)])
            .collect();
    }
    let one = random.pick(&[22.5, 30.0, 35.0, 45.0, 52.0]);
    let mut pitch = |hole: bool| match given {
        "few" => random.pick(&[25.0, 35.0, 45.0]),
        "each" => random.whole(1500, 6000) as f64 / 100.0,
        "gables" if !hole && random.chance(0.25) => 90.0,
        _ => one,
    };
    let mut pitches: Vec<Vec<f64>> =
        rings.iter().enumerate().map(|(r, ring)| ring.iter().map(|_| pitch(r > 0)).collect()).collect();
    if pitches[0].iter().all(|p| *p == 90.0) {
        pitches[0][0] = one;
    }
    debug_assert!(area(&rings[0]) > 0.0);
    Outline { name: format!("{seed}-{kind}-{given}"), rings, pitches }
}

/// The same as a footprint at height 0.
pub fn footprint(outline: &Outline) -> Footprint {
    let side = |r: usize, k: usize| Side {
        name: format!("{r}.{k}").into(),
        start: Point2::new(outline.rings[r][k][0], outline.rings[r][k][1]),
        height: 0.0,
        role: match Pitch::from_degrees(outline.pitches[r][k]) {
            Ok(pitch) => Role::Eave { pitch, breaks: Vec::new() },
            Err(_) => Role::Verge,
        },
    };
    let rings = (0..outline.rings.len())
        .map(|r| Ring { sides: (0..outline.rings[r].len()).map(|k| side(r, k)).collect() })
        .collect();
    Footprint { name: "b".into(), height: 0.0, rings, walls: None, take_over: TakesOver::Flatter }
}
