//! Cutting drawings of hips and valleys: the line to its length with its plumb and level cuts, the side cuts seen from
//! above, the backing seen along it.

use super::canvas::Canvas;
use super::figure::Figure;
use super::frame::Furniture;
use super::label::Block;
use super::lettering::MEDIUM;
use super::model::Text;
use super::pen::Pen;
use super::{edge_word, words};
use crate::framing::Fold;
use crate::roof::EdgeKind;
use nalgebra::{Point2, Vector2};

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
            let near = |a: &(f64, f64), b: &(f64, f64)| (a.0 - b.0).abs() < 1e-6 && (a.1 - b.1).abs() < 1e-6;
            let ([a, b], [c, d]) = (angles(fold), angles(other));
            let alike = (near(&a, &c) && near(&b, &d)) || (near(&a, &d) && near(&b, &c));
            fold.kind == other.kind
                && alike
                && (fold.run.0 - other.run.0).abs() < 1e-4
                && (fold.rise - other.rise).abs() < 1e-4
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

    /// Offset of the schematic views from the side view, metres.
    fn below(&self) -> f64 {
        self.fold.run.0 * 0.42
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
        Some((Point2::new(0.0, -self.depth() - self.below()), Point2::new(run, rise)))
    }

    fn furniture(&self) -> Furniture {
        let mut remarks = vec![
            "Theoretical line. Take off half the ridge's thickness at its angle, add the tail; seat and height above the \
             plate as on the commons. It is geometry: the size of the timber is for a structural engineer."
                .to_owned(),
        ];
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

    fn surround(&self) -> [f64; 2] {
        [26.0, 17.0]
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        self.side_view(canvas);
        self.side_cuts(canvas);
        self.backing(canvas);
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
        let words = canvas.context.words;
        let along = (head - foot).normalize();
        let up = Vector2::new(-along.y, along.x);
        let length = format!(
            "{} {} ({})",
            edge_word(self.fold.kind),
            words.length(self.fold.length.0),
            words.fine(self.fold.length.0)
        );
        canvas.dimension([head, foot], up, &length);
        canvas.dimension(
            [foot + down, Point2::new(run, -depth)],
            Vector2::new(0.0, -1.0),
            &format!("run {}", words.length(run)),
        );
        canvas.dimension(
            [Point2::new(run, 0.0), head],
            Vector2::new(1.0, 0.0),
            &format!("rise {}", words.length(rise)),
        );
        let pitch = self.fold.corner.pitch;
        let said = [
            (foot + along * (self.fold.length.0 * 0.10) + down * 0.5, format!("level cut {}", words::degrees(pitch))),
            (
                head - along * (self.fold.length.0 * 0.10) + down * 0.5,
                format!("plumb cut {}", words::degrees(std::f64::consts::FRAC_PI_2 - pitch)),
            ),
        ];
        for (target, said) in said {
            let target = canvas.paper(&target);
            let leader = super::label::Leader { ending: super::label::Ending::Dot, not_along: None, avoid: Vec::new() };
            canvas.lead(target, &Block::new(vec![Text::new(Point2::origin(), said)]), &leader);
        }
    }

    /// The top of the piece seen from above, its head between two ridges or its foot between two eaves: not to scale.
    fn side_cuts(&self, canvas: &mut Canvas<'_>) {
        let run = self.fold.run.0;
        let unit = self.below() * 0.30;
        let middle = Point2::new(run * 0.27, -self.depth() - self.below() * 0.68);
        let half = unit * 0.42;
        let long = unit * 2.2;
        let [a, b] = self.fold.corner.sides;
        // Along the unbacked top, from the point back to the full thickness, on each side.
        let back = |angle: f64| half / angle.tan().max(0.2);
        let tip = middle + Vector2::new(long / 2.0, 0.0);
        let (left, right) =
            (tip + Vector2::new(-back(a.fold_side_cut), half), tip + Vector2::new(-back(b.fold_side_cut), -half));
        let tail = -long / 2.0;
        canvas.line(Pen::Timber, &(middle + Vector2::new(tail, half)), &left);
        canvas.line(Pen::Timber, &(middle + Vector2::new(tail, -half)), &right);
        canvas.line(Pen::Mark, &left, &tip);
        canvas.line(Pen::Mark, &right, &tip);
        canvas.line(Pen::Trace, &(middle + Vector2::new(tail, 0.0)), &tip);
        let lines = [
            Text::new(Point2::origin(), "side cuts, seen from above").height(MEDIUM).bold(),
            Text::new(Point2::origin(), format!("{}: {}", self.fold.faces[0], words::degrees(a.fold_side_cut))),
            Text::new(Point2::origin(), format!("{}: {}", self.fold.faces[1], words::degrees(b.fold_side_cut))),
            Text::new(Point2::origin(), "from its length, on the unbacked top; not to scale"),
        ];
        let at = canvas.paper(&(middle - Vector2::new(0.0, half))) - Vector2::new(0.0, 12.0);
        canvas.letter(&Block::new(lines.to_vec()), at);
    }

    /// The piece seen along its length: bevels of the top on both sides; not to scale.
    fn backing(&self, canvas: &mut Canvas<'_>) {
        let run = self.fold.run.0;
        let unit = self.below() * 0.30;
        let middle = Point2::new(run * 0.77, -self.depth() - self.below() * 0.68);
        let (half, tall) = (unit * 0.42, unit * 1.1);
        let [a, b] = self.fold.corner.sides;
        let sign = if self.fold.kind == EdgeKind::Valley { 1.0 } else { -1.0 };
        let top = middle + Vector2::new(0.0, tall / 2.0);
        let left = top + Vector2::new(-half, sign * half * a.backing.tan());
        let right = top + Vector2::new(half, sign * half * b.backing.tan());
        let foot = -tall / 2.0;
        canvas.line(Pen::Timber, &left, &(middle + Vector2::new(-half, foot)));
        canvas.line(Pen::Timber, &(middle + Vector2::new(-half, foot)), &(middle + Vector2::new(half, foot)));
        canvas.line(Pen::Timber, &(middle + Vector2::new(half, foot)), &right);
        canvas.line(Pen::Mark, &left, &top);
        canvas.line(Pen::Mark, &right, &top);
        canvas.line(Pen::Trace, &(top - Vector2::new(half, 0.0)), &(top + Vector2::new(half, 0.0)));
        let lines = [
            Text::new(Point2::origin(), "backing, seen along it").height(MEDIUM).bold(),
            Text::new(Point2::origin(), format!("{}: {}", self.fold.faces[0], words::degrees(a.backing))),
            Text::new(Point2::origin(), format!("{}: {}", self.fold.faces[1], words::degrees(b.backing))),
            Text::new(Point2::origin(), format!("between the slopes {}", words::degrees(self.fold.dihedral))),
        ];
        let at = canvas.paper(&(middle + Vector2::new(0.0, foot))) - Vector2::new(0.0, 12.0);
        canvas.letter(&Block::new(lines.to_vec()), at);
    }
}
