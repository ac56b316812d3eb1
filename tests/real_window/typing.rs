//! The program itself in a real window under a virtual display: typed, dragged, saved, killed, opened again. Where things
//! are is found out by drawing the same window without a display.
#![allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]

use super::display;
use super::state;
use display::{Display, Program};
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::backend::Slot;
use eavewright::viewer::editors::views::Tab;
use eavewright::viewer::editors::views::photos::Frame;
use eframe::egui::Pos2;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use state::{HIP, Plain, settle, window};
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

/// What the real window opens with.
const SIZE: [f32; 2] = [1280.0, 800.0];

/// The same window, without a display.
fn twin(text: &str, path: &Path) -> Harness<'static, AppState> {
    let mut twin = window(Arc::new(Plain::default()), text, SIZE);
    twin.state_mut().path = Some(path.to_path_buf());
    settle(&mut twin);
    twin
}

fn place(twin: &Harness<'static, AppState>, name: &str) -> Pos2 {
    twin.get_by_label(name).rect().center()
}

#[test]
fn typed_dragged_saved_and_opened_again() {
    let Some(display) = Display::start() else { return };
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.toml");
    std::fs::write(&path, HIP).unwrap();
    let mut program = Program::start(&display, &path, folder.path());

    let mut twin = twin(HIP, &path);
    program.click(place(&twin, "length of side A"));
    program.key("ctrl+a");
    program.type_text("10.20");
    program.rest();
    program.click(place(&twin, "length of side C"));
    program.key("ctrl+a");
    program.type_text("10.20");
    program.rest();
    program.key("ctrl+s");
    let wanted = HIP.replace("9.20", "10.20");
    program.until("the typed lengths in the file", || std::fs::read_to_string(&path).unwrap() == wanted);

    program.key("ctrl+2");
    program.rest();
    twin.state_mut().change(wanted.clone(), "twin");
    twin.state_mut().saved.clone_from(&wanted);
    twin.state_mut().views.tab = Tab::Plan;
    settle(&mut twin);
    // Both show the same part of the site: the plan keeps what it showed while the roof was typed.
    program.click(place(&twin, "Fit"));
    twin.get_by_label("Fit").click();
    settle(&mut twin);
    let from = place(&twin, "plan side B of store");
    let scale = (place(&twin, "corner B of store") - place(&twin, "corner A of store")).length() / 10.2;
    program.drag(from, from + eframe::egui::vec2(scale, 0.0));
    program.key("ctrl+s");
    let moved = |text: &str| {
        let length = text.lines().find(|line| line.contains("from = \"A\"")).unwrap();
        let length = length.split("length = ").nth(1).unwrap().split(',').next().unwrap();
        (length.parse::<f64>().unwrap() - 11.2).abs() < 0.1
    };
    program.until("the dragged side in the file", || moved(&std::fs::read_to_string(&path).unwrap()));
    let text = std::fs::read_to_string(&path).unwrap();
    assert!(text.contains("# towards the lake") && text.contains("# to the drip edge"), "{text}");

    // At rest it costs nothing.
    program.rest();
    let before = program.ticks();
    std::thread::sleep(Duration::from_secs(3));
    let spent = program.ticks() - before;
    assert!(spent <= 3, "{spent} hundredths of a second of processor time in three seconds of rest");

    program.end();
    let mut again = Program::start(&display, &path, folder.path());
    again.rest();
    assert_eq!(std::fs::read_to_string(&path).unwrap(), text);
    again.end();
}

/// A shed by its points, without a photo.
const SHED: &str = r#"# from the gate
title = "Field shed"
units = "m"

[points]
E1 = [0, 0, 2.3]
E2 = [6.4, 0, 2.3]
E3 = [6.4, 4.2, 2.3]
E4 = [0, 4.2, 2.3]
R1 = [2.1, 2.1, 3.5]
R2 = [4.3, 2.1, 3.5]

[[face]]
name = "south"
points = ["E1", "E2", "R2", "R1"]

[[face]]
name = "east"
points = ["E2", "E3", "R2"]

[[face]]
name = "north"
points = ["E3", "E4", "R1", "R2"]

[[face]]
name = "west"
points = ["E4", "E1", "R1"]
"#;

const PHOTO: [u32; 2] = [800, 600];
/// The middle of what is to be marked, and its colour.
const NAIL: [f64; 2] = [320.0, 240.0];
const PAINT: [u8; 3] = [230, 20, 200];

/// A grey picture with a painted square of eight pixels.
fn save_photo(path: &Path) {
    let picture = image::RgbImage::from_fn(PHOTO[0], PHOTO[1], |x, y| {
        let painted = (316..324).contains(&x) && (236..244).contains(&y);
        image::Rgb(if painted { PAINT } else { [178, 182, 186] })
    });
    picture.save(path).unwrap();
}

fn painted(picture: &image::RgbImage, rect: eframe::egui::Rect) -> usize {
    let inside = |x: u32, y: u32| rect.contains(eframe::egui::pos2(x as f32 + 0.5, y as f32 + 0.5));
    let near = |pixel: &image::Rgb<u8>| pixel.0.iter().zip(PAINT).all(|(a, b)| a.abs_diff(b) < 24);
    picture.enumerate_pixels().filter(|(x, y, pixel)| inside(*x, *y) && near(pixel)).count()
}

/// The mark of a point as the file has it.
fn mark(path: &Path, name: &str) -> Option<[f64; 2]> {
    let text = std::fs::read_to_string(path).unwrap();
    let after = text.lines().find(|line| line.starts_with("marks"))?.split(&format!("{name} = [")).nth(1)?;
    let numbers: Vec<f64> = after.split(']').next()?.split(',').filter_map(|part| part.trim().parse().ok()).collect();
    numbers.try_into().ok()
}

fn away(mark: Option<[f64; 2]>, from: [f64; 2]) -> f64 {
    mark.map_or(f64::INFINITY, |[x, y]| (x - from[0]).hypot(y - from[1]))
}

#[test]
fn a_photo_is_opened_marked_dragged_saved_and_opened_again() {
    let Some(display) = Display::start() else { return };
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("shed.toml");
    std::fs::write(&path, SHED).unwrap();
    save_photo(&folder.path().join("front.png"));
    let mut program = Program::start(&display, &path, folder.path());
    let mut twin = twin(SHED, &path);
    twin.state_mut().views.tab = Tab::Photos;
    settle(&mut twin);

    program.key("ctrl+4");
    program.click(place(&twin, "file of another photo"));
    program.type_text("front.png");
    program.key("Return");
    program.key("ctrl+s");
    let with_photo = || std::fs::read_to_string(&path).unwrap();
    program.until("the photo in the file", || with_photo().contains("file = \"front.png\""));

    twin.state_mut().change(with_photo(), "twin");
    twin.state_mut().saved = with_photo();
    settle(&mut twin);
    let view = twin.get_by_label_contains("photo front.png").rect();
    let frame = Frame::fitted(PHOTO.map(f64::from), view.shrink(8.0));
    program.click(place(&twin, "new point to mark"));
    program.type_text("R1");
    program.rest();
    twin.state_mut().views.photos.adding = Some("R1".to_owned());
    settle(&mut twin);
    let still = twin.get_by_label_contains("photo front.png").rect();
    assert_eq!(still, view, "the photo stands still while a point is chosen");
    // Beside the nail at first.
    let beside = [NAIL[0] + 10.0, NAIL[1] + 8.0];
    program.click(frame.at(beside));
    program.key("ctrl+s");
    program.until("the mark in the file", || away(mark(&path, "R1"), beside) < 2.0);

    // The magnifier stands in the corner away from the mark and shows the nail, larger than the photo does.
    let shown = display.picture();
    if let Some(folder) = std::env::var_os("SHOTS") {
        shown.save(Path::new(&folder).join("real-photo.png")).unwrap();
    }
    let lens = eframe::egui::Rect::from_min_max(view.right_top() - eframe::egui::vec2(190.0, 0.0), view.right_top())
        .with_max_y(view.top() + 190.0);
    let in_photo =
        painted(&shown, eframe::egui::Rect::from_center_size(frame.at(NAIL), eframe::egui::vec2(40.0, 40.0)));
    let in_lens = painted(&shown, lens);
    assert!(
        in_photo > 10 && in_lens > 4 * in_photo,
        "{in_photo} pixels of paint in the photo, {in_lens} in the magnifier"
    );

    program.drag(frame.at(beside), frame.at(NAIL));
    program.key("ctrl+s");
    program.until("the dragged mark in the file", || away(mark(&path, "R1"), NAIL) < 1.5);
    let text = with_photo();
    assert!(text.starts_with(SHED.trim_end()), "what stood there stands there still: {text}");

    // A drag that is called off leaves the mark where it was.
    program.drag_and_call_off(frame.at(NAIL), frame.at([NAIL[0] + 90.0, NAIL[1] + 60.0]));
    program.key("ctrl+s");
    program.rest();
    assert_eq!(with_photo(), text);

    program.end();
    let mut again = Program::start(&display, &path, folder.path());
    again.key("ctrl+4");
    again.rest();
    assert_eq!(with_photo(), text);
    // The mark's cross stands about the nail: its arms are dark on the grey of the photo.
    let shown = display.picture();
    let at = frame.at(mark(&path, "R1").unwrap());
    let dark = (4..8_u8).filter(|step| {
        let pixel = shown.get_pixel((at.x + f32::from(*step)) as u32, at.y as u32).0;
        pixel.iter().all(|channel| *channel < 110)
    });
    assert!(dark.count() >= 2, "no mark is drawn at {at:?}");
    again.end();
}

#[test]
fn killed_while_editing_it_loses_no_more_than_two_seconds() {
    let Some(display) = Display::start() else { return };
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.toml");
    std::fs::write(&path, HIP).unwrap();
    let mut program = Program::start(&display, &path, folder.path());
    let mut twin = twin(HIP, &path);
    program.click(place(&twin, "length of side A"));
    program.key("ctrl+a");
    program.type_text("9.31");
    // All that was typed two seconds ago must be safe.
    std::thread::sleep(Duration::from_secs(2));
    program.kill();
    assert_eq!(std::fs::read_to_string(&path).unwrap(), HIP, "what was not saved is not in the file itself");
    let wanted = HIP.replacen("9.20", "9.31", 1);

    let mut again = Program::start(&display, &path, folder.path());
    twin.state_mut().recovered = vec![(Slot::default(), wanted.clone())];
    settle(&mut twin);
    again.click(place(&twin, "Take them up"));
    again.rest();
    again.key("ctrl+s");
    again.until("what was typed before the kill", || std::fs::read_to_string(&path).unwrap() == wanted);
    again.end();
}
