//! The take-off for a person: in the order of work, on one screen; and as CSV. Details are `takeoff_full`'s.

use super::paragraphs::{capital, paragraph, wrapped};
use super::table::{Align, Table};
use super::takeoff_full;
use crate::base::finding::{Finding as _, Severity};
use crate::job::{Answer, Job};
use crate::roof::Roof;
use crate::takeoff::answer::{Stage, TakeOff};
use crate::takeoff::item::{Detail, Unit};
use crate::takeoff::order_line::OrderLine;
use crate::takeoff::small::SmallGoods;
use crate::wording::units;
use crate::wording::units::Format;
use crate::wording::{self, About, estimate, offer, order, short_list};
use crate::write::spreadsheet::{SpreadsheetError, csv_records, harmless};
use std::borrow::Cow;

/// The take-off of a solved job as text, `full` with the courses of each face, the offer, every finding and the tools.
#[must_use]
pub fn text(job: &Job, solved: &Answer, answer: &TakeOff, full: bool) -> String {
    let about = About::of(job, &solved.roof);
    let (roof, format) = (about.roof, about.units);
    let mut text = format!(
        "{}: {} to cover{}\n",
        job.title,
        estimate::area(&answer.area, format),
        order::squares(&answer.area, format)
    );
    // What stops the work or casts doubt, on the roof or on the order, stands before anything that could be ordered by
    // mistake.
    for (severity, told) in wording::finding::first_of_all(&about, &solved.findings, &answer.findings) {
        text.push_str(&wrapped(&format!("{}: {told}", severity.word())));
    }
    if answer.lines.is_empty() {
        return text;
    }
    if answer.area.within_95().is_some() {
        text.push_str(&paragraph(&format!("{}.", estimate::EXPLAINED)));
    }
    if let Some(old) = order::old_roof(answer, format) {
        text.push_str(&paragraph(&format!("{}.", capital(&old))));
    }
    text.push('\n');
    text.push_str(&by_part(answer, format));
    text.push_str(&of_order(answer, full, format));
    text.push('\n');
    text.push_str(&sums(answer, full, format));
    if full {
        text.push_str(&takeoff_full::text(answer, roof, format));
    } else {
        text.push_str(&mind(answer, roof, format));
    }
    text
}

/// What is to be minded at work, and where the rest is.
fn mind(answer: &TakeOff, roof: &Roof, format: Format) -> String {
    let mut text = String::from("\n");
    for finding in answer.findings.iter().filter(|finding| finding.severity() == Severity::Mind) {
        text.push_str(&wrapped(&wording::takeoff::with_faces(finding, roof, format)));
    }
    text.push_str(&paragraph(
        "Height, ladders, brittle sheets, asbestos, structure: local law and licensed practice first.",
    ));
    let with_offer = if answer.offer.is_some() { ", the offer" } else { "" };
    text.push_str(&paragraph(&format!(
        "--full adds each small part, the work step by step, how each face is laid{with_offer}, the tools."
    )));
    text
}

/// Each building's order by itself, under what it is and what it is covered with; nothing where all has one covering.
fn by_part(answer: &TakeOff, format: Format) -> String {
    let mut text = String::new();
    for part in &answer.parts {
        text.push_str(&paragraph(&format!("{}.", order::part(part, format))));
        text.push_str(&lines(&part.lines, format));
        for told in part.lines.iter().filter_map(|line| Some((line, order::detail(line, format)?))) {
            text.push_str(&paragraph(&format!("{}: {}.", capital(order::name(&told.0.item)), told.1)));
        }
        text.push('\n');
    }
    if !answer.parts.is_empty() {
        text.push_str(&paragraph(&format!("{}.", order::IN_ALL)));
    }
    text
}

/// The order's table; small goods have rows in the full one alone.
fn of_order(answer: &TakeOff, full: bool, format: Format) -> String {
    let told: Vec<&OrderLine> = if full { answer.lines.iter().collect() } else { answer.main_lines().collect() };
    table_of(&answer.lines, &told, format)
}

/// All lines of an order as one table.
pub(super) fn lines(all: &[OrderLine], format: Format) -> String {
    table_of(all, &all.iter().collect::<Vec<_>>(), format)
}

/// One table of some lines of an order, its rows grouped by the part of the work.
fn table_of(all: &[OrderLine], told: &[&OrderLine], format: Format) -> String {
    let priced = all.iter().any(|line| line.cost.value().is_some());
    let weight = if format.imperial { "lb" } else { "kg" };
    let mut heads = vec![
        ("", Align::Left),
        ("laid", Align::Right),
        ("order", Align::Right),
        ("", Align::Left),
        ("left over", Align::Right),
        (weight, Align::Right),
    ];
    if priced {
        heads.push(("cost", Align::Right));
    }
    let mut table = Table::new(&heads);
    for stage in Stage::ALL {
        let of_stage: Vec<&OrderLine> = told.iter().copied().filter(|line| line.stage() == stage).collect();
        if of_stage.is_empty() {
            continue;
        }
        table.row([order::heading(stage)]);
        for line in of_stage {
            let mut row = vec![
                format!("  {}", order::name_among(&line.item, all)),
                order::laid(line, format),
                order::ordered(line),
                order::pack(line, format),
                line.left_over.map_or_else(String::new, |left| left_over(left, line.unit, format)),
                line.weight.value().map_or_else(String::new, |kilograms| number_of(&format.weight(kilograms))),
            ];
            if priced {
                row.push(line.cost.value().map_or_else(String::new, |cost| units::money(cost, None)));
            }
            table.row(row);
        }
    }
    table.render()
}

/// A weight without its unit, which heads the column.
fn number_of(weight: &str) -> String {
    weight.split(' ').next().unwrap_or(weight).to_owned()
}

/// What is left over, in the unit of what is laid: pieces and tubes by their number alone.
fn left_over(left: f64, unit: Unit, format: Format) -> String {
    let told = order::amount(left, unit, format);
    if matches!(unit, Unit::Piece | Unit::Tube) { number_of(&told) } else { told }
}

fn sums(answer: &TakeOff, full: bool, format: Format) -> String {
    let mut text = String::new();
    for group in answer.small_goods().iter().filter(|_| !full) {
        text.push_str(&paragraph(&format!("{}.", capital(&short_list::group_in_all(group, answer, format)))));
    }
    // What has no price stands before any sum.
    if let Some(open) = answer.offer.as_ref().and_then(offer::not_whole) {
        text.push_str(&paragraph(&format!("{}.", capital(&open))));
    }
    let material = offer::material(answer).map_or_else(String::new, |told| format!("; {told}"));
    text.push_str(&paragraph(&format!("{}{material}.", order::weights(answer, format))));
    if let Some((offer, sums)) = answer.offer.as_ref().and_then(|offer| Some((offer, offer.whole()?))) {
        let total = units::money(sums.total, offer.currency.as_deref());
        text.push_str(&paragraph(&format!("Offer: {total} in all.")));
    }
    if answer.lines.iter().any(|line| line.packs_high().is_some()) {
        text.push_str(&paragraph(order::UPPER_FIGURE));
    }
    for told in order::not_ordered(answer, format) {
        text.push_str(&paragraph(&format!("{}.", capital(&told))));
    }
    let has_sentence = |line: &&OrderLine| {
        full || SmallGoods::of(&line.item).is_none() && !matches!(line.detail, Some(Detail::Outlets { .. }))
    };
    for line in answer.lines.iter().filter(has_sentence) {
        let told = [short_list::detail(line, answer, format), order::over_area(line)];
        let told: Vec<String> = told.into_iter().flatten().collect();
        if !told.is_empty() {
            let name = order::name_among(&line.item, &answer.lines);
            text.push_str(&paragraph(&format!("{}: {}.", capital(&name), told.join("; "))));
        }
    }
    if let Some(thumbs) = short_list::thumbs(answer, format) {
        text.push_str(&paragraph(&format!("{}.", capital(&thumbs))));
    }
    text
}

/// The lines as CSV (RFC 4180), one head row, empty cells where there is no number: for a program. `takeoff --out X.csv`
/// writes the sheet for a person, with prices and sums.
///
/// # Errors
/// What the writer says.
pub fn csv(answer: &TakeOff, format: Format) -> Result<String, SpreadsheetError> {
    let heads = [
        "item",
        "what",
        "quantity",
        "unit",
        "packs",
        "pack",
        "packs_low",
        "packs_high",
        "rule_of_thumb",
        "weight_kg",
        "cost",
        "left_over",
        "detail",
    ];
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| format!("{value}"));
    let count = |value: Option<u32>| value.map_or_else(String::new, |value| value.to_string());
    let record = |line: &OrderLine| {
        let cells = [
            harmless(line.item.key()),
            harmless(&order::what(&line.item, order::kind_of(answer))),
            number(line.quantity.value()),
            line.unit.word().to_owned(),
            count(line.packs),
            harmless(&order::pack(line, format)),
            count(line.packs_range.map(|range| range[0])),
            count(line.packs_range.map(|range| range[1])),
            number(line.rule_of_thumb),
            number(line.weight.value()),
            number(line.cost.value()),
            number(line.left_over),
            harmless(&order::detail(line, format).unwrap_or_default()),
        ];
        cells.map(Cow::from).to_vec()
    };
    let heads = std::iter::once(heads.map(Cow::from).to_vec());
    Ok(csv_records(heads.chain(answer.lines.iter().map(record)))?)
}
