//! How a camera was turned, from edges whose directions are known: the plane through the lens and an edge (its
//! interpretation plane) contains the edge's direction. Twelve yaws of a level camera are refined; the signs of the
//! directions tell the two solutions apart that lie half a turn from each other.

use super::search::Direction;
use crate::base::ids::PointId;
use crate::base::tolerance::ROUNDING;
use crate::survey::equation::Term;
use crate::survey::network::Network;
use crate::survey::sheet;
use crate::survey::state::{Lens, State};
use nalgebra::{Matrix3, Rotation3, SymmetricEigen, Vector2, Vector3};
use std::f64::consts::{FRAC_PI_2, FRAC_PI_6};

/// A turn that no edge tells anything of is held by this part of what is known of the others.
const HELD: f64 = 1e-6;

/// A way the camera may have been turned.
#[derive(Clone, Copy, Debug)]
pub(in crate::survey) struct Orientation {
    /// From the site to the camera.
    pub rotation: Matrix3<f64>,
    /// Sum of squared sines between directions and interpretation planes.
    pub cost: f64,
    /// Edges that would run the other way than stated.
    pub violations: usize,
}

/// Orientations nearer than this are one: about 5°.
const SAME: f64 = 0.12;
/// Most kept a photo.
const MOST_KEPT: usize = 4;

/// The directions that the file states; where it states none of level edges, those of level edges that a plan shows; where
/// there is none either, those that checked right angles imply, once for each sense of going round.
pub(super) fn direction_sets(network: &Network<'_>, state: &State) -> Vec<Vec<Direction>> {
    let mut stated: Vec<Direction> = network
        .survey
        .axes
        .iter()
        .map(|axis| Direction {
            from: network.point_place[axis.from.index()],
            to: network.point_place[axis.to.index()],
            along: axis.along,
        })
        .collect();
    let level = stated.iter().any(|d| d.along.z == 0.0);
    stated.extend(plumb_directions(network, &stated));
    if level {
        return vec![stated];
    }
    let shown = sheet_directions(network, state);
    if !shown.is_empty() {
        stated.extend(shown);
        return vec![stated];
    }
    let mut sets = Vec::new();
    for sense in [1.0, -1.0] {
        let mut set = stated.clone();
        set.extend(square_directions(network, sense));
        sets.push(set);
    }
    sets
}

/// Which way points at one height lie from each other, as plans show them that lie as the state has it.
fn sheet_directions(network: &Network<'_>, state: &State) -> Vec<Direction> {
    let mut list = Vec::new();
    for (sheet, lies) in state.sheets.iter().enumerate() {
        let shown: Vec<(usize, [f64; 2])> = network.on_sheet(sheet).collect();
        let at =
            |place: usize| shown.iter().find(|(other, _)| *other == place).map(|(_, at)| sheet::in_plan(lies, *at));
        let mut last_of_level = vec![None; state.levels.len()];
        for equation in network.weighted.iter().chain(&network.exact) {
            let Term::AboveLevel { place, level } = equation.term else { continue };
            let Some(to) = at(place) else { continue };
            if let Some((from, start)) = last_of_level[level].replace((place, to)) {
                let way: Vector2<f64> = to - start;
                if let Some(along) = way.try_normalize(f64::EPSILON) {
                    list.push(Direction { from, to: place, along: Vector3::new(along.x, along.y, 0.0) });
                }
            }
        }
    }
    list
}

/// Pairs of places of which one stands above the other.
pub(in crate::survey) fn plumb_pairs(network: &Network<'_>) -> impl Iterator<Item = [usize; 2]> {
    network.weighted.iter().chain(&network.exact).filter_map(|equation| match equation.term {
        Term::Difference { places, axis: 0 } => Some(places),
        _ => None,
    })
}

/// Plumb pairs: the one higher in the photos that show both is taken to be above.
fn plumb_directions(network: &Network<'_>, stated: &[Direction]) -> Vec<Direction> {
    let mut list: Vec<Direction> = Vec::new();
    for [a, b] in plumb_pairs(network) {
        let known = stated.iter().any(|d| (d.from, d.to) == (a, b) || (d.from, d.to) == (b, a));
        let row = |place: usize, photo: usize| {
            let marks = &network.survey.photos[photo].marks;
            marks.iter().find(|mark| network.point_place[mark.point.index()] == place).map(|mark| mark.at[1])
        };
        let photos = (0..network.survey.photos.len()).filter(|&photo| network.survey.photos[photo].sheet.is_none());
        let below = photos.into_iter().find_map(|photo| Some(row(a, photo)? > row(b, photo)?));
        if let Some(a_is_below) = below.filter(|_| !known) {
            let (from, to) = if a_is_below { (a, b) } else { (b, a) };
            list.push(Direction { from, to, along: Vector3::z() });
        }
    }
    list
}

/// Right angles in plan: the first arm runs along +x, the rest follows; `sense` +1 has a second arm turn left of it.
/// Which of the two ways each further arm turns is found from the ring that the right angles form, so only corners
/// that hang together with the first take part.
fn square_directions(network: &Network<'_>, sense: f64) -> Vec<Direction> {
    let squares: Vec<[usize; 3]> = network
        .weighted
        .iter()
        .filter_map(|equation| if let Term::PlanAngle(places) = equation.term { Some(places) } else { None })
        .collect();
    let Some(first) = squares.first() else { return Vec::new() };
    let mut known: Vec<Direction> = vec![
        Direction { from: first[0], to: first[1], along: Vector3::x() },
        Direction { from: first[0], to: first[2], along: Vector3::y() * sense },
    ];
    let mut changed = true;
    while changed {
        changed = false;
        for &[at, b, c] in &squares {
            for (one, other) in [(b, c), (c, b)] {
                let find = |from: usize, to: usize| {
                    known.iter().find_map(|d| match (d.from, d.to) {
                        (f, t) if (f, t) == (from, to) => Some(d.along),
                        (f, t) if (f, t) == (to, from) => Some(-d.along),
                        _ => None,
                    })
                };
                if let (Some(along), None) = (find(at, one), find(at, other)) {
                    // A ring turns the same way at each corner: arriving against `along`, it leaves to one side.
                    let turned = Vector3::new(-along.y, along.x, 0.0);
                    let back = find(at, one).is_some_and(|_| one == b);
                    let along = if back { turned * sense } else { -turned * sense };
                    known.push(Direction { from: at, to: other, along });
                    changed = true;
                }
            }
        }
    }
    known
}

struct Edge {
    /// Rays of its ends, camera frame.
    rays: [Vector3<f64>; 2],
    /// Unit normal of its interpretation plane.
    normal: Vector3<f64>,
    along: Vector3<f64>,
    /// Whether the rays are those of its ends, in order: places along it may be marked either way round.
    is_ordered: bool,
}

/// Orientations of a photo, best first; none when its edges run in fewer than two directions.
pub(super) fn orientations(
    network: &Network<'_>,
    state: &State,
    directions: &[Direction],
    photo: usize,
) -> Vec<Orientation> {
    let survey = &network.survey.photos[photo];
    let lens = &state.lenses[survey.camera];
    let ray = |place: usize| {
        let mark = survey.marks.iter().find(|mark| network.point_place[mark.point.index()] == place)?;
        Some(lens.ray(mark.at))
    };
    let edges: Vec<Edge> = directions
        .iter()
        .filter_map(|direction| {
            let rays = [ray(direction.from)?, ray(direction.to)?];
            let normal = rays[0].cross(&rays[1]).try_normalize(f64::EPSILON)?;
            Some(Edge { rays, normal, along: direction.along, is_ordered: true })
        })
        .chain(lines(network, lens, directions, photo))
        .chain(plumb_edges(network, lens, photo))
        .collect();
    let turned = |edge: &Edge| edge.along.cross(&edges[0].along).norm() > 0.5;
    if edges.len() < 3 || !edges.iter().any(turned) {
        return Vec::new();
    }
    let mut found: Vec<Orientation> = Vec::new();
    let starts = attitudes(&edges)
        .into_iter()
        .flat_map(|held| (0..12).map(move |step| held * level_camera(f64::from(step) * FRAC_PI_6)));
    for start in starts {
        let (rotation, cost) = refine(start, &edges);
        let apart = |other: &Orientation| (rotation - other.rotation).norm() > SAME;
        if found.iter().all(apart) {
            let violations = edges.iter().filter(|edge| edge.is_ordered && runs_back(edge, &rotation)).count();
            found.push(Orientation { rotation, cost, violations });
        }
    }
    found.sort_by(|a, b| a.violations.cmp(&b.violations).then(a.cost.total_cmp(&b.cost)));
    found.truncate(MOST_KEPT);
    found
}

/// Edges of stated direction that are seen in part.
fn lines(network: &Network<'_>, lens: &Lens, directions: &[Direction], photo: usize) -> Vec<Edge> {
    let place = |point: PointId| network.point_place[point.index()];
    let seen = network.survey.photos[photo].lines.iter().filter_map(|line| {
        let [a, b] = line.ends.map(place);
        let direction = directions.iter().find(|d| (d.from, d.to) == (a, b) || (d.from, d.to) == (b, a))?;
        let rays = [lens.ray(*line.at.first()?), lens.ray(*line.at.last()?)];
        let normal = rays[0].cross(&rays[1]).try_normalize(f64::EPSILON)?;
        Some(Edge { rays, normal, along: direction.along, is_ordered: false })
    });
    seen.collect()
}

/// Plumb edges without points.
fn plumb_edges(network: &Network<'_>, lens: &Lens, photo: usize) -> Vec<Edge> {
    let seen = network.survey.photos[photo].plumb.iter().filter_map(|at| {
        let rays = at.map(|pixel| lens.ray(pixel));
        let normal = rays[0].cross(&rays[1]).try_normalize(f64::EPSILON)?;
        Some(Edge { rays, normal, along: Vector3::z(), is_ordered: false })
    });
    seen.collect()
}

/// A level camera that looks in the direction of this angle from +x.
pub(super) fn level_camera(yaw: f64) -> Matrix3<f64> {
    let (s, c) = yaw.sin_cos();
    Matrix3::new(s, -c, 0.0, 0.0, 0.0, -1.0, c, s, 0.0)
}

/// How a camera may be held beside level: as its plumb edges show it, and else turned about its axis by quarter turns,
/// or looking straight down.
fn attitudes(edges: &[Edge]) -> Vec<Matrix3<f64>> {
    let roll =
        |quarters: i32| Rotation3::from_axis_angle(&Vector3::z_axis(), f64::from(quarters) * FRAC_PI_2).into_inner();
    let down = Rotation3::from_axis_angle(&Vector3::x_axis(), -FRAC_PI_2).into_inner();
    vec![upright(edges), roll(1), roll(2), roll(3), down]
}

/// The turn in the camera's frame that brings "down" of a level camera to the plumb direction its plumb edges show.
fn upright(edges: &[Edge]) -> Matrix3<f64> {
    let plumb: Vec<&Edge> = edges.iter().filter(|edge| edge.along.z.abs() > 0.5).collect();
    if plumb.len() < 2 {
        return Matrix3::identity();
    }
    let sum: Matrix3<f64> = plumb.iter().map(|edge| edge.normal * edge.normal.transpose()).sum();
    let eigen = SymmetricEigen::new(sum);
    let down = eigen.eigenvectors.column(eigen.eigenvalues.imin()).into_owned();
    let down = if down.y < 0.0 { -down } else { down };
    Rotation3::rotation_between(&Vector3::y(), &down).map_or_else(Matrix3::identity, Rotation3::into_inner)
}

/// Gauss and Newton on the sum of squared sines.
fn refine(start: Matrix3<f64>, edges: &[Edge]) -> (Matrix3<f64>, f64) {
    let mut rotation = start;
    let cost = |rotation: &Matrix3<f64>| -> f64 {
        edges.iter().map(|edge| edge.normal.dot(&(rotation * edge.along)).powi(2)).sum()
    };
    let mut now = cost(&rotation);
    for _ in 0..15 {
        let (mut normal, mut right) = (Matrix3::zeros(), Vector3::zeros());
        for edge in edges {
            let direction = rotation * edge.along;
            let slope = direction.cross(&edge.normal);
            normal += slope * slope.transpose();
            right -= slope * edge.normal.dot(&direction);
        }
        normal += Matrix3::identity() * (normal.trace() * HELD);
        let Some(step) = normal.cholesky().map(|factor| factor.solve(&right)) else { break };
        // A turn of at most a radian keeps each start near its own minimum.
        let step = if step.norm() > 1.0 { step.normalize() } else { step };
        let next = Rotation3::new(step).into_inner() * rotation;
        let then = cost(&next);
        if then >= now {
            break;
        }
        rotation = next;
        let done = step.norm() < ROUNDING;
        now = then;
        if done {
            break;
        }
    }
    (rotation, now)
}

/// Whether, with the camera so turned, the edge's second end could only lie the other way from its first than
/// stated: `m · ray2 = ray1 + t · direction` must have m and t positive.
fn runs_back(edge: &Edge, rotation: &Matrix3<f64>) -> bool {
    let direction = rotation * edge.along;
    let [first, second] = edge.rays;
    let (a, b) = (direction.cross(&second), first.cross(&second));
    let along = -b.dot(&a);
    let (c, d) = (second.cross(&direction), first.cross(&direction));
    along < 0.0 || d.dot(&c) < 0.0
}
