//! The lesson's chapters.

use super::plain::{HIP, STABLE, press, settle, show_in_all, window};
use eavewright::viewer::editors::views::Tab;
use eavewright::viewer::editors::views::lesson::Chapter;
use eframe::egui::Key;
use egui_kittest::kittest::Queryable;

#[test]
fn the_eaves_rise_by_key_and_happenings_are_named() {
    let mut harness = window(HIP);
    press(&mut harness, "Lesson");
    assert!(harness.query_by_label("0.00 m above the eaves").is_some());
    // 50 presses of two hundredths: the whole way, 2.80 tan 35 = 1.96 m.
    for _ in 0..25 {
        harness.key_press(Key::PageUp);
        harness.run_steps(1);
    }
    settle(&mut harness);
    assert!((harness.state().views.lesson.rise - 0.5).abs() < 1e-9);
    assert!(harness.query_by_label("0.98 m above the eaves").is_some());
    // Half-way each side has moved in by 1.40 m: 6.40 x 2.80 is left.
    assert!(harness.query_by_label("The outline still holds 17.92 m².").is_some());
    assert!(harness.query_by_label("A, B, C, D: 0.98 m / tan 35.0° = 1.40 m").is_some());
    let ridge = harness.get_by_label_contains("the ridge between A and C lies here, 3.60 m");
    ridge.click();
    settle(&mut harness);
    assert!(harness.query_by_label("1.96 m above the eaves").is_some());
    assert!(harness.query_by_label("Nothing is left of the outline: the roof is closed.").is_some());
    assert!(harness.query_by_label_contains("A, B, C and D are used up").is_some());
}

#[test]
fn it_runs_by_itself_and_stops_at_the_end() {
    let mut harness = window(HIP);
    press(&mut harness, "Lesson");
    harness.get_by_label("Play").click();
    harness.run_steps(6);
    let lesson = &harness.state().views.lesson;
    assert!(lesson.playing && lesson.rise > 0.0, "{}", lesson.rise);
    harness.get_by_label("Stop").click();
    harness.run_steps(2);
    assert!(!harness.state().views.lesson.playing);
    harness.state_mut().views.lesson.rise = 0.999;
    harness.key_press(Key::P);
    harness.run_steps(20);
    let lesson = &harness.state().views.lesson;
    assert!(!lesson.playing && lesson.rise >= 1.0);
}

#[test]
fn true_lengths_are_told_with_the_numbers_of_this_roof() {
    let mut harness = window(HIP);
    press(&mut harness, "Lesson");
    press(&mut harness, "true lengths");
    for words in [
        "rafter = √(run² + rise²) = √((2.80 m)² + (1.96 m)²) = 3.42 m",
        "true area = plan / cos pitch = 17.92 m² / 0.8192 = 21.88 m²",
        "true length = √(plan² + rise²) = √((3.96 m)² + (1.96 m)²) = 4.42 m",
    ] {
        assert!(harness.query_all_by_label_contains(words).next().is_some(), "{words}");
    }
    // The next face by key: its own triangle.
    harness.key_press(Key::CloseBracket);
    harness.key_press(Key::CloseBracket);
    settle(&mut harness);
    assert!(harness.query_by_label_contains("7.84 m² / 0.8192 = 9.57 m²").is_some());
}

#[test]
fn the_net_opens_until_it_is_the_printed_one() {
    let mut harness = window(HIP);
    press(&mut harness, "Lesson");
    press(&mut harness, "the net opens");
    assert!(harness.query_by_label("9 polygons in one piece").is_some());
    assert!(harness.query_by_label("62.89 m²").is_some());
    for _ in 0..50 {
        harness.key_press(Key::PageUp);
        harness.run_steps(1);
    }
    settle(&mut harness);
    assert_eq!(harness.state().views.lesson.opened, 1.0);
    assert_eq!(harness.state().views.lesson.chapter, Chapter::Unfolding);
}

#[test]
fn each_chapter_looks_right() {
    show_in_all(STABLE, None, "lesson-rising", |harness| {
        harness.state_mut().views.tab = Tab::Lesson;
        harness.state_mut().views.lesson.rise = 0.55;
    });
    show_in_all(HIP, None, "lesson-lengths", |harness| {
        harness.state_mut().views.tab = Tab::Lesson;
        harness.state_mut().views.lesson.chapter = Chapter::Lengths;
    });
    show_in_all(STABLE, None, "lesson-opening", |harness| {
        harness.state_mut().views.tab = Tab::Lesson;
        harness.state_mut().views.lesson.chapter = Chapter::Unfolding;
        harness.state_mut().views.lesson.opened = 0.6;
    });
    show_in_all(STABLE, None, "lesson-net", |harness| {
        harness.state_mut().views.tab = Tab::Lesson;
        harness.state_mut().views.lesson.chapter = Chapter::Unfolding;
        harness.state_mut().views.lesson.opened = 1.0;
    });
}
