//! The right side: a card that says it in a few lines, the order by parts with costs, what has no price, copied as text or
//! table; findings folded by their weight.

use super::state::{HIP, Plain, keep, settle, type_into, window};
use eavewright::viewer::app::state::AppState;
use eframe::egui::OutputCommand;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use std::sync::Arc;

fn has(harness: &Harness<'static, AppState>, part: &str) -> bool {
    harness.query_all_by_label_contains(part).next().is_some()
}

/// What a press puts on the clipboard.
fn copied(harness: &mut Harness<'static, AppState>, name: &str) -> String {
    harness.get_by_label(name).click();
    for _ in 0..4 {
        harness.step();
        let commands = &harness.output().platform_output.commands;
        let found = commands.iter().find_map(|command| match command {
            OutputCommand::CopyText(text) => Some(text.clone()),
            _ => None,
        });
        if let Some(text) = found {
            return text;
        }
    }
    panic!("{name} copies nothing")
}

#[test]
fn a_card_says_how_big_whether_to_order_what_and_for_how_much() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    let area = harness.get_all_by_label("62.89 ± 0.47 m²").next().unwrap().rect();
    let size = harness.get_by_label("How big").rect();
    assert!(area.max.y < size.min.y && area.height() > 18.0, "{area:?} {size:?}");
    assert!(has(&harness, "Nothing found that stands against ordering."));
    assert!(has(&harness, "No prices given: page Covering."));
    // 6 of the order's lines, the covering among them.
    let foremost = harness.state().shown.as_ref().unwrap().answered.take_off.foremost(6).len();
    assert_eq!(foremost, 6);
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/findings/measurement-doubtful.toml");
    let mut doubtful = window(Arc::new(Plain::default()), &std::fs::read_to_string(path).unwrap(), [1280.0, 800.0]);
    keep(&mut doubtful, "card-doubt");
    assert!(has(&doubtful, "Doubts to settle before ordering."));
    assert!(!has(&doubtful, "Nothing found that stands against ordering."));
    harness.state_mut().theme = eavewright::viewer::render::theme::Theme::Dark;
    settle(&mut harness);
    keep(&mut harness, "card-dark");
}

#[test]
fn the_order_has_its_costs_its_total_and_what_has_no_price() {
    let priced = format!("{HIP}\n[prices]\ncurrency = \"EUR\"\nstrip-shingle = 31.50\nunderlay = 20\n");
    let mut harness = window(Arc::new(Plain::default()), &priced, [1280.0, 3000.0]);
    keep(&mut harness, "order-priced");
    let take_off = harness.state().shown.as_ref().unwrap().answered.take_off.clone();
    let cost_of = |item: &str| take_off.line(item).unwrap().cost.value().unwrap();
    let packs = |item: &str| f64::from(take_off.line(item).unwrap().packs_range.unwrap()[1]);
    // Packs at their price: the upper number where the measurements leave it open.
    assert!((cost_of("strip-shingle") - 31.5 * packs("strip-shingle")).abs() < 1e-9);
    let total = cost_of("strip-shingle") + cost_of("underlay");
    assert!(has(&harness, &format!("Material {total:.2} EUR without the lines that have no price.")));
    assert!(has(&harness, "Not an offer yet: no price for"));
    assert!(has(&harness, &format!("Covering · {:.2} EUR", cost_of("strip-shingle"))));
    assert!(harness.query_all_by_label("no price").count() > 3);
    let table = copied(&mut harness, "as table");
    let rows: Vec<Vec<&str>> = table.lines().map(|line| line.split('\t').collect()).collect();
    assert_eq!(rows.len(), take_off.lines.len() + 1);
    assert!(rows.iter().all(|row| row.len() == 6), "{table}");
    let sum: f64 = rows.iter().skip(1).filter_map(|row| row[5].parse::<f64>().ok()).sum();
    assert!((sum - total).abs() < 0.006, "{table}");
    let text = copied(&mut harness, "Copy as text");
    assert!(text.starts_with("Boat store\nroof area 62.89 ± 0.47 m²\n") && text.contains("- underlay: "), "{text}");
    assert!(text.contains("not an offer yet"), "{text}");
}

#[test]
fn what_to_mind_is_folded_by_weight() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 3000.0]);
    assert!(!has(&harness, "Rafter lengths and cuts are geometry"));
    harness.get_by_label("At work").click();
    settle(&mut harness);
    keep(&mut harness, "unfolded");
    assert!(has(&harness, "Rafter lengths and cuts are geometry"));
}

/// A slip of the decimal point is told with the length that was meant, and the last roof stays.
#[test]
fn ninety_two_typed_for_nine_point_two_is_told_so() {
    let mut harness = window(Arc::new(Plain::default()), HIP, [1280.0, 800.0]);
    type_into(&mut harness, "length of side A", "92");
    keep(&mut harness, "misclosure");
    assert!(has(&harness, "it would close if side A is 9.20 m, not 92.00 m"));
    assert!(has(&harness, "the roof shown is the last that could be solved"));
    type_into(&mut harness, "length of side A", "9.20");
    assert_eq!(harness.state().errors().count(), 0);
}
