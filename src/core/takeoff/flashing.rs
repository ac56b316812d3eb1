//! Where the roof meets walls and openings: aprons, step pieces, back gutters, saddles, kick-outs.

use super::outline::{CoveredFace, FaceEdge};
use crate::base::tolerance;
use crate::roof::EdgeKind;
use crate::roof::analysis::opening::CutOpening;
use nalgebra::Point2;

/// A chimney wider than this across the slope needs a saddle behind it (IRC R1003.20 from memory: 30 in).
pub const SADDLE_FROM: f64 = 0.760;

/// Apron and back pieces run this far past each side of an opening (common practice, no source).
pub const PAST_SIDE: f64 = 0.150;

/// A side nearer to the ridge than this has no course above it.
const ON_RIDGE: f64 = 0.010;

/// Flashings of a roof.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FlashingCount {
    /// Straight lengths along level walls, metres; along raking ones too where the covering takes no step pieces.
    pub wall_lengths: Vec<f64>,
    /// Aprons below and back pieces above openings, metres.
    pub opening_lengths: Vec<f64>,
    /// Step pieces, one a course, along raking walls and the sides of openings.
    pub steps: u32,
    /// Least length of a step piece, metres: the widest gauge it goes with and 50 mm.
    pub step_length: f64,
    /// Kick-outs: side walls that end at an eave.
    pub kick_outs: u32,
    /// Saddles behind wide chimneys.
    pub saddles: u32,
}

/// A step piece is at least this much longer than the gauge it goes with (common practice, no source).
pub const STEP_LAP: f64 = 0.050;

/// Flashings of the faces. The gauge of each, none for sheets, and `projection` place the courses that steps go with: up a
/// raking wall one with each of them, and no metal along it beside. O(edges + openings).
#[must_use]
pub fn count(
    faces: &[CoveredFace],
    openings: &[CutOpening],
    gauge_of: impl Fn(&CoveredFace) -> Option<f64>,
    projection: f64,
) -> FlashingCount {
    let mut answer = FlashingCount::default();
    for face in faces {
        let (gauge, before) = (gauge_of(face), answer.steps);
        for edge in face.edges.iter().filter(|edge| edge.kind == EdgeKind::Abutment) {
            if edge.is_level || gauge.is_none() {
                answer.wall_lengths.push(edge.length());
            }
            if !edge.is_level {
                answer.steps += steps([edge.from.y.min(edge.to.y), edge.from.y.max(edge.to.y)], gauge, projection);
                let foot = if edge.from.y < edge.to.y { edge.from } else { edge.to };
                let meets_eave = |other: &&FaceEdge| {
                    other.kind == EdgeKind::Eave
                        && [other.from, other.to].iter().any(|end| (end - foot).norm() < tolerance::SMALLEST)
                };
                answer.kick_outs += u32::from(face.edges.iter().any(|other| meets_eave(&other)));
            }
        }
        for opening in openings.iter().filter(|opening| opening.face == face.id) {
            let at = at_opening(face, opening);
            answer.opening_lengths.push(at.width + 2.0 * PAST_SIDE);
            answer.steps += 2 * steps(at.height, gauge, projection);
            if gauge.is_none() {
                answer.opening_lengths.extend([at.height[1] - at.height[0]; 2]);
            }
            if !at.at_ridge {
                answer.opening_lengths.push(at.width + 2.0 * PAST_SIDE);
                answer.saddles += u32::from(at.has_saddle);
            }
        }
        if let Some(gauge) = gauge.filter(|_| answer.steps > before) {
            answer.step_length = answer.step_length.max(gauge + STEP_LAP);
        }
    }
    answer
}

/// Flashings of a covering that has no courses: along walls; round openings it is turned up itself. O(edges).
#[must_use]
pub(crate) fn without_courses(faces: &[CoveredFace]) -> FlashingCount {
    let walls = faces.iter().flat_map(|face| &face.edges).filter(|edge| edge.kind == EdgeKind::Abutment);
    FlashingCount { wall_lengths: walls.map(FaceEdge::length).collect(), ..FlashingCount::default() }
}

/// What an opening asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtOpening {
    /// Lower and upper side, up the slope.
    pub height: [f64; 2],
    /// Along the eave.
    pub width: f64,
    /// Whether its upper side lies on the ridge: astride a ridge no water comes down on it.
    pub at_ridge: bool,
    /// Whether a saddle stands behind it.
    pub has_saddle: bool,
}

/// How an opening lies in its face. O(corners + edges).
#[must_use]
pub(crate) fn at_opening(face: &CoveredFace, opening: &CutOpening) -> AtOpening {
    let span = |of: fn(&Point2<f64>) -> f64| {
        let each = opening.ring.iter().map(of);
        each.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| [low.min(at), high.max(at)])
    };
    let ([left, right], height) = (span(|place| place.x), span(|place| place.y));
    let width = right - left;
    let at_ridge = ends_at_ridge(face, [left, right], height[1]);
    AtOpening { height, width, at_ridge, has_saddle: !at_ridge && opening.is_chimney() && width > SADDLE_FROM }
}

/// Whether the upper side of an opening lies on the ridge of its face.
fn ends_at_ridge(face: &CoveredFace, [left, right]: [f64; 2], high: f64) -> bool {
    let on = |edge: &FaceEdge| {
        let (from, to) = (edge.from.x.min(edge.to.x), edge.from.x.max(edge.to.x));
        edge.kind == EdgeKind::Ridge
            && edge.is_level
            && (edge.from.y.max(edge.to.y) - high).abs() < ON_RIDGE
            && from <= right
            && left <= to
    };
    face.edges.iter().any(on)
}

/// Step pieces of a side from one height to another: the courses that cross it, and one; none beside sheets.
#[must_use]
pub fn steps(v: [f64; 2], gauge: Option<f64>, projection: f64) -> u32 {
    let Some(gauge) = gauge else { return 0 };
    let course = |v: f64| (v + projection) / gauge;
    let (first, last) = ((course(v[0]) + tolerance::SMALLEST).floor(), (course(v[1]) - tolerance::SMALLEST).ceil());
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let crossing = (last - first).max(1.0) as u32;
    crossing + 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_side_takes_the_courses_that_cross_it_and_one() {
        // From 1.0 to 2.18 m at 143 mm, butts from -8 mm: courses 8 (7.05) to 16 (15.3) cross: 9, and one.
        assert_eq!(steps([1.0, 2.18], Some(0.143), 0.008), 10);
        assert_eq!(steps([0.0, 0.143], Some(0.143), 0.0), 2);
    }
}
