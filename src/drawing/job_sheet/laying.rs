//! How to lay it, with the numbers of this roof; what to mind, where the danger is.

use super::alike::{Noise, Rows, Value};
use super::details::details;
use super::set_out::set_out;
use super::what::sentence;
use super::{SheetInput, cutting, shapes, views};
use crate::base::finding::Finding as _;
use crate::drawing::typeset::document;
use crate::drawing::typeset::document::{Align, Block, Document, Table};
use crate::drawing::views::{face, rows};
use crate::roof::Roof;
use crate::takeoff::Finding;
use crate::takeoff::caps::CapRun;
use crate::takeoff::work::Task;
use crate::wording::roof::edge_word;
use crate::wording::{self, laying};

pub(super) fn laying(input: &SheetInput<'_>, document: &mut Document) {
    let is_framed = !input.answer.framing.pieces.is_empty();
    if input.take_off.work.is_empty() {
        document.heading(1, "The faces");
    } else {
        document.heading(1, "For the coverer: how to lay it");
    }
    if is_framed {
        views::plan(input, cutting::PLAN, document);
    }
    shapes::shapes(input, document);
    if input.take_off.work.is_empty() {
        return;
    }
    let mut tables = Document::default();
    set_out(input, &mut tables);
    felt_strips(input, &mut tables);
    chalk_lines(input, &mut tables);
    caps(input, &mut tables);
    document.on_site(tables);
    document.heading(2, "Step by step");
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
    details(input, document);
}

/// Lower edges of underlay and covering up the slope, to snap lines by.
fn chalk_lines(input: &SheetInput<'_>, document: &mut Document) {
    let (roof, format) = (&input.answer.roof, input.context.words);
    let heads = laying::course_heads(&input.take_off.layouts);
    let mut underlay = Table::new(&[("", Align::Left); 4]);
    let shapes = face::groups(roof, &input.answer.openings);
    for (plan, alike) in rows::groups(roof, &shapes, &input.take_off.underlay_plans) {
        let names = std::iter::once(roof.faces[plan.face.index()].name()).chain(alike).collect::<Vec<_>>();
        let cells = [plan.rows().len().to_string(), String::new(), laying::row_edges(plan, format)];
        underlay.merge(&names.join(", "), cells.to_vec());
    }
    let mut covering = Table::new(&[("", Align::Left); 4]);
    // One row of sheets stands past the eave as its step says.
    if input.take_off.layouts.iter().any(|layout| layout.courses.len() > 1) {
        // Those with the same lines share a row; from which hand each is laid stands in its step.
        for layout in &input.take_off.layouts {
            let cells = [
                layout.courses.len().to_string(),
                wording::work::to_tenth(layout.gauge, format),
                laying::butt_lines(layout, format),
            ];
            covering.merge(&roof.faces[layout.face.index()].name(), cells.to_vec());
        }
    }
    let mut table = Table::new(&[
        ("lines of", Align::Left),
        ("rows", Align::Right),
        (heads.gauge, Align::Right),
        ("lower edges up the slope from the deck's edge", Align::Left),
    ]);
    for (what, mut of) in [("underlay", underlay), (heads.courses, covering)] {
        every_face(roof, &mut of);
        for mut row in of.rows {
            row[0] = format!("{what}, {}", row[0]);
            table.row(row);
        }
    }
    if !table.rows.is_empty() {
        document.heading(2, "Chalk lines");
        document.table(table);
    }
}

/// One row that stands for all faces says so in two words.
fn every_face(roof: &Roof, table: &mut Table) {
    let all = roof.roof_faces().count();
    if let [row] = &mut table.rows[..]
        && all > 1
        && roof.roof_faces().all(|(_, face)| row[0].split(", ").any(|name| name == face.name()))
    {
        "every face".clone_into(&mut row[0]);
    }
}

/// Lines of caps, those in one row that differ by no more than the measurements leave open.
fn caps(input: &SheetInput<'_>, document: &mut Document) {
    let (runs, north, format) = (&input.take_off.caps, input.context.north, input.context.words);
    let noise = Noise::of(input.answer);
    let mut kinds: Vec<(&CapRun, Rows<()>)> = Vec::new();
    for run in runs {
        let alike = |(other, _): &&mut (&CapRun, Rows<()>)| {
            (other.kind, other.caps, other.why) == (run.kind, run.caps, run.why)
                && laying::caps_start(other.start(north)) == laying::caps_start(run.start(north))
        };
        let values = vec![Value::length(run.length)];
        match kinds.iter_mut().find(alike) {
            Some((_, rows)) => rows.add((), values, noise, format),
            None => {
                let mut rows = Rows::new();
                rows.add((), values, noise, format);
                kinds.push((run, rows));
            }
        }
    }
    let mut table = Table::new(&[
        ("line", Align::Left),
        ("length", Align::Right),
        ("caps each", Align::Right),
        ("the first one", Align::Left),
    ]);
    for (run, rows) in &kinds {
        let word = edge_word(run.kind);
        let call = |all: &[()]| if all.len() == 1 { word.to_owned() } else { format!("{} {word}s", all.len()) };
        for row in rows.table(&[("line", Align::Left), ("length", Align::Right)], format, call).rows {
            let more = [run.caps.to_string(), laying::caps_start(run.start(north))];
            table.row(row.into_iter().chain(more));
        }
    }
    if !table.rows.is_empty() {
        document.heading(2, "Caps");
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
    document.heading(2, "What to mind");
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
