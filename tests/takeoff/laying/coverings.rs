//! Profiled sheets and slates on rectangles and triangles, by closed forms. The cards are invented; the rules are common
//! practice, no source.

use super::quantity;
use super::solved::{covering, eave, near, rectangle as roof_of, taken_off};
use eavewright::outline::footprint::Role;
use eavewright::roof::Roof;
use eavewright::takeoff::TakeOff;
use eavewright::takeoff::card::CoveringKind;
use eavewright::takeoff::layout::FaceLayout;
use eavewright::takeoff::sheet::ordered_length;

fn cos(degrees: f64) -> f64 {
    degrees.to_radians().cos()
}

/// The layout of a face by its name's last letter.
fn face<'a>(answer: &'a TakeOff, roof: &Roof, side: &str) -> &'a FaceLayout {
    let index = answer.faces.iter().position(|count| roof.faces[count.face.index()].name().ends_with(side)).unwrap();
    &answer.layouts[index]
}

/// Lengths the sheets of a face are ordered in, from the left.
fn lengths(layout: &FaceLayout) -> Vec<f64> {
    let CoveringKind::Sheet(sheet) = covering("profiled-sheet").card.covering else { panic!("no sheet") };
    let mut pieces: Vec<_> = layout.courses.iter().flat_map(|course| &course.pieces).collect();
    pieces.sort_by(|a, b| a.from_u.total_cmp(&b.from_u));
    pieces.into_iter().map(|piece| ordered_length(piece, &sheet)).collect()
}

/// Up to the next 10 mm.
fn step(length: f64) -> f64 {
    (length * 100.0 - 1e-6).ceil() / 100.0
}

#[test]
fn sheets_of_a_gable_are_as_many_as_its_width_takes_each_as_long_as_the_slope() {
    let roof = roof_of(7.4, 5.0, eave(20.0), Role::Verge);
    let answer = taken_off(&roof, &covering("profiled-sheet"));
    let length = step(2.5 / cos(20.0) + 0.05);
    for side in ["A", "C"] {
        let found = lengths(face(&answer, &roof, side));
        // 7.4 m at 1.00 m cover: eight, the last one cut lengthwise.
        assert_eq!(found.len(), 8);
        for &found in &found {
            near(found, length, 1e-9);
        }
        assert_eq!(face(&answer, &roof, side).courses.len(), 1);
    }
    // One sheet cut lengthwise gives both of 0.4 m. Of what each slope takes of the 15, 7.6 m and 7.4 m of width, what is not
    // the face: the narrow rest and the step of 10 mm.
    near(quantity(&answer, "profiled-sheet"), 15.0, 0.0);
    for (count, width) in answer.faces.iter().zip([7.6, 7.4]) {
        near(count.waste, 1.0 - 7.4 * (2.5 / cos(20.0) + 0.05) / (width * length), 1e-9);
    }
    // Seven screws a square metre and 5 %, eight on each ridge piece: ceil((7.4 - 2) / 1.85) + 1.
    let area = 2.0 * 7.4 * (2.5 / cos(20.0) + 0.05);
    near(quantity(&answer, "ridge-hip-cap"), 4.0, 0.0);
    near(quantity(&answer, "nail"), ((7.0 * area + 4.0 * 8.0) * 1.05).ceil(), 2.0);
}

#[test]
fn sheets_of_a_hip_end_follow_its_rake() {
    let roof = roof_of(9.2, 5.6, eave(35.0), eave(35.0));
    let answer = taken_off(&roof, &covering("profiled-sheet"));
    let slope = 2.8 / cos(35.0);
    // The triangle over side B with its eave 50 mm further down, and the trapezoid over side A with a ridge of 3.6 m: both
    // as wide at the foot as the hips run on.
    for (side, base, ridge) in [("B", 5.6, 0.0), ("A", 9.2, 3.6)] {
        let run = (base - ridge) / 2.0;
        let foot = -0.05 * run / slope;
        // Height over the foot of the highest place of a column: its side towards the ridge, at most the ridge.
        let height = |from: f64| {
            let (to, peak) = (from + 1.0, [run, base - run]);
            let at = if to < peak[0] {
                to
            } else if from > peak[1] {
                base - from
            } else {
                run
            };
            (at * slope / run).min(slope) + 0.05
        };
        let mut expected = Vec::new();
        let mut from = foot;
        while from < base - foot - 1e-9 {
            expected.push(step(height(from)).max(0.5));
            from += 1.0;
        }
        let found = lengths(face(&answer, &roof, side));
        assert_eq!(found.len(), expected.len(), "{side}");
        // Laid from the left or, the same in a mirror, from the right.
        let mirrored: Vec<f64> = expected.iter().rev().copied().collect();
        let same = |other: &[f64]| found.iter().zip(other).all(|(a, b)| (a - b).abs() < 1e-9);
        assert!(same(&expected) || same(&mirrored), "{side}: {found:?} for {expected:?}");
    }
}

#[test]
fn sheets_longer_than_can_be_had_are_lapped_by_the_pitch() {
    // 7.5 m of run at 12 degrees: 7.717 m of slope with 50 mm at the eave. Two rows lapped 200 mm: (7.717 + 0.2) / 2.
    let roof = roof_of(6.0, 15.0, eave(12.0), Role::Verge);
    let answer = taken_off(&roof, &covering("profiled-sheet"));
    let slope = 7.5 / cos(12.0) + 0.05;
    let layout = face(&answer, &roof, "A");
    assert_eq!(layout.courses.len(), 2);
    let length = step(f64::midpoint(slope, 0.2));
    near(layout.courses[0].head_v - layout.courses[1].butt_v, 0.2, 1e-9);
    near(layout.courses[0].head_v - layout.courses[0].butt_v, length, 1e-9);
    assert_eq!(lengths(layout).len(), 12);
}

/// Widths of slates with their joints, and their courses' number and gauge, from a face of `slope` metres.
fn slate_courses(slope: f64) -> (usize, f64) {
    // Two layers over every point: (500 - 90) / 2 = 205 mm at most from 30 degrees on, 50 mm past the eave, caps over the
    // last 120 mm; closed up so that whole courses reach the ridge.
    let covered = slope + 0.05 - 0.12;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let courses = (covered / 0.205).ceil() as usize;
    (courses, covered / courses as f64)
}

#[test]
fn slates_of_a_gable_come_out_in_whole_courses_with_half_bond() {
    // 6.322 m with both verges: 24 slates of 253 mm and 250 mm, or from a half slate 24 and 123.5 mm: no end under the card's
    // 120 mm.
    let roof = roof_of(6.242, 6.4, eave(35.0), Role::Verge);
    let answer = taken_off(&roof, &covering("slate"));
    let (courses, gauge) = slate_courses(3.2 / cos(35.0));
    let mut total = 0.0;
    for side in ["A", "C"] {
        let layout = face(&answer, &roof, side);
        assert_eq!(layout.courses.len(), courses);
        near(layout.gauge, gauge, 1e-9);
        for (index, course) in layout.courses.iter().enumerate() {
            near(course.butt_v, -0.05 + index as f64 * gauge, 1e-9);
            assert!((25..=26).contains(&course.pieces.len()), "{}", course.pieces.len());
            let next = layout.courses.get(index + 1).map(|next| (next.joint_u - course.joint_u).abs() % 0.253);
            if let Some(apart) = next {
                near(apart, 0.1265, 1e-9);
            }
        }
        assert_eq!(layout.choice.slivers, 0);
        // The under-eave course: as wide, as high as what the first course leaves bare of two layers.
        let width: f64 = layout.starter.iter().map(|piece| piece.area / (0.5 - gauge)).sum();
        near(width, 6.322, 1e-6);
        total += (layout.new_pieces() + layout.starter.len()) as f64;
    }
    near(quantity(&answer, "slate"), total, 0.0);
    // Never fewer than the area takes.
    assert!(total > 2.0 * 6.322 * (3.2 / cos(35.0) + 0.05) / (0.253 * 0.205));
    // A batten a course and one for the under-eave course, on both slopes, 4 m each with ends on rafters 600 mm apart.
    let battens = answer.deck_plans.iter().map(|plan| plan.rows().len());
    battens.into_iter().for_each(|rows| assert_eq!(rows, courses + 1));
    for plan in &answer.deck_plans {
        let rows = plan.rows();
        rows.windows(2).for_each(|pair| near(pair[1] - pair[0], gauge, 1e-9));
    }
}

#[test]
fn slates_of_a_hip_end_cover_each_course_at_its_butt() {
    let roof = roof_of(9.2, 5.6, eave(35.0), eave(35.0));
    let answer = taken_off(&roof, &covering("slate"));
    let slope = 2.8 / cos(35.0);
    let layout = face(&answer, &roof, "B");
    for course in &layout.courses {
        // On a narrowing face the butt governs: positions of 253 mm that the butt line's width touches.
        let half = (slope - course.butt_v) * 2.8 / slope;
        let (left, right) = (2.8 - half, 2.8 + half);
        let place = |u: f64| (u - course.joint_u) / 0.253;
        let expected = (place(right) - 1e-6).ceil() - (place(left) + 1e-6).floor();
        // A corner cut away to nothing is not laid.
        let found = course.pieces.len() as f64;
        assert!(found <= expected && found >= expected - 2.0, "{found} for {expected} at {}", course.butt_v);
        for piece in &course.pieces {
            let extent = piece.extent();
            assert!(extent[0] > left - 1e-6 && extent[1] < right + 1e-6);
        }
    }
    // Faces that share hips share a gauge, so that courses meet at the caps.
    answer.layouts.iter().for_each(|layout| near(layout.gauge, answer.layouts[0].gauge, 1e-12));
    let (_, gauge) = slate_courses(slope);
    near(layout.gauge, gauge, 1e-9);
}
