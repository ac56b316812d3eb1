//! Hips and valleys of a solved roof with their jacks.

use super::corner::Corner;
use crate::base::ids::EdgeId;
use crate::base::tolerance;
use crate::base::units::{Pitch, PlanLength, TrueLength};
use crate::roof::analysis::chord::{Chord, Chords};
use crate::roof::model::classify;
use crate::roof::model::names::FaceName;
use crate::roof::{EdgeKind, Roof};
use nalgebra::Vector2;

/// A hip or valley rafter.
#[derive(Clone, Debug, PartialEq)]
pub struct Fold {
    /// The edge, by its number in the roof.
    pub edge: EdgeId,
    /// Hip or valley.
    pub kind: EdgeKind,
    /// The faces on both sides, in the order of `corner.sides`.
    pub faces: [FaceName; 2],
    /// Its theoretical line.
    pub length: TrueLength,
    /// In plan.
    pub run: PlanLength,
    /// Plumb, metres.
    pub rise: f64,
    /// Cuts and angles.
    pub corner: Corner,
    /// Angle inside the solid between the faces, radians.
    pub dihedral: f64,
    /// For each spacing, in the order asked for.
    pub jacks: Vec<JackSet>,
}

/// Jacks of one spacing.
#[derive(Clone, Debug, PartialEq)]
pub struct JackSet {
    /// Level distance from jack to jack along the eave.
    pub spacing: PlanLength,
    /// Difference in length from one jack to the next, each side.
    pub difference: [TrueLength; 2],
    /// The jacks of each side, set out along the eave from the fold's lower end.
    pub jacks: [Vec<Jack>; 2],
}

/// One jack: eave to hip, or valley to ridge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jack {
    /// Level distance along the eave from the fold's lower end.
    pub at: PlanLength,
    /// Of its theoretical line.
    pub length: TrueLength,
}

impl Fold {
    /// Its inclination from level, radians.
    #[must_use]
    pub fn slope(&self) -> f64 {
        self.rise.atan2(self.run.0)
    }

    /// By which part of its plan it is longer than that.
    #[must_use]
    pub fn longer(&self) -> f64 {
        self.length.0 / self.run.0.max(f64::MIN_POSITIVE) - 1.0
    }

    /// Whether the two sides differ in pitch by more than rounding.
    #[must_use]
    pub fn is_uneven(&self) -> bool {
        let [a, b] = self.corner.sides.map(|side| side.pitch.tangent());
        (a - b).abs() > f64::EPSILON.sqrt() * a.max(b)
    }
}

/// The cutting data of an edge between two roof faces, their chords given face by face; `None` where a face is level or plumb, or the fold is level.
pub(super) fn of_edge(roof: &Roof, id: EdgeId, chords: &[Option<Chords>], spacings: &[f64]) -> Option<Fold> {
    let edge = &roof.edges[id.index()];
    let [first, second] = edge.faces.as_slice() else { return None };
    let (mut low, mut high) = (roof.at(edge.from), roof.at(edge.to));
    if low.z > high.z {
        std::mem::swap(&mut low, &mut high);
    }
    let up = high - low;
    // A level fold (a shed dormer's head, a sprocket's valley) is a joint between rafters, no rafter itself.
    if up.z <= classify::LEVEL * up.norm() {
        return None;
    }
    let along = up.xy().try_normalize(f64::MIN_POSITIVE)?;
    let faces = [first, second].map(|face| &roof.faces[face.index()]);
    // The rise of each face in plan: downslope turned round, times the tangent of its pitch.
    let rise = |index: usize| -> Option<Vector2<f64>> {
        let plane = &faces[index].plane;
        Some(-plane.downslope()? * plane.pitch().tan())
    };
    let rises = [rise(0)?, rise(1)?];
    let pitches =
        [Pitch::from_rise_over_run(rises[0].norm(), 1.0).ok()?, Pitch::from_rise_over_run(rises[1].norm(), 1.0).ok()?];
    // Across the fold into each face: ring edges run anticlockwise, so the face lies to their left in plan.
    let across = [0, 1].map(|index| {
        let face = faces[index];
        let at = face.edges.iter().position(|edge| *edge == id).unwrap_or(0);
        let runs_up =
            face.ring.iter().chain(face.holes.iter().flatten()).nth(at).is_none_or(|corner| roof.at(*corner) == low);
        let left = Vector2::new(-along.y, along.x);
        if runs_up { left } else { -left }
    });
    let falls = if edge.kind == EdgeKind::Valley { 1.0 } else { -1.0 };
    let plan_angle = |index: usize| rises[index].dot(&along).atan2(falls * rises[index].dot(&across[index]));
    let corner = Corner::from_plan_angles(pitches, [plan_angle(0), plan_angle(1)]);
    let dihedral = edge.dihedral.unwrap_or(match edge.kind {
        EdgeKind::Valley => corner.valley_dihedral(),
        _ => corner.hip_dihedral(),
    });
    let chords = [first, second].map(|face| chords[face.index()].as_ref());
    let jacks = spacings
        .iter()
        .filter(|spacing| **spacing > 0.0)
        .map(|&spacing| JackSet {
            spacing: PlanLength(spacing),
            difference: corner.sides.map(|side| side.jack_difference(PlanLength(spacing))),
            jacks: [0, 1].map(|index| {
                let Some(chords) = chords[index] else { return Vec::new() };
                let (foot, head) = (chords.frame.to_face(&low).x, chords.frame.to_face(&high).x);
                set_out(chords, id, edge.kind, [foot, head], spacing)
            }),
        })
        .collect();
    Some(Fold {
        edge: id,
        kind: edge.kind,
        faces: faces.map(|face| face.id.clone()),
        length: roof.length(edge),
        run: roof.plan_length(edge),
        rise: up.z,
        corner,
        dihedral,
        jacks,
    })
}

/// Jacks from the fold's lower end along the eave to its upper end.
fn set_out(chords: &Chords, fold: EdgeId, kind: EdgeKind, [foot, head]: [f64; 2], spacing: f64) -> Vec<Jack> {
    // A last jack of no length is none.
    let extent = (head - foot).abs() - tolerance::SMALLEST;
    let mut jacks = Vec::new();
    let mut count = 1.0;
    while count * spacing < extent {
        let at = count * spacing;
        let ends_here = |chord: &&Chord| match kind {
            EdgeKind::Valley => chord.foot == fold,
            _ => chord.head == fold,
        };
        if let Some(chord) = chords.at(foot + at * (head - foot).signum()).iter().find(ends_here) {
            jacks.push(Jack { at: PlanLength(at), length: TrueLength(chord.length) });
        }
        count += 1.0;
    }
    jacks
}
