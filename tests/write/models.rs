//! Every kind of model of the examples and of roofs with overhangs, dormers, courtyards and chimneys, judged from outside against
//! the answer (`tests/tools/models.py`, which names the libraries).

use assert_cmd::Command;
use std::path::{Path, PathBuf};

const ENDINGS: [&str; 10] = ["glb", "gltf", "obj", "stl", "3mf", "city.json", "ifc", "dxf", "csv", "geojson"];

/// Roof files, and what stands out of them, cubic metres: a chimney of 0.60 by 0.60 m astride a ridge at 40 degrees stands 1.00 m
/// over it, and 0.30 m out on each side the roof lies 0.30 tan 40 lower.
const RAISED: f64 = 0.6 * 0.6 * (1.0 + 0.3 * 0.839_099_631_177_28);

const ROOFS: [&str; 11] = [
    "examples/boat_store.toml",
    "examples/stable_l.toml",
    "examples/lean_to.toml",
    "examples/field_shed.toml",
    "tests/roofs/overhang_open.toml",
    "tests/roofs/detached.toml",
    "tests/roofs/mansard_round_a_court.toml",
    "tests/roofs/half_hip_and_gablet.toml",
    "tests/drawings/dormered_barn.toml",
    "tests/roofs/chimney_astride.toml",
    "tests/roofs/chimney_raised.toml",
];

fn eavewright() -> Command {
    let mut command = Command::cargo_bin("eavewright").unwrap();
    command.current_dir(env!("CARGO_MANIFEST_DIR"));
    command
}

/// A Python with the libraries, and cjval; `None`, and a line that says so, where there are none. CI must have them.
fn judges() -> Option<(String, PathBuf)> {
    let python = std::env::var("EAVEWRIGHT_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let modules = "import trimesh, manifold3d, lib3mf, ezdxf, ifcopenshell, shapely, lxml, networkx";
    let has = Command::new(&python).args(["-c", modules]).output().is_ok_and(|output| output.status.success());
    let cjval = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/validators/bin/cjval");
    if has && cjval.is_file() {
        return Some((python, cjval));
    }
    assert!(std::env::var_os("CI").is_none(), "CI must install the judges of models: .ci/validators");
    eprintln!("SKIPPED: the judges of models are not installed (.ci/validators)");
    None
}

#[test]
fn every_kind_of_model_is_sound_and_of_the_answers_areas_and_volume_by_outside_words() {
    let folder = tempfile::tempdir().unwrap();
    let judges = judges();
    for (nth, roof) in ROOFS.iter().enumerate() {
        let answer = eavewright().args(["solve", roof, "--json"]).assert().success();
        let answer = &answer.get_output().stdout;
        let json: serde_json::Value = serde_json::from_slice(answer).unwrap();
        let told = folder.path().join(format!("{nth}.json"));
        std::fs::write(&told, answer).unwrap();
        let mut files = vec![told];
        for ending in ENDINGS {
            let out = folder.path().join(format!("{nth}.{ending}"));
            let written = eavewright().args(["export", roof, "--out"]).arg(&out).assert();
            // Faces by points have no walls, so that nothing can be printed of them.
            if ending == "3mf" && json["totals"]["volume"].is_null() {
                written.code(1);
            } else {
                written.success();
                files.push(out);
            }
        }
        let Some((python, cjval)) = &judges else { continue };
        let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/tools/models.py");
        let raised = if roof.contains("chimney_raised") { RAISED } else { 0.0 };
        let mut judge = Command::new(python);
        let judge = judge.arg(script).args(&files).env("CJVAL", cjval).env("RAISED", raised.to_string());
        let said = judge.output().unwrap();
        let text = String::from_utf8_lossy(&said.stdout).into_owned();
        assert!(
            said.status.success() && text.trim_end().ends_with(" 0 wrong"),
            "{roof}: {text}{}",
            String::from_utf8_lossy(&said.stderr)
        );
    }
}

/// A model of a roof 1:50 on a plate of 3 mm is closed and as large as reckoned by hand: 9.20 x 5.60 m come to 184 x 112 mm,
/// a rise of 2.80 m at 35 degrees to 39.2 mm over the plate.
#[test]
fn a_printed_roof_has_its_scale_and_stands_on_its_plate() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("hip.toml");
    let roof = "title = \"Hip\"\nunits = \"m\"\nstage = \"design\"\n[[block]]\nname = \"a\"\nheight = 2.4\nsides = [\n\
                { from = \"A\", at = [0, 0], pitch = 35 },\n{ from = \"B\", at = [9.2, 0], pitch = 35 },\n\
                { from = \"C\", at = [9.2, 5.6], pitch = 35 },\n{ from = \"D\", at = [0, 5.6], pitch = 35 },\n]\n";
    std::fs::write(&file, roof).unwrap();
    let out = folder.path().join("hip.stl");
    let print = ["--scale", "1:50", "--base", "3 mm"];
    eavewright().arg("export").arg(&file).arg("--out").arg(&out).args(print).assert().success();
    let mesh = stl_io::read_stl(&mut std::fs::File::open(&out).unwrap()).unwrap();
    mesh.validate().unwrap();
    let high = |axis: usize| mesh.vertices.iter().map(|place| place[axis]).fold(0.0_f32, f32::max);
    for (axis, expected) in [184.0, 112.0, 3.0 + 56.0 * 35_f32.to_radians().tan()].into_iter().enumerate() {
        assert!((high(axis) - expected).abs() < 1e-3, "{axis}: {} for {expected}", high(axis));
    }
    let out = folder.path().join("hip.glb");
    eavewright().arg("export").arg(&file).arg("--out").arg(&out).args(print).assert().code(2);
    assert!(!out.exists());
    let out = folder.path().join("hip.3mf");
    eavewright().arg("export").arg(&file).arg("--out").arg(&out).args(print).assert().success();
    let overhang = "tests/roofs/overhang_open.toml";
    eavewright().args(["export", overhang, "--scale", "1:100", "--out"]).arg(&out).assert().success();
    eavewright().args(["export", overhang, "--scale", "0.5", "--out"]).arg(&out).assert().code(2);
}

#[test]
fn the_same_job_gives_the_same_bytes() {
    let folder = tempfile::tempdir().unwrap();
    for ending in ENDINGS {
        let bytes = |name: &str| {
            let out = folder.path().join(name).with_extension(ending);
            eavewright().args(["export", "examples/stable_l.toml", "--out"]).arg(&out).assert().success();
            std::fs::read(out).unwrap()
        };
        // An OBJ names the file of its materials, so both have one name.
        let one = bytes("same");
        assert!(one == bytes("same"), "{ending}");
    }
}
