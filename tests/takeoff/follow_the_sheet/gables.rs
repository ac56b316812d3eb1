//! Joints of plain gables against their closed forms, worked out here from the rules (common practice, no source):
//!
//! eave L long, strips of w = 1 m with tabs of t = w/3, 8 mm past either verge; course k begins with w less its shift, a
//! multiple of t/2; shifts go up by t/2 from course to course and begin again; neither end of a course is under t/2, so the
//! shift that would leave such an end is left out, with a neighbour, on the whole face; the starter's joints stand halfway
//! between the joints and slots of course 1, and its ends are no narrower either.

use super::sheet::{Face, Sheet};
use super::{roofs, taken_off};

const PAST: f64 = 0.008;
const WIDTH: f64 = 1.0;
const TAB: f64 = WIDTH / 3.0;
const HALF: f64 = TAB / 2.0;

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-6
}

/// Joints of a course that begins with a piece this long, seen from where it begins, on a slope this wide.
fn joints(first: f64, wide: f64) -> Vec<f64> {
    let within = |joint: &f64| *joint < wide - 1e-6;
    (0..100).map(|piece| first + f64::from(piece) * WIDTH).take_while(within).collect()
}

/// Length of the last piece.
fn last(first: f64, wide: f64) -> f64 {
    let joints = joints(first, wide);
    wide - joints.last().unwrap()
}

/// Shifts of the six that leave neither end under half a tab.
fn allowed(wide: f64) -> Vec<u32> {
    (0..6).filter(|shift| last(WIDTH - f64::from(*shift) * HALF, wide) >= HALF - 1e-6).collect()
}

/// Where told joints stand seen from the end the face is laid from.
fn seen(face: &Face, told: &[f64], wide: f64) -> Vec<f64> {
    let from_left = |u: &f64| u + PAST;
    let mut seen: Vec<f64> =
        told.iter().map(|u| if face.from_left { from_left(u) } else { wide - from_left(u) }).collect();
    seen.sort_by(f64::total_cmp);
    seen
}

fn same(a: &[f64], b: &[f64]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| near(*a, *b))
}

#[test]
fn joints_of_gables_from_3_to_12_m_stand_at_their_closed_forms() {
    let (mut courses, mut repeats) = (0, [0, 0]);
    for step in 30..=120 {
        let length = f64::from(step) / 10.0;
        let wide = length + 2.0 * PAST;
        let text = format!("{}[covering]\ncard = \"strip-shingle\"\n", roofs::gable(length, 4.0, 35.0));
        let sheet = Sheet::read(&taken_off(&text).unwrap());
        assert_eq!(sheet.faces.len(), 2);
        for face in &sheet.faces {
            let about = format!("{length} m, {}", face.name);
            // The shifts follow one another and are all allowed; all six where all are.
            let shifts: Vec<u32> = face.shifts.iter().map(|shift| *shift as u32).collect();
            let allowed = allowed(wide);
            assert!(shifts.iter().all(|shift| allowed.contains(shift)), "{about}: {shifts:?} of {allowed:?}");
            assert_eq!(shifts.len(), if allowed.len() == 6 { 6 } else { 4 }, "{about}");
            repeats[usize::from(shifts.len() == 6)] += 1;
            let mut sorted = shifts.clone();
            sorted.sort_unstable();
            sorted.dedup();
            assert_eq!(sorted.len(), shifts.len(), "{about}");
            let steps: Vec<u32> =
                (0..shifts.len()).map(|index| (shifts[(index + 1) % shifts.len()] + 6 - shifts[index]) % 6).collect();
            // One by one, and once back to the least of the run: three half tabs on a run of four.
            assert_eq!(
                steps.iter().filter(|step| **step == 1).count(),
                if shifts.len() == 6 { 6 } else { 3 },
                "{about}"
            );
            assert_eq!(face.rows.len(), face.courses, "{about}: a course of a plain slope in several rows");
            for (index, row) in face.rows.iter().enumerate() {
                assert!(near(row.butt, -PAST + index as f64 * face.gauge), "{about}");
                assert!(near(row.from, -PAST) && near(row.to, length + PAST), "{about}");
                let first = WIDTH - f64::from(shifts[index % shifts.len()]) * HALF;
                assert!(near(row.first, first) && near(row.last, last(first, wide)), "{about}: {} {first}", row.first);
                let (found, expected) = (seen(face, &row.joints, wide), joints(first, wide));
                assert!(same(&found, &expected), "{about} course {}: {found:?}, not {expected:?}", row.course);
                courses += 1;
            }
            // The starter: three ways stand halfway between joints and slots, half a tab, one and a half, two and a half on.
            assert_eq!(face.starters.len(), 1, "{about}");
            let starter = &face.starters[0];
            assert!(near(starter.butt, -PAST) && near(starter.height, 0.333 - 0.143), "{about}");
            let ways = [1, 3, 5].map(|step| WIDTH - f64::from((shifts[0] + step) % 6) * HALF);
            let good: Vec<f64> = ways.into_iter().filter(|first| last(*first, wide) >= HALF - 1e-6).collect();
            let fewest = good.iter().map(|first| joints(*first, wide).len()).min().unwrap();
            let first = *good.iter().find(|first| joints(**first, wide).len() == fewest).unwrap();
            assert!(near(starter.first, first), "{about}: starter {} where {first} is due", starter.first);
            assert!(same(&seen(face, &starter.joints, wide), &joints(first, wide)), "{about}");
        }
    }
    assert!(courses > 3000 && repeats[0] > 150, "{courses} {repeats:?}");
}

#[test]
fn a_gable_of_5_m_has_no_starter_joint_under_a_joint_of_course_1() {
    let text = format!("{}[covering]\ncard = \"strip-shingle\"\n", roofs::gable(5.0, 4.0, 35.0));
    for face in Sheet::read(&taken_off(&text).unwrap()).faces {
        let row = &face.rows[0];
        for joint in &face.starters[0].joints {
            for other in &row.joints {
                let off = ((joint - other) / TAB).fract().abs() * TAB;
                assert!(off >= TAB / 4.0 - 1e-6 && TAB - off >= TAB / 4.0 - 1e-6, "{joint} under {other}");
            }
        }
    }
}
