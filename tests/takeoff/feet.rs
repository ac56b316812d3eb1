//! A job in feet and inches with goods in feet and inches: squares of 100 ft², pitches as rise on 12, panels on rafters at
//! 24 in. Printed sources are named beside each check.

use super::solved::near;
use eavewright::base::units::Pitch;
use eavewright::input::{self, NoFiles, card};
use eavewright::job::{self, Job, Options, order};
use eavewright::takeoff::TakeOff;
use eavewright::takeoff::card::CoveringKind;
use eavewright::wording::units::Format;

/// The international foot of 1959.
const FOOT: f64 = 0.3048;
const SQUARE: f64 = 100.0 * FOOT * FOOT;

/// A lean-to `width` along the eave, `depth` level, feet.
fn lean_to(width: f64, depth: f64, pitch: &str, more: &str) -> Job {
    let text = format!(
        "title = \"Shop\"\nunits = \"ft\"\nstage = \"design\"\n[[block]]\nname = \"shop\"\nheight = 9\nsides = [\n\
         {{ from = \"A\", length = {width}, turn = \"L\", pitch = \"{pitch}\" }},\n{{ from = \"B\", length = {depth}, turn = \"L\", verge = true }},\n\
         {{ from = \"C\", length = {width}, turn = \"L\", abutment = true }},\n{{ from = \"D\", length = {depth}, verge = true }},\n]\n\
         [covering]\ncard = \"strip-shingle-us\"\n{more}"
    );
    input::read("roof.toml", &text, &NoFiles).unwrap_or_else(|told| panic!("{told:#?}")).0
}

fn taken(job: &Job) -> (job::Answer, TakeOff) {
    let answer = job::solve(job, &Options { steps: false, spread: true }).unwrap();
    let order = order::take_off(job, &answer);
    (answer, order)
}

/// A square is 100 ft²: 80 strips of 36 in by 5 in, five bundles of 16. The exposure is half of the height less the head lap
/// (DTU 40.14 art. 4.1); metal, valleys and walls are as IRC R905.2 has them (both read).
#[test]
fn goods_in_feet_make_up_squares() {
    let us = card::named("strip-shingle-us").unwrap();
    let CoveringKind::Strip(strip) = &us.covering else { panic!("no strip") };
    near(SQUARE / (strip.width * strip.gauge), 80.0, 1e-9);
    near(f64::from(strip.pack) * 5.0, 80.0, 0.0);
    near(strip.gauge, (strip.height - strip.head_lap) / 2.0, 1e-12);
    let inch = FOOT / 12.0;
    let valley = us.valley_lining.as_ref().unwrap();
    let flashing = us.abutment_flashing.as_ref().unwrap();
    let edge = us.eave_strip.as_ref().unwrap();
    near(valley.width, 24.0 * inch, 1e-12);
    near(flashing.upstand, 4.0 * inch, 1e-12);
    near(flashing.cover, 4.0 * inch, 1e-12);
    near(edge.lap, 2.0 * inch, 1e-12);
    near(edge.piece, 10.0 * FOOT, 1e-12);
    // Two layers of underlay below 4:12, no shingles below 2:12.
    near(us.underlay.as_ref().unwrap().double_below.unwrap().tan(), 4.0 / 12.0, 1e-12);
    near(us.min_pitch[0].pitch.tan(), 2.0 / 12.0, 1e-12);
    // Nothing of it is a set that is sold: 2.0 m² packs, 7.5 m² rolls and 6 m² tubes stand for common practice alone.
    let pack = f64::from(strip.pack) * strip.width * strip.gauge;
    let underlay = us.underlay.as_ref().unwrap();
    assert!((pack - 2.0).abs() > 0.1 && (underlay.width * underlay.length - 7.5).abs() > 1.0);
}

/// Slope factors of a printed table: 1.118 at 6:12, 1.16 at 7:12, and 1.4142 at 12:12 (read; the last is the square root of 2).
#[test]
fn slope_factors_are_those_of_the_table() {
    let job = lean_to(24.0, 16.0, "6:12", "");
    let pitches = [6.0, 7.0, 12.0].map(|rise| Pitch::from_rise_over_run(rise, 12.0).unwrap());
    let rows = order::compare(&job, &[], &pitches).unwrap();
    for (row, (factor, digits)) in rows.iter().zip([(1.118, 5e-4), (1.16, 5e-3), (2.0_f64.sqrt(), 1e-9)]) {
        near(row.area.value().unwrap() / (24.0 * 16.0 * FOOT * FOOT), factor, digits);
    }
}

/// A slope of 24 ft by 16 ft: four rows of panels 4 ft high, three of 8 ft in each; every second row begins with a half one and
/// ends with the other half. Twelve panels, no joint off a rafter.
#[test]
fn panels_lie_on_rafters_at_24_inches() {
    let depth = 16.0 / 1.25_f64.sqrt();
    let (_, order) = taken(&lean_to(24.0, depth, "6:12", ""));
    let line = order.line("deck-board").unwrap();
    near(line.quantity.value().unwrap() / (FOOT * FOOT), 24.0 * 16.0, 1e-6);
    assert_eq!(line.packs, Some(12));
    for piece in order.deck_plans.iter().flat_map(|plan| &plan.pieces) {
        for u in piece.u {
            let rafters = u / (2.0 * FOOT);
            near(rafters, rafters.round(), 1e-6);
        }
    }
    // 24 ft of eave in strips of 10 ft lapped 2 in: 9 ft 10 in, twice, and 4 ft 4 in.
    assert_eq!(order.line("edge-strip-eave").unwrap().packs, Some(3));
}

/// Every pitch of a job in feet is told as rise on 12 beside its degrees, and its area in squares.
#[test]
fn pitches_are_told_on_twelve_wherever_they_are_told() {
    let job = lean_to(24.0, 16.0, "3:12", "");
    let (answer, order) = taken(&job);
    let pitches: Vec<Pitch> = [10.0, 15.0, 30.0, 61.0].map(|pitch| Pitch::from_degrees(pitch).unwrap()).to_vec();
    let rows = order::compare(&job, &[], &pitches).unwrap();
    let format = Format::of(job.units);
    let compared = eavewright::cli::compare::text(&job, &rows, format);
    let told = eavewright::cli::takeoff::text(&job, &answer, &order, true);
    for text in [&compared, &told] {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let mut pitches = 0;
        for (at, _) in text.match_indices('°') {
            let rest = &text[at + '°'.len_utf8()..];
            if rest.starts_with('F') {
                continue;
            }
            let next: String = rest.chars().take(12).collect();
            assert!(rest.starts_with(" (") && next.contains(":12)"), "{next:?} after a pitch in {text}");
            pitches += 1;
        }
        assert!(pitches > 0, "{text}");
    }
    // 24 ft by 16 ft at 3:12: 395.8 ft².
    let area: f64 = 24.0 * 16.0 * (1.0_f64 + 1.0 / 16.0).sqrt();
    let first = told.lines().next().unwrap();
    assert!(
        first.contains(&format!("{area:.1} ft²")) && first.contains(&format!("({:.1} squares)", area / 100.0)),
        "{first}"
    );
}
