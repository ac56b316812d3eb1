//! Prices and offers: an invoice worked out by hand, and nothing invented where no price is given.

use super::solved;
use eavewright::base::units::Pitch;
use eavewright::drawing::Context;
use eavewright::drawing::job_sheet::{Audience, SheetInput, handover_sheet, offer_sheet};
use eavewright::input::{self, Files, NoFiles, card};
use eavewright::job::{self, Answer, Job, Options, order};
use eavewright::outline::footprint::Role;
use eavewright::roof::analysis::drainage::drain;
use eavewright::roof::analysis::opening::CutOpening;
use eavewright::roof::{EdgeKind, Roof};
use eavewright::takeoff::item::{Fixing, Item, Unit};
use eavewright::takeoff::model::{OldRoof, ValleyMethod, WeightFrom};
use eavewright::takeoff::offer::{Offer, Priced, Unpriced};
use eavewright::takeoff::prices::{ItemPrice, Operation};
use eavewright::takeoff::{TakeOff, TakeoffInput, take_off};
use eavewright::wording;
use eavewright::wording::units::Format;
use eavewright::write::html;
use eavewright::write::takeoff_json::TakeoffTwin;
use nalgebra::Point2;
use solved::{area, codes, covering, eave, message, rectangle, solved, t_plan, taken_off};
use std::collections::BTreeSet;

fn near(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-6, "found {found}, expected {expected}");
}

/// Money as it is printed.
fn hundredth(money: f64) -> f64 {
    (money * 100.0).round() / 100.0
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
markup = "10 %"
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
stays = []
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
        // Two eaves of 8 m, each two pieces of 4 m; of 3 m it would be three with 1 m over, of 2 m eight pieces.
        ("gutter", 4.0 * 4.20),
        // In pieces of 4 m: each eave two, each flat rake one and 0.39 m, which come out of one more with a steep rake of
        // 3.11 m, the other steep one a whole one: 8, 32 m for 31.0 m. Of 3 m eleven would be bought, of 5 m eight.
        ("soffit", 8.0 * 3.0),
    ];
    for (item, sum) in expected {
        near(answer.line(item).unwrap().cost.value().unwrap(), hundredth(sum));
    }
    let material: f64 = expected.iter().map(|(_, sum)| hundredth(*sum)).sum();
    near(offer.material.iter().map(|line| line.sum).sum(), material);
    near(answer.cost().value().unwrap(), material);
    // Labour: 10 a m2 up to 40 degrees, 14 beyond; verges by the metre; there is no hip. Rubbish: 12 kg a m2.
    let work: f64 = [flat * 10.0, steep * 14.0, 2.0 * (rake_flat + rake_steep) * 2.5, (flat + steep) * 0.012 * 150.0]
        .map(hundredth)
        .iter()
        .sum();
    near(offer.work.iter().map(|line| line.sum).sum(), work);
    assert_eq!(offer.work.len(), 4);
    assert!(offer.work.iter().all(|line| line.what != Priced::LabourOn(EdgeKind::Hip)));
    let net = material + work;
    // Boards, metal and gutters' pipes have no price: this is no whole offer, and what has one is told as no more than that.
    assert!(offer.whole().is_none());
    near(offer.priced.net, net);
    near(offer.priced.on_top, hundredth(net * 0.10));
    near(offer.priced.before_tax, net + hundredth(net * 0.10));
    near(offer.priced.tax, hundredth(offer.priced.before_tax * 0.20));
    near(offer.priced.total, offer.priced.before_tax + offer.priced.tax);
    for line in offer.material.iter().chain(&offer.work) {
        near(line.sum, hundredth(line.quantity * line.price));
    }
}

#[test]
fn what_has_no_price_is_named_and_costs_nothing() {
    let answer = taken(PRICED);
    let offer = answer.offer.as_ref().unwrap();
    let priced = ["strip-shingle", "underlay", "nail", "gutter", "soffit"];
    for line in &answer.lines {
        assert_eq!(line.cost.value().is_some(), priced.contains(&line.item.key()), "{:?}", line.item);
        let comes_from_packs = line.packs.is_none() && line.pack.is_some();
        let named = offer.unpriced.contains(&Unpriced::Line(line.item.clone()));
        assert_eq!(named, line.cost.value().is_none() && !comes_from_packs, "{:?}", line.item);
    }
    let (roof, bare) = taken_on(PRICED.split("[prices]").next().unwrap());
    assert!(bare.offer.is_none() && bare.cost().value().is_none());
    let json = serde_json::to_value(TakeoffTwin::new(&bare, &roof, Format::default(), false)).unwrap();
    assert!(json["cost"].is_null() && json["offer"].is_null());
    assert!(json["lines"].as_array().unwrap().iter().all(|line| line["cost"].is_null()));
}

#[test]
fn a_price_of_what_comes_out_of_other_packs_is_said_not_to_be_used() {
    let with = PRICED.replace("gutter = 4.20", "gutter = 4.20\nstarter = 7\nridge-hip-cap = 1.5");
    let answer = taken(&with);
    let said = message(&answer, &Roof::default(), "price-not-used");
    assert!(said.contains("starter, ridge-hip-cap"), "{said}");
    near(answer.offer.unwrap().priced.net, taken(PRICED).offer.unwrap().priced.net);
    assert!(!codes(&taken(PRICED)).contains(&"price-not-used"));
}

#[test]
fn sheets_cut_to_length_cost_by_the_square_metre() {
    let mut sheets = covering("profiled-sheet");
    sheets.prices.items = vec![ItemPrice::new("profiled-sheet", 12.5)];
    // Six sheets of 1 m cover and 0.3 m of a seventh on either slope, 3.52 m each; one sheet gives both narrow ones.
    let answer = taken_off(&rectangle(6.3, 6.0, eave(30.0), Role::Verge), &sheets);
    near(answer.line("profiled-sheet").unwrap().cost.value().unwrap(), 13.0 * 3.52 * 12.5);
    let offer = answer.offer.unwrap();
    assert_eq!(offer.material[0].unit, Unit::SquareMetre);
    near(offer.priced.net, 13.0 * 3.52 * 12.5);
}

#[test]
fn bands_hold_from_their_pitch_up_and_labour_without_bands_is_plain() {
    let at = |degrees: f64, bands: Vec<(f64, f64)>| {
        let mut card = covering("strip-shingle");
        card.prices.items = vec![ItemPrice::new("labour-m2", 10.0)];
        card.prices.pitch_bands = bands;
        let answer = taken_off(&rectangle(5.0, 4.0, eave(degrees), Role::Verge), &card);
        (answer.offer.as_ref().unwrap().priced.net, area(&answer))
    };
    let by_hand = |(net, area): (f64, f64), each: f64| near(net, hundredth(area * each));
    let bands = || vec![(30_f64.to_radians(), 1.2), (45_f64.to_radians(), 1.5)];
    by_hand(at(29.9, bands()), 10.0);
    by_hand(at(30.0, bands()), 12.0);
    by_hand(at(44.9, bands()), 12.0);
    by_hand(at(50.0, bands()), 15.0);
    by_hand(at(50.0, Vec::new()), 10.0);
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
            card.laying.ceiling = Some(40.0);
            card.old_roof = Some(OldRoof {
                kind: "slates".into(),
                layers: 1,
                weight: 30.0,
                weight_from: WeightFrom::Stated,
                loose_thickness: 0.03,
                deck_share: 0.5,
                asbestos_possible: false,
                stays: Vec::new(),
                stays_stated: true,
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
                timbers: &[],
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
    let is_work = |key: &str| ["labour", "disposal", "access"].iter().any(|work| key.starts_with(work));
    for key in input::PRICED.iter().filter(|key| !is_work(key)) {
        assert!(items.contains(*key), "no take-off has a line {key}");
    }
}

#[test]
fn every_kind_of_work_with_a_price_comes_into_the_offer() {
    let work: Vec<&str> = input::PRICED.iter().copied().filter(|key| key.starts_with("labour-")).collect();
    assert_eq!(work.len(), 6);
    let mut card = covering("strip-shingle");
    card.prices.items = work.iter().map(|key| ItemPrice::new(key, 1.0)).collect();
    // A T of hips at 35 degrees has ridges, hips, valleys and eaves; the gables of the other its verges.
    let corners = [(0.0, 0.0), (3.0, 0.0), (3.0, -3.0), (7.0, -3.0), (7.0, 0.0), (10.0, 0.0), (10.0, 6.0), (0.0, 6.0)];
    let mut roles = vec![eave(35.0); 8];
    roles[2] = Role::Verge;
    let offer = taken_off(&solved(&corners, &roles), &card).offer.unwrap();
    assert_eq!(offer.work.len(), 6, "{:?}", offer.work);
}

/// Prices of every line of the shed's order and of its labour: a whole offer.
const WHOLE: &str = r#"
currency = "groats"
dated = 2026-05-01
strip-shingle = 20.50
underlay = { each = 1.25, per = "m²" }
nail = 9.75
adhesive = 4.10
deck-board = { each = 3.10, per = "m" }
fascia-board = 8
verge-board = 8
soffit = 3
edge-strip-eave = { each = 2.40, per = "m" }
edge-strip-verge = { each = 2.40, per = "m" }
gutter = 4.20
downpipe = 6
deck-nail = 8
underlay-nail = 8
metal-nail = 8
cap-nail = 8
gutter-bracket = 1.10
gutter-corner = 5
stop-end = 2
gutter-outlet = 4
pipe-bend = 3
pipe-clip = 1
access-m = 4
disposal = 120
tax = "20 %"
[hours]
each = 48
cover = 0.4
"#;

/// Files by name.
struct Folder(Vec<(&'static str, String)>);

impl Files for Folder {
    fn read(&self, name: &str) -> std::io::Result<Vec<u8>> {
        let found = self.0.iter().find(|(known, _)| *known == name);
        found.map(|(_, text)| text.clone().into_bytes()).ok_or_else(|| std::io::ErrorKind::NotFound.into())
    }
}

/// The shed with what `[prices]` says beside a shared file of prices, and what stands after it.
fn shed_with(own: &str, shared: &str, after: &str) -> (Job, Answer, TakeOff) {
    // Taped by one who was not sure: the order has an upper number.
    let shed = PRICED.split("[prices]").next().unwrap().replace("length = 8,", "length = 8, sigma = 0.2,");
    let text = format!("{shed}[prices]\nfile = \"prices.toml\"\n{own}{after}");
    let folder = Folder(vec![("prices.toml", shared.to_owned())]);
    let (job, ..) = input::read("roof.toml", &text, &folder).unwrap_or_else(|errors| panic!("{errors:?}"));
    let answer = job::solve(&job, &Options { steps: false, spread: true }).unwrap();
    let taken = order::take_off(&job, &answer);
    (job, answer, taken)
}

#[test]
fn a_price_file_is_shared_and_the_job_s_own_prices_go_before_it() {
    let (_, _, answer) = shed_with("", WHOLE, "");
    let offer = answer.offer.as_ref().unwrap();
    assert_eq!((offer.unpriced.as_slice(), offer.dated.as_deref()), (&[][..], Some("2026-05-01")));
    let sum = |offer: &Offer, key: &str| {
        offer.material.iter().find(|line| matches!(&line.what, Priced::Goods(item) if item.key() == key)).unwrap().sum
    };
    // The upper number of rolls is what one is told to order, and what is paid for: 7.5 m² each, by the square metre.
    let line = |key: &str| answer.line(key).unwrap();
    let upper = |key: &str| f64::from(line(key).packs_high().or(line(key).packs).unwrap());
    assert!(line("strip-shingle").packs_high().is_some(), "measured sides leave packs open");
    near(sum(offer, "strip-shingle"), hundredth(upper("strip-shingle") * 20.50));
    let roll = card::named("strip-shingle").unwrap().underlay.unwrap();
    near(sum(offer, "underlay"), hundredth(upper("underlay") * roll.width * roll.length * 1.25));
    near(sum(offer, "edge-strip-eave"), hundredth(upper("edge-strip-eave") * 2.0 * 2.40));
    let total = offer.whole().unwrap();
    let lines: f64 = offer.material.iter().chain(&offer.work).map(|line| line.sum).sum();
    near(total.net, lines);
    near(total.total, hundredth(lines) + hundredth(lines * 0.20));
    let (_, _, own) = shed_with("strip-shingle = 1\ncurrency = \"marks\"\n", WHOLE, "");
    let own = own.offer.unwrap();
    near(sum(&own, "strip-shingle"), upper("strip-shingle"));
    assert_eq!(own.currency.as_deref(), Some("marks"));
    near(sum(&own, "nail"), sum(offer, "nail"));
}

#[test]
fn hours_are_reckoned_by_hand_and_invented_ones_are_named() {
    let (_, _, answer) = shed_with("", WHOLE, "");
    let offer = answer.offer.as_ref().unwrap();
    let hours = |operation: Operation| {
        let found =
            offer.work.iter().find(|line| matches!(line.what, Priced::Hours { operation: of, .. } if of == operation));
        found.unwrap()
    };
    // Two slopes as above; 0.4 h a square metre at 48, the user's own. Sixteen metres of eave at the usual 0.12.
    let x = 6.0 / (1.0 + 30_f64.to_radians().tan());
    let area = 8.0 * x / 30_f64.to_radians().cos() + 8.0 * (6.0 - x) / 45_f64.to_radians().cos();
    near(hours(Operation::Cover).quantity, area * 0.4);
    near(hours(Operation::Cover).sum, hundredth(area * 0.4 * 48.0));
    near(hours(Operation::Eave).quantity, 16.0 * 0.12);
    near(hours(Operation::Ridge).quantity, 8.0 * 0.20);
    assert!(offer.usual_hours().iter().all(|(of, each)| *of != Operation::Cover && *each == of.usual_hours()));
    let said = wording::offer::usual_hours(offer).unwrap();
    assert!(said.contains("invented") && said.contains("eaves 0.12 h/m") && !said.contains("covering"), "{said}");
    // Along eaves and verges.
    let rakes = 2.0 * (x / 30_f64.to_radians().cos() + (6.0 - x) / 45_f64.to_radians().cos());
    let access = offer.work.iter().find(|line| line.what == Priced::AccessAlong).unwrap();
    near(access.sum, hundredth((16.0 + rakes) * 4.0));
}

#[test]
fn prices_that_contradict_each_other_are_refused() {
    let refused = |own: &str, code: &str| {
        let shed = PRICED.split("[prices]").next().unwrap();
        let errors = input::read("roof.toml", &format!("{shed}[prices]\n{own}"), &NoFiles).unwrap_err();
        assert!(errors.iter().any(|error| error.code == code), "{own}: {errors:?}");
    };
    refused("margin = \"10 %\"\nmarkup = \"10 %\"\n", "conflicting-keys");
    refused("labour-m2 = 10\n[prices.hours]\neach = 48\n", "conflicting-keys");
    refused("file = \"prices.toml\"\n", "price-file");
    refused("underlay = { each = 2, per = \"yard\" }\n", "unknown-word");
    refused("[offer]\nleft_out = [\"guter\"]\n", "unknown-word");
    refused("[prices.hours]\ncover = 0.4\n", "missing-key");
}

#[test]
fn a_price_by_a_unit_that_a_line_does_not_come_in_leaves_it_unpriced() {
    let (_, _, answer) = shed_with("nail = { each = 9, per = \"m²\" }\n", WHOLE, "");
    let offer = answer.offer.unwrap();
    assert_eq!(offer.unpriced, [Unpriced::WrongUnit(Item::Fixings(Fixing::Nails))]);
    assert!(offer.whole().is_none());
}

/// The words of a page of HTML.
fn words_of(page: &str) -> String {
    let mut words = String::new();
    for part in page.split_once("<main>").unwrap().1.split('<') {
        words.push_str(part.split_once('>').map_or(part, |(_, text)| text));
        words.push(' ');
    }
    words
}

fn offer_page(case: &(Job, Answer, TakeOff)) -> String {
    let (job, answer, take_off) = case;
    let context = Context::of(job);
    let input = SheetInput { job, answer, take_off, context: &context, audience: Audience::Client, full: false };
    words_of(&html::html(&offer_sheet(&input), input.paper()))
}

#[test]
fn an_offer_that_is_not_whole_says_so_first_and_has_no_total() {
    let without = WHOLE.replace("gutter = 4.20\n", "");
    let case = shed_with("", &without, "");
    let page = offer_page(&case);
    let (open, scope) = (page.find("Still to be priced").unwrap(), page.find("What is included").unwrap());
    assert!(open < scope && page[open..scope].contains("Gutters along eaves"), "{page}");
    assert!(!page.contains("total") && !page.contains("groats") && !page.contains("signature"), "{page}");
    let text = eavewright::cli::offer::text(&case.0, &case.2, Format::default());
    let told = text.find("no price for gutters along eaves").unwrap();
    assert!(told < text.find("covering").unwrap() && !text.contains("total"), "{text}");
    let json = serde_json::to_value(TakeoffTwin::new(&case.2, &case.1.roof, Format::default(), false)).unwrap();
    assert!(json["offer"]["total"].is_null() && json["offer"]["whole"] == false);
    assert_eq!(json["offer"]["unpriced"], serde_json::json!(["gutter"]));
    // Left to others it needs no price, and stands under what is not included.
    let case = shed_with("", &without, "[offer]\nleft_out = [\"gutter\"]\n");
    let page = offer_page(&case);
    let not = page.find("What is not included").unwrap();
    assert!(page[not..].contains("Gutters along eaves") && !page[..not].contains("Gutters along eaves"), "{page}");
    assert!(page.contains("total"), "{page}");
}

#[test]
fn a_client_reads_no_key_of_a_file_no_nail_and_no_purchase_price() {
    let words = "[offer]\nfirm = [\"Ridge and Eave Roofing\", \"2 Yard Lane\"]\nclient = [\"A. Client\"]\nnumber = \"2026-014\"\n\
                 valid_until = 2026-06-01\nexcluded = [\"painting\"]\nterms = [\"Payment within 14 days\"]\n";
    let case = shed_with("", WHOLE, words);
    let page = offer_page(&case);
    let total = case.2.offer.as_ref().unwrap().whole().unwrap().total;
    for told in
        ["2 Yard Lane", "A. Client", "2026-06-01", "Painting.", "Payment within 14 days.", "signature", "tax, 20 %"]
    {
        assert!(page.contains(told), "{told}: {page}");
    }
    assert!(page.contains(&format!("{total:.2} groats")), "{page}");
    let keys = input::PRICED.iter().filter(|key| key.contains('-')).copied();
    for key in keys.chain(["nails", "[prices", "level_ceiling", "h/m", "20.50", "4.10", "shed/A"]) {
        assert!(!page.contains(key), "{key}: {page}");
    }
}

#[test]
fn a_handover_tells_what_was_laid_from_which_batch() {
    let words =
        "[[as_laid]]\nwhat = \"strip-shingle\"\nbatch = \"B 2207\"\ndate = 2026-05-14\nnote = \"south slope\"\n";
    let (job, answer, take_off) = shed_with("", WHOLE, words);
    let context = Context::of(&job);
    let input = SheetInput {
        job: &job,
        answer: &answer,
        take_off: &take_off,
        context: &context,
        audience: Audience::Client,
        full: false,
    };
    let page = words_of(&html::html(&handover_sheet(&input), input.paper()));
    for told in ["B 2207", "2026-05-14", "south slope", "How to look after it", "Looked over at handover", "signature"]
    {
        assert!(page.contains(told), "{told}: {page}");
    }
    assert!(!page.contains("strip-shingle") && !page.contains("groats"), "{page}");
}
