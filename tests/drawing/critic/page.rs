//! How a page is filled.

use eavewright::drawing::typeset::model::Role;
use eavewright::drawing::{Drawing, Item};

/// Top and bottom of what a page of a document may hold, millimetres from its edges.
const TOP: f64 = 22.0;
const BOTTOM: f64 = 16.0;

/// A heading that ends its page.
pub fn orphan_heading(page: &Drawing) -> Vec<String> {
    let last = page.stretches.iter().max_by_key(|stretch| stretch.items.end);
    let heading = last.filter(|last| matches!(last.role, Role::Heading(level) if level > 1));
    let words = heading.map(|stretch| {
        let items = page.items[stretch.items.clone()].iter();
        items
            .filter_map(|item| if let Item::Text(text) = item { Some(text.words.as_str()) } else { None })
            .collect::<String>()
    });
    words.into_iter().map(|words| format!("the heading \"{words}\" ends its page")).collect()
}

/// The lowest ink among the items of a page's stretches.
fn lowest(page: &Drawing) -> Option<f64> {
    let of_item = |item: &Item| match item {
        Item::Text(text) => Some(text.bounds().centre.y - text.bounds().half[1]),
        Item::Line { points, .. } => points.iter().map(|point| point.y).reduce(f64::min),
        Item::Area { rings, .. } => rings.iter().flatten().map(|point| point.y).reduce(f64::min),
        Item::Photo(photo) => Some(photo.low.y),
    };
    let items = page.stretches.iter().flat_map(|stretch| &page.items[stretch.items.clone()]);
    items.filter_map(of_item).reduce(f64::min)
}

/// A page under a third full.
pub fn hardly_filled(page: &Drawing) -> Vec<String> {
    let room = page.size[1] - TOP - BOTTOM;
    let filled = lowest(page).map_or(0.0, |lowest| (page.size[1] - TOP - lowest) / room);
    if filled < 1.0 / 3.0 { vec![format!("only {:.0} % of the page is filled", filled * 100.0)] } else { Vec::new() }
}

/// A page that says what numbers on another stand for and shows nothing.
pub fn only_a_key(drawing: &Drawing) -> Vec<String> {
    let key = drawing.name.contains("-key-");
    if key { vec![format!("\"{}\" is a page with nothing but a key", drawing.title)] } else { Vec::new() }
}
