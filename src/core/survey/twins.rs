//! States that the measurements tell from a state hardly or not at all: the whole or a part of it turned upside down or
//! mirrored. Tapes do not know up from down or left from right; what hangs on a level eaves line by tapes may hang above
//! it or below; photos do not know up from down where nothing they show does.

use super::equation::Term;
use super::gauge;
use super::network::{Network, centroid};
use super::state::State;
use crate::base::order::SortByNumber as _;
use nalgebra::{Matrix3, Point3, SymmetricEigen, Unit, Vector3};
use std::collections::{BTreeSet, HashMap};

/// Most single places that are mirrored one by one: more than that are never all doubtful.
const MOST_SINGLE: usize = 60;
/// Places that lie within this part of their extent from a plane are taken to lie in it.
const FLAT: f64 = 0.05;
/// A twin in which nothing moves by more than this, metres, is none.
const MOVED: f64 = 0.05;
/// A place with so many neighbours at most can lie on either side of them.
const FEW_NEIGHBOURS: usize = 4;

/// A mirror plane or a half turn, as the matrix of it about a place.
#[derive(Clone, Copy, Debug)]
struct Movement {
    about: Point3<f64>,
    matrix: Matrix3<f64>,
}

impl Movement {
    /// In the plane through a place, square to a direction.
    fn mirror(about: Point3<f64>, normal: &Unit<Vector3<f64>>) -> Self {
        Self { about, matrix: Matrix3::identity() - normal.into_inner() * normal.transpose() * 2.0 }
    }

    /// About a line through a place.
    fn half_turn(about: Point3<f64>, axis: &Unit<Vector3<f64>>) -> Self {
        Self { about, matrix: axis.into_inner() * axis.transpose() * 2.0 - Matrix3::identity() }
    }

    fn place(&self, place: &Point3<f64>) -> Point3<f64> {
        self.about + self.matrix * (place - self.about)
    }
}

/// Every twin worth a look, the whole ones first.
pub(super) fn of(network: &Network<'_>, state: &State) -> Vec<State> {
    let mut twins = Vec::new();
    let corners = network.corners();
    for part in gauge::parts(network) {
        let is_free = |&place: &usize| place >= corners && network.layout.places[place].iter().any(Option::is_some);
        if !part.iter().any(is_free) {
            continue;
        }
        let photos = photos_of(network, &part);
        let given: Vec<Point3<f64>> =
            part.iter().filter(|&&p| gauge::is_given(network, p)).map(|&p| state.places[p]).collect();
        let all = Within { network, state, part: &part };
        let middle = centroid(&part.iter().map(|&place| state.places[place]).collect::<Vec<_>>());
        let about = if given.is_empty() { middle } else { centroid(&given) };
        // Turns of a walk tell left from right.
        let is_walked = part.iter().any(|&place| place < corners);
        // So does a plan that shows it: it is seen from above.
        let is_on_plan = (0..network.sheets.len())
            .any(|sheet| network.on_sheet(sheet).any(|(place, _)| part.binary_search(&place).is_ok()));
        if let Some(line) = line_through(&given).filter(|_| !is_walked && !is_on_plan) {
            let level = Unit::try_new(Vector3::new(line.x, line.y, 0.0), f64::EPSILON);
            let axes =
                if given.len() > 1 { level.into_iter().collect() } else { vec![Vector3::x_axis(), Vector3::y_axis()] };
            for axis in axes {
                twins.extend(all.moved(&part, &photos, &Movement::half_turn(about, &axis)));
                if photos.is_empty() {
                    let across = Unit::new_normalize(Vector3::z().cross(&axis));
                    twins.extend(all.moved(&part, &[], &Movement::mirror(about, &across)));
                }
            }
        }
        if photos.is_empty() {
            twins.extend(all.moved(&part, &[], &Movement::mirror(about, &Vector3::z_axis())));
            twins.extend(all.hanging_on_flat_places());
            twins.extend(all.single_places());
        }
    }
    twins
}

fn photos_of(network: &Network<'_>, part: &[usize]) -> Vec<usize> {
    let shows = |photo: &usize| {
        let marks = &network.survey.photos[*photo].marks;
        marks.iter().any(|mark| part.binary_search(&network.point_place[mark.point.index()]).is_ok())
    };
    (0..network.survey.photos.len()).filter(|&photo| network.layout.poses[photo].is_some()).filter(shows).collect()
}

/// The direction of the line on which given places lie, any where there are fewer than two; `None` when they span a plane.
fn line_through(given: &[Point3<f64>]) -> Option<Vector3<f64>> {
    let Some(first) = given.first() else { return Some(Vector3::x()) };
    let far = given.iter().max_by(|a, b| (*a - first).norm().total_cmp(&(*b - first).norm()))?;
    let way = far - first;
    let length = way.norm();
    if length < MOVED {
        return Some(Vector3::x());
    }
    let off = given.iter().map(|place| way.cross(&(place - first)).norm() / length).fold(0.0, f64::max);
    (off <= FLAT * length).then_some(way / length)
}

/// A part of the network.
struct Within<'n, 'a> {
    network: &'n Network<'a>,
    state: &'n State,
    part: &'n [usize],
}

impl Within<'_, '_> {
    /// The state with some places and photos moved; given coordinates stay. `None` where nothing moves, or a given place
    /// would have to.
    fn moved(&self, places: &[usize], photos: &[usize], movement: &Movement) -> Option<State> {
        let extent = places.iter().map(|&p| (self.state.places[p] - movement.about).norm()).fold(0.0, f64::max);
        let mut twin = self.state.clone();
        let mut moves = false;
        for &place in places {
            let (from, to) = (self.state.places[place], movement.place(&self.state.places[place]));
            for (k, column) in self.network.layout.places[place].iter().enumerate() {
                match column {
                    Some(_) => {
                        twin.places[place][k] = to[k];
                        moves |= (to[k] - from[k]).abs() > MOVED;
                    }
                    None if (to[k] - from[k]).abs() > FLAT * extent => return None,
                    None => {}
                }
            }
        }
        for &photo in photos {
            let pose = &mut twin.poses[photo];
            pose.centre = movement.place(&pose.centre);
            pose.rotation *= movement.matrix.transpose();
        }
        self.network.fit_to_places(&mut twin);
        moves.then_some(twin)
    }

    /// Pairs of places that are tied by lengths or stand above each other.
    fn ties(&self) -> Vec<[usize; 2]> {
        let equations = self.network.weighted.iter().chain(&self.network.exact);
        let tie = equations.filter_map(|equation| match equation.term {
            Term::Distance(a, b) | Term::LevelDistance(a, b) | Term::Difference { places: [a, b], axis: 0 } => {
                Some([a, b])
            }
            _ => None,
        });
        tie.filter(|[a, _]| self.part.binary_search(a).is_ok()).collect()
    }

    /// What hangs on three or more places in a plane may hang on the other side of it: on those of one level group, and
    /// on those that are given.
    fn hanging_on_flat_places(&self) -> Vec<State> {
        let mut groups: Vec<Vec<usize>> = vec![Vec::new(); self.network.layout.levels.len()];
        for equation in self.network.weighted.iter().chain(&self.network.exact) {
            if let Term::AboveLevel { place, level } = equation.term
                && self.part.binary_search(&place).is_ok()
            {
                groups[level].push(place);
            }
        }
        groups.push(self.part.iter().copied().filter(|&p| gauge::is_given(self.network, p)).collect());
        let mut tied: HashMap<usize, Vec<usize>> = HashMap::new();
        for [a, b] in self.ties() {
            tied.entry(a).or_default().push(b);
            tied.entry(b).or_default().push(a);
        }
        let mut twins = Vec::new();
        for group in groups.into_iter().filter(|group| group.len() >= 3) {
            let Some(mirror) = self.mirror_through(&group) else { continue };
            let held: BTreeSet<usize> = group.into_iter().collect();
            let mut rest: BTreeSet<usize> = self.part.iter().copied().filter(|place| !held.contains(place)).collect();
            let mut hangings = Vec::new();
            while let Some(first) = rest.pop_first() {
                let mut hanging = vec![first];
                let mut next = 0;
                while next < hanging.len() {
                    let at = hanging[next];
                    next += 1;
                    for &other in tied.get(&at).into_iter().flatten() {
                        if rest.remove(&other) {
                            hanging.push(other);
                        }
                    }
                }
                hangings.push(hanging);
            }
            // All of it first: what stands at one height then stays together.
            let all: Vec<usize> = hangings.iter().flatten().copied().collect();
            twins.extend(self.moved(&all, &[], &mirror));
            if hangings.len() > 1 {
                twins.extend(hangings.iter().take(MOST_SINGLE).filter_map(|hanging| self.moved(hanging, &[], &mirror)));
            }
        }
        twins
    }

    fn single_places(&self) -> Vec<State> {
        let mut neighbours: Vec<(usize, Vec<usize>)> = self.part.iter().map(|&place| (place, Vec::new())).collect();
        for [a, b] in self.ties() {
            for (one, other) in [(a, b), (b, a)] {
                if let Ok(index) = self.part.binary_search(&one) {
                    neighbours[index].1.push(other);
                }
            }
        }
        let few = |entry: &&(usize, Vec<usize>)| (3..=FEW_NEIGHBOURS).contains(&entry.1.len());
        let twin = |(place, around): &(usize, Vec<usize>)| self.moved(&[*place], &[], &self.mirror_through(around)?);
        if neighbours.iter().filter(few).count() > MOST_SINGLE {
            return Vec::new();
        }
        neighbours.iter().filter(few).filter_map(twin).collect()
    }

    /// The plane of some places; `None` where they lie in none or on one line.
    fn mirror_through(&self, places: &[usize]) -> Option<Movement> {
        let all: Vec<Point3<f64>> = places.iter().map(|&place| self.state.places[place]).collect();
        let middle = centroid(&all);
        let spread: Matrix3<f64> = all.iter().map(|p| (p - middle) * (p - middle).transpose()).sum();
        let eigen = SymmetricEigen::new(spread);
        let mut order = [0, 1, 2];
        order.sort_by_number(|&a| eigen.eigenvalues[a]);
        let [least, middle_value, largest] = order.map(|k| eigen.eigenvalues[k].max(0.0).sqrt());
        let is_plane = least <= FLAT * largest && middle_value > FLAT * largest;
        let normal = Unit::try_new(eigen.eigenvectors.column(order[0]).into_owned(), f64::EPSILON)?;
        is_plane.then(|| Movement::mirror(middle, &normal))
    }
}
