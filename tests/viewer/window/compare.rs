//! Pitches compared and one taken.

use super::state::{HIP, Plain, area, keep, settle, window};
use eavewright::viewer::editors::views::Tab;
use egui_kittest::kittest::Queryable;
use std::sync::Arc;

#[test]
fn a_pitch_taken_is_written_into_every_eave_as_one_step() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    harness.state_mut().views.tab = Tab::Compare;
    settle(&mut harness);
    keep(&mut harness, "compare");
    // Plan over the cosine, as for any roof of one pitch.
    let at = |degrees: f64| 9.2 * 5.6 / degrees.to_radians().cos();
    assert!(harness.query_by_label(&format!("{:.2} m²", at(45.0))).is_some());
    harness.get_by_label("Take 45.0°").click();
    settle(&mut harness);
    assert_eq!(harness.state().text, HIP.replace("pitch = 35", "pitch = 45"));
    assert!((area(&harness) - at(45.0)).abs() < 1e-6);
    harness.key_press_modifiers(eframe::egui::Modifiers::COMMAND, eframe::egui::Key::Z);
    settle(&mut harness);
    assert_eq!(harness.state().text, HIP);
}
