//! The take-off against closed forms, published rules and common practice. Facts of the trade without a source are marked
//! "common practice"; the roofs are invented.
#![allow(clippy::unwrap_used, clippy::expect_used)]

#[path = "one_face/solved.rs"]
mod solved;

use eavewright::base::units::Pitch;
use eavewright::input::card;
use eavewright::outline::footprint::Role;
use eavewright::roof::opening::CutOpening;
use eavewright::roof::{EdgeKind, Roof};
use eavewright::takeoff::compare::{CompareInput, Trial, compare, pitch_for_ridge};
use eavewright::takeoff::covering::margins;
use eavewright::takeoff::goods::Exposure;
use eavewright::takeoff::model::{Covering, HipMethod, OldRoof, ValleyMethod, Waste};
use eavewright::takeoff::outline::{CoveredFace, cover};
use eavewright::takeoff::{TakeOff, TakeoffInput, rain, snow, take_off};
use eavewright::write::takeoff_json::{CompareTwin, TakeoffTwin};
use nalgebra::Point2;
use solved::{covering, eave, footprint, rectangle, solved, t_plan, taken_off, twelve_sided};

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "found {found}, expected {expected}");
}

fn quantity(answer: &TakeOff, item: &str) -> f64 {
    answer.line(item).unwrap_or_else(|| panic!("no line {item}")).quantity.unwrap()
}

fn codes(answer: &TakeOff) -> Vec<&'static str> {
    answer.notes.iter().map(|note| note.code).collect()
}

fn hip() -> Roof {
    rectangle(9.2, 5.6, eave(35.0), eave(35.0))
}

fn gable(width: f64, depth: f64, degrees: f64) -> Roof {
    rectangle(width, depth, eave(degrees), Role::Verge)
}

fn faces(roof: &Roof, covering: &Covering) -> Vec<CoveredFace> {
    let margins = margins(&covering.card);
    roof.roof_faces().filter_map(|(id, _)| cover(roof, id, &[], &covering.laying, &margins)).collect()
}

#[test]
fn every_card_of_the_tool_reads_and_covers_a_roof() {
    assert!(card::names().count() >= 4);
    for name in card::names() {
        let (card, diagnostics) = card::read(name, card::text(name).unwrap());
        assert!(diagnostics.is_empty(), "{name}: {diagnostics:?}");
        assert_eq!(card.unwrap().name, name);
        let answer = taken_off(&hip(), &covering(name));
        let line = answer
            .line(if name == "strip-shingle" {
                name
            } else {
                answer.lines.iter().find(|l| l.what.starts_with("covering")).unwrap().item.as_str()
            })
            .unwrap();
        assert!(line.packs.unwrap() > 0 && line.weight.unwrap() > 0.0, "{name}");
    }
}

#[test]
fn job_1_hip_lengths_areas_and_caps() {
    // 9.20 x 5.60 at 35 degrees: area 51.52 / cos 35; ridge 3.60; hips 4 x 4.419.
    let answer = taken_off(&hip(), &covering("strip-shingle"));
    near(answer.area, 62.894, 5e-4);
    near(quantity(&answer, "edge-strip-eave"), 29.6, 1e-9);
    near(quantity(&answer, "gutter"), 29.6, 1e-9);
    near(quantity(&answer, "deck-board"), 62.894, 5e-4);
    assert!(answer.line("edge-strip-verge").is_none());
    let ridge = answer.caps.iter().find(|run| run.kind == EdgeKind::Ridge).unwrap();
    near(ridge.length, 3.6, 1e-9);
    // ceil((3600 - 143) / 143) + 1 = 26, and one cap for each junction, counted with one of its lines.
    let hips: Vec<_> = answer.caps.iter().filter(|run| run.kind == EdgeKind::Hip).collect();
    assert_eq!(hips.len(), 4);
    let caps: u32 = answer.caps.iter().map(|run| run.caps).sum();
    // A hip of 4.419 m and its projection at the eave: ceil((4.43 - 0.143) / 0.143) + 1 = 31, doubled at the eave: 32.
    assert_eq!(caps, 26 + 4 * 32 + 2);
    assert_eq!(quantity(&answer, "ridge-hip-cap"), f64::from(caps));
}

#[test]
fn packs_are_rounded_once_over_all_uses() {
    let answer = taken_off(&hip(), &covering("strip-shingle"));
    let line = answer.line("strip-shingle").unwrap();
    let courses: usize = answer.faces.iter().map(|face| face.pieces_whole + face.pieces_cut).sum();
    let starters = quantity(&answer, "starter");
    let total = line.quantity.unwrap();
    let caps = total - courses as f64 - starters;
    // Three caps a strip (common practice), less what offcuts give.
    assert!(caps >= 0.0 && caps <= (quantity(&answer, "ridge-hip-cap") / 3.0).ceil());
    assert_eq!(f64::from(line.packs.unwrap()), (total / 14.0).ceil());
    near(line.left_over.unwrap(), f64::from(line.packs.unwrap()) * 14.0 - total, 1e-9);
    assert!(answer.line("starter").unwrap().packs.is_none());
    // A spare pack is a setting.
    let mut spare = covering("strip-shingle");
    spare.laying.spare_packs = 1;
    assert_eq!(taken_off(&hip(), &spare).line("strip-shingle").unwrap().packs.unwrap(), line.packs.unwrap() + 1);
}

#[test]
fn the_rule_of_thumb_stands_beside_the_count() {
    // Common practice, no source: 2 m2 a pack, 15 % as a whole allowance.
    let roof = hip();
    let answer = taken_off(&roof, &covering("strip-shingle"));
    let line = answer.line("strip-shingle").unwrap();
    near(line.rule_of_thumb.unwrap(), 62.894 * 1.15 / (14.0 * 0.143), 1e-3);
    let mut thumb = covering("strip-shingle");
    thumb.waste = Waste::Fraction(0.15);
    let by_thumb = taken_off(&roof, &thumb);
    assert_eq!(quantity(&by_thumb, "strip-shingle"), (answer.area * 1.15 / 0.143).ceil());
    assert_eq!(by_thumb.line("strip-shingle").unwrap().packs, Some(37));
}

#[test]
fn common_practice_figures_hold_within_bounds_on_a_plain_gable() {
    // All common practice, no source. A gable 8 x 6 m at 35 degrees: no hips, no valleys, no openings.
    let answer = taken_off(&gable(8.0, 6.0, 35.0), &covering("strip-shingle"));
    let area = answer.area;
    let line = |item: &str| answer.line(item).unwrap();
    // 2 m2 a pack and 15 % in all: the count within 5 % of it.
    let packs = line("strip-shingle").quantity.unwrap() / 14.0;
    assert!((packs / (area * 1.15 / 2.0) - 1.0).abs() < 0.05, "{packs} packs for {area} m2");
    // 50 nails a m2 counts six a strip with loss; four a strip takes fewer: between 28 (4 x 7) and 50.
    let nails = quantity(&answer, "nail") / area;
    assert!((28.0..=50.0).contains(&nails), "{nails} nails a m2");
    let mut exposed = covering("strip-shingle");
    exposed.laying.exposure = Exposure::Exposed;
    let six = quantity(&taken_off(&gable(8.0, 6.0, 35.0), &exposed), "nail") / area;
    assert!((six / 50.0 - 1.0).abs() < 0.15, "{six} nails a m2 at six a strip");
    // 6 m2 a tube: within a third.
    let tube = area / quantity(&answer, "adhesive");
    assert!((4.0..=8.0).contains(&tube), "{tube} m2 a tube");
    // 7.5 m2 a roll: laps and the turn over the ridge take their part.
    let roll = area / f64::from(line("underlay").packs.unwrap());
    assert!((5.0..=7.5).contains(&roll), "{roll} m2 a roll");
}

#[test]
fn nails_are_those_really_driven() {
    // IRC R905.2: at least 4 a strip; common practice: 2 a cap, 4 a metre of starter, 5 % loss.
    let roof = gable(8.0, 6.0, 35.0);
    let answer = taken_off(&roof, &covering("strip-shingle"));
    let whole: usize = answer.faces.iter().map(|face| face.pieces_whole).sum();
    let others: usize = answer.faces.iter().map(|face| face.pieces_cut + face.pieces_from_offcuts).sum();
    let (whole, others) = (whole as f64, others as f64);
    let fixed = quantity(&answer, "ridge-hip-cap") * 2.0 + 2.0 * 8.016 * 4.0;
    let nails = quantity(&answer, "nail");
    assert!(nails >= 1.05 * (4.0 * whole + 2.0 * others + fixed) - 1.0);
    assert!(nails <= 1.05 * (4.0 * whole + 4.0 * others + fixed) + 3.0);
}

#[test]
fn the_survey_gives_packs_low_and_high() {
    let (roof, covering) = (hip(), covering("strip-shingle"));
    let input = TakeoffInput {
        roof: &roof,
        openings: &[],
        covering: &covering,
        wind_from: None,
        north: 0.0,
        area_sd: Some(1.0),
    };
    let line = take_off(&input).line("strip-shingle").unwrap().clone();
    let relative = 1.959_964 / 62.894;
    let need = line.quantity.unwrap() / 14.0;
    let [low, high] = line.packs_range.unwrap();
    assert_eq!(f64::from(low), (need * (1.0 - relative)).ceil());
    assert_eq!(f64::from(high), (need * (1.0 + relative)).ceil());
    assert!(low <= line.packs.unwrap() && line.packs.unwrap() <= high && low < high);
    // A gutter of 29.6 m: a hair of length adds no piece where the last one has room; what it needs is counted again.
    let sure = TakeoffInput { area_sd: Some(1e-3), ..input };
    for line in take_off(&sure).lines.iter().filter(|line| line.packs.is_some()) {
        let packs = line.packs.unwrap();
        assert_eq!(line.packs_range, Some([packs, packs]), "{}", line.item);
    }
    assert!(taken_off(&roof, &covering).lines.iter().all(|line| line.packs_range.is_none()));
}

#[test]
fn job_4_lean_to_is_under_the_least_pitch_and_meets_its_wall() {
    // 6.0 x 3.0 at 12 degrees: 18.402 m2, verges 2 x 3.067, abutment 6.0.
    let roof = solved(
        &[(0.0, 0.0), (6.0, 0.0), (6.0, 3.0), (0.0, 3.0)],
        &[eave(12.0), Role::Verge, Role::Abutment, Role::Verge],
    );
    let answer = taken_off(&roof, &covering("strip-shingle"));
    near(answer.area, 18.402, 5e-4);
    near(quantity(&answer, "edge-strip-verge"), 2.0 * 3.067, 2e-3);
    near(quantity(&answer, "abutment-flashing"), 6.0, 1e-9);
    assert!(answer.line("ridge-hip-cap").is_none());
    let note = answer.notes.iter().find(|note| note.code == "pitch-below-minimum").unwrap();
    // German guidance, quoted: at least 15 degrees for rectangular tabs on rafters up to 10 m.
    assert!(note.message.contains("12.0°") && note.message.contains("15.0°") && note.message.contains("German"));
    // IRC R905.2: double underlay under 4:12 (18.4 degrees).
    assert!(answer.notes.iter().any(|note| note.code == "underlay-lap" && note.message.contains("two layers")));
    let single = taken_off(&gable(6.0, 6.0, 30.0), &covering("strip-shingle"));
    assert!(quantity(&answer, "underlay") / answer.area > 1.6);
    assert!(quantity(&single, "underlay") / single.area < 1.4);
}

#[test]
fn least_pitches_follow_tab_shape_and_rafter_length() {
    let unsuitable =
        |roof: &Roof, name: &str| codes(&taken_off(roof, &covering(name))).contains(&"pitch-below-minimum");
    // German guidance, quoted: rectangular tabs 15 degrees up to 10 m of rafter, 20 beyond; rounded or triangular 20 / 25.
    assert!(!unsuitable(&gable(6.0, 6.0, 15.0), "strip-shingle"));
    assert!(unsuitable(&gable(6.0, 6.0, 14.9), "strip-shingle"));
    assert!(unsuitable(&gable(6.0, 22.0, 19.0), "strip-shingle"));
    assert!(!unsuitable(&gable(6.0, 22.0, 20.0), "strip-shingle"));
    assert!(unsuitable(&gable(6.0, 6.0, 19.0), "single-tab"));
    assert!(!unsuitable(&gable(6.0, 6.0, 20.0), "single-tab"));
    // DTU 40.14 art. 4.1: plan rafter length at most 16.5 m.
    assert!(codes(&taken_off(&gable(6.0, 33.2, 25.0), &covering("strip-shingle"))).contains(&"run-too-long"));
    assert!(!codes(&taken_off(&gable(6.0, 32.8, 25.0), &covering("strip-shingle"))).contains(&"run-too-long"));
}

#[test]
fn other_fixing_is_asked_for_above_21_in_12_and_not_at_60_degrees() {
    // IRC R905.2: above 21:12, which is 60.26 degrees.
    let steep = |degrees: f64| {
        codes(&taken_off(&gable(4.0, 2.0, degrees), &covering("strip-shingle"))).contains(&"steep-fixing")
    };
    assert!(!steep(60.0) && steep(60.3));
}

#[test]
fn the_gauge_is_bound_by_cutout_and_lap() {
    // DTU 40.14 art. 4.1: P = (l - R) / 2.
    let mut covering = covering("strip-shingle");
    let eavewright::takeoff::card::CoveringKind::Strip(strip) = &mut covering.card.covering else { panic!() };
    (strip.height, strip.head_lap, strip.cutout) = (0.336, 0.050, 0.150);
    near(strip.largest_gauge(), 0.143, 1e-12);
    strip.gauge = 0.150;
    let answer = taken_off(&gable(5.0, 5.0, 35.0), &covering);
    assert!(answer.faces.iter().all(|face| face.gauge <= 0.143 + 1e-12));
    assert!(codes(&answer).contains(&"gauge-too-large"));
}

#[test]
fn a_gauge_closed_up_for_the_ridge_shrinks_by_5_mm_at_most_and_is_said() {
    let (mut closed, mut usual) = (0, 0);
    for step in 0..60 {
        let answer = taken_off(&gable(5.0, 4.0 + 0.02 * f64::from(step), 35.0), &covering("strip-shingle"));
        for face in &answer.faces {
            assert!((0.138 - 1e-12..=0.143 + 1e-12).contains(&face.gauge));
        }
        let said = codes(&answer).contains(&"gauge-closed-up");
        assert_eq!(said, answer.faces[0].gauge < 0.143 - 1e-12);
        closed += usize::from(said);
        usual += usize::from(!said);
    }
    assert!(closed > 5 && usual > 5, "{closed} closed up, {usual} not");
}

#[test]
fn faces_that_share_a_hip_share_their_gauge() {
    for depth in [5.0, 5.2, 5.4, 5.6, 5.8] {
        let answer = taken_off(&rectangle(9.0, depth, eave(35.0), eave(35.0)), &covering("strip-shingle"));
        assert!(answer.faces.iter().all(|face| face.gauge == answer.faces[0].gauge));
        assert!(!codes(&answer).contains(&"courses-do-not-meet"));
    }
    let unequal = taken_off(&rectangle(10.0, 6.0, eave(30.0), eave(45.0)), &covering("strip-shingle"));
    assert!(codes(&unequal).contains(&"courses-do-not-meet"));
}

#[test]
fn hips_run_over_change_the_count() {
    let mut over = covering("strip-shingle");
    over.laying.hip = HipMethod::Over;
    let usual = covering("strip-shingle");
    let area = |covering: &Covering| faces(&hip(), covering).iter().map(|face| face.region.area()).sum::<f64>();
    // Each hip's first side reaches 100 mm further along its 4.4 m.
    let more = area(&over) - area(&usual);
    assert!(more > 0.9 * 4.0 * 0.44 && more < 1.1 * 4.0 * 0.44, "{more}");
}

#[test]
fn an_open_valley_is_trimmed_75_mm_and_widens_5_mm_a_metre_on_each_side() {
    let covering = covering("strip-shingle");
    let mut seen = 0;
    for face in faces(&t_plan(), &covering) {
        for edge in face.edges.iter().filter(|edge| edge.kind == EdgeKind::Valley) {
            near(edge.length(), 3.289, 1e-3);
            let along = (edge.to - edge.from).normalize();
            let inwards = nalgebra::Vector2::new(-along.y, along.x);
            let line = edge.covered;
            // The trimmed line, square to the centre at its two ends.
            let at = |place: Point2<f64>| {
                let (a, d) = (line[0], line[1] - line[0]);
                -(place - a).perp(&d) / inwards.perp(&d)
            };
            let (top, foot) = if edge.from.y > edge.to.y { (edge.from, edge.to) } else { (edge.to, edge.from) };
            near(at(top), 0.075, 1e-9);
            near(at(foot), 0.075 + 0.005 * edge.length(), 1e-9);
            seen += 1;
        }
    }
    assert_eq!(seen, 4);
}

#[test]
fn no_joint_stands_within_300_mm_of_a_closed_valleys_centre_on_the_side_that_runs_through() {
    let mut closed = covering("strip-shingle");
    closed.laying.valley = ValleyMethod::Closed;
    let roof = t_plan();
    let answer = taken_off(&roof, &closed);
    let (mut through, mut cut, mut joints) = (0, 0, 0);
    for (face, layout) in faces(&roof, &closed).iter().zip(&answer.layouts) {
        for edge in face.edges.iter().filter(|edge| edge.kind == EdgeKind::Valley) {
            let along = (edge.to - edge.from).normalize();
            let inwards = nalgebra::Vector2::new(-along.y, along.x);
            let reach = -inwards.dot(&(edge.covered[0] - edge.from));
            if reach < 0.0 {
                near(reach, -0.050, 1e-9);
                cut += 1;
                continue;
            }
            near(reach, 0.300, 1e-9);
            through += 1;
            let [low, high] = [edge.from.y.min(edge.to.y), edge.from.y.max(edge.to.y)];
            for course in layout.courses.iter().filter(|course| course.butt_v > low && course.head_v < high) {
                let mut kept: Vec<[f64; 2]> = course
                    .pieces
                    .iter()
                    .map(|piece| {
                        let u = || piece.parts.iter().flatten().map(|place| place.x);
                        [u().fold(f64::INFINITY, f64::min), u().fold(f64::NEG_INFINITY, f64::max)]
                    })
                    .collect();
                kept.sort_by(|a, b| a[0].total_cmp(&b[0]));
                for pair in kept.windows(2).filter(|pair| (pair[0][1] - pair[1][0]).abs() < 1e-6) {
                    for v in [course.butt_v, course.head_v] {
                        let off = inwards.dot(&(Point2::new(pair[1][0], v) - edge.from));
                        assert!(off.abs() > 0.300 - 1e-6, "joint {off} m from the centre at v = {v}");
                        joints += 1;
                    }
                }
            }
        }
    }
    assert!(joints > 20, "{joints}");
    assert_eq!((through, cut), (2, 2));
}

#[test]
fn a_woven_valley_between_unlike_courses_is_advised_against() {
    let mut woven = covering("strip-shingle");
    woven.laying.valley = ValleyMethod::Woven;
    assert!(!codes(&taken_off(&t_plan(), &woven)).contains(&"valley-not-woven"));
    let corners = [(0.0, 0.0), (3.0, 0.0), (3.0, -3.0), (7.0, -3.0), (7.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)];
    let (main, wing) = (eave(40.0), eave(45.0));
    let roles = [main.clone(), wing.clone(), Role::Verge, wing, main.clone(), Role::Verge, main, Role::Verge];
    assert!(codes(&taken_off(&solved(&corners, &roles), &woven)).contains(&"valley-not-woven"));
}

#[test]
fn ridge_caps_start_at_the_end_away_from_the_wind_and_hips_at_the_eave() {
    let roof = gable(8.0, 6.0, 35.0);
    let covering = covering("strip-shingle");
    let ridge = |degrees: f64, north: f64| {
        let wind_from = Some(f64::to_radians(degrees));
        let input = TakeoffInput {
            roof: &roof,
            openings: &[],
            covering: &covering,
            wind_from,
            north: f64::to_radians(north),
            area_sd: None,
        };
        take_off(&input).caps[0].clone()
    };
    // The ridge runs along x. Wind from the east blows towards -x: the first cap lies at the west end.
    assert!(ridge(90.0, 0.0).from.x < 1.0);
    assert!(ridge(270.0, 0.0).from.x > 7.0);
    // With +y pointing east, +x points south: wind from the south.
    assert!(ridge(180.0, 90.0).from.x < 1.0);
    for run in taken_off(&hip(), &covering).caps.iter().filter(|run| run.kind == EdgeKind::Hip) {
        assert!(run.from.z < run.to.z);
    }
    // Both verges: the ridge's length takes their projections.
    near(ridge(90.0, 0.0).length, 8.016, 1e-9);
}

#[test]
fn job_6_gambrel_has_a_starter_at_each_break() {
    // 7.0 x 6.0, 60 degrees over a run of 1.0, then 30: area 60.332 m2, breaks 2 x 7.0.
    let lower = Role::Eave {
        pitch: Pitch::from_degrees(60.0).unwrap(),
        breaks: vec![(60_f64.to_radians().tan(), Pitch::from_degrees(30.0).unwrap())],
    };
    let roof = rectangle(7.0, 6.0, lower, Role::Verge);
    let answer = taken_off(&roof, &covering("strip-shingle"));
    near(answer.area, 60.332, 5e-4);
    assert_eq!(answer.layouts.len(), 4);
    for layout in &answer.layouts {
        assert!((7..=9).contains(&layout.starter.len()), "{}", layout.starter.len());
    }
    // Water from the upper slopes goes on over the lower ones: the two eaves drain all of it.
    let gutters = rain::gutters(&roof);
    assert_eq!(gutters.len(), 2);
    let shown: f64 =
        roof.roof_faces().map(|(_, f)| roof.area(f).0 * (f.plane.pitch().cos() + f.plane.pitch().sin() / 2.0)).sum();
    near(gutters.iter().map(|gutter| gutter.area).sum::<f64>(), shown, 1e-9);
}

#[test]
fn rain_reaches_the_eaves_as_the_standard_counts_it() {
    // EN 12056-3, as quoted: L 10, B 6, H 3 m: 75 m2 a slope.
    let roof = gable(10.0, 12.0, 0.5_f64.atan().to_degrees());
    for gutter in rain::gutters(&roof) {
        near(gutter.area, 75.0, 1e-9);
    }
    // A valley's water leaves at its foot, half to each eave that meets there; none is lost.
    let roof = t_plan();
    let gutters = rain::gutters(&roof);
    let factor = 40_f64.to_radians().cos() + 40_f64.to_radians().sin() / 2.0;
    near(gutters.iter().map(|gutter| gutter.area).sum::<f64>(), 93.989 * factor, 1e-2);
    near(gutters.iter().map(|gutter| gutter.length).sum::<f64>(), 22.0, 1e-9);
}

#[test]
fn snow_shape_coefficients_follow_the_codes() {
    // EN 1991-1-3 table 5.2 (as quoted), ASCE 7-16 (as quoted), NBC Canada (as read); table computed outside this program.
    let table = include_str!("data/snow_shape_coefficients.csv");
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
fn openings_are_flashed_stepped_and_saddled() {
    let roof = gable(8.0, 6.0, 35.0);
    let covering = covering("strip-shingle");
    let face = roof.roof_faces().next().unwrap().0;
    let with = |width: f64, kind: &str| {
        let (u, v, w, h) = (3.0, 1.0, width, 0.5);
        let ring = vec![Point2::new(u, v), Point2::new(u + w, v), Point2::new(u + w, v + h), Point2::new(u, v + h)];
        let openings = [CutOpening { face, ring, area: w * h, kind: kind.into() }];
        take_off(&TakeoffInput {
            roof: &roof,
            openings: &openings,
            covering: &covering,
            wind_from: None,
            north: 0.0,
            area_sd: None,
        })
    };
    let plain = taken_off(&roof, &covering);
    let chimney = with(0.9, "chimney");
    near(chimney.area, plain.area - 0.45, 1e-9);
    // Courses crossing 1.0 to 1.5 m, and one, a side.
    let gauge = chimney.faces[0].gauge;
    let crossing = ((1.508 / gauge).ceil() - (1.008 / gauge).floor()) + 1.0;
    assert_eq!(quantity(&chimney, "step-flashing"), 2.0 * crossing);
    // Wider than 760 mm across the slope: a saddle (common practice).
    assert_eq!(quantity(&chimney, "saddle"), 1.0);
    assert!(with(0.7, "chimney").line("saddle").is_none());
    assert!(with(0.9, "roof window").line("saddle").is_none());
    assert!(plain.line("step-flashing").is_none());
}

#[test]
fn job_10_porch_side_walls_end_at_the_eaves_with_kick_outs() {
    // Hipped porch on a wall, 2.4 wide, 1.5 out, 30 degrees: 4.157 m2, hips 2 x 1.833, abutments 2 x 1.386, eaves 5.4.
    let roof = solved(
        &[(0.0, 0.0), (2.4, 0.0), (2.4, 1.5), (0.0, 1.5)],
        &[eave(30.0), eave(30.0), Role::Abutment, eave(30.0)],
    );
    let answer = taken_off(&roof, &covering("strip-shingle"));
    near(answer.area, 4.157, 5e-4);
    near(quantity(&answer, "abutment-flashing"), 2.0 * 1.386, 1e-3);
    near(quantity(&answer, "edge-strip-eave"), 5.4, 1e-9);
    assert_eq!(quantity(&answer, "kick-out"), 2.0);
    // The ridge of 0.30 m meets the wall: its caps run towards it.
    let ridge = answer.caps.iter().find(|run| run.kind == EdgeKind::Ridge).unwrap();
    near(ridge.length, 0.30, 1e-9);
    assert!(ridge.to.y > ridge.from.y && ridge.why == "towards the wall");
}

#[test]
fn starters_run_up_the_verges_where_the_card_says_so() {
    let roof = gable(8.0, 6.0, 35.0);
    let mut card = covering("strip-shingle");
    let plain = quantity(&taken_off(&roof, &card), "starter");
    let eavewright::takeoff::card::CoveringKind::Strip(strip) = &mut card.card.covering else { panic!() };
    strip.verge_starter = true;
    // Four verges of 3 / cos 35 = 3.662 m and the projection at the eave: four strips each.
    assert_eq!(quantity(&taken_off(&roof, &card), "starter"), plain + 16.0);
}

#[test]
fn film_cold_deck_and_ventilation_are_advised_on() {
    let mut covering = covering("strip-shingle");
    let roof = gable(6.0, 5.0, 35.0);
    let film = |answer: &TakeOff| answer.notes.iter().find(|note| note.code == "film").unwrap().message.clone();
    assert!(film(&taken_off(&roof, &covering)).contains("stays on"));
    assert!(!codes(&taken_off(&roof, &covering)).contains(&"deck-too-thin"));
    let eavewright::takeoff::card::CoveringKind::Strip(strip) = &mut covering.card.covering else { panic!() };
    strip.peel = true;
    covering.card.deck.as_mut().unwrap().thickness = 0.015;
    covering.laying.ceiling = Some(30.0);
    let answer = taken_off(&roof, &covering);
    assert!(film(&answer).contains("peel"));
    // Common practice: deck boards or panels 18 mm or more.
    assert!(codes(&answer).contains(&"deck-too-thin"));
    // IRC R806.2: 1/150 of 30 m2 is 2000 cm2, 1/300 is 1000 cm2.
    let vents = answer.notes.iter().find(|note| note.code == "ventilation").unwrap();
    assert!(vents.message.contains("2000 cm²") && vents.message.contains("1000 cm²"));
    assert!(codes(&answer).contains(&"safety-height") && codes(&answer).contains(&"bend-warm"));
}

#[test]
fn an_old_roof_comes_off_with_its_cautions() {
    let mut covering = covering("strip-shingle");
    covering.old_roof = Some(OldRoof {
        kind: "bitumen shingles".into(),
        layers: 2,
        weight: 10.0,
        loose_thickness: 0.03,
        deck_share: 0.1,
        asbestos_possible: true,
        stays: vec!["gutters".into()],
    });
    let answer = taken_off(&hip(), &covering);
    near(answer.old_roof.as_ref().unwrap().weight, answer.area * 20.0, 1e-9);
    assert!(["asbestos-test-first", "two-layers-come-off"].iter().all(|code| codes(&answer).contains(code)));
}

#[test]
fn prices_make_costs_and_an_offer_and_no_price_makes_none() {
    let bare = taken_off(&hip(), &covering("strip-shingle"));
    assert!(bare.offer.is_none() && bare.cost().is_none());
    let mut priced = covering("strip-shingle");
    priced.prices.items = vec![("strip-shingle".into(), 20.0), ("labour-hip-m".into(), 10.0), ("gutter".into(), 4.0)];
    let answer = taken_off(&hip(), &priced);
    let packs = f64::from(answer.line("strip-shingle").unwrap().packs.unwrap());
    let gutters = f64::from(answer.line("gutter").unwrap().packs.unwrap());
    near(answer.cost().unwrap(), 20.0 * packs + 4.0 * gutters, 1e-9);
    assert!(answer.line("starter").unwrap().cost.is_none() && answer.line("nail").unwrap().cost.is_none());
    let offer = answer.offer.unwrap();
    near(offer.net, 20.0 * packs + 4.0 * gutters + 10.0 * 4.0 * 4.419, 2e-2);
    assert!(offer.unpriced.contains(&"nail".to_owned()));
}

#[test]
fn sheets_are_cut_to_length_and_lapped_where_a_slope_is_longer() {
    // 6.3 m takes 7 sheets of 1 m cover; slope 3 / cos 30 = 3.464 m and 50 mm past the eave: 3.52 m, in one row.
    let answer = taken_off(&gable(6.3, 6.0, 30.0), &covering("profiled-sheet"));
    assert_eq!(quantity(&answer, "profiled-sheet"), 14.0);
    assert_eq!(answer.line("profiled-sheet").unwrap().detail.as_deref(), Some("14 × 3.52 m"));
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
    let by_area = answer.area / (0.253 * answer.layouts[0].gauge);
    assert!(line.quantity.unwrap() > by_area && line.quantity.unwrap() < 1.25 * by_area);
    // Battens at the gauge.
    near(quantity(&answer, "deck-board"), answer.area / answer.layouts[0].gauge * 0.05, 0.1 * answer.area);
}

#[test]
fn the_json_has_the_contracts_keys_and_nulls_for_what_is_not_known() {
    let answer = taken_off(&hip(), &covering("strip-shingle"));
    let json: serde_json::Value = serde_json::to_value(TakeoffTwin::new(&answer)).unwrap();
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

#[test]
fn pitches_compare_by_their_closed_forms() {
    let covering = covering("strip-shingle");
    let pitches: Vec<Pitch> = [10.0, 20.0, 35.0, 50.0].map(|degrees| Pitch::from_degrees(degrees).unwrap()).to_vec();
    let input = CompareInput { covering: &covering, wind_from: None, north: 0.0 };
    let at = |pitch: Pitch| {
        let role = || eave(pitch.degrees());
        Ok(Trial { roof: rectangle(9.2, 5.6, role(), role()), openings: Vec::new() })
    };
    let rows = compare(&pitches, &input, at);
    for row in &rows {
        let (sin, cos) = row.pitch.radians().sin_cos();
        near(row.area.unwrap(), 51.52 / cos, 1e-9);
        near(row.ridge_height.unwrap(), 2.4 + 2.8 * sin / cos, 1e-9);
        near(row.rafter.unwrap(), 2.8 / cos, 1e-9);
        // The long eave drains (9.2 + 3.6) / 2 x 2.8 m2 of plan.
        near(row.rain_area.unwrap(), 17.92 * (1.0 + sin / cos / 2.0), 1e-9);
        assert_eq!(row.suitable, Some(row.pitch.degrees() >= 15.0));
        assert!(row.packs.unwrap() > 0 && row.cost.is_none());
    }
    near(rows[2].snow_mu1, 0.6667, 1e-4);
    let pitch = pitch_for_ridge(4.2, at).unwrap();
    near(pitch.tangent(), 1.8 / 2.8, 1e-9);
    assert!(pitch_for_ridge(2.3, at).is_none());
    let failing = compare(&pitches[..1], &input, |_| Err("the sweep found no roof".into()));
    assert!(failing[0].area.is_none() && failing[0].notes[0].message.contains("no roof"));
    let json = serde_json::to_value(CompareTwin::new(&rows)).unwrap();
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
        let drawing = eavewright::cli::compare::curves("Boat store", &rows);
        std::fs::write(path, eavewright::write::svg::svg(&drawing, eavewright::write::svg::Setting::Document)).unwrap();
        println!("{}", eavewright::cli::compare::text("Boat store", &rows));
    }
}

#[test]
fn twenty_shapes_waste_what_their_ends_cost_and_not_a_flat_allowance() {
    let shapes = twenty_shapes();
    assert_eq!(shapes.len(), 20);
    println!("shape, area m2, strips by area, courses, starter, caps, all over area, rule of thumb 15 %");
    for (name, roof) in &shapes {
        let answer = taken_off(roof, &covering("strip-shingle"));
        let by_area = answer.area / 0.143;
        let courses: usize = answer.faces.iter().map(|face| face.pieces_whole + face.pieces_cut).sum();
        let total = quantity(&answer, "strip-shingle");
        let starter = answer.line("starter").and_then(|line| line.quantity).unwrap_or(0.0);
        println!(
            "{name}, {:.1}, {by_area:.0}, {courses}, {starter}, {}, {:+.1} %, {:+.1} packs",
            answer.area,
            total - starter - courses as f64,
            (total / by_area - 1.0) * 100.0,
            answer.line("strip-shingle").unwrap().rule_of_thumb.unwrap() - total / 14.0
        );
        // Courses alone take no less than the area less what caps and aprons cover at heads; all together no less than it.
        assert!(courses as f64 >= 0.93 * by_area, "{name}");
        assert!(total >= by_area && total <= 1.75 * by_area, "{name}: {total} strips for {by_area}");
        let slivers: usize = answer.layouts.iter().map(|layout| layout.choice.slivers).sum();
        assert_eq!(slivers, 0, "{name}");
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
