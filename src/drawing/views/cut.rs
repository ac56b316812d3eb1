//! Cutting drawings of hips and valleys: the line to its length with its plumb and level cuts, the side cuts seen from
//! above, the backing seen along it.

use crate::base::tolerance::{CUT_ALIKE, STRAIGHT};
use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::format;
use crate::drawing::typeset::frame::Furniture;
use crate::drawing::typeset::label::{Block, Leader};
use crate::drawing::typeset::lettering::MEDIUM;
use crate::drawing::typeset::model::Text;
use crate::drawing::typeset::pen::Pen;
use crate::framing::Fold;
use crate::roof::EdgeKind;
use crate::wording::roof::edge_word;
use nalgebra::{Point2, Vector2};

/// Height of the strip of schemes below the side view, millimetres.
const SCHEMES: f64 = 33.0;
/// How the drawings are meant.
pub const REMARK: &str = "The two schemes are not to scale; side cuts are measured from the piece's length, on its unbacked top. Theoretical \
     line: take off half the ridge's thickness at its angle, add the tail; seat and height above the plate as on the \
     commons. It is geometry: the size of the timber is for a structural engineer.";
/// Half the width of the piece in a scheme, millimetres.
const HALF: f64 = 5.0;
/// Fall of the steepest bevel that is drawn, over half the width.
const STEEPEST: f64 = 1.6;

/// The cutting drawing of one hip or valley, and of those that are cut alike.
#[derive(Clone, Debug)]
pub struct FoldCut<'a> {
    fold: &'a Fold,
    alike: Vec<&'a Fold>,
    number: usize,
}

/// Hips and valleys grouped by how they are cut: same kind, run and rise to a tenth of a millimetre, same angles.
#[must_use]
pub fn groups(folds: &[Fold]) -> Vec<FoldCut<'_>> {
    let mut groups: Vec<FoldCut<'_>> = Vec::new();
    for fold in folds {
        let same = |other: &Fold| {
            let angles = |fold: &Fold| fold.corner.sides.map(|side| (side.plan_angle, side.backing));
            let near = |a: &(f64, f64), b: &(f64, f64)| (a.0 - b.0).abs() < STRAIGHT && (a.1 - b.1).abs() < STRAIGHT;
            let ([a, b], [c, d]) = (angles(fold), angles(other));
            let alike = (near(&a, &c) && near(&b, &d)) || (near(&a, &d) && near(&b, &c));
            fold.kind == other.kind
                && alike
                && (fold.run.0 - other.run.0).abs() < CUT_ALIKE
                && (fold.rise - other.rise).abs() < CUT_ALIKE
        };
        match groups.iter_mut().find(|group| same(group.fold)) {
            Some(group) => group.alike.push(fold),
            None => groups.push(FoldCut { fold, alike: Vec::new(), number: groups.len() + 1 }),
        }
    }
    groups
}

impl FoldCut<'_> {
    /// "hip between store/A and store/B".
    #[must_use]
    pub fn what(fold: &Fold) -> String {
        format!("{} between {} and {}", edge_word(fold.kind), fold.faces[0], fold.faces[1])
    }

    /// Half the level thickness of the piece as drawn, metres: a share of the run, since its real size is the
    /// engineer's.
    fn depth(&self) -> f64 {
        self.fold.run.0 * 0.07
    }
}

impl Figure for FoldCut<'_> {
    fn name(&self) -> String {
        format!("cut-{}-{}", edge_word(self.fold.kind), self.number)
    }

    fn title(&self) -> String {
        let count = self.alike.len() + 1;
        let more = if count > 1 { format!(", {count} alike") } else { String::new() };
        format!("cutting of the {}{more}", Self::what(self.fold))
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        let (run, rise) = (self.fold.run.0, self.fold.rise);
        Some((Point2::new(0.0, -self.depth()), Point2::new(run, rise)))
    }

    fn furniture(&self) -> Furniture {
        let mut remarks = vec![REMARK.to_owned()];
        if !self.alike.is_empty() {
            let alike: Vec<String> = self.alike.iter().map(|fold| Self::what(fold)).collect();
            remarks.push(format!("Cut alike: {}.", alike.join("; ")));
        }
        Furniture {
            key: vec![(Pen::Timber, "the piece".to_owned()), (Pen::Mark, "cut".to_owned())],
            remarks,
            north: false,
        }
    }

    fn surround(&self) -> [f64; 3] {
        [20.0, 23.0 + SCHEMES, 22.0]
    }

    fn least_width(&self) -> f64 {
        let widest = |scheme: [Text; 3]| scheme.iter().map(Text::width).fold(0.0, f64::max);
        widest(self.side_words()) + widest(self.backing_words()) + 10.0
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        // The schemes have a strip of the page to themselves.
        let (low, high) = canvas.board.corners();
        let width = high.x - low.x;
        let place = |share: f64| Point2::new(low.x + width * share, low.y + SCHEMES - 7.0);
        self.side_cuts(canvas, place(0.27));
        self.backing(canvas, place(0.75));
        self.side_view(canvas);
    }
}

impl FoldCut<'_> {
    fn side_view(&self, canvas: &mut Canvas<'_>) {
        let (run, rise, depth) = (self.fold.run.0, self.fold.rise, self.depth());
        let (foot, head) = (Point2::new(0.0, 0.0), Point2::new(run, rise));
        let down = Vector2::new(0.0, -depth);
        canvas.line(Pen::Edge(self.fold.kind), &foot, &head);
        canvas.line(Pen::Timber, &(foot + down), &(head + down));
        canvas.line(Pen::Mark, &foot, &(foot + down));
        canvas.line(Pen::Mark, &head, &(head + down));
        // Labels first keep leaders short; where that leaves a dimension without a lane, dimensions come first.
        let mut labels_first = canvas.clone();
        self.name_cuts(&mut labels_first);
        if self.set_out(&mut labels_first).is_empty() {
            *canvas = labels_first;
            return;
        }
        let left = self.set_out(canvas);
        self.name_cuts(canvas);
        let middle = canvas.paper(&nalgebra::center(&(foot + down), &head));
        for said in left {
            canvas.number(middle, said);
        }
    }

    /// What each end is cut at: within its half of the piece, where that is high enough, else led to it.
    fn name_cuts(&self, canvas: &mut Canvas<'_>) {
        let (foot, head) = (Point2::origin(), Point2::new(self.fold.run.0, self.fold.rise));
        let (down, middle) = (Vector2::new(0.0, -self.depth()), nalgebra::center(&foot, &head));
        let pitch = self.fold.corner.pitch;
        let near = (head - foot) * 0.10;
        let said = [
            (
                foot + near + down * 0.5,
                [foot + down, middle + down, middle, foot],
                format!("level cut {} to its length", format::degrees(pitch)),
            ),
            (
                head - near + down * 0.5,
                [middle + down, head + down, head, middle],
                format!("plumb cut {} from square", canvas.context.words.pitch(pitch)),
            ),
        ];
        for (target, half, said) in said {
            let within = canvas.rings(&[half.to_vec()]);
            let block = Block::new(vec![Text::new(Point2::origin(), said.clone())]);
            if canvas.name_within(&within, &block, None) {
                continue;
            }
            let target = canvas.paper(&target);
            if !canvas.lead(target, &block, &Leader::to_area()) {
                canvas.number(target, said);
            }
        }
    }

    /// Dimensions its length, run and rise; gives those that found no lane.
    fn set_out(&self, canvas: &mut Canvas<'_>) -> Vec<String> {
        let (run, rise, length) = (self.fold.run.0, self.fold.rise, self.fold.length.0);
        let (foot, head) = (Point2::origin(), Point2::new(run, rise));
        let low = -self.depth();
        let words = canvas.context.words;
        let up = Vector2::new(-rise, run).normalize();
        let kind = edge_word(self.fold.kind);
        let told = [
            ([head, foot], up, format!("{kind} {} ({})", words.length(length), words.fine(length)), length),
            (
                [Point2::new(0.0, low), Point2::new(run, low)],
                Vector2::new(0.0, -1.0),
                format!("run {}", words.length(run)),
                run,
            ),
            ([Point2::new(run, 0.0), head], Vector2::new(1.0, 0.0), format!("rise {}", words.length(rise)), rise),
        ];
        let told = told.into_iter().filter(|told| !words.reads_as_nothing(told.3));
        told.filter_map(|(ends, outward, said, _)| (!canvas.dimension(ends, outward, &said)).then_some(said)).collect()
    }

    /// The top of the piece seen from above, its point between two ridges or two eaves: not to scale.
    fn side_cuts(&self, canvas: &mut Canvas<'_>, middle: Point2<f64>) {
        let [a, b] = self.fold.corner.sides;
        // Along the unbacked top, from the point back to the full thickness, on each side.
        let back = |angle: f64| HALF / angle.tan().max(0.2);
        let tip = middle + Vector2::new(16.0, 0.0);
        let left = tip + Vector2::new(-back(a.fold_side_cut), HALF);
        let right = tip + Vector2::new(-back(b.fold_side_cut), -HALF);
        let tail = middle - Vector2::new(16.0, 0.0);
        let half = Vector2::new(0.0, HALF);
        canvas.paper_line(Pen::Timber, tail + half, left);
        canvas.paper_line(Pen::Timber, tail - half, right);
        canvas.paper_line(Pen::Mark, left, tip);
        canvas.paper_line(Pen::Mark, right, tip);
        canvas.paper_line(Pen::Trace, tail, tip);
        scheme_words(canvas, middle, &self.side_words());
    }

    /// The piece seen along its length: bevels of the top on both sides; not to scale.
    fn backing(&self, canvas: &mut Canvas<'_>, middle: Point2<f64>) {
        let [a, b] = self.fold.corner.sides;
        let sign = if self.fold.kind == EdgeKind::Valley { 1.0 } else { -1.0 };
        let top = middle + Vector2::new(0.0, HALF);
        // Of steep bevels no more is drawn than the piece is high.
        let fall = |bevel: f64| sign * HALF * bevel.tan().min(STEEPEST);
        let left = top + Vector2::new(-HALF, fall(a.backing));
        let right = top + Vector2::new(HALF, fall(b.backing));
        let feet = [middle + Vector2::new(-HALF, -1.4 * HALF), middle + Vector2::new(HALF, -1.4 * HALF)];
        canvas.paper_line(Pen::Timber, left, feet[0]);
        canvas.paper_line(Pen::Timber, feet[0], feet[1]);
        canvas.paper_line(Pen::Timber, feet[1], right);
        canvas.paper_line(Pen::Mark, left, top);
        canvas.paper_line(Pen::Mark, right, top);
        canvas.paper_line(Pen::Trace, top - Vector2::new(HALF, 0.0), top + Vector2::new(HALF, 0.0));
        scheme_words(canvas, middle, &self.backing_words());
    }

    fn side_words(&self) -> [Text; 3] {
        let [a, b] = self.fold.corner.sides;
        let [first, second] = &self.fold.faces;
        scheme_lines(
            "side cuts",
            [
                format!("{first}: {}", format::degrees(a.fold_side_cut)),
                format!("{second}: {}", format::degrees(b.fold_side_cut)),
            ],
        )
    }

    fn backing_words(&self) -> [Text; 3] {
        let [a, b] = self.fold.corner.sides;
        let [first, second] = &self.fold.faces;
        scheme_lines(
            "backing",
            [format!("{first}: {}", format::degrees(a.backing)), format!("{second}: {}", format::degrees(b.backing))],
        )
    }
}

fn scheme_lines(head: &str, said: [String; 2]) -> [Text; 3] {
    let [a, b] = said.map(|line| Text::new(Point2::origin(), line));
    [Text::new(Point2::origin(), head).height(MEDIUM).bold(), a, b]
}

fn scheme_words(canvas: &mut Canvas<'_>, middle: Point2<f64>, lines: &[Text; 3]) {
    let block = Block::new(lines.to_vec());
    let below = HALF * 1.4 + 1.5 + block.size()[1] / 2.0;
    canvas.letter(&block, middle - Vector2::new(0.0, below));
}
