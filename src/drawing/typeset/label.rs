//! Placing of labels: along a line, inside a face, or beside it with a leader. Deterministic: candidates are tried in a
//! fixed order and the first of the best wins.

use super::board::{Around, Board, Tilted};
use super::lettering;
use super::model::{Anchor, Drawing, Text};
use super::pen::{Pen, Tone};
use crate::base::polygon;
use crate::base::tolerance::ROUNDING;
use nalgebra::{Point2, Vector2};

/// Gap between a line and lettering beside it, millimetres.
const GAP: f64 = 0.9;

/// Room kept free before and behind lettering along a line, millimetres.
const APART: f64 = 1.0;

/// Several lines of lettering that stand together, the first on top.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    lines: Vec<Text>,
}

impl Block {
    /// Lines from the top; places are worked out when the block is placed.
    #[must_use]
    pub fn new(lines: Vec<Text>) -> Self {
        Self { lines }
    }

    /// Width and height, millimetres.
    #[must_use]
    pub fn size(&self) -> [f64; 2] {
        let width = self.lines.iter().map(Text::width).fold(0.0, f64::max);
        let height: f64 = self.lines.iter().map(|line| line.height * 1.6).sum();
        [width, height]
    }

    /// The lines placed with the block's middle at a place.
    #[must_use]
    pub fn at(&self, centre: Point2<f64>) -> Vec<Text> {
        let mut top = centre.y + self.size()[1] / 2.0;
        self.lines
            .iter()
            .map(|line| {
                top -= line.height * 1.6;
                let at = Point2::new(centre.x, top + line.height * 0.4);
                Text { at, anchor: Anchor::Middle, ..line.clone() }
            })
            .collect()
    }

    fn bounds(&self, centre: Point2<f64>) -> Tilted {
        let [width, height] = self.size();
        Tilted { centre, half: [width / 2.0, height / 2.0], angle: 0.0 }
    }
}

/// Takes a place for words along a line, beside it, within its ends, clear of all lettering and lines; `None` when there is
/// none. `prefer` is the side to try first, as a direction square to the line. O(boxes + lines).
pub fn along(
    board: &mut Board,
    from: Point2<f64>,
    to: Point2<f64>,
    words: &str,
    prefer: Option<Vector2<f64>>,
) -> Option<Text> {
    let length = (to - from).norm();
    let text = Text::new(from, words).turned(lettering::readable((to - from).y.atan2((to - from).x)));
    let width = text.width();
    if width + 1.0 > length {
        return None;
    }
    let direction = (to - from).try_normalize(f64::EPSILON)?;
    let mut across = Vector2::new(-text.angle.sin(), text.angle.cos());
    if prefer.is_some_and(|side| side.dot(&across) < 0.0) {
        across = -across;
    }
    let slack = (length - width - 1.0) / 2.0;
    let off = GAP + text.bounds().half[1];
    for step in [0.0, 0.25, -0.25, 0.5, -0.5, 0.75, -0.75, 1.0, -1.0] {
        for side in [1.0, -1.0] {
            let centre = nalgebra::center(&from, &to) + direction * (step * slack) + across * (side * off);
            let placed = text.clone().centred(centre);
            let place = placed.bounds().grown(0.3);
            // Farther from lettering before and behind it, lest two names read as one.
            let apart = Tilted { half: [place.half[0] + APART, place.half[1]], ..place };
            if board.is_free(&apart) && !board.is_crossed(&place) {
                board.take(apart);
                return Some(placed);
            }
        }
    }
    None
}

/// How a leader ends: with an arrow on a line, with a dot within an area (ISO 128-22).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// On a line.
    Arrow,
    /// Within an area.
    Dot,
}

/// How a label is led to what it names.
#[derive(Clone, Debug, PartialEq)]
pub struct Leader {
    /// How its line ends.
    pub ending: Ending,
    /// A direction the line may not follow, lest it be taken for the edge it points at.
    pub not_along: Option<Vector2<f64>>,
    /// Rings the label may not stand in: another face would seem to be named.
    pub avoid: Vec<Vec<Point2<f64>>>,
}

impl Leader {
    /// To a place within an area: it ends in a dot, comes from any direction and its label may stand anywhere.
    #[must_use]
    pub fn to_area() -> Self {
        Self { ending: Ending::Dot, not_along: None, avoid: Vec::new() }
    }

    /// To a line that runs so: it ends in an arrow and does not run along it.
    #[must_use]
    pub fn to_line(along: Vector2<f64>) -> Self {
        Self { ending: Ending::Arrow, not_along: Some(along), avoid: Vec::new() }
    }

    fn runs_along(&self, line: Vector2<f64>) -> bool {
        // Within some 14 degrees.
        let close = |edge: Vector2<f64>| line.perp(&edge).abs() < 0.25 * line.norm() * edge.norm();
        self.not_along.is_some_and(close)
    }
}

fn meets_ring(place: &Tilted, ring: &[Point2<f64>]) -> bool {
    polygon::contains(ring, &place.centre)
        || ring.iter().enumerate().any(|(index, from)| place.meets(from, &ring[(index + 1) % ring.len()]))
}

/// Letters a block near a place with a leader to it, clear of all lettering and lines. Says whether there was a place.
/// O(candidates × (boxes + lines)).
pub(crate) fn led(
    board: &mut Board,
    drawing: &mut Drawing,
    target: Point2<f64>,
    block: &Block,
    leader: &Leader,
) -> bool {
    let mut best: Option<(f64, Point2<f64>, Point2<f64>)> = None;
    let avoid: Vec<(Around, &Vec<Point2<f64>>)> = leader.avoid.iter().map(|ring| (Around::of(ring), ring)).collect();
    let ways: Vec<Vector2<f64>> = (0..24_u8)
        .map(|turn| (f64::from(turn) + 1.5) * std::f64::consts::TAU / 24.0)
        .map(|angle| Vector2::new(angle.cos(), angle.sin()))
        .collect();
    let bounds = block.bounds(target).grown(0.6);
    for ring in 2..=36_u8 {
        let radius = f64::from(ring) * 2.5;
        if best.is_some_and(|(cost, ..)| cost <= radius) {
            break;
        }
        for way in &ways {
            let centre = target + way * radius;
            let place = Tilted { centre, ..bounds };
            let near = Point2::new(
                target.x.clamp(centre.x - place.half[0], centre.x + place.half[0]),
                target.y.clamp(centre.y - place.half[1], centre.y + place.half[1]),
            );
            // What is quickly asked comes first. A leader costs its length at least.
            let length = (near - target).norm();
            if place.holds(&target)
                || leader.runs_along(near - target)
                || best.is_some_and(|(least, ..)| length >= least)
                || !board.is_free(&place)
                || board.is_crossed(&place)
                || board.strikes(&target, &near)
                || board.is_barred(&target, &near)
            {
                continue;
            }
            let around = place.around();
            if avoid.iter().any(|(box_of, ring)| box_of.touches(&around) && meets_ring(&place, ring)) {
                continue;
            }
            let crossed = board.crossed_by(&(target + (near - target) * 0.05), &near);
            let cost = length + 9.0 * crossed as f64;
            if best.is_none_or(|(least, ..)| cost < least) {
                best = Some((cost, centre, near));
            }
        }
    }
    let Some((_, centre, near)) = best else { return false };
    board.take(block.bounds(centre).grown(0.3));
    // The leader itself may not be lettered over later.
    let along = near - target;
    board.take(Tilted {
        centre: nalgebra::center(&target, &near),
        half: [along.norm() / 2.0, 0.2],
        angle: along.y.atan2(along.x),
    });
    drawing.line(Pen::Leader, target, near);
    match leader.ending {
        Ending::Arrow => drawing.arrow(Pen::Leader, near, target, 1.4),
        Ending::Dot => {
            let corner = |turn: u8| {
                let angle = f64::from(turn) * std::f64::consts::TAU / 12.0;
                target + Vector2::new(angle.cos(), angle.sin()) * 0.5
            };
            drawing.area(Tone::Ink, vec![(0..12).map(corner).collect()]);
        }
    }
    for text in block.at(centre) {
        drawing.masked_text(text);
    }
    true
}

/// Clearance from its outline a label in a face must have, and beyond which more makes it no better, millimetres.
const LEAST_CLEARANCE: f64 = 0.8;
const AMPLE: f64 = 12.0;

fn sides(ring: &[Point2<f64>]) -> impl Iterator<Item = (&Point2<f64>, &Point2<f64>)> {
    ring.iter().enumerate().map(|(index, from)| (from, &ring[(index + 1) % ring.len()]))
}

/// Where a level line lies within rings, from left to right. O(n log n).
fn spans(rings: &[Vec<Point2<f64>>], height: f64) -> Vec<(f64, f64)> {
    let crossed = rings.iter().flat_map(|ring| sides(ring)).filter(|(from, to)| (from.y <= height) != (to.y <= height));
    let across = crossed.map(|(from, to)| from.x + (to.x - from.x) * (height - from.y) / (to.y - from.y));
    let mut across: Vec<f64> = across.collect();
    across.sort_by(f64::total_cmp);
    across.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect()
}

/// The best place for a box inside a polygon (rings on paper, outer first), clear of all lettering and lines: where its
/// least distance to the rings is largest. O(grid × corners).
#[must_use]
pub fn inside(board: &Board, rings: &[Vec<Point2<f64>>], size: [f64; 2]) -> Option<Point2<f64>> {
    // A narrow limb of a large outline may lie between the places of a coarse grid.
    [28, 96].into_iter().find_map(|steps| inside_by(board, rings, size, steps))
}

/// The same on a grid of so many steps each way.
fn inside_by(board: &Board, rings: &[Vec<Point2<f64>>], size: [f64; 2], steps: u8) -> Option<Point2<f64>> {
    let outer = rings.first()?;
    let low = outer.iter().copied().reduce(|a, b| a.inf(&b))?;
    let high = outer.iter().copied().reduce(|a, b| a.sup(&b))?;
    // Where it can't be, however it lies.
    if (0..2).any(|axis| high[axis] - low[axis] < size[axis]) {
        return None;
    }
    let share = |count: u8| f64::from(count) / f64::from(steps);
    let mut best: Option<(f64, Point2<f64>)> = None;
    for row in 1..steps {
        let up = low.y + (high.y - low.y) * share(row);
        // A box within the rings has its foot, its middle and its head within them.
        let levels = [up - size[1] / 2.0, up, up + size[1] / 2.0].map(|up| spans(rings, up));
        let fits = |across: f64| {
            let holds = |&(from, to): &(f64, f64)| from <= across - size[0] / 2.0 && across + size[0] / 2.0 <= to;
            levels.iter().all(|level| level.iter().any(holds))
        };
        for column in 1..steps {
            let centre = Point2::new(low.x + (high.x - low.x) * share(column), up);
            if !fits(centre.x) {
                continue;
            }
            // A little pull to the middle of the box keeps labels of a long face central.
            let pull = (centre - nalgebra::center(&low, &high)).norm() * 0.02;
            // The clearance it must have to be better than the best so far; more than `AMPLE` counts no more.
            let needed = best.map_or(LEAST_CLEARANCE, |(most, _)| (most + ROUNDING + pull).max(LEAST_CLEARANCE));
            if needed >= AMPLE {
                continue;
            }
            let place = Tilted { centre, half: [size[0] / 2.0, size[1] / 2.0], angle: 0.0 };
            let mut clearance = f64::INFINITY;
            for (from, to) in rings.iter().flat_map(|ring| sides(ring)) {
                clearance = gap_below(clearance, &place, from, to);
                if clearance <= needed {
                    break;
                }
            }
            if clearance > needed && board.is_free(&place) && !board.is_crossed(&place) {
                best = Some((clearance.min(AMPLE) - pull, centre));
            }
        }
    }
    best.map(|(_, centre)| centre)
}

/// Distance between a level box and a straight line, 0 when they meet; `least` where it is no less than that.
fn gap_below(least: f64, place: &Tilted, from: &Point2<f64>, to: &Point2<f64>) -> f64 {
    let along = to - from;
    let square = along.norm_squared().max(f64::MIN_POSITIVE);
    let to_line = |place: &Point2<f64>| {
        let t = ((place - from).dot(&along) / square).clamp(0.0, 1.0);
        (place - (from + along * t)).norm_squared()
    };
    let half = Vector2::from(place.half);
    // Most lines are farther from the middle than the box's corners and the least distance reach.
    if to_line(&place.centre) > (half.norm() + least).powi(2) {
        return least;
    }
    if place.meets(from, to) {
        return 0.0;
    }
    let outside = |point: &Point2<f64>| {
        let d = point - place.centre;
        Vector2::new((d.x.abs() - half.x).max(0.0), (d.y.abs() - half.y).max(0.0)).norm_squared()
    };
    let square = place.corners().iter().map(to_line).fold(outside(from).min(outside(to)), f64::min);
    least.min(square.sqrt())
}
