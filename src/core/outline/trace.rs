//! The stage itself: every block checked, turned, squared up and moved to the drip edge.

use super::block::{Block, BlockRing, BlockRole, BlockSide, OutlineDatum};
use super::checks::{self, Rings};
use super::error::OutlineError;
use super::finding::Finding;
use super::footprint::{Footprint, Ring, Role, Side};
use super::orient::{Direction, orient};
use super::overhang::to_drip_edge;
use super::settle::settle;
use super::square_up::Squared;
use crate::base::multi_error::MultiError;
use crate::base::name::SideName;
use crate::survey::model::MeasuredRing;
use nalgebra::Point2;

/// A side of a block's outer ring by which it runs on over another block.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RunIn {
    /// The block's place among the footprints.
    pub block: usize,
    /// The side's name.
    pub side: String,
    /// Its place in the ring of wall lines, where there are such.
    pub wall: usize,
}

/// What tracing gives.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Traced {
    /// One a block, in order.
    pub footprints: Vec<Footprint>,
    /// Sides by which blocks run into others; each stands as an abutment in its footprint.
    pub run_ins: Vec<RunIn>,
    /// What was done on the user's behalf.
    pub findings: Vec<Finding>,
}

/// From measured blocks and the places of their corners (per block, per ring, in file order: the corner each side
/// starts from) to footprints at the drip edge.
///
/// Rings may run either way; outer rings come out anticlockwise and holes clockwise, and every side keeps its name,
/// height and role. A block on another's side goes with that side where squaring up moves it. Where the outline was measured at the wall, the wall lines are kept in [`Footprint::walls`].
/// O(n log n) for building outlines.
///
/// # Errors
/// Everything that is wrong with any block, at once ([`OutlineError::Multiple`]).
pub fn trace(blocks: &[Block], rings: &[Vec<Vec<Point2<f64>>>]) -> Result<Traced, OutlineError> {
    let mut traced = Traced::default();
    let mut errors = Vec::new();
    let problems: Vec<Vec<OutlineError>> = blocks
        .iter()
        .enumerate()
        .map(|(index, block)| problems(block, rings.get(index).map_or(&[][..], Vec::as_slice)))
        .collect();
    let sound: Vec<bool> = problems.iter().map(Vec::is_empty).collect();
    let settled = settle(blocks, rings, &sound);
    for ((block, problems), settled) in blocks.iter().zip(problems).zip(settled) {
        if !problems.is_empty() {
            errors.extend(problems);
            continue;
        }
        match trace_block(block, settled) {
            Ok((footprint, run_ins, findings)) => {
                debug_assert_eq!(footprint.check_invariants(), Ok(()));
                let block = traced.footprints.len();
                traced.run_ins.extend(run_ins.into_iter().map(|(side, wall)| RunIn { block, side, wall }));
                traced.footprints.push(footprint);
                traced.findings.extend(findings);
            }
            Err(found) => errors.extend(found),
        }
    }
    match OutlineError::all_of(errors) {
        None => Ok(traced),
        Some(error) => Err(error),
    }
}

/// What stands in the way of a block's outline, ring by ring.
fn problems(block: &Block, places: &[Vec<Point2<f64>>]) -> Vec<OutlineError> {
    if places.len() != block.rings.len() {
        let (found, expected) = (places.len(), block.rings.len());
        return vec![OutlineError::PlacesMissing { block: block.name.clone(), found, expected }];
    }
    let mut errors = roles(block);
    errors.extend(checks::each_ring(Rings { block: &block.name, corners: places, names: &names(block) }));
    errors
}

fn names(block: &Block) -> Vec<Vec<String>> {
    block.rings.iter().map(|ring| ring.sides.iter().map(|side| side.name.clone()).collect()).collect()
}

/// A block's footprint, the sides by which it runs into others with their places in its ring, and what was done.
type TracedBlock = (Footprint, Vec<(String, usize)>, Vec<Finding>);

fn trace_block(block: &Block, settled: Squared) -> Result<TracedBlock, Vec<OutlineError>> {
    let Squared { rings: corners, mut findings } = settled;
    let errors = checks::together(Rings { block: &block.name, corners: &corners, names: &names(block) });
    if !errors.is_empty() {
        return Err(errors);
    }

    findings.extend(worked_out(block, &corners));
    let mut rings = Vec::with_capacity(corners.len());
    for (index, (stated, corners)) in block.rings.iter().zip(&corners).enumerate() {
        let sides = stated.sides.iter().zip(corners);
        let mut sides: Vec<Side> = sides
            .filter_map(|(side, start)| {
                let role = match &side.role {
                    BlockRole::Known(role) => role.clone(),
                    BlockRole::RunsInto => Role::Abutment,
                    BlockRole::EaveOfUnknownPitch => return None,
                };
                Some(Side { name: side.name.as_str().into(), start: *start, height: side.height, role })
            })
            .collect();
        orient(&mut sides, if index == 0 { Direction::Anticlockwise } else { Direction::Clockwise });
        rings.push(Ring { sides });
    }
    let drip = to_drip_edge(&block.name, &rings, &block.datum)?;
    findings.extend(drip.findings);
    let walls = match block.datum {
        OutlineDatum::Wall { .. } => Some(rings.iter().map(Ring::corners).collect()),
        OutlineDatum::Eaves { .. } => None,
    };
    let sloping = drip.rings.iter().flat_map(|ring| &ring.sides).filter(|side| side.role.slopes());
    let heights = sloping.map(|side| side.height);
    let height = heights.reduce(f64::min).unwrap_or(block.height);
    let runs_in = |side: &&BlockSide| side.role == BlockRole::RunsInto;
    let in_ring = |side: &BlockSide| {
        Some((side.name.clone(), rings[0].sides.iter().position(|traced| traced.name == side.name)?))
    };
    let run_ins = block.rings.iter().take(1).flat_map(|ring| &ring.sides).filter(runs_in).filter_map(in_ring).collect();
    let footprint =
        Footprint { name: block.name.as_str().into(), height, rings: drip.rings, walls, take_over: block.take_over };
    Ok((footprint, run_ins, findings))
}

/// A note for every length that was left open.
fn worked_out(block: &Block, rings: &[Vec<Point2<f64>>]) -> Vec<Finding> {
    let of_ring = |(stated, corners): (&BlockRing, &Vec<Point2<f64>>)| {
        let MeasuredRing::Walk(legs) = &stated.measured else { return Vec::new() };
        let open = (0..legs.len()).filter(|&side| legs[side].length.sigma.is_infinite());
        let found = open.map(|side| Finding::LengthWorkedOut {
            side: SideName::new(&block.name, &stated.sides[side].name),
            length: (corners[(side + 1) % corners.len()] - corners[side]).norm(),
        });
        found.collect()
    };
    block.rings.iter().zip(rings).flat_map(of_ring).collect()
}

/// Roles that stand in the way of a roof.
fn roles(block: &Block) -> Vec<OutlineError> {
    let mut errors = Vec::new();
    let mut slopes = false;
    for side in block.rings.iter().flat_map(|ring| &ring.sides) {
        match &side.role {
            BlockRole::EaveOfUnknownPitch => {
                slopes = true;
                errors.push(OutlineError::UnknownPitch { block: block.name.clone(), side: side.name.clone() });
            }
            BlockRole::RunsInto => {}
            BlockRole::Known(role) => slopes |= role.profile().iter().any(|(_, pitch)| pitch.is_some()),
        }
    }
    if !slopes {
        errors.push(OutlineError::NoEave { block: block.name.clone() });
    }
    errors
}
