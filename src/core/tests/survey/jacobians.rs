//! The hand-written derivatives of every observation equation against dual numbers, at random states.

use super::dual;
use dual::Dual;
use eavewright_core::survey::equation::{Equation, Source, Term};
use eavewright_core::survey::quantity;
use eavewright_core::survey::state::{EdgeDirection, Layout, Lens, Moved, PlaneState, Pose, SheetState, State};
use nalgebra::{Matrix3, Point2, Point3, Rotation3, Unit, Vector2, Vector3};
use random::Random;
use support::survey::random;

/// Unknowns.
const COUNT: usize = 34;
type D = Dual<COUNT>;

/// Four places, two planes, a level, a camera, a plan: all of it free.
fn layout() -> Layout {
    let mut layout = Layout::default();
    for _ in 0..4 {
        let columns = [0; 3].map(|_| Some(layout.column()));
        layout.places.push(columns);
    }
    layout.planes = vec![layout.columns(3), layout.columns(3)];
    layout.levels = vec![layout.column()];
    layout.poses = vec![Some(layout.columns(6))];
    let lens = [0; 5].map(|_| Some(layout.column()));
    layout.lenses.push(lens);
    layout.sheets = vec![layout.columns(4)];
    layout
}

fn state(random: &mut Random) -> State {
    let mut vector = |size: f64| Vector3::from_fn(|_, _| size * random.signed());
    let place = |v: Vector3<f64>| Point3::from(v);
    let places = (0..4).map(|_| place(vector(5.0))).collect();
    let planes = (0..2)
        .map(|_| {
            let mut normal = vector(1.0);
            normal.z = normal.z.abs() + 0.2;
            PlaneState { normal: Unit::new_normalize(normal), anchor: place(vector(3.0)), offset: vector(1.0).x }
        })
        .collect();
    // Looks at the places from 20 m away.
    let tilt = Rotation3::new(vector(0.3)).into_inner();
    let level = Matrix3::new(0.0, -1.0, 0.0, 0.0, 0.0, -1.0, 1.0, 0.0, 0.0);
    let rotation = tilt * level;
    let centre = Point3::from(-rotation.row(2).transpose() * 20.0 + vector(1.0));
    let lens = vector(1.0);
    State {
        places,
        planes,
        levels: vec![vector(2.0).x],
        poses: vec![Pose { rotation, centre }],
        lenses: vec![Lens {
            values: [8.0 + 0.1 * lens.x, 2000.0 + lens.y, 1500.0 + lens.z, 0.1 * lens.x, 0.1 * lens.y],
        }],
        sheets: vec![SheetState {
            anchor: Point2::new(3.0 * lens.y, 2.0 * lens.z),
            values: [900.0 + 50.0 * lens.x, 700.0 + 50.0 * lens.y, 90.0 * lens.z, 40.0 + 60.0 * lens.x],
        }],
    }
}

const TERMS: [Term; 30] = [
    Term::Distance(0, 1),
    Term::LevelDistance(2, 1),
    Term::Turn([0, 1, 2]),
    Term::OffRay { from: 0, to: 3, direction: Vector2::new(0.6, 0.8) },
    Term::OffLine { place: 2, line: [0, 1] },
    Term::OffLineBy { place: 3, line: [1, 0], level: 0 },
    Term::LevelValue(0),
    Term::AlongLine { place: 2, line: [0, 1] },
    Term::OffTurnedLine { from: 2, to: 3, line: [0, 1], direction: Vector2::new(-0.8, 0.6) },
    Term::AboveLevel { place: 3, level: 0 },
    Term::Difference { places: [0, 2], axis: 0 },
    Term::Difference { places: [0, 2], axis: 1 },
    Term::PlanAngle([0, 1, 2]),
    Term::OffPlane { place: 1, plane: 0 },
    Term::Pitch(1),
    Term::PitchDifference([0, 1]),
    Term::Mark { pose: 0, lens: 0, place: 1, axis: 0 },
    Term::Mark { pose: 0, lens: 0, place: 2, axis: 1 },
    Term::OnLine { pose: 0, lens: 0, ends: [1, 2], at: [1930.0, 1480.0] },
    Term::OnLine { pose: 0, lens: 0, ends: [0, 3], at: [2010.0, 1490.0] },
    Term::Along {
        pose: 0,
        lens: 0,
        way: EdgeDirection { along: Vector3::new(0.0, 0.0, 1.0), rise: None },
        at: [[1700.0, 1200.0], [1760.0, 1900.0]],
    },
    Term::Along {
        pose: 0,
        lens: 0,
        way: EdgeDirection { along: Vector3::new(1.0, 0.0, 0.0), rise: Some(0) },
        at: [[1500.0, 1300.0], [2600.0, 1450.0]],
    },
    Term::OnSheet { sheet: 0, place: 1, axis: 0 },
    Term::OnSheet { sheet: 0, place: 2, axis: 1 },
    Term::OffSheetLine { sheet: 0, ends: [1, 3], at: [870.0, 740.0] },
    Term::SheetScale(0),
    Term::LensValue { lens: 0, which: 0 },
    Term::LensValue { lens: 0, which: 2 },
    Term::LensValue { lens: 0, which: 3 },
    Term::LensValue { lens: 0, which: 4 },
];

#[test]
fn derivatives_are_those_of_the_definition() {
    let mut random = Random::new(7);
    let layout = layout();
    assert_eq!(layout.unknowns, COUNT);
    let step: Vec<D> = (0..COUNT).map(|k| D::variable(0.0, k)).collect();
    let mut entries = Vec::new();
    let (mut compared, mut behind) = (0, 0);
    for _ in 0..200 {
        let state = state(&mut random);
        for term in TERMS {
            let equation = Equation { term, observed: random.signed(), sigma: 0.01, source: Source::Datum };
            let residual = equation.linearise(&state, &layout, &mut entries);
            let expected = equation.residual(&Moved { state: &state, layout: &layout, step: &step });
            // An edge that lies behind the camera at a mark has no distance from it.
            if matches!(term, Term::OnLine { .. }) && residual.is_nan() && expected.value.is_nan() {
                behind += 1;
                continue;
            }
            // A pixel of some thousand has roundings of 2 · 10⁻¹³ or more, here over a sigma of a hundredth.
            let off = (residual - expected.value).abs();
            assert!(off <= 1e-10 * (1.0 + residual.abs()), "{term:?}: {residual} {}", expected.value);
            let mut slopes = [0.0; COUNT];
            for (column, slope) in &entries {
                slopes[*column] += slope;
            }
            let size = expected.slopes.iter().fold(0.0_f64, |m, s| m.max(s.abs()));
            for (k, (found, expected)) in slopes.iter().zip(expected.slopes).enumerate() {
                assert!((found - expected).abs() <= 1e-10 * size, "{term:?} by {k}: {found} {expected}");
                compared += 1;
            }
        }
    }
    assert_eq!(compared, (200 * TERMS.len() - behind) * COUNT);
    assert!(behind < 10, "{behind}");
}

/// A step taken is the step that the residual speaks of.
#[test]
fn an_advanced_state_has_the_residual_of_the_step() {
    let mut random = Random::new(8);
    let layout = layout();
    for _ in 0..50 {
        let state = state(&mut random);
        let step: Vec<f64> = (0..COUNT).map(|_| 0.05 * random.signed()).collect();
        let advanced = state.advanced(&layout, &step);
        let still = vec![0.0; COUNT];
        for term in TERMS {
            let equation = Equation { term, observed: 0.3, sigma: 1.0, source: Source::Datum };
            let before = equation.residual(&Moved { state: &state, layout: &layout, step: &step });
            let after = equation.residual(&Moved { state: &advanced, layout: &layout, step: &still });
            // An edge that lies behind the camera at a mark has no distance from it.
            let is_behind = matches!(term, Term::OnLine { .. }) && before.is_nan() && after.is_nan();
            assert!(is_behind || (before - after).abs() <= 1e-9 * (1.0 + before.abs()), "{term:?}: {before} {after}");
        }
        let rotation = advanced.poses[0].rotation;
        assert!((rotation * rotation.transpose() - Matrix3::identity()).norm() < 1e-14);
    }
}

/// Gradients of areas and pitches against differences of the values.
#[test]
fn gradients_of_areas_and_pitches_are_those_of_their_values() {
    let mut random = Random::new(9);
    for _ in 0..50 {
        // A flat ring, slightly warped, as adjusted points are.
        let slope = [random.signed(), random.signed()];
        let ring: Vec<(usize, Point3<f64>)> = [(0.0, 0.0), (9.0, 0.5), (6.5, 3.0), (2.5, 3.0)]
            .iter()
            .enumerate()
            .map(|(i, (x, y))| (3 * i, Point3::new(*x, *y, slope[0] * x + slope[1] * y + 0.01 * random.signed())))
            .collect();
        for of in [quantity::area, quantity::pitch] {
            let found = of(&ring);
            for k in 0..12 {
                let nudged = |by: f64| {
                    let mut ring = ring.clone();
                    ring[k / 3].1[k % 3] += by;
                    of(&ring).value
                };
                let expected = (nudged(1e-5) - nudged(-1e-5)) / 2e-5;
                let slope: f64 = found.gradient.iter().filter(|(c, _)| *c == k).map(|(_, s)| s).sum();
                assert!((slope - expected).abs() < 1e-8 * (1.0 + expected.abs()), "{k}: {slope} {expected}");
            }
        }
        let plan: Vec<(usize, Point2<f64>)> = ring.iter().map(|(x, p)| (*x, p.xy())).collect();
        let found = quantity::plan_area(&plan);
        let moved: f64 = found.gradient.iter().filter(|(c, _)| c % 3 == 0).map(|(_, s)| s).sum();
        assert!(moved.abs() < 1e-12, "a plan area does not change when all moves along x: {moved}");
    }
}
