//! Sizes that are known without a tape: do they scale a roof as surely as they say, and is the right one blamed where one is
//! wrong? Invented houses, drawn anew.

use eavewright_core::base::ids::PointId;
use eavewright_core::survey::model::{KnownThing, Observation, ObservationKind};
use eavewright_core::survey::observation::{Listed, ObservationId};
use eavewright_core::survey::{adjust, sigma};
use invented::{Drawn, Plan, draw, kinds, number};
use random::Random;
use support::survey::invented;
use support::survey::random;

/// Courses up a wall corner, and panels along a wall.
const THINGS: [(KnownThing, u32, [&str; 2]); 2] =
    [(KnownThing::BrickCourse, 32, ["a", "E1"]), (KnownThing::BoardPanel, 4, ["a", "b"])];

fn plan() -> Plan {
    let mut plan = kinds().into_iter().find(|kind| kind.0 == "three photos, one tape").unwrap().1;
    plan.tapes.clear();
    plan
}

/// The size of so many pieces between two points as a person knows it: all are off by as much, each by `each`.
fn known(drawn: &Drawn, (what, count, [from, to]): (KnownThing, u32, [&str; 2]), off: f64) -> Observation {
    let truth = (drawn.places[number(from)] - drawn.places[number(to)]).norm();
    let [from, to] = [from, to].map(|name| PointId::new(number(name)));
    let length = truth + f64::from(count) * off;
    Observation {
        kind: ObservationKind::Known { from, to, length, what, count },
        sigma: f64::from(count) * sigma::known(what),
    }
}

fn check(runs: usize, seed: u64) {
    let mut random = Random::new(seed);
    for thing in THINGS {
        let (mut within, mut all, mut sum) = (0, 0, 0.0);
        for _ in 0..runs {
            let mut drawn = draw(&plan(), &mut random);
            let off = sigma::known(thing.0) * random.normal();
            drawn.survey.observations.push(known(&drawn, thing, off));
            let report = adjust(&[], &drawn.survey).unwrap().report;
            for (face, found) in report.faces.iter().enumerate() {
                let (area, sd) = (found.area.unwrap(), found.area_sd.unwrap());
                all += 1;
                within += usize::from((area - drawn.area(face)).abs() <= 1.96 * sd);
                sum += sd / area;
            }
        }
        println!("{thing:?}: {within} of {all} areas within, mean sd {:.2} %", 100.0 * sum / f64::from(all));
        // The areas of a house hang on one size: they count as one and a half.
        let chance = (0.95 * 0.05 / (1.5 * runs as f64)).sqrt();
        assert!((within as f64 / f64::from(all) - 0.95).abs() < 0.02 + 3.0 * chance, "{within} of {all}");
    }
}

#[test]
fn a_known_size_tells_the_size_as_surely_as_it_says() {
    check(40, 3);
}

#[test]
#[ignore = "some minutes of computing"]
fn of_a_thousand_houses_too() {
    check(support::part_of(1000), 4);
}

/// Nothing checks a single size, so that it is never doubted; beside tapes a wrong one is named.
#[test]
fn a_wrong_size_is_named_as_such() {
    let mut random = Random::new(5);
    let mut named = 0;
    for _ in 0..10 {
        let mut drawn = draw(&plan(), &mut random);
        drawn.survey.observations.push(known(&drawn, THINGS[0], 0.0));
        let index = drawn.survey.observations.len() - 1;
        let id = ObservationId::Listed { what: Listed::Known, index, part: 0 };
        let alone = adjust(&[], &drawn.survey).unwrap().report;
        assert_eq!(alone.unchecked(), [id]);
        assert!(alone.suspects.iter().all(|suspect| suspect.observation != id), "{:?}", alone.suspects);
        // Courses of 65 mm taken for courses of 75.
        let count = f64::from(THINGS[0].1);
        drawn.survey.observations[index] = known(&drawn, THINGS[0], 0.010);
        for pair in [["a", "b"], ["b", "c"]] {
            let length = (drawn.places[number(pair[0])] - drawn.places[number(pair[1])]).norm();
            let [from, to] = pair.map(|name| PointId::new(number(name)));
            let kind = ObservationKind::Tape { from, to, length, plan: false };
            drawn.survey.observations.push(Observation { kind, sigma: 0.003 });
        }
        let report = adjust(&[], &drawn.survey).unwrap().report;
        if let [suspect, ..] = &report.suspects[..] {
            named += usize::from(suspect.observation == id && (suspect.error() - 0.010 * count).abs() < 0.1);
        }
    }
    assert!(named >= 9, "{named} of 10");
}
