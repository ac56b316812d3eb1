//! What the roof is, how it was measured and how sure that is.

use super::SheetInput;
use crate::drawing::document::{Align, Block, Document, Table};
use crate::drawing::{edge_word, words};
use crate::roof::{EdgeKind, FaceKind};
use crate::survey::model::ObservationKind;
use std::collections::BTreeMap;

/// One or several, in words: "1 face", "4 faces".
pub(super) fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// The opening lines: what a client or a helper needs to know at a glance.
pub(super) fn what_it_is(input: &SheetInput<'_>, document: &mut Document) {
    let (roof, words) = (&input.answer.roof, input.context.words);
    let faces: Vec<_> = roof.roof_faces().collect();
    let area: f64 = faces.iter().map(|(_, face)| roof.area(face).0).sum();
    let plan: f64 = faces.iter().map(|(_, face)| roof.plan_area(face).0).sum();
    let mut lines = vec![format!(
        "{}, {} on the slope, {} in plan.",
        count(faces.len(), "face", "faces"),
        words.area_pm(area, input.answer.spread.total_area),
        words.area(plan)
    )];
    let openings: f64 = input.answer.openings.iter().map(|opening| opening.area).sum();
    if openings > 0.0 {
        lines.push(format!(
            "{} {} of that away.",
            count(input.answer.openings.len(), "opening takes", "openings take"),
            words.area(openings)
        ));
    }
    if let Some(ridge) = roof.ridge_height() {
        lines.push(format!("Highest point {} above datum.", words.length(ridge)));
    }
    lines.push(format!("Covering: {}.", input.job.covering.card.title.trim_end_matches('.')));
    document.text(lines.join(" "));
    let mut by_kind: BTreeMap<EdgeKind, (usize, f64)> = BTreeMap::new();
    for edge in roof.edges.iter().filter(|edge| !edge.kind.is_wall_only()) {
        let entry = by_kind.entry(edge.kind).or_default();
        entry.0 += 1;
        entry.1 += roof.length(edge).0;
    }
    let mut table = Table::new(&[("edge", Align::Left), ("how many", Align::Right), ("length in all", Align::Right)]);
    for (kind, (number, length)) in by_kind {
        table.row([edge_word(kind).to_owned(), number.to_string(), words.length(length)]);
    }
    let mut edges = Document::default();
    edges.table(table);
    let mut walls = roof.faces.iter().filter(|face| face.kind == FaceKind::Wall).map(|face| roof.area(face).0);
    if let Some(first) = walls.next() {
        let walls = words.area(first + walls.sum::<f64>());
        edges.text(format!("Gables, cheeks and other plumb parts above the outline: {walls}."));
    }
    document.columns([face_table(input), edges]);
}

/// The faces with their areas, pitches and the way they look.
fn face_table(input: &SheetInput<'_>) -> Document {
    let (roof, answer, words_of) = (&input.answer.roof, input.answer, input.context.words);
    let mut document = Document::default();
    let mut heads =
        vec![("face", Align::Left), ("area", Align::Right), ("pitch", Align::Right), ("looks to the", Align::Left)];
    if !answer.openings.is_empty() {
        heads.push(("openings", Align::Right));
    }
    let mut table = Table::new(&heads);
    let mut total = 0.0;
    for (id, face) in roof.roof_faces() {
        let area = roof.area(face).0;
        total += area;
        let openings: f64 = answer.openings.iter().filter(|o| o.face == id).map(|o| o.area).sum();
        let pitch_sd = answer.spread.face_pitch.get(id.index()).copied().flatten();
        let pitch = words::degrees(face.plane.pitch());
        let looks =
            face.plane.downslope().map_or("", |down| words::compass(input.context.north + down.x.atan2(down.y)));
        table.row([
            face.name.clone(),
            words_of.area_pm(area, answer.spread.area_of(id)),
            match pitch_sd {
                Some(sd) if sd.to_degrees() >= 0.05 => {
                    format!("{} ± {}", pitch.trim_end_matches('°'), words::degrees(sd))
                }
                _ => pitch,
            },
            looks.to_owned(),
            if openings > 0.0 { words_of.area(openings) } else { String::new() },
        ]);
    }
    table.row(["all".to_owned(), words_of.area_pm(total, answer.spread.total_area)]);
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
    document.text(
        "Computed from it: every area, every ridge, hip, valley and rafter length, every angle of this sheet. ± is one \
         standard deviation; two of them hold 95 of a hundred cases.",
    );
    for (block, gap) in &survey.misclosures {
        document.text(format!(
            "The walk round {block} closes to {}; the gap is shared out over its sides by their uncertainty.",
            words.fine(*gap)
        ));
    }
    if let (Some(chi2), Some([low, high])) = (survey.chi2, survey.chi2_bounds) {
        document.text(format!(
            "The measurements {} ({} more than needed; sum of squares {chi2:.1}, expected {low:.1} to {high:.1}).",
            if chi2 > high {
                "do not agree as well as they should"
            } else if chi2 < low {
                "agree better than their stated uncertainty, which may be set too wide"
            } else {
                "agree with one another"
            },
            survey.dof
        ));
    }
    let mut checks = Vec::new();
    for suspect in &survey.suspects {
        checks.push(format!(
            "Measure {} again: it stands {:.1} standard deviations off the others.",
            suspect.observation,
            suspect.w.abs()
        ));
    }
    checks.extend(survey.undetermined.iter().map(|reason| format!("Not determined: {reason}.")));
    for next in survey.best_next.iter().take(3) {
        let sd = words.area_pm(0.0, Some(next.area_sd_after));
        let sd = sd.split_once('±').map_or(sd.as_str(), |(_, sd)| sd.trim());
        checks.push(format!("Would help most: {} (area then sure to ± {sd}).", next.observation));
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
    let told = input.answer.notes.iter().filter(|note| note.code != "framing-geometry-only");
    let notes: Vec<String> = told.map(|note| sentence(&input.context.words.retold(&note.message))).collect();
    if !notes.is_empty() {
        document.heading(2, "Noted while solving");
        document.list(notes);
    }
}

/// A note's words as a sentence on paper.
pub(super) fn sentence(words: &str) -> String {
    let mut letters = words.trim().chars();
    let mut sentence: String = letters.next().map(|first| first.to_uppercase().collect::<String>()).unwrap_or_default();
    sentence.push_str(letters.as_str());
    if !sentence.ends_with(['.', '!', '?']) {
        sentence.push('.');
    }
    sentence
}
