//! Rule 15: valleys closed-cut and woven, alone and near to each other.

use super::read::taken;
use super::rules_13_to_21::tee;
use super::solved::{covering, eave, solved, t_plan, taken_off};
use super::{codes, faces, joints, joints_keep_apart, message, near};
use eavewright::outline::footprint::Role;
use eavewright::roof::{EdgeKind, Roof};
use eavewright::takeoff::TakeOff;
use eavewright::takeoff::model::{Covering, ValleyMethod};
use eavewright::takeoff::outline::{CoveredFace, FaceEdge};
use nalgebra::{Point2, Vector2};

/// How far the courses of a face reach past a valley, square to it; negative: they stop short.
fn reach(edge: &FaceEdge) -> f64 {
    let along = (edge.to - edge.from).normalize();
    Vector2::new(along.y, -along.x).dot(&(edge.covered[0] - edge.from))
}

fn valleys(face: &CoveredFace) -> impl Iterator<Item = &FaceEdge> {
    face.edges.iter().filter(|edge| edge.kind == EdgeKind::Valley)
}

fn heights(edge: &FaceEdge) -> [f64; 2] {
    [edge.from.y.min(edge.to.y), edge.from.y.max(edge.to.y)]
}

/// Joints of the courses that run through valleys: their distance to the centre, square to it, asserted; how many stretches
/// run through and are cut, and how many joints were seen.
fn through_joints(roof: &Roof, covering: &Covering, answer: &TakeOff) -> (usize, usize, usize) {
    let (mut through, mut cut, mut seen) = (0, 0, 0);
    for (face, layout) in faces(roof, covering).iter().zip(&answer.layouts) {
        for edge in valleys(face) {
            if reach(edge) < 0.0 {
                assert!(reach(edge) < -0.05 + 1e-9, "{}", reach(edge));
                cut += 1;
                continue;
            }
            near(reach(edge), 0.300, 1e-9);
            through += 1;
            let along = (edge.to - edge.from).normalize();
            let inwards = Vector2::new(-along.y, along.x);
            let [low, high] = heights(edge);
            for (index, course) in layout.courses.iter().enumerate() {
                if course.butt_v <= low || course.head_v >= high {
                    continue;
                }
                for joint in joints(layout, index) {
                    for v in [course.butt_v, course.head_v] {
                        let off = inwards.dot(&(Point2::new(joint, v) - edge.from));
                        assert!(
                            off.abs() > 0.300 - 1e-6,
                            "joint {off} m from the centre at v = {v}: {joint} {edge:?} {:?} {} {:?}",
                            joints(layout, index),
                            layout.hand == eavewright::takeoff::details::Hand::Left,
                            layout.courses[index].pieces.iter().map(super::extent).collect::<Vec<_>>()
                        );
                        seen += 1;
                    }
                }
            }
        }
    }
    (through, cut, seen)
}

fn with(method: ValleyMethod) -> Covering {
    let mut covering = covering("strip-shingle");
    covering.laying.valley = method;
    covering
}

#[test]
fn rule_15_a_closed_valleys_first_side_runs_300_mm_through_without_a_joint_and_the_other_stops_50_mm_short() {
    let closed = with(ValleyMethod::Closed);
    for degrees in [30.0, 40.0, 50.0] {
        let roof = tee(degrees);
        let (through, cut, joints) = through_joints(&roof, &closed, &taken_off(&roof, &closed));
        assert_eq!((through, cut), (2, 2), "{degrees}");
        assert!(joints > 20, "{joints} at {degrees}");
    }
}

#[test]
fn rule_15_joints_beside_a_closed_valley_keep_100_mm_apart_from_course_to_course() {
    let closed = with(ValleyMethod::Closed);
    for degrees in [20.0, 30.0, 40.0, 45.0, 47.0, 50.0, 55.0] {
        for layout in &taken_off(&tee(degrees), &closed).layouts {
            joints_keep_apart(layout, false);
        }
    }
}

#[test]
fn rule_15_both_sides_of_a_woven_valley_run_through_and_only_courses_that_meet_are_woven() {
    let woven = with(ValleyMethod::Woven);
    let roof = t_plan();
    let answer = taken_off(&roof, &woven);
    let (through, cut, joints) = through_joints(&roof, &woven, &answer);
    // Each valley: woven from the foot up, its head closed-cut with the wing's courses running through.
    assert_eq!((through, cut), (4, 2));
    assert!(joints > 40, "{joints}");
    assert!(!codes(&answer).contains(&"valley-not-woven"));
    // Courses of both sides meet at the valley: one gauge.
    let gauges: Vec<f64> = answer.faces.iter().map(|face| face.gauge).collect();
    // The slope behind meets no valley: its gauge is worked out by itself, from heights that differ by rounding.
    assert!(gauges.iter().all(|gauge| (gauge - gauges[0]).abs() < 1e-12), "{gauges:?}");
    let corners = [(0.0, 0.0), (3.0, 0.0), (3.0, -3.0), (7.0, -3.0), (7.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)];
    let (main, wing) = (eave(40.0), eave(45.0));
    let roles = [main.clone(), wing.clone(), Role::Verge, wing, main.clone(), Role::Verge, main, Role::Verge];
    let unlike = solved(&corners, &roles);
    let answer = taken_off(&unlike, &woven);
    assert!(message(&answer, &unlike, "valley-not-woven").contains("closed-cut"));
    // The flatter main slope first; at the head, where it lacks room, the wing.
    let (through, cut, _) = through_joints(&unlike, &woven, &answer);
    assert_eq!((through, cut), (4, 4), "not laid as said");
}

#[test]
fn rule_15_two_woven_valleys_end_where_they_come_nearer_than_300_mm_on_each_side() {
    let woven = with(ValleyMethod::Woven);
    let roof = t_plan();
    // In the slope of 40 degrees a valley of 45 degrees in plan stands 1 / cos 40 steep: 0.300 m square to it are
    // 0.300 / sin(atan(1 / cos 40)) along the eave; the two valleys are twice that apart where s metres up the slope are
    // left to their head, s cos 40 to either side.
    let cos = 40_f64.to_radians().cos();
    let level = 0.300 / (1.0 / cos).atan().sin();
    let left = level / cos;
    for face in faces(&roof, &woven).iter().filter(|face| valleys(face).count() > 2) {
        let head = valleys(face).map(|edge| heights(edge)[1]).fold(f64::NEG_INFINITY, f64::max);
        for edge in valleys(face) {
            let [low, high] = heights(edge);
            let expected = if reach(edge) > 0.0 { [0.0, head - left] } else { [head - left, head] };
            near(low, expected[0], 1e-6);
            near(high, expected[1], 1e-6);
        }
    }
    let answer = taken_off(&roof, &woven);
    let said = message(&answer, &roof, "valley-no-room");
    // Of 3.289 m, as much as is woven, and the rest.
    let metre = 3.289 / (2.0 / cos);
    let border = format!("from {:.2} m to 3.29 m", 3.289 - left * metre);
    assert!(said.contains(&border) && said.contains("300 mm"), "{border} not in: {said}");
    nothing_in_the_way(&roof, &woven);
}

/// A gable roof with two dormers this far apart.
fn two_dormers(apart: f64, valley: &str) -> String {
    let dormer = |name: &str, at: f64| {
        format!(
            "[[dormer]]\nname = \"{name}\"\nface = \"barn/A\"\nat = [{at}, 0.8]\nwidth = 2.6\nfront_height = 1.1\npitch = 40\n\
             kind = \"gable\"\n"
        )
    };
    format!(
        "units = \"m\"\n[[block]]\nname = \"barn\"\nheight = 2.4\nmeasured_at = \"eaves\"\nsides = [\n\
         {{ from = \"A\", length = 12, turn = \"L\", pitch = 40 }},\n{{ from = \"B\", length = 9, turn = \"L\", verge = true }},\n\
         {{ from = \"C\", length = 12, turn = \"L\", pitch = 40 }},\n{{ from = \"D\", length = 9, turn = \"L\", verge = true }},\n]\n\
         {}{}[covering]\ncard = \"strip-shingle\"\nvalley = \"{valley}\"\n",
        dormer("one", 2.0),
        dormer("two", 2.0 + 2.6 + apart)
    )
}

/// No strip that runs through a valley lies where one that runs through another does: on the slope that takes them, by
/// points of a grid within reach of two centres; on the slope they come from, by points that its outline goes round twice.
fn nothing_in_the_way(roof: &Roof, covering: &Covering) {
    let all = faces(roof, covering);
    let mut on_other = 0;
    for face in &all {
        let (mut low, mut high) =
            (Point2::new(f64::INFINITY, f64::INFINITY), Point2::new(f64::NEG_INFINITY, f64::NEG_INFINITY));
        for place in face.outline.iter().flatten() {
            (low, high) = (low.inf(place), high.sup(place));
        }
        let steps = |from: f64, to: f64| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let count = ((to - from) / 0.04) as usize;
            (0..=count).map(move |step| from + 0.04 * step as f64 + 0.0137)
        };
        for u in steps(low.x, high.x) {
            for v in steps(low.y, high.y) {
                let place = Point2::new(u, v);
                let round: i32 = face.outline.iter().map(|ring| winding(ring, &place)).sum();
                assert!(round <= 1, "courses of a face lie over each other at {place}");
                let z = face.frame.to_space(&place).z;
                let taken = valleys(face).filter(|edge| {
                    let [from, to] = [edge.from, edge.to];
                    let along = (to - from).normalize();
                    let off = Vector2::new(-along.y, along.x).dot(&(place - from));
                    let comes = all.iter().filter(|other| other.id != face.id).flat_map(|other| {
                        let same = valleys(other).filter(|theirs| theirs.id == edge.id);
                        same.map(move |theirs| (other, theirs))
                    });
                    let comes = comes.filter(|(other, theirs)| {
                        let heights = heights(theirs).map(|v| other.frame.origin.z + v * other.pitch.sin());
                        reach(theirs) > 0.0 && z > heights[0] && z < heights[1]
                    });
                    // The centre's own height counts: what runs through goes on up the slope it comes to.
                    let beside = v > heights(edge)[0] && v < heights(edge)[1];
                    beside && off > 0.0 && off < 0.300 && comes.count() > 0
                });
                let taken = taken.count();
                assert!(taken <= 1, "strips of two valleys at {place}");
                on_other += taken;
            }
        }
    }
    assert!(on_other > 0, "no strip runs through");
}

/// How often a ring goes round a place (Sunday's crossing rule).
fn winding(ring: &[Point2<f64>], place: &Point2<f64>) -> i32 {
    let mut count = 0;
    for (index, from) in ring.iter().enumerate() {
        let to = ring[(index + 1) % ring.len()];
        let side = (to - from).perp(&(place - from));
        count += i32::from(from.y <= place.y && to.y > place.y && side > 0.0);
        count -= i32::from(from.y > place.y && to.y <= place.y && side < 0.0);
    }
    count
}

#[test]
fn rule_15_valleys_of_two_dormers_are_woven_closed_or_open_by_the_room_between_them() {
    // 40 degrees on 40: 0.378 m along the eave for 0.300 m square to the valley.
    let level = 0.300 / (1.0 / 40_f64.to_radians().cos()).atan().sin();
    // Room for two strips and half a tab between them: woven. For what comes from either side: the dormers' courses run
    // through. For neither: open at the foot, where the dormers stand nearest.
    for (apart, expected) in [(3.0, "woven"), (2.0 * level + 0.08, "closed"), (0.5, "open")] {
        let job = taken(&two_dormers(apart, "woven"));
        let covering = &job.job.covering;
        let roof = &job.answer.roof;
        nothing_in_the_way(roof, covering);
        through_joints(roof, covering, &job.order);
        let all = faces(roof, covering);
        let main = all.iter().filter(|face| valleys(face).count() >= 4).collect::<Vec<_>>();
        assert_eq!(main.len(), 1);
        // The facing valleys' lowest stretches, from the main slope.
        let foot = valleys(main[0]).map(|edge| heights(edge)[0]).fold(f64::INFINITY, f64::min);
        let middle = 2.0 + 2.6 + apart / 2.0;
        let facing: Vec<f64> = valleys(main[0])
            .filter(|edge| (heights(edge)[0] - foot).abs() < 1e-6)
            .filter(|edge| {
                let lowest = if edge.from.y < edge.to.y { edge.from } else { edge.to };
                (lowest.x - middle).abs() < apart / 2.0 + 1e-6
            })
            .map(reach)
            .collect();
        assert_eq!(facing.len(), 2, "{apart}");
        for found in facing {
            match expected {
                "woven" => near(found, 0.300, 1e-9),
                "closed" => near(found, -0.050, 1e-9),
                _ => assert!(found < -0.06, "{found}"),
            }
        }
        let said = message(&job.order, &job.answer.roof, "valley-no-room");
        assert_eq!(expected == "open", said.contains(" open"), "{said}");
    }
}

#[test]
fn rule_15_closed_valleys_of_dormers_that_leave_no_room_are_open_there() {
    let near_by = taken(&two_dormers(0.5, "closed"));
    nothing_in_the_way(&near_by.answer.roof, &near_by.job.covering);
    assert!(message(&near_by.order, &near_by.answer.roof, "valley-no-room").contains("closed-cut valley needs 300 mm"));
    let far = taken(&two_dormers(3.0, "closed"));
    nothing_in_the_way(&far.answer.roof, &far.job.covering);
    assert!(!codes(&far.order).contains(&"valley-no-room"));
}

#[test]
fn rule_15_what_does_not_bend_is_laid_open() {
    for name in ["slate", "profiled-sheet"] {
        let mut stiff = covering(name);
        stiff.laying.valley = ValleyMethod::Woven;
        let answer = taken_off(&t_plan(), &stiff);
        assert!(message(&answer, &t_plan(), "valley-open").contains("does not bend"));
        for face in faces(&t_plan(), &stiff) {
            assert!(valleys(&face).all(|edge| reach(edge) < -0.06));
        }
    }
}
