//! A published worked irregular hip, framed whole: "Irregular Roof Dimensions", a page on the trigonometry of roof framing
//! (`geocities.ws/web_sketches/framing_math/irregular_roof`), read on 2026-12-01; its figures, not its words. Decimal feet.
//!
//! A main roof of 8 in 12 over a span of 37 ft ends in a hip of 14 in 12; the far corner of the end is cut off at 135°, and the
//! eave over that has the pitch at which all hips come together in the end of the ridge.

use eavewright_core::base::units::Pitch;
use eavewright_core::framing::{Fold, cutting_data_at};
use eavewright_core::outline::Role;
use eavewright_core::roof::{self, EdgeKind, Options, Roof};
use support::outline::block;

const FOOT: f64 = 0.3048;
/// 16 in, the spacing of the jacks printed.
const SPACING: f64 = 16.0 / 12.0 * FOOT;

/// Equal to three in the last digit printed: the page cuts 10.571428 off and reckons on from that and from angles of six decimals.
fn printed(what: &str, value: f64, print: &str) {
    let digits = print.split_once('.').map_or(0, |(_, after)| after.len());
    let last = 10.0_f64.powi(-i32::try_from(digits).unwrap());
    let expected: f64 = print.parse().unwrap();
    assert!((value - expected).abs() <= 3.0 * last, "{what}: {value} is printed {print}");
}

fn solved() -> Roof {
    let on_12 = |rise: f64| Role::eave(Pitch::from_rise_over_run(rise, 12.0).unwrap());
    let [main, end] = [on_12(8.0), on_12(14.0)];
    // The end of the ridge lies 10.571428 ft behind the end's eave and 10.5 ft along it from the cut-off corner: printed. The
    // eave over that corner runs at 45° from there, 10.5 ft and 18.5 ft from the far eave's corner, so 8 ft each way.
    let run = 18.5 * 8.0 / 14.0;
    let rise = 18.5 * 8.0 / 12.0;
    let across = (run + 10.5) / 2.0_f64.sqrt();
    let cut_off = Role::eave(Pitch::from_rise_over_run(rise, across).unwrap());
    let feet = [
        (0.0, 0.0, main.clone()),
        (60.0, 0.0, Role::Verge),
        (60.0, 37.0, main),
        (8.0, 37.0, cut_off),
        (0.0, 29.0, end),
    ];
    let corners = feet.map(|(x, y, role)| (x * FOOT, y * FOOT, role));
    roof::solve(&[block(&corners)], &Options::default()).unwrap()
}

/// The hip between two sides, with its plan angles in that order.
fn hip<'a>(folds: &'a [Fold], sides: [&str; 2]) -> (&'a Fold, [f64; 2]) {
    let place = |fold: &Fold, side: &str| fold.faces.iter().position(|face| face.side().unwrap().side == side);
    let both = |fold: &&Fold| sides.iter().all(|side| place(fold, side).is_some());
    let fold = folds.iter().find(both).unwrap_or_else(|| panic!("no hip between {sides:?}"));
    assert_eq!(fold.kind, EdgeKind::Hip);
    (fold, sides.map(|side| fold.corner.sides[place(fold, side).unwrap()].plan_angle.to_degrees()))
}

#[test]
fn an_irregular_hip_is_framed_as_a_published_worked_example_has_it() {
    let roof = solved();
    let framing = cutting_data_at(&roof, &[SPACING]);
    assert_eq!(framing.folds.len(), 3);
    let ridge: Vec<_> = roof.edges.iter().filter(|edge| edge.kind == EdgeKind::Ridge).collect();
    assert_eq!(ridge.len(), 1, "all hips come together in the end of the ridge");

    // Commons: pitches, runs and rise.
    let pitch = |side: &str| {
        let face = roof.faces.iter().find(|face| face.side().unwrap().side == side).unwrap();
        face.plane.pitch().to_degrees()
    };
    printed("main", pitch("A"), "33.690068");
    printed("end", pitch("E"), "49.398705");
    printed("cut off", pitch("D"), "39.616406");
    printed("rise", roof.ridge_height().unwrap() / FOOT, "12.333333");

    // The hip over the square corner.
    let (square, plan) = hip(&framing.folds, ["A", "E"]);
    printed("plan angle on the 8 in 12", plan[0], "60.255119");
    printed("plan angle on the 14 in 12", plan[1], "29.744881");
    printed("pitch", square.slope().to_degrees(), "30.063493");
    printed("run", square.run.0 / FOOT, "21.30740");
    printed("length", square.length.0 / FOOT, "24.61943");
    let side = |name: &str| square.faces.iter().position(|face| face.side().unwrap().side == name).unwrap();
    let (main, end) = (side("A"), side("E"));
    printed("sheathing on the 8 in 12", square.corner.sides[main].sheathing.to_degrees(), "64.57091");
    printed("sheathing on the 14 in 12", square.corner.sides[end].sheathing.to_degrees(), "41.28481");
    printed("jacks on the 8 in 12", square.jacks[0].difference[main].0 / FOOT, "2.80432");
    printed("jacks on the 14 in 12", square.jacks[0].difference[end].0 / FOOT, "1.17074");

    // Those over the corners of 135°.
    let (first, plan) = hip(&framing.folds, ["E", "D"]);
    printed("plan angle on the 14 in 12", plan[0], "45.194221");
    printed("plan angle on the cut-off corner", plan[1], "89.805779");
    printed("pitch", first.slope().to_degrees(), "39.616244");
    printed("run", first.run.0 / FOOT, "14.89983");
    let (second, plan) = hip(&framing.folds, ["D", "C"]);
    printed("plan angle on the cut-off corner", plan[0], "52.913194");
    printed("plan angle on the 8 in 12", plan[1], "82.086806");
    printed("pitch", second.slope().to_degrees(), "33.437522");
}
