//! Rainwater: what each eave drains, gutters and pipes.
//!
//! EN 12056-3, effective area A = L (B + H / 2) for length L, plan depth B and height H of the slope above: the plan area
//! and half of what the slope shows to driven rain. Here for faces of any outline: water runs straight down the slope to
//! the low edge below it; valleys carry theirs to their foot.

use super::outline::{CoveredFace, columns};
use super::runs::straight;
use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::tolerance;
use crate::roof::{EdgeKind, Roof};
use nalgebra::{Point2, Point3};

/// What an eave carries away.
#[derive(Clone, Debug, PartialEq)]
pub struct Gutter {
    /// One end of the straight run.
    pub from: Point3<f64>,
    /// The other.
    pub to: Point3<f64>,
    /// Its length, metres.
    pub length: f64,
    /// Effective area it drains, square metres.
    pub area: f64,
}

/// Effective area of a rectangular slope: EN 12056-3, A = L (B + H / 2).
#[must_use]
pub fn effective_area(length: f64, plan_depth: f64, height: f64) -> f64 {
    length * (plan_depth + height / 2.0)
}

/// What each straight run of eaves drains. O(faces × corners²).
#[must_use]
pub fn gutters(roof: &Roof, faces: &[CoveredFace]) -> Vec<Gutter> {
    let drained = drained(roof, faces);
    straight(roof, EdgeKind::Eave)
        .into_iter()
        .map(|run| Gutter {
            from: run.from,
            to: run.to,
            length: run.length(),
            area: run.edges.iter().map(|edge| drained[edge.index()]).sum(),
        })
        .collect()
}

/// Effective area that reaches each edge of the roof and leaves it there, by edge.
fn drained(roof: &Roof, faces: &[CoveredFace]) -> Vec<f64> {
    let mut direct = vec![0.0; roof.edges.len()];
    for face in faces {
        let factor = face.pitch.cos() + face.pitch.sin() / 2.0;
        for column in columns(face).cells() {
            let middle =
                Point2::new(f64::midpoint(column.v[0], column.v[1]), f64::midpoint(column.left[0], column.left[1]));
            if let Some(edge) = low_edge_at(face, &middle) {
                direct[edge.index()] += column.area() * factor;
            }
        }
    }
    let mut drained = vec![0.0; roof.edges.len()];
    for (index, &area) in direct.iter().enumerate().filter(|(_, area)| **area > 0.0) {
        carry(roof, faces, EdgeId::new(index), area, MOST_FALLS, &mut drained);
    }
    drained
}

/// Water is followed over this many valleys and breaks at most; then it is counted where it is.
const MOST_FALLS: u32 = 16;

fn carry(roof: &Roof, faces: &[CoveredFace], edge: EdgeId, area: f64, falls: u32, drained: &mut [f64]) {
    let on = |edge: EdgeId| &roof.edges[edge.index()];
    let next: Vec<EdgeId> = match on(edge).kind {
        EdgeKind::Valley => {
            let [from, to] = [on(edge).from, on(edge).to];
            let foot = if roof.at(from).z <= roof.at(to).z { from } else { to };
            below_corner(roof, faces, foot, edge)
        }
        EdgeKind::PitchBreak => {
            let middle = nalgebra::center(&roof.at(on(edge).from), &roof.at(on(edge).to));
            on(edge).faces.iter().filter_map(|&face| below(faces, face, &middle)).collect()
        }
        _ => Vec::new(),
    };
    let next: Vec<EdgeId> = next.into_iter().filter(|other| *other != edge).collect();
    if next.is_empty() || falls == 0 {
        drained[edge.index()] += area;
        return;
    }
    for &other in &next {
        carry(roof, faces, other, area / next.len() as f64, falls - 1, drained);
    }
}

/// Where water goes from the foot of a valley: shared by the eaves that meet there, else on down a lower valley, else
/// straight down the face below.
fn below_corner(roof: &Roof, faces: &[CoveredFace], foot: CornerId, valley: EdgeId) -> Vec<EdgeId> {
    let at_foot = |kind: EdgeKind| -> Vec<EdgeId> {
        (0..roof.edges.len())
            .map(EdgeId::new)
            .filter(|&id| {
                let edge = &roof.edges[id.index()];
                edge.kind == kind && id != valley && (edge.from == foot || edge.to == foot)
            })
            .collect()
    };
    let eaves = at_foot(EdgeKind::Eave);
    if !eaves.is_empty() {
        return eaves;
    }
    let place = roof.at(foot);
    let lower = at_foot(EdgeKind::Valley).into_iter().find(|id| {
        let edge = &roof.edges[id.index()];
        roof.at(edge.from).z.min(roof.at(edge.to).z) < place.z - tolerance::SMALLEST
    });
    if let Some(valley) = lower {
        return vec![valley];
    }
    faces
        .iter()
        .filter(|face| roof.faces[face.id.index()].plane.distance(&place).abs() < tolerance::SMALLEST)
        .find_map(|face| below(faces, face.id, &place))
        .into_iter()
        .collect()
}

/// The low edge of a face straight down the slope from a place on it.
fn below(faces: &[CoveredFace], face: FaceId, place: &Point3<f64>) -> Option<EdgeId> {
    let face = faces.iter().find(|other| other.id == face)?;
    let at = face.frame.to_face(place);
    let candidates = face.edges.iter().filter_map(|edge| {
        let v = height_over(edge, at.x)?;
        (v < at.y - tolerance::SMALLEST).then_some((v, edge.id?))
    });
    candidates.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, id)| id)
}

/// Height of a low edge at u, where it lies there.
fn height_over(edge: &super::outline::FaceEdge, u: f64) -> Option<f64> {
    let (from, to) = (edge.from, edge.to);
    (from.x <= u && u <= to.x && to.x > from.x).then(|| from.y + (to.y - from.y) * (u - from.x) / (to.x - from.x))
}

fn low_edge_at(face: &CoveredFace, place: &Point2<f64>) -> Option<EdgeId> {
    let near = face.edges.iter().filter_map(|edge| Some(((height_over(edge, place.x)? - place.y).abs(), edge.id?)));
    near.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, id)| id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_standards_worked_figure() {
        // EN 12056-3, as quoted: L 10, B 6, H 3 m: 75 m2.
        assert!((effective_area(10.0, 6.0, 3.0) - 75.0).abs() < 1e-12);
    }
}
