//! Each finding of the take-off broken by itself: it is found where just that is wrong, and not on the roof beside it.

use super::solved::{codes, covering, eave, rectangle, solved, t_plan, taken_off};
use super::{taken, try_taken};
use eavewright::base::finding::{Finding as _, Severity};
use eavewright::base::units::Pitch;
use eavewright::outline::footprint::Role;
use eavewright::roof::Roof;
use eavewright::takeoff::card::CoveringKind;
use eavewright::takeoff::finding::{Finding, Goods};
use eavewright::takeoff::model::{Covering, OldRoof, ValleyMethod, WeightFrom};
use eavewright::takeoff::prices::ItemPrice;

fn gable(width: f64, depth: f64, degrees: f64) -> Roof {
    rectangle(width, depth, eave(degrees), Role::Verge)
}

/// A finding that one roof has and the other has not.
fn broken_by(code: &str, bad: (&Roof, &Covering), good: (&Roof, &Covering)) -> Finding {
    let found = taken_off(bad.0, bad.1).findings.into_iter().find(|found| found.code() == code);
    assert!(!codes(&taken_off(good.0, good.1)).contains(&code), "{code} is found where nothing is wrong");
    found.unwrap_or_else(|| panic!("{code} is not found"))
}

#[test]
fn what_does_not_suit_the_covering_stops_the_work() {
    let card = covering("strip-shingle");
    let good = gable(6.0, 5.0, 35.0);
    let flat = broken_by("pitch-below-minimum", (&gable(6.0, 5.0, 14.0), &card), (&good, &card));
    // DTU 40.14 art. 4.1 (read): a plan rafter of at most 16.5 m.
    let long = broken_by("run-too-long", (&gable(4.0, 33.2, 35.0), &card), (&gable(4.0, 32.8, 35.0), &card));
    for found in [&flat, &long] {
        assert_eq!((found.severity(), found.is_unsuitable()), (Severity::Stop, true));
        assert_eq!(found.faces().len(), 2);
    }
    // IRC R905.2 (read): other fixing above 21:12, 60.26 degrees.
    let steep = broken_by("steep-fixing", (&gable(4.0, 2.0, 60.3), &card), (&gable(4.0, 2.0, 60.0), &card));
    assert_eq!((steep.severity(), steep.is_unsuitable()), (Severity::Mind, false));
}

#[test]
fn underlay_deck_and_vents_are_found() {
    let card = covering("strip-shingle");
    let (flat, steep) = (gable(6.0, 5.0, 18.0), gable(6.0, 5.0, 35.0));
    let laps = |roof: &Roof| -> Vec<Finding> {
        taken_off(roof, &card).findings.into_iter().filter(|found| found.code() == "underlay-lap").collect()
    };
    assert!(matches!(laps(&flat).as_slice(), [Finding::UnderlayDoubled { .. }]));
    assert!(matches!(laps(&steep).as_slice(), [Finding::UnderlayLap { .. }]));
    let with = |change: &dyn Fn(&mut Covering)| {
        let mut changed = covering("strip-shingle");
        change(&mut changed);
        changed
    };
    let thin = with(&|card| card.card.deck.as_mut().unwrap().thickness = 0.017);
    let found = broken_by("deck-too-thin", (&steep, &thin), (&steep, &card));
    assert_eq!(found.severity(), Severity::Doubt);
    let wide = with(&|card| card.card.deck.as_mut().unwrap().spacing = 0.9);
    broken_by("deck-bearers-too-far", (&steep, &wide), (&steep, &card));
    let over = with(&|card| card.laying.ceiling = Some(30.0));
    let vents = |card: &Covering| {
        let mut found = taken_off(&steep, card).findings.into_iter();
        found.find(|found| found.code() == "ventilation").unwrap()
    };
    assert_eq!(vents(&card), Finding::VentilationNotAsked);
    // IRC R806.2: 1/150 and 1/300 of 30 m2.
    assert_eq!(vents(&over), Finding::Ventilation { ceiling: 30.0, full: 0.2, shared: 0.1, gap: 0.025 });
}

#[test]
fn courses_that_do_not_come_out_are_found() {
    let card = covering("strip-shingle");
    let good = gable(6.0, 5.0, 35.0);
    let mut wide = covering("strip-shingle");
    let CoveringKind::Strip(strip) = &mut wide.card.covering else { panic!() };
    strip.gauge = 0.150;
    broken_by("gauge-too-large", (&good, &wide), (&good, &card));
    let hip = |ends: f64| rectangle(9.2, 5.6, eave(35.0), eave(ends));
    let apart = broken_by("courses-do-not-meet", (&hip(45.0), &card), (&hip(35.0), &card));
    assert!(matches!(&apart, Finding::CoursesDoNotMeet { pairs } if pairs.len() == 4));
    // Depths at which the last course shows less than half a gauge, and ones at which it does not.
    let mut closed = 0;
    for step in 0..60 {
        let found = codes(&taken_off(&gable(4.0 + 0.01 * f64::from(step), 5.0 + 0.01 * f64::from(step), 35.0), &card));
        closed += usize::from(found.contains(&"gauge-closed-up"));
    }
    assert!(closed > 0 && closed < 60, "{closed}");
    // Nothing folds where no caps cover it.
    let mut bare = covering("strip-shingle");
    bare.card.caps = None;
    broken_by("fold-over-ridge", (&good, &card), (&good, &bare));
    // No bond of a face narrower than the least end leaves its ends wide enough.
    let sliver = gable(0.10, 3.0, 35.0);
    broken_by("narrow-ends", (&sliver, &card), (&gable(3.0, 3.0, 35.0), &card));
}

#[test]
fn valleys_that_cannot_be_made_as_asked_are_found() {
    let with = |name: &str, method: ValleyMethod| {
        let mut card = covering(name);
        card.laying.valley = method;
        card
    };
    let tee = t_plan();
    let open = with("slate", ValleyMethod::Open);
    broken_by("valley-open", (&tee, &with("slate", ValleyMethod::Closed)), (&tee, &open));
    let woven = with("strip-shingle", ValleyMethod::Woven);
    let corners = [(0.0, 0.0), (3.0, 0.0), (3.0, -3.0), (7.0, -3.0), (7.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)];
    let (main, wing) = (eave(40.0), eave(45.0));
    let roles = [main.clone(), wing.clone(), Role::Verge, wing, main.clone(), Role::Verge, main, Role::Verge];
    broken_by("valley-not-woven", (&solved(&corners, &roles), &woven), (&tee, &woven));
    let open = with("strip-shingle", ValleyMethod::Open);
    let lack = broken_by("valley-no-room", (&tee, &woven), (&tee, &open));
    assert!(matches!(&lack, Finding::ValleyNoRoom { parts, .. } if !parts.is_empty()));
    assert!(lack.values().iter().any(|(name, value)| *name == "room" && *value == 0.300));
}

#[test]
fn goods_that_the_card_has_not_are_found_and_no_step_is_made_of_them() {
    let lower = Role::Eave {
        pitch: Pitch::from_degrees(60.0).unwrap(),
        breaks: vec![(1.0, Pitch::from_degrees(30.0).unwrap())],
    };
    let porch = [(0.0, 0.0), (2.4, 0.0), (2.4, 1.5), (0.0, 1.5)];
    let wall = solved(&porch, &[eave(30.0), eave(30.0), Role::Abutment, eave(30.0)]);
    let (tee, gambrel) = (t_plan(), rectangle(7.0, 6.0, lower, Role::Verge));
    let cases: [(Goods, &Roof, fn(&mut Covering), &str); 7] = [
        (Goods::ValleyLining, &tee, |card| card.card.valley_lining = None, "valley"),
        (Goods::Caps, &tee, |card| card.card.caps = None, "caps"),
        (Goods::Flashing, &wall, |card| card.card.abutment_flashing = None, "wall-flashings"),
        (Goods::EaveMetal, &gambrel, |card| card.card.eave_strip = None, "eave-metal"),
        (Goods::VergeMetal, &gambrel, |card| card.card.verge_strip = None, "verge-metal"),
        (Goods::Fixings, &tee, |card| card.card.nails = None, "nail"),
        (Goods::Underlay, &tee, |card| card.card.underlay = None, "underlay"),
    ];
    for (goods, roof, take, step) in cases {
        let card = covering("strip-shingle");
        let mut without = covering("strip-shingle");
        take(&mut without);
        let found = broken_by("not-on-card", (roof, &without), (roof, &card));
        assert!(matches!(found, Finding::NotOnCard { goods: other, .. } if other == goods), "{goods:?}: {found:?}");
        let has = |card: &Covering| {
            let taken = taken_off(roof, card);
            let by_name = taken.work.iter().any(|one| one.task.word() == step);
            by_name || taken.work.iter().any(|one| one.uses.iter().any(|item| item.key() == step))
        };
        assert!(has(&card) && !has(&without), "{goods:?}");
    }
}

#[test]
fn an_old_roof_and_prices_are_found() {
    let card = covering("strip-shingle");
    let roof = gable(6.0, 5.0, 35.0);
    let old = |layers: u32, asbestos_possible: bool| {
        let mut card = covering("strip-shingle");
        card.old_roof = Some(OldRoof {
            kind: "bitumen shingles".into(),
            layers,
            weight: 10.0,
            weight_from: WeightFrom::Stated,
            loose_thickness: 0.03,
            deck_share: 0.1,
            asbestos_possible,
            stays: vec![],
            stays_stated: true,
        });
        card
    };
    let found = broken_by("asbestos-test-first", (&roof, &old(1, true)), (&roof, &old(1, false)));
    assert_eq!(found.severity(), Severity::Stop);
    broken_by("two-layers-come-off", (&roof, &old(2, false)), (&roof, &old(1, false)));
    let priced = |item: &str| {
        let mut card = covering("strip-shingle");
        card.prices.items = vec![ItemPrice::new(item, 1.0)];
        card
    };
    broken_by("price-not-used", (&roof, &priced("starter")), (&roof, &priced("underlay")));
    assert!(!codes(&taken_off(&roof, &card)).contains(&"price-not-used"));
}

/// Sides that were hardly measured at all: the area may be anything.
#[test]
fn nothing_is_ordered_while_a_face_is_not_determined() {
    let text = |sigma: &str| {
        let long = format!("length = 6, sigma = \"{sigma}\", turn = \"L\", pitch = 35");
        let short = "length = 4, turn = \"L\", verge = true";
        format!(
            "units = \"m\"\n[[block]]\nname = \"a\"\nheight = 2.4\nsides = [\n{{ from = \"A\", {long} }},\n\
             {{ from = \"B\", {short} }},\n{{ from = \"C\", {long} }},\n{{ from = \"D\", {short} }} ]\n"
        )
    };
    let sure = try_taken(&text("5 mm"), true).expect("an answer");
    assert!(!sure.order.lines.is_empty());
    assert!(!codes(&sure.order).contains(&"area-not-determined"));
    let open = try_taken(&text("2.5 m"), true).expect("an answer");
    assert!(open.order.lines.is_empty() && open.order.work.is_empty() && open.order.area.value().is_none());
    assert_eq!(codes(&open.order), ["area-not-determined"]);
    assert_eq!(open.order.findings[0].severity(), Severity::Stop);
}

#[test]
fn findings_that_stop_the_work_stand_first() {
    let flat = taken(
        "units = \"m\"\n[[block]]\nname = \"a\"\nheight = 2.4\nsides = [\n\
        { from = \"A\", length = 6, turn = \"L\", pitch = 10 },\n{ from = \"B\", length = 4, turn = \"L\", verge = true },\n\
        { from = \"C\", length = 6, turn = \"L\", pitch = 10 },\n{ from = \"D\", length = 4, turn = \"L\", verge = true } ]\n",
    );
    let severities: Vec<Severity> =
        flat.order.findings.iter().map(eavewright::base::finding::Finding::severity).collect();
    assert_eq!(severities.first(), Some(&Severity::Stop));
    assert!(severities.is_sorted());
}
