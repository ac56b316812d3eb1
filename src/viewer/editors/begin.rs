//! What a row that is added begins with: something that can be solved as it stands, at a place that is free.

use crate::base::file_tree::{Edit, FileTable, Step};
use crate::base::ids::FaceId;
use crate::base::polygon;
use crate::roof::analysis::opening::{Opening, OpeningShape};
use crate::roof::model::frame::FaceFrame;
use crate::roof::{Face, Roof};
use crate::viewer::app::state::AppState;
use crate::viewer::backend::Source;
use crate::viewer::editors::rows;
use nalgebra::Point2;

/// Where along a face and how far up it a thing may begin to stand, shares of what the face has: the first that can be
/// solved is taken.
const PLACES: [[f64; 2]; 9] =
    [[0.5, 0.3], [0.5, 0.5], [0.3, 0.3], [0.7, 0.3], [0.5, 0.15], [0.3, 0.15], [0.7, 0.15], [0.2, 0.1], [0.8, 0.1]];

/// So many faces at most are tried, the largest.
const FACES: usize = 6;

/// How much smaller than usual a thing may begin.
const SIZES: [f64; 3] = [1.0, 0.6, 0.35];

/// Free ground between a block that is added and what stands there, metres.
const APART: f64 = 1.0;

/// Adds an entry to a list: the first of some that brings no error with it; the plain one where all do or none is known.
pub fn add(app: &mut AppState, way: &[Step]) {
    let list = match way {
        [Step::Key(list)] => list.as_str(),
        _ => "",
    };
    let before = app.errors().count();
    let entries = match list {
        "opening" | "dormer" => on_a_face(app, list == "dormer"),
        _ => Vec::new(),
    };
    let place = format!("add {way:?}");
    for entry in entries.into_iter().chain([String::new()]) {
        let edit = Edit::Add { list: way.to_vec(), entry };
        let Ok(text) = app.backend.edit(&app.text, &edit) else { continue };
        let is_plain = matches!(&edit, Edit::Add { entry, .. } if entry.is_empty());
        let source = Source { text: &text, path: app.path.as_deref() };
        if is_plain || before > 0 || app.backend.answer(source, false).is_ok() {
            app.change(text, &place);
            return;
        }
    }
}

/// Openings or dormers to begin with: in the chosen face first, then in the largest, where they lie within the face and off
/// the openings there are.
fn on_a_face(app: &AppState, is_dormer: bool) -> Vec<String> {
    let Some(shown) = &app.shown else { return Vec::new() };
    let roof = &shown.answered.answer.roof;
    let count = app.written.as_ref().map_or(0, |file| file.list("dormer").len());
    let mut faces: Vec<(FaceId, &Face)> = roof.roof_faces().collect();
    let is_chosen = |id: FaceId| app.look.chosen == Some(id);
    let area = |face: &Face| roof.area(face).0;
    faces.sort_by(|a, b| is_chosen(b.0).cmp(&is_chosen(a.0)).then(area(b.1).total_cmp(&area(a.1))));
    let mut found = Vec::new();
    for size in SIZES {
        for (_, face) in faces.iter().take(FACES) {
            let Some(frame) = FaceFrame::of(roof, face) else { continue };
            let ring: Vec<Point2<f64>> = roof.ring(face).iter().map(|corner| frame.to_face(corner)).collect();
            let wide = ring.iter().map(|place| place.x).fold(0.0, f64::max);
            let high = ring.iter().map(|place| place.y).fold(0.0, f64::max);
            let level = frame.up.xy().norm();
            for [along, up] in PLACES {
                let wants = if is_dormer { [1.6 * size, 0.9 * size] } else { [0.78 * size, 1.18 * size] };
                let at = [(along * wide - wants[0] / 2.0).max(0.1), up * high];
                if !is_free(&shown.answered.job.openings, &face.name(), &ring, at, wants) {
                    continue;
                }
                found.push(if is_dormer {
                    format!(
                        "name = \"d{}\"\nface = \"{}\"\nkind = \"gable\"\nat = [\"{:.2} m\", \"{:.2} m\"]\nwidth = \"{:.2} m\"\n\
                         front_height = \"{:.2} m\"\npitch = 35\n",
                        count + 1,
                        face.name(),
                        at[0],
                        at[1] * level,
                        wants[0],
                        wants[1],
                    )
                } else {
                    format!(
                        "kind = \"roof window\"\nface = \"{}\"\nat = [\"{:.2} m\", \"{:.2} m\"]\nsize = [\"{:.2} m\", \"{:.2} m\"]\n",
                        face.name(), at[0], at[1], wants[0], wants[1],
                    )
                });
            }
        }
    }
    found
}

/// Whether a rectangle of a face lies within the face's ring and off the openings in it.
fn is_free(openings: &[Opening], name: &str, ring: &[Point2<f64>], at: [f64; 2], size: [f64; 2]) -> bool {
    let corners = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
    let corner = |[x, y]: [f64; 2]| Point2::new(at[0] + x * size[0], at[1] + y * size[1]);
    let is_in = corners.into_iter().all(|share| polygon::contains(ring, &corner(share)));
    let is_off = openings.iter().all(|opening| match &opening.shape {
        OpeningShape::InFace { face, at: other, size: its } if face == name => {
            (0..2).any(|axis| at[axis] + size[axis] <= other[axis] || other[axis] + its[axis] <= at[axis])
        }
        _ => true,
    });
    is_in && is_off
}

/// The sides of a block to begin with: their lengths and pitches.
const SIDES: [(&str, f64); 4] = [("4 m", 35.0), ("3 m", 35.0), ("4 m", 35.0), ("3 m", 35.0)];

/// A block beside what stands there, its corners called as none is yet.
#[must_use]
pub fn block(app: &AppState, file: &FileTable) -> String {
    let blocks = rows::blocks(file);
    let taken = |name: &str| blocks.iter().any(|block| block.name == name);
    // One more name than there are blocks: one of them is free.
    let mut names = (1..=blocks.len() + 1).map(|number| format!("block{number}"));
    let name = names.find(|name| !taken(name)).unwrap_or_default();
    let corners: Vec<String> = rows::free_corners(&blocks, file).take(SIDES.len()).collect();
    let sides: String = corners
        .iter()
        .zip(SIDES)
        .map(|(from, (length, pitch))| {
            format!("  {{ from = \"{from}\", length = \"{length}\", turn = \"L\", pitch = {pitch} }},\n")
        })
        .collect();
    let start = app.shown.as_ref().and_then(|shown| beside(&shown.answered.answer.roof));
    let start = start.map_or_else(String::new, |[x, y]| format!("start = [\"{x:.2} m\", \"{y:.2} m\"]\n"));
    format!("name = \"{name}\"\nheight = \"2.40 m\"\n{start}sides = [\n{sides}]\n")
}

/// The first corner of a block that stands clear of a roof: to its right, in line with its front.
fn beside(roof: &Roof) -> Option<[f64; 2]> {
    let right = roof.corners.iter().map(|corner| corner.x).max_by(f64::total_cmp)?;
    let front = roof.corners.iter().map(|corner| corner.y).min_by(f64::total_cmp)?;
    Some([right + APART, front])
}
