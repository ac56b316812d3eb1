//! Findings about the roof, its drainage and its cutting data in words.

use super::About;
use super::amount::{distance, fine_gap, gap, list, to_millimetre};
use super::survey::Names;
use crate::base::name::Name;
use crate::roof::EdgeKind;
use crate::roof::checks::Check;
use crate::roof::model::finding::{Finding, LeftOut, NotLocated, Refitted};

/// A kind of edge in a word or two.
#[must_use]
pub(crate) fn edge_word(kind: EdgeKind) -> &'static str {
    match kind {
        EdgeKind::PitchBreak => "pitch break",
        other => other.word(),
    }
}

/// A finding about a roof.
// One arm a finding.
#[allow(clippy::too_many_lines)]
#[must_use]
pub fn finding(about: &About<'_>, finding: &Finding) -> String {
    let format = about.units;
    let names = Names::of(about.job);
    match finding {
        Finding::Step { sides: [one, two], flatter } => format!(
            "sides {} and {} of {} lie in one line and rise differently: a plumb step stands over their shared corner, and \
             its wall belongs to the flatter side {}",
            one.side, two.side, one.block, flatter.side
        ),
        Finding::TookOver { winner, loser, steeper, height } => format!(
            "the roofs over sides {} and {} of {} come into one line at a height of {} and run on in one direction: from \
             there on the {}, that over {}, takes over along a level pitch-break",
            winner.side,
            loser.side,
            winner.block,
            to_millimetre(*height, format),
            if *steeper { "steeper" } else { "flatter" },
            winner.side
        ),
        Finding::EndsAtWall { wall, slope, height } => format!(
            "the roof over side {} of {} comes into the line of side {} at a height of {}, where that still stands plumb: \
             it ends there against the wall over {}, in an abutment",
            slope.side,
            slope.block,
            wall.side,
            to_millimetre(*height, format),
            wall.side
        ),
        Finding::BroughtTogether { moved, onto, by } => {
            format!("{moved} lay {} from {onto}; it was moved onto that line", fine_gap(*by, format))
        }
        Finding::RunsOn { wing, over } => format!(
            "{} runs on by its side {} over {over} until it meets that roof, however short it was measured",
            wing.block, wing.side
        ),
        Finding::NoRoofToRunInto { wing } => format!(
            "{} is to run on by its side {} until it meets a roof, but no other block's roof covers its end there: it stops \
             at that side; check its place and heights, and whether its ridge lies below the other",
            wing.block, wing.side
        ),
        Finding::StopsAtWall { side, over } => format!(
            "{} stops plumb at its side {} against the roof of {over}, whose water runs towards it: where its roof goes on \
             until it meets that roof, write runs_into = true on that side",
            side.block, side.side
        ),
        Finding::BlockUnderRoof { block } => {
            format!("{block} lies wholly under another block's roof and has no face of its own")
        }
        Finding::FaceNotLocated(out) => left_out(&names, out),
        Finding::FacesOverlap { faces: [one, two] } => format!(
            "faces {} and {} lie on the same side of their shared edge, one over the other: one of them leans outwards, or \
             a point is wrong; plan areas count twice there",
            names.face(*one),
            names.face(*two)
        ),
        Finding::FacesInOnePlane { faces: [one, two] } => {
            format!(
                "faces {} and {} lie in one plane: their shared edge is no fold",
                names.face(*one),
                names.face(*two)
            )
        }
        Finding::LevelFoldOnSlope { faces: [one, two] } => format!(
            "water runs over the level fold between {} and {}: the slope changes there; it is counted as a ridge",
            names.face(*one),
            names.face(*two)
        ),
        Finding::PlanesRefitted { point, faces, why, turned, moved } => {
            let point = names.point(*point);
            let why = match why {
                Refitted::ManyMeet => format!("{} faces meet at {point}", faces.len()),
                Refitted::NearlyOnePlane => format!(
                    "{} faces that meet at {point} lie so nearly in one plane that where they fold is not sharply \
                     determined",
                    faces.len()
                ),
            };
            format!(
                "{why}: planes {} were fitted together so that they meet, which moved them by up to {} (turned by {:.3}°)",
                names.faces(faces),
                fine_gap(*moved, format),
                turned.to_degrees()
            )
        }
        Finding::PointsMoved { moved, .. } => {
            let one = |(point, by): &(_, f64)| format!("{} {}", names.point(*point), gap(*by, format));
            let moved: Vec<String> = moved.iter().map(one).collect();
            format!("points moved to lie on all their faces: {}", moved.join(", "))
        }
        Finding::PointMovedFar { point, by, sigma, faces } => {
            let beyond = if *sigma > 0.0 {
                format!("{:.1} standard deviations", by / sigma)
            } else {
                "it was given as exact".to_owned()
            };
            format!(
                "point {} was moved {} ({beyond}) to lie on {}: measure it again, or look whether {} flat",
                names.point(*point),
                distance(*by, format),
                names.faces(faces),
                if faces.len() == 1 { "this face is" } else { "these faces are" }
            )
        }
        Finding::NoWayOff { at, beside, faces, area } => {
            let place = match at.edge() {
                Some(edge) => {
                    let kind = about.roof.edges[edge.index()].kind.word();
                    format!("gathers along the {kind} of {}", about.listed(beside))
                }
                None => "stays on the level".to_owned(),
            };
            format!(
                "water from {} (in plan) of {} {place} and has no way off the roof: it needs an outlet there",
                format.area(*area),
                about.listed(faces)
            )
        }
    }
}

/// A face given by points that is left out.
#[must_use]
pub fn left_out(names: &Names<'_>, out: &LeftOut) -> String {
    let face = names.face(out.face);
    match &out.why {
        NotLocated::Points(points) => format!(
            "face {face} is left out: {} {} not located by what was measured",
            names.points(points),
            if points.len() == 1 { "is" } else { "are" }
        ),
        NotLocated::Area => {
            format!("face {face} is left out: its area is hardly determined by what was measured")
        }
    }
}

/// What must hold of a roof, to follow "expected that".
#[must_use]
pub fn check(check: &Check) -> &'static str {
    match check {
        Check::LinesClose => "its lines close into faces",
        Check::EdgesRunRound => "every face's edges run round it",
        Check::EdgesShared => "every edge is shared by its two faces",
        Check::Rim => "edges with one face are the outline's, side after side",
        Check::Euler { .. } => "corners less edges plus faces are as many as for a whole surface",
        Check::Flat => "every corner lies on the planes of its faces",
        Check::PlanAreaPositive => "plan areas are positive",
        Check::PlanArea { .. } => "plan areas add up to the outlines'",
        Check::SimpleFaces => "no face's outline crosses itself",
        Check::Floor => "a floor closes it below the outline",
        Check::OneOuterRing { .. } => "a face has one outer ring",
        Check::RunOnceEachWay => "each edge is run along once each way",
        Check::ClosedBetweenOutlines => "the surface is closed between the outlines",
        Check::NamesUnique => "names of faces are unique",
        Check::ThreeCorners => "a face has three corners",
        Check::Covered { .. } => "what is roofed is what the outlines cover together",
        Check::NotHidden => "no block's roof hides a face",
        Check::InOwnRoof => "a face lies in a block's own roof",
        Check::SolidCloses => "its solid closes",
        Check::Volume { .. } => "its solid holds the volume that was summed up",
    }
}

/// Names of blocks, with what they are.
#[must_use]
pub fn blocks(names: &[Name]) -> String {
    if names.len() == 1 { format!("block {}", names[0]) } else { format!("blocks {}", list(names)) }
}
