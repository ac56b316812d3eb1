//! A job in a few lines, for a card or for what is copied from it: how big, whether it may be ordered, what to order, what
//! it costs.

use super::finding::first_of_all;
use super::order::{self, heading};
use super::{About, estimate, offer};
use crate::base::finding::Severity;
use crate::job::answer::Answer;
use crate::takeoff::answer::TakeOff;
use crate::takeoff::order_line::OrderLine;
use crate::wording::units::{Format, money};

/// How many lines of the order a card has room for.
pub const LINES: usize = 6;

/// Whether the order may be placed: the weight of what stands against it, `None` where nothing does, and the sentence, its
/// full stop left out.
#[must_use]
pub(crate) fn verdict(about: &About<'_>, solved: &Answer, answer: &TakeOff) -> (Option<Severity>, String) {
    let first = first_of_all(about, &solved.findings, &answer.findings);
    let stops = first.iter().filter(|(severity, _)| *severity == Severity::Stop).count();
    let doubts = first.len() - stops;
    match (stops, doubts) {
        (0, 0) if answer.lines.is_empty() => (Some(Severity::Doubt), "nothing could be taken off".to_owned()),
        (0, 0) => (None, "nothing found that stands against ordering".to_owned()),
        (0, 1) => (Some(Severity::Doubt), "a doubt to settle before ordering".to_owned()),
        (0, _) => (Some(Severity::Doubt), "doubts to settle before ordering".to_owned()),
        _ => (Some(Severity::Stop), "not to be ordered before what stops it is settled".to_owned()),
    }
}

/// What a line is bought as: `138 × board of 4.2 m`; what is laid where it comes in no pack.
#[must_use]
pub fn bought(line: &OrderLine, format: Format) -> String {
    let (ordered, pack) = (order::ordered(line), order::pack(line, format));
    match (ordered.is_empty(), pack.is_empty()) {
        (true, true) => order::laid(line, format),
        (true, false) => pack,
        (false, true) => ordered,
        (false, false) => format!("{ordered} × {pack}"),
    }
}

/// What it costs, in a line: the whole offer, or the material and what stands open; `None` where nothing has a price.
#[must_use]
pub fn price(answer: &TakeOff) -> Option<String> {
    let currency = answer.offer.as_ref().and_then(|offer| offer.currency.as_deref());
    match answer.offer.as_ref().and_then(|offer| offer.whole()) {
        Some(sums) => Some(format!("offer {} in all", money(sums.total, currency))),
        None => offer::material(answer),
    }
}

/// A row of the order as it is copied: part of the work, what, laid, how many, of what, what it costs.
pub type Row = [String; 6];

/// Heads of [`rows`].
pub const HEADS: [&str; 6] = ["part", "what", "laid", "order", "pack", "cost"];

/// The order as a table, line by line; empty cells where there is nothing.
#[must_use]
pub fn rows(answer: &TakeOff, format: Format) -> Vec<Row> {
    let row = |line: &OrderLine| {
        [
            heading(line.stage()).to_owned(),
            order::name_among(&line.item, &answer.lines),
            order::laid(line, format),
            order::ordered(line),
            order::pack(line, format),
            line.cost.value().map_or_else(String::new, |cost| money(cost, None)),
        ]
    };
    answer.lines.iter().map(row).collect()
}

/// The order as a table for a spreadsheet: cells parted by tabs, rows by line ends, a row of heads first. What could be
/// taken for a formula stays text: no cell begins with a sign that makes one.
#[must_use]
pub fn table(answer: &TakeOff, format: Format) -> String {
    let heads = HEADS.map(str::to_owned);
    let lines = std::iter::once(heads).chain(rows(answer, format));
    let clean = |cell: &String| {
        let cell = cell.replace(['\t', '\n', '\r'], " ");
        if cell.starts_with(['=', '+', '-', '@']) { format!("'{cell}") } else { cell }
    };
    lines.map(|row| row.iter().map(clean).collect::<Vec<_>>().join("\t") + "\n").collect()
}

/// The job in a few lines of text: how big, the verdict, the whole order by parts of the work, what it costs.
#[must_use]
pub fn text(about: &About<'_>, title: &str, solved: &Answer, answer: &TakeOff) -> String {
    let format = about.units;
    let area = estimate::or_why(&solved.totals().area, |area| estimate::area(area, format));
    let (_, verdict) = verdict(about, solved, answer);
    let mut text = format!("{title}\nroof area {area}\n{verdict}\n");
    for stage in answer.by_stage() {
        text.push_str(&format!("\n{}\n", heading(stage.stage)));
        for line in stage.lines {
            let name = order::name_among(&line.item, &answer.lines);
            text.push_str(&format!("- {name}: {}, {} laid\n", bought(line, format), order::laid(line, format)));
        }
    }
    if let Some(price) = price(answer) {
        text.push_str(&format!("\n{price}\n"));
    }
    if let Some(open) = answer.offer.as_ref().and_then(offer::not_whole) {
        text.push_str(&format!("{open}\n"));
    }
    text
}
