//! What courses keep from edges, and which of two faces at a fold is laid first.

use crate::base::ids::{EdgeId, FaceId};
use crate::roof::Roof;

/// How far the covering goes past or stops short of each kind of edge, metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margins {
    /// Past eaves.
    pub eave: f64,
    /// Past verges.
    pub verge: f64,
    /// Half the clear width of an open valley at its top.
    pub valley_clear: f64,
    /// How much that widens per metre down the valley.
    pub valley_widen: f64,
    /// Clearance round openings.
    pub opening: f64,
    /// How far a closed valley's first side runs past the centre.
    pub valley_through: f64,
    /// How far before the centre its other side is cut.
    pub valley_cut: f64,
    /// How far the side laid first runs over a hip, where hips are laid so.
    pub hip_over: f64,
    /// How far courses run on up where the slope gets steeper, under the first course there; 0 where they do not bend.
    pub runs_on: f64,
}

impl Default for Margins {
    /// Common practice (no source): 8 mm at eaves and verges, 75 mm + 5 mm/m at open valleys, 10 mm round openings,
    /// 300 mm through and 50 mm short at closed valleys, 100 mm over hips.
    fn default() -> Self {
        Self {
            eave: 0.008,
            verge: 0.008,
            valley_clear: 0.075,
            valley_widen: 0.005,
            opening: 0.010,
            valley_through: 0.300,
            valley_cut: 0.050,
            hip_over: 0.100,
            runs_on: 0.0,
        }
    }
}

/// Which side of a fold is laid first: the flatter; of equal pitch the smaller in area; else the first in order.
pub(super) fn goes_first(roof: &Roof, face: FaceId, edge: Option<EdgeId>) -> bool {
    let Some(id) = edge else { return true };
    let Some(&other) = roof.edges[id.index()].faces.iter().find(|&&other| other != face) else { return true };
    let key = |id: FaceId| {
        let face = &roof.faces[id.index()];
        // Rounded so that equal pitches and areas compare equal: tenths of a degree, square centimetres.
        ((face.plane.pitch().to_degrees() * 10.0).round(), (roof.area(face).0 * 1e4).round(), id.index())
    };
    let ((pitch, area, index), (other_pitch, other_area, other_index)) = (key(face), key(other));
    pitch.total_cmp(&other_pitch).then(area.total_cmp(&other_area)).then(index.cmp(&other_index)).is_lt()
}
