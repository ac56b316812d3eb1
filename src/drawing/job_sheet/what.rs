//! What the roof is, how it was measured and how sure that is.

use super::{Audience, SheetInput};
use crate::base::estimate::Estimate;
use crate::base::finding::Severity;
use crate::drawing::typeset::document::{Align, Block, Document, Table};
use crate::drawing::typeset::format;
use crate::job::Finding;
use crate::survey::model::ObservationKind;
use crate::wording::roof::edge_word;
use crate::wording::{self, estimate};
use std::collections::BTreeMap;

/// The opening lines: what a client or a helper needs to know at a glance.
pub(super) fn what_it_is(input: &SheetInput<'_>, document: &mut Document) {
    let (totals, format) = (input.answer.totals(), input.context.words);
    let area = |of: &Estimate| estimate::or_why(of, |of| estimate::area(of, format));
    let mut lines = vec![format!(
        "{}, {} on the slope{}, {} in plan.",
        count(totals.faces, "face", "faces"),
        area(&totals.area),
        wording::order::squares(&totals.area, format),
        area(&totals.plan_area)
    )];
    if totals.openings > 0 {
        lines.push(format!(
            "{} {} of that away: {} to cover.",
            count(totals.openings, "opening takes", "openings take"),
            area(&totals.openings_area),
            area(&totals.net_area)
        ));
    }
    if !estimate::is_absent(&totals.ridge_height) {
        let height = estimate::or_why(&totals.ridge_height, |height| estimate::length(height, format));
        lines.push(format!("Highest point {height} above datum."));
    }
    let own: Vec<String> = input.take_off.parts.iter().map(|part| wording::order::part(part, format)).collect();
    if own.is_empty() {
        lines.push(format!("Covering: {}.", input.job.covering.card.title.trim_end_matches('.')));
    }
    lines.extend(own.iter().map(|part| sentence(part)));
    document.text(lines.join(" "));
    let mut table = Table::new(&[("edge", Align::Left), ("how many", Align::Right), ("length in all", Align::Right)]);
    for of in &totals.by_kind {
        table.row([edge_word(of.kind).to_owned(), of.count.to_string(), estimate::length(&of.length, format)]);
    }
    let mut edges = Document::default();
    edges.table(table);
    if totals.walls_area.value() != Some(0.0) {
        edges.text(format!("Gables, cheeks and other plumb parts above the outline: {}.", area(&totals.walls_area)));
    }
    document.columns([face_table(input), edges]);
    document.text(format!("{}.", estimate::explained(&input.answer.survey)));
}

/// The faces with their areas, pitches and the way they look.
fn face_table(input: &SheetInput<'_>) -> Document {
    let (answer, format) = (input.answer, input.context.words);
    let mut document = Document::default();
    let mut heads =
        vec![("face", Align::Left), ("area", Align::Right), ("pitch", Align::Right), ("looks to the", Align::Left)];
    if answer.totals().openings > 0 {
        heads.push(("openings", Align::Right));
    }
    let mut table = Table::new(&heads);
    for (id, face) in answer.roof.roof_faces() {
        let of = answer.of_face(id);
        let looks =
            face.plane.downslope().map_or("", |down| format::compass(input.context.north + down.x.atan2(down.y)));
        table.row([
            face.name(),
            estimate::area(&of.area, format),
            estimate::angle(&of.pitch),
            looks.to_owned(),
            estimate::unless_nothing(&of.openings_area, |area| estimate::area(area, format)),
        ]);
    }
    table.row(["all".to_owned(), estimate::area(&answer.totals().area, format)]);
    table.total = true;
    document.table(table);
    document
}

/// What was measured, what was computed from it, what to check on site.
pub(super) fn how_sure(input: &SheetInput<'_>, document: &mut Document) {
    let (survey, words) = (&input.answer.survey, input.context.words);
    document.heading(1, "How it was measured, and how sure it is");
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    for block in &input.job.blocks {
        for ring in &block.rings {
            *counts.entry("sides of the outline").or_default() += ring.sides.len();
        }
    }
    for observation in &input.job.survey.observations {
        let kind = match observation.kind {
            ObservationKind::Tape { .. } => "taped distances",
            ObservationKind::PitchReading { .. } => "pitch readings",
            ObservationKind::Level { .. } => "levels",
            ObservationKind::Plumb { .. } => "plumb lines",
            _ => "other checks",
        };
        *counts.entry(kind).or_default() += 1;
    }
    let marks: usize = input.job.survey.photos.iter().map(|photo| photo.marks.len()).sum();
    if marks > 0 {
        counts.insert("marks in photos", marks);
    }
    let measured: Vec<String> = counts.iter().map(|(what, number)| format!("{number} {what}")).collect();
    document.text(format!("Measured: {}.", measured.join(", ")));
    document
        .text("Computed from it: every area, every ridge, hip, valley and rafter length, every angle of this sheet.");
    for (block, gap) in &survey.misclosures {
        document.text(sentence(&wording::survey::misclosure(block, *gap, words)));
    }
    if let Some(agreement) = wording::survey::agreement(survey) {
        document.text(sentence(&agreement));
    }
    let names = wording::survey::Names::of(input.job);
    let mut checks = Vec::new();
    for next in survey.best_next.iter().take(3) {
        checks.push(sentence(&wording::survey::best_next(&names, survey, next, words)));
    }
    if !input.job.survey.observations.iter().any(|o| matches!(o.kind, ObservationKind::Tape { .. }))
        && !input.job.blocks.is_empty()
    {
        checks.push("Tape both diagonals of the outline: nothing yet proves its corners.".to_owned());
    }
    checks.push("What the tape reached: wall, fascia, deck edge, drip edge or gutter front.".to_owned());
    checks.push(
        "Pitch of every face with a level and a rule; deck sound, dry, flat and of the thickness stated.".to_owned(),
    );
    checks.push("Overhangs at eaves and verges; whether the ridge is straight and level.".to_owned());
    document.heading(2, "Check on site");
    document.blocks.push(Block::Checks(checks));
    notes(input, document);
}

fn notes(input: &SheetInput<'_>, document: &mut Document) {
    // What is said of cutting stands where it is cut.
    let told: Vec<Finding> =
        input.answer.findings.iter().filter(|one| !matches!(one, Finding::Framing(_))).cloned().collect();
    let notes = wording::finding::later(&input.about(), &told);
    if !notes.is_empty() {
        document.heading(2, "Noted while solving");
        document.list(notes.iter().map(|note| sentence(note)).collect());
    }
}

/// What stops the work and what casts doubt, before anything else; a client learns what stops it, and is spared what the
/// surveyor has to measure again.
pub(super) fn first(input: &SheetInput<'_>, document: &mut Document) {
    let points = first_points(input);
    if !points.is_empty() {
        document.heading(1, "Look here first");
        document.list(points);
        document.heading(1, "The roof");
    }
}

/// The sentences of it.
pub(super) fn first_points(input: &SheetInput<'_>) -> Vec<String> {
    let (answer, order) = (input.answer, input.take_off);
    let mut first = wording::finding::first_of_all(&input.about(), &answer.findings, &order.findings);
    if input.audience == Audience::Client {
        first.retain(|(severity, _)| *severity == Severity::Stop);
    }
    first.iter().map(|(_, told)| sentence(told)).collect()
}

pub(super) use wording::amount::{count, sentence};
