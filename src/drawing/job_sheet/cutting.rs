//! What to cut: rafters, hips, valleys, jacks, boards, metal; true shapes.

use super::cutting_table::CuttingTable;
use super::what::sentence;
use super::{SheetInput, timber};
use crate::drawing::Drawing;
use crate::drawing::typeset::document::{Align, Document, Table};
use crate::drawing::typeset::figure;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::format;
use crate::drawing::typeset::format::Format;
use crate::drawing::typeset::frame;
use crate::drawing::views::timber_plan::TimberPlan;
use crate::drawing::views::{cut, face};
use crate::framing::{Fold, Framing, THICKNESS, THICKNESS_1_IN};
use crate::roof::Roof;
use crate::takeoff::card::CoveringKind;
use crate::wording::roof::edge_word;
use std::f64::consts::FRAC_PI_2;

/// How the numbers of hips and valleys, side by side, are meant.
macro_rules! sides_remark {
    ($thickness:literal) => {
        concat!(
            "To the eave: in plan. Side cut: from the piece's length, on its unbacked top. Drop: for each ",
            $thickness,
            " of the piece's thickness, instead of backing; where the sides differ the larger one clears both. Jack: from \
             its length, on its top. Boards: between the eave and the cut across boards laid along it; their edges over \
             the fold are bevelled by the backing."
        )
    };
}

const SIDES_IN_MILLIMETRES: &str = sides_remark!("100 mm");
const SIDES_IN_INCHES: &str = sides_remark!("1\"");

/// Cutting data of a roof as tables, those without rows left out: for the sheet and for the terminal.
#[must_use]
pub fn tables(roof: &Roof, framing: &Framing, format: Format) -> Vec<CuttingTable> {
    if !framing.pieces.is_empty() {
        return timber::tables(roof, framing, format);
    }
    let folds = "Hips and valleys".to_owned();
    let all = [
        (
            "Common rafters".to_owned(),
            commons(roof, framing, format),
            "Plumb and level cuts here and below: from square across the piece.",
        ),
        (folds, pieces(framing, format), ""),
        (
            "Hips and valleys, side by side".to_owned(),
            sides(framing, format),
            if format.imperial { SIDES_IN_INCHES } else { SIDES_IN_MILLIMETRES },
        ),
        jacks(framing, format),
        ("Metal and boards over folds".to_owned(), bends(framing), ""),
    ];
    let table = |(heading, table, remark)| CuttingTable { heading, table, remark };
    all.into_iter().map(table).filter(|table| !table.table.rows.is_empty()).collect()
}

fn commons(roof: &Roof, framing: &Framing, format: Format) -> Table {
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
        let cells = vec![
            format.fine(rafter.run.0),
            format.fine(rafter.rise),
            format.fine(rafter.length.0),
            format.pitch(pitch),
            format::degrees(FRAC_PI_2 - pitch),
        ];
        table.merge(&roof.faces[rafter.face.index()].name(), cells);
    }
    table
}

fn named(fold: &Fold) -> String {
    format!("{} {} / {}", edge_word(fold.kind), fold.faces[0], fold.faces[1])
}

/// Lengths and cuts of the pieces themselves, those cut alike in one row.
fn pieces(framing: &Framing, format: Format) -> Table {
    let mut table = Table::new(&[
        ("what", Align::Left),
        ("run", Align::Right),
        ("rise", Align::Right),
        ("length", Align::Right),
        ("plumb cut", Align::Right),
        ("level cut", Align::Right),
        ("slopes meet at", Align::Right),
    ]);
    for fold in &framing.folds {
        let pitch = fold.corner.plumb_cut();
        let cells = vec![
            format.fine(fold.run.0),
            format.fine(fold.rise),
            format.fine(fold.length.0),
            format.pitch(pitch),
            format::degrees(FRAC_PI_2 - pitch),
            format::degrees(fold.dihedral),
        ];
        table.merge(&named(fold), cells);
    }
    table
}

/// Angles of each side of a fold: what differs where the pitches do.
fn sides(framing: &Framing, format: Format) -> Table {
    // A drop for so much of the piece's thickness, as the remark says.
    let thick = if format.imperial { THICKNESS_1_IN } else { THICKNESS };
    let mut table = Table::new(&[
        ("face, at", Align::Left),
        ("to the eave", Align::Right),
        ("side cut", Align::Right),
        ("backing", Align::Right),
        ("or drop", Align::Right),
        ("jack side cut", Align::Right),
        ("boards", Align::Right),
    ]);
    for fold in &framing.folds {
        for (index, side) in fold.corner.sides.iter().enumerate() {
            let drop = side.drop_of(thick);
            let cells = vec![
                format::degrees(side.plan_angle),
                format.pitch(side.fold_side_cut),
                format::degrees(side.backing),
                if format.imperial { format!("{:.2}\"", drop / 0.0254) } else { format!("{:.1} mm", drop * 1000.0) },
                format.pitch(side.jack_side_cut),
                format::degrees(side.sheathing),
            ];
            table.merge(&side_name(fold, index), cells);
        }
    }
    if let ([row], [first, rest @ ..]) = (&mut table.rows[..], &framing.folds[..]) {
        let alike = rest.iter().all(|fold| fold.kind == first.kind);
        row[0] = if alike { format!("every {}", edge_word(first.kind)) } else { "every hip and valley".to_owned() };
    }
    table
}

/// "store/A at the hip to store/B".
fn side_name(fold: &Fold, index: usize) -> String {
    format!("{} at the {} to {}", fold.faces[index], edge_word(fold.kind), fold.faces[1 - index])
}

/// Jacks at the spacing of the job's own units, of those worked out.
fn jacks(framing: &Framing, format: Format) -> (String, Table, &'static str) {
    let index = usize::from(format.imperial);
    let mut table = Table::new(&[
        ("face, at", Align::Left),
        ("difference", Align::Right),
        ("lengths, from the short end", Align::Left),
    ]);
    let mut spacing = 0.0;
    for fold in &framing.folds {
        let Some(set) = fold.jacks.get(index).or(fold.jacks.first()) else { continue };
        spacing = set.spacing.0;
        for side in 0..2 {
            if set.jacks[side].is_empty() {
                continue;
            }
            let mut lengths: Vec<f64> = set.jacks[side].iter().map(|jack| jack.length.0).collect();
            lengths.sort_by(f64::total_cmp);
            let said: Vec<String> = lengths.iter().map(|length| format.fine(*length)).collect();
            let cells = vec![format.fine(set.difference[side].0), said.join(", ").replace(" mm,", ",")];
            table.merge(&side_name(fold, side), cells);
        }
    }
    (format!("Jacks at {}", format.fine(spacing)), table, "Set out along the eave from the hip's foot or the valley's.")
}

fn bends(framing: &Framing) -> Table {
    let mut table = Table::new(&[
        ("edge", Align::Left),
        ("angle between the slopes", Align::Left),
        ("boards mitred there: edges bevelled", Align::Right),
        ("how many", Align::Right),
    ]);
    for (bend, count) in framing.bends_alike() {
        let angle = format!("{}, {} from flat", format::degrees(bend.dihedral), format::degrees(bend.from_flat()));
        table.row([edge_word(bend.kind).to_owned(), angle, format::degrees(bend.bevel()), count.to_string()]);
    }
    table
}

/// The sheet's part on cutting.
pub(super) fn cut_list(input: &SheetInput<'_>, document: &mut Document) {
    let (framing, roof, format) = (&input.answer.framing, &input.answer.roof, input.context.words);
    document.heading(1, "What to cut");
    if !framing.pieces.is_empty() {
        timbers(input, document);
        deck(input, document);
        shapes(input, document);
        return;
    }
    document.caution(
        "Lengths are of theoretical lines. Half the hip's thickness comes off jacks, half the ridge board off commons; seat, \
         height above the plate and tail are yours to add. Sizes of timber, and any change to what carries the roof, are \
         for a structural engineer.",
    );
    for CuttingTable { heading, table, remark } in tables(roof, framing, format) {
        document.heading(2, heading);
        document.table(table);
        if !remark.is_empty() {
            document.text(remark);
        }
    }
    let cuts = cut::groups(&framing.folds);
    let figures: Vec<&dyn Figure> = cuts.iter().map(|cut| cut as &dyn Figure).collect();
    let captions: Vec<String> = cuts.iter().map(|cut| sentence(&cut.title())).collect();
    // Half a page for every two of them.
    let most = figures.len().div_ceil(2) as f64 * 0.5;
    side_by_side(input, document, "Hips and valleys, drawn", &figures, &captions, most);
    if !cuts.is_empty() {
        document.text(cut::REMARK);
    }
    deck(input, document);
    shapes(input, document);
}

/// The cutting list, where the job says what timbers are cut to.
fn timbers(input: &SheetInput<'_>, document: &mut Document) {
    let (framing, roof, format) = (&input.answer.framing, &input.answer.roof, input.context.words);
    document.caution(
        "Sections, spacing, fixings, how hips, valleys and ridge are carried, and any change to what carries the roof are for a \
         structural engineer. Cut one piece of each mark, try it in its place, then cut the others.",
    );
    let plan = TimberPlan::of(input.answer);
    let drawn = plan.and_then(|plan| figure::inset(&plan, input.context, input.room(0.62), figure::Key::With));
    document.figure(drawn, "Timbers in plan, by their marks.");
    for CuttingTable { heading, table, remark } in tables(roof, framing, format) {
        document.heading(2, heading);
        document.table(table);
        if !remark.is_empty() {
            document.text(remark);
        }
    }
    if !framing.plan.sticks.is_empty() {
        document.text(timber::saw(format));
    }
    document.heading(2, "Metal and boards over folds");
    document.table(bends(framing));
    let boards = boards(framing);
    if input.full && !boards.rows.is_empty() {
        document.heading(2, "Deck boards and fascias at hips and valleys");
        document.table(boards);
        document.text(BOARDS_REMARK);
    }
}

/// How the cuts of boards at hips and valleys are meant.
const BOARDS_REMARK: &str = "Across boards laid along the eave: between the eave and the cut. Their edges over the fold: from square. A \
                             fascia set square to the rafters, not plumb: its mitre on its face, from square across, and the tilt of \
                             the saw; both boards meet only where the pitches are the same.";

/// Cuts of deck boards, and of fascias set square to the rafters, at each side of the hips and valleys.
fn boards(framing: &Framing) -> Table {
    let mut table = Table::new(&[
        ("face, at", Align::Left),
        ("across boards", Align::Right),
        ("edges", Align::Right),
        ("square fascia: mitre", Align::Right),
        ("saw tilted", Align::Right),
    ]);
    for fold in &framing.folds {
        for (index, side) in fold.corner.sides.iter().enumerate() {
            let cells = [side.sheathing, side.backing, side.square_mitre, side.square_bevel].map(format::degrees);
            table.merge(&side_name(fold, index), cells.to_vec());
        }
    }
    table
}

/// Figures in rows at one scale, with a bar for all of them, on about so many pages at most.
pub(super) fn side_by_side(
    input: &SheetInput<'_>,
    document: &mut Document,
    heading: &str,
    figures: &[&dyn Figure],
    captions: &[String],
    most: f64,
) {
    let Some(abreast) = figure::abreast(figures, input.context, input.room(1.0), CAPTION, most) else { return };
    if abreast.drawings.is_empty() {
        return;
    }
    document.heading(2, heading);
    document.figure(Some(frame::scale_strip(input.context, abreast.scale)), "");
    let caption = |(index, drawing): (usize, Drawing)| (drawing, captions[index].clone());
    document.figures(abreast.drawings.into_iter().map(caption).collect());
}

fn deck(input: &SheetInput<'_>, document: &mut Document) {
    let (cuts, format) = (&input.take_off.deck_cuts, input.context.words);
    let (Some(longest), Some(shortest)) = (cuts.first(), cuts.last()) else { return };
    document.heading(2, "Deck boards and sheets");
    let short = |length: f64| format.fine(length).trim_end_matches(" mm").to_owned();
    let unit = if format.imperial { "" } else { " mm" };
    // Raking edges make nearly every row another length: those are cut in place, and only the full sheet lists them.
    let told: Vec<_> = cuts.iter().filter(|deck| input.full || cuts.len() <= FEW_LENGTHS || deck.count > 1).collect();
    let said: Vec<String> = told.iter().map(|deck| format!("{} of {}", deck.count, short(deck.length))).collect();
    if !said.is_empty() {
        document.text(format!("How many of which length: {}{unit}.", said.join(", ")));
    }
    if told.len() < cuts.len() {
        document.text(format!(
            "The others differ in length, one of each between {} and {}: mark them in place, row by row.",
            format.fine(shortest.length),
            format.fine(longest.length)
        ));
    }
}

/// Up to so many lengths are listed.
const FEW_LENGTHS: usize = 16;

/// Faces in true shape, side by side at one scale.
fn shapes(input: &SheetInput<'_>, document: &mut Document) {
    let roof = &input.answer.roof;
    let mut shapes = Vec::new();
    for (id, alike, joint_for_joint) in face::groups_as_coursed(roof, &input.answer.openings, &input.take_off.layouts) {
        let layout = input.take_off.layouts.iter().find(|layout| layout.face == id);
        let covering = input.job.covering_of(&roof.faces[id.index()]);
        let laid = match (layout, &covering.card.covering) {
            (Some(layout), CoveringKind::Strip(_) | CoveringKind::Unit(_)) if !joint_for_joint => {
                face::Laid::CourseLines(layout)
            }
            (Some(layout), covering) => face::Laid::of(layout, covering),
            (None, _) => face::Laid::Bare,
        };
        shapes.extend(face::FaceShape::new(input.answer, id, laid, &alike, input.context.words));
    }
    let figures: Vec<&dyn Figure> = shapes.iter().map(|shape| shape as &dyn Figure).collect();
    let caption = |shape: &face::FaceShape<'_>| {
        let remarks = shape.furniture().remarks.join(" ");
        format!("{} {remarks}", sentence(&shape.title())).trim_end().to_owned()
    };
    let captions: Vec<String> = shapes.iter().map(caption).collect();
    // Four or five of them to a page, if need be at a smaller scale.
    let most = (figures.len() as f64 * 0.13).max(0.75);
    side_by_side(input, document, "Faces in true shape", &figures, &captions, most);
}

/// Room for two lines beneath a figure, millimetres.
const CAPTION: f64 = 12.0;
