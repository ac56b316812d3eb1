//! `import`: what is taken over has the areas of the file that it came from, by our own models and by models of others.

use assert_cmd::Command;
use serde_json::{Value, json};
use std::fs;
use std::path::{Path, PathBuf};

fn eavewright() -> Command {
    let mut command = Command::cargo_bin("eavewright").unwrap();
    command.current_dir(env!("CARGO_MANIFEST_DIR"));
    command
}

fn document(arguments: &[&str]) -> Value {
    let done = eavewright().arg("--json").args(arguments).assert().success();
    serde_json::from_slice(&done.get_output().stdout).unwrap()
}

/// Takes a file over and gives what the command and what `solve` of its result say.
fn imported(input: &Path, arguments: &[&str]) -> (Value, Value) {
    let out = input.with_extension("taken.toml");
    let _ = fs::remove_file(&out);
    let mut all = vec!["import", input.to_str().unwrap(), "--out", out.to_str().unwrap()];
    all.extend_from_slice(arguments);
    let told = document(&all);
    (told, document(&["solve", out.to_str().unwrap()]))
}

fn near(found: &Value, expected: f64, slack: f64) -> bool {
    found.as_f64().is_some_and(|found| (found - expected).abs() <= slack * expected.abs())
}

/// What was exported comes back with the same areas, face by face.
#[test]
fn models_come_back_with_their_areas() {
    let folder = tempfile::tempdir().unwrap();
    let roofs = [
        "examples/boat_store.toml",
        "examples/stable_l.toml",
        "examples/lean_to.toml",
        "examples/field_shed.toml",
        "tests/roofs/half_hip_and_gablet.toml",
        "tests/drawings/dormered_barn.toml",
    ];
    for roof in roofs {
        let answer = document(&["solve", roof]);
        let faces: Vec<&Value> =
            answer["faces"].as_array().unwrap().iter().filter(|face| face["kind"] == "roof").collect();
        for ending in ["city.json", "ifc", "dxf"] {
            let path: PathBuf = folder.path().join(format!("roof.{ending}"));
            eavewright().args(["export", roof, "--out"]).arg(&path).assert().success();
            let (told, again) = imported(&path, &[]);
            // One with holes, as under a dormer, comes in parts.
            assert!(told["faces"].as_u64().unwrap() >= faces.len() as u64, "{roof} {ending}: {told}");
            let area = answer["totals"]["area"].as_f64().unwrap();
            assert!(
                near(&again["totals"]["area"], area, 1e-5),
                "{roof} {ending}: {} for {area}",
                again["totals"]["area"]
            );
            assert!(near(&told["area"], area, 1e-5), "{roof} {ending}: {told}");
            let is_whole = told["faces"] == faces.len();
            if ending == "city.json" && is_whole {
                for face in &faces {
                    let own =
                        again["faces"].as_array().unwrap().iter().find(|own| own["name"] == face["name"]).unwrap();
                    assert!(near(&own["area"], face["area"].as_f64().unwrap(), 1e-4), "{roof}: {own}");
                }
            }
            // Walls and floor are left out, and said to be, where a file has them.
            if ending == "city.json" && !answer["totals"]["volume"].is_null() {
                assert!(told["left_out"].to_string().contains("no roof"), "{told}");
            }
        }
    }
}

/// Roofs of open city models (`tests/data/README.md`: Zurich CC0, Vienna CC BY 4.0), whose areas an independent script reckoned
/// from the published polygons.
#[test]
fn roofs_of_open_city_models_keep_their_areas() {
    let records: Value = serde_json::from_str(include_str!("../data/points_roofs.json")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let mut count = 0;
    for record in records["roofs"].as_array().unwrap() {
        let (mut vertices, mut boundaries) = (Vec::new(), Vec::new());
        for polygon in
            record["planes"].as_array().unwrap().iter().flat_map(|plane| plane["polygons"].as_array().unwrap())
        {
            let ring = |ring: &Value, vertices: &mut Vec<Value>| -> Vec<usize> {
                let places = ring.as_array().unwrap().iter();
                places
                    .map(|place| {
                        // As city models are written, every place once, in millimetres.
                        #[allow(clippy::cast_possible_truncation)]
                        let steps: Vec<i64> =
                            (0..3).map(|axis| (place[axis].as_f64().unwrap() * 1000.0).round() as i64).collect();
                        let steps = json!(steps);
                        vertices.iter().position(|known| *known == steps).unwrap_or_else(|| {
                            vertices.push(steps);
                            vertices.len() - 1
                        })
                    })
                    .collect()
            };
            let rings: Vec<Vec<usize>> =
                polygon.as_array().unwrap().iter().map(|own| ring(own, &mut vertices)).collect();
            boundaries.push(rings);
        }
        let values = vec![0; boundaries.len()];
        let model = json!({
            "type": "CityJSON", "version": "2.0",
            "transform": { "scale": [0.001, 0.001, 0.001], "translate": record["offset_subtracted"] },
            "CityObjects": { "b1": { "type": "Building", "geometry": [{
                "type": "MultiSurface", "lod": "2", "boundaries": boundaries,
                "semantics": { "surfaces": [{ "type": "RoofSurface" }], "values": values },
            }] } },
            "vertices": vertices,
        });
        let path = folder.path().join("model.city.json");
        fs::write(&path, model.to_string()).unwrap();
        let (told, again) = imported(&path, &[]);
        let area = record["total_area_m2"].as_f64().unwrap();
        let label = &record["label"];
        // Published polygons lie off their planes by millimetres.
        assert!(near(&told["area_in_source"], area, 1e-3), "{label}: {told} for {area}");
        assert!(near(&again["totals"]["area"], area, 1e-2), "{label}: {} for {area}", again["totals"]["area"]);
        count += 1;
    }
    assert!(count >= 10, "{count}");
}

/// An outline of 9.2 x 5.6 m at 35 degrees, as a map, as a drawing in millimetres and by pitches side by side.
#[test]
fn outlines_become_blocks() {
    let folder = tempfile::tempdir().unwrap();
    let area = 9.2 * 5.6 / 35_f64.to_radians().cos();
    let map = folder.path().join("map.geojson");
    let ring = json!([[
        [500_000.0, 5_300_000.0],
        [500_009.2, 5_300_000.0],
        [500_009.2, 5_300_005.6],
        [500_000.0, 5_300_005.6],
        [500_000.0, 5_300_000.0]
    ]]);
    let feature = |id: &str, ring: &Value| json!({ "type": "Feature", "id": id, "properties": { "pitches": [35, 90, 35, 90] }, "geometry": { "type": "Polygon", "coordinates": ring } });
    let far = json!([[
        [500_100.0, 5_300_000.0],
        [500_109.2, 5_300_000.0],
        [500_109.2, 5_300_005.6],
        [500_100.0, 5_300_005.6],
        [500_100.0, 5_300_000.0]
    ]]);
    let collection = json!({ "type": "FeatureCollection", "crs": null, "features": [
        feature("a/b", &ring), feature("a/b", &far), { "type": "Feature", "properties": {}, "geometry": null },
    ] });
    fs::write(&map, collection.to_string()).unwrap();
    let (told, again) = imported(&map, &["--height", "2.4 m"]);
    assert!(near(&again["totals"]["area"], 2.0 * area, 1e-9), "{}", again["totals"]["area"]);
    assert_eq!(again["totals"]["by_kind"]["verge"]["count"], 8);
    assert!(told["left_out"].to_string().contains("no-geometry"), "{told}");
    let text = fs::read_to_string(map.with_extension("taken.toml")).unwrap();
    assert!(text.contains("500000, 5300000 is taken off") && text.contains("at = [9.2"), "{text}");

    let drawing = folder.path().join("plan.dxf");
    let places = [[0, 0], [9200, 0], [9200, 5600], [0, 5600]];
    let vertices: String = places.iter().map(|[x, y]| format!("10\n{x}.0\n20\n{y}.0\n")).collect();
    let dxf = format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\neaves\n90\n4\n70\n1\n{vertices}0\nLINE\n8\nx\n10\n0.0\n20\n0.0\n11\n1.0\n21\n1.0\n0\nENDSEC\n0\nEOF\n"
    );
    fs::write(&drawing, &dxf).unwrap();
    let (told, again) = imported(&drawing, &["--pitch", "35"]);
    assert!(near(&again["totals"]["area"], area, 1e-9), "{told}");
    // Without a pitch, and without a unit, nothing is written.
    let out = folder.path().join("none.toml");
    let run = |input: &Path, more: &[&str], code: i32| {
        let done = eavewright().arg("import").arg(input).arg("--out").arg(&out).args(more).assert().code(code);
        assert!(!out.exists());
        String::from_utf8_lossy(&done.get_output().stderr).into_owned()
    };
    assert!(run(&drawing, &[], 1).contains("--pitch"));
    fs::write(&drawing, dxf.replace("$INSUNITS\n70\n4", "$INSUNITS\n70\n0")).unwrap();
    assert!(run(&drawing, &["--pitch", "35"], 1).contains("--unit"));
    assert!(run(&folder.path().join("x.shp"), &[], 2).contains(".geojson"));
    fs::write(folder.path().join("x.city.json"), "{").unwrap();
    run(&folder.path().join("x.city.json"), &[], 1);
}

/// Points of a total station with the faces that each is a corner of: a gable of 6 x 4 m at 45 degrees has two faces of
/// 6 x 2 x sqrt 2.
#[test]
fn points_of_a_total_station_become_faces() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shots.csv");
    let text = "name,east,north,height,face\nE1,100.0,200.0,2.5,south\nE2,106.0,200.0,2.5,south\nR2,106.0,202.0,4.5,south+north\n\
                E3,106.0,204.0,2.5,north\nE4,100.0,204.0,2.5,north\nR1,100.0,202.0,4.5,south;north\nbad,1,x,2,\n";
    // A point of two faces comes at its place in each ring: here R2 begins the northern one and R1 ends both.
    fs::write(&path, text).unwrap();
    let (told, again) = imported(&path, &[]);
    let area = 2.0 * 6.0 * 2.0 * 2_f64.sqrt();
    assert!(near(&again["totals"]["area"], area, 1e-9), "{told} {}", again["totals"]);
    assert_eq!(again["totals"]["by_kind"]["ridge"]["count"], 1);
    assert!(told["left_out"].to_string().contains("line 8"), "{told}");
}

/// A slab of a model of somebody else's making: in millimetres, placed twice over, turned, 13 x 5.5 m in plan at 30 degrees
/// (the published figure of such a slab is 82.5610885 m²).
#[test]
fn a_slab_in_millimetres_keeps_its_area() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("slab.ifc");
    let depth = 5500.0 / 30_f64.to_radians().cos();
    let text = format!(
        "ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);\n\
         #2=IFCCARTESIANPOINT((0.,0.,3000.));\n#3=IFCDIRECTION((0.,-0.5,0.86602540378443865));\n#4=IFCDIRECTION((1.,0.,0.));\n\
         #5=IFCAXIS2PLACEMENT3D(#2,#3,#4);\n#6=IFCLOCALPLACEMENT(#20,#5);\n#7=IFCRECTANGLEPROFILEDEF(.AREA.,$,#12,13000.,{depth:?});\n\
         #8=IFCDIRECTION((0.,0.,1.));\n#9=IFCEXTRUDEDAREASOLID(#7,$,#8,200.);\n#10=IFCSHAPEREPRESENTATION($,'Body','SweptSolid',(#9));\n\
         #11=IFCPRODUCTDEFINITIONSHAPE($,$,(#10));\n#12=IFCAXIS2PLACEMENT2D(#13,$);\n#13=IFCCARTESIANPOINT((6500.,{:?}));\n\
         #20=IFCLOCALPLACEMENT($,#21);\n#21=IFCAXIS2PLACEMENT3D(#22,$,$);\n#22=IFCCARTESIANPOINT((1000.,2000.,0.));\n\
         #30=IFCSLAB('0000000000000000000001',$,'it''s a roof',$,$,#6,#11,$,.ROOF.);\n\
         #31=IFCSLAB('0000000000000000000002',$,'floor',$,$,#6,#11,$,.FLOOR.);\nENDSEC;\nEND-ISO-10303-21;\n",
        depth / 2.0
    );
    fs::write(&path, text).unwrap();
    let (told, again) = imported(&path, &[]);
    assert!(near(&again["totals"]["area"], 82.561_088_5, 1e-8), "{told}");
    assert!(near(&again["faces"][0]["pitch"], 30.0, 1e-6), "{}", again["faces"][0]);
    assert!(told["left_out"].to_string().contains("1 part of what is no roof"), "{told}");
}
