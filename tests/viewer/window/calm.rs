//! A calm window: one row of tools, three sizes of lettering, borders that are seen, signs beside colours, panes that close
//! in a small window, and a window that opens as the last one was left.

use super::state::{HIP, Plain, keep, settle, type_into, window};
use eavewright::base::diagnostic::Severity;
use eavewright::viewer::app::settings::{FIRST_SIZE, last_size};
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::editors::forms::Page;
use eavewright::viewer::editors::views::Tab;
use eavewright::viewer::render::style;
use eavewright::viewer::render::theme::{Rgb, SIZES, Theme, colour};
use eavewright::viewer::signs::sign_of;
use eframe::egui::{self, Color32, Shape};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::sync::Arc;

/// Relative luminance as WCAG 2.2 defines it (W3C Recommendation, 2023, "relative luminance").
fn luminance(colour: Color32) -> f64 {
    let part = |value: u8| {
        let value = f64::from(value) / 255.0;
        if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * part(colour.r()) + 0.7152 * part(colour.g()) + 0.0722 * part(colour.b())
}

/// Contrast ratio as WCAG 2.2 defines it.
fn contrast(a: Color32, b: Color32) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// WCAG 2.2, success criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (borders and states of controls, 3 to 1).
#[test]
fn text_borders_and_what_is_chosen_stand_out_in_every_theme() {
    // Its own examples: black on white is 21 to 1, a colour on itself 1 to 1.
    assert!((contrast(Color32::BLACK, Color32::WHITE) - 21.0).abs() < 1e-9);
    let mut faults = Vec::new();
    for theme in Theme::ALL {
        let (palette, context) = (theme.palette(), egui::Context::default());
        style::apply(&context, theme);
        let visuals = context.global_style().visuals.clone();
        let grounds: [Rgb; 3] = [palette.paper, palette.panel, palette.field];
        for (name, rgb) in [
            ("ink", palette.ink),
            ("faint", palette.faint),
            ("caution", palette.caution),
            ("fault", palette.fault),
            ("ghost", palette.ghost),
        ] {
            for ground in grounds {
                let ratio = contrast(colour(rgb), colour(ground));
                if ratio < 4.5 {
                    faults.push(format!("{theme:?}: text {name} on {ground:?} {ratio:.2}"));
                }
            }
        }
        // What fields, buttons and boxes are drawn with, and the bar under the open tab.
        for (name, drawn) in [("border", visuals.widgets.inactive.bg_stroke.color), ("bar", visuals.hyperlink_color)] {
            for ground in [palette.paper, palette.panel] {
                let ratio = contrast(drawn, colour(ground));
                if ratio < 3.0 {
                    faults.push(format!("{theme:?}: {name} on {ground:?} {ratio:.2}"));
                }
            }
        }
        let typed = visuals.selection.stroke.color;
        let ratio = contrast(typed, visuals.text_edit_bg_color());
        if ratio < 3.0 {
            faults.push(format!("{theme:?}: border of a field one types in {ratio:.2}"));
        }
    }
    assert!(faults.is_empty(), "{faults:#?}");
}

fn each(shapes: &[egui::epaint::ClippedShape], look: &mut impl FnMut(&Shape)) {
    fn one(shape: &Shape, look: &mut impl FnMut(&Shape)) {
        match shape {
            Shape::Vec(shapes) => shapes.iter().for_each(|shape| one(shape, look)),
            shape => look(shape),
        }
    }
    for clipped in shapes {
        one(&clipped.shape, look);
    }
}

#[test]
fn lettering_has_three_sizes() {
    for text in [include_str!("../../../examples/stable_l.toml"), super::rename::POINTS, ""] {
        let mut harness = window(Arc::new(Plain::default()), text, [1280.0, 1400.0]);
        let mut found = std::collections::BTreeMap::<String, String>::new();
        for tab in Tab::ALL {
            for page in Page::ALL {
                harness.state_mut().views.tab = tab;
                harness.state_mut().forms.page = page;
                settle(&mut harness);
                each(&harness.output().shapes, &mut |shape| {
                    if let Shape::Text(text) = shape {
                        for part in &text.galley.job.sections {
                            let size = part.format.font_id.size;
                            found.entry(format!("{size}")).or_insert_with(|| text.galley.text().to_owned());
                        }
                    }
                });
            }
        }
        found.retain(|size, _| !SIZES.iter().any(|known| format!("{known}") == *size));
        assert!(found.is_empty(), "{found:?}");
    }
}

/// Outlines of so many corners in a colour.
fn outlines(harness: &Harness<'static, AppState>, corners: usize, ink: Color32) -> usize {
    let mut count = 0;
    each(&harness.output().shapes, &mut |shape| {
        if let Shape::Path(path) = shape {
            let is_ink = matches!(&path.stroke.color, egui::epaint::ColorMode::Solid(of) if *of == ink);
            count += usize::from(path.closed && path.points.len() == corners && is_ink);
        }
    });
    count
}

#[test]
fn what_is_wrong_and_what_is_doubtful_differ_by_their_sign_too() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    let palette = harness.state().theme.palette();
    let (error, doubt) = (colour(palette.fault), colour(palette.caution));
    assert_eq!(outlines(&harness, 8, error), 0);
    type_into(&mut harness, "length of side B", "nonsense");
    assert!(outlines(&harness, 8, error) > 0);
    let [one, other] = [Severity::Error, Severity::Warning].map(|severity| sign_of(severity, palette).0);
    assert_ne!(one, other);
    assert!(outlines(&harness, 3, error) == 0 && outlines(&harness, 8, doubt) == 0);
}

#[test]
fn the_tools_of_the_view_stand_in_one_row() {
    let harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    let view = harness.get_by_label_contains("roof in 3D").rect();
    assert!(view.min.y < 90.0, "{view:?}");
    let rows = ["View", "Shade", "Labels", "Section", "Fit", "Measure"].map(|name| harness.get_by_label(name).rect());
    assert!(rows.iter().all(|rect| (rect.center().y - rows[0].center().y).abs() < 1.0), "{rows:?}");
    let top = ["New", "Open", "Save", "Write", "Undo", "Roof", "Lesson", "Settings", "Keys"];
    let top = top.map(|name| harness.get_by_label(name).rect());
    assert!(top.iter().all(|rect| (rect.center().y - top[0].center().y).abs() < 1.0), "{top:?}");
    for pair in top.windows(2) {
        assert!(pair[0].max.x <= pair[1].min.x + 0.5, "{top:?}");
    }
}

#[test]
fn a_small_window_shows_one_pane_beside_the_view() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [800.0, 600.0]);
    keep(&mut harness, "small");
    let view = harness.get_by_label_contains("roof in 3D").rect();
    assert!(view.width() >= 380.0 && view.height() >= 380.0 && view.max.x <= 800.0, "{view:?}");
    assert!(harness.query_by_label("length of side A").is_some());
    for name in ["New", "Lesson", "Settings", "Keys"] {
        let rect = harness.get_by_label(name).rect();
        assert!(rect.min.x >= 0.0 && rect.max.x <= 800.0, "{name} {rect:?}");
    }
    harness.get_by_label("What it means").click();
    settle(&mut harness);
    keep(&mut harness, "small-right");
    assert!(harness.query_by_label("length of side A").is_none());
    let view = harness.get_by_label_contains("roof in 3D").rect();
    assert!(view.width() >= 380.0 && view.max.x <= 800.0, "{view:?}");
    harness.get_by_label("What it means").click();
    settle(&mut harness);
    assert!(harness.get_by_label_contains("roof in 3D").rect().width() > 790.0);
    harness.get_by_label("What is typed").click();
    settle(&mut harness);
    assert!(harness.query_by_label("length of side A").is_some());
}

#[test]
fn a_window_opens_as_the_last_one_was_left() {
    let backend = Arc::new(Plain::default());
    assert_eq!(last_size(&*backend), FIRST_SIZE);
    let mut first = window(backend.clone(), HIP, [1100.0, 700.0]);
    let before = first.get_by_label("Settings").rect().height();
    first.get_by_label("Settings").click();
    first.run_steps(2);
    first.get_by_label("large").click();
    settle(&mut first);
    assert!(first.ctx.zoom_factor() > 1.1, "{}", first.ctx.zoom_factor());
    assert!((first.get_by_label("Settings").rect().height() - before).abs() < 0.1);
    first.state_mut().close();
    let mut second = window(backend.clone(), HIP, [1100.0, 700.0]);
    second.state_mut().recall(None);
    settle(&mut second);
    assert_eq!(second.ctx.zoom_factor(), first.ctx.zoom_factor());
    let size = last_size(&*backend);
    assert!((size[0] - 1100.0).abs() < 1.0 && (size[1] - 700.0).abs() < 1.0, "{size:?}");
    backend.settings.lock().unwrap().insert("window-size".to_owned(), "5 -1e9".to_owned());
    assert_eq!(last_size(&*backend), FIRST_SIZE);
}

#[test]
fn edges_behind_the_roof_have_no_labels() {
    let harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    let mut told = Vec::new();
    each(&harness.output().shapes, &mut |shape| {
        if let Shape::Text(text) = shape {
            told.push(text.galley.text().to_owned());
        }
    });
    for long in ["eave 9.20 m", "eave 5.60 m"] {
        assert_eq!(told.iter().filter(|words| *words == long).count(), 1, "{long}: {told:?}");
    }
}
