//! Random joined blocks against the upper envelope by its definition (`upper.rs`): heights at random places,
//! plan areas of every plane and the volume by integration, the solid's volume by parry3d, folds by sampling either
//! side; then turned, and moved far away. Coincidences are sought: flush, collinear and nested walls, equal planes and
//! ridges, corners that touch.

use super::upper;
use blocks::{KINDS, scene};
use eavewright_core::base::name::SideName;
use eavewright_core::outline::Footprint;
use eavewright_core::roof::{self, EdgeKind, FaceKind, Options, Roof};
use nalgebra::{Point2, Rotation2, Vector2};
use std::collections::BTreeMap;
use support::blocks;
use support::outline;
use support::random;
use upper::Upper;

const OPTIONS: Options = Options { tolerance: None, join_gap: 0.0, steps: false };

fn near(a: f64, b: f64, allowed: f64) -> bool {
    (a - b).abs() <= allowed * b.abs().max(1.0)
}

/// Everything that does not hold of a joined roof.
fn faults(footprints: &[Footprint], roof: &Roof, seed: u64) -> Vec<String> {
    let roofs: Vec<Roof> = footprints.iter().map(|footprint| roof::solve_one(footprint, &OPTIONS).unwrap()).collect();
    let upper = Upper::new(footprints, &roofs);
    let mut faults = Vec::new();
    sampled(footprints, roof, &upper, seed, &mut faults);
    let sums = upper.sums();
    let volume = roof.volume.unwrap();
    if !near(volume, sums.volume, 1e-6) {
        faults.push(format!("volume {volume}, by integration {}", sums.volume));
    }
    let mut seen = vec![0.0; upper.classes.len()];
    for (_, face) in roof.roof_faces() {
        match upper.class(face) {
            Some(class) => seen[class] += roof.plan_area(face).0,
            None => faults.push(format!("{} lies in no block's plane", face.name())),
        }
    }
    for (class, (area, [low, high])) in seen.iter().zip(&sums.seen).enumerate() {
        let slack = 2e-5 * high.max(1.0);
        if *area < low - slack || *area > high + slack {
            faults.push(format!("plane {class}: plan area {area}, by integration {low} to {high}"));
        }
    }
    if footprints.iter().all(|footprint| footprint.walls.is_none())
        && let Err(error) = outline::check_solid(roof)
    {
        faults.push(error);
    }
    match roof::kernel::envelope::body(footprints, &roofs, None) {
        Ok(body) => {
            if let Err(error) = outline::check_solid(&body) {
                faults.push(format!("within walls: {error}"));
            }
            if !near(body.volume.unwrap(), volume, 1e-9) {
                faults.push(format!("volume {volume}, of what stands within walls {:?}", body.volume));
            }
        }
        Err(error) => faults.push(format!("within walls: {error:?}")),
    }
    folds(roof, &mut faults);
    faults
}

/// Heights over random places.
fn sampled(footprints: &[Footprint], roof: &Roof, upper: &Upper, seed: u64, faults: &mut Vec<String>) {
    let corners = || footprints.iter().flat_map(|footprint| footprint.rings[0].corners());
    let first = corners().next().unwrap();
    let (low, high) = corners().fold((first, first), |(a, b), c| (a.inf(&c), b.sup(&c)));
    let mut random = random::Random(seed ^ 0x5eed);
    let contains = |ring: &[Point2<f64>], place: &Point2<f64>| eavewright_core::base::polygon::contains(ring, place);
    let plans: Vec<(f64, Vec<Vec<Point2<f64>>>, usize)> = roof
        .roof_faces()
        .map(|(id, face)| {
            let rings = std::iter::once(roof.ring(face)).chain(roof.holes(face));
            (0.0, rings.map(|ring| ring.iter().map(nalgebra::Point3::xy).collect()).collect(), id.index())
        })
        .collect();
    let wrong = |place: &Point2<f64>| -> Option<String> {
        let over = upper.over(place);
        let covers = |rings: &[Vec<Point2<f64>>]| rings.iter().filter(|ring| contains(ring, place)).count() % 2 == 1;
        let mut got: Vec<f64> = plans
            .iter()
            .filter(|(_, rings, _)| covers(rings))
            .map(|(_, _, face)| roof.faces[*face].plane.height_at(place).unwrap())
            .collect();
        got.sort_by(|a, b| b.total_cmp(a));
        let same = |a: f64, b: f64| (a - b).abs() < 1e-5;
        let known = got.iter().all(|z| over.seen.iter().any(|seen| same(*seen, *z)));
        let needed = over.seen.iter().take(1).copied().chain(over.solid);
        let complete = needed.clone().all(|z| got.iter().any(|seen| same(*seen, z)));
        let twice = got.windows(2).any(|pair| same(pair[0], pair[1]));
        // Over the building nothing is missing.
        let whole = over.solid.is_none() || over.seen.len() > 2 || got.len() == over.seen.len();
        (!known || !complete || twice || !whole).then(|| format!("at {place}: {got:?}, expected {over:?}"))
    };
    for _ in 0..150 {
        let place = Point2::new(random.between(low.x, high.x), random.between(low.y, high.y));
        let Some(fault) = wrong(&place) else { continue };
        // Next to an edge either side may answer.
        let off = [(1.0, 0.3), (-1.0, -0.3), (0.3, -1.0), (-0.3, 1.0)].map(|(x, y)| Vector2::new(x, y) * 2e-5);
        if off.iter().all(|off| wrong(&(place + off)).is_some()) {
            faults.push(fault);
            return;
        }
    }
}

/// Folds are what heights either side of them say.
fn folds(roof: &Roof, faults: &mut Vec<String>) {
    for edge in roof.edges.iter().filter(|edge| edge.faces.len() == 2) {
        let faces: Vec<_> = edge.faces.iter().map(|face| &roof.faces[face.index()]).collect();
        if faces.iter().any(|face| face.kind == FaceKind::Wall) || edge.kind == EdgeKind::PitchBreak {
            continue;
        }
        let (from, to) = (roof.at(edge.from), roof.at(edge.to));
        let middle = nalgebra::center(&from, &to);
        let along = (to - from).xy();
        // The first face lies to the left.
        let left = Vector2::new(-along.y, along.x) / along.norm() * 0.01;
        let beside = |face: &roof::Face, off: Vector2<f64>| face.plane.height_at(&(middle.xy() + off)).unwrap();
        let mean = f64::midpoint(beside(faces[0], left), beside(faces[1], -left));
        let concave = mean > middle.z + 1e-7;
        let convex = mean < middle.z - 1e-7;
        let kind = edge.kind;
        if (concave && kind != EdgeKind::Valley) || (convex && !matches!(kind, EdgeKind::Hip | EdgeKind::Ridge)) {
            faults.push(format!("{} between {} and {}", kind.word(), faces[0].name(), faces[1].name()));
        }
    }
}

/// Counts and lengths by kind, area and volume.
fn summary(roof: &Roof) -> (BTreeMap<EdgeKind, (usize, f64)>, f64, f64) {
    let mut kinds = BTreeMap::new();
    for edge in &roof.edges {
        let entry = kinds.entry(edge.kind).or_insert((0, 0.0));
        *entry = (entry.0 + 1, entry.1 + roof.length(edge).0);
    }
    let area = roof.roof_faces().map(|(_, face)| roof.area(face).0).sum();
    (kinds, area, roof.volume.unwrap())
}

fn moved(footprints: &[Footprint], place: impl Fn(&Point2<f64>) -> Point2<f64>) -> Vec<Footprint> {
    let mut moved = footprints.to_vec();
    for footprint in &mut moved {
        for side in footprint.rings.iter_mut().flat_map(|ring| &mut ring.sides) {
            side.start = place(&side.start);
        }
        for wall in footprint.walls.iter_mut().flatten().flatten() {
            *wall = place(wall);
        }
    }
    moved
}

fn invariant(footprints: &[Footprint], roof: &Roof, faults: &mut Vec<String>) {
    let (kinds, area, volume) = summary(roof);
    let turn = Rotation2::new(0.7316);
    let mut reversed = footprints.to_vec();
    reversed.reverse();
    for (what, other) in [
        ("turned", moved(footprints, |place| turn * place)),
        ("far away", moved(footprints, |place| place + Vector2::new(500_000.0, -300_000.0))),
        ("in the other order", reversed),
    ] {
        match roof::solve(&other, &OPTIONS) {
            Err(error) => faults.push(format!("{what}: {error}")),
            Ok(other) => {
                let (other_kinds, other_area, other_volume) = summary(&other);
                if !near(other_area, area, 1e-5) || !near(other_volume, volume, 1e-5) {
                    faults.push(format!("{what}: area {area}, {other_area}; volume {volume}, {other_volume}"));
                }
                let counts = |kinds: &BTreeMap<EdgeKind, (usize, f64)>| {
                    kinds.iter().map(|(kind, (count, _))| (*kind, *count)).collect::<Vec<_>>()
                };
                if counts(&kinds) != counts(&other_kinds) {
                    faults.push(format!("{what}: {:?}, {:?}", counts(&kinds), counts(&other_kinds)));
                }
            }
        }
    }
}

#[test]
fn random_blocks_make_the_upper_envelope() {
    let range = match std::env::var("SEED") {
        Ok(seed) => {
            let seed: u64 = seed.parse().unwrap();
            seed..seed + 1
        }
        Err(_) => 0..std::env::var("COUNT").map_or(720, |count| count.parse().unwrap()),
    };
    let mut wrong: Vec<String> = Vec::new();
    let mut tally: BTreeMap<&str, [usize; 3]> = BTreeMap::new();
    for seed in range.clone() {
        let (kind, footprints) = scene(seed);
        if range.end - range.start == 1 {
            println!("{kind}: {footprints:#?}");
        }
        let counts = tally.entry(kind).or_default();
        let found = std::panic::catch_unwind(|| match roof::solve(&footprints, &OPTIONS) {
            Err(error) => Err(error.to_string()),
            Ok(roof) => {
                let mut found = faults(&footprints, &roof, seed);
                invariant(&footprints, &roof, &mut found);
                Ok(found)
            }
        });
        match found {
            Err(_) => {
                counts[1] += 1;
                wrong.push(format!("{seed} {kind}: panicked"));
            }
            Ok(Err(error)) => {
                counts[2] += 1;
                wrong.push(format!("{seed} {kind}: refused: {error}"));
            }
            Ok(Ok(found)) if found.is_empty() => counts[0] += 1,
            Ok(Ok(found)) => {
                counts[1] += 1;
                wrong.push(format!("{seed} {kind}: {}", found.join("; ")));
            }
        }
    }
    assert!(tally.len() == KINDS.len() || range.end - range.start == 1);
    println!("right, wrong, refused: {tally:?}");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Walls taped apart: a side of one block that lies on another's is moved off it by up to 15 mm either way, and closing
/// gaps of 20 mm brings it back; the joined roof is that of the blocks as they stood.
#[test]
fn blocks_taped_apart_are_brought_together() {
    let options = Options { join_gap: 0.02, ..OPTIONS };
    let mut moved_scenes = 0;
    for seed in (1..360).step_by(KINDS.len()) {
        let (_, footprints) = scene(seed);
        let [a, b] = &footprints[..] else { continue };
        let mut random = random::Random(seed ^ 0x9a9);
        // The corner of b from which a side runs along one of a's.
        let ends = |footprint: &Footprint| {
            let corners = footprint.rings[0].corners();
            (0..corners.len()).map(|k| (corners[k], corners[(k + 1) % corners.len()])).collect::<Vec<_>>()
        };
        let along = ends(b).into_iter().find_map(|(from, to)| {
            let on = |&(p, q): &(Point2<f64>, Point2<f64>)| {
                let line = (q - p).normalize();
                let shares = [from, to].map(|end| line.dot(&(end - p)));
                let beside = shares[0].max(shares[1]).min((q - p).norm()) - shares[0].min(shares[1]).max(0.0);
                let in_line = line.perp(&(from - p)).abs() < 1e-9 && line.perp(&(to - p)).abs() < 1e-9;
                in_line && beside > 0.1
            };
            ends(a).iter().any(on).then(|| (to - from).normalize())
        });
        let Some(along) = along else { continue };
        let by = Vector2::new(-along.y, along.x) * random.between(-0.015, 0.015);
        let apart = [a.clone(), moved(std::slice::from_ref(b), |place| place + by).remove(0)];
        let (closed, notes) = roof::kernel::envelope::gap::closed(&apart, options.join_gap);
        assert!(!notes.is_empty(), "{seed}");
        let flush = ends(&closed[1]).into_iter().any(|(from, to)| {
            ends(a).iter().any(|(p, q)| {
                let line = (q - p).normalize();
                line.perp(&(from - p)).abs() < 1e-9 && line.perp(&(to - p)).abs() < 1e-9
            })
        });
        assert!(flush, "{seed}");
        let roof = roof::solve(&apart, &options).unwrap_or_else(|error| panic!("{seed}: {error}"));
        let mut found = faults(&closed, &roof, seed);
        invariant(&closed, &roof, &mut found);
        assert!(found.is_empty(), "{seed}: {}", found.join("; "));
        let whole = roof::solve(&footprints, &OPTIONS).unwrap();
        // 15 mm of a block's width at most have changed.
        let round: f64 = ends(b).iter().map(|(p, q)| (q - p).norm()).sum();
        let change = (roof.volume.unwrap() - whole.volume.unwrap()).abs();
        assert!(change <= 0.015 * round * whole.ridge_height().unwrap(), "{seed}: {change}");
        moved_scenes += 1;
    }
    assert!(moved_scenes >= 20, "{moved_scenes}");
}

/// An octagon whose corners are written to a micrometre: at its top five corners lie nearer to each other than the tolerance,
/// and the edges between them are shorter than it. Joined with the roof it stands in it is what the definition says.
#[test]
fn an_octagon_rounded_to_a_micrometre_joins() {
    let roof = |degrees: f64| support::outline::eave(degrees);
    let m = blocks::block(
        "m",
        2.7,
        &[(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)],
        vec![roof(30.0), eavewright_core::outline::Role::Verge, roof(30.0), eavewright_core::outline::Role::Verge],
    );
    let corners = [
        (6.478_207, 0.812_293),
        (5.612_293, 1.678_207),
        (4.387_707, 1.678_207),
        (3.521_793, 0.812_293),
        (3.521_793, -0.412_293),
        (4.387_707, -1.278_207),
        (5.612_293, -1.278_207),
        (6.478_207, -0.412_293),
    ];
    let footprints = [m, blocks::block("t", 2.7, &corners, vec![roof(45.0); 8])];
    let joined = roof::solve(&footprints, &OPTIONS).unwrap();
    let found = faults(&footprints, &joined, 8);
    assert!(found.is_empty(), "{found:?}");
    assert_eq!(joined.roof_faces().filter(|(_, face)| face.block().is_some_and(|block| block == "t")).count(), 8);
}

/// Moves blocks along x until each stands clear of those before it.
fn set_apart(footprints: &mut [Footprint], gap: f64) {
    let mut edge = f64::NEG_INFINITY;
    for footprint in footprints {
        let corners = footprint.rings[0].corners();
        let [low, high] = [f64::min, f64::max].map(|pick| corners.iter().map(|corner| corner.x).reduce(pick).unwrap());
        let by = if edge.is_finite() { edge + gap - low } else { 0.0 };
        *footprint = moved(std::slice::from_ref(footprint), |place| place + Vector2::new(by, 0.0)).remove(0);
        edge = high + by;
    }
}

/// Blocks of one site that stand apart, from a hundredth of a millimetre to five metres: each has the roof it has alone.
fn detached(count: u64) {
    let mut wrong: Vec<String> = Vec::new();
    for seed in 0..count {
        let (_, mut footprints) = scene(seed);
        let gaps = [1.0, 0.1, 0.021, 1e-3, 5.0, 1e-5];
        set_apart(&mut footprints, gaps[random::Random(seed ^ 0xdead).below(gaps.len())]);
        let alone = |footprint: &Footprint| roof::solve_one(footprint, &OPTIONS).unwrap();
        let [area, volume] = footprints
            .iter()
            .map(alone)
            .fold([0.0, 0.0], |[area, volume], roof| [area + roof.total_area().0, volume + roof.volume.unwrap()]);
        match roof::solve(&footprints, &OPTIONS) {
            Err(error) => wrong.push(format!("{seed}: {error}")),
            Ok(roof) => {
                if !near(roof.total_area().0, area, 1e-9) || !near(roof.volume.unwrap(), volume, 1e-9) {
                    wrong.push(format!("{seed}: {} m2, alone {area}", roof.total_area().0));
                }
                if let Err(fault) = roof::kernel::shell::solid(&roof, 0.0) {
                    wrong.push(format!("{seed}: {fault:?}"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{} of {count}\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn detached_blocks_have_their_roofs() {
    detached(120);
}

#[test]
#[ignore = "some half a minute"]
fn six_hundred_detached_scenes_are_solved() {
    detached(support::part_of(601) as u64);
}

/// One gable run on by a second block: its faces name the sides of both, each with its block, and are found by either.
#[test]
fn faces_of_two_blocks_name_the_blocks_of_their_sides() {
    let gable = |name: &str, from: f64, to: f64| {
        let role = [support::outline::eave(35.0), eavewright_core::outline::Role::Verge];
        let roles = (0..4).map(|side| role[side % 2].clone()).collect();
        blocks::block(name, 2.5, &[(from, 0.0), (to, 0.0), (to, 5.0), (from, 5.0)], roles)
    };
    let roof = roof::solve(&[gable("a", 0.0, 6.0), gable("b", 6.0, 9.0)], &OPTIONS).unwrap();
    let face = &roof.faces[roof.face_named("a/A").unwrap().index()];
    let is_of = |block: &str, side: &str| face.is_of(&SideName::new(block, side));
    assert_eq!(face.side_names(), ["a/A", "b/A"]);
    assert!(
        [("a", "A"), ("b", "A")].iter().all(|&(block, side)| is_of(block, side))
            && !is_of("a", "C")
            && !is_of("c", "A")
    );
    let wall = &roof.faces[roof.face_named("b/B:wall").unwrap().index()];
    assert_eq!(wall.side_names(), ["B"]);
}

/// Scenes with overhangs where sides nearly coincide: each is solved, and its solid is closed and has no triangle without area.
#[test]
fn near_coincidences_under_overhangs_are_solved() {
    let mut wrong: Vec<String> = Vec::new();
    for seed in [3897, 4019, 4596, 5023, 5288] {
        let (kind, footprints) = blocks::overhanging(seed);
        let roof = match roof::solve(&footprints, &OPTIONS) {
            Ok(roof) => roof,
            Err(error) => {
                wrong.push(format!("{seed} {kind}: {error} {footprints:#?}"));
                continue;
            }
        };
        match roof::kernel::shell::solid(&roof, 0.0) {
            Err(fault) => wrong.push(format!("{seed} {kind}: {fault:?}")),
            Ok(solid) => {
                for triangle in &solid.triangles {
                    let [a, b, c] = triangle.map(|at| solid.positions[at as usize]);
                    let area = (b - a).cross(&(c - a)).norm() / 2.0;
                    let longest = (b - a).norm().max((c - b).norm()).max((a - c).norm());
                    if area <= longest * 1e-9 {
                        wrong.push(format!("{seed} {kind}: {a} {b} {c} has {area} m2"));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
