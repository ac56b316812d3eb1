//! The take-off against closed forms, published rules and common practice. Facts of the trade without a source are marked
//! "common practice"; the roofs are invented.

use super::solved;
use eavewright::base::place::Place;
use eavewright::base::units::Pitch;
use eavewright::input::card;
use eavewright::input::{self, NoFiles};
use eavewright::job::Job;
use eavewright::job::fault::Failure;
use eavewright::job::fault::{Fault, StageError};
use eavewright::outline::OutlineError;
use eavewright::outline::footprint::Role;
use eavewright::roof::Roof;
use eavewright::roof::analysis::drainage::{Drainage, drain};
use eavewright::takeoff::compare::{CompareInput, DesignLimits, Trial, compare, pitch_for_ridge};
use eavewright::takeoff::item::Unit;
use eavewright::takeoff::{TakeoffInput, rain, snow, take_off};
use eavewright::wording::units::Format;
use eavewright::write::takeoff_json::{CompareTwin, TakeoffTwin};
use solved::{
    area, codes, covering, detail, eave, footprint, message, near, quantity, rectangle, solved, t_plan, taken_off,
    twelve_sided,
};
use std::fmt::Write;

fn hip() -> Roof {
    rectangle(9.2, 5.6, eave(35.0), eave(35.0))
}

fn gable(width: f64, depth: f64, degrees: f64) -> Roof {
    rectangle(width, depth, eave(degrees), Role::Verge)
}

#[test]
fn every_card_of_the_tool_reads_and_covers_a_roof() {
    assert!(card::names().count() >= 4);
    for name in card::names() {
        let (card, diagnostics) = card::read(name, card::text(name).unwrap());
        assert!(diagnostics.is_empty(), "{name}: {diagnostics:?}");
        assert_eq!(card.unwrap().name, name);
        let answer = taken_off(&hip(), &covering(name));
        // Strips of any name have one line.
        let item = if name.starts_with("strip-shingle") { "strip-shingle" } else { name };
        let line = answer.line(item).unwrap();
        assert!(line.packs.unwrap() > 0 && line.weight.value().unwrap() > 0.0, "{name}");
    }
}

#[test]
fn the_survey_gives_packs_low_and_high() {
    let (roof, covering) = (hip(), covering("strip-shingle"));
    let input = TakeoffInput {
        roof: &roof,
        drainage: &drain(&roof),
        openings: &[],
        covering: &covering,
        wind_from: None,
        timbers: &[],
        north: 0.0,
        area_sd: Some(1.0),
    };
    let line = take_off(&input).line("strip-shingle").unwrap().clone();
    // Strips follow the area, all but: starter and caps follow its lines, and whole courses come one at a time.
    let relative = 1.959_964 / 62.894;
    let need = line.quantity.value().unwrap() / 14.0;
    let [low, high] = line.packs_range.unwrap();
    assert!((f64::from(low) - need * (1.0 - relative)).abs() < 1.5, "{low} {need}");
    assert!((f64::from(high) - need * (1.0 + relative)).abs() < 1.5, "{high} {need}");
    assert!(low <= line.packs.unwrap() && line.packs.unwrap() <= high && low < high);
    // A gutter of 29.6 m: a hair of length adds no piece where the last one has room; what it needs is counted again.
    let sure = TakeoffInput { area_sd: Some(1e-3), ..input };
    for line in take_off(&sure).lines.iter().filter(|line| line.packs.is_some()) {
        let packs = line.packs.unwrap();
        assert_eq!(line.packs_range, Some([packs, packs]), "{:?}", line.item);
    }
    assert!(taken_off(&roof, &covering).lines.iter().all(|line| line.packs_range.is_none()));
}

#[test]
fn water_from_upper_slopes_of_a_gambrel_goes_on_over_the_lower_ones() {
    let lower = Role::Eave {
        pitch: Pitch::from_degrees(60.0).unwrap(),
        breaks: vec![(60_f64.to_radians().tan(), Pitch::from_degrees(30.0).unwrap())],
    };
    let roof = rectangle(7.0, 6.0, lower, Role::Verge);
    let gutters = rain::gutters(&roof, &drain(&roof));
    assert_eq!(gutters.len(), 2);
    let shown: f64 =
        roof.roof_faces().map(|(_, f)| roof.area(f).0 * (f.plane.pitch().cos() + f.plane.pitch().sin() / 2.0)).sum();
    near(gutters.iter().map(|gutter| gutter.area).sum::<f64>(), shown, 1e-9);
}

#[test]
fn rain_reaches_the_eaves_as_the_standard_counts_it() {
    // EN 12056-3, as quoted: L 10, B 6, H 3 m: 75 m2 a slope.
    let roof = gable(10.0, 12.0, 0.5_f64.atan().to_degrees());
    for gutter in rain::gutters(&roof, &drain(&roof)) {
        near(gutter.area, 75.0, 1e-9);
    }
    // A valley's water leaves at its foot, half to each eave that meets there; none is lost.
    let roof = t_plan();
    let gutters = rain::gutters(&roof, &drain(&roof));
    let factor = 40_f64.to_radians().cos() + 40_f64.to_radians().sin() / 2.0;
    near(gutters.iter().map(|gutter| gutter.area).sum::<f64>(), 93.989 * factor, 1e-2);
    near(gutters.iter().map(|gutter| gutter.length).sum::<f64>(), 22.0, 1e-9);
}

#[test]
fn snow_shape_coefficients_follow_the_codes() {
    // EN 1991-1-3 table 5.2 (as quoted), ASCE 7-16 (as quoted), NBC Canada (as read); table computed outside this program.
    let table = include_str!("../data/snow_shape_coefficients.csv");
    let mut rows = 0;
    for line in table.lines().skip(1) {
        let cells: Vec<Option<f64>> = line.split(',').map(|cell| cell.parse().ok()).collect();
        let pitch = cells[0].unwrap().to_radians();
        near(snow::mu1(pitch, false), cells[1].unwrap(), 1e-4);
        match cells[2] {
            Some(mu2) => near(snow::mu2(pitch).unwrap(), mu2, 1e-4),
            // The table stops giving mu2 at 60 degrees.
            None => assert!(pitch.to_degrees() > 59.9),
        }
        let asce = [(1.0, false), (1.0, true), (1.1, false), (1.1, true), (1.2, false), (1.2, true)];
        for (index, (ct, slippery)) in asce.into_iter().enumerate() {
            near(snow::asce_cs(pitch, ct, slippery), cells[3 + index].unwrap(), 1e-4);
        }
        near(snow::nbc_cs(pitch, false), cells[9].unwrap(), 1e-4);
        near(snow::nbc_cs(pitch, true), cells[10].unwrap(), 1e-4);
        rows += 1;
    }
    assert_eq!(rows, 16);
    // ASCE 7-16, quoted check values.
    near(snow::asce_cs(4_f64.atan2(12.0), 1.0, true), 0.7933, 5e-5);
    near(snow::asce_cs(6_f64.atan2(12.0), 1.1, true), 0.72, 5e-3);
    near(snow::mu1(50_f64.to_radians(), true), 0.8, 1e-12);
}

#[test]
fn deck_and_ventilation_are_advised_on() {
    let mut covering = covering("strip-shingle");
    let roof = gable(6.0, 5.0, 35.0);
    assert!(!codes(&taken_off(&roof, &covering)).contains(&"deck-too-thin"));
    covering.card.deck.as_mut().unwrap().thickness = 0.015;
    covering.laying.ceiling = Some(30.0);
    let answer = taken_off(&roof, &covering);
    // Common practice: deck boards or panels 18 mm or more.
    assert!(codes(&answer).contains(&"deck-too-thin"));
    // IRC R806.2: 1/150 of 30 m2 is 2000 cm2, 1/300 is 1000 cm2.
    let vents = message(&answer, &roof, "ventilation");
    assert!(vents.contains("2000 cm²") && vents.contains("1000 cm²"));
}

#[test]
fn sheets_are_cut_to_length_and_lapped_where_a_slope_is_longer() {
    // 6.3 m takes 7 sheets of 1 m cover, but for 0.3 m of one that what is left beside the other slope's gives; slope
    // 3 / cos 30 = 3.464 m and 50 mm past the eave: 3.52 m, in one row.
    let answer = taken_off(&gable(6.3, 6.0, 30.0), &covering("profiled-sheet"));
    assert_eq!(quantity(&answer, "profiled-sheet"), 13.0);
    // 13 x 3.52 m2, beside 43.65 m2 of roof and 15 %.
    let detail = detail(&answer, "profiled-sheet");
    assert_eq!(
        detail,
        "13 × 3.52 m; 45.76 m² in all, where the area and 15 % would be 50.19 m²; 1 narrow one out of what is left beside another"
    );
    // Slope 8 / cos 30 = 9.238 m: two rows, (9.288 + 0.150) / 2 = 4.719: 4.72 m each.
    let long = taken_off(&gable(6.0, 16.0, 30.0), &covering("profiled-sheet"));
    assert_eq!(quantity(&long, "profiled-sheet"), 24.0);
    assert_eq!(long.layouts[0].courses.len(), 2);
    near(long.layouts[0].courses[0].head_v - long.layouts[0].courses[1].butt_v, 0.150, 1e-9);
}

#[test]
fn slates_keep_their_lap_and_their_half_bond() {
    let answer = taken_off(&gable(5.0, 6.0, 40.0), &covering("slate"));
    for layout in &answer.layouts {
        // 90 mm of lap from 30 degrees: (500 - 90) / 2 = 205 mm at most.
        assert!(layout.gauge <= 0.205 + 1e-12);
        let joints: Vec<f64> = layout.courses.iter().map(|course| (course.joint_u / 0.253).rem_euclid(1.0)).collect();
        for pair in joints.windows(2) {
            near((pair[1] - pair[0]).rem_euclid(1.0), 0.5, 1e-9);
        }
    }
    let line = answer.line("slate").unwrap();
    let by_area = area(&answer) / (0.253 * answer.layouts[0].gauge);
    assert!(line.quantity.value().unwrap() > by_area && line.quantity.value().unwrap() < 1.25 * by_area);
    // Metres of battens at the gauge, and the one under the eave course on each slope.
    let metres = area(&answer) / answer.layouts[0].gauge;
    near(quantity(&answer, "deck-board"), metres, 2.0 * 5.0 + 0.01 * metres);
    assert_eq!(answer.line("deck-board").unwrap().unit, Unit::Metre);
}

/// Plain tiles of 265 by 165 mm: at a lap of 65 mm a gauge of 100 mm and 60 tiles a square metre, as tables for tilers print
/// them (BS 5534's lap, from memory).
#[test]
fn plain_tiles_are_sixty_a_square_metre() {
    let roof = gable(12.0, 8.0, 45.0);
    let answer = taken_off(&roof, &covering("plain-tile"));
    for layout in &answer.layouts {
        assert!(layout.gauge <= 0.100 + 1e-12 && layout.gauge > 0.097, "{}", layout.gauge);
        let joints: Vec<f64> = layout.courses.iter().map(|course| (course.joint_u / 0.167).rem_euclid(1.0)).collect();
        for pair in joints.windows(2) {
            near((pair[1] - pair[0]).rem_euclid(1.0), 0.5, 1e-9);
        }
    }
    // Tiles at the overhanging foot and at verges, halves of the bond and short tiles at the eave are beside the field.
    let a_metre = quantity(&answer, "plain-tile") / area(&answer);
    assert!(a_metre > 60.0 && a_metre < 1.08 * 60.0, "{a_metre}");
    assert!(!codes(&answer).contains(&"pitch-below-minimum"));
    let flat = taken_off(&gable(12.0, 8.0, 30.0), &covering("plain-tile"));
    assert!(codes(&flat).contains(&"pitch-below-minimum"), "35 degrees at least");
}

#[test]
fn the_json_has_the_contracts_keys_and_nulls_for_what_is_not_known() {
    let answer = taken_off(&hip(), &covering("strip-shingle"));
    let json: serde_json::Value =
        serde_json::to_value(TakeoffTwin::new(&answer, &hip(), Format::default(), false)).unwrap();
    assert_eq!(json["format"], "eavewright-takeoff/1");
    let line = json["lines"].as_array().unwrap().iter().find(|line| line["item"] == "strip-shingle").unwrap();
    for key in [
        "item",
        "what",
        "quantity",
        "unit",
        "packs",
        "pack",
        "packs_low",
        "packs_high",
        "rule_of_thumb",
        "weight",
        "cost",
    ] {
        assert!(line.get(key).is_some(), "{key}");
    }
    assert_eq!(line["unit"], "piece");
    assert_eq!(line["pack"], "bundle of 14");
    assert!(line["cost"].is_null() && line["packs_low"].is_null());
    let units: Vec<(&str, &str)> = vec![
        ("starter", "piece"),
        ("ridge-hip-cap", "piece"),
        ("nail", "piece"),
        ("underlay", "m²"),
        ("deck-board", "m²"),
        ("edge-strip-eave", "m"),
        ("adhesive", "tube"),
    ];
    for (item, unit) in units {
        let line = json["lines"].as_array().unwrap().iter().find(|line| line["item"] == item).unwrap();
        assert_eq!(line["unit"], unit, "{item}");
    }
    let layout = &json["layout"][0];
    for key in ["face", "courses", "gauge", "pieces_whole", "pieces_cut", "pieces_from_offcuts", "waste"] {
        assert!(layout.get(key).is_some(), "{key}");
    }
    assert_eq!(layout["face"], "store/A");
}

/// A job for what is told of a comparison.
fn store() -> Job {
    let sides = "{ from = \"A\", length = 9.2, turn = \"L\", pitch = 35 }, { from = \"B\", length = 5.6, turn = \"L\", pitch = 35 }, \
                 { from = \"C\", length = 9.2, turn = \"L\", pitch = 35 }, { from = \"D\", length = 5.6, pitch = 35 }";
    let text = format!("units = \"m\"\n[[block]]\nname = \"store\"\nheight = 2.4\nsides = [{sides}]\n");
    input::read("store.toml", &text, &NoFiles).unwrap().0
}

#[test]
fn pitches_compare_by_their_closed_forms() {
    let covering = covering("strip-shingle");
    let pitches: Vec<Pitch> = [10.0, 20.0, 35.0, 50.0].map(|degrees| Pitch::from_degrees(degrees).unwrap()).to_vec();
    let order = |trial: &Trial, drainage: &Drainage| {
        take_off(&TakeoffInput {
            roof: &trial.roof,
            drainage,
            openings: &trial.openings,
            covering: &covering,
            wind_from: None,
            timbers: &[],
            north: 0.0,
            area_sd: None,
        })
    };
    let input = CompareInput { take_off: &order, limits: DesignLimits::default(), present: &[] };
    let at = |pitch: Pitch| {
        let role = || eave(pitch.degrees());
        Ok(Trial { roof: rectangle(9.2, 5.6, role(), role()), openings: Vec::new() })
    };
    let rows = compare(&pitches, &input, at);
    for row in &rows {
        let (sin, cos) = row.pitch.radians().sin_cos();
        near(row.area.value().unwrap(), 51.52 / cos, 1e-9);
        near(row.ridge_height.value().unwrap(), 2.4 + 2.8 * sin / cos, 1e-9);
        near(row.rafter.value().unwrap(), 2.8 / cos, 1e-9);
        // The long eave drains (9.2 + 3.6) / 2 x 2.8 m2 of plan.
        near(row.rain_area.value().unwrap(), 17.92 * (1.0 + sin / cos / 2.0), 1e-9);
        assert_eq!(row.suitable, Some(row.pitch.degrees() >= 15.0));
        assert!(row.packs.unwrap() > 0 && row.cost.value().is_none());
    }
    near(rows[2].snow_mu1, 0.6667, 1e-4);
    let pitch = pitch_for_ridge(4.2, at).unwrap();
    near(pitch.tangent(), 1.8 / 2.8, 1e-9);
    assert!(pitch_for_ridge(2.3, at).is_none());
    let job = store();
    let failing = compare(&pitches[..1], &input, |_| {
        let error = StageError::Outline(OutlineError::NoArea { block: "store".into(), side: "A".into() });
        Err(Failure { faults: vec![Fault { error, places: vec![Place::Job] }], findings: Vec::new() })
    });
    let told = serde_json::to_value(CompareTwin::new(&failing, &job, Format::default())).unwrap();
    assert!(failing[0].area.value().is_none());
    let note = &told["rows"][0]["notes"][0];
    assert_eq!(
        (note["code"].as_str(), note["message"].as_str()),
        (
            Some("pitch-not-solved"),
            Some("the ring of block store that starts with side A encloses no area, expected one that does")
        )
    );
    let json = serde_json::to_value(CompareTwin::new(&rows, &job, Format::default())).unwrap();
    assert_eq!(json["format"], "eavewright-compare/1");
    for key in [
        "pitch",
        "area",
        "ridge_height",
        "rafter",
        "packs",
        "weight",
        "cost",
        "suitable",
        "snow_mu1",
        "rain_area",
        "notes",
    ] {
        assert!(json["rows"][0].get(key).is_some(), "{key}");
    }
    if let Ok(path) = std::env::var("EAVEWRIGHT_CURVES") {
        let all: Vec<Pitch> = (10..=60).map(|degrees| Pitch::from_degrees(f64::from(degrees)).unwrap()).collect();
        let rows = compare(&all, &input, at);
        let drawing = eavewright::cli::compare::curves("Boat store", &rows, Format::default());
        std::fs::write(path, eavewright::write::svg::svg(&drawing, eavewright::write::svg::Setting::Document)).unwrap();
        println!("{}", eavewright::cli::compare::text(&job, &rows, Format::default()));
    }
}

/// The table of DEVELOPERS.md, worked out anew. `EAVEWRIGHT_WRITE_TABLE=1 cargo test --no-default-features --test takeoff twenty_shapes` writes it.
#[test]
fn twenty_shapes_waste_what_their_ends_cost_and_not_a_flat_allowance() {
    let shapes = twenty_shapes();
    assert_eq!(shapes.len(), 20);
    let mut table = String::from(
        "| roof | area m² | strips by area | courses | starter | caps | in all, over the area | 15 % would buy, packs of 14 |\n\
         |---|--:|--:|--:|--:|--:|--:|--:|\n",
    );
    for (name, roof) in &shapes {
        let answer = taken_off(roof, &covering("strip-shingle"));
        let by_area = area(&answer) / 0.143;
        let courses: usize = answer.faces.iter().map(|face| face.pieces_whole + face.pieces_cut).sum();
        let line = answer.line("strip-shingle").unwrap();
        let total = line.quantity.value().unwrap();
        let starter = answer.line("starter").and_then(|line| line.quantity.value()).unwrap_or(0.0);
        let caps = total - starter - courses as f64;
        let over = (total / by_area - 1.0) * 100.0;
        // Whole packs of either.
        let packs = line.rule_of_thumb.unwrap().ceil() - f64::from(line.packs.unwrap());
        let packs = match packs {
            0.0 => "as many".to_owned(),
            more if more > 0.0 => format!("{more:.0} too many"),
            less => format!("{:.0} too few", -less),
        };
        let _ = writeln!(
            table,
            "| {name} | {:.1} | {by_area:.0} | {courses} | {starter:.0} | {caps:.0} | {over:+.0} % | {packs} |",
            area(&answer)
        );
        // Courses alone take no less than the area less what caps and aprons cover at heads; all together no less than it.
        assert!(courses as f64 >= 0.93 * by_area, "{name}");
        assert!(total >= by_area && total <= 1.75 * by_area, "{name}: {total} strips for {by_area}");
        let slivers: usize = answer.layouts.iter().map(|layout| layout.choice.slivers).sum();
        assert_eq!(slivers, 0, "{name}");
    }
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/DEVELOPERS.md");
    let document = std::fs::read_to_string(path).unwrap();
    let start = document.find("| roof | area m²").expect("the table's head");
    let end = start + document[start..].find("\n\n").map_or(document.len() - start, |end| end + 1);
    if std::env::var_os("EAVEWRIGHT_WRITE_TABLE").is_some() {
        std::fs::write(path, format!("{}{table}{}", &document[..start], &document[end..])).unwrap();
    } else {
        assert!(document[start..end] == table, "DEVELOPERS.md has another table; worked out anew:\n{table}");
    }
}

fn twenty_shapes() -> Vec<(String, Roof)> {
    let mut shapes: Vec<(String, Roof)> = Vec::new();
    for (width, depth, degrees) in
        [(4.0, 3.0, 30.0), (6.0, 5.0, 35.0), (8.0, 6.0, 35.0), (9.2, 5.6, 45.0), (12.0, 8.0, 25.0)]
    {
        shapes.push((format!("gable {width} x {depth} at {degrees}"), gable(width, depth, degrees)));
        let role = || eave(degrees);
        shapes.push((format!("hip {width} x {depth} at {degrees}"), rectangle(width, depth, role(), role())));
    }
    let pyramid = |side: f64| rectangle(side, side, eave(50.0), eave(50.0));
    shapes.push(("pyramid 3 at 50".into(), pyramid(3.0)));
    shapes.push(("pyramid 4 at 50".into(), pyramid(4.0)));
    shapes.push(("T with gables at 40".into(), t_plan()));
    shapes.push(("H of hips at 35".into(), twelve_sided()));
    let square = [(0.0, 0.0), (6.0, 0.0), (6.0, 3.0), (0.0, 3.0)];
    for degrees in [15.0, 20.0] {
        let roles = [eave(degrees), Role::Verge, Role::Abutment, Role::Verge];
        shapes.push((format!("lean-to 6 x 3 at {degrees}"), solved(&square, &roles)));
    }
    let l = [(0.0, 0.0), (8.0, 0.0), (8.0, 4.0), (4.0, 4.0), (4.0, 7.0), (0.0, 7.0)];
    shapes.push(("L of hips at 30".into(), solved(&l, &vec![eave(30.0); 6])));
    let roles = [eave(30.0), Role::Verge, eave(30.0), eave(30.0), Role::Verge, eave(30.0)];
    shapes.push(("L with gables at 30".into(), solved(&l, &roles)));
    shapes.push(("unequal hip 10 x 6 at 30 and 45".into(), rectangle(10.0, 6.0, eave(30.0), eave(45.0))));
    let half = Role::HalfHip { hip_from: 2.0, pitch: Pitch::from_degrees(60.0).unwrap() };
    shapes.push(("half-hip 8 x 6 at 45".into(), rectangle(8.0, 6.0, eave(45.0), half)));
    let _ = footprint;
    shapes
}
