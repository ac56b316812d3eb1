//! Outlines and overhangs against closed forms.
//!
//! Sources: the fascia rules are plane geometry (a plane that passes over the wall line drops by o · tan s out to
//! level distance o). The jobs' sizes are of our own invention with their answers worked by hand.

use eavewright::base::finding::Finding as _;
use eavewright::base::multi_error::MultiError;
use eavewright::base::place::Place;
use eavewright::base::polygon::signed_area;
use eavewright::base::units::Pitch;
use eavewright::outline::block::{Block, BlockRing, BlockRole, BlockSide, Fascia, OutlineDatum, Overhang, Placement};
use eavewright::outline::{OutlineError, Role, Traced, trace};
use eavewright::survey::model::MeasuredRing;
use eavewright::wording;
use eavewright::wording::units::Format;
use nalgebra::Point2;

fn eave(degrees: f64) -> BlockRole {
    BlockRole::Known(Role::Eave { pitch: Pitch::from_degrees(degrees).unwrap(), breaks: Vec::new() })
}

fn verge() -> BlockRole {
    BlockRole::Known(Role::Verge)
}

/// A block of one or more rings by places, named A, B, C … through all rings.
fn block(rings: &[&[(f64, f64, f64, BlockRole)]], datum: OutlineDatum) -> (Block, Vec<Vec<Point2<f64>>>) {
    let mut letters = ('A'..='Z').map(String::from);
    let places: Vec<Vec<Point2<f64>>> =
        rings.iter().map(|ring| ring.iter().map(|side| Point2::new(side.0, side.1)).collect()).collect();
    let rings = rings.iter().zip(&places).map(|(ring, places)| BlockRing {
        measured: MeasuredRing::Places(places.clone()),
        sides: ring
            .iter()
            .map(|(_, _, height, role)| BlockSide {
                name: letters.next().unwrap(),
                height: *height,
                role: role.clone(),
            })
            .collect(),
        start: Point2::origin(),
        heading: 0.0,
    });
    let block = Block {
        name: "store".to_owned(),
        height: 2.4,
        placement: Placement::At { start: Point2::origin(), heading: 0.0 },
        rings: rings.collect(),
        datum,
        ridge_height: None,
        rafter: None,
        square_up: false,
        take_over: eavewright::outline::TakesOver::Flatter,
    };
    (block, places)
}

fn at_wall(fascia: Fascia, eave: f64, verge: f64, above_plate: f64) -> OutlineDatum {
    OutlineDatum::Wall { overhang: Overhang { eave, verge, fascia }, above_plate }
}

fn traced(rings: &[&[(f64, f64, f64, BlockRole)]], datum: OutlineDatum) -> Traced {
    let (block, places) = block(rings, datum);
    trace(&[block], &[places]).unwrap()
}

/// Job: unequal hip, wall 10.0 × 6.0, long sides 30°, ends 45°, plates level.
fn unequal_hip() -> [(f64, f64, f64, BlockRole); 4] {
    [
        (0.0, 0.0, 2.4, eave(30.0)),
        (10.0, 0.0, 2.4, eave(45.0)),
        (10.0, 6.0, 2.4, eave(30.0)),
        (0.0, 6.0, 2.4, eave(45.0)),
    ]
}

fn close(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-12, "{a} is not {b}");
}

fn corner(traced: &Traced, name: &str) -> (f64, f64, f64) {
    let sides = traced.footprints[0].rings.iter().flat_map(|ring| &ring.sides);
    let side = sides.into_iter().find(|side| side.name == name).unwrap();
    (side.start.x, side.start.y, side.height)
}

/// What is said of the findings of a code.
fn message(traced: &Traced, code: &str) -> Vec<String> {
    let of_code = traced.findings.iter().filter(|finding| finding.code() == code);
    of_code.map(|finding| wording::outline::finding(finding, Format::default())).collect()
}

#[test]
fn level_fascia_lets_steeper_sides_overhang_less() {
    let traced = traced(&[&unequal_hip()], at_wall(Fascia::Level, 0.4, 0.2, 0.0));
    // Worked by hand: drop 0.4 tan 30 = 0.2309; ends overhang 0.2309 / tan 45; drip outline 10.462 × 6.800.
    let drop = 0.4 / 3.0_f64.sqrt();
    let (x, y, z) = corner(&traced, "A");
    close(x, -drop);
    close(y, -0.4);
    close(z, 2.4 - drop);
    let (x, y, z) = corner(&traced, "C");
    close(x, 10.0 + drop);
    close(y, 6.4);
    close(z, 2.4 - drop);
    assert_eq!(format!("{:.3}", 10.0 + 2.0 * drop), "10.462");
    let walls = traced.footprints[0].walls.as_ref().unwrap();
    close(signed_area(&walls[0]), 60.0);
    assert!(message(&traced, "overhangs-differ")[0].contains("store/B 0.231 m"));
    // Planes pass over the plates at one height and leave one drip edge: hips pass over both corners.
    assert!(message(&traced, "hip-off-corner").is_empty());
}

#[test]
fn equal_overhang_lets_fascia_levels_differ() {
    let traced = traced(&[&unequal_hip()], at_wall(Fascia::Equal, 0.4, 0.2, 0.05));
    let (x, y, z) = corner(&traced, "A");
    close(x, -0.4);
    close(y, -0.4);
    close(z, 2.45 - 0.4 / 3.0_f64.sqrt());
    close(corner(&traced, "B").2, 2.45 - 0.4);
    assert_eq!(message(&traced, "fascia-levels-differ").len(), 1);
    // The steep plane reaches the flat side's fascia level 0.4 tan 30 / tan 45 out: 0.4 - 0.2309 short of the corner.
    let hips = message(&traced, "hip-off-corner");
    assert_eq!(hips.len(), 4);
    assert!(hips[0].contains("passes over the wall corner") && hips[0].contains("drip edge of A 0.169 m"), "{hips:?}");
}

#[test]
fn raised_plates_move_the_hip_off_the_wall_corner() {
    let traced = traced(&[&unequal_hip()], at_wall(Fascia::Raised, 0.4, 0.2, 0.0));
    let drop = 0.4 / 3.0_f64.sqrt();
    for name in ["A", "B", "C", "D"] {
        close(corner(&traced, name).2, 2.4 - drop);
    }
    close(corner(&traced, "A").0, -0.4);
    // Ends raised by 0.4 (tan 45 - tan 30) = 0.1691.
    assert!(message(&traced, "plates-raised")[0].contains("store/B 0.169 m"));
    // The long side's plane reaches the raised height 0.1691 / tan 30 = 0.2928 in: there the hip crosses the end wall.
    let hips = message(&traced, "hip-off-corner");
    assert_eq!(hips.len(), 4);
    for (hip, side) in hips.iter().zip(["D", "B", "B", "D"]) {
        assert!(hip.contains("does not pass over the wall corner"), "{hip}");
        assert!(hip.contains(&format!("wall line of {side} 0.293 m from the corner")), "{hip}");
    }
}

#[test]
fn every_rule_keeps_the_planes_over_the_wall() {
    // Whatever the rule, the drip edge lies in the plane over the wall line: z + o tan s is the plane's height there.
    for (fascia, raised) in
        [(Fascia::Level, 0.0), (Fascia::Equal, 0.0), (Fascia::Raised, 0.4 * (1.0 - 1.0 / 3.0_f64.sqrt()))]
    {
        let traced = traced(&[&unequal_hip()], at_wall(fascia, 0.4, 0.2, 0.1));
        let (ax, ay, az) = corner(&traced, "A");
        close(az + -ay * (30.0_f64).to_radians().tan(), 2.5);
        close(corner(&traced, "B").2 + -ax, 2.5 + raised);
    }
}

#[test]
fn verges_and_abutments_move_by_their_own_distance() {
    let rings = [
        (0.0, 0.0, 2.4, eave(30.0)),
        (8.0, 0.0, 2.4, verge()),
        (8.0, 3.0, 2.4, BlockRole::Known(Role::Abutment)),
        (0.0, 3.0, 2.4, verge()),
    ];
    let traced = traced(&[&rings], at_wall(Fascia::Level, 0.3, 0.15, 0.0));
    let ring = traced.footprints[0].rings[0].corners();
    let expected = [(-0.15, -0.3), (8.15, -0.3), (8.15, 3.0), (-0.15, 3.0)];
    for (corner, (x, y)) in ring.iter().zip(expected) {
        close(corner.x, x);
        close(corner.y, y);
    }
    close(traced.footprints[0].height, 2.4 - 0.3 / 3.0_f64.sqrt());
}

#[test]
fn each_height_has_its_own_fascia_level() {
    let mut rings = unequal_hip();
    rings[2].2 = 2.1;
    let traced = traced(&[&rings], at_wall(Fascia::Level, 0.4, 0.2, 0.0));
    let drop = 0.4 / 3.0_f64.sqrt();
    close(corner(&traced, "A").2, 2.4 - drop);
    close(corner(&traced, "C").2, 2.1 - drop);
    assert!(!message(&traced, "hip-off-corner").is_empty());
}

#[test]
fn rises_stay_where_they_were_measured() {
    // A half-hip of 60° from 2.0 above the plate: its plane stands there over the wall, so it starts 0.2 tan 60 lower
    // out at the verge; a break 1.2 above the plate stays at 3.6.
    let half = BlockRole::Known(Role::HalfHip { hip_from: 2.0, pitch: Pitch::from_degrees(60.0).unwrap() });
    let broken = BlockRole::Known(Role::Eave {
        pitch: Pitch::from_degrees(45.0).unwrap(),
        breaks: vec![(1.2, Pitch::from_degrees(20.0).unwrap())],
    });
    let rings =
        [(0.0, 0.0, 2.4, broken.clone()), (8.0, 0.0, 2.4, half), (8.0, 6.0, 2.4, broken), (0.0, 6.0, 2.4, verge())];
    let traced = traced(&[&rings], at_wall(Fascia::Level, 0.3, 0.2, 0.0));
    let sides = &traced.footprints[0].rings[0].sides;
    let Role::Eave { breaks, .. } = &sides[0].role else { panic!() };
    close(sides[0].height + breaks[0].0, 3.6);
    let Role::HalfHip { hip_from, .. } = &sides[1].role else { panic!() };
    close(sides[1].height + hip_from, 4.4 - 0.2 * 3.0_f64.sqrt());
}

#[test]
fn either_way_round_gives_the_same_footprint() {
    let forward = unequal_hip();
    // Walked the other way the corner that named side A is its end: sides keep the walls they named.
    let place = |index: usize| (forward[index].0, forward[index].1);
    let back: Vec<(f64, f64, f64, BlockRole)> = [(0, 3), (3, 2), (2, 1), (1, 0)]
        .iter()
        .map(|&(from, side)| (place(from).0, place(from).1, 2.4, forward[side].3.clone()))
        .collect();
    let one = traced(&[&forward], at_wall(Fascia::Level, 0.4, 0.2, 0.0));
    let two = traced(&[&back], at_wall(Fascia::Level, 0.4, 0.2, 0.0));
    let key = |traced: &Traced| {
        let mut corners: Vec<String> = traced.footprints[0].rings[0]
            .sides
            .iter()
            .map(|side| format!("{:.9} {:.9} {:.9} {:?}", side.start.x, side.start.y, side.height, side.role))
            .collect();
        corners.sort();
        corners
    };
    assert_eq!(key(&one), key(&two));
}

#[test]
fn courtyards_run_clockwise_and_their_eaves_move_into_the_court() {
    let court = [
        (4.0, 4.0, 2.4, eave(30.0)),
        (8.0, 4.0, 2.4, eave(30.0)),
        (8.0, 8.0, 2.4, eave(30.0)),
        (4.0, 8.0, 2.4, eave(30.0)),
    ];
    let outer = [
        (0.0, 0.0, 2.4, eave(30.0)),
        (12.0, 0.0, 2.4, eave(30.0)),
        (12.0, 12.0, 2.4, eave(30.0)),
        (0.0, 12.0, 2.4, eave(30.0)),
    ];
    let traced = traced(&[&outer, &court], at_wall(Fascia::Level, 0.5, 0.2, 0.0));
    let areas: Vec<f64> = traced.footprints[0].rings.iter().map(|ring| signed_area(&ring.corners())).collect();
    close(areas[0], 169.0);
    close(areas[1], -9.0);
}

#[test]
fn an_overhang_that_does_not_fit_is_refused_with_its_sides() {
    let court = [
        (4.0, 4.0, 2.4, eave(30.0)),
        (4.8, 4.0, 2.4, eave(30.0)),
        (4.8, 9.0, 2.4, eave(30.0)),
        (4.0, 9.0, 2.4, eave(30.0)),
    ];
    let outer = [
        (0.0, 0.0, 2.4, eave(30.0)),
        (12.0, 0.0, 2.4, eave(30.0)),
        (12.0, 12.0, 2.4, eave(30.0)),
        (0.0, 12.0, 2.4, eave(30.0)),
    ];
    let (bad, places) = block(&[&outer, &court], at_wall(Fascia::Level, 0.5, 0.2, 0.0));
    let error = trace(&[bad], &[places]).unwrap_err();
    assert!(error.each().iter().all(|error| matches!(error, OutlineError::SideSwallowed { .. })), "{error}");
    assert!(error.places().contains(&Place::Side { block: "store".to_owned(), side: "E".to_owned() }));
}

/// A house with a recess in its north wall, 1 m deep, the west wing's front `west` m further out than the east one's.
fn recessed(width: f64, west: f64) -> [(f64, f64, f64, BlockRole); 8] {
    let e = || eave(30.0);
    let (left, right) = (4.5 - width / 2.0, 4.5 + width / 2.0);
    [
        (0.0, 0.0, 2.4, e()),
        (9.0, 0.0, 2.4, e()),
        (9.0, 6.0, 2.4, e()),
        (right, 6.0, 2.4, e()),
        (right, 5.0, 2.4, e()),
        (left, 5.0, 2.4, e()),
        (left, 6.0 + west, 2.4, e()),
        (0.0, 6.0 + west, 2.4, e()),
    ]
}

#[test]
fn a_recess_that_overhangs_close_is_bridged() {
    // 0.60 wide, overhangs of 0.35 from both flanks: the drip edge runs on, 9.70 by 6.70 all round.
    let bridged = traced(&[&recessed(0.6, 0.0)], at_wall(Fascia::Level, 0.35, 0.2, 0.0));
    let footprint = &bridged.footprints[0];
    let names: Vec<&str> = footprint.rings[0].sides.iter().map(|side| side.name.as_str()).collect();
    assert_eq!(names, ["A", "B", "C", "G", "H"]);
    close(signed_area(&footprint.rings[0].corners()), 9.7 * 6.7);
    // The walls stay where they are.
    close(signed_area(&footprint.walls.as_ref().unwrap()[0]), 9.0 * 6.0 - 0.6 * 1.0);
    assert_eq!(
        message(&bridged, "recess-bridged"),
        [
            "the recess at store/D, store/E and store/F is 0.600 m wide, and overhangs of its two flanks take 0.700 m of it: \
          the roof runs on over the recess"
        ]
    );
    // The roof is the plain hip's: plan over cosine.
    let roof = eavewright::roof::solve(&bridged.footprints, &eavewright::roof::Options::default()).unwrap();
    let area: f64 = 9.7 * 6.7 / 30f64.to_radians().cos();
    assert!((roof.total_area().0 - area).abs() < 1e-9 * area, "{} for {area}", roof.total_area().0);
    eavewright::roof::kernel::shell::solid(&roof, 0.0).unwrap();

    // A wider one stays open: plan of the drip edge by hand, 9.70 x 6.70 less 0.10 x 1.00.
    let open = traced(&[&recessed(0.8, 0.0)], at_wall(Fascia::Level, 0.35, 0.2, 0.0));
    assert_eq!(open.footprints[0].rings[0].sides.len(), 8);
    close(signed_area(&open.footprints[0].rings[0].corners()), 9.7 * 6.7 - 0.1);
    assert!(message(&open, "recess-bridged").is_empty());
}

#[test]
fn a_recess_between_unequal_fronts_is_bridged_to_the_nearer() {
    // The west front stands 0.50 further out: its flank keeps its drip edge there, from 4.20 + 0.35 on.
    let bridged = traced(&[&recessed(0.6, 0.5)], at_wall(Fascia::Level, 0.35, 0.2, 0.0));
    let footprint = &bridged.footprints[0];
    let names: Vec<&str> = footprint.rings[0].sides.iter().map(|side| side.name.as_str()).collect();
    assert_eq!(names, ["A", "B", "C", "F", "G", "H"]);
    close(signed_area(&footprint.rings[0].corners()), 9.7 * 6.7 + (4.2 + 0.7) * 0.5);
    let roof = eavewright::roof::solve(&bridged.footprints, &eavewright::roof::Options::default()).unwrap();
    eavewright::roof::kernel::shell::solid(&roof, 0.0).unwrap();
}

#[test]
fn everything_wrong_is_said_at_once() {
    let v = || eave(30.0);
    // D–A crosses B–C (a bow tie), and a second block has a side without length and no eave.
    let bow = [(0.0, 0.0, 2.4, v()), (4.0, 0.0, 2.4, v()), (0.0, 3.0, 2.4, v()), (4.0, 3.0, 2.4, v())];
    let flat = [(0.0, 0.0, 2.4, verge()), (0.0, 0.0, 2.4, verge()), (4.0, 0.0, 2.4, verge()), (4.0, 3.0, 2.4, verge())];
    let (one, at_one) = block(&[&bow], OutlineDatum::Eaves { inside: 0.0 });
    let (two, at_two) = block(&[&flat], OutlineDatum::Eaves { inside: 0.0 });
    let error = trace(&[one, two], &[at_one, at_two]).unwrap_err();
    let found = error.each();
    assert!(
        found
            .iter()
            .any(|e| matches!(e, OutlineError::Crossing { first, second, .. } if first == "B" && second == "D"))
    );
    assert!(found.iter().any(|e| matches!(e, OutlineError::ZeroLength { side, .. } if side == "A")));
    assert!(found.iter().any(|e| matches!(e, OutlineError::NoEave { .. })));
}

#[test]
fn outlines_that_meet_themselves_are_refused() {
    let v = || eave(30.0);
    let eaves = OutlineDatum::Eaves { inside: 0.0 };
    // A spike: out and straight back.
    let spike =
        [(0.0, 0.0, 2.4, v()), (6.0, 0.0, 2.4, v()), (3.0, 0.0, 2.4, v()), (3.0, 4.0, 2.4, v()), (0.0, 4.0, 2.4, v())];
    let (b, p) = block(&[&spike], eaves);
    assert!(matches!(trace(&[b], &[p]).unwrap_err().each()[0], OutlineError::FoldsBack { .. }));
    // A corner that touches the far side.
    let touch =
        [(0.0, 0.0, 2.4, v()), (6.0, 0.0, 2.4, v()), (6.0, 4.0, 2.4, v()), (3.0, 0.0, 2.4, v()), (0.0, 4.0, 2.4, v())];
    let (b, p) = block(&[&touch], eaves);
    let error = trace(&[b], &[p]).unwrap_err();
    assert!(error.each().iter().all(|e| matches!(e, OutlineError::Crossing { first, .. } if first == "A")), "{error}");
    // A courtyard beside the house, and one inside another.
    let outer = [(0.0, 0.0, 2.4, v()), (9.0, 0.0, 2.4, v()), (9.0, 9.0, 2.4, v()), (0.0, 9.0, 2.4, v())];
    let square = |x: f64, s: f64| {
        [(x, 2.0, 2.4, v()), (x + s, 2.0, 2.4, v()), (x + s, 2.0 + s, 2.4, v()), (x, 2.0 + s, 2.4, v())]
    };
    let (b, p) = block(&[&outer, &square(20.0, 2.0)], eaves);
    assert!(matches!(trace(&[b], &[p]).unwrap_err(), OutlineError::HoleOutside { .. }));
    let within = [(3.0, 3.0, 2.4, v()), (4.0, 3.0, 2.4, v()), (4.0, 4.0, 2.4, v())];
    let (b, p) = block(&[&outer, &square(2.0, 4.0), &within], eaves);
    assert!(matches!(trace(&[b], &[p]).unwrap_err(), OutlineError::HoleInHole { .. }));
}

#[test]
fn a_pyramid_a_centimetre_out_is_squared_up_and_the_centimetre_is_said() {
    // 4.00 × 4.01 at 50°: squared up at 4.00.
    let v = || eave(50.0);
    let ring = [(0.0, 0.0, 2.4, v()), (4.0, 0.0, 2.4, v()), (4.0, 4.01, 2.4, v()), (0.0, 4.01, 2.4, v())];
    let (mut b, p) = block(&[&ring], OutlineDatum::Eaves { inside: 0.0 });
    b.square_up = true;
    let traced = trace(&[b], &[p]).unwrap();
    let corners = traced.footprints[0].rings[0].corners();
    assert_eq!(corners[2], Point2::new(4.0, 4.0));
    assert!(message(&traced, "squared-up")[0].contains("B 4.010 m made 4.000 m"), "{:?}", traced.findings);
    // Ten centimetres are no chance: a rectangle stays one.
    let ring = [(0.0, 0.0, 2.4, v()), (4.0, 0.0, 2.4, v()), (4.0, 4.1, 2.4, v()), (0.0, 4.1, 2.4, v())];
    let (mut b, p) = block(&[&ring], OutlineDatum::Eaves { inside: 0.0 });
    b.square_up = true;
    let corners = trace(&[b], &[p]).unwrap().footprints[0].rings[0].corners();
    close(corners[2].y, 4.1);
}

#[test]
fn what_the_tape_reached_is_brought_to_the_drip_edge() {
    let ring = [
        (0.0, 0.0, 2.4, eave(30.0)),
        (8.0, 0.0, 2.4, verge()),
        (8.0, 3.0, 2.4, BlockRole::Known(Role::Abutment)),
        (0.0, 3.0, 2.4, verge()),
    ];
    let traced = traced(&[&ring], OutlineDatum::Eaves { inside: 0.04 });
    let corners = traced.footprints[0].rings[0].corners();
    close(corners[0].x, -0.04);
    close(corners[0].y, -0.04);
    close(corners[2].x, 8.04);
    close(corners[2].y, 3.0);
    assert!(message(&traced, "brought-to-drip-edge")[0].contains("40 mm"));
    assert!(traced.footprints[0].walls.is_none());
}

#[test]
fn a_comb_of_twenty_thousand_sides_is_traced() {
    let mut places: Vec<Point2<f64>> = Vec::new();
    for tooth in 0..5000 {
        let x = f64::from(tooth) * 2.0;
        places.extend([(x, 1.0), (x, 50.0), (x + 1.0, 50.0), (x + 1.0, 1.0)].map(|(x, y)| Point2::new(x, y)));
    }
    places.extend([Point2::new(9999.0, 0.0), Point2::new(0.0, 0.0)]);
    let sides: Vec<BlockSide> =
        (0..places.len()).map(|index| BlockSide { name: format!("s{index}"), height: 0.0, role: eave(30.0) }).collect();
    let (mut b, _) = block(&[&unequal_hip()], OutlineDatum::Eaves { inside: 0.0 });
    b.rings = vec![BlockRing {
        measured: MeasuredRing::Places(places.clone()),
        sides,
        start: Point2::origin(),
        heading: 0.0,
    }];
    let traced = trace(&[b], &[vec![places]]).unwrap();
    assert!(signed_area(&traced.footprints[0].rings[0].corners()) > 0.0);
}
