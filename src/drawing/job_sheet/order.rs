//! What to order; the client's offer.

use super::SheetInput;
use super::what::sentence;
use crate::drawing::typeset::document::{Align, Document, Table};
use crate::drawing::typeset::words::Words;
use crate::takeoff::answer::{Line, Stage};
use crate::takeoff::offer::{Offer, OfferLine};
use crate::wording::order::{self as words_of, money};

/// The order list by stage of the work.
pub(super) fn order(input: &SheetInput<'_>, document: &mut Document) {
    let (take_off, say) = (input.take_off, input.context.words);
    document.heading(1, "What to order");
    if take_off.lines.is_empty() {
        document.text("Nothing is ordered before what stands first on this sheet is settled.");
        return;
    }
    if take_off.lines.iter().any(|line| line.packs_high().is_some()) {
        document.text(words_of::UPPER_FIGURE);
    }
    document.text(words_of::ONE_BATCH);
    let has_costs = take_off.lines.iter().any(|line| line.cost.is_some());
    let currency = input.job.covering.prices.currency.as_deref();
    let mut heads =
        vec![("what", Align::Left), ("laid", Align::Right), ("order", Align::Right), ("bought as", Align::Left)];
    if has_costs {
        heads.push(("cost", Align::Right));
    }
    let mut table = Table::new(&heads);
    for stage in Stage::ALL {
        let lines: Vec<&Line> = take_off.lines.iter().filter(|line| line.stage() == stage).collect();
        if lines.is_empty() {
            continue;
        }
        table.section(words_of::heading(stage));
        for line in lines {
            let what = match words_of::detail(line, say) {
                Some(detail) => format!("{} ({detail})", words_of::what(&line.item)),
                None => words_of::what(&line.item),
            };
            let mut row = vec![what, words_of::laid(line, say), words_of::ordered(line), words_of::pack(line, say)];
            if has_costs {
                row.push(line.cost.map_or_else(String::new, |cost| money(cost, currency)));
            }
            table.row(row);
        }
    }
    document.table(table);
    if take_off.weight() > 0.0 {
        document.text(format!(
            "{}. Spread packs along the ridge, never in one place.",
            sentence(&words_of::weights(take_off, say)).trim_end_matches('.')
        ));
    }
    if let Some(cost) = take_off.cost() {
        document.text(format!("Cost of what has a price: {}.", money(cost, currency)));
    }
    if !take_off.tools.is_empty() {
        document.heading(2, "Tools and consumables");
        document.text(sentence(&words_of::tools(&take_off.tools, say)));
    }
}

fn sums(document: &mut Document, heading: &str, lines: &[OfferLine], say: Words) {
    if lines.is_empty() {
        return;
    }
    document.heading(2, heading);
    let mut table = Table::new(&[("what", Align::Left), ("how much", Align::Right)]);
    for line in lines {
        table.row([words_of::priced(line), words_of::amount(line.quantity, line.unit, say)]);
    }
    document.table(table);
}

/// The client's offer: what is laid and done, and the total; no price of a single item.
pub(super) fn offer(input: &SheetInput<'_>, document: &mut Document) {
    document.heading(1, "What is laid");
    let mut table = Table::new(&[("what", Align::Left), ("how much", Align::Right)]);
    for line in &input.take_off.lines {
        table.row([words_of::what(&line.item), words_of::laid(line, input.context.words)]);
    }
    document.table(table);
    let Some(Offer { currency, work, before_tax, tax, total, unpriced, .. }) = &input.take_off.offer else {
        document.text("No prices are given: this is a description, not an offer.");
        return;
    };
    document.heading(1, "Offer");
    sums(document, "Work", work, input.context.words);
    let currency = currency.as_deref();
    let mut table = Table::new(&[("", Align::Left), ("sum", Align::Right)]);
    // What the material costs to buy, and the margin on it, are the roofer's business.
    table.row(["material and work".to_owned(), money(*before_tax, currency)]);
    if *tax > 0.0 {
        table.row(["tax".to_owned(), money(*tax, currency)]);
    }
    table.row(["total".to_owned(), money(*total, currency)]);
    table.total = true;
    document.table(table);
    if !unpriced.is_empty() {
        document.text(format!(
            "Not in this sum, because no price is given: {}.",
            unpriced.iter().map(words_of::name).collect::<Vec<_>>().join(", ")
        ));
    }
}
