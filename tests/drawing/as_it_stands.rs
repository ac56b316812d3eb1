//! The building as it stands is drawn: walls at their line, edges as deep as the fascia, a chimney over the ridge.

use eavewright::drawing::Pen;
use eavewright::drawing::views::building;
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Answer, Options};
use eavewright::roof::EdgeKind;

fn answer() -> Answer {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/formats/building_as_it_stands.toml");
    let (job, ..) = input::read("store", &std::fs::read_to_string(path).unwrap(), &NoFiles).unwrap();
    job::solve(&job, &Options::default()).unwrap()
}

/// From where to where lines of some pens reach, along x, y and z.
fn reach(answer: &Answer, wanted: impl Fn(Pen, [f64; 2]) -> bool) -> [[f64; 2]; 3] {
    let body = building::body(answer, 0.0);
    let lines = body.folds.iter().map(|fold| (fold.pen, fold.ends.map(|at| body.places[at])));
    let ends = lines.filter(|(pen, ends)| wanted(*pen, ends.map(|end| end.z))).flat_map(|(_, ends)| ends);
    let all: Vec<_> = ends.collect();
    assert!(!all.is_empty());
    [0, 1, 2].map(|axis| {
        let along = all.iter().map(|at| at[axis]);
        [along.clone().fold(f64::INFINITY, f64::min), along.fold(f64::NEG_INFINITY, f64::max)]
    })
}

fn close(found: [f64; 2], expected: [f64; 2]) {
    assert!(found.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-4), "{found:?} for {expected:?}");
}

#[test]
fn walls_stand_at_their_line_and_eaves_reach_out() {
    let answer = answer();
    // On the ground the walls as they were measured, 8.0 x 5.0 m.
    let foot = reach(&answer, |pen, z| pen == Pen::Wall && z == [0.0, 0.0]);
    close(foot[0], [0.0, 8.0]);
    close(foot[1], [0.0, 5.0]);
    // Eaves 0.30 m out, at the drip edge.
    let eaves = reach(&answer, |pen, _| pen == Pen::Edge(EdgeKind::Eave));
    close(eaves[0], [-0.20, 8.30]);
    close(eaves[1], [-0.30, 5.30]);
    let drip = 2.52 - 0.30 * 35_f64.to_radians().tan();
    close(eaves[2], [drip, drip]);
    // What closes them is as deep as the fascia: the lowest line over the ground that is no wall's foot.
    let edge = reach(&answer, |pen, z| pen == Pen::Wall && z[0] > 0.5 && z[1] > 0.5);
    close([edge[2][0]; 2], [drip - 0.175; 2]);
    close(edge[0], [-0.20, 8.30]);
}

#[test]
fn a_chimney_stands_over_the_ridge() {
    let answer = answer();
    let top = answer.roof.ridge_height().unwrap() + 0.90;
    let lines = reach(&answer, |pen, _| pen == Pen::Opening);
    close(lines[0], [3.0, 3.6]);
    close(lines[1], [2.2, 2.8]);
    close([lines[2][1]; 2], [top; 2]);
}
