//! Unknown points that hang on tapes alone: classical scaling (W. S. Torgerson, "Multidimensional scaling", 1952) of the
//! shortest ways along the tapes, laid on whatever places are known.

use crate::base::order::SortByNumber as _;
use crate::survey::equation::Term;
use crate::survey::gauge;
use crate::survey::model::Known;
use crate::survey::network::{Network, centroid};
use crate::survey::state::State;
use nalgebra::{DMatrix, Matrix3, Point3, Rotation3, SymmetricEigen, Vector3};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// Above this many places their ways to some landmarks stand for the ways between all.
const MOST_FOR_ALL_WAYS: usize = 400;
/// So many landmarks.
const LANDMARKS: usize = 60;

/// Which points are placed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Which {
    /// Those of which nothing is said.
    Unknown,
    /// Those with a rough place too: it only tells how the whole lies, for where it led nowhere.
    Rough,
}

/// Places the unknown points of every part of the network that no photo shows.
pub(super) fn place(network: &Network<'_>, state: &mut State, which: Which) {
    let mut unknown = vec![false; state.places.len()];
    let mut rough = unknown.clone();
    for (point, &place) in network.survey.points.iter().zip(&network.point_place) {
        rough[place] = matches!(point.known, Known::Near(_));
        unknown[place] = matches!(point.known, Known::Unknown) || which == Which::Rough && rough[place];
    }
    let mut shown = vec![false; state.places.len()];
    for mark in network.survey.photos.iter().flat_map(|photo| &photo.marks) {
        shown[network.point_place[mark.point.index()]] = true;
    }
    for part in gauge::parts(network) {
        if part.iter().any(|&place| unknown[place]) && !part.iter().any(|&place| shown[place]) {
            place_part(network, state, &part, &unknown, &rough);
        }
    }
}

fn place_part(network: &Network<'_>, state: &mut State, part: &[usize], unknown: &[bool], rough: &[bool]) {
    let index = |place: usize| part.binary_search(&place).ok();
    let mut spans: Vec<Vec<(usize, f64)>> = vec![Vec::new(); part.len()];
    let mut flat = true;
    for equation in network.weighted.iter().chain(&network.exact) {
        let (Term::Distance(a, b) | Term::LevelDistance(a, b)) = equation.term else { continue };
        if let (Some(a), Some(b)) = (index(a), index(b)) {
            spans[a].push((b, equation.observed));
            spans[b].push((a, equation.observed));
            flat &= matches!(equation.term, Term::LevelDistance(..));
        }
    }
    let known: Vec<usize> = (0..part.len()).filter(|&i| !unknown[part[i]]).collect();
    for (k, &a) in known.iter().enumerate() {
        for &b in &known[k + 1..] {
            let way = state.places[part[b]] - state.places[part[a]];
            let span = if flat { way.xy().norm() } else { way.norm() };
            spans[a].push((b, span));
            spans[b].push((a, span));
        }
    }
    let levels = levels(network, part);
    flat |= levels.iter().any(|level| level.len() == part.len());
    let mut places = scaled(&spans, if flat { 2 } else { 3 });
    if known.len() < 3 && !flat {
        stand_up(&mut places, &levels);
    }
    // Where too little is given, rough places tell how the whole lies.
    let hold: Vec<usize> = if known.len() < 3 {
        (0..part.len()).filter(|&i| !unknown[part[i]] || rough[part[i]]).collect()
    } else {
        known
    };
    let pairs: Vec<(Vector3<f64>, Vector3<f64>)> =
        hold.iter().map(|&i| (places[i].coords, state.places[part[i]].coords)).collect();
    let laid = lay_on(&pairs, flat);
    let height = centroid(&hold.iter().map(|&i| state.places[part[i]]).collect::<Vec<_>>()).z;
    for (i, &place) in part.iter().enumerate() {
        if unknown[place] {
            let mut at = laid(&places[i]);
            if flat {
                at.z = height;
            }
            state.places[place] = at;
        }
    }
}

/// The members of each level group within the part.
fn levels(network: &Network<'_>, part: &[usize]) -> Vec<Vec<usize>> {
    let mut levels = vec![Vec::new(); network.layout.levels.len()];
    for equation in network.weighted.iter().chain(&network.exact) {
        if let Term::AboveLevel { place, level } = equation.term
            && let Ok(i) = part.binary_search(&place)
        {
            levels[level].push(i);
        }
    }
    levels
}

/// Places whose distances come nearest to the shortest ways. O(n² log n) for sparse tapes, O(n³) below 150 places.
fn scaled(spans: &[Vec<(usize, f64)>], dimensions: usize) -> Vec<Point3<f64>> {
    let count = spans.len();
    if count > MOST_FOR_ALL_WAYS {
        return scaled_by_landmarks(spans, dimensions);
    }
    let ways: Vec<Vec<f64>> = (0..count).map(|from| shortest(spans, from)).collect();
    let longest = ways.iter().flatten().copied().filter(|way| way.is_finite()).fold(0.0, f64::max);
    // What no chain of tapes joins is taken to lie far apart.
    let square = DMatrix::from_fn(count, count, |i, j| {
        let way = ways[i][j];
        (if way.is_finite() { way } else { longest }).powi(2)
    });
    let means: Vec<f64> = (0..count).map(|i| square.row(i).mean()).collect();
    let mean = means.iter().sum::<f64>() / count as f64;
    let products = DMatrix::from_fn(count, count, |i, j| -0.5 * (square[(i, j)] - means[i] - means[j] + mean));
    let mut places = vec![Point3::origin(); count];
    for (axis, (value, direction)) in leading(products, dimensions).into_iter().enumerate() {
        for (place, part) in places.iter_mut().zip(&direction) {
            place[axis] = part * value.max(0.0).sqrt();
        }
    }
    places
}

/// The same for many places (V. de Silva, J. B. Tenenbaum, "Sparse multidimensional scaling using landmark points", 2004):
/// some far from each other are scaled, the rest follows from their ways to these. O(landmarks · n log n).
fn scaled_by_landmarks(spans: &[Vec<(usize, f64)>], dimensions: usize) -> Vec<Point3<f64>> {
    let count = spans.len();
    let mut ways: Vec<Vec<f64>> = Vec::with_capacity(LANDMARKS);
    let mut marks: Vec<usize> = Vec::with_capacity(LANDMARKS);
    let mut nearest = vec![f64::INFINITY; count];
    let mut next = 0;
    while marks.len() < LANDMARKS {
        let from = shortest(spans, next);
        for (least, way) in nearest.iter_mut().zip(&from) {
            *least = least.min(*way);
        }
        marks.push(next);
        ways.push(from);
        // What no chain of tapes joins to the first stays with it.
        let far = |place: &usize| if nearest[*place].is_finite() { nearest[*place] } else { 0.0 };
        next = (0..count).max_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or_default();
    }
    let longest = ways.iter().flatten().copied().filter(|way| way.is_finite()).fold(0.0, f64::max);
    let square = |i: usize, place: usize| {
        let way = ways[i][place];
        (if way.is_finite() { way } else { longest }).powi(2)
    };
    let among = DMatrix::from_fn(LANDMARKS, LANDMARKS, |i, j| square(i, marks[j]));
    let means: Vec<f64> = (0..LANDMARKS).map(|i| among.row(i).mean()).collect();
    let mean = means.iter().sum::<f64>() / LANDMARKS as f64;
    let products = DMatrix::from_fn(LANDMARKS, LANDMARKS, |i, j| -0.5 * (among[(i, j)] - means[i] - means[j] + mean));
    let axes = leading(products, dimensions);
    let mut places = vec![Point3::origin(); count];
    for (axis, (value, direction)) in axes.into_iter().enumerate() {
        let root = value.max(0.0).sqrt();
        if root > 0.0 {
            for (index, place) in places.iter_mut().enumerate() {
                let sum: f64 = (0..LANDMARKS).map(|i| direction[i] * (means[i] - square(i, index))).sum();
                place[axis] = sum / (2.0 * root);
            }
        }
    }
    places
}

/// Dijkstra's shortest ways from a place; infinite where there is none.
fn shortest(spans: &[Vec<(usize, f64)>], from: usize) -> Vec<f64> {
    #[derive(PartialEq)]
    struct PathOver(f64, usize);
    impl Eq for PathOver {}
    impl PartialOrd for PathOver {
        fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
            Some(self.cmp(other))
        }
    }
    impl Ord for PathOver {
        fn cmp(&self, other: &Self) -> std::cmp::Ordering {
            self.0.total_cmp(&other.0).then(self.1.cmp(&other.1))
        }
    }
    let mut ways = vec![f64::INFINITY; spans.len()];
    ways[from] = 0.0;
    let mut heap = BinaryHeap::from([Reverse(PathOver(0.0, from))]);
    while let Some(Reverse(PathOver(way, at))) = heap.pop() {
        if way > ways[at] {
            continue;
        }
        for &(to, span) in &spans[at] {
            if way + span < ways[to] {
                ways[to] = way + span;
                heap.push(Reverse(PathOver(way + span, to)));
            }
        }
    }
    ways
}

/// The largest eigenvalues with their unit vectors, largest first.
fn leading(matrix: DMatrix<f64>, wanted: usize) -> Vec<(f64, Vec<f64>)> {
    let count = matrix.nrows();
    let eigen = SymmetricEigen::new(matrix);
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by_largest(|&a| eigen.eigenvalues[a]);
    let of = |k: usize| (eigen.eigenvalues[k], eigen.eigenvectors.column(k).iter().copied().collect());
    order.into_iter().take(wanted).map(of).collect()
}

/// Turns the whole so that the largest level group lies level and the rest, in the mean, above it.
fn stand_up(places: &mut [Point3<f64>], levels: &[Vec<usize>]) {
    let Some(level) = levels.iter().max_by_key(|level| level.len()).filter(|level| level.len() >= 3) else { return };
    let members: Vec<Point3<f64>> = level.iter().map(|&i| places[i]).collect();
    let middle = centroid(&members);
    let spread: Matrix3<f64> = members.iter().map(|p| (p - middle) * (p - middle).transpose()).sum();
    let eigen = SymmetricEigen::new(spread);
    let mut normal: Vector3<f64> = eigen.eigenvectors.column(eigen.eigenvalues.imin()).into_owned();
    if normal.dot(&(centroid(places) - middle)) < 0.0 {
        normal = -normal;
    }
    let Some(turn) = Rotation3::rotation_between(&normal, &Vector3::z()) else { return };
    for place in places {
        *place = middle + turn * (*place - middle);
    }
}

/// The movement (W. Kabsch, "A solution for the best rotation to relate two sets of vectors", 1976) that lays first
/// places on second ones, mirrored where that fits better and at least as many as dimensions tell.
fn lay_on(pairs: &[(Vector3<f64>, Vector3<f64>)], flat: bool) -> impl Fn(&Point3<f64>) -> Point3<f64> + use<> {
    let count = pairs.len().max(1) as f64;
    let from: Vector3<f64> = pairs.iter().map(|pair| pair.0).sum::<Vector3<f64>>() / count;
    let to: Vector3<f64> = pairs.iter().map(|pair| pair.1).sum::<Vector3<f64>>() / count;
    let level = |v: Vector3<f64>| if flat { Vector3::new(v.x, v.y, 0.0) } else { v };
    let mut products: Matrix3<f64> = pairs.iter().map(|(a, b)| level(b - to) * level(a - from).transpose()).sum();
    if flat {
        products[(2, 2)] = products.norm();
    }
    let mut turn = Matrix3::identity();
    if pairs.len() >= 2 {
        let svd = products.svd(true, true);
        if let (Some(u), Some(v_t)) = (svd.u, svd.v_t) {
            turn = u * v_t;
            let dimensions = if flat { 2 } else { 3 };
            if turn.determinant() < 0.0 && pairs.len() <= dimensions {
                let mut u = u;
                let last = svd.singular_values.imin();
                u.column_mut(last).neg_mut();
                turn = u * v_t;
            }
        }
    }
    move |place| Point3::from(to + turn * (place.coords - from))
}
