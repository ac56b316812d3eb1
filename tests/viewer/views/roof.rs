//! The roof's own view: section, measuring, cards of facts, water, certainty.

use super::plain::{HIP, STABLE, press, settle, show_in_all, window};
use eavewright::roof::EdgeKind;
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::render::scene::Shade;
use eavewright::viewer::render::section::Cutting;
use eframe::egui::{self, Key};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use nalgebra::Point3;

const APPLE: &str = include_str!("../../../examples/apple_store.toml");

/// Where a place of the job appears in the window.
fn on_screen(harness: &Harness<'static, AppState>, place: &Point3<f64>) -> egui::Pos2 {
    let view = harness.get_by_label_contains("roof in 3D").rect();
    let app = harness.state();
    let scene = &app.shown.as_ref().unwrap().scene;
    let at = app.canvas.camera.unwrap().appears(&(place - scene.origin), app.canvas.aspect).unwrap();
    #[allow(clippy::cast_possible_truncation)]
    let share = egui::vec2(at.x as f32, at.y as f32);
    view.min + share * view.size()
}

#[test]
fn a_section_is_moved_by_key_and_read_off() {
    let mut harness = window(HIP);
    harness.key_press(Key::X);
    settle(&mut harness);
    assert_eq!(harness.state().section.cutting, Cutting::Level);
    harness.key_press(Key::X);
    settle(&mut harness);
    // Across the ridge in the middle: 5.60 m wide, 2.40 + 1.96 m high; area 5.60 x 2.40 + 5.60 x 1.96 / 2.
    assert!(harness.query_by_label("4.60 m from the left end · 5.60 m wide · 4.36 m high · 18.93 m² cut").is_some());
    assert!(harness.state().look.section.is_some());
    harness.key_press(Key::PageUp);
    settle(&mut harness);
    assert!((harness.state().section.share - 0.52).abs() < 1e-9);
    assert!(harness.query_by_label_contains("4.78 m from the left end").is_some());
    harness.key_press(Key::X);
    harness.key_press(Key::X);
    settle(&mut harness);
    assert_eq!(harness.state().section.cutting, Cutting::Off);
    assert!(harness.state().look.section.is_none());
}

#[test]
fn what_a_section_takes_away_is_not_under_the_pointer() {
    let mut harness = window(HIP);
    let roof = harness.state().shown.as_ref().unwrap().answered.answer.roof.clone();
    let middle = |name: &str| {
        let face = &roof.faces[roof.face_named(name).unwrap().index()];
        let ring = roof.ring(face);
        Point3::from(ring.iter().fold(nalgebra::Vector3::zeros(), |sum, at| sum + at.coords) / ring.len() as f64)
    };
    let at = on_screen(&harness, &middle("store/B"));
    harness.hover_at(at);
    harness.run_steps(2);
    assert_eq!(harness.state().look.hovered, roof.face_named("store/B"));
    harness.state_mut().section.cutting = Cutting::Across;
    harness.hover_at(at + egui::vec2(1.0, 0.0));
    harness.run_steps(3);
    assert_ne!(harness.state().look.hovered, roof.face_named("store/B"));
}

#[test]
fn two_corners_are_measured_by_key() {
    let mut harness = window(HIP);
    harness.key_press(Key::Period);
    harness.run_steps(2);
    harness.key_press(Key::Period);
    harness.run_steps(2);
    let [a, b] = harness.state().canvas.measured[..] else { panic!("two places") };
    let told = eavewright::roof::analysis::section::Between::of(&a, &b);
    assert!(told.straight > 0.0);
    harness.key_press(Key::Period);
    harness.run_steps(2);
    assert_eq!(harness.state().canvas.measured[0], a);
    assert_ne!(harness.state().canvas.measured[1], b);
    harness.key_press(Key::Escape);
    harness.run_steps(2);
    assert!(harness.state().canvas.measured.is_empty());
}

#[test]
fn an_edge_pressed_is_chosen() {
    let mut harness = window(HIP);
    let roof = harness.state().shown.as_ref().unwrap().answered.answer.roof.clone();
    let hip = roof.edges.iter().position(|edge| {
        let middle = nalgebra::center(&roof.at(edge.from), &roof.at(edge.to));
        edge.kind == EdgeKind::Hip && middle.x > 4.6 && middle.y < 2.8
    });
    let edge = &roof.edges[hip.unwrap()];
    let at = on_screen(&harness, &nalgebra::center(&roof.at(edge.from), &roof.at(edge.to)));
    harness.hover_at(at);
    harness.run_steps(2);
    harness.drag_at(at);
    harness.run_steps(1);
    harness.drop_at(at);
    harness.run_steps(3);
    assert_eq!(harness.state().look.edge.map(eavewright::base::ids::EdgeId::index), hip);
}

/// The joints drawn are the layout's: every row the shader is given is a course of the answer.
#[test]
fn courses_are_those_of_the_layout() {
    let harness = window(STABLE);
    let shown = harness.state().shown.clone().unwrap();
    assert!(!shown.answered.take_off.layouts.is_empty());
    for layout in &shown.answered.take_off.layouts {
        let courses = eavewright::viewer::render::courses::of(&shown.answered, layout.face).unwrap();
        assert_eq!(courses.rows.len(), layout.courses.len());
        let lowest = courses.rows[0][0];
        for (index, (row, course)) in courses.rows.iter().zip(&layout.courses).enumerate() {
            assert_eq!(*row, [course.butt_v, course.joint_u]);
            // What the shader counts on: courses lie a gauge apart.
            #[allow(clippy::cast_precision_loss)]
            let expected = lowest + index as f64 * courses.gauge;
            assert!((row[0] - expected).abs() < 1e-6, "{index}: {} against {expected}", row[0]);
            for piece in &course.pieces {
                let steps = (piece.from_u - row[1]) / courses.piece;
                assert!((steps - steps.round()).abs() < 1e-6, "a piece begins between joints: {steps}");
            }
        }
    }
}

/// Figures of the water as told beside the view: what, and how much.
fn told_of_water(harness: &Harness<'static, AppState>) -> Vec<(String, String)> {
    let app = harness.state();
    let figures = app.water.figures(app.shown.as_ref().unwrap());
    for figure in figures {
        let words = format!("{} {}", figure.edge, figure.does);
        assert!(harness.query_all_by_label(&words).next().is_some(), "{words} is not told");
        assert!(harness.query_all_by_label(&figure.area).next().is_some(), "{} is not told", figure.area);
    }
    figures.iter().map(|figure| (format!("{} {}", figure.edge, figure.does), figure.area.clone())).collect()
}

#[test]
fn water_is_told_by_eave() {
    let mut harness = window(HIP);
    press(&mut harness, "Shade");
    press(&mut harness, "water");
    settle(&mut harness);
    // Each slope drains its own plan: a trapezoid of 9.20 and 3.60 by 2.80 m, a triangle of 5.60 by 2.80 m.
    let mut told = told_of_water(&harness);
    told.sort();
    let wanted = [("A", "17.92"), ("B", "7.84"), ("C", "17.92"), ("D", "7.84")];
    assert_eq!(told, wanted.map(|(eave, area)| (format!("eave of {eave} drains"), format!("{area} m²"))));
    press(&mut harness, "Shade");
    press(&mut harness, "plain");
    assert!(harness.query_by_label("Where the water goes").is_none());
}

/// What is shown is the drainage that the solve answered with, edge by edge; over the eaves it is the whole plan.
#[test]
fn water_shown_is_the_drainage_solved() {
    let mut harness = window(STABLE);
    press(&mut harness, "Shade");
    press(&mut harness, "water");
    settle(&mut harness);
    let told = told_of_water(&harness);
    let (job, ..) = eavewright::input::read("stable", STABLE, &eavewright::input::NoFiles).unwrap();
    let answer = eavewright::job::solve(&job, &eavewright::job::Options::default()).unwrap();
    let mut carried: Vec<String> =
        (answer.drainage.carried.iter()).filter(|area| **area > 0.05).map(|area| format!("{area:.2} m²")).collect();
    let mut shown: Vec<String> = told.iter().map(|(_, area)| area.clone()).collect();
    carried.sort();
    shown.sort();
    assert_eq!(shown, carried);
    let number = |area: &str| area.trim_end_matches(" m²").parse::<f64>().unwrap();
    let leaving: f64 = told.iter().filter(|(edge, _)| !edge.starts_with("valley")).map(|(_, area)| number(area)).sum();
    let plan: f64 = answer.roof.roof_faces().map(|(_, face)| answer.roof.plan_area(face).0).sum();
    assert!((leaving - plan).abs() < 0.005 * told.len() as f64, "{leaving} leaves, {plan} falls");
    assert!(told.iter().any(|(edge, _)| edge.starts_with("valley between ")), "{told:?}");
}

/// The shadow on the ground is that of what a section leaves.
#[test]
fn a_section_takes_its_shadow_with_it() {
    let mut harness = window(HIP);
    let whole = harness.state().shown.as_ref().unwrap().scene.shadow.clone();
    harness.state_mut().section.cutting = Cutting::Level;
    harness.state_mut().section.share = 0.1;
    settle(&mut harness);
    let plane = harness.state().look.section;
    assert!(plane.is_some());
    let scene = harness.state().shown.as_ref().unwrap().scene.clone();
    let cut = eavewright::viewer::render::shadow::Shadow::new(&scene.corners.places, plane);
    let dark = |shadow: &eavewright::viewer::render::shadow::Shadow| {
        shadow.pixels.iter().map(|grey| u64::from(*grey)).sum::<u64>()
    };
    assert!(dark(&cut) * 10 < dark(&whole) * 9, "{} of {}", dark(&cut), dark(&whole));
    let palette = harness.state().theme.palette();
    let look = harness.state().look.clone();
    let camera = harness.state().canvas.camera.unwrap();
    let picture = harness.state().canvas.dressing.picture(&scene, &camera, &look, palette, [100, 100], 1.0);
    assert_eq!(*picture.shadow, cut);
}

#[test]
fn sections_and_shades_look_right() {
    show_in_all(STABLE, None, "section-across", |harness| {
        harness.state_mut().section.cutting = Cutting::Across;
        harness.state_mut().section.share = 0.35;
        harness.state_mut().labels.faces = false;
    });
    for shade in [Shade::Covering, Shade::Water, Shade::Certainty, Shade::Height, Shade::Pitch] {
        show_in_all(STABLE, None, &format!("roof-{}", shade.word()), |harness| {
            harness.state_mut().look.shade = shade;
        });
    }
    show_in_all(STABLE, None, "section-level", |harness| {
        harness.state_mut().section.cutting = Cutting::Level;
        harness.state_mut().section.share = 0.55;
        harness.state_mut().labels.faces = false;
    });
    show_in_all(
        APPLE,
        Some(std::path::Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/examples/apple_store.toml"))),
        "roof-certainty-photos",
        |harness| {
            harness.state_mut().look.shade = Shade::Certainty;
        },
    );
    show_in_all(HIP, None, "measured", |harness| {
        for _ in 0..5 {
            harness.key_press(Key::Period);
            harness.run_steps(1);
        }
    });
}
