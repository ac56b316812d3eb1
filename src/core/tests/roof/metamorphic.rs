//! What must not change an answer: turning, mirroring, scaling, moving far away, starting at another corner.
//!
//! Walking the other way is undone where outlines are traced, before a roof is solved; here it is mirroring, which
//! reverses the walk as well.

use eavewright_core::outline::{Footprint, Role};
use eavewright_core::roof::{self, EdgeKind, FaceKind, Options, Roof};
use nalgebra::{Point2, Rotation2, Vector2};
use std::collections::BTreeMap;
use support::outline;
use support::random;

/// What is compared: areas by side and kind of face, lengths and counts by kind of edge, volume, top.
struct Answer {
    areas: BTreeMap<(Vec<String>, bool), f64>,
    lengths: BTreeMap<EdgeKind, (usize, f64)>,
    volume: f64,
    top: f64,
}

fn answer(roof: &Roof) -> Answer {
    let mut areas = BTreeMap::new();
    for face in &roof.faces {
        let mut sides: Vec<String> = face.sides.iter().map(ToString::to_string).collect();
        sides.sort();
        *areas.entry((sides, face.kind == FaceKind::Wall)).or_insert(0.0) += roof.area(face).0;
    }
    let mut lengths = BTreeMap::new();
    for edge in &roof.edges {
        let entry = lengths.entry(edge.kind).or_insert((0, 0.0));
        *entry = (entry.0 + 1, entry.1 + roof.length(edge).0);
    }
    Answer { areas, lengths, volume: roof.volume.unwrap(), top: roof.ridge_height().unwrap() }
}

fn solve(footprint: &Footprint) -> Roof {
    roof::solve(std::slice::from_ref(footprint), &Options::default()).unwrap_or_else(|error| panic!("{error}"))
}

fn moved(footprint: &Footprint, place: impl Fn(Point2<f64>) -> Point2<f64>) -> Footprint {
    let mut footprint = footprint.clone();
    for side in footprint.rings.iter_mut().flat_map(|ring| &mut ring.sides) {
        side.start = place(side.start);
    }
    footprint
}

fn mirrored(footprint: &Footprint) -> Footprint {
    let mut footprint = moved(footprint, |place| Point2::new(-place.x, place.y));
    for ring in &mut footprint.rings {
        let starts: Vec<Point2<f64>> = ring.sides.iter().map(|side| side.start).collect();
        // A side that ran from corner i to i+1 now starts at the image of i+1.
        for (index, side) in ring.sides.iter_mut().enumerate() {
            side.start = starts[(index + 1) % starts.len()];
        }
        ring.sides.reverse();
    }
    footprint
}

fn scaled(footprint: &Footprint, factor: f64) -> Footprint {
    let mut footprint = moved(footprint, |place| Point2::from(place.coords * factor));
    for side in footprint.rings.iter_mut().flat_map(|ring| &mut ring.sides) {
        side.height *= factor;
        match &mut side.role {
            Role::Eave { breaks, .. } => breaks.iter_mut().for_each(|(rise, _)| *rise *= factor),
            Role::HalfHip { hip_from: rise, .. } | Role::Gablet { verge_from: rise, .. } => *rise *= factor,
            Role::Verge | Role::Abutment => {}
        }
    }
    footprint.height *= factor;
    footprint
}

fn compare(what: &str, one: &Answer, two: &Answer, factor: f64, allowed: f64) {
    let same = |a: f64, b: f64| (a - b).abs() <= allowed * (a.abs() + factor);
    let keys = |answer: &Answer| answer.areas.keys().cloned().collect::<Vec<_>>();
    assert_eq!(keys(one), keys(two), "{what}: faces");
    for (key, area) in &one.areas {
        assert!(same(area * factor * factor, two.areas[key]), "{what}: area of {key:?}: {area}, {}", two.areas[key]);
    }
    let counts = |answer: &Answer| answer.lengths.iter().map(|(kind, (count, _))| (*kind, *count)).collect::<Vec<_>>();
    assert_eq!(counts(one), counts(two), "{what}: edges");
    for (kind, (_, length)) in &one.lengths {
        assert!(same(length * factor, two.lengths[kind].1), "{what}: {}", kind.word());
    }
    assert!(same(one.volume * factor.powi(3), two.volume), "{what}: volume");
    assert!(same(one.top * factor, two.top), "{what}: top");
}

fn check(name: &str, footprint: &Footprint) {
    let original = answer(&solve(footprint));
    let turned = |degrees: f64| {
        let rotation = Rotation2::new(f64::to_radians(degrees));
        moved(footprint, |place| rotation * place)
    };
    for degrees in [90.0, 17.3, 211.9] {
        let what = format!("{name} turned by {degrees}");
        compare(&what, &original, &answer(&solve(&turned(degrees))), 1.0, 1e-7);
    }
    compare(&format!("{name} mirrored"), &original, &answer(&solve(&mirrored(footprint))), 1.0, 1e-9);
    for factor in [0.3, 7.0] {
        let what = format!("{name} scaled by {factor}");
        compare(&what, &original, &answer(&solve(&scaled(footprint, factor))), factor, 1e-7);
    }
    let far = Vector2::new(500_000.0, -500_000.0);
    let away = moved(footprint, |place| place + far);
    compare(&format!("{name} 500 km away"), &original, &answer(&solve(&away)), 1.0, 1e-7);
    let mut restarted = footprint.clone();
    let count = restarted.rings[0].sides.len();
    restarted.rings[0].sides.rotate_left(count / 2);
    compare(&format!("{name} from another corner"), &original, &answer(&solve(&restarted)), 1.0, 1e-9);
}

#[test]
fn named_roofs() {
    use outline::{block, block_at, eave, pitch, rectangle};
    check("hip", &rectangle(9.2, 5.6, [eave(35.0), eave(35.0), eave(35.0), eave(35.0)]));
    check("square", &rectangle(4.0, 4.0, [eave(50.0), eave(50.0), eave(50.0), eave(50.0)]));
    let end = Role::HalfHip { hip_from: 2.0, pitch: pitch(60.0) };
    check("half-hip", &rectangle(8.0, 6.0, [eave(45.0), end.clone(), eave(45.0), end]));
    let side = Role::Eave { pitch: pitch(60.0), breaks: vec![(1.0, pitch(30.0))] };
    check("gambrel", &rectangle(7.0, 6.0, [side.clone(), Role::Verge, side, Role::Verge]));
    let step = [(0.0, 0.0, eave(30.0)), (5.0, 0.0, eave(45.0)), (10.0, 0.0, Role::Verge), (10.0, 4.0, Role::Abutment)];
    let step: Vec<_> = step.into_iter().chain([(0.0, 4.0, Role::Verge)]).collect();
    check("step", &block(&step));
    check(
        "levels",
        &block_at(&[
            (0.0, 0.0, 0.0, eave(45.0)),
            (8.0, 0.0, 1.0, eave(45.0)),
            (8.0, 6.0, 0.0, eave(40.0)),
            (0.0, 6.0, 1.0, eave(45.0)),
        ]),
    );
}

#[test]
fn random_roofs() {
    for seed in 0..60 {
        let sides = 6 + usize::try_from(seed).unwrap() % 25;
        check(&format!("rectilinear {seed}"), &random::rectilinear(seed, sides, false));
        check(&format!("general {seed}"), &random::general(seed, sides, true));
    }
}
