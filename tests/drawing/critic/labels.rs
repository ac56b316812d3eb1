//! Labels that are led in from outside though there is room where they belong.

use super::ink::{crossing, pieces};
use eavewright::base::polygon;
use eavewright::drawing::typeset::board::Tilted;
use eavewright::drawing::{Drawing, Item, Pen, Text, Tone};
use nalgebra::{Point2, Vector2};

/// So near to its place a label is looked for, millimetres.
const NEAR: f64 = 60.0;
/// So much clear of lines and lettering a place must be to count as room, millimetres: most of the height of its letters.
const CLEAR: f64 = 2.0;
/// What a dot of this size already touches the edge of has no room for letters, millimetres.
const DOT: f64 = 0.5;

/// A leader that ends in a dot, with the lines of lettering it leads to.
struct Led<'a> {
    dot: Point2<f64>,
    lines: Vec<&'a Text>,
}

/// A dot is an area of ink with twelve corners about its place.
fn dots(drawing: &Drawing) -> Vec<Point2<f64>> {
    let dot = |item: &Item| match item {
        Item::Area { tone: Tone::Ink, rings } if rings.len() == 1 && rings[0].len() == 12 => {
            let sum = rings[0].iter().fold(Vector2::zeros(), |sum, corner| sum + corner.coords);
            Some(Point2::from(sum / 12.0))
        }
        _ => None,
    };
    drawing.items.iter().filter_map(dot).collect()
}

/// Labels of dots: the lettering that follows the dot among the items, as long as nothing else does.
fn led(drawing: &Drawing) -> Vec<Led<'_>> {
    let mut found = Vec::new();
    for (index, item) in drawing.items.iter().enumerate() {
        let Item::Area { tone: Tone::Ink, rings } = item else { continue };
        if rings.len() != 1 || rings[0].len() != 12 {
            continue;
        }
        let after = drawing.items[index + 1..].iter();
        let lines: Vec<&Text> = after
            .take_while(|item| matches!(item, Item::Text(_) | Item::Area { tone: Tone::Paper, .. }))
            .filter_map(|item| if let Item::Text(text) = item { Some(text) } else { None })
            .collect();
        let sum = rings[0].iter().fold(Vector2::zeros(), |sum, corner| sum + corner.coords);
        found.push(Led { dot: Point2::from(sum / 12.0), lines });
    }
    debug_assert_eq!(found.len(), dots(drawing).len());
    found
}

/// Lines that bound what a label belongs to, or that may not be written over.
fn bounds(pen: Pen) -> bool {
    !matches!(pen, Pen::Course | Pen::Joint | Pen::Row | Pen::Leader | Pen::Casing)
}

/// Labels outside of what they name though it has room for them, clear all round.
pub fn led_though_room_within(drawing: &Drawing) -> Vec<String> {
    let strokes: Vec<(Point2<f64>, Point2<f64>)> = drawing
        .items
        .iter()
        .filter_map(|item| match item {
            Item::Line { pen, points, closed } if bounds(*pen) => Some(pieces(points, *closed)),
            _ => None,
        })
        .flatten()
        .collect();
    let mut found = Vec::new();
    for Led { dot, lines } in led(drawing) {
        let Some(first) = lines.first() else { continue };
        let on_edge = Tilted { centre: dot, half: [DOT, DOT], angle: 0.0 };
        if strokes.iter().any(|(from, to)| on_edge.meets(from, to)) {
            continue;
        }
        let width = lines.iter().map(|line| line.width()).fold(0.0, f64::max);
        let height: f64 = lines.iter().map(|line| line.height * 1.6).sum();
        let half = [width / 2.0 + CLEAR, height / 2.0 + CLEAR];
        // Of so many lines most lie elsewhere.
        let reach = half.map(|half| NEAR + half);
        let around = Tilted { centre: dot, half: reach, angle: 0.0 };
        let near: Vec<_> = strokes.iter().filter(|(from, to)| around.meets(from, to)).collect();
        let others: Vec<Tilted> = drawing
            .texts()
            .filter(|text| !lines.iter().any(|line| std::ptr::eq(*line, *text)))
            .map(Text::bounds)
            .filter(|other| other.overlaps(&around))
            .collect();
        let is_room = |centre: Point2<f64>| {
            let place = Tilted { centre, half, angle: 0.0 };
            let way = between(&dot, &centre);
            !near.iter().any(|(from, to)| place.meets(from, to))
                && !others.iter().any(|other| other.overlaps(&place))
                && !near.iter().any(|(from, to)| way.meets(from, to))
        };
        let steps = |most: f64| {
            #[allow(clippy::cast_possible_truncation)]
            let count = (most / 2.5) as i32;
            (-count..=count).map(|step| f64::from(step) * 2.5)
        };
        let room = steps(NEAR).find_map(|up| {
            let places = steps(NEAR).map(move |across| dot + Vector2::new(across, up));
            places
                .into_iter()
                .find(|place| on_page(drawing, place, half) && is_room(*place) && encloses(&strokes, place))
        });
        if let Some(room) = room {
            found.push(format!(
                "\"{}\" is led to {:.0}, {:.0} mm though it has room at {:.0}, {:.0} mm",
                first.words, dot.x, dot.y, room.x, room.y
            ));
        }
    }
    found
}

/// The way from a dot to a place, a hair wide, so that none passes where two lines meet; the dot's own line is not in it.
fn between(dot: &Point2<f64>, place: &Point2<f64>) -> Tilted {
    let along = place - dot;
    let half = [(along.norm() / 2.0 - 0.02).max(0.0), 0.02];
    Tilted { centre: nalgebra::center(dot, place), half, angle: along.y.atan2(along.x) }
}

fn on_page(drawing: &Drawing, place: &Point2<f64>, half: [f64; 2]) -> bool {
    (0..2).all(|axis| place[axis] - half[axis] > 0.0 && place[axis] + half[axis] < drawing.size[axis])
}

/// Whether lines stand on all four sides of a place: it lies within something, not beside it.
fn encloses(strokes: &[(Point2<f64>, Point2<f64>)], place: &Point2<f64>) -> bool {
    let ways = [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)];
    ways.into_iter().all(|(x, y)| {
        let ray = (*place, place + Vector2::new(x, y) * 1000.0);
        strokes.iter().any(|stroke| crossing(&ray, stroke).is_some())
    })
}

#[test]
fn a_label_with_room_within_is_found() {
    let mut drawing = Drawing::new("x", "x", [100.0, 100.0]);
    let ring: Vec<Point2<f64>> =
        [(20.0, 20.0), (80.0, 20.0), (80.0, 60.0), (20.0, 60.0)].map(|(x, y)| Point2::new(x, y)).to_vec();
    drawing.ring(Pen::Frame, ring.clone());
    assert!(polygon::contains(&ring, &Point2::new(50.0, 40.0)));
    let dot = |at: Point2<f64>| {
        (0..12)
            .map(|turn| {
                at + Vector2::new(
                    (f64::from(turn) * std::f64::consts::FRAC_PI_6).cos(),
                    (f64::from(turn) * std::f64::consts::FRAC_PI_6).sin(),
                ) * 0.5
            })
            .collect()
    };
    drawing.line(Pen::Leader, Point2::new(50.0, 40.0), Point2::new(50.0, 80.0));
    drawing.area(Tone::Ink, vec![dot(Point2::new(50.0, 40.0))]);
    drawing.masked_text(Text::new(Point2::new(45.0, 82.0), "store/A"));
    assert_eq!(led_though_room_within(&drawing).len(), 1);
    // With a line through it that leaves no room it is right outside.
    for height in [26.0, 30.0, 34.0, 38.5, 42.0, 46.0, 50.0, 54.0] {
        drawing.line(Pen::Mark, Point2::new(20.0, height), Point2::new(80.0, height));
    }
    assert_eq!(led_though_room_within(&drawing), Vec::<String>::new());
}
