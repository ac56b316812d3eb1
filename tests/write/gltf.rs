//! Solids written as glTF, OBJ and STL, read back by general-purpose readers and by the format's own validator.

use approx_eq::close;
use eavewright::job::Answer;
use eavewright::roof::Roof;
use eavewright::roof::model::solid::Solid;
use eavewright::write::model::{Model, gltf, obj, stl};
use std::path::Path;
use std::process::Command;

mod approx_eq {
    /// Whether two numbers agree to `digits` decimals.
    pub fn close(a: f64, b: f64, digits: i32) -> bool {
        (a - b).abs() < 0.5 * 10_f64.powi(-digits)
    }
}

/// Area of a triangle in space.
fn area(t: [[f32; 3]; 3]) -> f64 {
    let [a, b, c] = t.map(|p| nalgebra::Vector3::from(p.map(f64::from)));
    (b - a).cross(&(c - a)).norm() / 2.0
}

fn glb(roof: &Roof, solid: &Solid, title: &str) -> Vec<u8> {
    gltf::glb(&Model::untold(title, &Answer::of_roof(roof.clone()), solid))
}

fn text(roof: &Roof, solid: &Solid, title: &str) -> String {
    gltf::gltf(&Model::untold(title, &Answer::of_roof(roof.clone()), solid))
}

#[test]
fn a_reader_finds_one_node_a_face_in_its_block_with_its_name_area_and_pitch() {
    let (roof, solid) = support::hip(2.4, [0.0, 0.0]);
    let (document, buffers, _) = ::gltf::import_slice(glb(&roof, &solid, "Boat store")).unwrap();
    let names: Vec<_> = document.default_scene().unwrap().nodes().map(|node| node.name().unwrap().to_owned()).collect();
    assert_eq!(names, ["store", "walls and floor", "edges"]);
    let block = document.nodes().find(|node| node.name() == Some("store")).unwrap();
    assert_eq!(block.children().len(), roof.faces.len());
    let mut total = 0.0;
    for (node, face) in block.children().zip(&roof.faces) {
        assert_eq!(node.name(), Some(face.name().as_str()));
        let extras: serde_json::Value = serde_json::from_str(node.extras().as_ref().unwrap().get()).unwrap();
        assert_eq!(extras["name"], face.name().as_str());
        assert!(close(extras["pitch"].as_f64().unwrap(), 35.0, 9));
        // The area stated is the area drawn.
        let primitive = node.mesh().unwrap().primitives().next().unwrap();
        assert_eq!(primitive.material().name(), Some("roof"));
        let reader = primitive.reader(|buffer| Some(&buffers[buffer.index()]));
        let places: Vec<_> = reader.read_positions().unwrap().collect();
        let indices: Vec<_> = reader.read_indices().unwrap().into_u32().collect();
        let drawn: f64 = indices.chunks(3).map(|t| area([0, 1, 2].map(|i| places[t[i] as usize]))).sum();
        assert!(close(extras["area"].as_f64().unwrap(), drawn, 4), "{extras} {drawn}");
        total += extras["area"].as_f64().unwrap();
        // Faces look outwards: up, which is +y here.
        assert!(reader.read_normals().unwrap().all(|normal| normal[1] > 0.8));
    }
    // The closed form: plan area over the cosine of the pitch.
    assert!(close(total, 9.2 * 5.6 / 35_f64.to_radians().cos(), 9));
}

/// Eaves of 9.20 and 5.60 m twice, a ridge of 3.60 m, as lines of a kind each.
#[test]
fn a_reader_finds_the_edges_as_lines_by_their_kind() {
    let (roof, solid) = support::hip(2.4, [0.0, 0.0]);
    let (document, buffers, _) = ::gltf::import_slice(glb(&roof, &solid, "Boat store")).unwrap();
    let edges = document.nodes().find(|node| node.name() == Some("edges")).unwrap();
    let drawn: Vec<(String, f64)> = (edges.children())
        .map(|node| {
            let primitive = node.mesh().unwrap().primitives().next().unwrap();
            assert_eq!(primitive.mode(), ::gltf::mesh::Mode::Lines);
            let reader = primitive.reader(|buffer| Some(&buffers[buffer.index()]));
            let places: Vec<_> = reader.read_positions().unwrap().map(nalgebra::Point3::from).collect();
            let length = places.chunks(2).map(|ends| f64::from((ends[1] - ends[0]).norm())).sum();
            (node.name().unwrap().to_owned(), length)
        })
        .collect();
    let length = |kind: &str| drawn.iter().find(|(name, _)| name == kind).unwrap().1;
    assert_eq!(drawn.len(), 3);
    assert!(close(length("eave"), 2.0 * (9.2 + 5.6), 5) && close(length("ridge"), 3.6, 5), "{drawn:?}");
}

/// A reader that merges nodes can still tell edges apart: a vertex of a line numbers its edge among the node's `extras`.
#[test]
fn each_vertex_of_a_line_names_its_edge() {
    let (roof, solid) = support::hip(2.4, [0.0, 0.0]);
    let (document, buffers, _) = ::gltf::import_slice(glb(&roof, &solid, "Boat store")).unwrap();
    assert_eq!(document.extensions_used().collect::<Vec<_>>(), ["EXT_mesh_features"]);
    let edges = document.nodes().find(|node| node.name() == Some("edges")).unwrap();
    for node in edges.children() {
        let facts: serde_json::Value = serde_json::from_str(node.extras().as_ref().unwrap().get()).unwrap();
        let edges = facts["edges"].as_array().unwrap();
        let primitive = node.mesh().unwrap().primitives().next().unwrap();
        let told = &primitive.extension_value("EXT_mesh_features").unwrap()["featureIds"][0];
        assert_eq!((&told["featureCount"], &told["attribute"]), (&edges.len().into(), &0.into()));
        let accessor = primitive.get(&::gltf::Semantic::Extras("FEATURE_ID_0".into())).unwrap();
        let numbers: Vec<f32> =
            ::gltf::accessor::Iter::new(accessor, |buffer| buffers.get(buffer.index()).map(|data| &data[..]))
                .unwrap()
                .collect();
        let reader = primitive.reader(|buffer| Some(&buffers[buffer.index()]));
        let places: Vec<_> = reader.read_positions().unwrap().map(nalgebra::Point3::from).collect();
        assert_eq!(numbers.len(), places.len());
        for (ends, number) in places.chunks(2).zip(numbers.chunks(2)) {
            assert_eq!(number[0], number[1]);
            let edge =
                edges.iter().enumerate().find(|(at, _)| f32::from(u16::try_from(*at).unwrap()) == number[0]).unwrap().1;
            assert!(close(f64::from((ends[1] - ends[0]).norm()), edge["length"].as_f64().unwrap(), 5), "{edge}");
        }
    }
}

#[test]
fn roof_and_body_together_are_closed_and_hold_the_volume() {
    let (roof, solid) = support::hip(2.4, [0.0, 0.0]);
    let (document, buffers, _) = ::gltf::import_slice(glb(&roof, &solid, "Boat store")).unwrap();
    let mut volume = 0.0;
    let mut edges = std::collections::BTreeMap::new();
    let surfaces = document.meshes().flat_map(|mesh| mesh.primitives().collect::<Vec<_>>());
    for primitive in surfaces.filter(|primitive| primitive.mode() == ::gltf::mesh::Mode::Triangles) {
        let reader = primitive.reader(|buffer| Some(&buffers[buffer.index()]));
        let places: Vec<_> = reader.read_positions().unwrap().collect();
        let indices: Vec<_> = reader.read_indices().unwrap().into_u32().collect();
        for t in indices.chunks(3) {
            let corners = [0, 1, 2].map(|i| places[t[i] as usize]);
            let [a, b, c] = corners.map(|p| nalgebra::Vector3::from(p.map(f64::from)));
            volume += a.dot(&b.cross(&c)) / 6.0;
            for i in 0..3 {
                let key = |p: [f32; 3]| p.map(f32::to_bits);
                *edges.entry((key(corners[i]), key(corners[(i + 1) % 3]))).or_insert(0) += 1;
            }
        }
    }
    assert!(close(volume, roof.volume.unwrap(), 3), "{volume} {:?}", roof.volume);
    for ((from, to), count) in &edges {
        assert_eq!((*count, edges.get(&(*to, *from))), (1, Some(&1)));
    }
}

#[test]
fn a_site_far_from_its_origin_keeps_its_digits() {
    let (roof, solid) = support::hip(2.4, [500_000.25, 5_300_000.0]);
    let (document, _, _) = ::gltf::import_slice(glb(&roof, &solid, "far")).unwrap();
    for primitive in document.meshes().flat_map(|mesh| mesh.primitives().collect::<Vec<_>>()) {
        let bounds = primitive.bounding_box();
        assert!(bounds.min.iter().chain(&bounds.max).all(|c| c.abs() < 20.0), "{bounds:?}");
    }
    let node = document.default_scene().unwrap().nodes().next().unwrap();
    assert_eq!(node.transform().decomposed().0, [500_000.0, 2.0, -5_300_000.0]);
}

#[test]
fn the_same_roof_gives_the_same_bytes() {
    let (roof, solid) = support::hip(2.4, [0.0, 0.0]);
    assert_eq!(glb(&roof, &solid, "x"), glb(&roof, &solid, "x"));
}

#[test]
fn the_text_form_says_the_same_as_the_binary_one() {
    let (roof, solid) = support::hip(2.4, [0.0, 0.0]);
    let read = |bytes: &[u8]| {
        let (document, buffers, _) = ::gltf::import_slice(bytes).unwrap();
        let root = serde_json::to_value(document.into_json().meshes).unwrap();
        (root, buffers.into_iter().map(|buffer| buffer.0).collect::<Vec<_>>())
    };
    let (text, binary) = (text(&roof, &solid, "x"), glb(&roof, &solid, "x"));
    assert_eq!(read(text.as_bytes()), read(&binary));
}

/// Runs the format's own validator (npm `gltf-validator`) where node and the package are there. CI must have them.
fn validate(path: &Path) {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let modules = root.join("target/validators/node_modules");
    if !modules.join("gltf-validator").is_dir() {
        support::skipped("gltf-validator", "a glTF model is not validated", ".ci/validators");
        return;
    }
    let script = root.join("tests/tools/validate_gltf.cjs");
    let output = Command::new("node").arg(script).arg(path).env("NODE_PATH", &modules).output().unwrap();
    let report = String::from_utf8_lossy(&output.stdout).into_owned();
    let counts: serde_json::Value = serde_json::from_str(&report).unwrap_or_else(|_| {
        panic!("no report: {report}{}", String::from_utf8_lossy(&output.stderr));
    });
    for kind in ["numErrors", "numWarnings", "numHints"] {
        assert_eq!(counts["issues"][kind], 0, "{report}");
    }
    // What it says beside that is that it does not look into the one extension.
    for message in counts["issues"]["messages"].as_array().unwrap() {
        assert_eq!(message["code"], "UNSUPPORTED_EXTENSION", "{report}");
        assert!(message["message"].as_str().unwrap().contains("EXT_mesh_features"), "{report}");
    }
    assert!(counts["info"]["totalTriangleCount"].as_u64().unwrap() > 0);
}

#[test]
fn the_validator_finds_nothing_to_say() {
    let folder = tempfile::tempdir().unwrap();
    for (name, height, shift) in [("near", 2.4, [0.0, 0.0]), ("far", 2.4, [500_000.0, 5_300_000.0])] {
        let (roof, solid) = support::hip(height, shift);
        let path = folder.path().join(format!("{name}.glb"));
        std::fs::write(&path, glb(&roof, &solid, "Boat store \u{fc}")).unwrap();
        validate(&path);
        let path = folder.path().join(format!("{name}.gltf"));
        std::fs::write(&path, text(&roof, &solid, "Boat store \u{fc}")).unwrap();
        validate(&path);
    }
}

#[test]
fn a_reader_of_obj_finds_the_faces_by_name() {
    let (roof, solid) = support::hip(2.4, [500_000.0, 5_300_000.0]);
    let answer = Answer::of_roof(roof);
    let text = obj::obj(&Model::untold("Boat\nstore", &answer, &solid), Some("boat.mtl"));
    let (models, materials) = tobj::load_obj_buf(&mut text.as_bytes(), &tobj::LoadOptions::default(), |path| {
        assert_eq!(path, Path::new("boat.mtl"));
        tobj::load_mtl_buf(&mut obj::materials().as_bytes())
    })
    .unwrap();
    let materials = materials.unwrap();
    let material = |model: &tobj::Model| materials[model.mesh.material_id.unwrap()].name.clone();
    assert_eq!([material(&models[0]), material(&models[4])], ["roof", "walls_and_floor"]);
    let names: Vec<_> = models.iter().map(|model| model.name.as_str()).collect();
    assert_eq!(names, ["store/A", "store/B", "store/C", "store/D", "walls_and_floor"]);
    assert_eq!(models.iter().map(|model| model.mesh.indices.len() / 3).sum::<usize>(), solid.triangles.len());
    // Every digit is there, far from the origin too.
    let mut places = text.lines().filter_map(|line| line.strip_prefix("v "));
    let first: Vec<f64> = places.next().unwrap().split(' ').map(|c| c.parse().unwrap()).collect();
    assert_eq!(first, [solid.positions[0].x, solid.positions[0].y, solid.positions[0].z]);
}

#[test]
fn a_reader_of_stl_finds_a_watertight_solid() {
    let (_, solid) = support::hip(2.4, [0.0, 0.0]);
    let mesh = stl_io::read_stl(&mut std::io::Cursor::new(stl::stl(&solid, &[]))).unwrap();
    assert_eq!(mesh.faces.len(), solid.triangles.len());
    mesh.validate().unwrap();
}
