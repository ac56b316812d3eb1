//! Blocks placed by another's side: wherever the other stands and whichever of its sides it is, the joined roof is that of
//! the same two outlines placed by hand.

use eavewright::base::units::Pitch;
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options};
use eavewright::outline::{Footprint, Ring, Role, Side, TakesOver};
use eavewright::roof::{self, EdgeKind, Roof};
use nalgebra::{Point2, Rotation2, Vector2};
use random::Random;
use std::collections::BTreeMap;
use support::random;

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
            Side { name: name.into(), start: corners[k], height, role: roles[k].clone() }
        })
        .collect();
    if eavewright::base::polygon::signed_area(corners) < 0.0 {
        // Walked back, a side starts where it ended.
        for (k, side) in sides.iter_mut().enumerate() {
            side.start = corners[(k + 1) % count];
        }
        sides.reverse();
    }
    Footprint { name: name.into(), height, rings: vec![Ring { sides }], walls: None, take_over: TakesOver::Flatter }
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

/// Sides of one pitch all round, walked one way, as the file says them.
fn all_round(letters: &str, lengths: [f64; 4], turn: &str, pitch: f64) -> String {
    let side = |(letter, length): (char, f64)| {
        format!("  {{ from = \"{letter}\", length = {length:?}, turn = \"{turn}\", pitch = {pitch:?} }},\n")
    };
    let sides: String = letters.chars().zip(lengths).map(side).collect();
    format!("[\n{sides}]")
}

fn answer_of(text: &str) -> job::Answer {
    let (job, ..) = input::read("roof.toml", text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}\n{text}"));
    job::solve(&job, &Options { spread: false, ..Options::default() }).unwrap_or_else(|error| panic!("{error}\n{text}"))
}

fn roof_area(roof: &Roof) -> f64 {
    roof.roof_faces().map(|(_, face)| roof.area(face).0).sum()
}

/// The corners of a rectangle walked from a place in a direction, turning left or right.
fn rectangle(start: Point2<f64>, heading: f64, [along, across]: [f64; 2], turn: &str) -> [Point2<f64>; 4] {
    let way = Rotation2::new(heading.to_radians()) * Vector2::x() * along;
    let side = Rotation2::new(heading.to_radians()) * Vector2::y() * if turn == "L" { across } else { -across };
    [start, start + way, start + way + side, start + side]
}

fn same_places(found: &[Point2<f64>], expected: &[Point2<f64>], what: &str) {
    let off = found.iter().zip(expected).map(|(a, b)| (a - b).norm()).fold(0.0, f64::max);
    assert!(found.len() == expected.len() && off < 1e-9, "{what}: {found:?}, expected {expected:?}");
}

/// A wing with a light well, walked outwards from side B of a main block that is itself turned: the well goes with the
/// wing's outline. One pitch all round and no overhang, so the roof is the plan over the pitch's cosine; the two roofs
/// meet in a level valley along the common side.
#[test]
fn holes_go_with_the_outline_that_is_placed() {
    let (main, wing, well, pitch) = ([12.0, 10.0], [8.0, 7.0], [1.6, 1.1], 30.0_f64);
    let wanted = (main[0] * main[1] + wing[0] * wing[1] - well[0] * well[1]) / pitch.to_radians().cos();
    let mut volume = None;
    for turned in [0.0, 90.0, 30.0, -77.3] {
        for (own, turn) in [(0.0, "L"), (90.0, "L"), (30.0, "R"), (-12.5, "R")] {
            let sides = all_round("IJKM", [well[0], well[1], well[0], well[1]], turn, pitch);
            // The wing is walked to the right, so inside it y is negative.
            let hole = format!("{{ start = [3.5, -3.1], heading = {own:?}, sides = {sides} }}");
            let text = format!(
                "units = \"m\"\n\n[[block]]\nname = \"main\"\nheight = 3.0\nstart = [40.0, -7.0]\nheading = {turned:?}\nsides = {}\n\n\
                 [[block]]\nname = \"wing\"\nheight = 3.0\nat_side = \"main/B\"\noffset = 1.25\nsides = {}\nholes = [{hole}]\n",
                all_round("ABCD", [main[0], main[1], main[0], main[1]], "L", pitch),
                all_round("EFGH", [wing[0], wing[1], wing[0], wing[1]], "R", pitch),
            );
            let answer = answer_of(&text);
            let start = rectangle(Point2::new(40.0, -7.0), turned, main, "L")[1];
            let way = turned + 90.0;
            let inner = |x: f64, y: f64| start + Rotation2::new(way.to_radians()) * Vector2::new(1.25 + x, y);
            same_places(&answer.corners[1][0], &rectangle(inner(0.0, 0.0), way, wing, "R"), "wing");
            same_places(&answer.corners[1][1], &rectangle(inner(3.5, -3.1), way + own, well, turn), "well");
            let area = roof_area(&answer.roof);
            assert!((area - wanted).abs() < 1e-9 * wanted, "turned by {turned} and {own}: {area}, expected {wanted}");
            if own == 0.0 {
                // Turning the whole changes nothing.
                let found = answer.roof.volume.unwrap();
                let first = *volume.get_or_insert(found);
                assert!((found - first).abs() < 1e-9 * first, "turned by {turned}: {found}, {first}");
            }
        }
    }
}

/// Outline and hole by the places of their corners, counted from the side that the block stands on.
#[test]
fn placed_corners_of_a_hole_count_from_the_side() {
    let text = "units = \"m\"\n\n[[block]]\nname = \"main\"\nheight = 3.0\nheading = 30\nsides = [
  { from = \"A\", length = 9.0, turn = \"L\", pitch = 40 },
  { from = \"B\", length = 6.0, turn = \"L\", pitch = 40 },
  { from = \"C\", length = 9.0, turn = \"L\", pitch = 40 },
  { from = \"D\", length = 6.0, turn = \"L\", pitch = 40 },
]\n\n[[block]]\nname = \"wing\"\nheight = 3.0\nat_side = \"main/A\"\noffset = 2.0\nsides = [
  { from = \"E\", at = [0, 0], pitch = 40 },
  { from = \"F\", at = [0, -5], pitch = 40 },
  { from = \"G\", at = [6, -5], pitch = 40 },
  { from = \"H\", at = [6, 0], pitch = 40 },
]\nholes = [{ start = [1, -4], heading = 90, sides = [
  { from = \"I\", at = [0, 0], pitch = 40 },
  { from = \"J\", at = [2, 0], pitch = 40 },
  { from = \"K\", at = [2, -3], pitch = 40 },
] }]\n";
    let answer = answer_of(text);
    let turn = Rotation2::new(30_f64.to_radians());
    let at = |x: f64, y: f64| Point2::from(turn * Vector2::new(2.0 + x, y));
    same_places(&answer.corners[1][0], &[at(0.0, 0.0), at(0.0, -5.0), at(6.0, -5.0), at(6.0, 0.0)], "wing");
    // Turned by 90° about (1, -4): (x, y) comes to (1 - y, -4 + x).
    same_places(&answer.corners[1][1], &[at(1.0, -4.0), at(1.0, -2.0), at(4.0, -2.0)], "hole");
    let wanted = (54.0 + 30.0 - 3.0) / 40_f64.to_radians().cos();
    let area = roof_area(&answer.roof);
    assert!((area - wanted).abs() < 1e-9 * wanted, "{area}, expected {wanted}");
}

/// A shed in a courtyard, against one of its walls: a hole's side carries a block as any other does.
#[test]
fn a_side_of_a_courtyard_carries_a_block() {
    for (turned, turn) in [(0.0_f64, "L"), (30.0, "R"), (90.0, "L")] {
        // Walked left the courtyard lies to the left of its sides, walked right to their right.
        let court = all_round("PQRS", [7.0, 5.0, 7.0, 5.0], turn, 35.0);
        let y = if turn == "L" { 3.5 } else { 8.5 };
        let text = format!(
            "units = \"m\"\n\n[[block]]\nname = \"main\"\nheight = 3.0\nheading = {turned:?}\nsides = {}\nholes = [{{ start = [4, {y:?}], sides = {court} }}]\n\n\
             [[block]]\nname = \"shed\"\nheight = 3.0\nat_side = \"main/P\"\noffset = 1.5\nsides = {}\n",
            all_round("ABCD", [15.0, 12.0, 15.0, 12.0], "L", 35.0),
            all_round("EFGH", [3.0, 2.0, 3.0, 2.0], turn, 35.0),
        );
        let answer = answer_of(&text);
        let place = Point2::from(Rotation2::new(turned.to_radians()) * Vector2::new(5.5, y));
        same_places(&answer.corners[1][0], &rectangle(place, turned, [3.0, 2.0], turn), "shed");
        let wanted = (15.0 * 12.0 - 7.0 * 5.0 + 3.0 * 2.0) / 35_f64.to_radians().cos();
        let area = roof_area(&answer.roof);
        assert!((area - wanted).abs() < 1e-9 * wanted, "{turned} {turn}: {area}, expected {wanted}");
    }
}

/// Which block the file names first does not matter: each stands where its host puts it.
#[test]
fn a_host_may_come_later_in_the_file() {
    let block = |name: &str, place: &str, letters: &str, size: [f64; 2], turn: &str| {
        let sides = all_round(letters, [size[0], size[1], size[0], size[1]], turn, 35.0);
        format!("[[block]]\nname = \"{name}\"\nheight = 3.0\n{place}\nsides = {sides}\n\n")
    };
    let main = block("main", "start = [3, 4]\nheading = 30", "ABCD", [10.0, 6.0], "L");
    let wing = block("wing", "at_side = \"main/B\"\noffset = 1.0", "EFGH", [4.0, 3.0], "R");
    let bay = block("bay", "at_side = \"wing/G\"\noffset = 0.5", "IJKM", [2.0, 1.0], "L");
    let order = |blocks: [&String; 3]| format!("units = \"m\"\n\n{}{}{}", blocks[0], blocks[1], blocks[2]);
    let (straight, back) = (answer_of(&order([&main, &wing, &bay])), answer_of(&order([&bay, &wing, &main])));
    let main_at = rectangle(Point2::new(3.0, 4.0), 30.0, [10.0, 6.0], "L");
    let way = Rotation2::new(120_f64.to_radians()) * Vector2::x();
    let wing_at = rectangle(main_at[1] + way, 120.0, [4.0, 3.0], "R");
    // Side G of the wing heads back; the wing lies to its right, the bay to its left.
    let bay_at = rectangle(wing_at[2] - way * 0.5, -60.0, [2.0, 1.0], "L");
    for (answer, [main, wing, bay]) in [(&straight, [0, 1, 2]), (&back, [2, 1, 0])] {
        same_places(&answer.corners[main][0], &main_at, "main");
        same_places(&answer.corners[wing][0], &wing_at, "wing");
        same_places(&answer.corners[bay][0], &bay_at, "bay");
        let (area, wanted) = (roof_area(&answer.roof), (60.0 + 12.0 + 2.0) / 35_f64.to_radians().cos());
        assert!((area - wanted).abs() < 1e-9 * wanted, "{area}, expected {wanted}");
    }
}

/// A main block taped out of square by a degree and more, squared up: a wing with a light well on its side, and a bay on the
/// wing's, go with the side. The wing lies along it for all of its 4.0 m, and the roof is the plan over the pitch's cosine.
#[test]
fn what_stands_on_a_side_goes_with_it_when_it_is_squared_up() {
    for turned in [0.0, 30.0, 90.0] {
        for wing_too in [false, true] {
            let text = format!(
                "units = \"m\"\n\n[[block]]\nname = \"bay\"\nheight = 3.0\nat_side = \"wing/G\"\noffset = 1.5\nsides = {}\n\n\
                 [[block]]\nname = \"main\"\nheight = 3.0\nstart = [20, 30]\nheading = {turned:?}\nsquare_up = true\nsides = [
  {{ from = \"A\", length = 10.0, turn = 89, pitch = 35 }},
  {{ from = \"B\", length = 7.0, turn = 91.2, pitch = 35 }},
  {{ from = \"C\", length = 10.1, turn = 89.1, pitch = 35 }},
  {{ from = \"D\", length = 7.0, pitch = 35 }},
]\n\n\
                 [[block]]\nname = \"wing\"\nheight = 3.0\nat_side = \"main/B\"\noffset = 1.0\nsquare_up = {wing_too}\nsides = {}\n\
                 holes = [{{ start = [1.0, -1.0], heading = 20, sides = {} }}]\n",
                all_round("NOPQ", [1.5, 1.0, 1.5, 1.0], "L", 35.0),
                all_round("EFGH", [4.0, 3.0, 4.0, 3.0], "R", 35.0),
                all_round("IJKM", [0.8, 0.6, 0.8, 0.6], "R", 35.0),
            );
            let answer = answer_of(&text);
            let roof = &answer.roof;
            let face = |name: &str| roof.face_named(name).unwrap();
            let lengths = |name: &str, kind: EdgeKind| -> Vec<f64> {
                let edges = roof.edges.iter().filter(|edge| edge.kind == kind && edge.faces.contains(&face(name)));
                edges.map(|edge| roof.length(edge).0).collect()
            };
            let (width, depth) = (lengths("main/A", EdgeKind::Eave)[0], lengths("main/D", EdgeKind::Eave)[0]);
            let mut beside = lengths("main/B", EdgeKind::Eave);
            beside.sort_by(f64::total_cmp);
            let level = |name: &str, other: &str| -> Vec<f64> {
                let both = |edge: &&roof::Edge| [name, other].iter().all(|name| edge.faces.contains(&face(name)));
                roof.edges.iter().filter(both).map(|edge| roof.length(edge).0).collect()
            };
            let what = format!("turned by {turned}: {beside:?}, {depth}");
            assert!(
                beside.len() == 2 && (beside[0] - 1.0).abs() < 1e-9 && (beside[1] - (depth - 5.0)).abs() < 1e-9,
                "{what}"
            );
            for (found, wanted) in [(level("main/B", "wing/E"), 4.0), (level("wing/G", "bay/N"), 1.5)] {
                assert!(found.len() == 1 && (found[0] - wanted).abs() < 1e-9, "{what}: {found:?}, expected {wanted}");
            }
            let wanted = (width * depth + 4.0 * 3.0 - 0.8 * 0.6 + 1.5) / 35_f64.to_radians().cos();
            let area = roof_area(roof);
            assert!((area - wanted).abs() < 1e-9 * wanted, "{what}: {area}, expected {wanted}");
        }
    }
}

/// On a side that is sure of its place, outline and hole are as sure as where they are placed by hand.
#[test]
fn a_hole_on_a_side_is_as_sure_as_one_placed_by_hand() {
    let spread = |place: &str| {
        let text = format!(
            "units = \"m\"\n\n[[block]]\nname = \"main\"\nheight = 3.0\nheading = 30\nsides = [
  {{ from = \"A\", at = [0, 0], pitch = 35 }},
  {{ from = \"B\", at = [9, 0], pitch = 35 }},
  {{ from = \"C\", at = [9, 8], pitch = 35 }},
  {{ from = \"D\", at = [0, 8], pitch = 35 }},
]\n\n[[block]]\nname = \"wing\"\nheight = 2.0\n{place}\nsides = {}\nholes = [{{ start = [2, -2], heading = 10, sides = {} }}]\n",
            all_round("EFGH", [6.0, 5.0, 6.0, 5.0], "R", 35.0),
            all_round("IJKM", [1.5, 0.8, 1.5, 0.8], "R", 35.0),
        );
        let (job, ..) = input::read("roof.toml", &text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}\n{text}"));
        job::solve(&job, &Options::default()).unwrap_or_else(|error| panic!("{error}\n{text}"))
    };
    let corner = Rotation2::new(30_f64.to_radians()) * Vector2::new(9.0, 1.0);
    let by_hand = spread(&format!("start = [{:?}, {:?}]\nheading = 120", corner.x, corner.y));
    let on_side = spread("at_side = \"main/B\"\noffset = 1.0");
    let (found, wanted) = (on_side.spread.total_area.unwrap(), by_hand.spread.total_area.unwrap());
    assert!(wanted > 0.01 && (found - wanted).abs() < 1e-6 * wanted, "{found}, expected {wanted}");
    assert_eq!(on_side.spread.face_area.len(), by_hand.spread.face_area.len());
    for (found, wanted) in on_side.spread.face_area.iter().zip(&by_hand.spread.face_area) {
        assert!((found.unwrap() - wanted.unwrap()).abs() < 1e-6, "{found:?}, expected {wanted:?}");
    }
}
