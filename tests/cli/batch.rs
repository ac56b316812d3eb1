//! `batch`: one line out for each feature in, whatever it says; the same lines however many processors work on them, and
//! whether or not a run was stopped.

use assert_cmd::Command;
use serde_json::{Value, json};
use std::fs;
use std::path::Path;

fn eavewright() -> Command {
    Command::cargo_bin("eavewright").unwrap()
}

/// Runs over features by the line and gives the answers.
fn answers(features: &str, ending: &str, arguments: &[&str]) -> Vec<Value> {
    let folder = tempfile::tempdir().unwrap();
    let (input, out) = (folder.path().join(format!("in.{ending}")), folder.path().join("out.jsonl"));
    fs::write(&input, features).unwrap();
    eavewright().arg("batch").arg(&input).arg("--out").arg(&out).args(arguments).assert().success();
    assert!(!folder.path().join("out.jsonl.part").exists() && !folder.path().join("out.jsonl.journal").exists());
    lines(&out)
}

fn lines(path: &Path) -> Vec<Value> {
    fs::read_to_string(path).unwrap().lines().map(|line| serde_json::from_str(line).unwrap()).collect()
}

// Both are made where it is called.
#[allow(clippy::needless_pass_by_value)]
fn feature(rings: Value, properties: Value) -> Value {
    json!({ "type": "Feature", "geometry": { "type": "Polygon", "coordinates": rings }, "properties": properties })
}

fn near(found: &Value, expected: f64, slack: f64) -> bool {
    (found.as_f64().unwrap() - expected).abs() <= slack * expected.abs().max(1.0)
}

/// Areas of outlines by a straight-skeleton library from outside (`tests/data/README.md`, pysfcgal). Where two slopes of one
/// direction and different pitch come into one line, the library lets the steeper go on and a roof file the flatter, as
/// `src/core/tests/roof/reference_roofs.rs` has it case by case: those of one pitch all agree, of the others all but those.
#[test]
fn areas_are_those_of_an_outside_library() {
    let text = include_str!("../data/roofs.jsonl");
    let records: Vec<Value> = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    let records: Vec<&Value> = records.iter().filter(|record| record["ring"].is_array()).collect();
    let features: String = records
        .iter()
        .map(|record| {
            let (mut rings, mut pitches) = (vec![record["ring"].clone()], record["pitch"].as_array().unwrap().clone());
            for hole in record["holes"].as_array().into_iter().flatten() {
                rings.push(hole["ring"].clone());
                pitches.extend(hole["pitch"].as_array().unwrap().clone());
            }
            let mut feature = feature(json!(rings), json!({ "pitches": pitches }));
            feature["id"] = record["id"].clone();
            format!("{feature}\n")
        })
        .collect();
    let answers = answers(&features, "geojsonl", &["--units", "m"]);
    assert_eq!(answers.len(), records.len());
    let mut compared = 0;
    for (answer, record) in answers.iter().zip(&records) {
        assert_eq!(answer["id"], record["id"]);
        assert_eq!(answer["ok"], true, "{answer}");
        let holes = record["holes"].as_array().into_iter().flatten().map(|hole| &hole["pitch"]);
        let pitches: Vec<&Value> =
            std::iter::once(&record["pitch"]).chain(holes).flat_map(|own| own.as_array().unwrap()).collect();
        // What stands plumb over a verge is wall.
        let sides = record["area_by_side"].as_array().unwrap().iter().flat_map(|ring| ring.as_array().unwrap());
        let slopes = sides.zip(&pitches).filter(|(_, pitch)| **pitch != 90);
        let area: f64 = slopes.filter_map(|(area, _)| area.as_f64()).sum();
        let is_even = pitches.iter().all(|pitch| *pitch == pitches[0]);
        let agrees = near(&answer["area"], area, 1e-6);
        assert!(agrees || !is_even, "{answer} {area}");
        compared += usize::from(agrees);
    }
    // Side by side 229 agree; in three more the sides that share a line differ and their sum does not.
    assert_eq!(compared, 232);
}

/// Plan areas by the geodesics of the ellipsoid (Karney 2013, as PROJ 9's `Geod` has them, pyproj 3.7.2).
#[test]
fn degrees_are_solved_in_true_metres() {
    let cases = [
        (
            json!([[7.1234, 52.001], [7.12355, 52.00102], [7.12352, 52.0011], [7.12337, 52.00108], [7.1234, 52.001]]),
            GEOD[0],
        ),
        (json!([[-70.5, -33.4], [-70.4997, -33.4], [-70.4997, -33.3998], [-70.5, -33.3998], [-70.5, -33.4]]), GEOD[1]),
        (json!([[25.0, 69.9], [25.001, 69.9], [25.001, 69.9003], [25.0, 69.9003], [25.0, 69.9]]), GEOD[2]),
    ];
    let features: Vec<Value> = cases.iter().map(|(ring, _)| feature(json!([ring]), json!({ "pitch": 40 }))).collect();
    let collection = json!({ "type": "FeatureCollection", "features": features }).to_string();
    for (answer, (_, area)) in answers(&collection, "geojson", &[]).iter().zip(&cases) {
        assert!(near(&answer["plan_area"], *area, 1e-6), "{answer} {area}");
        assert!(near(&answer["area"], area / 40_f64.to_radians().cos(), 1e-6), "{answer}");
    }
}

const GEOD: [f64; 3] = [96.282_196_576, 619.082_029_253, 1_284.148_386_240];

#[test]
fn every_line_has_its_answer_bad_ones_too() {
    let square = json!([[[0, 0], [10, 0], [10, 8], [0, 8], [0, 0]]]);
    let features = [
        feature(square.clone(), json!({ "id": "a", "pitch": 35 })).to_string(),
        "{ torn".to_owned(),
        String::new(),
        json!({ "type": "Feature", "id": 3, "geometry": null, "properties": null }).to_string(),
        json!({ "type": "Feature", "id": 4, "geometry": { "type": "Point", "coordinates": [1, 2] }, "properties": {} })
            .to_string(),
        feature(square.clone(), json!({ "pitch": "steep" })).to_string(),
        feature(square.clone(), json!({ "pitch": 95 })).to_string(),
        feature(square.clone(), json!({ "pitches": [35, 90, 35] })).to_string(),
        feature(square.clone(), json!({ "pitches": [90, 90, 90, 90] })).to_string(),
        feature(json!([[[0, 0], [10, 8], [10, 0], [0, 8], [0, 0]]]), json!({ "pitch": 35 })).to_string(),
        feature(json!([[[0, 0], [10, 0], [0, 0]]]), json!({ "pitch": 35 })).to_string(),
        feature(square.clone(), json!({ "covering": "no such card", "pitch": 35 })).to_string(),
        "[1, 2]".to_owned(),
        "\u{1e}".to_owned()
            + &feature(square.clone(), json!({ "pitches": [35, 90, 35, 90], "height": 2.5 })).to_string(),
    ];
    let text = features.join("\n");
    let found = answers(&text, "geojsonl", &["--units", "m"]);
    let codes: Vec<&str> = found.iter().map(|line| line["error"]["code"].as_str().unwrap_or("")).collect();
    let expected = [
        "",
        "not-json",
        "blank-line",
        "no-geometry",
        "not-a-polygon",
        "property",
        "pitch-out-of-range",
        "pitch-count",
        "no-eave",
        "outline-crosses",
        "outline-empty",
        "unknown-covering",
        "not-a-feature",
        "",
    ];
    assert_eq!(codes, expected);
    for (place, line) in found.iter().enumerate() {
        assert_eq!(line["line"], place + 1);
        assert_eq!(line["ok"], line["error"].is_null());
        let reason = line["error"]["reason"].as_str();
        assert!(
            reason.is_none_or(|reason| reason.contains("expected")
                || reason.contains("numbers for")
                || reason.contains("cards")),
            "{line}"
        );
    }
    assert_eq!((&found[0]["id"], &found[1]["id"], &found[3]["id"]), (&json!("a"), &Value::Null, &json!(3)));
    // 80 m² at 35°; a gable of 10 x 8 m has its ridge along it, half-way up 4 m at 35°.
    let area = 80.0 / 35_f64.to_radians().cos();
    assert!(near(&found[0]["area"], area, 1e-12) && near(&found[13]["area"], area, 1e-12));
    assert!(near(&found[13]["ridge_height"], 2.5 + 4.0 * 35_f64.to_radians().tan(), 1e-12));
    assert_eq!(found[13]["by_kind"]["ridge"], json!({ "count": 1, "length": 10.0 }));
    assert_eq!(found[13]["by_kind"]["verge"]["count"], 4);
    // The same as a collection: lines are those of the text.
    let whole: Vec<&String> = features.iter().filter(|text| text.starts_with('{') && *text != "{ torn").collect();
    let collection = format!(
        "{{\"type\": \"FeatureCollection\", \"crs\": null,\n\"features\": [\n{}\n]}}\n",
        whole.iter().map(|text| text.as_str()).collect::<Vec<_>>().join(",\n")
    );
    let again = answers(&collection, "geojson", &[]);
    assert_eq!(again.len(), whole.len());
    assert_eq!(again[0]["line"], 3);
    assert_eq!(again[0]["area"], found[0]["area"]);
}

/// What is summed up adds up, on standard error and as JSON.
#[test]
fn the_summary_adds_up() {
    let square = json!([[[0, 0], [10, 0], [10, 8], [0, 8], [0, 0]]]);
    let text = format!("{}\n{{\n{}\n", feature(square.clone(), json!({ "pitch": 30 })), feature(square, json!({})));
    let done =
        eavewright().args(["batch", "-", "--out", "-", "--units", "m"]).write_stdin(text.clone()).assert().success();
    let said = String::from_utf8_lossy(&done.get_output().stderr).into_owned();
    assert!(said.contains("3 features: 1 with a roof of 92.4 m² in all, 2 without"), "{said}");
    assert!(said.contains("1 no-pitch") && said.contains("1 not-json"), "{said}");
    assert_eq!(String::from_utf8_lossy(&done.get_output().stdout).lines().count(), 3);
    let folder = tempfile::tempdir().unwrap();
    let (out, page) = (folder.path().join("o.jsonl"), folder.path().join("page.html"));
    let done = eavewright()
        .args(["--json", "batch", "-", "--units", "m", "--report"])
        .arg(&page)
        .arg("--out")
        .arg(&out)
        .write_stdin(text)
        .assert()
        .success();
    let told: Value = serde_json::from_slice(&done.get_output().stdout).unwrap();
    assert_eq!((&told["read"], &told["solved"], &told["failed"]), (&json!(3), &json!(1), &json!(2)));
    let page = fs::read_to_string(page).unwrap();
    assert!(page.contains("no-pitch") && page.contains("<svg"), "{page}");
}

/// Wrong usage writes nothing.
#[test]
fn what_cannot_be_run_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let input = folder.path().join("in.geojsonl");
    fs::write(&input, "").unwrap();
    let run = |input: &Path, out: &str, code: i32| {
        let out = folder.path().join(out);
        eavewright().arg("batch").arg(input).arg("--out").arg(&out).assert().code(code);
        assert_eq!(out.exists(), code == 0);
    };
    run(&input, "out.xyz", 2);
    run(&folder.path().join("in.shp"), "out.jsonl", 2);
    run(&folder.path().join("none.geojsonl"), "out.jsonl", 2);
    run(&input, "out.jsonl", 0);
    let mercator = folder.path().join("m.geojson");
    fs::write(
        &mercator,
        r#"{"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"EPSG:3857"}},"features":[]}"#,
    )
    .unwrap();
    // A collection without features has no places to misread.
    run(&mercator, "mercator.jsonl", 2);
}

/// Many outlines, of which every tenth is bad.
fn many(count: usize) -> String {
    (0..count)
        .map(|at| {
            let (width, x) = (4.0 + (at % 17) as f64 * 0.37, (at * 20) as f64);
            let ring = json!([
                [x, 0],
                [x + width + 6.0, 0],
                [x + width + 6.0, width],
                [x + 3.0, width],
                [x + 3.0, 9],
                [x, 9],
                [x, 0]
            ]);
            let pitch = if at % 10 == 9 { json!(-1) } else { json!(20 + at % 40) };
            format!("{}\n", feature(json!([ring]), json!({ "id": at, "pitch": pitch })))
        })
        .collect()
}

#[test]
fn lines_are_the_same_by_one_processor_and_by_many_and_after_a_stop() {
    let folder = tempfile::tempdir().unwrap();
    let input = folder.path().join("in.geojsonl");
    fs::write(&input, many(30_000)).unwrap();
    let run = |out: &str, jobs: &str| {
        let out = folder.path().join(out);
        eavewright()
            .arg("batch")
            .arg(&input)
            .arg("--out")
            .arg(&out)
            .args(["--units", "m", "--jobs", jobs])
            .assert()
            .success();
        fs::read(out).unwrap()
    };
    let one = run("one.jsonl", "1");
    assert_eq!(one.split(|byte| *byte == b'\n').count() - 1, 30_000);
    assert!(one == run("four.jsonl", "4"));
    // Killed over and over, as soon as a journal is there, and taken up again.
    let out = folder.path().join("stopped.jsonl");
    let journal = folder.path().join("stopped.jsonl.journal");
    let mut stops = 0;
    loop {
        let mut child = std::process::Command::new(assert_cmd::cargo::cargo_bin("eavewright"))
            .arg("batch")
            .arg(&input)
            .arg("--out")
            .arg(&out)
            .args(["--units", "m", "--jobs", "1"])
            .stderr(std::process::Stdio::null())
            .spawn()
            .unwrap();
        let before = fs::read(&journal).ok();
        let finished = loop {
            if let Some(status) = child.try_wait().unwrap() {
                assert!(status.success());
                break true;
            }
            if stops < 4 && fs::read(&journal).ok().is_some_and(|now| Some(now) != before) {
                child.kill().unwrap();
                child.wait().unwrap();
                break false;
            }
            std::thread::sleep(std::time::Duration::from_millis(1));
        };
        if finished {
            break;
        }
        stops += 1;
    }
    assert!(stops > 0, "the run was over before it could be stopped");
    assert!(fs::read(&out).unwrap() == one);
    assert!(!journal.exists());
}

/// The packs are those of `takeoff` over the same outline.
#[test]
fn packs_are_those_of_the_take_off() {
    let roof = "title = \"x\"\nunits = \"m\"\nstage = \"design\"\n[[block]]\nname = \"a\"\nheight = 2.4\nsides = [\n\
                { from = \"A\", at = [0, 0], pitch = 35 },\n{ from = \"B\", at = [9.2, 0], verge = true },\n\
                { from = \"C\", at = [9.2, 5.6], pitch = 35 },\n{ from = \"D\", at = [0, 5.6], verge = true },\n]\n\
                [covering]\ncard = \"slate\"\n";
    let done = eavewright().args(["--json", "takeoff", "-"]).write_stdin(roof).assert().success();
    let told: Value = serde_json::from_slice(&done.get_output().stdout).unwrap();
    let lines = told["lines"].as_array().unwrap();
    let packs = lines.iter().find(|line| line["item"] == "slate").unwrap()["packs"].clone();
    let ring = json!([[[0, 0], [9.2, 0], [9.2, 5.6], [0, 5.6], [0, 0]]]);
    let properties = json!({ "pitches": [35, 90, 35, 90], "height": 2.4, "covering": "slate" });
    let found = answers(&feature(ring, properties).to_string(), "geojsonl", &["--units", "m", "--faces"]);
    assert_eq!(found[0]["packs"], packs);
    let faces = found[0]["faces"].as_array().unwrap();
    let area: f64 = faces.iter().filter(|face| face["kind"] == "roof").map(|face| face["area"].as_f64().unwrap()).sum();
    assert!(near(&found[0]["area"], area, 1e-12));
    assert_eq!(faces[0]["ring"][0], json!([0.0, 0.0, 2.4]));
}

/// Tables of a map as GDAL and Arrow write them (`tests/tools/record_outlines.py`) have the answers of the same outlines by the
/// line.
#[cfg(all(feature = "flatgeobuf", feature = "geoparquet"))]
#[test]
fn tables_have_the_answers_of_lines() {
    let folder = tempfile::tempdir().unwrap();
    let data = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/outlines");
    let run = |file: &str, arguments: &[&str]| {
        let out = folder.path().join("out.jsonl");
        eavewright().arg("batch").arg(data.join(file)).arg("--out").arg(&out).args(arguments).assert().success();
        fs::read_to_string(out).unwrap()
    };
    let by_line = run("outlines.geojsonl", &["--units", "m"]);
    assert_eq!(by_line.lines().count(), 40);
    for file in ["outlines.fgb", "outlines_snappy.parquet", "outlines_zstd.parquet", "outlines_gzip.parquet"] {
        // Metres, says the file.
        assert!(run(file, &[]) == by_line, "{file}");
    }
    let torn = folder.path().join("torn.parquet");
    let bytes = fs::read(data.join("outlines_snappy.parquet")).unwrap();
    fs::write(&torn, &bytes[..bytes.len() / 2]).unwrap();
    eavewright().arg("batch").arg(&torn).arg("--out").arg(folder.path().join("x.jsonl")).assert().code(2);
}

/// A table of answers goes back in as outlines, with the same areas; read by Arrow and shapely where they are installed.
#[cfg(feature = "geoparquet")]
#[test]
fn answers_as_a_table_are_one_of_outlines() {
    let folder = tempfile::tempdir().unwrap();
    let (input, table, again) =
        (folder.path().join("in.geojsonl"), folder.path().join("out.parquet"), folder.path().join("again.jsonl"));
    fs::write(&input, many(300)).unwrap();
    eavewright().arg("batch").arg(&input).arg("--out").arg(&table).args(["--units", "m"]).assert().success();
    eavewright().arg("batch").arg(&table).arg("--out").arg(&again).args(["--pitch", "30"]).assert().success();
    let found = lines(&again);
    assert_eq!(found.len(), 300);
    // A roof of one pitch has its plan's area over the cosine; what had no roof has no outline.
    assert_eq!(found.iter().filter(|line| line["error"]["code"] == "no-geometry").count(), 30);
    let python = std::env::var("EAVEWRIGHT_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let script = "
import sys, json, pyarrow.parquet as pq, shapely
table = pq.read_table(sys.argv[1])
geo = json.loads(table.schema.metadata[b'geo'])
assert geo['primary_column'] == 'geometry' and geo['columns']['geometry']['encoding'] == 'WKB'
assert table.num_rows == 300
count = 0
for row in table.to_pylist():
    assert row['ok'] == (row['error_code'] is None) == (row['geometry'] is not None)
    if row['ok']:
        shape = shapely.from_wkb(row['geometry'])
        assert abs(shape.area - row['plan_area']) < 1e-9 * shape.area, row
        count += 1
print(count)
";
    let has = std::process::Command::new(&python).args(["-c", "import pyarrow, shapely"]).output();
    if !has.is_ok_and(|output| output.status.success()) {
        assert!(std::env::var_os("CI").is_none(), "CI must install pyarrow: .ci/validators");
        eprintln!("SKIPPED: pyarrow and shapely are not installed (.ci/validators)");
        return;
    }
    let said = std::process::Command::new(&python).args(["-c", script]).arg(&table).output().unwrap();
    assert_eq!(String::from_utf8_lossy(&said.stdout).trim(), "270", "{}", String::from_utf8_lossy(&said.stderr));
}

/// A sequence of city model features is one by the word of cjval (MIT), each roof a closed solid.
#[test]
fn a_sequence_of_city_models_is_valid() {
    let folder = tempfile::tempdir().unwrap();
    let (input, out) = (folder.path().join("in.geojsonl"), folder.path().join("out.city.jsonl"));
    fs::write(&input, many(50)).unwrap();
    eavewright()
        .arg("batch")
        .arg(&input)
        .arg("--out")
        .arg(&out)
        .args(["--units", "m", "--height", "2.5"])
        .assert()
        .success();
    let found = lines(&out);
    assert_eq!((found.len(), &found[0]["type"]), (51, &json!("CityJSON")));
    for feature in &found[1..] {
        let object = &feature["CityObjects"][feature["id"].as_str().unwrap()];
        assert_eq!(object["attributes"]["ok"], object["geometry"][0]["type"] == "Solid");
        let mut runs = std::collections::BTreeMap::new();
        for ring in object["geometry"][0]["boundaries"][0]
            .as_array()
            .into_iter()
            .flatten()
            .flat_map(|face| face.as_array().unwrap())
        {
            let ring: Vec<u64> = ring.as_array().unwrap().iter().map(|at| at.as_u64().unwrap()).collect();
            for (at, from) in ring.iter().enumerate() {
                *runs.entry((*from, ring[(at + 1) % ring.len()])).or_insert(0) += 1;
            }
        }
        assert!(runs.iter().all(|((from, to), count)| *count == 1 && runs.get(&(*to, *from)) == Some(&1)), "{feature}");
    }
    let cjval = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/validators/bin/cjval");
    if !cjval.is_file() {
        assert!(std::env::var_os("CI").is_none(), "CI must install cjval: .ci/validators");
        eprintln!("SKIPPED: cjval is not installed (.ci/validators)");
        return;
    }
    let said =
        std::process::Command::new(cjval).arg("--summary").stdin(fs::File::open(&out).unwrap()).output().unwrap();
    let text = String::from_utf8_lossy(&said.stdout).into_owned();
    assert!(text.contains("valid:    51/51"), "{text}");
}
