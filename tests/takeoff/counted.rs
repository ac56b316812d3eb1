//! Counts that cost money when they are wrong: rolls and boards used up, caps, walls, bounds, waste.

use super::laying::read::{Taken, rectangle, taken};
use super::solved::{codes, covering, eave, quantity, rectangle as roof_of, solved, t_plan, taken_off};
use eavewright::input::{self, NoFiles};
use eavewright::job::{self, Options, order};
use eavewright::outline::footprint::Role;
use eavewright::roof::EdgeKind;
use eavewright::roof::analysis::drainage::drain;
use eavewright::takeoff::model::ValleyMethod;
use eavewright::takeoff::{TakeOff, TakeoffInput, take_off};

fn packs(answer: &TakeOff, item: &str) -> u32 {
    answer.line(item).unwrap_or_else(|| panic!("no line {item}")).packs.unwrap()
}

/// A lean-to of a width and a depth along the slope.
fn lean_to(width: f64, slope: f64) -> Taken {
    let depth = slope * 30_f64.to_radians().cos();
    taken(&rectangle(width, depth, ["pitch = 30", "verge = true", "verge = true", "verge = true"], ""))
}

#[test]
fn what_is_left_of_a_roll_starts_the_next_row() {
    // 5 m by 3 m of slope: rows at 0, 0.9, 1.8 and 2.7 m, 20 m and a few laps of 0.1 m off rolls of 7.5 m: 2.7 rolls.
    assert_eq!(packs(&lean_to(5.0, 3.0).order, "underlay"), 3);
    // Never fewer than the length asks for, and no more than one beyond it, on widths of all kinds.
    for tenths in (21..160).step_by(7) {
        let width = f64::from(tenths) / 10.0;
        let answer = lean_to(width, 4.1).order;
        let laid = quantity(&answer, "underlay");
        let rolls = f64::from(packs(&answer, "underlay"));
        assert!(rolls >= (laid / 7.5).ceil() && rolls <= (laid / 7.5).ceil() + 1.0, "{width}: {rolls} for {laid} m²");
    }
}

#[test]
fn of_the_lengths_on_offer_the_one_is_ordered_that_leaves_the_least_over() {
    // 4.2 m boards end on every seventh bearer at 0.6 m; 4.0 m boards lose 0.4 m each, 12.6 m is three of 4.2.
    let answer = lean_to(12.6, 3.0).order;
    let line = answer.line("deck-board").unwrap();
    assert_eq!(line.packs, Some(25 * 3), "{line:?}");
    assert!(line.left_over.unwrap() < 0.01 * quantity(&answer, "deck-board"));
    let only = |lengths: Vec<f64>| {
        let mut card = covering("strip-shingle");
        card.card.deck.as_mut().unwrap().lengths = lengths;
        let roof = solved(
            &[(0.0, 0.0), (12.6, 0.0), (12.6, 2.598_076_2), (0.0, 2.598_076_2)],
            &[eave(30.0), Role::Verge, Role::Verge, Role::Verge],
        );
        let line = taken_off(&roof, &card).line("deck-board").unwrap().clone();
        line.left_over.unwrap()
    };
    assert!(only(vec![4.2]) < only(Vec::new()));
}

#[test]
fn panels_are_used_up_and_every_face_is_still_covered() {
    // What is bought, over what is laid: full rows of panels, ripped strips and raked ends used again.
    for (roof, most) in [
        (roof_of(10.0, 7.0, eave(30.0), Role::Verge), 1.13),
        (roof_of(11.2, 6.2, eave(35.0), eave(35.0)), 1.25),
        (t_plan(), 1.25),
    ] {
        let answer = taken_off(&roof, &covering("single-tab"));
        let laid = quantity(&answer, "deck-board");
        let bought = f64::from(packs(&answer, "deck-board")) * 1.25 * 2.5;
        assert!(bought >= laid && bought <= most * laid, "{bought} for {laid}");
        // Joints stand off those of the row below.
        for plan in &answer.deck_plans {
            let joint = |row: usize| -> Vec<f64> {
                let of_row: Vec<_> = plan.pieces.iter().filter(|piece| piece.row == row).collect();
                // A row may run on both sides of a valley: an end there is no joint.
                let meet = of_row.windows(2).filter(|pair| (pair[0].u[1] - pair[1].u[0]).abs() < 1e-9);
                meet.map(|pair| pair[0].u[1]).collect()
            };
            for row in 1..plan.rows().len() {
                for at in joint(row) {
                    assert!(joint(row - 1).iter().all(|below| (at - below).abs() > 0.29), "{row} {at}");
                }
            }
        }
    }
}

#[test]
fn a_corner_a_millimetre_low_buys_no_course() {
    let shed = |height: f64| {
        let text = format!(
            "units = \"m\"\n[points]\nE1 = [0, 0, 2.3]\nE2 = [6.4, 0, {height}]\nE3 = [6.4, 4.2, 2.3]\nE4 = [0, 4.2, 2.3]\n\
             R1 = [2.1, 2.1, 3.512]\nR2 = [4.3, 2.1, 3.512]\n\
             [[face]]\nname = \"south\"\npoints = [\"E1\", \"E2\", \"R2\", \"R1\"]\n\
             [[face]]\nname = \"east\"\npoints = [\"E2\", \"E3\", \"R2\"]\n\
             [[face]]\nname = \"north\"\npoints = [\"E3\", \"E4\", \"R1\", \"R2\"]\n\
             [[face]]\nname = \"west\"\npoints = [\"E4\", \"E1\", \"R1\"]\n"
        );
        let (job, ..) = input::read("roof.toml", &text, &NoFiles).unwrap();
        let answer = job::solve(&job, &Options { steps: false, spread: false }).unwrap();
        order::take_off(&job, &answer)
    };
    let (level, low) = (shed(2.3), shed(2.298));
    let courses = |answer: &TakeOff| -> Vec<usize> { answer.faces.iter().map(|face| face.courses).collect() };
    assert_eq!(courses(&level), courses(&low));
    assert!(packs(&low, "strip-shingle").abs_diff(packs(&level, "strip-shingle")) <= 1);
    assert!(codes(&low).contains(&"eave-laid-level") && !codes(&level).contains(&"eave-laid-level"));
}

#[test]
fn a_hip_of_no_length_takes_no_caps_and_lengths_do_not_follow_the_valley_method() {
    // A pyramid but for 8 mm: no ridge worth a cap, four hips, one junction.
    let near_pyramid = taken_off(&roof_of(4.008, 4.0, eave(50.0), eave(50.0)), &covering("strip-shingle"));
    let kinds: Vec<EdgeKind> = near_pyramid.caps.iter().map(|run| run.kind).collect();
    assert_eq!(kinds, [EdgeKind::Hip; 4]);
    assert_eq!(near_pyramid.caps.iter().map(|run| run.closing).sum::<u32>(), 1);
    let lengths = |valley: ValleyMethod| -> Vec<f64> {
        let mut card = covering("strip-shingle");
        card.laying.valley = valley;
        taken_off(&t_plan(), &card).caps.iter().map(|run| run.length).collect()
    };
    let open = lengths(ValleyMethod::Open);
    for (other, open) in
        lengths(ValleyMethod::Closed).iter().chain(&lengths(ValleyMethod::Woven)).zip(open.iter().cycle())
    {
        assert!((other - open).abs() < 1e-9, "{other} {open}");
    }
    // The wing's ridge runs past its verge alone, the main one past both: 8 mm each.
    for (found, expected) in open.iter().zip([5.008, 10.016]) {
        assert!(open.iter().any(|length| (length - expected).abs() < 1e-6), "{found} {expected} {open:?}");
    }
}

/// The take-off with a standard deviation of its area.
pub fn unsure(roof: &eavewright::roof::Roof, name: &str, area_sd: f64) -> TakeOff {
    take_off(&TakeoffInput {
        roof,
        drainage: &drain(roof),
        openings: &[],
        covering: &covering(name),
        wind_from: None,
        timbers: &[],
        north: 0.0,
        area_sd: Some(area_sd),
    })
}

#[test]
fn bounds_are_counts_of_a_smaller_and_a_larger_roof_not_a_count_that_was_stretched() {
    // A ridge of 5.8 m in slates: caps of 0.45 m, 0.40 m showing, as many whether it is a centimetre longer or shorter.
    let gable = roof_of(5.8, 4.0, eave(40.0), Role::Verge);
    let answer = unsure(&gable, "slate", 0.03);
    let caps = answer.line("ridge-hip-cap").unwrap();
    assert_eq!(caps.packs_range, Some([caps.packs.unwrap(); 2]), "{caps:?}");
    // A pack that is just full stays one pack: no line opens up for a hair of area.
    for line in unsure(&gable, "strip-shingle", 1e-4).lines.iter().filter(|line| line.packs.is_some()) {
        assert_eq!(line.packs_range, Some([line.packs.unwrap(); 2]), "{:?}", line.item);
    }
    // An area that is unsure by 10 % opens the covering's packs, each 7 % of them.
    let wide = unsure(&gable, "strip-shingle", 0.05 * 30.8);
    assert!(wide.line("strip-shingle").unwrap().packs_high().is_some());
}

#[test]
fn a_quick_answer_lays_the_roof_once() {
    // Bounds lay it twice more: only an answer that is asked how sure it is has them, not one while a pitch is dragged.
    let text = rectangle(9.2, 5.6, ["pitch = 35"; 4], "").replace("length = 9.2,", "length = 9.2, sigma = 0.05,");
    let (job, ..) = input::read("roof.toml", &text, &NoFiles).unwrap();
    let ranges = |spread: bool| {
        let answer = job::solve(&job, &Options { steps: false, spread }).unwrap();
        order::take_off(&job, &answer).lines.iter().filter(|line| line.packs_range.is_some()).count()
    };
    assert_eq!(ranges(false), 0);
    assert!(ranges(true) > 10);
}

#[test]
fn waste_is_split_into_parts_none_of_them_below_nothing() {
    for (roof, valley) in [
        (roof_of(12.0, 8.0, eave(25.0), Role::Verge), ValleyMethod::Open),
        (roof_of(8.0, 6.0, eave(35.0), Role::Verge), ValleyMethod::Open),
        (roof_of(9.2, 5.6, eave(35.0), eave(35.0)), ValleyMethod::Open),
        (t_plan(), ValleyMethod::Closed),
        (
            solved(
                &[(0.0, 0.0), (6.0, 0.0), (6.0, 3.0), (0.0, 3.0)],
                &[eave(20.0), Role::Verge, Role::Abutment, Role::Verge],
            ),
            ValleyMethod::Open,
        ),
    ] {
        let mut card = covering("strip-shingle");
        card.laying.valley = valley;
        let answer = taken_off(&roof, &card);
        let line = answer.line("strip-shingle").unwrap();
        let over = line.over_area.unwrap();
        let parts = [over.for_cuts, over.for_starter, over.for_caps, over.for_packs];
        assert!(parts.iter().all(|part| *part >= 0.0), "{over:?}");
        assert!((parts.iter().sum::<f64>() - over.total).abs() < 1e-9);
        let bought = f64::from(line.packs.unwrap()) * 14.0 * 0.143;
        let area = answer.area.value().unwrap();
        assert!((bought / area - 1.0 - over.total).abs() < 1e-6 || over.total == 0.0, "{over:?} {bought} {area}");
    }
}

#[test]
fn a_slope_that_runs_down_against_a_wall_casts_doubt() {
    // A porch whose eave stands against the house.
    let sides = ["abutment = true", "verge = true", "pitch = 30", "verge = true"];
    let right = taken(&rectangle(3.0, 2.0, sides, "")).order;
    assert!(!codes(&right).contains(&"drains-against-wall"));
    // A gable-roofed porch built against a gable with its own slope towards it.
    let text = "units = \"m\"\n[[block]]\nname = \"house\"\nheight = 3\nmeasured_at = \"eaves\"\nsides = [\n\
                { from = \"A\", at = [0, 0], pitch = 40 },\n{ from = \"B\", at = [8, 0], verge = true },\n\
                { from = \"C\", at = [8, 6], pitch = 40 },\n{ from = \"D\", at = [0, 6], verge = true },\n]\n\
                [[block]]\nname = \"porch\"\nheight = 2.2\nmeasured_at = \"eaves\"\nsides = [\n\
                { from = \"A\", at = [8, 2], verge = true },\n{ from = \"B\", at = [10, 2], pitch = 30 },\n\
                { from = \"C\", at = [10, 4], verge = true },\n{ from = \"D\", at = [8, 4], pitch = 30 },\n]\n";
    let wrong = taken(text).order;
    assert!(codes(&wrong).contains(&"drains-against-wall"), "{:?}", codes(&wrong));
}

#[test]
fn high_edges_take_metal_boards_and_soffit() {
    let answer = lean_to(6.0, 3.0).order;
    for item in ["edge-strip-top", "top-board"] {
        assert!((quantity(&answer, item) - 6.0).abs() < 1e-9, "{item}");
    }
    // 6 m of eave, 6 m of high edge, two rakes of 3 m.
    assert!((quantity(&answer, "soffit") - 18.0).abs() < 1e-6);
}

#[test]
fn gutters_lead_round_corners() {
    let counts = |roof: &eavewright::roof::Roof| {
        let answer = taken_off(roof, &covering("strip-shingle"));
        let count = |item: &str| answer.line(item).map_or(0.0, |line| line.quantity.value().unwrap());
        ["gutter-outlet", "gutter-corner", "stop-end", "pipe-bend"].map(count)
    };
    // An octagon of 1.2 m sides: one gutter all round, 7 m2 of plan, one outlet.
    let side = 1.2;
    let corners: Vec<(f64, f64)> = (0..8)
        .scan((0.0, 0.0), |at, turn| {
            let here = *at;
            let angle = f64::from(turn) * std::f64::consts::FRAC_PI_4;
            *at = (here.0 + side * angle.cos(), here.1 + side * angle.sin());
            Some(here)
        })
        .collect();
    assert_eq!(counts(&solved(&corners, &vec![eave(30.0); 8])), [1.0, 8.0, 0.0, 2.0]);
    // A gable: two gutters, two ends each; a hip: one with four corners.
    assert_eq!(counts(&roof_of(6.0, 4.0, eave(30.0), Role::Verge)), [2.0, 0.0, 4.0, 4.0]);
    assert_eq!(counts(&roof_of(6.0, 4.0, eave(30.0), eave(30.0))), [1.0, 4.0, 0.0, 2.0]);
}

#[test]
fn what_holds_deck_underlay_metal_and_caps_is_on_the_order() {
    let answer = taken_off(&roof_of(6.0, 4.0, eave(30.0), Role::Verge), &covering("strip-shingle"));
    // Boards of 120 mm on bearers 0.6 m apart: eleven bearers, two nails at each, 20 rows a slope, and two more where boards
    // meet; 5 % more for loss.
    let rows = 2.0 * (2.0_f64 / 30_f64.to_radians().cos() / 0.12).ceil();
    let joints: f64 = answer.deck_plans.iter().map(|plan| plan.pieces.len() as f64).sum::<f64>() - rows;
    assert!((quantity(&answer, "deck-nail") - ((rows * 11.0 + joints) * 2.0 * 1.05).ceil()).abs() < 1.5);
    let caps = quantity(&answer, "ridge-hip-cap");
    assert!((quantity(&answer, "cap-nail") - (caps * 2.0 * 1.05).ceil()).abs() < 0.5);
    // Metal: 12 m of eaves and 4 rakes of 2.309 m, one nail every 300 mm.
    let metal = 12.0 + 4.0 * 2.0 / 30_f64.to_radians().cos();
    assert!((quantity(&answer, "metal-nail") - (metal / 0.3 * 1.05).ceil()).abs() < 0.5);
    assert!(quantity(&answer, "underlay-nail") > 60.0);
    // The field's nails are those of strips and starter alone.
    assert!(answer.line("nail").is_some());
    // None without what they hold.
    let mut bare = covering("strip-shingle");
    bare.scope.leave_out = ["edge-strip-eave", "edge-strip-verge", "underlay"].map(str::to_owned).to_vec();
    let bare = taken_off(&roof_of(6.0, 4.0, eave(30.0), Role::Verge), &bare);
    assert!(bare.line("metal-nail").is_none() && bare.line("underlay-nail").is_none());
}

#[test]
fn every_line_has_a_weight_and_trips_follow_the_vans_payload() {
    for name in ["strip-shingle", "single-tab", "slate", "profiled-sheet"] {
        let mut card = covering(name);
        card.laying.ceiling = Some(40.0);
        card.laying.van_payload = Some(500.0);
        for roof in [roof_of(9.2, 5.6, eave(35.0), eave(35.0)), t_plan()] {
            let answer = taken_off(&roof, &card);
            for line in answer.lines.iter().filter(|line| !line.comes_from_another()) {
                assert!(line.weight.value().is_some_and(|weight| weight > 0.0), "{name} {:?}", line.item);
            }
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
            let trips = Some((answer.weight().value().unwrap() / 500.0).ceil() as u32);
            assert_eq!(answer.van_trips(), trips);
        }
    }
    assert_eq!(taken_off(&t_plan(), &covering("slate")).van_trips(), None);
}

#[test]
fn vents_let_in_no_less_than_they_let_out() {
    let mut card = covering("strip-shingle");
    card.laying.ceiling = Some(48.0);
    let answer = taken_off(&roof_of(9.2, 5.6, eave(35.0), Role::Verge), &card);
    // IRC R806.2: 1/300 of 48 m2 where half of it or more is high up: 0.16 m2, half of it 0.08 m2 on either side.
    let (low, high) = (quantity(&answer, "eave-vent") * 0.012, quantity(&answer, "high-vent") * 0.020);
    assert!((quantity(&answer, "high-vent") - 4.0).abs() < 1e-9);
    assert!(high >= 0.08 - 1e-12 && low >= high && low < high + 0.012);
}

#[test]
fn tools_go_with_what_is_cut() {
    use eavewright::takeoff::answer::Tool;
    let tools = |name: &str| taken_off(&t_plan(), &covering(name)).tools;
    assert!(tools("slate").contains(&Tool::SlateCutter) && !tools("slate").contains(&Tool::TileSaw));
    assert!(tools("single-tab").contains(&Tool::Knife) && !tools("single-tab").contains(&Tool::SlateCutter));
    assert!(!tools("profiled-sheet").contains(&Tool::Knife) && tools("profiled-sheet").contains(&Tool::Shears));
    assert!(tools("strip-shingle").contains(&Tool::WoodSaw));
    let mut bare = covering("strip-shingle");
    (bare.card.deck, bare.card.rain_goods) = (None, None);
    assert!(!taken_off(&t_plan(), &bare).tools.contains(&Tool::WoodSaw));
}
