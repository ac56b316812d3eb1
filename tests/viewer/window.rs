//! The window's flows, found by accessible names and drawn without a display, the real 3D view in the picture.

mod adding;
mod calm;
mod compare;
mod corners;
mod doubts;
mod files;
mod first_roof;
mod forms;
mod keyboard;
mod keys;
mod lifting;
mod names;
mod order;
mod placing;
mod plan;
mod rename;
mod trust;
mod untouched;

use super::state;
use eavewright::viewer::app::state::AppState;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use state::{HIP, Plain, area, keep, settle, type_into, window};
use std::sync::Arc;
use std::time::{Duration, Instant};

#[test]
fn a_length_typed_changes_the_roof_and_only_its_place_in_the_file() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    let before = 9.2 * 5.6 / 35_f64.to_radians().cos();
    assert!((area(&harness) - before).abs() < 1e-6);
    keep(&mut harness, "window");
    type_into(&mut harness, "length of side A", "10.20");
    type_into(&mut harness, "length of side C", "10.20");
    assert!((area(&harness) - 10.2 * 5.6 / 35_f64.to_radians().cos()).abs() < 1e-6);
    assert_eq!(harness.state().text, HIP.replace("9.20", "10.20"));
    assert!(harness.state().is_changed());
}

#[test]
fn a_mistake_is_told_at_its_field_and_the_last_roof_stays() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    let before = area(&harness);
    type_into(&mut harness, "length of side B", "nonsense");
    assert!(harness.state().errors().count() > 0);
    assert!((area(&harness) - before).abs() < 1e-9);
    assert!(harness.query_by_label_contains("the roof shown is the last that could be solved").is_some());
    assert!(harness.query_all_by_label("side B:").next().is_some());
    keep(&mut harness, "mistake");
    type_into(&mut harness, "length of side B", "5.60");
    assert_eq!(harness.state().errors().count(), 0);
    assert_eq!(harness.state().text, HIP);
}

#[test]
fn every_change_is_undone_and_made_again_by_key() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    type_into(&mut harness, "pitch of side A", "40");
    type_into(&mut harness, "pitch of side C", "40");
    let changed = harness.state().text.clone();
    let press = |harness: &mut Harness<'static, AppState>, name: &str| {
        harness.get_by_label(name).click();
        settle(harness);
    };
    press(&mut harness, "Undo");
    press(&mut harness, "Undo");
    assert_eq!(harness.state().text, HIP);
    assert!((area(&harness) - 9.2 * 5.6 / 35_f64.to_radians().cos()).abs() < 1e-6);
    press(&mut harness, "Redo");
    press(&mut harness, "Redo");
    assert_eq!(harness.state().text, changed);
}

#[test]
fn a_face_clicked_says_its_name_area_and_pitch() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    let view = harness.get_by_label_contains("roof in 3D").rect();
    let place = {
        let app = harness.state();
        let shown = app.shown.as_ref().unwrap();
        let face = shown.answered.answer.roof.face_named("store/A").unwrap();
        let ring = shown.answered.answer.roof.ring(&shown.answered.answer.roof.faces[face.index()]);
        let sum = ring.iter().fold(nalgebra::Vector3::zeros(), |sum, corner| sum + corner.coords);
        let middle = nalgebra::Point3::from(sum / ring.len() as f64) - shown.scene.origin;
        let at = app.canvas.camera.unwrap().appears(&middle, app.canvas.aspect).unwrap();
        #[allow(clippy::cast_possible_truncation)]
        let share = eframe::egui::vec2(at.x as f32, at.y as f32);
        view.min + share * view.size()
    };
    harness.hover_at(place);
    harness.run_steps(2);
    harness.drag_at(place);
    harness.run_steps(1);
    harness.drop_at(place);
    harness.run_steps(3);
    assert!(harness.query_by_label("face store/A").is_some());
    assert!(harness.query_by_label_contains("face store/A chosen").is_some());
    assert!(harness.query_all_by_label_contains("21.88 ± 0.16").next().is_some());
    // The 3D view really is in the picture: many more colours than panels alone have.
    let image = keep(&mut harness, "chosen");
    let mut colours = std::collections::HashSet::new();
    for (x, y, pixel) in image.enumerate_pixels() {
        #[allow(clippy::cast_precision_loss)]
        if view.contains(eframe::egui::pos2(x as f32, y as f32)) {
            colours.insert(pixel.0);
        }
    }
    assert!(colours.len() > 500, "{}", colours.len());
}

#[test]
fn a_side_becomes_a_verge_and_its_pitch_goes() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    harness.get_by_label("kind of side B").click();
    harness.run_steps(3);
    harness.get_by_label("verge").click();
    settle(&mut harness);
    assert!(harness.state().text.contains("{ from = \"B\", length = 5.60, turn = \"L\", verge = true }"));
    assert!(harness.query_by_label("pitch of side B").is_none());
    assert_eq!(harness.state().errors().count(), 0);
}

#[test]
fn what_a_killed_window_left_is_offered_and_taken_up() {
    let backend = Arc::new(Plain::default());
    let mut first = window(backend.clone(), HIP, [1280.0, 800.0]);
    type_into(&mut first, "length of side A", "9.31");
    let typed = Instant::now();
    while backend.kept.lock().unwrap().is_empty() {
        assert!(typed.elapsed() < Duration::from_secs(2), "not kept within two seconds");
        std::thread::sleep(Duration::from_millis(50));
        first.run_steps(1);
    }
    let text = first.state().text.clone();
    // Nothing in order: the window is gone.
    std::mem::forget(first);
    let mut second = window(backend, HIP, [1280.0, 800.0]);
    assert_eq!(second.state().text, HIP);
    second.get_by_label("Take them up").click();
    settle(&mut second);
    assert_eq!(second.state().text, text);
}

#[test]
fn a_first_start_offers_shapes() {
    let mut harness = window(Arc::new(Plain::default()), "", [1280.0, 800.0]);
    keep(&mut harness, "start");
    harness.get_by_label_contains("Begin with a slope from every side").click();
    settle(&mut harness);
    assert!(harness.state().shown.is_some());
}

#[test]
fn it_looks_right_in_every_theme_and_size() {
    use eavewright::viewer::editors::forms::Page;
    use eavewright::viewer::editors::views::Tab;
    use eavewright::viewer::render::theme::Theme;
    for (name, theme) in [("light", Theme::Light), ("dark", Theme::Dark), ("contrast", Theme::Contrast)] {
        for size in [[1280.0, 800.0], [1920.0, 1080.0]] {
            let text = include_str!("../../examples/stable_l.toml");
            let mut harness = window(Arc::new(Plain::default()), text, size);
            harness.state_mut().theme = theme;
            for tab in Tab::ALL {
                harness.state_mut().views.tab = tab;
                settle(&mut harness);
                let image = keep(&mut harness, &format!("{}-{name}-{}", tab.word().to_lowercase(), size[0]));
                // The panel's own colour stands in the left side, so the theme was taken.
                let [r, g, b] = theme.palette().panel;
                assert_eq!(image.get_pixel(4, image.height() / 2).0, [r, g, b, 255], "{name}");
            }
            harness.state_mut().views.tab = Tab::Roof;
            for page in Page::ALL {
                harness.state_mut().forms.page = page;
                settle(&mut harness);
                if size[0] < 1300.0 && theme != Theme::Contrast {
                    keep(&mut harness, &format!("page-{}-{name}", page.word().to_lowercase()));
                }
            }
        }
    }
}

#[test]
fn the_list_of_keys_is_shown_by_key() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    harness.key_press(eframe::egui::Key::F1);
    harness.run_steps(4);
    keep(&mut harness, "keys");
    assert!(harness.query_by_label("begin a new roof").is_some());
    // Even the last line fits the window.
    let last = harness.get_by_label_contains("Drag turns the roof").rect();
    assert!(last.max.y < 800.0 && last.max.x < 1280.0, "{last:?}");
    harness.key_press(eframe::egui::Key::F1);
    harness.run_steps(4);
    assert!(harness.query_by_label("begin a new roof").is_none());
}

#[test]
fn a_finer_screen_shows_the_same_window_finer() {
    let mut harness = state::scaled_window(Arc::new(Plain::default()), HIP, [1280.0, 800.0], 2.0);
    let field = harness.get_by_label("length of side A").rect();
    let image = keep(&mut harness, "fine");
    assert_eq!([image.width(), image.height()], [2560, 1600]);
    let plain = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    assert_eq!(plain.get_by_label("length of side A").rect(), field);
}

#[test]
fn answers_are_shown_in_feet_and_inches_at_wish() {
    use eavewright::base::units::LengthUnit;
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    assert!(harness.query_all_by_label_contains("4.36 ± 0.04 m").next().is_some());
    harness.state_mut().show_in(Some(LengthUnit::Foot));
    settle(&mut harness);
    // 2.40 + 2.80 tan 35° = 4.3606 m; in inches 171.68, to an eighth 171 5/8.
    assert!(harness.query_all_by_label_contains("14' 3 5/8\"").next().is_some());
    assert_eq!(harness.state().text, HIP);
}
