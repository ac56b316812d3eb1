//! Faces built by clicking their points in order round them, in a photo.

use super::frame::Frame;
use super::kept::Photos;
use crate::base::file_tree::{Edit, FileTable};
use crate::survey::foreseen::Seen;
use crate::viewer::app::state::AppState;
use crate::viewer::render::theme::{Palette, colour};
use crate::wording::marking as words;
use eframe::egui::{Painter, Pos2, Shape, Stroke};

/// The fewest points of a face.
const FEWEST: usize = 3;

/// A point of the face that is built was clicked: it joins, or where it is the first again the face is closed.
pub fn take(app: &mut AppState, name: &str) {
    let Some(points) = &mut app.views.photos.building else { return };
    if points.first().is_some_and(|first| first == name) && points.len() >= FEWEST {
        return close(app);
    }
    // Clicked again it leaves.
    match points.iter().position(|point| point == name) {
        Some(at) => drop(points.remove(at)),
        None => points.push(name.to_owned()),
    }
}

/// Writes the face that is built, and begins the next.
pub fn close(app: &mut AppState) {
    let Some(points) = app.views.photos.building.take_if(|points| points.len() >= FEWEST) else { return };
    let file = app.written.clone().unwrap_or_default();
    let name = free_name(&file);
    let list: Vec<String> = points.iter().map(|point| format!("\"{}\"", point.replace('"', "\\\""))).collect();
    let entry = format!("name = \"{name}\"\npoints = [{}]\n", list.join(", "));
    app.edit(&[Edit::Add { list: vec!["face".into()], entry }], "build a face");
    app.views.photos.building = Some(Vec::new());
    app.said = (words::built(&name, points.len()), false);
}

fn free_name(file: &FileTable) -> String {
    let taken = |name: &String| file.list("face").iter().any(|face| face.field("name").text == *name);
    // One more name than there are faces: one of them is free.
    let mut names = (1..=file.list("face").len() + 1).map(|number| format!("face{number}"));
    names.find(|name| !taken(name)).unwrap_or_default()
}

/// The last point leaves.
pub fn back(photos: &mut Photos) {
    if let Some(points) = &mut photos.building {
        points.pop();
    }
}

/// Where a point appears in a photo: where it is marked, else where it must be.
#[must_use]
pub fn at(name: &str, marks: &[(String, [f64; 2])], expected: &[(&str, &Seen)]) -> Option<[f64; 2]> {
    let mark = marks.iter().find(|(of, _)| of == name).map(|(_, at)| *at);
    mark.or_else(|| {
        expected.iter().find_map(|(of, seen)| match seen {
            Seen::Place { at, .. } if *of == name => Some([at.x, at.y]),
            _ => None,
        })
    })
}

/// Draws the face that is built as far as the photo shows its points.
pub fn show(
    painter: &Painter,
    frame: &Frame,
    points: &[String],
    (marks, expected): (&[(String, [f64; 2])], &[(&str, &Seen)]),
    palette: &Palette,
) {
    let places: Vec<Pos2> = points.iter().filter_map(|name| at(name, marks, expected)).map(|at| frame.at(at)).collect();
    if places.len() >= FEWEST {
        painter.add(Shape::convex_polygon(places.clone(), colour(palette.ghost).gamma_multiply(0.25), Stroke::NONE));
    }
    painter.add(Shape::line(places.clone(), Stroke::new(4.6, colour(palette.paper).gamma_multiply(0.75))));
    painter.add(Shape::line(places.clone(), Stroke::new(2.4, colour(palette.ghost))));
    for at in places {
        painter.circle(at, 5.0, colour(palette.ghost), Stroke::new(1.5, colour(palette.paper)));
    }
}
