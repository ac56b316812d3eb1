//! Closed forms, fixings, packs, underlay, metal, breaks, walls, film, re-roofing.

use super::one_face::{covered, rectangle, strip};
use super::read::{self, taken};
use super::rules_01_to_12::PHASE_0;
use super::solved::{covering, eave, rectangle as roof_of, solved, t_plan, taken_off};
use super::{area, codes, faces, message, near, placed, quantity};
use eavewright::base::finding::Finding as _;
use eavewright::base::units::Pitch;
use eavewright::outline::footprint::Role;
use eavewright::roof::{EdgeKind, Roof};
use eavewright::takeoff::goods::{Exposure, Underlay};
use eavewright::takeoff::lay::{lay, lay_with};
use eavewright::takeoff::model::{Covering, OldRoof, Stay, WeightFrom};
use eavewright::takeoff::{Finding, TakeOff, runs, underlay};

fn gable(width: f64, depth: f64, degrees: f64) -> Roof {
    roof_of(width, depth, eave(degrees), Role::Verge)
}

fn lean_to(width: f64, depth: f64, degrees: f64) -> Roof {
    let corners = [(0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth)];
    solved(&corners, &[eave(degrees), Role::Verge, Role::Abutment, Role::Verge])
}

#[test]
fn rule_22_a_rectangle_of_5_by_3_m_takes_126_placed_pieces_and_its_sliver_is_avoided() {
    let face = covered(&rectangle(5.0, 3.0, 30.0), &[]);
    let layout = lay_with(&face, &strip(), &PHASE_0);
    assert_eq!(layout.courses.len(), 21);
    assert!(layout.courses.iter().all(|course| course.pieces.len() == 6));
    assert_eq!(placed(&layout), 126);
    let [left, right] = face.region.span_u().unwrap();
    near(right - left, 5.016, 1e-12);
    // Phase 0 ends in 16 mm: rule 8 fires.
    assert!(layout.choice.slivers > 0);
    let best = lay(&face, &strip());
    assert_eq!((best.choice.slivers, placed(&best)), (0, 126));
    // No fewer than the area bound of 106 strips (less what the caps hide).
    assert!(best.new_pieces() >= 105, "{}", best.new_pieces());
}

#[test]
fn rule_23_nails_are_those_really_driven_and_5_percent() {
    // IRC R905.2: at least 4 a strip; common practice: 6 where exposed, at least 2 in a cut piece, 2 a cap, 4 a metre of starter.
    let roof = gable(8.0, 6.0, 35.0);
    for (exposure, each) in [(Exposure::Normal, 4.0), (Exposure::Exposed, 6.0)] {
        let mut card = covering("strip-shingle");
        card.laying.exposure = exposure;
        let answer = taken_off(&roof, &card);
        let mut driven = 0.0;
        for piece in answer.layouts.iter().flat_map(|layout| &layout.courses).flat_map(|course| &course.pieces) {
            let [left, right] = super::extent(piece);
            let full = right - left > 1.0 - 1e-6 && !piece.cut;
            driven += if full { each } else { (each * (right - left) - 1e-9).ceil().max(2.0) };
        }
        // Each eave of 8.016 m is one row of starter.
        let starter = (2.0 * 8.016 * 4.0_f64).ceil();
        near(quantity(&answer, "nail"), ((driven + starter) * 1.05).ceil(), 2.0);
        // Caps are held through more layers, by longer nails on a line of their own.
        near(quantity(&answer, "cap-nail"), (2.0 * quantity(&answer, "ridge-hip-cap") * 1.05).ceil(), 2.0);
    }
}

#[test]
fn rule_23_other_fixing_is_asked_for_above_21_in_12_and_not_at_60_degrees() {
    // IRC R905.2: above 21:12, which is 60.26 degrees.
    let steep = |degrees: f64| {
        codes(&taken_off(&gable(4.0, 2.0, degrees), &covering("strip-shingle"))).contains(&"steep-fixing")
    };
    assert!(!steep(60.0) && steep(60.3));
    near(21_f64.atan2(12.0).to_degrees(), 60.26, 5e-3);
}

#[test]
fn rule_24_packs_are_rounded_once_over_all_faces_and_uses() {
    let roof = roof_of(9.2, 5.6, eave(35.0), eave(35.0));
    let answer = taken_off(&roof, &covering("strip-shingle"));
    let line = answer.line("strip-shingle").unwrap();
    let courses: usize = answer.faces.iter().map(|face| face.pieces_whole + face.pieces_cut).sum();
    let total = line.quantity.value().unwrap();
    let caps = total - courses as f64 - quantity(&answer, "starter");
    // Three caps a strip (common practice), less what offcuts give.
    assert!(caps >= 0.0 && caps <= (quantity(&answer, "ridge-hip-cap") / 3.0).ceil());
    assert_eq!(f64::from(line.packs.unwrap()), (total / 14.0).ceil());
    near(line.left_over.unwrap(), f64::from(line.packs.unwrap()) * 14.0 - total, 1e-9);
    assert!(answer.line("starter").unwrap().packs.is_none());
    let sides = ["pitch = 35", "verge = true", "pitch = 35", "verge = true"];
    assert!(
        read::sheet(&taken(&read::rectangle(8.0, 6.0, sides, ""))).contains("One batch for the whole roof, caps too")
    );
    // A spare pack is a setting.
    let mut spare = covering("strip-shingle");
    spare.laying.spare_packs = 1;
    assert_eq!(taken_off(&roof, &spare).line("strip-shingle").unwrap().packs.unwrap(), line.packs.unwrap() + 1);
}

fn underlay_of(roof: &Roof, card: &Covering, wall_inside: Option<f64>) -> underlay::UnderlayCount {
    underlay::count(roof, &faces(roof, card), &[], card.card.underlay.as_ref().unwrap(), wall_inside)
}

#[test]
fn rule_25_rows_of_underlay_reach_over_the_ridge_on_one_side() {
    // 1 + ceil((S + 150 - W) / (W - l)) on one side, S on the other; S = 3.66 m: 5 and 4.
    let card = covering("strip-shingle");
    let roof = gable(6.0, 6.0, 35.0);
    let slope = 3.0 / 35_f64.to_radians().cos();
    let over = 1.0 + ((slope + 0.15 - 1.0) / 0.9_f64).ceil();
    let plain = 1.0 + ((slope - 1.0) / 0.9_f64).ceil();
    assert_eq!((over, plain), (5.0, 4.0));
    let counted = underlay_of(&roof, &card, None);
    for (face, expected) in faces(&roof, &card).iter().zip([5, 4]) {
        let rows = counted.rows.iter().filter(|row| row.face == Some(face.id));
        assert_eq!(rows.clone().count(), expected);
        assert!(rows.clone().all(|row| (row.u[1] - row.u[0] - 6.0).abs() < 1e-9));
    }
    near(counted.area, 9.0 * 6.0 + counted.rows.iter().map(|row| row.ends.len()).sum::<usize>() as f64 * 0.1, 1e-9);
}

#[test]
fn rule_25_two_layers_under_4_in_12_begin_with_half_a_width() {
    // IRC R905.2: double underlay from 2:12 to 4:12; 19 of 36 in lapped.
    let roof = lean_to(6.0, 3.0, 16.0);
    let card = covering("strip-shingle");
    let counted = underlay_of(&roof, &card, None);
    near(counted.rows[0].share, 19.0 / 36.0, 1e-12);
    near(counted.rows[0].v, counted.rows[1].v, 1e-12);
    let full: Vec<_> = counted.rows.iter().filter(|row| row.share == 1.0).collect();
    for pair in full.windows(2) {
        near(pair[1].v - pair[0].v, 1.0 - 19.0 / 36.0, 1e-9);
    }
    // Every height under the wall lies under two.
    for step in 1..300 {
        let v = 0.01 * f64::from(step);
        let layers = counted.rows.iter().filter(|row| row.v <= v && v < row.v + row.share).count();
        assert!(layers >= 2 || v > full.last().unwrap().v, "{layers} at {v}");
    }
    // 100 mm up the wall.
    let slope = 3.0 / 16_f64.to_radians().cos();
    let last = full.last().unwrap();
    assert!(last.v + 1.0 >= slope + 0.1 - 1e-9);
    assert!(codes(&taken_off(&roof, &card)).contains(&"underlay-lap"));
}

#[test]
fn rule_25_roll_ends_lap_100_mm_and_stand_6_ft_from_those_of_the_row_below() {
    // IRC R905.1.1, from memory: end laps 4 in, offset by 6 ft.
    let card = covering("strip-shingle");
    let mut ends = 0;
    for width in [8.0, 9.3, 11.0, 14.6, 15.1, 20.0, 23.0] {
        let roof = gable(width, 7.0, 35.0);
        let counted = underlay_of(&roof, &card, None);
        for face in faces(&roof, &card) {
            let rows: Vec<_> = counted.rows.iter().filter(|row| row.face == Some(face.id)).collect();
            for pair in rows.windows(2) {
                for end in &pair[1].ends {
                    ends += 1;
                    let nearest = pair[0].ends.iter().map(|other| (end - other).abs()).fold(f64::INFINITY, f64::min);
                    assert!(nearest >= 1.829 - 1e-6, "{width}: {nearest}");
                }
            }
        }
        // Rolls hold what is laid, and the laps are in it.
        let runs: f64 = counted.rows.iter().map(|row| (row.u[1] - row.u[0]) * row.share).sum();
        let laps: f64 = counted.rows.iter().map(|row| row.ends.len() as f64 * 0.1 * row.share).sum();
        near(counted.length, runs + laps, 1e-9);
        assert!(f64::from(counted.rolls) * 7.5 >= counted.length);
        assert!(f64::from(counted.rolls) * 7.5 <= 1.15 * counted.length + 7.5, "{width}");
    }
    assert!(ends > 40, "{ends}");
}

#[test]
fn rule_25_a_full_width_goes_down_each_valley_first() {
    let counted = underlay_of(&t_plan(), &covering("strip-shingle"), None);
    let strips: Vec<_> = counted.rows.iter().take_while(|row| row.face.is_none()).collect();
    assert_eq!(strips.len(), 2);
    assert!(strips.iter().all(|row| (row.u[1] - 3.289).abs() < 1e-3 && row.share == 1.0));
    assert!(counted.rows.iter().skip(2).all(|row| row.face.is_some()));
}

#[test]
fn rule_25_the_ice_barrier_reaches_600_mm_inside_the_warm_wall_measured_level() {
    let card = covering("strip-shingle");
    let roof = gable(8.0, 6.0, 35.0);
    assert!(underlay_of(&roof, &card, None).ice_barrier.is_none());
    let barrier = underlay_of(&roof, &card, Some(0.5)).ice_barrier.unwrap();
    near(barrier, 2.0 * 8.0 * (0.5 + 0.6) / 35_f64.to_radians().cos(), 1e-9);
    let mut heated = card;
    heated.laying.wall_inside = Some(0.5);
    near(quantity(&taken_off(&roof, &heated), "ice-barrier"), barrier, 1e-12);
}

#[test]
fn rule_25_the_head_lap_goes_by_card_and_pitch() {
    // Common practice: 50 cm from 15 to 20 degrees, 10 cm beyond.
    let steep = taken_off(&gable(6.0, 6.0, 30.0), &covering("strip-shingle"));
    assert!(message(&steep, &gable(6.0, 6.0, 30.0), "underlay-lap").contains("100 mm at 30.0°"));
    let flat = taken_off(&gable(6.0, 6.0, 19.0), &covering("strip-shingle"));
    assert!(message(&flat, &gable(6.0, 6.0, 19.0), "underlay-lap").contains("500 mm at 19.0°"));
    let per_m2 = |answer: &TakeOff| quantity(answer, "underlay") / area(answer);
    assert!(per_m2(&flat) > 1.6 && per_m2(&steep) < 1.4);
    // At the eave over the metal, at the verge under it: the order of the lines.
    let items: Vec<&str> = steep.lines.iter().map(|line| line.item.key()).collect();
    let at = |item: &str| items.iter().position(|other| *other == item).unwrap();
    assert!(at("edge-strip-eave") < at("underlay") && at("underlay") < at("edge-strip-verge"));
    let _: &Underlay = covering("strip-shingle").card.underlay.as_ref().unwrap();
}

#[test]
fn rule_26_metal_is_counted_a_straight_run_with_laps_of_50_mm_and_rests_of_300_reused() {
    // ceil((L - 50) / (piece - 50)): 9.2 m in pieces of 2 m are 5; 3.95 m are 2, a centimetre more 3.
    for (length, expected) in [(9.2, 5), (3.95, 2), (3.96, 3), (2.0, 1), (2.01, 2)] {
        assert_eq!(runs::pieces(&[length], 2.0, 0.05, 0.3), expected, "{length}");
        assert_eq!(f64::from(expected), ((length - 0.05) / 1.95_f64 - 1e-9).ceil());
    }
    // Not on summed lengths: two runs of 3.96 m take 3 each, or 5 where the second's end comes from the first's rest.
    assert_eq!(runs::pieces(&[3.96, 3.96], 2.0, 0.05, 0.3), 5);
    assert_eq!(runs::pieces(&[2.0, 2.0, 2.0], 2.0, 0.05, 0.3), 3);
    let answer = taken_off(&gable(8.0, 6.0, 35.0), &covering("strip-shingle"));
    // Two eaves of 8 m: ceil(7.95 / 1.95) = 5, of which the last gives 0.20 m; the second's last comes from its rest.
    assert_eq!(answer.line("edge-strip-eave").unwrap().packs, Some(9));
}

#[test]
fn rule_27_a_convex_break_has_a_starter_and_metal_of_its_own_and_a_concave_one_has_not() {
    let broken = |low: f64, high: f64, rise: f64| Role::Eave {
        pitch: Pitch::from_degrees(low).unwrap(),
        breaks: vec![(rise, Pitch::from_degrees(high).unwrap())],
    };
    let card = covering("strip-shingle");
    let gambrel = taken_off(&roof_of(7.0, 6.0, broken(60.0, 30.0, 3.0_f64.sqrt()), Role::Verge), &card);
    assert_eq!(gambrel.layouts.len(), 4);
    assert!(gambrel.layouts.iter().all(|layout| (7..=9).contains(&layout.starter.len())));
    near(quantity(&gambrel, "edge-strip-break"), 14.0, 1e-9);
    near(quantity(&gambrel, "edge-strip-eave"), 14.0, 1e-9);
    // A sprocket: flat at the foot, steep above; courses and underlay run on down, and the flat part is judged by its own pitch.
    let sprocket = taken_off(&roof_of(7.0, 8.0, broken(12.0, 45.0, 0.2), Role::Verge), &card);
    assert!(sprocket.line("edge-strip-break").is_none());
    let starters: Vec<usize> = sprocket.layouts.iter().map(|layout| layout.starter.len()).collect();
    assert_eq!(starters.iter().filter(|count| **count == 0).count(), 2, "{starters:?}");
    let found = sprocket.findings.iter().find(|found| found.code() == "pitch-below-minimum").unwrap();
    let Finding::PitchBelowMinimum { faces, pitch, .. } = found else { panic!("{found:?}") };
    assert_eq!(faces.len(), 2);
    near(pitch.to_degrees(), 12.0, 1e-4);
}

#[test]
fn rule_27_a_gablet_has_an_apron_at_its_foot_and_verges_of_its_own() {
    // Hip ends at 45 degrees up to a rise of 1.0 m, then plumb: 6 m deep, sides at 45: the plumb face stands on 4 m.
    let gablet = Role::Gablet { pitch: Pitch::from_degrees(45.0).unwrap(), verge_from: 1.0 };
    let answer = taken_off(&roof_of(9.0, 6.0, eave(45.0), gablet), &covering("strip-shingle"));
    near(quantity(&answer, "abutment-flashing"), 2.0 * 4.0, 1e-9);
    near(quantity(&answer, "edge-strip-verge"), 4.0 * 2.0 * std::f64::consts::SQRT_2, 1e-9);
    assert!(answer.line("step-flashing").is_none());
}

#[test]
fn rule_28_a_chimney_wider_than_760_has_a_saddle_a_side_wall_ending_at_an_eave_a_kick_out() {
    let chimney = |width: f64, kind: &str| {
        let sides = ["pitch = 35", "verge = true", "pitch = 35", "verge = true"];
        let opening =
            format!("[[opening]]\nface = \"shed/A\"\nat = [3.0, 1.0]\nsize = [{width}, 0.5]\nkind = \"{kind}\"\n");
        taken(&read::rectangle(8.0, 6.0, sides, &opening)).order
    };
    assert_eq!(quantity(&chimney(0.77, "chimney"), "saddle"), 1.0);
    assert!(chimney(0.75, "chimney").line("saddle").is_none());
    assert!(chimney(0.9, "roof window").line("saddle").is_none());
    let porch = [(0.0, 0.0), (2.4, 0.0), (2.4, 1.5), (0.0, 1.5)];
    let card = covering("strip-shingle");
    let answer = taken_off(&solved(&porch, &[eave(30.0), eave(30.0), Role::Abutment, eave(30.0)]), &card);
    assert_eq!(quantity(&answer, "kick-out"), 2.0);
    // A lean-to's wall is level and ends at no eave.
    assert!(taken_off(&lean_to(6.0, 3.0, 20.0), &card).line("kick-out").is_none());
    // Upstands of 150 mm.
    assert!(card.card.abutment_flashing.unwrap().upstand >= 0.150);
}

#[test]
fn rule_30_nothing_is_laid_over_two_layers_and_only_what_is_dried_in_is_stripped() {
    let mut card = covering("strip-shingle");
    card.old_roof = Some(OldRoof {
        kind: "bitumen shingles".into(),
        layers: 2,
        weight: 10.0,
        weight_from: WeightFrom::Stated,
        loose_thickness: 0.03,
        deck_share: 0.1,
        asbestos_possible: true,
        stays: vec![Stay { said: "gutters".into(), items: vec!["gutter".into()] }],
        stays_stated: true,
    });
    let answer = taken_off(&roof_of(9.2, 5.6, eave(35.0), eave(35.0)), &card);
    near(answer.old_roof.as_ref().unwrap().weight, area(&answer) * 20.0, 1e-9);
    near(answer.old_roof.as_ref().unwrap().deck_to_renew, area(&answer) * 0.1, 1e-9);
    let over = message(&answer, &Roof::default(), "two-layers-come-off");
    for word in ["two layers", "tiles", "slates", "soaked", "sagging"] {
        assert!(over.contains(word), "{word}");
    }
    assert!(codes(&answer).contains(&"asbestos-test-first"));
    let _ = EdgeKind::Eave;
}
