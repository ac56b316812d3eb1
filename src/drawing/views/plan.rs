//! The roof plan: every face named, every edge named and measured, to scale.

use super::outline::{self, ContourRun};
use crate::base::ids::{EdgeId, FaceId};
use crate::base::tolerance::{ROUNDING, TOLD_LEVEL};
use crate::base::units::PlanLength;
use crate::drawing::Context;
use crate::drawing::typeset::board::Board;
use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::figure;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::frame::Furniture;
use crate::drawing::typeset::label;
use crate::drawing::typeset::label::{Block, Leader};
use crate::drawing::typeset::lettering::MEDIUM;
use crate::drawing::typeset::model::{Drawing, Text};
use crate::drawing::typeset::pen::{Pen, Tone};
use crate::job::answer::Answer;
use crate::roof::analysis::dimensions::extent;
use crate::roof::model::frame::FaceFrame;
use crate::roof::{EdgeKind, Face, Roof};
use crate::wording::building::WALL_BELOW;
use crate::wording::estimate;
use crate::wording::roof::edge_word;
use nalgebra::{Point2, Point3, Vector2};
use std::collections::BTreeSet;

/// The roof plan as a figure.
#[derive(Clone, Copy, Debug)]
pub struct Plan<'a> {
    answer: &'a Answer,
    roof: &'a Roof,
}

/// The roof plan on the smallest usual sheet that takes its labels without many leaders. O(labels × (boxes + lines)).
#[must_use]
pub fn plan(answer: &Answer, context: &Context) -> Vec<Drawing> {
    figure::pages(&Plan::of(answer), context)
}

/// Edges that a plan labels: those of roof faces that do not stand plumb.
#[must_use]
pub(crate) fn labelled_edges(roof: &Roof) -> Vec<EdgeId> {
    let is_labelled = |&(_, edge): &(usize, &crate::roof::Edge)| {
        !edge.kind.is_wall_only() && roof.plan_length(edge) > PlanLength::default()
    };
    roof.edges.iter().enumerate().filter(is_labelled).map(|(index, _)| EdgeId::new(index)).collect()
}

/// The key of the kinds of edges a roof has.
#[must_use]
pub(crate) fn edge_key(roof: &Roof) -> Vec<(Pen, String)> {
    let kinds: BTreeSet<EdgeKind> =
        roof.edges.iter().map(|edge| edge.kind).filter(|kind| !kind.is_wall_only()).collect();
    kinds.into_iter().map(|kind| (Pen::Edge(kind), edge_word(kind).to_owned())).collect()
}

impl Figure for Plan<'_> {
    fn name(&self) -> String {
        "plan".to_owned()
    }

    fn title(&self) -> String {
        "roof plan".to_owned()
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        extent(self.roof)
    }

    fn furniture(&self) -> Furniture {
        let mut key = edge_key(self.roof);
        if !self.answer.building.walls.is_empty() {
            key.push((Pen::Hidden, WALL_BELOW.to_owned()));
        }
        Furniture {
            key,
            remarks: vec![
                "Lengths written along an edge with its name are true lengths on the slope; dimension lines are level. \
                 Arrows point downslope."
                    .to_owned(),
            ],
            north: true,
        }
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        self.draw_lines(canvas);
        let named = self.dimension_outline(canvas);
        // Edges have fewer places than faces; what needs a leader comes last.
        let left = self.name_edges(canvas, &named);
        self.name_faces(canvas);
        for (from, to, words) in left {
            canvas.lead_line(&from, &to, &words);
        }
    }
}

impl<'a> Plan<'a> {
    /// Of a solved roof.
    #[must_use]
    pub fn of(answer: &'a Answer) -> Self {
        Self { answer, roof: &answer.roof }
    }
}

impl Plan<'_> {
    fn ends(&self, id: EdgeId) -> [Point2<f64>; 2] {
        let edge = &self.roof.edges[id.index()];
        [self.roof.at(edge.from).xy(), self.roof.at(edge.to).xy()]
    }

    /// Out of the roof, for an edge of one face; `None` between two.
    fn outward(&self, id: EdgeId) -> Option<Vector2<f64>> {
        let edge = &self.roof.edges[id.index()];
        let [only] = edge.faces.as_slice() else { return None };
        let face = &self.roof.faces[only.index()];
        let at = face.edges.iter().position(|other| *other == id)?;
        let from = face.ring.iter().chain(face.holes.iter().flatten()).nth(at)?;
        let [a, b] = self.ends(id);
        let along = if *from == edge.from { b - a } else { a - b };
        Some(Vector2::new(along.y, -along.x))
    }

    fn draw_lines(&self, canvas: &mut Canvas<'_>) {
        for (_, face) in self.roof.roof_faces() {
            let rings = self.face_rings(canvas, face);
            canvas.drawing.area(Tone::Shape, rings);
        }
        for opening in &self.answer.openings {
            let Some(frame) = FaceFrame::of(self.roof, &self.roof.faces[opening.face.index()]) else { continue };
            let ring: Vec<Point2<f64>> = opening.ring.iter().map(|place| frame.to_space(place).xy()).collect();
            canvas.area(Tone::Opening, std::slice::from_ref(&ring));
            canvas.ring(Pen::Opening, &ring);
        }
        for wall in &self.answer.building.walls {
            canvas.line(Pen::Hidden, &wall.ends[0], &wall.ends[1]);
        }
        for id in labelled_edges(self.roof) {
            let [from, to] = self.ends(id);
            canvas.line(Pen::Edge(self.roof.edges[id.index()].kind), &from, &to);
        }
    }

    fn edge_words(&self, context: &Context, id: EdgeId) -> String {
        let edge = &self.roof.edges[id.index()];
        format!("{} {}", edge_word(edge.kind), estimate::length(&self.answer.length(id).alone(), context.words))
    }

    /// Dimensions the runs of the outline; gives the edges that are named by it.
    fn dimension_outline(&self, canvas: &mut Canvas<'_>) -> BTreeSet<EdgeId> {
        let mut named = BTreeSet::new();
        let runs = outline::runs(self.roof);
        // A courtyard's sides are named within it: there is no room for dimension lines.
        let courts = outline::courts(&runs);
        let outer: Vec<&ContourRun> =
            runs.iter().zip(courts).filter(|(run, court)| !run.inner && !court).map(|(r, _)| r).collect();
        let format = canvas.context.words;
        for run in outer.iter().filter(|run| !format.reads_as_nothing(run.length())) {
            let single = match run.edges.as_slice() {
                &[id] if self.roof.slope(&self.roof.edges[id.index()]) < TOLD_LEVEL => Some(id),
                _ => None,
            };
            let words = match single {
                Some(id) => self.edge_words(canvas.context, id),
                None => canvas.context.words.length(run.length()),
            };
            let placed = canvas.dimension([run.from, run.to], run.outward(), &words);
            if let (true, Some(id)) = (placed, single) {
                named.insert(id);
            }
        }
        if outer.len() > 4 {
            self.dimension_over_all(canvas);
        }
        named
    }

    /// Over-all dimensions, from the outline's extreme corners where their extension lines are free.
    fn dimension_over_all(&self, canvas: &mut Canvas<'_>) {
        let Some((low, high)) = extent(self.roof) else { return };
        let epsilon = (high - low).norm() * ROUNDING;
        let corners: Vec<Point2<f64>> =
            self.roof.roof_faces().flat_map(|(_, face)| self.roof.ring(face)).map(|place| place.xy()).collect();
        let (down, left) = (Vector2::new(0.0, -1.0), Vector2::new(-1.0, 0.0));
        for (outward, box_ends) in
            [(down, [low, Point2::new(high.x, low.y)]), (left, [Point2::new(low.x, high.y), low])]
        {
            let along = Vector2::new(-outward.y, outward.x);
            let extreme = |end: &Point2<f64>| {
                let level = |corner: &&Point2<f64>| (*corner - end).dot(&along).abs() <= epsilon;
                let out = |corner: &&Point2<f64>| corner.coords.dot(&outward);
                corners.iter().filter(level).max_by(|a, b| out(a).total_cmp(&out(b))).copied().unwrap_or(*end)
            };
            let words = format!("over all {}", canvas.context.words.length((box_ends[1] - box_ends[0]).norm()));
            for ends in [[extreme(&box_ends[0]), extreme(&box_ends[1])], box_ends] {
                if canvas.dimension(ends, outward, &words) {
                    break;
                }
            }
        }
    }

    fn face_rings(&self, canvas: &Canvas<'_>, face: &Face) -> Vec<Vec<Point2<f64>>> {
        let plan = |ring: Vec<Point3<f64>>| ring.iter().map(Point3::xy).collect::<Vec<_>>();
        let rings: Vec<Vec<Point2<f64>>> =
            std::iter::once(self.roof.ring(face)).chain(self.roof.holes(face)).map(plan).collect();
        canvas.rings(&rings)
    }

    /// What is said of a face, in three lines, in one, or in three narrower ones without how sure it is.
    fn face_blocks(&self, context: &Context, id: FaceId, face: &Face) -> [Block; 3] {
        let area = estimate::area(&self.answer.area(id), context.words);
        let pitch = format!("pitch {}", estimate::angle(&self.answer.pitch(id).alone()));
        let line = |words: String| Text::new(Point2::origin(), words);
        let name = line(face.name()).height(MEDIUM).bold();
        let short = line(format!("{}  {area}  {pitch}", face.name()));
        let alone = line(estimate::area(&self.answer.area(id).alone(), context.words));
        [
            Block::new(vec![name.clone(), line(area), line(pitch.clone())]),
            Block::new(vec![short]),
            Block::new(vec![name, alone, line(pitch)]),
        ]
    }

    /// Names every face, with an arrow downslope beside the name, largest first so that they get the best places.
    fn name_faces(&self, canvas: &mut Canvas<'_>) {
        let mut faces: Vec<(FaceId, &Face)> = self.roof.roof_faces().collect();
        faces.sort_by(|a, b| self.roof.plan_area(b.1).total_cmp(&self.roof.plan_area(a.1)).then(a.0.cmp(&b.0)));
        let mut failed = Vec::new();
        for (id, face) in faces {
            let rings = self.face_rings(canvas, face);
            let blocks = self.face_blocks(canvas.context, id, face);
            let down = face.plane.downslope();
            if blocks.iter().any(|block| canvas.name_within(&rings, block, down)) {
                continue;
            }
            // The arrow beside the name takes room that the name alone may have.
            if blocks.iter().any(|block| canvas.name_within(&rings, block, None)) {
                self.short_arrow(canvas, face);
            } else {
                failed.push((id, face));
            }
        }
        for (id, face) in failed {
            self.lead_face(canvas, id, face);
        }
    }

    fn lead_face(&self, canvas: &mut Canvas<'_>, id: FaceId, face: &Face) {
        let blocks = self.face_blocks(canvas.context, id, face);
        let rings = self.face_rings(canvas, face);
        let everywhere = Board::new(Point2::new(-1e9, -1e9), Point2::new(1e9, 1e9));
        let target = label::inside(&everywhere, &rings, [0.0, 0.0]).unwrap_or(rings[0][0]);
        self.short_arrow(canvas, face);
        let free = label::inside(&canvas.board, &rings, [1.0, 1.0]).unwrap_or(target);
        let others = self.roof.roof_faces().filter(|&(other, _)| other != id);
        let avoid = others.map(|(_, other)| self.face_rings(canvas, other).swap_remove(0)).collect();
        let leader = Leader { avoid, ..Leader::to_area() };
        if !blocks.iter().any(|block| canvas.lead(free, block, &leader)) {
            let area = estimate::area(&self.answer.area(id).alone(), canvas.context.words);
            let pitch = estimate::angle(&self.answer.pitch(id).alone());
            canvas.number_within(&rings, free, format!("{}: {area}, pitch {pitch}", face.name()));
        }
    }

    /// A short arrow downslope by itself, when there is room for it.
    fn short_arrow(&self, canvas: &mut Canvas<'_>, face: &Face) {
        let Some(down) = face.plane.downslope() else { return };
        let rings = self.face_rings(canvas, face);
        let reach = down * 3.5;
        let size = [reach.x.abs() * 2.0 + 1.0, reach.y.abs() * 2.0 + 1.0];
        if let Some(centre) = label::inside(&canvas.board, &rings, size) {
            canvas.arrow(centre - reach, centre + reach, 2.0);
        }
    }

    /// Names the edges the dimensions did not, short ones first: they have the fewest places. Gives those without a place
    /// beside their line.
    fn name_edges(&self, canvas: &mut Canvas<'_>, named: &BTreeSet<EdgeId>) -> Vec<(Point2<f64>, Point2<f64>, String)> {
        // A remnant whose length reads as nothing is drawn and not told.
        let format = canvas.context.words;
        let is_told = |id: &EdgeId| {
            let length = self.answer.length(*id).value();
            !named.contains(id) && !length.is_some_and(|length| format.reads_as_nothing(length))
        };
        let mut edges: Vec<EdgeId> = labelled_edges(self.roof).into_iter().filter(is_told).collect();
        edges.sort_by(|a, b| {
            let length = |id: &EdgeId| self.roof.plan_length(&self.roof.edges[id.index()]);
            length(a).total_cmp(&length(b)).then(a.cmp(b))
        });
        let mut left = Vec::new();
        for id in edges {
            let [from, to] = self.ends(id);
            let words = self.edge_words(canvas.context, id);
            if !canvas.name_along(&from, &to, &words, self.outward(id)) {
                left.push((from, to, words));
            }
        }
        left
    }
}
