//! Where openings and dormers stand in their faces, against closed forms: school geometry, stated beside each; the sizes are
//! invented.

use eavewright_core::base::ids::{BlockId, SideId};
use eavewright_core::base::name::SideName;
use eavewright_core::base::units::Pitch;
use eavewright_core::outline::block::{Dormer, DormerKind};
use eavewright_core::outline::{Footprint, Role};
use eavewright_core::roof::analysis::opening::{self, Opening, OpeningShape};
use eavewright_core::roof::analysis::standing::{Host, SettingOut, Standing, set_out};
use eavewright_core::roof::{self, EdgeKind, Options, Roof};
use nalgebra::Point2;
use support::blocks::block;

const OPTIONS: Options = Options { tolerance: None, join_gap: 0.0, steps: false };

fn eave(degrees: f64) -> Role {
    Role::Eave { pitch: Pitch::from_degrees(degrees).unwrap(), breaks: Vec::new() }
}

/// 10 x 6 m: a hip at 35 on all sides, or a gable.
fn shed(hipped: bool) -> Footprint {
    let end = || if hipped { eave(35.0) } else { Role::Verge };
    block("s", 2.4, &[(0.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)], vec![eave(35.0), end(), eave(35.0), end()])
}

fn window(face: &str, at: [f64; 2], size: [f64; 2]) -> Opening {
    Opening { kind: "roof window".into(), shape: OpeningShape::InFace { face: face.into(), at, size }, height: None }
}

fn of_openings(roof: &Roof, openings: &[Opening]) -> Vec<SettingOut> {
    set_out(roof, &opening::cut(roof, openings).unwrap(), &[])
}

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found} for {expected}");
}

#[test]
fn a_window_is_set_out_from_both_ends_the_eave_and_the_ridge() {
    let roof = roof::solve_one(&shed(false), &OPTIONS).unwrap();
    let found = of_openings(&roof, &[window("s/A", [2.0, 1.2], [0.78, 1.18])]);
    let [of] = &found[..] else { panic!("{found:?}") };
    assert_eq!(of.what, Standing::Opening(0));
    // As it is stated; the eave is 10 m long; the slope is 3 m / cos 35 long.
    let expected = [(of.from_left, [2.0, 2.78]), (of.from_right.unwrap(), [7.22, 8.0]), (of.up, [1.2, 2.38])];
    for (found, expected) in expected {
        near(found[0], expected[0]);
        near(found[1], expected[1]);
    }
    let down = of.down.unwrap();
    assert_eq!(roof.edges[down.edge.index()].kind, EdgeKind::Ridge);
    near(down.distance, 3.0 / 35_f64.to_radians().cos() - 2.38);
}

#[test]
fn hips_that_end_a_face_give_no_ridge_to_measure_from() {
    let roof = roof::solve_one(&shed(true), &OPTIONS).unwrap();
    let found = of_openings(&roof, &[window("s/A", [4.6, 1.0], [0.8, 1.0]), window("s/B", [2.6, 0.5], [0.8, 0.8])]);
    let [main, end] = &found[..] else { panic!("{found:?}") };
    near(main.down.unwrap().distance, 3.0 / 35_f64.to_radians().cos() - 2.0);
    assert_eq!(end.down, None);
    near(end.from_right.unwrap()[0], 6.0 - 3.4);
}

#[test]
fn a_chimney_astride_the_ridge_is_set_out_in_both_faces() {
    let roof = roof::solve_one(&shed(false), &OPTIONS).unwrap();
    let plan = [(3.0, 2.7), (3.9, 2.7), (3.9, 3.4), (3.0, 3.4)].map(|(x, y)| Point2::new(x, y)).to_vec();
    let found =
        of_openings(&roof, &[Opening { kind: "chimney".into(), shape: OpeningShape::Plan(plan), height: None }]);
    let [one, two] = &found[..] else { panic!("{found:?}") };
    let slope = 35_f64.to_radians().cos();
    // From the eave at y = 0 its foot lies 2.7 m in; from that at y = 6, 2.6 m; both reach the ridge.
    near(one.from_left[0], 3.0);
    near(two.from_left[0], 10.0 - 3.9);
    near(one.up[0], 2.7 / slope);
    near(two.up[0], 2.6 / slope);
    near(one.down.unwrap().distance, 0.0);
    near(two.down.unwrap().distance, 0.0);
}

#[test]
fn dormers_are_set_out_by_cheeks_front_and_the_top_of_their_roofs() {
    let (tangent, width, cheek, depth) = (0.9_f64, 1.6, 0.7, 0.8);
    let role = || Role::Eave { pitch: Pitch::from_rise_over_run(tangent, 1.0).unwrap(), breaks: Vec::new() };
    let corners = [(0.0, 0.0), (12.0, 0.0), (12.0, 10.0), (0.0, 10.0)];
    let house = block("house", 2.5, &corners, vec![role(), Role::Verge, role(), Role::Verge]);
    let host = roof::solve_one(&house, &OPTIONS).unwrap();
    for (kind, own) in [(DormerKind::Gable, 0.7), (DormerKind::Hip, 0.7), (DormerKind::Shed, 0.2)] {
        let stated = Dormer {
            name: "d".into(),
            face: SideId { block: BlockId::new(0), ring: 0, side: 0 },
            piece: 1,
            at: [3.0, depth],
            width,
            front_height: cheek,
            pitch: Pitch::from_rise_over_run(own, 1.0).unwrap(),
            kind,
        };
        let dormer = roof::kernel::dormer::footprint(&host, "house/A", &stated).unwrap();
        let roof = roof::solve(&[house.clone(), dormer], &OPTIONS).unwrap();
        let hosts = [Host { dormer: "d".into(), side: SideName::new("house", "A") }];
        let found = set_out(&roof, &[], &hosts);
        let [of] = &found[..] else { panic!("{kind:?}: {found:?}") };
        assert_eq!(of.what, Standing::Dormer("d".into()));
        // Its highest line meets the slope where that has risen as far: a ridge cheek + own · width / 2 above the front's foot,
        // a single slope where cheek + own · y = tangent · y.
        let back = match kind {
            DormerKind::Gable | DormerKind::Hip => (cheek + own * width / 2.0) / tangent,
            DormerKind::Shed => cheek / (tangent - own),
        };
        let slope = tangent.hypot(1.0);
        let expected = [
            (of.from_left, [3.0, 4.6]),
            (of.from_right.unwrap(), [7.4, 9.0]),
            (of.up, [depth * slope, (depth + back) * slope]),
        ];
        for (found, expected) in expected {
            near(found[0], expected[0]);
            near(found[1], expected[1]);
        }
        near(of.down.unwrap().distance, (5.0 - depth - back) * slope);
    }
}
