//! The same job at another pitch: for the designer who compares.

use super::model::Job;
use crate::base::units::Pitch;
use crate::outline::Role;
use crate::outline::block::BlockRole;

/// Whether any side's first pitch would change: points alone have no side to turn.
#[must_use]
pub fn has_eaves(job: &Job, only: &[(String, String)]) -> bool {
    let mut changed = job.clone();
    change(&mut changed, only, None) > 0
}

/// The job with every eave's first pitch (its gablets' too) set; breaks stay. `only` names (block, side) pairs; empty
/// means all. Half-hips keep their own pitch, since it does not rise from the eave.
#[must_use]
pub fn at_pitch(job: &Job, only: &[(String, String)], pitch: Pitch) -> Job {
    let mut changed = job.clone();
    change(&mut changed, only, Some(pitch));
    changed
}

/// Sets the pitch where `to` is given; counts the sides it is or would be set on.
fn change(job: &mut Job, only: &[(String, String)], to: Option<Pitch>) -> usize {
    let mut count = 0;
    for block in &mut job.blocks {
        for ring in &mut block.rings {
            for side in &mut ring.sides {
                let named = |(of, name): &(String, String)| *of == block.name && *name == side.name;
                if !only.is_empty() && !only.iter().any(named) {
                    continue;
                }
                match (&mut side.role, to) {
                    (BlockRole::Known(Role::Eave { pitch, .. } | Role::Gablet { pitch, .. }), to) => {
                        count += 1;
                        *pitch = to.unwrap_or(*pitch);
                    }
                    (role @ BlockRole::EaveOfUnknownPitch, to) => {
                        count += 1;
                        if let Some(pitch) = to {
                            *role = BlockRole::Known(Role::Eave { pitch, breaks: Vec::new() });
                        }
                    }
                    _ => {}
                }
            }
        }
    }
    count
}
