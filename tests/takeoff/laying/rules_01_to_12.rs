//! Gauge, grid, butts, starter, bond, verges and the top of a slope.

use super::one_face::{covered, one_face, opening, rectangle, strip, triangle};
use super::read::{self, taken};
use super::solved::{covering, eave, rectangle as roof_of, solved, taken_off};
use super::{codes, detail, extent, faces, joints_keep_apart, message, near, placed};
use eavewright::outline::footprint::Role;
use eavewright::roof::{EdgeKind, Roof};
use eavewright::takeoff::bond::{self, Bond};
use eavewright::takeoff::card::CoveringKind;
use eavewright::takeoff::details::Hand;
use eavewright::takeoff::lay::{courses_to, lay, lay_with};

pub const PHASE_0: Bond = Bond { hand: Hand::Left, base: 0, length: 6, start: 0 };

fn gable(width: f64, depth: f64, degrees: f64) -> Roof {
    roof_of(width, depth, eave(degrees), Role::Verge)
}

#[test]
fn rule_01_the_gauge_is_bound_by_cutout_and_lap() {
    // DTU 40.14 art. 4.1: P = (l - R) / 2.
    let mut covering = covering("strip-shingle");
    let CoveringKind::Strip(strip) = &mut covering.card.covering else { panic!() };
    (strip.height, strip.head_lap, strip.cutout) = (0.336, 0.050, 0.150);
    near(strip.largest_gauge(), 0.143, 1e-12);
    strip.cutout = 0.140;
    near(strip.largest_gauge(), 0.140, 1e-12);
    strip.cutout = 0.150;
    strip.gauge = 0.150;
    let answer = taken_off(&gable(5.0, 5.0, 35.0), &covering);
    assert!(answer.faces.iter().all(|face| face.gauge <= 0.143 + 1e-12));
    assert!(codes(&answer).contains(&"gauge-too-large"));
    // Strips a square metre without waste.
    near(1.0 / (1.0 * 0.143), 6.993, 5e-4);
}

#[test]
fn rule_01_a_gauge_closed_up_for_the_ridge_shrinks_by_5_mm_at_most_and_is_said() {
    let (mut closed, mut usual) = (0, 0);
    for step in 0..60 {
        let answer = taken_off(&gable(5.0, 4.0 + 0.02 * f64::from(step), 35.0), &covering("strip-shingle"));
        for face in &answer.faces {
            assert!((0.138 - 1e-12..=0.143 + 1e-12).contains(&face.gauge));
        }
        let said = codes(&answer).contains(&"gauge-closed-up");
        assert_eq!(said, answer.faces[0].gauge < 0.143 - 1e-12);
        closed += usize::from(said);
        usual += usize::from(!said);
    }
    assert!(closed > 5 && usual > 5, "{closed} closed up, {usual} not");
}

#[test]
fn rule_02_collinear_sides_of_one_face_change_nothing() {
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
fn rule_02_a_slope_that_a_wing_divides_keeps_one_grid() {
    // The wing is as wide as the main roof is deep: its ridge meets the main one, and two pieces of the front slope are left.
    let corners = [(0.0, 0.0), (2.3, 0.0), (2.3, -3.0), (8.3, -3.0), (8.3, 0.0), (11.0, 0.0), (11.0, 6.0), (0.0, 6.0)];
    let roles = [eave(40.0), eave(40.0), Role::Verge, eave(40.0), eave(40.0), Role::Verge, eave(40.0), Role::Verge];
    let roof = solved(&corners, &roles);
    let answer = taken_off(&roof, &covering("strip-shingle"));
    let front: Vec<_> = answer
        .layouts
        .iter()
        .filter(|layout| (layout.frame.up.y > 0.1) && (layout.frame.origin.y).abs() < 1e-9)
        .collect();
    assert_eq!(front.len(), 2);
    let [a, b] = [front[0], front[1]];
    assert_eq!((a.gauge, a.hand, a.phase), (b.gauge, b.hand, b.phase));
    let apart = (b.frame.origin - a.frame.origin).dot(&a.frame.along);
    let mut seen = 0;
    for (left, right) in a.courses.iter().zip(&b.courses) {
        near(left.butt_v, right.butt_v, 1e-9);
        // All joints of a course lie on one grid of whole strips.
        let off = (right.joint_u + apart - left.joint_u).rem_euclid(1.0);
        near(off.min(1.0 - off), 0.0, 1e-9);
        seen += 1;
    }
    assert!(seen > 20);
}

#[test]
fn rule_02_faces_that_share_a_hip_share_their_gauge_and_are_noted_where_they_do_not() {
    for depth in [5.0, 5.2, 5.4, 5.6, 5.8] {
        let answer = taken_off(&roof_of(9.0, depth, eave(35.0), eave(35.0)), &covering("strip-shingle"));
        assert!(answer.faces.iter().all(|face| face.gauge == answer.faces[0].gauge));
        assert!(!codes(&answer).contains(&"courses-do-not-meet"));
    }
    let unequal = taken_off(&roof_of(10.0, 6.0, eave(30.0), eave(45.0)), &covering("strip-shingle"));
    assert!(codes(&unequal).contains(&"courses-do-not-meet"));
}

#[test]
fn rule_03_butts_stand_at_the_gauge_from_8_mm_below_the_eave() {
    let layout = lay(&covered(&rectangle(4.0, 2.0, 30.0), &[]), &strip());
    for (index, course) in layout.courses.iter().enumerate() {
        near(course.butt_v, -0.008 + 0.143 * index as f64, 1e-12);
        near(course.head_v - course.butt_v, 0.336, 1e-12);
    }
}

#[test]
fn rule_03_the_whole_rectangle_is_clipped_so_the_butt_governs_at_hips_and_the_head_at_valleys() {
    // A hip end narrows by 1 m a metre on either side; turned over it widens, as beside a valley.
    let hip = covered(&triangle(6.0, 3.0, 35.0), &[]);
    let layout = lay_with(&hip, &strip(), &PHASE_0);
    for course in layout.courses.iter().take(15) {
        let right = course.pieces.iter().map(|piece| extent(piece)[1]).fold(f64::NEG_INFINITY, f64::max);
        near(right, 6.0 - course.butt_v.max(-0.008), 1e-9);
    }
    let kinds = [EdgeKind::Eave, EdgeKind::Verge, EdgeKind::Top, EdgeKind::Verge];
    let widening = covered(&one_face(&[(0.0, 0.0), (2.0, 0.0), (4.0, 2.0), (-2.0, 2.0)], &kinds, 35.0), &[]);
    let layout = lay_with(&widening, &strip(), &PHASE_0);
    let reach = 0.008 * std::f64::consts::SQRT_2;
    for course in layout.courses.iter().take(8) {
        let right = course.pieces.iter().map(|piece| extent(piece)[1]).fold(f64::NEG_INFINITY, f64::max);
        near(right, 2.0 + course.head_v + reach, 1e-9);
    }
}

#[test]
fn rule_04_a_starter_is_833_mm_first_and_as_high_as_the_strip_without_its_tabs() {
    let face = covered(&rectangle(5.0, 3.0, 30.0), &[]);
    let layout = lay_with(&face, &strip(), &PHASE_0);
    let first = &layout.starter[0];
    near(first.to_u - -0.008, 5.0 / 6.0, 1e-9);
    assert_eq!(layout.starter.len(), 6);
    for piece in &layout.starter {
        let v: Vec<f64> = piece.parts.iter().flatten().map(|place| place.y).collect();
        near(v.iter().copied().fold(f64::INFINITY, f64::min), -0.008, 1e-9);
        near(v.iter().copied().fold(f64::NEG_INFINITY, f64::max), -0.008 + 0.336 - 0.143, 1e-9);
    }
    // One strip gives one starter; its cut-off tabs give no caps: strips are courses, starters and caps, each for itself.
    let answer = taken_off(&gable(8.0, 6.0, 35.0), &covering("strip-shingle"));
    let detail = detail(&answer, "strip-shingle");
    let starters = super::quantity(&answer, "starter");
    assert!(detail.contains(&format!("{starters} for the starter")), "{detail}");
}

#[test]
fn rule_05_starter_joints_keep_a_quarter_tab_off_the_joints_and_slots_above() {
    let face = covered(&rectangle(5.0, 3.0, 30.0), &[]);
    let tab = strip().tab;
    for bond in bond::full(6).into_iter().chain(bond::shortened(6)) {
        let layout = lay_with(&face, &strip(), &bond);
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
}

#[test]
fn rule_06_first_pieces_are_shorter_by_half_a_tab_from_course_to_course_for_six_courses() {
    let layout = lay_with(&covered(&rectangle(5.0, 3.0, 30.0), &[]), &strip(), &PHASE_0);
    let expected = [1.0, 5.0 / 6.0, 2.0 / 3.0, 0.5, 1.0 / 3.0, 1.0 / 6.0];
    for (index, course) in layout.courses.iter().enumerate() {
        let [left, right] = extent(&course.pieces[0]);
        near(right - left, expected[index % 6], 1e-9);
        let [left, right] = extent(&course.pieces[1]);
        near(right - left, 1.0, 1e-9);
    }
}

#[test]
fn rule_07_a_mirrored_face_takes_the_same_pieces() {
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
fn rule_08_a_sliver_moves_the_start_of_the_whole_face_and_no_end_is_under_half_a_tab() {
    let face = covered(&rectangle(5.0, 3.0, 30.0), &[]);
    let plain = lay_with(&face, &strip(), &PHASE_0);
    assert!(plain.choice.slivers > 0);
    near(extent(plain.courses[0].pieces.last().unwrap())[1] - 5.0, 0.008, 1e-9);
    for width in [2.4, 3.1, 4.984, 5.0, 6.35, 9.2] {
        let best = lay(&covered(&rectangle(width, 3.0, 30.0), &[]), &strip());
        assert_eq!(best.choice.slivers, 0);
        for piece in best.courses.iter().flat_map(|course| &course.pieces) {
            let [left, right] = extent(piece);
            assert!(right - left >= 1.0 / 6.0 - 1e-6, "{width}: {}", right - left);
        }
    }
}

#[test]
fn rule_09_end_joints_keep_100_mm_off_the_courses_beside_them_and_do_not_repeat_within_three() {
    for width in [2.4, 3.1, 4.984, 5.0, 6.35, 9.2] {
        joints_keep_apart(&lay(&covered(&rectangle(width, 3.0, 30.0), &[]), &strip()), true);
    }
    for bond in bond::full(6).into_iter().chain(bond::shortened(6)) {
        joints_keep_apart(&lay_with(&covered(&triangle(7.0, 3.0, 30.0), &[]), &strip(), &bond), true);
    }
}

#[test]
fn rule_10_courses_run_8_mm_past_the_verge_and_their_top_corners_are_clipped() {
    let roof = gable(8.0, 6.0, 35.0);
    let card = covering("strip-shingle");
    for face in faces(&roof, &card) {
        let [left, right] = face.region.span_u().unwrap();
        near(right - left, 8.016, 1e-9);
    }
    let verges = read::rectangle(8.0, 6.0, ["pitch = 35", "verge = true", "pitch = 35", "verge = true"], "");
    assert!(read::sheet(&taken(&verges)).contains("Upper corners clipped 25 mm at verges"));
}

#[test]
fn rule_10_starters_run_up_the_verges_where_the_card_says_so_and_are_counted_apart() {
    let roof = gable(8.0, 6.0, 35.0);
    let mut card = covering("strip-shingle");
    let plain = super::quantity(&taken_off(&roof, &card), "starter");
    let CoveringKind::Strip(strip) = &mut card.card.covering else { panic!() };
    strip.verge_starter = true;
    // Four verges of 3 / cos 35 = 3.662 m and the projection at the eave: four strips each.
    assert_eq!(super::quantity(&taken_off(&roof, &card), "starter"), plain + 16.0);
}

#[test]
fn rule_11_courses_to_a_ridge_of_3_m_are_21_where_plain_division_says_22() {
    let cover = 1.0 / 6.0 - 0.025;
    assert_eq!(courses_to(3.0, 0.008, 0.143, 0.336, cover), 21);
    assert_eq!((3.008_f64 / 0.143).ceil(), 22.0);
    // Free top: nothing covers the last course.
    assert_eq!(courses_to(3.0, 0.008, 0.143, 0.336, 0.0), 22);
    // Lean-to head: what the apron covers, 150 mm, less 25.
    let kinds = [EdgeKind::Eave, EdgeKind::Verge, EdgeKind::Abutment, EdgeKind::Verge];
    for slope in [2.0, 2.6, 3.0, 3.3, 3.41] {
        for (kind, cover) in [(EdgeKind::Abutment, 0.125), (EdgeKind::Ridge, cover), (EdgeKind::Top, 0.0)] {
            let places = [(0.0, 0.0), (4.0, 0.0), (4.0, slope), (0.0, slope)];
            let face = covered(&one_face(&places, &[kinds[0], kinds[1], kind, kinds[3]], 30.0), &[]);
            // The smallest N with N g >= S + p - a and (N - 1) g + h >= S + p, counted up from one.
            let mut courses = 1;
            while f64::from(courses) * 0.143 < slope + 0.008 - cover - 1e-9
                || f64::from(courses - 1) * 0.143 + 0.336 < slope + 0.008 - 1e-9
            {
                courses += 1;
            }
            assert_eq!(lay(&face, &strip()).courses.len(), usize::try_from(courses).unwrap(), "{slope} {kind:?}");
        }
    }
}

#[test]
fn rule_12_what_stands_over_the_ridge_folds_down_from_one_slope_only_and_is_trimmed_on_the_other() {
    let mut folded = 0;
    for step in 0..20 {
        let depth = 5.0 + 0.02 * f64::from(step);
        let roof = gable(6.0, depth, 35.0);
        let answer = taken_off(&roof, &covering("strip-shingle"));
        let slope = depth / 2.0 / 35_f64.to_radians().cos();
        let cover = 0.141;
        let [first, second] = [&answer.layouts[0], &answer.layouts[1]];
        // The slopes are alike: the first in order is laid first.
        near(first.folds_to.unwrap(), slope + cover, 1e-9);
        assert!(second.folds_to.is_none());
        let over: Vec<f64> =
            first.courses.iter().map(|course| course.head_v - slope).filter(|over| *over > 1e-6).collect();
        let folds = over.iter().filter(|over| **over <= cover).count();
        let said = codes(&answer).contains(&"fold-over-ridge");
        assert_eq!(said, folds > 0);
        if said {
            let most = over.iter().copied().filter(|over| *over <= cover).fold(0.0, f64::max);
            assert!(message(&answer, &roof, "fold-over-ridge").contains(&format!(" {:.0} mm", most * 1000.0)));
        }
        // Trimmed courses are cut along the whole ridge, folded ones are not; the other cuts are those at the verges.
        for (layout, count, trimmed) in
            [(first, &answer.faces[0], over.len() - folds), (second, &answer.faces[1], over.len())]
        {
            let mut at_verges = 0.0;
            for course in &layout.courses {
                for piece in &course.pieces {
                    let [left, right] = extent(piece);
                    let ends = usize::from(left > piece.from_u + 1e-6) + usize::from(right < piece.to_u - 1e-6);
                    at_verges += ends as f64 * (course.head_v.min(slope) - course.butt_v);
                }
            }
            near(count.cut_length - at_verges, trimmed as f64 * 6.016, 1e-6);
        }
        folded += folds;
    }
    assert!(folded > 10, "{folded}");
}

#[test]
fn rule_12_a_grid_clipped_at_an_opening_is_no_fold() {
    let face = covered(&rectangle(5.0, 3.0, 30.0), &[opening([2.0, 1.0], [0.78, 1.18])]);
    assert!(placed(&lay(&face, &strip())) >= 126);
}
