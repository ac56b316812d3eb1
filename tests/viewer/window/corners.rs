//! Faces built by clicking their points in order, on the plan and over the roof in 3D.

use super::state::{Plain, area, keep, settle, window};
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::editors::views::Tab;
use eframe::egui::Key;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::sync::Arc;

const SHED: &str = include_str!("../../../examples/field_shed.toml");

/// The shed without its north face, which is to be built again.
fn without_north() -> String {
    let (before, after) = SHED.split_once("[[face]]\nname = \"north\"").unwrap();
    let after = after.split_once("[[face]]").unwrap().1;
    format!("{before}[[face]]{after}")
}

fn press(harness: &mut Harness<'static, AppState>, name: &str) {
    harness.get_by_label(name).click();
    settle(harness);
}

#[test]
fn a_face_is_built_of_points_on_the_plan_and_in_3d() {
    let whole = area(&window(Arc::new(Plain::default()), SHED, [1280.0, 800.0]));
    for (tab, closes) in [(Tab::Plan, "by Enter"), (Tab::Roof, "by its first point")] {
        let mut harness = window(Arc::new(Plain::default()), &without_north(), [1280.0, 800.0]);
        harness.state_mut().views.tab = tab;
        settle(&mut harness);
        let before = area(&harness);
        assert!(before < whole - 5.0, "{before} {whole}");
        press(&mut harness, "Build faces");
        for point in ["E3", "E4", "R1", "R2"] {
            press(&mut harness, &format!("corner of a face: {point}"));
        }
        keep(&mut harness, &format!("corners-{}", tab.word().to_lowercase()));
        if closes == "by Enter" {
            harness.key_press(Key::Enter);
            settle(&mut harness);
        } else {
            press(&mut harness, "corner of a face: E3");
        }
        let state = harness.state();
        assert!(state.errors().next().is_none(), "{:?}\n{}", state.diagnostics, state.text);
        assert!(state.text.contains("points = [\"E3\", \"E4\", \"R1\", \"R2\"]"), "{}", state.text);
        assert!((area(&harness) - whole).abs() < 1e-6, "{} {whole}", area(&harness));
        assert!(state.look.chosen.is_none(), "no face is chosen by a click that builds");
        harness.key_press(Key::Escape);
        settle(&mut harness);
        assert!(harness.state().views.photos.building.is_none());
        assert!(harness.query_by_label("corner of a face: E3").is_none());
    }
}
