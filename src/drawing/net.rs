//! The fold-up net of a roof's body: its polygons laid flat, joined along folds, to print, cut, fold and glue.

use super::body::{Body, Fold};
use super::canvas::Canvas;
use super::clip;
use super::figure::Figure;
use super::frame::Furniture;
use super::label::{Block, Ending, Leader};
use super::model::Text;
use super::pen::{Pen, Tone};
use crate::base::polygon;
use crate::roof::Roof;
use nalgebra::{Point2, Vector2, Vector3};

/// Depth of a glue tab on paper, millimetres.
const TAB: f64 = 6.0;

/// A polygon laid flat.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// Its rings on the net, metres, the outer one first, anticlockwise; in the order of the body's rings.
    pub rings: Vec<Vec<Point2<f64>>>,
    /// Its triangles on the net.
    triangles: Vec<[Point2<f64>; 3]>,
    /// Which connected piece it is part of.
    pub piece: usize,
    /// The polygon it was laid beside and the body's fold between them; `None` for the first of a piece.
    pub beside: Option<(usize, usize)>,
}

/// Two edges of the net that meet when it is folded.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// Index in the body's folds.
    pub fold: usize,
    /// The edge as it lies in each polygon, metres; equal when it is a fold of the net.
    pub edges: [[Point2<f64>; 2]; 2],
    /// Whether it is a fold of the net; otherwise it is cut and glued.
    pub folded: bool,
    /// Whether the fold is a ridge of the paper (bent away from the reader), as at hips and ridges.
    pub away: bool,
}

/// The net of a body.
#[derive(Clone, Debug)]
pub struct Net<'a> {
    roof: &'a Roof,
    body: &'a Body,
    /// Every polygon of the body, in its order.
    pub laid: Vec<Laid>,
    /// Every edge between two polygons.
    pub pairs: Vec<Pair>,
}

/// A polygon in a frame of its own, seen from outside.
struct Piece2 {
    rings: Vec<Vec<Point2<f64>>>,
    triangles: Vec<[Point2<f64>; 3]>,
}

fn flatten(body: &Body, flat: usize) -> Piece2 {
    let normal = body.flats[flat].normal;
    let right = Vector3::z().cross(&normal).try_normalize(1e-9).unwrap_or_else(Vector3::x);
    let up = normal.cross(&right);
    let place = |at: usize| Point2::new(body.places[at].coords.dot(&right), body.places[at].coords.dot(&up));
    let rings = body.flats[flat].rings.iter().map(|ring| ring.iter().map(|&at| place(at)).collect()).collect();
    let own = body.triangles.iter().filter(|(_, owner)| *owner == flat);
    Piece2 { rings, triangles: own.map(|(corners, _)| corners.map(place)).collect() }
}

/// The turn and shift that bring one straight line onto another of the same length.
fn bring(from: [Point2<f64>; 2], onto: [Point2<f64>; 2]) -> impl Fn(&Point2<f64>) -> Point2<f64> {
    let (a, b) = (from[1] - from[0], onto[1] - onto[0]);
    let scale = 1.0 / (a.norm() * b.norm()).max(f64::MIN_POSITIVE);
    let (cosine, sine) = (a.dot(&b) * scale, a.perp(&b) * scale);
    move |place| {
        let d = place - from[0];
        onto[0] + Vector2::new(cosine * d.x - sine * d.y, sine * d.x + cosine * d.y)
    }
}

/// Whether two convex rings share more than a rim of a hair.
fn convex_overlap(a: &[Point2<f64>], b: &[Point2<f64>], hair: f64) -> bool {
    let parted = |ring: &[Point2<f64>], other: &[Point2<f64>]| {
        ring.iter().enumerate().any(|(index, from)| {
            let along = (ring[(index + 1) % ring.len()] - from).try_normalize(f64::MIN_POSITIVE);
            along.is_some_and(|along| {
                // Rings run anticlockwise: what lies to the right of an edge is outside.
                other.iter().all(|place| along.perp(&(place - from)) <= hair)
            })
        })
    };
    !parted(a, b) && !parted(b, a)
}

impl<'a> Net<'a> {
    /// Unfolds a body: from the largest polygon outwards, the longest free fold first, never over what lies already; what
    /// cannot join starts a piece of its own. O(polygons² × triangles).
    #[must_use]
    pub fn of(roof: &'a Roof, body: &'a Body) -> Self {
        let hair = body.size() * 1e-7;
        let shapes: Vec<Piece2> = (0..body.flats.len()).map(|flat| flatten(body, flat)).collect();
        let area = |flat: usize| shapes[flat].rings.first().map_or(0.0, |ring| polygon::signed_area(ring));
        let mut folds: Vec<usize> = (0..body.folds.len()).collect();
        let length = |fold: usize| {
            let [a, b] = body.folds[fold].ends.map(|at| body.places[at]);
            (b - a).norm()
        };
        folds.sort_by(|a, b| length(*b).total_cmp(&length(*a)).then(a.cmp(b)));
        let mut laid: Vec<Option<Laid>> = vec![None; shapes.len()];
        let mut piece = 0;
        loop {
            let free = (0..shapes.len()).filter(|&flat| laid[flat].is_none());
            let Some(first) = free.max_by(|a, b| area(*a).total_cmp(&area(*b)).then(b.cmp(a))) else { break };
            let shape = &shapes[first];
            let (rings, triangles) = (shape.rings.clone(), shape.triangles.clone());
            laid[first] = Some(Laid { rings, triangles, piece, beside: None });
            while let Some((flat, joined)) =
                folds.iter().find_map(|&fold| join(body, &shapes, &laid, fold, piece, hair))
            {
                laid[flat] = Some(joined);
            }
            piece += 1;
        }
        let mut laid: Vec<Laid> = laid.into_iter().flatten().collect();
        arrange(&mut laid, piece);
        let pairs = pairs(body, &laid, hair);
        Self { roof, body, laid, pairs }
    }

    fn name(&self, flat: usize) -> String {
        let flat = &self.body.flats[flat];
        match flat.face {
            Some(id) => self.roof.faces[id.index()].name.clone(),
            None if flat.normal.z < -0.5 => "floor".to_owned(),
            None => "wall".to_owned(),
        }
    }
}

/// Lays the free polygon beyond a fold beside the one already laid, if nothing is in the way.
fn join(
    body: &Body,
    shapes: &[Piece2],
    laid: &[Option<Laid>],
    index: usize,
    piece: usize,
    hair: f64,
) -> Option<(usize, Laid)> {
    let fold = &body.folds[index];
    let [Some(a), Some(b)] = fold.flats else { return None };
    let here = |flat: usize| laid[flat].as_ref().filter(|laid| laid.piece == piece);
    let (old, new) = match (here(a), here(b)) {
        (Some(_), None) if laid[b].is_none() => (a, b),
        (None, Some(_)) if laid[a].is_none() => (b, a),
        _ => return None,
    };
    let onto = edge_in(body, old, &laid[old].as_ref()?.rings, fold)?;
    let from = edge_in(body, new, &shapes[new].rings, fold)?;
    // The edge runs the other way in the other polygon.
    let place = bring([from[1], from[0]], onto);
    let triangles: Vec<[Point2<f64>; 3]> =
        shapes[new].triangles.iter().map(|triangle| triangle.map(|corner| place(&corner))).collect();
    let others = laid.iter().flatten().filter(|other| other.piece == piece).flat_map(|other| &other.triangles);
    let mut others = others;
    if others.any(|other| triangles.iter().any(|triangle| convex_overlap(other, triangle, hair))) {
        return None;
    }
    let rings = shapes[new].rings.iter().map(|ring| ring.iter().map(&place).collect()).collect();
    Some((new, Laid { rings, triangles, piece, beside: Some((old, index)) }))
}

/// Where a fold lies in a polygon's rings, in the direction of the ring.
fn edge_in(body: &Body, flat: usize, rings: &[Vec<Point2<f64>>], fold: &Fold) -> Option<[Point2<f64>; 2]> {
    for (ring, places) in body.flats[flat].rings.iter().zip(rings) {
        for (index, &from) in ring.iter().enumerate() {
            let next = (index + 1) % ring.len();
            if (from, ring[next]) == (fold.ends[0], fold.ends[1]) || (from, ring[next]) == (fold.ends[1], fold.ends[0])
            {
                return Some([places[index], places[next]]);
            }
        }
    }
    None
}

fn pairs(body: &Body, laid: &[Laid], hair: f64) -> Vec<Pair> {
    let pair = |(index, fold): (usize, &Fold)| {
        let [Some(a), Some(b)] = fold.flats else { return None };
        let first = edge_in(body, a, &laid[a].rings, fold)?;
        let second = edge_in(body, b, &laid[b].rings, fold)?;
        let together = (first[0] - second[1]).norm() < hair * 1e3 && (first[1] - second[0]).norm() < hair * 1e3;
        let folded = laid[a].piece == laid[b].piece && together;
        let along = body.places[fold.ends[1]] - body.places[fold.ends[0]];
        let away = body.flats[a].normal.cross(&body.flats[b].normal).dot(&along) > 0.0;
        Some(Pair { fold: index, edges: [first, second], folded, away })
    };
    body.folds.iter().enumerate().filter_map(pair).collect()
}

/// Turns each piece to lie as flat as it can and sets the pieces side by side in rows.
fn arrange(laid: &mut [Laid], pieces: usize) {
    let extent = |laid: &[Laid], piece: usize| {
        let places = || laid.iter().filter(|l| l.piece == piece).flat_map(|l| l.rings.iter().flatten().copied());
        let low = places().reduce(|a, b| a.inf(&b)).unwrap_or_else(Point2::origin);
        (low, places().reduce(|a, b| a.sup(&b)).unwrap_or_else(Point2::origin))
    };
    let mut boxes = Vec::new();
    for piece in 0..pieces {
        let (low, high) = extent(laid, piece);
        let upright = high.y - low.y > high.x - low.x;
        let change = |place: &mut Point2<f64>| {
            let d = *place - low;
            *place = if upright { Point2::new(high.y - low.y - d.y, d.x) } else { Point2::from(d) };
        };
        for l in laid.iter_mut().filter(|l| l.piece == piece) {
            l.rings.iter_mut().flatten().for_each(change);
            l.triangles.iter_mut().flatten().for_each(change);
        }
        let (_, size) = extent(laid, piece);
        boxes.push((piece, size.coords));
    }
    boxes.sort_by(|a, b| b.1.y.total_cmp(&a.1.y).then(a.0.cmp(&b.0)));
    let total: f64 = boxes.iter().map(|(_, size)| size.x * size.y).sum();
    let widest = boxes.iter().map(|(_, size)| size.x).fold(0.0, f64::max);
    let row = widest.max((total * 1.5).sqrt());
    let gap = widest * 0.08;
    let (mut corner, mut height) = (Vector2::<f64>::zeros(), 0.0_f64);
    for (piece, size) in boxes {
        if corner.x > 0.0 && corner.x + size.x > row {
            corner = Vector2::new(0.0, corner.y - gap);
            height = 0.0;
        }
        if corner.x == 0.0 {
            height = size.y;
            corner.y -= height;
        }
        let shift = Vector2::new(corner.x, corner.y + (height - size.y));
        for l in laid.iter_mut().filter(|l| l.piece == piece) {
            l.rings.iter_mut().flatten().for_each(|place| *place += shift);
            l.triangles.iter_mut().flatten().for_each(|place| *place += shift);
        }
        corner.x += size.x + gap;
    }
}

/// A glue tab on an edge whose polygon lies to its left.
fn tab(edge: [Point2<f64>; 2], depth: f64) -> Option<Vec<Point2<f64>>> {
    let [from, to] = edge;
    let along = (to - from).try_normalize(f64::MIN_POSITIVE)?;
    let out = Vector2::new(along.y, -along.x) * depth;
    let slant = along * (depth * 0.8).min((to - from).norm() * 0.35);
    Some(vec![from, from + out + slant, to + out - slant, to])
}

impl Figure for Net<'_> {
    fn name(&self) -> String {
        "net".to_owned()
    }

    fn title(&self) -> String {
        "fold-up net".to_owned()
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        let places = || self.laid.iter().flat_map(|laid| laid.rings.iter().flatten().copied());
        Some((places().reduce(|a, b| a.inf(&b))?, places().reduce(|a, b| a.sup(&b))?))
    }

    fn furniture(&self) -> Furniture {
        let mut key = vec![(Pen::Snip, "cut".to_owned()), (Pen::Fold, "fold away from you".to_owned())];
        if self.pairs.iter().any(|pair| pair.folded && !pair.away) {
            key.push((Pen::FoldTowards, "fold towards you".to_owned()));
        }
        Furniture {
            key,
            remarks: vec![
                "Cut round the heavy line and the tabs, fold, then glue each tab behind the edge with the same number."
                    .to_owned(),
            ],
            north: false,
        }
    }

    fn surround(&self) -> [f64; 3] {
        [TAB + 3.0, TAB + 3.0, TAB + 3.0]
    }

    fn is_measured(&self) -> bool {
        false
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        for laid in &self.laid {
            canvas.area(Tone::Shape, &laid.rings);
        }
        let mut taken: Vec<Vec<Point2<f64>>> =
            self.laid.iter().flat_map(|laid| laid.triangles.iter().map(|triangle| triangle.to_vec())).collect();
        let mut numbers: Vec<(usize, &Pair)> = Vec::new();
        for pair in &self.pairs {
            if pair.folded {
                let pen = if pair.away { Pen::Fold } else { Pen::FoldTowards };
                canvas.line(pen, &pair.edges[0][0], &pair.edges[0][1]);
                continue;
            }
            numbers.push((numbers.len() + 1, pair));
            let hair = self.body.size() * 1e-7;
            let tabs = [1.0, 0.7, 0.5].into_iter().flat_map(|share| {
                let depth = TAB * share / canvas.view.factor;
                pair.edges.into_iter().filter_map(move |edge| tab(edge, depth))
            });
            let free = |ring: &Vec<Point2<f64>>| !taken.iter().any(|other| convex_overlap(other, ring, hair));
            if let Some(ring) = tabs.into_iter().find(free) {
                canvas.area(Tone::Tab, std::slice::from_ref(&ring));
                for side in ring.windows(2) {
                    canvas.line(Pen::Tab, &side[0], &side[1]);
                }
                taken.push(ring);
            }
            for edge in pair.edges {
                canvas.line(Pen::Snip, &edge[0], &edge[1]);
            }
        }
        for fold in self.body.folds.iter().filter(|fold| fold.flats[1].is_none()) {
            let Some(flat) = fold.flats[0] else { continue };
            if let Some(edge) = edge_in(self.body, flat, &self.laid[flat].rings, fold) {
                canvas.line(Pen::Snip, &edge[0], &edge[1]);
            }
        }
        for (flat, laid) in self.laid.iter().enumerate() {
            let paper = canvas.rings(&laid.rings);
            let line = Text::new(Point2::origin(), self.name(flat));
            canvas.name_within(&paper, &Block::new(vec![line]), None);
        }
        for (number, pair) in numbers {
            for edge in pair.edges {
                self.number_edge(canvas, number, edge);
            }
        }
    }
}

impl Net<'_> {
    /// Letters an edge's number inside its polygon, beside its middle.
    fn number_edge(&self, canvas: &mut Canvas<'_>, number: usize, edge: [Point2<f64>; 2]) {
        let [from, to] = edge.map(|end| canvas.paper(&end));
        let Some(along) = (to - from).try_normalize(f64::MIN_POSITIVE) else { return };
        let inwards = Vector2::new(-along.y, along.x);
        let text = Text::new(Point2::origin(), number.to_string());
        let middle = nalgebra::center(&from, &to);
        let reach = (to - from).norm() / 2.0;
        for off in [3.0, 4.5, 6.5, 9.0] {
            for step in [0.0, 0.3, -0.3, 0.6, -0.6, 0.85, -0.85] {
                let centre = middle + along * (step * reach) + inwards * off;
                let inside = self.laid.iter().any(|laid| clip::holds(&laid.rings, &canvas.view.to_model(&centre)));
                if inside && canvas.try_text(text.clone().centred(centre)) {
                    return;
                }
            }
        }
        let block = Block::new(vec![text]);
        let leader = Leader { ending: Ending::Arrow, not_along: Some(to - from), avoid: Vec::new() };
        if !canvas.lead(middle, &block, &leader) {
            canvas.number(middle, format!("stands for edge {number}"));
        }
    }
}
