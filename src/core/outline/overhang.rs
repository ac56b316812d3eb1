//! From the measured outline to the drip edge: overhangs, fascias of unequal pitch, and where hips then pass.
//!
//! At the wall's outer line the roof plane of a side lies `above_plate` over the side's own height h. Out at level
//! distance o the plane of pitch s has dropped by o · tan s. The three fascia rules differ in o and in the plane:
//!
//! | rule | distance o of a side of pitch s | drip edge | plane over the wall line |
//! |---|---|---|---|
//! | level | d / tan s, d = eave · tan(flattest) | h + above − d | h + above |
//! | equal | eave | h + above − eave · tan s | h + above |
//! | raised | eave | h + above − d | h + above + eave · (tan s − tan(flattest)) |
//!
//! "Flattest" is the flattest first pitch among the sides of that height.

use super::block::{Fascia, OutlineDatum, Overhang};
use super::checks::{self, Rings};
use super::error::OutlineError;
use super::finding::{Crossing, Finding, FoldKind};
use super::footprint::{Ring, Role, Side};
use super::offset::{directions, offset};
use super::recess::{Recess, bridged};
use crate::base::name::SideName;
use crate::base::tolerance::SMALLEST;
use crate::base::units::Pitch;
use smol_str::format_smolstr;

/// A block's outline at the drip edge.
#[derive(Clone, Debug, PartialEq)]
pub struct DripEdge {
    /// Its rings, in the order and direction of the measured ones. A jog between two sides in line is a further side.
    pub rings: Vec<Ring>,
    /// What was done and where hips pass.
    pub findings: Vec<Finding>,
}

/// Moves a block's measured rings (outer anticlockwise, holes clockwise, simple) to the drip edge. O(n log n).
///
/// # Errors
/// Sides of which nothing is left, drip edges that cross, slope changes that would lie below the drip edge; all of
/// them at once.
pub fn to_drip_edge(block: &str, measured: &[Ring], datum: &OutlineDatum) -> Result<DripEdge, Vec<OutlineError>> {
    match datum {
        OutlineDatum::Eaves { inside } if *inside == 0.0 => {
            Ok(DripEdge { rings: measured.to_vec(), findings: Vec::new() })
        }
        OutlineDatum::Eaves { inside } => {
            let edge = |side: &Side| Edge {
                distance: if side.role == Role::Abutment { 0.0 } else { *inside },
                height: side.height,
                over_wall: side.height,
                role: side.role.clone(),
            };
            let edges: Vec<Vec<Edge>> = measured.iter().map(|ring| ring.sides.iter().map(edge).collect()).collect();
            let (rings, recesses) = moved(block, measured, &edges)?;
            let mut findings = vec![Finding::BroughtToDripEdge { block: block.into(), by: *inside }];
            findings.extend(told(block, measured, &recesses));
            Ok(DripEdge { rings, findings })
        }
        OutlineDatum::Wall { overhang, above_plate } => from_wall(block, measured, overhang, *above_plate),
    }
}

/// What becomes of a side.
struct Edge {
    /// How far it moves out, metres.
    distance: f64,
    /// Height of the drip edge, metres above datum.
    height: f64,
    /// Height of its plane over the wall line.
    over_wall: f64,
    /// With rises above the drip edge.
    role: Role,
}

fn first_pitch(role: &Role) -> Option<Pitch> {
    match role {
        Role::Eave { pitch, .. } | Role::Gablet { pitch, .. } => Some(*pitch),
        Role::Verge | Role::HalfHip { .. } | Role::Abutment => None,
    }
}

fn from_wall(block: &str, walls: &[Ring], overhang: &Overhang, above: f64) -> Result<DripEdge, Vec<OutlineError>> {
    let eaves: Vec<(f64, f64)> = walls
        .iter()
        .flat_map(|ring| &ring.sides)
        .filter_map(|side| Some((side.height, first_pitch(&side.role)?.tangent())))
        .collect();
    let at_height = |height: f64| eaves.iter().filter(move |(h, _)| (h - height).abs() <= SMALLEST).map(|(_, t)| *t);
    let flattest = |height: f64| at_height(height).reduce(f64::min);
    let steepest = |height: f64| at_height(height).reduce(f64::max);
    let all_flattest = eaves.iter().map(|(_, t)| *t).reduce(f64::min).unwrap_or(0.0);

    let mut errors = Vec::new();
    let mut edges: Vec<Vec<Edge>> = Vec::new();
    for ring in walls {
        let mut moved = Vec::new();
        for side in &ring.sides {
            let flat = flattest(side.height).unwrap_or(all_flattest);
            let drop = overhang.eave * flat;
            let plate = side.height + above;
            let (distance, height, over_wall) = if let Some(pitch) = first_pitch(&side.role) {
                let tangent = pitch.tangent();
                match overhang.fascia {
                    Fascia::Level => (overhang.eave * (flat / tangent), plate - drop, plate),
                    Fascia::Equal => (overhang.eave, plate - overhang.eave * tangent, plate),
                    Fascia::Raised => (overhang.eave, plate - drop, plate + overhang.eave * (tangent - flat)),
                }
            } else {
                let distance = if side.role == Role::Abutment { 0.0 } else { overhang.verge };
                let lowest = match overhang.fascia {
                    Fascia::Equal => overhang.eave * steepest(side.height).unwrap_or(all_flattest),
                    Fascia::Level | Fascia::Raised => drop,
                };
                (distance, plate - lowest, plate)
            };
            let role = above_drip(&side.role, side.height, height, distance);
            if let Some(rise) = first_change(&role).filter(|rise| *rise <= 0.0) {
                errors.push(OutlineError::ChangeBelowDripEdge {
                    block: block.to_owned(),
                    side: side.name.to_string(),
                    rise,
                });
            }
            moved.push(Edge { distance, height, over_wall, role });
        }
        edges.push(moved);
    }
    if !errors.is_empty() {
        return Err(errors);
    }
    let (rings, recesses) = moved(block, walls, &edges)?;
    let mut findings: Vec<Finding> = fascias(block, walls, &edges, overhang).into_iter().collect();
    findings.extend(told(block, walls, &recesses));
    for ((ring, edges), recesses) in walls.iter().zip(&edges).zip(&recesses) {
        let gone: Vec<usize> = recesses.iter().flat_map(|recess| recess.sides.iter().copied()).collect();
        findings.extend(hips_off_corners(block, ring, edges, &gone));
    }
    Ok(DripEdge { rings, findings })
}

/// The role with its rises counted from the drip edge. Rises in the file are above the side's own height `own`. A
/// half-hip's plane passes through its rise straight above the wall, and so lies lower out at the verge.
fn above_drip(role: &Role, own: f64, drip: f64, distance: f64) -> Role {
    let lift = own - drip;
    match role {
        Role::Eave { pitch, breaks } => {
            Role::Eave { pitch: *pitch, breaks: breaks.iter().map(|(rise, next)| (rise + lift, *next)).collect() }
        }
        Role::HalfHip { hip_from, pitch } => {
            Role::HalfHip { hip_from: hip_from + lift - distance * pitch.tangent(), pitch: *pitch }
        }
        Role::Gablet { pitch, verge_from } => Role::Gablet { pitch: *pitch, verge_from: verge_from + lift },
        Role::Verge => Role::Verge,
        Role::Abutment => Role::Abutment,
    }
}

fn first_change(role: &Role) -> Option<f64> {
    match role {
        Role::Eave { breaks, .. } => breaks.first().map(|(rise, _)| *rise),
        Role::HalfHip { hip_from: rise, .. } | Role::Gablet { verge_from: rise, .. } => Some(*rise),
        Role::Verge | Role::Abutment => None,
    }
}

/// What is told of recesses that were bridged.
fn told(block: &str, walls: &[Ring], recesses: &[Vec<Recess>]) -> Vec<Finding> {
    let of_ring = |(ring, recesses): (&Ring, &Vec<Recess>)| -> Vec<Finding> {
        let finding = |recess: &Recess| Finding::RecessBridged {
            sides: recess.sides.iter().map(|&side| SideName::new(block, &ring.sides[side].name)).collect(),
            width: recess.width,
            overhangs: recess.overhangs,
        };
        recesses.iter().map(finding).collect()
    };
    walls.iter().zip(recesses).flat_map(of_ring).collect()
}

/// Moves the rings, bridges what that closes and checks that they are still an outline.
fn moved(
    block: &str,
    measured: &[Ring],
    edges: &[Vec<Edge>],
) -> Result<(Vec<Ring>, Vec<Vec<Recess>>), Vec<OutlineError>> {
    let mut errors = Vec::new();
    let mut rings = Vec::new();
    let mut recesses = Vec::new();
    for (ring, edges) in measured.iter().zip(edges) {
        let all: Vec<f64> = edges.iter().map(|edge| edge.distance).collect();
        let kept = bridged(&ring.corners(), &all);
        let corners = &kept.corners;
        let distances: Vec<f64> = kept.sides.iter().map(|&side| all[side]).collect();
        let moved = offset(corners, &distances);
        let along = directions(corners);
        let mut sides: Vec<Side> = Vec::with_capacity(moved.len());
        for (place, at) in moved.iter().enumerate() {
            let end = moved[(place + 1) % moved.len()].start;
            let Some(index) = at.side else {
                let after = moved[(place + 1) % moved.len()].side.unwrap_or(0);
                let before = kept.sides[(after + corners.len() - 1) % corners.len()];
                let after = kept.sides[after];
                let height = edges[before].height.min(edges[after].height);
                let name = format_smolstr!("{}-{}", ring.sides[before].name, ring.sides[after].name);
                sides.push(Side { name, start: at.start, height, role: Role::Verge });
                continue;
            };
            let side = &ring.sides[kept.sides[index]];
            if (end - at.start).dot(&along[index]) <= SMALLEST {
                errors.push(OutlineError::SideSwallowed {
                    block: block.to_owned(),
                    side: side.name.to_string(),
                    length: (corners[(index + 1) % corners.len()] - corners[index]).norm(),
                    distance: distances[index],
                });
            }
            let edge = &edges[kept.sides[index]];
            sides.push(Side { name: side.name.clone(), start: at.start, height: edge.height, role: edge.role.clone() });
        }
        rings.push(Ring { sides });
        recesses.push(kept.recesses);
    }
    if errors.is_empty() {
        let corners: Vec<_> = rings.iter().map(Ring::corners).collect();
        let names: Vec<Vec<String>> =
            rings.iter().map(|ring| ring.sides.iter().map(|side| side.name.to_string()).collect()).collect();
        errors = checks::together(Rings { block, corners: &corners, names: &names })
            .into_iter()
            .map(|error| match error {
                OutlineError::Crossing { block, first, second } => {
                    OutlineError::DripEdgesCross { block, first, second }
                }
                other => other,
            })
            .collect();
    }
    if errors.is_empty() { Ok((rings, recesses)) } else { Err(errors) }
}

/// How the fascias of unequal pitches meet, where pitches are unequal.
fn fascias(block: &str, walls: &[Ring], edges: &[Vec<Edge>], overhang: &Overhang) -> Option<Finding> {
    let eaves: Vec<(&Side, &Edge)> = walls
        .iter()
        .zip(edges)
        .flat_map(|(ring, edges)| ring.sides.iter().zip(edges))
        .filter(|(side, _)| side.role.is_eave())
        .collect();
    let differ = |value: &dyn Fn(&(&Side, &Edge)) -> f64| {
        let values: Vec<f64> = eaves.iter().map(value).collect();
        values.iter().any(|value| (value - values[0]).abs() > SMALLEST)
    };
    let list = |value: &dyn Fn(&(&Side, &Edge)) -> f64| -> Vec<(SideName, f64)> {
        eaves.iter().map(|eave| (SideName::new(block, &eave.0.name), value(eave))).collect()
    };
    match overhang.fascia {
        Fascia::Level if differ(&|eave| eave.1.distance) => {
            Some(Finding::OverhangsDiffer { sides: list(&|eave| eave.1.distance) })
        }
        Fascia::Equal if differ(&|eave| eave.1.height) => {
            Some(Finding::FasciaLevelsDiffer { overhang: overhang.eave, sides: list(&|eave| eave.1.height) })
        }
        Fascia::Raised if differ(&|eave| eave.1.over_wall - eave.0.height) => {
            Some(Finding::PlatesRaised { sides: list(&|eave| eave.1.over_wall - eave.0.height) })
        }
        _ => None,
    }
}

/// Where the fold between two planes passes a corner.
///
/// Before the corner runs side 1, after it side 2; `turn` is the sine of the turn. At level distances d1, d2 inside
/// the lines the planes stand at z1 + d1 tan s1 and z2 + d2 tan s2. The fold crosses side 2's line (d2 = 0) at
/// (z2 − z1) / (tan s1 · sine) along it from the corner, and side 1's line at (z1 − z2) / (tan s2 · sine) back from it.
/// Positive: along the side itself.
fn fold_past_corner(rise: f64, tangents: [f64; 2], turn: f64) -> [f64; 2] {
    [-rise / (tangents[1] * turn), rise / (tangents[0] * turn)]
}

/// Corners where a hip or valley passes neither over the wall corner nor from the drip edge's corner; none of sides that are
/// gone.
fn hips_off_corners(block: &str, ring: &Ring, edges: &[Edge], gone: &[usize]) -> Vec<Finding> {
    let along = directions(&ring.corners());
    let count = ring.sides.len();
    let mut findings = Vec::new();
    for after in 0..count {
        let before = (after + count - 1) % count;
        if gone.contains(&before) || gone.contains(&after) {
            continue;
        }
        let (one, two) = (&ring.sides[before], &ring.sides[after]);
        let (Some(s1), Some(s2)) = (first_pitch(&one.role), first_pitch(&two.role)) else { continue };
        let turn = along[before].perp(&along[after]);
        let tangents = [s1.tangent(), s2.tangent()];
        if turn.abs() <= f64::EPSILON {
            continue;
        }
        let [before_name, corner] = [one, two].map(|side| SideName::new(block, &side.name));
        let crossing = |rise: f64| {
            let [back, on] = fold_past_corner(rise, tangents, turn);
            let (side, at) = if on > 0.0 { (&corner, on) } else { (&before_name, back) };
            (rise.abs() > SMALLEST).then(|| Crossing { side: side.clone(), at })
        };
        let wall = crossing(edges[after].over_wall - edges[before].over_wall);
        let drip = crossing(edges[after].height - edges[before].height);
        if wall.is_none() && drip.is_none() {
            continue;
        }
        let fold = if turn > 0.0 { FoldKind::Hip } else { FoldKind::Valley };
        findings.push(Finding::HipOffCorner { corner, before: before_name, fold, wall, drip });
    }
    findings
}
