//! A drawing of a face stands for those alone that are laid the same, joint for joint.

use eavewright::drawing::views::face;
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options, order};

/// Each drawn face with those it stands for, and how the take-off lays them.
fn drawn(text: &str) -> Vec<Vec<String>> {
    let (job, ..) = input::read("roof.toml", text, &NoFiles).unwrap();
    let answer = job::solve(&job, &Options { steps: false, spread: false }).unwrap();
    let order = order::take_off(&job, &answer);
    let groups = face::groups_as_laid(&answer.roof, &answer.openings, &order.layouts);
    let layout_of = |name: &str| {
        order.layouts.iter().find(|layout| answer.roof.faces[layout.face.index()].name() == name).expect("it is laid")
    };
    let joints = |name: &str| -> Vec<Vec<f64>> { layout_of(name).rows().into_iter().map(|row| row.joints).collect() };
    let near = |a: &[Vec<f64>], b: &[Vec<f64>]| {
        a.len() == b.len()
            && a.iter().zip(b).all(|(a, b)| a.len() == b.len() && a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-5))
    };
    let mut all = Vec::new();
    for (id, alike) in groups {
        let first = answer.roof.faces[id.index()].name();
        for other in &alike {
            assert!(near(&joints(&first), &joints(other)), "{other} is drawn as {first} and laid otherwise");
            assert_eq!(layout_of(&first).hand, layout_of(other).hand);
        }
        all.push(std::iter::once(first).chain(alike).collect());
    }
    all
}

fn rectangle(length: f64, width: f64, ends: &str, covering: &str) -> String {
    format!(
        "units = \"m\"\n[[block]]\nname = \"shed\"\nheight = 2.3\nsides = [\n{{ from = \"A\", at = [0, 0], pitch = 35 }},\n\
         {{ from = \"B\", at = [{length}, 0], {ends} }},\n{{ from = \"C\", at = [{length}, {width}], pitch = 35 }},\n\
         {{ from = \"D\", at = [0, {width}], {ends} }},\n]\n[covering]\ncard = \"{covering}\"\n"
    )
}

#[test]
fn slopes_that_begin_with_other_pieces_are_drawn_apart() {
    // The second slope of this gable begins with another piece, for what the first leaves over is used up there.
    let groups = drawn(&rectangle(5.0, 4.0, "verge = true", "strip-shingle"));
    assert_eq!(groups, [["shed/A"], ["shed/C"]]);
    // Slates that no cut-off serves lie the same on both.
    let groups = drawn(&rectangle(5.0, 4.0, "verge = true", "slate"));
    assert!(groups.iter().any(|group| group.len() == 2), "{groups:?}");
}

#[test]
fn no_drawing_shows_a_joint_that_a_face_it_stands_for_has_not() {
    let (mut faces, mut drawings) = (0, 0);
    for card in ["strip-shingle", "single-tab", "slate", "profiled-sheet"] {
        for step in 0..12 {
            let length = 3.0 + 0.7 * f64::from(step);
            for ends in ["verge = true", "pitch = 35", "pitch = 45"] {
                let groups = drawn(&rectangle(length, 3.4, ends, card));
                drawings += groups.len();
                faces += groups.iter().map(Vec::len).sum::<usize>();
            }
        }
    }
    assert!(drawings < faces && drawings > 144, "{drawings} drawings of {faces} faces");
}
