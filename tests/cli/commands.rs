//! The command line as a script sees it: exit status, what stands on which stream, nothing half-written.

use assert_cmd::Command;
use serde_json::Value;
use std::path::{Path, PathBuf};

const EXAMPLES: [&str; 4] = ["boat_store", "stable_l", "lean_to", "field_shed"];

fn eavewright() -> Command {
    let mut command = Command::cargo_bin("eavewright").unwrap();
    command.current_dir(env!("CARGO_MANIFEST_DIR")).env("NO_COLOR", "1");
    command
}

fn example(name: &str) -> PathBuf {
    Path::new("examples").join(name).with_extension("toml")
}

fn json(arguments: &[&str]) -> Value {
    let output = eavewright().args(arguments).output().unwrap();
    assert!(output.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is not a number"))
}

#[test]
fn the_take_off_fits_a_screen_and_details_wait_behind_a_flag() {
    for name in EXAMPLES.into_iter().chain(["apple_store"]) {
        let file = example(name);
        let said = |arguments: &[&str]| {
            let output = eavewright().arg("takeoff").arg(&file).args(arguments).output().unwrap();
            assert!(output.status.success());
            String::from_utf8(output.stdout).unwrap()
        };
        let (short, full) = (said(&[]), said(&["--full"]));
        assert!(short.lines().count() <= 40, "{name}: {} lines", short.lines().count());
        for line in short.lines().chain(full.lines()) {
            assert!(line.chars().count() <= 100, "{name}: {line}");
        }
        // What the short text says the full one says too, but for the pointer to it; what it leaves out is there.
        assert!(short.contains("--full") && !full.contains("--full"));
        assert!(full.lines().count() > short.lines().count() + 10, "{name}");
        let full = full.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(full.contains("29 CFR 1926.501") && full.contains("saved by bond") && full.contains("tools:"));
        eavewright().arg("takeoff").arg(&file).args(["--full", "--csv"]).assert().code(2);
    }
}

/// A file without an error that contradicts itself: 92 m typed for 9.2 m.
#[test]
fn check_tells_what_casts_doubt_and_the_likeliest_slip() {
    let side =
        |from: &str, length: &str| format!("{{ from = \"{from}\", length = {length}, turn = \"L\", pitch = 35 }}");
    let walk = |first: &str| {
        let sides = [side("A", first), side("B", "5.60"), side("C", "9.20"), side("D", "5.60")].join(", ");
        let tape = "[[tape]]\nfrom = \"A\"\nto = \"C\"\nlength = 10.77\n";
        format!("title = \"x\"\nunits = \"m\"\n[[block]]\nname = \"main\"\nheight = 2.4\nsides = [{sides}]\n{tape}")
    };
    let folder = tempfile::tempdir().unwrap();
    let said = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        let output = eavewright().arg("check").arg(&path).output().unwrap();
        assert!(output.status.success());
        let doubts = json(&["check", "--json", &path.display().to_string()])["doubts"].as_array().unwrap().len();
        (String::from_utf8(output.stdout).unwrap(), doubts)
    };
    let (fine, none) = said("fine.toml", &walk("9.20"));
    assert!(fine.lines().count() == 1 && none == 0, "{fine}");
    let (text, doubts) = said("misread.toml", &walk("9.60"));
    assert!(text.contains("the measurements disagree") && doubts > 0, "{text}");
    assert!(text.contains("length main/A is in doubt") && text.contains("too long"), "{text}");
    let path = folder.path().join("slip.toml");
    std::fs::write(&path, walk("92")).unwrap();
    let output = eavewright().args(["check", "--json"]).arg(&path).output().unwrap();
    assert!(!output.status.success());
    let told = String::from_utf8_lossy(&output.stderr).into_owned() + &String::from_utf8_lossy(&output.stdout);
    assert!(told.contains("walk-does-not-close") && told.contains("if side A is 9.20 m, not 92.00 m"), "{told}");
}

/// Metric quantities in a text; those in sources are quoted as they were printed.
fn metric(text: &str) -> Vec<String> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let is_number = |word: &str| word.trim_start_matches(['(', '±']).parse::<f64>().is_ok();
    let is_unit = |word: &str| {
        ["m", "mm", "cm", "m²", "m³", "kg", "°C"].contains(&word.trim_end_matches([',', ';', '.', ')', ':']))
    };
    words.windows(2).filter(|pair| is_number(pair[0]) && is_unit(pair[1])).map(|pair| pair.join(" ")).collect()
}

#[test]
fn a_job_in_feet_and_inches_speaks_them_in_every_text() {
    let file = example("lean_to");
    let text = |arguments: &[&str]| {
        let output = eavewright().args(arguments).arg(&file).output().unwrap();
        assert!(output.status.success());
        String::from_utf8(output.stdout).unwrap()
    };
    for arguments in [&["takeoff"][..], &["takeoff", "--full"], &["compare"], &["solve"]] {
        // A card's source and the printed size of a gutter are quoted.
        let told = text(arguments).split_whitespace().collect::<Vec<_>>().join(" ");
        let told =
            told.replace("(common practice: 50 cm from 15 to 20 degrees)", "").replace("100 mm half-round gutter", "");
        assert_eq!(metric(&told), Vec::<String>::new(), "{arguments:?}: {told}");
    }
    // The same numbers: 209.6 ft2 are 19.47 m2.
    let area = number(&json(&["takeoff", file.to_str().unwrap(), "--json"])["area"]);
    assert!((area / 0.3048_f64.powi(2) - 209.6).abs() < 0.05, "{area}");
    let sd = number(&json(&["takeoff", file.to_str().unwrap(), "--json"])["area_sd"]);
    let within = 1.959_964 * sd / 0.3048_f64.powi(2);
    assert!(text(&["takeoff"]).contains(&format!("209.6 ± {within:.1} ft² to cover")));
}

#[test]
fn drawings_for_other_programs_come_in_the_unit_asked_for() {
    let unit = |file: &str, arguments: &[&str]| {
        let folder = tempfile::tempdir().unwrap();
        eavewright().arg("draw").arg(example(file)).arg("--out").arg(folder.path()).args(arguments).assert().success();
        let plan = std::fs::read_to_string(folder.path().join("plan.dxf")).unwrap();
        let after = plan.split("$INSUNITS").nth(1).unwrap();
        after.split_whitespace().nth(1).unwrap().to_owned()
    };
    // $INSUNITS of the published DXF reference: 1 inches, 2 feet, 4 millimetres, 6 metres.
    assert_eq!(unit("boat_store", &[]), "6");
    assert_eq!(unit("lean_to", &[]), "1");
    assert_eq!(unit("lean_to", &["--dxf-unit", "ft"]), "2");
    assert_eq!(unit("boat_store", &["--dxf-unit", "mm"]), "4");
    eavewright().args(["draw", "examples/boat_store.toml", "--out", "x", "--dxf-unit", "ell"]).assert().code(2);
}

#[test]
fn every_example_checks_solves_draws_and_exports() {
    for name in EXAMPLES {
        let file = example(name);
        let folder = tempfile::tempdir().unwrap();
        eavewright().arg("check").arg(&file).assert().success();
        eavewright().arg("solve").arg(&file).assert().success();
        eavewright().arg("takeoff").arg(&file).assert().success();
        eavewright().arg("draw").arg(&file).arg("--out").arg(folder.path()).assert().success();
        let plan = std::fs::read_to_string(folder.path().join("plan.svg")).unwrap();
        assert!(plan.contains("</svg>"), "{name}: the plan ends early");
        for ending in ["glb", "obj", "stl"] {
            let out = folder.path().join("roof").with_extension(ending);
            eavewright().arg("export").arg(&file).arg("--out").arg(&out).assert().success();
            assert!(std::fs::metadata(&out).unwrap().len() > 200, "{name}.{ending} is too small");
        }
    }
}

/// Hip roof of 9.20 x 5.60 m at 35°: plan area over cosine; in the field the sides were read 9.20/5.60/9.21/5.59, so
/// the answer lies within the tape's own uncertainty of the closed form (area factor of slope, any trade handbook).
#[test]
fn the_boat_store_is_what_its_closed_form_says() {
    let answer = json(&["solve", "examples/boat_store.toml", "--json"]);
    assert_eq!(answer["format"], "eavewright-roof/1");
    let closed = 9.20 * 5.60 / 35_f64.to_radians().cos();
    let (area, sd) = (number(&answer["totals"]["area"]), number(&answer["totals"]["area_sd"]));
    assert!((area - closed).abs() < 3.0 * sd, "{area} ± {sd} against {closed}");
    // A pitch of 0.3° moves the area by tan p times it; the tapes add a little.
    let by_pitch = closed * 35_f64.to_radians().tan() * 0.3_f64.to_radians();
    assert!(sd > by_pitch && sd < 1.1 * by_pitch, "{sd} {by_pitch}");
    assert_eq!(answer["totals"]["by_kind"]["hip"]["count"], 4);
    assert_eq!(answer["totals"]["by_kind"]["ridge"]["count"], 1);
    assert!(number(&answer["survey"]["misclosure"]) > 0.005);
}

/// Lean-to taped at the fascia, 19' 8 1/2" x 9' 10", brought 1 1/2 in out to the drip edge at the eave and both verges
/// and not at the wall, at 4:12: plan area times the slope factor 1.054093 (square root of 1 + (4/12)²).
#[test]
fn the_lean_to_is_what_its_closed_form_says() {
    let answer = json(&["solve", "examples/lean_to.toml", "--json"]);
    let (area, sd) = (number(&answer["totals"]["area"]), number(&answer["totals"]["area_sd"]));
    let inches = |inches: f64| inches * 0.0254;
    let width = inches(19.0 * 12.0 + f64::midpoint(8.5, 8.25) + 2.0 * 1.5);
    let depth = inches(9.0 * 12.0 + f64::midpoint(10.0, 10.25) + 1.5);
    let closed = width * depth * 1.054_093;
    assert!((area - closed).abs() < 2.0 * sd, "{area} ± {sd} against {closed}");
    assert!(sd > 0.0 && sd < 0.1, "{sd}");
    assert_eq!(answer["totals"]["by_kind"]["verge"]["count"], 2);
}

#[test]
fn json_stands_alone_on_standard_output() {
    for name in EXAMPLES {
        let file = example(name);
        for command in ["check", "solve", "takeoff"] {
            let answer = json(&[command, file.to_str().unwrap(), "--json"]);
            assert!(answer["format"].as_str().unwrap().starts_with("eavewright-"), "{command} {name}");
        }
    }
}

#[test]
fn same_input_gives_the_same_bytes() {
    for arguments in [["solve", "examples/stable_l.toml", "--json"], ["takeoff", "examples/stable_l.toml", "--json"]] {
        let once = eavewright().args(arguments).output().unwrap().stdout;
        let again = eavewright().args(arguments).output().unwrap().stdout;
        assert_eq!(once, again);
    }
}

#[test]
fn standard_input_is_a_dash() {
    let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/lean_to.toml")).unwrap();
    let output = eavewright().args(["solve", "-", "--json"]).write_stdin(text).output().unwrap();
    let from_file = eavewright().args(["solve", "examples/lean_to.toml", "--json"]).output().unwrap();
    assert!(output.status.success());
    assert_eq!(output.stdout, from_file.stdout);
}

#[test]
fn errors_leave_standard_output_empty_and_nothing_written() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("roof.glb");
    let bad = "units = \"m\"\n[[block]]\nname = \"a\"\nhight = 2\n";
    for arguments in [vec!["solve", "-"], vec!["export", "-", "--out", out.to_str().unwrap()]] {
        let output = eavewright().args(&arguments).write_stdin(bad).output().unwrap();
        assert_eq!(output.status.code(), Some(1));
        assert!(output.stdout.is_empty());
        let errors = String::from_utf8(output.stderr).unwrap();
        assert!(errors.contains("<stdin>:4:1"), "{errors}");
        assert!(errors.contains("height"), "the nearest known key is not named: {errors}");
    }
    assert!(!out.exists());
}

#[test]
fn errors_are_json_lines_with_json() {
    let bad = "units = \"m\"\n[[block]]\nname = \"a\"\nhight = 2\n";
    let output = eavewright().args(["solve", "-", "--json"]).write_stdin(bad).output().unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(output.stdout.is_empty());
    let lines = String::from_utf8(output.stderr).unwrap();
    assert!(lines.lines().count() >= 2, "{lines}");
    for line in lines.lines() {
        let value: Value = serde_json::from_str(line).unwrap();
        assert!(value["at"].as_str().unwrap().starts_with("<stdin>:"), "{line}");
    }
}

#[test]
fn rows_of_a_take_off_belong_to_its_json() {
    for arguments in [["--json", "takeoff", "--rows"], ["takeoff", "--rows", "--json"]] {
        let answer = json(&[&arguments[..], &["examples/lean_to.toml"]].concat());
        assert!(!answer["layout"][0]["rows"].as_array().unwrap().is_empty());
    }
    assert!(json(&["--json", "takeoff", "examples/lean_to.toml"])["layout"][0].get("rows").is_none());
    let refused = eavewright().args(["takeoff", "--rows", "examples/lean_to.toml"]).assert().code(2);
    assert!(refused.get_output().stdout.is_empty());
}

#[test]
fn usage_and_missing_files_exit_with_two() {
    for arguments in [vec!["solve"], vec!["solve", "no-such-file.toml"], vec!["fold", "x"], vec![]] {
        let output = eavewright().args(&arguments).output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
        assert!(!output.stderr.is_empty(), "{arguments:?}");
    }
    eavewright().args(["export", "examples/lean_to.toml", "--out", "/no/such/folder/x.glb"]).assert().code(2);
    eavewright().args(["export", "examples/lean_to.toml", "--out", "roof.xyz"]).assert().code(2);
}

#[test]
fn every_new_shape_solves() {
    let shapes = eavewright().args(["new", "no-such-shape"]).output().unwrap();
    assert_eq!(shapes.status.code(), Some(2));
    for shape in ["hip", "gable", "points"] {
        let text = eavewright().args(["new", shape]).output().unwrap();
        assert!(text.status.success(), "{shape}");
        let solved = eavewright().args(["solve", "-"]).write_stdin(text.stdout).output().unwrap();
        assert!(solved.status.success(), "{shape}: {}", String::from_utf8_lossy(&solved.stderr));
    }
}

#[test]
fn keys_and_cards_are_printed_for_people_and_programs() {
    let printed = |arguments: &[&str]| {
        let output = eavewright().args(arguments).output().unwrap();
        assert!(output.status.success(), "{arguments:?}");
        String::from_utf8(output.stdout).unwrap()
    };
    let tape = printed(&["keys", "tape"]);
    assert!(tape.contains("length = 10.77") && tape.contains("what the tape said"), "{tape}");
    assert!(printed(&["keys"]).contains(&tape.lines().nth(1).unwrap().trim()[..40]));
    let tape = json(&["keys", "tape", "--json"]);
    assert_eq!(tape["format"], "eavewright-keys/1");
    assert_eq!(tape["tables"][0]["keys"][3]["default"], "steel tape");
    eavewright().args(["keys", "tapes"]).assert().code(2);
    let cards = json(&["cards", "--json"]);
    for card in cards["cards"].as_array().unwrap() {
        let name = card["name"].as_str().unwrap();
        assert!(printed(&["cards"]).contains(name));
        // What is printed is a card.
        let (read, _) = eavewright::input::card::read("mine.toml", &printed(&["cards", name]));
        assert_eq!(read.unwrap().name, name);
    }
    eavewright().args(["cards", "thatch"]).assert().code(2);
}

/// The example's photos are rendered of a known building: its edges are found, and written they change nothing else.
#[test]
fn edges_of_the_example_are_found_written_and_solved_with() {
    let folder = tempfile::tempdir().unwrap();
    for file in ["apple_store.toml", "apple_store_south_east.jpg", "apple_store_north_west.jpg"] {
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples").join(file);
        std::fs::copy(from, folder.path().join(file)).unwrap();
    }
    let file = folder.path().join("apple_store.toml");
    let name = file.to_str().unwrap();
    let before = std::fs::read_to_string(&file).unwrap();
    let answer = json(&["edges", "--json", name]);
    assert_eq!(answer["format"], "eavewright-edges/1");
    let edges = answer["edges"].as_array().unwrap();
    let counted = edges.iter().filter(|edge| edge["counts"] == true).count();
    assert!(edges.len() >= 10 && counted * 4 > edges.len() * 3, "{counted} of {}", edges.len());
    assert!(number(&answer["area_95_with"]) < number(&answer["area_95_without"]));
    assert_eq!(std::fs::read_to_string(&file).unwrap(), before);
    let output = eavewright().args(["edges", name, "--write"]).output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let after = std::fs::read_to_string(&file).unwrap();
    let kept = |text: &str| text.lines().filter(|line| !line.starts_with("edges")).collect::<Vec<_>>().join("\n");
    assert_eq!(kept(&after), kept(&before));
    let (with, without) = (json(&["solve", "--json", name]), json(&["solve", "--json", "examples/apple_store.toml"]));
    assert!(number(&with["totals"]["area_sd"]) < number(&without["totals"]["area_sd"]));
    // Measured anew, what was measured before does not count.
    assert_eq!(json(&["edges", "--json", name])["area_95_without"], answer["area_95_without"]);
}
