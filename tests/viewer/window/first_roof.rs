//! A first roof: chosen from the gallery, led through by the guide, a side of it split.

use super::state::{HIP, Plain, area, keep, settle, type_into, window};
use eavewright::viewer::backend::Backend;
use eavewright::viewer::editors::forms::Page;
use eavewright::wording::guide;
use egui_kittest::kittest::Queryable;
use std::sync::Arc;

#[test]
fn every_shape_and_example_is_a_card_that_begins_a_roof() {
    let backend = Arc::new(Plain::default());
    let (shapes, examples) = (backend.shapes(), backend.examples());
    assert!(shapes.len() >= 11 && examples.len() >= 5, "{} {}", shapes.len(), examples.len());
    let mut solved = 0;
    for (verb, about) in
        shapes.iter().map(|card| ("Begin with", &card.0)).chain(examples.iter().map(|card| ("Look into", &card.0)))
    {
        // Tall enough that no card lies below the edge.
        let mut harness = window(backend.clone(), "", [1280.0, 1800.0]);
        harness.get_by_label(&format!("{verb} {about}")).click();
        settle(&mut harness);
        let state = harness.state();
        if state.text.contains("[[photo]]") {
            // Its photo is not there yet.
            assert!(state.errors().next().is_some() && state.forms.guide.step().is_none());
            continue;
        }
        assert!(state.shown.is_some() && state.errors().next().is_none(), "{about}");
        assert!(!state.is_changed(), "what is only looked at asks for no saving");
        assert_eq!(
            state.forms.guide.step().is_some(),
            verb == "Begin with" && state.text.contains("[[block]]"),
            "{about}"
        );
        solved += 1;
    }
    assert!(solved >= 15, "{solved}");
    for (name, size) in [("gallery-1280", [1280.0, 800.0]), ("gallery-800", [800.0, 600.0])] {
        let mut harness = window(backend.clone(), "", size);
        keep(&mut harness, name);
    }
}

/// The guide goes through a hip of 9.20 by 5.60 m at 40 degrees: 51.52 m² over cos 40, 67.25 m².
#[test]
fn six_steps_lead_from_a_shape_to_a_roof_to_order_for() {
    let mut harness = window(Arc::new(Plain::default()), "", [1280.0, 1400.0]);
    harness.get_by_label("Begin with a slope from every side").click();
    settle(&mut harness);
    let pages = [Page::Sides, Page::Measures, Page::Sides, Page::Openings, Page::Covering, Page::Covering];
    for (number, (page, (title, _))) in pages.into_iter().zip(guide::STEPS).enumerate() {
        assert!(harness.query_by_label(&format!("Step {} of 6: {title}", number + 1)).is_some(), "{title}");
        assert_eq!(harness.state().forms.page, page, "{title}");
        match number {
            0 => {
                for (side, length) in [("A", "9.20"), ("B", "5.60"), ("C", "9.20"), ("D", "5.60")] {
                    type_into(&mut harness, &format!("length of side {side}"), length);
                }
            }
            2 => {
                for side in ["A", "B", "C", "D"] {
                    type_into(&mut harness, &format!("pitch of side {side}"), "40");
                }
            }
            _ => {}
        }
        keep(&mut harness, &format!("guide-{}", number + 1));
        harness.get_by_label(if number == 5 { "end of the guide" } else { "next step" }).click();
        settle(&mut harness);
    }
    assert_eq!(harness.state().forms.guide.step(), None);
    assert!((area(&harness) - 9.2 * 5.6 / 40_f64.to_radians().cos()).abs() < 1e-3, "{}", area(&harness));
    assert!(harness.state().is_changed() && harness.state().errors().next().is_none());
}

#[test]
fn the_guide_goes_back_and_away() {
    let mut harness = window(Arc::new(Plain::default()), "", [1280.0, 1400.0]);
    harness.get_by_label("Begin with two slopes between gable ends").click();
    settle(&mut harness);
    harness.get_by_label("next step").click();
    settle(&mut harness);
    harness.get_by_label("one step back").click();
    settle(&mut harness);
    assert_eq!(harness.state().forms.guide.step(), Some(0));
    harness.get_by_label("Without a guide").click();
    settle(&mut harness);
    assert_eq!(harness.state().forms.guide.step(), None);
    assert!(harness.state().shown.is_some());
}

#[test]
fn a_side_that_is_split_leaves_the_roof_as_it_was() {
    let placed = "units = \"m\"\n[[block]]\nname = \"store\"\nsides = [\n  { from = \"A\", at = [0, 0], pitch = 35 },\n  { from = \"B\", at = [9.2, 0], pitch = 35 },\n  { from = \"C\", at = [9.2, 5.6], pitch = 35 },\n  { from = \"D\", at = [0, 5.6], pitch = 35 },\n]\n";
    for (text, second) in [(HIP, "length = 4.6, turn = \"L\""), (placed, "at = [4.6, 0]")] {
        let mut harness = window(Arc::new(Plain::default()), text, [1280.0, 1000.0]);
        let before = area(&harness);
        harness.get_by_label("more about side A").click();
        harness.run_steps(2);
        harness.get_by_label("Split it in two").click();
        settle(&mut harness);
        let state = harness.state();
        assert!(state.errors().next().is_none(), "{:?}\n{}", state.diagnostics, state.text);
        assert!((area(&harness) - before).abs() < 1e-6, "{}", state.text);
        assert!(state.text.contains(second), "{}", state.text);
        assert_eq!(state.text.matches("from = ").count(), 5);
    }
}
