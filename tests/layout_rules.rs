//! The rules of laying strips, one test each, on faces whose answer can be worked out by hand. Rules of the trade are
//! common practice, no source, unless a source is named.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod one_face;

use eavewright::roof::EdgeKind;
use eavewright::takeoff::bond::{self, Bond};
use eavewright::takeoff::lay::{courses_to, lay, lay_with};
use eavewright::takeoff::layout::{FaceLayout, Hand, Source};
use one_face::{covered, one_face, opening, rectangle, strip, triangle};
use std::collections::HashSet;

const PHASE_0: Bond = Bond { hand: Hand::Left, base: 0, length: 6, start: 0 };

fn placed(layout: &FaceLayout) -> usize {
    let counts = layout.counts();
    counts.whole + counts.cut + counts.from_offcuts
}

/// The end joints of a course: every edge between two neighbouring pieces.
fn joints(layout: &FaceLayout, course: usize) -> Vec<f64> {
    let mut ends: Vec<f64> = layout.courses[course].pieces.iter().map(|piece| piece.from_u).collect();
    ends.sort_by(f64::total_cmp);
    ends.remove(0);
    ends
}

#[test]
fn courses_to_a_ridge_of_3_m_are_21_where_plain_division_says_22() {
    let cover = 1.0 / 6.0 - 0.025;
    assert_eq!(courses_to(3.0, 0.008, 0.143, 0.336, cover), 21);
    assert_eq!((3.008_f64 / 0.143).ceil(), 22.0);
    // Free top: nothing covers the last course.
    assert_eq!(courses_to(3.0, 0.008, 0.143, 0.336, 0.0), 22);
}

#[test]
fn a_rectangle_of_5_by_3_m_takes_126_placed_pieces() {
    let face = covered(&rectangle(5.0, 3.0, 30.0), &[]);
    let layout = lay_with(&face, &strip(), &PHASE_0);
    assert_eq!(layout.courses.len(), 21);
    assert!(layout.courses.iter().all(|course| course.pieces.len() == 6));
    assert_eq!(placed(&layout), 126);
    let [left, right] = face.region.span_u().unwrap();
    assert!((right - left - 5.016).abs() < 1e-12);
}

#[test]
fn phase_0_on_5016_mm_ends_in_a_sliver_of_16_mm_and_the_chosen_bond_does_not() {
    let face = covered(&rectangle(5.0, 3.0, 30.0), &[]);
    let plain = lay_with(&face, &strip(), &PHASE_0);
    assert!(plain.choice.slivers > 0);
    let last = plain.courses[0].pieces.last().unwrap();
    let width = last.parts[0].iter().map(|p| p.x).fold(f64::NEG_INFINITY, f64::max) - last.from_u;
    assert!((width - 0.016).abs() < 1e-9);
    let best = lay(&face, &strip());
    assert_eq!(best.choice.slivers, 0);
    assert_eq!(placed(&best), 126);
    // No fewer than the area bound of 106 strips (S w / (w g) without the part under the caps).
    assert!(best.new_pieces() >= 105, "{}", best.new_pieces());
}

#[test]
fn butts_stand_at_the_gauge_from_8_mm_below_the_eave() {
    let layout = lay(&covered(&rectangle(4.0, 2.0, 30.0), &[]), &strip());
    for (index, course) in layout.courses.iter().enumerate() {
        assert!((course.butt_v - (-0.008 + 0.143 * index as f64)).abs() < 1e-12);
        assert!((course.head_v - course.butt_v - 0.336).abs() < 1e-12);
    }
}

#[test]
fn the_first_starter_is_833_mm_and_its_joints_keep_off_the_joints_and_slots_above() {
    let face = covered(&rectangle(5.0, 3.0, 30.0), &[]);
    let tab = strip().tab;
    for bond in bond::full(6).into_iter().chain(bond::shortened(6)) {
        let layout = lay_with(&face, &strip(), &bond);
        assert!(layout.starter.iter().all(|piece| piece.parts[0][0].y < -0.0079));
        for piece in &layout.starter {
            for first in &layout.courses[0].pieces {
                for slot in 0..3 {
                    let place = first.from_u + f64::from(slot) * tab;
                    let gap = (place - piece.from_u).rem_euclid(tab);
                    assert!(gap.min(tab - gap) >= tab / 4.0, "{bond:?}");
                }
            }
        }
    }
    let layout = lay_with(&face, &strip(), &PHASE_0);
    let first = &layout.starter[0];
    assert!((first.to_u - -0.008 - 5.0 / 6.0).abs() < 1e-9);
    assert_eq!(layout.starter.len(), 6);
}

#[test]
fn end_joints_keep_100_mm_off_the_courses_beside_them_and_do_not_repeat_within_three() {
    for width in [2.4, 3.1, 4.984, 5.0, 6.35, 9.2] {
        let layout = lay(&covered(&rectangle(width, 3.0, 30.0), &[]), &strip());
        assert_eq!(layout.choice.slivers, 0, "{width}");
        for course in 0..layout.courses.len() {
            let here = joints(&layout, course);
            for (later, least) in [(1, 0.1), (2, 1e-6)] {
                if course + later < layout.courses.len() {
                    let there = joints(&layout, course + later);
                    let near = |a: &f64| there.iter().any(|b| (a - b).abs() < least);
                    assert!(!here.iter().any(near), "width {width}, course {course}, {later} later");
                }
            }
        }
    }
}

#[test]
fn no_upright_end_is_under_half_a_tab() {
    let face = covered(&rectangle(5.0, 3.0, 30.0), &[]);
    let layout = lay(&face, &strip());
    for piece in layout.courses.iter().flat_map(|course| &course.pieces) {
        let u = || piece.parts.iter().flatten().map(|p| p.x);
        let width = u().fold(f64::NEG_INFINITY, f64::max) - u().fold(f64::INFINITY, f64::min);
        assert!(width >= 1.0 / 6.0 - 1e-6, "{width}");
    }
}

#[test]
fn a_mirrored_face_takes_the_same_pieces() {
    let kinds = [EdgeKind::Eave, EdgeKind::Hip, EdgeKind::Ridge, EdgeKind::Verge];
    let places = [(0.0, 0.0), (6.3, 0.0), (4.1, 2.7), (0.0, 2.7)];
    let mirrored: Vec<_> = [1, 0, 3, 2].iter().map(|&i: &usize| (6.3 - places[i].0, places[i].1)).collect();
    let mirrored_kinds = [EdgeKind::Eave, EdgeKind::Verge, EdgeKind::Ridge, EdgeKind::Hip];
    let one = lay(&covered(&one_face(&places, &kinds, 35.0), &[]), &strip());
    let other = lay(&covered(&one_face(&mirrored, &mirrored_kinds, 35.0), &[]), &strip());
    assert_eq!(one.counts(), other.counts());
    assert_eq!(one.courses.len(), other.courses.len());
}

#[test]
fn collinear_sides_of_one_face_change_nothing() {
    let whole = rectangle(7.0, 2.5, 30.0);
    let split = one_face(
        &[(0.0, 0.0), (2.9, 0.0), (7.0, 0.0), (7.0, 1.1), (7.0, 2.5), (0.0, 2.5)],
        &[EdgeKind::Eave, EdgeKind::Eave, EdgeKind::Verge, EdgeKind::Verge, EdgeKind::Ridge, EdgeKind::Verge],
        30.0,
    );
    let (a, b) = (lay(&covered(&whole, &[]), &strip()), lay(&covered(&split, &[]), &strip()));
    assert_eq!(a.counts(), b.counts());
    assert_eq!(a.starter.len(), b.starter.len());
}

#[test]
fn an_opening_is_cut_with_10_mm_clearance_and_the_courses_above_resume_the_grid() {
    let roof = rectangle(5.0, 3.0, 30.0);
    let face = covered(&roof, &[opening([2.0, 1.0], [0.78, 1.18])]);
    assert!((face.region.area() - (5.016 * 3.008 - 0.80 * 1.20)).abs() < 1e-9);
    let layout = lay_with(&face, &strip(), &PHASE_0);
    let plain = lay_with(&covered(&roof, &[]), &strip(), &PHASE_0);
    for (with, without) in layout.courses.iter().zip(&plain.courses) {
        assert_eq!(with.joint_u, without.joint_u);
        let stands = |u: f64| without.pieces.iter().any(|piece| piece.from_u == u);
        assert!(with.pieces.iter().all(|piece| stands(piece.from_u)));
    }
}

#[test]
fn offcuts_are_used_once_after_the_piece_they_come_from_and_only_when_long_enough() {
    for roof in [rectangle(5.3, 3.0, 30.0), triangle(6.0, 3.4, 35.0), triangle(9.0, 4.0, 35.0)] {
        for bond in bond::full(6) {
            let layout = lay_with(&covered(&roof, &[]), &strip(), &bond);
            let mut used = HashSet::new();
            for (course_index, course) in layout.courses.iter().enumerate() {
                for (piece_index, piece) in course.pieces.iter().enumerate() {
                    let Source::Offcut { course: from, piece: nth } = piece.source else { continue };
                    let origin = &layout.courses[from].pieces[nth];
                    assert_eq!(origin.source, Source::New);
                    assert!((from, nth) < (course_index, piece_index), "laid backwards");
                    let extent = |piece: &eavewright::takeoff::layout::Piece| {
                        let u = || piece.parts.iter().flatten().map(|p| p.x);
                        (u().fold(f64::INFINITY, f64::min), u().fold(f64::NEG_INFINITY, f64::max))
                    };
                    let (here, there) = (extent(piece), extent(origin));
                    let need = here.1 - here.0;
                    let (left, right) = (there.0 - origin.from_u, origin.to_u - there.1);
                    assert!(need <= left.max(right) + 1e-6);
                    // One remainder at each end at most.
                    let side =
                        usize::from(left + 1e-6 < need || (right + 1e-6 >= need && used.contains(&(from, nth, 0))));
                    assert!(used.insert((from, nth, side)), "used twice");
                }
            }
            assert_eq!(layout.counts().from_offcuts, used.len());
        }
    }
}

#[test]
fn the_same_face_laid_twice_is_the_same() {
    let face = covered(&triangle(7.3, 3.9, 40.0), &[opening([3.0, 1.0], [0.6, 0.9])]);
    assert_eq!(lay(&face, &strip()), lay(&face, &strip()));
}

#[test]
fn exposures_and_caps_make_up_the_face() {
    // A course shows from its butt to the next; the last to the ridge, under the caps.
    let layout = lay(&covered(&rectangle(5.0, 3.0, 30.0), &[]), &strip());
    let butts: Vec<f64> = layout.courses.iter().map(|course| course.butt_v).chain([3.0]).collect();
    let shown: f64 = butts.windows(2).map(|pair| (pair[1] - pair[0]) * 5.016).sum();
    assert!((shown - 5.016 * 3.008).abs() < 1e-9);
    // The last butt is within the gauge and half a tab less 25 mm of the ridge.
    assert!(3.0 - butts[20] <= 0.143 + 1.0 / 6.0 - 0.025);
}

#[test]
fn every_place_lies_under_two_layers_but_at_slots() {
    let layout = lay(&covered(&rectangle(3.3, 2.0, 30.0), &[]), &strip());
    for step in 0..200 {
        let v = 0.002 + 2.0 * f64::from(step) / 201.0;
        let layers = layout.courses.iter().filter(|course| course.butt_v <= v && v < course.head_v).count();
        let starter = usize::from(v < -0.008 + 0.193);
        // Under the caps two more lie over the last courses.
        let caps = usize::from(v > 2.0 - (1.0 / 6.0 - 0.025));
        assert!(layers + starter + caps >= 2, "{layers} layers at {v}");
    }
}
