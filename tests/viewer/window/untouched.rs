//! A file that is opened and looked at stays its author's, to the byte.

use super::state::{Plain, keep, settle, window};
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::editors::forms::Page;
use eavewright::viewer::editors::views::Tab;
use egui_kittest::Harness;
use std::sync::Arc;

/// Two corners of one name, and pitches that no slider reaches: steeper and flatter than it goes, between its steps.
const ODD: &str = r#"units = "m"
[[block]]
name = "a"
height = 2.4
sides = [
  { from = "A", length = 9.2, turn = "L", pitch = 88 },
  { from = "A", length = 5.6, turn = "L", pitch = 1 },
  { from = "C", length = 9.2, turn = "L", pitch = "34.123°" },
  { from = "D", length = 5.6, pitch = 35 },
]
[[block]]
name = "b"
height = 2.4
start = [20, 0]
sides = [
  { from = "A", length = 4, turn = "L", pitch = 2.26 },
  { from = "B", length = 3, turn = "L", pitch = 2.26 },
  { from = "C", length = 4, turn = "L", pitch = 2.26 },
  { from = "D", length = 3, pitch = 2.26 },
]
"#;

fn look_through(harness: &mut Harness<'static, AppState>, file: &str, name: &str) {
    for page in Page::ALL {
        harness.state_mut().forms.page = page;
        harness.run_steps(2);
        assert_eq!(harness.state().text, file, "{name}: the page {page:?} changes it");
        if name.ends_with("stable_l.toml") {
            keep(harness, &format!("page-{page:?}"));
        }
    }
    assert!(!harness.state().is_changed(), "{name}");
}

#[test]
fn a_file_opened_is_never_edited() {
    let mut files = vec![("odd".to_owned(), ODD.to_owned())];
    for folder in ["examples", "tests/diagnostics"] {
        let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
        paths.sort();
        for path in paths.into_iter().filter(|path| path.extension().is_some_and(|ending| ending == "toml")) {
            files.push((path.display().to_string(), std::fs::read_to_string(&path).unwrap()));
        }
    }
    assert!(files.len() > 50);
    for (name, file) in files {
        let mut harness = window(Arc::new(Plain::default()), &file, [1280.0, 1400.0]);
        look_through(&mut harness, &file, &name);
        if name == "odd" {
            for tab in Tab::ALL {
                harness.state_mut().views.tab = tab;
                settle(&mut harness);
                assert_eq!(harness.state().text, file, "{tab:?}");
            }
        }
    }
}

/// The same where all of it can be solved, so that every widget shows.
#[test]
fn slopes_that_no_slider_reaches_stay() {
    let file = ODD.replacen("from = \"A\", length = 5.6", "from = \"B\", length = 5.6", 1);
    let mut harness = window(Arc::new(Plain::default()), &file, [1280.0, 1400.0]);
    assert!(harness.state().shown.is_some(), "{:?}", harness.state().diagnostics);
    look_through(&mut harness, &file, "odd");
}
