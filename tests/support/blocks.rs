//! Random scenes of two or three blocks that meet in ways real ones do, and in ways that break arrangements.

use super::random::Random;
use eavewright_core::base::ids::{BlockId, SideId};
use eavewright_core::base::units::Pitch;
use eavewright_core::outline::block::{Dormer, DormerKind, Fascia, OutlineDatum, Overhang};
use eavewright_core::outline::overhang::to_drip_edge;
use eavewright_core::outline::{Footprint, Ring, Role, Side, TakesOver};
use eavewright_core::roof::{self, Options};
use nalgebra::{Point2, Rotation2};

/// What the scenes are about.
pub const KINDS: [&str; 12] = [
    "overlap",
    "flush",
    "equal ridges",
    "equal surfaces",
    "within",
    "collinear walls",
    "corner only",
    "overhangs",
    "dormers",
    "porch",
    "three at will",
    "three on a grid",
];

fn pitch(degrees: f64) -> Pitch {
    Pitch::from_degrees(degrees).unwrap()
}

fn eave(degrees: f64) -> Role {
    Role::Eave { pitch: pitch(degrees), breaks: Vec::new() }
}

/// A block over corners.
pub fn block(name: &str, height: f64, corners: &[(f64, f64)], roles: Vec<Role>) -> Footprint {
    let sides = corners.iter().zip(roles).zip('A'..);
    let side = |((&(x, y), role), letter): ((&(f64, f64), Role), char)| {
        let name = letter.to_string();
        Side { name: name.into(), start: Point2::new(x, y), height, role }
    };
    Footprint {
        name: name.into(),
        height,
        rings: vec![Ring { sides: sides.map(side).collect() }],
        walls: None,
        take_over: TakesOver::Flatter,
    }
}

/// The rectangle from (x, y).
fn at(x: f64, y: f64, width: f64, depth: f64) -> Vec<(f64, f64)> {
    vec![(x, y), (x + width, y), (x + width, y + depth), (x, y + depth)]
}

/// A pitch of few values.
fn steep(random: &mut Random) -> f64 {
    [20.0, 30.0, 35.0, 45.0, 45.0, 60.0][random.below(6)]
}

/// Roles of a rectangle: gabled one way or the other, hipped, lean-to, gambrel, half-hipped, of many pitches.
fn roles(random: &mut Random) -> Vec<Role> {
    let p = steep(random);
    match random.below(8) {
        0 | 1 => vec![eave(p), Role::Verge, eave(p), Role::Verge],
        2 => vec![Role::Verge, eave(p), Role::Verge, eave(p)],
        3 => vec![eave(p), eave(p), eave(p), eave(p)],
        4 => vec![eave(p), Role::Verge, Role::Abutment, Role::Verge],
        5 => {
            let side = || Role::Eave { pitch: pitch(60.0), breaks: vec![(0.5, pitch(30.0))] };
            vec![side(), Role::Verge, side(), Role::Verge]
        }
        6 => {
            let end = || Role::HalfHip { hip_from: 0.5, pitch: pitch(60.0) };
            vec![eave(45.0), end(), eave(45.0), end()]
        }
        _ => (0..4).map(|_| eave(steep(random))).collect(),
    }
}

/// A place or size: on the half-metre grid or anywhere.
fn some(random: &mut Random, low: f64, high: f64, on_grid: bool) -> f64 {
    let value = random.between(low, high);
    if on_grid { (value * 2.0).round() / 2.0 } else { value }
}

fn turned(footprint: &Footprint, angle: f64, about: Point2<f64>) -> Footprint {
    let turn = Rotation2::new(angle);
    let mut footprint = footprint.clone();
    for side in footprint.rings.iter_mut().flat_map(|ring| &mut ring.sides) {
        side.start = about + turn * (side.start - about);
    }
    footprint
}

/// A rectangular block at will.
fn body(random: &mut Random, name: &str, reach: f64, on_grid: bool) -> Footprint {
    let (x, y) = (some(random, -reach, reach, on_grid), some(random, -reach, reach, on_grid));
    let (width, depth) = (some(random, 3.0, 10.0, on_grid), some(random, 3.0, 8.0, on_grid));
    let height = [2.0, 2.5, 2.5, 3.0, 4.0][random.below(5)];
    let roles = roles(random);
    let plain = block(name, height, &at(x, y, width, depth), roles);
    if on_grid { plain } else { turned(&plain, random.between(0.0, 6.0), Point2::new(x, y)) }
}

fn house(random: &mut Random, width: f64, depth: f64) -> Footprint {
    let roles = roles(random);
    block("a", [2.5, 3.0, 4.0][random.below(3)], &at(0.0, 0.0, width, depth), roles)
}

/// The outline taken as walls, with overhangs.
fn with_overhang(random: &mut Random, footprint: &Footprint) -> Option<Footprint> {
    let fascia = [Fascia::Level, Fascia::Equal, Fascia::Raised][random.below(3)];
    let (eave, verge) = ([0.0, 0.2, 0.35, 0.6][random.below(4)], [0.0, 0.2, 0.5][random.below(3)]);
    let datum = OutlineDatum::Wall { overhang: Overhang { eave, verge, fascia }, above_plate: 0.0 };
    let drip = to_drip_edge(&footprint.name, &footprint.rings, &datum).ok()?;
    let height = drip.rings.iter().flat_map(|ring| &ring.sides).map(|side| side.height).fold(f64::INFINITY, f64::min);
    let walls = Some(footprint.rings.iter().map(Ring::corners).collect());
    Some(Footprint { name: footprint.name.clone(), height, rings: drip.rings, walls, take_over: footprint.take_over })
}

/// Kind and blocks of a scene.
pub fn scene(seed: u64) -> (&'static str, Vec<Footprint>) {
    let kind = usize::try_from(seed).unwrap() % KINDS.len();
    let mut random = Random(seed.wrapping_mul(0x9e37));
    // Some draws make no scene (a dormer that does not fit, walls that swallow an overhang): draw again.
    loop {
        let footprints = draw(kind, &mut random);
        let solved = |footprint: &Footprint| {
            footprint.check_invariants().is_ok()
                && roof::solve_one(footprint, &Options::default()).is_ok_and(|roof| roof.volume.unwrap() > 0.0)
        };
        if let Some(footprints) = footprints.filter(|footprints| footprints.iter().all(solved)) {
            return (KINDS[kind], footprints);
        }
    }
}

/// Kind and blocks of a scene whose blocks, all of them or all but one, are measured at the wall and hang over.
pub fn overhanging(seed: u64) -> (&'static str, Vec<Footprint>) {
    let mut random = Random(seed.wrapping_mul(0x517c_c1b7));
    loop {
        let kind = [0, 1, 2, 3, 4, 5, 6, 9, 10, 11][random.below(10)];
        let bare = random.below(6);
        let Some(inner) = draw(kind, &mut random) else { continue };
        let hung = inner.iter().enumerate().map(|(index, footprint)| {
            if footprint.walls.is_some() || index == bare {
                Some(footprint.clone())
            } else {
                with_overhang(&mut random, footprint)
            }
        });
        let Some(footprints) = hung.collect::<Option<Vec<_>>>() else { continue };
        let solved = |footprint: &Footprint| {
            footprint.check_invariants().is_ok()
                && roof::solve_one(footprint, &Options::default()).is_ok_and(|roof| roof.volume.unwrap() > 0.0)
        };
        if footprints.iter().all(solved) {
            return (KINDS[kind], footprints);
        }
    }
}

fn draw(kind: usize, random: &mut Random) -> Option<Vec<Footprint>> {
    let grid = random.below(2) == 0;
    let (width, depth) = (some(random, 6.0, 12.0, grid), some(random, 5.0, 9.0, grid));
    let a = house(random, width, depth);
    let mut rest = |name: &str| {
        let roles = roles(random);
        let height = a.height + [-1.0, -0.5, 0.0, 0.0, 0.5][random.below(5)];
        (name.to_owned(), height, roles, random.unit(), random.unit())
    };
    let (name, height, their, u, v) = rest("b");
    let round = |value: f64| if grid { (value * 2.0).round() / 2.0 } else { value };
    match kind {
        // Overlap at will.
        0 => Some(vec![a, body(random, "b", 6.0, grid)]),
        // A side of b lies on a side of a.
        1 => {
            let (w, d) = (round(2.0 + 6.0 * u), round(2.0 + 4.0 * v));
            let x = round(-1.0 + (width - 1.0) * random.unit());
            let corners = [at(x, -d, w, d), at(width, x, d, w), at(0.0, -d, width, d)][random.below(3)].clone();
            Some(vec![a, block(&name, height, &corners, their)])
        }
        // A T whose wing is as wide as the main, so that its ridge meets the other's.
        2 => {
            let p = steep(random);
            let a = block("a", 2.5, &at(0.0, 0.0, width, depth), vec![eave(p), Role::Verge, eave(p), Role::Verge]);
            let x = round((width - depth) * u);
            let reach = [depth / 2.0, depth, depth / 2.0 + 1.0][random.below(3)];
            let wing = vec![Role::Verge, eave(p), Role::Verge, eave(p)];
            let b = block("b", 2.5, &at(x, -3.0, depth, 3.0 + reach), wing);
            (width > depth).then(|| vec![a, b])
        }
        // The same gable run on, overlapping or just touching.
        3 => {
            let p = steep(random);
            let gable = || vec![eave(p), Role::Verge, eave(p), Role::Verge];
            let a = block("a", 2.5, &at(0.0, 0.0, width, depth), gable());
            let x = [width, round(width * u), 0.0][random.below(3)];
            let (y, d) = if random.below(3) == 0 { (1.0, depth - 2.0) } else { (0.0, depth) };
            let b = block("b", 2.5 + y * pitch(p).tangent(), &at(x, y, round(3.0 + 6.0 * v), d), gable());
            Some(vec![a, b])
        }
        // One within another: a tower, a room, or sharing walls.
        4 => {
            let (w, d) = (round(width * (0.2 + 0.4 * u)).max(1.0), round(depth * (0.2 + 0.4 * v)).max(1.0));
            let (x, y) = match random.below(3) {
                0 => (round((width - w) * u), round((depth - d) * v)),
                1 => (0.0, round((depth - d) * v)),
                _ => (width - w, depth - d),
            };
            let height = [height, a.height + 2.0, a.height + 4.0][random.below(3)];
            Some(vec![a, block(&name, height, &at(x, y, w, d), their)])
        }
        // Walls in one line, overlapping or not.
        5 => {
            let (w, d) = (round(3.0 + 5.0 * u), round(2.0 + depth * v));
            let x = [width, width - 1.0, width / 2.0][random.below(3)];
            let y = [0.0, depth - d][random.below(2)];
            Some(vec![a, block(&name, height, &at(x, y, w, d), their)])
        }
        // Corners that touch.
        6 => {
            let (w, d) = (round(3.0 + 5.0 * u), round(2.0 + 4.0 * v));
            let corners = [at(width, depth, w, d), at(-w, depth, w, d), at(width, -d, w, d)][random.below(3)].clone();
            Some(vec![a, block(&name, height, &corners, their)])
        }
        // Any two of the above measured at the wall.
        7 => {
            let inner = draw([0, 1, 2, 4, 5][random.below(5)], random)?;
            inner.iter().map(|footprint| with_overhang(random, footprint)).collect()
        }
        // One dormer or two on a slope.
        8 => {
            let p = [35.0, 40.0, 45.0, 50.0][random.below(4)];
            let main = if random.below(2) == 0 { Role::Verge } else { eave(p) };
            let a = block("a", 2.5, &at(0.0, 0.0, width, depth), vec![eave(p), main.clone(), eave(p), main]);
            let host = roof::solve_one(&a, &Options::default()).ok()?;
            let mut all = vec![a];
            for (number, name) in ["d1", "d2"].into_iter().enumerate().take(1 + random.below(2)) {
                let kind = [DormerKind::Gable, DormerKind::Hip, DormerKind::Shed][random.below(3)];
                let stated = Dormer {
                    name: name.into(),
                    face: SideId { block: BlockId::new(0), ring: 0, side: 0 },
                    piece: 1,
                    at: [round(width * random.unit()), [0.0, 0.5, 1.0][random.below(3)] + 0.25 * number as f64],
                    width: round(1.0 + 1.5 * random.unit()),
                    front_height: [0.5, 0.8, 1.2][random.below(3)],
                    pitch: pitch(if kind == DormerKind::Shed { 10.0 } else { [p, 30.0, 45.0][random.below(3)] }),
                    kind,
                };
                all.push(roof::kernel::dormer::footprint(&host, "a/A", &stated).ok()?);
            }
            Some(all)
        }
        // A porch under the eave or against the gable.
        9 => {
            let p = [15.0, 20.0, 30.0][random.below(3)];
            let (w, d) = (round(1.5 + 2.0 * u), round(1.0 + 1.0 * v));
            let x = round((width - w) * random.unit());
            let sides = [
                vec![eave(p), eave(p), Role::Abutment, eave(p)],
                vec![eave(p), Role::Verge, Role::Abutment, Role::Verge],
                vec![Role::Verge, eave(p), Role::Abutment, eave(p)],
            ][random.below(3)]
            .clone();
            let porch = block("porch", a.height - [0.2, 0.5, 1.0, 1.5][random.below(4)], &at(x, -d, w, d), sides);
            if random.below(2) == 0 { Some(vec![a, porch]) } else { Some(vec![with_overhang(random, &a)?, porch]) }
        }
        10 => Some(vec![a, body(random, "b", 5.0, false), body(random, "c", 5.0, false)]),
        _ => Some(vec![a, body(random, "b", 6.0, true), body(random, "c", 6.0, true)]),
    }
}
