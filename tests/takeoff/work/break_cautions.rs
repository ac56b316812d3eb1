//! Each caution stands in the step where the hand is hurt, and goes where that is not done.

use super::solved::{covering, eave, rectangle, t_plan, taken_off};
use eavewright::outline::footprint::Role;
use eavewright::roof::Roof;
use eavewright::roof::analysis::drainage::drain;
use eavewright::roof::analysis::opening::CutOpening;
use eavewright::takeoff::card::CoveringKind;
use eavewright::takeoff::model::{Covering, OldRoof, WeightFrom};
use eavewright::takeoff::work::Step;
use eavewright::takeoff::{TakeoffInput, take_off};
use nalgebra::Point2;
use std::collections::BTreeSet;

fn gable() -> Roof {
    rectangle(6.0, 5.0, eave(35.0), Role::Verge)
}

/// Cautions of the steps of a name.
fn cautions(steps: &[Step], name: &str) -> BTreeSet<&'static str> {
    let of_name: Vec<&Step> = steps.iter().filter(|step| step.task.word() == name).collect();
    assert!(!of_name.is_empty(), "no step {name}");
    of_name.iter().flat_map(|step| step.cautions.iter().map(|caution| caution.word())).collect()
}

fn work(roof: &Roof, card: &Covering) -> Vec<Step> {
    taken_off(roof, card).work
}

fn with_old(asbestos_possible: bool) -> Covering {
    let mut card = covering("strip-shingle");
    card.old_roof = Some(OldRoof {
        kind: "felt".into(),
        layers: 1,
        weight: 10.0,
        weight_from: WeightFrom::Stated,
        loose_thickness: 0.03,
        deck_share: 0.1,
        asbestos_possible,
        stays: vec![],
        stays_stated: true,
    });
    card
}

#[test]
fn falls_and_ladders_come_first_of_all() {
    for name in super::CARDS {
        let steps = work(&gable(), &covering(name));
        let first: Vec<&str> = steps[0].cautions.iter().map(|caution| caution.word()).collect();
        assert_eq!(first[..2], ["fall", "ladder"], "{name}");
        assert!(first.contains(&"fragile") && first.contains(&"weather") && first.contains(&"structure"), "{name}");
        // Edge protection first in every step at an open edge.
        for step in
            steps.iter().filter(|step| ["courses", "caps", "eave-metal", "underlay"].contains(&step.task.word()))
        {
            assert_eq!(step.cautions[0].word(), "open-edge", "{name} {}", step.task.word());
        }
    }
}

#[test]
fn asbestos_stands_at_stripping_and_only_where_it_may_be() {
    assert!(cautions(&work(&gable(), &with_old(true)), "strip").contains("asbestos"));
    let without = work(&gable(), &with_old(false));
    assert!(!cautions(&without, "strip").contains("asbestos"));
    assert!(cautions(&without, "strip").contains("falling-rubble"));
    assert!(work(&gable(), &covering("strip-shingle")).iter().all(|step| step.task.word() != "strip"));
}

#[test]
fn heat_and_blades_stand_at_laying_bitumen_and_dust_at_cutting_stone() {
    let of = |name: &str, step: &str| cautions(&work(&gable(), &covering(name)), step);
    for name in ["strip-shingle", "single-tab"] {
        let laying = of(name, "courses");
        assert!(laying.contains("heat") && laying.contains("blades"), "{name}: {laying:?}");
        assert!(!laying.contains("stone-dust") && !laying.contains("sheet-in-wind"), "{name}: {laying:?}");
    }
    let slate = of("slate", "courses");
    assert!(slate.contains("stone-dust") && !slate.contains("heat") && !slate.contains("blades"), "{slate:?}");
    let sheet = of("profiled-sheet", "courses");
    for word in ["sheet-in-wind", "sparks", "metal-edges"] {
        assert!(sheet.contains(word) && !slate.contains(word), "{word}");
    }
}

#[test]
fn flame_and_solvent_stand_at_warming_and_gluing() {
    let mut card = covering("strip-shingle");
    let with = cautions(&work(&gable(), &card), "caps");
    assert!(with.contains("flame") && with.contains("solvent"), "{with:?}");
    card.card.adhesive = None;
    let dry = work(&gable(), &card);
    assert!(!cautions(&dry, "caps").contains("solvent") && !cautions(&dry, "courses").contains("solvent"));
    let CoveringKind::Strip(strip) = &mut card.card.covering else { panic!() };
    strip.bend_above = None;
    assert!(!cautions(&work(&gable(), &card), "caps").contains("flame"));
    assert!(!cautions(&work(&gable(), &covering("slate")), "caps").contains("flame"));
}

#[test]
fn sharp_edges_and_lead_stand_at_metal() {
    let steps = work(&t_plan(), &covering("strip-shingle"));
    for name in ["eave-metal", "verge-metal", "valley"] {
        assert!(cautions(&steps, name).contains("metal-edges"), "{name}");
    }
    assert!(cautions(&steps, "valley").contains("lead"));
    assert!(cautions(&steps, "underlay").contains("slippery-underlay"));
    assert!(cautions(&steps, "deck").contains("nailing"));
    assert!(cautions(&steps, "prepare").contains("load"));
    assert!(!cautions(&steps, "courses").contains("lead"));
}

#[test]
fn a_roof_window_is_brittle_and_a_chimney_is_not() {
    let roof = gable();
    let at = |kind: &str| {
        let face = roof.roof_faces().next().unwrap().0;
        let ring = [(2.0, 1.0), (2.6, 1.0), (2.6, 1.8), (2.0, 1.8)].map(|(u, v)| Point2::new(u, v)).to_vec();
        let openings = [CutOpening { face, ring, area: 0.48, kind: kind.into() }];
        let card = covering("strip-shingle");
        let taken = take_off(&TakeoffInput {
            roof: &roof,
            drainage: &drain(&roof),
            openings: &openings,
            covering: &card,
            wind_from: None,
            timbers: &[],
            north: 0.0,
            area_sd: None,
        });
        cautions(&taken.work, "opening").into_iter().map(str::to_owned).collect::<Vec<_>>()
    };
    assert!(at("roof window").contains(&"fragile".to_owned()));
    assert!(!at("chimney").contains(&"fragile".to_owned()));
}

#[test]
fn felt_is_laid_without_flame_away_from_the_sun_and_beside_solvent() {
    let roof = rectangle(6.0, 5.0, eave(5.0), Role::Verge);
    let steps = work(&roof, &covering("felt"));
    let cap = cautions(&steps, "cap-sheet");
    assert!(["solvent", "no-flame", "heat", "load", "blades"].iter().all(|word| cap.contains(word)), "{cap:?}");
    let base = cautions(&steps, "base-layer");
    assert!(base.contains("slippery-underlay") && base.contains("nailing") && !base.contains("solvent"), "{base:?}");
    assert!(cautions(&steps, "edge-metal").contains("metal-edges"));
    assert!(steps.iter().all(|step| step.cautions.iter().all(|caution| caution.word() != "flame")));
    for word in ["underlay", "courses", "starter", "caps"] {
        assert!(steps.iter().all(|step| step.task.word() != word), "{word}");
    }
}
