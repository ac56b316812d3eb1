//! Outlines as buildings and their surveyors make them: wings, courtyards, bays, apses of many short sides, corners cut
//! off, points in the middle of straight sides, points a millimetre apart, spikes, noise, any bearing, far from the
//! origin. The same seed, the same outline.
// Counts of small random cases: far below any limit.
#![allow(clippy::cast_possible_truncation, clippy::cast_possible_wrap, clippy::cast_sign_loss)]

use eavewright_core::base::polygon::signed_area;
use eavewright_core::base::units::Pitch;
use eavewright_core::outline::{Footprint, Ring, Role, Side, TakesOver};
use eavewright_core::roof::checks::outline::crossing;
use nalgebra::{Point2, Rotation2, Vector2};
use std::collections::{HashMap, HashSet};
use std::f64::consts::TAU;
use support::random::Random;

type Place = Point2<f64>;
type Cell = (i64, i64);

/// How wild an outline is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Temper {
    /// What a register of buildings holds.
    Building,
    /// The same with pitches from 0.5 to 89.5 degrees, levels, breaks, half-hips and gablets thrown over it.
    Hostile,
}

/// Rings of a plan of grid cells, the outer one first, with courtyards; `None` where corners touch.
fn plan_of(cells: &HashSet<Cell>) -> Option<Vec<Vec<Cell>>> {
    let mut next: HashMap<Cell, Cell> = HashMap::new();
    for &(x, y) in cells {
        for (outside, from, to) in [
            ((x, y - 1), (x, y), (x + 1, y)),
            ((x + 1, y), (x + 1, y), (x + 1, y + 1)),
            ((x, y + 1), (x + 1, y + 1), (x, y + 1)),
            ((x - 1, y), (x, y + 1), (x, y)),
        ] {
            if !cells.contains(&outside) && next.insert(from, to).is_some() {
                return None;
            }
        }
    }
    let mut rings = Vec::new();
    while let Some(&start) = next.keys().min() {
        let mut walk = Vec::new();
        let mut at = start;
        while let Some(to) = next.remove(&at) {
            walk.push(at);
            at = to;
        }
        let count = walk.len();
        let turns = |&i: &usize| {
            let (a, b, c): (Cell, Cell, Cell) = (walk[(i + count - 1) % count], walk[i], walk[(i + 1) % count]);
            (b.0 - a.0) * (c.1 - b.1) != (b.1 - a.1) * (c.0 - b.0)
        };
        rings.push((0..count).filter(turns).map(|i| walk[i]).collect());
    }
    // The outer ring holds the lowest place of all, so it was walked first.
    Some(rings)
}

fn rectangle(cells: &mut HashSet<Cell>, low: Cell, high: Cell) {
    for x in low.0..high.0 {
        for y in low.1..high.1 {
            cells.insert((x, y));
        }
    }
}

/// A plan of wings: L, T, U, H, E, courtyards, or rectangles thrown together.
fn wings(random: &mut Random, size: i64) -> HashSet<Cell> {
    let mut cells = HashSet::new();
    let thick = |random: &mut Random| 1 + random.below(2) as i64;
    match random.below(7) {
        0 => rectangle(&mut cells, (0, 0), (size, thick(random))),
        1 => {
            rectangle(&mut cells, (0, 0), (size, thick(random)));
            rectangle(&mut cells, (0, 0), (thick(random), size));
        }
        2 => {
            rectangle(&mut cells, (0, 0), (size, thick(random)));
            let at = 1 + random.below(size as usize - 2) as i64;
            rectangle(&mut cells, (at, 0), (at + 1, size));
        }
        3 | 4 => {
            rectangle(&mut cells, (0, 0), (size, 1));
            for at in (0..size).step_by(2) {
                rectangle(&mut cells, (at, 0), (at + 1, 1 + thick(random)));
            }
        }
        5 => {
            rectangle(&mut cells, (0, 0), (size, size));
            for x in (1..size - 1).step_by(2) {
                for y in (1..size - 1).step_by(2) {
                    if random.unit() < 0.7 {
                        cells.remove(&(x, y));
                    }
                }
            }
        }
        _ => {
            for _ in 0..2 + random.below(4) {
                let (x, y) = (random.below(size as usize) as i64, random.below(size as usize) as i64);
                rectangle(&mut cells, (x, y), (x + 1 + random.below(3) as i64, y + 1 + random.below(3) as i64));
            }
        }
    }
    cells
}

/// Something built on to a side, or drawn into it. Gives the places between its ends.
fn dressed(random: &mut Random, from: Place, to: Place, kind: usize) -> Vec<Place> {
    let side = to - from;
    let length = side.norm();
    let along = side / length;
    let out = Vector2::new(along.y, -along.x);
    let at = |run: f64, off: f64| from + along * run + out * off;
    let middle = length * random.between(0.35, 0.65);
    let width = (length * random.between(0.1, 0.3)).min(4.0);
    match kind {
        // A bay or a recess.
        0 => {
            let off = random.between(0.2, 1.0) * if random.unit() < 0.5 { 1.0 } else { -1.0 };
            [(-width, 0.0), (-width, off), (width, off), (width, 0.0)].map(|(run, off)| at(middle + run, off)).to_vec()
        }
        // A round apse or niche of many short sides.
        1 => {
            let count = 5 + random.below(28);
            let sign = if random.unit() < 0.7 { 1.0 } else { -1.0 };
            let place = |i: usize| {
                let angle = std::f64::consts::PI * (i as f64 / count as f64);
                at(middle - width * angle.cos(), sign * width * angle.sin())
            };
            (0..=count).map(place).collect()
        }
        // A canted bay.
        2 => {
            let off = random.between(0.3, 1.0);
            [(-width, 0.0), (-width / 2.0, off), (width / 2.0, off), (width, 0.0)]
                .map(|(r, o)| at(middle + r, o))
                .to_vec()
        }
        // Points in the middle of a straight side.
        3 => (1..=1 + random.below(4)).map(|i| at(length * i as f64 / 6.0, 0.0)).collect(),
        // Two points a millimetre apart.
        4 => vec![at(middle, 0.0), at(middle + 0.001, 0.0)],
        // A spike: a millimetre to five centimetres wide.
        5 => {
            let (half, off) = (random.between(0.0005, 0.025), random.between(-1.0, 1.0));
            [(-half, 0.0), (0.0, off), (half, 0.0)].map(|(run, off)| at(middle + run, off)).to_vec()
        }
        // Teeth: piers along a wall.
        6 => {
            let count = 2 + random.below(6);
            let pitch = length / (2 * count + 1) as f64;
            let off = random.between(0.05, 0.4);
            let tooth = |i: usize| {
                let run = pitch * (2 * i + 1) as f64;
                [at(run, 0.0), at(run, off), at(run + pitch, off), at(run + pitch, 0.0)]
            };
            (0..count).flat_map(tooth).collect()
        }
        // A jog of a few millimetres or centimetres.
        _ => {
            let off = random.between(0.002, 0.08);
            vec![at(middle, 0.0), at(middle, off), at(length * 0.9, off), at(length * 0.9, 0.0)]
        }
    }
}

fn rings(random: &mut Random, size: i64) -> Vec<Vec<Place>> {
    let cells = wings(random, size);
    let Some(plan) = plan_of(&cells) else { return Vec::new() };
    let mut lines = |even: bool| {
        let mut at = 0.0;
        (0..size + 8)
            .map(|_| {
                at += if even { 6.0 } else { random.between(2.0, 11.0) };
                at
            })
            .collect::<Vec<f64>>()
    };
    let (columns, rows) = (lines(false), lines(false));
    let place = |&(x, y): &Cell| Point2::new(columns[x as usize], rows[y as usize]);
    let dress = random.unit() * 0.8;
    let own_kind = random.below(10);
    let round_off = random.unit() < 0.2;
    plan.iter()
        .map(|ring| {
            let corners: Vec<Place> = ring.iter().map(place).collect();
            let mut out = Vec::new();
            for (index, &corner) in corners.iter().enumerate() {
                let (before, next) =
                    (corners[(index + corners.len() - 1) % corners.len()], corners[(index + 1) % corners.len()]);
                if round_off {
                    // A corner cut off in one to six short sides.
                    let by = random.between(0.3, 0.9);
                    let (u, v) = ((before - corner).normalize() * by, (next - corner).normalize() * by);
                    let count = 1 + random.below(6);
                    let on = |i: usize| {
                        let angle = TAU / 4.0 * (i as f64 / count as f64);
                        corner + u + v - u * angle.sin() - v * angle.cos()
                    };
                    out.extend((0..=count).map(on));
                } else {
                    out.push(corner);
                }
                if random.unit() < dress {
                    let kind = if own_kind < 8 && random.unit() < 0.6 { own_kind } else { random.below(8) };
                    out.extend(dressed(random, corner, next, kind));
                }
            }
            out
        })
        .collect()
}

fn pitch(degrees: f64) -> Pitch {
    Pitch::from_degrees(degrees).unwrap()
}

fn plain_roles(random: &mut Random, rings: &[Vec<Place>]) -> Vec<Vec<Role>> {
    let eave = |degrees: f64| Role::Eave { pitch: pitch(degrees), breaks: Vec::new() };
    let one = [22.0, 30.0, 35.0, 38.5, 45.0][random.below(5)];
    let kind = random.below(6);
    rings
        .iter()
        .map(|ring| {
            (0..ring.len())
                .map(|index| {
                    let length = (ring[(index + 1) % ring.len()] - ring[index]).norm();
                    match kind {
                        // Gables over the ends of wings: sides of middling length.
                        3 if length > 2.0 && random.unit() < 0.2 => Role::Verge,
                        4 => eave([one, one, one + 10.0][random.below(3)]),
                        5 => eave((random.between(15.0, 60.0) * 10.0).round() / 10.0),
                        _ => eave(one),
                    }
                })
                .collect()
        })
        .collect()
}

fn wild_roles(random: &mut Random, rings: &[Vec<Place>]) -> Vec<Vec<Role>> {
    let kind = random.below(4);
    rings
        .iter()
        .map(|ring| {
            (0..ring.len())
                .map(|_| {
                    let mut any = || match kind {
                        0 => pitch(random.between(0.5, 89.5)),
                        1 => pitch([0.5, 89.5, 45.0, 45.0][random.below(4)]),
                        2 => pitch(35.0 + random.between(-1e-6, 1e-6)),
                        _ => pitch([20.0, 35.0, 50.0][random.below(3)]),
                    };
                    let (first, second) = (any(), any());
                    let rise = random.between(0.0, 3.0);
                    match random.below(10) {
                        0 => Role::Eave { pitch: first, breaks: vec![(rise, second)] },
                        1 => Role::HalfHip { hip_from: rise, pitch: first },
                        2 => Role::Gablet { pitch: first, verge_from: rise },
                        3 => Role::Verge,
                        _ => Role::Eave { pitch: first, breaks: Vec::new() },
                    }
                })
                .collect()
        })
        .collect()
}

/// Whether an outline is one: rings that run the right way and meet nowhere.
fn is_simple(rings: &[Vec<Place>]) -> bool {
    !rings.is_empty()
        && rings.iter().enumerate().all(|(index, ring)| ring.len() > 2 && (signed_area(ring) > 0.0) == (index == 0))
        && crossing(rings).is_none()
}

/// The outline of a seed, about `size` cells a side, and in words what it is.
pub fn outline(seed: u64, size: i64, temper: Temper) -> (String, Footprint) {
    let mut random = Random(seed ^ 0xB01D_0000_0000);
    loop {
        let plan = rings(&mut random, size.max(3));
        let noise = [0.0, 0.0, 0.0002, 0.001, 0.001, 0.02][random.below(6)];
        let turn = Rotation2::new([0.0, 0.3, random.unit() * TAU][random.below(3)]);
        let far = [Vector2::zeros(), Vector2::new(500_000.0, -500_000.0)][random.below(2)];
        // As registers write them: to the micrometre, the millimetre, the centimetre, or in full.
        let grid = [0.0, 1e-6, 1e-3, 1e-2][random.below(4)];
        let mut write = |place: Place| {
            let shaken = place + Vector2::new(random.between(-noise, noise), random.between(-noise, noise));
            let moved = turn * shaken + far;
            if grid > 0.0 { moved.map(|value| (value / grid).round() * grid) } else { moved }
        };
        let mut plan: Vec<Vec<Place>> =
            plan.iter().map(|ring| ring.iter().map(|&place| write(place)).collect()).collect();
        for ring in &mut plan {
            ring.dedup();
        }
        if !is_simple(&plan) {
            continue;
        }
        let mut roles = match temper {
            Temper::Building => plain_roles(&mut random, &plan),
            Temper::Hostile => wild_roles(&mut random, &plan),
        };
        if !roles[0].iter().any(Role::is_eave) {
            roles[0][0] = Role::Eave { pitch: pitch(35.0), breaks: Vec::new() };
        }
        let levels = temper == Temper::Hostile && random.unit() < 0.3;
        let rings = plan.iter().zip(roles).enumerate().map(|(r, (ring, roles))| Ring {
            sides: ring
                .iter()
                .zip(roles)
                .enumerate()
                .map(|(k, (&start, role))| Side {
                    name: format!("{r}.{k}").into(),
                    start,
                    height: if levels && random.unit() < 0.3 { random.between(0.0, 2.0) } else { 0.0 },
                    role,
                })
                .collect(),
        });
        let mut footprint = Footprint {
            name: "b".into(),
            height: 0.0,
            rings: rings.collect(),
            walls: None,
            take_over: TakesOver::Flatter,
        };
        let sides = || footprint.rings.iter().flat_map(|ring| &ring.sides);
        footprint.height = sides().map(|side| side.height).fold(f64::INFINITY, f64::min);
        return (format!("{seed} of {} sides, noise {noise}, grid {grid}", sides().count()), footprint);
    }
}
