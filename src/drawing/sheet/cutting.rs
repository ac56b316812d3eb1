//! What to cut: rafters, hips, valleys, jacks, boards, metal; true shapes.

use super::SheetInput;
use crate::drawing::document::{Align, Document, Table};
use crate::drawing::figure::{Key, inset};
use crate::drawing::{cut, edge_word, face, words};
use crate::takeoff::card::CoveringKind;
use std::f64::consts::FRAC_PI_2;

pub(super) fn cut_list(input: &SheetInput<'_>, document: &mut Document) {
    let (framing, roof, words_of) = (&input.answer.framing, &input.answer.roof, input.context.words);
    document.heading(1, "What to cut");
    document.caution(
        "Lengths are of theoretical lines. Half the hip's thickness comes off jacks, half the ridge board off commons; seat, \
         height above the plate and tail are yours to add. Sizes of timber, and any change to what carries the roof, are \
         for a structural engineer.",
    );
    if !framing.commons.is_empty() {
        document.heading(2, "Common rafters");
        let mut table = Table::new(&[
            ("face", Align::Left),
            ("run", Align::Right),
            ("rise", Align::Right),
            ("length", Align::Right),
            ("plumb cut", Align::Right),
            ("level cut", Align::Right),
        ]);
        for rafter in &framing.commons {
            let pitch = rafter.pitch.radians();
            let name = roof.faces[rafter.face.index()].name.clone();
            let cells = [
                words_of.fine(rafter.run.0),
                words_of.fine(rafter.rise),
                words_of.fine(rafter.length.0),
                words::degrees(pitch),
                words::degrees(FRAC_PI_2 - pitch),
            ];
            match table.rows.iter_mut().find(|row| row[1..] == cells) {
                Some(row) => row[0] = format!("{}, {name}", row[0]),
                None => table.row(std::iter::once(name).chain(cells)),
            }
        }
        document.table(table);
        document.text("Cuts of this table and the next are measured from square across the piece.");
    }
    folds(input, document);
    jacks(input, document);
    bends(input, document);
    if !input.take_off.deck_cuts.is_empty() {
        document.heading(2, "Deck boards and sheets");
        let said: Vec<String> = input
            .take_off
            .deck_cuts
            .iter()
            .map(|deck| format!("{} of {}", deck.count, words_of.fine(deck.length).trim_end_matches(" mm")))
            .collect();
        let unit = if words_of.imperial { "" } else { " mm" };
        document.text(format!("How many of which length: {}{unit}.", said.join(", ")));
    }
    document.heading(2, "Faces in true shape");
    for (id, alike) in face::groups(roof, &input.answer.openings) {
        let layout = input.take_off.layouts.iter().find(|layout| layout.face == id);
        let laid = match (layout, &input.job.covering.card.covering) {
            (Some(layout), CoveringKind::Strip(_) | CoveringKind::Unit(_)) => face::Laid::Courses(layout),
            _ => face::Laid::Bare,
        };
        if let Some(shape) = face::FaceShape::new(roof, id, &input.answer.openings, laid, &alike) {
            use crate::drawing::Figure;
            let caption = shape.title();
            document
                .figure(inset(&shape, input.context, input.room(0.48), Key::Without), super::what::sentence(&caption));
        }
    }
}

fn folds(input: &SheetInput<'_>, document: &mut Document) {
    let (framing, words_of) = (&input.answer.framing, input.context.words);
    if framing.folds.is_empty() {
        return;
    }
    document.heading(2, "Hips and valleys");
    let mut table = Table::new(&[
        ("what", Align::Left),
        ("length", Align::Right),
        ("plumb", Align::Right),
        ("side cuts", Align::Right),
        ("backing", Align::Right),
        ("boards", Align::Right),
    ]);
    for fold in &framing.folds {
        let pair = |value: [f64; 2]| {
            let [a, b] = value.map(words::degrees);
            if a == b { a } else { format!("{} / {b}", a.trim_end_matches('°')) }
        };
        let sides = fold.corner.sides;
        table.row([
            format!("{} {} / {}", edge_word(fold.kind), fold.faces[0], fold.faces[1]),
            words_of.fine(fold.length.0),
            words::degrees(fold.corner.pitch),
            pair(sides.map(|side| side.fold_side_cut)),
            pair(sides.map(|side| side.backing)),
            pair(sides.map(|side| side.sheathing)),
        ]);
    }
    document.table(table);
    document.text(
        "Two angles belong to the two faces named. Side cuts: from the piece's length, on its unbacked top. Boards: between \
         the eave and the cut across boards laid along it.",
    );
    for group in cut::groups(&framing.folds) {
        use crate::drawing::Figure;
        let caption = group.title();
        document.figure(inset(&group, input.context, input.room(0.55), Key::Without), super::what::sentence(&caption));
    }
}

fn jacks(input: &SheetInput<'_>, document: &mut Document) {
    let (framing, words_of) = (&input.answer.framing, input.context.words);
    // Of the spacings worked out, the one in the job's own units.
    let index = usize::from(words_of.imperial);
    let mut table = Table::new(&[
        ("along", Align::Left),
        ("side", Align::Left),
        ("difference", Align::Right),
        ("lengths, from the short end", Align::Left),
    ]);
    let mut spacing = None;
    for fold in &framing.folds {
        let Some(set) = fold.jacks.get(index).or(fold.jacks.first()) else { continue };
        spacing = Some(set.spacing.0);
        for side in 0..2 {
            if set.jacks[side].is_empty() {
                continue;
            }
            let mut lengths: Vec<f64> = set.jacks[side].iter().map(|jack| jack.length.0).collect();
            lengths.sort_by(f64::total_cmp);
            let said: Vec<String> = lengths.iter().map(|length| words_of.fine(*length)).collect();
            table.row([
                format!("{} {} / {}", edge_word(fold.kind), fold.faces[0], fold.faces[1]),
                fold.faces[side].clone(),
                words_of.fine(set.difference[side].0),
                said.join(", ").replace(" mm,", ","),
            ]);
        }
    }
    if let Some(spacing) = spacing.filter(|_| !table.rows.is_empty()) {
        document.heading(2, format!("Jacks at {}", words_of.fine(spacing)));
        document.table(table);
    }
}

fn bends(input: &SheetInput<'_>, document: &mut Document) {
    let framing = &input.answer.framing;
    let mut rows: Vec<(String, String, usize)> = Vec::new();
    for bend in &framing.bends {
        let entry = (edge_word(bend.kind).to_owned(), words::degrees(bend.dihedral), words::degrees(bend.from_flat()));
        let said = format!("{}, {} from flat", entry.1, entry.2);
        match rows.iter_mut().find(|row| row.0 == entry.0 && row.1 == said) {
            Some(row) => row.2 += 1,
            None => rows.push((entry.0, said, 1)),
        }
    }
    if rows.is_empty() {
        return;
    }
    document.heading(2, "Metal over folds is bent to");
    let mut table =
        Table::new(&[("edge", Align::Left), ("angle between the slopes", Align::Left), ("how many", Align::Right)]);
    for (kind, angle, count) in rows {
        table.row([kind, angle, count.to_string()]);
    }
    document.table(table);
}
