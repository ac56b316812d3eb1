//! Faces by points at another pitch: each is turned about its eave and met with its neighbours anew.
//!
//! A face with an eave turns about it. One that begins at a break of slope keeps its pitch, and the break its height: it goes
//! with the face below. Anything else stands. Corners then lie where their faces meet; along free edges (verges, tops, eaves)
//! they stay over the edge's line in plan.

use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::plane::Plane;
use crate::base::tolerance;
use crate::base::units::Pitch;
use crate::roof::model::{Edge, EdgeKind, Face, FaceKind, Roof};
use nalgebra::{DMatrix, DVector, Point3, Vector3};

/// Why faces do not meet at a pitch. Metres.
#[derive(Clone, Debug, PartialEq)]
pub enum TurnError {
    /// Faces that met in one corner and no longer do.
    Apart {
        /// The faces, by their numbers in the roof.
        faces: Vec<FaceId>,
        /// The corner, by its number in the roof.
        corner: CornerId,
        /// What is left between them.
        gap: f64,
    },
    /// An edge that would shrink to nothing: the roof would have another shape.
    Vanishes {
        /// The edge, by its number in the roof.
        edge: EdgeId,
    },
    /// An eave that falls more steeply than the pitch.
    EaveTooSteep {
        /// The face, by its number in the roof.
        face: FaceId,
    },
}

/// Faces that miss a corner by no more than this still meet in it, metres: what was measured is no finer.
const MEETS: f64 = 0.010;

/// The plan line of a free edge counts for a corner only where faces leave it open.
const LINE_WEIGHT: f64 = 1e-3;

/// Whether a face by points has an eave to turn about.
#[must_use]
pub(crate) fn has_eave(roof: &Roof, face: &Face) -> bool {
    is_by_points(face) && eave(roof, face).is_some()
}

fn is_by_points(face: &Face) -> bool {
    face.block().is_none() && face.kind == FaceKind::Roof
}

/// The roof with the faces by points turned so that those over an eave have this pitch. O(corners × faces at a corner).
///
/// # Errors
/// [`TurnError`]: the faces do not meet in the roof's shape at this pitch.
pub fn turned(roof: &Roof, pitch: Pitch) -> Result<Roof, TurnError> {
    let planes = planes(roof, pitch)?;
    let mut after = roof.clone();
    for (face, plane) in after.faces.iter_mut().zip(&planes) {
        face.plane = *plane;
    }
    let mut own = vec![false; roof.corners.len()];
    for face in roof.faces.iter().filter(|face| face.block().is_none()) {
        face.ring.iter().chain(face.holes.iter().flatten()).for_each(|corner| own[corner.index()] = true);
    }
    for index in (0..roof.corners.len()).filter(|&index| own[index]) {
        let corner = CornerId::new(index);
        after.corners[index] = met(roof, &planes, corner)?;
    }
    for (index, edge) in roof.edges.iter().enumerate() {
        let (before, now) = (along(roof, edge), along(&after, edge));
        if before.norm() > tolerance::SMALLEST && before.dot(&now) <= 0.0 {
            return Err(TurnError::Vanishes { edge: EdgeId::new(index) });
        }
        after.edges[index].dihedral = edge.dihedral.and(dihedral(&after, edge));
    }
    (after.volume, after.triangles) = (None, None);
    after.findings.clear();
    after.events.clear();
    Ok(after)
}

fn along(roof: &Roof, edge: &Edge) -> Vector3<f64> {
    roof.at(edge.to) - roof.at(edge.from)
}

/// The lowest of a face's eaves; of several as low the longest.
fn eave(roof: &Roof, face: &Face) -> Option<EdgeId> {
    let eaves = face.edges.iter().copied().filter(|id| roof.edges[id.index()].kind == EdgeKind::Eave);
    let height = |id: &EdgeId| {
        let edge = &roof.edges[id.index()];
        f64::midpoint(roof.at(edge.from).z, roof.at(edge.to).z)
    };
    let lowest = eaves.clone().map(|id| height(&id)).reduce(f64::min)?;
    let length = |id: &EdgeId| roof.length(&roof.edges[id.index()]).0;
    eaves.filter(|id| height(id) < lowest + MEETS).max_by(|a, b| length(a).total_cmp(&length(b)))
}

/// The plane of each face after turning.
fn planes(roof: &Roof, pitch: Pitch) -> Result<Vec<Plane>, TurnError> {
    let mut planes: Vec<Plane> = roof.faces.iter().map(|face| face.plane).collect();
    let mut is_turned = vec![false; planes.len()];
    for (index, face) in roof.faces.iter().enumerate().filter(|(_, face)| is_by_points(face)) {
        let Some(id) = eave(roof, face) else { continue };
        let plane = about(roof, &roof.edges[id.index()], &face.plane, pitch);
        planes[index] = plane.ok_or(TurnError::EaveTooSteep { face: FaceId::new(index) })?;
        is_turned[index] = true;
    }
    // Faces above breaks follow those below them, from the lowest up.
    loop {
        let mut changed = false;
        for (index, face) in roof.faces.iter().enumerate().filter(|(_, face)| is_by_points(face)) {
            if is_turned[index] {
                continue;
            }
            let beside = |id: &EdgeId| {
                let edge = &roof.edges[id.index()];
                let other = edge.faces.iter().find(|other| other.index() != index && is_turned[other.index()])?;
                (edge.kind == EdgeKind::PitchBreak || is_convex(edge)).then_some((*id, *other))
            };
            let breaks = face.edges.iter().filter_map(beside).filter(|(id, _)| is_foot(roof, face, *id));
            let Some((id, below)) = breaks.min_by(|a, b| a.0.cmp(&b.0)) else { continue };
            let edge = &roof.edges[id.index()];
            let middle = nalgebra::center(&roof.at(edge.from), &roof.at(edge.to));
            if let Some(moved) = at_its_height(&planes[below.index()], &middle)
                && let Some(plane) = Plane::through(&moved, &face.plane.normal)
            {
                planes[index] = plane;
            }
            (is_turned[index], changed) = (true, true);
        }
        if !changed {
            return Ok(planes);
        }
    }
}

fn is_convex(edge: &Edge) -> bool {
    edge.dihedral.is_some_and(|angle| angle < std::f64::consts::PI)
}

/// Whether a level edge is the foot of a face.
fn is_foot(roof: &Roof, face: &Face, id: EdgeId) -> bool {
    let edge = &roof.edges[id.index()];
    let level = (roof.at(edge.to).z - roof.at(edge.from).z).abs() < 0.02 * roof.length(edge).0;
    let lowest = face.ring.iter().map(|&corner| roof.at(corner).z).fold(f64::INFINITY, f64::min);
    level && roof.at(edge.from).z.min(roof.at(edge.to).z) < lowest + MEETS
}

/// The plane of a pitch through an eave: its normal n with n · e = 0 and n.z = cos p, on the side of the old one.
fn about(roof: &Roof, eave: &Edge, old: &Plane, pitch: Pitch) -> Option<Plane> {
    let (e, level) = (along(roof, eave), along(roof, eave).xy());
    let (length, t) = (level.norm(), level.try_normalize(f64::MIN_POSITIVE)?);
    let across = nalgebra::Vector2::new(-t.y, t.x);
    let across = if across.dot(&old.normal.xy()) >= 0.0 { across } else { -across };
    let (sin, cos) = pitch.radians().sin_cos();
    let a = -cos * e.z / length;
    let b = (sin * sin - a * a).max(0.0).sqrt();
    let xy = t * a + across * b;
    (sin * sin >= a * a).then(|| Plane::through(&roof.at(eave.from), &Vector3::new(xy.x, xy.y, cos)))?
}

/// A place moved level up or down a plane's slope until it lies on it.
fn at_its_height(plane: &Plane, place: &Point3<f64>) -> Option<Point3<f64>> {
    let up = -plane.downslope()?;
    let by = (place.z - plane.height_at(&place.xy())?) / plane.pitch().tan();
    let to = place.xy() + up * by;
    Some(Point3::new(to.x, to.y, place.z))
}

/// Where the faces at a corner meet.
fn met(roof: &Roof, planes: &[Plane], corner: CornerId) -> Result<Point3<f64>, TurnError> {
    let from = roof.at(corner);
    let touches = |face: &Face| face.ring.contains(&corner) || face.holes.iter().any(|hole| hole.contains(&corner));
    let faces: Vec<FaceId> =
        (0..roof.faces.len()).filter(|&index| touches(&roof.faces[index])).map(FaceId::new).collect();
    let mut rows: Vec<(Plane, f64)> = faces.iter().map(|face| (planes[face.index()], 1.0)).collect();
    for edge in roof.edges.iter().filter(|edge| edge.from == corner || edge.to == corner) {
        let is_free = edge.faces.len() == 1 && matches!(edge.kind, EdgeKind::Verge | EdgeKind::Top | EdgeKind::Eave);
        let level = along(roof, edge).xy();
        let plumb = Vector3::new(-level.y, level.x, 0.0);
        rows.extend(Plane::through(&from, &plumb).filter(|_| is_free).map(|plane| (plane, LINE_WEIGHT)));
    }
    let normals = DMatrix::from_fn(rows.len(), 3, |row, column| rows[row].0.normal[column] * rows[row].1);
    let svd = normals.svd(true, true);
    let mut place = from;
    // Solved again from where it led: rounding of the first step is taken out.
    for _ in 0..REFINED {
        let off = DVector::from_fn(rows.len(), |row, _| -rows[row].0.distance(&place) * rows[row].1);
        let Ok(by) = svd.solve(&off, UNDETERMINED) else { break };
        place += Vector3::new(by[0], by[1], by[2]);
    }
    // What stands still in plan stands exactly still.
    for axis in 0..2 {
        if (place[axis] - from[axis]).abs() < STILL {
            place[axis] = from[axis];
        }
    }
    let gap = faces.iter().map(|face| planes[face.index()].distance(&place).abs()).fold(0.0, f64::max);
    if gap > MEETS { Err(TurnError::Apart { faces, corner, gap }) } else { Ok(place) }
}

/// How often a corner is solved for.
const REFINED: usize = 3;

/// A corner that moves by less in plan stands still, metres: rounding.
const STILL: f64 = 1e-9;

/// Planes that span less than this in a direction do not determine it: a corner stays where it is along it.
const UNDETERMINED: f64 = 1e-8;

/// Angle inside the solid between an edge's two faces.
fn dihedral(roof: &Roof, edge: &Edge) -> Option<f64> {
    let [one, two] = [edge.faces.first()?, edge.faces.get(1)?].map(|face| &roof.faces[face.index()]);
    let direction = along(roof, edge).try_normalize(f64::MIN_POSITIVE)?;
    let (n1, n2) = (one.plane.normal, two.plane.normal);
    // Anticlockwise round the first face.
    let runs =
        one.ring.iter().zip(one.ring.iter().cycle().skip(1)).any(|(from, to)| *from == edge.from && *to == edge.to);
    let direction = if runs { direction } else { -direction };
    let fold = n1.cross(&n2).dot(&direction).atan2(n1.dot(&n2));
    Some(std::f64::consts::PI - fold)
}
