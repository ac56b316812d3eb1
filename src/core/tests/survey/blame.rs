//! Is the right one blamed? Names changed over, the same picture twice, a tape that nothing checks, in invented houses
//! drawn anew.

use eavewright_core::base::ids::PointId;
use eavewright_core::survey::finding::Finding;
use eavewright_core::survey::model::{FaceByPoints, Known, Observation, ObservationKind, Point, Survey};
use eavewright_core::survey::observation::{Listed, ObservationId, Proposal, Station};
use eavewright_core::survey::report::{RepeatedPhoto, Swapped};
use eavewright_core::survey::{SurveyError, adjust};
use invented::{Plan, draw, kinds};
use nalgebra::Point3;
use random::Random;
use support::survey::invented;
use support::survey::random;

fn plan(name: &str) -> Plan {
    kinds().into_iter().find(|kind| kind.0 == name).unwrap().1
}

/// The swap that is proposed, in the answer or in the refusal.
fn proposed(survey: &Survey) -> Option<Swapped> {
    match adjust(&[], survey) {
        Ok(found) => found.report.swapped,
        Err(SurveyError::NotConverged { doubtful, .. }) => match doubtful[..] {
            [ObservationId::Mark { photo, point: a }, ObservationId::Mark { point: b, .. }] => {
                Some(Swapped { photo, points: [a, b] })
            }
            _ => None,
        },
        Err(_) => None,
    }
}

#[test]
fn names_changed_over_are_proposed_as_such() {
    let mut random = Random::new(21);
    let mut found = 0;
    for _ in 0..4 {
        let mut drawn = draw(&plan("three photos, one tape"), &mut random);
        assert_eq!(adjust(&[], &drawn.survey).unwrap().report.swapped, None);
        // Two eaves' corners that the second photo shows.
        let marks = &mut drawn.survey.photos[1].marks;
        let points = [marks[0].point, marks[1].point];
        (marks[0].point, marks[1].point) = (points[1], points[0]);
        let swapped = proposed(&drawn.survey);
        found +=
            usize::from(swapped.is_some_and(|swap| swap.photo == 1 && swap.points.iter().all(|p| points.contains(p))));
    }
    assert_eq!(found, 4);
}

#[test]
fn the_same_picture_twice_is_found() {
    let mut random = Random::new(22);
    let mut drawn = draw(&plan("three photos, one tape"), &mut random);
    assert_eq!(adjust(&[], &drawn.survey).unwrap().report.repeated_photos, []);
    // Marked again, a pixel or two elsewhere, under another name.
    let mut again = drawn.survey.photos[1].clone();
    again.file = Some(String::from("copy.jpg"));
    for mark in &mut again.marks {
        mark.at = mark.at.map(|pixel| pixel + invented::MARK_SIGMA * random.normal());
    }
    drawn.survey.photos.push(again);
    let report = adjust(&[], &drawn.survey).unwrap().report;
    assert_eq!(report.repeated_photos, [RepeatedPhoto { first: 1, second: 3 }]);
    assert!(report.findings().iter().any(|finding| matches!(finding, Finding::RepeatedPhoto(_))));
}

/// With one tape nothing tells whether it is right: it is never doubted, and it is said that nothing checks it.
#[test]
fn what_nothing_checks_is_not_doubted_but_told() {
    let mut random = Random::new(23);
    let mut doubted = 0;
    for _ in 0..100 {
        let drawn = draw(&plan("three photos, one tape"), &mut random);
        let report = adjust(&[], &drawn.survey).unwrap().report;
        let is_tape = |id: &ObservationId| matches!(id, ObservationId::Listed { what: Listed::Tape, .. });
        assert!(!report.suspects.iter().any(|suspect| is_tape(&suspect.observation)), "{:?}", report.suspects);
        assert!(report.unchecked().iter().any(is_tape));
        doubted += usize::from(!report.suspects.is_empty());
    }
    // Some forty observations, each with one chance in a thousand.
    assert!(doubted <= 10, "{doubted}");
}

/// A point between two others that are given, a tape to each, and one of them 0.10 m too long: either. What is proposed
/// tells which, and reading what it foretells for the one or for the other leaves that one alone in doubt.
#[test]
fn two_equally_to_blame_are_parted_by_what_is_proposed() {
    let given = |name: &str, at: [f64; 3]| Point { name: name.to_owned(), known: Known::At(Point3::from(at)) };
    let (a, b, q, p) = (PointId::new(0), PointId::new(1), PointId::new(2), PointId::new(3));
    let tape = |from: PointId, to: PointId, length: f64| Observation {
        kind: ObservationKind::Tape { from, to, length, plan: false },
        sigma: 0.005,
    };
    let mut survey = Survey {
        points: vec![
            given("A", [0.0, 0.0, 2.4]),
            given("B", [10.0, 0.0, 2.4]),
            given("Q", [1.0, 3.0, 2.4]),
            Point { name: String::from("P"), known: Known::Near(Point3::new(4.1, 0.1, 2.3)) },
        ],
        faces: vec![FaceByPoints { name: String::from("deck"), points: vec![a, b, q], sigma: 0.010 }],
        observations: vec![
            tape(a, p, 4.0),
            tape(p, b, 6.1),
            Observation { kind: ObservationKind::Upright { point: p, over: [a, b] }, sigma: 0.0125 },
            Observation { kind: ObservationKind::Level { points: vec![a, p] }, sigma: 0.010 },
        ],
        ..Survey::default()
    };
    let report = adjust(&[], &survey).unwrap().report;
    assert_eq!(report.suspects.len(), 2, "{:?}", report.suspects);
    let next = report.best_next.first().unwrap();
    let parts = next.parts.unwrap();
    let tapes = [0, 1].map(|index| ObservationId::Listed { what: Listed::Tape, index, part: 0 });
    assert!(parts.between == tapes || parts.between == [tapes[1], tapes[0]], "{parts:?}");
    assert!((parts.expected[0] - parts.expected[1]).abs() > 0.03, "{parts:?}");
    let Proposal::Tape(Station::Point(from), Station::Point(to)) = next.observation else { panic!("{next:?}") };
    for (wrong, expected) in parts.between.into_iter().zip(parts.expected) {
        survey.observations.push(tape(from, to, expected));
        let report = adjust(&[], &survey).unwrap().report;
        assert_eq!(report.suspects.iter().map(|one| one.observation).collect::<Vec<_>>(), [wrong]);
        survey.observations.pop();
    }
}
