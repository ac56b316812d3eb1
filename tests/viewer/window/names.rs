//! Every widget one can act on has a name for those who don't see it, on every page and in every view.

use super::state::{Plain, settle, window};
use eavewright::viewer::app::keys::Action;
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::editors::forms::Page;
use eavewright::viewer::editors::views::Tab;
use eframe::egui::accesskit::{Action as Act, Role};
use egui_kittest::Harness;
use egui_kittest::kittest::NodeT;
use std::sync::Arc;

fn unnamed(harness: &Harness<'static, AppState>) -> Vec<String> {
    let mut found = Vec::new();
    let mut names = std::collections::BTreeMap::<(String, String), usize>::new();
    let mut waiting = vec![harness.root()];
    while let Some(node) = waiting.pop() {
        let of = node.accesskit_node();
        let acts = of.data().supports_action(Act::Click) || of.data().supports_action(Act::Focus);
        let role = of.role();
        // Text that can be selected, whose words are its value; frames around widgets; scroll bars say what they scroll by where they stand.
        let is_frame = matches!(
            role,
            Role::Window
                | Role::GenericContainer
                | Role::ScrollView
                | Role::ScrollBar
                | Role::Unknown
                | Role::Pane
                | Role::Label
        );
        let label = of.label().unwrap_or_default();
        if acts && !is_frame {
            if label.trim().is_empty() {
                found.push(format!("{role:?} at {:?}", of.raw_bounds()));
            }
            if matches!(role, Role::TextInput | Role::ComboBox | Role::Slider | Role::SpinButton) {
                *names.entry((format!("{role:?}"), label)).or_default() += 1;
            }
        }
        waiting.extend(node.children());
    }
    // Two fields of one name can't be told apart.
    found.extend(names.into_iter().filter(|(_, count)| *count > 1).map(|(name, _)| format!("twice: {name:?}")));
    found
}

#[test]
fn every_widget_has_a_name() {
    let files = [
        include_str!("../../../examples/stable_l.toml"),
        include_str!("../../../examples/field_shed.toml"),
        include_str!("../../diagnostics/fine.toml"),
        super::rename::POINTS,
        "",
    ];
    for file in files {
        let mut harness = window(Arc::new(Plain::default()), file, [1280.0, 3000.0]);
        for tab in Tab::ALL {
            harness.state_mut().views.tab = tab;
            settle(&mut harness);
            assert_eq!(unnamed(&harness), Vec::<String>::new(), "{tab:?}");
        }
        // Photos have the most fields of their own beside the pages'.
        harness.state_mut().views.tab = Tab::Photos;
        for page in Page::ALL {
            harness.state_mut().forms.page = page;
            harness.run_steps(3);
            assert_eq!(unnamed(&harness), Vec::<String>::new(), "{page:?}");
        }
        harness.state_mut().views.tab = Tab::Roof;
        for action in [Action::Keys, Action::Open, Action::Measure] {
            harness.state_mut().act(action);
            harness.run_steps(3);
            assert_eq!(unnamed(&harness), Vec::<String>::new(), "{action:?}");
        }
    }
}
