//! A section across the ridge: what its plane cuts, with lengths, overhangs and heights, and what is seen beyond it.

use super::body::Body;
use super::hidden::{Cut, Look};
use super::picture::{self, Picture, key_of, seen_from};
use crate::base::ids::EdgeId;
use crate::base::tolerance::{ONE_LEVEL, ROUNDING, STRAIGHT};
use crate::drawing::Context;
use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::frame::Furniture;
use crate::drawing::typeset::pen::Pen;
use crate::job::answer::Answer;
use crate::job::building::Building;
use crate::roof::EdgeKind;
use crate::roof::analysis::dimensions;
use crate::roof::analysis::dimensions::Slope;
use crate::wording::estimate;
use nalgebra::{Point2, Point3, Vector2, Vector3};

/// What is told of a slope that is cut.
struct Told {
    name: String,
    length: String,
    run: Option<String>,
    pitch: String,
}

/// A section across the longest ridge, or through the highest point where there is none.
pub struct Section<'a> {
    building: &'a Building,
    picture: Picture,
    cut: Vec<([Point2<f64>; 2], Option<Told>)>,
    levels: Vec<f64>,
    /// From the drip edge to the wall below it, with how far that is, where the plane cuts an eave square.
    overhangs: Vec<([Point2<f64>; 2], String)>,
    title: String,
}

impl<'a> Section<'a> {
    /// Cuts a building.
    #[must_use]
    pub fn new(answer: &'a Answer, body: &Body, context: &Context) -> Option<Self> {
        let roof = &answer.roof;
        let plane = dimensions::cut_across(roof)?;
        let (point, towards) = (plane.point, plane.towards);
        let look = Look::level(towards);
        let cut = Cut { point, normal: look.towards };
        let mut lines = Vec::new();
        for (corners, flat) in body.triangles.iter().filter(|(_, flat)| body.flats[*flat].face.is_none()) {
            let triangle = corners.map(|at| body.places[at]);
            let Some([from, to]) = cut.line_in(&triangle) else { continue };
            lines.push(([look.place(&from), look.place(&to)], *flat));
        }
        let slopes = dimensions::slopes(roof, &plane);
        let others: Vec<[Point2<f64>; 2]> = join(lines).into_iter().map(|(ends, _)| ends).collect();
        let levels = dimensions::section_heights(roof, &slopes, 0.0);
        let describe = |slope: &Slope| {
            let given = answer.area(slope.face).value().is_some();
            let length = |metres: f64| {
                if given { context.words.length(metres) } else { estimate::NOT_DETERMINED.to_owned() }
            };
            Told {
                name: roof.faces[slope.face.index()].name(),
                length: length(slope.length()),
                run: given.then(|| length(slope.run())),
                pitch: estimate::angle(&answer.pitch(slope.face).alone()),
            }
        };
        let overhang = |slope: &Slope| {
            let (reach, ends) = overhang(answer, slope, towards)?;
            Some((ends.map(|end| look.place(&end)), context.words.length(reach)))
        };
        let overhangs = slopes.iter().filter_map(overhang).collect();
        let slopes = slopes.iter().map(|slope| (slope.ends.map(|end| look.place(&end)), Some(describe(slope))));
        let cut_lines = slopes.chain(others.into_iter().map(|ends| (ends, None))).collect();
        let caption = format!("seen from the {}", seen_from(context, towards));
        let title = format!("section across the {}, {caption}", if plane.across_ridge { "ridge" } else { "slope" });
        let building = &answer.building;
        let picture = Picture::of(body, look, Some(&cut), caption);
        Some(Self { building, picture, cut: cut_lines, levels, overhangs, title })
    }
}

/// How far a slope that is cut square reaches out over its wall at its eave, and from where to where.
fn overhang(answer: &Answer, slope: &Slope, towards: Vector2<f64>) -> Option<(f64, [Point3<f64>; 2])> {
    let roof = &answer.roof;
    let face = &roof.faces[slope.face.index()];
    let upslope = -face.plane.downslope()?;
    let foot = if slope.ends[0].z <= slope.ends[1].z { slope.ends[0] } else { slope.ends[1] };
    let is_square = upslope.dot(&towards).abs() < STRAIGHT;
    let lies_on = |id: &&EdgeId| {
        let edge = &roof.edges[id.index()];
        let (from, to) = (roof.at(edge.from), roof.at(edge.to));
        let along = (to - from).normalize();
        edge.kind == EdgeKind::Eave && (foot - from).cross(&along).norm() < ONE_LEVEL
    };
    let eave = face.edges.iter().filter(|_| is_square).find(lies_on)?;
    let reach = answer.building.overhang(*eave).filter(|_| answer.area(slope.face).value().is_some())?;
    Some((reach, [foot, foot + Vector3::new(upslope.x, upslope.y, 0.0) * reach]))
}

/// Joins the cut lines of one polygon's triangles to one line.
fn join(lines: Vec<([Point2<f64>; 2], usize)>) -> Vec<([Point2<f64>; 2], usize)> {
    let mut joined: Vec<([Point2<f64>; 2], usize)> = Vec::new();
    for (mut ends, flat) in lines {
        let epsilon = ROUNDING * (1.0 + ends[0].coords.norm());
        let touching = |ends: &[Point2<f64>; 2], other: &[Point2<f64>; 2]| {
            (0..2).flat_map(|a| (0..2).map(move |b| (a, b))).find(|&(a, b)| (ends[a] - other[b]).norm() < epsilon)
        };
        while let Some((index, (a, b))) = joined.iter().enumerate().find_map(|(index, (other, owner))| {
            (*owner == flat).then(|| touching(&ends, other)).flatten().map(|at| (index, at))
        }) {
            ends = [ends[1 - a], joined[index].0[1 - b]];
            joined.remove(index);
        }
        if (ends[1] - ends[0]).norm() > epsilon {
            joined.push((ends, flat));
        }
    }
    joined
}

impl Figure for Section<'_> {
    fn name(&self) -> String {
        "section".to_owned()
    }

    fn title(&self) -> String {
        self.title.clone()
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        let ends = || self.cut.iter().flat_map(|(ends, _)| *ends).chain([self.picture.low, self.picture.high]);
        Some((ends().reduce(|a, b| a.inf(&b))?, ends().reduce(|a, b| a.sup(&b))?))
    }

    fn furniture(&self) -> Furniture {
        let pens = self.picture.pieces.iter().filter(|piece| piece.visible).map(|piece| piece.pen);
        let mut key = vec![(Pen::Section, "cut".to_owned())];
        key.extend(key_of(pens));
        Furniture {
            key,
            remarks: vec![
                "Lengths on the slope are of the roof's surface, from edge to edge in this plane; timbers lie below it."
                    .to_owned(),
            ],
            north: false,
        }
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        let still = Vector2::zeros();
        self.picture.draw(canvas, still, false);
        for (ends, _) in &self.cut {
            canvas.line(Pen::Section, &ends[0], &ends[1]);
        }
        let Some((low, high)) = self.bounds() else { return };
        let format = canvas.context.words;
        for (ends, words) in
            self.overhangs.iter().filter(|(ends, _)| !format.reads_as_nothing((ends[1] - ends[0]).norm()))
        {
            canvas.dimension(ends.map(|end| Point2::new(end.x, low.y)), Vector2::new(0.0, -1.0), words);
        }
        for (ends, told) in &self.cut {
            let Some(Told { name, length, run, pitch }) = told else { continue };
            if format.reads_as_nothing((ends[1] - ends[0]).norm()) {
                continue;
            }
            let words = format!("{name}  {length}  pitch {pitch}");
            let short = format!("{length}  {pitch}");
            let up = Some(Vector2::new(0.0, 1.0));
            if !canvas.name_along(&ends[0], &ends[1], &words, up) {
                canvas.name_line(&ends[0], &ends[1], &short, up);
            }
            // Run and rise of each slope.
            let drawn = (ends[1].x - ends[0].x).abs();
            if let Some(run) = run.as_ref().filter(|_| drawn > (high.x - low.x) * 0.02) {
                let below = [Point2::new(ends[0].x, low.y), Point2::new(ends[1].x, low.y)];
                canvas.dimension(below, Vector2::new(0.0, -1.0), run);
            }
        }
        let levels = &self.levels;
        let right = Vector2::new(1.0, 0.0);
        if levels.len() <= 5 {
            for pair in levels.windows(2).filter(|pair| !format.reads_as_nothing(pair[1] - pair[0])) {
                let words = format.length(pair[1] - pair[0]);
                canvas.dimension([Point2::new(high.x, pair[0]), Point2::new(high.x, pair[1])], right, &words);
            }
        }
        if let ([first, .., last], true) = (&levels[..], levels.len() > 2) {
            let words = canvas.context.words.length(last - first);
            canvas.dimension([Point2::new(high.x, *first), Point2::new(high.x, *last)], right, &words);
        }
        picture::levels(canvas, self.building, [low, high], still, true);
    }
}
