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

/// The faces of a roof over 9.20 x 5.60 m by exact points; `ridge` from x to x, at the height of 35 degrees.
fn by_points(ridge: [f64; 2], faces: &[(&str, &[&str])]) -> String {
    let height = 2.4 + 2.8 * 35_f64.to_radians().tan();
    let corners = [("E1", 0.0, 0.0, 2.4), ("E2", 9.2, 0.0, 2.4), ("E3", 9.2, 5.6, 2.4), ("E4", 0.0, 5.6, 2.4)];
    let ridges = [("R1", ridge[0], 2.8, height), ("R2", ridge[1], 2.8, height)];
    let point = |(name, x, y, z): &(&str, f64, f64, f64)| format!("{name} = [{x}, {y}, {z}]\n");
    let points: String = corners.iter().chain(&ridges).map(point).collect();
    let face = |(name, points): &(&str, &[&str])| format!("[[face]]\nname = \"{name}\"\npoints = {points:?}\n");
    format!("units = \"m\"\n[points]\n{points}{}", faces.iter().map(face).collect::<String>())
}

/// The same roof walked as a block and given by points says the same at every pitch.
#[test]
fn a_roof_by_points_is_turned_face_by_face() {
    let gable: [(&str, &[&str]); 2] = [("south", &["E1", "E2", "R2", "R1"]), ("north", &["E3", "E4", "R1", "R2"])];
    let hip: [(&str, &[&str]); 4] = [
        ("south", &["E1", "E2", "R2", "R1"]),
        ("east", &["E2", "E3", "R2"]),
        ("north", &["E3", "E4", "R1", "R2"]),
        ("west", &["E4", "E1", "R1"]),
    ];
    let cases = [
        (by_points([0.0, 9.2], &gable), shed(["pitch = 35", VERGE, "pitch = 35", VERGE], "")),
        (by_points([2.8, 6.4], &hip), shed(["pitch = 35"; 4], "")),
    ];
    for (points, block) in cases {
        let turned = rows(&["-", "--pitches", "20..50/5", "--json"], &points);
        let walked = rows(&["-", "--pitches", "20..50/5", "--json"], &block);
        for (a, b) in turned.iter().zip(&walked) {
            for key in ["pitch", "area", "ridge_height", "rafter", "packs", "weight", "rain_area"] {
                near(number(a, key), number(b, key), 1e-6 * number(b, key).abs().max(1.0));
            }
            assert_eq!(a["present"], b["present"]);
        }
        assert_eq!(turned.iter().filter(|row| row["present"] == true).count(), 1);
        assert_eq!(turned[3]["present"], true);
    }
    // A measured one too, its eaves not quite level.
    let output = run(&["examples/field_shed.toml", "--pitches", "25..35/5"], "");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

/// A hip roof with a flat top, by points: the hips of a steeper roof meet before they reach it, and that is said.
#[test]
fn a_roof_by_points_whose_ridge_vanishes_says_so() {
    let height = 2.4 + 1.0;
    let text = format!(
        "units = \"m\"\n[points]\nE1 = [0, 0, 2.4]\nE2 = [6, 0, 2.4]\nE3 = [6, 5, 2.4]\nE4 = [0, 5, 2.4]\nR1 = [2.5, 2.5, {height}]\n\
         R2 = [3.5, 2.5, {height}]\n[[face]]\nname = \"south\"\npoints = [\"E1\", \"E2\", \"R2\", \"R1\"]\n\
         [[face]]\nname = \"east\"\npoints = [\"E2\", \"E3\", \"R2\"]\n[[face]]\nname = \"north\"\n\
         points = [\"E3\", \"E4\", \"R1\", \"R2\"]\n"
    );
    // The west is open: its rakes stay in their line, and nothing vanishes.
    let found = rows(&["-", "--pitches", "20..40/10", "--json"], &text);
    assert!(found.iter().all(|row| !row["area"].is_null()), "{found:#?}");
    // Four faces of unlike pitch that meet in one point: at one pitch they do not, for the plan is no square.
    let apex = "units = \"m\"\n[points]\nE1 = [0, 0, 2.4]\nE2 = [6, 0, 2.4]\nE3 = [6, 5, 2.4]\nE4 = [0, 5, 2.4]\n\
                P = [3, 2.5, 4.4]\n[[face]]\nname = \"south\"\npoints = [\"E1\", \"E2\", \"P\"]\n[[face]]\nname = \"east\"\n\
                points = [\"E2\", \"E3\", \"P\"]\n[[face]]\nname = \"north\"\npoints = [\"E3\", \"E4\", \"P\"]\n[[face]]\n\
                name = \"west\"\npoints = [\"E4\", \"E1\", \"P\"]\n";
    let found = rows(&["-", "--pitches", "30..40/10", "--json"], apex);
    for row in &found {
        assert!(row["area"].is_null());
        let message = row["notes"][0]["message"].as_str().unwrap();
        assert!(message.contains("apart at P") && message.contains("south"), "{message}");
    }
}

/// Headroom of a gable: over a width of W - 2 (h - eaves) / tan p the roof's underside is high enough.
#[test]
fn headroom_and_planning_height_follow_from_the_pitch() {
    let limits = "[compare]\nplanning_height = 4.5\nheadroom = 1.9\nfloor = 2.0\nbuild_up = 0.15\n";
    let found =
        rows(&["-", "--pitches", "30..50/5", "--json"], &shed(["pitch = 35", VERGE, "pitch = 35", VERGE], limits));
    for row in &found {
        let tangent = number(row, "pitch").to_radians().tan();
        let width = 5.6 - 2.0 * (2.0 + 1.9 + 0.15 - 2.4) / tangent;
        near(number(row, "headroom_area"), 9.2 * width.max(0.0), 1e-9);
        let is_over = 2.4 + 2.8 * tangent > 4.5;
        let notes = row["notes"].as_array().unwrap();
        assert_eq!(notes.iter().any(|note| note["code"] == "over-planning-height"), is_over, "{row}");
        // It says nothing of the covering.
        assert_eq!(row["suitable"], true);
    }
    let text = String::from_utf8(
        run(&["-", "--pitches", "30..50/5"], &shed(["pitch = 35", VERGE, "pitch = 35", VERGE], limits)).stdout,
    );
    let text = text.unwrap();
    assert!(text.contains("planning allows 4.50 m") && text.contains("room m²"), "{text}");
}

/// Where the whole roof lies high enough there is room over the floor within the walls, not under the overhangs.
#[test]
fn headroom_does_not_count_what_overhangs() {
    let text = "units = \"m\"\n[[block]]\nname = \"shed\"\nheight = 2.6\nmeasured_at = \"wall\"\noverhang = { eave = 0.3 }\nsides = [\n\
                { from = \"A\", length = 9.2, turn = \"L\", pitch = 35 },\n\
                { from = \"B\", length = 5.6, turn = \"L\", pitch = 35 },\n\
                { from = \"C\", length = 9.2, turn = \"L\", pitch = 35 },\n\
                { from = \"D\", length = 5.6, turn = \"L\", pitch = 35 },\n]\n[compare]\nheadroom = 1.9\n";
    for row in rows(&["-", "--pitches", "30..40/5", "--json"], text) {
        near(number(&row, "headroom_area"), 9.2 * 5.6, 1e-6);
        assert!(number(&row, "area") > 9.8 * 6.2, "the overhangs are covered");
    }
}

/// IRC R905.2: two layers from 2:12 to 4:12, which is 18.43 degrees: 15 "suits", and takes twice the underlay.
#[test]
fn a_pitch_that_doubles_the_underlay_says_so() {
    let found = rows(&["-", "--pitches", "15..20/5", "--json"], &shed(["pitch = 35"; 4], ""));
    assert_eq!((found[0]["underlay_layers"].as_u64(), found[1]["underlay_layers"].as_u64()), (Some(2), Some(1)));
    assert!(found[0]["suitable"] == true && found[0]["notes"][0]["code"] == "underlay-lap");
    let [doubled, single] = [&found[0], &found[1]].map(|row| number(row, "underlay_packs"));
    assert!(doubled > 1.7 * single, "{doubled} {single}");
}

/// Labour by the square metre, and a price that is whole: material, work, 10 % on top, 20 % tax.
#[test]
fn a_price_has_its_currency_and_its_labour() {
    let others = "[offer]\nleft_out = [\"nail\", \"adhesive\", \"deck-board\", \"fascia-board\", \"verge-board\", \"soffit\",\n\
                  \"edge-strip-eave\", \"edge-strip-verge\", \"gutter\", \"downpipe\", \"underlay\", \"gutter-bracket\",\n\
                  \"gutter-corner\", \"stop-end\", \"gutter-outlet\", \"pipe-bend\", \"pipe-clip\", \"deck-nail\", \"underlay-nail\",\n\
                  \"metal-nail\", \"cap-nail\"]\n";
    let prices =
        "[prices]\ncurrency = \"groats\"\nstrip-shingle = 20\nlabour-m2 = 15\nmarkup = \"10 %\"\ntax = \"20 %\"\n";
    let text = shed(["pitch = 35"; 4], &format!("{prices}{others}"));
    for row in rows(&["-", "--pitches", "30..40/5", "--json"], &text) {
        let hundredth = |sum: f64| (sum * 100.0).round() / 100.0;
        let (material, work) = (20.0 * number(&row, "packs"), hundredth(15.0 * number(&row, "area")));
        near(number(&row, "cost"), material, 1e-9);
        near(number(&row, "work"), work, 1e-9);
        let before_tax = hundredth((material + work) * 1.1);
        near(number(&row, "price"), hundredth(before_tax * 1.2), 0.011);
    }
    let told = String::from_utf8(run(&["-", "--pitches", "30..40/5"], &text).stdout).unwrap();
    for words in ["material", "work", "Sums in groats", "now 35.0°"] {
        assert!(told.contains(words), "{words}: {told}");
    }
}

/// Where there is no number a reason stands, not a dash.
#[test]
fn no_cell_is_a_dash() {
    let window = "[[opening]]\nface = \"shed/A\"\nat = [4.0, 0.5]\nsize = [0.8, 3.0]\nkind = \"roof window\"\n";
    let priced = format!("{window}[prices]\ncurrency = \"EUR\"\nstrip-shingle = 20\n");
    let told =
        String::from_utf8(run(&["-", "--pitches", "20..50/15"], &shed(["pitch = 50"; 4], &priced)).stdout).unwrap();
    assert!(told.split_whitespace().all(|word| word != "-" && word != "–"), "{told}");
    assert!(told.contains("no answer (a)") && told.contains("(a) opening") && told.contains("not whole"), "{told}");
}

#[test]
fn a_flat_pitch_does_not_suit_and_the_table_says_why() {
    let output = run(&["-", "--pitches", "10..40/10"], &shed(["pitch = 35"; 4], ""));
    assert!(output.status.success());
    let text = String::from_utf8(output.stdout).unwrap();
    let lines: Vec<&str> = text
        .lines()
        .filter(|line| line.contains('°') && line.trim_start().trim_start_matches("now ").starts_with(char::is_numeric))
        .collect();
    assert_eq!(lines.len(), 4, "{text}");
    assert!(lines[0].contains(" no (a") && lines[1].trim_end().ends_with("yes"), "{text}");
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
