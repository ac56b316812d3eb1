//! Dimension lines: set out in lanes from the thing they measure, never on one another nor through lettering.

use super::board::{Board, Tilted};
use super::lettering;
use super::model::{Dimension, Drawing, Meaning, Text};
use super::pen::Pen;
use nalgebra::{Point2, Vector2};

/// Distance of the first lane from what is measured, and between lanes, millimetres.
pub const LANE: f64 = 7.0;
const FIRST: f64 = 8.0;
const LANES: u8 = 6;
const TICK: f64 = 1.1;

fn thin(from: Point2<f64>, to: Point2<f64>, half: f64) -> Tilted {
    let along = to - from;
    Tilted { centre: nalgebra::center(&from, &to), half: [along.norm() / 2.0, half], angle: along.y.atan2(along.x) }
}

/// Dimensions the distance between two places, in the nearest free lane on the side `outward` (a unit vector square to
/// the line between them, or to the direction measured); its lettering gets a blank ground where it is `masked`. Says whether there was one. O(lanes × (boxes + lines)).
pub fn dimension(
    board: &mut Board,
    drawing: &mut Drawing,
    ends: [Point2<f64>; 2],
    outward: Vector2<f64>,
    words: &str,
    masked: bool,
) -> bool {
    let [from, to] = ends;
    let along = Vector2::new(-outward.y, outward.x);
    // Both ends are brought level with the outer one, so that slanting pairs are measured along `along`.
    let outer = from.coords.dot(&outward).max(to.coords.dot(&outward));
    let foot = |end: Point2<f64>, off: f64| end + outward * (outer - end.coords.dot(&outward) + off);
    let length = (to - from).dot(&along).abs();
    let text = Text::new(from, words).turned(lettering::readable(along.y.atan2(along.x)));
    let up = Vector2::new(-text.angle.sin(), text.angle.cos());
    // The ticks end below the lettering.
    let fits = text.width() <= length;
    for lane in 0..LANES {
        let off = FIRST + LANE * f64::from(lane);
        let (a, b) = (foot(from, off), foot(to, off));
        let direction = (b - a).try_normalize(f64::EPSILON).unwrap_or(along);
        let line = thin(a, b, 0.6);
        if !board.is_free(&line) || board.is_crossed(&line) {
            continue;
        }
        let reaches = [(from, a), (to, b)].map(|(end, foot)| (end + outward * 1.5, foot + outward * 1.5));
        if reaches.iter().any(|(start, end)| board.strikes(start, end)) {
            continue;
        }
        let rise = 1.0 + text.bounds().half[1];
        let mut places = Vec::new();
        if fits {
            places.push(nalgebra::center(&a, &b) + up * rise);
        } else {
            let beside = text.width() / 2.0 + 2.0;
            places.extend([b + direction * beside, a - direction * beside]);
        }
        for centre in places {
            let placed = text.clone().centred(centre);
            let place = placed.bounds().grown(0.2);
            if !board.is_free(&place) || board.is_crossed(&place) || (fits && place.overlaps(&line)) {
                continue;
            }
            let start = drawing.items.len();
            draw(drawing, [a, b], &reaches);
            board.take(place);
            board.note_line(a, b);
            for (start, end) in reaches {
                board.note_line(start, end);
            }
            for (start, end) in std::iter::once((a, b)).chain(reaches).chain(ticks(a, b)) {
                board.bar(start, end);
            }
            if masked {
                drawing.masked_text(placed);
            } else {
                drawing.text(placed);
            }
            let dimension = Dimension { measured: [from, to], line: [a, b], lettered: centre };
            drawing.mean(start, Meaning::Dimension(dimension));
            return true;
        }
    }
    false
}

fn draw(drawing: &mut Drawing, ends: [Point2<f64>; 2], reaches: &[(Point2<f64>, Point2<f64>); 2]) {
    let [a, b] = ends;
    drawing.line(Pen::Dimension, a, b);
    for &(start, end) in reaches {
        drawing.line(Pen::Dimension, start, end);
    }
    for (start, end) in ticks(a, b) {
        drawing.line(Pen::Dimension, start, end);
    }
}

/// The slanting strokes at both ends of a dimension line; none where it has no length.
fn ticks(a: Point2<f64>, b: Point2<f64>) -> Vec<(Point2<f64>, Point2<f64>)> {
    let Some(direction) = (b - a).try_normalize(f64::EPSILON) else { return Vec::new() };
    let slant = (direction + Vector2::new(-direction.y, direction.x)) * (TICK * std::f64::consts::FRAC_1_SQRT_2);
    [a, b].map(|end| (end - slant, end + slant)).to_vec()
}
