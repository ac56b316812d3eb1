//! Ridge and hip caps: how many, from which end; pieces that close verges.
//!
//! Hips run from the eave up; a ridge with two free ends from the end away from the wind, so that its laps face away from
//! it; a ridge that meets a wall runs to the wall (common practice, no source).

use super::layout::FaceLayout;
use super::outline::{CoveredFace, FaceEdge};
use super::runs::{SlopeRun, straight};
use crate::base::ids::EdgeId;
use crate::base::order::SortByNumber as _;
use crate::base::tolerance;
use crate::roof::analysis::opening::CutOpening;
use crate::roof::{EdgeKind, Roof};
use nalgebra::{Point3, Vector2};

/// A line of caps.
#[derive(Clone, Debug, PartialEq)]
pub struct CapRun {
    /// Ridge or hip.
    pub kind: EdgeKind,
    /// Where the first cap lies.
    pub from: Point3<f64>,
    /// Where the last one lies.
    pub to: Point3<f64>,
    /// Along the line, projections included, metres.
    pub length: f64,
    /// Caps in it, doubled and junction caps included.
    pub caps: u32,
    /// Those of them that double the first one.
    pub doubled: u32,
    /// Those of them that close a junction where three lines or more meet.
    pub closing: u32,
    /// How much of each cap shows.
    pub exposure: f64,
    /// How much of the last one covers the line.
    pub last_covers: f64,
    /// Why it runs that way.
    pub why: CapsRun,
    /// The edges it covers.
    pub edges: Vec<EdgeId>,
}

/// Why caps run the way they do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CapsRun {
    /// From the eave up, the first cap doubled.
    UpTheHip,
    /// From either end: no wind is given, and no wall or both ends at one.
    FromEitherEnd,
    /// Towards the wall at one end.
    TowardsWall,
    /// From the end away from the wind.
    AwayFromWind,
}

impl CapsRun {
    /// The word scripts match on.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::UpTheHip => "up-the-hip",
            Self::FromEitherEnd => "from-either-end",
            Self::TowardsWall => "towards-wall",
            Self::AwayFromWind => "away-from-wind",
        }
    }
}

/// Caps on a line: ceil((L - c) / e) + 1 for length L, exposure e, and what a cap must cover where it is the last, c.
#[must_use]
pub fn count(length: f64, last_cover: f64, exposure: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let after_first = ((length - last_cover - tolerance::SMALLEST) / exposure).ceil().max(0.0) as u32;
    after_first + 1
}

/// All lines of caps of a roof. `towards_wind` points in plan to where the wind comes from. O(edges²).
#[must_use]
pub fn lines(
    roof: &Roof,
    faces: &[CoveredFace],
    openings: &[CutOpening],
    towards_wind: Option<Vector2<f64>>,
    last_cover: f64,
    exposure: f64,
) -> Vec<CapRun> {
    let lines_of = |kind: EdgeKind| -> Vec<SlopeRun> {
        straight(roof, kind).into_iter().filter(|run| run.length() >= SHORTEST).collect()
    };
    let (ridges, hips) = (lines_of(EdgeKind::Ridge), lines_of(EdgeKind::Hip));
    let ends: Vec<Point3<f64>> = ridges.iter().chain(&hips).flat_map(|run| [run.from, run.to]).collect();
    let walls: Vec<Point3<f64>> = roof
        .edges
        .iter()
        .filter(|edge| edge.kind == EdgeKind::Abutment)
        .flat_map(|edge| [roof.at(edge.from), roof.at(edge.to)])
        .collect();
    let near = |places: &[Point3<f64>], end: &Point3<f64>| {
        places.iter().filter(|place| (*place - end).norm() < SHORTEST).count()
    };
    let mut lines = Vec::new();
    for run in &hips {
        for part in parts(faces, openings, run) {
            // The first is doubled at the foot; above an opening the line begins on its flashing.
            let doubled = u32::from(part.from == run.from);
            let caps = count(part.length, last_cover, exposure) + doubled;
            let (kind, why, edges) = (EdgeKind::Hip, CapsRun::UpTheHip, run.edges.clone());
            lines.push(CapRun {
                kind,
                from: part.from,
                to: part.to,
                length: part.length,
                caps,
                doubled,
                closing: 0,
                exposure,
                last_covers: last_cover,
                why,
                edges,
            });
        }
    }
    for (run, part) in
        ridges.iter().flat_map(|run| parts(faces, openings, run).into_iter().map(move |part| (run, part)))
    {
        let length = part.length;
        let (mut from, mut to) = (part.from, part.to);
        let mut why = CapsRun::FromEitherEnd;
        if (near(&walls, &from) > 0) != (near(&walls, &to) > 0) {
            if near(&walls, &from) > 0 {
                std::mem::swap(&mut from, &mut to);
            }
            why = CapsRun::TowardsWall;
        } else if let Some(wind) = towards_wind {
            let windward = |end: &Point3<f64>| wind.dot(&end.coords.xy());
            if windward(&from) > windward(&to) {
                std::mem::swap(&mut from, &mut to);
            }
            why = CapsRun::AwayFromWind;
        }
        let (kind, edges) = (EdgeKind::Ridge, run.edges.clone());
        let caps = count(length, last_cover, exposure);
        let (doubled, closing, last_covers) = (0, 0, last_cover);
        lines.push(CapRun { kind, from, to, length, caps, doubled, closing, exposure, last_covers, why, edges });
    }
    // Where three lines or more meet, one more cap closes the junction; it is counted with the line that ends there last.
    let mut junctions: Vec<Point3<f64>> = Vec::new();
    for end in &ends {
        if near(&ends, end) >= 3 && near(&junctions, end) == 0 {
            junctions.push(*end);
            let last = lines.iter_mut().rev().find(|line| near(&[line.from, line.to], end) > 0);
            if let Some(line) = last {
                line.caps += 1;
                line.closing += 1;
            }
        }
    }
    lines
}

/// Pieces that close the verges of a face: one a course that shows at each. O(edges × courses).
#[must_use]
pub fn verge_units(face: &CoveredFace, layout: &FaceLayout) -> u32 {
    let at = |edge: &FaceEdge| -> usize {
        let low = edge.covered[0].y.min(edge.covered[1].y);
        let high = edge.covered[0].y.max(edge.covered[1].y);
        let shows = |butt: f64| butt < high - tolerance::SMALLEST && butt + layout.gauge > low + tolerance::SMALLEST;
        layout.courses.iter().filter(|course| shows(course.butt_v)).count()
    };
    let verges = face.edges.iter().filter(|edge| edge.kind == EdgeKind::Verge && !edge.is_level);
    u32::try_from(verges.map(at).sum::<usize>()).unwrap_or(u32::MAX)
}

/// A fold shorter than this has no caps of its own: those beside it close it (common practice, no source).
const SHORTEST: f64 = 0.020;

/// A part of a line that caps cover without a break.
struct Part {
    from: Point3<f64>,
    to: Point3<f64>,
    /// With what it runs past the roof's own edges.
    length: f64,
}

/// The parts of a line between the openings astride it. O(faces × edges + openings).
fn parts(faces: &[CoveredFace], openings: &[CutOpening], run: &SlopeRun) -> Vec<Part> {
    let length = run.length();
    let along = (run.to - run.from) / length;
    let mut taken: Vec<[f64; 2]> = openings.iter().filter_map(|opening| astride(faces, opening, run)).collect();
    taken.sort_by_number(|a| a[0]);
    let mut parts = Vec::new();
    let mut at = 0.0;
    for [from, to] in taken.into_iter().chain([[length, length]]) {
        if from - at >= SHORTEST {
            let ends = [at, from].map(|t| run.from + along * t);
            let past = [(at == 0.0, run.from), (from == length, run.to)]
                .iter()
                .map(|(is_end, end)| if *is_end { past(faces, run, end) } else { 0.0 })
                .sum::<f64>();
            parts.push(Part { from: ends[0], to: ends[1], length: from - at + past });
        }
        at = to.max(at);
    }
    parts
}

/// From where to where along a line an opening stands astride it.
fn astride(faces: &[CoveredFace], opening: &CutOpening, run: &SlopeRun) -> Option<[f64; 2]> {
    let beside = |face: &&CoveredFace| {
        face.id == opening.face && face.edges.iter().any(|edge| edge.id.is_some_and(|id| run.edges.contains(&id)))
    };
    let face = faces.iter().find(beside)?;
    let (from, to) = (face.frame.to_face(&run.from), face.frame.to_face(&run.to));
    let along = (to - from).normalize();
    let on_line = opening.ring.iter().filter(|place| along.perp(&(*place - from)).abs() < ON_LINE);
    let places: Vec<f64> = on_line.map(|place| along.dot(&(place - from))).collect();
    let low = places.iter().copied().reduce(f64::min)?.max(0.0);
    let high = places.iter().copied().reduce(f64::max)?.min((to - from).norm());
    (high - low > SHORTEST).then_some([low, high])
}

/// A corner of an opening nearer to a fold than this lies on it.
const ON_LINE: f64 = 0.001;

/// How far the covering runs past an end of a line over an eave or a verge there: what lies beside the line at its other
/// folds is no matter.
fn past(faces: &[CoveredFace], run: &SlopeRun, end: &Point3<f64>) -> f64 {
    let mut longest: f64 = 0.0;
    for face in faces {
        let is_beside = |edge: &&FaceEdge| edge.id.is_some_and(|id| run.edges.contains(&id));
        let Some(beside) = face.edges.iter().find(is_beside) else { continue };
        let along = (beside.to - beside.from).normalize();
        let corner = face.frame.to_face(end);
        let is_rim = |edge: &&FaceEdge| {
            matches!(edge.kind, EdgeKind::Eave | EdgeKind::Verge | EdgeKind::Top | EdgeKind::Step)
                && [edge.from, edge.to].iter().any(|place| (place - corner).norm() < tolerance::SMALLEST)
        };
        for edge in face.edges.iter().filter(is_rim) {
            let at_end = usize::from((edge.to - corner).norm() < tolerance::SMALLEST);
            let across = along.perp(&(edge.to - edge.from).normalize()).abs();
            longest = longest.max(edge.reach[at_end].max(0.0) / across.max(LEAST_ACROSS));
        }
    }
    longest
}

/// Where a line of caps begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CapsStart {
    /// At its lower end.
    Eave,
    /// At the end of a level line that lies towards this bearing, radians clockwise from north.
    End(f64),
}

/// A line that rises by less than this share of its length is level.
const LEVEL: f64 = 0.01;

impl CapRun {
    /// Where it begins; `north` is the bearing of +y, radians clockwise from north.
    #[must_use]
    pub fn start(&self, north: f64) -> CapsStart {
        let along = self.to - self.from;
        if along.z > LEVEL * along.norm() {
            return CapsStart::Eave;
        }
        let back = -along.xy();
        CapsStart::End(north + back.x.atan2(back.y))
    }
}

/// Lines nearer to each other in direction than this meet in no corner (a sine).
const LEAST_ACROSS: f64 = 0.1;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ridge_of_3600_mm_takes_26_caps_at_143_mm() {
        assert_eq!(count(3.6, 0.143, 0.143), 26);
        assert_eq!((3.6_f64 / 0.143).ceil(), 26.0);
    }

    #[test]
    fn a_line_shorter_than_a_cap_takes_one() {
        assert_eq!(count(0.1, 0.143, 0.143), 1);
    }
}
