//! From footprints to a verified roof: each outline swept, several joined.

use super::options::Options;
use super::sweep::canonical::{SNAPS, canonicalise};
use super::sweep::trace::trace;
use super::{assemble, envelope, policies, stopping, sweep};
use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::{polygon, tolerance};
use crate::outline::{Footprint, Ring};
use crate::roof::checks;
use crate::roof::kernel::error::SolveError;
use crate::roof::model::{CornerRing, Edge, Face, Roof};
use nalgebra::Point2;

/// Plan areas add up to this part before contraction.
const EXACT: f64 = 1e-12;
/// And to this after.
const CONTRACTED: f64 = 1e-9;

/// Solves footprints, each by itself, and joins several into one roof ([`super::envelope`]).
///
/// Expected O(n log n) in the count of sides for outlines as buildings have them, joining apart.
///
/// # Errors
/// The first footprint that makes no verified roof, or a joined roof that failed its check.
pub fn solve(footprints: &[Footprint], options: &Options) -> Result<Roof, SolveError> {
    if let [footprint] = footprints {
        return solve_one(footprint, options);
    }
    let (footprints, findings) = envelope::gap::closed(footprints, options.join_gap);
    let roofs = footprints.iter().map(|footprint| solve_one(footprint, options)).collect::<Result<Vec<_>, _>>()?;
    let mut joined =
        envelope::join(&footprints, &roofs, options.tolerance).map_err(|violation| SolveError::Unverified {
            blocks: footprints.iter().map(|footprint| footprint.name.clone()).collect(),
            check: violation.check,
            faces: violation.faces,
        })?;
    joined.findings.splice(0..0, findings);
    joined.findings.extend(stopping::stopping_wings(&footprints, &joined));
    Ok(joined)
}

/// Solves one footprint.
///
/// # Errors
/// The footprint makes no verified roof.
pub fn solve_one(footprint: &Footprint, options: &Options) -> Result<Roof, SolveError> {
    let rings: Vec<_> = footprint.rings.iter().map(Ring::corners).collect();
    let mut refusal = None;
    for snap in SNAPS {
        match solve_snapped(footprint, &rings, options, snap) {
            Err(
                error @ (SolveError::FoldsBack { .. } | SolveError::Tangled { .. } | SolveError::Unverified { .. }),
            ) => {
                refusal.get_or_insert(error);
            }
            done => return done,
        }
    }
    refusal.map_or_else(|| Ok(Roof::default()), Err)
}

fn solve_snapped(
    footprint: &Footprint,
    rings: &[Vec<Point2<f64>>],
    options: &Options,
    snap: f64,
) -> Result<Roof, SolveError> {
    let mut input = canonicalise(footprint, options.tolerance, snap)?;
    if let Some(pair) = checks::outline::crossing(rings) {
        return Err(SolveError::Crosses { sides: pair.map(|(ring, side)| footprint.side_name(ring, side)) });
    }
    let size = polygon::extent(rings.iter().flatten());
    let outline_area: f64 = rings.iter().map(|ring| polygon::signed_area(ring)).sum();
    // What the last digits of places far from the origin leave undecided of an area, square metres.
    let furthest = rings.iter().flatten().fold(0.0, |most: f64, place| most.max(place.coords.amax()));
    let rounding = 8.0 * f64::EPSILON * furthest * rings.iter().map(|ring| polygon::perimeter(ring)).sum::<f64>();
    let shortest = options.tolerance.unwrap_or_else(|| tolerance::default_for(size));
    let skeleton = sweep::sweep(&mut input, footprint, options.steps)?;

    let attempt = |shortest: f64, relative: f64| {
        let unclosed = || checks::Violation { check: checks::Check::LinesClose, faces: Vec::new() };
        let arrangement = trace(&input, &skeleton, shortest).ok_or_else(unclosed)?;
        let mut roof = assemble::assemble(footprint, &input, &skeleton, &arrangement);
        let held = checks::Held {
            outline: rings,
            foot: input.frame.height(0.0),
            area: outline_area,
            tolerance: tolerance::default_for(size).max(shortest),
            relative: relative + rounding / outline_area,
        };
        roof.triangles = Some(checks::verify(&roof, &held)?);
        Ok(roof)
    };
    let roof = attempt(shortest, CONTRACTED).or_else(|_| attempt(0.0, EXACT));
    let mut roof = roof.map_err(|violation: checks::Violation| SolveError::Unverified {
        blocks: vec![footprint.name.clone()],
        check: violation.check,
        faces: violation.faces,
    })?;
    roof.findings = policies::findings(footprint, &input, &skeleton.takeovers);
    roof.events = skeleton.events;
    Ok(roof)
}

/// Puts a second roof beside the first.
pub fn append(whole: &mut Roof, part: Roof) {
    let (corners, faces, edges) = (whole.corners.len(), whole.faces.len(), whole.edges.len());
    let corner = |id: CornerId| CornerId::new(id.index() + corners);
    let ring = |ring: CornerRing| ring.into_iter().map(corner).collect::<CornerRing>();
    whole.triangles = None;
    whole.corners.extend(part.corners);
    whole.faces.extend(part.faces.into_iter().map(|face| Face {
        ring: ring(face.ring),
        holes: face.holes.into_iter().map(ring).collect(),
        edges: face.edges.into_iter().map(|id| EdgeId::new(id.index() + edges)).collect(),
        ..face
    }));
    whole.edges.extend(part.edges.into_iter().map(|edge| Edge {
        from: corner(edge.from),
        to: corner(edge.to),
        faces: edge.faces.into_iter().map(|id| FaceId::new(id.index() + faces)).collect(),
        ..edge
    }));
    whole.volume = whole.volume.zip(part.volume).map(|(a, b)| a + b);
    whole.feet.extend(part.feet);
    whole.findings.extend(part.findings);
    whole.events.extend(part.events);
    whole.events.sort_by(|a, b| a.height.total_cmp(&b.height));
}
