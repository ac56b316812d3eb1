//! Start values: where unknown points and cameras are taken to be before the adjustment.

use super::network::Network;
use super::state::State;

/// States to start from, most promising first.
pub(super) fn candidates(network: &mut Network<'_>, state: State) -> Vec<State> {
    let mut state = state;
    network.fit_planes_and_levels(&mut state);
    vec![state]
}
