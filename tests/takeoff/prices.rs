//! Prices and offers: an invoice worked out by hand, and nothing invented where no price is given.

use super::solved;
use eavewright::base::units::Pitch;
use eavewright::input::{self, NoFiles, card};
use eavewright::job::{self, Options, order};
use eavewright::outline::footprint::Role;
use eavewright::roof::analysis::drainage::drain;
use eavewright::roof::analysis::opening::CutOpening;
use eavewright::roof::{EdgeKind, Roof};
use eavewright::takeoff::item::Unit;
use eavewright::takeoff::model::{OldRoof, ValleyMethod};
use eavewright::takeoff::offer::Priced;
use eavewright::takeoff::{TakeOff, TakeoffInput, take_off};
use eavewright::wording::units::Words;
use eavewright::write::takeoff_json::TakeoffTwin;
use nalgebra::Point2;
use solved::{area, codes, covering, eave, message, rectangle, solved, t_plan, taken_off};
use std::collections::BTreeSet;

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-6, "found {found}, expected {expected}");
}

/// A gable of exact sides, two slopes of 8 m at 30 and 45 degrees, with prices.
const PRICED: &str = r#"
units = "m"
[[block]]
name = "shed"
height = 2.4
measured_at = "eaves"
sides = [
  { from = "A", length = 8, turn = "L", pitch = 30 },
  { from = "B", length = 6, turn = "L", verge = true },
  { from = "C", length = 8, turn = "L", pitch = 45 },
  { from = "D", length = 6, turn = "L", verge = true },
]
[prices]
currency = "groats"
strip-shingle = 20.50
underlay = 11
nail = 9.75
gutter = 4.20
soffit = 3
labour-m2 = 10
labour-verge-m = 2.5
labour-hip-m = 99
disposal-t = 150
margin = "10 %"
tax = "20 %"
[[prices.pitch_band]]
pitch_from = 0
factor = 1
[[prices.pitch_band]]
pitch_from = 40
factor = 1.4
[old_roof]
kind = "bitumen shingles"
layers = 1
weight = 12
loose_thickness = "20 mm"
"#;

fn taken(text: &str) -> TakeOff {
    taken_on(text).1
}

fn taken_on(text: &str) -> (Roof, TakeOff) {
    let (job, ..) = input::read("roof.toml", text, &NoFiles).unwrap_or_else(|errors| panic!("{errors:?}"));
    let answer = job::solve(&job, &Options { steps: false, spread: false }).unwrap();
    let taken = order::take_off(&job, &answer);
    (answer.roof, taken)
}

#[test]
fn an_offer_adds_up_to_an_invoice_worked_out_by_hand() {
    let answer = taken(PRICED);
    let offer = answer.offer.as_ref().unwrap();
    assert_eq!(offer.currency.as_deref(), Some("groats"));
    // The ridge: 30 and 45 degrees meet where x tan 30 = (6 - x) tan 45: x = 6 / (1 + tan 30) = 3.8038476.
    let x = 6.0 / (1.0 + 30_f64.to_radians().tan());
    near(x, 3.803_847_577);
    let (flat, steep) = (8.0 * x / 30_f64.to_radians().cos(), 8.0 * (6.0 - x) / 45_f64.to_radians().cos());
    let (rake_flat, rake_steep) = (x / 30_f64.to_radians().cos(), (6.0 - x) / 45_f64.to_radians().cos());
    let packs = |item: &str| f64::from(answer.line(item).unwrap().packs.unwrap());
    let expected = [
        ("strip-shingle", packs("strip-shingle") * 20.50),
        ("underlay", packs("underlay") * 11.0),
        ("nail", packs("nail") * 9.75),
        // Two eaves of 8 m in pieces of 3 m: 3 each, their rests of 1 m too short for 2 m.
        ("gutter", 6.0 * 4.20),
        // By the metre: 16 m of eave and the four rakes.
        ("soffit", (16.0 + 2.0 * (rake_flat + rake_steep)) * 3.0),
    ];
    for (item, sum) in expected {
        near(answer.line(item).unwrap().cost.unwrap(), sum);
    }
    let material: f64 = expected.iter().map(|(_, sum)| sum).sum();
    near(offer.material.iter().map(|line| line.sum).sum(), material);
    near(answer.cost().unwrap(), material);
    // Labour: 10 a m2 up to 40 degrees, 14 beyond; verges by the metre; there is no hip. Rubbish: 12 kg a m2.
    let work = flat * 10.0 + steep * 14.0 + 2.0 * (rake_flat + rake_steep) * 2.5 + (flat + steep) * 0.012 * 150.0;
    near(offer.work.iter().map(|line| line.sum).sum(), work);
    assert_eq!(offer.work.len(), 4);
    assert!(offer.work.iter().all(|line| line.what != Priced::LabourOn(EdgeKind::Hip)));
    let net = material + work;
    near(offer.net, net);
    near(offer.margin, net * 0.10);
    near(offer.tax, net * 1.10 * 0.20);
    near(offer.total, net * 1.32);
    for line in offer.material.iter().chain(&offer.work) {
        near(line.sum, line.quantity * line.price);
    }
}

#[test]
fn what_has_no_price_is_named_and_costs_nothing() {
    let answer = taken(PRICED);
    let offer = answer.offer.as_ref().unwrap();
    let priced = ["strip-shingle", "underlay", "nail", "gutter", "soffit"];
    for line in &answer.lines {
        assert_eq!(line.cost.is_some(), priced.contains(&line.item.key()), "{:?}", line.item);
        let comes_from_packs = line.packs.is_none() && line.pack.is_some();
        let named = offer.unpriced.contains(&line.item);
        assert_eq!(named, line.cost.is_none() && !comes_from_packs, "{:?}", line.item);
    }
    let (roof, bare) = taken_on(PRICED.split("[prices]").next().unwrap());
    assert!(bare.offer.is_none() && bare.cost().is_none());
    let json = serde_json::to_value(TakeoffTwin::new(&bare, &roof, Words::default(), false)).unwrap();
    assert!(json["cost"].is_null() && json["offer"].is_null());
    assert!(json["lines"].as_array().unwrap().iter().all(|line| line["cost"].is_null()));
}

#[test]
fn a_price_of_what_comes_out_of_other_packs_is_said_not_to_be_used() {
    let with = PRICED.replace("gutter = 4.20", "gutter = 4.20\nstarter = 7\nridge-hip-cap = 1.5");
    let answer = taken(&with);
    let said = message(&answer, &Roof::default(), "price-not-used");
    assert!(said.contains("starter, ridge-hip-cap"), "{said}");
    near(answer.offer.unwrap().net, taken(PRICED).offer.unwrap().net);
    assert!(!codes(&taken(PRICED)).contains(&"price-not-used"));
}

#[test]
fn sheets_cut_to_length_cost_by_the_square_metre() {
    let mut sheets = covering("profiled-sheet");
    sheets.prices.items = vec![("profiled-sheet".into(), 12.5)];
    // 7 sheets of 1 m cover on either slope, 3.52 m each.
    let answer = taken_off(&rectangle(6.3, 6.0, eave(30.0), Role::Verge), &sheets);
    near(answer.line("profiled-sheet").unwrap().cost.unwrap(), 14.0 * 3.52 * 12.5);
    let offer = answer.offer.unwrap();
    assert_eq!(offer.material[0].unit, Unit::SquareMetre);
    near(offer.net, 14.0 * 3.52 * 12.5);
}

#[test]
fn bands_hold_from_their_pitch_up_and_labour_without_bands_is_plain() {
    let at = |degrees: f64, bands: Vec<(f64, f64)>| {
        let mut card = covering("strip-shingle");
        card.prices.items = vec![("labour-m2".into(), 10.0)];
        card.prices.pitch_bands = bands;
        let answer = taken_off(&rectangle(5.0, 4.0, eave(degrees), Role::Verge), &card);
        answer.offer.as_ref().unwrap().net / area(&answer)
    };
    let bands = || vec![(30_f64.to_radians(), 1.2), (45_f64.to_radians(), 1.5)];
    near(at(29.9, bands()), 10.0);
    near(at(30.0, bands()), 12.0);
    near(at(44.9, bands()), 12.0);
    near(at(50.0, bands()), 15.0);
    near(at(50.0, Vec::new()), 10.0);
}

/// Every take-off of every card on roofs that have everything.
fn every_item() -> BTreeSet<String> {
    let lower = Role::Eave {
        pitch: Pitch::from_degrees(60.0).unwrap(),
        breaks: vec![(1.0, Pitch::from_degrees(30.0).unwrap())],
    };
    let porch = [(0.0, 0.0), (2.4, 0.0), (2.4, 1.5), (0.0, 1.5)];
    let corners = [(0.0, 0.0), (6.0, 0.0), (6.0, 3.0), (0.0, 3.0)];
    let roofs: [Roof; 5] = [
        rectangle(9.2, 5.6, eave(35.0), eave(35.0)),
        t_plan(),
        rectangle(7.0, 6.0, lower, Role::Verge),
        solved(&corners, &[eave(20.0), Role::Verge, Role::Verge, Role::Verge]),
        solved(&porch, &[eave(30.0), eave(30.0), Role::Abutment, eave(30.0)]),
    ];
    let mut items = BTreeSet::new();
    for name in card::names() {
        for roof in &roofs {
            let mut card = covering(name);
            card.laying.valley = ValleyMethod::Closed;
            card.laying.wall_inside = Some(0.4);
            card.old_roof = Some(OldRoof {
                kind: "slates".into(),
                layers: 1,
                weight: 30.0,
                loose_thickness: 0.03,
                deck_share: 0.5,
                asbestos_possible: false,
                stays: Vec::new(),
            });
            let face = roof.roof_faces().next().unwrap().0;
            let ring = [(0.4, 0.3), (1.4, 0.3), (1.4, 0.6), (0.4, 0.6)].map(|(u, v)| Point2::new(u, v)).to_vec();
            let openings = [CutOpening { face, ring, area: 0.3, kind: "chimney".into() }];
            let answer = take_off(&TakeoffInput {
                roof,
                drainage: &drain(roof),
                openings: &openings,
                covering: &card,
                wind_from: None,
                north: 0.0,
                area_sd: None,
            });
            items.extend(answer.lines.into_iter().map(|line| line.item.key().to_owned()));
        }
    }
    items
}

#[test]
fn every_line_of_a_take_off_can_be_priced_and_every_price_is_of_a_line() {
    let items = every_item();
    let cards: Vec<&str> = card::names().collect();
    for item in &items {
        assert!(input::PRICED.contains(&item.as_str()) || cards.contains(&item.as_str()), "{item} has no price key");
    }
    let is_work = |key: &str| key.starts_with("labour-") || key == "disposal-t";
    for key in input::PRICED.iter().filter(|key| !is_work(key)) {
        assert!(items.contains(*key), "no take-off has a line {key}");
    }
}

#[test]
fn every_kind_of_work_with_a_price_comes_into_the_offer() {
    let work: Vec<&str> = input::PRICED.iter().copied().filter(|key| key.starts_with("labour-")).collect();
    assert_eq!(work.len(), 6);
    let mut card = covering("strip-shingle");
    card.prices.items = work.iter().map(|key| ((*key).to_owned(), 1.0)).collect();
    // A T of hips at 35 degrees has ridges, hips, valleys and eaves; the gables of the other its verges.
    let corners = [(0.0, 0.0), (3.0, 0.0), (3.0, -3.0), (7.0, -3.0), (7.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)];
    let mut roles = vec![eave(35.0); 8];
    roles[2] = Role::Verge;
    let offer = taken_off(&solved(&corners, &roles), &card).offer.unwrap();
    assert_eq!(offer.work.len(), 6, "{:?}", offer.work);
}
