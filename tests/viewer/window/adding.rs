//! What is added can be solved as it stands.

use super::state::{HIP, Plain, area, keep, settle, window};
use eavewright::viewer::app::state::AppState;
use eavewright::viewer::editors::forms::Page;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::sync::Arc;

/// The shapes a roof can begin from, each with a diagonal between corners of its first block.
fn shapes() -> Vec<String> {
    let diagonal = "\n[[tape]]\nfrom = \"A\"\nto = \"C\"\nlength = 10.77\nplan = true\n";
    let mut texts: Vec<String> = eavewright::cli::new::templates().into_iter().map(|template| template.text).collect();
    texts.push(format!("{HIP}{diagonal}"));
    texts
}

fn press(harness: &mut Harness<'static, AppState>, page: Page, button: &str) {
    harness.state_mut().forms.page = page;
    settle(harness);
    harness.get_by_label(button).click();
    settle(harness);
}

#[test]
fn a_block_a_dormer_and_openings_begin_without_an_error() {
    let mut begun = 0;
    for text in shapes() {
        let mut harness = window(Arc::new(Plain::default()), &text, [1280.0, 1000.0]);
        if text.contains("[[photo]]") {
            // Its photo is not there yet.
            assert!(harness.state().errors().count() > 0);
            continue;
        }
        begun += 1;
        press(&mut harness, Page::Openings, "Add an opening");
        fine(&harness, &text);
        let totals = harness.state().shown.as_ref().unwrap().answered.answer.totals();
        let net = totals.net_area.value().unwrap();
        assert!(net < area(&harness) - 0.1, "the roof window lies in the roof");
        press(&mut harness, Page::Openings, "Add an opening");
        fine(&harness, &text);
        if text.contains("[[block]]") {
            press(&mut harness, Page::Openings, "Add a dormer");
            fine(&harness, &text);
            press(&mut harness, Page::Sides, "Add a block");
            fine(&harness, &text);
            press(&mut harness, Page::Sides, "Add a block");
            fine(&harness, &text);
        }
        keep(&mut harness, "added");
    }
    assert!(begun >= 6, "{begun}");
}

fn fine(harness: &Harness<'static, AppState>, text: &str) {
    let state = harness.state();
    let errors: Vec<String> = state.errors().map(|error| format!("{error:?}")).collect();
    assert!(errors.is_empty(), "{errors:#?}\n{}\nfrom\n{text}", state.text);
}
