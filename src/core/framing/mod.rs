//! Cutting data: rafter lengths, hip and jack cuts, backing, sheathing angles, bends of metal.
//!
//! [`corner`] holds the closed forms for two slopes of any pitch at any corner; [`cutting_data`] applies them to every
//! fold of a solved roof. All lengths are of theoretical lines: half the hip's thickness (at its angle), half the ridge
//! board, the seat, the height above plate and the tail are still to be taken off or added. It is geometry: sizes of
//! timber are for the engineer.

pub mod corner;
pub mod finding;
pub mod fold;
pub mod rafter;
pub mod spec;
pub mod timber;

pub use corner::{Corner, CornerSide, NotACorner};
pub use finding::Finding;
pub use fold::{Fold, Jack};
pub use rafter::{CommonRafter, common_rafters, longest_rafter};
pub use spec::{FramingSpec, SPACING};
pub use timber::{Carcass, Piece, SettingOut, TimberLine, Timbers};

use crate::base::ids::{EdgeId, FaceId};
use crate::roof::analysis::chord::Chords;
use crate::roof::{EdgeKind, Face, FaceKind, Roof};
use rafter::common_rafter;
use timber::Home;
use timber::stock::CuttingPlan;

/// The other default spacing, metres: 16 in.
pub const SPACING_16_IN: f64 = 16.0 * 0.0254;

/// A fold's drop is told for so much of its rafter's thickness, metres.
pub const THICKNESS: f64 = 0.1;

/// The same in feet and inches, metres: 1 in.
pub const THICKNESS_1_IN: f64 = 0.0254;

/// Bends nearer than this are made alike, radians: a tenth of a degree.
const BENT_ALIKE: f64 = 0.1 * std::f64::consts::PI / 180.0;

/// Cutting data of a roof.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Framing {
    /// One a roof face that has a low edge to start from, in the roof's order.
    pub commons: Vec<CommonRafter>,
    /// One a hip or valley, in the order of edges.
    pub folds: Vec<Fold>,
    /// One an edge between two roof faces, in order: the angle metal is bent to.
    pub bends: Vec<Bend>,
    /// What to mind.
    pub findings: Vec<Finding>,
    /// Every timber, where the job says what timbers are cut to.
    pub timbers: Option<Timbers>,
    /// Purlins and collars as lines.
    pub lines: Vec<TimberLine>,
    /// Timbers cut alike.
    pub pieces: Vec<Piece>,
    /// Which length each is cut from.
    pub plan: CuttingPlan,
    /// Where rafters stand along the plate.
    pub setting_out: Vec<SettingOut>,
}

/// The angle a ridge, hip or valley metal is bent to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// The edge, by its number in the roof.
    pub edge: EdgeId,
    /// Its kind.
    pub kind: EdgeKind,
    /// Angle inside the solid between the two faces, radians; over π at valleys.
    pub dihedral: f64,
}

impl Bend {
    /// How far the sheet is bent from flat, radians: |π − dihedral|.
    #[must_use]
    pub fn from_flat(&self) -> f64 {
        (std::f64::consts::PI - self.dihedral).abs()
    }

    /// The bevel of the edges of boards that meet over it in a mitre, from square, radians: half of what it is bent.
    #[must_use]
    pub fn bevel(&self) -> f64 {
        self.from_flat() / 2.0
    }
}

impl Framing {
    /// Works out the timbers of a roof, those of faces that are not determined left out, and what to mind of them.
    pub fn frame(&mut self, carcass: &Carcass<'_>, is_determined: impl Fn(FaceId) -> bool) {
        let mut timbers = timber::timbers(carcass);
        let roof = carcass.roof;
        timbers.keep_where(|timber| match timber.home {
            Home::Face(face) => is_determined(face),
            Home::Edge(edge) => {
                let faces = &roof.edges[edge.index()].faces;
                faces.iter().all(|&face| roof.faces[face.index()].kind != FaceKind::Roof || is_determined(face))
            }
            Home::Wall(wall) => {
                let side = &carcass.walls[wall].side;
                roof.face_over(side).is_some_and(&is_determined)
            }
        });
        self.lines = timber::lines(carcass, &timbers, &is_determined);
        self.pieces = timber::piece::pieces(&timbers);
        self.setting_out = timber::setting_out(carcass, &timbers);
        self.plan = timber::stock::cutting_plan(&self.pieces, &carcass.spec.stock);
        self.findings.retain(|finding| *finding != Finding::GeometryOnly);
        self.findings.splice(0..0, finding::of_timbers(carcass, &timbers, &self.pieces, &self.plan));
        self.timbers = Some(timbers);
    }

    /// Bends of one kind whose angles are the same to a tenth of a degree: the first of each with how many there are. In the
    /// order of edges. O(bends × groups).
    #[must_use]
    pub fn bends_alike(&self) -> Vec<(Bend, usize)> {
        let tenth = |bend: &Bend| (bend.dihedral / BENT_ALIKE).round();
        let mut groups: Vec<(Bend, usize)> = Vec::new();
        for bend in &self.bends {
            match groups.iter_mut().find(|(first, _)| first.kind == bend.kind && tenth(first) == tenth(bend)) {
                Some((_, count)) => *count += 1,
                None => groups.push((*bend, 1)),
            }
        }
        groups
    }
}

/// Cutting data of every roof face, hip and valley, with jacks at 0.60 m and at 16 in. Near O(corners log corners + jacks):
/// each strip of a face looks only at the edges near it.
#[must_use]
pub fn cutting_data(roof: &Roof) -> Framing {
    cutting_data_at(roof, &[SPACING, SPACING_16_IN])
}

/// The same with jacks at other spacings, level metres along the eave.
#[must_use]
pub fn cutting_data_at(roof: &Roof, spacings: &[f64]) -> Framing {
    let of_face = |face: &Face| (face.kind == FaceKind::Roof).then(|| Chords::of(roof, face)).flatten();
    let chords: Vec<Option<Chords>> = roof.faces.iter().map(of_face).collect();
    let commons: Vec<CommonRafter> = roof
        .roof_faces()
        .filter_map(|(id, face)| common_rafter(roof, id, face, chords[id.index()].as_ref()?))
        .collect();
    let folds: Vec<Fold> = roof
        .edges
        .iter()
        .enumerate()
        .filter(|(_, edge)| matches!(edge.kind, EdgeKind::Hip | EdgeKind::Valley))
        .filter_map(|(index, _)| fold::of_edge(roof, EdgeId::new(index), &chords, spacings))
        .collect();
    let bends = roof
        .edges
        .iter()
        .enumerate()
        .filter(|(_, edge)| edge.faces.iter().all(|face| roof.faces[face.index()].kind == FaceKind::Roof))
        .filter_map(|(index, edge)| Some(Bend { edge: EdgeId::new(index), kind: edge.kind, dihedral: edge.dihedral? }))
        .collect();
    let findings = findings(roof, &commons, &folds);
    Framing { commons, folds, bends, findings, ..Framing::default() }
}

fn findings(roof: &Roof, commons: &[CommonRafter], folds: &[Fold]) -> Vec<Finding> {
    if commons.is_empty() && folds.is_empty() {
        return Vec::new();
    }
    let mut findings = vec![Finding::GeometryOnly];
    let uneven: Vec<EdgeId> = folds.iter().filter(|fold| fold.is_uneven()).map(|fold| fold.edge).collect();
    if !uneven.is_empty() {
        let beside = |edge: &EdgeId| roof.edges[edge.index()].faces.iter().copied();
        let mut faces: Vec<FaceId> = uneven.iter().flat_map(beside).collect();
        faces.sort();
        faces.dedup();
        findings.push(Finding::JacksNotInPairs { uneven, faces, folds: folds.len() });
    }
    findings
}
