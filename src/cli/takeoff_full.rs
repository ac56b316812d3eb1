//! The details of a take-off for a person: the courses of each face, the offer, every finding, the tools.

use super::paragraphs::{cautioned, numbered, wrapped};
use super::table::{Align, Table};
use crate::base::finding::Finding as _;
use crate::roof::Roof;
use crate::takeoff::answer::TakeOff;
use crate::wording::units::Format;
use crate::wording::{self, order};

/// What `--full` adds.
pub(super) fn text(answer: &TakeOff, roof: &Roof, format: Format) -> String {
    let mut text = laying(answer, roof, format);
    text.push_str(&felt(answer, roof, format));
    if let Some(offer) = &answer.offer {
        text.push('\n');
        text.push_str(&super::offer::table(offer, format));
    }
    text.push_str("\nWork\n");
    for (number, step) in wording::work::listed(&answer.work, roof, format).into_iter().enumerate() {
        text.push_str(&numbered(number + 1, &format!("{}: {}", step.title, step.message)));
        for caution in step.cautions {
            text.push_str(&cautioned(&caution));
        }
    }
    text.push_str("\nMind\n");
    // What stops the work or casts doubt stands at the top already.
    for finding in answer.findings.iter().filter(|finding| !finding.severity().comes_first()) {
        text.push_str(&wrapped(&wording::takeoff::with_faces(finding, roof, format)));
    }
    if !answer.tools.is_empty() {
        text.push_str(&wrapped(&format!("tools: {}", order::tools(&answer.tools, format))));
    }
    text
}

/// How each face is laid.
fn laying(answer: &TakeOff, roof: &Roof, format: Format) -> String {
    let heads = wording::laying::course_heads(&answer.layouts);
    let mut table = Table::new(&[
        ("face", Align::Left),
        (heads.courses, Align::Right),
        (heads.gauge, Align::Right),
        ("whole", Align::Right),
        ("cut", Align::Right),
        ("from offcuts", Align::Right),
        ("waste", Align::Right),
        (heads.saved, Align::Right),
    ]);
    for (count, layout) in answer.faces.iter().zip(&answer.layouts) {
        table.row([
            roof.faces[count.face.index()].name(),
            count.courses.to_string(),
            format.fine(count.gauge),
            count.pieces_whole.to_string(),
            count.pieces_cut.to_string(),
            count.pieces_from_offcuts.to_string(),
            format!("{:.1} %", count.waste * 100.0),
            (layout.choice.worst - layout.choice.pieces.min(layout.choice.worst)).to_string(),
        ]);
    }
    if table.is_empty() { String::new() } else { format!("\n{}", table.render()) }
}

/// Strips of felt, each with its pieces and the rolls they come from.
fn felt(answer: &TakeOff, roof: &Roof, format: Format) -> String {
    let mut text = String::new();
    for (layer, laid) in answer.felt.layers() {
        const ALIGNED: [Align; 5] = [Align::Left, Align::Right, Align::Right, Align::Right, Align::Left];
        let mut heads = wording::laying::STRIPS_HEADS;
        heads[0] = wording::laying::layer(layer);
        let heads: Vec<(&str, Align)> = heads.into_iter().zip(ALIGNED).collect();
        let mut table = Table::new(&heads);
        for row in wording::laying::strips(laid, roof, format) {
            table.row(row);
        }
        text.push_str(&format!("\n{}", table.render()));
    }
    text
}
