//! How the survey's uncertainty reaches areas, pitches and lengths: first-order propagation by central differences.
//!
//! The roof is solved again with each uncertain coordinate moved up and down by a step well inside its own standard
//! deviation; `J Σ Jᵀ` then gives the variance of every area, pitch and length. Nothing is assumed about how the
//! kernel reaches its answer, so faces by outlines and by points are treated alike. Cost: two solves a coordinate.

use super::answer::Spread;
use crate::roof::{Edge, Face, FaceKind, Roof};
use nalgebra::{DMatrix, DVector};
use std::collections::HashMap;

/// The most uncertain coordinates that are moved one by one; a job with more gives no standard deviations and a note.
pub const MOST_COORDINATES: usize = 512;

/// The step as a fraction of the coordinate's own standard deviation: small enough that no fold changes its place in
/// the topology for any outline a tape can tell apart, large enough to stand far above rounding.
const STEP: f64 = 0.1;

/// Propagates `covariance` (of the coordinates `solve_at` takes offsets for, in its order) to the answer.
///
/// `solve_at` gives the roof with one coordinate, by index, moved by an offset in metres, or `None` where that has no
/// answer; such a coordinate is differenced on the other side alone.
#[must_use]
pub fn propagate(
    roof: &Roof,
    covariance: &DMatrix<f64>,
    mut solve_at: impl FnMut(usize, f64) -> Option<Roof>,
) -> Spread {
    let faces = roof.faces.len();
    let count = 2 * faces + roof.edges.len() + 1;
    let names = Keys::of(roof);
    let here = values(roof, roof, &names);
    let uncertain: Vec<usize> = (0..covariance.nrows()).filter(|&k| covariance[(k, k)] > 0.0).collect();
    let mut jacobian = DMatrix::<f64>::zeros(count, uncertain.len());
    for (column, &k) in uncertain.iter().enumerate() {
        let step = STEP * covariance[(k, k)].sqrt();
        let mut at = |offset: f64| solve_at(k, offset).map(|moved| values(roof, &moved, &names));
        let slope = match (at(step), at(-step)) {
            (Some(up), Some(down)) => (up - down) / (2.0 * step),
            (Some(up), None) => (up - &here) / step,
            (None, Some(down)) => (&here - down) / step,
            (None, None) => DVector::from_element(count, f64::NAN),
        };
        jacobian.set_column(column, &slope);
    }
    let reduced = DMatrix::from_fn(uncertain.len(), uncertain.len(), |i, j| covariance[(uncertain[i], uncertain[j])]);
    let spread = &jacobian * reduced;
    let sd = |row: usize| {
        let variance = spread.row(row).dot(&jacobian.row(row));
        variance.is_finite().then(|| variance.max(0.0).sqrt())
    };
    Spread {
        face_area: (0..faces).map(sd).collect(),
        face_pitch: (faces..2 * faces).map(sd).collect(),
        edge_length: (2 * faces..count - 1).map(sd).collect(),
        total_area: sd(count - 1),
    }
}

/// What identifies an edge in a roof solved again: its kind and faces, and its place among those alike.
type EdgeKey = (crate::roof::EdgeKind, Vec<String>, usize);

struct Keys {
    edges: Vec<EdgeKey>,
}

impl Keys {
    fn of(roof: &Roof) -> Self {
        let mut seen: HashMap<(crate::roof::EdgeKind, Vec<String>), usize> = HashMap::new();
        let key = |edge: &Edge| {
            let mut faces: Vec<String> = edge.faces.iter().map(|face| roof.faces[face.index()].name.clone()).collect();
            faces.sort();
            let place = seen.entry((edge.kind, faces.clone())).or_default();
            *place += 1;
            (edge.kind, faces, *place)
        };
        Self { edges: roof.edges.iter().map(key).collect() }
    }
}

/// Areas, pitches, lengths and the total of `moved`, in the order of `roof`'s faces and edges; NaN where `moved` has
/// no such face or edge.
fn values(roof: &Roof, moved: &Roof, names: &Keys) -> DVector<f64> {
    let faces: HashMap<&str, &Face> = moved.faces.iter().map(|face| (face.name.as_str(), face)).collect();
    let edges: HashMap<EdgeKey, &Edge> = Keys::of(moved).edges.into_iter().zip(&moved.edges).collect();
    let face_value = |face: &Face, value: &dyn Fn(&Face) -> f64| faces.get(face.name.as_str()).map_or(f64::NAN, |f| value(f));
    let areas = roof.faces.iter().map(|face| face_value(face, &|f| moved.area(f).0));
    let pitches = roof.faces.iter().map(|face| face_value(face, &|f| f.plane.pitch()));
    let lengths = names.edges.iter().map(|key| edges.get(key).map_or(f64::NAN, |edge| moved.length(edge).0));
    let total: f64 = moved.faces.iter().filter(|face| face.kind == FaceKind::Roof).map(|face| moved.area(face).0).sum();
    let all: Vec<f64> = areas.chain(pitches).chain(lengths).chain(std::iter::once(total)).collect();
    DVector::from_vec(all)
}
