//! Sides of one direction that come into one line above the eaves: what stands plumb there stays, and the slope ends
//! against its wall; of two slopes the flatter goes on, or the steeper where the block says so.

use eavewright::base::finding::Finding as _;
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options};
use eavewright::roof::{EdgeKind, FaceKind, Roof};

fn solved(text: &str) -> Roof {
    let (job, _, _) = input::read("roof", text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}"));
    job::solve(&job, &Options { steps: false, spread: false }).unwrap_or_else(|failure| panic!("{failure:?}")).roof
}

/// Area over a side, square metres.
fn area(roof: &Roof, side: &str, kind: FaceKind) -> f64 {
    let of = |face: &&eavewright::roof::Face| face.kind == kind && face.side().is_some_and(|own| own.side == *side);
    roof.faces.iter().filter(of).map(|face| roof.area(face).0).sum()
}

fn near(got: f64, wanted: f64) {
    assert!((got - wanted).abs() < 1e-9 * wanted.max(1.0), "{got}, expected {wanted}");
}

fn tan(degrees: f64) -> f64 {
    degrees.to_radians().tan()
}

fn cos(degrees: f64) -> f64 {
    degrees.to_radians().cos()
}

/// A porch bump of 1.0 x 0.4 m on a gable end: a lean-to against the gable wall.
#[test]
fn bump_ends_against_the_gable() {
    let roof = solved(include_str!("../roofs/bump.toml"));
    for side in ["A", "G"] {
        near(area(&roof, side, FaceKind::Roof), 8.0 * 2.5 / cos(35.0));
    }
    near(area(&roof, "D", FaceKind::Roof), 0.4 / cos(30.0));
    // The gable wall over the line of B and F, from the lean-to's top where that stands before it.
    let gable = 2.5 * 2.5 * tan(35.0);
    near(area(&roof, "B", FaceKind::Wall), gable - 1.0 * 0.4 * tan(30.0));
    let abutments = roof.edges.iter().filter(|edge| edge.kind == EdgeKind::Abutment);
    near(abutments.map(|edge| roof.length(edge).0).sum(), 1.0);
    assert!(roof.findings.iter().any(|finding| finding.code() == "ends-at-wall"));
    assert!(roof.findings.iter().all(|finding| finding.code() != "took-over"));
}

/// A's eave rests until 2.7 m; the bump beside it reaches its line at 2.6 m, in the point where A and the verge E meet.
/// From 2.7 m on A's slope rises up to that point, and E stands on: a step parts them.
#[test]
fn resting_eave_keeps_its_face() {
    let roof = solved(include_str!("../roofs/rest.toml"));
    let t = tan(30.0);
    // A's plane 2.7 + y t meets G's, 2.4 + (5 - y) t.
    let ridge = 2.5 - 0.15 / t;
    near(area(&roof, "A", FaceKind::Roof), 4.2 * ridge / cos(30.0));
    near(area(&roof, "G", FaceKind::Roof), (4.2 * (5.0 - ridge) + 3.8 * 5.0) / cos(30.0));
    near(area(&roof, "C", FaceKind::Roof), 0.04 / cos(45.0));
    // A's wall below its eave and E's beyond it are one, less what the bump covers of them. The step's wall over A, where
    // G's slope runs on past the ridge, is the flatter side's.
    let step = 0.5 * ridge * (5.0 * t - 0.3);
    near(area(&roof, "A", FaceKind::Wall), 4.2 * 0.3 + 3.8 * 5.0 * t - 0.2 * 0.2 + step);
}

/// Ridge and meeting of two sides at one height: the same answer from every corner.
#[test]
fn no_answer_hangs_on_the_first_corner() {
    let text = include_str!("../roofs/tie_start.toml");
    let (head, list) = text.split_once("sides=[").unwrap();
    let list = list.trim().trim_end_matches(']');
    let sides: Vec<&str> = list.split_inclusive('}').map(|side| side.trim_start_matches([',', ' '])).collect();
    assert_eq!(sides.len(), 8);
    let areas = |first: usize| -> Vec<f64> {
        let mut turned = sides.clone();
        turned.rotate_left(first);
        let roof = solved(&format!("{head}sides=[{}]", turned.join(", ")));
        ["a", "b", "c", "d", "e", "f", "g", "h"].map(|side| area(&roof, side, FaceKind::Roof)).to_vec()
    };
    let first = areas(0);
    for start in 1..8 {
        for (one, two) in first.iter().zip(areas(start)) {
            near(two, *one);
        }
    }
}

/// Two eaves of one direction, 60 and 70 degrees, come into one line 2.35 m up: the file says which of them goes on.
#[test]
fn steeper_goes_on_where_the_block_says_so() {
    let sides = r#"sides=[{from="A",at=[0,0],pitch=60}, {from="B",at=[4,0],verge=true}, {from="C",at=[4,0.5],pitch=70},
        {from="D",at=[8,0.5],verge=true}, {from="E",at=[8,6],pitch=45}, {from="F",at=[0,6],verge=true}]"#;
    let solve = |key: &str| solved(&format!("units=\"m\"\n[[block]]\nname=\"h\"\nheight=2\n{key}\n{sides}"));
    let (flatter, steeper) = (solve("take_over = \"flatter\""), solve("take_over = \"steeper\""));
    assert_eq!(flatter.faces, solve("").faces);
    let (one, two) = (1.0 / tan(60.0), 1.0 / tan(70.0));
    let met = 0.5 / (one - two);
    // The line where they meet, and the two ridges: y = z cot against y = 6 - z.
    let (line, at_60, at_70) = (one * met, 6.0 * one / (1.0 + one), (0.5 + 6.0 * two) / (1.0 + two));
    near(area(&flatter, "A", FaceKind::Roof), (4.0 * at_60 + 4.0 * (at_60 - line)) / cos(60.0));
    near(area(&flatter, "C", FaceKind::Roof), 4.0 * (line - 0.5) / cos(70.0));
    near(area(&steeper, "A", FaceKind::Roof), 4.0 * line / cos(60.0));
    near(area(&steeper, "C", FaceKind::Roof), (4.0 * (at_70 - 0.5) + 4.0 * (at_70 - line)) / cos(70.0));
    for roof in [&flatter, &steeper] {
        assert!(roof.findings.iter().any(|finding| finding.code() == "took-over"));
        let breaks = roof.edges.iter().filter(|edge| edge.kind == EdgeKind::PitchBreak);
        near(breaks.map(|edge| roof.length(edge).0).sum(), 4.0);
    }
}

/// A verge's own height moves nothing: its gable stands on the line of the eaves.
#[test]
fn height_of_a_verge_leaves_no_wall_below_the_eaves() {
    let roof = solved(include_str!("../roofs/verge_height.toml"));
    let walls = roof.faces.iter().filter(|face| face.kind == FaceKind::Wall);
    near(walls.map(|face| roof.area(face).0).sum(), 2.0 * 2.5 * 2.5 * tan(35.0));
    near(area(&roof, "A", FaceKind::Roof), 20.0 / cos(35.0));
}
