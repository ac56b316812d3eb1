//! Papers for a client: the offer, the description without one, and what is handed over at the end. They name goods in plain
//! words, tell no purchase price and count no nails.

use super::laying::mind_client;
use super::what::{self, sentence};
use super::{Audience, SheetInput};
use crate::drawing::typeset::document::{Align, Block, Document, Table};
use crate::drawing::typeset::figure::{Key, inset};
use crate::drawing::views::building;
use crate::takeoff::item::Item;
use crate::takeoff::offer::{Offer, Sums};
use crate::takeoff::parts::laid_together;
use crate::wording::offer as words_of;
use crate::wording::order;
use crate::wording::units::money;

/// Room to write on.
const LINE: &str = "______________________";

/// The offer as a paper of its own: who to whom, what is done, what not, the price, terms, signatures. While anything has no
/// price it says first that it is no offer yet, and has neither total nor signatures. Deterministic.
#[must_use]
pub fn offer_sheet(input: &SheetInput<'_>) -> Document {
    let details = &input.job.offer;
    let offer = input.take_off.offer.as_ref();
    let whole = offer.and_then(Offer::whole);
    let mut document = Document {
        title: input.job.title.clone(),
        kind: match (whole, &details.number) {
            (Some(_), Some(number)) => format!("offer {number}"),
            (Some(_), None) => "offer".to_owned(),
            (None, _) => "description of the work, not an offer yet".to_owned(),
        },
        date: details.date.clone().or_else(|| input.job.date.clone()),
        blocks: Vec::new(),
    };
    not_whole(offer, &mut document);
    stops(input, &mut document);
    parties(input, &mut document);
    if whole.is_some() {
        let mut table = Table::new(&[("offer", Align::Left), ("", Align::Left)]);
        let or_line = |text: &Option<String>| text.clone().unwrap_or_else(|| LINE.to_owned());
        table.row(["date".to_owned(), or_line(&document.date)]);
        table.row(["valid until".to_owned(), or_line(&details.valid_until)]);
        if let Some(site) = &details.site {
            table.row(["building".to_owned(), site.clone()]);
        }
        document.table(table);
    }
    included(input, &mut document);
    price(input, &mut document);
    if !details.terms.is_empty() {
        document.heading(1, "Terms");
        document.list(details.terms.iter().map(|term| sentence(term)).collect());
    }
    mind_client(input, &mut document);
    if whole.is_some() {
        document.heading(1, "Acceptance");
        document.text("The work is ordered as described above, at the price and on the terms stated.");
        signatures(&mut document);
    }
    picture(input, &mut document);
    document
}

/// What a client reads of the work and its price, within a description of the roof.
pub(super) fn description(input: &SheetInput<'_>, document: &mut Document) {
    not_whole(input.take_off.offer.as_ref(), document);
    included(input, document);
    price(input, document);
}

/// The papers at the end: what was laid, from which batch, how to look after it, what was looked over. Deterministic.
#[must_use]
pub fn handover_sheet(input: &SheetInput<'_>) -> Document {
    let details = &input.job.offer;
    let mut document = Document {
        title: input.job.title.clone(),
        kind: "handover".to_owned(),
        date: input.job.date.clone(),
        blocks: Vec::new(),
    };
    parties(input, &mut document);
    if let Some(site) = &details.site {
        document.text(format!("Building: {}.", site.trim_end_matches('.')));
    }
    document.heading(1, "What was laid");
    let title = &input.job.covering.card.title;
    document.list(words_of::scope(input.take_off, title, input.context.words));
    as_laid(input, &mut document);
    document.heading(1, "Looked over at handover");
    document.blocks.push(Block::Checks(words_of::inspection(input.take_off)));
    document.heading(1, "How to look after it");
    document.list(words_of::care(input.take_off));
    document.caution(
        "Nobody goes on the roof without protection against falls as local law says; never on a wet, iced or brittle roof, \
         never alone. Repairs to structure are for licensed practice.",
    );
    document.heading(1, "Handed over");
    signatures(&mut document);
    picture(input, &mut document);
    document
}

/// What has no price, in plain words, before anything else.
fn not_whole(offer: Option<&Offer>, document: &mut Document) {
    if offer.is_some_and(|offer| offer.whole().is_some()) {
        return;
    }
    document.heading(1, "Still to be priced");
    document.text(words_of::NOT_WHOLE_FOR_CLIENT);
    if let Some(offer) = offer {
        document.text(sentence(&words_of::unpriced_for_client(offer)));
    }
}

/// What stops the work stands before what is offered.
fn stops(input: &SheetInput<'_>, document: &mut Document) {
    let [points, _] = what::first_points(&SheetInput { audience: Audience::Client, ..*input });
    if !points.is_empty() {
        document.heading(1, "Look here first");
        document.stop(points);
    }
}

fn parties(input: &SheetInput<'_>, document: &mut Document) {
    let details = &input.job.offer;
    let party = |heading: &str, lines: &[String]| {
        let mut column = Document::default();
        column.heading(2, heading);
        if lines.is_empty() {
            column.text(LINE);
            column.text(LINE);
        }
        for line in lines {
            column.text(line.clone());
        }
        column
    };
    document.columns([party("From", &details.firm), party("For", &details.client)]);
}

fn included(input: &SheetInput<'_>, document: &mut Document) {
    let details = &input.job.offer;
    document.heading(1, "What is included");
    let mut scope = words_of::scope(input.take_off, &input.job.covering.card.title, input.context.words);
    scope.extend(details.also.iter().map(|words| sentence(words)));
    document.list(scope);
    let excluded = words_of::excluded(input.take_off, &details.excluded);
    if !excluded.is_empty() {
        document.heading(1, "What is not included");
        document.list(excluded);
    }
}

/// The price of the whole. What material costs to buy, hours and the margin are the firm's business.
fn price(input: &SheetInput<'_>, document: &mut Document) {
    let Some(offer) = &input.take_off.offer else { return };
    let Some(Sums { before_tax, tax, total, .. }) = offer.whole() else { return };
    let currency = offer.currency.as_deref();
    document.heading(1, "Price");
    let mut table = Table::new(&[("", Align::Left), ("sum", Align::Right)]);
    if let Some(rate) = offer.tax_rate {
        table.row(["material and work, before tax".to_owned(), money(*before_tax, currency)]);
        table.row([format!("tax, {}", words_of::tax_rate(rate)), money(*tax, currency)]);
    }
    table.row(["total".to_owned(), money(*total, currency)]);
    table.total = true;
    document.table(table);
}

/// What was laid and from which batch; lines for what nobody has noted yet.
fn as_laid(input: &SheetInput<'_>, document: &mut Document) {
    document.heading(1, "As laid");
    document.text("Keep this: shades differ between batches, and a repair needs the same.");
    let mut table = Table {
        form: true,
        ..Table::new(&[
            ("what                      ", Align::Left),
            ("batch                ", Align::Left),
            ("laid on         ", Align::Left),
            ("where, notes                    ", Align::Left),
        ])
    };
    let lines = &input.take_off.lines;
    let title = input.job.covering.card.title.trim_end_matches('.');
    let covers = |item: &Item| matches!(item, Item::Strips | Item::Units(_) | Item::Sheets(_) | Item::CapSheet(_));
    let shades = |item: &Item| covers(item) || matches!(item, Item::Caps | Item::Underlay);
    // Of several coverings each by its own title.
    let own = |item: &Item| {
        let parts = input.take_off.parts.iter().filter(|part| part.lines.iter().any(|line| line.item == *item));
        parts.map(|part| part.title.trim_end_matches('.')).next().unwrap_or(title).to_owned()
    };
    let named = |item: &Item| if covers(item) { own(item) } else { order::name(item).to_owned() };
    for laid in &input.job.as_laid {
        let line = lines.iter().find(|line| line.item.key() == laid.what);
        table.row([
            line.map_or_else(|| laid.what.clone(), |line| named(&line.item)),
            laid.batch.clone(),
            laid.date.clone().unwrap_or_default(),
            laid.note.clone().unwrap_or_default(),
        ]);
    }
    let is_noted = |item: &Item| input.job.as_laid.iter().any(|laid| laid.what == item.key());
    for line in laid_together(lines).iter().filter(|line| shades(&line.item) && !is_noted(&line.item)) {
        table.row([named(&line.item)]);
    }
    document.table(table);
}

fn signatures(document: &mut Document) {
    let mut table = Table {
        form: true,
        ..Table::new(&[
            ("              ", Align::Left),
            ("place, date                 ", Align::Left),
            ("name                       ", Align::Left),
            ("signature                        ", Align::Left),
        ])
    };
    table.row(["for the firm"]);
    table.row(["for the client"]);
    document.table(table);
}

/// The roof, for the eye: without the names its faces have in the file.
fn picture(input: &SheetInput<'_>, document: &mut Document) {
    let roof = &input.answer.roof;
    let body = building::body(input.answer, 0.0);
    let view = crate::drawing::views::elevation::Isometric::new(roof, &body, input.context).for_the_eye();
    let drawing = inset(&view, input.context, input.room(0.40), Key::Without);
    document.figure(drawing, "The roof this is about");
}
