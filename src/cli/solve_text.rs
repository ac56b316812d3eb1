//! The answer of `solve` for a person: faces, edges, totals, how sure, notes.

use super::table::{Align, Table};
use crate::base::ids::{EdgeId, FaceId};
use crate::base::quantity::length_for_people;
use crate::drawing::job_sheet::{CuttingTable, cutting_tables};
use crate::drawing::typeset::document;
use crate::drawing::typeset::format::Format;
use crate::job::Job;
use crate::job::answer::Answer;
use crate::roof::Roof;
use crate::roof::analysis::drainage::Outlet;
use crate::wording::{self, About, estimate};
use std::collections::BTreeMap;
use std::fmt::Write;

/// The whole answer.
#[must_use]
pub fn text(job: &Job, answer: &Answer) -> String {
    let format = Format::of(job.units);
    let mut out = String::new();
    let _ = writeln!(out, "{}\n", job.title);
    let about = About::of(job, &answer.roof);
    let first = wording::finding::first(&about, &answer.findings);
    if !first.is_empty() {
        let _ = writeln!(out, "{}\n{}", wording::finding::FIRST, listed(&first));
    }
    if answer.roof.faces.is_empty() {
        out.push_str("no face of the roof is located: this is what the measurements tell\n\n");
        out.push_str(&measured_faces(answer, format));
        out.push_str(&survey(job, answer));
        out.push_str(&notes(&about, answer));
        return explained(out, answer);
    }
    out.push_str(&faces(answer, format));
    out.push('\n');
    out.push_str(&edges(answer, format));
    out.push('\n');
    out.push_str(&drainage(answer, format));
    out.push('\n');
    out.push_str(&totals(answer, format));
    out.push_str(&survey(job, answer));
    out.push_str(&cutting(answer, format));
    out.push_str(&notes(&about, answer));
    explained(out, answer)
}

/// What ± means, where the text has any.
fn explained(mut out: String, answer: &Answer) -> String {
    if out.contains('±') {
        let _ = writeln!(out, "\n{}", estimate::explained(&answer.survey));
    }
    out
}

/// Faces by points as they were measured, before they are brought to meet.
fn measured_faces(answer: &Answer, format: Format) -> String {
    let mut table = Table::new(&[("face", Align::Left), ("true area", Align::Right), ("pitch", Align::Right)]);
    for face in answer.surveyed() {
        table.row([face.name.to_owned(), estimate::area(&face.area, format), estimate::angle(&face.pitch)]);
    }
    table.render()
}

/// Cutting data: the tables of the sheet.
fn cutting(answer: &Answer, format: Format) -> String {
    let mut out = String::new();
    for CuttingTable { heading, table: of, remark } in cutting_tables(&answer.roof, &answer.framing, format) {
        let _ = write!(out, "\n{}\n", heading.to_lowercase());
        let heads: Vec<(&str, Align)> = of.heads.iter().map(|(head, align)| (head.as_str(), aligned(*align))).collect();
        let mut table = Table::new(&heads);
        for row in of.rows {
            // Names that share a row stand beneath one another.
            let (names, cells) = row.split_first().map_or(("", &row[..]), |(names, cells)| (names.as_str(), cells));
            let mut names = names.split(", ").map(str::to_owned);
            table.row(names.next().into_iter().chain(cells.iter().cloned()));
            names.for_each(|name| table.row([name]));
        }
        out.push_str(&table.render());
        if !remark.is_empty() {
            let _ = writeln!(out, "  {remark}");
        }
    }
    out
}

fn aligned(align: document::Align) -> Align {
    match align {
        document::Align::Left => Align::Left,
        document::Align::Right => Align::Right,
    }
}

fn faces(answer: &Answer, format: Format) -> String {
    let mut table = Table::new(&[
        ("face", Align::Left),
        ("true area", Align::Right),
        ("plan area", Align::Right),
        ("pitch", Align::Right),
        ("openings", Align::Right),
    ]);
    for (id, face) in answer.roof.roof_faces() {
        let of = answer.of_face(id);
        table.row([
            face.name(),
            estimate::area(&of.area, format),
            estimate::area(&of.plan_area, format),
            estimate::angle(&of.pitch),
            estimate::unless_nothing(&of.openings_area, |area| estimate::area(area, format)),
        ]);
    }
    table.render()
}

fn edges(answer: &Answer, format: Format) -> String {
    let roof = &answer.roof;
    let mut table = Table::new(&[
        ("edge", Align::Left),
        ("length", Align::Right),
        ("in plan", Align::Right),
        ("slope", Align::Right),
        ("between faces", Align::Right),
        ("of", Align::Left),
    ]);
    for (kind, edges) in roof.edges_by_kind() {
        for id in edges {
            let of = answer.of_edge(id);
            table.row([
                kind.word().to_owned(),
                estimate::length(&of.length, format),
                estimate::length(&of.plan_length, format),
                estimate::angle(&of.slope),
                of.dihedral.as_ref().map_or_else(String::new, estimate::angle),
                names(roof, &roof.edges[id.index()].faces),
            ]);
        }
    }
    table.render()
}

fn names(roof: &Roof, faces: &[FaceId]) -> String {
    let names: Vec<String> = faces.iter().map(|face| roof.faces[face.index()].name()).collect();
    names.join(", ")
}

/// What each eave and valley carries, and where valleys' water goes.
fn drainage(answer: &Answer, format: Format) -> String {
    let roof = &answer.roof;
    let mut table = Table::new(&[
        ("water runs to", Align::Left),
        ("of", Align::Left),
        ("catchment in plan", Align::Right),
        ("and leaves over", Align::Left),
    ]);
    let mut rows: BTreeMap<Outlet, Vec<Outlet>> = BTreeMap::new();
    for catchment in &answer.drainage.catchments {
        let ends = catchment.ends.iter().map(|(end, _)| *end);
        rows.entry(catchment.outlet).or_insert_with(|| ends.collect());
    }
    for edge in (0..roof.edges.len()).map(EdgeId::new) {
        // An eave that only a valley fills has no catchment of its own, but carries water.
        if answer.of_edge(edge).carries.value() != Some(0.0) {
            rows.entry(Outlet::Edge(edge)).or_default();
        }
    }
    let mut rows: Vec<(Outlet, Vec<Outlet>)> = rows.into_iter().collect();
    rows.sort_by_key(|(outlet, _)| outlet.edge().map(|edge| roof.edges[edge.index()].kind));
    let beside = |outlet: Outlet| match outlet {
        Outlet::Level(face) => roof.faces[face.index()].name(),
        Outlet::Edge(edge) | Outlet::Pond(edge) => names(roof, &roof.edges[edge.index()].faces),
    };
    for (outlet, ends) in rows {
        let carried = outlet.edge().map(|edge| answer.of_edge(edge).carries);
        let onward = ends.iter().filter(|end| **end != outlet);
        let onward: Vec<String> = onward.map(|end| format!("{} of {}", end.word(roof), beside(*end))).collect();
        table.row([
            outlet.word(roof).to_owned(),
            beside(outlet),
            carried
                .map_or_else(String::new, |area| estimate::unless_nothing(&area, |area| estimate::area(area, format))),
            onward.join(" and "),
        ]);
    }
    table.render()
}

fn totals(answer: &Answer, format: Format) -> String {
    let totals = answer.totals();
    let mut table = Table::new(&[("total", Align::Left), ("", Align::Right)]);
    let mut row = |what: &str, told: String| table.row([what.to_owned(), told]);
    row("roof area", estimate::or_why(&totals.area, |area| estimate::area(area, format)));
    row("plan area", estimate::or_why(&totals.plan_area, |area| estimate::area(area, format)));
    if totals.openings > 0 {
        row("less openings", estimate::or_why(&totals.net_area, |area| estimate::area(area, format)));
    }
    if totals.walls_area.value() != Some(0.0) {
        row("walls above the outline", estimate::or_why(&totals.walls_area, |area| estimate::area(area, format)));
    }
    row("highest point above datum", estimate::or_why(&totals.ridge_height, |height| estimate::length(height, format)));
    if !estimate::is_absent(&totals.volume) {
        row("volume from datum to roof", estimate::or_why(&totals.volume, |volume| estimate::volume(volume, format)));
    }
    for of in &totals.by_kind {
        let plural = if of.count == 1 { String::new() } else { format!(" ({})", of.count) };
        row(
            &format!("{}{plural}", of.kind.word()),
            estimate::or_why(&of.length, |length| estimate::length(length, format)),
        );
    }
    table.render()
}

fn survey(job: &Job, answer: &Answer) -> String {
    let (report, names, format) = (&answer.survey, wording::survey::Names::of(job), Format::of(job.units));
    let mut out = String::new();
    for (block, gap) in &report.misclosures {
        let _ = write!(out, "\n{}\n", wording::survey::misclosure(block, *gap, format));
    }
    if let Some(agreement) = wording::survey::agreement(report) {
        let _ = writeln!(out, "{agreement}");
    }
    if let Some(next) = report.best_next.first() {
        let _ = writeln!(out, "{}", wording::survey::best_next(&names, report, next, format));
    }
    out
}

/// What need not stand first: notes, one paragraph each.
fn notes(about: &About<'_>, answer: &Answer) -> String {
    let notes = wording::finding::later(about, &answer.findings);
    if notes.is_empty() { String::new() } else { format!("\nnotes\n{}", listed(&notes)) }
}

pub(super) fn listed(sentences: &[String]) -> String {
    sentences.iter().map(|sentence| format!("  {sentence}\n")).collect()
}

/// The events of the sweep, lowest first.
#[must_use]
pub fn steps(job: &Job, answer: &Answer) -> String {
    let mut table = Table::new(&[
        ("height", Align::Right),
        ("event", Align::Left),
        ("x", Align::Right),
        ("y", Align::Right),
        ("sides", Align::Left),
    ]);
    for event in &answer.roof.events {
        table.row([
            length_for_people(event.height, job.units),
            event.kind.to_owned(),
            length_for_people(event.at.x, job.units),
            length_for_people(event.at.y, job.units),
            event.sides.iter().map(|side| side.side.as_str()).collect::<Vec<_>>().join(", "),
        ]);
    }
    format!("\nas the eaves' planes rise\n{}", table.render())
}
