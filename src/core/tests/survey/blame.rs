//! Is the right one blamed? Names changed over, the same picture twice, a tape that nothing checks, in invented houses
//! drawn anew.

use eavewright_core::survey::finding::Finding;
use eavewright_core::survey::model::Survey;
use eavewright_core::survey::observation::{Listed, ObservationId};
use eavewright_core::survey::report::{RepeatedPhoto, Swapped};
use eavewright_core::survey::{SurveyError, adjust};
use invented::{Plan, draw, kinds};
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
