//! The building under its roof: heights, overhangs, chimneys and details against closed forms. Of the project's own invention.

use eavewright::input::{self, NoFiles};
use eavewright::job::building::{LayerOf, LevelOf, Measure};
use eavewright::job::{self, Answer, Options};
use eavewright::roof::EdgeKind;

fn answer(more: &str) -> Answer {
    let file = std::fs::read_to_string(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/formats/building_as_it_stands.toml"),
    );
    let (job, ..) = input::read("store", &(file.unwrap() + more), &NoFiles).unwrap();
    job::solve(&job, &Options::default()).unwrap()
}

fn close(found: f64, expected: f64) {
    assert!((found - expected).abs() < 1e-9, "{found} for {expected}");
}

#[test]
fn heights_have_names() {
    let answer = answer("");
    let at = |of: LevelOf| {
        let found: Vec<f64> =
            answer.building.levels.iter().filter(|level| level.of == of).map(|level| level.at).collect();
        assert_eq!(found.len(), 1, "{of:?}: {found:?}");
        found[0]
    };
    // The plate lies at 2.40 m, the roof's surface 0.12 m over it at the wall, the drip edge 0.30 m out; half the roof is 2.50 + 0.30 m
    // deep. The chimney stands astride the ridge, 0.90 m over it.
    let tangent = 35_f64.to_radians().tan();
    let drip = 2.40 + 0.12 - 0.30 * tangent;
    close(at(LevelOf::Ground), 0.0);
    close(at(LevelOf::Plate), 2.40);
    close(at(LevelOf::DripEdge), drip);
    close(at(LevelOf::Ridge), drip + 2.80 * tangent);
    close(at(LevelOf::Top), drip + 2.80 * tangent + 0.90);
}

#[test]
fn overhangs_are_those_of_the_file() {
    let answer = answer("");
    for (index, edge) in answer.roof.edges.iter().enumerate() {
        let found = answer.building.overhang(eavewright::base::ids::EdgeId::new(index));
        match edge.kind {
            EdgeKind::Eave => close(found.unwrap(), 0.30),
            EdgeKind::Verge => close(found.unwrap(), 0.20),
            _ => assert_eq!(found, None),
        }
    }
}

#[test]
fn a_chimney_astride_the_ridge_stands_on_both_slopes() {
    let answer = answer("");
    let [chimney] = &answer.building.raised[..] else { panic!("{:?}", answer.building.raised) };
    let ridge = answer.roof.ridge_height().unwrap();
    let tangent = 35_f64.to_radians().tan();
    // Sides along the ridge stand 0.30 m from it, those across it cross it: three places each.
    let corners: Vec<usize> = chimney.feet.iter().map(Vec::len).collect();
    assert_eq!(corners, [2, 3, 2, 3]);
    for foot in chimney.feet.iter().flatten() {
        close(foot.z, ridge - (foot.y - 2.5).abs() * tangent);
    }
}

#[test]
fn details_say_what_is_stated_and_nothing_else() {
    let answer = answer("");
    let of =
        |kind: EdgeKind| answer.building.details.iter().filter(move |detail| detail.of == kind).collect::<Vec<_>>();
    let [eave] = of(EdgeKind::Eave)[..] else { panic!() };
    assert_eq!(eave.edges.len(), 3);
    let layers: Vec<LayerOf> = eave.layers.iter().map(|layer| layer.of).collect();
    assert_eq!(layers, [LayerOf::Shingles, LayerOf::Underlay, LayerOf::Deck, LayerOf::Rafter]);
    // Strips of 333 mm at 143 mm lie three over each other where they lap, 3 mm each; what the underlay is thick is not stated.
    close(eave.layers[0].thickness.unwrap(), 0.009);
    assert_eq!(eave.layers[1].thickness, None);
    for (measure, expected) in [
        (Measure::Overhang, 0.30),
        (Measure::PastFascia, 0.04),
        (Measure::FasciaDepth, 0.175),
        (Measure::Soffit, 0.012),
        (Measure::Wall, 0.14),
        (Measure::Heel, 0.12),
        // The rafter is 0.150 m deep square to its length: plumb 0.150 / cos 35, of which 0.12 stands over the plate.
        (Measure::Notch, 0.150 / 35_f64.to_radians().cos() - 0.12),
        (Measure::CoveringPast, 0.008),
    ] {
        close(eave.length(measure).unwrap(), expected);
    }
    let [verge] = of(EdgeKind::Verge)[..] else { panic!() };
    close(verge.length(Measure::Overhang).unwrap(), 0.20);
    assert_eq!((verge.length(Measure::Soffit), verge.length(Measure::Heel)), (None, None));
    // No board at the ridge is stated.
    let [ridge] = of(EdgeKind::Ridge)[..] else { panic!() };
    assert_eq!(ridge.length(Measure::FoldDepth), None);
    close(ridge.length(Measure::CapCover).unwrap(), 0.141);
    assert!(of(EdgeKind::Valley).is_empty());
}

#[test]
fn a_covering_is_as_thick_as_its_pieces_lie_over_each_other() {
    for (card, values, expected) in [
        // A course of plain tiles 265 mm long at 100 mm lies under two others at its head.
        ("plain-tile", "{ unit = { thickness = \"12 mm\" } }", vec![(LayerOf::Units, 0.036)]),
        // Sheets lie once, and are as deep as their profile.
        ("profiled-sheet", "{ sheet = { thickness = \"35 mm\" } }", vec![(LayerOf::Sheets, 0.035)]),
        (
            "felt",
            "{ felt = { base_thickness = \"2.5 mm\", cap_thickness = \"5 mm\" } }",
            vec![(LayerOf::CapSheet, 0.005), (LayerOf::BaseLayer, 0.0025)],
        ),
    ] {
        let file = format!(
            "{}\n[covering]\ncard = \"{card}\"\ncard_values = {values}\n",
            roof_of(if card == "felt" { 8 } else { 45 })
        );
        let (job, ..) = input::read("store", &file, &NoFiles).unwrap();
        let answer = job::solve(&job, &Options::default()).unwrap();
        let eave = answer.building.details.iter().find(|detail| detail.of == EdgeKind::Eave).unwrap();
        for (of, thickness) in expected {
            let layer = eave.layers.iter().find(|layer| layer.of == of).unwrap();
            close(layer.thickness.unwrap(), thickness);
        }
    }
}

/// A plain gable of a pitch.
fn roof_of(pitch: u32) -> String {
    format!(
        "units = \"m\"\n[[block]]\nname = \"store\"\nheight = 2.4\nsides = [\n\
         {{ from = \"A\", length = 6.0, turn = \"L\", pitch = {pitch} }},\n{{ from = \"B\", length = 4.0, turn = \"L\", verge = true }},\n\
         {{ from = \"C\", length = 6.0, turn = \"L\", pitch = {pitch} }},\n{{ from = \"D\", length = 4.0, verge = true }},\n]\n"
    )
}

#[test]
fn purlins_and_collars_are_as_long_as_the_roof_is_there() {
    let answer = answer("");
    let of = |word: &str| {
        let all = answer.framing.lines.iter().filter(|line| line.kind.word() == word);
        all.map(eavewright::framing::TimberLine::length).collect::<Vec<f64>>()
    };
    // A purlin 1.60 m up the slope lies 1.60 cos 35 in from each eave: so much shorter than the eave at a hip, on both of its
    // slopes; the gable end takes nothing off.
    let inside = 1.60 * 35_f64.to_radians().cos();
    let mut purlins = of("purlin");
    purlins.sort_by(f64::total_cmp);
    let expected = [5.6 - 2.0 * inside, 8.5 - inside, 8.5 - inside];
    assert_eq!(purlins.len(), expected.len());
    for (found, expected) in purlins.iter().zip(expected) {
        close(*found, expected);
    }
    // A collar 1.10 m over the drip edge: from slope to slope.
    let collars = of("collar");
    assert!(collars.len() > 5, "{collars:?}");
    for found in collars {
        close(found, 5.6 - 2.0 * 1.10 / 35_f64.to_radians().tan());
    }
}
