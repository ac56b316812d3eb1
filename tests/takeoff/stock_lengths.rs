//! Goods that are bought by length: of the lengths on offer the one is ordered of which the least is bought, and what is
//! left of boards, panels and sheets is laid. Counts worked out by hand; laps and rests: common practice, no source.

use super::solved::{covering, eave, quantity, rectangle, solved, t_plan, taken_off};
use eavewright::input::{self, Beside};
use eavewright::job::{self, Options, order};
use eavewright::outline::footprint::Role;
use eavewright::roof::analysis::drainage::drain;
use eavewright::takeoff::layout::Source;
use eavewright::takeoff::model::Covering;
use eavewright::takeoff::{TakeOff, TakeoffInput, take_off};
use std::path::Path;

/// A gable with two eaves and a ridge of 9.6 m.
fn gable(card: &Covering) -> TakeOff {
    taken_off(&rectangle(9.6, 4.8, eave(35.0), Role::Verge), card)
}

/// How many of what length a line orders.
fn bought(answer: &TakeOff, item: &str) -> (u32, f64) {
    let line = answer.line(item).unwrap_or_else(|| panic!("no line {item}"));
    (line.packs.unwrap(), line.pack.as_ref().unwrap().length().unwrap())
}

#[test]
fn every_good_bought_by_length_takes_the_length_that_leaves_the_least() {
    let mut card = covering("strip-shingle");
    let goods = card.card.rain_goods.as_mut().unwrap();
    (goods.board, goods.board_lengths) = (4.0, vec![4.8]);
    (goods.gutter_piece, goods.gutter_lengths) = (3.0, vec![2.4]);
    (goods.pipe_piece, goods.pipe_lengths) = (2.5, vec![1.2, 2.4]);
    card.card.eave_strip.as_mut().unwrap().lengths = vec![2.45, 3.0];
    let answer = gable(&card);
    // Two boards of 4.8 m are an eave; of 4 m five would be bought, 20 m.
    assert_eq!(bought(&answer, "fascia-board"), (4, 4.8));
    // Four pieces of 2.4 m are an eave; of 3 m seven would be bought, 21 m.
    assert_eq!(bought(&answer, "gutter"), (8, 2.4));
    // Two pipes of 2.4 m; of 1.2 m as many metres in twice the pieces, of 2.5 m 0.2 m more.
    assert_eq!(bought(&answer, "downpipe"), (2, 2.4));
    // Laps of 50 mm: 4 x 2.45 - 3 x 0.05 = 9.65 m; of 2 m ten, 20 m, of 3 m seven, 21 m, against 19.6 m.
    assert_eq!(bought(&answer, "edge-strip-eave"), (8, 2.45));
    assert!((answer.line("edge-strip-eave").unwrap().left_over.unwrap() - 2.0 * 0.05).abs() < 1e-9);
    // The step of work tells the pieces that come, not the card's usual ones.
    let told = answer.work.iter().find(|step| step.task.word() == "eave-metal").unwrap();
    assert!(told.values().contains(&("piece", 2.45)), "{:?}", told.values());
}

#[test]
fn a_length_that_fits_to_the_millimetre_is_not_taken_for_a_measured_roof() {
    // Eight eaves of 1.80 m: two out of a board of 3.6 m where they are exact, one where they may be 6 mm longer; of 4 m two
    // all the same.
    let corners: Vec<(f64, f64)> = (0..8)
        .scan((0.0, 0.0), |at, turn| {
            let (here, angle) = (*at, f64::from(turn) * std::f64::consts::FRAC_PI_4);
            *at = (here.0 + 1.8 * angle.cos(), here.1 + 1.8 * angle.sin());
            Some(here)
        })
        .collect();
    let roof = solved(&corners, &vec![eave(30.0); 8]);
    let card = covering("strip-shingle");
    assert_eq!(bought(&taken_off(&roof, &card), "fascia-board"), (4, 3.6));
    let input = TakeoffInput {
        roof: &roof,
        drainage: &drain(&roof),
        openings: &[],
        covering: &card,
        wind_from: None,
        timbers: &[],
        north: 0.0,
        area_sd: Some(0.06),
    };
    let measured = take_off(&input);
    assert_eq!(bought(&measured, "fascia-board"), (4, 4.0));
    assert_eq!(measured.line("fascia-board").unwrap().packs_high(), None);
}

#[test]
fn soffit_comes_in_pieces_where_the_card_has_them_and_by_the_metre_where_not() {
    let mut card = covering("strip-shingle");
    let goods = card.card.rain_goods.as_mut().unwrap();
    (goods.soffit_piece, goods.soffit_lengths) = (Some(3.0), vec![4.8]);
    // Two eaves of 9.6 m and four rakes of 2.4 / cos 35 = 2.930 m: of 3 m three and 0.6 m, then three, the second end out of
    // the first's rest, 7, and four rakes, 33 m; of 4.8 m two twice and four, 38.4 m.
    assert_eq!(bought(&gable(&card), "soffit"), (11, 3.0));
    card.card.rain_goods.as_mut().unwrap().soffit_piece = None;
    let loose = gable(&card);
    assert_eq!(loose.line("soffit").unwrap().packs, None);
    assert!((quantity(&loose, "soffit") - 2.0 * 9.6 - 4.0 * 2.4 / 35_f64.to_radians().cos()).abs() < 1e-6);
}

#[test]
fn battens_are_bought_in_the_length_that_ends_on_rafters() {
    let mut card = covering("slate");
    let deck = card.card.deck.as_mut().unwrap();
    (deck.length, deck.lengths, deck.spacing) = (4.0, Vec::new(), 0.6);
    let rows = |answer: &TakeOff| -> u32 {
        answer.deck_plans.iter().map(|plan| u32::try_from(plan.rows().len()).unwrap()).sum()
    };
    let usual = gable(&card);
    card.card.deck.as_mut().unwrap().lengths = vec![4.8];
    let answer = gable(&card);
    // Every row of 9.6 m is two battens of 4.8 m with nothing over.
    assert_eq!(bought(&answer, "deck-board"), (2 * rows(&answer), 4.8));
    assert!(f64::from(bought(&usual, "deck-board").0) * 4.0 > f64::from(rows(&answer)) * 9.6 * 1.02);
}

#[test]
fn ridge_pieces_of_another_length_lap_as_much_and_are_held_as_well() {
    let mut card = covering("profiled-sheet");
    let usual = gable(&card);
    // 2 m pieces show 1.85 m: ceil((9.6 - 2) / 1.85) + 1 = 6, 12 m. 2.55 m pieces show 2.40 m:
    // ceil((9.6 - 2.55) / 2.40) + 1 = 4, 10.2 m.
    assert_eq!(bought(&usual, "ridge-hip-cap"), (6, 2.0));
    card.card.caps.as_mut().unwrap().lengths = vec![2.55];
    let longer = gable(&card);
    assert_eq!(bought(&longer, "ridge-hip-cap"), (4, 2.55));
    assert!((longer.caps[0].exposure - 2.40).abs() < 1e-9);
    // Weight by the metre; eight screws on 1.85 m.
    let weight = |answer: &TakeOff| answer.line("ridge-hip-cap").unwrap().weight.value().unwrap();
    assert!((weight(&longer) - 10.2 * 1.5).abs() < 1e-9 && (weight(&usual) - 12.0 * 1.5).abs() < 1e-9);
    let screws = |answer: &TakeOff| quantity(answer, "nail") / 1.05;
    assert!((screws(&usual) - screws(&longer) - (6.0 * 8.0 - 4.0 * 8.0 * 2.40 / 1.85)).abs() < 2.0);
}

#[test]
fn what_is_left_beside_a_sheet_covers_the_other_slope_and_is_never_turned() {
    let sheets = |width: f64| taken_off(&rectangle(width, 6.0, eave(30.0), Role::Verge), &covering("profiled-sheet"));
    let ordered = |answer: &TakeOff| answer.line("profiled-sheet").unwrap().packs.unwrap();
    // 0.3 m of a seventh sheet on each slope: one sheet gives both. 0.6 m twice it does not give.
    assert_eq!((ordered(&sheets(6.3)), ordered(&sheets(6.6)), ordered(&sheets(6.0))), (13, 14, 12));
    let answer = sheets(6.3);
    let pieces: Vec<_> =
        answer.layouts.iter().flat_map(|layout| layout.courses.iter().flat_map(|of| &of.pieces)).collect();
    let reused: Vec<_> = pieces.iter().filter(|piece| piece.source != Source::New).collect();
    let [piece] = reused.as_slice() else { panic!("{reused:?}") };
    let Source::Offcut(from) = piece.source else { panic!("{piece:?}") };
    let cut_from =
        &answer.layouts.iter().find(|layout| layout.face == from.face).unwrap().courses[from.course].pieces[from.piece];
    // The one keeps the left side of the sheet, the other the right one.
    let keeps_left = |piece: &eavewright::takeoff::layout::LaidPiece| (piece.extent()[0] - piece.from_u).abs() < 1e-9;
    assert!(keeps_left(piece) != keeps_left(cut_from));
    // What is ordered covers what is laid, and no face wastes less than nothing.
    let area = answer.area.value().unwrap();
    assert!(13.0 * 3.52 > area && answer.faces.iter().all(|face| (0.0..0.2).contains(&face.waste)));
}

/// Every board that is laid can be cut from what is bought, on roofs by blocks and by points, whatever is out of level.
#[test]
fn no_board_is_longer_than_stock_and_as_much_is_bought_as_is_laid() {
    let examples = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    for name in ["boat_store", "stable_l", "lean_to", "field_shed", "apple_store"] {
        let path = examples.join(name).with_extension("toml");
        let text = std::fs::read_to_string(&path).unwrap();
        let (job, ..) = input::read(name, &text, &Beside::of(&path)).unwrap();
        let answer = job::solve(&job, &Options { steps: false, spread: false }).unwrap();
        boards_suffice(name, &order::take_off(&job, &answer));
    }
    for card in ["strip-shingle", "single-tab", "slate", "profiled-sheet"] {
        let hexagon: Vec<(f64, f64)> = (0..6)
            .map(|turn| f64::from(turn).to_radians() * 60.0)
            .map(|turn| (3.0 * turn.cos(), 3.0 * turn.sin()))
            .collect();
        for roof in [t_plan(), rectangle(9.2, 5.6, eave(35.0), eave(35.0)), solved(&hexagon, &vec![eave(40.0); 6])] {
            boards_suffice(card, &taken_off(&roof, &covering(card)));
        }
    }
}

fn boards_suffice(name: &str, answer: &TakeOff) {
    let (boards, length) = bought(answer, "deck-board");
    for plan in &answer.deck_plans {
        for piece in &plan.pieces {
            // An end may stand a saw cut's width off.
            assert!(piece.u[1] - piece.u[0] <= length + 0.010 + 1e-6, "{name}: {piece:?} of {length}");
        }
    }
    let each = match answer.line("deck-board").unwrap().pack {
        Some(eavewright::takeoff::item::Pack::Sheet { width, length }) => width * length,
        _ => answer.deck_plans[0].stock.width * length,
    };
    let line = answer.line("deck-board").unwrap();
    let laid = match line.unit {
        eavewright::takeoff::item::Unit::Metre => line.quantity.value().unwrap() * answer.deck_plans[0].stock.width,
        _ => line.quantity.value().unwrap(),
    };
    assert!(f64::from(boards) * each >= laid - 1e-6, "{name}: {boards} of {each} m² for {laid} m²");
}
