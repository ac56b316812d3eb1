//! Joined blocks against closed forms (worked out by hand for these invented roofs, sizes in metres).

use eavewright::base::ids::{BlockId, SideId};
use eavewright::base::units::Pitch;
use eavewright::outline::block::{Dormer, DormerKind};
use eavewright::outline::footprint::{Footprint, Ring, Role, Side, TakesOver};
use eavewright::roof::Finding;
use eavewright::roof::{self, EdgeKind, FaceKind, Options, Roof};
use eavewright::wording;
use eavewright::wording::units::Format;
use nalgebra::Point2;

fn eave(degrees: f64) -> Role {
    Role::Eave { pitch: Pitch::from_degrees(degrees).unwrap(), breaks: Vec::new() }
}

fn block(name: &str, height: f64, corners: &[[f64; 2]], roles: &[Role]) -> Footprint {
    let sides = corners
        .iter()
        .zip(roles)
        .zip('A'..)
        .map(|((at, role), letter)| Side {
            name: letter.to_string().into(),
            start: Point2::new(at[0], at[1]),
            height,
            role: role.clone(),
        })
        .collect();
    Footprint { name: name.into(), height, rings: vec![Ring { sides }], walls: None, take_over: TakesOver::Flatter }
}

fn solve(footprints: &[Footprint]) -> Roof {
    let roof = roof::solve(footprints, &Options::default()).unwrap();
    for (index, edge) in roof.edges.iter().enumerate() {
        assert!(!edge.faces.is_empty() && edge.faces.len() <= 2, "edge {index}");
    }
    let solid = roof::model::solid::build(&roof, 0.0);
    let mut halves = std::collections::HashMap::new();
    let mut volume = 0.0;
    for triangle in &solid.triangles {
        let [a, b, c] = triangle.map(|at| solid.positions[at as usize].coords);
        volume += a.dot(&b.cross(&c)) / 6.0;
        for k in 0..3 {
            *halves.entry((triangle[k], triangle[(k + 1) % 3])).or_insert(0) += 1;
        }
    }
    for (&(a, b), &count) in &halves {
        let places = [a, b].map(|at| solid.positions[at as usize]);
        assert!(count == 1 && halves.get(&(b, a)) == Some(&1), "solid open at {places:?}");
    }
    near(volume, roof.volume.unwrap(), "volume of the solid");
    roof
}

fn near(got: f64, wanted: f64, what: &str) {
    assert!((got - wanted).abs() < 1e-9 * wanted.abs().max(1.0), "{what}: {got}, expected {wanted}");
}

/// Count and length of the edges of a kind.
fn edges(roof: &Roof, kind: EdgeKind) -> (usize, f64) {
    let of_kind = || roof.edges.iter().filter(|edge| edge.kind == kind);
    (of_kind().count(), of_kind().map(|edge| roof.length(edge).0).sum())
}

fn edges_are(roof: &Roof, kind: EdgeKind, count: usize, length: f64) {
    let (got, total) = edges(roof, kind);
    let list: Vec<_> = roof.edges.iter().filter(|e| e.kind == kind).map(|e| (roof.at(e.from), roof.at(e.to))).collect();
    assert_eq!(got, count, "{}: {list:?}", kind.word());
    near(total, length, kind.word());
}

fn total(roof: &Roof) -> f64 {
    roof.roof_faces().map(|(_, face)| roof.area(face).0).sum()
}

fn area(roof: &Roof, name: &str) -> f64 {
    let id = roof.face_named(name).unwrap_or_else(|| {
        panic!("no {name} in {:?}", roof.faces.iter().map(eavewright::roof::Face::name).collect::<Vec<_>>())
    });
    roof.area(&roof.faces[id.index()]).0
}

fn walls(roof: &Roof) -> Vec<(String, f64)> {
    let walls = roof.faces.iter().filter(|face| face.kind == FaceKind::Wall);
    walls.map(|face| (face.name(), roof.area(face).0)).collect()
}

/// A T with gables: main 10 x 6, wing 4 wide, 3 out, all 40 degrees.
#[test]
fn cross_wing_meets_main_in_two_valleys() {
    let main = block(
        "main",
        2.4,
        &[[0.0, 0.0], [10.0, 0.0], [10.0, 6.0], [0.0, 6.0]],
        &[eave(40.0), Role::Verge, eave(40.0), Role::Verge],
    );
    // The wing reaches in to the main ridge.
    let wing = block(
        "wing",
        2.4,
        &[[3.0, -3.0], [7.0, -3.0], [7.0, 3.0], [3.0, 3.0]],
        &[Role::Verge, eave(40.0), Role::Verge, eave(40.0)],
    );
    let roof = solve(&[main, wing]);
    let tangent = 40f64.to_radians().tan();
    let k = 1.0 / 40f64.to_radians().cos();
    near(total(&roof), 72.0 * k, "area");
    let valley = (4.0 + 4.0 + (2.0 * tangent).powi(2)).sqrt();
    edges_are(&roof, EdgeKind::Valley, 2, 2.0 * valley);
    edges_are(&roof, EdgeKind::Ridge, 2, 15.0);
    edges_are(&roof, EdgeKind::Verge, 6, 4.0 * 3.0 * k + 2.0 * 2.0 * k);
    edges_are(&roof, EdgeKind::Eave, 5, 22.0);
    edges_are(&roof, EdgeKind::Hip, 0, 0.0);
    // Main prism, and the wing's as far as the main eave, and its roof beyond: a wedge of 2 high-runs.
    let (rise_main, rise_wing) = (3.0 * tangent, 2.0 * tangent);
    let prism = 10.0 * 6.0 * 2.4 + 10.0 * 6.0 * rise_main / 2.0;
    let out = 4.0 * 3.0 * 2.4 + 4.0 * rise_wing / 2.0 * 3.0;
    // Over the main slope the wing stands as a pyramid: its gable section 4 wide, 2 tan high, dwindling over 2 m.
    let over = 4.0 * rise_wing / 2.0 * 2.0 / 3.0;
    near(roof.volume.unwrap(), prism + out + over, "volume");
}

/// An L as two blocks is the L as one.
#[test]
fn l_of_two_blocks_is_l_of_one() {
    let corners = [[0.0, 0.0], [8.0, 0.0], [8.0, 4.0], [4.0, 4.0], [4.0, 7.0], [0.0, 7.0]];
    let roles = [eave(30.0), Role::Verge, eave(30.0), eave(30.0), Role::Verge, eave(30.0)];
    let whole = solve(&[block("l", 2.0, &corners, &roles)]);
    // The first leg ends as a hip over side D at the outer corner; the second leg likewise.
    let first = block(
        "first",
        2.0,
        &[[0.0, 0.0], [8.0, 0.0], [8.0, 4.0], [0.0, 4.0]],
        &[eave(30.0), Role::Verge, eave(30.0), eave(30.0)],
    );
    let second = block(
        "second",
        2.0,
        &[[0.0, 0.0], [4.0, 0.0], [4.0, 7.0], [0.0, 7.0]],
        &[eave(30.0), eave(30.0), Role::Verge, eave(30.0)],
    );
    let joined = solve(&[first, second]);
    near(total(&joined), total(&whole), "area");
    near(total(&whole), 44.0 / 30f64.to_radians().cos(), "area");
    near(joined.volume.unwrap(), whole.volume.unwrap(), "volume");
    for kind in [EdgeKind::Eave, EdgeKind::Verge, EdgeKind::Ridge, EdgeKind::Hip, EdgeKind::Valley] {
        let (count, length) = edges(&whole, kind);
        edges_are(&joined, kind, count, length);
    }
    assert_eq!(joined.roof_faces().count(), whole.roof_faces().count());
    assert_eq!(joined.corners.len(), whole.corners.len());
    assert_eq!(
        joined.feet,
        vec![vec![
            Point2::new(0.0, 0.0),
            Point2::new(8.0, 0.0),
            Point2::new(8.0, 4.0),
            Point2::new(4.0, 4.0),
            Point2::new(4.0, 7.0),
            Point2::new(0.0, 7.0),
        ]]
    );
}

/// A hipped porch on a wall: 2.4 wide, 1.5 out, 30 degrees, against a higher block.
#[test]
fn porch_runs_against_a_higher_wall() {
    let house = block(
        "house",
        4.0,
        &[[0.0, 0.0], [8.0, 0.0], [8.0, 6.0], [0.0, 6.0]],
        &[eave(35.0), Role::Verge, eave(35.0), Role::Verge],
    );
    let porch = block(
        "porch",
        2.4,
        &[[2.0, -1.5], [4.4, -1.5], [4.4, 0.0], [2.0, 0.0]],
        &[eave(30.0), eave(30.0), Role::Abutment, eave(30.0)],
    );
    let alone = solve(std::slice::from_ref(&house));
    let roof = solve(&[house, porch]);
    let tangent = 30f64.to_radians().tan();
    let k = 1.0 / 30f64.to_radians().cos();
    near(total(&roof) - total(&alone), 3.6 * k, "area");
    edges_are(&roof, EdgeKind::Ridge, 2, 8.0 + 0.3);
    edges_are(&roof, EdgeKind::Hip, 2, 2.0 * (1.2f64 * 1.2 * 2.0 + (1.2 * tangent).powi(2)).sqrt());
    edges_are(&roof, EdgeKind::Abutment, 2, 2.0 * 1.2 * k);
    // The house's eave is three: beside, above and beside the wall that stands free over the porch.
    edges_are(&roof, EdgeKind::Eave, 4 + 3, 16.0 + 5.4);
    // The house's wall above the porch, down from its eave.
    let above = 2.4 * 1.6 - 2.4 * 1.2 * tangent / 2.0;
    let cheeks: Vec<_> = walls(&roof).into_iter().filter(|(name, _)| name.starts_with("house/A")).collect();
    assert_eq!(cheeks.len(), 1, "{cheeks:?}");
    near(cheeks[0].1, above, "wall above the porch");
    assert_eq!(cheeks[0].0, "house/A:wall");
}

#[test]
fn block_under_another_gives_a_note() {
    let hall = block(
        "hall",
        3.0,
        &[[0.0, 0.0], [8.0, 0.0], [8.0, 6.0], [0.0, 6.0]],
        &[eave(35.0), eave(35.0), eave(35.0), eave(35.0)],
    );
    let room = block(
        "room",
        2.0,
        &[[2.0, 2.0], [4.0, 2.0], [4.0, 4.0], [2.0, 4.0]],
        &[eave(10.0), eave(10.0), eave(10.0), eave(10.0)],
    );
    let alone = solve(std::slice::from_ref(&hall));
    let roof = solve(&[hall, room]);
    near(total(&roof), total(&alone), "area");
    assert_eq!(roof.faces.len(), 4);
    assert!(
        roof.findings.iter().any(|finding| matches!(finding, Finding::BlockUnderRoof { block } if block == "room"))
    );
}

fn gable_dormer(front_height: f64, kind: DormerKind, pitch: f64) -> Dormer {
    Dormer {
        name: "d1".into(),
        face: SideId { block: BlockId::new(0), ring: 0, side: 0 },
        piece: 1,
        at: [3.1, 1.0],
        width: 1.8,
        front_height,
        pitch: Pitch::from_degrees(pitch).unwrap(),
        kind,
    }
}

fn gable_house() -> Footprint {
    block(
        "house",
        2.5,
        &[[0.0, 0.0], [8.0, 0.0], [8.0, 7.0], [0.0, 7.0]],
        &[eave(40.0), Role::Verge, eave(40.0), Role::Verge],
    )
}

/// A gabled dormer in a gable roof 8 x 7 at 40 degrees: 1.8 wide, 1.0 in from the eave, cheeks 1.2 high, 40 degrees.
#[test]
fn dormer_stands_in_a_slope() {
    let house = gable_house();
    let host = solve(std::slice::from_ref(&house));
    let dormer =
        roof::kernel::dormer::footprint(&host, "house/A", &gable_dormer(1.2, DormerKind::Gable, 40.0)).unwrap();
    let roof = solve(&[house, dormer]);
    let tangent = 40f64.to_radians().tan();
    let k = 1.0 / 40f64.to_radians().cos();
    let eave_length = 1.2 / tangent;
    let ridge = (1.2 + 0.9 * tangent) / tangent;
    near(ridge, eave_length + 0.9, "ridge");
    near(total(&roof), 56.0 * k, "all roof");
    edges_are(&roof, EdgeKind::Ridge, 2, 8.0 + ridge);
    edges_are(&roof, EdgeKind::Valley, 2, 2.0 * (0.81 + 0.81 + (0.9 * tangent).powi(2)).sqrt());
    edges_are(&roof, EdgeKind::Eave, 4, 16.0 + 2.0 * eave_length);
    near(area(&roof, "d1/right") + area(&roof, "d1/left"), 2.0 * 0.9 * (eave_length + 0.45) * k, "dormer roof");
    near(area(&roof, "d1/right:wall"), 1.2 * eave_length / 2.0, "cheek");
    near(area(&roof, "d1/left:wall"), 1.2 * eave_length / 2.0, "cheek");
    near(area(&roof, "d1/front:wall"), 1.8 * 1.2 + 0.9 * 0.9 * tangent, "front");
    // Two cheeks on the slope and the foot of the front.
    edges_are(&roof, EdgeKind::Abutment, 3, 2.0 * eave_length * k + 1.8);
    let prism = 56.0 * 2.5 + 8.0 * 3.5 * 3.5 * tangent;
    // Front section with its gable, dwindling: a wedge to where the eaves meet the slope, a pyramid beyond.
    let wedge = 1.8 * 1.2 * eave_length / 2.0;
    let gable = 0.81 * tangent * eave_length + 0.81 * tangent * 0.9 / 3.0;
    near(roof.volume.unwrap(), prism + wedge + gable, "volume");
}

#[test]
fn shed_and_hip_dormers_meet_the_slope() {
    let house = gable_house();
    let host = solve(std::slice::from_ref(&house));
    let tangents = (40f64.to_radians().tan(), 15f64.to_radians().tan());
    let shed = roof::kernel::dormer::footprint(&host, "house/A", &gable_dormer(0.8, DormerKind::Shed, 15.0)).unwrap();
    let roof = solve(&[house.clone(), shed]);
    let depth = 0.8 / (tangents.0 - tangents.1);
    near(area(&roof, "d1/front"), 1.8 * depth / 15f64.to_radians().cos(), "shed roof");
    edges_are(&roof, EdgeKind::Valley, 1, 1.8);
    near(area(&roof, "d1/left:wall"), 0.8 * depth / 2.0, "cheek");

    let hip = roof::kernel::dormer::footprint(&host, "house/A", &gable_dormer(1.2, DormerKind::Hip, 40.0)).unwrap();
    let roof = solve(&[house, hip]);
    near(total(&roof), 56.0 / 40f64.to_radians().cos(), "all roof");
    near(area(&roof, "d1/front"), 0.81 / 40f64.to_radians().cos(), "front slope");
    edges_are(&roof, EdgeKind::Hip, 2, 2.0 * (0.81 + 0.81 + (0.9 * tangents.0).powi(2)).sqrt());
}

#[test]
fn dormer_that_does_not_fit_is_refused() {
    let host = solve(&[gable_house()]);
    let refused = |dormer: &Dormer| {
        let error = roof::kernel::dormer::footprint(&host, "house/A", dormer).unwrap_err();
        wording::fault::dormer(&error, Format::default())
    };
    assert!(refused(&gable_dormer(2.4, DormerKind::Gable, 40.0)).contains("would meet the plane of house/A 3.76 m in"));
    assert!(refused(&gable_dormer(1.0, DormerKind::Shed, 40.0)).contains("would never meet"));
    let aside = Dormer { at: [7.0, 1.0], ..gable_dormer(1.2, DormerKind::Gable, 40.0) };
    assert!(refused(&aside).contains("along house/A, 0.80 m past the right end, expected it within 0.00 m to 8.00 m"));
}
