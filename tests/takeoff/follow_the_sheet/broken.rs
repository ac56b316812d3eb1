//! Sheets with one thing wrong, to see that following them finds it.

use super::follow::follow;
use super::sheet::{Face, Sheet};
use super::{roofs, taken_off};

fn sheet(width: f64) -> Sheet {
    let text = format!("{}[covering]\ncard = \"strip-shingle\"\n", roofs::gable(width, 4.0, 35.0));
    Sheet::read(&taken_off(&text).unwrap())
}

/// Faults after one change to a good sheet of a gable.
fn faults(change: impl Fn(&mut Sheet)) -> Vec<String> {
    let mut sheet = sheet(5.0);
    assert!(follow(&sheet, "strip-shingle").faults.is_empty());
    change(&mut sheet);
    follow(&sheet, "strip-shingle").faults
}

fn found(change: impl Fn(&mut Sheet), words: &str) {
    let faults = faults(change);
    assert!(faults.iter().any(|fault| fault.contains(words)), "no \"{words}\" in {faults:#?}");
}

/// Moves the joints of a course along.
fn shift(face: &mut Face, course: usize, by: f64) {
    for row in face.rows.iter_mut().filter(|row| row.course == course) {
        for joint in &mut row.joints {
            *joint += by;
        }
        for piece in &mut row.pieces {
            piece.uncut_from += by;
            if (piece.from - row.from).abs() > 1e-9 {
                piece.from += by;
            }
            if (piece.to - row.to).abs() > 1e-9 {
                piece.to += by;
            }
        }
        let ends = [row.joints[0] - row.from, row.to - row.joints[row.joints.len() - 1]];
        [row.first, row.last] = if face.from_left { ends } else { [ends[1], ends[0]] };
    }
}

#[test]
fn a_starter_whose_joints_stand_under_those_of_course_1_is_found() {
    found(
        |sheet| {
            let face = &mut sheet.faces[0];
            // As a sheet once said: the starter shortened by half a tab, whatever course 1 begins with.
            let row = face.rows.iter().find(|row| row.course == 1).unwrap().clone();
            let starter = &mut face.starters[0];
            starter.joints.clone_from(&row.joints);
            starter.pieces = row.pieces.iter().map(|piece| [piece.from, piece.to]).collect();
            starter.first = row.first;
        },
        "starter at -0.008: a joint",
    );
}

#[test]
fn a_starter_joint_under_a_slot_is_found() {
    found(
        |sheet| {
            let face = &mut sheet.faces[0];
            let by = face.tab / 2.0;
            let starter = &mut face.starters[0];
            for joint in &mut starter.joints {
                *joint += by;
            }
        },
        "mm off course 1",
    );
}

#[test]
fn a_course_moved_over_the_joints_of_the_one_below_is_found() {
    found(
        |sheet| {
            let face = &mut sheet.faces[0];
            let joints = |course: usize| face.rows.iter().find(|row| row.course == course).unwrap().joints[1];
            let by = joints(4) - joints(5);
            shift(face, 5, by);
        },
        "stands 0.0 mm off one of course 4",
    );
}

#[test]
fn a_joint_that_comes_back_after_one_course_is_found() {
    found(
        |sheet| {
            let face = &mut sheet.faces[0];
            let joints = |course: usize| face.rows.iter().find(|row| row.course == course).unwrap().joints[1];
            let by = joints(4) - joints(6);
            shift(face, 6, by);
        },
        "off one of course 4",
    );
}

#[test]
fn a_missing_piece_is_found() {
    found(
        |sheet| {
            let row = sheet.faces[1].rows.iter_mut().find(|row| row.course == 3).unwrap();
            row.pieces.pop();
            row.to = row.joints.pop().unwrap();
        },
        "fewer than 2 layers",
    );
    found(
        |sheet| {
            let row = sheet.faces[1].rows.iter_mut().find(|row| row.course == 3).unwrap();
            row.pieces.pop();
            row.to = row.joints.pop().unwrap();
        },
        "ordered",
    );
}

#[test]
fn a_missing_course_and_a_missing_starter_are_found() {
    found(|sheet| sheet.faces[0].rows.retain(|row| row.course != 7), "fewer than 2 layers");
    found(|sheet| sheet.faces[0].starters.clear(), "fewer than 2 layers");
    found(|sheet| sheet.faces[0].starters.clear(), "starter: ");
}

#[test]
fn a_gauge_larger_than_the_lap_allows_is_found() {
    found(|sheet| sheet.faces[0].gauge = 0.150, "gauges apart");
    found(|sheet| sheet.faces[0].head_lap = 0.060, "laps 0.04");
}

#[test]
fn a_whole_piece_told_as_cut_and_a_miscount_are_found() {
    found(
        |sheet| {
            let pieces = sheet.faces[0].rows.iter_mut().flat_map(|row| &mut row.pieces);
            let whole = pieces.filter(|piece| !piece.cut && piece.offcut_of.is_none()).nth(3);
            whole.unwrap().cut = true;
        },
        "told as cut true",
    );
    found(|sheet| sheet.faces[0].whole += 1, "told");
}

#[test]
fn an_offcut_used_twice_is_found() {
    found(
        |sheet| {
            let pieces: Vec<_> = sheet.faces[0].rows.iter_mut().flat_map(|row| &mut row.pieces).collect();
            let mut users: Vec<_> = pieces.into_iter().filter(|piece| piece.offcut_of.is_some()).collect();
            let taken = users[0].offcut_of.clone();
            users[1].offcut_of.clone_from(&taken);
            users[2].offcut_of = taken;
        },
        "are cut from what",
    );
}

#[test]
fn an_order_with_a_cap_or_a_strip_too_few_is_found() {
    for item in ["strip-shingle", "ridge-hip-cap", "starter"] {
        found(|sheet| sheet.lines.iter_mut().find(|(name, _)| name == item).unwrap().1 -= 1.0, &format!("{item}: "));
    }
    found(|sheet| sheet.caps[0].count -= 1.0, "do not reach");
}

#[test]
fn a_narrow_end_that_is_not_told_is_found() {
    found(
        |sheet| {
            let face = &mut sheet.faces[0];
            let row = face.rows.iter().find(|row| row.course == 4).unwrap();
            let by = row.joints[0] - row.from - 0.05;
            shift(face, 4, -by);
        },
        "narrow ends",
    );
}
