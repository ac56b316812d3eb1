//! What to order; the client's offer.

use super::{SheetInput, what};
use crate::drawing::document::{Align, Document, Table};
use crate::drawing::words::Words;
use crate::takeoff::answer::{Line, Stage};
use crate::takeoff::offer::{Offer, OfferLine};

/// A quantity with its unit: pieces whole, measures with one decimal or in the units of the job.
fn quantity(value: f64, unit: &str, say: Words) -> String {
    match unit {
        "m" if say.imperial => say.length(value),
        "m²" if say.imperial => say.area(value),
        "piece" | "tube" => format!("{value:.0} {}", if value == 1.0 { unit.to_owned() } else { format!("{unit}s") }),
        _ => format!("{value:.1} {unit}"),
    }
}

fn money(value: f64, currency: Option<&str>) -> String {
    currency.map_or_else(|| format!("{value:.2}"), |currency| format!("{value:.2} {currency}"))
}

/// The order list by stage of the work.
pub(super) fn order(input: &SheetInput<'_>, document: &mut Document) {
    let take_off = input.take_off;
    document.heading(1, "What to order");
    document.text(
        "Order the upper figure where two are given: it covers 95 of a hundred cases of how the roof was measured. One \
         batch for the whole roof.",
    );
    let has_costs = take_off.lines.iter().any(|line| line.cost.is_some());
    let currency = input.job.covering.prices.currency.as_deref();
    let mut heads = vec![("what", Align::Left), ("laid", Align::Right), ("order", Align::Right), ("of", Align::Left)];
    if has_costs {
        heads.push(("cost", Align::Right));
    }
    let mut table = Table::new(&heads);
    for stage in Stage::ALL {
        let lines: Vec<&Line> = take_off.lines.iter().filter(|line| line.stage == stage).collect();
        if lines.is_empty() {
            continue;
        }
        table.section(stage.heading());
        for line in lines {
            let laid = line
                .quantity
                .map_or_else(|| "see card".to_owned(), |value| quantity(value, line.unit, input.context.words));
            let packs = match (line.packs, line.packs_range) {
                (Some(packs), Some([_, high])) if high > packs => format!("{packs} to {high}"),
                (Some(packs), _) => packs.to_string(),
                (None, _) => String::new(),
            };
            let what = match &line.detail {
                Some(detail) => format!("{} ({detail})", line.what),
                None => line.what.clone(),
            };
            let mut row = vec![what, laid, packs, line.pack.clone().unwrap_or_default()];
            if has_costs {
                row.push(line.cost.map_or_else(String::new, |cost| money(cost, currency)));
            }
            table.row(row);
        }
    }
    document.table(table);
    if take_off.weight() > 0.0 {
        document.text(format!(
            "Weight in all {}, of which {} come to lie on the deck. Spread packs along the ridge, never in one place.",
            input.context.words.weight(take_off.weight()),
            input.context.words.weight(take_off.weight_on_deck())
        ));
    }
    if let Some(cost) = take_off.cost() {
        document.text(format!("Cost of what has a price: {}.", money(cost, currency)));
    }
    if !take_off.tools.is_empty() {
        document.heading(2, "Tools and consumables");
        document.text(what::sentence(&input.context.words.retold(&take_off.tools.join(", "))));
    }
}

fn sums(document: &mut Document, heading: &str, lines: &[OfferLine], say: Words) {
    if lines.is_empty() {
        return;
    }
    document.heading(2, heading);
    let mut table = Table::new(&[("what", Align::Left), ("how much", Align::Right)]);
    for line in lines {
        table.row([line.what.clone(), quantity(line.quantity, line.unit, say)]);
    }
    document.table(table);
}

/// The client's offer: what is laid and done, and the total; no price of a single item.
pub(super) fn offer(input: &SheetInput<'_>, document: &mut Document) {
    document.heading(1, "What is laid");
    let mut table = Table::new(&[("what", Align::Left), ("how much", Align::Right)]);
    for line in &input.take_off.lines {
        if let Some(value) = line.quantity {
            table.row([line.what.clone(), quantity(value, line.unit, input.context.words)]);
        }
    }
    document.table(table);
    let Some(Offer { currency, work, net, margin, tax, total, unpriced, .. }) = &input.take_off.offer else {
        document.text("No prices are given: this is a description, not an offer.");
        return;
    };
    document.heading(1, "Offer");
    sums(document, "Work", work, input.context.words);
    let currency = currency.as_deref();
    let mut table = Table::new(&[("", Align::Left), ("sum", Align::Right)]);
    // What the material costs to buy, and the margin on it, are the roofer's business.
    table.row(["material and work".to_owned(), money(net + margin, currency)]);
    if *tax > 0.0 {
        table.row(["tax".to_owned(), money(*tax, currency)]);
    }
    table.row(["total".to_owned(), money(*total, currency)]);
    table.total = true;
    document.table(table);
    if !unpriced.is_empty() {
        document.text(format!("Not in this sum, because no price is given: {}.", unpriced.join(", ")));
    }
}
