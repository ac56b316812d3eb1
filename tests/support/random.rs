//! Random outlines without luck: the same seed, the same outline.
//!
//! A plan grows cell by cell on a square grid, never closing round a hole nor touching itself by a corner, so its
//! boundary is simple. For rectilinear outlines rows and columns get random widths; for general ones every corner is
//! moved by up to a third of a cell.

use eavewright_core::base::units::Pitch;
use eavewright_core::outline::{Footprint, Ring, Role, Side, TakesOver};
use nalgebra::Point2;
use std::collections::{HashMap, HashSet};

/// A splitmix64 generator (Steele, Lea, Flood, "Fast splittable pseudorandom number generators", 2014).
pub struct Random(pub u64);

impl Random {
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// In 0 .. 1.
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    pub fn below(&mut self, count: usize) -> usize {
        usize::try_from(self.bits() % count as u64).unwrap()
    }
}

/// Corners of the boundary of a plan grown on a grid, anticlockwise, at least `sides` of them.
pub fn grid_outline(random: &mut Random, sides: usize) -> Vec<(i64, i64)> {
    let mut cells: HashSet<(i64, i64)> = HashSet::from([(0, 0)]);
    let mut list = vec![(0i64, 0i64)];
    // Adding a cell changes the count of corners by at most four, so the count is kept up as it grows.
    let mut corners = 4i64;
    let around = [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1)];
    let corner_count = |cells: &HashSet<(i64, i64)>, (x, y): (i64, i64)| -> i64 {
        // Corners of the boundary at the four corners of this cell.
        let mut count = 0;
        for (dx, dy) in [(0, 0), (1, 0), (0, 1), (1, 1)] {
            let touching = [(-1, -1), (0, -1), (-1, 0), (0, 0)];
            let inside = touching.iter().filter(|(a, b)| cells.contains(&(x + dx + a, y + dy + b))).count();
            if inside == 1 || inside == 3 {
                count += 1;
            }
        }
        count
    };
    while corners < i64::try_from(sides).unwrap() {
        // Grow from recent cells more often, so that plans have wings rather than blots.
        let from = if random.unit() < 0.5 {
            list.len() - 1 - random.below(list.len().min(8))
        } else {
            random.below(list.len())
        };
        let (x, y) = list[from];
        let (dx, dy) = [(1, 0), (0, 1), (-1, 0), (0, -1)][random.below(4)];
        let cell = (x + dx, y + dy);
        if cells.contains(&cell) {
            continue;
        }
        let ring: Vec<bool> = around.iter().map(|(a, b)| cells.contains(&(cell.0 + a, cell.1 + b))).collect();
        let runs = (0..8).filter(|&at| ring[at] && !ring[(at + 7) % 8]).count();
        let by_corner = (1..8).step_by(2).any(|at| ring[at] && !ring[at - 1] && !ring[(at + 1) % 8]);
        if runs != 1 || by_corner {
            continue;
        }
        corners -= corner_count(&cells, cell);
        cells.insert(cell);
        corners += corner_count(&cells, cell);
        list.push(cell);
    }
    // Directed boundary steps, the plan to their left.
    let mut next: HashMap<(i64, i64), (i64, i64)> = HashMap::new();
    for &(x, y) in &cells {
        for (outside, from, to) in [
            ((x, y - 1), (x, y), (x + 1, y)),
            ((x + 1, y), (x + 1, y), (x + 1, y + 1)),
            ((x, y + 1), (x + 1, y + 1), (x, y + 1)),
            ((x - 1, y), (x, y + 1), (x, y)),
        ] {
            if !cells.contains(&outside) {
                next.insert(from, to);
            }
        }
    }
    let start = *next.keys().min().unwrap();
    let mut walk = vec![start];
    let mut at = next[&start];
    while at != start {
        walk.push(at);
        at = next[&at];
    }
    assert_eq!(walk.len(), next.len());
    walk
}

fn footprint(corners: impl Iterator<Item = (f64, f64)>, mut role: impl FnMut(usize) -> Role) -> Footprint {
    let side = |(index, (x, y)): (usize, (f64, f64))| Side {
        name: index.to_string().into(),
        start: Point2::new(x, y),
        height: 0.0,
        role: role(index),
    };
    let sides = corners.enumerate().map(side).collect();
    Footprint { name: "r".into(), height: 0.0, rings: vec![Ring { sides }], walls: None, take_over: TakesOver::Flatter }
}

/// Only corners where the walk turns.
fn turns(walk: &[(i64, i64)]) -> Vec<(i64, i64)> {
    let count = walk.len();
    (0..count)
        .filter(|&i| {
            let (a, b, c) = (walk[(i + count - 1) % count], walk[i], walk[(i + 1) % count]);
            (b.0 - a.0) * (c.1 - b.1) != (b.1 - a.1) * (c.0 - b.0)
        })
        .map(|i| walk[i])
        .collect()
}

fn pitch(degrees: f64) -> Role {
    Role::Eave { pitch: Pitch::from_degrees(degrees).unwrap(), breaks: Vec::new() }
}

/// About `sides` sides at right angles, one pitch or many.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
pub fn rectilinear(seed: u64, sides: usize, many_pitches: bool) -> Footprint {
    let mut random = Random(seed);
    let walk = turns(&grid_outline(&mut random, sides));
    let reach = walk.iter().map(|(x, y)| x.abs().max(y.abs())).max().unwrap() as usize + 1;
    let mut grid = |_| {
        let mut lines = vec![0.0];
        for _ in 0..2 * reach {
            lines.push(lines.last().unwrap() + random.between(1.0, 4.0));
        }
        lines
    };
    let (columns, rows): (Vec<f64>, Vec<f64>) = (grid(0), grid(1));
    let place = |lines: &[f64], at: i64| lines[usize::try_from(at + i64::try_from(reach).unwrap()).unwrap()];
    let mut random = Random(seed ^ 1);
    footprint(walk.iter().map(|&(x, y)| (place(&columns, x), place(&rows, y))), |_| {
        pitch(if many_pitches { random.between(15.0, 55.0) } else { 35.0 })
    })
}

/// About `sides` sides in any direction.
pub fn general(seed: u64, sides: usize, many_pitches: bool) -> Footprint {
    let mut random = Random(seed);
    let walk = grid_outline(&mut random, sides * 2 / 3);
    let corners: Vec<(f64, f64)> = walk
        .iter()
        .map(|&(x, y)| (2.0 * x as f64 + random.between(-0.65, 0.65), 2.0 * y as f64 + random.between(-0.65, 0.65)))
        .collect();
    footprint(corners.into_iter(), |_| pitch(if many_pitches { random.between(15.0, 55.0) } else { 35.0 }))
}

/// A plan on the unit grid, every corner kept, with roles, pitches, breaks and heights that coincide as often as can be.
pub fn coincident(seed: u64, sides: usize, straight_corners: bool, plain: bool) -> Footprint {
    let mut random = Random(seed);
    let walk = grid_outline(&mut random, sides);
    let walk = if straight_corners { walk } else { turns(&walk) };
    let degrees = |degrees: f64| Pitch::from_degrees(degrees).unwrap();
    let mut pick = Random(seed ^ 2);
    let mut roles = Vec::new();
    for _ in 0..walk.len() {
        let steep = degrees([30.0, 45.0, 45.0, 45.0, 60.0][pick.below(5)]);
        let rise = [0.5, 1.0, 1.5][pick.below(3)];
        let role = match pick.below(if plain { 8 } else { 14 }) {
            0..=5 => Role::Eave { pitch: steep, breaks: Vec::new() },
            6..=7 => Role::Verge,
            8 => Role::Abutment,
            9 | 10 => Role::Eave { pitch: degrees(60.0), breaks: vec![(rise, degrees(30.0))] },
            11 => Role::Eave { pitch: degrees(30.0), breaks: vec![(0.5, steep), (1.5, degrees(45.0))] },
            12 => Role::HalfHip { hip_from: rise, pitch: steep },
            _ => Role::Gablet { pitch: steep, verge_from: rise },
        };
        roles.push(role);
    }
    let mut footprint = footprint(walk.iter().map(|&(x, y)| (x as f64, y as f64)), |index| roles[index].clone());
    if !plain {
        for side in &mut footprint.rings[0].sides {
            side.height = [0.0, 0.0, 0.0, 0.5][pick.below(4)];
        }
    }
    footprint
}
