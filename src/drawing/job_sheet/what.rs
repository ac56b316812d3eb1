//! What the roof is, how it was measured and how sure that is.

use super::{Audience, SheetInput};
use crate::base::estimate::Estimate;
use crate::base::finding::Severity;
use crate::drawing::typeset::document::Document;
use crate::job::Finding;
use crate::survey::model::ObservationKind;
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
    lines.push(covering(input));
    document.text(lines.join(" "));
    if totals.walls_area.value() != Some(0.0) {
        document.text(format!("Gables, cheeks and other plumb parts above the outline: {}.", area(&totals.walls_area)));
    }
    document.text(format!("{}.", estimate::explained(&input.answer.survey)));
}

/// What covers the roof; of several coverings which covers what.
pub(super) fn covering(input: &SheetInput<'_>) -> String {
    let (parts, format) = (&input.take_off.parts, input.context.words);
    if parts.is_empty() {
        return format!("Covering: {}.", input.job.covering.card.title.trim_end_matches('.'));
    }
    let own: Vec<String> = parts.iter().map(|part| sentence(&wording::order::part(part, format))).collect();
    own.join(" ")
}

/// What was measured, what was computed from it, what to check on site.
pub(super) fn how_sure(input: &SheetInput<'_>, document: &mut Document) {
    let (survey, words) = (&input.answer.survey, input.context.words);
    document.heading(1, "How it was measured, and how sure it is");
    let mut counts: BTreeMap<[&str; 2], usize> = BTreeMap::new();
    for block in &input.job.blocks {
        for ring in &block.rings {
            *counts.entry(["side of the outline", "sides of the outline"]).or_default() += ring.sides.len();
        }
    }
    for observation in &input.job.survey.observations {
        let kind = match observation.kind {
            ObservationKind::Tape { .. } => ["taped distance", "taped distances"],
            ObservationKind::Known { .. } => ["known size", "known sizes"],
            ObservationKind::Offset { .. } => ["offset from a wall", "offsets from walls"],
            ObservationKind::PitchReading { .. } => ["pitch reading", "pitch readings"],
            ObservationKind::Level { .. } => ["level", "levels"],
            ObservationKind::Plumb { .. } => ["plumb line", "plumb lines"],
            _ => ["other check", "other checks"],
        };
        *counts.entry(kind).or_default() += 1;
    }
    let marks: usize = input.job.survey.photos.iter().map(|photo| photo.marks.len()).sum();
    if marks > 0 {
        counts.insert(["mark in photos", "marks in photos"], marks);
    }
    let measured: Vec<String> = counts.iter().map(|([one, many], number)| count(*number, one, many)).collect();
    document.text(format!("Measured: {}.", measured.join(", ")));
    document
        .text("Computed from it: every area, every ridge, hip, valley and rafter length, every angle of this sheet.");
    for (block, gap) in &survey.misclosures {
        document.text(sentence(&wording::survey::misclosure(block, *gap, words)));
    }
    if let Some(agreement) = wording::survey::agreement(survey) {
        document.text(sentence(&agreement));
    }
    notes(input, document);
}

/// What to look at before anybody orders or climbs.
pub(super) fn checks(input: &SheetInput<'_>) -> Vec<String> {
    let (survey, words) = (&input.answer.survey, input.context.words);
    let names = wording::survey::Names::of(input.job);
    let mut checks = Vec::new();
    for next in survey.best_next.iter().take(3) {
        checks.push(sentence(&wording::survey::best_next(&names, survey, next, words)));
    }
    if !input
        .job
        .survey
        .observations
        .iter()
        .any(|o| matches!(o.kind, ObservationKind::Tape { .. } | ObservationKind::Known { .. }))
        && !input.job.blocks.is_empty()
    {
        checks.push("Tape both diagonals of the outline: nothing yet proves its corners.".to_owned());
    }
    checks.push("What the tape reached: wall, fascia, deck edge, drip edge or gutter front.".to_owned());
    checks.push(
        "Pitch of every face with a level and a rule; deck sound, dry, flat and of the thickness stated.".to_owned(),
    );
    checks.push("Overhangs at eaves and verges; whether the ridge is straight and level.".to_owned());
    checks
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
    let [stops, doubts] = first_points(input);
    if stops.is_empty() && doubts.is_empty() {
        return;
    }
    document.heading(1, "Look here first");
    document.stop(stops);
    document.list(doubts);
    document.heading(1, "The roof");
}

/// The sentences of it: what stops the work, what casts doubt.
pub(super) fn first_points(input: &SheetInput<'_>) -> [Vec<String>; 2] {
    let (answer, order) = (input.answer, input.take_off);
    let first = wording::finding::first_of_all(&input.about(), &answer.findings, &order.findings);
    let of = |stops: bool| {
        let meant = first.iter().filter(|(severity, _)| (*severity == Severity::Stop) == stops);
        meant.map(|(_, told)| sentence(told)).collect()
    };
    [of(true), if input.audience == Audience::Client { Vec::new() } else { of(false) }]
}

pub(super) use wording::amount::{count, sentence};
