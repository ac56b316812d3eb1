//! The roof's own view: section, measuring, cards of facts, water, certainty.

use crate::plain::{HIP, STABLE, press, settle, show_in_all, window};
use eavewright::roof::EdgeKind;
use eavewright::viewer::desk::Desk;
use eavewright::viewer::scene::Shade;
use eavewright::viewer::section::Cutting;
use eframe::egui::{self, Key};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use nalgebra::Point3;

/// Where a place of the job appears in the window.
fn on_screen(harness: &Harness<'static, Desk>, place: &Point3<f64>) -> egui::Pos2 {
    let view = harness.get_by_label_contains("roof in 3D").rect();
    let desk = harness.state();
    let scene = &desk.shown.as_ref().unwrap().scene;
    let at = desk.canvas.camera.unwrap().appears(&(place - scene.origin), desk.canvas.aspect).unwrap();
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
    let roof = harness.state().shown.as_ref().unwrap().answered.roof.clone();
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
    let told = eavewright::viewer::measure::Between::of(&a, &b);
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
    let roof = harness.state().shown.as_ref().unwrap().answered.roof.clone();
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
    assert!(!shown.answered.layout.is_empty());
    for layout in &shown.answered.layout {
        let courses = eavewright::viewer::courses::of(&shown.answered, layout.face).unwrap();
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

#[test]
fn water_is_told_by_eave() {
    let mut harness = window(HIP);
    harness.state_mut().look.shade = Shade::Water;
    settle(&mut harness);
    assert!(harness.state().water.is_idle());
    press(&mut harness, "water");
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
    show_in_all(HIP, None, "measured", |harness| {
        for _ in 0..5 {
            harness.key_press(Key::Period);
            harness.run_steps(1);
        }
    });
}
