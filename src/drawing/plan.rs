//! The roof plan: every face named, every edge named and measured, to scale.

use super::board::{Board, Tilted};
use super::dimension::{self, dimension};
use super::frame::{self, Area, Furniture};
use super::label::{self, Block, Ending, Leader};
use super::lettering::MEDIUM;
use super::model::{Drawing, Text, View};
use super::outline::{self, Run};
use super::paper::{self, Sheet};
use super::pen::{Pen, Tone};
use super::{Context, edge_word, words};
use crate::base::ids::{EdgeId, FaceId};
use crate::roof::{EdgeKind, Face, Roof};
use nalgebra::{Point2, Point3, Vector2};
use std::collections::BTreeSet;

/// What is told on the plan besides the roof itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Extras {
    /// Standard deviation of each face's area, square metres, where known; by face.
    pub area_sd: Vec<Option<f64>>,
    /// Openings: their ring in space and what they are.
    pub openings: Vec<(Vec<Point3<f64>>, String)>,
}

/// A label that found no place on its sheet and goes into the key page by number.
#[derive(Clone, Debug, PartialEq)]
struct Unplaced(String);

/// The roof plan on the smallest usual sheet that takes its labels without many leaders. What finds no place even on the
/// largest is listed on a further page by number. Empty for a roof without faces. O(labels × (boxes + lines)).
#[must_use]
pub fn plan(roof: &Roof, context: &Context, extras: &Extras) -> Vec<Drawing> {
    // Up to this many leaders are no reason to look for a larger sheet.
    const FEW: usize = 3;
    let mut best: Option<Plan<'_>> = None;
    let mut sheets = candidates(roof, context);
    // The preferred orientation of a size is the one with the larger scale; upright only when that helps.
    sheets.dedup_by_key(|(sheet, _)| sheet.name);
    for (sheet, scale) in sheets {
        let Some(plan) = Plan::on_sheet(roof, context, extras, sheet, scale) else { continue };
        let clear = plan.clutter() <= FEW;
        if best.as_ref().is_none_or(|best| 2 * plan.clutter() <= best.clutter()) {
            best = Some(plan);
        }
        if clear {
            break;
        }
    }
    let Some(Plan { drawing, unplaced, .. }) = best else { return Vec::new() };
    let mut pages = vec![drawing];
    pages.extend(key_pages(context, &unplaced));
    pages
}

fn furniture(roof: &Roof) -> Furniture {
    let kinds: BTreeSet<EdgeKind> =
        roof.edges.iter().map(|edge| edge.kind).filter(|kind| !kind.is_wall_only()).collect();
    Furniture {
        key: kinds.into_iter().map(|kind| (Pen::Edge(kind), edge_word(kind).to_owned())).collect(),
        remarks: vec![
            "Lengths written along an edge with its name are true lengths on the slope; dimension lines are level. \
             Arrows point downslope."
                .to_owned(),
        ],
        north: true,
    }
}

/// Margin round the plan for its dimension lines, millimetres.
const SURROUND: f64 = 2.0 * dimension::LANE + 9.0;

fn extent(roof: &Roof) -> Option<(Point2<f64>, Point2<f64>)> {
    let places = || roof.roof_faces().flat_map(|(_, face)| roof.ring(face)).map(|place| place.xy());
    Some((places().reduce(|a, b| a.inf(&b))?, places().reduce(|a, b| a.sup(&b))?))
}

/// Sheets with the scale each allows; within a size the larger scale first, lying before upright.
fn candidates(roof: &Roof, context: &Context) -> Vec<(Sheet, f64)> {
    let Some((low, high)) = extent(roof) else { return Vec::new() };
    let furniture = furniture(roof);
    let mut found: Vec<(usize, Sheet, f64)> = Vec::new();
    for sheet in context.sheets() {
        let [width, height] = frame::area(sheet, &furniture).room();
        let room = [width - 2.0 * SURROUND, height - 2.0 * SURROUND];
        let size = [high.x - low.x, high.y - low.y];
        if let Some(scale) = paper::fit(size, room, context.words.imperial) {
            let rank = found.iter().find(|(_, other, _)| other.name == sheet.name).map_or(found.len(), |f| f.0);
            found.push((rank, sheet, scale));
        }
    }
    found.sort_by(|a, b| a.0.cmp(&b.0).then(a.2.total_cmp(&b.2)));
    found.into_iter().map(|(_, sheet, scale)| (sheet, scale)).collect()
}

/// The state of one plan being drawn.
struct Plan<'a> {
    roof: &'a Roof,
    context: &'a Context,
    extras: &'a Extras,
    view: View,
    board: Board,
    drawing: Drawing,
    leaders: usize,
    unplaced: Vec<Unplaced>,
}

impl<'a> Plan<'a> {
    fn on_sheet(roof: &'a Roof, context: &'a Context, extras: &'a Extras, sheet: Sheet, scale: f64) -> Option<Self> {
        let (low, high) = extent(roof)?;
        let furniture = furniture(roof);
        let area: Area = frame::area(sheet, &furniture);
        let factor = 1000.0 / scale;
        let origin = area.middle() - nalgebra::center(&low, &high).coords * factor;
        let view = View { origin, factor };
        let drawing = frame::page(context, "plan", "roof plan", sheet, &furniture, Some(view));
        let board = Board::new(area.low, area.high);
        let mut plan = Plan { roof, context, extras, view, board, drawing, leaders: 0, unplaced: Vec::new() };
        plan.draw_lines();
        let named = plan.dimension_outline();
        plan.name_faces();
        plan.name_edges(&named);
        Some(plan)
    }

    /// How far from calm the page is: a leader is one step, a label without a place several.
    fn clutter(&self) -> usize {
        self.leaders + 5 * self.unplaced.len()
    }
    fn paper(&self, place: &Point3<f64>) -> Point2<f64> {
        self.view.to_paper(&place.xy())
    }

    fn edge_ends(&self, id: EdgeId) -> [Point2<f64>; 2] {
        let edge = &self.roof.edges[id.index()];
        [self.paper(&self.roof.at(edge.from)), self.paper(&self.roof.at(edge.to))]
    }

    /// Edges that are told on a plan: those of roof faces that do not stand plumb.
    fn told_edges(&self) -> Vec<EdgeId> {
        let told =
            |&(_, edge): &(usize, &crate::roof::Edge)| !edge.kind.is_wall_only() && self.roof.plan_length(edge).0 > 0.0;
        self.roof.edges.iter().enumerate().filter(told).map(|(index, _)| EdgeId::new(index)).collect()
    }

    fn draw_lines(&mut self) {
        for (ring, _) in &self.extras.openings {
            let ring: Vec<Point2<f64>> = ring.iter().map(|place| self.paper(place)).collect();
            self.drawing.area(Tone::Opening, vec![ring.clone()]);
            for (index, from) in ring.iter().enumerate() {
                self.board.note_line(*from, ring[(index + 1) % ring.len()]);
            }
            self.drawing.ring(Pen::Opening, ring);
        }
        for id in self.told_edges() {
            let [from, to] = self.edge_ends(id);
            self.board.note_line(from, to);
            self.drawing.line(Pen::Edge(self.roof.edges[id.index()].kind), from, to);
        }
    }

    /// Dimensions the runs of the outline; gives the edges that are named by it.
    fn dimension_outline(&mut self) -> BTreeSet<EdgeId> {
        let mut named = BTreeSet::new();
        let runs = outline::runs(self.roof);
        let outer: Vec<&Run> = runs.iter().filter(|run| !run.inner).collect();
        for run in &outer {
            let ends = [self.view.to_paper(&run.from), self.view.to_paper(&run.to)];
            let single = match run.edges.as_slice() {
                &[id] if self.roof.slope(&self.roof.edges[id.index()]) < 1e-6 => Some(id),
                _ => None,
            };
            let words = match single {
                Some(id) => self.edge_words(id),
                None => self.context.words.length(run.length()),
            };
            let placed = dimension(&mut self.board, &mut self.drawing, ends, run.outward(), &words);
            if let (true, Some(id)) = (placed, single) {
                named.insert(id);
            }
        }
        if outer.len() > 4 {
            self.dimension_over_all();
        }
        named
    }

    /// Over-all dimensions, from the outline's extreme corners where their extension lines are free.
    fn dimension_over_all(&mut self) {
        let Some((low, high)) = extent(self.roof) else { return };
        let hair = (high - low).norm() * 1e-9;
        let corners: Vec<Point2<f64>> =
            self.roof.roof_faces().flat_map(|(_, face)| self.roof.ring(face)).map(|place| place.xy()).collect();
        let (down, left) = (Vector2::new(0.0, -1.0), Vector2::new(-1.0, 0.0));
        for (outward, box_ends) in
            [(down, [low, Point2::new(high.x, low.y)]), (left, [Point2::new(low.x, high.y), low])]
        {
            let along = Vector2::new(-outward.y, outward.x);
            let extreme = |end: &Point2<f64>| {
                let level = |corner: &&Point2<f64>| (*corner - end).dot(&along).abs() <= hair;
                let out = |corner: &&Point2<f64>| corner.coords.dot(&outward);
                corners.iter().filter(level).max_by(|a, b| out(a).total_cmp(&out(b))).copied().unwrap_or(*end)
            };
            let words = format!("over all {}", self.context.words.length((box_ends[1] - box_ends[0]).norm()));
            let to_paper = |ends: [Point2<f64>; 2]| ends.map(|end| self.view.to_paper(&end));
            let choices = [to_paper([extreme(&box_ends[0]), extreme(&box_ends[1])]), to_paper(box_ends)];
            for ends in choices {
                if dimension(&mut self.board, &mut self.drawing, ends, outward, &words) {
                    break;
                }
            }
        }
    }

    fn edge_words(&self, id: EdgeId) -> String {
        let edge = &self.roof.edges[id.index()];
        format!("{} {}", edge_word(edge.kind), self.context.words.length(self.roof.length(edge).0))
    }

    fn face_rings(&self, face: &Face) -> Vec<Vec<Point2<f64>>> {
        let paper = |ring: Vec<Point3<f64>>| ring.iter().map(|place| self.paper(place)).collect();
        std::iter::once(self.roof.ring(face)).chain(self.roof.holes(face)).map(paper).collect()
    }

    /// What is said of a face, in three lines or in one.
    fn face_blocks(&self, id: FaceId, face: &Face) -> [Block; 2] {
        let sd = self.extras.area_sd.get(id.index()).copied().flatten();
        let area = self.context.words.area_pm(self.roof.area(face).0, sd);
        let pitch = format!("pitch {}", words::degrees(face.plane.pitch()));
        let line = |words: String| Text::new(Point2::origin(), words);
        let name = line(face.name.clone()).height(MEDIUM).bold();
        let short = line(format!("{}  {area}  {pitch}", face.name));
        [Block::new(vec![name, line(area), line(pitch)]), Block::new(vec![short])]
    }

    /// Names every face, with an arrow downslope beside the name, largest first so that they get the best places.
    fn name_faces(&mut self) {
        let mut faces: Vec<(FaceId, &Face)> = self.roof.roof_faces().collect();
        faces.sort_by(|a, b| self.roof.plan_area(b.1).0.total_cmp(&self.roof.plan_area(a.1).0).then(a.0.cmp(&b.0)));
        let mut failed = Vec::new();
        for (id, face) in faces {
            if !self.name_face(id, face) {
                failed.push((id, face));
            }
        }
        for (id, face) in failed {
            let blocks = self.face_blocks(id, face);
            let rings = self.face_rings(face);
            let everywhere = Board::new(Point2::new(-1e9, -1e9), Point2::new(1e9, 1e9));
            let target = label::inside(&everywhere, &rings, [0.0, 0.0]).unwrap_or(rings[0][0]);
            if let Some(down) = face.plane.downslope() {
                // A short arrow of its own, when there is room for it.
                let reach = down * 3.5;
                let size = [reach.x.abs() * 2.0 + 1.0, reach.y.abs() * 2.0 + 1.0];
                if let Some(centre) = label::inside(&self.board, &rings, size) {
                    self.point_downslope(centre - reach, centre + reach, 2.0);
                }
            }
            let free = label::inside(&self.board, &rings, [1.0, 1.0]).unwrap_or(target);
            let others = self.roof.roof_faces().filter(|&(other, _)| other != id);
            let avoid = others.map(|(_, other)| self.face_rings(other).swap_remove(0)).collect();
            let leader = Leader { ending: Ending::Dot, not_along: None, avoid };
            if !blocks.iter().any(|block| self.lead(free, block, &leader)) {
                let area = self.context.words.area(self.roof.area(face).0);
                let words = format!("{}: {area}, pitch {}", face.name, words::degrees(face.plane.pitch()));
                self.unplaced(free, words);
            }
        }
    }

    fn lead(&mut self, target: Point2<f64>, block: &Block, leader: &Leader) -> bool {
        let led = label::led(&mut self.board, &mut self.drawing, target, block, leader);
        self.leaders += usize::from(led);
        led
    }

    fn point_downslope(&mut self, from: Point2<f64>, to: Point2<f64>, head: f64) {
        self.drawing.arrow(Pen::Arrow, from, to, head);
        let along = to - from;
        let half = [along.norm() / 2.0 + 0.5, 1.2];
        self.board.take(Tilted { centre: nalgebra::center(&from, &to), half, angle: along.y.atan2(along.x) });
    }

    fn name_face(&mut self, id: FaceId, face: &Face) -> bool {
        let rings = self.face_rings(face);
        self.face_blocks(id, face).iter().any(|block| self.name_within(face, &rings, block))
    }

    /// Letters a block in its face with an arrow beyond it on its downslope side: room for both is looked for at once.
    fn name_within(&mut self, face: &Face, rings: &[Vec<Point2<f64>>], block: &Block) -> bool {
        let [width, height] = block.size();
        let Some(down) = face.plane.downslope() else {
            let Some(centre) = label::inside(&self.board, rings, [width + 2.0, height + 1.0]) else { return false };
            return self.letter(block, centre);
        };
        for arrow in [11.0, 7.0, 5.0] {
            let out = 1.0 / (down.x.abs() / (width / 2.0)).max(down.y.abs() / (height / 2.0));
            let (start, end) = (down * (out + 1.0), down * (out + 1.0 + arrow));
            let low = Point2::new((-width / 2.0).min(end.x - 1.0), (-height / 2.0).min(end.y - 1.0));
            let high = Point2::new((width / 2.0).max(end.x + 1.0), (height / 2.0).max(end.y + 1.0));
            let size = [high.x - low.x + 1.0, high.y - low.y + 1.0];
            let Some(place) = label::inside(&self.board, rings, size) else { continue };
            let centre = place - nalgebra::center(&low, &high).coords;
            self.point_downslope(centre + start, centre + end, 2.6);
            return self.letter(block, centre);
        }
        false
    }

    fn letter(&mut self, block: &Block, centre: Point2<f64>) -> bool {
        for text in block.at(centre) {
            self.board.take(text.bounds().grown(0.7));
            self.drawing.text(text);
        }
        true
    }

    /// Names the edges the dimensions did not, short ones first: they have the fewest places.
    fn name_edges(&mut self, named: &BTreeSet<EdgeId>) {
        let mut edges: Vec<EdgeId> = self.told_edges().into_iter().filter(|id| !named.contains(id)).collect();
        edges.sort_by(|a, b| {
            let length = |id: &EdgeId| self.roof.plan_length(&self.roof.edges[id.index()]).0;
            length(a).total_cmp(&length(b)).then(a.cmp(b))
        });
        let mut left = Vec::new();
        for id in edges {
            let [from, to] = self.edge_ends(id);
            let words = self.edge_words(id);
            if !label::along(&mut self.board, &mut self.drawing, from, to, &words, None) {
                left.push(id);
            }
        }
        for id in left {
            let [from, to] = self.edge_ends(id);
            let words = self.edge_words(id);
            let block = Block::new(vec![Text::new(Point2::origin(), words.clone())]);
            let middle = nalgebra::center(&from, &to);
            let led = self.lead(
                middle,
                &block,
                &Leader { ending: Ending::Arrow, not_along: Some(to - from), avoid: Vec::new() },
            );
            if !led {
                self.unplaced(middle, words);
            }
        }
    }

    /// Numbers what found no place; its words go to the key page.
    fn unplaced(&mut self, target: Point2<f64>, words: String) {
        let number = self.unplaced.len() + 1;
        let block = Block::new(vec![Text::new(Point2::origin(), number.to_string()).bold()]);
        let leader = Leader { ending: Ending::Dot, not_along: None, avoid: Vec::new() };
        let _numbered = self.lead(target, &block, &leader);
        self.unplaced.push(Unplaced(words));
    }
}

/// Pages that list what is numbered on the plan.
fn key_pages(context: &Context, unplaced: &[Unplaced]) -> Vec<Drawing> {
    if unplaced.is_empty() {
        return Vec::new();
    }
    let sheet = context.sheet.unwrap_or(Sheet::family(context.series)[0]);
    let area = frame::area(sheet, &Furniture::default());
    let (row, column) = (5.0, 85.0);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let (rows, columns) =
        (((area.room()[1] / row).floor() as usize).max(1), ((area.room()[0] / column).floor() as usize).max(1));
    let numbered: Vec<(usize, &Unplaced)> = unplaced.iter().enumerate().collect();
    numbered
        .chunks(rows * columns)
        .enumerate()
        .map(|(page, chunk)| {
            let name = format!("plan-key-{}", page + 1);
            let mut drawing = frame::page(
                context,
                &name,
                "roof plan: what the numbers stand for",
                sheet,
                &Furniture::default(),
                None,
            );
            for (place, (index, Unplaced(words))) in chunk.iter().enumerate() {
                let (down, across) = (place % rows, place / rows);
                let at =
                    Point2::new(area.low.x + 2.0 + across as f64 * column, area.high.y - row * (down as f64 + 0.8));
                let said = format!("{}  {words}", index + 1);
                let said = frame::shorten(&said, super::lettering::SMALL, false, column - 2.0);
                drawing.text(Text::new(at, said));
            }
            drawing
        })
        .collect()
}
