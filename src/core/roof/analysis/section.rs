//! A section through the closed solid: where its plane stands, and what is read off the cut. Metres.

use super::cut::Cut;
use crate::base::ids::FaceId;
use crate::base::plane::Plane;
use crate::base::tolerance::ONE_PLACE;
use crate::roof::model::solid::Solid;
use crate::roof::{EdgeKind, FaceKind, Roof};
use nalgebra::{Point3, Vector3};

/// A direction square to the right is told by how far it goes back: by this share of it.
const TO_THE_BACK: f64 = 1e-3;

/// How a section's plane lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SectionKind {
    /// Level.
    Level,
    /// Plumb, across the ridge.
    Across,
    /// Plumb, along the ridge.
    Along,
}

/// A section.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// How its plane lies.
    pub kind: SectionKind,
    /// Its plane; what lies before it is taken away.
    pub plane: Plane,
    /// Where it stands: above datum for a level one, else from the left end (across) or from the front (along).
    pub at: f64,
    /// What it cuts.
    pub cut: Cut,
    /// How far the cut reaches: along and across the ridge for a level one, else level and plumb; `None` where nothing is
    /// cut.
    pub extents: Option<[f64; 2]>,
    /// What it cuts of the solid, square metres.
    pub area: f64,
}

/// A stretch of a section that lies in a roof face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SectionLine {
    /// Both ends.
    pub ends: [Point3<f64>; 2],
    /// The roof face.
    pub face: FaceId,
    /// Its length, metres.
    pub length: f64,
}

impl Section {
    /// The section of a roof's solid at a share of the way, 0 to 1, from its low, left or front end to the other.
    /// `from_beyond`: what lies before the plane as seen from the other end is taken away. O(triangles).
    #[must_use]
    pub fn of(roof: &Roof, solid: &Solid, kind: SectionKind, share: f64, from_beyond: bool) -> Self {
        let ridge = along_ridge(roof);
        let across = Vector3::z().cross(&ridge);
        let (axis, extents) = match kind {
            SectionKind::Level => (Vector3::z(), [ridge, across]),
            SectionKind::Across => (ridge, [across, Vector3::z()]),
            SectionKind::Along => (across, [ridge, Vector3::z()]),
        };
        let [low, high] = reach(solid.positions.iter(), &axis).unwrap_or_default();
        let place = low + (high - low) * share.clamp(ONE_PLACE, 1.0 - ONE_PLACE);
        let sign = if from_beyond { -1.0 } else { 1.0 };
        let plane = Plane { normal: axis * sign, offset: place * sign };
        let cut = Cut::of(solid, &plane);
        let extent = |axis: &Vector3<f64>| {
            reach(cut.lines.iter().flat_map(|line| &line.places), axis).map(|[from, to]| to - from)
        };
        let extents = extent(&extents[0]).zip(extent(&extents[1])).map(|(one, other)| [one, other]);
        let area = cut.area(&plane).abs();
        let at = if kind == SectionKind::Level { place } else { place - low };
        Self { kind, plane, at, cut, extents, area }
    }

    /// Its stretches in roof faces.
    pub fn lines<'a>(&'a self, roof: &'a Roof) -> impl Iterator<Item = SectionLine> + 'a {
        self.cut.lines.iter().flat_map(super::cut::CutLine::sides).filter_map(|(from, to, face)| {
            let face = face.filter(|face| roof.faces[face.index()].kind == FaceKind::Roof)?;
            Some(SectionLine { ends: [from, to], face, length: (to - from).norm() })
        })
    }
}

/// From the least to the greatest reach of places along an axis.
fn reach<'a>(places: impl Iterator<Item = &'a Point3<f64>>, axis: &Vector3<f64>) -> Option<[f64; 2]> {
    places.map(|place| axis.dot(&place.coords)).fold(None, |found, at| match found {
        None => Some([at, at]),
        Some([low, high]) => Some([at.min(low), at.max(high)]),
    })
}

/// Level and along the longest ridge, or the longest eave where there is none; from left to right, or from front to back.
fn along_ridge(roof: &Roof) -> Vector3<f64> {
    let longest = |kind: EdgeKind| {
        let edges = roof.edges.iter().filter(|edge| edge.kind == kind);
        edges.max_by(|a, b| roof.plan_length(a).total_cmp(&roof.plan_length(b)))
    };
    let way = longest(EdgeKind::Ridge).or_else(|| longest(EdgeKind::Eave)).map(|edge| {
        let way = roof.at(edge.to) - roof.at(edge.from);
        let way = Vector3::new(way.x, way.y, 0.0);
        if way.x + TO_THE_BACK * way.y < 0.0 { -way } else { way }
    });
    way.and_then(|way| way.try_normalize(0.0)).unwrap_or_else(Vector3::x)
}

/// What lies between two places.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Between {
    /// In space.
    pub straight: f64,
    /// In plan, metres.
    pub level: f64,
    /// From the first up to the second; negative downwards.
    pub rise: f64,
}

impl Between {
    /// From one place to another.
    #[must_use]
    pub fn of(from: &Point3<f64>, to: &Point3<f64>) -> Self {
        let way = to - from;
        Self { straight: way.norm(), level: way.xy().norm(), rise: way.z }
    }

    /// Inclination from level, radians in 0 ..= π/2.
    #[must_use]
    pub fn pitch(&self) -> f64 {
        self.rise.abs().atan2(self.level)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hip_of_a_square_corner() {
        // Eaves at a right angle, pitch 35, run 2.80 m: the hip's run is 2.80 sqrt 2.
        let rise = 2.8 * 35_f64.to_radians().tan();
        let between = Between::of(&Point3::new(1.0, 1.0, 2.4), &Point3::new(3.8, 3.8, 2.4 + rise));
        assert!((between.level - 2.8 * 2_f64.sqrt()).abs() < 1e-12);
        assert!((between.pitch() - (35_f64.to_radians().tan() / 2_f64.sqrt()).atan()).abs() < 1e-12);
    }
}
