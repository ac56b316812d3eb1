//! What leaves as a solid is closed, and cut into triangles of three corners; a solid that is not does not leave.

use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options};
use eavewright::roof::Roof;
use eavewright::roof::model::solid;
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
        let faces = roof.roof_faces().filter(|(_, face)| face.block.as_deref() == Some(block));
        faces.map(|(_, face)| roof.area(face).0).sum::<f64>()
    };
    assert!((of("a") - 3.6 * 3.0 / cos).abs() < 1e-9);
    assert!((of("b") - 6.0 * 3.0 / cos).abs() < 1e-9);
    let solid = solid::build(&roof, 0.0);
    assert!(solid.is_closed());
    assert!((solid.volume() - roof.volume.unwrap()).abs() < 1e-9 * solid.volume());
}

/// House and porch with overhangs: a model that is written is closed; one that would not be is refused, and no file left.
#[test]
fn no_open_solid_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("roof.obj");
    let mut command = assert_cmd::Command::cargo_bin("eavewright").unwrap();
    let done = command.args(["export", "tests/roofs/overhang_open.toml", "--out"]).arg(&path).output().unwrap();
    if !done.status.success() {
        assert_eq!(done.status.code(), Some(1));
        assert!(String::from_utf8_lossy(&done.stderr).contains("does not close"), "{done:?}");
        assert!(!path.exists());
        return;
    }
    // By what was written alone: each edge as often one way as the other.
    let mut balance: HashMap<(usize, usize), i64> = HashMap::new();
    let text = std::fs::read_to_string(&path).unwrap();
    for line in text.lines().filter_map(|line| line.strip_prefix("f ")) {
        let corners: Vec<usize> = line.split(' ').map(|corner| corner.parse().unwrap()).collect();
        for k in 0..3 {
            let (from, to) = (corners[k], corners[(k + 1) % 3]);
            *balance.entry((from.min(to), from.max(to))).or_default() += if from < to { 1 } else { -1 };
        }
    }
    assert!(!balance.is_empty() && balance.values().all(|runs| *runs == 0));
}
