//! Networks of tapes too large for a dense decomposition: what is open is told, what is weak is told from it, a misread
//! tape is named.

use eavewright::base::ids::PointId;
use eavewright::survey::model::{Known, Observation, ObservationKind, Point, Survey};
use eavewright::survey::{adjust, sigma};
use eavewright::wording::units::Format;
use eavewright::wording::{self, survey::Names};
use field::field;
use nalgebra::Point3;
use support::survey::field;

const SEED: u64 = 3;
/// Of some 650 good tapes one in two networks has one beyond the limit of a test at 0.1 %, but one in two hundred has one
/// beyond this.
const BY_CHANCE: f64 = 4.5;

/// 16 x 15 points have 720 coordinates.
fn large() -> Survey {
    field(16, 15, SEED)
}

fn misread(survey: &mut Survey, tape: usize, by: f64) -> String {
    let Some(Observation { kind: ObservationKind::Tape { from, to, length, .. }, .. }) =
        survey.observations.get_mut(tape)
    else {
        panic!("observation {tape} is no tape")
    };
    *length += by;
    let name = |id: &PointId| survey.points[id.index()].name.clone();
    format!("tape {}-{}", name(from), name(to))
}

fn tape(from: usize, to: usize, length: f64) -> Observation {
    let kind = ObservationKind::Tape { from: PointId::new(from), to: PointId::new(to), length, plan: true };
    Observation { kind, sigma: sigma::STEEL_TAPE.of(length) }
}

#[test]
fn the_statistics_are_those_of_their_distribution() {
    let survey = large();
    let found = adjust(&[], &survey).unwrap();
    // Tapes less two coordinates a point, but for two shifts and a turn; heights over their level add as many as they
    // have unknowns but one.
    let tapes = survey.observations.len() - 1;
    assert_eq!(found.report.dof, tapes - (2 * 240 - 3));
    let [low, high] = found.report.chi2_bounds.unwrap();
    assert!((low..=high).contains(&found.report.chi2.unwrap()), "{:?}", found.report.chi2);
    // Redundancy numbers add up to the degrees of freedom.
    let sum: f64 = found.report.checks.iter().map(|check| check.redundancy).sum();
    assert!((sum - found.report.dof as f64).abs() < 1e-6, "{sum}");
    assert!(found.report.suspects.iter().all(|suspect| suspect.w.abs() < BY_CHANCE), "{:?}", found.report.suspects);
    assert!(found.report.undetermined.is_empty(), "{:?}", found.report.undetermined);
    // In plan everything hangs on one point and a bearing: its standard deviations grow with the distance from it.
    let covariance = &found.covariance;
    let sd = |point: usize, k: usize| covariance.variance(&[(covariance.point(point) + k, 1.0)]).map(f64::sqrt);
    let all: Vec<f64> = (0..240).flat_map(|p| [sd(p, 0).unwrap(), sd(p, 1).unwrap()]).collect();
    assert!(all.iter().all(|sd| *sd < 0.05));
    assert_eq!([0, 1, 2].map(|k| sd(0, k)), [Some(0.0); 3]);
    // A height is known from the first point's by two levels of 10 mm.
    assert!((sd(119, 2).unwrap() - 2.0_f64.sqrt() * sigma::LEVEL).abs() < 1e-9);
    // A distance across the whole field is surer than a chain of 29 tapes, less sure than one.
    let (a, b) = (found.report.points[15].at, found.report.points[224].at);
    let way = (b - a).normalize();
    let gradient: Vec<(usize, f64)> =
        (0..2).flat_map(|k| [(covariance.point(224) + k, way[k]), (covariance.point(15) + k, -way[k])]).collect();
    let across = covariance.variance(&gradient).unwrap().sqrt();
    assert!(across > sigma::STEEL_TAPE.of(4.0) && across < sigma::STEEL_TAPE.of(4.0) * 29.0_f64.sqrt(), "{across}");
}

#[test]
fn misread_tapes_are_named_before_all_others() {
    let mut survey = large();
    let first = misread(&mut survey, 300, 0.60);
    let second = misread(&mut survey, 511, -0.20);
    let found = adjust(&[], &survey).unwrap();
    let names = Names::new(&[], &survey);
    let named: Vec<String> = found.report.suspects.iter().map(|one| names.observation(one.observation)).collect();
    assert_eq!(named[..2], [first, second]);
    assert!(found.report.suspects[2..].iter().all(|suspect| suspect.w.abs() < BY_CHANCE), "{named:?}");
    for (suspect, error) in found.report.suspects.iter().zip([0.60, -0.20]) {
        assert!((suspect.error() - error).abs() < 0.04, "{} {error}", suspect.error());
    }
}

#[test]
fn a_point_on_one_tape_is_open_and_one_on_two_that_hardly_bend_is_weak() {
    let mut survey = large();
    let heights = Point3::new(0.0, 0.0, 1.0);
    let places: Vec<Point3<f64>> = adjust(&[], &survey).unwrap().report.points.iter().map(|point| point.at).collect();
    let (a, b) = (places[0], places[1]);
    let middle = nalgebra::center(&a, &b);
    let across = nalgebra::Vector3::new(-(b - a).y, (b - a).x, 0.0).normalize();
    let weak = middle + across * 0.02;
    survey.points.push(Point { name: String::from("weak"), known: Known::Near(weak) });
    survey.points.push(Point { name: String::from("swings"), known: Known::Near(heights) });
    survey.observations.push(tape(0, 240, (weak - a).norm()));
    survey.observations.push(tape(1, 240, (weak - b).norm()));
    survey.observations.push(tape(0, 241, 3.0));
    let found = adjust(&[], &survey).unwrap();
    // What was put last hangs on no level.
    let names = Names::new(&[], &survey);
    let describe = |open| wording::survey::undetermined(&names, open, Format::default());
    assert_eq!(
        found.report.undetermined.iter().map(describe).collect::<Vec<_>>(),
        ["point weak: no measurement fixes its height", "point swings: no measurement fixes its x, y, height"]
    );
    // The bend is 0.02 in half the distance, and the sigma across so much more than a tape's.
    let covariance = &found.covariance;
    let x = covariance.point(240);
    let sd = covariance.variance(&[(x, across.x), (x + 1, across.y)]).unwrap().sqrt();
    let half = (b - a).norm() / 2.0;
    let expected = sigma::STEEL_TAPE.of(half) / 2.0_f64.sqrt() / (0.02 / half);
    assert!(sd > 0.9 * expected && sd < 2.0 * expected, "{sd} {expected}");
}
