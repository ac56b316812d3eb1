//! Photos: an invented roof, photographed by the project's own renderer from a known place, so that marks and camera are
//! known to a fraction of a pixel.

use super::plain::{keep, press, settle, show_in_all, sized};
use eavewright::input::{self, NoFiles};
use eavewright::job;
use eavewright::roof::model::solid;
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::backend::Unsure;
use eavewright::viewer::editors::views::Tab;
use eavewright::viewer::render::camera::{Camera, View};
use eavewright::viewer::render::gpu::Gpu;
use eavewright::viewer::render::scene::{Scene, Shade};
use eavewright::viewer::render::stage::{Dressing, Look};
use eavewright::viewer::render::theme::Theme;
use eavewright_headless::Headless;
use eframe::egui::{self, Key};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use nalgebra::Point3;
use std::path::PathBuf;

const SIZE: [u32; 2] = [1600, 1200];

const POINTS: [(&str, [f64; 3]); 6] = [
    ("E1", [0.0, 0.0, 2.3]),
    ("E2", [6.4, 0.0, 2.3]),
    ("E3", [6.4, 4.2, 2.3]),
    ("E4", [0.0, 4.2, 2.3]),
    ("R1", [2.1, 2.1, 3.5]),
    ("R2", [4.3, 2.1, 3.5]),
];

fn roof_file() -> String {
    let points: String = POINTS.iter().map(|(name, at)| format!("{name} = {at:?}\n")).collect();
    let face = |name: &str, ring: &str| format!("[[face]]\nname = \"{name}\"\npoints = [{ring}]\n\n");
    format!(
        "# measured point by point\ntitle = \"Field shed\"\nunits = \"m\"\n\n[points]\n{points}\n{}{}{}{}",
        face("south", "\"E1\", \"E2\", \"R2\", \"R1\""),
        face("east", "\"E2\", \"E3\", \"R2\""),
        face("north", "\"E3\", \"E4\", \"R1\", \"R2\""),
        face("west", "\"E4\", \"E1\", \"R1\"")
    )
}

/// The roof file with a photo of it beside, all six points marked where they appear; the mark of `wrong` 40 pixels aside.
fn job_with_photo(folder: &std::path::Path, wrong: Option<&str>) -> (String, PathBuf) {
    let text = roof_file();
    let (read, _, _) = input::read("shed", &text, &NoFiles).unwrap();
    let answer = job::solve(&read, &job::Options { steps: false, spread: false }).unwrap();
    let solid = solid::build(&answer.roof, 0.0);
    let scene = Scene::new(&answer.roof, &solid, |_| None);
    let aspect = f64::from(SIZE[0]) / f64::from(SIZE[1]);
    let mut camera = Camera::standard(View::Corner, &scene.places, aspect);
    camera.loosen();
    camera.elevation = 0.45;
    camera = camera.fitted(&scene.places, aspect, 0.7);
    let headless = Headless::new([16, 16]).unwrap();
    let mut gpu = Gpu::new(headless.gl()).unwrap();
    let palette = Theme::Contrast.palette();
    let look = Look::plain(Shade::Plain);
    let mut dressing = Dressing::default();
    dressing.dress(&answer.roof, &scene, &look, palette, &Unsure::default());
    gpu.draw(&scene, &dressing.picture(&scene, &camera, &look, palette, SIZE, 1.0));
    let rgb: Vec<u8> = gpu.read().into_iter().flat_map(|[r, g, b, _]| [r, g, b]).collect();
    image::save_buffer(folder.join("shed.png"), &rgb, SIZE[0], SIZE[1], image::ColorType::Rgb8).unwrap();
    let focal = f64::from(SIZE[1]) / 2.0 / (camera.lens / 2.0).tan();
    let marks: Vec<String> = POINTS
        .iter()
        .map(|(name, at)| {
            let seen = camera.appears(&(Point3::from(*at) - scene.origin), aspect).unwrap();
            let aside = if wrong == Some(name) { 40.0 } else { 0.0 };
            let (x, y) = (seen.x * f64::from(SIZE[0]) + aside, seen.y * f64::from(SIZE[1]));
            format!("{name} = [{x:.1}, {y:.1}]")
        })
        .collect();
    let photo = format!(
        "[[camera]]\nname = \"phone\"\nfocal = {focal:.1}\nfocal_sigma = \"1 %\"\n\n[[photo]]\ncamera = \"phone\"\n\
         file = \"shed.png\" # from the gate\nmarks = {{ {} }}\n",
        marks.join(", ")
    );
    let text = text + &photo;
    let path = folder.join("shed.toml");
    std::fs::write(&path, &text).unwrap();
    (text, path)
}

fn opened(wrong: Option<&str>) -> (tempfile::TempDir, Harness<'static, AppState>, String) {
    let folder = tempfile::tempdir().unwrap();
    let (text, path) = job_with_photo(folder.path(), wrong);
    let mut harness = sized(&text, Some(path), [1280.0, 800.0]);
    press(&mut harness, "Photos");
    (folder, harness, text)
}

fn mark_line(text: &str) -> String {
    text.lines().find(|line| line.starts_with("marks")).unwrap().to_owned()
}

#[test]
fn the_solved_roof_lies_over_its_photo() {
    let (_folder, mut harness, _) = opened(None);
    assert_eq!(harness.state().errors().count(), 0, "{:?}", harness.state().diagnostics);
    assert!(harness.query_by_label_contains("6 marks, 0.").is_some(), "marks fit within a pixel");
    // The photo is dark on white; the roof's own colour lies over it.
    let with = keep(&mut harness, "photo");
    press(&mut harness, "without the roof");
    let without = keep(&mut harness, "photo-alone");
    let differ = with.pixels().zip(without.pixels()).filter(|(a, b)| a != b).count();
    assert!(differ > 2000, "{differ}");
}

#[test]
fn a_mark_is_nudged_dragged_taken_back_and_removed() {
    let (_folder, mut harness, text) = opened(None);
    let name = |harness: &Harness<'static, AppState>| harness.get_by_label_contains("mark R1 at").rect().center();
    harness.get_by_label_contains("mark R1 at").focus();
    harness.run_steps(2);
    harness.key_press(Key::ArrowRight);
    settle(&mut harness);
    let pixel = |text: &str| -> f64 {
        let line = mark_line(text);
        let from = line.find("R1 = [").unwrap() + 6;
        line[from..].split(',').next().unwrap().trim().parse().unwrap()
    };
    let first = pixel(&text);
    assert!((pixel(&harness.state().text) - first - 1.0).abs() < 0.051, "{}", harness.state().text);
    // Only the mark has changed: comments and order stand.
    let kept = |text: &str| text.lines().filter(|line| !line.starts_with("marks")).collect::<Vec<_>>().join("\n");
    assert_eq!(kept(&harness.state().text), kept(&text));
    let at = name(&harness);
    harness.drag_at(at);
    harness.run_steps(1);
    for step in 1..=5 {
        #[allow(clippy::cast_precision_loss)]
        harness.hover_at(at + egui::vec2(4.0 * step as f32, 0.0));
        harness.run_steps(1);
    }
    harness.drop_at(at + egui::vec2(20.0, 0.0));
    settle(&mut harness);
    // It stays under the hand, all of the way.
    let view = harness.get_by_label_contains("photo shed.png").rect().shrink(8.0);
    #[allow(clippy::cast_precision_loss)]
    let scale = (view.width() / SIZE[0] as f32).min(view.height() / SIZE[1] as f32);
    let dragged = pixel(&harness.state().text) - first - 1.0;
    assert!((dragged - f64::from(20.0 / scale)).abs() < 0.3, "{dragged} pixels by 20 points at {scale}");
    keep(&mut harness, "photo-dragged");
    press(&mut harness, "Undo");
    assert!((pixel(&harness.state().text) - first - 1.0).abs() < 0.051);
    press(&mut harness, "Undo");
    assert_eq!(harness.state().text, text);
    press(&mut harness, "Remove mark R1");
    assert!(!mark_line(&harness.state().text).contains("R1"));
}

#[test]
fn a_point_is_marked_by_a_click() {
    let (_folder, mut harness, _) = opened(None);
    press(&mut harness, "Remove mark E2");
    harness.get_by_label("point to mark").click();
    harness.run_steps(3);
    harness.get_by_label("E2").click();
    harness.run_steps(3);
    assert!(harness.query_by_label("click where E2 appears").is_some());
    let view = harness.get_by_label_contains("photo shed.png").rect();
    harness.hover_at(view.center());
    harness.run_steps(1);
    harness.drag_at(view.center());
    harness.run_steps(1);
    harness.drop_at(view.center());
    settle(&mut harness);
    assert!(mark_line(&harness.state().text).contains("E2 = ["), "{}", harness.state().text);
    assert_eq!(harness.state().views.photos.chosen.as_deref(), Some("E2"));
}

#[test]
fn a_new_point_is_made_with_its_mark() {
    let (_folder, mut harness, _) = opened(None);
    harness.get_by_label("new point to mark").focus();
    harness.run_steps(1);
    harness.get_by_label("new point to mark").type_text("V1");
    settle(&mut harness);
    press(&mut harness, "Mark the middle");
    let text = &harness.state().text;
    assert!(text.contains("V1 = {}"), "{text}");
    assert!(mark_line(text).contains("V1 = ["), "{text}");
}

#[test]
fn a_wrong_mark_is_doubted_and_shown() {
    let (_folder, mut harness, _) = opened(Some("R2"));
    assert!(harness.query_all_by_label_contains("doubtful").next().is_some());
    assert!(harness.query_all_by_label_contains("ark R2 in shed.png is in doubt").next().is_some());
    keep(&mut harness, "photo-doubtful");
}

#[test]
fn photos_look_right() {
    let folder = tempfile::tempdir().unwrap();
    let (text, path) = job_with_photo(folder.path(), Some("R2"));
    show_in_all(&text, Some(&path), "photos", |harness| {
        harness.state_mut().views.tab = Tab::Photos;
        settle(harness);
        harness.state_mut().views.photos.chosen = Some("R2".to_owned());
    });
}

#[test]
fn esc_calls_the_drag_of_a_mark_off() {
    let (_folder, mut harness, text) = opened(None);
    let at = harness.get_by_label_contains("mark R1 at").rect().center();
    harness.drag_at(at);
    harness.run_steps(1);
    for step in 1..=5_u8 {
        harness.hover_at(at + egui::vec2(6.0 * f32::from(step), 0.0));
        harness.run_steps(1);
    }
    assert_ne!(harness.state().text, text);
    harness.key_press(Key::Escape);
    harness.run_steps(1);
    harness.hover_at(at + egui::vec2(50.0, 20.0));
    harness.run_steps(2);
    harness.drop_at(at + egui::vec2(50.0, 20.0));
    settle(&mut harness);
    assert_eq!(harness.state().text, text);
    assert!(!harness.state().history.can_undo());
}

#[test]
fn names_of_close_marks_stand_clear_of_each_other() {
    let folder = tempfile::tempdir().unwrap();
    let (text, path) = job_with_photo(folder.path(), None);
    // Four more points, marked within a few pixels of R1.
    let line = mark_line(&text);
    let at: Vec<f64> = line
        .split("R1 = [")
        .nth(1)
        .unwrap()
        .split(']')
        .next()
        .unwrap()
        .split(',')
        .map(|n| n.trim().parse().unwrap())
        .collect();
    let near: String = [[3.0, 4.0], [-5.0, 2.0], [6.0, -3.0], [0.0, 9.0]]
        .iter()
        .enumerate()
        .map(|(index, [x, y])| format!(", N{index} = [{:.1}, {:.1}]", at[0] + x, at[1] + y))
        .collect();
    let crowded = text.replace(&line, &format!("{}{near} }}", line.trim_end_matches(" }"))).replacen(
        "\n[[face]]",
        "N0 = {}\nN1 = {}\nN2 = {}\nN3 = {}\n\n[[face]]",
        1,
    );
    show_in_all(&crowded, Some(&path), "photos-crowded", |harness| {
        harness.state_mut().views.tab = Tab::Photos;
    });
}

/// Three marks fit several places of the camera, one fits any: nothing is said of how well they fit.
#[test]
fn too_few_marks_place_no_photo() {
    let (_folder, mut harness, _) = opened(None);
    for name in ["E1", "E2", "E3"] {
        assert!(harness.query_by_label_contains("The photo is not placed yet").is_none(), "{name}");
        press(&mut harness, &format!("Remove mark {name}"));
    }
    assert!(harness.query_by_label_contains("The photo is not placed yet").is_some());
    assert!(harness.query_by_label_contains("px off").is_none());
}
