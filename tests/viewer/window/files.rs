//! Opening, saving and writing, with dialogs that answer by themselves.

use super::state::{Dropped, HIP, Plain, settle, type_into, window};
use eavewright::viewer::app::dialog::{Chosen, Dialogs, Question};
use eavewright::viewer::app::prompt::What;
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::backend::Output;
use eframe::egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::path::PathBuf;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

/// Answers every question with one path.
struct Answers(PathBuf, Mutex<Vec<Question>>);

impl Dialogs for Answers {
    fn ask(&self, question: &Question) -> Chosen {
        self.1.lock().unwrap().push(question.clone());
        let path = self.0.clone();
        Box::pin(std::future::ready(Some(path)))
    }
}

fn answering(harness: &mut Harness<'static, AppState>, path: PathBuf) -> Arc<Answers> {
    let dialogs = Arc::new(Answers(path, Mutex::default()));
    harness.state_mut().dialogs = dialogs.clone();
    dialogs
}

fn until(harness: &mut Harness<'static, AppState>, done: impl Fn(&AppState) -> bool) {
    let start = Instant::now();
    while !done(harness.state()) {
        assert!(start.elapsed() < Duration::from_mins(1), "said: {:?}", harness.state().said);
        std::thread::sleep(Duration::from_millis(5));
        harness.run_steps(1);
    }
    settle(harness);
}

#[test]
fn a_new_roof_is_saved_and_opened_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("store.toml");
    let backend = Arc::new(Plain::default());
    let mut harness = window(backend.clone(), HIP, [1280.0, 800.0]);
    let dialogs = answering(&mut harness, path.clone());
    harness.key_press_modifiers(Modifiers::COMMAND, Key::S);
    until(&mut harness, |app| app.path.is_some());
    assert_eq!(*dialogs.1.lock().unwrap(), [Question::Save("roof.toml".to_owned())]);
    assert_eq!(std::fs::read_to_string(&path).unwrap(), HIP);
    type_into(&mut harness, "length of side A", "9.31");
    assert!(harness.state().is_changed());
    harness.key_press_modifiers(Modifiers::COMMAND, Key::S);
    settle(&mut harness);
    assert!(!harness.state().is_changed());
    assert!(std::fs::read_to_string(&path).unwrap().contains("length = 9.31"));
    // A new one, then the old one from the list of those used.
    harness.key_press_modifiers(Modifiers::COMMAND, Key::N);
    settle(&mut harness);
    assert!(harness.query_by_label_contains("Begin with a slope from every side").is_some());
    assert!(harness.query_by_label("Used lately").is_some());
    harness.get_by_label_contains("store.toml  in").click();
    settle(&mut harness);
    assert_eq!(harness.state().path.as_deref(), Some(path.as_path()));
    assert!(harness.state().text.contains("length = 9.31"));
    assert_eq!(backend.used.lock().unwrap().first(), Some(&path));
}

#[test]
fn a_path_can_be_typed_where_there_is_no_dialog() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("typed");
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    harness.state_mut().act(eavewright::viewer::app::keys::Action::SaveAs);
    harness.run_steps(4);
    type_into(&mut harness, "Save as", &path.display().to_string());
    harness.get_by_label("Do it").click();
    settle(&mut harness);
    assert_eq!(std::fs::read_to_string(path.with_extension("toml")).unwrap(), HIP);
}

#[test]
fn models_drawings_and_the_sheet_are_written_beside_the_window() {
    let folder = tempfile::tempdir().unwrap();
    for (output, name, written) in [
        (Output::Model, "store.glb", "store.glb"),
        (Output::Drawings, "drawings", "drawings/plan.svg"),
        (Output::Sheet, "store.pdf", "store.pdf"),
        (Output::Order, "store.ods", "store.ods"),
        (Output::Offer, "offer.pdf", "offer.pdf"),
        (Output::Handover, "handover.html", "handover.html"),
        (Output::Client, "client.html", "client.html"),
        (Output::Field, "field.pdf", "field.pdf"),
        (Output::Table, "order.csv", "order.csv"),
        (Output::Picture, "store.png", "store.png"),
    ] {
        let backend = Arc::new(Plain::default());
        let mut harness = window(backend.clone(), HIP, [1280.0, 800.0]);
        answering(&mut harness, folder.path().join(name));
        harness.state_mut().ask(What::Write(output));
        until(&mut harness, |app| app.said.0.starts_with("wrote") || app.said.1);
        assert!(harness.state().said.0.contains(name) && !harness.state().said.1, "{:?}", harness.state().said);
        assert!(std::fs::metadata(folder.path().join(written)).unwrap().len() > 500, "{written}");
        harness.get_by_label("Open it").click();
        harness.run_steps(2);
        assert_eq!(*backend.opened.lock().unwrap(), [folder.path().join(name)]);
    }
    let read = |name: &str| std::fs::read_to_string(folder.path().join(name)).unwrap();
    assert!(read("order.csv").contains("deck boards"), "{}", read("order.csv"));
    assert!(!read("client.html").contains("nails of the deck"));
    assert_eq!(image::open(folder.path().join("store.png")).unwrap().width(), 1280);
}

#[test]
fn what_can_not_be_written_is_said_and_writing_is_called_off() {
    let folder = tempfile::tempdir().unwrap();
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    harness.state_mut().write_out(Output::Model, folder.path().join("roof.xyz"));
    until(&mut harness, |app| app.said.1);
    assert!(harness.state().said.0.contains("says no kind of model"), "{:?}", harness.state().said);
    // A backend that never ends by itself.
    let mut harness = window(Arc::new(Plain { is_slow: true, ..Plain::default() }), HIP, [1280.0, 800.0]);
    harness.state_mut().write_out(Output::Drawings, folder.path().join("never"));
    harness.run_steps(2);
    assert!(harness.query_by_label("progress of writing").is_some());
    harness.get_by_label("Call it off").click();
    until(&mut harness, |app| app.said.1);
    assert!(harness.state().said.0.starts_with("called off"), "{:?}", harness.state().said);
    assert!(!folder.path().join("never").exists());
}

#[test]
fn what_is_called_off_writes_nothing() {
    use eavewright::cli::view::Tool;
    use eavewright::viewer::backend::{Backend, Source, Writing};
    use eavewright::viewer::background_task::{BackgroundTask, Wake};
    let folder = tempfile::tempdir().unwrap();
    let wake: Wake = Arc::new(|| {});
    for (output, name) in [(Output::Model, "a.glb"), (Output::Drawings, "b"), (Output::Sheet, "c.pdf")] {
        let to = folder.path().join(name);
        let place = to.clone();
        let task = BackgroundTask::start("write", &wake, move |progress| {
            while !progress.is_called_off() {
                std::thread::yield_now();
            }
            let source = Source { text: HIP, path: None };
            Tool.write_out(&Writing { source, output, to: &place, progress })
        });
        task.call_off();
        let result = loop {
            if let Some(result) = task.poll() {
                break result.unwrap();
            }
            std::thread::yield_now();
        };
        assert!(result.unwrap_err().starts_with("called off"));
        assert!(!to.exists());
    }
}

#[test]
fn leaving_a_changed_roof_keeps_it() {
    let backend = Arc::new(Plain::default());
    let mut harness = window(backend, HIP, [1280.0, 800.0]);
    type_into(&mut harness, "length of side A", "9.31");
    let changed = harness.state().text.clone();
    harness.key_press_modifiers(Modifiers::COMMAND, Key::N);
    settle(&mut harness);
    assert!(harness.state().text.is_empty());
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut harness);
    assert_eq!(harness.state().text, changed);
}

/// A file let go over the window.
#[test]
fn a_file_dropped_on_the_window_is_opened() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("dropped.toml");
    std::fs::write(&path, HIP).unwrap();
    let mut harness = window(Arc::new(Plain::default()), "", [1280.0, 800.0]);
    harness.input_mut().dropped_files.push(Arc::new(Dropped(path.clone())));
    harness.run_steps(2);
    settle(&mut harness);
    assert_eq!(harness.state().path.as_deref(), Some(path.as_path()));
    assert_eq!(harness.state().text, HIP);
}

#[test]
fn the_next_window_is_set_as_the_last_one_was() {
    use eavewright::base::units::LengthUnit;
    use eavewright::viewer::render::theme::Theme;
    let backend = Arc::new(Plain::default());
    let mut first = window(backend.clone(), HIP, [1280.0, 800.0]);
    first.state_mut().theme = Theme::Dark;
    first.state_mut().show_in(Some(LengthUnit::Foot));
    settle(&mut first);
    first.state_mut().close();
    let mut second = window(backend.clone(), HIP, [1280.0, 800.0]);
    second.state_mut().recall(None);
    settle(&mut second);
    assert_eq!((second.state().theme, second.state().display), (Theme::Dark, Some(LengthUnit::Foot)));
    second.state_mut().recall(Some(Theme::Contrast));
    assert_eq!(second.state().theme, Theme::Contrast);
}

/// A dialog that comes to nothing, after a while.
struct Left(Duration);

impl Dialogs for Left {
    fn ask(&self, _: &Question) -> Chosen {
        let long = self.0;
        Box::pin(async move {
            std::thread::sleep(long);
            None
        })
    }
}

/// However long a system takes to say that it has no dialogs, the line stays; where one took the focus and was left,
/// nothing is wanted any longer.
#[test]
fn the_line_for_a_path_stays_until_a_dialog_was_left() {
    for takes_focus in [false, true] {
        let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
        harness.state_mut().dialogs = Arc::new(Left(Duration::from_millis(700)));
        harness.input_mut().focused = true;
        harness.state_mut().act(eavewright::viewer::app::keys::Action::SaveAs);
        harness.run_steps(2);
        harness.input_mut().focused = !takes_focus;
        harness.run_steps(2);
        harness.input_mut().focused = true;
        let start = Instant::now();
        while harness.query_by_label_contains("or choose in the system's dialog").is_some() {
            assert!(start.elapsed() < Duration::from_secs(20), "the dialog never ends");
            std::thread::sleep(Duration::from_millis(20));
            harness.run_steps(1);
        }
        harness.run_steps(3);
        assert_eq!(harness.query_by_label("Save as").is_some(), !takes_focus, "{takes_focus}");
    }
}
