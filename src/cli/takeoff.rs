//! The take-off for a person: in the order of work, on one screen; and as CSV.

use super::table::{Align, Table};
use crate::base::diagnostic::Note;
use crate::takeoff::answer::{Line, Stage, TakeOff};
use crate::takeoff::offer::Offer;

/// The take-off as text. `title` heads it.
#[must_use]
pub fn text(title: &str, answer: &TakeOff) -> String {
    let sd = answer.area_sd.map_or_else(String::new, |sd| format!(" ± {sd:.2}"));
    let mut text = format!("{title}: {:.2} m²{sd} to cover\n", answer.area);
    if let Some(old) = &answer.old_roof {
        let stays = if old.stays.is_empty() { String::new() } else { format!("; stays: {}", old.stays.join(", ")) };
        let first = format!(
            "First off: {} layer{} of {}, {:.0} kg, {:.1} m³ in the skip; {:.1} m² of deck to renew{stays}\n",
            old.layers,
            if old.layers == 1 { "" } else { "s" },
            old.kind,
            old.weight,
            old.skip_volume,
            old.deck_to_renew
        );
        text.push_str(&first);
    }
    text.push('\n');
    text.push_str(&lines(answer));
    text.push('\n');
    text.push_str(&sums(answer));
    text.push_str(&laying(answer));
    if let Some(offer) = &answer.offer {
        text.push('\n');
        text.push_str(&offer_text(offer));
    }
    text.push_str("\nMind\n");
    // This roof's own first; what holds on every roof in one paragraph each.
    let (general, own): (Vec<&Note>, Vec<&Note>) =
        answer.notes.iter().partition(|note| note.code.starts_with("safety-") || HANDLING.contains(&note.code));
    for note in own {
        let faces = if note.faces.is_empty() { String::new() } else { format!(" ({})", note.faces.join(", ")) };
        text.push_str(&wrapped(&format!("{}{faces}", note.message)));
    }
    let (handling, safety): (Vec<&Note>, Vec<&Note>) =
        general.into_iter().partition(|note| HANDLING.contains(&note.code));
    for notes in [handling, safety].iter().filter(|notes| !notes.is_empty()) {
        let messages: Vec<&str> = notes.iter().map(|note| note.message.as_str()).collect();
        text.push_str(&wrapped(&messages.join("; ")));
    }
    if !answer.tools.is_empty() {
        text.push_str(&wrapped(&format!("tools: {}", answer.tools.join(", "))));
    }
    text
}

/// Notes on handling the material, the same on every roof.
const HANDLING: [&str; 4] = ["bend-warm", "film", "one-batch", "adhesive-thin"];

/// One table, its rows grouped by the part of the work.
fn lines(answer: &TakeOff) -> String {
    let priced = answer.lines.iter().any(|line| line.cost.is_some());
    let ranged = answer.lines.iter().any(|line| line.packs_range.is_some());
    let mut heads = vec![("", Align::Left), ("laid", Align::Right), ("order", Align::Right), ("", Align::Left)];
    if ranged {
        heads.push(("95 %", Align::Right));
    }
    heads.extend([("rule of thumb", Align::Right), ("kg", Align::Right)]);
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
                format!("  {}", line.what),
                line.quantity.map_or_else(String::new, |quantity| amount(quantity, line.unit)),
                line.packs.map_or_else(String::new, |packs| packs.to_string()),
                line.pack.clone().unwrap_or_default(),
            ];
            if ranged {
                row.push(range(line));
            }
            row.push(line.rule_of_thumb.map_or_else(String::new, |packs| format!("{packs:.1}")));
            row.push(line.weight.map_or_else(String::new, |weight| format!("{weight:.0}")));
            if priced {
                row.push(line.cost.map_or_else(String::new, |cost| format!("{cost:.2}")));
            }
            table.row(row);
        }
    }
    table.render()
}

/// The 95 % range, where it leaves anything open.
fn range(line: &Line) -> String {
    match line.packs_range {
        Some([low, high]) if low < high => format!("{low}-{high}"),
        _ => String::new(),
    }
}

fn amount(quantity: f64, unit: &str) -> String {
    match unit {
        "piece" | "tube" => format!("{quantity:.0} {unit}{}", if quantity == 1.0 { "" } else { "s" }),
        _ => format!("{quantity:.2} {unit}"),
    }
}

fn sums(answer: &TakeOff) -> String {
    let cost = match (answer.cost(), answer.offer.as_ref().and_then(|offer| offer.currency.as_deref())) {
        (Some(cost), Some(currency)) => format!("; material {cost:.2} {currency}"),
        (Some(cost), None) => format!("; material {cost:.2}"),
        (None, _) => String::new(),
    };
    let mut text =
        format!("  {:.0} kg for the van, {:.0} kg of it on the deck{cost}\n", answer.weight(), answer.weight_on_deck());
    let high = answer.lines.iter().filter(|line| line.packs_range.is_some_and(|[_, high]| Some(high) > line.packs));
    let high: Vec<&str> = high.map(|line| line.item.as_str()).collect();
    if !high.is_empty() {
        text.push_str(&wrapped(&format!(
            "Order the upper number of the 95 % range where one is given ({}): the measurements leave that much open.",
            high.join(", ")
        )));
    }
    let covering = answer.lines.iter().find(|line| line.stage == Stage::Covering && line.left_over.is_some());
    if let Some((line, detail)) = covering.and_then(|line| Some((line, line.detail.as_ref()?))) {
        text.push_str(&wrapped(&format!(
            "{}: {detail}; {:.0} left over. The rule of thumb takes one allowance on the area for waste, starter and caps \
             together; the count lays each course, so it knows this roof's ends, hips and ridges.",
            line.item,
            line.left_over.unwrap_or(0.0)
        )));
    }
    for line in answer.lines.iter().filter(|line| line.stage != Stage::Covering) {
        if let Some(detail) = &line.detail {
            text.push_str(&wrapped(&format!("{}: {detail}", line.item)));
        }
    }
    text
}

/// How each face is laid.
fn laying(answer: &TakeOff) -> String {
    let mut table = Table::new(&[
        ("face", Align::Left),
        ("courses", Align::Right),
        ("gauge mm", Align::Right),
        ("whole", Align::Right),
        ("cut", Align::Right),
        ("from offcuts", Align::Right),
        ("waste", Align::Right),
        ("pieces saved by bond", Align::Right),
    ]);
    for (count, layout) in answer.faces.iter().zip(&answer.layouts) {
        table.row([
            count.face.clone(),
            count.courses.to_string(),
            format!("{:.0}", count.gauge * 1000.0),
            count.pieces_whole.to_string(),
            count.pieces_cut.to_string(),
            count.pieces_from_offcuts.to_string(),
            format!("{:.1} %", count.waste * 100.0),
            (layout.choice.worst - layout.choice.pieces.min(layout.choice.worst)).to_string(),
        ]);
    }
    if table.is_empty() { String::new() } else { format!("\n{}", table.render()) }
}

fn offer_text(offer: &Offer) -> String {
    let mut table = Table::new(&[
        ("offer", Align::Left),
        ("", Align::Right),
        ("", Align::Left),
        ("each", Align::Right),
        (offer.currency.as_deref().unwrap_or("sum"), Align::Right),
    ]);
    for line in offer.material.iter().chain(&offer.work) {
        let quantity =
            if line.unit == "pack" { format!("{:.0}", line.quantity) } else { format!("{:.2}", line.quantity) };
        table.row([
            line.what.clone(),
            quantity,
            line.unit.into(),
            format!("{:.2}", line.price),
            format!("{:.2}", line.sum),
        ]);
    }
    let sums = [("net", offer.net), ("margin", offer.margin), ("tax", offer.tax), ("total", offer.total)];
    for (what, sum) in sums.into_iter().filter(|(what, sum)| *sum != 0.0 || *what == "total") {
        table.row([what, "", "", "", &format!("{sum:.2}")]);
    }
    let mut text = table.render();
    if !offer.unpriced.is_empty() {
        text.push_str(&wrapped(&format!("no price given for: {}", offer.unpriced.join(", "))));
    }
    text
}

/// A paragraph as a list item, 118 columns wide.
pub(super) fn wrapped(paragraph: &str) -> String {
    let mut text = String::new();
    let mut line = String::from("  -");
    for word in paragraph.split_whitespace() {
        if line.chars().count() + 1 + word.chars().count() > 118 {
            text.push_str(&line);
            text.push('\n');
            line = String::from("   ");
        }
        line.push(' ');
        line.push_str(word);
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

fn quoted(cell: &str) -> String {
    if cell.contains([',', '"', '\n', '\r']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_with_commas_and_quotes_are_quoted() {
        assert_eq!(quoted("a, b"), "\"a, b\"");
        assert_eq!(quoted("3\" pipe"), "\"3\"\" pipe\"");
        assert_eq!(quoted("plain"), "plain");
    }
}
