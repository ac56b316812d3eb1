//! Everything by keyboard: each key is told of in the window and in README.md, and Tab reaches whatever can be acted on.

use super::state::{HIP, Plain, settle, window};
use eavewright::viewer::app::keys::{IN_FOCUS, KEYS};
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::editors::forms::Page;
use eavewright::viewer::editors::views::Tab;
use eframe::egui::accesskit::{Action, Role};
use eframe::egui::{Key, Modifiers};
use egui_kittest::Harness;
use egui_kittest::kittest::{NodeT, Queryable};
use std::collections::BTreeSet;
use std::sync::Arc;

/// As README.md writes a key.
fn describe(modifiers: Modifiers, key: Key) -> String {
    let name = match key {
        Key::Escape => "Esc",
        Key::PageUp => "Page up",
        Key::PageDown => "Page down",
        Key::OpenBracket => "[",
        Key::CloseBracket => "]",
        Key::Plus => "+",
        Key::Equals => "=",
        Key::Minus => "-",
        Key::Period => ".",
        Key::Comma => ",",
        Key::ArrowLeft | Key::ArrowRight | Key::ArrowUp | Key::ArrowDown => "arrows",
        other => other.name(),
    };
    let ctrl = if modifiers.command { "Ctrl+" } else { "" };
    let shift = if modifiers.shift { "Shift+" } else { "" };
    format!("{ctrl}{shift}{name}")
}

/// The keys of README's table, each as one word; `1 … 8` stands for all from one to the other.
fn readme() -> BTreeSet<String> {
    let text = include_str!("../../../README.md");
    let table = text.split("| key | what it does |").nth(1).unwrap().split("\n\n").next().unwrap();
    let mut keys = BTreeSet::new();
    for row in table.lines().filter(|row| row.starts_with("| ")) {
        let cell = row.trim_start_matches("| ").split(" | ").next().unwrap();
        let words = cell.replace(" or ", ", ").replace(" and ", ", ");
        for word in words.split(", ") {
            match word.split_once(" … ") {
                Some((first, last)) => {
                    let (stem, from) = first.split_at(first.len() - 1);
                    let [from, to] = [from, last].map(|number| number.parse::<u32>().unwrap());
                    keys.extend((from..=to).map(|number| format!("{stem}{number}")));
                }
                None => drop(keys.insert(word.trim().to_owned())),
            }
        }
    }
    keys
}

#[test]
fn every_key_is_told_of_in_readme() {
    let known = readme();
    let wanted: BTreeSet<String> = KEYS.iter().map(|(modifiers, key, ..)| describe(*modifiers, *key)).collect();
    let missing: Vec<&String> = wanted.iter().filter(|key| !known.contains(*key)).collect();
    assert!(missing.is_empty(), "README.md does not tell of {missing:?}; it tells of {known:?}");
    let of_focus = ["Tab", "Shift+Tab", "Space", "Enter", "arrows", "Delete", "Backspace"];
    assert!(of_focus.iter().all(|key| known.contains(*key)), "{known:?}");
    // And of none that does nothing.
    let others: Vec<&String> =
        known.iter().filter(|key| !wanted.contains(*key) && !of_focus.contains(&key.as_str())).collect();
    assert!(others.is_empty(), "README.md tells of {others:?}, which no key does");
}

#[test]
fn every_key_is_told_of_in_the_window() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    harness.key_press(Key::F1);
    harness.run_steps(4);
    for (_, key, _, words) in KEYS {
        assert!(harness.query_all_by_label(words).next().is_some(), "{key:?}: {words}");
    }
    for (keys, words) in IN_FOCUS {
        assert!(harness.query_by_label(keys).is_some() && harness.query_by_label(words).is_some(), "{keys}");
    }
    let bottom = harness.get_by_label_contains("Drag turns the roof").rect();
    assert!(bottom.max.y < 800.0 && bottom.max.x < 1280.0, "{bottom:?}");
}

/// Names of what can be acted on now, and of what has the focus.
fn reach(harness: &Harness<'static, AppState>) -> (BTreeSet<String>, Option<String>) {
    let (mut found, mut focused) = (BTreeSet::new(), None);
    let mut waiting = vec![harness.root()];
    while let Some(node) = waiting.pop() {
        let of = node.accesskit_node();
        let frames =
            // Text that can be selected is no widget: it is read, not acted on.
            [
                Role::Window,
                Role::GenericContainer,
                Role::ScrollView,
                Role::ScrollBar,
                Role::Unknown,
                Role::Pane,
                Role::Label,
            ];
        let acts = of.data().supports_action(Action::Click) || of.data().supports_action(Action::Focus);
        if acts && !frames.contains(&of.role()) && !of.is_disabled() {
            let name = format!("{:?} {}", of.role(), of.label().unwrap_or_default());
            if of.is_focused() {
                focused = Some(name.clone());
            }
            found.insert(name);
        }
        waiting.extend(node.children());
    }
    (found, focused)
}

#[test]
fn tab_reaches_whatever_can_be_acted_on() {
    let stable = include_str!("../../../examples/stable_l.toml");
    let marked = super::rename::POINTS;
    let mut visited = 0;
    for (file, page, tabs) in [
        (stable, Page::Sides, Tab::ALL.as_slice()),
        (marked, Page::Points, &[Tab::Photos]),
        (marked, Page::Measures, &[Tab::Roof]),
    ] {
        for tab in tabs {
            let mut harness = window(Arc::new(Plain::default()), file, [1280.0, 3000.0]);
            harness.state_mut().views.tab = *tab;
            harness.state_mut().forms.page = page;
            settle(&mut harness);
            let (all, _) = reach(&harness);
            let mut reached = BTreeSet::new();
            for _ in 0..all.len() + 40 {
                harness.key_press(Key::Tab);
                harness.run_steps(1);
                reached.extend(reach(&harness).1);
            }
            let missed: Vec<&String> = all.difference(&reached).collect();
            assert!(missed.is_empty(), "{tab:?} {page:?}: Tab does not reach {missed:?}");
            assert!(all.len() > 30, "{tab:?}: {all:?}");
            visited += all.len();
        }
    }
    assert!(visited > 400, "{visited}");
}

/// F6 goes from pane to pane and back; a letter typed in one of them does nothing in the view; Esc closes what is open.
#[test]
fn keys_act_where_the_focus_is() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    let focused = |harness: &Harness<'static, AppState>| reach(harness).1;
    let mut seen = Vec::new();
    for _ in 0..3 {
        harness.key_press(Key::F6);
        harness.run_steps(3);
        seen.push(focused(&harness).unwrap_or_default());
    }
    assert_eq!(seen, ["Button Copy as text", "Tab Sides", "Tab Roof"]);
    harness.key_press_modifiers(Modifiers::SHIFT, Key::F6);
    harness.run_steps(3);
    assert_eq!(focused(&harness).as_deref(), Some("Tab Sides"));
    let before = (harness.state().look.shade, harness.state().labels.edges);
    for key in [Key::C, Key::L, Key::M, Key::X] {
        harness.key_press(key);
        harness.run_steps(2);
    }
    assert_eq!((harness.state().look.shade, harness.state().labels.edges), before);
    assert!(!harness.state().canvas.is_measuring);
    harness.key_press(Key::Escape);
    harness.run_steps(2);
    harness.key_press(Key::L);
    harness.run_steps(2);
    assert_ne!(harness.state().labels.edges, before.1, "with nothing in focus it acts");
    harness.key_press(Key::F1);
    harness.run_steps(3);
    assert!(harness.state().shows_keys);
    harness.key_press(Key::Escape);
    harness.run_steps(3);
    assert!(!harness.state().shows_keys);
}
