//! `offer` and `handover`: the papers of a job, as text for whoever makes them, and as PDF or HTML for a client.

use super::paragraphs::{capital, paragraph, wrapped};
use super::table::{Align, Table};
use crate::job::Job;
use crate::takeoff::answer::TakeOff;
use crate::takeoff::offer::Offer;
use crate::wording::units;
use crate::wording::units::Format;
use crate::wording::{offer as words_of, order};

/// What is said where nothing has a price.
const NO_PRICES: &str =
    "no prices are given, so there is nothing to offer: write them under [prices], or name a price file there";

/// The offer as its maker reads it: what has no price first, then every line with its price.
#[must_use]
pub fn text(job: &Job, answer: &TakeOff, format: Format) -> String {
    let mut text = format!("{}: offer\n", job.title);
    let Some(offer) = &answer.offer else {
        text.push_str(&paragraph(&format!("{}.", capital(NO_PRICES))));
        return text;
    };
    if let Some(open) = words_of::not_whole(offer) {
        text.push_str(&wrapped(&open));
    }
    text.push('\n');
    text.push_str(&table(offer, format));
    text
}

/// The lines of an offer with their sums; what has no price stands before them, and no total after them hides it.
#[must_use]
pub fn table(offer: &Offer, format: Format) -> String {
    let mut table = Table::new(&[
        ("offer", Align::Left),
        ("", Align::Right),
        ("each", Align::Right),
        (offer.currency.as_deref().unwrap_or("sum"), Align::Right),
    ]);
    for of in &offer.unpriced {
        table.row([words_of::unpriced(of), "no price".to_owned()]);
    }
    for line in offer.material.iter().chain(&offer.work) {
        table.row([
            words_of::priced(line, offer, format),
            words_of::quantity(line, format),
            units::money(line.price, None),
            units::money(line.sum, None),
        ]);
    }
    for (what, sum) in words_of::sums(offer) {
        table.row([what.as_str(), "", "", &units::money(sum, None)]);
    }
    let mut text = table.render();
    if !offer.left_out.is_empty() {
        let names: Vec<&str> = offer.left_out.iter().map(order::name).collect();
        text.push_str(&wrapped(&format!("left to others: {}", names.join(", "))));
    }
    for told in [words_of::dated(offer), words_of::usual_hours(offer)].into_iter().flatten() {
        text.push_str(&wrapped(&told));
    }
    text
}
