//! `compare` as a script and a person see it: table, JSON, curves, sides, ridge, and what cannot be answered.

use assert_cmd::Command;
use serde_json::Value;
use std::process::Output;

fn run(arguments: &[&str], stdin: &str) -> Output {
    let mut command = Command::cargo_bin("eavewright").unwrap();
    command.current_dir(env!("CARGO_MANIFEST_DIR")).env("NO_COLOR", "1");
    command.arg("compare").args(arguments).write_stdin(stdin).output().unwrap()
}

fn rows(arguments: &[&str], stdin: &str) -> Vec<Value> {
    let output = run(arguments, stdin);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let json: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(json["format"], "eavewright-compare/1");
    json["rows"].as_array().unwrap().clone()
}

fn number(row: &Value, key: &str) -> f64 {
    row[key].as_f64().unwrap_or_else(|| panic!("{key} is {}", row[key]))
}

fn near(found: f64, expected: f64, allowed: f64) {
    assert!((found - expected).abs() <= allowed, "found {found}, expected {expected}");
}

/// 9.20 x 5.60 m, exact, eaves at 2.40 m; `more` follows the block.
fn shed(sides: [&str; 4], more: &str) -> String {
    let lengths = [9.2, 5.6, 9.2, 5.6];
    let side = |i: usize| {
        format!("{{ from = \"{}\", length = {}, turn = \"L\", {} }},\n", ["A", "B", "C", "D"][i], lengths[i], sides[i])
    };
    let sides: String = (0..4).map(side).collect();
    format!(
        "units = \"m\"\n[[block]]\nname = \"shed\"\nheight = 2.4\nmeasured_at = \"eaves\"\nsides = [\n{sides}]\n{more}"
    )
}

const VERGE: &str = "verge = true";

#[test]
fn rows_follow_their_closed_forms_from_one_end_of_the_range_to_the_other() {
    let rows = rows(&["-", "--pitches", "20..50/5", "--json"], &shed(["pitch = 35"; 4], ""));
    assert_eq!(rows.len(), 7);
    for (row, degrees) in rows.iter().zip([20.0_f64, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0]) {
        let pitch = degrees.to_radians();
        near(number(row, "pitch"), degrees, 1e-9);
        near(number(row, "area"), 51.52 / pitch.cos(), 1e-9);
        near(number(row, "ridge_height"), 2.4 + 2.8 * pitch.tan(), 1e-9);
        near(number(row, "rafter"), 2.8 / pitch.cos(), 1e-9);
        near(number(row, "snow_mu1"), if degrees <= 30.0 { 0.8 } else { 0.8 * (60.0 - degrees) / 30.0 }, 1e-9);
        // EN 12056-3: the long eave's (9.2 + 3.6) / 2 x 2.8 m2 of plan and half of what stands up.
        near(number(row, "rain_area"), 17.92 * (1.0 + pitch.tan() / 2.0), 1e-9);
        assert!(row["cost"].is_null() && row["suitable"] == true);
        // A pack is 2.002 m2: no fewer than the area's, no more than a third above it.
        let least = number(row, "area") / 2.002;
        assert!((least..1.34 * least).contains(&number(row, "packs")), "{row}");
        near(number(row, "weight"), number(row, "packs") * 14.0 * 1.35, 1e-9);
    }
    let packs: Vec<f64> = rows.iter().map(|row| number(row, "packs")).collect();
    assert!(packs.windows(2).all(|pair| pair[1] >= pair[0]), "{packs:?}");
}

#[test]
fn the_pack_of_each_row_is_the_take_offs_own() {
    let text = shed(["pitch = 40"; 4], "");
    let row = &rows(&["-", "--pitches", "40..40/5", "--json"], &text)[0];
    let mut command = Command::cargo_bin("eavewright").unwrap();
    let output = command.args(["takeoff", "-", "--json"]).write_stdin(text).output().unwrap();
    let order: Value = serde_json::from_slice(&output.stdout).unwrap();
    let line = order["lines"].as_array().unwrap().iter().find(|line| line["item"] == "strip-shingle").unwrap();
    assert_eq!(row["packs"], line["packs"]);
    assert_eq!(row["weight"], line["weight"]);
}

#[test]
fn named_sides_alone_change() {
    // Side C stays at 35 degrees: the ridge stands where x tan p = (5.6 - x) tan 35.
    let text = shed(["pitch = 35", VERGE, "pitch = 35", VERGE], "");
    for row in rows(&["-", "--pitches", "25..45/10", "--sides", "shed/A", "--json"], &text) {
        let (pitch, other) = (number(&row, "pitch").to_radians(), 35_f64.to_radians());
        let x = 5.6 * other.tan() / (pitch.tan() + other.tan());
        near(number(&row, "area"), 9.2 * (x / pitch.cos() + (5.6 - x) / other.cos()), 1e-9);
        near(number(&row, "ridge_height"), 2.4 + x * pitch.tan(), 1e-9);
    }
    let both = rows(&["-", "--pitches", "25..45/10", "--sides", "shed/A,shed/C", "--json"], &text);
    assert_eq!(both, rows(&["-", "--pitches", "25..45/10", "--json"], &text));
    let output = run(&["-", "--pitches", "25..45/10", "--sides", "shed/B", "--json"], &text);
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stdout.is_empty() && String::from_utf8_lossy(&output.stderr).contains("shed/B"));
}

#[test]
fn breaks_stay_where_they_are() {
    let side = "pitch = 60, breaks = [{ rise = 1.0, pitch = 30 }]";
    for row in rows(&["-", "--pitches", "50..70/10", "--json"], &shed([side, VERGE, side, VERGE], "")) {
        let run = 1.0 / number(&row, "pitch").to_radians().tan();
        near(number(&row, "ridge_height"), 3.4 + (2.8 - run) * 30_f64.to_radians().tan(), 1e-9);
    }
}

#[test]
fn a_ridge_height_gives_its_pitch() {
    let found = rows(&["-", "--ridge", "4.2", "--json"], &shed(["pitch = 35"; 4], ""));
    assert_eq!(found.len(), 1);
    near(number(&found[0], "pitch").to_radians().tan(), 1.8 / 2.8, 1e-9);
    near(number(&found[0], "ridge_height"), 4.2, 1e-9);
    let low = run(&["-", "--ridge", "2.3"], &shed(["pitch = 35"; 4], ""));
    assert_eq!(low.status.code(), Some(1));
    assert!(low.stdout.is_empty() && String::from_utf8_lossy(&low.stderr).contains("2.300"));
}

#[test]
fn a_pitch_without_an_answer_is_a_row_of_nulls_with_the_reason() {
    // The window needs 3.7 m of slope: at 20 degrees there are 2.98 m.
    let window = "[[opening]]\nface = \"shed/A\"\nat = [4.0, 0.5]\nsize = [0.8, 3.0]\nkind = \"roof window\"\n";
    let rows = rows(&["-", "--pitches", "20..50/15", "--json"], &shed(["pitch = 50"; 4], window));
    assert_eq!(rows.len(), 3);
    for key in ["area", "ridge_height", "rafter", "packs", "weight", "cost", "suitable", "rain_area"] {
        assert!(rows[0][key].is_null(), "{key}");
        assert!(key == "cost" || !rows[2][key].is_null(), "{key}");
    }
    near(number(&rows[0], "pitch"), 20.0, 1e-9);
    assert_eq!(rows[0]["notes"][0]["code"], "pitch-not-solved");
    assert!(!rows[0]["notes"][0]["message"].as_str().unwrap().is_empty());
}

#[test]
fn a_roof_by_points_cannot_be_turned_and_says_so() {
    for arguments in [
        vec!["examples/field_shed.toml", "--pitches", "20..50/5"],
        vec!["examples/field_shed.toml", "--pitches", "20..50/5", "--json"],
    ] {
        let output = run(&arguments, "");
        assert_eq!(output.status.code(), Some(1));
        assert!(output.stdout.is_empty());
        assert!(String::from_utf8_lossy(&output.stderr).contains("given by points"));
    }
}

#[test]
fn a_flat_pitch_does_not_suit_and_the_table_says_why() {
    let output = run(&["-", "--pitches", "10..40/10"], &shed(["pitch = 35"; 4], ""));
    assert!(output.status.success());
    let text = String::from_utf8(output.stdout).unwrap();
    let lines: Vec<&str> =
        text.lines().filter(|line| line.contains('°') && line.trim_start().starts_with(char::is_numeric)).collect();
    assert_eq!(lines.len(), 4, "{text}");
    assert!(lines[0].contains(" no ") && lines[1].contains(" yes "), "{text}");
    assert!(text.contains("at least 15.0°") && text.contains("EN 1991-1-3") && text.contains("EN 12056-3"), "{text}");
    let rows = rows(&["-", "--pitches", "10..40/10", "--json"], &shed(["pitch = 35"; 4], ""));
    assert_eq!(rows[0]["suitable"], false);
    assert_eq!(rows[0]["notes"][0]["code"], "pitch-below-minimum");
}

#[test]
fn prices_give_a_cost_by_pitch() {
    let priced = shed(["pitch = 35"; 4], "[prices]\ncurrency = \"EUR\"\nstrip-shingle = 20\n");
    for row in rows(&["-", "--pitches", "20..50/10", "--json"], &priced) {
        near(number(&row, "cost"), 20.0 * number(&row, "packs"), 1e-9);
    }
}

#[test]
fn curves_are_drawn_as_svg() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("curves.svg");
    let output = run(&["-", "--pitches", "10..60/2", "--svg", path.to_str().unwrap()], &shed(["pitch = 35"; 4], ""));
    assert!(output.status.success());
    let svg = std::fs::read_to_string(path).unwrap();
    for words in ["roof area", "ridge above datum", "longest rafter", "packs", "snow", "rain"] {
        assert!(svg.contains(words), "{words}");
    }
    assert!(svg.matches("<path").count() + svg.matches("<polyline").count() >= 12);
}

#[test]
fn ranges_that_make_no_sense_are_usage_errors() {
    for range in ["50..20/5", "20..50/0", "0..50/5", "20..95/5", "a..b/c", ""] {
        let output = run(&["examples/boat_store.toml", "--pitches", range], "");
        assert_eq!(output.status.code(), Some(2), "{range}: {}", String::from_utf8_lossy(&output.stdout));
        assert!(output.stdout.is_empty());
    }
}
