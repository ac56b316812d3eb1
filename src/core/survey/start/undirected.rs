//! Cameras of whose edges no direction is stated. Two photos that share five points tell how they stood to each other
//! ([`essential`]); plumb lines and levels tell which way is up, and where neither does, a phone is held level to within
//! a start value's need. The bearing is free then, or told by places that are given.

use super::essential::{self, FEWEST, Relative};
use super::orient;
use super::search::{Direction, Search};
use crate::base::order::SortByNumber as _;
use crate::survey::equation::Term;
use crate::survey::gauge;
use crate::survey::model::Photo;
use crate::survey::network::Network;
use crate::survey::state::State;
use nalgebra::{Matrix3, Point3, Rotation3, SymmetricEigen, Vector2, Vector3};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::f64::consts::TAU;

/// Most pairs of photos that are followed up.
const MOST_PAIRS: usize = 10;
/// Most relative orientations of a pair that are followed up.
const MOST_WAYS: usize = 4;
/// The same where every shared point is left out in turn.
const MOST_WAYS_THOROUGH: usize = 10;
/// Ways nearer to each other than this, as numbers of their matrices, are one.
const SAME: f64 = 0.1;
/// Photos that share no more points than this may stand to each other in more than one way: beyond [`FEWEST`], which fix it,
/// one tells too little of which of these is the right one.
const FEW: usize = FEWEST + 1;
/// Bearings tried between two photos that share too few points.
const BEARINGS: u32 = 24;
/// Weight of "held level" beside that of one plumb edge or level.
const HELD_LEVEL: f64 = 0.03;

/// Cameras with their turns, and which photos they are of.
pub(super) struct Turned {
    pub state: State,
    pub used: Vec<usize>,
}

/// States in which some photos have a turn, by every way that applies.
pub(super) fn starts(
    network: &Network<'_>,
    state: &State,
    directions: &[Direction],
    photos: &[usize],
    search: Search,
) -> Vec<Turned> {
    let mut all = Vec::new();
    for (first, second) in pairs(network, photos) {
        let pair = [first, second];
        let shared = shared(network, state, pair);
        let ways = ways(&shared, search);
        // Five points leave nothing over: with their errors the true way may be none of those that fit them.
        let is_swept = ways.is_empty() || search == Search::Undirected && shared.len() == FEWEST;
        all.extend(ways.iter().map(|way| set_up(network, state, directions, pair, way, &shared)));
        if is_swept {
            all.extend(sweep(network, state, pair, search));
        }
    }
    if all.is_empty() {
        for &photo in photos {
            let up = up(network, state, &[(photo, Matrix3::identity())], &BTreeMap::new());
            let mut state = state.clone();
            state.poses[photo].rotation = standing(&up);
            all.push(Turned { state, used: vec![photo] });
        }
    }
    all
}

/// Pairs of photos, those that share most points first; the photos of all others follow from the points of one pair.
fn pairs(network: &Network<'_>, photos: &[usize]) -> Vec<(usize, usize)> {
    let shown = shown(network);
    let all = photos.iter().enumerate().flat_map(|(index, &a)| photos[index + 1..].iter().map(move |&b| (a, b)));
    let mut pairs: Vec<(usize, usize)> = all.collect();
    if pairs.len() > MOST_PAIRS {
        pairs.sort_by_key(|&(a, b)| Reverse(shown[a].intersection(&shown[b]).count()));
        pairs.truncate(MOST_PAIRS);
    }
    pairs
}

/// Whether there are two photos, which share no more points than leave their relation open. A third checks them.
pub(super) fn share_few(network: &Network<'_>, photos: &[usize]) -> bool {
    let &[a, b] = photos else { return false };
    let shown = shown(network);
    shown[a].intersection(&shown[b]).count() <= FEW
}

/// The places that each photo shows.
fn shown(network: &Network<'_>) -> Vec<BTreeSet<usize>> {
    let of = |photo: &Photo| photo.marks.iter().map(|mark| network.point_place[mark.point.index()]).collect();
    network.survey.photos.iter().map(of).collect()
}

/// Places that both photos show, with their rays.
fn shared(network: &Network<'_>, state: &State, pair: [usize; 2]) -> Vec<(usize, [Vector3<f64>; 2])> {
    let rays = pair.map(|photo| rays(network, state, photo));
    rays[0].iter().filter_map(|(&place, first)| Some((place, [*first, *rays[1].get(&place)?]))).collect()
}

fn rays(network: &Network<'_>, state: &State, photo: usize) -> BTreeMap<usize, Vector3<f64>> {
    let survey = &network.survey.photos[photo];
    let lens = state.lenses[survey.camera];
    survey.marks.iter().map(|mark| (network.point_place[mark.point.index()], lens.ray(mark.at))).collect()
}

/// How the second photo's camera stood to the first's, by the points both show.
fn ways(shared: &[(usize, [Vector3<f64>; 2])], search: Search) -> Vec<Relative> {
    let shared: Vec<[Vector3<f64>; 2]> = shared.iter().map(|(_, rays)| *rays).collect();
    if shared.len() < FEWEST {
        return Vec::new();
    }
    let mut ways = essential::relative(&shared);
    if search != Search::Undirected {
        ways.truncate(MOST_WAYS);
        return ways;
    }
    if shared.len() > FEWEST {
        for left_out in 0..shared.len() {
            let mut rest = shared.clone();
            rest.remove(left_out);
            ways.extend(essential::relative(&rest));
        }
    }
    for way in &mut ways {
        way.cost = essential::misfit(way, &shared);
    }
    ways.sort_by_number(|a| a.cost);
    let mut apart: Vec<Relative> = Vec::new();
    for way in ways {
        let differs =
            |other: &Relative| (way.rotation - other.rotation).norm() + (way.shift - other.shift).norm() > SAME;
        if apart.iter().all(differs) {
            apart.push(way);
        }
    }
    apart.truncate(MOST_WAYS_THOROUGH);
    apart
}

/// How a camera was held.
#[derive(Clone, Copy, PartialEq)]
enum Held {
    /// Upright by what it shows itself.
    Upright,
    /// The same, upside down.
    UpsideDown,
    /// Looking straight down.
    Down,
}

/// Both cameras upright by what each shows itself, or looking straight down, at bearings all round; in a thorough search also
/// with either upside down, as a phone that was held on its side may seem.
fn sweep(network: &Network<'_>, state: &State, pair: [usize; 2], search: Search) -> Vec<Turned> {
    use Held::{Down, Upright, UpsideDown};
    let ups = pair.map(|photo| up(network, state, &[(photo, Matrix3::identity())], &BTreeMap::new()));
    let mut holds = vec![[Upright, Upright], [Down, Down]];
    if search == Search::Undirected {
        holds.extend([[Upright, UpsideDown], [UpsideDown, Upright], [UpsideDown, UpsideDown]]);
    }
    let mut all = Vec::new();
    for held in holds {
        let [first, second] = [0, 1].map(|k| match held[k] {
            Upright => standing(&ups[k]),
            UpsideDown => standing(&-ups[k]),
            Down => standing(&-Vector3::z()),
        });
        for step in 0..BEARINGS {
            let bearing = Rotation3::from_axis_angle(&Vector3::z_axis(), TAU * f64::from(step) / f64::from(BEARINGS));
            let mut state = state.clone();
            state.poses[pair[0]].rotation = first;
            state.poses[pair[1]].rotation = second * bearing.into_inner();
            all.push(Turned { state, used: pair.to_vec() });
        }
    }
    all
}

/// Two cameras on the site: upright, at a bearing that fits given places and stated directions where there are any.
fn set_up(
    network: &Network<'_>,
    state: &State,
    directions: &[Direction],
    pair: [usize; 2],
    way: &Relative,
    shared: &[(usize, [Vector3<f64>; 2])],
) -> Turned {
    // Places in the first camera's frame, the distance between the cameras being 1.
    let places: BTreeMap<usize, Point3<f64>> = shared
        .iter()
        .filter_map(|(place, rays)| {
            essential::depths(way, rays).map(|depths| (*place, Point3::from(rays[0] * depths[0])))
        })
        .collect();
    let up = up(network, state, &[(pair[0], Matrix3::identity()), (pair[1], way.rotation)], &places);
    let upright = standing(&up);
    let bearing = bearing(network, state, directions, &upright, &places);
    let first = upright * Rotation3::from_axis_angle(&Vector3::z_axis(), -bearing).into_inner();
    let mut state = state.clone();
    state.poses[pair[0]].rotation = first;
    state.poses[pair[1]].rotation = way.rotation * first;
    Turned { state, used: pair.to_vec() }
}

/// The turn by which what is seen comes to lie as given places and stated level directions tell.
fn bearing(
    network: &Network<'_>,
    state: &State,
    directions: &[Direction],
    upright: &Matrix3<f64>,
    places: &BTreeMap<usize, Point3<f64>>,
) -> f64 {
    let plan = |place: &Point3<f64>| upright.tr_mul(&place.coords).xy();
    let (mut dot, mut cross) = (0.0, 0.0);
    let mut compare = |seen: Vector2<f64>, given: Vector2<f64>| {
        dot += seen.dot(&given);
        cross += seen.perp(&given);
    };
    let known: Vec<(Vector2<f64>, Vector2<f64>)> = places
        .iter()
        .filter(|(place, _)| gauge::is_given(network, **place) || **place < network.corners())
        .map(|(&at, place)| (plan(place), state.places[at].xy().coords))
        .collect();
    let count = known.len().max(1) as f64;
    let middle = known.iter().fold((Vector2::zeros(), Vector2::zeros()), |sum, pair| (sum.0 + pair.0, sum.1 + pair.1));
    for (seen, given) in &known {
        compare(seen - middle.0 / count, given - middle.1 / count);
    }
    if known.len() < 2 {
        for direction in directions.iter().filter(|direction| direction.along.z == 0.0) {
            if let (Some(from), Some(to)) = (places.get(&direction.from), places.get(&direction.to)) {
                compare(plan(to) - plan(from), direction.along.xy());
            }
        }
    }
    cross.atan2(dot)
}

/// From the site to a camera that sees `up`, looking along +y.
fn standing(up: &Vector3<f64>) -> Matrix3<f64> {
    let ahead = (Vector3::z() - up * up.z).try_normalize(f64::EPSILON).unwrap_or_else(Vector3::x);
    Matrix3::from_columns(&[ahead.cross(up), ahead, *up])
}

/// Which way is up in the frame of the first camera. `cameras` are photos with their turns from that frame; `places` are
/// known in it.
fn up(
    network: &Network<'_>,
    state: &State,
    cameras: &[(usize, Matrix3<f64>)],
    places: &BTreeMap<usize, Point3<f64>>,
) -> Vector3<f64> {
    // Up is what is most nearly square to all of these.
    let mut square = Matrix3::zeros();
    let mut down = Vector3::zeros();
    for (photo, turn) in cameras {
        let held = turn.tr_mul(&Vector3::y());
        down += held;
        square += (Matrix3::identity() - held * held.transpose()) * HELD_LEVEL;
        let rays = rays(network, state, *photo);
        for [a, b] in orient::plumb_pairs(network) {
            if let (Some(a), Some(b)) = (rays.get(&a), rays.get(&b))
                && let Some(normal) = a.cross(b).try_normalize(f64::EPSILON)
            {
                let normal = turn.tr_mul(&normal);
                square += normal * normal.transpose();
            }
        }
    }
    let mut first_of_level: Vec<Option<&Point3<f64>>> = vec![None; state.levels.len()];
    for equation in network.weighted.iter().chain(&network.exact) {
        let Term::AboveLevel { place, level } = equation.term else { continue };
        let Some(place) = places.get(&place) else { continue };
        match first_of_level[level] {
            Some(first) => {
                if let Some(along) = (place - first).try_normalize(f64::EPSILON) {
                    square += along * along.transpose();
                }
            }
            None => first_of_level[level] = Some(place),
        }
    }
    let eigen = SymmetricEigen::new(square);
    let up = eigen.eigenvectors.column(eigen.eigenvalues.imin()).into_owned();
    if up.dot(&down) > 0.0 { -up } else { up }
}
