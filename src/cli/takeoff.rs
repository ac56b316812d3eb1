//! The take-off for a person: in the order of work, on one screen; and as CSV. Details are `takeoff_full`'s.

use super::table::{Align, Table};
use super::takeoff_full;
use crate::base::diagnostic::Note;
use crate::base::estimate::Estimate;
use crate::base::words::Words;
use crate::takeoff::answer::{Line, Stage, TakeOff};
use crate::wording::estimate;

/// Width of running text, characters.
const WIDTH: usize = 98;

/// The take-off as text, `full` with the courses of each face, the offer, every note and the tools. `title` heads it.
#[must_use]
pub fn text(title: &str, answer: &TakeOff, say: Words, full: bool) -> String {
    let area = answer.area_sd.map_or(Estimate::exact(answer.area), |sd| Estimate::measured(answer.area, sd));
    let mut text = format!("{title}: {} to cover\n", estimate::area(&area, say));
    if let Some(old) = &answer.old_roof {
        let stays = if old.stays.is_empty() { String::new() } else { format!("; stays: {}", old.stays.join(", ")) };
        text.push_str(&paragraph(&format!(
            "First off: {} layer{} of {}, {}, {} in the skip; {} of deck to renew{stays}.",
            old.layers,
            if old.layers == 1 { "" } else { "s" },
            old.kind,
            say.weight(old.weight),
            say.volume(old.skip_volume),
            say.area(old.deck_to_renew)
        )));
    }
    text.push('\n');
    text.push_str(&lines(answer, say));
    text.push('\n');
    text.push_str(&sums(answer, say));
    if full {
        text.push_str(&takeoff_full::text(answer, say));
    } else {
        text.push_str(&mind(answer));
    }
    text
}

/// Notes that hold on every roof with this covering.
pub(super) const HANDLING: [&str; 4] = ["bend-warm", "film", "one-batch", "adhesive-thin"];

/// Notes that change what is ordered or done; the rest wait for `--full`.
const PRESSING: [&str; 14] = [
    "asbestos-test-first",
    "two-layers-come-off",
    "pitch-below-minimum",
    "run-too-long",
    "steep-fixing",
    "deck-too-thin",
    "deck-bearers-too-far",
    "gauge-too-large",
    "gauge-closed-up",
    "valley-no-room",
    "valley-not-woven",
    "valley-open",
    "narrow-ends",
    "price-not-used",
];

/// What cannot wait, and where the rest is.
fn mind(answer: &TakeOff) -> String {
    let pressing: Vec<&Note> = answer.notes.iter().filter(|note| PRESSING.contains(&note.code)).collect();
    let mut text = String::from("\n");
    for note in &pressing {
        text.push_str(&noted(note));
    }
    text.push_str(&paragraph(
        "Height, ladders, brittle sheets, old asbestos, structure: local law and a licensed practitioner come first.",
    ));
    let waiting = answer.notes.len() - pressing.len();
    text.push_str(&paragraph(&format!(
        "--full adds {waiting} more notes with their sources, the courses of each face{} and the tools.",
        if answer.offer.is_some() { ", the offer" } else { "" }
    )));
    text
}

/// A note as a list item, with the faces it is about.
pub(super) fn noted(note: &Note) -> String {
    let faces = if note.faces.is_empty() { String::new() } else { format!(" ({})", note.faces.join(", ")) };
    wrapped(&format!("{}{faces}", note.message))
}

/// One table, its rows grouped by the part of the work.
fn lines(answer: &TakeOff, say: Words) -> String {
    let priced = answer.lines.iter().any(|line| line.cost.is_some());
    let weight = if say.imperial { "lb" } else { "kg" };
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
        let of_stage: Vec<&Line> = answer.lines.iter().filter(|line| line.stage == stage).collect();
        if of_stage.is_empty() {
            continue;
        }
        table.row([stage.heading()]);
        for line in of_stage {
            let mut row = vec![
                format!("  {}", short(&line.what)),
                line.quantity.map_or_else(String::new, |quantity| amount(quantity, line.unit, say)),
                ordered(line),
                line.pack.clone().unwrap_or_default(),
                line.left_over.map_or_else(String::new, |left| amount(left, line.unit, say)),
                line.weight.map_or_else(String::new, |kilograms| number_of(&say.weight(kilograms))),
            ];
            if priced {
                row.push(line.cost.map_or_else(String::new, |cost| format!("{cost:.2}")));
            }
            table.row(row);
        }
    }
    table.render()
}

/// What a thing is, without how it is laid.
fn short(what: &str) -> &str {
    what.split([',', ':']).next().unwrap_or(what)
}

/// A weight without its unit, which heads the column.
fn number_of(weight: &str) -> String {
    weight.split(' ').next().unwrap_or(weight).to_owned()
}

/// How many to order, with the upper bound where the measurements leave it open.
fn ordered(line: &Line) -> String {
    match (line.packs, line.packs_range) {
        (Some(packs), Some([_, high])) if high > packs => format!("{packs} to {high}"),
        (Some(packs), _) => packs.to_string(),
        (None, _) => String::new(),
    }
}

fn amount(quantity: f64, unit: &str, say: Words) -> String {
    match unit {
        "piece" => format!("{quantity:.0}"),
        "tube" => format!("{quantity:.1}").trim_end_matches(".0").to_owned(),
        "m" => say.length(quantity),
        "m²" => say.area(quantity),
        _ => format!("{quantity:.2} {unit}"),
    }
}

fn sums(answer: &TakeOff, say: Words) -> String {
    let currency = answer.offer.as_ref().and_then(|offer| offer.currency.as_deref()).unwrap_or("");
    let cost =
        answer.cost().map_or_else(String::new, |cost| format!("; material {cost:.2} {currency}").trim_end().to_owned());
    let mut text = paragraph(&format!(
        "{} for the van, {} of it on the deck{cost}.",
        say.weight(answer.weight()),
        say.weight(answer.weight_on_deck())
    ));
    if let Some(offer) = &answer.offer {
        text.push_str(&paragraph(&format!("Offer: {:.2} {currency} in all.", offer.total)));
    }
    if answer.lines.iter().any(|line| line.packs_range.is_some_and(|[_, high]| Some(high) > line.packs)) {
        text.push_str(&paragraph("Order the upper number where two are given: the measurements leave that much open."));
    }
    for line in &answer.lines {
        let thumb = line.rule_of_thumb.filter(|_| line.stage == Stage::Covering && line.detail.is_some()).map(|thumb| {
            format!(
                "; by the rule of thumb {thumb:.1} would be ordered, one allowance on the area for waste, starter and caps \
                 together; the count lays each course and knows this roof's ends"
            )
        });
        if let Some(detail) = &line.detail {
            let what = capital(short(&line.what));
            text.push_str(&paragraph(&format!("{what}: {detail}{}.", thumb.unwrap_or_default())));
        }
    }
    text
}

fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A paragraph, indented.
pub(super) fn paragraph(words: &str) -> String {
    set(words, "  ", "  ")
}

/// A paragraph as a list item.
pub(super) fn wrapped(words: &str) -> String {
    set(words, "  - ", "    ")
}

fn set(words: &str, first: &str, others: &str) -> String {
    let mut text = String::new();
    let mut line = first.to_owned();
    let mut bare = true;
    for word in words.split_whitespace() {
        if !bare && line.chars().count() + 1 + word.chars().count() > WIDTH {
            text.push_str(&line);
            text.push('\n');
            others.clone_into(&mut line);
            bare = true;
        }
        if !bare {
            line.push(' ');
        }
        line.push_str(word);
        bare = false;
    }
    text.push_str(&line);
    text.push('\n');
    text
}

/// The lines as CSV (RFC 4180), one head row, empty cells where there is no number.
#[must_use]
pub fn csv(answer: &TakeOff) -> String {
    let mut text = String::from(
        "item,what,quantity,unit,packs,pack,packs_low,packs_high,rule_of_thumb,weight_kg,cost,left_over,detail\r\n",
    );
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| format!("{value}"));
    let count = |value: Option<u32>| value.map_or_else(String::new, |value| value.to_string());
    for line in &answer.lines {
        let cells = [
            quoted(&line.item),
            quoted(&line.what),
            number(line.quantity),
            line.unit.to_owned(),
            count(line.packs),
            quoted(line.pack.as_deref().unwrap_or("")),
            count(line.packs_range.map(|range| range[0])),
            count(line.packs_range.map(|range| range[1])),
            number(line.rule_of_thumb),
            number(line.weight),
            number(line.cost),
            number(line.left_over),
            quoted(line.detail.as_deref().unwrap_or("")),
        ];
        text.push_str(&cells.join(","));
        text.push_str("\r\n");
    }
    text
}

/// A cell of words: quoted where it must be, and never one that a spreadsheet would take for a formula.
fn quoted(cell: &str) -> String {
    let formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let cell = &if formula { format!("'{cell}") } else { cell.to_owned() };
    if cell.contains([',', '"', '\n', '\r']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell.clone() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_with_commas_and_quotes_are_quoted() {
        assert_eq!(quoted("a, b"), "\"a, b\"");
        assert_eq!(quoted("3\" pipe"), "\"3\"\" pipe\"");
        assert_eq!(quoted("plain"), "plain");
        assert_eq!(quoted("=HYPERLINK(\"a\")"), "\"'=HYPERLINK(\"\"a\"\")\"");
    }
}
