//! Rafters as chords of a face up its slope.

use crate::base::ids::FaceId;
use crate::base::name::SideName;
use crate::base::units::{Pitch, PlanLength, TrueLength};
use crate::roof::analysis::chord::{Chord, Chords};
use crate::roof::{EdgeKind, Face, Roof};
use nalgebra::Point3;

/// The longest common rafter of a face, of its theoretical line from the low edge up the slope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CommonRafter {
    /// The face, by its number in the roof.
    pub face: FaceId,
    /// Its pitch. Plumb cut: this angle from square across the rafter; level cut (seat): this angle to its length.
    pub pitch: Pitch,
    /// From its foot to its head, level.
    pub run: PlanLength,
    /// Plumb, metres.
    pub rise: f64,
    /// Along the slope.
    pub length: TrueLength,
    /// Kind of the edge it starts from: an eave, or where the face has none, its lower edge.
    pub foot: EdgeKind,
    /// Kind of the edge its head reaches.
    pub head: EdgeKind,
    /// From its foot to its head, on the face.
    pub line: [Point3<f64>; 2],
}

/// The longest common rafter of every roof face, in order; faces that are level or have no low edge are left out.
#[must_use]
pub fn common_rafters(roof: &Roof) -> Vec<CommonRafter> {
    roof.roof_faces().filter_map(|(id, face)| common_rafter(roof, id, face, &Chords::of(roof, face)?)).collect()
}

/// The longest common rafter over a side, metres; `None` where no face lies over it. O(corners log corners).
#[must_use]
pub fn longest_rafter(roof: &Roof, side: &SideName) -> Option<f64> {
    let over = common_rafters(roof).into_iter().filter(|common| roof.faces[common.face.index()].is_of(side));
    over.map(|common| common.length.0).reduce(f64::max)
}

pub(super) fn common_rafter(roof: &Roof, id: FaceId, face: &Face, chords: &Chords) -> Option<CommonRafter> {
    let pitch = Pitch::from_rise_over_run(face.plane.pitch().tan(), 1.0).ok()?;
    // From an eave where there is one; a common rafter's head may be anything that is not below a valley's foot.
    let foot = |chord: &Chord| roof.edges[chord.foot.index()].kind;
    let all: Vec<Chord> = chords.extremes();
    let has_eave = all.iter().any(|chord| foot(chord) == EdgeKind::Eave);
    let longest = all
        .iter()
        .filter(|chord| if has_eave { foot(chord) == EdgeKind::Eave } else { foot(chord) != EdgeKind::Valley })
        .max_by(|a, b| a.length.total_cmp(&b.length))?;
    let cosine = 1.0 / pitch.slope_factor();
    Some(CommonRafter {
        face: id,
        pitch,
        run: PlanLength(longest.length * cosine),
        rise: longest.length * cosine * pitch.tangent(),
        length: TrueLength(longest.length),
        foot: foot(longest),
        head: roof.edges[longest.head.index()].kind,
        line: longest.ends.map(|end| chords.frame.to_space(&end)),
    })
}
