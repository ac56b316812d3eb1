//! Wall plates, and the boards along eaves and verges.

use super::model::{Against, Carcass, EndCut, Home, SHORTEST, Timber, TimberKind, Timbers};
use super::node::low_and_high;
use super::plan::{cross, inward, left_of, level};
use crate::base::ids::{CornerId, EdgeId, FaceId};
use crate::base::plane::Plane;
use crate::base::tolerance;
use crate::roof::{EdgeKind, FaceKind, Roof};
use nalgebra::{Point3, Vector2, Vector3};

/// Adds a plate along every wall that an eave stands over, from corner to corner: at corners plates are halved over each
/// other.
pub(super) fn plates(carcass: &Carcass<'_>, timbers: &mut Timbers) {
    let Some(section) = carcass.spec.sections.plate else { return };
    for (index, wall) in carcass.walls.iter().enumerate() {
        let Some((_, face)) = carcass.roof.roof_faces().find(|(_, face)| face.is_of(&wall.side)) else { continue };
        let over = |end: &nalgebra::Point2<f64>| {
            let height = face.plane.height_at(end)? - timbers.heel;
            Some(Point3::new(end.x, end.y, height))
        };
        let [Some(from), Some(to)] = wall.ends.each_ref().map(over) else { continue };
        let along = to - from;
        // A plate over a wall that the roof does not run level along is none.
        if along.norm() < SHORTEST || along.z.abs() > tolerance::BESIDE * along.norm() {
            continue;
        }
        let along = along.normalize();
        let Some(plan) = along.xy().try_normalize(f64::MIN_POSITIVE) else { continue };
        let upslope = -face.plane.downslope().unwrap_or_default();
        let inside = level(left_of(plan) * left_of(plan).dot(&upslope).signum());
        let ends = [vec![EndCut::plumb(&from, plan, Against::Mitre)], vec![EndCut::plumb(&to, -plan, Against::Mitre)]];
        let outside = inside.dot(&from.coords);
        let planes = vec![
            Plane { normal: -inside, offset: -outside },
            Plane { normal: inside, offset: outside + section.thickness },
            Plane { normal: Vector3::z(), offset: from.z },
            Plane { normal: -Vector3::z(), offset: section.depth - from.z },
        ];
        let middle = inside * (section.thickness / 2.0);
        let line = [from + middle, to + middle];
        timbers.keep(Timber::new(TimberKind::Plate, Home::Wall(index), line, section, planes, ends));
    }
}

/// Adds a board along every eave and verge of the roof faces, its upper outer edge in the face: mitred where two eaves meet, at
/// the top of a gable and where a verge is broken, there to the plane half way between both boards.
pub(super) fn fascias(carcass: &Carcass<'_>, timbers: &mut Timbers) {
    if carcass.spec.sections.fascia.is_none() {
        return;
    }
    for (index, edge) in carcass.roof.edges.iter().enumerate() {
        if matches!(edge.kind, EdgeKind::Eave | EdgeKind::Verge) {
            timbers.extend_with(board(carcass, EdgeId::new(index)));
        }
    }
}

fn roof_face(roof: &Roof, edge: EdgeId) -> Option<FaceId> {
    roof.edges[edge.index()].faces.iter().copied().find(|face| roof.faces[face.index()].kind == FaceKind::Roof)
}

fn board(carcass: &Carcass<'_>, edge: EdgeId) -> Option<Timber> {
    let (roof, spec) = (carcass.roof, carcass.spec);
    let section = spec.sections.fascia?;
    let id = roof_face(roof, edge)?;
    let face = &roof.faces[id.index()];
    let corners = low_and_high(roof, edge);
    let into = inward(roof, face, edge);
    let out = level(into) * spec.projection;
    // Its outer upper edge lies in the face, straight below the drip edge moved in by the projection.
    let onto = |place: Point3<f64>| {
        let at = place + out;
        face.plane.height_at(&at.xy()).map(|height| Point3::new(at.x, at.y, height))
    };
    let [from, to] = corners.map(|corner| onto(roof.at(corner)));
    let line = [from?, to?];
    let along = (line[1] - line[0]).try_normalize(f64::MIN_POSITIVE)?;
    let plan = along.xy().try_normalize(f64::MIN_POSITIVE)?;
    let up = (Vector3::z() - along * along.z).normalize();
    let outer = level(into).dot(&line[0].coords);
    let top = up.dot(&line[0].coords);
    let planes = vec![
        Plane { normal: -level(into), offset: -outer },
        Plane { normal: level(into), offset: outer + section.thickness },
        Plane { normal: up, offset: top },
        Plane { normal: -up, offset: section.depth - top },
    ];
    let ends = [0, 1].map(|end| {
        let keep = if end == 0 { plan } else { -plan };
        vec![end_of(carcass, (edge, id), corners[end], keep)]
    });
    let middle = level(into) * (section.thickness / 2.0);
    let line = line.map(|end| end + middle);
    Some(Timber::new(TimberKind::Fascia, Home::Edge(edge), line, section, planes, ends))
}

/// The cut of a board's end: mitred with the board of the next eave or of the next part of the verge; at the foot of a verge the
/// eave's board runs through and the verge's stands on it; square to the wall elsewhere.
fn end_of(carcass: &Carcass<'_>, (edge, face): (EdgeId, FaceId), corner: CornerId, keep: Vector2<f64>) -> EndCut {
    let (roof, spec) = (carcass.roof, carcass.spec);
    let own = roof.edges[edge.index()].kind;
    let at = roof.at(corner);
    let touches = |id: &EdgeId| {
        let of = &roof.edges[id.index()];
        *id != edge && (of.from == corner || of.to == corner)
    };
    // The next eave or verge round the roof: of this face, or of another one.
    let all = (0..roof.edges.len()).map(EdgeId::new);
    let in_face = roof.faces[face.index()].edges.iter().copied();
    let next = in_face
        .chain(all)
        .find(|id| touches(id) && matches!(roof.edges[id.index()].kind, EdgeKind::Eave | EdgeKind::Verge));
    let Some((next, next_face)) = next.and_then(|next| Some((next, roof_face(roof, next)?))) else {
        return EndCut::plumb(&at, keep, Against::Wall);
    };
    let into = inward(roof, &roof.faces[face.index()], edge);
    let into_next = inward(roof, &roof.faces[next_face.index()], next);
    let turn = cross(into, into_next);
    match (own, roof.edges[next.index()].kind) {
        // On in one line, as where an eave ends in the short verge of a lower one beside it: no board stands across the end.
        (EdgeKind::Eave, EdgeKind::Verge) | (EdgeKind::Verge, EdgeKind::Eave) if turn.abs() <= tolerance::STRAIGHT => {
            EndCut::plumb(&at, keep, Against::Mitre)
        }
        (EdgeKind::Eave, EdgeKind::Eave) if turn.abs() > tolerance::STRAIGHT => {
            // Through the corner and where the moved-in lines meet: along the line of equal distance from both eaves.
            let between = into - into_next;
            let keep = if between.dot(&keep) > 0.0 { between } else { -between };
            EndCut::plumb(&at, keep, Against::Mitre)
        }
        // The board of a verge stands on the back of the eave's, whose front is moved in by the projection.
        (EdgeKind::Verge, EdgeKind::Eave) => {
            let inset = spec.projection + spec.sections.fascia_thickness();
            EndCut::plumb(&(at + level(into_next) * inset), into_next, Against::Foot)
        }
        // The eave's runs on to the outer face of the verge's.
        (EdgeKind::Eave, EdgeKind::Verge) => {
            EndCut::plumb(&(at + level(into_next) * spec.projection), into_next, Against::Verge)
        }
        // Two boards of one gable, where the slope breaks or at its top: both are cut to the plane half way between them.
        (EdgeKind::Verge, EdgeKind::Verge) => {
            let [own_way, other_way] = [edge, next].map(|id| away(roof, id, corner));
            match (own_way - other_way).try_normalize(tolerance::STRAIGHT) {
                Some(between) => {
                    let normal = -between;
                    EndCut { plane: Plane { normal, offset: normal.dot(&at.coords) }, against: Against::Mitre }
                }
                None => EndCut::plumb(&at, keep, Against::Mitre),
            }
        }
        _ => EndCut::plumb(&at, keep, Against::Mitre),
    }
}

/// Unit vector along an edge away from one of its corners.
fn away(roof: &Roof, edge: EdgeId, corner: CornerId) -> Vector3<f64> {
    let of = &roof.edges[edge.index()];
    let other = if of.from == corner { of.to } else { of.from };
    (roof.at(other) - roof.at(corner)).normalize()
}
