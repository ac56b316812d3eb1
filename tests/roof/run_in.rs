//! Wings that run on until they meet the roof they stand against, held against the same wing drawn in by hand and against
//! closed forms: a gable of half width b and pitch p on an eave of the same height meets a slope of pitch q at b tan p / tan q
//! in from that eave (plane geometry).

use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Answer, Options};
use eavewright::roof::EdgeKind;
use eavewright::roof::model::solid;

const STORE: &str = r#"
units = "m"
stage = "design"
[[block]]
name = "store"
height = 2.4
sides = [
  { from = "A", at = [0, 0], pitch = 35 },
  { from = "B", at = [10, 0], verge = true },
  { from = "C", at = [10, 6], pitch = 35 },
  { from = "D", at = [0, 6], verge = true },
]
"#;

fn solved(text: &str) -> Answer {
    let (job, _, told) = input::read("roof.toml", text, &NoFiles).unwrap_or_else(|told| panic!("{told:?}"));
    assert_eq!(told, []);
    let answer = job::solve(&job, &Options::default()).unwrap();
    assert!(solid::build(&answer.roof, 0.0).is_closed());
    answer
}

/// A wing on the store's side A, walked from the store outwards.
fn wing(depth: f64, inner: &str, height: f64, offset: f64) -> String {
    format!(
        r#"{STORE}
[[block]]
name = "porch"
height = {height}
at_side = "store/A"
offset = {offset}
sides = [
  {{ from = "a", length = 4, turn = "R", {inner} }},
  {{ from = "b", length = {depth}, turn = "R", pitch = 40 }},
  {{ from = "c", length = 4, turn = "R", verge = true }},
  {{ from = "d", length = {depth}, pitch = 40 }},
]
"#
    )
}

/// The same wing by places, its inner end so deep in the store.
fn drawn_in(depth: f64, deep: f64, height: f64, offset: f64) -> String {
    let (left, right) = (offset, offset + 4.0);
    format!(
        r#"{STORE}
[[block]]
name = "porch"
height = {height}
sides = [
  {{ from = "a", at = [{left}, {deep}], abutment = true }},
  {{ from = "b", at = [{right}, {deep}], pitch = 40 }},
  {{ from = "c", at = [{right}, -{depth}], verge = true }},
  {{ from = "d", at = [{left}, -{depth}], pitch = 40 }},
]
"#
    )
}

fn codes(answer: &Answer) -> Vec<&'static str> {
    answer.findings.iter().map(eavewright::base::finding::Finding::code).collect()
}

fn lengths(answer: &Answer, kind: EdgeKind) -> Vec<f64> {
    let roof = &answer.roof;
    roof.edges.iter().filter(|edge| edge.kind == kind).map(|edge| roof.length(edge).0).collect()
}

#[test]
fn a_short_wing_is_the_wing_drawn_in_by_hand() {
    for (depth, height, offset) in [(1.5, 2.4, 3.0), (0.3, 2.4, 0.0), (3.0, 2.0, 6.0), (1.5, 2.7, 2.5)] {
        let found = solved(&wing(depth, "runs_into = true", height, offset));
        assert!(codes(&found).contains(&"runs-on") && !codes(&found).contains(&"stops-at-wall"), "{:?}", codes(&found));
        // Somewhere under the store's ridge.
        let drawn = solved(&drawn_in(depth, 2.95, height, offset));
        for (name, a, b) in [
            ("area", found.roof.total_area().0, drawn.roof.total_area().0),
            ("volume", found.roof.volume.unwrap(), drawn.roof.volume.unwrap()),
            ("walls", found.roof.walls_area().0, drawn.roof.walls_area().0),
        ] {
            assert!((a - b).abs() < 1e-9 * b.max(1.0), "{name} at {depth} {height} {offset}: {a} {b}");
        }
        for kind in [EdgeKind::Valley, EdgeKind::Ridge, EdgeKind::Eave, EdgeKind::Abutment] {
            let (a, b) = (lengths(&found, kind), lengths(&drawn, kind));
            assert!((a.iter().sum::<f64>() - b.iter().sum::<f64>()).abs() < 1e-6, "{kind:?}: {a:?} {b:?}");
        }
    }
}

#[test]
fn two_valleys_meet_where_the_closed_form_says() {
    let found = solved(&wing(1.5, "runs_into = true", 2.4, 3.0));
    let valleys = lengths(&found, EdgeKind::Valley);
    let rise = 2.0 * 40_f64.to_radians().tan();
    let run_in = rise / 35_f64.to_radians().tan();
    let expected = (4.0 + run_in * run_in + rise * rise).sqrt();
    assert_eq!(valleys.len(), 2);
    assert!(valleys.iter().all(|valley| (valley - expected).abs() < 1e-9), "{valleys:?} {expected}");
    // Ridges: the store's ten metres, the wing's from its gable to where the valleys meet.
    let mut ridges = lengths(&found, EdgeKind::Ridge);
    ridges.sort_by(f64::total_cmp);
    assert!((ridges[0] - (1.5 + run_in)).abs() < 1e-9 && (ridges.iter().sum::<f64>() - ridges[0] - 10.0).abs() < 1e-9);
}

#[test]
fn a_link_runs_in_at_both_ends() {
    let link = format!(
        r#"{STORE}
[[block]]
name = "barn"
height = 2.4
start = [0, -9]
sides = [
  {{ from = "A", length = 10, turn = "L", pitch = 35 }},
  {{ from = "B", length = 6, turn = "L", verge = true }},
  {{ from = "C", length = 10, turn = "L", pitch = 35 }},
  {{ from = "D", length = 6, verge = true }},
]
[[block]]
name = "link"
height = 2.4
at_side = "store/A"
offset = 3
sides = [
  {{ from = "a", length = 3, turn = "R", runs_into = true }},
  {{ from = "b", length = 3, turn = "R", pitch = 40 }},
  {{ from = "c", length = 3, turn = "R", runs_into = true }},
  {{ from = "d", length = 3, pitch = 40 }},
]
"#
    );
    let found = solved(&link);
    assert_eq!(codes(&found).iter().filter(|code| **code == "runs-on").count(), 2);
    assert_eq!(lengths(&found, EdgeKind::Valley).len(), 4);
}

#[test]
fn what_stands_at_the_walls_runs_in_under_overhangs() {
    let walls = |text: String| {
        text.replace("height = 2.4\n", "height = 2.4\nmeasured_at = \"wall\"\noverhang = { eave = 0.3, verge = 0.2 }\n")
    };
    let found = solved(&walls(wing(1.5, "runs_into = true", 2.4, 3.0)));
    let drawn = solved(&walls(drawn_in(1.5, 2.95, 2.4, 3.0)));
    let (a, b) = (found.roof.total_area().0, drawn.roof.total_area().0);
    assert!((a - b).abs() < 1e-9 * b, "{a} {b}");
    let (a, b) = (found.roof.volume.unwrap(), drawn.roof.volume.unwrap());
    assert!((a - b).abs() < 1e-9 * b, "{a} {b}");
}

#[test]
fn a_wing_that_stops_is_told_so_and_a_lean_to_is_not() {
    let stops = solved(&wing(1.5, "verge = true", 2.4, 3.0));
    assert!(codes(&stops).contains(&"stops-at-wall"), "{:?}", codes(&stops));
    // Under the store's eave its wall stands higher than the lean-to.
    let low = wing(1.5, "abutment = true", 1.2, 3.0)
        .replace("verge = true },\n  { from = \"d\"", "pitch = 10 },\n  { from = \"d\"");
    let low = low
        .replace("turn = \"R\", pitch = 40", "turn = \"R\", verge = true")
        .replace("length = 1.5, pitch = 40", "length = 1.5, verge = true");
    assert!(!codes(&solved(&low)).contains(&"stops-at-wall"), "{low}");
}

#[test]
fn a_regular_outline_is_a_pyramid() {
    let text = "units = \"m\"\nstage = \"design\"\n[[block]]\nname = \"bandstand\"\nheight = 3\nsides = 8\nwidth = 6\npitch = 30\n";
    let answer = solved(text);
    // Area of a regular octagon of inner radius 3: 8 r² tan 22.5°.
    let plan = 8.0 * 9.0 * 22.5_f64.to_radians().tan();
    assert!((answer.roof.total_plan_area().0 - plan).abs() < 1e-9, "{}", answer.roof.total_plan_area().0);
    assert_eq!(lengths(&answer, EdgeKind::Hip).len(), 8);
    assert!(lengths(&answer, EdgeKind::Ridge).is_empty());
    let height = answer.roof.ridge_height().unwrap();
    assert!((height - 3.0 - 3.0 * 30_f64.to_radians().tan()).abs() < 1e-9, "{height}");
}

#[test]
fn a_length_left_open_is_what_the_others_leave() {
    let text = |open: &str| {
        format!(
            r#"units = "m"
[[block]]
name = "shed"
height = 2.4
sides = [
  {{ from = "A", length = 6.00, turn = "L", pitch = 35 }},
  {{ from = "B", length = 4.00, turn = "L", pitch = 35 }},
  {{ from = "C", length = 2.00, turn = "L", pitch = 35 }},
  {{ from = "D", length = 1.50, turn = "R", pitch = 35 }},
  {{ from = "E", length = {open}, turn = "L", pitch = 35 }},
  {{ from = "F", length = 2.50, turn = "L", pitch = 35 }},
]
"#
        )
    };
    let (open, taped) = (solved(&text("\"?\"")), solved(&text("4.00")));
    let (a, b) = (open.roof.total_area().0, taped.roof.total_area().0);
    assert!((a - b).abs() < 1e-6 * b, "{a} {b}");
    // One length fewer: one degree of freedom less, and the area is no surer.
    assert_eq!(open.survey.dof + 1, taped.survey.dof);
    assert!(open.totals().area.sd().unwrap() >= taped.totals().area.sd().unwrap());
}
