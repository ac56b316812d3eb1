//! The search for the right minimum: start states are refined one after the other until one fits the measurements; then,
//! of the states that fit alike, the right way up is chosen.

use super::chi_square;
use super::equation::Term;
use super::gauge::{self, Scaleless};
use super::laid_on::laid_on;
use super::model::Known;
use super::network::Network;
use super::preference::Preference;
use super::report::{Choice, ChosenBy};
use super::solver::marquardt::{Solution, Stop, minimise};
use super::start::{self, Search, Starts, orient};
use super::state::State;
use super::twins;
use crate::base::ids::PointId;
use nalgebra::Point3;
use std::cmp::Ordering;

/// A step that promises 10⁻⁹ less of the sum of squares moves no unknown by more than 3 · 10⁻⁵ of its sigma.
pub(super) const STOP: Stop = Stop { relative: 1e-10, absolute: 1e-9, turns: 300 };
/// A later start counts as better when its sum of squares is lower by more than this part: less is rounding.
const SAME_MINIMUM: f64 = 1e-9;
/// Minima in which no length of a face differs by more than this, metres, are one, or each other's twins.
const ONE_SHAPE: f64 = 0.01;
/// Of the points that one photo shows, the nearest is no nearer than this part of how far the farthest is off.
const NEAREST: f64 = 0.01;
/// A sum of squares above this quantile makes the next start state be tried.
const FITS: f64 = 0.999;
/// Two states whose sums of squares differ by less than this fit alike: a single observation at its critical value, 3.29
/// sigmas, makes as much.
const ALIKE: f64 = 10.83;
/// The same of a minimum of another shape, which is no nearer to the truth for being near to this one: what one measurement
/// makes in one case of a hundred.
const ALIKE_ELSEWHERE: f64 = 6.63;
/// How much less strictly, and how long that is followed.
const EASED: f64 = 20.0;
const EASED_STOP: Stop = Stop { relative: 1e-4, absolute: 1e-3, turns: 60 };
/// Where along its line of sight a point is tried, its distance from the camera being 1, and when a state there is good
/// enough to tell whether it fits.
const DEPTHS: [f64; 3] = [0.8, 1.25, 1.6];
/// Where all of it lies no higher than this over what is held, metres, a ridge may have slid down its line of sight to the
/// eaves: it is tried as high as these as well.
const FLAT: f64 = 0.3;
const RISES: [f64; 3] = [0.6, 1.4, 2.4];
/// Nearer to the camera or farther from it than this many times as now it is not tried there.
const REACH: [f64; 2] = [0.3, 4.0];
/// A state so many times as large is none to reckon with: far enough off every fold is level.
const LARGER: f64 = 3.0;
const RIVAL_STOP: Stop = Stop { relative: 1e-4, absolute: 0.1, turns: 80 };
/// Steps after which starts are ranked.
const SOON: Stop = Stop { relative: 1e-3, absolute: 1e-2, turns: 25 };
/// Twins taken one after the other at most.
const MOST_TURNED: usize = 12;

/// A minimum reached from one start state.
pub(super) struct Candidate<'a> {
    /// The network without what holds it in place.
    free: Network<'a>,
    /// The same, held.
    pub network: Network<'a>,
    /// What it was refined from.
    start: State,
    pub scaleless: Vec<Scaleless>,
    pub solution: Solution<State>,
    /// Photos left out.
    pub unplaced: Vec<usize>,
    /// States elsewhere that fit alike: what differs in them is not determined.
    pub rivals: Vec<State>,
    /// Other minima that fit alike, laid on this one.
    pub other_minima: Vec<State>,
}

impl<'a> Candidate<'a> {
    /// Refines a start state.
    fn from(free: &Network<'a>, mut start: State, unplaced: &[usize]) -> Self {
        gauge::turn_as_stated(free, &mut start);
        let mut network = free.clone();
        let scaleless = gauge::hold(&mut network, &start);
        let solution = minimise(&network, start.clone(), &STOP);
        Self {
            free: free.clone(),
            network,
            start,
            scaleless,
            solution,
            unplaced: unplaced.to_vec(),
            rivals: Vec::new(),
            other_minima: Vec::new(),
        }
    }

    /// Whether the measurements agree as well as their sigmas promise: no other start need be tried.
    pub fn fits(&self) -> bool {
        let equations = self.network.weighted.len() + self.network.exact.len();
        let dof = equations.saturating_sub(self.network.layout.unknowns).max(1);
        self.solution.cost <= chi_square::quantile(FITS, dof)
    }

    /// Whether every photo could have been taken so: where a point has come to lie in a lens, its mark fits whatever the rest
    /// is like.
    fn could_be_photographed(&self) -> bool {
        let network = &self.network;
        let state = &self.solution.state;
        let photos = network.survey.photos.iter().zip(&state.poses).zip(&network.layout.poses);
        photos.filter(|(_, used)| used.is_some()).all(|((photo, pose), _)| {
            let places = photo.marks.iter().map(|mark| state.places[network.point_place[mark.point.index()]]);
            let depths = places.map(|place| (pose.rotation * (place - pose.centre)).z.abs());
            let (least, most) = depths.fold((f64::INFINITY, 0.0), |(a, b), depth| (depth.min(a), depth.max(b)));
            least >= NEAREST * most
        })
    }

    fn is_better_than(&self, other: &Self) -> bool {
        self.solution.cost < (1.0 - SAME_MINIMUM) * other.solution.cost || !other.solution.cost.is_finite()
    }

    /// The shapes of the faces: how far their points are from the next and from the first, metres.
    fn shape(&self) -> Vec<f64> {
        let place = |point: &PointId| self.solution.state.places[self.network.point_place[point.index()]];
        let of = |ring: &Vec<PointId>| {
            let places: Vec<Point3<f64>> = ring.iter().map(place).collect();
            let next = places.iter().cycle().skip(1);
            let lengths = places.iter().zip(next).flat_map(|(a, b)| [(b - a).norm(), (a - places[0]).norm()]);
            lengths.collect::<Vec<f64>>()
        };
        self.network.survey.faces.iter().flat_map(|face| of(&face.points)).collect()
    }
}

/// The minimum that is answered, and what was chosen on an assumption; `None` where there is nothing to start from.
pub(super) fn best<'a>(network: &Network<'a>, state: &State) -> (Option<Candidate<'a>>, Vec<Choice>) {
    let mut kept = Kept::default();
    for search in [Search::First, Search::All, Search::Undirected] {
        let mut placed = network.clone();
        let Starts { states, unplaced, is_doubtful } = start::candidates(&mut placed, state.clone(), search);
        kept.wants_all |= is_doubtful;
        for start in &states {
            kept.take(Candidate::from(&placed, start.clone(), &unplaced));
            if kept.is_enough() {
                break;
            }
        }
        // Where the way to the minimum is rough, what is only taken to be so (levels, plumb lines, flat faces) is first
        // taken less strictly.
        let again = if search == Search::First { Vec::new() } else { states };
        for start in again {
            if kept.fits() {
                break;
            }
            kept.take(Candidate::from(&placed, eased(&placed, start), &unplaced));
        }
        if kept.is_enough() || has_one_start(network) {
            break;
        }
    }
    let Kept { best, others, .. } = kept;
    let Some(best) = best else { return (None, Vec::new()) };
    let limit = best.solution.cost + ALIKE_ELSEWHERE;
    let others = others_alike(&best, others, limit).into_iter().map(right_way_up).collect();
    let (mut best, choices) = preferred(right_way_up(best), others);
    best.rivals = rivals(&best);
    (Some(best), choices)
}

/// Of the other minima of a search those that fit alike, one of each shape.
fn others_alike<'a>(best: &Candidate<'a>, others: Vec<Candidate<'a>>, limit: f64) -> Vec<Candidate<'a>> {
    let mut shapes = vec![best.shape()];
    let mut apart: Vec<Candidate<'_>> = Vec::new();
    for other in others {
        let solution = &other.solution;
        let is_alike = other.fits() && solution.converged && solution.cost <= limit && other.could_be_photographed();
        if !is_alike {
            continue;
        }
        let shape = other.shape();
        let is_one = |known: &Vec<f64>| known.iter().zip(&shape).all(|(a, b)| (a - b).abs() <= ONE_SHAPE);
        if !shapes.iter().any(is_one) {
            shapes.push(shape);
            apart.push(other);
        }
    }
    apart
}

/// A minimum the right way up, and what was chosen for it.
type Chosen<'a> = (Candidate<'a>, Vec<Choice>);

/// Of minima that fit alike the one that what is stated prefers, with those that it does not tell from it.
fn preferred<'a>(mut best: Chosen<'a>, others: Vec<Chosen<'a>>) -> Chosen<'a> {
    let told = |found: &Chosen<'a>| Preference::of(&found.0.free, &found.0.solution.state);
    let mut untold: Vec<Chosen<'a>> = Vec::new();
    let mut passed_over: Vec<(Chosen<'a>, ChosenBy)> = Vec::new();
    for found in others {
        match told(&found).compare_shapes(&told(&best)) {
            Some((Ordering::Less, by)) => {
                untold.clear();
                passed_over.push((std::mem::replace(&mut best, found), by));
            }
            Some((_, by)) => passed_over.push((found, by)),
            None => untold.push(found),
        }
    }
    let (mut best, mut choices) = best;
    let on_best = |(other, _): &Chosen<'a>| laid_on(&best.network, &other.solution.state, &best.solution.state);
    let other_minima = untold.iter().map(on_best).collect();
    let assumed = passed_over.iter().filter(|(_, by)| *by >= ChosenBy::Cameras);
    choices.extend(assumed.filter_map(|(other, by)| choice(&best, &on_best(other), *by)));
    in_order(&mut choices);
    best.other_minima = other_minima;
    (best, choices)
}

/// A point that one photo shows and no length reaches lies somewhere on its line of sight, as far as that photo tells: what
/// else holds it may hold it elsewhere as well. Looks nearer to the camera and farther away for states that fit alike.
fn rivals(best: &Candidate<'_>) -> Vec<State> {
    let network = &best.network;
    let state = &best.solution.state;
    let mut sights: Vec<Vec<usize>> = vec![Vec::new(); state.places.len()];
    let mut taped = vec![false; state.places.len()];
    for equation in network.weighted.iter().chain(&network.exact) {
        match equation.term {
            Term::Mark { pose, place, axis: 0, .. } => sights[place].push(pose),
            Term::Distance(a, b) | Term::LevelDistance(a, b) => {
                taped[a] = true;
                taped[b] = true;
            }
            // On a plan it lies where it lies.
            Term::OnSheet { place, .. } => taped[place] = true,
            _ => {}
        }
    }
    let plumb: Vec<usize> = orient::plumb_pairs(network).flatten().collect();
    let is_movable = |place: &usize| !taped[*place] && network.layout.places[*place].iter().all(Option::is_some);
    let movable: Vec<(usize, usize)> = (0..sights.len())
        .filter(is_movable)
        .filter_map(|place| if let [pose] = sights[place][..] { Some((place, pose)) } else { None })
        .collect();
    if movable.is_empty() || !best.fits() {
        return Vec::new();
    }
    let nearby = minimise(network, eased(&best.free, best.start.clone()), &RIVAL_STOP);
    let at_depths = |share: &dyn Fn(usize, &Point3<f64>) -> f64| {
        let mut moved = state.clone();
        for &(place, pose) in &movable {
            let centre = moved.poses[pose].centre;
            moved.places[place] = centre + (moved.places[place] - centre) * share(place, &centre);
        }
        network.fit_to_places(&mut moved);
        minimise(network, moved, &RIVAL_STOP)
    };
    let deeper = DEPTHS.iter().map(|depth| at_depths(&|_, _| *depth));
    let held = held_height(network, state, &movable).filter(|held| {
        let ridges = movable.iter().filter(|(place, _)| !plumb.contains(place));
        ridges.map(|(place, _)| state.places[*place].z).fold(f64::NEG_INFINITY, f64::max) < held + FLAT
    });
    let higher = RISES.iter().filter_map(|rise| {
        let height = held? + rise;
        // What stands plumb over a point or under one stays there.
        let share = |place: usize, centre: &Point3<f64>| {
            let share = (height - centre.z) / (state.places[place].z - centre.z);
            let is_tried = !plumb.contains(&place) && (REACH[0]..REACH[1]).contains(&share);
            if is_tried { share } else { 1.0 }
        };
        Some(at_depths(&share))
    });
    let elsewhere = deeper.chain(higher);
    let size = extent(state);
    let fits =
        |rival: &Solution<State>| rival.cost <= best.solution.cost + ALIKE && extent(&rival.state) <= LARGER * size;
    std::iter::once(nearby).chain(elsewhere).filter(fits).map(|rival| rival.state).collect()
}

/// Mean height of the points of faces that are not among some; `None` where all are.
fn held_height(network: &Network<'_>, state: &State, but: &[(usize, usize)]) -> Option<f64> {
    let on_faces = network.survey.faces.iter().flat_map(|face| &face.points);
    let places = on_faces.map(|point| network.point_place[point.index()]);
    let held: Vec<f64> =
        places.filter(|place| but.iter().all(|(other, _)| other != place)).map(|place| state.places[place].z).collect();
    (!held.is_empty()).then(|| held.iter().sum::<f64>() / held.len() as f64)
}

/// The sum of squares of the first start that fits; `None` where none does.
pub(super) fn cost_where_it_fits(network: &Network<'_>, state: &State) -> Option<f64> {
    let mut placed = network.clone();
    let Starts { states, unplaced, .. } = start::candidates(&mut placed, state.clone(), Search::First);
    let found = states.into_iter().map(|start| Candidate::from(&placed, start, &unplaced));
    found.filter(Candidate::fits).map(|found| found.solution.cost).reduce(f64::min)
}

/// The sum of squares that the first start comes to in a few steps: enough to rank.
pub(super) fn cost_soon(network: &Network<'_>, state: &State) -> f64 {
    let mut placed = network.clone();
    let starts = start::candidates(&mut placed, state.clone(), Search::First);
    let Some(mut start) = starts.states.into_iter().next() else { return f64::INFINITY };
    gauge::turn_as_stated(&placed, &mut start);
    gauge::hold(&mut placed, &start);
    minimise(&placed, start, &SOON).cost
}

/// Without photos or rough places there is but one start.
fn has_one_start(network: &Network<'_>) -> bool {
    network.layout.poses.iter().all(Option::is_none)
        && !network.survey.points.iter().any(|p| matches!(p.known, Known::Near(_)))
}

/// The best minimum so far.
#[derive(Default)]
struct Kept<'a> {
    best: Option<Candidate<'a>>,
    /// Whether all starts are to be followed: the photos hang together by so little that more than one minimum may fit.
    wants_all: bool,
    /// The other minima, where all are.
    others: Vec<Candidate<'a>>,
}

impl<'a> Kept<'a> {
    fn take(&mut self, found: Candidate<'a>) {
        let is_better = |best: &Candidate<'a>| {
            let possible = [&found, best].map(Candidate::could_be_photographed);
            if self.wants_all && possible[0] != possible[1] { possible[0] } else { found.is_better_than(best) }
        };
        let other = match &self.best {
            Some(best) if !is_better(best) => Some(found),
            _ => self.best.replace(found),
        };
        self.others.extend(other.filter(|_| self.wants_all));
    }

    fn fits(&self) -> bool {
        self.best.as_ref().is_some_and(|best| best.fits() && (!self.wants_all || best.could_be_photographed()))
    }

    fn is_enough(&self) -> bool {
        self.fits() && !self.wants_all
    }
}

/// The state that a start leads to while the site's own conditions are taken [`EASED`] times less strictly.
fn eased(free: &Network<'_>, mut start: State) -> State {
    gauge::turn_as_stated(free, &mut start);
    let mut network = free.clone();
    for equation in &mut network.weighted {
        if !matches!(
            equation.term,
            Term::Mark { .. }
                | Term::OnLine { .. }
                | Term::Along { .. }
                | Term::LensValue { .. }
                | Term::OnSheet { .. }
                | Term::OffSheetLine { .. }
                | Term::SheetScale(_)
        ) {
            equation.sigma *= EASED;
        }
    }
    gauge::hold(&mut network, &start);
    minimise(&network, start, &EASED_STOP).state
}

/// Largest distance of a place from the first, metres.
fn extent(state: &State) -> f64 {
    let first = state.places.first().copied().unwrap_or_default();
    state.places.iter().map(|place| (place - first).norm()).fold(0.0, f64::max)
}

/// Turns what the measurements do not tell from its twin the way that is preferred; what the preference rests on, where
/// it is an assumption.
fn right_way_up(mut best: Candidate<'_>) -> (Candidate<'_>, Vec<Choice>) {
    let mut choices: Vec<Choice> = Vec::new();
    for _ in 0..MOST_TURNED {
        let here = Preference::of(&best.free, &best.solution.state);
        let fits = best.fits();
        let mut better = None;
        choices.clear();
        for twin in twins::of(&best.free, &best.solution.state) {
            let told = Preference::of(&best.free, &twin).compare(&here);
            let prefers_twin = matches!(told, Some((Ordering::Less, _)));
            let by = told.map(|(_, by)| by);
            // What stated facts settle needs no second look; nor does a twin of which nothing tells.
            if fits
                && !prefers_twin
                && !matches!(by, Some(ChosenBy::Cameras | ChosenBy::Ridges | ChosenBy::OrderOfPoints))
            {
                continue;
            }
            let found = Candidate::from(&best.free, twin, &best.unplaced);
            let there = Preference::of(&found.free, &found.solution.state);
            let costs_more = found.solution.cost - best.solution.cost;
            let told = there.compare(&here);
            let prefers_twin = matches!(told, Some((Ordering::Less, _)));
            if costs_more < -ALIKE || prefers_twin && costs_more <= ALIKE {
                better = Some(found);
                break;
            }
            if let Some((Ordering::Greater, by)) = told
                && costs_more <= ALIKE
                && by >= ChosenBy::Cameras
                && let Some(choice) = choice(&best, &found.solution.state, by)
            {
                choices.push(choice);
            }
        }
        match better {
            Some(found) => best = found,
            None => break,
        }
    }
    in_order(&mut choices);
    (best, choices)
}

/// Of each assumption the choice that makes most of a difference.
fn in_order(choices: &mut Vec<Choice>) {
    choices.sort_by(|a, b| a.by.cmp(&b.by).then(b.apart.total_cmp(&a.apart)));
    choices.dedup_by(|later, kept| later.by == kept.by);
}

fn choice(best: &Candidate<'_>, other: &State, by: ChosenBy) -> Option<Choice> {
    let network = &best.network;
    let apart = |point: &usize| {
        let place = network.point_place[*point];
        (other.places[place] - best.solution.state.places[place]).norm()
    };
    let point = (0..network.survey.points.len()).max_by(|a, b| apart(a).total_cmp(&apart(b)))?;
    let place = network.point_place[point];
    let way = other.places[place] - best.solution.state.places[place];
    Some(Choice { by, point: PointId::new(point), apart: way.norm(), upside_down: by != ChosenBy::OrderOfPoints })
}
