//! What to mind of cutting data, as data.

use super::timber::model::{Carcass, Home, NOTCH, SHORTEST, TimberKind, Timbers};
use super::timber::piece::Piece;
use super::timber::stock::CuttingPlan;
use crate::base::finding::{self, Severity};
use crate::base::ids::{EdgeId, FaceId};
use crate::base::tolerance;

/// A finding about cutting data.
#[derive(Clone, Debug, PartialEq)]
pub enum Finding {
    /// Lengths and cuts are geometry, of theoretical lines.
    GeometryOnly,
    /// Timbers are cut to sections and a spacing that an engineer has to set.
    SectionsAreTheEngineers,
    /// No section is given for rafters: they are cut as one of so many metres thick and deep.
    SectionAssumed {
        /// Thickness, metres.
        thickness: f64,
        /// Depth, metres.
        depth: f64,
    },
    /// Rafters stand higher over the plates than the roof was solved with, so that all of it lies higher.
    LiftedByHeel {
        /// Plumb, metres; negative: lower.
        by: f64,
    },
    /// Rafters are notched by more than a third of their depth.
    NotchTooDeep {
        /// The deepest, square to the rafter, metres.
        notch: f64,
        /// The rafter's depth, metres.
        depth: f64,
    },
    /// Where the plates lie is not known, so that nothing is said of seats.
    PlatesNotKnown,
    /// Pieces too short to nail were left out.
    PiecesTooShort {
        /// How many.
        count: usize,
        /// Shorter than this, metres.
        shortest: f64,
    },
    /// An opening cuts through hips or valleys: no timber is given for them.
    FoldCutThrough {
        /// These.
        edges: Vec<EdgeId>,
        /// The faces beside them.
        faces: Vec<FaceId>,
    },
    /// Timbers that reach into one another: to be fitted on site.
    DoNotClear {
        /// How many pairs.
        pairs: usize,
        /// How deep the worst, metres.
        by: f64,
        /// The faces they belong to.
        faces: Vec<FaceId>,
    },
    /// Pieces longer than any stock.
    LongerThanStock {
        /// How many.
        count: usize,
        /// The longest of them, metres.
        longest: f64,
        /// The longest stock, metres.
        stock: f64,
    },
    /// Hips and valleys between faces of different pitch: backing differs a side and jacks do not meet in pairs.
    JacksNotInPairs {
        /// These.
        uneven: Vec<EdgeId>,
        /// The faces beside them.
        faces: Vec<FaceId>,
        /// How many hips and valleys there are in all.
        folds: usize,
    },
}

impl finding::Finding for Finding {
    fn code(&self) -> &'static str {
        match self {
            Self::GeometryOnly => "framing-geometry-only",
            Self::SectionsAreTheEngineers => "timber-sections",
            Self::SectionAssumed { .. } => "timber-section-assumed",
            Self::LiftedByHeel { .. } => "timber-heel-lifts-roof",
            Self::NotchTooDeep { .. } => "timber-notch-too-deep",
            Self::PlatesNotKnown => "timber-plates-not-known",
            Self::PiecesTooShort { .. } => "timber-too-short",
            Self::FoldCutThrough { .. } => "timber-cut-through",
            Self::DoNotClear { .. } => "timber-fit-on-site",
            Self::LongerThanStock { .. } => "timber-longer-than-stock",
            Self::JacksNotInPairs { .. } => "jacks-not-in-pairs",
        }
    }

    fn severity(&self) -> Severity {
        match self {
            Self::SectionAssumed { .. } | Self::LiftedByHeel { .. } | Self::DoNotClear { .. } => Severity::Doubt,
            Self::PlatesNotKnown | Self::PiecesTooShort { .. } => Severity::Note,
            _ => Severity::Mind,
        }
    }

    fn faces(&self) -> Vec<FaceId> {
        match self {
            Self::FoldCutThrough { faces, .. }
            | Self::DoNotClear { faces, .. }
            | Self::JacksNotInPairs { faces, .. } => faces.clone(),
            _ => Vec::new(),
        }
    }

    #[allow(clippy::cast_precision_loss)]
    fn values(&self) -> Vec<(&'static str, f64)> {
        match self {
            Self::GeometryOnly | Self::SectionsAreTheEngineers | Self::PlatesNotKnown => Vec::new(),
            Self::SectionAssumed { thickness, depth } => vec![("thickness", *thickness), ("depth", *depth)],
            Self::LiftedByHeel { by } => vec![("by", *by)],
            Self::NotchTooDeep { notch, depth } => vec![("notch", *notch), ("depth", *depth)],
            Self::PiecesTooShort { count, shortest } => vec![("count", *count as f64), ("shortest", *shortest)],
            Self::FoldCutThrough { edges, .. } => vec![("edges", edges.len() as f64)],
            Self::DoNotClear { pairs, by, .. } => vec![("pairs", *pairs as f64), ("by", *by)],
            Self::LongerThanStock { count, longest, stock } => {
                vec![("count", *count as f64), ("longest", *longest), ("stock", *stock)]
            }
            Self::JacksNotInPairs { uneven, folds, .. } => {
                vec![("uneven", uneven.len() as f64), ("folds", *folds as f64)]
            }
        }
    }
}

/// What to mind of timbers.
pub(super) fn of_timbers(
    carcass: &Carcass<'_>,
    timbers: &Timbers,
    pieces: &[Piece],
    plan: &CuttingPlan,
) -> Vec<Finding> {
    let (roof, spec) = (carcass.roof, carcass.spec);
    if timbers.all.is_empty() {
        return Vec::new();
    }
    let mut findings = vec![Finding::SectionsAreTheEngineers];
    if spec.sections.rafter.is_none() {
        let section = spec.sections.rafter();
        findings.push(Finding::SectionAssumed { thickness: section.thickness, depth: section.depth });
    }
    let lifts = carcass.walls.iter().map(|wall| timbers.heel - wall.above_plate);
    let by = lifts.reduce(|a, b| if b.abs() > a.abs() { b } else { a });
    findings.extend(by.filter(|by| by.abs() > tolerance::BESIDE).map(|by| Finding::LiftedByHeel { by }));
    let seats = pieces.iter().filter(|piece| piece.kind != TimberKind::Hip).filter_map(|piece| {
        let seat = piece.seat?;
        Some((seat.notch * piece.slope.cos(), piece.section.depth))
    });
    let deepest = seats.reduce(|a, b| if b.0 / b.1 > a.0 / a.1 { b } else { a });
    let too_deep = deepest.filter(|(notch, depth)| *notch > depth * NOTCH + tolerance::BESIDE);
    findings.extend(too_deep.map(|(notch, depth)| Finding::NotchTooDeep { notch, depth }));
    if spec.birdsmouth && pieces.iter().all(|piece| piece.seat.is_none()) {
        findings.push(Finding::PlatesNotKnown);
    }
    if timbers.too_short > 0 {
        findings.push(Finding::PiecesTooShort { count: timbers.too_short, shortest: SHORTEST });
    }
    if !timbers.cut_through.is_empty() {
        let beside = timbers.cut_through.iter().flat_map(|edge| roof.edges[edge.index()].faces.iter().copied());
        let mut faces: Vec<FaceId> = beside.collect();
        faces.sort();
        faces.dedup();
        findings.push(Finding::FoldCutThrough { edges: timbers.cut_through.clone(), faces });
    }
    if let Some(by) = timbers.clashes.iter().map(|clash| clash.by).reduce(f64::max) {
        let homes = timbers.clashes.iter().flat_map(|clash| clash.timbers).map(|at| timbers.all[at].home);
        let faces = homes.flat_map(|home| match home {
            Home::Face(face) => vec![face],
            Home::Edge(edge) => roof.edges[edge.index()].faces.to_vec(),
            Home::Wall(_) => Vec::new(),
        });
        let mut faces: Vec<FaceId> = faces.collect();
        faces.sort();
        faces.dedup();
        findings.push(Finding::DoNotClear { pairs: timbers.clashes.len(), by, faces });
    }
    let too_long = plan.too_long.iter().map(|index| &pieces[*index]);
    let longest = too_long.clone().map(|piece| piece.length).reduce(f64::max);
    if let (Some(longest), Some(stock)) = (longest, spec.stock.last()) {
        let count = too_long.map(Piece::count).sum();
        findings.push(Finding::LongerThanStock { count, longest, stock: *stock });
    }
    findings
}
