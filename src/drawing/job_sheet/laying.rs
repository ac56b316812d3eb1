//! How to lay it, with the numbers of this roof; what to mind, where the danger is.

use super::SheetInput;
use super::details::details;
use super::set_out::set_out;
use super::what::sentence;
use crate::base::finding::Finding as _;
use crate::drawing::typeset::document;
use crate::drawing::typeset::document::{Align, Block, Document, Table};
use crate::drawing::views::{face, rows};
use crate::takeoff::Finding;
use crate::takeoff::work::Task;
use crate::wording::{self, laying};

pub(super) fn laying(input: &SheetInput<'_>, document: &mut Document) {
    if input.take_off.work.is_empty() {
        return;
    }
    document.heading(1, "How to lay it");
    let (roof, format) = (&input.answer.roof, input.context.words);
    let mut steps: Vec<document::Step> = Vec::new();
    let work = &input.take_off.work;
    for (step, listed) in work.iter().zip(wording::work::listed(work, roof, format)) {
        let wording::work::Listed { title, message, cautions } = listed;
        let mut text = vec![message];
        if matches!(step.task, Task::Prepare { .. }) {
            // Before anybody leaves the ground.
            document.caution(cautions.join(" "));
        } else {
            text.extend(cautions);
        }
        steps.push(document::Step { title, text: text.join(" ") });
    }
    document.blocks.push(Block::Steps(steps));
    set_out(input, document);
    underlay_rows(input, document);
    felt_strips(input, document);
    chalk_lines(input, document);
    caps(input, document);
    details(input, document);
}

/// Heights of the butt lines up the slope, to snap lines by.
fn chalk_lines(input: &SheetInput<'_>, document: &mut Document) {
    let (roof, format) = (&input.answer.roof, input.context.words);
    // One row of sheets stands past the eave as its step says.
    if input.take_off.layouts.iter().all(|layout| layout.courses.len() <= 1) {
        return;
    }
    let heads = laying::course_heads(&input.take_off.layouts);
    let mut table = Table::new(&[
        ("face", Align::Left),
        (heads.courses, Align::Right),
        (heads.gauge, Align::Right),
        (heads.butts, Align::Left),
    ]);
    // Those with the same lines share a row; from which hand each is laid stands in its step.
    for layout in &input.take_off.layouts {
        let cells = [
            layout.courses.len().to_string(),
            wording::work::to_tenth(layout.gauge, format),
            laying::butt_lines(layout, format),
        ];
        table.merge(&roof.faces[layout.face.index()].name(), cells.to_vec());
    }
    if !table.rows.is_empty() {
        document.heading(2, "Chalk lines");
        document.table(table);
    }
}

fn caps(input: &SheetInput<'_>, document: &mut Document) {
    const ALIGNED: [Align; 6] = [Align::Left, Align::Right, Align::Right, Align::Right, Align::Left, Align::Left];
    let runs = &input.take_off.caps;
    if runs.is_empty() {
        return;
    }
    document.heading(2, "Caps");
    let heads: Vec<(&str, Align)> = laying::CAPS_HEADS.into_iter().zip(ALIGNED).collect();
    let mut table = Table::new(&heads);
    for row in laying::caps(runs, input.context.north, input.context.words) {
        table.row(row);
    }
    document.table(table);
}

/// Where the rows of underlay begin, to snap lines by.
fn underlay_rows(input: &SheetInput<'_>, document: &mut Document) {
    let (roof, format) = (&input.answer.roof, input.context.words);
    let mut table = Table::new(&[
        ("face", Align::Left),
        ("rows", Align::Right),
        ("pieces", Align::Right),
        ("lower edges up the slope from the deck's edge", Align::Left),
    ]);
    let shapes = face::groups(roof, &input.answer.openings);
    for (plan, alike) in rows::groups(roof, &shapes, &input.take_off.underlay_plans) {
        let names = std::iter::once(roof.faces[plan.face.index()].name()).chain(alike).collect::<Vec<_>>();
        let [rows, pieces] = [plan.rows().len(), plan.pieces.len()].map(|count| count.to_string());
        table.merge(&names.join(", "), vec![rows, pieces, laying::row_edges(plan, format)]);
    }
    if !table.rows.is_empty() {
        document.heading(2, "Underlay, row by row");
        document.table(table);
    }
}

/// Strips of both layers of felt, each with the pieces it is made of and the rolls they come from.
fn felt_strips(input: &SheetInput<'_>, document: &mut Document) {
    let (roof, format) = (&input.answer.roof, input.context.words);
    for (layer, laid) in input.take_off.felt.layers() {
        const ALIGNED: [Align; 5] = [Align::Left, Align::Right, Align::Right, Align::Right, Align::Left];
        let heads: Vec<(&str, Align)> = laying::STRIPS_HEADS.into_iter().zip(ALIGNED).collect();
        let mut table = Table::new(&heads);
        for row in laying::strips(laid, roof, format) {
            table.row(row);
        }
        document.heading(2, format!("{}, strip by strip", sentence(laying::layer(layer)).trim_end_matches('.')));
        document.table(table);
    }
}

/// What the take-off says to mind, and what always holds.
pub(super) fn mind(input: &SheetInput<'_>, document: &mut Document) {
    document.heading(1, "What to mind");
    let (roof, format) = (&input.answer.roof, input.context.words);
    let describe = |finding: &Finding| sentence(&wording::takeoff::with_faces(finding, roof, format));
    let is_new = |found: &&Finding| !found.severity().comes_first() && !found.stands_in_a_step();
    let mut points: Vec<String> = input.take_off.findings.iter().filter(is_new).map(describe).collect();
    points.push("Local codes and the material's own instructions come before this sheet.".to_owned());
    document.list(points);
}

/// The same for a client.
pub(super) fn mind_client(input: &SheetInput<'_>, document: &mut Document) {
    document.heading(1, "What to know");
    let mut points = vec![
        "Areas and lengths are computed from measurements on site; ± holds in 95 of 100 cases.".to_owned(),
        "Load-bearing repairs and sizes of timber are for a structural engineer; local codes come first.".to_owned(),
    ];
    if input.take_off.old_roof.is_some() {
        points.insert(1, "The state of what lies under the old covering shows only when it is off.".to_owned());
    }
    if input.take_off.old_roof.as_ref().is_some_and(|old| old.asbestos_possible) {
        points
            .push("Old covering is tested for asbestos before it is stripped where its age leaves a doubt.".to_owned());
    }
    document.list(points);
}
