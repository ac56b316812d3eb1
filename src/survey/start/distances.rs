//! Unknown points that hang on tapes alone.

use crate::survey::network::Network;
use crate::survey::state::State;

/// Places unknown points by their distances.
pub(super) fn place(_network: &Network<'_>, _state: &mut State) {}
