//! The details of a take-off for a person: the courses of each face, the offer, every note, the tools.

use super::table::{Align, Table};
use super::takeoff::{HANDLING, noted, wrapped};
use crate::base::diagnostic::Note;
use crate::base::words::Words;
use crate::takeoff::answer::TakeOff;
use crate::takeoff::offer::Offer;

/// What `--full` adds.
pub(super) fn text(answer: &TakeOff, say: Words) -> String {
    let mut text = laying(answer, say);
    if let Some(offer) = &answer.offer {
        text.push('\n');
        text.push_str(&offer_text(offer));
    }
    text.push_str("\nMind\n");
    // This roof's own first; what holds on every roof in one paragraph each.
    let (general, own): (Vec<&Note>, Vec<&Note>) =
        answer.notes.iter().partition(|note| note.code.starts_with("safety-") || HANDLING.contains(&note.code));
    for note in own {
        text.push_str(&noted(note));
    }
    let (handling, safety): (Vec<&Note>, Vec<&Note>) =
        general.into_iter().partition(|note| HANDLING.contains(&note.code));
    for notes in [handling, safety].iter().filter(|notes| !notes.is_empty()) {
        let messages: Vec<&str> = notes.iter().map(|note| note.message.as_str()).collect();
        text.push_str(&wrapped(&messages.join("; ")));
    }
    if !answer.tools.is_empty() {
        text.push_str(&wrapped(&say.retold(&format!("tools: {}", answer.tools.join(", ")))));
    }
    text
}

/// How each face is laid.
fn laying(answer: &TakeOff, say: Words) -> String {
    let mut table = Table::new(&[
        ("face", Align::Left),
        ("courses", Align::Right),
        ("gauge", Align::Right),
        ("whole", Align::Right),
        ("cut", Align::Right),
        ("from offcuts", Align::Right),
        ("waste", Align::Right),
        ("saved by bond", Align::Right),
    ]);
    for (count, layout) in answer.faces.iter().zip(&answer.layouts) {
        table.row([
            count.face.clone(),
            count.courses.to_string(),
            say.fine(count.gauge),
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
