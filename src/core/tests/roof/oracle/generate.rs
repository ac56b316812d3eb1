//! Random outlines with deliberate coincidences.

use super::random::Random;
use eavewright_core::base::units::Pitch;
use eavewright_core::outline::footprint::{Footprint, Ring, Role, Side, TakesOver};
use nalgebra::Point2;
use std::collections::HashMap;

/// A ring of places.
pub type Places = Vec<[f64; 2]>;

/// Cells of a grid, joined, without corners that touch: the outline first, then holes. Spacing by `xs` and `ys`.
pub fn cells(random: &mut Random, xs: &[f64], ys: &[f64], fill: f64) -> Vec<Places> {
    let (w, h) = (xs.len() - 1, ys.len() - 1);
    let mut on = vec![vec![false; h]; w];
    let (mut x, mut y) = (w / 2, h / 2);
    on[x][y] = true;
    let wanted = ((w * h) as f64 * fill).max(1.0);
    let mut have = 1.0;
    while have < wanted {
        // A walk that lingers: long wings and courtyards.
        match random.whole(0, 3) {
            0 if x + 1 < w => x += 1,
            1 if x > 0 => x -= 1,
            2 if y + 1 < h => y += 1,
            3 if y > 0 => y -= 1,
            _ => {}
        }
        if !on[x][y] {
            on[x][y] = true;
            have += 1.0;
        }
    }
    let at = |on: &Vec<Vec<bool>>, i: i64, j: i64| {
        i >= 0 && j >= 0 && i < w as i64 && j < h as i64 && on[usize::try_from(i).unwrap()][usize::try_from(j).unwrap()]
    };
    // Fill one cell of every pair that touches in a corner only.
    let mut again = true;
    while again {
        again = false;
        for i in 0..w as i64 - 1 {
            for j in 0..h as i64 - 1 {
                let (a, b, c, d) = (at(&on, i, j), at(&on, i + 1, j + 1), at(&on, i + 1, j), at(&on, i, j + 1));
                if (a && b && !c && !d) || (c && d && !a && !b) {
                    let (i, j) = (usize::try_from(i).unwrap(), usize::try_from(j).unwrap());
                    if a {
                        on[i + 1][j] = true;
                    } else {
                        on[i][j] = true;
                    }
                    again = true;
                }
            }
        }
    }
    let mut next: HashMap<(i64, i64), (i64, i64)> = HashMap::new();
    for i in 0..w as i64 {
        for j in 0..h as i64 {
            if !at(&on, i, j) {
                continue;
            }
            let edges = [
                ((i, j), (i + 1, j), at(&on, i, j - 1)),
                ((i + 1, j), (i + 1, j + 1), at(&on, i + 1, j)),
                ((i + 1, j + 1), (i, j + 1), at(&on, i, j + 1)),
                ((i, j + 1), (i, j), at(&on, i - 1, j)),
            ];
            for (from, to, inner) in edges {
                if !inner {
                    next.insert(from, to);
                }
            }
        }
    }
    let mut starts: Vec<(i64, i64)> = next.keys().copied().collect();
    starts.sort_unstable();
    let mut rings: Vec<Places> = Vec::new();
    for start in starts {
        if !next.contains_key(&start) {
            continue;
        }
        let mut ring = Vec::new();
        let mut here = start;
        while let Some(to) = next.remove(&here) {
            ring.push(here);
            here = to;
        }
        let corner = |k: &usize| {
            let (a, b, c) = (ring[(k + ring.len() - 1) % ring.len()], ring[*k], ring[(k + 1) % ring.len()]);
            (b.0 - a.0) * (c.1 - b.1) != (b.1 - a.1) * (c.0 - b.0)
        };
        let place = |k: usize| [xs[usize::try_from(ring[k].0).unwrap()], ys[usize::try_from(ring[k].1).unwrap()]];
        rings.push((0..ring.len()).filter(corner).map(place).collect());
    }
    rings.sort_by(|a, b| area(b).total_cmp(&area(a)));
    rings
}

/// Signed area.
pub fn area(ring: &Places) -> f64 {
    (0..ring.len())
        .map(|k| {
            let (a, b) = (ring[k], ring[(k + 1) % ring.len()]);
            (a[0] * b[1] - a[1] * b[0]) / 2.0
        })
        .sum()
}

/// Cuts corners off at 45 degrees by `by`.
pub fn chamfered(random: &mut Random, ring: &Places, by: f64, share: f64) -> Places {
    let mut out = Vec::new();
    for k in 0..ring.len() {
        let (a, b, c) = (ring[(k + ring.len() - 1) % ring.len()], ring[k], ring[(k + 1) % ring.len()]);
        let toward = |p: [f64; 2]| {
            let (dx, dy) = (p[0] - b[0], p[1] - b[1]);
            let length = dx.hypot(dy);
            ([b[0] + dx / length * by, b[1] + dy / length * by], length)
        };
        let ((before, la), (after, lc)) = (toward(a), toward(c));
        if la > 2.5 * by && lc > 2.5 * by && random.chance(share) {
            out.extend([before, after]);
        } else {
            out.push(b);
        }
    }
    out
}

/// Puts corners into sides without bending them.
pub fn subdivided(random: &mut Random, ring: &Places, share: f64) -> Places {
    let mut out = Vec::new();
    for k in 0..ring.len() {
        let (a, b) = (ring[k], ring[(k + 1) % ring.len()]);
        out.push(a);
        if random.chance(share) {
            out.push([f64::midpoint(a[0], b[0]), f64::midpoint(a[1], b[1])]);
        }
    }
    out
}

/// A simple polygon through random places: crossings are undone by turning the part between them round.
pub fn tangle(random: &mut Random, corners: usize, grid: f64, size: f64) -> Places {
    let steps = (size / grid) as i64;
    let mut ring: Vec<[i64; 2]> = Vec::new();
    while ring.len() < corners {
        let place = [random.whole(0, steps), random.whole(0, steps)];
        if !ring.contains(&place) {
            ring.push(place);
        }
    }
    let turn = |a: [i64; 2], b: [i64; 2], c: [i64; 2]| {
        ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])).signum()
    };
    let within =
        |a: [i64; 2], b: [i64; 2], p: [i64; 2]| (0..2).all(|k| p[k] >= a[k].min(b[k]) && p[k] <= a[k].max(b[k]));
    let n = ring.len();
    'again: for _ in 0..10_000 {
        for i in 0..n {
            for j in i + 1..n {
                let (a, b, c, d) = (ring[i], ring[(i + 1) % n], ring[j], ring[(j + 1) % n]);
                let adjacent = j == i + 1 || (i == 0 && j == n - 1);
                let (t1, t2, t3, t4) = (turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b));
                let bad = if adjacent {
                    let (p, m, r) = if j == i + 1 { (a, b, d) } else { (c, a, b) };
                    turn(p, m, r) == 0 && (within(p, m, r) || within(m, r, p))
                } else {
                    (t1 != t2 && t3 != t4)
                        || (t1 == 0 && within(a, b, c))
                        || (t2 == 0 && within(a, b, d))
                        || (t3 == 0 && within(c, d, a))
                        || (t4 == 0 && within(c, d, b))
                };
                if !bad {
                    continue;
                }
                if t1 != 0 && t2 != 0 && t3 != 0 && t4 != 0 && !adjacent {
                    ring[i + 1..=j].reverse();
                } else {
                    let fresh = [random.whole(0, steps), random.whole(0, steps)];
                    ring[j] = fresh;
                }
                continue 'again;
            }
        }
        let places: Places = ring.iter().map(|p| [p[0] as f64 * grid, p[1] as f64 * grid]).collect();
        return if area(&places) > 0.0 { places } else { places.into_iter().rev().collect() };
    }
    vec![[0.0, 0.0], [size, 0.0], [0.0, size]]
}

/// How pitches are given out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pitches {
    One,
    Few,
    Each,
    Gables,
    Levels,
    Breaks,
}

fn pitch(rise: i64, run: i64) -> Pitch {
    Pitch::from_rise_over_run(rise as f64, run as f64).unwrap()
}

fn some_pitch(random: &mut Random, pitches: Pitches) -> Pitch {
    match pitches {
        Pitches::One | Pitches::Gables => pitch(1, 1),
        Pitches::Few | Pitches::Levels | Pitches::Breaks => random.pick(&[pitch(1, 2), pitch(1, 1), pitch(1, 4)]),
        Pitches::Each => {
            let run = 1 << random.whole(0, 5);
            pitch(random.whole(run / 4 + 1, 3 * run), run)
        }
    }
}

fn some_role(random: &mut Random, pitches: Pitches) -> Role {
    let eave = |pitch| Role::Eave { pitch, breaks: Vec::new() };
    match pitches {
        Pitches::Gables if random.chance(0.25) => Role::Verge,
        Pitches::Breaks => {
            let first = some_pitch(random, pitches);
            let rise = random.whole(1, 4) as f64 * 0.5;
            match random.whole(0, 9) {
                0 | 1 => Role::HalfHip { hip_from: rise, pitch: first },
                2 => Role::Gablet { pitch: first, verge_from: rise },
                3..=5 => Role::Eave { pitch: first, breaks: vec![(rise, some_pitch(random, pitches))] },
                _ => eave(first),
            }
        }
        _ => eave(some_pitch(random, pitches)),
    }
}

/// Gives every side of the rings a role.
pub fn footprint(random: &mut Random, rings: &[Places], pitches: Pitches) -> Footprint {
    let mut rings: Vec<Ring> = rings
        .iter()
        .enumerate()
        .map(|(r, ring)| Ring {
            sides: ring
                .iter()
                .enumerate()
                .map(|(k, at)| Side {
                    name: if r == 0 { format!("S{k}").into() } else { format!("H{r}.{k}").into() },
                    start: Point2::new(at[0], at[1]),
                    height: if pitches == Pitches::Levels && random.chance(0.3) { 2.5 } else { 2.0 },
                    role: some_role(random, pitches),
                })
                .collect(),
        })
        .collect();
    let eaves = rings.iter().flat_map(|ring| &ring.sides).any(|side| side.role.is_eave());
    if !eaves {
        rings[0].sides[0].role = Role::Eave { pitch: pitch(1, 1), breaks: Vec::new() };
    }
    let height = rings.iter().flat_map(|ring| &ring.sides).map(|side| side.height).fold(f64::INFINITY, f64::min);
    Footprint { name: "b".into(), height, rings, walls: None, take_over: TakesOver::Flatter }
}

fn spacing(random: &mut Random, count: i64, even: bool) -> Vec<f64> {
    let mut at = 0.0;
    let mut out = vec![0.0];
    for _ in 0..count {
        at += if even { 2.0 } else { random.whole(1, 8) as f64 * 0.5 };
        out.push(at);
    }
    out
}

fn grid_rings(random: &mut Random, shape: &str) -> Vec<Places> {
    let (w, h) = (random.whole(1, 6), random.whole(1, 5));
    let even = shape != "uneven";
    let (xs, ys) = (spacing(random, w, even), spacing(random, h, even));
    let fill = 0.3 + 0.5 * random.share();
    cells(random, &xs, &ys, fill)
        .into_iter()
        .map(|ring| match shape {
            "chamfered" => chamfered(random, &ring, 0.5, 0.5),
            "subdivided" => subdivided(random, &ring, 0.4),
            // A quarter turn's 3-4-5 cousin: every direction stays rational, every length grows fivefold.
            "turned" => ring.iter().map(|p| [p[0] * 4.0 - p[1] * 3.0, p[0] * 3.0 + p[1] * 4.0]).collect(),
            _ => ring,
        })
        .collect()
}

/// The outline of a seed, and in words what it is made of.
pub fn case(seed: u64) -> (String, Footprint) {
    let mut random = Random::new(seed);
    let pitches = random.pick(&[
        Pitches::One,
        Pitches::Few,
        Pitches::Few,
        Pitches::Each,
        Pitches::Gables,
        Pitches::Levels,
        Pitches::Breaks,
    ]);
    let shape = random.pick(&["cells", "cells", "uneven", "turned", "chamfered", "subdivided", "tangle", "tangle"]);
    let rings = if shape == "tangle" {
        let corners = usize::try_from(random.whole(3, 20)).unwrap();
        let grid = random.pick(&[1.0, 0.125]);
        vec![tangle(&mut random, corners, grid, 12.0)]
    } else {
        grid_rings(&mut random, shape)
    };
    let footprint = footprint(&mut random, &rings, pitches);
    (format!("{seed}-{shape}-{pitches:?}").to_lowercase(), footprint)
}
