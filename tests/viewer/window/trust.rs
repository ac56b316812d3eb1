//! What is typed is not lost, not written over, and not shown as an answer it is not.

use super::state::{HIP, Plain, area, keep, settle, type_into, window};
use eavewright::viewer::app::overwrite::Overwrite;
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::backend::Slot;
use eframe::egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

const SIZE: [f32; 2] = [1280.0, 800.0];

/// A window on a file in a folder of its own.
fn on_file() -> (tempfile::TempDir, PathBuf, Arc<Plain>, Harness<'static, AppState>) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.toml");
    std::fs::write(&path, HIP).unwrap();
    let backend = Arc::new(Plain::default());
    let mut harness = window(backend.clone(), "", SIZE);
    harness.state_mut().open(path.clone());
    settle(&mut harness);
    (folder, path, backend, harness)
}

fn text_of(path: &Path) -> String {
    std::fs::read_to_string(path).unwrap()
}

fn press(harness: &mut Harness<'static, AppState>, name: &str) {
    harness.get_by_label(name).click();
    settle(harness);
}

fn save(harness: &mut Harness<'static, AppState>) {
    harness.key_press_modifiers(Modifiers::COMMAND, Key::S);
    settle(harness);
}

#[test]
fn what_another_program_wrote_is_not_written_over_unasked() {
    let theirs = HIP.replace("Boat store", "Their store");
    let (_folder, path, _, mut harness) = on_file();
    type_into(&mut harness, "length of side A", "9.31");
    std::fs::write(&path, &theirs).unwrap();
    save(&mut harness);
    assert_eq!(text_of(&path), theirs, "nothing is written before it is said what shall hold");
    assert!(harness.query_by_label_contains("Another program changed store.toml").is_some());
    keep(&mut harness, "changed-on-disk");

    press(&mut harness, "Read it again");
    assert_eq!(harness.state().text, theirs);
    assert!(!harness.state().is_changed());
    press(&mut harness, "Undo");
    assert!(harness.state().text.contains("9.31"), "what was typed is there again");
    save(&mut harness);
    assert!(text_of(&path).contains("9.31"), "it was read since: no question a second time");
}

#[test]
fn ones_own_is_kept_at_wish() {
    let (_folder, path, _, mut harness) = on_file();
    type_into(&mut harness, "length of side A", "9.31");
    std::fs::write(&path, HIP.replace("Boat store", "Their store")).unwrap();
    save(&mut harness);
    press(&mut harness, "Keep mine");
    assert_eq!(text_of(&path), harness.state().text);
    assert!(text_of(&path).contains("9.31") && !harness.state().is_changed());
}

#[test]
fn a_file_changed_by_another_program_is_noticed_when_the_window_has_the_focus_again() {
    let (_folder, path, _, mut harness) = on_file();
    let set_focus = |harness: &mut Harness<'static, AppState>, focused| {
        harness.input_mut().focused = focused;
        harness.run_steps(2);
    };
    set_focus(&mut harness, false);
    std::fs::write(&path, HIP.replace("Boat store", "Their store")).unwrap();
    set_focus(&mut harness, true);
    let start = Instant::now();
    while harness.state().overwrite.is_none() {
        assert!(start.elapsed() < Duration::from_secs(20), "not noticed");
        std::thread::sleep(Duration::from_millis(5));
        harness.run_steps(1);
    }
    assert!(matches!(harness.state().overwrite, Some(Overwrite::Changed { was_saving: false, .. })));
}

#[test]
fn saving_under_the_name_of_another_file_asks() {
    let (folder, path, _, mut harness) = on_file();
    let other = folder.path().join("other.toml");
    std::fs::write(&other, "title = \"another\"\n").unwrap();
    let save_as = |harness: &mut Harness<'static, AppState>| {
        harness.state_mut().act(eavewright::viewer::app::keys::Action::SaveAs);
        harness.run_steps(4);
        type_into(harness, "Save as", &other.display().to_string());
        press(harness, "Do it");
    };
    save_as(&mut harness);
    assert_eq!(text_of(&other), "title = \"another\"\n");
    press(&mut harness, "Don't save");
    assert_eq!(harness.state().path.as_deref(), Some(path.as_path()));
    save_as(&mut harness);
    press(&mut harness, "Write over it");
    assert_eq!((text_of(&other), harness.state().path.as_deref()), (HIP.to_owned(), Some(other.as_path())));
}

/// Passes until what was typed is kept.
fn until_kept(harness: &mut Harness<'static, AppState>, backend: &Plain, count: usize) -> Vec<(Slot, String)> {
    let start = Instant::now();
    loop {
        let kept = backend.kept.lock().unwrap().clone();
        let all = harness.query_by_label("all kept 14:02").is_some();
        if kept.len() == count && all {
            return kept;
        }
        assert!(start.elapsed() < Duration::from_secs(20), "{} kept, said: {all}", kept.len());
        std::thread::sleep(Duration::from_millis(20));
        harness.run_steps(1);
    }
}

#[test]
fn each_new_roof_has_a_place_of_its_own_and_no_text_on_offer_is_written_over() {
    let backend = Arc::new(Plain::default());
    let mut harness = window(backend.clone(), HIP, SIZE);
    type_into(&mut harness, "length of side A", "9.31");
    let first = until_kept(&mut harness, &backend, 1)[0].1.clone();
    // Two roofs begun one after the other, none saved.
    harness.state_mut().begin(HIP.replace("Boat store", "Second"));
    settle(&mut harness);
    type_into(&mut harness, "length of side A", "9.32");
    let kept = until_kept(&mut harness, &backend, 2);
    assert!(kept.iter().any(|(_, text)| *text == first), "the first one is kept still");
    std::mem::forget(harness);

    // The next window offers both, and what is typed meanwhile stands beside them.
    let mut next = window(backend.clone(), HIP, SIZE);
    assert_eq!(next.state().recovered.len(), 2);
    assert!(next.query_by_label_contains("1 more after these").is_some());
    keep(&mut next, "recovered");
    type_into(&mut next, "length of side A", "9.33");
    let kept = until_kept(&mut next, &backend, 3);
    assert!(kept.iter().any(|(_, text)| *text == first));
    press(&mut next, "Take them up");
    assert!(next.state().text.contains("9.32"));
    press(&mut next, "Take them up");
    assert_eq!(next.state().text, first);
    assert!(next.state().recovered.is_empty());
}

#[test]
fn texts_left_behind_are_found_beside_their_file() {
    use eavewright::cli::view_files::{keep, kept};
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.toml");
    let slot = |stamp| Slot { path: Some(path.clone()), stamp };
    keep(&slot(0), Some("one")).unwrap();
    keep(&slot(1_700_000_000_000), Some("two")).unwrap();
    let mut found: Vec<(u64, String)> = kept(Some(&path)).into_iter().map(|(slot, text)| (slot.stamp, text)).collect();
    found.sort();
    assert_eq!(found, [(0, "one".to_owned()), (1_700_000_000_000, "two".to_owned())]);
    assert!(kept(Some(&folder.path().join("other.toml"))).is_empty());
    keep(&slot(0), None).unwrap();
    keep(&slot(0), None).unwrap();
    assert_eq!(kept(Some(&path)).len(), 1);
    assert!(keep(&Slot { path: Some(folder.path().join("no/where.toml")), stamp: 0 }, Some("x")).is_ok());
}

#[test]
fn another_unit_converts_the_lengths_or_reads_them_anew() {
    use eavewright::viewer::editors::forms::Page;
    let mut harness = window(Arc::new(Plain::default()), HIP, SIZE);
    let before = area(&harness);
    harness.state_mut().forms.page = Page::Job;
    let choose = |harness: &mut Harness<'static, AppState>, unit: &str| {
        settle(harness);
        harness.get_by_label("units of the job").click();
        harness.run_steps(3);
        harness.get_by_label(unit).click();
        settle(harness);
    };
    choose(&mut harness, "ft");
    assert_eq!(harness.state().text, HIP, "nothing changes before it is said what the numbers mean");
    keep(&mut harness, "units");
    press(&mut harness, "convert them to ft");
    assert!((area(&harness) - before).abs() < 1e-3, "{} {before}", area(&harness));
    assert!(harness.state().text.contains("# towards the lake"));
    press(&mut harness, "Undo");
    assert_eq!(harness.state().text, HIP, "one step");
    choose(&mut harness, "ft");
    press(&mut harness, "read them as ft");
    assert!((area(&harness) - before * 0.3048 * 0.3048).abs() < 1e-6);
    assert_eq!(harness.state().text, HIP.replace("units = \"m\"", "units = \"ft\""));
}

/// A hip over a level rectangle: its plan over the cosine of the pitch.
#[test]
fn a_shape_begun_from_holds_no_measure_against_what_is_typed() {
    let mut harness = window(Arc::new(Plain::default()), "", SIZE);
    harness.get_by_label_contains("Begin with a slope from every side").click();
    settle(&mut harness);
    for (side, length) in [("A", "9.20"), ("B", "5.60"), ("C", "9.20"), ("D", "5.60")] {
        type_into(&mut harness, &format!("length of side {side}"), length);
    }
    assert!((area(&harness) - 9.2 * 5.6 / 35_f64.to_radians().cos()).abs() < 1e-6, "{}", area(&harness));
}

#[test]
fn while_the_file_has_errors_the_last_roof_is_marked_and_fields_stay_where_they_are() {
    let mut harness = window(Arc::new(Plain::default()), HIP, SIZE);
    let place = |harness: &Harness<'static, AppState>| harness.get_by_label("length of side D").rect();
    let (before, ink) = (place(&harness), paper(&mut harness));
    type_into(&mut harness, "length of side B", "nonsense");
    let moved = (place(&harness).min - before.min).length();
    assert!(moved < 1.0, "a message moves no field by a point: {moved}");
    assert!(harness.query_by_label_contains("the last that could be solved.").is_some());
    keep(&mut harness, "outdated");
    assert!(paper(&mut harness) < ink / 2, "the outdated roof is dimmed");
    harness.state_mut().forms.page = eavewright::viewer::editors::forms::Page::Covering;
    settle(&mut harness);
    press(&mut harness, "go to the first mistake");
    assert_eq!(harness.state().forms.page, eavewright::viewer::editors::forms::Page::Sides);
}

/// Pixels in the middle of the window that stand out from the paper: those of the roof.
fn paper(harness: &mut Harness<'static, AppState>) -> usize {
    let picture = harness.render().unwrap();
    let middle = picture.enumerate_pixels().filter(|(x, y, _)| (420..960).contains(x) && (380..740).contains(y));
    middle.filter(|(_, _, pixel)| pixel.0[..3].iter().any(|channel| *channel < 140)).count()
}
