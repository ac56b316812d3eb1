//! One state laid on another as well as it can be: what hangs on no given place has neither position nor bearing, and two
//! minima of it are compared by their shapes.

use super::gauge;
use super::network::{Network, centroid};
use super::state::State;
use nalgebra::{Matrix3, Point3, Vector3};

/// A state moved and turned, each part of the network by itself, so that its places come as near as they can to those of
/// another (W. Kabsch, "A solution for the best rotation to relate two sets of vectors", 1976). What given places hold stays. Its
/// places alone are moved.
pub(super) fn laid_on(network: &Network<'_>, state: &State, other: &State) -> State {
    let mut laid = state.clone();
    for part in gauge::parts(network) {
        let is_held = part.iter().any(|&place| place < network.corners());
        let given = part.iter().filter(|&&place| gauge::is_given(network, place)).count();
        if is_held || given > 1 {
            continue;
        }
        let places = |of: &State| part.iter().map(|&place| of.places[place]).collect::<Vec<Point3<f64>>>();
        let (from, to) = (places(state), places(other));
        let middles = [centroid(&from), centroid(&to)];
        let spread: Matrix3<f64> =
            from.iter().zip(&to).map(|(a, b)| (b - middles[1]) * (a - middles[0]).transpose()).sum();
        let svd = spread.svd(true, true);
        let (Some(u), Some(v_t)) = (svd.u, svd.v_t) else { continue };
        // A turn, never a mirror image: the weakest direction gives way.
        let mut signs = Vector3::repeat(1.0);
        signs[svd.singular_values.imin()] = (u * v_t).determinant().signum();
        let turn = u * Matrix3::from_diagonal(&signs) * v_t;
        for &place in &part {
            laid.places[place] = middles[1] + turn * (state.places[place] - middles[0]);
        }
    }
    laid
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::survey::model::{FaceByPoints, Known, Observation, ObservationKind, Point, Survey};
    use nalgebra::Rotation3;

    /// A moved and turned state comes to lie where it was; a mirror image does not.
    #[test]
    fn a_moved_state_is_laid_back() {
        let at = [[0.0, 0.0, 0.0], [5.0, 0.0, 0.2], [5.0, 3.0, 0.1], [1.0, 2.0, 1.9]].map(Point3::from);
        let points = (0..at.len()).map(|k| Point { name: k.to_string(), known: Known::Unknown }).collect();
        let id = crate::base::ids::PointId::new;
        let tape = |from: usize, to: usize| {
            let kind = ObservationKind::Tape { from: id(from), to: id(to), length: 1.0, plan: false };
            Observation { kind, sigma: 0.01 }
        };
        let survey = Survey {
            points,
            faces: Vec::<FaceByPoints>::new(),
            observations: vec![tape(0, 1), tape(1, 2), tape(2, 3)],
            ..Survey::default()
        };
        let (network, mut state) = Network::new(&[], &survey).unwrap();
        state.places = at.to_vec();
        let turn = Rotation3::new(Vector3::new(0.2, -0.1, 2.5));
        let mut moved = state.clone();
        let mut mirrored = state.clone();
        for (k, place) in at.iter().enumerate() {
            moved.places[k] = turn * place + Vector3::new(40.0, -3.0, 7.0);
            mirrored.places[k].z = -place.z;
        }
        let off = |state: &State| state.places.iter().zip(&at).map(|(a, b)| (a - b).norm()).fold(0.0, f64::max);
        assert!(off(&laid_on(&network, &moved, &state)) < 1e-12);
        assert!(off(&laid_on(&network, &mirrored, &state)) > 0.5);
    }
}
