//! What leaves as a solid is closed, and cut into triangles of three corners; a solid that is not does not leave.

use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options};
use eavewright::roof::Roof;
use eavewright::roof::kernel::shell::{self, SolidFault, manifold};
use eavewright::roof::model::solid;
use nalgebra::Vector3;
use std::collections::HashMap;

fn solved(text: &str) -> Roof {
    let (job, _, _) = input::read("roof", text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}"));
    job::solve(&job, &Options { steps: false, spread: false }).unwrap_or_else(|failure| panic!("{failure:?}")).roof
}

/// A hole of a face that touches its ring in one point.
#[test]
fn no_triangle_repeats_a_corner() {
    let roof = solved(include_str!("../roofs/hole_touch.toml"));
    let solid = solid::build(&roof, 0.0);
    assert!(solid.is_closed());
    assert!(solid.triangles.iter().all(|[a, b, c]| a != b && b != c && c != a));
    assert_eq!(solid.triangles.len(), solid.face_of.len());
    assert!((solid.volume() - roof.volume.unwrap()).abs() < 1e-9 * solid.volume());
}

/// Two buildings on one site, 1.0 m apart: both roofs, as each has by itself.
#[test]
fn detached_buildings_both_have_their_roof() {
    let roof = solved(include_str!("../roofs/detached.toml"));
    let cos = 40_f64.to_radians().cos();
    let of = |block: &str| {
        let faces = roof.roof_faces().filter(|(_, face)| face.block().is_some_and(|own| own == block));
        faces.map(|(_, face)| roof.area(face).0).sum::<f64>()
    };
    assert!((of("a") - 3.6 * 3.0 / cos).abs() < 1e-9);
    assert!((of("b") - 6.0 * 3.0 / cos).abs() < 1e-9);
    let solid = solid::build(&roof, 0.0);
    assert!(solid.is_closed());
    assert!((solid.volume() - roof.volume.unwrap()).abs() < 1e-9 * solid.volume());
}

/// House and porch with overhangs: every kind of model is written, and what is written is closed and holds what the answer says
/// within the walls, but for the sheets of its overhangs, a tenth of a millimetre thick.
#[test]
fn joined_overhangs_are_written_as_a_solid() {
    let folder = tempfile::tempdir().unwrap();
    for ending in ["obj", "stl", "glb", "gltf", "city.json"] {
        let path = folder.path().join(format!("roof.{ending}"));
        let mut command = assert_cmd::Command::cargo_bin("eavewright").unwrap();
        command.args(["export", "tests/roofs/overhang_open.toml", "--out"]).arg(&path).assert().success();
    }
    // By what was written alone: each edge once either way.
    let mut runs: HashMap<(usize, usize), usize> = HashMap::new();
    let text = std::fs::read_to_string(folder.path().join("roof.obj")).unwrap();
    let numbers = |line: &str| -> Vec<f64> { line.split(' ').map(|word| word.parse().unwrap()).collect() };
    let places: Vec<Vec<f64>> = text.lines().filter_map(|line| line.strip_prefix("v ")).map(numbers).collect();
    let mut volume = 0.0;
    for line in text.lines().filter_map(|line| line.strip_prefix("f ")) {
        let corners: Vec<usize> = line.split(' ').map(|corner| corner.parse().unwrap()).collect();
        let [a, b, c] = [0, 1, 2].map(|k| Vector3::from_column_slice(&places[corners[k] - 1]));
        volume += a.dot(&b.cross(&c)) / 6.0;
        for k in 0..3 {
            *runs.entry((corners[k], corners[(k + 1) % 3])).or_default() += 1;
        }
    }
    assert!(!runs.is_empty());
    assert!(runs.iter().all(|(&(from, to), &count)| count == 1 && runs.get(&(to, from)) == Some(&1)));
    let roof = solved(include_str!("../roofs/overhang_open.toml"));
    // The overhangs have some 10 m2 in plan.
    assert!((volume - roof.volume.unwrap()).abs() < 1.1e-3, "{volume} for {:?}", roof.volume);
    let text = std::fs::read_to_string(folder.path().join("roof.gltf")).unwrap();
    assert!(text.contains("a/A") && text.contains("b/A"));
}

/// What is checked is what is found: an edge with one face or three, a volume that is another.
#[test]
fn what_is_no_solid_is_told() {
    let mut roof = solved(include_str!("../roofs/overhang_open.toml"));
    let solid = shell::solid(&roof, 0.0).unwrap();
    let by_place = |place: &nalgebra::Point3<f64>| [place.x, place.y, place.z].map(f64::to_bits);
    manifold::check(&solid, by_place).unwrap();
    let mut open = solid.clone();
    open.triangles.pop();
    assert!(matches!(manifold::check(&open, by_place), Err(SolidFault::Edge { .. })));
    let mut twice = solid.clone();
    let t = twice.triangles[0];
    twice.triangles.extend([t, [t[0], t[2], t[1]]]);
    assert!(matches!(manifold::check(&twice, by_place), Err(SolidFault::Edge { runs: [2, 2], .. })));
    roof.volume = roof.volume.map(|volume| volume + 0.01);
    assert!(matches!(shell::solid(&roof, 0.0), Err(SolidFault::Volume { .. })));
}
