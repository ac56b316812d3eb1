//! Cutting data against printed tables and worked examples.
//!
//! Sources: the framing-square table in `data/framing_square.csv` (source and status a row); NAVEDTRA 14044, *Builder
//! 3 & 2*, vol. 2; US Army EN0069A; Griffith, *Carpentry*, App. IV; published descriptions of hip and valley angles for
//! unequal pitches. Roofs built here are of our own invention with closed forms.

use eavewright_core::base::finding::Finding as _;
use eavewright_core::base::units::{Pitch, PlanLength};
use eavewright_core::framing::{Corner, Fold, Framing, common_rafters, cutting_data, cutting_data_at};
use eavewright_core::roof::analysis::chord::longest_from_eave;
use eavewright_core::roof::{EdgeKind, Roof};
use points::roof;
use support::points;

fn on_12(rise: f64) -> Pitch {
    Pitch::from_rise_over_run(rise, 12.0).unwrap()
}

fn corner(rises: [f64; 2], degrees: f64) -> Corner {
    Corner::new(rises.map(on_12), degrees.to_radians()).unwrap()
}

/// Equal to the digits printed.
fn printed(value: f64, print: &str) {
    let digits = print.split_once('.').map_or(0, |(_, after)| after.len());
    let half = 0.5 * 10.0_f64.powi(-i32::try_from(digits).unwrap()) + 1e-9;
    let expected: f64 = print.parse().unwrap();
    assert!((value - expected).abs() <= half, "{value} is printed {print}");
}

fn degrees(value: f64, print: &str) {
    printed(value.to_degrees(), print);
}

#[test]
fn every_row_of_the_framing_square() {
    let mut lines = include_str!("../../../../tests/data/framing_square.csv").lines();
    let names: Vec<&str> = lines.next().unwrap().split(',').collect();
    let mut rows = 0;
    for line in lines {
        let cells: Vec<&str> = line.split(',').collect();
        let cell = |name: &str| cells[names.iter().position(|n| *n == name).unwrap()];
        let pitch = on_12(cell("rise_in_per_12").parse().unwrap());
        let corner = Corner::new([pitch; 2], std::f64::consts::FRAC_PI_2).unwrap();
        let side = corner.sides[0];
        assert_eq!(side, corner.sides[1]);
        // Some columns of the table are trimmed of trailing zeros: compare to the digits shown.
        degrees(pitch.radians(), cell("pitch_deg"));
        printed(12.0 * pitch.slope_factor(), cell("common_in_per_ft_run"));
        printed(12.0 * pitch.slope_factor(), cell("common_READ"));
        printed(12.0 * side.fold_length_per_run, cell("hipvalley_in_per_ft_run"));
        printed(side.jack_difference(PlanLength(16.0)).0, cell("jack_diff_16in_oc"));
        printed(side.jack_difference(PlanLength(24.0)).0, cell("jack_diff_24in_oc"));
        printed(side.jack_side_cut_on_12(), cell("side_cut_jack_on_12"));
        printed(side.fold_side_cut_on_12(), cell("side_cut_hipvalley_on_12"));
        printed(pitch.slope_factor(), cell("slope_factor"));
        printed(side.fold_length_per_run, cell("hip_factor_on_common_run"));
        degrees(corner.pitch, cell("hip_slope_deg"));
        degrees(side.backing, cell("hip_backing_deg_each_side"));
        degrees(corner.hip_dihedral(), cell("hip_dihedral_deg"));
        degrees(side.sheathing, cell("sheathing_angle_deg"));
        rows += 1;
    }
    assert_eq!(rows, 17);
}

#[test]
fn the_printed_common_rafters_of_the_square() {
    let print = "12.17 12.37 12.65 13.00 13.42 13.89 14.42 15.00 15.62 16.28 16.97 17.69 18.44 19.21 20.00 20.81 21.63";
    for (rise, print) in (2..=18).zip(print.split(' ')) {
        printed(12.0 * on_12(f64::from(rise)).slope_factor(), print);
    }
    printed(on_12(6.0).slope_factor(), "1.118");
    printed(on_12(7.0).slope_factor(), "1.16");
}

#[test]
fn builder_3_and_2_rise_8_on_a_15_foot_run() {
    // NAVEDTRA 14044: hip run 21.21 ft, rise 10 ft, hip unit 18.76, hip 23.45 ft; jack unit 14.42, difference at 16 in
    // 19.23; jack side cut 10 on 12.
    let corner = corner([8.0, 8.0], 90.0);
    let side = corner.sides[0];
    printed(15.0 / side.plan_angle.sin(), "21.21");
    printed(15.0 * on_12(8.0).tangent(), "10");
    printed(12.0 * side.fold_length_per_run, "18.76");
    printed(15.0 * side.fold_length_per_run, "23.45");
    printed(12.0 * on_12(8.0).slope_factor(), "14.42");
    printed(side.jack_difference(PlanLength(16.0)).0, "19.23");
    printed(side.jack_side_cut_on_12(), "10");
}

#[test]
fn army_and_griffith_rafters() {
    // EN0069A: units 17.69 and 20.00; a run of 10 ft 4 in at rise 13 is printed 182.79 in, from the rounded unit.
    printed(12.0 * on_12(13.0).slope_factor(), "17.69");
    printed(12.0 * on_12(16.0).slope_factor(), "20.00");
    let run = 124.0;
    assert!((run * on_12(13.0).slope_factor() - 182.79).abs() <= run / 12.0 * 0.005);
    // Griffith: span 25 ft, rise 12: common 17 ft 8.12 in, from the unit rounded to 16.97; hip unit 20.78.
    let run = 150.0;
    assert!((run * on_12(12.0).slope_factor() - (17.0 * 12.0 + 8.12)).abs() <= run / 12.0 * 0.005);
    printed(12.0 * corner([12.0, 12.0], 90.0).sides[0].fold_length_per_run, "20.78");
}

#[test]
fn printed_angles_of_unequal_pitches() {
    // Corner of 135°, 10:12 and 8.5:12.
    let hip = corner([10.0, 8.5], 135.0);
    degrees(hip.sides[0].plan_angle, "56.42456");
    degrees(hip.sides[1].plan_angle, "78.57544");
    degrees(hip.pitch, "34.77220");
    degrees(hip.sides[0].backing, "20.73487");
    degrees(hip.sides[1].backing, "6.57434");
    degrees(hip.sides[0].sheathing, "62.98158");
    degrees(hip.sides[1].sheathing, "80.63600");
    degrees(hip.plan_angle(), "135.00000");
    // 90° valley, 12:12 and 8:12.
    let valley = corner([12.0, 8.0], 90.0);
    degrees(valley.pitch, "29.01714");
    degrees(valley.sides[0].backing, "36.03989");
    degrees(valley.sides[1].backing, "17.92021");
    degrees(valley.sides[0].sheathing, "43.31386");
    degrees(valley.sides[1].sheathing, "60.98286");
    // Exactly 32 sqrt(2) / 3 = 15.084945 (to six places): the print is a unit high in its last digit.
    assert!((valley.sides[0].jack_difference(PlanLength(16.0)).0 - 15.08495).abs() < 1e-5);
    printed(valley.sides[1].jack_difference(PlanLength(16.0)).0, "28.84441");
    // 90° hip, 8:12 and 10:12.
    degrees(corner([8.0, 10.0], 90.0).pitch, "27.5005");
}

#[test]
fn a_corner_in_line_is_no_corner() {
    for angle in [0.0, 180.0, -10.0, f64::NAN] {
        assert!(Corner::new([on_12(6.0); 2], angle.to_radians()).is_err());
    }
    let error = Corner::new([on_12(6.0); 2], std::f64::consts::PI).unwrap_err();
    // The code and the angle in degrees; `wording` makes the sentence.
    assert_eq!(error.to_string(), "not-a-corner 180");
}

/// Job: unequal hip 10.0 × 6.0, long sides 30°, ends 45°.
fn unequal_hip() -> Roof {
    let rise = 3.0 / 3.0_f64.sqrt();
    roof(
        &[
            ("E1", [0.0, 0.0, 0.0]),
            ("E2", [10.0, 0.0, 0.0]),
            ("E3", [10.0, 6.0, 0.0]),
            ("E4", [0.0, 6.0, 0.0]),
            ("R1", [rise, 3.0, rise]),
            ("R2", [10.0 - rise, 3.0, rise]),
        ],
        &[
            ("south", &["E1", "E2", "R2", "R1"]),
            ("east", &["E2", "E3", "R2"]),
            ("north", &["E3", "E4", "R1", "R2"]),
            ("west", &["E4", "E1", "R1"]),
        ],
    )
}

fn folds(framing: &Framing, kind: EdgeKind) -> Vec<&Fold> {
    framing.folds.iter().filter(|fold| fold.kind == kind).collect()
}

#[test]
fn an_unequal_hip_roof_by_its_own_planes() {
    // By hand: hips sqrt 15 = 3.873, 60° to the long eave, pitch 26.565°, backing 14.478° / 37.761°, dihedral 127.761°.
    let roof = unequal_hip();
    let framing = cutting_data(&roof);
    let hips = folds(&framing, EdgeKind::Hip);
    assert_eq!(hips.len(), 4);
    for hip in hips {
        assert!((hip.length.0 - 15.0_f64.sqrt()).abs() < 1e-12);
        let long = usize::from(!["south", "north"].contains(&hip.faces[0].to_string().as_str()));
        let (long, end) = (&hip.corner.sides[long], &hip.corner.sides[1 - long]);
        degrees(long.plan_angle, "60.000");
        degrees(hip.corner.pitch, "26.565");
        degrees(long.backing, "14.478");
        degrees(end.backing, "37.761");
        degrees(hip.dihedral, "127.761");
        assert!((hip.dihedral - hip.corner.hip_dihedral()).abs() < 1e-12);
        assert!(hip.is_uneven());
        // The closed form for the same corner.
        let closed = Corner::new(hip.corner.sides.map(|side| side.pitch), std::f64::consts::FRAC_PI_2).unwrap();
        for (a, b) in closed.sides.iter().zip(&hip.corner.sides) {
            assert!((a.plan_angle - b.plan_angle).abs() < 1e-12 && (a.sheathing - b.sheathing).abs() < 1e-12);
        }
        // Jacks measured in the faces grow by the closed form's difference.
        for set in &hip.jacks {
            for (jacks, difference) in set.jacks.iter().zip(&set.difference) {
                assert!(!jacks.is_empty());
                for (index, jack) in jacks.iter().enumerate() {
                    let count = (index + 1) as f64;
                    assert!((jack.at.0 - count * set.spacing.0).abs() < 1e-12);
                    assert!((jack.length.0 - count * difference.0).abs() < 1e-9, "{jack:?} {difference:?}");
                }
            }
        }
    }
    assert!(framing.findings.iter().any(|finding| finding.code() == "framing-geometry-only"));
    assert!(framing.findings.iter().any(|finding| finding.code() == "jacks-not-in-pairs"));
    // Commons: run 3.0 at 30°, run 1.732 at 45° in the ends; all from the eaves.
    let commons = common_rafters(&roof);
    assert_eq!(commons.len(), 4);
    assert!((commons[0].length.0 - 2.0 * 3.0_f64.sqrt()).abs() < 1e-12 && (commons[0].run.0 - 3.0).abs() < 1e-12);
    assert!((commons[1].length.0 - 6.0_f64.sqrt()).abs() < 1e-12);
    assert!((commons[0].rise - 3.0_f64.sqrt()).abs() < 1e-12);
    assert_eq!((commons[0].foot, commons[0].head), (EdgeKind::Eave, EdgeKind::Ridge));
    assert!((longest_from_eave(&roof).unwrap().0 - 12.0_f64.sqrt()).abs() < 1e-12);
    // Metal over ridge and hips.
    assert_eq!(framing.bends.len(), 5);
    let ridge = framing.bends.iter().find(|bend| bend.kind == EdgeKind::Ridge).unwrap();
    degrees(ridge.from_flat(), "60.000");
}

#[test]
fn a_valley_of_an_l_shaped_roof() {
    // Legs 4.0 wide, outer sides 8.0 and 7.0, 30°: hip = valley = 3.055.
    let rise = 2.0 * 30.0_f64.to_radians().tan();
    let roof = roof(
        &[
            ("A", [0.0, 0.0, 0.0]),
            ("B", [8.0, 0.0, 0.0]),
            ("C", [8.0, 4.0, 0.0]),
            ("D", [4.0, 4.0, 0.0]),
            ("E", [4.0, 7.0, 0.0]),
            ("F", [0.0, 7.0, 0.0]),
            ("P", [2.0, 2.0, rise]),
            ("Q", [8.0, 2.0, rise]),
            ("R", [2.0, 7.0, rise]),
        ],
        &[
            ("south", &["A", "B", "Q", "P"]),
            ("inner north", &["C", "D", "P", "Q"]),
            ("inner east", &["D", "E", "R", "P"]),
            ("west", &["F", "A", "P", "R"]),
        ],
    );
    let framing = cutting_data_at(&roof, &[0.5]);
    let (hip, valley) = (folds(&framing, EdgeKind::Hip)[0], folds(&framing, EdgeKind::Valley)[0]);
    for fold in [hip, valley] {
        printed(fold.length.0, "3.055");
        assert!(!fold.is_uneven());
        let closed = Corner::new(fold.corner.sides.map(|side| side.pitch), std::f64::consts::FRAC_PI_2).unwrap();
        assert!((closed.sides[0].backing - fold.corner.sides[0].backing).abs() < 1e-12);
        assert!((closed.pitch - fold.corner.pitch).abs() < 1e-12);
    }
    assert!((valley.dihedral - valley.corner.valley_dihedral()).abs() < 1e-12);
    assert!((hip.dihedral + valley.dihedral - 2.0 * std::f64::consts::PI).abs() < 1e-12);
    // Valley jacks run from the valley to the ridge and shorten up the valley; hip jacks grow.
    let full = 2.0 * 30.0_f64.to_radians().cos().recip();
    for jacks in &valley.jacks[0].jacks {
        assert_eq!(jacks.len(), 3);
        for jack in jacks {
            assert!((jack.length.0 - full * (1.0 - jack.at.0 / 2.0)).abs() < 1e-9);
        }
    }
    for jacks in &hip.jacks[0].jacks {
        assert_eq!(jacks.len(), 3);
        for jack in jacks {
            assert!((jack.length.0 - full * jack.at.0 / 2.0).abs() < 1e-9);
        }
    }
    assert!(framing.findings.iter().all(|finding| finding.code() != "jacks-not-in-pairs"));
}

#[test]
fn dropping_clears_what_backing_would_plane_off() {
    // A hip of thickness T lowered by the drop touches both slopes with its top edges: half T to the side of the line
    // the slope of side i lies tan Si cos Di · T / 2 lower.
    for (rises, angle) in [([8.0, 8.0], 90.0), ([10.0, 8.5], 135.0), ([5.0, 14.0], 70.0)] {
        let corner = corner(rises, angle);
        for side in &corner.sides {
            // The backing seen along the hip: tan of it is the fall across over the hip's own cosine.
            let across = 2.0 * side.drop_per_thickness * corner.pitch.cos();
            assert!((side.backing - across.atan()).abs() < 1e-12);
            // Jack side cut and sheathing are complements; the hip's length by either side is one.
            assert!((side.jack_side_cut + side.sheathing - std::f64::consts::FRAC_PI_2).abs() < 1e-12);
        }
    }
}

#[test]
fn the_longest_rafter_of_a_ragged_face_is_found() {
    // A lean-to at 45° with a straight eave and 60 teeth along its top, tooth k reaching k (60.25 - k) / 300 + 1 up.
    let height = |tooth: i32| f64::from(tooth) * (60.25 - f64::from(tooth)) / 300.0 + 1.0;
    let mut points: Vec<(String, [f64; 3])> =
        vec![("a".to_owned(), [0.0, 0.0, 0.0]), ("b".to_owned(), [60.0, 0.0, 0.0])];
    for tooth in (0..60).rev() {
        for x in [tooth + 1, tooth] {
            points.push((format!("p{x}-{tooth}"), [f64::from(x), height(tooth), height(tooth)]));
        }
    }
    let named: Vec<(&str, [f64; 3])> = points.iter().map(|(name, at)| (name.as_str(), *at)).collect();
    let ring: Vec<&str> = named.iter().map(|(name, _)| *name).collect();
    let roof = roof(&named, &[("ragged", &ring)]);
    let rafter = common_rafters(&roof)[0];
    let highest = (0..60).map(height).fold(0.0, f64::max);
    assert!((rafter.length.0 - highest * 2.0_f64.sqrt()).abs() < 1e-9, "{rafter:?}");
    assert_eq!((rafter.foot, rafter.head), (EdgeKind::Eave, EdgeKind::Top));
}

#[test]
fn boards_set_square_to_the_rafters_are_mitred_as_printed_settings_say() {
    // Settings of compound-mitre saws as tables for boards sprung at 45 and 38 degrees at a square corner give them, from memory:
    // mitre 35.26, bevel 30.00; mitre 31.62, bevel 33.86.
    for (pitch, mitre, bevel) in [(45.0, "35.26", "30.00"), (38.0, "31.62", "33.86")] {
        let pitch = Pitch::from_degrees(pitch).unwrap();
        let corner = Corner::new([pitch, pitch], 90_f64.to_radians()).unwrap();
        degrees(corner.sides[0].square_mitre, mitre);
        degrees(corner.sides[0].square_bevel, bevel);
    }
}

#[test]
fn boards_at_random_corners_are_cut_as_vectors_say() {
    use nalgebra::Vector3;
    let mut random = support::random::Random(0x00B0_A2D5);
    let between = |a: &Vector3<f64>, b: &Vector3<f64>| {
        let angle = a.cross(b).norm().atan2(a.dot(b));
        angle.min(std::f64::consts::PI - angle)
    };
    for _ in 0..500 {
        let pitches = [0, 1].map(|_| Pitch::from_degrees(random.between(10.0, 65.0)).unwrap());
        let plan = random.between(50.0, 150.0).to_radians();
        let corner = Corner::new(pitches, plan).unwrap();
        // Two eaves that meet at the origin: one comes in along +x, the other goes on; the roof lies to their left.
        let turn = std::f64::consts::PI - plan;
        let eaves = [Vector3::x(), Vector3::new(turn.cos(), turn.sin(), 0.0)];
        let inward = eaves.map(|eave| Vector3::z().cross(&eave));
        let normal =
            [0, 1].map(|i| Vector3::z() - inward[i] * pitches[i].tangent()).map(|n: Vector3<f64>| n.normalize());
        let ascent = [0, 1].map(|i| (inward[i] + Vector3::z() * pitches[i].tangent()).normalize());
        let fold = normal[0].cross(&normal[1]).normalize();
        let plumb = Vector3::z().cross(&fold).normalize();
        for (i, side) in corner.sides.iter().enumerate() {
            let near = |found: f64, expected: f64| assert!((found - expected).abs() < 1e-9, "{found} for {expected}");
            // Boards along the eave: their cut is the fold itself, their edge lies in its plumb plane.
            near(side.sheathing.min(std::f64::consts::PI - side.sheathing), between(&eaves[i], &fold));
            near(side.backing.abs(), std::f64::consts::FRAC_PI_2 - between(&plumb, &normal[i]));
            // A board whose face is square to the rafters: its face's normal runs up the slope.
            let on_face = ascent[i].cross(&plumb);
            near(side.square_mitre.abs(), between(&on_face, &normal[i]));
            near(side.square_bevel.abs(), std::f64::consts::FRAC_PI_2 - between(&plumb, &ascent[i]));
        }
    }
}
