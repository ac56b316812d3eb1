//! Start values: where unknown points and cameras are taken to be before the adjustment.
//!
//! Photos: the directions that edges are stated to run in turn each camera ([`orient`]); with the turns known, points
//! and lenses follow linearly ([`linear`]); a camera without such edges is set by points that are known by then
//! ([`resect`]). Where no direction is stated at all, photos are related to each other by the points they share
//! ([`undirected`], [`essential`]). Networks of tapes: by their distances ([`distances`]). What plans alone show lies where
//! they show it ([`sheets`]).

pub(super) mod distances;
mod essential;
pub(super) mod linear;
pub(super) mod orient;
pub(super) mod resect;
pub(super) mod search;
mod sheets;
mod undirected;

use super::network::Network;
use super::state::State;
pub(super) use search::{Direction, Search};

/// Most combinations of orientations looked at.
const MOST_COMBINATIONS: usize = 16;
/// Most start states refined.
const MOST_REFINED: usize = 3;
/// The same where no direction is stated: there starts are less sure.
const MOST_REFINED_UNDIRECTED: usize = 10;
/// The same where more than one minimum may fit.
const MOST_REFINED_DOUBTFUL: usize = 30;

/// Marks that lie no farther off than this part of the focal length are a good start.
const GOOD_SPREAD: f64 = 0.004;

fn mean_focal(state: &State) -> f64 {
    state.lenses.iter().map(super::state::Lens::focal).sum::<f64>() / state.lenses.len().max(1) as f64
}

/// What there is to start from.
pub(super) struct Starts {
    /// States, most promising first; never empty.
    pub states: Vec<State>,
    /// Photos that cannot be placed, taken out of the network.
    pub unplaced: Vec<usize>,
    /// Whether photos hang together by so few points, and by no direction, that more than one minimum may fit.
    pub is_doubtful: bool,
}

/// States to start from. Photos that cannot be placed are taken out of the network.
pub(super) fn candidates(network: &mut Network<'_>, state: State, search: Search) -> Starts {
    let mut state = state;
    let which = if search == Search::First { distances::Which::Unknown } else { distances::Which::Rough };
    distances::place(network, &mut state, which);
    sheets::place(network, &mut state, &[]);
    let photos: Vec<usize> = (0..state.poses.len()).filter(|&p| network.layout.poses[p].is_some()).collect();
    if photos.is_empty() {
        network.fit_to_places(&mut state);
        return Starts { states: vec![state], unplaced: Vec::new(), is_doubtful: false };
    }
    let mut found = Found::default();
    let mut is_directed = false;
    let sets = orient::direction_sets(network, &state);
    for directions in sets.iter().filter(|_| search != Search::Undirected) {
        let oriented: Vec<(usize, Vec<orient::Orientation>)> =
            photos.iter().map(|&photo| (photo, orient::orientations(network, &state, directions, photo))).collect();
        is_directed |= oriented.iter().any(|(_, list)| !list.is_empty());
        for choice in combinations(&oriented) {
            let mut start = state.clone();
            let mut used = Vec::new();
            let mut violations = 0;
            for (&(photo, _), orientation) in oriented.iter().zip(&choice) {
                if let Some(orientation) = orientation {
                    start.poses[photo].rotation = orientation.rotation;
                    violations += orientation.violations;
                    used.push(photo);
                }
            }
            if found.add(network, start, directions, &photos, &used, violations) && search == Search::First {
                return Starts { states: found.states(1), unplaced: Vec::new(), is_doubtful: false };
            }
        }
    }
    let is_doubtful = !is_directed && undirected::share_few(network, &photos);
    if let (false, Some(directions)) = (is_directed, sets.first()) {
        for turned in undirected::starts(network, &state, directions, &photos, search) {
            let nothing_against = found.add(network, turned.state, directions, &photos, &turned.used, 0);
            let spread = found.all.last().map_or(f64::INFINITY, |entry| entry.1);
            if search == Search::First && nothing_against && spread < GOOD_SPREAD * mean_focal(&state) {
                return Starts { states: found.states(1), unplaced: Vec::new(), is_doubtful };
            }
        }
    }
    let unplaced: Vec<usize> = found.unplaced.iter().flatten().copied().collect();
    for &photo in &unplaced {
        network.leave_out_photo(photo);
    }
    if found.all.is_empty() {
        network.fit_to_places(&mut state);
        return Starts { states: vec![state], unplaced, is_doubtful };
    }
    let most = match (is_directed, is_doubtful) {
        (true, _) => MOST_REFINED,
        (false, false) => MOST_REFINED_UNDIRECTED,
        (false, true) => MOST_REFINED_DOUBTFUL,
    };
    Starts { states: found.states(most), unplaced, is_doubtful }
}

/// Start states found so far.
#[derive(Default)]
struct Found {
    /// With signs of going wrong and the marks' spread.
    all: Vec<(usize, f64, State)>,
    /// Photos left out by the state that leaves out fewest.
    unplaced: Option<Vec<usize>>,
}

impl Found {
    /// Completes a state in which the `used` photos are turned as they were. Says whether nothing speaks against it.
    fn add(
        &mut self,
        network: &Network<'_>,
        mut start: State,
        directions: &[Direction],
        photos: &[usize],
        used: &[usize],
        violations: usize,
    ) -> bool {
        if !used.is_empty() {
            linear::place(network, &mut start, directions, used);
        }
        let failed = resect::place_rest(network, &mut start, photos, used);
        let seen: Vec<usize> = photos.iter().copied().filter(|photo| !failed.contains(photo)).collect();
        sheets::place(network, &mut start, &seen);
        let violations = violations + 2 * linear::into_view(network, &mut start, &failed) + 100 * failed.len();
        network.fit_to_places(&mut start);
        let score = spread_of_marks(network, &start, &failed);
        if self.unplaced.as_ref().is_none_or(|fewest| failed.len() < fewest.len()) {
            self.unplaced = Some(failed);
        }
        self.all.push((violations, score, start));
        violations == 0
    }

    /// The most promising ones.
    fn states(mut self, most: usize) -> Vec<State> {
        self.all.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        self.all.truncate(most);
        self.all.into_iter().map(|entry| entry.2).collect()
    }
}

/// Every choice of one orientation a photo, fewest sign violations first.
fn combinations(oriented: &[(usize, Vec<orient::Orientation>)]) -> Vec<Vec<Option<orient::Orientation>>> {
    let mut all: Vec<Vec<Option<orient::Orientation>>> = vec![Vec::new()];
    for (_, list) in oriented {
        let options: Vec<Option<orient::Orientation>> =
            if list.is_empty() { vec![None] } else { list.iter().copied().map(Some).collect() };
        all = all
            .into_iter()
            .flat_map(|choice| {
                options.iter().map(move |option| {
                    let mut longer = choice.clone();
                    longer.push(*option);
                    longer
                })
            })
            .collect();
        let cost = |choice: &[Option<orient::Orientation>]| -> (usize, f64) {
            let chosen = choice.iter().flatten();
            (chosen.clone().map(|o| o.violations).sum(), chosen.map(|o| o.cost).sum())
        };
        all.sort_by(|a, b| {
            let (a, b) = (cost(a), cost(b));
            a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
        });
        all.truncate(MOST_COMBINATIONS);
    }
    all
}

/// Root mean square distance of marks from where the state puts them, pixels: ranks start states.
fn spread_of_marks(network: &Network<'_>, state: &State, left_out: &[usize]) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for (photo, survey) in network.survey.photos.iter().enumerate() {
        if left_out.contains(&photo) || network.layout.poses[photo].is_none() {
            continue;
        }
        let pose = &state.poses[photo];
        let lens = &state.lenses[survey.camera];
        for mark in &survey.marks {
            let q = pose.rotation * (state.places[network.point_place[mark.point.index()]] - pose.centre);
            let seen = lens.ray(mark.at);
            let off = if q.z > 0.0 { (q / q.z - seen).xy().norm() * lens.focal() } else { lens.focal() };
            sum += off * off;
            count += 1.0;
        }
    }
    if count > 0.0 { (sum / count).sqrt() } else { 0.0 }
}
