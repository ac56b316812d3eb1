//! The plan of timbers: every rafter, hip, valley, ridge, trimmer and plate where it lies, by its mark.

use crate::drawing::typeset::canvas::Canvas;
use crate::drawing::typeset::figure::Figure;
use crate::drawing::typeset::frame::Furniture;
use crate::drawing::typeset::pen::Pen;
use crate::drawing::views::plan::labelled_edges;
use crate::framing::TimberLine;
use crate::framing::timber::{LineKind, TimberKind};
use crate::job::answer::Answer;
use crate::roof::analysis::dimensions::extent;
use crate::wording::framing as words;
use nalgebra::{Point2, Vector2};

/// The plan of timbers as a figure.
#[derive(Clone, Copy, Debug)]
pub struct TimberPlan<'a> {
    answer: &'a Answer,
}

impl<'a> TimberPlan<'a> {
    /// Of a job; `None` where no timbers are worked out.
    #[must_use]
    pub fn of(answer: &'a Answer) -> Option<Self> {
        (!answer.framing.pieces.is_empty()).then_some(Self { answer })
    }
}

impl Figure for TimberPlan<'_> {
    fn name(&self) -> String {
        "timbers".to_owned()
    }

    fn title(&self) -> String {
        "timbers in plan".to_owned()
    }

    fn bounds(&self) -> Option<(Point2<f64>, Point2<f64>)> {
        extent(&self.answer.roof)
    }

    fn furniture(&self) -> Furniture {
        let mut key = vec![(Pen::Member, "timber".to_owned()), (Pen::Trace, "edge of the roof".to_owned())];
        let mut remarks = vec![
            "Marks are those of the cutting list. A mark that stands once in a row of equal pieces holds for all of the row."
                .to_owned(),
        ];
        if !self.answer.framing.lines.is_empty() {
            key.push((Pen::Hidden, words::LINES.to_owned()));
            remarks.push(words::LINES_REMARK.to_owned());
        }
        Furniture { key, remarks, north: true }
    }

    fn draw(&self, canvas: &mut Canvas<'_>) {
        let roof = &self.answer.roof;
        for id in labelled_edges(roof) {
            let edge = &roof.edges[id.index()];
            canvas.line(Pen::Trace, &roof.at(edge.from).xy(), &roof.at(edge.to).xy());
        }
        let framing = &self.answer.framing;
        let Some(timbers) = &framing.timbers else { return };
        let shown = |kind: TimberKind| kind != TimberKind::Fascia;
        for timber in timbers.all.iter().filter(|timber| shown(timber.kind)) {
            if let Some(ring) = timber.plan_outline() {
                canvas.ring(Pen::Member, &ring);
            }
        }
        for line in &framing.lines {
            canvas.fine_line(Pen::Hidden, &line.ends[0].xy(), &line.ends[1].xy());
        }
        // The few first: they have the fewest places.
        let mut marks: Vec<(usize, String, [Point2<f64>; 2])> = Vec::new();
        for piece in framing.pieces.iter().filter(|piece| shown(piece.kind)) {
            let mut said: Vec<[Point2<f64>; 2]> = Vec::new();
            for &at in &piece.timbers {
                let timber = &timbers.all[at];
                let ends = timber.line.map(|end| end.xy());
                // Of a row of equal pieces side by side one is named.
                let middle = nalgebra::center(&ends[0], &ends[1]);
                let way = (ends[1] - ends[0]).normalize();
                let in_row = said.iter().any(|other| {
                    let theirs = nalgebra::center(&other[0], &other[1]);
                    let apart = middle - theirs;
                    way.dot(&(other[1] - other[0]).normalize()) > 0.999 && apart.dot(&way).abs() < 0.01
                });
                if !in_row {
                    said.push(ends);
                    marks.push((piece.count(), piece.mark(), ends));
                }
            }
        }
        for (count, line) in alike(&framing.lines) {
            let [from, to] = line.ends.map(|end| end.xy());
            marks.push((count, words::line(line, canvas.context.words), [from, to]));
        }
        marks.sort_by_key(|(count, ..)| *count);
        for (_, mark, [from, to]) in marks {
            if !canvas.name_along(&from, &to, &mark, None::<Vector2<f64>>) {
                canvas.lead_line(&from, &to, &mark);
            }
        }
    }
}

/// Lines to letter with how many there are like each: every purlin, and of collars of one length the first.
fn alike(lines: &[TimberLine]) -> Vec<(usize, &TimberLine)> {
    let mut found: Vec<(usize, &TimberLine)> = Vec::new();
    for line in lines {
        let same = |(_, other): &&mut (usize, &TimberLine)| {
            line.kind == LineKind::Collar
                && other.kind == line.kind
                && (other.length() - line.length()).abs() < crate::base::tolerance::BESIDE
        };
        match found.iter_mut().find(same) {
            Some((count, _)) => *count += 1,
            None => found.push((1, line)),
        }
    }
    found
}
