//! What ink lies on what other ink.

use eavewright::drawing::typeset::board::Tilted;
use eavewright::drawing::{Drawing, Item, Pen, Tone};
use nalgebra::Point2;

type Stroke = (Point2<f64>, Point2<f64>);

/// Two straight lines meet within so little of an end, millimetres: they touch and do not cross.
const TOUCH: f64 = 0.15;

/// Where two straight lines cross, unless they only touch.
pub fn crossing(one: &Stroke, other: &Stroke) -> Option<Point2<f64>> {
    let (a, b) = (one.1 - one.0, other.1 - other.0);
    let turn = a.perp(&b);
    // Of one direction to a thousandth: they run along each other.
    if turn.abs() <= 1e-3 * a.norm() * b.norm() {
        return None;
    }
    let between = other.0 - one.0;
    let (t, s) = (between.perp(&b) / turn, between.perp(&a) / turn);
    let within = |share: f64, length: f64| share * length > TOUCH && (1.0 - share) * length > TOUCH;
    (within(t, a.norm()) && within(s, b.norm())).then(|| one.0 + a * t)
}

/// The straight pieces of a line.
pub fn pieces(points: &[Point2<f64>], closed: bool) -> Vec<Stroke> {
    let mut pieces: Vec<Stroke> = points.windows(2).map(|pair| (pair[0], pair[1])).collect();
    if let (true, Some(first), Some(last)) = (closed, points.first(), points.last()) {
        pieces.push((*last, *first));
    }
    pieces
}

fn of_pen(drawing: &Drawing, wanted: Pen) -> Vec<Stroke> {
    drawing.strokes(|pen| pen == wanted).into_iter().map(|(_, from, to)| (from, to)).collect()
}

fn at(place: Point2<f64>) -> String {
    format!("at {:.0}, {:.0} mm", place.x, place.y)
}

/// Leaders that cross a leader or a dimension.
pub fn crossed_leaders(drawing: &Drawing) -> Vec<String> {
    let (leaders, dimensions) = (of_pen(drawing, Pen::Leader), of_pen(drawing, Pen::Dimension));
    let mut found = Vec::new();
    for (index, leader) in leaders.iter().enumerate() {
        let others = leaders[index + 1..].iter().filter_map(|other| crossing(leader, other));
        found.extend(others.map(|place| format!("a leader crosses a leader {}", at(place))));
        let lines = dimensions.iter().filter_map(|line| crossing(leader, line));
        found.extend(lines.map(|place| format!("a leader crosses a dimension {}", at(place))));
    }
    found
}

/// Whether blank paper laid between two pieces of ink keeps them apart.
fn is_blanked(items: &[Item], place: &Tilted) -> bool {
    let covers = |ring: &Vec<Point2<f64>>| {
        let shrunk = Tilted { half: place.half.map(|half| (half - 0.4).max(0.1)), ..*place };
        shrunk.corners().iter().all(|corner| eavewright::base::polygon::contains(ring, corner))
    };
    items.iter().any(|item| match item {
        Item::Area { tone: Tone::Paper, rings } => rings.first().is_some_and(covers),
        _ => false,
    })
}

/// Lettering that a line runs through, or that something is laid over.
pub fn struck_lettering(drawing: &Drawing) -> Vec<String> {
    let mut found = Vec::new();
    for (index, item) in drawing.items.iter().enumerate() {
        let Item::Text(text) = item else { continue };
        let bounds = text.bounds();
        // Letters begin a little within their box, whose foot is room for descenders.
        let place = Tilted { half: bounds.half.map(|half| (half - 0.55).max(0.1)), ..bounds };
        for (other, ink) in drawing.items.iter().enumerate() {
            let struck = match ink {
                Item::Line { pen, points, closed } if *pen != Pen::Casing => {
                    pieces(points, *closed).iter().find(|(from, to)| place.meets(from, to)).map(|_| pen.layer())
                }
                Item::Area { tone, rings } if other > index && *tone != Tone::Shape => {
                    let within = |ring: &Vec<Point2<f64>>| {
                        eavewright::base::polygon::contains(ring, &place.centre)
                            || pieces(ring, true).iter().any(|(from, to)| place.meets(from, to))
                    };
                    rings.iter().any(within).then_some("area")
                }
                _ => None,
            };
            if let Some(what) = struck
                && !(other < index && is_blanked(&drawing.items[other..index], &bounds))
            {
                found.push(format!("\"{}\" is struck by a line or area of {what} {}", text.words, at(text.at)));
                break;
            }
        }
    }
    found
}
