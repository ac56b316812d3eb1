//! The fold-up net on sheets of paper: as many as it takes for a model of a useful size, all at one scale, edges that are
//! glued numbered alike, with the letter of the sheet on which the other one lies.

use super::body::Body;
use super::clip;
use super::net::{Net, Pair, convex_overlap, edge_in};
use crate::base::tolerance::RELATIVE;
use crate::drawing::Context;
use crate::drawing::typeset::canvas::{self, Canvas};
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::frame;
use crate::drawing::typeset::frame::Furniture;
use crate::drawing::typeset::label::{Block, Leader};
use crate::drawing::typeset::model::Text;
use crate::drawing::typeset::paper;
use crate::drawing::typeset::paper::PaperSize;
use crate::drawing::typeset::pen::{Pen, Tone};
use crate::roof::Roof;
use nalgebra::{Point2, Point3, Vector2};

/// Depth of a glue tab on paper, millimetres.
const TAB: f64 = 6.0;

/// Edges shorter than this on paper carry no number, millimetres.
const LEAST: f64 = 1.5;

/// Room for tabs and what is cut away round the pieces, millimetres.
const AROUND: f64 = TAB + 3.0;

/// The model's longest side in plan is at most this, millimetres: as large as a table and small paper allow.
const LONGEST: f64 = 250.0;

/// More sheets than this are not cut out in a lesson.
const MOST: usize = 4;

/// A net set out on sheets at one scale.
#[derive(Clone, Debug)]
pub struct NetSheets<'a> {
    /// The net, its pieces where they lie on their sheets.
    pub net: Net<'a>,
    /// The second number of the scale.
    pub scale: f64,
    /// By pair: the tab, on the sheet of one of its edges.
    tabs: Vec<Option<(usize, Vec<Point2<f64>>)>>,
}

impl<'a> NetSheets<'a> {
    /// For the paper of a context. `None` for a body with nothing to lay out.
    #[must_use]
    pub fn of(roof: &'a Roof, body: &'a Body, context: &Context) -> Option<Self> {
        let sheet = context.sheet.unwrap_or(PaperSize::family(context.series)[0]);
        let set = |sheet| Self::in_room(roof, body, frame::area(sheet, &furniture(true)).room());
        // Lying, unless standing gives a larger model, or the same on fewer sheets.
        let sets = [sheet.landscape(), sheet].into_iter().filter_map(set);
        sets.min_by(|a, b| a.scale.total_cmp(&b.scale).then(a.net.sheets().cmp(&b.net.sheets())))
    }

    /// For setting into a document, where a figure has this room, millimetres: key and scale stand beneath it.
    #[must_use]
    pub fn inset(roof: &'a Roof, body: &'a Body, room: [f64; 2]) -> Option<Self> {
        // Two lines for edges whose numbers find no place.
        let spare = vec![" ".to_owned(); 2];
        Self::in_room(roof, body, [room[0], room[1] - frame::foot_height(room[0], &furniture(true), &spare) - 12.0])
    }

    /// For paper with this room, millimetres: the largest scale at which no polygon is larger than the room, no model longer than
    /// 250 mm and four sheets are enough. O(scales × polygons² × triangles).
    #[must_use]
    pub(crate) fn in_room(roof: &'a Roof, body: &'a Body, room: [f64; 2]) -> Option<Self> {
        let low = body.places.iter().map(Point3::xy).reduce(|a, b| a.inf(&b))?;
        let high = body.places.iter().map(Point3::xy).reduce(|a, b| a.sup(&b))?;
        let longest = (high - low).max();
        let room = room.map(|side| side - 2.0 * AROUND);
        let scales = paper::free_scales().filter(|scale| longest * 1000.0 / scale <= LONGEST);
        let (scale, net) = scales.into_iter().find_map(|scale| {
            let metres = room.map(|side| side * scale / 1000.0);
            let net = Net::on_sheets(roof, body, metres, (2.0 * TAB + 3.0) * scale / 1000.0)?;
            (net.sheets() <= MOST).then_some((scale, net))
        })?;
        let tabs = tabs(&net, scale);
        Some(Self { net, scale, tabs })
    }

    /// A figure a sheet.
    #[must_use]
    pub fn figures(&self) -> Vec<NetSheet<'_>> {
        (0..self.net.sheets()).map(|sheet| NetSheet { set: self, sheet }).collect()
    }
}

/// Chooses a tab for every pair that is glued: as deep as there is room for, on whichever edge has it.
fn tabs(net: &Net<'_>, scale: f64) -> Vec<Option<(usize, Vec<Point2<f64>>)>> {
    let epsilon = net.body.size() * RELATIVE;
    let mut taken: Vec<(usize, Vec<Point2<f64>>)> =
        net.laid.iter().flat_map(|laid| laid.triangles.iter().map(|triangle| (laid.page, triangle.to_vec()))).collect();
    let mut chosen = Vec::with_capacity(net.pairs.len());
    for pair in &net.pairs {
        let sheets = sheets_of(net, pair);
        let found = [1.0, 0.7, 0.5].into_iter().filter(|_| !pair.folded).find_map(|share| {
            let depth = TAB * share * scale / 1000.0;
            let both = pair.edges.into_iter().zip(sheets);
            both.filter_map(|(edge, sheet)| Some((sheet, tab(edge, depth)?))).find(|(sheet, ring)| {
                !taken.iter().any(|(on, other)| on == sheet && convex_overlap(other, ring, epsilon))
            })
        });
        taken.extend(found.clone());
        chosen.push(found);
    }
    chosen
}

/// The sheets on which the two edges of a pair lie.
fn sheets_of(net: &Net<'_>, pair: &Pair) -> [usize; 2] {
    net.body.folds[pair.fold].flats.map(|flat| flat.map_or(0, |flat| net.laid[flat].page))
}

/// A glue tab on an edge whose polygon lies to its left.
fn tab(edge: [Point2<f64>; 2], depth: f64) -> Option<Vec<Point2<f64>>> {
    let [from, to] = edge;
    let along = (to - from).try_normalize(f64::MIN_POSITIVE)?;
    let out = Vector2::new(along.y, -along.x) * depth;
    let slant = along * (depth * 0.8).min((to - from).norm() * 0.35);
    Some(vec![from, from + out + slant, to + out - slant, to])
}

fn furniture(towards: bool) -> Furniture {
    let mut key = vec![(Pen::Snip, "cut".to_owned()), (Pen::Fold, "fold away from you".to_owned())];
    if towards {
        key.push((Pen::FoldTowards, "fold towards you".to_owned()));
    }
    let remark = "Cut round the heavy line and the tabs, fold, then glue each tab behind the edge with the same number; a letter \
                  after it names the sheet on which that edge lies.";
    Furniture { key, remarks: vec![remark.to_owned()], north: false }
}

/// One sheet of a net.
#[derive(Clone, Copy, Debug)]
pub struct NetSheet<'a> {
    set: &'a NetSheets<'a>,
    sheet: usize,
}

/// A, B, C … of sheets; beyond Z by number.
fn letter(sheet: usize) -> String {
    u8::try_from(sheet)
        .ok()
        .filter(|sheet| *sheet < 26)
        .map_or_else(|| (sheet + 1).to_string(), |sheet| char::from(b'A' + sheet).to_string())
}

impl Figure for NetSheet<'_> {
    fn name(&self) -> String {
        if self.set.net.sheets() == 1 { "net".to_owned() } else { format!("net-{}", letter(self.sheet).to_lowercase()) }
    }

    fn title(&self) -> String {
        match self.set.net.sheets() {
            1 => "fold-up net".to_owned(),
            sheets => format!("fold-up net, sheet {} of {sheets}", letter(self.sheet)),
        }
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        let here = || self.set.net.laid.iter().filter(|laid| laid.page == self.sheet);
        let places = || here().flat_map(|laid| laid.rings.iter().flatten().copied());
        Some((places().reduce(|a, b| a.inf(&b))?, places().reduce(|a, b| a.sup(&b))?))
    }

    fn furniture(&self) -> Furniture {
        furniture(self.pairs().any(|(_, pair)| pair.folded && !pair.away))
    }

    fn surround(&self) -> [f64; 3] {
        [AROUND; 3]
    }

    fn is_measured(&self) -> bool {
        false
    }

    fn fixed_scale(&self) -> Option<f64> {
        Some(self.set.scale)
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        let net = &self.set.net;
        let here = |flat: &usize| net.laid[*flat].page == self.sheet;
        for laid in net.laid.iter().filter(|laid| laid.page == self.sheet) {
            canvas.area(Tone::Shape, &laid.rings);
        }
        for (index, pair) in self.pairs() {
            if pair.folded {
                let pen = if pair.away { Pen::Fold } else { Pen::FoldTowards };
                canvas.line(pen, &pair.edges[0][0], &pair.edges[0][1]);
                continue;
            }
            if let Some((_, ring)) = self.set.tabs[index].as_ref().filter(|(sheet, _)| *sheet == self.sheet) {
                canvas.area(Tone::Tab, std::slice::from_ref(ring));
                for side in ring.windows(2) {
                    canvas.line(Pen::Tab, &side[0], &side[1]);
                }
            }
            for (edge, sheet) in pair.edges.into_iter().zip(sheets_of(net, pair)) {
                if sheet == self.sheet {
                    canvas.line(Pen::Snip, &edge[0], &edge[1]);
                }
            }
        }
        for fold in net.body.folds.iter().filter(|fold| fold.flats[1].is_none()) {
            let Some(flat) = fold.flats[0].filter(here) else { continue };
            if let Some(edge) = edge_in(net.body, flat, &net.laid[flat].rings, fold) {
                canvas.line(Pen::Snip, &edge[0], &edge[1]);
            }
        }
        for flat in (0..net.laid.len()).filter(here) {
            let paper = canvas.rings(&net.laid[flat].rings);
            let line = Text::new(Point2::origin(), net.name_of(flat));
            canvas.name_within(&paper, &Block::new(vec![line]), None);
        }
        self.number_edges(canvas);
    }
}

impl NetSheet<'_> {
    /// Pairs of which an edge lies here.
    fn pairs(&self) -> impl Iterator<Item = (usize, &Pair)> {
        let net = &self.set.net;
        net.pairs.iter().enumerate().filter(|(_, pair)| sheets_of(net, pair).contains(&self.sheet))
    }

    /// Numbers every glued edge here: over all sheets in the order of the body's folds.
    fn number_edges(&self, canvas: &mut Canvas<'_>) {
        let net = &self.set.net;
        let glued = net.pairs.iter().filter(|pair| !pair.folded);
        for (index, pair) in glued.enumerate() {
            let sheets = sheets_of(net, pair);
            for side in (0..2).filter(|side| sheets[*side] == self.sheet) {
                let other = sheets[1 - side];
                let beyond = if other == self.sheet { String::new() } else { letter(other) };
                let words = format!("{}{beyond}", index + 1);
                self.number_edge(canvas, &words, pair.edges[side]);
            }
        }
    }

    /// Letters an edge's number inside its polygon, beside its middle.
    fn number_edge(&self, canvas: &mut Canvas<'_>, words: &str, edge: [Point2<f64>; 2]) {
        let [from, to] = edge.map(|end| canvas.paper(&end));
        // Where so little meets there is nothing to look for.
        if (to - from).norm() < LEAST {
            return;
        }
        let Some(along) = (to - from).try_normalize(f64::MIN_POSITIVE) else { return };
        let inwards = Vector2::new(-along.y, along.x);
        let text = Text::new(Point2::origin(), words);
        let middle = nalgebra::center(&from, &to);
        let reach = (to - from).norm() / 2.0;
        for off in [3.0, 4.5, 6.5, 9.0] {
            for step in [0.0, 0.3, -0.3, 0.6, -0.6, 0.85, -0.85] {
                let centre = middle + along * (step * reach) + inwards * off;
                let place = canvas.view.to_model(&centre);
                let laid = self.set.net.laid.iter().filter(|laid| laid.page == self.sheet);
                let inside = laid.into_iter().any(|laid| clip::holds(&laid.rings, &place));
                if inside && canvas.try_text(text.clone().centred(centre)) {
                    return;
                }
            }
        }
        // Beside it, where its polygon has no room: it is read before it is cut off.
        for off in [-3.0, -4.5] {
            for step in [0.0, 0.5, -0.5] {
                if canvas.try_text(text.clone().centred(middle + along * (step * reach) + inwards * off)) {
                    return;
                }
            }
        }
        let block = Block::new(vec![text]);
        let targets = canvas::along(from, to);
        let leaders = [Leader::to_line(to - from), Leader::to_area()];
        if !leaders.iter().any(|leader| canvas.lead_to_one(&targets, &block, leader)) {
            canvas.number(middle, format!("stands for edge {words}"));
        }
    }
}
