//! The answer of `solve` for a person: faces, edges, totals, how sure, notes.

use super::table::{Align, Table};
use crate::base::diagnostic::Note;
use crate::base::ids::{EdgeId, FaceId};
use crate::base::quantity::{area_for_people, degrees_for_people, length_for_people};
use crate::base::units::LengthUnit;
use crate::drawing::document;
use crate::drawing::sheet::{CuttingTable, cutting_tables};
use crate::drawing::words::Words;
use crate::job::Job;
use crate::job::answer::Answer;
use crate::roof::drainage::Outlet;
use crate::roof::{EdgeKind, FaceKind, Roof};
use crate::survey::report::{Report, Suspect};
use std::collections::BTreeMap;
use std::fmt::Write;

/// The whole answer.
#[must_use]
pub fn text(job: &Job, answer: &Answer) -> String {
    let units = job.units;
    let mut out = String::new();
    let _ = writeln!(out, "{}\n", job.title);
    if answer.roof.faces.is_empty() {
        out.push_str("no face of the roof is located: this is what the measurements tell\n\n");
        out.push_str(&measured_faces(&answer.survey, units));
        out.push_str(&survey(&answer.survey, units));
        out.push_str(&notes(&answer.notes, Words::of(job.units)));
        return out;
    }
    out.push_str(&faces(answer, units));
    out.push('\n');
    out.push_str(&edges(answer, units));
    out.push('\n');
    out.push_str(&drainage(answer, units));
    out.push('\n');
    out.push_str(&totals(answer, units));
    out.push_str(&survey(&answer.survey, units));
    out.push_str(&cutting(answer, units));
    out.push_str(&notes(&answer.notes, Words::of(job.units)));
    out
}

/// Faces by points as they were measured, before they are brought to meet.
fn measured_faces(report: &Report, units: LengthUnit) -> String {
    let mut table = Table::new(&[("face", Align::Left), ("true area", Align::Right), ("pitch", Align::Right)]);
    for face in &report.faces {
        let sd = face.pitch_sd.map(degrees_for_people);
        table.row([
            face.name.clone(),
            face.area.map_or_else(String::new, |area| {
                with_sd(area_for_people(area, units), face.area_sd.map(|sd| area_sd(sd, units)))
            }),
            face.pitch.map_or_else(String::new, |pitch| with_sd(degrees_for_people(pitch), sd)),
        ]);
    }
    table.render()
}

/// Cutting data: the tables of the sheet.
fn cutting(answer: &Answer, units: LengthUnit) -> String {
    let mut out = String::new();
    for CuttingTable { heading, table: of, remark } in cutting_tables(&answer.roof, &answer.framing, Words::of(units)) {
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

/// A value with its standard deviation, where one is known.
fn with_sd(value: String, sd: Option<String>) -> String {
    match sd {
        Some(sd) => format!("{value} ± {sd}"),
        None => value,
    }
}

/// A standard deviation's number alone, in the unit its value is given in.
fn area_sd(sd: f64, units: LengthUnit) -> String {
    let text = area_for_people(sd, units);
    text.split(' ').next().unwrap_or_default().to_owned()
}

fn faces(answer: &Answer, units: LengthUnit) -> String {
    let roof = &answer.roof;
    let mut table = Table::new(&[
        ("face", Align::Left),
        ("true area", Align::Right),
        ("plan area", Align::Right),
        ("pitch", Align::Right),
        ("openings", Align::Right),
    ]);
    for (id, face) in roof.roof_faces() {
        let sd = answer.spread.area_of(id).map(|sd| area_sd(sd, units));
        let opened: f64 = answer.openings.iter().filter(|opening| opening.face == id).map(|opening| opening.area).sum();
        table.row([
            face.name.clone(),
            with_sd(area_for_people(roof.area(face).0, units), sd),
            area_for_people(roof.plan_area(face).0, units),
            degrees_for_people(face.plane.pitch()),
            if opened > 0.0 { area_for_people(opened, units) } else { String::new() },
        ]);
    }
    table.render()
}

fn edges(answer: &Answer, units: LengthUnit) -> String {
    let roof = &answer.roof;
    let mut table = Table::new(&[
        ("edge", Align::Left),
        ("length", Align::Right),
        ("in plan", Align::Right),
        ("slope", Align::Right),
        ("between faces", Align::Right),
        ("of", Align::Left),
    ]);
    let mut order: Vec<usize> = (0..roof.edges.len()).filter(|&i| !roof.edges[i].kind.is_wall_only()).collect();
    order.sort_by_key(|&index| roof.edges[index].kind);
    for index in order {
        let edge = &roof.edges[index];
        let sd = answer.spread.length_of(EdgeId::new(index)).map(|sd| length_sd(sd, units));
        table.row([
            edge.kind.word().to_owned(),
            with_sd(length_for_people(roof.length(edge).0, units), sd),
            length_for_people(roof.plan_length(edge).0, units),
            degrees_for_people(roof.slope(edge)),
            edge.dihedral.map_or_else(String::new, degrees_for_people),
            names(roof, &edge.faces),
        ]);
    }
    table.render()
}

fn length_sd(sd: f64, units: LengthUnit) -> String {
    if units.is_imperial() { format!("{:.2} in", sd / 0.0254) } else { format!("{:.0} mm", sd * 1000.0) }
}

fn names(roof: &Roof, faces: &[FaceId]) -> String {
    let names: Vec<&str> = faces.iter().map(|face| roof.faces[face.index()].name.as_str()).collect();
    names.join(", ")
}

/// What each eave and valley carries, and where valleys' water goes.
fn drainage(answer: &Answer, units: LengthUnit) -> String {
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
        if answer.drainage.carried_by(edge).0 > 0.0 {
            rows.entry(Outlet::Edge(edge)).or_default();
        }
    }
    let mut rows: Vec<(Outlet, Vec<Outlet>)> = rows.into_iter().collect();
    rows.sort_by_key(|(outlet, _)| outlet.edge().map(|edge| roof.edges[edge.index()].kind));
    let beside = |outlet: Outlet| match outlet {
        Outlet::Level(face) => roof.faces[face.index()].name.clone(),
        Outlet::Edge(edge) | Outlet::Pond(edge) => names(roof, &roof.edges[edge.index()].faces),
    };
    for (outlet, ends) in rows {
        let carried = outlet.edge().map_or(0.0, |edge| answer.drainage.carried_by(edge).0);
        let onward = ends.iter().filter(|end| **end != outlet);
        let onward: Vec<String> = onward.map(|end| format!("{} of {}", end.word(roof), beside(*end))).collect();
        table.row([
            outlet.word(roof).to_owned(),
            beside(outlet),
            if carried > 0.0 { area_for_people(carried, units) } else { String::new() },
            onward.join(" and "),
        ]);
    }
    table.render()
}

fn totals(answer: &Answer, units: LengthUnit) -> String {
    let roof = &answer.roof;
    let mut sums: BTreeMap<EdgeKind, (usize, f64)> = BTreeMap::new();
    for edge in roof.edges.iter().filter(|edge| !edge.kind.is_wall_only()) {
        let sum = sums.entry(edge.kind).or_default();
        *sum = (sum.0 + 1, sum.1 + roof.length(edge).0);
    }
    let mut table = Table::new(&[("total", Align::Left), ("", Align::Right)]);
    let area: f64 = roof.roof_faces().map(|(_, face)| roof.area(face).0).sum();
    let plan: f64 = roof.roof_faces().map(|(_, face)| roof.plan_area(face).0).sum();
    let sd = answer.spread.total_area.map(|sd| area_sd(sd, units));
    table.row(["roof area".to_owned(), with_sd(area_for_people(area, units), sd)]);
    table.row(["plan area".to_owned(), area_for_people(plan, units)]);
    let walls: f64 = roof.faces.iter().filter(|face| face.kind == FaceKind::Wall).map(|face| roof.area(face).0).sum();
    if walls > 0.0 {
        table.row(["walls above the outline".to_owned(), area_for_people(walls, units)]);
    }
    if let Some(height) = roof.ridge_height() {
        table.row(["highest point above datum".to_owned(), length_for_people(height, units)]);
    }
    if let Some(volume) = roof.volume {
        let volume = if units.is_imperial() {
            format!("{:.0} ft³", volume / 0.3048_f64.powi(3))
        } else {
            format!("{volume:.2} m³")
        };
        table.row(["volume from datum to roof".to_owned(), volume]);
    }
    for (kind, (count, length)) in sums {
        let plural = if count == 1 { String::new() } else { format!(" ({count})") };
        table.row([format!("{}{plural}", kind.word()), length_for_people(length, units)]);
    }
    table.render()
}

fn survey(report: &Report, units: LengthUnit) -> String {
    let mut out = String::new();
    let gap = |gap: f64| {
        if units.is_imperial() { format!("{:.2} in", gap / 0.0254) } else { format!("{:.0} mm", gap * 1000.0) }
    };
    for (block, misclosure) in &report.misclosures {
        let _ = write!(out, "\nthe walk round {block} misses its start by {}, shared out\n", gap(*misclosure));
    }
    if let (Some(chi2), Some([low, high]), true) = (report.chi2, report.chi2_bounds, report.dof > 0) {
        let verdict = if chi2 > high {
            "the measurements disagree more than they should, so every ± is too small until that is settled"
        } else {
            "the measurements agree as they should"
        };
        let _ = writeln!(
            out,
            "{verdict}: chi-square {chi2:.1}, expected {low:.1} to {high:.1} for {} surplus measurements",
            report.dof
        );
    }
    if report.suspects.len() > 1 {
        out.push_str("one of the following may be wrong, the first most likely\n");
    }
    for suspect in &report.suspects {
        let _ = writeln!(out, "{}", doubt(suspect, units));
    }
    for next in report.best_next.iter().take(1) {
        let _ = writeln!(
            out,
            "measure {} next: it would bring the roof area to ± {}",
            next.observation,
            area_for_people(next.area_sd_after, units)
        );
    }
    for reason in &report.undetermined {
        let _ = writeln!(out, "not determined: {reason}");
    }
    out
}

/// What is wrong with a measurement, as far as the others tell.
fn doubt(suspect: &Suspect, units: LengthUnit) -> String {
    let (error, name) = (suspect.error(), &suspect.observation);
    let size = match suspect.unit {
        "m" => length_for_people(error.abs(), units),
        "degrees" => format!("{:.1}°", error.abs()),
        "px" => format!("{:.0} px", error.abs()),
        _ => format!("{:.3}", error.abs()),
    };
    let way = if name.starts_with("tape") || name.starts_with("length") {
        if error > 0.0 { "too long" } else { "too short" }
    } else if suspect.unit == "degrees" {
        if error > 0.0 { "too much" } else { "too little" }
    } else {
        "off"
    };
    let w = suspect.w.abs();
    let advice = match name.split(' ').next() {
        Some("tape" | "length" | "turn" | "pitch") => "measure it again",
        Some("mark") => "look at the mark again",
        _ => "look at it on site again",
    };
    format!("doubt {name}: by the others it is about {size} {way} (w {w:.1}; 3.3 is the limit); {advice}")
}

/// Notes, one paragraph each.
#[must_use]
pub fn notes(notes: &[Note], say: Words) -> String {
    let mut out = String::new();
    if !notes.is_empty() {
        out.push_str("\nnotes\n");
    }
    for note in notes {
        let _ = writeln!(out, "  {}", say.retold(&note.message));
    }
    out
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
            event.sides.join(", "),
        ]);
    }
    format!("\nas the eaves' planes rise\n{}", table.render())
}
