//! Parts put on the roof by hand: a ghost follows the pointer over plan and roof, a click puts it down, Esc leaves; then it
//! is dragged, and its dimensions are typed where they stand.

use super::state::{HIP, Plain, area, keep, settle, window};
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::editors::placing::part::Part;
use eavewright::viewer::editors::views::Tab;
use eavewright::viewer::render::theme::Theme;
use eframe::egui::{Key, Modifiers, Pos2, vec2};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use nalgebra::{Point2, Point3};
use std::sync::Arc;
use std::time::{Duration, Instant};

/// Where places of the site stand on the plan, from two corners of the store.
struct Plan {
    corner: Pos2,
    scale: f32,
}

impl Plan {
    fn of(harness: &Harness<'static, AppState>) -> Self {
        let at = |name: &str| harness.get_by_label(name).rect().center();
        let (a, b) = (at("corner A of store"), at("corner B of store"));
        Self { corner: a, scale: (b - a).length() / 9.2 }
    }

    fn at(&self, x: f32, y: f32) -> Pos2 {
        self.corner + vec2(x, -y) * self.scale
    }
}

fn on_plan(text: &str, size: [f32; 2]) -> (Harness<'static, AppState>, Plan) {
    let mut harness = window(Arc::new(Plain::default()), text, size);
    harness.state_mut().views.tab = Tab::Plan;
    settle(&mut harness);
    let plan = Plan::of(&harness);
    (harness, plan)
}

fn choose(harness: &mut Harness<'static, AppState>, part: &str) {
    harness.get_by_label("Add").click();
    harness.run_steps(3);
    harness.get_by_label(part).click();
    settle(harness);
}

fn hover(harness: &mut Harness<'static, AppState>, at: Pos2) {
    harness.hover_at(at - vec2(3.0, 0.0));
    harness.run_steps(1);
    harness.hover_at(at);
    harness.run_steps(1);
    settle(harness);
}

fn click(harness: &mut Harness<'static, AppState>, at: Pos2) {
    harness.hover_at(at);
    harness.run_steps(1);
    harness.drag_at(at);
    harness.run_steps(1);
    harness.drop_at(at);
    settle(harness);
}

fn fine(harness: &Harness<'static, AppState>) {
    let state = harness.state();
    let errors: Vec<String> = state.errors().map(|error| format!("{error:?}")).collect();
    assert!(errors.is_empty(), "{errors:#?}\n{}", state.text);
}

#[test]
fn a_wing_follows_the_pointer_snaps_and_is_put_down_by_a_click() {
    let (mut harness, plan) = on_plan(HIP, [1280.0, 800.0]);
    choose(&mut harness, "a wing that runs in");
    // A hand's breadth beside the middle, which catches it: 9.20 - 4.00 leaves 2.60 on either side.
    hover(&mut harness, plan.at(4.66, -0.6));
    let fits = "wing on store/A, 2.60 m before it, 2.60 m after it, can stand here";
    assert!(harness.query_by_label_contains(fits).is_some());
    keep(&mut harness, "ghost-wing");
    // Elsewhere whole steps of 5 cm: 3.513 - 2.00 is 1.513, so 1.50.
    hover(&mut harness, plan.at(3.513, 0.4));
    assert!(harness.query_by_label_contains("wing on store/A, 1.50 m before it, 3.70 m after it").is_some());
    // Beyond its end it stops at it.
    hover(&mut harness, plan.at(9.0, -0.8));
    assert!(harness.query_by_label_contains("wing on store/A, 5.20 m before it, 0.00 m after it").is_some());
    // Over another side it goes there.
    hover(&mut harness, plan.at(9.6, 2.8));
    assert!(harness.query_by_label_contains("wing on store/B").is_some());
    assert_eq!(harness.state().text, HIP, "a ghost changes nothing");
    hover(&mut harness, plan.at(4.6, -0.6));
    click(&mut harness, plan.at(4.6, -0.6));
    fine(&harness);
    let state = harness.state();
    assert!(state.text.starts_with(HIP.trim_end()) || state.text.contains("at_side = \"store/A\""), "{}", state.text);
    for line in ["at_side = \"store/A\"", "offset = 2.60", "runs_into = true"] {
        assert!(state.text.contains(line), "{line} in\n{}", state.text);
    }
    let kinds = state.shown.as_ref().unwrap().answered.answer.roof.edges.iter().map(|edge| edge.kind.word());
    assert_eq!(kinds.filter(|kind| *kind == "valley").count(), 2);
    assert!(!state.views.placing.is_on());
    keep(&mut harness, "wing-put-down");
    // One step.
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut harness);
    assert_eq!(harness.state().text, HIP);
}

#[test]
fn every_part_stands_where_it_begins_and_is_put_down_by_key() {
    let mut areas = Vec::new();
    for part in ["a wing that runs in", "a porch", "a lean-to", "a dormer", "a chimney", "a roof window"] {
        for tab in [Tab::Plan, Tab::Roof] {
            let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
            harness.state_mut().views.tab = tab;
            settle(&mut harness);
            let before = area(&harness);
            choose(&mut harness, part);
            assert!(
                harness.query_by_label_contains("can stand here").is_some(),
                "{part} {tab:?}: {:?}",
                told(&harness)
            );
            keep(&mut harness, &format!("ghost-{}-{}", part.replace(' ', "-"), tab.word().to_lowercase()));
            harness.key_press(Key::Enter);
            settle(&mut harness);
            fine(&harness);
            assert_ne!(harness.state().text, HIP, "{part}");
            assert!(harness.state().views.placing.active.is_none());
            let net = harness.state().shown.as_ref().unwrap().answered.answer.totals().net_area.value().unwrap();
            areas.push((part, area(&harness) - before, net - before));
            harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
            settle(&mut harness);
            assert_eq!(harness.state().text, HIP, "{part} is one step");
        }
    }
    // A window of 0.78 by 1.18 m; a chimney of 0.50 m square takes its plan over the cosine of 35 degrees.
    let of = |part: &str| areas.iter().find(|(of, ..)| *of == part).unwrap();
    assert!((of("a roof window").2 + 0.78 * 1.18).abs() < 1e-6, "{areas:?}");
    assert!((of("a chimney").2 + 0.25 / 35_f64.to_radians().cos()).abs() < 0.005, "{areas:?}");
    // A lean-to of 3.00 by 1.80 m at 15 degrees.
    assert!((of("a lean-to").1 - 3.0 * 1.8 / 15_f64.to_radians().cos()).abs() < 0.02, "{areas:?}");
    assert!(of("a wing that runs in").1 > 8.0 && of("a porch").1 > 1.0, "{areas:?}");
}

fn told(harness: &Harness<'static, AppState>) -> Option<String> {
    eavewright::viewer::editors::placing::told(harness.state())
}

#[test]
fn the_ghost_is_moved_by_key_and_esc_leaves() {
    let (mut harness, _) = on_plan(HIP, [1280.0, 800.0]);
    choose(&mut harness, "a porch");
    assert!(told(&harness).unwrap().contains("porch on store/A, 3.70 m before it"), "{:?}", told(&harness));
    harness.key_press(Key::ArrowRight);
    settle(&mut harness);
    assert!(told(&harness).unwrap().contains("store/A, 3.75 m before it"), "{:?}", told(&harness));
    harness.key_press_modifiers(Modifiers::SHIFT, Key::ArrowLeft);
    settle(&mut harness);
    assert!(told(&harness).unwrap().contains("store/A, 3.25 m before it"), "{:?}", told(&harness));
    harness.key_press(Key::CloseBracket);
    settle(&mut harness);
    assert!(told(&harness).unwrap().contains("store/B"), "{:?}", told(&harness));
    harness.key_press(Key::Escape);
    settle(&mut harness);
    assert!(told(&harness).is_none());
    assert_eq!(harness.state().text, HIP);
    assert!(!harness.state().history.can_undo());
}

#[test]
fn where_a_part_cant_stand_the_ghost_says_why_and_a_click_does_nothing() {
    let (mut harness, plan) = on_plan(HIP, [1280.0, 800.0]);
    choose(&mut harness, "a roof window");
    // Beside the roof.
    let beside = plan.at(4.6, -1.2);
    hover(&mut harness, beside);
    assert!(harness.query_by_label_contains("no slope of the roof lies here").is_some());
    click(&mut harness, beside);
    assert_eq!(harness.state().text, HIP);
    assert!(harness.state().views.placing.is_on());
    // In the corner of a hipped slope it would reach over the hip.
    let corner = plan.at(1.0, 0.9);
    hover(&mut harness, corner);
    let why = told(&harness).unwrap();
    assert!(why.contains("beyond") || why.contains("outside"), "{why}");
    keep(&mut harness, "ghost-cant-stand");
    click(&mut harness, corner);
    assert_eq!(harness.state().text, HIP);
    assert!(harness.state().said.1);
    // Over an opening that is there.
    let middle = plan.at(4.6, 1.2);
    click(&mut harness, middle);
    fine(&harness);
    let with = harness.state().text.clone();
    assert!(with.contains("kind = \"roof window\""));
    choose(&mut harness, "a chimney");
    hover(&mut harness, plan.at(4.7, 1.3));
    assert!(told(&harness).unwrap().contains("overlap"), "{:?}", told(&harness));
    click(&mut harness, plan.at(4.7, 1.3));
    assert_eq!(harness.state().text, with);
}

#[test]
fn a_roof_by_points_has_no_side_for_a_wing_and_says_so() {
    let templates = eavewright::cli::new::templates();
    let text = &templates.iter().find(|template| template.text.contains("[points]")).unwrap().text;
    let mut harness = window(Arc::new(Plain::default()), text, [1280.0, 800.0]);
    choose(&mut harness, "a wing that runs in");
    assert!(!harness.state().views.placing.is_on());
    assert!(
        harness.state().said.0.contains("a wing stands on a side of a walked outline"),
        "{:?}",
        harness.state().said
    );
}

#[test]
fn over_the_roof_in_3d_a_click_puts_a_window_into_the_face_under_it() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    let view = harness.get_by_label_contains("roof in 3D").rect();
    let appears = |harness: &Harness<'static, AppState>, place: [f64; 3]| {
        let app = harness.state();
        let scene = &app.shown.as_ref().unwrap().scene;
        let at = app.canvas.camera.unwrap().appears(&(Point3::from(place) - scene.origin), app.canvas.aspect).unwrap();
        #[allow(clippy::cast_possible_truncation)]
        let share = vec2(at.x as f32, at.y as f32);
        view.min + share * view.size()
    };
    choose(&mut harness, "a roof window");
    // A metre in from the middle of side A: at 35 degrees 0.70 m above the eave.
    let at = appears(&harness, [4.6, 1.0, 2.4 + 35_f64.to_radians().tan()]);
    hover(&mut harness, at);
    assert!(told(&harness).unwrap().contains("roof window on store/A, 4.21 m before it"), "{:?}", told(&harness));
    keep(&mut harness, "ghost-3d");
    click(&mut harness, at);
    fine(&harness);
    assert!(harness.state().text.contains("face = \"store/A\""), "{}", harness.state().text);
    // A wing goes to the side nearest to where the pointer meets the roof or the ground.
    choose(&mut harness, "a lean-to");
    let at = appears(&harness, [9.2, 2.8, 2.4]);
    hover(&mut harness, at);
    assert!(told(&harness).unwrap().contains("lean-to on store/B"), "{:?}", told(&harness));
    keep(&mut harness, "ghost-3d-lean-to");
    // No face is chosen by a click that places.
    assert_eq!(harness.state().look.chosen, None);
}

#[test]
fn what_was_put_down_is_dragged_and_its_dimensions_are_typed_where_they_stand() {
    let (mut harness, plan) = on_plan(HIP, [1280.0, 800.0]);
    choose(&mut harness, "a wing that runs in");
    click(&mut harness, plan.at(4.6, -0.6));
    fine(&harness);
    // Its dimensions stand in fields: 3.10 m from corner A.
    let field = |name: &str| format!("{name} block wing");
    let type_in = |harness: &mut Harness<'static, AppState>, name: &str, text: &str| {
        harness.get_by_label(&field(name)).focus();
        harness.run_steps(1);
        harness.key_press_modifiers(Modifiers::COMMAND, Key::A);
        harness.get_by_label(&field(name)).type_text(text);
        harness.run_steps(2);
        harness.key_press(Key::Enter);
        settle(harness);
    };
    keep(&mut harness, "wing-dimensions");
    type_in(&mut harness, "from A to", "3,10");
    fine(&harness);
    assert!(harness.state().text.contains("offset = 3.10"), "{}", harness.state().text);
    type_in(&mut harness, "width of", "3.00");
    let lengths = |harness: &Harness<'static, AppState>| -> Vec<String> {
        let file = harness.state().written.clone().unwrap();
        file.list("block")[1].list("sides").iter().map(|side| side.field("length").text).collect()
    };
    assert_eq!(lengths(&harness), ["3.00", "2.50", "3.00", "2.50"]);
    type_in(&mut harness, "to B from", "0.50");
    assert!(harness.state().text.contains("offset = 5.70"), "{}", harness.state().text);
    let before = harness.state().text.clone();
    type_in(&mut harness, "depth of", "nonsense");
    assert_eq!(harness.state().text, before);
    assert!(harness.state().said.0.contains("is no length"), "{:?}", harness.state().said);
    // Dragged a metre and a bit to the left: 4.70, less 2 cm, to the next step.
    let now = Plan::of(&harness);
    let from = harness.get_by_label("block wing").rect().center();
    harness.hover_at(from);
    harness.run_steps(1);
    harness.drag_at(from);
    harness.run_steps(1);
    for step in 1..=6_u8 {
        harness.hover_at(from - vec2(1.02 * now.scale * f32::from(step) / 6.0, 0.0));
        harness.run_steps(1);
    }
    harness.drop_at(from - vec2(1.02 * now.scale, 0.0));
    settle(&mut harness);
    fine(&harness);
    assert!(harness.state().text.contains("offset = 4.70"), "{}", harness.state().text);
    // The drag is one step.
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut harness);
    assert_eq!(harness.state().text, before);
}

#[test]
fn openings_and_dormers_are_moved_on_the_plan() {
    for (part, name, list) in [
        ("a roof window", "roof window 1", "opening"),
        ("a dormer", "dormer dormer", "dormer"),
        ("a chimney", "chimney 1", "opening"),
    ] {
        let (mut harness, plan) = on_plan(HIP, [1280.0, 800.0]);
        choose(&mut harness, part);
        click(&mut harness, plan.at(4.6, 1.2));
        fine(&harness);
        let key = if part == "a chimney" { "plan" } else { "at" };
        let numbers = |harness: &Harness<'static, AppState>| -> Vec<f64> {
            let file = harness.state().written.clone().unwrap();
            let text = file.list(list)[0].field(key).text.replace(['[', ']'], "");
            text.split(',').map(|number| number.trim().parse().unwrap()).collect()
        };
        let before = numbers(&harness);
        let from = harness.get_by_label(name).rect().center();
        harness.hover_at(from);
        harness.run_steps(1);
        harness.drag_at(from);
        harness.run_steps(1);
        let by = vec2(0.8 * plan.scale, 0.0);
        for step in 1..=5_u8 {
            harness.hover_at(from + by * (f32::from(step) / 5.0));
            harness.run_steps(1);
        }
        harness.drop_at(from + by);
        settle(&mut harness);
        fine(&harness);
        let after = numbers(&harness);
        assert!((after[0] - before[0] - 0.8).abs() < 0.03, "{part}: {before:?} {after:?}");
        keep(&mut harness, &format!("moved-{list}-{key}"));
    }
}

/// Trying a part on a roof takes as long as solving it; the window goes on meanwhile.
#[test]
fn trying_holds_no_pass_of_the_window() {
    let backend = Arc::new(Plain { pause: Duration::from_millis(900).into(), ..Plain::default() });
    let mut harness = window(backend, HIP, [1280.0, 800.0]);
    harness.state_mut().views.tab = Tab::Plan;
    settle(&mut harness);
    let plan = Plan::of(&harness);
    harness.get_by_label("Add").click();
    harness.run_steps(3);
    harness.get_by_label("a wing that runs in").click();
    harness.run_steps(2);
    let mut longest = Duration::ZERO;
    for step in 0..8_u8 {
        harness.hover_at(plan.at(2.5 + 0.5 * f32::from(step), -0.5));
        let start = Instant::now();
        harness.run_steps(1);
        longest = longest.max(start.elapsed());
    }
    assert!(longest < Duration::from_millis(450), "{longest:?}");
    assert!(told(&harness).unwrap().contains("trying"), "{:?}", told(&harness));
    // A click that comes too early is done as soon as it is known that it can be.
    let at = plan.at(4.6, -0.5);
    harness.hover_at(at);
    harness.run_steps(1);
    harness.drag_at(at);
    harness.run_steps(1);
    harness.drop_at(at);
    harness.run_steps(1);
    assert_eq!(harness.state().text, HIP);
    settle(&mut harness);
    assert!(harness.state().text.contains("runs_into"), "{}", harness.state().text);
}

#[test]
fn ghosts_look_right_in_every_theme_and_size() {
    for (name, theme, size) in [
        ("light", Theme::Light, [1280.0, 800.0]),
        ("dark", Theme::Dark, [1920.0, 1080.0]),
        ("small", Theme::Light, [800.0, 600.0]),
    ] {
        for (tab, part) in [(Tab::Plan, Part::Porch), (Tab::Roof, Part::Dormer)] {
            let mut harness = window(Arc::new(Plain::default()), HIP, size);
            harness.state_mut().theme = theme;
            harness.state_mut().views.tab = tab;
            settle(&mut harness);
            eavewright::viewer::editors::placing::begin(harness.state_mut(), part);
            settle(&mut harness);
            assert!(told(&harness).unwrap().contains("can stand here"), "{:?}", told(&harness));
            keep(&mut harness, &format!("ghost-{}-{name}", part.word()));
        }
    }
    // Places on the plan are what the file says.
    let (mut harness, _) = on_plan(HIP, [1280.0, 800.0]);
    harness.state_mut().views.tab = Tab::Plan;
    settle(&mut harness);
    let corner = harness.state().shown.as_ref().unwrap().answered.answer.corners[0][0][0];
    assert_eq!(corner, Point2::new(0.0, 0.0));
}
