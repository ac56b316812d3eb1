//! The same job at another pitch: for the designer who compares.

use super::model::{Job, Slope};
use crate::base::ids::{BlockId, SideId};
use crate::base::name::SideName;
use crate::base::units::Pitch;
use crate::outline::Role;
use crate::outline::block::BlockRole;
use std::collections::BTreeSet;

/// Whether any side's first pitch would change: points alone have no side to turn.
#[must_use]
pub(crate) fn has_eaves(job: &Job, only: &[SideName]) -> bool {
    let mut changed = job.clone();
    change(&mut changed, only, None) > 0
}

/// The job with every eave's first pitch (its gablets' too) set; breaks stay. `only` names sides; empty
/// means all. Half-hips keep their own pitch, since it does not rise from the eave.
#[must_use]
pub fn at_pitch(job: &Job, only: &[SideName], pitch: Pitch) -> Job {
    let mut changed = job.clone();
    change(&mut changed, only, Some(pitch));
    changed
}

/// Sets the pitch where `to` is given; counts the sides it is or would be set on.
fn change(job: &mut Job, only: &[SideName], to: Option<Pitch>) -> usize {
    let mut turned: BTreeSet<SideId> = BTreeSet::new();
    for (index, block) in job.blocks.iter_mut().enumerate() {
        for (number, ring) in block.rings.iter_mut().enumerate() {
            for (place, side) in ring.sides.iter_mut().enumerate() {
                let named = |only: &SideName| only.block == block.name && only.side == side.name;
                if !only.is_empty() && !only.iter().any(named) {
                    continue;
                }
                let small = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
                let id = SideId { block: BlockId::new(index), ring: small(number), side: small(place) };
                match (&mut side.role, to) {
                    (BlockRole::Known(Role::Eave { pitch, .. } | Role::Gablet { pitch, .. }), to) => {
                        turned.insert(id);
                        *pitch = to.unwrap_or(*pitch);
                    }
                    (role @ BlockRole::EaveOfUnknownPitch, to) => {
                        turned.insert(id);
                        if let Some(pitch) = to {
                            *role = BlockRole::Known(Role::Eave { pitch, breaks: Vec::new() });
                        }
                    }
                    _ => {}
                }
            }
        }
    }
    // What was read on them is of the pitch they had.
    job.side_readings.retain(|reading| !turned.contains(&reading.side));
    for stated in &mut job.pitches {
        stated.slopes.retain(|slope| !matches!(slope, Slope::Side { side, part: 0 } if turned.contains(side)));
    }
    turned.len()
}
