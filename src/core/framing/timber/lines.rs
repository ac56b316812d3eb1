//! Purlins and collars as lines: where they run, and how long. Their sizes, joints and what they carry are left to an engineer.

use super::model::{Against, Carcass, Home, Timber, TimberKind, Timbers};
use crate::base::ids::FaceId;
use crate::base::tolerance::{BESIDE, SMALLEST};
use crate::roof::model::frame::FaceFrame;
use crate::roof::{EdgeKind, Face, Roof};
use nalgebra::{Point2, Point3};

/// What a line is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LineKind {
    /// Level under the rafters of a slope.
    Purlin,
    /// Level between two rafters that meet at a ridge.
    Collar,
}

impl LineKind {
    /// The word used in answers.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Purlin => "purlin",
            Self::Collar => "collar",
        }
    }
}

/// A purlin or a collar as a line in the faces of the roof; the timber lies below it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimberLine {
    /// What it is of.
    pub kind: LineKind,
    /// From where to where.
    pub ends: [Point3<f64>; 2],
}

impl TimberLine {
    /// Its length, metres.
    #[must_use]
    pub fn length(&self) -> f64 {
        (self.ends[1] - self.ends[0]).norm()
    }
}

/// The lines a file asks for: purlins of the faces that are determined, then collars between the timbers there are. O(faces · corners · purlins + rafters²).
pub fn lines(carcass: &Carcass<'_>, timbers: &Timbers, is_determined: impl Fn(FaceId) -> bool) -> Vec<TimberLine> {
    let mut lines: Vec<TimberLine> = Vec::new();
    for (_, face) in carcass.roof.roof_faces().filter(|(id, _)| is_determined(*id)) {
        for up in &carcass.spec.purlins {
            lines.extend(purlins(carcass.roof, face, *up));
        }
    }
    if let Some(above) = carcass.spec.collar {
        lines.extend(collars(carcass.roof, timbers, above));
    }
    lines
}

/// Where a level line up the slope lies within a face.
fn purlins(roof: &Roof, face: &Face, up: f64) -> Vec<TimberLine> {
    let Some(frame) = FaceFrame::of(roof, face) else { return Vec::new() };
    let starts_at_eave = face.edges.iter().any(|id| roof.edges[id.index()].kind == EdgeKind::Eave);
    if !starts_at_eave {
        return Vec::new();
    }
    let mut crossed: Vec<f64> = Vec::new();
    for ring in std::iter::once(roof.ring(face)).chain(roof.holes(face)) {
        let places: Vec<Point2<f64>> = ring.iter().map(|place| frame.to_face(place)).collect();
        for (a, b) in places.iter().zip(places.iter().cycle().skip(1)) {
            if (a.y > up) != (b.y > up) {
                crossed.push(a.x + (b.x - a.x) * ((up - a.y) / (b.y - a.y)));
            }
        }
    }
    crossed.sort_by(f64::total_cmp);
    let line = |pair: &[f64]| TimberLine {
        kind: LineKind::Purlin,
        ends: [pair[0], pair[1]].map(|u| frame.to_space(&Point2::new(u, up))),
    };
    crossed.chunks_exact(2).filter(|pair| pair[1] - pair[0] > BESIDE).map(line).collect()
}

/// Level lines between rafters of two slopes that meet at one place of a ridge.
fn collars(roof: &Roof, timbers: &Timbers, above: f64) -> Vec<TimberLine> {
    let meets_ridge = |timber: &&Timber| {
        timber.kind == TimberKind::Rafter && timber.ends[1].iter().any(|cut| cut.against == Against::Ridge)
    };
    let rafters: Vec<(&Timber, FaceId)> = timbers
        .all
        .iter()
        .filter(meets_ridge)
        .filter_map(|timber| match timber.home {
            Home::Face(face) => Some((timber, face)),
            _ => None,
        })
        .collect();
    let eave = |face: FaceId| {
        let edges = roof.faces[face.index()].edges.iter().map(|id| &roof.edges[id.index()]);
        edges.filter(|edge| edge.kind == EdgeKind::Eave).map(|edge| roof.at(edge.from).z).reduce(f64::min)
    };
    let mut lines = Vec::new();
    for (index, (one, face)) in rafters.iter().enumerate() {
        for (other, opposite) in &rafters[index + 1..] {
            let meet = face != opposite && (one.line[1] - other.line[1]).norm() <= BESIDE;
            let straight = one.along.xy().perp(&other.along.xy()).abs() <= BESIDE;
            let (Some(a), Some(b), true) = (eave(*face), eave(*opposite), meet && straight) else { continue };
            let height = a.max(b) + above;
            if let (Some(from), Some(to)) = (at_height(one, height), at_height(other, height)) {
                lines.push(TimberLine { kind: LineKind::Collar, ends: [from, to] });
            }
        }
    }
    lines
}

/// Where a rafter's line reaches a height.
fn at_height(timber: &Timber, height: f64) -> Option<Point3<f64>> {
    let [low, high] = timber.line;
    let share = (height - low.z) / (high.z - low.z).max(SMALLEST);
    (0.0..1.0).contains(&share).then(|| low + (high - low) * share)
}
