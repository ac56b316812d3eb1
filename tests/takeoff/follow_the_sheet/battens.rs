//! Tiles hang where their battens lie: who nails battens by the step of work, and hangs tiles by the rows, finds a batten
//! under the nibs of every course, one under its feet at the eave, and a batten up the slope on every rafter.

use super::sheet::Sheet;
use super::{roofs, taken_off};
use serde_json::Value;

/// The card's own numbers: height of a tile, nibs below its head, width of a batten, rafters apart.
const HEIGHT: f64 = 0.430;
const NIB: f64 = 0.030;
const BATTEN: f64 = 0.050;
const RAFTERS: f64 = 0.600;

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn line<'a>(answer: &'a Value, item: &str) -> &'a Value {
    answer["lines"].as_array().unwrap().iter().find(|line| line["item"] == item).unwrap_or(&Value::Null)
}

#[test]
fn every_course_of_tiles_hangs_on_a_batten() {
    let mut courses = 0;
    for (number_of, text) in roofs::jobs() {
        let answer = taken_off(&format!("{text}\n[covering]\ncard = \"interlocking-tile\"\n")).unwrap();
        let sheet = Sheet::read(&answer);
        for face in &sheet.faces {
            let about = format!("job {number_of} {}", face.name);
            let plan =
                answer["deck"].as_array().unwrap().iter().find(|plan| plan["face"] == face.name.as_str()).unwrap();
            let lower: Vec<f64> = plan["edges"].as_array().unwrap().iter().map(number).collect();
            // One at the eave carries the feet.
            assert!(lower[0].abs() < 1e-9, "{about}: {lower:?}");
            let top = face.outline.iter().flatten().map(|place| place[1]).fold(f64::NEG_INFINITY, f64::max);
            let step = sheet
                .work
                .iter()
                .find(|step| step.kind == "deck" && step.faces.contains(&face.name))
                .unwrap_or_else(|| panic!("{about}: no step of battens"));
            let (first, gauge) = (step.number("first_batten"), step.number("gauge"));
            let mut butts: Vec<f64> = face.rows.iter().map(|row| row.butt).collect();
            butts.dedup();
            for (index, butt) in butts.iter().enumerate() {
                let nib = butt + HEIGHT - NIB;
                if nib - BATTEN > top - 1e-6 {
                    // Cut tiles under the ridge are held by its units.
                    continue;
                }
                courses += 1;
                assert!(lower.iter().any(|edge| (edge + BATTEN - nib).abs() < 1e-6), "{about}: {nib} of {lower:?}");
                let told = first + index as f64 * gauge;
                assert!((told - nib).abs() < 2e-4 * (1.0 + index as f64), "{about}: told {told}, hangs at {nib}");
            }
        }
    }
    assert!(courses > 150, "{courses}");
}

/// A gable of 8 m by 5 m at 35 degrees: 14 rafters and one more at the end a slope, each 2.5 / cos 35 long; as many verge
/// units a rake as courses.
#[test]
fn counter_battens_and_verge_units_of_a_gable_are_counted_by_hand() {
    let text = roofs::gable(8.0, 5.0, 35.0);
    let answer = taken_off(&format!("{text}\n[covering]\ncard = \"interlocking-tile\"\n")).unwrap();
    let slope = 2.5 / 35_f64.to_radians().cos();
    let rafters = (8.0 / RAFTERS).ceil() + 1.0;
    let laid = number(&line(&answer, "counter-batten")["quantity"]);
    assert!((laid - 2.0 * rafters * slope).abs() < 1e-6, "{laid}");
    // One of 4 m each: what is left of it, 0.95 m, reaches up no other.
    assert_eq!(line(&answer, "counter-batten")["packs"], 2 * rafters as u64);
    let courses: u64 = answer["layout"].as_array().unwrap().iter().map(|face| face["courses"].as_u64().unwrap()).sum();
    assert_eq!(number(&line(&answer, "verge-unit")["quantity"]), 2.0 * courses as f64);
    // (3.052 + 0.045 - 0.095) / 0.35: nine courses a slope, closed up to 333.6 mm.
    assert_eq!(courses, 18);
    let gauge = number(&answer["layout"][0]["gauge"]);
    assert!((gauge - (slope + 0.045 - 0.095) / 9.0).abs() < 1e-9, "{gauge}");
    // Steps: underlay, battens up the slope, battens across, courses, verges, ridge.
    let words: Vec<&str> =
        answer["work"].as_array().unwrap().iter().map(|step| step["step"].as_str().unwrap()).collect();
    let order = ["underlay", "counter-battens", "deck", "courses", "verge-units", "caps", "gutters"];
    let places: Vec<usize> = order.iter().map(|word| words.iter().position(|other| other == word).unwrap()).collect();
    assert!(places.windows(2).all(|pair| pair[0] < pair[1]), "{words:?}");
}
