//! True lengths and areas against those in plan: the triangle of run, rise and slope, with this roof's numbers.

use crate::base::ids::{EdgeId, FaceId};
use crate::base::tolerance::ROUNDING;
use crate::base::units::LengthUnit;
use crate::framing::{self, Framing};
use crate::viewer::render::gpu::{Cap, Stroke};
use crate::viewer::render::shown::Shown;
use crate::viewer::render::stage::{Extra, Tag, corner, stroke};
use crate::viewer::render::theme;
use crate::viewer::render::theme::{Palette, Pen, Rgb};
use crate::wording::lesson;
use crate::wording::units::Format;
use nalgebra::Point3;
use std::sync::Arc;

/// What is kept until the roof or the choice changes.
#[derive(Default)]
pub struct Kept {
    framing: Option<(u64, Arc<Framing>)>,
    made: Option<((u64, Option<FaceId>, Option<EdgeId>, Rgb), Made)>,
}

/// The triangles of a face or a fold, drawn and in words.
pub struct Made {
    /// Over the roof.
    pub extra: Extra,
    /// Headings with their lines.
    pub words: Vec<lesson::Headed>,
}

impl Kept {
    /// The triangles of the chosen fold, else of the chosen face, else of the largest; made again only when something
    /// changed.
    pub fn of(
        &mut self,
        shown: &Shown,
        face: Option<FaceId>,
        edge: Option<EdgeId>,
        palette: &Palette,
        units: LengthUnit,
    ) -> &Made {
        let serial = shown.scene.serial;
        let framing = match &self.framing {
            Some((of, framing)) if *of == serial => Arc::clone(framing),
            _ => {
                let framing = Arc::new(framing::cutting_data(&shown.answered.answer.roof));
                self.framing = Some((serial, Arc::clone(&framing)));
                framing
            }
        };
        let key = (serial, face, edge, palette.paper);
        if self.made.as_ref().is_none_or(|(of, _)| *of != key) {
            self.made = Some((key, make(shown, &framing, face, edge, palette, units)));
        }
        match &self.made {
            Some((_, made)) => made,
            None => unreachable!("made above"),
        }
    }
}

/// What is drawn, as it grows.
struct Sketch<'a> {
    shown: &'a Shown,
    palette: &'a Palette,
    units: LengthUnit,
    marks: Vec<Stroke>,
    areas: Vec<[f32; 3]>,
    tags: Vec<Tag>,
}

fn make(
    shown: &Shown,
    framing: &Framing,
    face: Option<FaceId>,
    edge: Option<EdgeId>,
    palette: &Palette,
    units: LengthUnit,
) -> Made {
    let roof = &shown.answered.answer.roof;
    let mut sketch = Sketch { shown, palette, units, marks: Vec::new(), areas: Vec::new(), tags: Vec::new() };
    let mut said = Vec::new();
    let fold = edge.and_then(|edge| framing.folds.iter().find(|fold| fold.edge == edge));
    if let Some(fold) = fold {
        said.push(sketch.fold(fold, true));
    } else {
        let largest = || {
            let faces = roof.roof_faces();
            faces.max_by(|a, b| roof.area(a.1).total_cmp(&roof.area(b.1))).map(|(id, _)| id)
        };
        let is_roof = |face: &FaceId| roof.roof_faces().any(|(id, _)| id == *face);
        if let Some(id) = face.filter(is_roof).or_else(largest) {
            said.extend(sketch.face(framing, id));
        }
    }
    if said.is_empty() {
        said.push(("Nothing slopes here".to_owned(), Vec::new()));
    }
    said.push((
        "Mind".to_owned(),
        vec!["These are theoretical lines: half the hip's and the ridge board's thickness, seat and tail are still to be \
              taken off or added. Sizes of timber are for a structural engineer."
            .to_owned()],
    ));
    let [r, g, b] = theme::shader_colour(palette.accent);
    Made {
        words: said,
        extra: Extra {
            marks: Arc::new(sketch.marks),
            caps: vec![Cap { places: Arc::new(sketch.areas), tone: [r, g, b, 0.24], hatched: false }],
            tags: sketch.tags,
            over: true,
        },
    }
}

impl Sketch<'_> {
    fn length(&self, metres: f64) -> String {
        Format::of(self.units).length(metres)
    }

    fn line(&mut self, from: &Point3<f64>, to: &Point3<f64>, pen: Pen, text: Option<String>) {
        let origin = self.shown.scene.origin;
        self.marks.push(stroke(&(from - origin), &(to - origin), pen, self.palette.accent, 1.0));
        if let (Some(text), Some(along)) = (text, (to - from).try_normalize(ROUNDING)) {
            self.tags.push(Tag { at: nalgebra::center(from, to) - origin, along: Some(along), text });
        }
    }

    /// The triangle of run, rise and slope from a low to a high place.
    fn triangle(&mut self, foot: &Point3<f64>, head: &Point3<f64>, slope: &str, labelled: bool) {
        let below = Point3::new(head.x, head.y, foot.z);
        let (run, rise) = ((below - foot).norm(), head.z - foot.z);
        let pen = |width: f32, dash: f32| Pen { width, dash, gap: dash * 0.6, dot: 0.0 };
        let describe = |text: String| labelled.then_some(text);
        let length = self.length((head - foot).norm());
        self.line(foot, head, pen(3.6, 0.0), describe(format!("{slope} {length}")));
        let (run_text, rise_text) = (format!("run {}", self.length(run)), format!("rise {}", self.length(rise)));
        self.line(foot, &below, pen(2.2, 7.0), describe(run_text));
        self.line(&below, head, pen(2.2, 0.0), describe(rise_text));
        // The right angle.
        if let Some(back) = (foot - below).try_normalize(ROUNDING) {
            let size = 0.09 * run.min(rise);
            let up = nalgebra::Vector3::z() * size;
            let side = back * size;
            self.line(&(below + side), &(below + side + up), pen(1.2, 0.0), None);
            self.line(&(below + side + up), &(below + up), pen(1.2, 0.0), None);
        }
        let origin = self.shown.scene.origin;
        self.areas.extend([foot, &below, head].map(|place| corner(&(place - origin))));
    }

    /// A hip or valley: drawn, and its heading with lines.
    fn fold(&mut self, fold: &framing::Fold, labelled: bool) -> lesson::Headed {
        let roof = &self.shown.answered.answer.roof;
        let edge = &roof.edges[fold.edge.index()];
        let (mut foot, mut head) = (roof.at(edge.from), roof.at(edge.to));
        if foot.z > head.z {
            std::mem::swap(&mut foot, &mut head);
        }
        self.triangle(&foot, &head, edge.kind.word(), labelled);
        lesson::fold(roof, fold, Format::of(self.units))
    }

    /// A face: its rafter, its area over its plan, its hips and valleys.
    fn face(&mut self, framing: &Framing, id: FaceId) -> Vec<lesson::Headed> {
        let roof = &self.shown.answered.answer.roof;
        let face = &roof.faces[id.index()];
        let format = Format::of(self.units);
        let mut said = Vec::new();
        if let Some(rafter) = framing.commons.iter().find(|common| common.face == id) {
            let [foot, head] = rafter.line;
            self.triangle(&foot, &head, "rafter", true);
            said.push(lesson::rafter(roof, rafter, format));
        }
        // The plan of the face, level below it.
        let ring = roof.ring(face);
        let low = ring.iter().map(|place| place.z).fold(f64::INFINITY, f64::min);
        let plan: Vec<Point3<f64>> = ring.iter().map(|place| Point3::new(place.x, place.y, low)).collect();
        let pen = Pen { width: 1.8, dash: 4.0, gap: 4.0, dot: 0.0 };
        for at in 0..plan.len() {
            let next = (at + 1) % plan.len();
            self.line(&plan[at], &plan[next], pen, None);
        }
        said.push(lesson::area(&self.shown.answered.answer, id, format));
        let folds: Vec<&framing::Fold> = framing.folds.iter().filter(|fold| face.edges.contains(&fold.edge)).collect();
        for fold in folds {
            said.push(self.fold(fold, false));
        }
        said
    }
}
