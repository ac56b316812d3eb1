//! The fold-up net of a roof's body: its polygons laid flat, joined along folds, to print, cut, fold and glue.

use super::body::{Body, Fold};
use crate::base::polygon;
use crate::base::tolerance::{RELATIVE, ROUNDING};
use crate::roof::Roof;
use nalgebra::{Point2, Vector2, Vector3};

/// A polygon laid flat.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// Its rings on the net, metres, the outer one first, anticlockwise; in the order of the body's rings.
    pub rings: Vec<Vec<Point2<f64>>>,
    /// Its triangles on the net.
    pub(super) triangles: Vec<[Point2<f64>; 3]>,
    /// Which connected piece it is part of.
    pub piece: usize,
    /// Which sheet of paper that piece lies on, the first 0.
    pub page: usize,
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
    pub(super) roof: &'a Roof,
    pub(super) body: &'a Body,
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
    let right = Vector3::z().cross(&normal).try_normalize(ROUNDING).unwrap_or_else(Vector3::x);
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
pub(super) fn convex_overlap(a: &[Point2<f64>], b: &[Point2<f64>], epsilon: f64) -> bool {
    let parted = |ring: &[Point2<f64>], other: &[Point2<f64>]| {
        ring.iter().enumerate().any(|(index, from)| {
            let along = (ring[(index + 1) % ring.len()] - from).try_normalize(f64::MIN_POSITIVE);
            along.is_some_and(|along| {
                // Rings run anticlockwise: what lies to the right of an edge is outside.
                other.iter().all(|place| along.perp(&(place - from)) <= epsilon)
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
        let mut net = Self::in_pieces(roof, body, [f64::INFINITY; 2]);
        arrange(&mut net.laid);
        net.pair_up();
        net
    }

    /// The same in pieces that each fit a sheet of paper of this size (width and height, metres of the model), the pieces
    /// set out on as few sheets as first fit finds, `gap` metres apart. `None` where a polygon alone is larger. O(as above +
    /// pieces × rows).
    #[must_use]
    pub(crate) fn on_sheets(roof: &'a Roof, body: &'a Body, room: [f64; 2], gap: f64) -> Option<Self> {
        let mut net = Self::in_pieces(roof, body, room);
        lay_out(&mut net.laid, room, gap)?;
        net.pair_up();
        Some(net)
    }

    /// How many sheets of paper.
    #[must_use]
    pub fn sheets(&self) -> usize {
        self.laid.iter().map(|laid| laid.page + 1).max().unwrap_or(0)
    }

    /// Pieces no larger than `room`, each where its first polygon happened to lie.
    fn in_pieces(roof: &'a Roof, body: &'a Body, room: [f64; 2]) -> Self {
        let epsilon = body.size() * RELATIVE;
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
            laid[first] = Some(Laid { rings, triangles, piece, page: 0, beside: None });
            while let Some((flat, joined)) = folds.iter().find_map(|&fold| {
                join(body, &shapes, &laid, fold, piece, epsilon).filter(|(_, joined)| is_within(&laid, joined, room))
            }) {
                laid[flat] = Some(joined);
            }
            piece += 1;
        }
        Self { roof, body, laid: laid.into_iter().flatten().collect(), pairs: Vec::new() }
    }

    fn pair_up(&mut self) {
        self.pairs = pairs(self.body, &self.laid, self.body.size() * RELATIVE);
    }

    pub(super) fn name_of(&self, flat: usize) -> String {
        let flat = &self.body.flats[flat];
        match flat.face {
            Some(id) => self.roof.faces[id.index()].name(),
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
    epsilon: f64,
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
    if others.any(|other| triangles.iter().any(|triangle| convex_overlap(other, triangle, epsilon))) {
        return None;
    }
    let rings = shapes[new].rings.iter().map(|ring| ring.iter().map(&place).collect()).collect();
    Some((new, Laid { rings, triangles, piece, page: 0, beside: Some((old, index)) }))
}

/// Where a fold lies in a polygon's rings, in the direction of the ring.
pub(super) fn edge_in(body: &Body, flat: usize, rings: &[Vec<Point2<f64>>], fold: &Fold) -> Option<[Point2<f64>; 2]> {
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

fn pairs(body: &Body, laid: &[Laid], epsilon: f64) -> Vec<Pair> {
    let pair = |(index, fold): (usize, &Fold)| {
        let [Some(a), Some(b)] = fold.flats else { return None };
        let first = edge_in(body, a, &laid[a].rings, fold)?;
        let second = edge_in(body, b, &laid[b].rings, fold)?;
        let together = (first[0] - second[1]).norm() < epsilon * 1e3 && (first[1] - second[0]).norm() < epsilon * 1e3;
        let folded = laid[a].piece == laid[b].piece && together;
        let along = body.places[fold.ends[1]] - body.places[fold.ends[0]];
        let away = body.flats[a].normal.cross(&body.flats[b].normal).dot(&along) > 0.0;
        Some(Pair { fold: index, edges: [first, second], folded, away })
    };
    body.folds.iter().enumerate().filter_map(pair).collect()
}

/// The box about some polygons.
fn extent<'l>(laid: impl Iterator<Item = &'l Laid>) -> (Point2<f64>, Point2<f64>) {
    let places = laid.flat_map(|laid| laid.rings.iter().flatten().copied());
    let around = places.fold(None, |around: Option<(Point2<f64>, Point2<f64>)>, place| match around {
        None => Some((place, place)),
        Some((low, high)) => Some((low.inf(&place), high.sup(&place))),
    });
    around.unwrap_or((Point2::origin(), Point2::origin()))
}

/// Whether a piece with one more polygon still fits, lying or standing.
fn is_within(laid: &[Option<Laid>], joined: &Laid, room: [f64; 2]) -> bool {
    let piece = laid.iter().flatten().filter(|laid| laid.piece == joined.piece).chain([joined]);
    let (low, high) = extent(piece);
    fits((high - low).into(), room)
}

fn fits(size: [f64; 2], room: [f64; 2]) -> bool {
    let [width, height] = [size[0].max(size[1]), size[0].min(size[1])];
    width <= room[0].max(room[1]) && height <= room[0].min(room[1])
}

/// Turns each piece to lie as flat as it can, or to stand where it is too long to lie, its lower left corner at the origin;
/// gives their sizes, the highest first.
fn lie_flat(laid: &mut [Laid], width: f64) -> Vec<(usize, Vector2<f64>)> {
    let pieces = laid.iter().map(|laid| laid.piece + 1).max().unwrap_or(0);
    let mut boxes = Vec::new();
    for piece in 0..pieces {
        let (low, high) = extent(laid.iter().filter(|laid| laid.piece == piece));
        let size = high - low;
        let stands = size.max() > width * (1.0 + ROUNDING);
        let upright = (size.y > size.x) != stands;
        let change = |place: &mut Point2<f64>| {
            let d = *place - low;
            *place = if upright { Point2::new(high.y - low.y - d.y, d.x) } else { Point2::from(d) };
        };
        for l in laid.iter_mut().filter(|l| l.piece == piece) {
            l.rings.iter_mut().flatten().for_each(change);
            l.triangles.iter_mut().flatten().for_each(change);
        }
        boxes.push((piece, if upright { size.yx() } else { size }));
    }
    boxes.sort_by(|a, b| b.1.y.total_cmp(&a.1.y).then(a.0.cmp(&b.0)));
    boxes
}

fn shift(laid: &mut [Laid], piece: usize, page: usize, by: Vector2<f64>) {
    for l in laid.iter_mut().filter(|l| l.piece == piece) {
        l.page = page;
        l.rings.iter_mut().flatten().for_each(|place| *place += by);
        l.triangles.iter_mut().flatten().for_each(|place| *place += by);
    }
}

/// Sets the pieces side by side in rows on one sheet as large as it takes.
fn arrange(laid: &mut [Laid]) {
    let boxes = lie_flat(laid, f64::INFINITY);
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
        shift(laid, piece, 0, Vector2::new(corner.x, corner.y + (height - size.y)));
        corner.x += size.x + gap;
    }
}

/// A row of pieces on a sheet.
struct Row {
    page: usize,
    /// Its upper edge, down from the top of the sheet, and its height.
    top: f64,
    height: f64,
    /// Where its next piece begins.
    next: f64,
}

/// Sets the pieces out on sheets: each into the first row with room for it, else a new row of the first sheet with room,
/// else a new sheet. `None` where one does not fit a sheet at all.
fn lay_out(laid: &mut [Laid], room: [f64; 2], gap: f64) -> Option<()> {
    let boxes = lie_flat(laid, room[0]);
    let mut rows: Vec<Row> = Vec::new();
    let mut filled: Vec<f64> = Vec::new();
    // Hair: a piece as wide as the sheet fits.
    let within = |end: f64, room: f64| end <= room * (1.0 + ROUNDING);
    for (piece, size) in boxes {
        if !within(size.x, room[0]) || !within(size.y, room[1]) {
            return None;
        }
        let free = rows.iter().position(|row| size.y <= row.height && within(row.next + size.x, room[0]));
        let row = match free {
            Some(row) => row,
            None => {
                let page = filled.iter().position(|top| within(top + size.y, room[1])).unwrap_or(filled.len());
                if page == filled.len() {
                    filled.push(0.0);
                }
                rows.push(Row { page, top: filled[page], height: size.y, next: 0.0 });
                filled[page] += size.y + gap;
                rows.len() - 1
            }
        };
        let row = &mut rows[row];
        shift(laid, piece, row.page, Vector2::new(row.next, -row.top - size.y));
        row.next += size.x + gap;
    }
    Some(())
}
