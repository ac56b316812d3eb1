//! How to lay it, with the numbers of this roof; what to mind, where the danger is.

use super::SheetInput;
use super::what::sentence;
use crate::drawing::document::{Align, Block, Document, Table};
use crate::drawing::{edge_word, face, rows, words};
use crate::roof::EdgeKind;
use crate::takeoff::card::{CoveringKind, Strip};
use crate::takeoff::layout::{FaceLayout, Hand};
use crate::takeoff::model::ValleyMethod;
use crate::takeoff::underlay::head_lap;
use crate::wording::laying;

fn has(input: &SheetInput<'_>, kind: EdgeKind) -> bool {
    input.answer.roof.edges.iter().any(|edge| edge.kind == kind)
}

pub(super) fn laying(input: &SheetInput<'_>, document: &mut Document) {
    document.heading(1, "How to lay it");
    document.caution(
        "A fall from a low roof kills. Secure yourself as local law says before you leave the ladder: at any height, and \
         from 1.8 m (6 ft) at the latest. Ladder foot out by a quarter of its working length, 0.9 m (3 ft) above the \
         landing, tied. Not alone, not on a wet, iced or windy roof, not near power lines. Fragile sheets and rooflights \
         carry nobody.",
    );
    if let Some(old) = &input.take_off.old_roof {
        document.heading(2, "Strip the old roof");
        if input.job.covering.old_roof.as_ref().is_some_and(|old| old.asbestos_possible) {
            document.caution(
                "Old sheets and shingles may hold asbestos: have a sample tested before anything is broken or lifted. If it \
                 does, a licensed firm strips it.",
            );
        }
        document.text(format!(
            "{} of {} in {}, {}, {} loose in a skip. Strip only what is dried in the same day; renew old \
             flashings and {} of deck.",
            input.context.words.area(old.area),
            old.kind,
            if old.layers == 1 { "one layer".to_owned() } else { format!("{} layers", old.layers) },
            input.context.words.weight(old.weight),
            input.context.words.volume(old.skip_volume),
            input.context.words.area(old.deck_to_renew)
        ));
    }
    let steps = steps(input);
    document.blocks.push(Block::Steps(steps));
    underlay_rows(input, document);
    chalk_lines(input, document);
    caps(input, document);
}

/// The steps in the order of work.
fn steps(input: &SheetInput<'_>) -> Vec<String> {
    let (card, roof, say) = (&input.job.covering.card, &input.answer.roof, input.context.words);
    let length = |kind: EdgeKind| -> f64 {
        roof.edges.iter().filter(|edge| edge.kind == kind).map(|edge| roof.length(edge).0).sum()
    };
    let mut steps = Vec::new();
    if let Some(deck) = &card.deck {
        steps.push(format!(
            "Deck {} thick on bearers {} apart, joints on bearers and staggered, a gap of {} at sheet edges. It is \
             sound, dry and flat before anything goes on it.",
            say.fine(deck.thickness),
            say.fine(deck.spacing),
            say.fine(0.003)
        ));
    }
    if has(input, EdgeKind::Eave) {
        let lap = card.eave_strip.as_ref().map_or(0.05, |strip| strip.lap);
        steps.push(format!(
            "Eave metal first: {} of eaves, pieces lapped {}. It lies under the underlay.",
            say.length(length(EdgeKind::Eave)),
            say.fine(lap)
        ));
    }
    if has(input, EdgeKind::Valley) {
        let width = card.valley_lining.as_ref().map(|lining| format!(", lining {} wide", say.fine(lining.width)));
        steps.push(format!("Valleys next: a full width of underlay down each{}.", width.unwrap_or_default()));
    }
    if let Some(underlay) = &card.underlay {
        let mut laps: Vec<String> = Vec::new();
        for (_, face) in roof.roof_faces() {
            let (lap, doubled) = head_lap(underlay, face.plane.pitch());
            let double = if doubled { ", two layers" } else { "" };
            let said = format!("{} at {}{double}", say.fine(lap), words::degrees(face.plane.pitch()));
            if !laps.contains(&said) {
                laps.push(said);
            }
        }
        steps.push(format!(
            "Underlay from the eave up, head lap {}; end laps {}; {} over ridges and hips, {} up walls.",
            laps.join("; "),
            say.fine(underlay.end_lap),
            say.fine(underlay.over),
            say.fine(underlay.upstand)
        ));
    }
    if has(input, EdgeKind::Verge) {
        steps.push(format!("Verge metal over the underlay: {}.", say.length(length(EdgeKind::Verge))));
    }
    match &card.covering {
        CoveringKind::Strip(strip) => strip_steps(input, strip, &mut steps),
        CoveringKind::Unit(unit) => steps.push(format!(
            "Courses at a gauge of {} ({} over every point), every second one shifted by {:.0} % of a width, eave course \
             {} past the deck.",
            say.fine(unit.gauge),
            if unit.layers == 1 { "one layer".to_owned() } else { format!("{} layers", unit.layers) },
            unit.bond * 100.0,
            say.fine(unit.eave_projection)
        )),
        CoveringKind::Sheet(sheet) => steps.push(format!(
            "Sheets of {} cover from the lee end, so that side laps face away from the wind, {} past the deck at the eave.",
            say.fine(sheet.cover_width),
            say.fine(sheet.eave_projection)
        )),
    }
    if !input.answer.openings.is_empty() {
        steps.push(
            format!("Openings: apron below, a step piece with every course at the sides, back piece above; courses above take up \
             the grid again. A chimney wider than {} across the slope gets a saddle.", say.fine(0.76)),
        );
    }
    if !input.take_off.caps.is_empty() {
        let nailing = card.caps.as_ref().filter(|caps| caps.per_strip.is_some()).map(|caps| {
            format!(
                " Each shows {}; its nails {} from the butt and {} from the sides, longer than those of the courses; the \
                 first on a hip doubled and trimmed to the corner, the last nailed through its face and sealed.",
                say.fine(caps.exposure),
                say.fine(caps.exposure + 0.025),
                say.fine(0.025)
            )
        });
        steps.push(format!(
            "Caps last: hips from the eave up, then ridges as listed below.{}",
            nailing.unwrap_or_default()
        ));
    }
    steps
}

fn strip_steps(input: &SheetInput<'_>, strip: &Strip, steps: &mut Vec<String>) {
    let (card, say) = (&input.job.covering.card, input.context.words);
    let tab = strip.tab_width();
    steps.push(format!(
        "Starter: strips cut to {} high (tabs off), seal edge at the eave, {} past the deck; the first one shortened by \
         half a tab to {}, so that no joint lies under a joint of course 1.",
        say.fine(strip.height - strip.cutout),
        say.fine(strip.eave_projection),
        say.fine(strip.width - tab / 2.0)
    ));
    steps.push(format!(
        "Courses at a gauge of {}, {} past the deck at verges, top corners there clipped {}, by the chalk lines below. Each \
         course starts half a tab ({}) shorter than the one before, for {} courses, then again.",
        say.fine(strip.gauge),
        say.fine(strip.verge_projection),
        say.fine(0.025),
        say.fine(tab / 2.0),
        2 * strip.tabs
    ));
    if let Some(nails) = &card.nails {
        let steepest = input.answer.roof.roof_faces().map(|(_, face)| face.plane.pitch()).fold(0.0, f64::max);
        let exposure = input.job.covering.laying.exposure;
        let rules = nails.rules.iter().filter(|rule| rule.pitch_from <= steepest);
        let fitting = rules.filter(|rule| rule.exposure.is_none_or(|wanted| wanted == exposure));
        if let Some(rule) = fitting.max_by(|a, b| a.per_piece.total_cmp(&b.per_piece)) {
            steps.push(format!(
                "Nails: {:.0} a strip in a line just above the cutouts and below the seal, the outer ones {} from the \
                 ends; at least {} in a cut piece, {} in a cap. Heads flush: neither proud nor cutting in.",
                rule.per_piece,
                say.fine(0.025),
                nails.least,
                nails.per_cap
            ));
        }
    }
    if has(input, EdgeKind::Valley) {
        steps.extend(input.take_off.valleys.methods().into_iter().map(|method| valley_step(method, say)));
    }
    if let Some(limit) = strip.bend_above {
        steps.push(format!(
            "Below {} warm tabs before they are bent, and press the seal strips down by hand with adhesive.",
            say.temperature(limit)
        ));
    }
    steps.push(
        if strip.peel { "Peel the film off the back of every strip." } else { "The film on the back stays on." }
            .to_owned(),
    );
}

fn valley_step(method: ValleyMethod, say: words::Words) -> String {
    match method {
        ValleyMethod::Open => format!(
            "Open valley: trim both sides {} clear of the centre at its top, {} more for every metre down; bed the cut edges, \
             no nail within {} of the centre.",
            say.fine(0.075),
            say.fine(0.005),
            say.fine(0.150)
        ),
        ValleyMethod::Closed => format!(
            "Closed valley: the flatter side first, through to {far} past the centre; the other cut {} short of it, corners \
             clipped, bedded. No nail within {} of the centre, no joint within {far}.",
            say.fine(0.050),
            say.fine(0.150),
            far = say.fine(0.300)
        ),
        ValleyMethod::Woven => format!(
            "Woven valley: both sides run through by turns, to {far} past the centre, pressed well into the valley. No nail \
             within {} of the centre, no joint within {far}.",
            say.fine(0.150),
            far = say.fine(0.300)
        ),
    }
}

/// Heights of the butt lines up the slope, to snap lines by.
fn chalk_lines(input: &SheetInput<'_>, document: &mut Document) {
    let (roof, say) = (&input.answer.roof, input.context.words);
    let mut table = Table::new(&[
        ("face", Align::Left),
        ("courses", Align::Right),
        ("gauge", Align::Right),
        ("from the", Align::Left),
        ("butt lines up the slope from the deck's edge", Align::Left),
    ]);
    for (id, alike) in face::groups(roof, &input.answer.openings) {
        let Some(layout) = input.take_off.layouts.iter().find(|layout| layout.face == id) else { continue };
        let names: Vec<&str> =
            std::iter::once(roof.faces[id.index()].name.as_str()).chain(alike.iter().map(String::as_str)).collect();
        let names = names.join(", ");
        let cells = [
            layout.courses.len().to_string(),
            say.fine(layout.gauge),
            if layout.hand == Hand::Left { "left" } else { "right" }.to_owned(),
            lines_of(layout, say),
        ];
        table.merge(&names, cells.to_vec());
    }
    if !table.rows.is_empty() {
        document.heading(2, "Chalk lines");
        document.table(table);
    }
}

/// Some of a face's butt lines: the second, every fifth, the last.
fn lines_of(layout: &FaceLayout, say: words::Words) -> String {
    let last = layout.courses.len();
    let told = layout.courses.iter().enumerate().filter(|(index, _)| {
        let number = index + 1;
        number == 2 || number % 5 == 0 || number == last
    });
    let said: Vec<String> = told
        .map(|(index, course)| format!("{}: {}", index + 1, say.fine(course.butt_v).trim_end_matches(" mm")))
        .collect();
    format!("{}{}", said.join(", "), if say.imperial { "" } else { " mm" })
}

fn caps(input: &SheetInput<'_>, document: &mut Document) {
    let runs = &input.take_off.caps;
    if runs.is_empty() {
        return;
    }
    document.heading(2, "Caps");
    let mut alike: Vec<([String; 5], usize)> = Vec::new();
    for run in runs {
        let along = run.to - run.from;
        let start = if along.z.abs() > 0.01 * along.norm() && along.z > 0.0 {
            "at the eave".to_owned()
        } else {
            let back = -along.xy();
            format!("at the {} end", words::compass(input.context.north + back.x.atan2(back.y)))
        };
        let length = input.context.words.length(run.length);
        let cells =
            [edge_word(run.kind).to_owned(), length, run.caps.to_string(), start, laying::caps_run(run.why).to_owned()];
        match alike.iter_mut().find(|(other, _)| *other == cells) {
            Some((_, count)) => *count += 1,
            None => alike.push((cells, 1)),
        }
    }
    let mut table = Table::new(&[
        ("line", Align::Left),
        ("how many", Align::Right),
        ("length", Align::Right),
        ("caps each", Align::Right),
        ("start", Align::Left),
        ("because", Align::Left),
    ]);
    for ([line, length, caps, start, why], count) in alike {
        table.row([line, count.to_string(), length, caps, start, why]);
    }
    document.table(table);
}

/// Where the rows of underlay begin, to snap lines by.
fn underlay_rows(input: &SheetInput<'_>, document: &mut Document) {
    let (roof, say) = (&input.answer.roof, input.context.words);
    let mut table = Table::new(&[
        ("face", Align::Left),
        ("rows", Align::Right),
        ("pieces", Align::Right),
        ("lower edges up the slope from the deck's edge", Align::Left),
    ]);
    let shapes = face::groups(roof, &input.answer.openings);
    for (plan, alike) in rows::groups(roof, &shapes, &input.take_off.underlay_plans) {
        let names = std::iter::once(roof.faces[plan.face.index()].name.clone()).chain(alike).collect::<Vec<_>>();
        let heights: Vec<String> =
            plan.rows().iter().map(|v| say.fine(v.max(0.0)).trim_end_matches(" mm").to_owned()).collect();
        let unit = if say.imperial { "" } else { " mm" };
        let counts = [heights.len().to_string(), plan.pieces.len().to_string()];
        let [rows, pieces] = counts;
        table.merge(&names.join(", "), vec![rows, pieces, format!("{}{unit}", heights.join(", "))]);
    }
    if !table.rows.is_empty() {
        document.heading(2, "Underlay, row by row");
        document.table(table);
    }
}

/// What the take-off says to mind, and what always holds.
pub(super) fn mind(input: &SheetInput<'_>, document: &mut Document) {
    document.heading(1, "What to mind");
    // What stands at its place in the order of work already: laps, film and warmth in the steps, the batch at the order, heights
    // and ladders over the steps.
    let mut told = vec!["underlay-lap", "one-batch", "adhesive-thin", "safety-height", "safety-ladder"];
    if let CoveringKind::Strip(_) = input.job.covering.card.covering {
        told.extend(["film", "bend-warm"]);
    }
    let mut points: Vec<String> = input
        .take_off
        .notes
        .iter()
        .filter(|note| !told.contains(&note.code))
        .map(|note| {
            let faces = if note.faces.is_empty() { String::new() } else { format!(" ({})", note.faces.join(", ")) };
            let said = sentence(&note.message);
            format!("{}{faces}.", said.trim_end_matches('.'))
        })
        .collect();
    points.push("Local codes and the material's own instructions come before this sheet.".to_owned());
    points.push(
        "In the heat a warm slope marks under the foot: work the shaded one. In the cold seals need adhesive by hand."
            .to_owned(),
    );
    points.push(format!(
        "Adhesive in dabs of {}: too much makes blisters. Edges exposed to wind get extra.",
        input.context.words.fine(0.025)
    ));
    document.list(points);
}

/// The same for a client.
pub(super) fn mind_client(input: &SheetInput<'_>, document: &mut Document) {
    document.heading(1, "What to know");
    let mut points = vec![
        "Areas and lengths are computed from measurements on site; ± is one standard deviation.".to_owned(),
        "The state of what lies under the old covering shows only when it is off.".to_owned(),
        "Load-bearing repairs and sizes of timber are for a structural engineer; local codes come first.".to_owned(),
    ];
    if input.take_off.old_roof.is_some() {
        points
            .push("Old covering is tested for asbestos before it is stripped where its age leaves a doubt.".to_owned());
    }
    document.list(points);
}
