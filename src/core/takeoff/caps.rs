//! Ridge and hip caps: how many, from which end.
//!
//! Hips run from the eave up; a ridge with two free ends from the end away from the wind, so that its laps face away from
//! it; a ridge that meets a wall runs to the wall (common practice, no source).

use super::outline::CoveredFace;
use super::runs::{Run, straight};
use crate::base::ids::EdgeId;
use crate::base::tolerance;
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
    towards_wind: Option<Vector2<f64>>,
    last_cover: f64,
    exposure: f64,
) -> Vec<CapRun> {
    let ridges = straight(roof, EdgeKind::Ridge);
    let hips = straight(roof, EdgeKind::Hip);
    let ends: Vec<Point3<f64>> = ridges.iter().chain(&hips).flat_map(|run| [run.from, run.to]).collect();
    let walls: Vec<Point3<f64>> = roof
        .edges
        .iter()
        .filter(|edge| edge.kind == EdgeKind::Abutment)
        .flat_map(|edge| [roof.at(edge.from), roof.at(edge.to)])
        .collect();
    let near = |places: &[Point3<f64>], end: &Point3<f64>| {
        places.iter().filter(|place| (*place - end).norm() < tolerance::SMALLEST).count()
    };
    let mut lines = Vec::new();
    for run in &hips {
        let length = run.length() + projection(faces, run);
        // The first is doubled at the eave; on a hip that starts higher up, at its foot too.
        let caps = count(length, last_cover, exposure) + 1;
        let (kind, why, edges) = (EdgeKind::Hip, CapsRun::UpTheHip, run.edges.clone());
        lines.push(CapRun {
            kind,
            from: run.from,
            to: run.to,
            length,
            caps,
            doubled: 1,
            closing: 0,
            exposure,
            last_covers: last_cover,
            why,
            edges,
        });
    }
    for run in &ridges {
        let length = run.length() + projection(faces, run);
        let (mut from, mut to) = (run.from, run.to);
        let mut why = CapsRun::FromEitherEnd;
        if near(&walls, &from) != near(&walls, &to) {
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

/// How far the covering runs past the ends of a line, as the faces beside it are covered.
fn projection(faces: &[CoveredFace], run: &Run) -> f64 {
    let mut longest: f64 = 0.0;
    for face in faces {
        let along: f64 = face
            .edges
            .iter()
            .filter(|edge| edge.id.is_some_and(|id| run.edges.contains(&id)))
            .map(|edge| (edge.covered[1] - edge.covered[0]).norm() - edge.length())
            .sum();
        longest = longest.max(along);
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
