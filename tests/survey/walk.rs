//! Walked outlines through the adjustment: exact where they close, shared out where they do not, and held against
//! published traverses.

use eavewright::base::ids::{BlockId, PointId, SideId};
use eavewright::survey::equation::{Equation, Source, Term};
use eavewright::survey::model::{
    Known, Leg, Measured, MeasuredRing, Observation, ObservationKind, Point, RingFrame, RingInput, Survey,
};
use eavewright::survey::observation::ObservationId;
use eavewright::survey::solver::marquardt::{Problem, Stop, minimise};
use eavewright::survey::solver::rows::Rows;
use eavewright::survey::state::{Layout, State};
use eavewright::survey::walk::{Heading, walk};
use eavewright::survey::{SurveyError, adjust, sigma};
use eavewright::wording::units::Format;
use eavewright::wording::{self, survey::Names};
use nalgebra::{Point2, Point3, Vector2};
use std::f64::consts::{FRAC_PI_2, PI, TAU};

fn leg(length: f64, turn: f64) -> Leg {
    Leg {
        length: Measured { value: length, sigma: sigma::STEEL_TAPE.of(length) },
        turn: Some(Measured { value: turn, sigma: sigma::TURN_RIGHT_ANGLE }),
    }
}

fn exact(length: f64, turn: f64) -> Leg {
    Leg { length: Measured { value: length, sigma: 0.0 }, turn: Some(Measured { value: turn, sigma: 0.0 }) }
}

const NAMES: [&str; 8] = ["A", "B", "C", "D", "E", "F", "G", "H"];

fn ring<'a>(block: &'a str, measured: &'a MeasuredRing, frame: RingFrame) -> RingInput<'a> {
    let count = match measured {
        MeasuredRing::Walk(legs) => legs.len(),
        MeasuredRing::Places(places) => places.len(),
    };
    RingInput { block, ring: 0, sides: NAMES[..count].to_vec(), measured, frame, heights: vec![2.4; count] }
}

const ORIGIN: RingFrame = RingFrame::At { start: Point2::new(0.0, 0.0), heading: 0.0 };

/// What is said of an error.
fn describe(error: &SurveyError) -> String {
    let survey = Survey::default();
    wording::fault::survey(error, &Names::new(&[], &survey), Format::default())
}

#[test]
fn a_walk_that_closes_is_left_alone() {
    let legs = MeasuredRing::Walk([9.2, 5.6, 9.2, 5.6].map(|l| leg(l, FRAC_PI_2)).to_vec());
    let found = adjust(&[ring("store", &legs, ORIGIN)], &Survey::default()).unwrap();
    assert_eq!(found.rings[0], [(0.0, 0.0), (9.2, 0.0), (9.2, 5.6), (0.0, 5.6)].map(|(x, y)| Point2::new(x, y)));
    assert_eq!(found.report.misclosures, [(String::from("store"), 0.0)]);
    assert_eq!(found.report.dof, 3);
    assert!(found.report.suspects.is_empty());
    // The first corner is the datum, the second keeps the heading.
    let covariance = &found.covariance;
    assert_eq!(covariance.variance(&[(covariance.corner(0, 0), 1.0)]), Some(0.0));
    assert_eq!(covariance.variance(&[(covariance.corner(0, 1) + 1, 1.0)]), Some(0.0));
    let along = covariance.variance(&[(covariance.corner(0, 1), 1.0)]).unwrap().sqrt();
    assert!(along > 0.001 && along < sigma::STEEL_TAPE.of(9.2), "{along}");
}

/// Right angles by halves: an octagon walked with turns of 45°, both ways round.
#[test]
fn eighths_of_a_turn_stay_exact() {
    for sign in [1.0, -1.0] {
        let legs = MeasuredRing::Walk(vec![leg(2.0, sign * PI / 4.0); 8]);
        let found = adjust(&[ring("hut", &legs, ORIGIN)], &Survey::default()).unwrap();
        assert!(found.report.misclosures[0].1 == 0.0);
        assert!((found.rings[0][4] - Point2::new(2.0, sign * 2.0 * (1.0 + 2.0_f64.sqrt()))).norm() < 1e-14);
    }
}

/// A field book's walk: 9.20, 5.60, 9.21, 5.59 with a diagonal of 10.77 (invented).
#[test]
fn a_gap_is_shared_out_and_reported() {
    let legs = MeasuredRing::Walk([9.2, 5.6, 9.21, 5.59].map(|l| leg(l, FRAC_PI_2)).to_vec());
    let side = |side| SideId { block: BlockId::new(0), ring: 0, side };
    let survey = Survey {
        points: vec![
            Point { name: String::from("A"), known: Known::Corner(side(0)) },
            Point { name: String::from("C"), known: Known::Corner(side(2)) },
        ],
        observations: vec![Observation {
            kind: ObservationKind::Tape { from: PointId::new(0), to: PointId::new(1), length: 10.77, plan: false },
            sigma: sigma::STEEL_TAPE.of(10.77),
        }],
        ..Survey::default()
    };
    let found = adjust(&[ring("store", &legs, ORIGIN)], &survey).unwrap();
    // Straight from the numbers: 0.01 short one way, 0.01 long the other.
    assert!((found.report.misclosures[0].1 - 0.0002_f64.sqrt()).abs() < 1e-12);
    assert_eq!(found.report.dof, 4);
    let [a, b, c, d] = found.rings[0][..] else { panic!() };
    let diagonal = |p: Point2<f64>, q: Point2<f64>| (q - p).norm();
    // The tape is far surer than a turn of 0.5°, so the lengths are kept and the corners turn a little.
    for (p, q, read) in [(a, b, 9.2), (b, c, 5.6), (c, d, 9.21), (d, a, 5.59)] {
        assert!((diagonal(p, q) - read).abs() < 0.001, "{} {read}", diagonal(p, q));
    }
    assert!((diagonal(a, c) - 10.77).abs() < 0.004);
    assert_eq!(found.points[1], Some(Point3::new(c.x, c.y, 2.4)));
    let chi2 = found.report.chi2.unwrap();
    assert!(chi2 < found.report.chi2_bounds.unwrap()[1], "{chi2}");
}

#[test]
fn the_long_side_is_doubted() {
    // Side C misread by 0.30 m; a diagonal tells which of the two long sides is wrong.
    let legs = MeasuredRing::Walk([9.2, 5.6, 9.5, 5.6].map(|l| leg(l, FRAC_PI_2)).to_vec());
    let side = |side| SideId { block: BlockId::new(0), ring: 0, side };
    let point = |name: &str, s| Point { name: name.to_owned(), known: Known::Corner(side(s)) };
    let tape = |from, to, length: f64| Observation {
        kind: ObservationKind::Tape { from: PointId::new(from), to: PointId::new(to), length, plan: false },
        sigma: sigma::STEEL_TAPE.of(length),
    };
    let survey = Survey {
        points: vec![point("A", 0), point("B", 1), point("C", 2), point("D", 3)],
        observations: vec![tape(0, 2, 10.77), tape(1, 3, 10.77)],
        ..Survey::default()
    };
    let found = adjust(&[ring("store", &legs, ORIGIN)], &survey).unwrap();
    assert_eq!(found.report.suspects[0].observation, ObservationId::Length(side(2)));
    let (rings, observed) = ([ring("store", &legs, ORIGIN)], found.report.suspects[0].observation);
    assert_eq!(Names::new(&rings, &survey).observation(observed), "length store/C");
    assert!(found.report.suspects[0].w > -50.0 && found.report.suspects[0].w < -10.0);
}

#[test]
fn exact_sides_stay_exact() {
    // A and C exact, the others taped: the two taped ones meet in their mean, turns give way.
    let mut legs = [9.2, 5.6, 9.2, 5.58].map(|l| leg(l, FRAC_PI_2)).to_vec();
    legs[0] = Leg { length: Measured { value: 9.2, sigma: 0.0 }, ..legs[0] };
    legs[2] = Leg { length: Measured { value: 9.2, sigma: 0.0 }, ..legs[2] };
    let measured = MeasuredRing::Walk(legs);
    // Askew on the site, so that the first heading binds two unknowns.
    let frame = RingFrame::At { start: Point2::new(3.0, -2.0), heading: 0.3 };
    let found = adjust(&[ring("store", &measured, frame)], &Survey::default()).unwrap();
    let [a, b, c, d] = found.rings[0][..] else { panic!() };
    assert!(((b - a).norm() - 9.2).abs() < 1e-12 && ((d - c).norm() - 9.2).abs() < 1e-12);
    assert!(((b - a).y.atan2((b - a).x) - 0.3).abs() < 1e-14);
    let covariance = &found.covariance;
    let b_along = [(covariance.corner(0, 1), 0.3_f64.cos()), (covariance.corner(0, 1) + 1, 0.3_f64.sin())];
    assert!(covariance.variance(&b_along).unwrap() < 1e-20);
}

#[test]
fn exact_sides_that_do_not_close_are_an_error() {
    let measured = MeasuredRing::Walk([9.2, 5.6, 9.21, 5.6].map(|l| exact(l, FRAC_PI_2)).to_vec());
    let error = adjust(&[ring("store", &measured, ORIGIN)], &Survey::default()).unwrap_err();
    assert!(matches!(&error, SurveyError::ExactContradiction { .. }), "{error}");
    assert!(!error.places().is_empty());
    let closing = MeasuredRing::Walk([9.2, 5.6, 9.2, 5.6].map(|l| exact(l, FRAC_PI_2)).to_vec());
    let found = adjust(&[ring("store", &closing, ORIGIN)], &Survey::default()).unwrap();
    assert_eq!(found.rings[0][2], Point2::new(9.2, 5.6));
}

#[test]
fn turns_that_do_not_come_round_name_their_sum() {
    let mut legs = [9.2, 5.6, 9.2, 5.6].map(|l| leg(l, FRAC_PI_2)).to_vec();
    legs[2] = leg(9.2, -FRAC_PI_2);
    let error = adjust(&[ring("store", &MeasuredRing::Walk(legs), ORIGIN)], &Survey::default()).unwrap_err();
    let told = describe(&error);
    assert!(told.contains("add up to 180.0°, expected 360°"), "{told}");
}

#[test]
fn a_block_on_a_side_moves_with_it() {
    let main = MeasuredRing::Walk([10.0, 6.0, 10.02, 6.0].map(|l| leg(l, FRAC_PI_2)).to_vec());
    let wing = MeasuredRing::Walk([4.0, 3.0, 4.0, 3.0].map(|l| leg(l, -FRAC_PI_2)).to_vec());
    let on_side = RingFrame::OnSide { ring: 0, side: 1, at: Point2::new(1.5, 0.0), heading: 0.0 };
    let found = adjust(&[ring("main", &main, ORIGIN), ring("wing", &wing, on_side)], &Survey::default()).unwrap();
    let (b, c) = (found.rings[0][1], found.rings[0][2]);
    let way = (c - b).normalize();
    assert!((found.rings[1][0] - (b + way * 1.5)).norm() < 1e-12);
    assert!((found.rings[1][1] - (b + way * 5.5)).norm() < 1e-12);
    // Walked to the right: the wing stands outside the main block.
    assert!(found.rings[1][2].x > 12.0);
    let covariance = &found.covariance;
    assert!(covariance.variance(&[(covariance.corner(1, 0), 1.0)]).unwrap() > 0.0);
}

/// A light well stated in the frame of a block on a side: as fixed to the side as the block's own first corner, and as
/// little sure of its place as the side is.
#[test]
fn a_hole_of_a_block_on_a_side_moves_with_the_side() {
    let main = MeasuredRing::Walk([10.0, 6.0, 10.02, 6.0].map(|l| leg(l, FRAC_PI_2)).to_vec());
    let wing = MeasuredRing::Walk([4.0, 3.0, 4.0, 3.0].map(|l| leg(l, -FRAC_PI_2)).to_vec());
    let well = MeasuredRing::Walk([1.0, 0.5, 1.0, 0.5].map(|l| leg(l, FRAC_PI_2)).to_vec());
    let on_side = |x: f64, y: f64, heading: f64| RingFrame::OnSide { ring: 2, side: 1, at: Point2::new(x, y), heading };
    // The side's own block comes last.
    let mut hole = ring("wing", &well, on_side(3.0, -2.0, 0.3));
    hole.ring = 1;
    let rings = [ring("wing", &wing, on_side(1.5, 0.0, 0.0)), hole, ring("main", &main, ORIGIN)];
    let found = adjust(&rings, &Survey::default()).unwrap();
    let (b, c) = (found.rings[2][1], found.rings[2][2]);
    let way = (c - b).normalize();
    let left = Vector2::new(-way.y, way.x);
    assert!((found.rings[1][0] - (b + way * 3.0 - left * 2.0)).norm() < 1e-12);
    let first = (found.rings[1][1] - found.rings[1][0]).normalize();
    assert!((first - (way * 0.3_f64.cos() + left * 0.3_f64.sin())).norm() < 1e-12);
    assert!((found.rings[1][1] - found.rings[1][0]).norm() - 1.0 < 1e-9);
    // What the hole's first corner does is what the side does: nothing is left once the side's shift and turn are taken
    // off.
    let covariance = &found.covariance;
    let (corner, b, end) = (covariance.corner(1, 0), covariance.corner(2, 1), covariance.corner(2, 2));
    let length = (found.rings[2][2] - found.rings[2][1]).norm();
    for axis in 0..2 {
        assert!(covariance.variance(&[(corner + axis, 1.0)]).unwrap() > 1e-8);
        let arm = (left[axis] * 3.0 + way[axis] * 2.0) / length;
        let mut rest = vec![(corner + axis, 1.0), (b + axis, -1.0)];
        rest.extend((0..2).flat_map(|k| [(end + k, -arm * left[k]), (b + k, arm * left[k])]));
        let rest = covariance.variance(&rest).unwrap();
        assert!(rest.abs() < 1e-14, "axis {axis}: {rest}");
    }
}

/// Blocks that stand on each other have no place at all, and neither has what stands on them.
#[test]
fn rings_that_stand_on_each_other_are_refused() {
    let walked = MeasuredRing::Walk([4.0, 3.0, 4.0, 3.0].map(|l| leg(l, FRAC_PI_2)).to_vec());
    let on = |ring: usize| RingFrame::OnSide { ring, side: 1, at: Point2::origin(), heading: 0.0 };
    for [first, second] in [[1, 0], [0, 0], [7, 2]] {
        let rings = [ring("a", &walked, on(first)), ring("b", &walked, on(second)), ring("c", &walked, ORIGIN)];
        let error = adjust(&rings, &Survey::default()).unwrap_err();
        assert!(matches!(&error, SurveyError::PlacedByNothing { block, .. } if block == "a"), "{error}");
        assert!(describe(&error).starts_with("block a stands on a side that nothing places, expected"), "{error}");
    }
}

/// Lines of a traverse: latitude (north) and departure (east) as published.
struct Published {
    lines: &'static [(f64, f64, f64)],
    perimeter: f64,
    gap: (f64, f64),
    adjusted: &'static [(f64, f64)],
    within: f64,
}

/// J. Mahun, Open Access Surveying Library, Traverse Computations, ch. E, and its problem 2 (lengths, then latitudes and
/// departures computed from length and bearing, adjusted by the compass rule).
///
/// A third published example can't be tested here: of the one in Purdue University's ASM 215 notes on traverse
/// calculations only the totals are at hand (perimeter 2466.05 ft, closure -0.71/+0.53 ft, 1 in 2771, corrections rounded
/// to 0.01 ft), not the lengths and bearings of its lines.
const TRAVERSES: [Published; 2] = [
    Published {
        lines: &[
            (472.68, -176.357, -438.548),
            (216.13, 203.395, -73.093),
            (276.52, 192.357, 198.651),
            (382.24, -219.312, 313.065),
        ],
        perimeter: 1347.57,
        gap: (0.083, 0.075),
        adjusted: &[(-176.386, -438.574), (203.382, -73.105), (192.340, 198.635), (-219.336, 313.044)],
        within: 0.001_5,
    },
    Published {
        lines: &[
            (639.15, -436.662, -466.732),
            (523.69, 523.690, 0.0),
            (409.54, -234.660, -335.645),
            (815.93, 147.517, 802.484),
        ],
        perimeter: 2388.31,
        gap: (-0.115, 0.107),
        adjusted: &[(-436.631, -466.761), (523.715, -0.023), (-234.640, -335.663), (147.556, 802.447)],
        within: 0.001_5,
    },
];

/// The walk itself gives the published misclosure and, by the compass rule, the published adjusted lines.
#[test]
fn published_traverses_by_the_compass_rule() {
    for published in &TRAVERSES {
        let bearing = |line: &(f64, f64, f64)| line.1.atan2(line.2);
        let lines = published.lines;
        let legs: Vec<Leg> = (0..lines.len())
            .map(|i| {
                let turn = bearing(&lines[(i + 1) % lines.len()]) - bearing(&lines[i]);
                exact(lines[i].0, (turn + PI).rem_euclid(TAU) - PI)
            })
            .collect();
        let walked = walk(&legs, Point2::origin(), Heading::new(bearing(&lines[0])));
        assert!((legs.iter().map(|leg| leg.length.value).sum::<f64>() - published.perimeter).abs() < 1e-9);
        assert!((walked.gap.y - published.gap.0).abs() < 0.002 && (walked.gap.x - published.gap.1).abs() < 0.002);
        for (i, (latitude, departure)) in published.adjusted.iter().enumerate() {
            let way = walked.balanced[(i + 1) % lines.len()] - walked.balanced[i];
            assert!((way.y - latitude).abs() < published.within, "{} {latitude}", way.y);
            assert!((way.x - departure).abs() < published.within, "{} {departure}", way.x);
        }
    }
}

/// Latitudes and departures as observations whose variances grow with the length of the line: least squares then IS
/// the compass rule, so the solver must give the published numbers.
struct Loop {
    equations: Vec<Equation>,
    layout: Layout,
}

impl Problem for Loop {
    type State = State;
    fn linearise(&self, state: &State) -> Rows {
        let mut rows = Rows::new(self.layout.unknowns);
        let mut entries = Vec::new();
        for equation in &self.equations {
            let residual = equation.linearise(state, &self.layout, &mut entries);
            rows.push(residual, &mut entries);
        }
        rows
    }
    fn constraints(&self, _: &State) -> Rows {
        Rows::new(self.layout.unknowns)
    }
    fn advance(&self, state: &State, step: &[f64]) -> State {
        state.advanced(&self.layout, step)
    }
}

fn least_squares_loop(lines: &[(f64, f64, f64)]) -> Vec<(f64, f64)> {
    let count = lines.len();
    let mut layout = Layout::default();
    layout.places.push([None; 3]);
    for _ in 1..count {
        let columns = [Some(layout.column()), Some(layout.column()), None];
        layout.places.push(columns);
    }
    let mut equations = Vec::new();
    for (i, &(length, latitude, departure)) in lines.iter().enumerate() {
        for (axis, observed) in [(0, departure), (1, latitude)] {
            let term = Term::Difference { places: [i, (i + 1) % count], axis };
            equations.push(Equation { term, observed, sigma: length.sqrt(), source: Source::Datum });
        }
    }
    let start = State { places: vec![Point3::origin(); count], ..State::default() };
    let stop = Stop { relative: 1e-14, absolute: 1e-20, turns: 100 };
    let solution = minimise(&Loop { equations, layout }, start, &stop);
    assert!(solution.converged);
    let places = solution.state.places;
    (0..count)
        .map(|i| {
            let way = places[(i + 1) % count] - places[i];
            (way.y, way.x)
        })
        .collect()
}

#[test]
fn published_traverses_by_least_squares() {
    for published in &TRAVERSES {
        for (found, expected) in least_squares_loop(published.lines).iter().zip(published.adjusted) {
            assert!((found.0 - expected.0).abs() < published.within, "{found:?} {expected:?}");
            assert!((found.1 - expected.1).abs() < published.within, "{found:?} {expected:?}");
        }
    }
}

/// A decimal point or a unit misread, at any side of any of these walks, is told with the value that was meant; with chance
/// errors alone hardly any walk is refused: two coordinates in their standard deviations are beyond 4 of them in e⁻⁸ of all
/// cases (the chi-square distribution of two degrees of freedom; NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.6.6).
#[test]
fn a_walk_that_misses_its_start_names_the_side_and_the_value_meant() {
    use support::survey::random::Random;
    let walks: [&[(f64, f64)]; 3] = [
        &[(9.2, 1.0), (5.6, 1.0), (9.2, 1.0), (5.6, 1.0)],
        &[(8.4, 1.0), (3.3, 1.0), (4.2, -1.0), (2.9, 1.0), (4.2, 1.0), (6.2, 1.0)],
        &[(12.0, 1.0), (7.0, 1.0), (4.0, 1.0), (2.5, -1.0), (3.0, -1.0), (2.5, 1.0), (5.0, 1.0), (7.0, 1.0)],
    ];
    for walk in walks {
        let right: Vec<Leg> = walk.iter().map(|&(length, turn)| leg(length, turn * FRAC_PI_2)).collect();
        let measured = MeasuredRing::Walk(right.clone());
        adjust(&[ring("store", &measured, ORIGIN)], &Survey::default()).unwrap();
        for side in 0..right.len() {
            for times in [10.0, 100.0, 1000.0, 0.1] {
                let mut legs = right.clone();
                let meant = legs[side].length.value;
                legs[side] = leg(meant * times, legs[side].turn.unwrap().value);
                let measured = MeasuredRing::Walk(legs);
                let Err(error) = adjust(&[ring("store", &measured, ORIGIN)], &Survey::default()) else {
                    panic!("side {side} times {times} is shared out")
                };
                let SurveyError::WalkDoesNotClose { instead, by, allowed, .. } = &error else { panic!("{error}") };
                assert!(by > allowed && *by > 0.5 * (meant - meant * times).abs(), "{error:?}");
                assert_eq!((instead.len(), instead[0].side.as_str()), (1, NAMES[side]), "{error:?}");
                assert!((instead[0].value - meant).abs() < 1e-9, "{error:?}");
            }
        }
    }
    let mut random = Random::new(16);
    let mut refused = 0;
    for _ in 0..2000 {
        let legs = walks[1].iter().map(|&(length, turn)| {
            let one = leg(length, turn * FRAC_PI_2);
            let turned = one.turn.unwrap();
            Leg {
                length: Measured { value: length + one.length.sigma * random.normal(), ..one.length },
                turn: Some(Measured { value: turned.value + turned.sigma * random.normal(), ..turned }),
            }
        });
        let measured = MeasuredRing::Walk(legs.collect());
        let found = adjust(&[ring("store", &measured, ORIGIN)], &Survey::default());
        refused += usize::from(matches!(found, Err(SurveyError::WalkDoesNotClose { .. })));
    }
    // 0.7 of 2000 on the average; more than six of them would come once in 80,000 times.
    assert!(refused <= 6, "{refused}");
}
