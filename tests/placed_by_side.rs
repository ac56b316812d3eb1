//! Blocks placed by another's side: wherever the other stands and whichever of its sides it is, the joined roof is that of
//! the same two outlines placed by hand.
#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "support/random.rs"]
mod random;

use eavewright::base::units::Pitch;
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options};
use eavewright::outline::{Footprint, Ring, Role, Side};
use eavewright::roof::{self, EdgeKind, Roof};
use nalgebra::{Point2, Rotation2, Vector2};
use random::Random;
use std::collections::BTreeMap;

/// What rises from a side: as the file says it and as a role.
fn role(pitch: Option<f64>, is_abutment: bool) -> (String, Role) {
    match pitch {
        Some(degrees) => {
            let pitch = Pitch::from_degrees(degrees).unwrap();
            (format!("pitch = {degrees:?}"), Role::Eave { pitch, breaks: Vec::new() })
        }
        None if is_abutment => ("abutment = true".into(), Role::Abutment),
        None => ("verge = true".into(), Role::Verge),
    }
}

/// A footprint over corners that may run either way round.
fn footprint(name: &str, height: f64, corners: &[Point2<f64>], roles: &[Role]) -> Footprint {
    let count = corners.len();
    let mut sides: Vec<Side> = (0..count)
        .map(|k| {
            let name = char::from(b'A' + u8::try_from(k).unwrap()).to_string();
            Side { name, start: corners[k], height, role: roles[k].clone() }
        })
        .collect();
    if eavewright::base::polygon::signed_area(corners) < 0.0 {
        // Walked back, a side starts where it ended.
        for (k, side) in sides.iter_mut().enumerate() {
            side.start = corners[(k + 1) % count];
        }
        sides.reverse();
    }
    Footprint { name: name.into(), height, rings: vec![Ring { sides }], walls: None }
}

fn block(name: &str, height: f64, place: &str, lengths: [f64; 4], turn: &str, roles: &[(String, Role)]) -> String {
    let mut text =
        format!("[[block]]\nname = \"{name}\"\nheight = {height:?}\nmeasured_at = \"eaves\"\n{place}\nsides = [\n");
    for (k, ((says, _), length)) in roles.iter().zip(lengths).enumerate() {
        let from = char::from(b'A' + u8::try_from(k).unwrap());
        text += &format!("  {{ from = \"{from}\", length = {length:?}, turn = \"{turn}\", {says} }},\n");
    }
    text + "]\n\n"
}

fn summary(roof: &Roof) -> (BTreeMap<EdgeKind, usize>, f64, f64) {
    let mut kinds = BTreeMap::new();
    roof.edges.iter().for_each(|edge| *kinds.entry(edge.kind).or_default() += 1);
    (kinds, roof.roof_faces().map(|(_, face)| roof.area(face).0).sum(), roof.volume.unwrap())
}

#[test]
fn a_block_on_a_side_is_the_block_placed_by_hand() {
    for seed in 0..80 {
        let mut random = Random(seed * 977 + 5);
        let (width, depth) = (random.between(6.0, 12.0), random.between(5.0, 9.0));
        let heading: f64 = [0.0, 90.0, random.between(-180.0, 180.0)][random.below(3)];
        let start = Point2::new(random.between(-50.0, 50.0), random.between(-50.0, 50.0));
        let pitch = [20.0, 35.0, 45.0][random.below(3)];
        let ends = if random.below(2) == 0 { None } else { Some(pitch) };
        let main = [Some(pitch), ends, Some(pitch), ends].map(|pitch| role(pitch, false));
        // A lean-to, or a gable that runs out from the side.
        let low = [15.0, 30.0, 40.0][random.below(3)];
        let wing = if random.below(2) == 0 {
            [role(None, true), role(None, false), role(Some(low), false), role(None, false)]
        } else {
            [role(None, false), role(Some(low), false), role(None, false), role(Some(low), false)]
        };
        let side = random.below(4);
        let length = if side.is_multiple_of(2) { width } else { depth };
        let wide = random.between(1.5, 0.8 * length);
        let offset = random.between(0.0, length - wide);
        let out = random.between(1.0, 4.0);
        let (height, lower) = (3.0, 3.0 - [0.0, 0.3, 0.8][random.below(3)]);

        let letter = char::from(b'A' + u8::try_from(side).unwrap());
        let at = format!("start = [{:?}, {:?}]\nheading = {heading:?}", start.x, start.y);
        let on = format!("at_side = \"main/{letter}\"\noffset = {offset:?}");
        let text = String::from("units = \"m\"\n\n")
            + &block("main", height, &at, [width, depth, width, depth], "L", &main)
            + &block("wing", lower, &on, [wide, out, wide, out], "R", &wing);
        let (job, ..) = input::read("roof.toml", &text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}\n{text}"));
        let answer = job::solve(&job, &Options { spread: false, ..Options::default() })
            .unwrap_or_else(|error| panic!("{seed}: {error}\n{text}"));

        let turn = Rotation2::new(heading.to_radians());
        let corners =
            [[0.0, 0.0], [width, 0.0], [width, depth], [0.0, depth]].map(|[x, y]| start + turn * Vector2::new(x, y));
        let along = (corners[(side + 1) % 4] - corners[side]).normalize();
        // The main lies to the left of its side, the wing to the right.
        let outwards = Vector2::new(along.y, -along.x) * out;
        let first = corners[side] + along * offset;
        let second = first + along * wide;
        let wing_corners = [first, second, second + outwards, first + outwards];
        let by_hand = [
            footprint("main", height, &corners, &main.map(|(_, role)| role)),
            footprint("wing", lower, &wing_corners, &wing.map(|(_, role)| role)),
        ];
        let expected =
            roof::solve(&by_hand, &roof::Options::default()).unwrap_or_else(|error| panic!("{seed}: {error}"));
        let ((kinds, area, volume), (wanted_kinds, wanted_area, wanted_volume)) =
            (summary(&answer.roof), summary(&expected));
        assert_eq!(kinds, wanted_kinds, "{seed}\n{text}");
        assert!((area - wanted_area).abs() < 1e-6 * wanted_area, "{seed}: {area}, {wanted_area}\n{text}");
        assert!((volume - wanted_volume).abs() < 1e-6 * wanted_volume, "{seed}: {volume}, {wanted_volume}\n{text}");
        let stands = |place: &Point2<f64>| answer.corners[1][0].iter().any(|corner| (corner - place).norm() < 1e-6);
        assert!(wing_corners.iter().all(stands), "{seed}: {:?}, {wing_corners:?}\n{text}", answer.corners[1]);
    }
}
