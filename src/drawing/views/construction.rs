//! How the roof comes about: the outline shrinks as it rises, and where its corners run the folds appear.

use super::outline::{self, ContourRun};
use super::plan;
use crate::base::order::SortByNumber as _;
use crate::base::polygon;
use crate::base::tolerance::{BESIDE, ROUNDING};
use crate::drawing::Context;
use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::frame::Furniture;
use crate::drawing::typeset::label::Block;
use crate::drawing::typeset::model::Text;
use crate::drawing::typeset::pen::Pen;
use crate::roof::Roof;
use crate::roof::analysis::dimensions;
use nalgebra::{Point2, Point3, Vector2};

/// One level of the sweep.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Level {
    /// Above datum, metres.
    height: f64,
    /// Whether the whole roof stands.
    last: bool,
}

/// A page of levels, in reading order.
#[derive(Clone, Debug)]
pub struct Construction<'a> {
    roof: &'a Roof,
    levels: Vec<Level>,
    start: f64,
    words: crate::drawing::typeset::format::Format,
    cell: Vector2<f64>,
    low: Point2<f64>,
    columns: usize,
}

impl<'a> Construction<'a> {
    /// The levels of a roof: its outline, then one level before each height at which the outline changes its shape (two
    /// where there is only one such height), then the whole roof; at most nine. `None` for a roof without height.
    #[must_use]
    pub fn new(roof: &'a Roof, context: &Context) -> Option<Self> {
        let (low, high) = dimensions::extent(roof)?;
        let heights = dimensions::construction_levels(roof);
        let (&start, &top) = heights.first().zip(heights.last())?;
        // A level that reads as no higher than the outline shows nothing new.
        let is_told =
            |height: &&f64| **height <= start || **height >= top || !context.words.reads_as_nothing(**height - start);
        let levels: Vec<Level> =
            heights.iter().filter(is_told).map(|&height| Level { height, last: height >= top }).collect();
        let size = high - low;
        let gap = size.x.max(size.y) * 0.22;
        // The arrangement whose proportions come nearest those of a page lying.
        let cell = size + Vector2::new(gap * 0.6, gap * 1.2);
        let shape = |columns: usize| {
            let rows = levels.len().div_ceil(columns);
            let ratio = columns as f64 * cell.x / (rows as f64 * cell.y);
            (ratio / 1.75).ln().abs() + 0.15 * (columns * rows - levels.len()) as f64
        };
        let columns = (1..=levels.len()).min_by(|a, b| shape(*a).total_cmp(&shape(*b))).unwrap_or(1);
        Some(Self { roof, levels, start, words: context.words, cell, low, columns })
    }

    fn shift(&self, index: usize) -> Vector2<f64> {
        let (column, row) = ((index % self.columns) as f64, (index / self.columns) as f64);
        Vector2::new(column * self.cell.x, -row * self.cell.y)
    }

    /// Where the outline at a level runs along walls that stand still: beneath what of a free edge lies higher.
    fn upright(&self, runs: &[ContourRun], height: f64) -> Vec<[Point2<f64>; 2]> {
        let mut lines = Vec::new();
        let standing = runs.iter().filter(|run| self.foot(run).is_none_or(|foot| foot < height));
        for id in standing.flat_map(|run| &run.edges) {
            let edge = &self.roof.edges[id.index()];
            let (mut low, mut high) = (self.roof.at(edge.from), self.roof.at(edge.to));
            if low.z > high.z {
                std::mem::swap(&mut low, &mut high);
            }
            if high.z > height {
                if low.z < height {
                    low += (high - low) * ((height - low.z) / (high.z - low.z));
                }
                lines.push([low.xy(), high.xy()]);
            }
        }
        lines
    }

    /// The height at which the wall below a free edge stands on another slope, as a gablet's or a dormer's does; `None` for
    /// walls of the outline.
    fn foot(&self, run: &ContourRun) -> Option<f64> {
        if !run.inner {
            return None;
        }
        let middle = nalgebra::center(&run.from, &run.to);
        let beyond = middle + run.outward() * (run.length() * BESIDE);
        let edge = &self.roof.edges[run.edges.first()?.index()];
        let below = nalgebra::center(&self.roof.at(edge.from), &self.roof.at(edge.to)).z;
        let heights = self.roof.roof_faces().filter_map(|(_, face)| {
            let ring: Vec<Point2<f64>> = self.roof.ring(face).iter().map(Point3::xy).collect();
            polygon::contains(&ring, &beyond).then(|| face.plane.height_at(&middle)).flatten()
        });
        heights.filter(|height| *height < below).reduce(f64::max)
    }

    /// The outline at a level: where its plane cuts the roof faces.
    fn contour(&self, height: f64) -> Vec<[Point2<f64>; 2]> {
        let mut lines = Vec::new();
        for (_, face) in self.roof.roof_faces() {
            let rings = std::iter::once(self.roof.ring(face)).chain(self.roof.holes(face));
            let mut found: Vec<Point3<f64>> = Vec::new();
            for ring in rings {
                for (index, from) in ring.iter().enumerate() {
                    let to = &ring[(index + 1) % ring.len()];
                    let (a, b) = (from.z - height, to.z - height);
                    if (a < 0.0) != (b < 0.0) {
                        found.push(from + (to - from) * (a / (a - b)));
                    }
                }
            }
            // Cuts of one plane lie on one line: in order along it they pair off.
            let Some(down) = face.plane.downslope() else { continue };
            let along = Vector2::new(-down.y, down.x);
            found.sort_by_number(|p| p.xy().coords.dot(&along));
            lines.extend(found.chunks_exact(2).map(|pair| [pair[0].xy(), pair[1].xy()]));
        }
        lines
    }
}

impl Figure for Construction<'_> {
    fn name(&self) -> String {
        "construction".to_owned()
    }

    fn title(&self) -> String {
        "construction: how the outline shrinks and the folds appear".to_owned()
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        let (low, high) = dimensions::extent(self.roof)?;
        let rows = self.levels.len().div_ceil(self.columns) as f64;
        let size = high - low;
        Some((
            Point2::new(low.x, low.y - (rows - 1.0) * self.cell.y),
            Point2::new(low.x + (self.columns as f64 - 1.0) * self.cell.x + size.x, high.y),
        ))
    }

    fn furniture(&self) -> Furniture {
        let mut key = vec![(Pen::Level, "outline at the level".to_owned()), (Pen::Trace, "outline below".to_owned())];
        key.extend(plan::edge_key(self.roof));
        Furniture {
            key,
            remarks: vec![
                "A level plane is raised through the roof: every side moves in by the level run of its own pitch, a verge \
                 stands still. Corners draw hips and valleys; a side that shrinks to nothing ends in a ridge's corner."
                    .to_owned(),
            ],
            north: false,
        }
    }

    fn surround(&self) -> [f64; 3] {
        [6.0, 12.0, 12.0]
    }

    fn is_measured(&self) -> bool {
        false
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        let Some((low, high)) = dimensions::extent(self.roof) else { return };
        let runs = outline::runs(self.roof);
        let outer: Vec<&ContourRun> = runs.iter().filter(|run| !run.inner).collect();
        for (index, level) in self.levels.iter().enumerate() {
            let shift = self.shift(index);
            for id in plan::labelled_edges(self.roof) {
                let edge = &self.roof.edges[id.index()];
                let (mut from, mut to) = (self.roof.at(edge.from), self.roof.at(edge.to));
                if from.z > to.z {
                    std::mem::swap(&mut from, &mut to);
                }
                if (from.z > level.height + ROUNDING && !level.last) || index == 0 {
                    continue;
                }
                // What lies above the level is yet to come.
                if to.z > level.height && !level.last {
                    to = from + (to - from) * ((level.height - from.z) / (to.z - from.z)).clamp(0.0, 1.0);
                }
                let on_outline = (self.roof.at(edge.from).z - self.start).abs() < ROUNDING
                    && (self.roof.at(edge.to).z - self.start).abs() < ROUNDING;
                let pen = if on_outline && !level.last { Pen::Trace } else { Pen::Edge(edge.kind) };
                canvas.line(pen, &(from.xy() + shift), &(to.xy() + shift));
            }
            if index == 0 {
                for run in &outer {
                    canvas.line(Pen::Level, &(run.from + shift), &(run.to + shift));
                }
            } else if !level.last {
                for [from, to] in self.contour(level.height).into_iter().chain(self.upright(&runs, level.height)) {
                    canvas.line(Pen::Level, &(from + shift), &(to + shift));
                }
            }
            let rise = self.words.length(level.height - self.start);
            let said = match (index, level.last) {
                (0, _) => format!("{}  the outline", index + 1),
                (_, true) => format!("{}  {rise} up: the roof", index + 1),
                _ => format!("{}  {rise} up", index + 1),
            };
            let under = canvas.paper(&(Point2::new(f64::midpoint(low.x, high.x), low.y) + shift));
            canvas.letter(&Block::new(vec![Text::new(Point2::origin(), said)]), under - Vector2::new(0.0, 4.5));
            debug_assert!(self.low.x.is_finite());
        }
    }
}
