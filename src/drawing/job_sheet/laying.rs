//! How to lay it, with the numbers of this roof; what to mind, where the danger is.

use super::SheetInput;
use super::what::sentence;
use crate::base::finding::Finding as _;
use crate::drawing::edge_word;
use crate::drawing::typeset::document;
use crate::drawing::typeset::document::{Align, Block, Document, Table};
use crate::drawing::typeset::format;
use crate::drawing::views::{face, rows};
use crate::takeoff::Finding;
use crate::takeoff::layout::FaceLayout;
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
    underlay_rows(input, document);
    felt_strips(input, document);
    chalk_lines(input, document);
    caps(input, document);
}

/// Heights of the butt lines up the slope, to snap lines by.
fn chalk_lines(input: &SheetInput<'_>, document: &mut Document) {
    let (roof, format) = (&input.answer.roof, input.context.words);
    let mut table = Table::new(&[
        ("face", Align::Left),
        ("courses", Align::Right),
        ("gauge", Align::Right),
        ("butt lines up the slope from the deck's edge", Align::Left),
    ]);
    // Those with the same lines share a row; from which hand each is laid stands in its step.
    for layout in &input.take_off.layouts {
        let cells =
            [layout.courses.len().to_string(), wording::work::to_tenth(layout.gauge, format), lines_of(layout, format)];
        table.merge(&roof.faces[layout.face.index()].name, cells.to_vec());
    }
    if !table.rows.is_empty() {
        document.heading(2, "Chalk lines");
        document.table(table);
    }
}

/// Some of a face's butt lines: the second, every fifth, the last.
fn lines_of(layout: &FaceLayout, format: format::Format) -> String {
    let last = layout.courses.len();
    let told = layout.courses.iter().enumerate().filter(|(index, _)| {
        let number = index + 1;
        number == 2 || number % 5 == 0 || number == last
    });
    let said: Vec<String> = told
        .map(|(index, course)| format!("{}: {}", index + 1, format.fine(course.butt_v).trim_end_matches(" mm")))
        .collect();
    format!("{}{}", said.join(", "), if format.imperial { "" } else { " mm" })
}

fn caps(input: &SheetInput<'_>, document: &mut Document) {
    let runs = &input.take_off.caps;
    if runs.is_empty() {
        return;
    }
    document.heading(2, "Caps");
    let mut alike: Vec<([String; 5], usize)> = Vec::new();
    for run in runs {
        let start = laying::caps_start(run.start(input.context.north));
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
    let (roof, format) = (&input.answer.roof, input.context.words);
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
            plan.rows().iter().map(|v| format.fine(v.max(0.0)).trim_end_matches(" mm").to_owned()).collect();
        let unit = if format.imperial { "" } else { " mm" };
        let counts = [heights.len().to_string(), plan.pieces.len().to_string()];
        let [rows, pieces] = counts;
        table.merge(&names.join(", "), vec![rows, pieces, format!("{}{unit}", heights.join(", "))]);
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
        let mut table = Table::new(&[
            ("face", Align::Left),
            ("strip", Align::Right),
            ("begins at", Align::Right),
            ("width", Align::Right),
            ("pieces, in order along it", Align::Left),
        ]);
        for plan in &laid.plans {
            for (row, at) in plan.rows().into_iter().enumerate() {
                table.row([
                    roof.faces[plan.face.index()].name.clone(),
                    (row + 1).to_string(),
                    format.fine(at),
                    format.fine(laying::strip_width(plan, row)),
                    laying::strip(plan, row, format),
                ]);
            }
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
        "The state of what lies under the old covering shows only when it is off.".to_owned(),
        "Load-bearing repairs and sizes of timber are for a structural engineer; local codes come first.".to_owned(),
    ];
    if input.take_off.old_roof.is_some() {
        points
            .push("Old covering is tested for asbestos before it is stripped where its age leaves a doubt.".to_owned());
    }
    document.list(points);
}
